// Both kinds of sequence: what is read, what is written, and any bytes at all.

package geojsonseq

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
	"swardline/testdata/randplan"
)

func written(t testing.TB, p *schema.Plan, layout string) string {
	t.Helper()
	var b bytes.Buffer
	if _, err := Write(&b, p, wire.WriteOptions{Layout: layout}); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

const feature = `{"type":"Feature","id":%d,"geometry":{"type":"Point","coordinates":[9.5,56.25]},"properties":{"role":"mark"}}`

// The example of RFC 8142 section 2 has this form: separator, text, line feed.
func TestRead(t *testing.T) {
	one, two := fmt.Sprintf(feature, 1), fmt.Sprintf(feature, 2)
	for _, tt := range []struct {
		name, text string
		want       string // ids, or the error
	}{
		{"sequence", "\x1e" + one + "\n\x1e" + two + "\n", "1 2"},
		{"sequence over lines", "\x1e" + strings.ReplaceAll(one, ",", ",\n") + "\n\x1e" + two + "\n", "1 2"},
		{"lines", one + "\n" + two + "\n", "1 2"},
		{"lines without a last line feed", one + "\r\n\r\n" + two, "1 2"},
		{"a head", `{"type":"FeatureCollection","name":"Park","features":[]}` + "\n" + one + "\n", "1"},
		{"a separator missing", "\x1e" + one + "\n" + two + "\n", "1 2"},
		{"cut off", one + "\n" + two[:40], "x:2:38: a string is not closed"},
		{"no object", one + "\n[1]\n", "x:2:1: a GeoJSON object should start here"},
		{"a collection", one + "\n" + `{"type":"FeatureCollection","features":[` + two + "]}", "x:2:1: a FeatureCollection with features"},
		{"a head at the end", one + "\n" + `{"type":"FeatureCollection","features":[]}`, "1"},
		{"two heads", `{"type":"FeatureCollection","features":[]}` + "\n" + one + "\n" + `{"type":"FeatureCollection","features":[]}`, "x:3:1: the file says twice"},
		{"only separators", "\x1e\n\x1e\n", "x: the sequence holds no text"},
		{"a fault inside", one + "\n" + strings.Replace(two, "9.5", `"9.5"`, 1), "x:2:"},
	} {
		p, _, err := Read([]byte(tt.text), wire.ReadOptions{Name: "x"})
		if err != nil {
			var in *wire.InputError
			if !errors.As(err, &in) || !strings.HasPrefix(err.Error(), tt.want) {
				t.Errorf("%s: %v, want %s", tt.name, err, tt.want)
			}
			continue
		}
		var ids []string
		for _, f := range p.Features {
			ids = append(ids, f.ID.Text())
		}
		if got := strings.Join(ids, " "); got != tt.want {
			t.Errorf("%s: %q, want %q", tt.name, got, tt.want)
		}
	}
}

func TestWrittenForms(t *testing.T) {
	p := &schema.Plan{CRS: crs.WGS84(), Features: randplan.New(3, randplan.Options{Features: 300}).Features}
	for _, layout := range []string{LayoutLines, LayoutSequence} {
		text := written(t, p, layout)
		lines := strings.SplitAfter(text, "\n")
		if len(lines) != 301 || lines[300] != "" {
			t.Fatalf("%s: %d lines", layout, len(lines))
		}
		for i, l := range lines[:300] {
			start := `{"type":"Feature"`
			if layout == LayoutSequence {
				start = "\x1e" + start
			}
			if !strings.HasPrefix(l, start) {
				t.Fatalf("%s: line %d is %.60q", layout, i+1, l)
			}
		}
		if !Detect([]byte(text)) {
			t.Errorf("%s: not known for a sequence", layout)
		}
	}
	utm, err := crs.Parse("EPSG:32632")
	if err != nil {
		t.Fatal(err)
	}
	q := &schema.Plan{CRS: utm, Features: []*schema.Feature{{Role: schema.RoleOther}}}
	if text := written(t, q, ""); strings.Count(text, `"coordRefSys":"http://www.opengis.net/def/crs/EPSG/0/32632"`) != 2 {
		t.Errorf("%s", text)
	}
	if Detect([]byte(`{"type":"FeatureCollection","features":[`+"\n{}\n]}")) || Detect([]byte("{}\n")) || Detect(nil) {
		t.Error("GeoJSON is taken for a sequence")
	}
}

func FuzzRead(f *testing.F) {
	for seed := uint64(0); seed < 6; seed++ {
		p := randplan.New(seed, randplan.Options{Features: 3})
		f.Add([]byte(written(f, p, LayoutLines)))
		f.Add([]byte(written(f, p, LayoutSequence)))
	}
	f.Add([]byte("\x1e{}\n\x1e"))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, _, err := Read(data, wire.ReadOptions{Name: "x"})
		if err != nil {
			var in *wire.InputError
			if !errors.As(err, &in) || in.Problem == "" {
				t.Fatalf("no clear error: %q", err)
			}
			return
		}
		first := written(t, p, LayoutSequence)
		back, _, err := Read([]byte(first), wire.ReadOptions{Name: "y"})
		if err != nil {
			t.Fatalf("reading back: %v\n%s", err, first)
		}
		if second := written(t, back, LayoutSequence); first != second {
			t.Fatalf("differs the second time:\n%s\nagainst\n%s", first, second)
		}
	})
}
