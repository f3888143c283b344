// Tests of curves, areas and hatches inside blocks: whatever turns, mirrors,
// repeats and nests them, they lie where closed forms put them.

package dxf

import (
	"fmt"
	"math"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/schema"
)

// similarity is where an insert puts a point of its block; scale keeps shapes.
type similarity func(x, y float64) (float64, float64)

// put is the definition of an INSERT: less the block's base point, scaled,
// turned, shifted to the insertion point and by the steps of the array, which
// are turned but not scaled.
func put(baseX, baseY, sx, sy, degrees, insertX, insertY, stepX, stepY float64) similarity {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	return func(x, y float64) (float64, float64) {
		x, y = (x-baseX)*sx+stepX, (y-baseY)*sy+stepY
		return x*cos - y*sin + insertX, x*sin + y*cos + insertY
	}
}

// inverse takes vertices back into the block.
func (s similarity) inverse(flat []float64, stride int) (local []float64, scale float64) {
	ox, oy := s(0, 0)
	ax, ay := s(1, 0)
	bx, by := s(0, 1)
	ax, ay, bx, by = ax-ox, ay-oy, bx-ox, by-oy
	d := ax*by - ay*bx
	for i := 0; i < len(flat); i += stride {
		u, v := flat[i]-ox, flat[i+1]-oy
		local = append(local, (u*by-v*bx)/d, (v*ax-u*ay)/d)
	}
	return local, math.Sqrt(math.Abs(d))
}

func TestCurvesInInserts(t *testing.T) {
	const chord = 0.005
	h := math.Sqrt2 / 2
	spline := []any{0, "SPLINE", 8, "0", 70, 13, 71, 2, 72, 12, 73, 9}
	for _, k := range []float64{0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4} {
		spline = append(spline, 40, k)
	}
	for i, xy := range [][2]float64{{1, 0}, {1, 1}, {0, 1}, {-1, 1}, {-1, 0}, {-1, -1}, {0, -1}, {1, -1}, {1, 0}} {
		spline = append(spline, 10, 7*xy[0], 20, 7*xy[1], 30, 0, 41, []float64{1, h}[i%2])
	}
	square := func(x, y, size float64) []any {
		return []any{92, 3, 72, 0, 73, 1, 93, 4, 10, x, 20, y, 10, x + size, 20, y, 10, x + size, 20, y + size, 10, x, 20, y + size, 97, 0}
	}
	hatch := append(append([]any{0, "HATCH", 8, "0", 10, 0, 20, 0, 30, 0, 210, 0, 220, 0, 230, 1, 2, "SOLID", 70, 1, 71, 0, 91, 2}, square(0, 0, 10)...), square(2, 2, 6)...)
	content := pairs(0, "CIRCLE", 8, "0", 10, 3, 20, -2, 40, 4) +
		pairs(0, "ARC", 8, "0", 10, 3, 20, -2, 40, 6, 50, 300, 51, 100) +
		pairs(0, "LWPOLYLINE", 8, "0", 90, 4, 70, 1, 10, 0, 20, 0, 10, 10, 20, 0, 42, 1, 10, 10, 20, 4, 10, 0, 20, 4, 42, 1) +
		pairs(0, "ELLIPSE", 8, "0", 10, 1, 20, 1, 30, 0, 11, 6, 21, 8, 31, 0, 40, 0.3, 41, 0, 42, 2*math.Pi) +
		pairs(spline...) + pairs(append(hatch, 75, 0, 76, 1, 98, 1, 10, 3, 20, 3)...)

	// round holds vertices and the middles of their chords against a circle.
	round := func(local []float64, scale, cx, cy, r float64) error {
		for i := 0; i < len(local); i += 2 {
			if d := math.Hypot(local[i]-cx, local[i+1]-cy); math.Abs(d-r) > 1e-9 {
				return fmt.Errorf("vertex %d is %.12g from the centre, want %g", i/2, d, r)
			}
			if i > 0 {
				mx, my := (local[i]+local[i-2])/2-cx, (local[i+1]+local[i-1])/2-cy
				if rise := scale * (r - math.Hypot(mx, my)); rise > chord*(1+1e-9) {
					return fmt.Errorf("chord %d leaves the curve by %g m", i/2, rise)
				}
			}
		}
		return nil
	}
	area := func(local []float64) float64 { return math.Abs(schema.TwiceArea(local, 2)) / 2 }
	shapes := []func(local []float64, ends []int, scale float64) error{
		func(local []float64, _ []int, scale float64) error { return round(local, scale, 3, -2, 4) },
		func(local []float64, _ []int, scale float64) error {
			n := len(local)
			for i, degrees := range []float64{300, 100} {
				sin, cos := math.Sincos(degrees * math.Pi / 180)
				x, y := local[i*(n-2)], local[i*(n-2)+1]
				if math.Hypot(x-3-6*cos, y+2-6*sin) > 1e-9 {
					return fmt.Errorf("end %d is %g, %g", i, x, y)
				}
			}
			// The way round through 0 degrees, 160 in all, not back
			// through 200.
			for i := 0; i < n; i += 2 {
				if local[i] < 3+6*math.Cos(100*math.Pi/180)-1e-9 {
					return fmt.Errorf("the arc runs the other way: %g, %g", local[i], local[i+1])
				}
			}
			return round(local, scale, 3, -2, 6)
		},
		func(local []float64, _ []int, scale float64) error {
			want := 40 + math.Pi*4
			if got := area(local); got > want || want-got > 2*math.Pi*2*chord/scale {
				return fmt.Errorf("the stadium encloses %g, true %g", got, want)
			}
			for i := 0; i < len(local); i += 2 {
				x, y := local[i], local[i+1]
				switch {
				case x > 10 && math.Abs(math.Hypot(x-10, y-2)-2) > 1e-9, x < 0 && math.Abs(math.Hypot(x, y-2)-2) > 1e-9:
					return fmt.Errorf("vertex %g, %g is off the half circle", x, y)
				}
			}
			return nil
		},
		func(local []float64, _ []int, scale float64) error {
			for i := 0; i < len(local); i += 2 {
				x, y := local[i]-1, local[i+1]-1
				along, across := (x*3+y*4)/5, (-x*4+y*3)/5
				if e := along*along/100 + across*across/9; math.Abs(e-1) > 1e-9 {
					return fmt.Errorf("vertex %d is off the ellipse: %g", i/2, e)
				}
			}
			if got := area(local); math.Abs(got-math.Pi*30) > chord/scale*50 {
				return fmt.Errorf("the ellipse encloses %g, true %g", got, math.Pi*30)
			}
			return nil
		},
		func(local []float64, _ []int, scale float64) error { return round(local, scale, 0, 0, 7) },
		func(local []float64, ends []int, _ float64) error {
			if len(ends) != 2 {
				return fmt.Errorf("the hatch has %d rings, want 2", len(ends))
			}
			// Flat positions of the drawing have the stride 2 of local ones.
			shell, hole := area(local[:ends[0]]), area(local[ends[0]:])
			if math.Abs(shell-100) > 1e-9 || math.Abs(hole-36) > 1e-9 {
				return fmt.Errorf("the hatch encloses %g less %g, want 100 less 36", shell, hole)
			}
			return nil
		},
	}

	for _, sx := range []float64{1, -1, 2.5, -2.5, 0.1} {
		for _, flip := range []float64{1, -1} {
			for _, turn := range []float64{0, 37, 180, 290} {
				for _, down := range []bool{false, true} {
					sy := sx * flip
					name := fmt.Sprintf("scale %g, %g, turned by %g, extruded down %v", sx, sy, turn, down)
					inner := put(1, 2, sx, sy, turn, 20, 30, 0, 0)
					entity := []any{0, "INSERT", 8, "0", 2, "OUTER", 10, 100, 20, 200, 41, -1, 42, 1, 50, 15, 70, 2, 71, 2, 44, 50, 45, 60}
					if down {
						entity = append(entity, 210, 0, 220, 0, 230, -1)
					}
					text := withBlocks(blockOf("INNER", 1, 2, content)+
						blockOf("OUTER", 5, 6, pairs(0, "INSERT", 8, "0", 2, "INNER", 10, 20, 20, 30, 41, sx, 42, sy, 50, turn)), pairs(entity...))
					p, _ := read(t, text, wire.ReadOptions{})
					var drawn []*schema.Feature
					for _, f := range p.Features {
						if f.Attributes.Get(schema.PropEntity).Text() != "INSERT" {
							drawn = append(drawn, f)
						}
					}
					if len(drawn) != 4*len(shapes) {
						t.Fatalf("%s: %d shapes, want %d", name, len(drawn), 4*len(shapes))
					}
					for i, f := range drawn {
						copy := i / len(shapes)
						outer := put(5, 6, -1, 1, 15, 100, 200, 50*float64(copy%2), 60*float64(copy/2))
						where := similarity(func(x, y float64) (float64, float64) {
							x, y = outer(inner(x, y))
							if down { // the arbitrary axis of (0, 0, -1) is (-1, 0, 0)
								x = -x
							}
							return x, y
						})
						local, scale := where.inverse(f.Geometry.FlatCoords(), f.Geometry.Stride())
						var ends []int
						if g, ok := f.Geometry.(*geom.Polygon); ok {
							ends = g.Ends()
						}
						if err := shapes[i%len(shapes)](local, ends, scale); err != nil {
							t.Fatalf("%s: copy %d, %s: %v", name, copy, f.Attributes.Get(schema.PropEntity).Text(), err)
						}
					}
				}
			}
		}
	}
}

// A unit that makes the site 30 km wide is doubted, one that makes it 3 m is
// not refused, and the drawing stays readable.
func TestSizesThatAreDoubted(t *testing.T) {
	for _, c := range []struct {
		width float64
		unit  string
		want  string
	}{
		{30000, "m", "site-large:1"}, {30000, "mm", ""}, {19000, "m", ""}, {21000, "m", "site-large:1"}, {0.5, "m", "site-small:1"}, {30, "mm", "site-small:1"}, {100000, "ft", "site-large:1"},
	} {
		p, w := read(t, drawing(lineOf("A", 0, 0, c.width, 0.1)), wire.ReadOptions{Unit: c.unit})
		got := ""
		for _, x := range w {
			if x.Kind == "site-large" || x.Kind == "site-small" {
				got = fmt.Sprintf("%s:%d", x.Kind, x.Count)
			}
		}
		if got != c.want || len(p.Features) != 1 {
			t.Errorf("%g %s: warned of %q, want %q; %d features", c.width, c.unit, got, c.want, len(p.Features))
		}
	}
}

// A block inserted at a far origin does not make the site large; a line there
// does.
func TestInsertPointsDoNotStretchADrawing(t *testing.T) {
	for _, c := range []struct {
		far   string
		large bool
	}{{"0\nINSERT\n8\nA\n2\nEMPTY\n10\n500000\n20\n500000\n", false}, {"0\nPOINT\n8\nA\n10\n500000\n20\n500000\n", true}} {
		text := "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n6\n0\nENDSEC\n0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nEMPTY\n10\n0\n20\n0\n0\nENDBLK\n0\nENDSEC\n" +
			"0\nSECTION\n2\nENTITIES\n0\nLINE\n8\nA\n10\n0\n20\n0\n11\n50\n21\n0\n" + c.far + "0\nENDSEC\n0\nEOF\n"
		_, warnings, err := Read([]byte(text), wire.ReadOptions{})
		if err != nil {
			t.Fatal(err)
		}
		large := false
		for _, w := range warnings {
			large = large || w.Kind == "site-large"
		}
		if large != c.large {
			t.Errorf("%q: large %v, %v", c.far, large, warnings)
		}
	}
}

// A site drawn in its grid and held by the origin of it: the plan and the
// inventory have the size of what is drawn, and the point is left out and told.
// One near by stays, and so does one with attributes.
func TestPointsThatHoldABlockFromAfar(t *testing.T) {
	square := polylineOf(1, 500000, 6200000, 500020, 6200000, 500020, 6200020, 500000, 6200020)
	for _, c := range []struct {
		name         string
		base, insert float64 // y of the block's base point and of its insert
		attribs      string
		points       int
		kinds        string
	}{
		{"the origin", 0, 0, "", 0, "insert-point-far:1"},
		{"at the limit", 6200120, 6200120, "", 1, ""},
		{"a hair beyond", 6200120.001, 6200120.001, "", 0, "insert-point-far:1"},
		{"with attributes", 0, 0, pairs(0, "ATTRIB", 2, "T", 1, "v") + pairs(0, "SEQEND"), 1, ""},
	} {
		text := withBlocks(blockOf("SITE", 500010, c.base, square), pairs(0, "INSERT", 8, "0", 66, 1, 2, "SITE", 10, 500010, 20, c.insert)+c.attribs)
		p, w := read(t, text, wire.ReadOptions{})
		points := 0
		for _, f := range p.Features {
			if _, ok := f.Geometry.(*geom.Point); ok {
				points++
			}
		}
		if points != c.points || len(p.Features) != points+1 || kinds(w) != c.kinds {
			t.Errorf("%s: %d points, %d features, %v", c.name, points, len(p.Features), w)
		}
		inv, err := Look([]byte(text), wire.ReadOptions{})
		if err != nil || inv.Extent.Size() != 20 {
			t.Errorf("%s: the inventory is %g across, %v", c.name, inv.Extent.Size(), err)
		}
	}
	// A block of nothing but points of its own is where it is held.
	inv, err := Look([]byte(withBlocks(blockOf("A", 0, 0, pairs(0, "ATTDEF", 8, "0", 10, 0, 20, 0)), pairs(0, "INSERT", 8, "0", 2, "A", 10, 5, 20, 6))), wire.ReadOptions{})
	if err != nil || inv.Extent.Min != [2]float64{5, 6} {
		t.Errorf("%+v %v", inv, err)
	}
}
