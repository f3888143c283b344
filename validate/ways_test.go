// What is declared, joined or measured exactly, and so is no fault: crossings
// at ramps and gates, corridors in two parts, circles, heights that are none of
// the ground.

package validate_test

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/twpayne/go-geom"

	"swardline/schema"
	"swardline/validate"
)

func TestDeclaredCrossings(t *testing.T) {
	const warned = validate.Outcome("failed with a warning")
	edge := func(p *plot, id, kind string, pts ...orb.Point) {
		p.add(&thing{id: id, role: "edge", name: id, line: pts, z: flatGround}).set("edge_kind", schema.String(kind))
	}
	road := func(p *plot) {
		p.add(&thing{id: "h9", role: "hazard", name: "Lane", rings: [][]orb.Point{rect(-5, -6.5, 35, -3.5)}, z: flatGround}).set("hazard_kind", schema.String("road"))
	}
	lane := func(p *plot) {
		p.add(&thing{id: "h9", role: "hazard", name: "Lane", line: []orb.Point{{-5, -5}, {35, -5}}, z: flatGround}).set("hazard_kind", schema.String("road"))
	}
	// A lawn beside the south lawn, something along the edge that they share.
	beside := func(kind, opening string, off float64) func(p *plot) {
		return func(p *plot) {
			edge(p, "e8", kind, orb.Point{-5, -5}, orb.Point{35, -5})
			edge(p, "e9", opening, orb.Point{14, -5 + off}, orb.Point{16, -5 + off})
		}
	}
	behind := func(kind string, north float64) func(p *plot) {
		return func(p *plot) {
			edge(p, "e8", kind, orb.Point{30, -31}, orb.Point{30, north})
			p.add(&thing{id: "z9", role: "zone", name: "East lawn", rings: [][]orb.Point{rect(30, -30, 40, -10)}, z: flatGround})
		}
	}
	for _, x := range []struct {
		name, rule string
		draw       func(p *plot)
		want       validate.Outcome
	}{
		{"a fence", "corridor-narrow", func(p *plot) { edge(p, "e8", "fence", orb.Point{-5, -5}, orb.Point{35, -5}) }, validate.Failed},
		{"a fence with a gate", "corridor-narrow", func(p *plot) {
			edge(p, "e8", "fence", orb.Point{-5, -5}, orb.Point{35, -5})
			edge(p, "e9", "gate", orb.Point{14.2, -5}, orb.Point{15.8, -5})
		}, validate.Passed},
		{"a gate drawn 0.25 m beside its wall", "corridor-narrow", beside("wall", "gate", 0.25), validate.Passed},
		{"a gate drawn 0.299 m beside its wall", "corridor-narrow", beside("wall", "gate", 0.299), validate.Passed},
		{"a gate drawn 0.301 m beside its wall", "corridor-narrow", beside("wall", "gate", 0.301), validate.Failed},
		{"a gate drawn 0.301 m on the other side", "corridor-narrow", beside("wall", "gate", -0.301), validate.Failed},
		{"a ramp drawn 0.299 m beside its kerb", "corridor-narrow", beside("kerb", "ramp", 0.299), validate.Passed},
		{"a ramp drawn 0.301 m beside its kerb", "corridor-narrow", beside("kerb", "ramp", 0.301), validate.Failed},
		{"a gate with a width_m a hair below the machine's", "corridor-narrow", func(p *plot) {
			edge(p, "e8", "fence", orb.Point{-5, -5}, orb.Point{35, -5})
			edge(p, "e9", "gate", orb.Point{14.2, -5}, orb.Point{15.8, -5})
			p.get("e9").set("width_m", num(0.598))
		}, validate.Failed},
		{"a gate with a width_m of the machine", "corridor-narrow", func(p *plot) {
			edge(p, "e8", "fence", orb.Point{-5, -5}, orb.Point{35, -5})
			edge(p, "e9", "gate", orb.Point{14.2, -5}, orb.Point{15.8, -5})
			p.get("e9").set("width_m", num(0.6))
		}, validate.Failed},
		{"a gate with a width_m a hair below a passage", "corridor-narrow", func(p *plot) {
			edge(p, "e8", "fence", orb.Point{-5, -5}, orb.Point{35, -5})
			edge(p, "e9", "gate", orb.Point{14.2, -5}, orb.Point{15.8, -5})
			p.get("e9").set("width_m", num(1.497))
		}, validate.Failed},
		{"a gate with a width_m of a passage", "corridor-narrow", func(p *plot) {
			edge(p, "e8", "fence", orb.Point{-5, -5}, orb.Point{35, -5})
			edge(p, "e9", "gate", orb.Point{14.2, -5}, orb.Point{15.8, -5})
			p.get("e9").set("width_m", num(1.5))
		}, validate.Passed},
		{"a fence through a lawn with gates that overlap", "edge-setback", func(p *plot) {
			edge(p, "e6", "fence", orb.Point{5, -20}, orb.Point{11.1, -20})
			edge(p, "e8", "gate", orb.Point{5, -20}, orb.Point{8.5, -20})
			edge(p, "e9", "gate", orb.Point{8, -20}, orb.Point{11.1, -20})
		}, validate.Failed},
		{"a fence through a lawn with one gate drawn twice", "edge-setback", func(p *plot) {
			edge(p, "e6", "fence", orb.Point{5, -20}, orb.Point{8.5, -20})
			edge(p, "e8", "gate", orb.Point{5, -20}, orb.Point{8.5, -20})
			edge(p, "e9", "gate", orb.Point{5.4, -20.1}, orb.Point{8.1, -20.1})
			posts(p, 5, 8.5)
		}, validate.Passed},
		{"a wall 0.049 m behind the fence with the gate", "corridor-narrow", func(p *plot) {
			edge(p, "e8", "fence", orb.Point{-5, -5}, orb.Point{35, -5})
			edge(p, "e9", "gate", orb.Point{14.2, -5}, orb.Point{15.8, -5})
			edge(p, "e7", "wall", orb.Point{-5, -5.049}, orb.Point{35, -5.049})
		}, validate.Passed},
		{"a wall 0.051 m behind the fence with the gate", "corridor-narrow", func(p *plot) {
			edge(p, "e8", "fence", orb.Point{-5, -5}, orb.Point{35, -5})
			edge(p, "e9", "gate", orb.Point{14.2, -5}, orb.Point{15.8, -5})
			edge(p, "e7", "wall", orb.Point{-5, -5.051}, orb.Point{35, -5.051})
		}, validate.Failed},
		{"a fence with a gate of 1.4 m", "corridor-narrow", func(p *plot) {
			edge(p, "e8", "fence", orb.Point{-5, -5}, orb.Point{35, -5})
			edge(p, "e9", "gate", orb.Point{14.3, -5}, orb.Point{15.7, -5})
		}, validate.Failed},
		{"a kerb with a ramp drawn 0.2 m beside it", "corridor-narrow", func(p *plot) {
			edge(p, "e8", "kerb", orb.Point{-5, -5}, orb.Point{35, -5})
			edge(p, "e9", "ramp", orb.Point{14, -4.8}, orb.Point{16, -4.8})
		}, validate.Passed},
		{"a kerb with a ramp drawn 0.4 m beside it", "corridor-narrow", func(p *plot) {
			edge(p, "e8", "kerb", orb.Point{-5, -5}, orb.Point{35, -5})
			edge(p, "e9", "ramp", orb.Point{14, -4.6}, orb.Point{16, -4.6})
		}, validate.Failed},
		{"a fence crossed at the gate and again beside it", "corridor-narrow", func(p *plot) {
			edge(p, "e8", "fence", orb.Point{-5, -5}, orb.Point{20, -5}, orb.Point{20, -7}, orb.Point{-5, -7})
			edge(p, "e9", "gate", orb.Point{14, -5}, orb.Point{16, -5})
		}, validate.Failed},
		{"a road", "hazard-uncovered", road, validate.Failed},
		{"a road with a ramp on one side", "hazard-uncovered", func(p *plot) {
			road(p)
			edge(p, "e9", "ramp", orb.Point{14, -3.5}, orb.Point{16, -3.5})
		}, validate.Failed},
		{"a road with ramps on both sides", "hazard-uncovered", func(p *plot) {
			road(p)
			edge(p, "e8", "ramp", orb.Point{14, -3.5}, orb.Point{16, -3.5})
			edge(p, "e9", "ramp", orb.Point{14, -6.5}, orb.Point{16, -6.5})
		}, warned},
		{"a pond with ramps on both sides", "hazard-uncovered", func(p *plot) {
			road(p)
			p.get("h9").set("hazard_kind", schema.String("pond"))
			edge(p, "e8", "ramp", orb.Point{14, -3.5}, orb.Point{16, -3.5})
			edge(p, "e9", "ramp", orb.Point{14, -6.5}, orb.Point{16, -6.5})
		}, validate.Failed},
		{"a drop with a ramp", "corridor-narrow", func(p *plot) {
			edge(p, "e8", "drop", orb.Point{-5, -5}, orb.Point{35, -5})
			edge(p, "e9", "ramp", orb.Point{14, -5}, orb.Point{16, -5})
		}, validate.Passed},
		{"a road with a ramp 0.29 m beside the corridor", "hazard-uncovered", func(p *plot) {
			road(p)
			edge(p, "e9", "ramp", orb.Point{15.29, -7.5}, orb.Point{15.29, -2.5})
		}, warned},
		{"a road with a ramp 0.31 m beside the corridor", "hazard-uncovered", func(p *plot) {
			road(p)
			edge(p, "e9", "ramp", orb.Point{15.31, -7.5}, orb.Point{15.31, -2.5})
		}, validate.Failed},
		{"a road drawn as a line with a ramp of 0.61 m", "hazard-uncovered", func(p *plot) {
			lane(p)
			edge(p, "e9", "ramp", orb.Point{14.695, -5}, orb.Point{15.305, -5})
		}, warned},
		{"a road drawn as a line with a ramp of 0.59 m", "hazard-uncovered", func(p *plot) {
			lane(p)
			edge(p, "e9", "ramp", orb.Point{14.705, -5}, orb.Point{15.295, -5})
		}, validate.Failed},
		{"a road that runs in a ring about a lawn", "hazard-uncovered", func(p *plot) {
			p.add(&thing{id: "h9", role: "hazard", name: "Lane", line: closed(rect(-5, -31, 31, -5)), z: flatGround}).set("hazard_kind", schema.String("road"))
			edge(p, "e9", "ramp", orb.Point{14, -5}, orb.Point{16, -5})
		}, warned},
		{"a pond stored as a closed line, well covered", "hazard-uncovered", func(p *plot) {
			p.add(&thing{id: "h9", role: "hazard", name: "Pond", line: closed(rect(20, -25, 23, -21)), z: flatGround}).set("hazard_kind", schema.String("pond"))
			p.add(&thing{id: "k9", role: "keepout", name: "Bank", rings: [][]orb.Point{rect(19.6, -25.4, 23.4, -20.6)}, z: flatGround})
		}, validate.Passed},
		{"a ditch drawn there and back outside", "hazard-uncovered", func(p *plot) {
			p.add(&thing{id: "h9", role: "hazard", name: "Ditch", line: []orb.Point{{40, -25}, {40, -21}, {42, -21}, {40, -21}, {40, -25}}, z: flatGround})
		}, validate.Passed},
		{"a lawn behind a wall with a gap of 0.59 m", "zone-unreachable", behind("wall", -10.59), validate.Failed},
		{"a lawn behind a wall with a gap of 0.61 m", "zone-unreachable", behind("wall", -10.61), validate.Passed},
		{"a lawn behind a drop with a gap of 0.59 m", "zone-unreachable", behind("drop", -10.59), validate.Failed},
		{"a lawn behind a kerb", "zone-unreachable", behind("kerb", -9), validate.Passed},
		{"a lawn behind a fence with a gate", "zone-unreachable", func(p *plot) {
			behind("fence", -9)(p)
			edge(p, "e9", "gate", orb.Point{30, -21}, orb.Point{30, -19})
		}, validate.Passed},
		{"a lawn behind a fence with a ramp", "zone-unreachable", func(p *plot) {
			behind("fence", -9)(p)
			edge(p, "e9", "ramp", orb.Point{30, -21}, orb.Point{30, -19})
		}, validate.Failed},
		{"a fence through a lawn with a gate of 6 m all along it", "edge-setback", func(p *plot) {
			edge(p, "e8", "fence", orb.Point{5, -20}, orb.Point{11, -20})
			edge(p, "e9", "gate", orb.Point{5, -20}, orb.Point{11, -20})
			posts(p, 5, 11)
		}, validate.Passed},
		{"a fence through a lawn with a gate of 6.01 m all along it", "edge-setback", func(p *plot) {
			edge(p, "e8", "fence", orb.Point{5, -20}, orb.Point{11.01, -20})
			edge(p, "e9", "gate", orb.Point{5, -20}, orb.Point{11.01, -20})
		}, validate.Failed},
		{"a fence through a lawn with two gates end to end", "edge-setback", func(p *plot) {
			edge(p, "e7", "fence", orb.Point{5, -20}, orb.Point{12, -20})
			edge(p, "e8", "gate", orb.Point{5, -20}, orb.Point{8.5, -20})
			edge(p, "e9", "gate", orb.Point{12, -20}, orb.Point{8.5, -20})
		}, validate.Failed},
		{"a fence through a lawn with two gates 0.31 m apart", "edge-setback", func(p *plot) {
			edge(p, "e6", "fence", orb.Point{5, -20}, orb.Point{8.5, -20})
			edge(p, "e7", "fence", orb.Point{8.81, -20}, orb.Point{12, -20})
			edge(p, "e8", "gate", orb.Point{5, -20}, orb.Point{8.5, -20})
			edge(p, "e9", "gate", orb.Point{12, -20}, orb.Point{8.81, -20})
			posts(p, 5, 8.5, 8.81, 12)
		}, validate.Passed},
		{"a wall crossed through a gate of 6.01 m", "corridor-narrow", func(p *plot) {
			edge(p, "e8", "wall", orb.Point{-5, -5}, orb.Point{35, -5})
			edge(p, "e9", "gate", orb.Point{12, -5}, orb.Point{18.01, -5})
		}, validate.Failed},
		{"a railway with ramps on both sides", "hazard-uncovered", func(p *plot) {
			road(p)
			p.get("h9").set("hazard_kind", schema.String("railway"))
			edge(p, "e8", "ramp", orb.Point{14, -3.5}, orb.Point{16, -3.5})
			edge(p, "e9", "ramp", orb.Point{14, -6.5}, orb.Point{16, -6.5})
		}, validate.Failed},
		{"a drop with a ramp of its own length beside the corridor", "corridor-narrow", func(p *plot) {
			edge(p, "e8", "drop", orb.Point{15.5, -7}, orb.Point{15.5, -3})
			edge(p, "e9", "ramp", orb.Point{15.5, -7}, orb.Point{15.5, -3})
		}, validate.Failed},
	} {
		p := park()
		x.draw(p)
		r := validate.Check(p.plan(t), schema.DefaultLimits())
		o := r.Outcome(x.rule)
		if o.Outcome == validate.Failed && findingOf(r, x.rule).Severity == validate.Warning && x.rule == "hazard-uncovered" {
			o.Outcome = warned
		}
		if o.Outcome != x.want {
			t.Errorf("%s: %s is %s (%s), want %s", x.name, x.rule, o.Outcome, o.Reason, x.want)
		}
	}
}

// posts draws a keep-out round each post of gates at y = -20.
func posts(p *plot, at ...float64) {
	for i, x := range at {
		p.add(&thing{id: "k" + strconv.Itoa(90+i), role: "keepout", name: "Post", rings: [][]orb.Point{rect(x-0.3, -20.3, x+0.3, -19.7)}, z: flatGround})
	}
}

// closed returns a ring's points with the first again at the end.
func closed(ring []orb.Point) []orb.Point {
	if ring[0] == ring[len(ring)-1] {
		return ring
	}
	return append(ring[:len(ring):len(ring)], ring[0])
}

// TestCorridorInTwoParts: parts joined end to end, whichever way they run, are
// one corridor; parts that do not meet are two.
func TestCorridorInTwoParts(t *testing.T) {
	l := schema.DefaultLimits()
	parts := func(flat []float64, ends ...int) *schema.Plan {
		plan := park().plan(t)
		for _, f := range plan.Features {
			if f.ID.Text() == "c2" {
				out := append([]float64(nil), flat...)
				for i := 0; i < len(out); i += 2 {
					xy := []float64{out[i], out[i+1], plotH}
					if err := plotGrid.ToGeodetic(xy, 3); err != nil {
						t.Fatal(err)
					}
					out[i], out[i+1] = xy[0], xy[1]
				}
				f.Geometry = geom.NewMultiLineStringFlat(geom.XY, out, ends)
			}
		}
		return plan
	}
	for _, x := range []struct {
		name string
		flat []float64
		ends []int
		want validate.Outcome
	}{
		{"end to end", []float64{15, 1.5, 15, -1, 15, -5, 15, -5, 15, -9, 15, -11.5}, []int{6, 12}, validate.Passed},
		{"the second turned", []float64{15, 1.5, 15, -1, 15, -5, 15, -11.5, 15, -9, 15, -5}, []int{6, 12}, validate.Passed},
		{"both from the middle", []float64{15, -5, 15, -1, 15, 1.5, 15, -5, 15, -9, 15, -11.5}, []int{6, 12}, validate.Passed},
		{"with a gap of 1 m", []float64{15, 1.5, 15, -1, 15, -4, 15, -5, 15, -9, 15, -11.5}, []int{6, 12}, validate.Failed},
		{"three ends in one place", []float64{15, 1.5, 15, -1, 15, -5, 15, -5, 15, -9, 15, -11.5, 15, -5, 18, -5}, []int{6, 12, 16}, validate.Failed},
	} {
		if o := validate.Check(parts(x.flat, x.ends...), l).Outcome("corridor-off-zone"); o.Outcome != x.want {
			t.Errorf("%s: %s (%s), want %s", x.name, o.Outcome, o.Reason, x.want)
		}
	}
}

// TestCirclesAreCircles: the distance of a disc is that of its middle less its
// radius, whatever the direction.
func TestCirclesAreCircles(t *testing.T) {
	for _, radius := range []float64{0.3, 3, 30} {
		for _, deg := range []float64{0, 1.4, 2.8125, 17} {
			for _, x := range []struct {
				gap   float64
				fails bool
			}{{0.298, true}, {0.3, false}, {0.302, false}} {
				// Off the corner (30, -30) of the south lawn.
				s, c := math.Sincos(deg * math.Pi / 180)
				p := park()
				p.add(&thing{id: "h9", role: "hazard", name: "Bowl", point: &orb.Point{30 + (radius+x.gap)*c, -30 - (radius+x.gap)*s}, z: flatGround}).set("radius_m", num(radius))
				r := validate.Check(p.plan(t), schema.DefaultLimits())
				f := findingOf(r, "hazard-uncovered")
				if (f.Rule != "") != x.fails || x.fails && !near(f.Measured, x.gap, 5e-4) {
					t.Errorf("radius %v at %v degrees, gap %v: %s", radius, deg, x.gap, show(f))
				}
			}
		}
	}
}

// TestHeightsClampedToTheGround: what KML clamps is no slope, and says so.
func TestHeightsClampedToTheGround(t *testing.T) {
	steep := func(format, mode string) *schema.Plan {
		p := park()
		p.get("z2").z = tilted(0.5)
		plan := p.plan(t)
		plan.Source.Format = format
		if mode != "" {
			for _, f := range plan.Features {
				f.Attributes.Set(schema.PropAltitudeMode, schema.String(mode))
			}
		}
		return plan
	}
	for _, x := range []struct {
		format, mode string
		want         validate.Outcome
	}{
		{"geojson", "", validate.Failed}, {"geojson", "absolute", validate.Failed}, {"geojson", "clampToGround", validate.Unchecked},
		{"kml", "", validate.Unchecked}, {"kmz", "", validate.Unchecked}, {"kml", "relativeToGround", validate.Unchecked}, {"kml", "absolute", validate.Failed},
	} {
		r := validate.Check(steep(x.format, x.mode), schema.DefaultLimits())
		if o := r.Outcome("slope-limit"); o.Outcome != x.want {
			t.Errorf("%s, %q: slope-limit is %s (%s), want %s", x.format, x.mode, o.Outcome, o.Reason, x.want)
		}
		if o := r.Outcome("base-height"); (o.Outcome == validate.Unchecked) != (x.want == validate.Unchecked) {
			t.Errorf("%s, %q: base-height is %s", x.format, x.mode, o.Outcome)
		}
	}
}

// What lies beside lawns of known heights and is clamped itself.
func TestClampedBesideLawns(t *testing.T) {
	for _, x := range []struct {
		name, mode string
		up, x      float64 // of a slab on the lawn or beyond it
		want       validate.Outcome
	}{
		{"as the lawn", "clampToGround", 0, 15, validate.Passed},
		{"0.149 m up", "clampToGround", 0.149, 15, validate.Passed},
		{"0.151 m up", "clampToGround", 0.151, 15, validate.Unchecked},
		{"0.151 m down", "relativeToGround", -0.151, 15, validate.Unchecked},
		{"1 m above the ground", "relativeToGround", 1 - plotH, 15, validate.Unchecked},
		{"0 above the ground", "relativeToGround", -plotH, 15, validate.Passed},
		{"2.9 m beyond the lawn", "clampToGround", 1, 32.9, validate.Unchecked},
		{"3.1 m beyond the lawn", "clampToGround", 1, 33.1, validate.Passed},
	} {
		p := park()
		areaOf(p, "s", "other", raisedTo(x.up), rect(x.x, -21, x.x+2, -19)).set("driven_over", schema.Bool(true))
		plan := p.plan(t)
		for _, f := range plan.Features {
			if f.Name == "Area s" {
				f.Attributes.Set(schema.PropAltitudeMode, schema.String(x.mode))
			}
		}
		if o := validate.Check(plan, schema.DefaultLimits()).Outcome("slope-limit"); o.Outcome != x.want {
			t.Errorf("%s: %s (%s), want %s", x.name, o.Outcome, o.Reason, x.want)
		}
	}
}

// TestSteepWhereHeightsAreKnown: heights at some vertices that show 50 % are
// told though others have none.
func TestSteepWhereHeightsAreKnown(t *testing.T) {
	p := park()
	plan := p.plan(t)
	for _, f := range plan.Features {
		if f.ID.Text() == "z2" {
			flat := f.Geometry.FlatCoords()
			flat[2], flat[5], flat[8], flat[11], flat[14] = plotH, plotH+15, math.NaN(), math.NaN(), plotH
		}
	}
	r := validate.Check(plan, schema.DefaultLimits())
	o, f := r.Outcome("slope-limit"), findingOf(r, "slope-limit")
	if o.Outcome != validate.Failed || !near(f.Measured, 50, 1e-2) || f.Severity != validate.Error || !strings.Contains(o.Reason, "2 of 4") {
		t.Errorf("%s (%s): %s", o.Outcome, o.Reason, show(f))
	}
}

// TestMessagesDoNotReadLikeTheirLimit: a figure a hair past its limit is shown
// with the digits that tell the two apart.
func TestMessagesDoNotReadLikeTheirLimit(t *testing.T) {
	figure := regexp.MustCompile(`-?\d+(\.\d+)?`)
	for key, h := range heldLimits {
		limit := schema.DefaultLimits()
		v, _ := limit.Get(key)
		side := -1.0
		for _, d := range schema.LimitTable {
			if d.Key == key && d.Sense == schema.AtMost {
				side = 1
			}
		}
		if h.eps >= 1 || key == "sky_hidden_stop_percent" {
			continue
		}
		p := park()
		h.draw(p, v, v+side*h.eps*1.2)
		for _, f := range validate.Check(p.plan(t), limit).Findings {
			if f.Rule != h.rule || math.IsNaN(f.Limit) || !h.takes(f, v) || f.Measured == f.Limit {
				continue
			}
			seen := map[string]bool{}
			for _, n := range figure.FindAllString(f.Message, -1) {
				if strings.Contains(n, ".") && seen[n] {
					t.Errorf("%s: %s", key, f.Message)
				}
				seen[n] = true
			}
		}
	}
}

func TestSkyOfTheBase(t *testing.T) {
	tree := func(p *plot, x float64) {
		p.add(&thing{id: "h9", role: "hazard", name: "Oak", point: &orb.Point{x, 25}, z: flatGround}).
			set("hazard_kind", schema.String("tree")).set("radius_m", num(3)).set("height_m", num(12))
	}
	roof := func(p *plot, height, base float64) {
		p.get("g1").rings[0] = rect(36, 23, 40, 27)
		p.get("g1").set("height_m", num(height))
		p.get("b1").z = func(orb.Point) float64 { return plotH + base }
	}
	for _, x := range []struct {
		name     string
		draw     func(p *plot)
		base     bool // a finding about the base is wanted
		severity validate.Severity
	}{
		{"under a canopy", func(p *plot) { tree(p, 38.5) }, true, validate.Error},
		{"a canopy 40 m away", func(p *plot) { tree(p, 80) }, false, ""},
		{"on the roof", func(p *plot) { roof(p, 6, 8.5) }, false, ""},
		{"under the roof", func(p *plot) { roof(p, 6, 4) }, true, validate.Error},
		{"a mast that hides nothing", func(p *plot) {
			p.add(&thing{id: "g9", role: "building", name: "Chimney", rings: [][]orb.Point{rect(42, 25, 42.1, 25.1)}, z: flatGround}).set("height_m", num(5))
		}, false, ""},
	} {
		p := park()
		x.draw(p)
		r := validate.Check(p.plan(t), schema.DefaultLimits())
		found := validate.Finding{}
		for _, f := range r.Findings {
			if f.Rule == "sky-blocked" && f.Features[0].ID.Text() == "b1" {
				found = f
			}
		}
		if (found.Rule != "") != x.base || found.Severity != x.severity {
			t.Errorf("%s: %s %s", x.name, found.Severity, show(found))
		}
	}
}

// TestOvals: the greatest sagitta of an ellipse with half axes a and b drawn
// with n points an equal step of the parameter apart. Half way along an arc the
// ellipse is (1 - cos(pi/n)) (a cos t, b sin t) from the middle of the chord,
// which runs along (-a sin t, b cos t); the sagitta is what of the first is
// across the second.
func TestOvals(t *testing.T) {
	for _, x := range []struct {
		a, b float64
		n    int
	}{{4, 2.5, 12}, {4, 2.5, 9}, {5, 3, 16}, {4, 2.5, 40}} {
		want := 0.0
		ring := circle(0, 0, 1, x.n)
		for i := range ring {
			// circle begins half a step on, so that the middle of its last
			// chord is at 0.
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(x.n))
			mx, my := x.a*c, x.b*s
			dx, dy := -x.a*s, x.b*c
			want = math.Max(want, (1-math.Cos(math.Pi/float64(x.n)))*math.Abs(mx*dy-my*dx)/math.Hypot(dx, dy))
		}
		turn := 0.4
		for i, p := range ring {
			u, v := x.a*p[0], x.b*p[1]
			ring[i] = orb.Point{10 + u*math.Cos(turn) - v*math.Sin(turn), 10 + u*math.Sin(turn) + v*math.Cos(turn)}
		}
		p := park()
		p.get("k1").rings[0] = ring
		f := findingOf(validate.Check(p.plan(t), schema.DefaultLimits()), "curve-coarse")
		if want > 0.03 != (f.Rule != "") || f.Rule != "" && !near(f.Measured, want, 2e-4) {
			t.Errorf("%v by %v of %d points: %s, want %.4f", x.a, x.b, x.n, show(f), want)
		}
	}
	// Eight points of a rectangle with its corners cut lie on an ellipse too,
	// and five on any: neither is one.
	p := park()
	p.get("k1").rings[0] = []orb.Point{{7.5, 7}, {12.5, 7}, {13, 7.5}, {13, 12.5}, {12.5, 13}, {7.5, 13}, {7, 12.5}, {7, 7.5}, {7.5, 7}}
	if o := validate.Check(p.plan(t), schema.DefaultLimits()).Outcome("curve-coarse"); o.Outcome != validate.Passed {
		t.Errorf("a bed with its corners cut: %s (%s)", o.Outcome, o.Reason)
	}
	p.get("k1").rings[0] = circle(10, 10, 2, 5)
	if o := validate.Check(p.plan(t), schema.DefaultLimits()).Outcome("curve-coarse"); o.Outcome != validate.Unchecked {
		t.Errorf("five points on a circle: %s (%s)", o.Outcome, o.Reason)
	}
}

// TestLooseEndsBlameTheNearest: an end is blamed on a zone or a dock within 10
// m, and on nothing farther off.
func TestLooseEndsBlameTheNearest(t *testing.T) {
	for _, x := range []struct {
		gap  float64
		want string
	}{{3, "c2 z2"}, {9.9, "c2 z2"}, {10.1, "c2"}, {25, "c2"}} {
		p := park()
		p.get("c2").line = []orb.Point{{15, 1.5}, {15, -1}, {15, -5}, {30 + x.gap, -20}}
		f := findingOf(validate.Check(p.plan(t), schema.DefaultLimits()), "corridor-off-zone")
		if f.Rule == "" || ids(f) != x.want || !near(f.Measured, -x.gap, 1e-3) {
			t.Errorf("an end %v m from the nearest zone: %s, want [%s]", x.gap, show(f), x.want)
		}
	}
}

// TestEmptyRingBesideACorridor: a ring of no points bounds no way, wherever its
// box is taken to be.
func TestEmptyRingBesideACorridor(t *testing.T) {
	p := &schema.Plan{Features: []*schema.Feature{
		{Role: schema.RoleZone, Geometry: geom.NewPolygonFlat(geom.XY, []float64{-10, -10, 10, -10, 10, 10, -10, 10, -10, -10}, []int{10})},
		{Role: schema.RoleCorridor, Geometry: geom.NewLineStringFlat(geom.XY, []float64{-5, 0, 5, 0})},
		{Role: schema.RoleBuilding, Geometry: geom.NewPolygonFlat(geom.XY, []float64{-4, 0.5, 4, 0.5, 4, 3, -4, 3, -4, 0.5}, []int{10, 10})},
		{Role: schema.RoleBuilding, Geometry: geom.NewPolygonFlat(geom.XY, []float64{-4, -3, 4, -3, 4, -0.5, -4, -0.5, -4, -3}, []int{10})},
	}}
	if f := findingOf(validate.Check(p, schema.DefaultLimits()), "corridor-narrow"); !near(f.Measured, 1, 1e-6) {
		t.Errorf("between two houses: %s", show(f))
	}
}

// A drop takes half the machine and its own margin beside a corridor, held at
// the limit, 2 mm below and 2 mm above: by default, by the plan and by the drop
// itself.
func TestCorridorBesideADrop(t *testing.T) {
	own := func(v float64) schema.Value {
		return schema.Object(schema.Attributes{{Key: "hazard_margin_drop_m", Value: num(v)}})
	}
	for _, x := range []struct {
		name   string
		margin float64
		draw   func(p *plot)
	}{
		{"default", 0.3, func(p *plot) {}},
		{"the plan's own", 0.5, func(p *plot) { p.members = append(p.members, schema.Attribute{Key: "limits", Value: own(0.5)}) }},
		{"the drop's own", 0.7, func(p *plot) { p.get("e9").set("limits", own(0.7)) }},
		{"past the narrowest passage", 2, func(p *plot) { p.get("e9").set("limits", own(2)) }},
		{"looser, not applied", 0.3, func(p *plot) { p.get("e9").set("limits", own(0.1)) }},
	} {
		for _, off := range []float64{-0.002, 0, 0.002} {
			at := 0.3 + x.margin + off
			p := park()
			p.add(&thing{id: "e9", role: "edge", name: "Terrace", line: []orb.Point{{15 + at, -6}, {15 + at, -4}}, z: flatGround}).set("edge_kind", schema.String("drop"))
			x.draw(p)
			r := validate.Check(p.plan(t), schema.DefaultLimits())
			failed := false
			for _, f := range r.Findings {
				if f.Rule == validate.RuleCorridorNarrow {
					failed = true
					if math.Abs(f.Measured-at) > 1e-3 || math.Abs(f.Limit-0.3-x.margin) > 1e-9 {
						t.Errorf("%s: measured %g of %g, want %g of %g", x.name, f.Measured, f.Limit, at, 0.3+x.margin)
					}
				}
			}
			if failed != (off < 0) {
				t.Errorf("%s at %+g m: failed is %v", x.name, off, failed)
			}
		}
	}
}

// A base alone that names a frame: one that no satellite gives, and one whose
// epoch is another than the plan's, cannot be told.
func TestBaseFrameAlone(t *testing.T) {
	for _, x := range []struct {
		frame       string
		epoch, plan float64
		want        validate.Outcome
	}{
		{"ED50", 0, 0, validate.Unchecked},
		{"ETRS89", 0, 0, validate.Passed},
		{"ITRF2014", 2024.5, 0, validate.Passed},
		{"ITRF2014", 2024.5, 2024.401, validate.Passed},
		{"ITRF2014", 2024.5, 2024.399, validate.Unchecked},
		{"ETRS89", 2024.5, 2010, validate.Passed},
	} {
		p := park()
		b := p.get("b1").set("frame", schema.String(x.frame))
		if x.epoch > 0 {
			b.set("epoch", num(x.epoch))
		}
		plan := p.plan(t)
		plan.Epoch = x.plan
		if got := validate.Check(plan, schema.DefaultLimits()).Outcome(validate.RuleBaseFrame); got.Outcome != x.want {
			t.Errorf("%s at %v, the plan at %v: %s (%s), want %s", x.frame, x.epoch, x.plan, got.Outcome, got.Reason, x.want)
		}
	}
}

// TestBaseFrameOldDatum: a plan on a datum of before satellites, whose base says no frame,
// or the plan's; and one in a grid that services of corrections use.
func TestBaseFrameOldDatum(t *testing.T) {
	for _, x := range []struct {
		grid, frame string
		want        validate.Outcome
	}{
		{"EPSG:23032", "", validate.Unchecked}, {"EPSG:23032", "ED50", validate.Passed}, {"EPSG:32232", "", validate.Unchecked},
		{"EPSG:25832", "", validate.NotNeeded}, {"EPSG:32632", "", validate.NotNeeded},
	} {
		p := park()
		p.grid = x.grid
		if x.frame != "" {
			p.get("b1").set("frame", schema.String(x.frame))
		}
		got := validate.Check(p.plan(t), schema.DefaultLimits()).Outcome(validate.RuleBaseFrame)
		if got.Outcome != x.want || x.want == validate.Unchecked && !strings.Contains(got.Reason, "no satellite receiver gives") {
			t.Errorf("%s, base in %q: %s (%s), want %s", x.grid, x.frame, got.Outcome, got.Reason, x.want)
		}
	}
}

// Two frames lie 0.863462 m apart at the plot in 2024 (PROJ 9.1.1, EPSG:7912 to
// EPSG:7931): held a hair to either side by the operator's limit, by the plan's
// stricter one and by the base's own.
func TestBaseFrameLimit(t *testing.T) {
	own := func(v float64) schema.Value {
		return schema.Object(schema.Attributes{{Key: "drift_unchanged_m", Value: num(v)}})
	}
	for _, x := range []struct {
		name              string
		limit, plan, base float64
		want              validate.Outcome
	}{
		{name: "below", limit: 0.86345, want: validate.Failed},
		{name: "above", limit: 0.86348, want: validate.Passed},
		{name: "the plan's own", limit: 0.9, plan: 0.86345, want: validate.Failed},
		{name: "the base's own", limit: 0.9, base: 0.86345, want: validate.Failed},
		{name: "the plan's looser one", limit: 0.86345, plan: 0.9, want: validate.Failed},
	} {
		p := park()
		p.members = append(p.members, schema.Attribute{Key: "frame", Value: schema.String("ETRF2000")})
		b := p.get("b1").set("frame", schema.String("ITRF2014")).set("epoch", num(2024))
		if x.plan > 0 {
			p.members = append(p.members, schema.Attribute{Key: "limits", Value: own(x.plan)})
		}
		if x.base > 0 {
			b.set("limits", own(x.base))
		}
		l := schema.DefaultLimits()
		l.DriftUnchangedM = x.limit
		if got := validate.Check(p.plan(t), l).Outcome(validate.RuleBaseFrame); got.Outcome != x.want {
			t.Errorf("%s: %s (%s), want %s", x.name, got.Outcome, got.Reason, x.want)
		}
	}
}

// A base in water is told; in a thing of no known kind that cannot be told.
func TestBaseStandsIn(t *testing.T) {
	for _, x := range []struct {
		kind string
		edge float64 // of the thing, east of the base
		want validate.Outcome
	}{
		{"pond", 0.001, validate.Failed}, {"pond", -0.001, validate.Passed},
		{"pnd", 0.001, validate.Unchecked}, {"pnd", -0.001, validate.Passed},
		{"", 0.001, validate.Unchecked}, {"rock", 0.001, validate.Passed},
	} {
		p := park()
		at := *p.get("b1").point
		p.add(&thing{id: "h9", role: "hazard", name: "Thing", rings: [][]orb.Point{rect(at[0]-0.5, at[1]-0.5, at[0]+x.edge, at[1]+0.5)}, z: flatGround}).set("hazard_kind", schema.String(x.kind))
		if got := validate.Check(p.plan(t), schema.DefaultLimits()).Outcome(validate.RuleBaseInZone); got.Outcome != x.want {
			t.Errorf("%q to %g m past the base: %s (%s), want %s", x.kind, x.edge, got.Outcome, got.Reason, x.want)
		}
	}
}
