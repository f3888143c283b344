// Operations: choice, accuracy, heights, epochs and refusals.

package crs

import (
	"errors"
	"math"
	"strings"
	"testing"
)

func mustParse(t testing.TB, text string) *CRS {
	t.Helper()
	c, err := Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func mustOperation(t testing.TB, from, to string, o asked) *Operation {
	t.Helper()
	op, err := o.operation(mustParse(t, from), mustParse(t, to))
	if err != nil {
		t.Fatalf("%s to %s: %v", from, to, err)
	}
	return op
}

// place is a position for choosing steps.
func place(lon, lat float64) *Geodetic { return &Geodetic{Lon: Degrees(lon), Lat: Degrees(lat)} }

func TestIdenticalSystemsKeepEveryBit(t *testing.T) {
	values := []float64{0.1, 51.3 + 1e-15, math.NaN(), math.Nextafter(9, 10), 0.30000000000000004, 12.345678901234567}
	for _, c := range [][2]string{
		{"OGC:CRS84", "OGC:CRS84"}, {"OGC:CRS84", "EPSG:4326"}, {"EPSG:4979", "OGC:CRS84"}, {"EPSG:25832", "EPSG:25832"},
		{"EPSG:27700", "EPSG:27700"}, {"EPSG:4978", "EPSG:4978"}, {"EPSG:9000", "EPSG:7912"},
		{"site:lat=56;lon=9", "site:lat=56;lon=9"},
	} {
		op := mustOperation(t, c[0], c[1], asked{})
		flat := append([]float64(nil), values...)
		if err := op.Apply(flat, 3); err != nil {
			t.Fatalf("%v: %v", c, err)
		}
		for i := range flat {
			if math.Float64bits(flat[i]) != math.Float64bits(values[i]) {
				t.Errorf("%v: %v became %v", c, values[i], flat[i])
			}
		}
		if acc, known := op.Accuracy(); acc != 0 || !known {
			t.Errorf("%v: accuracy %v %v", c, acc, known)
		}
		if op.Name() != "no datum step" || len(op.Steps()) != 0 {
			t.Errorf("%v: %s", c, op.Name())
		}
	}
}

func TestSameDatumIsExact(t *testing.T) {
	op := mustOperation(t, "OGC:CRS84", "EPSG:32632", asked{})
	if acc, known := op.Accuracy(); acc != 0 || !known {
		t.Errorf("accuracy %v %v", acc, known)
	}
	p := []float64{9, 52, 45}
	if err := op.Apply(p, 3); err != nil {
		t.Fatal(err)
	}
	// echo 9 52 | proj +proj=utm +zone=32 +ellps=WGS84
	if math.Abs(p[0]-500000) > 1e-6 || math.Abs(p[1]-5761038.2127) > 1e-3 || p[2] != 45 {
		t.Errorf("got %v", p)
	}
}

func TestChoiceNamesStepAndAccuracy(t *testing.T) {
	for _, c := range []struct {
		from, to string
		lon, lat float64
		epoch    float64
		name     string
		accuracy float64
		note     string
	}{
		{"EPSG:27700", "OGC:CRS84", -1.5, 52, 0, "OSGB36 to WGS 84 (6) [EPSG:1314]", 2, "ensemble of realisations"},
		{"OGC:CRS84", "EPSG:27700", -1.5, 52, 0, "OSGB36 to WGS 84 (6) [EPSG:1314, inverse]", 2, "ensemble of realisations"},
		{"EPSG:27700", "EPSG:25830", -1.5, 52, 0, "OSGB36 to WGS 84 (6) [EPSG:1314] + ETRS89 to WGS 84 (1) [EPSG:1149, inverse]", 3, "OSTN15_NTv2_OSGBtoETRS.gsb"},
		// The ensemble of WGS 84 holds the registry's 1 m up to 2 m.
		{"EPSG:25832", "OGC:CRS84", 9, 52, 0, "ETRS89 to WGS 84 (1) [EPSG:1149]", 2, "moves nothing"},
		{"EPSG:28350", "EPSG:7850", 115, -31, 0, "GDA94 to GDA2020 (1) [EPSG:8048]", 0.01, ""},
		{"OGC:CRS84", "EPSG:7850", 115, -31, 0, "GDA2020 to WGS 84 (2) [EPSG:8450, inverse]", 3, "differs from it here by 1."},
		{"EPSG:9000", "EPSG:7850", 115, -31, 2026.5, "ITRF2014 to GDA2020 (1) [EPSG:8049]", 0.03, ""},
		{"EPSG:9000", "EPSG:6318", -105, 40, 2020, "ITRF2014 to NAD83(2011) (1) [EPSG:8970]", 0, "define the frames"},
		{"EPSG:9990", "EPSG:25832", 10, 50, 2026, "ITRF2020 to ETRF2000 (1) [EPSG:10586] + European Terrestrial Reference System 1989 ensemble taken for its member European Terrestrial Reference Frame 2000 [inverse]", 0.1, ""},
		{"EPSG:9755", "EPSG:2193", 175, -40, 2026, "World Geodetic System 1984 ensemble taken for its member World Geodetic System 1984 (G2139) [inverse] + NZGD2000 to WGS 84 (1) [EPSG:1565, inverse]", 3, "deformation model"},
		// From a moving frame to WGS 84 by its realisation, not by a
		// plate-fixed frame taken for it, nor over another system's satellites.
		{"EPSG:9000", "OGC:CRS84", -105, 40, 2026, "WGS 84 (G2139) to ITRF2014 (1) [EPSG:9757, inverse] + World Geodetic System 1984 ensemble taken for its member World Geodetic System 1984 (G2139) [inverse]", 2.01, "ensemble of realisations"},
		{"EPSG:8999", "OGC:CRS84", 30, 0, 2026, "WGS 84 (G1762) to ITRF2008 (1) [EPSG:7666, inverse] + World Geodetic System 1984 ensemble taken for its member World Geodetic System 1984 (G1762) [inverse]", 2.01, "ensemble of realisations"},
		{"EPSG:27572", "EPSG:2154", 3, 47, 0, "NTF (Paris) to NTF (1) [EPSG:1763] + NTF to ETRS89 (1) [EPSG:1651] + RGF93 v1 to ETRS89 (1) [EPSG:1591, inverse]", 2.1, "rgf93_ntf.gsb"},
		// An offset of nothing at 0 m is no measurement: not EPSG:5241
		// and 5226.
		{"EPSG:5514", "EPSG:4258", 15, 49.8, 0, "S-JTSK to ETRS89 (1) [EPSG:1622]", 1, ""},
		// Time-specific onto WGS 84 only at its epoch.
		{"OGC:CRS84", "EPSG:25832", 6, 54.5, 0, "ETRS89 to WGS 84 (1) [EPSG:1149, inverse]", 2, ""},
		{"OGC:CRS84", "EPSG:25832", 6, 54.5, 2014.81, "WGS 84 to ETRS89 (2) [EPSG:9225]", 2, ""},
	} {
		op := mustOperation(t, c.from, c.to, asked{Near: place(c.lon, c.lat), FromEpoch: c.epoch})
		if op.Name() != c.name {
			t.Errorf("%s to %s: %s\n want %s", c.from, c.to, op.Name(), c.name)
		}
		if acc, known := op.Accuracy(); !known || math.Abs(float64(acc)-c.accuracy) > 1e-9 {
			t.Errorf("%s to %s: accuracy %v %v, want %v", c.from, c.to, acc, known, c.accuracy)
		}
		if !strings.Contains(strings.Join(op.Notes(), "\n"), c.note) {
			t.Errorf("%s to %s: notes %q lack %q", c.from, c.to, op.Notes(), c.note)
		}
		if !strings.Contains(op.Source(), "EPSG v") {
			t.Errorf("%s to %s: source %q", c.from, c.to, op.Source())
		}
	}
}

func TestThereAndBackCloses(t *testing.T) {
	for _, c := range []struct {
		from, to string
		lon, lat float64
		epoch    float64
	}{
		{"EPSG:27700", "EPSG:25830", -1.5, 52, 0}, {"EPSG:28350", "EPSG:7850", 115, -31, 0}, {"EPSG:31467", "EPSG:25832", 9, 50, 0},
		{"EPSG:27572", "EPSG:2154", 3, 47, 0}, {"EPSG:9990", "EPSG:25832", 9, 50, 2026.3}, {"EPSG:4978", "EPSG:4936", 9, 50, 0}, {"EPSG:7789", "EPSG:7842", 134, -24, 2026.3},
		{"EPSG:4275", "EPSG:4807", 3, 47, 0},
	} {
		o := asked{Near: place(c.lon, c.lat), FromEpoch: c.epoch}
		there, back := mustOperation(t, c.from, c.to, o), mustOperation(t, c.to, c.from, o)
		p := []float64{c.lon, c.lat, 123}
		if err := there.From().FromGeodetic(p, 3); err != nil {
			t.Fatal(err)
		}
		q := append([]float64(nil), p...)
		if err := there.Apply(q, 3); err != nil {
			t.Fatal(err)
		}
		if err := back.Apply(q, 3); err != nil {
			t.Fatal(err)
		}
		d := math.Hypot(q[0]-p[0], q[1]-p[1])
		if there.From().IsDegrees() {
			d *= 111319.49
		}
		if !(d < 1e-7) || !(math.Abs(q[2]-p[2]) < 1e-7) {
			t.Errorf("%s to %s and back: %v became %v", c.from, c.to, p, q)
		}
	}
}

func TestAccuracyIsHeldToWhatIsAccepted(t *testing.T) {
	from, to := mustParse(t, "EPSG:27700"), mustParse(t, "OGC:CRS84")
	_, err := (asked{Near: place(-1.5, 52), AcceptAccuracy: 0.05}).operation(from, to)
	var bad *AccuracyError
	if !errors.As(err, &bad) || bad.Answer() != AnswerAccuracy || bad.Accuracy != 2 || bad.Accepted != 0.05 {
		t.Fatalf("got %v", err)
	}
	for _, want := range []string{"EPSG:1314", "good to 2 m", "0.05 m", "at 52.0000, -1.5000"} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("%q lacks %q", err, want)
		}
	}
	if _, err := (asked{Near: place(-1.5, 52), AcceptAccuracy: 2}).operation(from, to); err != nil {
		t.Errorf("2 m were accepted, and yet: %v", err)
	}
}

func TestRefusals(t *testing.T) {
	custom := &CRS{id: "custom", name: "custom", kind: KindGeographic, angle: 1, dims: 2, datum: &datum{name: "site datum", el: newEllipsoid(0, "", 6378137, 298.257223563)}}
	for _, c := range []struct {
		name     string
		from, to *CRS
		o        asked
		want     string
	}{
		{"epoch missing", mustParse(t, "EPSG:9000"), mustParse(t, "EPSG:7850"), asked{AcceptAccuracy: 0.05, Near: place(115, -31)}, "the epoch of the source coordinates is not known"},
		{"epoch missing at the target", mustParse(t, "EPSG:7850"), mustParse(t, "EPSG:9000"), asked{AcceptAccuracy: 0.05, Near: place(115, -31)}, "the epoch of the target coordinates is not known"},
		{"plate missing", mustParse(t, "EPSG:9000"), mustParse(t, "EPSG:31982"), asked{AcceptAccuracy: 0.05, Near: place(-50, -20), FromEpoch: 2026}, "name the tectonic plate"},
		{"plate missing within a frame", mustParse(t, "EPSG:9000"), mustParse(t, "EPSG:9000"), asked{AcceptAccuracy: 0.05, Near: place(-50, -20), FromEpoch: 2020, ToEpoch: 2026}, "name the tectonic plate"},
		{"plate unknown", mustParse(t, "EPSG:9000"), mustParse(t, "EPSG:9000"), asked{FromEpoch: 2020, ToEpoch: 2026, Plate: "XXXX"}, `the plate "XXXX" is not one of`},
		{"outside every area", mustParse(t, "EPSG:28992"), mustParse(t, "EPSG:27700"), asked{Near: place(5, 52)}, "none whose area of use holds 52.0000, 5.0000"},
		{"datum of no registry", custom, mustParse(t, "EPSG:4326"), asked{}, "not one of the registry"},
		{"epoch nonsense", mustParse(t, "EPSG:9000"), mustParse(t, "EPSG:7850"), asked{FromEpoch: 26}, "not a decimal year"},
		{"accuracy nonsense", mustParse(t, "EPSG:9000"), mustParse(t, "EPSG:7850"), asked{AcceptAccuracy: -1}, "is not a length"},
		{"place nonsense", mustParse(t, "EPSG:9000"), mustParse(t, "EPSG:7850"), asked{Near: place(1, 95)}, "latitude 95"},
		{"nothing", nil, mustParse(t, "EPSG:7850"), asked{}, "needs two CRSs"},
	} {
		if _, err := c.o.operation(c.from, c.to); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want %q", c.name, err, c.want)
		}
	}
}

func TestUnknownAccuracyIsRefusedUnlessAllowed(t *testing.T) {
	// EPSG:1227 and its like are stated at 999 m: nobody knows.
	s := steps0().byCode[1227]
	if s == nil || !math.IsNaN(s.accuracy) {
		t.Fatal("EPSG:1227 should have no accuracy")
	}
	from, to := mustParse(t, "EPSG:4297"), mustParse(t, "EPSG:4326")
	o := asked{Near: place(47, -19)}
	op, err := o.operation(from, to)
	if err == nil && !math.IsNaN(op.accuracy) {
		for _, l := range op.steps {
			if l.Code == "EPSG:1227" {
				t.Errorf("%s was chosen", op.Name())
			}
		}
	}
	custom := &CRS{id: "custom", name: "custom", kind: KindGeographic, angle: 1, dims: 2, datum: &datum{name: "site datum", el: newEllipsoid(0, "", 6378137, 298.257223563)}}
	op, err = asked{AllowUnknownAccuracy: true}.operation(custom, to)
	if err != nil {
		t.Fatal(err)
	}
	if _, known := op.Accuracy(); known {
		t.Error("a ballpark operation states an accuracy")
	}
	if !strings.Contains(op.Name(), "of unknown accuracy") || !strings.Contains(strings.Join(op.Notes(), " "), "nothing was moved") {
		t.Errorf("%s %q", op.Name(), op.Notes())
	}
	// The two gates are separate: unknown figures are allowed here, and a
	// stated one is still held to its limit.
	if _, err = (asked{AllowUnknownAccuracy: true, AcceptAccuracy: 0.05}).operation(custom, to); err != nil {
		t.Errorf("an unknown accuracy was allowed, and yet: %v", err)
	}
	var worse *AccuracyError
	if _, err = (asked{Near: place(-1.5, 52), AllowUnknownAccuracy: true, AcceptAccuracy: 0.05}).operation(mustParse(t, "EPSG:27700"), to); !errors.As(err, &worse) {
		t.Errorf("2 m passed for 0.05 m because an unknown accuracy is allowed: %v", err)
	}
	p := []float64{9, 52}
	if err := op.Apply(p, 2); err != nil || p[0] != 9 || p[1] != 52 {
		t.Errorf("%v %v", p, err)
	}
	// Outside its area a step needs the word too.
	op, err = (asked{Near: place(5, 52), AllowUnknownAccuracy: true}).operation(mustParse(t, "EPSG:28992"), mustParse(t, "EPSG:27700"))
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(strings.Join(op.Notes(), " "), "used outside its area") {
		t.Errorf("%q", op.Notes())
	}
}

func TestAcceptedAccuracyDoesWithoutEpoch(t *testing.T) {
	op := mustOperation(t, "EPSG:9000", "EPSG:7850", asked{Near: place(115, -31), AcceptAccuracy: 6})
	if acc, _ := op.Accuracy(); acc < 2 || acc > 6 {
		t.Errorf("%s: %v", op.Name(), acc)
	}
}

// TestEpochOfAFixedStep: SIRGAS 2000 is ITRF2000 at 2000.4; a twentieth of a
// year from there needs no plate (7 cm a year are 3.5 mm then), a hair more
// does.
func TestEpochOfAFixedStep(t *testing.T) {
	from, to := mustParse(t, "EPSG:9000"), mustParse(t, "EPSG:31982")
	for off, ok := range map[float64]bool{-0.0501: false, -0.0499: true, 0: true, 0.0499: true, 0.0501: false} {
		o := asked{AcceptAccuracy: 0.05, Near: place(-50, -20), FromEpoch: 2000.4 + off}
		if _, err := o.operation(from, to); (err == nil) != ok || err != nil && !strings.Contains(err.Error(), "name the tectonic plate") {
			t.Errorf("%v years off: %v", off, err)
		}
	}
}

func TestHeights(t *testing.T) {
	for _, same := range []string{"EPSG:4979", "EPSG:25832"} {
		if mustOperation(t, same, same, asked{Near: place(9, 52)}).ChangesHeights() {
			t.Errorf("from %s to itself changes heights", same)
		}
	}
	// Three-dimensional at both ends: the height changes with the datum.
	op := mustOperation(t, "EPSG:4979", "EPSG:4937", asked{Near: place(9, 52)})
	if !op.ChangesHeights() && len(op.stages) > 0 {
		t.Error("heights should change")
	}
	op = mustOperation(t, "EPSG:4939", "EPSG:7843", asked{Near: place(134, -24)})
	p := []float64{134, -24, 600}
	if err := op.Apply(p, 3); err != nil {
		t.Fatal(err)
	}
	// echo "-24 134 600" | cs2cs EPSG:4939 EPSG:7843 gives 599.9025
	if math.Abs(p[2]-599.9024945740) > 1e-6 {
		t.Errorf("height %v", p[2])
	}
	// A height of unknown origin passes through, and takes part.
	op = mustOperation(t, "EPSG:27700", "OGC:CRS84", asked{Near: place(-1.5, 52)})
	low, high, none := []float64{400000, 300000, 0}, []float64{400000, 300000, 1000}, []float64{400000, 300000, math.NaN()}
	flat := []float64{400000, 300000}
	for _, q := range [][]float64{low, high, none} {
		if err := op.Apply(q, 3); err != nil {
			t.Fatal(err)
		}
	}
	if err := op.Apply(flat, 2); err != nil {
		t.Fatal(err)
	}
	if low[2] != 0 || high[2] != 1000 || !math.IsNaN(none[2]) {
		t.Errorf("heights %v %v %v", low[2], high[2], none[2])
	}
	if low[0] != flat[0] || low[1] != flat[1] || none[0] != flat[0] || none[1] != flat[1] {
		t.Errorf("a point without a height is not that at height 0: %v %v %v", low, none, flat)
	}
	if d := math.Hypot((high[0]-low[0])*68000, (high[1]-low[1])*111319); d < 1e-3 || d > 0.2 {
		t.Errorf("1,000 m of height move the point by %v m", d)
	}
}

func TestEpochsOfResults(t *testing.T) {
	for _, c := range []struct {
		from, to string
		o        asked
		want     float64
	}{
		{"EPSG:9000", "EPSG:7850", asked{Near: place(115, -31), FromEpoch: 2026}, 0},
		{"EPSG:7850", "EPSG:9000", asked{Near: place(115, -31), ToEpoch: 2026}, 2026},
		{"EPSG:7850", "EPSG:9000", asked{Near: place(115, -31), FromEpoch: 2025}, 2025},
		{"EPSG:9000", "EPSG:9990", asked{Near: place(115, -31), FromEpoch: 2025}, 2025},
		{"EPSG:9000", "EPSG:9990", asked{Near: place(115, -31), FromEpoch: 2020, ToEpoch: 2026, Plate: "AUST"}, 2026},
		{"EPSG:9000", "EPSG:7912", asked{FromEpoch: 2020}, 2020},
		{"OGC:CRS84", "EPSG:25832", asked{Near: place(9, 52)}, 0},
	} {
		if got := mustOperation(t, c.from, c.to, c.o).ToEpoch(); got != c.want {
			t.Errorf("%s to %s: epoch %v, want %v", c.from, c.to, got, c.want)
		}
	}
}

func TestApplyNamesTheFirstBadPoint(t *testing.T) {
	op := mustOperation(t, "EPSG:27700", "OGC:CRS84", asked{Near: place(-1.5, 52)})
	for _, bad := range []float64{math.NaN(), math.Inf(1), 1e30} {
		err := op.Apply([]float64{400000, 300000, bad, 300000}, 2)
		var p *PointError
		if !errors.As(err, &p) || p.Index != 1 {
			t.Errorf("%v: %v", bad, err)
		}
	}
	op = mustOperation(t, "EPSG:4978", "EPSG:7842", asked{Near: place(134, -24)})
	if err := op.Apply([]float64{0, 0, 0}, 3); err == nil {
		t.Error("the centre of the earth passed")
	}
	if err := op.Apply([]float64{1, 2}, 2); err == nil {
		t.Error("two numbers passed for X, Y, Z")
	}
}

func TestSlicesAreDoneWithoutAllocation(t *testing.T) {
	op := mustOperation(t, "EPSG:4277", "EPSG:4258", asked{Near: place(-1.5, 52)})
	flat := make([]float64, 3*1000)
	allocs := testing.AllocsPerRun(10, func() {
		for i := 0; i < len(flat); i += 3 {
			flat[i], flat[i+1], flat[i+2] = -1.5, 52, 10
		}
		if err := op.Apply(flat, 3); err != nil {
			t.Fatal(err)
		}
	})
	if allocs > 20 {
		t.Errorf("%v allocations for 1,000 points", allocs)
	}
}

func TestOnlyAStepOfUnknownAccuracy(t *testing.T) {
	from, to := mustParse(t, "EPSG:4257"), mustParse(t, "EPSG:4326")
	o := asked{Near: place(119.5, -5)}
	_, err := o.operation(from, to)
	var none *NoStepError
	if !errors.As(err, &none) || !strings.Contains(err.Error(), "the accuracy of EPSG:1837") {
		t.Fatalf("got %v", err)
	}
	o.AllowUnknownAccuracy = true
	op, err := o.operation(from, to)
	if err != nil {
		t.Fatal(err)
	}
	if _, known := op.Accuracy(); known || len(op.stages) != 1 || !strings.Contains(strings.Join(op.Notes(), " "), "nobody states the accuracy") || !strings.Contains(op.Steps()[0].String(), "accuracy unknown") {
		t.Errorf("%s %q", op.Name(), op.Notes())
	}
}

func TestStepString(t *testing.T) {
	for _, c := range []struct {
		s    Step
		want string
	}{
		{Step{Name: "A to B (1)", Code: "EPSG:1", Accuracy: 2, Known: true}, "A to B (1) (EPSG:1, 2 m)"},
		{Step{Name: "A to B (1)", Code: "EPSG:1", Inverse: true, Null: true, Epoch: 2020.5}, "A to B (1) (EPSG:1, inverse, null, at 2020.5, accuracy unknown)"},
	} {
		if got := c.s.String(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

func TestWithoutAPlaceTheMiddleOfTheAreaCounts(t *testing.T) {
	op := mustOperation(t, "EPSG:27700", "OGC:CRS84", asked{})
	if op.Name() != "OSGB36 to WGS 84 (6) [EPSG:1314]" || !strings.Contains(strings.Join(op.Notes(), " "), "no place was given") {
		t.Errorf("%s %q", op.Name(), op.Notes())
	}
	if op.From().ID() != "EPSG:27700" || op.To().ID() != "OGC:CRS84" {
		t.Errorf("%s %s", op.From().ID(), op.To().ID())
	}
	// Two systems of one datum that no registry knows are one datum.
	el := newEllipsoid(0, "", 6378137, 298.257223563)
	a := &CRS{id: "a", kind: KindGeographic, angle: 1, dims: 2, datum: &datum{name: "our datum", el: el}}
	b := &CRS{id: "b", kind: KindGeographic, angle: 1, dims: 2, datum: &datum{name: "our datum", el: el}}
	if op, err := (asked{}).operation(a, b); err != nil || len(op.Steps()) != 0 {
		t.Errorf("%v", err)
	}
	c := &CRS{id: "c", kind: KindGeographic, angle: 1, dims: 2, datum: &datum{name: "their datum", el: el}}
	if _, err := (asked{}).operation(a, c); err == nil {
		t.Error("two unknown datums passed for one")
	}
}
