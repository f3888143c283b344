// Turning a drawing on its paper, when that lets it be drawn larger.

package sheet

import (
	"math"
	"slices"
	"sort"

	"github.com/paulmach/orb"
)

// turned is the drawing turned clockwise by deg: what is drawn turns, what is
// written of it (headings, positions) stays what it is on the ground.
func (d *Drawing) turned(deg float64) *Drawing {
	if deg == 0 {
		return d
	}
	out := *d
	out.turn = d.turn + deg
	s, c := math.Sincos(deg * math.Pi / 180)
	there := func(p orb.Point) orb.Point { return orb.Point{p[0]*c + p[1]*s, p[1]*c - p[0]*s} }
	back := func(p orb.Point) orb.Point { return orb.Point{p[0]*c - p[1]*s, p[1]*c + p[0]*s} }
	features := func(list []Feature) []Feature {
		list = slices.Clone(list)
		for i := range list {
			f := &list[i]
			f.Areas = slices.Clone(f.Areas)
			for k, a := range f.Areas {
				f.Areas[k] = make(orb.Polygon, len(a))
				for n, r := range a {
					f.Areas[k][n] = run(r, there)
				}
			}
			f.Lines = slices.Clone(f.Lines)
			for k, l := range f.Lines {
				f.Lines[k] = run(l, there)
			}
			f.Points = run(f.Points, there)
			f.LabelAt = there(f.LabelAt)
		}
		return list
	}
	out.Features, out.Off = features(d.Features), features(d.Off)
	out.Track = d.Track.turned(there)
	out.Findings = slices.Clone(d.Findings)
	for i := range out.Findings {
		out.Findings[i].At = there(out.Findings[i].At)
	}
	if forward := d.Grid.Forward; forward != nil {
		out.Grid.Forward = func(p orb.Point) (orb.Point, bool) { return forward(back(p)) }
	}
	if d.Earth != nil {
		earth := *d.Earth
		lonLat := d.Earth.LonLat
		earth.LonLat = func(p orb.Point) (lon, lat float64, ok bool) { return lonLat(back(p)) }
		out.Earth = &earth
	}
	return &out
}

func run[T ~[]orb.Point](list T, do func(orb.Point) orb.Point) T {
	out := make(T, len(list))
	for i, p := range list {
		out[i] = do(p)
	}
	return out
}

// mostTurns is how many sides of the plan's hull are tried.
const mostTurns = 240

// turns are the angles worth trying, the least first: those that lay a side of
// what is drawn along the paper, and every five degrees.
func (d *Drawing) turns() []float64 {
	hull := d.hull()
	var out []float64
	step := len(hull)/mostTurns + 1
	for i := 0; i < len(hull); i += step {
		p, q := hull[i], hull[(i+1)%len(hull)]
		if p == q {
			continue
		}
		// Anticlockwise from east; turned clockwise by it, the side lies level.
		a := math.Remainder(math.Atan2(q[1]-p[1], q[0]-p[0])*180/math.Pi, 90)
		a = math.Round(a*10) / 10
		out = append(out, a, a-math.Copysign(90, a))
	}
	for a := 5.0; a < 90; a += 5 {
		out = append(out, a, -a)
	}
	sort.SliceStable(out, func(i, k int) bool { return math.Abs(out[i]) < math.Abs(out[k]) })
	return slices.Compact(out)
}

// hull is the convex hull of what is drawn, anticlockwise (Andrew's monotone
// chain, 1979).
func (d *Drawing) hull() []orb.Point {
	var all []orb.Point
	for i := range d.Features {
		f := &d.Features[i]
		for _, a := range f.Areas {
			for _, r := range a {
				all = append(all, r...)
			}
		}
		for _, l := range f.Lines {
			all = append(all, l...)
		}
		for _, p := range f.Points {
			all = append(all, p)
			if f.RadiusM > 0 {
				all = append(all, disc(p, f.RadiusM)...)
			}
		}
	}
	for _, f := range d.Findings {
		if f.HasAt {
			all = append(all, f.At)
		}
	}
	slices.SortFunc(all, func(p, q orb.Point) int {
		for axis := range 2 {
			if p[axis] != q[axis] {
				if p[axis] < q[axis] {
					return -1
				}
				return 1
			}
		}
		return 0
	})
	half := func() []orb.Point {
		var out []orb.Point
		for _, p := range all {
			for n := len(out); n > 1 && (out[n-1][0]-out[n-2][0])*(p[1]-out[n-2][1]) <= (out[n-1][1]-out[n-2][1])*(p[0]-out[n-2][0]); n-- {
				out = out[:n-1]
			}
			out = append(out, p)
		}
		if len(out) > 1 {
			out = out[:len(out)-1]
		}
		return out
	}
	lower := half()
	slices.Reverse(all)
	return append(lower, half()...)
}

// hullBox is the box of a hull turned clockwise by deg.
func hullBox(hull []orb.Point, deg float64) orb.Bound {
	s, c := math.Sincos(deg * math.Pi / 180)
	b := orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
	for _, p := range hull {
		b = b.Extend(orb.Point{p[0]*c + p[1]*s, p[1]*c - p[0]*s})
	}
	return b
}

// bestTurn is the least angle that wins a larger scale, or, at a scale that was
// asked for, one sheet instead of several; 0 when none does.
func (d *Drawing) bestTurn(o Options) float64 {
	hull := d.hull()
	if len(hull) < 2 {
		return 0
	}
	scale := func(deg float64) float64 {
		b := grown(hullBox(hull, deg))
		best := math.Inf(1)
		for _, s := range o.shapes() {
			if n, ok := s.fits(b); ok {
				best = math.Min(best, n)
			}
			if w, h := s.ground(o.Scale); o.Scale != 0 && b.Max[0]-b.Min[0] <= w && b.Max[1]-b.Min[1] <= h {
				return o.Scale
			}
		}
		return best
	}
	best, at := scale(0), 0.0
	if o.Scale != 0 && best <= o.Scale {
		return 0
	}
	for _, a := range d.turns() {
		if n := scale(a); n < best*(1-1e-9) {
			best, at = n, a
		}
		if o.Scale != 0 && best <= o.Scale {
			return at
		}
	}
	if o.Scale != 0 {
		return 0 // turned or not, it takes several sheets
	}
	return at
}
