// Height grids: geoid models and offsets between vertical references that the
// user has as a file, GTX or GeoTIFF.

package crs

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// HeightGrid is a file of heights in memory: geoid heights above an ellipsoid,
// or offsets between two vertical references, in metres. It is immutable and
// safe to share.
type HeightGrid struct {
	name   string
	offset bool // between two vertical references, not a geoid
	target int  // EPSG code of the vertical CRS that the file names, 0 for none
	sheets []*heightSheet
}

// heightSheet is one grid of a file: nodes by rows from the south-west corner;
// NaN where there is none.
type heightSheet struct {
	shiftGrid // its limits and size
	round     bool
	values    []float32
}

// Name is the name of the file without its folder.
func (g *HeightGrid) Name() string { return g.name }

// noHeight stands in GTX files for a node without a value.
const noHeight = -88.8888

// ReadHeightGrid reads a geoid model or a grid of height offsets, GeoTIFF (the
// Geodetic TIFF Grids of PROJ-data, types
// VERTICAL_OFFSET_GEOGRAPHIC_TO_VERTICAL and
// VERTICAL_OFFSET_VERTICAL_TO_VERTICAL) or GTX (NOAA VDatum: latitude and
// longitude of the south-west node, spacing of rows and columns in degrees as
// doubles, counts of rows and columns, then floats by rows from the south, all
// big-endian). The name is that of the file: registry steps ask for it.
func ReadHeightGrid(data []byte, name string) (*HeightGrid, error) {
	if isTIFF(data) {
		return readGeoTIFFHeights(data, name)
	}
	g := &HeightGrid{name: baseName(name)}
	if len(data) < 40 {
		return nil, fmt.Errorf("%s: %d bytes are no GTX file", g.name, len(data))
	}
	f := func(at int) float64 { return math.Float64frombits(binary.BigEndian.Uint64(data[at:])) }
	s := &heightSheet{}
	s.name, s.south, s.west, s.dlat, s.dlon = "grid", f(0), f(8), f(16), f(24)
	ny, nx := binary.BigEndian.Uint32(data[32:]), binary.BigEndian.Uint32(data[36:])
	if nx < 2 || ny < 2 || uint64(nx)*uint64(ny) > maxGridNodes || uint64(len(data)-40) != 4*uint64(nx)*uint64(ny) {
		return nil, fmt.Errorf("%s: no GTX file: %d by %d nodes do not go with %d bytes", g.name, nx, ny, len(data))
	}
	s.nx, s.ny = int(nx), int(ny)
	s.east, s.north = s.west+float64(s.nx-1)*s.dlon, s.south+float64(s.ny-1)*s.dlat
	if s.west > 180 { // some count from Greenwich round to 360
		s.west, s.east = s.west-360, s.east-360
	}
	s.values = make([]float32, s.nx*s.ny)
	for i := range s.values {
		v := math.Float32frombits(binary.BigEndian.Uint32(data[40+4*i:]))
		if math.Abs(float64(v)-noHeight) < 1e-4 {
			v = float32(math.NaN())
		}
		s.values[i] = v
	}
	g.sheets = []*heightSheet{s}
	return g, g.check()
}

func isTIFF(data []byte) bool {
	for _, magic := range []string{"II*\x00", "MM\x00*", "II+\x00", "MM\x00+"} {
		if bytes.HasPrefix(data, []byte(magic)) {
			return true
		}
	}
	return false
}

// check refuses what is no height anywhere on earth, and notes which sheets go
// round it.
func (g *HeightGrid) check() error {
	if len(g.sheets) == 0 {
		return fmt.Errorf("%s: the file has no grid", g.name)
	}
	for _, s := range g.sheets {
		if err := s.shiftGrid.check(); err != nil {
			return fmt.Errorf("%s: %w", g.name, err)
		}
		s.round = math.Abs(float64(s.nx)*s.dlon-360) < 1e-6*s.dlon
		for _, v := range s.values {
			if v > 1e4 || v < -1e4 {
				return fmt.Errorf("%s: a value of %v m is no height of a geoid", g.name, v)
			}
		}
	}
	return nil
}

// At interpolates the value in metres at a longitude and latitude in degrees on
// the grid's datum, bilinearly between the four nodes around it; of nodes
// without a value the rest is taken, as PROJ's vgridshift does. The error is
// for a place outside the grid, or where it has no values.
func (g *HeightGrid) At(lon, lat float64) (float64, error) {
	for _, s := range g.sheets {
		if v, ok := s.at(lon, lat); ok {
			if v != v {
				return 0, fmt.Errorf("where the grid %s has no values", g.name)
			}
			return v, nil
		}
	}
	s := g.sheets[0]
	return 0, fmt.Errorf("outside the grid %s, which reaches from %.6g to %.6g degrees north and %.6g to %.6g degrees east", g.name, s.south, s.north, s.west, s.east)
}

func (s *heightSheet) at(lon, lat float64) (float64, bool) {
	const tol = 1e-9
	if !(lat >= s.south-tol && lat <= s.north+tol) || lon-lon != 0 || math.Abs(lon) > 720 {
		return 0, false
	}
	for lon > s.east+tol && lon-360 >= s.west-tol || s.round && lon >= s.west+360 {
		lon -= 360
	}
	for lon < s.west-tol {
		lon += 360
	}
	if lon > s.east+tol && !s.round {
		return 0, false
	}
	x, y := (lon-s.west)/s.dlon, (lat-s.south)/s.dlat
	i, j := int(math.Floor(x)), int(math.Floor(y))
	if !s.round {
		i = min(i, s.nx-2)
	}
	i, j = max(0, i), max(0, min(j, s.ny-2))
	fx, fy := x-float64(i), y-float64(j)
	sum, weight := 0.0, 0.0
	for _, c := range [4]struct {
		di, dj int
		w      float64
	}{{0, 0, (1 - fx) * (1 - fy)}, {1, 0, fx * (1 - fy)}, {0, 1, (1 - fx) * fy}, {1, 1, fx * fy}} {
		v := float64(s.values[(j+c.dj)*s.nx+(i+c.di)%s.nx])
		if v == v {
			sum += c.w * v
			weight += c.w
		}
	}
	if !(weight > 1e-9) {
		return math.NaN(), true
	}
	return sum / weight, true
}

// readGeoTIFFHeights reads a GeoTIFF of heights, a grid a directory.
func readGeoTIFFHeights(data []byte, name string) (*HeightGrid, error) {
	g := &HeightGrid{name: baseName(name)}
	err := eachDirectory(data, func(t *tiffReader, fields map[uint16]tiffField, dir int) error {
		if t.one(fields, 254, 0)&5 != 0 {
			return nil // a reduced image or a mask
		}
		s, err := g.sheet(t, fields)
		if err != nil {
			return err
		}
		s.name = fmt.Sprintf("grid %d", dir+1)
		g.sheets = append(g.sheets, s)
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("%s: %w", g.name, err)
	}
	// Finer grids first.
	for i := range g.sheets {
		for k := i; k > 0 && g.sheets[k].dlon < g.sheets[k-1].dlon; k-- {
			g.sheets[k], g.sheets[k-1] = g.sheets[k-1], g.sheets[k]
		}
	}
	return g, g.check()
}

// sheet reads one directory.
func (g *HeightGrid) sheet(t *tiffReader, fields map[uint16]tiffField) (*heightSheet, error) {
	w, h, samples := t.one(fields, tagWidth, 0), t.one(fields, tagLength, 0), t.one(fields, tagSamples, 1)
	if w < 2 || h < 2 || w > 1<<20 || h > 1<<20 || w*h > maxGridNodes || samples < 1 || samples > 16 {
		return nil, fmt.Errorf("an image of %d by %d nodes with %d samples holds no heights", w, h, samples)
	}
	meta, err := metadata(fields)
	if err != nil {
		return nil, err
	}
	sample := 0
	for _, i := range meta.Items {
		value := strings.TrimSpace(i.Value)
		switch {
		case i.Name == "TYPE" && value == "VERTICAL_OFFSET_VERTICAL_TO_VERTICAL":
			g.offset = true
		case i.Name == "TYPE" && value != "VERTICAL_OFFSET_GEOGRAPHIC_TO_VERTICAL":
			return nil, fmt.Errorf("it holds %s, no heights", value)
		case i.Name == "target_crs_epsg_code":
			g.target, _ = strconv.Atoi(value)
		case i.Role == "description" && (value == "geoid_undulation" || value == "vertical_offset"):
			sample, _ = strconv.Atoi(i.Sample)
		case i.Role == "unittype" && value != "" && value != "metre" && value != "m":
			return nil, fmt.Errorf("heights in %q; metre is known", value)
		}
	}
	if sample >= int(samples) || sample < 0 {
		return nil, fmt.Errorf("its heights are sample %d of %d", sample+1, samples)
	}
	s := &heightSheet{}
	s.nx, s.ny = int(w), int(h)
	if err := t.place(fields, &s.shiftGrid); err != nil {
		return nil, err
	}
	none, err := noData(fields)
	if err != nil {
		return nil, err
	}
	values, err := t.samples(fields, s.nx, s.ny, int(samples), []int{sample})
	if err != nil {
		return nil, err
	}
	s.values = make([]float32, s.nx*s.ny)
	for row := range s.ny {
		for col := range s.nx {
			v := values[0][row*s.nx+col]
			if v == none {
				v = math.NaN()
			}
			s.values[(s.ny-1-row)*s.nx+col] = float32(v)
		}
	}
	return s, nil
}

// Read adds a grid file, of horizontal shifts or of heights, to the aids.
func (a *Aids) Read(data []byte, name string) error {
	if strings.HasSuffix(strings.ToLower(name), ".gtx") {
		g, err := ReadHeightGrid(data, name)
		if err == nil {
			a.HeightGrids = append(a.HeightGrids, g)
		}
		return err
	}
	if isTIFF(data) {
		if h, err := ReadHeightGrid(data, name); err == nil && h.heights(data) {
			a.HeightGrids = append(a.HeightGrids, h)
			return nil
		}
	}
	g, err := ReadGridShift(data, name)
	if err == nil {
		a.Grids = append(a.Grids, g)
	}
	return err
}

// ReadModel adds a deformation model to the aids; see ReadDeformationModel.
func (a *Aids) ReadModel(data []byte, name string, beside func(file string) ([]byte, error)) error {
	m, err := ReadDeformationModel(data, name, beside)
	if err == nil {
		a.Models = append(a.Models, m)
	}
	return err
}

// heights reports whether a TIFF says that it holds heights, or holds one
// sample only.
func (g *HeightGrid) heights(data []byte) bool {
	return bytes.Contains(data, []byte("VERTICAL_OFFSET_")) || g.offset || g.target != 0 || g.named()
}
