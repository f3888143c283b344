// Places: where coordinates lie, gathered into sites that get the same steps.

package crs

import (
	"fmt"
	"iter"
	"math"
)

// Place is where something lies: the box of its longitudes and latitudes in
// degrees, a point when the corners are one. West > East where it crosses the
// antimeridian.
type Place struct{ West, South, East, North float64 }

// Places are the places that an operation is for. They are walked once, and
// only when the steps depend on them, however many operations they are given
// to. A place that holds NaN is one of something without coordinates and asks
// for nothing. The zero Places is none at all, which NewOperation refuses.
type Places struct{ of *gathering }

// Among are the places of a sequence, which may be far too long to be held.
func Among(all iter.Seq[Place]) Places { return Places{&gathering{all: all}} }

// At is one place, by longitude and latitude.
func At(lon, lat Degrees) Places {
	p := PlaceAt(lon, lat)
	return Among(func(yield func(Place) bool) { yield(p) })
}

// Nowhere says that the place is not known: the steps are then chosen for the
// middle of the smaller area of use, and a note says so.
func Nowhere() Places { return Among(func(func(Place) bool) {}) }

// PlaceAt is a point.
func PlaceAt(lon, lat Degrees) Place {
	return Place{float64(lon), float64(lat), float64(lon), float64(lat)}
}

// known reports whether the place is one of something with coordinates.
func (p Place) known() bool {
	return p.West == p.West && p.South == p.South && p.East == p.East && p.North == p.North
}

// wide reports whether the place is more than a point.
func (p Place) wide() bool { return p.West != p.East || p.South != p.North }

// middle is the middle of the box.
func (p Place) middle() (lon, lat float64) {
	if !p.wide() {
		return p.West, p.South
	}
	east := p.East
	if east < p.West {
		east += 360
	}
	return wrap180((p.West + east) / 2), (p.South + p.North) / 2
}

// coversBox reports whether one area of use of the step holds all of the box.
// Areas are boxes, too, so that the corners tell.
func (s *registryStep) coversBox(p Place) bool {
	for _, e := range s.extents {
		if e.contains(p.West, p.South) && e.contains(p.East, p.North) {
			return true
		}
	}
	return len(s.extents) == 0
}

// holdsBox reports whether the grid holds all corners of the box.
func (g *GridShift) holdsBox(p Place) bool {
	return g.holds(p.West, p.South) && (!p.wide() || g.holds(p.East, p.North) && g.holds(p.West, p.North) && g.holds(p.East, p.South))
}

// A siteAt is a run of places that get the same steps.
type siteAt struct {
	box     Place
	nowhere bool
}

// words names the middle of the site, latitude first; "" when it is not known.
func (s *siteAt) words() string {
	if s.nowhere {
		return ""
	}
	lon, lat := s.box.middle()
	return fmt.Sprintf("%.4f, %.4f", lat, lon)
}

// holds reports whether a box that does not cross the antimeridian surely has
// another within it; false where that takes a closer look.
func (p Place) holds(q Place) bool {
	return p.West <= q.West && q.West <= q.East && q.East <= p.East && p.South <= q.South && q.North <= p.North
}

// wider reports whether the box is more than so many degrees high or wide.
func (p Place) wider(degrees float64) bool {
	w := p.East - p.West
	if w < 0 {
		w += 360
	}
	return w > degrees || p.North-p.South > degrees
}

// union is the box about both, the shorter way round the earth; all round it
// where the two leave no gap.
func (p Place) union(q Place) Place {
	best := Place{West: -180, East: 180, South: math.Min(p.South, q.South), North: math.Max(p.North, q.North)}
	for _, c := range []Place{{West: p.West, East: q.East}, {West: q.West, East: p.East}, p, q} {
		if holdsLon(c, p) && holdsLon(c, q) && lonWidth(c) < lonWidth(best) {
			best.West, best.East = c.West, c.East
		}
	}
	return best
}

// lonWidth is how many degrees a box goes round the earth.
func lonWidth(p Place) float64 {
	if p.East < p.West {
		return p.East + 360 - p.West
	}
	return p.East - p.West
}

// holdsLon reports whether the longitudes of p are all within those of c.
func holdsLon(c, p Place) bool {
	in := math.Mod(p.West-c.West+720, 360) // how far east of c's west side p starts
	return in+lonWidth(p) <= lonWidth(c)+1e-9
}
