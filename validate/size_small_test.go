// Tests of things that stand in lawns and are drawn smaller than any.

package validate_test

import (
	"testing"

	"swardline/schema"
	"swardline/validate"
)

// TestSmallDrawn: discs, outlines and keep-outs of small things, a hair either side of
// the least of each.
func TestSmallDrawn(t *testing.T) {
	disc := func(kind, name string, across float64) func(p *plot) {
		return func(p *plot) {
			placedOn(p, "hazard", name, pointAt(70, 35), "hazard_kind", kind, "radius_m", across/2)
		}
	}
	// outline is half as wide as it is long; its diagonal is the root of 5 / 4 of that.
	outline := func(kind, name string, diagonal float64) func(p *plot) {
		return func(p *plot) {
			long := diagonal / 1.118033988749895
			placedOn(p, "hazard", name, boxAt(70, 35, 70+long, 35+long/2), "hazard_kind", kind)
		}
	}
	keep := func(name string, diagonal, x float64) func(p *plot) {
		return func(p *plot) {
			side := diagonal / 1.4142135623730951
			placedOn(p, "keepout", name, boxAt(x, -20, x+side, -20+side))
		}
	}
	const says = "none such is smaller than"
	pass, fail := validate.Passed, validate.Failed
	cases := []wordCase{
		{"a picnic table", disc("picnic table", "Stone", 0.901), pass, ""},
		{"smaller", disc("picnic table", "Stone", 0.899), fail, says},
		{"by its outline", outline("picnic table", "Stone", 0.901), pass, ""},
		{"smaller by its outline", outline("picnic table", "Stone", 0.899), fail, says},
		{"a bench", disc("bench", "Stone", 0.601), pass, ""},
		{"half a bench", disc("bench", "Stone", 0.599), fail, says},
		{"a bench of the garden", disc("garden bench 2", "Stone", 0.599), fail, says},
		{"benches", disc("benches", "Stone", 0.599), fail, says},
		{"in another language", disc("Gartenbank", "Stone", 0.599), fail, says},
		{"a table", disc("table", "Stone", 0.501), pass, ""},
		{"a smaller table", disc("table", "Stone", 0.499), fail, says},
		{"a table for birds", disc("bird table", "Stone", 0.201), pass, ""},
		{"a smaller one for birds", disc("bird table", "Stone", 0.199), fail, says},
		{"a beehive", disc("beehive", "Stone", 0.401), pass, ""},
		{"a smaller beehive", disc("beehive", "Stone", 0.399), fail, says},
		{"a hive for bumblebees", disc("bee chair", "Stone", 0.1), pass, ""},
		{"a manhole", disc("manhole", "Stone", 0.401), pass, ""},
		{"a smaller manhole", disc("manhole", "Stone", 0.399), fail, says},
		{"a bench for birds", disc("bird bench", "Stone", 0.3), pass, ""},
		{"its cover", disc("manhole cover", "Stone", 0.2), pass, ""},
		{"a boulder", disc("boulder", "Stone", 0.257), pass, ""},
		{"no boulder yet", disc("boulder", "Stone", 0.255), fail, says},
		{"a stone", disc("stone", "Stone", 0.2), pass, ""},
		{"a sundial", disc("sundial", "Stone", 0.201), pass, ""},
		{"a smaller sundial", disc("sundial", "Stone", 0.199), fail, says},
		{"a bird bath", outline("bird bath", "Stone", 0.199), fail, says},
		{"a toy", disc("toy table", "Stone", 0.2), pass, ""},
		{"a lamp at a table", disc("table lamp", "Stone", 0.2), pass, ""},
		{"by its name", disc("post", "Picnic table", 0.899), fail, says},
		{"by its name as large as one", disc("post", "Picnic table", 0.901), pass, ""},
		{"a part of one", disc("post", "Corner of the table", 0.2), pass, ""},

		{"a keep-out round it", keep("Bench", 0.601, 20), pass, ""},
		{"a keep-out smaller than it", keep("Bench", 0.599, 20), fail, says},
		{"at the rim of the lawn", keep("Bench", 0.599, 29.8), pass, ""},
		{"of a bed", keep("Bench bed", 0.3, 20), pass, ""},
		{"what lies behind it", keep("Behind the bench", 0.3, 20), pass, ""},
	}
	judgeWords(t, validate.RuleGeometryUnfit, cases)
	p := park()
	keep("Bench", 0.599, 20)(p)
	for _, f := range validate.Check(p.plan(t), schema.DefaultLimits()).Findings {
		if f.Rule == validate.RuleGeometryUnfit && f.Severity != validate.Note {
			t.Errorf("a keep-out: %s", show(f))
		}
	}
}
