// Memory that is used again holds nothing of who had it before.

package validate

import (
	"reflect"
	"testing"

	"swardline/schema"
	"swardline/testdata/randplan"
)

// TestScratch: one check after another finds what each finds in memory of its
// own.
func TestScratch(t *testing.T) {
	found := 0
	for seed := range uint64(150) {
		p := randplan.New(seed, randplan.Options{})
		got := Check(p, schema.DefaultLimits())
		s, err := Ground(p)
		if err != nil {
			t.Fatal(err)
		}
		rules, findings, _ := newRun(s, schema.DefaultLimits()).judge(CommandCheck)
		if !reflect.DeepEqual(describeAll(got.Findings), describeAll(findings)) || !reflect.DeepEqual(got.Rules, rules) {
			t.Fatalf("seed %d: found\n%v\nby itself\n%v", seed, got.Findings, findings)
		}
		found += len(findings)
	}
	if found < 500 {
		t.Errorf("only %d findings were compared", found)
	}
}

func describeAll(list []Finding) []string {
	var out []string
	for i := range list {
		out = append(out, list[i].Rule+list[i].Message)
	}
	return out
}

func TestSlab(t *testing.T) {
	var s slab[int]
	a := append(s.take(3), 1, 2, 3)
	b := append(s.take(2), 4, 5)
	if a = append(a, 6); b[0] != 4 || cap(s.take(0)) != 0 {
		t.Errorf("pieces share memory: %v %v", a, b)
	}
	c := s.take(2 * leastSlab)
	if cap(c) != 2*leastSlab || len(c) != 0 {
		t.Errorf("%d of %d", len(c), cap(c))
	}
	if s.reset(); cap(s.buf) < 2*leastSlab {
		t.Error("a slab in use was not kept")
	}
	s.take(mostSlab + 1)
	if s.reset(); s.buf != nil {
		t.Error("a huge slab was kept")
	}
}
