// Drawing features on a map: areas with their hatching, lines, and signs for
// points.

package sheet

import (
	"math"
	"slices"
	"sort"

	"github.com/paulmach/orb"

	"swardline/convert/sheet/ink"
	"swardline/schema"
)

// view is a map on a page: a rectangle of paper and the ground it shows.
type view struct {
	page       *ink.Page
	x, y, w, h float64 // mm
	ground     orb.Bound
	mmPerM     float64
	// bare leaves hatching, signs and labels out, for an index.
	bare bool
	// turn is how far the drawing was turned, degrees clockwise: a bearing b
	// runs b + turn clockwise from the paper's top.
	turn float64
	// linked makes a finding's tag lead to it on the page that the map is on.
	linked bool
}

func newView(p *ink.Page, x, y, w, h float64, ground orb.Bound) *view {
	return &view{page: p, x: x, y: y, w: w, h: h, ground: ground, mmPerM: w / (ground.Max[0] - ground.Min[0])}
}

// at is the place on paper of a point on the ground.
func (v *view) at(p orb.Point) ink.Point {
	return ink.Point{v.x + (p[0]-v.ground.Min[0])*v.mmPerM, v.y + (v.ground.Max[1]-p[1])*v.mmPerM}
}

// back is the inverse of at.
func (v *view) back(q ink.Point) orb.Point {
	return orb.Point{v.ground.Min[0] + (q[0]-v.x)/v.mmPerM, v.ground.Max[1] - (q[1]-v.y)/v.mmPerM}
}

func (v *view) sees(q ink.Point, slack float64) bool {
	return q[0] >= v.x-slack && q[0] <= v.x+v.w+slack && q[1] >= v.y-slack && q[1] <= v.y+v.h+slack
}

func (v *view) run(pts []orb.Point) []ink.Point {
	out := make([]ink.Point, len(pts))
	for i, p := range pts {
		out[i] = v.at(p)
	}
	return out
}

// features draws all that is seen, lowest role first.
func (v *view) features(list []Feature) {
	order := make([]*Feature, 0, len(list))
	for i := range list {
		if list[i].bound().Intersects(v.ground) {
			order = append(order, &list[i])
		}
	}
	sort.SliceStable(order, func(i, j int) bool { return lookOf(order[i].Role).order < lookOf(order[j].Role).order })
	for _, f := range order {
		v.page.Add(&ink.Group{Class: "role-" + string(f.Role), ID: "", Title: describe(f)})
		v.feature(f)
		v.page.Add(ink.End{})
	}
}

// off draws the outlines of what is inactive.
func (v *view) off(list []Feature) {
	for i := range list {
		f := &list[i]
		if !f.bound().Intersects(v.ground) {
			continue
		}
		v.page.Add(&ink.Group{Class: "off", Title: "off: " + describe(f)})
		for _, s := range v.outlines(f) {
			v.page.Add(&ink.Path{Subs: []ink.Sub{s}, Line: &offLine})
		}
		v.page.Add(ink.End{})
	}
}

// outlines are a feature's rings, lines and points, those as circles, on paper.
func (v *view) outlines(f *Feature) []ink.Sub {
	var out []ink.Sub
	for _, a := range f.Areas {
		for _, ring := range a {
			r := []orb.Point(ring)
			if n := len(r); n > 1 && r[0] == r[n-1] {
				r = r[:n-1]
			}
			out = append(out, ink.Sub{Points: v.run(r), Closed: true})
		}
	}
	for _, l := range f.Lines {
		out = append(out, ink.Sub{Points: v.run(l)})
	}
	for _, p := range f.Points {
		r := 1.3 / v.mmPerM
		if f.RadiusM > r {
			r = f.RadiusM
		}
		out = append(out, ink.Sub{Points: v.run(disc(p, r)), Closed: true})
	}
	return out
}

func describe(f *Feature) string {
	s := string(f.Role)
	if f.Kind != "" {
		s += " (" + f.Kind + ")"
	}
	return s + " " + f.Label()
}

func (v *view) feature(f *Feature) {
	l := lookOf(f.Role)
	for _, a := range f.Areas {
		v.area(a, l, f.HeadingDeg, f)
	}
	for _, line := range f.Lines {
		pts := v.run(line)
		switch f.Role {
		case schema.RoleEdge:
			v.edge(pts, edgeLookOf(f.Kind))
		case schema.RoleCorridor:
			v.page.Polyline(l.line, pts...)
			if !v.bare {
				v.chevrons(pts, l.line.Color)
			}
		default:
			v.page.Polyline(l.line, pts...)
		}
	}
	for _, p := range f.Points {
		if f.RadiusM > 0 && f.RadiusM*v.mmPerM > 0.6 {
			v.area(orb.Polygon{disc(p, f.RadiusM)}, l, math.NaN(), f)
		}
		if !v.bare {
			v.sign(v.at(p), f)
		}
	}
}

func disc(at orb.Point, r float64) orb.Ring {
	const n = 48
	out := make(orb.Ring, 0, n)
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * float64(i) / n)
		out = append(out, orb.Point{at[0] + r*c, at[1] + r*s})
	}
	return out
}

func (v *view) area(a orb.Polygon, l *look, heading float64, f *Feature) {
	var subs []ink.Sub
	for _, ring := range a {
		r := []orb.Point(ring)
		if n := len(r); n > 1 && r[0] == r[n-1] {
			r = r[:n-1]
		}
		subs = append(subs, ink.Sub{Points: v.run(r), Closed: true})
	}
	if l.fill != nil {
		v.page.Add(&ink.Path{Subs: subs, Fill: l.fill, Opacity: l.opacity})
	}
	if !v.bare {
		for _, h := range l.hatches {
			v.hatch(subs, h, heading)
		}
	}
	line := l.line
	if v.bare {
		line.Width *= 0.5
	}
	v.page.Add(&ink.Path{Subs: subs, Line: &line})
	if f.Role == schema.RoleEdge { // an edge drawn as an area: its outline is the edge
		for _, s := range subs {
			v.edge(append(slices.Clone(s.Points), s.Points[0]), edgeLookOf(f.Kind))
		}
	}
}

// hatch draws one family of lines inside the subs, clipped by the even-odd
// rule. The family is anchored to the ground, so that neighbouring sheets fit
// together.
func (v *view) hatch(subs []ink.Sub, h hatch, heading float64) {
	angle := h.angle
	if h.byHeading && !math.IsNaN(heading) {
		angle = 90 - heading - v.turn // a bearing runs clockwise from up
	}
	pts := [][]ink.Point{}
	for _, s := range subs {
		pts = append(pts, s.Points)
	}
	origin := v.at(orb.Point{0, 0})
	segs := hatchLines(pts, origin, angle, h.gap, ink.Point{v.x, v.y}, ink.Point{v.x + v.w, v.y + v.h})
	if len(segs) == 0 {
		return
	}
	out := make([]ink.Sub, len(segs))
	for i, s := range segs {
		out[i] = ink.Sub{Points: []ink.Point{s[0], s[1]}}
	}
	v.page.Add(&ink.Path{Subs: out, Line: &h.line})
}

// hatchLines returns the parts of parallel lines that lie inside the rings and
// the box, even-odd. Lines run at angle degrees anticlockwise from the right,
// gap apart, one of them through origin.
func hatchLines(rings [][]ink.Point, origin ink.Point, angle, gap float64, lo, hi ink.Point) [][2]ink.Point {
	sin, cos := math.Sincos(angle * math.Pi / 180)
	ux, uy := cos, -sin // along; y runs down on paper
	nx, ny := sin, cos  // across
	// The range across of the box and the rings.
	boxMin, boxMax := math.Inf(1), math.Inf(-1)
	for _, c := range []ink.Point{lo, {hi[0], lo[1]}, hi, {lo[0], hi[1]}} {
		d := (c[0]-origin[0])*nx + (c[1]-origin[1])*ny
		boxMin, boxMax = math.Min(boxMin, d), math.Max(boxMax, d)
	}
	ringMin, ringMax := math.Inf(1), math.Inf(-1)
	for _, r := range rings {
		for _, p := range r {
			d := (p[0]-origin[0])*nx + (p[1]-origin[1])*ny
			ringMin, ringMax = math.Min(ringMin, d), math.Max(ringMax, d)
		}
	}
	first, last := math.Ceil(math.Max(boxMin, ringMin)/gap), math.Floor(math.Min(boxMax, ringMax)/gap)
	if !(last-first < 20000) {
		return nil
	}
	crossings := map[int][]float64{}
	for _, r := range rings {
		for i := range r {
			p, q := r[i], r[(i+1)%len(r)]
			dp, dq := (p[0]-origin[0])*nx+(p[1]-origin[1])*ny, (q[0]-origin[0])*nx+(q[1]-origin[1])*ny
			tp, tq := (p[0]-origin[0])*ux+(p[1]-origin[1])*uy, (q[0]-origin[0])*ux+(q[1]-origin[1])*uy
			if dp > dq {
				dp, dq, tp, tq = dq, dp, tq, tp
			}
			// Half open, so that a vertex on a line counts once.
			for k := math.Max(first, math.Ceil(dp/gap)); k*gap < dq && k <= last; k++ {
				t := tp + (tq-tp)*(k*gap-dp)/(dq-dp)
				crossings[int(k)] = append(crossings[int(k)], t)
			}
		}
	}
	var out [][2]ink.Point
	for k := int(first); k <= int(last); k++ {
		c := crossings[k]
		sort.Float64s(c)
		d := float64(k) * gap
		t0, t1 := boxSpan(origin, ux, uy, nx, ny, d, lo, hi)
		for i := 0; i+1 < len(c); i += 2 {
			a, b := math.Max(c[i], t0), math.Min(c[i+1], t1)
			if b-a < 0.05 {
				continue
			}
			out = append(out, [2]ink.Point{
				{origin[0] + d*nx + a*ux, origin[1] + d*ny + a*uy},
				{origin[0] + d*nx + b*ux, origin[1] + d*ny + b*uy}})
		}
	}
	return out
}

// boxSpan is the range along a hatch line that lies in the box.
func boxSpan(o ink.Point, ux, uy, nx, ny, d float64, lo, hi ink.Point) (t0, t1 float64) {
	t0, t1 = math.Inf(-1), math.Inf(1)
	u, base := [2]float64{ux, uy}, [2]float64{o[0] + d*nx, o[1] + d*ny}
	for axis := range 2 {
		if math.Abs(u[axis]) < 1e-12 {
			if base[axis] < lo[axis] || base[axis] > hi[axis] {
				return 0, -1
			}
			continue
		}
		a, b := (lo[axis]-base[axis])/u[axis], (hi[axis]-base[axis])/u[axis]
		t0, t1 = math.Max(t0, math.Min(a, b)), math.Min(t1, math.Max(a, b))
	}
	return t0, t1
}

// edge draws a line with what stands across it.
func (v *view) edge(pts []ink.Point, l edgeLook) {
	line := l.line
	if v.bare {
		line.Width *= 0.5
	}
	v.page.Polyline(line, pts...)
	if l.tick == 0 || v.bare {
		return
	}
	var subs []ink.Sub
	along(pts, l.every, func(p ink.Point, ux, uy float64) {
		if !v.sees(p, 2) {
			return
		}
		rx, ry := -uy, ux // to the right of the line, seen with y down
		switch {
		case l.cross:
			h := l.tick / 2
			subs = append(subs, ink.Sub{Points: []ink.Point{{p[0] - h, p[1] - h}, {p[0] + h, p[1] + h}}},
				ink.Sub{Points: []ink.Point{{p[0] - h, p[1] + h}, {p[0] + h, p[1] - h}}})
		case l.tooth:
			subs = append(subs, ink.Sub{Points: []ink.Point{{p[0] - ux*0.6, p[1] - uy*0.6}, {p[0] + rx*l.tick, p[1] + ry*l.tick}, {p[0] + ux*0.6, p[1] + uy*0.6}}})
		default:
			subs = append(subs, ink.Sub{Points: []ink.Point{p, {p[0] + rx*l.tick, p[1] + ry*l.tick}}})
		}
	})
	if len(subs) > 0 {
		v.page.Add(&ink.Path{Subs: subs, Line: &ink.Line{Color: black, Width: 0.25}})
	}
}

// along calls do every so many millimetres of a line, from half a step on. ux,
// uy is the direction there.
func along(pts []ink.Point, every float64, do func(p ink.Point, ux, uy float64)) {
	next := every / 2
	total := 0.0
	for i := 1; i < len(pts); i++ {
		dx, dy := pts[i][0]-pts[i-1][0], pts[i][1]-pts[i-1][1]
		length := math.Hypot(dx, dy)
		if length == 0 {
			continue
		}
		for ; next <= total+length; next += every {
			f := (next - total) / length
			do(ink.Point{pts[i-1][0] + f*dx, pts[i-1][1] + f*dy}, dx/length, dy/length)
		}
		total += length
		if total > 1e6 { // a line of a kilometre of paper
			return
		}
	}
}

// chevrons tell which way a corridor was drawn.
func (v *view) chevrons(pts []ink.Point, c ink.Color) {
	var subs []ink.Sub
	along(pts, 14, func(p ink.Point, ux, uy float64) {
		if v.sees(p, 2) {
			const back, side = 1.0, 0.8
			subs = append(subs, ink.Sub{Points: []ink.Point{
				{p[0] - ux*back - uy*side, p[1] - uy*back + ux*side}, p,
				{p[0] - ux*back + uy*side, p[1] - uy*back - ux*side}}})
		}
	})
	if len(subs) > 0 {
		v.page.Add(&ink.Path{Subs: subs, Line: &ink.Line{Color: c, Width: 0.35}})
	}
}

// sign draws the sign of a point.
func (v *view) sign(p ink.Point, f *Feature) {
	if !v.sees(p, 3) {
		return
	}
	if f.Role == schema.RoleDock && !math.IsNaN(f.HeadingDeg) {
		standoff := f.StandoffM
		if math.IsNaN(standoff) {
			standoff = 0
		}
		// The machine comes from the line-up point, on the bearing opposite to
		// its heading.
		s, c := math.Sincos((f.HeadingDeg + v.turn) * math.Pi / 180)
		back := math.Max(standoff*v.mmPerM, 4.5)
		start := ink.Point{p[0] - s*back, p[1] + c*back}
		v.page.Polyline(ink.Line{Color: black, Width: 0.3, Dash: []float64{0.8, 0.5}}, start, p)
		// The head stands where the sign begins, and points into it.
		tip := ink.Point{p[0] - s*1.7, p[1] + c*1.7}
		foot := ink.Point{tip[0] - s*1.8, tip[1] + c*1.8}
		v.page.Add(&ink.Path{Subs: []ink.Sub{{Points: []ink.Point{tip, {foot[0] + c*0.8, foot[1] + s*0.8}, {foot[0] - c*0.8, foot[1] - s*0.8}}, Closed: true}}, Fill: &black})
	}
	v.page.Add(signOf(p, f.Role, f.HeadingDeg+v.turn)...)
}

// signOf is a role's sign at a place, made of fill and line, 3 mm or so across.
func signOf(p ink.Point, role schema.Role, heading float64) []ink.Mark {
	l := lookOf(role)
	line := l.line
	line.Dash = nil
	poly := func(fill *ink.Color, pts ...ink.Point) ink.Mark {
		for i := range pts {
			pts[i] = ink.Point{p[0] + pts[i][0], p[1] + pts[i][1]}
		}
		return &ink.Path{Subs: []ink.Sub{{Points: pts, Closed: true}}, Fill: fill, Line: &line}
	}
	stroke := func(pts ...ink.Point) ink.Mark {
		for i := range pts {
			pts[i] = ink.Point{p[0] + pts[i][0], p[1] + pts[i][1]}
		}
		return &ink.Path{Subs: []ink.Sub{{Points: pts}}, Line: &line}
	}
	ring := func(r float64, fill *ink.Color) ink.Mark {
		var pts []ink.Point
		for i := range 24 {
			s, c := math.Sincos(2 * math.Pi * float64(i) / 24)
			pts = append(pts, ink.Point{r * c, r * s})
		}
		return poly(fill, pts...)
	}
	switch role {
	case schema.RoleBase: // a mast with waves: triangle, dot and two arcs
		arc := func(r float64) ink.Mark {
			var pts []ink.Point
			for i := range 9 {
				s, c := math.Sincos((-150 + 15*float64(i)) * math.Pi / 180)
				pts = append(pts, ink.Point{r * c, r * s})
			}
			return stroke(pts...)
		}
		return []ink.Mark{poly(l.fill, ink.Point{0, 0}, ink.Point{1.5, 3}, ink.Point{-1.5, 3}), ring(0.45, &black), arc(1.5), arc(2.4)}
	case schema.RoleDock: // a pen open towards the machine
		h := heading
		if math.IsNaN(h) {
			h = 0
		}
		s, c := math.Sincos(h * math.Pi / 180)
		turn := func(x, y float64) ink.Point { return ink.Point{x*c + y*s, x*s - y*c} } // x right, y ahead
		return []ink.Mark{poly(l.fill, turn(-1.5, -1.5), turn(-1.5, 1.5), turn(1.5, 1.5), turn(1.5, -1.5), turn(0.8, -1.5), turn(0.8, 0.7), turn(-0.8, 0.7), turn(-0.8, -1.5))}
	case schema.RoleMark:
		return []ink.Mark{ring(1.3, &white), stroke(ink.Point{-1.9, 0}, ink.Point{1.9, 0}), stroke(ink.Point{0, -1.9}, ink.Point{0, 1.9})}
	case schema.RoleSupply: // a bolt in a square
		return []ink.Mark{poly(l.fill, ink.Point{-1.4, -1.4}, ink.Point{1.4, -1.4}, ink.Point{1.4, 1.4}, ink.Point{-1.4, 1.4}), stroke(ink.Point{0.5, -1.1}, ink.Point{-0.5, 0.1}, ink.Point{0.5, 0}, ink.Point{-0.4, 1.1})}
	case schema.RoleHazard:
		return []ink.Mark{poly(l.fill, ink.Point{0, -1.6}, ink.Point{1.6, 0}, ink.Point{0, 1.6}, ink.Point{-1.6, 0}), stroke(ink.Point{0, -0.9}, ink.Point{0, 0.3}), ring(0.12, &black)}
	case schema.RoleZone, schema.RoleKeepout, schema.RoleBoundary, schema.RoleBuilding, schema.RoleCorridor, schema.RoleEdge:
		return []ink.Mark{stroke(ink.Point{-1.2, -1.2}, ink.Point{1.2, 1.2}), stroke(ink.Point{-1.2, 1.2}, ink.Point{1.2, -1.2})}
	}
	return []ink.Mark{ring(0.9, nil)}
}
