// Tests of what lists hold besides numbers.

package csv

import (
	"math"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
)

func TestTidy(t *testing.T) {
	for _, tt := range []struct {
		name, in string
		x, y, h  float64
		id       string
		kinds    string
	}{
		{"French number sign", "N°;E;N;Z\n7;512345,50;6228011,25;45,1\n", 512345.5, 6228011.25, 45.1, "7", "columns crs-unknown decimal-mark"},
		{"job preamble", "Job: Garden 12\nDate, 2026-05-01\n\nPoint,Easting,Northing,Elevation\n7,512345.5,6228011.25,45.1\n", 512345.5, 6228011.25, 45.1, "7", "preamble columns crs-unknown"},
		{"a row above the header", "P1;512340.5;6228010.25;45.1\nsize 12.5 by 3.25\nPoint;Easting;Northing;Elevation\n7;512345.5;6228011.25;45.1\n", 512345.5, 6228011.25, 45.1, "7", "preamble preamble-drawn columns crs-unknown"},
		{"a row of units", "Point,Easting,Northing,Elevation\n,[m],[m],[m]\n7,512345.5,6228011.25,45.1\n", 512345.5, 6228011.25, 45.1, "7", "columns crs-unknown"},
		{"a row of other units", "Point,Easting,Northing,Elevation\n-,mm,mm,mm\n7,512345500,6228011250,45100\n", 512345.5, 6228011.25, 45.1, "7", "columns unit crs-unknown"},
		{"units behind numbers", "Point,Easting,Northing,Elevation\n7,512345.5 m,6228011.25m,98.470 m\n", 512345.5, 6228011.25, 98.47, "7", "columns crs-unknown"},
		{"no height", "Point,Easting,Northing,Elevation\n7,512345.5,6228011.25,-9999\n", 512345.5, 6228011.25, math.NaN(), "7", "columns height-none crs-unknown"},
		{"a hair from no height", "Point,Easting,Northing,Elevation\n7,512345.5,6228011.25,-9998\n", 512345.5, 6228011.25, -9998, "7", "columns crs-unknown"},
	} {
		p, warnings, err := Read([]byte(tt.in), wire.ReadOptions{Name: "t.csv"})
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
			continue
		}
		var kinds []string
		for _, w := range warnings {
			kinds = append(kinds, w.Kind)
			if drawn := w.Kind == "preamble-drawn"; w.Ground() != drawn || drawn && (w.Line != 1 || w.Count != 1) {
				t.Errorf("%s: %+v, ground %v", tt.name, w, w.Ground())
			}
		}
		g := p.Features[0].Geometry.(*geom.Point)
		at := append(append([]float64(nil), g.FlatCoords()...), math.NaN())
		same := math.Abs(at[0]-tt.x) < 1e-9 && math.Abs(at[1]-tt.y) < 1e-9 && (math.Abs(at[2]-tt.h) < 1e-9 || at[2] != at[2] && tt.h != tt.h)
		if !same || p.Features[0].ID.Text() != tt.id || strings.Join(kinds, " ") != tt.kinds || len(p.Features) != 1 {
			t.Errorf("%s: got %v, id %q, %s", tt.name, at, p.Features[0].ID.Text(), kinds)
		}
	}
	for _, tt := range []struct{ name, in, want string }{
		{"quoted headers without coordinates", "\"Name\",\"Role\"\n\"A\",\"zone\"\n", `t.csv:1: no columns hold coordinates; the first row, cut at commas, is "Name", "Role"; name two columns lon and lat, or e and n, or one wkt`},
		{"other units behind numbers", "Point,Easting,Northing\n7,512345.5 ft,6228011.25 ft\n", `"512345.5 ft" in the column "Easting": it is no number`},
		{"a row of two units", "Point,Easting,Northing\n,m,ft\n7,512345.5,6228011.25\n", "are in different units"},
		{"nothing but a preamble", "Job: Garden\nDate: today\n", "no columns hold coordinates"},
	} {
		if _, _, err := Read([]byte(tt.in), wire.ReadOptions{Name: "t.csv"}); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: %v, want %s", tt.name, err, tt.want)
		}
	}
}

// TestLineCodes: by default only words that mean nothing else draw lines; a
// crew's own table adds others.
func TestLineCodes(t *testing.T) {
	list := func(start, end string) []byte {
		return []byte("1,0,0,KERB " + start + "\n2,0,1,KERB\n3,1,1,KERB " + end + "\n")
	}
	for _, tt := range []struct {
		start, end, table string
		features          int
		area              bool
	}{
		{"START", "END", "", 1, false}, {"START", "CLOSE", "", 1, true}, {"start", "close", "", 1, true},
		{"ST", "CL", "", 3, false}, {"BL", "EL", "", 3, false}, {"STA", "CLS", "", 3, false}, {"BEG", "EN", "", 3, false},
		{"ST", "CL", "st = start, CL=CLOSE", 1, true}, {"ST", "CLOSE", "ST=START", 1, true}, {"ST", "END", "XX=START", 3, false},
	} {
		p, _, err := Read(list(tt.start, tt.end), wire.ReadOptions{Columns: "PNED", LineCodes: tt.table})
		if err != nil || len(p.Features) != tt.features {
			t.Errorf("%s %s with %q: %v, %v", tt.start, tt.end, tt.table, p, err)
			continue
		}
		if line, ok := p.Features[0].Geometry.(*geom.LineString); ok && (line.NumCoords() == 4) != tt.area {
			t.Errorf("%s %s with %q: %d points", tt.start, tt.end, tt.table, line.NumCoords())
		}
	}
	for _, bad := range []string{"ST", "ST=BEGIN", "=START", "A B=START", "ST=START,,"} {
		if _, _, err := Read(list("START", "END"), wire.ReadOptions{Columns: "PNED", LineCodes: bad}); err == nil || !strings.Contains(err.Error(), "says no line code; write pairs such as") {
			t.Errorf("%q: %v", bad, err)
		}
	}
}
