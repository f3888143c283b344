// The doors: every way from one system to another ends at the same coordinates.

package job

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"

	"swardline/convert"
	"swardline/crs"
	"swardline/schema"
)

// sameDoor is the most, in metres, that two ways may differ by. Where a way
// ends the coordinates are taken before they are written; a format on the way
// writes ten decimals of a degree or five of a metre, which are good to 0.007
// mm.
const sameDoor = 1e-5

func TestEveryDoorEndsAtTheSameCoordinates(t *testing.T) {
	for _, c := range []struct {
		from, frame, to string
		accept          float64
		x, y            [3]float64 // of a zone's corners, in from
		degrees         bool       // longitude and latitude in between lose nothing
	}{
		{"EPSG:25832", "", "EPSG:3035", 0, [3]float64{500000, 500020, 500020}, [3]float64{5761000, 5761000, 5761012}, true},
		{"EPSG:25832", "", "EPSG:25833", 0, [3]float64{700000, 700020, 700020}, [3]float64{5761000, 5761000, 5761012}, true},
		{"OGC:CRS84", "ETRS89", "EPSG:25832", 0, [3]float64{9, 9.0003, 9.0003}, [3]float64{52, 52, 52.0002}, true},
		{"OGC:CRS84", "GDA2020", "EPSG:7856", 0, [3]float64{151, 151.0003, 151.0003}, [3]float64{-33, -33, -33.0002}, true},
		{"OGC:CRS84", "GDA94", "EPSG:7856", 0, [3]float64{151, 151.0003, 151.0003}, [3]float64{-33, -33, -33.0002}, true},
		{"OGC:CRS84", "", "EPSG:32632", 0, [3]float64{9, 9.0003, 9.0003}, [3]float64{52, 52, 52.0002}, true},
		{"OGC:CRS84", "", "EPSG:25832", 2, [3]float64{9, 9.0003, 9.0003}, [3]float64{52, 52, 52.0002}, true},
		{"EPSG:28356", "", "EPSG:7856", 0.01, [3]float64{313150, 313170, 313170}, [3]float64{6346930, 6346930, 6346942}, true},
		{"EPSG:26714", "", "EPSG:26914", 11, [3]float64{500000, 500020, 500020}, [3]float64{4200000, 4200000, 4200012}, false},
		{"EPSG:23030", "", "EPSG:25830", 5, [3]float64{440000, 440020, 440020}, [3]float64{4470000, 4470000, 4470012}, false},
		{"EPSG:27700", "", "EPSG:25830", 5, [3]float64{430000, 430020, 430020}, [3]float64{260000, 260000, 260012}, false},
		{"EPSG:25832", "", "site:lat=51.9;lon=9;h=100;rotation=10", 0, [3]float64{500000, 500020, 500020}, [3]float64{5750000, 5750000, 5750012}, true},
		{"site:lat=51.9;lon=9;h=100;base=EPSG:4258", "", "EPSG:25832", 0, [3]float64{0, 20, 20}, [3]float64{0, 0, 12}, true},
		{"EPSG:2278", "", "EPSG:32140", 0, [3]float64{2000000, 2000060, 2000060}, [3]float64{13500000, 13500000, 13500040}, true},
	} {
		t.Run(c.from+" "+c.frame+" to "+c.to, func(t *testing.T) {
			d := &doors{t: t, to: c.to, moving: Moving{AcceptAccuracyM: c.accept}}
			d.plan(c.from, c.frame, c.x, c.y)
			d.walk(c.degrees)
			d.place(c.from, c.frame, c.x, c.y)
			d.bundle()
			if d.ways < 7 {
				t.Errorf("only %d ways were compared", d.ways)
			}
		})
	}
}

// doors are the ways from one plan to one system.
type doors struct {
	t      *testing.T
	to     string
	moving Moving
	start  []byte    // the plan, as CSV
	first  []float64 // what the first way ended at
	ways   int
}

func (d *doors) plan(from, frame string, x, y [3]float64) {
	text := fmt.Sprintf("id,role,wkt,crs\nz1,zone,\"POLYGON((%.10f %.10f,%.10f %.10f,%.10f %.10f,%.10f %.10f))\",%s\n", x[0], y[0], x[1], y[1], x[2], y[2], x[0], y[0], from)
	d.start = []byte(text)
	if frame != "" {
		d.start = d.converted(d.start, "a.csv", "b.csv", "", Reading{InFrame: frame})
	}
}

// converted is one conversion; its errors end the test.
func (d *doors) converted(data []byte, source, target, to string, r Reading) []byte {
	d.t.Helper()
	_, text := d.convert(data, source, target, to, r)
	return text
}

func (d *doors) convert(data []byte, source, target, to string, r Reading) (*schema.Plan, []byte) {
	d.t.Helper()
	m := &Memory{In: []File{{source, data}}}
	j := &Job{Store: m}
	layout := ""
	if strings.HasPrefix(target, "points") {
		layout = "points"
	}
	done, err := j.Convert(&ConvertOptions{Source: source, Target: target, To: to, Reading: r, Moving: d.moving, Writing: Writing{Layout: layout}})
	if err != nil {
		d.t.Fatalf("%s to %s: %v", source, target, err)
	}
	return done.Plan, m.Out[0].Bytes
}

// ends compares where a way ended with where the first did.
func (d *doors) ends(way string, p *schema.Plan) {
	d.t.Helper()
	if p.CRS == nil {
		d.t.Fatalf("%s: no CRS", way)
	}
	got := corners(p)
	if d.first == nil {
		d.first = got
		return
	}
	d.ways++
	unit := p.CRS.UnitMetres()
	if p.CRS.IsDegrees() {
		unit = 111_320
	}
	if worst := apart(got, d.first) * unit; !(worst <= sameDoor) {
		d.t.Errorf("%s ends %.6f m from the first way: %v, not %v", way, worst, got, d.first)
	}
}

// corners are the different points of the zone, in no order that a writer
// changes.
func corners(p *schema.Plan) []float64 {
	for _, f := range p.Features {
		if f.Role == schema.RoleZone {
			flat, stride := f.Geometry.FlatCoords(), f.Geometry.Stride()
			var out []float64
			for i := 0; i+1 < len(flat); i += stride {
				out = append(out, flat[i], flat[i+1])
			}
			return out
		}
	}
	return nil
}

// apart is the greatest distance from a point of a to the nearest of b.
func apart(a, b []float64) float64 {
	if len(a) < 6 || len(b) < 6 {
		return math.Inf(1)
	}
	worst := 0.0
	for i := 0; i+1 < len(a); i += 2 {
		best := math.Inf(1)
		for k := 0; k+1 < len(b); k += 2 {
			best = min(best, math.Hypot(a[i]-b[k], a[i+1]-b[k+1]))
		}
		worst = max(worst, best)
	}
	return worst
}

// walk goes there at once, and by way of every format.
func (d *doors) walk(degrees bool) {
	for _, last := range []string{"b.csv", "points.csv", "b.geojson"} {
		end, _ := d.convert(d.start, "a.csv", last, d.to, Reading{})
		d.ends("convert to "+last, end)
	}
	for _, by := range []string{"points.csv", "c.geojson", "c.kml", "c.kmz", "c.gpx"} {
		if strings.HasSuffix(by, ".csv") || strings.HasSuffix(by, ".geojson") || degrees {
			between := d.converted(d.start, "a.csv", by, "", Reading{})
			end, _ := d.convert(between, by, "b.csv", d.to, Reading{})
			d.ends("convert by way of "+by, end)
		}
	}
}

// place fits a drawing to the same corners as marks; three marks and six
// unknowns fit them exactly.
func (d *doors) place(from, frame string, x, y [3]float64) {
	list := "name,x,y,e,n,crs\n"
	if c, err := crs.Parse(from); err == nil && c.IsDegrees() {
		list = "name,x,y,lon,lat,crs\n"
	}
	local := [3][2]float64{{0, 0}, {20, 0}, {20, 12}}
	ring := ""
	for i := range 4 {
		k := i % 3
		if i < 3 {
			list += fmt.Sprintf("M%d,%g,%g,%.10f,%.10f,\"%s\"\n", i, local[k][0], local[k][1], x[k], y[k], from)
		} else {
			ring += ","
		}
		if i > 0 && i < 3 {
			ring += ","
		}
		ring += fmt.Sprintf("%g %g", local[k][0], local[k][1])
	}
	m := &Memory{In: []File{{"d.csv", []byte("id,role,wkt\nz1,zone,\"POLYGON((" + ring + "))\"\n")}, {"m.csv", []byte(list)}}}
	j := &Job{Store: m}
	placed, err := j.Place(&PlaceOptions{Source: "d.csv", Target: "b.csv", Marks: "m.csv", Model: "affine", To: d.to, Reading: Reading{InFrame: frame}, Moving: d.moving})
	if err != nil {
		d.t.Fatalf("place: %v", err)
	}
	d.ends("place", placed.Plan)
}

// bundle hands the plan over in the system.
func (d *doors) bundle() {
	m := &Memory{In: []File{{"a.csv", d.start}}}
	j := &Job{Store: m}
	if err := j.Sheet(&SheetOptions{Source: "a.csv", Bundle: "b.zip", Grid: d.to, Date: "2026-01-02", Moving: d.moving}); err != nil {
		d.t.Fatalf("bundle: %v", err)
	}
	data := m.Out[0].Bytes
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		d.t.Fatal(err)
	}
	for _, name := range []string{bundleGeoJSON, bundleCSV} {
		f, err := z.Open(name)
		if err != nil {
			d.t.Fatal(err)
		}
		text, err := io.ReadAll(f)
		if err != nil {
			d.t.Fatal(err)
		}
		p, _, err := convert.Read(text, convert.ReadOptions{Format: convert.FormatByEnding(name).Name})
		if err != nil {
			d.t.Fatal(err)
		}
		d.ends("the bundle's "+name, p)
	}
}
