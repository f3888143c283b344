// GEODATA: what a drawing says of its place on the earth.

package dxf

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"sync"

	"github.com/twpayne/go-geom"

	"swardline/crs"
	"swardline/schema"
)

// The kinds of design coordinates of a GEODATA (published DXF reference).
const (
	geoLocal     = 1 // the design point stands at the reference point
	geoProjected = 2 // the numbers are those of the grid
)

// geoData is one GEODATA object.
type geoData struct {
	line               int
	version, kind      int
	design, reference  point
	metres             float64 // in one unit of the drawing, level
	north              point
	method             int // of scale: 1 is none
	factor             float64
	seaLevel           bool
	definition         string
	sound, upright     bool
	hasScale, hasPoint bool
}

func (r *reader) geoData(line int) geoData {
	d := geoData{line: line, north: point{0, 1}, method: 1, factor: 1, upright: true}
	n := numbersOf{r, true}
	var definition []byte
	mesh := false
	for _, g := range r.gs {
		switch g.code {
		case 90:
			d.version = n.int(g)
		case 70:
			d.kind = n.int(g)
		case 10, 20, 30:
			d.design[g.code/10-1] = n.float(g)
		case 11, 21, 31:
			d.reference[g.code/10-1], d.hasPoint = n.float(g), true
		case 40:
			d.metres, d.hasScale = n.float(g), true
		case 210, 220:
			d.upright = d.upright && n.float(g) == 0
		case 230:
			d.upright = d.upright && n.float(g) > 0
		case 12, 22:
			if !mesh { // the first form gives its mesh by the same codes
				d.north[g.code/10-1] = n.float(g)
			}
		case 93:
			mesh = true
		case 95:
			d.method = n.int(g)
		case 141:
			d.factor = n.float(g)
		case 294:
			d.seaLevel = n.int(g) != 0
		case 301, 303:
			definition = append(definition, r.value(g)...)
		}
	}
	d.sound = n.sound && d.hasScale && d.metres >= leastUnit && d.metres <= mostUnit && finite(d.design) && finite(d.reference)
	d.definition = strings.TrimSpace(caret(r.text.name(definition)))
	return d
}

// geoWords finds the parts of a dictionary. Made when the first is read: most
// drawings have none, and a start should not pay for it.
var geoWords = sync.OnceValue(func() (w struct{ alias, id, of, space, axis, name *regexp.Regexp }) {
	w.alias = regexp.MustCompile(`(?is)<(?:\w+:)?Alias\b([^>]*)>(.*?)</(?:\w+:)?Alias>`)
	w.id = regexp.MustCompile(`(?i)\bid\s*=\s*["']\s*(\d{1,7})\s*["']`)
	w.of = regexp.MustCompile(`(?i)\btype\s*=\s*["']CoordinateSystem["']`)
	w.space = regexp.MustCompile(`(?is)<(?:\w+:)?Namespace>\s*EPSG\b`)
	w.axis = regexp.MustCompile(`(?is)<(?:\w+:)?AxisAbbreviation>\s*([A-Za-z]+)`)
	w.name = regexp.MustCompile(`(?is)<(?:\w+:)?(?:Projected|Geographic)CoordinateSystem\b[^>]*\bid\s*=\s*["']([^"'<>]{1,80})["']`)
	return w
})

// system resolves the definition: a dictionary in XML whose alias has the code
// of the EPSG registry, or a text that names a system by itself. The dictionary
// stands in the drawing's own texts, in another encoding than it declares, so
// that its parts are looked for by their words. The error says what is not
// known.
func (d *geoData) system() (*crs.CRS, error) {
	text := d.definition
	if text == "" {
		return nil, fmt.Errorf("it names no reference system")
	}
	if strings.HasPrefix(text, "<") {
		code := ""
		for _, m := range geoWords().alias.FindAllStringSubmatch(text, -1) {
			if id := geoWords().id.FindStringSubmatch(m[1]); id != nil && geoWords().of.MatchString(m[1]) && geoWords().space.MatchString(m[2]) {
				if code != "" && code != id[1] {
					return nil, fmt.Errorf("it names its reference system by two codes, EPSG:%s and EPSG:%s", code, id[1])
				}
				code = id[1]
			}
		}
		if code == "" {
			name := "in words of its own"
			if m := geoWords().name.FindStringSubmatch(text); m != nil {
				name = fmt.Sprintf("%q", m[1])
			}
			return nil, fmt.Errorf("it names its reference system %s, without a code of the EPSG registry", name)
		}
		if axis := geoWords().axis.FindStringSubmatch(text); axis != nil && !strings.EqualFold(axis[1], "E") && !strings.EqualFold(axis[1], "X") {
			return nil, fmt.Errorf("its first axis is %q, not east, so that its two numbers could be read in two ways", axis[1])
		}
		text = "EPSG:" + code
	}
	c, err := crs.Parse(text)
	if err != nil {
		return nil, err
	}
	if c.Kind() != crs.KindProjected {
		return nil, fmt.Errorf("its reference system %s is no grid", clip(c.ID()))
	}
	return c, nil
}

// standing is where a GEODATA puts a drawing.
type standing struct {
	crs  *crs.CRS
	m    affine // from drawing units to metres of the grid
	asIs bool   // the numbers are those of the grid, but for the unit
}

// place works out where the drawing stands with a unit. An error says why that
// cannot be told.
func (d *geoData) place(unit Unit) (p standing, err error) {
	switch {
	case !d.sound:
		return p, fmt.Errorf("it is damaged")
	case d.version < 2:
		return p, fmt.Errorf("it is of the first form (2009), which is not read")
	case !d.upright:
		return p, fmt.Errorf("it stands at a slant")
	}
	if p.crs, err = d.system(); err != nil {
		return p, err
	}
	p.m = identity()
	for i := range p.m.a {
		p.m.a[i][i] = unit.Metres
	}
	// Which way a scale factor acts is not published, and 0.9996 the wrong way
	// is 8 cm in 100 m.
	if d.method > 2 || d.method == 2 && d.factor != 1 || d.seaLevel {
		return p, fmt.Errorf("it scales lengths to the grid (method %d, factor %g), which programs do in ways of their own", d.method, d.factor)
	}
	turn := math.Atan2(d.north[1], d.north[0]) - math.Pi/2
	if math.Hypot(d.north[0], d.north[1]) == 0 || math.Abs(turn) < 1e-12 {
		turn = 0
	}
	sin, cos := math.Sincos(-turn)
	m := unit.Metres
	p.m.a[0][0], p.m.a[0][1], p.m.a[1][0], p.m.a[1][1] = cos*m, -sin*m, sin*m, cos*m
	at := p.m.direction(point{d.design[0], d.design[1]})
	for i := range 2 {
		// To a micrometre: the two points are given with the digits of a
		// drawing, and a drawing in its grid is to keep its own.
		p.m.t[i] = math.Round((d.reference[i]*p.crs.UnitMetres()-at[i])*1e6) / 1e6
	}
	p.asIs = turn == 0 && p.m.t == point{}
	switch {
	case d.kind == geoLocal && d.hasPoint:
		return p, d.onGround(&p)
	case d.kind == geoProjected:
		// The reference point means nothing here; where it says something all
		// the same, one of the two is wrong.
		if p.asIs || !d.hasPoint || d.reference == (point{}) {
			p.m.t = point{}
			p.asIs = true
			if turn != 0 {
				return p, fmt.Errorf("it says that the drawing is in its grid, and that it is turned")
			}
			return p, nil
		}
		return p, fmt.Errorf("it says that the drawing is in its grid, and that (%.10g, %.10g) stands at (%.10g, %.10g)", d.design[0], d.design[1], d.reference[0], d.reference[1])
	}
	return p, fmt.Errorf("its numbers are of a kind (%d) that is no grid", d.kind)
}

// onGround refuses a map of the world as the grid of a drawing in a plane of
// its own: the drawing's lengths are those of the ground or of the map, and
// which is not said.
func (d *geoData) onGround(p *standing) error {
	there := geom.NewPointFlat(geom.XY, []float64{d.reference[0], d.reference[1]})
	at := (&schema.Plan{CRS: p.crs, Features: []*schema.Feature{{Geometry: there}}}).Somewhere()
	if at == nil {
		return fmt.Errorf("its reference point (%.10g, %.10g) is no place in %s", d.reference[0], d.reference[1], clip(p.crs.ID()))
	}
	if s, err := p.crs.StretchAt(*at); err == nil && s.Notable() {
		return fmt.Errorf("its grid %s is no grid to measure on: at the site %s, and which of the two the drawing has is not said", clip(p.crs.ID()), s)
	}
	return nil
}

// words say where the drawing stands.
func (p *standing) words(d *geoData, unit Unit) string {
	s := clip(p.crs.ID())
	if name := p.crs.Name(); name != "" && name != p.crs.ID() {
		s += " " + name
	}
	if p.asIs {
		return s + fmt.Sprintf("; its numbers are those of the grid, 1 unit = %s", unit.said())
	}
	s += fmt.Sprintf("; (%.10g, %.10g) of the drawing is E %.3f N %.3f, 1 unit = %s, its lengths those of the grid", d.design[0], d.design[1], d.reference[0], d.reference[1], unit.said())
	if turn := degrees(math.Atan2(p.m.a[1][0], p.m.a[0][0])); turn != 0 {
		if turn > 180 {
			turn -= 360
		}
		s += fmt.Sprintf(", turned by %.5g deg anticlockwise", turn)
	}
	return s
}

// theGeo is the GEODATA of the drawing, nil for none. Of several that say the
// same one is taken; several that differ say nothing, which is told.
func (r *reader) theGeo() *geoData {
	list := r.objects.geo
	if len(list) == 0 {
		return nil
	}
	for _, d := range list[1:] {
		same := d
		same.line = list[0].line
		if same != list[0] {
			r.tally.AddN("geodata-unread", len(list), list[0].line, "", "the drawing says %d times where it stands on the earth, and not the same; none of it is taken. %s", len(list), mendGeo)
			return nil
		}
	}
	return &list[0]
}

const mendGeo = "Name the grid with --from, or place the drawing from marks"

// unit is the unit that a GEODATA states.
func (d *geoData) unit() Unit {
	for _, u := range units {
		if math.Abs(d.metres/u.Metres-1) < 1e-9 {
			return u
		}
	}
	u, _ := UnitByName(fmt.Sprintf("%.12g", d.metres))
	return u
}

// placeByGeo gives the map from the drawing to the plan's metres where the
// drawing says its place. offset is what this program took off every position
// when it wrote the drawing.
func (r *reader) placeByGeo(stated *crs.CRS, offset point) (*standing, affine) {
	base := shift(offset)
	for i := range base.a {
		base.a[i][i] = r.unit.Metres
	}
	d := r.geo
	if d == nil {
		return nil, base
	}
	p, err := d.place(r.unit)
	same := func(c *crs.CRS) bool {
		return c.Equal(p.crs) && math.Hypot(p.m.t[0]-offset[0], p.m.t[1]-offset[1]) < 1e-4 && math.Abs(p.m.a[0][1]) < 1e-9*r.unit.Metres
	}
	switch {
	case err != nil:
		if stated == nil || p.crs != nil && !p.crs.Equal(stated) {
			r.tally.Add("geodata-unread", d.line, "", "the drawing says where it stands on the earth (GEODATA) in a way that is not taken: %v. %s", err, mendGeo)
		}
	case r.o.CRS != nil && r.planRecord.Fields().Get(planCRS).Text() != "":
		// That another was asked for than was stored is told already.
	case stated != nil && !same(stated):
		why := "which was told (--from, or a .prj beside it) and holds; leave that out to have it placed as it says"
		if r.o.CRS == nil {
			why = "which swardline stored in it and which holds; say the other with --from"
		}
		r.tally.Add("geodata-contradicts", d.line, "", "the drawing says its grid: %s. It is read with its numbers as they stand in %s, %s", p.words(d, r.unit), clip(stated.ID()), why)
	case stated != nil:
	case r.o.AsDrawn:
		r.tally.Add("geodata-unused", d.line, "", "the drawing says its grid: %s; that is left aside, and the drawing read in its own coordinates", p.words(d, r.unit))
	case offset != point{}:
		r.tally.Add("geodata-unused", d.line, "", "the drawing says its grid: %s; but swardline wrote it less an offset, of a plan whose grid was not known, so that is left aside. %s", p.words(d, r.unit), mendGeo)
	default:
		r.tally.Add("drawing-says-grid", d.line, "", "the drawing says its grid: %s", p.words(d, r.unit))
		return &p, p.m
	}
	return nil, base
}
