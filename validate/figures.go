// Figures of features on the ground, and where the features that are off lie.

package validate

import (
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// AreaM2 returns the area of the feature's polygons on the ground in m², holes
// taken off. It is NaN where there are none, or where they cross themselves or
// each other, because there is then no area that one could believe.
func (f *Feature) AreaM2() float64 {
	if len(f.Areas) == 0 {
		return math.NaN()
	}
	closed := make(orb.MultiPolygon, len(f.Areas))
	for i, a := range f.Areas {
		for _, r := range a.Ground {
			if n := len(r); n > 0 && r[0] != r[n-1] {
				r = append(append(orb.Ring(nil), r...), r[0])
			}
			closed[i] = append(closed[i], r)
		}
	}
	if !plane.IsValid(closed) {
		return math.NaN()
	}
	return plane.Area(closed)
}

// LengthM returns the length of the feature's lines on the ground in metres,
// NaN where there are none.
func (f *Feature) LengthM() float64 {
	if len(f.Lines) == 0 {
		return math.NaN()
	}
	sum := 0.0
	for _, l := range f.Lines {
		for i := 1; i < len(l.Ground); i++ {
			sum += math.Hypot(l.Ground[i][0]-l.Ground[i-1][0], l.Ground[i][1]-l.Ground[i-1][1])
		}
	}
	return sum
}

// OffFeatures returns the inactive features of the plan p that have a place on
// the site's ground, on that ground. They are put on the ground as if they were
// active, by themselves, and from there to where the site has its origin.
func (s *Site) OffFeatures(p *schema.Plan) []Feature {
	if len(s.Inactive) == 0 {
		return nil
	}
	q := *p
	q.Features = nil
	own := map[*schema.Feature]*schema.Feature{}
	for _, f := range s.Inactive {
		c := *f
		c.Attributes = f.Attributes.Clone()
		c.Attributes.Delete(schema.PropActive)
		own[&c] = f
		q.Features = append(q.Features, &c)
	}
	t, err := Ground(&q)
	if err != nil || t.Frame != s.Frame || t.Frame == FrameNone {
		return nil
	}
	mid, _ := s.GroundToPlan(orb.Point{})
	onSite := func(p *orb.Point) bool {
		if lon, lat, ok := t.GroundToLonLat(*p); ok {
			*p, ok = s.LonLatToGround(lon, lat)
			return ok
		}
		at, ok := t.GroundToPlan(*p)
		*p = orb.Point{at[0] - mid[0], at[1] - mid[1]}
		return ok && s.Frame == FramePlane
	}
	var out []Feature
	for _, f := range t.Features {
		if f.Invalid != "" || f.Far || f.Geometry == nil || !f.moveGround(onSite) {
			continue
		}
		x := *f
		x.Feature, x.bound = own[f.Feature], emptyBox()
		x.vertices(func(_, ground orb.Point) { x.bound = x.bound.Extend(ground) })
		out = append(out, x)
	}
	return out
}

// moveGround moves every point of the feature's ground, and reports whether all
// of them have a place.
func (f *Feature) moveGround(move func(*orb.Point) bool) bool {
	ok := true
	for _, a := range f.Areas {
		for _, r := range a.Ground {
			for i := range r {
				ok = move(&r[i]) && ok
			}
		}
	}
	for _, l := range f.Lines {
		for i := range l.Ground {
			ok = move(&l.Ground[i]) && ok
		}
	}
	for i := range f.Points {
		ok = move(&f.Points[i].Ground) && ok
	}
	return ok
}
