// Reading a drawing into a plan.

package dxf

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"
	"sync"

	"github.com/twpayne/go-geom"

	"swardline/convert/dxf/curve"
	"swardline/convert/wire"
	"swardline/convert/wire/charset"
	"swardline/crs"
	"swardline/schema"
)

const formatName = "dxf"

// reader holds one drawing while it is read.
type reader struct {
	data   []byte
	binary bool // data is what a binary drawing was turned into
	o      wire.ReadOptions
	caps   schema.Limits
	tally  wire.Tally

	head         header
	text         *decoder
	layersRaw    map[string]*layer
	layersByName map[string]*layer
	layerOrder   []*layer
	blocks       map[string]*block
	blockOrder   []*block
	entities     []section
	ours         bool
	planRecord   schema.Value
	records      map[int]schema.Value
	objects      objects
	geo          *geoData // nil when the drawing does not say where it stands

	unit        Unit
	crsUnit     float64 // metres in a unit of the plan's plane coordinates
	chord       float64 // metres
	chordTold   bool
	wantHandles bool

	out          func(*drawn) error
	gs           []group
	shape        shape
	drawn        drawn
	points       []point
	names        map[string]string
	skipped      map[string]tallyAt
	skippedOrder []string
	pictures     []string          // layers of pictures
	lineSays     map[string]string // what line types are described as, by their names in capitals
	linesHeard   map[string]bool   // those that were said
	passed       schema.Plan       // holds what was passed over, by layer
	paper        int
	onPaper      []paperThing
	clips        map[string]*clipped // by the block's name in capitals
	clipOrder    []string
	visits       int
	vertexCount  float64
	bad          error
}

// Detect reports whether the first bytes of a file can only be a drawing: the
// first pair, after comments, opens a section, or the file says that it is a
// binary one.
func Detect(head []byte) bool {
	head = bytes.TrimPrefix(head, []byte("\xef\xbb\xbf"))
	if isBinary(head) || isDWG(head) {
		return true // Read refuses both with what to do
	}
	if bytes.IndexByte(head, '\n') < 0 {
		head = bytes.ReplaceAll(head, []byte("\r"), []byte("\n"))
	}
	s := scanner{data: head}
	for s.next() {
		if s.code != 999 {
			return s.is("SECTION")
		}
	}
	return false
}

// isBinary reports whether the file is a binary drawing: its mark is 22 bytes,
// the name of a program and these.
func isBinary(head []byte) bool {
	return bytes.Index(head[:min(len(head), 40)], []byte(binaryMark)) > 0
}

// isDWG reports whether the file is a DWG, the format that DXF is the text of:
// AC and four digits.
func isDWG(head []byte) bool {
	if len(head) < 6 || head[0] != 'A' || head[1] != 'C' {
		return false
	}
	for _, c := range head[2:6] {
		if c < '0' || c > '9' {
			return false
		}
	}
	return true
}

// open prepares a reader: it checks the form of the file and reads everything
// but the entities of the model space.
func open(data []byte, o wire.ReadOptions) (*reader, error) {
	r := &reader{o: o, caps: o.Caps(), crsUnit: 1,
		layersRaw: map[string]*layer{}, layersByName: map[string]*layer{}, blocks: map[string]*block{},
		records: map[int]schema.Value{}, names: map[string]string{}, skipped: map[string]tallyAt{},
		objects: objects{dictionaries: map[string]map[string]string{}, frames: map[string]*frame{}, inverted: map[string]bool{}, entries: map[string]string{}}}
	refuse := func(problem, mend string) (*reader, error) { return nil, r.fault(0, problem, mend) }
	if float64(len(data)) > r.caps.InputMaxBytes || uint64(len(data)) > math.MaxUint32 {
		return refuse(fmt.Sprintf("the file has %d bytes; the limit input_max_bytes is %.0f", len(data), r.caps.InputMaxBytes), "split it, or raise the limit in a limits file")
	}
	if isDWG(data) {
		return refuse("this is a DWG drawing, which is not read", "ask the sender for a DXF of it (2000 or later), with its unit, its grid and the layers to be used")
	}
	if isBinary(data) {
		text, err := fromBinary(data)
		if err != nil {
			return nil, r.named(err)
		}
		if uint64(len(text)) > math.MaxUint32 {
			return refuse("the binary drawing is too large", "split it")
		}
		r.binary, data = true, text
	}
	data, err := wire.CheckText(data, o.Name, &r.tally)
	if err != nil {
		return nil, r.named(err)
	}
	if bytes.IndexByte(data[:min(len(data), 4096)], '\n') < 0 {
		data = bytes.ReplaceAll(data, []byte("\r"), []byte("\n"))
	}
	r.data = data[:len(data):len(data)]
	list, eof, stray, err := sections(r.data)
	if err != nil {
		return nil, r.named(err)
	}
	if len(list) == 0 {
		return refuse("no section starts anywhere, so this is no DXF", "export the drawing again as an ASCII DXF")
	}
	if !eof {
		r.tally.Add("eof-missing", 0, "", "the closing EOF is missing; all sections are whole")
	}
	if stray > 0 {
		where := fmt.Sprintf("line %d", stray)
		if r.binary {
			where = fmt.Sprintf("pair %d", (stray+1)/2)
		}
		r.tally.Add("section-none", stray, "", "from %s on something stands outside all sections, or behind the closing EOF, and was not read: export the drawing again, or take out what does not belong to it", where)
	}
	for _, step := range []struct {
		name string
		f    func(section) error
	}{{"HEADER", r.readHeader}, {"", func(section) error { return r.startText() }}, {"TABLES", r.readTables}, {"BLOCKS", r.readBlocks}, {"OBJECTS", r.readObjects}} {
		if step.name == "" {
			_ = step.f(section{}) // never fails: it only chooses how text is decoded
			continue
		}
		for _, c := range list {
			if c.name == step.name {
				if err := step.f(c); err != nil {
					return nil, r.named(err)
				}
			}
		}
	}
	for _, c := range list {
		switch {
		case c.name == "ENTITIES":
			r.entities = append(r.entities, c)
		case !slices.Contains(knownSections, c.name):
			if s := c.scanner(r.data); s.holds() {
				r.tally.Add("section-unknown", c.line, "", "the section %q is none of a drawing's, and what stands in it was not read: export the drawing again", clip(c.name))
			}
		}
	}
	r.hearGroups()
	r.hearProperties()
	r.geo = r.theGeo()
	r.ours = r.ours || r.layersAreOurs()
	if !eof && len(r.entities) == 0 {
		return refuse("the file ends before its section ENTITIES", mendTruncated)
	}
	return r, nil
}

// knownSections are those that a drawing may have; what lies in the first six on
// the ground is read (from memory, for versions R12 to R2018).
var knownSections = strings.Fields("HEADER CLASSES TABLES BLOCKS ENTITIES OBJECTS THUMBNAILIMAGE ACDSDATA")

// startText chooses how text is decoded, once the header is known.
func (r *reader) startText() error {
	d, known := newDecoder(r.head.version, r.head.codePage)
	if !known && !d.utf8 {
		r.tally.Add("code-page-unknown", 0, "", "the code page %q of the header is not known; texts are read as ANSI_1252", clip(r.head.codePage))
	}
	if r.o.Encoding != "" {
		page, err := charset.Lookup(r.o.Encoding)
		if err != nil {
			return &wire.InputError{File: r.o.Name, Problem: err.Error()}
		}
		d.tell(page)
	}
	r.text = d
	return nil
}

// named puts the file's name into an error, and the number of the pair where a
// binary drawing has no lines.
func (r *reader) named(err error) error {
	if in, ok := err.(*wire.InputError); ok {
		if in.File == "" {
			in.File = r.o.Name
		}
		if r.binary && in.Line > 0 {
			in.Path, in.Line, in.Column = fmt.Sprintf("pair %d", (in.Line+1)/2), 0, 0
		}
	}
	return err
}

// draw runs over the entities of the model space.
func (r *reader) draw(base affine) error {
	pl := &place{m: base, colour: 7, rgb: -1}
	for _, c := range r.entities {
		if err := r.each(c, false, func(sh *shape) error { return r.emit(sh, pl) }); err != nil {
			return r.named(err)
		}
	}
	return nil
}

// annotations are types of entities that tell of a drawing and are nothing on
// the ground.
var annotations = strings.Fields("DIMENSION ARC_DIMENSION LARGE_RADIAL_DIMENSION TOLERANCE VIEWPORT ATTDEF ACAD_TABLE IMAGE WIPEOUT OLEFRAME OLE2FRAME RAY XLINE LIGHT SUN SECTION")

// closing adds the warnings that only the whole drawing shows.
func (r *reader) closing() {
	if len(r.skippedOrder) > 0 {
		names := append([]string(nil), r.skippedOrder...)
		sort.SliceStable(names, func(i, j int) bool { return r.skipped[names[i]].count > r.skipped[names[j]].count })
		total := 0
		var parts []string
		for _, n := range names {
			total += r.skipped[n].count
			if len(parts) < 12 {
				parts = append(parts, fmt.Sprintf("%d %s", r.skipped[n].count, n))
			}
		}
		if len(names) > len(parts) {
			parts = append(parts, fmt.Sprintf("and %d further types", len(names)-len(parts)))
		}
		kind := "entity-left-out"
		switch {
		case !slices.ContainsFunc(names, func(n string) bool { return !slices.Contains(dimensions, n) }):
			kind = "dimension-left-out"
		case !slices.ContainsFunc(names, func(n string) bool { return !slices.Contains(annotations, n) }):
			kind = "annotation-left-out"
		}
		r.tally.AddN(kind, total, r.skipped[r.skippedOrder[0]].line, "", "entities of types that are no lines, areas, points or texts were left out: %s", strings.Join(parts, ", "))
	}
	r.tellClips()
	if r.paper > 0 {
		r.tally.AddN("paper-space", r.paper, 0, "", "entities of the paper space (sheets, frames, title blocks) were left out")
	}
	if r.text.guessed > 0 {
		promised := "UTF-8"
		if !r.text.utf8 {
			promised = "the code page " + r.head.codePage
			if r.head.codePage == "" {
				promised = "a code page, since it is older than R2007"
			}
		}
		r.tally.AddN("encoding", r.text.guessed, 0, "", "texts are not in the encoding that the drawing promises (%s); they were read as what they are by their bytes", promised)
	}
}

// Read reads a drawing, ASCII or binary, R12 to R2018. Coordinates come out in
// metres, x east and y north as drawn, or in the unit of o.CRS when that is
// given; heights in metres. The unit is o.Unit, else the header's; a drawing
// without either is an error. See the package's comment for what each entity
// becomes. Errors are *wire.InputError.
func Read(data []byte, o wire.ReadOptions) (*schema.Plan, []wire.Warning, error) {
	r, err := open(data, o)
	if err != nil {
		return nil, nil, err
	}
	r.wantHandles = true
	r.chord = curve.DefaultChord
	if o.ChordM != 0 {
		if !(o.ChordM > 0) || math.IsInf(o.ChordM, 0) {
			return nil, nil, r.fault(0, fmt.Sprintf("the chord error must be more than 0 m, got %g", o.ChordM), "")
		}
		r.chord, r.chordTold = o.ChordM, true
	}
	plan := &schema.Plan{Source: schema.Source{File: o.Name, Format: formatName}, CRS: o.CRS}
	if o.CRS != nil && o.CRS.IsDegrees() {
		return nil, nil, r.fault(0, fmt.Sprintf("a drawing has lengths, but the CRS %s has degrees", o.CRS.ID()), "name the grid that the drawing was made in, or place it from marks")
	}
	if o.CRS != nil && o.CRS.Kind() == crs.KindGeocentric {
		return nil, nil, r.fault(0, fmt.Sprintf("a drawing is flat, but %s counts from the middle of the earth", o.CRS.ID()), "name the grid that the drawing was made in, or place it from marks")
	}
	from, err := r.chooseUnit()
	if err != nil {
		return nil, nil, err
	}
	if r.planRecord.Kind() == schema.KindObject {
		r.applyPlanRecord(plan)
	} else {
		plan.Attributes = schema.Attributes{{Key: schema.PlanDrawing, Value: schema.Object(schema.Attributes{
			{Key: "unit", Value: schema.String(r.unit.Name)},
			{Key: "unit_m", Value: schema.Float(r.unit.Metres)},
			{Key: "unit_from", Value: schema.String(from)},
			{Key: "version", Value: schema.String(r.head.version)},
		})}}
	}
	offset, err := r.storedOffset()
	if err != nil {
		return nil, nil, err
	}
	said, base := r.placeByGeo(plan.CRS, offset)
	if said != nil {
		plan.CRS, offset = said.crs, said.m.t
	}
	if plan.CRS != nil && plan.CRS.UnitMetres() > 0 {
		r.crsUnit = plan.CRS.UnitMetres()
	}
	c := collector{r: r, low: point{math.Inf(1), math.Inf(1)}, high: point{math.Inf(-1), math.Inf(-1)}}
	c.layers.on = r.layersAreOurs()
	r.out = c.take
	if err := r.draw(base); err != nil {
		return nil, nil, err
	}
	if err := c.checkSize(offset, from); err != nil {
		return nil, nil, err
	}
	c.finishLeaders()
	r.tellPaper(c.low, c.high)
	r.closing()
	for _, layer := range r.pictures {
		plan.AddPicture(layer)
	}
	r.hearComments()
	plan.Passed, plan.Beside = r.passed.Passed, r.passed.Beside
	for _, what := range r.passed.Unheard {
		plan.AddUnheard(what)
	}
	c.layers.tell(&r.tally)
	plan.Features = append(r.finishOwn(&c.own), c.withoutFarPoints()...)
	return plan, r.tally.Warnings(), nil
}

// chooseUnit sets the unit and says where it comes from.
func (r *reader) chooseUnit() (from string, err error) {
	stated, known := UnitByCode(r.head.insUnits)
	known = known && r.head.hasUnits
	geo := r.geo
	if geo != nil && !geo.sound {
		geo = nil
	}
	differs := func(u Unit) bool { return geo != nil && math.Abs(geo.metres/u.Metres-1) > 1e-9 }
	if r.o.Unit != "" {
		if r.unit, err = UnitByName(r.o.Unit); err != nil {
			return "", r.fault(0, err.Error(), "")
		}
		if known && stated.Metres != r.unit.Metres {
			r.tally.Add("unit-overridden", 0, "", "the header says that one unit is %s; %s was asked for and holds", stated.said(), r.unit.said())
		}
		if differs(r.unit) && (!known || differs(stated)) {
			r.tally.Add("unit-overridden", 0, "", "the drawing's GEODATA says that one unit is %s; %s was asked for and holds", geo.unit().said(), r.unit.said())
		}
		return "told", nil
	}
	const ask = "ask who drew it, and say --units m, mm, ft, ftUS or in"
	if known {
		r.unit = stated
		if differs(stated) {
			problem := fmt.Sprintf("the drawing's $INSUNITS says that one unit is %s, its GEODATA that it is %s", stated.said(), geo.unit().said())
			if _, err := geo.place(stated); err == nil && r.o.CRS == nil && !r.o.AsDrawn {
				return "", r.fault(geo.line, problem, ask)
			}
			r.tally.Add("unit-in-two-ways", geo.line, "", "%s; the first holds. Check a length that is known, and say --units if it is wrong", problem)
		}
		return "$INSUNITS", nil
	}
	if geo != nil && (!r.head.hasUnits || r.head.insUnits == 0) {
		r.unit = geo.unit()
		r.tally.Add("unit-from-geodata", geo.line, "", "$INSUNITS does not say what the drawing's unit is; its GEODATA says 1 unit = %s, which holds", r.unit.said())
		return "GEODATA", nil
	}
	hint := ""
	if r.head.hasMeas {
		hint = map[int]string{0: " (its $MEASUREMENT says imperial)", 1: " (its $MEASUREMENT says metric)"}[r.head.measure]
	}
	switch {
	case !r.head.hasUnits:
		return "", r.fault(0, "the drawing does not say what its unit is: $INSUNITS is missing"+hint, ask)
	case r.head.insUnits == 0:
		return "", r.fault(0, "the drawing does not say what its unit is: $INSUNITS is 0"+hint, ask)
	}
	return "", r.fault(0, fmt.Sprintf("the drawing's unit, $INSUNITS %d, is not one of the format's", r.head.insUnits), ask)
}

// The sizes of site that are taken without a word, in metres.
const (
	smallestSite = 1
	largestSite  = 20000
)

// checkSize says when the unit cannot be right, and refuses degrees.
func (c *collector) checkSize(offset point, from string) error {
	r := c.r
	if c.low[0] > c.high[0] {
		return nil
	}
	size := math.Max(c.high[0]-c.low[0], c.high[1]-c.low[1])
	if size > largestSite {
		r.tally.Add("site-large", 0, "", "with 1 unit = %s the drawing is %s across; check its unit", r.unit.said(), length(size))
	}
	if size > 0 && size < smallestSite {
		low, high := c.low, c.high
		for i := range low {
			low[i], high[i] = (low[i]-offset[i])/r.unit.Metres, (high[i]-offset[i])/r.unit.Metres
		}
		ours := r.planRecord.Kind() == schema.KindObject // Write never writes degrees
		if !ours && LooksLikeDegrees(low[0], low[1], high[0], high[1]) {
			problem := fmt.Sprintf("the drawing looks as if it held degrees: its numbers lie between (%.6f, %.6f) and (%.6f, %.6f), which in %s would be a site of %s",
				low[0], low[1], high[0], high[1], r.unit.Name, length(size))
			if from == "told" {
				r.tally.Add("degrees", 0, "", "%s", problem)
				return nil
			}
			return r.fault(0, problem, "have it exported in a grid of metres; if it really is that small, say its unit with --units")
		}
		r.tally.Add("site-small", 0, "", "with 1 unit = %s the drawing is %s across; check its unit", r.unit.said(), length(size))
	}
	return nil
}

// LooksLikeDegrees reports whether the corners of a box of numbers are likely
// longitudes and latitudes: within 180 and 90, less than half a degree across,
// and far from 0 for their size, as no drawing of a small thing is.
func LooksLikeDegrees(x0, y0, x1, y1 float64) bool {
	w, h := x1-x0, y1-y0
	size := math.Max(w, h)
	if !(size > 0) || size > 0.5 || x0 < -180 || x1 > 180 || y0 < -90 || y1 > 90 {
		return false
	}
	return math.Abs(x0+x1)/2 > 5*size && math.Abs(y0+y1)/2 > 5*size
}

// length writes metres for a message.
func length(m float64) string {
	switch {
	case m < 1:
		return fmt.Sprintf("%.3g mm", m*1000)
	case m < 10000:
		return fmt.Sprintf("%.4g m", m)
	}
	return fmt.Sprintf("%.4g km", m/1000)
}

// collector makes features of what is drawn.
type collector struct {
	r         *reader
	features  []*schema.Feature
	own       ownPlan
	layers    layerRoles
	leaders   []pendingLeader
	low, high point

	floats  []float64
	room    []schema.Attribute // attributes are cut from blocks of many
	blank   []schema.Feature
	strings map[string]schema.Value
}

// text returns a text value, made once for each text.
func (c *collector) word(s string) schema.Value {
	if v, ok := c.strings[s]; ok {
		return v
	}
	if c.strings == nil {
		c.strings = map[string]schema.Value{}
	}
	v := schema.String(s)
	if len(c.strings) < 10000 {
		c.strings[s] = v
	}
	return v
}

func (c *collector) grow(p point) {
	for i := 0; i < 2; i++ {
		c.low[i] = math.Min(c.low[i], p[i])
		c.high[i] = math.Max(c.high[i], p[i])
	}
}

// take files one drawn shape.
func (c *collector) take(d *drawn) error {
	r, sh := c.r, d.sh
	if sh.hasOwn {
		if sh.own.notice {
			return nil
		}
		if c.takeOwn(d) {
			return nil
		}
		r.tally.Add("entity-copied", sh.line, "", "the %s in line %d is a copy of an entity that swardline wrote; it is read as a feature of its own", sh.etype, sh.line)
	}
	var g geom.T
	var curves []schema.Value
	switch sh.kind {
	case kindPoint, kindText, kindInsert:
		if !finite(d.at) {
			return r.fault(sh.line, fmt.Sprintf("the %s stands past the range of numbers", sh.etype), "check the drawing's unit and the scale of its blocks")
		}
		if sh.kind != kindInsert {
			c.grow(d.at) // a block's origin may lie far from what it draws
		}
		if sh.kind == kindText && sh.text == "" && sh.etype != "LEADER" {
			r.tally.Add("text-empty", sh.line, "", "the %s in line %d is empty and left out", sh.etype, sh.line)
			return nil
		}
		flat, layout := c.flat([]point{d.at})
		g = geom.NewPointFlat(layout, flat)
	case kindPath:
		ring := d.rings[0]
		for _, p := range ring.points {
			c.grow(p)
		}
		flat, layout := c.flat(ring.points)
		distinct := 0
		if ring.closed {
			distinct = corners(ring.points)
		}
		switch {
		case ring.closed && distinct >= 3:
			g = geom.NewPolygonFlat(layout, flat, []int{len(flat)})
		default:
			if ring.closed {
				r.tally.Add("ring-without-area", sh.line, "", "the %s in line %d is closed, but has fewer than three corners; it is read as a line", sh.etype, sh.line)
			}
			g = geom.NewLineStringFlat(layout, flat)
		}
		if ring.curved {
			curves = append(curves, c.curve(ring))
		}
	case kindArea:
		g, curves = c.area(d)
		if g == nil {
			r.tally.Add("ring-without-area", sh.line, "", "the %s in line %d has no outline with three corners; it is left out", sh.etype, sh.line)
			return nil
		}
	}
	f := c.feature()
	f.Role = schema.RoleOther
	f.Geometry = g
	f.Source.File, f.Source.Format, f.Source.Line, f.Source.Path = r.o.Name, formatName, sh.line, d.block
	c.attributes(f, d, curves)
	c.layers.give(f, d, r)
	c.features = append(c.features, f)
	if sh.etype == "LEADER" {
		c.leaders = append(c.leaders, pendingLeader{f, sh.says, d.end})
	}
	return nil
}

func (c *collector) feature() *schema.Feature {
	if len(c.blank) == 0 {
		c.blank = make([]schema.Feature, 256)
	}
	f := &c.blank[0]
	c.blank = c.blank[1:]
	return f
}

// attributes fills name and attributes of a feature.
func (c *collector) attributes(f *schema.Feature, d *drawn, curves []schema.Value) {
	sh := d.sh
	if cap(c.room)-len(c.room) < 24 {
		c.room = make([]schema.Attribute, 0, 4096)
	}
	start := len(c.room)
	add := func(key string, v schema.Value) { c.room = append(c.room, schema.Attribute{Key: key, Value: v}) }
	add(schema.PropLayer, c.word(d.layer.name))
	if s := d.layer.state(); s != "" {
		add(schema.PropLayerState, c.word(s))
	}
	add(schema.PropEntity, c.word(sh.etype))
	if d.rgb >= 0 {
		add(schema.PropColour, schema.String(hexColour(d.rgb)))
	} else {
		add(schema.PropColour, colourValues()[min(max(d.colour, 0), 256)])
	}
	if t := strings.ToUpper(d.lineType); t != "" && t != "CONTINUOUS" && t != "BYLAYER" && t != "BYBLOCK" {
		add(schema.PropLineType, c.word(d.lineType))
	}
	if d.block != "" {
		add(schema.PropBlock, c.word(d.block))
	}
	if sh.handle != "" {
		add(schema.PropHandle, schema.String(sh.handle))
	}
	if d.hidden {
		add(schema.PropHidden, schema.Bool(true))
	}
	lengthOf := func(key string, v float64) {
		if v != 0 {
			add(key, schema.Float(v*d.scale))
		}
	}
	switch sh.kind {
	case kindText:
		lines := strings.SplitN(sh.text, "\n", 2)
		f.Name = lines[0]
		if len(lines) > 1 {
			add(schema.PropNote, schema.String(sh.text))
		}
		lengthOf(schema.PropTextHeight, sh.height)
		if d.rotation != 0 {
			add(schema.PropRotation, schema.Float(degrees(d.rotation)))
		}
	case kindInsert:
		for _, a := range sh.ins.attribs {
			if strings.EqualFold(a.Key, "NAME") {
				f.Name = a.Value.Text()
			}
		}
		if d.rotation != 0 {
			add(schema.PropRotation, schema.Float(degrees(d.rotation)))
		}
		if s := sh.ins.scale; s != (point{1, 1, 1}) {
			add(schema.PropScale, schema.List(schema.Float(s[0]), schema.Float(s[1]), schema.Float(s[2])))
		}
		if len(sh.ins.attribs) > 0 {
			add(schema.PropAttribs, schema.Object(sh.ins.attribs))
		}
	default:
		lengthOf(schema.PropWidth, sh.width)
	}
	lengthOf(schema.PropThickness, sh.thickness)
	switch {
	case len(curves) == 1 && curves[0].Kind() == schema.KindObject && !isMulti(f.Geometry):
		add(schema.PropCurve, curves[0])
	default:
		for _, v := range curves {
			if v.Kind() == schema.KindObject {
				add(schema.PropCurve, schema.List(curves...))
				break
			}
		}
	}
	f.Attributes = schema.Attributes(c.room[start:len(c.room):len(c.room)])
}

func hexColour(rgb int) string { return fmt.Sprintf("#%06x", rgb&0xffffff) }

func decimal(n int) string { return strconv.Itoa(n) }

func isMulti(g geom.T) bool {
	p, ok := g.(*geom.Polygon)
	if ok {
		return p.NumLinearRings() > 1
	}
	_, ok = g.(*geom.MultiPolygon)
	return ok
}

var colourValues = sync.OnceValue(func() *[257]schema.Value {
	out := new([257]schema.Value)
	for i := range out {
		out[i] = schema.Int(int64(i))
	}
	return out
})

// degrees returns an angle in [0, 360) degrees.
func degrees(rad float64) float64 {
	d := math.Mod(rad*180/math.Pi, 360)
	if d < 0 {
		d += 360
	}
	return d
}

// flat returns the coordinates in the plan's unit. An entity whose heights are
// all 0 is drawn flat and has none.
func (c *collector) flat(points []point) ([]float64, geom.Layout) {
	layout := geom.XY
	for i := range points {
		if points[i][2] != 0 {
			layout = geom.XYZ
			break
		}
	}
	unit := c.r.crsUnit
	flat := c.numbers(len(points) * layout.Stride())
	for _, p := range points {
		if unit != 1 {
			p[0], p[1] = p[0]/unit, p[1]/unit
		}
		if layout == geom.XYZ {
			flat = append(flat, p[0], p[1], p[2])
		} else {
			flat = append(flat, p[0], p[1])
		}
	}
	return flat, layout
}

// numbers returns an empty slice with room for exactly n numbers, small ones
// cut from a block of many: a drawing has millions.
func (c *collector) numbers(n int) []float64 {
	const block = 8192
	if n > block/8 {
		return make([]float64, 0, n)
	}
	if len(c.floats) < n {
		c.floats = make([]float64, block)
	}
	out := c.floats[:0:n]
	c.floats = c.floats[n:]
	return out
}

func (c *collector) curve(q ring) schema.Value {
	k := q.curve
	if c.r.crsUnit != 1 {
		k = k.Scaled(1 / c.r.crsUnit)
	}
	return k.Value()
}

// corners counts the different places of a ring, up to 3.
func corners(points []point) int {
	n := 0
	var seen [3]point
next:
	for _, p := range points {
		for _, q := range seen[:n] {
			if p[0] == q[0] && p[1] == q[1] {
				continue next
			}
		}
		seen[n] = p
		if n++; n == 3 {
			break
		}
	}
	return n
}

// farFromBlock is how far, in metres, the point of an insert may lie from what
// its block draws, and still be a place on the ground; a block that is larger
// has its own size. A choice of this program: a person who looks for a thing at
// its mark sees so far.
const farFromBlock = 100

// withoutFarPoints are the features less the points of inserts that lie far
// from all that their blocks draw, as that of a whole site held by the origin
// of its grid: they are handles, not places. Points with attributes are kept.
func (c *collector) withoutFarPoints() []*schema.Feature {
	out := c.features[:0:0]
	var far *schema.Feature
	n := 0
	for i, f := range c.features {
		if f.Attributes.Get(schema.PropEntity).Text() == "INSERT" && !f.Attributes.Has(schema.PropAttribs) && c.far(i) {
			if n++; n == 1 {
				far = f
			}
			continue
		}
		out = append(out, f)
	}
	if n > 0 {
		at := far.Geometry.FlatCoords()
		c.r.tally.AddN("insert-point-far", n, far.Source.Line, "", "the points that blocks are held by lie far from what the blocks draw, and are left out, such as that of %q at (%.3f, %.3f); what the blocks draw is there", clip(far.Attributes.Get(schema.PropBlock).Text()), at[0], at[1])
	}
	return out
}

// far reports whether the point of the insert with number i lies far from the
// features of its block, which follow it.
func (c *collector) far(i int) bool {
	name := c.features[i].Attributes.Get(schema.PropBlock).Text()
	box := schema.Extent{Empty: true}
	for _, f := range c.features[i+1:] {
		in := f.Attributes.Get(schema.PropBlock).Text()
		insert := f.Attributes.Get(schema.PropEntity).Text() == "INSERT"
		if insert && in == name || in != name && !strings.HasPrefix(in, name+"/") {
			break
		}
		if flat, stride := f.Geometry.FlatCoords(), f.Geometry.Stride(); !insert {
			for k := 0; k < len(flat); k += stride {
				box.Add(flat[k], flat[k+1])
			}
		}
	}
	if box.Empty {
		return false
	}
	p := c.features[i].Geometry.FlatCoords()
	away := [2]float64{}
	for k := range away {
		away[k] = max(box.Min[k]-p[k], p[k]-box.Max[k], 0)
	}
	return math.Hypot(away[0], away[1])*c.r.crsUnit > max(farFromBlock, box.Size()*c.r.crsUnit)
}

// takeOwn files an entity that this program wrote.
func (c *collector) takeOwn(d *drawn) bool {
	own := &d.sh.own
	points := []point{d.at}
	var leaf ownLeaf
	if d.sh.kind == kindPath || d.sh.kind == kindArea {
		points, leaf.closed = d.rings[0].points, d.rings[0].closed
		if d.rings[0].curved {
			leaf.curve = c.curve(d.rings[0])
		}
	} else if !finite(d.at) {
		return false
	}
	c.r.unseen(d)
	c.r.hearLine(d)
	leaf.width, leaf.thick = d.sh.width*d.scale, d.sh.thickness*d.scale
	unit := c.r.crsUnit
	for i, p := range points {
		c.grow(p)
		z := p[2]
		if own.noHeights || own.noHeight[i] {
			z = math.NaN()
		}
		leaf.flat = append(leaf.flat, p[0]/unit, p[1]/unit, z)
	}
	return c.own.take(d, leaf)
}

// nested is a ring of an area on its way to a polygon.
type nested struct {
	ring
	depth, parent int
	area          float64
	low, high     point
}

// holds reports whether a box lies within the ring's own.
func (n *nested) holds(low, high point) bool {
	return low[0] >= n.low[0] && low[1] >= n.low[1] && high[0] <= n.high[0] && high[1] <= n.high[1]
}

// nestRings finds for each ring with an area, the largest first, how many
// others it lies in and which is the smallest of these. each is called with
// every point.
func nestRings(rings []ring, each func(p point)) (list []nested) {
	for _, q := range rings {
		if corners(q.points) < 3 {
			continue
		}
		n := nested{ring: q, parent: -1, area: math.Abs(ringArea(q.points)), low: q.points[0], high: q.points[0]}
		for _, p := range q.points {
			each(p)
			for k := 0; k < 2; k++ {
				n.low[k], n.high[k] = math.Min(n.low[k], p[k]), math.Max(n.high[k], p[k])
			}
		}
		list = append(list, n)
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].area > list[j].area })
	for i := range list {
		for j := i - 1; j >= 0; j-- {
			if list[j].holds(list[i].low, list[i].high) && inside(list[i].points, list[j].points) {
				list[i].parent, list[i].depth = j, list[j].depth+1
				break
			}
		}
	}
	return list
}

// hatched reports whether a ring at a depth bounds what a style of hatch fills:
// style 1 fills the outermost ring but for its holes, style 2 all of it.
func hatched(style, depth int) bool {
	switch style {
	case 1:
		return depth < 2
	case 2:
		return depth < 1
	}
	return true
}

// area nests the rings of an area: a ring inside an even number of others is an
// outer one, inside an odd number a hole of the smallest that holds it.
func (c *collector) area(d *drawn) (geom.T, []schema.Value) {
	list := nestRings(d.rings, c.grow)
	if len(list) == 0 {
		return nil, nil
	}
	var polygons [][]int // shell, holes
	of := make([]int, len(list))
	for i := range list {
		if !hatched(d.hatch, list[i].depth) {
			continue
		}
		if list[i].depth%2 == 0 {
			of[i] = len(polygons)
			polygons = append(polygons, []int{i})
		} else {
			of[i] = of[list[i].parent]
			polygons[of[i]] = append(polygons[of[i]], i)
		}
	}
	var all []point
	var curves []schema.Value
	var counts [][]int
	for _, rings := range polygons {
		var ends []int
		for _, i := range rings {
			all = append(all, list[i].points...)
			ends = append(ends, len(all))
			if list[i].curved {
				curves = append(curves, c.curve(list[i].ring))
			} else {
				curves = append(curves, schema.Null())
			}
		}
		counts = append(counts, ends)
	}
	flat, layout := c.flat(all)
	for _, ends := range counts {
		for i := range ends {
			ends[i] *= layout.Stride()
		}
	}
	if len(counts) == 1 {
		return geom.NewPolygonFlat(layout, flat, counts[0]), curves
	}
	return geom.NewMultiPolygonFlat(layout, flat, counts), curves
}

// ringArea is twice the signed area of a closed ring.
func ringArea(p []point) float64 {
	sum := 0.0
	for i := 1; i < len(p); i++ {
		sum += (p[i-1][0]-p[0][0])*(p[i][1]-p[0][1]) - (p[i][0]-p[0][0])*(p[i-1][1]-p[0][1])
	}
	return sum
}

// inside reports whether ring a lies in ring b: most of its corners do, so that
// rings that touch are nested all the same.
func inside(a, b []point) bool {
	in, out := 0, 0
	step := max(1, len(a)/16)
	for i := 0; i < len(a)-1; i += step {
		if pointInRing(a[i], b) {
			in++
		} else {
			out++
		}
	}
	return in > out
}

// pointInRing counts the crossings of a ray to the east.
func pointInRing(p point, ring []point) bool {
	in := false
	for i := 1; i < len(ring); i++ {
		if above(ring[i-1], ring[i], p) {
			in = !in
		}
	}
	return in
}

// above reports whether the ray from p to the east crosses the line from a to
// b.
func above(a, b, p point) bool {
	return (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(p[1]-a[1])/(b[1]-a[1])*(b[0]-a[0])
}
