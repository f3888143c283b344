// Hazards whose danger reaches past the margin of their kind: trains, fast traffic and
// aircraft, and the seat of a swing. What of hazard-uncovered is about them.

package validate

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// reaching is a sort of hazard whose danger reaches out, and the limit that says how far.
type reaching struct {
	limit string
	words []string
	// fenced is set where a wall or a fence between the two is enough.
	fenced bool
	mend   string
}

// reachStepM is how far apart, in metres, the places are at which driven ground is held
// against such a hazard.
const reachStepM = 1.0

const askOwner = "ask who runs it how far machines have to keep off and set that limit, move the edge away, or draw the wall or fence between"

// reachings are those sorts (the words common practice, no source), the farthest first.
var reachings = [...]reaching{
	{"hazard_margin_airfield_m", strings.Fields("runway taxiway taxilane helipad heliport airfield airstrip aerodrome helideck startbahn landebahn rollbahn rollweg landeplatz hubschrauberlandeplatz flugplatz flugfeld héliport hélistation hélisurface aérodrome atterrissage aeródromo aterrizaje helipuerto aeroporto atterraggio eliporto elisuperficie landingsbaan startbaan taxibaan helihaven helikopterplatform vliegveld landingsbane rullebane landningsbana startbana flygfält flyveplads flyplass kiitorata rullaustie helikopterikenttä"), true, askOwner},
	{"hazard_margin_fast_m", strings.Fields("rail rails railway railways railroad train trains tram tramway metro bahn eisenbahn bahnlinie bahnstrecke straßenbahn strassenbahn stadtbahn bahngleis gleis gleise schiene schienen ferrée ferroviaire ferrocarril tranvía férrea spoor spoorlijn spoorweg trambaan ferrovia binario binari tranvia järnväg jernbane sporvei spårväg sporvogn rautatie raitiotie " +
		"motorway highway freeway expressway autobahn schnellstraße schnellstrasse autoroute autopista autovía autostrada superstrada snelweg autosnelweg motorvej motorväg motorvei moottoritie"), true, askOwner},
	{"hazard_margin_swing_m", strings.Fields("swing swings seesaw schaukel schaukeln wippe balançoire balancelle columpio columpios altalena altalene schommel schommels gynge gynger gunga gungor huske husker keinu keinut"), false, "keep as far off as the seat reaches, by a keep-out or by the edge of the lawn"},
}

// reachingOf is the sort of a feature, by its kind or its name, nil for none.
func reachingOf(f *Feature) *reaching {
	for i := range reachings {
		if x := &reachings[i]; kindWord(f, x.words) != "" {
			return x
		}
	}
	return nil
}

// reachingThings tells of driven ground nearer to such a hazard than its limit, which no
// finding of its margin told.
func (r *run) reachingThings(zones *solids, corridors []corridorLine) {
	var barriers []*Feature
	for _, role := range [...]schema.Role{schema.RoleHazard, schema.RoleOther, schema.RoleEdge, schema.RoleKeepout} {
		for _, f := range r.usableOf(role) {
			if role == schema.RoleEdge && edgeKind(f) != schema.EdgeFlush && edgeKind(f) != schema.EdgeKerb {
				continue
			}
			x := reachingOf(f)
			if x == nil || role == schema.RoleKeepout && r.reachingDrawn(f, x) {
				continue
			}
			h, ok := r.standingShape(f)
			limits := r.of(f)
			limit, _ := limits.Get(x.limit)
			if !ok || h.geometry() == nil || limit <= 0 {
				continue
			}
			if x.fenced && barriers == nil {
				barriers = slices.Concat(r.usableOf(schema.RoleEdge), r.usableOf(schema.RoleBuilding))
			}
			r.tellReaching(&reachingThing{f: f, sort: x, gauge: plane.NewGauge(h.geometry()), box: h.bound.Pad(limit), limit: limit, barriers: barriers}, zones, corridors)
		}
	}
}

// reachingDrawn reports whether a thing of the same sort is drawn that a keep-out is for.
func (r *run) reachingDrawn(k *Feature, x *reaching) bool {
	limits := r.of(k)
	limit, _ := limits.Get(x.limit)
	for _, role := range [...]schema.Role{schema.RoleHazard, schema.RoleOther} {
		for _, f := range r.usableOf(role) {
			if f.bound.Pad(limit).Intersects(k.bound) && reachingOf(f) == x {
				return true
			}
		}
	}
	// One that has the seat's whole reach in it needs no more.
	if s := r.solidOf(k); !x.fenced && s.why == "" && len(s.areas) > 0 {
		_, deep := plane.GreatestDepth(s.areas, depthTolerance)
		return deep >= limit-slackM-depthTolerance
	}
	return false
}

// reachingThing is such a hazard with what is held against it.
type reachingThing struct {
	f        *Feature
	sort     *reaching
	gauge    *plane.Gauge
	box      orb.Bound
	limit    float64
	barriers []*Feature
}

// tellReaching tells the nearest driven ground of each zone and corridor.
func (r *run) tellReaching(x *reachingThing, zones *solids, corridors []corridorLine) {
	for _, i := range zones.near(x.box) {
		n := r.netOf(i)
		if !n.ok {
			continue
		}
		for _, l := range ringLines(n.areas) {
			if r.tellReachingLine(x, zones.features[i], "mown ground of ", l, 0) {
				break
			}
		}
	}
	for i := range corridors {
		c := &corridors[i]
		r.tellReachingLine(x, c.f, "the machine in ", c.pts, r.halfWidth(c.f))
	}
}

// tellReachingLine tells the place of a line that comes nearest to a hazard, with half of
// what is driven beside it, and with no wall or fence in between where that is enough.
func (r *run) tellReachingLine(x *reachingThing, of *Feature, what string, l orb.LineString, half float64) bool {
	if !boundOf(l).Pad(half).Intersects(x.box) {
		return false
	}
	margin := 0.0 // within which hazard-uncovered tells already
	if x.f.Role == schema.RoleHazard {
		margin = r.hazardMargin(x.f)
	}
	best, at, to := x.limit-slackM, orb.Point{}, orb.Point{}
	look := func(g *plane.Gauge) {
		d, p, q, near := g.Within(x.gauge, x.limit+half)
		if d = math.Max(0, d-half); near && d < best && !(x.sort.fenced && r.barred(p, q, x.barriers)) {
			best, at, to = d, p, q
		}
	}
	look(plane.NewGauge(l))
	if best == x.limit-slackM && x.sort.fenced {
		for _, p := range along(l, reachStepM) {
			look(plane.NewGauge(p))
		}
	}
	if best >= x.limit-slackM || best < margin-slackM || len(r.findings) >= mostFindings {
		return false
	}
	f := r.finding(r.Place(at), x.f, of)
	f.Severity = Note
	f.Measured, f.Limit, f.Unit = best, x.limit, "m"
	f.Trace = r.trace(at, to)
	bare := ""
	if x.sort.fenced {
		bare = ", with no wall or fence between"
	}
	f.Message = fmt.Sprintf("lies %s from %s%s%s, and %s is %s: %s", metresPast(best, x.limit), what, of.describe(), bare, x.sort.limit, metres(x.limit), x.sort.mend)
	return true
}

// along are places on a line no farther apart than a step, its points among them.
func along(l orb.LineString, step float64) (out []orb.Point) {
	for i := 1; i < len(l); i++ {
		n := math.Max(1, math.Min(1000, math.Ceil(distance(l[i-1], l[i])/step)))
		for k := 0.0; k < n; k++ {
			t := k / n
			out = append(out, orb.Point{l[i-1][0] + t*(l[i][0]-l[i-1][0]), l[i-1][1] + t*(l[i][1]-l[i-1][1])})
		}
	}
	return out
}

// barred reports whether a wall, a fence or a building stands between two places.
func (r *run) barred(p, q orb.Point, barriers []*Feature) bool {
	way := orb.LineString{p, q}
	box := boundOf(way)
	return slices.ContainsFunc(barriers, func(f *Feature) bool {
		if !f.bound.Intersects(box) || f.Role == schema.RoleEdge && !holdsUp(f) {
			return false
		}
		lines := f.lines()
		if f.Role == schema.RoleEdge {
			lines = r.barrier(f)
		}
		return slices.ContainsFunc(lines, func(l orb.LineString) bool { return len(appendPassed(nil, way, f, l)) > 0 })
	})
}

// poolGates notes the gates that a corridor goes through in a fence that is called after
// what people bathe in, or closes round that: such a gate shuts by itself, and one that
// stands open for the machine lets children in.
func (r *run) poolGates(corridors []corridorLine) {
	r.openings() // which finds the gates
	for i := range r.crossings {
		c := &r.crossings[i]
		if c.kind != schema.EdgeGate {
			continue
		}
		for _, l := range c.f.lines() {
			gate := plane.NewGauge(l)
			k := slices.IndexFunc(corridors, func(w corridorLine) bool {
				_, _, _, on := gate.Within(plane.NewGauge(w.pts), slackM)
				return on && len(w.pts) > 1
			})
			if k < 0 {
				continue
			}
			if fence, pool := r.poolFence(c.f, gate); fence != nil && len(r.findings) < mostFindings {
				x := r.finding(r.Place(l[0]), c.f, fence, corridors[k].f)
				x.Severity = Note
				x.Message = fmt.Sprintf("is a gate in %s, which keeps people from %s, and %s leads through it: a gate there has to shut by itself, and one that stands open for the machine lets children in; lead the machine another way, or draw two plans", fence.describe(), pool, corridors[k].f.describe())
			}
			break
		}
	}
}

// poolFence is the fence or wall about a bath that a gate is in, and what it keeps people
// from, nil for none.
func (r *run) poolFence(g *Feature, gate *plane.Gauge) (*Feature, string) {
	for _, f := range r.usableOf(schema.RoleEdge) {
		if !holdsUp(f) || !f.bound.Pad(crossingM).Intersects(g.bound) {
			continue
		}
		for _, l := range f.lines() {
			if _, _, _, near := gate.Within(plane.NewGauge(l), crossingM); !near {
				continue
			}
			if word := bathes(f); word != "" {
				return f, quote(word)
			}
			if word := bathes(g); word != "" {
				return f, quote(word)
			}
			if len(l) < 4 || distance(l[0], l[len(l)-1]) > crossingM {
				continue
			}
			ring := orb.Polygon{append(orb.Ring(slices.Clone(l)), l[0])}
			for _, role := range [...]schema.Role{schema.RoleHazard, schema.RoleKeepout, schema.RoleOther} {
				for _, h := range r.usableOf(role) {
					if bathes(h) != "" && plane.Locate(h.bound.Center(), ring) == plane.Inside {
						return f, h.describe()
					}
				}
			}
		}
	}
	return nil, ""
}
