// Tests of the limits: defaults, where they come from, and reading them.

package schema

import (
	"encoding/json"
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"
)

func TestLimitTable(t *testing.T) {
	l := DefaultLimits()
	seen := map[string]bool{}
	fields := map[*float64]string{}
	for _, d := range LimitTable {
		if seen[d.Key] || !regexp.MustCompile(`^[a-z]+(_[a-z0-9]+)+$`).MatchString(d.Key) {
			t.Errorf("%q is not a key of its own", d.Key)
		}
		seen[d.Key] = true
		if other, taken := fields[d.field(&l)]; taken {
			t.Errorf("%s and %s share a field", d.Key, other)
		}
		fields[d.field(&l)] = d.Key
		if d.Unit == "" || d.Doc == "" || d.Source == "" || !(d.Default > 0) && d.Source != SourceUnset {
			t.Errorf("%s: unit %q, doc %q, source %q, default %v", d.Key, d.Unit, d.Doc, d.Source, d.Default)
		}
		v, ok := l.Get(d.Key)
		if !ok || v != d.Default || l.SourceOf(d.Key) != d.Source {
			t.Errorf("%s: %v %v from %q", d.Key, v, ok, l.SourceOf(d.Key))
		}
	}
	if _, ok := l.Get("none"); ok || l.SourceOf("none") != "" {
		t.Error("there is a limit called none")
	}
	// The defaults that documents name.
	for key, want := range map[string]float64{"base_range_m": 500, "hard_edge_strip_m": 0.15, "dock_standoff_m": 2, "max_zones": 20, "slope_max_percent": 35, "dock_slope_max_percent": 5, "accuracy_m": 0.05, "residual_m": 0.03, "drift_unchanged_m": 0.02, "drift_stop_m": 0.1} {
		if got, _ := l.Get(key); got != want {
			t.Errorf("%s is %v, want %v", key, got, want)
		}
	}
}

func TestLimitsSet(t *testing.T) {
	a := DefaultLimits()
	if err := a.Set("base_range_m", 300, OriginFile, "here"); err != nil {
		t.Fatal(err)
	}
	b := a
	if err := b.Set("slope_max_percent", 20, OriginFile, "there"); err != nil {
		t.Fatal(err)
	}
	if a.BaseRangeM != 300 || a.SourceOf("base_range_m") != "here" || b.SourceOf("base_range_m") != "here" {
		t.Error("a set limit does not say where it was set")
	}
	if a.SlopeMaxPercent != 35 || a.SourceOf("slope_max_percent") != SourceMemory {
		t.Error("a copy shares what is set later")
	}
	for _, v := range []float64{-1, math.NaN(), math.Inf(1)} {
		if err := a.Set("base_range_m", v, OriginFile, "x"); err == nil || a.BaseRangeM != 300 {
			t.Errorf("%v was taken", v)
		}
	}
	if err := a.Set("base_rnge_m", 1, OriginFile, "x"); err == nil || !strings.Contains(err.Error(), `the nearest is "base_range_m"`) {
		t.Error(err)
	}
}

func TestLimitsOverride(t *testing.T) {
	parse := func(text string) Value {
		var v Value
		if err := json.Unmarshal([]byte(text), &v); err != nil {
			t.Fatal(err)
		}
		return v
	}
	l := DefaultLimits()
	got, _, err := l.Override(parse(`{"base_range_m": 100, "max_zones": 3}`), OriginFeature, "feature z1")
	if err != nil || got.BaseRangeM != 100 || got.MaxZones != 3 || got.SourceOf("max_zones") != "feature z1" || l.BaseRangeM != 500 {
		t.Errorf("%+v %v", got, err)
	}
	for _, v := range []Value{{}, Null()} {
		if got, _, err := l.Override(v, OriginFeature, "x"); err != nil || got.BaseRangeM != 500 {
			t.Errorf("%v: %v", v.Kind(), err)
		}
	}
	for text, want := range map[string]string{`[1]`: "must be an object", `{"base_range_m":"5"}`: "must be a number, got a string", `{"x":1}`: "no limit called", `{"base_range_m":-1}`: "from 0 up"} {
		if got, _, err := l.Override(parse(text), OriginFeature, "z"); err == nil || !strings.Contains(err.Error(), want) || got.BaseRangeM != 500 {
			t.Errorf("%s: %v", text, err)
		}
	}
}

func TestReadLimits(t *testing.T) {
	l, err := ReadLimits([]byte("# ours\nbase_range_m: 350\nmax_zones: 5 # few\nslope_max_percent: 22.5\n"), "site.yaml")
	if err != nil || l.BaseRangeM != 350 || l.MaxZones != 5 || l.SlopeMaxPercent != 22.5 || l.SourceOf("max_zones") != "site.yaml line 3" || l.MachineWidthM != 0.6 {
		t.Errorf("%+v %v", l, err)
	}
	for _, text := range []string{"", "# nothing\n", "---\n", "null\n"} {
		if l, err := ReadLimits([]byte(text), "x"); err != nil || l.BaseRangeM != 500 {
			t.Errorf("%q: %v", text, err)
		}
	}
	for text, want := range map[string]string{
		"- 1\n":                              "x:1: a limits file is a list of lines",
		"base_range_m: far\n":                `x:1: limit base_range_m must be a number, got "far"`,
		"base_range_m: \"5\"\n":              "must be a number",
		"base_range_m: .nan\n":               "from 0 up",
		"base_range_m: -5\n":                 "x:1: limit base_range_m must be a number from 0 up",
		"max_zones: 1\nmax_zones: 2\n":       "x:2: limit max_zones stands twice",
		"max_zones: 1\nbase_range: 2\n":      `x:2: there is no limit called "base_range"; the nearest is "base_range_m"`,
		"max_zones: 1\n---\nmax_zones: 2\n":  "holds one document",
		"max_zones: [1\n":                    "x: not YAML",
		"a: &a [x,x]\nb: [*a,*a,*a,*a,*a]\n": "limit a must be a number",
	} {
		if _, err := ReadLimits([]byte(text), "x"); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: got %v, want %s", text, err, want)
		}
	}
}

func FuzzReadLimits(f *testing.F) {
	for _, s := range []string{"", "base_range_m: 350\n", "- 1", "a: &a [*a]", "max_zones: 1\n---\n", "max_zones: .inf", "? [a]\n: 1"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		l, err := ReadLimits(data, "x")
		if err != nil {
			if !strings.HasPrefix(err.Error(), "x:") {
				t.Fatalf("the error does not name the file: %v", err)
			}
			return
		}
		for _, d := range LimitTable {
			if v, _ := l.Get(d.Key); !(v >= 0) || math.IsInf(v, 0) {
				t.Fatalf("%s is %v", d.Key, v)
			}
		}
	})
}

// TestOwnLimits: a plan's and a feature's own value of every limit holds where
// it is stricter than the operator's and nowhere else, unless the limits file
// lets it.
func TestOwnLimits(t *testing.T) {
	own := func(key string, v float64) Value {
		return Object(Attributes{{Key: key, Value: Float(v)}})
	}
	for _, d := range LimitTable {
		operator := DefaultLimits()
		at := 4.0 // the operator's own value, so that radio_mhz has one too
		if err := operator.Set(d.Key, at, OriginFile, "site.yaml line 1"); err != nil {
			t.Fatal(err)
		}
		strict, loose := at/2, at*2
		if d.Sense == AtLeast {
			strict, loose = loose, strict
		}
		for _, by := range []Origin{OriginPlan, OriginFeature} {
			for _, x := range []struct {
				own, want float64
				from      Origin
				loosened  bool
			}{{strict, strict, by, false}, {at, at, by, false}, {loose, at, OriginFile, true}} {
				l, loosened, err := operator.Override(own(d.Key, x.own), by, "here")
				if err != nil {
					t.Fatal(err)
				}
				if v, _ := l.Get(d.Key); v != x.want || l.OriginOf(d.Key) != x.from || (len(loosened) == 1) != x.loosened {
					t.Errorf("%s: %s has %v against %v: %v from %s, loosened %v", d.Key, by, x.own, at, v, l.OriginOf(d.Key), loosened)
				}
				if x.loosened && loosened[0] != (Loosened{d.Key, x.own, at, d.Unit}) {
					t.Errorf("%s: loosened %+v", d.Key, loosened)
				}
			}
		}
		// A feature is held to what the plan has of its own too.
		l, _, err := operator.Override(own(d.Key, strict), OriginPlan, "the plan")
		if err != nil {
			t.Fatal(err)
		}
		held, loosened, _ := l.Override(own(d.Key, at), OriginFeature, "a feature")
		if v, _ := held.Get(d.Key); v != strict || len(loosened) != 1 || loosened[0] != (Loosened{d.Key, at, strict, d.Unit}) {
			t.Errorf("%s: a feature of a stricter plan has %v, want %v; loosened %v", d.Key, v, strict, loosened)
		}
		if v, ok := d.Loosest(); ok && d.Sense.Looser(loose, v) {
			continue // TestLimitsFilePastAllSense
		}
		if err := operator.LetLoosen(d.Key); err != nil {
			t.Fatal(err)
		}
		l, loosened, err = operator.Override(own(d.Key, loose), OriginFeature, "here")
		if v, _ := l.Get(d.Key); err != nil || v != loose || len(loosened) > 0 {
			t.Errorf("%s: a looser value that the operator lets be: %v, %v, %v", d.Key, v, loosened, err)
		}
		l, _, _ = operator.Override(own(d.Key, strict), OriginPlan, "the plan")
		if l, loosened, _ = l.Override(own(d.Key, at), OriginFeature, "a feature"); loosened != nil {
			t.Errorf("%s: what the operator lets be counts as loosened: %v", d.Key, loosened)
		}
		if v, _ := l.Get(d.Key); v != at {
			t.Errorf("%s: a feature has %v, want %v", d.Key, v, at)
		}
	}
	l, err := ReadLimits([]byte("base_range_m: 400\nmay_loosen: [base_range_m, max_zones]\n"), "site.yaml")
	if got := strings.Join(l.MayLoosen(), " "); err != nil || got != "base_range_m max_zones" || l.BaseRangeM != 400 {
		t.Errorf("may loosen %q, %v", got, err)
	}
	for text, want := range map[string]string{
		"may_loosen: base_range_m\n":   "x:1: may_loosen is a list of limits",
		"may_loosen: [base_rnge_m]\n":  `x:1: there is no limit called "base_rnge_m"; the nearest is "base_range_m"`,
		"may_loosen:\n  - [max_zones]": "x:2: may_loosen is a list of limits",
	} {
		if _, err := ReadLimits([]byte(text), "x"); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", text, err)
		}
	}
}

// TestHazardMargin: which limit gives the clearance of a kind of hazard.
func TestHazardMargin(t *testing.T) {
	for _, x := range []struct {
		kind         string
		general, own float64 // 0 for the default
		generalFrom  Origin
		want         float64
		key          string
	}{
		{"water", 0, 0, "", 0.3, "hazard_margin_water_m"},
		{"well", 0, 0, "", 0.3, "hazard_margin_m"},
		{"well", 0.5, 0, OriginFile, 0.5, "hazard_margin_m"},
		{"water", 0.5, 0, OriginFile, 0.5, "hazard_margin_m"}, // set before kinds had rows
		{"water", 0.2, 0, OriginFile, 0.3, "hazard_margin_water_m"},
		{"water", 0.5, 0.4, OriginFile, 0.4, "hazard_margin_water_m"},
		{"water", 0.5, 0.4, OriginFeature, 0.5, "hazard_margin_m"}, // a pond's own
		{"water", 0.35, 0.4, OriginPlan, 0.4, "hazard_margin_water_m"},
		{"tree", 0, 1, "", 1, "hazard_margin_tree_m"},
	} {
		l := DefaultLimits()
		if x.general != 0 {
			if err := l.Set("hazard_margin_m", x.general, x.generalFrom, "x"); err != nil {
				t.Fatal(err)
			}
		}
		if x.own != 0 {
			if err := l.Set("hazard_margin_"+x.kind+"_m", x.own, OriginFile, "x"); err != nil {
				t.Fatal(err)
			}
		}
		if got, key := l.HazardMargin(x.kind); got != x.want || key != x.key {
			t.Errorf("%+v: %v by %s", x, got, key)
		}
	}
}

// A limits file may loosen a limit up to where a rule would find nothing any more:
// millimetres for metres are refused.
func TestLimitsFilePastAllSense(t *testing.T) {
	for _, d := range LimitTable {
		v, ok := d.Loosest()
		if !ok {
			continue
		}
		if d.Sense.Looser(d.Default, v) {
			t.Errorf("%s: the default %g is looser than the loosest, %g", d.Key, d.Default, v)
		}
		beyond := v * 1.001
		if d.Sense == AtLeast {
			beyond = v * 0.999
		}
		for _, x := range []struct {
			v  float64
			ok bool
		}{{v, true}, {beyond, false}} {
			l, err := ReadLimits(fmt.Appendf(nil, "%s: %v\n", d.Key, x.v), "crew.yaml")
			if got, _ := l.Get(d.Key); (err == nil) != x.ok || x.ok && got != x.v {
				t.Errorf("%s: %v: %v, %v", d.Key, x.v, got, err)
			}
		}
	}
	// Nor may a plan whose limits may be loosened.
	l := DefaultLimits()
	if err := l.LetLoosen("hazard_margin_water_m"); err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		v    float64
		kept int
	}{{0.05, 0}, {0.0499, 1}, {0, 1}} {
		_, loosened, err := l.Override(Object(Attributes{{Key: "hazard_margin_water_m", Value: Float(x.v)}}), OriginPlan, "the plan")
		if err != nil || len(loosened) != x.kept {
			t.Errorf("a plan's margin of %v: %v, %v", x.v, loosened, err)
		}
	}
	_, err := ReadLimits([]byte("base_range_m: 400\ndrift_stop_m: 100\n"), "crew.yaml")
	if err == nil || !strings.Contains(err.Error(), "crew.yaml:2: ") || !strings.Contains(err.Error(), "write 0.1 if 100 mm are meant") {
		t.Error(err)
	}
}
