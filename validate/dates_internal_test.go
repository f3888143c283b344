// Dates in the forms that people write them in.

package validate

import (
	"math"
	"testing"
)

func TestDatesAsPeopleWriteThem(t *testing.T) {
	// A day of 2026: the first of May is the 120th after New Year's.
	const may1, dayLong = 2026 + 120.0/365, 1.0 / 365
	for text, want := range map[string]span{
		"2026-05-01": {may1, may1 + dayLong}, "2026-5-1": {may1, may1 + dayLong}, "2026/05/01": {may1, may1 + dayLong}, "2026.05.01": {may1, may1 + dayLong},
		"20260501": {may1, may1 + dayLong}, "01.05.2026": {may1, may1 + dayLong}, "1.5.2026": {may1, may1 + dayLong}, "1 May 2026": {may1, may1 + dayLong},
		"May 1, 2026": {may1, may1 + dayLong}, "1. Mai 2026": {may1, may1 + dayLong}, "1er mai 2026": {may1, may1 + dayLong}, "1. toukokuuta 2026": {may1, may1 + dayLong},
		"2026-05-01 (after the storm)": {may1, may1 + dayLong}, "1-MAY-2026": {may1, may1 + dayLong}, "Fri, 01 May 2026 00:00:00 GMT": {may1, may1}, "2026-05-01T12:00:00+02:00": {may1 + dayLong/2, may1 + dayLong/2},
		"2026-05-01T06:00": {may1 + dayLong/4, may1 + dayLong/4}, "1777593600": {may1, may1 + dayLong}, "1777593600000": {may1, may1 + dayLong},
		"May 2026": {may1, 2026 + 151.0/365}, "2026-05": {may1, 2026 + 151.0/365}, "05/2026": {may1, 2026 + 151.0/365}, "202605": {may1, 2026 + 151.0/365}, "mai 2026": {may1, 2026 + 151.0/365},
		"2026": {2026, 2027}, "spring 2026": {2026, 2027}, "2026.33": {2026.33, 2026.33}, "13/05/2026": {may1 + 12*dayLong, may1 + 13*dayLong}, "05/13/2026": {may1 + 12*dayLong, may1 + 13*dayLong},
	} {
		got := dateOf(text)
		for _, s := range [...]span{got.dayFirst, got.monthFirst} {
			if !got.read || !(math.Abs(s.from-want.from) < 1e-5) || !(math.Abs(s.to-want.to) < 1e-5) {
				t.Errorf("%q is read as %v, want %v", text, got, want)
			}
		}
	}
	for _, text := range []string{
		"", "spring", "01.05.26", "5/1/26", "2025 or 2026", "2026-13-01", "2026-02-30", "31.04.2026", "May", "1 May", "20261301", "Q2 2026", "week 18 of 2026", "1 May or 1 June 2026",
		"0026-05-01", "9999", "32.01.2026", "12345", "2026-05-01 or 2027", "1 2 May 2026", "13/13/2026", ":", "2026-:00", "01-05", "1:2",
	} {
		if got := dateOf(text); got.read {
			t.Errorf("%q is read as %v", text, got)
		}
	}
	// One of two: the first of May and the fifth of January.
	got := dateOf("01/05/2026")
	if !got.read || !(math.Abs(got.dayFirst.from-may1) < 1e-9) || !(math.Abs(got.monthFirst.from-(2026+4*dayLong)) < 1e-9) {
		t.Errorf("01/05/2026 is read as %v", got)
	}
}

func TestLaterDates(t *testing.T) {
	for _, x := range []struct {
		a, b        string
		sure, maybe bool
	}{
		{"2026-05-02", "2026-05-01", true, true},
		{"2026-05-01", "2026-05-01", false, false},
		{"2026-05-01", "2026-05-02", false, false},
		{"2026-06-01", "2026-05", true, true},
		{"2026-05-31", "2026-05", false, false},
		{"2026", "2026-05-01", false, false},
		{"2026", "2025-12-31", true, true},
		{"2026-05-01T10:00", "2026-05-01T09:00", true, true},
		{"2026-05-01T10:00", "2026-05-01", false, false},
		{"06/01/2025", "06/01/2021", true, true},
		{"06/02/2025", "05/03/2025", false, true},
		{"06/01/2025", "07/01/2025", false, false},
		{"06-01-2025", "2025-03-01", false, true},
		{"06.01.2025", "2025-03-01", false, false},
	} {
		if sure, maybe := dateOf(x.a).later(dateOf(x.b)); sure != x.sure || maybe != x.maybe {
			t.Errorf("%s after %s: %v, %v", x.a, x.b, sure, maybe)
		}
	}
}
