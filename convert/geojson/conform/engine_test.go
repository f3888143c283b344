// A general JSON Schema engine, which the rule is held against.

package conform

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"swardline/schema"
)

var engine = sync.OnceValues(func() (*jsonschema.Schema, error) {
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(schema.Document()))
	if err != nil {
		return nil, err
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource(schema.DocumentID, doc); err != nil {
		return nil, err
	}
	return c.Compile(schema.DocumentID)
})

// faultsOfEngine gives the places that the engine finds fault with, each once,
// sorted.
func faultsOfEngine(t testing.TB, text []byte) []string {
	s, err := engine()
	if err != nil {
		t.Fatal(err)
	}
	in := jsonInstance{data: bytes.TrimPrefix(text, []byte("\xef\xbb\xbf")), all: true}
	v, _, err := in.value(0, schema.MaxNesting+documentDepth)
	if err != nil {
		t.Fatal(err)
	}
	var invalid *jsonschema.ValidationError
	if err := s.Validate(v); err == nil {
		return nil
	} else if !errors.As(err, &invalid) {
		t.Fatal(err)
	}
	var out []string
	var collect func(*jsonschema.ValidationError)
	collect = func(e *jsonschema.ValidationError) {
		for _, c := range e.Causes {
			collect(c)
		}
		if len(e.Causes) == 0 {
			var path []byte
			for _, step := range e.InstanceLocation {
				if _, err := strconv.Atoi(step); err == nil {
					path = fmt.Appendf(path, "[%s]", step)
				} else {
					path = appendStep(path, step)
				}
			}
			out = append(out, string(path))
		}
	}
	collect(invalid)
	slices.Sort(out)
	return slices.Compact(out)
}

// places are the places of faults, each once, sorted.
func places(faults []Fault) []string {
	var out []string
	for _, f := range faults {
		out = append(out, f.Path)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// TestUnknownKeyword: a keyword that the rule does not know would be passed
// over, so it is an error.
func TestUnknownKeyword(t *testing.T) {
	for _, text := range []string{`{"pattern":"x"}`, `{"items":{"format":"date"}}`, `{"$ref":"#/$defs/none"}`, `{"$ref":"other"}`, `{"items":5}`} {
		in := jsonInstance{data: []byte(text), all: true}
		v, _, err := in.value(0, schema.MaxNesting)
		if err != nil {
			t.Fatal(err)
		}
		c := compiler{root: v, refs: map[string]*rule{}}
		if c.rule(v); c.err == nil || !strings.Contains(c.err.Error(), "the schema document") {
			t.Errorf("%s: %v", text, c.err)
		}
	}
}
