// The geometry: .shp and .shx.

package shapefile

import (
	"encoding/binary"
	"fmt"
	"math"
	"sort"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/schema"
)

// The shape types (technical description, table 1).
const (
	shapeNull       = 0
	shapePoint      = 1
	shapeLine       = 3
	shapePolygon    = 5
	shapeMultiPoint = 8
	shapePatch      = 31
	addZ            = 10 // a type with heights, and perhaps measures
	addM            = 20 // a type with measures
)

const (
	fileCode   = 9994
	version    = 1000
	headerSize = 100
	// noData is the bound under which a number stands for none.
	noData = -1e38
)

// isHeader reports whether the bytes start a .shp or .shx.
func isHeader(b []byte) bool {
	return len(b) >= 32 && binary.BigEndian.Uint32(b) == fileCode && binary.LittleEndian.Uint32(b[28:]) == version
}

// shapes reads the records of a .shp.
type shapes struct {
	data     []byte
	vertices float64 // read so far, over all layers
	caps     schema.Limits
	t        *wire.Tally
	path     string  // of the .shp, for messages
	heights  bool    // a height other than 0 was met
	zeros    int     // heights of 0 met
	measures int     // features with measures
	round    float64 // how far x goes once round the earth, 0 for lengths
}

// fault is what is wrong with a record.
func fault(path string, record int, problem, mend string) *wire.InputError {
	if record > 0 {
		path = fmt.Sprintf("%s record %d", path, record)
	}
	return &wire.InputError{Path: path, Problem: problem, Mend: mend}
}

const mendWhole = "the file is damaged or was cut off; export or send it again"

// records returns the content of every record, in order. An index that fits
// the file says where they stand; without one they follow each other.
func (s *shapes) records(index []byte) ([][]byte, error) {
	if !isHeader(s.data) {
		return nil, fault(s.path, 0, "this is no .shp: its header is another", mendWhole)
	}
	if len(s.data) < headerSize {
		return nil, fault(s.path, 0, "the file ends inside its header", mendWhole)
	}
	length := 2 * int64(binary.BigEndian.Uint32(s.data[24:]))
	if length > int64(len(s.data)) {
		return nil, fault(s.path, 0, fmt.Sprintf("the header promises %d bytes, the file has %d", length, len(s.data)), mendWhole)
	}
	whole := s.data
	if length >= headerSize {
		s.data = s.data[:length]
	}
	if list, ok := s.byIndex(index); ok {
		s.beyond(whole, length, list)
		return list, nil
	}
	var list [][]byte
	for at := headerSize; at < len(s.data); {
		n := len(list) + 1
		content, next, ok := s.record(at)
		if !ok {
			return nil, fault(s.path, n, "the file ends inside the record", mendWhole)
		}
		if float64(n) > s.caps.InputMaxFeatures {
			return nil, tooManyFeatures(s.path, s.caps)
		}
		list = append(list, content)
		at = next
	}
	s.beyond(whole, length, list)
	return list, nil
}

// beyond tells of records that stand where none are looked for: behind the end
// by the header, or past the last one that the index has.
func (s *shapes) beyond(whole []byte, length int64, list [][]byte) {
	end := length
	if n := len(list); n > 0 {
		last := cap(s.data) - cap(list[n-1]) + len(list[n-1])
		end = int64(last)
	}
	if end < headerSize || end+12 > int64(len(whole)) || int(binary.BigEndian.Uint32(whole[end:])) != len(list)+1 {
		return
	}
	if size := 2 * int64(binary.BigEndian.Uint32(whole[end+4:])); size >= 4 && size <= int64(len(whole))-end-8 {
		s.t.Add("record-beyond", 0, s.path, "%s holds records behind its record %d that its header or its index (.shx) does not count, and they were not read: write the layer anew where it comes from", s.path, len(list))
	}
}

func tooManyFeatures(path string, caps schema.Limits) error {
	return fault(path, 0, fmt.Sprintf("there are more features than the limit input_max_features (%.0f)", caps.InputMaxFeatures), "split it, or raise the limit in a limits file")
}

// record returns the content of the record whose header stands at a byte.
func (s *shapes) record(at int) (content []byte, next int, ok bool) {
	if at < 0 || at+8 > len(s.data) {
		return nil, 0, false
	}
	size := 2 * int64(binary.BigEndian.Uint32(s.data[at+4:]))
	if size > int64(len(s.data)-at-8) {
		return nil, 0, false
	}
	next = at + 8 + int(size)
	return s.data[at+8 : next], next, true
}

// byIndex follows the .shx; ok is false when there is none or it does not fit
// the file, which is then told.
func (s *shapes) byIndex(index []byte) ([][]byte, bool) {
	damaged := func() ([][]byte, bool) {
		s.t.Add("index-damaged", 0, s.path, "the index (.shx) does not fit the .shp; the records were read one after the other")
		return nil, false
	}
	if len(index) == 0 {
		return nil, false
	}
	if !isHeader(index) || (len(index)-headerSize)%8 != 0 || len(index) < headerSize {
		return damaged()
	}
	index = index[headerSize:]
	if float64(len(index)/8) > s.caps.InputMaxFeatures {
		return nil, false // counted where the records are walked
	}
	list := make([][]byte, 0, len(index)/8)
	total := headerSize
	for i := 0; i < len(index); i += 8 {
		at := 2 * int64(binary.BigEndian.Uint32(index[i:]))
		if at > int64(len(s.data)) {
			return damaged()
		}
		content, _, ok := s.record(int(at))
		if !ok || 2*int64(binary.BigEndian.Uint32(index[i+4:])) != int64(len(content)) || int(binary.BigEndian.Uint32(s.data[at:])) != len(list)+1 {
			return damaged()
		}
		total += 8 + len(content)
		list = append(list, content)
	}
	// Records that overlap would be a way to make much of little.
	if total > len(s.data) || len(list) == 0 && len(s.data) > headerSize {
		return damaged()
	}
	return list, true
}

// body is what is left of a record's content.
type body struct {
	b  []byte
	ok bool
}

func (c *body) take(n int) []byte {
	if !c.ok || n < 0 || n > len(c.b) {
		c.ok = false
		return nil
	}
	out := c.b[:n]
	c.b = c.b[n:]
	return out
}

func (c *body) count() int {
	if b := c.take(4); b != nil {
		return int(int32(binary.LittleEndian.Uint32(b)))
	}
	return 0
}

func (c *body) float() float64 {
	if b := c.take(8); b != nil {
		return math.Float64frombits(binary.LittleEndian.Uint64(b))
	}
	return 0
}

func (c *body) floats(n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = c.float()
	}
	return out
}

// geometry reads one record; nil for a null shape.
func (s *shapes) geometry(content []byte, record int) (geom.T, error) {
	c := &body{content, true}
	kind := c.count()
	if !c.ok {
		return nil, fault(s.path, record, "the record is too short for a shape", mendWhole)
	}
	if kind == shapeNull {
		return nil, nil
	}
	base, z, m := kind, false, false
	if kind > addM && kind < shapePatch {
		base, m = kind-addM, true
	} else if kind > addZ && kind < addM {
		base, z = kind-addZ, true
	}
	switch base {
	case shapePoint:
		return s.point(c, z, m, record)
	case shapeMultiPoint, shapeLine, shapePolygon, shapePatch:
		return s.parted(c, base, z || base == shapePatch, m, record)
	}
	return nil, fault(s.path, record, fmt.Sprintf("there is no shape type %d", kind), mendWhole)
}

func (s *shapes) cut(record int) error {
	return fault(s.path, record, "the record is shorter than its shape", mendWhole)
}

func (s *shapes) point(c *body, z, m bool, record int) (geom.T, error) {
	flat := []float64{c.float(), c.float()}
	if !c.ok {
		return nil, s.cut(record)
	}
	zs, ms := 0.0, noData*10
	if z {
		zs = c.float()
	}
	if (z || m) && len(c.b) >= 8 {
		ms = c.float()
	}
	if !c.ok {
		return nil, s.cut(record)
	}
	if err := s.counted(1, record); err != nil {
		return nil, err
	}
	return s.finish(shapePoint, flat, []float64{zs}, []float64{ms}, z, nil, nil, record)
}

// parted reads any shape but a point: a box, parts, points, heights, measures.
func (s *shapes) parted(c *body, base int, z, m bool, record int) (geom.T, error) {
	var parts, types []int
	c.take(32) // the box
	nparts := 1
	if base != shapeMultiPoint {
		nparts = c.count()
	}
	n := c.count()
	if !c.ok || n < 0 || nparts < 0 || n > len(c.b)/16 || nparts > len(c.b)/4 {
		return nil, s.cut(record)
	}
	if err := s.counted(n, record); err != nil {
		return nil, err
	}
	if base != shapeMultiPoint {
		for range nparts {
			parts = append(parts, c.count())
		}
		if base == shapePatch {
			for range nparts {
				types = append(types, c.count())
			}
		}
	}
	flat := c.floats(2 * n)
	var zs, ms []float64
	if z {
		c.take(16) // their range
		zs = c.floats(n)
	}
	if !c.ok {
		return nil, s.cut(record)
	}
	if (z || m) && len(c.b) >= 16+8*n {
		c.take(16)
		ms = c.floats(n)
	}
	for i, p := range parts {
		if p < 0 || p > n || i > 0 && p < parts[i-1] || i == 0 && p != 0 {
			return nil, fault(s.path, record, fmt.Sprintf("part %d starts at point %d of %d", i+1, p, n), mendWhole)
		}
	}
	return s.finish(base, flat, zs, ms, z, parts, types, record)
}

func (s *shapes) counted(n, record int) error {
	if s.vertices += float64(n); s.vertices > s.caps.InputMaxVertices {
		return fault(s.path, record, fmt.Sprintf("there are more points than the limit input_max_vertices (%.0f)", s.caps.InputMaxVertices), "split it, or raise the limit in a limits file")
	}
	return nil
}

// finish puts heights beside the points and makes the geometry.
func (s *shapes) finish(base int, xy, zs, ms []float64, z bool, parts, types []int, record int) (geom.T, error) {
	for _, m := range ms {
		if m >= noData && m == m {
			s.measures++
			break
		}
	}
	for i, v := range xy {
		if math.IsNaN(v) || math.IsInf(v, 0) || v < noData {
			return nil, fault(s.path, record, fmt.Sprintf("point %d is at %v, %v", i/2+1, xy[i&^1], xy[i|1]), "correct the point where the file comes from")
		}
	}
	layout, flat, stride := geom.XY, xy, 2
	if z {
		layout, stride = geom.XYZ, 3
		flat = make([]float64, 0, len(xy)/2*3)
		for i := 0; i < len(xy); i += 2 {
			h := zs[i/2]
			switch {
			case h == 0:
				s.zeros++
			case h < noData || math.IsInf(h, 0) || h != h:
				h = math.NaN()
			default:
				s.heights = true
			}
			flat = append(flat, xy[i], xy[i+1], h)
		}
	}
	var ends []int
	for i := range parts {
		end := len(flat)
		if i+1 < len(parts) {
			end = parts[i+1] * stride
		}
		if start := parts[i] * stride; end > start {
			ends = append(ends, end)
		}
	}
	switch base {
	case shapePoint:
		return geom.NewPointFlat(layout, flat), nil
	case shapeMultiPoint:
		if len(flat) == 0 {
			return nil, nil
		}
		return geom.NewMultiPointFlat(layout, flat), nil
	case shapeLine:
		switch len(ends) {
		case 0:
			return nil, nil
		case 1:
			return geom.NewLineStringFlat(layout, flat), nil
		}
		return geom.NewMultiLineStringFlat(layout, flat, ends), nil
	case shapePatch:
		flat, ends = patches(flat, stride, parts, types)
	}
	return s.polygons(layout, flat, ends, record), nil
}

// patches turns the triangles of strips and fans into rings, beside the rings
// that a multipatch holds as such.
func patches(flat []float64, stride int, parts, types []int) ([]float64, []int) {
	var out []float64
	var ends []int
	point := func(i int) []float64 { return flat[i*stride : (i+1)*stride] }
	for k, from := range parts {
		to := len(flat) / stride
		if k+1 < len(parts) {
			to = parts[k+1]
		}
		if types[k] > 1 { // a ring of any kind
			if to > from {
				out = append(out, flat[from*stride:to*stride]...)
				ends = append(ends, len(out))
			}
			continue
		}
		for i := from + 2; i < to; i++ {
			a := i - 2 // a strip
			if types[k] == 1 {
				a = from // a fan
			}
			ring := append(append(append(append([]float64(nil), point(a)...), point(i-1)...), point(i)...), point(a)...)
			if schema.TwiceArea(ring, stride) > 0 {
				schema.ReverseRing(ring, stride) // every triangle is a shell
			}
			out = append(out, ring...)
			ends = append(ends, len(out))
		}
	}
	return out, ends
}

// ringOf is one ring of a polygon while holes look for their shells.
type ringOf struct {
	flat  []float64
	even  []float64 // the same, run on across the 180th meridian
	area  float64   // twice the area, positive anticlockwise
	shell int       // of a hole: index among the shells
}

// polygons sorts rings into shells and holes by their direction, gives each
// hole to the smallest shell around it, and turns every ring over.
func (s *shapes) polygons(layout geom.Layout, flat []float64, ends []int, record int) geom.T {
	stride := layout.Stride()
	var shells, holes []*ringOf
	start := 0
	for _, end := range ends {
		r := &ringOf{flat: flat[start:end:end], shell: -1}
		r.even = schema.Unwrapped(r.flat, stride, s.round, flat[0])
		r.area = schema.TwiceArea(r.even, stride)
		start = end
		if r.area > 0 {
			holes = append(holes, r)
		} else {
			shells = append(shells, r)
		}
	}
	if len(shells) == 0 {
		// All run anticlockwise, as other standards have it: which is inside
		// which says the rest.
		sort.SliceStable(holes, func(i, j int) bool { return math.Abs(holes[i].area) > math.Abs(holes[j].area) })
		all := holes
		holes = nil
		for _, r := range all {
			if s.smallest(shells, r, stride) >= 0 {
				holes = append(holes, r)
			} else {
				shells = append(shells, r)
				s.t.Add("ring-direction", 0, s.path, "outlines run anticlockwise against the description, first in record %d; they were not read as holes", record)
			}
		}
	}
	for _, h := range holes {
		if h.shell = s.smallest(shells, h, stride); h.shell < 0 {
			s.t.Add("hole-without-shell", 0, s.path, "an outline runs as holes do, but lies in no other one, first in record %d; it was not read as a hole", record)
			h.shell = len(shells)
			shells = append(shells, h)
		}
	}
	for i, r := range shells {
		if len(shells) > 1 && s.smallest(append(append([]*ringOf(nil), shells[:i]...), shells[i+1:]...), r, stride) >= 0 && !inAHole(r, holes, stride) {
			s.t.Add("shell-inside-shell", 0, s.path, "an outline lies inside another, first in record %d; perhaps it is a hole that runs the wrong way round", record)
		}
	}
	var out []float64
	var endss [][]int
	for i, shell := range shells {
		var e []int
		add := func(r *ringOf) {
			at := len(out)
			out = append(out, r.flat...)
			schema.ReverseRing(out[at:], stride)
			e = append(e, len(out))
		}
		add(shell)
		for _, h := range holes {
			if h.shell == i && h != shell {
				add(h)
			}
		}
		endss = append(endss, e)
	}
	switch len(endss) {
	case 0:
		return nil
	case 1:
		return geom.NewPolygonFlat(layout, out, endss[0])
	}
	return geom.NewMultiPolygonFlat(layout, out, endss)
}

// smallest returns the index of the smallest shell that a ring lies in, -1 for
// none.
func (s *shapes) smallest(shells []*ringOf, r *ringOf, stride int) int {
	best := -1
	for i, shell := range shells {
		if shell != r && math.Abs(shell.area) >= math.Abs(r.area) && (best < 0 || math.Abs(shell.area) < math.Abs(shells[best].area)) && inside(r, shell, stride) {
			best = i
		}
	}
	return best
}

func inAHole(r *ringOf, holes []*ringOf, stride int) bool {
	for _, h := range holes {
		if h != r && math.Abs(h.area) >= math.Abs(r.area) && inside(r, h, stride) {
			return true
		}
	}
	return false
}

// inside reports whether ring a lies in ring b, by the first of its points that
// is not on b's line; when all are, it does.
func inside(a, b *ringOf, stride int) bool {
	for i := 0; i+stride <= len(a.even); i += stride {
		switch where(a.even[i], a.even[i+1], b.even, stride) {
		case 1:
			return true
		case -1:
			return false
		}
	}
	return len(a.flat) > 0
}

// where says whether a point is inside a ring (1), outside (-1) or on it (0),
// by crossings of a ray to the east.
func where(x, y float64, ring []float64, stride int) int {
	in := false
	n := len(ring) / stride
	for i, j := 0, n-1; i < n; j, i = i, i+1 {
		x0, y0, x1, y1 := ring[j*stride], ring[j*stride+1], ring[i*stride], ring[i*stride+1]
		side := (x1-x0)*(y-y0) - (y1-y0)*(x-x0)
		if side == 0 && x >= math.Min(x0, x1) && x <= math.Max(x0, x1) && y >= math.Min(y0, y1) && y <= math.Max(y0, y1) {
			return 0
		}
		if (y0 > y) != (y1 > y) && (side > 0) == (y1 > y0) {
			in = !in
		}
	}
	if in {
		return 1
	}
	return -1
}
