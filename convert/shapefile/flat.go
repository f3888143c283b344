// Geometries with and without heights.

package shapefile

import (
	"math"

	"github.com/twpayne/go-geom"
)

// hasHeight reports whether a vertex of the geometry has a height.
func hasHeight(g geom.T) bool {
	if c, ok := g.(*geom.GeometryCollection); ok {
		for _, part := range c.Geoms() {
			if hasHeight(part) {
				return true
			}
		}
		return false
	}
	z := g.Layout().ZIndex()
	if z < 0 {
		return false
	}
	flat := g.FlatCoords()
	for i := z; i < len(flat); i += g.Stride() {
		if !math.IsNaN(flat[i]) {
			return true
		}
	}
	return false
}

// flattened returns the geometry without heights.
func flattened(g geom.T) geom.T {
	if g == nil || g.Layout() == geom.XY {
		return g
	}
	stride, flat := g.Stride(), g.FlatCoords()
	out := make([]float64, 0, len(flat)/stride*2)
	for i := 0; i+1 < len(flat); i += stride {
		out = append(out, flat[i], flat[i+1])
	}
	scaled := func(ends []int) []int {
		e := make([]int, len(ends))
		for i, n := range ends {
			e[i] = n / stride * 2
		}
		return e
	}
	switch g := g.(type) {
	case *geom.Point:
		return geom.NewPointFlat(geom.XY, out)
	case *geom.MultiPoint:
		return geom.NewMultiPointFlat(geom.XY, out)
	case *geom.LineString:
		return geom.NewLineStringFlat(geom.XY, out)
	case *geom.MultiLineString:
		return geom.NewMultiLineStringFlat(geom.XY, out, scaled(g.Ends()))
	case *geom.Polygon:
		return geom.NewPolygonFlat(geom.XY, out, scaled(g.Ends()))
	case *geom.MultiPolygon:
		var endss [][]int
		for _, ends := range g.Endss() {
			endss = append(endss, scaled(ends))
		}
		return geom.NewMultiPolygonFlat(geom.XY, out, endss)
	}
	return g
}
