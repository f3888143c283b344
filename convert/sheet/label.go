// Names and finding numbers on the map, placed so that they do not lie on one
// another.

package sheet

import (
	"fmt"
	"math"
	"sort"
	"strconv"

	"github.com/paulmach/orb"

	"swardline/convert/sheet/ink"
	"swardline/convert/sheet/typeface"
	"swardline/schema"
)

// Names on the map are 2.5 mm high (ISO 3098-1, nominal sizes of lettering).
const (
	labelSize = headSize
	codeSize  = labelSize
)

type box struct{ x0, y0, x1, y1 float64 }

func (b box) meets(c box) bool { return b.x0 < c.x1 && c.x0 < b.x1 && b.y0 < c.y1 && c.y0 < b.y1 }

// room keeps what is taken on a map, in a raster of cells, and the lines that
// names should not cover.
type room struct {
	v     *view
	cells map[[2]int][]box
	lines map[[2]int][][2]ink.Point
	// zones are the areas of zones on paper, which a name of what lies outside
	// should not lie in.
	zones []zoneRoom
}

type zoneRoom struct {
	box   box
	rings [][]ink.Point
}

// holds reports whether a place lies in the zone, even-odd.
func (z *zoneRoom) holds(p ink.Point) bool {
	if p[0] < z.box.x0 || p[0] > z.box.x1 || p[1] < z.box.y0 || p[1] > z.box.y1 {
		return false
	}
	in := false
	for _, r := range z.rings {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(p[1]-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
				in = !in
			}
		}
	}
	return in
}

// keepZones notes the areas of zones.
func (r *room) keepZones(list []*Feature) {
	for _, f := range list {
		if f.Role != schema.RoleZone {
			continue
		}
		for _, a := range f.Areas {
			z := zoneRoom{box: box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}}
			for _, ring := range a {
				pts := r.v.run(ring)
				z.rings = append(z.rings, pts)
				for _, p := range pts {
					z.box = box{math.Min(z.box.x0, p[0]), math.Min(z.box.y0, p[1]), math.Max(z.box.x1, p[0]), math.Max(z.box.y1, p[1])}
				}
			}
			r.zones = append(r.zones, z)
		}
	}
}

// strays reports whether a box lies in a zone, in part, that its own place does
// not lie in: a reader would take the name for something in there.
func (r *room) strays(at ink.Point, b box) bool {
	for i := range r.zones {
		z := &r.zones[i]
		if !z.box.meets(b) || z.holds(at) {
			continue
		}
		for _, p := range []ink.Point{{b.x0, b.y0}, {b.x1, b.y0}, {b.x0, b.y1}, {b.x1, b.y1}, {(b.x0 + b.x1) / 2, (b.y0 + b.y1) / 2}} {
			if z.holds(p) {
				return true
			}
		}
	}
	return false
}

const cellMM = 15.0

func newRoom(v *view) *room {
	return &room{v: v, cells: map[[2]int][]box{}, lines: map[[2]int][][2]ink.Point{}}
}

// linework notes the outlines and lines of features, cut up into cells.
func (r *room) linework(list []Feature) {
	for i := range list {
		if !list[i].bound().Intersects(r.v.ground) {
			continue
		}
		for _, s := range r.v.outlines(&list[i]) {
			for k := range s.Points {
				p, q := s.Points[k], s.Points[(k+1)%len(s.Points)]
				if k < len(s.Points)-1 || s.Closed {
					r.segment(p, q)
				}
			}
		}
	}
}

func (r *room) segment(p, q ink.Point) {
	v := r.v
	seen := orb.Bound{Min: orb.Point{v.x, v.y}, Max: orb.Point{v.x + v.w, v.y + v.h}}
	if !segmentTouches(orb.Point(p), orb.Point(q), seen) {
		return
	}
	b := box{math.Max(math.Min(p[0], q[0]), v.x), math.Max(math.Min(p[1], q[1]), v.y), math.Min(math.Max(p[0], q[0]), v.x+v.w), math.Min(math.Max(p[1], q[1]), v.y+v.h)}
	r.each(b, func(k [2]int) bool {
		r.lines[k] = append(r.lines[k], [2]ink.Point{p, q})
		return true
	})
}

// covers is how long the lines are, in millimetres, that a box lies on.
func (r *room) covers(b box) float64 {
	sum := 0.0
	r.each(b, func(k [2]int) bool {
		cell := box{float64(k[0]) * cellMM, float64(k[1]) * cellMM, float64(k[0]+1) * cellMM, float64(k[1]+1) * cellMM}
		part := orb.Bound{Min: orb.Point{math.Max(b.x0, cell.x0), math.Max(b.y0, cell.y0)}, Max: orb.Point{math.Min(b.x1, cell.x1), math.Min(b.y1, cell.y1)}}
		for _, s := range r.lines[k] {
			if t0, t1 := segmentSpan(orb.Point(s[0]), orb.Point(s[1]), part); t1 > t0 {
				sum += (t1 - t0) * math.Hypot(s[1][0]-s[0][0], s[1][1]-s[0][1])
			}
		}
		return true
	})
	return sum
}

func (r *room) each(b box, do func(k [2]int) bool) {
	for i := int(math.Floor(b.x0 / cellMM)); i <= int(math.Floor(b.x1/cellMM)); i++ {
		for j := int(math.Floor(b.y0 / cellMM)); j <= int(math.Floor(b.y1/cellMM)); j++ {
			if !do([2]int{i, j}) {
				return
			}
		}
	}
}

func (r *room) free(b box) bool {
	v := r.v
	if b.x0 < v.x+0.5 || b.y0 < v.y+0.5 || b.x1 > v.x+v.w-0.5 || b.y1 > v.y+v.h-0.5 {
		return false
	}
	free := true
	r.each(b, func(k [2]int) bool {
		for _, c := range r.cells[k] {
			if c.meets(b) {
				free = false
				return false
			}
		}
		return true
	})
	return free
}

func (r *room) take(b box) {
	r.each(b, func(k [2]int) bool {
		r.cells[k] = append(r.cells[k], b)
		return true
	})
}

// line keeps names off a thin line, such as a leader, by small boxes along it.
func (r *room) line(p, q ink.Point) {
	const step = 1.5
	n := int(math.Hypot(q[0]-p[0], q[1]-p[1]) / step)
	for i := 1; i <= n; i++ {
		f := float64(i) / float64(n+1)
		x, y := p[0]+f*(q[0]-p[0]), p[1]+f*(q[1]-p[1])
		r.take(box{x - 0.3, y - 0.3, x + 0.3, y + 0.3})
	}
}

// open reports whether a leader from a place to a box runs over no name and no
// sign but the one that it starts at.
func (r *room) open(p ink.Point, b box) bool {
	q := ink.Point{math.Min(math.Max(p[0], b.x0), b.x1), math.Min(math.Max(p[1], b.y0), b.y1)}
	const step = 0.8
	length := math.Hypot(q[0]-p[0], q[1]-p[1])
	for s := 3.4; s < length; s += step {
		x, y := p[0]+s/length*(q[0]-p[0]), p[1]+s/length*(q[1]-p[1])
		if !r.free(box{x - 0.1, y - 0.1, x + 0.1, y + 0.1}) {
			return false
		}
	}
	return true
}

// anchorOf is where a feature's name belongs, on the ground; ok is false when
// it has no place in the view. roomMM is the radius of free ground about it on
// paper.
func (v *view) anchorOf(f *Feature) (at ink.Point, roomMM float64, inside, ok bool) {
	switch {
	case len(f.Areas) > 0 && f.Role != schema.RoleBoundary && f.RoomM > 0:
		at, roomMM, inside = v.at(f.LabelAt), f.RoomM*v.mmPerM, true
		if v.sees(at, 0) {
			return at, roomMM, inside, true
		}
		// Its middle is on another sheet: take a vertex that is on this one.
		fallthrough
	case len(f.Areas) > 0:
		for _, a := range f.Areas {
			for _, ring := range a {
				for _, p := range ring {
					if q := v.at(p); v.sees(q, -3) {
						return q, 0, false, true
					}
				}
			}
		}
	case len(f.Lines) > 0:
		for _, l := range f.Lines {
			if q, ok := v.middle(v.run(l)); ok {
				return q, 0, false, true
			}
		}
	case len(f.Points) > 0:
		if q := v.at(f.Points[0]); v.sees(q, 0) {
			return q, 0, false, true
		}
	}
	return at, 0, false, false
}

// middle is the point in the middle of a line, or the first vertex in view.
func (v *view) middle(pts []ink.Point) (ink.Point, bool) {
	total := 0.0
	for i := 1; i < len(pts); i++ {
		total += math.Hypot(pts[i][0]-pts[i-1][0], pts[i][1]-pts[i-1][1])
	}
	sum := 0.0
	for i := 1; i < len(pts); i++ {
		d := math.Hypot(pts[i][0]-pts[i-1][0], pts[i][1]-pts[i-1][1])
		if d > 0 && sum+d >= total/2 {
			f := (total/2 - sum) / d
			q := ink.Point{pts[i-1][0] + f*(pts[i][0]-pts[i-1][0]), pts[i-1][1] + f*(pts[i][1]-pts[i-1][1])}
			if v.sees(q, -1) {
				return q, true
			}
			break
		}
		sum += d
	}
	for _, q := range pts {
		if v.sees(q, -1) {
			return q, true
		}
	}
	return ink.Point{}, false
}

// textBox is the box of centred lines about a point.
func textBox(lines []string, size float64, at ink.Point) box {
	w := 0.0
	for _, s := range lines {
		w = math.Max(w, typeface.Width(s, size, true))
	}
	h := float64(len(lines)) * size * 1.15
	return box{at[0] - w/2 - 0.4, at[1] - h/2 - 0.2, at[0] + w/2 + 0.4, at[1] + h/2 + 0.2}
}

// signs keeps the places of the signs of points.
func (v *view) signs(list []Feature, r *room) {
	for i := range list {
		for _, p := range list[i].Points {
			if q := v.at(p); v.sees(q, 0) {
				r.take(box{q[0] - 2, q[1] - 2.6, q[0] + 2, q[1] + 3})
			}
		}
	}
}

// labels writes the names, those of what is inactive last, and returns how many
// features have none for want of room.
func (v *view) labels(list, off []Feature, r *room) (leftOff int) {
	order := make([]*Feature, 0, len(list))
	for i := range list {
		f := &list[i]
		if f.bound().Intersects(v.ground) {
			order = append(order, f)
		}
	}
	rank := map[schema.Role]int{schema.RoleZone: 0, schema.RoleBase: 1, schema.RoleDock: 2, schema.RoleKeepout: 3, schema.RoleHazard: 4,
		schema.RoleMark: 5, schema.RoleSupply: 6, schema.RoleBuilding: 7, schema.RoleCorridor: 8, schema.RoleEdge: 9, schema.RoleBoundary: 10}
	place := func(f *Feature) int {
		if n, ok := rank[f.Role]; ok {
			return n
		}
		return len(rank)
	}
	sort.SliceStable(order, func(i, j int) bool { return place(order[i]) < place(order[j]) })
	for i := range off {
		if off[i].bound().Intersects(v.ground) {
			f := off[i]
			f.Code, f.NetM2 = f.Code+" (off)", math.NaN()
			order = append(order, &f)
		}
	}
	if len(order) <= crowded {
		r.keepZones(order)
	}
	for _, f := range order {
		at, roomMM, inside, ok := v.anchorOf(f)
		if !ok {
			continue
		}
		if !v.label(f, at, roomMM, inside, len(order) > crowded, r) {
			leftOff++
		}
	}
	return leftOff
}

// crowded is from how many features in view on names leave their areas no more.
const crowded = 60

func (v *view) label(f *Feature, at ink.Point, roomMM float64, inside, many bool, r *room) bool {
	// A zone with room for it says its name and net area; anything else its
	// code and name; where that does not fit, the code, which the schedule
	// explains.
	type try struct {
		lines []string
		size  float64
		in    bool // on the anchor, and only there
		fits  bool // only where it lies in the area's largest circle, or nearly
	}
	name := []string{clip(f.Label(), 32)}
	code := []string{f.Code}
	var tries []try
	if inside {
		if f.Role == schema.RoleZone {
			lines := []string{f.Code}
			if f.Name != "" && f.Name != f.Code {
				lines = append(lines, clip(f.Name, 40))
			}
			if !math.IsNaN(f.NetM2) {
				lines = append(lines, area(f.NetM2)+" m² net")
			}
			tries = append(tries, try{lines, labelSize, true, true})
		}
		tries = append(tries, try{name, codeSize, true, true})
		if many {
			tries = append(tries, try{code, codeSize, true, true})
		}
	}
	if !many {
		tries = append(tries, try{name, codeSize, false, false})
	}
	if inside {
		tries = append(tries, try{code, codeSize, true, false})
	}
	if !many || !inside {
		tries = append(tries, try{code, codeSize, false, false})
	}
	slack := 1.6 // a text is wider than high, and areas are not round
	if many {
		slack = 1.2
	}
	for _, t := range tries {
		places := candidates(at, t.lines, t.size)
		switch {
		case t.in:
			places = []ink.Point{at}
		case many:
			places = places[:16]
		}
		// The place that covers the least of the drawing, a far one being worth
		// a little of that.
		var best ink.Point
		least, led := math.Inf(1), false
		for i, c := range places {
			b := textBox(t.lines, t.size, c)
			far := float64(i/8) * farther
			if far >= least || !r.free(b) || t.fits && math.Hypot(b.x1-b.x0, b.y1-b.y0)/2 > roomMM*slack {
				continue
			}
			d := math.Hypot(c[0]-at[0], c[1]-at[1])
			leads := !t.in && (inside && d > 3 || d > 6)
			if leads {
				far += leading
			}
			if !t.in && r.strays(at, b) {
				far += straying
			}
			if cost := far + r.covers(b); cost < least && (!leads || r.open(at, b)) {
				best, least, led = c, cost, leads
			}
		}
		if math.IsInf(least, 1) {
			continue
		}
		b := textBox(t.lines, t.size, best)
		if led {
			v.leader(at, b, r)
		}
		r.take(b)
		v.lettering(t.lines, t.size, best)
		return true
	}
	return false
}

// How many millimetres of covered line each step away from its place is worth
// to a name, and the leader that it then needs.
const (
	farther = 2.5
	leading = 4.0
	// straying is that of lying in a zone that the name does not belong to.
	straying = 10.0
)

// rim is the width of the white rim about the letters of a name, both sides
// together: what lies under them shows up to it.
const rim = 1.1

// lettering writes centred lines with a rim about the letters.
func (v *view) lettering(lines []string, size float64, at ink.Point) {
	y := at[1] - float64(len(lines))*size*1.15/2 + size*0.93
	for i, s := range lines {
		v.page.Add(&ink.Text{At: ink.Point{at[0], y + float64(i)*size*1.15}, Size: size, Bold: i == 0, Anchor: 0.5, Halo: rim, S: s})
	}
}

// leader draws a thin line from a place to the nearest side of a box, from
// where the place's sign or another name ends, and keeps names off it.
func (v *view) leader(at ink.Point, b box, r *room) {
	q := ink.Point{math.Min(math.Max(at[0], b.x0), b.x1), math.Min(math.Max(at[1], b.y0), b.y1)}
	from, length := at, math.Hypot(q[0]-at[0], q[1]-at[1])
	for s := 0.0; s < length-1; s += 0.2 {
		p := ink.Point{at[0] + s/length*(q[0]-at[0]), at[1] + s/length*(q[1]-at[1])}
		if r.free(box{p[0] - 0.05, p[1] - 0.05, p[0] + 0.05, p[1] + 0.05}) {
			from = p
			break
		}
	}
	v.page.Polyline(ink.Line{Color: black, Width: 0.15}, from, q)
	r.line(from, q)
}

// candidates are places for a text round a point, the nearest first.
func candidates(at ink.Point, lines []string, size float64) []ink.Point {
	b := textBox(lines, size, ink.Point{0, 0})
	var out []ink.Point
	for _, gap := range []float64{2.2, 5, 8.5, 13, 19, 26} {
		dx, dy := b.x1+gap, b.y1+gap
		out = append(out, ink.Point{at[0] + dx, at[1]}, ink.Point{at[0] - dx, at[1]}, ink.Point{at[0], at[1] - dy}, ink.Point{at[0], at[1] + dy},
			ink.Point{at[0] + dx, at[1] - dy}, ink.Point{at[0] + dx, at[1] + dy}, ink.Point{at[0] - dx, at[1] - dy}, ink.Point{at[0] - dx, at[1] + dy})
	}
	return out
}

// clip shortens a text to a number of characters, with dots.
func clip(s string, most int) string {
	r := []rune(s)
	if len(r) <= most {
		return s
	}
	return string(r[:most-1]) + "…"
}

// area writes square metres for people.
func area(v float64) string {
	switch {
	case math.IsNaN(v):
		return "–"
	case v < 100:
		return strconv.FormatFloat(v, 'f', 1, 64)
	}
	return thousands(strconv.FormatFloat(v, 'f', 0, 64))
}

func metres(v float64) string {
	if math.IsNaN(v) {
		return "–"
	}
	return strconv.FormatFloat(v, 'f', 1, 64)
}

// findings returns a numbered tag for each finding in view: the place itself is
// a dot, the tag stands beside it where there is room. The tag's form tells the
// severity.
func (v *view) findings(list []Finding, r *room) (marks []ink.Mark) {
	type spot struct {
		at      ink.Point
		numbers []Finding
	}
	var spots []spot
	byPlace := map[[2]int]int{}
	for _, f := range list {
		q := v.at(f.At)
		if !f.HasAt || !v.sees(q, 0) {
			continue
		}
		k := [2]int{int(math.Round(q[0])), int(math.Round(q[1]))}
		if i, ok := byPlace[k]; ok {
			spots[i].numbers = append(spots[i].numbers, f)
			continue
		}
		byPlace[k] = len(spots)
		spots = append(spots, spot{q, []Finding{f}})
		r.take(box{q[0] - 0.8, q[1] - 0.8, q[0] + 0.8, q[1] + 0.8})
	}
	for _, s := range spots {
		q := s.at
		n := len(s.numbers)
		const most = 4
		more := ""
		if n > most {
			more = fmt.Sprintf("+%d", n-most)
			n = most
		}
		pitch := 2*tagRadius(s.numbers[n-1].Number) + 0.4
		w, h := float64(n)*pitch+typeface.Width(more, labelSize, true), pitch
		tag := ink.Point{q[0] + 4 + w/2, q[1] - 5}
		for _, gap := range []float64{3, 6, 10, 15, 21, 28, 36} {
			done := false
			for _, d := range []ink.Point{{1, -1}, {-1, -1}, {1, 1}, {-1, 1}, {1, 0}, {-1, 0}, {0, -1}, {0, 1}, {1, -0.5}, {-1, -0.5}, {1, 0.5}, {-1, 0.5}, {0.5, -1}, {-0.5, -1}, {0.5, 1}, {-0.5, 1}} {
				c := ink.Point{q[0] + d[0]*(w/2+gap), q[1] + d[1]*(h/2+gap)}
				if b := (box{c[0] - w/2, c[1] - h/2, c[0] + w/2, c[1] + h/2}); r.free(b) && r.open(q, b) {
					tag, done = c, true
					break
				}
			}
			if done {
				break
			}
		}
		b := box{tag[0] - w/2, tag[1] - h/2, tag[0] + w/2, tag[1] + h/2}
		end := ink.Point{math.Min(math.Max(q[0], b.x0+2), b.x1-2), tag[1]}
		r.take(b)
		r.line(q, end)
		ends := []ink.Mark{ink.End{}}
		if v.linked { // a finding whose tag is not drawn is where its fellows are
			for _, f := range s.numbers[n:] {
				marks = append(marks, &ink.Group{ID: fmt.Sprintf("at-%d", f.Number)})
				ends = append(ends, ink.End{})
			}
		}
		marks = append(marks, &ink.Group{Class: "finding", Title: s.numbers[0].Message},
			&ink.Path{Subs: []ink.Sub{{Points: []ink.Point{q, end}}}, Line: &ink.Line{Color: black, Width: 0.25}},
			&ink.Path{Subs: []ink.Sub{{Points: []ink.Point{{q[0] - 0.5, q[1] - 0.5}, {q[0] + 0.5, q[1] - 0.5}, {q[0] + 0.5, q[1] + 0.5}, {q[0] - 0.5, q[1] + 0.5}}, Closed: true}}, Fill: &black, Line: &ink.Line{Color: white, Width: 0.2}})
		for i, f := range s.numbers[:n] {
			if v.linked {
				marks = append(marks, &ink.Group{ID: fmt.Sprintf("at-%d", f.Number), Link: fmt.Sprintf("#finding-%d", f.Number), Title: fmt.Sprintf("finding %d, %s: %s", f.Number, f.Severity, f.Message)})
			}
			marks = append(marks, tagOf(ink.Point{b.x0 + pitch/2 + float64(i)*pitch, tag[1]}, f)...)
			if v.linked {
				marks = append(marks, ink.End{})
			}
		}
		if more != "" {
			marks = append(marks, &ink.Text{At: ink.Point{b.x1, tag[1] + 1.25}, Size: labelSize, Bold: true, Anchor: 1, Halo: 0.6, S: more})
		}
		marks = append(marks, ends...)
	}
	return marks
}

// tagRadius is half the width of a finding's tag.
func tagRadius(number int) float64 {
	return math.Max(2.6, typeface.Width(strconv.Itoa(number), labelSize, true)/2+0.5)
}

// tagOf is a finding's number in the form of its severity: an error on black in
// an octagon, a warning in a diamond, a note in a circle.
func tagOf(at ink.Point, f Finding) []ink.Mark {
	r := tagRadius(f.Number)
	n, turn := 24, 0.0
	fill, text := white, black
	switch f.Severity {
	case "error":
		n, turn, fill, text = 8, math.Pi/8, black, white
	case "warning":
		n, r = 4, r*1.2
	}
	var pts []ink.Point
	for i := range n {
		s, c := math.Sincos(turn + 2*math.Pi*float64(i)/float64(n))
		pts = append(pts, ink.Point{at[0] + r*c, at[1] + r*s})
	}
	const size = labelSize
	label := strconv.Itoa(f.Number)
	return []ink.Mark{
		&ink.Path{Subs: []ink.Sub{{Points: pts, Closed: true}}, Fill: &fill, Line: &ink.Line{Color: black, Width: 0.3}},
		&ink.Text{At: ink.Point{at[0], at[1] + size*typeface.CapHeight/2}, Size: size, Bold: true, Anchor: 0.5, Color: text, S: label},
	}
}
