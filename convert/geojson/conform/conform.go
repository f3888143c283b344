// Package conform holds the text of a GeoJSON file against the JSON Schema
// document of a plan (schema.Document).
package conform

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"sort"
	"strconv"
	"strings"

	"swardline/convert/wire"
	"swardline/convert/wire/jsontext"
	"swardline/schema"
)

// Fault is one place where a file is not as the schema document asks.
type Fault struct {
	// Path is the place in the file, such as features[3].properties.role; "" is
	// the whole.
	Path string
	// Line counts from 1.
	Line int
	// Message says what is wrong there.
	Message string
}

// String gives "line 12: features[3].properties.role: message".
func (f Fault) String() string {
	if f.Path == "" {
		return fmt.Sprintf("line %d: %s", f.Line, f.Message)
	}
	return fmt.Sprintf("line %d: %s: %s", f.Line, f.Path, f.Message)
}

// Check holds a file's text against the schema document and returns the faults
// in the file's order, nil when there are none. The error is a *jsontext.Error
// when the text is no JSON. What plainly is in order is told without the rule,
// which would take most of the time for it: see jsonInstance.
func Check(data []byte) ([]Fault, error) { return check(data, nil, false) }

// CheckRead is Check for a text that was read, with the lists of coordinates
// that the reader found in it: those need not be walked over again.
func CheckRead(data []byte, read *wire.Lists) ([]Fault, error) { return check(data, read, false) }

func check(data []byte, read *wire.Lists, all bool) ([]Fault, error) {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	in := jsonInstance{data: data, all: all}
	in.plain.plainText = data
	if read != nil && len(data) > 0 && len(read.Text) == len(data) && &read.Text[0] == &data[0] {
		in.plain.lists = read.All
	}
	v, at, err := in.value(0, schema.MaxNesting+documentDepth)
	if err != nil {
		return nil, err
	}
	if at = jsontext.SkipSpace(data, at); at != len(data) {
		return nil, &jsontext.Error{Offset: at, Problem: "something stands after the end of the value"}
	}
	if !all && plainRoot(v) {
		return nil, nil
	}
	rule, err := compiled()
	if err != nil {
		return nil, err
	}
	root := &faultNode{}
	if rule.check(v, root) {
		return nil, nil
	}
	root.renumber(in.features)
	var out []Fault
	w := faultWalk{data: data, line: 1, out: &out}
	w.value(root, jsontext.SkipSpace(data, 0), nil)
	return out, nil
}

// documentDepth is how deep a plan's attribute values stand in the file:
// collection, features, feature, properties.
const documentDepth = 4

// jsonInstance reads JSON into the form that a rule takes.
//
// A Feature of the outermost object that plainly is as the document asks (see
// plainText) is left out, and features keeps the indexes of the others. The
// rule asks nothing of the list but that each item is a Feature.
//
// In "coordinates", a well-formed position (a list of two or more numbers) that
// follows four others in the same list is left out. The rule cannot tell the
// difference: all it asks of such a list is a least count of four or fewer and
// that every item is a position.
type jsonInstance struct {
	data     []byte
	all      bool // leave nothing out
	plain    plainWalk
	features []int
}

const positionsKept = 4

func (in *jsonInstance) value(at, nesting int) (any, int, error) {
	at = jsontext.SkipSpace(in.data, at)
	if at < len(in.data) {
		switch in.data[at] {
		case '{':
			return in.object(at, nesting)
		case '[':
			return in.list(at, nesting, listPlain)
		}
	}
	v, next, err := jsontext.ParseAt(in.data, at, nesting)
	if err != nil {
		return nil, next, err
	}
	switch v.Kind() {
	case schema.KindString:
		return v.Text(), next, nil
	case schema.KindBool:
		return v.Text() == "true", next, nil
	case schema.KindNumber:
		f, _ := v.Float() // within range: jsontext.ParseAt made sure
		return f, next, nil
	}
	return nil, next, nil
}

func (in *jsonInstance) object(at, nesting int) (any, int, error) {
	if nesting <= 0 {
		return nil, at, jsontext.TooDeep(at)
	}
	out := map[string]any{}
	at = jsontext.SkipSpace(in.data, at+1)
	if at < len(in.data) && in.data[at] == '}' {
		return out, at + 1, nil
	}
	for {
		at = jsontext.SkipSpace(in.data, at)
		if at >= len(in.data) || in.data[at] != '"' {
			return nil, at, &jsontext.Error{Offset: at, Problem: "a key in double quotes should stand here"}
		}
		keyAt := at
		key, next, err := jsontext.ParseString(in.data, at)
		if err != nil {
			return nil, next, err
		}
		if _, twice := out[key]; twice {
			return nil, keyAt, &jsontext.Error{Offset: keyAt, Problem: fmt.Sprintf("the key %q stands twice in one object", wire.Clip([]byte(key), 24))}
		}
		at = jsontext.SkipSpace(in.data, next)
		if at >= len(in.data) || in.data[at] != ':' {
			return nil, at, &jsontext.Error{Offset: at, Problem: fmt.Sprintf("a colon should follow the key %q", wire.Clip([]byte(key), 24))}
		}
		at = jsontext.SkipSpace(in.data, at+1)
		var v any
		switch isList := at < len(in.data) && in.data[at] == '[' && !in.all; {
		case isList && key == "coordinates":
			v, at, err = in.list(at, nesting-1, listCoordinates)
		case isList && key == "features" && nesting == schema.MaxNesting+documentDepth:
			v, at, err = in.list(at, nesting-1, listFeatures)
		default:
			v, at, err = in.value(at, nesting-1)
		}
		if err != nil {
			return nil, at, err
		}
		out[key] = v
		at = jsontext.SkipSpace(in.data, at)
		switch {
		case at >= len(in.data):
			return nil, at, &jsontext.Error{Offset: at, Problem: "the text ends inside an object"}
		case in.data[at] == ',':
			at++
		case in.data[at] == '}':
			return out, at + 1, nil
		default:
			return nil, at, &jsontext.Error{Offset: at, Problem: fmt.Sprintf("%q stands where a comma or } should", in.data[at])}
		}
	}
}

// What a list is one of.
const (
	listPlain = iota
	listCoordinates
	listFeatures
)

func (in *jsonInstance) list(at, nesting, of int) (any, int, error) {
	if nesting <= 0 {
		return nil, at, jsontext.TooDeep(at)
	}
	out := []any{}
	start, positions, leftOut := at, 0, false
	at = jsontext.SkipSpace(in.data, at+1)
	if at < len(in.data) && in.data[at] == ']' {
		return out, at + 1, nil
	}
	for index := 0; ; index++ {
		at = jsontext.SkipSpace(in.data, at)
		next, isPosition, skip := 0, false, false
		switch of {
		case listCoordinates:
			next, isPosition = skipPosition(in.data, at)
			skip = isPosition && positions >= positionsKept && positions == len(out)
			if leftOut && !skip {
				// Something else among the positions: its index must be the
				// true one.
				return in.list(start, nesting, listPlain)
			}
			leftOut = skip
		case listFeatures:
			if next, skip = in.plain.feature(at); !skip {
				in.features = append(in.features, index)
			}
		}
		if !skip {
			var v any
			var err error
			if of == listCoordinates && at < len(in.data) && in.data[at] == '[' {
				v, next, err = in.list(at, nesting-1, listCoordinates)
			} else {
				v, next, err = in.value(at, nesting-1)
			}
			if err != nil {
				return nil, next, err
			}
			out = append(out, v)
			if isPosition {
				positions++
			}
		}
		at = jsontext.SkipSpace(in.data, next)
		switch {
		case at >= len(in.data):
			return nil, at, &jsontext.Error{Offset: at, Problem: "the text ends inside a list"}
		case in.data[at] == ',':
			at++
		case in.data[at] == ']':
			return out, at + 1, nil
		default:
			return nil, at, &jsontext.Error{Offset: at, Problem: fmt.Sprintf("%q stands where a comma or ] should", in.data[at])}
		}
	}
}

// skipPosition steps over a list of two or more plain numbers (no exponents);
// ok is false for anything else, which then goes the long way.
func skipPosition(data []byte, at int) (next int, ok bool) {
	if at >= len(data) || data[at] != '[' {
		return at, false
	}
	for numbers := 0; ; {
		at++
		if at < len(data) && data[at] <= ' ' {
			at = jsontext.SkipSpace(data, at)
		}
		if at < len(data) && data[at] == '-' {
			at++
		}
		start := at
		for at < len(data) && wire.IsDigit(data[at]) {
			at++
		}
		if at == start || at-start > 1 && data[start] == '0' || at-start > 300 {
			return at, false
		}
		if at < len(data) && data[at] == '.' {
			at++
			point := at
			for at < len(data) && wire.IsDigit(data[at]) {
				at++
			}
			if at == point {
				return at, false
			}
		}
		numbers++
		if at < len(data) && data[at] <= ' ' {
			at = jsontext.SkipSpace(data, at)
		}
		if at >= len(data) {
			return at, false
		}
		switch data[at] {
		case ',':
		case ']':
			return at + 1, numbers >= 2
		default:
			return at, false
		}
	}
}

// faultNode holds the faults of one value and of those inside it.
type faultNode struct {
	messages []string
	inside   map[string]*faultNode
}

// at is the node of a member or an item.
func (n *faultNode) at(name string) *faultNode {
	if n.inside == nil {
		n.inside = map[string]*faultNode{}
	}
	if n.inside[name] == nil {
		n.inside[name] = &faultNode{}
	}
	return n.inside[name]
}

// add adds a fault once, and returns false.
func (n *faultNode) add(text string) bool {
	if n != nil && !slices.Contains(n.messages, text) {
		n.messages = append(n.messages, text)
		sort.Strings(n.messages) // some were found going over a map
	}
	return false
}

// renumber gives the features that were seen their true indexes; nil stands for
// all.
func (n *faultNode) renumber(features []int) {
	list := n.inside["features"]
	if features == nil || list == nil {
		return
	}
	numbered := map[string]*faultNode{}
	for token, node := range list.inside {
		if i, err := strconv.Atoi(token); err == nil && i < len(features) {
			token = strconv.Itoa(features[i])
		}
		numbered[token] = node
	}
	list.inside = numbered
}

func quoteAll(names []string) string {
	names = append([]string(nil), names...)
	sort.Strings(names)
	for i := range names {
		names[i] = strconv.Quote(names[i])
	}
	return strings.Join(names, ", ")
}

func article(kind string) string {
	switch kind {
	case "null":
		return kind
	case "array":
		return "a list"
	case "object", "integer":
		return "an " + kind
	case "string":
		return "a text"
	case "boolean":
		return "true or false"
	}
	return "a " + kind
}

func articles(t []string) string {
	words := make([]string, len(t))
	for i, k := range t {
		words[i] = article(k)
	}
	return strings.Join(words, " or ")
}

func showAny(v any) string {
	b, err := json.Marshal(v)
	if err != nil {
		return fmt.Sprint(v)
	}
	if len(b) > 60 {
		return strings.ToValidUTF8(string(b[:60]), "") + "..."
	}
	return string(b)
}

func showAll(list []any) string {
	words := make([]string, len(list))
	for i, v := range list {
		words[i] = showAny(v)
	}
	return strings.Join(words, ", ")
}

// faultWalk walks over the text, into those values that have faults, and gives
// each fault its line.
type faultWalk struct {
	data []byte
	line int // of data[at]
	at   int
	out  *[]Fault
}

// value walks over the value at data[at], whose path is given, and returns the
// index behind it. The text is known to be JSON.
func (w *faultWalk) value(n *faultNode, at int, path []byte) int {
	if len(n.messages) > 0 {
		w.line += bytes.Count(w.data[w.at:at], []byte{'\n'})
		w.at = at
		for _, m := range n.messages {
			*w.out = append(*w.out, Fault{Path: string(path), Line: w.line, Message: m})
		}
	}
	if len(n.inside) == 0 || at >= len(w.data) || w.data[at] != '{' && w.data[at] != '[' {
		return skipValue(w.data, at)
	}
	closing, index := byte('}'), 0
	if w.data[at] == '[' {
		closing = ']'
	}
	for at = jsontext.SkipSpace(w.data, at+1); at < len(w.data) && w.data[at] != closing; at = jsontext.SkipSpace(w.data, at) {
		if w.data[at] == ',' {
			at++
			continue
		}
		token, step := "", path
		if closing == '}' {
			token, at, _ = jsontext.ParseString(w.data, at)
			at = jsontext.SkipSpace(w.data, jsontext.SkipSpace(w.data, at)+1)
			step = appendStep(path, token)
		} else {
			token = strconv.Itoa(index)
			step = append(append(append(step[:len(step):len(step)], '['), token...), ']')
			index++
		}
		if inner := n.inside[token]; inner != nil {
			at = w.value(inner, at, step)
		} else {
			at = skipValue(w.data, at)
		}
	}
	return at + 1
}

// appendStep adds a member's name to a path, quoted where it is no plain word.
func appendStep(path []byte, name string) []byte {
	plain := name != ""
	for i := 0; i < len(name); i++ {
		plain = plain && (wire.IsDigit(name[i]) || wire.IsLetter(name[i]) || name[i] == '_')
	}
	out := append([]byte(nil), path...)
	if !plain {
		return append(schema.AppendJSONString(append(out, '['), name), ']')
	}
	if len(out) > 0 {
		out = append(out, '.')
	}
	return append(out, name...)
}

// skipValue returns the index behind the value at data[at], which is known to
// be JSON.
func skipValue(data []byte, at int) int {
	depth := 0
	for ; at < len(data); at++ {
		switch data[at] {
		case '"':
			for at++; at < len(data) && data[at] != '"'; at++ {
				if data[at] == '\\' {
					at++
				}
			}
		case '{', '[':
			depth++
			continue
		case '}', ']':
			if depth--; depth < 0 {
				return at // behind a bare number or word
			}
		case ',':
			if depth == 0 {
				return at
			}
			continue
		default:
			continue
		}
		if depth == 0 {
			return at + 1
		}
	}
	return at
}
