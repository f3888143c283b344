// Which entry of a history is the newest, and positions of a base beside it.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// entryAt is an entry that has the base so far south of where it stands.
func entryAt(p *plot, off float64, members string, t *testing.T) schema.Value {
	a := baseHistory(p, off)[0].Value.Items()[0].Fields()
	out := schema.Attributes{{Key: "stored", Value: a.Get("stored")}}
	for _, x := range jsonValue(t, "{"+members+"}").Fields() {
		out.Set(x.Key, x.Value)
	}
	return schema.Object(out)
}

// entryUp is an entry that has the base so far above where it stands.
func entryUp(p *plot, up float64, t *testing.T) schema.Value {
	stored := entryAt(p, 0, "", t).Fields().Get("stored").Items()
	h, _ := stored[2].Float()
	return schema.Object(schema.Attributes{{Key: "stored", Value: schema.List(stored[0], stored[1], num(h+up))}})
}

// TestNewestByDate: the first entry of the list lies 0.5 m off, the last at the
// base.
func TestNewestByDate(t *testing.T) {
	history := func(off float64, first, last string) func(p *plot) {
		return func(p *plot) { member(p, "history", schema.List(entryAt(p, off, first, t), entryAt(p, 0, last, t))) }
	}
	of := func(a, b string) func(p *plot) { return history(0.5, `"date": `+a, `"date": `+b) }
	judgeWords(t, "base-moved", []wordCase{
		{"days", of(`"2026-5-1"`, `"2020-1-1"`), validate.Failed, `history of 2026-5-1 has it, which by its date is the newest`},
		{"with slashes", of(`"2026/05/01"`, `"2020/01/01"`), validate.Failed, "by its date"},
		{"as a number", of(`20260501`, `20200101`), validate.Failed, "history of 20260501"},
		{"as years in numbers", of(`2026`, `2020`), validate.Failed, "by its date"},
		{"day, month, year", of(`"01.05.2026"`, `"01.01.2020"`), validate.Failed, "by its date"},
		{"months", of(`"May 2026"`, `"Jan 2020"`), validate.Failed, "by its date"},
		{"years that a day cannot change", of(`"06/01/2025"`, `"06/01/2021"`), validate.Failed, "by its date"},
		{"days that may be months", of(`"06/02/2025"`, `"05/03/2025"`), validate.Unchecked, "write dates as year-month-day"},
		{"days that are none", of(`"13/02/2025"`, `"05/03/2025"`), validate.Unchecked, "went along"},
		{"words", of(`"the other day"`, `"2020-01-01"`), validate.Unchecked, "write dates as year-month-day"},
		{"words in the last", of(`"2020-01-01"`, `"last week"`), validate.Unchecked, "write dates as year-month-day"},
		{"years of two digits", of(`"01.05.26"`, `"01.01.20"`), validate.Unchecked, "write dates as year-month-day"},
		{"in order", of(`"01.01.2020"`, `"01.05.2026"`), validate.Unchecked, "went along"},
		{"one day", of(`"2026-05-01"`, `"2026-05-01"`), validate.Unchecked, "went along"},
		{"a year and a day of it", of(`"2026"`, `"2026-05-01"`), validate.Unchecked, "went along"},
		{"an hour later", of(`"2026-05-01T10:00:00Z"`, `"2026-05-01T09:00:00Z"`), validate.Failed, "by its date"},
		{"no dates", history(0.5, ``, ``), validate.Unchecked, "went along"},
		{"only the last dated", history(0.5, ``, `"date": "2020-01-01"`), validate.Unchecked, "went along"},
		{"only the first dated", history(0.5, `"date": "2020-01-01"`, ``), validate.Unchecked, "the last, which has no date"},
		{"epochs", history(0.5, `"epoch": 2026.3`, `"epoch": 2020.1`), validate.Failed, "by its epoch"},
		{"epochs in order", history(0.5, `"epoch": 2020.1`, `"epoch": 2026.3`), validate.Passed, ""},
		{"an epoch and a date", history(0.5, `"epoch": 2026.3`, `"date": "2020-01-01"`), validate.Unchecked, "went along"},
		{"in another frame", func(p *plot) {
			p.get("b1").set("frame", schema.String("GDA2020"))
			history(0.5, `"date": "2026-05-01", "frame": "ITRF2014"`, `"date": "2020-01-01", "frame": "GDA2020"`)(p)
		}, validate.Passed, ""},
		{"the plan in another frame than its entries", func(p *plot) {
			member(p, "frame", schema.String("ETRS89"))
			history(0, `"frame": "ITRF2014"`, `"frame": "ITRF2014"`)(p)
		}, validate.Unchecked, `in "ITRF2014" and the base in "ETRS89"`},
		{"the plan in the frame of its entries", func(p *plot) {
			member(p, "frame", schema.String("ETRS89"))
			history(0, `"frame": "ETRS 89"`, `"frame": "ETRS 89"`)(p)
		}, validate.Passed, ""},
		{"days that are none, a hair off", history(0.0195, `"date": "13/02/2025"`, `"date": "05/03/2025"`), validate.Passed, ""},
		{"days in order, a hair off", history(0.0195, `"date": "2020-01-01"`, `"date": "2026-05-01"`), validate.Passed, ""},
		{"days in order, a hair more", history(0.0205, `"date": "2020-01-01"`, `"date": "2026-05-01"`), validate.Unchecked, "entry 2 of the plan's history has the base 0.021 m from where the entry before"},
		{"the plan's own limit", func(p *plot) {
			member(p, "limits", jsonValue(t, `{"drift_unchanged_m": 0.01}`))
			history(0.0105, `"date": "2020-01-01"`, `"date": "2026-05-01"`)(p)
		}, validate.Unchecked, "went along"},
		{"an entry 0.099 m higher", func(p *plot) { member(p, "history", schema.List(entryUp(p, 0.099, t), entryAt(p, 0, "", t))) }, validate.Passed, ""},
		{"0.102 m higher", func(p *plot) { member(p, "history", schema.List(entryUp(p, 0.102, t), entryAt(p, 0, "", t))) }, validate.Unchecked, "0.10 m higher or lower"},
		{"as far as a plate may move in those years", history(0.755, `"epoch": 2020.1`, `"epoch": 2026.3`), validate.Passed, ""},
		{"farther than that", history(0.77, `"epoch": 2020.1`, `"epoch": 2026.3`), validate.Unchecked, "went along"},
		// At the limit of 0.02 m from both sides.
		{"words, a hair off", history(0.0195, `"date": "soon"`, `"date": "2020-01-01"`), validate.Passed, ""},
		{"words, a hair more", history(0.0205, `"date": "soon"`, `"date": "2020-01-01"`), validate.Unchecked, "entry 1"},
		{"days, a hair off", history(0.0195, `"date": "1 May 2026"`, `"date": "2020-01-01"`), validate.Passed, ""},
		{"days, a hair more", history(0.0205, `"date": "1 May 2026"`, `"date": "2020-01-01"`), validate.Failed, "by its date"},
		{"under time", history(0.5, `"time": "2026-05-01T10:00:00Z"`, `"time": "2020-01-01T10:00:00Z"`), validate.Failed, `has its date in a member "time": write it as the member date`},
		{"under when, in order", history(0.5, `"when": "2020-05-01"`, `"when": "2021-01-01"`), validate.Failed, `"when"`},
		{"a position measured", history(0, `"measured": [9, 56, 40]`, ``), validate.Failed, "is its member antenna"},
	})
}

// TestPositionsBesideTheHistory: where the base was, under a name of somebody's
// own.
func TestPositionsBesideTheHistory(t *testing.T) {
	at := func(p *plot, off float64) schema.Value { return entryAt(p, off, "", t).Fields().Get("stored") }
	plan := func(key string, off float64) func(p *plot) {
		return func(p *plot) { member(p, key, at(p, off)) }
	}
	judgeWords(t, "base-moved", []wordCase{
		{"stored_position", plan("stored_position", 0.5), validate.Unchecked, `"stored_position" has a position 0.50 m from where base "Mast" stands`},
		{"a list of entries", func(p *plot) { member(p, "log", schema.List(entryAt(p, 0.5, "", t))) }, validate.Unchecked, "into the plan's member history"},
		{"an entry under any name", func(p *plot) { member(p, "earlier", entryAt(p, 0.5, "", t)) }, validate.Unchecked, `"earlier"`},
		{"baseStation", plan("baseStation", 0.5), validate.Unchecked, `"baseStation"`},
		{"the middle of a map", plan("center", 0.5), validate.NotNeeded, ""},
		{"a hair off", plan("previous_base", 0.0195), validate.NotNeeded, ""},
		{"a hair more", plan("previous_base", 0.0205), validate.Unchecked, `"previous_base"`},
		{"within 100 m", plan("previous_base", 99.9), validate.Unchecked, `"previous_base"`},
		{"farther", plan("previous_base", 100.1), validate.NotNeeded, ""},
		{"of the base", func(p *plot) { p.get("b1").set("old", at(p, 0.5)) }, validate.Unchecked, `the base's property "old"`},
		{"of the base, the same", func(p *plot) { p.get("b1").set("old", at(p, 0.01)) }, validate.NotNeeded, ""},
		{"numbers that are no place here", func(p *plot) { p.get("b1").set("offsets", schema.List(num(0.1), num(0.2))) }, validate.NotNeeded, ""},
	})
}

// TestOtherMasts: what says that it is the base and stands beside it.
func TestOtherMasts(t *testing.T) {
	beside := func(role, name string, off float64, active bool, more ...schema.Attribute) func(p *plot) {
		return func(p *plot) {
			b := p.get("b1").point
			x := p.add(&thing{id: "m9", role: role, name: name, point: &orb.Point{b[0] + off, b[1]}, z: func(orb.Point) float64 { return plotH + 2.5 }, props: more})
			if !active {
				x.set("active", schema.Bool(false))
			}
		}
	}
	mark := func(name string, off float64) func(p *plot) { return beside("mark", name, off, true) }
	judgeWords(t, "base-moved", []wordCase{
		{"a mark called base", mark("Base mast (measured 2025)", 0.5), validate.Failed, `stands 0.50 m from mark "Base mast (measured 2025)": which of the two`},
		{"a hair off", mark("Base mast (measured 2025)", 0.0195), validate.NotNeeded, ""},
		{"a hair more", mark("Base mast (measured 2025)", 0.0205), validate.Failed, "which of the two"},
		{"within 5 m", mark("Antenne 2025", 4.99), validate.Failed, "which of the two"},
		{"farther", mark("Antenne 2025", 5.01), validate.NotNeeded, ""},
		{"far off, base mast in as many words", mark("Base mast", 40), validate.Failed, "where does the antenna stand"},
		{"far off, in one word", mark("Referenzstation", 5.01), validate.Failed, "where does the antenna stand"},
		{"far off, another mast", mark("Radio mast", 40), validate.NotNeeded, ""},
		{"far off, a point of the base", mark("Base 2", 40), validate.NotNeeded, ""},
		{"of another name", mark("M7", 0.5), validate.NotNeeded, ""},
		{"at the foot of it", mark("Foot of mast", 0.5), validate.NotNeeded, ""},
		{"a lamp", mark("Lamp mast", 0.5), validate.NotNeeded, ""},
		{"a reference mark", mark("Base RM 1", 3), validate.NotNeeded, ""},
		{"by a property", beside("mark", "M7", 0.5, true, schema.Attribute{Key: "code", Value: schema.String("BASE")}), validate.Failed, "which of the two"},
		{"in a note", beside("mark", "M7", 0.5, true, schema.Attribute{Key: "note", Value: schema.String("beside the base")}), validate.NotNeeded, ""},
		{"a base that is off", beside("base", "Mast (new)", 0.5, false), validate.Failed, `the base "Mast (new)", which is switched off`},
		{"off, a hair off", beside("base", "Mast (new)", 0.0195, false), validate.NotNeeded, ""},
		{"off, a hair more", beside("base", "Mast (new)", 0.0205, false), validate.Failed, "switched off"},
		{"off, within 5 m", beside("base", "Mast (new)", 4.99, false), validate.Failed, "switched off"},
		{"off and farther", beside("base", "Winter mast", 5.01, false), validate.NotNeeded, ""},
		{"a mark that is off", beside("mark", "Base", 0.5, false), validate.NotNeeded, ""},
		{"a history inside another member", func(p *plot) {
			member(p, "info", schema.Object(schema.Attributes{{Key: "history", Value: schema.List(entryAt(p, 0, "", t))}}))
		}, validate.Failed, `"info" has a history in it`},
	})
}

// TestSameNumbers: entries that hold the same coordinates, of another frame or epoch. The
// ground of the plot moves by 0.0240 m a year in ITRF2020, and ETRF2000 lies 0.8 m off it.
func TestSameNumbers(t *testing.T) {
	two := func(off float64, first, last string) func(p *plot) {
		return func(p *plot) {
			p.get("b1").set("frame", schema.String("ITRF2020")).set("epoch", num(2024))
			member(p, "history", schema.List(entryAt(p, off, first, t), entryAt(p, 0, last, t)))
		}
	}
	of := func(frame, year string) string { return `"frame": "` + frame + `", "epoch": ` + year }
	const same = "hold the same coordinates"
	judgeWords(t, "base-moved", []wordCase{
		{"two frames", two(0, of("ETRF2000", "2024"), of("ITRF2020", "2024")), validate.Failed, same},
		{"written with fewer decimals", two(0.0009, of("ETRF2000", "2024"), of("ITRF2020", "2024")), validate.Failed, same},
		{"a hair more apart", two(0.0011, of("ETRF2000", "2024"), of("ITRF2020", "2024")), validate.Passed, ""},
		{"two frames that lie millimetres apart", two(0, of("ITRF2014", "2024"), of("ITRF2020", "2024")), validate.Passed, ""},
		{"two words for one frame", two(0, of("IGS20", "2024"), of("ITRF2020", "2024")), validate.Passed, ""},
		{"one that says no frame", two(0, `"epoch": 2024`, of("ITRF2020", "2024")), validate.Passed, ""},
		{"epochs between which the ground moves by a hair less", two(0, of("ITRF2020", "2023.2"), of("ITRF2020", "2024")), validate.Passed, ""},
		{"by a hair more", two(0, of("ITRF2020", "2023.1"), of("ITRF2020", "2024")), validate.Failed, "of the epochs 2023.1 and 2024 in ITRF2020"},
		{"years apart, and the numbers moved", two(0.24, of("ITRF2020", "2014"), of("ITRF2020", "2024")), validate.Passed, ""},
		{"epochs in a frame that goes with the ground", func(p *plot) {
			two(0, of("ETRF2000", "2010"), of("ETRF2000", "2024"))(p)
			p.get("b1").set("frame", schema.String("ETRF2000"))
		}, validate.Passed, ""},
		{"epochs of no frame", func(p *plot) {
			member(p, "history", schema.List(entryAt(p, 0, `"epoch": 2010`, t), entryAt(p, 0, `"epoch": 2024`, t)))
		}, validate.Passed, ""},
	})
}

// TestCorrectionsOfNothing: 'swardline drift' writes one itself where a base was told to
// be where it is.
func TestCorrectionsOfNothing(t *testing.T) {
	one := func(members string) func(p *plot) {
		return func(p *plot) { member(p, "history", schema.List(entryAt(p, 0, members, t))) }
	}
	const nothing = "a correction that moved nothing"
	judgeWords(t, "base-moved", []wordCase{
		{"a shift of 0", one(`"kind": "correction", "shift_m": [0, 0, 0]`), validate.Failed, nothing},
		{"no shift", one(`"kind": "correction"`), validate.Failed, nothing},
		{"no shift, with all else", one(`"kind": "correction", "antenna": [0, 0, 0], "measured_by": ""`), validate.Failed, ""},
		{"a record", one(`"kind": "record"`), validate.Passed, ""},
	})
	p := park()
	own, err := validate.Correct(p.plan(t), validate.Movement{}, "2026-03-01")
	if err != nil {
		t.Fatal(err)
	}
	if o := validate.Check(own, schema.DefaultLimits()).Outcome(validate.RuleBaseMoved); o.Outcome != validate.Passed {
		t.Errorf("of the program's own: %s (%s)", o.Outcome, o.Reason)
	}
}

// movedNorth is a correction by so much to the north.
func movedNorth(p *plot, by float64, date string, t *testing.T) schema.Value {
	e := entryAt(p, 0, `"date": "`+date+`", "kind": "correction"`, t).Fields()
	at := e.Get("stored").Items()
	lat, _ := at[1].Float()
	e.Set("antenna", schema.List(at[0], num(lat+by/111108), at[2]))
	e.Set("shift_m", schema.List(num(0), num(by), num(0)))
	return schema.Object(e)
}

// TestOddDates: dates that no entry has, corrections beside dates that run backwards, and
// what was measured after the newest correction.
func TestOddDates(t *testing.T) {
	record := func(date string) func(p *plot) {
		return func(p *plot) { member(p, "history", schema.List(entryAt(p, 0, `"date": "`+date+`"`, t))) }
	}
	// corrected has a record of May and a correction by so much of a date, and a lawn that
	// says when it was measured.
	corrected := func(by float64, date, key, measured string) func(p *plot) {
		return func(p *plot) {
			member(p, "history", schema.List(entryAt(p, 0, `"date": "2026-05-01"`, t), movedNorth(p, by, date, t)))
			p.get("z1").set(key, schema.String(measured))
		}
	}
	noted := func(note string) func(p *plot) {
		return func(p *plot) {
			member(p, "history", schema.List(entryAt(p, 0, `"date": "2026-05-01", "note": "`+note+`"`, t)))
		}
	}
	judgeWords(t, "base-moved", []wordCase{
		{"a day that is none", record("2026-13-01"), validate.Failed, "which is no day"},
		{"a day that is none, day first", record("31.02.2026"), validate.Failed, "which is no day"},
		{"the last day of a month", record("2026-02-28"), validate.Passed, ""},
		{"words", record("the other day"), validate.Passed, ""},
		{"a clock not set", record("1970-01-01"), validate.Failed, "was the clock not set"},
		{"the day before", record("1994-12-31"), validate.Failed, "was the clock not set"},
		{"the first day", record("1995-01-01"), validate.Passed, ""},
		{"a correction behind", corrected(0.3, "2026-05-02", "date", "2026-04-01"), validate.Passed, ""},
		{"a correction dated before", corrected(0.3, "2026-04-30", "date", "2026-04-01"), validate.Unchecked, "put them in order"},
		{"one that moves nothing dated before", corrected(0.0195, "2026-04-30", "date", "2026-04-01"), validate.Passed, ""},
		{"one that moves a hair more dated before", corrected(0.0205, "2026-04-30", "date", "2026-04-01"), validate.Unchecked, "put them in order"},
		{"a lawn of the day of the correction", corrected(0.3, "2026-06-01", "date", "2026-06-01"), validate.Passed, ""},
		{"a lawn of the day after", corrected(0.3, "2026-06-01", "date", "2026-06-02"), validate.Failed, "moved with the rest?"},
		{"a lawn after one that moves nothing", corrected(0.0195, "2026-06-01", "date", "2026-06-02"), validate.Passed, ""},
		{"a lawn whose file was touched after", corrected(0.3, "2026-06-01", "updated", "2026-06-02"), validate.Passed, ""},
		{"a note of what is to be done", noted("to be checked"), validate.Unchecked, "says \"to be checked\""},
		{"in another language", noted("noch prüfen"), validate.Unchecked, "noch prüfen"},
		{"a note of what was done", noted("checked"), validate.Passed, ""},
	})
}

// TestMemberTwice: a member under two spellings that say two things, and one thing.
func TestMemberTwice(t *testing.T) {
	two := func(key, a, other, b string) func(p *plot) {
		return func(p *plot) { member(p, key, jsonValue(t, a)); member(p, other, jsonValue(t, b)) }
	}
	const told = "only the first is read"
	judgeWords(t, "property-misnamed", []wordCase{
		{"two frames", two("frame", `"ETRS89"`, "Frame", `"ITRF2014"`), validate.Failed, told},
		{"one frame", two("frame", `"ETRS89"`, "Frame", `"etrs 89"`), validate.Passed, ""},
		{"two heights", two("heights", `"ellipsoidal"`, "Heights", `"EPSG:7837"`), validate.Failed, told},
		{"two limits", two("limits", `{"hazard_margin_m": 0.4}`, "Limits", `{"hazard_margin_m": 2}`), validate.Failed, told},
		{"one limit", two("limits", `{"hazard_margin_m": 0.4}`, "Limits", `{"hazard_margin_m": 0.4}`), validate.Passed, ""},
		{"in the metadata", two("frame", `"ITRF2014"`, "metadata", `{"frame": "ETRS89"}`), validate.Failed, told},
		{"two epochs", two("epoch", `2024.5`, "Epoch", `2024.39`), validate.Failed, told},
		{"a month apart", two("epoch", `2024.5`, "Epoch", `2024.41`), validate.Passed, ""},
		{"an epoch of another spelling", func(p *plot) { member(p, "Epoch", num(2012)) }, validate.Failed, "called epoch"},
		{"two of a base", func(p *plot) { p.get("b1").set("epoch", num(2026.5)).set("coordinate_epoch", num(2026.3)) }, validate.Failed, "only epoch is read"},
		{"one of a base and its frame's", func(p *plot) { p.get("b1").set("epoch", num(2026.5)).set("reference_epoch", num(2010)) }, validate.Passed, ""},
	})
}
