// What a plan makes a machine hold, in little: plans of one folder are laid beside one
// another by it, for zones-overlap.

package validate

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// HeldGround is the ground of a plan's zones and the measures of all that it has, to be
// compared with those of another plan.
type HeldGround struct {
	frame  string // of the numbers, "" where nobody says
	limits string
	zones  []orb.MultiPolygon // degrees, longitude first
	box    orb.Bound          // of the zones, degrees
	things []heldThing
}

// heldThing is a feature in measures that do not hang from the order of its points:
// formats turn outlines and begin them elsewhere.
type heldThing struct {
	role          schema.Role
	says          string    // what rules read of it
	middle        orb.Point // of its points, degrees
	wide, tall    float64   // of its box, metres
	around, area  float64   // metres, square metres
	height        float64   // the middle of its heights, NaN for none
	points, rings int
}

// sameHeldM is how far, in metres, two copies of one plan may differ: what formats round
// (common practice, no source). twoPlansM is up to what width the lawns of neighbours may
// overlap on paper: their common edge was surveyed twice.
const sameHeldM, twoPlansM = 0.002, 0.5

// heldKeys are the properties in which copies of a plan have to agree.
var heldKeys = [...]string{schema.PropHazardKind, schema.PropEdgeKind, schema.PropRadiusM, schema.PropWidth, schema.PropHeightM, schema.PropCrownBaseM,
	schema.PropHeadingDeg, schema.PropStandoffM, schema.PropAntennaHeight, schema.PropLimits}

// HeldGroundOf is that of a site; nil where it has no zone on the earth.
func HeldGroundOf(s *Site) *HeldGround {
	if s.Frame != FrameEarth {
		return nil
	}
	out := &HeldGround{box: emptyBox(), limits: heldText(s.Plan.Attributes.Get(schema.PlanLimits))}
	if ref, err := s.Plan.Reference(); err == nil && ref.Frame.Known() {
		out.frame = ref.Frame.Name()
	}
	for _, f := range s.Features {
		if !f.usable() || f.Role == schema.RoleOther || f.Role == "" {
			continue
		}
		t, ok := heldThingOf(s, f)
		if !ok {
			return nil
		}
		out.things = append(out.things, t)
		if f.Role == schema.RoleZone {
			out.addZone(s, f)
		}
	}
	if len(out.zones) == 0 {
		return nil
	}
	return out
}

func heldThingOf(s *Site, f *Feature) (t heldThing, ok bool) {
	t.role = f.Role
	for _, key := range heldKeys {
		if v := f.Attributes.Get(key); !isNull(v) {
			t.says += key + " " + heldText(v) + "\n"
		}
	}
	var sum orb.Point
	take := func(pts []orb.Point) {
		t.rings++
		t.points += len(pts)
		t.around += groundLength(pts)
		for _, p := range pts {
			sum[0], sum[1] = sum[0]+p[0], sum[1]+p[1]
		}
	}
	for i := range f.Areas {
		t.area += plane.Area(orb.MultiPolygon{f.Areas[i].Ground})
		for _, ring := range f.Areas[i].Ground {
			if n := len(ring); n > 1 && ring[0] == ring[n-1] {
				ring = ring[:n-1]
			}
			if take(ring); len(ring) > 1 {
				t.around += distance(ring[0], ring[len(ring)-1])
			}
		}
	}
	for i := range f.Lines {
		take(f.Lines[i].Ground)
	}
	for i := range f.Points {
		take([]orb.Point{f.Points[i].Ground})
	}
	t.height = math.NaN()
	if low, high := f.heightRange(); low <= high {
		t.height = (low + high) / 2
	}
	if t.points == 0 {
		return t, false
	}
	t.wide, t.tall = f.bound.Max[0]-f.bound.Min[0], f.bound.Max[1]-f.bound.Min[1]
	t.middle[0], t.middle[1], ok = s.GroundToLonLat(orb.Point{sum[0] / float64(t.points), sum[1] / float64(t.points)})
	return t, ok
}

// heldText is a value in one form: numbers are texts in some formats.
func heldText(v schema.Value) string {
	if n, ok := schema.NumberSaid(v); ok {
		return fmt.Sprintf("%.6g", n)
	}
	if v.Kind() == schema.KindString {
		return schema.FoldName(v.Text())
	}
	return string(v.AppendJSON(nil))
}

func (h *HeldGround) addZone(s *Site, f *Feature) {
	var zone orb.MultiPolygon
	for i := range f.Areas {
		var p orb.Polygon
		for _, ring := range f.Areas[i].Ground {
			at := make(orb.Ring, 0, len(ring))
			for _, q := range ring {
				lon, lat, ok := s.GroundToLonLat(q)
				if !ok {
					return
				}
				at = append(at, orb.Point{lon, lat})
				enlarge(&h.box, orb.Point{lon, lat})
			}
			p = append(p, at)
		}
		zone = append(zone, p)
	}
	h.zones = append(h.zones, zone)
}

// Near reports whether a place in degrees lies on the ground of the zones or within some
// kilometres of it.
func (h *HeldGround) Near(lon, lat float64) bool {
	const degrees = 0.05
	return h.box.Pad(degrees).Contains(orb.Point{lon, lat})
}

// Meets reports whether the boxes of two plans' zones meet.
func (h *HeldGround) Meets(o *HeldGround) bool { return h.box.Intersects(o.box) }

// Same reports whether two plans make a machine hold the same: one is a copy of the
// other, perhaps in another format.
func (h *HeldGround) Same(o *HeldGround) bool {
	if h.limits != o.limits || h.frame != "" && o.frame != "" && h.frame != o.frame || len(h.things) != len(o.things) {
		return false
	}
	taken := make([]bool, len(o.things))
	for i := range h.things {
		k := slices.IndexFunc(o.things, func(t heldThing) bool { return h.things[i].role == t.role && h.things[i].same(&t) })
		for k >= 0 && taken[k] {
			next := slices.IndexFunc(o.things[k+1:], func(t heldThing) bool { return h.things[i].role == t.role && h.things[i].same(&t) })
			if next < 0 {
				return false
			}
			k += 1 + next
		}
		if k < 0 {
			return false
		}
		taken[k] = true
	}
	return true
}

func (t *heldThing) same(o *heldThing) bool {
	if t.says != o.says || t.points != o.points || t.rings != o.rings {
		return false
	}
	near := func(a, b, tol float64) bool { return math.Abs(a-b) <= tol }
	cos := math.Cos(t.middle[1] * math.Pi / 180)
	return near(t.middle[0], o.middle[0], sameHeldM/(metresDegree*cos)) && near(t.middle[1], o.middle[1], sameHeldM/metresDegree) &&
		near(t.wide, o.wide, 2*sameHeldM) && near(t.tall, o.tall, 2*sameHeldM) &&
		near(t.around, o.around, sameHeldM*float64(t.points)) && near(t.area, o.area, sameHeldM*t.around) && !(math.Abs(t.height-o.height) > 10*sameHeldM)
}

// Shared is the ground that the zones of two plans share, and how wide it is at its
// widest, in square metres and metres; 0 where it is no wider than the lawns of
// neighbours may overlap on paper.
func (h *HeldGround) Shared(o *HeldGround) (areaM2, widthM float64) {
	if !h.box.Intersects(o.box) {
		return 0, 0
	}
	origin := h.box.Center()
	cos := math.Cos(origin[1] * math.Pi / 180)
	flat := func(list []orb.MultiPolygon) (out []orb.MultiPolygon) {
		for _, zone := range list {
			z := zone.Clone()
			for _, p := range z {
				for _, ring := range p {
					for i, q := range ring {
						ring[i] = orb.Point{(q[0] - origin[0]) * cos * metresDegree, (q[1] - origin[1]) * metresDegree}
					}
				}
			}
			out = append(out, z)
		}
		return out
	}
	mine, theirs := flat(h.zones), flat(o.zones)
	for _, a := range mine {
		for _, b := range theirs {
			if !a.Bound().Intersects(b.Bound()) {
				continue
			}
			shared, err := plane.Intersection(a, b)
			if err != nil || len(shared) == 0 {
				continue // outlines that cross themselves are told of each plan alone
			}
			if _, depth := plane.GreatestDepth(shared, depthTolerance); 2*depth > twoPlansM {
				areaM2, widthM = areaM2+plane.Area(shared), math.Max(widthM, 2*depth)
			}
		}
	}
	return areaM2, widthM
}

// BesidePlan is the finding of a plan whose zones share ground with those of another plan
// of the folder, called other, that holds something else.
func BesidePlan(other string, areaM2, widthM float64) Finding {
	return Finding{
		Rule: RuleZonesOverlap, Severity: Warning, Measured: widthM, Limit: twoPlansM, Unit: "m", AreaM2: areaM2,
		Message: fmt.Sprintf("its zones share %s of ground, up to %s wide, with those of the plan %s, and the two are not the same: which of them does the machine hold? find out by its date, and keep that one alone in the folder", squareMetres(areaM2), metres(widthM), quote(other)),
	}
}
