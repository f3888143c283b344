// The picture of a plan on a page: numbers that lead to their findings, lines
// thinned and no further, names off the linework, and lists that fill their
// width.

package sheet

import (
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"swardline/convert/sheet/ink"
	"swardline/schema"
)

func pictured(t *testing.T, d *Drawing) string {
	t.Helper()
	var b strings.Builder
	if err := d.PageMap(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func lawn(points int) Feature {
	ring := orb.Ring(disc(orb.Point{0, 0}, 40))
	if points > 0 {
		ring = ring[:0:0]
		for i := range points {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(points))
			ring = append(ring, orb.Point{40 * c, 40 * s})
		}
	}
	return Feature{Role: schema.RoleZone, Code: "z1", Name: "Lawn", Areas: []orb.Polygon{{ring}}, AreaM2: 5000, NetM2: math.NaN(), RoomM: 39, HeadingDeg: math.NaN(), RadiusM: math.NaN()}
}

func TestPageMapLeadsToFindings(t *testing.T) {
	d := &Drawing{Features: []Feature{lawn(0)}, Grid: Grid{NorthKnown: true}}
	// Seven at one place, of which four are drawn, and one elsewhere.
	for n := 1; n <= 8; n++ {
		at := orb.Point{10, 10}
		if n == 8 {
			at = orb.Point{-30, 0}
		}
		d.Findings = append(d.Findings, Finding{Number: n, Severity: "error", Message: "<b>&", At: at, HasAt: true})
	}
	svg := pictured(t, d)
	for n := 1; n <= 8; n++ {
		id := regexp.MustCompile(`id="at-` + trim(float64(n)) + `"`)
		if k := len(id.FindAllString(svg, -1)); k != 1 {
			t.Errorf("finding %d is on the map %d times", n, k)
		}
	}
	for _, n := range []string{"1", "2", "3", "4", "8"} {
		if !strings.Contains(svg, `<a href="#finding-`+n+`" id="at-`+n+`">`) {
			t.Errorf("the number %s leads nowhere", n)
		}
	}
	if strings.Count(svg, "<a ") != strings.Count(svg, "</a>") || strings.Count(svg, "<g") != strings.Count(svg, "</g>") || strings.Contains(svg, "<b>") || !strings.Contains(svg, ">+3</text>") {
		t.Errorf("not well made: %s", svg)
	}
	if !strings.Contains(svg, `role="group"`) {
		t.Error("a picture with links in it is called an image")
	}
}

// A line of very many points comes out with those that a picture can show.
func TestPageMapThins(t *testing.T) {
	few, many := pictured(t, &Drawing{Features: []Feature{lawn(200)}}), pictured(t, &Drawing{Features: []Feature{lawn(200_000)}})
	if len(many) > 2*len(few) {
		t.Errorf("%d bytes for 200,000 points, %d for 200", len(many), len(few))
	}
	thin := thinned([]Feature{lawn(200_000)}, 0.05)[0]
	for i := range 1000 {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 1000)
		p, least := orb.Point{40 * c, 40 * s}, math.Inf(1)
		ring := thin.Areas[0][0]
		for k := range ring {
			a, b := ring[k], ring[(k+1)%len(ring)]
			dx, dy := b[0]-a[0], b[1]-a[1]
			u := math.Max(0, math.Min(1, ((p[0]-a[0])*dx+(p[1]-a[1])*dy)/math.Max(dx*dx+dy*dy, 1e-12)))
			least = math.Min(least, math.Hypot(p[0]-a[0]-u*dx, p[1]-a[1]-u*dy))
		}
		if least > 0.0501 {
			t.Fatalf("the thinned line is %.4f m off at %d", least, i)
		}
	}
}

// TestNamesKeepOffLines: a mark with a wall hard by on its right has its name
// on another side.
func TestNamesKeepOffLines(t *testing.T) {
	mark := Feature{Role: schema.RoleMark, Code: "M1", Points: []orb.Point{{0, 0}}, RadiusM: math.NaN(), HeadingDeg: math.NaN()}
	for _, c := range []struct {
		wall orb.LineString
		want func(x, y float64) bool
	}{
		{nil, func(x, _ float64) bool { return x > 50 }}, // the right is the first choice
		{orb.LineString{{6, -20}, {6, 20}}, func(x, _ float64) bool { return x <= 50 }},
	} {
		p := &ink.Page{W: 100, H: 100}
		v := newView(p, 0, 0, 100, 100, orb.Bound{Min: orb.Point{-50, -50}, Max: orb.Point{50, 50}})
		r := newRoom(v)
		list := []Feature{mark}
		r.linework([]Feature{{Role: schema.RoleEdge, Lines: []orb.LineString{c.wall}, RadiusM: math.NaN()}})
		v.signs(list, r)
		if v.labels(list, nil, r) != 0 {
			t.Fatal("there is room")
		}
		for _, m := range p.Marks {
			if x, ok := m.(*ink.Text); ok && !c.want(x.At[0], x.At[1]) {
				t.Errorf("with a wall %v the name stands at %v", c.wall, x.At)
			}
		}
	}
}

// What a box covers, against lengths worked out by hand.
func TestRoomCovers(t *testing.T) {
	v := newView(&ink.Page{W: 100, H: 100}, 0, 0, 100, 100, orb.Bound{Min: orb.Point{0, 0}, Max: orb.Point{100, 100}})
	r := newRoom(v)
	r.segment(ink.Point{0, 50}, ink.Point{100, 50})
	r.segment(ink.Point{20, 0}, ink.Point{20, 100})
	r.segment(ink.Point{-1e9, -1e9}, ink.Point{1e9, 1e9}) // cut at the map, or it would take for ever
	for _, c := range []struct {
		b    box
		want float64
	}{
		{box{30, 45, 60, 49.9}, 4.9 * math.Sqrt2}, {box{30, 33, 40, 44}, 7 * math.Sqrt2}, {box{70, 48, 90, 52}, 20}, {box{19, 60, 21, 90}, 30}, {box{18, 48, 22, 52}, 8}, {box{80, 10, 90, 20}, 0},
	} {
		if got := r.covers(c.b); math.Abs(got-c.want) > 1e-5 {
			t.Errorf("%v covers %v, want %v", c.b, got, c.want)
		}
	}
}

func TestCoordinatesKeepTheirLetter(t *testing.T) {
	for w := 5.0; w < 60; w += 2.5 {
		for _, line := range wrap("from E 633800.63 N 6313971.83 to E 633997.15 N -6313934.86", tableSize, w, false) {
			if strings.HasSuffix(line, " E") || strings.HasSuffix(line, " N") || line == "E" || line == "N" {
				if w > 25 {
					t.Errorf("at %v mm a line ends in a letter: %q", w, line)
				}
			}
		}
	}
}
