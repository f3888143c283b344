// The sky of a place over a span of time.

package orbit

import (
	"fmt"
	"math"
	"sync"

	"swardline/crs"
)

// Sight is the direction in which a satellite stands.
type Sight struct {
	// Satellite is its index in Day.Satellites.
	Satellite int
	// Azimuth is from true north, clockwise, 0 to 360; Elevation from the level
	// plane; both in degrees.
	Azimuth, Elevation float64
	// E, N, U are the unit vector towards it: east, north, up.
	E, N, U float64
}

// Day is what stands above the level plane at one place, step by step.
type Day struct {
	Satellites []Satellite
	// At is the place: degrees and metres above the ellipsoid.
	At crs.Geodetic
	// Start is the first step and Step the seconds between steps.
	Start Time
	Step  float64

	sights []Sight
	ends   []int // of step i in sights
	kinds  []int // system index of a satellite
}

// wgs84A and wgs84InvF are the ellipsoid of the place.
const (
	wgs84A    = 6378137
	wgs84InvF = 298.257223563
)

// mostSteps bounds a Day: a week by the minute.
const mostSteps = 7 * 24 * 60

// NewDay computes the sky at a place for steps moments from start, step seconds
// apart. Satellites that are not healthy are left out. Azimuth and elevation are
// those of the topocentric system of EPSG method 9837 on WGS 84.
func NewDay(sats []Satellite, at crs.Geodetic, start Time, step float64, steps int) (*Day, error) {
	if !(step > 0) || math.IsInf(step, 0) {
		return nil, fmt.Errorf("sky: a step of %v seconds", step)
	}
	if steps < 1 || steps > mostSteps {
		return nil, fmt.Errorf("sky: %d steps; from 1 to %d are computed", steps, mostSteps)
	}
	healthy := make([]Satellite, 0, len(sats))
	for i := range sats {
		if sats[i].Healthy {
			healthy = append(healthy, sats[i])
		}
	}
	return newDay(healthy, at, start, step, steps, func(k, i int) (x, y, z float64) {
		return healthy[i].Position(start + Time(float64(k)*step))
	})
}

// newDay looks at healthy satellites whose positions are given by step and number.
func newDay(sats []Satellite, at crs.Geodetic, start Time, step float64, steps int, position func(k, i int) (x, y, z float64)) (*Day, error) {
	if math.IsNaN(float64(at.H)) {
		at.H = 0 // a height of 9 km turns a direction by under 0.03 degrees
	}
	top, err := crs.NewTopocentric(at, wgs84A, wgs84InvF)
	if err != nil {
		return nil, fmt.Errorf("sky: %w", err)
	}
	d := &Day{Satellites: sats, At: at, Start: start, Step: step, ends: make([]int, 0, steps)}
	for i := range sats {
		d.kinds = append(d.kinds, sats[i].System.index())
	}
	// Of satellites all round the earth a good third stand above one horizon.
	d.sights = make([]Sight, 0, steps*len(sats)*2/5)
	for k := range steps {
		for i := range sats {
			x, y, z := position(k, i)
			l := top.FromGeocentric(crs.Geocentric{X: crs.Metres(x), Y: crs.Metres(y), Z: crs.Metres(z)})
			if s, up := sightOf(i, float64(l.E), float64(l.N), float64(l.U)); up {
				d.sights = append(d.sights, s)
			}
		}
		d.ends = append(d.ends, len(d.sights))
	}
	return d, nil
}

func sightOf(i int, e, n, u float64) (Sight, bool) {
	if !(u > 0) {
		return Sight{}, false
	}
	r := math.Sqrt(e*e + n*n + u*u)
	az := math.Atan2(e, n) / radPerDeg
	if az < 0 {
		az += 360
	}
	if az >= 360 {
		az = 0 // -1e-17 + 360
	}
	return Sight{Satellite: i, Azimuth: az, Elevation: math.Asin(u/r) / radPerDeg, E: e / r, N: n / r, U: u / r}, true
}

// Steps is the number of steps.
func (d *Day) Steps() int { return len(d.ends) }

// Sights returns what stands above the level plane at step k; the slice belongs
// to the Day.
func (d *Day) Sights(k int) []Sight {
	from := 0
	if k > 0 {
		from = d.ends[k-1]
	}
	return d.sights[from:d.ends[k]]
}

// Time returns the moment of step k.
func (d *Day) Time(k int) Time { return d.Start + Time(float64(k)*d.Step) }

// nominalAt keeps where the nominal satellites are at the moments of a day, which is
// the same for every place, by number of steps.
var nominalAt sync.Map // int to *nominalDay

type nominalDay struct {
	sats []Satellite
	pos  [][][3]float64 // by step, then satellite
}

// NominalDay is NewDay for the nominal slots of all systems over a day in so many
// steps; the orbits are worked out once for all places.
func NominalDay(at crs.Geodetic, steps int) (*Day, error) {
	if steps < 1 || steps > mostSteps {
		return nil, fmt.Errorf("sky: %d steps; from 1 to %d are computed", steps, mostSteps)
	}
	kept, ok := nominalAt.Load(steps)
	if !ok {
		sats, err := Nominal(0)
		if err != nil {
			return nil, err
		}
		n := &nominalDay{sats: sats}
		for k := range steps {
			t := Time(float64(k) * secondsPerDay / float64(steps))
			row := make([][3]float64, len(sats))
			for i := range sats {
				row[i][0], row[i][1], row[i][2] = sats[i].Position(t)
			}
			n.pos = append(n.pos, row)
		}
		kept, _ = nominalAt.LoadOrStore(steps, n)
	}
	n := kept.(*nominalDay)
	return newDay(n.sats, at, 0, secondsPerDay/float64(steps), steps, func(step, sat int) (x, y, z float64) {
		p := n.pos[step][sat]
		return p[0], p[1], p[2]
	})
}
