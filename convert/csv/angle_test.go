// Angles in the spellings that people and instruments use.

package csv

import (
	"math"
	"strings"
	"testing"
)

func TestAngles(t *testing.T) {
	const tenth = 40 + 11.0/60 + 15.5/3600
	for _, c := range []struct {
		text  string
		on    axis
		comma bool
		want  float64
	}{
		{"56.25", axisLat, false, 56.25},
		{"-56.25", axisLat, false, -56.25},
		{"+56.25", axisLat, false, 56.25},
		{"−56.25", axisLat, false, -56.25},
		{"56,25", axisLat, true, 56.25},
		{".5", axisLat, false, 0.5},
		{"1.5e1", axisLon, false, 15},
		{"1.5E+1", axisLon, false, 15},
		{"15E", axisLon, false, 15},
		{"15e", axisLon, false, 15},
		{"E15", axisLon, false, 15},
		{"15 E", axisLon, false, 15},
		{"15W", axisLon, false, -15},
		{"15 west", axisLon, false, -15},
		{"15 Øst", axisLon, false, 15},
		{"15 ouest", axisLon, false, -15},
		{"23°N", axisLat, false, 23},
		{"23ºS", axisLat, false, -23},
		{"40° 11′", axisLat, false, 40 + 11.0/60},
		{"40° 11' 15.5\"", axisLat, false, tenth},
		{"40° 11' 15,5\"", axisLat, true, tenth},
		{"40°11'15.5''N", axisLat, false, tenth},
		{"40°11’15.5”S", axisLat, false, -tenth},
		{"N 40 11 15.5", axisLat, false, tenth},
		{"40 11 15.5 S", axisLat, false, -tenth},
		{"-40 11 15.5", axisLat, false, -tenth},
		{"-0 30", axisLat, false, -0.5},
		{"40:11:15.5", axisLat, false, tenth},
		{"40-11-15.5N", axisLat, false, tenth},
		{"40-11-15.5", axisLat, false, tenth},
		{"40d11m15.5s", axisLat, false, tenth},
		{"40d11m15.5sS", axisLat, false, -tenth},
		{"40d 11m 15.5s S", axisLat, false, -tenth},
		{"40deg 11min 15.5sec", axisLat, false, tenth},
		{"40 degrees 11 minutes 15.5 seconds north", axisLat, false, tenth},
		{"40°11.25'", axisLat, false, 40 + 11.25/60},
		{"40 11.25", axisLat, false, 40 + 11.25/60},
		{"W 40 11.25", axisLon, false, -(40 + 11.25/60)},
		{"179 59 59.999 E", axisLon, false, 179 + 59.0/60 + 59.999/3600},
		{"  7  ", axisLon, false, 7},
	} {
		got, err := parseAngle(c.text, c.on, c.comma)
		if err != nil || math.Abs(got-c.want) > 1e-13 {
			t.Errorf("%q: got %.15g, %v; want %.15g", c.text, got, err, c.want)
		}
	}
}

func TestAnglesRefused(t *testing.T) {
	for _, c := range []struct {
		text string
		on   axis
		want string
	}{
		{"40 60 0", axisLat, "60 minutes are 60 or more"},
		{"40 59 60", axisLat, "60 seconds are 60 or more"},
		{"40°75'", axisLat, "75 minutes"},
		{"-40 N", axisLat, "both a sign and the hemisphere N"},
		{"-40°11'15\"S", axisLat, "both a sign and the hemisphere S"},
		{"S -40", axisLat, "both a sign and the hemisphere S"},
		{"40 E", axisLat, "E is no hemisphere of a latitude"},
		{"40 N", axisLon, "N is no hemisphere of a longitude"},
		{"N 40 N", axisLat, "two hemispheres"},
		{"40 N 30", axisLat, "stands behind the hemisphere"},
		{"40.5 30", axisLat, "only the last part can have decimals"},
		{"40 11.5 15", axisLat, "only the last part"},
		{"1e1 30", axisLat, "only the last part"},
		{"40 1e1", axisLat, "no count of minutes"},
		{"40 11 15 2", axisLat, "more than degrees, minutes and seconds"},
		{"40' 11°", axisLat, "not degrees, minutes, seconds in this order"},
		{"40°° 11", axisLat, "stands behind no number"},
		{"°", axisLat, "stands behind no number"},
		{"40:", axisLat, "a part is missing"},
		{"", axisLat, "no number"},
		{"N", axisLat, "no number"},
		{"foo", axisLat, "belongs to no angle"},
		{"40 O", axisLon, "east in some languages and west in others"},
		{"12gon", axisLon, "belongs to no angle"},
		{"NaN", axisLat, "belongs to no angle"},
		{"90 0 1", axisLat, "outside -90 to 90"},
		{"180°00'00.1\"E", axisLon, "outside -180 to 180"},
		{"9E12", axisLon, "outside -180 to 180"},
		{"1e999", axisLon, "no number"},
		{"40,5", axisLat, "belongs to no angle"},
		{"40%", axisLat, "belongs to no angle"},
		{strings.Repeat("1", 90), axisLon, "too long"},
	} {
		got, err := parseAngle(c.text, c.on, false)
		if err == nil {
			t.Errorf("%q: got %v, want an error about %q", c.text, got, c.want)
			continue
		}
		if !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: got %v, want %q", c.text, err, c.want)
		}
	}
}

func FuzzAngle(f *testing.F) {
	for _, s := range []string{"40° 11' 15.5\" N", "40d11m15s", "-0 30", "N40-11-15", "15E", "1.5E1", "40:11:15,5", "O 12", "\xff", "9E12'30"} {
		f.Add(s, true)
		f.Add(s, false)
	}
	f.Fuzz(func(t *testing.T, text string, lat bool) {
		on := axisLon
		if lat {
			on = axisLat
		}
		for _, comma := range []bool{false, true} {
			v, err := parseAngle(text, on, comma)
			if err == nil && checkRange(v, on) != nil {
				t.Fatalf("%q gave %v", text, v)
			}
		}
	})
}
