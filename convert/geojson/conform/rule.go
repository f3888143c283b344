// The JSON Schema keywords that the document of a plan uses, and no others. A
// general engine compiles the meta-schemas of every draft whenever a program
// that holds it starts, which took longer than checking a plan; the tests hold
// this one against such an engine.

package conform

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"

	"swardline/schema"
)

// rule is one compiled schema. The zero value takes everything.
type rule struct {
	never                bool // the schema false
	ref                  *rule
	types                []string
	constant             any
	enum                 []any
	required             []string
	properties           map[string]*rule
	additional           *rule
	items                *rule
	minItems, maxItems   float64 // NaN for none
	minimum, maximum     float64
	when, then, otherway *rule
}

// compiled is the rule of the document.
var compiled = sync.OnceValues(func() (*rule, error) {
	in := jsonInstance{data: schema.Document(), all: true}
	root, _, err := in.value(0, schema.MaxNesting)
	if err != nil {
		return nil, err
	}
	c := compiler{root: root, refs: map[string]*rule{}}
	r := c.rule(root)
	return r, c.err
})

type compiler struct {
	root any
	refs map[string]*rule // by what names them, so that rules may name themselves
	err  error
}

func (c *compiler) fail(format string, args ...any) {
	if c.err == nil {
		c.err = fmt.Errorf("the schema document: "+format, args...)
	}
}

func (c *compiler) rule(v any) *rule {
	r := &rule{}
	c.fill(r, v)
	return r
}

func (c *compiler) fill(r *rule, v any) {
	r.minItems, r.maxItems, r.minimum, r.maximum = math.NaN(), math.NaN(), math.NaN(), math.NaN()
	if yes, ok := v.(bool); ok {
		r.never = !yes
		return
	}
	members, ok := v.(map[string]any)
	if !ok {
		c.fail("%v is no schema", v)
		return
	}
	for key, v := range members {
		switch key {
		case "$schema", "$id", "$defs", "title", "description", "default":
		case "$ref":
			r.ref = c.named(fmt.Sprint(v))
		case "type":
			if one, ok := v.(string); ok {
				v = []any{one}
			}
			r.types = c.texts(v)
			slices.Sort(r.types)
		case "const":
			r.constant = v
		case "enum":
			r.enum, _ = v.([]any)
		case "required":
			r.required = c.texts(v)
		case "properties":
			r.properties = map[string]*rule{}
			named, _ := v.(map[string]any)
			for name, v := range named {
				r.properties[name] = c.rule(v)
			}
		case "additionalProperties":
			r.additional = c.rule(v)
		case "items":
			r.items = c.rule(v)
		case "minItems":
			r.minItems, _ = v.(float64)
		case "maxItems":
			r.maxItems, _ = v.(float64)
		case "minimum":
			r.minimum, _ = v.(float64)
		case "maximum":
			r.maximum, _ = v.(float64)
		case "if":
			r.when = c.rule(v)
		case "then":
			r.then = c.rule(v)
		case "else":
			r.otherway = c.rule(v)
		default:
			c.fail("the keyword %q is not known here", key)
		}
	}
}

func (c *compiler) texts(v any) []string {
	list, _ := v.([]any)
	var out []string
	for _, x := range list {
		out = append(out, fmt.Sprint(x))
	}
	return out
}

// named gives the rule that a reference within the document stands for.
func (c *compiler) named(ref string) *rule {
	if r, ok := c.refs[ref]; ok {
		return r
	}
	r := &rule{}
	c.refs[ref] = r
	v, steps := c.root, strings.Split(ref, "/")
	if steps[0] != "#" {
		c.fail("%q leads out of it", ref)
		return r
	}
	for _, step := range steps[1:] {
		members, _ := v.(map[string]any)
		next, ok := members[step]
		if !ok {
			c.fail("%q leads nowhere", ref)
			return r
		}
		v = next
	}
	c.fill(r, v)
	return r
}

// check holds a value against the rule and adds what is wrong to n, the value's
// node; nil asks only whether anything is.
func (r *rule) check(v any, n *faultNode) (ok bool) {
	switch {
	case r.never:
		return n.add("it should not be here")
	case r.types != nil && !slices.Contains(r.types, kindOf(v)):
		return n.add(fmt.Sprintf("it is %s, where %s should stand", article(kindOf(v)), articles(r.types)))
	case r.constant != nil && v != r.constant:
		return n.add(fmt.Sprintf("it is %s, where %s should stand", showAny(v), showAny(r.constant)))
	case r.enum != nil && !slices.ContainsFunc(r.enum, func(x any) bool { return isScalar(v) && v == x }):
		return n.add(fmt.Sprintf("it is %s, which is none of %s", showAny(v), showAll(r.enum)))
	}
	ok = r.ref == nil || r.ref.check(v, n)
	switch v := v.(type) {
	case map[string]any:
		ok = r.checkObject(v, n) && ok
	case []any:
		ok = r.checkList(v, n) && ok
	case float64:
		if v < r.minimum {
			ok = n.add(fmt.Sprintf("it is %v, and the least is %v", v, r.minimum))
		}
		if v > r.maximum {
			ok = n.add(fmt.Sprintf("it is %v, and the most is %v", v, r.maximum))
		}
	}
	if r.when != nil {
		next := r.otherway
		if r.when.check(v, nil) {
			next = r.then
		}
		if next != nil {
			ok = next.check(v, n) && ok
		}
	}
	return ok
}

// inside holds a member or an item against the rule. Nodes are made for faults
// alone.
func (r *rule) inside(v any, n *faultNode, name string) bool {
	if r.check(v, nil) {
		return true
	}
	if n != nil {
		r.check(v, n.at(name))
	}
	return false
}

func (r *rule) checkObject(v map[string]any, n *faultNode) bool {
	ok := true
	var missing, unknown []string
	for _, name := range r.required {
		if _, has := v[name]; !has {
			missing = append(missing, name)
		}
	}
	if missing != nil {
		ok = n.add("it lacks " + quoteAll(missing))
	}
	for name, x := range v {
		next, known := r.properties[name]
		switch {
		case known:
			ok = next.inside(x, n, name) && ok
		case r.additional == nil:
		case r.additional.never:
			unknown = append(unknown, name)
		default:
			ok = r.additional.inside(x, n, name) && ok
		}
	}
	if unknown != nil {
		ok = n.add("it has names that are not known here: " + quoteAll(unknown))
	}
	return ok
}

func (r *rule) checkList(v []any, n *faultNode) bool {
	ok := true
	if float64(len(v)) < r.minItems {
		ok = n.add(fmt.Sprintf("it has %d items, and the fewest are %v", len(v), r.minItems))
	}
	if float64(len(v)) > r.maxItems {
		ok = n.add(fmt.Sprintf("it has %d items, and the most are %v", len(v), r.maxItems))
	}
	for i, x := range v {
		if r.items == nil || r.items.check(x, nil) {
			continue
		}
		if ok = false; n != nil {
			r.items.check(x, n.at(strconv.Itoa(i)))
		}
	}
	return ok
}

func kindOf(v any) string {
	switch v.(type) {
	case map[string]any:
		return "object"
	case []any:
		return "array"
	case string:
		return "string"
	case float64:
		return "number"
	case bool:
		return "boolean"
	}
	return "null"
}

// isScalar reports whether two such values can be compared with ==.
func isScalar(v any) bool {
	switch v.(type) {
	case map[string]any, []any:
		return false
	}
	return true
}
