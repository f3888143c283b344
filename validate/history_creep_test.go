// Steps of a base that are small one by one, and notes of a blow.

package validate_test

import (
	"testing"
	"time"

	"swardline/schema"
	"swardline/validate"
)

func TestSmallSteps(t *testing.T) {
	// Each entry so far south of the base, with members.
	type at struct {
		off     float64
		members string
	}
	history := func(list ...at) func(p *plot) {
		return func(p *plot) {
			var out []schema.Value
			for _, e := range list {
				out = append(out, entryAt(p, e.off, e.members, t))
			}
			member(p, "history", schema.List(out...))
		}
	}
	heights := func(list ...float64) func(p *plot) {
		return func(p *plot) {
			var out []schema.Value
			for _, up := range list {
				out = append(out, entryUp(p, up, t))
			}
			member(p, "history", schema.List(out...))
		}
	}
	own := func(limit string, f func(p *plot)) func(p *plot) {
		return func(p *plot) {
			member(p, "limits", jsonValue(t, `{"drift_unchanged_m": `+limit+`}`))
			f(p)
		}
	}
	const steps = "by steps that are each within the limit"
	judgeWords(t, "base-moved", []wordCase{
		{"three quiet records of 3 mm", history(at{0.009, ""}, at{0.006, ""}, at{0.003, ""}, at{0, ""}), validate.Passed, ""},
		{"two steps that come to a hair less than the limit", history(at{0.0195, ""}, at{0.01, ""}, at{0, ""}), validate.Passed, ""},
		{"a hair more, and less than it in a step", history(at{0.0215, ""}, at{0.01, ""}, at{0, ""}), validate.Unchecked, steps},
		{"the plan's own limit", own("0.01", history(at{0.015, ""}, at{0.0075, ""}, at{0, ""})), validate.Unchecked, steps},
		{"there and back", history(at{0, ""}, at{0.015, ""}, at{0.03, ""}, at{0.015, ""}, at{0, ""}), validate.Unchecked, "0.030 m up to entry 3"},
		{"as far as plates go in those years", history(at{0.1, `"epoch": 2024.0`}, at{0.06, `"epoch": 2024.4`}, at{0, `"epoch": 2025.0`}), validate.Passed, ""},
		{"in another frame since", history(at{0.03, `"frame": "ITRF2014"`}, at{0.015, `"frame": "ETRS89"`}, at{0, `"frame": "ETRS89"`}), validate.Passed, ""},
		{"sinking by a hair less", heights(0.099, 0.05, 0), validate.Passed, ""},
		{"sinking by a hair more", heights(0.102, 0.05, 0), validate.Unchecked, "up or down to entry 3"},
	})
}

func TestBlows(t *testing.T) {
	history := func(first, last string) func(p *plot) {
		return func(p *plot) { member(p, "history", schema.List(entryAt(p, 0, first, t), entryAt(p, 0, last, t))) }
	}
	const year = 365 * 24 * time.Hour
	day := func(off time.Duration) string { return time.Now().Add(off).Format(time.DateOnly) }
	judgeWords(t, "base-moved", []wordCase{
		{"a record of today", history(``, `"date": "`+day(0)+`"`), validate.Passed, ""},
		{"of a week to come", history(``, `"date": "`+day(year/52)+`"`), validate.Unchecked, "has not come yet"},
		{"of years to come", history(`"date": "2044-01-01"`, `"date": "2019-01-01"`), validate.Unchecked, "entry 1"},
		{"of a year", history(``, `"date": "`+time.Now().Format("2006")+`"`), validate.Passed, ""},
	})
	const says = "whether it stands where that has it is not known"
	judgeWords(t, "base-moved", []wordCase{
		{"a note of the newest", history(``, `"note": "hit by a tractor"`), validate.Unchecked, says},
		{"a reason", history(``, `"reason": "mast straightened"`), validate.Unchecked, says},
		{"in German", history(``, `"note": "Mast angefahren"`), validate.Unchecked, says},
		{"denied", history(``, `"note": "not hit by the tractor"`), validate.Passed, ""},
		{"a note of an older one", history(`"note": "hit by a mower, then straightened"`, ``), validate.Unchecked, "entry 1"},
		{"measured since", history(`"note": "hit by a mower"`, `"measured_by": "static, 4 h"`), validate.Passed, ""},
		{"a note of nothing", history(`"note": "yearly look"`, ``), validate.Passed, ""},
	})
}
