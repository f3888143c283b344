// Frames: names of reference frames, the motion of the plates under them, and
// how far coordinates move from one frame and epoch to another.

package crs

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"
)

// Frame is a reference frame that base coordinates can be in: a realisation of
// ITRS, WGS 84 or ETRS89, or a national one.
type Frame struct {
	name  string
	code  int
	datum *registryDatum
}

// Name is the registry's name of the frame, "ITRF2014".
func (f Frame) Name() string { return f.name }

// Code is the EPSG code of the frame's geographic CRS of two dimensions, 0 when
// the catalogue has none.
func (f Frame) Code() int { return f.code }

// Dynamic reports whether coordinates in the frame change as the plates move,
// so that they mean nothing without an epoch.
func (f Frame) Dynamic() bool { return f.datum != nil && f.datum.dynamic() }

// ReferenceEpoch is the reference epoch that the registry gives the frame as a
// decimal year, 0 when it gives none. The European realisations have one and do
// not count as moving (Dynamic).
func (f Frame) ReferenceEpoch() float64 {
	if f.datum == nil {
		return 0
	}
	return f.datum.epoch
}

// EnsembleAccuracy is the accuracy in metres of a frame that stands for several
// realisations (WGS 84: 2 m, ETRS89: 0.1 m), 0 for others.
func (f Frame) EnsembleAccuracy() Metres {
	if f.datum == nil {
		return 0
	}
	return Metres(f.datum.ensemble)
}

// frameKey reduces a name to what counts: letters and digits.
func frameKey(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToUpper(r)
		}
		return -1
	}, s)
}

// hasFrameKey is frameKey(name) == key, without making it.
func hasFrameKey(name, key string) bool {
	for _, r := range name {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) {
			continue
		}
		k, size := utf8.DecodeRuneInString(key)
		if size == 0 || unicode.ToUpper(r) != k {
			return false
		}
		key = key[size:]
	}
	return key == ""
}

// frameNames are spellings in use besides the registry's names.
var frameNames = sync.OnceValue(func() map[string]string {
	return map[string]string{
		"WGS1984": "WGS84", "ETRS1989": "ETRS89", "SIRGAS": "SIRGAS2000", "GDA1994": "GDA94", "NAD1983": "NAD83", "NAD832011": "NAD83(2011)",
		"G730": "WGS84(G730)", "G873": "WGS84(G873)", "G1150": "WGS84(G1150)", "G1674": "WGS84(G1674)", "G1762": "WGS84(G1762)", "G2139": "WGS84(G2139)", "G2296": "WGS84(G2296)",
		"ITRF1988": "ITRF88", "ITRF1989": "ITRF89", "ITRF1990": "ITRF90", "ITRF1991": "ITRF91", "ITRF1992": "ITRF92", "ITRF1993": "ITRF93", "ITRF1994": "ITRF94", "ITRF1996": "ITRF96", "ITRF1997": "ITRF97",
		"ITRF00": "ITRF2000", "ITRF05": "ITRF2005", "ITRF08": "ITRF2008", "ITRF14": "ITRF2014", "ITRF20": "ITRF2020",
		"ETRF00": "ETRF2000", "ETRF14": "ETRF2014", "ETRF20": "ETRF2020",
		"IGS20": "ITRF2020", // aligned by definition, from memory
	}
})

// ParseFrame returns the frame of a name such as ITRF2014, WGS84(G1762), G1762,
// ETRF2000, GDA94, GDA2020, NAD83(2011), NZGD2000, SIRGAS2000, of the EPSG code
// of a geodetic CRS ("EPSG:9000"), or of the registry's name of one. Case,
// spaces and punctuation do not count.
func ParseFrame(text string) (Frame, error) {
	key := frameKey(text)
	if key == "" {
		return Frame{}, fmt.Errorf("no frame is named; give one such as ITRF2014 or EPSG:9000")
	}
	r, g := datums0(), geodeticTables()
	if digits, ok := strings.CutPrefix(key, "EPSG"); ok {
		code, err := strconv.Atoi(digits)
		if rec, ok := g.crs[code]; err == nil && ok {
			return r.frame(rec.name, rec.datum, code), nil
		}
		return Frame{}, fmt.Errorf("%q is no geodetic CRS of the registry", text)
	}
	if other, ok := frameNames()[key]; ok {
		key = frameKey(other)
	}
	for _, code := range g.codes {
		if rec := g.crs[code]; rec.kind == '2' && hasFrameKey(rec.name, key) {
			return r.frame(rec.name, rec.datum, code), nil
		}
	}
	return Frame{}, fmt.Errorf("the frame %q is not known; frames are named like ITRF2014, ITRF2020, WGS84(G2139), ETRF2000, GDA2020, NAD83(2011), NZGD2000, SIRGAS2000 or by the EPSG code of a geodetic CRS", text)
}

// frame makes a Frame; code is replaced by that of the CRS of two dimensions on
// the same datum, so that one frame has one code.
func (r *stepRegistry) frame(name string, datum, code int) Frame {
	g := geodeticTables()
	for _, c := range g.codes {
		if rec := g.crs[c]; rec.datum == datum && rec.kind == '2' {
			name, code = rec.name, c
			break
		}
	}
	return Frame{name: name, code: code, datum: r.datums[datum]}
}

// FrameOf is the frame that a CRS is in. Its datum must be one of the registry.
func FrameOf(c *CRS) (Frame, error) {
	d := datumOf(c)
	if d == nil {
		return Frame{}, fmt.Errorf("the datum of %s is not one of the registry", c.Label())
	}
	return datums0().frame(d.name, d.code, 0), nil
}

// OnWGS84 reports whether a CRS is on the WGS 84 ensemble, which is no known
// frame. Unlike FrameOf it does not need the table of datum steps, whose
// reading takes longer than the check of a plan.
func (c *CRS) OnWGS84() bool { return c.datum != nil && c.datum.code == wgs84Ensemble }

// system is the frame as longitude, latitude and ellipsoidal height.
func (f Frame) system() *CRS {
	d := f.datum
	id := f.name
	if f.code != 0 {
		id = "EPSG:" + strconv.Itoa(f.code)
	}
	c := &CRS{id: id, name: f.name, kind: KindGeographic, dims: 3, angle: 1, code: f.code,
		datum: &datum{code: d.code, name: d.name, el: d.el, accuracy: d.ensemble, epoch: d.epoch}}
	if rec, ok := geodeticTables().crs[f.code]; ok {
		c.extents = rec.extents
	}
	return c
}

// Covers reports whether the position, in degrees, lies in the box of the
// registry's area of use of the frame. A frame without a known area covers
// everything.
func (f Frame) Covers(lon, lat Degrees) bool { return f.datum == nil || f.system().Covers(lon, lat) }

// AreaName is the registry's name of the frame's area of use, "" for none.
func (f Frame) AreaName() string {
	if f.datum == nil {
		return ""
	}
	return f.system().AreaName()
}

// FrameMove is what becomes of coordinates when their frame or epoch changes.
type FrameMove struct {
	Shift    Local // new coordinates less old ones, on the ground, at the place
	To       Geodetic
	Steps    []Step
	Accuracy Metres
	Known    bool // whether an accuracy is stated
	Notes    []string
}

// FrameShift returns how far the coordinates of a mark change when they are
// given in the frame to instead of the frame from: the new longitude, latitude
// and height less the old ones, as lengths east, north and up at the place. The
// epochs are those of the two; a plan kept in the old coordinates and driven in
// the new frame lies off by the negative of the shift.
//
// Errors are those of NewOperation.
func FrameShift(from, to Frame, allow Allowed, at Geodetic, when Epochs, with Aids) (FrameMove, error) {
	if from.datum == nil || to.datum == nil {
		return FrameMove{}, fmt.Errorf("a frame shift needs two frames")
	}
	if err := checkGeodetic(at); err != nil {
		return FrameMove{}, fmt.Errorf("place: %w", err)
	}
	op, err := NewOperation(from.system(), to.system(), allow, At(at.Lon, at.Lat), when, with)
	if err != nil {
		return FrameMove{}, err
	}
	p := []float64{float64(at.Lon), float64(at.Lat), float64(at.H)}
	if err := op.Apply(p, 3); err != nil {
		return FrameMove{}, err
	}
	m := FrameMove{To: Geodetic{Degrees(p[0]), Degrees(p[1]), Metres(p[2])}, Steps: op.Steps(), Notes: op.Notes()}
	m.Accuracy, m.Known = op.Accuracy()
	if p[0] != float64(at.Lon) || p[1] != float64(at.Lat) || p[2] != float64(at.H) {
		m.Shift = newTopocentric(at, from.datum.el).Local(m.To)
	}
	return m, nil
}

// A plate is a tectonic plate: its rotation in milliarc-seconds a year about
// the earth-centred axes.
type plate struct {
	name       string
	itrf2020   [3]float64
	itrf2014   [3]float64
	in2014     bool
	plainWords string
	around     []Place
}

// plates holds two published models of plate motion: ITRF2020 (Altamimi et al.
// 2023, doi 10.1029/2023GL106373) and ITRF2014 (Altamimi et al. 2017, doi
// 10.1093/gji/ggx136), with the figures as PROJ's files ITRF2020 and ITRF2014
// give them.
var plates = []plate{
	{"AMUR", [3]float64{-0.131, -0.551, 0.837}, [3]float64{}, false, "Amurian", []Place{{105, 30, 150, 60}}},
	{"ANTA", [3]float64{-0.269, -0.312, 0.678}, [3]float64{-0.248, -0.324, 0.675}, true, "Antarctic", []Place{{-180, -90, 180, -40}}},
	{"ARAB", [3]float64{1.129, -0.146, 1.438}, [3]float64{1.154, -0.136, 1.444}, true, "Arabian", []Place{{32, 10, 63, 40}}},
	{"AUST", [3]float64{1.487, 1.175, 1.223}, [3]float64{1.510, 1.182, 1.215}, true, "Australian", []Place{{70, -65, 180, 5}, {-180, -65, -165, 0}}},
	{"CARB", [3]float64{0.207, -1.422, 0.726}, [3]float64{}, false, "Caribbean", []Place{{-93, 5, -57, 24}}},
	{"EURA", [3]float64{-0.085, -0.519, 0.753}, [3]float64{-0.085, -0.531, 0.770}, true, "Eurasian", []Place{{-45, 0, 170, 90}}},
	{"INDI", [3]float64{1.137, 0.013, 1.444}, [3]float64{1.154, -0.005, 1.454}, true, "Indian", []Place{{58, -20, 100, 42}}},
	{"NAZC", [3]float64{-0.327, -1.561, 1.605}, [3]float64{-0.333, -1.544, 1.623}, true, "Nazca", []Place{{-120, -50, -65, 12}}},
	{"NOAM", [3]float64{0.045, -0.666, -0.098}, [3]float64{0.024, -0.694, -0.063}, true, "North American", []Place{{-180, 3, -12, 90}, {125, 35, 180, 90}}},
	{"NUBI", [3]float64{0.090, -0.585, 0.717}, [3]float64{0.099, -0.614, 0.733}, true, "Nubian", []Place{{-45, -62, 48, 42}}},
	{"PCFC", [3]float64{-0.404, 1.021, -2.154}, [3]float64{-0.409, 1.047, -2.169}, true, "Pacific", []Place{{125, -70, 180, 65}, {-180, -70, -100, 65}}},
	{"SOAM", [3]float64{-0.261, -0.282, -0.157}, [3]float64{-0.270, -0.301, -0.140}, true, "South American", []Place{{-90, -68, 0, 22}}},
	{"SOMA", [3]float64{-0.081, -0.719, 0.864}, [3]float64{-0.121, -0.794, 0.884}, true, "Somalian", []Place{{20, -62, 78, 22}}},
}

// originRate is the translation rate in metres a year that goes with the
// ITRF2020 model, same source.
var originRate = [3]float64{0.00037, 0.00035, 0.00074}

// mayLieUnder reports whether the plate can lie under the place: generous boxes
// about each plate, from memory, that find the gross mistake.
func (p plate) mayLieUnder(lon, lat float64) bool {
	for _, b := range p.around {
		if e := (extent{west: b.West, south: b.South, east: b.East, north: b.North}); e.contains(lon, lat) {
			return true
		}
	}
	return false
}

// platesUnder names the plates that can lie under a place.
func platesUnder(lon, lat float64) []string {
	var out []string
	for _, p := range plates {
		if p.mayLieUnder(lon, lat) {
			out = append(out, p.name)
		}
	}
	return out
}

// Plates lists the plates that a motion model is built in for.
func Plates() []string {
	var out []string
	for _, p := range plates {
		out = append(out, p.name)
	}
	return out
}

func plateOf(name string) (plate, error) {
	key := strings.ToUpper(strings.TrimSpace(name))
	i := slices.IndexFunc(plates, func(p plate) bool { return p.name == key })
	if i < 0 {
		return plate{}, fmt.Errorf("the plate %q is not one of %s", name, strings.Join(Plates(), ", "))
	}
	return plates[i], nil
}

// plateAccuracy is the accuracy in metres of plate motion between two epochs in
// the rigid part of a plate: the models fit their stations to about 0.3 mm a
// year (from memory).
func plateAccuracy(t1, t2 float64) float64 { return 0.0003 * math.Abs(t2-t1) }

// rotation is the motion of the plate from the epoch t1 to t2 as seen in the
// frame of the datum d.
func (p plate) rotation(d *registryDatum, t1, t2 float64) (helmert, string) {
	h := helmert{epoch: t1}
	model, rate := "ITRF2014 plate motion model", p.itrf2014
	// A plate of the later model only, or a frame aligned to ITRF2020.
	if alignedTo2020[d.code] || !p.in2014 {
		model, rate = "ITRF2020 plate motion model", p.itrf2020
		h.dt = originRate
	}
	for i := range rate {
		h.dr[i] = rate[i] * 1e-3
	}
	return h, model
}

// alignedTo2020 are ITRF2020 with its update, IGS20, IGb20 and WGS 84 (G2296).
var alignedTo2020 = map[int]bool{1322: true, 1399: true, 1333: true, 1400: true, 1383: true}

// plateStep makes the step that carries coordinates in the moving frame d from
// one epoch to another.
func (op *Operation) plateStep(q *search, d *registryDatum, t1, t2 float64) (piece, error) {
	if q.o.with.Plate == "" {
		return piece{}, &EpochError{Step: "moving coordinates in " + d.name, Plate: true, Want: t2, Have: t1}
	}
	p, err := plateOf(q.o.with.Plate)
	if err != nil {
		return piece{}, err
	}
	h, model := p.rotation(d, t1, t2)
	acc := plateAccuracy(t1, t2)
	op.accuracy += acc
	op.steps = append(op.steps, Step{
		Name: fmt.Sprintf("motion of the %s plate from %s to %s", p.plainWords, year(t1), year(t2)), Method: "plate rotation", Accuracy: Metres(acc), Known: true,
		Epoch: t2, Source: model + " (0.3 mm a year in the rigid part of a plate, from memory)", Area: p.plainWords + " plate",
	})
	op.notes = append(op.notes, "plate motion is that of a rigid plate: near its edges, and after earthquakes, the ground moves otherwise")
	return piece{src: d.el, dst: d.el, kind: stepPlate, a: h.at(t2)}, nil
}
