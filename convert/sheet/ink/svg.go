// A page as SVG 1.1.

package ink

import (
	"bytes"
	"encoding/base64"
	"encoding/xml"
	"io"
	"math"
	"strconv"
	"strings"

	"swardline/convert/sheet/typeface"
)

// Fonts is the list of families that an SVG asks for. The first is the part of
// the typeface that it brings along; the second is the same where it is
// installed, and the others are no wider, for programs that take no font out of
// a drawing.
const Fonts = "'Sheet', 'DejaVu Sans', Verdana, Arial, sans-serif"

// SVG writes a page. One user unit is one millimetre.
func SVG(w io.Writer, p *Page) error {
	s := svg{}
	s.b.WriteString(`<?xml version="1.0" encoding="UTF-8"?>` + "\n")
	s.b.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="` + num(p.W) + `mm" height="` + num(p.H) + `mm" viewBox="0 0 ` + num(p.W) + " " + num(p.H) + `" role="img" aria-labelledby="sheet-title sheet-desc" font-family="` + attr(Fonts) + `">` + "\n")
	s.b.WriteString(`<title id="sheet-title">` + Escape(p.Title) + "</title>\n")
	s.b.WriteString(`<desc id="sheet-desc">` + Escape(p.Desc) + "</desc>\n")
	if err := s.lettering(p); err != nil {
		return err
	}
	s.b.WriteString(`<rect width="` + num(p.W) + `" height="` + num(p.H) + `" fill="#fff"/>` + "\n")
	for _, m := range p.Marks {
		s.mark(m)
	}
	s.b.WriteString("</svg>\n")
	_, err := s.b.WriteTo(w)
	return err
}

// Inline writes a page as an SVG element for an HTML page, as wide as its place
// there and in the page's own letters. prefix sets its identifiers apart.
func Inline(w io.Writer, p *Page, prefix string) error {
	s := svg{prefix: prefix}
	id := prefix + "title"
	role := "img"
	for _, m := range p.Marks {
		if g, ok := m.(*Group); ok && g.Link != "" {
			role = "group" // an image has nothing in it that leads anywhere
		}
	}
	s.b.WriteString(`<svg viewBox="0 0 ` + num(p.W) + " " + num(p.H) + `" role="` + role + `" aria-labelledby="` + attr(id) + `">` + "\n")
	s.b.WriteString(`<title id="` + attr(id) + `">` + Escape(p.Title) + "</title>\n")
	s.b.WriteString(`<rect width="` + num(p.W) + `" height="` + num(p.H) + `" fill="#fff"/>` + "\n")
	for _, m := range p.Marks {
		s.mark(m)
	}
	s.b.WriteString("</svg>\n")
	_, err := s.b.WriteTo(w)
	return err
}

type svg struct {
	b      bytes.Buffer
	clips  int
	prefix string   // of identifiers
	open   []string // the elements of the groups that are open
}

// lettering brings the glyphs of all texts along, as fonts in the drawing
// itself. Of Arabic letters it has their shapes too, which a viewer puts in
// their place.
func (s *svg) lettering(p *Page) error {
	var used [2][]rune
	for _, m := range p.Marks {
		if t, ok := m.(*Text); ok {
			k := 0
			if t.Bold {
				k = 1
			}
			used[k] = append(used[k], []rune(t.S)...)
			visual, _ := typeface.Visual(t.S)
			used[k] = append(used[k], []rune(visual)...)
		}
	}
	if len(used[0])+len(used[1]) == 0 {
		return nil
	}
	s.b.WriteString("<style>\n")
	for k, weight := range []string{"normal", "bold"} {
		if len(used[k]) == 0 {
			continue
		}
		data, err := typeface.Subset(k == 1, used[k])
		if err != nil {
			return err
		}
		s.b.WriteString(`@font-face{font-family:"Sheet";font-weight:` + weight + `;src:url(data:font/ttf;base64,` + base64.StdEncoding.EncodeToString(data) + `) format("truetype")}` + "\n")
	}
	s.b.WriteString("</style>\n")
	return nil
}

func (s *svg) mark(m Mark) {
	switch m := m.(type) {
	case *Path:
		s.path(m)
	case *Text:
		s.text(m)
	case *Group:
		s.group(m)
	case End:
		last := len(s.open) - 1
		s.b.WriteString("</" + s.open[last] + ">\n")
		s.open = s.open[:last]
	}
}

func (s *svg) group(g *Group) {
	clip := ""
	if g.Clip != nil {
		s.clips++
		id := s.prefix + "clip" + strconv.Itoa(s.clips)
		s.b.WriteString(`<clipPath id="` + id + `"><rect x="` + num(g.Clip[0]) + `" y="` + num(g.Clip[1]) + `" width="` + num(g.Clip[2]) + `" height="` + num(g.Clip[3]) + `"/></clipPath>` + "\n")
		clip = ` clip-path="url(#` + id + `)"`
	}
	element := "g"
	if g.Link != "" {
		element = "a"
	}
	s.open = append(s.open, element)
	s.b.WriteString("<" + element)
	if g.Link != "" {
		s.b.WriteString(` href="` + attr(g.Link) + `"`)
	}
	if g.ID != "" {
		s.b.WriteString(` id="` + attr(g.ID) + `"`)
	}
	if g.Class != "" {
		s.b.WriteString(` class="` + attr(g.Class) + `"`)
	}
	s.b.WriteString(clip + ">")
	if g.Title != "" {
		s.b.WriteString("<title>" + Escape(g.Title) + "</title>")
	}
	s.b.WriteByte('\n')
}

func (s *svg) path(p *Path) {
	s.b.WriteString(`<path d="`)
	for _, sub := range p.Subs {
		for i, q := range sub.Points {
			if i == 0 {
				s.b.WriteByte('M')
			} else {
				s.b.WriteByte('L')
			}
			s.b.WriteString(num(q[0]) + " " + num(q[1]))
		}
		if sub.Closed {
			s.b.WriteByte('Z')
		}
	}
	s.b.WriteByte('"')
	if p.Fill == nil {
		s.b.WriteString(` fill="none"`)
	} else {
		s.b.WriteString(` fill="` + p.Fill.Hex() + `"`)
		if len(p.Subs) > 1 {
			s.b.WriteString(` fill-rule="evenodd"`)
		}
		if p.Opacity > 0 && p.Opacity < 1 {
			s.b.WriteString(` fill-opacity="` + num(p.Opacity) + `"`)
		}
	}
	if l := p.Line; l != nil {
		s.b.WriteString(` stroke="` + l.Color.Hex() + `" stroke-width="` + num(l.Width) + `" stroke-linejoin="round"`)
		if l.Dash != nil {
			parts := make([]string, len(l.Dash))
			for i, d := range l.Dash {
				parts[i] = num(d)
			}
			s.b.WriteString(` stroke-dasharray="` + strings.Join(parts, " ") + `"`)
		}
	}
	s.b.WriteString("/>\n")
}

func (s *svg) text(t *Text) {
	s.b.WriteString(`<text x="` + num(t.At[0]) + `" y="` + num(t.At[1]) + `" font-size="` + num(t.Size) + `"`)
	if t.Bold {
		s.b.WriteString(` font-weight="bold"`)
	}
	switch {
	case t.Anchor == 0.5:
		s.b.WriteString(` text-anchor="middle"`)
	case t.Anchor == 1:
		s.b.WriteString(` text-anchor="end"`)
	}
	if t.Angle != 0 {
		s.b.WriteString(` transform="rotate(` + num(-t.Angle) + " " + num(t.At[0]) + " " + num(t.At[1]) + `)"`)
	}
	if visual, missing := typeface.Visual(t.S); len(missing) == 0 && visual != "" {
		// As wide as it was laid out for, in whatever face it is shown.
		s.b.WriteString(` textLength="` + num(typeface.Width(visual, t.Size, t.Bold)) + `" lengthAdjust="spacingAndGlyphs"`)
	}
	if t.Halo > 0 {
		s.b.WriteString(` stroke="#fff" stroke-width="` + num(t.Halo) + `" stroke-linejoin="round" paint-order="stroke"`)
	}
	if t.Color != (Color{}) {
		s.b.WriteString(` fill="` + t.Color.Hex() + `"`)
	}
	s.b.WriteString(">" + Escape(t.S) + "</text>\n")
}

// Hex is the colour as #rrggbb.
func (c Color) Hex() string {
	const digits = "0123456789abcdef"
	b := []byte{'#', 0, 0, 0, 0, 0, 0}
	for i, v := range c {
		b[1+2*i], b[2+2*i] = digits[v>>4], digits[v&15]
	}
	return string(b)
}

// num writes millimetres with three decimals at the most.
func num(v float64) string {
	v = math.Round(v*1000) / 1000
	if v == 0 {
		return "0" // not -0
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// Escape makes text of any content fit for XML: markup escaped, characters that
// XML 1.0 cannot hold replaced.
func Escape(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(s)) // a Builder takes everything
	return b.String()
}

func attr(s string) string { return Escape(s) }
