// Package sheet draws a plan to scale on paper, and as a live page: SVG, PDF
// and one HTML file that fetches nothing.
//
// It takes a Drawing, which is a plan on flat ground with the figures somebody
// else worked out, and judges nothing. Compose lays it out on sheets of paper;
// SVG and PDF write those; HTML writes the live page.
//
// Lengths on the ground are metres, x east and y north; on paper millimetres
// from the upper left corner, y downwards. At a scale of 1:N a metre is 1000/N
// mm.
package sheet

import (
	"math"
	"strings"

	"github.com/paulmach/orb"

	"swardline/schema"
)

// Drawing is what there is to draw.
type Drawing struct {
	// Title stands on every sheet. Source names the file, Date is YYYY-MM-DD.
	Title, Source, Date string
	// Program and Caution are the maker's name with version and its caution.
	Program, Caution string
	Features         []Feature
	// Off are the inactive features: drawn quietly and marked, and in no
	// figure.
	Off      []Feature
	Findings []Finding
	// NotChecked says which rules could not be decided, for the list of
	// findings.
	NotChecked []string
	Grid       Grid
	// Notes are the datum, the accuracy and whatever else was assumed.
	Notes []string
	// NetM2 is the ground in any zone and in no keep-out; NaN when unknown.
	NetM2 float64
	// Drift is the table for the drift view of the live page, nil for none;
	// NoDrift then says why.
	Drift   *Drift
	NoDrift string
	// Block is the title block, Earth the place of it all, nil when that is not
	// known.
	Block TitleBlock
	Earth *Earth
	// Plain is the word on datum and accuracy for who is no surveyor; Result is
	// the outcome of the check in a line, Tested how much was checked.
	Plain, Result, Tested string

	// Track is what a machine drove, nil where it is not shown.
	Track *Track

	// Back is a relative link that the live page has back to where it is
	// listed, "" for none.
	Back string

	// Sky is what the places see of the sky, nil where it is not shown.
	Sky *Sky

	// LonLat gives what a phone would say at a point of the ground, longitude
	// and latitude in degrees of WGS 84; nil when that is not known to some
	// metres.
	LonLat func(orb.Point) (lon, lat float64, ok bool)

	turn float64 // degrees clockwise that it was turned on its paper
}

// TitleBlock are the data fields of ISO 7200, with the client and the address
// of the site; what is empty stays an empty line. The sheet's number is the
// program's.
type TitleBlock struct {
	LegalOwner, Client, Address, Title, DocumentType, Number, CreatedBy, ApprovedBy, DateOfIssue, Revision string
}

// Earth says where on the earth the ground lies.
type Earth struct {
	// EPSG and WKT name the coordinate system, Projected is set for a plane
	// one.
	EPSG      int
	WKT       string
	Projected bool
	// LonLat gives degrees in the geographic system on which the named one
	// stands.
	LonLat func(orb.Point) (lon, lat float64, ok bool)
}

// Feature is one thing to draw. Figures that are not known are NaN.
type Feature struct {
	Role schema.Role
	// Code is short and its own, such as Z2.
	Code, Name, Kind, Note string
	Areas                  []orb.Polygon
	Lines                  []orb.LineString
	Points                 []orb.Point
	// LabelAt is inside the area where there is most room, RoomM how much: the
	// radius of the largest circle there.
	LabelAt orb.Point
	RoomM   float64

	AreaM2, NetM2, HardEdgeM, UncutM2, LengthM float64
	RadiusM, HeadingDeg, StandoffM, CutMM      float64
	// HeightM is that of a building or a tree above ground, ElevationM the
	// third coordinate of a point, AntennaM the antenna's height above ground.
	HeightM, ElevationM, AntennaM float64
	// Frame and Epoch are the base's; Epoch is "" when not known.
	Frame, Epoch string
}

// Label is code and name, the name alone when they are the same but for
// capitals.
func (f *Feature) Label() string {
	switch {
	case f.Name == "":
		return f.Code
	case strings.EqualFold(f.Name, f.Code):
		return f.Name
	}
	return f.Code + " " + f.Name
}

// Finding is one numbered finding.
type Finding struct {
	Number             int
	Rule, Severity     string // error, warning or note
	Message, Figures   string
	At                 orb.Point
	HasAt              bool
	Features, Position string
}

// Grid is the coordinate system of ticks and positions.
type Grid struct {
	// ID and Name are the system's for people, Ref its name for programs;
	// Degrees is set for longitude and latitude. Unit is the unit of plane
	// coordinates, such as m.
	ID, Name, Ref, Unit string
	Degrees             bool
	// Forward gives grid coordinates (x east or longitude, y north or latitude)
	// of a point on the ground; ok is false when there are none.
	Forward func(orb.Point) (xy orb.Point, ok bool)
	// NorthKnown is set when ground y runs to true north. Convergence is the
	// bearing of grid north there, degrees clockwise, NaN when unknown; Scale
	// is a grid length over the one on the ground, NaN when unknown.
	NorthKnown         bool
	Convergence, Scale float64
}

// Inverse gives the ground point of grid coordinates near a start, by Newton's
// method on the forward; ok is false when it does not close to 0.1 mm.
func (g *Grid) Inverse(xy, start orb.Point) (p orb.Point, ok bool) {
	p = start
	const h = 1.0 // metre
	for range 20 {
		f, ok1 := g.Forward(p)
		fx, ok2 := g.Forward(orb.Point{p[0] + h, p[1]})
		fy, ok3 := g.Forward(orb.Point{p[0], p[1] + h})
		if !ok1 || !ok2 || !ok3 {
			return p, false
		}
		a, b, c, d := (fx[0]-f[0])/h, (fy[0]-f[0])/h, (fx[1]-f[1])/h, (fy[1]-f[1])/h
		det := a*d - b*c
		rx, ry := xy[0]-f[0], xy[1]-f[1]
		de, dn := (rx*d-ry*b)/det, (ry*a-rx*c)/det
		if math.IsNaN(de) || math.IsNaN(dn) || math.IsInf(de, 0) || math.IsInf(dn, 0) {
			return p, false
		}
		p = orb.Point{p[0] + de, p[1] + dn}
		if math.Hypot(de, dn) < 1e-4 {
			return p, true
		}
	}
	return p, false
}

// Drift is what the rules of drift say about shifts of the base, as tables.
//
// Verdicts says for every shift of a raster what the rules decide; past the
// raster they always stop. The items tell how deep the driven ground enters or
// leaves things, on evenly spaced bearings; below the raster's end Near tells
// exactly what is reached.
type Drift struct {
	Held string
	// BearingsDeg are the rows, evenly spaced from 0, BeyondM the columns:
	// distances beyond the gap, from 0. The last of them is the table's range.
	BearingsDeg, BeyondM []float64
	Items                []DriftItem
	// UnchangedM and StopM are the limits of the verdict, MostM is past what no
	// shift is judged, as one that is no base's.
	UnchangedM, StopM, MostM float64
	// StepMM is the raster's step in millimetres. Verdicts holds its rows from
	// south to north, each from west to east in runs: u, r or s for unchanged,
	// re-measure and stop, and how many.
	StepMM   int
	Verdicts []string
	// Base is the label of the base whose range counts, RangeM how far from it
	// the farthest point driven lies, NaN when unknown, and RangeLimitM how far
	// it may.
	Base                string
	RangeM, RangeLimitM float64
	// NearWorstM and FarWorstM are the largest differences between the depths
	// of the items and the full computation at the Tried shifts, up to a metre
	// and past it.
	NearWorstM, FarWorstM float64
	Tried                 int
	Notes                 []string
}

// DriftItem is one rule on one feature.
type DriftItem struct {
	// Code and Feature are the feature's code and label.
	Rule, Severity, Code, Feature string
	// Stops is set when a finding of it makes the verdict stop.
	Stops bool
	// LimitM is what the depth is held against.
	LimitM float64
	// HeadingDeg is the bearing that a machine faces in a dock, NaN when
	// unknown and for everything else.
	HeadingDeg float64
	// GapM is, a bearing, how far the ground moves before the depth leaves 0;
	// NaN for any way.
	GapM []float64
	// DepthM holds, a bearing and a distance beyond the gap, how deep in
	// metres.
	DepthM [][]float64
	// Near holds, for what makes the verdict stop on the raster of the
	// verdicts, where its limit is passed: rows as Verdicts has them, s for
	// passed; nil for nowhere.
	Near []string
}

// bounds is the box of everything drawn; ok is false when there is nothing.
func (d *Drawing) bounds() (b orb.Bound, ok bool) {
	b = orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
	for i := range d.Features {
		b = b.Union(d.Features[i].bound())
	}
	for _, f := range d.Findings {
		if f.HasAt {
			b = b.Extend(f.At)
		}
	}
	return b, b.Min[0] <= b.Max[0] && b.Min[1] <= b.Max[1]
}

func (f *Feature) bound() orb.Bound {
	b := orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
	for _, a := range f.Areas {
		for _, r := range a {
			for _, p := range r {
				b = b.Extend(p)
			}
		}
	}
	for _, l := range f.Lines {
		for _, p := range l {
			b = b.Extend(p)
		}
	}
	for _, p := range f.Points {
		r := 0.0
		if f.RadiusM > 0 {
			r = f.RadiusM
		}
		b = b.Extend(orb.Point{p[0] - r, p[1] - r})
		b = b.Extend(orb.Point{p[0] + r, p[1] + r})
	}
	return b
}
