// Tests of what people call a CRS: names, PROJ strings, PROJJSON, UTF-16.

package crs

import (
	"errors"
	"strings"
	"testing"
	"unicode/utf16"
)

func TestNamesThatAreTaken(t *testing.T) {
	for in, want := range map[string]string{
		"25832":                               "EPSG:25832",
		"epsg 25832":                          "EPSG:25832",
		"EPSG25832":                           "EPSG:25832",
		"epsg-4326":                           "EPSG:4326",
		"NZTM":                                "EPSG:2193",
		"nztm2000":                            "EPSG:2193",
		"British National Grid":               "EPSG:27700",
		"british_national_grid":               "EPSG:27700",
		"OSGB 1936 / British National Grid":   "EPSG:27700",
		"Lambert-93":                          "EPSG:2154",
		"RGF93 v2b / Lambert-93":              "EPSG:9794",
		"GDA2020 / MGA zone 56":               "EPSG:7856",
		"gda2020 mga zone 56":                 "EPSG:7856",
		"WGS84":                               "OGC:CRS84",
		"wgs 84":                              "OGC:CRS84",
		"CRS84":                               "OGC:CRS84",
		"ETRS89":                              "EPSG:4258",
		"NAD83(2011)":                         "EPSG:6318",
		"etrs89 utm 32n":                      "EPSG:25832",
		"WGS84 UTM 33 S":                      "EPSG:32733",
		"ETRS89 / UTM zone 32N":               "EPSG:25832",
		"ETRS89 / UTM zone 32N (N-E)":         "EPSG:3044",
		"RD New":                              "EPSG:28992",
		"LV95":                                "EPSG:2056",
		"Web Mercator":                        "EPSG:3857",
		"SWEREF99 TM":                         "EPSG:3006",
		"ESRI:102100":                         "EPSG:3857",
		"esri 102110":                         "EPSG:2154",
		"ESRI:25832":                          "EPSG:25832",
		"RGF_1993_Lambert_93":                 "EPSG:2154",
		"ETRS89 / GK31FIN":                    "EPSG:3885",
		"NAD83(CSRS) / Quebec Lambert":        "EPSG:6622",
		"Hartebeesthoek94 / Lo29":             "EPSG:2053",
		"+init=epsg:25832":                    "EPSG:25832",
		"+init=epsg:25832 +no_defs":           "EPSG:25832",
		"+init=epsg:25832 +no_defs +type=crs": "EPSG:25832",
		"+proj=longlat +datum=WGS84 +no_defs": "EPSG:4326",
		"+proj=utm +zone=32 +datum=WGS84":     "EPSG:32632",
		"+proj=utm +zone=33 +south +datum=WGS84 +units=m +no_defs +type=crs":                                               "EPSG:32733",
		"+proj=merc +a=6378137 +b=6378137 +lat_ts=0 +lon_0=0 +x_0=0 +y_0=0 +k=1 +units=m +nadgrids=@null +wktext +no_defs": "EPSG:3857",
		"+proj=tmerc +lat_0=49 +lon_0=-2 +k=0.9996012717 +x_0=400000 +y_0=-100000 +datum=OSGB36 +units=m":                  "EPSG:27700",
		"+proj=geocent +datum=WGS84 +units=m":                                                                              "EPSG:4978",
	} {
		c, notes, err := ParseWithNotes(in)
		if err != nil {
			t.Errorf("%q: %v", in, err)
			continue
		}
		if c.ID() != want {
			t.Errorf("%q is %s, want %s", in, c.ID(), want)
		}
		if !strings.HasPrefix(in, "+") && !strings.Contains(strings.Join(notes, " "), "is taken for "+want) {
			t.Errorf("%q: the notes %q do not say what was taken", in, notes)
		}
	}
}

func TestNamesThatFitSeveral(t *testing.T) {
	for in, want := range map[string][]string{
		"utm 32n":      {"EPSG:25832", "EPSG:32632", "say which"},
		"UTM32":        {"EPSG:25832", "EPSG:32632", "EPSG:32732"},
		"MGA zone 56":  {"EPSG:7856", "EPSG:28356", "say which"},
		"Lambert":      {"say which"},
		"Krovak":       {"EPSG:5513"},
		"British Nat":  {"near it are"},
		"lambertt-93":  nil,
		"UTM zone 61N": {"zones 1 to 60"},
	} {
		c, err := Parse(in)
		if err == nil {
			t.Errorf("%q was taken for %s", in, c.ID())
			continue
		}
		for _, w := range want {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%q: %v; want it to name %q", in, err, w)
			}
		}
		var several *NameError
		if errors.As(err, &several) && len(several.Could) > shortList {
			t.Errorf("%q: a list of %d", in, len(several.Could))
		}
		if again, _ := Parse(in); again != nil {
			t.Errorf("%q is taken the second time", in)
		}
	}
}

func TestWithdrawnName(t *testing.T) {
	if _, err := Parse("DHDN / 3-degree Gauss-Kruger zone 4"); err != nil {
		t.Error(err) // it lives on under another code
	}
	_, err := Parse("WGS 84 / Plate Carree")
	if err == nil || !strings.Contains(err.Error(), "withdrawn") {
		t.Errorf("a withdrawn name: %v", err)
	}
}

func TestUTF16(t *testing.T) {
	units := utf16.Encode([]rune(prjUTM))
	var low, high []byte
	for _, u := range units {
		low = append(low, byte(u), byte(u>>8))
		high = append(high, byte(u>>8), byte(u))
	}
	for name, text := range map[string]string{
		"little end first, with a mark": "\xff\xfe" + string(low), "big end first, with a mark": "\xfe\xff" + string(high),
		"little end first": string(low), "big end first": string(high),
	} {
		c, err := Parse(text)
		if err != nil || c.ID() != "EPSG:25832" {
			t.Errorf("%s: %v, %v", name, c, err)
		}
	}
}

func TestPROJStringOfNoRegistry(t *testing.T) {
	c, notes, err := ParseWithNotes("+proj=tmerc +lat_0=0 +lon_0=29 +k=1 +x_0=0 +y_0=0 +axis=wsu +ellps=WGS84 +units=m +no_defs")
	if err != nil {
		t.Fatal(err)
	}
	if c.DatumCode() != 0 || c.Axes()[0].Direction != "west" || c.Axes()[1].Direction != "south" {
		t.Errorf("datum %d, axes %v, notes %q", c.DatumCode(), c.Axes(), notes)
	}
	if again, err := Parse(c.ID()); err != nil || !again.Equal(c) {
		t.Errorf("%s does not read back: %v", c.ID(), err)
	}
	for in, words := range map[string]string{
		"+proj=utm +zone=61 +datum=WGS84":                   "no UTM zone",
		"+proj=nonesuch +ellps=GRS80":                       "not known here",
		"+proj=utm +zone=32 +ellps=moon":                    "ellipsoid",
		"+proj=utm +zone=32 +datum=WGS84 +h_0=5":            "+h_0 is not known here",
		"+proj=utm +zone=32":                                "neither a datum nor an ellipsoid",
		"+zone=32 +datum=WGS84":                             "+proj is missing",
		"+proj=utm +zone=32 +zone=33 +datum=WGS84":          "twice",
		"+proj=tmerc +lon_0=x +datum=WGS84":                 "no number",
		"+proj=utm +zone=32 +datum=WGS84 +units=parsec":     "unit",
		"+proj=tmerc +lon_0=9 +datum=WGS84 +towgs84=1,2":    "not 3 or 7",
		"+proj=pipeline +step +proj=utm +zone=32":           "pipeline",
		"+proj=omerc +lat_0=4 +lonc=115 +ellps=evrst30":     "+alpha",
		"+proj=stere +lat_0=52 +lon_0=5 +ellps=bessel":      "at a pole only",
		"+init=epsg:25832 +units=us-ft":                     "beside it",
		"+proj=lcc +lat_1=0 +lat_0=0 +lon_0=3 +datum=WGS84": "standard parallel",
	} {
		if c, err := Parse(in); err == nil {
			t.Errorf("%q was read as %s", in, c.ID())
		} else if !strings.Contains(err.Error(), words) {
			t.Errorf("%q: %v; want it to say %q", in, err, words)
		}
	}
}

const projJSONUTM = `{"type":"ProjectedCRS","name":"ETRS89 / UTM zone 32N","base_crs":{"name":"ETRS89","datum_ensemble":{"name":"European Terrestrial Reference System 1989 ensemble",
"ellipsoid":{"name":"GRS 1980","semi_major_axis":6378137,"inverse_flattening":298.257222101},"accuracy":"0.1"},
"coordinate_system":{"subtype":"ellipsoidal","axis":[{"name":"Geodetic latitude","abbreviation":"Lat","direction":"north","unit":"degree"},{"name":"Geodetic longitude","abbreviation":"Lon","direction":"east","unit":"degree"}]},"id":{"authority":"EPSG","code":4258}},
"conversion":{"name":"UTM zone 32N","method":{"name":"Transverse Mercator","id":{"authority":"EPSG","code":9807}},"parameters":[
{"name":"Latitude of natural origin","value":0,"unit":"degree","id":{"authority":"EPSG","code":8801}},{"name":"Longitude of natural origin","value":9,"unit":"degree","id":{"authority":"EPSG","code":8802}},
{"name":"Scale factor at natural origin","value":0.9996,"unit":"unity","id":{"authority":"EPSG","code":8805}},{"name":"False easting","value":500000,"unit":"metre","id":{"authority":"EPSG","code":8806}},
{"name":"False northing","value":0,"unit":"metre","id":{"authority":"EPSG","code":8807}}]},
"coordinate_system":{"subtype":"Cartesian","axis":[{"name":"Easting","abbreviation":"E","direction":"east","unit":"metre"},{"name":"Northing","abbreviation":"N","direction":"north","unit":"metre"}]}}`

func TestPROJJSON(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"projected":  {projJSONUTM, "EPSG:25832"},
		"its id":     {strings.TrimSuffix(projJSONUTM, "}") + `,"id":{"authority":"EPSG","code":25832}}`, "EPSG:25832"},
		"geographic": {`{"type":"GeographicCRS","name":"WGS 84","datum":{"name":"World Geodetic System 1984","ellipsoid":{"name":"WGS 84","semi_major_axis":6378137,"inverse_flattening":298.257223563}},"coordinate_system":{"subtype":"ellipsoidal","axis":[{"name":"Geodetic latitude","abbreviation":"Lat","direction":"north","unit":"degree"},{"name":"Geodetic longitude","abbreviation":"Lon","direction":"east","unit":"degree"}]}}`, "EPSG:4326"},
		"minor axis": {strings.Replace(projJSONUTM, `"inverse_flattening":298.257222101`, `"semi_minor_axis":6356752.314140356`, 1), "EPSG:25832"},
	} {
		got, err := Parse(c.text)
		if err != nil || got.ID() != c.want {
			t.Errorf("%s: %v, %v", name, got, err)
		}
	}
	for name, c := range map[string]struct{ text, words string }{
		"another code than the numbers": {strings.TrimSuffix(projJSONUTM, "}") + `,"id":{"authority":"EPSG","code":25833}}`, "claims to be EPSG:25833"},
		"no conversion":                 {`{"type":"ProjectedCRS","name":"x","base_crs":{}}`, "has no datum"},
		"not a CRS":                     {`{"type":"Ellipsoid","name":"x"}`, "no CRS"},
		"cut short":                     {projJSONUTM[:200], "PROJJSON"},
		"more behind":                   {projJSONUTM + "x", "PROJJSON"},
		"a direction with brackets":     {strings.Replace(projJSONUTM, `"direction":"east"`, `"direction":"east]"`, -1), "direction"},
	} {
		if got, err := Parse(c.text); err == nil {
			t.Errorf("%s was read as %s", name, got.ID())
		} else if !strings.Contains(err.Error(), c.words) {
			t.Errorf("%s: %v; want it to say %q", name, err, c.words)
		}
	}
}

// A text with two faults names the same one each time.
func TestErrorsInOneOrder(t *testing.T) {
	text := strings.NewReplacer(`PARAMETER["Central_Meridian",9.0],`, "", `PARAMETER["Latitude_Of_Origin",0.0],`, "", `PARAMETER["False_Easting",500000.0],`, `PARAMETER["Zzz",1],PARAMETER["Yyy",2],`).Replace(prjUTM)
	text2 := strings.NewReplacer(`PARAMETER["Central_Meridian",9.0],`, "", `PARAMETER["Latitude_Of_Origin",0.0],`, "", `,PARAMETER["Latitude_Of_Origin",0.0]`, "").Replace(prjUTM)
	for _, s := range []string{text, text2} {
		_, first := Parse(s)
		if first == nil {
			t.Fatal("no error")
		}
		for range 50 {
			if _, err := Parse(s); err == nil || err.Error() != first.Error() {
				t.Fatalf("%v, and before %v", err, first)
			}
		}
	}
}

func FuzzPROJString(f *testing.F) {
	for _, s := range []string{"+proj=utm +zone=32 +datum=WGS84", "+proj=tmerc +lat_0=49 +lon_0=-2 +k=0.9996012717 +x_0=400000 +y_0=-100000 +ellps=airy +towgs84=446.448,-125.157,542.06,0.15,0.247,0.842,-20.489 +units=m",
		"+proj=lcc +lat_1=49 +lat_2=44 +lat_0=46.5 +lon_0=3 +x_0=700000 +y_0=6600000 +ellps=GRS80", "+proj=longlat +a=6378137 +rf=298.25 +pm=paris", "+proj=somerc +lat_0=46d57'8.66\"N +lon_0=7d26'22.5\"E +ellps=bessel +axis=neu"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		c, _, err := fromPROJString(s)
		if (c == nil) == (err == nil) {
			t.Fatalf("%q: %v with %v", s, c, err)
		}
		if err == nil {
			if again, err := Parse(c.ID()); err != nil || again.ID() != c.ID() {
				t.Fatalf("%q gave %q, which does not read back: %v", s, c.ID(), err)
			}
		}
	})
}

func FuzzPROJJSON(f *testing.F) {
	f.Add(projJSONUTM)
	f.Add(`{"type":"BoundCRS","source_crs":{"type":"GeographicCRS","name":"x"},"target_crs":{},"transformation":{"name":"y","method":{"name":"z"},"parameters":[{"name":"a","value":1,"unit":"metre"}]}}`)
	f.Add(`{"type":"CompoundCRS","name":"c","components":[` + projJSONUTM + `,{"type":"VerticalCRS","name":"v","datum":{"name":"d"},"coordinate_system":{"subtype":"vertical","axis":[{"name":"H","direction":"up","unit":"metre"}]}}]}`)
	f.Fuzz(func(t *testing.T, s string) {
		c, _, err := fromPROJJSON(s)
		if (c == nil) == (err == nil) {
			t.Fatalf("%q: %v with %v", s, c, err)
		}
		if err == nil {
			if again, err := Parse(c.ID()); err != nil || again.ID() != c.ID() {
				t.Fatalf("%q gave %q, which does not read back: %v", s, c.ID(), err)
			}
		}
	})
}
