// The plan as the page draws it: metres east and north of one point that stays.

package desk

import (
	"encoding/json"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"swardline/cmd/internal/job"
	"swardline/convert/intake/edit"
	"swardline/schema"
	"swardline/validate"
	"swardline/validate/plane"
)

// anchor is the point that the view counts from: the plan's first base, else
// the middle of its driven ground when it was opened. It stays where it is
// while the plan is edited, so that the page can keep its numbers.
type anchor struct {
	lon, lat float64
	plane    orb.Point
	earth    bool
	what     string
}

func anchorOf(s *validate.Site) *anchor {
	a := &anchor{what: "the middle of the plan"}
	of, p := s.Reference()
	if of == "base" {
		a.what = "the base"
	}
	if lon, lat, ok := s.GroundToLonLat(p); ok {
		a.lon, a.lat, a.earth = lon, lat, true
		return a
	}
	if q, ok := s.GroundToPlan(p); ok {
		a.plane = q
	}
	return a
}

// zero is where the anchor lies on the site's ground.
func (a *anchor) zero(s *validate.Site) orb.Point {
	if a.earth {
		if p, ok := s.LonLatToGround(a.lon, a.lat); ok {
			return p
		}
	}
	p, _ := s.PlanToGround(a.plane)
	return p
}

// plan gives plan coordinates of a point of the view.
func (a *anchor) plan(s *validate.Site, at [2]float64) ([2]float64, bool) {
	z := a.zero(s)
	q, ok := s.GroundToPlan(orb.Point{at[0] + z[0], at[1] + z[1]})
	return q, ok
}

func (a *anchor) fromPlan(s *validate.Site, at [2]float64) ([2]float64, bool) {
	p, ok := s.PlanToGround(at)
	z := a.zero(s)
	return [2]float64{p[0] - z[0], p[1] - z[1]}, ok
}

func (a *anchor) lonLat(s *validate.Site, lon, lat float64) ([2]float64, bool) {
	p, ok := s.LonLatToGround(lon, lat)
	z := a.zero(s)
	return [2]float64{p[0] - z[0], p[1] - z[1]}, ok
}

// viewReply is the plan for the page.
type viewReply struct {
	Name     string        `json:"name"`
	CRS      string        `json:"crs,omitempty"`
	CRSName  string        `json:"crs_name,omitempty"`
	Frame    string        `json:"frame,omitempty"`
	Placed   bool          `json:"placed"`
	UnitM    float64       `json:"unit_m"` // of the drawing
	Zero     string        `json:"zero"`
	Bounds   *[4]float64   `json:"bounds"`
	Features []featureView `json:"features"`
	Fit      *fitReply     `json:"fit,omitempty"`
	// Missed are edits that do nothing now; Edits the list, where it names its
	// features otherwise than it was asked with.
	Missed []missedEdit      `json:"missed,omitempty"`
	Edits  []json.RawMessage `json:"edits,omitempty"`
}

type featureView struct {
	// I is the feature's place in the plan.
	I         int           `json:"i"`
	Ref       featureRef    `json:"ref"`
	ID        string        `json:"id,omitempty"`
	Name      string        `json:"name"`
	Title     string        `json:"title"`
	Role      string        `json:"role"`
	RoleTitle string        `json:"role_title"`
	Active    bool          `json:"active"`
	Kind      string        `json:"kind"` // point, line or polygon
	Parts     [][][]float64 `json:"parts"`
	Box       *[4]float64   `json:"box,omitempty"`
	LabelAt   *[2]float64   `json:"label_at,omitempty"`
	Span      float64       `json:"span"`
	AreaM2    *float64      `json:"area_m2,omitempty"`
	LengthM   *float64      `json:"length_m,omitempty"`
	Gaps      [][4]float64  `json:"gaps,omitempty"`
	GapM      float64       `json:"gap_m,omitempty"`
	Heading   *float64      `json:"heading,omitempty"`
	Standoff  *float64      `json:"standoff,omitempty"`
	Radius    *float64      `json:"radius,omitempty"`
	Height    *float64      `json:"height,omitempty"`
	EdgeKind  string        `json:"edge_kind,omitempty"`
	Invalid   string        `json:"invalid,omitempty"`
}

// featureRef names a feature in an edit.
type featureRef struct {
	Feature string `json:"feature"`
	Nth     int    `json:"nth,omitempty"`
}

// groundOfAll puts the whole plan on the ground, what is off too.
func groundOfAll(p *schema.Plan) (*validate.Site, error) {
	all := *p
	all.Features = make([]*schema.Feature, len(p.Features))
	for i, f := range p.Features {
		all.Features[i] = f
		if f != nil && !f.Active() {
			on := *f
			on.Attributes = f.Attributes.Clone()
			on.Attributes.Delete(schema.PropActive)
			all.Features[i] = &on
		}
	}
	return validate.Ground(&all)
}

func (s *Session) view() (*viewReply, error) {
	site, err := groundOfAll(s.plan)
	if err != nil {
		return nil, err
	}
	s.site = site
	if s.anchor == nil {
		s.anchor = anchorOf(site)
	}
	out := &viewReply{Name: s.plan.Name, Zero: s.anchor.what, Placed: s.plan.CRS != nil, UnitM: job.DrawingUnit(s.plan), Features: []featureView{}, Fit: s.fit}
	if c := s.plan.CRS; c != nil {
		out.CRS, out.CRSName = c.ID(), c.Name()
		if out.CRSName == "" {
			out.CRSName = c.ID()
		}
	}
	z := s.anchor.zero(site)
	whole := noBox()
	for _, f := range site.Features {
		v := s.feature(f, z)
		if b := v.Box; b != nil && !f.Far {
			whole = whole.Union(orb.Bound{Min: orb.Point{b[0], b[1]}, Max: orb.Point{b[2], b[3]}})
		}
		out.Features = append(out.Features, v)
	}
	if !whole.IsEmpty() {
		out.Bounds = &[4]float64{whole.Min[0], whole.Min[1], whole.Max[0], whole.Max[1]}
	}
	if s.fit != nil {
		s.fit.settle(site, s.anchor)
	}
	return out, nil
}

func noBox() orb.Bound {
	return orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
}

func (s *Session) feature(f *validate.Feature, zero orb.Point) featureView {
	own := s.plan.Features[f.Index]
	v := featureView{I: f.Index, ID: own.ID.Text(), Name: own.Name, Title: own.Label(), Role: string(own.Role), RoleTitle: roleTitle(own.Role),
		Active: own.Active(), Kind: "point", Parts: [][][]float64{}, EdgeKind: own.Attributes.Get(schema.PropEdgeKind).Text(), Invalid: f.Invalid}
	if own.Name == "" && v.ID == "" {
		v.Title = v.RoleTitle
	}
	v.Ref.Feature, v.Ref.Nth = edit.Reference(s.plan, f.Index)
	for key, to := range map[string]**float64{schema.PropHeadingDeg: &v.Heading, schema.PropStandoffM: &v.Standoff, schema.PropRadiusM: &v.Radius, schema.PropHeightM: &v.Height} {
		if x, ok := own.Float(key); ok {
			*to = &x
		}
	}
	if f.Invalid != "" {
		return v
	}
	box := noBox()
	take := func(pts []orb.Point) []float64 {
		out := make([]float64, 0, 2*len(pts))
		for _, p := range pts {
			q := orb.Point{round(p[0] - zero[0]), round(p[1] - zero[1])}
			box = box.Extend(q)
			out = append(out, q[0], q[1])
		}
		return out
	}
	switch {
	case len(f.Areas) > 0:
		v.Kind = "polygon"
		for _, a := range f.Areas {
			part := [][]float64{}
			for _, r := range a.Ground {
				if n := len(r); n > 1 && r[0] == r[n-1] {
					r = r[:n-1] // an edit does not count the closing point
				} else if n > 1 {
					v.gape(r[n-1], r[0], zero)
				}
				part = append(part, take(r))
			}
			v.Parts = append(v.Parts, part)
		}
		area := areaOf(f)
		v.AreaM2 = &area
	case len(f.Lines) > 0:
		v.Kind = "line"
		length := 0.0
		for _, l := range f.Lines {
			for i := 1; i < len(l.Ground); i++ {
				length += math.Hypot(l.Ground[i][0]-l.Ground[i-1][0], l.Ground[i][1]-l.Ground[i-1][1])
			}
			if n := len(l.Ground); n > 2 && own.Role.IsArea() {
				v.gape(l.Ground[n-1], l.Ground[0], zero)
			}
			v.Parts = append(v.Parts, [][]float64{take(l.Ground)})
		}
		v.LengthM = &length
	default:
		for _, p := range f.Points {
			v.Parts = append(v.Parts, [][]float64{take([]orb.Point{p.Ground})})
		}
	}
	if box.IsEmpty() {
		return v
	}
	v.Box = &[4]float64{box.Min[0], box.Min[1], box.Max[0], box.Max[1]}
	v.Span = math.Max(box.Max[0]-box.Min[0], box.Max[1]-box.Min[1])
	at := [2]float64{(box.Min[0] + box.Max[0]) / 2, (box.Min[1] + box.Max[1]) / 2}
	if v.Kind == "line" {
		if r := v.Parts[0][0]; len(r) >= 4 {
			k := len(r) / 4 * 2
			at = [2]float64{r[k], r[k+1]}
		}
	}
	v.LabelAt = &at
	return v
}

// gape notes where an outline's ends are apart; the largest such gap is told.
func (v *featureView) gape(from, to, zero orb.Point) {
	d := math.Hypot(from[0]-to[0], from[1]-to[1])
	v.GapM = math.Max(v.GapM, d)
	v.Gaps = append(v.Gaps, [4]float64{from[0] - zero[0], from[1] - zero[1], to[0] - zero[0], to[1] - zero[1]})
}

// round takes a number of the view to a tenth of a millimetre, which keeps the
// page's messages short; edits never start from it.
func round(x float64) float64 { return math.Round(x*1e4) / 1e4 }

func areaOf(f *validate.Feature) float64 {
	var sum float64
	for _, a := range f.Areas {
		for i, r := range a.Ground {
			m := math.Abs(plane.SignedArea(r))
			if i > 0 {
				m = -m
			}
			sum += m
		}
	}
	return sum
}

// proposal is what was drawn on the page, in metres of the view.
type proposal struct {
	Kind    string       `json:"kind"` // add, move-point, insert-point or remove-point
	Role    string       `json:"role,omitempty"`
	Shape   string       `json:"shape,omitempty"` // polygon, line or point
	Points  [][2]float64 `json:"points,omitempty"`
	Feature int          `json:"feature"`
	Part    int          `json:"part"`
	Ring    int          `json:"ring"`
	Index   int          `json:"index"`
	At      *[2]float64  `json:"at,omitempty"`
}

type proposed struct {
	Edits []any `json:"edits"`
}

// propose turns what was drawn into edits in the plan's own coordinates.
func (d *doing) propose() (any, error) {
	var a proposal
	if err := d.take(&a); err != nil {
		return nil, err
	}
	if d.site == nil {
		return nil, errNoPlan
	}
	if a.Kind == "add" {
		return d.proposeNew(&a)
	}
	name, nth, err := d.named(a.Feature)
	if err != nil {
		return nil, err
	}
	point := map[string]any{"part": a.Part, "ring": a.Ring, "point": a.Index}
	if a.At != nil {
		xy, err := d.inPlan(*a.At)
		if err != nil {
			return nil, err
		}
		point["to"] = xy
	}
	e := map[string]any{"feature": name, strings.ReplaceAll(a.Kind, "-", "_"): point}
	if nth > 0 {
		e["nth"] = nth
	}
	return proposed{[]any{e}}, nil
}

func (d *doing) named(i int) (string, int, error) {
	if d.plan == nil || i < 0 || i >= len(d.plan.Features) {
		return "", 0, errNoPlan
	}
	name, nth := edit.Reference(d.plan, i)
	return name, nth, nil
}

// inPlan gives plan coordinates with as many digits as the formats write.
func (d *doing) inPlan(at [2]float64) ([2]float64, error) {
	xy, ok := d.anchor.plan(d.site, at)
	if !ok {
		return xy, errNoPlace
	}
	digits := 1e5
	if c := d.plan.CRS; c != nil && c.IsDegrees() {
		digits = 1e10
	}
	for i := range xy {
		xy[i] = math.Round(xy[i]*digits) / digits
	}
	return xy, nil
}

func (d *doing) proposeNew(a *proposal) (any, error) {
	var pts [][2]float64
	for _, p := range a.Points {
		xy, err := d.inPlan(p)
		if err != nil {
			return nil, err
		}
		pts = append(pts, xy)
	}
	var g map[string]any
	switch {
	case a.Shape == "polygon" && len(pts) >= 3:
		g = map[string]any{"type": "Polygon", "coordinates": [][][2]float64{ordered(a.Role, append(pts, pts[0]))}}
	case a.Shape == "line" && len(pts) >= 2:
		g = map[string]any{"type": "LineString", "coordinates": pts}
	case a.Shape == "point" && len(pts) == 1:
		g = map[string]any{"type": "Point", "coordinates": pts[0]}
	default:
		return nil, errTooFew
	}
	f := map[string]any{"type": "Feature", "geometry": nil, "place": g,
		"properties": map[string]any{"role": a.Role, "drawn_from": "traced"}}
	return proposed{[]any{map[string]any{"add": f}}}, nil
}

// ordered turns a ring into its drive order: zones clockwise, the others
// against.
func ordered(role string, ring [][2]float64) [][2]float64 {
	r := make(orb.Ring, len(ring))
	for i := range ring {
		r[i] = ring[i]
	}
	if clockwise := plane.SignedArea(r) < 0; clockwise == (schema.Role(role) == schema.RoleZone) {
		return ring
	}
	out := make([][2]float64, len(ring))
	for i := range ring {
		out[i] = ring[len(ring)-1-i]
	}
	return out
}
