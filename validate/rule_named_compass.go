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
// north is up the second. compassStems begin words that are written as one.
var compassWords = func() map[string][2]int {
	out := map[string][2]int{}
	for words, to := range map[string][2]int{
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

// compassNamed notes things of one role that are called alike but for the quarter they
// lie in, such as North lawn and South lawn, and lie the other way about.
func (r *run) compassNamed() {
	if r.Frame != FrameEarth {
		return
	}
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
