// Reading CSV: how a file is cut, what its columns are, and the rows of our own
// two layouts.

package csv

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/convert/wire/charset"
	"swardline/convert/wire/jsontext"
	"swardline/crs"
	"swardline/schema"
)

// FormatName is the format's name in Source.Format.
const FormatName = "csv"

// rolePlan is the word in the role column of the row that holds the plan's own
// members.
const rolePlan = "plan"

// planDrawing is the plan's member that keeps the unit of a drawing, as in a
// DXF.
const planDrawing = "drawing"

// delimiters are tried in this order.
const delimiters = ",;\t|"

// Detect reports whether the first bytes of a file, without a byte-order mark,
// look like CSV: a header that names coordinates or geometries, or two rows of
// the same number of cells. It is a guess, for CSV has no signature.
func Detect(head []byte) bool {
	head, delim := separatorLine(head)
	for _, d := range []byte(delimiters) {
		if delim != 0 && d != delim {
			continue
		}
		rows := newRecords(head, "", d)
		ok, err := rows.row()
		if !ok || err != nil {
			continue
		}
		if l, err := newLayout(headersOf(rows.cells), colLon); err == nil && l.usable() {
			return true
		}
		cells := len(rows.cells)
		if ok, err := rows.row(); ok && err == nil && cells > 1 && len(rows.cells) == cells {
			return true
		}
	}
	return false
}

// separatorLine takes off the line "sep=;" that some spreadsheets start a file
// with.
func separatorLine(data []byte) (rest []byte, delim byte) {
	if len(data) < 6 || !bytes.EqualFold(data[:4], []byte("sep=")) || strings.IndexByte(delimiters, data[4]) < 0 {
		return data, 0
	}
	if i := bytes.IndexByte(data, '\n'); i >= 0 && len(bytes.TrimSpace(data[5:i])) == 0 {
		return data[i+1:], data[4]
	}
	return data, 0
}

// withoutComments takes off the lines at the start that are remarks: they start
// with # or % and, unless the columns are told, name no coordinates.
func withoutComments(data []byte, told bool) (rest []byte, lines int) {
	for len(data) > 0 && (data[0] == '#' || data[0] == '%') {
		end := bytes.IndexByte(data, '\n')
		if end < 0 {
			break
		}
		for _, d := range []byte(delimiters) {
			rows := newRecords(data[:end+1], "", d)
			if ok, err := rows.row(); told || !ok || err != nil {
				continue
			}
			if l, err := newLayout(headersOf(rows.cells), colLon); err != nil || l.usable() {
				return data, lines
			}
		}
		data = data[end+1:]
		lines++
	}
	return data, lines
}

// linesOf quotes the first lines that say something, for a message.
func linesOf(text []byte) string {
	const most = 3
	var said []string
	for line := range bytes.Lines(text) {
		line = bytes.Trim(line, " \t\r\n,;|#%")
		if len(line) == 0 {
			continue
		}
		if len(said) == most {
			return strings.Join(said, ", ") + " and more"
		}
		said = append(said, fmt.Sprintf("%q", wire.Clip(line, 80)))
	}
	if len(said) == 0 {
		return "they are empty"
	}
	return strings.Join(said, ", ")
}

func headersOf(cells []cell) []string {
	out := make([]string, len(cells))
	for i, c := range cells {
		out[i] = string(c.text)
	}
	return out
}

// Read reads a plan from CSV in any of the layouts that the package's comment
// describes. Errors are *wire.InputError.
func Read(data []byte, o wire.ReadOptions) (*schema.Plan, []wire.Warning, error) {
	var t wire.Tally
	caps := o.Caps()
	if float64(len(data)) > caps.InputMaxBytes {
		return nil, nil, &wire.InputError{File: o.Name, Problem: fmt.Sprintf("the file has %d bytes; the limit input_max_bytes is %.0f", len(data), caps.InputMaxBytes)}
	}
	data, err := charset.Plain(data, &o, &t)
	if err != nil {
		return nil, nil, err
	}
	r := &reader{o: o, caps: caps, manner: pointManner, scale: 1, heightScale: 1}
	if data, err = r.start(data, &t); err != nil {
		return nil, nil, err
	}
	err = r.readAll(r.rewound(data))
	if errors.Is(err, errAnotherManner) {
		if r.manner, err = decideManner(r.rewound(data), r.coordinateCells); err == nil {
			err = r.readAll(r.rewound(data))
		}
	}
	if err != nil {
		return nil, nil, err
	}
	r.hearLines()
	return r.plan, append(t.Warnings(), r.tally.Warnings()...), nil
}

// hearLines keeps what remarks and lines above the header say, for the rules.
func (r *reader) hearLines() {
	for line := range bytes.Lines(r.passed) {
		text := wire.PlainText(strings.Trim(string(line), "#%;,\"\t\r\n "))
		if wire.SaysWords(text) || strings.ContainsAny(text, "±") || strings.Contains(text, "+/-") || strings.Contains(text, "+-") {
			r.plan.AddBeside(schema.BesideText{Where: "a line above the header", Text: text, Comment: true})
		}
	}
}

// start looks at the beginning of a file: how it is cut and what its columns
// are. It returns the file from the header on.
func (r *reader) start(data []byte, t *wire.Tally) (rest []byte, err error) {
	if r.commands, err = lineCodes(r.o.LineCodes); err != nil {
		return nil, err
	}
	data, r.told = separatorLine(data)
	r.firstLine = 1
	if r.told != 0 {
		r.firstLine = 2
	}
	var comments int
	whole := data
	data, comments = withoutComments(data, r.o.Columns != "")
	r.firstLine += comments
	if comments > 0 {
		r.passed = append(r.passed, whole[:len(whole)-len(data)]...)
		t.AddN("comment", comments, r.firstLine-comments, "", "lines that start with # or %% were passed over: %s", linesOf(whole[:len(whole)-len(data)]))
	}
	if r.o.Columns == "" {
		var above int
		whole = data
		if data, above = withoutPreamble(data); above > 0 {
			passed := whole[:len(whole)-len(data)]
			r.passed = append(r.passed, passed...)
			t.AddN("preamble", above, r.firstLine, "", "lines above the header were passed over: %s", linesOf(passed))
			n := r.firstLine
			for line := range bytes.Lines(passed) {
				if wire.HoldsPlace(line) {
					t.Add("preamble-drawn", n, "", "line %d stands above the header and holds a place, and was not read: %s; put it below the header, or take it out", n, wire.Clip(bytes.TrimSpace(line), 60))
				}
				n++
			}
			r.firstLine += above
		}
	}
	return data, r.open(data)
}

type reader struct {
	*records
	o         wire.ReadOptions
	caps      schema.Limits
	tally     wire.Tally
	passed    []byte // lines above the header
	lay       *layout
	manner    manner
	told      byte // the delimiter that a first line names
	firstLine int
	spec      []columnSpec // the columns as told, for files without a header
	cut       bool         // the look at the first rows came to the end
	headerRow bool         // the first row is a header to pass over
	unitRow   bool         // the row behind it holds units

	plan        *schema.Plan
	planRow     bool
	crsText     string // of the crs column
	crsLine     int
	crs         *crs.CRS
	beside      *crs.CRS // of a .prj that the rows overrule
	scale       float64  // of e and n
	heightScale float64
	planeUnit   string // of e and n, and of heights; "" when nobody said
	heightUnit  string
	unitNote    string // a header whose unit was overridden
	poorFixes   doubts
	largeSigmas doubts
	vertices    int
	wkt         wktReader
	block       []schema.Feature
	run         run
	remarks     struct { // rows that start like remarks
		n, others, line int
		text            string
	}
	coordinates []coordinateCell // scratch
	survey      []surveyRow
	commands    map[string]command // words behind codes
	seen        facts
	parts       *parts // where features go when they are not kept, else nil
}

func (r *reader) warn(kind string, line int, format string, args ...any) {
	r.tally.Add(kind, line, "", format, args...)
}

// rewound returns the file's rows from the first data row on.
func (r *reader) rewound(data []byte) *records {
	return r.behindHeader(newRecords(data, r.o.Name, r.delim))
}

// behindHeader takes rows that start at the header to the first data row.
func (r *reader) behindHeader(rows *records) *records {
	rows.most = r.most
	rows.next = r.firstLine
	for _, over := range []bool{r.headerRow, r.unitRow} {
		if !over {
			continue
		}
		if ok, err := rows.row(); !ok || err != nil {
			rows.pos, rows.more = len(rows.data), nil
		}
	}
	return rows
}

// open decides how the file is cut and what its columns are.
func (r *reader) open(data []byte) error {
	if r.o.Columns != "" {
		return r.openTold(data)
	}
	type reading struct {
		delim byte
		lay   *layout
	}
	var found []reading
	var ambiguous, broken error
	headers := map[byte][]string{}
	for _, d := range []byte(delimiters) {
		if r.told != 0 && d != r.told {
			continue
		}
		rows := newRecords(data, r.o.Name, d)
		rows.next = r.firstLine
		ok, err := rows.row()
		if !ok || err != nil {
			if broken == nil {
				broken = err
			}
			continue
		}
		names := headersOf(rows.cells)
		headers[d] = names
		if r.o.CRSBeside && r.o.CRS != nil && firstCRS(rows, names) != nil {
			r.beside, r.o.CRS = r.o.CRS, nil
		}
		l, err := newLayout(names, r.preferred(nil))
		var a *ambiguity
		if errors.As(err, &a) {
			rows := newRecords(data, r.o.Name, d)
			rows.next = r.firstLine
			if ok, e := rows.row(); ok && e == nil {
				if c := firstCRS(rows, names); c != nil {
					l, err = newLayout(names, r.preferred(c))
				}
			}
		}
		if err != nil {
			if ambiguous == nil && errors.As(err, &a) {
				ambiguous = rows.fail(a.mend, "%s", a.problem)
			}
			continue
		}
		if l.usable() {
			found = append(found, reading{d, l})
		}
	}
	if len(found) > 1 && len(found[0].lay.columns) == 1 {
		// One column only: any separator that does not cut its rows will do.
		kept := found[:0]
		for _, f := range found {
			rows := newRecords(data, r.o.Name, f.delim)
			for range 2 {
				if ok, err := rows.row(); !ok || err != nil {
					break
				}
			}
			if len(rows.cells) == 1 {
				kept = append(kept, f)
				break
			}
		}
		if len(kept) == 0 {
			kept = found[:1] // whose rows then say what is wrong
		}
		found = kept
	}
	switch {
	case len(found) == 1:
	case len(found) > 1:
		return &wire.InputError{File: r.o.Name, Line: r.firstLine, Problem: fmt.Sprintf("cut at %s the columns are %s; cut at %s they are %s; both fit",
			delimiterName(found[0].delim), found[0].lay.describe(), delimiterName(found[1].delim), found[1].lay.describe()), Mend: "leave only one kind of separator in the first row"}
	case ambiguous != nil:
		return ambiguous
	case broken != nil && len(headers) == 0:
		return broken
	default:
		return r.noHeader(headers)
	}
	r.lay = found[0].lay
	r.headerRow = true
	r.records = newRecords(data, r.o.Name, found[0].delim)
	r.takeUnits(data)
	return r.useUnit()
}

func delimiterName(d byte) string {
	return map[byte]string{',': "commas", ';': "semicolons", '\t': "tabs", '|': "bars", blanks: "spaces"}[d]
}

// preferred says which pair of coordinates goes with what is known of the CRS.
func (r *reader) preferred(c *crs.CRS) columnKind {
	if r.o.CRS != nil {
		c = r.o.CRS
	}
	switch {
	case c == nil:
		return 0
	case c.IsDegrees():
		return colLon
	}
	return colE
}

// firstCRS returns the CRS that the first filled cell of a crs column names.
func firstCRS(rows *records, names []string) *crs.CRS {
	at := -1
	for i, name := range names {
		if kind, _ := classify(name); kind == colCRS && (at < 0 || name == "crs") {
			at = i
		}
	}
	for at >= 0 {
		if ok, err := rows.row(); !ok || err != nil {
			return nil
		}
		if at < len(rows.cells) && len(rows.cells[at].text) > 0 {
			c, err := parseCRS(string(rows.cells[at].text))
			if err != nil {
				return nil
			}
			return c
		}
	}
	return nil
}

// parseCRS reads a crs cell; a bare number is an EPSG code.
func parseCRS(text string) (*crs.CRS, error) {
	if text != "" && strings.Trim(text, "0123456789") == "" {
		text = "EPSG:" + text
	}
	return crs.Parse(text)
}

// coordinateCells are the cells of a row that hold coordinates, for deciding
// how numbers are written.
func (r *reader) coordinateCells(cells []cell) []coordinateCell {
	out := r.coordinates[:0]
	defer func() { r.coordinates = out }()
	add := func(i int, on axis) {
		if i >= 0 && i < len(cells) && len(cells[i].text) > 0 {
			out = append(out, coordinateCell{r.plainCell(cells[i].text, on), on, r.lay.columns[i].header})
		}
	}
	add(r.lay.x, r.axisOf(axisLon))
	add(r.lay.y, r.axisOf(axisLat))
	add(r.lay.h, axisPlane)
	return out
}

func (r *reader) axisOf(a axis) axis {
	if r.lay.degrees {
		return a
	}
	return axisPlane
}

// readAll reads the rows. It can be called again with another manner of writing
// numbers.
func (r *reader) readAll(rows *records) error {
	r.records = rows
	r.tally = wire.Tally{}
	r.plan = &schema.Plan{Source: schema.Source{File: r.o.Name, Format: FormatName, Winding: schema.WindingDriven}}
	r.planRow, r.crsText, r.crsLine, r.crs, r.vertices = false, "", 0, nil, 0
	r.wkt = wktReader{nesting: int(r.caps.InputMaxNesting)}
	r.run = run{}
	r.remarks.n, r.remarks.others = 0, 0
	r.survey, r.poorFixes, r.largeSigmas = nil, doubts{}, doubts{}
	r.seen = noFacts()
	if !r.lay.own {
		r.warn("columns", r.firstLine, "%s; separated by %s", r.lay.describe(), delimiterName(r.delim))
	}
	r.sayWhatWasTold()
	for {
		ok, err := r.row()
		if err != nil {
			return err
		}
		if !ok {
			break
		}
		if r.filled() == 0 {
			r.warn("row-empty", r.line, "a row has only empty cells; it is passed over")
			continue
		}
		if err := r.countCells(); err != nil {
			return err
		}
		if first := r.cells[0].text; !r.cells[0].quoted && isRemark(first) {
			if r.remarks.n++; r.remarks.n == 1 {
				r.remarks.line, r.remarks.text = r.line, wire.Clip(first, 40)
			}
		} else {
			r.remarks.others++
		}
		if err := r.oneRow(); err != nil {
			return err
		}
	}
	if r.remarks.n > 0 && r.remarks.others > 0 {
		r.tally.AddN("row-remark", r.remarks.n, r.remarks.line, "", "line %d: a row starts with %q among rows that do not start so, and was read like them: is it a remark, or a row that somebody took out? Delete it, or take the sign away", r.remarks.line, r.remarks.text)
	}
	if err := r.endRun(); err != nil {
		return err
	}
	r.sayQuality()
	if err := r.endSurvey(); err != nil {
		return err
	}
	if err := r.finish(); err != nil {
		return err
	}
	if r.manner != pointManner {
		r.tally.Add("decimal-mark", 0, "", "the numbers are written with %s", r.manner)
	}
	return nil
}

// remarkSigns are what people put before a row to take it out, beside the word REM
// (common practice, no source).
var remarkSigns = [...]string{"#", "%", "//", "--", ";", "'"}

// isRemark reports whether the first cell of a row starts as a remark does.
func isRemark(first []byte) bool {
	for _, sign := range remarkSigns {
		if bytes.HasPrefix(first, []byte(sign)) {
			return true
		}
	}
	return len(first) > 4 && bytes.EqualFold(first[:4], []byte("rem "))
}

// sayWhatWasTold reports what the options change about the file's columns.
func (r *reader) sayWhatWasTold() {
	if r.spec != nil && r.headerRow {
		r.warn("header-skipped", r.firstLine, "the first row is a header; the columns were taken as told")
	}
	for i, s := range r.spec {
		if s.skip {
			r.warn("column-skipped", 0, "column %d was passed over, as told", i+1)
		}
	}
	r.sayUnits()
}

// countCells holds every row to the number of columns.
func (r *reader) countCells() error {
	want := len(r.lay.columns)
	n := len(r.cells)
	for n > want && len(r.cells[n-1].text) == 0 {
		n--
	}
	if n == want {
		if len(r.cells) > want {
			r.warn("cells-empty", r.line, "a row has %d cells instead of %d, the last ones empty", len(r.cells), want)
			r.cells = r.cells[:want]
		}
		return nil
	}
	if r.spec != nil && r.lay.at[colCode] == want-1 {
		// The description of a survey list takes the rest, or may be left out.
		if n > want {
			r.joinRest(want)
			return nil
		}
		if n == want-1 {
			r.cells = append(r.cells, cell{})
			return nil
		}
	}
	mend := "give every row the same number of cells; text with a separator in it needs quotes"
	coordinates := 2
	if r.lay.h >= 0 {
		coordinates = 3
	}
	if r.delim == ',' && r.lay.x >= 0 && (n == want+coordinates || n == want+2) {
		mend = "if these are decimal commas, separate the columns with semicolons, or put the numbers in quotes"
	}
	return r.fail(mend, "the row has %d cells, but there are %d columns", len(r.cells), want)
}

// joinRest joins the cells from the last column on, as they stood.
func (r *reader) joinRest(want int) {
	last := &r.cells[want-1]
	text := append([]byte(nil), last.text...)
	for _, c := range r.cells[want:] {
		text = append(text, r.delim)
		text = append(text, c.text...)
	}
	last.text = text
	r.cells = r.cells[:want]
}

func (r *reader) text(kind columnKind) []byte {
	if i := r.lay.at[kind]; i >= 0 {
		return r.cells[i].text
	}
	return nil
}

func (r *reader) oneRow() error {
	if err := r.readCRS(); err != nil {
		return err
	}
	if string(r.text(colRole)) == rolePlan {
		return r.readPlanRow()
	}
	switch {
	case r.lay.points:
		return r.pointRow()
	case r.lay.at[colWKT] >= 0:
		_, err := r.wktRow()
		return err
	}
	return r.foreignRow()
}

func (r *reader) readCRS() error {
	r.otherCRS()
	text := r.text(colCRS)
	if len(text) == 0 || string(text) == r.crsText {
		return nil
	}
	return r.foundCRS(string(text))
}

// otherCRS tells of a system in a second column that is another than the one
// that is read.
func (r *reader) otherCRS() {
	for _, i := range r.lay.crs {
		text := string(r.cells[i].text)
		if text == "" || text == string(r.text(colCRS)) {
			continue
		}
		c, err := parseCRS(text)
		if first, e := parseCRS(string(r.text(colCRS))); err != nil || e == nil && first.Equal(c) {
			continue
		}
		r.warn("crs-second", r.line, "the column %q says the system %s beside the column %q, which says %q and was read: which of the two the coordinates are in is not known; take the wrong column out",
			r.lay.columns[i].header, c.ID(), r.lay.columns[r.lay.at[colCRS]].header, wire.Clip(r.text(colCRS), 40))
	}
}

func (r *reader) foundCRS(text string) error {
	c, err := parseCRS(text)
	if err != nil {
		return r.fail("name a CRS such as EPSG:25832 or OGC:CRS84", "crs %q: %v", wire.Clip([]byte(text), 40), err)
	}
	if r.crs != nil && !c.Equal(r.crs) {
		return r.fail("give a file one CRS, and transform what is in another", "the crs is %s here and %s in line %d", c.ID(), r.crs.ID(), r.crsLine)
	}
	if r.crs == nil {
		r.crs, r.crsLine = c, r.line
	}
	r.crsText = text
	return nil
}

func (r *reader) readPlanRow() error {
	if r.planRow {
		return r.fail("leave one of them", "a second row has the role %q, which holds the plan's own members", rolePlan)
	}
	r.planRow = true
	r.plan.Name = textOf(string(r.text(colName)))
	attributes, err := r.attributes()
	if err != nil {
		return err
	}
	for i := range r.lay.columns {
		if r.lay.columns[i].header != schema.PropEpoch || len(r.cells[i].text) == 0 {
			continue
		}
		v, ok := wire.ParseFloat(r.cells[i].text)
		if !ok || v <= 0 {
			return r.fail("write a decimal year such as 2026.5", "the plan's epoch %q is no year", wire.Clip(r.cells[i].text, 40))
		}
		r.plan.Epoch = v
		attributes.Delete(schema.PropEpoch)
	}
	r.plan.Attributes = attributes
	return nil
}

// attributes returns the values of the attribute columns that are not absent,
// in the columns' order or the one that the row tells.
func (r *reader) attributes() (schema.Attributes, error) {
	n := 0
	for i := range r.lay.columns {
		if r.lay.columns[i].kind == colAttribute && len(r.cells[i].text) > 0 {
			n++
		}
	}
	if n == 0 {
		return nil, nil
	}
	out := make(schema.Attributes, 0, n)
	for i := range r.lay.columns {
		c := &r.lay.columns[i]
		if c.kind != colAttribute || len(r.cells[i].text) == 0 {
			continue
		}
		if r.cells[i].trimmed {
			r.warn("spaces-trimmed", r.line, "white space round %q in column %q was taken off", wire.Clip(r.cells[i].text, 40), c.header)
		}
		out = append(out, schema.Attribute{Key: c.key, Value: r.value(r.cells[i].text)})
	}
	text := r.text(colOrder)
	if len(text) == 0 {
		return out, nil
	}
	keys, err := jsontext.Parse(text)
	if err != nil || keys.Kind() != schema.KindList {
		return nil, r.fail("write a JSON list of the keys, or empty the cell", "%q in the column %s is no list", wire.Clip(text, 40), orderColumn)
	}
	rank := make(map[string]int, len(out))
	for i, key := range keys.Items() {
		rank[key.Text()] = i - len(keys.Items())
	}
	sort.SliceStable(out, func(i, j int) bool { return rank[out[i].Key] < rank[out[j].Key] })
	return out, nil
}

// value reads an attribute's cell in the file's manner of writing numbers.
func (r *reader) value(text []byte) schema.Value {
	if r.manner.mark == ',' && bytes.IndexByte(text, ',') >= 0 {
		if plain := r.manner.plain(text); plain != nil {
			if v, ok := schema.Number(string(plain)); ok {
				return v
			}
		}
	}
	return valueOf(string(text))
}

func (r *reader) newFeature() (*schema.Feature, error) {
	if r.parts != nil {
		if err := r.parts.mayGive(r, false); err != nil {
			return nil, err
		}
	}
	if float64(r.seen.features+len(r.plan.Features)) >= r.caps.InputMaxFeatures {
		return nil, r.fail("split it, or raise the limit in a limits file", "there are more features than the limit input_max_features (%.0f)", r.caps.InputMaxFeatures)
	}
	if len(r.block) == 0 {
		const step = 64
		r.block = make([]schema.Feature, step)
	}
	f := &r.block[0]
	r.block = r.block[1:]
	*f = schema.Feature{Role: schema.RoleOther}
	f.Source.Line = r.line
	r.plan.Features = append(r.plan.Features, f)
	return f, nil
}

func (r *reader) countVertices(n int) error {
	r.vertices += n
	if float64(r.vertices) > r.caps.InputMaxVertices {
		return r.fail("split it, or raise the limit in a limits file", "there are more points than the limit input_max_vertices (%.0f)", r.caps.InputMaxVertices)
	}
	return nil
}

// describeFeature fills in what stands beside the geometry.
func (r *reader) describeFeature(f *schema.Feature) error {
	if i := r.lay.at[colID]; i >= 0 {
		f.ID = idOf(string(r.cells[i].text))
	}
	if i := r.lay.at[colName]; i >= 0 {
		f.Name = textOf(string(r.cells[i].text))
	}
	var err error
	if f.Attributes, err = r.attributes(); err != nil {
		return err
	}
	word := string(r.text(colRole))
	if word == "" {
		return nil
	}
	role, ok := schema.ParseRole(word)
	if !ok {
		if role, ok = schema.ParseRole(strings.ToLower(strings.TrimSpace(word))); ok {
			r.warn("role-case", r.line, "the role %q was read as %q", word, role)
		} else {
			r.warn("role-unknown", r.line, "%q is no role; it was kept as an attribute", word)
		}
	}
	if f.Role = role; !ok {
		f.Role = schema.RoleOther
	} else if role == schema.RoleOther {
		if word = string(role); r.filled() == 1 {
			return nil // it is there to make a row
		}
		// Said, which differs from not said.
	}
	if f.Role == schema.RoleOther && !f.Attributes.Has(schema.PropRole) {
		f.Attributes = append(schema.Attributes{{Key: schema.PropRole, Value: schema.String(word)}}, f.Attributes...)
	}
	return nil
}

// wktRow reads a row that is a feature.
func (r *reader) wktRow() (*schema.Feature, error) {
	f, err := r.newFeature()
	if err != nil {
		return nil, err
	}
	if err := r.describeFeature(f); err != nil {
		return nil, err
	}
	if f.Geometry, err = r.geometry(); err == nil {
		r.outlines(f.Geometry)
	}
	return f, err
}

// outlines tells geometries in other columns of the row than the one that was
// read, unless they are the same.
func (r *reader) outlines(read geom.T) {
	for _, i := range r.lay.outline {
		text := bytes.TrimSpace(r.cells[i].text)
		if _, after, ok := bytes.Cut(text, []byte(";")); ok && len(text) > 5 && bytes.EqualFold(text[:5], []byte("SRID=")) {
			text = after
		}
		if len(text) == 0 || bytes.Equal(text, r.text(colWKT)) {
			continue
		}
		other, err := (&wktReader{nesting: int(r.caps.InputMaxNesting)}).parse(text)
		if err != nil || countVertices(other) == 0 {
			continue
		}
		if r.rescale(other); !sameGround(read, other) {
			r.warn("geometry-second", r.line, "the column %q holds a geometry that is another than the one in the column %q, which was read: is something drawn there that is missing?",
				r.lay.columns[i].header, r.lay.columns[r.lay.at[colWKT]].header)
		}
	}
}

// sameGround reports whether two geometries have the same points in plan, in the
// same order.
func sameGround(a, b geom.T) bool {
	if a == nil || b == nil {
		return a == b
	}
	ca, oka := a.(*geom.GeometryCollection)
	cb, okb := b.(*geom.GeometryCollection)
	if oka && okb {
		return slices.EqualFunc(ca.Geoms(), cb.Geoms(), sameGround)
	}
	if oka || okb {
		return false
	}
	p, q := a.FlatCoords(), b.FlatCoords()
	m, n := a.Stride(), b.Stride()
	if len(p)/m != len(q)/n || !slices.Equal(a.Ends(), b.Ends()) && m == n {
		return false
	}
	for i := range len(p) / m {
		if p[i*m] != q[i*n] || p[i*m+1] != q[i*n+1] {
			return false
		}
	}
	return true
}

// geometry reads the row's wkt cell; nil for an empty one.
func (r *reader) geometry() (geom.T, error) {
	text := r.text(colWKT)
	if len(text) == 0 {
		return nil, nil
	}
	if len(text) > 5 && bytes.EqualFold(text[:5], []byte("SRID=")) {
		i := bytes.IndexByte(text, ';')
		if i < 0 {
			return nil, r.fail("write SRID=25832;POINT (...)", "no semicolon ends %q", wire.Clip(text, 40))
		}
		if err := r.foundCRS(string(text[5:i])); err != nil {
			return nil, err
		}
		text = text[i+1:]
	}
	before := r.wkt.measures
	g, err := r.wkt.parse(text)
	if err != nil {
		return nil, r.fail("", "%s: %v", r.lay.columns[r.lay.at[colWKT]].header, err)
	}
	if n := r.wkt.measures - before; n > 0 {
		r.tally.AddN("measure", n, r.line, "", "measures (M) are no part of a plan; they were left out")
	}
	if r.scale != 1 || r.heightScale != 1 {
		r.rescale(g)
	}
	return g, r.countVertices(countVertices(g))
}

func countVertices(g geom.T) int {
	if c, ok := g.(*geom.GeometryCollection); ok {
		n := 0
		for _, part := range c.Geoms() {
			n += countVertices(part)
		}
		return n
	}
	return len(g.FlatCoords()) / g.Stride()
}

// rescale turns a geometry that was just read from the file's unit into the
// plan's, in place.
func (r *reader) rescale(g geom.T) {
	if c, ok := g.(*geom.GeometryCollection); ok {
		for _, part := range c.Geoms() {
			r.rescale(part)
		}
		return
	}
	flat, stride := g.FlatCoords(), g.Stride()
	for i := 0; i+stride <= len(flat); i += stride {
		flat[i] *= r.scale
		flat[i+1] *= r.scale
		if stride > 2 {
			flat[i+2] *= r.heightScale
		}
	}
}

// finish settles the CRS and checks what can only be checked with it.
func (r *reader) finish() error {
	p := r.plan
	if r.parts != nil {
		if err := r.parts.mayGive(r, true); err != nil {
			return err
		}
	}
	r.seen.add(p.Features, r.mayBeDegrees())
	p.CRS = r.crs
	if r.beside == nil && r.o.CRSBeside && r.crs != nil {
		r.beside, r.o.CRS = r.o.CRS, nil
	}
	if r.beside != nil && r.crs != nil && !r.beside.Equal(r.crs) {
		r.warn("crs-second", r.crsLine, "the rows say %s, which was read, and the .prj beside the file %s: which of the two the coordinates are in is not known; take the wrong one away", r.crs.ID(), r.beside.ID())
	}
	if told := r.o.CRS; told != nil {
		if r.crs != nil && !told.Equal(r.crs) {
			r.warn("crs-overridden", r.crsLine, "the file says %s; the coordinates were read as %s, as asked", r.crs.ID(), told.ID())
		}
		p.CRS = told
	}
	if p.Epoch == 0 {
		p.Epoch = r.o.Epoch
	}
	if p.CRS == nil && r.scale != 1 {
		// A list in unknown coordinates is a drawing: its marks are in its
		// unit.
		p.Attributes.Set(planDrawing, schema.Object(schema.Attributes{
			{Key: "unit", Value: schema.String(strings.Replace(r.planeUnit, "foot", "ft", 1))},
			{Key: "unit_m", Value: schema.Float(r.scale)},
		}))
	}
	switch {
	case r.lay.degrees && p.CRS == nil:
		p.CRS = crs.WGS84()
		if !r.lay.own {
			r.warn("crs-assumed", 0, "the file names no CRS; its degrees were taken to be WGS 84")
		}
	case r.lay.degrees && !p.CRS.IsDegrees():
		return &wire.InputError{File: r.o.Name, Line: r.firstLine, Problem: fmt.Sprintf("the columns hold longitude and latitude, but %s is not in degrees", p.CRS.ID()),
			Mend: "name the CRS that the degrees are in, such as OGC:CRS84"}
	case r.lay.plane && p.CRS != nil && p.CRS.IsDegrees():
		return &wire.InputError{File: r.o.Name, Line: r.firstLine, Problem: fmt.Sprintf("the columns hold easting and northing, but %s is in degrees", p.CRS.ID()),
			Mend: "name the grid that the lengths are in, such as EPSG:25832"}
	case r.mayBeDegrees() && r.seen.lookLikeDegrees():
		return &wire.InputError{File: r.o.Name, Line: r.firstLine, Problem: "the file does not say which CRS its coordinates are in, and they look like degrees, not metres",
			Mend: "say --from OGC:CRS84 if x is the longitude, --from EPSG:4326 if x is the latitude; if they are lengths, say --units m"}
	case p.CRS == nil && r.seen.features > 0:
		hint := ""
		if r.seen.box.degrees() {
			hint = "; the numbers could be degrees"
		}
		r.warn("crs-unknown", 0, "the file does not say which CRS its coordinates are in%s", hint)
	}
	if p.CRS != nil && p.CRS.IsDegrees() && (!r.lay.degrees || r.lay.at[colWKT] >= 0) {
		if err := r.checkDegrees(); err != nil {
			return err
		}
	}
	if !r.lay.own {
		return r.checkArea()
	}
	return nil
}

// checkArea holds the middle of a foreign file's coordinates against the CRS's
// area of use. What lies in it only with the axes swapped is refused, because a
// plan on the wrong side of the country looks like any other.
func (r *reader) checkArea() error {
	p := r.plan
	b := r.seen.box
	if p.CRS == nil || b.empty() {
		return nil
	}
	x, y := (b.minX+b.maxX)/2, (b.minY+b.maxY)/2
	covers := func(x, y float64) bool {
		at := [3]float64{x, y}
		stride := 2
		if p.CRS.Kind() == crs.KindGeocentric {
			return true // nothing to swap, and no height to go by
		}
		return p.CRS.ToGeodetic(at[:stride], stride) == nil && p.CRS.Covers(crs.Degrees(at[0]), crs.Degrees(at[1]))
	}
	if covers(x, y) {
		return nil
	}
	if covers(y, x) {
		mend := "swap the two columns"
		if r.spec != nil {
			mend = "name the columns the other way round, such as PENZD for PNEZD"
		}
		return &wire.InputError{File: r.o.Name, Line: r.firstLine, Problem: fmt.Sprintf("the coordinates (about %.10g, %.10g) lie outside the area of %s (%s), but inside it with east and north swapped",
			x, y, p.CRS.ID(), p.CRS.AreaName()), Mend: mend}
	}
	if done, err := r.westSouth(x, y); done || err != nil {
		return err
	}
	r.warn("outside-area", 0, "the coordinates (about %.10g, %.10g) lie outside the area of %s (%s)", x, y, p.CRS.ID(), p.CRS.AreaName())
	return nil
}

// westSouth turns a list whose columns x and y are those of a grid that counts
// west and south, as a South African Lo list's are, and tells of it. Columns by
// other names that would fit only so are refused: who wrote easting over them
// meant something else.
func (r *reader) westSouth(x, y float64) (done bool, err error) {
	p := r.plan
	swap, ok := p.CRS.FromWestSouth(x, y)
	if !ok {
		if p.CRS.JudgeAxes([]float64{x, y}, 2) == crs.AxesSigned {
			return false, &wire.InputError{File: r.o.Name, Line: r.firstLine, Problem: fmt.Sprintf("the coordinates (about %.10g, %.10g) lie inside the area of %s (%s) only with signs changed",
				x, y, p.CRS.ID(), p.CRS.AreaName()), Mend: "call columns that count west and south westing and southing, put the minus signs in, or name the grid that counts that way"}
		}
		return false, nil
	}
	if r.lay.plane || r.lay.degrees || r.lay.x < 0 {
		return false, &wire.InputError{File: r.o.Name, Line: r.firstLine, Problem: fmt.Sprintf("the coordinates (about %.10g, %.10g) lie inside the area of %s (%s) only as westing and southing",
			x, y, p.CRS.ID(), p.CRS.AreaName()), Mend: "call the columns westing and southing, or x and y as the grid does"}
	}
	r.turn(p.Features, swap)
	axes := p.CRS.Axes()
	r.warn("axes-west-south", 0, "the columns count %s (%s) and %s (%s), as the axes of %s do; they were turned to east and north",
		axes[0].Direction, axes[0].Abbreviation, axes[1].Direction, axes[1].Abbreviation, p.CRS.ID())
	return true, nil
}

// turn changes features that are kept; those that are not are turned when they
// are read again.
func (r *reader) turn(features []*schema.Feature, swap bool) {
	if r.parts != nil {
		r.parts.turnBack(swap)
		return
	}
	for _, f := range features {
		if f.Geometry != nil {
			turn(f.Geometry, swap)
		}
	}
}

// turn changes the signs of a geometry's coordinates, after exchanging them
// when swap says so.
func turn(g geom.T, swap bool) {
	if c, ok := g.(*geom.GeometryCollection); ok {
		for _, part := range c.Geoms() {
			turn(part, swap)
		}
		return
	}
	flat, stride := g.FlatCoords(), g.Stride()
	for i := 0; i+stride <= len(flat); i += stride {
		x, y := flat[i], flat[i+1]
		if swap {
			x, y = y, x
		}
		flat[i], flat[i+1] = 0-x, 0-y
	}
}

// checkDegrees refuses coordinates that are no degrees.
func (r *reader) checkDegrees() error {
	f := r.seen.beyond
	if f == nil {
		return nil
	}
	box := noBox()
	box.add(f.Geometry)
	mend := "check the CRS"
	if turned := (boxOf(box.minY, box.minX, box.maxY, box.maxX)); turned.degrees() {
		mend = "longitude comes before latitude; they look swapped"
	}
	return r.failAt(f.Source.Line, mend, "the coordinates of %q reach from %v, %v to %v, %v, which are no longitude and latitude", f.Label(), box.minX, box.minY, box.maxX, box.maxY)
}

// mayBeDegrees reports whether nothing says what the coordinates are.
func (r *reader) mayBeDegrees() bool {
	return r.crs == nil && r.o.CRS == nil && !r.lay.degrees && !r.lay.plane && r.o.Unit == "" && r.planeUnit == "" && !r.lay.own
}

// facts are what the features say together.
type facts struct {
	features  int
	box       box
	beyond    *schema.Feature // the first whose coordinates are no degrees
	fine, all int             // coordinates with five or more decimals, and all
}

func noFacts() facts { return facts{box: noBox()} }

// add takes features in; decimals says that theirs are to be counted.
func (a *facts) add(features []*schema.Feature, decimals bool) {
	a.features += len(features)
	for _, f := range features {
		b := noBox()
		b.add(f.Geometry)
		if b.empty() {
			continue
		}
		if a.beyond == nil && !b.degrees() {
			a.beyond = f
		}
		a.box.minX, a.box.maxX = min(a.box.minX, b.minX), max(a.box.maxX, b.maxX)
		a.box.minY, a.box.maxY = min(a.box.minY, b.minY), max(a.box.maxY, b.maxY)
		if decimals {
			a.count(f.Geometry)
		}
	}
}

func (a *facts) count(g geom.T) {
	if c, ok := g.(*geom.GeometryCollection); ok {
		for _, part := range c.Geoms() {
			a.count(part)
		}
		return
	}
	flat, stride := g.FlatCoords(), g.Stride()
	for i := 0; i+stride <= len(flat); i += stride {
		for _, v := range flat[i : i+2] {
			a.all++
			if v != wire.Round(v, 4) {
				a.fine++
			}
		}
	}
}

// lookLikeDegrees reports whether numbers are likely longitudes and latitudes:
// within their range, and with five or more decimals in most, which nobody
// measures of a metre; or little apart for how far they are from 0.
func (a *facts) lookLikeDegrees() bool {
	b := a.box
	if !b.degrees() {
		return false
	}
	const most, far = 0.5, 5
	size := max(b.maxX-b.minX, b.maxY-b.minY)
	near := size > 0 && size < most && math.Abs(b.minX+b.maxX)/2 > far*size && math.Abs(b.minY+b.maxY)/2 > far*size
	return a.fine*2 > a.all || near && a.fine > 0
}

// box is a bounding box; it starts inside out.
type box struct{ minX, minY, maxX, maxY float64 }

func boxOf(minX, minY, maxX, maxY float64) box { return box{minX, minY, maxX, maxY} }

func noBox() box { return box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)} }

func (b *box) add(g geom.T) {
	switch g := g.(type) {
	case nil:
	case *geom.GeometryCollection:
		for _, part := range g.Geoms() {
			b.add(part)
		}
	default:
		flat, stride := g.FlatCoords(), g.Stride()
		for i := 0; i+stride <= len(flat); i += stride {
			b.minX, b.maxX = min(b.minX, flat[i]), max(b.maxX, flat[i])
			b.minY, b.maxY = min(b.minY, flat[i+1]), max(b.maxY, flat[i+1])
		}
	}
}

func (b box) empty() bool { return b.minX > b.maxX }

func (b box) degrees() bool {
	return !b.empty() && b.minX >= -180 && b.maxX <= 180 && b.minY >= -90 && b.maxY <= 90
}
