// Package randplan makes random plans for property tests: every role, every
// geometry, ids and attributes of every kind, with the values that interchange
// is known to spoil. One seed always gives the same plan. Only tests and the
// programs under testdata may import it.
//
// The plans keep what the plan model promises: a role's usual geometry, rings
// closed and wound as RFC 7946 asks (Source.Winding is WindingStandard), a
// ring's last vertex a copy of its first, coordinates of 10 decimals and
// heights of 5, so that every writer can hold them exactly. Texts hold no
// characters that XML 1.0 cannot write.
package randplan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"

	"github.com/twpayne/go-geom"

	"swardline/crs"
	"swardline/schema"
)

// Options narrow what New makes. The zero Options mean everything.
type Options struct {
	// Features is how many features to make; 0 means 1 to 20 of them.
	Features int
	// Plain leaves out attributes that are nested and texts past ASCII.
	Plain bool
}

// New returns the plan of a seed, in WGS 84 degrees.
func New(seed uint64, o Options) *schema.Plan {
	g := &generator{Rand: rand.New(rand.NewPCG(seed, 0x5eed)), plain: o.Plain}
	g.lon, g.lat = round(g.Float64()*340-170, 10), round(g.Float64()*140-70, 10)
	p := &schema.Plan{CRS: crs.WGS84(), Source: schema.Source{Winding: schema.WindingStandard}}
	if g.IntN(4) > 0 {
		p.Name = g.text()
	}
	if g.IntN(3) == 0 {
		p.Epoch = round(2000+g.Float64()*30, 3)
	}
	p.Attributes = g.planAttributes()
	n := o.Features
	if n == 0 {
		n = 1 + g.IntN(20)
	}
	for i := 0; i < n; i++ {
		role := schema.Roles[g.IntN(len(schema.Roles))]
		if i < len(schema.Roles) && n >= len(schema.Roles) {
			role = schema.Roles[i] // a plan with room for all roles has them all
		}
		p.Features = append(p.Features, g.feature(role, i))
	}
	return p
}

type generator struct {
	*rand.Rand
	plain    bool
	lon, lat float64 // the site's middle
}

func round(v float64, decimals int) float64 {
	// Through text, so that the result is the float64 nearest to the decimal
	// number.
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'f', decimals, 64), 64)
	if err != nil {
		panic(err) // cannot happen: FormatFloat writes what ParseFloat reads
	}
	if r == 0 {
		return 0 // never -0
	}
	return r
}

func (g *generator) feature(role schema.Role, index int) *schema.Feature {
	f := &schema.Feature{Role: role, ID: g.id(index)}
	if g.IntN(4) > 0 {
		f.Name = g.text()
	}
	f.Geometry = g.geometry(role)
	f.Attributes = g.attributes(f)
	return f
}

// id returns an id that no other feature of the plan has, of any kind.
func (g *generator) id(index int) schema.Value {
	number := func(s string) schema.Value {
		v, ok := schema.Number(s)
		if !ok {
			panic("not a number: " + s)
		}
		return v
	}
	switch g.IntN(9) {
	case 0:
		return schema.Value{}
	case 1:
		return schema.Int(int64(index))
	case 2:
		return schema.String(strconv.Itoa(index))
	case 3:
		return number(strconv.Itoa(index) + ".0")
	case 4:
		return number("9007199254740993" + fmt.Sprintf("%03d", index)) // past 2^53
	case 5:
		return schema.String(fmt.Sprintf("00%d", index))
	case 6:
		return number("-" + strconv.Itoa(index+1) + "e2")
	case 7:
		return schema.String(fmt.Sprintf("z-%d %s", index, g.text()))
	}
	return schema.String(fmt.Sprintf("zone_%d", index))
}

// Texts that formats are known to spoil.
var texts = []string{
	"lawn", "Bowling green", "north strip", "7", "007", "1e3", "1.0", "-0", "true", "false", "null", "NaN", "inf", "0x10", "1_000",
	"a,b", "a;b", "a\tb", `say "mow"`, "it's", "<b>&amp;</b>", "]]>", "<![CDATA[x]]>", "&nbsp;", "line one\nline two", "line one\r\nline two", "a\rb",
	" leading", "trailing ", "  ", "=1+1", "@at", "+1", "-1", "#hash", "{\"a\":1}", "[1,2]", "{", "[", "\"", "\\", "\\n", "%20", "POINT (1 2)",
	"zone", "other", "2024-02-30", "2024-06-01T12:00:00Z", "1,5", "12°30'N",
}

var wideTexts = []string{"gräsklippning", "緑地", "😀 dock", "e\u0301", "\u202eabc", "\u00a0", "Ωmega", "naïve\u2028x"}

func (g *generator) text() string {
	if !g.plain && g.IntN(4) == 0 {
		return wideTexts[g.IntN(len(wideTexts))]
	}
	if g.IntN(3) == 0 {
		return fmt.Sprintf("%s %d", texts[g.IntN(len(texts))], g.IntN(100))
	}
	return texts[g.IntN(len(texts))]
}

var numbers = []string{
	"0", "-0", "1", "1.0", "1.50", "-3.25", "1e3", "1E+3", "2.5e-7", "0.1", "1e-10", "9007199254740993", "12345678901234567890", "-12345678901234567890",
	"0.30000000000000004", "3.141592653589793238462643", "100000000000000000000000", "1.7976931348623157e308", "5e-324",
}

func (g *generator) value(depth int) schema.Value {
	kinds := 7
	if depth <= 0 || g.plain {
		kinds = 5
	}
	switch g.IntN(kinds) {
	case 0:
		return schema.Null()
	case 1:
		return schema.Bool(g.IntN(2) == 0)
	case 2:
		v, _ := schema.Number(numbers[g.IntN(len(numbers))])
		return v
	case 3:
		if g.IntN(8) == 0 {
			return schema.String("")
		}
		return schema.String(g.text())
	case 4:
		return schema.Float(round(g.NormFloat64()*1000, g.IntN(8)))
	case 5:
		items := make([]schema.Value, g.IntN(4))
		for i := range items {
			items[i] = g.value(depth - 1)
		}
		return schema.List(items...)
	}
	var fields schema.Attributes
	for i := g.IntN(4); i > 0; i-- {
		fields.Set(g.key(), g.value(depth-1))
	}
	if fields == nil {
		fields = schema.Attributes{}
	}
	return schema.Object(fields)
}

// Keys that collide with the names formats use themselves.
var keys = []string{
	"id", "ID", "Name", "lon", "lat", "x", "y", "e", "n", "h", "ele", "z", "wkt", "crs", "part", "ring", "seq", "time", "description", "desc", "type", "geometry",
	"coordinates", "properties", "styleUrl", "visibility", "timestamp", "icon", "cmt", "sym", "link", "extensions", "point", "code",
	"owner", "turf kind", "a:b", "a.b", "a/b", "1st", "<tag>", `"quoted"`, "comma,key", "semi;key", "tab\tkey", "key&amp", "class", "_", "-", "#",
}

var wideKeys = []string{"größe", "高さ", "clé ", " lead"}

func (g *generator) key() string {
	if !g.plain && g.IntN(10) == 0 {
		return wideKeys[g.IntN(len(wideKeys))]
	}
	if g.IntN(5) == 0 {
		return "key_" + strconv.Itoa(g.IntN(50))
	}
	return keys[g.IntN(len(keys))]
}

// attributes follow the feature's role, which stands fixed by now; so do its
// name and geometry.
func (g *generator) attributes(f *schema.Feature) schema.Attributes {
	var a schema.Attributes
	maybe := func(key string, v schema.Value) {
		if g.IntN(2) == 0 {
			a.Set(key, v)
		}
	}
	if g.IntN(4) == 0 {
		a.Set(schema.PropActive, schema.Bool(g.IntN(2) == 0))
	}
	switch f.Role {
	case schema.RoleZone:
		maybe(schema.PropHeadingDeg, schema.Float(round(g.Float64()*360, 2)))
		maybe(schema.PropCutMM, schema.Int(int64(20+g.IntN(60))))
	case schema.RoleDock:
		maybe(schema.PropHeadingDeg, schema.Float(round(g.Float64()*360, 2)))
		maybe(schema.PropStandoffM, schema.Float(round(1+g.Float64()*3, 2)))
	case schema.RoleBase:
		maybe(schema.PropFrame, schema.String("ITRF2014"))
		maybe(schema.PropEpoch, schema.Float(round(2010+g.Float64()*20, 2)))
		maybe(schema.PropAntennaHeight, schema.Float(round(g.Float64()*4, 3)))
	case schema.RoleEdge:
		maybe(schema.PropEdgeKind, schema.String([]string{schema.EdgeWall, schema.EdgeKerb, schema.EdgeFlush, schema.EdgeDrop, schema.EdgeFence}[g.IntN(5)]))
	case schema.RoleHazard:
		maybe(schema.PropHazardKind, schema.String("pond"))
		maybe(schema.PropRadiusM, schema.Float(round(g.Float64()*5, 2)))
	case schema.RoleBuilding:
		maybe(schema.PropHeightM, schema.Float(round(2+g.Float64()*10, 2)))
	case schema.RoleOther:
		if g.IntN(4) == 0 {
			a.Set(schema.PropRole, schema.String("flowerbed")) // an unknown word stays an attribute
		}
	}
	if f.Name == "" && g.IntN(8) == 0 {
		a.Set(schema.PropName, []schema.Value{schema.Null(), schema.Int(5), schema.String(""), schema.Bool(true)}[g.IntN(4)])
	}
	maybe(schema.PropNote, schema.String(g.text()))
	if line, ok := f.Geometry.(*geom.LineString); ok && g.IntN(3) == 0 {
		a.Set(schema.PropTimes, g.times(line.NumCoords()))
	}
	for i := g.IntN(6); i > 0; i-- {
		a.Set(g.key(), g.value(2))
	}
	g.Shuffle(len(a), func(i, j int) { a[i], a[j] = a[j], a[i] })
	return a
}

// times returns a time a vertex, some of them null.
func (g *generator) times(n int) schema.Value {
	items := make([]schema.Value, n)
	for i := range items {
		switch g.IntN(4) {
		case 0:
			items[i] = schema.Null()
		case 1:
			items[i] = schema.String(fmt.Sprintf("2024-06-01T12:%02d:%02d.250+02:00", i/60%60, i%60))
		default:
			items[i] = schema.String(fmt.Sprintf("2024-06-01T10:%02d:%02dZ", i/60%60, i%60))
		}
	}
	return schema.List(items...)
}

func (g *generator) planAttributes() schema.Attributes {
	var a schema.Attributes
	if g.IntN(3) == 0 {
		a.Set(schema.PlanLimits, schema.Object(schema.Attributes{{Key: "base_range_m", Value: schema.Int(300)}, {Key: "slope_max_percent", Value: schema.Float(22.5)}}))
	}
	if g.IntN(3) == 0 {
		a.Set(schema.PlanHeld, schema.String([]string{"offsets", "coordinates"}[g.IntN(2)]))
	}
	for i := g.IntN(3); i > 0; i-- {
		// Own words only: a plan's members share a level with each format's
		// own.
		a.Set([]string{"client", "job no.", "surveyed", "größe", "client ref"}[g.IntN(5)], g.value(2))
	}
	return a
}

func (g *generator) geometry(role schema.Role) geom.T {
	switch role {
	case schema.RoleZone, schema.RoleKeepout, schema.RoleBoundary, schema.RoleBuilding:
		if g.IntN(4) == 0 {
			return g.multiPolygon()
		}
		return g.polygon()
	case schema.RoleCorridor, schema.RoleEdge:
		if g.IntN(4) == 0 {
			return g.multiLineString()
		}
		return g.lineString()
	case schema.RoleDock, schema.RoleBase, schema.RoleMark, schema.RoleSupply:
		return g.point()
	case schema.RoleOther:
		if g.IntN(5) == 0 {
			return nil
		}
	}
	return g.anything(2)
}

func (g *generator) anything(depth int) geom.T {
	kinds := 7
	if depth == 0 {
		kinds = 6
	}
	switch g.IntN(kinds) {
	case 0:
		return g.point()
	case 1:
		return g.lineString()
	case 2:
		return g.polygon()
	case 3:
		return g.multiPoint()
	case 4:
		return g.multiLineString()
	case 5:
		return g.multiPolygon()
	}
	c := geom.NewGeometryCollection()
	for i := 1 + g.IntN(3); i > 0; i-- {
		c.MustPush(g.anything(depth - 1))
	}
	return c
}

// heights says which vertices of a geometry carry one.
type heights uint8

const (
	heightsNone heights = iota
	heightsAll
	heightsSome
)

// shape collects one geometry's vertices as x, y, h with NaN for no height.
type shape struct {
	g       *generator
	heights heights
	flat    []float64
	known   bool // a vertex has a height
}

func (g *generator) shape() *shape {
	return &shape{g: g, heights: heights(g.IntN(3))}
}

// add appends the vertex dx metres east and dy north of the site's middle.
func (s *shape) add(dx, dy float64) {
	h := math.NaN()
	if s.heights == heightsAll || s.heights == heightsSome && s.g.IntN(2) == 0 {
		h = round(s.g.NormFloat64()*20, s.g.IntN(6))
		if s.g.IntN(6) == 0 {
			h = 0 // a real 0 is not an absent height
		}
		s.known = true
	}
	const metresPerDegree = 111320
	s.flat = append(s.flat,
		round(s.g.lon+dx/(metresPerDegree*math.Cos(s.g.lat*math.Pi/180)), 10),
		round(s.g.lat+dy/metresPerDegree, 10), h)
}

// repeat appends the vertex that stands at index i once more.
func (s *shape) repeat(i int) {
	s.flat = append(s.flat, s.flat[3*i:3*i+3]...)
}

// finish returns layout, coordinates and the vertex counts as ends.
func (s *shape) finish(counts []int) (geom.Layout, []float64, []int) {
	ends := make([]int, len(counts))
	if s.known {
		for i, n := range counts {
			ends[i] = 3 * n
		}
		return geom.XYZ, s.flat, ends
	}
	flat := make([]float64, 0, len(s.flat)/3*2)
	for i := 0; i < len(s.flat); i += 3 {
		flat = append(flat, s.flat[i], s.flat[i+1])
	}
	for i, n := range counts {
		ends[i] = 2 * n
	}
	return geom.XY, flat, ends
}

func (s *shape) count() int { return len(s.flat) / 3 }

func (g *generator) at() (x, y float64) { return g.NormFloat64() * 60, g.NormFloat64() * 60 }

func (g *generator) point() geom.T {
	s := g.shape()
	s.add(g.at())
	layout, flat, _ := s.finish(nil)
	return geom.NewPointFlat(layout, flat)
}

func (g *generator) multiPoint() geom.T {
	s := g.shape()
	for i := 1 + g.IntN(4); i > 0; i-- {
		s.add(g.at())
	}
	layout, flat, _ := s.finish(nil)
	return geom.NewMultiPointFlat(layout, flat)
}

func (s *shape) line() {
	first := s.count()
	x, y := s.g.at()
	for i := 2 + s.g.IntN(8); i > 0; i-- {
		s.add(x, y)
		x, y = x+1+s.g.Float64()*10, y+s.g.NormFloat64()*5
	}
	if s.g.IntN(6) == 0 && s.count()-first > 2 {
		s.repeat(first) // a closed line is still a line
	}
}

func (g *generator) lineString() geom.T {
	s := g.shape()
	s.line()
	layout, flat, _ := s.finish(nil)
	return geom.NewLineStringFlat(layout, flat)
}

func (g *generator) multiLineString() geom.T {
	s := g.shape()
	var counts []int
	for i := 1 + g.IntN(3); i > 0; i-- {
		s.line()
		counts = append(counts, s.count())
	}
	layout, flat, ends := s.finish(counts)
	return geom.NewMultiLineStringFlat(layout, flat, ends)
}

// ring appends a closed ring of n points about (x, y) that stand between 0.6
// and 1 times radius away: it never crosses itself.
func (s *shape) ring(x, y, radius float64, n int, anticlockwise bool) {
	first := s.count()
	// A gap of 180 degrees would let the ring run the other way about its
	// middle.
	jitter := 0.8
	if n < 4 {
		jitter = 0.3
	}
	start := s.g.Float64() * 2 * math.Pi
	for i := 0; i < n; i++ {
		turn := (float64(i) + jitter*s.g.Float64()) * 2 * math.Pi / float64(n)
		if !anticlockwise {
			turn = -turn
		}
		a := start + turn
		r := radius * (0.6 + 0.4*s.g.Float64())
		s.add(x+r*math.Cos(a), y+r*math.Sin(a))
	}
	s.repeat(first)
}

// rings appends a shell with up to three holes and returns the counts.
func (s *shape) rings(x, y, radius float64) []int {
	holes := s.g.IntN(4)
	points := 3 + s.g.IntN(12)
	if holes > 0 {
		points += 3 // from 6 points up the shell keeps 0.35 of its radius clear
	}
	s.ring(x, y, radius, points, true)
	counts := []int{s.count()}
	for i := 0; i < holes; i++ {
		a := float64(i) * 2 * math.Pi / 3
		s.ring(x+0.12*radius*math.Cos(a), y+0.12*radius*math.Sin(a), 0.06*radius, 3+s.g.IntN(6), false)
		counts = append(counts, s.count())
	}
	return counts
}

func (g *generator) polygon() geom.T {
	s := g.shape()
	x, y := g.at()
	layout, flat, ends := s.finish(s.rings(x, y, 5+g.Float64()*30))
	return geom.NewPolygonFlat(layout, flat, ends)
}

func (g *generator) multiPolygon() geom.T {
	s := g.shape()
	x, y := g.at()
	var counts []int
	var parts []int // rings up to and with each part
	for i, n := 0, 1+g.IntN(3); i < n; i++ {
		counts = append(counts, s.rings(x+float64(i)*50, y, 5+g.Float64()*15)...)
		parts = append(parts, len(counts))
	}
	layout, flat, ends := s.finish(counts)
	endss := make([][]int, len(parts))
	start := 0
	for i, end := range parts {
		endss[i] = ends[start:end:end]
		start = end
	}
	return geom.NewMultiPolygonFlat(layout, flat, endss)
}

// Field returns a plan of many zones for measuring speed and memory: features
// polygons of the given number of vertices and a few attributes each, side by
// side. 60,000 of 38 vertices make about 70 MB of GeoJSON.
func Field(features, vertices int) *schema.Plan {
	g := &generator{Rand: rand.New(rand.NewPCG(1, 0xf1e1d)), plain: true, lon: 11.2, lat: 56.95}
	p := &schema.Plan{Name: "Field", CRS: crs.WGS84(), Source: schema.Source{Winding: schema.WindingStandard}}
	columns := int(math.Ceil(math.Sqrt(float64(features))))
	for i := 0; i < features; i++ {
		s := &shape{g: g}
		s.ring(float64(i%columns)*25, float64(i/columns)*25, 12, vertices-1, true)
		layout, flat, ends := s.finish([]int{s.count()})
		p.Features = append(p.Features, &schema.Feature{
			ID: schema.Int(int64(i)), Role: schema.RoleZone, Name: "Zone " + strconv.Itoa(i),
			Geometry: geom.NewPolygonFlat(layout, flat, ends),
			Attributes: schema.Attributes{{Key: schema.PropHeadingDeg, Value: schema.Float(round(g.Float64()*360, 1))},
				{Key: schema.PropCutMM, Value: schema.Int(int64(25 + i%30))}, {Key: "turf", Value: schema.String("ryegrass")}},
		})
	}
	return p
}
