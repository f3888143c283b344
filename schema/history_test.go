// The base's history goes where the base goes.

package schema_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/crs"
	"swardline/schema"
)

func position(numbers ...float64) schema.Value {
	var out []schema.Value
	for _, n := range numbers {
		out = append(out, schema.Float(n))
	}
	return schema.List(out...)
}

// TestHistoryMovesWithTheBase moves a plan between frames some 0.9 m apart. What
// is expected of a position of the history is what becomes of the base there.
func TestHistoryMovesWithTheBase(t *testing.T) {
	entry := func(stored schema.Value, more ...schema.Attribute) schema.Value {
		return schema.Object(append(schema.Attributes{{Key: "stored", Value: stored}, {Key: "note", Value: schema.String("by the gate")}}, more...))
	}
	number := func(key string, v float64) schema.Attribute {
		return schema.Attribute{Key: key, Value: schema.Float(v)}
	}
	target, err := crs.Parse("EPSG:9990") // ITRF2020, longitude and latitude
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name   string
		entry  schema.Value
		moved  bool
		frame  string
		epoch  float64
		system string
	}{
		{"no frame of its own", entry(position(9, 52, 40)), true, "", 0, "ETRS89"},
		{"the plan's frame", entry(position(9, 52, 40), word("frame", "ETRS 89")), true, "ITRF2020", 0, "ETRS89"},
		{"without a height", entry(position(9, 52)), true, "", 0, "ETRS89"},
		{"another frame", entry(position(9, 52, 40), word("frame", "ETRF2000")), false, "ETRF2000", 0, "ETRS89"},
		{"a frame that nobody knows", entry(position(9, 52, 40), word("frame", "wooden")), false, "wooden", 0, "ETRS89"},
		{"no position", entry(schema.String("52 N 9 E")), false, "ETRS89", 0, "ETRS89"},
		{"a latitude of 90.1", entry(position(9, 90.1)), false, "ETRS89", 0, "ETRS89"},
		{"the plan's epoch", entry(position(9, 52, 40), word("frame", "ITRF2014"), number("epoch", 2020)), true, "ITRF2020", 2026, "ITRF2014"},
		{"an epoch of its own", entry(position(9, 52, 40), word("frame", "ITRF2014"), number("epoch", 2010)), false, "ITRF2014", 2010, "ITRF2014"},
	} {
		p := inSystem(t, "OGC:CRS84", &schema.Feature{Role: schema.RoleBase, Geometry: geom.NewPointFlat(geom.XYZ, []float64{9, 52, 40})})
		p.Epoch = 2020
		p.Attributes = schema.Attributes{word("frame", c.system), {Key: "heights", Value: schema.String("ellipsoidal")}, {Key: "history", Value: schema.List(c.entry)}}
		out, _, err := p.Moved(schema.Move{To: target, ToEpoch: 2026, Allow: crs.Allowed{Accuracy: 1}, With: crs.Aids{Plate: "EURA"}})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		got := out.Attributes.Get("history").Items()[0].Fields()
		base := out.Features[0].Geometry.FlatCoords()
		if off := math.Hypot((base[0]-9)*68e3, (base[1]-52)*111e3); off < 0.05 {
			t.Fatalf("%s: the base moved by %.3f m only", c.name, off)
		}
		for i, v := range got.Get("stored").Items() {
			want := []float64{9, 52, 40}[i]
			if c.moved {
				want = base[i]
			}
			have, ok := v.Float()
			if c.name == "a latitude of 90.1" && i == 1 {
				want = 90.1
			}
			// A height that is not told is taken as 0 for the position: 40 m
			// of height move that by micrometres.
			if tol := []float64{1e-10, 1e-10, 6e-6}[i]; !ok || !(math.Abs(have-want) <= tol) {
				t.Errorf("%s: number %d is %v, want %v", c.name, i, have, want)
			}
		}
		epoch, _ := got.Get("epoch").Float()
		if f := got.Get("frame").Text(); f != c.frame || epoch != c.epoch || got.Get("note").Text() != "by the gate" {
			t.Errorf("%s: in %q at %g, note %q", c.name, f, epoch, got.Get("note").Text())
		}
		if was := p.Attributes.Get("history").Items()[0]; fmt.Sprint(was) != fmt.Sprint(c.entry) {
			t.Errorf("%s: the plan that was moved has another history now", c.name)
		}
	}
	// Into another grid on the same datum nothing of the history changes.
	p := inSystem(t, "EPSG:25832", at(schema.RoleBase, 500000, 5761038))
	p.Attributes = schema.Attributes{{Key: "history", Value: schema.List(entry(position(9, 52, 40)))}}
	grid, err := crs.Parse("EPSG:25833")
	if err != nil {
		t.Fatal(err)
	}
	out, _, err := p.Moved(schema.Move{To: grid, Allow: crs.Allowed{Accuracy: 1}})
	if err != nil {
		t.Fatal(err)
	}
	if a, b := fmt.Sprint(p.Attributes.Get("history")), fmt.Sprint(out.Attributes.Get("history")); a != b {
		t.Errorf("on one datum: %s became %s", a, b)
	}
}
