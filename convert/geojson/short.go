// Lines and rings too short for GeoJSON, which other formats hold: a track of
// one point, a part without any.

package geojson

import (
	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/schema"
)

// The least positions that the reader takes: RFC 7946 3.1.4 asks for two in a
// line; a ring of fewer than three encloses nothing.
const (
	leastInLine = 2
	leastInRing = 3
)

// lengthen returns g with every line and ring long enough to be read back: the
// last position is repeated, and parts without any are left out. Each is
// counted in t. A geometry that is long enough comes back as it is.
func lengthen(g geom.T, f *schema.Feature, t *wire.Tally) geom.T {
	switch g := g.(type) {
	case *geom.LineString:
		if n := g.NumCoords(); n > 0 && n < leastInLine {
			flat, _ := lengthenRuns(g.FlatCoords(), g.Stride(), 0, []int{len(g.FlatCoords())}, leastInLine, f, t)
			return geom.NewLineStringFlat(g.Layout(), flat)
		}
	case *geom.MultiLineString:
		if shortRun(g.Ends(), 0, leastInLine*g.Stride()) >= 0 {
			flat, ends := lengthenRuns(g.FlatCoords(), g.Stride(), 0, g.Ends(), leastInLine, f, t)
			return geom.NewMultiLineStringFlat(g.Layout(), flat, ends)
		}
	case *geom.Polygon:
		if shortRun(g.Ends(), 0, leastInRing*g.Stride()) >= 0 {
			flat, ends := lengthenRuns(g.FlatCoords(), g.Stride(), 0, g.Ends(), leastInRing, f, t)
			return geom.NewPolygonFlat(g.Layout(), flat, ends)
		}
	case *geom.MultiPolygon:
		start, short := 0, false
		for _, ends := range g.Endss() {
			short = short || shortRun(ends, start, leastInRing*g.Stride()) >= 0
			if len(ends) > 0 {
				start = ends[len(ends)-1]
			}
		}
		if !short {
			return g
		}
		var flat []float64
		var endss [][]int
		start = 0
		for _, ends := range g.Endss() {
			part, partEnds := lengthenRuns(g.FlatCoords(), g.Stride(), start, ends, leastInRing, f, t)
			if len(ends) > 0 {
				start = ends[len(ends)-1]
			}
			if len(partEnds) == 0 {
				continue
			}
			for i := range partEnds {
				partEnds[i] += len(flat)
			}
			flat, endss = append(flat, part...), append(endss, partEnds)
		}
		return geom.NewMultiPolygonFlat(g.Layout(), flat, endss)
	case *geom.GeometryCollection:
		out := geom.NewGeometryCollection()
		for _, part := range g.Geoms() {
			out.MustPush(lengthen(part, f, t)) // a new collection takes any layout
		}
		return out
	}
	return g
}

func lengthenRuns(flat []float64, stride, start int, ends []int, least int, f *schema.Feature, t *wire.Tally) ([]float64, []int) {
	var out []float64
	var outEnds []int
	for _, end := range ends {
		run := flat[start:end]
		start = end
		if len(run) == 0 {
			t.Add("part-empty", 0, "", "a line or outline of %q has no positions; it is left out", f.Label())
			continue
		}
		at := len(out)
		out = append(out, run...)
		if len(run) < least*stride {
			t.Add("part-short", 0, "", "a line or outline of %q has too few positions for GeoJSON; its last one is written again", f.Label())
			for len(out)-at < least*stride {
				out = append(out, run[len(run)-stride:]...)
			}
		}
		outEnds = append(outEnds, len(out))
	}
	return out, outEnds
}
