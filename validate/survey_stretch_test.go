// Tests of stretches of time that are past or to come, and of plans that a phone
// recorded.

package validate_test

import (
	"testing"
	"time"

	"swardline/schema"
	"swardline/validate"
)

func TestStretchesOfTime(t *testing.T) {
	day := func(days int) string { return time.Now().UTC().AddDate(0, 0, days).Format(time.DateOnly) }
	on := func(id, key, text string) func(p *plot) {
		return func(p *plot) { p.get(id).set(key, schema.String(text)) }
	}
	judgeWords(t, validate.RuleSurveyQuality, []wordCase{
		{"an end that is past", on("z1", "time_end", "2022-01-01"), validate.Failed, `its time_end, "2022-01-01", is past`},
		{"three days ago", on("k1", "time_end", day(-3)), validate.Failed, "is past"},
		{"today", on("k1", "time_end", day(0)), validate.NotNeeded, ""},
		{"tomorrow", on("k1", "time_end", day(3)), validate.NotNeeded, ""},
		{"a beginning to come", on("k1", "time_begin", day(4)), validate.Failed, "has not come yet"},
		{"a beginning that is past", on("k1", "time_begin", day(-1)), validate.NotNeeded, ""},
		{"a moment to come", on("k1", "time", "2131"), validate.Failed, "has not come yet"},
		{"a moment that is past", on("k1", "time", "2021-05-06T07:08:09Z"), validate.NotNeeded, ""},
		{"in German", on("z1", "Gültig bis", "31.12.2021"), validate.Failed, "is past"},
		{"no date", on("z1", "time", "morning"), validate.NotNeeded, ""},
		{"a number of another kind", on("z1", "time_of_mowing", "2022-01-01"), validate.NotNeeded, ""},
	})
}

func TestRecordedWithAPhone(t *testing.T) {
	says := func(key, text string) func(p *plot) {
		return func(p *plot) { member(p, key, schema.String(text)) }
	}
	beside := func(where, text string) *schema.Plan {
		p := park().plan(t)
		p.AddBeside(schema.BesideText{Where: where, Text: text})
		return p
	}
	fixed := func(p *plot) {
		says("gpx_creator", "Smartphone tracker")(p)
		for _, x := range p.things {
			x.set("fix", schema.String("fixed"))
		}
	}
	one := func(p *plot) {
		fixed(p)
		p.get("k1").set("fix", schema.Null())
	}
	const told = "the receiver of a phone fixes no ambiguities"
	judgeWords(t, validate.RuleSurveyQuality, []wordCase{
		{"a program for phones", says("gpx_creator", "Trail recorder for smartphones"), validate.Failed, told},
		{"a mobile one", says("gpx_creator", "Mobile Tracker 4.2"), validate.Failed, told},
		{"one that steers a receiver", says("gpx_creator", "Mobile RTK collector"), validate.NotNeeded, ""},
		{"mobile mapping", says("gpx_creator", "Mobile mapping suite"), validate.NotNeeded, ""},
		{"any other", says("gpx_creator", "Survey office 7"), validate.NotNeeded, ""},
		{"one that nobody knows", says("gpx_creator", "Trailo 4"), validate.Failed, "what recorded it is not known"},
		{"a map", says("gpx_creator", "Satellite map survey"), validate.Failed, "what recorded it is not known"},
		{"a receiver's", says("gpx_creator", "Trailo rover"), validate.NotNeeded, ""},
		{"a program of no GPX file", func(p *plot) {
			p.members = append(p.members, schema.Attribute{Key: "generator", Value: schema.String("Trailo 4")})
		}, validate.NotNeeded, ""},
		{"a sentence", says("desc", "recorded with my phone"), validate.Failed, told},
		{"in German", says("note", "Mit dem Handy aufgenommen"), validate.Failed, told},
		{"without RTK", says("note", "measured without RTK, by smartphone"), validate.Failed, told},
		{"one to call", says("note", "Measured by the office, phone 555 0100"), validate.NotNeeded, ""},
		{"one to call alone", says("note", "Telefon +49 555 0100"), validate.NotNeeded, ""},
		{"a phone that nobody measured with", says("note", "Phone box by the gate"), validate.NotNeeded, ""},
		{"with a receiver", says("note", "measured with a GNSS receiver and a phone"), validate.NotNeeded, ""},
		{"an address", says("author", "Mobile Lawns"), validate.NotNeeded, ""},
		{"where all say better", fixed, validate.Passed, ""},
		{"where one does not", one, validate.Failed, told},
	})
	for _, x := range []struct {
		where, text string
		want        validate.Outcome
	}{
		{"the element generator in line 2", "Phone tracker", validate.Failed},
		{"the element generator in line 2", "Desk tracker", validate.NotNeeded},
		{"the file README.txt of the archive", "walked with a smartphone", validate.Failed},
		{"the element author in line 2", "phone 555 0100", validate.NotNeeded},
	} {
		if o := validate.Check(beside(x.where, x.text), schema.DefaultLimits()).Outcome(validate.RuleSurveyQuality); o.Outcome != x.want {
			t.Errorf("%s %q: %s (%s), want %s", x.where, x.text, o.Outcome, o.Reason, x.want)
		}
	}
}
