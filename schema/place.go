// Where a plan is: its base, a place in it, and its own site grid.

package schema

import (
	"errors"
	"fmt"
	"strconv"

	"github.com/twpayne/go-geom"

	"swardline/crs"
)

// Base returns the plan's base: the first active base with a point, else nil.
func (p *Plan) Base() *Feature {
	for _, f := range p.Features {
		if _, ok := f.Geometry.(*geom.Point); ok && f.Role == RoleBase && f.Active() && !f.Geometry.Empty() {
			return f
		}
	}
	return nil
}

// Geodetic returns the position of a vertex (x, y and perhaps a height, NaN for
// none, which is then taken as 0) on the plan's own datum.
func (p *Plan) Geodetic(vertex []float64) (crs.Geodetic, error) {
	if p.CRS == nil {
		return crs.Geodetic{}, errors.New("the plan's CRS is not known")
	}
	one := [3]float64{vertex[0], vertex[1]}
	if len(vertex) > 2 && vertex[2] == vertex[2] {
		one[2] = vertex[2]
	}
	if err := p.CRS.ToGeodetic(one[:], 3); err != nil {
		return crs.Geodetic{}, err
	}
	return crs.Geodetic{Lon: crs.Degrees(one[0]), Lat: crs.Degrees(one[1]), H: crs.Metres(one[2])}, nil
}

// Somewhere returns a place in the plan, for choosing what holds there: the
// base, else the first vertex; nil when there is none or the CRS is unknown.
func (p *Plan) Somewhere() *crs.Geodetic {
	features := p.Features
	if b := p.Base(); b != nil {
		features = append([]*Feature{b}, features...)
	}
	for _, f := range features {
		vertex := firstVertex(f.Geometry)
		if vertex == nil {
			continue
		}
		if g, err := p.Geodetic(vertex); err == nil {
			return &g
		}
	}
	return nil
}

func firstVertex(g geom.T) []float64 {
	switch g := g.(type) {
	case nil:
		return nil
	case *geom.GeometryCollection:
		for _, part := range g.Geoms() {
			if v := firstVertex(part); v != nil {
				return v
			}
		}
		return nil
	}
	if flat := g.FlatCoords(); len(flat) >= g.Stride() && g.Stride() >= 2 {
		return flat[:g.Stride()]
	}
	return nil
}

// SiteGrid returns the site grid that "site" stands for in this plan: the one
// its CRS is, else the one its member site_grid defines, else a plain one at
// its base (no rotation, scale 1, the base at 0, 0). It is an error when there
// is none of them, or when site_grid is not well formed.
func (p *Plan) SiteGrid() (*crs.CRS, error) {
	if p.CRS != nil && p.CRS.Kind() == crs.KindSite {
		return p.CRS, nil
	}
	switch v := p.Attributes.Get(PlanSiteGrid); v.Kind() {
	case KindAbsent, KindNull:
	case KindString:
		return crs.ParseSite(v.Text(), p.SiteBase())
	default:
		return nil, fmt.Errorf("the plan's %s must be a text such as %q, got a %s", PlanSiteGrid, "site:lat=56.95;lon=11.2;h=45", v.Kind())
	}
	b := p.Base()
	if b == nil {
		return nil, errors.New("the plan has no base to put a site grid at")
	}
	at, err := p.Geodetic(b.Geometry.FlatCoords())
	if err != nil {
		return nil, err
	}
	return crs.NewSite(crs.SiteGrid{Origin: at, Scale: 1, Base: p.SiteBase()})
}

// SiteBase is the geographic CRS that a site grid of this plan stands on: that
// of the plan's frame, nil (WGS 84) when the frame is not known or has no CRS.
func (p *Plan) SiteBase() *crs.CRS {
	r, err := p.Reference()
	if err != nil || !r.Frame.Known() || r.Frame.Code() == 0 {
		return nil
	}
	c, err := crs.Parse("EPSG:" + strconv.Itoa(r.Frame.Code()))
	if err != nil {
		return nil
	}
	return c
}

// axesVertices tell as much of the axes as all vertices do.
const axesVertices = 400

// JudgeAxes says how the plan's coordinates fit the area of use of its CRS: as
// they are, or only with east and north swapped.
func (p *Plan) JudgeAxes() crs.AxesVerdict {
	if p.CRS == nil {
		return crs.AxesUnknown
	}
	var flat []float64
	p.eachFlat(func(_ *Feature, g []float64, stride int) bool {
		for i := 0; i+1 < len(g); i += stride {
			flat = append(flat, g[i], g[i+1])
		}
		return len(flat) < 2*axesVertices
	})
	return p.CRS.JudgeAxes(flat, 2)
}

// OutsideArea counts the vertices outside the area of use of the plan's CRS and
// returns the first feature that has one, nil when there is none.
func (p *Plan) OutsideArea() (count int, first *Feature) {
	if p.CRS == nil {
		return 0, nil
	}
	for _, f := range p.Features {
		n := p.OutsideOf(f)
		if n > 0 && first == nil {
			first = f
		}
		count += n
	}
	return count, first
}

// OutsideOf counts the vertices of a feature outside the area of use of the
// plan's CRS, which must be known.
func (p *Plan) OutsideOf(f *Feature) (count int) {
	eachFlat(f, f.Geometry, func(_ *Feature, g []float64, stride int) bool {
		n, _ := p.CRS.OutsideArea(g, stride)
		count += n
		return true
	})
	return count
}

// eachFlat visits the flat coordinates of every geometry until visit says no.
func (p *Plan) eachFlat(visit func(f *Feature, flat []float64, stride int) bool) {
	for _, f := range p.Features {
		if !eachFlat(f, f.Geometry, visit) {
			return
		}
	}
}

func eachFlat(f *Feature, g geom.T, visit func(f *Feature, flat []float64, stride int) bool) bool {
	switch g := g.(type) {
	case nil:
		return true
	case *geom.GeometryCollection:
		for _, part := range g.Geoms() {
			if !eachFlat(f, part, visit) {
				return false
			}
		}
		return true
	}
	return visit(f, g.FlatCoords(), g.Stride())
}
