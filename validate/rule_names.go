// Rules on names, roles and limits: name-missing, name-repeated, role-unknown,
// role-missing, geometry-unfit, switch-unfit; property-misnamed finds its slips
// in rule_property.go, and rule_limits.go judges limits.

package validate

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"swardline/schema"
)

var nameRules = []Rule{
	{
		Name: RuleNameMissing, Severity: Note, Over: one(schema.RoleZone, schema.RoleKeepout, schema.RoleCorridor, schema.RoleDock), run: checkNameMissing,
		Page: Page{
			What:   "Zones, keep-outs, corridors and docks without a name.",
			Why:    "The machine's display, the report and the person on the phone all need a word for it; 'zone 3' means something else after the next edit.",
			Source: sourcePractice,
			Fails:  "a zone whose property name is missing or only spaces",
			Passes: "the same zone with the name \"Front lawn\"",
			Mend:   "give the feature a name",
		},
	},
	{
		Name: RuleNameRepeated, Severity: Warning, run: checkNameRepeated,
		Page: Page{
			What: "Two active features of one role with the same name, upper and lower case, spaces, and the ways to write one letter (Unicode NFC) aside; " +
				"or with names that only look the same: they differ by characters that do not show, or by Greek or Cyrillic letters that look like Latin ones. " +
				"A note for hazards, edges, buildings, outlets and what has the role other, which may well be called alike. " +
				"A note, too, for marks at places more than 0.05 m apart whose names are one as drift and place compare them (M1, m 01), or say the same number and no more but a word for a mark (1, M 1, Mark 01). " +
				"And two features with the same id, of any role, switched off or not.",
			Why:    "Whoever is told to switch off \"Slope\" switches off one of two.",
			Source: sourcePractice,
			Fails:  "two zones called \"Lawn\" and \"lawn \"",
			Passes: "\"Lawn east\" and \"Lawn west\"; or a zone and a corridor of one name",
			Mend:   "rename one of them",
		},
	},
	{
		Name: RuleRoleUnknown, Severity: Warning, run: checkRoleUnknown,
		Page: Page{
			What: "A feature whose role is a word this program does not know, switched off or not, or a plan in which no feature says its role. " +
				"A word near hazard, keepout, edge or building is an error, as is any on a feature that says its hazard_kind or edge_kind; of what is switched off a warning.",
			Why:    "A feature without a known role takes no part in the check: a pond whose role is \"ponds\" guards nothing.",
			Source: "the roles of the plan's vocabulary",
			Fails:  "a polygon with the role \"lawn\"",
			Passes: "the same polygon with the role \"keepout\"",
			Mend:   "write one of " + roleList() + "; or leave the role away if the feature is only drawn",
		},
	},
	{
		Name: RuleRoleMissing, Severity: Warning, run: checkRoleMissing,
		Page: Page{
			What: "Features without the property role in a plan in which others have it, and a property that may have been meant for it: another spelling, or one whose value is a role. " +
				"It is an error where that value is hazard, keepout, edge or building.",
			Why:    "A feature without a role takes no part in the check: a pond called so in a property \"Role\" guards nothing, and nobody sees that it is not looked at.",
			Source: "the roles of the plan's vocabulary",
			Fails:  "a polygon with the property \"Role\": \"hazard\" among features that say their role",
			Passes: "the same polygon with \"role\": \"hazard\", or with \"role\": \"other\" when it is only drawn",
			Mend:   "give it a role; the role other says that it is only drawn",
		},
	},
	{
		Name: RuleGeometryUnfit, Severity: Error, Limits: []string{"dock_standoff_m"}, run: checkGeometryUnfit,
		Page: Page{
			What: "A feature whose geometry is missing, or of a kind its role cannot use: zones, keep-outs and buildings are polygons, corridors are lines, docks, bases and outlets are points, edges are lines or polygons, a boundary is a polygon or a line. " +
				"And a property that is no number where the check needs one: radius_m, width_m of hazards and edges, height_m, standoff_m, crown_base_m and antenna_height_m from 0 up, heading_deg; a text that is a plain decimal number, such as \"2.6\", is read as that number. " +
				"A warning where one of the role other, or of none, has no geometry.",
			Parts: []Part{
				{"Files that hold less than they say", "" +
					"A file that says that it is one page of several (numberMatched above numberReturned, a link to the next), or that holds fewer features than a member of it counts, is unchecked; so is a feature that counts more things or other points than it is drawn with, one to keep off that says it is 1 of 2 where the other is not drawn (of up to 12, names with a word in common), or whose centroid or bbox, as a property says it, lies more than 5 cm outside it (farther than 10 km it is in another grid). " +
					"What the file draws and its reader could not take, a feature, a part or a point of one, was not checked; nor was a picture laid on the ground (GroundOverlay and PhotoOverlay of KML, IMAGE of a drawing) whose name, file or layer says pond, road, tree, keepout, building or the like, unless it says as well that it is an aerial picture or map of the whole."},
				{"What says that it lies elsewhere", "" +
					"So it is where a feature says in its properties that it lies elsewhere, more than 5 cm and half a last digit outside its geometry (lat and lon in a plan in degrees, pairs such as x and y or easting and northing up to 10 km off, which is one grid, those in degrees in either order, and those that a zone of UTM has by 2 m in the site's own; those of another grid are not compared), or 0.1 m higher or lower (z, h, elevation of more than 5 m); a note where the heights are 5 to 110 m apart, as above the sea and above the ellipsoid; and it is unchecked where it says a geoidheight, in a plan whose heights are above the ellipsoid. " +
					"So it is where the plan says in a member that it lies elsewhere: a longitude or latitude, an extent or a middle farther than site_span_m from what is drawn, an elevation more than 110 m off its heights, an easting or northing more than 10 km off its own in any grid of the place, a country in no system of which it lies, an area of less than half of the smallest lawn or more than twice what all of it lies within. " +
					"A note: a feature that says another site, project, customer, city, street or country than the plan or the rest (marks aside, of an address), and a base or a dock on another parcel than all lawns."},
				{"Sizes that what is drawn has not, or nothing has", "" +
					"A warning: a radius_m or width_m of a hazard or an edge of more than 100 m, one of a hazard of less than 0.02 m, of water or a road of less than 0.1 m, a hazard that as a line by its width, as a disc or as an area is smaller across than any of its kind (a road, a river, a lake, a harbour, a forest, a house, a quarry 2 m; a playground, a greenhouse, a bus shelter, a hut, a caravan, a kiosk, a bandstand, a bunker 1 m; a pool, a shed, a trampoline, a container, a court 0.8 m; a pond, a pit, a tower 0.3 m; a hedge 0.2 m; tracks and ways for bicycles may be narrower), a hazard that as a strip by its width, or by the rectangle of its area and perimeter, is narrower than any (a railway 2.5 m, but for a rail by itself of up to 0.5 m; a highway 3 m, a motorway or a runway 5 m; a car park 2.5 m; not a model's, a narrow gauge, a guard rail), a note for a building of more than 2 m in height that is so less than 1 m wide and no wall, chimney or pillar by name (as a note, a keep-out in the midst of a lawn, a hazard's or a building's outline whose name says nothing but such a thing and words of place: a tennis court 8 m, a car park 3 m, a house, a playground 2 m, a pool, a swing, a greenhouse 1 m, a trampoline 0.8 m, trees, stairs, a hedge 0.5 m, a well 0.4 m), a hazard without lines whose hazard_kind or name ends in a thing that stands in lawns and that reaches less from corner to corner than any (a hot tub 1.2 m, a picnic table 0.9 m, a bench, a sun lounger, a hutch, a heat pump 0.6 m, a table 0.5 m, a beehive, a manhole, a composter, a light well 0.4 m, a chair, a water butt, a fountain 0.3 m, a boulder 0.256 m, a sundial, a bird bath, a barbecue, a planter 0.2 m; a toy, a model and a part of one aside; a note for a keep-out in the midst of a lawn so called), a line without a width of trees, rocks, sheds, a runway, a bus lane or the like so near to driven ground that the narrowest would be nearer than its margin, a tree whose crown_base_m is its height_m or more, a tree with a height_m of less than 1 m, a building, and a wall that is called one of a house, lower than 1.5 m (0.5 m for a building of less than 10 m2), natural water whose heights are 0.2 m or more above those of driven ground no farther than 3 m from it, a building of less than 0.3 m, any area less than 0.04 m across, a wall or a fence with a height_m of less than 0.1 m, a cut_mm that is no number above 0, a heading_deg of more than a whole turn, a tree with a height_m of more than 100 times what its radius_m makes it thick, a stone, bench or the like with a radius_m of less than 0.05 m, " +
					"a cut_mm of a zone below 2 or above 200; and an area, a perimeter or a length that a property says (in any unit, with a decimal comma, in ten languages) and that what is drawn does not have, of a zone neither with nor without its keep-outs, and as a length of an area neither its perimeter nor from half of its diagonal to all of that, or an extent, width or diameter that is more than an area reaches across, within 5 %, half a last digit, and 0.5 m2 or 0.3 m; 0, and figures as programs reckon them in degrees or on Mercator's chart, are no such. " +
					"A note: a standoff_m of more than 2.5 times dock_standoff_m; a river, stream, ditch, canal, road or railway drawn as one disc with a radius_m, and nothing of that word within 15 m; a gate, or a ramp along the edge that it opens, whose width_m is more than 0.3 m and 5 % off the length of its line."},
				{"Sizes that nothing of a name has", "" +
					"A note: by its whole name, words of order aside, a keep-out, a hazard, a building or what has the role other that is larger from corner to corner than any such (a sign, a post, a bin, a manhole 3 m; a lamp, a chair, a planter 6 m; a bench, a table, a statue, a swing, a well 12 m; a shrub, a rock, a fountain, a trampoline 20 m; a shed 30 m; a tree 50 m), or smaller across (a hotel, a factory, a village 4 m; a hall, a hill, an orchard, a school 3 m; a house, a lake, a road, a wood 2 m; a stream, a pool 1 m), of keep-outs in the midst of a lawn, and of the role other within 10 m of driven ground where it does not say \"driven_over\": true. " +
					"So is a lawn whose name says a ground for a sport and nothing else (football pitch, tennis court, rugby, hockey, croquet, bowling green, in nine languages) and that is shorter, longer, narrower or wider than any, with up to 10 m of run-off let be: football 35 to 140 by 25 to 110 m, tennis 23 to 45 by 8 to 25 m."},
			},
			Why:    "A zone drawn as a line is not mown and a keep-out drawn as a point keeps nothing out, yet both look right on a screen.",
			Source: "the roles of the plan's vocabulary",
			Fails:  "a keep-out drawn as a line",
			Passes: "the same keep-out drawn as a polygon",
			Mend:   "draw it with the geometry its role needs, or give it the role that fits what is drawn",
		},
	},
	{
		Name: RuleSwitchUnfit, Severity: Warning, Limits: []string{"machine_width_m"}, run: checkSwitchUnfit,
		Page: Page{
			What: "Hazards, edges, buildings and boundaries that are switched off (the property active is false): no rule looks at them. " +
				"It is an error where a hazard, building, wall or drop stands in an active zone with no keep-out over it. " +
				"A lawn that is switched off is told where half of it or more is mown all the same as a piece of another, of which it is no more than half: the same lawn at another season may well lie over it. " +
				"Bases and outlets that are switched off are told where they stand on mown ground, and so are they and docks by the line of a corridor or of the way into another dock, nearer than half the machine. " +
				"So is whatever is switched off there with a hazard_kind, an edge_kind of what nothing drives over, or a geometry that its role has not. " +
				"A property of another name that was meant for active (Active, enabled, disabled) is told unless it says on, and is an error on a zone, corridor, dock or base; " +
				"one that says off beside active: true is a warning on any role; " +
				"so is one that says off in other words (off, in_use, is_active, switched_off, ausgeschaltet and the like, in eight languages). " +
				"And a property active that is neither true nor false, which is an error: it is taken for true.",
			Why:    "Lawns, keep-outs and ways are switched off for a season; a pond that is switched off is still full of water. And a lawn whose active is the word \"no\" would be mown.",
			Source: sourcePractice,
			Fails:  "a pond with active: false",
			Passes: "the same pond switched on, or a keep-out that is switched off",
			Mend:   "switch it on, or remove it if it is gone: edit --feature NAME --active on, or --remove",
		},
	},
	{
		Name: RulePropertyMisnamed, Severity: Warning, run: checkPropertyMisnamed,
		Page: Page{
			What: "A property that the check would read if it had its right name: upper and lower case, spaces, hyphens and underscores aside, with a unit too many or too few, with one letter wrong, or another word for it (diameter, accuracy_m, fix_type). " +
				"Words of instruments and of eight languages are told where their value fits, and one of how well it was measured where it would not pass; so are members of the plan that say that, which is read of features alone. " +
				"It is asked of features that have a role, where the right name is absent, and of the plan's own members. " +
				"A member of the plan, or a property of a feature, that holds features or geometries of GeoJSON or TopoJSON beside features is an error, a property with a geometry as well-known text a warning: nothing reads them; bbox, centroid and the like, and what repeats the feature's own vertices, are let be. " +
				"So is a Proximity round a waypoint of GPX a warning. " +
				"So are words for a system of coordinates (reference and the like where they name one), and a held that is no word of its own; and, as an error, what a plan with a history says of given under another name. " +
				"A limit that stands outside limits, a width or radius under another word (of a line, an outline or an edge where it says more than is drawn), a second role (also as role_2, which readers make of one), " +
				"a second size that is more than the one which is read (a diameter of twice the radius is none), a second kind, under hazard_type, type or the like, that is graver, a second spelling of a radius or kind that says otherwise, " +
				"hazard_kind or edge_kind on another role (on a keep-out a warning; on the roles other and mark also kind and hazard, where they name water, a road or a drop), a flush edge with a height over 0.03 m, and a flush edge, ramp or gate whose driven_over is no word for yes are errors; a second height that is more, a second heading_deg, standoff_m or antenna_height_m that differs, and other second spellings, are warnings; a girth or thickness of a trunk is held to its radius_m (in centimetres where a girth names no unit and is more than 8), and alone to the 0.25 m that every tree is taken to reach.",
			Why:    "A property with a slip in its name is not read, and nothing on the screen shows it: a pool whose radius stands under \"Radius_m\" is a point without a size.",
			Source: "the properties of the plan's vocabulary",
			Fails:  "a pool drawn as a point with \"radius\": 3",
			Passes: "the same pool with \"radius_m\": 3",
			Mend:   "give the property the name that the message says, in the unit that it says",
		},
	},
	{
		Name: RuleLimitsInvalid, Severity: Error, run: checkLimitsInvalid,
		Page: Page{
			What: "The attribute \"limits\" of the plan or of a feature: an object whose keys are limits and whose values are numbers from 0 up. " +
				"A warning: a stricter limit of a feature that no rule reads of its role or kind, such as hazard_margin_m on a zone, or of a plan that holds before there is one (input_max_bytes); " +
				"and a radio_mhz that is no frequency from 25 to 6,000 MHz." +
				" A note: a corridor and the zone or dock to which it leads that are held to machines of unlike width or turning radius.",
			Why:    "A limit with a slip in its name is not applied; the feature would be held to the general limit and nobody would know.",
			Source: "the limits of the plan's vocabulary",
			Fails:  "a zone with \"limits\": {\"passage_min\": 2}",
			Passes: "the same zone with \"limits\": {\"passage_min_m\": 2}",
			Mend:   "spell the limit as the message says, or take it out",
		},
	},
	{
		Name: RuleLimitLoosened, Severity: Warning, Limits: []string{"dock_standoff_m"}, run: checkLimitLoosened,
		Page: Page{
			What: "A limit that the plan or a feature has of its own and that is looser than the one in force: the default, or what the limits file says, and for a feature what its plan has of its own. It is not applied. " +
				"A stricter one is; so is a looser one that the limits file names under may_loosen. A dock's standoff_m that is less than dock_standoff_m is told too, and holds all the same, since the machine lines up there. For base_range_m lower is stricter, for hazard_margin_m higher.",
			Why:    "A plan comes from somebody else. A pond that carries its own margin of a centimetre would pass in silence, and the report would still read as if it had been held to yours.",
			Source: sourcePractice,
			Fails:  "a hazard with \"limits\": {\"hazard_margin_m\": 0.01}, limit 0.3 m",
			Passes: "the same hazard with 0.5 m, or a limits file with may_loosen: [hazard_margin_m]",
			Mend:   "take the plan's limit out, or, if the operator agrees, name it under may_loosen in the limits file",
		},
	},
}

func roleList() string {
	words := make([]string, len(schema.Roles))
	for i, r := range schema.Roles {
		words[i] = string(r)
	}
	return strings.Join(words, ", ")
}

// middle is a place to show a feature at: its first vertex.
func (r *run) middle(f *Feature) *Place {
	switch {
	case f.invalidAt != nil:
		return f.invalidAt
	case len(f.Areas) > 0 && len(f.Areas[0].Read[0]) > 0:
		return r.placeRead(f, f.Areas[0].Read[0][0], f.Areas[0].Ground[0][0])
	case len(f.Lines) > 0:
		return r.placeRead(f, f.Lines[0].Read[0], f.Lines[0].Ground[0])
	case len(f.Points) > 0:
		return r.placeRead(f, f.Points[0].Read, f.Points[0].Ground)
	}
	return nil
}

func needsName(role schema.Role) bool {
	switch role {
	case schema.RoleZone, schema.RoleKeepout, schema.RoleCorridor, schema.RoleDock:
		return true
	}
	return false
}

func checkNameMissing(r *run) {
	asked := false
	for _, f := range r.Features {
		if !needsName(f.Role) {
			continue
		}
		asked = true
		if schema.LookName(f.Name) == "" {
			x := r.finding(r.middle(f), f)
			x.Message = "the " + string(f.Role) + idSuffix(f) + " has no name"
		}
	}
	if !asked {
		r.cannot("the plan has no active zone, keepout, corridor or dock")
	}
}

func idSuffix(f *Feature) string {
	if id := f.ID.Text(); id != "" {
		return " with the id " + quote(id)
	}
	return ""
}

func checkNameRepeated(r *run) {
	type key struct {
		role schema.Role
		name string
	}
	first := make(map[key]*Feature, len(r.Features))
	var alike map[key]*Feature // by how those of first look that look otherwise than they are compared
	named := false
	r.idsRepeated()
	r.marksAlike()
	for _, f := range r.Features {
		name := foldedNames.get(f.Name)
		if name.fold == "" {
			continue
		}
		named = true
		k, l := key{f.Role, name.fold}, key{f.Role, name.look}
		g := first[k]
		same := g != nil
		if !same {
			if first[k] = f; name.look != name.fold || alike != nil {
				if g = alike[l]; g == nil {
					g = first[l]
				}
				if g == f {
					g = nil
				}
			}
			if g == nil && name.look != name.fold {
				if alike == nil {
					alike = map[key]*Feature{}
				}
				alike[l] = f
			}
		}
		if g == nil {
			continue
		}
		x := r.finding(r.middle(f), g, f)
		if !isNamed(f.Role) {
			x.Severity = Note
		}
		if same {
			x.Message = "two features of the role " + string(f.Role) + " are called " + quote(strings.TrimSpace(f.Name))
			continue
		}
		x.Message = fmt.Sprintf("two features of the role %s have names that look the same, %s: they differ by letters of another alphabet, or by characters that do not show; write one of them anew", f.Role, quote(strings.TrimSpace(f.Name)))
	}
	if !named {
		r.notNeeded("no active feature has a name")
	}
}

// foldedName is a name as it is compared, and as it looks; one that shows nothing
// looks like itself.
type foldedName struct{ fold, look string }

var foldedNames = remembered[foldedName]{of: func(name string) foldedName {
	out := foldedName{schema.FoldName(name), schema.LookName(name)}
	if out.look == "" {
		out.look = out.fold
	}
	return out
}}

// isNamed reports whether people speak of features of a role by their names:
// what is only drawn beside them, benches and kerbs, may well be called alike.
func isNamed(role schema.Role) bool {
	switch role {
	case schema.RoleHazard, schema.RoleEdge, schema.RoleBuilding, schema.RoleSupply, schema.RoleOther:
		return false
	}
	return true
}

// idsRepeated tells features, switched off or not, that have the id of another.
func (r *run) idsRepeated() {
	first := make(map[string]*schema.Feature, len(r.Plan.Features))
	more := 0
	for _, f := range r.Plan.Features {
		if f == nil || f.ID.Text() == "" {
			continue
		}
		id := f.ID.Text()
		g, ok := first[id]
		if !ok {
			first[id] = f
			continue
		}
		if len(r.findings) >= mostFindings {
			more++
			continue
		}
		x := r.finding(nil)
		x.Features, x.Line = []*schema.Feature{g, f}, f.Source.Line
		x.Message = fmt.Sprintf("two features have the id %s, so a report or an edit that names it may mean either: give one another id", quote(id))
	}
	if more > 0 {
		r.findings[len(r.findings)-1].Message += fmt.Sprintf(" (and %d more)", more)
	}
}

func checkRoleUnknown(r *run) {
	if len(r.Features) == 0 {
		r.cannot("the plan has no active feature")
		return
	}
	known := 0
	for _, f := range r.Features {
		if f.Role != schema.RoleOther {
			known++
			continue
		}
		v := f.Attributes.Get(schema.PropRole)
		if v.IsAbsent() || v.Text() == string(schema.RoleOther) {
			continue
		}
		x := r.finding(r.middle(f), f)
		if keepsOut(v) || f.Attributes.Has(schema.PropHazardKind) || f.Attributes.Has(schema.PropEdgeKind) {
			x.Severity = Error
		}
		word := v.Text()
		if word == "" {
			x.Message = "the role is a " + v.Kind().String() + ", not a word"
			continue
		}
		x.Message = "the role " + quote(word) + " is unknown, so the feature takes no part in the check"
		if near := nearestRole(word); near != "" {
			x.Message += "; perhaps " + quote(near) + " is meant"
		}
	}
	for _, f := range r.Inactive {
		v := f.Attributes.Get(schema.PropRole)
		if word := v.Text(); f.Role == schema.RoleOther && word != "" && word != string(schema.RoleOther) && len(r.findings) < mostFindings {
			x := r.finding(nil)
			x.Features, x.Line = []*schema.Feature{f}, f.Source.Line
			x.Severity = Warning
			x.Message = "is switched off, and its role " + quote(word) + " is unknown, so that it takes no part in the check once it is switched on"
			if near := nearestRole(word); near != "" {
				x.Message += "; perhaps " + quote(near) + " is meant"
			}
		}
	}
	if known == 0 && len(r.findings) == 0 {
		x := r.finding(nil)
		x.Message = "no feature says its role, so nothing but its geometry can be checked; " + rolesWay
	}
}

// rolesWay names the commands that give roles.
const rolesWay = "convert --look FILE --write-roles roles.yaml lists what is in the file, and --roles roles.yaml gives the roles; edit gives one"

func checkRoleMissing(r *run) {
	known, more := 0, 0
	for _, f := range r.Features {
		if f.Role != schema.RoleOther {
			known++
		}
	}
	if known == 0 {
		r.notNeeded("no feature says its role, which role-unknown tells")
		return
	}
	for _, f := range r.Features {
		if f.Role != schema.RoleOther || !f.Attributes.Get(schema.PropRole).IsAbsent() {
			continue
		}
		if len(r.findings) >= mostFindings {
			more++
			continue
		}
		x := r.finding(r.middle(f), f)
		x.Message = "has no role, so no rule looks at what it is"
		if key := meantForRole(f); key != "" {
			if keepsOut(f.Attributes.Get(key)) {
				x.Severity = Error
			}
			x.Message += "; the property is called role, not " + quote(key)
		} else if len(r.findings) == 1 {
			x.Message += "; " + rolesWay
		}
	}
	if more > 0 {
		r.findings[len(r.findings)-1].Message += fmt.Sprintf(" (and %d more features)", more)
	}
}

// meantForRole returns the key of a property that may have been meant for the
// role, "" for none: one spelled nearly so, else one whose value is a role.
func meantForRole(f *Feature) string {
	valued := ""
	for _, a := range f.Attributes {
		switch key := schema.FoldName(a.Key); key {
		case "role", "roles", "rolle", "rol", "ruolo", "rôle", "roll":
			return a.Key
		}
		if a.Value.Kind() == schema.KindString && valued == "" && a.Key != schema.PropName && a.Key != schema.PropNote && nearestRole(a.Value.Text()) != "" {
			valued = a.Key
		}
	}
	return valued
}

// nearestRole returns the role that differs from the word in nothing but case,
// hyphens, underscores, spaces and a plural s; "" for none.
func nearestRole(word string) string {
	fold := func(s string) string {
		return strings.TrimSuffix(unjoined(strings.ToLower(s)), "s")
	}
	for _, role := range schema.Roles {
		if role != schema.RoleOther && fold(string(role)) == fold(word) {
			return string(role)
		}
	}
	return ""
}

// keepsOut reports whether a value that is no role was meant for one that keeps
// the machine out: hazard, keepout, edge or building with a slip in it.
func keepsOut(v schema.Value) bool {
	near := false
	walkValues(v, func(v schema.Value) {
		word := foldKey(v.Text())
		for _, role := range [...]schema.Role{schema.RoleHazard, schema.RoleKeepout, schema.RoleEdge, schema.RoleBuilding} {
			near = near || nearestRole(v.Text()) == string(role) || nearWord(word, string(role))
		}
	})
	return near
}

// wholePictures are beginnings of words for a picture of a whole site, under
// which a plan is drawn: its name is that of a place, and may be any word.
var wholePictures = strings.Fields("aerial ortho luftbild satellit drone drohne basemap background map karte plan legend logo dop")

// dangerPictured is the word of a picture's name that stands for a hazard or for
// what keeps the machine out, "" for none.
func dangerPictured(name string) string {
	words := letterWords(name)
	for _, w := range words {
		if slices.ContainsFunc(wholePictures, func(start string) bool { return strings.HasPrefix(w, start) }) {
			return ""
		}
	}
	for _, w := range words {
		for _, plural := range [...]string{"", "e", "en", "es", "n"} { // pictures show several: Teiche, vijvers
			one, ok := strings.CutSuffix(w, plural)
			if kind := kindOfWord(one); ok && len(one) > 2 && kind != "" && kind != kindNone {
				return w
			}
		}
		for _, role := range [...]schema.Role{schema.RoleHazard, schema.RoleKeepout, schema.RoleBuilding, schema.RoleBoundary} {
			if w == string(role) || w == string(role)+"s" {
				return w
			}
		}
	}
	return ""
}

func checkGeometryUnfit(r *run) {
	for _, what := range r.Plan.Left {
		r.cannot("the file draws what the plan lacks: %s", what)
	}
	for _, name := range r.Plan.Pictures {
		if word := dangerPictured(name); word != "" {
			r.cannot("the file has a picture or a line without an end called %s, which was not read: draw the %s that it shows as an outline, or call it by another name where it shows none", quote(name), word)
		}
	}
	r.partOfMore()
	r.countsSaid()
	r.planSaid()
	r.cutsApart()
	asked := false
	for _, f := range r.Features {
		areas, lines, points := len(f.Areas) > 0, len(f.Lines) > 0, len(f.Points) > 0
		r.frameSaid(f)
		if f.Role == schema.RoleOther {
			if !areas && !lines && !points && f.Invalid == "" {
				x := r.finding(nil, f)
				x.Severity = Warning
				x.Message = "has no geometry, so nobody knows where it is, and no rule looked at it: draw it, or take it out"
			}
			r.placeSaid(f)
			r.smallForName(f)
			r.largeForName(f)
			continue
		}
		want, fits := drawnFor(f.Role, areas, lines, points)
		if want == "" {
			continue
		}
		asked = true
		r.placeSaid(f)
		r.geoidSaid(f)
		r.numbersUnfit(f)
		r.tinyAreas(f)
		if fits {
			continue
		}
		x := r.finding(r.middle(f), f)
		if !areas && !lines && !points {
			x.Message = "the " + string(f.Role) + " has no geometry; it needs " + want
			continue
		}
		x.Message = "the " + string(f.Role) + " is drawn with " + drawnWith(areas, lines, points) + "; it needs " + want
	}
	if r.Frame != FrameNone {
		r.sizesSaid()
		r.widthsSaid()
		r.widthless()
		r.watersAbove()
	}
	if !asked {
		r.cannot("no active feature has a role")
	}
}

// geoidSaid records a feature that says how far the geoid lies above the ellipsoid,
// as GPX does beside a height above the sea, in a plan whose heights are above the
// ellipsoid.
func (r *run) geoidSaid(f *Feature) {
	v := f.Attributes.Get("geoidheight")
	if n, ok := schema.NumberSaid(v); ok && n != 0 && r.Plan != nil && r.Plan.Attributes.Get(schema.PlanHeights).Text() == "ellipsoidal" {
		r.cannot("%s says how far the geoid lies above the ellipsoid (geoidheight %s), as a height above the sea does, and the plan says that its heights are above the ellipsoid: which of the two its height is in is not known; take the one out, or correct the other", f.describe(), v.Text())
	}
}

// drawnFor says with what a feature of a role has to be drawn, "" where nothing is
// asked, and whether it is.
func drawnFor(role schema.Role, areas, lines, points bool) (want string, fits bool) {
	switch role {
	case schema.RoleZone, schema.RoleKeepout, schema.RoleBuilding:
		return "a polygon", areas && !lines && !points
	case schema.RoleCorridor:
		return "a line", lines && !areas && !points
	case schema.RoleDock, schema.RoleBase, schema.RoleSupply, schema.RoleMark:
		return "a point", points && !areas && !lines
	case schema.RoleEdge:
		return "a line", (lines || areas) && !points
	case schema.RoleBoundary:
		return "a polygon or a line", (lines || areas) && !points
	case schema.RoleHazard:
		return "some geometry", areas || lines || points
	}
	return "", true
}

// leastSizeM is the least radius or width of a hazard, and leastAcrossM the
// least extent of an area, that is not a slip of the unit (starting values from
// memory: a stake is 4 cm thick).
const leastSizeM, leastAcrossM, leastWetM = 0.02, 0.04, 0.1

// tinyAreas tells of areas that are smaller across than a stake.
func (r *run) tinyAreas(f *Feature) {
	for i := range f.Areas {
		if len(f.Areas[i].Ground) == 0 || len(f.Areas[i].Ground[0]) == 0 || !f.usable() || r.Frame == FrameNone {
			continue
		}
		if b := boundOf(f.Areas[i].Ground[0]); max(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]) < leastAcrossM {
			x := r.finding(r.middle(f), f)
			x.Severity = Warning
			x.Message = fmt.Sprintf("an area of it is %s across: was it drawn in millimetres? measure it, or draw it anew", metres(math.Max(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1])))
			return
		}
	}
}

// measures are the properties that rules read as numbers, and whether they
// start at 0.
var measures = []struct {
	key    string
	from0  bool
	number string
}{
	{schema.PropRadiusM, true, "a number of metres from 0 up"}, {schema.PropWidth, true, "a number of metres from 0 up"}, {schema.PropHeightM, true, "a number of metres from 0 up"},
	{schema.PropStandoffM, true, "a number of metres from 0 up"}, {schema.PropCrownBaseM, true, "a number of metres from 0 up"},
	{schema.PropAntennaHeight, true, "a number of metres from 0 up"}, {schema.PropHeadingDeg, false, "a number of degrees"}, {schema.PropCutMM, true, "a number of millimetres above 0"},
}

// numbersUnfit reports properties that would be passed over because they are no
// number.
func (r *run) numbersUnfit(f *Feature) {
	before := len(r.findings)
	if r.tooSmall(f); len(r.findings) == before {
		r.smallForName(f)
		r.largeForName(f)
		r.oddForSport(f)
	}
	if len(r.findings) == before {
		r.smallDrawn(f)
	}
	r.tooLow(f)
	for _, m := range measures {
		v := f.Attributes.Get(m.key)
		if v.IsAbsent() || v.Kind() == schema.KindNull {
			continue
		}
		n, ok := f.Float(m.key)
		if m.key == schema.PropWidth && f.Role != schema.RoleHazard && f.Role != schema.RoleEdge {
			continue // which no rule reads
		}
		ok = ok && !math.IsNaN(n)
		switch {
		case ok && m.key == schema.PropCutMM && n == 0:
		case ok && m.key == schema.PropHeadingDeg && math.Abs(n) > 360:
			x := r.finding(r.middle(f), f)
			x.Severity = Warning
			x.Message = fmt.Sprintf("its %s is %s, more than a whole turn: read as %s", m.key, trim(n, 6), trim(math.Mod(math.Mod(n, 360)+360, 360), 6))
			continue
		case ok && (n >= 0 || !m.from0):
			r.slipped(f, m.key, n)
			continue
		}
		x := r.finding(r.middle(f), f)
		x.Message = fmt.Sprintf("its %s is %s, not %s, and so is passed over", m.key, shown(v), m.number)
		if m.key == schema.PropCutMM {
			x.Severity = Warning
			x.Message = fmt.Sprintf("its %s is %s, not %s: no machine can cut at that", m.key, shown(v), m.number)
		}
	}
}

// slipped tells of a number that is one, and no likely one of its property.
func (r *run) slipped(f *Feature, key string, n float64) {
	if size := key == schema.PropRadiusM || key == schema.PropWidth; size && n > mostGrowthM && (f.Role == schema.RoleHazard || f.Role == schema.RoleEdge) {
		x := r.finding(r.middle(f), f)
		x.Severity = Warning
		x.Message = fmt.Sprintf("its %s is %s m, and more than %d m is a slip more often than a size: measure it, or draw its outline", key, trim(n, 2), mostGrowthM)
	} else if k := kindsOf(f).gravest; size && f.Role == schema.RoleHazard && (n < leastSizeM || n < leastWetM && (k == "water" || k == "road")) {
		x := r.finding(r.middle(f), f)
		x.Severity = Warning
		x.Message = fmt.Sprintf("its %s is %s m, which is no size of a hazard: it is in metres; measure it, or draw its outline", key, trim(n, 9))
	} else if size && f.Role == schema.RoleEdge && n < leastEdgeM-1e-12 {
		x := r.finding(r.middle(f), f)
		x.Severity = Note
		x.Measured, x.Limit, x.Unit = n, leastEdgeM, "m"
		x.Message = fmt.Sprintf("its %s is %s m, and no wall, fence or kerb is thinner than %s m: measure it, or take it out", key, trim(n, 9), trim(leastEdgeM, 3))
	} else if kind := edgeKind(f); key == schema.PropHeightM && f.Role == schema.RoleEdge && n > 0 && n < leastWallM-1e-9 && (kind == schema.EdgeWall || kind == schema.EdgeFence) {
		x := r.finding(r.middle(f), f)
		x.Severity = Warning
		x.Measured, x.Limit, x.Unit = n, leastWallM, "m"
		x.Message = fmt.Sprintf("is a %s of a height of %s, which stops no machine: height_m is in metres; measure it, or call it a kerb", kind, metresPast(n, leastWallM))
	} else if limit := mostStandoffs * r.of(f).DockStandoffM; key == schema.PropStandoffM && f.Role == schema.RoleDock && n > limit+slackM {
		x := r.finding(r.middle(f), f)
		x.Severity = Note
		x.Measured, x.Limit, x.Unit = n, limit, "m"
		x.Message = fmt.Sprintf("its standoff_m is %s: over all of that the machine drives straight in without looking, and %s is usual; was the point of the number lost? measure where the machine lines up, and lead the corridor nearer; where so much is right, set dock_standoff_m", metresPast(n, limit), metres(r.of(f).DockStandoffM))
	} else if key == schema.PropRadiusM && f.Role == schema.RoleHazard && len(f.Points) > 0 {
		r.thin(f, n)
		r.lineAsDisc(f)
	} else if key == schema.PropCutMM && f.Role == schema.RoleZone && !(n >= leastCutMM && n <= mostCutMM) {
		x := r.finding(r.middle(f), f)
		x.Severity = Warning
		x.Message = fmt.Sprintf("its %s is %s, and no mower cuts a lawn at that: it is in millimetres, from %d to %d", key, trim(n, 6), leastCutMM, mostCutMM)
	}
}

// mostStandoffs is how many times as long as dock_standoff_m the way into a dock is at
// the most (common practice, no source).
const mostStandoffs = 2.5

// leastEdgeM is thinner than any wall, fence or kerb, in metres: a sheet or a wire
// (common practice, no source).
const leastEdgeM = 0.001

// mostCutTimes is how many times as high as another one zone of a plan is cut at the
// most, but for greens and tees, and fineWords are words for those (common practice,
// no source).
const mostCutTimes = 8.0

var fineWords = strings.Fields("green greens tee tees putting bowling bowls tennis croquet cricket golf wicket apron collar fringe grün abschlag")

// cutsApart tells of a zone that is cut so much lower than another of the plan that one
// of the two is in another unit.
func (r *run) cutsApart() {
	low, high := math.Inf(1), math.Inf(-1)
	var lowest, highest *Feature
	for _, f := range r.Of(schema.RoleZone) {
		n, ok := f.Float(schema.PropCutMM)
		if !ok || !(n >= leastCutMM && n <= mostCutMM) {
			continue
		}
		if n < low && !slices.ContainsFunc(letterWords(f.Name), func(w string) bool { return slices.Contains(fineWords, w) }) {
			low, lowest = n, f
		}
		if n > high {
			high, highest = n, f
		}
	}
	if lowest == nil || high <= low*mostCutTimes+1e-9 {
		return
	}
	x := r.finding(r.middle(lowest), lowest, highest)
	x.Severity = Note
	x.Measured, x.Unit = low, "mm"
	x.Message = fmt.Sprintf("is cut at %s mm, and %s at %s: is one of the two cut_mm in centimetres? it is in millimetres; correct it", trim(low, 1), highest.describe(), trim(high, 1))
}

// leastCutMM and mostCutMM are the heights in millimetres between which lawns, from
// greens to meadows, are cut (common practice, no source).
const leastCutMM, mostCutMM = 2, 200

// leastWallM is lower than any wall or fence, in metres (common practice, no source).
const leastWallM = 0.1

// leastSolidM is the least radius in metres of a stone, a bench or what else is
// no post, and mostSlender how many times as high as thick a tree is at the most:
// those of a dense wood are 100 times (common practice, no source).
const leastSolidM, mostSlender = 0.05, 100.0

// thin tells of a radius that is too small for the thing or its height: a slip of
// the point, or of the unit.
func (r *run) thin(f *Feature, radius float64) {
	switch height, known := f.Float(schema.PropHeightM); {
	case isTree(f) && known && height > 2*radius*mostSlender+slackM:
		x := r.finding(r.middle(f), f)
		x.Severity = Warning
		x.Message = fmt.Sprintf("is a tree %s high and, by its radius_m, %s thick: no tree stands so thin; measure its trunk, radius_m is half of that in metres", metres(height), metres(2*radius))
	case kindsOf(f).gravest == "" && radius < leastSolidM-1e-9:
		if _, size := sizelessReaches(f); size > 0 {
			x := r.finding(r.middle(f), f)
			x.Severity = Warning
			x.Measured, x.Limit, x.Unit = radius, leastSolidM, "m"
			x.Message = fmt.Sprintf("its radius_m is %s m, and a thing of its kind is thicker: is the point in its place? measure it, or draw its outline", trim(radius, 9))
		}
	}
}

func drawnWith(areas, lines, points bool) string {
	var words []string
	if areas {
		words = append(words, "a polygon")
	}
	if lines {
		words = append(words, "a line")
	}
	if points {
		words = append(words, "a point")
	}
	return strings.Join(words, " and ")
}

// saysStands are words for what a feature that is switched off says, whatever its
// role, that only a thing that stays has: a hazard_kind, an edge_kind that nothing
// drives over, a geometry that its role has not; "" for none. Grave kinds of
// what name-contradicts looks at are told there.
func (r *run) saysStands(f *schema.Feature) string {
	if f.Geometry == nil {
		return ""
	}
	off := Feature{Feature: f}
	if kind := strings.TrimSpace(f.Attributes.Get(schema.PropHazardKind).Text()); kind != "" {
		grave, _ := graverName(kind)
		switch f.Role {
		case schema.RoleKeepout, schema.RoleOther, schema.RoleCorridor:
		default:
			grave = ""
		}
		if grave == "" {
			return "its hazard_kind says " + quote(kind)
		}
	}
	for _, a := range f.Attributes {
		if a.Value.Kind() != schema.KindString || a.Key == schema.PropName || a.Key == schema.PropRole || a.Key == schema.PropHazardKind || heldUnder.get(a.Key) == holdsText {
			continue
		}
		if kind, word := graverName(a.Value.Text()); kind != "" && len(a.Value.Text()) <= 200 {
			return "its " + a.Key + " says " + quote(word)
		}
	}
	if level, key := levelSaid(&off); level > standsUpM && key != schema.PropHeightM {
		return "its " + key + " says " + f.Attributes.Get(key).Text()
	}
	if kind := strings.TrimSpace(f.Attributes.Get(schema.PropEdgeKind).Text()); kind != "" && !isDrivenOver(edgeKind(&off)) {
		return "its edge_kind says " + quote(kind)
	}
	for _, o := range r.offs() {
		if o.Feature != f {
			continue
		}
		areas, lines, points := len(o.Areas) > 0, len(o.Lines) > 0, len(o.Points) > 0
		if want, fits := drawnFor(f.Role, areas, lines, points); !fits {
			return fmt.Sprintf("it is drawn with %s, where a %s has %s", drawnWith(areas, lines, points), f.Role, want)
		}
	}
	return ""
}

func checkSwitchUnfit(r *run) {
	if len(r.Features)+len(r.Inactive) == 0 {
		r.cannot("the plan has no feature")
		return
	}
	for _, f := range r.Features {
		v := f.Attributes.Get(schema.PropActive)
		if _, ok := v.Truth(); ok || v.IsAbsent() {
			continue
		}
		x := r.finding(r.middle(f), f)
		x.Severity = Error
		x.Message = "active is a " + v.Kind().String() + ", where true or false should stand, so it is taken to be switched on"
		if word := v.Text(); word != "" {
			x.Message = "active is " + quote(word) + ", where true or false should stand, so it is taken to be switched on"
		}
	}
	for _, f := range r.Inactive {
		switch f.Role {
		case schema.RoleHazard, schema.RoleEdge, schema.RoleBuilding, schema.RoleBoundary:
			x := r.finding(nil)
			x.Features, x.Line = []*schema.Feature{f}, f.Source.Line
			x.Message = "is switched off, so no rule looks at it; what stands on the ground stays there"
			if z := r.mownOver(f); z != nil {
				x.Severity = Error
				x.Message = "is switched off, so no rule looks at it, and it stands in mown ground of " + z.describe()
			}
		default:
			if says := r.saysStands(f); says != "" && r.offOnDriven(f, r.zones(), true) {
				x := r.finding(nil)
				x.Features, x.Line = []*schema.Feature{f}, f.Source.Line
				x.Message = "is switched off, so no rule looks at it, it lies on ground that is driven, and " + says + ": where something stands there, give it the role of what it is and switch it on, or remove it"
				continue
			}
			switch f.Role {
			case schema.RoleBase, schema.RoleSupply, schema.RoleDock: // a dock may stand on the lawn
			default:
				continue
			}
			if f.Geometry != nil && r.offOnDriven(f, r.zones(), f.Role != schema.RoleDock) {
				x := r.finding(nil)
				x.Features, x.Line = []*schema.Feature{f}, f.Source.Line
				x.Message = "is switched off, so no rule looks at it, and it stands on ground that is driven; if it stands there still, draw a keep-out round it or lead the way round it"
			}
		}
	}
	r.offInActive()
	for _, s := range r.slips(true) {
		if !s.saysOn() {
			r.otherSwitch(s)
		}
	}
	for _, s := range r.switchWords() {
		r.otherSwitch(s)
	}
	r.switchedTwice()
}
