// The layers that this program writes, in a drawing that somebody has worked in
// since: what stands there has the role of its layer.

package dxf

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"swardline/convert/wire"
	"swardline/schema"
)

// roleOfLayer is the role that a layer of this program's stands for, and
// whether for features that are off; ok is false for any other layer.
func roleOfLayer(name string) (role schema.Role, off, ok bool) {
	name, off = strings.CutSuffix(strings.ToUpper(name), offEnding)
	role = schema.Role(strings.ToLower(name))
	return role, off, role != schema.RoleOther && slices.Contains(schema.Roles, role)
}

// guards reports whether things of the role keep a machine off, or say what it
// must not pass.
func guards(role schema.Role) bool {
	switch role {
	case schema.RoleHazard, schema.RoleKeepout, schema.RoleBuilding, schema.RoleEdge, schema.RoleBoundary:
		return true
	}
	return false
}

// layersAreOurs reports whether the drawing's layers are this program's: it has
// the record of a plan, or, where another program has thrown that away, the
// layer of the note and one of a role in its colour.
func (r *reader) layersAreOurs() bool {
	if r.planRecord.Kind() == schema.KindObject {
		return true
	}
	if l := r.layersByName[noticeLayer]; l == nil || !l.stated {
		return false
	}
	for _, l := range r.layerOrder {
		role, _, ok := roleOfLayer(l.name)
		rgb := wire.ColourOf(role).RGB
		if ok && l.stated && l.rgb == int(rgb[0])<<16|int(rgb[1])<<8|int(rgb[2]) {
			return true
		}
	}
	return false
}

// layerRoles counts what got its role from its layer.
type layerRoles struct {
	on     bool
	n      map[schema.Role]int
	total  int
	line   int
	first  string
	unfit  int // things that cannot have the role of their layer
	unline int
	unsaid string
}

// give gives a feature that this program did not write the role of its layer.
func (l *layerRoles) give(f *schema.Feature, d *drawn, r *reader) {
	t := &r.tally
	role, off, ok := roleOfLayer(d.layer.name)
	if !l.on || !ok || d.sh.kind == kindText {
		return
	}
	point := d.sh.kind == kindPoint || d.sh.kind == kindInsert
	switch role {
	case schema.RoleHazard:
	case schema.RoleBase, schema.RoleDock, schema.RoleMark, schema.RoleSupply:
		ok = point
	default:
		ok = !point
	}
	if d.sh.kind == kindInsert && !ok {
		return // what its block draws has the role
	}
	says := fmt.Sprintf("the %s in line %d on layer %q", d.sh.etype, d.sh.line, d.layer.name)
	if !ok {
		if l.unfit++; l.unfit == 1 {
			l.unline, l.unsaid = d.sh.line, says
		}
		return
	}
	if l.n == nil {
		l.n = map[schema.Role]int{}
	}
	if l.n[role]++; l.total == 0 {
		l.line, l.first = d.sh.line, says
	}
	l.total++
	f.Role = role
	r.unseen(d)
	if off {
		if guards(role) && r.planRecord.Kind() == schema.KindObject { // else nobody knows who drew it
			t.Add("drawn-off", d.sh.line, "", "%s was not written by swardline, and was read as switched off, as its layer says: move it to the layer %s if it stands there, or take it out", says, strings.ToUpper(string(role)))
		}
		f.Attributes.Set(schema.PropActive, schema.Bool(false))
	}
	switch name := strings.ToUpper(d.sh.ins.name); {
	case d.sh.kind != kindInsert || !isSymbol(name):
	case role == schema.RoleHazard && name == "PLAN_TREE":
		f.Attributes.Set(schema.PropHazardKind, schema.String("tree"))
	case role == schema.RoleDock:
		f.Attributes.Set(schema.PropHeadingDeg, schema.Float(math.Round(degrees(-d.rotation)*1e6)/1e6))
	}
	if role.IsArea() && role != schema.RoleBoundary && len(d.rings) == 1 && !d.rings[0].closed {
		t.Add("layer-line-open", d.sh.line, "", "%s is open, so it bounds no %s: close it in the drawing, as one closed polyline", says, role)
	}
}

// unseen tells of what has a role and is shown to nobody: on a layer that is
// frozen or off, or hidden itself. Whoever hid the keep-outs may have meant that
// they are gone, or only wanted to see the rest; it is read as it stands.
func (r *reader) unseen(d *drawn) {
	where := ""
	switch state := d.layer.state(); {
	case strings.EqualFold(d.layer.name, string(schema.RoleOther)):
	case (state == "frozen" || state == "off") && !strings.HasSuffix(strings.ToUpper(d.layer.name), offEnding):
		where = "its layer is " + state
	case d.hidden:
		where = "it is hidden"
	}
	if where != "" {
		r.tally.Add("drawn-unseen", d.sh.line, "", "the %s in line %d, on layer %q, is not shown in the drawing (%s), and was read as it stands: show it if it is meant, take it out if it is not; what is switched off stands on a layer that ends in %s", d.sh.etype, d.sh.line, d.layer.name, where, offEnding)
	}
}

// tell says what got its role from its layer.
func (l *layerRoles) tell(t *wire.Tally) {
	if l.total > 0 {
		var parts []string
		for _, role := range schema.Roles {
			if n := l.n[role]; n > 0 {
				parts = append(parts, fmt.Sprintf("%d %s", n, role))
			}
		}
		t.AddN("role-from-layer", l.total, l.line, "", "things that swardline did not write stand on its layers, and have their roles: %s; the first is %s. Look at each, and name it in the drawing's plan with edit", strings.Join(parts, ", "), l.first)
	}
	if l.unfit > 0 {
		t.AddN("role-not-from-layer", l.unfit, l.unline, "", "things on swardline's layers cannot have their role, a point that of an area or line, or the other way round, and have none: the first is %s. Draw them as what they are, or move them to another layer", l.unsaid)
	}
}

// movedRole gives a feature of this program's whose every part was moved to
// another of its layers the role of that layer. It reports whether it did.
func (r *reader) movedRole(f *schema.Feature, p *ownParts, all bool) bool {
	role, off, ok := roleOfLayer(p.layer)
	if !ok || !all {
		return false
	}
	before := f.Role
	active, told := f.Attributes.Get(schema.PropActive).Truth()
	f.Role = role
	switch {
	case off:
		f.Attributes.Set(schema.PropActive, schema.Bool(false))
	case told && !active:
		f.Attributes.Delete(schema.PropActive)
	}
	// Off on the layer of its own role it was switched off.
	weaker := role != before && guards(before) && (off || role != schema.RoleHazard && !(role == schema.RoleKeepout && before != schema.RoleHazard))
	if weaker && (!told || active) {
		r.tally.Add("role-danger-moved", p.line, "", "%q (line %d), a %s when it was written, was moved to the layer %q and has its role now, so it guards no more what it guarded: move it back if that was a slip; if it is meant, convert the drawing once, and the plan says so itself", f.Label(), p.line, before, p.layer)
		return true
	}
	r.tally.Add("role-from-new-layer", p.line, "", "%q (line %d), a %s when it was written, was moved to the layer %q, and has its role now", f.Label(), p.line, before, p.layer)
	return true
}
