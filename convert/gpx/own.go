// Our own extensions as read: what s:feature, s:more and s:plan say.

package gpx

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"swardline/convert/wire/jsontext"
	"swardline/schema"
)

// ownAttribute is one s:attribute.
type ownAttribute struct {
	key    string
	value  schema.Value
	native bool // the value stands in GPX's own element
}

// member is the shape of a geometry: of a feature, or of one member of a
// collection.
type member struct {
	geometry string
	pieces   int
	empty    []int
	members  []member
}

// ownFeature is one s:feature or s:more.
type ownFeature struct {
	n        int
	more     bool
	id       schema.Value
	role     string
	name     string
	hasName  bool
	shape    member
	attrs    []ownAttribute
	position int // byte offset
}

// jsonText returns the text that the attribute name holds, or the attribute
// name-json as JSON.
func (s *scanner) jsonText(t token, name string) (text string, ok bool, err error) {
	if text, ok, err = s.Attribute(t, name+"-json"); err != nil || !ok {
		if err == nil {
			text, ok, err = s.Attribute(t, name)
		}
		return text, ok, err
	}
	v, jsonErr := jsontext.Parse([]byte(text))
	if jsonErr != nil || v.Kind() != schema.KindString {
		return "", false, s.fail(t.From, "put the text in double quotes, as JSON does", "%s-json=%q is no JSON string", name, text)
	}
	return v.Text(), true, nil
}

// count reads an attribute that holds a whole number from 0.
func (s *scanner) count(t token, name string) (int, bool, error) {
	text, ok, err := s.Attribute(t, name)
	if err != nil || !ok {
		return 0, false, err
	}
	n, convErr := strconv.Atoi(text)
	if convErr != nil || n < 0 || n > math.MaxInt32 || text[0] == '+' || text[0] == '-' {
		return 0, false, s.fail(t.From, "", "%s=%q of s:%s is no whole number from 0", name, text, t.Local)
	}
	return n, true, nil
}

// shapeOf reads the attributes geometry, pieces and empty.
func (s *scanner) shapeOf(t token) (member, error) {
	var m member
	var err error
	if m.geometry, _, err = s.Attribute(t, "geometry"); err != nil {
		return m, err
	}
	if m.pieces, _, err = s.count(t, "pieces"); err != nil {
		return m, err
	}
	text, _, err := s.Attribute(t, "empty")
	if err != nil {
		return m, err
	}
	for _, word := range strings.Fields(text) {
		n, convErr := strconv.Atoi(word)
		if convErr != nil || n < 1 || len(m.empty) > 0 && n <= m.empty[len(m.empty)-1] {
			return m, s.fail(t.From, "", "empty=%q of s:%s is no ascending list of numbers from 1", text, t.Local)
		}
		m.empty = append(m.empty, n)
	}
	switch m.geometry {
	case "", "Point", "LineString", "LinearRing", "Polygon", "MultiPoint", "MultiLineString", "MultiPolygon", "GeometryCollection":
		return m, nil
	}
	return m, s.fail(t.From, "", "geometry=%q of s:%s is no type of geometry", m.geometry, t.Local)
}

// readOwn reads an s:feature or s:more whose start tag is t.
func (s *scanner) readOwn(t token) (*ownFeature, error) {
	own := &ownFeature{more: string(t.Local) == "more", position: t.From}
	var err error
	var ok bool
	if own.n, _, err = s.count(t, "n"); err != nil {
		return nil, err
	}
	if own.more {
		return own, s.Skip()
	}
	if own.role, _, err = s.Attribute(t, "role"); err != nil {
		return nil, err
	}
	if own.shape, err = s.shapeOf(t); err != nil {
		return nil, err
	}
	if own.name, own.hasName, err = s.jsonText(t, "name"); err != nil {
		return nil, err
	}
	id, ok, err := s.jsonText(t, "id")
	if err != nil {
		return nil, err
	}
	if ok {
		own.id = schema.String(id)
		kind, _, err := s.Attribute(t, "id-type")
		if err != nil {
			return nil, err
		}
		if kind == "number" {
			if own.id, ok = schema.Number(id); !ok {
				return nil, s.fail(t.From, "", "id=%q is no number", id)
			}
		}
	}
	own.attrs, own.shape.members, err = s.readOwnChildren()
	return own, err
}

func (s *scanner) readOwnChildren() (attrs []ownAttribute, members []member, err error) {
	depth := len(s.Open)
	for {
		t, ok, err := s.child(depth, s.strayText)
		if err != nil || !ok {
			return attrs, members, err
		}
		switch {
		case t.Space == spaceOwn && string(t.Local) == "attribute":
			a, err := s.readOwnAttribute(t)
			if err != nil {
				return nil, nil, err
			}
			attrs = append(attrs, a)
		case t.Space == spaceOwn && string(t.Local) == "member":
			m, err := s.shapeOf(t)
			if err != nil {
				return nil, nil, err
			}
			if _, m.members, err = s.readOwnChildren(); err != nil {
				return nil, nil, err
			}
			members = append(members, m)
		default:
			if err := s.unknownOwn(t); err != nil {
				return nil, nil, err
			}
		}
	}
}

func (s *scanner) readOwnAttribute(t token) (ownAttribute, error) {
	key, ok, err := s.jsonText(t, "name")
	if err != nil {
		return ownAttribute{}, err
	}
	if !ok {
		return ownAttribute{}, s.fail(t.From, "", "an s:attribute has no name")
	}
	native, _, err := s.Attribute(t, "native")
	if err != nil {
		return ownAttribute{}, err
	}
	at := s.Pos
	text, err := s.text()
	if err != nil {
		return ownAttribute{}, err
	}
	a := ownAttribute{key: key, native: native == "true"}
	if a.native {
		return a, nil
	}
	if a.value, err = jsontext.Parse([]byte(text)); err != nil {
		return a, s.fail(at, "write its value as JSON: 45, \"text\", true, null, [...] or {...}", "attribute %q: %v", key, err)
	}
	return a, nil
}

// poorFixes are those of GPX's words for a solution that a fixed one is never called;
// it has none for that, and dgps is what programs write.
var poorFixes = []string{"none", "2d", "3d"}

// merge returns the attributes in the order that our extension gives, taking
// native values from found. What stands in GPX's own elements and is not listed
// was put there by somebody else since; it is kept at the end, and so is a fix that
// says otherwise: swardline writes no second one.
func (own *ownFeature) merge(found schema.Attributes, role schema.Role) (out schema.Attributes, missing string) {
	if len(own.attrs) > 0 {
		out = make(schema.Attributes, 0, len(own.attrs))
	}
	var at map[string]int // only for long lists; a scan serves short ones
	if len(own.attrs) > 16 {
		at = make(map[string]int, len(own.attrs))
	}
	for _, a := range own.attrs {
		v := a.value
		if a.native {
			if v = found.Get(a.key); v.IsAbsent() {
				missing = a.key
				continue
			}
		}
		if at == nil {
			out.Set(a.key, v)
		} else if i, ok := at[a.key]; ok {
			out[i].Value = v
		} else {
			at[a.key] = len(out)
			out = append(out, schema.Attribute{Key: a.key, Value: v})
		}
	}
	for _, a := range found {
		switch {
		case a.Key == "fix" && out.Has("fix") && !out.Has("fix_2") && slices.Contains(poorFixes, a.Value.Text()) && !out.Get("fix").Equal(a.Value):
			out = append(out, schema.Attribute{Key: "fix_2", Value: a.Value})
		case out.Has(a.Key):
			out = keepDrawn(out, a)
		case a.Key == KindAttribute, a.Key == creatorKey, a.Key == "type" && a.Value.Text() == string(role):
		default:
			out = append(out, a)
		}
	}
	return out, missing
}
