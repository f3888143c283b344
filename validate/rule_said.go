// What a feature says of its own place in its properties, held against its
// geometry: part of geometry-unfit.

package validate

import (
	"fmt"
	"math"
	"strings"

	"github.com/twpayne/go-geom"

	"swardline/crs"
	"swardline/schema"
)

// axisWord is a property that says a coordinate.
type axisWord uint8

const (
	saysNowhere axisWord = iota
	saysLon
	saysLat
	saysEast
	saysNorth
	saysHeight
)

// axisWords are such properties, folded (common practice, no source). Those of
// lengths are believed in pairs only.
var axisWords = map[string]axisWord{
	"lon": saysLon, "lng": saysLon, "long": saysLon, "longitude": saysLon, "längengrad": saysLon,
	"lat": saysLat, "latitude": saysLat, "breitengrad": saysLat,
	"x": saysEast, "e": saysEast, "east": saysEast, "easting": saysEast, "rechtswert": saysEast, "ostwert": saysEast,
	"y": saysNorth, "n": saysNorth, "north": saysNorth, "northing": saysNorth, "hochwert": saysNorth, "nordwert": saysNorth,
	"z": saysHeight, "h": saysHeight, "ele": saysHeight, "elev": saysHeight, "elevation": saysHeight, "altitude": saysHeight,
}

// axisKeys are the same by the key as it stands, with metres or degrees behind it
// or in brackets.
var axisKeys = remembered[axisWord]{of: func(key string) axisWord {
	k := strings.ToLower(strings.TrimSpace(key))
	if w := axisWords[k]; w != saysNowhere {
		return w
	}
	k = strings.NewReplacer("(", "_", "[", "_", ")", "", "]", "", " ", "_", "-", "_").Replace(k)
	for _, unit := range [...]string{"_m", "_metres", "_meters", "_deg", "_degrees", "_dd"} {
		if word, ok := strings.CutSuffix(k, unit); ok {
			return axisWords[strings.Trim(word, "_")]
		}
	}
	return saysNowhere
}}

const (
	placeOffM    = 0.05 // metres that a place may lie off, as for place and geometry of JSON-FG
	heightOffM   = 0.1
	otherFrameM  = 2      // that two frames in use lie apart at most (from memory: GDA94 and WGS 84)
	sameGridM    = 10_000 // farther off, eastings are those of another grid
	metresDegree = 111_320
	// leastHeight is the least height above 0 that is no antenna's or wall's, and
	// geoidM what an ellipsoidal height and one above the sea lie apart at most.
	leastHeight, geoidM = 5, 110
)

// placeSaid records where a feature's properties say another place than its
// geometry: one of the two was moved, or the column is of another point. A
// height that is off as a geoid may be is noted.
func (r *run) placeSaid(f *Feature) {
	r.degreesSaid(f)
	said, any := axesSaid(f)
	if !any || f.Geometry == nil || f.Invalid != "" {
		return
	}
	said[saysHeight].Value = heightText(said[saysHeight].Value)
	system := r.Plan.CRS
	low, high := boxRead(f.Geometry)
	degrees := system != nil && system.IsDegrees()
	// off is how far what a property says lies outside the geometry, in the
	// property's own unit, less half its last digit.
	off := func(w axisWord, axis int) (v, d float64, ok bool) {
		if said[w].Key == "" || math.IsInf(low[axis], 0) {
			return 0, 0, false
		}
		v, ok = schema.NumberSaid(said[w].Value)
		if !ok || v == 0 {
			return 0, 0, false // 0 is what is written for none
		}
		return v, math.Max(0, math.Max(low[axis]-v, v-high[axis])-lastDigit(said[w].Value.Text())), true
	}
	words := func(w axisWord, d float64) string {
		return f.describe() + " says " + said[w].Key + " " + quote(said[w].Value.Text()) + ", and its geometry lies " + metres(d) + " off that"
	}
	tell := func(w axisWord, d float64) {
		r.cannot("%s: which of the two was measured? correct the wrong one, or take it out", words(w, d))
	}
	if degrees && schema.RoundOf(system) == 360 {
		across := metresDegree * math.Cos(low[1]*math.Pi/180)
		if v, d, ok := off(saysLon, 0); ok && math.Abs(v) <= 180 && d*across > placeOffM {
			tell(saysLon, d*across)
		} else if v, d, ok := off(saysLat, 1); ok && math.Abs(v) <= 90 && d*metresDegree > placeOffM {
			tell(saysLat, d*metresDegree)
		}
	}
	if degrees {
		r.zoneSaid(f, &said)
	}
	if degrees && schema.RoundOf(system) == 360 {
		// Pairs in degrees, in either order: x may be the latitude.
		across := metresDegree * math.Cos(low[1]*math.Pi/180)
		for _, w := range [2][2]axisWord{{saysEast, saysNorth}, {saysNorth, saysEast}} {
			_, dx, ok1 := off(w[0], 0)
			_, dy, ok2 := off(w[1], 1)
			dx, dy = dx*across, dy*metresDegree
			if !ok1 || !ok2 || math.Max(dx, dy) > sameGridM {
				continue
			}
			k := 0
			if dy > dx {
				k = 1
			}
			if d := math.Max(dx, dy); d > placeOffM {
				tell(w[k], d)
			}
			break
		}
	}
	if system != nil && !degrees {
		unit := system.UnitMetres()
		_, de, ok1 := off(saysEast, 0)
		_, dn, ok2 := off(saysNorth, 1)
		switch {
		case !ok1 || !ok2:
		case math.Max(de, dn)*unit > sameGridM:
			r.zoneSaid(f, &said)
		case de*unit > placeOffM:
			tell(saysEast, de*unit)
		case dn*unit > placeOffM:
			tell(saysNorth, dn*unit)
		}
	}
	v, d, ok := off(saysHeight, 2)
	switch {
	case !ok || d <= heightOffM || math.Abs(v) <= leastHeight:
	case f.Role == schema.RoleBase && math.Abs(high[2]-f.antennaSaid()-v) <= heightOffM+lastDigit(said[saysHeight].Value.Text()): // of the ground it stands on
	case d < leastHeight || d > geoidM:
		tell(saysHeight, d)
	default:
		x := r.finding(r.middle(f), f)
		x.Severity = Note
		x.Message = "says " + said[saysHeight].Key + " " + quote(said[saysHeight].Value.Text()) + ", and its geometry has a height " + metres(d) + " off that: is one counted from the sea and one from the ellipsoid, or is one of them wrong?"
	}
}

// modernAxis is the half axis of GRS 1980 and WGS 84, in metres.
const modernAxis = 6378137

// leastEast and mostEast are the eastings that a zone of UTM has, in metres, and
// mostNorth its largest northing.
const leastEast, mostEast, mostNorth = 100_000, 900_000, 10_000_000

// zoneSaid records where an easting and a northing that a feature says lie outside its
// geometry in the site's zone of UTM, which is how receivers show places beside degrees.
// Within sameGridM they are of that grid, and otherFrameM may be the frame's.
func (r *run) zoneSaid(f *Feature, said *[saysHeight + 1]schema.Attribute) {
	e, ok1 := schema.NumberSaid(said[saysEast].Value)
	n, ok2 := schema.NumberSaid(said[saysNorth].Value)
	if !ok1 || !ok2 || e < leastEast || e > mostEast || n <= 0 || n > mostNorth || r.Frame != FrameEarth || !f.usable() {
		return
	}
	if a, _ := r.Plan.CRS.Ellipsoid(); a != modernAxis {
		return // hundreds of metres from what receivers show
	}
	code := 32600
	if r.Lat < 0 {
		code = 32700
	}
	zone, err := crs.Parse(fmt.Sprintf("EPSG:%d", code+int(math.Floor((r.Lon+180)/6))%60+1))
	if err != nil {
		return
	}
	at := []float64{e, n}
	if zone.ToGeodetic(at, 2) != nil {
		return
	}
	p, ok := r.LonLatToGround(at[0], at[1])
	if !ok {
		return
	}
	box, most := f.Bound(), 0.0
	for axis := range p {
		most = math.Max(most, math.Max(box.Min[axis]-p[axis], p[axis]-box.Max[axis]))
	}
	if most > otherFrameM && most <= sameGridM {
		r.cannot("%s says %s %s and %s %s, which in the zone of UTM (%s) lie %s outside its geometry: which of the two was measured? correct the wrong one, or take it out",
			f.describe(), said[saysEast].Key, said[saysEast].Value.Text(), said[saysNorth].Key, said[saysNorth].Value.Text(), zone.ID(), metres(most))
	}
}

// heightText is a height that is a text with a comma for a point, or with metres behind
// it, as its number alone; anything else as it is.
func heightText(v schema.Value) schema.Value {
	if v.Kind() != schema.KindString {
		return v
	}
	text := strings.ToLower(strings.TrimSpace(v.Text()))
	for _, unit := range [...]string{"metres", "meters", "metre", "meter", "m"} {
		if cut, ok := strings.CutSuffix(text, unit); ok {
			text = strings.TrimSpace(cut)
			break
		}
	}
	if strings.Count(text, ",") == 1 && !strings.Contains(text, ".") {
		text = strings.Replace(text, ",", ".", 1)
	}
	if _, ok := schema.NumberSaid(schema.String(text)); !ok {
		return v
	}
	return schema.String(text)
}

// antennaSaid is how high, in metres, a base says that its antenna stands, 0 where
// it says nothing.
func (f *Feature) antennaSaid() float64 {
	m, _ := f.Float(schema.PropAntennaHeight)
	return m
}

// degreesSaid records where longitudes and latitudes in a feature's properties lie
// outside its geometry: those of a plan in a grid, and lists of them, one for
// each point, of any plan. Properties that say no frame may be in another.
func (r *run) degreesSaid(f *Feature) {
	var lon, lat schema.Attribute
	for _, a := range f.Attributes {
		switch axisKeys.get(a.Key) {
		case saysLon:
			lon = a
		case saysLat:
			lat = a
		}
	}
	system := r.Plan.CRS
	if lon.Key == "" || lat.Key == "" || system == nil || !f.usable() || r.Frame != FrameEarth {
		return
	}
	xs, ys := lon.Value.Items(), lat.Value.Items()
	listed := len(xs) > 0
	if !listed {
		if system.IsDegrees() {
			return // placeSaid
		}
		xs, ys = []schema.Value{lon.Value}, []schema.Value{lat.Value}
	}
	if a, _ := system.Ellipsoid(); len(xs) != len(ys) || !system.IsDegrees() && a != modernAxis {
		return // an old datum may lie hundreds of metres from that of a receiver
	}
	may := placeOffM
	if !system.IsDegrees() {
		may = otherFrameM
	}
	box, most := f.Bound(), 0.0
	for i := range xs {
		x, ok1 := schema.NumberSaid(xs[i])
		y, ok2 := schema.NumberSaid(ys[i])
		if !ok1 || !ok2 || x == 0 || y == 0 || math.Abs(x) > 180 || math.Abs(y) > 90 {
			return
		}
		p, ok := r.LonLatToGround(x, y)
		if !ok {
			return
		}
		round := math.Max(lastDigit(xs[i].Text()), lastDigit(ys[i].Text())) * metresDegree
		for axis := range p {
			most = math.Max(most, math.Max(box.Min[axis]-p[axis], p[axis]-box.Max[axis])-round)
		}
	}
	if most > may {
		r.cannot("%s says %s and %s that lie %s outside its geometry: which of the two was measured? correct the wrong one, or take it out", f.describe(), lon.Key, lat.Key, metres(most))
	}
}

// axesSaid are the properties of a feature that say its place, the first of each
// axis.
func axesSaid(f *Feature) (said [saysHeight + 1]schema.Attribute, any bool) {
	for _, a := range f.Attributes {
		if k := a.Value.Kind(); k != schema.KindNumber && k != schema.KindString {
			continue
		}
		if w := axisKeys.get(a.Key); w != saysNowhere && said[w].Key == "" {
			said[w], any = a, true
		}
	}
	return said, any
}

// lastDigit is half of the last digit of a number as it is written.
func lastDigit(text string) float64 {
	text = strings.TrimSpace(text)
	if strings.ContainsAny(text, "eE") {
		return 0
	}
	_, decimals, _ := strings.Cut(text, ".")
	return 0.5 * math.Pow10(-len(decimals))
}

// boxRead is the extent of a geometry in x, y and height as read; infinite where
// there is none, the low ends above the high ones.
func boxRead(g geom.T) (low, high [3]float64) {
	for k := range low {
		low[k], high[k] = math.Inf(1), math.Inf(-1)
	}
	var look func(g geom.T)
	look = func(g geom.T) {
		if c, ok := g.(*geom.GeometryCollection); ok {
			for _, part := range c.Geoms() {
				look(part)
			}
			return
		}
		flat, stride := g.FlatCoords(), g.Stride()
		for i := 0; i+stride <= len(flat); i += stride {
			for k := range min(stride, len(low)) {
				if v := flat[i+k]; !math.IsNaN(v) {
					low[k], high[k] = min(low[k], v), max(high[k], v)
				}
			}
		}
	}
	look(g)
	return low, high
}
