// Fuzzing and benchmarks of reading.

package dxf

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"

	"swardline/convert/wire"
	"swardline/schema"
)

func FuzzRead(f *testing.F) {
	var own bytes.Buffer
	p := everything()
	p.Features[2].Attributes = nil
	if _, err := Write(&own, p, wire.WriteOptions{Offset: &[2]float64{100, 200}}); err != nil {
		f.Fatal(err)
	}
	for _, seed := range []string{
		own.String(),
		drawing(curved()),
		withBlocks(blockOf("A", 1, 2, lineOf("0", 0, 0, 1, 1)+pairs(0, "INSERT", 8, "0", 2, "A", 10, 1, 20, 1)), pairs(0, "INSERT", 8, "0", 66, 1, 2, "A", 10, 1, 20, 1, 41, -2, 50, 30, 70, 2, 71, 2, 44, 3, 45, 4)+pairs(0, "ATTRIB", 2, "T", 1, "v")+pairs(0, "SEQEND")),
		drawing(pairs(0, "HATCH", 8, "A", 10, 0, 20, 0, 30, 0, 2, "SOLID", 70, 1, 71, 0, 91, 2, 92, 1, 93, 3, 72, 1, 10, 0, 20, 0, 11, 10, 21, 0, 72, 2, 10, 10, 20, 2, 40, 2, 50, 270, 51, 90, 73, 1, 72, 3, 10, 0, 20, 0, 11, 6, 21, 0, 40, 0.5, 50, 0, 51, 90, 73, 0, 97, 0, 92, 3, 72, 1, 73, 1, 93, 2, 10, 0, 20, 0, 42, 1, 10, 1, 20, 0, 42, 1, 97, 0, 75, 0)),
		drawing(pairs(0, "POLYLINE", 8, "A", 66, 1, 70, 9) + pairs(0, "VERTEX", 10, 0, 20, 0, 30, 1, 70, 32) + pairs(0, "VERTEX", 10, 2, 20, 0, 42, 1) + pairs(0, "SEQEND")),
		drawing(pairs(0, "SPLINE", 8, "A", 70, 1, 71, 3, 74, 3, 11, 0, 21, 0, 11, 5, 21, 5, 11, 10, 21, 0) + pairs(0, "3DFACE", 10, 0, 20, 0, 11, 1, 21, 0, 12, 1, 22, 1) + pairs(0, "ARC", 10, 0, 20, 0, 40, 3, 50, 10, 51, 10, 210, 1, 220, 1, 230, 1)),
		sectionOf("HEADER", pairs(9, "$ACADVER", 1, "AC1009", 9, "$DWGCODEPAGE", 3, "ANSI_932", 9, "$INSUNITS", 70, 4)) + sectionOf("ENTITIES", pairs(0, "MTEXT", 8, "\x83\x5c", 10, 0, 20, 0, 1, `{\H2;a\S1^2;\U+00E9\M+18EC5}`)) + pairs(0, "EOF"),
		"Anyprog Binary DXF\r\n\x1a\x00",
		clippedBlock(polylineOf(1, 0, 0, 10, 0, 10, 10, 0, 10)+polylineOf(0, 0, 0, 20, 5), clipOf(5, 5, []float64{5, 5, 12, 5, 8.5, 12}), 10, 15, 20, 5, 50, 30),
		located(4, geo(1, [2]float64{}, [2]float64{500000, 6200000}, 0.001, alias(25832, "E"), 12, -0.6, 22, 0.8)),
		drawing(multi("a", 1, 2, 3, 4) + pairs(0, "LEADER", 8, "A", 340, "AB", 10, 5, 20, 6, 10, 7, 20, 8) + pairs(0, "MTEXT", 5, "AB", 8, "A", 10, 7, 20, 8, 40, 1, 1, "b")),
		heard(),
		added(own.String(), on("KEEPOUT", polylineOf(1, 0, 0, 10, 0, 10, 10))),
		drawing(pairs(0, "SPLINE", 8, "A", 70, 11, 71, 3, 10, 0, 20, 0, 10, 5, 20, 5, 10, 10, 20, 0, 10, 0, 20, 9)),
	} {
		f.Add([]byte(seed))
	}
	limits := schema.DefaultLimits()
	limits.InputMaxVertices, limits.InputMaxFeatures = 20000, 2000
	f.Fuzz(func(t *testing.T, data []byte) {
		Detect(data)
		o := wire.ReadOptions{Name: "x.dxf", Unit: "m", Limits: limits}
		plan, _, err := Read(data, o)
		if err != nil {
			var in *wire.InputError
			if !errors.As(err, &in) || in.Problem == "" || in.File == "" {
				t.Fatalf("not a clear error: %v", err)
			}
			return
		}
		if _, err := Look(data, o); err != nil {
			t.Fatalf("Read takes it, Look does not: %v", err)
		}
		for i, f := range plan.Features {
			if f == nil || f.Source.Format != formatName {
				t.Fatalf("feature %d has no source", i)
			}
			if f.Geometry != nil {
				if err := sound(f); err != nil {
					t.Fatalf("feature %d: %v", i, err)
				}
			}
		}
		var once, twice bytes.Buffer
		if _, err := Write(&once, plan, wire.WriteOptions{}); err != nil {
			t.Fatalf("what was read cannot be written: %v", err)
		}
		back, _, err := Read(once.Bytes(), wire.ReadOptions{})
		if err != nil {
			t.Fatalf("what was written cannot be read: %v", err)
		}
		if len(back.Features) != len(plan.Features) {
			t.Fatalf("%d features, then %d", len(plan.Features), len(back.Features))
		}
		for i := range plan.Features {
			a, b := plan.Features[i], back.Features[i]
			if a.Name != b.Name || a.Role != b.Role || !a.ID.Equal(b.ID) {
				t.Fatalf("feature %d was %q, is %q", i, a.Name, b.Name)
			}
		}
		if _, err := Write(&twice, back, wire.WriteOptions{}); err != nil {
			t.Fatal(err)
		}
	})
}

// site is a drawing of about n bytes: outlines with bulges, lines, points,
// arcs.
func site(n int) []byte {
	var b strings.Builder
	for i := 0; b.Len() < n; i++ {
		x, y := float64(i%1000), float64(i/1000)
		b.WriteString(pairs(0, "LWPOLYLINE", 5, fmt.Sprintf("%X", i+100), 330, "1F", 100, "AcDbEntity", 8, "Lawn", 100, "AcDbPolyline", 90, 6, 70, 1, 43, "0.0"))
		for k := 0; k < 6; k++ {
			fmt.Fprintf(&b, " 10\n%.6f\n 20\n%.6f\n", x+float64(k)*1.375, y+float64(k%3)*2.123456)
		}
		b.WriteString(pairs(0, "LINE", 5, fmt.Sprintf("%X", i+9100), 330, "1F", 100, "AcDbEntity", 8, "Edge", 100, "AcDbLine"))
		fmt.Fprintf(&b, " 10\n%.6f\n 20\n%.6f\n 30\n0.0\n 11\n%.6f\n 21\n%.6f\n 31\n0.0\n", x, y, x+3.5, y+1.25)
		b.WriteString(pairs(0, "POINT", 5, fmt.Sprintf("%X", i+19100), 330, "1F", 100, "AcDbEntity", 8, "Marks", 100, "AcDbPoint"))
		fmt.Fprintf(&b, " 10\n%.6f\n 20\n%.6f\n 30\n%.3f\n", x, y, 40+float64(i%7))
		b.WriteString(pairs(0, "ARC", 5, fmt.Sprintf("%X", i+29100), 330, "1F", 100, "AcDbEntity", 8, "Edge", 100, "AcDbCircle"))
		fmt.Fprintf(&b, " 10\n%.6f\n 20\n%.6f\n 30\n0.0\n 40\n2.5\n100\nAcDbArc\n 50\n10.0\n 51\n95.0\n", x, y)
	}
	return []byte(drawing(b.String()))
}

func BenchmarkRead(b *testing.B) {
	data := site(20 << 20)
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := Read(data, wire.ReadOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkLook(b *testing.B) {
	data := site(20 << 20)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if _, err := Look(data, wire.ReadOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkWrite(b *testing.B) {
	p, _, err := Read(site(5<<20), wire.ReadOptions{})
	if err != nil {
		b.Fatal(err)
	}
	var out bytes.Buffer
	for b.Loop() {
		out.Reset()
		if _, err := Write(&out, p, wire.WriteOptions{}); err != nil {
			b.Fatal(err)
		}
	}
	b.SetBytes(int64(out.Len()))
}
