// Round trips: plan to CSV and back loses nothing, in both layouts.

package csv

import (
	"bytes"
	"testing"

	"swardline/convert/wire"
	"swardline/schema"
	"swardline/testdata/randplan"
)

const tolerance = 1e-4 // metres

func mustWrite(t testing.TB, p *schema.Plan, layout string) []byte {
	t.Helper()
	var out bytes.Buffer
	losses, err := Write(&out, p, wire.WriteOptions{Layout: layout})
	if err != nil {
		t.Fatalf("Write: %v", err)
	}
	if len(losses) > 0 {
		t.Fatalf("losses: %v", losses)
	}
	return out.Bytes()
}

// mustRead reads a file of ours; the only warning it may give is that a plan's
// CRS is unknown.
func mustRead(t testing.TB, data []byte) *schema.Plan {
	t.Helper()
	p, warnings, err := Read(data, wire.ReadOptions{Name: "x.csv"})
	if err != nil {
		t.Fatalf("Read: %v\n%s", err, data)
	}
	for _, w := range warnings {
		if w.Kind != "crs-unknown" {
			t.Fatalf("warning on our own file: %v\n%s", w, data)
		}
	}
	return p
}

func roundTrip(t testing.TB, p *schema.Plan, layout string) {
	t.Helper()
	data := mustWrite(t, p, layout)
	q := mustRead(t, data)
	if err := schema.Same(p, q, tolerance); err != nil {
		t.Fatalf("%s: %v\n%s", layout, err, data)
	}
	if again := mustWrite(t, q, layout); !bytes.Equal(data, again) {
		t.Fatalf("%s: writing what was read gives other bytes\n%s\n%s", layout, data, again)
	}
}

func TestRandomPlansSurvive(t *testing.T) {
	seeds := uint64(1000)
	if !randplan.Long() {
		seeds = 100
	}
	for seed := range seeds {
		p := randplan.New(seed, randplan.Options{})
		roundTrip(t, p, LayoutWKT)
		roundTrip(t, p, LayoutPoints)
	}
}
