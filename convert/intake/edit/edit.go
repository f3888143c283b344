// Package edit changes a plan by a list of edits that can be kept, read and
// played again: the command line, a script and the page in a browser write the
// same one.
//
//	{"edits": [
//	  {"feature": "Rose bed", "role": "hazard", "set": {"hazard_kind": "pond"}},
//	  {"feature": "Front lawn", "move_outline_m": -0.5},
//	  {"feature": "k7", "name": "Herb bed", "active": false, "unset": ["crew"]},
//	  {"feature": "Path", "nth": 2, "close": true},
//	  {"feature": "z1", "move_point": {"ring": 0, "point": 3, "to": [512034.25, 6280112.5]}},
//	  {"feature": "Gate", "coordinates": [[512040, 6280100], [512042, 6280100]]},
//	  {"feature": "Strip", "remove": true},
//	  {"add": {"type": "Feature", "place": {"type": "Point", "coordinates": [512040, 6280100]},
//	           "properties": {"role": "dock", "heading_deg": 90}}}
//	]}
//
// An edit names its feature by id, else by name, else, where it has neither, by
// its role; nth (from 1) chooses among several of one name. What an edit does
// not speak of keeps every digit. Coordinates are in the plan's own reference
// system, points are counted from 0 and a ring's last point is its first again,
// which no edit counts.
package edit

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/schema"
)

// List is a list of edits, in order.
type List struct{ Edits []Edit }

// Edit is one edit. Pointers are nil for what it does not do.
type Edit struct {
	// Feature and Nth (from 1, 0 for the only one) say which; "" only with Add.
	Feature string
	Nth     int

	Role, Name   *string
	Active       *bool
	Set          schema.Attributes
	Unset        []string
	MoveOutlineM *float64 // out is positive, in is negative
	Close        bool
	Reverse      bool
	Remove       bool
	MovePoint    *PointEdit
	InsertPoint  *PointEdit
	RemovePoint  *PointEdit
	// Coordinates are whole new ones, as GeoJSON writes those of the feature's
	// own type of geometry, in the plan's coordinates.
	Coordinates schema.Value
	// Add is a GeoJSON Feature, of an edit by itself.
	Add schema.Value
}

// PointEdit is a point of a feature: part of a multiple geometry, ring of a
// polygon (0 is the outline), point in it, each from 0; To is where it goes, in
// the plan's coordinates. An inserted point stands before the point of that
// number.
type PointEdit struct {
	Part, Ring, Point int
	To                [2]float64
}

// Options are what edits need from outside this room.
type Options struct {
	// OffsetMaxM is the farthest an outline is moved at a time, in metres.
	OffsetMaxM float64
	// Offset moves an outline by metres on the ground, out when positive.
	Offset func(f *schema.Feature, metres float64) (geom.T, error)
	// AreaM2 is a feature's area on the ground; ok is false for what has none.
	AreaM2 func(f *schema.Feature) (m2 float64, ok bool)
}

// Change is what one edit did.
type Change struct {
	// Edit counts from 1.
	Edit int
	// Feature is the label of the feature before the edit, its new one for Add.
	Feature string
	// Words say what was done, one for each thing.
	Words []string
	// Before and After are areas on the ground in square metres, NaN for none.
	Before, After float64
}

// Error is an edit that cannot be done.
type Error struct {
	// Edit counts from 1.
	Edit    int
	Problem string
	Mend    string
}

func (e *Error) Error() string { return fmt.Sprintf("edit %d: %s", e.Edit, e.Problem) }

// Read reads a list from JSON. Errors are *wire.InputError.
func Read(data []byte, file string) (*List, error) {
	var doc schema.Value
	fail := func(err error) error {
		return &wire.InputError{File: file, Problem: err.Error(), Mend: `a script is {"edits": [{"feature": "NAME", "role": "zone"}, ...]}`}
	}
	if err := json.Unmarshal(data, &doc); err != nil {
		return nil, fail(err)
	}
	top := doc.Fields()
	edits := top.Get("edits")
	if doc.Kind() != schema.KindObject || edits.Kind() != schema.KindList {
		return nil, fail(fmt.Errorf("there is no list \"edits\""))
	}
	for _, a := range top {
		if a.Key != "edits" {
			return nil, fail(fmt.Errorf("%q is not known here", a.Key))
		}
	}
	var out List
	for i, v := range edits.Items() {
		e, err := parse(v)
		if err != nil {
			return nil, fail(fmt.Errorf("edit %d: %w", i+1, err))
		}
		out.Edits = append(out.Edits, *e)
	}
	return &out, nil
}

// parse reads one edit, strictly.
func parse(v schema.Value) (*Edit, error) {
	if v.Kind() != schema.KindObject {
		return nil, fmt.Errorf("it is no object")
	}
	e := &Edit{}
	for _, a := range v.Fields() {
		read := readers[a.Key]
		if read == nil {
			return nil, fmt.Errorf("%q is not known; known are %s", a.Key, strings.Join(keys, ", "))
		}
		if err := read(e, a.Value); err != nil {
			return nil, fmt.Errorf("%s: %w", a.Key, err)
		}
	}
	does := len(v.Fields())
	switch {
	case !e.Add.IsAbsent() && does > 1:
		return nil, fmt.Errorf("add stands by itself in its edit")
	case !e.Add.IsAbsent():
		return e, nil
	case e.Feature == "":
		return nil, fmt.Errorf("it does not say which feature: give \"feature\" its id or name")
	case does == 1 || does == 2 && e.Nth > 0:
		return nil, fmt.Errorf("it does not say what to do with %q", e.Feature)
	case e.Remove && does > 2 && !(e.Nth > 0 && does == 3):
		return nil, fmt.Errorf("what is removed cannot be changed as well")
	}
	return e, nil
}

// keys are the keys of an edit in the order in which messages list them.
var keys = []string{"feature", "nth", "role", "name", "active", "set", "unset", "move_outline_m", "close", "reverse", "remove",
	"move_point", "insert_point", "remove_point", "coordinates", "add"}

var readers = map[string]func(*Edit, schema.Value) error{
	"feature":        func(e *Edit, v schema.Value) error { return text(v, &e.Feature) },
	"nth":            func(e *Edit, v schema.Value) error { return whole(v, 1, &e.Nth) },
	"role":           readRole,
	"name":           func(e *Edit, v schema.Value) error { e.Name = new(string); return text(v, e.Name) },
	"active":         func(e *Edit, v schema.Value) error { e.Active = new(bool); return truth(v, e.Active) },
	"set":            readSet,
	"unset":          readUnset,
	"move_outline_m": func(e *Edit, v schema.Value) error { e.MoveOutlineM = new(float64); return number(v, e.MoveOutlineM) },
	"close":          func(e *Edit, v schema.Value) error { return must(v, &e.Close) },
	"reverse":        func(e *Edit, v schema.Value) error { return must(v, &e.Reverse) },
	"remove":         func(e *Edit, v schema.Value) error { return must(v, &e.Remove) },
	"move_point": func(e *Edit, v schema.Value) error {
		e.MovePoint = &PointEdit{}
		return readPoint(v, e.MovePoint, true)
	},
	"insert_point": func(e *Edit, v schema.Value) error {
		e.InsertPoint = &PointEdit{}
		return readPoint(v, e.InsertPoint, true)
	},
	"remove_point": func(e *Edit, v schema.Value) error {
		e.RemovePoint = &PointEdit{}
		return readPoint(v, e.RemovePoint, false)
	},
	"coordinates": func(e *Edit, v schema.Value) error {
		if v.Kind() != schema.KindList {
			return fmt.Errorf("it is no list of coordinates")
		}
		e.Coordinates = v
		return nil
	},
	"add": readAdd,
}

func readAdd(e *Edit, v schema.Value) error {
	if v.Kind() != schema.KindObject || v.Fields().Get("type").Text() != "Feature" {
		return fmt.Errorf("it is no GeoJSON Feature")
	}
	e.Add = v
	return nil
}

func readRole(e *Edit, v schema.Value) error {
	e.Role = new(string)
	if err := text(v, e.Role); err != nil {
		return err
	}
	if _, ok := schema.ParseRole(*e.Role); !ok {
		words := make([]string, len(schema.Roles))
		for i, r := range schema.Roles {
			words[i] = string(r)
		}
		return fmt.Errorf("%q is no role; the roles are %s", *e.Role, strings.Join(words, ", "))
	}
	return nil
}

// apart are what an edit changes by keys of their own.
var apart = map[string]string{schema.PropID: "", schema.PropRole: "role", schema.PropName: "name", schema.PropActive: "active"}

func readSet(e *Edit, v schema.Value) error {
	if v.Kind() != schema.KindObject {
		return fmt.Errorf("it is no object of properties")
	}
	for _, a := range v.Fields() {
		if instead, ok := apart[a.Key]; ok {
			if instead == "" {
				return fmt.Errorf("an %s is not changed by an edit: others refer to it", a.Key)
			}
			return fmt.Errorf("%s has a key of its own in the edit", a.Key)
		}
	}
	e.Set = v.Fields()
	return nil
}

func readUnset(e *Edit, v schema.Value) error {
	if v.Kind() != schema.KindList {
		return fmt.Errorf("it is no list of names")
	}
	for _, x := range v.Items() {
		var key string
		if err := text(x, &key); err != nil {
			return err
		}
		e.Unset = append(e.Unset, key)
	}
	return nil
}

func readPoint(v schema.Value, p *PointEdit, to bool) error {
	if v.Kind() != schema.KindObject {
		return fmt.Errorf("it is no object with part, ring, point and to")
	}
	var at schema.Value
	for _, a := range v.Fields() {
		var err error
		switch a.Key {
		case "part":
			err = whole(a.Value, 0, &p.Part)
		case "ring":
			err = whole(a.Value, 0, &p.Ring)
		case "point":
			err = whole(a.Value, 0, &p.Point)
		case "to":
			at = a.Value
		default:
			err = fmt.Errorf("not known; known are part, ring, point and to")
		}
		if err != nil {
			return fmt.Errorf("%s: %w", a.Key, err)
		}
	}
	if !v.Fields().Has("point") {
		return fmt.Errorf("it does not say which point")
	}
	if !to {
		if !at.IsAbsent() {
			return fmt.Errorf("a point that goes has no \"to\"")
		}
		return nil
	}
	xy := at.Items()
	if len(xy) != 2 {
		return fmt.Errorf("\"to\" is two numbers in the plan's coordinates")
	}
	for i := range xy {
		if err := number(xy[i], &p.To[i]); err != nil {
			return err
		}
	}
	return nil
}

func text(v schema.Value, to *string) error {
	if v.Kind() != schema.KindString {
		return fmt.Errorf("it is no text")
	}
	*to = v.Text()
	return nil
}

func number(v schema.Value, to *float64) error {
	f, ok := v.Float()
	if !ok || v.Kind() != schema.KindNumber || math.IsInf(f, 0) {
		return fmt.Errorf("it is no number")
	}
	*to = f
	return nil
}

func whole(v schema.Value, least int, to *int) error {
	var f float64
	if err := number(v, &f); err != nil {
		return err
	}
	if f != math.Trunc(f) || f < float64(least) || f > 1e9 {
		return fmt.Errorf("it is no whole number from %d", least)
	}
	*to = int(f)
	return nil
}

func truth(v schema.Value, to *bool) error {
	b, ok := v.Truth()
	if !ok {
		return fmt.Errorf("it is neither true nor false")
	}
	*to = b
	return nil
}

// must reads a key that is there to be true.
func must(v schema.Value, to *bool) error {
	if err := truth(v, to); err != nil {
		return err
	}
	if !*to {
		return fmt.Errorf("leave it out instead of saying false")
	}
	return nil
}
