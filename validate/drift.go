// # Drift: what happens on the ground when the base changes
//
// This part of the package says what becomes of a plan on the ground when the
// base, its stored coordinates or its frame changes.
//
// An RTK base at the true antenna position A stores coordinates S and sends
// corrections that make a rover report
//
//	C = S + b,   b = P - A
//
// where P is the rover's true position and b the measured baseline. The machine
// steers until C equals the coordinates Q of its plan, so on the ground it
// stands at
//
//	P = Q + A - S.
//
// Let A and S change by dA and dS.
//
//   - A plan held as coordinates keeps Q, so the ground moves by d = dA - dS.
//   - A plan held as offsets o from the base has Q = S + o, so P = o + A and the
//     ground moves by d = dA, whatever was stored.
//
// Hence the cases: (a) the antenna moves and the stored coordinates stay: d =
// dA both ways; (b) the antenna stands and the stored coordinates change: d =
// -dS for coordinates, none for offsets; (c) both: the sums above; (d) the
// frame or epoch of the stored coordinates changes while the plan is not
// converted with it: dS is the difference of the two frames at the base; (e) a
// pole of length L leans by the angle a towards a bearing: dA is L sin a on
// that bearing and L (1 - cos a) down; (f) heights: the up component is carried
// through all of it.
//
// A rover held over a mark reports S + A's baseline to it, so marks measured
// again show dS - dA: what they show is enough for a plan held as coordinates,
// and needs dS beside it for one held as offsets.
//
// Vectors are taken east, north and up at the base on the plan's ellipsoid.
// Across a site of 500 m those axes turn by 8e-5 rad, so a movement of 1 m
// differs by less than 0.1 mm from one end to the other; one vector therefore
// serves the site.
//
// A correction gives every feature the coordinates Q - d with d = dA - dS, and
// the base what is now stored, S + dS. The same coordinates serve both ways of
// holding: their offsets from the new base are o - dA.
package validate

import (
	"errors"
	"fmt"
	"math"

	"swardline/crs"
	"swardline/schema"
)

// Held says what a machine keeps of its plan.
type Held string

// The ways of holding a plan.
const (
	HeldOffsets     Held = "offsets"     // offsets from the base
	HeldCoordinates Held = "coordinates" // coordinates in the frame of the base
)

// HeldOf reads the plan's member "held"; stated is false when it has none and
// coordinates are assumed, which is the worse case of the two. Any other word
// is an error.
func HeldOf(p *schema.Plan) (held Held, stated bool, err error) {
	v := p.Attributes.Get(schema.PlanHeld)
	if v.IsAbsent() || v.Kind() == schema.KindNull {
		return HeldCoordinates, false, nil
	}
	switch h := Held(v.Text()); h {
	case HeldOffsets, HeldCoordinates:
		return h, true, nil
	}
	return "", true, fmt.Errorf("the plan's member held must be %q or %q, not %q", HeldOffsets, HeldCoordinates, v.Text())
}

// Movement is what changed at the base: the true antenna position and the
// stored coordinates, each as east, north and up in metres, new minus old.
type Movement struct {
	Antenna, Stored crs.Local
	// NoHeight is set when up is not known and stands for nothing.
	NoHeight bool
}

// MaxMovementM is the largest movement that is still one of a base. Past it the
// numbers describe another site or a slip of the pen.
const MaxMovementM = 100

// Displacement is how far the driven ground moves: east, north and up in
// metres.
func (m Movement) Displacement(held Held) crs.Local {
	d := m.Antenna
	if held == HeldCoordinates {
		d.E -= m.Stored.E
		d.N -= m.Stored.N
		d.U -= m.Stored.U
	}
	return d
}

// Check gives an error for a movement that is no base's.
func (m Movement) Check() error {
	for _, v := range []crs.Local{m.Antenna, m.Stored} {
		for _, x := range []crs.Metres{v.E, v.N, v.U} {
			if math.IsNaN(float64(x)) || math.IsInf(float64(x), 0) {
				return errors.New("a movement must be finite numbers of metres")
			}
		}
		if d := math.Hypot(float64(v.E), float64(v.N)); d > MaxMovementM {
			return fmt.Errorf("the base would have moved by %.1f m; a base that moved more than %d m stands on another site, so look at the numbers", d, MaxMovementM)
		}
		if math.Abs(float64(v.U)) > MaxMovementM {
			return fmt.Errorf("the base would have moved by %.1f m in height; look at the numbers", float64(v.U))
		}
	}
	return nil
}

// Lean is the movement of an antenna on top of a pole of lengthM metres that
// leans by angleDeg degrees from the vertical towards bearingDeg (degrees
// clockwise from true north), its foot staying where it is.
func Lean(angleDeg, lengthM, bearingDeg float64) (Movement, error) {
	if !(angleDeg >= 0 && angleDeg <= 90) {
		return Movement{}, fmt.Errorf("a pole leans by 0 to 90 degrees, not %g", angleDeg)
	}
	if !(lengthM > 0 && lengthM <= MaxMovementM) {
		return Movement{}, fmt.Errorf("a pole is longer than 0 and at most %d m long, not %g", MaxMovementM, lengthM)
	}
	if !(bearingDeg >= 0 && bearingDeg <= 360) {
		return Movement{}, fmt.Errorf("a bearing runs from 0 to 360 degrees, not %g", bearingDeg)
	}
	a, b := angleDeg*math.Pi/180, bearingDeg*math.Pi/180
	h := lengthM * math.Sin(a)
	return Movement{Antenna: crs.Local{
		E: crs.Metres(h * math.Sin(b)), N: crs.Metres(h * math.Cos(b)),
		// 1 - cos a as 2 sin^2(a/2), which keeps its digits for small leans.
		U: crs.Metres(-2 * lengthM * math.Pow(math.Sin(a/2), 2)),
	}}, nil
}

// Between is the vector in metres from one position to another on the plan's
// ellipsoid: east and north of the topocentric system at the first, and up as
// the difference of the two heights. A NaN height in either leaves up at 0.
func Between(c *crs.CRS, from, to crs.Geodetic) (crs.Local, error) {
	if from.H != from.H || to.H != to.H {
		from.H, to.H = 0, 0
	}
	grid, err := gridAt(c, from)
	if err != nil {
		return crs.Local{}, err
	}
	flat := []float64{float64(to.Lon), float64(to.Lat), float64(to.H)}
	if err := grid.FromGeodetic(flat, 3); err != nil {
		if math.Abs(float64(to.Lat)) <= 90 && math.Abs(float64(to.Lon)) <= 360 { // what is left is the distance
			err = fmt.Errorf("latitude %.7g, longitude %.7g lies more than 100 km from latitude %.7g, longitude %.7g: that is another site", float64(to.Lat), float64(to.Lon), float64(from.Lat), float64(from.Lon))
		}
		return crs.Local{}, err
	}
	return crs.Local{E: crs.Metres(flat[0]), N: crs.Metres(flat[1]), U: to.H - from.H}, nil
}

// SameBaseM is how near two positions are the same base, in metres along the
// ground: common practice, no source.
const SameBaseM = 1.0

// ApartM is how far two positions stand apart along the ground in metres, false
// where that cannot be told.
func ApartM(c *crs.CRS, a, b crs.Geodetic) (float64, bool) {
	a.H, b.H = 0, 0
	v, err := Between(c, a, b)
	if err != nil {
		return 0, false
	}
	return math.Hypot(float64(v.E), float64(v.N)), true
}

// gridAt is a plain site grid at a position: true north up, scale 1, no false
// origin.
func gridAt(c *crs.CRS, at crs.Geodetic) (*crs.CRS, error) {
	return crs.NewSite(crs.SiteGrid{Origin: at, Scale: 1, Base: c.Base()})
}
