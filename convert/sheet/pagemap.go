// The plan as a picture on a page that lists its findings.

package sheet

import (
	"io"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/simplify"

	"swardline/convert/sheet/ink"
)

// Sizes of pictures on pages, millimetres. A browser draws a picture as wide as
// there is room: on a phone about half as large again as on paper, so that 2.5
// mm are 11 pixels.
const (
	pageMapWidth = 100.0
	pageMapLow   = 55.0 // the least and the most height
	pageMapHigh  = 130.0
	pageMapRim   = 7.0 // round the plan, for the tags of findings
)

// PageMap writes the plan as one SVG element for a page in a browser, with
// scale bar and north. The tag of a finding, or the group of those that share
// its place, has the identifier at-N by the finding's number and leads to
// finding-N.
func (d *Drawing) PageMap(w io.Writer) error {
	b, ok := d.bounds()
	if !ok {
		b = orb.Bound{}
	}
	b = grown(b)
	wide, high := b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]
	const inner = pageMapWidth - 2*pageMapRim
	mmPerM := math.Min(inner/wide, (pageMapHigh-2*pageMapRim)/high)
	h := math.Max(pageMapLow, high*mmPerM+2*pageMapRim)
	mid := b.Center()
	dx, dy := pageMapWidth/2/mmPerM, h/2/mmPerM
	p := &ink.Page{W: pageMapWidth, H: h, Title: "Map of the plan. " + d.words()}
	v := newView(p, 0, 0, pageMapWidth, h, orb.Bound{Min: orb.Point{mid[0] - dx, mid[1] - dy}, Max: orb.Point{mid[0] + dx, mid[1] + dy}})
	v.linked = true
	list, off := thinned(d.Features, thinMM/mmPerM), thinned(d.Off, thinMM/mmPerM)
	v.features(list)
	v.off(off)
	v.track(d.Track)
	r := newRoom(v)
	v.bar(r)
	v.upright(&d.Grid, r)
	r.linework(list)
	r.linework(off)
	v.signs(list, r)
	tags := v.findings(d.Findings, r)
	v.labels(list, off, r)
	p.Add(tags...)
	return ink.Inline(w, p, "map-")
}

// bar draws a scale bar in the lower left corner.
func (v *view) bar(r *room) {
	length, _ := roundLength(v.w / 3 / v.mmPerM)
	mm := length * v.mmPerM
	x, y := v.x+3, v.y+v.h-3
	words := distance(length)
	v.page.Add(&ink.Group{Class: "scale-bar", Title: "scale bar of " + words})
	v.page.Rect(x-1, y-5.2, math.Max(mm, 12)+2, 6.4, &white, nil)
	v.page.Polyline(ink.Line{Color: black, Width: 0.4}, ink.Point{x, y - 1}, ink.Point{x, y}, ink.Point{x + mm, y}, ink.Point{x + mm, y - 1})
	v.page.Add(&ink.Text{At: ink.Point{x, y - 1.5}, Size: headSize, S: words}, ink.End{})
	r.take(box{x - 1, y - 5.2, x + math.Max(mm, 12) + 1, y + 1.2})
}

// roundLength is the longest of 1, 2 and 5 by a power of ten that is no longer,
// and its digit.
func roundLength(most float64) (length, digit float64) {
	p10 := math.Pow(10, math.Floor(math.Log10(most)))
	digit = 1
	for _, m := range []float64{2, 5} {
		if m*p10 <= most {
			digit = m
		}
	}
	return digit * p10, digit
}

func distance(m float64) string {
	if m >= 1000 {
		return thousands(trim(m/1000)) + " km"
	}
	return trim(m) + " m"
}

// upright draws an arrow for up in the upper right corner.
func (v *view) upright(g *Grid, r *room) {
	letter, says := "N", "up is true north"
	if !g.NorthKnown {
		letter, says = "y", "up is the drawing's y axis"
	}
	x, y := v.x+v.w-4, v.y+2.5
	v.page.Add(&ink.Group{Class: "north", Title: says})
	v.page.Add(&ink.Path{Subs: []ink.Sub{{Points: []ink.Point{{x, y}, {x + 1.5, y + 4.5}, {x, y + 3.5}, {x - 1.5, y + 4.5}}, Closed: true}}, Fill: &black})
	v.page.Add(&ink.Text{At: ink.Point{x, y + 8}, Size: headSize, Bold: true, Anchor: 0.5, Halo: 0.6, S: letter}, ink.End{})
	r.take(box{x - 2.5, y - 1, x + 2.5, y + 9})
}

// thinned are the features with the points that it takes to draw each line
// within so many metres of where it is (Douglas and Peucker, 1973).
func thinned(list []Feature, metres float64) []Feature {
	near := simplify.DouglasPeucker(metres)
	out := make([]Feature, len(list))
	for i, f := range list {
		areas := make([]orb.Polygon, len(f.Areas))
		for k, a := range f.Areas {
			for _, ring := range a {
				if r := near.Ring(slices.Clone(ring)); len(r) > 3 {
					ring = r
				}
				areas[k] = append(areas[k], ring)
			}
		}
		lines := make([]orb.LineString, len(f.Lines))
		for k, l := range f.Lines {
			lines[k] = near.LineString(slices.Clone(l))
		}
		f.Areas, f.Lines = areas, lines
		out[i] = f
	}
	return out
}
