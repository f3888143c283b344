// PROJJSON: the JSON form of a CRS that PROJ and newer formats write, read by
// way of the WKT 2 that it mirrors.

package crs

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strings"
)

// fromPROJJSON reads a CRS in PROJJSON (PROJ's schema, version 0.7).
func fromPROJJSON(text string) (*CRS, []string, error) {
	if len(text) > maxWKTBytes {
		return nil, nil, fmt.Errorf("PROJJSON: %d bytes, more than the %d a CRS can need", len(text), maxWKTBytes)
	}
	d := json.NewDecoder(bytes.NewReader([]byte(text)))
	d.UseNumber()
	var top map[string]any
	if err := d.Decode(&top); err != nil {
		return nil, nil, fmt.Errorf("PROJJSON: %w", err)
	}
	if _, err := d.Token(); err != io.EOF {
		return nil, nil, fmt.Errorf("PROJJSON: text after the closing brace")
	}
	w := &projJSON{}
	w.system(top, 0)
	if w.err != nil {
		return nil, nil, fmt.Errorf("PROJJSON: %w", w.err)
	}
	c, notes, err := fromWKT(w.text.String())
	if err != nil {
		return nil, nil, fmt.Errorf("PROJJSON: %w", err)
	}
	return c, notes, nil
}

// projJSON writes the WKT 2 of a PROJJSON object; the first fault is kept.
type projJSON struct {
	text strings.Builder
	err  error
}

func (w *projJSON) fail(format string, a ...any) {
	if w.err == nil {
		w.err = fmt.Errorf(format, a...)
	}
}

func (w *projJSON) add(format string, a ...any) { fmt.Fprintf(&w.text, format, a...) }

// object returns the member as an object, nil when it is not there.
func object(m map[string]any, key string) map[string]any {
	o, _ := m[key].(map[string]any)
	return o
}

func word(m map[string]any, key string) string {
	s, _ := m[key].(string)
	return s
}

// number returns the member as the text of a number; a value with a unit may
// stand as an object of both.
func (w *projJSON) number(m map[string]any, key string) (value string, unit any) {
	switch v := m[key].(type) {
	case json.Number:
		return v.String(), nil
	case map[string]any:
		if n, ok := v["value"].(json.Number); ok {
			return n.String(), v["unit"]
		}
	}
	w.fail("%q wants the number %q", word(m, "name"), key)
	return "0", nil
}

// unit writes a unit after a comma; kind is the one to take where the object
// does not say.
func (w *projJSON) unit(u any, kind string) {
	switch v := u.(type) {
	case string:
		switch v {
		case "metre":
			w.add(`,LENGTHUNIT["metre",1]`)
			return
		case "degree":
			w.add(",%s", wktDegree)
			return
		case "unity":
			w.add(`,SCALEUNIT["unity",1]`)
			return
		}
		w.fail("the unit %q is not known", clip(v))
	case map[string]any:
		keyword := map[string]string{"LinearUnit": "LENGTHUNIT", "AngularUnit": "ANGLEUNIT", "ScaleUnit": "SCALEUNIT"}[word(v, "type")]
		if keyword == "" {
			keyword = kind
		}
		f, _ := w.number(v, "conversion_factor")
		w.add(",%s[%s,%s]", keyword, wktQuote(word(v, "name")), f)
	}
}

// id writes the identifier of an object after a comma.
func (w *projJSON) id(m map[string]any) {
	id := object(m, "id")
	if id == nil {
		if all, ok := m["ids"].([]any); ok && len(all) > 0 {
			id, _ = all[0].(map[string]any)
		}
	}
	if id == nil {
		return
	}
	code := ""
	switch v := id["code"].(type) {
	case json.Number:
		code = v.String()
	case string:
		code = wktQuote(v)
	default:
		return
	}
	w.add(",ID[%s,%s]", wktQuote(word(id, "authority")), code)
}

// system writes a CRS.
func (w *projJSON) system(m map[string]any, depth int) {
	if depth > 6 {
		w.fail("nested deeper than a CRS can be")
		return
	}
	name := wktQuote(word(m, "name"))
	switch kind := word(m, "type"); kind {
	case "GeographicCRS", "GeodeticCRS":
		keyword := "GEOGCRS"
		if kind == "GeodeticCRS" {
			keyword = "GEODCRS"
		}
		w.geodetic(m, keyword, true)
	case "ProjectedCRS":
		w.add("PROJCRS[%s,", name)
		base := object(m, "base_crs")
		if base == nil {
			w.fail("the projected CRS %s has no base_crs", name)
			return
		}
		w.geodetic(base, "BASEGEOGCRS", false)
		w.conversion(object(m, "conversion"))
		w.axes(object(m, "coordinate_system"))
		w.id(m)
		w.add("]")
	case "VerticalCRS":
		w.add("VERTCRS[%s", name)
		if d := object(m, "datum"); d != nil {
			w.add(",VDATUM[%s", wktQuote(word(d, "name")))
			w.id(d)
			w.add("]")
		}
		w.axes(object(m, "coordinate_system"))
		w.id(m)
		w.add("]")
	case "CompoundCRS":
		w.add("COMPOUNDCRS[%s", name)
		parts, _ := m["components"].([]any)
		for _, p := range parts {
			part, _ := p.(map[string]any)
			w.add(",")
			w.system(part, depth+1)
		}
		w.id(m)
		w.add("]")
	case "BoundCRS":
		w.add("BOUNDCRS[SOURCECRS[")
		w.system(object(m, "source_crs"), depth+1)
		w.add("],TARGETCRS[")
		w.system(object(m, "target_crs"), depth+1)
		w.add("]")
		if t := object(m, "transformation"); t != nil {
			w.add(",ABRIDGEDTRANSFORMATION[%s", wktQuote(word(t, "name")))
			w.operation(t)
			w.add("]")
		}
		w.add("]")
	default:
		w.fail("%q is no CRS a plan can stand in", clip(kind))
	}
}

// geodetic writes a geodetic CRS, whole or as the base of a projected one.
func (w *projJSON) geodetic(m map[string]any, keyword string, whole bool) {
	w.add("%s[%s,", keyword, wktQuote(word(m, "name")))
	d, meridian := object(m, "datum"), "DATUM"
	if d == nil {
		if d = object(m, "datum_ensemble"); d == nil {
			w.fail("%q has no datum", word(m, "name"))
			return
		}
	}
	w.add("%s[%s,", meridian, wktQuote(word(d, "name")))
	e := object(d, "ellipsoid")
	if e == nil {
		w.fail("the datum %q has no ellipsoid", word(d, "name"))
		return
	}
	w.ellipsoid(e)
	w.id(d)
	w.add("]")
	if pm := object(d, "prime_meridian"); pm != nil {
		v, unit := w.number(pm, "longitude")
		w.add(",PRIMEM[%s,%s", wktQuote(word(pm, "name")), v)
		if unit == nil {
			unit = "degree"
		}
		w.unit(unit, "ANGLEUNIT")
		w.add("]")
	}
	if whole {
		w.axes(object(m, "coordinate_system"))
	}
	w.id(m)
	w.add("]")
}

// ellipsoid writes the figure; one given by its minor axis gets the flattening
// that follows.
func (w *projJSON) ellipsoid(e map[string]any) {
	if _, ok := e["radius"]; ok {
		a, unit := w.number(e, "radius")
		w.add("ELLIPSOID[%s,%s,0", wktQuote(word(e, "name")), a)
		w.unit(unit, "LENGTHUNIT")
		w.add("]")
		return
	}
	a, unit := w.number(e, "semi_major_axis")
	invF := "0"
	if _, ok := e["inverse_flattening"]; ok {
		invF, _ = w.number(e, "inverse_flattening")
	} else {
		minor, _ := w.number(e, "semi_minor_axis")
		x, err1 := plainNumber(a)
		y, err2 := plainNumber(minor)
		if err1 != nil || err2 != nil {
			w.fail("the ellipsoid %q has no axes", word(e, "name"))
			return
		}
		if x != y {
			invF = wktNumber(x / (x - y))
		}
	}
	w.add("ELLIPSOID[%s,%s,%s", wktQuote(word(e, "name")), a, invF)
	w.unit(unit, "LENGTHUNIT")
	w.add("]")
}

func (w *projJSON) conversion(m map[string]any) {
	if m == nil {
		w.fail("a projected CRS has no conversion")
		return
	}
	w.add(",CONVERSION[%s", wktQuote(word(m, "name")))
	w.operation(m)
	w.add("]")
}

// operation writes the method and parameters of an operation after a comma.
func (w *projJSON) operation(m map[string]any) {
	method := object(m, "method")
	w.add(",METHOD[%s", wktQuote(word(method, "name")))
	w.id(method)
	w.add("]")
	params, _ := m["parameters"].([]any)
	for _, p := range params {
		q, _ := p.(map[string]any)
		v, unit := w.number(q, "value")
		if u, ok := q["unit"]; ok {
			unit = u
		}
		w.add(",PARAMETER[%s,%s", wktQuote(word(q, "name")), v)
		w.unit(unit, "LENGTHUNIT")
		w.id(q)
		w.add("]")
	}
}

// axes writes the coordinate system after a comma.
func (w *projJSON) axes(m map[string]any) {
	if m == nil {
		return
	}
	all, _ := m["axis"].([]any)
	subtype := word(m, "subtype")
	switch subtype {
	case "Cartesian", "ellipsoidal", "vertical":
	default:
		w.fail("a coordinate system of the kind %q is none for a plan", clip(subtype))
		return
	}
	w.add(",CS[%s,%d]", subtype, len(all))
	for _, a := range all {
		axis, _ := a.(map[string]any)
		direction := word(axis, "direction")
		for i := 0; i < len(direction); i++ {
			if b := direction[i] | 0x20; b < 'a' || b > 'z' {
				w.fail("the axis direction %q is not known", clip(direction))
				return
			}
		}
		if direction == "" {
			w.fail("an axis has no direction")
			return
		}
		w.add(",AXIS[%s,%s", wktQuote(word(axis, "name")), direction)
		w.unit(axis["unit"], "LENGTHUNIT")
		w.add("]")
	}
}
