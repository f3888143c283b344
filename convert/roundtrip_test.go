// The property that matters most: a plan that goes through any format and back
// is the plan it was.

package convert

import (
	"bytes"
	"fmt"
	"os"
	"slices"
	"strconv"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
	"swardline/testdata/randplan"
)

// seeds is how many random plans each property is tried on; SWARDLINE_SEEDS
// sets another number.
func seeds(t testing.TB) uint64 {
	if s := os.Getenv("SWARDLINE_SEEDS"); s != "" {
		n, err := strconv.ParseUint(s, 10, 32)
		if err != nil {
			t.Fatalf("SWARDLINE_SEEDS: %v", err)
		}
		return n
	}
	if !randplan.Long() {
		return 50
	}
	return 1000
}

// tolerance of a round trip, in metres: 0.1 mm.
const tolerance = 1e-4

func write(t testing.TB, p *schema.Plan, format, layout string) []byte {
	t.Helper()
	var b bytes.Buffer
	losses, err := Write(&b, p, format, WriteOptions{Layout: layout})
	if err != nil {
		t.Fatalf("writing %s: %v", format, err)
	}
	if len(losses) > 0 {
		t.Fatalf("writing %s lost: %+v", format, losses)
	}
	return b.Bytes()
}

func read(t testing.TB, data []byte, name string) *schema.Plan {
	t.Helper()
	p, warnings, err := Read(data, ReadOptions{ReadOptions: wire.ReadOptions{Name: name}})
	if err != nil {
		t.Fatalf("reading back: %v\n%s", err, clip(data))
	}
	// A random attribute may be called geometry and hold one, or extensions and hold
	// positions: that is told, and would go along.
	told := len(warnings)
	if warnings = slices.DeleteFunc(warnings, func(w Warning) bool { return w.Kind == "geometry-second" || w.Kind == "drawn-elsewhere" }); len(warnings) < told {
		p.ForgetBeside()
	}
	if len(warnings) > 0 {
		t.Fatalf("reading back warned: %+v\n%s", warnings, clip(data))
	}
	return p
}

func clip(b []byte) []byte { return b[:min(len(b), 4000)] }

// TestRoundTripOfRandomPlans takes each plan to GeoJSON, from there to every
// format and layout and back to GeoJSON, which must come out byte for byte.
func TestRoundTripOfRandomPlans(t *testing.T) {
	tried := 0
	for _, f := range Formats {
		if f.Write == nil || f.Drawing || f.Lossy {
			continue // a drawing holds no degrees; its own tests go through a grid
		}
		layouts := f.Layouts
		if layouts == nil {
			layouts = []string{""}
		}
		for _, layout := range layouts {
			tried++
			t.Run(fmt.Sprintf("%s%s", f.Name, layout), func(t *testing.T) {
				t.Parallel()
				for seed := uint64(0); seed < seeds(t); seed++ {
					p := randplan.New(seed, randplan.Options{})
					first := write(t, p, "geojson", "")
					a := read(t, first, "a.geojson")
					if err := schema.Same(p, a, 0); err != nil {
						t.Fatalf("seed %d: the plan against its GeoJSON: %v\n%s", seed, err, clip(first))
					}
					middle := write(t, a, f.Name, layout)
					b := read(t, middle, "b"+f.Endings[0])
					if err := schema.Same(a, b, tolerance); err != nil {
						t.Fatalf("seed %d: %v\n%s", seed, err, clip(middle))
					}
					last := write(t, b, "geojson", "")
					if !bytes.Equal(first, last) {
						t.Fatalf("seed %d: GeoJSON differs after %s:\n%s\nagainst\n%s", seed, f.Name, clip(first), clip(last))
					}
				}
			})
		}
	}
	if tried == 0 {
		t.Fatal("no format was tried")
	}
}

// TestRoundTripInASiteGrid does the same with plans in metres of a site grid,
// with an epoch, for the formats that hold any system.
func TestRoundTripInASiteGrid(t *testing.T) {
	tried := 0
	for _, f := range Formats {
		if f.Write == nil || f.Drawing || f.WGS84Only || f.Lossy {
			continue
		}
		layouts := f.Layouts
		if layouts == nil {
			layouts = []string{""}
		}
		for _, layout := range layouts {
			tried++
			t.Run(fmt.Sprintf("%s%s", f.Name, layout), func(t *testing.T) {
				t.Parallel()
				for seed := uint64(0); seed < max(20, seeds(t)/10); seed++ {
					p := randplan.New(seed, randplan.Options{})
					origin := p.Somewhere()
					if origin == nil {
						continue // a plan without a place
					}
					origin.H = 0
					site, err := crs.NewSite(crs.SiteGrid{Origin: *origin, Scale: 1.0001, RotationDeg: 12.5, FalseE: 1000, FalseN: 2000})
					if err != nil {
						t.Fatal(err)
					}
					for _, g := range p.Features {
						if err := flats(g.Geometry, site.FromGeodetic); err != nil {
							t.Fatal(err)
						}
					}
					p.CRS = site
					first := write(t, p, "geojson", "")
					a := read(t, first, "a.geojson")
					if err := schema.Same(p, a, tolerance); err != nil {
						t.Fatalf("seed %d: the plan against its GeoJSON: %v\n%s", seed, err, clip(first))
					}
					middle := write(t, a, f.Name, layout)
					b := read(t, middle, "b"+f.Endings[0])
					if err := schema.Same(a, b, tolerance); err != nil {
						t.Fatalf("seed %d: %v\n%s", seed, err, clip(middle))
					}
					if last := write(t, b, "geojson", ""); !bytes.Equal(first, last) {
						t.Fatalf("seed %d: GeoJSON differs after %s:\n%s\nagainst\n%s", seed, f.Name, clip(first), clip(last))
					}
				}
			})
		}
	}
	if tried < 2 {
		t.Fatalf("only %d formats and layouts were tried", tried)
	}
}

func flats(g geom.T, f func(flat []float64, stride int) error) error {
	switch g := g.(type) {
	case nil:
		return nil
	case *geom.GeometryCollection:
		for _, part := range g.Geoms() {
			if err := flats(part, f); err != nil {
				return err
			}
		}
		return nil
	}
	return f(g.FlatCoords(), g.Stride())
}

// A role of other that somebody said is not one that nobody said: each stays
// what it is there and back, in every format, and so does a word that is no
// role.
func TestRoleOtherThereAndBack(t *testing.T) {
	utm, err := crs.Parse("EPSG:32632")
	if err != nil {
		t.Fatal(err)
	}
	words := []string{"", "other", "lawn", "zone"}
	for _, f := range Formats {
		if f.Write == nil {
			continue
		}
		for _, layout := range append([]string{""}, f.Layouts...) {
			p := &schema.Plan{CRS: crs.WGS84()}
			x, y := 9.1, 56.2
			if f.Drawing {
				p.CRS, x, y = utm, 506000, 6228000
			}
			for i, word := range words {
				a := &schema.Feature{Role: schema.RoleOther, Name: fmt.Sprint("line ", i), Geometry: geom.NewLineStringFlat(geom.XY, []float64{x, y, x + 0.01, y, x, y + 0.01})}
				if role, ok := schema.ParseRole(word); ok && role != schema.RoleOther {
					a.Role = role
				} else if word != "" {
					a.Attributes.Set(schema.PropRole, schema.String(word))
				}
				p.Features = append(p.Features, a)
			}
			var out bytes.Buffer
			if _, err := Write(&out, p, f.Name, WriteOptions{Layout: layout}); err != nil {
				t.Fatal(err)
			}
			b, _, err := Read(out.Bytes(), ReadOptions{ReadOptions: wire.ReadOptions{Name: "b" + f.Endings[0]}})
			if err != nil || len(b.Features) != len(words) {
				t.Fatalf("%s %s: %v", f.Name, layout, err)
			}
			for _, a := range b.Features {
				i := int(a.Name[len(a.Name)-1] - '0')
				said := a.Attributes.Get(schema.PropRole).Text()
				if a.Role == schema.RoleZone {
					said += "zone"
				}
				if said != words[i] {
					t.Errorf("%s %s: the role %q comes back as %q", f.Name, layout, words[i], said)
				}
			}
		}
	}
}

// A file that another hand made says other as well.
func TestRoleOtherOfOthers(t *testing.T) {
	const placemark = `<kml xmlns="http://www.opengis.net/kml/2.2"><Placemark><ExtendedData><Data name="role"><value>other</value></Data></ExtendedData><Point><coordinates>9.1,56.2</coordinates></Point></Placemark></kml>`
	for name, text := range map[string]string{
		"ours.csv":    "id,role,name,wkt,crs\na,other,A,POINT (9.1 56.2),OGC:CRS84\n",
		"points.csv":  "id,role,name,part,ring,seq,lon,lat,crs\na,other,A,,,,9.1,56.2,OGC:CRS84\n",
		"foreign.csv": "name,role,lon,lat\nA,other,9.1,56.2\nB,Other,9.1,56.3\n",
		"a.kml":       placemark,
		"a.topojson":  `{"type":"Topology","arcs":[],"objects":{"x":{"type":"Point","coordinates":[9.1,56.2],"properties":{"role":"other"}}}}`,
		"a.geojson":   `{"type":"Feature","geometry":{"type":"Point","coordinates":[9.1,56.2]},"properties":{"role":"other"}}`,
	} {
		p, _, err := Read([]byte(text), ReadOptions{ReadOptions: wire.ReadOptions{Name: name}})
		if err != nil || len(p.Features) == 0 {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for _, f := range p.Features {
			if f.Role != schema.RoleOther || f.Attributes.Get(schema.PropRole).Text() != "other" {
				t.Errorf("%s: role %q, attributes %v", name, f.Role, f.Attributes)
			}
		}
	}
}
