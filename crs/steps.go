// Steps: the registry's datum transformations, read from the embedded table.

package crs

import (
	"bufio"
	"bytes"
	"compress/gzip"
	_ "embed"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// stepsFile is written by crs/gen: gzip-compressed lines, fields parted by
// tabs, the first a letter.
//
//	X extent south north west east name
//	S code method source-datum target-datum accuracy extents superseded-by parameters name
//	N code method source-datum target-datum accuracy extents superseded-by files name
//	P concatenated-operation step step-by-a-deformation-model
//
// A file with a minus sign before its name holds the reverse shifts.
//
// Datums, and the members of ensembles, are those of the catalogue.
//
// Parameters are tx ty tz rx ry rz ds, their seven rates, epoch, px py pz in
// metres, arc-seconds and ppm, with zeros at the end left out; of an offset,
// latitude and longitude in arc-seconds.
//
//go:embed epsg/steps.tsv.gz
var stepsFile []byte

// A registryDatum is a geodetic datum of the registry.
type registryDatum struct {
	code     int
	name     string
	el       *ellipsoid
	epoch    float64 // frame reference epoch of a dynamic datum, else 0
	ensemble float64 // accuracy in metres of a datum ensemble, else 0
	meridian float64 // prime meridian, degrees east of Greenwich
	members  []*registryDatum
}

// dynamic reports whether coordinates of the datum change as the plates move.
// The European realisations have a reference epoch in the registry (1989.0) and
// are called dynamic there, yet move with Eurasia by definition: what is left
// is the ground's own motion within the plate.
func (d *registryDatum) dynamic() bool {
	return d.epoch != 0 && !strings.HasPrefix(d.name, "European Terrestrial Reference Frame ")
}

// stepKind says how a step computes.
type stepKind uint8

const (
	stepHelmert  stepKind = iota + 1 // a map of earth-centred axes
	stepOffset                       // latitude and longitude plus constants
	stepGrid                         // latitude and longitude plus values from a grid file
	stepMember                       // an ensemble and its member taken for one another
	stepModel                        // the ground's motion by a deformation model
	stepPlate                        // plate motion from one epoch to another
	stepBallpark                     // latitude and longitude taken over
)

// A registryStep is one transformation between two datums, in the registry's
// direction.
type registryStep struct {
	code       int
	method     int
	name       string
	kind       stepKind
	src, dst   *registryDatum
	accuracy   float64 // metres; NaN when the registry states none
	extents    []*extent
	superseded []int
	h          helmert    // stepHelmert
	offset     [2]float64 // stepOffset: latitude, longitude in arc-seconds
	files      []string   // stepGrid, stepModel: file names that hold grid or model
	source     string     // where the parameters come from, when not the registry
	joins      []join     // what the registry joins it to
}

// join is a concatenated operation of the registry: the step that follows.
type join struct {
	code int
	next *registryStep
}

// extent is the area of use of a step, a box in degrees; west > east where it
// crosses the antimeridian.
type extent struct {
	name                     string
	south, north, west, east float64
}

// contains reports whether the box holds the place, its edge included.
func (e *extent) contains(lon, lat float64) bool {
	if lat < e.south || lat > e.north {
		return false
	}
	if lon < -180 || lon > 180 {
		lon = math.Remainder(lon, 360)
	}
	if e.west <= e.east {
		return lon >= e.west && lon <= e.east || e.east == 180 && lon == -180 || e.west == -180 && lon == 180
	}
	return lon >= e.west || lon <= e.east
}

// timeSpecific reports whether the parameters hold at one epoch only, methods
// 1065 and 1066.
func (s *registryStep) timeSpecific() bool { return s.method == 1065 || s.method == 1066 }

// deformationMethod is the method of New Zealand's deformation model.
const deformationMethod = 1079

// byFile reports whether the step needs a file.
func (s *registryStep) byFile() bool { return s.kind == stepGrid || s.kind == stepModel }

// timed reports whether the step depends on the epoch of the coordinates.
func (s *registryStep) timed() bool {
	return s.kind == stepModel || s.kind == stepHelmert && s.h.moves()
}

// null reports whether the step leaves coordinates as they are.
func (s *registryStep) null() bool {
	switch s.kind {
	case stepHelmert:
		return s.h.null()
	case stepOffset:
		return s.offset == [2]float64{}
	case stepMember, stepBallpark:
		return true
	}
	return false
}

// area names the step's areas of use.
func (s *registryStep) area() string {
	var names []string
	for _, e := range s.extents {
		names = append(names, e.name)
	}
	return strings.Join(names, "; ")
}

// stepRegistry is the parsed table.
type stepRegistry struct {
	version, date string
	datums        map[int]*registryDatum
	steps         []*registryStep
	byCode        map[int]*registryStep
	from          map[*registryDatum][]*registryStep // steps at either end
	taken         map[*registryDatum][]*registryStep // between ensembles and their members
	extents       []*extent                          // all areas of use
}

// source names the registry and its version.
func (r *stepRegistry) source() string { return "EPSG " + r.version + " (" + r.date + ")" }

// datums0 is the registry without the steps, whose reading takes ten times as
// long: the datums of the catalogue.
var datums0 = sync.OnceValue(func() *stepRegistry {
	g := geodeticTables()
	r := &stepRegistry{version: g.version, date: g.date, datums: make(map[int]*registryDatum, len(g.datums))}
	all := make([]registryDatum, 0, len(g.datums))
	for code, d := range g.datums {
		all = append(all, registryDatum{code: code, name: d.name, el: d.el, epoch: d.epoch, ensemble: d.accuracy, meridian: d.pm})
		r.datums[code] = &all[len(all)-1]
	}
	for _, m := range g.members {
		ensemble, member := r.datums[m[0]], r.datums[m[1]]
		ensemble.members = append(ensemble.members, member)
	}
	return r
})

// steps0 opens the table on first use, so that start-up does not pay for it.
// Its datums are those of datums0.
var steps0 = sync.OnceValue(func() *stepRegistry {
	r := *datums0()
	if err := r.addSteps(stepsFile); err != nil {
		panic(damagedSteps + err.Error())
	}
	return &r
})

const damagedSteps = "crs: the embedded table of datum steps is damaged: "

// fieldsOf is how many fields a line of a kind has.
func fieldsOf(kind string) int {
	switch kind {
	case "P":
		return 4
	case "X":
		return 7
	case "S", "N":
		return 10
	}
	return 0
}

// eachLine calls visit with the fields of each line of a table.
func eachLine(file []byte, visit func(f []string, n *numbers)) error {
	z, err := gzip.NewReader(bytes.NewReader(file))
	if err != nil {
		return err
	}
	sc := bufio.NewScanner(z)
	sc.Buffer(make([]byte, 64<<10), 1<<20)
	for sc.Scan() {
		f := strings.Split(sc.Text(), "\t")
		if need := fieldsOf(f[0]); len(f) != need {
			return fmt.Errorf("line %q has %d fields, not %d", sc.Text(), len(f), need)
		}
		n := numbers{}
		if visit(f, &n); n.err != nil {
			return fmt.Errorf("line %q: %w", sc.Text(), n.err)
		}
	}
	return sc.Err()
}

// addSteps adds the extents and steps of the table to the datums.
func (r *stepRegistry) addSteps(file []byte) error {
	r.byCode, r.from, r.taken = map[int]*registryStep{}, map[*registryDatum][]*registryStep{}, map[*registryDatum][]*registryStep{}
	for _, d := range r.datums {
		if steps := r.memberSteps(d); steps != nil {
			r.taken[d] = steps
		}
	}
	extents := map[string]*extent{}
	var lines, pairs [][]string
	err := eachLine(file, func(f []string, n *numbers) {
		switch f[0] {
		case "X":
			e := &extent{name: f[6], south: n.float(f[2]), north: n.float(f[3]), west: n.float(f[4]), east: n.float(f[5])}
			extents[f[1]] = e
			r.extents = append(r.extents, e)
		case "P":
			pairs = append(pairs, f)
		default:
			lines = append(lines, f)
		}
	})
	if err != nil {
		return err
	}
	for _, f := range lines {
		s, err := r.readStep(f, extents)
		if err != nil {
			return fmt.Errorf("step %s: %w", f[1], err)
		}
		r.add(s)
	}
	for _, f := range pairs {
		n := numbers{}
		first, second := r.byCode[n.int(f[2])], r.byCode[n.int(f[3])]
		if first == nil || second == nil {
			return fmt.Errorf("operation %s joins steps that are not there", f[1])
		}
		first.joins = append(first.joins, join{n.int(f[1]), second})
	}
	return nil
}

func (r *stepRegistry) add(s *registryStep) {
	r.steps = append(r.steps, s)
	if s.code != 0 {
		r.byCode[s.code] = s
	}
	r.from[s.src] = append(r.from[s.src], s)
	r.from[s.dst] = append(r.from[s.dst], s)
}

// readStep parses a line of kind S or N.
func (r *stepRegistry) readStep(f []string, extents map[string]*extent) (*registryStep, error) {
	n := numbers{}
	s := &registryStep{code: n.int(f[1]), method: n.int(f[2]), name: f[9], src: r.datums[n.int(f[3])], dst: r.datums[n.int(f[4])], accuracy: math.NaN()}
	if s.src == nil || s.dst == nil {
		return nil, fmt.Errorf("unknown datum %s or %s", f[3], f[4])
	}
	// 999 is the registry's way to write an accuracy nobody knows. An offset of
	// nothing at 0 m (EPSG:5241) declares two datums to be one that differ by
	// decimetres on the ground: nobody measured that.
	if f[5] != "" && f[5] != "999.0" && !(s.method == 9619 && f[8] == "0 0") {
		s.accuracy = n.float(f[5])
	}
	for _, c := range strings.Split(f[6], ",") {
		e := extents[c]
		if e == nil {
			return nil, fmt.Errorf("unknown extent %q", c)
		}
		s.extents = append(s.extents, e)
	}
	if f[7] != "" {
		for _, c := range strings.Split(f[7], ",") {
			s.superseded = append(s.superseded, n.int(c))
		}
	}
	switch {
	case f[0] == "N":
		s.kind = stepGrid
		if s.method == deformationMethod {
			s.kind = stepModel
		}
		s.files = strings.Split(f[8], "|")
	case s.method == 9601 || s.method == 9619:
		s.kind = stepOffset
		p := n.list(f[8], 2)
		s.offset = [2]float64{p[0], p[1]}
	default:
		s.kind = stepHelmert
		frame, ok := rotationSign()[s.method]
		if !ok {
			return nil, fmt.Errorf("method %d is unknown", s.method)
		}
		p := n.list(f[8], 18)
		s.h = helmert{
			t: [3]float64(p[0:3]), r: [3]float64(p[3:6]), ds: p[6],
			dt: [3]float64(p[7:10]), dr: [3]float64(p[10:13]), dds: p[13],
			epoch: p[14], p: [3]float64(p[15:18]), frame: frame,
		}
	}
	return s, n.err
}

// rotationSign lists the methods on earth-centred axes: whether the rotations
// are those of the coordinate frame (IOGP 373-7-2 section 4.3.3.2) rather than
// of the position vector.
var rotationSign = sync.OnceValue(func() map[int]bool {
	return map[int]bool{
		1031: false, 1035: false, 9603: false, // geocentric translations
		1033: false, 1037: false, 9606: false, // position vector
		1032: true, 1038: true, 9607: true, // coordinate frame
		1053: false, 1054: false, 1055: false, // time-dependent position vector
		1056: true, 1057: true, 1058: true, // time-dependent coordinate frame
		1034: true, 1039: true, 9636: true, // Molodensky-Badekas, coordinate frame
		1061: false, 1062: false, 1063: false, // Molodensky-Badekas, position vector
		1065: false, 1066: true, // at one epoch only
	}
})

// methodNames are the registry's names for methods, shortened to what a report
// needs.
var methodNames = map[int]string{
	1031: "geocentric translations", 1035: "geocentric translations", 9603: "geocentric translations",
	1033: "position vector, 7 parameters", 1037: "position vector, 7 parameters", 9606: "position vector, 7 parameters",
	1032: "coordinate frame, 7 parameters", 1038: "coordinate frame, 7 parameters", 9607: "coordinate frame, 7 parameters",
	1053: "time-dependent position vector", 1054: "time-dependent position vector", 1055: "time-dependent position vector",
	1056: "time-dependent coordinate frame", 1057: "time-dependent coordinate frame", 1058: "time-dependent coordinate frame",
	1034: "Molodensky-Badekas, coordinate frame", 1039: "Molodensky-Badekas, coordinate frame", 9636: "Molodensky-Badekas, coordinate frame",
	1061: "Molodensky-Badekas, position vector", 1062: "Molodensky-Badekas, position vector", 1063: "Molodensky-Badekas, position vector",
	1065: "position vector at one epoch", 1066: "coordinate frame at one epoch",
	9601: "longitude rotation", 9619: "geographic offsets", 9614: "NTv1 grid", 9615: "NTv2 grid", 9613: "NADCON grid",
	deformationMethod: "deformation model",
}

// numbers parses fields and keeps the first error.
type numbers struct{ err error }

func (n *numbers) float(s string) float64 {
	if s == "" {
		return 0
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil && n.err == nil {
		n.err = err
	}
	return v
}

func (n *numbers) int(s string) int {
	v, err := strconv.Atoi(s)
	if err != nil && n.err == nil {
		n.err = err
	}
	return v
}

// list parses up to size numbers parted by spaces; the rest are 0.
func (n *numbers) list(s string, size int) []float64 {
	out := make([]float64, size)
	f := strings.Fields(s)
	if len(f) > size {
		n.err = fmt.Errorf("%d numbers, not %d", len(f), size)
		return out
	}
	for i, v := range f {
		out[i] = n.float(v)
	}
	return slices.Clip(out)
}
