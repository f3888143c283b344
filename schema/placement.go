// The placement of a drawing, recorded in the plan so that it can be undone.

package schema

import (
	"errors"
	"fmt"

	"github.com/twpayne/go-geom"

	"swardline/crs"
	"swardline/crs/adjust"
)

// Placed returns the plan with the plane transformation applied to every vertex
// and the CRS set to grid, a plane one, perhaps in a frame. p stays as it is.
// record is kept as the plan's member "placement", with the six coefficients
// and the name of the grid added to it, so that Unplaced can go back.
func (p *Plan) Placed(t adjust.PlaneTransform, grid *crs.CRS, record Attributes) (*Plan, error) {
	if err := t.Check(); err != nil {
		return nil, err
	}
	out, err := p.onPlane(t.Apply)
	if err != nil {
		return nil, err
	}
	out.setReference(grid)
	record = record.Clone()
	record.Set("grid", String(out.CRS.ID()))
	record.Set("coefficients", List(Float(t.A), Float(t.B), Float(t.C), Float(t.D), Float(t.ShiftE), Float(t.ShiftN), Float(t.HeightShift)))
	out.Attributes.Set(PlanPlacement, Object(record))
	return out, nil
}

// PlacementGrid returns the grid that a recorded placement was made in, and its
// transformation.
func (p *Plan) PlacementGrid() (*crs.CRS, adjust.PlaneTransform, error) {
	record := p.Attributes.Get(PlanPlacement).Fields()
	if record == nil {
		return nil, adjust.PlaneTransform{}, errors.New("the plan has no recorded placement")
	}
	grid, err := crs.Parse(record.Get("grid").Text())
	if err != nil {
		return nil, adjust.PlaneTransform{}, fmt.Errorf("the recorded placement: %w", err)
	}
	items := record.Get("coefficients").Items()
	if len(items) != 7 {
		return nil, adjust.PlaneTransform{}, fmt.Errorf("the recorded placement has %d coefficients, not 7", len(items))
	}
	var v [7]float64
	for i, item := range items {
		f, ok := item.Float()
		if !ok {
			return nil, adjust.PlaneTransform{}, fmt.Errorf("coefficient %d of the recorded placement is no number", i+1)
		}
		v[i] = f
	}
	t := adjust.PlaneTransform{A: v[0], B: v[1], C: v[2], D: v[3], ShiftE: v[4], ShiftN: v[5], HeightShift: v[6]}
	return grid, t, t.Check()
}

// Unplaced returns the plan in the drawing's coordinates again, without CRS and
// without the record. p must be in the grid that PlacementGrid names; it stays
// as it is.
func (p *Plan) Unplaced() (*Plan, error) {
	grid, t, err := p.PlacementGrid()
	if err != nil {
		return nil, err
	}
	if !grid.Equal(p.CRS) {
		return nil, fmt.Errorf("the plan was placed in %s and must be in it to be taken back", grid.ID())
	}
	out, err := p.onPlane(t.ApplyInverse)
	if err != nil {
		return nil, err
	}
	out.CRS = nil
	out.Attributes.Delete(PlanPlacement)
	out.Attributes.Delete(PropFrame)
	return out, nil
}

// onPlane returns a copy of the plan with do applied to the coordinates of each
// geometry.
func (p *Plan) onPlane(do func(flat []float64, stride int) error) (*Plan, error) {
	out := *p
	out.Attributes = p.Attributes.Clone()
	out.Features = make([]*Feature, len(p.Features))
	for i, f := range p.Features {
		g := *f
		if f.Geometry != nil {
			moved, err := mapFlat(f.Geometry, do)
			if err != nil {
				return nil, fmt.Errorf("feature %d (%s): %w", i+1, f.Label(), err)
			}
			g.Geometry = moved
		}
		out.Features[i] = &g
	}
	return &out, nil
}

// mapFlat applies do to a copy of the geometry's coordinates.
func mapFlat(g geom.T, do func(flat []float64, stride int) error) (geom.T, error) {
	if c, ok := g.(*geom.GeometryCollection); ok {
		out := geom.NewGeometryCollection()
		for _, part := range c.Geoms() {
			moved, err := mapFlat(part, do)
			if err != nil {
				return nil, err
			}
			if err := out.Push(moved); err != nil {
				return nil, err
			}
		}
		return out, nil
	}
	flat := append([]float64(nil), g.FlatCoords()...)
	if err := do(flat, g.Stride()); err != nil {
		return nil, err
	}
	return WithFlatCoords(g, flat)
}
