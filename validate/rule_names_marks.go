// Marks whose names are one as the field writes them, of name-repeated.

package validate

import (
	"fmt"
	"math"
	"strings"

	"swardline/schema"
)

// markWords are words for a mark that stand before its number (common practice, no
// source).
var markWords = setOf("m mk mark marker marke punkt point pt repère repere marca punto merkki piste merke punt merkteken mærke märke caposaldo gcp")

// markPlaceM is how far apart, in metres, two places of one mark may lie (common
// practice, no source).
const markPlaceM = 0.05

// markCalled is the name of a mark as drift and place compare it, less the word for
// a mark before a number.
var markCalled = remembered[string]{of: func(name string) string {
	folded := schema.FoldMark(name)
	at := strings.IndexAny(folded, "0123456789")
	if at < 0 {
		return folded
	}
	if word := strings.TrimRight(folded[:at], ".-_# "); markWords[word] {
		return folded[at:]
	}
	return folded
}}

// marksAlike tells of marks at unlike places that whoever measures them again takes
// for one another. Those of one name to the letter are told with all others, those
// measured again by survey-quality.
func (r *run) marksAlike() {
	marks := r.usableOf(schema.RoleMark)
	if len(marks) < 2 {
		return
	}
	first := make(map[string]*Feature, len(marks))
	more := 0
	for _, m := range marks {
		key := markCalled.get(m.Name)
		if key == "" || len(m.Points) == 0 {
			continue
		}
		old := first[key]
		if old == nil {
			first[key] = m
			continue
		}
		p, q := &old.Points[0], &m.Points[0]
		off := math.Hypot(q.Ground[0]-p.Ground[0], q.Ground[1]-p.Ground[1])
		if off <= markPlaceM+slackM || schema.FoldName(old.Name) == schema.FoldName(m.Name) {
			continue
		}
		if more++; more > mostFindings {
			continue
		}
		x := r.finding(r.placeRead(m, q.Read, q.Ground), old, m)
		x.Severity = Note
		x.Measured, x.Limit, x.Unit = off, markPlaceM, "m"
		x.Message = fmt.Sprintf("the marks %s and %s are one by their names as people write them in the field, and lie %s apart: whoever measures them again takes one for the other; give one another name", quote(strings.TrimSpace(old.Name)), quote(strings.TrimSpace(m.Name)), metresPast(off, markPlaceM))
	}
}
