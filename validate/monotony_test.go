// Monotony: what is told of a thing is told of the same thing nearer, larger or
// higher, at least as gravely. No list says what is expected; plans are compared
// with one another.

package validate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/twpayne/go-geom"

	"swardline/crs"
	"swardline/schema"
	"swardline/testdata/randplan"
)

// yardH is the height of the level ground of the yard.
const yardH = 45.0

// level is a geometry of rings or a line at one height.
func level(pts []orb.Point, closed bool) geom.T {
	var flat []float64
	for _, p := range pts {
		flat = append(flat, p[0], p[1], yardH)
	}
	if closed {
		flat = append(flat, pts[0][0], pts[0][1], yardH)
		return geom.NewPolygonFlat(geom.XYZ, flat, []int{len(flat)})
	}
	return geom.NewLineStringFlat(geom.XYZ, flat)
}

func yardBox(x0, y0, x1, y1 float64) []orb.Point {
	return []orb.Point{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}
}

// yard is a clean plan: a lawn with a bed in it and a flush edge along its south
// side, a way that leads east to a dock, and a second lawn in the north.
func yard() []*schema.Feature {
	return []*schema.Feature{
		thing(schema.RoleZone, "Lawn", level(yardBox(0, 0, 30, 20), true)),
		thing(schema.RoleZone, "Orchard", level(yardBox(0, 40, 30, 60), true)),
		thing(schema.RoleKeepout, "Bed", level(yardBox(4, 5, 20, 15), true)),
		thing(schema.RoleEdge, "Terrace side", level([]orb.Point{{0, 0}, {30, 0}}, false), "edge_kind", "flush"),
		thing(schema.RoleCorridor, "Dock way", level([]orb.Point{{28, 10}, {32, 10}, {48, 10}}, false)),
		thing(schema.RoleCorridor, "Orchard way", level([]orb.Point{{25, 18}, {25, 22}, {25, 38}, {25, 42}}, false)),
		thing(schema.RoleDock, "Dock", spot(50, 10, yardH), "heading_deg", 90.0, "standoff_m", 2.0),
		thing(schema.RoleBase, "Mast", spot(60, 30, yardH+2.5), "antenna_height_m", 2.5),
		thing(schema.RoleSupply, "Outlet", spot(52, 25, yardH)),
		thing(schema.RoleBoundary, "Limit", level(yardBox(-60, -60, 120, 120), true)),
	}
}

// place is where things are brought near: at is on what is driven, and away leads
// off it.
type sweepPlace struct {
	name     string
	at, away orb.Point
	from, to float64 // of the distance, in metres
}

var sweepPlaces = []sweepPlace{
	{"a zone's side", orb.Point{15, 20}, orb.Point{0, 1}, -1.5, 9},
	{"a zone's corner", orb.Point{30, 20}, orb.Point{math.Sqrt2 / 2, math.Sqrt2 / 2}, -1.5, 6},
	{"a corridor's middle", orb.Point{38, 10}, orb.Point{0, -1}, 0, 9},
	{"a corridor's end", orb.Point{28, 10}, orb.Point{-1, 0}, -0.5, 2},
	{"beside a dock", orb.Point{50, 10}, orb.Point{0, 1}, 0, 9},
	{"behind a dock", orb.Point{50, 10}, orb.Point{1, 0}, 0, 9},
	{"beside a line-up point", orb.Point{48, 10}, orb.Point{0, -1}, 0, 9},
	{"the way between dock and line-up point", orb.Point{49, 10}, orb.Point{0, 1}, 0, 9},
	{"inside a keep-out", orb.Point{4, 10}, orb.Point{1, 0}, -1.5, 3},
	{"a flush edge", orb.Point{15, 0}, orb.Point{0, -1}, -1.5, 9},
}

// spot is a point so far away and so far to the side.
func (p *sweepPlace) spot(away, aside float64) orb.Point {
	return orb.Point{p.at[0] + away*p.away[0] - aside*p.away[1], p.at[1] + away*p.away[1] + aside*p.away[0]}
}

// sweepShape draws a thing of a size whose nearest point lies so far away.
type sweepShape struct {
	name string
	line bool // for edges
	draw func(p *sweepPlace, d, size float64) (geom.T, []any)
}

func (p *sweepPlace) ring(pts ...float64) []orb.Point {
	var out []orb.Point
	for i := 0; i < len(pts); i += 2 {
		out = append(out, p.spot(pts[i], pts[i+1]))
	}
	return out
}

var sweepShapes = []sweepShape{
	{"point", false, func(p *sweepPlace, d, s float64) (geom.T, []any) {
		q := p.spot(d, 0)
		return spot(q[0], q[1], yardH), nil
	}},
	{"disc", false, func(p *sweepPlace, d, s float64) (geom.T, []any) {
		q := p.spot(d+s/2, 0)
		return spot(q[0], q[1], yardH), []any{"radius_m", s / 2}
	}},
	{"line along", true, func(p *sweepPlace, d, s float64) (geom.T, []any) {
		return level(p.ring(d, -s/2, d, s/2), false), nil
	}},
	{"line that leads there", true, func(p *sweepPlace, d, s float64) (geom.T, []any) {
		return level(p.ring(d, 0, d+s, 0), false), nil
	}},
	{"wide line along", true, func(p *sweepPlace, d, s float64) (geom.T, []any) {
		w := math.Min(s/2, 0.4)
		return level(p.ring(d+w/2, -s/2, d+w/2, s/2), false), []any{"width_m", w}
	}},
	{"closed line", true, func(p *sweepPlace, d, s float64) (geom.T, []any) {
		return level(p.ring(d, -s/2, d, s/2, d+s, s/2, d+s, -s/2, d, -s/2), false), nil
	}},
	{"polygon", false, func(p *sweepPlace, d, s float64) (geom.T, []any) {
		return level(p.ring(d, s/2, d, -s/2, d+s, -s/2, d+s, s/2), true), nil
	}},
	{"polygon with a hole", false, func(p *sweepPlace, d, s float64) (geom.T, []any) {
		var flat []float64
		ends := []int{}
		for _, r := range [][]orb.Point{p.ring(d, s/2, d, -s/2, d+s, -s/2, d+s, s/2, d, s/2),
			p.ring(d+s/4, s/4, d+s*3/4, s/4, d+s*3/4, -s/4, d+s/4, -s/4, d+s/4, s/4)} {
			for _, q := range r {
				flat = append(flat, q[0], q[1], yardH)
			}
			ends = append(ends, len(flat))
		}
		return geom.NewPolygonFlat(geom.XYZ, flat, ends), nil
	}},
	{"two parts", false, func(p *sweepPlace, d, s float64) (geom.T, []any) {
		var flat []float64
		var ends [][]int
		for _, r := range [][]orb.Point{p.ring(d, s/2, d, 0, d+s, 0, d+s, s/2, d, s/2), p.ring(d+s*3/2, s/2, d+s*3/2, -s/2, d+s*2, -s/2, d+s*2, s/2, d+s*3/2, s/2)} {
			for _, q := range r {
				flat = append(flat, q[0], q[1], yardH)
			}
			ends = append(ends, []int{len(flat)})
		}
		return geom.NewMultiPolygonFlat(geom.XYZ, flat, ends), nil
	}},
	{"ellipse", false, func(p *sweepPlace, d, s float64) (geom.T, []any) {
		var pts []orb.Point
		for i := 0; i < 32; i++ {
			sin, cos := math.Sincos(-2 * math.Pi * float64(i) / 32)
			pts = append(pts, p.spot(d+s/4*(1+cos), s/2*sin))
		}
		return level(pts, true), nil
	}},
}

// sweepThing is something that may stand in the yard.
type sweepThing struct {
	name   string
	role   schema.Role
	called string // its name in the plan
	high   bool   // whether it is tried with heights
	pairs  []any
}

var sweepThings = func() []sweepThing {
	out := []sweepThing{
		{"a shed", schema.RoleBuilding, "", true, nil},
		{"a house of no height", schema.RoleBuilding, "", false, nil},
		{"a hazard of no kind", schema.RoleHazard, "", false, nil},
		{"a hazard tree with low boughs", schema.RoleHazard, "", true, []any{"hazard_kind", "tree", "crown_base_m", 0.2, "crown_radius_m", 2.0}},
		{"an outlet", schema.RoleSupply, "Socket", false, nil},
		{"a base", schema.RoleBase, "Spare mast", false, []any{"antenna_height_m", 0.0}},
		{"a keep-out", schema.RoleKeepout, "Border", false, nil},
	}
	for _, k := range strings.Fields("pond stream road railway stairs pit quay gizmo") {
		out = append(out, sweepThing{"a hazard " + k, schema.RoleHazard, "", false, []any{"hazard_kind", k}})
	}
	for _, k := range strings.Fields("tree bench rock hedge playground lamp") {
		out = append(out, sweepThing{"a hazard " + k, schema.RoleHazard, "", true, []any{"hazard_kind", k}})
	}
	for _, k := range strings.Fields("wall kerb fence drop") {
		out = append(out, sweepThing{"an edge " + k, schema.RoleEdge, "", k != "drop", []any{"edge_kind", k}})
	}
	for _, k := range strings.Fields("Wall Pond Road Car Cable Tree Pit Gizmo Manhole Bench Shed Hedge Kerb Stairs") {
		out = append(out, sweepThing{"other " + k, schema.RoleOther, k, false, []any{"role", "other"}})
	}
	for _, k := range strings.Fields("Pond Kerb Wall Tree Lamp Stairs M7") {
		out = append(out, sweepThing{"mark " + k, schema.RoleMark, k, false, nil})
	}
	return out
}()

// fits reports whether a thing can have the shape, and stand in the place.
func (x *sweepThing) fits(s *sweepShape, p *sweepPlace) bool {
	switch x.role {
	case schema.RoleBuilding:
		return !s.line && s.name != "point" && s.name != "disc"
	case schema.RoleKeepout: // what is no danger to a lawn
		return !s.line && s.name != "point" && s.name != "disc" && (strings.Contains(p.name, "dock") || strings.Contains(p.name, "line-up"))
	case schema.RoleEdge:
		return s.line
	case schema.RoleMark, schema.RoleSupply, schema.RoleBase:
		return s.name == "point"
	}
	return true
}

// gravity is how gravely a plan is told of: 3 an error, 2 a warning or what is
// unchecked, 1 a note, 0 nothing; rules and notes that pardoned names do not count.
func gravity(r *Report, pardoned func(rule, message string) bool) int {
	worst := 0
	for i := range r.Findings {
		if f := &r.Findings[i]; !pardoned(f.Rule, f.Message) {
			worst = max(worst, 3-f.Severity.Rank())
		}
	}
	for _, x := range r.Rules {
		if x.Outcome != NotNeeded && x.Reason != "" && slices.ContainsFunc(strings.Split(x.Reason, "; "), func(one string) bool { return !pardoned(x.Rule, one) }) {
			worst = max(worst, 2)
		}
	}
	return worst
}

var gravities = []string{"nothing", "a note", "a warning or unchecked", "an error"}

// saysOf is all that a report says.
func saysOf(r *Report) string {
	var out []string
	for i := range r.Findings {
		f := &r.Findings[i]
		out = append(out, fmt.Sprintf("%s %s: %s", f.Severity, f.Rule, f.Message))
	}
	for _, x := range r.Rules {
		if x.Reason != "" && x.Outcome != NotNeeded {
			out = append(out, fmt.Sprintf("unchecked %s: %s", x.Rule, x.Reason))
		}
	}
	return strings.Join(out, "; ")
}

// pardon is what may well be told less of what is nearer, larger or higher; "" stands
// for any.
type pardon struct {
	axis, thing, shape, place string
	rule, words               string // of what does not count
	why                       string
}

var pardons = []pardon{
	{rule: RuleGeometryUnfit, why: "a size or height that nothing of the kind has is told, wherever it stands"},
	{axis: "larger", thing: "low boughs", why: "a crown is measured from the middle, and that of the larger one lies farther off"},
	{place: "inside a keep-out", rule: RuleSkyBlocked, why: "what comes to that side of the bed goes away from the ways and docks"},
	{place: "inside a keep-out", rule: RuleSatellitesFew, why: "as for sky-blocked"},
	{shape: "ellipse", rule: RuleHazardUncovered, words: "points at it", why: "what runs along a lawn less than 2 m off goes on beside it"},
	{shape: "along", rule: RuleHazardUncovered, words: "points at it", why: "what runs along a lawn less than 2 m off goes on beside it"},
}

// pardonsOf reports what does not count between two plans that differ along an axis.
func pardonsOf(axis string, x *sweepThing, s *sweepShape, p *sweepPlace) func(rule, message string) bool {
	var held []pardon
	for _, o := range pardons {
		if (o.axis == "" || o.axis == axis) && strings.Contains(x.name, o.thing) && strings.Contains(s.name, o.shape) && (o.place == "" || o.place == p.name) {
			held = append(held, o)
		}
	}
	return func(rule, message string) bool {
		return slices.ContainsFunc(held, func(o pardon) bool {
			return (o.rule == "" || o.rule == rule) && strings.Contains(message, o.words)
		})
	}
}

// distances are those that a place is tried at, the farthest first.
func (p *sweepPlace) distances() []float64 {
	far, step := 1.0, 0.1
	if !randplan.Long() {
		far, step = 3, 0.4
	}
	var out []float64
	for d := p.to; d > 1.5; d -= far {
		out = append(out, d)
	}
	for k := int(math.Round(math.Min(p.to, 1.5) / step)); float64(k)*step >= p.from-1e-9; k-- {
		out = append(out, float64(k)*step)
	}
	return out
}

// sweepPlan is one of the plans that are compared.
type sweepPlan struct {
	name   string
	report *Report
}

// noBetter fails where the second plan is told of less gravely.
func noBetter(t *testing.T, a, b *sweepPlan, pardoned func(rule, message string) bool) {
	t.Helper()
	if was, is := gravity(a.report, pardoned), gravity(b.report, pardoned); is < was {
		t.Errorf("\n\t%s: %s: %s\n\t%s: only %s: %s", a.name, gravities[was], saysOf(a.report), b.name, gravities[is], saysOf(b.report))
	}
}

// TestNearerLargerHigherIsNoBetter brings things of all kinds and shapes to all kinds
// of places, of several sizes and heights: without SWARDLINE_LONG a sample.
func TestNearerLargerHigherIsNoBetter(t *testing.T) {
	t.Parallel()
	if r := Check(driftPlan(t, yard()...), schema.DefaultLimits()); r.Status() != StatusClean {
		t.Fatalf("the yard: %s", saysOf(r))
	}
	n := 0
	for i := range sweepThings {
		for k := range sweepShapes {
			for j := range sweepPlaces {
				x, s, p := &sweepThings[i], &sweepShapes[k], &sweepPlaces[j]
				if !x.fits(s, p) {
					continue
				}
				if n++; n%23 == 0 || randplan.Long() {
					bringNear(t, x, s, p)
				}
			}
		}
	}
}

func bringNear(t *testing.T, x *sweepThing, s *sweepShape, p *sweepPlace) {
	nearer, larger, higher := pardonsOf("nearer", x, s, p), pardonsOf("larger", x, s, p), pardonsOf("higher", x, s, p)
	heights := []float64{0.3, 3}
	if !x.high {
		heights = []float64{math.NaN()}
	}
	sizes := []float64{0.3, 3}
	if s.name == "point" {
		sizes = sizes[:1]
	}
	nearest := map[[2]float64]*sweepPlan{} // by size and height
	for _, d := range p.distances() {
		here := map[[2]float64]*sweepPlan{}
		for m, size := range sizes {
			for h, height := range heights {
				plan := x.plan(t, s, p, d, size, height)
				if last := nearest[[2]float64{size, float64(h)}]; last != nil {
					noBetter(t, last, plan, nearer)
				}
				if m > 0 {
					noBetter(t, here[[2]float64{sizes[m-1], float64(h)}], plan, larger)
				}
				if h > 0 {
					noBetter(t, here[[2]float64{size, float64(h - 1)}], plan, higher)
				}
				here[[2]float64{size, float64(h)}] = plan
			}
		}
		nearest = here
	}
}

// plan is the yard with the thing in it.
func (x *sweepThing) plan(t *testing.T, s *sweepShape, p *sweepPlace, d, size, height float64) *sweepPlan {
	g, more := s.draw(p, d, size)
	pairs := append(append([]any{}, x.pairs...), more...)
	name := fmt.Sprintf("%s, a %s of %.1f m, %.2f m from %s", x.name, s.name, size, d, p.name)
	if x.high {
		pairs = append(pairs, "height_m", height)
		name += fmt.Sprintf(", %.1f m high", height)
	}
	f := thing(x.role, x.called, g, pairs...)
	return &sweepPlan{name, Check(driftPlan(t, append(yard(), f)...), schema.DefaultLimits())}
}

// ofTheSky are rules whose findings may change with the drawing: satellites stand
// elsewhere, skylines are cut into 720 directions and lawns into a raster, and a plan
// may lie a hair at either side of their shares.
var ofTheSky = []string{RuleSkyBlocked, RuleSatellitesFew}

// toldOf are what a report tells, by rule, gravity and features, sorted: what must stay
// however a plan is drawn.
func toldOf(r *Report) []string {
	var out []string
	for i := range r.Findings {
		f := &r.Findings[i]
		if slices.Contains(ofTheSky, f.Rule) {
			continue
		}
		names := []string{}
		for _, x := range f.Features {
			switch x.Role {
			case schema.RoleZone, schema.RoleCorridor, schema.RoleDock: // of two ends of a thing either may be told
			default:
				names = append(names, string(x.Role)+" "+x.Name)
			}
		}
		slices.Sort(names)
		out = append(out, fmt.Sprintf("%s %s of %s", f.Severity, f.Rule, strings.Join(names, ", ")))
	}
	for _, x := range r.Rules {
		if x.Outcome != NotNeeded && x.Reason != "" && !slices.Contains(ofTheSky, x.Rule) {
			out = append(out, "unchecked "+x.Rule)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// redrawn is a plan with all its points moved, and its features changed, each a copy.
func redrawn(features []*schema.Feature, move func(x, y float64) (float64, float64), change func(f *schema.Feature)) []*schema.Feature {
	var out []*schema.Feature
	for _, f := range features {
		c := *f
		c.Attributes = f.Attributes.Clone()
		flat := append([]float64(nil), f.Geometry.FlatCoords()...)
		n := f.Geometry.Stride()
		for i := 0; move != nil && i+1 < len(flat); i += n {
			flat[i], flat[i+1] = move(flat[i], flat[i+1])
		}
		g, err := schema.WithFlatCoords(f.Geometry, flat)
		if err != nil {
			panic(err)
		}
		c.Geometry = g
		if change != nil {
			change(&c)
		}
		out = append(out, &c)
	}
	return out
}

// runs are the points of every ring or line of a geometry, which share its memory.
func runs(g geom.T) [][]float64 {
	flat := g.FlatCoords()
	var ends []int
	switch x := g.(type) {
	case *geom.Polygon:
		ends = x.Ends()
	case *geom.MultiPolygon:
		for _, e := range x.Endss() {
			ends = append(ends, e...)
		}
	default:
		return [][]float64{flat}
	}
	var out [][]float64
	from := 0
	for _, to := range ends {
		out = append(out, flat[from:to])
		from = to
	}
	return out
}

func turnRound(run []float64, n int) {
	for i, k := 0, len(run)-n; i < k; i, k = i+n, k-n {
		for j := 0; j < n; j++ {
			run[i+j], run[k+j] = run[k+j], run[i+j]
		}
	}
}

// turnHeading changes the bearing of docks and zones.
func turnHeading(f *schema.Feature, to func(h float64) float64) {
	if h, ok := f.Attributes.Get("heading_deg").Float(); ok {
		f.Attributes.Set("heading_deg", schema.Float(math.Mod(to(h)+720, 360)))
	}
}

// redraws are ways to draw a plan again that change nothing on the ground.
var redraws = []struct {
	name   string
	redraw func(r *rand.Rand, features []*schema.Feature) []*schema.Feature
}{
	{"turned", func(r *rand.Rand, features []*schema.Feature) []*schema.Feature {
		deg := r.Float64() * 360
		s, c := math.Sincos(deg * math.Pi / 180)
		return redrawn(features, func(x, y float64) (float64, float64) { return x*c + y*s, y*c - x*s }, func(f *schema.Feature) {
			turnHeading(f, func(h float64) float64 { return h + deg })
		})
	}},
	{"mirrored", func(r *rand.Rand, features []*schema.Feature) []*schema.Feature {
		return redrawn(features, func(x, y float64) (float64, float64) { return -x, y }, func(f *schema.Feature) {
			turnHeading(f, func(h float64) float64 { return -h })
			switch f.Geometry.(type) {
			case *geom.Polygon, *geom.MultiPolygon:
				for _, run := range runs(f.Geometry) {
					turnRound(run, f.Geometry.Stride())
				}
			}
		})
	}},
	{"with lines reversed", func(r *rand.Rand, features []*schema.Feature) []*schema.Feature {
		return redrawn(features, nil, func(f *schema.Feature) {
			if _, ok := f.Geometry.(*geom.LineString); ok {
				turnRound(f.Geometry.FlatCoords(), f.Geometry.Stride())
			}
		})
	}},
	{"with rings begun elsewhere", func(r *rand.Rand, features []*schema.Feature) []*schema.Feature {
		return redrawn(features, nil, func(f *schema.Feature) {
			n := f.Geometry.Stride()
			for _, run := range runs(f.Geometry) {
				last := len(run) - n
				if last < 3*n || !slices.Equal(run[:n], run[last:]) {
					continue
				}
				k := n * r.IntN(last/n)
				copy(run, append(append([]float64(nil), run[k:last]...), run[:k]...))
				copy(run[last:], run[:n])
			}
		})
	}},
	{"in another order", func(r *rand.Rand, features []*schema.Feature) []*schema.Feature {
		out := slices.Clone(features)
		r.Shuffle(len(out), func(i, k int) { out[i], out[k] = out[k], out[i] })
		return out
	}},
	{"shifted by a kilometre", func(r *rand.Rand, features []*schema.Feature) []*schema.Feature {
		dx, dy := r.Float64()*2000-1000, r.Float64()*2000-1000
		return redrawn(features, func(x, y float64) (float64, float64) { return x + dx, y + dy }, nil)
	}},
}

// strewn are things that a yard may hold, one of each at most, off all limits by a
// few centimetres.
func strewn(r *rand.Rand, many int) (features []*schema.Feature, name string) {
	for range many {
		x, s, p := &sweepThings[r.IntN(len(sweepThings))], &sweepShapes[r.IntN(len(sweepShapes))], &sweepPlaces[r.IntN(len(sweepPlaces))]
		if !x.fits(s, p) {
			continue
		}
		d := math.Round((p.from+r.Float64()*(math.Min(p.to, 4)-p.from))*10)/10 + 0.041
		size := 0.3 + 3*r.Float64()
		g, more := s.draw(p, d, size)
		pairs := append(append([]any{}, x.pairs...), more...)
		if x.high {
			pairs = append(pairs, "height_m", 0.3+3*r.Float64())
		}
		features = append(features, thing(x.role, x.called, g, pairs...))
		name += fmt.Sprintf("; %s, a %s of %.2f m, %.3f m from %s", x.name, s.name, size, d, p.name)
	}
	return features, name
}

// geodetic is a plan in degrees of the features whose site lies at an origin.
func geodetic(t *testing.T, lon, lat float64, features []*schema.Feature) *schema.Plan {
	t.Helper()
	grid, err := crs.NewSite(crs.SiteGrid{Origin: crs.Geodetic{Lon: crs.Degrees(lon), Lat: crs.Degrees(lat), H: yardH}, Scale: 1})
	if err != nil {
		t.Fatal(err)
	}
	out := redrawn(features, func(x, y float64) (float64, float64) {
		q := []float64{x, y, yardH}
		if err := grid.ToGeodetic(q, 3); err != nil {
			t.Fatal(err)
		}
		return q[0], q[1]
	}, nil)
	return &schema.Plan{CRS: crs.WGS84(), Features: out}
}

// TestDrawnOtherwiseIsTheSame: what is told of a yard with things in it stays when the
// drawing is turned, mirrored, shifted or put into another order.
func TestDrawnOtherwiseIsTheSame(t *testing.T) {
	t.Parallel()
	rounds := 60
	if randplan.Long() {
		rounds = 2000
	}
	l := schema.DefaultLimits()
	for i := range rounds {
		r := rand.New(rand.NewPCG(uint64(i), 11))
		things, name := strewn(r, 1+i%3)
		features := append(yard(), things...)
		want := toldOf(Check(driftPlan(t, features...), l))
		for _, w := range redraws {
			if got := toldOf(Check(driftPlan(t, w.redraw(r, features)...), l)); !slices.Equal(got, want) {
				t.Errorf("the yard%s\n\t%v\n\t%s: %v", name, want, w.name, got)
			}
		}
		for _, at := range [][2]float64{{11.2000137, 56.9500291}, {-58.3000273, -34.6000119}, {179.9998173, -16.5000317}} {
			if got := toldOf(Check(geodetic(t, at[0], at[1], features), l)); !slices.Equal(got, want) {
				t.Errorf("the yard%s\n\t%v\n\tin degrees at %v: %v", name, want, at, got)
			}
		}
	}
}

// TestMoreIsNoBetter: a thing more takes nothing away that is told of another.
func TestMoreIsNoBetter(t *testing.T) {
	t.Parallel()
	rounds := 200
	if randplan.Long() {
		rounds = 8000
	}
	l := schema.DefaultLimits()
	harmless := []*schema.Feature{
		thing(schema.RoleKeepout, "Border", level(yardBox(4, 48, 8, 52), true)),
		thing(schema.RoleEdge, "Paving", level([]orb.Point{{0, 60}, {30, 60}}, false), "edge_kind", "flush"),
		thing(schema.RoleOther, "Tree", spot(100, 100, yardH), "height_m", 5.0, "driven_over", false),
		thing(schema.RoleBuilding, "Barn", level(yardBox(-50, -50, -40, -40), true), "height_m", 3.0),
		thing(schema.RoleMark, "M9", spot(-20, -20, yardH)),
	}
	for i := range rounds {
		r := rand.New(rand.NewPCG(uint64(i), 13))
		a, name := strewn(r, 1)
		more, named := strewn(r, 1)
		if i%2 == 0 {
			k := r.IntN(len(harmless))
			more, named = harmless[k:k+1], "; "+string(harmless[k].Role)+" "+harmless[k].Name
		}
		if len(a) == 0 || len(more) == 0 {
			continue
		}
		before, after := Check(driftPlan(t, append(yard(), a...)...), l), Check(driftPlan(t, append(append(yard(), a...), more...)...), l)
		for _, x := range before.Rules {
			others := func(rule, message string) bool {
				// What a name says may be drawn by what comes, and a road or a ditch may end at it.
				return rule != x.Rule || strings.Contains(message, "none is drawn within") || strings.Contains(message, "points at it") ||
					strings.Contains(message, "comes from nowhere")
			}
			if gravity(after, others) < gravity(before, others) {
				was, is := saysOf(before), saysOf(after)
				t.Errorf("the yard%s\n\t%s\n\twith%s: less of %s: %s", name, was, named, x.Rule, is)
				break
			}
		}
	}
}

func TestSidesOf(t *testing.T) {
	for _, deg := range []float64{0, 17, 45, 90} {
		s, c := math.Sincos(deg * math.Pi / 180)
		ring := yardBox(2, 3, 5, 4)
		ring = append(ring, ring[0], orb.Point{3, 3.5})
		for i, p := range ring {
			ring[i] = orb.Point{p[0]*c - p[1]*s, p[0]*s + p[1]*c}
		}
		if long, short := sidesOf(ring); math.Abs(long-3) > 1e-9 || math.Abs(short-1) > 1e-9 {
			t.Errorf("turned by %g: %g by %g", deg, long, short)
		}
	}
	for _, x := range []struct {
		pts         []orb.Point
		long, short float64
	}{{nil, 0, 0}, {[]orb.Point{{1, 1}, {1, 1}}, 0, 0}, {[]orb.Point{{0, 0}, {3, 4}, {6, 8}}, 10, 0}, {[]orb.Point{{0, 0}, {4, 0}, {0, 3}}, 5, 2.4}} {
		if long, short := sidesOf(x.pts); !(math.Abs(long-x.long) <= 1e-9 && math.Abs(short-x.short) <= 1e-9) {
			t.Errorf("%v: %g by %g, want %g by %g", x.pts, long, short, x.long, x.short)
		}
	}
}

// TestSizesOfTurnedThings: what is measured by the narrowest rectangle is the same
// along the axes and across them: a hut too small, and a low crown about a trunk.
func TestSizesOfTurnedThings(t *testing.T) {
	hut := func(half float64) []*schema.Feature {
		return []*schema.Feature{thing(schema.RoleBuilding, "", level(yardBox(80-half, 80-half, 80+half, 80+half), true), "height_m", 1.9)}
	}
	trunk := func(y float64) []*schema.Feature {
		return []*schema.Feature{thing(schema.RoleHazard, "", level(yardBox(14.7, y-0.3, 15.3, y+0.3), true), "hazard_kind", "tree", "crown_base_m", 0.2, "crown_radius_m", 2.0, "height_m", 6.0)}
	}
	l := schema.DefaultLimits()
	for _, x := range []struct {
		name     string
		features []*schema.Feature
		rule     string
		told     bool
	}{
		{"a hut of 0.29 m", hut(0.145), RuleGeometryUnfit, true}, {"a hut of 0.31 m", hut(0.155), RuleGeometryUnfit, false},
		{"a crown 0.31 m off", trunk(22.31), RuleHazardUncovered, false}, {"a crown 0.29 m off", trunk(22.29), RuleHazardUncovered, true},
	} {
		for _, deg := range []float64{0, 45} {
			s, c := math.Sincos(deg * math.Pi / 180)
			turned := redrawn(append(yard(), x.features...), func(x, y float64) (float64, float64) { return x*c + y*s, y*c - x*s }, func(f *schema.Feature) {
				turnHeading(f, func(h float64) float64 { return h + deg })
			})
			r := Check(driftPlan(t, turned...), l)
			if o := r.Outcome(x.rule); (o.Outcome == Failed || o.Outcome == Unchecked) != x.told {
				t.Errorf("%s turned by %g: %s %v", x.name, deg, o.Outcome, saysOf(r))
			}
		}
	}
}
