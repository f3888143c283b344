// Cover: the ground that a machine of the limit's width went over, counted in
// small cells.

package validate

import (
	"cmp"
	"math"
	"math/bits"
	"slices"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// coverCellM is the width of a cell in metres, unless the zones are so large
// that there would be more than coverCells of them.
const (
	coverCellM = 0.05
	coverCells = 60e6
)

// bitmap is a raster of cells, each in or out. Cell i, j has its middle at
// origin + (i + 1/2, j + 1/2) cells.
type bitmap struct {
	origin        orb.Point
	cell          float64
	width, height int
	words         int // a row
	bits          []uint64
}

func newBitmap(b orb.Bound, cell float64) bitmap {
	m := bitmap{origin: b.Min, cell: cell, width: int(math.Ceil((b.Max[0] - b.Min[0]) / cell)), height: int(math.Ceil((b.Max[1] - b.Min[1]) / cell))}
	m.words = (m.width + 63) / 64
	m.bits = make([]uint64, m.words*m.height)
	return m
}

// like is an empty raster over the same cells.
func (m *bitmap) like() bitmap {
	out := *m
	out.bits = make([]uint64, len(m.bits))
	return out
}

func (m *bitmap) has(i, j int) bool {
	return i >= 0 && j >= 0 && i < m.width && j < m.height && m.bits[j*m.words+i/64]>>(i%64)&1 == 1
}

// span sets the cells of a row whose middles lie from x0 to x1.
func (m *bitmap) span(j int, x0, x1 float64) {
	first := max(0, int(math.Ceil((x0-m.origin[0])/m.cell-0.5)))
	last := min(m.width-1, int(math.Floor((x1-m.origin[0])/m.cell-0.5)))
	if first > last {
		return
	}
	row := m.bits[j*m.words : (j+1)*m.words]
	a, b := first/64, last/64
	head, tail := ^uint64(0)<<(first%64), ^uint64(0)>>(63-last%64)
	if a == b {
		row[a] |= head & tail
		return
	}
	row[a] |= head
	for k := a + 1; k < b; k++ {
		row[k] = ^uint64(0)
	}
	row[b] |= tail
}

// rows are those whose middles lie from y0 to y1.
func (m *bitmap) rows(y0, y1 float64) (first, last int) {
	return max(0, int(math.Ceil((y0-m.origin[1])/m.cell-0.5))), min(m.height-1, int(math.Floor((y1-m.origin[1])/m.cell-0.5)))
}

// fill sets the cells whose middles lie in the areas, each by the even-odd
// rule.
func (m *bitmap) fill(areas orb.MultiPolygon) {
	crossings := make([][]float64, m.height)
	for _, area := range areas {
		for j := range crossings {
			crossings[j] = crossings[j][:0]
		}
		for _, ring := range area {
			for k := range ring {
				a, b := ring[k], ring[(k+1)%len(ring)]
				if a[1] > b[1] {
					a, b = b, a
				}
				// A row counts from the lower end up to, not with, the upper
				// one.
				first, last := m.rows(a[1], b[1])
				for j := first; j <= last; j++ {
					y := m.origin[1] + (float64(j)+0.5)*m.cell
					if y >= a[1] && y < b[1] {
						crossings[j] = append(crossings[j], a[0]+(b[0]-a[0])*(y-a[1])/(b[1]-a[1]))
					}
				}
			}
		}
		for j, xs := range crossings {
			slices.Sort(xs)
			for k := 0; k+1 < len(xs); k += 2 {
				m.span(j, xs[k], xs[k+1])
			}
		}
	}
}

// sweep sets the cells within radius of the line from a to b: its middle passes
// there and the machine is twice as wide.
func (m *bitmap) sweep(a, b orb.Point, length, radius float64) {
	if a[1] > b[1] {
		a, b = b, a
	}
	nx, ny := -(b[1]-a[1])/length*radius, (b[0]-a[0])/length*radius
	corners := [4]orb.Point{{a[0] + nx, a[1] + ny}, {b[0] + nx, b[1] + ny}, {b[0] - nx, b[1] - ny}, {a[0] - nx, a[1] - ny}}
	first, last := m.rows(a[1]-radius, b[1]+radius)
	for j := first; j <= last; j++ {
		y := m.origin[1] + (float64(j)+0.5)*m.cell
		low, high := math.Inf(1), math.Inf(-1)
		for _, c := range [2]orb.Point{a, b} {
			if dy := y - c[1]; math.Abs(dy) <= radius {
				w := math.Sqrt(radius*radius - dy*dy)
				low, high = math.Min(low, c[0]-w), math.Max(high, c[0]+w)
			}
		}
		for k := range corners {
			p, q := corners[k], corners[(k+1)%4]
			if (p[1] <= y) != (q[1] <= y) {
				x := p[0] + (q[0]-p[0])*(y-p[1])/(q[1]-p[1])
				low, high = math.Min(low, x), math.Max(high, x)
			}
		}
		m.span(j, low, high)
	}
}

// count is how many cells are in.
func (m *bitmap) count() int {
	n := 0
	for _, w := range m.bits {
		n += bits.OnesCount64(w)
	}
	return n
}

// zoneCover is one zone and what was covered of it.
type zoneCover struct {
	f       *Feature
	why     string // why it cannot be measured
	net     orb.MultiPolygon
	locator *plane.Locator
	bound   orb.Bound
	radius  float64
	mask    bitmap
	done    bitmap
	areaM2  float64
	swept   float64 // metres driven with the middle inside
	seconds [trackClasses]float64
}

// makeCovers lays out the zones and their rasters.
func (d *Driven) makeCovers() {
	r := d.r
	total := 0.0
	for _, f := range r.Of(schema.RoleZone) {
		z := &zoneCover{f: f, radius: r.of(f).MachineWidthM / 2}
		d.zones = append(d.zones, z)
		s := r.solidOf(f)
		if !f.usable() || s.why != "" {
			z.why = s.why
			if z.why == "" {
				z.why = f.describe() + " cannot be measured"
			}
			continue
		}
		z.net = s.areas
		for _, k := range r.Of(schema.RoleKeepout) {
			hole := r.solidOf(k)
			if hole.why != "" || !k.Bound().Intersects(f.Bound()) {
				continue
			}
			if net, ok := r.difference(z.net, hole.areas); ok {
				z.net = net
			}
		}
		z.areaM2 = plane.Area(z.net)
		z.locator = plane.NewLocator(s.areas)
		z.bound = f.Bound()
		total += (z.bound.Max[0] - z.bound.Min[0] + 1) * (z.bound.Max[1] - z.bound.Min[1] + 1)
	}
	cell := math.Max(coverCellM, math.Sqrt(total/coverCells))
	for _, z := range d.zones {
		if z.why == "" {
			z.mask = newBitmap(z.bound.Pad(cell), cell)
			z.mask.fill(z.net)
			z.done = z.mask.like()
		}
	}
}

func (d *Driven) cell() float64 {
	for _, z := range d.zones {
		if z.why == "" {
			return z.mask.cell
		}
	}
	return coverCellM
}

// cover takes one step.
func (z *zoneCover) cover(a, b orb.Point, length float64) {
	if z.why != "" || math.Max(a[0], b[0]) < z.bound.Min[0]-z.radius || math.Min(a[0], b[0]) > z.bound.Max[0]+z.radius ||
		math.Max(a[1], b[1]) < z.bound.Min[1]-z.radius || math.Min(a[1], b[1]) > z.bound.Max[1]+z.radius {
		return
	}
	z.done.sweep(a, b, length, z.radius)
	i, j := int((b[0]-z.mask.origin[0])/z.mask.cell), int((b[1]-z.mask.origin[1])/z.mask.cell)
	if z.mask.has(i, j) {
		z.swept += length
	}
}

// DrivenGap is a piece of a zone that was left out.
type DrivenGap struct {
	AreaM2 float64
	At     *Place
	// Outline is the piece on the ground, to about the width of a cell; Places
	// are its points, a ring each, the outer one first.
	Outline orb.Polygon
	Places  [][]Place
}

// DrivenZone is what tracks covered of one zone, keep-outs taken off.
type DrivenZone struct {
	Feature *schema.Feature
	// Why says why nothing could be measured, "" when it could.
	Why                        string
	AreaM2, DrivenM2, MissedM2 float64
	// Percent is DrivenM2 of AreaM2.
	Percent float64
	// Missed are the pieces larger than the limit gap_min_m2, the largest
	// first; SmallM2 is the area of the smaller ones together.
	Missed  []DrivenGap
	SmallM2 float64
	// Passes is how often the ground covered was gone over, by the length
	// driven in it, the width of the machine and the area.
	Passes float64
	// Seconds is the time in the zone by class.
	Seconds [trackClasses]float64
}

// covered works out what is left.
func (d *Driven) covered() ([]DrivenZone, error) {
	var out []DrivenZone
	for _, z := range d.zones {
		x := DrivenZone{Feature: z.f.Feature, Why: z.why, AreaM2: z.areaM2, Seconds: z.seconds}
		if z.why == "" {
			d.measure(z, &x)
		}
		out = append(out, x)
	}
	return out, nil
}

func (d *Driven) measure(z *zoneCover, x *DrivenZone) {
	cells := z.mask.count()
	if cells == 0 {
		x.Why = z.f.describe() + " is all keep-out"
		z.why = x.Why
		return
	}
	left := z.mask.like()
	for i := range left.bits {
		left.bits[i] = z.mask.bits[i] &^ z.done.bits[i]
	}
	// The area of a cell, so that all cells are the zone's own area.
	each := z.areaM2 / float64(cells)
	missed := left.count()
	x.MissedM2 = float64(missed) * each
	x.DrivenM2 = float64(cells-missed) * each
	x.Percent = 100 * float64(cells-missed) / float64(cells)
	if x.DrivenM2 > 0 {
		x.Passes = z.swept * 2 * z.radius / x.DrivenM2
	}
	most := d.r.of(z.f).GapMinM2
	for _, piece := range left.pieces() {
		area := float64(piece.cells) * each
		if area <= most {
			x.SmallM2 += area
			continue
		}
		var outline orb.Polygon
		if missed == cells && len(z.net) == 1 {
			outline = z.net[0] // all of it
		} else {
			outline = left.outline(piece)
		}
		g := DrivenGap{AreaM2: area, Outline: outline}
		at, _ := plane.GreatestDepth(outline, left.cell)
		g.At = d.r.Place(at)
		for _, ring := range outline {
			g.Places = append(g.Places, d.r.trace(ring...))
		}
		x.Missed = append(x.Missed, g)
	}
	slices.SortStableFunc(x.Missed, func(a, b DrivenGap) int { return cmp.Compare(b.AreaM2, a.AreaM2) })
}

// run of cells in a row, from first to last.
type cellRun struct {
	row, first, last int32
	parent           int32
}

// piece is a set of cells that share sides.
type piece struct {
	cells int
	runs  []cellRun
}

// pieces returns the sets of cells joined by their sides, in the order of their
// first cells.
func (m *bitmap) pieces() []piece {
	var runs []cellRun
	find := func(i int32) int32 {
		for runs[i].parent != i {
			runs[i].parent = runs[runs[i].parent].parent
			i = runs[i].parent
		}
		return i
	}
	above, here := 0, 0 // where the runs of the row above and of this one begin
	for j := range m.height {
		from := len(runs)
		for i := m.next(0, j, true); i < m.width; {
			end := m.next(i, j, false)
			runs = append(runs, cellRun{int32(j), int32(i), int32(end - 1), int32(len(runs))})
			i = m.next(end, j, true)
		}
		above, here = here, from
		for a, b := above, here; a < here && b < len(runs); {
			if runs[a].first <= runs[b].last && runs[b].first <= runs[a].last {
				p, q := find(int32(a)), find(int32(b))
				runs[max(p, q)].parent = min(p, q)
			}
			if runs[a].last < runs[b].last {
				a++
			} else {
				b++
			}
		}
	}
	var out []piece
	at := map[int32]int{}
	for i := range runs {
		root := find(int32(i))
		k, ok := at[root]
		if !ok {
			k = len(out)
			at[root] = k
			out = append(out, piece{})
		}
		out[k].cells += int(runs[i].last-runs[i].first) + 1
		out[k].runs = append(out[k].runs, runs[i])
	}
	return out
}

// next is the first cell from i on in a row that is in (or out), the width for
// none.
func (m *bitmap) next(i, j int, in bool) int {
	row := m.bits[j*m.words : (j+1)*m.words]
	for i < m.width {
		w := row[i/64]
		if !in {
			w = ^w
		}
		if w >>= i % 64; w != 0 {
			return min(m.width, i+bits.TrailingZeros64(w))
		}
		i = (i/64 + 1) * 64
	}
	return m.width
}

// outline draws the piece's rings along the sides of its cells, the outer one
// first, and straightens their steps by less than a cell.
func (m *bitmap) outline(p piece) orb.Polygon {
	type corner struct{ i, j int32 }
	own := m.like()
	for _, r := range p.runs {
		for i := r.first; i <= r.last; i++ {
			own.bits[int(r.row)*m.words+int(i)/64] |= 1 << (i % 64)
		}
	}
	in := func(i, j int32) bool { return own.has(int(i), int(j)) }
	// Sides run with the piece on their left. At a corner where two pieces of
	// it touch, the ring turns so that they stay apart.
	next := map[corner][]corner{}
	side := func(a, b corner) { next[a] = append(next[a], b) }
	var starts []corner
	for _, r := range p.runs {
		for i := r.first; i <= r.last; i++ {
			j := r.row
			if !in(i, j-1) {
				side(corner{i, j}, corner{i + 1, j})
				starts = append(starts, corner{i, j})
			}
			if !in(i, j+1) {
				side(corner{i + 1, j + 1}, corner{i, j + 1})
			}
			if !in(i-1, j) {
				side(corner{i, j + 1}, corner{i, j})
			}
			if !in(i+1, j) {
				side(corner{i + 1, j}, corner{i + 1, j + 1})
			}
		}
	}
	var out orb.Polygon
	for _, start := range starts {
		if len(next[start]) == 0 {
			continue
		}
		var ring orb.Ring
		at, before := start, corner{start.i - 1, start.j}
		for len(next[at]) > 0 {
			options := next[at]
			k := 0
			if len(options) > 1 { // turn left, so that the ring stays with its cell
				dx, dy := at.i-before.i, at.j-before.j
				for x, o := range options {
					if dx*(o.j-at.j)-dy*(o.i-at.i) > 0 {
						k = x
					}
				}
			}
			to := options[k]
			next[at] = append(options[:k:k], options[k+1:]...)
			ring = append(ring, orb.Point{m.origin[0] + float64(at.i)*m.cell, m.origin[1] + float64(at.j)*m.cell})
			before, at = at, to
		}
		ring = append(ring, ring[0])
		if ring = straightened(ring, m.cell*0.75); len(ring) > 3 {
			out = append(out, ring)
		}
	}
	for k := range out { // the outer ring holds the most ground
		if math.Abs(plane.SignedArea(out[k])) > math.Abs(plane.SignedArea(out[0])) {
			out[0], out[k] = out[k], out[0]
		}
	}
	return out
}

// offLine is how far p is from the segment ab, how far to its left (negative to
// its right) it stands from the line through it, and where along it from 0
// to 1.
func offLine(p, a, b orb.Point) (d, left, along float64) {
	dx, dy := b[0]-a[0], b[1]-a[1]
	l2 := dx*dx + dy*dy
	if l2 == 0 {
		return distance(p, a), 0, 0
	}
	along = ((p[0]-a[0])*dx + (p[1]-a[1])*dy) / l2
	left = (dx*(p[1]-a[1]) - dy*(p[0]-a[0])) / math.Sqrt(l2)
	t := math.Max(0, math.Min(1, along))
	return distance(p, orb.Point{a[0] + t*dx, a[1] + t*dy}), left, along
}
