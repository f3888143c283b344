// The sky and the radio of a plan: what each place that needs them sees and
// hears, over a day, and where an antenna would see more.

package validate

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"
	"sync"

	"github.com/paulmach/orb"

	"swardline/crs"
	"swardline/crs/orbit"
	"swardline/schema"
	"swardline/validate/plane"
)

// SkyOptions say what sky a plan is looked at under.
type SkyOptions struct {
	// Satellites are from an almanac; nil takes the nominal slots of Systems.
	Satellites []orbit.Satellite
	// Systems are those that the receivers use; nil means all there are.
	Systems []orbit.System
	// Start is the first moment; a day from it is looked at. 0 with the nominal
	// slots, whose day has no date.
	Start orbit.Time
	// StepS is the step in seconds, 0 for 300.
	StepS float64
	// Horizon was measured at the base antenna, nil for none.
	Horizon *orbit.Horizon
	// Places is the most places of all zones together, 0 for 400.
	Places int
	// Best asks for the places on buildings from which a base would see most.
	Best bool
}

// SkyReport is what a plan's places see and hear.
type SkyReport struct {
	Site *Site
	// Nominal is true when shares of a day are known and times are not.
	Nominal bool
	Systems []orbit.System
	StepS   float64
	Start   orbit.Time
	Points  []SkyPoint
	Zones   []SkyZone
	Best    []SkyPlace // the best first; nil when not asked for
	// BestAsked is set when Best was asked for, Measured when the horizon of
	// the base was measured.
	BestAsked, Measured bool
	// Mast is how high the antenna of each base would have to stand.
	Mast []MastAdvice
	// Rules are the results of sky-blocked, satellites-few and radio-shadow.
	Rules    []Result
	Findings []Finding
	Used     []LimitUse
	// Day is the sky itself, for pictures.
	Day *orbit.Day
}

// SkyPoint is one place that needs sky.
type SkyPoint struct {
	Feature *schema.Feature
	// What names the place beside the feature: "", "line-up point" or "worst
	// place".
	What string
	At   *Place
	// HiddenPercent is the part of the sky above the mask that is hidden.
	HiddenPercent float64
	// View is with what is known to hide sky; Unknown names what may hide more
	// of it, since its height is not told.
	View    *orbit.View
	Unknown []string
	// Words are the figures of View against the limits of its feature, MaskDeg
	// among them.
	Words   string
	MaskDeg float64
	// BlockedBy names what hides sky above the mask, the most first.
	BlockedBy []string
	Horizon   *orbit.Horizon
	// wide is set where more is hidden than narrowSkyServes lets be, served where a
	// View was not needed.
	wide, served bool

	ground  orb.Point
	antenna float64
}

// SkyZone is what a zone's ground sees and hears.
type SkyZone struct {
	Feature *schema.Feature
	// AreaM2 is the ground looked at; ThinM2 that with fewer satellites or a
	// weaker fix than the limits for more of the day than thin_share_percent;
	// UnknownM2 that which is not thin as far as is known, near things of
	// unknown height; each to a cell of CellM metres.
	AreaM2, ThinM2, UnknownM2, CellM float64
	// Thin is the outline of that ground, on the ground.
	Thin orb.MultiPolygon
	// Cells are the places looked at.
	Cells []SkyCell
	// LossDB is the greatest loss of the radio over free space, NaN when not
	// known, and DeafM2 the ground where it is over radio_loss_db.
	LossDB, DeafM2 float64
	// Few says when a place of it is thin, and FewPercent for how much of the
	// day it may be.
	Few        string
	FewPercent float64

	areas orb.MultiPolygon
}

// SkyCell is one place of a zone: its middle on the ground, the share of the
// day in which it is thin (NaN when not known), and the loss of the radio in dB
// (NaN when not known).
type SkyCell struct {
	At     orb.Point
	Thin   float64
	LossDB float64

	by *Feature // what hides sky there, that which rises highest; nil for nothing
}

// SkyPlace is a place for the base.
type SkyPlace struct {
	Building *schema.Feature
	// Side is the side of the building, such as "west".
	Side string
	At   *Place
	// MastM is the height of the antenna above the roof, and AntennaM above the
	// ground.
	MastM, AntennaM float64
	HiddenPercent   float64
	View            *orbit.View
	ThinShare       float64
	Words           string

	// Ground is At on the ground, Horizon what hides sky there.
	Ground  orb.Point
	Horizon *orbit.Horizon

	awayM float64 // from the nearest base
}

// MastAdvice is how high an antenna must stand at a base's own place so that no
// more than half a percent of its sky is hidden; HeightM is NaN where no mast
// of up to MostMastM above today's does it.
type MastAdvice struct {
	Base          *schema.Feature
	NowM, HeightM float64
	// HiddenPercent and Words are the figures at HeightM.
	HiddenPercent float64
	Words         string
}

// MostMastM is the highest mast above today's antenna that is tried, in metres:
// more is a case for a rigger (common practice, no source).
const MostMastM = 12

// checkSteps is how many moments of the nominal day a check looks at: hourly.
// The sky command looks every five minutes.
const checkSteps = 24

// checkPlaces is how many places of all zones together a check looks from.
const checkPlaces = 60

// dayOf returns the nominal day over the site for a check, hourly.
func (r *run) dayOf() *orbit.Day {
	if r.day != nil {
		return r.day
	}
	lon, lat := r.Lon, r.Lat
	if r.Frame != FrameEarth {
		return nil
	}
	lowest := r.limits.SkyMaskDeg // nobody looks below their mask
	for _, l := range r.own {
		lowest = math.Min(lowest, l.SkyMaskDeg)
	}
	d, err := orbit.NominalDay(crs.Geodetic{Lon: crs.Degrees(lon), Lat: crs.Degrees(lat), H: crs.Metres(r.H)}, checkSteps, lowest-0.01)
	if err != nil {
		r.cannot("the sky over the site cannot be computed: %v", err)
		return nil
	}
	r.day, r.ownDay = d, true
	return d
}

// unknownHeightM is how high a building, or a tree, of unknown height is taken
// to be at the most when it is asked which places it may shade (from memory: a
// house of three floors with its roof, a grown tree).
const unknownHeightM = 30

// shade is everything that hides sky, and what may.
type shade struct {
	sky *skyline
	// unknown are things without a height.
	unknown []*Feature
	// open are the skies with nothing above the mask, by mask.
	open map[float64]*openSky
	*silhouette
	parts []orbit.Sector // of the last observer
}

// openSky is a sky with nothing above the mask, and what the run's day shows of
// it, nil until it is asked for.
type openSky struct {
	horizon *orbit.Horizon
	seen    *orbit.Open
}

// openAbove is the sky with nothing above the mask.
func (s *shade) openAbove(mask float64) *openSky {
	o := s.open[mask]
	if o == nil {
		o = &openSky{horizon: &orbit.Horizon{}}
		o.horizon.HideBelow(mask)
		if s.open == nil {
			s.open = map[float64]*openSky{}
		}
		s.open[mask] = o
	}
	return o
}

// seenIn is what the day shows of it.
func (o *openSky) seenIn(day *orbit.Day) *orbit.Open {
	if o.seen == nil {
		o.seen = day.Open(o.horizon)
	}
	return o.seen
}

func (r *run) shadeOf() *shade {
	if r.shade == nil {
		s := &shade{sky: r.skyline(), silhouette: &r.scratchOf().silhouette}
		for _, f := range r.Features {
			if f.usable() && (f.Role == schema.RoleBuilding || f.Role == schema.RoleHazard && isTree(f)) {
				if h, ok := f.tall(); !ok || h <= 0 {
					s.unknown = append(s.unknown, f)
				}
			}
		}
		r.shade = s
	}
	return r.shade
}

// mayShade names the things of unknown height that might hide sky above the
// mask at a place.
func (s *shade) mayShade(at orb.Point, maskDeg float64) []string {
	reach := float64(MaxSpanM)
	if t := math.Tan(maskDeg * (math.Pi / 180)); t > 0 {
		reach = unknownHeightM / t
	}
	var out []string
	for _, f := range s.unknown {
		b := f.Bound()
		dx := math.Max(0, math.Max(b.Min[0]-at[0], at[0]-b.Max[0]))
		dy := math.Max(0, math.Max(b.Min[1]-at[1], at[1]-b.Max[1]))
		if math.Hypot(dx, dy) < reach {
			out = append(out, f.describe())
		}
	}
	return out
}

// horizonAt builds the horizon of an observer: the mask, and what stands above
// it. by are the blockers that hide sky above the mask, the one that rises
// highest first. Without any, the horizon is the open one, which is not to be
// changed.
func (r *run) horizonAt(o *observer, s *shade, mask float64) (h *orbit.Horizon, by []*blocker) {
	about := s.sky.about(o.at.Bound(), mask, o.ground)
	open := s.openAbove(mask).horizon
	if len(about) == 0 {
		return open, nil
	}
	h = new(orbit.Horizon)
	if by = s.lay(h, open, o, about, mask); len(by) == 0 {
		return open, nil
	}
	return h, by
}

// lay makes h the horizon of an observer among the blockers about it, from the
// open one; by are those that hide sky above the mask, as of horizonAt.
func (s *shade) lay(h, open *orbit.Horizon, o *observer, about []*blocker, mask float64) (by []*blocker) {
	type rise struct {
		b   *blocker
		deg float64
	}
	var list []rise
	t := math.Tan(mask * (math.Pi / 180))
	for _, b := range about {
		up := o.above(b)
		if !risesTo(t, up, o.at, b) {
			continue
		}
		low := 0.0
		if base, ok := b.f.Float(schema.PropCrownBaseM); ok && base > 0 && base < b.height && b.f.Role == schema.RoleHazard {
			low = up - (b.height - base) // of the crown, over the antenna
		}
		if list == nil {
			*h = *open
		}
		deg := s.hide(h, o.at, b, up, low)
		if deg > mask {
			list = append(list, rise{b, deg})
		}
	}
	sort.SliceStable(list, func(i, k int) bool { return list[i].deg > list[k].deg })
	for _, x := range list {
		by = append(by, x.b)
	}
	return by
}

// risesTo reports whether a blocker whose top stands up metres over the antenna
// may rise to the elevation of that tangent.
func risesTo(tan, up float64, at orb.Point, b *blocker) bool {
	return up > 0 && !(tan > 0 && tan*boxesApart(at.Bound(), b.bound) > 1.001*up)
}

// arcOver is the width, in degrees of azimuth, of a part of the sky that holds all
// of the sectors, 0 for none.
func arcOver(parts []orbit.Sector) float64 {
	if len(parts) == 0 {
		return 0
	}
	from, to := 0.0, 0.0
	middle := (parts[0].From + parts[0].To) / 2
	for i := range parts {
		at, half := math.Remainder((parts[i].From+parts[i].To)/2-middle, 360), (parts[i].To-parts[i].From)/2
		from, to = math.Min(from, at-half), math.Max(to, at+half)
	}
	return to - from
}

// servedBehind reports whether the sectors lie in a part of the sky servedArc
// wide, or in two half as wide, so that narrowSkyServes holds behind them.
func servedBehind(parts []orbit.Sector) bool {
	if arcOver(parts) <= servedArc {
		return true
	}
	n := 1
	for n < len(parts) && arcOver(parts[:n+1]) <= servedArc/2 {
		n++
	}
	return arcOver(parts[:n]) <= servedArc/2 && arcOver(parts[n:]) <= servedArc/2
}

// sectors are parts of the sky that hold all that lay hides of it.
func (s *shade) sectors(o *observer, about []*blocker, mask float64) []orbit.Sector {
	const deg, slack = 180 / math.Pi, 0.51 // a Horizon hides whole halves of a degree
	t := math.Tan(mask / deg)
	s.parts = s.parts[:0]
	for _, b := range about {
		up := o.above(b)
		if !risesTo(t, up, o.at, b) {
			continue
		}
		at, radius := b.within()
		dx, dy := at[0]-o.at[0], at[1]-o.at[1]
		away := math.Sqrt(dx*dx + dy*dy)
		if !(away > radius) {
			s.parts = append(s.parts, orbit.Sector{From: 0, To: 360, High: 90})
			continue
		}
		to, half := math.Atan2(dx, dy)*deg, math.Asin(radius/away)*deg+slack
		s.parts = append(s.parts, orbit.Sector{From: to - half, To: to + half, High: elevation(up, away-radius)})
	}
	return s.parts
}

// silhouette is the nearest and the farthest distance of something in each
// direction, 0 where it is not seen; directions are those in which it is.
type silhouette struct {
	near, far  [skyAzimuths]float64
	directions []int32
}

// hide lays a blocker into a horizon and returns the elevation it rises
// to, in degrees. Its top stands up metres over the antenna, and its lowest
// part low metres; low is 0 or less for what stands on the ground. A ray
// through a crown from near to far leaves it between low/far and up/near.
func (s *silhouette) hide(h *orbit.Horizon, at orb.Point, b *blocker, up, low float64) float64 {
	if len(b.areas) > 0 && plane.Locate(at, b.areas) != plane.Outside {
		from := 0.0
		if low > 0 {
			d, _ := farCorner(at, b.areas)
			from = elevation(low, d)
		}
		h.Hide(0, 360, from, 90)
		return 90
	}
	for _, p := range b.solid {
		for _, ring := range p {
			for k := 1; k < len(ring); k++ {
				s.wall(at, ring[k-1], ring[k])
			}
		}
	}
	for _, d := range b.discs {
		s.disc(at, d)
	}
	for _, l := range b.lines {
		for k := 1; k < len(l); k++ {
			s.wall(at, l[k-1], l[k])
		}
	}
	most := 0.0
	for _, i := range s.directions {
		high := elevation(up, s.near[i])
		from := 0.0
		if low > 0 {
			from = elevation(low, s.far[i])
		}
		az := float64(i) * 360 / skyAzimuths
		h.Hide(az, az, from, high)
		most = math.Max(most, high)
		s.near[i], s.far[i] = 0, 0
	}
	s.directions = s.directions[:0]
	return most
}

func farCorner(at orb.Point, areas orb.MultiPolygon) (d float64, p orb.Point) {
	for _, a := range areas {
		for _, ring := range a {
			for _, q := range ring {
				if x := math.Hypot(q[0]-at[0], q[1]-at[1]); x > d {
					d, p = x, q
				}
			}
		}
	}
	return d, p
}

// wall notes, for each direction in which a wall ab is seen, the least and
// the greatest distance to it. A direction is half a degree wide and takes the
// nearest of its two sides and its middle.
func (s *silhouette) wall(o, a, b orb.Point) {
	ax, ay, bx, by := a[0]-o[0], a[1]-o[1], b[0]-o[0], b[1]-o[1]
	if ax*by-ay*bx == 0 {
		return // seen edge on
	}
	from, to := math.Atan2(ax, ay), math.Atan2(bx, by)
	turn := math.Remainder(to-from, 2*math.Pi)
	if turn < 0 {
		from, turn = to, -turn
	}
	const step = 2 * math.Pi / skyAzimuths
	first, last := int(math.Floor(from/step)), int(math.Floor((from+turn)/step))
	note := func(k int, sin, cos float64) {
		den := sin*(by-ay) - cos*(bx-ax)
		if den == 0 {
			return
		}
		if d := (ax*(by-ay) - ay*(bx-ax)) / den; d > 0 {
			s.note(k, d)
		}
	}
	turns := directions()
	for k := first; k <= last; k++ {
		if k > first && k < last {
			for part := range 3 {
				d := turns[wrapIndex(2*k+part, 2*skyAzimuths)]
				note(k, d[0], d[1])
			}
			continue
		}
		// At its ends the wall covers a part of a direction.
		for _, part := range [...]float64{0, 0.5, 1} {
			sin, cos := math.Sincos(math.Min(math.Max((float64(k)+part)*step, from), from+turn))
			note(k, sin, cos)
		}
	}
}

func (s *silhouette) note(k int, d float64) {
	i := wrapIndex(k, skyAzimuths)
	if s.near[i] == 0 {
		s.directions = append(s.directions, int32(i))
	}
	if s.near[i] == 0 || d < s.near[i] {
		s.near[i] = d
	}
	if d > s.far[i] {
		s.far[i] = d
	}
}

func wrapIndex(k, n int) int { return ((k % n) + n) % n }

// directions are sine and cosine of the bearings of every quarter of a degree.
var directions = sync.OnceValue(func() *[2 * skyAzimuths][2]float64 {
	out := new([2 * skyAzimuths][2]float64)
	for i := range out {
		out[i][0], out[i][1] = math.Sincos(float64(i) * math.Pi / skyAzimuths)
	}
	return out
})

// disc is wall for a disc: the ray at an angle t off its middle,
// D away, meets its circle at D cos t -+ sqrt(R^2 - D^2 sin^2 t).
func (s *silhouette) disc(o orb.Point, disc hazardDisc) {
	dx, dy := disc.at[0]-o[0], disc.at[1]-o[1]
	away := math.Hypot(dx, dy)
	if away <= disc.radius {
		return // within it, which the caller has seen
	}
	const step = 2 * math.Pi / skyAzimuths
	half := math.Asin(disc.radius / away)
	middle := math.Atan2(dx, dy)
	ray := func(t float64) (near, far float64) {
		sin, cos := math.Sincos(t - middle)
		across, along := away*sin, away*cos
		root := math.Sqrt(math.Max(0, disc.radius*disc.radius-across*across))
		return along - root, along + root
	}
	first, last := int(math.Floor((middle-half)/step)), int(math.Floor((middle+half)/step))
	near, far := ray(math.Max(float64(first)*step, middle-half))
	for k := first; k <= last; k++ {
		// The far side of one direction is the near side of the next.
		s.note(k, near)
		s.note(k, far)
		if float64(k)*step < middle && middle < float64(k+1)*step {
			n, f := ray(middle)
			s.note(k, n)
			s.note(k, f)
		}
		near, far = ray(math.Min(float64(k+1)*step, middle+half))
		s.note(k, near)
		s.note(k, far)
	}
}

// antennaOf is how high the machine's antenna stands for a feature.
func (r *run) antennaOf(f *Feature) float64 { return r.of(f).MachineAntennaM }

// skyPlaces are the points of a plan that need sky: bases, docks with their
// line-up points, and where it is asked for of each corridor the place with most
// of the sky hidden.
func (r *run) skyPlaces(along bool) []SkyPoint {
	s := r.shadeOf()
	var out []SkyPoint
	for _, f := range r.usableOf(schema.RoleBase) {
		for i := range f.Points {
			v := &f.Points[i]
			antenna, ok := f.Float(schema.PropAntennaHeight)
			if !ok || antenna < 0 {
				antenna = 0
			}
			o := observer{f: f, at: v.Ground, place: r.placeRead(f, v.Read, v.Ground), ground: math.NaN(), antenna: antenna}
			if v.Height == v.Height {
				o.ground = v.Height - antenna
			}
			p := r.skyPoint(&o, s, "")
			for _, b := range s.sky.list {
				if b.f.Role == schema.RoleBuilding && plane.Locate(o.at, b.areas) != plane.Outside && !(o.ground == o.ground && b.floor == b.floor) {
					p.Unknown = append(p.Unknown, b.f.describe()+" (on its roof or under it?)")
				}
			}
			out = append(out, p)
		}
	}
	for _, d := range r.docks() {
		antenna := r.antennaOf(d.f)
		out = append(out, r.skyPoint(&observer{f: d.f, at: d.at, place: r.placeRead(d.f, d.vertex.Read, d.at), ground: d.vertex.Height, antenna: antenna}, s, ""))
		if !math.IsNaN(d.heading) && d.standoff > 0 {
			out = append(out, r.skyPoint(&observer{f: d.f, at: d.lineup, place: r.Place(d.lineup), ground: d.vertex.Height, antenna: antenna}, s, "line-up point"))
		}
	}
	for _, c := range r.corridors() {
		if !along {
			break
		}
		o, mask := observer{f: c.f, ground: math.NaN(), antenna: r.antennaOf(c.f)}, r.of(c.f).SkyMaskDeg
		worst, most := orb.Point{}, -1.0
		for _, o.at = range alongLine(c.pts, 2) {
			h, _ := r.horizonAt(&o, s, mask)
			if hidden := 100 * h.HiddenShare(mask); hidden > most {
				worst, most = o.at, hidden
			}
		}
		if most >= 0 {
			o.at, o.place = worst, r.Place(worst)
			out = append(out, r.skyPoint(&o, s, "worst place"))
		}
	}
	return out
}

// alongLine gives points of a line at most so many metres apart, its corners
// among them; at most 400.
func alongLine(pts []orb.Point, apart float64) []orb.Point {
	length := 0.0
	for i := 1; i < len(pts); i++ {
		length += math.Hypot(pts[i][0]-pts[i-1][0], pts[i][1]-pts[i-1][1])
	}
	apart = math.Max(apart, length/400)
	var out []orb.Point
	for i, p := range pts {
		out = append(out, p)
		if i+1 == len(pts) {
			break
		}
		q := pts[i+1]
		n := int(math.Ceil(math.Hypot(q[0]-p[0], q[1]-p[1]) / apart))
		for k := 1; k < n; k++ {
			t := float64(k) / float64(n)
			out = append(out, orb.Point{p[0] + (q[0]-p[0])*t, p[1] + (q[1]-p[1])*t})
		}
	}
	return out
}

func (r *run) skyPoint(o *observer, s *shade, what string) SkyPoint {
	mask := r.of(o.f).SkyMaskDeg
	h, by := r.horizonAt(o, s, mask)
	p := SkyPoint{Feature: o.f.Feature, What: what, At: o.place, HiddenPercent: 100 * h.HiddenShare(mask), Horizon: h, Unknown: s.mayShade(o.at, mask),
		ground: o.at, antenna: o.antenna}
	for _, b := range by {
		p.BlockedBy = append(p.BlockedBy, b.f.describe())
	}
	if len(by) > 0 {
		p.wide = !servedBehind(s.sectors(o, s.sky.about(o.at.Bound(), mask, o.ground), mask))
	}
	return p
}

// Sky looks at the sky and the radio of a plan. The error says why there is no
// sky: a plan without a place on the earth, or orbits that cannot be used.
func Sky(p *schema.Plan, l schema.Limits, o SkyOptions) (*SkyReport, error) {
	site, err := Ground(p)
	if err != nil {
		return nil, err
	}
	switch site.Frame {
	case FrameNone:
		return nil, fmt.Errorf("the plan cannot be put on the ground: %s", site.Why)
	case FramePlane:
		return nil, fmt.Errorf("the plan does not say where on the earth it is, so nobody knows its sky")
	}
	r := newRun(site, l)
	out := &SkyReport{Site: site, Nominal: o.Satellites == nil, StepS: o.StepS, Start: o.Start}
	if out.StepS == 0 {
		out.StepS = 300
	}
	if r.day, err = skyDayOf(site, &o, out.StepS); err != nil {
		return nil, err
	}
	out.Day, out.Systems = r.day, orbit.Systems(r.day.Satellites)
	r.horizon, r.places = o.Horizon, o.Places
	out.BestAsked, out.Measured = o.Best, o.Horizon != nil
	if r.places == 0 {
		r.places = 400
	}
	out.Rules, out.Findings = r.judgeSky()
	out.Used = r.limitsUsed(out.Rules)
	out.Points, out.Zones = r.seen().points, r.seen().zones
	for i := range out.Points {
		if p := &out.Points[i]; p.View != nil {
			p.Words = skyWords(p.View, r.of(r.featureOf(p.Feature)))
		}
	}
	out.Mast = r.masts()
	if o.Best {
		out.Best = r.bestPlaces()
	}
	return out, nil
}

// skyDayOf is a day over the site, every step.
func skyDayOf(s *Site, o *SkyOptions, step float64) (*orbit.Day, error) {
	sats := o.Satellites
	if sats == nil {
		var err error
		if sats, err = orbit.Nominal(o.Start, o.Systems...); err != nil {
			return nil, err
		}
	} else if len(o.Systems) > 0 {
		sats = slices.DeleteFunc(slices.Clone(sats), func(x orbit.Satellite) bool { return !slices.Contains(o.Systems, x.System) })
	}
	if len(sats) == 0 {
		return nil, fmt.Errorf("no satellite of those systems is in the orbits")
	}
	return orbit.NewDay(sats, crs.Geodetic{Lon: crs.Degrees(s.Lon), Lat: crs.Degrees(s.Lat), H: crs.Metres(s.H)}, o.Start, step, int(86400/step))
}

// skyRules are the rules that a look at the sky reports on, of whatever
// command.
var skyRuleNames = []string{RuleSkyBlocked, RuleSatellitesFew, RuleRadioShadow}

func (r *run) judgeSky() ([]Result, []Finding) {
	var results []Result
	var findings []Finding
	for _, c := range []Command{CommandCheck, CommandSky} {
		res, found, _ := r.judgeOf(c, func(name string) bool { return slices.Contains(skyRuleNames, name) })
		results, findings = append(results, res...), append(findings, found...)
	}
	return results, findings
}

// seen is what the places of a run see, worked out once.
type seen struct {
	points []SkyPoint
	zones  []SkyZone
}

func (r *run) seen() *seen {
	if r.seenAll != nil {
		return r.seenAll
	}
	// A check judges no corridor, and of zones only whether they are thin.
	told := r.day != nil
	s := &seen{points: r.skyPlaces(told)}
	r.seenAll = s
	narrow := !told && r.narrowSkyServes()
	var day *orbit.Day
	if !narrow {
		if day = r.dayOf(); day == nil {
			return s
		}
	}
	for i := range s.points {
		p := &s.points[i]
		if narrow && !p.wide {
			p.served = true
			continue
		}
		if day == nil {
			if day = r.dayOf(); day == nil {
				return s
			}
		}
		if p.Feature.Role == schema.RoleBase && r.horizon != nil {
			p.Horizon = r.horizon.Over(p.Horizon)
			p.HiddenPercent = 100 * p.Horizon.HiddenShare(r.limits.SkyMaskDeg)
			p.Unknown = nil // it was measured
			p.BlockedBy = append(p.BlockedBy, "the horizon as measured")
		}
		p.View = r.viewFrom(p.Horizon, day)
		p.MaskDeg = r.of(r.featureOf(p.Feature)).SkyMaskDeg
	}
	total := 0.0
	zones := r.zones()
	for i := range zones.features {
		total += r.netOf(i).area()
	}
	for i := range zones.features {
		s.zones = append(s.zones, r.skyOver(i, total, told, narrow))
	}
	return s
}

// viewFrom is day.Behind, worked out once for the open sky.
func (r *run) viewFrom(h *orbit.Horizon, day *orbit.Day) *orbit.View {
	for _, o := range r.shadeOf().open {
		if o.horizon == h {
			return o.seenIn(day).View
		}
	}
	return day.Behind(h)
}

// skyOver looks at the sky from a raster over the i-th zone. The share of a
// place that is not thin is exact only where it is told. With narrow set a narrow
// part of the sky may be hidden, and the day is made only where more is.
func (r *run) skyOver(i int, total float64, told, narrow bool) SkyZone {
	f := r.zones().features[i]
	out := SkyZone{Feature: f.Feature, LossDB: math.NaN()}
	areas := r.netOf(i).areas
	out.areas = areas
	l := r.of(f)
	out.Few = fmt.Sprintf("fewer than %g satellites in sight, or PDOP over %s", math.Ceil(l.SatsMin), trim(l.PDOPMax, 1))
	out.FewPercent = l.ThinSharePercent
	area := r.netOf(i).area()
	if area <= 0 || total <= 0 {
		return out
	}
	s := r.shadeOf()
	n := max(4, int(float64(r.places)*area/total))
	// Of a sliver the raster is wide: it has to end.
	box := areasBound(areas)
	if narrow && len(s.unknown) == 0 && len(s.sky.about(box, l.SkyMaskDeg, lowestHeight(f))) == 0 {
		return out // nothing stands near
	}
	out.CellM = math.Max(math.Sqrt(area/float64(n)), math.Max(box.Max[0]-box.Min[0], box.Max[1]-box.Min[1])/skyAcross)
	ground := lowestHeight(f)
	above, least := s.openAbove(l.SkyMaskDeg), int(math.Ceil(l.SatsMin))
	openThin := 0.0
	if !narrow {
		openThin = above.seenIn(r.day).View.ShareBad(least, l.PDOPMax)
	}
	var h orbit.Horizon
	var thin orb.MultiPolygon
	each(areas, r.netOf(i).locator(), out.CellM, func(at orb.Point) {
		cell := SkyCell{At: at, LossDB: math.NaN()}
		cellArea := out.CellM * out.CellM
		out.AreaM2 += cellArea
		o := observer{f: f, at: at, ground: ground, antenna: l.MachineAntennaM}
		cell.Thin = openThin
		about := s.sky.about(at.Bound(), l.SkyMaskDeg, ground)
		if len(about) > 0 && !told {
			parts := s.sectors(&o, about, l.SkyMaskDeg)
			if narrow && servedBehind(parts) {
				about = nil
			} else if day := r.dayOf(); day == nil {
				about, cell.Thin = nil, 1 // and dayOf said why
			} else if most := above.seenIn(day).MostBadBehind(parts, least, l.PDOPMax); 100*most <= l.ThinSharePercent {
				about, cell.Thin = nil, most
			}
		}
		if len(about) > 0 {
			if by := s.lay(&h, above.horizon, &o, about, l.SkyMaskDeg); len(by) > 0 {
				cell.Thin, cell.by = above.seenIn(r.day).ShareBadBehind(&h, least, l.PDOPMax), by[0].f
			}
		}
		switch {
		case 100*cell.Thin <= l.ThinSharePercent && len(s.mayShade(at, l.SkyMaskDeg)) > 0:
			cell.Thin = math.NaN() // open as far as is known
			out.UnknownM2 += cellArea
		case 100*cell.Thin > l.ThinSharePercent:
			out.ThinM2 += cellArea
			half := out.CellM / 2
			thin = append(thin, orb.Polygon{{{at[0] - half, at[1] - half}, {at[0] + half, at[1] - half}, {at[0] + half, at[1] + half}, {at[0] - half, at[1] + half}, {at[0] - half, at[1] - half}}})
		}
		if told || cell.Thin > 0 {
			out.Cells = append(out.Cells, cell)
		}
	})
	if len(thin) > 0 {
		if joined, err := plane.Union(thin, nil); err == nil {
			if cut, err := plane.Intersection(joined, areas); err == nil {
				out.Thin = cut
			}
		}
	}
	return out
}

// each calls f for the middles of a raster's cells that lie in areas.
func each(areas orb.MultiPolygon, locator *plane.Locator, step float64, f func(at orb.Point)) {
	box := areasBound(areas)
	for y := box.Min[1] + step/2; y < box.Max[1]; y += step {
		for x := box.Min[0] + step/2; x < box.Max[0]; x += step {
			if at := (orb.Point{x, y}); locator.Locate(at) != plane.Outside {
				f(at)
			}
		}
	}
}

// masts says how high each base's antenna would have to stand. A horizon that
// was measured holds at the height it was measured at, and says nothing of
// others.
func (r *run) masts() []MastAdvice {
	var out []MastAdvice
	if r.horizon != nil {
		return nil
	}
	s := r.shadeOf()
	for _, p := range r.seen().points {
		if p.Feature.Role != schema.RoleBase || p.HiddenPercent < leastHidden || len(p.Unknown) > 0 {
			continue
		}
		f := r.featureOf(p.Feature)
		advice := MastAdvice{Base: p.Feature, NowM: p.antenna, HeightM: math.NaN()}
		o := observer{f: f, at: p.ground, ground: math.NaN()}
		if v := &f.Points[0]; v.Height == v.Height {
			o.ground = v.Height - p.antenna
		}
		mask := r.of(f).SkyMaskDeg
		for up := 0.1; up <= MostMastM; up += 0.1 {
			o.antenna = p.antenna + up
			h, _ := r.horizonAt(&o, s, mask)
			if hidden := 100 * h.HiddenShare(mask); hidden < leastHidden {
				advice.HeightM, advice.HiddenPercent = math.Round(o.antenna*10)/10, hidden
				advice.Words = skyWords(r.dayOf().Behind(h), r.of(f))
				break
			}
		}
		out = append(out, advice)
	}
	return out
}

func (r *run) featureOf(f *schema.Feature) *Feature {
	for _, g := range r.Features {
		if g.Feature == f {
			return g
		}
	}
	return nil
}

// mastsTried are the heights of an antenna over the roof that are tried, in
// metres.
var mastsTried = [...]float64{0.5, 1, 1.2, 1.5, 2, 3}

// bestPlaces searches the outlines of buildings for places from which a base
// sees most: every half metre, with the masts of mastsTried; of each side of a
// building the lowest mast that sees as much as any. At most 10 are returned.
func (r *run) bestPlaces() []SkyPlace {
	day, s := r.dayOf(), r.shadeOf()
	l := &r.limits
	var out []SkyPlace
	for _, f := range r.usableOf(schema.RoleBuilding) {
		height, ok := f.Float(schema.PropHeightM)
		if !ok || height <= 0 {
			continue
		}
		for _, a := range f.Areas {
			if len(a.Ground) == 0 {
				continue
			}
			ring := a.Ground[0]
			middle := ring.Bound().Center()
			for k := 1; k < len(ring); k++ {
				if best := r.bestOnWall(f, height, ring[k-1], ring[k], middle, s, day, l); best != nil {
					out = append(out, *best)
				}
			}
		}
	}
	// Half a percent of the day or of the sky is no reason for a longer mast.
	half := func(percent float64) float64 { return math.Round(2 * percent) }
	slices.SortStableFunc(out, func(a, b SkyPlace) int {
		return cmp.Or(cmp.Compare(half(100*a.ThinShare), half(100*b.ThinShare)), cmp.Compare(half(a.HiddenPercent), half(b.HiddenPercent)),
			cmp.Compare(a.MastM, b.MastM), cmp.Compare(a.awayM, b.awayM), cmp.Compare(a.HiddenPercent, b.HiddenPercent))
	})
	if len(out) > 10 {
		out = out[:10]
	}
	return out
}

// bestOnWall is the lowest mast on a wall that hides no more than half a
// percent over the least that any does, and of those the place nearest to a
// base; nil where heights that are not told may hide sky all along it.
func (r *run) bestOnWall(f *Feature, height float64, a, b, middle orb.Point, s *shade, day *orbit.Day, l *schema.Limits) *SkyPlace {
	type try struct {
		at                 orb.Point
		mast, hidden, away float64
		horizon            *orbit.Horizon
	}
	var tries []try
	least := math.Inf(1)
	ground := lowestHeight(f)
	for _, at := range alongLine([]orb.Point{a, b}, 0.5) {
		if len(s.mayShade(at, l.SkyMaskDeg)) > 0 {
			continue
		}
		for _, mast := range mastsTried {
			o := observer{f: f, at: at, ground: ground, antenna: height + mast}
			h, _ := r.horizonAt(&o, s, l.SkyMaskDeg)
			hidden := 100 * h.HiddenShare(l.SkyMaskDeg)
			least = math.Min(least, hidden)
			tries = append(tries, try{at, mast, hidden, r.fromBase(at), h})
		}
	}
	var best *try
	for i := range tries {
		if t := &tries[i]; t.hidden <= least+0.5 && (best == nil || cmp.Or(cmp.Compare(t.mast, best.mast), cmp.Compare(t.away, best.away), cmp.Compare(t.hidden, best.hidden)) < 0) {
			best = t
		}
	}
	if best == nil {
		return nil
	}
	v := day.Behind(best.horizon)
	return &SkyPlace{Building: f.Feature, Side: sideOf(a, b, middle), At: r.Place(best.at), MastM: best.mast, AntennaM: height + best.mast,
		HiddenPercent: best.hidden, View: v, ThinShare: v.ShareBad(int(math.Ceil(l.SatsMin)), l.PDOPMax), Words: skyWords(v, l), Ground: best.at, Horizon: best.horizon, awayM: best.away}
}

// fromBase is how far in metres the nearest base stands, 0 where there is none.
func (r *run) fromBase(at orb.Point) float64 {
	away := math.Inf(1)
	for _, f := range r.usableOf(schema.RoleBase) {
		for i := range f.Points {
			q := f.Points[i].Ground
			away = math.Min(away, math.Hypot(at[0]-q[0], at[1]-q[1]))
		}
	}
	if math.IsInf(away, 1) {
		return 0
	}
	return away
}

// sideOf names the side of a building on which a wall stands, by the bearing
// from the building's middle across the wall.
func sideOf(a, b, middle orb.Point) string {
	nx, ny := b[1]-a[1], a[0]-b[0]
	mx, my := (a[0]+b[0])/2-middle[0], (a[1]+b[1])/2-middle[1]
	if nx*mx+ny*my < 0 {
		nx, ny = -nx, -ny
	}
	names := [...]string{"north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"}
	deg := bearingOf(orb.Point{}, orb.Point{nx, ny})
	return names[int(math.Round(deg/45))%8]
}
