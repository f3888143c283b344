// Texts of a drawing that draw nothing: dimensions that say another length than
// they measure, hyperlinks, descriptions of layers and groups, properties, the data
// of other programs, and what is written on its sheets.

package dxf

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"

	"swardline/convert/wire"
	"swardline/schema"
)

// foreign is a text of extended data that is not this program's.
type foreign struct {
	app  string
	text []byte // of the drawing
}

// mostForeign is how many of them an entity may have that are kept.
const mostForeign = 200

// layerNotes is the application under which a layer has its description.
const layerNotes = "AcAecLayerStandard"

// ofFormat reports whether extended data of an application are the format's own:
// names of styles, how texts are scaled and the like.
func ofFormat(app string) bool {
	folded := strings.ToLower(app)
	return app != layerNotes && (strings.HasPrefix(folded, "ac") || folded == "hatchbackgroundcolor" || strings.HasPrefix(folded, "ezdxf"))
}

// say keeps a text that stands beside the plan.
func (r *reader) say(where string, line int, text string, names bool) {
	if text = wire.PlainText(text); wire.SaysWords(text) {
		if line > 0 {
			where = fmt.Sprintf("%s in line %d", where, line)
		}
		r.passed.AddBeside(schema.BesideText{Where: where, Text: text, Names: names})
	}
}

// ownDrawing and ownOffset start the comments of a drawing of ours, on its unit and on
// how far it was moved.
const (
	ownDrawing = "swardline plan drawing"
	ownOffset  = "offset: add"
)

// hearComments keeps what the comments of a drawing say, which stand in pairs of the
// code 999 anywhere in it.
func (r *reader) hearComments() {
	line, at := 1, 0 // of at
	for {
		i := bytes.Index(r.data[at:], []byte("999"))
		if i < 0 {
			return
		}
		line, at = line+bytes.Count(r.data[at:at+i], []byte("\n")), at+i
		start := bytes.LastIndexByte(r.data[:at], '\n') + 1
		code, rest, _ := bytes.Cut(r.data[start:], []byte("\n"))
		at += len("999")
		if string(bytes.TrimSpace(code)) != "999" {
			continue
		}
		text, _, _ := bytes.Cut(rest, []byte("\n"))
		if r.planRecord.Kind() == schema.KindObject && (bytes.HasPrefix(text, []byte(ownDrawing)) || bytes.HasPrefix(text, []byte(ownOffset))) {
			continue // as it was written here
		}
		wire.HearMarkup(&r.passed, []byte(r.text.text(bytes.TrimSpace(text))), line)
	}
}

// hear keeps the texts of extended data that other programs left with a thing.
func (r *reader) hear(what string, line int, list []foreign) {
	for _, x := range list {
		where := "the data of another program with the " + what
		switch x.app {
		case "PE_URL":
			where = "the hyperlink of the " + what
		case layerNotes:
			where = "the description of the " + what
		}
		r.say(where, line, r.text.text(x.text), false)
	}
}

// dimension keeps the text that somebody wrote in place of the length that a
// dimension measures: words are read, another length is told. It reports whether
// it has none, and says no more than what is drawn.
func (r *reader) dimension(sh *shape) bool {
	var text []byte
	for _, g := range r.gs {
		if g.code == 1 {
			text = bytes.TrimSpace(r.value(g))
		}
	}
	said := strings.TrimSpace(strings.ReplaceAll(r.text.mtext(text), "<>", ""))
	switch {
	case said == "":
		return true
	case wire.SaysWords(said):
		r.say("the dimension", sh.line, said, false)
	default:
		r.tally.Add("dimension-said", sh.line, "", "the dimension in line %d says %q in place of the length that it measures: which of the two holds?", sh.line, clip(said))
	}
	return false
}

// dimensions are the types of entities that measure what is drawn.
var dimensions = strings.Fields("DIMENSION ARC_DIMENSION LARGE_RADIAL_DIMENSION")

// hearSheet keeps what is written on a sheet of the paper space.
func (r *reader) hearSheet(sh *shape) {
	if sh.kind == kindText || sh.etype == "LEADER" {
		r.say("a text on a sheet", sh.line, sh.text, true)
	}
	for _, a := range sh.ins.attribs {
		r.say("a text on a sheet", sh.line, a.Value.Text(), true)
	}
}

// paperThing is a thing of the paper space that stands where no sheet reaches.
type paperThing struct {
	etype, layer string
	line         int
	at           point // as a thing of the model space has it
}

// farthestSheet is how far from the origin of a sheet, in its units, things on it
// stand: in millimetres, 10 m. mostOnPaper is how many that are farther are looked at.
const farthestSheet, mostOnPaper = 10000.0, 1000

// farOnPaper keeps a line, an area or a point of the paper space that stands where the
// ground is, and no sheet.
func (r *reader) farOnPaper(sh *shape, pl *place) {
	at, ok := sh.start()
	if !ok || math.Abs(at[0]) <= farthestSheet && math.Abs(at[1]) <= farthestSheet || len(r.onPaper) == mostOnPaper {
		return
	}
	name := ""
	if sh.layer != nil {
		name = sh.layer.name
	}
	r.onPaper = append(r.onPaper, paperThing{sh.etype, name, sh.line, pl.m.apply(at)})
}

// start is a point of what a shape draws; ok is false for texts, blocks and views.
func (sh *shape) start() (at point, ok bool) {
	switch {
	case sh.etype == "VIEWPORT":
		return at, false
	case sh.kind == kindPoint:
		return sh.at, true
	case sh.kind != kindPath && sh.kind != kindArea || sh.n == 0 || sh.paths[0].n == 0:
		return at, false
	}
	switch c := &sh.paths[0].pieces[0]; {
	case len(c.verts) > 0:
		return c.verts[0], true
	case c.conic != nil:
		return c.conic.C, true
	}
	return at, false
}

// tellPaper tells of things of the paper space that stand within what the model space
// draws, between low and high: somebody drew the ground there.
func (r *reader) tellPaper(low, high point) {
	for _, x := range r.onPaper {
		if x.at[0] >= low[0] && x.at[0] <= high[0] && x.at[1] >= low[1] && x.at[1] <= high[1] {
			r.tally.Add("paper-ground", x.line, "", "the %s in line %d, on the layer %q, lies in the paper space, but where the ground is drawn and no sheet reaches, and was left out: move it to the model space if it is there, or take it out", x.etype, x.line, x.layer)
		}
	}
}

// hearGroups keeps what groups of things are called and described as; groups
// without a name have one that starts with a star.
func (r *reader) hearGroups() {
	for _, g := range r.objects.groups {
		r.say("the group", g.line, g.text, false)
		if name := r.objects.entries[g.handle]; !strings.HasPrefix(name, "*") {
			r.say("the group", g.line, strings.ReplaceAll(name, "_", " "), false)
		}
	}
}

// groupObject is a group of things.
type groupObject struct {
	handle, text string
	line         int
}

func (r *reader) groupOf(line int) groupObject {
	out := groupObject{line: line}
	for _, g := range r.gs {
		switch g.code {
		case 5:
			out.handle = handleOf(r.value(g))
		case 300:
			out.text = r.text.text(r.value(g))
		}
	}
	return out
}

// hearProperties keeps the properties that somebody gave the drawing.
func (r *reader) hearProperties() {
	for _, text := range r.head.properties {
		r.say("a property of the drawing", 0, r.text.text(text), true)
	}
}

// headTexts are the variables of the header that hold words of the drawing's owner.
var headTexts = []string{"$CUSTOMPROPERTYTAG", "$CUSTOMPROPERTY", "$TITLE", "$SUBJECT", "$AUTHOR", "$KEYWORDS", "$COMMENTS", "$PROJECTNAME"}

func isHeadText(variable string) bool { return slices.Contains(headTexts, variable) }

// plainLines begin the names of line types that say nothing but how they look; hidden
// and phantom are none of them, for what is drawn so lies elsewhere, or only may
// (common practice, no source).
var plainLines = strings.Fields("CONTINUOUS BYLAYER BYBLOCK DASH DOT CHAIN CENTER CENTRE BORDER DIVIDE SOLID ACAD_ISO FENCELINE")

// describeLines keeps what an entry of the table of line types is described as.
func (r *reader) describeLines(gs []group) {
	name, says := "", ""
	for _, g := range gs {
		switch g.code {
		case 2:
			name = strings.ToUpper(r.word(g))
		case 3:
			says = r.word(g)
		}
	}
	if r.lineSays == nil {
		r.lineSays = map[string]string{}
	}
	r.lineSays[name] = says
}

// hearLine keeps, once, the name and the description of a line type that a thing of this
// program's drawing was given and that says more than how it looks.
func (r *reader) hearLine(d *drawn) {
	name := strings.ToUpper(strings.TrimSpace(d.lineType))
	if name == "" || r.linesHeard[name] || slices.ContainsFunc(plainLines, func(w string) bool { return strings.HasPrefix(name, w) }) {
		return
	}
	if r.linesHeard == nil {
		r.linesHeard = map[string]bool{}
	}
	r.linesHeard[name] = true
	r.say("the line type of a thing on the layer "+clip(d.layer.name), d.sh.line, strings.ToLower(strings.ReplaceAll(d.lineType, "_", " ")+" "+r.lineSays[name]), false)
}
