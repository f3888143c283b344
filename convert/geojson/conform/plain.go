// Features that plainly are as the schema document asks, told by one walk over
// their text. The schema engine takes twenty times as long and is left the
// rest.

package conform

import (
	"bytes"
	"strconv"
	"unicode/utf8"

	"swardline/convert/wire"
	"swardline/convert/wire/jsontext"
	"swardline/schema"
)

// plainText walks over JSON text that is expected to be in order. Its methods
// return the index behind what they stepped over, and false as soon as anything
// is unusual: such text goes the long way, which finds out whether it is wrong.
// True means that the schema document holds for it; a test holds this against
// the engine.
type plainText []byte

// Classes of geometry types, by which roles ask for them.
const (
	classNone = iota // null, or no role that asks for any
	classArea
	classLine
	classPoint
	classOther
)

var plainGeometries = map[string]struct{ class, depth, least int }{
	// depth is how often lists nest about positions; least is the fewest
	// positions in the innermost of them.
	"Point":           {classPoint, 0, 0},
	"MultiPoint":      {classOther, 1, 0},
	"LineString":      {classLine, 1, 2},
	"MultiLineString": {classLine, 2, 2},
	"Polygon":         {classArea, 2, 4},
	"MultiPolygon":    {classArea, 3, 4},
}

// plainRoot reports whether the outermost object plainly is as the document
// asks, with no feature left to look at: what most plans are like, and reading
// the document for it would take longer than the check.
func plainRoot(v any) bool {
	members, _ := v.(map[string]any)
	if _, ok := members["type"]; !ok {
		return false
	}
	if list, ok := members["features"].([]any); !ok || len(list) > 0 {
		return false
	}
	for name, v := range members {
		ok := true
		switch name {
		case "type":
			ok = v == "FeatureCollection"
		case "name":
			_, ok = v.(string)
		case "held":
			ok = v == "offsets" || v == "coordinates"
		case "epoch", "limits", "site_grid", "placement", "history", "given", "beside", "plan_attributes", "crs_unknown", "conformsTo", "coordRefSys", "bbox",
			"crs", "geometry", "properties", "coordinates", "geometries":
			return false
		}
		if !ok {
			return false
		}
	}
	return true
}

func plainRoleClass(role string) (class int, ok bool) {
	switch schema.Role(role) {
	case schema.RoleZone, schema.RoleKeepout, schema.RoleBoundary, schema.RoleBuilding:
		return classArea, true
	case schema.RoleCorridor, schema.RoleEdge:
		return classLine, true
	case schema.RoleDock, schema.RoleBase, schema.RoleMark, schema.RoleSupply:
		return classPoint, true
	case schema.RoleHazard, schema.RoleOther:
		return classNone, true
	}
	return classNone, false
}

// plainWalk is a walk over text of which a reader may have found the lists of
// coordinates to be in order.
type plainWalk struct {
	plainText
	lists []wire.List
}

// read returns the index behind the list of coordinates at data[at] that a
// reader found to nest so deep and to have so many positions at the least.
func (p *plainWalk) read(at, depth, least int) (next int, ok bool) {
	for len(p.lists) > 0 && p.lists[0].Start < at {
		p.lists = p.lists[1:]
	}
	if len(p.lists) == 0 {
		return at, false
	}
	l := &p.lists[0]
	return l.End, l.Start == at && l.Depth == depth && l.Least >= least
}

// feature steps over a Feature.
func (p *plainWalk) feature(at int) (int, bool) {
	const (
		hasType = 1 << iota
		hasID
		hasGeometry
		hasProperties
		hasPlace
		hasTime
	)
	seen, asked, place, geometry := 0, classNone, classNone, classNone
	next, ok := p.object(at, func(key []byte, at int) (int, bool) {
		bit, ok := 0, false
		switch string(key) {
		case "type":
			bit = hasType
			at, ok = p.word(at, `"Feature"`)
		case "id":
			bit = hasID
			var kind byte
			_, kind, at, ok = p.scalar(at)
			ok = ok && (kind == '"' || kind == '0')
		case "geometry":
			bit = hasGeometry
			geometry, at, ok = p.geometry(at)
		case "place":
			bit = hasPlace
			place, at, ok = p.geometry(at)
		case "time":
			bit = hasTime
			at, ok = p.word(at, "null")
		case "properties":
			bit = hasProperties
			asked, at, ok = p.properties(at)
		}
		if seen&bit != 0 {
			ok = false
		}
		seen |= bit
		return at, ok
	})
	const required = hasType | hasGeometry | hasProperties
	fits := func(class int) bool { return asked == classNone || class == classNone || class == asked }
	return next, ok && seen&required == required && fits(geometry) && fits(place)
}

// object steps over an object, calling each for its members' values.
func (p plainText) object(at int, each func(key []byte, at int) (int, bool)) (int, bool) {
	if at >= len(p) || p[at] != '{' {
		return at, false
	}
	at = jsontext.SkipSpace(p, at+1)
	if at < len(p) && p[at] == '}' {
		return at + 1, true
	}
	for {
		key, next, ok := p.text(at)
		if !ok {
			return at, false
		}
		at = jsontext.SkipSpace(p, next)
		if at >= len(p) || p[at] != ':' {
			return at, false
		}
		if at, ok = each(key, jsontext.SkipSpace(p, at+1)); !ok {
			return at, false
		}
		at = jsontext.SkipSpace(p, at)
		if at < len(p) && p[at] == '}' {
			return at + 1, true
		}
		if at >= len(p) || p[at] != ',' {
			return at, false
		}
		at = jsontext.SkipSpace(p, at+1)
	}
}

// text steps over a string without escapes and returns what is in it.
func (p plainText) text(at int) (text []byte, next int, ok bool) {
	if at >= len(p) || p[at] != '"' {
		return nil, at, false
	}
	start, wide := at+1, false
	for at++; at < len(p); at++ {
		switch c := p[at]; {
		case c == '"':
			text = p[start:at]
			return text, at + 1, !wide || utf8.Valid(text)
		case c == '\\' || c < 0x20:
			return nil, at, false
		case c >= utf8.RuneSelf:
			wide = true
		}
	}
	return nil, at, false
}

func (p plainText) word(at int, word string) (int, bool) {
	if len(p)-at < len(word) || string(p[at:at+len(word)]) != word {
		return at, false
	}
	return at + len(word), true
}

// scalar steps over a text, number, bool or null and returns it with its kind:
// '"', '0', 't' or 'n'. The text comes without its quotes.
func (p plainText) scalar(at int) (text []byte, kind byte, next int, ok bool) {
	if at >= len(p) {
		return nil, 0, at, false
	}
	switch c := p[at]; {
	case c == '"':
		text, next, ok = p.text(at)
		return text, '"', next, ok
	case c == 't':
		next, ok = p.word(at, "true")
		return p[at:next], 't', next, ok
	case c == 'f':
		next, ok = p.word(at, "false")
		return p[at:next], 't', next, ok
	case c == 'n':
		next, ok = p.word(at, "null")
		return p[at:next], 'n', next, ok
	case c == '-' || wire.IsDigit(c):
		next = at + 1
		for next < len(p) && wire.IsNumberByte(p[next]) {
			next++
		}
		// Exponents go the long way: they may be out of range.
		return p[at:next], '0', next, next-at < 300 && !bytes.ContainsAny(p[at:next], "eE") && schema.IsNumber(string(p[at:next]))
	}
	return nil, 0, at, false
}

// properties steps over the properties and returns the class of geometry that
// the role asks for.
func (p plainText) properties(at int) (asked, next int, ok bool) {
	if next, ok := p.word(at, "null"); ok {
		return classNone, next, true
	}
	var keys [24][]byte
	n := 0
	next, ok = p.object(at, func(key []byte, at int) (int, bool) {
		if n == len(keys) {
			return at, false
		}
		for _, k := range keys[:n] {
			if bytes.Equal(k, key) {
				return at, false
			}
		}
		keys[n] = key
		n++
		text, kind, next, ok := p.scalar(at)
		switch string(key) {
		case schema.PropRole:
			var known bool
			asked, known = plainRoleClass(string(text))
			return next, ok && kind == '"' && known
		case schema.PropName, schema.PropNote, schema.PropFrame, schema.PropHazardKind:
			return next, ok && kind == '"'
		case schema.PropActive, schema.PropDrivenOver:
			return next, ok && kind == 't'
		case schema.PropHeadingDeg:
			return next, ok && kind == '0' && within(text, -360, 360)
		case schema.PropCutMM, schema.PropStandoffM, schema.PropAntennaHeight, schema.PropHeightM, schema.PropRadiusM:
			return next, ok && kind == '0' && text[0] != '-'
		case schema.PropEpoch:
			return next, ok && kind == '0' && within(text, 1900, 2200)
		case schema.PropEdgeKind:
			switch string(text) {
			case schema.EdgeWall, schema.EdgeKerb, schema.EdgeFlush, schema.EdgeDrop, schema.EdgeFence, schema.EdgeRamp, schema.EdgeGate:
				return next, ok && kind == '"'
			}
			return next, false
		case schema.PropLimits, schema.PropTimes, schema.PropFix, schema.PropSigma, schema.PropDrawnFrom, schema.PropCrownBaseM:
			return next, false
		}
		if ok {
			return next, true
		}
		_, next, err := jsontext.ParseAt(p, at, schema.MaxNesting)
		return next, err == nil
	})
	return asked, next, ok
}

func within(number []byte, least, most float64) bool {
	v, err := strconv.ParseFloat(string(number), 64)
	return err == nil && v >= least && v <= most
}

// geometry steps over a null or a geometry of nothing but type and coordinates,
// in that order, and returns its class.
func (p *plainWalk) geometry(at int) (class, next int, ok bool) {
	if next, ok := p.word(at, "null"); ok {
		return classNone, next, true
	}
	want := struct{ class, depth, least int }{}
	members := 0
	next, ok = p.object(at, func(key []byte, at int) (int, bool) {
		members++
		switch {
		case members == 1 && string(key) == "type":
			name, next, ok := p.text(at)
			if ok {
				want, ok = plainGeometries[string(name)]
			}
			return next, ok
		case members == 2 && string(key) == "coordinates":
			if next, ok := p.read(at, want.depth, want.least); ok {
				return next, true
			}
			return p.nested(at, want.depth, want.least)
		}
		return at, false
	})
	return want.class, next, ok && members == 2
}

// nested steps over a position in depth lists.
func (p plainText) nested(at, depth, least int) (int, bool) {
	if depth == 0 {
		return skipPosition(p, at)
	}
	if at >= len(p) || p[at] != '[' {
		return at, false
	}
	at = jsontext.SkipSpace(p, at+1)
	if at < len(p) && p[at] == ']' {
		return at + 1, depth > 1 || least == 0
	}
	for n := 1; ; n++ {
		next, ok := p.nested(at, depth-1, least)
		if !ok {
			return next, false
		}
		at = next
		if at < len(p) && p[at] <= ' ' {
			at = jsontext.SkipSpace(p, at)
		}
		if at >= len(p) {
			return at, false
		}
		switch p[at] {
		case ',':
			at = jsontext.SkipSpace(p, at+1)
		case ']':
			return at + 1, depth > 1 || n >= least
		default:
			return at, false
		}
	}
}
