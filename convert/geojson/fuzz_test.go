// Fuzzing of the reader: any bytes at all give a plan or one clear error, and a
// plan that was read is written and read again without change.

package geojson

import (
	"bytes"
	"errors"
	"reflect"
	"strings"
	"testing"

	"swardline/convert/wire"
	"swardline/schema"
	"swardline/testdata/randplan"
)

func addSeeds(f *testing.F) {
	for seed := uint64(0); seed < 8; seed++ {
		text, _ := writeText(f, randplan.New(seed, randplan.Options{Features: 3}))
		f.Add([]byte(text))
	}
	for _, text := range []string{
		"", "{", "[]", "\ufeff{}", `{"type":"Point","coordinates":[9,56,1,2]}`, `{"type":"FeatureCollection","crs":null,"features":[{"type":"Feature","geometry":null}]}`,
		`{"type":"FeatureCollection","coordRefSys":"http://www.opengis.net/def/crs/EPSG/0/2193","features":[{"type":"Feature","time":null,"place":{"type":"Point","coordinates":[5400000,1600000]},"geometry":null,"properties":{}}]}`,
		`{"type":"FeatureCollection","crs_unknown":true,"features":[{"type":"Feature","place":{"type":"Point","coordinates":[1e300,-1e300]},"properties":{"a":[[]]}}]}`,
		`{"type":"FeatureCollection","name":"n","epoch":2020,"bbox":[1,2,3],"features":[{"type":"Feature","id":-0.0,"geometry":{"type":"MultiPolygon","coordinates":[[[[0,0],[1,0],[1,1,5]]]]},"properties":{"role":"zone","name":"","\ud83d\ude00":1e-5},"x":{}}]}`,
	} {
		f.Add([]byte(text))
	}
}

// FuzzBatches holds what several goroutines make of a text against what one
// does.
func FuzzBatches(f *testing.F) {
	addSeeds(f)
	from, size := parallelFrom, batchBytes
	f.Cleanup(func() { parallelFrom, batchBytes = from, size })
	f.Fuzz(func(t *testing.T, data []byte) {
		parallelFrom = len(data) + 1
		p, warnings, err := Read(data, wire.ReadOptions{})
		parallelFrom, batchBytes = 0, len(data)%64
		q, warnings2, err2 := Read(data, wire.ReadOptions{})
		if (err == nil) != (err2 == nil) || err != nil && err.Error() != err2.Error() {
			t.Fatalf("%v against %v", err, err2)
		}
		if !reflect.DeepEqual(warnings, warnings2) {
			t.Fatalf("%v against %v", warnings, warnings2)
		}
		if err == nil {
			if err := schema.Same(p, q, 0); err != nil {
				t.Fatal(err)
			}
		}
	})
}

func FuzzRead(f *testing.F) {
	addSeeds(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		p, warnings, err := Read(data, wire.ReadOptions{Name: "x"})
		if err != nil {
			var in *wire.InputError
			if !errors.As(err, &in) || in.Problem == "" || strings.ContainsAny(in.Problem, "\n\r") {
				t.Fatalf("no clear error: %q", err)
			}
			return
		}
		for _, w := range warnings {
			if w.Kind == "" || w.Message == "" || w.Count < 1 {
				t.Fatalf("a warning says nothing: %+v", w)
			}
		}
		var first, second bytes.Buffer
		losses, err := Write(&first, p, wire.WriteOptions{})
		if err != nil {
			t.Fatalf("writing: %v", err)
		}
		back, _, err := Read(first.Bytes(), wire.ReadOptions{Name: "y"})
		if err != nil {
			t.Fatalf("reading back: %v\n%s", err, first.Bytes())
		}
		if len(losses) == 0 {
			if err := schema.Same(p, back, 1); err != nil && !strings.Contains(err.Error(), "vertex") {
				t.Fatalf("%v\n%s", err, first.Bytes())
			}
		}
		if _, err := Write(&second, back, wire.WriteOptions{}); err != nil {
			t.Fatalf("writing again: %v", err)
		}
		if !bytes.Equal(first.Bytes(), second.Bytes()) {
			t.Fatalf("differs the second time:\n%s\nagainst\n%s", first.Bytes(), second.Bytes())
		}
	})
}
