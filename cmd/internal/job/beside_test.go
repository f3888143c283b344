// Plans of one ground in one folder.

package job

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"swardline/validate"
	"swardline/validate/report"
)

// lawnPlan is a plan of one lawn, 20 by 20 m, so many metres east of the first, with a
// keep-out and a base, and other properties of them.
func lawnPlan(east float64, keepout, base string) string {
	const lon, lat, m = 9.0, 56.0, 1 / 111_320.0
	const perLon = m / 0.5591929034707468 // the cosine of 56 degrees
	at := func(x, y float64) string { return fmt.Sprintf("[%.10f,%.10f,40]", lon+(east+x)*perLon, lat+y*m) }
	ring := func(x0, y0, x1, y1 float64) string {
		return "[[" + strings.Join([]string{at(x0, y0), at(x1, y0), at(x1, y1), at(x0, y1), at(x0, y0)}, ",") + "]]"
	}
	feature := func(props, kind, coordinates string) string {
		return `{"type":"Feature","properties":{` + props + `},"geometry":{"type":"` + kind + `","coordinates":` + coordinates + `}}`
	}
	return `{"type":"FeatureCollection","features":[` + strings.Join([]string{
		feature(`"role":"zone","name":"Lawn"`, "Polygon", ring(0, 0, 20, 20)),
		feature(`"role":"keepout","name":"Bed"`+keepout, "Polygon", ring(5, 5, 8, 8)),
		feature(`"role":"base","name":"Mast"`+base, "Point", at(10, 25)),
	}, ",") + `]}`
}

// TestPlansOfOneGround: two plans of one lawn are told in both, each with the other;
// copies of one and neighbours are not.
func TestPlansOfOneGround(t *testing.T) {
	plain := lawnPlan(0, "", "")
	for _, x := range []struct {
		name  string
		plans []string
		told  string // of which plans, by number
	}{
		{"one plan", []string{plain}, ""},
		{"a copy", []string{plain, plain}, ""},
		{"a copy in another order, names aside", []string{plain, strings.Replace(plain, `"Lawn"`, `"Grass"`, 1)}, ""},
		{"a hair within rounding", []string{plain, lawnPlan(0.0018, "", "")}, ""},
		{"a hair more", []string{plain, lawnPlan(0.0022, "", "")}, "0>1 1>0"},
		{"a keep-out that is off", []string{plain, lawnPlan(0, `,"active":false`, "")}, "0>1 1>0"},
		{"another antenna", []string{lawnPlan(0, "", `,"antenna_height_m":2.5`), lawnPlan(0, "", `,"antenna_height_m":2.4`)}, "0>1 1>0"},
		{"one antenna, as a text", []string{lawnPlan(0, "", `,"antenna_height_m":2.5`), lawnPlan(0, "", `,"antenna_height_m":"2.50"`)}, ""},
		{"other limits", []string{plain, strings.Replace(plain, `"features"`, `"limits":{"hazard_margin_m":2},"features"`, 1)}, "0>1 1>0"},
		{"other frames", []string{strings.Replace(plain, `"features"`, `"frame":"ETRS89","features"`, 1), strings.Replace(plain, `"features"`, `"frame":"ITRF2014","epoch":2026.5,"features"`, 1)}, "0>1 1>0"},
		{"neighbours", []string{plain, lawnPlan(20, "", "")}, ""},
		{"neighbours that overlap by 0.49 m", []string{plain, lawnPlan(19.51, "", "")}, ""},
		{"by 0.51 m", []string{plain, lawnPlan(19.49, "", "")}, "0>1 1>0"},
		{"two versions and a copy", []string{plain, lawnPlan(3, "", ""), plain, lawnPlan(60, "", "")}, "0>1 1>0 2>1"},
		{"an unreadable one between", []string{plain, "{", lawnPlan(3, "", "")}, "0>2 2>0"},
	} {
		files := map[string][]byte{}
		var names []string
		for i, text := range x.plans {
			name := fmt.Sprintf("%d.geojson", i)
			files[name] = []byte(text)
			names = append(names, name)
		}
		for _, workers := range []int{1, 3} {
			if got := oneGround(t, &CheckOptions{Files: names, Workers: workers}, files); got != x.told {
				t.Errorf("%s, %d workers: %q, want %q", x.name, workers, got, x.told)
			}
		}
	}
}

// oneGround checks the files and says which are told of which, by their numbers.
func oneGround(t *testing.T, o *CheckOptions, files map[string][]byte) string {
	t.Helper()
	m := &Memory{}
	for name, b := range files {
		m.In = append(m.In, File{Name: name, Bytes: b})
	}
	j := &Job{Store: m}
	done, err := j.Check(context.Background(), o)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range m.Out {
		files[f.Name] = f.Bytes
	}
	var told []string
	for _, p := range done.Set.Plans {
		for _, f := range p.Findings {
			if f.Other == "" {
				continue
			}
			told = append(told, strings.TrimSuffix(p.Path, ".geojson")+">"+strings.TrimSuffix(f.Other, ".geojson"))
			if f.Rule != validate.RuleZonesOverlap || f.Severity != "warning" || !strings.Contains(f.Message, f.Other) || p.Status != report.Findings || p.Summary.Warning == 0 {
				t.Errorf("%s is %s with %+v", p.Path, p.Status, f)
			}
		}
	}
	return strings.Join(told, " ")
}

// TestPlansOfOneGroundCarried: what is carried over from an earlier report is laid beside
// what is new, and is told no more once the other is gone.
func TestPlansOfOneGroundCarried(t *testing.T) {
	files := map[string][]byte{"0.geojson": []byte(lawnPlan(0, "", ""))}
	alone := &CheckOptions{Files: []string{"0.geojson"}, Reports: []string{"a.json"}}
	if got := oneGround(t, alone, files); got != "" {
		t.Fatal(got)
	}
	files["1.geojson"] = []byte(lawnPlan(3, "", ""))
	both := &CheckOptions{Files: []string{"0.geojson", "1.geojson"}, Since: "a.json", Reports: []string{"b.json"}}
	if got := oneGround(t, both, files); got != "0>1 1>0" {
		t.Error("beside what was carried over:", got)
	}
	var b struct {
		Plans []struct{ Findings []struct{ Other string } }
	}
	if err := json.Unmarshal(files["b.json"], &b); err != nil || len(b.Plans) != 2 || b.Plans[0].Findings[len(b.Plans[0].Findings)-1].Other == "" && b.Plans[0].Findings[0].Other == "" {
		t.Errorf("the JSON report: %v %+v", err, b)
	}
	files["1.geojson"] = []byte(lawnPlan(60, "", ""))
	after := &CheckOptions{Files: both.Files, Since: "b.json"}
	if got := oneGround(t, after, files); got != "" {
		t.Error("of one that lies elsewhere now:", got)
	}
}
