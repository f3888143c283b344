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
// Every condition of a rule must fit; Keys lists them all. A rule whose role is
// "?" has none yet, and leaves its features as they are. Starter writes a file
// of such rules from a plan, with guesses where the words allow one.
//
// For a role that is an area by nature (zone, keepout, boundary, building), and
// where a rule says rings: true, lines that close become rings, and loose
// pieces that meet are joined into rings. What stays open is listed with the
// size and place of the gap.
package roles

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"sync"

	"go.yaml.in/yaml/v3"

	"swardline/convert/wire"
	"swardline/schema"
)

// Defaults of a rules file: choices of this program.
const (
	DefaultToleranceM  = 0.01
	DefaultTextWithinM = 2
)

// Rules are the rules of one file, in order.
type Rules struct {
	// File is the file's name for messages.
	File string
	// ToleranceM is the gap in metres that is closed unless a rule says
	// otherwise.
	ToleranceM float64
	List       []Rule
}

// Rule is one rule.
type Rule struct {
	// Line is where it stands in its file.
	Line int
	// Conditions; a nil one fits everything.
	Layer, Name, Code, Colour, Block, Entity, Folder, LineType, Text *Pattern
	// Where are conditions on properties by their keys.
	Where []Where
	// Geometry and State list the words that fit; empty fits everything.
	Geometry, State []string
	Hidden, Closed  *bool
	AreaM2, LengthM *Range
	// Role is what the features become; LeaveOut takes them out instead. Open
	// is true for "?": the rule has no role yet, and fits nothing.
	Role     schema.Role
	LeaveOut bool
	Open     bool
	// Set are attributes they get, SetFrom those whose values come from
	// elsewhere.
	Set     schema.Attributes
	SetFrom []SetFrom
	// Rings makes rings of lines: true for roles that are areas, unless told.
	Rings bool
	// Holes makes rings inside another ring of the rule its holes.
	Holes bool
	// NameFrom is "text", "layer", "block", "code", "leader", "attrib:TAG",
	// "inside:TAG", "property:KEY" or "".
	NameFrom string
	// TextWithinM is how far beside a point or line its text may stand, in
	// metres.
	TextWithinM float64
	// ToleranceM is the gap in metres that is closed.
	ToleranceM float64
}

// Where is a condition on a property; a property that is absent fits nothing.
type Where struct {
	Key string
	*Pattern
}

// Range is a condition on a size; both ends belong to it.
type Range struct{ Least, Most float64 }

// SetFrom gives an attribute a value from elsewhere: from a property of the
// feature, a text inside ("text"), the text of an arrow that points at it
// ("leader"), an attribute of the block it is ("attrib:TAG") or of a block
// inside its outline ("inside:TAG"). Numbers are multiplied by Times.
type SetFrom struct {
	Key, From string
	Times     float64
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
	stateWords   = []string{"frozen", "off", "noplot"}
	geometryKeys = []string{"point", "line", "area"}
	nameSources  = []string{"text", "layer", "block", "code", fromLeader}
	// colourNames are those of the first seven DXF colour numbers (from memory
	// of the format's reference).
	colourNames = []string{"red", "yellow", "green", "cyan", "blue", "magenta", "white"}
)

// Where names and attributes come from, besides words of their own.
const (
	fromText     = "text"
	fromLeader   = "leader"
	fromAttrib   = "attrib:"
	fromInside   = "inside:"
	fromProperty = "property:"
)

// Read reads a rules file. name is the file's name for messages. An unknown
// key, role, colour or geometry is an error that names the nearest known word.
// Errors are *wire.InputError with the line.
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

var yamlLine = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`^yaml: (?:line (\d+): )?`)
})

// notYAML gives an error of the YAML parser the form of the others.
func (p *parser) notYAML(err error) error {
	text := err.Error()
	line := 1
	if m := yamlLine().FindStringSubmatch(text); m != nil {
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
	err := p.fields(n, "a rule", keyNames(), func(key string, v *yaml.Node) error {
		if key == "color" {
			key = "colour"
		}
		rings = rings || key == "rings"
		return keyNamed(key).read(p, &r, key, v)
	})
	if err != nil {
		return r, err
	}
	switch {
	case r.Role == "" && !r.LeaveOut && !r.Open:
		return r, p.fault(n.Line, "the rule gives no role", "add 'role: ...', or 'leave_out: true'")
	case (r.Role != "" || r.Open) && r.LeaveOut:
		return r, p.fault(n.Line, "the rule both gives a role and leaves out", "remove one")
	case r.LeaveOut && (len(r.Set)+len(r.SetFrom) > 0 || r.Holes || r.Rings || r.NameFrom != ""):
		return r, p.fault(n.Line, "a rule that leaves out says what its features become", "remove everything but the conditions")
	}
	if !rings {
		r.Rings = r.Role.IsArea()
	}
	return r, nil
}

// role reads a role; "?" stands for one that nobody gave yet.
func (p *parser) role(r *Rule, v *yaml.Node) error {
	word := v.Value
	if alias, ok := schema.RoleAlias(word); ok {
		word = string(alias)
	}
	if v.Kind == yaml.ScalarNode && word == "?" {
		r.Open = true
		return nil
	}
	role, ok := schema.ParseRole(word)
	if v.Kind != yaml.ScalarNode || !ok {
		return p.fault(v.Line, fmt.Sprintf("there is no role called %s", show(v)),
			fmt.Sprintf("the nearest is %q; the roles are %s", schema.Nearest(v.Value, roleWords()), strings.Join(roleWords(), ", ")))
	}
	r.Role = role
	return nil
}

// where reads conditions on properties.
func (p *parser) where(r *Rule, v *yaml.Node) error {
	return p.fields(v, "a mapping of properties and patterns", nil, func(key string, v *yaml.Node) error {
		pattern, err := p.pattern(key, v)
		r.Where = append(r.Where, Where{key, pattern})
		return err
	})
}

// size reads a condition such as [10, 200]; null leaves an end open.
func (p *parser) size(key string, v *yaml.Node) (*Range, error) {
	out := &Range{Most: math.Inf(1)}
	if v.Kind != yaml.SequenceNode || len(v.Content) != 2 {
		return nil, p.fault(v.Line, fmt.Sprintf("%s should be the least and the most, got %s", key, show(v)), "write "+key+": [10, 200], with null for an end that is open")
	}
	for i, to := range []*float64{&out.Least, &out.Most} {
		n := v.Content[i]
		if n.Tag == "!!null" {
			continue
		}
		f, ok := wire.ParseFloat([]byte(n.Value))
		if n.Kind != yaml.ScalarNode || !ok || f < 0 {
			return nil, p.fault(n.Line, fmt.Sprintf("%s should hold numbers from 0, got %s", key, show(n)), "")
		}
		*to = f
	}
	if out.Least > out.Most {
		return nil, p.fault(v.Line, fmt.Sprintf("%s has its least above its most", key), "exchange them")
	}
	return out, nil
}

// setFrom reads where attributes come from.
func (p *parser) setFrom(r *Rule, v *yaml.Node) error {
	return p.fields(v, "a mapping of attributes", nil, func(key string, v *yaml.Node) error {
		s := SetFrom{Key: key, Times: 1}
		if key == schema.PropRole || key == schema.PropID || key == schema.PropName {
			return p.fault(v.Line, fmt.Sprintf("set_from cannot give the %s", key), "a name has name_from, the role its own key")
		}
		from := v
		if v.Kind == yaml.MappingNode {
			from = nil
			err := p.fields(v, "from and times", []string{"from", "times"}, func(key string, v *yaml.Node) error {
				if key == "from" {
					from = v
					return nil
				}
				f, ok := wire.ParseFloat([]byte(v.Value))
				if !ok || f == 0 {
					return p.fault(v.Line, fmt.Sprintf("times should be a number other than 0, got %s", show(v)), "")
				}
				s.Times = f
				return nil
			})
			if err != nil {
				return err
			}
		}
		if from == nil || from.Kind != yaml.ScalarNode || strings.TrimSpace(from.Value) == "" {
			return p.fault(v.Line, "set_from should say from which property", `write KEY: PROPERTY, KEY: "inside:TAG", or KEY: {from: PROPERTY, times: 0.5}`)
		}
		s.From = from.Value
		r.SetFrom = append(r.SetFrom, s)
		return nil
	})
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
	if math.IsInf(most, 1) && (f < 0 || math.IsInf(f, 1)) {
		return 0, p.fault(v.Line, fmt.Sprintf("%s should be 0 m or more, got %s", key, v.Value), "")
	}
	if f < 0 || f > most {
		return 0, p.fault(v.Line, fmt.Sprintf("%s should be from 0 to %g m, got %s", key, most, v.Value), "")
	}
	return f, nil
}

func (p *parser) tolerance(v *yaml.Node) (float64, error) {
	return p.number("tolerance_m", v, math.Inf(1))
}

func (p *parser) nameFrom(v *yaml.Node) (string, error) {
	word := v.Value
	for _, prefix := range []string{fromAttrib, fromInside, fromProperty} {
		if tag, ok := strings.CutPrefix(word, prefix); ok && v.Kind == yaml.ScalarNode && strings.TrimSpace(tag) != "" {
			return prefix + strings.TrimSpace(tag), nil
		}
	}
	if v.Kind != yaml.ScalarNode || !contains(nameSources, word) {
		return "", p.fault(v.Line, fmt.Sprintf("a name comes from nothing called %s", show(v)), fmt.Sprintf("the nearest is %q; \"attrib:TAG\" takes an attribute of a block, \"inside:TAG\" that of a block inside, \"property:KEY\" a property", schema.Nearest(word, nameSources)))
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
		if key == schema.PropEdgeKind && value.Text() == "curb" {
			value = schema.String(schema.EdgeKerb)
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
