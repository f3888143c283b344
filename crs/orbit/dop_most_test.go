// The quick look at the sky, against the exact one.

package orbit

import (
	"math/rand/v2"
	"reflect"
	"testing"

	"swardline/crs"
)

// TestMostBadBehind: a quick look is never on the wrong side of the exact one,
// and not far from it.
func TestMostBadBehind(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 5))
	wide := 0
	const places, tries = 60, 40
	for range places {
		d, err := NominalDay(crs.Geodetic{Lon: crs.Degrees(360*r.Float64() - 180), Lat: crs.Degrees(180*r.Float64() - 90)}, 24, 14.99)
		if err != nil {
			t.Fatal(err)
		}
		var open Horizon
		open.HideBelow(15)
		o := d.Open(&open)
		for range tries {
			h := open
			var sectors []Sector
			for range 1 + r.IntN(4) {
				s := Sector{From: 400*r.Float64() - 200, High: 20 + 75*r.Float64()}
				s.To = s.From + 90*r.Float64()*r.Float64()
				if r.IntN(20) == 0 {
					s.To = s.From + 359
				}
				h.Hide(s.From, s.To, 0, min(s.High, 90))
				s.From, s.To, s.High = s.From-0.51, s.To+0.51, min(s.High, 90)
				sectors = append(sectors, s)
			}
			n, pdop := 4+r.IntN(12), 1.5+5*r.Float64()
			most, bad := o.MostBadBehind(sectors, n, pdop), o.ShareBadBehind(&h, n, pdop)
			if !(most >= bad) {
				t.Fatalf("sectors %v: at most %v, and exactly %v", sectors, most, bad)
			}
			if most > bad {
				wide++
			}
		}
	}
	if wide > places*tries/2 {
		t.Errorf("%d of %d looks were wider than they need be", wide, places*tries)
	}
}

// TestRelease: a day made in the memory of another shows what one in memory of
// its own does.
func TestRelease(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 5))
	look := func(at crs.Geodetic, lowest float64) (d *Day, view View, bad []float64) {
		d, err := NominalDay(at, 24, lowest)
		if err != nil {
			t.Fatal(err)
		}
		var open Horizon
		open.HideBelow(lowest + 0.01)
		o := d.Open(&open)
		h := open
		h.Hide(100, 200, 0, 60)
		higher := open
		higher.HideBelow(lowest + 20)
		other := d.Open(&higher) // beside the first
		for _, o := range []*Open{o, other, o} {
			bad = append(bad, o.MostBadBehind([]Sector{{From: 99, To: 201, High: 61}}, 12, 2), o.MostBadBehind([]Sector{{From: 10, To: 60, High: 50}}, 14, 2))
		}
		bad = append(bad, o.ShareBadBehind(&h, 12, 2))
		if bad[0] != bad[4] || bad[1] != bad[5] || bad[0] == bad[2] && bad[1] == bad[3] {
			t.Fatalf("one sky changes another: %v", bad)
		}
		return d, *o.View, bad
	}
	for range 40 {
		a := crs.Geodetic{Lon: crs.Degrees(360*r.Float64() - 180), Lat: crs.Degrees(180*r.Float64() - 90)}
		b := crs.Geodetic{Lon: crs.Degrees(360*r.Float64() - 180), Lat: crs.Degrees(180*r.Float64() - 90)}
		first, _, _ := look(a, 5+20*r.Float64())
		first.Release()
		first.Release() // once more changes nothing
		_, view, bad := look(b, 15)
		for memories.Get().(*memory).rays != nil { // take away what may be there
			continue
		}
		_, wantView, want := look(b, 15)
		if !reflect.DeepEqual(view, wantView) || !reflect.DeepEqual(bad, want) {
			t.Fatalf("%v, then %v: %v, by itself %v", a, b, bad, want)
		}
	}
}
