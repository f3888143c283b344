// Tests of the latitude series and of the geocentric conversion against closed
// formulas and each other.

package crs

import (
	"math"
	"math/rand/v2"
	"testing"
)

// figures are ellipsoids from the flattest of the registry to the sphere.
var figures = []*ellipsoid{
	newEllipsoid(7030, "WGS 84", 6378137, 298.257223563),
	newEllipsoid(7012, "Clarke 1880 (RGS)", 6378249.145, 293.465),
	newEllipsoid(7044, "Everest 1830 Modified", 6377304.063, 300.8017),
	newEllipsoid(0, "sphere", 6371000, 0),
}

func TestLatitudeSeries(t *testing.T) {
	for _, el := range figures {
		chi, phi := el.conformalFromGeodetic(), el.geodeticFromConformal()
		mu, back := el.rectifyingFromGeodetic(), el.geodeticFromRectifying()
		xi, auth := el.authalicFromGeodetic(), el.geodeticFromAuthalic()
		for deg := -90.0; deg <= 90; deg += 2.5 {
			p := deg * radPerDeg
			s, c := math.Sincos(p)
			if math.Abs(deg) < 90 {
				// sin of the conformal latitude is tanh psi.
				want := math.Atan(math.Sinh(math.Asinh(s/c) - el.e*math.Atanh(el.e*s)))
				if d := math.Abs(p + chi.at(p) - want); !(d < 4e-16) {
					t.Errorf("%s, %g degrees: conformal latitude off by %g", el.name, deg, d)
				}
				if psi := el.isometric(s, c); math.Abs(latitude(psi, &phi)-p) > 4e-16 {
					t.Errorf("%s, %g degrees: geodetic from isometric latitude off by %g", el.name, deg, latitude(psi, &phi)-p)
				}
			}
			beta := p + xi.at(p)
			if d := math.Abs(math.Sin(beta) - el.authalicQ(s)/el.authalicQ(1)); !(d < 5e-16) {
				t.Errorf("%s, %g degrees: sine of the authalic latitude off by %g", el.name, deg, d)
			}
			if d := math.Abs(beta + auth.at(beta) - p); !(d < 5e-16) {
				t.Errorf("%s, %g degrees: geodetic from authalic latitude off by %g", el.name, deg, d)
			}
			m := p + mu.at(p)
			if d := math.Abs(m + back.at(m) - p); !(d < 5e-16) {
				t.Errorf("%s, %g degrees: geodetic from rectifying latitude off by %g", el.name, deg, d)
			}
			// The meridian's length by Gauss-Legendre over pieces of the arc.
			arc := 0.0
			for i := range 40 {
				arc += gauss(func(x float64) float64 { return el.meridian(math.Sin(x)) }, p*float64(i)/40, p*float64(i+1)/40)
			}
			if d := math.Abs(arc - el.rectifyingRadius()*m); !(d < 1e-8) {
				t.Errorf("%s, %g degrees: meridian arc off by %g m", el.name, deg, d)
			}
		}
		if d := math.Abs(el.eAtanhE(0.83) - el.e*math.Atanh(el.e*0.83)); d > 1e-17 {
			t.Errorf("%s: e atanh(e s) off by %g", el.name, d)
		}
	}
}

// gauss integrates f from a to b by five points.
func gauss(f func(float64) float64, a, b float64) float64 {
	m, h := (a+b)/2, (b-a)/2
	sum := 0.568888888888888889 * f(m)
	for _, p := range [][2]float64{{0.538469310105683091, 0.478628670499366468}, {0.906179845938663993, 0.236926885056189088}} {
		sum += p[1] * (f(m-h*p[0]) + f(m+h*p[0]))
	}
	return sum * h
}

// Geocentric coordinates there and back at every latitude and from deep below
// to far above.
func TestGeocentricThereAndBack(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 8))
	for _, el := range figures {
		for range 4000 {
			lam := (random.Float64()*2 - 1) * math.Pi
			phi := (random.Float64()*2 - 1) * math.Pi / 2
			switch random.IntN(12) {
			case 0:
				phi = math.Copysign(math.Pi/2, phi)
			case 1:
				phi = 0
			case 2:
				phi = math.Copysign(math.Pi/2-1e-9, phi)
			}
			h := (random.Float64()*2 - 1) * math.Pow(10, random.Float64()*6)
			if random.IntN(4) == 0 {
				h = math.Pow(10, 6+3*random.Float64())
			}
			x, y, z := el.toGeocentric(lam, phi, h)
			l2, p2, h2 := el.fromGeocentric(x, y, z)
			r := el.a + math.Abs(h)
			d := math.Hypot(math.Remainder(l2-lam, 2*math.Pi)*math.Cos(phi), p2-phi) * r
			if tol := 1e-8 + 1e-15*r; !(d < tol && math.Abs(h2-h) < tol) {
				t.Fatalf("%s: %g %g %g came back %g %g %g: %g m", el.name, lam, phi, h, l2, p2, h2, d)
			}
		}
		if _, _, h := el.fromGeocentric(1000, 1000, 1000); h == h {
			t.Error("a height at the earth's centre")
		}
	}
}

// Above is the sign of U, on both sides of the level plane and on it.
func TestAboveIsUp(t *testing.T) {
	topo, err := NewTopocentric(Geodetic{Lon: 5, Lat: 55, H: 200}, 6378137, 298.257223563)
	if err != nil {
		t.Fatal(err)
	}
	up := 0
	for i := range 1000 {
		l := Local{E: Metres(i%10-5) * 3e6, N: Metres(i/10%10-5) * 3e6, U: Metres(i/100-5) * 1e-3}
		x, y, z := topo.toXYZ(float64(l.E), float64(l.N), float64(l.U))
		g := Geocentric{X: Metres(x), Y: Metres(y), Z: Metres(z)}
		want := topo.FromGeocentric(g).U > 0
		if topo.Up(g) > 0 != want {
			t.Errorf("%v: above is %v", l, !want)
		}
		if want {
			up++
		}
	}
	if up < 300 || up > 700 {
		t.Errorf("%d of 1000 stand above", up)
	}
}

func TestTopocentricThereAndBack(t *testing.T) {
	topo, err := NewTopocentric(Geodetic{Lon: 5, Lat: 55, H: 200}, 6378137, 298.257223563)
	if err != nil {
		t.Fatal(err)
	}
	if l := topo.Local(Geodetic{Lon: 5, Lat: 55, H: 207}); math.Abs(float64(l.E)) > 1e-9 || math.Abs(float64(l.N)) > 1e-9 || math.Abs(float64(l.U)-7) > 2e-9 {
		t.Errorf("7 m above the origin is %v", l)
	}
	g := topo.Geodetic(Local{E: 100, N: -200, U: 3})
	l := topo.Local(g)
	if math.Abs(float64(l.E)-100) > 1e-8 || math.Abs(float64(l.N)+200) > 1e-8 || math.Abs(float64(l.U)-3) > 1e-8 {
		t.Errorf("there and back: %v", l)
	}
	for _, bad := range []struct {
		g       Geodetic
		a, invF float64
	}{{Geodetic{Lat: 91}, 6378137, 298}, {Geodetic{}, 0, 298}, {Geodetic{}, 6378137, 0.5}, {Geodetic{H: Metres(math.NaN())}, 6378137, 298}, {Geodetic{}, math.Inf(1), 298}} {
		if _, err := NewTopocentric(bad.g, bad.a, bad.invF); err == nil {
			t.Errorf("%+v was taken", bad)
		}
	}
	for invF, ok := range map[float64]bool{0: true, 150: true, math.Nextafter(150, 0): false, -298: false} {
		if _, err := NewTopocentric(Geodetic{}, 6378137, invF); (err == nil) != ok {
			t.Errorf("an inverse flattening of %v: %v", invF, err)
		}
	}
	if err := topo.FromGeodetic([]float64{5, 55}, 2); err == nil {
		t.Error("no height, no error")
	}
	if err := topo.FromGeodetic([]float64{5, 55, math.NaN()}, 3); err == nil {
		t.Error("an absent height, no error")
	}
	if err := topo.ToGeodetic([]float64{0, 0, -6.3e6}, 3); err == nil {
		t.Error("the earth's centre has a latitude")
	}
}
