// Drawings as others open them: ezdxf audits them, and the GDAL library reads
// them.

package drawing

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert"
	"swardline/crs"
)

// audit prints what ezdxf 0.18 finds in a drawing.
const audit = `
import json, sys, ezdxf
doc = ezdxf.readfile(sys.argv[1])
a = doc.audit()
m = doc.modelspace()
g = m.get_geodata()
print(json.dumps({
    "errors": [e.message for e in a.errors], "fixes": [e.message for e in a.fixes],
    "version": doc.dxfversion, "units": doc.header["$INSUNITS"],
    "off": sorted(l.dxf.name for l in doc.layers if l.is_off()),
    "linetypes": {l.dxf.name: l.dxf.linetype for l in doc.layers},
    "inserts": sorted((e.dxf.name, round(e.dxf.insert[0], 3), round(e.dxf.insert[1], 3)) for e in m.query("INSERT")),
    "texts": sorted(e.dxf.text for e in m.query("TEXT")),
    "crs": g.get_crs()[0] if g else 0, "east_first": g.get_crs()[1] if g else False,
}))`

func TestDrawingsOpen(t *testing.T) {
	python := "/usr/bin/python3"
	if err := exec.Command(python, "-c", "import ezdxf").Run(); err != nil {
		t.Skip("there is no ezdxf (python3-ezdxf)")
	}
	p, _, err := convert.ReadFile("../../../examples/park/park.geojson", convert.ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	to, err := crs.Parse("EPSG:32632")
	if err != nil {
		t.Fatal(err)
	}
	op, err := crs.NewOperation(p.CRS, to, crs.Allowed{Accuracy: crs.AnyAccuracy}, crs.Nowhere(), crs.Epochs{}, crs.Aids{})
	if err != nil {
		t.Fatal(err)
	}
	grid, err := p.Transform(op)
	if err != nil {
		t.Fatal(err)
	}
	for _, unit := range []string{"m", "mm", "ft"} {
		var b bytes.Buffer
		if _, err := convert.Write(&b, grid, "dxf", convert.WriteOptions{Unit: unit, Date: "2026-05-31"}); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(t.TempDir(), "a.dxf")
		if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command(python, "-c", audit, path).Output()
		if err != nil {
			t.Fatalf("%s: ezdxf: %v", unit, err)
		}
		var got struct {
			Errors, Fixes, Off, Texts []string
			Version                   string
			Units                     int
			Linetypes                 map[string]string
			Inserts                   [][]any
			CRS                       int
			EastFirst                 bool `json:"east_first"`
		}
		if err := json.Unmarshal(out, &got); err != nil {
			t.Fatal(err)
		}
		if len(got.Errors)+len(got.Fixes) > 0 {
			t.Errorf("%s: the audit finds %q and mends %q", unit, got.Errors, got.Fixes)
		}
		if got.CRS != 32632 || !got.EastFirst || got.Units != map[string]int{"m": 6, "mm": 4, "ft": 2}[unit] {
			t.Errorf("%s: system %d, unit %d", unit, got.CRS, got.Units)
		}
		if len(got.Off) != 1 || got.Off[0] != "KEEPOUT-OFF" || got.Linetypes["BOUNDARY"] != "CHAIN" {
			t.Errorf("%s: off %q, the boundary's lines are %q", unit, got.Off, got.Linetypes["BOUNDARY"])
		}
		texts := strings.Join(got.Texts, "\n")
		for _, f := range p.Features {
			if f.Name != "" && !strings.Contains(texts, f.Name) {
				t.Errorf("%s: no text says %q", unit, f.Name)
			}
		}
		points := 0
		for _, f := range p.Features {
			if _, ok := f.Geometry.(*geom.Point); ok {
				points++
			}
		}
		if len(got.Inserts) != points {
			t.Errorf("%s: %d symbols for %d points", unit, len(got.Inserts), points)
		}
		ogr, err := exec.LookPath("ogrinfo")
		if err != nil {
			t.Skip("there is no ogrinfo (gdal-bin)")
		}
		said, err := exec.Command(ogr, "-ro", "-al", path).CombinedOutput()
		if err != nil || bytes.Contains(said, []byte("ERROR")) || bytes.Contains(said, []byte("Warning")) {
			t.Errorf("%s: the GDAL library: %v\n%.600s", unit, err, said)
		}
		if !bytes.Contains(said, []byte("Strip")) {
			t.Errorf("%s: the GDAL library reads no names", unit)
		}
	}
}
