// The formats of councils and contractors beside the GDAL library: what is
// written here it reads, and what it writes is read here, vertex by vertex.

package gdal

import (
	"os"
	"path/filepath"
	"testing"

	"swardline/convert"
	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

// door is one format that both sides read and write.
type door struct {
	format, ending, driver string
	layout                 string
	options                []string // of the library's writer
	crs                    bool     // the file says its system
	degreesOnly            bool
}

var doors = []door{
	{format: "shapefile", ending: ".zip", driver: "ESRI Shapefile", options: []string{"-lco", "ENCODING=UTF-8"}, crs: true},
	{format: "gpkg", ending: ".gpkg", driver: "GPKG", crs: true},
	{format: "geojsonseq", ending: ".geojsonl", driver: "GeoJSONSeq", degreesOnly: true},
	{format: "geojsonseq", ending: ".geojsons", driver: "GeoJSONSeq", layout: "sequence", options: []string{"-lco", "RS=YES"}, degreesOnly: true},
}

// inGrid is the demo in UTM zone 32N.
func inGrid(t *testing.T) *schema.Plan {
	t.Helper()
	p := park(t)
	to, err := crs.Parse("EPSG:25832")
	if err != nil {
		t.Fatal(err)
	}
	op, err := p.Operation(schema.Move{To: to, Allow: crs.Allowed{Accuracy: crs.AnyAccuracy, Unknown: true}})
	if err != nil {
		t.Fatal(err)
	}
	grid, err := p.Transform(op)
	if err != nil {
		t.Fatal(err)
	}
	return grid
}

func TestTheLibraryReadsWhatIsWritten(t *testing.T) {
	for _, d := range doors {
		for _, p := range []*schema.Plan{park(t), inGrid(t)} {
			if d.degreesOnly && !p.CRS.IsDegrees() {
				continue
			}
			name := filepath.Join(t.TempDir(), "plan"+d.ending)
			f, err := os.Create(name)
			if err != nil {
				t.Fatal(err)
			}
			losses, err := convert.Write(f, p, d.format, convert.WriteOptions{Layout: d.layout})
			if err != nil {
				t.Fatal(err)
			}
			if err := f.Close(); err != nil {
				t.Fatal(err)
			}
			t.Logf("%s: losses %+v", d.format, losses)
			source := name
			if d.ending == ".zip" {
				source = "/vsizip/" + name
			}
			layers, err := Read(source, d.driver, nil)
			if err != nil {
				t.Errorf("%s: %v", d.format, err)
				continue
			}
			byID := map[string]*schema.Feature{}
			for _, x := range p.Features {
				byID[x.ID.Text()] = x
			}
			want := "EPSG:4326"
			if !p.CRS.IsDegrees() {
				want = p.CRS.ID()
			}
			seen := 0
			for _, l := range layers {
				if d.crs && l.CRS != want && l.CRS != "OGC:CRS84" {
					t.Errorf("%s: the library takes layer %s for %q, want %s", d.format, l.Name, l.CRS, want)
				}
				for _, x := range l.Features {
					g := byID[x.Fields["id"]]
					if g == nil {
						t.Errorf("%s: a feature %v", d.format, x.Fields)
						continue
					}
					seen++
					if err := same(vertices(t, x.Geometry), g.Geometry, 1e-9, 1e-5); err != nil && !d.degreesOnly {
						t.Errorf("%s: %s: %v", d.format, x.Fields["id"], err)
					} else if err := same(vertices(t, x.Geometry), g.Geometry, 0.6e-10, 1e-5); err != nil && d.degreesOnly {
						t.Errorf("%s: %s: %v", d.format, x.Fields["id"], err)
					}
					if x.Fields["role"] != string(g.Role) || x.Fields["name"] != g.Name {
						t.Errorf("%s: %s is %v", d.format, x.Fields["id"], x.Fields)
					}
				}
			}
			if seen != len(p.Features) {
				t.Errorf("%s: the library sees %d features, the plan has %d", d.format, seen, len(p.Features))
			}
		}
	}
}

// One source for each kind of geometry, since a layer of the library's holds
// one.
func TestWhatTheLibraryWritesIsRead(t *testing.T) {
	for _, d := range doors {
		for _, kind := range []string{"POINT", "LINESTRING", "POLYGON"} {
			dir := t.TempDir()
			ending := d.ending
			if ending == ".zip" {
				ending = ".shp"
			}
			dst := filepath.Join(dir, "out"+ending)
			args := append([]string{"-f", d.driver, "-where", "OGR_GEOMETRY='" + kind + "'"}, d.options...)
			if !d.degreesOnly {
				args = append(args, "-t_srs", "EPSG:25832")
			}
			if err := Translate(parkFile, dst, args, nil); err != nil {
				t.Fatalf("%s: %v", d.format, err)
			}
			theirs, err := Read(dst, d.driver, nil)
			if err != nil {
				t.Fatal(err)
			}
			mine, warnings, err := convert.ReadFile(dst, convert.ReadOptions{ReadOptions: wire.ReadOptions{}})
			if err != nil {
				t.Errorf("%s %s: %v", d.format, kind, err)
				continue
			}
			for _, w := range warnings {
				t.Logf("%s %s: %s", d.format, kind, w.Message)
			}
			if d.crs && (mine.CRS == nil || mine.CRS.ID() != "EPSG:25832") {
				t.Errorf("%s %s: read as %v", d.format, kind, mine.CRS)
			}
			i := 0
			for _, l := range theirs {
				for _, x := range l.Features {
					if i >= len(mine.Features) {
						break
					}
					f := mine.Features[i]
					i++
					if err := same(vertices(t, x.Geometry), f.Geometry, 1e-9, 1e-9); err != nil {
						t.Errorf("%s %s: %s: %v", d.format, kind, f.Label(), err)
					}
					if x.Fields["role"] != string(f.Role) || x.Fields["name"] != f.Name {
						t.Errorf("%s %s: %v is read as %s %q", d.format, kind, x.Fields, f.Role, f.Name)
					}
				}
			}
			if i == 0 || i != len(mine.Features) {
				t.Errorf("%s %s: %d of %d features", d.format, kind, len(mine.Features), i)
			}
		}
	}
}

// Topologies that share arcs, quantized and not, are the same to both sides.
func TestTopologiesAgree(t *testing.T) {
	const text = `{"type":"Topology","transform":{"scale":[0.001,0.0005],"translate":[9,56]},"objects":{"lawns":{"type":"GeometryCollection","geometries":[
		{"type":"Polygon","id":"a","properties":{"name":"West"},"arcs":[[0,1],[3]]},{"type":"Polygon","properties":{"name":"East"},"arcs":[[2,-1]]},
		{"type":"MultiLineString","properties":{"name":"Paths"},"arcs":[[0],[2,-1]]},{"type":"Point","properties":{"name":"Tap"},"coordinates":[17,40]}]}},
		"arcs":[[[100,0],[0,100]],[[100,100],[-100,0],[0,-100],[100,0]],[[100,0],[100,0],[0,100],[-100,0]],[[20,20],[0,20],[20,0],[-20,-20]]]}`
	name := filepath.Join(t.TempDir(), "a.topojson")
	if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	mine, _, err := convert.ReadFile(name, convert.ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	layers, err := Read(name, "TopoJSON", nil)
	if err != nil {
		t.Fatal(err)
	}
	i := 0
	for _, l := range layers {
		for _, x := range l.Features {
			f := mine.Features[i]
			i++
			if f.Name != x.Fields["name"] {
				t.Errorf("%q is %q to the library", f.Name, x.Fields["name"])
			}
			if err := same(vertices(t, x.Geometry), f.Geometry, 1e-12, 0); err != nil {
				t.Errorf("%s: %v", f.Name, err)
			}
		}
	}
	if i != 4 || len(mine.Features) != 4 {
		t.Errorf("%d of %d features", len(mine.Features), i)
	}
}
