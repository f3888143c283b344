// The equations of motion of GLONASS by what they conserve.

package orbit

import (
	"math"
	"testing"
)

// TestMotionConserves: without the pull of sun and moon a field that does not
// change along a parallel keeps the momentum about the axis, and in the frame
// that turns with the earth Jacobi's integral (Montenbruck and Gill 2000,
// Satellite Orbits, section 3.2, for the field with J2).
func TestMotionConserves(t *testing.T) {
	w := float64(rotationPZ90)
	jacobi := func(p motion) float64 {
		r := math.Sqrt(p[0]*p[0] + p[1]*p[1] + p[2]*p[2])
		sin := p[2] / r
		potential := -muPZ90/r + muPZ90*j2PZ90*radiusPZ90*radiusPZ90/(2*r*r*r)*(3*sin*sin-1)
		return (p[3]*p[3]+p[4]*p[4]+p[5]*p[5])/2 - w*w*(p[0]*p[0]+p[1]*p[1])/2 + potential
	}
	momentum := func(p motion) float64 { return p[0]*p[4] - p[1]*p[3] + w*(p[0]*p[0]+p[1]*p[1]) }
	// States of size and speed as the satellites have, at several latitudes.
	for _, p := range []motion{
		{2.1e7, 1.0e7, 1.0e7, -1200, 900, 2600}, {-9e6, 1.4e7, 1.9e7, 2300, 2100, -500}, {1.2e7, -2.0e7, -8e6, 800, -1100, 3000},
	} {
		var s State
		rate := s.rate(p)
		for name, x := range map[string]struct {
			f     func(motion) float64
			scale float64 // of one term of the derivative
		}{"the energy in the turning frame": {jacobi, 1000}, "the momentum about the axis": {momentum, 1e7}} {
			// The derivative along the motion, by central differences of a
			// second.
			d := (x.f(p.add(1, rate)) - x.f(p.add(-1, rate))) / 2
			if !(math.Abs(d) < 1e-6*x.scale) {
				t.Errorf("at %v %s changes by %v a second", p, name, d)
			}
		}
		// What pulls adds to the acceleration.
		s.Pull = [3]float64{1e-6, -2e-6, 3e-6}
		for i, v := range s.rate(p) {
			want := rate[i]
			if i > 2 {
				want += s.Pull[i-3]
			}
			if math.Abs(v-want) > 1e-15*math.Abs(want)+1e-18 {
				t.Errorf("component %d with a pull: %v, want %v", i, v, want)
			}
		}
	}
}

// TestMotionIsIntegrated: steps of a minute come to where steps of a fiftieth
// of a second by the midpoint rule do, before and after.
func TestMotionIsIntegrated(t *testing.T) {
	s := State{Epoch: 1000, Pos: [3]float64{2.1e7, 1.0e7, 1.0e7}, Vel: [3]float64{-1200, 900, 2600}, Pull: [3]float64{1e-6, -2e-6, 3e-6}}
	for _, after := range []float64{-900, -60, 0, 30, 61, 900} {
		p := motion{s.Pos[0], s.Pos[1], s.Pos[2], s.Vel[0], s.Vel[1], s.Vel[2]}
		n := int(math.Abs(after) * 50)
		for range n {
			h := after / float64(n)
			p = p.add(h, s.rate(p.add(h/2, s.rate(p))))
		}
		x, y, z := s.position(s.Epoch + Time(after))
		if d := math.Hypot(math.Hypot(x-p[0], y-p[1]), z-p[2]); !(d < 0.001) {
			t.Errorf("%v s from the epoch the two are %v m apart", after, d)
		}
	}
}
