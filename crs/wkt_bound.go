// Bound systems: a CRS that brings its own step to WGS 84, as TOWGS84, BOUNDCRS
// or +towgs84.

package crs

import (
	"fmt"
	"math"
	"strings"
)

// Parameters of seven-parameter transformations, by EPSG code, in the order tx,
// ty, tz, rx, ry, rz, ds.
var sevenParameters = [7]int{8605, 8606, 8607, 8608, 8609, 8610, 8611}

var sevenNames = [7]string{"X-axis translation", "Y-axis translation", "Z-axis translation", "X-axis rotation", "Y-axis rotation", "Z-axis rotation", "Scale difference"}

// boundStep reads the step that a WKT binds to its CRS; nil when there is none,
// or one that moves nothing. An error when it is one that is not known here:
// left aside it would be a wrong place.
func boundStep(n *wktNode, target *wktNode) (*registryStep, error) {
	if n.keyword == "BOUNDCRS" {
		return abridgedStep(n, target)
	}
	t := find7(n, 0)
	if t == nil {
		return nil, nil
	}
	if len(t.args) != 3 && len(t.args) != 7 {
		return nil, fmt.Errorf("WKT: TOWGS84 has %d numbers, not 3 or 7", len(t.args))
	}
	var v [7]float64
	for i := range t.args {
		x, err := t.number(i)
		if err != nil {
			return nil, err
		}
		v[i] = x
	}
	// OGC 01-009 section 12.3.15.1: position vector, arc-seconds, parts per
	// million.
	s := &registryStep{method: 9606, name: "TOWGS84 as the text states it", kind: stepHelmert, dst: steps0().datums[wgs84Ensemble],
		accuracy: math.NaN(), source: "the text of the system, which states no accuracy"}
	s.h = helmert{t: [3]float64(v[:3]), r: [3]float64(v[3:6]), ds: v[6]}
	if s.h.null() {
		return nil, nil
	}
	return s, checkBound(s)
}

// find7 is the TOWGS84 under a node, nil for none.
func find7(n *wktNode, depth int) *wktNode {
	if n.keyword == "TOWGS84" {
		return n
	}
	for _, a := range n.args {
		if a.kind == 'n' {
			if t := find7(a.node, depth+1); t != nil {
				return t
			}
		}
	}
	return nil
}

// abridgedStep reads the ABRIDGEDTRANSFORMATION of a BOUNDCRS.
func abridgedStep(n, target *wktNode) (*registryStep, error) {
	tr := n.child("ABRIDGEDTRANSFORMATION")
	if tr == nil {
		return nil, fmt.Errorf("WKT: BOUNDCRS has no transformation")
	}
	if target == nil {
		return nil, fmt.Errorf("WKT: BOUNDCRS has no target CRS")
	}
	var dst *registryDatum
	if to, err := geodeticPart(target); err == nil {
		dst = steps0().datums[to.datum.code]
	} else if codes := datumNames()[squeeze(target.name())]; len(codes) > 0 {
		dst = steps0().datums[codes[0]]
	}
	if dst == nil {
		return nil, fmt.Errorf("WKT: the transformation of BOUNDCRS leads to %q, which is no datum of the registry", target.name())
	}
	s := &registryStep{name: tr.name() + " as the text states it", kind: stepHelmert, dst: dst, accuracy: math.NaN(), source: "the text of the system, which states no accuracy"}
	m := tr.child("METHOD", "PROJECTION")
	if m == nil {
		return nil, fmt.Errorf("WKT: the transformation %q has no method", tr.name())
	}
	switch name := strings.ToLower(m.name()); {
	case m.epsg() == 9603 || m.epsg() == 1031 || strings.Contains(name, "geocentric translation"):
		s.method = 9603
	case m.epsg() == 9606 || m.epsg() == 1033 || strings.Contains(name, "position vector"):
		s.method = 9606
	case m.epsg() == 9607 || m.epsg() == 1032 || strings.Contains(name, "coordinate frame"):
		s.method, s.h.frame = 9607, true
	default:
		return nil, fmt.Errorf("WKT: the transformation %q bound to the CRS is of a method not known here, %q; take BOUNDCRS off to choose a step of the registry (a grid file is given with the datum step)", tr.name(), m.name())
	}
	for _, p := range tr.children("PARAMETER") {
		k := -1
		for i, code := range sevenParameters {
			if p.epsg() == code || squeeze(p.name()) == squeeze(sevenNames[i]) {
				k = i
			}
		}
		if k < 0 {
			return nil, fmt.Errorf("WKT: the transformation %q has a parameter that is not known here, %q", tr.name(), p.name())
		}
		v, err := p.number(1)
		if err != nil {
			return nil, err
		}
		f := 0.0
		if u := p.child("LENGTHUNIT", "ANGLEUNIT", "SCALEUNIT", "UNIT"); u != nil {
			if f, err = u.number(1); err != nil {
				return nil, err
			}
		}
		switch {
		case k < 3:
			s.h.t[k] = v
			if f != 0 {
				s.h.t[k] = v * f
			}
		case k < 6:
			s.h.r[k-3] = v
			if f != 0 {
				s.h.r[k-3] = v * f / radPerArcsec
			}
		default:
			s.h.ds = v
			if f != 0 {
				// A scale difference as a plain number may be a factor near 1.
				if s.h.ds = v * f * 1e6; math.Abs(v*f-1) < 0.1 {
					s.h.ds = (v*f - 1) * 1e6
				}
			}
		}
	}
	for i := range s.h.r { // units of a second give 0.9999999
		s.h.r[i] = math.Round(s.h.r[i]*1e10) / 1e10
	}
	s.h.ds = math.Round(s.h.ds*1e9) / 1e9
	if s.h.null() {
		return nil, nil
	}
	return s, checkBound(s)
}

// checkBound refuses numbers that are no step between two figures of the earth.
func checkBound(s *registryStep) error {
	for i := range 3 {
		if !(math.Abs(s.h.t[i]) < 1e5) || !(math.Abs(s.h.r[i]) < 3600) {
			return fmt.Errorf("WKT: %s: %v m and %v arc-seconds are no step between two datums", s.name, s.h.t[i], s.h.r[i])
		}
	}
	if !(math.Abs(s.h.ds) < 1e4) {
		return fmt.Errorf("WKT: %s: a scale difference of %v parts in a million is none between two datums", s.name, s.h.ds)
	}
	return nil
}

// bind gives the CRS its own step. On a datum of the registry a step that the
// registry has, too, changes nothing; any other is the only way off the datum.
func (c *CRS) bind(s *registryStep) (*CRS, string) {
	src := datumOf(c)
	if src == nil {
		d := c.datum
		src = &registryDatum{name: d.name, el: d.el, meridian: d.pm}
	} else if like := likeRegistered(src, s); like != nil {
		return c, fmt.Sprintf("the step to WGS 84 in the text is %s", steps0().label(like))
	}
	step := *s
	step.src = src
	out := *c
	d := *c.datum
	d.bound = &step
	out.datum = &d
	if c.base != nil {
		b := *c.base
		b.datum = &d
		out.base = &b
	}
	out.code = 0
	out.id = out.WKT()
	return &out, fmt.Sprintf("the text brings its own step, %s: it is used and not the registry's, and nobody states its accuracy", step.name)
}

// likeRegistered is the registry's step between the two datums with the same
// parameters, nil when it has none.
func likeRegistered(src *registryDatum, s *registryStep) *registryStep {
	r := steps0()
	near := func(a, b [3]float64, tol float64) bool {
		return math.Abs(a[0]-b[0]) <= tol && math.Abs(a[1]-b[1]) <= tol && math.Abs(a[2]-b[2]) <= tol
	}
	h := s.h
	if h.frame {
		h.r = [3]float64{-h.r[0], -h.r[1], -h.r[2]}
	}
	for _, x := range r.from[src] {
		if x.src != src || x.dst != s.dst || x.kind != stepHelmert || x.h.moves() || x.h.p != [3]float64{} {
			continue
		}
		rot := x.h.r
		if x.h.frame {
			rot = [3]float64{-rot[0], -rot[1], -rot[2]}
		}
		if near(x.h.t, h.t, 1e-3) && near(rot, h.r, 1e-4) && math.Abs(x.h.ds-h.ds) <= 1e-4 {
			return x
		}
	}
	return nil
}

// sameBound reports whether two datums bring the same step.
func sameBound(a, b *registryStep) bool {
	return a == b || a != nil && b != nil && a.dst == b.dst && a.h == b.h
}

// writeBound writes a CRS with the step bound to it.
func (c *CRS) writeBound(inner string) string {
	s := c.datum.bound
	var b strings.Builder
	fmt.Fprintf(&b, "BOUNDCRS[SOURCECRS[%s],TARGETCRS[", inner)
	target := &CRS{name: s.dst.name, kind: KindGeographic, datum: &datum{code: s.dst.code, name: s.dst.name, el: s.dst.el, pmName: "Greenwich"}}
	target.axes = []Axis{wgs84CRS.axes[1], wgs84CRS.axes[0]}
	target.writeGeodetic(&b, "GEOGCRS", true)
	method := map[int]string{9603: "Geocentric translations (geog2D domain)", 9606: "Position Vector transformation (geog2D domain)", 9607: "Coordinate Frame rotation (geog2D domain)"}[s.method]
	fmt.Fprintf(&b, "]],ABRIDGEDTRANSFORMATION[%s,METHOD[%s,ID[\"EPSG\",%d]]", wktQuote(strings.TrimSuffix(s.name, " as the text states it")), wktQuote(method), s.method)
	v := [7]float64{s.h.t[0], s.h.t[1], s.h.t[2], s.h.r[0], s.h.r[1], s.h.r[2], s.h.ds}
	for i, code := range sevenParameters {
		if s.method == 9603 && i > 2 {
			break
		}
		fmt.Fprintf(&b, ",PARAMETER[%s,%s,ID[\"EPSG\",%d]]", wktQuote(sevenNames[i]), wktNumber(v[i]), code)
	}
	b.WriteString("]]")
	return b.String()
}
