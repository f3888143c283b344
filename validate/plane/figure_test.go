// Figures for the tests: written as text, made at random, turned and moved.

package plane

import (
	"fmt"
	"math/rand/v2"
	"strconv"
	"strings"

	"github.com/paulmach/orb"
)

// rg reads a ring or line from "x y, x y, ...".
func rg(text string) orb.Ring {
	var r orb.Ring
	for _, pair := range strings.Split(text, ",") {
		f := strings.Fields(pair)
		if len(f) == 0 {
			continue
		}
		x, errX := strconv.ParseFloat(f[0], 64)
		y, errY := strconv.ParseFloat(f[1], 64)
		if errX != nil || errY != nil {
			panic(fmt.Sprintf("bad point %q", pair))
		}
		r = append(r, orb.Point{x, y})
	}
	return r
}

// pg reads a polygon, one ring to an argument.
func pg(rings ...string) orb.Polygon {
	var p orb.Polygon
	for _, r := range rings {
		p = append(p, rg(r))
	}
	return p
}

// rect returns a closed rectangle.
func rect(x0, y0, x1, y1 float64) orb.Ring {
	return orb.Ring{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}
}

// mapped returns the figure with every ring changed by f.
func mapped(mp []orb.Polygon, f func(orb.Ring) orb.Ring) []orb.Polygon {
	out := make([]orb.Polygon, len(mp))
	for i, p := range mp {
		for _, r := range p {
			out[i] = append(out[i], f(append(orb.Ring(nil), r...)))
		}
	}
	return out
}

// each changes every point.
func each(f func(orb.Point) orb.Point) func(orb.Ring) orb.Ring {
	return func(r orb.Ring) orb.Ring {
		for i := range r {
			r[i] = f(r[i])
		}
		return r
	}
}

// renumbered begins a closed ring k vertices later.
func renumbered(r orb.Ring, k int) orb.Ring {
	if len(r) < 2 || r[0] != r[len(r)-1] {
		return r
	}
	n := len(r) - 1
	out := make(orb.Ring, 0, n+1)
	for i := range n {
		out = append(out, r[(i+k)%n])
	}
	return append(out, out[0])
}

func reversed(r orb.Ring) orb.Ring {
	reverse(r)
	return r
}

// smallRing returns a closed ring of whole numbers in a box, of one of several
// makes.
func smallRing(r *rand.Rand, x0, y0, size int) orb.Ring {
	at := func() orb.Point {
		return orb.Point{float64(x0 + r.IntN(size+1)), float64(y0 + r.IntN(size+1))}
	}
	var ring orb.Ring
	switch r.IntN(3) {
	case 0:
		a, b := at(), at()
		ring = orb.Ring{a, {b[0], a[1]}, b, {a[0], b[1]}}
	case 1:
		ring = orb.Ring{at(), at(), at()}
	default:
		for range 3 + r.IntN(6) {
			ring = append(ring, at())
		}
	}
	if r.IntN(8) == 0 {
		i := r.IntN(len(ring))
		ring = append(ring[:i+1], ring[i:]...)
	}
	return append(ring, ring[0])
}

// smallFigure returns one to three polygons of small whole numbers, valid or
// not.
func smallFigure(r *rand.Rand) []orb.Polygon {
	var mp []orb.Polygon
	for range 1 + r.IntN(2)*r.IntN(3) {
		size := 4 + r.IntN(9)
		dx, dy := r.IntN(9), r.IntN(9)
		var p orb.Polygon
		if r.IntN(4) == 0 {
			p = orb.Polygon{smallRing(r, dx, dy, size)}
		} else {
			p = orb.Polygon{rect(float64(dx), float64(dy), float64(dx+size), float64(dy+size))}
		}
		for range r.IntN(5) {
			s := 1 + r.IntN(4)
			p = append(p, smallRing(r, dx+r.IntN(max(1, size-s+1)), dy+r.IntN(max(1, size-s+1)), s))
		}
		mp = append(mp, p)
	}
	return mp
}
