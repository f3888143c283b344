// Trials of fuzzed bytes: what a reader takes, a writer must give back.

package randplan

import (
	"bytes"
	"errors"
	"io"
	"testing"

	"swardline/convert/wire"
	"swardline/schema"
)

// Trial takes bytes that a fuzz run made through a format: they are refused
// with one clear error, or what is read can be written and read again.
func Trial(t *testing.T, data []byte, read func([]byte, wire.ReadOptions) (*schema.Plan, []wire.Warning, error), write func(io.Writer, *schema.Plan, wire.WriteOptions) ([]wire.Loss, error)) {
	t.Helper()
	p, _, err := read(data, wire.ReadOptions{Name: "-"})
	if err != nil {
		var in *wire.InputError
		if !errors.As(err, &in) || in.Problem == "" {
			t.Fatalf("no clear error: %q", err)
		}
		return
	}
	var b bytes.Buffer
	if _, err := write(&b, p, wire.WriteOptions{}); err != nil {
		t.Fatalf("writing: %v", err)
	}
	if _, _, err := read(b.Bytes(), wire.ReadOptions{Name: "-"}); err != nil {
		t.Fatalf("reading back: %v", err)
	}
}

// Sound fails the test unless warnings say something, each key of a feature
// stands once and no value is absent.
func Sound(t *testing.T, p *schema.Plan, warnings []wire.Warning) {
	t.Helper()
	for _, w := range warnings {
		if w.Kind == "" || w.Count < 1 || w.Message == "" {
			t.Fatalf("warning %+v", w)
		}
	}
	for i, f := range p.Features {
		keys := map[string]bool{}
		for _, a := range f.Attributes {
			if keys[a.Key] {
				t.Fatalf("feature %d has the key %q twice", i+1, a.Key)
			}
			keys[a.Key] = true
			if a.Value.IsAbsent() {
				t.Fatalf("feature %d: the value of %q is absent", i+1, a.Key)
			}
		}
	}
}
