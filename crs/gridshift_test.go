// Grid shifts: reading, interpolating, reversing, and files that are broken.

package crs

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// testGrid is a grid of a file made by hand: shifts in arc-seconds, positive
// north and east.
type testGrid struct {
	name, parent             string
	south, north, west, east float64
	inc                      float64
	shift                    func(lon, lat float64) (dlat, dlon float64)
}

// makeNTv2 writes an NTv2 file.
func makeNTv2(order binary.ByteOrder, grids ...testGrid) []byte {
	var b bytes.Buffer
	key := func(s string) { fmt.Fprintf(&b, "%-8s", s) }
	integer := func(k string, v int) { key(k); binary.Write(&b, order, uint32(v)); b.Write(make([]byte, 4)) }
	text := func(k, v string) { key(k); key(v) }
	double := func(k string, v float64) { key(k); binary.Write(&b, order, v) }
	integer("NUM_OREC", 11)
	integer("NUM_SREC", 11)
	integer("NUM_FILE", len(grids))
	text("GS_TYPE", "SECONDS")
	text("VERSION", "TEST")
	text("SYSTEM_F", "OLD")
	text("SYSTEM_T", "NEW")
	for _, k := range []string{"MAJOR_F", "MINOR_F", "MAJOR_T", "MINOR_T"} {
		double(k, 6378137)
	}
	for _, g := range grids {
		text("SUB_NAME", g.name)
		text("PARENT", g.parent)
		text("CREATED", "")
		text("UPDATED", "")
		double("S_LAT", g.south*3600)
		double("N_LAT", g.north*3600)
		double("E_LONG", -g.east*3600)
		double("W_LONG", -g.west*3600)
		double("LAT_INC", g.inc*3600)
		double("LONG_INC", g.inc*3600)
		nx, ny := int(math.Round((g.east-g.west)/g.inc))+1, int(math.Round((g.north-g.south)/g.inc))+1
		integer("GS_COUNT", nx*ny)
		for j := range ny {
			for i := range nx {
				dlat, dlon := g.shift(g.east-float64(i)*g.inc, g.south+float64(j)*g.inc)
				binary.Write(&b, order, []float32{float32(dlat), float32(-dlon), 0, 0})
			}
		}
	}
	text("END", "")
	return b.Bytes()
}

// A plane of shifts is interpolated without error, whatever the cells.
func plane1(lon, lat float64) (float64, float64) {
	return 2 + 0.25*(lon-9) - 0.5*(lat-51), -3 + 0.5*(lon-9) + 0.125*(lat-51)
}

// and one that is off by a second in the sub-grid.
func plane2(lon, lat float64) (float64, float64) {
	a, b := plane1(lon, lat)
	return a + 1, b - 1
}

func testFile(order binary.ByteOrder) []byte {
	return makeNTv2(order,
		testGrid{"COARSE", "NONE", 50, 52, 8, 11, 0.5, plane1},
		testGrid{"FINE", "COARSE", 50.5, 51.5, 9, 10, 0.25, plane2})
}

func TestNTv2(t *testing.T) {
	for _, order := range []binary.ByteOrder{binary.LittleEndian, binary.BigEndian} {
		g, err := ReadGridShift(testFile(order), `C:\grids\test.GSB`)
		if err != nil {
			t.Fatal(err)
		}
		from, to := g.Systems()
		w, s, e, n := g.Area()
		if g.Name() != "test.GSB" || g.Format() != "NTv2" || from != "OLD" || to != "NEW" || w != 8 || s != 50 || e != 11 || n != 52 {
			t.Errorf("%s %s %s %s %v %v %v %v", g.Name(), g.Format(), from, to, w, s, e, n)
		}
		r := rand.New(rand.NewPCG(2, 3))
		for range 1000 {
			lon, lat := 8+3*r.Float64(), 50+2*r.Float64()
			dlat, dlon := plane1(lon, lat)
			if lon > 9 && lon < 10 && lat > 50.5 && lat < 51.5 {
				dlat, dlon = plane2(lon, lat)
			}
			p := []float64{lon, lat, 7}
			if err := g.Shift(p, 3, false); err != nil {
				t.Fatal(err)
			}
			if math.Abs(p[0]-lon-dlon/3600) > 1e-10 || math.Abs(p[1]-lat-dlat/3600) > 1e-10 || p[2] != 7 {
				t.Fatalf("%v %v moved by %v %v, want %v %v", lon, lat, (p[0]-lon)*3600, (p[1]-lat)*3600, dlon, dlat)
			}
			if err := g.Shift(p, 3, true); err != nil {
				// Beside the edges a second of shift may lead out of the grid,
				// and beside the sub-grid's no point has this shift.
				if math.Abs(lon-9) > 0.001 && math.Abs(lon-10) > 0.001 && math.Abs(lat-50.5) > 0.001 && math.Abs(lat-51.5) > 0.001 && lon > 8.002 && lon < 10.998 && lat > 50.002 && lat < 51.998 {
					t.Fatal(err)
				}
				continue
			}
			if d := math.Hypot(p[0]-lon, p[1]-lat); d > 1e-11 && math.Abs(lon-9) > 0.001 && math.Abs(lon-10) > 0.001 && math.Abs(lat-50.5) > 0.001 && math.Abs(lat-51.5) > 0.001 {
				t.Fatalf("%v %v: there and back leaves %v degrees", lon, lat, d)
			}
		}
		// All four corners of the file are inside, and just beyond is outside.
		for _, c := range [][2]float64{{8, 50}, {11, 50}, {8, 52}, {11, 52}, {371, 51}} {
			if err := g.Shift([]float64{c[0], c[1]}, 2, false); err != nil {
				t.Errorf("%v: %v", c, err)
			}
		}
		for _, c := range [][2]float64{{7.99, 51}, {11.01, 51}, {9, 49.99}, {9, 52.01}, {math.NaN(), 51}, {math.Inf(1), 51}, {1e300, 51}} {
			var bad *PointError
			err := g.Shift([]float64{9, 51, c[0], c[1]}, 2, false)
			if !asPointError(err, &bad) || bad.Index != 1 {
				t.Errorf("%v: %v", c, err)
			}
		}
	}
}

func asPointError(err error, p **PointError) bool {
	e, ok := err.(*PointError)
	*p = e
	return ok
}

func TestNTv2CutOffAnywhere(t *testing.T) {
	whole := testFile(binary.LittleEndian)
	// All but the END record is needed.
	for n := 0; n < len(whole)-16; n += 8 {
		if _, err := ReadNTv2(whole[:n], "cut.gsb"); err == nil {
			t.Fatalf("%d of %d bytes passed", n, len(whole))
		} else if n >= 176 && !strings.Contains(err.Error(), "cut off") {
			t.Fatalf("%d bytes: %v", n, err)
		} else if !strings.HasPrefix(err.Error(), "cut.gsb: record ") {
			t.Fatalf("%d bytes: %v", n, err)
		}
	}
	if _, err := ReadNTv2(whole[:len(whole)-16], "noend.gsb"); err != nil {
		t.Errorf("without END: %v", err)
	}
}

func TestNTv2Broken(t *testing.T) {
	order := binary.LittleEndian
	set := func(record int, v any) func([]byte) {
		return func(b []byte) {
			var w bytes.Buffer
			binary.Write(&w, order, v)
			copy(b[record*16+8:record*16+16], append(w.Bytes(), make([]byte, 8)...)[:8])
		}
	}
	word := func(record int, s string) func([]byte) {
		return func(b []byte) { copy(b[record*16+8:record*16+16], fmt.Sprintf("%-8s", s)) }
	}
	for _, c := range []struct {
		name string
		mend func([]byte)
		want string
	}{
		{"no file at all", func(b []byte) { copy(b, "PK\x03\x04    ") }, "does not start with NUM_OREC"},
		{"header of another length", set(0, uint32(12)), "records, not 11"},
		{"grid headers of another length", set(1, uint32(9)), "not 11"},
		{"no grids", set(2, uint32(0)), "0 grids"},
		{"more grids than there are", set(2, uint32(3)), "cut off: 2 of 3 grids"},
		{"unknown unit", word(3, "CUBITS"), `"CUBITS"`},
		{"node count that lies", set(21, uint32(5)), "GS_COUNT says 5"},
		{"huge node count", set(21, uint32(0xffffffff)), "GS_COUNT says"},
		{"latitude past the pole", set(16, 95*3600.0), "nodes"},
		{"no cell size", set(19, 0.0), "nodes"},
		{"limits that are no number", set(15, math.NaN()), "nodes"},
		{"grid of no parent", word(12, "NOBODY"), "which is not in the file"},
		{"shift that is no number", set(22, uint64(0x7fc000007fc00000)), ""},
		{"grid that is its own parent", word(12, "COARSE"), "which is not in the file"},
	} {
		b := testFile(order)
		c.mend(b)
		if c.name == "shift that is no number" {
			copy(b[22*16:], []byte{0, 0, 0xc0, 0x7f})
			c.want = "arc-seconds"
		}
		if _, err := ReadNTv2(b, "broken.gsb"); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want %q", c.name, err, c.want)
		}
	}
	two := makeNTv2(order, testGrid{"A", "NONE", 50, 51, 8, 9, 0.5, plane1}, testGrid{"A", "NONE", 50, 51, 8, 9, 0.5, plane1})
	if _, err := ReadNTv2(two, "two.gsb"); err == nil || !strings.Contains(err.Error(), `called "A"`) {
		t.Errorf("two grids of one name: %v", err)
	}
	ring := makeNTv2(order, testGrid{"A", "B", 50, 51, 8, 9, 0.5, plane1}, testGrid{"B", "A", 50, 51, 8, 9, 0.5, plane1})
	if _, err := ReadNTv2(ring, "ring.gsb"); err == nil || !strings.Contains(err.Error(), "circle") {
		t.Errorf("grids in a circle: %v", err)
	}
}

func TestGridsInOperations(t *testing.T) {
	flat := func(lon, lat float64) (float64, float64) { return 0.5, -4 }
	file := makeNTv2(binary.LittleEndian, testGrid{"GB", "NONE", 49, 61, -8, 2, 1, flat})
	g, err := ReadNTv2(file, "/home/grids/ostn15_ntv2_osgbtoetrs.GSB")
	if err != nil {
		t.Fatal(err)
	}
	o := asked{Near: place(-1.5, 52), Grids: []*GridShift{g}}
	op := mustOperation(t, "EPSG:4277", "EPSG:4258", o)
	if op.Name() != "OSGB36 to ETRS89 (2) [EPSG:7709]" || !strings.Contains(op.Source(), "ostn15_ntv2_osgbtoetrs.GSB") {
		t.Errorf("%s, %s", op.Name(), op.Source())
	}
	if acc, known := op.Accuracy(); acc != 0.03 || !known {
		t.Errorf("accuracy %v %v", acc, known)
	}
	p := []float64{-1.5, 52}
	if err := op.Apply(p, 2); err != nil {
		t.Fatal(err)
	}
	if math.Abs(p[0]-(-1.5-4./3600)) > 1e-12 || math.Abs(p[1]-(52+0.5/3600)) > 1e-12 {
		t.Errorf("%v", p)
	}
	back := mustOperation(t, "EPSG:4258", "EPSG:4277", o)
	if err := back.Apply(p, 2); err != nil || math.Abs(p[0]+1.5) > 1e-12 || math.Abs(p[1]-52) > 1e-12 {
		t.Errorf("%v %v", p, err)
	}
	// Outside the grid the point is named, not moved by a lesser step.
	if err := op.Apply([]float64{-1.5, 52, 20, 52}, 2); err == nil || !strings.Contains(err.Error(), "point 2") || !strings.Contains(err.Error(), "outside the grid") {
		t.Errorf("outside: %v", err)
	}
	// A file of another name is not used, and that is said.
	other, err := ReadNTv2(file, "other.gsb")
	if err != nil {
		t.Fatal(err)
	}
	o.Grids = []*GridShift{other}
	op = mustOperation(t, "EPSG:4277", "EPSG:4258", o)
	if notes := strings.Join(op.Notes(), "\n"); !strings.Contains(notes, "other.gsb was not used") || !strings.Contains(notes, "needs the file OSTN15_NTv2_OSGBtoETRS.gsb") {
		t.Errorf("%s", notes)
	}
	// Bound by hand it is.
	bound, err := other.Bind(mustParse(t, "EPSG:27700"), mustParse(t, "EPSG:25830"), 0.02)
	if err != nil {
		t.Fatal(err)
	}
	o.Grids = []*GridShift{bound}
	op = mustOperation(t, "EPSG:4277", "EPSG:4258", o)
	if acc, _ := op.Accuracy(); op.Name() != "grid other.gsb" || acc != 0.02 {
		t.Errorf("%s %v", op.Name(), acc)
	}
	back = mustOperation(t, "EPSG:4258", "EPSG:4277", o)
	p = []float64{-1.5, 52}
	if err := op.Apply(p, 2); err != nil {
		t.Fatal(err)
	}
	if err := back.Apply(p, 2); err != nil || math.Abs(p[0]+1.5) > 1e-12 || math.Abs(p[1]-52) > 1e-12 {
		t.Errorf("%v %v", p, err)
	}
	if _, err := other.Bind(mustParse(t, "EPSG:4277"), mustParse(t, "EPSG:27700"), 1); err == nil {
		t.Error("a grid was bound to one datum twice")
	}
	// A file that runs the other way in libproj's edition.
	rev := makeNTv2(binary.LittleEndian, testGrid{"FR", "NONE", 41, 52, -6, 10, 1, flat})
	ntf, err := ReadNTv2(rev, "ntf_r93.gsb")
	if err != nil {
		t.Fatal(err)
	}
	op = mustOperation(t, "EPSG:4275", "EPSG:4171", asked{Near: place(3, 47), Grids: []*GridShift{ntf}})
	p = []float64{3, 47}
	if err := op.Apply(p, 2); err != nil || math.Abs(p[0]-(3-4./3600)) > 1e-12 {
		t.Errorf("%s: %v %v", op.Name(), p, err)
	}
}

// makeTIFF writes a little-endian TIFF of one directory around data at byte 8.
func makeTIFF(data []byte, fields map[uint16]any) []byte {
	var b, tail bytes.Buffer
	b.WriteString("II*\x00")
	at := 8 + len(data) + len(data)%2
	binary.Write(&b, binary.LittleEndian, uint32(at))
	b.Write(data)
	b.Write(make([]byte, len(data)%2))
	binary.Write(&b, binary.LittleEndian, uint16(len(fields)))
	extra := at + 2 + 12*len(fields) + 4
	for tag := range uint16(0xffff) {
		v, ok := fields[tag]
		if !ok {
			continue
		}
		var w bytes.Buffer
		binary.Write(&w, binary.LittleEndian, v)
		kind, size := uint16(3), 2
		switch v.(type) {
		case []uint32:
			kind, size = 4, 4
		case []float64:
			kind, size = 12, 8
		case []byte:
			kind, size = 2, 1
		}
		binary.Write(&b, binary.LittleEndian, []uint16{tag, kind})
		binary.Write(&b, binary.LittleEndian, uint32(w.Len()/size))
		if w.Len() <= 4 {
			b.Write(append(w.Bytes(), make([]byte, 4)...)[:4])
			continue
		}
		binary.Write(&b, binary.LittleEndian, uint32(extra+tail.Len()))
		tail.Write(w.Bytes())
		tail.Write(make([]byte, w.Len()%2))
	}
	binary.Write(&b, binary.LittleEndian, uint32(0))
	b.Write(tail.Bytes())
	return b.Bytes()
}

// testTIFF is a grid of 4 by 3 nodes, with fields changed.
func testTIFF(change map[uint16]any) []byte {
	var data bytes.Buffer
	for j := range 3 {
		for i := range 4 {
			dlat, dlon := plane1(8+float64(i), 52-float64(j))
			binary.Write(&data, binary.LittleEndian, []float32{float32(dlat), float32(dlon)})
		}
	}
	f := map[uint16]any{
		256: []uint16{4}, 257: []uint16{3}, 258: []uint16{32, 32}, 259: []uint16{1}, 273: []uint32{8}, 277: []uint16{2}, 278: []uint16{3}, 279: []uint32{uint32(data.Len())},
		284: []uint16{1}, 339: []uint16{3, 3}, 33550: []float64{1, 1, 0}, 33922: []float64{0, 0, 0, 8, 52, 0}, 34735: []uint16{1, 1, 0, 1, 1025, 0, 1, 2},
	}
	for k, v := range change {
		if v == nil {
			delete(f, k)
		} else {
			f[k] = v
		}
	}
	return makeTIFF(data.Bytes(), f)
}

func TestGeoTIFFGrid(t *testing.T) {
	g, err := ReadGridShift(testTIFF(nil), "test.tif")
	if err != nil {
		t.Fatal(err)
	}
	p := []float64{9.3, 50.7}
	dlat, dlon := plane1(p[0], p[1])
	if err := g.Shift(p, 2, false); err != nil || math.Abs(p[0]-9.3-dlon/3600) > 1e-10 || math.Abs(p[1]-50.7-dlat/3600) > 1e-10 || g.Format() != "GeoTIFF" {
		t.Errorf("%v %v", p, err)
	}
	// As areas the nodes are half a cell further in.
	g, err = ReadGridShift(testTIFF(map[uint16]any{34735: []uint16{1, 1, 0, 1, 1025, 0, 1, 1}}), "area.tif")
	if err != nil {
		t.Fatal(err)
	}
	if w, s, e, n := g.Area(); w != 8.5 || e != 11.5 || n != 51.5 || s != 49.5 {
		t.Errorf("%v %v %v %v", w, s, e, n)
	}
	missing := []byte(fmt.Sprint(float32(2+0.25*(8-9)-0.5*(52-51)), "\x00"))
	g, err = ReadGridShift(testTIFF(map[uint16]any{42113: missing}), "holes.tif")
	if err != nil {
		t.Fatal(err)
	}
	if err := g.Shift([]float64{8.2, 51.8}, 2, false); err == nil || !strings.Contains(err.Error(), "no values") {
		t.Errorf("a missing node: %v", err)
	}
	meta := func(s string) []byte { return []byte(s + "\x00") }
	for _, c := range []struct {
		name   string
		change map[uint16]any
		want   string
	}{
		{"vertical grid", map[uint16]any{42112: meta(`<GDALMetadata><Item name="TYPE">VERTICAL_OFFSET_GEOGRAPHIC_TO_VERTICAL</Item></GDALMetadata>`)}, "VERTICAL"},
		{"metadata that is no XML", map[uint16]any{42112: meta(`<GDALMetadata><Item`)}, "no XML"},
		{"unit", map[uint16]any{42112: meta(`<GDALMetadata><Item name="UNITTYPE" sample="0" role="unittype">cubit</Item></GDALMetadata>`)}, `"cubit"`},
		{"direction", map[uint16]any{42112: meta(`<GDALMetadata><Item name="positive_value" sample="1">up</Item></GDALMetadata>`)}, `"up"`},
		{"integers", map[uint16]any{339: []uint16{1, 1}}, "floating point"},
		{"one sample", map[uint16]any{277: []uint16{1}}, "no horizontal shifts"},
		{"no place", map[uint16]any{33550: nil}, "pixel scale"},
		{"cells of no size", map[uint16]any{33550: []float64{0, 1, 0}}, "cell size"},
		{"off the earth", map[uint16]any{33922: []float64{0, 0, 0, 8, 520, 0}}, "not on earth"},
		{"compression", map[uint16]any{259: []uint16{5}}, "compression 5"},
		{"Deflate that is none", map[uint16]any{259: []uint16{8}}, "block 1"},
		{"predictor", map[uint16]any{317: []uint16{2}}, "predictor 2"},
		{"short block", map[uint16]any{279: []uint32{10}}, "10 bytes where 96"},
		{"block beyond the end", map[uint16]any{273: []uint32{1 << 30}}, "reaches past its end"},
		{"blocks that do not fit", map[uint16]any{278: []uint16{1}}, "blocks of data"},
		{"no rows", map[uint16]any{278: []uint16{0}}, "strips of no rows"},
		{"huge", map[uint16]any{256: []uint32{1 << 19}, 257: []uint32{1 << 19}}, "nodes"},
	} {
		if _, err := ReadGridShift(testTIFF(c.change), "bad.tif"); err == nil || !strings.Contains(err.Error(), c.want) || !strings.HasPrefix(err.Error(), "bad.tif: ") {
			t.Errorf("%s: got %v, want %q", c.name, err, c.want)
		}
	}
	whole := testTIFF(nil)
	for n := range len(whole) {
		if _, err := ReadGeoTIFFGrid(whole[:n], "cut.tif"); err == nil {
			t.Fatalf("%d of %d bytes passed", n, len(whole))
		}
	}
	loop := testTIFF(nil)
	dir := binary.LittleEndian.Uint32(loop[4:])
	n := binary.LittleEndian.Uint16(loop[dir:])
	binary.LittleEndian.PutUint32(loop[int(dir)+2+12*int(n):], dir)
	if _, err := ReadGeoTIFFGrid(loop, "loop.tif"); err == nil || !strings.Contains(err.Error(), "circle") {
		t.Errorf("directories in a circle: %v", err)
	}
}

// The same grid packed in other ways: Deflate, the floating point predictor, 64
// bits, planes apart, tiles, BigTIFF's byte order.
func TestGeoTIFFPacking(t *testing.T) {
	value := func(i, j, k int) float64 {
		dlat, dlon := plane1(8+float64(i), 52-float64(j))
		return []float64{dlat, dlon}[k]
	}
	deflate := func(b []byte) []byte {
		var z bytes.Buffer
		w := zlib.NewWriter(&z)
		w.Write(b)
		w.Close()
		return z.Bytes()
	}
	// row packs numbers of one row, predicted or not.
	row := func(v []float64, samples, size int, predict bool) []byte {
		var b bytes.Buffer
		for _, x := range v {
			if size == 4 {
				binary.Write(&b, binary.BigEndian, float32(x))
			} else {
				binary.Write(&b, binary.BigEndian, x)
			}
		}
		in := b.Bytes()
		out := make([]byte, len(in))
		for i := range v {
			for s := range size {
				if predict {
					out[s*len(v)+i] = in[i*size+s]
				} else {
					out[i*size+s] = in[i*size+size-1-s]
				}
			}
		}
		if predict {
			for i := len(out) - 1; i >= samples; i-- {
				out[i] -= out[i-samples]
			}
		}
		return out
	}
	check := func(name string, data []byte, change map[uint16]any) {
		t.Helper()
		f := map[uint16]any{256: []uint16{4}, 257: []uint16{3}, 258: []uint16{32, 32}, 259: []uint16{8}, 273: []uint32{8}, 277: []uint16{2}, 278: []uint16{3}, 279: []uint32{uint32(len(data))},
			284: []uint16{1}, 339: []uint16{3, 3}, 33550: []float64{1, 1, 0}, 33922: []float64{0, 0, 0, 8, 52, 0}, 34735: []uint16{1, 1, 0, 1, 1025, 0, 1, 2}}
		for k, v := range change {
			if v == nil {
				delete(f, k)
			} else {
				f[k] = v
			}
		}
		g, err := ReadGeoTIFFGrid(makeTIFF(data, f), name)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			return
		}
		p := []float64{10.3, 50.7}
		dlat, dlon := plane1(p[0], p[1])
		if err := g.Shift(p, 2, false); err != nil || math.Abs(p[0]-10.3-dlon/3600) > 1e-10 || math.Abs(p[1]-50.7-dlat/3600) > 1e-10 {
			t.Errorf("%s: %v %v", name, p, err)
		}
	}
	for _, size := range []int{4, 8} {
		bits := uint16(8 * size)
		for _, predict := range []bool{false, true} {
			var both, lat, lon, tile []byte
			for j := range 3 {
				var b, la, lo []float64
				for i := range 4 {
					b = append(b, value(i, j, 0), value(i, j, 1))
					la, lo = append(la, value(i, j, 0)), append(lo, value(i, j, 1))
				}
				both = append(both, row(b, 2, size, predict)...)
				lat, lon = append(lat, row(la, 1, size, predict)...), append(lon, row(lo, 1, size, predict)...)
			}
			predictor := []uint16{1}
			if predict {
				predictor = []uint16{3}
			}
			packed := map[uint16]any{258: []uint16{bits, bits}, 317: predictor}
			check("strips", deflate(both), packed)
			a, b := deflate(lat), deflate(lon)
			packed[284], packed[273], packed[279] = []uint16{2}, []uint32{8, uint32(8 + len(a))}, []uint32{uint32(len(a)), uint32(len(b))}
			check("planes", append(a, b...), packed)
			// Two tiles of 16 by 16, the second beyond the image's edge but for
			// one column of a wider one, would be the same code; one is enough
			// here.
			for j := range 16 {
				v := make([]float64, 32)
				for i := range 4 {
					if j < 3 {
						v[2*i], v[2*i+1] = value(i, j, 0), value(i, j, 1)
					}
				}
				tile = append(tile, row(v, 2, size, predict)...)
			}
			z := deflate(tile)
			check("tiles", z, map[uint16]any{258: []uint16{bits, bits}, 317: predictor, 273: nil, 278: nil, 279: nil, 322: []uint16{16}, 323: []uint16{16}, 324: []uint32{8}, 325: []uint32{uint32(len(z))}})
		}
	}
	// Units and directions of the metadata.
	meta := `<GDALMetadata><Item name="DESCRIPTION" sample="0" role="description">longitude_offset</Item><Item name="DESCRIPTION" sample="1" role="description">latitude_offset</Item>` +
		`<Item name="UNITTYPE" sample="0" role="unittype">degree</Item><Item name="UNITTYPE" sample="1" role="unittype">radian</Item><Item name="positive_value" sample="0">west</Item></GDALMetadata>` + "\x00"
	var data []byte
	for j := range 3 {
		var v []float64
		for i := range 4 {
			v = append(v, -value(i, j, 1)/3600, value(i, j, 0)/3600*radPerDeg)
		}
		data = append(data, row(v, 2, 8, false)...)
	}
	check("metadata", deflate(data), map[uint16]any{258: []uint16{64, 64}, 42112: []byte(meta)})
}

func FuzzReadNTv2(f *testing.F) {
	f.Add(testFile(binary.LittleEndian))
	f.Add(testFile(binary.BigEndian)[:500])
	f.Add([]byte("NUM_OREC"))
	f.Fuzz(func(t *testing.T, data []byte) { checkGrid(t, data, ReadNTv2) })
}

func FuzzReadGeoTIFFGrid(f *testing.F) {
	f.Add(testTIFF(nil))
	f.Add(testTIFF(map[uint16]any{317: []uint16{3}, 284: []uint16{2}}))
	f.Add([]byte("MM\x00+"))
	f.Fuzz(func(t *testing.T, data []byte) { checkGrid(t, data, ReadGeoTIFFGrid) })
}

// checkGrid holds whatever was read to what a grid promises: finite shifts or
// an error.
func checkGrid(t *testing.T, data []byte, read func([]byte, string) (*GridShift, error)) {
	if len(data) > 1<<16 {
		return
	}
	g, err := read(data, "fuzz")
	if err != nil {
		return
	}
	w, s, e, n := g.Area()
	for _, p := range [][]float64{{w, s}, {e, n}, {(w + e) / 2, (s + n) / 2}} {
		for _, inverse := range []bool{false, true} {
			q := append([]float64(nil), p...)
			if err := g.Shift(q, 2, inverse); err == nil && (q[0]-q[0] != 0 || q[1]-q[1] != 0) {
				t.Errorf("%v became %v", p, q)
			}
		}
	}
}
