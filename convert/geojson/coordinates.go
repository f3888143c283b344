// Coordinates: nested lists of numbers into flat slices, in one pass.

package geojson

import (
	"math"
	"slices"
	"strconv"
	"unicode/utf8"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/convert/wire/jsontext"
	"swardline/schema"
)

// coordinates is what the member of that name held.
type coordinates struct {
	at     int // where it starts; 0 when there was none
	depth  int // 1 a position, 2 a list of positions, 3 and 4 lists of those
	empty  bool
	layout geom.Layout
	flat   []float64
	ends   []int   // depth 3
	endss  [][]int // depth 4
	extent extent
}

// extent is the range of x, y and h; no vertex yet when minX > maxX.
type extent struct {
	minX, maxX, minY, maxY, minH, maxH float64
}

func noExtent() extent {
	inf := math.Inf(1)
	return extent{inf, -inf, inf, -inf, inf, -inf}
}

func (e *extent) merge(f extent) {
	e.minX, e.maxX = min(e.minX, f.minX), max(e.maxX, f.maxX)
	e.minY, e.maxY = min(e.minY, f.minY), max(e.maxY, f.maxY)
	e.minH, e.maxH = min(e.minH, f.minH), max(e.maxH, f.maxH)
}

// outsideDegrees reports whether a number cannot be a longitude or latitude.
func (e *extent) outsideDegrees() bool {
	return e.minX < -180 || e.maxX > 180 || e.minY < -90 || e.maxY > 90
}

var depthNames = [...]string{"", "a position", "a list of positions", "a list of lists of positions", "a list of polygons"}

// coordinates reads the value at data[at]: the nesting of its first position
// holds for all of it. Positions longer than three numbers lose the rest, which
// is counted.
func (p *parser) coordinates(at int) (coordinates, int, *fault) {
	c := coordinates{at: at, extent: noExtent()}
	if at >= len(p.data) || p.data[at] != '[' {
		return c, at, p.unexpected(at, "a list")
	}
	inner := at
	for inner < len(p.data) && p.data[inner] == '[' {
		c.depth++
		inner = jsontext.SkipSpace(p.data, inner+1)
		if c.depth > 4 {
			return c, at, faultf(at, "the coordinates nest more than 4 deep, which no geometry does")
		}
	}
	if c.depth == 1 && inner < len(p.data) && p.data[inner] == ']' {
		c.empty = true
		return c, inner + 1, nil
	}
	p.scratch, p.stride = p.scratch[:0], 2
	var f *fault
	switch c.depth {
	case 1:
		at, f = p.position(at)
	case 2:
		at, f = p.positions(at)
	case 3:
		c.ends, at, f = p.lines(at)
	case 4:
		at, f = p.polygons(at, &c)
	}
	if f != nil {
		return c, at, f
	}
	c.layout = geom.XY
	if p.stride == 3 {
		c.layout = geom.XYZ
	}
	p.vertices += len(p.scratch) / p.stride
	if float64(p.vertices) > p.maxVertices {
		return c, at, p.tooManyVertices(c.at)
	}
	c.flat = p.keep(p.scratch)
	c.measure(p.stride)
	if p.lists != nil {
		p.lists.All = append(p.lists.All, wire.List{Start: c.at, End: at, Depth: c.depth - 1, Least: c.fewest(len(p.scratch) / p.stride)})
	}
	return c, at, nil
}

// fewest is how many positions the shortest innermost list has, of so many in
// all; ends are still counted in vertices.
func (c *coordinates) fewest(all int) int {
	start, least := 0, all
	count := func(ends []int) {
		for _, end := range ends {
			least = min(least, end-start)
			start = end
		}
	}
	count(c.ends)
	for _, ends := range c.endss {
		count(ends)
	}
	return least
}

func (p *parser) tooManyVertices(at int) *fault {
	return faultf(at, "the plan has more than %.0f points, the limit input_max_vertices", p.maxVertices).mendBy("split the plan, or raise the limit in a limits file")
}

// measure fills in the extent.
func (c *coordinates) measure(stride int) {
	e := c.extent
	flat := c.flat
	if stride == 2 {
		for i := 0; i+1 < len(flat); i += 2 {
			x, y := flat[i], flat[i+1]
			if x < e.minX {
				e.minX = x
			}
			if x > e.maxX {
				e.maxX = x
			}
			if y < e.minY {
				e.minY = y
			}
			if y > e.maxY {
				e.maxY = y
			}
		}
	} else {
		for i := 0; i+2 < len(flat); i += 3 {
			h := flat[i+2]
			if h != h {
				h = e.minH // an absent height widens nothing
			}
			e.minX, e.maxX = min(e.minX, flat[i]), max(e.maxX, flat[i])
			e.minY, e.maxY = min(e.minY, flat[i+1]), max(e.maxY, flat[i+1])
			if h < e.minH {
				e.minH = h
			}
			if h > e.maxH && !math.IsInf(h, 0) {
				e.maxH = h
			}
		}
	}
	c.extent = e
}

// keep copies numbers out of the scratch space, into slabs when they are few.
func (p *parser) keep(v []float64) []float64 {
	if len(v) > cap(p.slab)-len(p.slab) {
		if len(v) > slabFloats/4 {
			return append(make([]float64, 0, len(v)), v...)
		}
		p.slab = make([]float64, 0, p.slabSize())
		if len(v) > cap(p.slab) {
			return append(make([]float64, 0, len(v)), v...)
		}
	}
	n := len(p.slab)
	p.slab = append(p.slab, v...)
	return p.slab[n:len(p.slab):len(p.slab)]
}

// keepEnds does the same for part ends.
func (p *parser) keepEnds(v []int) []int {
	if len(v) > cap(p.endSlab)-len(p.endSlab) {
		if len(v) > 64 {
			return append(make([]int, 0, len(v)), v...)
		}
		p.endSlab = make([]int, 0, min(512, 64+len(p.data)/512))
	}
	n := len(p.endSlab)
	p.endSlab = append(p.endSlab, v...)
	return p.endSlab[n:len(p.endSlab):len(p.endSlab)]
}

const slabFloats = 32 << 10 // 256 KiB

// slabSize keeps a small file's slab small: a number takes 4 bytes of text at
// the very least, 8 in practice.
func (p *parser) slabSize() int { return min(slabFloats, len(p.data)/8+64) }

// polygons reads a list of lists of lists of positions.
func (p *parser) polygons(at int, c *coordinates) (int, *fault) {
	for first := true; ; first = false {
		next, done, f := p.nextItem(at, first)
		if f != nil || done {
			return next, f
		}
		ends, next, f := p.lines(next)
		if f != nil {
			return next, f.withinItem(len(c.endss))
		}
		c.endss = append(c.endss, ends)
		at = next
	}
}

// lines reads a list of lists of positions and returns their ends, counted from
// the start of the scratch space.
func (p *parser) lines(at int) ([]int, int, *fault) {
	if at >= len(p.data) || p.data[at] != '[' {
		return nil, at, p.unexpected(at, "a list of lists of positions")
	}
	vertexEnds := p.endScratch[:0] // in vertices, because the stride may grow yet
	for first := true; ; first = false {
		next, done, f := p.nextItem(at, first)
		if f != nil {
			return nil, next, f
		}
		if done {
			if len(vertexEnds) == 0 {
				return nil, at, faultf(at, "an empty list stands where a list of positions should").mendBy("leave the empty list out")
			}
			p.endScratch = vertexEnds
			p.lineEnds = append(p.lineEnds[:0], vertexEnds...)
			return p.keepEnds(p.lineEnds), next, nil
		}
		next, f = p.positions(next)
		if f != nil {
			return nil, next, f.withinItem(len(vertexEnds))
		}
		vertexEnds = append(vertexEnds, len(p.scratch)/p.stride)
		at = next
	}
}

// positions reads a list of positions into the scratch space.
func (p *parser) positions(at int) (int, *fault) {
	if at >= len(p.data) || p.data[at] != '[' {
		return at, p.unexpected(at, "a list of positions")
	}
	data := p.data
	for n := 0; ; n++ {
		// The usual spelling has no white space between the marks.
		switch {
		case n == 0:
			at++
		case at < len(data) && data[at] == ',':
			at++
		default:
			next, done, f := p.nextItem(at, false)
			if f != nil || done {
				return next, f
			}
			at = next
		}
		if at < len(data) && data[at] != '[' {
			at = jsontext.SkipSpace(data, at)
			if n == 0 && at < len(data) && data[at] == ']' {
				return at, faultf(at, "an empty list stands where a list of positions should").mendBy("leave the empty list out")
			}
		}
		next, f := p.position(at)
		if f != nil {
			return next, f.withinItem(n)
		}
		at = next
	}
}

// position reads one position into the scratch space.
func (p *parser) position(at int) (int, *fault) {
	data := p.data
	if at >= len(data) || data[at] != '[' {
		return at, p.unexpected(at, "a position (a list of numbers)")
	}
	start := at
	var v [3]float64
	n, said, fourth := 0, false, 0.0 // whether a number past the height says something, and what
	at++
	for {
		if at < len(data) && data[at] <= ' ' {
			at = jsontext.SkipSpace(data, at)
		}
		x, next, ok := wire.ScanFloat(data, at, true)
		if !ok {
			if n == 0 && at < len(data) && data[at] == ']' {
				return at, faultf(start, "an empty list stands where a position should").mendBy("leave it out")
			}
			return at, p.noNumber(at).withinItem(n)
		}
		switch {
		case n < 3:
			v[n] = x
		case x != 0:
			said, fourth = true, x
		}
		n++
		at = next
		if at < len(data) && data[at] <= ' ' {
			at = jsontext.SkipSpace(data, at)
		}
		if at < len(data) && data[at] == ',' {
			at++
			continue
		}
		if at < len(data) && data[at] == ']' {
			at++
			break
		}
		return at, p.unexpected(at, "a comma or ]").withinItem(n - 1)
	}
	if p.strict && (v[0] < -180 || v[0] > 180 || v[1] < -90 || v[1] > 90) && n >= 2 {
		return at, outside(start, v[0], v[1])
	}
	switch {
	case n == 2:
		if p.stride == 2 {
			p.scratch = append(p.scratch, v[0], v[1])
		} else {
			p.scratch = append(p.scratch, v[0], v[1], math.NaN())
		}
	case n >= 3:
		if p.stride == 2 {
			p.widen()
		}
		p.scratch = append(p.scratch, v[0], v[1], v[2])
		switch {
		case said:
			p.t.Add("position-fourth", 0, "", "positions have a fourth number that is not 0, first %s: a plan has no place for it, and it was left out; say what it is as a property (a time, how well it was measured), or take it out", plain(fourth))
		case n > 3:
			p.extraNumbers++
		}
	default:
		return at, faultf(start, "a position has at least two numbers; here is one").mendBy("give longitude and latitude")
	}
	return at, nil
}

// plain writes a number for people, without an exponent where that is readable.
func plain(v float64) string {
	if math.Abs(v) < 1e12 {
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}

// widen gives every position read so far an absent height.
func (p *parser) widen() {
	p.stride = 3
	n := len(p.scratch) / 2
	p.scratch = slices.Grow(p.scratch, n)[:3*n]
	for i := n - 1; i >= 0; i-- {
		p.scratch[3*i], p.scratch[3*i+1], p.scratch[3*i+2] = p.scratch[2*i], p.scratch[2*i+1], math.NaN()
	}
}

// noNumber says what stands at data[at] where a number should.
func (p *parser) noNumber(at int) *fault {
	if at < len(p.data) && (p.data[at] == '-' || p.data[at] >= '0' && p.data[at] <= '9' || p.data[at] == '+' || p.data[at] == '.') {
		end := at
		for end < len(p.data) && end-at < 40 && isNumberLike(p.data[end]) {
			end++
		}
		text := string(p.data[at:end])
		if end == len(p.data) {
			return faultf(at, "the file ends inside a number").mendBy("the file is cut off; get it again whole")
		}
		if schema.IsNumber(text) {
			return faultf(at, "%s is past the range of numbers (about 1.8e308)", text)
		}
		return faultf(at, "%q is not a number in JSON's form", text)
	}
	return p.unexpected(at, "a number")
}

func isNumberLike(c byte) bool {
	return c >= '0' && c <= '9' || c == '-' || c == '+' || c == '.' || c == '_' || wire.IsLetter(c)
}

// unexpected says what stands at data[at] instead of what was wanted.
func (p *parser) unexpected(at int, wanted string) *fault {
	if at >= len(p.data) {
		return faultf(len(p.data), "the file ends where %s should stand", wanted).mendBy("the file is cut off; get it again whole")
	}
	got := ""
	switch c := p.data[at]; {
	case c == '{':
		got = "an object"
	case c == '[':
		got = "a list"
	case c == '"':
		got = "a text"
	case c == '-' || c >= '0' && c <= '9':
		got = "a number"
	default:
		end := at
		for end < len(p.data) && end-at < 12 && wire.IsLetter(p.data[end]) {
			end++
		}
		if end == at {
			_, size := utf8.DecodeRune(p.data[at:])
			end += size
		}
		got = strconv.Quote(string(p.data[at:end]))
		switch word := string(p.data[at:end]); word {
		case "null", "true", "false":
			got = word
		}
	}
	return faultf(at, "%s stands where %s should", got, wanted)
}

// nextItem steps to the next item of a list: from its bracket when first, else
// from behind the item before. done is true behind the closing bracket.
func (p *parser) nextItem(at int, first bool) (next int, done bool, f *fault) {
	if first {
		if at >= len(p.data) || p.data[at] != '[' {
			return at, false, p.unexpected(at, "a list")
		}
		at = jsontext.SkipSpace(p.data, at+1)
		if at < len(p.data) && p.data[at] == ']' {
			return at + 1, true, nil
		}
		return at, false, nil
	}
	at = jsontext.SkipSpace(p.data, at)
	switch {
	case at < len(p.data) && p.data[at] == ',':
		return jsontext.SkipSpace(p.data, at+1), false, nil
	case at < len(p.data) && p.data[at] == ']':
		return at + 1, true, nil
	}
	return at, false, p.unexpected(at, "a comma or ]")
}

// scaleEnds turns ends counted in vertices into ends counted in numbers.
func scaleEnds(ends []int, stride int) []int {
	for i := range ends {
		ends[i] *= stride
	}
	return ends
}

// shape gives the coordinates the form of a geometry type. A geometry without
// coordinates is nil.
func (p *parser) shape(typ string, c *coordinates, typeAt int) (geom.T, *fault) {
	depth := depthOf(typ)
	if c.at == 0 {
		return nil, faultf(typeAt, "a %s without coordinates", typ).mendBy("give it coordinates, or make the geometry null")
	}
	if c.empty {
		return nil, nil
	}
	if c.depth != depth {
		return nil, faultf(c.at, "the coordinates of a %s are %s, nested %d deep; here they nest %d deep", typ, depthNames[depth], depth, c.depth).within("coordinates")
	}
	stride := c.layout.Stride()
	switch typ {
	case "Point":
		return geom.NewPointFlat(c.layout, c.flat), nil
	case "MultiPoint":
		return geom.NewMultiPointFlat(c.layout, c.flat), nil
	case "LineString":
		if len(c.flat) < 2*stride {
			return nil, faultf(c.at, "a line has at least two positions; here is one").within("coordinates").mendBy("remove the feature, or make it a Point")
		}
		return geom.NewLineStringFlat(c.layout, c.flat), nil
	case "MultiLineString":
		ends := scaleEnds(c.ends, stride)
		if i := shortRun(ends, 0, 2*stride); i >= 0 {
			return nil, faultf(c.at, "a line has at least two positions; here is one").withinItem(i).within("coordinates").mendBy("remove the line")
		}
		return geom.NewMultiLineStringFlat(c.layout, c.flat, ends), nil
	case "Polygon":
		ends := scaleEnds(c.ends, stride)
		if i := shortRun(ends, 0, 3*stride); i >= 0 {
			return nil, shortRing(c.at, i).within("coordinates")
		}
		return geom.NewPolygonFlat(c.layout, c.flat, ends), nil
	}
	start := 0
	for part, ends := range c.endss {
		scaleEnds(ends, stride)
		if i := shortRun(ends, start, 3*stride); i >= 0 {
			return nil, shortRing(c.at, i).withinItem(part).within("coordinates")
		}
		start = ends[len(ends)-1]
	}
	return geom.NewMultiPolygonFlat(c.layout, c.flat, c.endss), nil
}

func shortRing(at, ring int) *fault {
	return faultf(at, "an outline of one or two positions encloses nothing").withinItem(ring).mendBy("remove the outline, or draw it whole")
}

// shortRun returns the index of the first run that is shorter than least, -1
// when there is none.
func shortRun(ends []int, start, least int) int {
	for i, end := range ends {
		if end-start < least {
			return i
		}
		start = end
	}
	return -1
}

// depthOf returns how deep the coordinates of a type nest, 0 for none of ours.
func depthOf(typ string) int {
	switch typ {
	case "Point":
		return 1
	case "MultiPoint", "LineString":
		return 2
	case "Polygon", "MultiLineString":
		return 3
	case "MultiPolygon":
		return 4
	}
	return 0
}

// outside says why (x, y), which stands at data[at], is no longitude and
// latitude.
func outside(at int, x, y float64) *fault {
	switch {
	case math.Abs(x) <= 90 && math.Abs(y) <= 180:
		return faultf(at, "latitude %v is past 90 degrees", y).mendBy("longitude comes first in GeoJSON: swap the two numbers if latitude was written first")
	case math.Abs(x) <= 180 && math.Abs(y) <= 180:
		return faultf(at, "latitude %v is past 90 degrees", y).mendBy("correct the position")
	case math.Abs(x) <= 540 && math.Abs(y) <= 90:
		return faultf(at, "longitude %v is past 180 degrees", x).mendBy("write longitudes from -180 to 180")
	}
	return faultf(at, "(%s, %s) is no longitude and latitude, and the file names no other coordinate system", plain(x), plain(y)).mendBy("name the system of the coordinates (--from EPSG:...)")
}
