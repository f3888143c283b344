// Tests of the generator of random plans itself: what it promises, and that it
// reaches every role, geometry and kind of value.

package convert

import (
	"fmt"
	"math"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/schema"
	"swardline/testdata/randplan"
)

func TestOneSeedOnePlan(t *testing.T) {
	for seed := uint64(0); seed < 50; seed++ {
		if err := schema.Same(randplan.New(seed, randplan.Options{}), randplan.New(seed, randplan.Options{}), 0); err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
	}
	if err := schema.Same(randplan.New(1, randplan.Options{}), randplan.New(2, randplan.Options{}), 0); err == nil {
		t.Error("seeds 1 and 2 give the same plan")
	}
	if n := len(randplan.New(1, randplan.Options{Features: 7}).Features); n != 7 {
		t.Errorf("got %d features, want 7", n)
	}
}

func TestPlansKeepTheModelsPromises(t *testing.T) {
	seen := map[string]int{}
	for seed := uint64(0); seed < 400; seed++ {
		p := randplan.New(seed, randplan.Options{})
		ids := map[string]bool{}
		for i, f := range p.Features {
			where := fmt.Sprintf("seed %d feature %d", seed, i)
			seen["role "+string(f.Role)]++
			seen["id "+f.ID.Kind().String()]++
			seen[fmt.Sprintf("%T", f.Geometry)]++
			if !f.ID.IsAbsent() {
				key := string(f.ID.AppendJSON(nil))
				if ids[key] {
					t.Errorf("%s: the id %s is there twice", where, key)
				}
				ids[key] = true
			}
			keys := map[string]bool{}
			for _, a := range f.Attributes {
				seen["value "+a.Value.Kind().String()]++
				if keys[a.Key] {
					t.Errorf("%s: attribute %q is there twice", where, a.Key)
				}
				keys[a.Key] = true
				if a.Key == schema.PropName && (f.Name != "" || a.Value.Kind() == schema.KindString && a.Value.Text() != "") {
					t.Errorf("%s: an attribute is called name", where)
				}
				if _, known := schema.ParseRole(a.Value.Text()); a.Key == schema.PropRole && (known || f.Role != schema.RoleOther) {
					t.Errorf("%s: an attribute is called role", where)
				}
			}
			if f.Role.IsArea() {
				switch f.Geometry.(type) {
				case *geom.Polygon, *geom.MultiPolygon:
				default:
					t.Errorf("%s: a %s is a %T", where, f.Role, f.Geometry)
				}
			}
			if f.Geometry != nil {
				checkRandomGeometry(t, where, f.Geometry, seen)
			}
		}
	}
	for _, want := range []string{"id absent", "id number", "id string", "value null", "value bool", "value number", "value string", "value list", "value object",
		"<nil>", "*geom.Point", "*geom.LineString", "*geom.Polygon", "*geom.MultiPoint", "*geom.MultiLineString", "*geom.MultiPolygon", "*geom.GeometryCollection",
		"hole", "no heights", "all heights", "some heights"} {
		if seen[want] == 0 {
			t.Errorf("no plan has: %s", want)
		}
	}
	for _, role := range schema.Roles {
		if seen["role "+string(role)] == 0 {
			t.Errorf("no plan has the role %s", role)
		}
	}
}

func checkRandomGeometry(t *testing.T, where string, g geom.T, seen map[string]int) {
	t.Helper()
	if c, ok := g.(*geom.GeometryCollection); ok {
		for _, part := range c.Geoms() {
			checkRandomGeometry(t, where, part, seen)
		}
		return
	}
	flat, stride := g.FlatCoords(), g.Stride()
	absent := 0
	for i := 0; i < len(flat); i += stride {
		if !(math.Abs(flat[i]) <= 180 && math.Abs(flat[i+1]) <= 90) {
			t.Errorf("%s: (%v, %v) is no longitude and latitude", where, flat[i], flat[i+1])
		}
		if stride == 3 && math.IsNaN(flat[i+2]) {
			absent++
		}
	}
	switch {
	case stride == 2:
		seen["no heights"]++
	case absent == 0:
		seen["all heights"]++
	case absent < len(flat)/stride:
		seen["some heights"]++
	default:
		t.Errorf("%s: three numbers a vertex, and not one height", where)
	}
	var endss [][]int
	switch g := g.(type) {
	case *geom.Polygon:
		endss = [][]int{g.Ends()}
	case *geom.MultiPolygon:
		endss = g.Endss()
	}
	start := 0
	for _, ends := range endss {
		for i, end := range ends {
			ring := flat[start:end]
			start = end
			if !schema.IsClosed(ring, stride) {
				t.Errorf("%s: ring %d is open", where, i)
			}
			if area := schema.TwiceArea(ring, stride); area == 0 || (area > 0) != (i == 0) {
				t.Errorf("%s: ring %d has twice the area %g", where, i, area)
			}
			if i > 0 {
				seen["hole"]++
			}
		}
	}
}
