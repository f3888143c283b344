// Applying rules to a plan.

package roles

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"github.com/twpayne/go-geom"

	"swardline/convert/intake/rings"
	"swardline/schema"
)

// Report says what the rules did.
type Report struct {
	// Rules are in the order of the file; those that matched nothing are there
	// too.
	Rules []RuleReport
	// Unmatched groups what no rule fitted, the most first. It is kept as it
	// was.
	Unmatched []Group
	// Hidden is how many features a rule fits that the drawing does not show,
	// and that none asked for; they are kept as they were.
	Hidden int
	// Gaps are the openings of outlines that should be rings, the smallest
	// first.
	Gaps []rings.Gap
	// Junctions are places where more than two pieces meet, so that which to
	// join is not for a program to say.
	Junctions []rings.Junction
	// Crossings name rings of a rule with holes that cross each other.
	Crossings []string
	// Notes say what else was done or could not be.
	Notes []string
}

// RuleReport is what one rule did.
type RuleReport struct {
	Rule *Rule
	// Matched is how many features it fitted; Features names the first 20 of
	// them.
	Matched  int
	Features []string
	rings.Joined
	// Holes is how many rings became holes of others, Filled how many hatches,
	// or parts of one, were one with the outline they fill.
	Holes, Filled int
	// Named is how many features got a name, LeftOut how many were taken out.
	Named, LeftOut int
	// Unset is how many attributes found nothing to be set from.
	Unset int
}

// Group is features of one layer, entity and geometry.
type Group struct {
	Layer, Entity, Geometry string
	Count                   int
	Example                 string // a name, or where the first one stands
}

// Apply returns a new plan whose features have the roles that the rules give,
// and a report; p stays as it is. Lengths are on the plane for a plan in a
// grid, and on a sphere of the earth's mean radius for one in degrees, which is
// ample for tolerances.
func Apply(p *schema.Plan, rules *Rules) (*schema.Plan, Report) {
	a := applier{plan: p, rules: rules, scale: rings.ScaleOf(p)}
	a.labels, a.tags, a.leaders = labelsOf(p)
	a.match()
	for i := range rules.List {
		if rules.List[i].Rings {
			a.join(i)
		}
	}
	a.mergeFills(false)
	for i := range rules.List {
		if rules.List[i].Holes {
			a.nest(i)
		}
	}
	a.mergeFills(true)
	a.pointLeaders()
	a.setFromPlace()
	a.names()
	out := *p
	out.Left = slices.Concat(p.Left, a.passed(), a.dropped(), a.replacing.lines())
	out.Beside = slices.Clip(p.Beside)
	a.textsDropped(&out)
	out.Features = nil
	for i := range a.items {
		if !a.items[i].Gone {
			out.Features = append(out.Features, a.items[i].Feature)
		}
	}
	sort.SliceStable(a.report.Gaps, func(i, j int) bool { return a.report.Gaps[i].SizeM < a.report.Gaps[j].SizeM })
	return &out, a.report
}

// passed says what a reader passed over on layers whose rules give a role that
// keeps a machine off.
func (a *applier) passed() (left []string) {
	for _, x := range a.plan.Passed {
		for i := range a.rules.List {
			r := &a.rules.List[i]
			if r.Layer == nil || !r.Layer.Match(x.Layer) || r.Open {
				continue
			}
			if slices.Contains(keepsOff, r.Role) && !r.LeaveOut {
				left = append(left, fmt.Sprintf("line %d: the %s on layer %q, of which a rule makes a %s, was not read, for a plan has nothing of its kind: draw what it shows as a line or an outline, or put it on a layer of its own", x.Line, x.Kind, x.Layer, r.Role))
			}
			break
		}
	}
	return left
}

type applier struct {
	plan   *schema.Plan
	rules  *Rules
	scale  rings.Scale
	items  []item
	report Report
	labels []label // the texts of the drawing
	tags   []int   // features that are blocks with attributes
	// leaders are the arrows of the drawing with their texts; pointed is what
	// those say that point at an item.
	leaders []label
	pointed map[int]string
	// replacing is what rules put in place of what the file says.
	replacing counted
}

// item is a feature on its way through the rules.
type item struct {
	rings.Piece
	rule   int  // -1 for none
	hidden bool // a rule fits, but the drawing does not show it
	// also are the rules of hatches that are one with this outline.
	also []int
}

// rulesOf are the rules that say something of an item, its own first.
func (a *applier) rulesOf(it *item) []*Rule {
	out := []*Rule{&a.rules.List[it.rule]}
	for _, k := range it.also {
		out = append(out, &a.rules.List[k])
	}
	return out
}

// notShown reports whether a drawing hides a feature, or its layer is frozen,
// off or not plotted.
func notShown(f *schema.Feature) bool {
	hidden, _ := f.Attributes.Get(schema.PropHidden).Truth()
	return hidden || f.Attributes.Get(schema.PropLayerState).Text() != ""
}

// hiddenWords say what was not taken because it is not shown.
func (r *Report) hiddenWords() string {
	return fmt.Sprintf("%d features that the drawing does not show (layers frozen, off or not plotted, invisible entities) were not taken; a rule with hidden: true, or with state: [frozen, off, noplot], takes them", r.Hidden)
}

// layerOf is the layer of a drawing, or the innermost folder of a KML file.
func layerOf(f *schema.Feature) string {
	if v := f.Attributes.Get(schema.PropLayer); v.Kind() == schema.KindString {
		return v.Text()
	}
	v := f.Attributes.Get(schema.PropFolder)
	if items := v.Items(); len(items) > 0 {
		v = items[len(items)-1]
	}
	return v.Text()
}

// ofRule returns the features that a rule fitted and that are still there.
func (a *applier) ofRule(rule int) []*rings.Piece {
	var out []*rings.Piece
	for i := range a.items {
		if it := &a.items[i]; !it.Gone && it.rule == rule {
			out = append(out, &it.Piece)
		}
	}
	return out
}

// join makes outlines of the lines of one rule.
func (a *applier) join(rule int) {
	rep := &a.report.Rules[rule]
	rep.Joined = rings.Join(a.ofRule(rule), a.scale, a.rules.List[rule].ToleranceM)
	for _, f := range rep.More {
		a.items = append(a.items, item{Piece: rings.Piece{Feature: f, Layer: layerOf(f)}, rule: rule})
	}
	a.report.Gaps = append(a.report.Gaps, rep.Gaps...)
	a.report.Junctions = append(a.report.Junctions, rep.Junctions...)
}

// nest makes holes of the rings of one rule that lie in others.
func (a *applier) nest(rule int) {
	n := rings.Nest(a.ofRule(rule))
	a.report.Rules[rule].Holes = n.Holes
	a.report.Crossings = append(a.report.Crossings, n.Crossings...)
	a.report.Notes = append(a.report.Notes, n.Notes...)
}

func geometryWord(g geom.T) string {
	switch g.(type) {
	case *geom.Point, *geom.MultiPoint:
		return "point"
	case *geom.LineString, *geom.MultiLineString, *geom.LinearRing:
		return "line"
	case *geom.Polygon, *geom.MultiPolygon:
		return "area"
	case nil:
		return "none"
	}
	return "mixed"
}

const mostListed = 20

// match finds the first rule of each feature and gives its role and attributes.
func (a *applier) match() {
	a.report.Rules = make([]RuleReport, len(a.rules.List))
	for i := range a.rules.List {
		a.report.Rules[i].Rule = &a.rules.List[i]
	}
	groups := map[Group]*Group{}
	var order []*Group
	a.items = make([]item, len(a.plan.Features))
	for i, f := range a.plan.Features {
		it := &a.items[i]
		it.rule, it.Layer, it.Walked = -1, layerOf(f), a.plan.Source.Format == "gpx"
		g := *f
		it.Feature = &g
		for k := range a.rules.List {
			if !a.fits(&a.rules.List[k], f, it.Layer) {
				continue
			}
			if r := &a.rules.List[k]; notShown(f) && r.Hidden == nil && len(r.State) == 0 && !r.LeaveOut && !r.Open {
				it.hidden = true
				continue
			}
			if a.rules.List[k].Open {
				// Not known yet: a later rule may know.
				a.report.Rules[k].Matched++
				continue
			}
			it.rule = k
			break
		}
		if it.rule < 0 && it.hidden {
			a.report.Hidden++
			continue
		}
		if it.rule < 0 {
			key := Group{Layer: it.Layer, Entity: f.Attributes.Get(schema.PropEntity).Text(), Geometry: geometryWord(f.Geometry)}
			at := groups[key]
			if at == nil {
				at = &Group{Layer: key.Layer, Entity: key.Entity, Geometry: key.Geometry, Example: rings.Label(f)}
				groups[key] = at
				order = append(order, at)
			}
			at.Count++
			continue
		}
		rule, rep := &a.rules.List[it.rule], &a.report.Rules[it.rule]
		rep.Matched++
		if len(rep.Features) < mostListed {
			rep.Features = append(rep.Features, rings.Label(f))
		}
		if rule.LeaveOut {
			it.Gone = true
			rep.LeftOut++
			continue
		}
		a.replaced(f, rule)
		g.Role = rule.Role
		g.Attributes = f.Attributes.Clone()
		g.Attributes.Delete(schema.PropRole) // an unknown word that a reader kept
		for _, s := range rule.Set {
			if s.Key == schema.PropName {
				g.Name = s.Value.Text()
				continue
			}
			g.Attributes.Set(s.Key, s.Value)
		}
		for _, from := range rule.SetFrom {
			if from.byPlace() {
				continue // once outlines are made
			}
			v := a.valueFrom(from, i)
			if v.IsAbsent() {
				rep.Unset++
				continue
			}
			g.Attributes.Set(from.Key, v)
		}
	}
	sort.SliceStable(order, func(i, j int) bool { return order[i].Count > order[j].Count })
	for _, g := range order {
		a.report.Unmatched = append(a.report.Unmatched, *g)
	}
}

// names gives names from texts, layers, blocks, codes and attributes of blocks.
func (a *applier) names() {
	for i := range a.items {
		it := &a.items[i]
		if it.Gone || it.rule < 0 {
			continue
		}
		name := ""
		switch from := a.rules.List[it.rule].NameFrom; {
		case from == "layer":
			name = it.Layer
		case from == "block":
			name = it.Feature.Attributes.Get(schema.PropBlock).Text()
		case from == "code":
			name = it.Feature.Attributes.Get("code").Text()
		case from != "" && from != "text":
			name = a.valueFrom(SetFrom{From: from, Times: 1}, i).Text()
		}
		if name != "" {
			it.Feature.Name = name
			a.report.Rules[it.rule].Named++
		}
	}
	a.namesFromTexts()
}

// label is a text of the drawing.
type label struct {
	item   int
	text   string
	at     []float64
	height float64
}

func (a *applier) namesFromTexts() {
	wanted := false
	for i := range a.items {
		it := &a.items[i]
		wanted = wanted || !it.Gone && it.rule >= 0 && a.rules.List[it.rule].NameFrom == "text"
	}
	if !wanted {
		return
	}
	// The texts are those of the plan as it was: a rule that leaves them out
	// does not keep them from naming.
	labels := a.labels
	used := make([]bool, len(labels))
	taken := make([][]int, len(a.items)) // labels of each feature
	// Areas first, the smallest that holds a text; then the nearest point or
	// line.
	type area struct {
		item      int
		size      float64
		low, high [2]float64
	}
	var areas []area
	for i := range a.items {
		if it := &a.items[i]; !it.Gone && it.rule >= 0 && a.rules.List[it.rule].NameFrom == "text" && geometryWord(it.Feature.Geometry) == "area" {
			low, high := rings.Box(it.Feature.Geometry.FlatCoords(), it.Feature.Geometry.Stride())
			areas = append(areas, area{i, rings.Size(it.Feature.Geometry), low, high})
		}
	}
	sort.SliceStable(areas, func(i, j int) bool { return areas[i].size < areas[j].size })
	for k := range labels {
		for _, ar := range areas {
			if p := labels[k].at; p[0] < ar.low[0] || p[0] > ar.high[0] || p[1] < ar.low[1] || p[1] > ar.high[1] {
				continue
			}
			if rings.Holds(a.items[ar.item].Feature.Geometry, labels[k].at) {
				taken[ar.item] = append(taken[ar.item], k)
				used[k] = true
				break
			}
		}
	}
	type pair struct {
		label, item int
		d           float64
	}
	var pairs []pair
	for i := range a.items {
		it := &a.items[i]
		if it.Gone || it.rule < 0 || a.rules.List[it.rule].NameFrom != "text" {
			continue
		}
		if w := geometryWord(it.Feature.Geometry); w != "point" && w != "line" {
			continue
		}
		for k := range labels {
			if used[k] || labels[k].item == i {
				continue
			}
			if d := a.scale.ToGeometry(it.Feature.Geometry, labels[k].at); d <= a.rules.List[it.rule].TextWithinM {
				pairs = append(pairs, pair{k, i, d})
			}
		}
	}
	sort.SliceStable(pairs, func(i, j int) bool { return pairs[i].d < pairs[j].d })
	for _, p := range pairs {
		if !used[p.label] && len(taken[p.item]) == 0 {
			used[p.label] = true
			taken[p.item] = []int{p.label}
		}
	}
	for i := range a.items {
		list := taken[i]
		if len(list) == 0 {
			continue
		}
		// Of several, the one written largest.
		sort.SliceStable(list, func(x, y int) bool { return labels[list[x]].height > labels[list[y]].height })
		it := &a.items[i]
		it.Feature.Name = labels[list[0]].text
		a.report.Rules[it.rule].Named++
		if len(list) > 1 {
			var others []string
			for _, k := range list[1:] {
				others = append(others, fmt.Sprintf("%q", labels[k].text))
			}
			a.report.Notes = append(a.report.Notes, fmt.Sprintf("%q has further texts in it, which are kept: %s", it.Feature.Name, strings.Join(others[:min(len(others), 5)], ", ")))
		}
		// The text has become the name; it stays only where a rule gave it a
		// role.
		if t := &a.items[labels[list[0]].item]; !t.Gone && t.Feature.Role == schema.RoleOther {
			t.Gone = true
		}
	}
}

// String says which features the group holds.
func (g Group) String() string {
	s := fmt.Sprintf("%d", g.Count)
	if g.Entity != "" {
		s += " " + g.Entity
	}
	s += " (" + g.Geometry + ")"
	if g.Layer != "" {
		s += fmt.Sprintf(" on layer %q", g.Layer)
	}
	return s + fmt.Sprintf(", such as %q", g.Example)
}

// closedWords say what was moved to close outlines, "" when nothing was.
func (x *RuleReport) closedWords() string {
	var parts []string
	if x.GapM > 0 {
		parts = append(parts, fmt.Sprintf("the largest gap closed is %.3f m", x.GapM))
	}
	if x.MoveM > 0 {
		parts = append(parts, fmt.Sprintf("no corner was moved by more than %.3f m", x.MoveM))
	}
	if x.StubM > 0 {
		parts = append(parts, fmt.Sprintf("the longest end cut off is %.3f m", x.StubM))
	}
	return strings.Join(parts, "; ")
}

// String lists the whole report for people.
func (r Report) String() string {
	var b strings.Builder
	for i := range r.Rules {
		x := &r.Rules[i]
		what := string(x.Rule.Role)
		if x.Rule.LeaveOut {
			what = "left out"
		}
		if x.Rule.Open {
			what = "? (no role yet)"
		}
		fmt.Fprintf(&b, "rule in line %d -> %s: %d features", x.Rule.Line, what, x.Matched)
		for _, n := range []struct {
			n    int
			what string
		}{{x.Closed, "closed"}, {x.Pieces, "pieces joined"}, {x.Rings, "outlines made of them"}, {x.Lines, "longer lines made of them"}, {x.Divided, "cut where they meet"}, {x.Faces, "outlines made of those"}, {x.Walked, "closed where the walk came back to its start"}, {x.Stubs, "ends past a corner cut off"}, {x.Repeated, "drawn twice"}, {x.Empty, "of no length left out"}, {x.Holes, "became holes"}, {x.Filled, "hatches one with the outlines they fill"}, {x.Named, "named"}, {x.Unset, "attributes with nothing to set them from"}} {
			if n.n > 0 {
				fmt.Fprintf(&b, ", %d %s", n.n, n.what)
			}
		}
		b.WriteByte('\n')
		if t := x.closedWords(); t != "" {
			fmt.Fprintf(&b, "  %s\n", t)
		}
		if len(x.Features) > 0 {
			fmt.Fprintf(&b, "  %s", strings.Join(x.Features, ", "))
			if x.Matched > len(x.Features) {
				fmt.Fprintf(&b, " and %d more", x.Matched-len(x.Features))
			}
			b.WriteByte('\n')
		}
	}
	if r.Hidden > 0 {
		fmt.Fprintf(&b, "not shown: %s\n", r.hiddenWords())
	}
	for _, g := range r.Unmatched {
		fmt.Fprintf(&b, "no rule: %s\n", g)
	}
	for i, g := range r.Gaps {
		if i == mostListed {
			fmt.Fprintf(&b, "gap: and %d more\n", len(r.Gaps)-i)
			break
		}
		fmt.Fprintf(&b, "gap: %s\n", g)
	}
	for i, j := range r.Junctions {
		if i == mostListed {
			fmt.Fprintf(&b, "junction: and %d more\n", len(r.Junctions)-i)
			break
		}
		fmt.Fprintf(&b, "junction: %d pieces on layer %q meet at (%.3f, %.3f)\n", j.Count, j.Layer, j.E, j.N)
	}
	for _, c := range append(append([]string(nil), r.Crossings...), r.Notes...) {
		fmt.Fprintf(&b, "note: %s\n", c)
	}
	return b.String()
}
