// How far a box of a JSON file may reach beyond what is drawn in it.

package wire

import "math"

// A box that says more ground than what lies in it on a side: boxFarM metres and
// boxFarShare of its size are no margin of a program (common practice, no source).
const boxFarM, boxFarShare, boxDegreeM = 3.0, 0.2, 111_320.0

// BoxFar reports whether a box (west, south, east, north) reaches on a side so far
// beyond what it holds that more was in it when it was written: more than 3 m and more
// than a fifth of what it holds, along that axis. Numbers that may be degrees are taken
// for degrees.
func BoxFar(box, holds [4]float64) bool {
	unit, whole := [2]float64{1, 1}, float64(wholeMetres)
	if math.Max(math.Abs(box[0]), math.Abs(box[2])) <= 180 && math.Max(math.Abs(box[1]), math.Abs(box[3])) <= 90 {
		unit = [2]float64{boxDegreeM * math.Cos(holds[1]*math.Pi/180), boxDegreeM}
		whole = wholeDegrees
	}
	if math.Max(box[2]-box[0], box[3]-box[1]) >= whole {
		return false // that of a system
	}
	for side := range box {
		axis := side % 2
		beyond := holds[side] - box[side]
		if side >= 2 {
			beyond = -beyond
		}
		if beyond*unit[axis] > boxFarM && beyond > boxFarShare*(holds[axis+2]-holds[axis]) {
			return true
		}
	}
	return false
}

// BoxFarSays is what a warning of the kind bbox-far says.
const BoxFarSays = "a bbox is much larger than what is drawn in it: was more in it, which is missing here? ask for all of it, or take the bbox out"
