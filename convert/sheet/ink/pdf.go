// Pages as PDF 1.4 and later: vectors, and the typeface embedded as far as it is used.

package ink

import (
	"fmt"
	"io"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"swardline/convert/sheet/typeface"
)

// Info is what a PDF says of itself.
type Info struct {
	Title, Subject, Creator string
	// Date stands as the date of making; the file is the same for the same date.
	Date time.Time
}

const pdfFamily = "sheet"

// PDF writes pages and returns the characters that have no glyph in the typeface,
// each once; a box stands for them on the page.
func PDF(w io.Writer, pages []*Page, info Info) (missing []rune, err error) {
	f := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: 210, Ht: 297}})
	f.SetCatalogSort(true)
	f.SetCreationDate(info.Date)
	f.SetModificationDate(info.Date)
	f.SetTitle(info.Title, true)
	f.SetSubject(info.Subject, true)
	f.SetCreator(info.Creator, true)
	f.SetProducer(info.Creator, true)
	f.SetAutoPageBreak(false, 0)
	f.SetMargins(0, 0, 0)
	f.SetCellMargin(0)
	f.AddUTF8FontFromBytes(pdfFamily, "", append([]byte(nil), typeface.Data(false)...))
	f.AddUTF8FontFromBytes(pdfFamily, "B", append([]byte(nil), typeface.Data(true)...))
	p := pdf{f: f, seen: map[rune]bool{}}
	for _, page := range pages {
		f.AddPageFormat("P", fpdf.SizeType{Wd: page.W, Ht: page.H})
		f.SetLineJoinStyle("round")
		f.SetLineCapStyle("butt")
		for _, m := range page.Marks {
			p.mark(m)
		}
	}
	if err := f.Output(w); err != nil {
		return nil, fmt.Errorf("the PDF could not be made: %w", err)
	}
	return p.missing, nil
}

type pdf struct {
	f       *fpdf.Fpdf
	clips   []bool
	seen    map[rune]bool
	missing []rune
}

func (p *pdf) mark(m Mark) {
	switch m := m.(type) {
	case *Path:
		p.path(m)
	case *Text:
		p.text(m)
	case *Group:
		p.clips = append(p.clips, m.Clip != nil)
		if c := m.Clip; c != nil {
			p.f.ClipRect(c[0], c[1], c[2], c[3], false)
		}
	case End:
		if n := len(p.clips); n > 0 {
			if p.clips[n-1] {
				p.f.ClipEnd()
			}
			p.clips = p.clips[:n-1]
		}
	}
}

func (p *pdf) path(m *Path) {
	f := p.f
	style := ""
	if m.Fill != nil {
		f.SetFillColor(int(m.Fill[0]), int(m.Fill[1]), int(m.Fill[2]))
		style = "f*"
	}
	if l := m.Line; l != nil {
		f.SetDrawColor(int(l.Color[0]), int(l.Color[1]), int(l.Color[2]))
		f.SetLineWidth(l.Width)
		f.SetDashPattern(l.Dash, 0)
		if style == "" {
			style = "D"
		} else {
			style = "B*"
		}
	}
	if style == "" {
		return
	}
	if m.Opacity > 0 && m.Opacity < 1 {
		f.SetAlpha(m.Opacity, "Normal")
		defer f.SetAlpha(1, "Normal")
	}
	drawn := false
	for _, sub := range m.Subs {
		for i, q := range sub.Points {
			if i == 0 {
				f.MoveTo(q[0], q[1])
			} else {
				f.LineTo(q[0], q[1])
			}
			drawn = true
		}
		if sub.Closed && len(sub.Points) > 0 {
			f.ClosePath()
		}
	}
	if drawn {
		f.DrawPath(style)
	}
}

// pointsPerMM: a point is a 72nd of an inch.
const pointsPerMM = 72 / 25.4

func (p *pdf) text(t *Text) {
	s, missing := typeface.Visual(t.S)
	for _, r := range missing {
		if !p.seen[r] {
			p.seen[r] = true
			p.missing = append(p.missing, r)
		}
	}
	if s == "" {
		return
	}
	f := p.f
	weight := ""
	if t.Bold {
		weight = "B"
	}
	f.SetFont(pdfFamily, weight, t.Size*pointsPerMM)
	x := t.At[0] - t.Anchor*typeface.Width(s, t.Size, t.Bold)
	if t.Angle != 0 {
		f.TransformBegin()
		f.TransformRotate(t.Angle, t.At[0], t.At[1])
		defer f.TransformEnd()
	}
	if t.Halo > 0 {
		f.SetDrawColor(255, 255, 255)
		f.SetTextColor(255, 255, 255)
		f.SetLineWidth(t.Halo)
		f.SetDashPattern(nil, 0)
		f.SetTextRenderingMode(2)
		f.Text(x, t.At[1], s)
		f.SetTextRenderingMode(0)
	}
	f.SetTextColor(int(t.Color[0]), int(t.Color[1]), int(t.Color[2]))
	f.Text(x, t.At[1], s)
}
