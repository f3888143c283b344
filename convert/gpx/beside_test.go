// Tests of what a file says of itself as a whole.

package gpx

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

// wholes are files that say something of themselves, and the kinds of what is told.
var wholes = []struct{ head, point, kinds, beside string }{
	{"", "", "", ""},
	{`<metadata><bounds minlat="55.9" minlon="8.9" maxlat="56.1" maxlon="9.1"/></metadata>`, "", "box-wide", ""},
	{`<metadata><bounds minlat="55.9995" minlon="8.9995" maxlat="56.0005" maxlon="9.0005"/></metadata>`, "", "", ""},
	{`<metadata><bounds minlat="56.0001" minlon="9" maxlat="56.0002" maxlon="9.0002"/></metadata>`, "", "box-short", ""},
	{`<metadata><bounds minlat="56.000005" minlon="9" maxlat="56.0001" maxlon="9.0001"/></metadata>`, "", "", ""},
	{`<extensions><x:w xmlns:x="urn:x">do not use</x:w></extensions>`, "", "", "do not use"},
	{`<extensions><x:w xmlns:x="urn:x">3</x:w></extensions>`, "", "", ""},
	{`<!-- base moved -->`, "", "", "base moved"},
}

func wholeOf(head, point string) string {
	before, after := head, ""
	if strings.HasPrefix(head, "<ext") {
		before, after = "", head
	}
	return `<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="x">` + before + `<wpt lat="56" lon="9">` + point + `</wpt>` + after + `</gpx>`
}

func TestHeardOfTheWhole(t *testing.T) {
	for _, x := range wholes {
		p, warnings, err := Read([]byte(wholeOf(x.head, x.point)), wire.ReadOptions{Name: "a.gpx"})
		if err != nil {
			t.Fatal(err)
		}
		var kinds, beside []string
		for _, w := range warnings {
			if kinds = append(kinds, w.Kind); !w.Unheard() {
				t.Errorf("%s does not count", w.Kind)
			}
		}
		for _, b := range p.Beside {
			beside = append(beside, b.Text)
		}
		if strings.Join(kinds, " ") != x.kinds || strings.Join(beside, "|") != x.beside {
			t.Errorf("%s: %v %v", x.head, kinds, beside)
		}
	}
}

// TestFixSaidTwice: a poor fix in GPX's own element beside a fixed one is kept and
// written again, dgps is not.
func TestFixSaidTwice(t *testing.T) {
	plan := &schema.Plan{Name: "a", CRS: crs.WGS84(), Attributes: schema.Attributes{{Key: schema.PlanHeights, Value: schema.String("ellipsoidal")}}, Features: []*schema.Feature{{Role: schema.RoleBase, Name: "b",
		Geometry: geom.NewPointFlat(geom.XYZ, []float64{9, 56, 40}), Attributes: schema.Attributes{{Key: "fix", Value: schema.String("fixed")}}}}}
	var out bytes.Buffer
	if _, err := Write(&out, plan, wire.WriteOptions{}); err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct{ element, fix string }{
		{"", ""}, {"<fix>none</fix>", "none"}, {"<fix>2d</fix>", "2d"}, {"<fix>3d</fix>", "3d"}, {"<fix>dgps</fix>", ""},
	} {
		text := out.String()
		if x.element != "" {
			const at = "<extensions><s:feature"
			if !strings.Contains(text, at) {
				t.Fatal(text)
			}
			text = strings.Replace(text, at, x.element+at, 1)
		}
		p, warnings, err := Read([]byte(text), wire.ReadOptions{Name: "a.gpx"})
		if err != nil {
			t.Fatal(err)
		}
		if got := p.Features[0].Attributes.Get("fix_2").Text(); got != x.fix || len(warnings) > 0 {
			t.Errorf("%s: %q, %v", x.element, got, warnings)
		}
		var again bytes.Buffer
		if _, err := Write(&again, p, wire.WriteOptions{}); err != nil {
			t.Fatal(err)
		}
		if q, _, err := Read(again.Bytes(), wire.ReadOptions{Name: "a.gpx"}); err != nil || fmt.Sprint(q.Features[0].Attributes) != fmt.Sprint(p.Features[0].Attributes) {
			t.Errorf("%s: once written: %v %v", x.element, q, err)
		}
	}
}

// TestOtherMaker: a plan of ours that another program wrote anew says which it was.
func TestOtherMaker(t *testing.T) {
	plan := &schema.Plan{Name: "a", CRS: crs.WGS84(), Attributes: schema.Attributes{{Key: schema.PlanHeights, Value: schema.String("ellipsoidal")}}, Features: []*schema.Feature{{Role: schema.RoleBase, Name: "b",
		Geometry: geom.NewPointFlat(geom.XYZ, []float64{9, 56, 40})}}}
	var out bytes.Buffer
	if _, err := Write(&out, plan, wire.WriteOptions{}); err != nil {
		t.Fatal(err)
	}
	for maker, want := range map[string]string{creator: "", "Trailo 4": "the creator of the file: Trailo 4"} {
		p, _, err := Read([]byte(strings.Replace(out.String(), `creator="`+creator, `creator="`+maker, 1)), wire.ReadOptions{Name: "a.gpx"})
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		for _, b := range p.Beside {
			got += b.Where + ": " + b.Text
		}
		if got != want {
			t.Errorf("%s: %q", maker, got)
		}
	}
}

// TestRemarksInTheFile: comments and processing instructions that say something are kept
// for the rules, an error by its sign alone too, and what was drawn within one is told.
func TestRemarksInTheFile(t *testing.T) {
	const file = `<?xml version="1.0"?>%s<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="swardline"><wpt lat="56" lon="9"><name>a</name></wpt></gpx>`
	for markup, want := range map[string]string{
		`<!-- the well is open -->`:                    "the well is open",
		`<!-- ± 2 m -->`:                               "± 2 m",
		`<!-- 2 m -->`:                                 "",
		`<?approved no?>`:                              "approved no",
		`<?xml-stylesheet type="text/xsl" href="a"?>`:  "",
		`<!-- <wpt lat="1" lon="2"><name>b</name> -->`: "unheard: a comment in line 1 that holds something drawn was not read",
	} {
		p, _, err := Read([]byte(fmt.Sprintf(file, markup)), wire.ReadOptions{Name: "a.gpx"})
		if err != nil {
			t.Fatal(markup, err)
		}
		got := ""
		for _, b := range p.Beside {
			got += b.Text
		}
		for _, what := range p.Unheard {
			got += "unheard: " + what
		}
		if got != want {
			t.Errorf("%s: %q, want %q", markup, got, want)
		}
	}
}
