// Vectors: published values as data. This file reads ../testdata/vectors/*.vec
// strictly, runs them and counts.
//
// The format, a keyword and its value a line, # starts a comment line:
//
//	source IOGP 373-7-2, section 3.5.3.1      where the numbers were published
//	operation crs EPSG:27700                  what is tested; clears the three below
//	direction forward                         forward or inverse
//	tolerance 0.005 m                         of every number: m, mm, um or nm on the ground; of bare
//	                                          numbers (factors, angles in tables) unity or deg
//	roundtrip 0.01 mm                         optional: there and back closes within
//	accept 0:30:00E 50:30:00N                 the input
//	expect 577274.984 69740.492               the output; or: expect failure WORDS
//	count 1                                   last line of the file: how many expectations it holds
//
// Numbers are decimal, digits may be parted by _; angles are decimal degrees or
// D:M:S with a hemisphere letter (a minus sign instead is fine). Coordinates
// run x = east or longitude, y = north or latitude, then height, whatever the
// source prints; `-` for a height means absent (NaN). An unknown keyword, a
// missing source, direction or tolerance, an accept without an expect, an
// operation without a vector, a wrong count: each is an error that names its
// line.
//
// Kinds of operation are in vectorKinds; a file of tests adds its own from
// init:
//
//	crs EPSG:27700            forward = FromGeodetic, inverse = ToGeodetic
//	method 9807 a=6377563.396 invf=299.3249646 8801=49 8802=-2 ...
//	                          a projection method by its EPSG parameter codes,
//	                          angles in degrees, lengths in metres, unit=metres in one unit
//	geocentric a=.. invf=..   geodetic to X Y Z
//	topocentric a=.. invf=.. lat=.. lon=.. h=..   geodetic to E N U
//	scale EPSG:27700          geodetic to point scale factor and convergence in degrees

package crs

import (
	"bufio"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// vectorOperation is an operation under test; each direction works on one point
// in place. Angular says that the first two numbers of that side are longitude
// and latitude in degrees.
type vectorOperation struct {
	forward, inverse     func(p []float64) error
	angularIn, angularOu bool    // of the forward direction
	unit                 float64 // metres in one unit of the forward result, 0 for 1
}

// vectorKinds makes operations from the words after their kind.
var vectorKinds = map[string]func(args []string) (*vectorOperation, error){
	"crs":         crsVector,
	"method":      methodVector,
	"geocentric":  geocentricVector,
	"topocentric": topocentricVector,
	"scale":       scaleVector,
}

// vector is one expectation.
type vector struct {
	file      string
	line      int
	source    string
	operation string
	inverse   bool
	tolerance float64
	tolUnit   string
	roundtrip float64 // metres, 0 when not asked for
	in, out   []float64
	failure   string // words the error must have, when one is expected
}

// readVectors reads a file of vectors strictly.
func readVectors(name string, text string) ([]vector, error) {
	var (
		out      []vector
		cur      = vector{file: name}
		dir      string
		pending  bool
		sinceOp  = -1
		counted  = false
		scanner  = bufio.NewScanner(strings.NewReader(text))
		lineText string
	)
	fail := func(format string, a ...any) error {
		return fmt.Errorf("%s:%d: %s", name, cur.line, fmt.Sprintf(format, a...))
	}
	for scanner.Scan() {
		cur.line++
		lineText = strings.TrimSpace(scanner.Text())
		if lineText == "" || lineText[0] == '#' {
			continue
		}
		if counted {
			return nil, fail("a line after count")
		}
		key, value, _ := strings.Cut(lineText, " ")
		value = strings.TrimSpace(value)
		if value == "" {
			return nil, fail("%q has no value", key)
		}
		if pending && key != "expect" {
			return nil, fail("expect must follow accept")
		}
		switch key {
		case "source":
			cur.source = value
		case "operation":
			if sinceOp == 0 {
				return nil, fail("the operation before has no vector")
			}
			sinceOp = 0
			kind, _, _ := strings.Cut(value, " ")
			if vectorKinds[kind] == nil {
				return nil, fail("unknown kind of operation %q", kind)
			}
			cur.operation, dir, cur.tolUnit, cur.roundtrip = value, "", "", 0
		case "direction":
			if value != "forward" && value != "inverse" {
				return nil, fail("direction %q", value)
			}
			dir = value
		case "tolerance":
			v, u, err := readTolerance(value)
			if err != nil {
				return nil, fail("%v", err)
			}
			cur.tolerance, cur.tolUnit = v, u
		case "roundtrip":
			v, u, err := readTolerance(value)
			if err != nil || u != "m" {
				return nil, fail("roundtrip %q is no length", value)
			}
			cur.roundtrip = v
		case "accept":
			if cur.source == "" || cur.operation == "" || dir == "" {
				return nil, fail("accept before source, operation and direction")
			}
			p, err := readNumbers(value)
			if err != nil {
				return nil, fail("%v", err)
			}
			cur.in, pending = p, true
		case "expect":
			if !pending {
				return nil, fail("expect without accept")
			}
			v := cur
			v.inverse = dir == "inverse"
			if words, ok := strings.CutPrefix(value, "failure"); ok {
				v.failure = strings.TrimSpace(words)
				if v.failure == "" {
					return nil, fail("which failure is expected?")
				}
			} else {
				if cur.tolUnit == "" {
					return nil, fail("no tolerance")
				}
				p, err := readNumbers(value)
				if err != nil {
					return nil, fail("%v", err)
				}
				v.out = p
			}
			out = append(out, v)
			pending = false
			sinceOp++
		case "count":
			n, err := strconv.Atoi(value)
			if err != nil || n != len(out) || n == 0 {
				return nil, fail("count %s, but there are %d vectors", value, len(out))
			}
			counted = true
		default:
			return nil, fail("unknown keyword %q", key)
		}
	}
	if err := scanner.Err(); err != nil {
		return nil, fail("%v", err)
	}
	if !counted {
		return nil, fail("the file does not end with count")
	}
	return out, nil
}

// readTolerance reads "0.01 mm"; lengths come back in metres with unit "m".
func readTolerance(s string) (float64, string, error) {
	num, u, _ := strings.Cut(s, " ")
	v, err := strconv.ParseFloat(num, 64)
	if err != nil || !(v > 0) {
		return 0, "", fmt.Errorf("tolerance %q is no positive number", num)
	}
	switch u {
	case "m":
		return v, "m", nil
	case "mm":
		return v / 1e3, "m", nil
	case "um":
		return v / 1e6, "m", nil
	case "nm":
		return v / 1e9, "m", nil
	case "deg", "unity":
		return v, u, nil
	}
	return 0, "", fmt.Errorf("tolerance %q has no unit known", s)
}

// readNumbers reads the numbers of accept and expect.
func readNumbers(s string) ([]float64, error) {
	var out []float64
	for w := range strings.FieldsSeq(s) {
		v, err := readAngle(w)
		if err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	if len(out) < 2 {
		return nil, fmt.Errorf("%q are too few numbers", s)
	}
	return out, nil
}

func readAngle(w string) (float64, error) {
	if w == "-" {
		return math.NaN(), nil
	}
	t := strings.ReplaceAll(w, "_", "")
	sign := 1.0
	if i := len(t) - 1; strings.ContainsRune("NSEW", rune(t[i])) {
		if t[i] == 'S' || t[i] == 'W' {
			sign = -1
		}
		t = t[:i]
		if strings.HasPrefix(t, "-") {
			return 0, fmt.Errorf("%q has a sign and a hemisphere", w)
		}
	}
	if strings.HasPrefix(t, "-") {
		sign, t = -1, t[1:]
	}
	v := 0.0
	for i, p := range strings.Split(t, ":") {
		x, err := strconv.ParseFloat(p, 64)
		if err != nil || i > 2 || x < 0 || i > 0 && x >= 60 {
			return 0, fmt.Errorf("%q is no number", w)
		}
		v += x / math.Pow(60, float64(i))
	}
	return sign * v, nil
}

// readArgs reads name=value words.
func readArgs(args []string) (map[string]float64, error) {
	m := map[string]float64{}
	for _, a := range args {
		k, s, ok := strings.Cut(a, "=")
		v, err := readAngle(s)
		if !ok || err != nil {
			return nil, fmt.Errorf("%q is not name=number", a)
		}
		m[k] = v
	}
	return m, nil
}

func crsVector(args []string) (*vectorOperation, error) {
	c, err := Parse(strings.Join(args, " "))
	if err != nil {
		return nil, err
	}
	return &vectorOperation{
		forward:   func(p []float64) error { return c.FromGeodetic(p, len(p)) },
		inverse:   func(p []float64) error { return c.ToGeodetic(p, len(p)) },
		angularIn: true, angularOu: c.IsDegrees(), unit: c.UnitMetres(),
	}, nil
}

func methodVector(args []string) (*vectorOperation, error) {
	return methodVectorWith(args, func(*plane) {})
}

// methodVectorWith is methodVector with a change made to the projection.
func methodVectorWith(args []string, change func(*plane)) (*vectorOperation, error) {
	if len(args) < 2 {
		return nil, fmt.Errorf("method needs a code and parameters")
	}
	code, err := strconv.Atoi(args[0])
	if err != nil {
		return nil, err
	}
	m, err := readArgs(args[1:])
	if err != nil {
		return nil, err
	}
	conv := &conversion{method: code}
	for k, v := range m {
		if n, err := strconv.Atoi(k); err == nil {
			conv.params = append(conv.params, parameter{code: n, value: v})
		} else if k != "a" && k != "invf" && k != "unit" {
			return nil, fmt.Errorf("unknown parameter %q", k)
		}
	}
	u := m["unit"]
	if u == 0 {
		u = 1
	}
	pl, err := newPlane(conv, &datum{el: newEllipsoid(0, "", m["a"], m["invf"])}, u)
	if err != nil {
		return nil, err
	}
	change(pl)
	c := &CRS{id: "method " + args[0], kind: KindProjected, plane: pl, unit: u}
	return &vectorOperation{
		forward:   func(p []float64) error { return c.FromGeodetic(p, len(p)) },
		inverse:   func(p []float64) error { return c.ToGeodetic(p, len(p)) },
		angularIn: true, unit: u,
	}, nil
}

func geocentricVector(args []string) (*vectorOperation, error) {
	m, err := readArgs(args)
	if err != nil {
		return nil, err
	}
	c := &CRS{id: "geocentric", kind: KindGeocentric, datum: &datum{el: newEllipsoid(0, "", m["a"], m["invf"])}}
	return &vectorOperation{
		forward:   func(p []float64) error { return c.FromGeodetic(p, len(p)) },
		inverse:   func(p []float64) error { return c.ToGeodetic(p, len(p)) },
		angularIn: true,
	}, nil
}

func topocentricVector(args []string) (*vectorOperation, error) {
	m, err := readArgs(args)
	if err != nil {
		return nil, err
	}
	t, err := NewTopocentric(Geodetic{Lon: Degrees(m["lon"]), Lat: Degrees(m["lat"]), H: Metres(m["h"])}, m["a"], m["invf"])
	if err != nil {
		return nil, err
	}
	return &vectorOperation{
		forward:   func(p []float64) error { return t.FromGeodetic(p, len(p)) },
		inverse:   func(p []float64) error { return t.ToGeodetic(p, len(p)) },
		angularIn: true,
	}, nil
}

func scaleVector(args []string) (*vectorOperation, error) {
	c, err := Parse(strings.Join(args, " "))
	if err != nil {
		return nil, err
	}
	return &vectorOperation{angularIn: true, forward: func(p []float64) error {
		k, g, err := c.ScaleAt(Geodetic{Lon: Degrees(p[0]), Lat: Degrees(p[1])})
		p[0], p[1] = k, g
		return err
	}}, nil
}

// vectorDifference is the worst difference of two points in the unit of the
// tolerance: metres on the ground for angular ones. unit is metres in one unit
// of plane coordinates, 0 for 1.
func vectorDifference(got, want []float64, angular bool, unit float64) float64 {
	worst := 0.0
	for i := range want {
		d := math.Abs(got[i] - want[i])
		if unit != 0 && i < 2 {
			d *= unit
		}
		if math.IsNaN(want[i]) {
			if math.IsNaN(got[i]) {
				continue
			}
			return math.Inf(1)
		}
		if angular && i == 0 {
			d = math.Abs(wrap180(got[0]-want[0])) * 111319.49 * math.Cos(want[1]*radPerDeg)
		}
		if angular && i == 1 {
			d *= 111319.49
		}
		if !(d <= worst) {
			worst = d
		}
	}
	return worst
}

// run checks one vector and returns what is wrong.
func (v *vector) run() error {
	words := strings.Fields(v.operation)
	op, err := vectorKinds[words[0]](words[1:])
	if err != nil && v.failure == "" {
		return err
	}
	if err == nil {
		return v.runWith(op)
	}
	return v.judge(nil, err, false, 0)
}

// runWith checks the vector on an operation.
func (v *vector) runWith(op *vectorOperation) error {
	var err error
	var got []float64
	do, back := op.forward, op.inverse
	angular, angularBack := op.angularOu, op.angularIn
	unit, unitBack := op.unit, 0.0
	if v.inverse {
		do, back = back, do
		angular, angularBack = angularBack, angular
		unit, unitBack = unitBack, unit
	}
	if do == nil {
		return fmt.Errorf("the operation has no such direction")
	}
	got = append([]float64(nil), v.in...)
	err = do(got)
	if err == nil && v.failure == "" && v.roundtrip > 0 {
		p := append([]float64(nil), got...)
		if err := back(p); err != nil {
			return fmt.Errorf("and back: %w", err)
		}
		if d := vectorDifference(p, v.in, angularBack, unitBack); !(d <= v.roundtrip) {
			return fmt.Errorf("there and back leaves %.3g m, more than %.3g m", d, v.roundtrip)
		}
	}
	return v.judge(got, err, angular, unit)
}

// judge compares a result, or an error, with what is expected.
func (v *vector) judge(got []float64, err error, angular bool, unit float64) error {
	if v.failure != "" {
		if err == nil {
			return fmt.Errorf("got %v where failure %q is expected", got, v.failure)
		}
		if !strings.Contains(err.Error(), v.failure) {
			return fmt.Errorf("failed with %q, not with %q", err, v.failure)
		}
		return nil
	}
	if err != nil {
		return err
	}
	if len(got) != len(v.out) {
		return fmt.Errorf("%d numbers in, %d expected out", len(got), len(v.out))
	}
	if d := vectorDifference(got, v.out, angular && v.tolUnit == "m", unit); !(d <= v.tolerance) {
		return fmt.Errorf("got %.10f, want %.10f: off by %.3g, tolerance %.3g %s", got, v.out, d, v.tolerance, v.tolUnit)
	}
	return nil
}

// loadVectors reads every file of vectors.
func loadVectors(t *testing.T) map[string][]vector {
	t.Helper()
	files, err := filepath.Glob("../testdata/vectors/*.vec")
	if err != nil || len(files) == 0 {
		t.Fatalf("no files of vectors (%v)", err)
	}
	all := map[string][]vector{}
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		vs, err := readVectors(filepath.Base(f), string(text))
		if err != nil {
			t.Fatal(err)
		}
		all[filepath.Base(f)] = vs
	}
	return all
}

func TestVectors(t *testing.T) {
	total := 0
	for name, vs := range loadVectors(t) {
		t.Run(name, func(t *testing.T) {
			for _, v := range vs {
				if err := v.run(); err != nil {
					t.Errorf("%s:%d: %s: %v (%s)", v.file, v.line, v.operation, err, v.source)
				}
			}
		})
		total += len(vs)
	}
	t.Logf("%d vectors", total)
}

func TestReadVectorsIsStrict(t *testing.T) {
	good := "source s\noperation geocentric a=6378137 invf=298.257223563\ndirection forward\ntolerance 1 mm\naccept 0 0 0\nexpect 6378137 0 0\ncount 1\n"
	if _, err := readVectors("good", good); err != nil {
		t.Fatal(err)
	}
	for name, bad := range map[string]string{
		"unknown keyword":      strings.Replace(good, "tolerance", "tolerence", 1),
		"no source":            strings.Replace(good, "source s\n", "", 1),
		"no direction":         strings.Replace(good, "direction forward\n", "", 1),
		"no tolerance":         strings.Replace(good, "tolerance 1 mm\n", "", 1),
		"tolerance, no unit":   strings.Replace(good, "1 mm", "1", 1),
		"no expect":            strings.Replace(good, "expect 6378137 0 0\n", "", 1),
		"wrong count":          strings.Replace(good, "count 1", "count 2", 1),
		"no count":             strings.Replace(good, "count 1\n", "", 1),
		"line after count":     good + "accept 1 1\n",
		"unknown operation":    strings.Replace(good, "geocentric", "geocentrix", 1),
		"empty operation":      strings.Replace(good, "direction", "operation crs EPSG:4326\ndirection", 1),
		"not a number":         strings.Replace(good, "accept 0 0 0", "accept 0 x 0", 1),
		"minutes of 60":        strings.Replace(good, "accept 0 0 0", "accept 0:60:00 0 0", 1),
		"sign and hemisphere":  strings.Replace(good, "accept 0 0 0", "accept -1:30:00W 0 0", 1),
		"failure without name": strings.Replace(good, "expect 6378137 0 0", "expect failure", 1),
	} {
		if _, err := readVectors(name, bad); err == nil {
			t.Errorf("%s: read without an error", name)
		}
	}
}
