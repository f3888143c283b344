// Plans through KML and KMZ and back: nothing is lost, and a second pass
// changes no byte.

package kml

import (
	"bytes"
	"testing"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
	"swardline/testdata/randplan"
)

const roundTripTolerance = 1e-9 // metres: random plans hold coordinates that 10 decimals give exactly

// through writes a plan and reads it back; it fails on any loss or warning.
func through(t *testing.T, p *schema.Plan, kmz bool) (*schema.Plan, []byte) {
	t.Helper()
	write, read := Write, Read
	if kmz {
		write, read = WriteKMZ, ReadKMZ
	}
	var b bytes.Buffer
	losses, err := write(&b, p, wire.WriteOptions{})
	if err != nil {
		t.Fatalf("write: %v", err)
	}
	for _, l := range losses {
		t.Errorf("loss %s (%d): %s", l.Kind, l.Count, l.Message)
	}
	q, warnings, err := read(b.Bytes(), wire.ReadOptions{Name: "plan.kml"})
	if err != nil {
		t.Fatalf("read: %v\n%s", err, excerpt(b.Bytes()))
	}
	for _, w := range warnings {
		t.Errorf("warning %s (%d) at line %d, %s: %s", w.Kind, w.Count, w.Line, w.Path, w.Message)
	}
	return q, b.Bytes()
}

func excerpt(b []byte) []byte { return b[:min(len(b), 4000)] }

func TestRandomPlansComeBack(t *testing.T) {
	seeds := uint64(1000)
	if !randplan.Long() {
		seeds = 100
	}
	for seed := uint64(0); seed < seeds; seed++ {
		p := randplan.New(seed, randplan.Options{})
		q, first := through(t, p, seed%5 == 0)
		if err := schema.Same(p, q, roundTripTolerance); err != nil {
			t.Fatalf("seed %d: %v\n%s", seed, err, excerpt(first))
		}
		_, second := through(t, q, seed%5 == 0)
		if !bytes.Equal(first, second) {
			t.Fatalf("seed %d: the second pass writes other bytes", seed)
		}
		if t.Failed() {
			t.Fatalf("seed %d\n%s", seed, excerpt(first))
		}
	}
}

// reread writes a plan as KML and reads that.
func reread(p *schema.Plan) (*schema.Plan, []wire.Warning, error) {
	var b bytes.Buffer
	if _, err := Write(&b, p, wire.WriteOptions{}); err != nil {
		return nil, nil, err
	}
	return Read(b.Bytes(), wire.ReadOptions{Name: "again.kml"})
}

// standing returns the plan with its rings closed and wound as KML wants them,
// which is what writing changes.
func standing(p *schema.Plan) *schema.Plan {
	q := *p
	q.Features = nil
	for _, f := range p.Features {
		g := *f
		if g.Geometry != nil {
			g.Geometry = wire.ForRings(f, crs.WGS84(), schema.WindingUnstated, schema.WindingStandard, &wire.Tally{})
		}
		q.Features = append(q.Features, &g)
	}
	return &q
}
