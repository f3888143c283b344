// Line-work: survey codes that say where lines start, go on, bend and close.

package csv

import (
	"fmt"
	"maps"
	"math"
	"strings"
	"sync"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/schema"
)

// surveyRow is a feature with a code, by its index in the plan.
type surveyRow struct {
	feature int
	code    string
}

// command is what a word behind a code asks for.
type command uint8

const (
	cmdStart command = iota + 1
	cmdEnd
	cmdClose
	cmdCurve    // the line bends from here
	cmdStraight // the bend ends here
)

// commands are the words for them that mean nothing else (common practice, no
// source). Shorter ones do: CL is a centre line, BL a base line, STA a station.
// A crew that uses such words says so with a table of its own.
var commands = sync.OnceValue(func() map[string]command {
	return map[string]command{
		"START": cmdStart, "END": cmdEnd, "CLOSE": cmdClose,
		"PC": cmdCurve, "BC": cmdCurve, "PT": cmdStraight, "EC": cmdStraight,
	}
})

// lineCodes returns commands with the words of a user's own table, such as
// "ST=START, CL=CLOSE, AB=PC".
func lineCodes(table string) (map[string]command, error) {
	if strings.TrimSpace(table) == "" {
		return commands(), nil
	}
	out := maps.Clone(commands())
	for pair := range strings.SplitSeq(table, ",") {
		word, means, ok := strings.Cut(pair, "=")
		word, means = strings.ToUpper(strings.TrimSpace(word)), strings.ToUpper(strings.TrimSpace(means))
		cmd, known := commands()[means]
		if !ok || word == "" || !known || strings.ContainsAny(word, " \t") {
			return nil, &wire.InputError{Problem: fmt.Sprintf("%q says no line code", strings.TrimSpace(pair)), Mend: "write pairs such as ST=START,EN=END,CL=CLOSE,BC=PC,EC=PT; the meanings are START, END, CLOSE, PC and PT"}
		}
		out[word] = cmd
	}
	return out, nil
}

// parseCode splits FENCE START PC into FENCE and its commands: the words at the
// end that are commands. A code that is nothing but a command is a plain code.
func (r *reader) parseCode(text string) (base string, cmds []command) {
	tokens := strings.Fields(text)
	n := len(tokens)
	for n > 1 {
		c, ok := r.commands[strings.ToUpper(tokens[n-1])]
		if !ok {
			break
		}
		cmds = append([]command{c}, cmds...)
		n--
	}
	return strings.Join(tokens[:n], " "), cmds
}

// insideCommands are the commands that are hardly anything else even in the
// middle of a code, where they are not obeyed but told of.
var insideCommands = sync.OnceValue(func() map[string]bool {
	return map[string]bool{"START": true, "CLOSE": true, "PC": true, "BC": true, "EC": true}
})

// commandInside returns a command that stands in the middle of a code's base.
func commandInside(base string) string {
	for i, token := range strings.Fields(base) {
		if i > 0 && insideCommands()[strings.ToUpper(token)] {
			return token
		}
	}
	return ""
}

// withoutNumber takes off the number that tells strings of one code apart: the
// base of ZONE2, ZONE 2 and ZONE-02 is ZONE.
func withoutNumber(base string) string {
	return strings.TrimRight(strings.TrimRight(base, "0123456789"), " -_.")
}

func has(cmds []command, c command) bool {
	for _, have := range cmds {
		if have == c {
			return true
		}
	}
	return false
}

// workLine is a line under way.
type workLine struct {
	base   string
	points []int // features, in order
	curves []int // indexes in points where bends start and end, in turn
	closed bool
}

// noteCode keeps a feature's code for endSurvey. Without the features there are
// no lines to draw: a code that asks for one is an error then.
func (r *reader) noteCode(f *schema.Feature, code string, drawn bool) error {
	if r.parts == nil {
		r.survey = append(r.survey, surveyRow{len(r.plan.Features) - 1, code})
		return nil
	}
	base, cmds := r.parseCode(code)
	if len(cmds) > 0 {
		return wire.ErrWhole
	}
	if drawn {
		r.warnInside(&r.parts.late, f, code, base)
	}
	return nil
}

// warnInside tells of a command in the middle of a code.
func (r *reader) warnInside(t *wire.Tally, f *schema.Feature, code, base string) {
	if word := commandInside(base); word != "" {
		t.Add("command-inside", f.Source.Line, "", "%q has the command %s in its middle, where it was not obeyed; commands stand at the end of a code", code, word)
	}
}

// endSurvey joins points into lines where the codes ask for it. Codes are one
// string's when they are the same but for case; a number behind a code makes a
// string of its own.
func (r *reader) endSurvey() error {
	if r.parts != nil {
		r.tally.Merge(&r.parts.late)
		return nil
	}
	open := map[string]*workLine{}
	var lines []*workLine
	for _, row := range r.survey {
		base, cmds := r.parseCode(row.code)
		f := r.plan.Features[row.feature]
		if f.Geometry == nil {
			continue
		}
		r.warnInside(&r.tally, f, row.code, base)
		key := strings.ToUpper(base)
		line := open[key]
		if has(cmds, cmdStart) {
			line = &workLine{base: base}
			open[key] = line
			lines = append(lines, line)
		}
		if line == nil {
			if len(cmds) > 0 {
				r.warn("line-not-started", f.Source.Line, "%q goes on with a line that no %s ST started; it stays a point", row.code, base)
			}
			continue
		}
		if has(cmds, cmdStraight) && len(line.curves)%2 == 1 {
			line.curves = append(line.curves, len(line.points))
		}
		if has(cmds, cmdCurve) && len(line.curves)%2 == 0 {
			line.curves = append(line.curves, len(line.points))
		}
		line.points = append(line.points, row.feature)
		if has(cmds, cmdClose) {
			line.closed = true
		}
		if has(cmds, cmdClose) || has(cmds, cmdEnd) {
			delete(open, key)
		}
	}
	gone := make([]bool, len(r.plan.Features))
	made := 0
	for _, line := range lines {
		if r.draw(line) {
			made++
			for _, i := range line.points[1:] {
				gone[i] = true
			}
		}
	}
	kept := r.plan.Features[:0]
	for i, f := range r.plan.Features {
		if !gone[i] {
			kept = append(kept, f)
		}
	}
	r.plan.Features = kept
	if made > 0 {
		r.tally.AddN("line-work", made, 0, "", "codes made lines of points, the first of them %q", lines[0].base)
	}
	return nil
}

// draw turns the first point of a line into the line. It returns false for a
// line of one point, which stays as it is.
func (r *reader) draw(line *workLine) bool {
	features := make([]*schema.Feature, len(line.points))
	for i, at := range line.points {
		features[i] = r.plan.Features[at]
	}
	f := features[0]
	if len(features) < 2 {
		r.warn("line-short", f.Source.Line, "the line %s has one point; it stays a point", line.base)
		return false
	}
	closed := line.closed
	if closed && len(features) < 3 {
		r.warn("line-short", f.Source.Line, "the line %s closes with two points; it was left open", line.base)
		closed = false
	}
	var flat []float64
	for _, g := range features {
		v := g.Geometry.FlatCoords()
		h := math.NaN()
		if len(v) > 2 {
			h = v[2]
		}
		flat = append(flat, v[0], v[1], h)
	}
	who := make([]int, len(features)) // the surveyed point of each vertex, -1 for none
	for i := range who {
		who[i] = i
	}
	if closed {
		flat = append(flat, flat[:3]...)
		who = append(who, 0)
	}
	flat, who = r.bend(line, flat, who)
	layout, coords := pack(flat)
	role := f.Role
	if closed && role.IsArea() {
		f.Geometry = geom.NewPolygonFlat(layout, coords, []int{len(coords)})
	} else {
		f.Geometry = geom.NewLineStringFlat(layout, coords)
	}
	f.Attributes = joined(features, who, r.lay.codeKey, line.base)
	f.ID = schema.Value{}
	return true
}

// joined gathers the points' attributes: one value where all have the same,
// else a list with a value or null a vertex, null too where a bend added the
// vertex.
func joined(features []*schema.Feature, who []int, codeKey, base string) schema.Attributes {
	list := func(of func(*schema.Feature) schema.Value) schema.Value {
		items := make([]schema.Value, len(who))
		for i, at := range who {
			items[i] = schema.Null()
			if at >= 0 {
				if v := of(features[at]); !v.IsAbsent() {
					items[i] = v
				}
			}
		}
		return schema.List(items...)
	}
	var out schema.Attributes
	out.Set(codeKey, schema.String(base))
	ids := false
	for _, f := range features {
		ids = ids || !f.ID.IsAbsent()
	}
	if ids {
		out.Set("point_ids", list(func(f *schema.Feature) schema.Value { return f.ID }))
	}
	for _, f := range features {
		for _, a := range f.Attributes {
			if out.Has(a.Key) {
				continue
			}
			same := true
			for _, g := range features {
				same = same && g.Attributes.Get(a.Key).Equal(a.Value)
			}
			if same {
				out.Set(a.Key, a.Value)
			} else {
				out.Set(a.Key, list(func(f *schema.Feature) schema.Value { return f.Attributes.Get(a.Key) }))
			}
		}
	}
	return out
}

// chordError is how far a chord may stand off the curve it replaces, in metres,
// unless the options say: far below what a machine can drive.
const chordError = 0.005

// bend replaces the chords between the points of each bend by points on the
// arcs through them: from its start, each pair of following points makes an arc
// with the point before.
func (r *reader) bend(line *workLine, flat []float64, who []int) ([]float64, []int) {
	if len(line.curves) == 0 {
		return flat, who
	}
	unit := r.unitMetres()
	chord := r.o.ChordM
	if chord <= 0 {
		chord = chordError
	}
	stretch := 1.0 // of x, so that both axes measure the same
	if unit == metresPerDegree {
		stretch = math.Cos(flat[1] * math.Pi / 180)
	}
	bent := make([][]float64, len(who)) // vertices to put behind each one
	for i := 0; i < len(line.curves); i += 2 {
		from := line.curves[i]
		to := len(who) - 1
		if i+1 < len(line.curves) {
			to = line.curves[i+1]
		}
		if (to-from)%2 != 0 || to == from {
			f := r.plan.Features[line.points[from]]
			r.warn("curve-unclear", f.Source.Line, "the bend of %s has %d points; an arc takes three, five, seven; it stays straight", line.base, to-from+1)
			continue
		}
		for k := from; k < to; k += 2 {
			a, b, c := flat[3*k:3*k+3], flat[3*k+3:3*k+6], flat[3*k+6:3*k+9]
			bent[k], bent[k+1] = arc(a, b, c, stretch, chord/unit)
		}
	}
	var outFlat []float64
	var outWho []int
	for i, at := range who {
		outFlat = append(outFlat, flat[3*i:3*i+3]...)
		outWho = append(outWho, at)
		outFlat = append(outFlat, bent[i]...)
		for range len(bent[i]) / 3 {
			outWho = append(outWho, -1)
		}
	}
	return outFlat, outWho
}

// arc returns the vertices to put between a and b and between b and c so that
// the chords stand off the circle through the three by no more than tol.
// Heights change evenly along it. Three points on a line give none.
func arc(a, b, c []float64, stretch, tol float64) (ab, bc []float64) {
	// From a, so that far-off coordinates lose nothing.
	bx, by := (b[0]-a[0])*stretch, b[1]-a[1]
	cx, cy := (c[0]-a[0])*stretch, c[1]-a[1]
	d := 2 * (bx*cy - by*cx)
	if math.Abs(d) <= 1e-12*(bx*bx+by*by+cx*cx+cy*cy) {
		return nil, nil
	}
	bb, cc := bx*bx+by*by, cx*cx+cy*cy
	ox, oy := (cy*bb-by*cc)/d, (bx*cc-cx*bb)/d // centre, from a
	radius := math.Hypot(ox, oy)
	start := math.Atan2(-oy, -ox)
	turn := func(x, y float64) float64 {
		t := math.Atan2(y-oy, x-ox) - start
		for t < 0 {
			t += 2 * math.Pi
		}
		if d < 0 { // clockwise
			t -= 2 * math.Pi
		}
		return t
	}
	atB, atC := turn(bx, by), turn(cx, cy)
	const most = 1000 // vertices of one piece, whatever the radius
	step := 2 * math.Acos(max(0, 1-tol/radius))
	piece := func(from, to, h0, h1 float64) []float64 {
		n := min(int(math.Ceil(math.Abs(to-from)/step)), most)
		var out []float64
		for i := 1; i < n; i++ {
			t := float64(i) / float64(n)
			angle := start + from + (to-from)*t
			out = append(out, a[0]+(ox+radius*math.Cos(angle))/stretch, a[1]+oy+radius*math.Sin(angle), h0+(h1-h0)*t)
		}
		return out
	}
	return piece(0, atB, a[2], b[2]), piece(atB, atC, b[2], c[2])
}
