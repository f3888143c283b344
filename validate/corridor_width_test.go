// Openings that a corridor goes through: ends that stand staggered, lines that
// it crosses in a slant, bends
// within.

package validate_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// TestOpeningsACorridorGoesThrough: the corridor runs south along 15 m east and
// crosses what is drawn at 5 m south. Each opening is held at the limit and 2 mm
// either side of it.
func TestOpeningsACorridorGoesThrough(t *testing.T) {
	line := func(p *plot, id, role, key, kind string, pts ...orb.Point) {
		p.add(&thing{id: id, role: role, name: id, line: pts, z: flatGround}).set(key, schema.String(kind))
	}
	// off is the place so far to the left (negative) or right of the corridor's
	// crossing, on a line that the corridor meets at so many degrees.
	off := func(along, deg float64) orb.Point {
		s, c := math.Sincos((90 - deg) * math.Pi / 180)
		return orb.Point{15 + along*c, -5 + along*s}
	}
	split := func(role, key, kind string, deg, stagger float64) func(p *plot, wide float64) {
		return func(p *plot, wide float64) {
			half := math.Sqrt(wide*wide-stagger*stagger) / 2
			for k, id := range []string{"e8", "e9"} {
				side := float64(2*k - 1)
				a, b := off(side*half, deg), off(side*(half+3), deg)
				a[1], b[1] = a[1]+side*stagger/2, b[1]+side*stagger/2
				line(p, id, role, key, kind, a, b)
			}
		}
	}
	opened := func(kind, by string, deg float64) func(p *plot, wide float64) {
		return func(p *plot, wide float64) {
			line(p, "e8", "edge", "edge_kind", kind, off(-4, deg), off(4, deg))
			line(p, "e9", "edge", "edge_kind", by, off(-wide/2, deg), off(wide/2, deg))
		}
	}
	bent := func(deg float64) func(p *plot, wide float64) {
		return func(p *plot, wide float64) {
			s, c := math.Sincos(deg * math.Pi / 180)
			p.get("c2").line = []orb.Point{{15, 1.5}, {15, -1}, {15, -5}, {15 + 2*s, -5 - 2*c}, {15, -9}, {15, -11.5}}
			split("edge", "edge_kind", "wall", 90, 0)(p, wide)
		}
	}
	for _, x := range []struct {
		name string
		draw func(p *plot, wide float64)
	}{
		{"kerbs that end opposite one another", split("edge", "edge_kind", "kerb", 90, 0)},
		{"kerbs staggered by 1 cm", split("edge", "edge_kind", "kerb", 90, 0.01)},
		{"kerbs staggered by 0.9 m", split("edge", "edge_kind", "kerb", 90, 0.9)},
		{"walls staggered by 0.5 m", split("edge", "edge_kind", "wall", 90, 0.5)},
		{"drops staggered by 5 cm", split("edge", "edge_kind", "drop", 90, 0.05)},
		{"hedges staggered by 0.5 m", split("hazard", "hazard_kind", "hedge", 90, 0.5)},
		{"a fence crossed at 80 degrees", split("edge", "edge_kind", "fence", 80, 0)},
		{"a fence crossed at 45 degrees", split("edge", "edge_kind", "fence", 45, 0)},
		{"a gate in a fence crossed at 60 degrees", opened("fence", "gate", 60)},
		{"a ramp in a kerb crossed at 45 degrees", opened("kerb", "ramp", 45)},
		{"a corridor that bends by 10 degrees in the opening", bent(10)},
		{"a corridor that bends by 60 degrees in the opening", bent(60)},
		{"corners of two sheds, staggered", func(p *plot, wide float64) {
			half := math.Sqrt(wide*wide-0.25) / 2
			for k, id := range []string{"g8", "g9"} {
				s := float64(2*k - 1)
				x, y := 15+s*half, -5+s*0.25
				p.add(&thing{id: id, role: "building", name: id, z: flatGround, rings: [][]orb.Point{{{x, y}, {x + s, y + 1}, {x + 2*s, y}, {x + s, y - 1}, {x, y}}}}).set("height_m", num(0.1))
			}
		}},
	} {
		for _, more := range []float64{-0.2, -0.002, 0, 0.002} {
			p := park()
			x.draw(p, 1.5+more)
			r := validate.Check(p.plan(t), schema.DefaultLimits())
			got := math.NaN()
			for _, f := range r.Findings {
				if f.Rule == validate.RuleCorridorNarrow && f.Limit == 1.5 {
					got = f.Measured
				}
			}
			if told := !math.IsNaN(got); told != (more < 0) || told && !(math.Abs(got-1.5-more) <= 0.0005) {
				t.Errorf("%s, %.3f m: measured %.4f", x.name, 1.5+more, got)
			}
		}
	}
}

// TestNothingAcrossACorridor: what stands on one side of a corridor only, or
// behind its end, narrows nothing.
func TestNothingAcrossACorridor(t *testing.T) {
	kerb := func(pts ...orb.Point) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "e9", role: "edge", name: "Kerb", line: pts, z: flatGround}).set("edge_kind", schema.String("kerb"))
		}
	}
	way := func(pts ...orb.Point) func(p *plot) { return func(p *plot) { p.get("c2").line = pts } }
	for _, x := range []struct {
		name string
		draw []func(p *plot)
	}{
		{"a kerb beside it and on behind its end", []func(p *plot){kerb(orb.Point{13, 2}, orb.Point{15.5, 2}, orb.Point{15.5, -4})}},
		{"a kerb beside it and another behind its end", []func(p *plot){kerb(orb.Point{15.5, 1}, orb.Point{15.5, -4}), func(p *plot) {
			p.add(&thing{id: "e8", role: "edge", name: "Other", line: []orb.Point{{13, 2}, {14.5, 1.8}}, z: flatGround}).set("edge_kind", schema.String("kerb"))
		}}},
		{"a kerb whose end it goes round", []func(p *plot){kerb(orb.Point{15.5, 3}, orb.Point{15.5, -4}), way(orb.Point{15, 1.5}, orb.Point{15, -4.5}, orb.Point{16, -4.5}, orb.Point{16, 1.5})}},
		{"a corner of a kerb that it runs round within", []func(p *plot){kerb(orb.Point{14.6, 1}, orb.Point{14.6, -5.4}, orb.Point{22, -5.4}), way(orb.Point{15, 1.5}, orb.Point{15, -5}, orb.Point{24, -5}, orb.Point{24, -11.5})}},
		{"the same cut", []func(p *plot){kerb(orb.Point{14.6, 1}, orb.Point{14.6, -5.4}, orb.Point{22, -5.4}), way(orb.Point{15, 1.5}, orb.Point{15, -4}, orb.Point{16, -5}, orb.Point{24, -5}, orb.Point{24, -11.5})}},
		{"kerbs one after the other", []func(p *plot){kerb(orb.Point{14.6, 1}, orb.Point{14.6, -4}), func(p *plot) {
			p.add(&thing{id: "e8", role: "edge", name: "Other", line: []orb.Point{{15.4, -5.3}, {15.4, -9}}, z: flatGround}).set("edge_kind", schema.String("kerb"))
		}}},
	} {
		p := park()
		for _, d := range x.draw {
			d(p)
		}
		if o := validate.Check(p.plan(t), schema.DefaultLimits()).Outcome(validate.RuleCorridorNarrow); o.Outcome != validate.Passed {
			t.Errorf("%s: %s (%s)", x.name, o.Outcome, o.Reason)
		}
	}
}
