// CRS: one coordinate reference system, however it was named.

package crs

import (
	"fmt"
	"math"
	"strings"
)

// CRS is one coordinate reference system. It is immutable and safe to share.
type CRS struct {
	id      string
	name    string
	code    int // EPSG code, 0 when none
	kind    Kind
	unit    float64 // metres in one unit of length; 0 for angles
	angle   float64 // degrees in one unit of angle; 0 for lengths
	datum   *datum
	base    *CRS // geographic CRS of a projected one, base of a site grid
	axes    []Axis
	order   order
	extents string // codes, parted by commas
	scopes  string // for each extent the codes of its scopes, parted by plus signs
	dims    int
	conv    *conversion
	plane   *plane
	site    *siteGrid
	level   *CRS      // the horizontal part of a compound
	heights *vertical // the vertical part of a compound
	plain   *CRS      // what InFrame gave the frame to
	frame   Frame     // the frame it gave
}

// Axis is an official axis of a CRS.
type Axis struct {
	Name         string // "Easting", "Geodetic latitude"
	Abbreviation string // "E", "Lat"
	Direction    string // "east", "north", "up", "South along 90°E"
	Unit         string // "metre", "degree", "US survey foot"
	unit         unit
}

// order says how the official coordinates follow from x east, y north.
type order struct {
	swap  bool // the first official axis is y
	flipX bool // the official axis runs west
	flipY bool // the official axis runs south
}

// setOrder derives units and order from the official axes.
func (c *CRS) setOrder() {
	if len(c.axes) < 2 {
		return
	}
	u := c.axes[0].unit
	if u.kind == "angle" {
		c.angle = u.factor * degPerRad
		if u.code == 9122 || u.code == 9102 {
			c.angle = 1
		}
	} else {
		c.unit = u.factor
	}
	d0, d1 := c.axes[0].Direction, c.axes[1].Direction
	switch {
	case d0 == "north" || d0 == "south":
		c.order = order{swap: true, flipY: d0 == "south", flipX: d1 == "west"}
	case d0 == "east" || d0 == "west":
		c.order = order{flipX: d0 == "west", flipY: d1 == "south"}
	default:
		// Polar axes ("North along 90°E") are called E and N, or X and Y in
		// that order.
		c.order = order{swap: c.axes[0].Name == "Northing"}
	}
}

// WGS84 returns longitude and latitude on WGS 84, OGC:CRS84.
func WGS84() *CRS { return wgs84CRS }

var wgs84CRS = func() *CRS {
	degree := unit{code: 9122, name: "degree", kind: "angle", factor: radPerDeg}
	c := &CRS{id: "OGC:CRS84", name: "WGS 84 (longitude, latitude)", kind: KindGeographic, dims: 2, extents: "1262",
		datum: &datum{code: 6326, name: "World Geodetic System 1984 ensemble", pmName: "Greenwich", accuracy: 2,
			el: newEllipsoid(7030, "WGS 84", 6378137, 298.257223563)},
		axes: []Axis{{"Geodetic longitude", "Lon", "east", "degree", degree}, {"Geodetic latitude", "Lat", "north", "degree", degree}}}
	c.setOrder()
	return c
}()

// ID is the canonical text that Parse gives the same CRS for: "OGC:CRS84",
// "EPSG:25832", a site grid's definition, or WKT for one that is in no
// registry.
func (c *CRS) ID() string { return c.id }

// Label names the CRS in a line for people: its ID, or its name where the ID is
// a whole text.
func (c *CRS) Label() string {
	if looksLikeWKT(c.id) {
		return fmt.Sprintf("%q", c.name) + " as its text states it"
	}
	return c.id
}

// Name is the registry's name.
func (c *CRS) Name() string { return c.name }

// Kind says what sort of coordinates the CRS has.
func (c *CRS) Kind() Kind { return c.kind }

// Code is the EPSG code, 0 when the CRS is not one of the registry.
func (c *CRS) Code() int { return c.code }

// UnitMetres is the length of one unit of the plane coordinates in metres, 0
// for degrees.
func (c *CRS) UnitMetres() float64 { return c.unit }

// UnitDegrees is the size of one unit of longitude and latitude in degrees: 1
// but for the few geographic CRSs in grads (0.9); 0 for lengths.
func (c *CRS) UnitDegrees() float64 { return c.angle }

// IsDegrees reports whether coordinates are longitude and latitude in degrees
// (for the few official grads: in UnitDegrees).
func (c *CRS) IsDegrees() bool { return c.kind == KindGeographic }

// Dims is 2 or 3: whether the CRS itself has a height. Heights pass through a
// CRS of two dimensions unchanged.
func (c *CRS) Dims() int { return c.dims }

// Equal reports whether both are the same CRS, by canonical text.
func (c *CRS) Equal(d *CRS) bool { return c == d || c != nil && d != nil && c.id == d.id }

// Ellipsoid returns the semi-major axis in metres and the inverse flattening, 0
// for a sphere.
func (c *CRS) Ellipsoid() (a, invF float64) { return c.datum.el.a, c.datum.el.invF }

// EllipsoidName is the registry's name of the ellipsoid.
func (c *CRS) EllipsoidName() string { return c.datum.el.name }

// Datum is the registry's name of the datum.
func (c *CRS) Datum() string { return c.datum.name }

// DatumCode is the EPSG code of the datum, 0 when the CRS is not on a datum of
// the registry.
func (c *CRS) DatumCode() int { return c.datum.code }

// EnsembleAccuracy is the accuracy in metres of a datum that is an ensemble of
// realisations (WGS 84: 2 m), 0 for one that is not.
func (c *CRS) EnsembleAccuracy() Metres { return Metres(c.datum.accuracy) }

// FrameEpoch is the reference epoch of a dynamic datum as a decimal year, 0
// when it has none.
func (c *CRS) FrameEpoch() float64 { return c.datum.epoch }

// PrimeMeridian returns the longitude of the prime meridian, degrees east of
// Greenwich, and its name.
func (c *CRS) PrimeMeridian() (Degrees, string) { return Degrees(c.datum.pm), c.datum.pmName }

// Base is the geographic CRS under a projected one or a site grid, the CRS
// itself otherwise.
func (c *CRS) Base() *CRS {
	if c.base == nil {
		return c
	}
	return c.base.Base()
}

// BaseCode is the EPSG code of Base, 4326 for OGC:CRS84, 0 when it is not one
// of the registry.
func (c *CRS) BaseCode() int {
	b := c.Base()
	if b.id == wgs84CRS.id {
		return 4326
	}
	return b.code
}

// Axes returns the official axes in their official order.
func (c *CRS) Axes() []Axis { return append([]Axis(nil), c.axes...) }

// NorthFirst reports whether the official order is north or latitude first.
func (c *CRS) NorthFirst() bool { return c.order.swap }

// FromOfficial turns coordinates in official order and direction (stride
// numbers a point) into x east or longitude, y north or latitude, in place.
func (c *CRS) FromOfficial(flat []float64, stride int) error {
	if err := checkStride(flat, stride, 2); err != nil {
		return err
	}
	for i := 0; i+1 < len(flat); i += stride {
		if c.order.swap {
			flat[i], flat[i+1] = flat[i+1], flat[i]
		}
		c.flip(flat[i : i+2])
	}
	return nil
}

// ToOfficial is the inverse of FromOfficial.
func (c *CRS) ToOfficial(flat []float64, stride int) error {
	if err := checkStride(flat, stride, 2); err != nil {
		return err
	}
	for i := 0; i+1 < len(flat); i += stride {
		c.flip(flat[i : i+2])
		if c.order.swap {
			flat[i], flat[i+1] = flat[i+1], flat[i]
		}
	}
	return nil
}

func (c *CRS) flip(xy []float64) {
	if c.order.flipX {
		xy[0] = -xy[0]
	}
	if c.order.flipY {
		xy[1] = -xy[1]
	}
}

// Area is the box of the area of use in degrees; west > east when it crosses
// the antimeridian. ok is false when none is known.
func (c *CRS) Area() (west, south, east, north float64, ok bool) {
	all := c.areas()
	if len(all) == 0 {
		return 0, 0, 0, 0, false
	}
	b := all[0]
	for _, e := range all[1:] {
		b.south, b.north = math.Min(b.south, e.south), math.Max(b.north, e.north)
		if b.west <= b.east && e.west <= e.east {
			b.west, b.east = math.Min(b.west, e.west), math.Max(b.east, e.east)
		} else {
			b.west, b.east = -180, 180
		}
	}
	return b.west, b.south, b.east, b.north, true
}

// AreaName is the registry's name of the area of use.
func (c *CRS) AreaName() string {
	var names []string
	for _, e := range c.areas() {
		names = append(names, e.name)
	}
	return strings.Join(names, "; ")
}

// Covers reports whether the position lies in the box of the area of use. A CRS
// without a known area covers everything.
func (c *CRS) Covers(lon, lat Degrees) bool {
	all := c.areas()
	for _, e := range all {
		if e.covers(float64(lon), float64(lat)) {
			return true
		}
	}
	return len(all) == 0
}

// ToGeodetic replaces the coordinates flat (stride numbers a point, x y [h]) by
// longitude and latitude in degrees [and ellipsoidal height in metres] on the
// CRS's own datum, with no datum step; longitudes count from Greenwich whatever
// the prime meridian of the CRS. Numbers after the third of a point are left
// alone, and so is the height, except that of geocentric coordinates. The error
// (a *PointError) names the first point that lies outside the domain and leaves
// flat unspecified. Large slices are worked on all cores.
func (c *CRS) ToGeodetic(flat []float64, stride int) error {
	return c.convert(flat, stride, (*CRS).toGeodetic)
}

// convert has each part of flat converted where it lies.
func (c *CRS) convert(flat []float64, stride int, each func(c *CRS, part []float64, stride, first int) error) error {
	least := 2
	if c.kind == KindGeocentric {
		least = 3
	}
	if err := checkStride(flat, stride, least); err != nil {
		return fmt.Errorf("%s: %w", c.Label(), err)
	}
	if small(flat, stride) {
		return each(c, flat, stride, 0)
	}
	return inChunks(flat, stride, func(part []float64, first int) error { return each(c, part, stride, first) })
}

// toGeodetic works on a part; first is the index of its first point.
func (c *CRS) toGeodetic(part []float64, stride, first int) error {
	switch c.kind {
	case KindGeographic:
		return c.geographicToGeodetic(part, stride, first)
	case KindGeocentric:
		return c.geocentricToGeodetic(part, stride, first)
	case KindSite:
		return c.site.toGeodetic(c, part, stride, first)
	}
	p := c.plane
	for i := 0; i+1 < len(part); i += stride {
		lon, lat := p.toGeodetic(part[i], part[i+1])
		if lon-lon != 0 || lat-lat != 0 {
			return c.pointError(first+i/stride, part[i], part[i+1], "outside the domain of the projection")
		}
		part[i], part[i+1] = lon, lat
	}
	return nil
}

// FromGeodetic is the inverse of ToGeodetic. Geocentric coordinates need a
// height.
func (c *CRS) FromGeodetic(flat []float64, stride int) error {
	return c.convert(flat, stride, (*CRS).fromGeodetic)
}

// fromGeodetic works on a part; first is the index of its first point.
func (c *CRS) fromGeodetic(part []float64, stride, first int) error {
	switch c.kind {
	case KindGeographic:
		return c.geographicFromGeodetic(part, stride, first)
	case KindGeocentric:
		return c.geocentricFromGeodetic(part, stride, first)
	case KindSite:
		return c.site.fromGeodetic(c, part, stride, first)
	}
	p := c.plane
	for i := 0; i+1 < len(part); i += stride {
		e, n := p.fromGeodetic(part[i], part[i+1])
		if e-e != 0 || n-n != 0 {
			return c.pointError(first+i/stride, part[i], part[i+1], domainProblem(part[i], part[i+1]))
		}
		part[i], part[i+1] = e, n
	}
	return nil
}

// pointError makes the error for a point; the index counts from 0.
func (c *CRS) pointError(index int, x, y float64, problem string) error {
	return &PointError{Index: index, X: x, Y: y, CRS: c.Label(), Problem: problem}
}

// domainProblem says why a longitude and latitude in degrees could not be used.
func domainProblem(lon, lat float64) string {
	switch {
	case lon-lon != 0 || lat-lat != 0:
		return "not a number"
	case lat < -90 || lat > 90:
		return "the latitude is past 90 degrees; are the axes swapped?"
	case lon < -540 || lon > 540:
		return "the longitude is past 540 degrees"
	}
	return "outside the domain of the projection"
}

func (c *CRS) geographicToGeodetic(part []float64, stride, first int) error {
	k, pm := c.angle, c.datum.pm
	for i := 0; i+1 < len(part); i += stride {
		lon, lat := part[i]*k+pm, part[i+1]*k
		if !(lat >= -90 && lat <= 90 && lon >= -540 && lon <= 540) {
			return c.pointError(first+i/stride, part[i], part[i+1], domainProblem(lon, lat))
		}
		if pm != 0 {
			lon = wrap180(lon)
		}
		part[i], part[i+1] = lon, lat
	}
	return nil
}

func (c *CRS) geographicFromGeodetic(part []float64, stride, first int) error {
	k, pm := c.angle, c.datum.pm
	for i := 0; i+1 < len(part); i += stride {
		lon, lat := part[i], part[i+1]
		if !(lat >= -90 && lat <= 90 && lon >= -540 && lon <= 540) {
			return c.pointError(first+i/stride, lon, lat, domainProblem(lon, lat))
		}
		if pm != 0 {
			lon = wrap180(lon - pm)
		}
		part[i], part[i+1] = lon/k, lat/k
	}
	return nil
}

func (c *CRS) geocentricToGeodetic(part []float64, stride, first int) error {
	el, pm := c.datum.el, c.datum.pm
	for i := 0; i+2 < len(part); i += stride {
		lam, phi, h := el.fromGeocentric(part[i], part[i+1], part[i+2])
		if h-h != 0 {
			return c.pointError(first+i/stride, part[i], part[i+1], "geocentric coordinates that are not on earth")
		}
		lon := lam * degPerRad
		if pm != 0 {
			lon = wrap180(lon + pm)
		}
		part[i], part[i+1], part[i+2] = lon, phi*degPerRad, h
	}
	return nil
}

func (c *CRS) geocentricFromGeodetic(part []float64, stride, first int) error {
	el, pm := c.datum.el, c.datum.pm
	for i := 0; i+2 < len(part); i += stride {
		lon, lat, h := part[i], part[i+1], part[i+2]
		if !(lat >= -90 && lat <= 90 && lon >= -540 && lon <= 540) {
			return c.pointError(first+i/stride, lon, lat, domainProblem(lon, lat))
		}
		if h-h != 0 {
			return c.pointError(first+i/stride, lon, lat, "no height, and geocentric coordinates need one")
		}
		part[i], part[i+1], part[i+2] = el.toGeocentric((lon-pm)*radPerDeg, lat*radPerDeg, h)
	}
	return nil
}
