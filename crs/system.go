// CRS: one coordinate reference system, however it was named.

package crs

import "fmt"

// CRS is one coordinate reference system. It is immutable and safe to share.
type CRS struct {
	id   string
	name string
	kind Kind
	unit float64 // metres in one unit of length; 0 for degrees
}

// WGS84 returns longitude and latitude on WGS 84, OGC:CRS84.
func WGS84() *CRS { return wgs84CRS }

var wgs84CRS = &CRS{id: "OGC:CRS84", name: "WGS 84 (longitude, latitude)", kind: KindGeographic}

// ID is the canonical text that Parse gives the same CRS for: "OGC:CRS84",
// "EPSG:25832", or a site grid's definition.
func (c *CRS) ID() string { return c.id }

// Name is the registry's name.
func (c *CRS) Name() string { return c.name }

// Kind says what sort of coordinates the CRS has.
func (c *CRS) Kind() Kind { return c.kind }

// UnitMetres is the length of one unit of the plane coordinates in metres, 0
// for degrees.
func (c *CRS) UnitMetres() float64 { return c.unit }

// IsDegrees reports whether coordinates are longitude and latitude in degrees.
func (c *CRS) IsDegrees() bool { return c.kind == KindGeographic }

// Equal reports whether both are the same CRS, by canonical text.
func (c *CRS) Equal(d *CRS) bool { return c == d || c != nil && d != nil && c.id == d.id }

// Parse returns the CRS that a text names: EPSG:n, an OGC URN or URL,
// OGC:CRS84, WKT, or the canonical text of a site grid.
func Parse(text string) (*CRS, error) {
	if text == wgs84CRS.id {
		return wgs84CRS, nil
	}
	return nil, fmt.Errorf("unknown CRS %q", text)
}

// ToGeodetic replaces the coordinates flat (stride numbers a point, x y [h]) by
// longitude and latitude in degrees [and ellipsoidal height in metres] on the
// CRS's own datum, with no datum step. The error names the first point that
// lies outside the domain and leaves flat unspecified.
func (c *CRS) ToGeodetic(flat []float64, stride int) error { return nil }

// FromGeodetic is the inverse of ToGeodetic.
func (c *CRS) FromGeodetic(flat []float64, stride int) error { return nil }
