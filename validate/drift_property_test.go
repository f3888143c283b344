// Properties of drift on random plans: the margin rose against the displacement
// itself, there and back, corrected and asked again.

package validate

import (
	"math"
	"math/rand/v2"
	"testing"

	"swardline/crs"
	"swardline/schema"
	"swardline/testdata/randplan"
)

// randomGarden is a lawn with a hole, a corridor, and things about it that the
// plan keeps clear of: a pond, a trunk, a wall and a boundary.
func randomGarden(t *testing.T, r *rand.Rand) *schema.Plan {
	star := func(x, y, least, most float64, corners int) []float64 {
		var out []float64
		for i, n := 0, corners+r.IntN(8); i < n; i++ {
			s, c := math.Sincos(2 * math.Pi * (float64(i) + 0.6*r.Float64()) / float64(n))
			d := least + (most-least)*r.Float64()
			out = append(out, x+d*c, y+d*s)
		}
		return out
	}
	in := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	pond := star(0, 0, 0.8, 1.8, 4)
	wider := in(1.6, 3)
	bank := make([]float64, len(pond))
	for i := range pond { // the same shape, drawn larger
		bank[i] = pond[i] * wider
	}
	lawn := star(0, 0, 5, 10, 5)
	west, south, north := 0.0, 0.0, 7.0
	for i := 0; i < len(lawn); i += 2 {
		west, south, north = math.Min(west, lawn[i]), math.Min(south, lawn[i+1]), math.Max(north, lawn[i+1])
	}
	p := driftPlan(t,
		thing(schema.RoleZone, "lawn", poly(lawn)), thing(schema.RoleKeepout, "bank", poly(bank)), thing(schema.RoleHazard, "pond", poly(pond)),
		thing(schema.RoleCorridor, "way", track(4, in(-1, 1), 14, in(-1, 1), 14, in(3, 6))),
		thing(schema.RoleHazard, "trunk", spot(in(12, 13), in(2.2, 2.6)), "radius_m", in(0.2, 0.6)),
		thing(schema.RoleEdge, "wall", track(-10, north+in(0.3, 1), 0, north+in(0.3, 1), 10, north+in(0.3, 1)), "edge_kind", "wall"),
		thing(schema.RoleBoundary, "lot", box(west-in(0.2, 1.5), south-in(0.2, 1.5), 14.3+in(0.2, 1.5), north+3)),
		baseAt(in(-10, 10), in(-10, 10), 47))
	return p
}

// randomYard is a random garden with one or two buildings and one or two docks,
// which stand and face anyhow.
func randomYard(t *testing.T, r *rand.Rand) *schema.Plan {
	p := randomGarden(t, r)
	in := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	for range 1 + r.IntN(2) {
		x, y, w, h := in(-16, 12), in(-16, 12), in(1, 4), in(1, 4)
		p.Features = append(p.Features, thing(schema.RoleBuilding, "house", box(x, y, x+w, y+h)))
	}
	for i := range 1 + r.IntN(2) {
		dock := thing(schema.RoleDock, "dock", spot(in(-12, 12), in(-12, 12)), "standoff_m", in(0.5, 3))
		if i == 0 || r.IntN(2) == 0 {
			dock.Attributes.Set(schema.PropHeadingDeg, schema.Float(in(0, 360)))
		}
		p.Features = append(p.Features, dock)
	}
	return p
}

// A shift a little shorter than a spoke of the rose breaks nothing, one a
// little longer breaks the feature that the spoke names; and no shift below the
// least margin breaks anything at all.
func TestRoseIsWhatDriftFinds(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 2026))
	limits := schema.DefaultLimits()
	limits.DriftUnchangedM = 0
	breaking := map[string]bool{"drift-enters-hazard": true, "drift-crosses-edge": true, "drift-leaves-boundary": true}
	met := map[string]int{}
	rounds := 25
	if !randplan.Long() {
		rounds = 8
	}
	for round := 0; round < rounds; round++ {
		p := randomGarden(t, r)
		broken := func(e, n float64) map[string]bool {
			rep, err := Drift(p, limits, shift(e, n), DriftOptions{Bearings: 4})
			if err != nil {
				t.Fatal(err)
			}
			out := map[string]bool{}
			for _, f := range rep.Findings {
				if breaking[f.Rule] && f.Measured > 2e-6 {
					out[f.Features[0].Name] = true
				}
			}
			return out
		}
		rep, err := Drift(p, limits, shift(0, 0), DriftOptions{})
		if err != nil {
			t.Fatal(err)
		}
		m := rep.Margin
		if len(m.Rose) != RoseBearings || !(m.LeastM > 0) || math.IsInf(m.LeastM, 1) {
			t.Fatalf("round %d: margin %v on %d spokes", round, m.LeastM, len(m.Rose))
		}
		// What is broken by less than a square millimetre is rounding, so that
		// a sharp corner has to reach in a little way.
		const little, more = 2e-3, 2e-2
		for k := 0; k < 6; k++ {
			s := m.Rose[r.IntN(len(m.Rose))]
			if s.MarginM < m.LeastM-1e-6 {
				t.Errorf("round %d: the spoke %v is shorter than the least margin %v", round, s.MarginM, m.LeastM)
			}
			sin, cos := math.Sincos(s.BearingDeg * math.Pi / 180)
			if got := broken((s.MarginM-little)*sin, (s.MarginM-little)*cos); len(got) > 0 {
				t.Errorf("round %d: %v m on %v is within the margin %v, yet breaks %v", round, s.MarginM-little, s.BearingDeg, s.MarginM, got)
			}
			if got := broken((s.MarginM+more)*sin, (s.MarginM+more)*cos); !got[s.Meets.Feature.Name] {
				t.Errorf("round %d: %v m on %v is past the margin %v to %s, yet breaks %v", round, s.MarginM+more, s.BearingDeg, s.MarginM, s.Meets.Feature.Name, got)
			}
			met[s.Meets.Feature.Name]++
		}
		for k := 0; k < 6; k++ {
			sin, cos := math.Sincos(2 * math.Pi * r.Float64())
			if got := broken((m.LeastM-little)*sin, (m.LeastM-little)*cos); len(got) > 0 {
				t.Errorf("round %d: a shift below the least margin %v breaks %v", round, m.LeastM, got)
			}
		}
		sin, cos := math.Sincos(m.BearingDeg * math.Pi / 180)
		if got := broken((m.LeastM+more)*sin, (m.LeastM+more)*cos); !got[m.Meets.Feature.Name] {
			t.Errorf("round %d: %v m on %v breaks %v, not %s", round, m.LeastM+more, m.BearingDeg, got, m.Meets.Feature.Name)
		}
	}
	if len(met) < 4 {
		t.Errorf("the spokes met only %v", met)
	}
}

// Correcting a random plan for a random movement and asking again finds nothing
// moved; correcting for the opposite brings every coordinate back; a second
// correction starts from the first.
func TestCorrectRandomPlans(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 14))
	local := func(most float64) crs.Local {
		in := func() crs.Metres { return crs.Metres(most * (2*r.Float64() - 1)) }
		return crs.Local{E: in(), N: in(), U: in() / 3}
	}
	minus := func(v crs.Local) crs.Local { return crs.Local{E: -v.E, N: -v.N, U: -v.U} }
	broken := map[string]int{}
	defer func() {
		for _, rule := range []string{RuleDriftEntersBuilding, RuleDriftOffDock, RuleDriftEntersHazard} {
			if broken[rule] < 5 {
				t.Errorf("only %d plans broke %s before they were corrected", broken[rule], rule)
			}
		}
	}()
	for round := 0; round < 90; round++ {
		p := randomGarden(t, r)
		if round%3 > 0 {
			p = randomYard(t, r)
		}
		held := []Held{HeldCoordinates, HeldOffsets}[round%2]
		p.Attributes.Set(schema.PlanHeld, schema.String(string(held)))
		m := Movement{}
		if round%3 != 1 {
			m.Antenna = local(3)
		}
		if round%3 != 0 {
			m.Stored = local(3)
		}
		before, err := Drift(p, schema.DefaultLimits(), m, DriftOptions{Bearings: 4})
		if err != nil {
			t.Fatal(err)
		}
		for i := range before.Findings {
			broken[before.Findings[i].Rule]++
		}
		q, err := Correct(p, m, "2026-03-04")
		if err != nil {
			t.Fatal(err)
		}
		stored, antenna, err := BasePosition(p)
		if err != nil {
			t.Fatal(err)
		}
		nowStored, err := shiftPosition(p.CRS, stored, m.Stored)
		if err != nil {
			t.Fatal(err)
		}
		nowAntenna, err := shiftPosition(p.CRS, antenna, m.Antenna)
		if err != nil {
			t.Fatal(err)
		}
		s2, a2, err := BasePosition(q)
		if err != nil {
			t.Fatal(err)
		}
		again := Movement{}
		if again.Antenna, err = Between(p.CRS, a2, nowAntenna); err != nil {
			t.Fatal(err)
		}
		if again.Stored, err = Between(p.CRS, s2, nowStored); err != nil {
			t.Fatal(err)
		}
		rep, err := Drift(q, schema.DefaultLimits(), again, DriftOptions{Bearings: 4})
		if err != nil {
			t.Fatal(err)
		}
		if d := math.Hypot(float64(rep.Shift.E), float64(rep.Shift.N)); rep.Verdict != VerdictUnchanged || len(rep.Findings) > 0 || d > 5e-5 || math.Abs(float64(rep.Shift.U)) > 5e-5 {
			t.Errorf("round %d, %s: corrected, yet %s with %d findings, displaced by %v", round, held, rep.Verdict, len(rep.Findings), rep.Shift)
		}
		// The same of the ground, which is the plan but for its base.
		ground, err := GroundOf(q)
		if err != nil {
			t.Fatal(err)
		}
		if rep, err = Drift(ground, schema.DefaultLimits(), again, DriftOptions{Bearings: 4}); err != nil {
			t.Fatal(err)
		}
		if rep.Verdict != VerdictUnchanged || len(rep.Findings) > 0 {
			t.Errorf("round %d, %s: on the ground %s with %d findings", round, held, rep.Verdict, len(rep.Findings))
		}
		for i, f := range ground.Features {
			was, is := p.Features[i].Geometry.FlatCoords(), f.Geometry.FlatCoords()
			for k := range was {
				if f.Role != schema.RoleBase && !near(is[k], was[k], 3e-5) {
					t.Fatalf("round %d: %s lies at %v on the ground, not %v", round, f.Name, is[k], was[k])
				}
			}
		}
		// Where the machine now drives is where it drove: Q' + A' - S' = Q +
		// A - S, in both ways of holding. The axes at a feature 20 m from the
		// base are turned by 3e-6.
		d := m.Displacement(HeldCoordinates)
		for i, f := range q.Features {
			if f.Role == schema.RoleBase {
				continue
			}
			was, is := p.Features[i].Geometry.FlatCoords(), f.Geometry.FlatCoords()
			for k := 0; k < len(was); k += f.Geometry.Stride() {
				if !near(is[k]+float64(d.E), was[k], 3e-5) || !near(is[k+1]+float64(d.N), was[k+1], 3e-5) {
					t.Fatalf("round %d: %s is driven at %v %v, not %v %v", round, f.Name, is[k]+float64(d.E), is[k+1]+float64(d.N), was[k], was[k+1])
				}
			}
		}
		back, err := Correct(q, Movement{Antenna: minus(m.Antenna), Stored: minus(m.Stored)}, "2026-03-05")
		if err != nil {
			t.Fatal(err)
		}
		for i, f := range back.Features {
			was, is := p.Features[i].Geometry.FlatCoords(), f.Geometry.FlatCoords()
			for k := range was {
				if !near(is[k], was[k], 3e-5) {
					t.Fatalf("round %d: %s comes back to %v, not %v", round, f.Name, is[k], was[k])
				}
			}
		}
		h, err := History(back)
		if err != nil || len(h) != 2 {
			t.Fatalf("round %d: %d entries, %v", round, len(h), err)
		}
		if v, err := Between(p.CRS, antenna, h[1].Antenna); err != nil || math.Hypot(float64(v.E), float64(v.N)) > 1e-4 || math.Abs(float64(v.U)) > 1e-4 {
			t.Errorf("round %d: the antenna comes back %v off", round, v)
		}
		if s := h[0].Shift; !near(float64(s.E), float64(d.E), 1e-5) || !near(float64(s.N), float64(d.N), 1e-5) || !near(float64(s.U), float64(d.U), 1e-5) {
			t.Errorf("round %d: the history keeps the shift %v, not %v", round, s, d)
		}
	}
}
