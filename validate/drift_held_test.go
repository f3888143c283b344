// Tests of a corrected plan said both ways.

package validate

import (
	"math"
	"strings"
	"testing"

	"swardline/crs"
	"swardline/schema"
)

// The ground of a corrected plan is the plan, its base at the antenna; what the
// machine holds is Q - d, its base at what is stored.
func TestGroundAndMachine(t *testing.T) {
	for _, tc := range []struct {
		name string
		held Held
		m    Movement
		h    float64 // height of the base
		want crs.Local
	}{
		{"antenna", HeldCoordinates, Movement{Antenna: crs.Local{E: 0.06, N: -0.053}}, 51, crs.Local{E: -0.06, N: 0.053}},
		{"antenna, held as offsets", HeldOffsets, Movement{Antenna: crs.Local{E: 0.06, N: -0.053}}, 51, crs.Local{E: -0.06, N: 0.053}},
		{"with height", HeldCoordinates, Movement{Antenna: crs.Local{E: 0.06, N: -0.053, U: 0.02}}, 51, crs.Local{E: -0.06, N: 0.053, U: -0.02}},
		{"height, of a base without one", HeldCoordinates, Movement{Antenna: crs.Local{E: 0.06, N: -0.053, U: 0.02}}, math.NaN(), crs.Local{E: -0.06, N: 0.053, U: -0.02}},
		{"stored", HeldCoordinates, Movement{Stored: crs.Local{E: 0.7, N: 0.2}}, 51, crs.Local{E: 0.7, N: 0.2}},
		{"both alike", HeldCoordinates, Movement{Antenna: crs.Local{E: 0.7}, Stored: crs.Local{E: 0.7}}, 51, crs.Local{}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			p := driftPlan(t, thing(schema.RoleZone, "z", box(0, 0, 40, 25)), thing(schema.RoleMark, "M1", spot(3, 4, 45.2)), baseAt(10, 30, tc.h))
			p.Attributes.Set(schema.PlanHeld, schema.String(string(tc.held)))
			held, err := Correct(p, tc.m, "2026-05-01")
			if err != nil {
				t.Fatal(err)
			}
			off, since, err := HeldOffset(held)
			if err != nil || since != "2026-05-01" || gap(off, tc.want) > 1e-6 {
				t.Fatalf("offset %v since %q, %v; want %v", off, since, err, tc.want)
			}
			ground, err := GroundOf(held)
			if err != nil {
				t.Fatal(err)
			}
			for i, f := range ground.Features {
				was := p.Features[i].Geometry.FlatCoords()
				is := f.Geometry.FlatCoords()
				for k := range was {
					by := 0.0
					if f.Role == schema.RoleBase { // it stands where its antenna does
						by = []float64{float64(tc.m.Antenna.E), float64(tc.m.Antenna.N), float64(tc.m.Antenna.U)}[k]
					}
					if was[k] == was[k] && !near(is[k], was[k]+by, 1.1e-5) {
						t.Errorf("%s: coordinate %d on the ground is %v, want %v", f.Name, k, is[k], was[k]+by)
					}
				}
			}
			if tc.want == (crs.Local{}) {
				if ground != held || held.Attributes.Has(schema.PlanGiven) {
					t.Error("a plan with one truth has two")
				}
				return
			}
			if g := ground.Attributes.Get(schema.PlanGiven).Text(); g != schema.GivenGround {
				t.Errorf("given as %q", g)
			}
			if again, err := GroundOf(ground); again != ground || err != nil {
				t.Error("the ground has a ground of its own")
			}
			if again, err := MachineOf(held); again != held || err != nil {
				t.Error("what is held is held otherwise")
			}
			// Before there was a member given, a corrected plan was held.
			old := *held
			old.Attributes = held.Attributes.Clone()
			old.Attributes.Delete(schema.PlanGiven)
			oldGround, err := GroundOf(&old)
			if err != nil || !sameCoordinates(oldGround, ground) {
				t.Errorf("an old plan has another ground: %v", err)
			}
			back, err := MachineOf(ground)
			if err != nil {
				t.Fatal(err)
			}
			for i, f := range back.Features {
				was, is := held.Features[i].Geometry.FlatCoords(), f.Geometry.FlatCoords()
				for k := range was {
					if was[k] == was[k] && !near(is[k], was[k], 1.1e-5) {
						t.Errorf("%s: held, ground and held is %v, was %v", f.Name, is[k], was[k])
					}
				}
			}
			// Both say the same of the base.
			s1, a1, err1 := BasePosition(held)
			s2, a2, err2 := BasePosition(ground)
			if err1 != nil || err2 != nil {
				t.Fatal(err1, err2)
			}
			for _, pair := range [][2]crs.Geodetic{{s1, s2}, {a1, a2}} {
				if d, err := Between(p.CRS, pair[0], pair[1]); err != nil || math.Hypot(float64(d.E), float64(d.N)) > 2e-5 {
					t.Errorf("the base is at %v of what is held, at %v of the ground", pair[0], pair[1])
				}
			}
			// Marks measured now are where the machine would hold them.
			again := driftPlan(t, held.Features[1])
			m, err := MovementFromMarks(ground, again, schema.DefaultLimits(), MarksOptions{SigmaM: 0.01})
			if err != nil || math.Hypot(float64(m.Movement.Antenna.E), float64(m.Movement.Antenna.N)) > 2e-5 {
				t.Errorf("marks where the machine holds them show a movement of %v, %v", m.Movement, err)
			}
		})
	}
}

func gap(a, b crs.Local) float64 {
	return math.Max(math.Hypot(float64(a.E-b.E), float64(a.N-b.N)), math.Abs(float64(a.U-b.U)))
}

func sameCoordinates(a, b *schema.Plan) bool {
	for i, f := range a.Features {
		x, y := f.Geometry.FlatCoords(), b.Features[i].Geometry.FlatCoords()
		for k := range x {
			if x[k] != y[k] && (x[k] == x[k] || y[k] == y[k]) {
				return false
			}
		}
	}
	return true
}

func TestGroundRefuses(t *testing.T) {
	p := driftPlan(t, thing(schema.RoleZone, "z", box(0, 0, 40, 25)), baseAt(10, 30, 51))
	if g, err := GroundOf(p); g != p || err != nil {
		t.Errorf("a plan without a history has another ground, %v", err)
	}
	if w := HeldWords(p); w != "" {
		t.Errorf("a plan without a history is held otherwise: %s", w)
	}
	held, err := Correct(p, shift(0.06, -0.053), "2026-05-01")
	if err != nil {
		t.Fatal(err)
	}
	if w := HeldWords(held); w != "The machine holds these lines E -0.060 m, N +0.053 m off since 2026-05-01, because its base moved." {
		t.Errorf("in words: %s", w)
	}
	for _, tc := range []struct {
		name string
		mar  func(*schema.Plan)
		want string
	}{
		{"another word", func(p *schema.Plan) { p.Attributes.Set(schema.PlanGiven, schema.String("both")) }, `"ground" or "held"`},
		{"no CRS", func(p *schema.Plan) { p.CRS = nil }, "without its CRS"},
		{"a history that is none", func(p *schema.Plan) { p.Attributes.Set(schema.PlanHistory, schema.String("long")) }, "must be a list"},
	} {
		q := *held
		q.Attributes = held.Attributes.Clone()
		tc.mar(&q)
		if _, err := GroundOf(&q); err == nil || !strings.Contains(err.Error(), tc.want) {
			t.Errorf("%s: %v, want %q", tc.name, err, tc.want)
		}
		if _, err := MachineOf(&q); err == nil {
			t.Errorf("%s: the machine holds it all the same", tc.name)
		}
	}
}
