// Grid shifts: latitude and longitude shifted by values interpolated in a grid
// that the user has as a file.

package crs

import (
	"bytes"
	"fmt"
	"math"
	"path"
	"strings"
)

// GridShift is a horizontal grid-shift file in memory: a tree of grids of
// latitude and longitude shifts. It is immutable and safe to share.
type GridShift struct {
	name     string
	format   string
	from, to string // systems named in the file
	grids    []*shiftGrid
	src, dst *registryDatum // when bound by hand
	accuracy float64
}

// shiftGrid is one grid of a file: nodes by rows from the south-west corner,
// two numbers a node, the shifts of latitude and longitude in arc-seconds, both
// positive north and east.
type shiftGrid struct {
	name                     string
	parent                   string
	west, south, east, north float64 // degrees
	dlon, dlat               float64
	nx, ny                   int
	shifts                   []float32
	up                       []float32 // of a deformation model: metres upwards a node
	plane                    bool      // limits are metres of a projected CRS
	children                 []*shiftGrid
}

// maxGridNodes bounds the nodes of one file, against headers that lie; the
// largest published ones have some 20 million.
const maxGridNodes = 64 << 20

// ReadGridShift reads a grid-shift file, NTv2 or GeoTIFF by its first bytes.
// The name is that of the file: registry operations ask for it.
func ReadGridShift(data []byte, name string) (*GridShift, error) {
	if bytes.HasPrefix(data, []byte("II*\x00")) || bytes.HasPrefix(data, []byte("MM\x00*")) || bytes.HasPrefix(data, []byte("II+\x00")) || bytes.HasPrefix(data, []byte("MM\x00+")) {
		return ReadGeoTIFFGrid(data, name)
	}
	return ReadNTv2(data, name)
}

// Name is the name of the file without its folder.
func (g *GridShift) Name() string { return g.name }

// Format is "NTv2" or "GeoTIFF".
func (g *GridShift) Format() string { return g.format }

// Systems returns the names of the two systems as the file gives them, empty
// when it does not.
func (g *GridShift) Systems() (from, to string) { return g.from, g.to }

// Area is the box that the grids of the file lie in, in degrees.
func (g *GridShift) Area() (west, south, east, north float64) {
	west, south, east, north = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, s := range g.grids {
		west, south = math.Min(west, s.west), math.Min(south, s.south)
		east, north = math.Max(east, s.east), math.Max(north, s.north)
	}
	return west, south, east, north
}

// baseName is the last part of a path, of either kind of slash.
func baseName(name string) string {
	return path.Base(strings.ReplaceAll(name, `\`, "/"))
}

// matches reports whether one of the file names the registry gives is that of
// the grid, and whether the file shifts the other way; case does not count.
func (g *GridShift) matches(files []string) (ok, reversed bool) {
	for _, f := range files {
		f, reversed := strings.CutPrefix(f, "-")
		if strings.EqualFold(baseName(f), g.name) {
			return true, reversed
		}
	}
	return false, false
}

// Bind returns the same grid as a step from the datum of one CRS to that of
// another, for a file that the registry does not name. The accuracy in metres
// is what its maker states; 0 means unknown.
func (g *GridShift) Bind(from, to *CRS, accuracy Metres) (*GridShift, error) {
	src, dst := datumOf(from), datumOf(to)
	if src == nil || dst == nil || src == dst {
		return nil, fmt.Errorf("grid %s: %s and %s must be on two datums of the registry", g.name, from.id, to.id)
	}
	if accuracy < 0 || accuracy != accuracy {
		return nil, fmt.Errorf("grid %s: accuracy %v m is not a length", g.name, float64(accuracy))
	}
	b := *g
	b.src, b.dst, b.accuracy = src, dst, float64(accuracy)
	if accuracy == 0 {
		b.accuracy = math.NaN()
	}
	return &b, nil
}

// step is the step a bound grid makes.
func (g *GridShift) step() *registryStep {
	s := &registryStep{name: "grid " + g.name, kind: stepGrid, src: g.src, dst: g.dst, accuracy: g.accuracy, files: []string{g.name}, source: "the user's word"}
	for _, sub := range g.grids {
		s.extents = append(s.extents, &extent{name: "grid " + sub.name, south: sub.south, north: sub.north, west: sub.west, east: sub.east})
	}
	return s
}

// edgeSlack is a hair of tolerance, so that points written on the edge of a box
// with ten decimals of a degree, or five of a metre, are inside.
func edgeSlack(plane bool) float64 {
	if plane {
		return 1e-5
	}
	return 1e-9
}

// into brings x, a longitude unless the box is one on a plane, into the range
// from west to east; false when it is outside.
func into(x, west, east float64, plane bool) (float64, bool) {
	tol := edgeSlack(plane)
	if !plane {
		for x > east+tol {
			x -= 360
		}
		for x < west-tol {
			x += 360
		}
	}
	return x, x >= west-tol && x <= east+tol
}

// find returns the finest grid that holds the place, nil when none does, and
// the longitude brought into its range.
func find(grids []*shiftGrid, lon, lat float64) (*shiftGrid, float64) {
	for _, g := range grids {
		tol := edgeSlack(g.plane)
		if !(lat >= g.south-tol && lat <= g.north+tol) {
			continue
		}
		l, ok := into(lon, g.west, g.east, g.plane)
		if !ok {
			continue
		}
		if c, cl := find(g.children, l, lat); c != nil {
			return c, cl
		}
		return g, l
	}
	return nil, lon
}

// holds reports whether a grid of the file holds the place.
func (g *GridShift) holds(lon, lat float64) bool {
	if lon-lon != 0 || lat-lat != 0 || math.Abs(lon) > 720 {
		return false
	}
	s, _ := find(g.grids, lon, lat)
	return s != nil
}

// cell is the cell of four nodes that a place is in: column and row of its
// south-west node, and how far the place is in it, from 0 to 1.
func (s *shiftGrid) cell(lon, lat float64) (i, j int, fx, fy float64) {
	x, y := (lon-s.west)/s.dlon, (lat-s.south)/s.dlat
	i, j = int(math.Floor(x)), int(math.Floor(y))
	i, j = max(0, min(i, s.nx-2)), max(0, min(j, s.ny-2))
	return i, j, x - float64(i), y - float64(j)
}

// at interpolates the shift at the place, bilinearly between the four nodes
// around it, in degrees.
func (s *shiftGrid) at(lon, lat float64) (dlon, dlat float64) {
	i, j, fx, fy := s.cell(lon, lat)
	sw := 2 * (j*s.nx + i)
	nw := sw + 2*s.nx
	mix := func(k int) float64 {
		a, b := float64(s.shifts[sw+k]), float64(s.shifts[sw+2+k])
		c, d := float64(s.shifts[nw+k]), float64(s.shifts[nw+2+k])
		return (1-fy)*((1-fx)*a+fx*b) + fy*((1-fx)*c+fx*d)
	}
	return mix(1) / 3600, mix(0) / 3600
}

// maxGridIterations bounds the inverse; shifts change so slowly over a cell
// that four suffice.
const maxGridIterations = 20

// shift moves a longitude and latitude in degrees by the grid, or back. The
// inverse is found by iteration to 1e-12 degrees (a tenth of a micrometre).
func (g *GridShift) shift(lon, lat float64, inverse bool) (float64, float64, error) {
	if lon-lon != 0 || lat-lat != 0 || math.Abs(lon) > 720 {
		return 0, 0, fmt.Errorf("not a number")
	}
	s, l := find(g.grids, lon, lat)
	if !inverse {
		if s == nil {
			return 0, 0, g.outside()
		}
		dlon, dlat := s.at(l, lat)
		if dlon-dlon != 0 || dlat-dlat != 0 {
			return 0, 0, fmt.Errorf("where the grid %s has no values", g.name)
		}
		return lon + dlon, lat + dlat, nil
	}
	// The source of a point near the edge may lie inside though the point does
	// not: the first guess may then use the nearest edge.
	x, y := lon, lat
	for range maxGridIterations {
		s, l = find(g.grids, x, y)
		if s == nil {
			return 0, 0, g.outside()
		}
		dlon, dlat := s.at(l, y)
		if dlon-dlon != 0 || dlat-dlat != 0 {
			return 0, 0, fmt.Errorf("where the grid %s has no values", g.name)
		}
		nx, ny := lon-dlon, lat-dlat
		done := math.Abs(nx-x) < 1e-12 && math.Abs(ny-y) < 1e-12
		x, y = nx, ny
		if done {
			return x, y, nil
		}
	}
	return 0, 0, fmt.Errorf("where the grid %s cannot be reversed: its shifts change too fast", g.name)
}

func (g *GridShift) outside() error {
	w, s, e, n := g.Area()
	return fmt.Errorf("outside the grid %s, which reaches from %.6g to %.6g degrees north and %.6g to %.6g degrees east", g.name, s, n, w, e)
}

// Shift moves longitude and latitude in degrees (stride numbers a point) in
// place, from the file's first system to its second, or back when inverse is
// set. The error names the first point outside the grid.
func (g *GridShift) Shift(flat []float64, stride int, inverse bool) error {
	if err := checkStride(flat, stride, 2); err != nil {
		return err
	}
	s := stage{grid: g, inverse: inverse}
	return s.apply(flat, stride, false)
}

// maxShift is the largest shift, in arc-seconds, that is taken for one: ten
// degrees. No two datums lie so far apart; a larger number stands for a node
// without a value.
const maxShift = 36000

// nest builds the tree from a list in file order and checks it.
func nest(all []*shiftGrid) ([]*shiftGrid, error) {
	byName := map[string]*shiftGrid{}
	for _, s := range all {
		for _, values := range [][]float32{s.shifts, s.up} {
			for i, v := range values {
				if v > maxShift || v < -maxShift {
					values[i] = float32(math.NaN())
				}
			}
		}
		if byName[s.name] != nil {
			return nil, fmt.Errorf("two grids are called %q", s.name)
		}
		byName[s.name] = s
	}
	var roots []*shiftGrid
	for _, s := range all {
		if s.parent == "" || strings.EqualFold(s.parent, "NONE") {
			roots = append(roots, s)
			continue
		}
		p := byName[s.parent]
		if p == nil || p == s {
			return nil, fmt.Errorf("grid %q names the parent %q, which is not in the file", s.name, s.parent)
		}
		p.children = append(p.children, s)
	}
	reached := 0
	var walk func([]*shiftGrid)
	walk = func(list []*shiftGrid) {
		for _, s := range list {
			reached++
			walk(s.children)
		}
	}
	walk(roots)
	if reached != len(all) {
		return nil, fmt.Errorf("grids are parents of one another in a circle")
	}
	if len(roots) == 0 {
		return nil, fmt.Errorf("the file has no grid")
	}
	return roots, nil
}

// check says what is wrong with the geometry of a grid. Any of its four edges
// may be a whisker off the whole number of cells, as files round.
func (s *shiftGrid) check() error {
	for _, v := range []float64{s.west, s.south, s.east, s.north, s.dlon, s.dlat} {
		if v-v != 0 {
			return fmt.Errorf("grid %q: a limit is no number", s.name)
		}
	}
	switch {
	case !(s.dlon > 0 && s.dlat > 0):
		return fmt.Errorf("grid %q: cell size %v by %v degrees", s.name, s.dlon, s.dlat)
	case !(s.west < s.east && s.south < s.north):
		return fmt.Errorf("grid %q: limits %v to %v east, %v to %v north enclose nothing", s.name, s.west, s.east, s.south, s.north)
	case !s.plane && (s.south < -90.001 || s.north > 90.001 || s.west < -360.001 || s.east > 360.001 || s.east-s.west > 360.001):
		return fmt.Errorf("grid %q: limits %v to %v east, %v to %v north are not on earth", s.name, s.west, s.east, s.south, s.north)
	}
	if s.nx < 2 || s.ny < 2 || math.Abs(s.west+float64(s.nx-1)*s.dlon-s.east) > s.dlon*0.01 || math.Abs(s.south+float64(s.ny-1)*s.dlat-s.north) > s.dlat*0.01 {
		return fmt.Errorf("grid %q: %d by %d nodes of %v by %v degrees do not fill its limits", s.name, s.nx, s.ny, s.dlon, s.dlat)
	}
	return nil
}
