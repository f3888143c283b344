// The tables of drift for the live page of the demo park.

package validate

import (
	"os"
	"path/filepath"
	"testing"

	"swardline/convert/geojson"
	"swardline/convert/wire"
	"swardline/schema"
)

func BenchmarkTabulateView(b *testing.B) {
	data, err := os.ReadFile(filepath.Join("..", "examples", "park", "park.geojson"))
	if err != nil {
		b.Fatal(err)
	}
	p, _, err := geojson.Read(data, wire.ReadOptions{Name: "park.geojson", Limits: schema.DefaultLimits()})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := TabulateView(p, schema.DefaultLimits()); err != nil {
			b.Fatal(err)
		}
	}
}
