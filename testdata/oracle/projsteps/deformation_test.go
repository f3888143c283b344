// Deformation models against libproj's defmodel: invented models with every
// time function, displacement, interpolation and way of adding, read by both.

package projsteps

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"swardline/crs"
)

// modelTolerance is what displacements may differ by, in metres: libproj uses
// series for small angles in its geocentric interpolation.
const modelTolerance = 1e-7

// moves writes a grid of displacements east, north and upwards, in metres or
// (the first two) in degrees.
func moves(west, south, inc float64, nx, ny int, kind, unit string, size float64) []byte {
	names := map[string][]string{"horizontal": {"east_offset", "north_offset"}, "vertical": {"vertical_offset"}, "3d": {"east_offset", "north_offset", "vertical_offset"}}[kind]
	var data bytes.Buffer
	for j := ny - 1; j >= 0; j-- {
		for i := range nx {
			for k := range names {
				binary.Write(&data, binary.LittleEndian, float32(size*math.Sin(float64(3*i+5*j+11*k))))
			}
		}
	}
	n := uint32(len(names))
	bits, format := make([]uint16, n), make([]uint16, n)
	meta := `<GDALMetadata><Item name="TYPE">DEFORMATION_MODEL</Item>`
	for k, name := range names {
		bits[k], format[k] = 32, 3
		u := unit
		if name == "vertical_offset" {
			u = "metre"
		}
		meta += fmt.Sprintf(`<Item name="DESCRIPTION" sample="%d" role="description">%s</Item><Item name="UNITTYPE" sample="%[1]d" role="unittype">%[3]s</Item>`, k, name, u)
	}
	meta += "</GDALMetadata>\x00"
	// A raster of points on longitude and latitude, or on a plane.
	keys := []uint16{1, 1, 0, 3, 1024, 0, 1, 2, 1025, 0, 1, 2, 2048, 0, 1, 4959}
	if math.Abs(west) > 720 {
		keys = []uint16{1, 1, 0, 3, 1024, 0, 1, 1, 1025, 0, 1, 2, 3072, 0, 1, 2193}
	}
	fields := []field{
		{256, 3, 1, uint16(nx)}, {257, 3, 1, uint16(ny)}, {258, 3, n, bits}, {259, 3, 1, uint16(1)}, {262, 3, 1, uint16(1)},
		{273, 4, 1, uint32(8)}, {277, 3, 1, uint16(n)}, {278, 3, 1, uint16(ny)}, {279, 4, 1, uint32(data.Len())}, {284, 3, 1, uint16(1)},
		{338, 3, n - 1, make([]uint16, n-1)}, {339, 3, n, format}, {33550, 12, 3, []float64{inc, inc, 0}}, {33922, 12, 6, []float64{0, 0, 0, west, south + float64(ny-1)*inc, 0}},
		{34735, 3, 16, keys}, {42112, 2, uint32(len(meta)), []byte(meta)},
	}
	if n == 1 {
		fields = slices.DeleteFunc(fields, func(f field) bool { return f.tag == 338 })
	}
	return tiff(data.Bytes(), fields)
}

// part is a component of an invented model.
type part struct {
	kind, interpolation, function, params string
	box                                   [4]float64
	inc, size                             float64
}

func TestDeformationModelsAgainstPROJ(t *testing.T) {
	wide, narrow := [4]float64{165, -48, 180, -33}, [4]float64{171, -44, 174, -41}
	functions := []part{
		{kind: "3d", interpolation: "bilinear", function: "velocity", params: `{"reference_epoch":"2000-01-01T00:00:00Z"}`, box: wide, inc: 0.5, size: 0.05},
		{kind: "3d", interpolation: "bilinear", function: "reverse_step", params: `{"step_epoch":"2010-09-04T00:00:00Z"}`, box: narrow, inc: 0.1, size: 0.8},
		{kind: "vertical", interpolation: "bilinear", function: "step", params: `{"step_epoch":"2016-11-14T00:00:00Z"}`, box: narrow, inc: 0.125, size: 0.3},
		{kind: "horizontal", interpolation: "bilinear", function: "piecewise", params: `{"before_first":"constant","after_last":"zero","model":[{"epoch":"2009-07-15T00:00:00Z","scale_factor":-1.34},{"epoch":"2009-07-15T00:00:00Z","scale_factor":-0.29},{"epoch":"2011-09-01T00:00:00Z","scale_factor":0}]}`, box: narrow, inc: 0.25, size: 0.4},
		{kind: "3d", interpolation: "bilinear", function: "exponential", params: `{"reference_epoch":"2012-03-01T12:00:00Z","end_epoch":"2019-01-01T00:00:00Z","relaxation_constant":1.7,"before_scale_factor":-0.2,"initial_scale_factor":0,"final_scale_factor":1}`, box: wide, inc: 1, size: 0.2},
		{kind: "none", interpolation: "bilinear", function: "constant", params: `{}`, box: wide, inc: 1},
	}
	turned := []part{
		{kind: "3d", interpolation: "geocentric_bilinear", function: "velocity", params: `{"reference_epoch":"2000-01-01T00:00:00Z"}`, box: wide, inc: 1.5, size: 0.1},
		{kind: "horizontal", interpolation: "geocentric_bilinear", function: "constant", params: `{}`, box: narrow, inc: 0.3, size: 0.7},
	}
	pole := []part{{kind: "3d", interpolation: "geocentric_bilinear", function: "constant", params: `{}`, box: [4]float64{0, -90, 360, -88}, inc: 0.5, size: 0.5}}
	plane := []part{{kind: "3d", interpolation: "bilinear", function: "constant", params: `{}`, box: [4]float64{1.5e6, 5.4e6, 1.52e6, 5.42e6}, inc: 1000, size: 0.5}}
	degrees := []part{{kind: "3d", interpolation: "bilinear", function: "constant", params: `{}`, box: wide, inc: 0.5, size: 1e-5}}
	for _, c := range []struct {
		name, source, unit, method string
		parts                      []part
	}{
		{"every function", "EPSG:4959", "metre", "addition", functions},
		{"every function, geocentric", "EPSG:4959", "metre", "geocentric", functions},
		{"turned", "EPSG:4959", "metre", "addition", turned},
		{"turned, geocentric", "EPSG:4959", "metre", "geocentric", turned},
		{"about the pole", "EPSG:4959", "metre", "geocentric", pole},
		{"plane", "EPSG:2193", "metre", "addition", plane},
		{"degrees", "EPSG:4959", "degree", "addition", degrees},
	} {
		compareModel(t, c.name, c.source, c.unit, c.method, c.parts)
	}
}

// The whole way between ITRF2014 or ITRF96 and NZGD2000 by an invented model
// under the registry's name. libproj's steps are those that its own projinfo
// prints from EPSG:7912 to EPSG:4959 (the registry's EPSG:9083, and the model
// backwards).
func TestWayOverDeformationModelAgainstPROJ(t *testing.T) {
	const name = "nz_linz_nzgd2000-20180701.json"
	dir := t.TempDir()
	box := [4]float64{165, -48, 180, -33}
	data := writeModel(t, dir, name, "EPSG:4959", "metre", "addition", []part{
		{kind: "3d", interpolation: "bilinear", function: "velocity", params: `{"reference_epoch":"2000-01-01T00:00:00Z"}`, box: box, inc: 0.5, size: 0.05}})
	var with crs.Aids
	if err := with.ReadModel(data, name, func(file string) ([]byte, error) { return os.ReadFile(filepath.Join(dir, file)) }); err != nil {
		t.Fatal(err)
	}
	ctx := NewContext()
	defer ctx.Close()
	ctx.Folders(dir, projFolder)
	const degrees, radians = " +step +proj=unitconvert +xy_in=deg +xy_out=rad", " +step +proj=unitconvert +xy_in=rad +xy_out=deg"
	const linz = " +step +proj=cart +ellps=GRS80 +step +proj=helmert +x=0.0064 +y=0.00399 +z=-0.01427 +rx=-0.00016508 +ry=0.00026897 +rz=0.00011984 +s=0.00108901" +
		" +dx=0.00079 +dy=-0.0006 +dz=-0.00144 +drx=-1.347e-05 +dry=1.514e-05 +drz=1.973e-05 +ds=-7.201e-05 +t_epoch=2000 +convention=position_vector +step +inv +proj=cart +ellps=GRS80"
	const model = " +step +inv +proj=defmodel +model=" + name
	for _, c := range []struct {
		from, to string
		pipeline string
		inverse  bool
	}{
		{"EPSG:7912", "EPSG:4959", linz + model, false}, {"EPSG:4959", "EPSG:7912", linz + model, true},
		{"EPSG:7907", "EPSG:4959", model, false}, {"EPSG:4959", "EPSG:7907", model, true},
	} {
		const lon, lat = 174.78, -41.29
		op, err := ctx.New("+proj=pipeline" + degrees + c.pipeline + radians)
		if err != nil {
			t.Fatal(err)
		}
		defer op.Close()
		var ends [2]*crs.CRS
		for i := range ends {
			if ends[i], err = crs.Parse([2]string{c.from, c.to}[i]); err != nil {
				t.Fatal(err)
			}
		}
		for _, epoch := range []float64{2005.25, 2026.5} {
			ours, err := crs.NewOperation(ends[0], ends[1], crs.Allowed{Accuracy: 0.05}, crs.At(lon, lat), crs.Epochs{From: epoch}, with)
			if err != nil {
				t.Fatal(err)
			}
			p := []float64{lon, lat, 100}
			if err := ours.Apply(p, 3); err != nil {
				t.Fatal(err)
			}
			q := op.Run([4]float64{lon, lat, 100, epoch}, c.inverse)
			d := math.Max(OnGround(p[0], p[1], q[0], q[1]), math.Abs(p[2]-q[2]))
			t.Logf("%s to %s at %v: %s: %.6f mm apart", c.from, c.to, epoch, ours.Name(), d*1e3)
			if !(d < 1e-6) {
				t.Errorf("%s to %s at %v: ours %v, libproj %v", c.from, c.to, epoch, p, q)
			}
		}
	}
}

// compareModel writes a model, and runs random points and epochs through both.
func compareModel(t *testing.T, name, source, unit, method string, parts []part) {
	t.Helper()
	dir := t.TempDir()
	data := writeModel(t, dir, "invented.json", source, unit, method, parts)
	m, err := crs.ReadDeformationModel(data, "invented.json", func(file string) ([]byte, error) { return os.ReadFile(filepath.Join(dir, file)) })
	if err != nil {
		t.Errorf("%s: %v", name, err)
		return
	}
	ctx := NewContext()
	defer ctx.Close()
	ctx.Folders(dir, projFolder)
	text := "+proj=pipeline +step +proj=unitconvert +xy_in=deg +xy_out=rad +step +proj=defmodel +model=invented.json +step +proj=unitconvert +xy_in=rad +xy_out=deg"
	if source == "EPSG:2193" {
		grid := "+proj=tmerc +lat_0=0 +lon_0=173 +k=0.9996 +x_0=1600000 +y_0=10000000 +ellps=GRS80"
		text = "+proj=pipeline +step +proj=unitconvert +xy_in=deg +xy_out=rad +step " + grid + " +step +proj=defmodel +model=invented.json +step +inv " + grid + " +step +proj=unitconvert +xy_in=rad +xy_out=deg"
	}
	op, err := ctx.New(text)
	if err != nil {
		t.Errorf("%s: %v", name, err)
		return
	}
	defer op.Close()
	west, south, east, north := m.Area()
	r := rand.New(rand.NewPCG(8, 15))
	var forward, back, closed, up float64
	done, refused := 0, 0
	for range 4000 {
		lon, lat, epoch := west+r.Float64()*(east-west), south+r.Float64()*(north-south), 1995+30*r.Float64()
		p := []float64{lon, lat, 100}
		q := op.Run([4]float64{lon, lat, 100, epoch}, false)
		err := m.Shift(p, 3, epoch, false)
		if (err != nil) != math.IsInf(q[0], 0) {
			t.Errorf("%s at %v %v in %v: ours %v, libproj %v", name, lon, lat, epoch, err, q)
			return
		}
		if err != nil {
			refused++
			continue
		}
		done++
		forward = math.Max(forward, OnGround(p[0], p[1], q[0], q[1]))
		up = math.Max(up, math.Abs(p[2]-q[2]))
		if err := m.Shift(p, 3, epoch, true); err == nil {
			closed = math.Max(closed, math.Max(OnGround(p[0], p[1], lon, lat), math.Abs(p[2]-100)))
		}
		p = []float64{lon, lat, 100}
		q = op.Run([4]float64{lon, lat, 100, epoch}, true)
		if err := m.Shift(p, 3, epoch, true); err != nil || math.IsInf(q[0], 0) {
			continue // at the edge one of the two may give up first
		}
		back = math.Max(back, OnGround(p[0], p[1], q[0], q[1]))
		up = math.Max(up, math.Abs(p[2]-q[2]))
	}
	t.Logf("%s: %d points, %d outside; forward %.6f mm, inverse %.6f mm, height %.6f mm, there and back %.6f mm", name, done, refused, forward*1e3, back*1e3, up*1e3, closed*1e3)
	// libproj's inverse stops at a millimetre of height and carries it.
	if done < 3000 || !(forward <= modelTolerance) || !(back <= modelTolerance) || !(up <= modelTolerance) || !(closed <= 1e-6) {
		t.Errorf("%s: too far apart", name)
	}
}

// writeModel writes a model and its grids into a folder, and returns the master
// file.
func writeModel(t *testing.T, dir, name, source, unit, method string, parts []part) []byte {
	t.Helper()
	extent := func(b [4]float64) map[string]any {
		return map[string]any{"type": "bbox", "parameters": map[string]any{"bbox": b}}
	}
	all := parts[0].box
	file := map[string]any{
		"file_type": "deformation_model_master_file", "format_version": "1.0", "source_crs": source, "target_crs": "EPSG:7907", "definition_crs": source,
		"horizontal_offset_unit": unit, "vertical_offset_unit": "metre", "horizontal_offset_method": method,
		"extent": extent(all), "time_extent": map[string]any{"first": "1950-01-01T00:00:00Z", "last": "2050-01-01T00:00:00Z"},
	}
	var list []any
	for i, p := range parts {
		grid := fmt.Sprintf("part%d.tif", i)
		if p.kind != "none" {
			nx, ny := int(math.Round((p.box[2]-p.box[0])/p.inc))+1, int(math.Round((p.box[3]-p.box[1])/p.inc))+1
			if err := os.WriteFile(filepath.Join(dir, grid), moves(p.box[0], p.box[1], p.inc, nx, ny, p.kind, unit, p.size), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		list = append(list, map[string]any{
			"description": "invented", "displacement_type": p.kind, "uncertainty_type": "none", "extent": extent(p.box),
			"spatial_model": map[string]any{"type": "GeoTIFF", "interpolation_method": p.interpolation, "filename": grid},
			"time_function": map[string]any{"type": p.function, "parameters": json.RawMessage(p.params)},
		})
	}
	file["components"] = list
	data, err := json.Marshal(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, name), data, 0o600); err != nil {
		t.Fatal(err)
	}
	return data
}
