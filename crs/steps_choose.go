// Choosing: the best chain of datum steps between two datums at a place.

package crs

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// maxSteps bounds a chain: the longest that makes sense is prime meridian,
// national datum, ETRS89, its realisation, ITRF, WGS 84 realisation.
const maxSteps = 6

// wgs84Ensemble is the datum code of the WGS 84 ensemble.
const wgs84Ensemble = 6326

// definitionCost is the least that a step counts for when chains are compared.
const definitionCost = 0.01

// epochSlack is how far, in years, coordinates may be from the one epoch of a
// time-specific step.
const epochSlack = 0.05

// A link is one step of a chain, in the direction it is walked.
type link struct {
	*registryStep
	inverse bool
	atHand
}

// atHand is the file that a link is done with.
type atHand struct {
	grid  *GridShift
	model *DeformationModel
}

// reversed reports whether the link walks its file backwards.
func (l *link) reversed() bool {
	r := false
	if l.model != nil {
		_, r = l.model.matches(l.registryStep)
	} else {
		_, r = l.grid.matches(l.files)
	}
	return r != l.inverse
}

// lacksFile reports whether the link needs a file that is not at hand.
func (l *link) lacksFile() bool { return l.byFile() && l.atHand == atHand{} }

// target is the end of the link as walked.
func (l *link) target() *registryDatum {
	if l.inverse {
		return l.src
	}
	return l.dst
}

// A search is the question which chain is best.
type search struct {
	r          *stepRegistry
	o          question
	src, dst   *registryDatum
	box        Place           // where the site is
	lon, lat   float64         // the middle of it
	placed     bool            // these are known
	outside    bool            // steps outside their area of use are allowed
	needs      bool            // allow links that lack an epoch or a plate
	anyGrid    bool            // allow grids whose file is not at hand
	noEnsemble bool            // keep off WGS 84 as a hub
	lead, tail *registryStep   // the only steps off the ends, where their CRSs bring them
	bound      []*registryStep // steps of grids that the user bound to two datums
}

// epoch is the epoch of the coordinates between the ends, 0 when unknown.
func (q *search) epoch() float64 {
	from, to := q.o.when.From, q.o.when.To
	if q.src.dynamic() || !q.dst.dynamic() {
		if from != 0 {
			return from
		}
		return to
	}
	if to != 0 {
		return to
	}
	return from
}

// moving reports whether coordinates on the datum change with time; those of
// the WGS 84 ensemble do, within its accuracy.
func moving(d *registryDatum) bool { return d.dynamic() || d.code == wgs84Ensemble }

// fixedEpoch is the epoch that a step asks of the coordinates, 0 for none. A
// time-specific step between two moving frames holds at others too as long as
// the frames keep together, which those of the registry do to the millimetre a
// year; one onto a plate-fixed frame does not.
func fixedEpoch(s *registryStep) float64 {
	if s.kind == stepHelmert && s.timeSpecific() && moving(s.src) != moving(s.dst) {
		return s.h.epoch
	}
	// WGS 84 to ETRS89 (2) and the like: one end is an ensemble in time.
	if s.kind == stepHelmert && s.timeSpecific() && (s.src.code == wgs84Ensemble || s.dst.code == wgs84Ensemble) {
		return s.h.epoch
	}
	return 0
}

// cost returns what a link costs and whether it may be used.
func (q *search) cost(s *registryStep, by *atHand) (float64, bool) {
	c := leastCost
	if !s.coversPlace(q) {
		if !q.outside {
			return 0, false
		}
		c += 500
	}
	if math.IsNaN(s.accuracy) {
		if !q.o.allow.Unknown {
			return 0, false
		}
		if s.kind == stepModel {
			c++ // a file that was given is meant to be used
		} else {
			c += 1000
		}
	} else {
		c += s.accuracy
	}
	switch s.kind {
	case stepGrid:
		for _, g := range q.o.with.Grids {
			if ok, _ := g.matches(s.files); ok && (!q.placed || g.holdsBox(q.box)) {
				by.grid = g
				break
			}
		}
		if by.grid == nil && !q.anyGrid {
			return 0, false
		}
	case stepModel:
		by.model = q.modelAtHand(s)
		if by.model == nil && !q.anyGrid || q.epoch() == 0 && !q.needs {
			return 0, false
		}
		if slices.ContainsFunc(q.r.successors(s), func(l *registryStep) bool { return q.modelAtHand(l) != nil }) {
			c += replaced
		}
	case stepMember:
		// The registry's own operation goes before the membership of an
		// ensemble where the figures are alike; most national systems that are
		// called ETRS89 are aligned to ETRF2000 (EUREF's advice, from memory).
		if s.src.code == wgs84Ensemble && (q.src.dynamic() || q.dst.dynamic()) {
			// From a moving frame the ensemble is reached by the realisation
			// that is aligned to it, the latest best.
			c += 0.01 * (2100 - s.dst.epoch) / 100
		} else {
			c += s.accuracy
		}
		if s.src.code == 6258 && s.dst.code != 1186 {
			c += 0.01
		}
	case stepHelmert:
		more, ok := q.helmertCost(s)
		if !ok {
			return 0, false
		}
		c += more
	}
	return c + q.supersededCost(s), true
}

// helmertCost is what a Helmert step costs beyond its accuracy.
func (q *search) helmertCost(s *registryStep) (c float64, ok bool) {
	if s.h.moves() && q.epoch() == 0 && !q.needs {
		return 0, false
	}
	wgs84 := s.src.code == wgs84Ensemble || s.dst.code == wgs84Ensemble
	if t := fixedEpoch(s); t != 0 {
		have := q.epoch()
		switch {
		case have != 0 && math.Abs(have-t) <= epochSlack:
		case wgs84:
			return 0, false
		case have != 0 && q.o.with.Plate != "":
			c += plateAccuracy(have, t)
		case !q.needs:
			return 0, false
		}
	}
	if s.null() {
		c += 1e-4
		// WGS 84 equal to a plate-fixed frame leaves out the motion of the
		// plate, which a moving frame at the other end knows.
		if wgs84 && (q.src.dynamic() || q.dst.dynamic()) {
			c++
		}
	} else if s.accuracy < definitionCost {
		// A step that defines its target frame is stated at 0 m; for choosing
		// it is no better than a measured one of a centimetre.
		c += definitionCost - s.accuracy
	}
	if datedWGS84[s.code] {
		c += 0.01
	}
	return c, true
}

// replaced is what a step costs that the registry replaced by one that is at
// hand.
const replaced = 1e4

// supersededCost is what a step costs that the registry replaced: much where
// the step that replaces it is at hand.
func (q *search) supersededCost(s *registryStep) (c float64) {
	for _, code := range s.superseded {
		by := q.r.byCode[code]
		switch {
		case by == nil:
		case !by.byFile():
			c += 2e-4
			if by.coversPlace(q) && !math.IsNaN(by.accuracy) {
				c += replaced
			}
		default:
			var file atHand
			if _, ok := q.cost(by, &file); ok {
				c += replaced
			}
		}
	}
	return c
}

func (s *registryStep) coversPlace(q *search) bool {
	return !q.placed || s.coversBox(q.box)
}

// datedWGS84 are steps that take WGS 84 for what it was in Australia in the
// days of GDA94. Satellites give it today within a decimetre or two of GDA2020,
// as their equals EPSG:8450 and EPSG:9688 have it; the two readings are 1.8 m
// apart.
var datedWGS84 = map[int]bool{1150: true, 9690: true}

// memberSteps are the steps between an ensemble and its members.
func (r *stepRegistry) memberSteps(d *registryDatum) []*registryStep {
	var out []*registryStep
	make := func(e, m *registryDatum) {
		out = append(out, &registryStep{
			name: e.name + " taken for its member " + m.name, kind: stepMember, src: e, dst: m, accuracy: e.ensemble,
			source: "accuracy of the ensemble, " + r.source(),
		})
	}
	for _, m := range d.members {
		make(d, m)
	}
	for _, code := range []int{6258, wgs84Ensemble} {
		if e := r.datums[code]; e != nil && slices.Contains(e.members, d) {
			make(e, d)
		}
	}
	return out
}

// detour is what every further step of a chain multiplies its cost by: stated
// accuracies alone would lead over long chains of steps that flatter
// themselves, where the registry has a plain one.
const detour = 1.5

// weigh is the cost by which chains compare.
func (q *search) weigh(sum float64, chain []link) float64 {
	if touchesEnsemble(chain) {
		sum = math.Max(sum, q.r.datums[wgs84Ensemble].ensemble)
	}
	return sum * math.Pow(detour, float64(len(chain)-1))
}

// leastCost is the least that cost gives for a link.
const leastCost = 0.001

// A way is a step to another datum of a search, with its cost.
type way struct {
	l    link
	to   int
	cost float64
}

// A cell is the cheapest chain of so many steps to a datum, by its last one.
type cell struct {
	way
	from int
	set  bool
}

// A walk is the state of best. Datums have numbers in the order in which they
// are met; the source has 0.
type walk struct {
	*search
	datums []*registryDatum
	number map[*registryDatum]int
	ways   [][]way // from each datum, nil until wanted
	layers [maxSteps + 1][]cell
}

func (w *walk) numberOf(d *registryDatum) int {
	n, ok := w.number[d]
	if !ok {
		n = len(w.datums)
		w.number[d] = n
		w.datums = append(w.datums, d)
		w.ways = append(w.ways, nil)
	}
	return n
}

// at is the cell of a datum in a layer.
func (w *walk) at(layer, n int) *cell {
	if l := w.layers[layer]; n >= len(l) {
		w.layers[layer] = append(l, make([]cell, max(len(w.datums), n+1)-len(l))...)
	}
	return &w.layers[layer][n]
}

// from returns the cheapest way to every datum that a step leads to.
func (w *walk) from(n int) []way {
	if w.ways[n] != nil {
		return w.ways[n]
	}
	d := w.datums[n]
	out := []way{} // not nil: it is known
	add := func(s *registryStep) {
		var by atHand
		c, ok := w.cost(s, &by)
		if !ok {
			return
		}
		l := link{registryStep: s, inverse: s.dst == d, atHand: by}
		to := l.target()
		if to == d || !w.bringsOwn(s, d, to) || w.strays(s) {
			return
		}
		if w.noEnsemble && to.code == wgs84Ensemble && to != w.dst {
			return
		}
		k := w.numberOf(to)
		for i := range out {
			if out[i].to == k {
				if c < out[i].cost {
					out[i] = way{l, k, c}
				}
				return
			}
		}
		out = append(out, way{l, k, c})
	}
	for _, s := range w.r.from[d] {
		add(s)
	}
	for _, s := range w.r.taken[d] {
		add(s)
	}
	for _, s := range w.bound {
		if s.src == d || s.dst == d {
			add(s)
		}
	}
	w.ways[n] = out
	return out
}

// limit is a cost that the best chain does not exceed: that of the best one
// whose steps are all within their areas of use, where others are allowed.
func (q *search) limit() float64 {
	if !q.outside {
		return math.Inf(1)
	}
	within := *q
	within.outside = false
	chain, _ := within.best()
	if chain == nil {
		return math.Inf(1)
	}
	sum := 0.0
	for _, l := range chain {
		var by atHand
		c, ok := q.cost(l.registryStep, &by)
		if !ok {
			return math.Inf(1)
		}
		sum += c
	}
	return q.weigh(sum, chain) * (1 + 1e-9)
}

// best finds the chain of least cost, nil when there is none. It fills a table
// by length of chain, so that cost and length can be weighed at the end; the
// graph has some 500 datums and 1,500 steps. What cannot become better than the
// best so far is left.
func (q *search) best() ([]link, float64) {
	w := &walk{search: q, number: map[*registryDatum]int{}}
	order := []int{w.numberOf(q.src)}
	dst := w.numberOf(q.dst)
	limit, bestCost := q.limit(), math.Inf(1)
	var best []link
	for k := 1; k <= maxSteps; k++ {
		var next []int
		for _, n := range order {
			if k > 1 && n == dst {
				continue // a chain that ends here is better
			}
			at := *w.at(k-1, n)
			for _, e := range w.from(n) {
				c, steps := at.cost+e.cost, k
				if e.to != dst {
					// At least one more step.
					if k == maxSteps {
						continue
					}
					c, steps = c+leastCost, k+1
				}
				if weight := c * math.Pow(detour, float64(steps-1)); weight >= bestCost || weight > limit {
					continue
				}
				c = at.cost + e.cost
				if old := w.at(k, e.to); !old.set || c < old.cost {
					if !old.set {
						next = append(next, e.to)
					}
					*old = cell{way{e.l, e.to, c}, n, true}
				}
			}
		}
		order = next
		if c := *w.at(k, dst); c.set {
			chain := make([]link, k)
			for i, n := k, dst; i > 0; i-- {
				via := w.at(i, n)
				chain[i-1], n = via.l, via.from
			}
			if weight := q.weigh(c.cost, chain); weight < bestCost {
				best, bestCost = chain, weight
			}
		}
	}
	return best, bestCost
}

// bringsOwn reports whether the step from d to another datum is allowed by the
// steps that the CRSs at the ends bring: those alone lead off their datums.
func (q *search) bringsOwn(s *registryStep, d, to *registryDatum) bool {
	if q.lead != nil && (d == q.src || to == q.src) && s != q.lead {
		return false
	}
	return q.tail == nil || d != q.dst && to != q.dst || s == q.tail
}

// touchesEnsemble reports whether the chain starts, ends or passes at the WGS
// 84 ensemble.
func touchesEnsemble(chain []link) bool {
	for _, l := range chain {
		if l.src.code == wgs84Ensemble || l.dst.code == wgs84Ensemble {
			return true
		}
	}
	return false
}

// run finds the best chain, over the WGS 84 ensemble or around it.
func (q *search) run() ([]link, float64) {
	chain, c := q.best()
	if touchesEnsemble(chain) && q.src.code != wgs84Ensemble && q.dst.code != wgs84Ensemble {
		q.noEnsemble = true
		if other, d := q.best(); other != nil && d < c {
			chain, c = other, d
		}
		q.noEnsemble = false
	}
	return chain, c
}

// lacking returns the first link of the chain that needs an epoch or a plate
// which is not known.
func (q *search) lacking(chain []link) *EpochError {
	side := "source"
	if !q.src.dynamic() && q.dst.dynamic() {
		side = "target"
	}
	for _, l := range chain {
		have := q.epoch()
		if have == 0 && (l.timed() || fixedEpoch(l.registryStep) != 0) {
			return &EpochError{Step: q.r.label(l.registryStep), Side: side}
		}
		if t := fixedEpoch(l.registryStep); t != 0 && math.Abs(have-t) > epochSlack && q.o.with.Plate == "" {
			return &EpochError{Step: q.r.label(l.registryStep), Side: side, Plate: true, Want: t, Have: have}
		}
	}
	return nil
}

// label names a step with its code.
func (r *stepRegistry) label(s *registryStep) string {
	if s.code == 0 {
		return s.name
	}
	return fmt.Sprintf("EPSG:%d %s", s.code, s.name)
}

// choose fills the operation with the best chain.
func (op *Operation) choose(src, dst *registryDatum, o *question, at *siteAt) error {
	if b := op.from.datum.bound; b != nil {
		src = b.src
	}
	if b := op.to.datum.bound; b != nil {
		dst = b.src
	}
	if src == nil || dst == nil {
		unknown := op.from
		if src != nil {
			unknown = op.to
		}
		if !o.allow.Unknown {
			return &NoStepError{From: op.from.datum.name, To: op.to.datum.name,
				Reason: fmt.Sprintf("the datum of %s is not one of the registry, so no transformation is known", unknown.Label())}
		}
		op.ballpark()
		return nil
	}
	r := steps0()
	q := &search{r: r, o: *o, src: src, dst: dst, outside: o.allow.Unknown}
	q.lead, q.tail = op.from.datum.bound, op.to.datum.bound
	for _, s := range []*registryStep{q.lead, q.tail} {
		if s != nil {
			q.bound = append(q.bound, s)
		}
	}
	for _, g := range o.with.Grids {
		if g.src != nil {
			q.bound = append(q.bound, g.step())
		}
	}
	for _, m := range o.with.Models {
		if m.inRegistry == nil {
			q.bound = append(q.bound, m.step())
		}
	}
	place := q.locate(op, at)
	if o.with.Plate != "" {
		p, err := plateOf(o.with.Plate)
		if err != nil {
			return err
		}
		if q.placed && !p.mayLieUnder(q.lon, q.lat) {
			return &PlateError{Plate: p.name, Place: place, Possible: platesUnder(q.lon, q.lat)}
		}
	}
	op.where = place
	chain := []link{}
	var cost float64
	if src != dst {
		chain, cost = q.run()
		wish := *q
		wish.needs = true
		wished, wishCost := wish.run()
		if wished != nil && (chain == nil || cost > 2*wishCost+0.001) {
			lack := wish.lacking(wished)
			accepted := chain != nil && chainAccuracy(r, chain) <= float64(o.allow.Accuracy)
			if lack != nil && !accepted {
				if chain != nil {
					lack.Fallback = Metres(chainAccuracy(r, chain))
				}
				return lack
			}
		}
		wish = *q
		wish.anyGrid = true
		if wished, _ = wish.run(); wished != nil && (chain == nil || chainAccuracy(r, wished) < 0.9*chainAccuracy(r, chain)) {
			for _, l := range wished {
				if l.lacksFile() {
					op.notes = append(op.notes, fmt.Sprintf("a better operation exists, %s, good to %s: it needs the file %s", r.label(l.registryStep), metresText(chainAccuracy(r, wished)), strings.TrimPrefix(l.files[0], "-")))
				}
			}
		}
		if chain == nil {
			if o.allow.Unknown {
				op.ballpark()
				return nil
			}
			e := &NoStepError{From: src.name, To: dst.name, Reason: "the registry has none whose area of use holds " + place}
			loose := *q
			loose.o.allow.Unknown, loose.outside, loose.anyGrid = true, false, false
			if c, _ := loose.run(); c != nil {
				e.Reason = fmt.Sprintf("the accuracy of %s is not stated", r.label(c[worst(c)].registryStep))
			}
			for _, n := range op.notes {
				e.Reason += "; " + n
			}
			for _, l := range wished {
				if l.lacksFile() {
					e.Files = append(e.Files, strings.TrimPrefix(l.files[0], "-"))
				}
			}
			return e
		}
	}
	return op.assemble(q, chain, place)
}

// worst is the index of the link without an accuracy, or of the worst one.
func worst(chain []link) int {
	w := 0
	for i, l := range chain {
		if math.IsNaN(l.accuracy) {
			return i
		}
		if l.accuracy > chain[w].accuracy {
			w = i
		}
	}
	return w
}

// locate sets the place of the search and returns words for it.
func (q *search) locate(op *Operation, at *siteAt) string {
	if !at.nowhere {
		q.box, q.placed = at.box, true
		q.lon, q.lat = at.box.middle()
		return at.words()
	}
	size := math.Inf(1)
	var name string
	for _, c := range []*CRS{op.from, op.to} {
		w, s, e, n, ok := c.Area()
		if !ok {
			continue
		}
		if w > e {
			e += 360
		}
		if a := (e - w) * (n - s); a < size && a < 360*180*0.9 {
			size = a
			q.lon, q.lat, q.placed = wrap180((w+e)/2), (s+n)/2, true
			q.box = PlaceAt(Degrees(q.lon), Degrees(q.lat))
			name = c.Label()
		}
	}
	if !q.placed {
		return "an unknown place"
	}
	op.notes = append(op.notes, fmt.Sprintf("no place was given: the steps are chosen for the middle of the area of %s, %.2f, %.2f", name, q.lat, q.lon))
	return fmt.Sprintf("the middle of the area of %s, %.2f, %.2f", name, q.lat, q.lon)
}

// chainAccuracy is the sum of the accuracies, at least that of the WGS 84
// ensemble where it is touched; NaN when one is unknown.
func chainAccuracy(r *stepRegistry, chain []link) float64 {
	sum := 0.0
	for _, l := range chain {
		sum += l.accuracy
	}
	if touchesEnsemble(chain) && sum < r.datums[wgs84Ensemble].ensemble {
		sum = r.datums[wgs84Ensemble].ensemble
	}
	return math.Round(sum*1e6) / 1e6
}

// ballpark makes the operation that takes latitudes and longitudes over.
func (op *Operation) ballpark() {
	op.accuracy = math.NaN()
	op.steps = append(op.steps, Step{
		Name: "of unknown accuracy: latitudes and longitudes of " + op.from.datum.name + " taken over for " + op.to.datum.name, Null: true,
		Source: "no transformation is known; allowed by name",
	})
	op.notes = append(op.notes, "nothing was moved between the datums: the result may be wrong by hundreds of metres")
}

// assemble turns a chain into stages and reports.
func (op *Operation) assemble(q *search, chain []link, place string) error {
	r := q.r
	t := q.epoch()
	for _, l := range chain {
		if e := fixedEpoch(l.registryStep); e != 0 {
			t = e
		}
	}
	op.accuracy = chainAccuracy(r, chain)
	pieces := make([]piece, 0, len(chain)+2)
	needsTime := q.src == q.dst
	for _, l := range chain {
		needsTime = needsTime || l.timed() || fixedEpoch(l.registryStep) != 0
	}
	// Plate motion happens in the moving frame, before the chain or after it.
	if q.src.dynamic() && q.o.when.From != 0 && t != 0 && math.Abs(q.o.when.From-t) > epochSlack && needsTime {
		p, err := op.plateStep(q, q.src, q.o.when.From, t)
		if err != nil {
			return err
		}
		pieces = append(pieces, p)
	}
	for _, l := range chain {
		p, s, err := op.piece(r, l, t)
		if err != nil {
			return err
		}
		pieces = append(pieces, p)
		op.steps = append(op.steps, s)
	}
	op.toEpoch = 0
	if q.o.when.To != 0 && !q.dst.dynamic() && q.src.dynamic() && q.o.when.From != 0 && q.o.when.From != q.o.when.To {
		op.notes = append(op.notes, fmt.Sprintf("coordinates in %s do not change with time: the epoch %s asked for has no part in them", q.dst.name, year(q.o.when.To)))
	}
	if q.dst.dynamic() {
		op.toEpoch = t
		if q.o.when.To != 0 {
			if t != 0 && q.o.when.To != t && (needsTime || q.o.when.From != 0) {
				p, err := op.plateStep(q, q.dst, t, q.o.when.To)
				if err != nil {
					return err
				}
				pieces = append(pieces, p)
			}
			op.toEpoch = q.o.when.To
		}
	}
	op.accuracy = math.Round(op.accuracy*1e6) / 1e6
	op.fuse(pieces)
	op.remark(q, chain, place)
	q.rivals(op, chain, t)
	return nil
}

// stagesOf makes the stages of a run of maps.
func stagesOf(run []piece, heights bool) []stage {
	if len(run) == 0 {
		return nil
	}
	if heights {
		total := affine{}
		for _, p := range run {
			total = total.then(p.a)
		}
		return []stage{{src: run[0].src, dst: run[len(run)-1].dst, a: total}}
	}
	var out []stage
	for _, p := range run {
		out = append(out, stage{src: p.src, dst: p.dst, a: p.a, inverse: p.inverse})
	}
	return out
}

// A piece is the computation of one link.
type piece struct {
	src, dst *ellipsoid
	kind     stepKind
	null     bool
	a        affine
	offset   [2]float64
	atHand
	epoch   float64
	inverse bool
}

// takenOver reports whether latitude, longitude and height pass through a step
// that moves nothing, also between GRS 80 and WGS 84, which lie a tenth of a
// millimetre apart: in both directions, alone and in a chain, so that it does
// not matter over which frame a position came. Between other ellipsoids the
// axes stay and the latitude does not.
func (p *piece) takenOver() bool {
	return p.null && math.Abs(p.src.a-p.dst.a) < 1e-3 && math.Abs(p.src.f-p.dst.f) < 1e-10
}

// piece computes a link at the epoch t.
func (op *Operation) piece(r *stepRegistry, l link, t float64) (piece, Step, error) {
	p := piece{src: l.src.el, dst: l.dst.el, kind: l.kind, inverse: l.inverse, atHand: l.atHand, null: l.null()}
	s := Step{
		Name: l.name, Method: methodNames[l.method], Inverse: l.inverse, Null: p.null,
		Accuracy: Metres(l.accuracy), Known: !math.IsNaN(l.accuracy), Source: r.source(), Area: l.area(),
	}
	if l.code != 0 {
		s.Code = fmt.Sprintf("EPSG:%d", l.code)
	}
	if !s.Known {
		s.Accuracy = 0
	}
	if l.registryStep.source != "" {
		s.Source = l.registryStep.source
	}
	switch l.kind {
	case stepHelmert:
		p.a = l.h.at(t)
		if l.h.moves() {
			s.Epoch = t
		} else if l.timeSpecific() {
			s.Epoch = l.h.epoch
		}
		if l.inverse {
			var err error
			if p.a, err = p.a.inverse(); err != nil {
				return p, s, fmt.Errorf("%s: %w", r.label(l.registryStep), err)
			}
		}
	case stepOffset:
		// Longitudes count from Greenwich on both sides here, so that of the
		// meridians themselves is taken out.
		p.offset = [2]float64{l.offset[1]/3600 - (l.src.meridian - l.dst.meridian), l.offset[0] / 3600}
		// The registry rounds the meridian of Paris, by 0.3 mm on the ground.
		if math.Abs(p.offset[0]) < 1e-8 {
			p.offset[0] = 0
		}
		if l.inverse {
			p.offset[0], p.offset[1] = -p.offset[0], -p.offset[1]
		}
		p.null = p.offset == [2]float64{}
	case stepGrid:
		s.Source += ", file " + l.grid.Name()
		p.inverse = l.reversed()
	case stepModel:
		if !l.model.holdsEpoch(t) {
			return p, s, l.model.epochError(r.label(l.registryStep)+" by "+l.model.name, "source", t)
		}
		s.Method = "deformation model " + l.model.label()
		s.Source += ", file " + l.model.name
		s.Epoch, p.epoch = t, t
		p.inverse = l.reversed()
	case stepMember:
		s.Method = "the same realisation, within the ensemble"
	}
	if l.inverse {
		p.src, p.dst = p.dst, p.src
	}
	return p, s, nil
}

// fuse joins the pieces into stages. Where heights take part, consecutive maps
// of earth-centred axes are one map; where they pass through, every step is on
// its own, with the height above the ellipsoid of the datum it starts from in
// the registry. A run that moves nothing is none.
func (op *Operation) fuse(pieces []piece) {
	var out []stage
	var run []piece
	flush := func() {
		out = append(out, stagesOf(run, op.heights)...)
		run = nil
	}
	for _, p := range pieces {
		switch p.kind {
		case stepGrid:
			flush()
			out = append(out, stage{grid: p.grid, inverse: p.inverse})
		case stepModel:
			flush()
			out = append(out, stage{model: p.model, epoch: p.epoch, inverse: p.inverse})
		case stepOffset:
			if !p.null {
				flush()
				out = append(out, stage{shift: true, offset: p.offset})
			}
		default:
			if p.takenOver() {
				if p.src.f != p.dst.f {
					flush()
				}
				continue
			}
			run = append(run, p)
		}
	}
	flush()
	op.stages = out
	op.axes = op.from.kind == KindGeocentric && op.to.kind == KindGeocentric && op.from.datum.pm == 0 && op.to.datum.pm == 0 &&
		!slices.ContainsFunc(out, func(s stage) bool { return s.grid != nil || s.model != nil || s.shift })
	if op.axes {
		// Between earth-centred axes nothing depends on an ellipsoid.
		total := affine{}
		for _, p := range pieces {
			total = total.then(p.a)
		}
		op.stages = nil
		if total != (affine{}) {
			op.stages = []stage{{a: total}}
		}
	}
}

// remark adds the notes a user should see.
func (op *Operation) remark(q *search, chain []link, place string) {
	if touchesEnsemble(chain) {
		op.notes = append(op.notes, fmt.Sprintf("WGS 84 is an ensemble of realisations good to about %s: no operation through it is better; name a realisation and an epoch for centimetres", metresText(q.r.datums[wgs84Ensemble].ensemble)))
	}
	var null []string
	var gone []string
	for i, l := range chain {
		s := op.steps[len(op.steps)-len(chain)+i]
		if s.Null && l.kind != stepMember && l.accuracy > 0 {
			null = append(null, q.r.label(l.registryStep))
		}
		if !l.coversPlace(q) {
			gone = append(gone, q.r.label(l.registryStep)+" (for "+l.area()+")")
		}
		if math.IsNaN(l.accuracy) {
			op.notes = append(op.notes, "nobody states the accuracy of "+q.r.label(l.registryStep))
		}
	}
	if op.accuracy == 0 && len(chain) > 0 {
		op.notes = append(op.notes, "0 m is stated because the parameters define the frames: how well a network keeps to its frame, a centimetre or two, is not in it")
	}
	if len(null) > 0 {
		op.notes = append(op.notes, "moves nothing and is trusted to its stated figure only: "+strings.Join(null, ", "))
	}
	if len(gone) > 0 {
		op.notes = append(op.notes, "used outside its area at "+place+": "+strings.Join(gone, ", "))
	}
	for _, d := range []*registryDatum{q.src, q.dst} {
		if d.code == nzgd2000 && q.src != q.dst && len(q.o.with.Models) == 0 {
			op.notes = append(op.notes, "NZGD2000 follows the ground by a deformation model: without its file across it nothing better than the stated figure is possible")
		}
	}
	if op.from.dims != op.to.dims && len(op.stages) > 0 {
		op.notes = append(op.notes, "heights pass through unchanged: only one of the two systems has ellipsoidal heights")
	}
	op.remarkModels(q, chain)
	for _, g := range q.o.with.Grids {
		used := false
		for _, l := range chain {
			used = used || l.grid == g
		}
		if !used {
			op.notes = append(op.notes, "the grid file "+g.Name()+" was not used: no operation between these systems here names it, or a better one exists")
		}
	}
}

// nzgd2000 is the datum code of New Zealand Geodetic Datum 2000.
const nzgd2000 = 6167

// rivals notes other steps between the same datums that are stated as good as
// the chosen one and yet differ from it at the place: the figure then says
// little.
func (q *search) rivals(op *Operation, chain []link, t float64) {
	if !q.placed {
		return
	}
	for _, l := range chain {
		if l.kind != stepHelmert || l.h.moves() {
			continue
		}
		most, who := 0.0, ""
		x, y, z := l.src.el.toGeocentric(q.lon*radPerDeg, q.lat*radPerDeg, 0)
		a := l.h.at(t)
		for _, s := range q.r.from[l.src] {
			if s == l.registryStep || s.kind != stepHelmert || s.h.moves() || !(s.accuracy <= l.accuracy) {
				continue
			}
			var by atHand
			if c, ok := q.cost(s, &by); !ok || c > 1e3 {
				continue
			}
			b := s.h.at(t)
			switch {
			case s.src == l.src && s.dst == l.dst:
			case s.src == l.dst && s.dst == l.src:
				inv, err := b.inverse()
				if err != nil {
					continue
				}
				b = inv
			default:
				continue
			}
			x1, y1, z1 := a.apply(x, y, z)
			x2, y2, z2 := b.apply(x, y, z)
			if d := math.Sqrt((x1-x2)*(x1-x2) + (y1-y2)*(y1-y2) + (z1-z2)*(z1-z2)); d > most {
				most, who = d, q.r.label(s)
			}
		}
		if most > math.Max(0.02, l.accuracy/4) {
			op.local = append(op.local, fmt.Sprintf("%s is stated as good as %s and differs from it here by %.2f m", who, q.r.label(l.registryStep), most))
		}
	}
}
