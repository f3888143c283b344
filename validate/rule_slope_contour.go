// Heights that a name tells of a contour or of a spot, of slope-limit.

package validate

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"swardline/schema"
)

// sayContour is what the page of the rule says of this.
const sayContour = "" +
	"A contour, or a mark, point or line called a spot or a level, is unchecked there where a height in its name is more than step_max_m off its points', or they have none. " +
	"So are three lines and more of the role other whose names are nothing but numbers, in even steps and within 20 m of the heights of what is driven, but for 0, 1, 2 and so on: they are contours."

// spotWords call a point or line one whose height is known (common practice, no
// source).
var spotWords = strings.Fields("spot elevation elev height level niveau kote cota quota höhe hoehe höhenpunkt hoehenpunkt hoogte hoogtepunt altitude altitud altura")

// namedNumber is a number in a name that may be a height: with a decimal part, or
// with metres behind it, or alone.
var namedNumber = regexp.MustCompile(`(^|[\s=:+@(])([-+]?\d+(?:[.,]\d+)?)\s*(m\b|m$|müNN|m\.?a\.?s\.?l|$|[\s)])`)

// besideGroundM is how near to driven ground in metres what is known of heights
// counts for it.
const besideGroundM = bankReachM

// heightNamed is the height in metres that the name of a contour or a spot tells.
// whole is set for one that may as well be its number in a list: no decimal part
// and no metres.
func heightNamed(name string) (h float64, whole, ok bool) {
	all := namedNumber.FindAllStringSubmatch(name, 2)
	if len(all) != 1 {
		return 0, false, false // none, or two, such as 3 of 17
	}
	number, unit := all[0][2], strings.TrimSpace(strings.Trim(all[0][3], ")"))
	h, err := strconv.ParseFloat(strings.ReplaceAll(number, ",", "."), 64)
	return h, !strings.ContainsAny(number, ".,") && unit == "", err == nil
}

// namedHeights leaves unchecked contours and spots on driven ground or beside it
// whose name tells their height, where their points tell another or none. A whole
// number that no ground of the plan has counts as one of a list.
func (r *run) namedHeights(zones *solids) {
	low, high := math.NaN(), math.NaN()
	var numbered map[*Feature]bool
	for _, role := range [...]schema.Role{schema.RoleOther, schema.RoleMark} {
		for _, f := range r.Of(role) {
			if !f.usable() || len(f.Areas) > 0 || !strings.ContainsAny(f.Name, "0123456789") || r.clamped(f) {
				continue
			}
			said, whole, ok := heightNamed(f.Name)
			if !ok {
				continue
			}
			words := letterWords(f.Name + " " + f.Attributes.Get(schema.PropLayer).Text() + " " + f.Attributes.Get(schema.PropCode).Text())
			if !slices.ContainsFunc(words, func(w string) bool { return slices.Contains(contourWords, w) || slices.Contains(spotWords, w) }) {
				if numbered == nil {
					low, high = r.drivenHeights()
					numbered = r.contoursByNumber(low, high)
				}
				if !numbered[f] {
					continue
				}
			}
			off, some := 0.0, false
			f.heights(func(h float64) { off, some = max(off, math.Abs(h-said)), true })
			if some && off <= r.of(f).StepMaxM+1e-9 || !r.besideDriven(f, zones) {
				continue
			}
			if whole {
				if low != low {
					low, high = r.drivenHeights()
				}
				if !(said >= low-awayRiseM && said <= high+awayRiseM) {
					continue
				}
			}
			if !some {
				r.cannot("%s has its height in its name alone, and its points have none: give them that, or take it out of the name", f.describe())
				continue
			}
			r.cannot("%s says %s in its name, and its points are %s off that: whether the ground there is as the one or as the other cannot be told; correct whichever is wrong", f.describe(), metres(said), metres(off))
		}
	}
}

// drivenHeights are the least and the greatest height of what is driven.
func (r *run) drivenHeights() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, of := range [...]schema.Role{schema.RoleZone, schema.RoleCorridor, schema.RoleDock} {
		for _, g := range r.usableOf(of) {
			l, h := g.heightRange()
			low, high = min(low, l), max(high, h)
		}
	}
	return low, high
}

// numberAlone is a name that is a number and nothing else, but a unit.
var numberAlone = regexp.MustCompile(`^\s*[-+]?\d+(?:[.,]\d+)?\s*m?\s*$`)

// contoursByNumber are lines whose names are nothing but numbers that are heights of about
// there, three and more in even steps.
func (r *run) contoursByNumber(low, high float64) map[*Feature]bool {
	out := map[*Feature]bool{}
	var said []float64
	for _, f := range r.Of(schema.RoleOther) {
		if len(f.Lines) == 0 || len(f.Areas)+len(f.Points) > 0 || !numberAlone.MatchString(f.Name) || !f.usable() {
			continue
		}
		if h, _, ok := heightNamed(f.Name); ok && h >= low-awayRiseM && h <= high+awayRiseM {
			out[f], said = true, append(said, h)
		}
	}
	slices.Sort(said)
	said = slices.Compact(said)
	if len(said) < 3 || said[0] == 0 && said[1] == 1 || said[0] == 1 && said[1] == 2 {
		return map[*Feature]bool{}
	}
	step := math.Inf(1)
	for i := 1; i < len(said); i++ {
		step = min(step, said[i]-said[i-1])
	}
	for i := 1; i < len(said); i++ {
		if n := (said[i] - said[i-1]) / step; math.Abs(n-math.Round(n)) > 1e-6 {
			return map[*Feature]bool{}
		}
	}
	return out
}

// besideDriven reports whether a feature comes within besideGroundM of a zone, a
// corridor or a dock, by boxes.
func (r *run) besideDriven(f *Feature, zones *solids) bool {
	box := f.bound.Pad(besideGroundM)
	if len(zones.near(box)) > 0 {
		return true
	}
	for _, role := range [...]schema.Role{schema.RoleCorridor, schema.RoleDock} {
		for _, g := range r.usableOf(role) {
			if g.bound.Intersects(box) {
				return true
			}
		}
	}
	return false
}
