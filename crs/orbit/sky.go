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

	rays []ray
	ends []int // of step i in rays
	mem  *memory

	// Azimuths and elevations cost more than all else here, and most questions
	// can be answered without: they are worked out when they are asked for.
	binsOnce   sync.Once
	bins       []uint16 // the azimuth of a ray as a Horizon knows it
	byBin      []int32  // the rays from bin to bin
	binStarts  []int32  // where those of a bin begin in byBin, and behind all the end
	steps      []uint16 // the step of a ray
	sightsOnce sync.Once
	sights     []Sight
}

// memory is what a Day and the first Open of it are made in, and what others are
// made in when it is let go.
type memory struct {
	rays           []ray
	ends           []int
	kinds          []int32
	sums, left     []gather
	hidden, looked []int32
	turns          []uint8
	turned         []turnedRay
	taken          bool // by an Open
}

var memories = sync.Pool{New: func() any { return new(memory) }}

// mostKept is how many rays are kept room for: four times those of an hourly day.
const mostKept = 1 << 12

// Release lets go of the Day's memory for another: neither the Day nor an Open
// of it may be asked anything afterwards. Views of it stay. It need not be called.
func (d *Day) Release() {
	m := d.mem
	if m == nil {
		return
	}
	m.rays, m.ends, m.taken, d.mem = d.rays, d.ends, false, nil
	d.rays, d.ends = nil, nil
	if cap(m.rays) <= mostKept {
		memories.Put(m)
	}
}

// cleared returns n zeros in the memory of buf, which grows when it has to.
func cleared[T any](buf *[]T, n int) []T {
	if cap(*buf) < n {
		*buf = make([]T, n)
		return *buf
	}
	out := (*buf)[:n]
	clear(out)
	return out
}

// ray is the unit vector towards a satellite: east, north, up.
type ray struct {
	e, n, u float64
	sat     int32
	kind    int32 // index of its system
}

// wgs84A and wgs84InvF are the ellipsoid of the place.
const (
	wgs84A    = 6378137
	wgs84InvF = 298.257223563
)

// mostSteps bounds a Day: a week by the minute.
const mostSteps = 7 * 24 * 60

// NewDay computes the sky at a place for steps moments from start, step seconds
// apart. Satellites that are not healthy are left out. Azimuth and elevation
// are those of the topocentric system of EPSG method 9837 on WGS 84.
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
	row := make([][3]float64, len(healthy))
	return newDay(healthy, at, start, step, steps, 0, 0, func(k int) [][3]float64 {
		for i := range row {
			row[i][0], row[i][1], row[i][2] = healthy[i].Position(start + Time(float64(k)*step))
		}
		return row
	})
}

// newDay looks at healthy satellites whose positions are given by step, none of
// them nearer to the earth's centre than so many metres; those that stand lower
// than so many degrees are left out.
func newDay(sats []Satellite, at crs.Geodetic, start Time, step float64, steps int, lowest, nearest float64, positions func(k int) [][3]float64) (*Day, error) {
	if math.IsNaN(float64(at.H)) {
		at.H = 0 // a height of 9 km turns a direction by under 0.03 degrees
	}
	top, err := crs.NewTopocentric(at, wgs84A, wgs84InvF)
	if err != nil {
		return nil, fmt.Errorf("sky: %w", err)
	}
	m := memories.Get().(*memory)
	d := &Day{Satellites: sats, At: at, Start: start, Step: step, ends: m.ends[:0], mem: m}
	kinds := cleared(&m.kinds, len(sats))
	for i := range sats {
		kinds[i] = int32(sats[i].System.index())
	}
	least := 0.0
	if lowest > 0 {
		least = math.Sin(math.Min(lowest, 90) * radPerDeg)
	}
	// No site lies as far as highestM from the earth's centre.
	const highestM = wgs84A + 150e3
	plainlyLow := 0.0
	if at.H < 100e3 {
		plainlyLow = least * max(0, nearest-highestM) * (1 - 1e-9)
	}
	// Of satellites all round the earth a good third stand above one horizon.
	if d.rays = m.rays[:0]; cap(d.rays) == 0 {
		d.rays = make([]ray, 0, steps*len(sats)*2/5)
	}
	for k := range steps {
		for i, p := range positions(k) {
			g := crs.Geocentric{X: crs.Metres(p[0]), Y: crs.Metres(p[1]), Z: crs.Metres(p[2])}
			if !(top.Up(g) > plainlyLow) {
				continue
			}
			l := top.FromGeocentric(g)
			e, n, u := float64(l.E), float64(l.N), float64(l.U)
			r := math.Sqrt(e*e + n*n + u*u)
			if u /= r; u >= least {
				d.rays = append(d.rays, ray{e / r, n / r, u, int32(i), kinds[i]})
			}
		}
		d.ends = append(d.ends, len(d.rays))
	}
	return d, nil
}

// azimuth is from true north, clockwise, 0 to 360, and elevation from the level
// plane; in degrees.
func (x *ray) azimuth() float64 {
	az := math.Atan2(x.e, x.n) / radPerDeg
	if az < 0 {
		az += 360
	}
	if az >= 360 {
		az = 0 // -1e-17 + 360
	}
	return az
}

func (x *ray) elevation() float64 { return math.Asin(x.u) / radPerDeg }

// azimuthBins gives the bin of a Horizon in which each ray lies.
func (d *Day) azimuthBins() []uint16 {
	d.binsOnce.Do(func() {
		n := len(d.rays)
		both := make([]uint16, 2*n)
		d.bins, d.steps = both[:n:n], both[n:]
		at := make([]int32, n+horizonBins+1)
		d.byBin, d.binStarts = at[:n:n], at[n:]
		for i := range d.rays {
			d.bins[i] = uint16(binOf(d.rays[i].azimuth()))
			d.binStarts[d.bins[i]+1]++
		}
		for b := range horizonBins {
			d.binStarts[b+1] += d.binStarts[b]
		}
		var next [horizonBins]int32
		for k := range d.ends {
			from, to := d.span(k)
			for i := from; i < to; i++ {
				b := d.bins[i]
				d.byBin[d.binStarts[b]+next[b]] = int32(i)
				next[b]++
				d.steps[i] = uint16(k)
			}
		}
	})
	return d.bins
}

// Steps is the number of steps.
func (d *Day) Steps() int { return len(d.ends) }

// Sights returns what stands above the level plane at step k; the slice belongs
// to the Day.
func (d *Day) Sights(k int) []Sight {
	d.sightsOnce.Do(func() {
		d.sights = make([]Sight, len(d.rays))
		for i := range d.rays {
			x := &d.rays[i]
			d.sights[i] = Sight{Satellite: int(x.sat), Azimuth: x.azimuth(), Elevation: x.elevation(), E: x.e, N: x.n, U: x.u}
		}
	})
	from, to := d.span(k)
	return d.sights[from:to]
}

// span says where the rays of step k stand.
func (d *Day) span(k int) (from, to int) {
	if k > 0 {
		from = d.ends[k-1]
	}
	return from, d.ends[k]
}

// Time returns the moment of step k.
func (d *Day) Time(k int) Time { return d.Start + Time(float64(k)*d.Step) }

// nominalAt keeps where the nominal satellites are at the moments of a day,
// which is the same for every place, by number of steps.
var nominalAt sync.Map // int to *nominalDay

type nominalDay struct {
	sats []Satellite
	pos  [][][3]float64 // by step, then satellite
	// nearest is the least distance of one from the earth's centre, in metres.
	nearest float64
}

// NominalDay is NewDay for the nominal slots of all systems over a day in so
// many steps; the orbits are worked out once for all places. Satellites that
// stand lower than so many degrees are left out.
func NominalDay(at crs.Geodetic, steps int, lowest float64) (*Day, error) {
	if steps < 1 || steps > mostSteps {
		return nil, fmt.Errorf("sky: %d steps; from 1 to %d are computed", steps, mostSteps)
	}
	kept, ok := nominalAt.Load(steps)
	if !ok {
		sats, err := Nominal(0)
		if err != nil {
			return nil, err
		}
		n := &nominalDay{sats: sats, nearest: math.Inf(1)}
		for k := range steps {
			t := Time(float64(k) * secondsPerDay / float64(steps))
			row := make([][3]float64, len(sats))
			for i := range sats {
				row[i][0], row[i][1], row[i][2] = sats[i].Position(t)
				n.nearest = min(n.nearest, math.Hypot(math.Hypot(row[i][0], row[i][1]), row[i][2]))
			}
			n.pos = append(n.pos, row)
		}
		kept, _ = nominalAt.LoadOrStore(steps, n)
	}
	n := kept.(*nominalDay)
	return newDay(n.sats, at, 0, secondsPerDay/float64(steps), steps, lowest, n.nearest, func(k int) [][3]float64 { return n.pos[k] })
}
