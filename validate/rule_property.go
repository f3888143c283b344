// The rule property-misnamed, and the slips in names of properties that
// switch-unfit tells too.

package validate

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// readProperty is a property that rules read.
type readProperty struct {
	key   string
	roles []schema.Role // nil for every role but other
	// others are words for it that differ by more than a slip, folded.
	others []string
}

// readProperties are the properties whose slips matter. What others name is
// common practice, no source.
var readProperties = []readProperty{
	{schema.PropActive, nil, []string{"enabled", "enable", "disabled", "inactive", "aktiv", "actif", "activo"}},
	{schema.PropLimits, nil, nil},
	{schema.PropRadiusM, []schema.Role{schema.RoleHazard, schema.RoleEdge}, []string{"diameter", "diam", "dia"}},
	{schema.PropHeightM, []schema.Role{schema.RoleHazard, schema.RoleBuilding}, nil},
	{schema.PropHeadingDeg, []schema.Role{schema.RoleDock}, nil},
	{schema.PropStandoffM, []schema.Role{schema.RoleDock}, nil},
	{schema.PropAntennaHeight, []schema.Role{schema.RoleBase}, nil},
	{schema.PropHazardKind, []schema.Role{schema.RoleHazard}, []string{"kind", "hazardtype"}},
	{schema.PropEdgeKind, []schema.Role{schema.RoleEdge}, nil},
	{schema.PropFix, nil, []string{"fixtype", "fixquality", "rtkfix"}},
	{schema.PropSigma, nil, []string{"accuracy"}},
	{schema.PropFrame, []schema.Role{schema.RoleBase}, nil},
	{schema.PropEpoch, []schema.Role{schema.RoleBase}, nil},
	{schema.PropDrawnFrom, nil, nil},
}

// notSlips are words of their own one letter from a property's name.
var notSlips = []string{"weight", "freight", "reading", "leading", "beading"}

// foldKey is a key without case, spaces, hyphens and underscores.
func foldKey(key string) string { return unjoined(schema.FoldName(key)) }

// unjoined is a word without spaces, hyphens and underscores.
func unjoined(s string) string {
	if !strings.ContainsAny(s, "_- ") {
		return s
	}
	out := make([]byte, 0, len(s))
	for _, b := range []byte(s) {
		if b != '_' && b != '-' && b != ' ' {
			out = append(out, b)
		}
	}
	return string(out)
}

// units end names of properties; the longest stand first.
var units = []string{"degrees", "metres", "meters", "metre", "meter", "degree", "feet", "deg", "mm", "cm", "ft", "m"}

// withoutUnit is a key without the unit at its end, folded.
func withoutUnit(key string) string {
	key = strings.ToLower(strings.TrimSpace(key))
	for _, u := range units {
		for _, by := range [...]string{"_", "-", " "} {
			if base, ok := strings.CutSuffix(key, by+u); ok && base != "" {
				return foldKey(base)
			}
		}
	}
	return foldKey(key)
}

// nearWord reports whether two words of five letters and more are one but for
// one letter too many, too few, wrong, or two that changed places.
func nearWord(a, b string) bool {
	if min(len([]rune(a)), len([]rune(b))) < 5 {
		return a == b
	}
	return oneSlip(a, b)
}

// oneSlip is nearWord for words of any length.
func oneSlip(a, b string) bool {
	p, q := []rune(a), []rune(b)
	if len(p) > len(q) {
		p, q = q, p
	}
	if len(q)-len(p) > 1 {
		return false
	}
	i := 0
	for i < len(p) && p[i] == q[i] {
		i++
	}
	if len(p) < len(q) {
		return slices.Equal(p[i:], q[i+1:])
	}
	if i == len(p) || slices.Equal(p[i+1:], q[i+1:]) {
		return true
	}
	return i+1 < len(p) && p[i] == q[i+1] && p[i+1] == q[i] && slices.Equal(p[i+2:], q[i+2:])
}

// foldedProperties are the keys of readProperties, folded, and folded without
// their unit.
var foldedProperties = sync.OnceValue(func() [][2]string {
	out := make([][2]string, len(readProperties))
	for i := range readProperties {
		out[i] = [2]string{foldKey(readProperties[i].key), withoutUnit(readProperties[i].key)}
	}
	return out
})

// remembered keeps what a function says of the first so many words it is asked
// of: plans share their keys.
type remembered[V any] struct {
	of    func(word string) V
	mutex sync.RWMutex
	known map[string]V
}

const mostRemembered = 4096

func (m *remembered[V]) get(word string) V {
	m.mutex.RLock()
	v, ok := m.known[word]
	m.mutex.RUnlock()
	if ok {
		return v
	}
	v = m.of(word)
	m.mutex.Lock()
	defer m.mutex.Unlock()
	if m.known == nil {
		m.known = map[string]V{}
	}
	if len(m.known) < mostRemembered {
		m.known[strings.Clone(word)] = v
	}
	return v
}

// slip is a property under a name that no rule reads.
type slip struct {
	f        *Feature
	property string // the right name
	key      string // as it stands
	value    schema.Value
	says     string // what to do
	whole    string // the whole message, where it says more than a name
}

// slips returns those of the property active, or of all the others.
func (r *run) slips(active bool) []slip {
	var out []slip
	eachMeant(r, &slipKeys, func(f *Feature, a schema.Attribute, p *readProperty) {
		if (p.key == schema.PropSigma || p.key == schema.PropFix) && r.measuredWell(f, p.key, a) {
			return
		}
		if (p.key != schema.PropActive) == active || p.roles != nil && !slices.Contains(p.roles, f.Role) {
			return
		}
		if !isNull(f.Attributes.Get(p.key)) {
			if s := cmp.Or(f.outgrown(p.key, a), f.otherwise(p.key, a)); s != "" {
				out = append(out, slip{f: f, property: p.key, whole: s})
			}
			return
		}
		if p.key != schema.PropRadiusM || len(f.Points) > 0 || f.reachesOut(a.Key, a.Value) {
			out = append(out, slip{f: f, property: p.key, key: a.Key, value: a.Value})
		}
	})
	return out
}

var slipKeys = remembered[[]*readProperty]{of: meantFor}

// eachMeant calls take with every attribute that has a value, of features that
// have a role, and with what its key may have been meant for.
func eachMeant[P any](r *run, meantFor *remembered[[]*P], take func(*Feature, schema.Attribute, *P)) {
	for _, f := range r.Features {
		if f.Role == schema.RoleOther || f.Role == "" {
			continue
		}
		for _, a := range f.Attributes {
			for _, p := range meantFor.get(a.Key) {
				if !isNull(a.Value) {
					take(f, a, p)
				}
			}
		}
	}
}

func isNull(v schema.Value) bool { return v.IsAbsent() || v.Kind() == schema.KindNull }

// meantFor returns the properties that a key may have been meant for, none for
// the right name of one.
func meantFor(key string) []*readProperty {
	folded, k := foldKey(key), withoutUnit(key)
	var out []*readProperty
	for i, own := range foldedProperties() {
		p := &readProperties[i]
		if p.key == key {
			return nil
		}
		if k == own[1] || folded == own[0] || slices.Contains(p.others, k) || nearWord(k, own[1]) && !slices.Contains(notSlips, k) {
			out = append(out, p)
		}
	}
	return out
}

// saysOn reports whether a slip of active says what is assumed without it.
func (s slip) saysOn() bool {
	switch foldKey(s.key) {
	case "disabled", "inactive":
		return s.value.Text() == "false"
	}
	return s.value.Text() == "true"
}

func checkPropertyMisnamed(r *run) {
	r.membersMisnamed()
	r.givenMisnamed()
	r.membersDrawn()
	r.membersOfFeatures()
	r.membersOfSystem()
	if len(r.Features) == 0 {
		r.cannot("the plan has no active feature")
		return
	}
	more := 0
	tell := func(f *Feature, grave bool, message string) {
		if len(r.findings) >= mostFindings {
			more++
			return
		}
		x := r.finding(r.middle(f), f)
		if grave {
			x.Severity = Error
		}
		x.Message = message
	}
	r.kindsBesides(tell)
	r.saidTwice(tell)
	r.measuredTwice(tell)
	r.kindTwice(tell)
	r.propertiesDraw(tell)
	r.proximity(tell)
	for _, s := range append(r.slips(false), r.otherWords()...) {
		grave := s.property == schema.PropRadiusM || s.property == schema.PropWidth || s.property == schema.PropLimits
		if s.whole != "" {
			tell(s.f, grave, s.whole)
			continue
		}
		message := fmt.Sprintf("the property is called %s, not %s, so it is not read", s.property, quote(s.key))
		switch k := withoutUnit(s.key); {
		case k == "diameter":
			message += "; radius_m is half of it"
		case s.property == schema.PropRadiusM && !strings.HasPrefix(k, "rad"):
			message += "; radius_m is half of how wide it is, in metres"
		}
		tell(s.f, grave, message+s.says)
	}
	if more > 0 {
		r.findings[len(r.findings)-1].Message += fmt.Sprintf(" (and %d more)", more)
	}
}

// membersMisnamed reports members of the plan that were meant for one that is
// read: another spelling, or one within the member properties.
func (r *run) membersMisnamed() {
	all := r.Plan.Attributes
	tell := func(name, message string) {
		x := r.finding(nil)
		if name == schema.PlanLimits {
			x.Severity = Error
		}
		x.Message = message
	}
	for _, name := range [...]string{schema.PlanLimits, schema.PropFrame, schema.PropEpoch, schema.PlanHeights, schema.PlanHeld, schema.PlanHistory, schema.PlanPlacement} {
		if own := r.ownMember(name); !isNull(own) {
			r.memberTwice(name, own)
			continue
		}
		for _, a := range all {
			if k := foldKey(a.Key); k == name || name == schema.PlanLimits && nearWord(k, name) {
				tell(name, fmt.Sprintf("the plan's member is called %s, not %s, so it is not read", name, quote(a.Key)))
			}
			if a.Key != "properties" && a.Key != "metadata" {
				continue
			}
			for _, b := range a.Value.Fields() {
				if k := foldKey(b.Key); k == name {
					tell(name, fmt.Sprintf("the plan's %s stands within its member %s, where it is not read; it is a member of the plan itself, beside features", name, a.Key))
				}
			}
		}
	}
}

// ownMember is the plan's member of a name, an epoch also where its format has a place
// for it.
func (r *run) ownMember(name string) schema.Value {
	if v := r.Plan.Attributes.Get(name); !isNull(v) || name != schema.PropEpoch || r.Plan.Epoch == 0 {
		return v
	}
	return schema.Float(r.Plan.Epoch)
}

// memberTwice reports what stands under another spelling of a member, or within the
// member properties, and says otherwise than the member itself.
func (r *run) memberTwice(name string, own schema.Value) {
	look := func(a schema.Attribute, where string) {
		if a.Key == name && where == "" || foldKey(a.Key) != name || isNull(a.Value) || a.Value.Equal(own) || strings.EqualFold(a.Value.Text(), own.Text()) && own.Text() != "" {
			return
		}
		p, ok1 := schema.NumberSaid(own)
		q, ok2 := schema.NumberSaid(a.Value)
		if ok1 && ok2 && math.Abs(p-q) <= epochSlackYears || name == schema.PropFrame && sameFrameWords(own.Text(), a.Value.Text()) {
			return
		}
		x := r.finding(nil)
		if name == schema.PlanLimits {
			x.Severity = Error
		}
		x.Message = fmt.Sprintf("the plan's %s and %s%s say two things (%s; %s): only the first is read; take the wrong one out", name, quote(a.Key), where, clipped(string(own.AppendJSON(nil))), clipped(string(a.Value.AppendJSON(nil))))
	}
	for _, a := range r.Plan.Attributes {
		look(a, "")
		if a.Key == "properties" || a.Key == "metadata" {
			for _, b := range a.Value.Fields() {
				look(b, " within its "+a.Key)
			}
		}
	}
}

// givenMisnamed reports a member of a plan with a history that says, under
// another name, whether its coordinates are those of the ground or those held:
// without it they are taken for the latter.
func (r *run) givenMisnamed() {
	all := r.Plan.Attributes
	if !isNull(all.Get(schema.PlanGiven)) || isNull(all.Get(schema.PlanHistory)) {
		return
	}
	for _, a := range all {
		text := schema.FoldName(a.Value.Text())
		if a.Key != schema.PlanHeld && a.Key != schema.PlanGiven && (nearWord(foldKey(a.Key), schema.PlanGiven) || text == schema.GivenGround || text == schema.GivenHeld) {
			x := r.finding(nil)
			x.Severity = Error
			x.Message = fmt.Sprintf("the plan's member %s says %s and is not read, so that its coordinates are taken for those that the machine holds: whether they are that or the ground is said by the member %s, as %s or %s", quote(a.Key), shown(a.Value), schema.PlanGiven, schema.GivenHeld, schema.GivenGround)
		}
	}
}

// membersOfSystem reports members of the plan that name a system of coordinates
// and are not read, limits outside limits, and a held that is none of its two
// words.
func (r *run) membersOfSystem() {
	for _, a := range r.Plan.Attributes {
		if isNull(a.Value) {
			continue
		}
		if a.Key == schema.PlanHeld && a.Value.Text() != "offsets" && a.Value.Text() != "coordinates" {
			r.finding(nil).Message = fmt.Sprintf("the plan's held is %s, and has to be offsets or coordinates: which of the two the machine keeps, its lines from the base or its places on earth, is not known", shown(a.Value))
		}
		if sayings.get(a.Key).limit {
			x := r.finding(nil)
			x.Severity = Error
			x.Message = fmt.Sprintf("the plan's member %s is a limit, and not read there: it stands in the member limits, an object such as {%q: %s}", quote(a.Key), a.Key, a.Value.Text())
		}
		for _, n := range otherMeant(a.Key) {
			if n.property == schema.PropFrame && n.fits(a.Value) && !r.saysFrame(a.Value.Text()) {
				r.finding(nil).Message = fmt.Sprintf("the plan's member %s names a system of coordinates and is not read: take the plan in with --from, or say frame", quote(a.Key))
			}
		}
	}
}

// saysFrame reports whether the plan's own frame is the one of the name.
func (r *run) saysFrame(name string) bool {
	own := r.Plan.Attributes.Get(schema.PropFrame).Text()
	return own != "" && name != "" && sameFrameWords(own, name)
}

// mownOver is an active zone that a thing which is switched off stands in, with
// no keep-out round it; nil for none. It is asked of hazards, buildings, walls
// and drops, on the coordinates as read.
func (r *run) mownOver(f *schema.Feature) *Feature {
	if f.Role == schema.RoleBoundary {
		return nil
	}
	if kind := schema.FoldName(f.Attributes.Get(schema.PropEdgeKind).Text()); f.Role == schema.RoleEdge && kind != schema.EdgeWall && kind != schema.EdgeDrop {
		return nil
	}
	g := Feature{Feature: f}
	b := builder{ground: make([]orb.Point, countVertices(f.Geometry)), highest: maxHeightM}
	b.add(&g, f.Geometry)
	for _, k := range r.Of(schema.RoleKeepout) {
		for i := range k.Areas {
			if vertices, crossed := against(&g, k.Areas[i].Read); !crossed && len(b.read) > 0 && vertices == len(b.read) {
				return nil
			}
		}
	}
	for _, z := range r.Of(schema.RoleZone) {
		for i := range z.Areas {
			if vertices, crossed := against(&g, z.Areas[i].Read); crossed || vertices > 0 {
				return z
			}
			for _, a := range g.Areas {
				if ring := z.Areas[i].Read[0]; len(ring) > 0 && plane.Locate(ring[0], a.Read) == plane.Inside {
					return z
				}
			}
		}
	}
	return nil
}

// against counts the vertices of a feature inside an area, and reports whether
// its lines cross or touch the area's rings.
func against(g *Feature, area orb.Polygon) (inside int, crossed bool) {
	var paths []orb.LineString
	for _, l := range g.Lines {
		paths = append(paths, l.Read)
	}
	for _, a := range g.Areas {
		for _, ring := range a.Read {
			paths = append(paths, orb.LineString(ring))
		}
	}
	for _, p := range g.Points {
		paths = append(paths, orb.LineString{p.Read})
	}
	box := area.Bound()
	for _, path := range paths {
		if !path.Bound().Intersects(box) {
			continue
		}
		for i, p := range path {
			if plane.Locate(p, area) == plane.Inside {
				inside++
			}
			if i == 0 {
				continue
			}
			for _, ring := range area {
				for k := 1; k < len(ring); k++ {
					crossed = crossed || plane.Cross(path[i-1], p, ring[k-1], ring[k]).Kind != plane.CrossNone
				}
			}
		}
	}
	return inside, crossed
}
