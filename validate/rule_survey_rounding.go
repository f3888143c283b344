// Coordinates that were rounded on the way: part of the rule survey-quality.

package validate

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"swardline/crs"
	"swardline/schema"
)

// Decimals that are looked for, and how many vertices a plan has to have before
// it is said to be rounded as a whole, rather than to stand on round numbers by
// chance.
const (
	mostDecimals     = 9
	leastRounded     = 8
	degreeM          = 111_320 // metres a degree along a meridian or the equator, at most
	decimalsShortOff = 2       // so many decimals fewer than the rest has no point by chance
)

// decimalsOf is how many decimals a number has, up to mostDecimals. A number
// read from text is off by its last bit, which of 180 degrees is some 3e-14.
func decimalsOf(v float64) int {
	for d, scale := 0, 1.0; d < mostDecimals; d, scale = d+1, scale*10 {
		if x := v * scale; math.Abs(x-math.Round(x)) < 1e-4 {
			return d
		}
	}
	return mostDecimals
}

// decimals are the most decimals that any coordinate of the feature has; it looks
// no further than the first that has enough.
func (f *Feature) decimals(enough int) (most int) {
	f.eachVertex(func(read, _ orb.Point) bool {
		most = max(most, decimalsOf(read[0]), decimalsOf(read[1]))
		return most < enough
	})
	return most
}

// raster is the step, in metres, of the coarsest usual raster that all coordinates of
// a feature in metres lie on, 0 for none: drawings are snapped to one.
func (f *Feature) raster() float64 {
	for _, step := range [...]float64{0.5, 0.25, 0.2} {
		on := true
		f.eachVertex(func(read, _ orb.Point) bool {
			for _, v := range read {
				on = on && math.Abs(v/step-math.Round(v/step)) < 1e-4
			}
			return on
		})
		if on {
			return step
		}
	}
	return 0
}

// planRaster is the least raster of all features but those of the role other, 0 where
// one is on none, and how many vertices they have.
func (r *run) planRaster() (least float64, vertices int) {
	least = math.Inf(1)
	for _, f := range r.Features {
		if f.usable() && f.Role != schema.RoleOther && f.countPoints() > 0 {
			vertices += f.countPoints()
			if least = min(least, f.raster()); least == 0 {
				return 0, vertices
			}
		}
	}
	return least, vertices
}

// roundedRoles are the roles of things that have to lie where they are drawn.
var roundedRoles = [...]schema.Role{schema.RoleBase, schema.RoleDock, schema.RoleZone, schema.RoleKeepout, schema.RoleCorridor, schema.RoleHazard, schema.RoleEdge, schema.RoleBoundary, schema.RoleBuilding, schema.RoleSupply, schema.RoleMark}

// roundedOff tells a plan, or a single thing of it, whose coordinates have so few
// decimals that rounding alone may put them farther off than
// survey_sigma_m: half a unit of the last decimal, along one axis.
func (r *run) roundedOff() {
	c := r.Plan.CRS
	if c == nil || r.Frame != FrameEarth || c.Kind() == crs.KindGeocentric || c.Kind() == crs.KindSite {
		return
	}
	if by, limit := r.Plan.Source.StepM/2, r.limits.SurveySigmaM; by > limit {
		x := r.finding(nil)
		x.Measured, x.Limit, x.Unit = by, limit, "m"
		x.Message = fmt.Sprintf("the file counts its coordinates in steps, and that alone may put every line %s off; ask for it without quantization, or with finer steps", metresPast(by, limit))
		return
	}
	unit := 1.0
	words := "of a metre"
	if c.IsDegrees() {
		unit, words = degreeM, "of a degree"
	}
	off := func(decimals int) float64 { return unit * math.Pow10(-decimals) / 2 }
	limit, fine := r.limits.SurveySigmaM, 0
	for fine < mostDecimals && off(fine) > limit {
		fine++
	}
	enough := min(fine+decimalsShortOff-1, mostDecimals) // what is looked for does not change with more
	most, vertices := 0, 0
	for _, f := range r.Features {
		if f.usable() && f.Role != schema.RoleOther {
			most = max(most, f.decimals(enough))
			vertices += f.countPoints()
		}
		if most >= enough {
			break
		}
	}
	if by := off(most); by > limit && vertices >= leastRounded {
		x := r.finding(nil)
		x.Measured, x.Limit, x.Unit = by, limit, "m"
		x.Message = fmt.Sprintf("no coordinate has more than %d decimals %s: rounding alone may put every line %s off; ask for the plan with %s", most, words, metresPast(by, limit), enoughDecimals(c.IsDegrees()))
		return
	}
	step := 0.0
	if !c.IsDegrees() && most <= 2 {
		step, vertices = r.planRaster()
	}
	if step/2 > limit && vertices >= leastRounded {
		x := r.finding(nil)
		x.Measured, x.Limit, x.Unit = step/2, limit, "m"
		x.Message = fmt.Sprintf("all coordinates are multiples of %s: the plan was snapped to a raster, and every line may lie %s off; ask for it as it was measured", metres(step), metresPast(step/2, limit))
		return
	}
	told := 0
	for _, role := range roundedRoles {
		for _, f := range r.Of(role) {
			if told >= mostFindings || !r.standsRounded(f, c.IsDegrees()) {
				continue
			}
			has, limit := f.decimals(most-decimalsShortOff+1), r.of(f).SurveySigmaM
			by := off(has)
			step := 0.0
			if !c.IsDegrees() && has >= 1 {
				if step = f.raster(); step > 0 {
					by, has = step/2, 0
				}
			}
			if has > most-decimalsShortOff || by <= limit {
				continue
			}
			if sigma := f.Attributes.Get(schema.PropSigma); role == schema.RoleBase && !c.IsDegrees() && !isNull(sigma) &&
				r.measuredWell(f, schema.PropSigma, schema.Attribute{Key: schema.PropSigma, Value: sigma}) {
				continue // pegged out on whole metres
			}
			if role == schema.RoleBuilding || role == schema.RoleSupply {
				// Which stand far from what is driven more often than not.
				reach := by*math.Sqrt2 + r.of(f).HazardMarginM
				shape := r.hazardShape(f)
				if g := shape.geometry(); g == nil || !r.nearDriven(g, f.bound.Pad(reach), reach, r.zones(), r.corridors()) {
					continue
				}
			}
			told++
			x := r.finding(r.middle(f), f)
			if role == schema.RoleBase && c.IsDegrees() {
				x.Severity = Error
			}
			x.Measured, x.Limit, x.Unit = by, limit, "m"
			if step > 0 {
				x.Message = fmt.Sprintf("all of its coordinates are multiples of %s, and others of the plan have %d decimals or more: it was snapped to a raster, and may lie %s off; write it as it was measured", metres(step), most, metresPast(by, limit))
				continue
			}
			x.Message = fmt.Sprintf("its coordinates have %d decimals %s, and others of the plan %d or more: rounding alone may put it %s off; write it as it was measured, with %s", has, words, most, metresPast(by, limit), enoughDecimals(c.IsDegrees()))
		}
	}
}

// standsRounded reports whether a feature has to lie where it is drawn, so that it is
// asked for its decimals: a mark may be pegged out on whole metres of a grid, or be no
// more than a hint, unless it says in degrees that it was measured.
func (r *run) standsRounded(f *Feature, degrees bool) bool {
	if !f.usable() || f.countPoints() == 0 {
		return false
	}
	return f.Role != schema.RoleMark || degrees && r.saysMeasured(f)
}

// saysMeasured reports whether a feature says that it was measured, by a standard error
// within the limit or a fixed solution.
func (r *run) saysMeasured(f *Feature) bool {
	return slices.ContainsFunc([]string{schema.PropSigma, schema.PropFix}, func(key string) bool {
		v := f.Attributes.Get(key)
		return !isNull(v) && r.measuredWell(f, key, schema.Attribute{Key: key, Value: v})
	})
}

func enoughDecimals(degrees bool) string {
	if degrees {
		return "8 decimals or more"
	}
	return "3 decimals"
}
