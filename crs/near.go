// Near: the grids a local would use at a place.

package crs

import (
	"fmt"
	"math"
	"sort"
	"strings"
)

// Suggestion is a CRS that fits a place.
type Suggestion struct {
	CRS      *CRS
	Accuracy Metres  // of the best datum step from a present-day frame (ITRF2014), as stated
	Known    bool    // whether an accuracy is stated at all
	AreaKm2  float64 // of the box of the area of use
	Scale    float64 // point scale factor at the place
	Angle    float64 // convergence at the place in degrees
}

// notForGround are the projection methods of world maps and statistics: a plan
// does not stand in them, so they come last.
var notForGround = map[int]bool{1024: true, 1026: true, 1027: true, 1028: true, 1029: true, 1078: true, 9804: true, 9805: true, 9820: true, 9822: true, 9834: true, 9835: true, 9816: true, 9824: true}

// Near ranks the projected CRSs whose area of use holds the place, the one a
// local would most likely use first: the smaller the area of use the better, in
// powers of four; then the accuracy of the way from a present-day frame into it.
// An accuracy worse than 0.15 m, 1.5 m or 15 m, or none stated, weighs as much
// as an area 2, 4 or 64 times as large; a place at the very edge of the area, a
// grid for work offshore, and a scale factor off by more than 1 in 2000 weigh
// too. World maps and grids for statistics come last. Coordinates are degrees
// on any modern datum. The weights are a rule of thumb without a source.
func Near(lat, lon Degrees) ([]Suggestion, error) {
	at := Geodetic{Lon: lon, Lat: lat}
	if err := checkGeodetic(at); err != nil {
		return nil, err
	}
	today, err := epsgCRS(9000) // ITRF2014
	if err != nil {
		return nil, fmt.Errorf("near: %w", err)
	}
	type accuracy struct {
		v  Metres
		ok bool
	}
	byDatum := map[int]accuracy{}
	var out []Suggestion
	pt := projectedTable()
	for i, code := range pt.codes {
		covered := false
		for _, e := range extentsOf(pt.at(i)[4]) {
			covered = covered || e.covers(float64(lon), float64(lat))
		}
		if !covered {
			continue
		}
		c, err := epsgCRS(int(code))
		if err != nil {
			continue // a method not supported
		}
		s := Suggestion{CRS: c}
		if s.Scale, s.Angle, err = c.ScaleAt(at); err != nil {
			continue // the box holds the place, the projection does not reach it
		}
		w, so, e, n, _ := c.Area()
		if w > e {
			e += 360
		}
		s.AreaKm2 = 6371 * 6371 * (e - w) * radPerDeg * (math.Sin(n*radPerDeg) - math.Sin(so*radPerDeg))
		a, known := byDatum[c.datum.code]
		if !known {
			op, err := NewOperation(today, c.Base(), OperationOptions{FromEpoch: 2020, ToEpoch: 2020, Near: &at})
			if err == nil {
				a.v, a.ok = op.Accuracy()
			}
			byDatum[c.datum.code] = a
		}
		s.Accuracy, s.Known = a.v, a.ok
		out = append(out, s)
	}
	weight := func(s *Suggestion) float64 { return math.Round(2*s.weight(at)) / 2 }
	sort.SliceStable(out, func(i, j int) bool {
		a, b := &out[i], &out[j]
		if x, y := weight(a), weight(b); x != y {
			return x < y
		}
		if a.Known != b.Known {
			return a.Known
		}
		if a.Accuracy != b.Accuracy {
			return a.Accuracy < b.Accuracy
		}
		if x, y := math.Round(math.Abs(a.Scale-1)*1e5), math.Round(math.Abs(b.Scale-1)*1e5); x != y {
			return x < y
		}
		if a.CRS.order.swap != b.CRS.order.swap {
			return b.CRS.order.swap // east first is what files hold
		}
		return a.CRS.code < b.CRS.code
	})
	return out, nil
}

// weight is the suggestion's distance from what a local would use, in powers of
// four of the area.
func (s *Suggestion) weight(at Geodetic) float64 {
	w := math.Log2(math.Max(s.AreaKm2, 1)) / 2
	switch {
	case !s.Known || s.Accuracy > 15:
		w += 3
	case s.Accuracy > 1.5:
		w++
	case s.Accuracy > 0.15:
		w += 0.5
	}
	if math.Abs(s.Scale-1) > 1./2000 {
		w += 0.5
	}
	if name := strings.ToLower(s.CRS.AreaName()); strings.Contains(name, "offshore") && !strings.Contains(name, "onshore") {
		w += 3
	}
	if west, south, east, north, ok := s.CRS.Area(); ok {
		if west > east {
			east += 360
		}
		dx := math.Abs(wrap180(float64(at.Lon)-(west+east)/2)) / ((east - west) / 2)
		dy := math.Abs(float64(at.Lat)-(south+north)/2) / ((north - south) / 2)
		if math.Max(dx, dy) > 0.9 {
			w += 1.5
		}
	}
	if notForGround[s.CRS.conv.method] {
		w += 100
	}
	return w
}
