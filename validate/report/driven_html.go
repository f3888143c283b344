// Tracks laid over a plan, as a page for a client.

package report

import (
	"fmt"
	"html/template"
	"io"
	"math"
	"strings"
	"sync"

	"swardline/schema"
	"swardline/validate"
)

// Sign is one entry of a picture's key: what is drawn, as an SVG element, and
// what it stands for.
type Sign struct {
	Picture template.HTML
	Words   string
}

var drivenPage = sync.OnceValue(func() *template.Template { return pageOf(`{{template "driven" .}}`) })

// clientBody is what the page shows.
type clientBody struct {
	Name, Span string
	Base       clientBase
	Lawns      []clientLawn
	Map        *Picture
	Key        []Sign
	Findings   []clientFinding
	Unchecked  []validate.Result
	Capacity   string
}

type clientBase struct {
	Verdict, Title, Why, Day, Step, Trend string // Day is that of the step, "" for none
	Days                                  []clientDay
}

type clientDay struct{ Day, Seen, East, North, Error, Says string }

type clientLawn struct {
	Name, Area, Percent, Missed, Pieces string
	// Note stands for the figures: not checked, or not driven at all.
	Note string
}

type clientFinding struct {
	Number                        int
	Severity, Message, Mend, Rule string
}

// HTML writes one page that a client understands: whether the base stands where
// it stood, what was mown and what was not, with a drawing, and what to do.
func (d *Driven) HTML(w io.Writer) error {
	r := d.Report
	body := clientBody{Name: r.Site.Plan.Name, Base: baseOf(&r.Movement), Map: d.Map, Key: d.Key}
	if body.Name == "" {
		body.Name = d.Path
	}
	from, to := d.Span()
	sum := 0.0
	for _, s := range r.Seconds {
		sum += s
	}
	body.Span = fmt.Sprintf("%s, %s to %s (UTC): %s on the way", counted(len(d.Logs), "log"), plainClock(from), plainClock(to), hours(sum))
	if sum > 0 {
		body.Span += fmt.Sprintf(", %.1f %% of it with a position good to centimetres (fixed). Nothing else is counted here", r.FixedPercent())
	}
	refs := references(r.Site.Plan)
	for i := range r.Zones {
		body.Lawns = append(body.Lawns, lawnOf(&r.Zones[i], refs))
	}
	for i := range r.Findings {
		f := &r.Findings[i]
		x := clientFinding{Number: i + 1, Severity: string(f.Severity), Message: sentence(f.Message), Rule: f.Rule}
		if rule, ok := validate.Find(f.Rule); ok {
			x.Mend = rule.Page.Mend
		}
		body.Findings = append(body.Findings, x)
	}
	for _, x := range r.Rules {
		if x.Outcome == validate.Unchecked {
			body.Unchecked = append(body.Unchecked, x)
		}
	}
	var c strings.Builder
	d.capacityText(&c)
	body.Capacity = strings.TrimSpace(c.String())
	return writePage(w, drivenPage(), &shell{Title: body.Name + ": what was driven", More: pageFile("driven.css"), Body: &body, Foot: []string{strings.Join(strings.Fields(d.Caution), " ")}})
}

// sentence begins with a capital.
func sentence(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// plainClock writes a time without what only a program needs.
func plainClock(s string) string { return strings.TrimSuffix(strings.Replace(s, "T", " ", 1), "Z") }

func counted(n int, what string) string {
	if n != 1 {
		what += "s"
	}
	return fmt.Sprintf("%d %s", n, what)
}

func lawnOf(z *validate.DrivenZone, refs func(*schema.Feature) string) clientLawn {
	out := clientLawn{Name: label(z.Feature, refs(z.Feature))}
	if name := z.Feature.Name; name != "" {
		out.Name = name
	}
	if z.Why != "" {
		out.Note = "not checked: " + z.Why
		return out
	}
	out.Area = fmt.Sprintf("%.0f m²", z.AreaM2)
	if z.DrivenM2 == 0 {
		out.Note = "not mown at all"
		return out
	}
	out.Percent, out.Missed = fmt.Sprintf("%.1f %%", z.Percent), fmt.Sprintf("%.1f m²", z.MissedM2)
	var pieces []string
	for k := 0; k < len(z.Missed) && k < 3; k++ {
		pieces = append(pieces, fmt.Sprintf("%.1f m²", z.Missed[k].AreaM2))
	}
	if n := len(z.Missed) - len(pieces); n > 0 {
		pieces = append(pieces, fmt.Sprintf("%d smaller", n))
	}
	out.Pieces = strings.Join(pieces, ", ")
	return out
}

// BaseWords say to people what tracks show of the base. That it moved is said
// only where they show it.
func BaseWords(m *validate.TrackMovement) string {
	switch {
	case m.Verdict == validate.VerdictUnchanged:
		return "The base stands where it stood, as far as these logs can show."
	case m.Verdict == validate.VerdictStop:
		return "Stop the machine: the lines on the ground have moved."
	case m.Step != nil || m.None == "" && m.Decision.Row == validate.RowMoved:
		return "The base moved: measure the marks again before you rely on the lines on the ground."
	case m.None != "" || m.Decision.Row == validate.RowUntested || m.Decision.Row == validate.RowBlind:
		return "These logs cannot tell whether the base moved: measure the marks to know."
	}
	return "What the logs show of the base does not fit together: measure the marks again."
}

func baseOf(m *validate.TrackMovement) clientBase {
	out := clientBase{Verdict: string(m.Verdict), Title: BaseWords(m), Why: sentence(m.Why)}
	if s := m.Step; s != nil {
		out.Day = s.Day
		out.Step = fmt.Sprintf("everything driven since lies %.0f mm from where it lay (%s, %s)", 1000*math.Hypot(s.E, s.N), toward(s.E, "east", "west"), toward(s.N, "north", "south"))
	}
	if x := m.Trend; x != nil && x.Significant {
		out.Trend = fmt.Sprintf("It goes on moving: %.1f mm a week since %s.", x.PerWeekM*1000, x.Since)
	}
	for i := range m.Days {
		x := &m.Days[i]
		day := clientDay{Day: x.Day, Seen: fmt.Sprint(x.Events), East: "not known", North: "not known", Error: "not known", Says: string(x.Decision.Verdict)}
		if !math.IsNaN(x.E) && !math.IsNaN(x.N) {
			day.East, day.North = millimetres(x.E), millimetres(x.N)
		}
		if !math.IsNaN(x.SE) {
			day.Error = fmt.Sprintf("%.0f mm", 1000*math.Max(x.SE, x.SN))
		}
		out.Days = append(out.Days, day)
	}
	return out
}

func toward(v float64, plus, minus string) string {
	if v < 0 {
		plus = minus
	}
	return fmt.Sprintf("%.0f mm %s", 1000*math.Abs(v), plus)
}

// millimetres writes a length with its sign, and 0 without one.
func millimetres(v float64) string {
	mm := math.Round(1000 * v)
	if mm == 0 {
		return "0 mm"
	}
	return strings.Replace(fmt.Sprintf("%+.0f mm", mm), "-", "−", 1)
}
