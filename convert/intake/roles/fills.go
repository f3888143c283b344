// A hatch and the outline that it fills are one thing.

package roles

import (
	"fmt"

	"github.com/twpayne/go-geom"

	"swardline/convert/intake/rings"
	"swardline/schema"
)

func isHatch(it *item) bool { return it.Feature.Attributes.Get(schema.PropEntity).Text() == "HATCH" }

// mergeFills takes hatches out whose outlines have the same role; what an
// outline lacks and the hatch's rule sets, it gets. last is true when no more
// holes will be made.
func (a *applier) mergeFills(last bool) {
	byRole := map[schema.Role][]int{}
	hatches := false
	for i := range a.items {
		it := &a.items[i]
		if !it.Gone && it.rule >= 0 && geometryWord(it.Feature.Geometry) == "area" {
			byRole[it.Feature.Role] = append(byRole[it.Feature.Role], i)
			hatches = hatches || isHatch(it)
		}
	}
	if !hatches {
		return
	}
	for i := range a.items {
		it := &a.items[i]
		if it.Gone || it.rule < 0 || !isHatch(it) || geometryWord(it.Feature.Geometry) != "area" {
			continue
		}
		// Outlines first; of hatches alone, the first one stays.
		var which []int
		var shapes []geom.T
		for _, lines := range []bool{true, false} {
			for _, k := range byRole[it.Feature.Role] {
				if other := &a.items[k]; k != i && !other.Gone && isHatch(other) != lines && (lines || k < i) {
					which, shapes = append(which, k), append(shapes, other.Feature.Geometry)
				}
			}
		}
		fill := a.scale.FillOf(it.Feature.Geometry, shapes, a.rules.List[it.rule].ToleranceM)
		for _, k := range fill.Outlines {
			a.dress(&a.items[which[k]], it)
		}
		if len(fill.Outlines) > 0 {
			a.report.Rules[it.rule].Filled += len(fill.Outlines)
			f := *it.Feature
			f.Geometry = fill.Rest
			it.Feature, it.Gone = &f, fill.Rest == nil
		}
		if last && !it.Gone {
			for _, k := range fill.Differ {
				a.report.Notes = append(a.report.Notes, fmt.Sprintf("%s fills %s, but for other holes; both are kept, and overlap: draw the holes on the outline's layer and give its rule holes: true, or leave one of the two out",
					rings.Label(it.Feature), rings.Label(a.items[which[k]].Feature)))
			}
		}
	}
}

// dress gives an outline the attributes that the rule of its hatch sets.
func (a *applier) dress(outline, hatch *item) {
	if outline.rule == hatch.rule {
		return
	}
	outline.also = append(outline.also, hatch.rule)
	rule := &a.rules.List[hatch.rule]
	keys := make([]string, 0, len(rule.Set)+len(rule.SetFrom))
	for _, s := range rule.Set {
		keys = append(keys, s.Key)
	}
	for _, s := range rule.SetFrom {
		keys = append(keys, s.Key)
	}
	f := *outline.Feature
	f.Attributes = f.Attributes.Clone()
	for _, key := range keys {
		if v := hatch.Feature.Attributes.Get(key); !v.IsAbsent() && !f.Attributes.Has(key) {
			f.Attributes.Set(key, v)
		}
	}
	if f.Name == "" {
		f.Name = hatch.Feature.Name
	}
	outline.Feature = &f
}
