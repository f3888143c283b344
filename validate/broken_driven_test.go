// The rules on tracks in testdata/broken: for each a plan with a track, in its
// member "example_track", that fails it, and one that passes. A row of a track
// is east and north in metres to drive to, seconds to stay there, 0 for fixed
// or 1 for float positions, and days to wait before.

package validate_test

import (
	"math"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

type leg [5]float64

type brokenTrack struct {
	draw       func(p *plot)
	fail, pass []leg
	measured   float64
	tolerance  float64
}

// stay is a way to a place and a time there.
func stay(x, y, seconds float64) []leg { return []leg{{32, 10}, {x, y, seconds}, {32, 10}} }

// smallLawn leaves 6 by 8 m of the North lawn, whose middle is (27, 10).
func smallLawn(p *plot) {
	for _, id := range []string{"z2", "k1", "h1", "c2", "e2"} {
		p.remove(id)
	}
	p.get("z1").rings[0] = rect(24, 6, 30, 14)
}

// mown goes over the small lawn in lanes 0.5 m apart but for those between two.
func mown(from, to float64) []leg {
	var out []leg
	up := true
	for x := 24.25; x < 30; x += 0.5 {
		if x > from && x < to {
			continue
		}
		a, b := 6.0, 14.0
		if !up {
			a, b = b, a
		}
		out, up = append(out, leg{x, a}, leg{x, b}), !up
	}
	return out
}

// rests are three days of five rests in the dock, which scatter by 3 mm.
func rests(e, n float64) []leg {
	var out []leg
	for day := range 3 {
		for i := range 5 {
			s, c := math.Sincos(2 * math.Pi * float64(i) / 5)
			x := leg{36 + e + 0.003*c, 10 + n + 0.003*s, 30}
			if i == 0 && day > 0 {
				x[4] = 1
			}
			out = append(out, leg{33, 10}, x)
		}
	}
	return out
}

func docked(off, side float64) []leg {
	var out []leg
	for i := range 3 {
		out = append(out, leg{31, 10 + off}, leg{34.2, 10 + off}, leg{36, 10 + side*float64(i-1), 30})
	}
	return out
}

// along drives up and down beside the way to the dock.
func along(off float64) []leg {
	var out []leg
	for range 3 {
		out = append(out, leg{28, 10 + off}, leg{34, 10 + off})
	}
	return out
}

func floats(list []leg) []leg {
	out := append([]leg(nil), list...)
	out[1][3] = 1
	return out
}

var brokenTracks = map[string]brokenTrack{
	// Lanes 2 m apart leave a strip of 2 less 0.6 m, but for half a width at
	// the end where the machine turns.
	"driven-missed":          {smallLawn, mown(26.5, 28), mown(99, 0), (2 - 0.6) * (8 - 0.3), 0.05},
	"driven-enters-keepout":  {func(*plot) {}, stay(10, 10, 5), stay(13, 10, 5), 2 * math.Cos(math.Pi/24), 0.01},
	"driven-enters-hazard":   {func(*plot) {}, stay(10.2, 10, 8), stay(12.5, 10, 8), 0.8, 0.01},
	"driven-enters-building": {func(*plot) {}, stay(61, 8, 10), stay(58, 8, 10), 1, 0.02},
	"driven-leaves-boundary": {func(*plot) {}, stay(80.5, 10, 10), stay(79.9, 10, 10), 0.5, 0.02},
	"driven-leaves-zone":     {func(*plot) {}, []leg{{29, 14}, {30.4, 14, 20}, {29, 14}}, []leg{{29, 14}, {29.9, 14, 20}, {29, 14}}, 0.4, 0.01},
	"driven-off-corridor":    {func(p *plot) { p.remove("c2") }, along(0.3), along(0.1), 0.3, 0.001},
	"driven-off-dock":        {func(*plot) {}, docked(0.4, 0), docked(0.1, 0.005), 0.4, 0.01},
	"driven-fix-lost":        {func(*plot) {}, floats([]leg{{1, 1}, {11, 1}, {29, 1}}), []leg{{1, 1}, {11, 1}, {29, 1}}, 100 * 18.0 / 28, 4},
	"driven-base-moved":      {func(*plot) {}, rests(0.03, 0), rests(0, 0), 0.03, 0.001},
}

func TestBrokenTracks(t *testing.T) {
	for _, rule := range validate.RulesOf(validate.CommandDriven) {
		b, ok := brokenTracks[rule.Name]
		if !ok {
			t.Errorf("%s has no pair of plans", rule.Name)
			continue
		}
		for ending, legs := range map[string][]leg{"fail": b.fail, "pass": b.pass} {
			r := trackOf(t, rule.Name+"."+ending+".geojson", b.draw, legs)
			want := map[string]validate.Outcome{"fail": validate.Failed, "pass": validate.Passed}[ending]
			for _, got := range r.Rules {
				if got.Rule == rule.Name && got.Outcome != want {
					t.Errorf("%s, the plan to %s: %s (%s)", rule.Name, ending, got.Outcome, got.Reason)
				}
			}
			for _, f := range r.Findings {
				if f.Rule == rule.Name && !near(f.Measured, b.measured, b.tolerance) {
					t.Errorf("%s: measured %v, want %v: %s", rule.Name, f.Measured, b.measured, f.Message)
				}
			}
		}
	}
}

// trackOf reads a plan of testdata/broken and drives its track.
func trackOf(t *testing.T, name string, draw func(*plot), legs []leg) *validate.DrivenReport {
	t.Helper()
	p := park()
	draw(p)
	var rows []schema.Value
	for _, l := range legs {
		var row []schema.Value
		for _, v := range l {
			row = append(row, schema.Float(math.Round(v*1e4)/1e4))
		}
		rows = append(rows, schema.List(row...))
	}
	p.members = append(p.members, schema.Attribute{Key: "example_track", Value: schema.List(rows...)})
	plan := drawn(t, name, p)
	s, err := validate.Ground(plan)
	if err != nil {
		t.Fatal(err)
	}
	d, err := validate.NewDriven(s, schema.DefaultLimits(), validate.DrivenOptions{})
	if err != nil {
		t.Fatal(err)
	}
	d.Begin()
	now := time.Date(2026, 5, 11, 8, 0, 0, 0, time.UTC)
	var at orb.Point
	put := func(p orb.Point, class float64) {
		flat := []float64{p[0], p[1]}
		if err := plotGrid.ToGeodetic(flat, 2); err != nil {
			t.Fatal(err)
		}
		d.Add(validate.TrackFix{Time: now, Lon: flat[0], Lat: flat[1], Class: validate.TrackClass(class)})
		now, at = now.Add(time.Second), p
	}
	for i, row := range plan.Attributes.Get("example_track").Items() {
		var v leg
		for k, item := range row.Items() {
			v[k], _ = item.Float()
		}
		now = now.AddDate(0, 0, int(v[4]))
		from, n := at, math.Ceil(2*math.Hypot(v[0]-at[0], v[1]-at[1]))
		for k := 1.0; i > 0 && k < n; k++ {
			put(orb.Point{from[0] + (v[0]-from[0])*k/n, from[1] + (v[1]-from[1])*k/n}, v[3])
		}
		for k := 0.0; k <= v[2]; k++ {
			put(orb.Point{v[0], v[1]}, v[3])
		}
	}
	d.End()
	r, err := d.Report()
	if err != nil {
		t.Fatal(err)
	}
	return r
}
