package validate_test
import ("testing";"fmt";"math";"time";"math/rand/v2";"swardline/validate";"swardline/schema";"github.com/twpayne/go-geom";"swardline/crs")
func ringN(n int, jag float64, r float64) []float64 {
	rr := rand.New(rand.NewPCG(1,1))
	var out []float64
	for i:=0;i<n;i++ { s,c := math.Sincos(2*math.Pi*float64(i)/float64(n)); q := r*(1+jag*(rr.Float64()-0.5)); out = append(out, 9+q*c/70000, 50+q*s/111000) }
	return append(out, out[0], out[1])
}
func TestZZ(t *testing.T) {
	for _, n := range []int{20000, 100000} {
		for _, jag := range []float64{0.5/float64(n), 0.1} {
			p := &schema.Plan{CRS: crs.WGS84()}
			add := func(role schema.Role, name string, flat []float64) { p.Features = append(p.Features, &schema.Feature{Role: role, Name: name, Geometry: geom.NewPolygonFlat(geom.XY, flat, []int{len(flat)})}) }
			add("zone", "z", ringN(n, jag, 100))
			add("keepout", "k", ringN(n/10+3, jag, 50))
			t0 := time.Now()
			r := validate.Check(p, schema.DefaultLimits())
			fmt.Println(n, jag, time.Since(t0), len(r.Findings))
		}
	}
	for _, n := range []int{1000, 10000, 100000} {
		p := &schema.Plan{CRS: crs.WGS84()}
		side := int(math.Sqrt(float64(n)))
		for i := 0; i < n; i++ {
			x, y := 9 + float64(i%side)*1e-5, 50+float64(i/side)*1e-5
			f := &schema.Feature{Role: schema.Roles[i%11], Name: fmt.Sprint(i)}
			switch f.Role {
			case "corridor", "edge": f.Geometry = geom.NewLineStringFlat(geom.XY, []float64{x,y,x+5e-6,y, x+5e-6, y+2e-6})
			case "dock","base","mark","supply": f.Geometry = geom.NewPointFlat(geom.XY, []float64{x,y})
			default: f.Geometry = geom.NewPolygonFlat(geom.XY, []float64{x,y,x+8e-6,y,x+8e-6,y+8e-6,x,y+8e-6,x,y}, []int{10})
			}
			f.Attributes.Set("edge_kind", schema.String("wall")); f.Attributes.Set("height_m", schema.Float(3)); f.Attributes.Set("heading_deg", schema.Float(90))
			p.Features = append(p.Features, f)
		}
			t0 := time.Now()
			r := validate.Check(p, schema.DefaultLimits())
			fmt.Println("features", n, time.Since(t0), len(r.Findings))
	}
}
