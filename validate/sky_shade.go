// The ground of a zone by its share of the day in the shade, as areas.

package validate

import (
	"math"

	"github.com/paulmach/orb"

	"swardline/validate/plane"
)

// Ground gives the ground of the zone's cells that keep accepts, cut at the
// zone's outline. Slivers along the outline, whose cell has its middle outside,
// count as the worst of the cells beside them.
func (z *SkyZone) Ground(keep func(*SkyCell) bool) orb.MultiPolygon {
	if len(z.Cells) == 0 || z.CellM <= 0 {
		return nil
	}
	type index [2]int
	low := z.areas.Bound().Min
	of := func(p orb.Point) index {
		return index{int(math.Floor((p[0] - low[0]) / z.CellM)), int(math.Floor((p[1] - low[1]) / z.CellM))}
	}
	known := map[index]*SkyCell{}
	for i := range z.Cells {
		known[of(z.Cells[i].At)] = &z.Cells[i]
	}
	beside := map[index]*SkyCell{}
	var order []index
	for i := range z.Cells {
		at := of(z.Cells[i].At)
		order = append(order, at)
		for dx := -1; dx <= 1; dx++ {
			for dy := -1; dy <= 1; dy++ {
				n := index{at[0] + dx, at[1] + dy}
				if known[n] != nil {
					continue
				}
				if old := beside[n]; old == nil || z.darker(&z.Cells[i], old) {
					if old == nil {
						order = append(order, n)
					}
					beside[n] = &z.Cells[i]
				}
			}
		}
	}
	var squares orb.MultiPolygon
	for _, n := range order {
		c := known[n]
		if c == nil {
			c = beside[n]
		}
		if !keep(c) {
			continue
		}
		x, y := low[0]+float64(n[0])*z.CellM, low[1]+float64(n[1])*z.CellM
		squares = append(squares, orb.Polygon{{{x, y}, {x + z.CellM, y}, {x + z.CellM, y + z.CellM}, {x, y + z.CellM}, {x, y}}})
	}
	if len(squares) == 0 {
		return nil
	}
	joined, err := plane.Union(squares, nil)
	if err != nil {
		return squares
	}
	cut, err := plane.Intersection(joined, z.areas)
	if err != nil {
		return joined
	}
	return cut
}

// darker is the order of cells for who must be on the safe side: more shade
// before less, and what is not known before what is open.
func (z *SkyZone) darker(a, b *SkyCell) bool {
	switch {
	case math.IsNaN(a.Thin):
		return 100*b.Thin <= z.FewPercent
	case math.IsNaN(b.Thin):
		return 100*a.Thin > z.FewPercent
	}
	return a.Thin > b.Thin
}
