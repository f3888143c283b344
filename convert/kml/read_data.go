// Reading ExtendedData and the elements that mirror attributes: what belongs to
// the plan model's own parts, what is an attribute, and of which type.

package kml

import (
	"bytes"
	"regexp"
	"sort"
	"strconv"
	"strings"
	"sync"

	"swardline/convert/wire"
	"swardline/convert/wire/xml"
	"swardline/schema"
)

// fieldKind is the type of a SimpleField, as far as it matters here.
type fieldKind uint8

const (
	fieldText fieldKind = iota
	fieldNumber
	fieldBool
)

// fieldDef is one SimpleField.
type fieldDef struct {
	key  string
	kind fieldKind
}

// fieldTypes is one Schema.
type fieldTypes struct {
	ours   bool
	fields map[string]fieldDef // by name as written
}

// origin says where a field was found.
type origin uint8

const (
	fromElement    origin = iota // an element of KML's own; key is the attribute it mirrors
	fromData                     // a Data element
	fromSchema                   // a SimpleData of a Schema that is known
	fromUnresolved               // a SimpleData of a Schema that is not known yet
	fromOwnPart                  // a SimpleData of ours: a part of the feature or plan
	fromOwn                      // a SimpleData of ours: an attribute
)

// field is one value as read, before it is known what it belongs to.
type field struct {
	from origin
	kind fieldKind
	null bool   // there was no value element at all
	key  string // decoded
	text string // decoded, white space kept
	url  string // of the Schema, when it is not known yet
	at   int
}

// pendingValue is an attribute whose Schema came later than itself, or never.
type pendingValue struct {
	f     *schema.Feature
	index int
	url   string
	key   string
	at    int
}

// keySet knows which keys a set of attributes has; it turns to a map when there
// are many, so that a hostile file cannot make the search quadratic.
type keySet struct {
	known   map[string]bool
	repeats map[string]int
}

func (k *keySet) reset() {
	k.known, k.repeats = nil, nil
}

const scanKeys = 24 // up to here a scan is quicker than a map

func (k *keySet) has(a schema.Attributes, key string) bool {
	if len(a) <= scanKeys {
		return a.Has(key)
	}
	if k.known == nil {
		k.known = make(map[string]bool, 2*len(a))
		for i := range a {
			k.known[a[i].Key] = true
		}
	}
	return k.known[key]
}

// add appends an attribute, under another key when its own is taken.
func (r *reader) add(a *schema.Attributes, key string, v schema.Value, at int) {
	if r.taken.has(*a, key) {
		r.addUnder(a, key, v, at)
		return
	}
	r.put(a, key, v)
}

func (r *reader) put(a *schema.Attributes, key string, v schema.Value) {
	*a = append(*a, schema.Attribute{Key: key, Value: v})
	if r.taken.known != nil {
		r.taken.known[key] = true
	}
}

// addUnder appends an attribute whose key is taken with "_2", "_3", ... behind
// it.
func (r *reader) addUnder(a *schema.Attributes, key string, v schema.Value, at int) {
	if r.taken.repeats == nil {
		r.taken.repeats = map[string]int{}
	}
	n := max(r.taken.repeats[key], 1)
	free := key
	for {
		n++
		free = key + "_" + strconv.Itoa(n)
		if !r.taken.has(*a, free) {
			break
		}
	}
	r.taken.repeats[key] = n
	r.warn("attribute-repeated", at, 1, "the key %q is taken; the value was kept under %q", wire.Clip([]byte(key), 60), wire.Clip([]byte(free), 60))
	r.put(a, free, v)
}

// key returns a key as a string that is made only once a document.
func (r *reader) key(b []byte) string {
	if k, ok := r.keys[string(b)]; ok {
		return k
	}
	if r.keys == nil {
		r.keys = map[string]string{}
	}
	k := string(b)
	r.keys[k] = k
	return k
}

// elementField takes down the content of the current element under a key.
func (r *reader) elementField(fields *[]field, key string) error {
	at := r.at
	text, err := r.content()
	if err != nil {
		return err
	}
	*fields = append(*fields, field{from: fromElement, key: key, text: string(text), at: at})
	return nil
}

// extendedData reads an ExtendedData element; ours is true when it has the mark
// of one that this package wrote.
func (r *reader) extendedData(fields *[]field) (ours bool, err error) {
	for {
		more, err := r.child()
		if err != nil || !more {
			return ours, err
		}
		if r.space != nsKML {
			if err := r.foreign(fields); err != nil {
				return ours, err
			}
			continue
		}
		switch string(r.local) {
		case "Data":
			err = r.dataElement(fields)
		case "SchemaData":
			var mine bool
			mine, err = r.schemaData(fields)
			ours = ours || mine
		default:
			err = r.skipKnown()
		}
		if err != nil {
			return ours, err
		}
	}
}

// foreign reads an element of another vocabulary beside a feature's own data as
// data: what its attributes and its innermost elements say, under their names.
// Who made it, where more of it is and its postal address say nothing of the
// ground, and what is drawn is told as such.
func (r *reader) foreign(fields *[]field) error {
	switch kind := skipKinds()[string(r.local)]; kind {
	case "skipped-author", "skipped-link", "skipped-AddressDetails":
		return r.skipOther()
	default:
		if r.space == nsGX || (wire.Warning{Kind: kind}).Ground() {
			return r.skipOther()
		}
	}
	return r.anyData(fields)
}

// anyData takes down the attributes of the current element, and its text or what
// the elements in it say.
func (r *reader) anyData(fields *[]field) error {
	key, at, start := r.key(r.local), r.at, len(*fields)
	for _, a := range r.token.Attrs {
		if string(a.Prefix) == "xmlns" || string(a.Prefix) == "xsi" || a.Prefix == nil && string(a.Local) == "xmlns" {
			continue
		}
		text, err := r.AttrText(a)
		if err != nil {
			return err
		}
		*fields = append(*fields, field{from: fromData, key: r.key(a.Local), text: text, at: at})
	}
	var text []byte
	for {
		t, err := r.next()
		if err != nil {
			return err
		}
		switch t {
		case xml.End:
			if text = trimSpace(text); len(text) > 0 || len(*fields) == start {
				*fields = append(*fields, field{from: fromData, key: key, text: string(text), at: at})
			}
			return nil
		case xml.Text:
			text, err = r.AppendText(text, r.token)
		case xml.Start:
			switch string(r.local) {
			case "coordinates", "coord", "posList", "Model":
				r.warn("drawn-elsewhere", r.at, 1, "line %d: %s stands in the element %s, from which nothing is read: draw it as a Placemark in the Document itself", r.line(r.at), wire.Clip(r.local, 60), wire.Clip([]byte(key), 60))
				err = r.Skip()
			default:
				err = r.anyData(fields)
			}
		}
		if err != nil {
			return err
		}
	}
}

// dataElement reads a Data element.
func (r *reader) dataElement(fields *[]field) error {
	f := field{from: fromData, null: true, at: r.at}
	name, _, err := r.attr("name")
	if err != nil {
		return err
	}
	f.key = r.key(name)
	for {
		more, err := r.child()
		if err != nil {
			return err
		}
		if !more {
			*fields = append(*fields, f)
			return nil
		}
		if string(r.local) != "value" || r.space != nsKML {
			if err := r.skipKnown(); err != nil {
				return err
			}
			continue
		}
		text, err := r.content()
		if err != nil {
			return err
		}
		switch {
		case f.null:
		case f.text != string(text):
			r.warn("data-second", f.at, 1, "line %d: the Data element %q says %q and %q, and the last was read: which of them is right?", r.line(f.at), wire.Clip(name, 60), wire.Clip([]byte(f.text), 60), wire.Clip(text, 60))
		default:
			r.warn("data-repeated", f.at, 1, "a Data element has more than one value; the last one holds")
		}
		f.text, f.null = string(text), false
	}
}

// schemaData reads a SchemaData element; ours is true when it is the mark of a
// feature or plan that this package wrote.
func (r *reader) schemaData(fields *[]field) (ours bool, err error) {
	url, _, err := r.attr("schemaUrl")
	if err != nil {
		return false, err
	}
	id := url
	if i := bytes.LastIndexByte(url, '#'); i >= 0 {
		id = url[i+1:]
	}
	from, unresolved := fromSchema, ""
	types := r.schemas[string(id)]
	switch string(id) {
	case featureSchema, planSchema:
		from, ours = fromOwnPart, true
	case featureAttributes, planAttributes:
		from = fromOwn
		if types == nil && string(id) == featureAttributes {
			r.warn("schema-unknown", r.at, 1, "the Schema called %q is gone; numbers and truth values are texts now", id)
		}
	default:
		if types == nil {
			from, unresolved = fromUnresolved, r.key(id)
		}
	}
	for {
		more, err := r.child()
		if err != nil || !more {
			return ours, err
		}
		if string(r.local) != "SimpleData" || r.space != nsKML {
			if err := r.skipKnown(); err != nil {
				return ours, err
			}
			continue
		}
		f := field{from: from, url: unresolved, at: r.at}
		name, _, err := r.attr("name")
		if err != nil {
			return ours, err
		}
		known := false
		if types != nil {
			var def fieldDef
			if def, known = types.fields[string(name)]; known {
				f.key, f.kind = def.key, def.kind
			}
		}
		switch {
		case known:
		case from == fromOwn || from == fromOwnPart:
			f.key = r.ownKey(name)
		default:
			f.key = r.key(name)
		}
		text, err := r.content()
		if err != nil {
			return ours, err
		}
		f.text = string(text)
		*fields = append(*fields, f)
	}
}

// ownKey decodes a field's name of a Schema of ours.
func (r *reader) ownKey(name []byte) string {
	v, ok := parseOwn(string(name))
	if !ok || v.Kind() != schema.KindString {
		r.warn("json-broken", r.at, 1, "%q starts with = but is no JSON text; it was kept as it is", wire.Clip(name, 60))
		return r.key(name)
	}
	return r.key([]byte(v.Text()))
}

func isOwnSchema(id string) bool {
	switch id {
	case featureSchema, featureAttributes, planSchema, planAttributes:
		return true
	}
	return false
}

// schema reads a Schema element.
func (r *reader) schema() error {
	idBytes, _, err := r.attr("id")
	if err != nil {
		return err
	}
	id := string(idBytes)
	nameBytes, _, err := r.attr("name")
	if err != nil {
		return err
	}
	name := string(nameBytes)
	s := &fieldTypes{ours: isOwnSchema(id), fields: map[string]fieldDef{}}
	for {
		more, err := r.child()
		if err != nil {
			return err
		}
		if !more {
			if r.parts != nil && r.parts.schemas {
				r.parts.late = true
			}
			if r.schemas == nil {
				r.schemas = map[string]*fieldTypes{}
			}
			if id != "" {
				r.schemas[id] = s
			}
			if _, taken := r.schemas[name]; !taken && name != "" {
				r.schemas[name] = s
			}
			return nil
		}
		if string(r.local) != "SimpleField" || r.space != nsKML {
			if err := r.skipKnown(); err != nil {
				return err
			}
			continue
		}
		field, _, err := r.attr("name")
		if err != nil {
			return err
		}
		typeWord, _, err := r.attr("type")
		if err != nil {
			return err
		}
		def := fieldDef{kind: r.fieldKind(typeWord)}
		if s.ours {
			def.key = r.ownKey(field)
		} else {
			def.key = r.key(field)
		}
		s.fields[string(field)] = def
		if err := r.fieldRest(); err != nil {
			return err
		}
	}
}

// fieldRest passes over the content of a SimpleField, which is a displayName at
// most.
func (r *reader) fieldRest() error {
	for {
		t, err := r.next()
		if err != nil {
			return err
		}
		switch t {
		case xml.End:
			return nil
		case xml.Start:
			if err := r.skipKnown(); err != nil {
				return err
			}
		}
	}
}

// fieldKind returns the kind of a SimpleField's type.
func (r *reader) fieldKind(word []byte) fieldKind {
	w := strings.ToLower(trimmed(string(word)))
	w = strings.TrimPrefix(strings.TrimPrefix(w, "xsd:"), "xs:")
	switch w {
	case "int", "uint", "short", "ushort", "float", "double":
		return fieldNumber
	case "bool":
		return fieldBool
	case "string":
		return fieldText
	}
	r.warn("field-type", r.at, 1, "%q is no type of KML; the field's values are texts", wire.Clip(word, 60))
	return fieldText
}

// value returns the typed value of a field that is no element. Text fields of
// other writers lose the white space around them.
func (r *reader) value(f *field) schema.Value {
	if f.null {
		return schema.Null()
	}
	own := f.from == fromOwn || f.from == fromOwnPart
	if own && (f.kind == fieldText || strings.HasPrefix(f.text, "=")) {
		v, ok := parseOwn(f.text)
		if !ok {
			r.warn("json-broken", f.at, 1, "%q starts with = but no JSON follows; it was kept as text", wire.Clip([]byte(f.text), 60))
		}
		return v
	}
	v, ok := typedValue(f.kind, f.text)
	if !ok {
		r.warn("value-type", f.at, 1, "%q is not of the type that the Schema gives the field %q; it was kept as text", wire.Clip([]byte(f.text), 60), wire.Clip([]byte(f.key), 60))
	}
	return v
}

// typedValue reads a text as a value of the kind; where it is none, ok is false
// and the value the text itself.
func typedValue(kind fieldKind, text string) (v schema.Value, ok bool) {
	text = trimmed(text)
	if kind == fieldText {
		return schema.String(text), true
	}
	if text == "" {
		return schema.Null(), true
	}
	if kind == fieldBool {
		if b, ok := parseBool(text); ok {
			return schema.Bool(b), true
		}
		return schema.String(text), false
	}
	if _, ok := wire.ParseFloat([]byte(text)); !ok {
		return schema.String(text), false
	}
	if v, ok := schema.Number(text); ok {
		return v, true
	}
	// What XML Schema allows and JSON does not: +5, .5, 5. and the like. A
	// leading zero is left alone: 007 is a label, not a number.
	plain := strings.TrimPrefix(text, "+")
	sign := ""
	if strings.HasPrefix(plain, "-") {
		sign, plain = "-", plain[1:]
	}
	if strings.HasPrefix(plain, ".") {
		plain = "0" + plain
	}
	if i := strings.IndexByte(plain, '.'); i >= 0 && (i+1 == len(plain) || plain[i+1]|0x20 == 'e') {
		plain = plain[:i] + plain[i+1:]
	}
	if v, ok := schema.Number(sign + plain); ok {
		return v, true
	}
	return schema.String(text), false
}

// parseBool reads an xsd:boolean, in any case.
func parseBool(text string) (b, ok bool) {
	switch strings.ToLower(text) {
	case "1", "true":
		return true, true
	case "0", "false":
		return false, true
	}
	return false, false
}

// elementValue returns the attribute that an element of KML's own stands for,
// absent when it says nothing.
func (r *reader) elementValue(f *field) schema.Value {
	text := trimmed(f.text)
	if text == "" {
		return schema.Value{}
	}
	if f.key == propVisibility {
		if b, ok := parseBool(text); ok {
			return schema.Bool(b)
		}
		r.warn("value-type", f.at, 1, "visibility is %q, neither 0 nor 1; it was kept as text", wire.Clip([]byte(text), 60))
	}
	return schema.String(text)
}

// room returns an empty set of attributes with room for what the fields make;
// nil when that is nothing.
func room(fields []field) schema.Attributes {
	if len(fields) == 0 {
		return nil
	}
	return make(schema.Attributes, 0, len(fields))
}

// foreignFields fills a feature from a Placemark of another writer.
func (r *reader) foreignFields(f *schema.Feature, m *placemark) {
	if m.id != "" {
		f.ID = schema.String(m.id)
	}
	f.Name = trimmed(m.name)
	f.Attributes = room(m.fields)
	roleSet := false
	for i := range m.fields {
		fd := &m.fields[i]
		if fd.from == fromElement {
			if v := r.elementValue(fd); !v.IsAbsent() {
				r.add(&f.Attributes, fd.key, v, fd.at)
			}
			continue
		}
		v := r.foreignValue(fd)
		if v.Kind() == schema.KindString {
			switch fd.key {
			case schema.PropRole:
				if role, ok := schema.ParseRole(v.Text()); ok && !roleSet {
					f.Role, roleSet = role, true
					if role != schema.RoleOther { // said, which differs from not said
						continue
					}
				} else if roleSet { // the second one is kept beside the role that holds
					r.addUnder(&f.Attributes, fd.key, v, fd.at)
					continue
				}
			case schema.PropName:
				if f.Name == "" {
					f.Name = v.Text()
				}
				if f.Name == v.Text() {
					continue
				}
			}
		}
		if fd.key == schema.PropName && f.Name != "" {
			r.addUnder(&f.Attributes, fd.key, v, fd.at)
			continue
		}
		r.add(&f.Attributes, fd.key, v, fd.at)
		if fd.from == fromUnresolved {
			r.pending = append(r.pending, pendingValue{f, len(f.Attributes) - 1, fd.url, fd.key, fd.at})
		}
	}
}

// foreignValue is value for a field of a Placemark of another writer.
func (r *reader) foreignValue(f *field) schema.Value {
	if f.from == fromData || f.from == fromUnresolved {
		if f.null {
			return schema.Null()
		}
		return schema.String(trimmed(f.text))
	}
	return r.value(f)
}

// resolve gives an attribute the type that a later Schema says.
func (r *reader) resolve(p pendingValue) {
	types := r.lookup(p.url)
	if types == nil {
		r.warn("schema-unknown", p.at, 1, "there is no Schema called %q; its values were kept as texts", wire.Clip([]byte(p.url), 60))
		return
	}
	def, ok := types.fields[p.key]
	if !ok {
		return
	}
	v, ok := typedValue(def.kind, p.f.Attributes[p.index].Value.Text())
	if !ok {
		r.warn("value-type", p.at, 1, "%q is not of the type that the Schema gives the field %q; it was kept as text", wire.Clip([]byte(v.Text()), 60), wire.Clip([]byte(p.key), 60))
	}
	p.f.Attributes[p.index].Value = v
}

// ownFields fills a feature from a Placemark of ours and returns what the field
// geometry says.
func (r *reader) ownFields(f *schema.Feature, m *placemark) (typed string) {
	f.Name = m.name
	f.Attributes = room(m.fields)
	mirrored := false
	var nulls *field
	for i := range m.fields {
		fd := &m.fields[i]
		switch fd.from {
		case fromElement:
			mirrored = true
			continue
		case fromOwnPart:
		case fromOwn:
			r.add(&f.Attributes, fd.key, r.value(fd), fd.at)
			continue
		default: // somebody added it
			r.add(&f.Attributes, fd.key, r.foreignValue(fd), fd.at)
			if fd.from == fromUnresolved {
				r.pending = append(r.pending, pendingValue{f, len(f.Attributes) - 1, fd.url, fd.key, fd.at})
			}
			continue
		}
		switch fd.key {
		case partRole:
			f.Role = r.ownRole(f, fd)
		case partID:
			if v := r.value(fd); v.Kind() == schema.KindString || v.Kind() == schema.KindNumber {
				f.ID = v
			}
		case partName:
			f.Name = r.ownName(fd, m.name)
		case partGeometry:
			typed = fd.text
		case partNulls:
			nulls = fd
		default:
			r.warn("skipped-unknown", fd.at, 1, "a feature has no part called %q", wire.Clip([]byte(fd.key), 60))
		}
	}
	if nulls != nil {
		r.addNulls(&f.Attributes, nulls)
	}
	if mirrored {
		for i := range m.fields {
			if fd := &m.fields[i]; fd.from == fromElement {
				r.mirror(&f.Attributes, fd)
			}
		}
	}
	return typed
}

// ownName returns the text of the field name, unless the name element that
// shows it was edited.
func (r *reader) ownName(fd *field, shown string) string {
	v := r.value(fd)
	if shownText(v.Text()) == shown {
		return v.Text()
	}
	r.edited(fd.at, partName)
	return shown
}

// addNulls puts the attributes that are null where the field nulls says.
func (r *reader) addNulls(a *schema.Attributes, fd *field) {
	type null struct {
		key string
		at  int
	}
	var nulls []null
	v, ok := parseOwn(fd.text)
	ok = ok && v.Kind() == schema.KindObject
	for _, item := range v.Fields() {
		at, err := strconv.Atoi(item.Value.Text())
		if err != nil || at < 0 || item.Value.Kind() != schema.KindNumber {
			ok = false
			continue
		}
		if !r.taken.has(*a, item.Key) { // else somebody gave it a value
			nulls = append(nulls, null{item.Key, at})
		}
	}
	if !ok {
		r.warn("json-broken", fd.at, 1, "the field nulls is no JSON object of places: %q", wire.Clip([]byte(fd.text), 60))
	}
	if len(nulls) == 0 {
		return
	}
	sort.SliceStable(nulls, func(i, j int) bool { return nulls[i].at < nulls[j].at })
	all := make(schema.Attributes, 0, len(*a)+len(nulls))
	rest := *a
	for _, n := range nulls {
		for len(all) < n.at && len(rest) > 0 {
			all, rest = append(all, rest[0]), rest[1:]
		}
		all = append(all, schema.Attribute{Key: n.key, Value: schema.Null()})
	}
	*a = append(all, rest...)
	r.taken.reset()
}

// ownRole returns the role that the field role names.
func (r *reader) ownRole(f *schema.Feature, fd *field) schema.Role {
	role, ok := schema.ParseRole(trimmed(fd.text))
	if !ok {
		r.warn("role-unknown", fd.at, 1, "%q is no role; it was kept as an attribute", wire.Clip([]byte(fd.text), 60))
		r.add(&f.Attributes, schema.PropRole, schema.String(fd.text), fd.at)
	}
	return role
}

// mirror compares an element with the attribute that it mirrors; where they
// differ somebody edited the element, and it holds.
func (r *reader) mirror(a *schema.Attributes, fd *field) {
	shown, ok := shownAttribute(fd.key, a.Get(fd.key))
	text := fd.text
	if fd.key == propVisibility {
		if b, isBool := parseBool(trimmed(text)); isBool {
			text = boolText(b)
		}
	}
	if ok && shown == text {
		return
	}
	v := r.elementValue(fd)
	if v.IsAbsent() {
		return
	}
	r.edited(fd.at, fd.key)
	a.Set(fd.key, v)
}

func (r *reader) edited(at int, key string) {
	r.warn("edited", at, 1, "KML's own element says something else than the attribute %q; it was edited and holds", key)
}

func boolText(b bool) string {
	if b {
		return "1"
	}
	return "0"
}

// shownAttribute returns how an attribute shows as an element of KML's own; ok
// is false when it does not show at all.
func shownAttribute(key string, v schema.Value) (text string, ok bool) {
	switch key {
	case schema.PropNote, propAddress, propPhone, propSnippet:
		return shownText(v.Text()), v.Kind() == schema.KindString
	case propVisibility:
		b, ok := v.Truth()
		return boolText(b), ok
	case propTime, propTimeBegin, propTimeEnd:
		return v.Text(), v.Kind() == schema.KindString && isXSDTime(v.Text())
	}
	return "", false
}

// finishRoot fills the plan's own parts from the first container.
func (r *reader) finishRoot() {
	p := r.plan
	r.taken.reset()
	if !r.rootOurs {
		p.Name = trimmed(r.rootName)
		for i := range r.rootFields {
			fd := &r.rootFields[i]
			v := schema.Value{}
			if fd.from == fromElement {
				v = r.elementValue(fd)
			} else {
				r.settle(fd)
				v = r.foreignValue(fd)
			}
			if !v.IsAbsent() {
				r.add(&p.Attributes, fd.key, v, fd.at)
			}
		}
		return
	}
	p.Name = r.rootName
	var nulls *field
	for i := range r.rootFields {
		fd := &r.rootFields[i]
		r.settle(fd)
		switch fd.from {
		case fromElement:
			continue
		case fromOwnPart:
		case fromOwn:
			r.add(&p.Attributes, fd.key, r.value(fd), fd.at)
			continue
		default: // somebody added it
			r.add(&p.Attributes, fd.key, r.foreignValue(fd), fd.at)
			continue
		}
		switch fd.key {
		case partEpoch:
			if e, ok := wire.ParseFloat([]byte(fd.text)); ok {
				p.Epoch = e
			} else {
				r.warn("value-type", fd.at, 1, "the epoch %q is no decimal year", wire.Clip([]byte(fd.text), 60))
			}
		case partName:
			p.Name = r.ownName(fd, r.rootName)
		case partNulls:
			nulls = fd
		default:
			r.warn("skipped-unknown", fd.at, 1, "a plan has no part called %q", wire.Clip([]byte(fd.key), 60))
		}
	}
	if nulls != nil {
		r.addNulls(&p.Attributes, nulls)
	}
	for i := range r.rootFields {
		if fd := &r.rootFields[i]; fd.from == fromElement {
			r.mirror(&p.Attributes, fd)
		}
	}
}

// settle gives a field of the first container the type of its Schema, which
// always comes later.
func (r *reader) settle(f *field) {
	switch f.from {
	case fromOwn:
		if types := r.schemas[planAttributes]; types != nil {
			f.kind = types.fields[ownText(f.key)].kind
		}
	case fromUnresolved:
		types := r.schemas[f.url]
		if types == nil {
			r.warn("schema-unknown", f.at, 1, "there is no Schema called %q; its values were kept as texts", wire.Clip([]byte(f.url), 60))
			return
		}
		f.from, f.kind = fromSchema, types.fields[f.key].kind
	}
}

// xsdTime is the form of KML's dateTimeType: an xsd:dateTime, date, gYearMonth
// or gYear, with a year of four digits.
var xsdTime = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`^(\d{4})(?:-(\d\d)(?:-(\d\d)(?:T(\d\d):(\d\d):(\d\d)(?:\.\d+)?)?)?)?(?:Z|[+-](\d\d):(\d\d))?$`)
})

// isXSDTime reports whether a text is one that KML's dateTimeType takes.
func isXSDTime(text string) bool {
	m := xsdTime().FindStringSubmatch(text)
	if m == nil {
		return false
	}
	var v [9]int // year, month, day, hour, minute, second, zone's hour and minute
	for i := 1; i < len(v); i++ {
		if m[i] == "" {
			if i == 2 || i == 3 {
				v[i] = 1
			}
			continue
		}
		v[i], _ = strconv.Atoi(m[i]) // two or four digits
	}
	return v[1] >= 1 && v[2] >= 1 && v[2] <= 12 && v[3] >= 1 && v[3] <= daysIn(v[1], v[2]) &&
		v[4] <= 23 && v[5] <= 59 && v[6] <= 59 && v[7]*60+v[8] <= 14*60 && v[8] <= 59
}

func daysIn(year, month int) int {
	switch month {
	case 2:
		if year%4 == 0 && (year%100 != 0 || year%400 == 0) {
			return 29
		}
		return 28
	case 4, 6, 9, 11:
		return 30
	}
	return 31
}
