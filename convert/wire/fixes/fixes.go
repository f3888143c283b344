// Package fixes is what logs of a satellite receiver have in common: positions
// with their time and how well they were known, and the plan that a log makes.
package fixes

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"time"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

// Quality is how a receiver knew a position, in the words of schema.PropFix.
type Quality string

// The qualities, from best to worst.
const (
	Fixed        Quality = "fixed"        // carrier phases with fixed ambiguities
	Float        Quality = "float"        // carrier phases, ambiguities not fixed
	PPP          Quality = "ppp"          // precise point positioning
	Differential Quality = "differential" // code corrected by a base or a satellite
	Single       Quality = "single"       // code alone
	Estimated    Quality = "estimated"    // dead reckoning
	Manual       Quality = "manual"       // entered by hand
	Simulated    Quality = "simulated"    // no real position
	None         Quality = "none"         // no position
)

// Fix is one position of a log. What is not known is NaN, or 0 for counts.
type Fix struct {
	// Time is in UTC. Dated is false when the log gives no date: then only the
	// time of day and the number of midnights since the log began count.
	Time  time.Time
	Dated bool
	// Lat and Lon are degrees in the frame of the corrections, which logs do
	// not name; Height is above the ellipsoid, Level above the receiver's geoid
	// model, both in metres.
	Lat, Lon, Height, Level float64
	Quality                 Quality
	Satellites              int
	HDOP                    float64
	// SigmaE, SigmaN and SigmaU are standard errors in metres.
	SigmaE, SigmaN, SigmaU float64
	// Age is how old the corrections were, in seconds.
	Age float64
	// Speed is metres a second, Course degrees from north.
	Speed, Course float64
	// Line is where the position stands in the file.
	Line int
}

// Unknown is a fix of which nothing is known.
func Unknown() Fix {
	nan := math.NaN()
	return Fix{Lat: nan, Lon: nan, Height: nan, Level: nan, HDOP: nan, SigmaE: nan, SigmaN: nan, SigmaU: nan, Age: nan, Speed: nan, Course: nan, Quality: None}
}

// Sigma is the horizontal standard error in metres, the root of the sum of both
// squares; NaN when it is not known.
func (f *Fix) Sigma() float64 { return math.Hypot(f.SigmaE, f.SigmaN) }

// Log takes a log line by line.
type Log interface {
	// Line takes the next line, n from 1.
	Line(line []byte, n int) error
	// Close ends the log.
	Close() error
}

// NewLog makes ready for a log: damage goes to t, and every position to yield.
type NewLog func(t *wire.Tally, yield func(Fix) error) Log

// Lines gives a log all of its lines. The error is the log's.
func Lines(data []byte, l Log) error {
	for n := 1; len(data) > 0; n++ {
		line, rest, _ := bytes.Cut(data, []byte{'\n'})
		data = rest
		if err := l.Line(line, n); err != nil {
			return err
		}
	}
	return l.Close()
}

// Read reads a log of the named format as a plan (see collector.plan). Errors are
// *wire.InputError.
func Read(data []byte, o *wire.ReadOptions, format string, log NewLog) (*schema.Plan, []wire.Warning, error) {
	var t wire.Tally
	data, err := wire.CheckText(data, o.Name, &t)
	if err != nil {
		return nil, nil, err
	}
	c := newCollector(o)
	if err := Lines(data, log(&t, c.take)); err != nil {
		return nil, nil, named(err, o.Name)
	}
	p, err := c.plan(format, &t)
	if err != nil {
		return nil, nil, err
	}
	return p, t.Warnings(), nil
}

// named gives an error of reading the name of the file.
func named(err error, file string) error {
	if in, ok := err.(*wire.InputError); ok && in.File == "" {
		in.File = file
	}
	return err
}

// collector keeps of the positions of a log what its plan needs, in a third of
// the room that they take themselves.
type collector struct {
	o       *wire.ReadOptions
	most    float64   // positions
	n       int       // positions so far
	places  []float64 // longitude and latitude
	heights []float64 // above the ellipsoid
	levels  []float64
	times   []int64 // milliseconds, undated
	words   []uint8 // index in qualities
	sigmas  []float64
	line    int // of the first that is kept
	none    int // positions of the quality None
	noneAt  int // line of the first of them

	ellipsoidal, level, dated, known int // how many have what

	qualities []Quality
}

// undated is no time.
const undated = math.MinInt64

func newCollector(o *wire.ReadOptions) *collector {
	return &collector{o: o, most: o.Caps().InputMaxVertices}
}

// take takes a position.
func (c *collector) take(f Fix) error {
	if c.n++; float64(c.n) > c.most {
		return &wire.InputError{Problem: fmt.Sprintf("there are more positions than the limit input_max_vertices (%.0f)", c.most), Mend: "split it, or raise the limit in a limits file"}
	}
	if f.Quality == None || math.IsNaN(f.Lat) || math.IsNaN(f.Lon) {
		if c.none++; c.none == 1 {
			c.noneAt = f.Line
		}
		return nil
	}
	if len(c.words) == 0 {
		c.line = f.Line
	}
	if !math.IsNaN(f.Height) {
		c.ellipsoidal++
	} else if !math.IsNaN(f.Level) {
		c.level++
	}
	c.places = append(c.places, f.Lon, f.Lat)
	c.heights, c.levels = append(c.heights, f.Height), append(c.levels, f.Level)
	at := int64(undated)
	if f.Dated {
		at = f.Time.UnixMilli()
		c.dated++
	}
	c.times = append(c.times, at)
	word := slices.Index(c.qualities, f.Quality)
	if word < 0 {
		word = len(c.qualities)
		c.qualities = append(c.qualities, f.Quality)
	}
	c.words = append(c.words, uint8(word))
	s := f.Sigma()
	if !math.IsNaN(s) {
		s = wire.Round(s, 4)
		c.known++
	}
	c.sigmas = append(c.sigmas, s)
	return nil
}

// plan makes the plan of a log: one line through all positions in their order,
// or a point where there is but one, with the attributes schema.PropTimes,
// schema.PropFix and schema.PropSigma, a value a point. Positions of the
// quality None are left out and counted. Heights are above the ellipsoid; where
// the log has only heights above a geoid these are taken, and told.
func (c *collector) plan(format string, t *wire.Tally) (*schema.Plan, error) {
	p := &schema.Plan{CRS: crs.WGS84(), Source: schema.Source{File: c.o.Name, Format: format}}
	if told := c.o.CRS; told != nil {
		// A log says no frame, so naming one is no contradiction; but it is in
		// degrees.
		if !told.IsDegrees() {
			return nil, &wire.InputError{File: c.o.Name, Problem: fmt.Sprintf("a log has latitudes and longitudes, but %s has none", told.ID()), Mend: "name the geographic system of the corrections, or leave it out"}
		}
		p.CRS = told
	}
	if c.none > 0 {
		t.AddN("fix-none", c.none, c.noneAt, "", "the receiver had no position at times; those were left out")
	}
	n := len(c.words)
	if n == 0 {
		return nil, &wire.InputError{File: c.o.Name, Problem: "the log holds no position", Mend: "check that the receiver had a fix and that the right file was sent"}
	}
	heights := c.heights
	if c.ellipsoidal == 0 && c.level > 0 {
		heights = c.levels
		t.AddN("height-geoid", c.level, c.line, "", "heights are above the receiver's own geoid model, not above the ellipsoid")
	}
	if n > c.dated {
		t.AddN("date-unknown", n-c.dated, c.line, "", "the log does not say which day it was at; those positions have no time")
	}
	layout, flat := geom.XY, c.places
	if c.ellipsoidal+c.level > 0 {
		layout, flat = geom.XYZ, make([]float64, 0, 3*n)
		for i, h := range heights {
			flat = append(flat, c.places[2*i], c.places[2*i+1], h)
		}
	}
	c.places, c.heights, c.levels = nil, nil, nil
	f := &schema.Feature{Role: schema.RoleOther, Source: schema.Source{Line: c.line}, Geometry: geom.NewLineStringFlat(layout, flat)}
	if n == 1 {
		f.Geometry = geom.NewPointFlat(layout, flat)
	}
	if c.dated > 0 {
		f.Attributes.Set(schema.PropTimes, values(n, c.timeOf))
	}
	c.times = nil
	words := make([]schema.Value, len(c.qualities))
	for i, q := range c.qualities {
		words[i] = schema.String(string(q))
	}
	f.Attributes.Set(schema.PropFix, values(n, func(i int) schema.Value { return words[c.words[i]] }))
	if c.known > 0 {
		f.Attributes.Set(schema.PropSigma, values(n, c.sigmaOf()))
	}
	p.Features = []*schema.Feature{f}
	return p, nil
}

// values is a list of n values, or the value where it is but one.
func values(n int, of func(i int) schema.Value) schema.Value {
	if n == 1 {
		return of(0)
	}
	list := make([]schema.Value, n)
	for i := range list {
		list[i] = of(i)
	}
	return schema.List(list...)
}

func (c *collector) timeOf(i int) schema.Value {
	if c.times[i] == undated {
		return schema.Null()
	}
	return schema.String(time.UnixMilli(c.times[i]).UTC().Format("2006-01-02T15:04:05.999Z"))
}

// sigmaOf gives standard errors, of which many are alike: they share their text.
func (c *collector) sigmaOf() func(i int) schema.Value {
	last, value := math.NaN(), schema.Null()
	return func(i int) schema.Value {
		s := c.sigmas[i]
		if math.IsNaN(s) {
			return schema.Null()
		}
		if s != last {
			last, value = s, schema.Float(s)
		}
		return value
	}
}
