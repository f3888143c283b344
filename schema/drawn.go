// Geometry in a text: what a property may hold that no reader takes for ground.

package schema

import (
	"encoding/binary"
	"encoding/hex"
	"math"
	"slices"
	"strconv"
	"strings"
)

// textShapes are the types of geometry of well-known text (OGC 06-103r4).
var textShapes = [...]string{"POINT", "LINESTRING", "LINEARRING", "POLYGON", "CIRCULARSTRING", "COMPOUNDCURVE", "CURVEPOLYGON", "CURVE", "SURFACE", "POLYHEDRALSURFACE", "TIN", "TRIANGLE", "GEOMETRYCOLLECTION"}

// DrawnInText reports whether a text is a geometry: well-known text, with an
// SRID before it or not, well-known binary in hexadecimal, or an object of GeoJSON or TopoJSON with coordinates or arcs.
func DrawnInText(text string) bool {
	s := strings.TrimSpace(text)
	if s == "" {
		return false
	}
	if positions, ok := HexPositions(s); ok {
		return len(positions) > 0
	}
	switch s[0] {
	case '{', '[':
		return strings.Contains(s, `"coordinates"`) || strings.Contains(s, `"arcs"`)
	case 'P', 'p', 'L', 'l', 'M', 'm', 'C', 'c', 'S', 's', 'T', 't', 'G', 'g':
	default:
		return false
	}
	if len(s) > 5 && strings.EqualFold(s[:5], "SRID=") {
		_, s, _ = strings.Cut(s, ";")
	}
	word, rest, found := strings.Cut(s, "(")
	if !found || len(word) > 30 {
		return false
	}
	words := strings.Fields(strings.ToUpper(word))
	if len(words) == 0 || len(words) > 2 {
		return false
	}
	if len(words) == 2 {
		switch words[1] {
		case "Z", "M", "ZM":
		default:
			return false
		}
	}
	shape := strings.TrimPrefix(words[0], "MULTI")
	for _, m := range [...]string{"ZM", "Z", "M"} { // written without a space
		shape = strings.TrimSuffix(shape, m)
	}
	if !slices.Contains(textShapes[:], shape) {
		return false
	}
	rest = strings.ToUpper(strings.TrimLeft(rest, "( \t\r\n"))
	for _, t := range textShapes { // of a collection, and of an outline of curves
		if strings.HasPrefix(rest, t) {
			return true
		}
	}
	numbers := strings.FieldsFunc(rest, func(c rune) bool { return strings.ContainsRune(" \t\r\n,()", c) })
	if len(numbers) < 2 {
		return false
	}
	for _, n := range numbers[:2] {
		if _, err := strconv.ParseFloat(n, 64); err != nil {
			return false
		}
	}
	return true
}

// HexPositions returns the first two numbers of every position of a text that is
// well-known binary in hexadecimal (ISO 13249-3), with the marks that some
// databases add for heights, measures and an SRID, or with the header of a
// GeoPackage before it. ok is false for any other text.
func HexPositions(text string) (positions [][2]float64, ok bool) {
	const least = 2 * (1 + 4 + 2*8) // a point
	text = strings.TrimPrefix(strings.TrimPrefix(strings.TrimSpace(text), `\x`), "0x")
	if len(text) < least || len(text)%2 != 0 || text[0] != '0' && text[0] != '4' {
		return nil, false
	}
	b, err := hex.DecodeString(text)
	if err != nil {
		return nil, false
	}
	if b[0] == 'G' && len(b) > 8 && b[1] == 'P' {
		envelope := [8]int{0, 32, 48, 48, 64}[b[3]>>1&7]
		if b = b[8:]; len(b) < envelope {
			return nil, false
		}
		b = b[envelope:]
	}
	d := hexDecoder{b: b}
	d.geometry(0)
	return d.positions, !d.bad && len(d.b) == 0
}

// hexDecoder reads the positions of well-known binary.
type hexDecoder struct {
	b         []byte
	positions [][2]float64
	bad       bool
}

// take returns the next n bytes, nil when there are fewer.
func (d *hexDecoder) take(n int) []byte {
	if d.bad || n > len(d.b) {
		d.bad = true
		return nil
	}
	out := d.b[:n]
	d.b = d.b[n:]
	return out
}

func (d *hexDecoder) geometry(depth int) {
	head := d.take(5)
	if head == nil || head[0] > 1 || depth > MaxNesting {
		d.bad = true
		return
	}
	var order binary.ByteOrder = binary.BigEndian
	if head[0] == 1 {
		order = binary.LittleEndian
	}
	count := func() int {
		if n := d.take(4); n != nil {
			return int(order.Uint32(n))
		}
		return 0
	}
	kind := order.Uint32(head[1:])
	size := 16
	if kind&0x80000000 != 0 {
		size += 8
	}
	if kind&0x40000000 != 0 {
		size += 8
	}
	if kind&0x20000000 != 0 {
		d.take(4)
	}
	kind &= 0x0fffffff
	switch kind / 1000 {
	case 0:
	case 1, 2:
		size += 8
	case 3:
		size += 16
	default:
		d.bad = true
	}
	line := func(n int) {
		for range n {
			if p := d.take(size); p != nil {
				x, y := math.Float64frombits(order.Uint64(p)), math.Float64frombits(order.Uint64(p[8:]))
				d.positions = append(d.positions, [2]float64{x, y})
			} else {
				return
			}
		}
	}
	switch kind % 1000 {
	case 1:
		line(1)
	case 2, 8:
		line(count())
	case 3, 17:
		for range count() {
			if line(count()); d.bad {
				return
			}
		}
	case 4, 5, 6, 7, 9, 10, 11, 12, 15, 16:
		for range count() {
			if d.geometry(depth + 1); d.bad {
				return
			}
		}
	default:
		d.bad = true
	}
}
