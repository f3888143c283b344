// Figures inside the rules that have a closed form, each by itself.

package validate

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/twpayne/go-geom"

	"swardline/crs/adjust"
	"swardline/schema"
	"swardline/validate/plane"
)

func TestLeanFromBothSides(t *testing.T) {
	for _, c := range []struct {
		angle, length, bearing float64
		ok                     bool
	}{
		{0, 6, 0, true}, {90, 6, 360, true}, {2, MaxMovementM, 0, true}, {2, 5e-324, 90, true},
		{-5e-324, 6, 0, false}, {math.Nextafter(90, 91), 6, 0, false}, {2, 0, 0, false}, {2, math.Nextafter(MaxMovementM, math.Inf(1)), 0, false},
		{2, 6, -5e-324, false}, {2, 6, math.Nextafter(360, 361), false}, {2, 6, math.NaN(), false},
	} {
		if _, err := Lean(c.angle, c.length, c.bearing); (err == nil) != c.ok {
			t.Errorf("%v degrees, %v m, bearing %v: %v", c.angle, c.length, c.bearing, err)
		}
	}
}

func TestCrossAt(t *testing.T) {
	for _, x := range []struct {
		name       string
		a, b, c, d orb.Point
		t, u       float64
		ok         bool
	}{
		{"a quarter and three quarters", orb.Point{2, 3}, orb.Point{10, 7}, orb.Point{1, 7}, orb.Point{5, 3}, 0.25, 0.75, true},
		{"ends that touch", orb.Point{0, 0}, orb.Point{4, 0}, orb.Point{4, 0}, orb.Point{5, 9}, 1, 0, true},
		{"starts that touch", orb.Point{4, 0}, orb.Point{0, 0}, orb.Point{5, 9}, orb.Point{4, 0}, 0, 1, true},
		{"short of it", orb.Point{0, 0}, orb.Point{3.999, 0}, orb.Point{4, -1}, orb.Point{4, 1}, 0, 0, false},
		{"past it", orb.Point{4.001, 0}, orb.Point{9, 0}, orb.Point{4, -1}, orb.Point{4, 1}, 0, 0, false},
		{"above it", orb.Point{0, 0}, orb.Point{9, 0}, orb.Point{4, 0.001}, orb.Point{4, 1}, 0, 0, false},
		{"below it", orb.Point{0, 0}, orb.Point{9, 0}, orb.Point{4, -1}, orb.Point{4, -0.001}, 0, 0, false},
		{"parallel", orb.Point{0, 0}, orb.Point{9, 3}, orb.Point{0, 1}, orb.Point{9, 4}, 0, 0, false},
	} {
		along, beside, ok := crossAt(x.a, x.b, x.c, x.d)
		if ok != x.ok || ok && !(near(along, x.t, 1e-12) && near(beside, x.u, 1e-12)) {
			t.Errorf("%s: %v %v %v", x.name, along, beside, ok)
		}
	}
}

// TestMostHidden: a tower of radius r whose wall is gap away and up above the
// eye hides no more than r/(r+gap)/2 of the sky's way round, from the mask up
// to the sine of its elevation.
func TestMostHidden(t *testing.T) {
	for _, c := range []struct{ up, gap, radius, mask float64 }{{3, 4, 1, 0.25}, {0.3, 0.4, 0.5, 0}, {0.3, 0.4, 0.5, 0.599}, {30, 40, 7, 0.5}} {
		want := c.radius / (c.radius + c.gap) / 2 * (0.6 - c.mask) / (1 - c.mask)
		eye := orb.Point{5 - (c.radius+c.gap)*0.8, 7 - (c.radius+c.gap)*0.6}
		towers := []tower{{orb.Point{5, 7}, c.radius, c.up}}
		if got := mostHidden(eye, towers, c.mask); !near(got, want, 1e-12) {
			t.Errorf("%+v: %v, want %v", c, got, want)
		}
		if got := mostHidden(eye, append(towers, towers...), c.mask); !near(got, 2*want, 1e-12) {
			t.Errorf("%+v, twice: %v, want %v", c, got, 2*want)
		}
		if got := mostHidden(eye, towers, 0.6001); got != 0 {
			t.Errorf("%+v, below the mask: %v", c, got)
		}
		if got := mostHidden(orb.Point{5 + c.radius, 7}, towers, c.mask); got != 1 {
			t.Errorf("%+v, at its foot: %v", c, got)
		}
	}
}

// TestLerp: between a margin and none the nearer one stands, the later at the
// middle.
func TestLerp(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct{ a, b, f, want float64 }{
		{2, 4, 0, 2}, {2, 4, 0.25, 2.5}, {2, 4, 1, 4},
		{2, inf, 0, 2}, {2, inf, 0.499, 2}, {2, inf, 0.5, inf}, {2, inf, 1, inf},
		{inf, 4, 0, inf}, {inf, 4, 0.499, inf}, {inf, 4, 0.5, 4}, {inf, 4, 1, 4}, {inf, inf, 0.3, inf},
	} {
		if got := lerp(c.a, c.b, c.f); got != c.want {
			t.Errorf("%v of %v and %v: %v, want %v", c.f, c.a, c.b, got, c.want)
		}
	}
}

// TestChanceOfOnePass: of passes along two lines at right angles, one a row,
// the chance of the farthest is Student's of its distance from the mean of its
// line's others over their scatter (Cook and Weisberg 1982, section 2.2.1).
func TestChanceOfOnePass(t *testing.T) {
	start := time.Date(2026, 5, 11, 8, 0, 0, 0, time.UTC)
	east, north := []float64{0.010, -0.004, 0.003, 0.060, -0.007}, []float64{0.001, 0.006, -0.005, 0.004}
	var obs []observation
	for i, v := range east {
		obs = append(obs, observation{time: start.Add(time.Duration(i) * time.Minute), group: i, a: [3]float64{1, 0, 0}, v: v})
	}
	for i, v := range north {
		obs = append(obs, observation{time: start.Add(time.Duration(10+i) * time.Minute), group: 10 + i, a: [3]float64{0, 1, 0}, v: v})
	}
	mean := func(list []float64) (m, squares float64) {
		for _, v := range list {
			m += v / float64(len(list))
		}
		for _, v := range list {
			squares += (v - m) * (v - m)
		}
		return m, squares
	}
	w := newDayFit(obs, schema.DefaultLimits())
	for i, v := range east {
		m, own := mean(append(append([]float64(nil), east[:i]...), east[i+1:]...))
		_, other := mean(north)
		rest := float64(len(obs) - 2 - 1)
		student := math.Abs(v-m) / math.Sqrt((own+other)/rest*(1+1/4.))
		if got, want := w.chance(i, i+1), 2*(1-adjust.StudentCDF(student, rest)); !near(got, want, 1e-9) {
			t.Errorf("pass %d: %v, want %v", i, got, want)
		}
	}
}

// TestReachOfDrivenGround: from the mean of the places to the farthest corner.
func TestReachOfDrivenGround(t *testing.T) {
	s, err := Ground(driftPlan(t, thing(schema.RoleZone, "z", box(0, 0, 30, 40))))
	if err != nil {
		t.Fatal(err)
	}
	d, err := NewDriven(s, schema.DefaultLimits(), DrivenOptions{})
	if err != nil {
		t.Fatal(err)
	}
	// Ground's metres count from a place of its own.
	low := d.r.Of(schema.RoleZone)[0].Bound().Min
	at := func(x, y float64) observation { return observation{at: orb.Point{low[0] + x, low[1] + y}} }
	for _, c := range []struct {
		obs  []observation
		want float64
	}{
		{[]observation{at(0, 0)}, 50}, {[]observation{at(30, 40), at(30, 40)}, 50}, {[]observation{at(10, 20), at(20, 20), at(15, 20)}, 25}, {[]observation{at(30, 0), at(30, 0), at(30, 0)}, 50},
	} {
		if got := d.reachM(c.obs); !near(got, c.want, 1e-3) {
			t.Errorf("%v: %v, want %v", c.obs, got, c.want)
		}
	}
}

// TestSpreadOfRests: the scatter of n rests is over n-1, in the plane.
func TestSpreadOfRests(t *testing.T) {
	s, err := Ground(driftPlan(t, thing(schema.RoleZone, "z", box(0, 0, 30, 40)), thing(schema.RoleDock, "d", spot(5, 50))))
	if err != nil {
		t.Fatal(err)
	}
	d, err := NewDriven(s, schema.DefaultLimits(), DrivenOptions{})
	if err != nil {
		t.Fatal(err)
	}
	v := d.docks[0]
	for n, c := range map[int]struct{ spread, e, n float64 }{
		1: {math.NaN(), 0.04, 0}, 2: {math.Sqrt(2) * 0.04, 0, 0}, 4: {math.Sqrt(4. / 3 * 0.04 * 0.04), 0, 0},
	} {
		v.rests = nil
		for _, off := range []orb.Point{{0.04, 0}, {-0.04, 0}, {0, 0.04}, {0, -0.04}}[:n] {
			v.rests = append(v.rests, orb.Point{v.dock.at[0] + off[0], v.dock.at[1] + off[1]})
		}
		x := d.docked()[0]
		if !(near(x.SpreadM, c.spread, 1e-9) || math.IsNaN(x.SpreadM) && math.IsNaN(c.spread)) || !near(x.RestE, c.e, 1e-9) || !near(x.RestN, c.n, 1e-9) || x.Dockings != n {
			t.Errorf("%d rests: %+v", n, x)
		}
	}
}

// TestOutlineOfCells: the rings about a piece hold its cells, and its holes.
func TestOutlineOfCells(t *testing.T) {
	for _, c := range []struct {
		name         string
		rows         []string
		rings, cells int
	}{
		{"a block", []string{"####", "####", "####"}, 1, 12},
		{"a row", []string{"#######"}, 1, 7},
		{"a column", []string{"#", "#", "#", "#"}, 1, 4},
		{"a frame", []string{"######", "##  ##", "##  ##", "######"}, 2, 20},
		{"a hook", []string{"######", "######", "##    ", "##    "}, 1, 16},
		{"a comb", []string{"## ## ##", "## ## ##", "########", "########"}, 1, 28},
	} {
		m := newBitmap(orb.Bound{Min: orb.Point{100, 200}, Max: orb.Point{100 + 2*float64(len(c.rows[0])), 200 + 2*float64(len(c.rows))}}, 2)
		for j, row := range c.rows {
			for i := range row {
				if row[i] == '#' {
					m.bits[j*m.words+i/64] |= 1 << (i % 64)
				}
			}
		}
		pieces := m.pieces()
		if len(pieces) != 1 {
			t.Errorf("%s: %d pieces", c.name, len(pieces))
			continue
		}
		p := m.outline(pieces[0])
		if got := plane.Area(orb.MultiPolygon{p}); len(p) != c.rings || !near(got, 4*float64(c.cells), 1e-9) {
			t.Errorf("%s: %d rings, area %v, want %d and %d", c.name, len(p), got, c.rings, 4*c.cells)
		}
	}
}

// TestComparePlaces: places are told from west to east, then from south to north,
// and what has no place comes first.
func TestComparePlaces(t *testing.T) {
	at := func(e, n float64) *Place { return &Place{E: &e, N: &n} }
	for i, c := range []struct {
		a, b *Place
		want bool
	}{{nil, nil, false}, {nil, at(0, 0), true}, {at(0, 0), nil, false}, {at(0, 5), at(1, 0), true}, {at(1, 0), at(0, 5), false}, {at(1, 0), at(1, 5), true}, {at(1, 5), at(1, 0), false}, {at(1, 5), at(1, 5), false}} {
		if got := comparePlaces(c.a, c.b) < 0; got != c.want {
			t.Errorf("case %d: %v", i, got)
		}
	}
}

// TestHeightsThatNoGroundHas: the height that distances are taken at.
func TestHeightsThatNoGroundHas(t *testing.T) {
	for _, c := range []struct{ base, want float64 }{
		{8999.999, 8999.999}, {9000, 300}, {-999.999, -999.999}, {-1000, 300}, {math.NaN(), 300}, {0, 0},
	} {
		s, err := Ground(driftPlan(t, baseAt(0, 0, c.base), thing(schema.RoleMark, "m", spot(3, 4, 300))))
		if err != nil {
			t.Fatal(err)
		}
		if !near(s.H, c.want, 1e-9) {
			t.Errorf("a base at %v: distances at %v, want %v", c.base, s.H, c.want)
		}
	}
}

// TestSwitchedOffZonesAreCounted: a plan whose zones are all off says how many.
func TestSwitchedOffZonesAreCounted(t *testing.T) {
	for n := range 3 {
		features := []*schema.Feature{thing(schema.RoleDock, "d", spot(5, 50))}
		for i := range n {
			z := thing(schema.RoleZone, fmt.Sprint("z", i), box(0, 0, 30, 40))
			z.Attributes.Set(schema.PropActive, schema.Bool(false))
			features = append(features, z)
		}
		want := []string{"the plan has no zone", "the plan has no active zone: 1 zone is switched off", "the plan has no active zone: 2 zones are switched off"}[n]
		found := ""
		for _, f := range Check(driftPlan(t, features...), schema.DefaultLimits()).Findings {
			if f.Rule == RuleZoneMissing {
				found = f.Message
			}
		}
		if found != want {
			t.Errorf("%d zones off: %q, want %q", n, found, want)
		}
	}
}

// TestShiftOfARaster: columns run east, rows north, the middle is no
// displacement.
func TestShiftOfARaster(t *testing.T) {
	v := DriftVerdicts{Reach: 10, StepMM: 4}
	for _, c := range []struct {
		column, row int
		e, n        float64
	}{{10, 10, 0, 0}, {13, 5, 0.012, -0.020}, {0, 20, -0.040, 0.040}} {
		if e, n := v.Shift(c.column, c.row); e != c.e || n != c.n {
			t.Errorf("column %d, row %d: %v %v, want %v %v", c.column, c.row, e, n, c.e, c.n)
		}
	}
}

// TestMeasuredOf: what is known of a movement is taken off what the marks show,
// in every component.
func TestMeasuredOf(t *testing.T) {
	marks := []adjust.ShiftMark{
		{Name: "a", Before: adjust.Offset{E: 5, N: 7, U: 40}, After: adjust.Offset{E: 5.3, N: 7.1, U: 39.7}},
		{Name: "b", Before: adjust.Offset{E: 9, N: 2, U: 41}, After: adjust.Offset{E: 9.5, N: 1.9, U: 41.1}},
		{Name: "c", Before: adjust.Offset{E: 9, N: 2, U: math.NaN()}, After: adjust.Offset{E: 9, N: 2, U: 41.1}},
	}
	f := &adjust.ShiftFit{Shift: adjust.Offset{E: 0.4, N: 0, U: 0.05}, HasUp: true, Tested: true, SE: adjust.Offset{E: 0.03, N: 0.02}, Redundancy: 2, Consistent: true}
	for _, off := range []adjust.Offset{{}, {E: 0.1, N: -0.3, U: 0.02}} {
		m := measuredOf(f, marks, off)
		// The farther of 0.3, 0.1 and 0.5, -0.1.
		far := math.Max(math.Hypot(0.3-off.E, 0.1-off.N), math.Hypot(0.5-off.E, -0.1-off.N))
		if !near(m.E, 0.4-off.E, 1e-12) || !near(m.N, -off.N, 1e-12) || !near(m.Up, 0.05-off.U, 1e-12) || m.UpSignificant != (off.U != 0) || !near(m.LargestM, far, 1e-12) ||
			!near(m.LargestUpM, 0.3+off.U, 1e-12) || m.LargestUp != "a" || !near(m.EE, 9e-4, 1e-12) || !near(m.NN, 4e-4, 1e-12) || m.Freedom != 2 || m.Apart || m.Turned {
			t.Errorf("%+v known: %+v", off, m)
		}
	}
}

func TestCapacityFromBothSides(t *testing.T) {
	good := Capacity{SpeedKMH: 5, WidthM: 1, Efficiency: 0.8, WeekHours: 40, Mowings: 1}
	tiny := math.SmallestNonzeroFloat64
	for _, c := range []struct {
		name   string
		set    func(c *Capacity, v float64)
		lo, hi float64
		zero   bool // whether 0 is one
	}{
		{"speed", func(c *Capacity, v float64) { c.SpeedKMH = v }, tiny, 50, false},
		{"width", func(c *Capacity, v float64) { c.WidthM = v }, tiny, 20, false},
		{"efficiency", func(c *Capacity, v float64) { c.Efficiency = v }, tiny, 1, false},
		{"hours", func(c *Capacity, v float64) { c.WeekHours = v }, tiny, 168, true},
		{"mowings", func(c *Capacity, v float64) { c.Mowings = v }, tiny, 100, true},
	} {
		for v, ok := range map[float64]bool{c.lo: true, c.hi: true, math.Nextafter(c.hi, math.Inf(1)): false, 0: c.zero, -tiny: false, math.Inf(1): false} {
			x := good
			c.set(&x, v)
			if err := x.Check(); (err == nil) != ok {
				t.Errorf("%s of %v: %v", c.name, v, err)
			}
		}
	}
}

// TestWalkKeepsItsEnd: the last point of a walk that ends beside its start is a
// corner of the outline. By the shoelace formula a square of 10 m and a
// triangle of 10 m by 0.5 m.
func TestWalkKeepsItsEnd(t *testing.T) {
	var pts []WalkedPoint
	corners := []orb.Point{{0, 0}, {10, 0}, {10, 10}, {0, 10}, {-0.5, 0.5}}
	for i := 1; i < len(corners); i++ {
		a, b := corners[i-1], corners[i]
		for k := range 20 {
			f := float64(k) / 20
			pts = append(pts, WalkedPoint{At: orb.Point{a[0] + (b[0]-a[0])*f, a[1] + (b[1]-a[1])*f}})
		}
	}
	w, err := OutlineOf(append(pts, WalkedPoint{At: corners[4]}), 0.03)
	if err != nil {
		t.Fatal(err)
	}
	if !near(w.AreaM2, 102.5, 1e-9) || len(w.Ring) != 6 || w.Overlap != 0 {
		t.Errorf("area %v, ring %v, %d past", w.AreaM2, w.Ring, w.Overlap)
	}
}

// TestOffsetOutline: sides move by the distance, holes the other way, and the
// rings run as they were drawn.
func TestOffsetOutline(t *testing.T) {
	ring := func(w, h, x, y float64, clockwise bool) []float64 {
		pts := []float64{x, y, x + w, y, x + w, y + h, x, y + h, x, y}
		if clockwise {
			pts = []float64{x, y, x, y + h, x + w, y + h, x + w, y, x, y}
		}
		return pts
	}
	for _, clockwise := range []bool{false, true} {
		flat := append(ring(10, 6, 0, 0, clockwise), ring(2, 2, 4, 2, !clockwise)...)
		f := thing(schema.RoleZone, "z", geom.NewPolygonFlat(geom.XY, flat, []int{10, 20}))
		p := driftPlan(t, f)
		for by, want := range map[float64]float64{0.5: 11*7 - 1, -0.5: 9*5 - 9, 0: 60 - 4} {
			g, err := OffsetOutline(p, f, by)
			if err != nil {
				t.Fatal(err)
			}
			area, first := 0.0, g.(*geom.Polygon).LinearRing(0)
			for i := range g.(*geom.Polygon).NumLinearRings() {
				r := g.(*geom.Polygon).LinearRing(i)
				twice := schema.TwiceArea(r.FlatCoords(), 2)
				area += twice / 2
				if c := r.Coords(); !c[0].Equal(geom.XY, c[len(c)-1]) {
					t.Errorf("by %v: ring %d is open", by, i)
				}
			}
			if runs := schema.TwiceArea(first.FlatCoords(), 2) < 0; runs != clockwise || !near(math.Abs(area), want, 0.01) {
				t.Errorf("by %v: area %v, want %v; clockwise %v, was %v", by, area, want, runs, clockwise)
			}
		}
		if _, err := OffsetOutline(p, f, -2.5); err == nil {
			t.Error("moved in past its middle, something is left")
		}
		if m2, ok := AreaOf(p, f); !ok || !near(m2, 56, 0.01) {
			t.Errorf("area %v, %v", m2, ok)
		}
	}
	dock := thing(schema.RoleDock, "d", spot(0, 0))
	if _, err := OffsetOutline(driftPlan(t, dock), dock, 1); err == nil {
		t.Error("a point has an outline")
	}
}

// TestLawnInACourtyard: from the middle of a round court a wall of elevation e
// hides (sin e - sin m) / (1 - sin m) of the sky above the mask m; a lawn there
// is told from the share on that stops a machine.
func TestLawnInACourtyard(t *testing.T) {
	l := schema.DefaultLimits()
	for off, fails := range map[float64]bool{-2: false, 2: true} {
		m := math.Sin(l.SkyMaskDeg * math.Pi / 180)
		e := math.Asin(m + (l.SkyHiddenStopPercent+off)/100*(1-m))
		flat := append(append([]float64(nil), disc(0, 0, 21, 180).FlatCoords()...), disc(0, 0, 20, 180).FlatCoords()...)
		wall := thing(schema.RoleBuilding, "court", geom.NewPolygonFlat(geom.XY, flat, []int{len(flat) / 2, len(flat)}), "height_m", 20*math.Tan(e))
		found := false
		for _, f := range Check(driftPlan(t, thing(schema.RoleZone, "lawn", disc(0, 0, 0.5, 24)), wall), l).Findings {
			found = found || f.Rule == RuleSkyBlocked && f.Unit == "%" && len(f.Features) == 2 && f.Features[0].Name == "lawn" && f.Features[1].Name == "court"
		}
		if found != fails {
			t.Errorf("%v %% hidden past the limit: found %v", off, found)
		}
	}
}
