// Validity: the kernel's verdict beside GEOS's, on the published cases and on
// random polygons.

package geos

import (
	"encoding/xml"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"swardline/validate/plane"
)

// shared returns the folder of outside material, or skips.
func shared(t *testing.T, parts ...string) string {
	root := os.Getenv("SWARDLINE_SHARED")
	if root == "" {
		root = filepath.Join("..", "..", "..", "..", "shared")
	}
	path := filepath.Join(append([]string{root}, parts...)...)
	if _, err := os.Stat(path); err != nil {
		t.Skipf("no outside material at %s; SWARDLINE_SHARED names its folder", path)
	}
	return path
}

type validityRun struct {
	Cases []struct {
		Desc  string `xml:"desc"`
		A     string `xml:"a"`
		Tests []struct {
			Op struct {
				Name   string `xml:"name,attr"`
				Expect string `xml:",chardata"`
			} `xml:"op"`
		} `xml:"test"`
	} `xml:"case"`
}

// TestPublishedValidityCases runs the isValid cases of JTS.
func TestPublishedValidityCases(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(shared(t, "corpus", "validity"), "*.xml"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no cases: %v", err)
	}
	c := NewContext()
	tested, valid := 0, 0
	skipped := make(map[string]int)
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var run validityRun
		if err := xml.Unmarshal(data, &run); err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		for _, k := range run.Cases {
			for _, test := range k.Tests {
				if !strings.EqualFold(test.Op.Name, "isValid") {
					skipped["operation "+test.Op.Name]++
					continue
				}
				want := strings.TrimSpace(test.Op.Expect) == "true"
				g, err := c.WKT(k.A)
				if err != nil {
					skipped["GEOS cannot build it"]++
					continue
				}
				oracle, err := g.IsValid()
				if err != nil {
					t.Errorf("%s: %v", k.Desc, err)
				}
				if oracle != want {
					t.Logf("%s %q: GEOS says %v, the case %v", filepath.Base(file), k.Desc, oracle, want)
				}
				faults := plane.ValidateGeometry(g.Orb())
				if (len(faults) == 0) != want {
					t.Errorf("%s %q: valid is %v, want %v (%v; GEOS: %s)\n%s", filepath.Base(file), k.Desc, len(faults) == 0, want, faults, g.Reason(), k.A)
				}
				tested++
				if want {
					valid++
				}
			}
		}
	}
	t.Logf("GEOS %s: %d cases tested, %d of them valid, skipped %v", Version(), tested, valid, skipped)
	if tested < 800 || valid < 700 {
		t.Errorf("only %d cases were tested, %d valid", tested, valid)
	}
}

// randomRing returns a closed ring of whole numbers in [lo, hi], of one of
// several makes, so that valid figures, touching ones and wild ones all come
// up.
func randomRing(r *rand.Rand, x0, y0, x1, y1 int) orb.Ring {
	at := func() orb.Point {
		return orb.Point{float64(x0 + r.IntN(x1-x0+1)), float64(y0 + r.IntN(y1-y0+1))}
	}
	var ring orb.Ring
	switch r.IntN(4) {
	case 0: // a rectangle, begun anywhere
		a, b := at(), at()
		ring = orb.Ring{a, {b[0], a[1]}, b, {a[0], b[1]}}
	case 1: // a triangle
		ring = orb.Ring{at(), at(), at()}
	case 2: // any points
		for range 3 + r.IntN(5) {
			ring = append(ring, at())
		}
	default: // around the middle, mostly simple
		m := orb.Point{float64(x0+x1) / 2, float64(y0+y1) / 2}
		for range 3 + r.IntN(6) {
			ring = append(ring, at())
		}
		for i := range ring {
			for j := range i {
				if angleLess(m, ring[i], ring[j]) {
					ring[i], ring[j] = ring[j], ring[i]
				}
			}
		}
	}
	if r.IntN(12) == 0 { // a repeated point
		i := r.IntN(len(ring))
		ring = append(ring[:i+1], ring[i:]...)
	}
	return append(ring, ring[0])
}

func angleLess(m, p, q orb.Point) bool {
	up := func(p orb.Point) bool { return p[1] < m[1] || p[1] == m[1] && p[0] < m[0] }
	if up(p) != up(q) {
		return up(q)
	}
	return plane.Orient(m, p, q) > 0
}

func randomPolygon(r *rand.Rand) orb.Polygon {
	size := 4 + r.IntN(9)
	p := orb.Polygon{randomRing(r, 0, 0, size, size)}
	if r.IntN(3) > 0 {
		// A shell that leaves room for holes.
		p[0] = orb.Ring{{0, 0}, {float64(size), 0}, {float64(size), float64(size)}, {0, float64(size)}, {0, 0}}
	}
	for range r.IntN(5) {
		x, y := r.IntN(size), r.IntN(size)
		w, h := 1+r.IntN(min(4, size-x)), 1+r.IntN(min(4, size-y))
		p = append(p, randomRing(r, x, y, x+w, y+h))
	}
	return p
}

// TestRandomValidity compares verdicts on polygons and multipolygons of small
// whole numbers.
func TestRandomValidity(t *testing.T) {
	c := NewContext()
	r := rand.New(rand.NewPCG(4, 2026))
	const n = 100000
	verdicts := make(map[bool]int)
	kinds := make(map[plane.Kind]int)
	skipped := make(map[string]int)
	multi := 0
	for i := range n + n/4 {
		mp := orb.MultiPolygon{randomPolygon(r)}
		if i >= n {
			for range 1 + r.IntN(3) {
				p := randomPolygon(r)
				dx, dy := float64(r.IntN(14)), float64(r.IntN(14))
				for _, ring := range p {
					for k := range ring {
						ring[k][0] += dx
						ring[k][1] += dy
					}
				}
				mp = append(mp, p)
			}
			multi++
		}
		g, err := c.MultiPolygon(mp)
		if err != nil {
			skipped["GEOS refuses to build it"]++
			continue
		}
		want, err := g.IsValid()
		if err != nil {
			skipped["GEOS failed"]++
			continue
		}
		faults := plane.Validate(mp)
		if (len(faults) == 0) != want {
			t.Errorf("case %d: valid is %v, GEOS says %v (%s)\n%v\n%v", i, len(faults) == 0, want, g.Reason(), mp, faults)
			if t.Failed() && i > 100 {
				break
			}
		}
		if quick := plane.IsValid(mp); quick != (len(faults) == 0) {
			t.Errorf("case %d: IsValid is %v with faults %v", i, quick, faults)
		}
		verdicts[want]++
		for _, f := range faults {
			kinds[f.Kind]++
		}
	}
	t.Logf("GEOS %s: %d polygons and %d multipolygons: %d valid, %d invalid; skipped %v", Version(), n, multi, verdicts[true], verdicts[false], skipped)
	t.Logf("faults met: %v", kinds)
	if verdicts[true] < n/20 || verdicts[false] < n/20 {
		t.Error("one verdict hardly came up: the comparison proves little")
	}
}
