// The fields of elements: names, texts, numbers, and objects of them.

package gpx

import (
	"bytes"
	"strings"

	"swardline/convert/wire"
	"swardline/schema"
)

// trimTexts takes pretty-printing off foreign texts.
func (r *reader) trimTexts(a schema.Attributes) {
	for i := range a {
		if a[i].Value.Kind() == schema.KindString {
			a[i].Value = schema.String(edgesTrimmed(a[i].Value.Text()))
		}
	}
}

// readField reads one of GPX's own elements into the attributes; an element of
// another namespace, or one GPX does not know, is appended to foreign.
func (r *reader) readField(t token, fields []field, into *schema.Attributes, foreign *[]byte) error {
	var f *field
	if t.Space == spaceGPX {
		if f = fieldNamed(fields, t.Local); f == nil && len(fields) > 0 {
			old := oldFields
			if &fields[0] == &vertexFields[0] {
				old = oldVertices
			}
			f = fieldNamed(old, t.Local)
		}
	}
	if f == nil {
		if r.version != "1.0" || t.Space == spaceGPX { // version 1.0 lets foreign elements stand anywhere
			r.warn("element-misplaced", t.From, "<%s> is no element that stands here; it was kept among the extensions", wire.Clip(t.Local, 40))
		}
		var err error
		*foreign, err = r.capture(*foreign, t)
		return err
	}
	switch f.form {
	case formLinks:
		v, err := r.object(t, f.shape)
		if err != nil {
			return err
		}
		before := into.Get(f.key).Items()
		into.Set(f.key, schema.List(append(before[:len(before):len(before)], v)...))
		return nil
	case formObject:
		v, err := r.object(t, f.shape)
		if err != nil {
			return err
		}
		return r.put(f, t, v, into)
	}
	local := t.From
	text, err := r.text()
	if err != nil {
		return err
	}
	if strings.TrimSpace(text) == "" && (text == "" || strings.Contains(text, "\n") || f.form != formText) {
		r.warn("element-empty", local, "<%s> is empty; it was read as absent", f.name)
		return nil
	}
	v, ok := f.valueOf(text)
	if !ok {
		r.warn("value-form", local, "%q is no value for <%s>; it was kept as text", wire.Clip([]byte(text), 40), f.name)
	}
	return r.put(f, t, v, into)
}

func (r *reader) put(f *field, t token, v schema.Value, into *schema.Attributes) error {
	if before := into.Get(f.key); !before.IsAbsent() {
		if before.Equal(v) {
			r.warn("element-repeated", t.From, "<%s> stands twice; the first one holds", f.name)
			return nil
		}
		r.warn("element-second", t.From, "<%s> stands twice and says %s and %s, and the first was read: which of them is right?", f.name, wire.Clip(before.AppendJSON(nil), 60), wire.Clip(v.AppendJSON(nil), 60))
		return nil
	}
	*into = append(*into, schema.Attribute{Key: f.key, Value: v})
	return nil
}

// object reads an element of the given shape. Without any child that the shape
// knows, as GPX 1.0 writes an author, it is a text.
func (r *reader) object(t token, s *shape) (schema.Value, error) {
	var fields schema.Attributes
	for i := range s.attrs {
		text, ok, err := r.Attribute(t, s.attrs[i].name)
		if err != nil {
			return schema.Value{}, err
		}
		if ok {
			v, _ := s.attrs[i].valueOf(text)
			fields = append(fields, schema.Attribute{Key: s.attrs[i].name, Value: v})
		}
	}
	at, depth := t.From, len(r.Open)
	var text []byte
	var children schema.Attributes
	for {
		t, ok, err := r.child(depth, func(t token) error {
			var err error
			text, err = r.Decode(text, r.Data[t.From:t.To], t.From, t.CDATA, false)
			return err
		})
		if err != nil {
			return schema.Value{}, err
		}
		if !ok {
			break
		}
		f := fieldNamed(s.children, t.Local)
		switch {
		case f == nil || t.Space != spaceGPX:
			r.warn("element-unknown", t.From, "<%s> is no element that stands here; it is passed over", wire.Clip(t.Local, 40))
			err = r.Skip()
		case f.form == formObject:
			var v schema.Value
			if v, err = r.object(t, f.shape); err == nil {
				err = r.put(f, t, v, &children)
			}
		default:
			err = r.readField(t, s.children, &children, &r.rootForeign)
		}
		if err != nil {
			return schema.Value{}, err
		}
	}
	if len(text) > 0 {
		if len(fields) == 0 && len(children) == 0 {
			return schema.String(edgesTrimmed(string(text))), nil
		}
		r.warn("stray-text", at, "the text %q stands between elements; it is passed over", wire.Clip(bytes.TrimSpace(text), 40))
	}
	for i := range s.children {
		if v := children.Get(s.children[i].name); !v.IsAbsent() {
			fields = append(fields, schema.Attribute{Key: s.children[i].name, Value: v})
		}
	}
	if fields == nil {
		fields = schema.Attributes{}
	}
	return schema.Object(fields), nil
}
