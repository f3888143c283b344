// What hides parts of the sky of a place.

package orbit

import "math"

// binsPerDegree is how finely a Horizon knows azimuths.
const binsPerDegree = 2

// horizonBins is the number of azimuth bins.
const horizonBins = 360 * binsPerDegree

// Horizon says which directions are hidden, by azimuth in steps of half a
// degree. A bin hides what anything in it hides: the error is on the side of a
// smaller sky. The zero Horizon hides nothing.
type Horizon struct {
	// top is the elevation in degrees up to which everything is hidden.
	top [horizonBins]float32
	// bands hide from one elevation to another, as a crown above its trunk
	// does.
	bands [][]band
	// All is hidden below least, and nothing above most.
	least, most float32
}

type band struct{ low, high float32 }

// HideBelow hides everything below the elevation, in degrees, in every azimuth,
// such as the mask of a receiver.
func (h *Horizon) HideBelow(elevation float64) {
	for i := range h.top {
		h.top[i] = max(h.top[i], float32(elevation))
	}
	h.least, h.most = max(h.least, float32(elevation)), max(h.most, float32(elevation))
}

// Hide hides the elevations from low to high, in degrees, in the azimuths from
// one to the other, clockwise, in degrees. A low of 0 or less hides all from
// the ground up.
func (h *Horizon) Hide(from, to, low, high float64) {
	if !(high > low) || math.IsNaN(from) || math.IsNaN(to) {
		return
	}
	span := math.Mod(to-from, 360)
	if span < 0 {
		span += 360
	}
	if span == 0 && to != from {
		span = 360
	}
	first := int(math.Floor(wrap360(from) * binsPerDegree))
	last := int(math.Floor((wrap360(from) + span) * binsPerDegree))
	if last-first >= horizonBins {
		last = first + horizonBins - 1
	}
	for i := first; i <= last; i++ {
		h.hideBin(i%horizonBins, low, high)
	}
}

func (h *Horizon) hideBin(i int, low, high float64) {
	h.most = max(h.most, float32(high))
	if float32(low) <= h.top[i] || low <= 0 {
		h.top[i] = max(h.top[i], float32(high))
		return
	}
	if h.bands == nil {
		h.bands = make([][]band, horizonBins)
	}
	h.bands[i] = append(h.bands[i], band{float32(low), float32(high)})
}

// Hides tells whether a direction is hidden; azimuth from 0 to 360, degrees.
func (h *Horizon) Hides(azimuth, elevation float64) bool { return h.hidesIn(binOf(azimuth), elevation) }

// binOf is the bin of an azimuth from 0 to 360 degrees.
func binOf(azimuth float64) int { return min(int(azimuth*binsPerDegree), horizonBins-1) }

func (h *Horizon) hidesIn(i int, elevation float64) bool {
	el := float32(elevation)
	if el < h.top[i] {
		return true
	}
	if h.bands != nil {
		for _, b := range h.bands[i] {
			if el >= b.low && el <= b.high {
				return true
			}
		}
	}
	return false
}

// Over returns a horizon that hides what h and other hide.
func (h *Horizon) Over(other *Horizon) *Horizon {
	out := *h
	out.least, out.most = max(h.least, other.least), max(h.most, other.most)
	for i := range out.top {
		out.top[i] = max(out.top[i], other.top[i])
	}
	if other.bands != nil {
		out.bands = make([][]band, horizonBins)
		for i := range out.bands {
			if h.bands != nil {
				out.bands[i] = append(out.bands[i], h.bands[i]...)
			}
			out.bands[i] = append(out.bands[i], other.bands[i]...)
		}
	}
	return &out
}

// Top returns the elevation in degrees up to which all is hidden in the
// azimuth.
func (h *Horizon) Top(azimuth float64) float64 {
	return float64(h.top[int(wrap360(azimuth)*binsPerDegree)%horizonBins])
}

// Bands calls f for every part of a bin that is hidden above its top: azimuths
// and elevations in degrees.
func (h *Horizon) Bands(f func(from, to, low, high float64)) {
	for i, bands := range h.bands {
		for _, b := range bands {
			f(float64(i)/binsPerDegree, float64(i+1)/binsPerDegree, float64(b.low), float64(b.high))
		}
	}
}

// HiddenShare is the part of the sky above the mask, in degrees, that the
// horizon hides: by solid angle, 0 to 1.
func (h *Horizon) HiddenShare(mask float64) float64 {
	// The solid angle between two elevations in a bin is in proportion to the
	// difference of their sines (Archimedes).
	sine := func(el float64) float64 { return math.Sin(math.Min(math.Max(el, mask), 90) * radPerDeg) }
	floor := sine(mask)
	whole := 1 - floor
	if whole <= 0 || float64(h.most) <= mask {
		return 0
	}
	var hidden float64
	for i := range h.top {
		reach := float64(h.top[i])
		part := 0.0
		if reach > mask { // of most directions nothing is hidden
			part = sine(reach) - floor
		}
		if h.bands != nil && len(h.bands[i]) > 0 {
			part += bandsAbove(h.bands[i], reach, sine)
		}
		hidden += part
	}
	return hidden / (whole * horizonBins)
}

// bandsAbove adds up what bands hide above reach, overlaps once.
func bandsAbove(bands []band, reach float64, sine func(float64) float64) float64 {
	sorted := append([]band(nil), bands...)
	for i := 1; i < len(sorted); i++ {
		for k := i; k > 0 && sorted[k].low < sorted[k-1].low; k-- {
			sorted[k], sorted[k-1] = sorted[k-1], sorted[k]
		}
	}
	var sum float64
	for _, b := range sorted {
		low, high := math.Max(float64(b.low), reach), float64(b.high)
		if high > low {
			sum += sine(high) - sine(low)
			reach = high
		}
	}
	return sum
}

func wrap360(a float64) float64 {
	a = math.Mod(a, 360)
	if a < 0 {
		a += 360
	}
	if a >= 360 {
		a = 0
	}
	return a
}
