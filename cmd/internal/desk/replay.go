// The list of edits, done again over a plan that was read anew.

package desk

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"

	"swardline/cmd/internal/job"
	"swardline/convert/intake/edit"
	"swardline/schema"
)

// lost stands for an edit that changes nothing in the plan.
const lost = math.MinInt

// track is a list of edits done one by one. An edit names what it changes; in a
// drawing without names that is a role and a number, and both are other ones
// once roles change. So a track knows where each feature came from, and a later
// one finds the same feature by that.
type track struct {
	read   []*schema.Feature // the features as read
	plan   *schema.Plan
	origin []int    // of each feature: its place in the plan as read, or -1-k when edit k added it
	on     []int    // of each edit: the origin of what it changes, or lost
	prints []string // of each edit: what it changed last, as read; "" for what was added
	edits  []json.RawMessage
	missed []missedEdit
}

// missedEdit is an edit, by its place in the list that was asked for, that is
// kept and does nothing now.
type missedEdit struct {
	I     int    `json:"i"`
	Words string `json:"words"`
}

// errUnsure refuses a feature that only its role names, in a plan that holds
// other features than the one that the edit was made to.
var errUnsure = errors.New("it has no name of its own, and the file holds other things now")

var errDrawnElsewhere = errors.New("it was drawn while the drawing lay elsewhere; draw it again here, or go back to that place with Undo")

func newTrack(base *schema.Plan) *track {
	t := &track{read: base.Features, plan: base, origin: make([]int, len(base.Features))}
	for i := range t.origin {
		t.origin[i] = i
	}
	return t
}

// copied is a track that can go on without touching this one.
func (t *track) copied() *track {
	return &track{t.read, t.plan, slices.Clone(t.origin), slices.Clone(t.on), slices.Clone(t.prints), slices.Clone(t.edits), slices.Clone(t.missed)}
}

// goOn does one more edit. before is the track of the same list over the plan
// as it was read before, nil for none; anew says that the plan was read anew
// since the edit was made.
func (t *track) goOn(raw json.RawMessage, before *track, anew bool, o edit.Options) error {
	k := len(t.edits)
	l, err := edit.Read(script([]json.RawMessage{raw}), "the list of edits")
	if err != nil {
		return err
	}
	e := &l.Edits[0]
	at := -1
	if e.Add.IsAbsent() {
		if before != nil && k < len(before.on) && before.on[k] != lost {
			at = slices.Index(t.origin, before.on[k])
			if at < 0 {
				return &edit.Error{Problem: fmt.Sprintf("%q is no longer in the plan", e.Feature)}
			}
			if raw, err = readdress(raw, t.plan, at); err != nil {
				return err
			}
			if l, err = edit.Read(script([]json.RawMessage{raw}), "the list of edits"); err != nil {
				return err
			}
			e = &l.Edits[0]
		} else if at, err = edit.Find(t.plan, e.Feature, e.Nth); err != nil {
			return err
		} else if f := t.plan.Features[at]; anew && f.Name == "" && f.ID.Text() == "" {
			return errUnsure
		}
	}
	plan, _, err := edit.Apply(t.plan, l, o)
	if err != nil {
		return err
	}
	switch {
	case at < 0:
		t.origin = append(t.origin, -1-k)
		t.on = append(t.on, -1-k)
		t.prints = append(t.prints, "")
	default:
		known := ""
		if from := t.origin[at]; from >= 0 {
			known = fingerprint(t.read[from])
		}
		t.on = append(t.on, t.origin[at])
		t.prints = append(t.prints, known)
		if e.Remove {
			t.origin = slices.Delete(t.origin, at, at+1)
		}
	}
	t.plan = plan
	t.edits = append(t.edits, raw)
	return nil
}

// miss keeps an edit that cannot be done.
func (t *track) miss(raw json.RawMessage, before *track, err error) {
	k := len(t.edits)
	on, known := lost, ""
	if before != nil && k < len(before.on) {
		on, known = before.on[k], before.prints[k] // the next plan may hold it again
	}
	var names struct {
		Feature string `json:"feature"`
		Add     struct {
			Properties struct {
				Name string `json:"name"`
				Role string `json:"role"`
			} `json:"properties"`
		} `json:"add"`
	}
	_ = json.Unmarshal(raw, &names) // the names are for the words only
	name := names.Feature
	if p := names.Add.Properties; name == "" {
		if name = p.Name; name == "" {
			name = "a new " + p.Role
		}
	}
	var e *edit.Error
	why := err.Error()
	if errors.As(err, &e) {
		why = e.Problem
	}
	t.on = append(t.on, on)
	t.prints = append(t.prints, known)
	t.edits = append(t.edits, raw)
	t.missed = append(t.missed, missedEdit{k, fmt.Sprintf("change %d, of “%s”: %s", k+1, name, why)})
}

// readdress writes an edit for feature at of the plan.
func readdress(raw json.RawMessage, p *schema.Plan, at int) (json.RawMessage, error) {
	name, nth := edit.Reference(p, at)
	var fields map[string]json.RawMessage
	if err := json.Unmarshal(raw, &fields); err != nil {
		return nil, err
	}
	var was struct {
		Feature string `json:"feature"`
		Nth     int    `json:"nth"`
	}
	if err := json.Unmarshal(raw, &was); err == nil && was.Feature == name && was.Nth == nth {
		return raw, nil
	}
	fields["feature"], _ = json.Marshal(name) // a string can be written
	delete(fields, "nth")
	if nth > 0 {
		fields["nth"], _ = json.Marshal(nth)
	}
	return json.Marshal(fields)
}

// replay does what a asks for over base; was is the track until now, same says
// that base is the plan that was stands on.
func replay(a *planAsk, base *schema.Plan, was *track, same bool, wasAside []int) (*track, error) {
	limits, err := pageLimits(a.Limits)
	if err != nil {
		return nil, err
	}
	var before *track
	t := newTrack(base)
	anew := was != nil && !same
	if was != nil {
		// Of a list that was changed in the middle, what stands before that.
		n := 0
		for n < len(was.edits) && n < len(a.Edits) && sameEdit(was.edits[n], a.Edits[n]) {
			n++
		}
		if same && n == len(was.edits) && slices.Equal(headOf(a.Aside, n), headOf(wasAside, n)) {
			t = was.copied()
		}
		if anew {
			before = &track{on: renumbered(was, n, base.Features), prints: was.prints}
		}
	}
	o := job.EditOptions(base, limits)
	for k := len(t.edits); k < len(a.Edits); k++ {
		raw := a.Edits[k]
		err := errDrawnElsewhere
		if !slices.Contains(a.Aside, k) {
			err = t.goOn(raw, before, k < a.Settled && (anew || slices.Contains(a.Missed, k)), o)
		}
		if err != nil && k >= a.Settled {
			return nil, editError(err, k)
		}
		if err != nil {
			t.miss(raw, before, err)
		}
	}
	return t, nil
}

// renumbered follows the origins of n edits into a plan that was read anew.
func renumbered(was *track, n int, features []*schema.Feature) []int {
	to := counterparts(was.read, features)
	out := slices.Clone(was.on[:n])
	for i, at := range out {
		switch {
		case at >= 0:
			out[i] = to[at]
		case at == lost && was.prints[i] != "":
			out[i] = only(features, was.prints[i])
		}
	}
	return out
}

// only is the place of the one feature with a print, or lost.
func only(features []*schema.Feature, known string) int {
	at := lost
	for i, f := range features {
		if fingerprint(f) == known {
			if at != lost {
				return lost
			}
			at = i
		}
	}
	return at
}

// counterparts gives for each feature of one reading its place in another of
// the same file, or lost. A role joins lines to an outline, so that one reading
// has fewer features than the other; a placing moves all of them.
func counterparts(from, to []*schema.Feature) []int {
	out := make([]int, len(from))
	alike := len(from) == len(to)
	for i := range from {
		alike = alike && size(from[i]) == size(to[i])
		out[i] = i
	}
	if alike {
		return out
	}
	there, own := map[string][]int{}, map[string]int{}
	for i, f := range to {
		there[fingerprint(f)] = append(there[fingerprint(f)], i)
	}
	for _, f := range from {
		own[fingerprint(f)]++
	}
	for i, f := range from {
		out[i] = lost
		// Of things that are alike in all, none can be told from the others.
		if p := fingerprint(f); own[p] == 1 && len(there[p]) == 1 {
			out[i] = there[p][0]
		}
	}
	return out
}

func size(f *schema.Feature) int {
	if f == nil || f.Geometry == nil {
		return 0
	}
	return len(f.Geometry.FlatCoords())
}

// fingerprint is what a feature is known by, whatever its role.
func fingerprint(f *schema.Feature) string {
	if f == nil || f.Geometry == nil {
		return ""
	}
	return fmt.Sprintf("%s|%s|%T%v", f.ID.Text(), f.Name, f.Geometry, f.Geometry.FlatCoords())
}

// sameEdit compares two edits as they are read, however they are written.
func sameEdit(a, b json.RawMessage) bool {
	if bytes.Equal(a, b) {
		return true
	}
	var x, y any
	return json.Unmarshal(a, &x) == nil && json.Unmarshal(b, &y) == nil && reflect.DeepEqual(x, y)
}

// headOf are the numbers below n.
func headOf(list []int, n int) []int {
	return slices.DeleteFunc(slices.Clone(list), func(k int) bool { return k >= n })
}
