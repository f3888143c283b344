// Tests of the catalogue: what it holds, that all of it works, that it stays
// small.

package crs

import (
	"math"
	"slices"
	"strings"
	"testing"
)

func TestCatalogueHoldsTheRegistry(t *testing.T) {
	version, date := RegistryVersion()
	if version == "" || date == "" {
		t.Errorf("version %q of %q", version, date)
	}
	pt := projectedTable()
	g := geodeticTables()
	if !slices.IsSorted(pt.codes) || !slices.IsSorted(g.codes) {
		t.Error("codes are not sorted")
	}
	for _, x := range []codeIndex{conversionTable(), extentTable(), deprecatedTable(), otherTable(), methodTable(), parameterTable()} {
		if len(x.codes) == 0 || !slices.IsSorted(x.codes) {
			t.Errorf("a table of %d codes from %d is empty or not sorted", len(x.codes), x.codes[:1])
		}
	}
	works := 0
	for _, code := range pt.codes {
		if _, err := epsgCRS(int(code)); err != nil {
			t.Log(err)
			continue
		}
		works++
	}
	t.Logf("EPSG %s: %d of %d projected CRSs, %d geographic and geocentric", version, works, len(pt.codes), len(g.codes))
	if works < 5346 || works != len(pt.codes) {
		t.Errorf("only %d of %d projected CRSs work", works, len(pt.codes))
	}
	for _, code := range g.codes {
		if _, err := epsgCRS(code); err != nil {
			t.Error(err)
		}
	}
	if len(g.codes) < 900 {
		t.Errorf("only %d geographic and geocentric CRSs", len(g.codes))
	}
}

func TestWorldIsTheTables(t *testing.T) {
	table := extentTable()
	f := table.line(integer(worldCode))
	if f == nil {
		t.Fatalf("no extent %s", worldCode)
	}
	want := areaBox{num(f[1]), num(f[2]), num(f[3]), num(f[4]), f[5]}
	if got := extentsOf(worldCode); len(got) != 1 || got[0] != want {
		t.Errorf("got %v, want %v", got, want)
	}
}

func TestCatalogueIsSmall(t *testing.T) {
	total := int64(0)
	files, err := epsgFiles.ReadDir("epsg")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		info, err := f.Info()
		if err != nil {
			t.Fatal(err)
		}
		total += info.Size()
	}
	if total == 0 || total > 400_000 {
		t.Errorf("the embedded tables take %d bytes", total)
	}
}

// Every CRS takes points of its own area of use there and back within 0.01 mm,
// and gives them a unit, axes and an area.
func TestEveryCRSThereAndBack(t *testing.T) {
	points := 0
	for _, c := range List() {
		w, s, e, n, ok := c.Area()
		if !ok {
			t.Errorf("%s has no area of use", c.ID())
			continue
		}
		if w > e {
			e += 360
		}
		if len(c.Axes()) < 2 || c.Name() == "" || c.Datum() == "" || c.AreaName() == "" {
			t.Errorf("%s: axes %v, name %q, datum %q, area %q", c.ID(), c.Axes(), c.Name(), c.Datum(), c.AreaName())
		}
		if (c.UnitMetres() == 0) != (c.Kind() == KindGeographic) || (c.UnitDegrees() == 0) != (c.Kind() != KindGeographic) {
			t.Errorf("%s: unit %g m, %g degrees", c.ID(), c.UnitMetres(), c.UnitDegrees())
		}
		var geo []float64
		for k := range 9 {
			geo = append(geo, wrap180(w+(e-w)*(0.02+0.48*float64(k%3))), s+(n-s)*(0.02+0.48*float64(k/3)), float64(100*k))
		}
		p := append([]float64(nil), geo...)
		if err := c.FromGeodetic(p, 3); err != nil {
			t.Error(err)
			continue
		}
		official := append([]float64(nil), p...)
		if err := c.ToOfficial(official, 3); err != nil {
			t.Error(err)
		}
		if err := c.FromOfficial(official, 3); err != nil || !slices.Equal(official, p) {
			t.Errorf("%s: official axes there and back: %v, %v", c.ID(), official[:3], p[:3])
		}
		if err := c.ToGeodetic(p, 3); err != nil {
			t.Error(err)
			continue
		}
		for i := 0; i < len(p); i += 3 {
			d := vectorDifference(p[i:i+3], geo[i:i+3], true, 0)
			if !(d < 1e-5) {
				t.Errorf("%s: there and back at %v leaves %g m", c.ID(), geo[i:i+3], d)
				break
			}
			points++
		}
	}
	if points < 50_000 {
		t.Errorf("only %d points", points)
	}
}

func TestRegistryUnits(t *testing.T) {
	g := geodeticTables()
	for code, want := range exactFactor() {
		for line := range strings.Lines(openTable("geodetic")) {
			f := strings.Split(strings.TrimSpace(line), "\t")
			if f[0] == "U" && integer(f[1]) == code {
				if got := num(f[4]); math.Abs(got/want-1) > 1e-11 {
					t.Errorf("unit %d: the registry has %v, the definition %v", code, got, want)
				}
			}
		}
		if g.units[code].factor != want {
			t.Errorf("unit %d is not exact", code)
		}
	}
	for code, want := range map[string]float64{"EPSG:2236": 1200. / 3937, "EPSG:2222": 0.3048, "EPSG:2066": 0.201166195164, "EPSG:22300": 1000, "EPSG:29371": 1.0000135965, "EPSG:3139": 0.201168} {
		c, err := Parse(code)
		if err != nil {
			t.Error(err)
		} else if c.UnitMetres() != want {
			t.Errorf("%s: one unit is %v m, want %v", code, c.UnitMetres(), want)
		}
	}
}

func TestSexagesimal(t *testing.T) {
	for in, want := range map[string]float64{
		"49.0": 49, "-2.0": -2, "50.4752134": 50 + 47./60 + 52.134/3600, "-0.3": -0.5, "2.3": 2.5, "36.02": 36 + 2./60,
		"-71.3620224": -(71 + 36./60 + 20.224/3600), "1.000001": 1 + 0.01/3600,
	} {
		if got := sexagesimal(in); math.Abs(got-want) > 1e-14*math.Abs(want)+1e-16 {
			t.Errorf("%s: %.17g, want %.17g", in, got, want)
		}
	}
}

func TestCRSFacts(t *testing.T) {
	for _, c := range []struct {
		id, name, datum, axes string
		kind                  Kind
		base                  int
		north                 bool
	}{
		{"EPSG:25832", "ETRS89 / UTM zone 32N", "European Terrestrial Reference System 1989 ensemble", "E east, N north", KindProjected, 4258, false},
		{"EPSG:27700", "OSGB36 / British National Grid", "Ordnance Survey of Great Britain 1936", "E east, N north", KindProjected, 4277, false},
		{"EPSG:2193", "NZGD2000 / New Zealand Transverse Mercator 2000", "New Zealand Geodetic Datum 2000", "N north, E east", KindProjected, 4167, true},
		{"EPSG:3035", "ETRS89-extended / LAEA Europe", "European Terrestrial Reference System 1989 ensemble", "Y north, X east", KindProjected, 4258, true},
		{"EPSG:2053", "Hartebeesthoek94 / Lo29", "Hartebeesthoek94", "Y west, X south", KindProjected, 4148, false},
		{"EPSG:5513", "S-JTSK / Krovak", "System of the Unified Trigonometrical Cadastral Network", "X south, Y west", KindProjected, 4156, true},
		{"EPSG:4326", "WGS 84", "World Geodetic System 1984 ensemble", "Lat north, Lon east", KindGeographic, 4326, true},
		{"EPSG:4979", "WGS 84", "World Geodetic System 1984 ensemble", "Lat north, Lon east, h up", KindGeographic, 4979, true},
		{"EPSG:4978", "WGS 84", "World Geodetic System 1984 ensemble", "X geocentricX, Y geocentricY, Z geocentricZ", KindGeocentric, 4978, false},
		{"OGC:CRS84", "WGS 84 (longitude, latitude)", "World Geodetic System 1984 ensemble", "Lon east, Lat north", KindGeographic, 4326, false},
	} {
		got, err := Parse(c.id)
		if err != nil {
			t.Error(err)
			continue
		}
		var axes []string
		for _, a := range got.Axes() {
			axes = append(axes, a.Abbreviation+" "+a.Direction)
		}
		if got.Name() != c.name || got.Datum() != c.datum || got.Kind() != c.kind || got.BaseCode() != c.base || got.NorthFirst() != c.north || strings.Join(axes, ", ") != c.axes {
			t.Errorf("%s: %q, datum %q, kind %d, base %d, north first %v, axes %q", c.id, got.Name(), got.Datum(), got.Kind(), got.BaseCode(), got.NorthFirst(), axes)
		}
	}
}

// Coordinates on official axes that run west and south come out east and north.
func TestOfficialAxes(t *testing.T) {
	for _, c := range []struct {
		id       string
		official [2]float64
		want     [2]float64
	}{
		{"EPSG:2193", [2]float64{5_460_000, 1_515_000}, [2]float64{1_515_000, 5_460_000}},
		{"EPSG:2053", [2]float64{60_000, 2_900_000}, [2]float64{-60_000, -2_900_000}},
		{"EPSG:5513", [2]float64{1_050_000, 569_000}, [2]float64{-569_000, -1_050_000}},
		{"EPSG:5514", [2]float64{-569_000, -1_050_000}, [2]float64{-569_000, -1_050_000}},
		{"EPSG:4326", [2]float64{56, 9}, [2]float64{9, 56}},
		{"EPSG:3413", [2]float64{1, 2}, [2]float64{1, 2}},
	} {
		s, err := Parse(c.id)
		if err != nil {
			t.Fatal(err)
		}
		p := []float64{c.official[0], c.official[1]}
		if err := s.FromOfficial(p, 2); err != nil || p[0] != c.want[0] || p[1] != c.want[1] {
			t.Errorf("%s: %v came in as %v, want %v (%v)", c.id, c.official, p, c.want, err)
		}
	}
}

func TestPrimeMeridians(t *testing.T) {
	// A point of Paris in grads from Paris and in degrees from Greenwich.
	paris, err := Parse("EPSG:4807")
	if err != nil {
		t.Fatal(err)
	}
	p := []float64{0, 54}
	if err := paris.ToGeodetic(p, 2); err != nil {
		t.Fatal(err)
	}
	if math.Abs(p[0]-(2+20./60+14.025/3600)) > 1e-12 || math.Abs(p[1]-48.6) > 1e-12 {
		t.Errorf("0, 54 grads of Paris is %v", p)
	}
	pm, name := paris.PrimeMeridian()
	if name != "Paris" || pm == 0 || paris.UnitDegrees() != 0.9 || !paris.IsDegrees() {
		t.Errorf("prime meridian %v %q, unit %v", pm, name, paris.UnitDegrees())
	}
}

func BenchmarkFirstCRS(b *testing.B) {
	for b.Loop() {
		g := openTable("geodetic")
		p := indexTable(openTable("projected"), "")
		c := indexTable(openTable("conversions"), "V\t")
		if len(g) == 0 || p.line(25832) == nil || c.line(16032) == nil {
			b.Fatal("not there")
		}
	}
}
