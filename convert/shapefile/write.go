// Writing: layers, their geometry, the archive.

package shapefile

import (
	"archive/zip"
	"encoding/binary"
	"fmt"
	"io"
	"iter"
	"math"
	"slices"
	"time"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

// maxBytes is the largest .shp or .dbf that every reader takes.
const maxBytes = math.MaxInt32

// kind is what all shapes of a layer are.
type kind struct {
	role  schema.Role
	shape int // shapePoint, shapeMultiPoint, shapeLine or shapePolygon
	z     bool
}

// item is one record to be written.
type item struct {
	f *schema.Feature
	g geom.T // nil for a null shape
}

// Write writes the plan as a zip archive of Shapefiles, as the package's
// comment describes it. It returns what they could not hold. The same plan
// gives the same bytes.
func Write(w io.Writer, p *schema.Plan, _ wire.WriteOptions) ([]wire.Loss, error) {
	var t wire.Tally
	order, items, err := sorted(p, &t)
	if err != nil {
		return nil, err
	}
	prj := system(p.CRS, &t)
	z := zip.NewWriter(w)
	put := func(name string, content []byte) error {
		e, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate, Modified: time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)})
		if err != nil {
			return err
		}
		_, err = e.Write(content)
		return err
	}
	names := layerNames(order)
	var fields schema.Attributes
	for i, k := range order {
		list := items[k]
		shp, shx, err := geometryFiles(k, list)
		if err != nil {
			return nil, err
		}
		columns := columnsOf(list, &t)
		dbf, err := tableFile(columns, list, &t)
		if err != nil {
			return nil, err
		}
		var whole schema.Attributes
		for _, c := range columns {
			if c.attribute && c.name != c.key {
				whole.Set(c.name, schema.String(c.key))
			}
		}
		if whole != nil {
			fields.Set(names[i], schema.Object(whole))
		}
		for _, e := range []struct {
			ending  string
			content []byte
		}{{".shp", shp}, {".shx", shx}, {".dbf", dbf}, {".prj", []byte(prj)}, {".cpg", []byte("UTF-8")}} {
			if len(e.content) == 0 {
				continue
			}
			if err := put(names[i]+e.ending, e.content); err != nil {
				return nil, err
			}
		}
	}
	record := schema.Attributes{{Key: "name", Value: schema.String(p.Name)}}
	if p.CRS != nil {
		record.Set("crs", schema.String(p.CRS.ID()))
	}
	if p.Epoch != 0 {
		record.Set("epoch", schema.Float(p.Epoch))
	}
	record.Set("attributes", schema.Object(p.Attributes))
	record.Set("fields", schema.Object(fields))
	if err := put(planEntry, append(record.AppendJSON(nil), '\n')); err != nil {
		return nil, err
	}
	return t.Losses(), z.Close()
}

// system returns the text of the .prj, "" for none.
func system(c *crs.CRS, t *wire.Tally) string {
	if c == nil {
		return ""
	}
	if text, ok := c.WKT1(); ok {
		return text
	}
	if c.Kind() == crs.KindSite {
		t.Add("crs", 0, "", "a .prj has no words for a site grid; only swardline will know where the layers are")
		return ""
	}
	t.Add("crs", 0, "", "the .prj names %s in WKT 2, which older programs do not read", c.ID())
	return c.WKT()
}

// sorted puts the features into layers.
func sorted(p *schema.Plan, t *wire.Tally) ([]kind, map[kind][]item, error) {
	var order []kind
	items := map[kind][]item{}
	add := func(k kind, it item) {
		if _, ok := items[k]; !ok {
			order = append(order, k)
		}
		items[k] = append(items[k], it)
	}
	var nulls []*schema.Feature
	for _, f := range p.Features {
		role := f.Role
		if _, ok := schema.ParseRole(string(role)); !ok {
			role = schema.RoleOther
		}
		g := wire.ForRings(f, p.CRS, p.Source.Winding, schema.WindingStandard, t)
		if g == nil {
			nulls = append(nulls, f)
			continue
		}
		if err := checkFinite(g); err != nil {
			return nil, nil, fmt.Errorf("feature %q: %w", f.Label(), err)
		}
		parts := simple(nil, g)
		if c, ok := g.(*geom.GeometryCollection); ok && len(c.Geoms()) > 0 {
			t.Add("collection-split", 0, "", "a Shapefile has no collections; the parts of %q are records of their own", f.Label())
		}
		if len(parts) == 0 {
			t.Add("geometry-empty", 0, "", "the geometry of %q has no coordinates; it is written as a null shape", f.Label())
			nulls = append(nulls, f)
			continue
		}
		for _, part := range parts {
			k := kind{role: role, shape: shapeOf(part), z: hasHeight(part)}
			if k.z {
				countMissing(part, f, t)
			}
			add(k, item{f, part})
		}
	}
	for _, f := range nulls {
		k := kind{role: f.Role, shape: shapePoint}
		if _, ok := schema.ParseRole(string(f.Role)); !ok {
			k.role = schema.RoleOther
		}
		for _, o := range order {
			if o.role == k.role {
				k = o
				break
			}
		}
		add(k, item{f, nil})
	}
	if len(order) == 0 {
		order = append(order, kind{role: schema.RoleOther, shape: shapePoint}) // an archive without a layer is none
	}
	return order, items, nil
}

func countMissing(g geom.T, f *schema.Feature, t *wire.Tally) {
	flat, stride := g.FlatCoords(), g.Stride()
	n := 0
	for i := 2; i < len(flat); i += stride {
		if math.IsNaN(flat[i]) {
			n++
		}
	}
	if n > 0 {
		t.AddN("height-absent", n, 0, "", "points of %q have no height beside others that do; they are written with the number for no data, %g", f.Label(), noData*10)
	}
}

// simple appends the parts of g that are no collections and not empty.
func simple(dst []geom.T, g geom.T) []geom.T {
	if c, ok := g.(*geom.GeometryCollection); ok {
		for _, part := range c.Geoms() {
			dst = simple(dst, part)
		}
		return dst
	}
	if g.Empty() || len(g.FlatCoords()) == 0 {
		return dst
	}
	return append(dst, g)
}

func checkFinite(g geom.T) error {
	if c, ok := g.(*geom.GeometryCollection); ok {
		for _, part := range c.Geoms() {
			if err := checkFinite(part); err != nil {
				return err
			}
		}
		return nil
	}
	flat, stride, z := g.FlatCoords(), g.Stride(), g.Layout().ZIndex()
	for i, v := range flat {
		if i%stride == z && z >= 0 && math.IsNaN(v) {
			continue
		}
		if math.IsNaN(v) || math.IsInf(v, 0) || v < noData {
			return fmt.Errorf("the number %v in a point is not one a Shapefile holds", v)
		}
	}
	return nil
}

func shapeOf(g geom.T) int {
	switch g.(type) {
	case *geom.Point:
		return shapePoint
	case *geom.MultiPoint:
		return shapeMultiPoint
	case *geom.Polygon, *geom.MultiPolygon:
		return shapePolygon
	}
	return shapeLine
}

// layerNames names layers by their role, and by the kind of geometry where a
// role has several.
func layerNames(order []kind) []string {
	words := map[int]string{shapePoint: "_point", shapeMultiPoint: "_multipoint", shapeLine: "_line", shapePolygon: "_area"}
	names := make([]string, len(order))
	for i, k := range order {
		names[i] = string(k.role)
		shapes, flat := false, false
		for _, o := range order {
			shapes = shapes || o.role == k.role && o.shape != k.shape
			flat = flat || o.role == k.role && o.shape == k.shape && !o.z
		}
		if shapes {
			names[i] += words[k.shape]
		}
		if k.z && flat {
			names[i] += "_z"
		}
	}
	return names
}

// box is a bounding box with a range of heights.
type box struct{ low, high [3]float64 }

func emptyBox() box {
	inf := math.Inf(1)
	return box{[3]float64{inf, inf, inf}, [3]float64{-inf, -inf, -inf}}
}

func (b *box) add(i int, v float64) {
	if v == v {
		b.low[i], b.high[i] = math.Min(b.low[i], v), math.Max(b.high[i], v)
	}
}

// numbers gives the box as written: 0 where it holds nothing.
func (b *box) numbers() [6]float64 {
	out := [6]float64{b.low[0], b.low[1], b.high[0], b.high[1], b.low[2], b.high[2]}
	for i, v := range out {
		if math.IsInf(v, 0) {
			out[i] = 0
		}
	}
	return out
}

func geometryFiles(k kind, items []item) (shp, shx []byte, err error) {
	be := binary.BigEndian
	shp, shx = make([]byte, headerSize), make([]byte, headerSize)
	all := emptyBox()
	for i, it := range items {
		at := len(shp)
		shp = append(shp, 0, 0, 0, 0, 0, 0, 0, 0)
		shp = appendShape(shp, k, it.g, &all)
		if len(shp) > maxBytes {
			return nil, nil, fmt.Errorf("the layer of %s is larger than the 2 GB that a Shapefile holds; split the plan", k.role)
		}
		size := uint32(len(shp)-at-8) / 2
		be.PutUint32(shp[at:], uint32(i+1))
		be.PutUint32(shp[at+4:], size)
		shx = be.AppendUint32(be.AppendUint32(shx, uint32(at/2)), size)
	}
	n := all.numbers()
	for _, b := range [][]byte{shp, shx} {
		be.PutUint32(b, fileCode)
		be.PutUint32(b[24:], uint32(len(b)/2))
		le := binary.LittleEndian
		le.PutUint32(b[28:], version)
		le.PutUint32(b[32:], uint32(typeOf(k)))
		for i, v := range n {
			le.PutUint64(b[36+8*i:], math.Float64bits(v))
		}
	}
	return shp, shx, nil
}

func typeOf(k kind) int {
	if k.z {
		return k.shape + addZ
	}
	return k.shape
}

// appendShape appends the content of a record.
func appendShape(dst []byte, k kind, g geom.T, all *box) []byte {
	le := binary.LittleEndian
	whole := func(n int) { dst = le.AppendUint32(dst, uint32(n)) }
	float := func(v float64) { dst = le.AppendUint64(dst, math.Float64bits(v)) }
	if g == nil {
		whole(shapeNull)
		return dst
	}
	whole(typeOf(k))
	parts, stride := partsOf(g), g.Stride()
	own := emptyBox()
	points := 0
	for part, i := range pointsOf(parts, stride) {
		points++
		for _, b := range []*box{&own, all} {
			b.add(0, part[i])
			b.add(1, part[i+1])
			b.add(2, heightAt(part, stride, i))
		}
	}
	putZ := func(v float64) {
		if v != v {
			v = noData * 10
		}
		float(v)
	}
	if k.shape == shapePoint {
		flat := g.FlatCoords()
		float(flat[0])
		float(flat[1])
		if k.z {
			putZ(heightAt(flat, stride, 0))
			float(noData * 10) // the measure
		}
		return dst
	}
	n := own.numbers()
	for _, v := range n[:4] {
		float(v)
	}
	if k.shape != shapeMultiPoint {
		whole(len(parts))
	}
	whole(points)
	if k.shape != shapeMultiPoint {
		at := 0
		for _, part := range parts {
			whole(at)
			at += len(part) / stride
		}
	}
	for part, i := range pointsOf(parts, stride) {
		float(part[i])
		float(part[i+1])
	}
	if k.z {
		float(n[4])
		float(n[5])
		for part, i := range pointsOf(parts, stride) {
			putZ(heightAt(part, stride, i))
		}
	}
	return dst
}

// partsOf are the coordinates of each part of a record: the lines, and the
// rings turned to the format's winding.
func partsOf(g geom.T) [][]float64 {
	flat, stride := g.FlatCoords(), g.Stride()
	var parts [][]float64
	start := 0
	cut := func(ends []int, reverse bool) {
		for _, end := range ends {
			part := flat[start:end:end]
			start = end
			if len(part) == 0 {
				continue
			}
			if reverse {
				part = slices.Clone(part)
				schema.ReverseRing(part, stride)
			}
			parts = append(parts, part)
		}
	}
	switch g := g.(type) {
	case *geom.MultiLineString:
		cut(g.Ends(), false)
	case *geom.Polygon:
		cut(g.Ends(), true)
	case *geom.MultiPolygon:
		for _, ends := range g.Endss() {
			cut(ends, true)
		}
	default:
		parts = [][]float64{flat}
	}
	return parts
}

// pointsOf walks the points of all parts: a part and where in it a point
// starts.
func pointsOf(parts [][]float64, stride int) iter.Seq2[[]float64, int] {
	return func(yield func([]float64, int) bool) {
		for _, part := range parts {
			for i := 0; i+stride <= len(part); i += stride {
				if !yield(part, i) {
					return
				}
			}
		}
	}
}

// heightAt is the height of the point that starts at i, NaN without one.
func heightAt(part []float64, stride, i int) float64 {
	if stride < 3 {
		return math.NaN()
	}
	return part[i+2]
}
