// The quick ways of the kernel against the slow ones.

package validate

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/testdata/randplan"
)

// TestTurnAt: the quick way gives the side that the bearings give, and leaves
// to them what is near straight on or near the limit.
func TestTurnAt(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	for range 20000 {
		at, deg := 360*r.Float64(), 180*(2*r.Float64()-1)
		switch r.IntN(4) {
		case 0:
			deg = 1e-6 * r.NormFloat64()
		case 1:
			deg = math.Copysign(mostOvalTurn, deg) + 1e-7*r.NormFloat64()
		}
		u, v := bearing(at), bearing(at+deg)
		a := orb.Point{1000 * r.Float64(), 1000 * r.Float64()}
		m, n := 50*r.Float64(), 50*r.Float64()
		b := orb.Point{a[0] + m*u[0], a[1] + m*u[1]}
		c := orb.Point{b[0] + n*v[0], b[1] + n*v[1]}
		want := math.Remainder(bearingOf(b, c)-bearingOf(a, b), 360)
		got := turnAt(a, b, c)
		if (got > 0) != (want > 0) || (got < 0) != (want < 0) || (math.Abs(got) > mostOvalTurn) != (math.Abs(want) > mostOvalTurn) {
			t.Fatalf("%v %v %v: %v, by bearings %v", a, b, c, got, want)
		}
	}
}

// TestPlainlyGentle: no line is called gentle that the slow way finds too steep
// or too short, and many are.
func TestPlainlyGentle(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	gentle := 0
	for i := range 20000 {
		limit := 1 + 40*r.Float64()
		n, size, h := 2+r.IntN(12), math.Exp(4*r.Float64()-2), 100*r.Float64()
		var l Line
		at := orb.Point{500 * r.NormFloat64(), 500 * r.NormFloat64()}
		for range n {
			if r.IntN(20) > 0 {
				step := orb.Point{size * r.NormFloat64(), size * r.NormFloat64()}
				rise := limit / 100 * math.Hypot(step[0], step[1])
				switch r.IntN(3) {
				case 0:
					rise *= 1 - 1e-5*r.Float64()
				case 1:
					rise *= -r.Float64()
				default:
					rise *= 0.999 + 0.00101*r.Float64()
				}
				at, h = orb.Point{at[0] + step[0], at[1] + step[1]}, h+rise
			}
			l.Ground, l.Read, l.Heights = append(l.Ground, at), append(l.Read, at), append(l.Heights, h)
			if r.IntN(200) == 0 {
				l.Heights[len(l.Heights)-1] = math.NaN()
			}
		}
		if !plainlyGentle(&l, limit) {
			continue
		}
		gentle++
		run := &run{Site: &Site{}, rule: &Rules[0]}
		if !run.steepAlong(&Feature{Feature: &schema.Feature{}}, l, limit, Error, "", nil) || len(run.findings)+len(run.reasons) > 0 {
			t.Fatalf("case %d is not gentle: %v %v", i, run.findings, run.reasons)
		}
	}
	if gentle < 3000 {
		t.Errorf("only %d are gentle", gentle)
	}
}

// TestHeightRange: the range that is kept is that of the heights.
func TestHeightRange(t *testing.T) {
	for seed := range uint64(300) {
		s, err := Ground(randplan.New(seed, randplan.Options{}))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range s.Features {
			low, high := math.Inf(1), math.Inf(-1)
			f.heights(func(h float64) { low, high = min(low, h), max(high, h) })
			if l, h := f.heightRange(); l != low || h != high {
				t.Fatalf("seed %d, %s: %v to %v, want %v to %v", seed, f.describe(), l, h, low, high)
			}
		}
	}
}

// TestBesideBox: a side lies beside a box when its own box does not meet it.
func TestBesideBox(t *testing.T) {
	r := rand.New(rand.NewPCG(10, 10))
	point := func() orb.Point { return orb.Point{float64(r.IntN(6)), float64(r.IntN(6))} }
	beside := 0
	for range 20000 {
		p, q, box := point(), point(), boundOf([]orb.Point{point(), point()})
		want := !segmentBox(p, q).Intersects(box)
		if got := besideBox(&p, &q, &box); got != want {
			t.Fatalf("%v %v beside %v: %v", p, q, box, got)
		}
		if want {
			beside++
		}
	}
	if empty := emptyBox(); !besideBox(&orb.Point{}, &orb.Point{}, &empty) || beside < 2000 {
		t.Errorf("an empty box meets a side, or only %d lie beside", beside)
	}
}

// TestNormalOval: the sums written out are those of the products.
func TestNormalOval(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 11))
	pts, m, size := make([]orb.Point, 12), orb.Point{3, -4}, 7.0
	var want [5][6]float64
	for i := range pts {
		pts[i] = orb.Point{10 * r.Float64(), -10 * r.Float64()}
		x, y := (pts[i][0]-m[0])/size, (pts[i][1]-m[1])/size
		row := [6]float64{x * x, x * y, y * y, x, y, 1}
		for i := range 5 {
			for k := range 6 {
				want[i][k] += row[i] * row[k]
			}
		}
	}
	got := normalOval(pts, m, size)
	for i := range 5 {
		for k := range 6 {
			if !(math.Abs(got[i][k]-want[i][k]) <= 1e-12*(1+math.Abs(want[i][k]))) {
				t.Errorf("%d, %d: %v, want %v", i, k, got[i][k], want[i][k])
			}
		}
	}
}

// TestPlainlyNear: nothing is called near that lies farther off than MaxSpanM.
func TestPlainlyNear(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 8))
	near := 0
	for range 20000 {
		lat := 180*r.Float64() - 90
		g := newTangent(6378137, 1/298.257223563, 10, lat, 0)
		far := math.Exp(8 * (r.Float64() - 0.5)) // degrees
		lon1, lat1 := 10+far*r.NormFloat64(), math.Max(-90, math.Min(90, lat+far*r.NormFloat64()))
		if p := g.forward(lon1, lat1); !g.plainlyNear(lon1, lat1, &p) {
			continue
		}
		near++
		if d := g.chord(lon1, lat1); d > MaxSpanM {
			t.Fatalf("%v, %v from latitude %v is %v m off", lon1, lat1, lat, d)
		}
	}
	if near < 1000 {
		t.Errorf("only %d are near", near)
	}
}
