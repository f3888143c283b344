// Rules on coordinates as read: coordinate-invalid, axes-swapped.

package validate

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/twpayne/go-geom"

	"swardline/crs"
	"swardline/schema"
)

var coordinateRules = []Rule{
	{
		Name: RuleCoordinateInvalid, Severity: Error, run: checkCoordinateInvalid,
		Page: Page{
			What: "Coordinates that are no place on earth: not a finite number, latitude past 90 or longitude past 180 degrees, plane coordinates outside the domain of their grid, a height more than 100 km from sea level, a plan (a warning) that lies less than 4 degrees from 0 N 0 E, where there is sea alone, an outline whose longitudes jump by more than 180 degrees away from the 180th meridian. " +
				"A site that lies across that meridian is taken as one.",
			Why:    "A point that is nowhere takes its whole outline with it: nothing about that feature can be measured, and a machine given it may do anything.",
			Source: "RFC 7946 (GeoJSON), section 4, for degrees; the domain of the projection for grids",
			Fails:  "a dock at 500000 m east, 480000000 m north in UTM zone 29N",
			Passes: "the same dock at 4800000 m north",
			Mend:   "correct the point; when all of them are wrong, check the CRS and the order of the axes",
		},
	},
	{
		Name: RuleAxesSwapped, Severity: Warning, run: checkAxesSwapped,
		Page: Page{
			What: "A feature that is impossible, or more than 20 km off all others, as it stands, but among them once its two coordinates are exchanged; " +
				"or a whole plan that lies in the area of use of its CRS, or of the frame that its numbers or its base are said to be in, only once they are; " +
				"and a plan that lies outside that frame's area of use either way, or more than 1 degree beside that of the vertical system that its heights are said to be in. The areas are the boxes of the registry, so a plan that lies in one both ways cannot be told. " +
				"What is switched off is asked as well, whether it lies among the others only once its coordinates are exchanged.",
			Why:    "Latitude and longitude the wrong way round put a garden into another country, and a single swapped base or mark moves everything that hangs from it.",
			Source: sourcePractice,
			Fails:  "zones about 9.10 E 56.20 N and a base at 56.20 E 9.10 N",
			Passes: "the same base at 9.10 E 56.20 N",
			Mend:   "exchange the two coordinates of the feature, or name the column order when converting",
		},
	},
}

func checkCoordinateInvalid(r *run) {
	if len(r.Features) == 0 {
		r.cannot("the plan has no active feature")
		return
	}
	drawn := false
	for _, f := range r.Features {
		drawn = drawn || len(f.Areas)+len(f.Lines)+len(f.Points) > 0
		if f.Invalid != "" {
			r.finding(f.invalidAt, f).Message = f.Invalid
		}
	}
	if !drawn {
		r.cannot("no active feature has a geometry")
	}
	if _, at := r.Reference(); r.Frame == FrameEarth {
		if lon, lat, ok := r.GroundToLonLat(at); ok && math.Max(math.Abs(lon), math.Abs(lat)) < zeroIslandDeg {
			x := r.finding(nil)
			x.Severity = Warning
			x.Message = fmt.Sprintf("the plan lies at %s N %s E, in the sea where latitude and longitude are both 0: its coordinates were never put on the earth, or are metres or radians that were read as degrees; say in what they are, or place the drawing", trim(lat, 4), trim(lon, 4))
		}
	}
}

// zeroIslandDeg is how near 0 N 0 E, in degrees, there is no ground to mow: the coast
// of Ghana is the nearest, at 4.7 N (from memory).
const zeroIslandDeg = 4

// swapSpanM is how near, in metres, a swapped feature must come to the others.
const swapSpanM = 5000

func checkAxesSwapped(r *run) {
	c := r.Plan.CRS
	r.outsideFrame()
	r.outsideHeights()
	// The box of the trustworthy features stands for "the others".
	box := emptyBox()
	drawn := 0
	for _, f := range r.Features {
		if len(f.Areas)+len(f.Lines)+len(f.Points) > 0 {
			drawn++
		}
		if f.usable() && r.Frame != FrameNone {
			own := f.readBound()
			enlarge(&box, own.Min)
			enlarge(&box, own.Max)
		}
	}
	switch {
	case drawn == 0:
		r.cannot("no active feature has a geometry")
		return
	case c == nil:
		r.cannot("the plan states no CRS, so no order of axes can be expected")
		return
	}
	if r.outside || box.IsEmpty() {
		// All features agree with one another, or none can be placed: the area
		// of use, or the range of degrees, has to tell.
		swapped, n := 0, 0
		var at *Place
		for _, f := range r.Features {
			first := true
			f.vertices(func(p, _ orb.Point) {
				if !first {
					return
				}
				first = false
				n++
				if r.coversSwapped(p) {
					swapped++
				}
				if at == nil {
					at = r.middle(f)
				}
			})
		}
		if 2*swapped > n {
			r.finding(at).Message = fmt.Sprintf("lies in the area of use of %s only once its coordinates are exchanged: the axes are probably swapped", c.ID())
			return
		}
		if box.IsEmpty() {
			r.cannot("no feature could be placed")
			return
		}
	}
	unit, degrees := unitOf(c)
	span := orb.Point{swapSpanM / unit, swapSpanM / unit}
	if degrees {
		span[1] /= 111e3 // metres in a degree of latitude, roughly
		span[0] = span[1] / math.Max(0.01, math.Cos(r.Lat*(math.Pi/180)))
	}
	near := func(p orb.Point) bool {
		return p[0] > box.Min[0]-span[0] && p[0] < box.Max[0]+span[0] && p[1] > box.Min[1]-span[1] && p[1] < box.Max[1]+span[1]
	}
	for _, f := range r.Features {
		if f.usable() {
			continue
		}
		among, n := true, 0
		f.vertices(func(p, _ orb.Point) {
			n++
			among = among && near(orb.Point{p[1], p[0]})
		})
		if n > 0 && among {
			r.finding(r.middle(f), f).Message = "lies among the other features only once its coordinates are exchanged: the axes are probably swapped"
		}
	}
	for _, f := range r.Inactive {
		if f.Geometry != nil && swappedAmong(f.Geometry, near) {
			x := r.finding(nil)
			x.Features, x.Line = []*schema.Feature{f}, f.Source.Line
			x.Message = "is switched off, and lies among the other features only once its coordinates are exchanged: the axes are probably swapped, and it keeps nothing once it is switched on"
		}
	}
}

// swappedAmong reports whether every vertex of a geometry is near something only
// once its coordinates are exchanged.
func swappedAmong(g geom.T, near func(orb.Point) bool) bool {
	if c, ok := g.(*geom.GeometryCollection); ok {
		return c.NumGeoms() > 0 && !slices.ContainsFunc(c.Geoms(), func(g geom.T) bool { return !swappedAmong(g, near) })
	}
	flat, stride := g.FlatCoords(), g.Stride()
	for i := 0; i+1 < len(flat); i += stride {
		if near(orb.Point{flat[i], flat[i+1]}) || !near(orb.Point{flat[i+1], flat[i]}) {
			return false
		}
	}
	return len(flat) > 1
}

// outsideFrame tells of a plan that lies outside the area of use of a frame
// which it or a base of it names.
func (r *run) outsideFrame() {
	if r.Frame != FrameEarth {
		return
	}
	var frames []crs.Frame
	if ref, err := r.Plan.Reference(); err == nil && ref.Frame.Known() && ref.From != schema.FrameFromCRS {
		frames = append(frames, ref.Frame) // of a CRS the caller looks at its own
	}
	for _, f := range r.Of(schema.RoleBase) {
		if frame, err := crs.ParseFrame(f.Attributes.Get(schema.PropFrame).Text()); err == nil && frame.Known() && !slices.Contains(frames, frame) {
			frames = append(frames, frame)
		}
	}
	for _, frame := range frames {
		if frame.Covers(crs.Degrees(r.Lon), crs.Degrees(r.Lat)) {
			continue
		}
		x := r.finding(r.Place(r.reference))
		if math.Abs(r.Lon) <= 90 && frame.Covers(crs.Degrees(r.Lat), crs.Degrees(r.Lon)) {
			x.Message = fmt.Sprintf("lies in the area of use of %s (%s) only once its coordinates are exchanged: the axes are probably swapped", frame.Name(), frame.AreaName())
			continue
		}
		x.Message = fmt.Sprintf("lies outside the area of use of %s (%s): another frame, or another place, is meant", frame.Name(), frame.AreaName())
	}
}

// besideHeightsDeg is how far in degrees beside the box of a vertical system's area of
// use a plan may lie: gardens at a border have their neighbour's (common practice, no
// source).
const besideHeightsDeg = 1.0

// outsideHeights tells of a plan that lies outside the area of use of the vertical
// system which its heights are said to be in.
func (r *run) outsideHeights() {
	if r.Frame != FrameEarth {
		return
	}
	ref, err := r.Plan.Reference()
	if err != nil || ref.Heights.NearArea(crs.Degrees(r.Lon), crs.Degrees(r.Lat), besideHeightsDeg) {
		return
	}
	x := r.finding(r.Place(r.reference))
	x.Message = fmt.Sprintf("its heights are said to be %s, which is used elsewhere (%s): levels of two countries lie decimetres apart, and those of an ellipsoid tens of metres; another vertical system, or another place, is meant: write the one that the heights were measured in", ref.Heights.Name(), ref.Heights.AreaName())
}

// coversSwapped reports whether a vertex lies in the area of use of the plan's
// CRS once its coordinates are exchanged, and not as it stands.
func (r *run) coversSwapped(p orb.Point) bool {
	c := r.Plan.CRS
	covered := func(x, y float64) bool {
		unit, degrees := unitOf(c)
		if wrongCoordinate(orb.Point{x, y}, degrees, unit) != "" {
			return false
		}
		flat := []float64{x, y}
		if c.ToGeodetic(flat, 2) != nil || !finite(flat) {
			return false
		}
		return c.Covers(crs.Degrees(flat[0]), crs.Degrees(flat[1]))
	}
	return !covered(p[0], p[1]) && covered(p[1], p[0])
}
