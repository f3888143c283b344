// Tests of WKT: the forms that files hold, what is recognised, what is refused.

package crs

import (
	"math"
	"strings"
	"testing"
)

// Texts as other programs write them; the figures are the registry's.
const (
	prjUTM = `PROJCS["ETRS_1989_UTM_Zone_32N",GEOGCS["GCS_ETRS_1989",DATUM["D_ETRS_1989",SPHEROID["GRS_1980",6378137.0,298.257222101]],` +
		`PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["False_Easting",500000.0],` +
		`PARAMETER["False_Northing",0.0],PARAMETER["Central_Meridian",9.0],PARAMETER["Scale_Factor",0.9996],PARAMETER["Latitude_Of_Origin",0.0],UNIT["Meter",1.0]]`
	wkt2Site = `PROJCRS["works grid",BASEGEOGCRS["ETRS89",DATUM["European Terrestrial Reference System 1989 ensemble",ELLIPSOID["GRS 1980",6378137,298.257222101]],ID["EPSG",4258]],` +
		`CONVERSION["works",METHOD["Transverse Mercator",ID["EPSG",9807]],PARAMETER["Latitude of natural origin",56,ANGLEUNIT["degree",0.0174532925199433]],` +
		`PARAMETER["Longitude of natural origin",9.5,ANGLEUNIT["degree",0.0174532925199433]],PARAMETER["Scale factor at natural origin",1.00001,SCALEUNIT["unity",1]],` +
		`PARAMETER["False easting",10000,LENGTHUNIT["metre",1]],PARAMETER["False northing",20000,LENGTHUNIT["metre",1]]],` +
		`CS[Cartesian,2],AXIS["easting (E)",east],AXIS["northing (N)",north],LENGTHUNIT["metre",1]]`
	wkt1Paris = `PROJCS["NTF (Paris) / Lambert zone I",GEOGCS["NTF (Paris)",DATUM["Nouvelle_Triangulation_Francaise_Paris",SPHEROID["Clarke 1880 (IGN)",6378249.2,293.466021293627]],` +
		`PRIMEM["Paris",2.33722917],UNIT["grad",0.0157079632679489]],PROJECTION["Lambert_Conformal_Conic_1SP"],PARAMETER["latitude_of_origin",55],PARAMETER["central_meridian",0],` +
		`PARAMETER["scale_factor",0.999877341],PARAMETER["false_easting",600000],PARAMETER["false_northing",1200000],UNIT["metre",1],AXIS["Easting",EAST],AXIS["Northing",NORTH]]`
)

func TestWKTIsRecognised(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"a .prj file", prjUTM, "EPSG:25832"},
		{"in round brackets", strings.NewReplacer("[", "(", "]", ")").Replace(prjUTM), "EPSG:25832"},
		{"with lines and a byte-order mark", "\ufeff" + strings.ReplaceAll(prjUTM, ",", " ,\r\n\t"), "EPSG:25832"},
		{"a prime meridian and grads", wkt1Paris, "EPSG:27571"},
		{"a claimed code that is right", strings.TrimSuffix(wkt1Paris, "]") + `,AUTHORITY["EPSG","27571"]]`, "EPSG:27571"},
		{"degrees only", `GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]]`, "EPSG:4326"},
		{"with TOWGS84", `GEOGCS["DHDN",DATUM["Deutsches_Hauptdreiecksnetz",SPHEROID["Bessel 1841",6377397.155,299.1528128],TOWGS84[598.1,73.7,418.2,0.202,0.045,-2.455,6.7]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]]`, "EPSG:4314"},
		{"web Mercator of WKT 1", `PROJCS["x",GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]],PROJECTION["Mercator_1SP"],PARAMETER["central_meridian",0],PARAMETER["scale_factor",1],PARAMETER["false_easting",0],PARAMETER["false_northing",0],UNIT["metre",1],EXTENSION["PROJ4","+proj=merc +a=6378137 +b=6378137 +lat_ts=0 +lon_0=0 +x_0=0 +y_0=0 +k=1 +units=m +nadgrids=@null +wktext +no_defs"]]`, "EPSG:3857"},
		{"web Mercator of .prj files", `PROJCS["WGS_1984_Web_Mercator_Auxiliary_Sphere",GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Mercator_Auxiliary_Sphere"],PARAMETER["False_Easting",0.0],PARAMETER["False_Northing",0.0],PARAMETER["Central_Meridian",0.0],PARAMETER["Standard_Parallel_1",0.0],PARAMETER["Auxiliary_Sphere_Type",0.0],UNIT["Meter",1.0]]`, "EPSG:3857"},
		{"two standard parallels in US feet", `PROJCS["NAD_1983_StatePlane_Texas_South_Central_FIPS_4204_Feet",GEOGCS["GCS_North_American_1983",DATUM["D_North_American_1983",SPHEROID["GRS_1980",6378137.0,298.257222101]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Lambert_Conformal_Conic"],PARAMETER["False_Easting",1968500.0],PARAMETER["False_Northing",13123333.33333333],PARAMETER["Central_Meridian",-99.0],PARAMETER["Standard_Parallel_1",28.38333333333333],PARAMETER["Standard_Parallel_2",30.28333333333333],PARAMETER["Latitude_Of_Origin",27.83333333333333],UNIT["Foot_US",0.3048006096012192]]`, "EPSG:2278"},
		{"a former name on the ensemble of its frame", strings.NewReplacer("ETRS_1989_UTM_Zone_32N", "ETRS89 / TM35FIN(E,N)", `"Central_Meridian",9.0`, `"Central_Meridian",27.0`).Replace(prjUTM), "EPSG:3067"},
		{"its code on the ensemble of its frame", strings.TrimSuffix(strings.NewReplacer("ETRS_1989_UTM_Zone_32N", "x", `"Central_Meridian",9.0`, `"Central_Meridian",27.0`).Replace(prjUTM), "]") + `,AUTHORITY["EPSG","3067"]]`, "EPSG:3067"},
		{"a compound", `COMPD_CS["x",` + prjUTM + `,VERT_CS["DHHN2016",VERT_DATUM["x",2005],UNIT["metre",1]]]`, "EPSG:25832+7837"},
		{"a compound with a code of the registry", `COMPD_CS["x",PROJCS["Amersfoort / RD New",GEOGCS["Amersfoort",DATUM["Amersfoort",SPHEROID["Bessel 1841",6377397.155,299.1528128]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]],PROJECTION["Oblique_Stereographic"],PARAMETER["latitude_of_origin",52.1561605555556],PARAMETER["central_meridian",5.38763888888889],PARAMETER["scale_factor",0.9999079],PARAMETER["false_easting",155000],PARAMETER["false_northing",463000],UNIT["metre",1]],VERT_CS["NAP height",VERT_DATUM["Normaal Amsterdams Peil",2005],UNIT["metre",1]]]`, "EPSG:7415"},
		{"a vertical CRS after it", prjUTM + `,VERTCS["EVRF2007",VDATUM["x"],UNIT["Meter",1.0]]`, "EPSG:25832+5621"},
		{"heights above the ellipsoid after it", prjUTM + `,VERTCS["WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],PARAMETER["Vertical_Shift",0.0],UNIT["Meter",1.0]]`, "EPSG:25832+ellipsoidal"},
		{"heights of no registry", prjUTM + `,VERTCS["mast foot",VDATUM["x"],UNIT["Meter",1.0]]`, `EPSG:25832+"mast foot"`},
		{"a bound CRS", `BOUNDCRS[SOURCECRS[` + prjUTM + `],TARGETCRS[GEOGCRS["WGS 84"]],ABRIDGEDTRANSFORMATION["x",METHOD["Geocentric translations (geog2D domain)",ID["EPSG",9603]],PARAMETER["X-axis translation",0],PARAMETER["Y-axis translation",0],PARAMETER["Z-axis translation",0]]]`, "EPSG:25832"},
		{"geocentric", `GEOCCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563]],PRIMEM["Greenwich",0],UNIT["metre",1],AXIS["Geocentric X",OTHER],AXIS["Geocentric Y",OTHER],AXIS["Geocentric Z",NORTH]]`, "EPSG:4978"},
	} {
		got, err := Parse(c.text)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
		} else if got.ID() != c.want {
			t.Errorf("%s: %s, want %s", c.name, got.ID(), c.want)
		}
	}
}

func TestWKTNotes(t *testing.T) {
	withShift := strings.Replace(prjUTM, "298.257222101]", "298.257222101],TOWGS84[1,2,3]", 1)
	for text, want := range map[string]string{
		prjUTM:    "",
		withShift: "the text brings its own step",
		strings.Replace(prjUTM, "298.257222101]", "298.257222101],TOWGS84[0,0,0,0,0,0,0]", 1): "",
		"EPSG:25832": "",
	} {
		_, notes, err := ParseWithNotes(text)
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Join(notes, "; "); (want == "") != (got == "") || !strings.Contains(got, want) {
			t.Errorf("notes %q, want %q", got, want)
		}
	}
}

// A projection of one's own on a datum of the registry keeps the datum, and its
// ID reads back.
func TestWKTOfNoRegistry(t *testing.T) {
	c, err := Parse(wkt2Site)
	if err != nil {
		t.Fatal(err)
	}
	if c.Code() != 0 || c.BaseCode() != 4258 || c.DatumCode() != 6258 || c.Name() != "works grid" || c.UnitMetres() != 1 {
		t.Errorf("code %d, base %d, datum %d, name %q", c.Code(), c.BaseCode(), c.DatumCode(), c.Name())
	}
	p := []float64{9.5, 56}
	if err := c.FromGeodetic(p, 2); err != nil || math.Abs(p[0]-10000) > 1e-6 || math.Abs(p[1]-20000) > 1e-6 {
		t.Errorf("the origin is at %v, %v", p, err)
	}
	again, err := Parse(c.ID())
	if err != nil || !again.Equal(c) {
		t.Errorf("%s reads back as %v, %v", c.ID(), again, err)
	}
	// An unknown datum is not WGS 84.
	u, err := Parse(strings.NewReplacer("European Terrestrial Reference System 1989 ensemble", "Unknown", `BASEGEOGCRS["ETRS89"`, `BASEGEOGCRS["nobody"`, `,ID["EPSG",4258]`, "").Replace(wkt2Site))
	if err != nil {
		t.Fatal(err)
	}
	if u.DatumCode() != 0 || u.BaseCode() != 0 || u.Base().Equal(WGS84()) {
		t.Errorf("the unknown datum became %d", u.DatumCode())
	}
	if again, err := Parse(u.ID()); err != nil || !again.Equal(u) {
		t.Errorf("%s reads back as %v, %v", u.ID(), again, err)
	}
	if _, err := NewSite(SiteGrid{Origin: Geodetic{Lon: 9, Lat: 56}, Scale: 1, Base: u.Base()}); err != nil {
		t.Error(err)
	}
}

func TestWKTRefuses(t *testing.T) {
	replace := func(s, old, with string) string {
		if !strings.Contains(s, old) {
			t.Fatalf("%q is not in the text", old)
		}
		return strings.Replace(s, old, with, 1)
	}
	claims := strings.TrimSuffix(prjUTM, "]") + `,AUTHORITY["EPSG","25832"]]`
	for name, c := range map[string]struct{ text, words string }{
		"another false easting than claimed": {replace(claims, "500000.0", "600000.0"), "False easting is 600000 m in the text and 500000 m in the registry"},
		"another datum than claimed":         {replace(claims, "D_ETRS_1989", "D_North_American_1983"), "the datum is"},
		"another unit than claimed":          {replace(claims, `UNIT["Meter",1.0]`, `UNIT["Foot",0.3048]`), "the unit is 0.3048 m"},
		"another zone than claimed":          {replace(claims, "25832", "25833"), "Longitude of natural origin is 9 in the text and 15"},
		"a withdrawn code":                   {replace(claims, "25832", "31464"), "withdrawn"},
		"a geographic code":                  {replace(claims, "25832", "4258"), "no projected CRS"},
		"a datum on the wrong ellipsoid":     {replace(prjUTM, "6378137.0,298.257222101", "6377397.155,299.1528128"), "is known on the ellipsoid"},
		"an unknown method":                  {replace(prjUTM, "Transverse_Mercator", "Winkel_Tripel"), `"Winkel_Tripel" is not supported`},
		"an unknown parameter":               {replace(prjUTM, "Scale_Factor", "Scale_Fudge"), `"Scale_Fudge" is not known`},
		"a parameter of another method":      {replace(prjUTM, "Scale_Factor", "Standard_Parallel_2"), `"Standard_Parallel_2" does not belong`},
		"a parameter twice":                  {replace(prjUTM, "Latitude_Of_Origin", "Central_Meridian"), "twice"},
		"a missing parameter":                {replace(prjUTM, `PARAMETER["Central_Meridian",9.0],`, ""), `wants the parameter "central_meridian" (Longitude of natural origin)`},
		"parameters missing":                 {replace(replace(replace(prjUTM, `PARAMETER["Central_Meridian",9.0],`, ""), `PARAMETER["Scale_Factor",0.9996],`, ""), "Transverse_Mercator", "Lambert_Conformal_Conic_2SP"), `wants the parameter "central_meridian"`},
		"parameters unknown":                 {replace(replace(prjUTM, "Scale_Factor", "Scale_Fudge"), "False_Easting", "Ease"), `"Ease" is not known`},
		"parameters of another method":       {replace(replace(prjUTM, "Scale_Factor", "Standard_Parallel_2"), "False_Easting", "Azimuth"), `"Standard_Parallel_2" does not belong`},
		"no unit":                            {replace(prjUTM, `,UNIT["Meter",1.0]`, ""), "no unit of length"},
		"an angle for a length":              {replace(prjUTM, `UNIT["Meter",1.0]`, `UNIT["Degree",0.0000174]`), "none of length"},
		"no datum":                           {`GEOGCS["x",UNIT["degree",0.0174532925199433]]`, "no datum"},
		"no ellipsoid":                       {`GEOGCS["x",DATUM["y"]]`, "no ellipsoid"},
		"an ellipsoid of the moon":           {`GEOGCS["x",DATUM["y",SPHEROID["m",1737400,0]]]`, ""},
		"an ellipsoid of nothing":            {`GEOGCS["x",DATUM["y",SPHEROID["m",0,0]]]`, "no ellipsoid of the earth"},
		"not closed":                         {prjUTM[:len(prjUTM)-1], "not closed"},
		"cut in a text":                      {prjUTM[:20], "not closed"},
		"cut in a number":                    {prjUTM[:120], "not closed"},
		"text after it":                      {prjUTM + "x", "after the closing bracket"},
		"a wrong bracket":                    {replace(prjUTM, "]]", ")]"), "comma or the closing bracket"},
		"a word for a number":                {replace(prjUTM, "6378137.0", "big"), "no number in place 2"},
		"a strange number":                   {replace(prjUTM, "6378137.0", "6.3.7"), "no number"},
		"a local CRS":                        {`LOCAL_CS["x",LOCAL_DATUM["y",0],UNIT["metre",1]]`, "no CRS a plan can stand in"},
		"a vertical CRS":                     {`VERTCRS["x",VDATUM["y"],CS[vertical,1],AXIS["h",up],LENGTHUNIT["metre",1]]`, "no CRS a plan can stand in"},
		"an engineering CRS":                 {`ENGCRS["x",EDATUM["y"]]`, "no CRS a plan can stand in"},
		"a deep nest":                        {strings.Repeat("AB[", 60) + strings.Repeat("]", 60), "deeper"},
		"a long text":                        {`GEOGCS["` + strings.Repeat("x", maxWKTBytes) + `"]`, "more than"},
		"not UTF-8":                          {"GEOGCS[\"\xff\"]", "UTF-8"},
		"a flat number":                      {replace(prjUTM, "500000.0", "1e300"), "makes no sense"},
		"a cone that is none":                {replace(replace(prjUTM, "Transverse_Mercator", "Lambert_Conformal_Conic_1SP"), "0.9996", "1"), "a cone needs"},
	} {
		got, err := Parse(c.text)
		if c.words == "" {
			if err != nil {
				t.Errorf("%s: %v", name, err)
			}
			continue
		}
		if err == nil {
			t.Errorf("%s: read as %s", name, got.ID())
		} else if !strings.Contains(err.Error(), c.words) {
			t.Errorf("%s: %v; want it to say %q", name, err, c.words)
		}
		// Several faults at once are told in one order, however a map runs.
		for range 12 {
			if _, again := Parse(c.text); again == nil || err != nil && again.Error() != err.Error() {
				t.Errorf("%s: %v, then %v", name, err, again)
			}
		}
	}
}

// What the registry holds reads back from the WKT it is written as, with the
// code and, but for it, by its parameters.
func TestWKTOfTheRegistryReadsBack(t *testing.T) {
	n := 0
	for i, c := range List() {
		if i%7 != 0 {
			continue
		}
		text := c.WKT()
		if d, err := Parse(text); err != nil || d.ID() != c.ID() {
			t.Errorf("%s: %v, %v", c.ID(), d, err)
		}
		bare := text[:strings.LastIndex(text, ",ID[")] + "]"
		if d, err := Parse(bare); err != nil || d.ID() != c.ID() {
			t.Errorf("%s without its code: %v, %v", c.ID(), d, err)
		}
		n++
	}
	if n < 800 {
		t.Errorf("only %d", n)
	}
}

func FuzzWKT(f *testing.F) {
	for _, s := range []string{prjUTM, wkt2Site, wkt1Paris, `GEOGCS["x",DATUM["y",SPHEROID["m",6378137,0]]]`, `COMPD_CS["x",` + prjUTM + `]`,
		`BOUNDCRS[SOURCECRS[` + prjUTM + `]]`, `GEODCRS["a",DATUM["b",ELLIPSOID["c",6378137,298]],CS[Cartesian,3]]`, "A[", `A["`, `A["""",1,B[C,-1e-9]]`, "A(1)"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if !looksLikeWKT(s) {
			return
		}
		c, _, err := fromWKT(s)
		if err != nil {
			return
		}
		again, err := Parse(c.ID())
		if err != nil {
			t.Fatalf("%q became %q, which does not read back: %v", s, c.ID(), err)
		}
		if again.ID() != c.ID() {
			t.Fatalf("%q became %q, which reads back as %q", s, c.ID(), again.ID())
		}
		p := []float64{10, 50, 100}
		if c.FromGeodetic(p, 3) == nil && (p[0]-p[0] != 0 || p[1]-p[1] != 0) {
			t.Fatalf("%q gave %v", s, p)
		}
	})
}

func TestLabel(t *testing.T) {
	own := mustParse(t, "+proj=tmerc +lon_0=9.1 +k=1 +ellps=intl +units=m")
	for _, c := range []struct {
		crs  *CRS
		want string
	}{{mustParse(t, "EPSG:25832"), "EPSG:25832"}, {WGS84(), "OGC:CRS84"}, {own, `"unknown" as its text states it`}} {
		if got := c.crs.Label(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
