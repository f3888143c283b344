// Helpers for the tests: drawings made of pairs, and what is read from them.

package dxf

import (
	"errors"
	"flag"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/schema"
)

var update = flag.Bool("update", false, "write the goldens anew")

// pairs returns group codes and values as a drawing has them.
func pairs(list ...any) string {
	var b strings.Builder
	for i := 0; i+1 < len(list); i += 2 {
		fmt.Fprintf(&b, "%3d\n%v\n", list[i], list[i+1])
	}
	return b.String()
}

func sectionOf(name, content string) string {
	return pairs(0, "SECTION", 2, name) + content + pairs(0, "ENDSEC")
}

// metres is a header that says metres, R2000 and the usual code page.
var metres = sectionOf("HEADER", pairs(9, "$ACADVER", 1, "AC1015", 9, "$DWGCODEPAGE", 3, "ANSI_1252", 9, "$INSUNITS", 70, 6))

// drawing returns a whole drawing in metres of the given entities.
func drawing(entities string) string {
	return metres + sectionOf("ENTITIES", entities) + pairs(0, "EOF")
}

// withBlocks returns one with block definitions.
func withBlocks(blocks, entities string) string {
	return metres + sectionOf("BLOCKS", blocks) + sectionOf("ENTITIES", entities) + pairs(0, "EOF")
}

func blockOf(name string, x, y float64, content string) string {
	return pairs(0, "BLOCK", 8, "0", 2, name, 70, 0, 10, x, 20, y, 30, 0, 3, name) + content + pairs(0, "ENDBLK")
}

func lineOf(layer string, x0, y0, x1, y1 float64) string {
	return pairs(0, "LINE", 8, layer, 10, x0, 20, y0, 11, x1, 21, y1)
}

// read reads a drawing that must be readable.
func read(t *testing.T, text string, o wire.ReadOptions) (*schema.Plan, []wire.Warning) {
	t.Helper()
	p, warnings, err := Read([]byte(text), o)
	if err != nil {
		t.Fatal(err)
	}
	for i, f := range p.Features {
		if err := sound(f); err != nil {
			t.Fatalf("feature %d (%s): %v", i, f.Label(), err)
		}
	}
	return p, warnings
}

// sound holds what every read feature promises.
func sound(f *schema.Feature) error {
	return eachLeaf(f.Geometry, func(l leaf) error {
		for i := 0; i < len(l.flat); i += l.stride {
			if math.IsNaN(l.flat[i]) || math.IsNaN(l.flat[i+1]) || math.IsInf(l.flat[i], 0) || math.IsInf(l.flat[i+1], 0) {
				return fmt.Errorf("vertex %d is %v", i/l.stride, l.flat[i:i+l.stride])
			}
		}
		return nil
	})
}

func kinds(w []wire.Warning) string {
	var out []string
	for _, x := range w {
		out = append(out, fmt.Sprintf("%s:%d", x.Kind, x.Count))
	}
	return strings.Join(out, " ")
}

// wkt is a short form of a geometry for comparing, rounded to 0.1 mm.
func wkt(g geom.T) string {
	if g == nil {
		return "null"
	}
	if c, ok := g.(*geom.GeometryCollection); ok {
		var parts []string
		for _, p := range c.Geoms() {
			parts = append(parts, wkt(p))
		}
		return "Collection[" + strings.Join(parts, " ") + "]"
	}
	var out []string
	_ = eachLeaf(g, func(l leaf) error {
		var v []string
		for i := 0; i < len(l.flat); i += l.stride {
			s := number(l.flat[i]) + " " + number(l.flat[i+1])
			if l.hasZ {
				s += " " + number(l.flat[i+2])
			}
			v = append(v, s)
		}
		out = append(out, "("+strings.Join(v, ", ")+")")
		return nil
	})
	return strings.TrimPrefix(fmt.Sprintf("%T", g), "*geom.") + strings.Join(out, "")
}

func number(f float64) string {
	if math.IsNaN(f) {
		return "-"
	}
	f = math.Round(f*1e4) / 1e4
	if f == 0 {
		f = 0
	}
	return fmt.Sprint(f)
}

func features(p *schema.Plan) string {
	var out []string
	for _, f := range p.Features {
		out = append(out, f.Attributes.Get(schema.PropEntity).Text()+" "+wkt(f.Geometry))
	}
	return strings.Join(out, "\n")
}

// refusal reads a drawing that must be refused with one clear error.
func refusal(t *testing.T, data []byte, o wire.ReadOptions) *wire.InputError {
	t.Helper()
	o.Name = "x.dxf"
	_, _, err := Read(data, o)
	var in *wire.InputError
	if !errors.As(err, &in) {
		t.Fatalf("got %v (%T), want a *wire.InputError", err, err)
	}
	if in.File != "x.dxf" || in.Problem == "" {
		t.Errorf("the error names no file or no problem: %+v", in)
	}
	return in
}
