// Least squares with gonum: placements fitted from marks against QR solutions
// of the same observation equations.
package leastsquares

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"swardline/crs/adjust"
)

// marks makes a drawing in an odd place, turned and scaled, with noise.
func marks(r *rand.Rand, n int, scale float64) []adjust.Mark {
	turn := r.Float64() * 2 * math.Pi
	s, c := math.Sincos(turn)
	var out []adjust.Mark
	for i := range n {
		x, y := (r.Float64()-0.3)*120/scale, (r.Float64()+0.4)*80/scale
		m := adjust.Mark{Name: fmt.Sprint("M", i), X: x, Y: y, Sigma: 0.005 + 0.02*r.Float64()}
		m.E = 512345.678 + scale*(c*x-s*y) + m.Sigma*r.NormFloat64()
		m.N = 6223456.789 + scale*(s*x+c*y) + m.Sigma*r.NormFloat64()
		out = append(out, m)
	}
	return out
}

// solve fits a linear model by QR of the weighted equations and returns the
// residuals and the sum of squares. rows gives the coefficients of E and N.
func solve(ms []adjust.Mark, rows func(x, y float64) (e, n []float64), offset func(m adjust.Mark) (e, n float64)) (v [][2]float64, sum float64, cofactor *mat.Dense) {
	probe, _ := rows(0, 0)
	a := mat.NewDense(2*len(ms), len(probe), nil)
	b := mat.NewVecDense(2*len(ms), nil)
	for i, m := range ms {
		e, n := rows(m.X, m.Y)
		oe, on := offset(m)
		for k := range e {
			a.Set(2*i, k, e[k]/m.Sigma)
			a.Set(2*i+1, k, n[k]/m.Sigma)
		}
		b.SetVec(2*i, (m.E-512000-oe)/m.Sigma)
		b.SetVec(2*i+1, (m.N-6223000-on)/m.Sigma)
	}
	var qr mat.QR
	qr.Factorize(a)
	x := mat.NewVecDense(len(probe), nil)
	if err := qr.SolveVecTo(x, false, b); err != nil {
		panic(err)
	}
	var r mat.VecDense
	r.MulVec(a, x)
	r.SubVec(&r, b)
	for i, m := range ms {
		v = append(v, [2]float64{r.AtVec(2*i) * m.Sigma, r.AtVec(2*i+1) * m.Sigma})
		sum += r.AtVec(2*i)*r.AtVec(2*i) + r.AtVec(2*i+1)*r.AtVec(2*i+1)
	}
	var normal mat.Dense
	normal.Mul(a.T(), a)
	cofactor = mat.NewDense(len(probe), len(probe), nil)
	if err := cofactor.Inverse(&normal); err != nil {
		panic(err)
	}
	return v, sum, cofactor
}

func TestFitsAgainstGonum(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	none := func(adjust.Mark) (float64, float64) { return 0, 0 }
	worst := map[adjust.Model]float64{}
	for range 200 {
		for _, model := range []adjust.Model{adjust.ModelShift, adjust.ModelRigid, adjust.ModelSimilarity, adjust.ModelAffine} {
			scale := 1.0
			if model >= adjust.ModelSimilarity {
				scale = math.Pow(10, r.Float64()*4-3)
			}
			ms := marks(r, 4+r.IntN(9), scale)
			p, err := adjust.Fit(model, ms)
			if err != nil {
				t.Fatal(err)
			}
			var rows func(x, y float64) (e, n []float64)
			offset := none
			switch model {
			case adjust.ModelShift:
				rows = func(x, y float64) (e, n []float64) { return []float64{1, 0}, []float64{0, 1} }
				offset = func(m adjust.Mark) (e, n float64) { return m.X, m.Y }
			case adjust.ModelRigid:
				// One Gauss-Newton step from the solution must not move it.
				rows = func(x, y float64) (e, n []float64) {
					return []float64{1, 0, p.C*x + p.D*y}, []float64{0, 1, -p.A*x - p.B*y}
				}
				offset = func(m adjust.Mark) (e, n float64) { return p.A*m.X + p.B*m.Y, p.C*m.X + p.D*m.Y }
			case adjust.ModelSimilarity:
				rows = func(x, y float64) (e, n []float64) { return []float64{1, 0, x, y}, []float64{0, 1, y, -x} }
			case adjust.ModelAffine:
				rows = func(x, y float64) (e, n []float64) {
					return []float64{1, 0, x, y, 0, 0}, []float64{0, 1, 0, 0, x, y}
				}
			}
			v, sum, q := solve(ms, rows, offset)
			for i, m := range p.Marks {
				d := math.Hypot(float64(m.DE)-v[i][0], float64(m.DN)-v[i][1])
				worst[model] = math.Max(worst[model], d)
				if !(d < 2e-8) {
					t.Fatalf("%v: residual of %s is %v %v, gonum has %v", model, m.Name, m.DE, m.DN, v[i])
				}
			}
			if d := math.Abs(p.ReferenceVariance*float64(p.Redundancy)/sum - 1); !(d < 1e-5) {
				t.Errorf("%v: sum of squares is off by a factor of %v", model, d)
			}
			// The standard error of a placed point at the drawing's origin.
			e, _, ok := p.StandardError(0, 0)
			row, _ := rows(0, 0)
			if want := math.Sqrt(quadratic(q, row)); !ok || !(math.Abs(float64(e)/want-1) < 1e-6) {
				t.Errorf("%v: standard error at the origin is %v, gonum has %v", model, e, want)
			}
		}
	}
	t.Logf("worst difference of a residual: %v m", worst)
}

func quadratic(q *mat.Dense, r []float64) float64 {
	sum := 0.0
	for i := range r {
		for j := range r {
			sum += r[i] * q.At(i, j) * r[j]
		}
	}
	return sum
}

func TestQuantilesAgainstGonum(t *testing.T) {
	count := 0
	close := func(name string, got, want, tol float64) {
		t.Helper()
		count++
		if !(math.Abs(got-want) <= tol*(1+math.Abs(want))) {
			t.Errorf("%s: %v, gonum has %v", name, got, want)
		}
	}
	for _, p := range []float64{0.001, 0.01, 0.025, 0.05, 0.3, 0.5, 0.9, 0.95, 0.975, 0.99, 0.999, 0.9999} {
		close(fmt.Sprint("normal ", p), adjust.NormalQuantile(p), distuv.UnitNormal.Quantile(p), 1e-11)
		for _, k := range []float64{1, 2, 3, 4, 6, 10, 25, 60, 200} {
			close(fmt.Sprint("chi-square ", p, k), adjust.ChiSquareQuantile(p, k), distuv.ChiSquared{K: k}.Quantile(p), 1e-9)
			close(fmt.Sprint("Student ", p, k), adjust.StudentQuantile(p, k), distuv.StudentsT{Sigma: 1, Nu: k}.Quantile(p), 1e-8)
		}
		for _, x := range []float64{0.1, 1, 5, 20} {
			close(fmt.Sprint("chi-square of ", x), adjust.ChiSquareCDF(x, 7*p+1), distuv.ChiSquared{K: 7*p + 1}.CDF(x), 1e-11)
			close(fmt.Sprint("Student of ", x), adjust.StudentCDF(x, 7*p+1), distuv.StudentsT{Sigma: 1, Nu: 7*p + 1}.CDF(x), 1e-11)
		}
	}
	if count < 200 {
		t.Errorf("only %d quantiles were compared", count)
	}
}
