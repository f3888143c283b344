// Package landxml reads plans from LandXML (schemas 1.0 to 1.2): points
// (CgPoints), parcels, plan features and alignments with straight lines,
// circular curves and lists of points.
//
// Coordinates stand in the order northing, easting, elevation and come out as x
// east, y north. The unit is that of Units, or as the user says; coordinates
// come out in the unit of the coordinate system, in metres where that is
// unknown, heights in metres. The system is the epsgCode or ogcWktCode of
// CoordinateSystem. A curve is flattened so that no chord leaves it by more
// than ReadOptions.ChordM. Spirals are drawn as their chord and told. Surfaces,
// survey records and whatever else a file holds are counted.
//
// A feature's name is the element's; its other attributes, such as code, desc
// and state, are attributes, with "layer" for the name of the group it stands
// in and "entity" for the element. What closes within a millimetre is a
// Polygon.
package landxml

import (
	"fmt"
	"math"
	"strings"
	"sync"

	"swardline/convert/wire"
	"swardline/convert/wire/charset"
	"swardline/convert/wire/xml"
	"swardline/crs"
	"swardline/schema"
)

const (
	defaultChord = 0.005 // metres
	closeWithin  = 0.001 // metres
)

// units are the linear units of the schema, in metres.
var units = sync.OnceValue(func() map[string]float64 {
	return map[string]float64{"meter": 1, "millimeter": 0.001, "centimeter": 0.01, "kilometer": 1000,
		"foot": 0.3048, "ussurveyfoot": 1200.0 / 3937, "inch": 0.0254, "mile": 1609.344}
})

// told are the units by the names that the user gives.
var told = sync.OnceValue(func() map[string]float64 {
	return map[string]float64{"m": 1, "mm": 0.001, "ft": 0.3048, "ftUS": 1200.0 / 3937, "in": 0.0254}
})

// Detect reports whether the first bytes of a file are those of LandXML, by its
// root element.
func Detect(head []byte) bool {
	root, ok := xml.Root(head)
	return ok && string(root) == "LandXML"
}

type point struct{ x, y, h float64 } // as in the file, h NaN for none

type reader struct {
	xml.Reader
	o        wire.ReadOptions
	caps     schema.Limits
	t        wire.Tally
	plan     *schema.Plan
	points   map[string]point
	unit     float64 // metres in a unit of the file, 0 when not said
	unitName string
	chord    float64 // in the file's unit
	vertices float64
	stated   *crs.CRS
	group    string
	left     map[string]int
	// gathering is true in the first of the two walks over the text.
	gathering bool
}

// SpaceOf, Unbound, Fault and Warn make the reader a vocabulary that takes
// every namespace for its own.
func (r *reader) SpaceOf(string, int) xml.Space { return 0 }

// Unbound takes prefixes that are bound to nothing, too.
func (r *reader) Unbound([]byte, int) xml.Space { return 0 }

// Fault makes the error for what is wrong at an offset.
func (r *reader) Fault(at int, problem, mend string) error {
	line, column := wire.LineColumn(r.Data, at)
	return &wire.InputError{File: r.o.Name, Line: line, Column: column, Problem: problem, Mend: mend}
}

// Warn tells what was taken in stride at an offset.
func (r *reader) Warn(kind string, at int, format string, args ...any) {
	if !r.gathering { // the second walk tells it again
		r.t.Add(kind, r.LineOf(at), "", format, args...)
	}
}

const mendDamaged = "the file is damaged; export it again"

func (r *reader) fault(at int, format string, args ...any) error {
	return r.Fault(at, fmt.Sprintf(format, args...), mendDamaged)
}

// Read reads a plan. Errors are *wire.InputError.
func Read(data []byte, o wire.ReadOptions) (*schema.Plan, []wire.Warning, error) {
	r := &reader{o: o, caps: o.Caps(), points: map[string]point{}, left: map[string]int{},
		plan: &schema.Plan{Source: schema.Source{File: o.Name, Format: "landxml"}}}
	text, err := charset.XML(data, &o, &r.t)
	if err != nil {
		return nil, nil, err
	}
	// Points may be named before they are given, so they are gathered first.
	r.gathering = true
	if err := r.walk(text, r.gather); err != nil {
		return nil, nil, err
	}
	r.gathering = false
	if err := r.settle(); err != nil {
		return nil, nil, err
	}
	if err := r.walk(text, r.element); err != nil {
		return nil, nil, err
	}
	if len(r.left) > 0 {
		n := 0
		var names []string
		for _, name := range []string{"Surfaces", "Roadways", "PipeNetworks", "GradeModel", "Survey", "Monuments", "Amendment"} {
			if r.left[name] > 0 {
				n += r.left[name]
				names = append(names, name)
			}
		}
		if n > 0 {
			r.t.AddN("element-left-out", n, 0, "", "elements that are no points, parcels, plan features or alignments were left out: %s", strings.Join(names, ", "))
		}
	}
	if len(r.plan.Features) == 0 {
		return nil, nil, &wire.InputError{File: o.Name, Problem: "the file holds no points, parcels, plan features or alignments", Mend: "ask the sender to export them"}
	}
	return r.plan, r.t.Warnings(), nil
}

// walk runs over the document and calls f with every start tag; f may read on
// to the end of its element.
func (r *reader) walk(text []byte, f func(xml.Token) error) error {
	r.Reader = xml.Reader{Data: text, Format: "LandXML", Nesting: int(r.caps.InputMaxNesting), Vocabulary: r}
	r.Commented = func(at int, text []byte) { wire.HearMarkup(r.plan, text, r.LineOf(at)) }
	root := true
	for {
		t, err := r.Next()
		if err != nil {
			return err
		}
		switch t.Kind {
		case xml.EOF:
			if root {
				return r.fault(len(text), "the file holds no element")
			}
			return nil
		case xml.Start:
			if root {
				if string(t.Local) != "LandXML" {
					return r.fault(t.From, "the root element is %s, not LandXML", wire.Clip(t.Local, 30))
				}
				root = false
				continue
			}
			if err := f(t); err != nil {
				return err
			}
		}
	}
}

// attributes gives an element's attributes in order; those of namespaces are
// left out.
func (r *reader) attributes(t xml.Token) (schema.Attributes, error) {
	var out schema.Attributes
	for _, a := range t.Attrs {
		if len(a.Prefix) > 0 || string(a.Local) == "xmlns" {
			continue
		}
		v, err := r.AttrText(a)
		if err != nil {
			return nil, err
		}
		out.Set(string(a.Local), schema.String(v))
	}
	return out, nil
}

// content reads the text up to the end of the element that was just opened.
func (r *reader) content() (string, error) {
	var b []byte
	for depth := 1; ; {
		t, err := r.Next()
		if err != nil {
			return "", err
		}
		switch t.Kind {
		case xml.Start:
			depth++
		case xml.End:
			if depth--; depth == 0 {
				return strings.TrimSpace(string(b)), nil
			}
		case xml.Text:
			if b, err = r.AppendText(b, t); err != nil {
				return "", err
			}
		case xml.EOF:
			return "", r.fault(len(r.Data), "the file ends inside an element")
		}
	}
}

// numbers reads a list of numbers.
func (r *reader) numbers(text string, at int) ([]float64, error) {
	var out []float64
	for _, w := range strings.Fields(text) {
		v, ok := wire.ParseFloat([]byte(w))
		if !ok {
			return nil, r.fault(at, "a number should stand where %q does", wire.Clip([]byte(w), 20))
		}
		out = append(out, v)
	}
	return out, nil
}

// gather takes points, units and the coordinate system.
func (r *reader) gather(t xml.Token) error {
	switch string(t.Local) {
	case "CgPoint":
		_, _, err := r.cgPoint(t)
		return err
	case "Metric", "Imperial":
		a, err := r.attributes(t)
		if err != nil {
			return err
		}
		r.unitName = a.Get("linearUnit").Text()
		m, ok := units()[strings.ToLower(r.unitName)]
		if !ok && r.o.Unit == "" {
			return r.Fault(t.From, fmt.Sprintf("the linear unit %q is none that is known", wire.Clip([]byte(r.unitName), 30)), "name it with --units")
		}
		r.unit = m
	case "CoordinateSystem":
		return r.system(t)
	case "Project":
		a, err := r.attributes(t)
		if err != nil {
			return err
		}
		r.plan.Name = a.Get("name").Text()
	}
	return nil
}

// cgPoint reads one point; its x is NaN when it only refers to another.
func (r *reader) cgPoint(t xml.Token) (a schema.Attributes, p point, err error) {
	at := t.From
	if a, err = r.attributes(t); err != nil {
		return nil, p, err
	}
	text, err := r.content()
	if err != nil {
		return nil, p, err
	}
	if text == "" {
		p.x = math.NaN() // it only refers to another
		return a, p, nil
	}
	if p, err = r.place(text, "", at); err != nil {
		return nil, p, err
	}
	if name := a.Get("name").Text(); name != "" {
		r.points[name] = p
	}
	return a, p, nil
}

// place reads "northing easting [elevation]", or looks a reference up.
func (r *reader) place(text, ref string, at int) (point, error) {
	if text == "" {
		p, ok := r.points[ref]
		switch {
		case !ok && ref == "":
			return p, r.fault(at, "a place has no coordinates")
		case !ok:
			return p, r.fault(at, "there is no point %q", wire.Clip([]byte(ref), 30))
		}
		return p, nil
	}
	v, err := r.numbers(text, at)
	if err != nil {
		return point{}, err
	}
	if len(v) < 2 || len(v) > 3 {
		return point{}, r.fault(at, "a place has northing, easting and perhaps elevation; it has %d numbers", len(v))
	}
	p := point{v[1], v[0], math.NaN()}
	if len(v) == 3 {
		p.h = v[2]
	}
	return p, nil
}

func (r *reader) system(t xml.Token) error {
	at := t.From
	a, err := r.attributes(t)
	if err != nil {
		return err
	}
	text := ""
	switch {
	case strings.Trim(a.Get("epsgCode").Text(), "0123456789") == "" && a.Get("epsgCode").Text() != "":
		text = "EPSG:" + a.Get("epsgCode").Text()
	case a.Get("epsgCode").Text() != "":
		text = a.Get("epsgCode").Text()
	case a.Get("ogcWktCode").Text() != "":
		text = a.Get("ogcWktCode").Text()
	default:
		for _, key := range []string{"horizontalCoordinateSystemName", "name", "desc"} {
			if name := a.Get(key).Text(); name != "" {
				r.t.Add("crs-named", r.LineOf(at), "", "the file calls its coordinate system %q, which is no code; name it with --from", wire.Clip([]byte(name), 80))
				break
			}
		}
		return nil
	}
	c, err := crs.Parse(text)
	if err != nil {
		if r.o.CRS != nil {
			return nil
		}
		return r.Fault(at, err.Error(), "name the system with --from EPSG:..., which holds instead")
	}
	r.stated = c
	return nil
}

// settle chooses unit and system, once the head of the file is known.
func (r *reader) settle() error {
	if r.o.Unit != "" {
		m, ok := told()[r.o.Unit]
		if !ok {
			return &wire.InputError{File: r.o.Name, Problem: fmt.Sprintf("there is no length unit %q", r.o.Unit), Mend: "the units are m, mm, ft, ftUS and in"}
		}
		if r.unit != 0 && r.unit != m {
			r.t.Add("unit-overridden", 0, "", "the file says %s; %s was asked for and holds", r.unitName, r.o.Unit)
		}
		r.unit = m
	}
	if r.unit == 0 {
		return &wire.InputError{File: r.o.Name, Problem: "the file does not say its unit (element Units)", Mend: "name it with --units"}
	}
	r.plan.CRS = r.stated
	if r.o.CRS != nil {
		if r.stated != nil && !r.stated.Equal(r.o.CRS) {
			r.t.Add("crs-overridden", 0, "", "the file says %s; %s was asked for and holds", r.stated.ID(), r.o.CRS.ID())
		}
		r.plan.CRS = r.o.CRS
	}
	chord := defaultChord
	if r.o.ChordM > 0 {
		chord = r.o.ChordM
	}
	r.chord = chord / r.unit
	return nil
}

// element takes a start tag of the second walk.
func (r *reader) element(t xml.Token) error {
	switch name := string(t.Local); name {
	case "CgPoints", "PlanFeatures", "Parcels", "Alignments":
		a, err := r.attributes(t)
		if err != nil {
			return err
		}
		if r.group = a.Get("name").Text(); r.group == "" {
			r.group = name
		}
	case "CgPoint":
		at := t.From
		a, p, err := r.cgPoint(t)
		if err != nil {
			return err
		}
		if math.IsNaN(p.x) {
			return nil // a reference to a point that stands elsewhere
		}
		return r.add(name, a, at, [][]point{{p}}, true)
	case "Parcel", "PlanFeature", "Alignment":
		return r.feature(t, name)
	case "Surfaces", "Roadways", "PipeNetworks", "GradeModel", "Survey", "Monuments", "Amendment":
		r.left[name]++
		return r.Skip()
	case "CoordGeom", "PntList2D", "PntList3D":
		r.t.Add("drawn-elsewhere", r.LineOf(t.From), "", "line %d: %s stands in an element that is no parcel, plan feature or alignment, and was not read: export it as a plan feature", r.LineOf(t.From), name)
		return r.Skip()
	}
	return nil
}

// feature reads one element with geometry; parcels may stand in parcels.
func (r *reader) feature(t xml.Token, name string) error {
	at := t.From
	a, err := r.attributes(t)
	if err != nil {
		return err
	}
	var parts [][]point
	for depth := 1; depth > 0; {
		t, err := r.Next()
		if err != nil {
			return err
		}
		switch t.Kind {
		case xml.EOF:
			return r.fault(len(r.Data), "the file ends inside an element")
		case xml.End:
			depth--
		case xml.Start:
			switch string(t.Local) {
			case "CoordGeom":
				if parts, err = r.coordGeom(parts); err != nil {
					return err
				}
			case name:
				if err := r.feature(t, name); err != nil {
					return err
				}
			case "Profile", "CrossSects", "Superelevation":
				if err := r.Skip(); err != nil {
					return err
				}
			case "PntList2D", "PntList3D":
				r.t.Add("drawn-elsewhere", r.LineOf(t.From), "", "line %d: %s stands beside the outline of a %s, and was not read: export it as a plan feature of its own", r.LineOf(t.From), t.Local, name)
				if err := r.Skip(); err != nil {
					return err
				}
			case "Property": // of a Feature, which holds what the standard has no place for
				b, err := r.attributes(t)
				if err != nil {
					return err
				}
				if label := b.Get("label").Text(); label != "" && !a.Has(label) {
					a.Set(label, b.Get("value"))
				}
				depth++
			default:
				depth++
			}
		}
	}
	if len(parts) == 0 {
		r.t.Add("geometry-missing", r.LineOf(at), "", "elements have no geometry, first %s %q; they were left out", name, a.Get("name").Text())
		return nil
	}
	return r.add(name, a, at, parts, false)
}
