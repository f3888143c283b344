// Drawings of ours that others have worked in, and drawings of others: made
// with ezdxf, read here.

package drawing

import (
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert"
	"swardline/convert/intake/roles"
	"swardline/schema"
)

// ezdxf runs a program over the files named, and returns what it prints.
func ezdxf(t *testing.T, program string, files ...string) string {
	t.Helper()
	python := "/usr/bin/python3"
	if err := exec.Command(python, "-c", "import ezdxf").Run(); err != nil {
		t.Skip("there is no ezdxf (python3-ezdxf)")
	}
	out, err := exec.Command(python, append([]string{"-c", program}, files...)...).Output()
	if err != nil {
		t.Fatalf("ezdxf: %v", err)
	}
	return string(out)
}

// park writes the demo park as a drawing and returns its path.
func park(t *testing.T, unit string) (path string, p *schema.Plan) {
	t.Helper()
	p, _, err := convert.ReadFile("../../../examples/park/park-utm.csv", convert.ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	path = filepath.Join(t.TempDir(), "park.dxf")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := convert.Write(f, p, "dxf", convert.WriteOptions{Unit: unit}); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	return path, p
}

// A keep-out that somebody adds to our drawing with another program is there.
func TestAddedKeepout(t *testing.T) {
	path, before := park(t, "mm")
	ezdxf(t, `
import sys, ezdxf
doc = ezdxf.readfile(sys.argv[1])
lo = doc.header["$EXTMIN"]
ring = [(lo[0] + 1000, lo[1] + 1000), (lo[0] + 3000, lo[1] + 1000), (lo[0] + 3000, lo[1] + 3000)]
doc.modelspace().add_lwpolyline(ring, close=True, dxfattribs={"layer": "KEEPOUT"})
doc.saveas(sys.argv[1])`, path)
	after, warnings, err := convert.ReadFile(path, convert.ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if len(after.Features) != len(before.Features)+1 {
		t.Fatalf("%d features of %d and one", len(after.Features), len(before.Features))
	}
	for i, f := range before.Features {
		if g := after.Features[i]; g.Role != f.Role || g.Name != f.Name {
			t.Errorf("%s %q came back as %s %q", f.Role, f.Name, g.Role, g.Name)
		}
	}
	f := after.Features[len(before.Features)]
	if area := math.Abs(schema.TwiceArea(f.Geometry.FlatCoords(), 2)) / 2; f.Role != schema.RoleKeepout || math.Abs(area-2) > 1e-9 {
		t.Errorf("the ring that was added is a %s of %g m2", f.Role, area)
	}
	if len(warnings) != 1 || warnings[0].Kind != "role-from-layer" {
		t.Errorf("%v", warnings)
	}
}

// The place that ezdxf finds for the corners of a drawing of ours is where they
// are read, and the other way round for one of its own with a turned grid.
func TestPlaceOnTheEarth(t *testing.T) {
	corner := func(out string) (e, n float64) {
		var v [2]float64
		for i, s := range strings.Fields(out) {
			v[i], _ = strconv.ParseFloat(s, 64)
		}
		return v[0], v[1]
	}
	path, before := park(t, "mm")
	e, n := corner(ezdxf(t, `
import sys, ezdxf
from ezdxf.math import Vec3
doc = ezdxf.readfile(sys.argv[1])
m, code = doc.modelspace().get_geodata().get_crs_transformation()
assert code == 32632, code
p = m.transform(Vec3(doc.header["$EXTMIN"]))
print(repr(p.x), repr(p.y))`, path))
	low := schema.Extent{Empty: true}
	for _, f := range before.Features {
		flat, stride := f.Geometry.FlatCoords(), f.Geometry.Stride()
		for i := 0; i < len(flat); i += stride {
			low.Add(flat[i], flat[i+1])
		}
	}
	if math.Hypot(e-low.Min[0], n-low.Min[1]) > 2e-5 {
		t.Errorf("ezdxf puts the corner at (%.5f, %.5f), the plan has it at %v", e, n, low.Min)
	}

	path = filepath.Join(t.TempDir(), "own.dxf")
	e, n = corner(ezdxf(t, `
import sys, ezdxf
from ezdxf.math import Vec3
doc = ezdxf.new("R2010")
doc.header["$INSUNITS"] = 4
m = doc.modelspace()
m.add_line((1000, 2000), (31000, 42000))
g = m.new_geodata()
definition = '<Dictionary><Alias id="25832" type="CoordinateSystem"><ObjectId>Z</ObjectId><Namespace>EPSG Code</Namespace></Alias><Axis><CoordinateSystemAxis><AxisOrder>1</AxisOrder><AxisAbbreviation>E</AxisAbbreviation></CoordinateSystemAxis></Axis></Dictionary>'
g.setup_local_grid(design_point=(1000, 2000), reference_point=(500100, 6200200), north_direction=(-0.6, 0.8))
g.coordinate_system_definition = definition
g.dxf.horizontal_unit_scale = g.dxf.vertical_unit_scale = 0.001
g.dxf.horizontal_units = g.dxf.vertical_units = 4
p = g.get_crs_transformation()[0].transform(Vec3(31000, 42000, 0))
doc.saveas(sys.argv[1])
print(repr(p.x), repr(p.y))`, path))
	p, warnings, err := convert.ReadFile(path, convert.ReadOptions{})
	if err != nil || p.CRS == nil || p.CRS.ID() != "EPSG:25832" {
		t.Fatalf("%v %v", err, warnings)
	}
	flat := p.Features[0].Geometry.FlatCoords()
	if math.Hypot(flat[0]-500100, flat[1]-6200200) > 1e-6 || math.Hypot(flat[2]-e, flat[3]-n) > 1e-6 {
		t.Errorf("read at %v, ezdxf has its end at (%.6f, %.6f)", flat, e, n)
	}
}

// A block that is scaled, turned and clipped to a triangle, with the matrices
// that ezdxf makes of its insert: what is read has the triangle's area.
func TestClippedBlock(t *testing.T) {
	path := filepath.Join(t.TempDir(), "clip.dxf")
	ezdxf(t, `
import sys, ezdxf
doc = ezdxf.new("R2010")
doc.header["$INSUNITS"] = 6
b = doc.blocks.new("YARD", base_point=(1, 1))
b.add_lwpolyline([(1, 1), (11, 1), (11, 11), (1, 11)], close=True)
i = doc.modelspace().add_blockref("YARD", (100, 50), dxfattribs={"xscale": 2, "yscale": 2, "zscale": 2, "rotation": 30})
x = i.new_extension_dict()
f = doc.objects.add_dictionary(owner=x.handle)
x.dictionary["ACAD_FILTER"] = f
m = i.matrix44()
m.inverse()
rows = [[m[r, c] for r in range(4)] for c in range(3)]
ring = [i.matrix44().transform(p) for p in [(1, 1, 0), (7, 1, 0), (1, 9, 0)]]
s = "0\nSPATIAL_FILTER\n5\nFFF0\n330\n%s\n100\nAcDbFilter\n100\nAcDbSpatialFilter\n70\n3\n" % f.dxf.handle
s += "".join("10\n%r\n20\n%r\n" % (p.x, p.y) for p in ring)
s += "210\n0.0\n220\n0.0\n230\n1.0\n11\n0.0\n21\n0.0\n31\n0.0\n71\n1\n72\n0\n73\n0\n"
s += "".join("40\n%r\n" % float(v) for r in rows for v in r)
s += "".join("40\n%s\n" % v for v in "1 0 0 0 0 1 0 0 0 0 1 0".split())
from ezdxf.entities.dxfgfx import DXFTagStorage
from ezdxf.lldxf.extendedtags import ExtendedTags
e = DXFTagStorage.load(ExtendedTags.from_text(s), doc)
doc.entitydb.add(e)
doc.objects.add_object(e)
f["SPATIAL"] = e
doc.saveas(sys.argv[1])`, path)
	p, warnings, err := convert.ReadFile(path, convert.ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	area, n := 0.0, 0
	for _, f := range p.Features {
		if g, ok := f.Geometry.(*geom.Polygon); ok {
			area += math.Abs(schema.TwiceArea(g.FlatCoords(), 2)) / 2
			n++
		}
	}
	if n != 1 || math.Abs(area-6*8/2*4) > 1e-3 || len(warnings) != 1 || warnings[0].Kind != "block-clipped" {
		t.Errorf("%d outlines of %g m2, %v", n, area, warnings)
	}
}

// What ezdxf draws as an outline, the hatch that is associated with it, and a
// leader of either kind, is one zone with what the leader says.
func TestHatchesAndLeaders(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lawns.dxf")
	ezdxf(t, `
import sys, ezdxf
from ezdxf.math import Vec2
from ezdxf.render import mleader
doc = ezdxf.new("R2010")
doc.header["$INSUNITS"] = 4
m = doc.modelspace()
lawn = {"layer": "LAWN"}
for x in (0, 30000):
    line = m.add_lwpolyline([(x, 0, 0.4), (x + 20000, 0), (x + 20000, 10000), (x, 10000)], format="xyb", close=True, dxfattribs=lawn)
    hatch = m.add_hatch(dxfattribs={"layer": "FILL"})
    hatch.associate(hatch.paths.add_polyline_path([(x, 0, 0.4), (x + 20000, 0), (x + 20000, 10000), (x, 10000)], is_closed=True), [line])
b = m.add_multileader_mtext("Standard")
b.set_content("45 mm", char_height=500)
b.add_leader_line(mleader.ConnectionSide.left, [Vec2(5000, 5000), Vec2(12000, 15000)])
b.build(insert=Vec2(30000, 20000))
note = m.add_mtext("60 mm", dxfattribs={"char_height": 500})
note.set_location((60000, 30000))
leader = m.add_leader([(35000, 5000), (60000, 30000)])
leader.dxf.annotation_handle = note.dxf.handle
doc.saveas(sys.argv[1])`, path)
	p, warnings, err := convert.ReadFile(path, convert.ReadOptions{})
	if err != nil || len(warnings) != 0 {
		t.Fatal(err, warnings)
	}
	rules, err := roles.Read([]byte("rules:\n  - layer: LAWN\n    role: zone\n    set_from: {cut_mm: leader}\n  - layer: FILL\n    role: zone\n"), "r.yaml")
	if err != nil {
		t.Fatal(err)
	}
	out, _ := roles.Apply(p, rules)
	var cuts []string
	for _, f := range out.Features {
		if f.Role == schema.RoleZone {
			cuts = append(cuts, f.Attributes.Get(schema.PropEntity).Text()+" "+f.Attributes.Get(schema.PropCutMM).Text())
		}
	}
	if got := strings.Join(cuts, ", "); got != "LWPOLYLINE 45, LWPOLYLINE 60" {
		t.Errorf("the zones are %s", got)
	}
}
