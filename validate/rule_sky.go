// Rule on the view of the sky: sky-blocked.

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

var skyRules = []Rule{{
	Name: RuleSkyBlocked, Severity: Warning, Limits: []string{"sky_mask_deg", "sky_hidden_stop_percent", "dock_standoff_m"}, Over: one(schema.RoleBase, schema.RoleDock, schema.RoleCorridor, schema.RoleZone), run: checkSkyBlocked,
	Page: Page{
		What: "The elevation angle up to which buildings, and trees, walls or other things with a height_m, or extruded from heights that count from the ground (the larger of the two), hide the sky, seen from the base antenna, every dock, its line-up point, " +
			"and the worst place of every corridor; and the part of the sky above the mask that they hide there. More than sky_hidden_stop_percent hidden from a base or a dock is an error; less than half a percent is not told, nor up to 3 % from a corridor, through which the machine drives on, and up to 3 % from a dock or its line-up point is a note. " +
			"Of a zone it is told, as a warning, where more than that share is hidden, over how much ground, looked at on a raster of up to 200 places. Ground is taken as flat unless both have heights; " +
			"antennas stand at antenna_height_m, else on the ground. " +
			"A wall or fence without a height_m is asked for it when it stands within 7.5 m of a base, a dock or its line-up point, and one of 2 m would rise above the mask there; so is a hazard whose hazard_kind is a hedge, shed, roof or the like, and, taken as 10 m high, a tower, forest, bridge, house or the like; so are outlines of the role other that are called after such a thing, a house or a tree, and, up to 7.5 m from a dock or a base, points and lines of that role and keep-outs that are, where no building and no hazard is drawn within 1 m of them. " +
			"A height_m of a drop or of water is taken for its depth, unless a word of it stands up (a cliff, a dam, a retaining wall, stairs). " +
			"Whether a base within the outline of a building stands on its roof takes heights of both.",
		Why:    "A receiver that sees half the sky loses its fix between the houses, where the way is narrowest. At the base, what is hidden is hidden for every machine it serves.",
		Source: sourcePractice,
		Fails:  "a dock 4 m from a house 6 m high: 56 degrees, mask 15",
		Passes: "the same dock 25 m from it: 13 degrees",
		Mend:   "move the base or the dock, or lead the corridor further off; a machine may need a longer wait for its fix there",
	},
}}

// blocker is something that hides sky.
type blocker struct {
	f      *Feature
	height float64 // above its ground
	floor  float64 // height of its ground, NaN when not known
	areas  orb.MultiPolygon
	solid  orb.MultiPolygon // areas less the discs
	discs  []hazardDisc
	points []orb.Point
	lines  []orb.LineString
	bound  orb.Bound

	outline orb.Geometry
	made    *plane.Gauge
}

// gauge measures distances to it.
func (b *blocker) gauge() *plane.Gauge {
	if b.made == nil {
		b.made = plane.NewGauge(b.outline)
	}
	return b.made
}

// within is a circle that all that hides sky lies in, a hair within.
func (b *blocker) within() (at orb.Point, radius float64) {
	if len(b.discs) == 1 && len(b.solid) == 0 && len(b.lines) == 0 {
		return b.discs[0].at, b.discs[0].radius*(1+1e-9) + discM
	}
	return b.bound.Center(), distance(b.bound.Min, b.bound.Max)/2*(1+1e-9) + discM
}

func isTree(f *Feature) bool {
	return hazardKind(f) == "tree"
}

// skyline is made of what hides sky, once; what should but has no height is
// recorded with every rule that asks.
func (r *run) skyline() *skyline {
	if r.horizonLine == nil {
		var why []string
		r.horizonLine = newSkyline(r.blockers(func(format string, args ...any) { why = append(why, fmt.Sprintf(format, args...)) }))
		r.horizonLine.why = why
	}
	for _, why := range r.horizonLine.why {
		r.cannot("%s", why)
	}
	return r.horizonLine
}

// blockers lists what hides sky, and says what should but has no height.
func (r *run) blockers(cannot func(format string, args ...any)) []blocker {
	var out []blocker
	for _, f := range r.Features {
		building := f.Role == schema.RoleBuilding
		wall := f.Role == schema.RoleEdge && !isDrivenOver(edgeKind(f))
		if f.Role == schema.RoleOther && r.otherMayHide(f) {
			cannot("%s has the role other and no height_m: give it the role of what it is, and its height", f.describe())
			continue
		}
		if f.Role == schema.RoleKeepout && r.keptMayHide(f) {
			cannot("%s is called after what stands and hides sky, and only the keep-out is drawn: draw what stands there as a building or a hazard, with its height_m", f.describe())
			continue
		}
		if !building && !wall && f.Role != schema.RoleHazard || !f.usable() {
			if building {
				cannot("%s cannot be measured", f.describe())
			}
			continue
		}
		if isDepth(f) {
			continue
		}
		h, ok := f.tall()
		if !ok || h <= 0 {
			if building || isTree(f) || wall && r.wallMayHide(f) || f.Role == schema.RoleHazard && r.thingMayHide(f) {
				cannot("%s has no height_m", f.describe())
			}
			continue
		}
		shape := r.hazardShape(f)
		if shape.why != "" {
			cannot("%s", shape.why)
			continue
		}
		if wall && len(shape.lines) > 0 {
			// A gate stands open for what passes it.
			if open := r.opened(f, 0); len(open) > 0 {
				lines := shape.lines
				shape.lines = nil
				for _, l := range lines {
					shape.lines = append(shape.lines, clipOutside(l, open)...)
				}
			}
		}
		g := shape.geometry()
		if g == nil {
			continue
		}
		floor := lowestHeight(f)
		if f.countsFromGround() {
			floor = math.NaN()
		}
		out = append(out, blocker{
			f: f, height: h, floor: floor, areas: shape.areas, solid: shape.solid, discs: shape.discs, points: shape.points, lines: shape.lines,
			outline: g, bound: shape.bound,
		})
	}
	return out
}

// tall is how high a thing stands above its ground in metres: its height_m, or its
// heights where they count from the ground and its drawing extrudes it down to there
// (OGC 07-147r2, 10.1), the larger of the two.
func (f *Feature) tall() (h float64, ok bool) {
	h, ok = f.Float(schema.PropHeightM)
	if !anyTrue(f.Attributes.Get(schema.PropExtrude)) {
		return h, ok
	}
	if f.countsFromGround() {
		if low, high := f.heightRange(); high >= low && high > 0 && (!ok || high > h) {
			return high, true
		}
	}
	return h, ok
}

// isDepth reports whether a height of a feature is how deep it goes: that of a
// drop or of water that names nothing which stands up (a cliff, a dam, a wall above
// a ditch).
func isDepth(f *Feature) bool {
	kind := ""
	switch f.Role {
	case schema.RoleEdge:
		return edgeKind(f) == schema.EdgeDrop && !saysStanding(f.Name)
	case schema.RoleHazard:
		kind = hazardKind(f)
	}
	return (kind == "drop" || kind == "water") && !kindsOf(f).open && !saysStanding(f.Attributes.Get(schema.PropHazardKind).Text()+" "+f.Name)
}

// riseWords are words of drops and waters that stand above ground, beside those of
// what hides sky (common practice, no source).
var riseWords = strings.Fields("cliff bank embankment dam dike retaining face quarry seawall sea böschung hang steilwand deich damm stützmauer felswand falaise talus digue soutènement acantilado talud terraplén contención dirupo scarpata sostegno dijk keermuur klippa skrent stup stödmur støttemur tukimuuri penger stairs stair staircase steps treppe escalier escalera trap scala trappe trapp trappa")

func saysStanding(text string) bool {
	return slices.ContainsFunc(letterWords(text), func(w string) bool {
		return hasWord(riseWords, w) || hasWord(wallWords, w) || endsIn(wallWords, w) || hasWord(highWords, w) || hasWord(tallWords, w)
	})
}

// usualWallM is how high a wall or fence of unknown height is taken to be when
// it is asked whether it may hide sky (common practice, no source), and
// wallReachM how near it is asked: 2 m rise above 15 degrees within 7.5 m.
const (
	usualWallM = 2.0
	wallReachM = 7.5
)

// usualTallM is the same of what is built or grown higher than a wall: 10 m rise
// above 15 degrees within 37 m.
const usualTallM = 10.0

// highWords and tallWords are words of hazard_kind for things that hide sky
// where nobody says how high they are, as high as a wall and higher; also as
// the ends of words written as one.
var (
	highWords = strings.Fields("hedge bush bushes shrub shrubs shrubbery shed container canopy carport garage pavilion pergola roof gazebo hut cabin tent kiosk shelter greenhouse arbour arbor trellis wall fence playhouse caravan " +
		"bamboo arch archway bandstand stage barrier awning sail veranda porch balcony portico truck lorry bambus bogen bühne markise segel balkon lkw bambou auvent voile balcon scène bambú toldo arco balcón escenario luifel zonnescherm balkon podium bambù tenda balcone palco markis scen balkong segl parveke " +
		"hecke busch strauch sträucher gebüsch schuppen hütte dach überdachung pavillon laube zelt gewächshaus mauer zaun haie buisson arbuste abri toit serre mur tonnelle clôture seto arbusto cobertizo techo pérgola caseta muro valla invernadero " +
		"heg struik schuur dak prieel kas muur schutting siepe cespuglio capanno tetto tettoia serra recinto hæk hekk häck busk buske skur tag tak drivhus växthus mur plank pensas aita katos katto vaja kasvihuone")
	tallWords = strings.Fields("tower forest wood woods woodland copse grove bridge viaduct silo chimney house building barn hall church mill tank crane mast " +
		"conifer conifers cypress cypresses palm palms flyover grandstand noise scaffold scaffolding billboard hoarding pylon turbine stack face cliff " +
		"nadelbaum zypresse palme baumgruppe baumreihe tribüne schutzwand gerüst plakatwand windrad felswand arbres conifère cyprès palmier échafaudage tribune antibruit éolienne árboles ciprés palmera conífera andamio tribuna aerogenerador acantilado " +
		"bomen cipres steiger tribune geluidsscherm windmolen alberi cipresso palma conifera ponteggio træer trær tuja tribune stillads stillas vindmølle bullerplank vindkraftverk puita puut katsomo rakennusteline " +
		"turm wald gehölz brücke kamin haus gebäude scheune halle kirche kran tour forêt bois pont cheminée maison bâtiment grange église grue torre bosque puente chimenea casa edificio granero iglesia grúa " +
		"toren bos brug schoorsteen huis gebouw kerk kraan bosco ponte camino edificio chiesa gru tårn skov skog bro hus bygning kirke kyrka torn byggnad metsä silta talo rakennus kirkko torni")
)

// thingMayHide is wallMayHide for hazards.
func (r *run) thingMayHide(f *Feature) bool {
	return r.wordsMayHide(f, wordsOf(f.Attributes.Get(schema.PropHazardKind).Text()))
}

// otherMayHide is wallMayHide for what has the role other and is called after what stands:
// nobody drives over it, and no rule knows how high it is. Of points and lines only what
// stands as near as a wall is asked, with nothing drawn about it: they may be its label.
func (r *run) otherMayHide(f *Feature) bool {
	if f.Name == "" || !f.usable() || f.Attributes.Get(schema.PropRole).Text() != string(schema.RoleOther) {
		return false
	}
	if over, _ := f.Attributes.Get(schema.PropDrivenOver).Truth(); over {
		return false
	}
	if h, ok := f.Float(schema.PropHeightM); ok && h > 0 || buried(f) {
		return false // property-unread tells that nobody reads it
	}
	high := highByName(f.Name)
	if high > 0 && len(f.Areas) == 0 {
		return !isDrawingText(f) && r.mayHide(f, usualWallM) && !r.standsAbout(f)
	}
	return high > 0 && r.mayHide(f, high)
}

// keptMayHide is otherMayHide for keep-outs beside a dock or a base, in which nothing is
// drawn that may have a height.
func (r *run) keptMayHide(f *Feature) bool {
	return f.Name != "" && f.usable() && highByName(f.Name) > 0 && r.mayHide(f, usualWallM) && !r.standsAbout(f)
}

// highByName is how high, in metres, a thing is taken to be by its name, 0 for what does
// not stand.
func highByName(name string) float64 {
	words := wordsOf(name)
	if slices.ContainsFunc(words, func(w string) bool { return nearOnlyWords[w] || notStanding[w] }) {
		return 0
	}
	if slices.ContainsFunc(words, func(w string) bool {
		return kindOfWord(w) == "tree" || len(w) > 3 && skirtedWords()[w] || slices.Contains(houseNames, w)
	}) {
		return usualTallM
	}
	return highBySaid(words)
}

// houseNames are words for houses beside tallWords (common practice, no source).
var houseNames = strings.Fields("villa hotel school factory office hospital block tenement mansion cottage bungalow warehouse hochhaus wohnblock schule fabrik bürohaus immeuble usine école hôtel edificio fábrica escuela flat flatgebouw fabriek palazzo condominio fabbrica fabrik skola hotell tehdas koulu")

// standsAbout reports whether a building, or a hazard, is drawn in a thing or at most
// aboutM from it.
func (r *run) standsAbout(f *Feature) bool {
	const aboutM = 1.0 // common practice, no source
	h := r.hazardShape(f)
	shape := h.geometry()
	if h.why != "" || shape == nil {
		return false
	}
	gauge := plane.NewGauge(shape)
	for _, role := range [...]schema.Role{schema.RoleBuilding, schema.RoleHazard} {
		for _, g := range r.usableOf(role) {
			if !g.bound.Pad(g.growth() + aboutM).Intersects(f.bound) {
				continue
			}
			s := r.hazardShape(g)
			if of := s.geometry(); s.why != "" || of == nil {
				return true
			} else if _, _, _, near := gauge.Within(plane.NewGauge(of), aboutM); near {
				return true
			}
		}
	}
	return false
}

// notStanding are words beside one for what stands that make something flat of it.
var notStanding = setOf("stump stumps stub footprint base foundation foundations slab floor plate number path way walk drive driveway lawn garden yard court terrace plan line boundary limit root roots shade shadow stumpf wurzel schatten platte fundament bodenplatte weg garten hof terrasse grenze souche ombre dalle")

func (r *run) wordsMayHide(f *Feature, words []string) bool {
	high := highBySaid(words)
	return high > 0 && r.mayHide(f, high)
}

// highBySaid is as high as tallWords or highWords say, 0 for neither.
func highBySaid(words []string) float64 {
	high, tall := false, false
	is := func(w string, words []string) bool {
		return slices.ContainsFunc(words, func(end string) bool {
			return w == end || w == end+"s" || len(end) >= 4 && len(w) > len(end)+2 && strings.HasSuffix(w, end)
		})
	}
	for _, w := range words {
		high, tall = high || is(w, highWords), tall || is(w, tallWords)
	}
	switch {
	case tall:
		return usualTallM
	case high:
		return usualWallM
	}
	return 0
}

// wallMayHide reports whether a wall or fence without a height stands so near a
// dock, its line-up point or a base that it may hide sky above the mask there.
func (r *run) wallMayHide(f *Feature) bool {
	if kind := edgeKind(f); kind != schema.EdgeWall && kind != schema.EdgeFence {
		return false
	}
	return r.mayHide(f, usualWallM)
}

// mayHide reports whether something so high would rise above the mask as seen
// from a dock, its line-up point or a base; of what is no higher than a wall no
// further than wallReachM.
func (r *run) mayHide(f *Feature, high float64) bool {
	var outline orb.Geometry
	if f.Role == schema.RoleEdge {
		var wall orb.Collection
		for _, l := range f.lines() {
			wall = append(wall, l)
		}
		outline = wall
	} else if shape := r.hazardShape(f); shape.why == "" {
		outline = shape.geometry()
	}
	if outline == nil {
		return false
	}
	gauge := plane.NewGauge(outline)
	near := func(of *Feature, at orb.Point) bool {
		reach := math.Min(wallReachM*high/usualWallM, high/math.Tan(r.of(of).SkyMaskDeg*(math.Pi/180)))
		if f.Role == schema.RoleOther { // whose size is no part of its shape
			reach += f.reachDrawn()
		}
		_, _, _, ok := plane.NewGauge(at).Within(gauge, reach)
		return ok
	}
	for _, b := range r.usableOf(schema.RoleBase) {
		for i := range b.Points {
			if near(b, b.Points[i].Ground) {
				return true
			}
		}
	}
	for _, d := range r.docks() {
		if near(d.f, d.at) || !math.IsNaN(d.heading) && near(d.f, d.lineup) {
			return true
		}
	}
	return false
}

// lowestHeight is the least height of the feature's vertices, NaN for none.
func lowestHeight(f *Feature) float64 {
	low := math.NaN()
	add := func(h float64) {
		if h == h && !(low <= h) {
			low = h
		}
	}
	for i := range f.Areas {
		for _, ring := range f.Areas[i].Heights {
			for _, h := range ring {
				add(h)
			}
		}
	}
	for i := range f.Points {
		add(f.Points[i].Height)
	}
	return low
}

// skyline finds the blockers that stand near enough to hide anything.
type skyline struct {
	list    []blocker
	boxes   *plane.Boxes
	highest float64 // above its own ground
	top     float64 // the highest top of those whose ground has a height
	why     []string

	found []int
	stand []*blocker
}

func newSkyline(list []blocker) *skyline {
	s := &skyline{list: list, top: math.Inf(-1)}
	boxes := make([]orb.Bound, len(list))
	for i := range list {
		boxes[i] = list[i].bound
		s.highest = math.Max(s.highest, list[i].height)
		if f := list[i].floor; f == f {
			s.top = math.Max(s.top, f+list[i].height)
		}
	}
	s.boxes = plane.NewBoxes(boxes)
	return s
}

// about returns the blockers that could rise above the mask as seen from the
// box; ground is the height of the ground there, NaN when not known. They hold
// until it is asked again.
func (s *skyline) about(box orb.Bound, maskDeg, ground float64) []*blocker {
	t := math.Tan(maskDeg * (math.Pi / 180))
	reach := 4.0 * MaxSpanM // everything that is on the ground at all
	if t > 0 {
		up := s.highest
		if ground == ground {
			up = math.Max(up, s.top-ground)
		}
		reach = math.Min(reach, 1.001*up/t)
	}
	s.found, s.stand = s.boxes.Search(box.Pad(reach), s.found[:0]), s.stand[:0]
	for _, i := range s.found {
		b := &s.list[i]
		if t > 0 && t*boxesApart(box, b.bound) > 1.001*b.over(ground) {
			continue // high enough only for what stands nearer
		}
		s.stand = append(s.stand, b)
	}
	return s.stand
}

// over is how far a blocker's top stands above the ground of those who look;
// without heights of both the ground is taken as flat.
func (b *blocker) over(ground float64) float64 {
	if ground == ground && b.floor == b.floor {
		return b.height + (b.floor - ground)
	}
	return b.height
}

// boxesApart is the distance between two boxes, 0 when they meet.
func boxesApart(a, b orb.Bound) float64 {
	dx := math.Max(0, math.Max(b.Min[0]-a.Max[0], a.Min[0]-b.Max[0]))
	dy := math.Max(0, math.Max(b.Min[1]-a.Max[1], a.Min[1]-b.Max[1]))
	return math.Sqrt(dx*dx + dy*dy)
}

// observer is a place that needs sky.
type observer struct {
	f       *Feature
	at      orb.Point
	place   *Place
	ground  float64 // height of the ground, NaN when not known
	antenna float64 // above the ground
	what    string
}

func checkSkyBlocked(r *run) {
	if !r.onGround() {
		return
	}
	blockers := r.skyline()
	if len(blockers.list) == 0 {
		r.notNeeded("the plan draws no building or tree with a height_m")
		return
	}
	for _, f := range r.usableOf(schema.RoleBase) {
		for i := range f.Points {
			v := &f.Points[i]
			antenna, ok := f.Float(schema.PropAntennaHeight)
			o := observer{f, v.Ground, r.placeRead(f, v.Read, v.Ground), math.NaN(), 0, ""}
			if ok && antenna > 0 {
				o.antenna = antenna
			}
			if v.Height == v.Height { // the height of a base is its antenna's
				o.ground = v.Height - o.antenna
			}
			r.look(o, blockers)
		}
	}
	for _, d := range r.docks() {
		r.look(observer{d.f, d.at, r.placeRead(d.f, d.vertex.Read, d.at), d.vertex.Height, 0, ""}, blockers)
		if !math.IsNaN(d.heading) && d.standoff > 0 {
			r.look(observer{d.f, d.lineup, r.Place(d.lineup), d.vertex.Height, 0, "at its line-up point "}, blockers)
		}
	}
	for _, c := range r.corridors() {
		r.lookAlong(&c, blockers)
	}
	for i := range r.needZones().features {
		r.lookOver(i, blockers)
	}
}

// top returns how far a blocker's top stands above an observer's antenna.
func (o *observer) above(b *blocker) float64 {
	up := b.height - o.antenna
	if o.ground == o.ground && b.floor == b.floor {
		up += b.floor - o.ground
	}
	return up
}

// elevation returns the elevation angle, in degrees, of a top so far above and
// so far off.
func elevation(above, off float64) float64 { return math.Atan2(above, off) * (180 / math.Pi) }

// leastHidden is the share of the sky, in percent, below which nothing is said:
// the message would read 0 %.
const leastHidden = 0.5

// littleHidden is the share of the sky, in percent, up to which what is hidden from a
// dock and its line-up point is a note: a machine that waits there for its fix loses no
// more than a satellite or two that stand low (common practice, no source).
const littleHidden = 3.0

// look reports what hides the sky above the mask from one place.
func (r *run) look(o observer, sky *skyline) {
	mask := r.of(o.f).SkyMaskDeg
	blockers := sky.about(o.at.Bound(), mask, o.ground)
	var worst *blocker
	worstDeg, worstAt := mask, orb.Point{}
	var hiding []blocker
	for _, b := range blockers {
		up := o.above(b)
		if up <= 0 {
			continue
		}
		d, _, q := plane.NewGauge(o.at).Clearance(b.gauge())
		if d == 0 && o.f.Role == schema.RoleBase && b.f.Role == schema.RoleBuilding && !(o.ground == o.ground && b.floor == b.floor) {
			r.cannot("%s stands within %s; without heights of both it cannot be told whether on its roof or under it", o.f.describe(), b.f.describe())
			continue
		}
		deg := elevation(up, d)
		if deg <= mask {
			continue
		}
		hiding = append(hiding, *b)
		if d <= slackM {
			o.at = b.before(o.at)
		}
		if deg > worstDeg {
			worst, worstDeg, worstAt = b, deg, q
		}
	}
	if worst == nil {
		return
	}
	hidden := 100 * hiddenSky(&o, hiding, mask)
	// In a corridor the machine drives on, and soon stands where less is hidden.
	if hidden < leastHidden || hidden <= littleHidden && o.f.Role == schema.RoleCorridor {
		return
	}
	x := r.finding(o.place, o.f, worst.f)
	x.Measured, x.Limit, x.Unit = worstDeg, mask, "deg"
	x.Trace = r.trace(o.at, worstAt)
	switch stop := r.of(o.f).SkyHiddenStopPercent; {
	case hidden > stop && o.f.Role != schema.RoleCorridor:
		x.Severity = Error
	case hidden <= littleHidden && o.f.Role == schema.RoleDock:
		x.Severity = Note
	}
	x.Message = fmt.Sprintf("%s%s hides the sky up to %s; %.0f %% of the sky above %s is hidden", o.what, worst.f.describe(),
		degreesText(worstDeg), hidden, degreesText(mask))
}

// lookAlong reports the place of a corridor from which the sky is hidden to the
// greatest elevation: for each blocker the place that is nearest to it, and,
// where the ground has heights, the one nearest to it on every stretch, from
// the lower end.
func (r *run) lookAlong(c *corridorLine, sky *skyline) {
	mask := r.of(c.f).SkyMaskDeg
	height := func(v int) float64 {
		if c.line.Heights == nil {
			return math.NaN()
		}
		return c.line.Heights[c.at[v]]
	}
	best := observer{f: c.f, ground: math.NaN()}
	bestDeg := mask
	for s := 1; s < len(c.pts); s++ {
		line := plane.NewGauge(c.pts[s-1 : s+1])
		low := math.Min(height(s-1), height(s)) // NaN when either is
		for _, b := range sky.about(c.pts[s-1:s+1].Bound(), mask, low) {
			from := observer{f: c.f, ground: low}
			up := from.above(b)
			if up <= 0 {
				continue
			}
			d, p, _ := line.Clearance(b.gauge())
			if deg := elevation(up, d); deg > bestDeg {
				bestDeg, best.at, best.ground = deg, p, low
			}
		}
	}
	if bestDeg <= mask {
		return
	}
	best.place = r.Place(best.at)
	r.look(best, sky)
}

// skyRaster is the most places of a zone from which the sky is looked at.
const skyRaster = 200

// skyAcross is the most places of that raster side by side: of a sliver it is
// wide.
const skyAcross = 150

// lookOver reports where in the i-th zone more of the sky is hidden than
// sky_hidden_stop_percent, on a raster over its ground.
func (r *run) lookOver(i int, sky *skyline) {
	z := r.zones().features[i]
	l := r.of(z)
	mask, stop := l.SkyMaskDeg, l.SkyHiddenStopPercent
	if stop >= 100 {
		return
	}
	// No more is hidden than by a wall all round of the greatest elevation.
	sinMask := math.Sin(mask * (math.Pi / 180))
	least := math.Asin(math.Min(1, sinMask+stop/100*(1-sinMask))) * (180 / math.Pi)
	ground := lowestHeight(z)
	blockers := sky.about(r.zones().bounds[i], least, ground)
	if len(blockers) == 0 {
		return
	}
	areas := r.netOf(i).areas
	if len(areas) == 0 {
		return
	}
	list := make([]blocker, len(blockers))
	for k, b := range blockers {
		list[k] = *b
	}
	towers := make([]tower, 0, len(list))
	for k := range list {
		b := &list[k]
		if up := (&observer{ground: ground}).above(b); up > 0 {
			towers = append(towers, tower{b.bound.Center(), distance(b.bound.Min, b.bound.Max) / 2, up})
		}
	}
	box, locator := areasBound(areas), r.netOf(i).locator()
	step := math.Max(math.Sqrt(r.netOf(i).area()/skyRaster), math.Max(box.Max[0]-box.Min[0], box.Max[1]-box.Min[1])/skyAcross)
	if !(step > 0) {
		return
	}
	// Of so many towers none hides that share unless one stands this near.
	reach := 0.0
	for k := range towers {
		reach = math.Max(reach, towers[k].radius*math.Max(1, float64(len(towers))/(2*math.Max(stop/100, 1e-3))))
	}
	reach *= 1 + 1e-9
	worst, at, n := stop, orb.Point{}, 0
	var by *Feature
	for y := box.Min[1] + step/2; y < box.Max[1]; y += step {
		for x := box.Min[0] + step/2; x < box.Max[0]; x += step {
			o := observer{f: z, at: orb.Point{x, y}, ground: ground}
			if !anyWithin(o.at, towers, reach) || mostHidden(o.at, towers, sinMask) <= stop/100 || locator.Locate(o.at) == plane.Outside {
				continue
			}
			near := r.steepest(&o, list, least)
			if near == nil || len(near.areas) > 0 && plane.Locate(o.at, near.areas) != plane.Outside {
				continue // under a roof is zone-over-building's
			}
			if hidden := 100 * hiddenSky(&o, list, mask); hidden > stop {
				n++
				if hidden > worst {
					worst, at, by = hidden, o.at, near.f
				}
			}
		}
	}
	if n == 0 {
		return
	}
	x := r.finding(r.Place(at), z, by)
	x.Measured, x.Limit, x.Unit, x.AreaM2 = worst, stop, "%", float64(n)*step*step
	x.Message = fmt.Sprintf("over about %s of it more than %s %% of the sky above %s is hidden, up to %.0f %%", squareMetres(x.AreaM2), trim(stop, 1), degreesText(mask), worst)
}

// tower is round and stands about the box of a blocker, so much higher than
// what looks at it.
type tower struct {
	at         orb.Point
	radius, up float64
}

func anyWithin(from orb.Point, towers []tower, reach float64) bool {
	for k := range towers {
		dx, dy := from[0]-towers[k].at[0], from[1]-towers[k].at[1]
		if dx*dx+dy*dy <= reach*reach {
			return true
		}
	}
	return false
}

// mostHidden is quick and never less than hiddenSky: it takes each blocker for
// a tower and adds them up as if none stood before another.
func mostHidden(from orb.Point, towers []tower, sinMask float64) float64 {
	sum := 0.0
	for k := range towers {
		t := &towers[k]
		far := math.Sqrt((from[0]-t.at[0])*(from[0]-t.at[0]) + (from[1]-t.at[1])*(from[1]-t.at[1]))
		if far <= t.radius {
			return 1
		}
		gap := far - t.radius
		sine := t.up / math.Sqrt(t.up*t.up+gap*gap) // of the elevation, no less than the true one
		if sine > sinMask {
			// asin x is no more than pi x / 2.
			sum += t.radius / far / 2 * (sine - sinMask) / (1 - sinMask)
		}
	}
	return sum
}

// before is a place no farther than slackM from a face of the blocker, put as far
// before it: from the face itself it would be seen edge on. Any other place stays.
func (b *blocker) before(p orb.Point) orb.Point {
	for _, l := range append(ringLines(b.areas), b.lines...) {
		areas := b.areas
		if len(areas) == 0 && l[0] == l[len(l)-1] {
			areas = orb.MultiPolygon{{orb.Ring(l)}}
		}
		for k := 1; k < len(l); k++ {
			u, ok := unit(l[k-1], l[k])
			if !ok || distanceToSegment(p, l[k-1], l[k]) > slackM {
				continue
			}
			for _, off := range [...]float64{2 * slackM, -2 * slackM} {
				q := orb.Point{p[0] + off*u[1], p[1] - off*u[0]}
				if plane.Locate(q, areas) == plane.Outside {
					return q
				}
			}
		}
	}
	return p
}

// steepest returns the blocker that stands to the greatest elevation above
// least, nil for none.
func (r *run) steepest(o *observer, list []blocker, least float64) *blocker {
	var best *blocker
	for k := range list {
		up := o.above(&list[k])
		if up <= 0 {
			continue
		}
		if d, _, _ := plane.NewGauge(o.at).Clearance(list[k].gauge()); elevation(up, d) > least {
			best, least = &list[k], elevation(up, d)
		}
	}
	return best
}

// skyAzimuths is how many directions the horizon is cut into: half a degree
// each.
const skyAzimuths = 720

// hiddenSky returns the part, from 0 to 1, of the sky above the mask that the
// blockers hide: the solid angle between mask and skyline over that of the
// whole cap, the skyline taken in the middle of each of skyAzimuths directions.
// The solid angle above elevation m is 2 pi (1 - sin m).
func hiddenSky(o *observer, blockers []blocker, maskDeg float64) float64 {
	var tan [skyAzimuths]float64 // greatest tangent of the elevation
	for i := range blockers {
		b := &blockers[i]
		up := o.above(b)
		if plane.Locate(o.at, b.areas) == plane.Inside {
			return 1
		}
		for _, p := range b.areas {
			for _, ring := range p {
				for k := 1; k < len(ring); k++ {
					raise(&tan, o.at, ring[k-1], ring[k], up)
				}
			}
		}
		for _, l := range b.lines {
			for k := 1; k < len(l); k++ {
				raise(&tan, o.at, l[k-1], l[k], up)
			}
		}
	}
	mask := maskDeg * (math.Pi / 180)
	sinMask, tanMask := math.Sin(mask), math.Tan(mask)
	if sinMask >= 1 {
		return 0
	}
	sum := 0.0
	for _, t := range tan {
		if t > tanMask {
			sum += math.Sin(math.Atan(t)) - sinMask
		}
	}
	return sum / skyAzimuths / (1 - sinMask)
}

// raise lifts the skyline seen from o to the wall ab, up metres high.
func raise(tan *[skyAzimuths]float64, o, a, b orb.Point, up float64) {
	ax, ay, bx, by := a[0]-o[0], a[1]-o[1], b[0]-o[0], b[1]-o[1]
	cross := ax*by - ay*bx
	if cross == 0 {
		return // seen edge on
	}
	from, to := math.Atan2(ax, ay), math.Atan2(bx, by) // bearings in radians
	turn := math.Remainder(to-from, 2*math.Pi)
	if turn < 0 {
		from, turn = to, -turn
	}
	const step = 2 * math.Pi / skyAzimuths
	first := int(math.Ceil(from/step - 0.5))
	last := int(math.Floor((from+turn)/step - 0.5))
	for k := first; k <= last; k++ {
		s, c := math.Sincos((float64(k) + 0.5) * step)
		// The ray (s, c) t meets the line a + (b-a) u.
		den := s*(by-ay) - c*(bx-ax)
		if den == 0 {
			continue
		}
		if d := (ax*(by-ay) - ay*(bx-ax)) / den; d > 0 {
			i := ((k % skyAzimuths) + skyAzimuths) % skyAzimuths
			tan[i] = math.Max(tan[i], up/d)
		}
	}
}
