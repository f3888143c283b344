// Steps: the embedded table, areas, maps and their inverses.

package crs

import (
	"bytes"
	"compress/gzip"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

func TestTableOfSteps(t *testing.T) {
	r := steps0()
	kinds := map[stepKind]int{}
	for _, s := range r.steps {
		kinds[s.kind]++
		if s.name == "" || len(s.extents) == 0 || s.src == s.dst {
			t.Errorf("step %d is not whole: %+v", s.code, s)
		}
		if !math.IsNaN(s.accuracy) && !(s.accuracy >= 0 && s.accuracy <= 100) {
			t.Errorf("step %d is stated at %v m", s.code, s.accuracy)
		}
		if s.kind == stepHelmert && methodNames[s.method] == "" {
			t.Errorf("method %d has no name", s.method)
		}
	}
	if kinds[stepHelmert] < 1320 || kinds[stepGrid] < 200 || kinds[stepOffset] < 20 {
		t.Errorf("the table holds %v", kinds)
	}
	if size := len(stepsFile); size > 100_000 {
		t.Errorf("the table takes %d bytes", size)
	}
	// The datums are those of the catalogue, members and all.
	if wgs84 := r.datums[wgs84Ensemble]; len(r.datums) < 670 || len(wgs84.members) < 8 || wgs84.ensemble != 2 {
		t.Errorf("%d datums, WGS 84 is %+v", len(r.datums), wgs84)
	}
}

func TestDamagedTableIsAnError(t *testing.T) {
	pack := func(text string) []byte {
		var b bytes.Buffer
		z := gzip.NewWriter(&b)
		z.Write([]byte(text))
		z.Close()
		return b.Bytes()
	}
	head := "X\t9\t0\t1\t0\t1\tarea\n"
	for _, c := range []struct{ text, want string }{
		{"Q\t1\n", "fields"},
		{head + "S\t5\t9606\t1\t3\t1\t9\t\t1 2 3\tx\n", "unknown datum"},
		{head + "S\t5\t9606\t1\t2\t1\t8\t\t1 2 3\tx\n", "unknown extent"},
		{head + "S\t5\t4711\t1\t2\t1\t9\t\t1 2 3\tx\n", "method 4711"},
		{head + "S\t5\t9606\t1\t2\t1\t9\t\t1 2 x\tx\n", "invalid syntax"},
		{head + "P\t1\t2\t3\n", "not there"},
	} {
		r := stepRegistry{datums: map[int]*registryDatum{1: {code: 1}, 2: {code: 2}}}
		if err := r.addSteps(pack(c.text)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: got %v, want %q", c.text, err, c.want)
		}
	}
	if err := new(stepRegistry).addSteps([]byte("no gzip")); err == nil {
		t.Error("bytes that are no gzip passed")
	}
}

func TestExtentAcrossTheAntimeridian(t *testing.T) {
	e := extent{south: -50, north: -30, west: 170, east: -170}
	for _, c := range []struct {
		lon, lat float64
		in       bool
	}{{175, -40, true}, {-175, -40, true}, {185, -40, true}, {180, -40, true}, {-180, -40, true}, {170, -30, true}, {160, -40, false}, {-160, -40, false}, {175, -51, false}} {
		if e.contains(c.lon, c.lat) != c.in {
			t.Errorf("%v %v: %v", c.lon, c.lat, !c.in)
		}
	}
}

// Laws of maps: the inverse undoes, then composes.
func TestMapsInvertAndCompose(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 9))
	n := 0
	for _, s := range steps0().steps {
		if s.kind != stepHelmert {
			continue
		}
		n++
		a := s.h.at(2026.5)
		inv, err := a.inverse()
		if err != nil {
			t.Fatalf("EPSG:%d: %v", s.code, err)
		}
		x, y, z := s.src.el.toGeocentric(r.Float64()*6-3, r.Float64()*3-1.5, r.Float64()*1000)
		both := a.then(inv)
		bx, by, bz := inv.apply(a.apply(x, y, z))
		cx, cy, cz := both.apply(x, y, z)
		if d := math.Max(math.Hypot(bx-x, math.Hypot(by-y, bz-z)), math.Hypot(cx-x, math.Hypot(cy-y, cz-z))); !(d < 1e-8) {
			t.Errorf("EPSG:%d: there and back leaves %v m", s.code, d)
		}
	}
	if n < 1300 {
		t.Errorf("only %d maps", n)
	}
	if _, err := (affine{d: [9]float64{-1, 0, 0, 0, -1, 0, 0, 0, -1}}).inverse(); err == nil {
		t.Error("a map onto one point was inverted")
	}
}

// The sign of the rotations decides between the two conventions: the published
// example of GDA94 to GDA2020 must fail with the wrong one, or the vectors
// prove nothing.
func TestWrongSignIsNoticed(t *testing.T) {
	s := *steps0().byCode[8048]
	in := [3]float64{-4052051.7643, 4212836.2017, -2545106.0245}
	want := [3]float64{-4052052.7379, 4212835.9897, -2545104.5898}
	off := func(h helmert) float64 {
		a := h.at(0)
		x, y, z := a.apply(in[0], in[1], in[2])
		return math.Hypot(x-want[0], math.Hypot(y-want[1], z-want[2]))
	}
	if d := off(s.h); d > 1e-4 {
		t.Errorf("off by %v m", d)
	}
	wrong := s.h
	wrong.frame = !wrong.frame
	if d := off(wrong); d < 1 {
		t.Errorf("the wrong sign is off by %v m only", d)
	}
	wrong = s.h
	wrong.ds *= 1.01
	if d := off(wrong); d < 1e-4 {
		t.Errorf("a scale 1%% off goes unnoticed: %v m", d)
	}
}

func TestTransformations(t *testing.T) {
	tr, err := FindTransformation(1314)
	if err != nil {
		t.Fatal(err)
	}
	from, to := tr.Datums()
	acc, known := tr.Accuracy()
	method, name := tr.Method()
	if tr.Name() != "OSGB36 to WGS 84 (6)" || from != "Ordnance Survey of Great Britain 1936" || to != "World Geodetic System 1984 ensemble" || acc != 2 || !known || method != 9606 || name == "" || tr.TimeDependent() || tr.AreaName() == "" {
		t.Errorf("%+v", tr)
	}
	w, south, e, n := tr.Area()
	src, dst := tr.Ellipsoids()
	if tr.Code() != 1314 || !strings.HasPrefix(tr.Source(), "EPSG v") || !(w < -1 && e > -1 && south < 52 && n > 52) || src[0] != 6377563.396 || dst[0] != 6378137 || len(tr.Files()) != 0 {
		t.Errorf("%v %v %v %v %v %v", w, south, e, n, src, dst)
	}
	p := []float64{-1.5, 52, 100}
	if err := tr.Apply(p, 3, 0, false); err != nil || p[0] == -1.5 {
		t.Errorf("%v %v", p, err)
	}
	if err := tr.Apply(p, 3, 0, true); err != nil || math.Abs(p[0]+1.5) > 1e-12 || math.Abs(p[1]-52) > 1e-12 || math.Abs(p[2]-100) > 1e-7 {
		t.Errorf("%v %v", p, err)
	}
	// What moves nothing leaves latitude and longitude.
	null, err := FindTransformation(1149)
	if err != nil {
		t.Fatal(err)
	}
	q := []float64{9.123456789, 52.987654321}
	if err := null.Apply(q, 2, 0, false); err != nil || q[0] != 9.123456789 || q[1] != 52.987654321 {
		t.Errorf("%v %v", q, err)
	}
	if _, err := FindTransformation(1); err == nil {
		t.Error("EPSG:1 was found")
	}
	tr, _ = FindTransformation(8049)
	if err := tr.Apply([]float64{134, -24}, 2, 0, false); err == nil || !strings.Contains(err.Error(), "epoch") {
		t.Errorf("without an epoch: %v", err)
	}
	tr, _ = FindTransformation(7709)
	if err := tr.Apply([]float64{-1, 52}, 2, 0, false); err == nil || !strings.Contains(err.Error(), "OSTN15") {
		t.Errorf("without the file: %v", err)
	}
	if len(Transformations()) < 1500 {
		t.Errorf("%d transformations", len(Transformations()))
	}
}

// Operations for random pairs of geographic systems: whatever is chosen closes,
// states its accuracy, and never touches WGS 84 below 2 m.
func TestRandomOperationsKeepTheirPromises(t *testing.T) {
	g := geodeticTables()
	var codes []int
	for _, c := range g.codes {
		if g.crs[c].kind == '2' {
			codes = append(codes, c)
		}
	}
	r := rand.New(rand.NewPCG(4, 2))
	done, refused := 0, 0
	for range 400 {
		a, err := epsgCRS(codes[r.IntN(len(codes))])
		if err != nil {
			t.Fatal(err)
		}
		w, s, e, n, ok := a.Area()
		if !ok || w > e {
			continue
		}
		lon, lat := w+r.Float64()*(e-w), s+r.Float64()*(n-s)
		b := WGS84()
		if r.IntN(3) == 0 {
			// Another system of the same place.
			for range 50 {
				if c, err := epsgCRS(codes[r.IntN(len(codes))]); err == nil && c.Covers(Degrees(lon), Degrees(lat)) {
					b = c
					break
				}
			}
		}
		o := asked{Near: place(lon, lat), FromEpoch: 2022}
		op, err := o.operation(a, b)
		if err != nil {
			refused++
			continue
		}
		back, err := o.operation(b, a)
		if err != nil {
			t.Errorf("%s to %s works, the other way does not: %v", a.id, b.id, err)
			continue
		}
		acc, known := op.Accuracy()
		if !known {
			t.Errorf("%s to %s: %s has no accuracy", a.id, b.id, op.Name())
		}
		if len(op.steps) > 0 && (a.datum.code == wgs84Ensemble || b.datum.code == wgs84Ensemble) && acc < 2 {
			t.Errorf("%s to %s is stated at %v m", a.id, b.id, acc)
		}
		p := []float64{lon, lat}
		if err := a.FromGeodetic(p, 2); err != nil {
			t.Fatal(err)
		}
		q := append([]float64(nil), p...)
		if err := op.Apply(q, 2); err != nil {
			t.Errorf("%s to %s: %v", a.id, b.id, err)
			continue
		}
		if err := back.Apply(q, 2); err != nil {
			t.Errorf("%s to %s: %v", b.id, a.id, err)
			continue
		}
		if op.Name() == reversedName(back) {
			if d := math.Hypot(q[0]-p[0], q[1]-p[1]) * 111319; !(d < 1e-6) {
				t.Errorf("%s to %s and back leaves %v m: %s", a.id, b.id, d, op.Name())
			}
		}
		done++
	}
	if done < 150 {
		t.Errorf("only %d operations, %d refused", done, refused)
	}
	t.Logf("%d operations, %d refused", done, refused)
}

// reversedName is the name the operation would have walked the other way.
func reversedName(op *Operation) string {
	r := &Operation{}
	for i := len(op.steps) - 1; i >= 0; i-- {
		s := op.steps[i]
		s.Inverse = !s.Inverse
		r.steps = append(r.steps, s)
	}
	return r.Name()
}

func TestHeightOf(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	for _, d := range []int{6326, 6277, 6230, 6312} {
		el := steps0().datums[d].el
		for range 200 {
			h := 40_000*r.Float64() - 20_000
			if got := el.heightOf(el.toGeocentric(r.Float64()*6-3, r.Float64()*math.Pi-math.Pi/2, h)); !(math.Abs(got-h) < 1e-6) {
				t.Fatalf("height %v came back as %v", h, got)
			}
		}
	}
}
