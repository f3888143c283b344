// Reading styles: colours and widths become attributes, the rest of a style is
// counted and left.

package kml

import (
	"path"
	"strconv"
	"strings"

	"swardline/convert/wire"
	"swardline/schema"
)

// style is what is kept of a Style: the attributes in their order. A StyleMap
// is a style that only points to another.
type style struct {
	attributes schema.Attributes
	noFill     bool
	noOutline  bool
	alias      string // id of the style that stands for this one, "" for none
}

// clearColor is one that nobody sees.
const clearColor = "#00000000"

// styledFeature is a feature whose style is settled at the end.
type styledFeature struct {
	f   *schema.Feature
	url string
	own *style
	set bool // a Placemark of ours: somebody changed its style, so what is new replaces what was
	at  int
}

// sharedStyle reads a Style that features refer to by its id.
func (r *reader) sharedStyle() error {
	id, _, err := r.attr("id")
	if err != nil {
		return err
	}
	name := string(id)
	st, err := r.style()
	if err != nil {
		return err
	}
	r.keepStyle(name, st)
	return nil
}

func (r *reader) keepStyle(id string, st *style) {
	if id == "" || st == nil {
		return
	}
	if r.parts != nil && r.parts.styles {
		r.parts.late = true
	}
	if r.styles == nil {
		r.styles = map[string]*style{}
	}
	r.styles[id] = st
}

// cascadingStyle reads a gx:CascadingStyle, a shared style in a wrapper.
func (r *reader) cascadingStyle() error {
	id, _, err := r.attr("id")
	if err != nil {
		return err
	}
	name := string(id)
	for {
		more, err := r.child()
		if err != nil || !more {
			return err
		}
		if string(r.local) != "Style" {
			if err := r.skipKnown(); err != nil {
				return err
			}
			continue
		}
		st, err := r.style()
		if err != nil {
			return err
		}
		r.keepStyle(name, st)
	}
}

// styleMap reads a StyleMap; what it says for the key normal is kept.
func (r *reader) styleMap() error {
	idBytes, _, err := r.attr("id")
	if err != nil {
		return err
	}
	id := string(idBytes)
	for {
		more, err := r.child()
		if err != nil || !more {
			return err
		}
		if string(r.local) != "Pair" {
			if err := r.skipKnown(); err != nil {
				return err
			}
			continue
		}
		if err := r.stylePair(id); err != nil {
			return err
		}
	}
}

func (r *reader) stylePair(id string) error {
	key := ""
	var st *style
	for {
		more, err := r.child()
		if err != nil {
			return err
		}
		if !more {
			if key == "normal" || key == "" {
				r.keepStyle(id, st)
			} else if st != nil {
				r.warn("style-reduced", r.at, 1, "a style for a feature under the pointer was passed over")
			}
			return nil
		}
		switch string(r.local) {
		case "key":
			text, err := r.content()
			if err != nil {
				return err
			}
			key = string(trimSpace(text))
		case "styleUrl":
			text, err := r.content()
			if err != nil {
				return err
			}
			st = &style{alias: styleID(string(trimSpace(text)))}
		case "Style":
			if st, err = r.style(); err != nil {
				return err
			}
		default:
			if err := r.skipKnown(); err != nil {
				return err
			}
		}
	}
}

// styleID returns the id that a styleUrl names, "" when it is in another file.
// Some writers forget the #.
func styleID(url string) string {
	if strings.HasPrefix(url, "#") {
		return url[1:]
	}
	if strings.ContainsAny(url, "#/.:") {
		return ""
	}
	return url
}

// style reads the content of a Style element.
func (r *reader) style() (*style, error) {
	st := &style{}
	id, _, err := r.attr("id")
	if err != nil {
		return nil, err
	}
	ours := strings.HasPrefix(string(id), stylePrefix)
	for {
		more, err := r.child()
		if err != nil {
			return nil, err
		}
		if !more {
			switch {
			case st.noFill && st.noOutline: // an area of which nothing is seen
				st.attributes.Set(schema.PropFillColor, schema.String(clearColor))
				st.attributes.Set(schema.PropLineColor, schema.String(clearColor))
			case st.noFill:
				st.attributes.Delete(schema.PropFillColor)
			}
			return st, nil
		}
		switch string(r.local) {
		case "LineStyle":
			err = r.stylePart(st, schema.PropLineColor, ours)
		case "PolyStyle":
			err = r.stylePart(st, schema.PropFillColor, ours)
		case "IconStyle":
			err = r.stylePart(st, schema.PropIconColor, ours)
		default:
			err = r.skipStyle(ours)
		}
		if err != nil {
			return nil, err
		}
	}
}

func (r *reader) skipStyle(ours bool) error {
	if !ours {
		r.warn("style-reduced", r.at, 1, "of a style only colours and widths are kept; %s was passed over", wire.Clip(r.local, 60))
	}
	return r.skipDrawn()
}

// stylePart reads a LineStyle, PolyStyle or IconStyle, whose colour is kept
// under a key.
func (r *reader) stylePart(st *style, key string, ours bool) error {
	for {
		more, err := r.child()
		if err != nil || !more {
			return err
		}
		at := r.at
		switch local := string(r.local); {
		case local == "color":
			text, err := r.content()
			if err != nil {
				return err
			}
			if c, ok := cssColor(string(trimSpace(text))); ok {
				st.attributes.Set(key, schema.String(c))
			} else {
				r.warn("colour-invalid", at, 1, "%q is no colour of the form aabbggrr; it was passed over", wire.Clip(text, 60))
			}
		case local == "width" && key == schema.PropLineColor:
			text, err := r.content()
			if err != nil {
				return err
			}
			if v, ok := wire.ParseFloat(trimSpace(text)); ok {
				st.attributes.Set(propLineWidth, schema.Float(v))
			} else {
				r.warn("value-type", at, 1, "the width %q is no number; it was passed over", wire.Clip(text, 60))
			}
		case local == "Icon" && key == schema.PropIconColor && !ours:
			if err := r.within(func() error { return r.icon(st) }); err != nil {
				return err
			}
		case local == "physicalWidth" && key == schema.PropLineColor:
			text, err := r.content()
			if err != nil {
				return err
			}
			if v, ok := wire.ParseFloat(trimSpace(text)); ok && v > 0 {
				st.attributes.Set(propPhysicalWidth, schema.Float(v))
			}
		case local == "fill" && key == schema.PropFillColor:
			text, err := r.content()
			if err != nil {
				return err
			}
			b, ok := parseBool(string(trimSpace(text)))
			st.noFill = ok && !b
		case local == "outline" && key == schema.PropFillColor:
			text, err := r.content()
			if err != nil {
				return err
			}
			b, ok := parseBool(string(trimSpace(text)))
			st.noOutline = ok && !b
		default:
			if err := r.skipStyle(ours); err != nil {
				return err
			}
		}
	}
}

// icon keeps what the picture of an icon is called, which may say what it stands
// for.
func (r *reader) icon(st *style) error {
	if string(r.local) != "href" {
		return r.skipStyle(false)
	}
	text, err := r.content()
	if err != nil {
		return err
	}
	name, _, _ := strings.Cut(string(trimSpace(text)), "?")
	name = name[strings.LastIndexByte(name, '/')+1:]
	if name = strings.TrimSuffix(name, path.Ext(name)); name != "" {
		st.attributes.Set(propIcon, schema.String(wire.Clip([]byte(name), 60)))
	}
	return nil
}

// cssColor turns KML's aabbggrr, with or without a # before it, into #rrggbb, or
// #rrggbbaa when it is not opaque.
func cssColor(text string) (string, bool) {
	text = strings.ToLower(strings.TrimPrefix(text, "#"))
	if len(text) != 8 {
		return "", false
	}
	if _, err := strconv.ParseUint(text, 16, 32); err != nil {
		return "", false
	}
	c := "#" + text[6:8] + text[4:6] + text[2:4]
	if text[:2] != "ff" {
		c += text[:2]
	}
	return c, true
}

// styleOf takes down how a feature is styled.
func (r *reader) styleOf(f *schema.Feature, m *placemark) {
	if m.ours && strings.HasPrefix(m.styleURL, "#"+stylePrefix) {
		switch role := schema.Role(m.styleURL[1+len(stylePrefix):]); role {
		case f.Role:
		case schema.RoleKeepout, schema.RoleHazard, schema.RoleBuilding, schema.RoleEdge, schema.RoleBoundary:
			r.warn("style-role", m.at, 1, "line %d: %q has the role %s and is drawn in the style of a %s: give it the role that is meant, which the style does not, or the style of its role", r.line(m.at), f.Label(), f.Role, role)
		}
		m.styleURL = "" // the role says it all
	}
	if m.styleURL != "" {
		if m.ours {
			r.edited(m.at, propStyleURL)
			f.Attributes.Set(propStyleURL, schema.String(m.styleURL))
		} else {
			r.add(&f.Attributes, propStyleURL, schema.String(m.styleURL), m.at)
		}
	}
	if m.styleURL != "" || m.style != nil {
		r.styled = append(r.styled, styledFeature{f, m.styleURL, m.style, m.ours, m.at})
	}
}

// resolveStyle gives a feature the attributes of its styles, of its own one
// before the shared one.
func (r *reader) resolveStyle(s styledFeature) {
	if s.own != nil {
		r.addStyle(s, s.own)
	}
	id := styleID(s.url)
	if id == "" {
		return
	}
	const longest = 8 // maps that point to maps; none should
	for i := 0; i < longest; i++ {
		st := r.lookupStyle(id)
		if st == nil {
			r.warn("style-unknown", s.at, 1, "there is no style called %q", wire.Clip([]byte(id), 60))
			return
		}
		if st.alias == "" {
			r.addStyle(s, st)
			return
		}
		id = st.alias
	}
	r.warn("style-unknown", s.at, 1, "the style %q only points to other styles", wire.Clip([]byte(id), 60))
}

func (r *reader) addStyle(s styledFeature, st *style) {
	for _, a := range st.attributes {
		if s.own != nil && s.own != st && (s.own.attributes.Has(a.Key) || a.Key == schema.PropFillColor && s.own.noFill) {
			continue
		}
		if s.set {
			s.f.Attributes.Set(a.Key, a.Value)
		} else {
			r.add(&s.f.Attributes, a.Key, a.Value, s.at)
		}
	}
}
