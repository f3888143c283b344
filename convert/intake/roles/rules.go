// Package roles gives features their roles from what they are called and how
// they are drawn: a small YAML file of patterns, the first that fits wins.
//
//	tolerance_m: 0.01              # gaps up to this are closed; 0.01 when left out
//	rules:
//	  - layer: "LAWN*"             # glob, in any case
//	    geometry: [line, area]
//	    role: zone
//	    holes: true                # a ring inside another one is its hole
//	    name_from: text            # the TEXT inside becomes the name
//	    set: {cut_mm: 40}
//	  - layer: [TREES, BUSHES]     # any of several
//	    block: "/^oak/"            # between slashes: a regular expression
//	    role: hazard
//	    set: {hazard_kind: tree}
//	  - layer: "DIM*"
//	    leave_out: true            # taken out of the plan, and counted
//
// Every condition of a rule must fit. Conditions: layer (or the innermost folder
// of a KML file), name, code, colour, block, entity, geometry. A colour is an ACI
// number, one of its names, or "#rrggbb". A geometry is point, line or area.
//
// For a role that is an area by nature (zone, keepout, boundary, building), and
// where a rule says rings: true, lines that close become rings, and loose pieces
// that meet are joined into rings. What stays open is listed with the size and
// place of the gap.
package roles

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"swardline/convert/wire"
	"swardline/schema"
)

// Defaults of a rules file: choices of this program.
const (
	DefaultToleranceM  = 0.01
	DefaultTextWithinM = 2
	// MostToleranceM is the largest tolerance taken: past it, outlines that are
	// not the same would be joined.
	MostToleranceM = 1
)

// Rules are the rules of one file, in order.
type Rules struct {
	// File is the file's name for messages.
	File string
	// ToleranceM is the gap in metres that is closed unless a rule says otherwise.
	ToleranceM float64
	List       []Rule
}

// Rule is one rule.
type Rule struct {
	// Line is where it stands in its file.
	Line int
	// Conditions; a nil one fits everything.
	Layer, Name, Code, Colour, Block, Entity *Pattern
	// Geometry lists the words that fit; empty fits everything.
	Geometry []string
	// Role is what the features become; LeaveOut takes them out instead.
	Role     schema.Role
	LeaveOut bool
	// Set are attributes they get.
	Set schema.Attributes
	// Rings makes rings of lines: true for roles that are areas, unless told.
	Rings bool
	// Holes makes rings inside another ring of the rule its holes.
	Holes bool
	// NameFrom is "text", "layer", "block", "code", "attrib:TAG" or "".
	NameFrom string
	// TextWithinM is how far beside a point or line its text may stand, in metres.
	TextWithinM float64
	// ToleranceM is the gap in metres that is closed.
	ToleranceM float64
}

// Pattern is one condition on a text: any of several globs or expressions.
type Pattern struct {
	// Text is the pattern as it stands in the file.
	Text string
	any  []*regexp.Regexp
}

// Match reports whether a text fits.
func (p *Pattern) Match(s string) bool {
	if p == nil {
		return true
	}
	for _, re := range p.any {
		if re.MatchString(s) {
			return true
		}
	}
	return false
}

// The words of a rules file.
var (
	topKeys      = []string{"tolerance_m", "rules"}
	ruleKeys     = []string{"layer", "name", "code", "colour", "block", "entity", "geometry", "role", "leave_out", "set", "rings", "holes", "name_from", "text_within_m", "tolerance_m"}
	geometryKeys = []string{"point", "line", "area"}
	nameSources  = []string{"text", "layer", "block", "code"}
	// colourNames are those of the first seven ACI numbers (from memory of the
	// format's reference).
	colourNames = []string{"red", "yellow", "green", "cyan", "blue", "magenta", "white"}
)

// Read reads a rules file. name is the file's name for messages. An unknown key,
// role, colour or geometry is an error that names the nearest known word. Errors
// are *wire.InputError with the line.
func Read(data []byte, name string) (*Rules, error) {
	p := parser{name: name}
	rules := &Rules{File: name, ToleranceM: DefaultToleranceM}
	if _, err := wire.CheckText(data, name, nil); err != nil {
		return nil, err
	}
	dec := yaml.NewDecoder(bytes.NewReader(data))
	var doc, second yaml.Node
	if err := dec.Decode(&doc); err != nil {
		if errors.Is(err, io.EOF) {
			return nil, p.fault(1, "the file has no rules", "write a list under 'rules:'")
		}
		return nil, p.notYAML(err)
	}
	if err := dec.Decode(&second); err == nil {
		return nil, p.fault(second.Line, "a rules file holds one document", "remove the second")
	} else if !errors.Is(err, io.EOF) {
		return nil, p.notYAML(err)
	}
	if len(doc.Content) == 0 {
		return nil, p.fault(1, "the file has no rules", "write a list under 'rules:'")
	}
	var list *yaml.Node
	err := p.fields(doc.Content[0], "a rules file", topKeys, func(key string, v *yaml.Node) error {
		switch key {
		case "tolerance_m":
			t, err := p.tolerance(v)
			rules.ToleranceM = t
			return err
		case "rules":
			list = v
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	if list == nil || list.Kind != yaml.SequenceNode || len(list.Content) == 0 {
		line := doc.Content[0].Line
		if list != nil {
			line = list.Line
		}
		return nil, p.fault(line, "the file has no rules", "write a list under 'rules:'")
	}
	for _, n := range list.Content {
		r, err := p.rule(n, rules.ToleranceM)
		if err != nil {
			return nil, err
		}
		rules.List = append(rules.List, r)
	}
	return rules, nil
}

type parser struct{ name string }

func (p *parser) fault(line int, problem, mend string) error {
	return &wire.InputError{File: p.name, Line: line, Problem: problem, Mend: mend}
}

var yamlLine = regexp.MustCompile(`^yaml: (?:line (\d+): )?`)

// notYAML gives an error of the YAML parser the form of the others.
func (p *parser) notYAML(err error) error {
	text := err.Error()
	line := 1
	if m := yamlLine.FindStringSubmatch(text); m != nil {
		if n, err := strconv.Atoi(m[1]); err == nil {
			line = n
		}
		text = text[len(m[0]):]
	}
	return p.fault(line, "not YAML: "+text, "check the indentation and the quotes near there")
}

// fields calls f for every key of a mapping, which must be one of known.
func (p *parser) fields(n *yaml.Node, what string, known []string, f func(key string, v *yaml.Node) error) error {
	if n.Kind == yaml.AliasNode {
		return p.fault(n.Line, "an alias (*) stands where "+what+" should", "write it out")
	}
	if n.Kind != yaml.MappingNode {
		return p.fault(n.Line, fmt.Sprintf("%s should stand here, got %s", what, show(n)), "write lines such as 'role: zone'")
	}
	seen := map[string]bool{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		k, v := n.Content[i], n.Content[i+1]
		if known != nil && !contains(known, k.Value) {
			return p.fault(k.Line, fmt.Sprintf("there is no key called %q here", k.Value), fmt.Sprintf("the nearest is %q", schema.Nearest(k.Value, known)))
		}
		if seen[k.Value] {
			return p.fault(k.Line, fmt.Sprintf("the key %q stands twice", k.Value), "remove one")
		}
		seen[k.Value] = true
		if v.Kind == yaml.AliasNode {
			return p.fault(v.Line, fmt.Sprintf("%s is an alias (*)", k.Value), "write it out")
		}
		if err := f(k.Value, v); err != nil {
			return err
		}
	}
	return nil
}

func show(n *yaml.Node) string {
	switch n.Kind {
	case yaml.SequenceNode:
		return "a list"
	case yaml.MappingNode:
		return "a mapping"
	}
	if n.Tag == "!!null" {
		return "nothing"
	}
	return strconv.Quote(n.Value)
}

func (p *parser) rule(n *yaml.Node, tolerance float64) (Rule, error) {
	r := Rule{Line: n.Line, ToleranceM: tolerance, TextWithinM: DefaultTextWithinM}
	rings := false
	err := p.fields(n, "a rule", ruleKeys, func(key string, v *yaml.Node) (err error) {
		switch key {
		case "layer":
			r.Layer, err = p.pattern(key, v)
		case "name":
			r.Name, err = p.pattern(key, v)
		case "code":
			r.Code, err = p.pattern(key, v)
		case "colour":
			r.Colour, err = p.colour(v)
		case "block":
			r.Block, err = p.pattern(key, v)
		case "entity":
			r.Entity, err = p.pattern(key, v)
		case "geometry":
			r.Geometry, err = p.words(key, v, geometryKeys)
		case "role":
			role, ok := schema.ParseRole(v.Value)
			if v.Kind != yaml.ScalarNode || !ok {
				return p.fault(v.Line, fmt.Sprintf("there is no role called %s", show(v)),
					fmt.Sprintf("the nearest is %q; the roles are %s", schema.Nearest(v.Value, roleWords()), strings.Join(roleWords(), ", ")))
			}
			r.Role = role
		case "leave_out":
			r.LeaveOut, err = p.truth(key, v)
		case "rings":
			r.Rings, err = p.truth(key, v)
			rings = true
		case "holes":
			r.Holes, err = p.truth(key, v)
		case "name_from":
			r.NameFrom, err = p.nameFrom(v)
		case "text_within_m":
			r.TextWithinM, err = p.number(key, v, 1000)
		case "tolerance_m":
			r.ToleranceM, err = p.tolerance(v)
		case "set":
			r.Set, err = p.set(v)
		}
		return err
	})
	if err != nil {
		return r, err
	}
	switch {
	case r.Role == "" && !r.LeaveOut:
		return r, p.fault(n.Line, "the rule gives no role", "add 'role: ...', or 'leave_out: true'")
	case r.Role != "" && r.LeaveOut:
		return r, p.fault(n.Line, "the rule both gives a role and leaves out", "remove one")
	case r.LeaveOut && (len(r.Set) > 0 || r.Holes || r.Rings || r.NameFrom != ""):
		return r, p.fault(n.Line, "a rule that leaves out says what its features become", "remove everything but the conditions")
	}
	if !rings {
		r.Rings = r.Role.IsArea()
	}
	return r, nil
}

func roleWords() []string {
	out := make([]string, len(schema.Roles))
	for i, r := range schema.Roles {
		out[i] = string(r)
	}
	return out
}

// scalars returns the texts of a scalar or of a list of scalars.
func (p *parser) scalars(key string, v *yaml.Node) ([]*yaml.Node, error) {
	list := []*yaml.Node{v}
	if v.Kind == yaml.SequenceNode {
		list = v.Content
	}
	for _, n := range list {
		if n.Kind != yaml.ScalarNode || n.Tag == "!!null" {
			mend := "write a text, or a list of texts"
			if key == "colour" {
				mend = `write a text; put quotes round one that starts with #`
			}
			return nil, p.fault(n.Line, fmt.Sprintf("%s should be a pattern, got %s", key, show(n)), mend)
		}
	}
	if len(list) == 0 {
		return nil, p.fault(v.Line, fmt.Sprintf("%s is an empty list", key), "remove it, or say what should fit")
	}
	return list, nil
}

func (p *parser) pattern(key string, v *yaml.Node) (*Pattern, error) {
	list, err := p.scalars(key, v)
	if err != nil {
		return nil, err
	}
	out := &Pattern{}
	var texts []string
	for _, n := range list {
		re, err := compile(n.Value)
		if err != nil {
			return nil, p.fault(n.Line, fmt.Sprintf("the pattern %q is not well formed: %v", n.Value, err), "globs have * ? [abc]; regular expressions stand between slashes")
		}
		out.any = append(out.any, re)
		texts = append(texts, n.Value)
	}
	out.Text = strings.Join(texts, ", ")
	return out, nil
}

// compile makes a regular expression of a glob, or of one between slashes. Both
// take letters in any case.
func compile(s string) (*regexp.Regexp, error) {
	if len(s) > 1 && s[0] == '/' && s[len(s)-1] == '/' {
		re, err := regexp.Compile("(?i)" + s[1:len(s)-1])
		if err != nil {
			return nil, errors.New(strings.TrimPrefix(err.Error(), "error parsing regexp: "))
		}
		return re, nil
	}
	var b strings.Builder
	b.WriteString(`(?is)^`)
	for i := 0; i < len(s); {
		switch c := s[i]; c {
		case '*':
			b.WriteString(`.*`)
		case '?':
			b.WriteString(`.`)
		case '[':
			end := strings.IndexByte(s[i+1:], ']')
			if end < 1 {
				return nil, errors.New("a [ has no ]")
			}
			set := s[i+1 : i+1+end]
			b.WriteByte('[')
			if set[0] == '!' || set[0] == '^' {
				b.WriteByte('^')
				set = set[1:]
			}
			if set == "" {
				return nil, errors.New("a [] is empty")
			}
			b.WriteString(strings.NewReplacer(`\`, `\\`, "[", `\[`, "^", `\^`).Replace(set))
			b.WriteByte(']')
			i += end + 1
		default:
			size := 1
			for i+size < len(s) && s[i+size]&0xc0 == 0x80 {
				size++ // the rest of a UTF-8 character
			}
			b.WriteString(regexp.QuoteMeta(s[i : i+size]))
			i += size - 1
		}
		i++
	}
	b.WriteByte('$')
	re, err := regexp.Compile(b.String())
	if err != nil {
		return nil, errors.New("a range in [] is not well formed")
	}
	return re, nil
}

// colour reads colours: names and numbers fit the number, "#rrggbb" the text.
func (p *parser) colour(v *yaml.Node) (*Pattern, error) {
	list, err := p.scalars("colour", v)
	if err != nil {
		return nil, err
	}
	out := &Pattern{}
	var texts []string
	for _, n := range list {
		word := strings.ToLower(n.Value)
		texts = append(texts, n.Value)
		number, isNumber := strconv.Atoi(word)
		switch {
		case isNumber == nil && number >= 0 && number <= 256:
		case len(word) == 7 && word[0] == '#' && strings.Trim(word[1:], "0123456789abcdef") == "":
		case contains(colourNames, word):
			for i, name := range colourNames {
				if name == word {
					word = strconv.Itoa(i + 1)
				}
			}
		case word == "black":
			word = "7"
		case isNumber == nil:
			return nil, p.fault(n.Line, fmt.Sprintf("there is no colour %d", number), "the numbers are 0 to 256")
		default:
			return nil, p.fault(n.Line, fmt.Sprintf("there is no colour called %q", n.Value), fmt.Sprintf("the nearest is %q; a number from 0 to 256 or \"#rrggbb\" does too", schema.Nearest(word, colourNames)))
		}
		out.any = append(out.any, regexp.MustCompile("^(?i:"+regexp.QuoteMeta(word)+")$"))
	}
	out.Text = strings.Join(texts, ", ")
	return out, nil
}

func (p *parser) words(key string, v *yaml.Node, known []string) ([]string, error) {
	list, err := p.scalars(key, v)
	if err != nil {
		return nil, err
	}
	var out []string
	for _, n := range list {
		if !contains(known, n.Value) {
			return nil, p.fault(n.Line, fmt.Sprintf("there is no %s called %q", key, n.Value), fmt.Sprintf("the nearest is %q", schema.Nearest(n.Value, known)))
		}
		out = append(out, n.Value)
	}
	return out, nil
}

func (p *parser) truth(key string, v *yaml.Node) (bool, error) {
	var b bool
	if v.Kind != yaml.ScalarNode || v.Tag != "!!bool" || v.Decode(&b) != nil {
		return false, p.fault(v.Line, fmt.Sprintf("%s should be true or false, got %s", key, show(v)), "")
	}
	return b, nil
}

func (p *parser) number(key string, v *yaml.Node, most float64) (float64, error) {
	f, ok := wire.ParseFloat([]byte(v.Value))
	if v.Kind != yaml.ScalarNode || (v.Tag != "!!int" && v.Tag != "!!float") || !ok {
		return 0, p.fault(v.Line, fmt.Sprintf("%s should be a number of metres, got %s", key, show(v)), "")
	}
	if f < 0 || f > most {
		return 0, p.fault(v.Line, fmt.Sprintf("%s should be from 0 to %g m, got %s", key, most, v.Value), "")
	}
	return f, nil
}

func (p *parser) tolerance(v *yaml.Node) (float64, error) {
	return p.number("tolerance_m", v, MostToleranceM)
}

func (p *parser) nameFrom(v *yaml.Node) (string, error) {
	word := v.Value
	if tag, ok := strings.CutPrefix(word, "attrib:"); ok && v.Kind == yaml.ScalarNode && strings.TrimSpace(tag) != "" {
		return "attrib:" + strings.TrimSpace(tag), nil
	}
	if v.Kind != yaml.ScalarNode || !contains(nameSources, word) {
		return "", p.fault(v.Line, fmt.Sprintf("a name comes from nothing called %s", show(v)), fmt.Sprintf("the nearest is %q; \"attrib:TAG\" takes an attribute of a block", schema.Nearest(word, nameSources)))
	}
	return word, nil
}

// set reads the attributes that a rule gives, with their types.
func (p *parser) set(v *yaml.Node) (schema.Attributes, error) {
	var out schema.Attributes
	err := p.fields(v, "a mapping of attributes", nil, func(key string, v *yaml.Node) error {
		if key == schema.PropRole || key == schema.PropID {
			return p.fault(v.Line, fmt.Sprintf("set cannot give the %s", key), "the role has its own key; ids stay as they are")
		}
		value, err := p.value(v, 0)
		if err != nil {
			return err
		}
		if key == schema.PropName && value.Kind() != schema.KindString {
			return p.fault(v.Line, fmt.Sprintf("a name is a text, got a %s", value.Kind()), "put quotes round it")
		}
		if key == schema.PropEdgeKind && !contains(schema.EdgeKinds, value.Text()) {
			return p.fault(v.Line, fmt.Sprintf("there is no edge_kind called %s", show(v)), fmt.Sprintf("the nearest is %q", schema.Nearest(v.Value, schema.EdgeKinds)))
		}
		out = append(out, schema.Attribute{Key: key, Value: value})
		return nil
	})
	return out, err
}

func (p *parser) value(v *yaml.Node, depth int) (schema.Value, error) {
	if depth > schema.MaxNesting {
		return schema.Value{}, p.fault(v.Line, fmt.Sprintf("nested more than %d deep", schema.MaxNesting), "")
	}
	switch v.Kind {
	case yaml.SequenceNode:
		items := make([]schema.Value, len(v.Content))
		for i, n := range v.Content {
			var err error
			if items[i], err = p.value(n, depth+1); err != nil {
				return schema.Value{}, err
			}
		}
		return schema.List(items...), nil
	case yaml.MappingNode:
		var fields schema.Attributes
		err := p.fields(v, "a mapping", nil, func(key string, n *yaml.Node) error {
			item, err := p.value(n, depth+1)
			fields = append(fields, schema.Attribute{Key: key, Value: item})
			return err
		})
		return schema.Object(fields), err
	case yaml.ScalarNode:
	default:
		return schema.Value{}, p.fault(v.Line, "an alias (*) stands where a value should", "write it out")
	}
	switch v.Tag {
	case "!!null":
		return schema.Null(), nil
	case "!!bool":
		b, err := p.truth("a value", v)
		return schema.Bool(b), err
	case "!!int", "!!float":
		if n, ok := schema.Number(v.Value); ok {
			return n, nil
		}
		return schema.Value{}, p.fault(v.Line, fmt.Sprintf("%q is not a plain number", v.Value), "write digits with a point, or put quotes round a text")
	}
	return schema.String(v.Value), nil
}

func contains(list []string, word string) bool {
	for _, w := range list {
		if w == word {
			return true
		}
	}
	return false
}
