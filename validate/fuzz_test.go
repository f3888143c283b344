// Fuzzing: no plan makes Check or Mend panic, hang or lie about its outcomes.

package validate_test

import (
	"encoding/binary"
	"math"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/crs"
	"swardline/schema"
	"swardline/validate"
)

// planOf makes a plan of bytes: a few of them choose roles, geometries and
// attributes, the rest become coordinates, from a lattice where much coincides,
// from a site, or any bits at all.
func planOf(data []byte) *schema.Plan {
	next := func() byte {
		if len(data) == 0 {
			return 0
		}
		b := data[0]
		data = data[1:]
		return b
	}
	number := func(mode byte) float64 {
		switch mode % 4 {
		case 0:
			return float64(int(next())%7) - 3
		case 1:
			return float64(int8(next())) / 10
		case 2: // about a site in degrees
			return 9 + float64(int8(next()))*1e-5
		}
		var b [8]byte
		for i := range b {
			b[i] = next()
		}
		return math.Float64frombits(binary.LittleEndian.Uint64(b[:]))
	}
	p := &schema.Plan{}
	head := next()
	switch head % 5 {
	case 0, 1:
		p.CRS = crs.WGS84()
	case 2:
		if c, err := crs.Parse("EPSG:25832"); err == nil {
			p.CRS = c
		}
	case 3:
		if c, err := crs.Parse("EPSG:4978"); err == nil {
			p.CRS = c
		}
	}
	p.Source.Winding = schema.Winding(head / 5 % 3)
	for n := 0; len(data) > 0 && n < 12; n++ {
		f := &schema.Feature{Role: schema.Roles[int(next())%len(schema.Roles)]}
		shape, mode, extra := next(), next(), next()
		layout, stride := geom.XY, 2
		if extra&1 != 0 {
			layout, stride = geom.XYZ, 3
		}
		flat := func() []float64 {
			out := make([]float64, 0, 24)
			for k := int(next()) % 9 * stride; k > 0; k-- {
				out = append(out, number(mode))
			}
			if extra&2 != 0 && len(out) > 0 {
				out = append(out, out[:stride]...)
			}
			return out
		}
		switch shape % 8 {
		case 0:
			a := flat()
			if len(a) >= stride {
				f.Geometry = geom.NewPointFlat(layout, a[:stride])
			}
		case 1:
			f.Geometry = geom.NewLineStringFlat(layout, flat())
		case 2:
			a := flat()
			f.Geometry = geom.NewPolygonFlat(layout, a, []int{len(a)})
		case 3:
			a := flat()
			b := append(a[:len(a):len(a)], flat()...)
			f.Geometry = geom.NewPolygonFlat(layout, b, []int{len(a), len(b)})
		case 4:
			a := flat()
			b := append(a[:len(a):len(a)], flat()...)
			f.Geometry = geom.NewMultiPolygonFlat(layout, b, [][]int{{len(a)}, {len(b)}})
		case 5:
			a := flat()
			f.Geometry = geom.NewMultiLineStringFlat(layout, a, []int{len(a)})
		case 6:
			c := geom.NewGeometryCollection()
			a := flat()
			_ = c.Push(geom.NewPolygonFlat(layout, a, []int{len(a)}), geom.NewLineStringFlat(layout, flat()))
			f.Geometry = c
		}
		if extra&4 != 0 {
			f.Attributes.Set(schema.PropHeadingDeg, schema.Float(number(mode)))
			f.Attributes.Set(schema.PropStandoffM, schema.Float(number(mode)))
		}
		if extra&8 != 0 {
			f.Attributes.Set(schema.PropRadiusM, schema.Float(number(mode)))
			f.Attributes.Set(schema.PropHeightM, schema.Float(number(mode)))
		}
		if extra&16 != 0 {
			kinds := []string{"wall", "kerb", "flush", "drop", "fence", "hedge"}
			f.Attributes.Set(schema.PropEdgeKind, schema.String(kinds[int(next())%len(kinds)]))
		}
		if extra&32 != 0 {
			f.Attributes.Set(schema.PropLimits, schema.Object(schema.Attributes{{Key: schema.LimitTable[int(next())%20].Key, Value: schema.Float(number(mode))}}))
		}
		if extra&64 != 0 {
			f.Attributes.Set(schema.PropActive, schema.Bool(next()&1 == 0))
		}
		if extra&128 != 0 {
			f.Name = string(rune('a' + next()%5))
		}
		p.Features = append(p.Features, f)
	}
	return p
}

func FuzzCheck(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte{0, 0, 2, 2, 3, 4, 0, 0, 9, 0, 9, 9, 0, 9})
	f.Add([]byte{4, 0, 2, 1, 2, 4, 0, 0, 100, 0, 100, 100, 0, 100, 1, 2, 1, 2, 4, 30, 30, 60, 30, 60, 60, 30, 60})
	f.Add([]byte{4, 0, 3, 0, 2, 5, 0, 1, 2, 3, 4, 5, 6, 0, 1, 2, 4, 3, 1, 2, 2, 5, 5, 6, 3, 0, 0, 4, 4, 1, 2, 3, 4})
	f.Add([]byte{1, 0, 2, 3, 2, 4, 0, 0, 0, 0, 0, 0, 240, 127, 1, 2, 3, 4, 5, 6, 7, 8, 255, 255, 255, 255, 255, 255, 239, 127})
	f.Add([]byte("702101\x02\x0400\x1e<"))                                                // a spike over the closing point
	f.Add([]byte{5, 0, 2, 0, 1, 6, 6, 6, 6, 1, 6, 6, 6, 0, 6, 4, 1, 6, 0, 1, 6, 6, 0, 0}) // meets itself at its lowest point
	f.Fuzz(func(t *testing.T, data []byte) {
		p := planOf(data)
		r := validate.Check(p, schema.DefaultLimits())
		if len(r.Rules) != len(validate.RulesOf(validate.CommandCheck)) {
			t.Fatalf("%d results for %d rules", len(r.Rules), len(validate.RulesOf(validate.CommandCheck)))
		}
		count := map[string]int{}
		for _, x := range r.Findings {
			count[x.Rule]++
			if x.Message == "" || x.Rule == "" {
				t.Fatalf("finding without words: %+v", x)
			}
			if math.IsInf(x.Measured, 0) || math.IsInf(x.AreaM2, 0) || math.IsInf(x.Limit, 0) {
				t.Fatalf("an infinite figure: %s", show(x))
			}
			if x.Unit == "" && !math.IsNaN(x.Measured) {
				t.Fatalf("a figure without a unit: %s", show(x))
			}
			if x.At != nil {
				for _, v := range []*float64{x.At.Lon, x.At.Lat, x.At.E, x.At.N} {
					if v != nil && (math.IsNaN(*v) || math.IsInf(*v, 0)) {
						t.Fatalf("a place that is no number: %s", show(x))
					}
				}
			}
		}
		for _, x := range r.Rules {
			switch {
			case (x.Outcome == validate.Failed) != (count[x.Rule] > 0),
				(x.Outcome == validate.Unchecked || x.Outcome == validate.NotNeeded) && x.Reason == "",
				x.Outcome == validate.Passed && x.Reason != "":
				t.Fatalf("%s is %s (%q) with %d findings", x.Rule, x.Outcome, x.Reason, count[x.Rule])
			}
		}
		out, _ := validate.Mend(p)
		if err := validate.Verify(p, out); err != nil {
			t.Fatalf("mending: %v", err)
		}
		if _, more := validate.Mend(out); len(more) > 0 {
			t.Fatalf("mending twice: %+v", more)
		}
	})
}
