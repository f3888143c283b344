// Axes: whether coordinates stand the way they should, and inside the area of
// use.

package crs

// AxesVerdict says how coordinates fit the area of use of their CRS.
type AxesVerdict uint8

// The verdicts on axes.
const (
	AxesFit      AxesVerdict = iota + 1 // most points lie in the area as given
	AxesSwapped                         // they do only with east and north exchanged
	AxesMirrored                        // they do only with the signs of the official axes (west, south)
	AxesSigned                          // they do only with a sign changed that no official axis asks for
	AxesNowhere                         // they do in no way
	AxesUnknown                         // no points, or the CRS has no area of use
)

// String names the verdict.
func (v AxesVerdict) String() string {
	switch v {
	case AxesFit:
		return "in the area of use"
	case AxesSwapped:
		return "in the area of use only with east and north swapped"
	case AxesMirrored:
		return "in the area of use only with the signs of the official axes"
	case AxesSigned:
		return "in the area of use only with signs changed"
	case AxesNowhere:
		return "outside the area of use"
	}
	return "unknown"
}

// checkedPoints is how many points JudgeAxes looks at.
const checkedPoints = 200

// JudgeAxes says how coordinates (stride numbers a point, x east or longitude,
// y north or latitude) fit the area of use: as they are, only when x and y are
// swapped, only when they are taken with the signs of the official axes of a
// CRS that counts westward or southward (in either order), or, of another grid,
// only with signs changed, as where westing and southing were written for it.
// More than half of the points decide; of a long slice a few hundred are looked
// at. flat is not changed. For a site grid the area is 100 km about its origin.
func (c *CRS) JudgeAxes(flat []float64, stride int) AxesVerdict {
	if checkStride(flat, stride, 2) != nil || len(flat) == 0 {
		return AxesUnknown
	}
	if _, _, _, _, ok := c.Area(); !ok || c.kind == KindGeocentric {
		return AxesUnknown
	}
	points := len(flat) / stride
	step := max(1, points/checkedPoints)
	var seen, fit, swapped, mirrored, signed int
	for i := 0; i < points; i += step {
		x, y := flat[i*stride], flat[i*stride+1]
		seen++
		if c.insideArea(x, y) {
			fit++
		}
		if c.insideArea(y, x) {
			swapped++
		}
		if c.order.flipX || c.order.flipY {
			p, q := []float64{x, y}, []float64{y, x}
			c.flip(p)
			c.flip(q)
			if c.insideArea(p[0], p[1]) || c.insideArea(q[0], q[1]) {
				mirrored++
			}
		} else if c.kind == KindProjected && (c.insideArea(-x, -y) || c.insideArea(-y, -x) || c.insideArea(-x, y) || c.insideArea(x, -y)) {
			signed++
		}
	}
	switch {
	case 2*fit > seen:
		return AxesFit
	case 2*swapped > seen:
		return AxesSwapped
	case 2*mirrored > seen:
		return AxesMirrored
	case 2*signed > seen:
		return AxesSigned
	}
	return AxesNowhere
}

// CountsWestSouth reports whether the official axes run west and south, as
// those of the South African Lo grids (y, x) and of Krovak's do.
func (c *CRS) CountsWestSouth() bool { return c.order.flipX && c.order.flipY }

// FromWestSouth returns how the westing and southing that two columns of a list
// hold become east and north: swap says that the first is the southing. ok is
// false when the official axes do not run west and south, or when neither order
// lies in the area of use.
func (c *CRS) FromWestSouth(first, second float64) (swap, ok bool) {
	if !c.CountsWestSouth() {
		return false, false
	}
	switch {
	case c.insideArea(-first, -second):
		return false, true
	case c.insideArea(-second, -first):
		return true, true
	}
	return false, false
}

// insideArea reports whether plane coordinates lie in the area of use.
func (c *CRS) insideArea(x, y float64) bool {
	p := [2]float64{x, y}
	if c.toGeodetic(p[:], 2, 0) != nil {
		return false
	}
	return c.kind == KindSite || c.Covers(Degrees(p[0]), Degrees(p[1]))
}

// OutsideArea counts the points that lie outside the area of use, or outside
// the domain of the projection, and gives the index of the first, -1 when there
// is none. flat is not changed.
func (c *CRS) OutsideArea(flat []float64, stride int) (count, first int) {
	first = -1
	if checkStride(flat, stride, 2) != nil || c.kind == KindGeocentric {
		return 0, first
	}
	areas := c.areas()
	for i := 0; i+1 < len(flat); i += stride {
		p := [2]float64{flat[i], flat[i+1]}
		ok := c.toGeodetic(p[:], 2, 0) == nil
		if ok && len(areas) > 0 {
			ok = false
			for k := range areas {
				ok = ok || areas[k].covers(p[0], p[1])
			}
		}
		if !ok {
			if count++; first < 0 {
				first = i / stride
			}
		}
	}
	return count, first
}

// areaCodes are the registry's codes of the areas of use.
func (c *CRS) areaCodes() string {
	if c.kind == KindSite {
		return c.base.areaCodes()
	}
	return c.extents
}
