// The client's KML: folders, words, altitude modes, and the standard's schema.

package kml

import (
	"bytes"
	"encoding/xml"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"swardline/convert/wire"
	"swardline/schema"
)

func clientText(t *testing.T, p *schema.Plan, o ClientOptions) (string, []wire.Loss) {
	t.Helper()
	var b bytes.Buffer
	losses, err := WriteClient(&b, p, o)
	if err != nil {
		t.Fatal(err)
	}
	return b.String(), losses
}

func words() ClientOptions {
	return ClientOptions{Title: "Garden <1>", Description: "Made for reading.",
		FolderName: func(r schema.Role) string { return "All " + string(r) },
		Text: func(f *schema.Feature) ClientText {
			return ClientText{Snippet: "about " + f.Name, Description: "<b>name</b>: " + f.Name + "\nsecond line"}
		}}
}

func TestClient(t *testing.T) {
	p := garden()
	off := *p.Features[0]
	off.Name = "Marquee"
	off.Attributes = off.Attributes.Clone()
	off.Attributes.Set(schema.PropActive, schema.Bool(false))
	p.Features = append(p.Features, &off)
	text, losses := clientText(t, p, words())
	type placemark struct {
		Name        string `xml:"name"`
		Snippet     string `xml:"Snippet"`
		Description string `xml:"description"`
		Style       string `xml:"styleUrl"`
		Inner       string `xml:",innerxml"`
	}
	var doc struct {
		Document struct {
			Name   string `xml:"name"`
			LookAt struct {
				Longitude, Latitude float64
				Range               float64 `xml:"range"`
			}
			Folders []struct {
				Name       string      `xml:"name"`
				Placemarks []placemark `xml:"Placemark"`
			} `xml:"Folder"`
		}
	}
	if err := xml.Unmarshal([]byte(text), &doc); err != nil {
		t.Fatal(err)
	}
	if doc.Document.Name != "Garden <1>" || doc.Document.LookAt.Range < 60 {
		t.Errorf("document %q, look-at %+v", doc.Document.Name, doc.Document.LookAt)
	}
	total := 0
	for _, f := range doc.Document.Folders {
		role := schema.Role(strings.TrimPrefix(f.Name, "All "))
		if len(f.Placemarks) == 0 {
			t.Errorf("folder %q is empty", f.Name)
		}
		for _, m := range f.Placemarks {
			total++
			if m.Style != "#swardline."+string(role) {
				t.Errorf("%q of role %s has the style %s", m.Name, role, m.Style)
			}
			if !strings.HasPrefix(m.Description, "&lt;b&gt;name&lt;/b&gt;") || !strings.Contains(m.Description, "<br>\nsecond line") {
				t.Errorf("%q is described as %q", m.Name, m.Description)
			}
			if strings.Contains(m.Inner, "<coordinates>") && !strings.Contains(m.Inner, "altitudeMode>") {
				t.Errorf("%q has no altitude mode", m.Name)
			}
			if m.Name == "Marquee" {
				t.Error("an inactive feature is shown")
			}
		}
	}
	if total != len(p.Features)-1 {
		t.Errorf("%d placemarks of %d features", total, len(p.Features))
	}
	// The zone says relativeToGround of itself, and keeps it.
	if !strings.Contains(text, "relativeToGround") || !strings.Contains(text, "clampToGround") {
		t.Error("altitude modes are not as they should be")
	}
	inactive := 0
	for _, l := range losses {
		if l.Kind == "inactive" {
			inactive = l.Count
		}
	}
	if inactive != 1 {
		t.Errorf("losses %+v", losses)
	}
}

// Read back, it gives roles, names and places.
func TestClientReadsBack(t *testing.T) {
	p := garden()
	text, _ := clientText(t, p, words())
	q, _, err := Read([]byte(text), wire.ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if len(q.Features) != len(p.Features) {
		t.Fatalf("%d features of %d", len(q.Features), len(p.Features))
	}
	count := func(p *schema.Plan) map[schema.Role]int {
		m := map[schema.Role]int{}
		for _, f := range p.Features {
			m[f.Role]++
		}
		return m
	}
	got, want := count(q), count(p)
	for role, n := range want {
		if got[role] != n {
			t.Errorf("%d features of role %s, want %d", got[role], role, n)
		}
	}
	zone := q.Find(schema.RoleZone)[0]
	a, b := zone.Geometry.FlatCoords(), p.Features[0].Geometry.FlatCoords()
	if zone.Name != "Bowling green" || a[0] != b[0] || a[1] != b[1] {
		t.Errorf("zone %q at %v, want %v", zone.Name, a[:2], b[:2])
	}
}

func TestClientRefuses(t *testing.T) {
	p := garden()
	p.CRS = nil
	if _, err := WriteClient(&bytes.Buffer{}, p, ClientOptions{}); err == nil || !strings.Contains(err.Error(), "WGS 84") {
		t.Errorf("a plan without a CRS: %v", err)
	}
}

func TestClientXSD(t *testing.T) {
	xsd := shared(t, "standards", "kml22", "ogckml22.xsd")
	xmllint, err := exec.LookPath("xmllint")
	if err != nil {
		t.Skip("there is no xmllint")
	}
	dir := t.TempDir()
	var files []string
	for name, p := range map[string]*schema.Plan{"garden": garden(), "empty": plan()} {
		for kind, o := range map[string]ClientOptions{"words": words(), "bare": {}} {
			text, _ := clientText(t, p, o)
			file := filepath.Join(dir, name+kind+".kml")
			if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
			files = append(files, file)
		}
	}
	out, err := exec.Command(xmllint, append([]string{"--nonet", "--noout", "--schema", xsd}, files...)...).CombinedOutput()
	if err != nil {
		t.Errorf("%v\n%s", err, excerpt(out))
	}
	if n := strings.Count(string(out), " validates\n"); n != len(files) {
		t.Errorf("%d of %d files validate", n, len(files))
	}
}
