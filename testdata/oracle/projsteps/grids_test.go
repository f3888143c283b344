// Grid shifts: synthetic NTv2 and GeoTIFF files, and those that libproj's
// package brings along, read by both.

package projsteps

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"swardline/crs"
)

// gridTolerance is what grid shifts may differ by: libproj keeps them as
// radians of 32 bits, 0.011 mm at a shift of 190 m.
const gridTolerance = 2e-5

// node is the made-up shift field: latitude and longitude in arc-seconds,
// positive north and east.
func node(lon, lat float64) (float32, float32) {
	return float32(3.1 + 0.4*math.Sin(lon*1.3) + 0.2*lat/50), float32(-5.2 + 0.5*math.Cos(lat*0.9) - 0.1*lon)
}

// ntv2 writes an NTv2 file with a parent grid of a tenth of a degree and a
// sub-grid of a fiftieth.
func ntv2(order binary.ByteOrder) []byte {
	var b bytes.Buffer
	str := func(s string) { fmt.Fprintf(&b, "%-8s", s) }
	integer := func(k string, v uint32) { str(k); binary.Write(&b, order, v); b.Write([]byte{0, 0, 0, 0}) }
	text := func(k, v string) { str(k); str(v) }
	double := func(k string, v float64) { str(k); binary.Write(&b, order, v) }
	integer("NUM_OREC", 11)
	integer("NUM_SREC", 11)
	integer("NUM_FILE", 2)
	text("GS_TYPE", "SECONDS")
	text("VERSION", "TEST")
	text("SYSTEM_F", "ONE")
	text("SYSTEM_T", "TWO")
	double("MAJOR_F", 6378137)
	double("MINOR_F", 6356752.314)
	double("MAJOR_T", 6378137)
	double("MINOR_T", 6356752.314)
	grid := func(name, parent string, south, north, west, east, inc float64, bump float32) {
		text("SUB_NAME", name)
		text("PARENT", parent)
		text("CREATED", "")
		text("UPDATED", "")
		double("S_LAT", south*3600)
		double("N_LAT", north*3600)
		double("E_LONG", -east*3600)
		double("W_LONG", -west*3600)
		double("LAT_INC", inc*3600)
		double("LONG_INC", inc*3600)
		nx, ny := int(math.Round((east-west)/inc))+1, int(math.Round((north-south)/inc))+1
		integer("GS_COUNT", uint32(nx*ny))
		for j := range ny {
			for i := range nx {
				dlat, dlon := node(east-float64(i)*inc, south+float64(j)*inc)
				// The sub-grid's own bump dies out at its edge, so that shifts
				// are continuous and the inverse is unique.
				own := bump * float32(math.Sin(math.Pi*float64(i)/float64(nx-1))*math.Sin(math.Pi*float64(j)/float64(ny-1)))
				binary.Write(&b, order, []float32{dlat + own, -dlon + own, 0, 0})
			}
		}
	}
	grid("PARENT", "NONE", 50, 52, 8, 11, 0.1, 0)
	grid("FINE", "PARENT", 50.6, 51.2, 9, 9.8, 0.02, 0.25)
	text("END", "")
	return b.Bytes()
}

// geotiff writes a grid as a GeoTIFF of one directory, with or without Deflate
// and the floating point predictor.
func geotiff(deflate, predict, east bool) []byte {
	const nx, ny, west, north, inc = 31, 21, 8.0, 52.0, 0.1
	var rows bytes.Buffer
	for j := range ny {
		var line []float32
		for i := range nx {
			dlat, dlon := node(west+float64(i)*inc, north-float64(j)*inc)
			if !east {
				dlon = -dlon
			}
			line = append(line, dlat, dlon)
		}
		if predict {
			plain := make([]byte, 4*len(line))
			for k, v := range line {
				bits := math.Float32bits(v)
				for s := range 4 {
					plain[s*len(line)+k] = byte(bits >> (24 - 8*s))
				}
			}
			for k := len(plain) - 1; k >= 2; k-- {
				plain[k] -= plain[k-2]
			}
			rows.Write(plain)
		} else {
			binary.Write(&rows, binary.LittleEndian, line)
		}
	}
	data := rows.Bytes()
	if deflate {
		var z bytes.Buffer
		w := zlib.NewWriter(&z)
		w.Write(data)
		w.Close()
		data = z.Bytes()
	}
	compression, predictor, positive := uint16(1), uint16(1), "east"
	if deflate {
		compression = 8
	}
	if predict {
		predictor = 3
	}
	if !east {
		positive = "west"
	}
	meta := `<GDALMetadata><Item name="TYPE">HORIZONTAL_OFFSET</Item>` +
		`<Item name="DESCRIPTION" sample="0" role="description">latitude_offset</Item><Item name="UNITTYPE" sample="0" role="unittype">arc-second</Item>` +
		`<Item name="DESCRIPTION" sample="1" role="description">longitude_offset</Item><Item name="UNITTYPE" sample="1" role="unittype">arc-second</Item>` +
		`<Item name="positive_value" sample="1">` + positive + `</Item></GDALMetadata>` + "\x00"
	fields := []field{
		{256, 3, 1, uint16(nx)}, {257, 3, 1, uint16(ny)}, {258, 3, 2, []uint16{32, 32}}, {259, 3, 1, compression}, {262, 3, 1, uint16(1)},
		{273, 4, 1, uint32(8)}, {277, 3, 1, uint16(2)}, {278, 3, 1, uint16(ny)}, {279, 4, 1, uint32(len(data))}, {284, 3, 1, uint16(1)},
		{338, 3, 1, uint16(0)}, {339, 3, 2, []uint16{3, 3}},
		{33550, 12, 3, []float64{inc, inc, 0}}, {33922, 12, 6, []float64{0, 0, 0, west, north, 0}},
		{34735, 3, 16, []uint16{1, 1, 0, 3, 1024, 0, 1, 2, 1025, 0, 1, 2, 2048, 0, 1, 4326}},
		{42112, 2, uint32(len(meta)), []byte(meta)},
	}
	if deflate {
		fields = slices.Insert(fields, 10, field{317, 3, 1, predictor})
	}
	return tiff(data, fields)
}

// field is one of a TIFF directory: its value of a type that binary.Write
// takes.
type field struct {
	tag, kind uint16
	count     uint32
	value     any
}

// tiff writes a TIFF of one directory around data at byte 8.
func tiff(data []byte, fields []field) []byte {
	var b bytes.Buffer
	at := uint32(8 + len(data))
	if at%2 == 1 {
		at++
	}
	b.WriteString("II*\x00")
	binary.Write(&b, binary.LittleEndian, at)
	b.Write(data)
	if b.Len() < int(at) {
		b.WriteByte(0)
	}
	binary.Write(&b, binary.LittleEndian, uint16(len(fields)))
	extra := at + 2 + uint32(12*len(fields)) + 4
	var tail bytes.Buffer
	for _, f := range fields {
		var v bytes.Buffer
		binary.Write(&v, binary.LittleEndian, f.value)
		binary.Write(&b, binary.LittleEndian, f.tag)
		binary.Write(&b, binary.LittleEndian, f.kind)
		binary.Write(&b, binary.LittleEndian, f.count)
		if v.Len() <= 4 {
			for v.Len() < 4 {
				v.WriteByte(0)
			}
			b.Write(v.Bytes())
			continue
		}
		binary.Write(&b, binary.LittleEndian, extra+uint32(tail.Len()))
		tail.Write(v.Bytes())
		if tail.Len()%2 == 1 {
			tail.WriteByte(0)
		}
	}
	binary.Write(&b, binary.LittleEndian, uint32(0))
	b.Write(tail.Bytes())
	return b.Bytes()
}

// compareGrid runs random points of the box through both, forward and back.
func compareGrid(t *testing.T, name string, data []byte, west, south, east, north float64, points int) {
	t.Helper()
	g, err := crs.ReadGridShift(data, name)
	if err != nil {
		t.Errorf("%s: %v", name, err)
		return
	}
	file := filepath.Join(t.TempDir(), filepath.Base(name))
	if err := os.WriteFile(file, data, 0o644); err != nil {
		t.Fatal(err)
	}
	ctx := NewContext()
	defer ctx.Close()
	op, err := ctx.New("+proj=pipeline +step +proj=unitconvert +xy_in=deg +xy_out=rad +step +proj=hgridshift +grids=" + file + " +step +proj=unitconvert +xy_in=rad +xy_out=deg")
	if err != nil {
		t.Fatal(err)
	}
	defer op.Close()
	random := rand.New(rand.NewPCG(3, 5))
	worst, worstBack, ours, skipped, unclosed := 0.0, 0.0, 0.0, 0, 0
	for range points {
		lon, lat := west+random.Float64()*(east-west), south+random.Float64()*(north-south)
		p := []float64{lon, lat}
		q := op.Run([4]float64{lon, lat, 0, math.Inf(1)}, false)
		err := g.Shift(p, 2, false)
		if err != nil || math.IsInf(q[0], 0) {
			skipped++
			if (err != nil) != math.IsInf(q[0], 0) {
				t.Errorf("%s at %v %v: ours %v, libproj %v", name, lon, lat, err, q)
				return
			}
			continue
		}
		worst = math.Max(worst, OnGround(p[0], p[1], q[0], q[1]))
		if err := g.Shift(p, 2, true); err == nil {
			ours = math.Max(ours, OnGround(p[0], p[1], lon, lat))
		}
		p = []float64{lon, lat}
		q = op.Run([4]float64{lon, lat, 0, math.Inf(1)}, true)
		if err := g.Shift(p, 2, true); err != nil || math.IsInf(q[0], 0) {
			// Near the edge of a grid one of the two may give up first.
			skipped++
			continue
		}
		if again := op.Run(q, false); OnGround(again[0], again[1], lon, lat) > 1e-4 {
			// libproj stays in the sub-grid it started in, and misses beside
			// the edge of one.
			unclosed++
			continue
		}
		worstBack = math.Max(worstBack, OnGround(p[0], p[1], q[0], q[1]))
	}
	t.Logf("%s: %d points, %d outside, %d that libproj's own inverse misses; forward %.6f mm, inverse %.6f mm, there and back %.6f mm", name, points, skipped, unclosed, worst*1e3, worstBack*1e3, ours*1e3)
	if unclosed > points/100 {
		t.Errorf("%s: libproj misses %d points", name, unclosed)
	}
	if skipped > points*2/3 {
		t.Errorf("%s: %d of %d points were outside", name, skipped, points)
	}
	if !(worst <= gridTolerance) || !(worstBack <= gridTolerance) || !(ours <= 1e-7) {
		t.Errorf("%s: too far apart", name)
	}
}

func TestGridsAgainstPROJ(t *testing.T) {
	compareGrid(t, "little.gsb", ntv2(binary.LittleEndian), 8, 50, 11, 52, 4000)
	compareGrid(t, "big.gsb", ntv2(binary.BigEndian), 8, 50, 11, 52, 4000)
	for _, c := range []struct {
		name                   string
		deflate, predict, east bool
	}{{"plain.tif", false, false, true}, {"deflate.tif", true, false, true}, {"predictor.tif", true, true, true}, {"west.tif", true, true, false}} {
		compareGrid(t, c.name, geotiff(c.deflate, c.predict, c.east), 8, 50, 11, 52, 2000)
	}
	for _, name := range gridFiles {
		data, err := os.ReadFile(filepath.Join(projFolder, name))
		if err != nil {
			t.Logf("%s is not installed", name)
			continue
		}
		g, err := crs.ReadGridShift(data, name)
		if err != nil {
			t.Errorf("%v", err)
			continue
		}
		w, s, e, n := g.Area()
		compareGrid(t, name, data, w, s, e, n, 4000)
	}
}

// LINZ prints what its grid does to two points (web page on transforming
// between NZGD1949 and NZGD2000, worked examples); the grid is in libproj's
// package.
func TestPublishedGridExamples(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(projFolder, "nzgd2kgrid0005.gsb"))
	if err != nil {
		t.Skip("nzgd2kgrid0005.gsb is not installed")
	}
	g, err := crs.ReadNTv2(data, "nzgd2kgrid0005.gsb")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ lon, lat, wantLon, wantLat float64 }{
		{174.75, -41.25, 174.75 + 0.68926/3600, -(41 + 14./60 + 53.78522/3600)},
		{170.5, -45, 170.5 + 0.32652/3600, -(44 + 59./60 + 54.10356/3600)},
	} {
		p := []float64{c.lon, c.lat}
		if err := g.Shift(p, 2, false); err != nil {
			t.Fatal(err)
		}
		if d := OnGround(p[0], p[1], c.wantLon, c.wantLat); !(d < 2e-4) {
			t.Errorf("%v %v: %.4f mm off", c.lon, c.lat, d*1e3)
		}
		if err := g.Shift(p, 2, true); err != nil || OnGround(p[0], p[1], c.lon, c.lat) > 1e-6 {
			t.Errorf("%v %v: back at %v, %v", c.lon, c.lat, p, err)
		}
	}
}
