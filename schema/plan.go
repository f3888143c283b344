// Package schema is the vocabulary of a plan: what a feature can be, what its
// attributes are called, which limits apply, and in which order a ring's points
// stand. It reads no files and knows no format.
//
// Coordinates are held in go-geom's flat form, always x = east or longitude,
// y = north or latitude, in the unit of the plan's CRS (degrees for geographic
// ones). The layout is geom.XY, or geom.XYZ when any vertex has a height; a
// vertex without one then holds NaN, because absent height is not height 0.
package schema

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/twpayne/go-geom"

	"swardline/crs"
)

// Plan is the features of one site plus the reference of their coordinates.
type Plan struct {
	// Name is the site's name, "" when the file gives none.
	Name string
	// CRS is what the coordinates are in; nil means unknown, which is not
	// WGS 84.
	CRS *crs.CRS
	// Epoch is the coordinates' epoch as a decimal year, 0 when not stated.
	Epoch float64
	// Attributes are the plan's own further members, in order: held, limits,
	// site_grid, placement, history and whatever else the file carried.
	Attributes Attributes
	// Features stand in the order of the file.
	Features []*Feature
	// Source says where the plan was read; it is no part of the plan's content.
	Source Source
	// Left says what the file draws and the plan lacks, in words: what a reader
	// left out or could not read. It is no part of the content either.
	Left []string
	// Pictures are the names of pictures that the file lays on the ground and
	// the plan lacks, or of the layers that they lie on, each once.
	Pictures []string
	// Passed are things on layers that a reader passed over because a plan has
	// none of their kind: what they are is for the roles of their layers to say.
	Passed []Passed
	// Beside are texts that the file holds beside the plan, of which no feature
	// and no member has them: what a table, a style or another file of an archive
	// says. Rules read their words; they are no part of the content.
	Beside []BesideText
	// Unheard says what the file holds that may say something of the plan and
	// that no text of Beside gives, in words.
	Unheard []string

	besideSeen  map[string]bool
	besideBytes int
	carried     map[string]bool // what came from other files; false when nobody was told yet

	stands *standing // nil when Features are all there are
}

// Passed is something on a layer that a plan has no place for, such as a RAY.
type Passed struct {
	Layer, Kind string
	Line        int // in the file, of the first of its kind on the layer
}

// mostPictures is how many names of pictures are kept, and of things passed over.
const mostPictures = 1000

// AddPassed keeps what a reader passed over, each kind on each layer once.
func (p *Plan) AddPassed(x Passed) {
	if len(p.Passed) < mostPictures && !slices.ContainsFunc(p.Passed, func(y Passed) bool { return y.Layer == x.Layer && y.Kind == x.Kind }) {
		p.Passed = append(p.Passed, x)
	}
}

// AddPicture keeps the name of a picture that a reader passed over.
func (p *Plan) AddPicture(name string) {
	if name = strings.TrimSpace(name); name != "" && len(p.Pictures) < mostPictures && !slices.Contains(p.Pictures, name) {
		p.Pictures = append(p.Pictures, name)
	}
}

// Feature is one thing on the ground.
type Feature struct {
	// ID is a string or a number, or absent.
	ID Value
	// Role is what the feature is for; RoleOther when the file does not say or
	// says something unknown (an unknown word stays in Attributes as "role").
	Role Role
	// Name is the feature's name, "" when there is none.
	Name string
	// Geometry is nil when the file gives none.
	Geometry geom.T
	// Attributes are all other properties, in order and with their types.
	Attributes Attributes
	// Source says where in the file the feature stands.
	Source Source
}

// Source says where something was read. None of it is part of the content.
type Source struct {
	// File is the path as given, "-" for standard input.
	File string
	// Format is the name of the format, such as "geojson".
	Format string
	// Winding is the sense that the format promises for its rings.
	Winding Winding
	// Line counts from 1; 0 when the format has no lines or it is not known.
	Line int
	// Path is the place inside the file, such as "features[3]" or a KMZ entry.
	Path string
	// StepM is, of a plan, how far apart in metres the nearest places are that the
	// file can tell, where it counts in steps; 0 where it writes numbers.
	StepM float64
}

// Label names the feature for people: its name, else its id, else its role.
func (f *Feature) Label() string {
	switch {
	case f.Name != "":
		return f.Name
	case f.ID.Text() != "":
		return f.ID.Text()
	}
	return string(f.Role)
}

// Active reports whether the feature takes part in the check: true unless its
// attribute "active" is false.
func (f *Feature) Active() bool {
	on, ok := f.Attributes.Get(PropActive).Truth()
	return on || !ok
}

// Float returns the attribute as a finite number; ok is false when it is
// missing or something else. Of a property that is a number by the plan's
// vocabulary NumberSaid holds.
func (f *Feature) Float(key string) (float64, bool) {
	v := f.Attributes.Get(key)
	if v.Kind() == KindString {
		switch key {
		case PropHeadingDeg, PropCutMM, PropStandoffM, PropAntennaHeight, PropHeightM, PropRadiusM, PropCrownBaseM, PropWidth:
			return NumberSaid(v)
		}
		return 0, false
	}
	n, ok := v.Float()
	return n, ok && !math.IsInf(n, 0)
}

// NumberSaid is a number, or one that stands as a text of digits: KML without a
// schema, columns of other programs and many exports have no numbers.
func NumberSaid(v Value) (n float64, ok bool) {
	if v.Kind() == KindString {
		return plainDecimal(v.Text())
	}
	return v.Float()
}

// plainDecimal reads digits with a sign before them and a point among them, or
// without; ok is false for all other texts, such as 2,6 and 3 m.
func plainDecimal(text string) (n float64, ok bool) {
	text = strings.TrimSpace(text)
	digits, points := 0, 0
	for i, c := range []byte(text) {
		switch {
		case c >= '0' && c <= '9':
			digits++
		case c == '.':
			points++
		case (c == '-' || c == '+') && i == 0:
		default:
			return 0, false
		}
	}
	if digits == 0 || points > 1 {
		return 0, false
	}
	n, err := strconv.ParseFloat(text, 64)
	return n, err == nil
}

// Find returns the features of one role, in order.
func (p *Plan) Find(role Role) []*Feature {
	var out []*Feature
	for _, f := range p.Features {
		if f.Role == role {
			out = append(out, f)
		}
	}
	return out
}

// Transform returns a new plan in the operation's target coordinates; p stays
// as it is. The operation must be one for the plan's features (see Operation).
// Attributes are shared, coordinates are not; the positions of the plan's
// history go along to another datum. The error names the feature and the vertex
// that could not be transformed.
func (p *Plan) Transform(op *crs.Operation) (*Plan, error) {
	out := *p
	out.setReference(op.To())
	if moved, ok := p.movedHistory(op); ok {
		out.Attributes.Set(PlanHistory, moved)
	}
	out.stands = p.stands.moved(p, &out, op)
	out.Features = make([]*Feature, len(p.Features))
	for i, f := range p.Features {
		g, err := p.TransformFeature(op, f)
		if err != nil {
			return nil, fmt.Errorf("feature %d (%s): %w", i+1, f.Label(), err)
		}
		out.Features[i] = g
	}
	if e := op.ToEpoch(); e != 0 {
		if _, told, ok := p.baseFrame(); !(ok && told == e && p.Epoch == 0) {
			out.Epoch = e
		}
	}
	return &out, nil
}

// TransformFeature is Transform for one of the plan's features.
func (p *Plan) TransformFeature(op *crs.Operation, f *Feature) (*Feature, error) {
	g := *f
	if f.Geometry == nil {
		return &g, nil
	}
	var err error
	g.Geometry, err = mapFlat(f.Geometry, p.StepsFor(op, f).Apply)
	return &g, err
}

// TypeName is the name that GeoJSON and OGC Simple Features have for a
// geometry's type, such as MultiPolygon; "" for no geometry.
func TypeName(g geom.T) string {
	if g == nil {
		return ""
	}
	return strings.TrimPrefix(fmt.Sprintf("%T", g), "*geom.")
}

// WithFlatCoords returns a geometry of the same type, layout and structure as g
// over other coordinates. flat must have the length of g's own; it is not
// copied.
func WithFlatCoords(g geom.T, flat []float64) (geom.T, error) {
	if _, ok := g.(*geom.GeometryCollection); ok {
		return nil, fmt.Errorf("a GeometryCollection has no coordinates of its own")
	}
	if len(flat) != len(g.FlatCoords()) {
		return nil, fmt.Errorf("geometry has %d numbers, got %d", len(g.FlatCoords()), len(flat))
	}
	switch g := g.(type) {
	case *geom.Point:
		return geom.NewPointFlat(g.Layout(), flat), nil
	case *geom.LineString:
		return geom.NewLineStringFlat(g.Layout(), flat), nil
	case *geom.LinearRing:
		return geom.NewLinearRingFlat(g.Layout(), flat), nil
	case *geom.Polygon:
		return geom.NewPolygonFlat(g.Layout(), flat, g.Ends()), nil
	case *geom.MultiPoint:
		return geom.NewMultiPointFlat(g.Layout(), flat, geom.NewMultiPointFlatOptionWithEnds(g.Ends())), nil
	case *geom.MultiLineString:
		return geom.NewMultiLineStringFlat(g.Layout(), flat, g.Ends()), nil
	case *geom.MultiPolygon:
		return geom.NewMultiPolygonFlat(g.Layout(), flat, g.Endss()), nil
	}
	return nil, fmt.Errorf("geometry type %T is not one a plan holds", g)
}
