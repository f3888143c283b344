// The quick look at the sky, against the exact one.

package orbit

import (
	"math/rand/v2"
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
