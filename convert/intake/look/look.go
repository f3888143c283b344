// Package look says what is in a file before anything is believed of it: its
// layers or folders with what is drawn on them, extents, units, what each layer
// is likely for, and which grids its numbers may be in. It decides nothing.
package look

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/twpayne/go-geom"

	"swardline/convert/dxf"
	"swardline/crs"
	"swardline/schema"
)

// Options say what is known beside the file.
type Options struct {
	// Near is a place by the site, which narrows the grids down; nil when
	// unknown.
	Near *crs.Geodetic
}

// Overview is what was found.
type Overview struct {
	File   string `json:"file,omitempty"`
	Format string `json:"format"`
	// Version is a drawing's, such as "R2010".
	Version string `json:"version,omitempty"`
	// CRS is what the file says it is in; "" when it does not.
	CRS string `json:"crs,omitempty"`
	// Unit is what the file says its unit is; "" when it does not.
	Unit     string `json:"unit,omitempty"`
	Features int    `json:"features"`
	// Kinds counts entities or geometries.
	Kinds   []dxf.Count   `json:"kinds"`
	LeftOut []dxf.Count   `json:"left_out,omitempty"`
	Extent  schema.Extent `json:"extent"`
	Heights bool          `json:"heights"`
	Groups  []Group       `json:"groups"`
	Blocks  []dxf.Block   `json:"blocks,omitempty"`
	// Units are those that would make a site of 1 m to 20 km, for a drawing.
	Units []UnitGuess `json:"units,omitempty"`
	// Degrees is true when the numbers look like longitude and latitude.
	Degrees bool `json:"degrees"`
	// Local is true when the numbers lie so near 0 that the drawing most likely
	// has an origin of its own and must be placed from marks.
	Local bool `json:"local"`
	// Grids are the projected CRSs in whose area of use the numbers fall, the
	// most likely first, at most MostGrids; GridCount is how many there are.
	Grids     []Grid `json:"grids,omitempty"`
	GridCount int    `json:"grid_count"`
	// Notes say what a person should look at.
	Notes []string `json:"notes,omitempty"`
}

// Group is the features of one layer, folder or role.
type Group struct {
	Name string `json:"name"`
	// State is "frozen" or "off" for a layer that is not shown.
	State  string        `json:"state,omitempty"`
	Colour string        `json:"colour,omitempty"`
	Count  int           `json:"count"`
	Kinds  []dxf.Count   `json:"kinds"`
	Extent schema.Extent `json:"extent"`
	// Likely is the role the name speaks for, "" when it speaks for none; Why
	// says which word, or what the geometry leaves open.
	Likely schema.Role `json:"likely_role,omitempty"`
	Why    string      `json:"why"`
}

// UnitGuess is a unit with the size of site that it would make.
type UnitGuess struct {
	Unit  string  `json:"unit"`
	SizeM float64 `json:"size_m"`
}

// Grid is a CRS that the numbers fit.
type Grid struct {
	CRS  string `json:"crs"`
	Name string `json:"name"`
	Area string `json:"area"`
	// Unit is the drawing's unit that was assumed, "" for the plan's own
	// numbers.
	Unit string `json:"unit,omitempty"`
	// How is "as they are", "east and north swapped" or "signs of the official
	// axes".
	How string `json:"how"`
	// Lon and Lat are where the middle of the numbers would be, in degrees on
	// the grid's own datum; NaN-free: 0 and false when it cannot be told.
	Lon, Lat float64 `json:"-"`
	placed   bool
	areaKm2  float64
	rank     int
}

// MostGrids is how many grids are listed.
const MostGrids = 20

// nearKm is how far from the place that was named a grid may put the site.
const nearKm = 50

// The sizes of site that a unit may make, in metres.
const (
	smallestSite = 1
	largestSite  = 20000
)

// Drawing describes the inventory of a drawing; it needs no unit.
func Drawing(inv *dxf.Inventory, o Options) *Overview {
	v := &Overview{Format: "dxf", Version: inv.Release, CRS: inv.CRS, Kinds: inv.Entities, LeftOut: inv.LeftOut, Extent: inv.Extent,
		Heights: inv.Heights, Blocks: inv.Blocks, Degrees: inv.Degrees}
	if inv.UnitStated {
		v.Unit = inv.Unit
	}
	for _, c := range inv.Entities {
		v.Features += c.N
	}
	for _, l := range inv.Layers {
		g := Group{Name: l.Name, State: l.State, Colour: l.Colour, Kinds: l.Entities, Extent: l.Extent}
		points, lines, areas := 0, 0, l.Closed
		for _, c := range l.Entities {
			g.Count += c.N
			switch c.Name {
			case "POINT", "INSERT", "TEXT", "MTEXT", "LEADER", "MULTILEADER", "MLEADER":
				points += c.N
			default:
				lines += c.N
			}
		}
		guess := LikelyRole(l.Name, points, max(0, lines-areas), areas)
		g.Likely, g.Why = guess.Role, guess.Why
		v.Groups = append(v.Groups, g)
	}
	for _, w := range inv.Warnings {
		v.Notes = append(v.Notes, w.Message)
	}
	if inv.Extent.Empty {
		return v
	}
	size := inv.Extent.Size()
	for _, name := range []string{"m", "mm", "cm", "ft", "ftUS", "in"} {
		u, err := dxf.UnitByName(name)
		if err == nil && size*u.Metres >= smallestSite && size*u.Metres <= largestSite {
			v.Units = append(v.Units, UnitGuess{name, size * u.Metres})
		}
	}
	if v.Degrees {
		v.Notes = append(v.Notes, "the numbers look like longitude and latitude, which a drawing cannot hold well: have it exported in a grid of metres")
		return v
	}
	try := v.Units
	if inv.UnitStated {
		site := size * inv.UnitMetres
		try = []UnitGuess{{inv.Unit, site}}
		if site < smallestSite || site > largestSite {
			v.Notes = append(v.Notes, fmt.Sprintf("with 1 unit = 1 %s, as the header says, the drawing is %.3g m across; check its unit", inv.Unit, site))
		}
	} else {
		v.Notes = append(v.Notes, "the drawing does not say what its unit is: say it with --units")
	}
	if v.CRS != "" && o.Near == nil {
		return v // it says which grid; to list others would only raise doubts
	}
	points := corners(inv.Extent)
	for _, u := range try {
		metres := inv.UnitMetres
		if !inv.UnitStated {
			unit, err := dxf.UnitByName(u.Unit)
			if err != nil {
				continue
			}
			metres = unit.Metres
		}
		v.addGrids(points, metres, u.Unit, o)
	}
	v.finish(o)
	return v
}

// Plan describes a plan that was read.
func Plan(p *schema.Plan, o Options) *Overview {
	v := &Overview{File: p.Source.File, Format: p.Source.Format, Features: len(p.Features), Extent: schema.Extent{Empty: true}}
	if p.CRS != nil {
		v.CRS = p.CRS.ID()
	}
	v.Unit = p.Attributes.Get(schema.PlanDrawing).Fields().Get("unit").Text()
	type tally struct {
		Group
		kinds                map[string]int
		points, lines, areas int
	}
	groups := map[string]*tally{}
	var order []*tally
	kinds := map[string]int{}
	for _, f := range p.Features {
		name := groupName(f)
		t := groups[name]
		if t == nil {
			t = &tally{Group: Group{Name: name, Extent: schema.Extent{Empty: true}}, kinds: map[string]int{}}
			groups[name] = t
			order = append(order, t)
		}
		t.Count++
		kind := f.Attributes.Get(schema.PropEntity).Text()
		if kind == "" {
			kind = schema.TypeName(f.Geometry)
			if f.Geometry == nil {
				kind = "none"
			}
		}
		t.kinds[kind]++
		kinds[kind]++
		switch f.Geometry.(type) {
		case *geom.Point, *geom.MultiPoint:
			t.points++
		case *geom.Polygon, *geom.MultiPolygon:
			t.areas++
		case nil:
		default:
			t.lines++
		}
		each(f.Geometry, func(x, y, h float64) {
			t.Extent.Add(x, y)
			v.Extent.Add(x, y)
			v.Heights = v.Heights || !math.IsNaN(h)
		})
	}
	v.Kinds = dxf.Counts(kinds)
	for _, t := range order {
		t.Kinds = dxf.Counts(t.kinds)
		guess := LikelyRole(t.Name, t.points, t.lines, t.areas)
		t.Likely, t.Why = guess.Role, guess.Why
		v.Groups = append(v.Groups, t.Group)
	}
	if v.Extent.Empty || p.CRS != nil && p.CRS.Kind() != crs.KindProjected {
		return v
	}
	if p.CRS == nil && dxf.LooksLikeDegrees(v.Extent.Min[0], v.Extent.Min[1], v.Extent.Max[0], v.Extent.Max[1]) {
		v.Degrees = true
		v.Notes = append(v.Notes, "the numbers look like longitude and latitude in degrees: say --from OGC:CRS84 if x is the longitude, EPSG:4326 if x is the latitude")
		return v
	}
	metres := 1.0
	if p.CRS != nil {
		metres = p.CRS.UnitMetres()
	}
	if p.CRS == nil || o.Near != nil {
		v.addGrids(corners(v.Extent), metres, "", o)
		v.finish(o)
	}
	if p.CRS != nil {
		verdict := p.CRS.JudgeAxes(corners(v.Extent), 2)
		if verdict != crs.AxesFit && verdict != crs.AxesUnknown {
			v.Notes = append(v.Notes, fmt.Sprintf("the file says %s, but its numbers are %s", p.CRS.ID(), verdict))
		}
	}
	return v
}

// groupName is the layer, the innermost folder, or the role of a feature.
func groupName(f *schema.Feature) string {
	if s := f.Attributes.Get(schema.PropLayer).Text(); s != "" {
		return s
	}
	v := f.Attributes.Get(schema.PropFolder)
	if items := v.Items(); len(items) > 0 {
		v = items[len(items)-1]
	}
	if s := v.Text(); s != "" {
		return s
	}
	return string(f.Role)
}

func each(g geom.T, f func(x, y, h float64)) {
	switch g := g.(type) {
	case nil:
	case *geom.GeometryCollection:
		for _, part := range g.Geoms() {
			each(part, f)
		}
	default:
		flat, stride := g.FlatCoords(), g.Stride()
		for i := 0; i+1 < len(flat); i += stride {
			h := math.NaN()
			if stride > 2 {
				h = flat[i+2]
			}
			f(flat[i], flat[i+1], h)
		}
	}
}

// corners returns the corners and the middle of a box.
func corners(b schema.Extent) []float64 {
	x0, y0, x1, y1 := b.Min[0], b.Min[1], b.Max[0], b.Max[1]
	return []float64{x0, y0, x1, y0, x1, y1, x0, y1, (x0 + x1) / 2, (y0 + y1) / 2}
}

// localMost is how far from 0, in metres, the numbers of a drawing with an
// origin of its own usually lie: a rule of thumb without a source.
const localMost = 20000

// addGrids tries every projected CRS of the catalogue on the points, whose unit
// is so many metres.
func (v *Overview) addGrids(points []float64, metres float64, unit string, o Options) {
	most := 0.0
	for _, c := range points {
		most = math.Max(most, math.Abs(c)*metres)
	}
	if most < localMost {
		v.Local = true
		return // such numbers fit hundreds of grids, and are in none
	}
	flat := make([]float64, len(points))
	for _, c := range crs.List() {
		if c.Kind() != crs.KindProjected || !(c.UnitMetres() > 0) {
			continue
		}
		for i := range points {
			flat[i] = points[i] * metres / c.UnitMetres()
		}
		verdict := c.JudgeAxes(flat, 2)
		g := Grid{CRS: c.ID(), Name: c.Name(), Area: c.AreaName(), Unit: unit}
		x, y := flat[8], flat[9]
		switch verdict {
		case crs.AxesFit:
			g.How = "as they are"
		case crs.AxesSwapped:
			g.How = "east and north swapped"
			x, y = y, x
		case crs.AxesMirrored:
			g.How = "signs of the official axes"
			official := []float64{x, y}
			if c.FromOfficial(official, 2) == nil {
				x, y = official[0], official[1]
			}
		default:
			continue
		}
		at := []float64{x, y}
		if c.ToGeodetic(at, 2) == nil {
			g.Lon, g.Lat, g.placed = at[0], at[1], true
		}
		if o.Near != nil && (!g.placed || kilometres(g.Lon, g.Lat, float64(o.Near.Lon), float64(o.Near.Lat)) > nearKm) {
			continue
		}
		if w, s, e, n, ok := c.Area(); ok {
			if w > e {
				e += 360
			}
			g.areaKm2 = 6371 * 6371 * (e - w) * math.Pi / 180 * (math.Sin(n*math.Pi/180) - math.Sin(s*math.Pi/180))
		}
		v.Grids = append(v.Grids, g)
	}
}

// kilometres is the distance on a sphere (haversine).
func kilometres(lon1, lat1, lon2, lat2 float64) float64 {
	const rad = math.Pi / 180
	s, t := math.Sin((lat2-lat1)/2*rad), math.Sin((lon2-lon1)/2*rad)
	return 2 * 6371 * math.Asin(math.Min(1, math.Sqrt(s*s+math.Cos(lat1*rad)*math.Cos(lat2*rad)*t*t)))
}

// finish orders the grids: by what a local would use at the place when one was
// named, else by the size of the area of use, the smallest first; as they are
// before swapped.
func (v *Overview) finish(o Options) {
	if o.Near != nil {
		rank := map[string]int{}
		if list, err := crs.Near(o.Near.Lat, o.Near.Lon); err == nil {
			for i := range list {
				rank[list[i].CRS.ID()] = i + 1
			}
		}
		for i := range v.Grids {
			if v.Grids[i].rank = rank[v.Grids[i].CRS]; v.Grids[i].rank == 0 {
				v.Grids[i].rank = math.MaxInt
			}
		}
	}
	moved := func(g *Grid) int { return map[bool]int{true: 0, false: 1}[g.How == "as they are"] }
	slices.SortStableFunc(v.Grids, func(a, b Grid) int {
		return cmp.Or(cmp.Compare(a.rank, b.rank), moved(&a)-moved(&b), cmp.Compare(a.areaKm2, b.areaKm2))
	})
	v.GridCount = len(v.Grids)
	v.Grids = v.Grids[:min(len(v.Grids), MostGrids)]
	switch {
	case v.Local:
		v.Notes = append(v.Notes, "the numbers lie near 0: the drawing most likely has an origin of its own, and is to be placed from marks")
	case v.GridCount == 0 && o.Near != nil:
		v.Notes = append(v.Notes, fmt.Sprintf("in no grid of the catalogue do the numbers fall within %d km of the place named", nearKm))
	case v.GridCount == 0:
		v.Notes = append(v.Notes, "the numbers fall in the area of use of no grid of the catalogue: the drawing has an origin of its own, or another unit")
	case v.GridCount > MostGrids:
		v.Notes = append(v.Notes, fmt.Sprintf("the numbers fit %d grids; a place by the site narrows them down", v.GridCount))
	}
}

// String lists the overview for people.
func (v *Overview) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "format: %s", v.Format)
	if v.Version != "" {
		fmt.Fprintf(&b, " %s", v.Version)
	}
	fmt.Fprintf(&b, "\nfeatures: %d (%s)\n", v.Features, list(v.Kinds))
	if len(v.LeftOut) > 0 {
		fmt.Fprintf(&b, "not read: %s\n", list(v.LeftOut))
	}
	fmt.Fprintf(&b, "unit: %s\nCRS: %s\n", orUnknown(v.Unit), orUnknown(v.CRS))
	if !v.Extent.Empty {
		fmt.Fprintf(&b, "extent: (%s, %s) to (%s, %s)", number(v.Extent.Min[0]), number(v.Extent.Min[1]), number(v.Extent.Max[0]), number(v.Extent.Max[1]))
		if v.Heights {
			b.WriteString(", with heights")
		}
		b.WriteByte('\n')
	}
	for _, u := range v.Units {
		fmt.Fprintf(&b, "  with 1 unit = 1 %s the site is %s m across\n", u.Unit, number(u.SizeM))
	}
	for _, g := range v.Groups {
		fmt.Fprintf(&b, "%q", g.Name)
		if g.State != "" {
			fmt.Fprintf(&b, " (%s)", g.State)
		}
		fmt.Fprintf(&b, ": %s; %s\n", list(g.Kinds), g.Why)
	}
	for _, x := range v.Blocks {
		fmt.Fprintf(&b, "block %q: %d entities, inserted %d times\n", x.Name, x.Entities, x.Inserted)
	}
	for _, g := range v.Grids {
		fmt.Fprintf(&b, "%s %s (%s), %s", g.CRS, g.Name, g.Area, g.How)
		if g.Unit != "" {
			fmt.Fprintf(&b, ", in %s", g.Unit)
		}
		if g.placed {
			fmt.Fprintf(&b, ": at %.4f N %.4f E", g.Lat, g.Lon)
		}
		b.WriteByte('\n')
	}
	for _, n := range v.Notes {
		fmt.Fprintf(&b, "note: %s\n", n)
	}
	return b.String()
}

func orUnknown(s string) string {
	if s == "" {
		return "not stated"
	}
	return s
}

func list(c []dxf.Count) string {
	if len(c) == 0 {
		return "nothing"
	}
	out := make([]string, len(c))
	for i := range c {
		out[i] = fmt.Sprintf("%d %s", c[i].N, c[i].Name)
	}
	return strings.Join(out, ", ")
}

func number(f float64) string {
	s := fmt.Sprintf("%.3f", f)
	return strings.TrimRight(strings.TrimRight(s, "0"), ".")
}
