// Survey lists as instruments write them: orders of columns, codes and lines,
// bends against closed forms, quality columns, units and angles.

package csv

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/schema"
)

// The same two points in every order and cut, with and without a header.
func TestColumnOrders(t *testing.T) {
	const want = "EPSG:25832\n1 other \"\" POINT Z (512345.25 6228011.5 45.125) {\"code\":\"GATE\"}\n2 other \"\" POINT Z (512346.25 6228012.5 46) {\"code\":\"TREE oak\"}"
	bare := strings.NewReplacer(" {\"code\":\"GATE\"}", " {}", " {\"code\":\"TREE oak\"}", " {}").Replace(want)
	flat := strings.NewReplacer("POINT Z", "POINT", " 45.125)", ")", " 46)", ")").Replace(bare)
	unnamed := strings.NewReplacer("\n1 other", "\n- other", "\n2 other", "\n- other").Replace
	rows := func(order, sep string, comma bool) string {
		values := []map[rune]string{{'P': "1", 'N': "6228011.500", 'E': "512345.250", 'Z': "45.125", 'D': "GATE"}, {'P': "2", 'N': "6228012.500", 'E': "512346.250", 'Z': "46.000", 'D': "TREE oak"}}
		var b strings.Builder
		for _, v := range values {
			for i, letter := range order {
				if i > 0 {
					b.WriteString(sep)
				}
				text := v[letter]
				if comma {
					text = strings.ReplaceAll(text, ".", ",")
				}
				b.WriteString(text)
			}
			b.WriteString("\r\n")
		}
		return b.String()
	}
	header := map[rune]string{'P': "Point", 'N': "Northing", 'E': "Easting", 'Z': "Elevation", 'D': "Code"}
	for _, c := range []struct{ order, want string }{
		{"PNEZD", want}, {"PENZD", want}, {"PNEZ", bare}, {"PENZ", bare}, {"PNE", flat}, {"PEN", flat}, {"NEZ", unnamed(bare)}, {"ENZ", unnamed(bare)}, {"NE", unnamed(flat)},
		{"EN", unnamed(flat)}, {"NEZD", unnamed(want)}, {"ENZD", unnamed(want)}, {"PDNEZ", want}, {"DPENZ", want},
	} {
		for _, sep := range []string{",", ";", "\t", "|"} {
			for _, comma := range []bool{false, true} {
				if comma && sep == "," {
					continue
				}
				for _, headed := range []bool{false, true} {
					in, o := rows(c.order, sep, comma), wire.ReadOptions{Name: "f.csv", CRS: mustCRS(t, "EPSG:25832")}
					if headed {
						var names []string
						for _, letter := range c.order {
							names = append(names, header[letter])
						}
						in = strings.Join(names, sep) + "\r\n" + in
					} else {
						o.Columns = c.order
					}
					p, _, err := Read([]byte(in), o)
					if err != nil {
						t.Errorf("%s cut at %q, comma %v, header %v: %v", c.order, sep, comma, headed, err)
					} else if got := summary(p); got != c.want {
						t.Errorf("%s cut at %q, comma %v, header %v: got\n%s\nwant\n%s", c.order, sep, comma, headed, got, c.want)
					}
				}
			}
		}
	}
}

func TestCodes(t *testing.T) {
	check(t, []readCase{
		{name: "a description is a code in a survey list", in: "P,N,E,Z,Description\n1,0,0,1,ZONE1 START\n2,0,5,1,ZONE1\n3,2,2,1,TREE oak\n4,5,5,1,ZONE1 CLOSE\n5,9,9,1,zone2 START\n6,9,8,1,Zone2\n7,8,8,1,ZONE2 close\n", want: `unknown
- zone "" POLYGON Z ((0 0 1,5 0 1,5 5 1,0 0 1)) {"Description":"ZONE1","point_ids":[1,2,4,1]}
3 other "" POINT Z (2 2 1) {"Description":"TREE oak"}
- zone "" POLYGON Z ((9 9 1,8 9 1,8 8 1,9 9 1)) {"Description":"zone2","point_ids":[5,6,7,5]}`, kinds: "columns line-work crs-unknown"},
		{name: "but no code beside a role", in: "id,e,n,role,description\n1,0,0,mark,A START\n2,1,0,mark,A\n", want: `unknown
1 mark "" POINT (0 0) {"description":"A START"}
2 mark "" POINT (1 0) {"description":"A"}`, kinds: "columns crs-unknown"},
		{name: "and none in degrees", in: "id,lon,lat,description\n1,9,56,A START\n2,9,57,A\n", want: `OGC:CRS84
1 other "" POINT (9 56) {"description":"A START"}
2 other "" POINT (9 57) {"description":"A"}`, kinds: "columns crs-assumed"},
		{name: "lines that nothing starts", in: "1,0,0,A\n2,0,1,A\n3,1,1,A CLOSE\n", o: wire.ReadOptions{Columns: "PNED"}, want: `unknown
1 other "" POINT (0 0) {"code":"A"}
2 other "" POINT (1 0) {"code":"A"}
3 other "" POINT (1 1) {"code":"A CLOSE"}`, kinds: "columns line-not-started crs-unknown"},
		{name: "a command in the middle", in: "1,0,0,A START north side\n2,0,1,A\n3,1,1,A\n", o: wire.ReadOptions{Columns: "PNED"}, want: `unknown
1 other "" POINT (0 0) {"code":"A START north side"}
2 other "" POINT (1 0) {"code":"A"}
3 other "" POINT (1 1) {"code":"A"}`, kinds: "columns command-inside crs-unknown"},
		{name: "strings of one code by number", in: "1,0,0,KERB1 START\n2,0,9,KERB2 START\n3,1,0,KERB1\n4,1,9,KERB2\n5,2,0,KERB1 END\n6,2,9,KERB2 END\n", o: wire.ReadOptions{Columns: "PNED"}, want: `unknown
- other "" LINESTRING (0 0,0 1,0 2) {"code":"KERB1","point_ids":[1,3,5]}
- other "" LINESTRING (9 0,9 1,9 2) {"code":"KERB2","point_ids":[2,4,6]}`, kinds: "columns line-work crs-unknown"},
		{name: "remarks at the top", in: "# job 12\n% a, b\n1,5,4,A\n", o: wire.ReadOptions{Columns: "PNED"}, want: "unknown\n1 other \"\" POINT (4 5) {\"code\":\"A\"}", kinds: "comment columns crs-unknown"},
		{name: "remarks above a header", in: "# job 12\nid,e,n\n1,5,4\n1,5\n", err: "the row has 2 cells", line: 4},
		{name: "a header with a hash", in: "#id,e,n\n1,5,4\n", want: "unknown\n1 other \"\" POINT (5 4) {}", kinds: "columns crs-unknown"},
		{name: "a bend of two points", in: "1,0,0,K START PC\n2,1,0,K PT\n3,2,0,K\n", o: wire.ReadOptions{Columns: "PNED"}, want: `unknown
- other "" LINESTRING (0 0,0 1,0 2) {"code":"K","point_ids":[1,2,3]}`, kinds: "columns curve-unclear line-work crs-unknown"},
		{name: "a bend of points in a row", in: "1,0,0,K START PC\n2,1,0,K\n3,2,0,K PT\n", o: wire.ReadOptions{Columns: "PNED"}, want: `unknown
- other "" LINESTRING (0 0,0 1,0 2) {"code":"K","point_ids":[1,2,3]}`, kinds: "columns line-work crs-unknown"},
	})
}

// at is a point on a circle round 512000, 6228000 as a row of a PENZD list.
func onCircle(id int, radius, degrees, h float64, code string) string {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	return fmt.Sprintf("%d,%.10f,%.10f,%g,%s\n", id, 512000+radius*cos, 6228000+radius*sin, h, code)
}

// Bends: every vertex lies on the circle through the surveyed points, no chord
// leaves it by more than the chord error, the surveyed points stay, heights run
// evenly, and lengths and areas are those of the closed forms.
func TestBends(t *testing.T) {
	const r = 10.0
	arc := func(a, b, c float64, from, on, to string) string {
		return onCircle(1, r, a, 1, from) + onCircle(2, r, b, 2, on) + onCircle(3, r, c, 4, to)
	}
	for _, c := range []struct {
		name, in string
		chord    float64
		turn     float64 // degrees of arc
		length   float64 // of the whole line
		area     float64
	}{
		{"a quarter", arc(0, 45, 90, "K START PC", "K", "K PT END"), 0, 90, r * math.Pi / 2, 0},
		{"a quarter the other way", arc(90, 45, 0, "K START PC", "K", "K PT END"), 0, 90, r * math.Pi / 2, 0},
		{"coarser", arc(0, 45, 90, "K START PC", "K", "K PT END"), 0.05, 90, r * math.Pi / 2, 0},
		{"uneven pieces", arc(0, 10, 90, "K START PC", "K", "K PT END"), 0, 90, r * math.Pi / 2, 0},
		{"three quarters", arc(0, 130, 270, "K START PC", "K", "K PT END"), 0, 270, r * math.Pi * 1.5, 0},
		{"across the half turn", arc(170, 180, 200, "K START PC", "K", "K PT END"), 0, 30, r * math.Pi / 6, 0},
		{"begin and end of a curve by other words", arc(0, 45, 90, "K START BC", "K", "K EC END"), 0, 90, r * math.Pi / 2, 0},
		{"other codes between", onCircle(1, r, 0, 1, "K START PC") + "9,512001,6228001,0,TREE\n" + onCircle(2, r, 45, 2, "K") + "8,512001,6228001,0,TREE\n" + onCircle(3, r, 90, 4, "K PT END"), 0, 90, r * math.Pi / 2, 0},
		{"two arcs, five points", onCircle(1, r, 0, 1, "K START PC") + onCircle(2, r, 30, 1, "K") + onCircle(3, r, 60, 1, "K") + onCircle(4, r, 90, 1, "K") + onCircle(5, r, 120, 1, "K PT END"), 0, 120, r * math.Pi * 2 / 3, 0},
		{"half a disc", arc(0, 90, 180, "ZONE START PC", "ZONE", "ZONE PT CLOSE"), 0, 180, r*math.Pi + 2*r, math.Pi * r * r / 2},
		{"a bend that closes", onCircle(1, r, 0, 1, "ZONE START") + onCircle(2, r, 180, 1, "ZONE PC") + onCircle(3, r, 270, 1, "ZONE CLOSE"), 0, 180, r*math.Pi + 2*r, math.Pi * r * r / 2},
		{"a whole disc", onCircle(1, r, 0, 1, "ZONE START PC") + onCircle(2, r, 90, 1, "ZONE") + onCircle(3, r, 180, 1, "ZONE") + onCircle(4, r, 270, 1, "ZONE CLOSE"), 0, 360, 2 * r * math.Pi, math.Pi * r * r},
	} {
		t.Run(c.name, func(t *testing.T) {
			chord := c.chord
			if chord == 0 {
				chord = 0.005
			}
			p, _, err := Read([]byte(c.in), wire.ReadOptions{Name: "f.csv", Columns: "PENZD", CRS: mustCRS(t, "EPSG:25832"), ChordM: c.chord})
			if err != nil {
				t.Fatal(err)
			}
			f := p.Features[0]
			for _, g := range p.Features {
				if _, point := g.Geometry.(*geom.Point); !point {
					f = g
				}
			}
			flat := f.Geometry.FlatCoords()
			who := f.Attributes.Get("point_ids").Items()
			if len(who) != len(flat)/3 {
				t.Fatalf("%d vertices, %d point_ids", len(flat)/3, len(who))
			}
			var length, area, bent float64
			for i := 0; i < len(flat); i += 3 {
				x, y := flat[i]-512000, flat[i+1]-6228000
				if d := math.Abs(math.Hypot(x, y) - r); d > 1e-8 {
					t.Fatalf("vertex %d stands %g m off the circle", i/3+1, d)
				}
				if i+3 >= len(flat) {
					break
				}
				u, v := flat[i+3]-512000, flat[i+4]-6228000
				step := math.Hypot(u-x, v-y)
				length += step
				area += (x*v - u*y) / 2
				if step < 1.9*r { // not the straight side
					bent += 2 * math.Asin(step/2/r) * 180 / math.Pi
					if sagitta := r - math.Hypot(x+u, y+v)/2; sagitta > chord+1e-9 {
						t.Fatalf("chord %d leaves the circle by %g m", i/3+1, sagitta)
					}
				}
			}
			if math.Abs(bent-c.turn) > 1e-6 {
				t.Errorf("turned by %.9g degrees, want %g", bent, c.turn)
			}
			// Chords are shorter than the arc by less than 8/3 of the sagitta
			// squared a chord.
			if short := c.length - length; short < 0 || short > 0.02*c.length*chord/0.005 {
				t.Errorf("length %.6f, want %.6f", length, c.length)
			}
			if _, isArea := f.Geometry.(*geom.Polygon); isArea != (c.area != 0) {
				t.Fatalf("%T", f.Geometry)
			}
			if c.area != 0 && (math.Abs(area) > c.area || math.Abs(area) < c.area-c.length*chord) {
				t.Errorf("area %.6f, want %.6f", area, c.area)
			}
		})
	}
	p, _, err := Read([]byte(arc(0, 45, 90, "K START PC", "K", "K PT END")), wire.ReadOptions{Columns: "PENZD"})
	if err != nil {
		t.Fatal(err)
	}
	flat := p.Features[0].Geometry.FlatCoords()
	n := len(flat)/3 - 1 // chords; as many on either side of the middle point
	for i := 0; i <= n; i++ {
		want := 1 + 2*float64(i)/float64(n)
		if i > n/2 {
			want = 2 + 4*(float64(i)/float64(n)-0.5)
		}
		if d := math.Abs(flat[3*i+2] - want); d > 1e-9 {
			t.Errorf("height %d is %g, want %g", i, flat[3*i+2], want)
		}
	}
}

// In degrees a bend is round on the ground, not on paper.
func TestBendInDegrees(t *testing.T) {
	const lon, lat, r = 11.2, 56.95, 20.0
	// Metres of a degree on the sphere of 111320 m that the package states.
	dy := 1 / 111320.0
	dx := dy / math.Cos(lat*math.Pi/180)
	in := ""
	for i, a := range []float64{0, 60, 100} {
		sin, cos := math.Sincos(a * math.Pi / 180)
		in += fmt.Sprintf("%d,%.12f,%.12f,%s\n", i+1, lat+r*sin*dy, lon+r*cos*dx, []string{"K START PC", "K", "K PT"}[i])
	}
	p, _, err := Read([]byte(in), wire.ReadOptions{Columns: "id,lat,lon,code"})
	if err != nil {
		t.Fatal(err)
	}
	flat := p.Features[0].Geometry.FlatCoords()
	if len(flat) < 20 {
		t.Fatalf("only %d vertices", len(flat)/2)
	}
	for i := 0; i < len(flat); i += 2 {
		if d := math.Abs(math.Hypot((flat[i]-lon)/dx, (flat[i+1]-lat)/dy) - r); d > 1e-3 {
			t.Errorf("vertex %d stands %g m off", i/2+1, d)
		}
	}
}

// Poor positions are named, whatever a receiver calls them; good ones are not.
func TestQuality(t *testing.T) {
	const fix, sigma = "fix-poor", "sigma-large"
	for _, c := range []struct{ header, value, kind string }{
		{"fix", "float", fix}, {"Fix Type", "RTK Float", fix}, {"Solution", "Float solution", fix}, {"Solution type", "Autonomous", fix}, {"RTK status", "Navigated", fix},
		{"Quality", "Code differential", fix}, {"fix_quality", "2", fix}, {"fix", "5", fix}, {"fix", "5.0", fix}, {"fix", "1", fix}, {"fix", "0", fix}, {"Sol Type", "DGPS", fix},
		{"GNSS fix", "SBAS", fix}, {"fix", "No fix", fix}, {"fix", "not fixed", fix}, {"fix", "none", fix}, {"fix", "Stand alone", fix}, {"position type", "NARROW_FLOAT", fix},
		{"fix", "fix", ""}, {"fix", "Fixed", ""}, {"Fix Type", "RTK fixed", ""}, {"Solution", "Network Fixed", ""}, {"fix", "4", ""}, {"fix", "4.0", ""}, {"Sol Type", "NARROW_INT", ""},
		{"Fixture", "float", ""}, {"note", "float", ""}, {"fix", "", ""},
		{"sigma", "0.06", sigma}, {"sigma", "0.05", ""}, {"Sigma E [m]", "0.06", sigma}, {"σN", "0.06", sigma}, {"Std. Dev. H (m)", "0.06", sigma}, {"StdDev", "0.06", sigma},
		{"Standard error N", "0.06", sigma}, {"std_err_e", "0.06", sigma}, {"se_n", "0.06", sigma}, {"HRMS", "0.06", sigma}, {"VRMS (m)", "0.06", sigma}, {"Horizontal accuracy", "0.06", sigma},
		{"Hz Prec", "0.06", sigma}, {"Vert. Precision (m)", "0.06", sigma}, {"CQ 3D", "0.06", sigma}, {"sdn", "0.06", sigma}, {"lat_std", "0.06", sigma}, {"position_accuracy", "0.06", sigma},
		{"sigma_mm", "60", sigma}, {"sigma_mm", "49", ""}, {"HRMS (cm)", "6", sigma}, {"HRMS (cm)", "4", ""}, {"HRMS (ft)", "0.2", sigma}, {"HRMS (ft)", "0.1", ""}, {"Lagegenauigkeit [m]", "0.06", sigma},
		{"HDOP", "6", ""}, {"Satellites", "7", ""}, {"Standard", "6", ""}, {"prec", "good", ""},
	} {
		in := "id;e;n;" + c.header + "\nP1;0;0;\nP7;1;1;" + c.value + "\n"
		p, warnings, err := Read([]byte(in), wire.ReadOptions{Name: "f.csv"})
		if err != nil {
			t.Errorf("%q %q: %v", c.header, c.value, err)
			continue
		}
		got := ""
		for _, w := range warnings {
			if w.Kind == fix || w.Kind == sigma {
				got = w.Kind
				if !strings.Contains(w.Message, "P7") || strings.Contains(w.Message, "P1 ") || w.Line != 3 || w.Count != 1 {
					t.Errorf("%q %q: %+v", c.header, c.value, w)
				}
			}
		}
		if got != c.kind {
			t.Errorf("%q %q: warned of %q, want %q", c.header, c.value, got, c.kind)
		}
		if c.value != "" && p.Features[1].Attributes.Get(c.header).IsAbsent() {
			t.Errorf("%q %q: the attribute is gone: %s", c.header, c.value, p.Features[1].Attributes.AppendJSON(nil))
		}
	}
}

// What a GNSS rover exports, with everything carried and every poor point
// named.
func TestQualityExport(t *testing.T) {
	in := "P1;56,95;11,2;45,120;Fixed;0,008;0,7;18\nP2;56,951;11,201;45,220;Float;0,180;0,9;14\nP3;56,952;11,202;45,300;Autonomous;1,500;1,8;7\n"
	p, warnings, err := Read([]byte(in), wire.ReadOptions{Name: "f.csv", Columns: "id,lat,lon,h,fix_type,sigma_h_m,hdop,satellites"})
	if err != nil {
		t.Fatal(err)
	}
	want := `OGC:CRS84
"P1" other "" POINT Z (11.2 56.95 45.12) {"fix_type":"Fixed","sigma_h_m":0.008,"hdop":0.7,"satellites":18}
"P2" other "" POINT Z (11.201 56.951 45.22) {"fix_type":"Float","sigma_h_m":0.180,"hdop":0.9,"satellites":14}
"P3" other "" POINT Z (11.202 56.952 45.3) {"fix_type":"Autonomous","sigma_h_m":1.500,"hdop":1.8,"satellites":7}`
	if got := summary(p); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	var said []string
	for _, w := range warnings {
		if w.Kind == "fix-poor" || w.Kind == "sigma-large" {
			said = append(said, fmt.Sprintf("%s %d: %s", w.Kind, w.Count, w.Message))
		}
	}
	if got, want := strings.Join(said, "\n"), `fix-poor 2: positions without a fixed solution: P2 ("Float" in column "fix_type"), P3 ("Autonomous" in column "fix_type")
sigma-large 2: positions worse than the limit accuracy_m of 0.05 m: P2 (0.18 m, column "sigma_h_m"), P3 (1.5 m, column "sigma_h_m")`; got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	// The limit is the plan's.
	limits := schema.DefaultLimits()
	limits.AccuracyM = 0.2
	if _, warnings, _ = Read([]byte(in), wire.ReadOptions{Columns: "id,lat,lon,h,-,sigma_h_m,-,-", Limits: limits}); !strings.Contains(fmt.Sprint(warnings), "0.2 m: P3") {
		t.Errorf("with a limit of 0.2 m: %v", warnings)
	}
	// A vertex of a ring is a position too.
	in = "id,role,e,n,fix\nz,zone,0,0,4\nz,zone,1,0,5\nz,zone,1,1,4\n"
	if _, warnings, _ = Read([]byte(in), wire.ReadOptions{}); !strings.Contains(fmt.Sprint(warnings), `fix-poor 1 positions`) {
		t.Errorf("a poor corner: %v", warnings)
	}
	in = "id,seq,e,n,fix\nl,1,0,0,4\nl,2,1,0,4\nl,3,1,1,float\n"
	if _, warnings, _ = Read([]byte(in), wire.ReadOptions{}); !strings.Contains(fmt.Sprint(warnings), `fix-poor 1 positions`) {
		t.Errorf("a poor vertex: %v", warnings)
	}
}

func TestUnitsInHeaders(t *testing.T) {
	check(t, []readCase{
		{name: "US survey feet", in: "N (US ft),E (US ft),Z (US ft)\n3937,7874,3937\n", want: "unknown \"\" 0 {\"drawing\":{\"unit\":\"ftUS\",\"unit_m\":0.3048006096012192}}\n- other \"\" POINT Z (2400 1200 1200) {}", kinds: "columns unit crs-unknown"},
		{name: "in one word", in: "N_usft,E_USFT\n3937,7874\n", want: "unknown \"\" 0 {\"drawing\":{\"unit\":\"ftUS\",\"unit_m\":0.3048006096012192}}\n- other \"\" POINT (2400 1200) {}", kinds: "columns unit crs-unknown"},
		{name: "international feet", in: "Northing [ift],Easting [ift]\n1000,2000\n", want: "unknown \"\" 0 {\"drawing\":{\"unit\":\"ft\",\"unit_m\":0.3048}}\n- other \"\" POINT (609.6 304.8) {}", kinds: "columns unit crs-unknown"},
		{name: "a foot of some kind", in: "Northing (ft),Easting (ft)\n1000,2000\n", err: `"Easting (ft)" is in feet, and the two kinds of foot differ by 2 parts in a million`, line: 1},
		{name: "a foot of some kind, told", in: "Northing (ft),Easting (ft)\n3937,7874\n", o: wire.ReadOptions{Unit: "ftUS"}, want: "unknown \"\" 0 {\"drawing\":{\"unit\":\"ftUS\",\"unit_m\":0.3048006096012192}}\n- other \"\" POINT (2400 1200) {}", kinds: "columns unit crs-unknown"},
		{name: "millimetres", in: "x_mm,y_mm\n1500,2500\n", want: "unknown \"\" 0 {\"drawing\":{\"unit\":\"mm\",\"unit_m\":0.001}}\n- other \"\" POINT (1.5 2.5) {}", kinds: "columns unit crs-unknown"},
		{name: "centimetres", in: "x [cm],y [cm]\n150,250\n", want: "unknown \"\" 0 {\"drawing\":{\"unit\":\"cm\",\"unit_m\":0.01}}\n- other \"\" POINT (1.5 2.5) {}", kinds: "columns unit crs-unknown"},
		{name: "metres and heights in feet", in: "E (m),N (m),Elev (ft)\n1,2,10\n", want: "unknown\n- other \"\" POINT Z (1 2 3.048) {}", kinds: "columns unit crs-unknown"},
		{name: "degrees and heights in feet", in: "lat (deg),lon (deg),Elev (ft)\n56,9,10\n", want: "OGC:CRS84\n- other \"\" POINT Z (9 56 3.048) {}", kinds: "columns unit crs-assumed"},
		{name: "metres", in: "E (m),N [m],Elev_m\n1,2,3\n", want: "unknown\n- other \"\" POINT Z (1 2 3) {}", kinds: "columns crs-unknown"},
		{name: "told otherwise", in: "E (m),N (m)\n1000,2000\n", o: wire.ReadOptions{Unit: "mm"}, want: "unknown \"\" 0 {\"drawing\":{\"unit\":\"mm\",\"unit_m\":0.001}}\n- other \"\" POINT (1 2) {}", kinds: "columns unit-overridden unit crs-unknown"},
		{name: "heights of ours in feet", in: "id,role,name,part,ring,seq,e,n,h_ft,crs,attribute_order\nm,mark,,,,,1,2,10,EPSG:25832,\n", want: "EPSG:25832\n\"m\" mark \"\" POINT Z (1 2 3.048) {}", kinds: "unit"},
		{name: "heights of ours", in: "id,role,name,part,ring,seq,e,n,h,crs,attribute_order\nm,mark,,,,,1,2,10,EPSG:25832,\n", want: "EPSG:25832\n\"m\" mark \"\" POINT Z (1 2 10) {}"},
		{name: "two units", in: "E (m),N (mm)\n1000,2000\n", err: `"E (m)" and "N (mm)" are in different units`, line: 1},
	})
}

// A CRS in US survey feet takes feet of either name as its own, and metres by
// 3937/1200 feet a metre.
func TestUnitsIntoFeet(t *testing.T) {
	for _, c := range []struct {
		in   string
		want []float64
	}{
		{"Northing (ft),Easting (ft),Elev (ft)\n1840000,6500000,3937\n", []float64{6500000, 1840000, 1200}},
		{"Northing (m),Easting (m)\n561600,1981200\n", []float64{6499987, 1842516}},
		{"Northing,Easting\n1842516,6499987\n", []float64{6499987, 1842516}},
	} {
		p, _, err := Read([]byte(c.in), wire.ReadOptions{Name: "f.csv", CRS: mustCRS(t, "EPSG:2229")})
		if err != nil {
			t.Errorf("%q: %v", c.in, err)
			continue
		}
		for i, got := range p.Features[0].Geometry.FlatCoords() {
			if math.Abs(got-c.want[i]) > 2e-6 {
				t.Errorf("%q: coordinate %d is %.9f, want %.9f", c.in, i+1, got, c.want[i])
			}
		}
	}
}

// Spellings of 56 degrees 57 minutes 0.5 seconds north and 11 12 0.25 east:
// 56 + 57/60 + 0.5/3600 and 11 + 12/60 + 0.25/3600 degrees.
func TestAnglesInLists(t *testing.T) {
	for _, c := range []struct{ lat, lon string }{
		{`56°57'00.5"N`, `11°12'00.25"E`}, {`56° 57' 00.5" N`, `11° 12' 00.25" E`}, {`N56 57 00.5`, `E11 12 00.25`}, {`N 56°57′00.5″`, `E 11°12′00.25″`}, {`56-57-00.5N`, `11-12-00.25E`},
		{`56d57m0.5s`, `11d12m0.25s`}, {`56d57'0.5"N`, `11d12'0.25"E`}, {`56:57:00.5`, `11:12:00.25`}, {`56 57 00.5`, `+11 12 00.25`}, {`56°57.00833333333'`, `11°12.00416666667'`},
		{`56,95013888889`, `11,20006944444`}, {`56°57'00,5"N`, `11°12'00,25"E`}, {`56° 57' 00.5'' north`, `11° 12' 00.25'' east`}, {`56 deg 57 min 0.5 sec`, `11 deg 12 min 0.25 sec`}, {`56.95013888889N`, `11.20006944444E`},
	} {
		for _, sign := range []float64{1, -1} {
			lat, lon := c.lat, c.lon
			if sign < 0 {
				swap := strings.NewReplacer("N", "S", "E", "W", "north", "south", "east", "west")
				if lat, lon = swap.Replace(lat), swap.Replace(lon); lat == c.lat {
					lat, lon = "-"+lat, "-"+strings.TrimPrefix(lon, "+")
				}
			}
			p, _, err := Read([]byte("name\tlat\tlon\na\t"+lat+"\t"+lon+"\n"), wire.ReadOptions{Name: "f.csv"})
			if err != nil {
				t.Errorf("%s, %s: %v", lat, lon, err)
				continue
			}
			got := p.Features[0].Geometry.FlatCoords()
			wantLat, wantLon := sign*(56+57.0/60+0.5/3600), sign*(11+12.0/60+0.25/3600)
			if math.Abs(got[1]-wantLat) > 1e-11 || math.Abs(got[0]-wantLon) > 1e-11 {
				t.Errorf("%s, %s: got %v, want %v, %v", lat, lon, got, wantLon, wantLat)
			}
		}
	}
}
