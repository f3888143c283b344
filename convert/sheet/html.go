// The live page: one HTML file with the map, the lists and the script inside
// it.

package sheet

import (
	"bytes"
	"embed"
	"encoding/json"
	"fmt"
	"html/template"
	"io"
	"math"
	"sort"
	"strconv"
	"strings"
	"sync"

	"github.com/paulmach/orb"

	"swardline/convert/sheet/ink"
	"swardline/schema"
)

//go:embed live/page.html live/page.css live/page.js
var live embed.FS

var pageTemplate = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("page.html").ParseFS(live, "live/page.html"))
})

// MaxHTML is the size in bytes that the page's own parts stay below; a plan
// with very many vertices may go past it.
const MaxHTML = 1 << 20

// pageData is what the template shows.
type pageData struct {
	*Drawing
	CSS                 template.CSS
	JS                  template.JS
	Data                template.JS
	Map                 template.HTML
	Layers              []pageLayer
	Sections            []Section
	ViewBox             string
	Counts              string
	GridText, NorthText string
	SkyPicture          template.HTML
	DriftRange          float64 // the largest shift whose depths are known, m
}

type pageLayer struct {
	Role, Title string
	Count       int
	Swatch      template.HTML
}

// HTML writes the live page. It asks for nothing outside the file: its content
// security policy forbids that.
func HTML(w io.Writer, d *Drawing) error {
	css, err := live.ReadFile("live/page.css")
	if err != nil {
		return err
	}
	js, err := live.ReadFile("live/page.js")
	if err != nil {
		return err
	}
	b, ok := d.bounds()
	if !ok {
		b = orb.Bound{}
	}
	for axis := range 2 {
		if grow := smallestBox - (b.Max[axis] - b.Min[axis]); grow > 0 {
			b.Min[axis] -= grow / 2
			b.Max[axis] += grow / 2
		}
	}
	b = b.Pad(0.04 * math.Max(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]))
	data, err := d.pageJSON(b)
	if err != nil {
		return err
	}
	p := pageData{Drawing: d, CSS: template.CSS(css), JS: template.JS(js), Data: template.JS(data), Map: template.HTML(d.liveMap()), Sections: d.Schedule(nil),
		ViewBox: fmt.Sprintf("%s %s %s %s", coord(b.Min[0]), coord(-b.Max[1]), coord(b.Max[0]-b.Min[0]), coord(b.Max[1]-b.Min[1]))}
	for _, role := range schema.Roles {
		n := 0
		for i := range d.Features {
			if d.Features[i].Role == role {
				n++
			}
		}
		if n > 0 {
			p.Layers = append(p.Layers, pageLayer{string(role), RoleTitle(role), n, liveSwatch(role)})
		}
	}
	if len(d.Off) > 0 {
		p.Layers = append(p.Layers, pageLayer{"off", "Off: " + strings.Join(d.offLegend(), "; "), len(d.Off), `<svg class="swatch" width="34" height="20" viewBox="0 0 34 20" aria-hidden="true" focusable="false"><rect x="2" y="2" width="30" height="16" fill="none" stroke="#606060" stroke-width="1.5" stroke-dasharray="6 4"/></svg>`})
	}
	p.Layers = append(p.Layers, d.Track.liveLayers()...)
	if t := d.Drift; t != nil {
		p.DriftRange = t.BeyondM[len(t.BeyondM)-1]
	}
	if d.Sky != nil {
		picture, err := d.Sky.inline()
		if err != nil {
			return err
		}
		p.SkyPicture = template.HTML(picture)
	}
	var errors, warnings, notes int
	for _, f := range d.Findings {
		switch f.Severity {
		case "error":
			errors++
		case "warning":
			warnings++
		default:
			notes++
		}
	}
	p.Counts = fmt.Sprintf("%d errors, %d warnings, %d notes", errors, warnings, notes)
	p.GridText = d.Grid.ID
	if d.Grid.Name != "" {
		p.GridText += " " + d.Grid.Name
	}
	switch {
	case !d.Grid.NorthKnown:
		p.NorthText = "Up is the y axis of the drawing; which way north lies is not known."
	case d.Grid.Degrees || math.IsNaN(d.Grid.Convergence):
		p.NorthText = "Up is true north."
	default:
		p.NorthText = fmt.Sprintf("Up is true north; grid north stands at %s° from it, clockwise positive.", signed(d.Grid.Convergence, 4))
	}
	var out bytes.Buffer
	if err := pageTemplate().Execute(&out, &p); err != nil {
		return err
	}
	_, err = out.WriteTo(w)
	return err
}

// RoleTitle is the plural of a role, for people.
func RoleTitle(r schema.Role) string {
	switch r {
	case schema.RoleKeepout:
		return "Keep-outs"
	case schema.RoleBoundary:
		return "Boundaries"
	case schema.RoleSupply:
		return "Power outlets"
	case schema.RoleOther:
		return "Other"
	}
	return strings.ToUpper(string(r[:1])) + string(r[1:]) + "s"
}

// coord writes metres on the ground to the millimetre.
func coord(v float64) string {
	v = math.Round(v*1000) / 1000
	if v == 0 {
		return "0"
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// Facts are a feature's figures as name and value, for people.
func (d *Drawing) Facts(f *Feature) [][2]string {
	var out [][2]string
	add := func(name, value string) {
		if value != "" && value != "–" {
			out = append(out, [2]string{name, value})
		}
	}
	unit := func(v float64, decimals int, unit string) string {
		if math.IsNaN(v) {
			return ""
		}
		return figure(v, decimals) + " " + unit
	}
	add("role", string(f.Role))
	add("kind", f.Kind)
	if f.Role == schema.RoleZone {
		add("gross area", unit(f.AreaM2, 1, "m²"))
		add("net area", unit(f.NetM2, 1, "m²"))
		add("along hard edges", unit(f.HardEdgeM, 1, "m"))
		add("left uncut there", unit(f.UncutM2, 1, "m²"))
		add("cutting height", unit(f.CutMM, 0, "mm"))
		add("mown on bearing", unit(f.HeadingDeg, 1, "°"))
	} else {
		add("area", unit(f.AreaM2, 1, "m²"))
	}
	add("length", unit(f.LengthM, 1, "m"))
	if f.Role == schema.RoleDock {
		add("heading", unit(f.HeadingDeg, 1, "°"))
		add("line-up", unit(f.StandoffM, 1, "m in front"))
	}
	add("radius", unit(f.RadiusM, 2, "m"))
	add("height above ground", unit(f.HeightM, 1, "m"))
	add("antenna above ground", unit(f.AntennaM, 2, "m"))
	if len(f.Points) == 1 {
		add("position", d.position(f))
		add("height", unit(f.ElevationM, 2, "m"))
	}
	add("frame", f.Frame)
	add("epoch", f.Epoch)
	add("note", f.Note)
	return out
}

// offFacts are those of what is inactive.
func (d *Drawing) offFacts(f *Feature) [][2]string {
	return append([][2]string{{"state", OffWords(f.Role)}}, d.Facts(f)...)
}

// aria is one sentence on a feature for those who listen.
func (d *Drawing) aria(f *Feature) string {
	parts := []string{f.Label()}
	for _, x := range d.Facts(f) {
		if x[0] == "role" {
			parts[0] = x[1] + " " + parts[0]
			continue
		}
		parts = append(parts, x[0]+" "+x[1])
	}
	return strings.Join(parts, ", ")
}

// pageJSON is the data of the script.
func (d *Drawing) pageJSON(b orb.Bound) ([]byte, error) {
	type feature struct {
		Role  string      `json:"role"`
		Label string      `json:"label"`
		Facts [][2]string `json:"facts"`
		Box   [4]float64  `json:"box"`
	}
	type finding struct {
		N   int         `json:"n"`
		At  *[2]float64 `json:"at"`
		Sev string      `json:"sev"`
	}
	type item struct {
		Rule    string     `json:"rule"`
		Feature string     `json:"feature"`
		Code    string     `json:"code"`
		Stops   bool       `json:"stops"`
		Limit   float64    `json:"limit"`
		Gap     []*float64 `json:"gap"`
		Depth   [][]int    `json:"depth"` // mm
		Near    []string   `json:"near,omitempty"`
		Heading *float64   `json:"heading,omitempty"`
	}
	type drift struct {
		Bearings  int       `json:"bearings"`
		Beyond    []float64 `json:"beyond"`
		Unchanged float64   `json:"unchanged"`
		Stop      float64   `json:"stop"`
		Most      float64   `json:"most"`
		Step      int       `json:"step"`
		Verdicts  []string  `json:"verdicts"`
		Base      string    `json:"base"`
		Range     *float64  `json:"range"`
		Within    float64   `json:"within"`
		Items     []item    `json:"items"`
	}
	out := struct {
		Box      [4]float64  `json:"box"`
		Features []feature   `json:"features"`
		Findings []finding   `json:"findings"`
		Base     *[2]float64 `json:"base"`
		Earth    *phone      `json:"earth,omitempty"`
		Drift    *drift      `json:"drift"`
	}{Box: [4]float64{b.Min[0], b.Min[1], b.Max[0], b.Max[1]}, Features: []feature{}, Findings: []finding{}}
	for i := range d.Features {
		f := &d.Features[i]
		fb := f.bound()
		out.Features = append(out.Features, feature{string(f.Role), f.Label(), d.Facts(f), [4]float64{fb.Min[0], fb.Min[1], fb.Max[0], fb.Max[1]}})
	}
	for i := range d.Off {
		f := &d.Off[i]
		fb := f.bound()
		out.Features = append(out.Features, feature{string(f.Role), f.Label() + " (off)", d.offFacts(f), [4]float64{fb.Min[0], fb.Min[1], fb.Max[0], fb.Max[1]}})
	}
	out.Base = d.firstBase()
	for _, f := range d.Findings {
		x := finding{N: f.Number, Sev: f.Severity}
		if f.HasAt {
			x.At = &[2]float64{f.At[0], f.At[1]}
		}
		out.Findings = append(out.Findings, x)
	}
	out.Earth = d.phone(b.Center())
	if t := d.Drift; t != nil {
		out.Drift = &drift{Bearings: len(t.BearingsDeg), Beyond: t.BeyondM, Unchanged: t.UnchangedM, Stop: t.StopM, Most: t.MostM, Step: t.StepMM, Verdicts: t.Verdicts, Base: t.Base, Within: t.RangeLimitM, Items: []item{}}
		if !math.IsNaN(t.RangeM) {
			r := t.RangeM
			out.Drift.Range = &r
		}
		for _, x := range t.Items {
			j := item{Rule: x.Rule, Feature: x.Feature, Code: x.Code, Stops: x.Stops, Limit: x.LimitM, Near: x.Near}
			if x.Rule == "drift-off-dock" && !math.IsNaN(x.HeadingDeg) {
				j.Heading = &x.HeadingDeg
			}
			for b := range x.GapM {
				if math.IsNaN(x.GapM[b]) || x.GapM[b] >= t.BeyondM[len(t.BeyondM)-1] {
					// Never, or not within the table.
					if math.IsNaN(x.GapM[b]) {
						j.Gap = append(j.Gap, nil)
					} else {
						g := x.GapM[b]
						j.Gap = append(j.Gap, &g)
					}
					j.Depth = append(j.Depth, nil)
					continue
				}
				g := x.GapM[b]
				j.Gap = append(j.Gap, &g)
				row := make([]int, len(x.DepthM[b]))
				for k := range row {
					row[k] = int(math.Round(x.DepthM[b][k] * 1000))
				}
				j.Depth = append(j.Depth, row)
			}
			out.Drift.Items = append(out.Drift.Items, j)
		}
	}
	return json.Marshal(out)
}

// firstBase is where the first base stands, nil without one.
func (d *Drawing) firstBase() *[2]float64 {
	for i := range d.Features {
		if f := &d.Features[i]; f.Role == schema.RoleBase && len(f.Points) > 0 {
			return &[2]float64{f.Points[0][0], f.Points[0][1]}
		}
	}
	return nil
}

// phone turns longitude and latitude into a place on the ground, near a point:
// e and n are each a constant, and factors of the differences from lon and lat.
type phone struct {
	Lon float64    `json:"lon"`
	Lat float64    `json:"lat"`
	E   [3]float64 `json:"e"`
	N   [3]float64 `json:"n"`
}

// phone is that about the middle, nil where no phone could say where it is.
// Over a site of kilometres straight lines are good to centimetres, and a phone
// to metres.
func (d *Drawing) phone(mid orb.Point) *phone {
	if d.LonLat == nil {
		return nil
	}
	const h = 100.0 // metres
	at := func(e, n float64) (v [2]float64, ok bool) {
		v[0], v[1], ok = d.LonLat(orb.Point{mid[0] + e, mid[1] + n})
		return v, ok
	}
	o, ok0 := at(0, 0)
	e1, ok1 := at(h, 0)
	e2, ok2 := at(-h, 0)
	n1, ok3 := at(0, h)
	n2, ok4 := at(0, -h)
	if !ok0 || !ok1 || !ok2 || !ok3 || !ok4 {
		return nil
	}
	// The matrix of degrees a metre, and its inverse.
	a, b, c, e := (e1[0]-e2[0])/(2*h), (n1[0]-n2[0])/(2*h), (e1[1]-e2[1])/(2*h), (n1[1]-n2[1])/(2*h)
	det := a*e - b*c
	if det == 0 || math.IsNaN(det) || math.IsInf(det, 0) {
		return nil
	}
	return &phone{o[0], o[1], [3]float64{mid[0], e / det, -b / det}, [3]float64{mid[1], -c / det, a / det}}
}

// liveLook is a role's look on screen; lengths are pixels.
type liveLook struct {
	fill, stroke string
	opacity      float64
	width        float64
	dash         string
	pattern      string // id of the hatch, "" for none
}

func liveLookOf(role schema.Role) liveLook {
	l := lookOf(role)
	out := liveLook{fill: "none", stroke: l.line.Color.Hex(), width: l.line.Width * 4, opacity: l.opacity}
	if l.fill != nil {
		out.fill = l.fill.Hex()
	}
	var dash []string
	for _, v := range l.line.Dash {
		dash = append(dash, coord(v*4))
	}
	out.dash = strings.Join(dash, " ")
	if len(l.hatches) > 0 {
		out.pattern = "hatch-" + string(role)
	}
	return out
}

// hatchDefs are the hatch patterns, in pixels; the script keeps them that size.
func hatchDefs(features []Feature, missed bool) string {
	var b strings.Builder
	pattern := func(id string, gap, angle float64, l ink.Line, crossed bool) {
		g := gap * 4
		fmt.Fprintf(&b, `<pattern id="%s" class="hatch" data-angle="%s" patternUnits="userSpaceOnUse" width="%s" height="%s" patternTransform="rotate(%s)">`, id, coord(-angle), coord(g), coord(g), coord(-angle))
		dash := ""
		if l.Dash != nil {
			dash = fmt.Sprintf(` stroke-dasharray="%s %s"`, coord(g*0.6), coord(g*0.4))
		}
		fmt.Fprintf(&b, `<path d="M0 %sH%s" stroke="%s" stroke-width="%s"%s/>`, coord(g/2), coord(g), l.Color.Hex(), coord(math.Max(0.7, l.Width*5)), dash)
		if crossed {
			fmt.Fprintf(&b, `<path d="M%s 0V%s" stroke="%s" stroke-width="%s"/>`, coord(g/2), coord(g), l.Color.Hex(), coord(math.Max(0.7, l.Width*5)))
		}
		b.WriteString("</pattern>")
	}
	for _, role := range schema.Roles {
		l := lookOf(role)
		if len(l.hatches) > 0 {
			pattern("hatch-"+string(role), l.hatches[0].gap, l.hatches[0].angle, l.hatches[0].line, len(l.hatches) > 1)
		}
	}
	if missed {
		pattern("hatch-missed", missedHatch.gap, missedHatch.angle, missedHatch.line, false)
	}
	seen := map[string]bool{}
	for i := range features {
		f := &features[i]
		if f.Role == schema.RoleZone && !math.IsNaN(f.HeadingDeg) {
			if id := headingHatch(f.HeadingDeg); !seen[id] {
				seen[id] = true
				h := lookOf(schema.RoleZone).hatches[0]
				pattern(id, h.gap, 90-f.HeadingDeg, h.line, false)
			}
		}
	}
	return b.String()
}

func headingHatch(deg float64) string {
	return "hatch-zone-" + strconv.Itoa(int(math.Round(math.Mod(math.Mod(deg, 180)+180, 180)*10)))
}

// liveMap is the map's content as SVG, in metres with y downwards.
func (d *Drawing) liveMap() string {
	var b strings.Builder
	b.WriteString("<defs>" + hatchDefs(d.Features, d.Track != nil) + "</defs>\n")
	roles := append([]schema.Role(nil), schema.Roles...)
	sort.SliceStable(roles, func(i, j int) bool { return lookOf(roles[i]).order < lookOf(roles[j]).order })
	for _, role := range roles {
		open := false
		for i := range d.Features {
			f := &d.Features[i]
			if f.Role != role {
				continue
			}
			if !open {
				fmt.Fprintf(&b, `<g class="layer" id="layer-%s" data-role="%s" role="group" aria-label="%s">`+"\n", role, role, RoleTitle(role))
				open = true
			}
			d.liveFeature(&b, f, i)
		}
		if open {
			b.WriteString("</g>\n")
		}
	}
	if len(d.Off) > 0 {
		b.WriteString(`<g class="layer" id="layer-off" data-role="off" role="group" aria-label="Off">` + "\n")
		for i := range d.Off {
			f := &d.Off[i]
			fmt.Fprintf(&b, `<g class="f off-feature" data-i="%d" tabindex="0" role="img" aria-label="%s">`, len(d.Features)+i, ink.Escape("off: "+d.aria(f)))
			path := livePath(f)
			if path == "" && len(f.Points) > 0 {
				fmt.Fprintf(&b, `<g transform="translate(%s %s)"><g class="px"><circle class="hit" r="14"/><circle class="off-spot" r="6"/></g></g>`, coord(f.Points[0][0]), coord(-f.Points[0][1]))
			} else {
				fmt.Fprintf(&b, `<path class="hit" d="%s"/><path class="line" d="%s" fill="none" stroke="%s" stroke-width="1.5" stroke-dasharray="6 4" vector-effect="non-scaling-stroke"/>`, path, path, offLine.Color.Hex())
			}
			b.WriteString("</g>\n")
		}
		b.WriteString("</g>\n")
	}
	box, _ := d.bounds()
	d.Track.liveTrack(&b, math.Max(box.Max[0]-box.Min[0], box.Max[1]-box.Min[1]))
	// The outlines of the driven ground, which the drift view moves.
	b.WriteString(`<g id="ghost" hidden="hidden" aria-hidden="true">`)
	for i := range d.Features {
		f := &d.Features[i]
		switch f.Role {
		case schema.RoleZone, schema.RoleKeepout, schema.RoleCorridor:
			fmt.Fprintf(&b, `<path class="ghost-%s" d="%s"/>`, f.Role, livePath(f))
		}
	}
	b.WriteString("</g>\n")
	b.WriteString(`<g id="layer-label" class="layer" aria-hidden="true">` + "\n")
	for i := range d.Features {
		d.liveLabel(&b, &d.Features[i], string(d.Features[i].Role))
	}
	for i := range d.Off {
		f := d.Off[i]
		f.Code += " (off)"
		d.liveLabel(&b, &f, "off")
	}
	b.WriteString("</g>\n")
	b.WriteString(`<g id="layer-finding" role="group" aria-label="Findings on the map">` + "\n")
	stack := map[[2]int]int{}
	for _, f := range d.Findings {
		if !f.HasAt {
			continue
		}
		// Findings of one place stand beside one another.
		k := [2]int{int(math.Round(f.At[0] * 2)), int(math.Round(f.At[1] * 2))}
		n := stack[k]
		stack[k]++
		fmt.Fprintf(&b, `<g class="tag %s" data-finding="%d" tabindex="0" role="button" aria-label="%s" transform="translate(%s %s)"><g class="px"><path class="stem" d="M0 0L%d -20"/><g transform="translate(%d -26)">%s<text class="tagno" y="4">%d</text></g></g></g>`+"\n",
			severityClass(f.Severity), f.Number, ink.Escape(fmt.Sprintf("finding %d, %s: %s", f.Number, f.Severity, f.Message)), coord(f.At[0]), coord(-f.At[1]), 12+22*n, 12+22*n, tagPath(f.Severity), f.Number)
	}
	b.WriteString("</g>\n")
	return b.String()
}

func severityClass(s string) string {
	switch s {
	case "error", "warning":
		return s
	}
	return "note"
}

// tagPath is a tag's form in pixels: octagon, diamond, circle.
func tagPath(severity string) string {
	switch severity {
	case "error":
		return `<path class="tagform" d="M-4 -10H4L10 -4V4L4 10H-4L-10 4V-4Z"/>`
	case "warning":
		return `<path class="tagform" d="M0 -12L12 0L0 12L-12 0Z"/>`
	}
	return `<circle class="tagform" r="10"/>`
}

func livePath(f *Feature) string {
	var b strings.Builder
	run := func(pts []orb.Point, closed bool) {
		for i, p := range pts {
			if i == 0 {
				b.WriteByte('M')
			} else {
				b.WriteByte('L')
			}
			b.WriteString(coord(p[0]) + " " + coord(-p[1]))
		}
		if closed {
			b.WriteByte('Z')
		}
	}
	for _, a := range f.Areas {
		for _, r := range a {
			n := len(r)
			if n > 1 && r[0] == r[n-1] {
				n--
			}
			run(r[:n], true)
		}
	}
	for _, l := range f.Lines {
		run(l, false)
	}
	if f.RadiusM > 0 {
		for _, p := range f.Points {
			run(disc(p, f.RadiusM), true)
		}
	}
	return b.String()
}

func (d *Drawing) liveFeature(b *strings.Builder, f *Feature, index int) {
	fmt.Fprintf(b, `<g class="f" data-i="%d" tabindex="0" role="img" aria-label="%s">`, index, ink.Escape(d.aria(f)))
	l := liveLookOf(f.Role)
	path := livePath(f)
	area := len(f.Areas) > 0 || f.RadiusM > 0
	if f.Role == schema.RoleEdge {
		e := edgeLookOf(f.Kind)
		l.stroke, l.width, l.dash = e.line.Color.Hex(), e.line.Width*4, ""
		for _, v := range e.line.Dash {
			l.dash += coord(v*4) + " "
		}
		l.dash = strings.TrimSpace(l.dash)
		if e.tick != 0 && path != "" { // strokes across the line, by a wide dashed line under it
			fmt.Fprintf(b, `<path d="%s" fill="none" stroke="#000" stroke-width="%s" stroke-dasharray="1.5 %s" vector-effect="non-scaling-stroke"/>`, path, coord(math.Abs(e.tick)*8), coord(e.every*4-1.5))
		}
	}
	if path != "" {
		if area && l.fill != "none" {
			fmt.Fprintf(b, `<path d="%s" fill="%s" fill-opacity="%s" fill-rule="evenodd"/>`, path, l.fill, coord(l.opacity))
		}
		if area && l.pattern != "" {
			id := l.pattern
			if f.Role == schema.RoleZone && !math.IsNaN(f.HeadingDeg) {
				id = headingHatch(f.HeadingDeg)
			}
			fmt.Fprintf(b, `<path d="%s" fill="url(#%s)" fill-rule="evenodd"/>`, path, id)
		}
		dash := ""
		if l.dash != "" {
			dash = ` stroke-dasharray="` + l.dash + `"`
		}
		class := "line"
		if !area {
			// A wide line that is not seen makes thin ones easy to hit.
			fmt.Fprintf(b, `<path class="hit" d="%s"/>`, path)
		}
		fmt.Fprintf(b, `<path class="%s" d="%s" fill="none" stroke="%s" stroke-width="%s"%s vector-effect="non-scaling-stroke"/>`, class, path, l.stroke, coord(l.width), dash)
	}
	for _, p := range f.Points {
		if f.Role == schema.RoleDock && !math.IsNaN(f.HeadingDeg) && f.StandoffM > 0 {
			s, c := math.Sincos(f.HeadingDeg * math.Pi / 180)
			fmt.Fprintf(b, `<path d="M%s %sL%s %s" fill="none" stroke="#000" stroke-width="1.5" stroke-dasharray="4 3" vector-effect="non-scaling-stroke"/>`, coord(p[0]-s*f.StandoffM), coord(-p[1]+c*f.StandoffM), coord(p[0]), coord(-p[1]))
		}
		fmt.Fprintf(b, `<g transform="translate(%s %s)"><g class="px"><circle class="hit" r="14"/><g transform="scale(4.6)">`, coord(p[0]), coord(-p[1]))
		for _, m := range signOf(ink.Point{0, 0}, f.Role, f.HeadingDeg) {
			if path, ok := m.(*ink.Path); ok {
				b.WriteString(signPath(path))
			}
		}
		b.WriteString("</g></g></g>")
	}
	b.WriteString("</g>\n")
}

// signPath is a part of a sign as SVG.
func signPath(p *ink.Path) string {
	var b strings.Builder
	b.WriteString(`<path d="`)
	for _, s := range p.Subs {
		for i, q := range s.Points {
			if i == 0 {
				b.WriteByte('M')
			} else {
				b.WriteByte('L')
			}
			b.WriteString(coord(q[0]) + " " + coord(q[1]))
		}
		if s.Closed {
			b.WriteByte('Z')
		}
	}
	b.WriteByte('"')
	if p.Fill != nil {
		b.WriteString(` fill="` + p.Fill.Hex() + `"`)
	} else {
		b.WriteString(` fill="none"`)
	}
	if p.Line != nil {
		b.WriteString(` stroke="` + p.Line.Color.Hex() + `" stroke-width="` + coord(p.Line.Width) + `"`)
	}
	b.WriteString("/>")
	return b.String()
}

// liveLabel writes a name; the script hides those that lie on others.
func (d *Drawing) liveLabel(b *strings.Builder, f *Feature, layer string) {
	var at orb.Point
	switch {
	case len(f.Areas) > 0 && f.RoomM > 0 && f.Role != schema.RoleBoundary:
		at = f.LabelAt
	case len(f.Areas) > 0 && len(f.Areas[0]) > 0 && len(f.Areas[0][0]) > 0:
		at = f.Areas[0][0][0]
	case len(f.Lines) > 0 && len(f.Lines[0]) > 0:
		at = f.Lines[0][len(f.Lines[0])/2]
	case len(f.Points) > 0:
		at = f.Points[0]
	default:
		return
	}
	dy := 0
	anchor := "middle"
	if len(f.Areas) == 0 {
		anchor, dy = "start", 0
	}
	dx := 0
	if anchor == "start" {
		dx = 14
	}
	wide := 0.0 // m; a name that is wider gives way to the code
	if len(f.Areas) > 0 && f.Role != schema.RoleBoundary {
		box := f.bound()
		wide = box.Max[0] - box.Min[0]
	}
	fmt.Fprintf(b, `<g class="label" data-role="%s" data-code="%s" data-wide="%s" transform="translate(%s %s)"><g class="px"><text x="%d" y="%d" text-anchor="%s">%s</text></g></g>`+"\n", layer, ink.Escape(f.Code), coord(wide), coord(at[0]), coord(-at[1]), dx, dy+4, anchor, ink.Escape(clip(f.Label(), 40)))
}

func liveSwatch(role schema.Role) template.HTML {
	l := liveLookOf(role)
	var b strings.Builder
	b.WriteString(`<svg class="swatch" width="34" height="20" viewBox="0 0 34 20" aria-hidden="true" focusable="false">`)
	switch role {
	case schema.RoleDock, schema.RoleBase, schema.RoleMark, schema.RoleSupply:
		y := 10
		if role == schema.RoleBase {
			y = 8
		}
		fmt.Fprintf(&b, `<g transform="translate(17 %d) scale(4)">`, y)
		for _, m := range signOf(ink.Point{0, 0}, role, 0) {
			if p, ok := m.(*ink.Path); ok {
				b.WriteString(signPath(p))
			}
		}
		b.WriteString("</g>")
	case schema.RoleCorridor, schema.RoleEdge, schema.RoleBoundary:
		dash := ""
		if l.dash != "" {
			dash = ` stroke-dasharray="` + l.dash + `"`
		}
		fmt.Fprintf(&b, `<path d="M2 10H32" stroke="%s" stroke-width="%s"%s/>`, l.stroke, coord(l.width), dash)
	default:
		if l.fill != "none" {
			fmt.Fprintf(&b, `<rect x="2" y="2" width="30" height="16" fill="%s" fill-opacity="%s"/>`, l.fill, coord(l.opacity))
		}
		if l.pattern != "" {
			fmt.Fprintf(&b, `<rect x="2" y="2" width="30" height="16" fill="url(#swatch-%s)"/>`, l.pattern)
			h := lookOf(role).hatches
			g := h[0].gap * 3
			fmt.Fprintf(&b, `<defs><pattern id="swatch-%s" patternUnits="userSpaceOnUse" width="%s" height="%s" patternTransform="rotate(%s)"><path d="M0 %sH%s" stroke="%s" stroke-width="0.9"/>`, l.pattern, coord(g), coord(g), coord(-h[0].angle), coord(g/2), coord(g), h[0].line.Color.Hex())
			if len(h) > 1 {
				fmt.Fprintf(&b, `<path d="M%s 0V%s" stroke="%s" stroke-width="0.9"/>`, coord(g/2), coord(g), h[0].line.Color.Hex())
			}
			b.WriteString("</pattern></defs>")
		}
		dash := ""
		if l.dash != "" {
			dash = ` stroke-dasharray="` + l.dash + `"`
		}
		fmt.Fprintf(&b, `<rect x="2" y="2" width="30" height="16" fill="none" stroke="%s" stroke-width="%s"%s/>`, l.stroke, coord(l.width), dash)
	}
	b.WriteString("</svg>")
	return template.HTML(b.String())
}
