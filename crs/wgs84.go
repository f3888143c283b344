// WGS 84 package: our CRSs behind the interface of github.com/wroge/wgs84, so
// that its users can plug them in.

package crs

import (
	"fmt"
	"math"

	"github.com/wroge/wgs84"
)

// Plugin is a CRS as github.com/wroge/wgs84 wants it: a
// CoordinateReferenceSystem whose common ground is geocentric WGS 84. Register
// it with (*wgs84.Repository).Add, or give it to wgs84.Transform.
//
// The interface has no errors, so a position that cannot be transformed comes
// back as NaN. Absent heights do not exist there: height 0 is a height.
type Plugin struct {
	crs      *CRS
	to, from *Operation
}

var _ wgs84.CoordinateReferenceSystem = (*Plugin)(nil)

// NewPlugin makes a plugin of a CRS for positions at one site; the rest is as
// in NewOperation, the epoch From being that of the CRS's coordinates and To
// that of WGS 84's.
func NewPlugin(c *CRS, allow Allowed, at Places, when Epochs, with Aids) (*Plugin, error) {
	xyz, err := epsgCRS(4978)
	if err != nil {
		return nil, err
	}
	p := &Plugin{crs: c}
	if p.to, err = NewOperation(c, xyz, allow, at, when, with); err != nil {
		return nil, fmt.Errorf("%s to WGS 84: %w", c.id, err)
	}
	if p.from, err = NewOperation(xyz, c, allow, at, Epochs{From: when.To, To: when.From}, with); err != nil {
		return nil, fmt.Errorf("WGS 84 to %s: %w", c.id, err)
	}
	if len(p.to.Parts()) > 1 || len(p.from.Parts()) > 1 {
		return nil, fmt.Errorf("%s to WGS 84: the places are not one site", c.id)
	}
	return p, nil
}

// ToWGS84 turns east or longitude, north or latitude, and height into
// geocentric WGS 84 coordinates in metres; NaN when it cannot.
func (p *Plugin) ToWGS84(a, b, c float64) (x0, y0, z0 float64) {
	return apply(p.to, a, b, c)
}

// FromWGS84 is the inverse of ToWGS84.
func (p *Plugin) FromWGS84(x0, y0, z0 float64) (a, b, c float64) {
	return apply(p.from, x0, y0, z0)
}

func apply(op *Operation, a, b, c float64) (x, y, z float64) {
	v := []float64{a, b, c}
	if op.Apply(v, 3) != nil {
		return math.NaN(), math.NaN(), math.NaN()
	}
	return v[0], v[1], v[2]
}

// Contains reports whether the longitude and latitude lie in the area of use.
func (p *Plugin) Contains(lon, lat float64) bool {
	return lat >= -90 && lat <= 90 && lon >= -180 && lon <= 180 && p.crs.Covers(Degrees(lon), Degrees(lat))
}
