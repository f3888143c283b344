// GLONASS broadcasts where a satellite is and how fast it moves, not elements.

package orbit

import "math"

// State is a position and velocity in PZ-90 with the pull of sun and moon, as
// GLONASS broadcasts them: metres, m/s and m/s2, earth-fixed axes, at Epoch.
type State struct {
	Epoch Time
	Pos   [3]float64
	Vel   [3]float64
	Pull  [3]float64
}

// Constants of PZ-90; GLONASS ICD edition 5.1 table 3.2 and section A.3.1.2.
const (
	muPZ90       = 3.9860044e14
	radiusPZ90   = 6378136
	j2PZ90       = 1.0826257e-3 // the ICD's C20 with its sign and norm taken off
	rotationPZ90 = 7.292115e-5
)

// longestStep is the step of the integration in seconds; ICD section A.3.1.2
// asks for steps of a minute or so in a span of 15 minutes.
const longestStep = 60

// position integrates the equations of motion from the ICD, section A.3.1.2, by
// Runge and Kutta's rule of the fourth order. Metres within half an hour,
// kilometres after hours: the pull of sun and moon is held constant.
func (s *State) position(t Time) (x, y, z float64) {
	tk := float64(t - s.Epoch)
	n := int(math.Ceil(math.Abs(tk) / longestStep))
	p := motion{s.Pos[0], s.Pos[1], s.Pos[2], s.Vel[0], s.Vel[1], s.Vel[2]}
	if n > 0 {
		h := tk / float64(n)
		for range n {
			k1 := s.rate(p)
			k2 := s.rate(p.add(h/2, k1))
			k3 := s.rate(p.add(h/2, k2))
			k4 := s.rate(p.add(h, k3))
			for i := range p {
				p[i] += h / 6 * (k1[i] + 2*k2[i] + 2*k3[i] + k4[i])
			}
		}
	}
	return p[0], p[1], p[2]
}

// motion is position and velocity.
type motion [6]float64

func (p motion) add(h float64, k motion) motion {
	for i := range p {
		p[i] += h * k[i]
	}
	return p
}

func (s *State) rate(p motion) motion {
	r2 := p[0]*p[0] + p[1]*p[1] + p[2]*p[2]
	r := math.Sqrt(r2)
	g := muPZ90 / (r2 * r)
	q := 1.5 * j2PZ90 * muPZ90 * radiusPZ90 * radiusPZ90 / (r2 * r2 * r)
	zz := 5 * p[2] * p[2] / r2
	w := float64(rotationPZ90)
	return motion{
		p[3], p[4], p[5],
		(-g-q*(1-zz))*p[0] + w*w*p[0] + 2*w*p[4] + s.Pull[0],
		(-g-q*(1-zz))*p[1] + w*w*p[1] - 2*w*p[3] + s.Pull[1],
		(-g-q*(3-zz))*p[2] + s.Pull[2],
	}
}
