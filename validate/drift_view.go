// The tables of drift for a page that cannot run the rules: how fine they are,
// and their check against the rules.

package validate

import (
	"fmt"
	"math"
	"slices"

	"swardline/crs"
	"swardline/schema"
)

// The columns of the table of depths: distances in metres beyond the gap, up to
// the largest shift that it holds. The first are for a plan with few features.
var (
	manyColumnsM   = []float64{0, 0.025, 0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1, 1.5, 2, 3, 5}
	fewColumnsM    = []float64{0, 0.05, 0.1, 0.2, 0.3, 0.5, 0.75, 1, 1.5, 2, 3, 5}
	fewestColumnsM = []float64{0, 0.05, 0.1, 0.25, 0.5, 1, 2, 5}
)

// The tables of a plan with more features have fewer bearings and columns, so
// that a page stays below a megabyte: with the most features it has 950 kB of
// squares, and as many points as counted here take a megabyte by themselves.
// The verdicts are the same with each.
const (
	fineDrift   = 60  // features up to which a bearing stands every 5 degrees
	middleDrift = 150 // every 10 degrees
	mostDrift   = 400 // every 15 degrees; more have no table
	// manyDriftPoints and mostDriftPoints are how many points those have.
	manyDriftPoints = 5_000
	mostDriftPoints = 20_000
)

// DriftView is what a page needs to tell of any shift what Drift tells.
type DriftView struct {
	// Table is the table of depths, gaps rounded to 0.1 mm and depths to 1 mm.
	Table    *DriftTable
	Verdicts *DriftVerdicts
	features int
	plan     *schema.Plan
	limits   schema.Limits
}

// TabulateView works out both tables as fine as the size of the plan allows.
// The error is for a plan too large for a page, else Drift's.
func TabulateView(p *schema.Plan, l schema.Limits) (*DriftView, error) {
	features, points, err := driftSize(p)
	if err != nil {
		return nil, err
	}
	bearings, columns := RoseBearings, manyColumnsM
	switch {
	case features > mostDrift || points > mostDriftPoints:
		return nil, fmt.Errorf("%d features with %d points count for a movement of the base, more than the %d features or %d points that a page's tables hold; 'swardline drift' works it out", features, points, mostDrift, mostDriftPoints)
	case features > middleDrift:
		bearings, columns = 24, fewestColumnsM
	case features > fineDrift || points > manyDriftPoints:
		bearings, columns = 36, fewColumnsM
	}
	v := &DriftView{features: features, plan: p, limits: l}
	if v.Table, err = TabulateDrift(p, l, bearings, columns); err != nil {
		return nil, err
	}
	if v.Verdicts, err = TabulateVerdicts(p, l); err != nil {
		return nil, err
	}
	for i := range v.Table.Items {
		x := &v.Table.Items[i]
		for b := range x.GapM {
			x.GapM[b] = math.Round(x.GapM[b]*1e4) / 1e4
			for k := range x.DepthM[b] {
				x.DepthM[b][k] = math.Round(x.DepthM[b][k]*1e3) / 1e3
			}
		}
	}
	return v, nil
}

// driftSize counts the features that count for a movement, active or not, and
// their points.
func driftSize(p *schema.Plan) (features, points int, err error) {
	s, err := Ground(p)
	if err != nil {
		return 0, 0, err
	}
	for _, f := range p.Features {
		switch f.Role {
		case schema.RoleZone, schema.RoleKeepout, schema.RoleHazard, schema.RoleEdge, schema.RoleBoundary, schema.RoleBuilding:
			features++
		}
	}
	for _, f := range s.Features {
		switch f.Role {
		case schema.RoleZone, schema.RoleKeepout, schema.RoleHazard, schema.RoleEdge, schema.RoleBoundary, schema.RoleBuilding:
			for _, a := range f.Areas {
				for _, r := range a.Ground {
					points += len(r)
				}
			}
			for _, l := range f.Lines {
				points += len(l.Ground)
			}
		}
	}
	return features, points, nil
}

// DriftViewCheck is how far the tables of a view are off.
type DriftViewCheck struct {
	// NearWorstM and FarWorstM are the largest differences in metres between a
	// depth looked up and the one that Drift gives, at the Tried shifts up to a
	// metre and past it.
	NearWorstM, FarWorstM float64
	Tried                 int
}

// Check holds depths as a reader looks them up in the table (of item k after a
// displacement of e east and n north, in metres) against Drift, at shifts that
// lie between the entries, spread over bearings and distances by the golden
// angle.
func (v *DriftView) Check(lookUp func(k int, e, n float64) float64) (c DriftViewCheck, err error) {
	tried := max(4, min(32, 2000/max(v.features, 1)))
	last := v.Table.BeyondM[len(v.Table.BeyondM)-1]
	for i := range tried {
		b := math.Pi * (3 - math.Sqrt(5)) * (float64(i) + 0.5)
		r := last * math.Pow((float64(i)+0.7)/float64(tried), 2.5)
		e, n := r*math.Sin(b), r*math.Cos(b)
		full, err := Drift(v.plan, v.limits, Movement{Antenna: crs.Local{E: crs.Metres(e), N: crs.Metres(n)}, NoHeight: true}, DriftOptions{Bearings: 4})
		if err != nil {
			return c, err
		}
		for k := range v.Table.Items {
			x := &v.Table.Items[k]
			deep := lookUp(k, e, n)
			// Where the rules find nothing the depth is known only to be within
			// the limit.
			if r <= x.LimitM {
				deep = math.Min(deep, x.LimitM)
			}
			want := math.Min(deep, x.LimitM)
			for j := range full.Findings {
				f := &full.Findings[j]
				if f.Rule == x.Rule && slices.Index(f.Features, x.Feature.Feature) == 0 {
					want = f.Measured
				}
			}
			if off := math.Abs(deep - want); r <= 1 {
				c.NearWorstM = math.Max(c.NearWorstM, off)
			} else {
				c.FarWorstM = math.Max(c.FarWorstM, off)
			}
		}
		c.Tried++
	}
	return c, nil
}

// Near finds where on the raster an item of the table is reached; nil for
// nowhere.
func (v *DriftView) Near(x *DriftTableItem) *DriftNear {
	for i := range v.Verdicts.Near {
		if n := &v.Verdicts.Near[i]; n.Rule == x.Rule && n.Feature.Feature == x.Feature.Feature {
			return n
		}
	}
	return nil
}
