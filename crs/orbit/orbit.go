// Package orbit knows navigation satellites: where they are, where they stand
// in the sky of a place, and how well they fix a position from there.
//
// A Satellite carries the elements of its orbit, whatever they came from: the
// slots that the operators publish (Nominal), an almanac or a navigation file
// (Read). Position propagates them by the user algorithm of IS-GPS-200, which
// Galileo and BeiDou share with other constants; GLONASS state vectors are
// integrated as its interface document says.
//
// A Day is the sky of one place over a span of time, computed once; Horizon is
// what hides parts of it, and Day.Behind counts satellites and dilution of
// precision behind a horizon. One Day serves a whole site: a satellite at
// 20,000 km seen from two places 3 km apart differs by under 0.01 degrees.
//
// Positions are in earth-centred, earth-fixed axes in metres. The differences
// between the frames of the systems (WGS 84, GTRF, CGCS2000, PZ-90) are
// decimetres and do not matter to a direction; earth rotation during the
// signal's travel (30 m across) is left out for the same reason, and so are
// polar motion and UT1 - UTC.
package orbit

import (
	"fmt"
	"math"
)

// System is a satellite navigation system, by the letter of RINEX 3.
type System byte

// The systems.
const (
	GPS     System = 'G'
	GLONASS System = 'R'
	Galileo System = 'E'
	BeiDou  System = 'C'
	QZSS    System = 'J'
)

// systemNames stand in the order in which reports name them.
var systemNames = []struct {
	system System
	name   string
}{{GPS, "gps"}, {Galileo, "galileo"}, {GLONASS, "glonass"}, {BeiDou, "beidou"}, {QZSS, "qzss"}}

// String returns the system's name in lower case, "gps".
func (s System) String() string {
	for _, x := range systemNames {
		if x.system == s {
			return x.name
		}
	}
	return fmt.Sprintf("system %c", byte(s))
}

// index is the system's place in systemNames, at most len(systemNames).
func (s System) index() int {
	for i, x := range systemNames {
		if x.system == s {
			return i
		}
	}
	return len(systemNames)
}

// Systems returns which systems the satellites belong to, in the order of
// reports.
func Systems(sats []Satellite) []System {
	var out []System
	for _, x := range systemNames {
		for i := range sats {
			if sats[i].System == x.system {
				out = append(out, x.system)
				break
			}
		}
	}
	return out
}

// earthRotation is the earth's rate of rotation in rad/s: IS-GPS-200 table
// 20-IV and the Galileo OS SIS ICD table 58 for the first, the BeiDou B1I
// interface document section 5.2.4.12 for the second.
const (
	earthRotation       = 7.2921151467e-5
	earthRotationBeiDou = 7.292115e-5
)

// mu is the earth's gravitational constant in m3/s2: IS-GPS-200 table 20-IV for
// GPS and QZSS, the Galileo OS SIS ICD table 58 and the BeiDou B1I interface
// document section 5.2.4.12 for the others.
func (s System) mu() float64 {
	switch s {
	case GPS, QZSS:
		return 3.986005e14
	}
	return 3.986004418e14
}

func (s System) earthRotation() float64 {
	if s == BeiDou {
		return earthRotationBeiDou
	}
	return earthRotation
}

// Satellite is one satellite with the elements of its orbit. Angles are in
// radians, lengths in metres, rates per second. The symbols in brackets are
// those of IS-GPS-200.
type Satellite struct {
	System System
	// ID names it: a slot such as "D3", or system and number such as "G07".
	ID string
	// Healthy is false when its own data say that it is not to be used.
	Healthy bool
	// Epoch is the time of the elements [toe].
	Epoch Time

	// SemiMajorAxis is in metres [A]; 0 when the satellite has a State instead.
	SemiMajorAxis float64
	// Eccentricity has no unit [e].
	Eccentricity float64
	// Inclination and its rate [i0, IDOT].
	Inclination, InclinationRate float64
	// Node is the longitude of the ascending node from Greenwich at Epoch, and
	// NodeRate its rate in inertial axes [Omega0 - OmegaE toe, OMEGADOT].
	Node, NodeRate float64
	// Perigee is the argument of perigee [omega].
	Perigee float64
	// MeanAnomaly is at Epoch [M0]; MeanMotionCorrection is added to the mean
	// motion [delta n].
	MeanAnomaly, MeanMotionCorrection float64
	// Harmonics are the corrections to argument of latitude, radius (in metres)
	// and inclination [Cuc, Cus, Crc, Crs, Cic, Cis].
	Cuc, Cus, Crc, Crs, Cic, Cis float64

	// State replaces the elements where the system broadcasts one (GLONASS).
	State *State
}

// Position returns where the satellite is, in earth-fixed axes and metres, by
// the user algorithm of IS-GPS-200 table 20-IV; for the satellites of BeiDou
// over the equator with the turn of its interface document section 5.2.4.12.
// Error: that of the elements; broadcast ones are good to metres for two hours
// each way, almanacs to kilometres for weeks.
func (s *Satellite) Position(t Time) (x, y, z float64) {
	if s.State != nil {
		return s.State.position(t)
	}
	tk := float64(t - s.Epoch)
	a, e := s.SemiMajorAxis, s.Eccentricity
	n := math.Sqrt(s.System.mu()/(a*a*a)) + s.MeanMotionCorrection
	ek := eccentricAnomaly(s.MeanAnomaly+n*tk, e)
	sinE, cosE := math.Sincos(ek)
	nu := math.Atan2(math.Sqrt(1-e*e)*sinE, cosE-e)
	phi := nu + s.Perigee
	s2, c2 := 0.0, 0.0
	if s.wavers() {
		s2, c2 = math.Sincos(2 * phi)
	}
	u := phi + s.Cus*s2 + s.Cuc*c2
	r := a*(1-e*cosE) + s.Crs*s2 + s.Crc*c2
	i := s.Inclination + s.InclinationRate*tk + s.Cis*s2 + s.Cic*c2
	su, cu := math.Sincos(u)
	xp, yp := r*cu, r*su
	si, ci := math.Sincos(i)
	rate := s.System.earthRotation()
	if s.tilted() {
		return s.tiltedPosition(tk, xp, yp, si, ci)
	}
	so, co := math.Sincos(s.Node + (s.NodeRate-rate)*tk)
	return xp*co - yp*ci*so, xp*so + yp*ci*co, yp * si
}

// wavers reports whether there are harmonics; an almanac and a slot have none.
func (s *Satellite) wavers() bool {
	return s.Cuc != 0 || s.Cus != 0 || s.Crc != 0 || s.Crs != 0 || s.Cic != 0 || s.Cis != 0
}

// tilted tells the broadcast elements of a BeiDou satellite over the equator,
// which hold in axes turned by 5 degrees so that the inclination is not near 0.
func (s *Satellite) tilted() bool {
	return s.System == BeiDou && s.SemiMajorAxis > 4e7 && s.Inclination < 20*radPerDeg && s.Inclination > 0.1*radPerDeg
}

func (s *Satellite) tiltedPosition(tk, xp, yp, si, ci float64) (x, y, z float64) {
	so, co := math.Sincos(s.Node + s.NodeRate*tk)
	xg, yg, zg := xp*co-yp*ci*so, xp*so+yp*ci*co, yp*si
	// Rx(-5 degrees), then Rz(OmegaE tk).
	s5, c5 := math.Sincos(-5 * radPerDeg)
	yt, zt := yg*c5+zg*s5, -yg*s5+zg*c5
	sw, cw := math.Sincos(earthRotationBeiDou * tk)
	return xg*cw + yt*sw, -xg*sw + yt*cw, zt
}

const radPerDeg = math.Pi / 180

// eccentricAnomaly solves Kepler's equation M = E - e sin E by Newton's method,
// to 1e-14 rad. It converges for every e below 1; orbits read have e under 0.9.
func eccentricAnomaly(m, e float64) float64 {
	m = math.Remainder(m, 2*math.Pi)
	if e == 0 {
		return m
	}
	x := m + e*math.Sin(m)
	if e > 0.5 {
		x = math.Copysign(math.Pi, m)
	}
	for range 50 {
		d := (x - e*math.Sin(x) - m) / (1 - e*math.Cos(x))
		x -= d
		if math.Abs(d) < 1e-14 {
			break
		}
	}
	return x
}
