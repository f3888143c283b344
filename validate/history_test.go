// The base's history: what is read, what is refused, and no text that breaks
// it.

package validate

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"swardline/crs"
	"swardline/schema"
)

// historyOf reads the member "history" written as JSON.
func historyOf(t testing.TB, text string) (*schema.Plan, bool) {
	var v schema.Value
	if err := json.Unmarshal([]byte(text), &v); err != nil {
		return nil, false
	}
	p := &schema.Plan{CRS: crs.WGS84()}
	p.Attributes.Set(schema.PlanHistory, v)
	return p, true
}

func TestHistoryRefuses(t *testing.T) {
	const good = `{"date": "2026-03-01", "kind": "record", "stored": [9.1, 56.2, 45.5], "measured_by": ""`
	for _, x := range []struct{ text, want string }{
		{`{}`, "must be a list"},
		{`"yesterday"`, "must be a list"},
		{`[1]`, "entry 1 of the plan's history has no stored position"},
		{`[` + good + `}, {"date": "2026-03-02"}]`, "entry 2 of the plan's history has no stored position"},
		{`[{"stored": [9.1]}]`, "no stored position"},
		{`[{"stored": [9.1, 56.2, 1, 2]}]`, "no stored position"},
		{`[{"stored": ["9.1", 56.2]}]`, "no stored position"},
		{`[{"stored": [9.1, 95.2]}]`, "no stored position"},
		{`[{"stored": [190, 56.2]}]`, "no stored position"},
		{`[{"stored": [9.1, 56.2, 1e300]}]`, "no stored position"},
		{`[` + good + `, "antenna": [9.1, null]}]`, "antenna that is no position"},
		{`[` + good + `, "epoch": "spring"}]`, "epoch that is no year"},
		{`[` + good + `, "shift_m": [1, 2]}]`, "shift_m that is no movement"},
		{`[` + good + `, "shift_m": [1, 2, "3"]}]`, "shift_m that is no movement"},
		{`[` + good + `, "shift_m": [1, 2e9, 3]}]`, "shift_m that is no movement"},
	} {
		p, ok := historyOf(t, x.text)
		if !ok {
			t.Fatalf("%s is no JSON", x.text)
		}
		if _, err := History(p); err == nil || !strings.Contains(err.Error(), x.want) {
			t.Errorf("%s: %v, want %q", x.text, err, x.want)
		}
		// The rule says the same and does not pass.
		if got := Check(p, schema.DefaultLimits()).Outcome("base-moved"); got.Outcome != Failed {
			t.Errorf("%s: base-moved is %s (%s)", x.text, got.Outcome, got.Reason)
		}
	}
}

// A history that contradicts itself, or a plan given as held without one, has
// no ground, for the rule and for all that is made of the plan.
func TestHistoryContradicts(t *testing.T) {
	const (
		held   = schema.GivenHeld
		ground = schema.GivenGround
	)
	entry := func(antenna, shift, kind string) string {
		return `{"date": "2026-05-31", "kind": "` + kind + `", "stored": [9, 56, 40]` + antenna + shift + `}`
	}
	north := func(m float64, h string) string {
		b, _ := json.Marshal(56 + m/111342.5) // metres to a degree at 56 degrees, WGS 84, 40 m high
		return `, "antenna": [9, ` + string(b) + h + `]`
	}
	const shifted = `, "shift_m": [0, 0.3, 0]`
	for _, x := range []struct{ name, history, given, want string }{
		{"agrees", `[` + entry(north(0.3, ", 40"), shifted, "correction") + `]`, held, ""},
		{"agrees without heights", `[` + entry(north(0.3, ""), shifted, "correction") + `]`, held, ""},
		{"a hair below", `[` + entry(north(0.3195, ", 40"), shifted, "correction") + `]`, held, ""},
		{"a hair above", `[` + entry(north(0.3205, ", 40"), shifted, "correction") + `]`, held, "contradicts itself"},
		{"8 m", `[` + entry(north(8, ", 40"), shifted, "correction") + `]`, held, "contradicts itself"},
		{"8 m, ground", `[` + entry(north(8, ", 40"), shifted, "correction") + `]`, ground, "contradicts itself"},
		{"8 m, no given", `[` + entry(north(8, ", 40"), shifted, "correction") + `]`, "", "contradicts itself"},
		{"other sign", `[` + entry(north(-0.3, ", 40"), shifted, "correction") + `]`, held, "contradicts itself"},
		{"antenna lost", `[` + entry("", shifted, "correction") + `]`, held, "contradicts itself"},
		{"a height a hair below", `[` + entry(north(0.3, ", 40.0195"), shifted, "correction") + `]`, held, ""},
		{"a height a hair above", `[` + entry(north(0.3, ", 40.0205"), shifted, "correction") + `]`, held, "contradicts itself"},
		{"no shift", `[` + entry(north(12, ", 40"), "", "record") + `]`, "", "contradicts itself"},
		{"a record as it was", `[` + entry(north(0.3, ", 40"), shifted, "correction") + `, ` + entry(north(0.3, ", 40"), "", "record") + `]`, held, ""},
		{"a record without the antenna", `[` + entry(north(0.3, ", 40"), shifted, "correction") + `, ` + entry("", "", "record") + `]`, held, "contradicts itself"},
		{"two corrections", `[` + entry(north(0.3, ", 40"), shifted, "correction") + `, ` + entry(north(0.6, ", 40"), shifted, "correction") + `]`, held, ""},
		{"twice the same", `[` + entry(north(0.3, ", 40"), shifted, "correction") + `, ` + entry(north(0.3, ", 40"), shifted, "correction") + `]`, held, "contradicts itself"},
		{"swapped", `[` + entry(`, "antenna": [56, 9, 40]`, shifted, "correction") + `]`, held, "another site"},
		{"held without a history", `[]`, held, "no correction to get the ground from"},
		{"held by a record", `[` + entry("", "", "record") + `]`, held, "no correction to get the ground from"},
		{"ground without a history", `[]`, ground, ""},
		{"nothing said", `[` + entry("", "", "record") + `]`, "", ""},
	} {
		p, ok := historyOf(t, x.history)
		if !ok {
			t.Fatalf("%s: %s is no JSON", x.name, x.history)
		}
		if x.given != "" {
			p.Attributes.Set(schema.PlanGiven, schema.String(x.given))
		}
		p.Features = []*schema.Feature{thing(schema.RoleBase, "base", spot(9, 56, 40))}
		_, err := GroundOf(p)
		if (err == nil) != (x.want == "") || err != nil && !strings.Contains(err.Error(), x.want) {
			t.Errorf("%s: %v, want %q", x.name, err, x.want)
		}
		var told *HistoryError
		if err != nil && (!errors.As(err, &told) || !told.Own) {
			t.Errorf("%s: %v is not told as one of the history", x.name, err)
		}
		if _, err := MachineOf(p); (err == nil) != (x.want == "") {
			t.Errorf("%s: what the machine holds: %v", x.name, err)
		}
		report := Check(p, schema.DefaultLimits())
		got := report.Outcome("base-moved")
		if (got.Outcome == Failed) != (x.want != "") && !(x.given == ground && x.want == "") {
			t.Errorf("%s: base-moved is %s (%s)", x.name, got.Outcome, got.Reason)
		}
		for _, f := range report.Findings {
			if f.Rule == RuleBaseMoved && x.want != "" && f.Severity != Error {
				t.Errorf("%s: only a %s: %s", x.name, f.Severity, f.Message)
			}
		}
	}
	// A member of that name that is none of a base is no error.
	p, _ := historyOf(t, `["bought in 2020"]`)
	_, err := GroundOf(p)
	var told *HistoryError
	if !errors.As(err, &told) || told.Own {
		t.Errorf("a foreign history: %v", err)
	}
}

// What was written is read back: a record and a correction, with and without a
// height.
func TestHistoryComesBack(t *testing.T) {
	e := Entry{Date: "2026-03-01", Kind: EntryCorrection, Frame: "ETRF2000", Epoch: 2026.2, MeasuredBy: "",
		Stored: crs.Geodetic{Lon: 9.1234567891, Lat: 56.2345678912, H: 45.12345}, Antenna: crs.Geodetic{Lon: 9.12, Lat: 56.23, H: crs.Metres(math.NaN())},
		Shift: crs.Local{E: 0.12345, N: -0.5, U: 0.01}}
	p := withEntry(withEntry(&schema.Plan{}, e), Entry{Date: "2026-03-02", Kind: EntryRecord, Stored: e.Antenna, Antenna: e.Antenna})
	got, err := History(p)
	if err != nil || len(got) != 2 {
		t.Fatalf("%d entries, %v", len(got), err)
	}
	if h := got[0].Antenna.H; h == h {
		t.Errorf("a height %v came from nowhere", h)
	}
	got[0].Antenna.H, e.Antenna.H = 0, 0
	if got[0] != e || got[1].Kind != EntryRecord || got[1].Shift != (crs.Local{}) {
		t.Errorf("%+v comes back as %+v", e, got[0])
	}
}

// FuzzHistory: no member "history" breaks the reader, the rule or a record
// added to it, and what is read is written and read the same.
func FuzzHistory(f *testing.F) {
	f.Add(`[]`)
	f.Add(`null`)
	f.Add(`[{"date":"2026-03-01","kind":"record","stored":[9.1,56.2,45.5],"antenna":[9.1,56.2,45.5],"frame":"ETRF2000","epoch":2026.2,"measured_by":""}]`)
	f.Add(`[{"date":"2026-03-01","kind":"correction","stored":[9.1,56.2],"antenna":[9.1,56.2],"shift_m":[0.3,-0.1,0]},{"stored":[9,56]}]`)
	f.Add(`[{"stored":[1e400,2]}]`)
	f.Add(`{"stored":[1,2]}`)
	f.Fuzz(func(t *testing.T, text string) {
		p, ok := historyOf(t, text)
		if !ok {
			return
		}
		p.Features = []*schema.Feature{thing(schema.RoleZone, "z", poly([]float64{9, 56, 9.0001, 56, 9.0001, 56.0001})), thing(schema.RoleBase, "base", spot(9, 56, 40))}
		r := Check(p, schema.DefaultLimits())
		entries, err := History(p)
		if got := r.Outcome("base-moved").Outcome; err != nil && got != Failed || err == nil && len(entries) == 0 && got != NotNeeded {
			t.Fatalf("%q: base-moved is %s, %d entries, %v", text, got, len(entries), err)
		}
		if err != nil {
			if _, err := Record(p, "2026-01-01"); err == nil {
				t.Fatalf("%q: a record is added to a history that cannot be read", text)
			}
			return
		}
		for _, e := range entries {
			for _, v := range []float64{float64(e.Stored.Lon), float64(e.Stored.Lat), float64(e.Antenna.Lon), float64(e.Antenna.Lat), float64(e.Shift.E), float64(e.Shift.N), float64(e.Shift.U), e.Epoch} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Fatalf("%q: no number in %+v", text, e)
				}
			}
		}
		q, err := Record(p, "2026-01-01")
		if _, _, held := HeldOffset(p); (held == nil) != (err == nil) {
			t.Fatalf("%q: the ground: %v, a record: %v", text, held, err)
		}
		if err != nil {
			return
		}
		again, err := History(q)
		if err != nil || len(again) != len(entries)+1 {
			t.Fatalf("%q: %d entries after a record to %d, %v", text, len(again), len(entries), err)
		}
	})
}
