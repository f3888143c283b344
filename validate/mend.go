// Mend: the faults that can be removed without a judgement.

package validate

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/twpayne/go-geom"

	"swardline/schema"
	"swardline/validate/plane"
)

// Change is one thing that Mend did to one ring.
type Change struct {
	// Rule names the fault that it removed.
	Rule string
	// Feature is the feature as it was, Index where it stands in the plan, from
	// 0.
	Feature *schema.Feature
	Index   int
	// Message says in one clause what was done.
	Message string
	// At is where, nil when the place cannot be told.
	At *Place
	// BeforeM2 and AfterM2 are the feature's area on the ground before and
	// after everything that was done to it; NaN when it cannot be measured.
	BeforeM2, AfterM2 float64
}

// Mend returns a new plan in which the rings of active features are closed,
// have no point repeated and no spike, and run as their source promises, and
// lists what it did. It does nothing else: a ring that crosses itself keeps its
// sense, one that would be left with fewer than three points keeps its spikes,
// and repeated points with different heights stay. Mending twice changes
// nothing more. p stays as it is; features without a change are shared. Verify
// tells whether anything else changed.
func Mend(p *schema.Plan) (*schema.Plan, []Change) {
	if p == nil {
		return nil, nil
	}
	before, _ := Ground(p) // the error is for a nil plan only
	out := *p
	out.Features = append([]*schema.Feature(nil), p.Features...)
	var changes []Change
	for _, f := range before.Features {
		m := mender{site: before, f: f, winding: f.Source.Winding}
		if m.winding == schema.WindingUnstated {
			m.winding = p.Source.Winding
		}
		if f.Invalid != "" || f.Geometry == nil {
			continue
		}
		times := f.Attributes.Get(schema.PropTimes)
		g, newTimes := m.geometry(f.Geometry, times)
		if len(m.changes) == 0 {
			continue
		}
		mended := *f.Feature
		mended.Geometry = g
		if !times.IsAbsent() && !newTimes.Equal(times) {
			mended.Attributes = f.Attributes.Clone()
			mended.Attributes.Set(schema.PropTimes, newTimes)
		}
		out.Features[f.Index] = &mended
		changes = append(changes, m.changes...)
		out.Left = append(slices.Clip(out.Left), m.left...)
	}
	if len(changes) == 0 {
		return &out, nil
	}
	after, _ := Ground(&out)
	for i := range changes {
		changes[i].BeforeM2 = before.areaOf(changes[i].Index)
		changes[i].AfterM2 = after.areaOf(changes[i].Index)
	}
	return &out, changes
}

// areaOf returns the area on the ground of the feature with an index in the
// plan: shells less holes, whether or not they are valid.
func (s *Site) areaOf(index int) float64 {
	for _, f := range s.Features {
		if f.Index != index {
			continue
		}
		if s.Frame == FrameNone || !f.usable() {
			return math.NaN()
		}
		sum := 0.0
		for i := range f.Areas {
			sum += plane.Area(f.Areas[i].Ground)
		}
		return sum
	}
	return math.NaN()
}

// closes gives the gap of open ring k of the area at hand, in words for the change, and
// keeps for the plan that there was one where it is wide or cannot be measured.
func (m *mender) closes(k int) string {
	length := ""
	if m.site.Frame != FrameNone && m.area < len(m.f.Areas) && k < len(m.f.Areas[m.area].Ground) {
		ring := m.f.Areas[m.area].Ground[k]
		gap := distance(ring[0], ring[len(ring)-1])
		if gap <= closesM {
			return ""
		}
		length = metres(gap)
	}
	m.left = append(m.left, schema.LeftOpen(m.f.Feature, m.rings, length))
	if length == "" {
		return ""
	}
	return ", " + length + " off: a stretch may be missing, and a check tells so until somebody says that it was looked at"
}

// mender works on one feature.
type mender struct {
	site    *Site
	f       *Feature
	winding schema.Winding
	changes []Change
	left    []string // what may be missing where a ring was open
	area    int      // which of f.Areas is next
	rings   int      // how many rings were looked at
}

// closesM is the widest gap of an outline that is closed without a word: ends of one
// point that was measured twice (starting value from memory). A wider one may be a
// stretch that nobody walked.
const closesM = 0.05

// geometry returns the mended geometry and the times of its vertices, which are
// nested as the geometry is.
func (m *mender) geometry(g geom.T, times schema.Value) (geom.T, schema.Value) {
	switch g := g.(type) {
	case *geom.Polygon:
		if len(g.Ends()) == 0 || len(g.FlatCoords()) == 0 {
			return g, times
		}
		flat, ends, t, changed := m.polygon(g.FlatCoords(), g.Stride(), 0, g.Ends(), times)
		if changed {
			return geom.NewPolygonFlat(g.Layout(), flat, ends), t
		}
	case *geom.MultiPolygon:
		var flat []float64
		var endss [][]int
		items := append([]schema.Value(nil), times.Items()...)
		start, any := 0, false
		for i, ends := range g.Endss() {
			if len(ends) == 0 || ends[len(ends)-1] == start { // an empty part stays
				empty := make([]int, len(ends))
				for k := range empty {
					empty[k] = len(flat)
				}
				endss = append(endss, empty)
				continue
			}
			var own schema.Value
			if i < len(items) {
				own = items[i]
			}
			part, partEnds, t, changed := m.polygon(g.FlatCoords(), g.Stride(), start, ends, own)
			any = any || changed
			if i < len(items) {
				items[i] = t
			}
			start = ends[len(ends)-1]
			for k := range partEnds {
				partEnds[k] += len(flat)
			}
			flat = append(flat, part...)
			endss = append(endss, partEnds)
		}
		if any {
			if times.Kind() == schema.KindList {
				times = schema.List(items...)
			}
			return geom.NewMultiPolygonFlat(g.Layout(), flat, endss), times
		}
	case *geom.GeometryCollection:
		out := geom.NewGeometryCollection()
		items := append([]schema.Value(nil), times.Items()...)
		before := len(m.changes)
		for i, part := range g.Geoms() {
			var own schema.Value
			if i < len(items) {
				own = items[i]
			}
			mended, t := m.geometry(part, own)
			if i < len(items) {
				items[i] = t
			}
			if err := out.Push(mended); err != nil {
				return g, times // cannot happen: layouts are as they were
			}
		}
		if len(m.changes) > before {
			if times.Kind() == schema.KindList {
				times = schema.List(items...)
			}
			return out, times
		}
	}
	return g, times
}

// polygon mends the rings flat[start:ends[...]] and returns them with ends
// counted from 0.
func (m *mender) polygon(flat []float64, stride, start int, ends []int, times schema.Value) ([]float64, []int, schema.Value, bool) {
	var out []float64
	var outEnds []int
	rings := append([]schema.Value(nil), times.Items()...)
	changed := false
	for k, end := range ends {
		ring := flat[start:end]
		start = end
		n := len(ring) / stride
		order := m.ring(k, ring, stride)
		if order == nil {
			out = append(out, ring...)
			outEnds = append(outEnds, len(out))
			continue
		}
		changed = true
		for _, v := range order {
			out = append(out, ring[v*stride:(v+1)*stride]...)
		}
		outEnds = append(outEnds, len(out))
		if k < len(rings) && rings[k].Kind() == schema.KindList && len(rings[k].Items()) == n {
			old := rings[k].Items()
			moved := make([]schema.Value, 0, len(order))
			for _, v := range order {
				moved = append(moved, old[v])
			}
			rings[k] = schema.List(moved...)
		}
	}
	m.area++
	if times.Kind() == schema.KindList {
		times = schema.List(rings...)
	}
	return out, outEnds, times, changed
}

// oneSense reports whether a ring runs one way round: it does not meet itself.
func oneSense(ring orb.Ring) bool {
	for _, x := range plane.Validate([]orb.Polygon{{ring}}) {
		switch x.Kind {
		case plane.SelfCross, plane.SelfTouch, plane.SelfOverlap, plane.RingSpike, plane.TooFewPoints:
			return false
		}
	}
	return true
}

// ring returns the indexes of a ring's vertices in their new order, closing
// point included; nil when nothing changes.
func (m *mender) ring(k int, ring []float64, stride int) []int {
	n := len(ring) / stride
	m.rings++
	if n == 0 {
		return nil
	}
	pts := make(orb.Ring, n)
	for i := range pts {
		pts[i] = orb.Point{ring[i*stride], ring[i*stride+1]}
	}
	where := plane.Where{Polygon: m.area, Ring: k}
	note := func(rule string, v int, format string, args ...any) {
		c := Change{Rule: rule, Feature: m.f.Feature, Index: m.f.Index, Message: m.f.ringWords(where) + " " + fmt.Sprintf(format, args...)}
		if m.area < len(m.f.Areas) && v < len(m.f.Areas[m.area].Read[k]) {
			c.At = m.site.placeRead(m.f, pts[v], m.f.Areas[m.area].Ground[k][v])
		}
		m.changes = append(m.changes, c)
	}
	different := map[orb.Point]bool{}
	for _, p := range pts {
		different[p] = true
	}
	if len(different) < 3 {
		return nil // too few to be a ring: nothing to mend
	}
	order := make([]int, 0, n+1)
	for i := range pts {
		order = append(order, i)
	}
	closed := pts[0] == pts[n-1]
	if closed {
		order = order[:n-1]
	} else {
		note(RuleRingOpen, n-1, "is closed with its first point%s", m.closes(k))
	}
	changed := !closed

	height := func(v int) float64 {
		if m.f.Geometry.Layout().ZIndex() < 0 || stride < 3 {
			return math.NaN()
		}
		return ring[v*stride+2]
	}
	sameHeight := func(a, b int) bool {
		x, y := height(a), height(b)
		return x == y || x != x && y != y
	}
	dropRepeats := func() (dropped, first int) {
		kept := order[:1]
		for _, v := range order[1:] {
			if last := kept[len(kept)-1]; pts[v] == pts[last] && sameHeight(v, last) {
				if dropped == 0 {
					first = v
				}
				dropped++
				continue
			}
			kept = append(kept, v)
		}
		for len(kept) > 1 && pts[kept[len(kept)-1]] == pts[kept[0]] && sameHeight(kept[len(kept)-1], kept[0]) {
			if dropped == 0 {
				first = kept[len(kept)-1]
			}
			dropped++
			kept = kept[:len(kept)-1]
		}
		order = kept
		return dropped, first
	}
	if dropped, first := dropRepeats(); dropped > 0 {
		changed = true
		note(RuleRingRepeatedPoint, first, "loses %s that repeat the one before", plural(dropped, "point"))
	}
	if tips := m.despike(pts, &order, sameHeight); len(tips) > 0 {
		changed = true
		note(RuleRingSpike, tips[0], "loses %s of spikes", plural(len(tips), "point"))
	}
	left := make(orb.Ring, 0, len(order)+1)
	for _, v := range order {
		left = append(left, pts[v])
	}
	left = append(left, left[0])
	if turn := plane.Turn(left); m.promised() && turn != 0 && (turn > 0) != m.winding.Anticlockwise(m.f.Role, k > 0) && oneSense(left) {
		changed = true
		for i, j := 1, len(order)-1; i < j; i, j = i+1, j-1 {
			order[i], order[j] = order[j], order[i]
		}
		note(RuleRingDirection, order[0], "is reversed to run %s, its first point kept first", sense(turn < 0))
	}
	if !changed {
		return nil
	}
	if closed && order[0] == 0 {
		return append(order, n-1) // the closing point as it was
	}
	return append(order, order[0])
}

func (m *mender) promised() bool {
	switch m.winding {
	case schema.WindingStandard:
		return true
	case schema.WindingDriven:
		return m.f.Role == schema.RoleZone || m.f.Role == schema.RoleKeepout
	}
	return false
}

// despike takes the tips of spikes out of order, and the repetitions they
// leave, and returns them. A ring that would be left with fewer than three
// points keeps all.
func (m *mender) despike(pts orb.Ring, order *[]int, sameHeight func(a, b int) bool) []int {
	left := make(orb.Ring, 0, len(*order)+1)
	for _, v := range *order {
		left = append(left, pts[v])
	}
	keep := soundVerticesBy(append(left, left[0]), func(a, b int) bool { return sameHeight((*order)[a], (*order)[b]) })
	if len(keep) < 3 || len(keep) == len(*order) {
		return nil
	}
	// soundVertices also drops repetitions; without a spike there is nothing to
	// do.
	if len(plane.Spikes(append(left, left[0]))) == 0 {
		return nil
	}
	kept := map[int]bool{}
	out := make([]int, 0, len(keep))
	for _, i := range keep {
		kept[i] = true
		out = append(out, (*order)[i])
	}
	var tips []int
	for i, v := range *order {
		if !kept[i] {
			tips = append(tips, v)
		}
	}
	*order = out
	return tips
}

// Verify reports what differs between a plan and its mended form beyond what
// Mend may do, nil for nothing: features, their order, roles, names and
// attributes must be the same, points and lines too, and every ring must run
// through the same points but for closing points, repetitions and the tips of
// spikes.
func Verify(before, after *schema.Plan) error {
	switch {
	case before == nil || after == nil:
		return fmt.Errorf("there is no plan to compare")
	case before.Name != after.Name || before.Epoch != after.Epoch || before.CRS != after.CRS || !before.Attributes.Equal(after.Attributes):
		return fmt.Errorf("the plan's own name, reference or attributes changed")
	case len(before.Features) != len(after.Features):
		return fmt.Errorf("the plan had %d features and has %d", len(before.Features), len(after.Features))
	}
	for i, f := range before.Features {
		g := after.Features[i]
		if f == g {
			continue
		}
		if f == nil || g == nil {
			return fmt.Errorf("feature %d came or went", i+1)
		}
		if !f.ID.Equal(g.ID) || f.Role != g.Role || f.Name != g.Name || !sameButTimes(f.Attributes, g.Attributes) {
			return fmt.Errorf("feature %d (%s) changed in more than its rings", i+1, f.Label())
		}
		if err := sameShape(f.Geometry, g.Geometry); err != nil {
			return fmt.Errorf("feature %d (%s): %w", i+1, f.Label(), err)
		}
	}
	return nil
}

func sameButTimes(a, b schema.Attributes) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i].Key != b[i].Key || a[i].Key != schema.PropTimes && !a[i].Value.Equal(b[i].Value) {
			return false
		}
	}
	return true
}

// sameShape compares two geometries ring by ring.
func sameShape(a, b geom.T) error {
	if a == nil || b == nil {
		if a != nil || b != nil {
			return fmt.Errorf("the geometry came or went")
		}
		return nil
	}
	changed := fmt.Errorf("the geometry changed in kind")
	switch a := a.(type) {
	case *geom.Polygon:
		c, ok := b.(*geom.Polygon)
		if !ok || a.Layout() != c.Layout() {
			return changed
		}
		return sameRings(a.FlatCoords(), c.FlatCoords(), a.Stride(), [][]int{a.Ends()}, [][]int{c.Ends()})
	case *geom.MultiPolygon:
		c, ok := b.(*geom.MultiPolygon)
		if !ok || a.Layout() != c.Layout() {
			return changed
		}
		return sameRings(a.FlatCoords(), c.FlatCoords(), a.Stride(), a.Endss(), c.Endss())
	case *geom.GeometryCollection:
		c, ok := b.(*geom.GeometryCollection)
		if !ok || a.NumGeoms() != c.NumGeoms() {
			return changed
		}
		for i := range a.Geoms() {
			if err := sameShape(a.Geom(i), c.Geom(i)); err != nil {
				return err
			}
		}
		return nil
	}
	x, y := a.FlatCoords(), b.FlatCoords()
	if fmt.Sprintf("%T", a) != fmt.Sprintf("%T", b) || a.Layout() != b.Layout() || len(x) != len(y) {
		return changed
	}
	for i := range x {
		if x[i] != y[i] && !(math.IsNaN(x[i]) && math.IsNaN(y[i])) {
			return fmt.Errorf("a point moved")
		}
	}
	return nil
}

func sameRings(a, b []float64, stride int, endsA, endsB [][]int) error {
	if len(endsA) != len(endsB) {
		return fmt.Errorf("a part came or went")
	}
	startA, startB := 0, 0
	for i := range endsA {
		if len(endsA[i]) != len(endsB[i]) {
			return fmt.Errorf("a ring came or went")
		}
		for k := range endsA[i] {
			endA, endB := endsA[i][k], endsB[i][k]
			if !sameRing(a[startA:endA], b[startB:endB], stride) {
				return fmt.Errorf("ring %d runs through other points", k+1)
			}
			startA, startB = endA, endB
		}
	}
	return nil
}

// sameRing reports whether two rings run through the same vertices, heights
// included, once closing points, repetitions and spikes are left aside,
// wherever they begin and whichever way they run.
func sameRing(a, b []float64, stride int) bool {
	x, y := soundRing(a, stride), soundRing(b, stride)
	if len(x) != len(y) {
		return false
	}
	n := len(x) / stride
	equal := func(i, k int) bool {
		for c := 0; c < stride; c++ {
			p, q := x[i*stride+c], y[k*stride+c]
			if p != q && !(math.IsNaN(p) && math.IsNaN(q)) {
				return false
			}
		}
		return true
	}
	if n == 0 {
		return true
	}
	for shift := 0; shift < n; shift++ {
		forth, back := true, true
		for i := 0; i < n && (forth || back); i++ {
			forth = forth && equal(i, (shift+i)%n)
			back = back && equal(i, (shift-i+n)%n)
		}
		if forth || back {
			return true
		}
	}
	return false
}

func soundRing(flat []float64, stride int) []float64 {
	n := len(flat) / stride
	pts := make(orb.Ring, n)
	for i := range pts {
		pts[i] = orb.Point{flat[i*stride], flat[i*stride+1]}
	}
	alike := func(a, b int) bool {
		for c := 2; c < stride; c++ {
			p, q := flat[a*stride+c], flat[b*stride+c]
			if p != q && !(math.IsNaN(p) && math.IsNaN(q)) {
				return false
			}
		}
		return true
	}
	var out []float64
	for _, v := range soundVerticesBy(pts, alike) {
		out = append(out, flat[v*stride:(v+1)*stride]...)
	}
	return out
}
