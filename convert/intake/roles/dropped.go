// What rules take out of a plan though its layer or name speaks for a thing that keeps
// a machine off.

package roles

import (
	"fmt"
	"slices"
	"strings"

	"github.com/twpayne/go-geom"

	"swardline/convert/intake/look"
	"swardline/schema"
)

// keepsOff are the roles of what a machine is kept off.
var keepsOff = []schema.Role{schema.RoleHazard, schema.RoleKeepout, schema.RoleBuilding, schema.RoleEdge, schema.RoleBoundary}

// dropped says what the rules left out that speaks for such a role, once for all of a
// layer, of a name where there is no layer, or of another word: whoever reads the plan
// sees no gap where it lay. Texts are no things; see textsDropped.
func (a *applier) dropped() []string {
	var said counted
	for i := range a.items {
		it := &a.items[i]
		if it.rule < 0 || !a.rules.List[it.rule].LeaveOut {
			continue
		}
		if words, role := speaksFor(it.Feature, it.Layer); words != "" {
			said.add("%s, which speaks for the role %s, left out by the rule in line %d: give them that role, or look that nothing of them lies where the machine goes", words, role, a.rules.List[it.rule].Line)
		}
	}
	return said.lines()
}

// speaksFor is the word by which a feature is one of what keeps a machine off, quoted,
// and the role: its own, its layer, its name or a property.
func speaksFor(f *schema.Feature, layer string) (words string, role schema.Role) {
	if slices.Contains(keepsOff, f.Role) {
		return fmt.Sprintf("the file's own role %q", f.Role), f.Role
	}
	if isText(f) {
		return "", ""
	}
	said := []string{layer, f.Name}
	for _, p := range f.Attributes {
		if p.Value.Kind() == schema.KindString && len(p.Value.Text()) <= longestSaid {
			said = append(said, p.Value.Text())
		}
	}
	for _, s := range said {
		if role := look.LikelyRole(s, 1, 1, 1).Role; s != "" && slices.Contains(keepsOff, role) {
			return fmt.Sprintf("%q", s), role
		}
	}
	return "", ""
}

// textsDropped gives a plan the texts that rules left out as texts beside it, where their
// words are read: what a drawing says in its midst is no less said for that.
func (a *applier) textsDropped(p *schema.Plan) {
	for i := range a.items {
		it := &a.items[i]
		if it.rule >= 0 && a.rules.List[it.rule].LeaveOut && (isText(it.Feature) || isSentence(it.Feature)) {
			p.AddBeside(schema.BesideText{Where: fmt.Sprintf("a text that the rule in line %d left out", a.rules.List[it.rule].Line), Text: it.Feature.Name, Names: true})
		}
	}
}

// isSentence reports whether a point has a sentence for a name, as a text of a drawing has
// that came by way of another format.
func isSentence(f *schema.Feature) bool {
	_, point := f.Geometry.(*geom.Point)
	return point && len(strings.Fields(f.Name)) >= 3
}

// longestSaid is how long a property is that is read for what a feature is: more is a
// text, in which a house or a wall may be named for any reason.
const longestSaid = 40

// replaced keeps what a rule puts in place of something else that the file says of a
// feature, which nobody sees in the plan any more: a radius that was measured, a note, a
// role of what keeps a machine off.
func (a *applier) replaced(f *schema.Feature, rule *Rule) {
	if slices.Contains(keepsOff, f.Role) && !slices.Contains(keepsOff, rule.Role) {
		a.replacing.add("the file's own role %q, which the rule in line %d made the role %s: look which of the two holds", f.Role, rule.Line, rule.Role)
	}
	for _, s := range rule.Set {
		old := f.Attributes.Get(s.Key)
		if s.Key == schema.PropName || old.IsAbsent() || old.Kind() == schema.KindNull || old.Text() == s.Value.Text() || old.Equal(s.Value) {
			continue
		}
		a.replacing.add("%s %q, which the rule in line %d made %q: look which of the two holds", s.Key, briefly(old.Text()), rule.Line, briefly(s.Value.Text()))
	}
}

// briefly cuts a long text.
func briefly(s string) string {
	if r := []rune(s); len(r) > 2*longestSaid {
		return string(r[:2*longestSaid]) + "..."
	}
	return s
}

// counted are sentences and how many features each is of, in the order of the first.
type counted struct {
	count map[string]int
	order []string
}

func (c *counted) add(format string, args ...any) {
	if c.count == nil {
		c.count = map[string]int{}
	}
	said := fmt.Sprintf(format, args...)
	if c.count[said]++; c.count[said] == 1 {
		c.order = append(c.order, said)
	}
}

func (c *counted) lines() (out []string) {
	for _, said := range c.order {
		out = append(out, fmt.Sprintf("%d of %s", c.count[said], said))
	}
	return out
}
