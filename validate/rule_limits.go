// The rules limits-invalid and limit-loosened: limits that a plan or a feature
// has of its own.

package validate

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"sync"

	"swardline/schema"
)

// limitReaders are the roles of the features whose own value of a limit a rule
// of any command reads. Of a limit that is not here no feature's counts.
var limitReaders = sync.OnceValue(func() map[string][]schema.Role {
	driven := []schema.Role{schema.RoleZone, schema.RoleCorridor, schema.RoleDock}
	seeing := []schema.Role{schema.RoleBase, schema.RoleZone, schema.RoleCorridor, schema.RoleDock}
	entered := []schema.Role{schema.RoleKeepout, schema.RoleHazard, schema.RoleBuilding, schema.RoleBoundary}
	lines := []schema.Role{schema.RoleZone, schema.RoleCorridor}
	dock, corridor, zone := []schema.Role{schema.RoleDock}, []schema.Role{schema.RoleCorridor}, []schema.Role{schema.RoleZone}
	counting := []schema.Role{schema.RoleBase, schema.RoleZone, schema.RoleDock}
	base, hazard := []schema.Role{schema.RoleBase}, []schema.Role{schema.RoleHazard}
	reaching := []schema.Role{schema.RoleHazard, schema.RoleOther, schema.RoleEdge, schema.RoleKeepout}
	return map[string][]schema.Role{
		"base_range_m": driven, "site_span_m": schema.Roles, "base_height_m": schema.Roles, "hard_edge_strip_m": {schema.RoleEdge, schema.RoleBuilding}, "opening_max_m": {schema.RoleEdge}, "step_max_m": append([]schema.Role{schema.RoleEdge}, lines...),
		"corridor_inside_m": corridor, "corridor_outside_m": corridor, "dock_standoff_m": dock, "cable_run_m": {schema.RoleDock, schema.RoleBase},
		"curve_chord_m":   slices.DeleteFunc(slices.Clone(schema.Roles), func(role schema.Role) bool { return !curved(role) }),
		"machine_width_m": append([]schema.Role{schema.RoleEdge}, driven...), "turn_radius_m": {schema.RoleCorridor, schema.RoleDock}, "passage_min_m": lines,
		"slope_max_percent": append([]schema.Role{schema.RoleEdge}, lines...), "slope_edge_max_percent": lines, "dock_slope_max_percent": dock,
		"hazard_margin_m": {schema.RoleHazard, schema.RoleEdge, schema.RoleBase, schema.RoleSupply}, "hazard_margin_water_m": hazard, "hazard_margin_road_m": hazard,
		"hazard_margin_drop_m": {schema.RoleHazard, schema.RoleEdge}, "hazard_margin_tree_m": hazard, "power_line_m": base,
		"hazard_margin_fast_m": reaching, "hazard_margin_airfield_m": reaching, "hazard_margin_swing_m": reaching,
		"sky_mask_deg": seeing, "sky_hidden_stop_percent": {schema.RoleBase, schema.RoleZone, schema.RoleDock}, "thin_share_percent": counting, "sats_min": counting, "pdop_max": counting,
		"machine_antenna_m": driven, "radio_mhz": zone, "radio_loss_db": zone, "dock_approach_deg": dock, "dock_reach_m": dock,
		"accuracy_m": base, "drift_unchanged_m": base, "drift_stop_m": base,
		"survey_sigma_m": slices.DeleteFunc(slices.Clone(schema.Roles), func(role schema.Role) bool { return role == schema.RoleOther }),
		"gap_min_m2":     zone, "driven_depth_m": entered, "driven_seconds": entered, "driven_corridor_m": corridor, "driven_dock_spread_m": dock,
	}
})

// edgesOfLimit are the kinds of the edges whose own value of a limit counts, of
// those limits that do not count for all.
var edgesOfLimit = map[string][]string{
	"machine_width_m": {schema.EdgeRamp, schema.EdgeGate}, "opening_max_m": {schema.EdgeRamp, schema.EdgeGate},
	"step_max_m": {schema.EdgeFlush, schema.EdgeRamp}, "slope_max_percent": {schema.EdgeRamp},
}

// notOfPlans are the limits that hold before there is a plan, or beside it: of
// those a plan's own are not read.
var notOfPlans = []string{"offset_max_m", "input_max_bytes", "input_max_inflated_bytes", "input_max_nesting", "input_max_vertices", "input_max_features", "input_max_recursion"}

// readOf reports whether a rule reads the feature's own value of a limit, and
// says of what it does.
func readOf(key string, f *Feature) (ok bool, of string) {
	roles := limitReaders()[key]
	if kinds, some := edgesOfLimit[key]; some && f.Role == schema.RoleEdge {
		if slices.Contains(kinds, edgeKind(f)) {
			return true, ""
		}
		roles = slices.DeleteFunc(slices.Clone(roles), func(role schema.Role) bool { return role == schema.RoleEdge })
		if len(roles) == 0 {
			return false, "edge of the kind " + orList(kinds)
		}
	}
	if key == "pdop_max" && surveyOf(f).dop > 0 || key == "sats_min" && surveyOf(f).sats >= 0 { // survey-quality
		return true, ""
	}
	if !slices.Contains(roles, f.Role) {
		words := make([]string, len(roles))
		for i, role := range roles {
			words[i] = string(role)
		}
		return false, orList(words)
	}
	if slices.ContainsFunc(reachings[:], func(x reaching) bool { return x.limit == key }) {
		x := reachingOf(f)
		return x != nil && x.limit == key, "hazard whose danger reaches so far"
	}
	if len(key) <= len("hazard_margin_m") || !slices.Contains(hazardMargins, key) {
		return f.Role != schema.RoleEdge || key != "hazard_margin_m" || edgeKind(f) == schema.EdgeDrop, "hazard or edge of the kind drop"
	}
	kind := key[len("hazard_margin_") : len(key)-len("_m")]
	if f.Role == schema.RoleEdge {
		return edgeKind(f) == kind, "hazard or edge of the kind " + kind
	}
	k := kindsOf(f)
	return k.open || slices.Contains(k.all, kind), "hazard of the kind " + kind
}

// limitsUnread tells limits that are stricter than those in force and stand
// where no rule reads them, so that they only look obeyed.
func (r *run) limitsUnread() {
	own := r.Plan.Attributes.Get(schema.PlanLimits)
	for _, a := range own.Fields() {
		if slices.Contains(notOfPlans, a.Key) {
			x := r.finding(nil)
			x.Severity = Warning
			x.Message = fmt.Sprintf("the plan's own %s is not read: it holds before there is a plan, and belongs in the limits file", a.Key)
		}
		r.frequencyUnfit(nil, a)
	}
	for _, f := range r.Features {
		l := r.own[f]
		if l == nil || f.Role == schema.RoleOther {
			continue
		}
		for _, a := range f.Attributes.Get(schema.PropLimits).Fields() {
			r.frequencyUnfit(f, a)
			has, _ := l.Get(a.Key)
			all, _ := r.limits.Get(a.Key)
			ok, of := readOf(a.Key, f)
			if ok || has == all {
				continue
			}
			x := r.finding(r.middle(f), f)
			x.Severity = Warning
			where := "for the plan"
			if of != "" {
				where = "on the " + of + " that it is meant for, or for the plan"
			}
			if slices.Contains(notOfPlans, a.Key) {
				where = "in the limits file"
			}
			x.Message = fmt.Sprintf("its own %s of %s is not read of %s, so the %s in force holds: set it %s", a.Key, trim(has, 6), article(f.Role), trim(all, 6), where)
		}
	}
}

// article is a role with its article.
func article(role schema.Role) string {
	if role == schema.RoleEdge {
		return "an edge"
	}
	return "a " + string(role)
}

// Frequencies in megahertz that the radio of a base can have: less or more is
// taken for a slip of the unit (common practice, no source).
const lowestMHz, highestMHz = 25, 6000

// frequencyUnfit tells a radio_mhz that is no frequency in megahertz. The lower
// it is the less a hill seems to matter.
func (r *run) frequencyUnfit(f *Feature, a schema.Attribute) {
	v, ok := a.Value.Float()
	if a.Key != "radio_mhz" || !ok || v >= lowestMHz && v <= highestMHz {
		return
	}
	var x *Finding
	if f == nil {
		x = r.finding(nil)
	} else {
		x = r.finding(r.middle(f), f)
	}
	x.Severity = Warning
	x.Message = fmt.Sprintf("radio_mhz of %s is no frequency that the radio of a base has, %d to %d MHz: another unit?", trim(v, 6), lowestMHz, highestMHz)
}

func checkLimitsInvalid(r *run) {
	if len(r.own) > 0 {
		r.machinesDiffer()
	}
	sort.SliceStable(r.badLimit, func(i, j int) bool { return r.badLimit[i].f == nil && r.badLimit[j].f != nil })
	for _, b := range r.badLimit {
		switch {
		case b.err == nil:
		case b.f == nil:
			r.finding(nil).Message = b.err.Error()
		default:
			r.finding(r.middle(b.f), b.f).Message = b.err.Error()
		}
	}
	r.limitsUnread()
}

func checkLimitLoosened(r *run) {
	for _, f := range r.Of(schema.RoleDock) {
		own, told := f.Float(schema.PropStandoffM)
		if limit := r.of(f).DockStandoffM; told && own >= 0 && own < limit-slackM {
			x := r.finding(r.middle(f), f)
			x.Measured, x.Limit, x.Unit = own, limit, "m"
			x.Message = fmt.Sprintf("its %s of %s m is less than the dock_standoff_m of %s m in force: the machine has a shorter way to line up than it needs; where that is enough for this machine, set dock_standoff_m in the limits file", schema.PropStandoffM, trim(own, 6), trim(limit, 6))
		}
	}
	for _, b := range r.badLimit {
		for _, l := range b.loosened {
			var x *Finding
			if b.f == nil {
				x = r.finding(nil)
			} else {
				x = r.finding(r.middle(b.f), b.f)
			}
			x.Measured, x.Limit, x.Unit = l.Own, l.Kept, l.Unit
			x.Message = fmt.Sprintf("its own %s of %s is looser than the %s in force and was not applied", l.Key, trim(l.Own, 6), trim(l.Kept, 6))
			if b.f == nil {
				x.Message = "the plan: " + x.Message
			}
		}
	}
}

// machinesDiffer notes corridors that are held to another machine by a feature's own
// limits than the zone or dock they lead to: the one that comes along drives both.
func (r *run) machinesDiffer() {
	for i := range r.corridors() {
		c := &r.corridorList[i]
		for _, end := range c.ends {
			to := end.zone
			if end.dock != nil {
				to = end.dock.f
			}
			if to == nil {
				continue
			}
			a, b := r.of(c.f), r.of(to)
			for _, m := range [...]struct {
				key  string
				a, b float64
			}{{"machine_width_m", a.MachineWidthM, b.MachineWidthM}, {"turn_radius_m", a.TurnRadiusM, b.TurnRadiusM}} {
				if math.Abs(m.a-m.b) <= slackM {
					continue
				}
				x := r.finding(r.middle(c.f), c.f, to)
				x.Severity = Note
				x.Measured, x.Limit, x.Unit = min(m.a, m.b), max(m.a, m.b), "m"
				x.Message = fmt.Sprintf("has a %s of %s m, and %s, to which it leads, of %s m: the same machine drives both; give both the larger one, or set it for the plan", m.key, trim(m.a, 6), to.describe(), trim(m.b, 6))
			}
		}
	}
}
