// Heights: references read, kept and never mixed, and the steps between them on
// grids whose values are a closed formula.

package crs

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"swardline/testdata/gridfile"
)

// makeGTX writes a grid of heights; a NaN is a node without a value.
func makeGTX(west, south, step float64, nx, ny int, value func(lon, lat float64) float64) []byte {
	return gridfile.GTX(west, south, step, nx, ny, func(i, j int) float64 { return value(west+float64(i)*step, south+float64(j)*step) })
}

// slope is a geoid that bilinear interpolation gives exactly.
func slope(lon, lat float64) float64 { return 40 + 0.5*(lon-5) + 0.25*(lat-52) }

func heightAids(t testing.TB, names ...string) Aids {
	t.Helper()
	var a Aids
	for _, name := range names {
		data := makeGTX(0, 45, 0.5, 41, 31, slope)
		if strings.HasSuffix(name, ".tif") {
			data = tiffHeights("VERTICAL_OFFSET_GEOGRAPHIC_TO_VERTICAL")
		}
		if err := a.Read(data, name); err != nil {
			t.Fatal(err)
		}
	}
	return a
}

// tiffHeights is the same grid as a Geodetic TIFF Grid.
func tiffHeights(kind string) []byte {
	const nx, ny, step = 41, 31, 0.5
	var data []byte
	for j := ny - 1; j >= 0; j-- {
		for i := range nx {
			data = binary.LittleEndian.AppendUint32(data, math.Float32bits(float32(slope(float64(i)*step, 45+float64(j)*step))))
		}
	}
	return makeTIFF(data, map[uint16]any{
		tagWidth: []uint16{nx}, tagLength: []uint16{ny}, tagBits: []uint16{32}, tagCompression: []uint16{1}, tagStripOffsets: []uint32{8}, tagSamples: []uint16{1},
		tagRows: []uint16{ny}, tagStripBytes: []uint32{uint32(len(data))}, tagPlanar: []uint16{1}, tagSampleFormat: []uint16{3}, tagPixelScale: []float64{step, step, 0},
		tagTie: []float64{0, 0, 0, 0, 45 + (ny-1)*step, 0}, tagGeoKeys: []uint16{1, 1, 0, 1, 1025, 0, 1, 2},
		tagMetadata: []byte(`<GDALMetadata><Item name="TYPE">` + kind + `</Item><Item name="DESCRIPTION" sample="0" role="description">geoid_undulation</Item></GDALMetadata>` + "\x00"),
	})
}

// The boxes of areas of use are the registry's: DHHN2016 (extent 1103) ends at 47.27 N
// and 15.04 E, NAVD88 (4161) runs from 172.42 E over the antimeridian to 66.91 W.
func TestAreasOfHeights(t *testing.T) {
	for _, c := range []struct {
		heights          string
		lon, lat, beside Degrees
		near             bool
	}{
		{"EPSG:7837", 9, 50, 0, true}, {"EPSG:7837", 9, 47.28, 0, true}, {"EPSG:7837", 9, 47.26, 0, false}, {"EPSG:7837", 9, 46.28, 1, true}, {"EPSG:7837", 9, 46.26, 1, false},
		{"EPSG:7837", 16.03, 50, 1, true}, {"EPSG:7837", 16.05, 50, 1, false}, {"EPSG:7837", 150, -35, 1, false},
		{"EPSG:5703", -66.92, 45, 0, true}, {"EPSG:5703", -66.9, 45, 0, false}, {"EPSG:5703", 172.43, 53, 0, true}, {"EPSG:5703", 172.41, 53, 0, false}, {"EPSG:5703", 171.43, 53, 1, true}, {"EPSG:5703", 171.41, 53, 1, false}, {"EPSG:5703", -180, 53, 0, true}, {"EPSG:5703", 9, 50, 1, false},
		{"NAVD88 height", 9, 50, 1, false}, {"\"NAVD88 height\"", 9, 50, 1, false},
		{"EPSG:3855", 179, -89, 1, true}, {"EPSG:3855", -179, -89, 0, true}, {"\"mast foot\"", 9, 50, 0, true}, {"ellipsoidal", 9, 50, 0, true},
	} {
		h, err := ParseHeights(c.heights)
		if err != nil {
			t.Fatal(err)
		}
		if h.NearArea(c.lon, c.lat, c.beside) != c.near {
			t.Errorf("%s at %v E %v N, %v beside: %v, want %v", c.heights, c.lon, c.lat, c.beside, !c.near, c.near)
		}
	}
	if h, _ := ParseHeights("EPSG:7837"); h.AreaName() != "Germany" || Ellipsoidal.AreaName() != "" || !(Heights{}).NearArea(0, 0, 0) {
		t.Errorf("the area of DHHN2016 is %q", h.AreaName())
	}
}

func TestReferencesOfHeights(t *testing.T) {
	for _, c := range []struct{ text, id, heights string }{
		{"EPSG:7415", "EPSG:7415", "NAP height"},
		{"EPSG:28992+5709", "EPSG:7415", "NAP height"},
		{"EPSG:25832+7837", "EPSG:25832+7837", "DHHN2016 height"},
		{"OGC:CRS84+5773", "OGC:CRS84+5773", "EGM96 height"},
		{"EPSG:4979", "EPSG:4979", "ellipsoidal heights"},
		{"EPSG:4326", "EPSG:4326", "heights whose reference is not told"},
		{"EPSG:25832+ellipsoidal", "EPSG:25832+ellipsoidal", "ellipsoidal heights"},
		{"EPSG:25832+NAP height", "EPSG:25832+5709", "NAP height"},
		{"site:lat=52;lon=9", mustParse(t, "site:lat=52;lon=9").ID(), "ellipsoidal heights"},
	} {
		got, err := Parse(c.text)
		if err != nil {
			t.Errorf("%s: %v", c.text, err)
			continue
		}
		if got.ID() != c.id || got.Heights().Name() != c.heights {
			t.Errorf("%s is %s with %s, want %s with %s", c.text, got.ID(), got.Heights().Name(), c.id, c.heights)
		}
		if again := mustParse(t, got.ID()); !again.Equal(got) || !again.Heights().Same(got.Heights()) {
			t.Errorf("%s reads back as %s", got.ID(), again.ID())
		}
	}
	for _, bad := range []string{"EPSG:25832+25832", "EPSG:25832+", "EPSG:4979+5773", "EPSG:25832+nowhere", "EPSG:99+5773"} {
		if c, err := Parse(bad); err == nil {
			t.Errorf("%s was read as %s", bad, c.ID())
		}
	}
	custom := `PROJCS["mine",GEOGCS["ETRS89",DATUM["European_Terrestrial_Reference_System_1989",SPHEROID["GRS 1980",6378137,298.257222101]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["latitude_of_origin",0],PARAMETER["central_meridian",9.25],PARAMETER["scale_factor",1],PARAMETER["false_easting",1],PARAMETER["false_northing",2],UNIT["metre",1]]`
	c := mustParse(t, `COMPD_CS["x",`+custom+`,VERT_CS["DHHN2016 height",VERT_DATUM["x",2005],UNIT["metre",1]]]`)
	if again := mustParse(t, c.ID()); c.Heights().ID() != "EPSG:7837" || !again.Equal(c) {
		t.Errorf("%s reads back as %s", c.ID(), again.ID())
	}
}

// Every way between two references, each against the closed formula: H = h - N.
func TestHeightSteps(t *testing.T) {
	const lon, lat, h = 9.0, 52.0, 100.0
	n := slope(lon, lat)
	gcg := heightAids(t, "de_bkg_gcg2016.tif") // EPSG: ETRS89 to DHHN2016 height
	both := heightAids(t, "de_bkg_gcg2016.tif", "egm96_15.gtx")
	for _, c := range []struct {
		name     string
		from, to string
		with     Aids
		want     float64
		exact    bool // within the ETRS89 ensemble, not through the 2 m of WGS 84
	}{
		{"to the ellipsoid", "EPSG:25832+7837", "EPSG:4937", gcg, h + n, true},
		{"off the ellipsoid", "EPSG:4937", "EPSG:25832+7837", gcg, h - n, true},
		{"the same reference", "EPSG:25832+7837", "EPSG:4258+7837", Aids{}, h, true},
		{"reference not asked for", "EPSG:25832+7837", "EPSG:4258", Aids{}, h, true},
		{"one geoid off, another on", "EPSG:25832+7837", "EPSG:4258+5773", both, h, true},
		{"to a site grid", "EPSG:25832+7837", "site:lat=52;lon=9;base=EPSG:4258", gcg, h + n, true},
		{"metres to feet of one datum", "EPSG:4269+5703", "EPSG:4269+6360", Aids{}, h / (1200.0 / 3937), false},
	} {
		t.Run(c.name, func(t *testing.T) {
			from, to := mustParse(t, c.from), mustParse(t, c.to)
			flat := []float64{lon, lat, h}
			if err := from.FromGeodetic(flat, 3); err != nil {
				t.Fatal(err)
			}
			flat[2] = h
			op, err := NewOperation(from, to, Allowed{Accuracy: 3}, At(lon, lat), Epochs{}, c.with)
			if err != nil {
				t.Fatal(err)
			}
			start := append([]float64(nil), flat...)
			if err := op.Apply(flat, 3); err != nil {
				t.Fatal(err)
			}
			if math.Abs(flat[2]-c.want) > 2e-6 {
				t.Errorf("height %.6f, want %.6f", flat[2], c.want)
			}
			back, err := NewOperation(to, from, Allowed{Accuracy: 3}, At(lon, lat), Epochs{}, c.with)
			if c.name == "reference not asked for" {
				var untold *HeightError
				if !errors.As(err, &untold) || untold.Answer() != AnswerHeights {
					t.Errorf("heights of no reference became %s: %v", c.from, err)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if err := back.Apply(flat, 3); err != nil {
				t.Fatal(err)
			}
			for i := range flat {
				if math.Abs(flat[i]-start[i]) > 1e-6 {
					t.Errorf("back at %v from %v", flat, start)
				}
			}
			none := []float64{start[0], start[1], math.NaN()}
			if err := op.Apply(none, 3); err != nil || none[2] == none[2] {
				t.Errorf("an absent height became %v, %v", none[2], err)
			}
		})
	}
	// Amersfoort is not the geoid's datum: the model is looked up on ETRS89, at
	// the other end.
	op, err := NewOperation(mustParse(t, "EPSG:7415"), mustParse(t, "EPSG:4937"), Allowed{Accuracy: 1}, At(5.39, 52.16), Epochs{}, heightAids(t, "nlgeo2018.gtx"))
	if err != nil {
		t.Fatal(err)
	}
	flat := []float64{155000, 463000, 10}
	if err := op.Apply(flat, 3); err != nil || math.Abs(flat[2]-10-slope(flat[0], flat[1])) > 2e-6 {
		t.Errorf("%v %v", flat, err)
	}
	if a, known := op.Accuracy(); !known || math.Abs(float64(a)-0.251) > 1e-9 {
		t.Errorf("accuracy %v, want that of the datum step, 0.25 m, and of the geoid, 0.001 m", a)
	}
}

func TestHeightsAreNotMixed(t *testing.T) {
	ask := func(from, to string, allow Allowed, with Aids) error {
		_, err := NewOperation(mustParse(t, from), mustParse(t, to), allow, At(9, 52), Epochs{}, with)
		return err
	}
	var no *HeightError
	for _, c := range [][2]string{{"EPSG:25832+7837", "EPSG:4937"}, {"EPSG:4937", "EPSG:25832+7837"}, {"EPSG:25832+7837", "EPSG:4258+5773"}, {"EPSG:4258", "EPSG:25832+7837"}, {"EPSG:25832+7837", "site:lat=52;lon=9;base=EPSG:4258"}} {
		if err := ask(c[0], c[1], Allowed{Accuracy: AnyAccuracy, Unknown: true}, Aids{}); !errors.As(err, &no) {
			t.Errorf("%s to %s: %v", c[0], c[1], err)
		}
	}
	if err := ask("EPSG:25832+7837", "EPSG:4937", Allowed{Accuracy: 5}, Aids{}); !errors.As(err, &no) || no.Answer() != AnswerGrid || !strings.Contains(err.Error(), "de_bkg_gcg2016.tif") {
		t.Errorf("the file is not named: %v", err)
	}
	// A file that the registry does not name: at the user's word, its accuracy
	// unknown.
	mine := heightAids(t, "my_geoid.gtx")
	var unknown *NoStepError
	if err := ask("EPSG:25832+7837", "EPSG:4937", Allowed{Accuracy: 5}, mine); !errors.As(err, &unknown) || unknown.Answer() != AnswerUnknown {
		t.Errorf("a geoid model of unknown accuracy: %v", err)
	}
	if err := ask("EPSG:25832+7837", "EPSG:4937", Allowed{Accuracy: 5, Unknown: true}, mine); err != nil {
		t.Errorf("a geoid model of unknown accuracy that is allowed: %v", err)
	}
	// EGM96 is stated at 1 m.
	var worse *AccuracyError
	if err := ask("OGC:CRS84+5773", "EPSG:4979", Allowed{Accuracy: 0.05}, heightAids(t, "egm96_15.gtx")); !errors.As(err, &worse) || worse.Accuracy != 1 {
		t.Errorf("EGM96 for centimetres: %v", err)
	}
	op, err := NewOperation(mustParse(t, "EPSG:25832+7837"), mustParse(t, "EPSG:4937"), Allowed{Accuracy: 5}, At(9, 52), Epochs{}, heightAids(t, "de_bkg_gcg2016.tif"))
	if err != nil {
		t.Fatal(err)
	}
	far := []float64{500000, 9e6, 1}
	var off *PointError
	if err := op.Apply(far, 3); !errors.As(err, &off) || !strings.Contains(err.Error(), "outside the grid de_bkg_gcg2016.tif") {
		t.Errorf("past the grid: %v", err)
	}
}

func TestHeightGrid(t *testing.T) {
	holes := func(lon, lat float64) float64 {
		if lon == 1 && lat == 46 {
			return math.NaN()
		}
		return slope(lon, lat)
	}
	g, err := ReadHeightGrid(makeGTX(0, 45, 1, 4, 4, holes), "dir/holes.gtx")
	if err != nil || g.Name() != "holes.gtx" {
		t.Fatal(g, err)
	}
	for _, c := range []struct {
		lon, lat float64
		want     float64
		fault    string
	}{
		{2.5, 47.5, slope(2.5, 47.5), ""}, {0, 45, slope(0, 45), ""}, {3, 48, slope(3, 48), ""}, {362.5, 47.5, slope(2.5, 47.5), ""},
		// Of three nodes the mean by their weights, a quarter each here.
		{0.5, 45.5, (slope(0, 45) + slope(1, 45) + slope(0, 46)) / 3, ""},
		{1, 46, 0, "has no values"}, {3.1, 47, 0, "outside the grid"}, {2, 44.9, 0, "outside the grid"}, {math.NaN(), 46, 0, "outside the grid"},
	} {
		v, err := g.At(c.lon, c.lat)
		if c.fault == "" && (err != nil || math.Abs(v-c.want) > 2e-6) || c.fault != "" && (err == nil || !strings.Contains(err.Error(), c.fault)) {
			t.Errorf("at %v, %v: %v, %v; want %v %s", c.lat, c.lon, v, err, c.want, c.fault)
		}
	}
	// A grid round the earth has no seam.
	globe, err := ReadHeightGrid(makeGTX(-180, -90, 10, 36, 19, func(lon, lat float64) float64 { return 10 * math.Cos(lon*radPerDeg) }), "globe.gtx")
	if err != nil {
		t.Fatal(err)
	}
	west, _ := globe.At(-180, 0)
	for _, lon := range []float64{179.999999, 180, 540, -180} {
		if v, err := globe.At(lon, 0); err != nil || math.Abs(v-west) > 1e-5 {
			t.Errorf("at %v: %v %v, %v on the other side", lon, v, err, west)
		}
	}
	if v, err := globe.At(175, 0); err != nil || math.Abs(v-(10*math.Cos(170*radPerDeg)-10)/2) > 2e-6 {
		t.Errorf("across the seam %v %v", v, err)
	}
	tif, err := ReadHeightGrid(tiffHeights("VERTICAL_OFFSET_GEOGRAPHIC_TO_VERTICAL"), "x.tif")
	if err != nil {
		t.Fatal(err)
	}
	if v, err := tif.At(7.3, 50.2); err != nil || math.Abs(v-slope(7.3, 50.2)) > 4e-6 {
		t.Errorf("GeoTIFF: %v %v", v, err)
	}
	good := makeGTX(0, 45, 1, 4, 4, slope)
	for name, data := range map[string][]byte{
		"cut": good[:50], "short": good[:30], "of nothing": nil, "long": append(append([]byte(nil), good...), 0),
		"of no geoid": makeGTX(0, 45, 1, 4, 4, func(_, _ float64) float64 { return 1e6 }), "backwards": makeGTX(0, 45, -1, 4, 4, slope),
		"horizontal": tiffHeights("HORIZONTAL_OFFSET"),
	} {
		if _, err := ReadHeightGrid(data, "x"); err == nil {
			t.Errorf("a file %s was read", name)
		}
	}
	var a Aids
	if err := a.Read(tiffHeights("VERTICAL_OFFSET_GEOGRAPHIC_TO_VERTICAL"), "mine.tif"); err != nil || len(a.HeightGrids) != 1 || len(a.Grids) != 0 {
		t.Errorf("a geoid model in a TIFF: %v %+v", err, a)
	}
}

func FuzzHeightGrid(f *testing.F) {
	f.Add(makeGTX(0, 45, 1, 4, 4, slope))
	f.Add(tiffHeights("VERTICAL_OFFSET_GEOGRAPHIC_TO_VERTICAL"))
	f.Add([]byte("II*\x00"))
	f.Fuzz(func(t *testing.T, data []byte) {
		g, err := ReadHeightGrid(data, "x")
		if err != nil {
			return
		}
		s := g.sheets[0]
		if v, err := g.At((s.west+s.east)/2, (s.south+s.north)/2); err == nil && math.IsInf(v, 0) {
			t.Errorf("%v", fmt.Sprint(v))
		}
	})
}

// Ellipsoidal heights beside a grid change with the frame as those of three
// dimensions do; beside an old datum they stay the receiver's.
func TestEllipsoidalHeightsBesideAGrid(t *testing.T) {
	run := func(from, to string, p []float64) float64 {
		t.Helper()
		op, err := NewOperation(mustParse(t, from), mustParse(t, to), Allowed{Accuracy: AnyAccuracy}, At(145, -37), Epochs{}, Aids{})
		if err != nil {
			t.Fatal(err)
		}
		if err := op.Apply(p, 3); err != nil {
			t.Fatal(err)
		}
		return p[2]
	}
	// GDA94 to GDA2020, EPSG:8048.
	plain := run("EPSG:4939", "EPSG:7843", []float64{145, -37, 100})
	if math.Abs(plain-100) < 0.05 {
		t.Errorf("GDA94 to GDA2020 leaves a height at %v", plain)
	}
	for _, c := range []string{"EPSG:4939", "EPSG:4283+ellipsoidal"} {
		if h := run(c, "EPSG:7855+ellipsoidal", []float64{145, -37, 100}); math.Abs(h-plain) > 1e-9 {
			t.Errorf("%s to a grid: %v, want %v", c, h, plain)
		}
	}
	grid := []float64{145, -37}
	if err := mustParse(t, "EPSG:28355").FromGeodetic(grid, 2); err != nil {
		t.Fatal(err)
	}
	if h := run("EPSG:28355+ellipsoidal", "EPSG:7855+ellipsoidal", []float64{grid[0], grid[1], 100}); math.Abs(h-plain) > 1e-8 {
		t.Errorf("grid to grid: %v, want %v", h, plain)
	}
	// AGD66 is an old datum.
	if h := run("EPSG:4939", "EPSG:4202+ellipsoidal", []float64{145, -37, 100}); h != 100 {
		t.Errorf("beside AGD66 a receiver's height became %v", h)
	}
}
