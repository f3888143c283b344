// The gate: what every operation must be told, and that the steps are those of
// each place whatever the order.

package crs

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

func these(list ...Place) Places {
	return Among(slices.Values(list))
}

func point(lon, lat float64) Place { return Place{lon, lat, lon, lat} }

// Where registry steps of one datum differ from country to country, every place
// gets its own, in any order of the list: ED50 over Madrid, Palma and Utrecht.
func TestStepsAreThoseOfEachPlace(t *testing.T) {
	from, to := mustParse(t, "EPSG:4230"), mustParse(t, "EPSG:4258")
	towns := []Place{point(-3.7, 40.4), point(2.65, 39.57), point(5.12, 52.09)}
	alone := make([][]float64, len(towns))
	for i, p := range towns {
		op, err := NewOperation(from, to, Allowed{Accuracy: 10}, these(p), Epochs{}, Aids{})
		if err != nil {
			t.Fatal(err)
		}
		alone[i] = []float64{p.West, p.South}
		if err := op.Apply(alone[i], 2); err != nil {
			t.Fatal(err)
		}
	}
	r := rand.New(rand.NewPCG(1, 2))
	for range 6 {
		order := r.Perm(len(towns))
		var list []Place
		for _, k := range order {
			list = append(list, towns[k])
		}
		op, err := NewOperation(from, to, Allowed{Accuracy: 10}, these(list...), Epochs{}, Aids{})
		if err != nil {
			t.Fatal(err)
		}
		if err := op.Apply([]float64{0, 0}, 2); err == nil {
			t.Fatal("one set of steps was applied to places that need several")
		}
		names := map[string]bool{}
		for _, k := range order {
			part := op.At(towns[k])
			names[part.Name()] = true
			got := []float64{towns[k].West, towns[k].South}
			if err := part.Apply(got, 2); err != nil {
				t.Fatal(err)
			}
			if got[0] != alone[k][0] || got[1] != alone[k][1] {
				t.Errorf("order %v: place %d moves to %v, alone to %v", order, k, got, alone[k])
			}
		}
		if len(names) != 3 {
			t.Errorf("%d sets of steps, want one a country: %v", len(names), names)
		}
	}
}

// A site gets one set of steps, even where it lies across the edge of an area
// of use: nothing may tear between two features of one garden.
func TestASiteIsNotTornByTheEdgeOfAnArea(t *testing.T) {
	from, to := mustParse(t, "EPSG:4230"), mustParse(t, "EPSG:4258")
	for _, e := range steps0().byCode[1630].extents { // ED50 to ETRS89, Balearic Islands
		for _, d := range []float64{-1e-4, 0, 1e-4} {
			west := point(e.west-2e-3+d, 39.5)
			east := point(e.west+2e-3+d, 39.5)
			op, err := NewOperation(from, to, Allowed{Accuracy: AnyAccuracy}, these(west, east), Epochs{}, Aids{})
			if err != nil {
				t.Fatal(err)
			}
			if len(op.Parts()) != 1 {
				t.Errorf("one garden across %v gets %d sets of steps", e.west, len(op.Parts()))
			}
		}
	}
}

func TestSites(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name  string
		in    []Place
		sites int
		of    []int32
	}{
		{"none", nil, 1, nil},
		{"one", []Place{point(9, 52)}, 1, []int32{0}},
		{"neighbours", []Place{point(9, 52), point(9.015, 52.015)}, 1, []int32{0, 0}},
		{"apart", []Place{point(9, 52), point(10, 52)}, 2, []int32{0, 1}},
		{"apart, the other way", []Place{point(10, 52), point(9, 52)}, 2, []int32{1, 0}},
		{"without coordinates", []Place{{nan, nan, nan, nan}, point(10, 52), point(9, 52)}, 2, []int32{0, 1, 0}},
		{"over the antimeridian", []Place{point(179.995, -17), point(-179.995, -17)}, 1, []int32{0, 0}},
		{"one wide feature", []Place{{-3.7, 40.4, 5.1, 52.1}}, 1, []int32{0}},
	} {
		sites, err := these(c.in...).of.sites(nil)
		if err != nil {
			t.Fatal(err)
		}
		var of []int32
		for _, p := range c.in {
			of = append(of, sites.find(p))
		}
		if len(sites.list) != c.sites || fmt.Sprint(of) != fmt.Sprint(c.of) {
			t.Errorf("%s: %d sites %v; want %d, %v", c.name, len(sites.list), of, c.sites, c.of)
		}
	}
	over, _ := these(point(179.995, -17), point(-179.995, -17)).of.sites(nil)
	if b := over.list[0].box; b.West != 179.995 || b.East != -179.995 {
		t.Errorf("the box over the antimeridian is %+v", b)
	}
}

// A country's worth of neighbours is no site: every place is on its own, as if
// it had been asked for alone.
func TestWideRunsAreNoSite(t *testing.T) {
	e := steps0().byCode[1630].extents[0] // ED50 to ETRS89, Balearic Islands
	var row []Place
	for lon := e.west - 0.4; lon < e.west+0.4; lon += 0.015 {
		row = append(row, point(lon, 39.5))
	}
	row = append(row, point(e.west, 39.5), point(math.Nextafter(e.west, -180), 39.5))
	r := rand.New(rand.NewPCG(3, 4))
	grid := &GridShift{}
	for _, grids := range [][]covering{nil, {grid}} {
		var want []string
		for range 5 {
			sites, err := these(row...).of.sites(grids)
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, p := range slices.SortedFunc(slices.Values(row), func(a, b Place) int { return int(math.Copysign(1, a.West-b.West)) }) {
				site := sites.list[sites.find(p)].box
				if grids == nil && keyInFull(site) != keyInFull(p) {
					t.Errorf("%v is taken for one of %v, whose areas are others", p, site)
				}
				got = append(got, fmt.Sprint(site))
			}
			if want == nil {
				want = got
			}
			if !slices.Equal(got, want) {
				t.Fatal("the sites depend on the order of the places")
			}
			r.Shuffle(len(row), func(i, k int) { row[i], row[k] = row[k], row[i] })
		}
	}
}

// keyInFull is what the choice of steps at a place depends on, box by box.
func keyInFull(p Place) string {
	var b strings.Builder
	lon, lat := p.middle()
	for _, e := range steps0().extents {
		fmt.Fprint(&b, e.contains(p.West, p.South) && e.contains(p.East, p.North), e.contains(lon, lat))
	}
	for _, plate := range plates {
		for _, box := range plate.around {
			fmt.Fprint(&b, (&extent{west: box.West, south: box.South, east: box.East, north: box.North}).contains(lon, lat))
		}
	}
	fmt.Fprint(&b, math.RoundToEven(lon)+0, math.RoundToEven(lat)+0)
	return b.String()
}

// What cells know of their places must be what each place says by itself, at
// the edges of the registry's areas most of all.
func TestCellsKnowTheirPlaces(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	areas := newAreas(nil)
	full := map[string]int32{}
	extents := steps0().extents
	for n := range 6000 {
		e := extents[r.IntN(len(extents))]
		lon, lat := -180+360*r.Float64(), -90+180*r.Float64()
		if n%4 > 0 { // at an edge, or a hair beside it
			lon, lat = []float64{e.west, e.east, lon}[r.IntN(3)], []float64{e.south, e.north, lat}[r.IntN(3)]
			for range r.IntN(3) {
				lon, lat = math.Nextafter(lon, 400*(r.Float64()-0.5)), math.Nextafter(lat, 200*(r.Float64()-0.5))
			}
		}
		if n%7 == 0 {
			lon = math.Round(lon) + 0.5
		}
		p := point(lon, min(90, max(-90, lat)))
		if n%3 == 0 {
			p.East, p.North = min(360, p.East+0.01*r.Float64()), min(90, p.North+0.01*r.Float64())
		}
		at := areas.all
		if k := cellOf(p.West, p.South); k == cellOf(p.East, p.North) {
			at = areas.inCell(k)
		}
		key, long := areas.keyOf(at, p, true), keyInFull(p)
		if had, ok := full[long]; ok && had != key {
			t.Fatalf("%+v has key %d, another place like it %d", p, key, had)
		}
		full[long] = key
		if again := areas.keyOf(at, p, false); again != key {
			t.Fatalf("%+v has key %d, then %d", p, key, again)
		}
	}
	if len(full) != len(areas.keys) {
		t.Errorf("%d keys for %d kinds of place", len(areas.keys), len(full))
	}
}

func TestPlaceIsRequired(t *testing.T) {
	a, b := mustParse(t, "EPSG:4230"), mustParse(t, "EPSG:4258")
	if _, err := NewOperation(a, b, Allowed{Accuracy: AnyAccuracy}, Places{}, Epochs{}, Aids{}); err == nil || !strings.Contains(err.Error(), "needs the places") {
		t.Errorf("no place: %v", err)
	}
	if _, err := NewOperation(a, b, Allowed{}, At(5, 52), Epochs{}, Aids{}); err == nil {
		t.Error("the zero Allowed takes a step of a metre")
	}
	if _, err := NewOperation(a, mustParse(t, "EPSG:23031"), Allowed{}, At(5, 52), Epochs{}, Aids{}); err != nil {
		t.Errorf("the zero Allowed refuses an exact operation: %v", err)
	}
}

func TestPlateMustLieUnderTheSite(t *testing.T) {
	itrf := mustParse(t, "EPSG:9000")
	ask := func(plate string, lon, lat float64) error {
		_, err := asked{Near: place(lon, lat), FromEpoch: 2020, ToEpoch: 2026, Plate: plate}.operation(itrf, itrf)
		return err
	}
	var wrong *PlateError
	if err := ask("AUST", 10, 51); !errors.As(err, &wrong) || wrong.Answer() != AnswerPlate || !strings.Contains(err.Error(), "EURA") {
		t.Errorf("AUST at 51 N 10 E: %v", err)
	}
	// A town in the middle of each plate, from memory.
	for _, c := range []struct {
		plate    string
		lon, lat float64
	}{
		{"AMUR", 126.6, 45.8}, {"ANTA", 166.7, -77.8}, {"ARAB", 46.7, 24.7}, {"AUST", 133.9, -23.7}, {"CARB", -76.8, 18}, {"EURA", 10, 51},
		{"INDI", 77.2, 28.6}, {"NAZC", -109.4, -27.1}, {"NOAM", -100, 40}, {"NUBI", 15, 0}, {"PCFC", -157.9, 21.3}, {"SOAM", -55, -15}, {"SOMA", 45, 2},
	} {
		if err := ask(c.plate, c.lon, c.lat); err != nil {
			t.Errorf("%s at its own place: %v", c.plate, err)
		}
	}
}

// There and back closes between every datum and the one it is told against,
// also where a step moves nothing and the ellipsoids differ.
func TestEveryDatumClosesThereAndBack(t *testing.T) {
	g := geodeticTables()
	seen := map[int]bool{}
	worst, pairs := 0.0, 0
	for _, code := range g.codes {
		rec := g.crs[code]
		if rec.kind != '2' || seen[rec.datum] {
			continue
		}
		seen[rec.datum] = true
		c, err := epsgCRS(code)
		if err != nil {
			continue
		}
		w, s, e, n, ok := c.Area()
		if !ok {
			continue
		}
		if w > e {
			e += 360
		}
		lon, lat := wrap180((w+e)/2), (s+n)/2
		for _, target := range []string{"OGC:CRS84", "EPSG:4258", "EPSG:4979"} {
			to := mustParse(t, target)
			allow, at, when := Allowed{Accuracy: AnyAccuracy}, At(Degrees(lon), Degrees(lat)), Epochs{From: 2020, To: 2020}
			there, err := NewOperation(c, to, allow, at, when, Aids{})
			if err != nil {
				continue
			}
			back, err := NewOperation(to, c, allow, at, when, Aids{})
			if err != nil {
				t.Errorf("%s to %s goes, and back: %v", c.ID(), target, err)
				continue
			}
			if fmt.Sprint(codes(there)) != fmt.Sprint(reversed(codes(back))) {
				continue // other steps, other figures
			}
			pairs++
			p := []float64{lon / c.angle, lat / c.angle}
			q := append([]float64(nil), p...)
			if there.Apply(q, 2) != nil || back.Apply(q, 2) != nil {
				continue
			}
			d := math.Hypot((q[0]-p[0])*math.Cos(lat*radPerDeg), q[1]-p[1]) * c.angle * 111_320
			if d > worst {
				worst = d
			}
			if d > 1e-5 {
				t.Errorf("%s to %s and back at %.2f, %.2f by %s: off by %.3g m", c.ID(), target, lat, lon, there.Name(), d)
			}
		}
	}
	t.Logf("%d pairs, the worst closes to %.2g m", pairs, worst)
	if pairs < 500 {
		t.Errorf("only %d pairs", pairs)
	}
}

func codes(op *Operation) []string {
	var out []string
	for _, s := range op.Steps() {
		out = append(out, s.Code+s.Name)
	}
	return out
}

func reversed(s []string) []string {
	var out []string
	for i := len(s) - 1; i >= 0; i-- {
		out = append(out, s[i])
	}
	return out
}

// A box is covered by an area of use that holds all of it, not by two that each
// hold a part.
func TestAreaOfUseHoldsAllOfASite(t *testing.T) {
	s := &registryStep{extents: []*extent{{south: 50, north: 52, west: 8, east: 10}, {south: 50, north: 52, west: 10, east: 12}}}
	for _, c := range []struct {
		box  Place
		want bool
	}{
		{Place{8, 50, 10, 52}, true}, {Place{9, 51, 9, 51}, true}, {Place{10.5, 51, 11, 51.5}, true},
		{Place{9.9, 51, 10.1, 51.1}, false}, {Place{8.5, 51, 9, 52.0001}, false}, {Place{7.9999, 51, 9, 51.5}, false}, {Place{8.5, 49.9999, 9, 51}, false}, {Place{11.5, 51, 12.0001, 51.1}, false},
	} {
		if got := s.coversBox(c.box); got != c.want {
			t.Errorf("%+v: %v, want %v", c.box, got, c.want)
		}
	}
}

// Where no steps hold all of a site those for its middle are taken, and it is
// told.
func TestASiteBeyondTheAreaOfItsStepsIsTold(t *testing.T) {
	from, to := mustParse(t, "EPSG:27700"), mustParse(t, "EPSG:4258")
	e := steps0().byCode[1314].extents[0]
	inside, over := At(-1.5, 52), these(point(-1.5, e.north-0.015), point(-1.5, e.north+0.005))
	op, err := NewOperation(from, to, Allowed{Accuracy: 5}, inside, Epochs{}, Aids{})
	if err != nil || strings.Contains(strings.Join(op.Notes(), " "), "reaches beyond") {
		t.Errorf("inside: %v", err)
	}
	op, err = NewOperation(from, to, Allowed{Accuracy: 5}, over, Epochs{}, Aids{})
	if err != nil {
		t.Fatal(err)
	}
	if len(op.Parts()) != 1 || !strings.Contains(strings.Join(op.Notes(), " "), "reaches beyond the area of use of the steps") {
		t.Errorf("%s: %q", op.Name(), op.Notes())
	}
}

func TestAcceptedAccuracyFromBothSides(t *testing.T) {
	from, to := mustParse(t, "EPSG:27700"), mustParse(t, "OGC:CRS84") // 2 m
	for _, c := range []struct {
		allow float64
		ok    bool
	}{{1.999999, false}, {2, true}, {2.000001, true}, {0, false}} {
		if _, err := NewOperation(from, to, Allowed{Accuracy: Metres(c.allow)}, At(-1.5, 52), Epochs{}, Aids{}); (err == nil) != c.ok {
			t.Errorf("2 m for %v m: %v", c.allow, err)
		}
	}
}

// A step that moves nothing moves nothing in a chain, either: it does not
// matter over which frame a position came.
func TestNullStepIsTakenOverInAChain(t *testing.T) {
	grid, wgs, etrs := mustParse(t, "EPSG:27700"), WGS84(), mustParse(t, "EPSG:4258")
	ask := func(a, b *CRS, p []float64) []float64 {
		op, err := NewOperation(a, b, Allowed{Accuracy: 5}, At(-1.5, 52), Epochs{}, Aids{})
		if err != nil {
			t.Fatal(err)
		}
		q := append([]float64(nil), p...)
		if err := op.Apply(q, 2); err != nil {
			t.Fatal(err)
		}
		return q
	}
	at := []float64{430000, 260000}
	long, short := ask(grid, etrs, at), ask(wgs, etrs, ask(grid, wgs, at))
	if d := math.Hypot(long[0]-short[0], long[1]-short[1]) * 111_320; d > 1e-8 {
		t.Errorf("at once and over WGS 84 lie %.3g m apart", d)
	}
	if same := ask(grid, wgs, at); math.Hypot(long[0]-same[0], long[1]-same[1])*111_320 > 1e-8 {
		t.Errorf("the null step moved %v to %v", same, long)
	}
	back, over := ask(etrs, grid, long), ask(wgs, grid, ask(etrs, wgs, long))
	if math.Hypot(back[0]-over[0], back[1]-over[1]) > 1e-8 || math.Hypot(back[0]-at[0], back[1]-at[1]) > 1e-6 {
		t.Errorf("back at %v and %v, from %v", back, over, at)
	}
}

// How far a viewer is off: the motion of the plate since the frame was fixed to
// it, or since the numbers of a moving frame were taken.
func TestFramesFromWGS84(t *testing.T) {
	for _, c := range []struct {
		frame           string
		lon, lat        float64
		epoch, now      float64
		least, greatest float64
	}{
		// ETRS89 moves by some 2.5 cm a year since 1989 (EUREF Technical Note
		// 1).
		{"ETRS89", 9, 52, 0, 2026, 0.85, 1.05}, {"ETRS89", 9, 52, 0, 2010, 0.45, 0.65},
		// GDA94 was 1.8 m behind in 2020 (GDA2020 Technical Manual), GDA2020
		// none.
		{"GDA94", 151, -33, 0, 2020, 1.5, 2}, {"GDA2020", 151, -33, 0, 2020, 0, 0.05},
		{"ITRF2014", 9, 52, 2026, 2026, 0, 0.05}, {"ITRF2014", 9, 52, 2010, 2026, 0.35, 0.45},
	} {
		off, _, ok := mustFrame(t, c.frame).FromWGS84(Geodetic{Lon: Degrees(c.lon), Lat: Degrees(c.lat)}, c.epoch, c.now)
		if !ok || float64(off) < c.least || float64(off) > c.greatest {
			t.Errorf("%s at %v in %v: %.3f m (%v), want %v to %v", c.frame, c.epoch, c.now, float64(off), ok, c.least, c.greatest)
		}
	}
	// A frame that is a hair off WGS 84's figure is one of satellites, an old
	// datum not.
	for name, want := range map[string]bool{"ETRS89": true, "NAD83(2011)": true, "WGS84(G2139)": true, "NAD27": false, "ED50": false, "OSGB36": false} {
		if f := mustFrame(t, name); f.Satellite() != want {
			t.Errorf("%s: satellite %v", name, !want)
		}
	}
}

// TestKnownTo: grids that services of corrections use have a step as good as centimetres
// by their file, in their area; those of before have none.
func TestKnownTo(t *testing.T) {
	for _, x := range []struct {
		frame    string
		most     Metres
		lon, lat Degrees
		want     bool
	}{
		{"OSGB36", 0.05, -1.5, 52, true}, {"OSGB36", 0.0001, -1.5, 52, false}, {"OSGB36", 0.05, 10, 52, false},
		{"Amersfoort", 0.05, 5.5, 52, true}, {"ED50", 0.05, 8.5, 52, false}, {"NAD27", 0.05, -80, 40, false}, {"NZGD49", 0.05, 175, -40, false},
	} {
		if got := mustFrame(t, x.frame).KnownTo(x.most, x.lon, x.lat); got != x.want {
			t.Errorf("%s to %v m at %v, %v: %v", x.frame, x.most, x.lon, x.lat, got)
		}
	}
	if (Frame{}).KnownTo(10, 8, 52) {
		t.Error("no frame is known")
	}
}

// TestUnionOfBoxes: the shorter way round the earth, over the antimeridian too;
// what two boxes hold together is in their union.
func TestUnionOfBoxes(t *testing.T) {
	for _, c := range []struct{ p, q, want [2]float64 }{
		{[2]float64{5, 10}, [2]float64{20, 30}, [2]float64{5, 30}},
		{[2]float64{5, 30}, [2]float64{10, 20}, [2]float64{5, 30}},
		{[2]float64{7, 7}, [2]float64{7, 7}, [2]float64{7, 7}},
		{[2]float64{170, 175}, [2]float64{-175, -170}, [2]float64{170, -170}},
		{[2]float64{170, -170}, [2]float64{175, -175}, [2]float64{170, -170}},
		{[2]float64{170, -170}, [2]float64{-175, -160}, [2]float64{170, -160}},
		{[2]float64{170, -170}, [2]float64{-100, -90}, [2]float64{170, -90}},
		{[2]float64{-180, 180}, [2]float64{5, 6}, [2]float64{-180, 180}},
		// Together all round, though each holds both ends of the other.
		{[2]float64{-175, 175}, [2]float64{100, -150}, [2]float64{-180, 180}},
		{[2]float64{-10, 170}, [2]float64{160, 0}, [2]float64{-180, 180}},
		{[2]float64{170, -170}, [2]float64{-175, 175}, [2]float64{-180, 180}},
	} {
		for _, way := range [][2][2]float64{{c.p, c.q}, {c.q, c.p}} {
			p, q := Place{West: way[0][0], East: way[0][1], South: 1, North: 2}, Place{West: way[1][0], East: way[1][1], South: -3, North: 1.5}
			if got, want := p.union(q), (Place{West: c.want[0], East: c.want[1], South: -3, North: 2}); got != want {
				t.Errorf("%v with %v: %+v, want %+v", way[0], way[1], got, want)
			}
		}
	}
}
