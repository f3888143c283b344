// Names that say which of two things lies north, south, east or west of the other: what
// of name-contradicts is about a drawing that is turned or mirrored.

package validate

import (
	"fmt"
	"strings"

	"github.com/paulmach/orb"

	"swardline/schema"
)

// compassWords are the words for where a thing lies, by the axis and the sign along it:
// north is up the second, and what is called upper lies higher. compassStems begin words that are written as one.
var compassWords = func() map[string][2]int {
	out := map[string][2]int{}
	for words, to := range map[string][2]int{
		"upper obere oberer oberes supérieur supérieure superior boven bovenste superiore övre øvre ylempi":                           {2, 1},
		"lower untere unterer unteres inférieur inférieure inferior onderste inferiore nedre alempi":                                  {2, -1},
		"north northern nord nördlich nördliche norte noord noordelijk settentrionale norra nordre nördlicher pohjoinen pohjoispuoli": {1, 1},
		"south southern süd südlich südliche sud sur zuid zuidelijk meridionale södra søndre syd sør südlicher eteläinen etelä":       {1, -1},
		"east eastern ost östlich östliche est este oost oostelijk orientale östra østre öst øst itä itäinen östlicher":               {0, 1},
		"west western westlich westliche ouest oeste westelijk ovest occidentale västra vestre väst vest länsi läntinen westlicher":   {0, -1},
	} {
		for w := range strings.FieldsSeq(words) {
			out[w] = to
		}
	}
	return out
}()

var compassStems = []struct {
	stem string
	to   [2]int
}{{"nord", [2]int{1, 1}}, {"noord", [2]int{1, 1}}, {"süd", [2]int{1, -1}}, {"sued", [2]int{1, -1}}, {"zuid", [2]int{1, -1}}, {"ost", [2]int{0, 1}}, {"oost", [2]int{0, 1}}, {"west", [2]int{0, -1}}}

// compassName is what a name says of where its thing lies, and the rest of it; ok is
// false where it says nothing, or more than one word of it does.
type compassName struct {
	axis, sign int
	rest       string
	ok         bool
}

var compassNames = remembered[compassName]{of: func(name string) (out compassName) {
	words := letterWords(name)
	for i, w := range words {
		to, ok := compassWords[w]
		rest := ""
		if !ok {
			for _, s := range compassStems {
				if r, cut := strings.CutPrefix(w, s.stem); cut && len(r) >= 4 {
					to, rest, ok = s.to, r, true
					break
				}
			}
		}
		if !ok {
			continue
		}
		if out.ok {
			return compassName{}
		}
		others := append(append([]string{}, words[:i]...), words[i+1:]...)
		if rest != "" {
			others = append(others, rest)
		}
		out = compassName{to[0], to[1], strings.Join(others, " "), true}
	}
	return out
}}

// compassM is how far on the wrong side, in metres, a thing may lie of what is called
// after the other quarter: things side by side reach past one another.
const compassM = 1.0

// upperM is how much lower, in metres, all of what is called upper may lie than what is
// called lower: what two surveys of ground differ by (common practice, no source).
const upperM = 0.1

// compassNamed notes things of one role that are called alike but for the quarter they
// lie in, such as North lawn and South lawn, and lie the other way about.
func (r *run) compassNamed() {
	if r.Frame != FrameEarth {
		return
	}
	r.quartersMirrored()
	type quarter struct {
		f  *Feature
		at orb.Point
		n  compassName
	}
	seen := map[string][]quarter{}
	for _, f := range r.Features {
		if f.Name == "" || !f.usable() || f.Role == schema.RoleOther {
			continue
		}
		n := compassNames.get(f.Name)
		if !n.ok {
			continue
		}
		q := quarter{f, f.bound.Center(), n}
		key := string(f.Role) + "\x00" + n.rest + "\x00" + string(rune('x'+n.axis))
		for _, o := range seen[key] {
			if o.n.sign == n.sign {
				continue
			}
			if n.axis == 2 {
				r.upperNamed(f, o.f, n.sign)
				continue
			}
			if ahead := (q.at[n.axis] - o.at[n.axis]) * float64(n.sign); ahead < -compassM-slackM {
				x := r.finding(r.Place(q.at), f, o.f)
				x.Severity = Note
				x.Measured, x.Unit = -ahead, "m"
				x.Message = fmt.Sprintf("lies %s on the wrong side of %s for what the two are called: is the drawing turned or mirrored, are two names exchanged, or two coordinates?", metres(-ahead), o.f.describe())
			}
		}
		seen[key] = append(seen[key], q)
	}
}

// upperNamed notes what is called upper, or lower for a sign of -1, and lies with all its
// heights the other way about of what is called alike but for that.
func (r *run) upperNamed(f, o *Feature, sign int) {
	if sign < 0 {
		f, o = o, f
	}
	low, high := f.heightRange()
	under, over := o.heightRange()
	below := min(under-low, over-high)
	if !f.hasHeights || !o.hasHeights || !(below > upperM+1e-6) {
		return
	}
	x := r.finding(r.middle(f), f, o)
	x.Severity = Note
	x.Measured, x.Limit, x.Unit = below, upperM, "m"
	x.Message = fmt.Sprintf("lies %s below %s by its heights, and is called the upper of the two: are two names exchanged, or the heights the other way up?", metres(below), o.describe())
}

// quartersMirrored notes that all that is called after a quarter and lies beside the
// middle of driven ground lies in the opposite one: two things and more, of an axis.
func (r *run) quartersMirrored() {
	zones := r.usableOf(schema.RoleZone)
	if len(zones) == 0 {
		return
	}
	all := zones[0].bound
	for _, z := range zones {
		all = all.Union(z.bound)
	}
	middle := all.Center()
	var right, wrong [2][]*Feature
	for _, f := range r.Features {
		n := compassName{}
		if f.usable() && f.Role != schema.RoleOther && f.Name != "" {
			n = compassNames.get(f.Name)
		}
		if !n.ok || n.axis > 1 {
			continue
		}
		low, high := f.bound.Min[n.axis]-middle[n.axis], f.bound.Max[n.axis]-middle[n.axis]
		if n.sign < 0 {
			low, high = -high, -low
		}
		switch {
		case low > compassM:
			right[n.axis] = append(right[n.axis], f)
		case high < -compassM:
			wrong[n.axis] = append(wrong[n.axis], f)
		}
	}
	both := append(append([]*Feature{}, wrong[0]...), wrong[1]...)
	for axis, others := range wrong {
		if len(right[axis]) > 0 {
			continue
		}
		if len(others) < 2 && len(right[0])+len(right[1]) == 0 {
			others = both
		}
		if len(others) < 2 {
			continue
		}
		x := r.finding(r.middle(others[0]), others[:min(len(others), mostUnread)]...)
		x.Severity = Note
		x.Message = fmt.Sprintf("and %s more are called after one side of the driven ground and lie on the other, and none on its own: is the drawing turned or mirrored?", plural(len(others)-1, "thing"))
		return
	}
}
