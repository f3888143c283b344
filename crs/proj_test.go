// Tests of what all projections share: errors, shapes, cores, allocations; of
// the series; and of the suite itself, by mutants.

package crs

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

func TestPointErrorsNameThePoint(t *testing.T) {
	for _, c := range []struct {
		id      string
		point   [3]float64
		inverse bool
		words   string
	}{
		{"EPSG:25832", [3]float64{9, 95, 0}, false, "past 90 degrees; are the axes swapped?"},
		{"EPSG:25832", [3]float64{99, 0, 0}, false, "outside the domain"},
		{"EPSG:25832", [3]float64{1e9, 6e6, 0}, true, "outside the domain"},
		{"EPSG:25832", [3]float64{5e5, 3e7, 0}, true, "outside the domain"},
		{"EPSG:25832", [3]float64{math.NaN(), 50, 0}, false, "not a number"},
		{"EPSG:25832", [3]float64{math.Inf(1), 50, 0}, false, "not a number"},
		{"EPSG:25832", [3]float64{math.NaN(), 6e6, 0}, true, "outside the domain"},
		{"EPSG:25832", [3]float64{5e5, math.Inf(-1), 0}, true, "outside the domain"},
		{"EPSG:25832", [3]float64{1000, 50, 0}, false, "past 540 degrees"},
		{"EPSG:2154", [3]float64{3, -90, 0}, false, "outside the domain"},
		{"EPSG:3395", [3]float64{3, 90, 0}, false, "outside the domain"},
		{"EPSG:3857", [3]float64{3, -90, 0}, false, "outside the domain"},
		{"EPSG:3035", [3]float64{-170, -52, 0}, false, "outside the domain"},
		{"EPSG:3413", [3]float64{0, -90, 0}, false, "outside the domain"},
		{"EPSG:5514", [3]float64{16, -50, 0}, false, "outside the domain"},
		{"EPSG:27200", [3]float64{16, 50, 0}, false, "outside the domain"},
		{"EPSG:4326", [3]float64{9, 91, 0}, true, "past 90 degrees"},
		{"EPSG:4326", [3]float64{9, -90.0001, 0}, false, "past 90 degrees"},
		{"EPSG:4978", [3]float64{9, 50, math.NaN()}, false, "no height"},
		{"EPSG:4978", [3]float64{10, 10, 10}, true, "not on earth"},
		{"EPSG:4978", [3]float64{math.NaN(), 10, 10}, true, "not on earth"},
	} {
		s, err := Parse(c.id)
		if err != nil {
			t.Fatal(err)
		}
		w, so, e, n, _ := s.Area()
		flat := []float64{(w + e) / 2, (so + n) / 2, 10, (w + e) / 2, (so + n) / 2, 20}
		if c.inverse {
			if err := s.FromGeodetic(flat, 3); err != nil {
				t.Fatal(err)
			}
		}
		flat = append(flat, c.point[:]...)
		do := s.FromGeodetic
		if c.inverse {
			do = s.ToGeodetic
		}
		err = do(flat, 3)
		var pe *PointError
		if !errors.As(err, &pe) {
			t.Errorf("%s %v: no error that names the point, but %v", c.id, c.point, err)
			continue
		}
		if pe.Index != 2 || pe.CRS != c.id || !strings.Contains(err.Error(), "point 3 (") || !strings.Contains(err.Error(), c.words) {
			t.Errorf("%s %v: %v (index %d); want it to say %q", c.id, c.point, err, pe.Index, c.words)
		}
	}
}

func TestShapesOfSlices(t *testing.T) {
	utm, _ := Parse("EPSG:25832")
	xyz, _ := Parse("EPSG:4978")
	if err := utm.FromGeodetic([]float64{9, 50, 9}, 2); err == nil {
		t.Error("three numbers as pairs")
	}
	if err := utm.ToGeodetic([]float64{9}, 1); err == nil {
		t.Error("one number a point")
	}
	if err := xyz.FromGeodetic([]float64{9, 50}, 2); err == nil {
		t.Error("geocentric of pairs")
	}
	if err := utm.FromGeodetic(nil, 2); err != nil {
		t.Error(err)
	}
	// A fourth number is left alone.
	p := []float64{9, 50, 7, 42}
	if err := utm.FromGeodetic(p, 4); err != nil || p[2] != 7 || p[3] != 42 {
		t.Errorf("%v, %v", p, err)
	}
}

// Many points run on all cores and come out the same; an error names the first.
func TestManyPoints(t *testing.T) {
	c, _ := Parse("EPSG:2154")
	const n = 5*chunkPoints + 17
	flat := benchPoints(n, 3, 46.5, 4)
	got := append([]float64(nil), flat...)
	if err := c.FromGeodetic(got, 3); err != nil {
		t.Fatal(err)
	}
	for _, i := range []int{0, 1, chunkPoints - 1, chunkPoints, 3 * chunkPoints, n - 1} {
		p := append([]float64(nil), flat[3*i:3*i+3]...)
		if err := c.FromGeodetic(p, 3); err != nil || p[0] != got[3*i] || p[1] != got[3*i+1] {
			t.Errorf("point %d: %v alone, %v among many (%v)", i, p, got[3*i:3*i+3], err)
		}
	}
	flat[3*(4*chunkPoints)+1] = 99
	flat[3*(chunkPoints+5)+1] = 99
	var pe *PointError
	if err := c.FromGeodetic(flat, 3); !errors.As(err, &pe) || pe.Index != chunkPoints+5 {
		t.Errorf("%v", err)
	}
}

func TestNoAllocations(t *testing.T) {
	for _, s := range benchSystems {
		c, err := Parse(s.crs)
		if err != nil {
			t.Fatal(err)
		}
		geo := benchPoints(100, s.lon, s.lat, s.span)
		work := make([]float64, len(geo))
		if a := testing.AllocsPerRun(20, func() {
			copy(work, geo)
			if c.FromGeodetic(work, 3) != nil || c.ToGeodetic(work, 3) != nil {
				t.Fatal(s.name)
			}
		}); a != 0 {
			t.Errorf("%s: %v allocations for 100 points", s.name, a)
		}
	}
}

// A projection away from its area of use gives an error or closes; never a
// number that does not come back.
func TestNoPlausibleWrongNumbers(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	seen := map[int]bool{}
	placed, refused := 0, 0
	for _, c := range List() {
		if c.Kind() != KindProjected || seen[c.conv.method] && c.Code()%40 != 0 {
			continue
		}
		seen[c.conv.method] = true
		for range 60 {
			p := []float64{random.Float64()*360 - 180, random.Float64()*180 - 90}
			q := append([]float64(nil), p...)
			if c.FromGeodetic(q, 2) != nil {
				refused++
				continue
			}
			if q[0]-q[0] != 0 || q[1]-q[1] != 0 {
				t.Errorf("%s: %v became %v without an error", c.ID(), p, q)
			}
			r := append([]float64(nil), q...)
			if c.ToGeodetic(r, 2) != nil {
				refused++
				continue
			}
			if r[0]-r[0] != 0 || r[1] < -90 || r[1] > 90 {
				t.Errorf("%s: %v came back as %v without an error", c.ID(), q, r)
			}
			placed++
			// Back on paper it is the same point, or one of the two directions
			// has left the range where it is one to one.
			if c.FromGeodetic(r, 2) == nil {
				if d := math.Hypot(r[0]-q[0], r[1]-q[1]) * c.UnitMetres(); !(d < 1e-4+1e-13*math.Hypot(q[0], q[1])*c.UnitMetres()) {
					t.Errorf("%s (%s): %v projects to %v, which comes back elsewhere, %g m off on paper", c.ID(), projectionName(c.conv.method), p, q, d)
				}
			}
		}
	}
	if placed < 1000 || refused < 100 || len(seen) < 35 {
		t.Errorf("%d placed, %d refused, %d methods", placed, refused, len(seen))
	}
}

// The polynomial of a cone agrees with the closed formula.
func TestChebyshevAgreesWithTheFormula(t *testing.T) {
	tried := 0
	for _, c := range List() {
		if c.plane == nil {
			continue
		}
		p, ok := c.plane.proj.(*lcc)
		if !ok {
			continue
		}
		tried++
		for i := -20; i <= 20; i++ {
			x := float64(i) / 20
			phi := p.near.mid + x/p.near.scale
			if d := math.Abs(p.near.sum(x) - p.radius(phi)); !(d < 2e-14*math.Abs(p.radius(phi))+1e-8) {
				t.Errorf("%s at %g degrees: off by %g m", c.ID(), phi*degPerRad, d)
			}
		}
	}
	if tried < 1000 {
		t.Errorf("only %d cones", tried)
	}
}

// A suite that cannot fail proves nothing: with any one coefficient of the
// transverse Mercator series off by 1e-12 (a few micrometres) the published
// values must turn red.
func TestMutantsAreNoticed(t *testing.T) {
	var vectors []vector
	for _, v := range loadVectors(t)["transverse_mercator.vec"] {
		if strings.HasPrefix(v.operation, "method 9807 ") && v.failure == "" {
			vectors = append(vectors, v)
		}
	}
	if len(vectors) < 20 {
		t.Fatalf("only %d vectors", len(vectors))
	}
	failures := func(mutate func(*tmerc)) int {
		n := 0
		for _, v := range vectors {
			op, err := methodVectorWith(strings.Fields(v.operation)[1:], func(p *plane) {
				m := *p.proj.(*tmerc)
				mutate(&m)
				p.proj = &m
			})
			if err != nil {
				t.Fatal(err)
			}
			if v.runWith(op) != nil {
				n++
			}
		}
		return n
	}
	if n := failures(func(*tmerc) {}); n != 0 {
		t.Fatalf("%d vectors fail without a mutant", n)
	}
	for name, series := range map[string]func(*tmerc) *sineSeries{
		"alpha": func(m *tmerc) *sineSeries { return &m.alp }, "beta": func(m *tmerc) *sineSeries { return &m.bet },
		"chi": func(m *tmerc) *sineSeries { return &m.chi }, "phi": func(m *tmerc) *sineSeries { return &m.phi },
	} {
		for i := range len(sineSeries{}) {
			if n := failures(func(m *tmerc) { series(m)[i] += 1e-12 }); n == 0 {
				t.Errorf("the mutant with coefficient %d of %s off by 1e-12 is not noticed", i, name)
			}
		}
	}
	if failures(func(m *tmerc) { m.kA *= 1 + 1e-12; m.perKA = 1 / m.kA }) == 0 {
		t.Error("the mutant with the radius off by 1e-12 is not noticed")
	}
}

// TestTransverseMercatorClosesToTheSeries: the series there and the series back
// are cut at the same order, and close to a micrometre within 4 degrees (Karney
// 2011, Transverse Mercator with an accuracy of a few nanometres, section 3).
func TestTransverseMercatorClosesToTheSeries(t *testing.T) {
	for _, id := range []string{"EPSG:32632", "EPSG:2193", "EPSG:27700"} {
		c, err := Parse(id)
		if err != nil {
			t.Fatal(err)
		}
		middle := map[string]float64{"EPSG:32632": 9, "EPSG:2193": 173, "EPSG:27700": -2}[id]
		south := 1.0
		if id == "EPSG:2193" {
			south = -1
		}
		for dlon := -4.0; dlon <= 4; dlon += 0.8 {
			for lat := 35.0; lat <= 60; lat += 5 {
				p := []float64{middle + dlon, south * lat}
				if err := c.FromGeodetic(p, 2); err != nil {
					t.Fatal(err)
				}
				q := append([]float64(nil), p...)
				if err := c.ToGeodetic(q, 2); err != nil {
					t.Fatal(err)
				}
				if d := math.Hypot((q[0]-middle-dlon)*111e3*math.Cos(lat*radPerDeg), (q[1]-south*lat)*111e3); !(d < 1e-6) {
					t.Errorf("%s: %v E %v N comes back %g m off", id, middle+dlon, south*lat, d)
				}
			}
		}
	}
}

// The pole is a point of the map like any other: there and back it has its
// latitude and no longitude, on both hemispheres.
func TestBonnePole(t *testing.T) {
	for _, north := range []float64{1, -1} {
		p := newBonne(newEllipsoid(0, "", 6378137, 298.257223563), north*math.Pi/4)
		x, y := p.forward(0.3, north*math.Pi/2)
		if lam, phi := p.inverse(x, y); lam != 0 || !(math.Abs(phi-north*math.Pi/2) <= 1e-12) {
			t.Errorf("the pole at %g, %g comes back as %g, %g", x, y, lam, phi)
		}
		if lam, phi := p.inverse(p.forward(0.3, north*1.2)); !(math.Abs(lam-0.3) <= 1e-12 && math.Abs(phi-north*1.2) <= 1e-12) {
			t.Errorf("a point comes back as %g, %g", lam, phi)
		}
	}
}
