// The rule base-in-zone: no mast, no outlet and no other dock stands on ground
// that is driven.

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

var baseZoneRules = []Rule{{
	Name: RuleBaseInZone, Severity: Error, Limits: []string{"machine_width_m", "turn_radius_m", "dock_standoff_m", "hazard_margin_m", "hazard_margin_water_m", "hazard_margin_drop_m", "hard_edge_strip_m", "power_line_m"}, Over: one(schema.RoleBase, schema.RoleSupply, schema.RoleDock, schema.RoleMark), run: checkBaseInZone,
	Page: Page{
		What: "Whether a base, or an outlet, which is a warning, stands on ground that is driven: in a zone and in no keep-out, or less than half the machine's width from the line of a corridor; " +
			"whether a dock stands nearer to the line of a corridor than half the machine that passes and half the one parked in it, or, where that leads to it, whether it or the way in lies nearer than half the machine on this side of the line-up point; and, where the plan has more docks than one, as a warning, whether a corridor to elsewhere passes a way in, up to where the machine may line up, nearer than half of either machine; and whether a base, an outlet or another dock stands in the way into a dock: " +
			"the strip of the machine's width from dock to line-up point and the disc of turn_radius_m about that point, which is an error for all three. " +
			"In another dock a machine may be parked: its middle has to be clear of the middle of the strip by half of either machine's width, beside the dock too, and of the line-up point by turn_radius_m and half its width; what stands behind the dock is not in the way. A dock on mown ground is common practice and no finding. " +
			"A base or an outlet that stands clear of these, but nearer than hazard_margin_m to mown ground, to what the machine covers in a corridor, or to the strip or the disc, is a warning, in a keep-out drawn tightly round it too. " +
			"One that stands in a building needs no more; one on its wall, which it stands out from by up to 0.1 m within hard_edge_strip_m, needs no more than that strip, from itself; one that stands farther from the wall keeps the margin. " +
			"A millimetre is rounding.",
		Parts: []Part{
			{"Water, things and other bases where one stands", "" +
				"And whether a base, an outlet, which are errors, or a mark, a warning, stands in water; on a road or in a drop, which is a warning for a base and an outlet; in a hazard of no known kind that cannot be told. " +
				"So is one in the midst of a keep-out that is called after water or, but for marks, a road, half as deep in it as it gets or more, with no such hazard drawn there. " +
				"An outlet nearer to water or to a drop, an edge of that kind too, than the margin of such a hazard is a warning, and one nearer than 2 m to a pool or a fountain, or to what people bathe or play in by its kind or name (swimming pond, hot tub, lido, splash pad), a note, in the role other and as a keep-out too. " +
				"A base nearer to a power line in the air than power_line_m is a warning: what any role but a building calls so (power line, overhead wire, catenary, high voltage, in ten languages), and does not call buried or says how deep it lies. " +
				"So is a base or an outlet within a playground, swing, trampoline, goal, tent, parasol or paddock, a base within a tree, and a base or a dock within what has the role other and is called a roof, house, hall, bridge, tunnel or wood. " +
				"A base on a thing that is drawn, a warning, or within 0.3 m of it (0.5 m of a trunk), a note: a hazard of a known kind but beds, terraces, rocks and what is made to carry (a pole, a pillar, a plinth), an edge, a small thing of the role other, a building or a thing of the role other whose name ends in a word for what moves (caravan, trailer, boat, tent, crane, container, tree, and not boat house); a wall, a lamp post or another post carries it where one of the two says so by a word of its name or a text. " +
				"An outlet in such a thing, but for walls, fences, kerbs, posts, lamps and cabinets, or less than 0.05 m from a gate or a ramp, is told; so is one at the very point of a base or a dock. " +
				"A base nearer to a dock's point than the machine is wide is a warning."},
		},
		Why:    "A machine that runs into the mast moves the antenna, and with it every outline; one that runs into an outlet meets mains electricity; one that runs into a dock breaks it, and the machine that stands there.",
		Source: sourcePractice,
		Fails:  "a base in the middle of a lawn",
		Passes: "the same base in a keep-out",
		Mend:   "draw a keep-out round it in a zone; by a corridor or a dock, move one or the other",
	},
}}

func checkBaseInZone(r *run) {
	if !r.onGround() {
		return
	}
	zones := r.needZones()
	r.standsInWater()
	r.standsInKept()
	r.outletsAtEdges()
	r.outletsAtBaths()
	r.underLines()
	for _, role := range [...]schema.Role{schema.RoleBase, schema.RoleSupply, schema.RoleDock} {
		for _, f := range r.Of(role) {
			if !f.usable() {
				r.cannot("%s cannot be measured", f.describe())
				continue
			}
			for i := range f.Points {
				r.standsInWay(f, f.Points[i].Ground, zones)
				r.standsUnder(f, f.Points[i].Ground)
				r.standsOn(f, f.Points[i].Ground)
			}
		}
	}
	r.atOnePoint()
}

// standsInWay tells of what stands at p and is driven over.
func (r *run) standsInWay(f *Feature, p orb.Point, zones *solids) {
	tell := func(other *Feature, limit, measured float64, words string) *Finding {
		x := r.finding(r.Place(p), f, other)
		if f.Role == schema.RoleSupply {
			x.Severity = Warning
		}
		x.Measured, x.Limit, x.Unit = measured, limit, "m"
		x.Message = words
		return x
	}
	margin := 0.0 // past what is driven
	if f.Role != schema.RoleDock {
		margin = r.standingMargin(f, p)
	}
	reach := math.Max(margin, 2*slackM)
	for _, i := range zones.near(p.Bound().Pad(reach)) {
		if f.Role == schema.RoleDock {
			break // which may stand on the lawn
		}
		n := r.netOf(i)
		z := zones.features[i]
		d, _, _, near := n.within(plane.NewGauge(p), reach)
		switch {
		case !near || d > slackM && d >= margin-slackM:
		case !n.ok: // a keep-out may cover it
			r.cannot("what keep-outs leave of %s cannot be told", z.describe())
		case d > slackM:
			tell(z, margin, d, fmt.Sprintf("stands %s from mown ground of %s; it needs %s", metresPast(d, margin), z.describe(), metres(margin))).Severity = Warning
		default:
			tell(z, math.NaN(), math.NaN(), "stands on mown ground of "+z.describe()+", in no keep-out")
		}
	}
	r.standsByCorridors(f, p, margin, tell)
	docks := r.docks()
	for i := range docks {
		d := &docks[i]
		if d.f == f && d.at == p {
			continue
		}
		half, turn := r.halfWidth(d.f), r.of(d.f).TurnRadiusM
		parked := 0.0 // half of the machine that stands in a dock
		if f.Role == schema.RoleDock {
			parked = r.halfWidth(f)
		}
		if math.IsNaN(d.heading) {
			if distance(p, d.at) < d.standoff+turn+parked {
				r.cannot("%s may stand in the way into %s, which has no heading_deg", f.describe(), d.f.describe())
			}
			continue
		}
		if f.Role == schema.RoleDock {
			switch strip, disc := d.parkedBeside(p); {
			case strip < half+parked-slackM:
				tell(d.f, half+parked, strip, fmt.Sprintf("stands in the way into %s, %s from its middle: a machine parked in the one is hit on the way into the other, and the two need %s; move one dock", d.f.describe(), metresPast(strip, half+parked), metres(half+parked)))
			case disc < turn+parked-slackM:
				x := tell(d.f, turn+parked, disc, fmt.Sprintf("stands %s from the line-up point of %s: to turn there beside a parked machine takes %s; move one dock", metresPast(disc, turn+parked), d.f.describe(), metres(turn+parked)))
				x.Trace = r.trace(d.lineup, p)
			}
			continue
		}
		for _, more := range [...]float64{0, margin} {
			w := r.wayBeside(d, slackM, more)
			strip, disc, _, _, ok := w.blocked(r, &hazardShape{points: []orb.Point{p}, bound: p.Bound()})
			if !ok || math.IsInf(strip, 1) && math.IsInf(disc, 1) {
				continue
			}
			severity, needs := Error, ""
			if more > 0 {
				severity, needs = Warning, fmt.Sprintf(", and it needs %s more", metres(more))
			}
			if !math.IsInf(strip, 1) {
				where := "in"
				if more > 0 {
					where = "beside"
				}
				tell(d.f, half+more, strip, fmt.Sprintf("stands %s the way into %s, %s from its middle; half the machine is %s wide%s", where, d.f.describe(), metresPast(strip, half+more), metres(half), needs)).Severity = severity
				break
			}
			x := tell(d.f, turn+more, disc, fmt.Sprintf("stands %s from the line-up point of %s; to turn there the machine needs %s%s", metresPast(disc, turn+more), d.f.describe(), metres(turn), needs))
			x.Severity = severity
			x.Trace = r.trace(d.lineup, p)
			break
		}
	}
}

// standsByCorridors tells of the corridors on which a machine comes too near to what
// stands at p, which needs margin metres more than the machine is wide.
func (r *run) standsByCorridors(f *Feature, p orb.Point, margin float64, tell func(other *Feature, limit, measured float64, words string) *Finding) {
	for _, c := range r.corridors() {
		if c.leadsTo(f, p) {
			r.overOwnDock(f, p, &c)
			continue
		}
		half := r.of(c.f).MachineWidthM / 2
		switch d, _, _ := plane.NewGauge(p).Clearance(plane.NewGauge(c.pts)); {
		case d < half-slackM:
			tell(c.f, half, d, fmt.Sprintf("stands %s from the line of %s; half the machine is %s wide", metresPast(d, half), c.f.describe(), metres(half)))
		case f.Role == schema.RoleDock:
			if parked := r.halfWidth(f); d < half+parked-slackM {
				tell(c.f, half+parked, d, fmt.Sprintf("stands %s from the line of %s: a machine that passes hits the dock, or the one parked in it, which is about as wide; the two need %s: move the dock or the corridor", metresPast(d, half+parked), c.f.describe(), metres(half+parked)))
				continue
			}
			r.passesWayIn(f, p, &c)
		case d < half+margin-slackM:
			tell(c.f, half+margin, d, fmt.Sprintf("stands %s from the line of %s; half the machine is %s wide, and it needs %s more", metresPast(d, half+margin), c.f.describe(), metres(half), metres(margin))).Severity = Warning
		}
	}
}

// overOwnDock tells a corridor that leads to a dock and, before its end, comes
// nearer to it than half the machine: to the dock, or across the way in on this
// side of the line-up point.
func (r *run) overOwnDock(f *Feature, p orb.Point, c *corridorLine) {
	for _, d := range r.docks() {
		if d.f != f || d.at != p {
			continue
		}
		half, way := r.halfWidth(c.f), d.standoff
		keep := way - half - r.of(f).DockReachM // from there on it may line up
		inner := d.at
		if keep > slackM && !math.IsNaN(d.heading) {
			inner = orb.Point{d.at[0] + (d.lineup[0]-d.at[0])*keep/way, d.at[1] + (d.lineup[1]-d.at[1])*keep/way}
		}
		limit := math.Min(half, way-r.of(f).DockReachM)
		off, at, _ := plane.NewGauge(orb.LineString(c.pts)).Clearance(plane.NewGauge(orb.LineString{d.at, inner}))
		if off < limit-slackM {
			x := r.finding(r.Place(at), f, c.f)
			x.Measured, x.Limit, x.Unit = off, limit, "m"
			x.Message = fmt.Sprintf("%s, which leads to it, passes %s from it or from the way in before its line-up point; half the machine is %s wide: lead it round, to end at the line-up point", c.f.describe(), metresPast(off, limit), metres(half))
		}
	}
}

// passesWayIn tells, of more docks than one, a corridor to elsewhere on which a
// machine passes one that drives into the dock at p, blind: along the way in, or
// across it, on this side of where it may line up.
func (r *run) passesWayIn(f *Feature, p orb.Point, c *corridorLine) {
	docks := r.docks()
	for i := range docks {
		d := &docks[i]
		if len(docks) < 2 || d.f != f || d.at != p || math.IsNaN(d.heading) {
			continue
		}
		half, own := r.halfWidth(c.f), r.halfWidth(f)
		keep := d.standoff - half - r.of(f).DockReachM
		if keep <= slackM {
			continue
		}
		inner := orb.Point{d.at[0] + (d.lineup[0]-d.at[0])*keep/d.standoff, d.at[1] + (d.lineup[1]-d.at[1])*keep/d.standoff}
		off, at, _ := plane.NewGauge(c.pts).Clearance(plane.NewGauge(orb.LineString{d.at, inner}))
		if off < half+own-slackM {
			x := r.finding(r.Place(at), f, c.f)
			x.Severity = Warning
			x.Measured, x.Limit, x.Unit = off, half+own, "m"
			x.Message = fmt.Sprintf("%s passes %s from the middle of the way into it; a machine that docks there drives blind, and one that comes by needs %s from its middle: move the dock or the corridor", c.f.describe(), metresPast(off, half+own), metres(half+own))
		}
	}
}

// parkedBeside measures how far another dock is from the middle of the way into
// this one, +Inf where it is behind this one or past the line-up point, and from
// that point.
func (d *dockSpot) parkedBeside(p orb.Point) (strip, disc float64) {
	strip, disc = math.Inf(1), distance(p, d.lineup)
	length := distance(d.at, d.lineup)
	if !(length > 2*slackM) {
		return strip, disc
	}
	u := orb.Point{(d.lineup[0] - d.at[0]) / length, (d.lineup[1] - d.at[1]) / length}
	along := (p[0]-d.at[0])*u[0] + (p[1]-d.at[1])*u[1]
	if along >= -slackM && along <= length {
		strip = math.Abs((p[1]-d.at[1])*u[0] - (p[0]-d.at[0])*u[1])
	}
	return strip, disc
}

// outletReachM is how far, in metres, an outlet or the foot of a mast stands out
// from the wall that it is fixed to (common practice, no source).
const outletReachM = 0.1

// standingMargin is what a base or an outlet at p needs past what is driven: 0
// in a building, for one that is fixed to a wall the strip left uncut along that,
// for it stands out from it, and hazard_margin_m anywhere else.
func (r *run) standingMargin(f *Feature, p orb.Point) float64 {
	margin := r.of(f).HazardMarginM
	b := r.buildings()
	for _, k := range b.near(p.Bound().Pad(r.greatestStrip())) {
		strip := r.of(b.features[k]).HardEdgeStripM
		off, _, _, ok := plane.NewGauge(p).Within(b.gauge(k), strip)
		switch {
		case !ok:
		case b.locator(k).Locate(p) == plane.Inside:
			return 0
		case off <= math.Max(0, strip-outletReachM)+slackM:
			margin = math.Min(margin, strip)
		}
	}
	return margin
}

// standsInWater tells of bases, outlets and marks that stand in water.
func (r *run) standsInWater() {
	for _, h := range r.Of(schema.RoleHazard) {
		k := kindsOf(h)
		if !k.grave() || !h.usable() {
			continue
		}
		shape := r.hazardShape(h)
		if shape.why != "" {
			continue // hazard-uncovered says so
		}
		for _, role := range [...]schema.Role{schema.RoleBase, schema.RoleSupply, schema.RoleMark} {
			for _, f := range r.Of(role) {
				for i := range f.Points {
					p := f.Points[i].Ground
					if !f.usable() || role == schema.RoleMark && k.gravest != "water" && !k.open {
						continue
					}
					if !shape.covers(p) {
						r.outletBeside(f, p, h, &shape)
						continue
					}
					if k.open {
						r.cannot("%s stands in %s, which may be water: %s", f.describe(), h.describe(), k.unclear())
						continue
					}
					x := r.finding(r.placeRead(f, f.Points[i].Read, p), f, h)
					x.Message = "stands in the water of " + h.describe()
					if k.gravest != "water" {
						x.Message = fmt.Sprintf("stands in %s, which is %s: one of the two is drawn in the wrong place", h.describe(), graveWords[k.gravest])
					}
					if role == schema.RoleMark || k.gravest != "water" {
						x.Severity = Warning
					}
				}
			}
		}
	}
}

// standsInKept tells of bases, outlets and marks in the midst of a keep-out that is
// called after water, the first two after a road too, with no such hazard drawn there.
func (r *run) standsInKept() {
	for _, k := range r.Of(schema.RoleKeepout) {
		c := calledOf(k)
		if c.kind != "water" && !(c.kind == "road" && c.alone) || c.side || !k.usable() || len(k.Areas) == 0 {
			continue
		}
		for _, role := range [...]schema.Role{schema.RoleBase, schema.RoleSupply, schema.RoleMark} {
			for _, f := range r.Of(role) {
				if !f.usable() || role == schema.RoleMark && c.kind != "water" || saysAny(f.Name, islandWords) || saysAny(f.Name, bridgeWords) {
					continue
				}
				for i := range f.Points {
					p := f.Points[i].Ground
					if !k.bound.Contains(p) {
						continue
					}
					if s := r.solidOf(k); s.why == "" && r.inMidst(k, s.areas, p) {
						x := r.finding(r.placeRead(f, f.Points[i].Read, p), f, k)
						x.Severity = Warning
						x.Message = fmt.Sprintf("stands in the midst of %s, which is %s by its name: one of the two is drawn in the wrong place, and the water or the road lies where nothing is drawn; measure both, or give the keep-out another name", k.describe(), quote(c.word))
					}
				}
			}
		}
	}
}

// bathZoneM is how far, in metres, zone 1 of a swimming pool or a fountain reaches
// out from the rim of its basin (IEC 60364-7-702:2010, 702.30.103).
const bathZoneM = 2.0

// Words for basins in which people bathe or that they play in: whole ones, how one begins,
// and, after water or splash, the other half (common practice, no source).
var (
	bathWords = strings.Fields("pool fountain hottub tub spa lido onsen spray springbrunnen schwimmbecken piscine fontaine pataugeoire piscina balneario fuente fontana zwembad fontein springvand fontäne fontän svømmebassin simbassäng svømmebasseng fontene suihkulähde palju poreallas")
	bathStems = strings.Fields("bath bade badi badz swim schwimm plansch kneipp whirl jacuzzi zwem baign bañ balnea nuot svøm simm simb sima uima idromassag hydromassag")
	playWater = setOf("play playground pad pads park slide slides spielplatz rutsche spiel jeux juegos giochi speelplaats")
)

// bathes is the word of a name or kind by which people bathe in a thing, "" for none.
func bathes(f *Feature) string {
	if w := kindWord(f, bathWords); w != "" {
		return w
	}
	for _, text := range [...]string{f.Name, f.Attributes.Get(schema.PropHazardKind).Text()} {
		words := letterWords(text)
		for i, w := range words {
			if slices.ContainsFunc(bathStems, func(stem string) bool { return strings.HasPrefix(w, stem) }) || strings.HasPrefix(w, "wasserspiel") {
				return w
			}
			if i > 0 && playWater[w] && (words[i-1] == "water" || words[i-1] == "splash" || kindOfWord(words[i-1]) == "water") {
				return words[i-1] + " " + w
			}
		}
	}
	return ""
}

// outletsAtBaths is outletBeside for basins that are no hazards, or hazards of no grave kind.
func (r *run) outletsAtBaths() {
	supplies := r.usableOf(schema.RoleSupply)
	if len(supplies) == 0 {
		return
	}
	for _, role := range [...]schema.Role{schema.RoleHazard, schema.RoleKeepout, schema.RoleOther} {
		for _, h := range r.usableOf(role) {
			if role == schema.RoleHazard && kindsOf(h).grave() || bathes(h) == "" {
				continue
			}
			s, ok := r.standingShape(h)
			g := s.geometry()
			if !ok || g == nil {
				continue
			}
			for _, f := range supplies {
				for i := range f.Points {
					p := f.Points[i].Ground
					if d, _, _, near := plane.NewGauge(p).Within(plane.NewGauge(g), bathZoneM); near && d < bathZoneM-slackM {
						r.tellBath(f, h, p, d, bathZoneM)
					}
				}
			}
		}
	}
}

// tellBath tells of an outlet that stands too near to what people bathe in.
func (r *run) tellBath(f, h *Feature, p orb.Point, d, reach float64) {
	x := r.finding(r.Place(p), f, h)
	x.Severity = Note
	x.Measured, x.Limit, x.Unit = d, reach, "m"
	x.Message = fmt.Sprintf("stands %s from %s, in which people bathe: within %s of a pool or a fountain no socket of mains voltage may stand; ask a licensed electrician, or feed the dock from farther off", metresPast(d, reach), h.describe(), metres(reach))
}

// outletBeside tells of an outlet nearer to water, to a drop or to what may be one
// than the margin that blades keep from it: mains electricity keeps as far off.
func (r *run) outletBeside(f *Feature, p orb.Point, h *Feature, shape *hazardShape) {
	if f.Role != schema.RoleSupply {
		return
	}
	what, margin := "drop", r.of(h).HazardMarginDropM
	open := false
	if h.Role == schema.RoleHazard {
		k := kindsOf(h)
		if k.gravest == "road" && !k.open {
			return // along which they stand
		}
		what, margin, open = k.gravest, r.hazardMargin(h), k.open
	}
	reach := margin
	if h.Role == schema.RoleHazard && bathes(h) != "" {
		reach = math.Max(margin, bathZoneM)
	}
	if !shape.bound.Pad(reach).Contains(p) {
		return
	}
	g := shape.geometry()
	if g == nil {
		return
	}
	d, _, _, near := plane.NewGauge(p).Within(plane.NewGauge(g), reach)
	switch {
	case !near || d >= reach-slackM:
	case d >= margin-slackM:
		r.tellBath(f, h, p, d, reach)
	case open:
		r.cannot("%s stands %s from %s, which may be water or a drop: %s", f.describe(), metresPast(d, margin), h.describe(), kindsOf(h).unclear())
	default:
		x := r.finding(r.Place(p), f, h)
		x.Severity = Warning
		x.Measured, x.Limit, x.Unit = d, margin, "m"
		x.Message = fmt.Sprintf("stands %s from %s, which is %s; mains electricity needs %s from it at the least, and a licensed electrician knows how much more", metresPast(d, margin), h.describe(), graveWords[what], metres(margin))
	}
}

// outletsAtEdges is outletBeside for edges that are drops.
func (r *run) outletsAtEdges() {
	supplies := r.usableOf(schema.RoleSupply)
	if len(supplies) == 0 {
		return
	}
	for _, e := range r.usableOf(schema.RoleEdge) {
		if edgeKind(e) != schema.EdgeDrop {
			continue
		}
		shape := r.hazardShape(e)
		for _, f := range supplies {
			for i := range f.Points {
				if shape.why == "" {
					r.outletBeside(f, f.Points[i].Ground, e, &shape)
				}
			}
		}
	}
}

// leadsTo reports whether an end of the corridor belongs to the dock at p.
func (c *corridorLine) leadsTo(f *Feature, p orb.Point) bool {
	for k := range c.ends {
		if d := c.ends[k].dock; d != nil && d.f == f && d.at == p {
			return true
		}
	}
	return false
}
