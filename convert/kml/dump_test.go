// A plan as text, for goldens and tables.

package kml

import (
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/schema"
)

var update = flag.Bool("update", false, "write the golden files anew")

// golden compares text with a file of testdata.
func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if string(want) != got {
		t.Errorf("%s differs from what was made:\n%s", path, got)
	}
}

// dump shows a plan and its warnings.
func dump(p *schema.Plan, warnings []wire.Warning) string {
	var b strings.Builder
	fmt.Fprintf(&b, "plan %q %s epoch %v %s\n", p.Name, p.CRS.ID(), p.Epoch, p.Attributes.AppendJSON(nil))
	for _, f := range p.Features {
		fmt.Fprintf(&b, "line %d %s %q id %s %s\n    %s\n", f.Source.Line, f.Role, f.Name, idText(f.ID), f.Attributes.AppendJSON(nil), shape(f.Geometry))
	}
	for _, w := range warnings {
		fmt.Fprintf(&b, "warning %s %d, line %d %s: %s\n", w.Kind, w.Count, w.Line, w.Path, w.Message)
	}
	return b.String()
}

func idText(v schema.Value) string {
	if v.IsAbsent() {
		return "-"
	}
	return string(v.AppendJSON(nil))
}

// shape shows a geometry: type, and vertices as x y [h], h left out where NaN.
func shape(g geom.T) string {
	vertices := func(flat []float64, stride int) string {
		var out []string
		for i := 0; i+stride <= len(flat); i += stride {
			v := number(flat[i]) + " " + number(flat[i+1])
			if stride > 2 && !math.IsNaN(flat[i+2]) {
				v += " " + number(flat[i+2])
			}
			out = append(out, v)
		}
		return "(" + strings.Join(out, ", ") + ")"
	}
	runs := func(flat []float64, stride, start int, ends []int) string {
		var out []string
		for _, end := range ends {
			out = append(out, vertices(flat[start:end], stride))
			start = end
		}
		return "[" + strings.Join(out, " ") + "]"
	}
	switch g := g.(type) {
	case nil:
		return "no geometry"
	case *geom.Point:
		return "Point" + vertices(g.FlatCoords(), g.Stride())
	case *geom.LineString:
		return "LineString" + vertices(g.FlatCoords(), g.Stride())
	case *geom.Polygon:
		return "Polygon" + runs(g.FlatCoords(), g.Stride(), 0, g.Ends())
	case *geom.MultiPoint:
		return "MultiPoint" + runs(g.FlatCoords(), g.Stride(), 0, g.Ends())
	case *geom.MultiLineString:
		return "MultiLineString" + runs(g.FlatCoords(), g.Stride(), 0, g.Ends())
	case *geom.MultiPolygon:
		var out []string
		start := 0
		for _, ends := range g.Endss() {
			out = append(out, runs(g.FlatCoords(), g.Stride(), start, ends))
			if len(ends) > 0 {
				start = ends[len(ends)-1]
			}
		}
		return "MultiPolygon{" + strings.Join(out, " ") + "}"
	case *geom.GeometryCollection:
		var out []string
		for _, part := range g.Geoms() {
			out = append(out, shape(part))
		}
		return "GeometryCollection{" + strings.Join(out, " ") + "}"
	}
	return fmt.Sprintf("%T", g)
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
