// Every datum step of the registry against libproj's operation of the same
// code.

package projsteps

import (
	"fmt"
	"math"
	"math/rand/v2"
	"sort"
	"strings"
	"testing"

	"swardline/crs"
)

// tolerance is what the two may differ by forward: 0.01 mm.
const tolerance = 1e-5

// unableTo says why libproj 9.1 cannot be asked.
var unableTo = map[int]string{
	1065: "libproj 9.1 has no time-specific steps; their arithmetic is that of 1033",
	1066: "libproj 9.1 has no time-specific steps; their arithmetic is that of 1032",
	9601: "between prime meridians; our longitudes count from Greenwich throughout, see TestChosenAgainstPROJ",
}

// changed are steps whose entry the registry mended between v10.076, the tables
// of libproj 9.1.1, and v12.029.
var changed = map[int]string{
	8265: "a digit more in every parameter", 8970: "a digit more in every parameter",
	9126: "no longer time-specific", 9127: "no longer time-specific", 9128: "no longer time-specific", 9129: "no longer time-specific",
}

// geocentricMethods work on earth-centred axes in the registry, so that libproj
// takes X, Y, Z.
var geocentricMethods = map[int]bool{1031: true, 1032: true, 1033: true, 1034: true, 1053: true, 1056: true, 1061: true, 1065: true, 1066: true}

func TestEveryStepAgainstPROJ(t *testing.T) {
	ctx := NewContext()
	defer ctx.Close()
	random := rand.New(rand.NewPCG(7, 7))
	type row struct {
		steps, points    int
		forward, inverse float64
		worst, worstBack int
	}
	rows := map[string]*row{}
	missing, failed, unable := 0, 0, 0
	for _, tr := range crs.Transformations() {
		if len(tr.Files()) > 0 || tr.Code() == 0 {
			continue
		}
		method, name := tr.Method()
		if why := unableTo[method]; why != "" {
			unable++
			continue
		}
		if changed[tr.Code()] != "" {
			continue
		}
		op, err := ctx.New(fmt.Sprintf("urn:ogc:def:coordinateOperation:EPSG::%d", tr.Code()))
		if err != nil {
			missing++ // the registry gained it after libproj's tables
			t.Logf("EPSG:%d %s is not in libproj's registry", tr.Code(), tr.Name())
			continue
		}
		key := fmt.Sprintf("%d %s", method, name)
		r := rows[key]
		if r == nil {
			r = &row{}
			rows[key] = r
		}
		r.steps++
		w, s, e, n := tr.Area()
		if w > e {
			e += 360
		}
		for range 10 {
			lon, lat := math.Remainder(w+random.Float64()*(e-w), 360), s+random.Float64()*(n-s)
			h, epoch := random.Float64()*1000, 1994+random.Float64()*30
			if geocentricMethods[method] {
				h = random.Float64() * 1000
			}
			ours := []float64{lon, lat, h}
			if err := tr.Apply(ours, 3, epoch, false); err != nil {
				t.Fatalf("EPSG:%d: %v", tr.Code(), err)
			}
			theirs, height := runPROJ(op, method, tr, [3]float64{lon, lat, h}, epoch, false)
			d := OnGround(ours[0], ours[1], theirs[0], theirs[1])
			if height {
				d = math.Max(d, math.Abs(ours[2]-theirs[2]))
			}
			if !(d <= r.forward) {
				r.forward, r.worst = d, tr.Code()
			}
			if !(d <= tolerance) {
				failed++
				if failed < 40 {
					t.Errorf("EPSG:%d %s (method %d): %.6f mm apart at %.4f %.4f; ours %v, libproj %v", tr.Code(), tr.Name(), method, d*1e3, lon, lat, ours, theirs)
				}
				break
			}
			if err := tr.Apply(ours, 3, epoch, true); err != nil {
				t.Fatalf("EPSG:%d: %v", tr.Code(), err)
			}
			if d := OnGround(ours[0], ours[1], lon, lat); !(d <= tolerance) || math.Abs(ours[2]-h) > tolerance {
				t.Errorf("EPSG:%d: there and back leaves %.6f mm", tr.Code(), d*1e3)
			}
			back := []float64{lon, lat, h}
			if err := tr.Apply(back, 3, epoch, true); err != nil {
				t.Fatalf("EPSG:%d: %v", tr.Code(), err)
			}
			theirs, _ = runPROJ(op, method, tr, [3]float64{lon, lat, h}, epoch, true)
			if d := OnGround(back[0], back[1], theirs[0], theirs[1]); d > r.inverse {
				r.inverse, r.worstBack = d, tr.Code()
			}
			r.points++
		}
		op.Close()
	}
	var keys []string
	for k := range rows {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	var b strings.Builder
	fmt.Fprintf(&b, "datum steps against PROJ %s\n%-44s %6s %7s %12s %12s\n", Version(), "method", "steps", "points", "forward mm", "inverse mm")
	total := 0
	for _, k := range keys {
		r := rows[k]
		total += r.steps
		fmt.Fprintf(&b, "%-44s %6d %7d %12.6f %12.6f  worst EPSG:%d and EPSG:%d\n", k, r.steps, r.points, r.forward*1e3, r.inverse*1e3, r.worst, r.worstBack)
	}
	fmt.Fprintf(&b, "%d steps, %d not in libproj's registry, %d of methods it cannot be asked for;\ninverse: ours is exact and closes, libproj's transposes the matrix of small angles and does not\n", total, missing, unable)
	t.Log("\n" + b.String())
	if total < 1280 {
		t.Errorf("only %d steps were compared", total)
	}
}

// runPROJ runs one position through libproj's operation, by way of
// earth-centred axes where the registry's operation works on those; height says
// whether the result has one.
func runPROJ(op *Operation, method int, tr crs.Transformation, p [3]float64, epoch float64, inverse bool) (out [3]float64, height bool) {
	if !geocentricMethods[method] {
		q := op.Run([4]float64{p[1], p[0], p[2], epoch}, inverse)
		return [3]float64{q[1], q[0], q[2]}, false
	}
	src, dst := tr.Ellipsoids()
	if inverse {
		src, dst = dst, src
	}
	x, y, z := toXYZ(src, p)
	q := op.Run([4]float64{x, y, z, epoch}, inverse)
	return fromXYZ(dst, q), true
}

func toXYZ(el [2]float64, p [3]float64) (x, y, z float64) {
	f := 1 / el[1]
	e2 := f * (2 - f)
	sp, cp := math.Sincos(p[1] * math.Pi / 180)
	sl, cl := math.Sincos(p[0] * math.Pi / 180)
	nu := el[0] / math.Sqrt(1-e2*sp*sp)
	return (nu + p[2]) * cp * cl, (nu + p[2]) * cp * sl, (nu*(1-e2) + p[2]) * sp
}

// fromXYZ iterates the latitude, slowly and surely.
func fromXYZ(el [2]float64, q [4]float64) [3]float64 {
	f := 1 / el[1]
	e2 := f * (2 - f)
	p := math.Hypot(q[0], q[1])
	lat := math.Atan2(q[2], p*(1-e2))
	for range 12 {
		s := math.Sin(lat)
		nu := el[0] / math.Sqrt(1-e2*s*s)
		lat = math.Atan2(q[2]+e2*nu*s, p)
	}
	s, c := math.Sincos(lat)
	h := p*c + q[2]*s - el[0]*math.Sqrt(1-e2*s*s)
	return [3]float64{math.Atan2(q[1], q[0]) * 180 / math.Pi, lat * 180 / math.Pi, h}
}
