// Properties: what may be done to a plan without changing what is found.

package validate_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// each calls visit with every vertex of the plot, once each.
func (p *plot) each(visit func(t *thing, v *orb.Point)) {
	for _, t := range p.things {
		for _, ring := range t.rings {
			for i := range ring {
				visit(t, &ring[i])
			}
		}
		for i := range t.line {
			visit(t, &t.line[i])
		}
		if t.point != nil {
			q := *t.point
			t.point = &q
			visit(t, t.point)
		}
	}
}

// move turns the plot clockwise by deg degrees about its origin and shifts it;
// bearings turn along, and heights stay with their vertices.
func (p *plot) move(deg float64, by orb.Point) {
	s, c := math.Sincos(deg * math.Pi / 180)
	for _, t := range p.things {
		if z := t.z; z != nil {
			t.z = func(q orb.Point) float64 { // where the point came from
				x, y := q[0]-by[0], q[1]-by[1]
				return z(orb.Point{x*c - y*s, x*s + y*c})
			}
		}
		if t.role == "dock" {
			for i, a := range t.props {
				if h, ok := a.Value.Float(); ok && a.Key == "heading_deg" {
					t.props[i].Value = schema.Float(math.Mod(h+deg, 360))
				}
			}
		}
	}
	p.each(func(t *thing, v *orb.Point) {
		if t.raw {
			return
		}
		x, y := v[0], v[1]
		*v = orb.Point{x*c + y*s + by[0], y*c - x*s + by[1]}
	})
}

// shuffle puts the features into another order.
func (p *plot) shuffle(r *rand.Rand) {
	r.Shuffle(len(p.things), func(i, k int) { p.things[i], p.things[k] = p.things[k], p.things[i] })
}

// renumber begins every closed ring without repetitions at another of its
// points.
func (p *plot) renumber(r *rand.Rand) {
	for _, t := range p.things {
		for k, ring := range t.rings {
			n := len(ring) - 1
			if n < 3 || ring[0] != ring[n] || repeated(ring) {
				continue
			}
			s := r.IntN(n)
			out := append(append([]orb.Point(nil), ring[s:n]...), ring[:s]...)
			t.rings[k] = append(out, out[0])
		}
	}
}

func repeated(ring []orb.Point) bool {
	for i := 1; i < len(ring); i++ {
		if ring[i] == ring[i-1] {
			return true
		}
	}
	return false
}

// reverse turns the points of every corridor and edge round.
func (p *plot) reverse() {
	for _, t := range p.things {
		t.line = reversed(t.line)
		if len(t.line) == 0 {
			t.line = nil
		}
	}
}

func TestFindingsDoNotDependOnHowAPlanIsDrawn(t *testing.T) {
	l := schema.DefaultLimits()
	for i, rule := range ruleNames() {
		b := brokenPlans[rule]
		draw := func() *plot {
			p := park()
			b.fail(p)
			for _, t := range p.things { // what is turned lies in another quarter
				t.name = strings.NewReplacer("North", "First", "north", "first", "South", "Second", "East", "Third", "West", "Fourth").Replace(t.name)
			}
			return p
		}
		if draw().grid != "" || rule == "axes-swapped" {
			continue // their defect is the coordinates themselves
		}
		if rule == "base-moved" {
			continue // a history stays where it was measured when the drawing is moved
		}
		want := validate.Check(draw().plan(t), l)
		r := rand.New(rand.NewPCG(uint64(i), 7))
		for round := 0; round < 6; round++ {
			p := draw()
			deg, by := r.Float64()*360, orb.Point{(r.Float64() - 0.5) * 4000, (r.Float64() - 0.5) * 4000}
			// Exact features of the drawing (a repeated point, a spike along a
			// line, two rings with an edge in common) do not survive being
			// turned and rounded.
			if exact[rule] {
				deg = 0
				by = orb.Point{}
			}
			p.move(deg, by)
			p.shuffle(r)
			p.renumber(r)
			p.reverse()
			same(t, fmt.Sprintf("%s turned by %.1f and shifted by %.0f", rule, deg, by), want, validate.Check(p.plan(t), l), 2e-3)
		}
	}
}

// exact are the rules whose failing plan has points exactly on lines.
var exact = map[string]bool{"ring-spike": true, "interior-split": true, "holes-overlap": false}

func ruleNames() []string {
	var out []string
	for _, r := range validate.RulesOf(validate.CommandCheck) {
		out = append(out, r.Name)
	}
	return out
}

// TestReversedRings: turned rings give the same findings, the direction aside.
func TestReversedRings(t *testing.T) {
	l := schema.DefaultLimits()
	for _, rule := range ruleNames() {
		if rule == "ring-direction" {
			continue
		}
		p := park()
		brokenPlans[rule].fail(p)
		want := validate.Check(p.plan(t), l)
		for _, x := range p.things {
			for k := range x.rings {
				x.rings[k] = reversed(x.rings[k])
			}
		}
		same(t, rule+" reversed", without(want, "ring-direction"), without(validate.Check(p.plan(t), l), "ring-direction"), 1e-6)
	}
}

func without(r *validate.Report, rule string) *validate.Report {
	out := *r
	out.Findings, out.Rules = nil, nil
	for _, f := range r.Findings {
		if f.Rule != rule {
			out.Findings = append(out.Findings, f)
		}
	}
	for _, x := range r.Rules {
		if x.Rule != rule {
			out.Rules = append(out.Rules, x)
		}
	}
	return &out
}

// TestDriveOrder: the same zone is right one way round in a sequence of points
// and the other way round in a polygon, and each is said in its own terms.
func TestDriveOrder(t *testing.T) {
	for _, x := range []struct {
		winding       schema.Winding
		role          string
		anticlockwise bool
		outcome       validate.Outcome
		words         string
	}{
		{schema.WindingStandard, "zone", true, validate.Passed, ""},
		{schema.WindingStandard, "zone", false, validate.Failed, "the outline runs clockwise; in a polygon as the format's standard has it, outlines run anticlockwise"},
		{schema.WindingStandard, "keepout", false, validate.Failed, "the outline runs clockwise; in a polygon as the format's standard has it, outlines run anticlockwise"},
		{schema.WindingDriven, "zone", true, validate.Failed, "the outline runs anticlockwise; in drive order zones run clockwise"},
		{schema.WindingDriven, "zone", false, validate.Passed, ""},
		{schema.WindingDriven, "keepout", true, validate.Passed, ""},
		{schema.WindingDriven, "keepout", false, validate.Failed, "the outline runs clockwise; in drive order keepouts run anticlockwise"},
		{schema.WindingDriven, "building", false, validate.NotNeeded, ""},
		{schema.WindingUnstated, "zone", false, validate.NotNeeded, ""},
	} {
		ring := rect(0, 0, 10, 10)
		if !x.anticlockwise {
			ring = reversed(ring)
		}
		plan := (&plot{things: []*thing{{id: "z", role: x.role, name: "z", rings: [][]orb.Point{ring}}}}).plan(t)
		plan.Source.Winding, plan.Features[0].Source.Winding = x.winding, x.winding
		r := validate.Check(plan, schema.DefaultLimits())
		if o := r.Outcome("ring-direction"); o.Outcome != x.outcome {
			t.Errorf("%v %s anticlockwise %v: %s (%s), want %s", x.winding, x.role, x.anticlockwise, o.Outcome, o.Reason, x.outcome)
		}
		if got := findingOf(r, "ring-direction").Message; got != x.words {
			t.Errorf("%v %s: %q, want %q", x.winding, x.role, got, x.words)
		}
	}
}

// TestHolesRunAgainstTheirShell in both conventions.
func TestHolesRunAgainstTheirShell(t *testing.T) {
	for _, w := range []schema.Winding{schema.WindingStandard, schema.WindingDriven} {
		for _, right := range []bool{true, false} {
			shell, hole := rect(0, 0, 10, 10), reversed(rect(4, 4, 6, 6))
			if w == schema.WindingDriven {
				shell, hole = reversed(shell), reversed(hole)
			}
			if !right {
				hole = reversed(hole)
			}
			plan := (&plot{things: []*thing{{id: "z", role: "zone", name: "z", rings: [][]orb.Point{shell, hole}}}}).plan(t)
			plan.Source.Winding, plan.Features[0].Source.Winding = w, w
			r := validate.Check(plan, schema.DefaultLimits())
			if passed := r.Outcome("ring-direction").Outcome == validate.Passed; passed != right {
				t.Errorf("winding %v: a hole that runs right (%v) passed: %v", w, right, passed)
			}
		}
	}
}
