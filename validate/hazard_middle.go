// Lines of roads that other features show to be their middle: what of
// hazard-uncovered is about how wide those are.

package validate

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"swardline/schema"
)

const (
	// middleShare is how far beside the middle, as a share of the width, a line of a
	// road may lie and be taken for its middle; one nearer to a side is that side.
	middleShare = 0.2
	// middleStepM is how far from an end of a line, in metres, the kerbs beside it are looked for.
	middleStepM = 1.0
)

// middleOf records a line of a road, without width, that goes on in the middle of an
// area of one, or between two kerbs that are those of a street, with what is driven
// nearer than half of their width: for the area with the hazard's margin beside it,
// for kerbs without, since behind one there is mown.
func (r *run) middleOf(f *Feature, hazards []*Feature, zones *solids, corridors []corridorLine) bool {
	var lines orb.Collection
	for _, l := range f.lines() {
		lines = append(lines, l)
	}
	most := streetMostM/2 + r.hazardMargin(f)
	if !isBorder(f) || !r.nearDriven(lines, f.bound.Pad(most), most, zones, corridors) {
		return false
	}
	near := func(reach float64) bool {
		return r.nearDriven(lines, f.bound.Pad(reach), reach-slackM, zones, corridors)
	}
	for i := range f.Lines {
		l := f.Lines[i].Ground
		for _, last := range [...]bool{false, true} {
			at := l[0]
			if last {
				at = l[len(l)-1]
			}
			way, ok := unit(backAlong(l, last, endLeastM), at)
			if !ok {
				continue
			}
			if wide, of := middleOfArea(f, at, way, hazards); of != nil && near(wide/2+r.hazardMargin(f)) {
				r.cannot("%s goes on in the middle of %s, %s wide, and says nothing of how wide it is itself: with the same width it reaches to what is driven; give it width_m, or draw its area", f.describe(), of.describe(), metres(wide))
				return true
			}
			if wide, a, b := r.betweenKerbs(at, way); a != nil && near(wide/2) {
				r.cannot("%s lies in the middle between %s and %s, %s apart, and says nothing of how wide it is: as wide as they are apart it reaches over what is driven; give it width_m, or draw its area", f.describe(), a.describe(), b.describe(), metres(wide))
				return true
			}
		}
	}
	return false
}

// middleOfArea is an area of a road in whose end, or from whose end, the middle goes on
// at a point, and how wide it is there; nil for none.
func middleOfArea(f *Feature, at, way orb.Point, hazards []*Feature) (wide float64, of *Feature) {
	for _, g := range hazards {
		if g == f || !g.usable() || !isBorder(g) || !g.bound.Pad(endFree).Contains(at) {
			continue
		}
		for i := range g.Areas {
			ring := g.Areas[i].Ground[0]
			if len(ring) <= 3 {
				continue
			}
			for _, e := range appendTips(nil, g, ring, func(p orb.Point) bool { return distance(p, at) <= endMostM }) {
				dx, dy := at[0]-e.at[0], at[1]-e.at[1]
				along, off := dx*e.way[0]+dy*e.way[1], math.Abs(dx*e.way[1]-dy*e.way[0])
				if e.wide >= streetLeastM-slackM && e.wide <= streetMostM+slackM && math.Abs(along) <= endFree && off <= middleShare*e.wide && e.way[0]*way[0]+e.way[1]*way[1] <= -0.86 {
					return e.wide, g
				}
			}
		}
	}
	return 0, nil
}

// betweenKerbs is how far two kerbs are apart, like those of a street, in whose middle a
// way lies just before an end or behind it, and those; nil for none.
func (r *run) betweenKerbs(at, way orb.Point) (apart float64, a, b *Feature) {
	if !slices.ContainsFunc(r.Of(schema.RoleEdge), func(f *Feature) bool { return edgeKind(f) == schema.EdgeKerb }) {
		return 0, nil, nil
	}
	for _, t := range [...]float64{middleStepM, -middleStepM} {
		p := orb.Point{at[0] + t*way[0], at[1] + t*way[1]}
		near := kerbsNear(r.kerbs(schema.EdgeKerb), orb.LineString{at, p})
		left, fl := besideKerb(p, way[0], way[1], near, 1)
		right, fr := besideKerb(p, way[0], way[1], near, -1)
		if apart = left + right; fl != nil && fr != nil && apart >= streetLeastM-slackM && apart <= streetMostM+slackM && math.Abs(left-right)/2 <= middleShare*apart {
			return apart, fl, fr
		}
	}
	return 0, nil, nil
}
