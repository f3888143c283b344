// Epochs of coordinates beside the frames and dates that go with them.

package validate_test

import (
	"fmt"
	"testing"
	"time"

	"swardline/schema"
	"swardline/validate"
)

func TestEpochsOfFramesAndDates(t *testing.T) {
	plan := func(members string, more ...func(p *plot)) func(p *plot) {
		return func(p *plot) {
			for _, m := range jsonValue(t, "{"+members+"}").Fields() {
				member(p, m.Key, m.Value)
			}
			for _, draw := range more {
				draw(p)
			}
		}
	}
	bare := func(p *plot) { p.remove("b1") }
	of := func(id string, properties string) func(p *plot) {
		return func(p *plot) {
			for _, m := range jsonValue(t, "{"+properties+"}").Fields() {
				p.get(id).set(m.Key, m.Value)
			}
		}
	}
	entry := func(members string) func(p *plot) {
		return func(p *plot) { member(p, "history", schema.List(entryAt(p, 0, members, t))) }
	}
	ahead := func(years float64) string {
		now := time.Now().UTC()
		return fmt.Sprintf(`"frame": "ITRF2020", "epoch": %.4f`, float64(now.Year())+float64(now.YearDay())/366+years)
	}
	const before, tocome, off = "before anything was measured in", "to come by more than half a year", "off the date beside it"
	judgeWords(t, "survey-quality", []wordCase{
		{"ITRF2020 of 1994.9", plan(`"frame": "ITRF2020", "epoch": 1994.9`), validate.Failed, before},
		{"ITRF2020 of 1995", plan(`"frame": "ITRF2020", "epoch": 1995`), validate.NotNeeded, ""},
		{"ITRF2020 of 1950, and no base", plan(`"frame": "ITRF2020", "epoch": 1950`, bare), validate.Failed, before},
		{"ETRF2000 of 1985", plan(`"frame": "ETRF2000", "epoch": 1985`), validate.Failed, before},
		{"ETRF2000 of 1988.99", plan(`"frame": "ETRF2000", "epoch": 1988.99`), validate.Failed, before},
		{"ETRF2000 of 1989, which it is given at", plan(`"frame": "ETRF2000", "epoch": 1989`), validate.NotNeeded, ""},
		{"no frame, of 1977, and no base", plan(`"epoch": 1977`, bare), validate.Failed, "before satellites gave any position"},
		{"no frame, of 1978, and no base", plan(`"epoch": 1978`, bare), validate.NotNeeded, ""},
		{"0.55 years to come", plan(ahead(0.55)), validate.Failed, tocome},
		{"0.45 years to come", plan(ahead(0.45)), validate.NotNeeded, ""},
		{"a base of 1990 in ITRF2014", of("b1", `"frame": "ITRF2014", "epoch": 1990`), validate.Failed, before},
		{"a base of 2024 in it", of("b1", `"frame": "ITRF2014", "epoch": 2024`), validate.NotNeeded, ""},
		{"a base of an epoch 1.01 years before its date", of("b1", `"frame": "ITRF2014", "epoch": 2022.99, "date": "2024-01-01"`), validate.Failed, off},
		{"0.99 years", of("b1", `"frame": "ITRF2014", "epoch": 2023.01, "date": "2024-01-01"`), validate.NotNeeded, ""},
		{"a date that is a year, and one year of it", of("b1", `"frame": "ITRF2014", "epoch": 2025.9, "date": "2024"`), validate.NotNeeded, ""},
		{"the epoch that its frame is given at", of("b1", `"frame": "ITRF2014", "epoch": 2010, "date": "2024-01-01"`), validate.NotNeeded, ""},
		{"beside a plan of another", plan(`"frame": "ITRF2014", "epoch": 2024`, of("b1", `"frame": "ITRF2014", "epoch": 2010, "date": "2024-01-01"`)), validate.Failed, off},
		{"in a frame that stands still", of("b1", `"frame": "ETRF2000", "epoch": 1989, "date": "2024-01-01"`), validate.NotNeeded, ""},
		{"an entry of 2019 and of the epoch 2024", entry(`"date": "2019-05-01", "epoch": 2024.3`), validate.Failed, off},
		{"an entry of both", entry(`"date": "2024-05-01", "epoch": 2024.3`), validate.NotNeeded, ""},
		{"an entry of no date", entry(`"epoch": 2019.3`), validate.NotNeeded, ""},
		{"an entry whose epoch is that of the plan", plan(`"frame": "ITRF2014", "epoch": 2019.3`, entry(`"date": "2024-05-01", "epoch": 2019.3`)), validate.NotNeeded, ""},
		{"an entry in ITRF2014 of 1950", entry(`"frame": "ITRF2014", "epoch": 1950`), validate.Failed, before},
	})
}
