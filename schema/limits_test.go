// Tests of the limits: defaults, where they come from, and reading them.

package schema

import (
	"encoding/json"
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
		if seen[d.Key] || !regexp.MustCompile(`^[a-z]+(_[a-z]+)+$`).MatchString(d.Key) {
			t.Errorf("%q is not a key of its own", d.Key)
		}
		seen[d.Key] = true
		if other, taken := fields[d.field(&l)]; taken {
			t.Errorf("%s and %s share a field", d.Key, other)
		}
		fields[d.field(&l)] = d.Key
		if d.Unit == "" || d.Doc == "" || d.Source == "" || !(d.Default > 0) {
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
	got, err := l.Override(parse(`{"base_range_m": 100, "max_zones": 3}`), OriginFeature, "feature z1")
	if err != nil || got.BaseRangeM != 100 || got.MaxZones != 3 || got.SourceOf("max_zones") != "feature z1" || l.BaseRangeM != 500 {
		t.Errorf("%+v %v", got, err)
	}
	for _, v := range []Value{{}, Null()} {
		if got, err := l.Override(v, OriginFeature, "x"); err != nil || got.BaseRangeM != 500 {
			t.Errorf("%v: %v", v.Kind(), err)
		}
	}
	for text, want := range map[string]string{`[1]`: "must be an object", `{"base_range_m":"5"}`: "must be a number, got a string", `{"x":1}`: "no limit called", `{"base_range_m":-1}`: "from 0 up"} {
		if got, err := l.Override(parse(text), OriginFeature, "z"); err == nil || !strings.Contains(err.Error(), want) || got.BaseRangeM != 500 {
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
