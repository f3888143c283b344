// Solutions: all forms of place and time, standard errors, faults, any bytes.

package solution

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"swardline/convert/wire"
	"swardline/convert/wire/fixes"
)

const errorColumns = "   Q  ns   sdn(m)   sde(m)   sdu(m)  sdne(m)  sdeu(m)  sdun(m) age(s)  ratio\n"

// The same place in each form. Geocentric numbers are those of longitude 9,
// latitude 56, height 50 on WGS 84 by the closed formulas (a = 6378137, 1/f =
// 298.257223563).
func TestForms(t *testing.T) {
	const a, f = 6378137.0, 1 / 298.257223563
	e2 := f * (2 - f)
	sinB, cosB := math.Sincos(56 * math.Pi / 180)
	sinL, cosL := math.Sincos(9 * math.Pi / 180)
	nu := a / math.Sqrt(1-e2*sinB*sinB)
	x, y, z := (nu+50)*cosB*cosL, (nu+50)*cosB*sinL, (nu*(1-e2)+50)*sinB
	for _, tt := range []struct{ name, text, sigma string }{
		{"degrees", "%  GPST   latitude(deg) longitude(deg)  height(m)" + errorColumns + "2024/03/01 12:00:18.000 56.0 9.0 50.0 1 12 0.003 0.004 0.01 0 0 0 1.0 9.9\n", "0.004 0.003 0.010"},
		{"week", "%  GPST   latitude(deg) longitude(deg)  height(m)" + errorColumns + "2303 475218.000 56.0 9.0 50.0 1 12 0.003 0.004 0.01 0 0 0 1.0 9.9\n", "0.004 0.003 0.010"},
		{"UTC with commas", "%  UTC,   latitude(deg),longitude(deg),height(m)" + errorColumns + "2024/03/01 12:00:00,56.0,9.0,50.0,1,12,0.003,0.004,0.01\n", "0.004 0.003 0.010"},
		{"sexagesimal", `%  JST   latitude(d'") longitude(d'")  height(m)` + errorColumns + "2024/03/01 21:00:00.000 56 00 00.00000 9 00 00.00000 50.0 1 12 0.003 0.004 0.01 0 0 0 1.0 9.9\n", "0.004 0.003 0.010"},
		{"geocentric", "%  GPST   x-ecef(m) y-ecef(m) z-ecef(m) Q ns sdx(m) sdy(m) sdz(m) sdxy(m) sdyz(m) sdzx(m) age(s) ratio\n" + fmt.Sprintf("2024/03/01 12:00:18 %.6f %.6f %.6f 1 12 0.005 0.005 0.005 0 0 0 1.0 9.9\n", x, y, z), "0.005 0.005 0.005"},
		{"baseline", "% ref pos   :  56.0  9.0  40.0\n%  GPST   e-baseline(m) n-baseline(m) u-baseline(m) Q ns sde(m) sdn(m) sdu(m) sden(m) sdnu(m) sdue(m) age(s) ratio\n2024/03/01 12:00:18 0 0 10 1 12 0.004 0.003 0.01 0 0 0 1.0 9.9\n", "0.004 0.003 0.010"},
		{"baseline from a geocentric base", fmt.Sprintf("%% ref pos   :  %.4f %.4f %.4f\n%%  GPST   e-baseline(m) n-baseline(m) u-baseline(m) Q ns sde(m) sdn(m) sdu(m)\n2024/03/01 12:00:18 0 0 0 1 12 0.004 0.003 0.01\n", x, y, z), "0.004 0.003 0.010"},
	} {
		var tally wire.Tally
		var list []fixes.Fix
		err := Fixes([]byte("% program : any\n"+tt.text), &tally, func(f fixes.Fix) error { list = append(list, f); return nil })
		if err != nil || len(list) != 1 {
			t.Errorf("%s: %v", tt.name, err)
			continue
		}
		p := list[0]
		if math.Abs(p.Lat-56) > 1e-9 || math.Abs(p.Lon-9) > 1e-9 || math.Abs(p.Height-50) > 1e-4 || p.Quality != fixes.Fixed || p.Satellites != 12 {
			t.Errorf("%s: %+v", tt.name, p)
		}
		if got := fmt.Sprintf("%.3f %.3f %.3f", p.SigmaE, p.SigmaN, p.SigmaU); got != tt.sigma {
			t.Errorf("%s: sigma %s, want %s", tt.name, got, tt.sigma)
		}
		if got := p.Time.Format("2006-01-02T15:04:05Z"); got != "2024-03-01T12:00:00Z" {
			t.Errorf("%s: at %s", tt.name, got)
		}
		if !Detect([]byte("% program : any\n" + tt.text)) {
			t.Errorf("%s: not known for a solution", tt.name)
		}
	}
}

func TestRead(t *testing.T) {
	const head = "% (lat/lon/height=WGS84/ellipsoidal,Q=1:fix)\n%  UTC  latitude(deg) longitude(deg)  height(m)" + errorColumns
	p, warnings, err := Read([]byte(head+"2024/03/01 12:00:00.000 -33.5 151.25 50.0 1 12 0.003 0.004 0.01\n2024/03/01 12:00:01.500 -33.5 151.25 50.1 2 8 0.3 0.4 1\n"), wire.ReadOptions{Name: "a.pos"})
	if err != nil || len(warnings) != 0 {
		t.Fatal(warnings, err)
	}
	if got := string(p.Features[0].Attributes.AppendJSON(nil)); got != `{"times":["2024-03-01T12:00:00Z","2024-03-01T12:00:01.5Z"],"fix":["fixed","float"],"sigma":[0.005,0.5]}` {
		t.Error(got)
	}
	if _, warnings, err = Read([]byte(strings.Replace(head, "/ellipsoidal", "/geodetic", 1)+"2024/03/01 12:00:00.000 -33.5 151.25 50.0 5 12 3 4 5\n"), wire.ReadOptions{}); err != nil || len(warnings) != 1 || warnings[0].Kind != "height-geoid" {
		t.Error(warnings, err)
	}
	for text, want := range map[string]string{
		"hello\n":   "x:1: no comment before this line names the columns",
		"% hello\n": "x: no comment names the columns of a solution",
		head:        "x: the log holds no position",
		head + "2024/03/01 12:00:00 91 9 50 1 12\n":                                           "x:3: a latitude of 91",
		head + "2024/03/01 25:00:00 56 9 50 1 12\n":                                           "x:3: a time such as",
		head + "2024/03/01 12:00:00 56 9\n":                                                   "x:3: a position has time, three coordinates",
		head + "2024/03/01 12:00:00 56 nine 50 1 12\n":                                        `x:3: a number should stand where "nine" does`,
		head + "2024/03/01 12:00:00 56 9 50 77 12\n":                                          "x:3: there is no quality Q of 77",
		"% GPST e-baseline(m) n-baseline(m) u-baseline(m) Q ns\n2303 1 0 0 0 1 9\n":           "x:2: the positions are baselines, but no comment gives the reference position",
		"% ref pos : a b c\n% GPST e-baseline(m) n-baseline(m) u-baseline(m)\n2303 1 0 0 0 1": "x:1: the reference position should be numbers",
	} {
		_, _, err := Read([]byte(text), wire.ReadOptions{Name: "x"})
		var in *wire.InputError
		if !errors.As(err, &in) || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte("% ref pos : 56 9 50\n%  GPST   e-baseline(m) n-baseline(m) u-baseline(m) Q ns sde(m)\n2303 475218.000 1 2 3 1 12 0.1 0.2 0.3\n"))
	f.Add([]byte("%  GPST   x-ecef(m) y-ecef(m) z-ecef(m) Q ns sdx(m)\n2303 475218.000 3580000 560000 5260000 1 12 0.1 0.2 0.3 0 0 0\n"))
	f.Add([]byte("%  JST   latitude(d'\") longitude(d'\")  height(m)\n2024/03/01 21:00:00.000 56 00 00.00000 9 00 00.00000 50.0 1 12\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, _, err := Read(data, wire.ReadOptions{Name: "x"})
		var in *wire.InputError
		if err != nil && (!errors.As(err, &in) || in.Problem == "") {
			t.Fatalf("no clear error: %q", err)
		}
		if err == nil && len(p.Features) != 1 {
			t.Fatal("no feature")
		}
	})
}
