// Vectors of datum steps and plane transformations: the kinds of operation that
// testdata/vectors/steps.vec and placement.vec are written in.

package crs

import (
	"fmt"
	"strconv"
	"strings"

	"swardline/crs/adjust"
)

func init() {
	vectorKinds["step"] = func(args []string) (*vectorOperation, error) { return stepVector(args, false) }
	vectorKinds["geostep"] = func(args []string) (*vectorOperation, error) { return stepVector(args, true) }
	vectorKinds["steps"] = thereAndBackVector
	vectorKinds["helmert"] = helmertVector
	vectorKinds["frames"] = framesVector
	vectorKinds["plane"] = planeVector
}

// registryVector finds the step of "EPSG:n t=year ...".
func registryVector(args []string) (*registryStep, map[string]float64, error) {
	if len(args) == 0 {
		return nil, nil, fmt.Errorf("step needs a code")
	}
	code, err := strconv.Atoi(strings.TrimPrefix(args[0], "EPSG:"))
	if err != nil {
		return nil, nil, err
	}
	s := steps0().byCode[code]
	if s == nil || s.kind != stepHelmert {
		return nil, nil, fmt.Errorf("%s is no step on earth-centred axes", args[0])
	}
	m, err := readArgs(args[1:])
	if err == nil && s.h.moves() && m["t"] == 0 {
		err = fmt.Errorf("%s needs t", args[0])
	}
	return s, m, err
}

// mapVector makes the two directions of a map of earth-centred axes.
func mapVector(a affine) (*vectorOperation, error) {
	inv, err := a.inverse()
	if err != nil {
		return nil, err
	}
	run := func(a affine) func(p []float64) error {
		return func(p []float64) error {
			if len(p) != 3 {
				return fmt.Errorf("%d numbers, not X Y Z", len(p))
			}
			p[0], p[1], p[2] = a.apply(p[0], p[1], p[2])
			return nil
		}
	}
	return &vectorOperation{forward: run(a), inverse: run(inv)}, nil
}

func stepVector(args []string, geographic bool) (*vectorOperation, error) {
	s, m, err := registryVector(args)
	if err != nil {
		return nil, err
	}
	a := s.h.at(m["t"])
	if !geographic {
		return mapVector(a)
	}
	inv, err := a.inverse()
	if err != nil {
		return nil, err
	}
	forward := stage{src: s.src.el, dst: s.dst.el, a: a}
	back := stage{src: s.dst.el, dst: s.src.el, a: inv}
	return &vectorOperation{
		forward:   func(p []float64) error { return forward.apply(p, len(p), true) },
		inverse:   func(p []float64) error { return back.apply(p, len(p), true) },
		angularIn: true, angularOu: true,
	}, nil
}

// thereAndBackVector runs a step at one epoch and back at another: motion of
// the plate that the target frame is fixed to.
func thereAndBackVector(args []string) (*vectorOperation, error) {
	s, m, err := registryVector(args)
	if err != nil {
		return nil, err
	}
	back, err := s.h.at(m["back"]).inverse()
	if err != nil {
		return nil, err
	}
	return mapVector(s.h.at(m["t"]).then(back))
}

func helmertVector(args []string) (*vectorOperation, error) {
	m, err := readArgs(args)
	if err != nil {
		return nil, err
	}
	h := helmert{
		t: [3]float64{m["tx"], m["ty"], m["tz"]}, r: [3]float64{m["rx"], m["ry"], m["rz"]}, ds: m["ds"],
		dt: [3]float64{m["dtx"], m["dty"], m["dtz"]}, dr: [3]float64{m["drx"], m["dry"], m["drz"]}, dds: m["dds"],
		epoch: m["epoch"], p: [3]float64{m["px"], m["py"], m["pz"]}, frame: m["frame"] == 1,
	}
	return mapVector(h.at(m["t"]))
}

func framesVector(args []string) (*vectorOperation, error) {
	if len(args) < 2 {
		return nil, fmt.Errorf("frames needs two names")
	}
	m, err := readArgs(args[2:])
	if err != nil {
		return nil, err
	}
	var c [2]*CRS
	for i := range c {
		f, err := ParseFrame(args[i])
		if err != nil {
			return nil, err
		}
		c[i] = f.system()
		c[i].kind, c[i].angle = KindGeocentric, 0
	}
	run := func(from, to *CRS) func(p []float64) error {
		return func(p []float64) error {
			op, err := asked{FromEpoch: m["t"]}.operation(from, to)
			if err != nil {
				return err
			}
			return op.Apply(p, len(p))
		}
	}
	return &vectorOperation{forward: run(c[0], c[1]), inverse: run(c[1], c[0])}, nil
}

func planeVector(args []string) (*vectorOperation, error) {
	if len(args) == 0 {
		return nil, fmt.Errorf("plane needs similarity or affine")
	}
	m, err := readArgs(args[1:])
	if err != nil {
		return nil, err
	}
	var t adjust.PlaneTransform
	switch args[0] {
	case "similarity":
		t = adjust.Similarity(m["scale"], m["arcsec"]/3600, m["e"], m["n"])
	case "affine":
		t = adjust.PlaneTransform{ShiftE: m["a0"], A: m["a1"], B: m["a2"], ShiftN: m["b0"], C: m["b1"], D: m["b2"]}
	default:
		return nil, fmt.Errorf("plane %q", args[0])
	}
	return &vectorOperation{
		forward: func(p []float64) error { return t.Apply(p, len(p)) },
		inverse: func(p []float64) error { return t.ApplyInverse(p, len(p)) },
	}, nil
}
