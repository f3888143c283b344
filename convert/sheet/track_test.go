// The track over a plan: its colours and strokes, missed ground, thinning,
// turning.

package sheet

import (
	"bytes"
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

// driven is the garden with a track of each quality and a piece missed.
func driven() *Drawing {
	d := garden()
	t := &Track{Notes: []string{"Base: as it was."}, Missed: []Missed{{Area: square(-20, -15, 4, 30), AreaM2: 120, Zone: "Lawn"}}}
	for k, quality := range []string{"fixed", "float", "single", "other"} {
		var line orb.LineString
		for i := range 400 { // a straight of 20 m with a hundred times the points it takes
			line = append(line, orb.Point{-10 + 0.05*float64(i), -10 + 4*float64(k)})
		}
		t.Runs = append(t.Runs, TrackRun{quality, append(line, orb.Point{10, -9 + 4*float64(k)})})
	}
	d.Track = t
	return d
}

func TestTrackIsToldByColourAndStroke(t *testing.T) {
	colours, dashes := map[string]bool{}, map[string]bool{}
	for _, l := range TrackLooks {
		colours[l.Line.Color.Hex()], dashes[liveDash(l.Line)] = true, true
	}
	if len(colours) != 4 || len(dashes) != 4 {
		t.Errorf("%d colours and %d strokes for 4 qualities", len(colours), len(dashes))
	}
	d := driven()
	text := svgOf(t, compose(t, d, Options{Paper: Papers[0], For: ForCrew}), 0)
	var page, small bytes.Buffer
	if err := HTML(&page, d); err != nil {
		t.Fatal(err)
	}
	if err := d.PageMap(&small); err != nil {
		t.Fatal(err)
	}
	for _, l := range TrackLooks {
		for name, drawn := range map[string]string{"sheet": text, "picture": small.String()} {
			m := regexp.MustCompile(`(?s)<g class="track-` + l.Quality + `"><title>` + l.Says + `</title>\n<path d="([^"]*)"([^>]*)>`).FindStringSubmatch(drawn)
			if m == nil || !strings.Contains(m[2], l.Line.Color.Hex()) || strings.Contains(m[2], "stroke-dasharray") != (len(l.Line.Dash) > 0) {
				t.Errorf("%s: %s is drawn as %.200q", name, l.Quality, m)
				continue
			}
			// Straights take their ends alone.
			if n := strings.Count(m[1], " ") + strings.Count(m[1], "L"); n > 12 {
				t.Errorf("%s: %s takes %d numbers: %.200s", name, l.Quality, n, m[1])
			}
		}
		if !strings.Contains(page.String(), `stroke="`+l.Line.Color.Hex()+`" stroke-width="`+coord(l.Line.Width*PixelsAMM)+`"`+liveDash(l.Line)) || !strings.Contains(text, ">"+l.Says+"<") {
			t.Errorf("%s is not on the page, or not in the legend", l.Quality)
		}
	}
	for _, want := range []string{`data-layer="track"`, `data-layer="missed"`, `fill="url(#hatch-missed)"`, `id="hatch-missed"`, "Lawn: 120.0 m² missed", "<p dir=\"auto\">Base: as it was.</p>"} {
		if !strings.Contains(page.String(), want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	for _, want := range []string{`class="missed"`, ">missed: not driven over<", ">Driven<", ">Base: as it was.<"} {
		if !strings.Contains(text, want) {
			t.Errorf("the sheet lacks %q", want)
		}
	}
	// Without a track nothing of it is there.
	d.Track = nil
	var without bytes.Buffer
	if err := HTML(&without, d); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(without.String(), "missed") || strings.Contains(without.String(), `data-layer="track"`) {
		t.Error("a page without a track has its parts")
	}
}

// A thinned track stays within the distance asked for, and a turned one turns
// with its plan.
func TestTrackThinsAndTurns(t *testing.T) {
	var line orb.LineString
	for i := range 1000 {
		line = append(line, orb.Point{0.1 * float64(i), 2 * math.Sin(0.05*float64(i))})
	}
	track := &Track{Runs: []TrackRun{{"fixed", line}}}
	thin := track.Thinned("fixed", 0.05)[0]
	if len(thin) > 300 || len(track.Runs[0].Points) != 1000 {
		t.Errorf("%d points are left, %d in the track", len(thin), len(track.Runs[0].Points))
	}
	for _, p := range line {
		near := math.Inf(1)
		for i := 1; i < len(thin); i++ {
			a, b := thin[i-1], thin[i]
			dx, dy := b[0]-a[0], b[1]-a[1]
			s := math.Max(0, math.Min(1, ((p[0]-a[0])*dx+(p[1]-a[1])*dy)/(dx*dx+dy*dy)))
			near = math.Min(near, math.Hypot(p[0]-a[0]-s*dx, p[1]-a[1]-s*dy))
		}
		if near > 0.05+1e-9 {
			t.Fatalf("%v is %v m from the thinned track", p, near)
		}
	}
	d := driven()
	turned := d.turned(90)
	if got := turned.Track.Runs[0].Points[0]; math.Abs(got[0]+10) > 1e-9 || math.Abs(got[1]-10) > 1e-9 {
		t.Errorf("(-10, -10) turned clockwise by 90 degrees is %v", got)
	}
	if got := d.Track.Missed[0].Area[0][0]; got != (orb.Point{-20, -15}) {
		t.Errorf("turning moved the drawing itself: %v", got)
	}
}
