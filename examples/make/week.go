// A week of logs of the invented machine on the first lawn: it mows eleven
// lanes a day and docks five times. On Tuesday two lanes are left out, on
// Thursday the base has moved before the first docking, and on Friday the fix
// is lost for a while.

package main

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"time"

	"swardline/crs"
)

// The week's events, for the test that holds the report to them.
const (
	weekDays     = 7
	missedDay    = 1 // Tuesday
	movedDay     = 3 // Thursday
	floatDay     = 4 // Friday
	movedE       = 0.030
	movedN       = 0.025
	laneM        = 0.5
	lanesADay    = 11
	dockingsADay = 5
)

// mower writes the log of one day.
type mower struct {
	grid  *crs.CRS
	r     *rand.Rand
	out   bytes.Buffer
	now   time.Time
	at    xy
	fix   int     // quality of GGA
	off   float64 // how far float positions are off, in metres
	e, n  float64 // what a rest on fixed ground is reported off by, in metres
	dated int     // hour of the last sentence with a date
}

// sentence writes one with its checksum.
func (m *mower) sentence(body string) {
	sum := byte(0)
	for _, c := range []byte(body) {
		sum ^= c
	}
	fmt.Fprintf(&m.out, "$%s*%02X\r\n", body, sum)
}

// put reports the place p, off by e and n metres.
func (m *mower) put(p xy, e, n float64, wait time.Duration) {
	const sigma = 0.004
	flat := []float64{falseE + p.x, falseN + p.y}
	if err := m.grid.ToGeodetic(flat, 2); err != nil {
		panic(err) // a place of the park itself
	}
	perLat := 180 / math.Pi / 6371e3
	flat[0] += (e + m.off + sigma*m.r.NormFloat64()) * perLat / math.Cos(flat[1]*math.Pi/180)
	flat[1] += (n + m.off + sigma*m.r.NormFloat64()) * perLat
	clock := m.now.Format("150405.00")
	angle := func(v float64, width int) string {
		whole := math.Floor(v)
		return fmt.Sprintf("%0*d%011.8f", width, int(whole), (v-whole)*60)
	}
	lat, lon := angle(flat[1], 2), angle(flat[0], 3)
	if m.dated != m.now.Hour() {
		m.dated = m.now.Hour()
		m.sentence(fmt.Sprintf("GNRMC,%s,A,%s,N,%s,E,1.9,0.0,%s,,,R", clock, lat, lon, m.now.Format("020106")))
	}
	m.sentence(fmt.Sprintf("GNGGA,%s,%s,N,%s,E,%d,22,0.6,8.0,M,37.0,M,1.0,0001", clock, lat, lon, m.fix))
	m.at = p
	m.now = m.now.Add(wait)
}

// to drives at a metre a second, a position every four seconds.
func (m *mower) to(points ...xy) {
	for _, p := range points {
		from := m.at
		n := max(1, int(math.Ceil(math.Hypot(p.x-from.x, p.y-from.y)/4)))
		step := time.Duration(math.Hypot(p.x-from.x, p.y-from.y) / float64(n) * 1e9).Round(time.Second / 100)
		for i := 1; i <= n; i++ {
			s := float64(i) / float64(n)
			m.put(xy{from.x + (p.x-from.x)*s, from.y + (p.y-from.y)*s}, 0, 0, max(step, time.Second/10))
		}
	}
}

// dock is where the machine rests, lineUp where it turns in, and way the
// corridor from there to the green.
var (
	dock = xy{66, 58}
	way  = []xy{{64, 58}, {48, 58}, {42, 62}, {40, 68.8}, {40, 71.2}}
)

// rest stays in the dock: the contacts hold the machine where they always did,
// and what it reports there differs by as much as the base moved, the other
// way.
func (m *mower) rest() {
	bias := func() float64 { return 0.003 * m.r.NormFloat64() }
	e, n := m.e+bias(), m.n+bias()
	for range 5 {
		m.put(dock, e, n, 10*time.Second)
	}
}

// weekLogs are the week's logs, a file a day.
func weekLogs(grid *crs.CRS) []file {
	var out []file
	for day := range weekDays {
		m := &mower{grid: grid, r: rand.New(rand.NewPCG(2026, uint64(day))), now: time.Date(2026, 5, 11+day, 6, 0, 0, 0, time.UTC), fix: 4, dated: -1}
		if day >= movedDay {
			m.e, m.n = -movedE, -movedN
		}
		m.rest()
		for trip := range dockingsADay {
			m.to(way...)
			m.mow(day, trip)
			for i := len(way) - 1; i >= 0; i-- {
				m.to(way[i])
			}
			m.now = m.now.Add(2 * time.Second)
			m.rest()
			m.now = m.now.Add(20 * time.Minute)
		}
		out = append(out, file{fmt.Sprintf("week/2026-05-%02d.nmea", 11+day), m.out.Bytes()})
	}
	return out
}

// mow drives the trip's lanes of the day's part of the green, up one and down
// the next, and comes back to the corridor along the lawn's near side.
func (m *mower) mow(day, trip int) {
	const near, far = 70.3, 107.7
	first, last := trip*lanesADay/dockingsADay, (trip+1)*lanesADay/dockingsADay
	for lane := first; lane < last; lane++ {
		x := math.Min(20.25+laneM*float64(day*lanesADay+lane), 57.75)
		if day == missedDay && (lane == 4 || lane == 5) {
			continue
		}
		from, to := near, far
		if (lane-first)%2 == 1 {
			from, to = far, near
		}
		m.to(xy{x, from})
		if day == floatDay && lane == 4 {
			m.fix, m.off = 5, 0.4
		}
		m.to(xy{x, to})
		m.fix, m.off = 4, 0
		if lane == last-1 && to == far {
			m.to(xy{x, near})
		}
	}
	m.to(xy{40, near})
}
