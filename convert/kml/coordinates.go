// Coordinate lists: reading KML's lon,lat[,alt] tuples in all the spellings
// that leave no doubt, and writing them.

package kml

import (
	"fmt"
	"math"

	"swardline/convert/wire"
	"swardline/convert/wire/xml"
)

// groupCut bounds how many numbers linked by commas are looked at before the
// text is given up as no list of tuples.
const groupCut = 1 << 20

// tuples reads a coordinate list and appends it to r.flat, three numbers a
// vertex, NaN for an altitude that is not there. base is the offset of the text
// in the document, for errors.
//
// Tuples are parted by white space, their numbers by commas. White space beside
// a comma is taken as carelessness when the numbers so linked are two or three,
// and a comma after a whole tuple when the groups between such commas are all
// pairs or all triples; both are counted in a warning. Anything else could be
// read in two ways and is refused.
func (r *reader) tuples(text []byte, base int) error {
	i, n := 0, len(text)
	for {
		for i < n && xml.IsSpace(text[i]) {
			i++
		}
		if i == n {
			return nil
		}
		from := i
		group := r.group[:0]
		breaks := r.breaks[:0] // how many numbers stood before each comma with white space beside it
		trailing := false
		for {
			j := i
			for j < n && !isTupleEnd[text[j]] {
				j++
			}
			v, ok := wire.ParseFloat(text[i:j])
			if !ok {
				return r.badNumber(text, i, j, base)
			}
			group = append(group, v)
			if len(group) > groupCut {
				return r.fail(base+from, fmt.Sprintf("more than %d numbers are linked by commas", groupCut), mendTuple)
			}
			for i = j; i < n && xml.IsSpace(text[i]); i++ {
			}
			if i == n || text[i] != ',' {
				break
			}
			spaced := i > j
			j = i + 1
			for i = j; i < n && xml.IsSpace(text[i]); i++ {
			}
			if i == n {
				trailing = true
				break
			}
			if spaced || i > j {
				breaks = append(breaks, len(group))
			}
		}
		r.group, r.breaks = group, breaks
		if trailing {
			r.warn("coordinates-comma", base+from, 1, "a comma stands after a tuple; it was passed over")
		}
		switch {
		case len(group) == 2 || len(group) == 3:
			if len(breaks) > 0 {
				r.warn("coordinates-spaced", base+from, 1, "white space stands inside a tuple; it was read as one place")
			}
			if err := r.vertex(group, base+from); err != nil {
				return err
			}
		default:
			size := evenGroups(len(group), breaks)
			if size == 0 {
				return r.badGroup(text[from:i], len(group), base+from)
			}
			r.warn("coordinates-comma", base+from, len(group)/size-1, "commas stand between tuples; each was read as a gap")
			for k := 0; k < len(group); k += size {
				if err := r.vertex(group[k:k+size], base+from); err != nil {
					return err
				}
			}
		}
	}
}

// evenGroups returns 2 or 3 when the breaks part n numbers into groups of that
// many throughout, else 0.
func evenGroups(n int, breaks []int) int {
	if len(breaks) == 0 {
		return 0
	}
	size := breaks[0]
	if size != 2 && size != 3 || n != size*(len(breaks)+1) {
		return 0
	}
	for k, at := range breaks {
		if at != size*(k+1) {
			return 0
		}
	}
	return size
}

var isTupleEnd = [256]bool{' ': true, '\t': true, '\n': true, '\r': true, ',': true}

const mendTuple = "write longitude,latitude[,altitude] without white space inside, a point as decimal mark, and white space between tuples"

func (r *reader) badNumber(text []byte, i, j, base int) error {
	word := wire.Clip(text[i:j], 60)
	if word == "" {
		return r.fail(base+i, "a number is missing beside a comma", mendTuple)
	}
	if isDecimal(text[i:j]) {
		return r.fail(base+i, fmt.Sprintf("%s is past the range of a number", word), "correct the coordinate")
	}
	return r.fail(base+i, fmt.Sprintf("%q is not a number", word), mendTuple)
}

// isDecimal reports whether the text has the form of a decimal number, whatever
// its size.
func isDecimal(b []byte) bool {
	for _, c := range b {
		if (c < '0' || c > '9') && c != '+' && c != '-' && c != '.' && c != 'e' && c != 'E' {
			return false
		}
	}
	return len(b) > 0 && b[len(b)-1] >= '0' && b[len(b)-1] <= '9'
}

func (r *reader) badGroup(text []byte, n, at int) error {
	text = trimSpace(text)
	if n == 1 {
		return r.fail(at, fmt.Sprintf("%q is one number where a tuple of two or three should stand", wire.Clip(text, 60)), mendTuple)
	}
	return r.fail(at, fmt.Sprintf("%q links %d numbers by commas, which can be read in more than one way", wire.Clip(text, 60), n), mendTuple)
}

// vertex appends one vertex of two or three numbers.
func (r *reader) vertex(t []float64, at int) error {
	lon, lat, alt := t[0], t[1], math.NaN()
	if len(t) == 3 {
		alt = t[2]
	}
	if r.degrees && !(lon >= -180 && lon <= 180 && lat >= -90 && lat <= 90) {
		switch {
		case !(lat >= -90 && lat <= 90) && lon >= -90 && lon <= 90 && lat >= -180 && lat <= 180:
			return r.fail(at, fmt.Sprintf("the latitude %v is past 90 degrees", lat), "KML wants longitude first: longitude and latitude may be swapped")
		case !(lat >= -90 && lat <= 90):
			return r.fail(at, fmt.Sprintf("the latitude %v is past 90 degrees", lat), "KML holds degrees of WGS 84: correct it, or name the file's CRS if these are no degrees")
		}
		return r.fail(at, fmt.Sprintf("the longitude %v is past 180 degrees", lon), "KML holds degrees of WGS 84: correct it, or name the file's CRS if these are no degrees")
	}
	if r.vertices++; float64(r.vertices) > r.caps.InputMaxVertices {
		return r.fail(at, fmt.Sprintf("the file has more than %.0f points (limit input_max_vertices)", r.caps.InputMaxVertices), "split it, or raise the limit in a limits file")
	}
	r.flat = append(r.flat, lon, lat, alt)
	return nil
}

// trackTuple reads the content of a gx:coord: two or three numbers parted by
// white space. Nothing at all means that the place is not known.
func (r *reader) trackTuple(text []byte, base int) (known bool, err error) {
	group := r.group[:0]
	for i := 0; i < len(text); {
		if xml.IsSpace(text[i]) {
			i++
			continue
		}
		j := i
		for j < len(text) && !xml.IsSpace(text[j]) {
			j++
		}
		v, ok := wire.ParseFloat(text[i:j])
		if !ok {
			return false, r.badNumber(text, i, j, base)
		}
		if group = append(group, v); len(group) > 3 {
			break
		}
		i = j
	}
	r.group = group
	switch len(group) {
	case 0:
		return false, nil
	case 2, 3:
		return true, r.vertex(group, base)
	}
	return false, r.fail(base, fmt.Sprintf("%q is no place: two or three numbers should stand there", wire.Clip(text, 60)), "write longitude latitude [altitude], parted by blanks")
}

// appendTuples appends the vertices flat as a KML coordinate list. alt is the
// index of the height in a vertex, -1 for none; a height that is NaN is left
// out. The error names the first vertex that is no place on earth.
func appendTuples(dst []byte, flat []float64, stride, alt int) ([]byte, error) {
	for i := 0; i+stride <= len(flat); i += stride {
		lon, lat := flat[i], flat[i+1]
		if !(lon >= -180 && lon <= 180 && lat >= -90 && lat <= 90) {
			return dst, fmt.Errorf("point %d: %v, %v is no longitude and latitude in degrees", i/stride+1, lon, lat)
		}
		if i > 0 {
			dst = append(dst, ' ')
		}
		dst = wire.AppendFixed(dst, lon, wire.DegreeDecimals)
		dst = append(dst, ',')
		dst = wire.AppendFixed(dst, lat, wire.DegreeDecimals)
		if alt < 0 {
			continue
		}
		h := flat[i+alt]
		if math.IsNaN(h) {
			continue
		}
		if math.IsInf(h, 0) {
			return dst, fmt.Errorf("point %d: the height is infinite", i/stride+1)
		}
		dst = append(dst, ',')
		dst = wire.AppendFixed(dst, h, wire.LengthDecimals)
	}
	return dst, nil
}
