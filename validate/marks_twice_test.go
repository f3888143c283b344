// Tests of marks that were measured twice, and of what is called round.

package validate_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

func TestMarksMeasuredTwice(t *testing.T) {
	two := func(a, b string, off, up float64) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "m8", role: "mark", name: a, point: &orb.Point{60, 40}, z: flatGround})
			p.add(&thing{id: "m9", role: "mark", name: b, point: &orb.Point{60 + off, 40}, z: func(orb.Point) float64 { return plotH + up }})
		}
	}
	all := func(last float64) func(p *plot) {
		return func(p *plot) {
			for i := range 3 {
				p.add(&thing{id: fmt.Sprintf("m%d", 20+i), role: "mark", name: fmt.Sprintf("B%d", i), point: &orb.Point{float64(60 + 15*i), 40}, z: flatGround})
				off := 0.6
				if i == 2 {
					off = last
				}
				p.add(&thing{id: fmt.Sprintf("m%d", 30+i), role: "mark", name: fmt.Sprintf("B%d check 2026", i), point: &orb.Point{float64(60+15*i) + off, 40}, z: flatGround})
			}
		}
	}
	const again = "measured again"
	judgeWords(t, validate.RuleSurveyQuality, []wordCase{
		{"as near as two measurements", two("B5", "B5 check", 0.1, 0), validate.NotNeeded, ""},
		{"a hair farther", two("B5", "B5 check", 0.101, 0), validate.Failed, again},
		{"by their years", two("B5 2024", "B5 2026", 0.4, 0), validate.Failed, again},
		{"the second", two("PP5", "PP5 (2. Messung)", 0.4, 0), validate.Failed, again},
		{"the new one", two("Nagel 3 neu", "Nagel 3", 9.99, 0), validate.Failed, again},
		{"another place", two("B5", "B5 new", 10.01, 0), validate.NotNeeded, ""},
		{"as high", two("B5", "B5 check", 0, 0.1), validate.NotNeeded, ""},
		{"a hair higher", two("B5", "B5 check", 0, 0.101), validate.Failed, "in height"},
		{"a year of two digits before it", two("B5", "26-B5", 0.4, 0), validate.Failed, again},
		{"as far as a second survey", two("B5", "26-B5", 1.5, 0), validate.Failed, again},
		{"the number of another place", two("B5", "26-B5", 1.51, 0), validate.NotNeeded, ""},
		{"no year", two("B5", "12-B5", 0.4, 0), validate.NotNeeded, ""},
		{"other names", two("B5", "B6", 0.4, 0), validate.NotNeeded, ""},
		{"numbers", two("B 5", "B 5 1", 0.4, 0), validate.NotNeeded, ""},
		{"all of them by the same", all(0.6), validate.Failed, "has moved between"},
		{"as nearly as that", all(0.74), validate.Failed, "has moved between"},
	})
	p := park()
	all(0.9)(p)
	r := validate.Check(p.plan(t), schema.DefaultLimits())
	for _, f := range r.Findings {
		if f.Rule == validate.RuleSurveyQuality && f.Severity == validate.Error {
			t.Errorf("not all by the same: %s", f.Message)
		}
	}
}

// TestCalledRound: a square that is called round, its curve a hair nearer and farther
// than the margin from the south lawn, which ends at y = -10. The circle through the
// corners of a square 6 m wide lies 6/2 tan(22.5) = 1.243 m beyond its sides.
func TestCalledRound(t *testing.T) {
	limits := schema.DefaultLimits()
	margin, _ := limits.HazardMargin("water")
	bulge := 3 * math.Tan(math.Pi/8)
	pond := func(name, kind string, off float64, ring func(y float64) []orb.Point) func(p *plot) {
		return func(p *plot) {
			x := areaOf(p, "h9", "hazard", flatGround, ring(-10+margin+off))
			x.name = name
			x.set("hazard_kind", schema.String(kind))
		}
	}
	square := func(y float64) []orb.Point { return rect(2, y, 8, y+6) }
	back := func(y float64) []orb.Point { return reversed(square(y)) }
	judgeWords(t, "curve-coarse", []wordCase{
		{"a round pond", pond("Round pond", "pond", bulge-0.002, square), validate.Failed, "few points"},
		{"drawn the other way", pond("Rundteich", "pond", bulge-0.002, back), validate.Failed, "few points"},
		{"a hair farther", pond("Round pond", "pond", bulge+0.002, square), validate.Passed, ""},
		{"one that is not called so", pond("Pond", "pond", bulge-0.002, square), validate.Passed, ""},
		{"a road round something", pond("Rundweg", "road", bulge-0.002, square), validate.Passed, ""},
		{"around", pond("Pond around the corner", "pond", bulge-0.002, square), validate.Passed, ""},
	})
}
