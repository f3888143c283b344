// The keys of a rule: what each means, with an example, and how it is read.

package roles

import (
	"fmt"
	"strings"

	"go.yaml.in/yaml/v3"
)

// Key is one key of a rule.
type Key struct {
	Name string
	// Condition is true when it says what fits, false when it says what becomes
	// of that.
	Condition bool
	Means     string
	Example   string
	read      func(p *parser, r *Rule, key string, v *yaml.Node) error
}

// textKey is a condition on one text.
func textKey(name, means, example string, of func(r *Rule) **Pattern) Key {
	return Key{name, true, means, example, func(p *parser, r *Rule, key string, v *yaml.Node) (err error) {
		*of(r), err = p.pattern(key, v)
		return err
	}}
}

// flagKey is a key that is true or false.
func flagKey(name string, condition bool, means, example string, take func(r *Rule, b bool)) Key {
	return Key{name, condition, means, example, func(p *parser, r *Rule, key string, v *yaml.Node) error {
		b, err := p.truth(key, v)
		take(r, b)
		return err
	}}
}

// Keys are the keys of a rule, in the order in which they are explained.
var Keys = []Key{
	textKey("layer", "the layer of a drawing, or the innermost folder of a KML file", `layer: "LAWN*"`, func(r *Rule) **Pattern { return &r.Layer }),
	textKey("folder", "any of the folders round a feature of a KML file, or all of them joined by /", `folder: "*/Planting"`, func(r *Rule) **Pattern { return &r.Folder }),
	textKey("name", "the name", `name: ["Lawn *", "/^bed [0-9]+$/"]`, func(r *Rule) **Pattern { return &r.Name }),
	textKey("code", "the code of a survey list", `code: "KB*"`, func(r *Rule) **Pattern { return &r.Code }),
	{"where", true, "properties by their keys; all must fit, one that is absent does not", `where: {ASSET_TYPE: "GRASS*", STATUS: [live, new]}`,
		func(p *parser, r *Rule, _ string, v *yaml.Node) error { return p.where(r, v) }},
	textKey("block", "the blocks a thing of a drawing stands in, joined by /", `block: "TREE*"`, func(r *Rule) **Pattern { return &r.Block }),
	textKey("entity", "what a drawing calls its thing", `entity: [LINE, LWPOLYLINE]`, func(r *Rule) **Pattern { return &r.Entity }),
	{"colour", true, `a DXF colour number, the name of one of the first seven, or "#rrggbb" of a drawing or a KML style`, `colour: [green, 92, "#00a651"]`,
		func(p *parser, r *Rule, _ string, v *yaml.Node) (err error) { r.Colour, err = p.colour(v); return err }},
	textKey("linetype", "the line type, where it is not continuous", `linetype: "DASHED*"`, func(r *Rule) **Pattern { return &r.LineType }),
	{"state", true, "how the layer is switched: frozen, off or noplot", `state: [frozen, off]`,
		func(p *parser, r *Rule, key string, v *yaml.Node) (err error) {
			r.State, err = p.words(key, v, stateWords)
			return err
		}},
	flagKey("hidden", true, "not shown in its drawing, by itself or by its layer", `hidden: true`, func(r *Rule, b bool) { r.Hidden = &b }),
	{"geometry", true, "point, line or area", `geometry: [line, area]`,
		func(p *parser, r *Rule, key string, v *yaml.Node) (err error) {
			r.Geometry, err = p.words(key, v, geometryKeys)
			return err
		}},
	flagKey("closed", true, "an outline, or a line that ends where it starts", `closed: true`, func(r *Rule, b bool) { r.Closed = &b }),
	{"area_m2", true, "the area of an outline in square metres: the least and the most, null for an open end", `area_m2: [10, null]`,
		func(p *parser, r *Rule, key string, v *yaml.Node) (err error) {
			r.AreaM2, err = p.size(key, v)
			return err
		}},
	{"length_m", true, "the length of a line, or round an outline, in metres", `length_m: [null, 5]`,
		func(p *parser, r *Rule, key string, v *yaml.Node) (err error) {
			r.LengthM, err = p.size(key, v)
			return err
		}},
	textKey("text", "a text that stands inside the outline, or within text_within_m of a point or line", `text: "lawn*"`, func(r *Rule) **Pattern { return &r.Text }),

	{"role", false, `what the features become; "?" for not known yet, which leaves them as they are`, `role: zone`,
		func(p *parser, r *Rule, _ string, v *yaml.Node) error { return p.role(r, v) }},
	flagKey("leave_out", false, "takes the features out, and counts them, instead of giving a role", `leave_out: true`, func(r *Rule, b bool) { r.LeaveOut = b }),
	{"set", false, "attributes they get", `set: {cut_mm: 40, hazard_kind: tree}`,
		func(p *parser, r *Rule, _ string, v *yaml.Node) (err error) { r.Set, err = p.set(v); return err }},
	{"set_from", false, `attributes from elsewhere: a property, "text" inside, "leader" for the text of an arrow whose tip is inside or on it, "attrib:TAG" of the block it is, "inside:TAG" of a block with attributes inside its outline; times turns a diameter into a radius`,
		`set_from: {height_m: HEIGHT, radius_m: {from: CROWN, times: 0.5}, note: "inside:PLANT", cut_mm: leader}`,
		func(p *parser, r *Rule, _ string, v *yaml.Node) error { return p.setFrom(r, v) }},
	{"name_from", false, "where the name comes from: text, leader, layer, block, code, attrib:TAG, inside:TAG or property:KEY", `name_from: text`,
		func(p *parser, r *Rule, _ string, v *yaml.Node) (err error) {
			r.NameFrom, err = p.nameFrom(v)
			return err
		}},
	flagKey("rings", false, "closes lines and joins loose pieces; true by itself for zone, keepout, boundary and building", `rings: false`, func(r *Rule, b bool) { r.Rings = b }),
	flagKey("holes", false, "makes outlines inside another one of the rule its holes", `holes: true`, func(r *Rule, b bool) { r.Holes = b }),
	{"text_within_m", false, "how far beside a point or line its text may stand, in metres; 2 when not given", `text_within_m: 3.5`,
		func(p *parser, r *Rule, key string, v *yaml.Node) (err error) {
			r.TextWithinM, err = p.number(key, v, 1000)
			return err
		}},
	{"tolerance_m", false, "the gap in metres that is closed; that of the file when not given, or 0.01", `tolerance_m: 0.05`,
		func(p *parser, r *Rule, _ string, v *yaml.Node) (err error) {
			r.ToleranceM, err = p.tolerance(v)
			return err
		}},
}

func keyNamed(name string) *Key {
	for i := range Keys {
		if Keys[i].Name == name {
			return &Keys[i]
		}
	}
	return nil
}

// keyNames are the names of the keys, with the other spelling of colour.
func keyNames() []string {
	out := []string{"color"}
	for _, k := range Keys {
		out = append(out, k.Name)
	}
	return out
}

// Explain is the page on files of roles.
func Explain() string {
	var b strings.Builder
	b.WriteString(`A file of roles says what the things of a foreign file are. It is YAML: a list of
rules, each with conditions and what becomes of what fits. Of several rules that fit,
the first holds. A pattern is a text with * ? [abc] in any case, a regular expression
between slashes, or a list of these; a list of words fits when one of them does.

    tolerance_m: 0.01            # gaps up to this are closed
    rules:
      - layer: "LAWN*"
        geometry: [line, area]
        role: zone
        holes: true
      - where: {ASSET_TYPE: "TREE*"}
        role: hazard
        set: {hazard_kind: tree}
      - layer: MYSTERY
        role: "?"                # not known yet: left as it is

A starter file with what is in a file, and guesses: convert --look FILE --write-roles FILE.
Use it with --roles FILE in convert, check, mend, sheet, drift and place.

Conditions, all of which must fit:
`)
	for _, condition := range []bool{true, false} {
		if !condition {
			b.WriteString("\nWhat becomes of what fits:\n")
		}
		for _, k := range Keys {
			if k.Condition == condition {
				fmt.Fprintf(&b, "  %-14s %s\n  %-14s   %s\n", k.Name, k.Means, "", k.Example)
			}
		}
	}
	b.WriteString("\nThe roles: " + strings.Join(roleWords(), ", ") + ".\n")
	return b.String()
}
