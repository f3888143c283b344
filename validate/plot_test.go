// Plots: invented sites drawn in metres for the tests, and their GeoJSON.

package validate_test

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"testing"

	"github.com/paulmach/orb"

	"swardline/convert/geojson"
	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

// The invented site of the tests lies here. The grid that takes its metres to
// degrees is the site grid of package crs, which shares no code with Ground.
const (
	plotLon, plotLat, plotH = -7.25, 43.5, 42.0
)

// thing is one feature of a plot.
type thing struct {
	id, name string
	role     string // as written
	rings    [][]orb.Point
	parts    [][]orb.Point // outlines of a multipolygon
	line     []orb.Point
	point    *orb.Point
	z        func(p orb.Point) float64 // nil for no heights
	props    []schema.Attribute
	raw      bool // coordinates are written as they are
}

type plot struct {
	things  []*thing
	grid    string             // EPSG code of the grid to write in, "" for degrees
	members []schema.Attribute // members of the plan itself
}

func (p *plot) get(id string) *thing {
	for _, t := range p.things {
		if t.id == id {
			return t
		}
	}
	panic("no " + id)
}

func (p *plot) add(t *thing) *thing {
	p.things = append(p.things, t)
	return t
}

func (p *plot) remove(id string) {
	for i, t := range p.things {
		if t.id == id {
			p.things = append(p.things[:i], p.things[i+1:]...)
			return
		}
	}
}

func (t *thing) set(key string, v schema.Value) *thing {
	(*schema.Attributes)(&t.props).Set(key, v)
	return t
}

// rect is a closed anticlockwise ring.
func rect(x0, y0, x1, y1 float64) []orb.Point {
	return []orb.Point{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}
}

// circle is a closed anticlockwise ring of n points on a circle.
func circle(x, y, r float64, n int) []orb.Point {
	var out []orb.Point
	for i := 0; i < n; i++ {
		s, c := math.Sincos(2 * math.Pi * (float64(i) + 0.5) / float64(n))
		out = append(out, orb.Point{x + r*c, y + r*s})
	}
	return append(out, out[0])
}

func reversed(ring []orb.Point) []orb.Point {
	out := make([]orb.Point, len(ring))
	for i := range ring {
		out[len(ring)-1-i] = ring[i]
	}
	return out
}

func flatGround(orb.Point) float64 { return plotH }

// croquet adds an area of the role other to the lawn.
func croquet(p *plot) *thing {
	return p.add(&thing{id: "o1", role: "other", name: "Croquet court", rings: [][]orb.Point{rect(20, -25, 23, -21)}, z: flatGround})
}

// park is a whole and faultless plan: two lawns and a path between them, a
// round bed about a well, a dock east of the north lawn that faces east, a base
// mast, a shed, a wall and a flush edge, inside a boundary.
func park() *plot {
	p := &plot{}
	area := func(id, role, name string, rings ...[]orb.Point) *thing {
		return p.add(&thing{id: id, role: role, name: name, rings: rings, z: flatGround})
	}
	line := func(id, role, name string, pts ...orb.Point) *thing {
		return p.add(&thing{id: id, role: role, name: name, line: pts, z: flatGround})
	}
	point := func(id, role, name string, x, y float64) *thing {
		return p.add(&thing{id: id, role: role, name: name, point: &orb.Point{x, y}, z: flatGround})
	}
	area("z1", "zone", "North lawn", rect(0, 0, 30, 20)).set("heading_deg", schema.Int(0))
	area("z2", "zone", "South lawn", rect(0, -30, 30, -10))
	area("k1", "keepout", "Well bed", circle(10, 10, 2, 24))
	line("c1", "corridor", "Dock way", orb.Point{28.5, 10}, orb.Point{31, 10}, orb.Point{34, 10})
	line("c2", "corridor", "Path crossing", orb.Point{15, 1.5}, orb.Point{15, -1}, orb.Point{15, -9}, orb.Point{15, -11.5})
	point("d1", "dock", "Dock", 36, 10).set("heading_deg", schema.Int(90)).set("standoff_m", schema.Int(2))
	point("b1", "base", "Mast", 38, 25).set("antenna_height_m", schema.Float(2.5)).
		z = func(orb.Point) float64 { return plotH + 2.5 }
	point("h1", "hazard", "Old well", 10, 10).set("hazard_kind", schema.String("well")).set("radius_m", schema.Int(1))
	line("e1", "edge", "North wall", orb.Point{0, 20.5}, orb.Point{30, 20.5}).set("edge_kind", schema.String("wall"))
	line("e2", "edge", "Path edge", orb.Point{0, -10}, orb.Point{30, -10}).set("edge_kind", schema.String("flush"))
	area("p1", "boundary", "Park limit", rect(-10, -40, 80, 40))
	point("s1", "supply", "Outlet", 37, 13)
	area("g1", "building", "Shed", rect(60, 5, 66, 12)).set("height_m", schema.Int(3))
	point("m1", "mark", "Mark 1", -5, -5)
	return p
}

var plotGrid = func() *crs.CRS {
	base, err := crs.Parse("EPSG:4979")
	if err != nil {
		panic(err)
	}
	g, err := crs.NewSite(crs.SiteGrid{Origin: crs.Geodetic{Lon: plotLon, Lat: plotLat, H: plotH}, Scale: 1, Base: base})
	if err != nil {
		panic(err)
	}
	return g
}()

// geoJSON writes the plot as it is, faults included: a feature a line.
func (p *plot) geoJSON() []byte {
	var b bytes.Buffer
	b.WriteString("{\"type\": \"FeatureCollection\", \"name\": \"Invented park\", ")
	var grid *crs.CRS
	if p.grid != "" {
		var err error
		if grid, err = crs.Parse(p.grid); err != nil {
			panic(err)
		}
		// The old member "crs": plane coordinates in "geometry".
		b.WriteString("\"crs\": {\"type\": \"name\", \"properties\": {\"name\": " + strconv.Quote(p.grid) + "}}, ")
	}
	for _, a := range p.members {
		b.Write(schema.AppendJSONString(nil, a.Key))
		b.WriteString(": ")
		b.Write(a.Value.AppendJSON(nil))
		b.WriteString(", ")
	}
	b.WriteString("\"features\": [")
	for i, t := range p.things {
		if i > 0 {
			b.WriteByte(',')
		}
		b.WriteString("\n {\"type\": \"Feature\", \"id\": " + strconv.Quote(t.id) + ", \"properties\": {")
		sep := ""
		prop := func(key, value string) {
			b.WriteString(sep + strconv.Quote(key) + ": " + value)
			sep = ", "
		}
		if t.role != "" {
			prop("role", strconv.Quote(t.role))
		}
		if t.name != "" {
			prop("name", strconv.Quote(t.name))
		}
		for _, a := range t.props {
			prop(a.Key, string(a.Value.AppendJSON(nil)))
		}
		b.WriteString("}, \"geometry\": ")
		switch {
		case t.rings != nil:
			b.WriteString("{\"type\": \"Polygon\", \"coordinates\": [")
			for k, ring := range t.rings {
				if k > 0 {
					b.WriteString(", ")
				}
				t.positions(&b, grid, ring)
			}
			b.WriteString("]}")
		case t.parts != nil:
			b.WriteString("{\"type\": \"MultiPolygon\", \"coordinates\": [")
			for k, ring := range t.parts {
				if k > 0 {
					b.WriteString(", ")
				}
				b.WriteByte('[')
				t.positions(&b, grid, ring)
				b.WriteByte(']')
			}
			b.WriteString("]}")
		case t.line != nil:
			b.WriteString("{\"type\": \"LineString\", \"coordinates\": ")
			t.positions(&b, grid, t.line)
			b.WriteByte('}')
		case t.point != nil:
			b.WriteString("{\"type\": \"Point\", \"coordinates\": ")
			t.position(&b, grid, *t.point)
			b.WriteByte('}')
		default:
			b.WriteString("null")
		}
		b.WriteByte('}')
	}
	b.WriteString("\n]}\n")
	return b.Bytes()
}

func (t *thing) positions(b *bytes.Buffer, grid *crs.CRS, pts []orb.Point) {
	b.WriteByte('[')
	for i, p := range pts {
		if i > 0 {
			b.WriteString(", ")
		}
		t.position(b, grid, p)
	}
	b.WriteByte(']')
}

func (t *thing) position(b *bytes.Buffer, grid *crs.CRS, p orb.Point) {
	flat := []float64{p[0], p[1], plotH}
	decimals := 10
	if !t.raw {
		if err := plotGrid.ToGeodetic(flat, 3); err != nil {
			panic(err)
		}
		if grid != nil {
			decimals = 5
			if err := grid.FromGeodetic(flat, 3); err != nil {
				panic(err)
			}
		}
	}
	fmt.Fprintf(b, "[%s, %s", fixed(flat[0], decimals), fixed(flat[1], decimals))
	if t.z != nil {
		fmt.Fprintf(b, ", %s", fixed(t.z(p), 5))
	}
	b.WriteByte(']')
}

func fixed(v float64, decimals int) string { return string(wire.AppendFixed(nil, v, decimals)) }

// plan reads the plot back as a plan, through the reader.
func (p *plot) plan(t testing.TB) *schema.Plan {
	t.Helper()
	plan, _, err := geojson.Read(p.geoJSON(), wire.ReadOptions{Name: "plot.geojson"})
	if err != nil {
		t.Fatal(err)
	}
	return plan
}
