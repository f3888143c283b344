// The park, in metres of its own site grid. Every name, figure and place here
// is invented; the origin lies in open water on purpose.

package main

import (
	"math"

	"github.com/twpayne/go-geom"

	"swardline/crs"
	"swardline/schema"
)

// siteGrid: grid north is turned 12.5 degrees clockwise of true north, along
// the terrace of the invented house.
func siteGrid() (*crs.CRS, error) {
	return crs.NewSite(crs.SiteGrid{
		Origin:      crs.Geodetic{Lon: 11.2, Lat: 56.95, H: 45},
		RotationDeg: 12.5,
		Scale:       1,
		FalseE:      1000,
		FalseN:      5000,
	})
}

const (
	falseE, falseN = 1000, 5000
	ground         = 45.0 // ellipsoidal height of the lawns, m
)

// xy is a point of the drawing, metres from the park's south-west corner.
type xy struct{ x, y float64 }

type feature struct {
	id, role, name string
	geometry       geom.T
	attributes     schema.Attributes
}

func flat(height float64, points ...xy) []float64 {
	out := make([]float64, 0, 3*len(points))
	for _, p := range points {
		out = append(out, falseE+p.x, falseN+p.y, height)
	}
	return out
}

func point(height float64, p xy) geom.T { return geom.NewPointFlat(geom.XYZ, flat(height, p)) }

func line(points ...xy) geom.T { return geom.NewLineStringFlat(geom.XYZ, flat(ground, points...)) }

// area takes an outline drawn anticlockwise and closes it.
func area(points ...xy) geom.T {
	coords := flat(ground, append(points, points[0])...)
	return geom.NewPolygonFlat(geom.XYZ, coords, []int{len(coords)})
}

func rectangle(x0, y0, x1, y1 float64) geom.T {
	return area(xy{x0, y0}, xy{x1, y0}, xy{x1, y1}, xy{x0, y1})
}

// arc gives n+1 points from angle a to b, degrees anticlockwise from the x
// axis.
func arc(c xy, r, a, b float64, n int) []xy {
	var out []xy
	for i := 0; i <= n; i++ {
		t := (a + (b-a)*float64(i)/float64(n)) * math.Pi / 180
		out = append(out, xy{c.x + r*math.Cos(t), c.y + r*math.Sin(t)})
	}
	return out
}

func circle(c xy, r float64, n int) geom.T {
	points := arc(c, r, 0, 360, n)
	return area(points[:n]...)
}

// attributes pairs keys with strings, numbers and truth values.
func attributes(pairs ...any) schema.Attributes {
	var out schema.Attributes
	for i := 0; i+1 < len(pairs); i += 2 {
		var v schema.Value
		switch x := pairs[i+1].(type) {
		case string:
			v = schema.String(x)
		case bool:
			v = schema.Bool(x)
		case int:
			v = schema.Int(int64(x))
		case float64:
			v = schema.Float(x)
		}
		out.Set(pairs[i].(string), v)
	}
	return out
}

func plan(name string, features []feature) (*schema.Plan, error) {
	grid, err := siteGrid()
	if err != nil {
		return nil, err
	}
	p := &schema.Plan{Name: name, CRS: grid, Attributes: attributes(
		"note", "Invented for demonstration. No such park exists; the place lies in open water.",
		schema.PlanHeld, "offsets",
	)}
	for _, f := range features {
		role, _ := schema.ParseRole(f.role)
		p.Features = append(p.Features, &schema.Feature{
			ID: schema.String(f.id), Role: role, Name: f.name, Geometry: f.geometry, Attributes: f.attributes,
		})
	}
	return p, nil
}

// lawn is the long lawn's outline: a rectangle with its north-east corner
// rounded to a radius of 20 m.
func lawn() geom.T {
	points := []xy{{108, 50}, {165, 50}}
	points = append(points, arc(xy{145, 95}, 20, 0, 90, 18)...)
	points = append(points, xy{108, 115})
	return area(points...)
}

func parkFeatures() []feature {
	return []feature{
		{"b1", "boundary", "Example Park", rectangle(0, 0, 180, 130), nil},
		{"z1", "zone", "North lawn", rectangle(20, 70, 58, 108), attributes("heading_deg", 12.5, "cut_mm", 8)},
		{"z2", "zone", "Strip", rectangle(20, 12, 150, 40), attributes("heading_deg", 102.5, "cut_mm", 25)},
		{"z3", "zone", "Long lawn", lawn(), attributes("heading_deg", 57.5, "cut_mm", 35)},
		{"k1", "keepout", "Flower bed", rectangle(78, 22, 100, 25.5), attributes("note", "replanted in October and April")},
		{"k2", "keepout", "Pond", circle(xy{140, 82}, 10, 64), nil},
		{"k3", "keepout", "Large tree", circle(xy{152, 106}, 1.2, 32), nil},
		{"k4", "keepout", "Small tree", circle(xy{121, 106}, 1.0, 32), nil},
		{"k5", "keepout", "Event tent", rectangle(112, 60, 122, 68), attributes("active", false, "note", "summer only")},
		{"h1", "hazard", "Pond water", circle(xy{140, 82}, 9, 64), attributes("hazard_kind", "pond")},
		{"h2", "hazard", "Large tree trunk", point(ground, xy{152, 106}), attributes("hazard_kind", "tree", "radius_m", 0.6, "height_m", 14.0)},
		{"h3", "hazard", "Small tree trunk", point(ground, xy{121, 106}), attributes("hazard_kind", "tree", "radius_m", 0.2, "height_m", 6.5)},
		{"h4", "hazard", "South road", line(xy{-10, -4}, xy{190, -4}), attributes("hazard_kind", "road")},
		{"e1", "edge", "Strip kerb", line(xy{20, 11.8}, xy{150, 11.8}), attributes("edge_kind", "kerb")},
		{"e2", "edge", "Lawn surround", line(xy{20, 70}, xy{58, 70}, xy{58, 108}, xy{20, 108}, xy{20, 70}), attributes("edge_kind", "flush")},
		{"e3", "edge", "Lawn wall", line(xy{107.8, 50}, xy{107.8, 115}), attributes("edge_kind", "wall")},
		{"p1", "building", "House", rectangle(84, 52, 100, 64), attributes("height_m", 4.2)},
		{"s1", "supply", "House socket", point(ground+0.4, xy{84, 58}), nil},
		{"s0", "base", "House mast", point(ground+6.5, xy{98, 62}), attributes("antenna_height_m", 6.5, "frame", "WGS 84 (G2139)", "epoch", 2024.5)},
		{"d1", "dock", "Dock", point(ground, xy{66, 58}), attributes("heading_deg", 102.5, "standoff_m", 2.0)},
		{"c1", "corridor", "Dock to north lawn", line(xy{40, 71.2}, xy{40, 68.8}, xy{42, 62}, xy{48, 58}, xy{64, 58}), nil},
		{"c2", "corridor", "Dock to strip", line(xy{50, 38.8}, xy{50, 41.2}, xy{50, 54}, xy{54, 58}, xy{64, 58}), nil},
		{"c3", "corridor", "Strip to long lawn", line(xy{130, 38.8}, xy{130, 41.2}, xy{130, 48.8}, xy{130, 51.2}), nil},
		{"m1", "mark", "M1", point(ground+0.02, xy{4, 4}), nil},
		{"m2", "mark", "M2", point(ground+0.31, xy{176, 5}), nil},
		{"m3", "mark", "M3", point(ground+0.44, xy{175, 126}), nil},
		{"m4", "mark", "M4", point(ground+0.15, xy{5, 125}), nil},
	}
}

func parkPlan() (*schema.Plan, error) { return plan("Example Park (invented)", parkFeatures()) }
