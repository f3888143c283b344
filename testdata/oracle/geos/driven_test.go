// The ground that a track covers, and how far outlines lie apart, against GEOS.

package geos

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/twpayne/go-geom"

	"swardline/crs"
	"swardline/schema"
	"swardline/validate"
)

// roundLawn is an outline about a middle, its points at random distances.
func roundLawn(r *rand.Rand, x, y, least, most float64) orb.Ring {
	n := 4 + r.IntN(12)
	var ring orb.Ring
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.6*r.Float64()) / float64(n))
		d := least + (most-least)*r.Float64()
		ring = append(ring, orb.Point{x + d*cos, y + d*sin})
	}
	return append(ring, ring[0])
}

func feature(role schema.Role, id string, ring orb.Ring) *schema.Feature {
	var flat []float64
	for _, p := range ring {
		flat = append(flat, p[0], p[1])
	}
	return &schema.Feature{Role: role, ID: schema.String(id), Geometry: geom.NewPolygonFlat(geom.XY, flat, []int{len(flat)})}
}

// TestCoverAgainstBuffers drives random tracks over random lawns with a
// keep-out. The ground covered is the union of GEOS's buffers of the track's
// unbroken runs, 64 segments to a quarter circle, cut by lawn less keep-out.
// Cells of 0.05 m decide by their middles, so that the area may differ by a
// fraction of a cell along all of its outline; what is asserted is 1 in 1000 of
// the lawn and 0.02 m times the outline.
func TestCoverAgainstBuffers(t *testing.T) {
	c := NewContext()
	grid, err := crs.NewSite(crs.SiteGrid{Origin: crs.Geodetic{Lon: 9, Lat: 56}, Scale: 1, Base: crs.WGS84()})
	if err != nil {
		t.Fatal(err)
	}
	must := func(g *Geometry, err error) *Geometry {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return g
	}
	worst, worstShare, driven := 0.0, 0.0, 0.0
	for k := range 60 {
		r := rand.New(rand.NewPCG(18, uint64(k)))
		lawn := roundLawn(r, 0, 0, 6, 20)
		keepout := roundLawn(r, 2*r.Float64(), 2*r.Float64(), 1, 3)
		p := &schema.Plan{CRS: grid, Features: []*schema.Feature{feature(schema.RoleZone, "z1", lawn), feature(schema.RoleKeepout, "k1", keepout)}}
		s, err := validate.Ground(p)
		if err != nil {
			t.Fatal(err)
		}
		limits := schema.DefaultLimits()
		limits.MachineWidthM = []float64{0.3, 0.6, 1.1}[k%3]
		d, err := validate.NewDriven(s, limits, validate.DrivenOptions{})
		if err != nil {
			t.Fatal(err)
		}
		d.Begin()
		now := time.Date(2026, 5, 11, 8, 0, 0, 0, time.UTC)
		var covered *Geometry
		run := orb.LineString{}
		end := func() {
			if len(run) > 1 {
				g := must(must(c.Line(run)).Buffer(limits.MachineWidthM/2, 64, false, 0))
				if covered != nil {
					g = must(covered.Overlay(Union, g))
				}
				covered = g
			}
			run = nil
		}
		at, bearing := orb.Point{}, 0.0
		for range 400 {
			bearing += 0.7 * r.NormFloat64()
			step := 1.5 * r.Float64()
			class, wait := validate.TrackFixed, time.Second
			switch r.IntN(40) {
			case 0:
				wait = 11 * time.Second // too long a pause to be joined
			case 1:
				class = validate.TrackFloat
			case 2:
				step = 5.5 // too far
			}
			sin, cos := math.Sincos(bearing)
			at = orb.Point{at[0] + step*cos, at[1] + step*sin}
			if math.Hypot(at[0], at[1]) > 21 {
				bearing += math.Pi
			}
			now = now.Add(wait)
			flat := []float64{at[0], at[1]}
			if err := grid.ToGeodetic(flat, 2); err != nil {
				t.Fatal(err)
			}
			if wait > 10*time.Second || step > 5 || class != validate.TrackFixed {
				end()
			}
			if class == validate.TrackFixed {
				q, ok := s.LonLatToGround(flat[0], flat[1])
				if !ok {
					t.Fatal("no place")
				}
				run = append(run, q)
			}
			d.Add(validate.TrackFix{Time: now, Lon: flat[0], Lat: flat[1], Class: class})
		}
		end()
		d.End()
		report, err := d.Report()
		if err != nil {
			t.Fatal(err)
		}
		ground := func(id string) *Geometry {
			for _, f := range s.Features {
				if f.ID.Text() == id {
					return must(c.Polygon(f.Areas[0].Ground))
				}
			}
			t.Fatal(id)
			return nil
		}
		open := must(ground("z1").Overlay(Difference, ground("k1")))
		want := must(open.Overlay(Intersection, covered))
		z := &report.Zones[0]
		missed := must(open.Overlay(Difference, covered)).Area()
		edge := 0.0
		if mp, ok := want.Orb().(orb.MultiPolygon); ok {
			edge = length(mp)
		} else if pg, ok := want.Orb().(orb.Polygon); ok {
			edge = length(orb.MultiPolygon{pg})
		}
		off := math.Abs(z.DrivenM2 - want.Area())
		worst, worstShare, driven = math.Max(worst, off), math.Max(worstShare, off/want.Area()), driven+want.Area()
		if most := 0.001*open.Area() + 0.02*edge; off > most || math.Abs(z.AreaM2-open.Area()) > 0.001*open.Area() || math.Abs(z.MissedM2-missed) > most {
			t.Errorf("%d: %.3f m2 of %.3f driven and %.3f missed, GEOS %.3f of %.3f and %.3f; %.3f allowed", k, z.DrivenM2, z.AreaM2, z.MissedM2, want.Area(), open.Area(), missed, most)
		}
	}
	t.Logf("GEOS %s: the ground driven differs by %.3f m2 and %.4f %% at the most, over %.0f m2", Version(), worst, 100*worstShare, driven)
}

// TestHausdorffAgainstGEOS compares random outlines, near one another and far.
// Both are discrete; GEOS's pieces are a thousandth of a side.
func TestHausdorffAgainstGEOS(t *testing.T) {
	c := NewContext()
	worst := 0.0
	for k := range 300 {
		r := rand.New(rand.NewPCG(19, uint64(k)))
		a := roundLawn(r, 0, 0, 6, 20)
		b := roundLawn(r, r.Float64(), r.Float64(), 6, 20)
		if k%2 == 0 { // the same, walked again
			b = a.Clone()
			for i := range b {
				b[i] = orb.Point{b[i][0] + 0.1*r.NormFloat64(), b[i][1] + 0.1*r.NormFloat64()}
			}
			b[len(b)-1] = b[0]
		}
		g, err := c.Line(orb.LineString(a))
		if err != nil {
			t.Fatal(err)
		}
		h, err := c.Line(orb.LineString(b))
		if err != nil {
			t.Fatal(err)
		}
		want, err := g.Hausdorff(h, 0.001)
		if err != nil {
			t.Fatal(err)
		}
		got := validate.CompareOutlines(b, a).HausdorffM
		worst = math.Max(worst, math.Abs(got-want))
		// Places every 0.05 m miss the farthest by half of that at the most,
		// GEOS by half of a thousandth of a side.
		if math.Abs(got-want) > 0.025+0.02 {
			t.Errorf("%d: %.4f m, GEOS %.4f", k, got, want)
		}
	}
	t.Logf("GEOS %s: Hausdorff distances differ by %.5f m at the most", Version(), worst)
}
