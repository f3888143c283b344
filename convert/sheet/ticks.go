// Grid ticks: crosses at round coordinates, and the coordinates on the map's
// frame.

package sheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"swardline/convert/sheet/ink"
	"swardline/convert/sheet/typeface"
)

// tickGap is how far apart ticks stand on paper at the least, mm.
const tickGap = 28.0

// edgeSamples is on how many points an edge of the map is looked at.
const edgeSamples = 33

// tickStep is the round step of coordinates for a number of units a millimetre.
func tickStep(unitsPerMM float64, degrees bool) float64 {
	least := unitsPerMM * tickGap
	if degrees {
		for _, sec := range []float64{0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 18000, 36000} {
			if sec/3600 >= least {
				return sec / 3600
			}
		}
		return 10
	}
	p := math.Pow(10, math.Floor(math.Log10(least)))
	for _, m := range []float64{1, 2, 5, 10} {
		if m*p >= least*(1-1e-9) {
			return m * p
		}
	}
	return 10 * p
}

// ticks draws crosses inside the map, where nothing is written, and labelled
// strokes on its frame. r is what is taken on the map, nil for nothing.
func (v *view) ticks(g *Grid, r *room) {
	if g.Forward == nil {
		return
	}
	corners := []ink.Point{{v.x, v.y}, {v.x + v.w, v.y}, {v.x + v.w, v.y + v.h}, {v.x, v.y + v.h}}
	mid, ok := g.Forward(v.back(ink.Point{v.x + v.w/2, v.y + v.h/2}))
	if !ok {
		return
	}
	lo, hi := mid, mid
	for i := range corners {
		for k := range edgeSamples {
			f := float64(k) / edgeSamples
			a, b := corners[i], corners[(i+1)%4]
			c, ok := g.Forward(v.back(ink.Point{a[0] + f*(b[0]-a[0]), a[1] + f*(b[1]-a[1])}))
			if !ok {
				return
			}
			for axis := range 2 {
				lo[axis], hi[axis] = math.Min(lo[axis], c[axis]), math.Max(hi[axis], c[axis])
			}
		}
	}
	// Units a millimetre, at the middle.
	here := v.back(ink.Point{v.x + v.w/2, v.y + v.h/2})
	e, ok1 := g.Forward(orb.Point{here[0] + 1, here[1]})
	n, ok2 := g.Forward(orb.Point{here[0], here[1] + 1})
	if !ok1 || !ok2 {
		return
	}
	perX := math.Hypot(e[0]-mid[0], n[0]-mid[0]) / v.mmPerM
	perY := math.Hypot(e[1]-mid[1], n[1]-mid[1]) / v.mmPerM
	step := [2]float64{tickStep(perX, g.Degrees), tickStep(perY, g.Degrees)}
	if !g.Degrees {
		step[0] = math.Max(step[0], step[1])
		step[1] = step[0]
	}
	const most = 200
	first, last := [2]float64{}, [2]float64{}
	for axis := range 2 {
		first[axis], last[axis] = math.Ceil(lo[axis]/step[axis]), math.Floor(hi[axis]/step[axis])
		if !(last[axis]-first[axis] < most) {
			return
		}
	}
	v.page.Add(&ink.Group{Class: "grid-ticks", Title: "grid of " + g.ID})
	var crosses []ink.Sub
	for kx := first[0]; kx <= last[0]; kx++ {
		for ky := first[1]; ky <= last[1]; ky++ {
			p, ok := g.Inverse(orb.Point{kx * step[0], ky * step[1]}, here)
			if !ok {
				continue
			}
			q := v.at(p)
			if q[0] < v.x+1 || q[0] > v.x+v.w-1 || q[1] < v.y+1 || q[1] > v.y+v.h-1 {
				continue
			}
			if r != nil && !r.free(box{q[0] - 2, q[1] - 2, q[0] + 2, q[1] + 2}) {
				continue
			}
			// The arms run along the grid, which may be turned against the
			// sheet.
			px, ok1 := g.Inverse(orb.Point{kx*step[0] + perX, ky * step[1]}, p)
			if !ok1 {
				continue
			}
			qx := v.at(px)
			dx, dy := qx[0]-q[0], qx[1]-q[1]
			length := math.Hypot(dx, dy)
			dx, dy = dx/length*1.6, dy/length*1.6
			crosses = append(crosses, ink.Sub{Points: []ink.Point{{q[0] - dx, q[1] - dy}, {q[0] + dx, q[1] + dy}}},
				ink.Sub{Points: []ink.Point{{q[0] + dy, q[1] - dx}, {q[0] - dy, q[1] + dx}}})
		}
	}
	if len(crosses) > 0 {
		v.page.Add(&ink.Path{Subs: crosses, Line: &ink.Line{Color: grey, Width: 0.18}})
	}
	for side := range 4 {
		a, b := corners[side], corners[(side+1)%4]
		axis := v.axisAlong(g, a, b, step)
		for k := first[axis]; k <= last[axis]; k++ {
			q, ok := v.crossing(g, a, b, axis, k*step[axis])
			if !ok {
				continue
			}
			v.tickLabel(q, side, coordinate(k*step[axis], step[axis], axis, g))
		}
	}
	v.page.Add(ink.End{})
}

// axisAlong is which coordinate changes more along an edge of the map: x along
// top and bottom, unless the drawing is turned.
func (v *view) axisAlong(g *Grid, a, b ink.Point, step [2]float64) int {
	p, ok1 := g.Forward(v.back(a))
	q, ok2 := g.Forward(v.back(b))
	if ok1 && ok2 && math.Abs(q[1]-p[1])/step[1] > math.Abs(q[0]-p[0])/step[0] {
		return 1
	}
	return 0
}

// crossing finds where a coordinate takes a value along an edge of the map.
func (v *view) crossing(g *Grid, a, b ink.Point, axis int, value float64) (ink.Point, bool) {
	at := func(f float64) (float64, bool) {
		c, ok := g.Forward(v.back(ink.Point{a[0] + f*(b[0]-a[0]), a[1] + f*(b[1]-a[1])}))
		return c[axis] - value, ok
	}
	f0 := 0.0
	d0, ok := at(0)
	if !ok {
		return a, false
	}
	for k := 1; k <= edgeSamples; k++ {
		f1 := float64(k) / edgeSamples
		d1, ok := at(f1)
		if !ok {
			return a, false
		}
		if d0 == 0 || (d0 < 0) != (d1 < 0) {
			for range 50 {
				m := (f0 + f1) / 2
				d, ok := at(m)
				if !ok {
					return a, false
				}
				if (d < 0) == (d0 < 0) {
					f0 = m
				} else {
					f1 = m
				}
			}
			return ink.Point{a[0] + f0*(b[0]-a[0]), a[1] + f0*(b[1]-a[1])}, true
		}
		f0, d0 = f1, d1
	}
	return a, false
}

const tickSize = tableSize

// tickLabel draws a stroke out of the frame and the coordinate beside it. Sides
// run top, right, bottom, left.
func (v *view) tickLabel(q ink.Point, side int, text string) {
	line := ink.Line{Color: black, Width: 0.2}
	half := float64(len(text)) * tickSize * 0.32
	switch side {
	case 0, 2:
		if q[0]-half < v.x || q[0]+half > v.x+v.w {
			return
		}
		dy := -1.2
		base := q[1] - 1.7
		if side == 2 {
			dy = 1.2
			base = q[1] + 1.4 + tickSize*typeface.CapHeight + 0.2
		}
		v.page.Polyline(line, q, ink.Point{q[0], q[1] + dy})
		v.page.Add(&ink.Text{At: ink.Point{q[0], base}, Size: tickSize, Anchor: 0.5, S: text})
	default:
		if q[1]-half < v.y || q[1]+half > v.y+v.h {
			return
		}
		dx, base := -1.2, q[0]-1.7
		if side == 1 {
			dx, base = 1.2, q[0]+1.6+tickSize*typeface.CapHeight
		}
		v.page.Polyline(line, q, ink.Point{q[0] + dx, q[1]})
		v.page.Add(&ink.Text{At: ink.Point{base, q[1]}, Size: tickSize, Anchor: 0.5, Angle: 90, S: text})
	}
}

// coordinate writes a tick's value: degrees, minutes and seconds, or plane with
// its letter.
func coordinate(value, step float64, axis int, g *Grid) string {
	if g.Degrees {
		return dms(value, step, axis)
	}
	decimals := 0
	for s := step; decimals < 4 && math.Abs(s-math.Round(s)) > 1e-9; decimals++ {
		s *= 10
	}
	letter := "E"
	if axis == 1 {
		letter = "N"
	}
	return letter + " " + thousands(strconv.FormatFloat(value+0, 'f', decimals, 64))
}

// thousands puts a space that does not break between groups of three digits.
func thousands(s string) string {
	sign := ""
	if strings.HasPrefix(s, "-") {
		sign, s = "-", s[1:]
	}
	whole, rest, _ := strings.Cut(s, ".")
	var b strings.Builder
	for i, r := range whole {
		if i > 0 && (len(whole)-i)%3 == 0 {
			b.WriteRune('\u00a0')
		}
		b.WriteRune(r)
	}
	if rest != "" {
		b.WriteString("." + rest)
	}
	if b.String() == "0" {
		sign = ""
	}
	return sign + b.String()
}

func dms(value, step float64, axis int) string {
	hemisphere := "EW"
	if axis == 1 {
		hemisphere = "NS"
	}
	side := hemisphere[0]
	if value < 0 {
		side = hemisphere[1]
		value = -value
	}
	decimals := 0
	for s := step * 3600; decimals < 2 && math.Abs(s-math.Round(s)) > 1e-6; decimals++ {
		s *= 10
	}
	unit := math.Pow(10, float64(decimals))
	total := math.Round(value*3600*unit) / unit
	d := math.Floor(total / 3600)
	m := math.Floor((total - d*3600) / 60)
	s := math.Max(0, total-d*3600-m*60)
	return fmt.Sprintf("%.0f°%02.0f'%0*.*f\" %c", d, m, 2+decimals+min(decimals, 1), decimals, s, side)
}
