// The landscaper's drawing of the park: millimetres, an origin and a direction
// of the drawing board's own, layers and no roles, the strip in loose lines,
// the corner of the lawn as a bulge. Written here by hand as DXF R2000
// entities, so that nothing of a plan is in it that a landscaper would not
// draw.

package main

import (
	"fmt"
	"math"
	"strings"
)

// The board: its x axis points 31 degrees anticlockwise of the park's, and the
// park's corner lies at 84,000 mm, 27,500 mm.
const (
	boardTurn    = -31.0
	boardX       = 84000.0
	boardY       = 27500.0
	millimetres  = 1000.0
	cornerRadius = 20.0
)

// onBoard is a point of the park in millimetres of the board.
func onBoard(p xy) xy {
	s, c := math.Sincos(boardTurn * math.Pi / 180)
	return xy{boardX + millimetres*(c*p.x-s*p.y), boardY + millimetres*(s*p.x+c*p.y)}
}

type board struct{ strings.Builder }

func (b *board) pair(code int, value any) {
	switch v := value.(type) {
	case float64:
		fmt.Fprintf(b, "%3d\n%.3f\n", code, v)
	default:
		fmt.Fprintf(b, "%3d\n%v\n", code, v)
	}
}

func (b *board) entity(kind, layer string) {
	b.pair(0, kind)
	b.pair(8, layer)
}

func (b *board) line(layer string, from, to xy) {
	b.entity("LINE", layer)
	p, q := onBoard(from), onBoard(to)
	b.pair(10, p.x)
	b.pair(20, p.y)
	b.pair(11, q.x)
	b.pair(21, q.y)
}

// polyline draws points; bulges[i], where there are any, bends the segment
// after point i.
func (b *board) polyline(layer string, closed bool, points []xy, bulges map[int]float64) {
	b.entity("LWPOLYLINE", layer)
	b.pair(90, len(points))
	flag := 0
	if closed {
		flag = 1
	}
	b.pair(70, flag)
	for i, p := range points {
		q := onBoard(p)
		b.pair(10, q.x)
		b.pair(20, q.y)
		if v, ok := bulges[i]; ok {
			fmt.Fprintf(b, " 42\n%.9f\n", v)
		}
	}
}

func (b *board) circle(layer string, c xy, r float64) {
	b.entity("CIRCLE", layer)
	p := onBoard(c)
	b.pair(10, p.x)
	b.pair(20, p.y)
	b.pair(40, r*millimetres)
}

func (b *board) point(layer string, at xy) {
	b.entity("POINT", layer)
	p := onBoard(at)
	b.pair(10, p.x)
	b.pair(20, p.y)
}

func (b *board) text(layer, words string, at xy) {
	b.entity("TEXT", layer)
	p := onBoard(at)
	b.pair(10, p.x)
	b.pair(20, p.y)
	b.pair(40, 800.0)
	b.pair(1, words)
}

// drawing is the landscaper's DXF.
func drawing() []byte {
	b := &board{}
	b.pair(999, "Invented for demonstration: no such park exists")
	b.pair(0, "SECTION")
	b.pair(2, "HEADER")
	b.pair(9, "$ACADVER")
	b.pair(1, "AC1015")
	b.pair(9, "$INSUNITS")
	b.pair(70, 4) // millimetres
	b.pair(0, "ENDSEC")
	b.pair(0, "SECTION")
	b.pair(2, "ENTITIES")

	b.polyline("LAWN", true, []xy{{20, 70}, {58, 70}, {58, 108}, {20, 108}}, nil)
	b.text("LABEL", "North lawn", xy{30, 85})
	// The strip is four loose lines, two of them drawn against the others.
	b.line("LAWN", xy{20, 12}, xy{150, 12})
	b.line("LAWN", xy{150, 40}, xy{150, 12})
	b.line("LAWN", xy{20, 40}, xy{150, 40})
	b.line("LAWN", xy{20, 40}, xy{20, 12})
	b.text("LABEL", "Strip", xy{30, 30})
	quarter := math.Tan(math.Pi / 8) // the bulge of a quarter circle
	b.polyline("LAWN", true, []xy{{108, 50}, {165, 50}, {165, 115 - cornerRadius}, {165 - cornerRadius, 115}, {108, 115}}, map[int]float64{2: quarter})
	b.text("LABEL", "Long lawn", xy{112, 90})

	b.polyline("NO_MOWING", true, []xy{{78, 22}, {100, 22}, {100, 25.5}, {78, 25.5}}, nil)
	b.text("LABEL", "Flower bed", xy{80, 23})
	b.circle("NO_MOWING", xy{140, 82}, 10)
	b.text("LABEL", "Pond", xy{136, 82})
	b.circle("NO_MOWING", xy{152, 106}, 1.2)
	b.circle("NO_MOWING", xy{121, 106}, 1)
	b.circle("WATER", xy{140, 82}, 9)
	b.circle("TREES", xy{152, 106}, 0.6)
	b.circle("TREES", xy{121, 106}, 0.2)

	b.polyline("SITE", true, []xy{{0, 0}, {180, 0}, {180, 130}, {0, 130}}, nil)
	b.polyline("BUILDINGS", true, []xy{{84, 52}, {100, 52}, {100, 64}, {84, 64}}, nil)
	b.line("KERBS", xy{20, 11.8}, xy{150, 11.8})

	b.point("DOCK", xy{66, 58})
	b.point("MAST", xy{98, 62})
	b.point("SOCKET", xy{84, 58})
	b.polyline("CORRIDORS", false, []xy{{40, 71.2}, {40, 68.8}, {42, 62}, {48, 58}, {64, 58}}, nil)
	b.polyline("CORRIDORS", false, []xy{{50, 38.8}, {50, 41.2}, {50, 54}, {54, 58}, {64, 58}}, nil)
	b.polyline("CORRIDORS", false, []xy{{130, 38.8}, {130, 41.2}, {130, 48.8}, {130, 51.2}}, nil)
	for _, bench := range []xy{{10, 60}, {10, 64}} {
		b.polyline("BENCHES", true, []xy{bench, {bench.x + 1.8, bench.y}, {bench.x + 1.8, bench.y + 0.5}, {bench.x, bench.y + 0.5}}, nil)
	}
	b.pair(0, "ENDSEC")
	b.pair(0, "EOF")
	return []byte(b.String())
}

// marksList is what was measured at the four marks, a few millimetres off, with
// the drawing's own coordinates beside it.
func marksList(ground func(xy) (lon, lat float64)) []byte {
	var b strings.Builder
	b.WriteString("name,x,y,lon,lat,sigma\n")
	for _, m := range []struct {
		name   string
		at     xy
		dx, dy float64 // how far off the measurement is, m
	}{{"M1", xy{4, 4}, 0.004, -0.002}, {"M2", xy{176, 5}, -0.003, 0.005}, {"M3", xy{175, 126}, 0.002, 0.001}, {"M4", xy{5, 125}, -0.004, -0.004}} {
		p := onBoard(m.at)
		lon, lat := ground(xy{m.at.x + m.dx, m.at.y + m.dy})
		fmt.Fprintf(&b, "%s,%.1f,%.1f,%.9f,%.9f,0.010\n", m.name, p.x, p.y, lon, lat)
	}
	return []byte(b.String())
}
