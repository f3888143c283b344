// What is set from where things stand: texts and blocks inside, arrows that
// point.

package roles

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"swardline/convert/intake/rings"
)

// isLeader reports whether a kind of entity is an arrow with a text.
func isLeader(kind string) bool {
	return kind == "LEADER" || kind == "MULTILEADER" || kind == "MLEADER"
}

// byPlace reports whether the value comes from what stands inside or points at
// an outline, which has to be made first.
func (s SetFrom) byPlace() bool {
	return s.From == fromText || s.From == fromLeader || strings.HasPrefix(s.From, fromInside)
}

// asksLeader reports whether a rule takes something from leaders.
func (r *Rule) asksLeader() bool {
	for _, s := range r.SetFrom {
		if s.From == fromLeader {
			return true
		}
	}
	return r.NameFrom == fromLeader
}

// pointLeaders finds what each leader points at, among what asks for leaders:
// the smallest outline that its tip is in or on, else the nearest point or line
// within text_within_m of its rule.
func (a *applier) pointLeaders() {
	a.pointed = map[int]string{}
	var asking []int
	for i := range a.items {
		if it := &a.items[i]; !it.Gone && it.rule >= 0 && slices.ContainsFunc(a.rulesOf(it), (*Rule).asksLeader) {
			asking = append(asking, i)
		}
	}
	if len(asking) == 0 {
		return
	}
	astray := 0
	for _, l := range a.leaders {
		best, size, near := -1, math.Inf(1), math.Inf(1)
		for _, i := range asking {
			it := &a.items[i]
			rule := &a.rules.List[it.rule]
			switch geometryWord(it.Feature.Geometry) {
			case "area":
				if s := rings.Size(it.Feature.Geometry); s < size && a.scale.HoldsNear(it.Feature.Geometry, l.at, rule.ToleranceM) {
					best, size = i, s
				}
			case "point", "line":
				if math.IsInf(size, 1) && l.item != i {
					if d := a.scale.ToGeometry(it.Feature.Geometry, l.at); d <= rule.TextWithinM && d < near {
						best, near = i, d
					}
				}
			}
		}
		switch before, taken := a.pointed[best]; {
		case best < 0:
			astray++
		case !taken:
			a.pointed[best] = l.text
		case before != l.text:
			a.report.Notes = append(a.report.Notes, fmt.Sprintf("several leaders point at %s: %q is taken, %q is not", rings.Label(a.items[best].Feature), before, l.text))
		}
	}
	if astray > 0 {
		a.report.Notes = append(a.report.Notes, fmt.Sprintf("leaders that point at nothing of a rule that asks for them: %d", astray))
	}
}

// setFromPlace sets what comes from places, on outlines as they are now.
func (a *applier) setFromPlace() {
	for i := range a.items {
		it := &a.items[i]
		if it.Gone || it.rule < 0 {
			continue
		}
		cloned := false
		var wanted []SetFrom
		for k, rule := range a.rulesOf(it) {
			for _, from := range rule.SetFrom {
				if from.byPlace() && (k == 0 || !it.Feature.Attributes.Has(from.Key)) {
					wanted = append(wanted, from)
				}
			}
		}
		for _, from := range wanted {
			v := a.valueFrom(from, i)
			if v.IsAbsent() {
				a.report.Rules[it.rule].Unset++
				continue
			}
			if !cloned { // outlines made of the same lines share theirs
				f := *it.Feature
				f.Attributes = f.Attributes.Clone()
				it.Feature, cloned = &f, true
			}
			it.Feature.Attributes.Set(from.Key, v)
		}
	}
}
