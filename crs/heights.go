// Heights: what heights are counted from, and the steps between two references.

package crs

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// The table epsg/heights.tsv.gz is written by crs/gen: gzip-compressed lines,
// fields parted by tabs, the first a letter.
//
//	V code datum metres-in-a-unit 1-when-depths extents name
//	C code horizontal vertical name
//	G code source(geodetic or vertical) target(vertical) accuracy files name

// vertical is a vertical CRS: gravity-related heights, or depths.
type vertical struct {
	code  int // EPSG code, 0 when it is not one of the registry
	datum int // code of the vertical datum, 0 when unknown
	name  string
	unit  float64 // metres in one unit
	down  bool    // depths, counted downwards
}

// metres is the height upwards in metres.
func (v *vertical) metres(z float64) float64 {
	if v.down {
		z = -z
	}
	return z * v.unit
}

// own is the inverse of metres.
func (v *vertical) own(m float64) float64 {
	if v.down {
		m = -m
	}
	return m / v.unit
}

// heightGridStep is a registry step by a grid of heights.
type heightGridStep struct {
	code     int
	source   int // datum of a geodetic CRS, 0 when the source is vertical
	from     *vertical
	to       *vertical
	accuracy float64 // metres, NaN when not stated
	files    []string
	name     string
}

type heightTables struct {
	verticals map[int]*vertical
	names     map[string]*vertical
	compounds map[int][2]int // code to horizontal and vertical
	codes     map[[2]int]int // and back, the lowest
	titles    map[int]string
	extents   map[int]string // of a vertical, codes parted by commas
	steps     []*heightGridStep
}

// heightTable opens the table on first use.
var heightTable = sync.OnceValue(func() *heightTables {
	t := &heightTables{verticals: map[int]*vertical{}, names: map[string]*vertical{}, compounds: map[int][2]int{}, codes: map[[2]int]int{}, titles: map[int]string{}, extents: map[int]string{}}
	g := geodeticTables()
	for line := range strings.Lines(openTable("heights")) {
		f := strings.Split(strings.TrimSuffix(line, "\n"), "\t")
		switch f[0] {
		case "V":
			v := &vertical{code: integer(f[1]), datum: integer(f[2]), unit: num(f[3]), down: f[4] == "1", name: f[6]}
			t.extents[v.code] = f[5]
			for _, exact := range []float64{0.3048, 1200.0 / 3937} {
				if math.Abs(v.unit-exact) < 1e-12 {
					v.unit = exact
				}
			}
			t.verticals[v.code] = v
			for _, key := range []string{squeeze(v.name), squeeze(strings.TrimSuffix(v.name, " height"))} {
				if t.names[key] == nil {
					t.names[key] = v
				}
			}
		case "C":
			parts := [2]int{integer(f[2]), integer(f[3])}
			t.compounds[integer(f[1])], t.titles[integer(f[1])] = parts, f[4]
			if t.codes[parts] == 0 {
				t.codes[parts] = integer(f[1])
			}
		case "G":
			s := &heightGridStep{code: integer(f[1]), to: t.verticals[integer(f[3])], accuracy: math.NaN(), files: strings.Split(f[5], "|"), name: f[6]}
			if f[4] != "" && f[4] != "999.0" {
				s.accuracy = num(f[4])
			}
			if r, ok := g.crs[integer(f[2])]; ok {
				s.source = r.datum
			} else if s.from = t.verticals[integer(f[2])]; s.from == nil {
				continue
			}
			if s.to != nil {
				t.steps = append(t.steps, s)
			}
		}
	}
	return t
})

// Heights says what heights are counted from. The zero Heights is not told.
type Heights struct {
	v           *vertical
	ellipsoidal bool
}

// Ellipsoidal are heights above the ellipsoid of the CRS.
var Ellipsoidal = Heights{ellipsoidal: true}

// Told reports whether anybody says what the heights are counted from.
func (h Heights) Told() bool { return h.v != nil || h.ellipsoidal }

// ID is the text that ParseHeights reads: "EPSG:5709", "ellipsoidal", or the
// name in quotes of a reference of no registry; "" when not told.
func (h Heights) ID() string {
	switch {
	case h.ellipsoidal:
		return "ellipsoidal"
	case h.v == nil:
		return ""
	case h.v.code != 0:
		return "EPSG:" + strconv.Itoa(h.v.code)
	}
	return strconv.Quote(h.v.name)
}

// Up is what one of the heights is in metres upwards: 1 for most and where nothing
// is told, 0.3048 for feet, -1 for depths.
func (h Heights) Up() float64 {
	if h.v == nil {
		return 1
	}
	return h.v.metres(1)
}

// Name is the name for people: "NAP height", "ellipsoidal heights".
func (h Heights) Name() string {
	switch {
	case h.ellipsoidal:
		return "ellipsoidal heights"
	case h.v == nil:
		return "heights whose reference is not told"
	}
	return h.v.name
}

// areas are the registry's areas of use of a vertical system; none where it is not one
// of the registry.
func (h Heights) areas() []areaBox {
	if h.v == nil {
		return nil
	}
	t, code := heightTable(), h.v.code
	if code == 0 {
		v := t.names[squeeze(h.v.name)]
		if v == nil {
			return nil
		}
		code = v.code
	}
	return extentsOf(t.extents[code])
}

// NearArea reports whether a place lies in the box of the registry's area of use of the
// vertical system, or no more than so many degrees beside it. What has no known area is
// used everywhere.
func (h Heights) NearArea(lon, lat, beside Degrees) bool {
	all := h.areas()
	for _, e := range all {
		e.south, e.north = e.south-float64(beside), e.north+float64(beside)
		if e.west <= e.east && e.east-e.west+2*float64(beside) >= 360 {
			e.west, e.east = -180, 180
		} else {
			e.west, e.east = wrap180(e.west-float64(beside)), wrap180(e.east+float64(beside))
		}
		if e.covers(float64(lon), float64(lat)) {
			return true
		}
	}
	return len(all) == 0
}

// AreaName is the registry's name of the area of use, "" for none.
func (h Heights) AreaName() string {
	var names []string
	for _, e := range h.areas() {
		names = append(names, e.name)
	}
	return strings.Join(names, "; ")
}

// ParseHeights reads what ID writes, and the registry's names of vertical
// systems. A name in quotes that is not in the registry is a reference of its
// own, which no step leads to or from.
func ParseHeights(text string) (Heights, error) {
	t := strings.TrimSpace(text)
	if strings.EqualFold(t, "ellipsoidal") {
		return Ellipsoidal, nil
	}
	if digits, ok := strings.CutPrefix(strings.ToUpper(t), "EPSG:"); ok {
		code, err := strconv.Atoi(digits)
		if v := heightTable().verticals[code]; err == nil && v != nil {
			return Heights{v: v}, nil
		}
		return Heights{}, fmt.Errorf("%q is no vertical CRS of the registry", clip(text))
	}
	if t == "" {
		return Heights{}, fmt.Errorf("no reference of heights is named")
	}
	if v := heightTable().names[squeeze(t)]; v != nil {
		return Heights{v: v}, nil
	}
	if name, err := strconv.Unquote(t); err == nil && name != "" {
		return Heights{v: &vertical{name: name, unit: 1}}, nil
	}
	return Heights{}, fmt.Errorf("%q is no vertical CRS of the registry", clip(text))
}

// Same reports whether both are counted from the same, in the same unit.
func (h Heights) Same(k Heights) bool {
	if h.ellipsoidal || k.ellipsoidal || h.v == nil || k.v == nil {
		return h == k
	}
	return *h.v == *k.v
}

// Heights is what heights beside the CRS's coordinates are counted from: its
// vertical part, the ellipsoid where it has three dimensions, or not told.
func (c *CRS) Heights() Heights {
	switch {
	case c.heights != nil:
		return Heights{v: c.heights}
	case c.dims == 3:
		return Ellipsoidal
	}
	return Heights{}
}

// Horizontal is the CRS without its vertical part, the CRS itself when it has
// none.
func (c *CRS) Horizontal() *CRS {
	if c.level == nil {
		return c
	}
	return c.level
}

// WithHeights is the compound of the CRS's horizontal part and a reference of
// heights; its ID is that of the registry's compound where it has one, else
// EPSG:25832+7837. A CRS that has ellipsoidal heights by itself takes no
// others.
func (c *CRS) WithHeights(h Heights) (*CRS, error) {
	c = c.Horizontal()
	switch {
	case h.Same(c.Heights()) || !h.Told():
		return c, nil
	case c.dims == 3:
		return nil, fmt.Errorf("%s has ellipsoidal heights and cannot hold %s", c.id, h.Name())
	}
	out := *c
	out.level, out.dims = c, 3
	if h.ellipsoidal {
		out.id += "+ellipsoidal"
		out.name += " with ellipsoidal heights"
		return &out, nil
	}
	out.heights, out.code = h.v, 0
	out.name += " + " + h.v.name
	out.id = c.id + "+" + h.ID()
	if code, ok := strings.CutPrefix(h.ID(), "EPSG:"); ok {
		out.id = c.id + "+" + code
	}
	if looksLikeWKT(c.id) {
		id := ""
		if h.v.code != 0 {
			id = fmt.Sprintf(",ID[\"EPSG\",%d]", h.v.code)
		}
		direction := "up"
		if h.v.down {
			direction = "down"
		}
		out.id = fmt.Sprintf("COMPOUNDCRS[%s,%s,VERTCRS[%s,VDATUM[%[3]s],CS[vertical,1],AXIS[\"height (h)\",%s],LENGTHUNIT[\"unit\",%s]%s]]", wktQuote(out.name), c.id, wktQuote(h.v.name), direction, wktNumber(h.v.unit), id)
	}
	if code := heightTable().codes[[2]int{c.code, h.v.code}]; code != 0 && h.v.code != 0 && c.id == "EPSG:"+strconv.Itoa(c.code) {
		out.id, out.code, out.name = "EPSG:"+strconv.Itoa(code), code, heightTable().titles[code]
	}
	return &out, nil
}

// parseCompound reads HORIZONTAL+VERTICAL, such as EPSG:25832+7837; nil when
// the text is none.
func parseCompound(t string) (*CRS, error) {
	head, tail, ok := strings.Cut(t, "+")
	if !ok || tail == "" || !strings.Contains(head, ":") || strings.HasPrefix(strings.ToLower(head), "site:") {
		return nil, nil
	}
	c, err := parseID(strings.TrimSpace(head))
	if c == nil || err != nil {
		return nil, err
	}
	tail = strings.TrimSpace(tail)
	if _, err := strconv.Atoi(tail); err == nil {
		tail = "EPSG:" + tail
	}
	h, err := ParseHeights(tail)
	if err != nil {
		return nil, err
	}
	return c.WithHeights(h)
}

// compoundCode is the registry's compound CRS, nil when the code is none.
func compoundCode(code int) (*CRS, error) {
	parts, ok := heightTable().compounds[code]
	if !ok {
		return nil, nil
	}
	c, err := epsgCRS(parts[0])
	if err != nil {
		return nil, fmt.Errorf("EPSG:%d: horizontal part: %w", code, err)
	}
	v := heightTable().verticals[parts[1]]
	if v == nil {
		return nil, fmt.Errorf("EPSG:%d: its vertical part EPSG:%d is not in the registry", code, parts[1])
	}
	out, err := c.WithHeights(Heights{v: v})
	if err != nil || out.code == code {
		return out, err
	}
	// A second code for the same two parts.
	other := *out
	other.id, other.code, other.name = "EPSG:"+strconv.Itoa(code), code, heightTable().titles[code]
	return &other, nil
}

// heightsFromWKT reads the vertical part of a compound.
func heightsFromWKT(n *wktNode) (Heights, error) {
	if n.child("DATUM", "GEODETICDATUM", "ENSEMBLE") != nil {
		return Ellipsoidal, nil // how .prj files say that heights are above the ellipsoid
	}
	if v := heightTable().verticals[n.epsg()]; v != nil {
		return Heights{v: v}, nil
	}
	name := strings.NewReplacer("_", " ").Replace(n.name())
	v := vertical{name: n.name(), unit: 1}
	for _, key := range []string{n.name(), name, strings.TrimSuffix(name, " Geoid")} {
		if x := heightTable().names[squeeze(key)]; x != nil {
			v = *x
			break
		}
	}
	u := n.child("UNIT", "LENGTHUNIT")
	if ax := n.child("AXIS"); ax != nil {
		if u == nil {
			u = ax.child("LENGTHUNIT", "UNIT")
		}
		v.down = wktDirection(ax) == "down"
	}
	if u != nil {
		f, err := unitFactor(u)
		if err != nil {
			return Heights{}, err
		}
		v.unit = f
	}
	if x := heightTable().verticals[v.code]; x == nil || math.Abs(x.unit/v.unit-1) > 1e-9 || x.down != v.down {
		// The same datum in another unit or direction.
		v.code = 0
		for _, code := range slices.Sorted(maps.Keys(heightTable().verticals)) {
			x := heightTable().verticals[code]
			if v.datum != 0 && x.datum == v.datum && math.Abs(x.unit/v.unit-1) < 1e-9 && x.down == v.down {
				return Heights{v: x}, nil
			}
		}
		if v.datum, v.unit, v.down = 0, 1, false; u != nil {
			// A reference that nothing leads to keeps its unit in its name.
			f, _ := unitFactor(u)
			if f != 1 {
				v.name += fmt.Sprintf(" (in units of %s m)", exact(f))
			}
		}
		return Heights{v: &v}, nil
	}
	return Heights{v: heightTable().verticals[v.code]}, nil
}

// A HeightError says that heights cannot be brought from one reference to
// another.
type HeightError struct {
	From, To Heights
	Files    []string // grid files that would lead there
}

// Answer implements Refusal.
func (e *HeightError) Answer() Answer {
	if !e.From.Told() {
		return AnswerHeights
	}
	return AnswerGrid
}

func (e *HeightError) Error() string {
	if !e.From.Told() {
		return fmt.Sprintf("nothing says what the heights are counted from, and %s are asked for: name the system with its heights, such as EPSG:25832+7837, EPSG:4326+5773 or EPSG:4979", e.To.Name())
	}
	msg := fmt.Sprintf("%s and %s are not counted from the same surface, and no grid file at hand leads from the one to the other", e.From.Name(), e.To.Name())
	if e.From.ellipsoidal || e.To.ellipsoidal {
		msg = fmt.Sprintf("%s and %s lie up to 100 m apart, and no geoid model at hand leads from the one to the other", e.From.Name(), e.To.Name())
	}
	if len(e.Files) > 0 {
		msg += ": it needs a file such as " + strings.Join(e.Files, " or ")
	}
	return msg
}

// A lift is what an operation does with heights besides the datum step.
type lift struct {
	from, to      *vertical // units; nil for metres upwards
	before, after []heightMove
	stages        bool // heights take part in the datum step
}

// heightMove adds a grid's values to heights, times sign.
type heightMove struct {
	grid *HeightGrid
	sign float64
	step Step
}

// apply adds the move to the heights of flat, whose positions are longitude and
// latitude on the grid's datum.
func (m *heightMove) apply(flat []float64, stride int) error {
	return inChunks(flat, stride, func(part []float64, first int) error {
		for i := 0; i+2 < len(part); i += stride {
			if part[i+2] != part[i+2] {
				continue
			}
			v, err := m.grid.At(part[i], part[i+1])
			if err != nil {
				return &PointError{Index: first + i/stride, X: part[i], Y: part[i+1], Problem: err.Error()}
			}
			part[i+2] += m.sign * v
		}
		return nil
	})
}

// scaled turns the heights of flat by f.
func scaled(flat []float64, stride int, f func(float64) float64) {
	for i := 2; i < len(flat); i += stride {
		flat[i] = f(flat[i])
	}
}

// planLift finds what becomes of heights between two CRSs, at least one of
// which has a vertical part.
func planLift(from, to *CRS, with Aids) (*lift, error) {
	hf, ht := from.Heights(), to.Heights()
	l := &lift{from: hf.v, to: ht.v}
	switch {
	case !ht.Told():
		// They pass through, and whoever keeps the plan keeps their name.
		l.from, l.to = nil, nil
		return l, nil
	case !hf.Told():
		return nil, &HeightError{From: hf, To: ht}
	case hf.Same(ht):
		l.from, l.to = nil, nil
		// A receiver's heights change between the frames that receivers give.
		// Beside an old datum they stay those of the receiver: nobody has
		// others there.
		l.stages = hf.ellipsoidal && satellite(from) && satellite(to)
		return l, nil
	case hf.v != nil && ht.v != nil && hf.v.datum != 0 && hf.v.datum == ht.v.datum:
		return l, nil // another unit or direction
	}
	// A grid from the one vertical reference to the other.
	if hf.v != nil && ht.v != nil {
		if m, ok := offsetGrid(hf.v, ht.v, with); ok {
			l.before = []heightMove{m}
			return l, nil
		}
	}
	ends := [2]*CRS{from.Horizontal(), to.Horizontal()}
	var down, up *heightMove // to the ellipsoid, and off it
	downAt, upAt := 0, 1
	if hf.v != nil {
		m, at, err := geoid(hf.v, ends, 0, with)
		if err != nil {
			return nil, &HeightError{From: hf, To: ht, Files: filesFor(hf.v)}
		}
		m.sign = 1
		down, downAt = &m, at
	}
	if ht.v != nil {
		m, at, err := geoid(ht.v, ends, 1, with)
		if err != nil {
			return nil, &HeightError{From: hf, To: ht, Files: filesFor(ht.v)}
		}
		m.sign = -1
		m.step.Inverse = false
		up, upAt = &m, at
	}
	// Ellipsoidal heights go through the datum step when they are such before
	// and after it.
	l.stages = downAt == 0 && upAt == 1
	for _, m := range []struct {
		move *heightMove
		at   int
	}{{down, downAt}, {up, upAt}} {
		switch {
		case m.move == nil:
		case m.at == 0:
			l.before = append(l.before, *m.move)
		default:
			l.after = append(l.after, *m.move)
		}
	}
	return l, nil
}

// satellite reports whether a CRS is in a frame that satellites give.
func satellite(c *CRS) bool {
	f, err := FrameOf(c)
	return err == nil && f.Satellite()
}

// offsetGrid is the grid at hand between two vertical references.
func offsetGrid(from, to *vertical, with Aids) (heightMove, bool) {
	for _, s := range heightTable().steps {
		if s.from == nil {
			continue
		}
		sign := 0.0
		if s.from.datum == from.datum && s.to.datum == to.datum {
			sign = 1
		} else if s.from.datum == to.datum && s.to.datum == from.datum {
			sign = -1
		}
		if g := with.heightGrid(s.files); sign != 0 && from.datum != 0 && to.datum != 0 && g != nil {
			return heightMove{g, sign, s.report(g, sign < 0)}, true
		}
	}
	return heightMove{}, false
}

// geoid is the geoid model at hand for a vertical reference, and the end of the
// operation whose datum it is on: the one wanted where both are.
func geoid(v *vertical, ends [2]*CRS, wanted int, with Aids) (heightMove, int, error) {
	order := [2]int{wanted, 1 - wanted}
	for _, s := range heightTable().steps {
		if s.source == 0 || s.to.datum != v.datum || v.datum == 0 {
			continue
		}
		g := with.heightGrid(s.files)
		if g == nil {
			continue
		}
		for _, at := range order {
			if near := nearDatum(ends[at], s.source); near {
				return heightMove{grid: g, step: s.report(g, wanted == 0)}, at, nil
			}
		}
	}
	// A file that the registry does not name is taken at the user's word.
	for _, g := range with.HeightGrids {
		if g.named() || g.offset {
			continue
		}
		if g.target != 0 && heightTable().verticals[g.target] != nil && heightTable().verticals[g.target].datum != v.datum {
			continue
		}
		for _, at := range order {
			if satellite(ends[at]) {
				return heightMove{grid: g, step: Step{Name: "geoid model " + g.name + " taken for that of " + v.name, Method: "geoid model", Inverse: wanted == 0, Source: "the user's word, file " + g.name}}, at, nil
			}
		}
	}
	return heightMove{}, 0, fmt.Errorf("no geoid model of %s", v.name)
}

// nearDatum reports whether positions on the CRS's datum can be looked up in a
// geoid model on the datum: the same one, or both such as satellites give,
// which lie two metres apart where a geoid changes by a millimetre in twenty.
func nearDatum(c *CRS, code int) bool {
	if c.datum.code == code && code != 0 {
		return true
	}
	d := datums0().datums[code]
	f, err := FrameOf(c)
	return d != nil && err == nil && f.Satellite() && Frame{datum: d}.Satellite()
}

// filesFor names files that lead from or to a vertical reference.
func filesFor(v *vertical) []string {
	var out []string
	for _, s := range heightTable().steps {
		if v.datum == 0 || s.to.datum != v.datum || s.source == 0 {
			continue
		}
		for _, f := range s.files {
			if (strings.HasSuffix(f, ".tif") || strings.HasSuffix(f, ".gtx")) && !slices.Contains(out, f) && len(out) < 3 {
				out = append(out, f)
			}
		}
	}
	return out
}

// heightGrid is the grid at hand with one of the names, nil for none.
func (a *Aids) heightGrid(files []string) *HeightGrid {
	for _, g := range a.HeightGrids {
		if slices.ContainsFunc(files, func(f string) bool { return strings.EqualFold(f, g.name) }) {
			return g
		}
	}
	return nil
}

// named reports whether a step of the registry names the file.
func (g *HeightGrid) named() bool {
	return slices.ContainsFunc(heightTable().steps, func(s *heightGridStep) bool {
		return slices.ContainsFunc(s.files, func(f string) bool { return strings.EqualFold(f, g.name) })
	})
}

// report is the step for a report.
func (s *heightGridStep) report(g *HeightGrid, inverse bool) Step {
	out := Step{Name: s.name, Code: fmt.Sprintf("EPSG:%d", s.code), Method: "geoid model", Inverse: inverse, Source: steps0().source() + ", file " + g.name}
	if s.from != nil {
		out.Method = "grid of height offsets"
	}
	if s.accuracy == s.accuracy {
		out.Accuracy, out.Known = Metres(s.accuracy), true
	}
	return out
}

// flat is the horizontal part with ellipsoidal heights, or with none.
func (c *CRS) flat(ellipsoidal bool) *CRS {
	out := *c.Horizontal()
	if out.kind != KindGeocentric && out.kind != KindSite {
		out.dims = 2
	}
	if ellipsoidal {
		out.dims = 3
	}
	return &out
}

// withLift makes the operation between CRSs with vertical parts.
func withLift(from, to *CRS, allow Allowed, at Places, when Epochs, with Aids) (*Operation, error) {
	l, err := planLift(from, to, with)
	if err != nil {
		return nil, err
	}
	op, err := levelOperation(from.flat(l.stages), to.flat(l.stages), allow, at, when, with)
	if err != nil {
		return nil, err
	}
	parts := []*Operation{op}
	if op.parts != nil {
		parts = append(parts, op.parts...)
	}
	for _, p := range parts {
		p.from, p.to = from, to
		if len(l.before)+len(l.after) == 0 && l.from == l.to {
			continue
		}
		p.lift, p.same = l, false
		var steps []Step
		for _, m := range l.before {
			steps = append(steps, m.step)
		}
		steps = append(steps, p.steps...)
		for _, m := range l.after {
			steps = append(steps, m.step)
		}
		p.steps = steps
		for _, m := range slices.Concat(l.before, l.after) {
			if !m.step.Known {
				p.accuracy = math.NaN()
			} else {
				p.accuracy = math.Round((p.accuracy+float64(m.step.Accuracy))*1e6) / 1e6
			}
		}
		switch {
		case math.IsNaN(p.accuracy) && !allow.Unknown:
			return nil, &NoStepError{From: from.Heights().Name(), To: to.Heights().Name(), Reason: "the accuracy of the geoid model given is not stated"}
		case !(p.stated() <= float64(allow.Accuracy)):
			return nil, &AccuracyError{Operation: p.Name(), Accuracy: Metres(p.stated()), Accepted: allow.Accuracy, Place: p.where, Notes: p.Notes()}
		}
	}
	return op, nil
}

// applyLift is Apply where heights have a reference of their own.
func (op *Operation) applyLift(flat []float64, stride int) error {
	l := op.lift
	if err := op.from.ToGeodetic(flat, stride); err != nil {
		return err
	}
	if stride > 2 {
		if l.from != nil {
			scaled(flat, stride, l.from.metres)
		}
		for i := range l.before {
			if err := l.before[i].apply(flat, stride); err != nil {
				return err
			}
		}
	}
	for i := range op.stages {
		if err := op.stages[i].apply(flat, stride, op.heights); err != nil {
			return err
		}
	}
	if stride > 2 {
		for i := range l.after {
			if err := l.after[i].apply(flat, stride); err != nil {
				return err
			}
		}
		if l.to != nil {
			scaled(flat, stride, l.to.own)
		}
	}
	return op.to.FromGeodetic(flat, stride)
}
