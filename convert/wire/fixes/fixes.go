// Package fixes is what logs of a satellite receiver have in common: positions
// with their time and how well they were known, and the plan that a log makes.
package fixes

import (
	"fmt"
	"math"
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

// Read reads a log of the named format as a plan (see plan); each gives the
// log's positions one by one. Errors are *wire.InputError.
func Read(data []byte, o *wire.ReadOptions, format string, each func(data []byte, t *wire.Tally, yield func(Fix) error) error) (*schema.Plan, []wire.Warning, error) {
	var t wire.Tally
	data, err := wire.CheckText(data, o.Name, &t)
	if err != nil {
		return nil, nil, err
	}
	var list []Fix
	most := o.Caps().InputMaxVertices
	err = each(data, &t, func(f Fix) error {
		if list = append(list, f); float64(len(list)) > most {
			return &wire.InputError{Problem: fmt.Sprintf("there are more positions than the limit input_max_vertices (%.0f)", most), Mend: "split it, or raise the limit in a limits file"}
		}
		return nil
	})
	if err != nil {
		if in, ok := err.(*wire.InputError); ok && in.File == "" {
			in.File = o.Name
		}
		return nil, nil, err
	}
	p, err := plan(list, o, format, &t)
	if err != nil {
		return nil, nil, err
	}
	return p, t.Warnings(), nil
}

// plan makes the plan of a log: one line through all positions in their order,
// or a point where there is but one, with the attributes schema.PropTimes,
// schema.PropFix and schema.PropSigma, a value a point. Positions of the
// quality None are left out and counted. Heights are above the ellipsoid; where
// the log has only heights above a geoid these are taken, and told.
func plan(list []Fix, o *wire.ReadOptions, format string, t *wire.Tally) (*schema.Plan, error) {
	p := &schema.Plan{CRS: crs.WGS84(), Source: schema.Source{File: o.Name, Format: format}}
	if o.CRS != nil {
		// A log says no frame, so naming one is no contradiction; but it is in
		// degrees.
		if !o.CRS.IsDegrees() {
			return nil, &wire.InputError{File: o.Name, Problem: fmt.Sprintf("a log has latitudes and longitudes, but %s has none", o.CRS.ID()), Mend: "name the geographic system of the corrections, or leave it out"}
		}
		p.CRS = o.CRS
	}
	ellipsoidal, levels := 0, 0
	var kept []Fix
	for i := range list {
		f := list[i]
		if f.Quality == None || math.IsNaN(f.Lat) || math.IsNaN(f.Lon) {
			t.Add("fix-none", f.Line, "", "the receiver had no position at times; those were left out")
			continue
		}
		if !math.IsNaN(f.Height) {
			ellipsoidal++
		} else if !math.IsNaN(f.Level) {
			levels++
		}
		kept = append(kept, f)
	}
	if len(kept) == 0 {
		return nil, &wire.InputError{File: o.Name, Problem: "the log holds no position", Mend: "check that the receiver had a fix and that the right file was sent"}
	}
	if ellipsoidal == 0 && levels > 0 {
		t.AddN("height-geoid", levels, kept[0].Line, "", "heights are above the receiver's own geoid model, not above the ellipsoid")
	}
	flat := make([]float64, 0, 3*len(kept))
	times, words, sigmas := make([]schema.Value, len(kept)), make([]schema.Value, len(kept)), make([]schema.Value, len(kept))
	dated, known := 0, 0
	for i, f := range kept {
		h := f.Height
		if ellipsoidal == 0 {
			h = f.Level
		}
		flat = append(flat, f.Lon, f.Lat, h)
		times[i], sigmas[i] = schema.Null(), schema.Null()
		if f.Dated {
			times[i] = schema.String(f.Time.UTC().Format("2006-01-02T15:04:05.999Z"))
			dated++
		}
		words[i] = schema.String(string(f.Quality))
		if s := f.Sigma(); !math.IsNaN(s) {
			sigmas[i] = schema.Float(wire.Round(s, 4))
			known++
		}
	}
	if n := len(kept) - dated; n > 0 {
		t.AddN("date-unknown", n, kept[0].Line, "", "the log does not say which day it was at; those positions have no time")
	}
	layout := geom.XYZ
	if ellipsoidal+levels == 0 {
		layout = geom.XY
		for i := range kept {
			flat[2*i], flat[2*i+1] = flat[3*i], flat[3*i+1]
		}
		flat = flat[:2*len(kept)]
	}
	f := &schema.Feature{Role: schema.RoleOther, Source: schema.Source{Line: kept[0].Line}}
	single := len(kept) == 1
	value := func(list []schema.Value) schema.Value {
		if single {
			return list[0]
		}
		return schema.List(list...)
	}
	f.Geometry = geom.NewLineStringFlat(layout, flat)
	if single {
		f.Geometry = geom.NewPointFlat(layout, flat)
	}
	if dated > 0 {
		f.Attributes.Set(schema.PropTimes, value(times))
	}
	f.Attributes.Set(schema.PropFix, value(words))
	if known > 0 {
		f.Attributes.Set(schema.PropSigma, value(sigmas))
	}
	p.Features = []*schema.Feature{f}
	return p, nil
}
