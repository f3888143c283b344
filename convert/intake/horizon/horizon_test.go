// Horizons as measured: what they hide, and lists that cannot be one.

package horizon

import (
	"strings"
	"testing"
)

const measured = "azimuth;elevation\n0;12,5\n45;30\n90;8\n140;8\n190;20\n250;3\n300;-2\n"

func TestRead(t *testing.T) {
	h, err := Read([]byte(measured), "horizon.csv")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		az, el float64
		want   bool
	}{
		{20, 29, true}, {20, 31, false}, {44, 29, true}, {60, 29, true}, {100, 7.5, true}, {100, 8.5, false},
		{160, 19, true}, {160, 21, false}, {270, 2, true}, {270, 4, false}, {330, 12, true}, {330, 13, false},
	} {
		if got := h.Hides(c.az, c.el); got != c.want {
			t.Errorf("azimuth %v, elevation %v: hidden %v, want %v", c.az, c.el, got, c.want)
		}
	}
}

func TestReadErrors(t *testing.T) {
	for _, c := range []struct{ data, want string }{
		{"", "horizon.csv"},
		{"azimuth,height\n0,1\n", "no columns azimuth and elevation"},
		{"azimuth,elevation\n", "no rows"},
		{"azimuth,elevation\n0,10\n45,x\n", `"x" in the column "elevation"`},
		{"azimuth,elevation\n-1,10\n", `"-1" is no azimuth`},
		{"azimuth,elevation\n0,91\n", `"91" is no elevation`},
		{"azimuth,elevation\n0,10\n61,10\n120,10\n180,10\n240,10\n300,10\n", "nothing was measured from azimuth 0 to 61"},
		{"azimuth,elevation\n90,10\n", "nothing was measured from azimuth 90 to 90"},
	} {
		_, err := Read([]byte(c.data), "horizon.csv")
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: %v, want %q", c.data, err, c.want)
		}
	}
	if _, err := Read([]byte("azimuth,elevation\n0,10\n60,10\n120,10\n180,10\n240,10\n300,10\n"), "horizon.csv"); err != nil {
		t.Error("gaps of 60 degrees:", err)
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(measured))
	f.Add([]byte("az,el\n0,10\n60,10\n120,10\n180,10\n240,10\n300,10\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		h, err := Read(data, "horizon.csv")
		if err == nil && h.HiddenShare(10) > 1 {
			t.Fatal("more than the whole sky is hidden")
		}
	})
}
