// Lists of marks: the ways they are written, and what is wrong with the others.

package marks

import (
	"math"
	"strings"
	"testing"

	"swardline/convert/wire"
)

func TestRead(t *testing.T) {
	nan := math.NaN()
	for _, tc := range []struct {
		name, in string
		want     []Row
	}{
		{"plane", "name,x,y,e,n\nM1,1000,-2000.5,500012.25,6228011.5\n",
			[]Row{{Name: "M1", X: 1000, Y: -2000.5, Z: nan, A: 500012.25, B: 6228011.5, H: nan, Line: 2}}},
		{"degrees, any order, semicolons, decimal comma", "\xef\xbb\xbfLat;Lon;Mark;X;Y;h;crs;sigma\n56,95;11,2;M 2;1,5;2;45,01;EPSG:4979;0,01\n",
			[]Row{{Name: "M 2", X: 1.5, Y: 2, Z: nan, A: 11.2, B: 56.95, H: 45.01, Degrees: true, CRS: "EPSG:4979", Sigma: 0.01, Line: 2}}},
		{"minutes and seconds", "name,x,y,lat,lon\nA,1,2,56°30'36.0\"N,11 15 W\nB,1,2,\"-56°30'\",11.25\n",
			[]Row{{Name: "A", X: 1, Y: 2, Z: nan, A: -11.25, B: 56.51, H: nan, Degrees: true, Line: 2}, {Name: "B", X: 1, Y: 2, Z: nan, A: 11.25, B: -56.5, H: nan, Degrees: true, Line: 3}}},
		{"minutes and seconds with a decimal comma", "name;x;y;lat;lon\nA;1;2;56°30'36,0\"N;11 15 W\n",
			[]Row{{Name: "A", X: 1, Y: 2, Z: nan, A: -11.25, B: 56.51, H: nan, Degrees: true, Line: 2}}},
		{"heights in the drawing", "point\tx\ty\tz\teasting\tnorthing\nA\t1\t2\t3\t4\t5\nB\t1\t2\t\t4\t5\n",
			[]Row{{Name: "A", X: 1, Y: 2, Z: 3, A: 4, B: 5, H: nan, Line: 2}, {Name: "B", X: 1, Y: 2, Z: nan, A: 4, B: 5, H: nan, Line: 3}}},
		{"German, Windows-1252, a remark, thousands", "# vom 3. Mai\nPunkt;X [m];Y [m];Rechtswert;Hochwert;H\xf6he\nM\xfc1;1.000,5;2.000,25;500.012,25;6.228.011,5;45,1\n",
			[]Row{{Name: "M\u00fc1", X: 1000.5, Y: 2000.25, Z: nan, A: 500012.25, B: 6228011.5, H: 45.1, Line: 3}}},
		{"French, sep line, bars", "sep=|\nnom|x|y|Est (m)|Nord (m)\nM1|1,5|2|3|4\n",
			[]Row{{Name: "M1", X: 1.5, Y: 2, Z: nan, A: 3, B: 4, H: nan, Line: 3}}},
		{"an id beside the name, UTF-16", "\xff\xfen\x00o\x00,\x00n\x00a\x00m\x00e\x00,\x00x\x00,\x00y\x00,\x00e\x00,\x00n\x00\n\x007\x00,\x00M\x00,\x001\x00,\x002\x00,\x003\x00,\x004\x00",
			[]Row{{Name: "M", X: 1, Y: 2, Z: nan, A: 3, B: 4, H: nan, Line: 2}}},
	} {
		got, _, err := Read([]byte(tc.in), wire.ReadOptions{Name: "marks.csv"})
		if err != nil {
			t.Errorf("%s: %v", tc.name, err)
			continue
		}
		if len(got) != len(tc.want) {
			t.Errorf("%s: %d rows, want %d", tc.name, len(got), len(tc.want))
			continue
		}
		for i := range got {
			if !sameRow(got[i], tc.want[i]) {
				t.Errorf("%s: row %d is %+v, want %+v", tc.name, i, got[i], tc.want[i])
			}
		}
	}
}

func sameRow(a, b Row) bool {
	same := func(x, y float64) bool { return x == y || x != x && y != y }
	return a.Name == b.Name && same(a.X, b.X) && same(a.Y, b.Y) && same(a.Z, b.Z) && same(a.A, b.A) && same(a.B, b.B) &&
		same(a.H, b.H) && a.Degrees == b.Degrees && a.CRS == b.CRS && a.Sigma == b.Sigma && a.Line == b.Line
}

func TestReadRefuses(t *testing.T) {
	for _, tc := range []struct{ name, in, want string }{
		{"empty", " \n", "the file is empty"},
		{"no ground columns", "name,x,y\nM1,1,2\n", "columns are missing"},
		{"both pairs", "name,x,y,e,n,lon,lat\n", "both e, n and lon, lat"},
		{"two eastings", "name,x,y,e,easting,n\n", "two columns say e"},
		{"feet", "name,x,y,e (ft),n (ft)\nM1,1,2,3,4\n", "is not in metres"},
		{"a comma that is either", "name,x,y,e,n\nM1,1,2,\"1,234\",4\n", "1234"},
		{"not a number", "name,x,y,e,n\nM1,1,2,inf,4\n", `marks.csv:2: "inf" in the column "e": it is no number`},
		{"missing number", "name,x,y,e,n\nM1,1,,3,4\n", `y is ""`},
		{"short row", "name,x,y,e,n\nM1,1,2\n", "marks.csv:2"},
		{"latitude 95", "name,x,y,lat,lon\nM1,1,2,95,11\n", "the latitude 95 lies outside"},
		{"minutes of 60", "name,x,y,lat,lon\nM1,1,2,56 60 N,11\n", "60 minutes are 60 or more"},
		{"the other hemisphere", "name,x,y,lat,lon\nM1,1,2,56 E,11\n", "E is no hemisphere of a latitude"},
		{"minutes in a grid", "name,x,y,e,n\nM1,1,2,56 30,11\n", `"56 30" in the column "e": it is no number`},
		{"an open quote", "name,x,y,e,n\n\"M1,1,2,3,4\nM2,1,2,3,4\n", "marks.csv:"},
		{"no name", "name,x,y,e,n\n,1,2,3,4\n", "a mark has no name"},
		{"header only", "name,x,y,e,n\n", "no marks"},
	} {
		_, _, err := Read([]byte(tc.in), wire.ReadOptions{Name: "marks.csv"})
		if err == nil || !strings.Contains(err.Error(), tc.want) {
			t.Errorf("%s: error %v, want one with %q", tc.name, err, tc.want)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte("name,x,y,e,n\nM1,1,2,3,4\n"))
	f.Add([]byte("name;x;y;lon;lat;h\nM1;1,5;2;3;4;5\n"))
	f.Add([]byte("name,x,y,lat,lon\nA,1,2,56°30'36.0\"N,11 15 W\n"))
	f.Add([]byte("\"name\",x,y,e,n,crs\n\"a\nb\",1,2,3,4,site\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		rows, _, err := Read(data, wire.ReadOptions{Name: "f"})
		if err != nil {
			return
		}
		for _, r := range rows {
			for _, v := range []float64{r.X, r.Y, r.A, r.B, r.Sigma} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Fatalf("a coordinate that is no number: %+v", r)
				}
			}
		}
	})
}
