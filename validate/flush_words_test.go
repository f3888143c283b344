// Flush edges that call themselves higher or lower than what is mown.

package validate_test

import (
	"testing"

	"swardline/schema"
	"swardline/validate"
)

// A flush edge that calls itself higher or lower than 0.03 m, under whatever
// word and unit.
func TestFlushEdgesOfAHeight(t *testing.T) {
	for _, x := range []struct {
		key  string
		v    schema.Value
		want int
	}{
		{"height_m", num(0.031), 1}, {"height_m", num(0.03), 0}, {"height_m", num(-0.031), 1},
		{"height", schema.String("0.5 m"), 1}, {"height", schema.String("3 cm"), 0}, {"height", schema.String("3,1 cm"), 1}, {"height", schema.String("31mm"), 1},
		{"height", schema.String("none"), 0}, {"height_cm", num(3), 0}, {"height_cm", num(3.1), 1},
		{"elevation_change", num(-1), 1}, {"fall_m", num(2), 1}, {"level_difference_m", num(0.6), 1},
		{"upstand_mm", num(30), 0}, {"upstand_mm", num(31), 1}, {"Höhe", num(0.6), 1}, {"hauteur", num(0.5), 1},
		{"length_m", num(30), 0},
	} {
		p := park()
		p.get("e2").set(x.key, x.v)
		if n, o := found(t, p, "property-misnamed", validate.Error); n != x.want {
			t.Errorf("%s %s: %d errors, want %d (%s)", x.key, x.v.Text(), n, x.want, o.Reason)
		}
	}
}
