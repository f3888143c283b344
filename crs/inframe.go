// In frame: a CRS that can only name WGS 84, or another ensemble, with the
// frame that its numbers are really in.

package crs

import (
	"fmt"
	"math"
	"slices"
)

// Known reports whether the frame names a realisation, or a national frame,
// that numbers can be held to. WGS 84 without more is an ensemble of
// realisations and says nothing finer than two metres.
func (f Frame) Known() bool { return f.datum != nil && f.datum.code != wgs84Ensemble }

// Satellite reports whether the frame is one that satellites give positions in,
// geocentric to a few metres: its ellipsoid is GRS 80 or that of WGS 84 or one
// as near to them. Old national datums (ED50, NAD27, OSGB36) have others.
func (f Frame) Satellite() bool {
	return f.datum != nil && f.datum.el.a == 6378137 && math.Abs(f.datum.el.invF-298.2572) < 1e-3
}

// KnownTo reports whether the registry states, of a step at the place between the frame
// and one that satellites give, an accuracy of so many metres or better, by a file or
// not: a grid of a nation that its service of corrections gives positions in.
func (f Frame) KnownTo(most Metres, lon, lat Degrees) bool {
	if f.datum == nil {
		return false
	}
	for _, s := range steps0().from[f.datum] {
		other := s.dst
		if other == f.datum {
			other = s.src
		}
		if s.accuracy <= float64(most) && (Frame{datum: other}).Satellite() && slices.ContainsFunc(s.extents, func(e *extent) bool { return e.contains(float64(lon), float64(lat)) }) {
			return true
		}
	}
	return false
}

// InFrame is the CRS with its numbers in the frame: longitude and latitude, or
// a grid, that is said to be WGS 84 and holds ETRS89. The numbers mean the same
// to the projection and something finer to an operation. It is for operations;
// its ID is no text that Parse reads, and Plain gives the CRS to write down.
//
// The CRS must be on the ensemble of WGS 84 and the frame one that satellites
// give, or the frame a member of the CRS's own ensemble.
func (c *CRS) InFrame(f Frame) (*CRS, error) {
	if c.level != nil {
		in, err := c.level.InFrame(f)
		if err != nil {
			return nil, err
		}
		return in.WithHeights(c.Heights())
	}
	c, _ = c.Plain()
	d := datumOf(c)
	switch {
	case f.datum == nil:
		return nil, fmt.Errorf("no frame is named")
	case d == f.datum:
		return c, nil
	case d != nil && d.code == wgs84Ensemble && f.Satellite():
	case d != nil && d.ensemble > 0 && slices.Contains(d.members, f.datum):
	default:
		return nil, fmt.Errorf("%s is in %s and cannot hold numbers in %s", c.id, c.datum.name, f.name)
	}
	in := *c
	in.datum = &datum{code: f.datum.code, name: f.datum.name, el: c.datum.el, pm: c.datum.pm, pmName: c.datum.pmName, accuracy: f.datum.ensemble, epoch: f.datum.epoch}
	in.id = c.id + " in " + f.name
	in.plain, in.frame = c, f
	return &in, nil
}

// Plain is the CRS without the frame that InFrame gave it, and that frame; the
// CRS itself, and a frame that is not Known, when there is none.
func (c *CRS) Plain() (*CRS, Frame) {
	if c.plain == nil {
		return c, Frame{}
	}
	return c.plain, c.frame
}

// FromWGS84 is how far, in metres on the ground, numbers in the frame are off
// for a reader that takes them for WGS 84 as satellites give it at that time,
// and how well that is known; ok is false when nothing leads from the one to
// the other. The epoch is that of numbers in a frame that moves, 0 for now.
func (f Frame) FromWGS84(at Geodetic, epoch, now float64) (off, accuracy Metres, ok bool) {
	today, err := ParseFrame("WGS84(G2296)")
	if err != nil || f.datum == nil {
		return 0, 0, false
	}
	when := Epochs{From: now, To: now}
	if f.Dynamic() && epoch != 0 {
		// The ground has moved since; the reader of the numbers has not.
		when.From, when.To = epoch, epoch
	}
	if at.H != at.H {
		at.H = 0
	}
	m, err := FrameShift(f, today, Allowed{Accuracy: 5}, at, when, Aids{})
	if err != nil {
		return 0, 0, false
	}
	off = Metres(math.Hypot(float64(m.Shift.E), float64(m.Shift.N)))
	if f.Dynamic() && epoch != 0 {
		// A rigid plate under the site carries the ground since then.
		for _, p := range plates {
			if !p.mayLieUnder(float64(at.Lon), float64(at.Lat)) {
				continue
			}
			g, err := FrameShift(today, today, Allowed{Accuracy: 5}, at, Epochs{From: epoch, To: now}, Aids{Plate: p.name})
			if err == nil {
				off = max(off, Metres(math.Hypot(float64(m.Shift.E+g.Shift.E), float64(m.Shift.N+g.Shift.N))))
			}
		}
	}
	return off, m.Accuracy, true
}

// LeastMotion is by how much, in metres, numbers of a place in a frame in which places move
// change at the least from one epoch to the other, by the plates that may lie under it; 0
// where that is not known, and in any other frame.
func (f Frame) LeastMotion(at Geodetic, from, to float64) Metres {
	least := Metres(math.Inf(1))
	for _, p := range plates {
		if !f.Dynamic() || !p.mayLieUnder(float64(at.Lon), float64(at.Lat)) {
			continue
		}
		m, err := FrameShift(f, f, Allowed{Accuracy: 5}, at, Epochs{From: from, To: to}, Aids{Plate: p.name})
		if err != nil {
			return 0
		}
		least = min(least, Metres(math.Hypot(float64(m.Shift.E), float64(m.Shift.N))))
	}
	if math.IsInf(float64(least), 1) {
		return 0
	}
	return least
}

// FramesBeside are the frames that satellites give and that a step of the
// registry leads to at once from the datum of a CRS, in the order of their
// codes: ETRS89 for the British grid. WGS 84 itself is not among them.
func FramesBeside(c *CRS) []Frame {
	d := datumOf(c)
	if d == nil || c.datum.bound != nil {
		return nil
	}
	r := steps0()
	var out []Frame
	for _, s := range r.from[d] {
		other := s.src
		if other == d {
			other = s.dst
		}
		f := r.frame(other.name, other.code, 0)
		if f.Known() && f.Satellite() && f.code != 0 && !slices.Contains(out, f) {
			out = append(out, f)
		}
	}
	slices.SortFunc(out, func(a, b Frame) int { return a.datum.code - b.datum.code })
	return out
}
