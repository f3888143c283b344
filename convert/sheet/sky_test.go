// Tests of the pictures of the sky: places in a plot, hidden areas, classes of
// shade.

package sheet

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"testing"

	"github.com/paulmach/orb"

	"swardline/convert/sheet/ink"
	"swardline/convert/sheet/typeface"
	"swardline/crs"
	"swardline/crs/orbit"
	"swardline/schema"
)

// The plot is an equidistant one: the zenith in the middle, the horizon at the
// radius, north up, east to the right.
func TestSkyAt(t *testing.T) {
	mid := ink.Point{100, 50}
	for _, c := range []struct {
		az, el float64
		want   ink.Point
	}{
		{0, 0, ink.Point{100, 10}},
		{90, 0, ink.Point{140, 50}},
		{180, 45, ink.Point{100, 70}},
		{270, 60, ink.Point{86.67, 50}},
		{123, 90, ink.Point{100, 50}},
		{45, 0, ink.Point{128.28, 21.72}}, // 40 sin 45
		{90, -5, ink.Point{140, 50}},      // what lies below the horizon lies on it
	} {
		if got := skyAt(mid, 40, c.az, c.el); math.Hypot(got[0]-c.want[0], got[1]-c.want[1]) > 0.006 {
			t.Errorf("az %g el %g: %v, want %v", c.az, c.el, got, c.want)
		}
	}
}

// Of a horizon hidden below 30 degrees everywhere the ring in the plot has the
// area pi (R^2 - (2R/3)^2), and of one hidden below 45 degrees in the east pi
// (R^2 - (R/2)^2) / 2.
func TestHiddenArea(t *testing.T) {
	const radius = 40.0
	for _, c := range []struct {
		name           string
		from, to, high float64
		want           float64
	}{
		{"all round", 0, 360, 30, math.Pi * radius * radius * (1 - 4.0/9)},
		{"in the east", 0, 180, 45, math.Pi * radius * radius * (1 - 1.0/4) / 2},
		{"nothing", 0, 360, 0, 0},
	} {
		h := &orbit.Horizon{}
		h.Hide(c.from, c.to-0.5, 0, c.high)
		if c.name == "all round" {
			h = &orbit.Horizon{}
			h.HideBelow(c.high)
		}
		s := SkyPlot{Horizon: h}
		var outer []ink.Point
		at := func(az, el float64) ink.Point { return skyAt(ink.Point{}, radius, az, el) }
		for az := 0.0; az < 360; az++ {
			outer = append(outer, at(az, 0))
		}
		got := 0.0
		for _, subs := range s.hidden(at, outer) {
			for i, sub := range subs {
				var r orb.Ring
				for _, q := range sub.Points {
					r = append(r, orb.Point(q))
				}
				part := levelArea(orb.Polygon{r})
				if i > 0 {
					part = -part
				}
				got += part
			}
		}
		if math.Abs(got-c.want) > 0.01*math.Pi*radius*radius {
			t.Errorf("%s: %.1f mm2 hidden, want %.1f", c.name, got, c.want)
		}
	}
}

// At the limit it is open, a hair above it is not; what is not known is never
// open.
func TestShadeOf(t *testing.T) {
	for _, c := range []struct {
		share, limit float64
		want         Shade
	}{
		{0, 5, ShadeOpen}, {0.05, 5, ShadeOpen}, {0.0501, 5, ShadeSome}, {0.25, 5, ShadeSome}, {0.2501, 5, ShadeMuch},
		{0.5, 5, ShadeMuch}, {0.5001, 5, ShadeMost}, {1, 5, ShadeMost}, {0.3, 30, ShadeOpen}, {0.31, 30, ShadeMuch},
		{0.6, 60, ShadeOpen}, {0.61, 60, ShadeMost}, {0, 0, ShadeOpen}, {0.001, 0, ShadeSome}, {math.NaN(), 100, ShadeUnknown},
	} {
		if got := ShadeOf(c.share, c.limit); got != c.want {
			t.Errorf("%g of the day at a limit of %g %%: %d, want %d", c.share, c.limit, got, c.want)
		}
	}
}

// testSky is an invented yard with one zone half in the shade.
func testSky(t *testing.T) *Sky {
	t.Helper()
	day, err := orbit.NominalDay(crs.Geodetic{Lon: 11.2, Lat: 56.95}, 24, 0)
	if err != nil {
		t.Fatal(err)
	}
	h := &orbit.Horizon{}
	h.HideBelow(15)
	h.Hide(60, 120, 0, 50)
	h.Hide(200, 220, 30, 40)
	nan := math.NaN()
	square := func(x, y, w, h float64) orb.Polygon {
		return orb.Polygon{{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}, {x, y}}}
	}
	return &Sky{
		Features: []Feature{
			{Role: schema.RoleZone, Code: "Z1", Name: "Lawn <west> & more", Areas: []orb.Polygon{square(0, 0, 20, 20)}, NetM2: nan, HeadingDeg: nan, RadiusM: nan, HeightM: nan, AntennaM: nan},
			{Role: schema.RoleBuilding, Code: "G1", Name: "House", Areas: []orb.Polygon{square(24, 0, 8, 12)}, NetM2: nan, HeadingDeg: nan, RadiusM: nan, HeightM: 9, AntennaM: nan},
			{Role: schema.RoleBase, Code: "B1", Name: "Mast", Points: []orb.Point{{22, 5}}, NetM2: nan, HeadingDeg: nan, RadiusM: nan, HeightM: nan, AntennaM: 2},
		},
		Few: "fewer than 6 satellites in sight, or PDOP over 6", LimitPercent: 5,
		Shades: []SkyShade{{ShadeMost, []orb.Polygon{square(10, 0, 10, 20)}}, {ShadeUnknown, []orb.Polygon{square(0, 10, 10, 10)}}},
		Plots:  []SkyPlot{{Title: "base Mast", Words: []string{"46 % hidden"}, Horizon: h, Day: day, MaskDeg: 15}},
		Hides:  []string{`building "House"`}, Advice: "The mast stays.", Notes: []string{"shares of a day, never times"},
	}
}

// The mark of north lies over no name, wherever a tree stands: it would cut the
// height off its end.
func TestSkyNorthCoversNoName(t *testing.T) {
	nan := math.NaN()
	north, names := orb.Bound{Min: orb.Point{110.5, 1.5}, Max: orb.Point{117.5, 17}}, 0
	for x := 24.0; x < 50; x += 2 {
		sky := &Sky{Features: []Feature{{Role: schema.RoleHazard, Code: "H1", Name: "Tall tree", Kind: "tree", HeightM: 14, NetM2: nan, HeadingDeg: nan, RadiusM: nan, AntennaM: nan, Points: []orb.Point{{x, 28}}}}}
		v := newView(&ink.Page{}, 0, 0, 120, 80, orb.Bound{Min: orb.Point{-10, -7}, Max: orb.Point{50, 33}})
		sky.drawMap(v)
		for _, m := range v.page.Marks {
			if text, ok := m.(*ink.Text); ok && text.S != "N" {
				wide := typeface.Width(text.S, text.Size, text.Bold)
				left := text.At[0] - wide*text.Anchor
				if (orb.Bound{Min: orb.Point{left, text.At[1] - text.Size*0.7}, Max: orb.Point{left + wide, text.At[1]}}).Intersects(north) {
					t.Errorf("a tree at %g: %q lies under the mark of north", x, text.S)
				}
				names++
			}
		}
	}
	if names < 12 { // one tree stands under the mark itself
		t.Errorf("the maps have %d names", names)
	}
}

// The drawing is XML that every reader takes, twice the same, and says what it
// shows.
func TestSkySVG(t *testing.T) {
	var first, second bytes.Buffer
	for _, b := range []*bytes.Buffer{&first, &second} {
		if err := SkySVG(b, testSky(t)); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(first.Bytes(), second.Bytes()) {
		t.Error("two drawings of one sky differ")
	}
	texts := map[string]bool{}
	for d := xml.NewDecoder(bytes.NewReader(first.Bytes())); ; {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if c, ok := tok.(xml.CharData); ok {
			texts[string(c)] = true
		}
	}
	for _, want := range []string{"base Mast", "46 % hidden", "The mast stays.", "shares of a day, never times", "over 50 %", "200 m²", "not known: a height is missing", "100 m²", "G1 House, 9 m", "B1 Mast, 2 m", "1:500", "N", "Z1 Lawn <west> & more"} {
		if !texts[want] {
			t.Errorf("the drawing does not say %q", want)
		}
	}
}
