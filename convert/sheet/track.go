// What a machine drove, over its plan: the track by the quality of its
// positions, and the ground that was missed.

package sheet

import (
	"fmt"
	"html/template"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/simplify"

	"swardline/convert/sheet/ink"
)

// Track is what logs show of a plan, on its ground.
type Track struct {
	Runs   []TrackRun
	Missed []Missed
	// Notes say what the logs show of the base and of each zone, for people.
	Notes []string
}

// TrackRun is a run of positions of one quality: fixed, float, single or other.
type TrackRun struct {
	Quality string
	Points  orb.LineString
}

// Missed is a piece of ground that was not driven over.
type Missed struct {
	Area   orb.Polygon
	AreaM2 float64
	Zone   string
}

// TrackLook is how the track of a quality is drawn: by colour and by stroke.
type TrackLook struct {
	Quality, Says string
	Line          ink.Line
}

// TrackLooks are the looks, best quality first: the one table for every drawing
// of a track.
var TrackLooks = []TrackLook{
	{"fixed", "track, fixed", ink.Line{Color: blue, Width: 0.2}},
	{"float", "track, float", ink.Line{Color: orange, Width: 0.3, Dash: []float64{1.4, 0.7}}},
	{"single", "track, single", ink.Line{Color: vermillion, Width: 0.3, Dash: []float64{0.4, 0.6}}},
	{"other", "track, other", ink.Line{Color: grey, Width: 0.3, Dash: []float64{0.2, 0.9}}},
}

// MissedLine and missedHatch are how missed ground is drawn.
var (
	MissedLine  = ink.Line{Color: vermillion, Width: 0.35}
	missedHatch = hatch{angle: 135, gap: 1.3, line: ink.Line{Color: black, Width: 0.2}}
	// White below keeps the zone's own hatching from making crosses of it.
	missedLook = look{fill: tint(white), opacity: 0.85, hatches: []hatch{missedHatch}, line: MissedLine}
)

const (
	missedSays = "missed: not driven over"
	// thinMM is how far on paper, in millimetres, a track is drawn from where
	// it is, and thinLeastM in metres on the live page, which is zoomed.
	thinMM     = 0.05
	thinLeastM = 0.02
)

// PixelsAMM is how many pixels of a screen stand for a millimetre of paper.
const PixelsAMM = 4

// Thinned gives the runs of a quality with the points that it takes to draw
// each within so many metres of where it is (Douglas and Peucker, 1973).
func (t *Track) Thinned(quality string, metres float64) []orb.LineString {
	var out []orb.LineString
	for i := range t.Runs {
		if r := &t.Runs[i]; r.Quality == quality && len(r.Points) > 1 {
			out = append(out, simplify.DouglasPeucker(metres).LineString(slices.Clone(r.Points)))
		}
	}
	return out
}

// turned is the track with its points moved.
func (t *Track) turned(there func(orb.Point) orb.Point) *Track {
	if t == nil {
		return nil
	}
	out := *t
	out.Runs, out.Missed = slices.Clone(t.Runs), slices.Clone(t.Missed)
	for i := range out.Runs {
		out.Runs[i].Points = run(out.Runs[i].Points, there)
	}
	for i := range out.Missed {
		area := make(orb.Polygon, len(out.Missed[i].Area))
		for k, ring := range out.Missed[i].Area {
			area[k] = run(ring, there)
		}
		out.Missed[i].Area = area
	}
	return &out
}

// track draws it on a map.
func (v *view) track(t *Track) {
	if t == nil {
		return
	}
	v.page.Add(&ink.Group{Class: "missed", Title: "ground that was not driven over"})
	for i := range t.Missed {
		if m := &t.Missed[i]; m.Area.Bound().Intersects(v.ground) {
			v.area(m.Area, &missedLook, math.NaN(), &Feature{})
		}
	}
	v.page.Add(ink.End{})
	for k := range TrackLooks {
		l := &TrackLooks[k]
		var subs []ink.Sub
		for _, line := range t.Thinned(l.Quality, thinMM/v.mmPerM) {
			if line.Bound().Intersects(v.ground) {
				subs = append(subs, ink.Sub{Points: v.run(line)})
			}
		}
		if len(subs) > 0 {
			v.page.Add(&ink.Group{Class: "track-" + l.Quality, Title: l.Says}, &ink.Path{Subs: subs, Line: &l.Line}, ink.End{})
		}
	}
}

// trackBlocks are what the panel says of a track: what the logs show, and the
// legend.
func trackBlocks(t *Track, w float64) []block {
	if t == nil {
		return nil
	}
	out := []block{heading("Driven")}
	for _, n := range t.Notes {
		out = append(out, paragraph(n, tableSize, w, false))
	}
	type entry struct {
		says string
		draw func(p *ink.Page, x, y float64)
	}
	const swatch = 9.0
	var entries []entry
	for k := range TrackLooks {
		l := &TrackLooks[k]
		if t.has(l.Quality) {
			entries = append(entries, entry{l.Says, func(p *ink.Page, x, y float64) {
				p.Polyline(l.Line, ink.Point{x, y + 2.5}, ink.Point{x + swatch - 1.5, y + 2.5})
			}})
		}
	}
	if len(t.Missed) > 0 {
		entries = append(entries, entry{missedSays, func(p *ink.Page, x, y float64) {
			v := newView(p, x, y+0.5, swatch-1.5, 4, orb.Bound{Max: orb.Point{swatch - 1.5, 4}})
			v.area(orb.Polygon{{{0, 0}, {swatch - 1.5, 0}, {swatch - 1.5, 4}, {0, 4}}}, &missedLook, math.NaN(), &Feature{})
		}})
	}
	for i := 0; i < len(entries); i += 2 {
		pair := entries[i:min(i+2, len(entries))]
		out = append(out, block{h: 5.2, draw: func(p *ink.Page, x, y, _ float64) {
			for k, e := range pair {
				left := x + float64(k)*(w+2)/2
				e.draw(p, left, y)
				p.Add(&ink.Text{At: ink.Point{left + swatch, y + 3.1}, Size: tableSize, S: e.says})
			}
		}})
	}
	return out
}

func (t *Track) has(quality string) bool {
	return slices.ContainsFunc(t.Runs, func(r TrackRun) bool { return r.Quality == quality })
}

// liveTrack is the track on the live page, in its two layers.
func (t *Track) liveTrack(b *strings.Builder, extentM float64) {
	if t == nil {
		return
	}
	if len(t.Missed) > 0 {
		b.WriteString(`<g class="layer" id="layer-missed" data-role="missed" role="group" aria-label="` + missedSays + `">` + "\n")
		for i := range t.Missed {
			m := &t.Missed[i]
			path := livePath(&Feature{Areas: []orb.Polygon{m.Area}})
			fmt.Fprintf(b, `<path d="%s" fill="#ffffff" fill-opacity="%s" fill-rule="evenodd"/>`, path, coord(missedLook.opacity))
			fmt.Fprintf(b, `<path d="%s" fill="url(#hatch-missed)" fill-rule="evenodd" stroke="%s" stroke-width="%s" vector-effect="non-scaling-stroke"><title>%s</title></path>`+"\n",
				path, MissedLine.Color.Hex(), coord(MissedLine.Width*PixelsAMM), ink.Escape(fmt.Sprintf("%s: %s m² missed", m.Zone, figure(m.AreaM2, 1))))
		}
		b.WriteString("</g>\n")
	}
	b.WriteString(`<g class="layer" id="layer-track" data-role="track" role="group" aria-label="Track driven">` + "\n")
	for k := range TrackLooks {
		l := &TrackLooks[k]
		if lines := t.Thinned(l.Quality, math.Max(thinLeastM, extentM/4000)); len(lines) > 0 {
			fmt.Fprintf(b, `<path class="track" d="%s" fill="none" stroke="%s" stroke-width="%s"%s vector-effect="non-scaling-stroke" pointer-events="none"/>`+"\n",
				livePath(&Feature{Lines: lines}), l.Line.Color.Hex(), coord(l.Line.Width*PixelsAMM), liveDash(l.Line))
		}
	}
	b.WriteString("</g>\n")
}

// liveDash is the attribute of a broken stroke, "" for a whole one.
func liveDash(l ink.Line) string {
	if len(l.Dash) == 0 {
		return ""
	}
	parts := make([]string, len(l.Dash))
	for i, v := range l.Dash {
		parts[i] = coord(v * PixelsAMM)
	}
	return ` stroke-dasharray="` + strings.Join(parts, " ") + `"`
}

// TrackSign is one entry of the key of a track: an SVG element and its words.
type TrackSign struct {
	Picture template.HTML
	Words   string
}

const signBox = `<svg class="swatch" width="34" height="20" viewBox="0 0 34 20" aria-hidden="true" focusable="false">%s</svg>`

// Key is what stands in a drawing of it.
func (t *Track) Key() []TrackSign {
	var out []TrackSign
	for k := range TrackLooks {
		if l := &TrackLooks[k]; t.has(l.Quality) {
			out = append(out, TrackSign{template.HTML(fmt.Sprintf(signBox, trackStroke(l, 10))), l.Says})
		}
	}
	if len(t.Missed) > 0 {
		out = append(out, TrackSign{missedSign(), missedSays})
	}
	return out
}

func trackStroke(l *TrackLook, y int) string {
	return fmt.Sprintf(`<path d="M2 %dH32" stroke="%s" stroke-width="2"%s/>`, y, l.Line.Color.Hex(), liveDash(l.Line))
}

func missedSign() template.HTML {
	return template.HTML(fmt.Sprintf(signBox, fmt.Sprintf(`<rect x="2" y="2" width="30" height="16" fill="#ffffff" stroke="%s" stroke-width="1.5"/><path d="M3 3L17 17M10 3L24 17M17 3L31 17M24 3L31 10M3 10L10 17" stroke="#000000" stroke-width="0.8"/>`, MissedLine.Color.Hex())))
}

// liveLayers are the layers that the page can hide.
func (t *Track) liveLayers() []pageLayer {
	if t == nil {
		return nil
	}
	var out []pageLayer
	if len(t.Missed) > 0 {
		out = append(out, pageLayer{"missed", "Missed ground", len(t.Missed), missedSign()})
	}
	var lines strings.Builder
	shown := 0
	for k := range TrackLooks {
		if l := &TrackLooks[k]; t.has(l.Quality) {
			lines.WriteString(trackStroke(l, 3+5*k))
			shown++
		}
	}
	return append(out, pageLayer{"track", "Track, by quality", shown, template.HTML(fmt.Sprintf(signBox, lines.String()))})
}
