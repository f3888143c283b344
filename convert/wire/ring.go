// Rings on their way out: turned to the winding that the target's standard
// asks for, closed, and counted when that changed what the plan said.

package wire

import (
	"github.com/twpayne/go-geom"

	"swardline/crs"
	"swardline/schema"
)

// ForRings returns g with every polygon ring closed and turned to the winding w
// for the role, its first point kept first; g itself is not changed. Rings that
// were open, or that ran against the winding their source promised, are counted
// in t, because the fault that they carry does not survive. c is the system of
// the coordinates, nil where nobody knows it.
func ForRings(f *schema.Feature, c *crs.CRS, from, to schema.Winding, t *Tally) geom.T {
	return forRings(f.Geometry, f, schema.RoundOf(c), from, to, t)
}

func forRings(g geom.T, f *schema.Feature, round float64, from, to schema.Winding, t *Tally) geom.T {
	switch g := g.(type) {
	case *geom.Polygon:
		if g.Ends() != nil && polygonStands(g, f, round, to) && (from == to || from == schema.WindingUnstated || polygonStands(g, f, round, from)) {
			return g
		}
		flat, ends := orient(g.FlatCoords(), g.Stride(), 0, g.Ends(), f, round, from, to, t)
		return geom.NewPolygonFlat(g.Layout(), flat, ends)
	case *geom.MultiPolygon:
		var flat []float64
		var endss [][]int
		start := 0
		for _, ends := range g.Endss() {
			part, partEnds := orient(g.FlatCoords(), g.Stride(), start, ends, f, round, from, to, t)
			if len(ends) > 0 {
				start = ends[len(ends)-1]
			}
			for i := range partEnds {
				partEnds[i] += len(flat)
			}
			flat = append(flat, part...)
			endss = append(endss, partEnds)
		}
		return geom.NewMultiPolygonFlat(g.Layout(), flat, endss)
	case *geom.GeometryCollection:
		out := geom.NewGeometryCollection()
		for _, part := range g.Geoms() {
			if err := out.Push(forRings(part, f, round, from, to, t)); err != nil {
				return g // cannot happen: the parts' layouts are as they were
			}
		}
		return out
	}
	return g
}

// polygonStands reports whether every ring is closed and runs as the winding
// asks.
func polygonStands(g *geom.Polygon, f *schema.Feature, round float64, w schema.Winding) bool {
	flat, stride, start := g.FlatCoords(), g.Stride(), 0
	for i, end := range g.Ends() {
		ring := flat[start:end]
		start = end
		if len(ring) > 0 && !schema.IsClosed(ring, stride) {
			return false
		}
		area := schema.TwiceAreaRound(ring, stride, round)
		if area != 0 && w != schema.WindingUnstated && (area > 0) != w.Anticlockwise(f.Role, i > 0) {
			return false
		}
	}
	return true
}

// orient returns a copy of the rings flat[start:ends[...]], closed and turned,
// with their ends counted from 0.
func orient(flat []float64, stride, start int, ends []int, f *schema.Feature, round float64, from, to schema.Winding, t *Tally) ([]float64, []int) {
	total := 0
	if len(ends) > 0 {
		total = ends[len(ends)-1] - start
	}
	out := make([]float64, 0, total)
	outEnds := make([]int, 0, len(ends))
	for i, end := range ends {
		at := len(out)
		out = append(out, flat[start:end]...)
		start = end
		ring := out[at:]
		if len(ring) > 0 && !schema.IsClosed(ring, stride) {
			out = append(out, ring[:stride]...)
			ring = out[at:]
			t.Add("ring-closed", f.Source.Line, f.Source.Path, "outline %d of %q was open; it is written closed", i+1, f.Label())
		}
		area := schema.TwiceAreaRound(ring, stride, round)
		if area != 0 && to != schema.WindingUnstated {
			runs := area > 0
			if from != schema.WindingUnstated && runs != from.Anticlockwise(f.Role, i > 0) {
				t.Add("ring-reversed", f.Source.Line, f.Source.Path, "outline %d of %q ran the wrong way round; it is written the right way", i+1, f.Label())
			}
			if runs != to.Anticlockwise(f.Role, i > 0) {
				schema.ReverseRing(ring, stride)
			}
		}
		outEnds = append(outEnds, len(out))
	}
	return out, outEnds
}
