// An outline from a walked track.

package validate

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"swardline/validate/plane"
)

// WalkedPoint is one fixed position of a walk, in metres on the ground, with
// its standard error in metres, NaN when not known.
type WalkedPoint struct {
	At    orb.Point
	Sigma float64
}

// Walk is an outline made of a walked track.
type Walk struct {
	// Ring is closed and runs clockwise, the drive order of a zone; Sigmas are
	// the standard errors of its points, NaN where not known.
	Ring   orb.Ring
	Sigmas []float64
	// Outliers are positions left out, Overlap those past the place where the
	// walk came back to its start, and GapM how far apart start and end were.
	Outliers, Overlap int
	GapM              float64
	// Straights counts sides of 2 m and longer, Curves runs of points on a
	// circle.
	Straights, Curves int
	AreaM2            float64
}

// Bounds of a walk.
const (
	walkOutlierM = 0.5 // a position that far off the line of its neighbours is one gone astray
	walkGapM     = 2.0 // start and end farther apart enclose nothing
	straightM    = 2.0
)

// OutlineOf makes an outline of a walk: positions gone astray are taken out,
// the end is joined to the start where the walk came back to it, and points are
// left out that stand no farther than chordM from the line without them. Errors
// say what is wrong with the walk.
func OutlineOf(pts []WalkedPoint, chordM float64) (*Walk, error) {
	if len(pts) < 4 {
		return nil, fmt.Errorf("the walk has %d fixed positions; an outline needs at least 4", len(pts))
	}
	w := &Walk{}
	kept := []WalkedPoint{pts[0]}
	for i := 1; i < len(pts); i++ {
		if i+1 < len(pts) {
			a, b := kept[len(kept)-1].At, pts[i+1].At
			if off, _, _ := offLine(pts[i].At, a, b); off > walkOutlierM && off > distance(a, b) {
				w.Outliers++
				continue
			}
		}
		kept = append(kept, pts[i])
	}
	end, length, total := 0, 0.0, 0.0
	for i := 1; i < len(kept); i++ {
		total += distance(kept[i-1].At, kept[i].At)
	}
	w.GapM = math.Inf(1)
	for i := 1; i < len(kept); i++ {
		length += distance(kept[i-1].At, kept[i].At)
		if d := distance(kept[i].At, kept[0].At); length > total/2 && d < w.GapM {
			w.GapM, end = d, i
		}
	}
	if !(w.GapM <= walkGapM) {
		return nil, fmt.Errorf("the walk ends %s from its start; walk the outline all the way round", metres(w.GapM))
	}
	w.Overlap = len(kept) - 1 - end
	ring := make(orb.Ring, 0, end+2)
	sigma := map[orb.Point]float64{}
	for _, p := range kept[:end+1] {
		ring = append(ring, p.At)
		sigma[p.At] = p.Sigma
	}
	// The end stands for the start when it is no farther than a chord from it.
	if len(ring) > 3 && distance(ring[len(ring)-1], ring[0]) <= math.Max(chordM, 0.3) {
		ring = ring[:len(ring)-1]
	}
	ring = straightened(append(ring, ring[0]), chordM)
	if len(ring) < 4 {
		return nil, errors.New("the walk encloses nothing")
	}
	if faults := plane.Validate([]orb.Polygon{{ring}}); len(faults) > 0 {
		return nil, fmt.Errorf("the walked outline is not sound (%v); walk it again without crossing your own way", faults[0])
	}
	if plane.Turn(ring) > 0 {
		slices.Reverse(ring)
	}
	w.Ring = ring
	for _, p := range ring {
		w.Sigmas = append(w.Sigmas, sigma[p])
	}
	for i := 1; i < len(ring); i++ {
		if distance(ring[i-1], ring[i]) >= straightM {
			w.Straights++
		}
	}
	w.Curves = len(plane.FitArcs(ring, plane.ArcRule{Tolerance: chordM / 3, MaxRatio: 12}))
	w.AreaM2 = plane.Area(orb.Polygon{ring})
	return w, nil
}

// OutlineDifference is how far two outlines lie apart, in metres.
type OutlineDifference struct {
	// HausdorffM is the greatest distance from a point of either to the other.
	HausdorffM float64
	// MedianM and P95M are distances that half and 95 of 100 of the new
	// outline's length stay within of the old one.
	MedianM, P95M float64
}

// compareM is how far apart, in metres, the places are at which outlines are
// compared.
const compareM = 0.05

// CompareOutlines compares a new outline with an old one, at places 0.05 m
// apart along each (or more finely, for short sides): the Hausdorff distance is
// short by at most half of that.
func CompareOutlines(now, before orb.Ring) OutlineDifference {
	var out OutlineDifference
	var s sketch
	to := func(from, other orb.Ring, add func(float64)) {
		l := plane.NewLocator(orb.Polygon{other})
		for i := 1; i < len(from); i++ {
			a, b := from[i-1], from[i]
			n := max(1, int(math.Ceil(distance(a, b)/compareM)))
			for k := range n {
				f := float64(k) / float64(n)
				d, _ := l.DistanceToBoundary(orb.Point{a[0] + (b[0]-a[0])*f, a[1] + (b[1]-a[1])*f})
				out.HausdorffM = math.Max(out.HausdorffM, d)
				add(d)
			}
		}
	}
	to(now, before, s.add)
	to(before, now, func(float64) {})
	out.MedianM, out.P95M = s.quantile(0.5), s.quantile(0.95)
	return out
}
