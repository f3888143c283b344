// What a file says of how far its content reaches, against the content.

package wire

import (
	"fmt"
	"math"

	"github.com/twpayne/go-geom"

	"swardline/schema"
)

// boxFar is how far in metres a box may reach beyond what it is said of: files keep
// the boxes of what was since taken out (common practice, no source). wholeDegrees
// and wholeMetres are sizes of boxes that are no site's but a system's.
const (
	boxFar       = 100
	wholeDegrees = 90
	wholeMetres  = 1e6
)

// BoxSays compares the box that a file says with what it draws, both in units of
// unit metres, or in degrees where unit is 0, and says in words where the box
// reaches farther than boxFar and the size of what is drawn; "" where it does not,
// or is none.
func BoxSays(said, drawn schema.Extent, unit float64) string {
	whole := wholeMetres / unit
	if unit == 0 {
		unit, whole = 111e3, wholeDegrees
	}
	if drawn.Empty || said.Empty || !(said.Size() < whole) || !(said.Max[0] > said.Min[0]) || !(said.Max[1] > said.Min[1]) {
		return ""
	}
	beyond := 0.0
	for k := range said.Min {
		beyond = max(beyond, drawn.Min[k]-said.Min[k], said.Max[k]-drawn.Max[k])
	}
	if limit := max(boxFar/unit, drawn.Size()); beyond > limit && !math.IsInf(beyond, 0) {
		return fmt.Sprintf("about %.0f m beyond all that it draws", beyond*unit)
	}
	return ""
}

// BoxOf is the extent of features, in their own coordinates.
func BoxOf(features []*schema.Feature) schema.Extent {
	box := schema.Extent{Empty: true}
	for _, f := range features {
		addTo(&box, f.Geometry)
	}
	return box
}

func addTo(box *schema.Extent, g geom.T) {
	switch g := g.(type) {
	case nil:
	case *geom.GeometryCollection:
		for _, part := range g.Geoms() {
			addTo(box, part)
		}
	default:
		flat, stride := g.FlatCoords(), max(g.Stride(), 1)
		for i := 0; i+1 < len(flat); i += stride {
			if !math.IsNaN(flat[i]) && !math.IsNaN(flat[i+1]) {
				box.Add(flat[i], flat[i+1])
			}
		}
	}
}

// UnitOf is the unit that BoxSays takes of a plan whose coordinates are as they
// were read: 0 for degrees, 1 where the system is not known.
func UnitOf(p *schema.Plan) float64 {
	switch {
	case p.CRS == nil:
		return 1
	case p.CRS.IsDegrees():
		return 0
	}
	return p.CRS.UnitMetres()
}
