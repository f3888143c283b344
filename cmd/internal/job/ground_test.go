// A corrected plan through every door: handed over on the ground, held when
// asked.

package job

import (
	"archive/zip"
	"bytes"
	"context"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"swardline/convert"
	"swardline/crs"
	"swardline/schema"
	"swardline/validate"
)

// groundM is the most that the ground may differ by after a correction and a
// conversion, in metres.
const groundM = 1e-5

// corrected is the demo park, and what drift --correct writes for it.
type corrected struct {
	t     *testing.T
	files []File
}

func newCorrected(t *testing.T) *corrected {
	data, err := os.ReadFile(filepath.Join("..", "..", "..", "examples", "park", "park.geojson"))
	if err != nil {
		t.Fatal(err)
	}
	return &corrected{t, []File{{"park.geojson", data}}}
}

func (c *corrected) job() (*Job, *Memory) {
	m := &Memory{In: c.files}
	return &Job{Store: m}, m
}

// correct adds the file that a correction writes.
func (c *corrected) correct(from, to, shift, date string) {
	c.t.Helper()
	j, m := c.job()
	if _, err := j.Drift(&DriftOptions{Path: from, Shift: shift, Correct: to, Date: date}); err != nil {
		c.t.Fatal(err)
	}
	c.files = append(c.files, m.Out...)
}

// convert adds the file that a conversion writes, and gives what was noted.
func (c *corrected) convert(o *ConvertOptions) []Note {
	c.t.Helper()
	j, m := c.job()
	if _, err := j.Convert(o); err != nil {
		c.t.Fatalf("%s to %s: %v", o.Source, o.Target, err)
	}
	c.files = append(c.files, m.Out...)
	return j.Notes
}

func (c *corrected) text(name string) []byte {
	c.t.Helper()
	for _, f := range c.files {
		if f.Name == name {
			return f.Bytes
		}
	}
	c.t.Fatalf("there is no %s", name)
	return nil
}

// lines are the plan's points but the base's as the file has them: what a
// council would see. The base itself did move.
func (c *corrected) lines(name string) [][2]float64 {
	c.t.Helper()
	return lonLats(c.t, "", "geojson", c.text(name))
}

// lonLats reads a file in a format; from is its system where it does not say.
func lonLats(t *testing.T, from, format string, data []byte) [][2]float64 {
	t.Helper()
	p, _, err := convert.Read(data, convert.ReadOptions{Format: format})
	if err != nil {
		t.Fatalf("%s: %v", format, err)
	}
	if p.CRS == nil {
		if p.CRS, err = crs.Parse(from); err != nil {
			t.Fatalf("%s: %v", format, err)
		}
	}
	var out [][2]float64
	for _, f := range p.Features {
		if f.Geometry == nil || f.Geometry.Empty() || f.Role == schema.RoleBase {
			continue
		}
		flat, stride := append([]float64(nil), f.Geometry.FlatCoords()...), f.Geometry.Stride()
		if err := p.CRS.ToGeodetic(flat, stride); err != nil {
			t.Fatalf("%s: %v", format, err)
		}
		for i := 0; i+1 < len(flat); i += stride {
			out = append(out, [2]float64{flat[i], flat[i+1]})
		}
	}
	return out
}

// farthest is the greatest distance in metres from a point of b, moved by east
// and north, to the nearest of a.
func farthest(a, b [][2]float64, e, n float64) float64 {
	if len(a) == 0 || len(b) == 0 {
		return math.Inf(1)
	}
	lat := b[0][1] * math.Pi / 180
	// Lengths of a degree on GRS80, from its radii of curvature.
	const semi, e2 = 6378137.0, 0.00669438002290
	w := 1 - e2*math.Sin(lat)*math.Sin(lat)
	perLat := semi * (1 - e2) / (w * math.Sqrt(w)) * math.Pi / 180
	perLon := semi / math.Sqrt(w) * math.Cos(lat) * math.Pi / 180
	worst := 0.0
	for _, q := range b {
		best := math.Inf(1)
		for _, p := range a {
			best = min(best, math.Hypot((p[0]-q[0])*perLon-e, (p[1]-q[1])*perLat-n))
		}
		worst = max(worst, best)
	}
	return worst
}

// A plan corrected for a base that moved is handed over where its lines are,
// through every format that is written; the machine's coordinates come only
// when asked for.
func TestHandOverGivesTheGround(t *testing.T) {
	c := newCorrected(t)
	c.correct("park.geojson", "held.geojson", "0.06,-0.053", "2026-05-31")
	was := c.lines("park.geojson")
	// The machine's own file is off by the correction, which the test can see.
	if d := farthest(c.lines("held.geojson"), was, -0.06, 0.053); d > 2*groundM {
		t.Errorf("what the machine holds is %.6f m from the correction", d)
	}
	if d := farthest(c.lines("held.geojson"), was, 0, 0); d < 0.05 {
		t.Fatalf("what the machine holds is on the ground: %g m", d)
	}
	written := 0
	for _, f := range convert.Formats {
		if f.Write == nil {
			continue
		}
		written++
		for _, to := range []string{"OGC:CRS84", "EPSG:32632"} {
			if f.WGS84Only && to != "OGC:CRS84" || f.Drawing && to == "OGC:CRS84" {
				continue
			}
			t.Run(f.Name+" "+to, func(t *testing.T) {
				ending := f.Endings[0]
				// A plan that was never corrected goes the same way: what its
				// digits lose is no fault of the correction.
				raw, back := c.wayOut("held.geojson", f, to, ending)
				rawWas, backWas := c.wayOut("park.geojson", f, to, ending)
				if d := farthest(raw, rawWas, 0, 0); d > groundM {
					t.Errorf("in %s the ground is off by %.7f m", f.Name, d)
				}
				if d := farthest(back, backWas, 0, 0); d > groundM {
					t.Errorf("through %s the ground is off by %.7f m", f.Name, d)
				}
				if d := farthest(back, was, 0, 0); d > 2*groundM {
					t.Errorf("through %s the ground is %.7f m from the plan", f.Name, d)
				}
			})
		}
	}
	if written < 9 {
		t.Errorf("only %d formats are written", written)
	}
	// What was converted once is the ground in the file itself, and stays so.
	c.convert(&ConvertOptions{Source: "held.geojson", Target: "ground.geojson"})
	if d := farthest(c.lines("ground.geojson"), was, 0, 0); d > groundM {
		t.Errorf("the ground is off by %.7f m", d)
	}
	c.convert(&ConvertOptions{Source: "ground.geojson", Target: "ground2.geojson"})
	if !bytes.Equal(c.text("ground.geojson"), c.text("ground2.geojson")) {
		t.Error("a plan on the ground is not converted to itself")
	}
	// Held is exact, and from the ground comes back within the digits of the
	// file.
	c.convert(&ConvertOptions{Source: "held.geojson", Target: "held2.geojson", Held: true})
	if !bytes.Equal(c.text("held.geojson"), c.text("held2.geojson")) {
		t.Error("what the machine holds is not converted to itself")
	}
	notes := c.convert(&ConvertOptions{Source: "ground.geojson", Target: "held3.geojson", Held: true})
	if !bytes.Equal(c.text("held.geojson"), c.text("held3.geojson")) {
		t.Error("held, ground and held again is not what it was")
	}
	if !strings.Contains(fmt.Sprint(notes), "for the machine, not for anybody else. The machine holds these lines E -0.060 m, N +0.053 m off since 2026-05-31") {
		t.Errorf("the notes do not say what is held: %v", notes)
	}
	c.convert(&ConvertOptions{Source: "held.geojson", Target: "plan.kml"})
	if !bytes.Contains(c.text("plan.kml"), []byte("The machine holds these lines E -0.060 m, N +0.053 m off since 2026-05-31, because its base moved. What is given here is the ground.")) {
		t.Error("the KML does not say what the machine holds")
	}
}

// wayOut converts a file of the site to a format and back: what stands in the
// format's own file, and what the program makes of it.
func (c *corrected) wayOut(source string, f *convert.Format, to, ending string) (raw, back [][2]float64) {
	c.t.Helper()
	j, m := c.job()
	name := "out" + ending
	if _, err := j.Convert(&ConvertOptions{Source: source, Target: name, To: to, Writing: Writing{Format: f.Name}}); err != nil {
		c.t.Fatal(err)
	}
	data := outputOf(m, name)
	from := ""
	if f.Drawing {
		from = to
	}
	m = &Memory{In: []File{{name, data}}}
	j = &Job{Store: m}
	if _, err := j.Convert(&ConvertOptions{Source: name, Target: "back.geojson", To: "OGC:CRS84", Reading: Reading{From: from, Format: f.Name}}); err != nil {
		c.t.Fatal(err)
	}
	return lonLats(c.t, to, f.Name, data), lonLats(c.t, "", "geojson", outputOf(m, "back.geojson"))
}

func outputOf(m *Memory, name string) []byte {
	for _, f := range m.Out {
		if f.Name == name {
			return f.Bytes
		}
	}
	return nil
}

// A hand-over is on the ground in every part, and says what the machine holds.
func TestBundleOfACorrectedPlan(t *testing.T) {
	c := newCorrected(t)
	c.correct("park.geojson", "held.geojson", "0.06,-0.053", "2026-05-31")
	parts := func(source string) map[string][]byte {
		j, m := c.job()
		if err := j.Sheet(&SheetOptions{Source: source, Bundle: "b.zip", Grid: "EPSG:32632", Date: "2026-06-01", Title: "Park", NoDrift: true}); err != nil {
			t.Fatal(err)
		}
		data := outputOf(m, "b.zip")
		z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
		if err != nil {
			t.Fatal(err)
		}
		out := map[string][]byte{}
		for _, f := range z.File {
			r, err := f.Open()
			if err != nil {
				t.Fatal(err)
			}
			if out[f.Name], err = io.ReadAll(r); err != nil {
				t.Fatal(err)
			}
		}
		return out
	}
	was, is := parts("park.geojson"), parts("held.geojson")
	for _, name := range []string{bundleKML, bundleGeoJSON, bundleCSV, bundleGPKG} {
		format := convert.FormatByEnding(name).Name
		if d := farthest(lonLats(t, "", format, is[name]), lonLats(t, "", format, was[name]), 0, 0); d > groundM {
			t.Errorf("%s is off by %.7f m", name, d)
		}
	}
	// Positions in a table and a drawing are the same to their last digit.
	for _, name := range []string{bundleQuantities} {
		if a, b := withoutBase(was[name]), withoutBase(is[name]); a != b {
			t.Errorf("%s differs: %s", name, firstDifference(a, b))
		}
	}
	const words = "The machine holds these lines E -0.060 m, N +0.053 m off since 2026-05-31"
	for _, name := range []string{bundleReadme, bundleMap, bundleKML} {
		text := strings.Join(strings.Fields(string(is[name])), " ")
		if !strings.Contains(strings.ReplaceAll(text, "&#43;", "+"), words) {
			t.Errorf("%s does not say what the machine holds", name)
		}
		if strings.Contains(string(was[name]), "The machine holds these lines") {
			t.Errorf("%s of a plan that was never corrected speaks of two truths", name)
		}
	}
}

// withoutBase is a table without the base's row.
func withoutBase(table []byte) string {
	var out []string
	for _, line := range strings.Split(string(table), "\n") {
		if !strings.Contains(line, ",base,") {
			out = append(out, line)
		}
	}
	return strings.Join(out, "\n")
}

func firstDifference(a, b string) string {
	x, y := strings.Split(a, "\n"), strings.Split(b, "\n")
	for i := range min(len(x), len(y)) {
		if x[i] != y[i] {
			return x[i] + " / " + y[i]
		}
	}
	return "one is longer"
}

// Correcting twice keeps the ground, and correcting back makes the two truths
// one.
func TestCorrectTwiceAndBack(t *testing.T) {
	c := newCorrected(t)
	c.correct("park.geojson", "one.geojson", "0.06,-0.053", "2026-05-31")
	c.correct("one.geojson", "two.geojson", "-0.2,0.1", "2026-06-30")
	c.correct("two.geojson", "back.geojson", "0.14,-0.047", "2026-07-31")
	was := c.lines("park.geojson")
	for _, tc := range []struct {
		name  string
		e, n  float64 // held less ground
		given string
	}{
		{"one.geojson", -0.06, 0.053, schema.GivenHeld},
		{"two.geojson", 0.14, -0.047, schema.GivenHeld},
		{"back.geojson", 0, 0, ""},
	} {
		if d := farthest(c.lines(tc.name), was, tc.e, tc.n); d > 2*groundM {
			t.Errorf("%s: held is %.7f m from E %g N %g", tc.name, d, tc.e, tc.n)
		}
		p, _, err := convert.Read(c.text(tc.name), convert.ReadOptions{Format: "geojson"})
		if err != nil {
			t.Fatal(err)
		}
		if got := p.Attributes.Get(schema.PlanGiven).Text(); got != tc.given {
			t.Errorf("%s: given as %q, want %q", tc.name, got, tc.given)
		}
		off, since, err := validate.HeldOffset(p)
		if err != nil || math.Hypot(float64(off.E)-tc.e, float64(off.N)-tc.n) > 1e-6 || since == "" {
			t.Errorf("%s: offset %v since %q, %v", tc.name, off, since, err)
		}
		ground := "ground-" + tc.name
		c.convert(&ConvertOptions{Source: tc.name, Target: ground})
		if d := farthest(c.lines(ground), was, 0, 0); d > 2*groundM {
			t.Errorf("%s: the ground is off by %.7f m", tc.name, d)
		}
		// A correction starts from the ground as well as from what is held.
		j, _ := c.job()
		for _, from := range []string{tc.name, ground} {
			done, err := j.Drift(&DriftOptions{Path: from, Shift: "0,0"})
			if err != nil || done.Moved {
				t.Errorf("%s: %v, moved %v", from, err, done.Moved)
			}
		}
	}
	c.correct("ground-one.geojson", "two-too.geojson", "-0.2,0.1", "2026-06-30")
	if d := farthest(c.lines("two-too.geojson"), c.lines("two.geojson"), 0, 0); d > 2*groundM {
		t.Errorf("corrected from the ground, held is %.7f m from where it is when corrected from held", d)
	}
}

// Check finds a corrected plan as it was, at the same places on the ground.
func TestCheckOfACorrectedPlan(t *testing.T) {
	c := newCorrected(t)
	c.correct("park.geojson", "held.geojson", "0.06,-0.053", "2026-05-31")
	c.convert(&ConvertOptions{Source: "held.geojson", Target: "ground.geojson"})
	var first string
	for _, name := range []string{"held.geojson", "ground.geojson"} {
		j, _ := c.job()
		done, err := j.Check(context.Background(), &CheckOptions{Files: []string{name}})
		if err != nil {
			t.Fatal(err)
		}
		var b strings.Builder
		for _, x := range done.Set.Plans[0].Findings {
			fmt.Fprintf(&b, "%s %s %v", x.Rule, x.Message, x.Features)
			if x.Rule == validate.RuleBaseMoved {
				t.Errorf("%s: base-moved of a plan that was corrected: %s", name, x.Message)
			}
			if x.At != nil && x.At.Lon != nil {
				fmt.Fprintf(&b, " %.7f %.7f", *x.At.Lon, *x.At.Lat)
			}
			b.WriteString("\n")
		}
		if first == "" {
			first = b.String()
		} else if first != b.String() {
			t.Errorf("%s checks otherwise: %s", name, firstDifference(first, b.String()))
		}
	}
}

// A plan without a history is written as ever, by every door, held or not.
func TestPlansWithoutHistoryKeepEveryByte(t *testing.T) {
	c := newCorrected(t)
	raw, _, err := convert.Read(c.text("park.geojson"), convert.ReadOptions{Format: "geojson"})
	if err != nil {
		t.Fatal(err)
	}
	var want bytes.Buffer
	if _, err := convert.Write(&want, raw, "geojson", convert.WriteOptions{}); err != nil {
		t.Fatal(err)
	}
	for _, held := range []bool{false, true} {
		name := fmt.Sprintf("out-%v.geojson", held)
		c.convert(&ConvertOptions{Source: "park.geojson", Target: name, Held: held})
		if !bytes.Equal(c.text(name), want.Bytes()) {
			t.Errorf("held %v: the plan was changed", held)
		}
	}
}

// What says by how much the base moved is refused when told twice; what says
// where it is moves nothing then.
func TestCorrectionToldTwice(t *testing.T) {
	c := newCorrected(t)
	c.correct("park.geojson", "one.geojson", "0.06,-0.053", "2026-05-31")
	drift := func(o DriftOptions) (*Job, *Memory, error) {
		j, m := c.job()
		_, err := j.Drift(&o)
		return j, m, err
	}
	// From what is held and from the ground, in other words and to half a
	// millimetre.
	c.convert(&ConvertOptions{Source: "one.geojson", Target: "ground.geojson"})
	for _, from := range []string{"one.geojson", "ground.geojson"} {
		for _, tc := range []struct {
			shift   string
			refused bool
		}{
			{"0.06,-0.053", true}, {"60mm,-53mm", true}, {"0.06,-0.053,0", true}, {"0.0604,-0.053", true},
			{"0.0606,-0.053", false}, {"0.06,0.053", false}, {"-0.06,0.053", false}, {"0.06,-0.053,0.1", false}, {"0,0", false},
		} {
			_, m, err := drift(DriftOptions{Path: from, Shift: tc.shift, Correct: "x.geojson", Date: "2026-06-01"})
			if (err != nil) != tc.refused || (outputOf(m, "x.geojson") == nil) != tc.refused {
				t.Errorf("%s again by %s: %v", from, tc.shift, err)
			}
			if tc.refused && err != nil && !strings.Contains(err.Error(), "on 2026-05-31 it was corrected for a movement of E +0.060 N -0.053 m") {
				t.Errorf("the refusal has not the history's words: %v", err)
			}
		}
	}
	_, m, err := drift(DriftOptions{Path: "one.geojson", Shift: "0.06,-0.053", Again: true, Correct: "x.geojson", Date: "2026-06-01"})
	if err != nil {
		t.Fatal(err)
	}
	if d := farthest(lonLats(t, "", "geojson", outputOf(m, "x.geojson")), c.lines("park.geojson"), -0.12, 0.106); d > 2*groundM {
		t.Errorf("once more, held is %.7f m from twice the movement", d)
	}
	if _, _, err := drift(DriftOptions{Path: "one.geojson", Shift: "0.06,-0.053", Again: true}); err == nil {
		t.Error("again without correct is taken")
	}
	// Without a correction it is told, and judged as what it is.
	j, _, err := drift(DriftOptions{Path: "one.geojson", Shift: "0.06,-0.053"})
	if err != nil || !strings.Contains(fmt.Sprint(j.Notes), "taken for another movement") {
		t.Errorf("%v, %v", err, j.Notes)
	}
	j, _ = c.job()
	done, err := j.DriftFolder(&DriftOptions{Path: "d", Files: []string{"one.geojson"}, Shift: "0.06,-0.053"})
	if err != nil || len(done.Plans) != 1 || !strings.Contains(fmt.Sprint(j.Notes), "taken for another movement") {
		t.Errorf("a folder: %v, %v", err, j.Notes)
	}
	// A pole that leans is told by how much, too.
	_, m, err = drift(DriftOptions{Path: "park.geojson", Lean: "2,6,90", Correct: "lean.geojson", Date: "2026-05-31"})
	if err != nil {
		t.Fatal(err)
	}
	c.files = append(c.files, m.Out...)
	if _, _, err := drift(DriftOptions{Path: "lean.geojson", Lean: "2,6,90", Correct: "x.geojson"}); err == nil {
		t.Error("a pole leans twice")
	}
	// Marks as a rover reports them now: the plan's, less the movement.
	list := "name,lon,lat,h\n"
	for _, p := range marksOf(t, c.text("one.geojson")) {
		list += fmt.Sprintf("%s,%.10f,%.10f,%.3f\n", p.name, p.lon, p.lat, p.h)
	}
	c.files = append(c.files, File{"marks.csv", []byte(list)})
	for _, o := range []DriftOptions{
		{Base: "56.950348,11.201795,51.5"},
		{Stored: "56.950352,11.201795,51.5"},
		{Marks: "marks.csv", MarkSigmaM: 0.01},
	} {
		o.Path, o.Correct, o.Date = "park.geojson", "first.geojson", "2026-05-31"
		_, m, err := drift(o)
		if err != nil {
			t.Fatal(err)
		}
		first := outputOf(m, "first.geojson")
		c.files = append([]File{{"first.geojson", first}}, c.files...)
		o.Path, o.Correct, o.Date = "first.geojson", "second.geojson", "2026-06-01"
		if _, m, err = drift(o); err != nil {
			t.Fatal(err)
		}
		a, b := lonLats(t, "", "geojson", first), lonLats(t, "", "geojson", outputOf(m, "second.geojson"))
		if d := farthest(a, b, 0, 0); d > 2*groundM {
			t.Errorf("%+v told again moves the plan by %.7f m", o, d)
		}
		if d := farthest(a, c.lines("park.geojson"), 0, 0); d < 0.01 {
			t.Errorf("%+v moves the plan by %.7f m in the first place", o, d)
		}
		c.files = c.files[1:]
	}
}

type markAt struct {
	name        string
	lon, lat, h float64
}

func marksOf(t *testing.T, data []byte) []markAt {
	t.Helper()
	p, _, err := convert.Read(data, convert.ReadOptions{Format: "geojson"})
	if err != nil {
		t.Fatal(err)
	}
	var out []markAt
	for _, f := range p.Features {
		if f.Role == schema.RoleMark {
			v := f.Geometry.FlatCoords()
			out = append(out, markAt{f.Name, v[0], v[1], v[2]})
		}
	}
	return out
}
