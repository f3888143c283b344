// Tests of what a feature says of its own place, from both sides.

package validate_test

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"swardline/crs"
	"swardline/schema"
	"swardline/validate"
)

// TestPlanSaid: a plan that says in its members where it lies, how large it is and whose,
// each a hair on either side.
func TestPlanSaid(t *testing.T) {
	const degree = 111_320.0
	text := schema.String
	plan := func(key string, v schema.Value) func(p *plot) { return func(p *plot) { member(p, key, v) } }
	north := func(m float64) schema.Value { return num(math.Round((plotLat+m/degree)*1e9) / 1e9) }
	object := func(pairs ...any) (v schema.Value) {
		var out schema.Attributes
		for i := 0; i < len(pairs); i += 2 {
			out.Set(pairs[i].(string), pairs[i+1].(schema.Value))
		}
		return schema.Object(out)
	}
	site := func(pairs ...string) func(p *plot) {
		return func(p *plot) {
			for i := 0; i < len(pairs); i += 3 {
				if pairs[i] == "plan" {
					member(p, pairs[i+1], text(pairs[i+2]))
					continue
				}
				p.get(pairs[i]).set(pairs[i+1], text(pairs[i+2]))
			}
		}
	}
	const elsewhere, another = "which of the two is the site", "is all of this plan of one site"
	judgeWords(t, validate.RuleGeometryUnfit, []wordCase{
		{"a latitude here", plan("latitude", north(2900)), validate.Passed, ""},
		{"a latitude too far", plan("latitude", north(3100)), validate.Unchecked, elsewhere},
		{"a rounded one", plan("lat", num(math.Round(plotLat))), validate.Passed, ""},
		{"deep in another", plan("info", object("at", object("lat", north(9000)))), validate.Unchecked, elsewhere},
		{"a longitude too far", plan("lon", num(plotLon+1)), validate.Unchecked, elsewhere},
		{"a middle", plan("centroid", schema.List(num(plotLon), num(plotLat))), validate.Passed, ""},
		{"a middle the other way round", plan("centroid", schema.List(num(plotLat), num(plotLon))), validate.Passed, ""},
		{"a middle elsewhere", plan("centroid", schema.List(num(plotLon), num(plotLat+1))), validate.Unchecked, elsewhere},
		{"an extent", plan("extent", schema.List(num(plotLon-1), num(plotLat-1), num(plotLon+1), num(plotLat+1))), validate.Passed, ""},
		{"an extent elsewhere", plan("extent", schema.List(num(plotLon+1), num(plotLat-1), num(plotLon+2), num(plotLat+1))), validate.Unchecked, elsewhere},
		{"bounds elsewhere", plan("bounds", object("minlat", num(plotLat+1), "minlon", num(plotLon-1), "maxlat", num(plotLat+2), "maxlon", num(plotLon+1))), validate.Unchecked, elsewhere},
		{"bounds", plan("bounds", object("minlat", num(plotLat-1), "minlon", num(plotLon-1), "maxlat", num(plotLat+2), "maxlon", num(plotLon+1))), validate.Passed, ""},
		{"a height as a geoid may be off", plan("elevation", num(plotH-109)), validate.Passed, ""},
		{"a height that is another", plan("elevation", num(plotH-111)), validate.Unchecked, "which of the two is the site's"},
		{"an easting of no grid here", plan("easting", num(9_123_456)), validate.Unchecked, "in any grid of this place"},
		{"half of the smallest lawn, less its keep-out", plan("area_m2", num(294.5)), validate.Passed, ""},
		{"less", plan("area_m2", num(293)), validate.Unchecked, "is it of another site"},
		{"twice the site", plan("area", text("14000 m2")), validate.Passed, ""},
		{"more", plan("area", text("1.5 ha")), validate.Unchecked, "is it of another site"},
		{"a country far off", plan("country", text("Norway")), validate.Unchecked, "in none of that country's systems"},
		{"a country that nobody knows", plan("country", text("Lindenland")), validate.Passed, ""},
		{"one project", site("z1", "project", "A", "b1", "project", "a"), validate.Passed, ""},
		{"two projects", site("z1", "project", "A", "b1", "project", "B"), validate.Failed, another},
		{"the plan's project and another", site("plan", "project", "A", "b1", "project", "B"), validate.Failed, another},
		{"a mark in another street", site("z1", "street", "A", "m1", "street", "B"), validate.Passed, ""},
		{"a mark of another project", site("z1", "project", "A", "m1", "project", "B"), validate.Failed, another},
		{"a lawn in another street", site("z1", "addr:street", "A", "z2", "street", "B"), validate.Failed, another},
		{"two parcels", site("z1", "parcel", "A", "z2", "parcel", "B", "b1", "parcel", "B"), validate.Passed, ""},
		{"a base on a third", site("z1", "parcel", "A", "z2", "parcel", "B", "b1", "parcel", "C"), validate.Failed, another},
	})
}

// TestPlaceSaid: the properties of a base or a lawn say where it is.
func TestPlaceSaid(t *testing.T) {
	const metreOfLatitude = 1 / 111_320.0
	for _, x := range []struct {
		name, grid, id string
		keys           string // of east, north and height; - for none
		e, n, up       float64
		decimals       int
		want           validate.Outcome
		note           bool
	}{
		{"where it is", "25832", "b1", "x y z", 0, 0, 0, 9, validate.Passed, false},
		{"5 cm off", "25832", "b1", "x y -", 0.0499, 0, 0, 9, validate.Passed, false},
		{"a hair more", "25832", "b1", "x y -", 0.0501, 0, 0, 9, validate.Unchecked, false},
		{"north of it", "25832", "b1", "Easting Northing -", 0, -0.6, 0, 9, validate.Unchecked, false},
		{"a rounded one", "25832", "b1", "E N -", 0, 0, 0, 0, validate.Passed, false},
		{"a rounded one that is another", "25832", "b1", "E N -", 2, 0, 0, 0, validate.Unchecked, false},
		{"one of the two", "25832", "b1", "x - -", 1, 0, 0, 9, validate.Passed, false},
		{"10 km off", "25832", "b1", "x y -", 9999, 0, 0, 9, validate.Unchecked, false},
		{"another grid", "25832", "b1", "x y -", 10001, 0, 0, 9, validate.Passed, false},
		{"an outline", "25832", "z1", "x y -", 1, 1, 0, 9, validate.Passed, false},
		{"other words", "25832", "b1", "left top -", 1, 1, 0, 9, validate.Passed, false},
		{"degrees", "", "b1", "lon lat ele", 0, 0, 0, 9, validate.Passed, false},
		{"degrees 5 cm off", "", "b1", "- latitude -", 0, 0.049 * metreOfLatitude, 0, 12, validate.Passed, false},
		{"a hair more, in degrees", "", "b1", "- latitude -", 0, 0.051 * metreOfLatitude, 0, 12, validate.Unchecked, false},
		{"degrees of six decimals", "", "b1", "lon lat -", 0, 0, 0, 6, validate.Passed, false},
		{"a degree off", "", "b1", "Lon Lat -", 1, 0, 0, 9, validate.Unchecked, false},
		{"degrees as x and y", "", "b1", "x y -", 0, 0, 0, 9, validate.Passed, false},
		{"degrees as y and x", "", "b1", "Y X -", 0, 0, 0, 9, validate.Passed, false},
		{"degrees as x and y, off", "", "b1", "E N -", 0, 0.6 * metreOfLatitude, 0, 9, validate.Unchecked, false},
		{"degrees as y and x, off", "", "b1", "Y X -", 0, 0.6 * metreOfLatitude, 0, 9, validate.Unchecked, false},
		{"pixels", "", "b1", "x y -", 200, 300, 0, 0, validate.Passed, false},
		{"metres beside degrees", "", "b1", "x y -", 500000, 6200000, 0, 3, validate.Passed, false},
		{"10 cm up", "", "b1", "- - h", 0, 0, 0.099, 9, validate.Passed, false},
		{"a hair more up", "", "b1", "- - h", 0, 0, 0.101, 9, validate.Unchecked, false},
		{"5 m down", "", "b1", "- - elevation", 0, 0, -4.9, 9, validate.Unchecked, false},
		{"as a geoid", "", "b1", "- - elevation", 0, 0, 45, 9, validate.Passed, true},
		{"more than any geoid", "", "b1", "- - z", 0, 0, 111, 9, validate.Unchecked, false},
	} {
		p := park()
		p.grid = x.grid
		plan := p.plan(t)
		for _, f := range plan.Features {
			if f.ID.Text() != x.id {
				continue
			}
			at := f.Geometry.FlatCoords()
			var keys [3]string
			keys[0], keys[1], keys[2] = strings.Fields(x.keys)[0], strings.Fields(x.keys)[1], strings.Fields(x.keys)[2]
			for k, off := range []float64{x.e, x.n, x.up} {
				if keys[k] != "-" {
					v, _ := schema.Number(strconv.FormatFloat(at[k]+off, 'f', x.decimals, 64))
					f.Attributes.Set(keys[k], v)
				}
			}
		}
		r := validate.Check(plan, schema.DefaultLimits())
		o := r.Outcome("geometry-unfit")
		f := findingOf(r, "geometry-unfit")
		if x.note {
			if f.Severity != validate.Note || f.Rule == "" {
				t.Errorf("%s: no note: %s (%s) %q", x.name, o.Outcome, o.Reason, f.Message)
			}
			continue
		}
		if o.Outcome != x.want {
			t.Errorf("%s: %s (%s) %q, want %s", x.name, o.Outcome, o.Reason, f.Message, x.want)
		}
	}
}

// TestDegreesSaid: degrees in the properties of a plan in a grid, and lists of
// them, are held to the geometry; a system on an old datum is not theirs.
func TestDegreesSaid(t *testing.T) {
	const metreOfLatitude = 1 / 111_320.0
	for _, x := range []struct {
		name, grid, id string
		north          float64 // metres
		list           bool
		want           validate.Outcome
	}{
		{"where it is", "25832", "b1", 0, false, validate.Passed},
		{"as two frames", "25832", "b1", 1.99, false, validate.Passed},
		{"farther", "25832", "b1", 2.02, false, validate.Unchecked},
		{"southward", "25832", "b1", -2.02, false, validate.Unchecked},
		{"far", "25832", "b1", 5000, false, validate.Unchecked},
		{"an old datum", "23032", "b1", 50, false, validate.Passed},
		{"a list", "25832", "z1", 0, true, validate.Passed},
		{"a list that lies off", "25832", "z1", 2.02, true, validate.Unchecked},
		{"a list in degrees", "", "z1", 0.049, true, validate.Passed},
		{"a list in degrees that lies off", "", "z1", 0.052, true, validate.Unchecked},
	} {
		p := park()
		p.grid = x.grid
		plan := p.plan(t)
		site, err := validate.Ground(plan)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range site.Features {
			if f.ID.Text() != x.id {
				continue
			}
			var lon, lat []schema.Value
			add := func(at orb.Point) {
				l, b, ok := site.GroundToLonLat(at)
				if !ok {
					t.Fatal("no degrees")
				}
				lon, lat = append(lon, schema.Float(l)), append(lat, schema.Float(b+x.north*metreOfLatitude))
			}
			switch {
			case x.list:
				for _, at := range f.Areas[0].Ground[0] {
					add(at)
				}
				f.Attributes.Set("lon", schema.List(lon...))
				f.Attributes.Set("lat", schema.List(lat...))
			default:
				add(f.Points[0].Ground)
				f.Attributes.Set("lon", lon[0])
				f.Attributes.Set("lat", lat[0])
			}
		}
		r := validate.Check(plan, schema.DefaultLimits())
		if o := r.Outcome("geometry-unfit"); o.Outcome != x.want {
			t.Errorf("%s: %s (%s), want %s", x.name, o.Outcome, o.Reason, x.want)
		}
	}
}

// TestZoneSaid: an easting and a northing beside degrees are those of the site's zone of
// UTM, a hair to either side of what frames lie apart, and of another grid far off.
func TestZoneSaid(t *testing.T) {
	zone, err := crs.Parse("EPSG:32629")
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		grid  string
		e, n  float64
		words string
		want  validate.Outcome
	}{
		{"", 0, 0, "easting northing", validate.Passed},
		{"", 1.98, 0, "easting northing", validate.Passed},
		{"", 2.02, 0, "easting northing", validate.Unchecked},
		{"", 0, -150, "E N", validate.Unchecked},
		{"", 9980, 0, "easting northing", validate.Unchecked},
		{"", 10020, 0, "easting northing", validate.Passed},
		{"", 150, 0, "easting northern", validate.Passed},
		{"EPSG:31467", 0, 5, "easting northing", validate.Passed},
		{"EPSG:3044", 0, 5, "easting northing", validate.Unchecked},
	} {
		p := park()
		p.grid = x.grid
		plan := p.plan(t)
		p.grid = ""
		there := p.plan(t)
		for i, f := range there.Features {
			if f.ID.Text() != "b1" {
				continue
			}
			at := slices.Clone(f.Geometry.FlatCoords()[:2])
			if err := zone.FromGeodetic(at, 2); err != nil {
				t.Fatal(err)
			}
			for k, key := range strings.Fields(x.words) {
				plan.Features[i].Attributes.Set(key, num(at[k]+[]float64{x.e, x.n}[k]))
			}
		}
		if o := validate.Check(plan, schema.DefaultLimits()).Outcome("geometry-unfit"); o.Outcome != x.want {
			t.Errorf("%s %v %v %s: %s (%s), want %s", x.grid, x.e, x.n, x.words, o.Outcome, o.Reason, x.want)
		}
	}
}
