// Places: where coordinates lie, gathered into sites that get the same steps.

package crs

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Place is where something lies: the box of its longitudes and latitudes in
// degrees, a point when the corners are one. West > East where it crosses the
// antimeridian.
type Place struct{ West, South, East, North float64 }

// Places are the places that an operation is for, as a sequence; it is only
// walked when the steps depend on them. A place that holds NaN is one of
// something without coordinates and asks for nothing.
type Places func(yield func(Place) bool)

// At is one place, by longitude and latitude.
func At(lon, lat Degrees) Places {
	return func(yield func(Place) bool) {
		yield(Place{float64(lon), float64(lat), float64(lon), float64(lat)})
	}
}

// Nowhere says that the place is not known: the steps are then chosen for the
// middle of the smaller area of use, and a note says so.
func Nowhere() Places { return func(func(Place) bool) {} }

// First is the first of the places, the zero Place when there is none.
func (p Places) First() (out Place) {
	for out = range p {
		break
	}
	return out
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

// siteCell is the edge in degrees of the cells that gather places: about 2 km.
// Places in cells that touch are one site, so that no step changes between two
// features of one garden.
const siteCell = 0.02

// siteMost is the most that a site measures, in degrees. What hangs together
// over more is a country's data, and every place in it is on its own.
const siteMost = 0.5

// gather puts the places into sites and says which is whose. No place at all is
// one site that lies nowhere.
func gather(at Places) (sites []siteAt, siteOf []int32, err error) {
	var all []Place
	for p := range at {
		if p.West == p.West && p.South == p.South && p.East == p.East && p.North == p.North {
			for _, g := range []Geodetic{{Lon: Degrees(p.West), Lat: Degrees(p.South)}, {Lon: Degrees(p.East), Lat: Degrees(p.North)}} {
				if err := checkGeodetic(g); err != nil {
					return nil, nil, fmt.Errorf("place %d: %w", len(all)+1, err)
				}
			}
		}
		all = append(all, p)
	}
	cells := newCells(all)
	siteOf = make([]int32, len(all))
	number := map[int32]int32{}
	for i := range all {
		siteOf[i] = -1
		if cells.of[i] < 0 {
			continue
		}
		root := cells.root(cells.of[i])
		n, ok := number[root]
		if !ok {
			n = int32(len(sites))
			number[root] = n
			sites = append(sites, siteAt{box: all[i]})
		}
		siteOf[i] = n
		if !sites[n].box.holds(all[i]) {
			sites[n].box = sites[n].box.union(all[i])
		}
	}
	// Too wide for a site: by itself.
	wide := len(sites)
	alone := map[Place]int32{}
	for i, n := range siteOf {
		if n < 0 || int(n) >= wide || !sites[n].box.wider(siteMost) {
			continue
		}
		k, ok := alone[all[i]]
		if !ok {
			k = int32(len(sites))
			alone[all[i]] = k
			sites = append(sites, siteAt{box: all[i]})
		}
		siteOf[i] = k
	}
	sites, siteOf = dropUnused(sites, siteOf)
	if len(sites) == 0 {
		sites = []siteAt{{nowhere: true}}
	}
	return sites, siteOf, nil
}

// holds reports whether a box that does not cross the antimeridian surely has
// another within it; false where that takes a closer look.
func (p Place) holds(q Place) bool {
	return p.West <= q.West && q.West <= q.East && q.East <= p.East && p.South <= q.South && q.North <= p.North
}

// dropUnused renumbers the sites without those that have no place, in an order
// that does not depend on that of the places. Places without coordinates go with
// the first site.
func dropUnused(sites []siteAt, siteOf []int32) ([]siteAt, []int32) {
	used := make([]bool, len(sites))
	for _, n := range siteOf {
		if n >= 0 {
			used[n] = true
		}
	}
	var order []int32
	for n := range sites {
		if used[n] {
			order = append(order, int32(n))
		}
	}
	slices.SortFunc(order, func(a, b int32) int {
		p, q := &sites[a].box, &sites[b].box
		for _, v := range [4]float64{q.North - p.North, p.West - q.West, q.South - p.South, p.East - q.East} {
			if v != 0 {
				return int(math.Copysign(1, v))
			}
		}
		return 0
	})
	out := make([]siteAt, len(order))
	place := make([]int32, len(sites))
	for i, n := range order {
		out[i], place[n] = sites[n], int32(i)
	}
	for i, n := range siteOf {
		siteOf[i] = 0
		if n >= 0 {
			siteOf[i] = place[n]
		}
	}
	return out, siteOf
}

// wider reports whether the box is more than so many degrees high or wide.
func (p Place) wider(degrees float64) bool {
	w := p.East - p.West
	if w < 0 {
		w += 360
	}
	return w > degrees || p.North-p.South > degrees
}

// union is the box about both, the shorter way round the earth.
func (p Place) union(q Place) Place {
	p.South, p.North = math.Min(p.South, q.South), math.Max(p.North, q.North)
	width := func(w, e float64) float64 {
		if e < w {
			e += 360
		}
		return e - w
	}
	best := Place{West: p.West, East: q.East}
	for _, c := range []Place{{West: q.West, East: p.East}, p, q} {
		// A candidate must hold both.
		if holdsLon(c, p) && holdsLon(c, q) && (!(holdsLon(best, p) && holdsLon(best, q)) || width(c.West, c.East) < width(best.West, best.East)) {
			best = c
		}
	}
	p.West, p.East = best.West, best.East
	return p
}

// holdsLon reports whether the longitudes of p are all within those of c.
func holdsLon(c, p Place) bool {
	e := extent{west: c.West, east: c.East, south: -90, north: 90}
	width := func(q Place) float64 {
		if q.East < q.West {
			return q.East + 360 - q.West
		}
		return q.East - q.West
	}
	return e.contains(p.West, 0) && e.contains(p.East, 0) && width(p) <= width(c)
}

// cells joins places by the cells of the earth that they touch.
type cells struct {
	of     []int32 // cell of each place, -1 for none
	parent []int32
}

func newCells(all []Place) *cells {
	c := &cells{of: make([]int32, len(all))}
	type key struct{ x, y int32 }
	ids := map[key]int32{}
	id := func(k key) int32 {
		n, ok := ids[k]
		if !ok {
			n = int32(len(c.parent))
			ids[k] = n
			c.parent = append(c.parent, n)
		}
		return n
	}
	const round = int32(360 / siteCell)
	cell := func(lon, lat float64) key {
		return key{(int32(math.Floor(wrap180(lon)/siteCell)) + 2*round) % round, int32(math.Floor(lat / siteCell))}
	}
	for i, p := range all {
		c.of[i] = -1
		if p.West != p.West || p.South != p.South || p.East != p.East || p.North != p.North {
			continue
		}
		a, b := cell(p.West, p.South), cell(p.East, p.North)
		c.of[i] = id(a)
		c.join(c.of[i], id(b))
	}
	keys := make([]key, 0, len(ids))
	for k := range ids {
		keys = append(keys, k)
	}
	for _, k := range keys {
		for dy := int32(-1); dy <= 1; dy++ {
			for dx := int32(-1); dx <= 1; dx++ {
				if n, ok := ids[key{(k.x + dx + round) % round, k.y + dy}]; ok {
					c.join(ids[k], n)
				}
			}
		}
	}
	return c
}

func (c *cells) root(n int32) int32 {
	for c.parent[n] != n {
		c.parent[n] = c.parent[c.parent[n]]
		n = c.parent[n]
	}
	return n
}

func (c *cells) join(a, b int32) {
	a, b = c.root(a), c.root(b)
	if a != b {
		c.parent[max(a, b)] = min(a, b)
	}
}

// areaKey is what the choice of steps at a site depends on: the areas of use,
// the grids and the plates that hold it. Sites of one key get the same steps.
func (o *question) areaKey(s *siteAt) string {
	if s.nowhere {
		return ""
	}
	var b strings.Builder
	bit, held := byte(1), byte(0)
	put := func(yes bool) {
		if yes {
			held |= bit
		}
		if bit <<= 1; bit == 0 {
			b.WriteByte(held)
			bit, held = 1, 0
		}
	}
	lon, lat := s.box.middle()
	for _, e := range steps0().extents {
		put(e.contains(s.box.West, s.box.South) && e.contains(s.box.East, s.box.North))
		put(e.contains(lon, lat))
	}
	for _, g := range o.with.Grids {
		put(g.holdsBox(s.box))
		put(g.holds(lon, lat))
	}
	for _, p := range plates {
		put(p.mayLieUnder(lon, lat))
	}
	b.WriteByte(held)
	// Another step beside the chosen one is compared at the place.
	fmt.Fprintf(&b, "|%.0f,%.0f", lon, lat)
	return b.String()
}
