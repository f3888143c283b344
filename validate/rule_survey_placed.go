// What the record of a placement says against itself, and how well its marks hold
// the far end of the site, for survey-quality; the site grid of a plan.

package validate

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"swardline/schema"
)

// fitModel is a kind of fit: how many unknowns it solves for, which the redundancy
// is what is left of, and the words for it (common practice, no source).
type fitModel struct {
	unknowns int
	words    []string
}

var fitModels = []fitModel{
	{2, strings.Fields("shift translation verschiebung traslación traslazione verschuiving forskydning forskyvning siirto")},
	{3, strings.Fields("rigid euclidean rigide rígida rigida starr")},
	{4, strings.Fields("similarity helmert conformal ähnlichkeit ähnlichkeitstransformation helmerttransformation similitude semejanza similitudine gelijkvormigheid")},
	{6, strings.Fields("affine affin afín affien affinität")},
}

// besideModel are words that stand beside such a one and take nothing from it.
var besideModel = setOf("transformation transform fit parameter parameters parametertransformation least squares plane plan with scale of the and d mit in der ebene ausgleichung à paramètres transformación trasformazione")

// unknownsOf is how many unknowns the fit of a recorded placement has, 0 where its
// model is no word for one, or has a word that may take it back.
func unknownsOf(model schema.Value) (unknowns int) {
	for _, w := range letterWords(model.Text()) {
		known := besideModel[w]
		for _, m := range fitModels {
			if slices.Contains(m.words, w) {
				known = true
				if unknowns == 0 {
					unknowns = m.unknowns
				}
			}
		}
		if !known {
			return 0
		}
	}
	return unknowns
}

// placedRecord leaves open how a plan was placed whose record contradicts itself.
func (r *run) placedRecord(placed schema.Attributes, count float64, counted bool) {
	model := placed.Get("model")
	unknowns := unknownsOf(model)
	if unknowns == 0 && !isNull(model) {
		r.cannot("the model of the plan's placement is %s, which is no fit that its marks check (shift, rigid, similarity, affine): how well the plan lies between its marks is not known; place it anew with one of these", shown(model))
	}
	spare, told := placed.Get("redundancy").Float()
	if want := 2*count - float64(unknowns); counted && told && unknowns > 0 && spare > 0 && spare != want {
		r.cannot("the plan's placement says a redundancy of %s, and %s marks give a %s fit %s (twice the marks less its %d unknowns): the record is not of this fit; place the plan anew on its marks", trim(spare, 2), trim(count, 0), model.Text(), trim(want, 0), unknowns)
	}
	if v := placed.Get("least_redundancy"); !v.IsAbsent() {
		if least, ok := v.Float(); !ok || least < 2*leastHeldShare {
			r.cannot("the plan's placement says a least_redundancy of %s, and a mark is held by the others from %s on, of 2: "+unheldMark, shown(v), trim(2*leastHeldShare, 2))
		}
	}
	for _, key := range [...]string{"rms_m", "rms", "rmse", "rmse_m"} {
		if v := placed.Get(key); v.Kind() == schema.KindString && slices.ContainsFunc(letterWords(v.Text()), func(w string) bool { return footWords[w] }) {
			r.cannot("the %s of the plan's placement is %s, in another unit than the metres of the plan: whether the plan was placed in feet is not known; place it anew, or write it in metres", key, shown(v))
		}
	}
	for _, a := range placed {
		if suspectKeys[foldKey(a.Key)] && !saysNothing(a.Value) && !saysNone(a.Value) {
			r.cannot("the plan's placement says %s of %s: how well those fit is not known; measure them again, and place it anew", shown(a.Value), quote(a.Key))
		}
	}
}

// footWords are units of a length that are no metres, suspectKeys members of a
// record that name marks which do not fit, folded (common practice, no source).
var (
	footWords   = setOf("ft feet foot ftus usft inch inches yd yard yards fuß fuss zoll pied pieds pie pies piede piedi voet fot fod")
	suspectKeys = setOf("suspect suspects suspectmarks suspicious doubtful badmarks blunders grosserrors verdächtig sospechosos sospetti verdacht misstänkta mistænkte mistenkte")
)

// Members of a record that are true of a good one, and those that are false of one; of
// a name that is none of these nobody knows which is good (common practice, no source).
var (
	placedGood = setOf("approved valid converged checked verified passed accepted ok success successful confirmed tested released active adjusted complete completed final")
	placedBad  = setOf("draft provisional preliminary temporary byeye manual manually approximate mirrored mirror flipped reflected reflection swapped axesswapped stale outdated superseded invalid failed rejected suspect basemoved moved traced estimated")
	// placedMarkKeys are members of a mark in a record that are read, or say which it is.
	placedMarkKeys = setOf("name id nr no number residualm residual testvalue suspect de dn du dh e n h x y z east north easting northing height elevation lat lon given drawn")
)

// mostTestValue is beyond what no mark is good in units of its own standard error: in
// fits of good marks one of fifteen thousand is (common practice, no source).
const mostTestValue = 4.0

// placedKinds leaves open how a plan was placed whose record has something else where
// a number has to be.
func (r *run) placedKinds(placed schema.Attributes) {
	for _, key := range [...]string{"rotation_deg", "redundancy", "drawing_unit_m"} {
		v := placed.Get(key)
		if n, ok := schema.NumberSaid(v); !saysNothing(v) && (!ok || key == "drawing_unit_m" && n <= 0) {
			r.cannot("the %s of the plan's placement is %s, which is no number: place the plan anew on its marks", key, shown(v))
		}
	}
	marks := placed.Get("marks")
	if _, ok := schema.NumberSaid(marks); !saysNothing(marks) && !ok && marks.Kind() != schema.KindList {
		r.cannot("the marks of the plan's placement are %s, and neither how many nor a list of them: place the plan anew on its marks", shown(marks))
	}
}

// placedMark judges a mark in the record.
func (r *run) placedMark(m schema.Value, i int, tell func(measured, limit float64, unit, format string, args ...any)) {
	mark, limit := m.Fields(), r.limits.ResidualM
	name := quote(mark.Get("name").Text())
	if mark.Get("name").Text() == "" {
		name = fmt.Sprint(i + 1)
	}
	off, ok := r.placedLength("mark "+name, "residual_m", mark.Get("residual_m"))
	de, _ := mark.Get("de").Float()
	dn, _ := mark.Get("dn").Float()
	dh, _ := mark.Get("dh").Float()
	test, tested := mark.Get("test_value").Float()
	worst := max(math.Hypot(de, dn), math.Abs(dh))
	if ok {
		worst = max(worst, math.Abs(off))
	}
	switch {
	case worst > limit || math.IsNaN(off) && ok:
		tell(worst, limit, "m", "of which %s has a residual of %s; the limit is %s", name, metresPast(worst, limit), metres(limit))
	case mark.Get("suspect").Text() == "true":
		tell(math.NaN(), math.NaN(), "", "of which %s is said to be suspect", name)
	case tested && math.Abs(test) > mostTestValue:
		tell(math.Abs(test), mostTestValue, "ratio", "of which %s has a test_value of %s, and no good mark more than %s: measure it again, and place the plan anew", name, trim(test, 1), trim(mostTestValue, 1))
	}
	for _, a := range mark {
		_, flag := a.Value.Truth()
		if !saysNothing(a.Value) && (!placedMarkKeys[foldKey(a.Key)] || flag && a.Key != "suspect") {
			r.cannot("the plan's placement says %s of its mark %s, which is not read: say how well each fits as residual_m, leave out marks that it was not placed on, and the words that are no name", quote(a.Key), name)
		}
	}
}

// placedUnread leaves open what a member of the record says that is neither read nor of
// a name that only describes.
func (r *run) placedUnread(a *schema.Attribute) {
	folded := foldKey(a.Key)
	const rest = "is not read: say how well it fits as rms_m, and as residual_m of its marks, in metres"
	yes, flag := a.Value.Truth()
	n, number := a.Value.Float()
	shifts := slices.Contains(placementPlain, withoutUnit(a.Key))
	var within unreadList
	within.addWithin(nil, a)
	switch {
	case suspectKeys[folded] || saysNothing(a.Value): // placedRecord
	case flag:
		if yes && !placedGood[folded] || !yes && !placedBad[folded] {
			r.cannot("the plan's placement says %s of %s: whether it holds is not known; place the plan anew on its marks, or take that out", a.Value.Text(), quote(a.Key))
		}
	case (folded == "dof" || folded == "degreesoffreedom") && !(number && n > 0):
		r.cannot("the plan was placed on marks that hold one another to nothing (%s is %s); measure more of them, and place it anew", a.Key, shown(a.Value))
	case folded == "unit" || folded == "units":
		if !metric(a.Value) {
			r.cannot("the plan's placement says %s of %s: whether its numbers are metres is not known; place the plan anew, or write it in metres", shown(a.Value), quote(a.Key))
		}
	case shifts && onlyNumbers(a.Value):
	case len(within.names) > 0 || shifts && a.Value.Kind() != schema.KindString:
		r.cannot("the member %s of the plan's placement says what "+rest, quote(a.Key))
	case !isPlain(a.Key) && !placedTexts[folded]:
		r.cannot("the member %s of the plan's placement "+rest, quote(a.Key))
	}
}

// placedTexts are members of a record whose words are read, by words-unread.
var placedTexts = setOf("method by how source status quality solver operator shift rotation translation origin")

// onlyNumbers reports whether a value is a number, or holds nothing else.
func onlyNumbers(v schema.Value) bool {
	if _, ok := schema.NumberSaid(v); ok {
		return true
	}
	ok := len(v.Items())+len(v.Fields()) > 0
	for _, item := range v.Items() {
		ok = ok && onlyNumbers(item)
	}
	for _, a := range v.Fields() {
		ok = ok && onlyNumbers(a.Value)
	}
	return ok
}

// saysNone reports whether a value is false, 0, empty or a word for none.
func saysNone(v schema.Value) bool {
	if on, ok := v.Truth(); ok {
		return !on
	}
	if n, ok := v.Float(); ok {
		return n == 0
	}
	switch v.Kind() {
	case schema.KindList:
		return len(v.Items()) == 0
	case schema.KindObject:
		return len(v.Fields()) == 0
	}
	return slices.Contains(strings.Fields("none no nil - nein keine keiner aucun ninguno nessuno geen ingen ei"), schema.FoldName(v.Text()))
}

// rtkMarkM is the standard error in metres of a mark on which a plan is placed, at
// the least: of a receiver with fixed ambiguities (common practice, no source).
const rtkMarkM = 0.01

// inLineShare is how far beside one line marks lie, by its length, that are in it
// (common practice, no source).
const inLineShare = 0.02

// markSpread is what the places of marks do to a fit: how many there are, their
// middle, the sum of squares of their distances from it, and how long and how wide
// they lie.
type markSpread struct {
	count      float64
	centre     orb.Point
	squares    float64
	long, wide float64
}

func spreadOf(at []orb.Point) (s markSpread) {
	s.count = float64(len(at))
	for _, p := range at {
		s.centre[0] += p[0] / s.count
		s.centre[1] += p[1] / s.count
	}
	var xx, xy, yy float64
	for _, p := range at {
		dx, dy := p[0]-s.centre[0], p[1]-s.centre[1]
		xx, xy, yy = xx+dx*dx, xy+dx*dy, yy+dy*dy
	}
	s.squares = xx + yy
	// Along and across the line that fits them best.
	sin, cos := math.Sincos(math.Atan2(2*xy, xx-yy) / 2)
	span := func(ux, uy float64) float64 {
		low, high := math.Inf(1), math.Inf(-1)
		for _, p := range at {
			d := p[0]*ux + p[1]*uy
			low, high = math.Min(low, d), math.Max(high, d)
		}
		return high - low
	}
	if len(at) > 0 {
		s.long, s.wide = span(cos, sin), span(-sin, cos)
	}
	return s
}

// errorAt is the standard error in metres, along one axis, of a point d metres from
// the middle of the marks of a similarity fit, whose marks have the standard error
// sigma: sigma sqrt(1/n + d^2/S), with S the sum of the squares of their distances
// from their middle. It is the propagation of errors through the fit's normal
// equations, which are diagonal about that middle; a rigid fit has it across the
// way there.
func (s *markSpread) errorAt(d, sigma float64) float64 {
	return sigma * math.Sqrt(1/s.count+d*d/s.squares)
}

// unheldMark says what follows of a mark that no other holds.
const unheldMark = "an error of it turns the plan and shows in no residual; measure another mark about as far off, and place the plan anew"

// leastHeldShare is the redundancy number below which a mark is not held by the others
// (Baarda's theory of reliability; the value from memory, of what is asked in surveys of
// 0.1 at the least).
const leastHeldShare = 0.1

// leastHeld is the mark that the others hold least in a similarity fit, and how much:
// its redundancy number, 1 - 1/n - d^2/S, from the same normal equations as errorAt.
func (s *markSpread) leastHeld(at []orb.Point) (mark int, share float64) {
	share = math.Inf(1)
	for i, p := range at {
		d := distance(p, s.centre)
		if left := 1 - 1/s.count - d*d/s.squares; left < share {
			mark, share = i, left
		}
	}
	return mark, share
}

// placedSpread tells a placement whose marks stand too near to one another, or in
// one line, to hold what is driven.
func (r *run) placedSpread(placed schema.Attributes, count float64, counted bool) {
	if r.Frame == FrameNone || !counted || count < 3 || unknownsOf(placed.Get("model")) == 2 {
		return
	}
	at, own := r.placedMarks(placed, count)
	if float64(len(at)) < count {
		return // on which marks is not known
	}
	s := spreadOf(at)
	if k, left := s.leastHeld(at); left < leastHeldShare && placed.Get("least_redundancy").IsAbsent() {
		r.cannot("mark %d of the %s that the plan was placed on is held by the others to %s %% of what it says, for they stand at one place, seen from it: "+unheldMark, k+1, trim(s.count, 0), trim(100*max(left, 0), 1))
	}
	far := r.farthestDriven(s.centre)
	if !own {
		far = r.drivenHalf()
	}
	if !(far > 0) {
		return
	}
	sigma := rtkMarkM
	if rms, ok := lengthSaid("rms_m", placed.Get("rms_m")); ok {
		if spare, told := placed.Get("redundancy").Float(); told && spare > 0 {
			rms *= math.Sqrt(count / spare) // the sum of squares over what is left over
		}
		sigma = math.Max(sigma, rms)
	}
	if given, ok := lengthSaid("sigma_m", placed.Get("sigma_m")); ok {
		sigma = math.Max(sigma, given)
	}
	limit := r.limits.SurveySigmaM
	switch e := s.errorAt(far, sigma); {
	case e > limit:
		x := r.finding(nil)
		x.Measured, x.Limit, x.Unit = e, limit, "m"
		x.Message = fmt.Sprintf("the plan was placed on %s marks that lie within %s of one another, and driven ground up to %s from their middle: there the placement is good to %s (one standard error); the limit is %s; measure marks about the whole site, and place it anew", trim(s.count, 0), metres(s.long), metres(far), metresPast(e, limit), metres(limit))
	case s.wide <= inLineShare*s.long:
		x := r.finding(nil)
		x.Severity = Note
		x.Measured, x.Limit, x.Unit = s.wide, inLineShare*s.long, "m"
		x.Message = fmt.Sprintf("the plan was placed on %s marks in one line (within %s over %s): a drawing that is mirrored about it fits them as well; measure one mark to the side of it", trim(s.count, 0), metres(s.wide), metres(s.long))
	}
}

// placedMarks are where the marks lie that a plan was placed on: those that the
// record lists with coordinates, or all of the plan's, where it has as many at the
// least; own reports whether they are on the plan's ground.
func (r *run) placedMarks(placed schema.Attributes, count float64) (at []orb.Point, own bool) {
	for _, m := range placed.Get("marks").Items() {
		var p orb.Point
		for k, keys := range [...][]string{{"e", "east", "easting", "x"}, {"n", "north", "northing", "y"}} {
			p[k] = math.NaN()
			for _, key := range keys {
				if v, ok := m.Fields().Get(key).Float(); ok {
					p[k] = v
					break
				}
			}
		}
		if p == p {
			at = append(at, p)
		}
	}
	if len(at) > 0 {
		return at, false
	}
	for _, f := range r.usableOf(schema.RoleMark) {
		for i := range f.Points {
			at = append(at, f.Points[i].Ground)
		}
	}
	return at, true
}

// farthestDriven is how far from a place driven ground reaches.
func (r *run) farthestDriven(from orb.Point) (far float64) {
	for _, role := range [...]schema.Role{schema.RoleZone, schema.RoleCorridor, schema.RoleDock} {
		for _, f := range r.usableOf(role) {
			f.vertices(func(_, p orb.Point) { far = math.Max(far, distance(p, from)) })
		}
	}
	return far
}

// drivenHalf is half of how far driven ground reaches across: from any place some
// of it is as far.
func (r *run) drivenHalf() float64 {
	box := emptyBox()
	for _, role := range [...]schema.Role{schema.RoleZone, schema.RoleCorridor, schema.RoleDock} {
		for _, f := range r.usableOf(role) {
			f.vertices(func(_, p orb.Point) { enlarge(&box, p) })
		}
	}
	if box.Max[0] < box.Min[0] {
		return 0
	}
	return math.Max(box.Max[0]-box.Min[0], box.Max[1]-box.Min[1]) / 2
}

// siteHighM is how much higher or lower than the plan the origin of its site grid may lie:
// lengths differ by 1.6 mm in 100 m then (h/R, with R the radius of the earth; common
// practice, no source).
const siteHighM = 100.0

// siteGridElsewhere tells a site grid of the plan that lies elsewhere, or in which
// lengths are not those of the ground: crews get their numbers in it.
func (r *run) siteGridElsewhere() {
	v := r.Plan.Attributes.Get(schema.PlanSiteGrid)
	if isNull(v) || r.Frame != FrameEarth {
		return
	}
	c, err := r.Plan.SiteGrid()
	if err != nil {
		r.cannot("the plan's site_grid cannot be read: %v", err)
		return
	}
	g, ok := c.Site()
	switch {
	case !ok:
	case r.farSite(c):
		r.cannot("the origin of the plan's site_grid lies more than %s from the plan: what is written in it has numbers that nobody on the site can use; set its origin on the site", metres(placedFarM))
	case math.Abs(float64(g.Origin.H)-r.H) > siteHighM:
		x := r.finding(nil)
		x.Measured, x.Limit, x.Unit = math.Abs(float64(g.Origin.H)-r.H), siteHighM, "m"
		x.Message = fmt.Sprintf("the plan's site_grid has its origin %s higher or lower than the plan: lengths in it are not those on the ground; set its height to that of the site", metres(x.Measured))
	case math.Abs(g.Scale-1) > mostPlacedScale+1e-9:
		x := r.finding(nil)
		x.Measured, x.Unit = g.Scale, "ratio"
		x.Message = fmt.Sprintf("the plan's site_grid has a scale of %s: lengths in it are not those on the ground; a site grid has 1, or the combined factor of the grid beside it", trim(g.Scale, 6))
	}
}
