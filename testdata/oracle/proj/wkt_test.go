// WKT as libproj writes it, in four forms, for every entry of the catalogue:
// recognised with its code and, where a form has none, by its parameters.

package proj

import (
	"regexp"
	"strconv"
	"strings"
	"testing"

	"swardline/crs"
)

// lastID is the identifier at the end of a text, the CRS's own.
var lastID = regexp.MustCompile(`,\s*(ID\["EPSG",\d+\]|AUTHORITY\["EPSG","\d+"\])\s*\]\s*$`)

func TestWKTOfEveryCRS(t *testing.T) {
	ctx := NewContext()
	defer ctx.Close()
	forms := []struct {
		name string
		form int
	}{{"WKT2:2019", WKT2v2019}, {"WKT2:2015", WKT2v2015}, {"WKT1 (GDAL)", WKT1GDAL}, {"WKT1 (.prj)", WKT1PRJ}}
	all := crs.List()
	for _, f := range forms {
		var written, same, twin, other, failed int
		shown := 0
		for _, c := range all {
			if since[c.Code()] != "" {
				continue
			}
			text := ctx.WKT(c.ID(), f.form)
			if text == "" {
				continue // libproj cannot write it
			}
			texts := []string{text}
			if bare := lastID.ReplaceAllString(text, "]"); bare != text {
				texts = append(texts, bare)
			}
			for _, text := range texts {
				written++
				got, err := crs.Parse(text)
				switch {
				case err != nil:
					failed++
					if shown++; shown <= 12 {
						t.Logf("%s %s: %v", f.name, c.ID(), err)
					}
				case got.ID() == c.ID():
					same++
				case sameCoordinates(got, c):
					twin++ // two codes for the same coordinates, but for the axes' order or a name
				default:
					other++
					if shown++; shown <= 12 {
						t.Logf("%s %s %s: read as %s %s", f.name, c.ID(), c.Name(), clip(got.ID()), got.Name())
					}
				}
			}
		}
		t.Logf("%s: %d texts, %d the same code, %d another code of the same coordinates, %d not recognised, %d not read",
			f.name, written, same, twin, other, failed)
		if written < 5000 {
			t.Errorf("%s: only %d texts", f.name, written)
		}
		if same+twin < written*allowed[f.form]/1000 {
			t.Errorf("%s: only %d of %d recognised", f.name, same+twin, written)
		}
	}
}

// since says what changed between EPSG v10.076, which libproj 9.1.1 writes, and
// v12.029, so that a text of then is not the entry of now.
var since = map[int]string{
	3408: "its sphere of no datum was withdrawn", 3409: "its sphere of no datum was withdrawn", 3410: "its sphere of no datum was withdrawn",
	3411: "its ellipsoid of no datum was withdrawn", 3412: "its ellipsoid of no datum was withdrawn",
	6622: "on NAD83(CSRS) then, on its version 2 now", 6624: "on NAD83(CSRS) then, on its version 2 now", 9377: "on MAGNA-SIRGAS then, on MAGNA-SIRGAS 2018 now",
}

// allowed is how many in a thousand must be recognised.
var allowed = map[int]int{WKT2v2019: 1000, WKT2v2015: 1000, WKT1GDAL: 999, WKT1PRJ: 998}

func clip(s string) string {
	if len(s) > 80 {
		return s[:80] + "..."
	}
	return strconv.Quote(s)
}

// sameCoordinates reports whether two CRSs of the same datum give a point of
// the area the same coordinates.
func sameCoordinates(a, b *crs.CRS) bool {
	if a.Kind() != b.Kind() || a.DatumCode() != b.DatumCode() {
		return false
	}
	if a.Kind() != crs.KindProjected {
		return a.UnitDegrees() == b.UnitDegrees()
	}
	w, s, e, n, ok := b.Area()
	if !ok {
		return false
	}
	if w > e {
		e += 360
	}
	p := []float64{w + 0.3*(e-w), s + 0.6*(n-s)}
	q := append([]float64(nil), p...)
	if a.FromGeodetic(p, 2) != nil || b.FromGeodetic(q, 2) != nil {
		return false
	}
	d := max(abs(p[0]-q[0]), abs(p[1]-q[1]))
	return d < 0.002 && strings.TrimSpace(a.Name()) != ""
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}
