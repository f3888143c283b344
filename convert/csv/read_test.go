// Reading: what each form of file means, what it warns of, and what is refused.

package csv

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

func mustCRS(t testing.TB, text string) *crs.CRS {
	t.Helper()
	c, err := crs.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// summary is a plan as one line a feature: id role "name" geometry
// {attributes}.
func summary(p *schema.Plan) string {
	var b strings.Builder
	id := "unknown"
	if p.CRS != nil {
		id = p.CRS.ID()
	}
	fmt.Fprintf(&b, "%s", id)
	if p.Name != "" || p.Epoch != 0 || len(p.Attributes) > 0 {
		fmt.Fprintf(&b, " %q %v %s", p.Name, p.Epoch, p.Attributes.AppendJSON(nil))
	}
	for _, f := range p.Features {
		geometry := "nothing"
		if f.Geometry != nil {
			text, err := appendWKT(nil, f.Geometry, wire.DegreeDecimals)
			if err != nil {
				return err.Error()
			}
			geometry = string(text)
		}
		id := "-"
		if !f.ID.IsAbsent() {
			id = string(f.ID.AppendJSON(nil))
		}
		fmt.Fprintf(&b, "\n%s %s %q %s %s", id, f.Role, f.Name, geometry, f.Attributes.AppendJSON(nil))
	}
	return b.String()
}

type readCase struct {
	name, in string
	o        wire.ReadOptions
	crs      string // for o.CRS
	want     string // of summary; "" when an error is wanted
	kinds    string // of the warnings
	err      string // in the error
	line     int    // of the error
}

func check(t *testing.T, cases []readCase) {
	t.Helper()
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			o := c.o
			o.Name = "f.csv"
			if c.crs != "" {
				o.CRS = mustCRS(t, c.crs)
			}
			p, warnings, err := Read([]byte(c.in), o)
			if c.err != "" {
				var in *wire.InputError
				if !errors.As(err, &in) {
					t.Fatalf("got error %v, want one about %q", err, c.err)
				}
				if !strings.Contains(in.Error(), c.err) || in.Line != c.line || in.File != "f.csv" {
					t.Fatalf("got line %d: %v\nwant line %d: ...%s...", in.Line, in, c.line, c.err)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if got := summary(p); got != c.want {
				t.Errorf("got\n%s\nwant\n%s", got, c.want)
			}
			if got := strings.Join(kindsOf(warnings), " "); got != c.kinds {
				t.Errorf("warnings: got %q, want %q", got, c.kinds)
			}
		})
	}
}

func TestHeaders(t *testing.T) {
	const known = "columns"
	check(t, []readCase{
		{name: "degrees", in: "lat,lon,name\n56.1,9.2,lawn\n", want: "OGC:CRS84\n- other \"lawn\" POINT (9.2 56.1) {}", kinds: "columns crs-assumed"},
		{name: "capitals and units", in: "Longitude [deg],Latitude [deg],Ele (m)\n9,56,0\n", want: "OGC:CRS84\n- other \"\" POINT Z (9 56 0) {}", kinds: "columns crs-assumed"},
		{name: "german", in: "Punktnr;Rechtswert;Hochwert;Höhe\n7;512345,5;6228011,25;45,5\n", crs: "EPSG:25832",
			want: "EPSG:25832\n7 other \"\" POINT Z (512345.5 6228011.25 45.5) {}", kinds: "columns decimal-mark"},
		{name: "danish", in: "punkt\tøst\tnord\tkote\nA1\t512345.5\t6228011.25\t\n", crs: "EPSG:25832",
			want: "EPSG:25832\n\"A1\" other \"\" POINT (512345.5 6228011.25) {}", kinds: known},
		{name: "french", in: "Nom;Est;Nord\nborne;512345.5;6228011.25\n", crs: "EPSG:25832",
			want: "EPSG:25832\n- other \"borne\" POINT (512345.5 6228011.25) {}", kinds: known},
		{name: "german degrees", in: "Länge|Breite\n9,5|56,25\n", want: "OGC:CRS84\n- other \"\" POINT (9.5 56.25) {}", kinds: "columns crs-assumed decimal-mark"},
		{name: "x and y without a CRS", in: "x,y\n12.5,3\n", want: "unknown\n- other \"\" POINT (12.5 3) {}", kinds: "columns crs-unknown"},
		{name: "easting and northing without a CRS", in: "E,N\n512345,6228011\n", want: "unknown\n- other \"\" POINT (512345 6228011) {}", kinds: "columns crs-unknown"},
		{name: "a crs column", in: "e,n,epsg\n512345,6228011,25832\n512346,6228011,\n", want: "EPSG:25832\n- other \"\" POINT (512345 6228011) {}\n- other \"\" POINT (512346 6228011) {}", kinds: known},
		{name: "whole words", in: "lat,lon,Isolation,e\n56,9,4,7\n", want: `OGC:CRS84
- other "" POINT (9 56) {"Isolation":4,"e":7}`, kinds: "columns crs-assumed"},
		{name: "height_m is a building's", in: "lon,lat,height_m\n9,56,4.5\n", want: "OGC:CRS84\n- other \"\" POINT (9 56) {\"height_m\":4.5}", kinds: "columns crs-assumed"},
		{name: "both pairs and a CRS", in: "lat,lon,e,n\n56,9,512345,6228011\n", crs: "EPSG:25832", want: "EPSG:25832\n- other \"\" POINT (512345 6228011) {\"lat\":56,\"lon\":9}", kinds: known},
		{name: "both pairs and a crs column", in: "lat,lon,e,n,crs\n56,9,512345,6228011,OGC:CRS84\n", want: "OGC:CRS84\n- other \"\" POINT (9 56) {\"e\":512345,\"n\":6228011}", kinds: known},
		{name: "sep line", in: "sep=;\nlat;lon\n56;9\n", want: "OGC:CRS84\n- other \"\" POINT (9 56) {}", kinds: "columns crs-assumed"},
		{name: "byte-order mark", in: "\ufefflat,lon\n56,9\n", want: "OGC:CRS84\n- other \"\" POINT (9 56) {}", kinds: "byte-order-mark columns crs-assumed"},
		{name: "spaces behind commas", in: " lat, lon, name, turf\n56, 9, \"a, b\",  rye\n", want: "OGC:CRS84\n- other \"a, b\" POINT (9 56) {\"turf\":\"rye\"}", kinds: "columns spaces-trimmed crs-assumed"},
		{name: "old Mac lines", in: "lat,lon\r56,9\r57,9\r", want: "OGC:CRS84\n- other \"\" POINT (9 56) {}\n- other \"\" POINT (9 57) {}", kinds: "columns crs-assumed"},
		{name: "trailing commas and empty rows", in: "lat,lon,a\n56,9,1,,\n,,\n\n57,9,\n", want: "OGC:CRS84\n- other \"\" POINT (9 56) {\"a\":1}\n- other \"\" POINT (9 57) {}", kinds: "columns cells-empty row-empty crs-assumed"},
		{name: "columns without a header", in: "lat,lon,,\n56,9,1,x\n", want: "OGC:CRS84\n- other \"\" POINT (9 56) {\"column 3\":1,\"column 4\":\"x\"}", kinds: "columns crs-assumed"},
		{name: "a row without coordinates", in: "lat,lon,name\n,,north\n", want: "OGC:CRS84\n- other \"north\" nothing {}", kinds: "columns crs-assumed"},
		{name: "roles", in: "lat,lon,role\n56,9,dock\n56,9,Base\n56,9,flowerbed\n", want: `OGC:CRS84
- dock "" POINT (9 56) {}
- base "" POINT (9 56) {}
- other "" POINT (9 56) {"role":"flowerbed"}`, kinds: "columns role-case role-unknown crs-assumed"},
		{name: "types", in: "lat,lon,a,b,c,d,e,f,g\n56,9,007,5,true,\"\"\"5\"\"\",\"[1,2]\",{,\"\"\"\"\"\"\n", want: `OGC:CRS84
- other "" POINT (9 56) {"a":"007","b":5,"c":true,"d":"5","e":[1,2],"f":"{","g":""}`, kinds: "columns crs-assumed"},
		{name: "corners joined", in: "id,role,lon,lat\nz1,zone,9,56\nz1,zone,9,56.1\nz1,zone,9.1,56.1\nc1,corridor,9,56\nc1,corridor,9,57\nd,dock,9,56\n", want: `OGC:CRS84
"z1" zone "" POLYGON ((9 56,9 56.1,9.1 56.1,9 56)) {}
"c1" corridor "" LINESTRING (9 56,9 57) {}
"d" dock "" POINT (9 56) {}`, kinds: "columns rows-joined crs-assumed"},
		{name: "wkt", in: "geom,name\n\"LINESTRING(1 2,3 4)\",a\n", want: "unknown\n- other \"a\" LINESTRING (1 2,3 4) {}", kinds: "columns crs-unknown"},
		{name: "wkt with lon and lat beside", in: "wkt,lon,lat\nPOINT(1 2),1,2\n", want: "unknown\n- other \"\" POINT (1 2) {\"lon\":1,\"lat\":2}", kinds: "columns crs-unknown"},
		{name: "wkt with a SRID", in: "wkt\nSRID=25832;POINT(512345 6228011)\n", want: "EPSG:25832\n- other \"\" POINT (512345 6228011) {}", kinds: known},
		{name: "attributes along the vertices", in: "id,seq,lon,lat,fix,crew\nl,1,9,56,4,a\nl,2,9.1,56,5,a\nl,3,9.2,56,,a\n", want: `OGC:CRS84
"l" other "" LINESTRING (9 56,9.1 56,9.2 56) {"fix":[4,5,null],"crew":"a"}`, kinds: "columns attribute-per-vertex fix-poor crs-assumed"},
		{name: "seq from 0 with a gap", in: "id,seq,lon,lat\nl,0,9,56\nl,2,9.1,56\n", want: "OGC:CRS84\n\"l\" other \"\" LINESTRING (9 56,9.1 56) {}", kinds: "columns seq-gap crs-assumed"},
		{name: "part without seq", in: "id,part,lon,lat\nl,1,9,56\nl,1,9.1,56\nl,2,9,57\nl,2,9,58\n", want: "OGC:CRS84\n\"l\" other \"\" MULTILINESTRING ((9 56,9.1 56),(9 57,9 58)) {}", kinds: "columns crs-assumed"},
		{name: "feet into a CRS in metres", in: "e,n,h\n100,200,10\n", o: wire.ReadOptions{Unit: "ft"}, want: "unknown \"\" 0 {\"drawing\":{\"unit\":\"ft\",\"unit_m\":0.3048}}\n- other \"\" POINT Z (30.48 60.96 3.048) {}", kinds: "columns unit crs-unknown"},
		{name: "survey feet", in: "e,n\n3937,0\n", o: wire.ReadOptions{Unit: "ftUS"}, want: "unknown \"\" 0 {\"drawing\":{\"unit\":\"ftUS\",\"unit_m\":0.3048006096012192}}\n- other \"\" POINT (1200 0) {}", kinds: "columns unit crs-unknown"},
		{name: "survey feet into a CRS in survey feet", in: "e,n,h\n2000000,700000,3937\n", o: wire.ReadOptions{Unit: "ftUS"}, crs: "EPSG:2229", want: "EPSG:2229\n- other \"\" POINT Z (2000000 700000 1200) {}", kinds: "columns unit outside-area"},
		{name: "millimetres in wkt", in: "wkt\nPOINT Z (1500 2500 100)\n", o: wire.ReadOptions{Unit: "mm"}, want: "unknown \"\" 0 {\"drawing\":{\"unit\":\"mm\",\"unit_m\":0.001}}\n- other \"\" POINT Z (1.5 2.5 0.1) {}", kinds: "columns unit crs-unknown"},
		{name: "feet of height beside degrees", in: "lat,lon,h\n56,9,10\n", o: wire.ReadOptions{Unit: "ft"}, want: "OGC:CRS84\n- other \"\" POINT Z (9 56 3.048) {}", kinds: "columns unit crs-assumed"},
		{name: "told CRS over the file's", in: "e,n,crs\n512345,6228011,EPSG:25832\n", crs: "EPSG:32632", want: "EPSG:32632\n- other \"\" POINT (512345 6228011) {}", kinds: "columns crs-overridden"},
	})
}

func TestDecimals(t *testing.T) {
	check(t, []readCase{
		{name: "decimal comma in attributes too", in: "lat;lon;sigma;n\n56,5;9,25;0,012;1,2,3\n", want: `OGC:CRS84
- other "" POINT (9.25 56.5) {"sigma":0.012,"n":"1,2,3"}`, kinds: "columns crs-assumed decimal-mark"},
		{name: "quoted decimal comma", in: "lat,lon\n\"56,5\",\"9,25\"\n", want: "OGC:CRS84\n- other \"\" POINT (9.25 56.5) {}", kinds: "columns crs-assumed decimal-mark"},
		{name: "points between thousands", in: "e;n\n512.345,5;6.228.011,25\n", want: "unknown\n- other \"\" POINT (512345.5 6228011.25) {}", kinds: "columns crs-unknown decimal-mark"},
		{name: "commas between thousands", in: "e,n\n\"512,345.5\",\"6,228,011.25\"\n", want: "unknown\n- other \"\" POINT (512345.5 6228011.25) {}", kinds: "columns crs-unknown decimal-mark"},
		{name: "apostrophes and spaces between thousands", in: "e,n\n2'600'000.5,1 200 000.25\n", want: "unknown\n- other \"\" POINT (2600000.5 1200000.25) {}", kinds: "columns crs-unknown"},
		{name: "millimetres behind a comma and semicolons", in: "e;n\n12,345;45,678\n", want: "unknown\n- other \"\" POINT (12.345 45.678) {}", kinds: "columns crs-unknown decimal-mark"},
		{name: "two readings", in: "e\tn\n12,345\t45,678\n", err: `"12,345" is 12.345 with a decimal comma and 12345 with commas between thousands, and the whole file fits both`},
		{name: "one cell settles it", in: "e\tn\n12,345\t45,678\n12,34\t45,678\n", want: "unknown\n- other \"\" POINT (12.345 45.678) {}\n- other \"\" POINT (12.34 45.678) {}", kinds: "columns crs-unknown decimal-mark"},
		{name: "neither", in: "e;n\n12,5;4.5\n", err: "some coordinates have a decimal comma and others a decimal point"},
		{name: "no number", in: "e;n\n12,5;4,5\n1,2,3;4\n", err: `"1,2,3" in the column "e": it is no number`, line: 3},
		{name: "decimal commas cut apart", in: "lat,lon\n56,2,9,1\n", err: "if these are decimal commas, separate the columns with semicolons", line: 2},
	})
}

func TestSurveyLists(t *testing.T) {
	list := "1,6228011.25,512345.5,45.1,FENCE START\n2,6228012.25,512345.5,45.2,FENCE\n3,6228012,512347,45,TREE oak, old\n4,6228013.25,512346.5,,FENCE CLOSE\n"
	check(t, []readCase{
		{name: "PNEZD", in: list, crs: "EPSG:25832", o: wire.ReadOptions{Columns: "PNEZD"}, want: `EPSG:25832
- other "" LINESTRING Z (512345.5 6228011.25 45.1,512345.5 6228012.25 45.2,512346.5 6228013.25 NaN,512345.5 6228011.25 45.1) {"code":"FENCE","point_ids":[1,2,4,1]}
3 other "" POINT Z (512347 6228012 45) {"code":"TREE oak,old"}`, kinds: "columns line-work"},
		{name: "PENZD of the same list", in: list, crs: "EPSG:25832", o: wire.ReadOptions{Columns: "PENZD"}, err: "inside it with east and north swapped; name the columns the other way round", line: 1},
		{name: "names", in: list, o: wire.ReadOptions{Columns: "id,n,e,-,-"}, err: "the row has 6 cells; the columns", line: 3},
		{name: "passed over", in: "1;2;3;x\n", o: wire.ReadOptions{Columns: "id,n,e,-"}, want: "unknown\n1 other \"\" POINT (3 2) {}", kinds: "columns column-skipped crs-unknown"},
		{name: "spaces", in: "  12   5000.10 4000.20  12.3  GATE north side\n 13 5001 4001 12.4\n", o: wire.ReadOptions{Columns: "pnezd"}, want: `unknown
12 other "" POINT Z (4000.2 5000.1 12.3) {"code":"GATE north side"}
13 other "" POINT Z (4001 5001 12.4) {}`, kinds: "columns crs-unknown"},
		{name: "a header to pass over", in: "Pt;Hoch;Rechts\n1;2,5;3,5\n", o: wire.ReadOptions{Columns: "PNE"}, want: "unknown\n1 other \"\" POINT (3.5 2.5) {}", kinds: "columns header-skipped crs-unknown decimal-mark"},
		{name: "degrees as told", in: "base,56.1,9.2\n", o: wire.ReadOptions{Columns: "name,lat,lon"}, want: "OGC:CRS84\n- other \"base\" POINT (9.2 56.1) {}", kinds: "columns crs-assumed"},
		{name: "further columns", in: "1,2,3,4,float,0.4\n2,2,3,4,fix,0.01\n", o: wire.ReadOptions{Columns: "id,n,e,h,fix,sigma"}, want: `unknown
1 other "" POINT Z (3 2 4) {"fix":"float","sigma":0.4}
2 other "" POINT Z (3 2 4) {"fix":"fix","sigma":0.01}`, kinds: "columns fix-poor sigma-large crs-unknown"},
		{name: "roles from codes", in: "1,2,3,4,DOCK\n2,2,3,4,zone START\n3,2,4,4,zone\n4,3,4,4,zone CLOSE\n", o: wire.ReadOptions{Columns: "PNEZD"}, want: `unknown
1 dock "" POINT Z (3 2 4) {"code":"DOCK"}
- zone "" POLYGON Z ((3 2 4,4 2 4,4 3 4,3 2 4)) {"code":"zone","point_ids":[2,3,4,2]}`, kinds: "columns line-work crs-unknown"},
		{name: "two lines interleaved, one restarted", in: "1,0,0,A START\n2,0,5,B START\n3,1,0,A\n4,1,5,B END\n5,2,5,B\n6,2,0,A END\n7,9,9,A START\n8,9,8,A\n", o: wire.ReadOptions{Columns: "PNED"}, want: `unknown
- other "" LINESTRING (0 0,0 1,0 2) {"code":"A","point_ids":[1,3,6]}
- other "" LINESTRING (5 0,5 1) {"code":"B","point_ids":[2,4]}
5 other "" POINT (5 2) {"code":"B"}
- other "" LINESTRING (9 9,8 9) {"code":"A","point_ids":[7,8]}`, kinds: "columns line-work crs-unknown"},
		{name: "line-work that does not start", in: "1,0,0,A START\n2,0,1,A\n3,0,2,C CLOSE\n4,1,1,D START\n", o: wire.ReadOptions{Columns: "PNED"}, want: `unknown
- other "" LINESTRING (0 0,1 0) {"code":"A","point_ids":[1,2]}
3 other "" POINT (2 0) {"code":"C CLOSE"}
4 other "" POINT (1 1) {"code":"D START"}`, kinds: "columns line-not-started line-short line-work crs-unknown"},
		{name: "quality along a line", in: "id,e,n,code,fix\n1,0,0,A START,4\n2,0,1,A,5\n", want: `unknown
- other "" LINESTRING (0 0,0 1) {"code":"A","point_ids":[1,2],"fix":[4,5]}`, kinds: "columns fix-poor line-work crs-unknown"},
		{name: "no commands, no lines", in: "id,e,n,code\n1,0,0,A\n2,0,1,A\n", want: "unknown\n1 other \"\" POINT (0 0) {\"code\":\"A\"}\n2 other \"\" POINT (0 1) {\"code\":\"A\"}", kinds: "columns crs-unknown"},
		{name: "without a header", in: list, err: "read as PNEZD is north 6228011.25, east 512345.5, and read as PENZD it is east 6228011.25, north 512345.5; say which, as columns PNEZD or columns PENZD", line: 1},
		{name: "without a header, no numbers of points", in: "5000.5 ;4000.25;12.5\n", err: "read as NEZ is north 5000.5, east 4000.25", line: 1},
		{name: "without a header, two columns", in: "5000.5,4000.25\n", err: "read as NE is north 5000.5", line: 1},
		{name: "without a header, three columns", in: "7,5000.5,4000.25\n", err: "read as PNE is north 5000.5", line: 1},
		{name: "unknown letter", in: list, o: wire.ReadOptions{Columns: "PNEQ"}, err: `'Q' is none of P (point)`},
		{name: "north twice", in: list, o: wire.ReadOptions{Columns: "PNNZ"}, err: "name n and e, or lon and lat, once each"},
		{name: "north only", in: list, o: wire.ReadOptions{Columns: "PNZD"}, err: "they name no pair of coordinates"},
		{name: "both separators fit", in: "1;2,3;4\n", o: wire.ReadOptions{Columns: "name,lat,x"}, err: "they name no pair"},
		{name: "an unknown unit", in: "e,n\n1,2\n", o: wire.ReadOptions{Unit: "ells"}, err: `there is no unit "ells"`},
	})
}

func TestRefused(t *testing.T) {
	few := schema.DefaultLimits()
	few.InputMaxVertices, few.InputMaxFeatures, few.InputMaxNesting = 2, 2, 2
	small := schema.DefaultLimits()
	small.InputMaxBytes = 8
	check(t, []readCase{
		{name: "empty", in: " \n", err: "the file is empty"},
		{name: "UTF-16 cut in a character", in: "\xff\xfel\x00a", err: "UTF-16", line: 1},
		{name: "no encoding that is guessed", in: "lat,lon,name\n56,9,gr\x81s\n", err: "byte 0x81 is not UTF-8; say which it is with --encoding", line: 2},
		{name: "NUL", in: "lat,lon\n56,\x009\n", err: "NUL", line: 2},
		{name: "short row", in: "lat,lon,a\n56,9,1\n56,9\n", err: "the row has 2 cells, but there are 3 columns", line: 3},
		{name: "long row", in: "lat,lon\n56,9\n56,9,1\n", err: "the row has 3 cells, but there are 2 columns", line: 3},
		{name: "short row behind lines in quotes", in: "lat,lon,a\r\n56,9,\"1\r\n2\r\n3\"\r\n56,9\r\n", err: "the row has 2 cells", line: 5},
		{name: "open quote", in: "lat,lon,a\n56,9,\"x\n57,9,y\n", err: "the quote that opens in this row is never closed", line: 2},
		{name: "text behind a quote", in: "lat,lon,a\n56,9,\"x\"y\n", err: `"y" stands behind a closing quote`, line: 2},
		{name: "latitude 95", in: "lat,lon\n56,9\n95,9\n", err: "the latitude 95 lies outside -90 to 90; longitude and latitude look swapped", line: 3},
		{name: "NaN", in: "lat,lon\nNaN,9\n", err: `"NaN" in the column "lat"`, line: 2},
		{name: "infinite", in: "e,n\ninf,9\n", err: `"inf" in the column "e": it is no number`, line: 2},
		{name: "hexadecimal", in: "e,n\n0x1p-2,9\n", err: "it is no number", line: 2},
		{name: "underscores", in: "e,n\n1_000,9\n", err: "it is no number", line: 2},
		{name: "1e400", in: "e,n\n1e400,9\n", err: "it is no number", line: 2},
		{name: "1e308 metres into feet", in: "e,n\n1.7e308,9\n", o: wire.ReadOptions{Unit: "m"}, crs: "EPSG:2229", err: "too far out for a number; check the unit", line: 2},
		{name: "one coordinate", in: "lat,lon\n56,\n", err: `only one of "lon" and "lat"`, line: 2},
		{name: "no coordinates", in: "name,turf\nlawn,rye\n", err: `no columns hold coordinates; the first row, cut at commas, is "name", "turf"`, line: 1},
		{name: "one of a pair", in: "lat,name\n56,lawn\n", err: "no columns hold coordinates", line: 1},
		{name: "two latitudes", in: "lat,latitude,lon\n56,56,9\n", err: `"lat" and "latitude" could both be the latitude`, line: 1},
		{name: "two heights", in: "lat,lon,ele,altitude\n56,9,1,2\n", err: "could both be the height", line: 1},
		{name: "two pairs", in: "lat,lon,e,n\n56,9,1,2\n", err: `"lon" and "lat", or in "e" and "n"`, line: 1},
		{name: "one name twice", in: "lat,lon,a,a\n56,9,1,2\n", err: `two columns are called "a"`, line: 1},
		{name: "mixed CRSs", in: "e,n,crs\n512345,6228011,EPSG:25832\n512345,6228011,EPSG:25833\n", err: "the crs is EPSG:25833 here and EPSG:25832 in line 2", line: 3},
		{name: "unknown CRS", in: "e,n,crs\n1,2,EPSG:999999\n", err: `crs "EPSG:999999"`, line: 2},
		{name: "degrees in a grid", in: "lat,lon\n56,9\n", crs: "EPSG:25832", err: "EPSG:25832 is not in degrees", line: 1},
		{name: "lengths in degrees", in: "e,n\n512345,6228011\n", crs: "OGC:CRS84", err: "OGC:CRS84 is in degrees", line: 1},
		{name: "wkt past the pole", in: "wkt,crs\nPOINT(56 95),OGC:CRS84\n", err: "longitude comes before latitude; they look swapped", line: 2},
		{name: "swapped in its CRS", in: "e,n\n6228011,512345\n", crs: "EPSG:25832", err: "inside it with east and north swapped; swap the two columns", line: 1},
		{name: "rows out of order", in: "id,seq,lon,lat\nl,1,9,56\nl,10,9,57\nl,2,9,58\n", err: "the rows are out of order", line: 4},
		{name: "first vertex missing", in: "id,seq,lon,lat\nl,2,9,56\n", err: "above 1", line: 2},
		{name: "seq that is none", in: "id,seq,lon,lat\nl,first,9,56\n", err: `"first" in the column "seq" is no whole number`, line: 2},
		{name: "two plan rows", in: "id,role,name,wkt,crs\n,plan,a,,\n,plan,b,,\n", err: "a second row has the role", line: 3},
		{name: "epoch that is none", in: "id,role,name,wkt,crs,epoch\n,plan,a,,,soon\n", err: `the plan's epoch "soon"`, line: 2},
		{name: "order that is none", in: "id,role,name,wkt,crs,attribute_order,a\n,dock,a,,,x,1\n", err: `"x" in the column attribute_order is no list`, line: 2},
		{name: "broken wkt", in: "wkt\n\"POLYGON ((1 2,3 4\"\n", err: "the text ends inside a list of points (character 18)", line: 2},
		{name: "too many features", in: "lat,lon,name\n,,a\n,,b\n,,c\n", o: wire.ReadOptions{Limits: few}, err: "input_max_features (2)", line: 4},
		{name: "too many vertices", in: "lat,lon\n1,1\n1,1\n1,1\n", o: wire.ReadOptions{Limits: few}, err: "input_max_vertices (2)", line: 4},
		{name: "too many vertices in wkt", in: "wkt\n\"LINESTRING(1 1,2 2,3 3)\"\n", o: wire.ReadOptions{Limits: few}, err: "input_max_vertices (2)", line: 2},
		{name: "nested too deep", in: "wkt\nGEOMETRYCOLLECTION(GEOMETRYCOLLECTION(GEOMETRYCOLLECTION(POINT(1 1))))\n", o: wire.ReadOptions{Limits: few}, err: "input_max_nesting (2)", line: 2},
		{name: "too large", in: "lat,lon\n1,1\n", o: wire.ReadOptions{Limits: small}, err: "input_max_bytes is 8"},
	})
}
