// Equality of plans, for proving that a conversion lost nothing.

package schema

import (
	"fmt"
	"math"

	"github.com/twpayne/go-geom"
)

// Same returns nil when both plans hold the same content: name, CRS, epoch,
// attributes, and per feature id, role, name, attributes (with their types,
// digits and order), geometry type and structure, the place of every vertex
// within tolMetres and its height within tolMetres or absent in both. Source is
// no content, but its winding says which way a ring is meant to run: where the
// two plans promise different senses, b's rings are compared reversed, first
// point still first. The error names the first difference.
func Same(a, b *Plan, tolMetres float64) error {
	switch {
	case a.Name != b.Name:
		return fmt.Errorf("plan name: %q against %q", a.Name, b.Name)
	case (a.CRS == nil) != (b.CRS == nil):
		return fmt.Errorf("CRS: one is unknown, the other is not")
	case a.CRS != nil && !a.CRS.Equal(b.CRS):
		return fmt.Errorf("CRS: %s against %s", a.CRS.ID(), b.CRS.ID())
	case a.Epoch != b.Epoch:
		return fmt.Errorf("epoch: %v against %v", a.Epoch, b.Epoch)
	case len(a.Features) != len(b.Features):
		return fmt.Errorf("%d features against %d", len(a.Features), len(b.Features))
	}
	if err := sameAttributes(a.Attributes, b.Attributes); err != nil {
		return fmt.Errorf("plan: %w", err)
	}
	m := measure{tol: tolMetres, degrees: a.CRS != nil && a.CRS.IsDegrees(), unit: 1}
	if a.CRS != nil && a.CRS.UnitMetres() > 0 {
		m.unit = a.CRS.UnitMetres()
	}
	for i, f := range a.Features {
		m.turned = turned(f.Role, a.Source.Winding, b.Source.Winding)
		if err := sameFeature(f, b.Features[i], m); err != nil {
			return fmt.Errorf("feature %d (%s): %w", i+1, f.Label(), err)
		}
	}
	return nil
}

// turned reports whether the two windings run a role's rings opposite ways.
func turned(role Role, a, b Winding) bool {
	return a != WindingUnstated && b != WindingUnstated && a.Anticlockwise(role, false) != b.Anticlockwise(role, false)
}

func sameFeature(f, g *Feature, m measure) error {
	switch {
	case !f.ID.Equal(g.ID):
		return fmt.Errorf("id: %s against %s", show(f.ID), show(g.ID))
	case f.Role != g.Role:
		return fmt.Errorf("role: %s against %s", f.Role, g.Role)
	case f.Name != g.Name:
		return fmt.Errorf("name: %q against %q", f.Name, g.Name)
	}
	if err := sameAttributes(f.Attributes, g.Attributes); err != nil {
		return err
	}
	return m.geometry(f.Geometry, g.Geometry)
}

func show(v Value) string {
	if v.IsAbsent() {
		return "absent"
	}
	return string(v.AppendJSON(nil))
}

func sameAttributes(a, b Attributes) error {
	for i := range a {
		if i >= len(b) {
			return fmt.Errorf("attribute %q: missing in the second", a[i].Key)
		}
		if a[i].Key != b[i].Key {
			return fmt.Errorf("attribute %d: key %q against %q", i+1, a[i].Key, b[i].Key)
		}
		if !a[i].Value.Equal(b[i].Value) {
			return fmt.Errorf("attribute %q: %s against %s", a[i].Key, show(a[i].Value), show(b[i].Value))
		}
	}
	if len(b) > len(a) {
		return fmt.Errorf("attribute %q: missing in the first", b[len(a)].Key)
	}
	return nil
}

// measure compares geometries.
type measure struct {
	tol     float64 // metres
	unit    float64 // metres in a unit of plane coordinates
	degrees bool
	turned  bool
}

func (m measure) geometry(g, h geom.T) error {
	if (g == nil) != (h == nil) {
		return fmt.Errorf("geometry: one is missing")
	}
	if g == nil {
		return nil
	}
	if a, b := fmt.Sprintf("%T", g), fmt.Sprintf("%T", h); a != b {
		return fmt.Errorf("geometry: %s against %s", a[len("*geom."):], b[len("*geom."):])
	}
	if c, ok := g.(*geom.GeometryCollection); ok {
		d := h.(*geom.GeometryCollection)
		if c.NumGeoms() != d.NumGeoms() {
			return fmt.Errorf("geometry: %d parts against %d", c.NumGeoms(), d.NumGeoms())
		}
		for i, part := range c.Geoms() {
			if err := m.geometry(part, d.Geom(i)); err != nil {
				return fmt.Errorf("part %d: %w", i+1, err)
			}
		}
		return nil
	}
	a, b := runs(g), runs(h)
	if len(a) != len(b) {
		return fmt.Errorf("geometry: %d parts against %d", len(a), len(b))
	}
	rings := false
	switch g.(type) {
	case *geom.Polygon, *geom.MultiPolygon:
		rings = true
	}
	for i := range a {
		if a[i].part != b[i].part {
			return fmt.Errorf("geometry: ring %d belongs to part %d against %d", i+1, a[i].part+1, b[i].part+1)
		}
		if err := m.run(a[i].flat, g.Stride(), b[i].flat, h.Stride(), rings && m.turned); err != nil {
			return fmt.Errorf("line or ring %d: %w", i+1, err)
		}
	}
	return nil
}

// run is the coordinates of one line or ring, and the part it belongs to.
type run struct {
	flat []float64
	part int
}

func runs(g geom.T) []run {
	flat := g.FlatCoords()
	var out []run
	start := 0
	add := func(end, part int) {
		out = append(out, run{flat[start:end], part})
		start = end
	}
	switch g := g.(type) {
	case *geom.Polygon, *geom.MultiLineString, *geom.MultiPoint:
		for _, end := range g.Ends() {
			add(end, 0)
		}
	case *geom.MultiPolygon:
		for part, ends := range g.Endss() {
			for _, end := range ends {
				add(end, part)
			}
		}
	default:
		add(len(flat), 0)
	}
	return out
}

func (m measure) run(a []float64, strideA int, b []float64, strideB int, reverse bool) error {
	if strideA == 0 || strideB == 0 || len(a)/strideA != len(b)/strideB {
		return fmt.Errorf("%d numbers in steps of %d against %d in steps of %d", len(a), strideA, len(b), strideB)
	}
	if reverse {
		b = append([]float64(nil), b...)
		ReverseRing(b, strideB)
	}
	for i := 0; i < len(a)/strideA; i++ {
		p, q := a[i*strideA:(i+1)*strideA], b[i*strideB:(i+1)*strideB]
		dx, dy := (p[0]-q[0])*m.unit, (p[1]-q[1])*m.unit
		if m.degrees {
			const metresPerDegree = 111320 // along the equator of WGS 84, from memory; ample for a tolerance
			dx = (p[0] - q[0]) * metresPerDegree * math.Cos(p[1]*math.Pi/180)
			dy = (p[1] - q[1]) * metresPerDegree
		}
		// Written so that NaN and infinity differ from everything but
		// themselves.
		if d := math.Hypot(dx, dy); !(d <= m.tol) && !(p[0] == q[0] && p[1] == q[1]) {
			return fmt.Errorf("vertex %d: (%v, %v) against (%v, %v), %.3g m apart", i+1, p[0], p[1], q[0], q[1], d)
		}
		hp, hq := height(p), height(q)
		if math.IsNaN(hp) && math.IsNaN(hq) {
			continue
		}
		if !(math.Abs(hp-hq) <= m.tol) {
			return fmt.Errorf("vertex %d: height %v against %v (NaN is absent)", i+1, hp, hq)
		}
	}
	return nil
}

func height(p []float64) float64 {
	if len(p) < 3 {
		return math.NaN()
	}
	return p[2]
}
