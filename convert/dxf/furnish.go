// What a drawing shows besides the plan's entities, for people: line types,
// symbols, names, a note of what the numbers are, and the place on the earth.

package dxf

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"swardline/crs"
	"swardline/schema"
)

// lineType is an entry of the table of line types. Lengths are parts of a
// symbol's size; a negative one is a gap, 0 a dot.
type lineType struct {
	name, says string
	parts      []float64
}

var lineTypes = []lineType{
	{"DASHED", "dashed __ __ __", []float64{1.2, -0.6}},
	{"DOTTED", "dotted . . . .", []float64{0, -0.4}},
	{"CHAIN", "chain ___ . ___ .", []float64{2.4, -0.5, 0, -0.5}},
}

// lineTypeOf is that of a role's layer.
func lineTypeOf(role schema.Role) string {
	switch role {
	case schema.RoleKeepout, schema.RoleCorridor:
		return "DASHED"
	case schema.RoleHazard:
		return "DOTTED"
	case schema.RoleBoundary:
		return "CHAIN"
	}
	return "Continuous"
}

// Endings of a role's layers beside its own.
const (
	namesEnding = "-NAMES" // of the names of its features
	offEnding   = "-OFF"   // of its features that are off; the layer is off too
)

// size is that of a symbol in metres: a hundredth of the drawing, within what
// can be told apart in a garden and on a map.
func (d *writer) size() float64 {
	across := math.Max(d.high[0]-d.low[0], d.high[1]-d.low[1])
	return math.Min(math.Max(across/100, 0.3), 8)
}

func (d *writer) lineTypeTable() {
	d.table("LTYPE", "5", 3+len(lineTypes))
	entry := func(handle, name, says string, parts []float64) {
		d.line("LTYPE", handle, "5", "AcDbLinetypeTableRecord", name, 0)
		d.put(3, says)
		d.int(72, 65)
		d.int(73, len(parts))
		total := 0.0
		for _, p := range parts {
			total += math.Abs(p)
		}
		scale := d.size() / d.unit.Metres
		d.real(40, total*scale)
		for _, p := range parts {
			d.real(49, p*scale)
			d.int(74, 0)
		}
	}
	entry("14", "ByBlock", "", nil)
	entry("15", "ByLayer", "", nil)
	entry("16", "Continuous", "", nil)
	for _, t := range lineTypes {
		entry(strings.ToUpper(d.nextHandle()), t.name, t.says, t.parts)
	}
	d.put(0, "ENDTAB")
}

// stroke is one line or circle of a symbol, in parts of its size.
type stroke struct {
	points []point2
	closed bool
	circle float64 // radius about the first point; 0 for a line
}

type point2 [2]float64

// symbol is what stands for a point of a role. Its middle is the point; a
// dock's faces north, against which its insert is turned.
type symbol struct {
	name    string
	strokes []stroke
}

var symbols = []symbol{
	{"PLAN_BASE", []stroke{{points: []point2{{0, 0}, {0.5, -1}, {-0.5, -1}}, closed: true}, {points: []point2{{0, 0}}, circle: 0.18}, {points: []point2{{0, 0}}, circle: 0.8}}},
	{"PLAN_DOCK", []stroke{{points: []point2{{-0.5, -0.5}, {-0.5, 0.5}, {0.5, 0.5}, {0.5, -0.5}}}, {points: []point2{{0, -0.5}, {0, 0.2}}}, {points: []point2{{-0.2, 0}, {0, 0.2}, {0.2, 0}}}}},
	{"PLAN_MARK", []stroke{{points: []point2{{0, 0}}, circle: 0.4}, {points: []point2{{-0.65, 0}, {0.65, 0}}}, {points: []point2{{0, -0.65}, {0, 0.65}}}}},
	{"PLAN_OUTLET", []stroke{{points: []point2{{-0.45, -0.45}, {0.45, -0.45}, {0.45, 0.45}, {-0.45, 0.45}}, closed: true}, {points: []point2{{0.15, 0.35}, {-0.15, 0}, {0.15, 0}, {-0.15, -0.35}}}}},
	{"PLAN_TREE", []stroke{{points: []point2{{0, 0}}, circle: 0.5}, {points: []point2{{0, 0}}, circle: 0.12}, {points: []point2{{-0.5, 0}, {0.5, 0}}}, {points: []point2{{0, -0.5}, {0, 0.5}}}}},
	{"PLAN_HAZARD", []stroke{{points: []point2{{0, 0.5}, {0.5, 0}, {0, -0.5}, {-0.5, 0}}, closed: true}, {points: []point2{{0, 0.25}, {0, -0.1}}}, {points: []point2{{0, -0.25}}, circle: 0.04}}},
	{"PLAN_POINT", []stroke{{points: []point2{{-0.3, -0.3}, {0.3, 0.3}}}, {points: []point2{{-0.3, 0.3}, {0.3, -0.3}}}}},
}

// symbolOf names the symbol of a feature's points.
func symbolOf(f *schema.Feature) string {
	switch f.Role {
	case schema.RoleBase:
		return "PLAN_BASE"
	case schema.RoleDock:
		return "PLAN_DOCK"
	case schema.RoleMark:
		return "PLAN_MARK"
	case schema.RoleSupply:
		return "PLAN_OUTLET"
	case schema.RoleHazard:
		if strings.EqualFold(f.Attributes.Get(schema.PropHazardKind).Text(), "tree") {
			return "PLAN_TREE"
		}
		return "PLAN_HAZARD"
	case schema.RoleOther, "":
		return "" // a point, as it was
	}
	return "PLAN_POINT"
}

func isSymbol(block string) bool {
	return slices.ContainsFunc(symbols, func(s symbol) bool { return s.name == block })
}

// symbolsUsed are those of the plan, in the order of the table.
func (d *writer) symbolsUsed() []symbol {
	used := map[string]bool{}
	for _, f := range d.plan.Features {
		used[symbolOf(f)] = true
	}
	var out []symbol
	for _, s := range symbols {
		if used[s.name] {
			out = append(out, s)
		}
	}
	return out
}

// symbolBlocks writes their definitions; records are the handles of their
// records.
func (d *writer) symbolBlocks() {
	for i, s := range d.used {
		owner := d.usedRecord[i]
		d.put(0, "BLOCK")
		d.newHandle(5)
		d.put(330, owner)
		d.put(100, "AcDbEntity")
		d.put(8, "0")
		d.put(100, "AcDbBlockBegin")
		d.put(2, s.name)
		d.int(70, 0)
		d.real(10, 0)
		d.real(20, 0)
		d.real(30, 0)
		d.put(3, s.name)
		d.put(1, "")
		for _, k := range s.strokes {
			kind, class := "LWPOLYLINE", "AcDbPolyline"
			if k.circle > 0 {
				kind, class = "CIRCLE", "AcDbCircle"
			}
			d.put(0, kind)
			d.newHandle(5)
			d.put(330, owner)
			d.put(100, "AcDbEntity")
			d.put(8, "0")
			d.put(100, class)
			if k.circle > 0 {
				d.real(10, k.points[0][0])
				d.real(20, k.points[0][1])
				d.real(30, 0)
				d.real(40, k.circle)
				continue
			}
			d.int(90, len(k.points))
			d.int(70, bit(k.closed))
			for _, p := range k.points {
				d.real(10, p[0])
				d.real(20, p[1])
			}
		}
		d.put(0, "ENDBLK")
		d.newHandle(5)
		d.put(330, owner)
		d.put(100, "AcDbEntity")
		d.put(8, "0")
		d.put(100, "AcDbBlockEnd")
	}
}

// insert writes the entity of a point as its symbol.
func (e *entityLine) insert(name string, z float64) {
	d := e.d
	e.head("INSERT", "AcDbBlockReference")
	d.put(2, name)
	d.at(10, e.leaf.flat[0], e.leaf.flat[1], z)
	for _, code := range []int{41, 42, 43} {
		d.real(code, d.size()/d.unit.Metres)
	}
	turn := 0.0
	if heading, ok := e.f.Float(schema.PropHeadingDeg); ok && e.f.Role == schema.RoleDock {
		// A bearing runs clockwise from north, an angle of a drawing
		// anticlockwise.
		turn = math.Mod(math.Mod(-heading, 360)+360, 360)
	}
	d.real(50, turn)
}

// names writes the name of every feature that has one and is not itself a text.
// One that would lie on another goes below it.
func (d *writer) names() {
	type line struct{ left, right, y float64 }
	taken := map[int][]line{} // by height, in rows
	height := d.size() * 0.7
	room := func(x, y, wide float64) float64 {
		for range 6 {
			free := true
			row := int(math.Floor(y / height))
			for r := row - 2; r <= row+2; r++ {
				for _, o := range taken[r] {
					free = free && (math.Abs(o.y-y) >= 1.3*height || o.right <= x || x+wide <= o.left)
				}
			}
			if free {
				break
			}
			y -= 1.5 * height
		}
		row := int(math.Floor(y / height))
		taken[row] = append(taken[row], line{x, x + wide, y})
		return y
	}
	for i, f := range d.plan.Features {
		if f.Name == "" || f.Role == schema.RoleOther || f.Role == "" {
			continue
		}
		at, area, ok := labelOf(f)
		if !ok {
			continue
		}
		layer := d.layerOf[i]
		if !strings.HasSuffix(layer, offEnding) {
			layer += namesEnding
		}
		x, y := at[0]*d.toMetres-d.offset[0], at[1]*d.toMetres-d.offset[1]
		if !area {
			x += d.size() * 0.9
		}
		wide := 0.8 * height * float64(len([]rune(f.Name)))
		if area {
			y = room(x-wide/2, y, wide)
		} else {
			y = room(x, y, wide)
		}
		d.label(layer, f.Name, x, y, height, area)
	}
}

// label writes a text that is no feature; x and y in metres, less the offset.
func (d *writer) label(layer, words string, x, y, height float64, centred bool) {
	d.put(0, "TEXT")
	d.newHandle(5)
	d.put(330, handleModel)
	d.put(100, "AcDbEntity")
	d.put(8, text(layer))
	d.put(100, "AcDbText")
	d.length(10, x)
	d.length(20, y)
	d.real(30, 0)
	d.length(40, height)
	d.put(1, text(strings.ReplaceAll(words, "^", "^ ")))
	d.put(7, "Standard")
	if centred {
		d.int(72, 1)
		d.length(11, x)
		d.length(21, y)
		d.real(31, 0)
	}
	d.put(100, "AcDbText")
	if centred {
		d.int(73, 2)
	}
	d.put(1001, appID)
	d.chunks(1000, asciiJSON(schema.Object(schema.Attributes{{Key: ownNotice, Value: schema.Bool(true)}})))
}

// labelOf is where the name of a feature belongs: inside an area, half way
// along a line, at a point. ok is false where nothing is drawn.
func labelOf(f *schema.Feature) (at point2, area, ok bool) {
	_ = eachLeaf(f.Geometry, func(l leaf) error {
		n := len(l.flat) / l.stride
		switch {
		case ok || n == 0:
		case l.ring && n > 2:
			at, area, ok = insideRing(l), true, true
		default:
			i, k := (n-1)/2*l.stride, n/2*l.stride // the two ends of the middle part, or one point
			at, ok = point2{(l.flat[i] + l.flat[k]) / 2, (l.flat[i+1] + l.flat[k+1]) / 2}, true
		}
		return nil
	})
	return at, area, ok
}

// insideRing is the middle of the widest part of a ring half way up.
func insideRing(l leaf) point2 {
	n := len(l.flat) / l.stride
	low, high := math.Inf(1), math.Inf(-1)
	for i := range n {
		y := l.flat[i*l.stride+1]
		low, high = math.Min(low, y), math.Max(high, y)
	}
	y := (low + high) / 2
	var cuts []float64
	for i := range n {
		k := (i + 1) % n
		x0, y0, x1, y1 := l.flat[i*l.stride], l.flat[i*l.stride+1], l.flat[k*l.stride], l.flat[k*l.stride+1]
		if (y0 > y) != (y1 > y) {
			cuts = append(cuts, x0+(x1-x0)*(y-y0)/(y1-y0))
		}
	}
	slices.Sort(cuts)
	best, wide := point2{l.flat[0], l.flat[1]}, 0.0
	for i := 0; i+1 < len(cuts); i += 2 {
		if w := cuts[i+1] - cuts[i]; w > wide {
			best, wide = point2{(cuts[i] + cuts[i+1]) / 2, y}, w
		}
	}
	return best
}

// note writes below the drawing what its numbers are.
func (d *writer) note() {
	p := d.plan
	var lines []string
	if p.Name != "" {
		lines = append(lines, p.Name)
	}
	switch {
	case p.CRS == nil:
		lines = append(lines, "Reference system: unknown; the numbers are the drawing's own")
	case p.CRS.Name() != "" && p.CRS.Name() != p.CRS.ID():
		lines = append(lines, "Reference system: "+clip(p.CRS.ID())+" "+p.CRS.Name())
	default:
		lines = append(lines, "Reference system: "+clip(p.CRS.ID()))
	}
	if p.Epoch != 0 {
		lines = append(lines, fmt.Sprintf("Date of the coordinates: %g", p.Epoch))
	}
	lines = append(lines, "1 unit of the drawing = "+d.unit.said())
	if d.date != "" {
		lines = append(lines, "Drawn "+d.date)
	}
	if d.offset != [2]float64{} {
		lines = append(lines, fmt.Sprintf("OFFSET: add %s m east and %s m north to every position", plain(d.offset[0]), plain(d.offset[1])))
	}
	height := d.size() * 0.7
	for i, s := range lines {
		d.label(noticeLayer, s, d.low[0]-d.offset[0], d.low[1]-d.offset[1]-(float64(i)+2)*1.7*height, height, false)
	}
}

// geo reports whether the drawing says its place on the earth by the code of a
// plane system.
func (d *writer) geo() bool {
	c := d.plan.CRS
	return c != nil && c.Kind() == crs.KindProjected && c.Code() > 0 && !d.empty
}

// geoData writes the object that says it: a point near the middle of the
// drawing, in the drawing and in the system. Numbers that are those of the
// system are said to be; others, less an offset or in another unit, stand in a
// plane of their own.
func (d *writer) geoData() {
	c := d.plan.CRS
	unit, kind := c.UnitMetres(), geoProjected
	var design, mid [2]float64 // in units of the drawing and of the system
	for k := range mid {
		// A whole number of units, which both sides hold exactly.
		design[k] = math.Round(((d.low[k]+d.high[k])/2 - d.offset[k]) / d.unit.Metres)
		mid[k] = (design[k]*d.unit.Metres + d.offset[k]) / unit
	}
	if d.offset != [2]float64{} || unit != d.unit.Metres {
		kind = geoLocal
	}
	d.put(0, "DICTIONARY")
	d.put(5, handleModelExtra)
	d.put(330, handleModel)
	d.put(100, "AcDbDictionary")
	d.int(280, 1)
	d.int(281, 1)
	d.put(3, "ACAD_GEOGRAPHICDATA")
	d.put(360, handleGeo)
	d.put(0, "GEODATA")
	d.put(5, handleGeo)
	d.put(330, handleModelExtra)
	d.put(100, "AcDbGeoData")
	d.int(90, 2) // its version since R2010
	d.put(330, handleModel)
	d.int(70, kind)
	d.real(10, design[0])
	d.real(20, design[1])
	d.real(30, 0)
	d.real(11, mid[0])
	d.real(21, mid[1])
	d.real(31, 0)
	d.real(40, d.unit.Metres)
	d.int(91, d.unit.Code)
	d.real(41, d.unit.Metres)
	d.int(92, d.unit.Code)
	d.real(210, 0)
	d.real(220, 0)
	d.real(230, 1)
	d.real(12, 0)
	d.real(22, 1)
	d.int(95, 1) // no scale but that of the grid
	d.real(141, 1)
	d.int(294, 0)
	d.real(142, 0)
	d.real(143, 0)
	definition := geoDefinition(c)
	for len(definition) > chunkBytes {
		n := chunkBytes
		for n > 0 && (definition[n-1] == ' ' || definition[n] == ' ' || definition[n]&0xc0 == 0x80) {
			n--
		}
		d.put(303, definition[:n])
		definition = definition[n:]
	}
	d.put(301, definition)
	d.put(302, "")
	d.put(305, "")
	d.put(306, "")
	d.put(307, "")
	d.int(93, 0)
	d.int(96, 0)
}

// geoDefinition names a system as the object has it: by its code in the EPSG
// registry, with its axes east and north.
func geoDefinition(c *crs.CRS) string {
	unit := "METER"
	if c.UnitMetres() != 1 {
		unit = "UNIT"
	}
	name := xmlText(c.Name())
	axis := func(order, axis, letter, way string) string {
		return "<CoordinateSystemAxis><AxisOrder>" + order + "</AxisOrder><AxisName>" + axis + "</AxisName><AxisAbbreviation>" + letter + "</AxisAbbreviation><AxisDirection>" + way + "</AxisDirection></CoordinateSystemAxis>"
	}
	return `<?xml version="1.0" encoding="UTF-16" standalone="no" ?><Dictionary version="1.0" xmlns="http://www.osgeo.org/mapguide/coordinatesystem">` +
		`<Alias id="` + fmt.Sprint(c.Code()) + `" type="CoordinateSystem"><ObjectId>` + name + `</ObjectId><Namespace>EPSG Code</Namespace></Alias>` +
		`<ProjectedCoordinateSystem id="` + name + `"><Name>` + name + `</Name><Authority>EPSG ` + fmt.Sprint(c.Code()) + `</Authority>` +
		`<Axis uom="` + unit + `">` + axis("1", "Easting", "E", "east") + axis("2", "Northing", "N", "north") + `</Axis></ProjectedCoordinateSystem></Dictionary>`
}

func xmlText(s string) string {
	return strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;").Replace(text(s))
}
