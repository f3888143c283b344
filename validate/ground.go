// Ground: the plan on flat ground, in metres, with the way back to the
// coordinates it was read in.

package validate

import (
	"errors"
	"fmt"
	"math"
	"sort"

	"github.com/paulmach/orb"
	"github.com/twpayne/go-geom"

	"swardline/crs"
	"swardline/schema"
)

// MaxSpanM is how far a feature may lie from the middle of the driven ground
// before flat ground no longer holds: at 10 km from the middle a distance on
// the tangent plane is 4 mm short of the one on the ground (d^3/6R^2), and the
// corners of a 20 km wide plan lie at most 14.2 km off (12 mm).
const MaxSpanM = 20000

// maxPlaneM bounds plane coordinates of any grid: the earth's circumference is
// 4.0e7 m, and the widest false origins of national grids stay below 6.5e7.
const maxPlaneM = 1e8

// maxHeightM bounds heights: land lies between -430 m and 8,849 m (common
// knowledge, no source), so ten times that is a unit gone wrong or a slip, and
// figures made from it would be as absurd.
const maxHeightM = 1e5

// Frame says what the ground coordinates of a Site stand on.
type Frame uint8

// The frames.
const (
	// FrameNone: the plan could not be put on the ground; Site.Why says why.
	FrameNone Frame = iota
	// FrameEarth: topocentric east and north at Site.Origin, true north up.
	FrameEarth
	// FramePlane: the plan's CRS is unknown and its coordinates are taken as
	// plane metres, y to the north.
	FramePlane
)

// Site is a plan on flat ground. It is read-only once made and safe to share.
type Site struct {
	Plan *schema.Plan
	// Features are the active features, in the order of the plan.
	Features []*Feature
	// Inactive are the features whose attribute "active" is false; no rule sees
	// them.
	Inactive []*schema.Feature
	// Frame says what the ground coordinates stand on, and Why, when it is
	// FrameNone, why there are none.
	Frame Frame
	Why   string
	// Lon, Lat (degrees) and H (metres) are the origin of the ground
	// coordinates when Frame is FrameEarth. All points were taken at height H.
	Lon, Lat, H float64
	// Notes say what was assumed on the way to the ground.
	Notes []string

	tangent tangent
	mid     orb.Point // subtracted from plane coordinates
	outside bool      // of the CRS's area of use
	byRole  map[schema.Role][]*Feature
	// reference is the point that reported offsets are counted from, in ground
	// coordinates: the first base, else the origin.
	reference   orb.Point
	referenceOf string
}

// Feature is one active feature on the ground. Its vertices keep the order and
// count of the feature as read, so an index serves both.
type Feature struct {
	*schema.Feature
	// Index counts in Plan.Features, from 0.
	Index  int
	Areas  []Area
	Lines  []Line
	Points []Vertex
	// Invalid says what is wrong with the coordinates, "" when nothing is. Such
	// a feature has no ground coordinates.
	Invalid string
	// Far is set when the feature lies more than MaxSpanM from the middle of
	// the driven ground; its ground coordinates are then not to be trusted.
	Far bool

	invalidAt *Place
	bound     orb.Bound // of all ground coordinates
	pointAt   []int     // where each of Points stands among all vertices
	slot      int       // index in Site.Features

	// raisedLow and raisedHigh are the least and the greatest height where
	// hasHeights is set.
	raisedLow, raisedHigh float64
	hasHeights            bool

	kinds *hazardKinds // of a hazard, which many rules ask for; nil for others
}

// reach takes heights into the range of the feature's.
func (f *Feature) reach(heights []float64) {
	if !f.hasHeights {
		f.raisedLow, f.raisedHigh = math.Inf(1), math.Inf(-1)
	}
	for _, h := range heights {
		if h < f.raisedLow {
			f.raisedLow = h
		}
		if h > f.raisedHigh {
			f.raisedHigh = h
		}
	}
	f.hasHeights = f.raisedLow <= f.raisedHigh
}

// Area is one polygon: the shell first, then the holes. Rings are as read,
// closed or not.
type Area struct {
	Read    orb.Polygon // in the plan's coordinates
	Ground  orb.Polygon // in metres, vertex by vertex
	Heights [][]float64 // in metres, NaN where there is none; nil when no vertex has one
}

// Line is one line string.
type Line struct {
	Read    orb.LineString
	Ground  orb.LineString
	Heights []float64 // nil when no vertex has one
}

// Vertex is one point.
type Vertex struct {
	Read   orb.Point
	Ground orb.Point
	Height float64 // NaN when there is none
}

// grounded is Ground for what nothing can be said of without: a plan that has
// no place on the ground is an error.
func grounded(p *schema.Plan) (*Site, error) {
	s, err := Ground(p)
	if err == nil && s.Frame == FrameNone {
		err = fmt.Errorf("the plan cannot be put on the ground: %s", s.Why)
	}
	return s, err
}

// Ground puts the plan on flat ground. Coordinates go to longitude and latitude
// on the plan's own datum and from there to the tangent plane at the middle of
// the driven ground (zones, corridors, docks; else of everything), every point
// taken at one height - the base's, else the mean of all heights, else 0 - so
// that distances are distances on the ground. North is true north there,
// whatever the plan's grid calls north. The plan itself is not changed.
//
// Heights are metres upwards: depths and feet, where the plan's reference of heights
// counts in those, are turned.
//
// A plan without a CRS is taken as plane metres, and Notes say so. A plan that
// is too wide, or whose coordinates are all invalid, is no error: the Site then
// has FrameNone and the reason. The error is for a nil plan only.
func Ground(p *schema.Plan) (*Site, error) {
	if p == nil {
		return nil, errors.New("there is no plan to put on the ground")
	}
	s := &Site{Plan: p, byRole: make(map[schema.Role][]*Feature, len(schema.Roles))}
	total := 0
	for _, f := range p.Features {
		if f != nil && f.Active() {
			total += countVertices(f.Geometry)
		}
	}
	b := builder{
		read:   make([]orb.Point, 0, total),
		ground: make([]orb.Point, total),
		// A geocentric z is no height, and such a plan is not put on the
		// ground.
		highest: maxHeightM,
		up:      1,
	}
	if p.CRS != nil || p.Attributes.Has(schema.PlanHeights) {
		if ref, err := p.Reference(); err == nil {
			b.up = ref.Heights.Up()
		}
	}
	if p.CRS != nil && p.CRS.Kind() == crs.KindGeocentric {
		b.highest = maxPlaneM
	}
	features := make([]Feature, 0, len(p.Features))
	spans := make([][2]int, 0, len(p.Features))
	for i, f := range p.Features {
		switch {
		case f == nil:
			continue
		case !f.Active():
			s.Inactive = append(s.Inactive, f)
			continue
		}
		features = append(features, Feature{Feature: f, Index: i, slot: len(features)})
		g := &features[len(features)-1]
		start := len(b.read)
		b.absurd = ""
		b.add(g, f.Geometry)
		g.Invalid = b.absurd
		spans = append(spans, [2]int{start, len(b.read)})
		s.Features = append(s.Features, g)
		s.byRole[f.Role] = append(s.byRole[f.Role], g)
		if f.Role == schema.RoleHazard {
			kinds := kindsOf(g)
			g.kinds = &kinds
		}
	}
	b.unwrap(p.CRS)
	s.toGeodetic(&b, spans)
	s.settle(&b, spans)
	return s, nil
}

// Of returns the active features of a role, in order.
func (s *Site) Of(role schema.Role) []*Feature { return s.byRole[role] }

// builder collects the vertices of a plan into one slice each.
type builder struct {
	read   []orb.Point // as read, then as longitude and latitude
	ground []orb.Point
	lonlat []float64
	// highest is the greatest height, up or down, that is taken for one.
	highest float64
	// up is what one of the plan's heights is in metres upwards.
	up float64
	// unwrapped is set when longitudes run on past 180 degrees.
	unwrapped bool
	// absurd says which height of the feature at hand was not.
	absurd string
}

func countVertices(g geom.T) int {
	switch g := g.(type) {
	case nil:
		return 0
	case *geom.GeometryCollection:
		n := 0
		for _, part := range g.Geoms() {
			n += countVertices(part)
		}
		return n
	}
	if s := g.Stride(); s > 0 {
		return len(g.FlatCoords()) / s
	}
	return 0
}

// take copies the vertices flat[start:end] and returns them as read, on the
// ground (filled later) and their heights.
func (b *builder) take(flat []float64, layout geom.Layout, start, end int) (read, ground []orb.Point, h []float64) {
	stride := layout.Stride()
	at := len(b.read)
	for i := start; i+1 < end; i += stride {
		b.read = append(b.read, orb.Point{flat[i], flat[i+1]})
	}
	to := len(b.read)
	if z := layout.ZIndex(); z >= 0 {
		any := false
		h = make([]float64, 0, to-at)
		for i := start; i+z < end; i += stride {
			v := flat[i+z] * b.up
			if math.Abs(v) > b.highest {
				b.absurd = fmt.Sprintf("a height of %.4g m is not on the ground: every height must lie within %.0f km of sea level", v, b.highest/1000)
				v = math.NaN()
			}
			any = any || v == v
			h = append(h, v)
		}
		if !any {
			h = nil
		}
	}
	return b.read[at:to:to], b.ground[at:to:to], h
}

func (b *builder) add(f *Feature, g geom.T) {
	switch g := g.(type) {
	case *geom.Point:
		b.addPoints(f, g.FlatCoords(), g.Layout())
	case *geom.MultiPoint:
		b.addPoints(f, g.FlatCoords(), g.Layout())
	case *geom.LineString:
		b.addLine(f, g.FlatCoords(), g.Layout(), 0, len(g.FlatCoords()))
	case *geom.MultiLineString:
		start := 0
		for _, end := range g.Ends() {
			b.addLine(f, g.FlatCoords(), g.Layout(), start, end)
			start = end
		}
	case *geom.LinearRing:
		b.addArea(f, g.FlatCoords(), g.Layout(), 0, []int{len(g.FlatCoords())})
	case *geom.Polygon:
		b.addArea(f, g.FlatCoords(), g.Layout(), 0, g.Ends())
	case *geom.MultiPolygon:
		start := 0
		for _, ends := range g.Endss() {
			b.addArea(f, g.FlatCoords(), g.Layout(), start, ends)
			if len(ends) > 0 {
				start = ends[len(ends)-1]
			}
		}
	case *geom.GeometryCollection:
		for _, part := range g.Geoms() {
			b.add(f, part)
		}
	}
}

func (b *builder) addPoints(f *Feature, flat []float64, layout geom.Layout) {
	at := len(b.read)
	read, _, h := b.take(flat, layout, 0, len(flat))
	f.reach(h)
	for i := range read {
		f.pointAt = append(f.pointAt, at+i)
		v := Vertex{Read: read[i], Height: math.NaN()}
		if h != nil {
			v.Height = h[i]
		}
		f.Points = append(f.Points, v)
	}
}

func (b *builder) addLine(f *Feature, flat []float64, layout geom.Layout, start, end int) {
	read, ground, h := b.take(flat, layout, start, end)
	f.reach(h)
	if len(read) > 0 {
		f.Lines = append(f.Lines, Line{read, ground, h})
	}
}

func (b *builder) addArea(f *Feature, flat []float64, layout geom.Layout, start int, ends []int) {
	if len(ends) == 0 || ends[len(ends)-1] == start {
		return
	}
	a := Area{Read: make(orb.Polygon, len(ends)), Ground: make(orb.Polygon, len(ends))}
	for i, end := range ends {
		read, ground, h := b.take(flat, layout, start, end)
		f.reach(h)
		start = end
		a.Read[i], a.Ground[i] = read, ground
		if h != nil {
			if a.Heights == nil {
				a.Heights = make([][]float64, len(ends))
			}
			a.Heights[i] = h
		}
	}
	f.Areas = append(f.Areas, a)
}

// toGeodetic fills b.lonlat and marks the features whose coordinates cannot be
// on the earth.
func (s *Site) toGeodetic(b *builder, spans [][2]int) {
	c := s.Plan.CRS
	unit, degrees := unitOf(c)
	b.lonlat = make([]float64, 0, 2*len(b.read))
	for _, p := range b.read {
		b.lonlat = append(b.lonlat, p[0], p[1])
	}
	allGood := true
	for i, f := range s.Features {
		points := b.read[spans[i][0]:spans[i][1]]
		if f.Invalid != "" && len(points) > 0 {
			f.invalidAt = rawPlace(points[0], degrees)
		}
		for k, p := range points {
			if degrees && math.Abs(p[0])*unit <= 180 && math.Abs(p[1])*unit <= 90 && (k == 0 || math.Abs(p[0]-points[k-1][0])*unit <= 180) {
				continue // as nearly all are
			}
			if b.unwrapped && p[0]*unit > 180 {
				p[0] -= 360 / unit // as it was
			}
			if what := wrongCoordinate(p, degrees, unit); what != "" {
				f.Invalid, f.invalidAt = what, rawPlace(p, degrees)
				break
			}
			if degrees && k > 0 && math.Abs(points[k][0]-points[k-1][0])*unit > 180 {
				f.Invalid = fmt.Sprintf("the longitude jumps from %.6f to %.6f: an outline across the antimeridian has to be cut there", points[k-1][0], p[0])
				f.invalidAt = rawPlace(p, degrees)
				break
			}
		}
		if f.Invalid != "" {
			allGood = false
			for k := 2 * spans[i][0]; k < 2*spans[i][1]; k++ {
				b.lonlat[k] = 0
			}
		}
	}
	if c == nil || c.Kind() == crs.KindGeocentric {
		return
	}
	if allGood {
		if c.ToGeodetic(b.lonlat, 2) == nil && finite(b.lonlat) {
			return
		}
		for i, p := range b.read { // the attempt left them unspecified
			b.lonlat[2*i], b.lonlat[2*i+1] = p[0], p[1]
		}
	}
	for i, f := range s.Features {
		if f.Invalid != "" {
			continue
		}
		for k := spans[i][0]; k < spans[i][1]; k++ {
			one := b.lonlat[2*k : 2*k+2]
			err := c.ToGeodetic(one, 2)
			if err == nil && !finite(one) {
				err = errors.New("the result is no number")
			}
			if err != nil {
				p := b.read[k]
				f.Invalid = fmt.Sprintf("%s, %s is outside %s: %v", trim(p[0], 3), trim(p[1], 3), c.ID(), err)
				f.invalidAt = rawPlace(p, degrees)
				break
			}
		}
	}
}

// unwrap makes the longitudes of a site across the 180th meridian run on past
// 180 degrees, so that its outlines are whole: when most vertices lie within 30
// degrees of that meridian and some on either side, those west of it are taken
// 360 degrees on.
func (b *builder) unwrap(c *crs.CRS) {
	unit, degrees := unitOf(c)
	if !degrees {
		return
	}
	east, west := 0, 0
	for _, p := range b.read {
		switch x := p[0] * unit; {
		case x > 150:
			east++
		case x < -150:
			west++
		}
	}
	if east == 0 || west == 0 || 2*(east+west) <= len(b.read) {
		return
	}
	for i := range b.read {
		if x := b.read[i][0] * unit; x < 0 && x >= -180 {
			b.read[i][0] += 360 / unit
			b.unwrapped = true
		}
	}
}

// unitOf returns the size of a coordinate's unit in degrees or in metres; a
// plan without a CRS is in metres.
func unitOf(c *crs.CRS) (unit float64, degrees bool) {
	switch {
	case c == nil:
		return 1, false
	case c.IsDegrees() && c.UnitDegrees() > 0:
		return c.UnitDegrees(), true
	case c.IsDegrees():
		return 1, true
	case c.UnitMetres() > 0:
		return c.UnitMetres(), false
	}
	return 1, false
}

// wrongCoordinate says what is wrong with one vertex as read, "" for nothing.
func wrongCoordinate(p orb.Point, degrees bool, unit float64) string {
	switch x, y := p[0], p[1]; {
	case math.IsNaN(x) || math.IsNaN(y) || math.IsInf(x, 0) || math.IsInf(y, 0):
		return "a coordinate is no finite number"
	case degrees && math.Abs(y)*unit > 90:
		return fmt.Sprintf("latitude %s is past 90 degrees", trim(y, 6))
	case degrees && math.Abs(x)*unit > 180:
		return fmt.Sprintf("longitude %s is past 180 degrees", trim(x, 6))
	case !degrees && (math.Abs(x)*unit > maxPlaneM || math.Abs(y)*unit > maxPlaneM):
		return fmt.Sprintf("%s, %s is farther from the origin than any place on earth", trim(x, 0), trim(y, 0))
	}
	return ""
}

func finite(flat []float64) bool {
	for _, v := range flat {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// settle chooses origin and height, and fills the ground coordinates.
func (s *Site) settle(b *builder, spans [][2]int) {
	if c := s.Plan.CRS; c != nil && c.Kind() == crs.KindGeocentric {
		s.Why = "the plan is in geocentric coordinates; convert it to longitude and latitude or to a grid first"
		return
	}
	box := s.core(b, spans, true)
	if box.IsEmpty() {
		box = s.core(b, spans, false)
	}
	if box.IsEmpty() {
		s.Why = "no feature has usable coordinates"
		return
	}
	mid := box.Center()
	s.H = s.referenceHeight()
	if s.Plan.CRS == nil {
		s.Frame = FramePlane
		s.Notes = append(s.Notes, "the plan states no CRS: its coordinates are taken as plane metres with y to the north")
		s.mid = mid
		for i, p := range b.read {
			b.ground[i] = orb.Point{p[0] - mid[0], p[1] - mid[1]}
		}
	} else {
		s.Frame = FrameEarth
		s.Lon, s.Lat = math.Remainder(mid[0], 360), mid[1]
		a, f := ellipsoidOf(s.Plan.CRS)
		s.tangent = newTangent(a, f, s.Lon, s.Lat, s.H)
		for i := range b.ground {
			b.ground[i] = s.tangent.forward(b.lonlat[2*i], b.lonlat[2*i+1])
		}
	}
	s.spread(b, spans)
	if c := s.Plan.CRS; c != nil && s.Frame == FrameEarth && !c.Covers(crs.Degrees(s.Lon), crs.Degrees(s.Lat)) {
		s.outside = true
		s.Notes = append(s.Notes, fmt.Sprintf("the plan lies outside the area of use of %s (%s)", c.ID(), c.AreaName()))
	}
}

// core returns the box, in degrees or plane metres, around the features that
// lie together: those whose middle is within MaxSpanM of the weighted median of
// all middles, so that one stray feature does not move the ground. With driven
// set only zones, corridors and docks count. The weight is the number of
// vertices.
func (s *Site) core(b *builder, spans [][2]int, driven bool) orb.Bound {
	type middle struct {
		box orb.Bound
		mid orb.Point
		n   int
	}
	var list []middle
	seed, total := math.NaN(), 0
	for i, f := range s.Features {
		if f.Invalid != "" || driven && !isDriven(f.Role) || spans[i][0] == spans[i][1] {
			continue
		}
		m := middle{box: emptyBox(), n: spans[i][1] - spans[i][0]}
		for k := spans[i][0]; k < spans[i][1]; k++ {
			x, y := b.lonlat[2*k], b.lonlat[2*k+1]
			if s.Plan.CRS != nil {
				if seed != seed {
					seed = x
				}
				off := x - seed
				if !(math.Abs(off) < 180) {
					off = math.Remainder(off, 360)
				}
				x = seed + off
			}
			enlarge(&m.box, orb.Point{x, y})
		}
		m.mid = m.box.Center()
		total += m.n
		list = append(list, m)
	}
	box := emptyBox()
	if len(list) == 0 {
		return box
	}
	var median orb.Point
	for axis := range median {
		sort.SliceStable(list, func(i, j int) bool { return list[i].mid[axis] < list[j].mid[axis] })
		sum := 0
		for _, m := range list {
			if sum += m.n; 2*sum >= total {
				median[axis] = m.mid[axis]
				break
			}
		}
	}
	perX, perY := 1.0, 1.0 // metres a unit, roughly: a degree of latitude is 110.6 to 111.7 km
	if s.Plan.CRS != nil {
		perY = 111e3
		perX = perY * math.Cos(median[1]*(math.Pi/180))
	}
	for _, m := range list {
		if math.Hypot((m.mid[0]-median[0])*perX, (m.mid[1]-median[1])*perY) <= MaxSpanM {
			box = box.Union(m.box)
		}
	}
	return box
}

// spread fills each feature's bound and points, and finds what lies too far
// off.
func (s *Site) spread(b *builder, spans [][2]int) {
	near, far := 0, 0
	for i, f := range s.Features {
		if f.Invalid != "" {
			continue
		}
		f.bound = boundOf(b.ground[spans[i][0]:spans[i][1]])
		for k := spans[i][0]; k < spans[i][1]; k++ {
			var d float64
			if s.Frame == FramePlane {
				d = math.Hypot(b.ground[k][0], b.ground[k][1])
			} else if lon, lat := b.lonlat[2*k], b.lonlat[2*k+1]; !s.tangent.plainlyNear(lon, lat, &b.ground[k]) {
				d = s.tangent.chord(lon, lat)
			}
			if d > MaxSpanM {
				f.Far = true
				break
			}
		}
		for k, at := range f.pointAt {
			f.Points[k].Ground = b.ground[at]
			f.Points[k].Read = b.read[at]
		}
		if f.Far {
			far++
		} else {
			near++
		}
	}
	if far >= near {
		s.Frame = FrameNone
		s.Why = fmt.Sprintf("the plan is too wide for flat ground: %d of its %d features lie more than %d km from the middle of what is driven", far, far+near, MaxSpanM/1000)
		return
	}
	s.referenceOf = "centre"
	for _, base := range s.byRole[schema.RoleBase] {
		if base.Invalid == "" && !base.Far && len(base.Points) > 0 {
			s.reference, s.referenceOf = base.Points[0].Ground, "base"
			break
		}
	}
	for _, f := range s.Features {
		if f.Far {
			s.Notes = append(s.Notes, fmt.Sprintf("%s lies more than %d km from the middle of what is driven and was left out of rules on the ground", f.describe(), MaxSpanM/1000))
		}
	}
}

func isDriven(r schema.Role) bool {
	return r == schema.RoleZone || r == schema.RoleCorridor || r == schema.RoleDock
}

// referenceHeight is the height at which all points are taken: the base's, else
// the mean of all heights, else that of a site grid's origin, else 0. Heights
// no ground has are left aside.
func (s *Site) referenceHeight() float64 {
	possible := func(h float64) bool { return h > -1000 && h < 9000 }
	for _, base := range s.byRole[schema.RoleBase] {
		for _, v := range base.Points {
			if possible(v.Height) {
				return v.Height
			}
		}
	}
	sum, n := 0.0, 0
	add := func(h float64) {
		if possible(h) {
			sum, n = sum+h, n+1
		}
	}
	for _, f := range s.Features {
		for _, a := range f.Areas {
			for _, ring := range a.Heights {
				for _, h := range ring {
					add(h)
				}
			}
		}
		for _, l := range f.Lines {
			for _, h := range l.Heights {
				add(h)
			}
		}
		for _, v := range f.Points {
			add(v.Height)
		}
	}
	if n > 0 {
		return sum / float64(n)
	}
	if s.Plan.CRS != nil {
		if g, ok := s.Plan.CRS.Site(); ok {
			return float64(g.Origin.H) // where a site grid puts points without a height
		}
	}
	return 0
}

// usable reports whether the feature has ground coordinates to trust.
func (f *Feature) usable() bool { return f.Invalid == "" && !f.Far }

// Bound is the box around the feature's ground coordinates; it is empty when
// there are none.
func (f *Feature) Bound() orb.Bound {
	if f.Invalid != "" {
		return emptyBox()
	}
	return f.bound
}

// describe names the feature with its role, for notes and messages.
func (f *Feature) describe() string { return describe(f.Feature) }

func describe(f *schema.Feature) string {
	if label := f.Label(); label != string(f.Role) {
		return string(f.Role) + " " + quote(label)
	}
	return string(f.Role)
}

// boundOf is the box of the points, empty for none; orb's own is far slower.
func boundOf(pts []orb.Point) orb.Bound {
	b := emptyBox()
	enlargeAll(&b, pts)
	return b
}

// areasBound is the box of the areas' shells.
func areasBound(m orb.MultiPolygon) orb.Bound {
	b := emptyBox()
	for _, p := range m {
		if len(p) > 0 {
			enlargeAll(&b, p[0])
		}
	}
	return b
}

// enlargeAll is enlarge for many points.
func enlargeAll(b *orb.Bound, pts []orb.Point) {
	x0, y0, x1, y1 := b.Min[0], b.Min[1], b.Max[0], b.Max[1]
	for i := range pts {
		x, y := pts[i][0], pts[i][1]
		if x < x0 {
			x0 = x
		}
		if x > x1 {
			x1 = x
		}
		if y < y0 {
			y0 = y
		}
		if y > y1 {
			y1 = y
		}
	}
	b.Min, b.Max = orb.Point{x0, y0}, orb.Point{x1, y1}
}

// enlarge makes a box hold the point.
func enlarge(b *orb.Bound, p orb.Point) {
	// Comparisons cost a third of min and max, and most points change nothing.
	for axis, v := range p {
		if v < b.Min[axis] {
			b.Min[axis] = v
		}
		if v > b.Max[axis] {
			b.Max[axis] = v
		}
	}
}

func emptyBox() orb.Bound {
	return orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
}

// GroundToLonLat returns longitude and latitude in degrees, on the plan's own
// datum, of a point on the ground; ok is false unless Frame is FrameEarth.
func (s *Site) GroundToLonLat(p orb.Point) (lon, lat float64, ok bool) {
	if s.Frame != FrameEarth {
		return 0, 0, false
	}
	lon, lat = s.tangent.inverse(p)
	return lon, lat, !math.IsNaN(lon) && !math.IsNaN(lat)
}

// LonLatToGround is the inverse of GroundToLonLat.
func (s *Site) LonLatToGround(lon, lat float64) (p orb.Point, ok bool) {
	if s.Frame != FrameEarth {
		return p, false
	}
	return s.tangent.forward(lon, lat), true
}

// GroundToPlan returns the plan coordinates of a point on the ground; ok is
// false when there is no way back.
func (s *Site) GroundToPlan(p orb.Point) (orb.Point, bool) {
	switch s.Frame {
	case FramePlane:
		return orb.Point{p[0] + s.mid[0], p[1] + s.mid[1]}, true
	case FrameEarth:
		lon, lat, ok := s.GroundToLonLat(p)
		if !ok {
			return p, false
		}
		flat := []float64{lon, lat}
		if s.Plan.CRS.FromGeodetic(flat, 2) != nil || !finite(flat) {
			return p, false
		}
		return orb.Point{flat[0], flat[1]}, true
	}
	return p, false
}

// Place says where a point on the ground is. E and N are the plan's own plane
// coordinates, or, when the plan is in degrees, metres east and north of
// Reference.
func (s *Site) Place(p orb.Point) *Place {
	v, ok := s.placeNumbers(p)
	if !ok {
		return nil
	}
	return NewPlace(v[0], v[1], v[2], v[3])
}

// placeNumbers are Lon, Lat, E and N of the place of a point on the ground, NaN
// for one that is not known; ok is false for a point that is none.
func (s *Site) placeNumbers(p orb.Point) (v [4]float64, ok bool) {
	if math.IsNaN(p[0]) || math.IsNaN(p[1]) {
		return v, false
	}
	lon, lat, ok := s.GroundToLonLat(p)
	if !ok {
		lon, lat = math.NaN(), math.NaN()
	}
	e, n := p[0]-s.reference[0], p[1]-s.reference[1]
	if c := s.Plan.CRS; c == nil || !c.IsDegrees() {
		q, ok := s.GroundToPlan(p)
		if !ok {
			q = orb.Point{math.NaN(), math.NaN()}
		}
		e, n = q[0], q[1]
	}
	return [4]float64{lon, lat, e, n}, true
}

// Reference is the point that offsets of places are counted from when the plan
// is in degrees: "base" for the first base, else "centre".
func (s *Site) Reference() (of string, p orb.Point) { return s.referenceOf, s.reference }

// placeRead says where a vertex as read is, with its coordinates untouched.
func (s *Site) placeRead(f *Feature, read, ground orb.Point) *Place {
	c := s.Plan.CRS
	if c != nil && c.IsDegrees() {
		out := rawPlace(read, true)
		if s.Frame == FrameEarth && f.usable() {
			e, n := ground[0]-s.reference[0], ground[1]-s.reference[1]
			out.E, out.N = &e, &n
		}
		return out
	}
	out := rawPlace(read, false)
	if c != nil && f.Invalid == "" {
		flat := []float64{read[0], read[1]}
		if c.ToGeodetic(flat, 2) == nil && finite(flat) {
			out.Lon, out.Lat = &flat[0], &flat[1]
		}
	}
	return out
}

// rawPlace holds a vertex as read. Numbers no format can write are left out.
func rawPlace(p orb.Point, degrees bool) *Place {
	out := &Place{}
	set := func(v float64) *float64 {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return nil
		}
		return &v
	}
	if degrees {
		if p[0] > 180 && p[0] <= 540 { // run on past the 180th meridian
			p[0] -= 360
		}
		out.Lon, out.Lat = set(p[0]), set(p[1])
	} else {
		out.E, out.N = set(p[0]), set(p[1])
	}
	return out
}
