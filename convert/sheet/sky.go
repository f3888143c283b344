// The sky of a place as a polar plot: what is hidden, and the ways of the satellites.

package sheet

import (
	"fmt"
	"html"
	"io"
	"math"
	"strings"

	"swardline/crs/orbit"
)

// SkyPlot is one polar plot: north up, the horizon outside, the zenith in the middle.
type SkyPlot struct {
	Title, Words string
	Horizon      *orbit.Horizon
	Day          *orbit.Day
}

// Measures of a plot in millimetres.
const (
	skyRadius = 42.0
	skyMargin = 12.0
	skyHead   = 11.0
	skyFoot   = 13.0
	skyWidth  = 2 * (skyRadius + skyMargin)
	skyHeight = skyHead + 2*(skyRadius+6) + skyFoot
	skyAcross = 2 // plots in a row
)

// skyAt is where a direction lies in a plot, from its middle, in millimetres: the
// distance from the middle is in proportion to 90 degrees less the elevation.
func skyAt(azimuth, elevation float64) (x, y float64) {
	r := skyRadius * (90 - math.Max(elevation, 0)) / 90
	s, c := math.Sincos(azimuth * math.Pi / 180)
	return r * s, -r * c
}

// SkySVG writes the plots on one drawing, two in a row.
func SkySVG(w io.Writer, plots []SkyPlot) error {
	across := min(skyAcross, max(len(plots), 1))
	rows := (len(plots) + across - 1) / across
	var b strings.Builder
	width, height := float64(across)*skyWidth, float64(rows)*skyHeight+8
	fmt.Fprintf(&b, "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%.1fmm\" height=\"%.1fmm\" viewBox=\"0 0 %.1f %.1f\" font-family=\"DejaVu Sans, sans-serif\" font-size=\"2.6\">\n", width, height, width, height)
	b.WriteString("<title>The sky over a day</title>\n")
	// Hidden sky is hatched, so that it can be told in black and white.
	b.WriteString("<defs><pattern id=\"hidden\" width=\"1.6\" height=\"1.6\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><rect width=\"1.6\" height=\"1.6\" fill=\"#e4e4e4\"/><path d=\"M0 0V1.6\" stroke=\"#444\" stroke-width=\"0.35\"/></pattern></defs>\n")
	fmt.Fprintf(&b, "<rect width=\"%.1f\" height=\"%.1f\" fill=\"#fff\"/>\n", width, height)
	for i := range plots {
		x := float64(i%across)*skyWidth + skyWidth/2
		y := float64(i/across)*skyHeight + skyHead + skyRadius + 6
		plots[i].svg(&b, x, y)
	}
	fmt.Fprintf(&b, "<g transform=\"translate(4 %.1f)\"><rect width=\"6\" height=\"3\" fill=\"url(#hidden)\" stroke=\"#000\" stroke-width=\"0.2\"/><text x=\"7.5\" y=\"2.6\">hidden, or below the mask</text>"+
		"<path d=\"M52 1.5h8\" stroke=\"#0072b2\" stroke-width=\"0.5\"/><text x=\"61.5\" y=\"2.6\">way of a satellite</text></g>\n", height-5)
	b.WriteString("</svg>\n")
	_, err := io.WriteString(w, b.String())
	return err
}

func (p *SkyPlot) svg(b *strings.Builder, x, y float64) {
	fmt.Fprintf(b, "<g transform=\"translate(%.1f %.1f)\">\n", x, y)
	fmt.Fprintf(b, "<text y=\"%.1f\" text-anchor=\"middle\" font-size=\"3.5\" font-weight=\"bold\">%s</text>\n", -skyRadius-7.5, html.EscapeString(p.Title))
	p.tracks(b)
	p.hidden(b)
	for el := 0; el < 90; el += 30 {
		_, r := skyAt(180, float64(el))
		fmt.Fprintf(b, "<circle r=\"%.2f\" fill=\"none\" stroke=\"#000\" stroke-width=\"%s\"/>\n", r, map[bool]string{true: "0.5", false: "0.18"}[el == 0])
		if el > 0 {
			fmt.Fprintf(b, "<text x=\"0.6\" y=\"%.2f\" font-size=\"2.2\">%d°</text>\n", -r-0.5, el)
		}
	}
	for _, q := range [...]struct {
		name string
		az   float64
	}{{"N", 0}, {"E", 90}, {"S", 180}, {"W", 270}} {
		x, y := skyAt(q.az, 0)
		fmt.Fprintf(b, "<path d=\"M0 0L%.2f %.2f\" stroke=\"#000\" stroke-width=\"0.12\"/>\n", x, y)
		fmt.Fprintf(b, "<text x=\"%.2f\" y=\"%.2f\" text-anchor=\"middle\" font-size=\"3.5\">%s</text>\n", x*1.07, y*1.07+1.2, q.name)
	}
	fmt.Fprintf(b, "<text y=\"%.1f\" text-anchor=\"middle\">%s</text>\n</g>\n", skyRadius+9, html.EscapeString(p.Words))
}

// hidden draws what is hidden: from the outside up to the top of each bin, and bands.
func (p *SkyPlot) hidden(b *strings.Builder) {
	var d strings.Builder
	ring := func(from, to, low, high float64) {
		x0, y0 := skyAt(from, low)
		x1, y1 := skyAt(to, low)
		x2, y2 := skyAt(to, high)
		x3, y3 := skyAt(from, high)
		fmt.Fprintf(&d, "M%.2f %.2fL%.2f %.2fL%.2f %.2fL%.2f %.2fZ", x0, y0, x1, y1, x2, y2, x3, y3)
	}
	for az := 0.0; az < 360; {
		top := p.Horizon.Top(az)
		end := az + 0.5
		for end < 360 && math.Abs(p.Horizon.Top(end)-top) < 0.05 && end-az < 5 {
			end += 0.5
		}
		if top > 0 {
			ring(az, end, 0, top)
		}
		az = end
	}
	p.Horizon.Bands(func(from, to, low, high float64) { ring(from, to, low, high) })
	if d.Len() > 0 {
		fmt.Fprintf(b, "<path d=\"%s\" fill=\"url(#hidden)\"/>\n", d.String())
	}
}

// tracks draws the ways of the satellites, cut where they set.
func (p *SkyPlot) tracks(b *strings.Builder) {
	type step struct {
		k    int
		x, y float64
	}
	last := map[int]step{}
	var d strings.Builder
	for k := range p.Day.Steps() {
		for _, s := range p.Day.Sights(k) {
			x, y := skyAt(s.Azimuth, s.Elevation)
			old, seen := last[s.Satellite]
			if seen && old.k == k-1 {
				fmt.Fprintf(&d, "M%.1f %.1fL%.1f %.1f", old.x, old.y, x, y)
			}
			last[s.Satellite] = step{k, x, y}
		}
	}
	fmt.Fprintf(b, "<path d=\"%s\" fill=\"none\" stroke=\"#0072b2\" stroke-width=\"0.12\" stroke-opacity=\"0.7\"/>\n", d.String())
}
