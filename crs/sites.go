// Sites: places gathered by the cells of the earth that they lie in, without
// holding the places themselves.

package crs

import (
	"encoding/binary"
	"fmt"
	"iter"
	"math"
	"slices"
)

// siteCell is the edge in degrees of the cells that gather places: about 2 km.
// Places in cells that touch are one site, so that no step changes between two
// features of one garden.
const siteCell = 0.02

// siteMost is the most that a site measures, in degrees. What hangs together
// over more is a country's data, and every place in it is on its own.
const siteMost = 0.5

// gathering is a sequence of places and what was made of it for the grids of
// the last question.
type gathering struct {
	all   iter.Seq[Place]
	made  *sites
	grids []covering
}

// sites gathers the places, once for the same files.
func (g *gathering) sites(grids []covering) (*sites, error) {
	if g.made != nil && slices.Equal(g.grids, grids) {
		return g.made, nil
	}
	s := &sites{areas: newAreas(grids), ids: map[cellKey]int32{}, last: -1}
	n := 0
	for p := range g.all {
		n++
		if !p.known() {
			continue
		}
		for _, c := range []Geodetic{{Lon: Degrees(p.West), Lat: Degrees(p.South)}, {Lon: Degrees(p.East), Lat: Degrees(p.North)}} {
			if err := checkGeodetic(c); err != nil {
				return nil, fmt.Errorf("place %d: %w", n, err)
			}
		}
		s.add(p)
	}
	s.settle()
	g.made, g.grids = s, grids
	return s, nil
}

// sites are places by cells. Cells that touch make one site where they reach no
// further than siteMost; else their places are alone, and those of one key
// stand for one another.
type sites struct {
	areas *areas
	ids   map[cellKey]int32
	cells []siteCells
	last  int32 // the cell of the last place, -1 for none

	list   []siteAt // in an order that does not depend on that of the places
	keys   []int32  // of each of the list
	siteOf []int32  // by cell; -1 where the places are alone
	byKey  map[int32]int32
}

// siteCells is one cell.
type siteCells struct {
	key    cellKey
	parent int32
	box    Place // about the places that start here
	filled bool
	area   *area
	firsts []firstOf
}

// firstOf is the first place of a key, in the order of before.
type firstOf struct {
	key   int32
	place Place
}

// before orders places from north to south, then from west to east.
func (p Place) before(q Place) bool {
	for _, v := range [4]float64{q.North - p.North, p.West - q.West, q.South - p.South, p.East - q.East} {
		if v != 0 {
			return v < 0
		}
	}
	return false
}

// cellKey numbers the cells: from Greenwich eastwards, from the equator north.
type cellKey struct{ x, y int32 }

const cellsRound = int32(360 / siteCell)

func cellOf(lon, lat float64) cellKey {
	return cellKey{(int32(math.Floor(wrap180(lon)/siteCell)) + 2*cellsRound) % cellsRound, int32(math.Floor(lat / siteCell))}
}

func (s *sites) cell(k cellKey) int32 {
	if s.last >= 0 && s.cells[s.last].key == k {
		return s.last
	}
	n, ok := s.ids[k]
	if !ok {
		n = int32(len(s.cells))
		s.ids[k] = n
		s.cells = append(s.cells, siteCells{key: k, parent: n})
	}
	s.last = n
	return n
}

func (s *sites) add(p Place) {
	k := cellOf(p.West, p.South)
	n := s.cell(k)
	other := k
	if p.wide() {
		if other = cellOf(p.East, p.North); other != k {
			s.join(n, s.cell(other))
			s.last = n
		}
	}
	c := &s.cells[n]
	switch {
	case !c.filled:
		c.box, c.filled = p, true
		c.area = s.areas.inCell(k)
	case !c.box.holds(p):
		c.box = c.box.union(p)
	}
	at := c.area
	if other != k {
		at = s.areas.all
	}
	key := s.areas.keyOf(at, p, true)
	for i := range c.firsts {
		if f := &c.firsts[i]; f.key == key {
			if p.before(f.place) {
				f.place = p
			}
			return
		}
	}
	c.firsts = append(c.firsts, firstOf{key, p})
}

func (s *sites) root(n int32) int32 {
	for s.cells[n].parent != n {
		s.cells[n].parent = s.cells[s.cells[n].parent].parent
		n = s.cells[n].parent
	}
	return n
}

func (s *sites) join(a, b int32) {
	a, b = s.root(a), s.root(b)
	if a != b {
		s.cells[max(a, b)].parent = min(a, b)
	}
}

// settle makes sites of the cells.
func (s *sites) settle() {
	order := make([]int32, len(s.cells))
	for n := range s.cells {
		order[n] = int32(n)
		k := s.cells[n].key
		// The other half of the neighbours finds this cell.
		for _, d := range [4]cellKey{{1, 0}, {-1, 1}, {0, 1}, {1, 1}} {
			if m, ok := s.ids[cellKey{(k.x + d.x + cellsRound) % cellsRound, k.y + d.y}]; ok {
				s.join(int32(n), m)
			}
		}
	}
	// So that boxes do not depend on the order of the places.
	slices.SortFunc(order, func(a, b int32) int {
		p, q := s.cells[a].key, s.cells[b].key
		if p.y != q.y {
			return int(p.y - q.y)
		}
		return int(p.x - q.x)
	})
	boxes := map[int32]Place{}
	for _, n := range order {
		c := &s.cells[n]
		if !c.filled {
			continue
		}
		r := s.root(n)
		box, ok := boxes[r]
		switch {
		case !ok:
			boxes[r] = c.box
		case !box.holds(c.box):
			boxes[r] = box.union(c.box)
		}
	}
	type made struct {
		site siteAt
		key  int32
		root int32 // -1 for places that are alone
	}
	var list []made
	alone := map[int32]Place{}
	seen := map[int32]bool{}
	for _, n := range order {
		c, r := &s.cells[n], s.root(n)
		if box := boxes[r]; !box.wider(siteMost) {
			if c.filled && !seen[r] {
				seen[r] = true
				list = append(list, made{siteAt{box: box}, s.areas.keyOf(s.areas.all, box, true), r})
			}
			continue
		}
		for _, f := range c.firsts {
			if p, ok := alone[f.key]; !ok || f.place.before(p) {
				alone[f.key] = f.place
			}
		}
	}
	for key, p := range alone {
		list = append(list, made{siteAt{box: p}, key, -1})
	}
	slices.SortFunc(list, func(a, b made) int {
		switch {
		case a.site.box.before(b.site.box):
			return -1
		case b.site.box.before(a.site.box):
			return 1
		}
		return int(a.key - b.key)
	})
	s.byKey = map[int32]int32{}
	byRoot := map[int32]int32{}
	for i, m := range list {
		s.list, s.keys = append(s.list, m.site), append(s.keys, m.key)
		if m.root < 0 {
			s.byKey[m.key] = int32(i)
		} else {
			byRoot[m.root] = int32(i)
		}
	}
	s.siteOf = make([]int32, len(s.cells))
	for n := range s.cells {
		s.siteOf[n] = -1
		if i, ok := byRoot[s.root(int32(n))]; ok {
			s.siteOf[n] = i
		}
	}
	if len(s.list) == 0 {
		s.list, s.keys = []siteAt{{nowhere: true}}, []int32{-1}
	}
}

// find is the number of the site that a place is in, 0 for a place without
// coordinates, and for one that was not among those gathered.
func (s *sites) find(p Place) int32 {
	if !p.known() {
		return 0
	}
	k := cellOf(p.West, p.South)
	n, ok := s.ids[k]
	if !ok {
		return 0
	}
	if site := s.siteOf[n]; site >= 0 {
		return site
	}
	at := s.cells[n].area
	if at == nil || p.wide() && cellOf(p.East, p.North) != k {
		at = s.areas.all
	}
	return max(0, s.byKey[s.areas.keyOf(at, p, false)])
}

// covering is a file that holds in a part of the earth.
type covering interface {
	holds(lon, lat float64) bool
	holdsBox(p Place) bool
}

// covers are the files of datum steps.
func (a *Aids) covers() (out []covering) {
	for _, g := range a.Grids {
		out = append(out, g)
	}
	for _, m := range a.Models {
		out = append(out, m)
	}
	return out
}

// areas tells what the choice of steps at a place depends on: the areas of use,
// the grids and the plates that hold it. Places of one key get the same steps.
type areas struct {
	boxes  []*extent // the registry's areas, then the plates' boxes
	uses   int32     // how many are the registry's
	grids  []covering
	all    *area // nothing is known of the place
	coarse map[cellKey]*area
	keys   map[string]int32
	plain  map[int32]*area // those that are done, by key
}

// area is what is known of all places in a box of the earth.
type area struct {
	bits []byte // which boxes hold all of it, a bit each
	open []int32
	half bool // a line of half a degree crosses it: see keyOf
	key  int32
	done bool // key is that of every place within
	// Of points by which open boxes hold them, and the whole degree: open boxes
	// are few.
	known map[[3]uint64]int32
}

func newAreas(grids []covering) *areas {
	a := &areas{boxes: steps0().extents, uses: int32(len(steps0().extents)), grids: grids, coarse: map[cellKey]*area{}, keys: map[string]int32{}, plain: map[int32]*area{}}
	for _, p := range plates {
		for _, b := range p.around {
			a.boxes = append(a.boxes[:len(a.boxes):len(a.boxes)], &extent{west: b.West, south: b.South, east: b.East, north: b.North})
		}
	}
	a.all = &area{bits: make([]byte, (len(a.boxes)+7)/8), half: true}
	for i := range a.boxes {
		a.all.open = append(a.all.open, int32(i))
	}
	return a
}

// coarseCells is how many cells make the edge of a coarse one: a degree.
const coarseCells = int32(50)

// inCell is the area of a cell.
func (a *areas) inCell(k cellKey) *area {
	big := cellKey{k.x / coarseCells, int32(math.Floor(float64(k.y) / float64(coarseCells)))}
	c := a.coarse[big]
	if c == nil {
		c = a.narrowed(a.all, float64(big.x), float64(big.y), 1)
		a.coarse[big] = c
	}
	return a.narrowed(c, float64(k.x)*siteCell, float64(k.y)*siteCell, siteCell)
}

// narrowed is what is known of the part of an area from a south-western corner
// on.
func (a *areas) narrowed(from *area, west, south, size float64) *area {
	const slack = 1e-9 // degrees: of the corners themselves
	out := &area{bits: slices.Clone(from.bits)}
	lon, lat := wrap180(west+size/2), south+size/2
	// crosses reports whether a line is within the area, the short way round.
	crosses := func(v, middle float64) bool { return math.Abs(v-middle) <= size/2+slack }
	meridian := func(v float64) bool { return crosses(math.Remainder(v-lon, 360), 0) }
	for _, i := range from.open {
		e := a.boxes[i]
		x, y := meridian(e.west) || meridian(e.east), crosses(e.south, lat) || crosses(e.north, lat)
		inX := x || e.contains(lon, e.south)
		inY := y || lat >= e.south && lat <= e.north
		switch {
		case inX && inY && (x || y):
			out.open = append(out.open, i)
		case e.contains(lon, lat):
			out.bits[i/8] |= 1 << (i % 8)
		}
	}
	for _, v := range []float64{lon, lat} {
		out.half = out.half || crosses(math.Floor(v)+0.5, v)
	}
	if size < 1 && len(out.open) == 0 && !out.half && len(a.grids) == 0 {
		key := a.intern(a.key(out.bits, nil, lon, lat))
		if a.plain[key] == nil {
			a.plain[key] = &area{key: key, done: true}
		}
		return a.plain[key]
	}
	if len(out.open) <= 64 {
		out.known = map[[3]uint64]int32{}
	}
	return out
}

// keyOf is the key of a place in an area. keep says that a new one is given a
// number and remembered; else it is -1.
func (a *areas) keyOf(at *area, p Place, keep bool) int32 {
	point := !p.wide()
	if at.done {
		return at.key
	}
	lon, lat := p.middle()
	if point && at.known != nil && len(a.grids) == 0 {
		short := [3]uint64{0, math.Float64bits(math.RoundToEven(lon)), math.Float64bits(math.RoundToEven(lat))}
		for n, i := range at.open {
			if a.boxes[i].contains(lon, lat) {
				short[0] |= 1 << n
			}
		}
		if key, ok := at.known[short]; ok {
			return key
		}
		if !keep {
			return -1
		}
		key := a.intern(a.long(at, p, lon, lat))
		at.known[short] = key
		return key
	}
	long := a.long(at, p, lon, lat)
	if keep {
		return a.intern(long)
	}
	if key, ok := a.keys[string(long)]; ok {
		return key
	}
	return -1
}

// long is the key in full: which boxes and grids hold all of the place, which
// its middle, and where in whole degrees it is, because another step beside the
// chosen one is compared at the place.
func (a *areas) long(at *area, p Place, lon, lat float64) []byte {
	whole, middle := slices.Clone(at.bits), slices.Clone(at.bits)
	for _, i := range at.open {
		e, held := a.boxes[i], false
		if held = e.contains(lon, lat); held {
			middle[i/8] |= 1 << (i % 8)
		}
		if i < a.uses { // of a plate the middle tells
			held = e.contains(p.West, p.South) && e.contains(p.East, p.North)
		}
		if held {
			whole[i/8] |= 1 << (i % 8)
		}
	}
	for _, g := range a.grids {
		held := byte(0)
		if g.holdsBox(p) {
			held = 1
		}
		if g.holds(lon, lat) {
			held |= 2
		}
		middle = append(middle, held)
	}
	return a.key(whole, middle, lon, lat)
}

// key puts a key together; middle is nil where it is as whole.
func (a *areas) key(whole, middle []byte, lon, lat float64) []byte {
	if middle == nil {
		middle = whole
	}
	out := slices.Concat(whole, middle)
	for _, v := range []float64{lon, lat} {
		out = binary.LittleEndian.AppendUint16(out, uint16(int16(math.RoundToEven(v))))
	}
	return out
}

func (a *areas) intern(key []byte) int32 {
	n, ok := a.keys[string(key)]
	if !ok {
		n = int32(len(a.keys))
		a.keys[string(key)] = n
	}
	return n
}
