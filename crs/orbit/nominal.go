// The slots that the operators publish: a sky that needs no file.

package orbit

import (
	"fmt"
	"math"
)

// NominalSky says where the nominal constellations come from and what they
// leave out, for reports.
const NominalSky = "nominal slots: GPS SPS Performance Standard (October 2001) table 3-1, 24 satellites; " +
	"Galileo OS Service Definition Document 1.1 tables 1 and 23, 24; " +
	"GLONASS interface control document 5.1 section 5.2, 24; " +
	"BeiDou Open Service Performance Standard 3.0 section 4.1, 24 in middle orbits and 3 over the equator " +
	"(its phase is not published and taken as 0; the 3 inclined geosynchronous ones are left out, their nodes are not published)"

// Nominal returns the published slots of the systems, every one healthy; nil
// means all four. Each constellation stands as at its own reference epoch,
// moved to the time at: between the systems the phase means nothing, so what is
// computed from them are shares of a day and never times of one.
func Nominal(at Time, systems ...System) ([]Satellite, error) {
	if len(systems) == 0 {
		systems = []System{GPS, Galileo, GLONASS, BeiDou}
	}
	var out []Satellite
	for _, s := range systems {
		switch s {
		case GPS:
			out = append(out, nominalGPS(at)...)
		case Galileo:
			out = append(out, nominalGalileo(at)...)
		case GLONASS:
			out = append(out, nominalGLONASS(at)...)
		case BeiDou:
			out = append(out, nominalBeiDou(at)...)
		default:
			return nil, fmt.Errorf("no published slots are known here for %s", s)
		}
	}
	return out, nil
}

// gpsArguments are the arguments of latitude in degrees of the slots of planes
// A to F; GPS SPS Performance Standard (October 2001) table 3-1. D3 is 35.156
// there; a reprint has 35.136.
var gpsArguments = [6][4]float64{
	{268.126, 161.786, 11.676, 41.806},
	{80.956, 173.336, 309.976, 204.376},
	{111.876, 11.796, 339.666, 241.556},
	{135.226, 265.446, 35.156, 167.356},
	{197.046, 302.596, 66.066, 333.686},
	{238.886, 345.226, 105.206, 135.346},
}

func nominalGPS(at Time) []Satellite {
	// Right ascensions of the nodes count from the equinox; the Greenwich hour
	// angle at the epoch, 18 h 36 m 14.4 s, takes them to the earth. Rate of
	// the nodes: table A-2-1, in degrees a second.
	const hourAngle = (18 + 36.0/60 + 14.4/3600) * 15
	out := make([]Satellite, 0, 24)
	for plane, slots := range gpsArguments {
		node := math.Mod(272.847+60*float64(plane)-hourAngle+360, 360)
		for k, u := range slots {
			id := string([]byte{'A' + byte(plane), '1' + byte(k)})
			out = append(out, circular(GPS, id, at, 26559.7e3, 55, node, -4.4874e-7, u))
		}
	}
	return out
}

func nominalGalileo(at Time) []Satellite {
	// Node of plane A and argument of latitude of its first slot at 2016-11-21
	// 00:00 UTC; the node counts from the equinox. Rate of the nodes in degrees
	// a day, from the reference constellation.
	epoch, _ := calendar(2016, 11, 21, 0, 0, 17)
	node := 317.632 - siderealAngle(epoch)/radPerDeg
	return walker(Galileo, at, 29599.801e3, 56, node, -0.02764398/secondsPerDay, 180.153)
}

func nominalGLONASS(at Time) []Satellite {
	// Nodes from Greenwich and arguments of latitude at 1983-01-01 00:00 Moscow
	// time. Rate of the nodes from the flattening of the earth.
	const radius, inclination = 6378.136e3 + 19100e3, 64.8
	rate := nodeRate(radius, inclination)
	out := make([]Satellite, 0, 24)
	for j := 1; j <= 24; j++ {
		plane := (j - 1) / 8
		u := 145 + 26.0/60 + 37.0/3600 + 15*float64(27-3*j+25*plane)
		node := 251.25 + 120*float64(plane)
		out = append(out, circular(GLONASS, string([]byte{'R', '0' + byte(j/10), '0' + byte(j%10)}), at, radius, inclination, math.Mod(node, 360), rate, u))
	}
	return out
}

func nominalBeiDou(at Time) []Satellite {
	const earth = 6378.137e3
	const radius = earth + 21528e3
	out := walker(BeiDou, at, radius, 55, 0, nodeRate(radius, 55), 0)
	for k, lon := range [...]float64{80, 110.5, 140} {
		// Over the equator node and argument add up to the longitude; the
		// motion is the earth's own, which the published height gives within
		// 0.2 %.
		s := circular(BeiDou, fmt.Sprintf("GEO%d", k+1), at, earth+35786e3, 0, lon, 0, 0)
		a := s.SemiMajorAxis
		s.MeanMotionCorrection = earthRotationBeiDou - math.Sqrt(BeiDou.mu()/(a*a*a))
		out = append(out, s)
	}
	return out
}

// walker lays out a Walker pattern 24/3/1: three planes 120 degrees apart,
// eight slots 45 degrees apart, 15 degrees on from one plane to the next.
func walker(system System, at Time, radius, inclination, node, rate, argument float64) []Satellite {
	out := make([]Satellite, 0, 24)
	for plane := range 3 {
		for slot := range 8 {
			id := string([]byte{'A' + byte(plane), '0', '1' + byte(slot)})
			u := argument + 45*float64(slot) + 15*float64(plane)
			out = append(out, circular(system, id, at, radius, inclination, node+120*float64(plane), rate, u))
		}
	}
	return out
}

// circular returns a satellite on a circle: radius in metres, inclination,
// longitude of the node from Greenwich and argument of latitude in degrees,
// rate of the node in degrees a second.
func circular(system System, id string, at Time, radius, inclination, node, rate, argument float64) Satellite {
	return Satellite{
		System: system, ID: id, Healthy: true, Epoch: at,
		SemiMajorAxis: radius, Inclination: inclination * radPerDeg,
		Node: node * radPerDeg, NodeRate: rate * radPerDeg,
		MeanAnomaly: argument * radPerDeg,
	}
}

// nodeRate is the secular rate of the node of a circular orbit from the earth's
// flattening, in degrees a second: -3/2 J2 (R/a)2 n cos i (Kaula, Theory of
// Satellite Geodesy, 1966, eq. 3.74).
func nodeRate(radius, inclination float64) float64 {
	const j2, earth = 1.0826257e-3, 6378.136e3
	n := math.Sqrt(3.986004418e14 / (radius * radius * radius))
	return -1.5 * j2 * (earth / radius) * (earth / radius) * n * math.Cos(inclination*radPerDeg) / radPerDeg
}
