// Catalogue: the EPSG registry's coordinate reference systems, embedded as
// compressed tables (written by crs/gen) and opened when first asked for.

package crs

import (
	"bytes"
	"compress/gzip"
	"embed"
	"fmt"
	"io"
	"sort"
	"strconv"
	"strings"
	"sync"
)

//go:generate go run ./gen -out epsg

//go:embed epsg/geodetic.tsv.gz epsg/projected.tsv.gz epsg/conversions.tsv.gz epsg/extents.tsv.gz
//go:embed epsg/deprecated.tsv.gz epsg/others.tsv.gz epsg/aliases.tsv.gz epsg/heights.tsv.gz
var epsgFiles embed.FS

// RegistryVersion is the version of the EPSG registry that the catalogue was
// taken from, and its date.
func RegistryVersion() (version, date string) {
	g := geodeticTables()
	return g.version, g.date
}

// openTable returns the text of an embedded table. The tables are part of the
// program: one that does not open is a fault of the build, so it panics.
func openTable(name string) string {
	packed, err := epsgFiles.ReadFile("epsg/" + name + ".tsv.gz")
	if err == nil {
		var r *gzip.Reader
		if r, err = gzip.NewReader(bytes.NewReader(packed)); err == nil {
			var text strings.Builder
			text.Grow(5 * len(packed))
			if _, err = io.Copy(&text, r); err == nil {
				return text.String()
			}
		}
	}
	panic(fmt.Sprintf("crs: embedded table %s: %v", name, err))
}

// codeIndex finds the lines of a table that is sorted by the code it starts
// with, without reading the rest of each line.
type codeIndex struct {
	text  string
	codes []int32
	start []int32
}

// indexTable indexes the lines of text that begin with prefix.
func indexTable(text, prefix string) codeIndex {
	x := codeIndex{text: text}
	n := strings.Count(text, "\n")
	x.codes, x.start = make([]int32, 0, n), make([]int32, 0, n)
	for at := 0; at < len(text); {
		end := strings.IndexByte(text[at:], '\n')
		if end < 0 {
			end = len(text) - at
		}
		if line := text[at : at+end]; strings.HasPrefix(line, prefix) {
			code := int32(0)
			for _, b := range []byte(line[len(prefix):]) {
				if b < '0' || b > '9' {
					break
				}
				code = code*10 + int32(b-'0')
			}
			x.codes = append(x.codes, code)
			x.start = append(x.start, int32(at+len(prefix)))
		}
		at += end + 1
	}
	return x
}

// line returns the fields of the code's line, nil when there is none.
func (x *codeIndex) line(code int) []string {
	i := sort.Search(len(x.codes), func(i int) bool { return x.codes[i] >= int32(code) })
	if i == len(x.codes) || x.codes[i] != int32(code) {
		return nil
	}
	return x.at(i)
}

// at returns the fields of the i-th line.
func (x *codeIndex) at(i int) []string {
	line := x.text[x.start[i]:]
	if end := strings.IndexByte(line, '\n'); end >= 0 {
		line = line[:end]
	}
	return strings.Split(line, "\t")
}

// fieldsOfLine is strings.Split at tabs, into f.
func fieldsOfLine(f []string, line string) []string {
	f = f[:0]
	for {
		tab := strings.IndexByte(line, '\t')
		if tab < 0 {
			return append(f, line)
		}
		f, line = append(f, line[:tab]), line[tab+1:]
	}
}

// num reads a number of the tables, which hold nothing else in that place.
func num(s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		panic(fmt.Sprintf("crs: embedded table: %v", err))
	}
	return v
}

func integer(s string) int {
	v, err := strconv.Atoi(s)
	if err != nil {
		panic(fmt.Sprintf("crs: embedded table: %v", err))
	}
	return v
}

// unit is a unit of measure: metres, radians or unity in one.
type unit struct {
	code   int
	name   string
	kind   string // "length", "angle", "scale", "time"
	factor float64
}

// exactFactor holds the units whose definition is a ratio that the registry's
// fifteen digits cut short.
var exactFactor = sync.OnceValue(func() map[int]float64 {
	return map[int]float64{
		9003: 1200. / 3937,         // US survey foot
		9033: 66 * 1200. / 3937,    // US survey chain
		9034: 0.66 * 1200. / 3937,  // US survey link
		9102: radPerDeg,            // degree
		9103: radPerDeg / 60,       // arc-minute
		9104: radPerDeg / 3600,     // arc-second
		9105: radPerDeg * 0.9,      // grad
		9106: radPerDeg * 0.9,      // gon
		9113: radPerDeg * 0.9e-4,   // centesimal second
		9112: radPerDeg * 0.9e-2,   // centesimal minute
		9122: radPerDeg,            // degree (supplier to define representation)
		1031: radPerDeg / 3600_000, // milliarc-second
	}
})

// datum is a geodetic datum (reference frame).
type datum struct {
	code     int
	name     string
	el       *ellipsoid
	pm       float64 // prime meridian, degrees east of Greenwich
	pmName   string
	accuracy float64       // of a datum ensemble, metres; 0 when no ensemble
	epoch    float64       // reference epoch of a dynamic frame, decimal year; 0 when none
	year     int           // of publication; 0 when the registry gives none
	bound    *registryStep // the step that a text binds to it, nil for none
}

// geodeticCatalogue is the table of everything but projected systems.
type geodeticCatalogue struct {
	version, date string
	units         map[int]unit
	ellipsoids    map[int]*ellipsoid
	datums        map[int]*datum
	members       [][2]int // ensemble, and a datum that it is made of
	systems       map[int][]Axis
	crs           map[int]geodeticRecord
	codes         []int // of crs, ascending
}

type geodeticRecord struct {
	kind    byte // '2' and '3' geographic, 'c' geocentric
	system  int
	datum   int
	extents string
	name    string
}

// geodeticTables reads the table once. Two of its values are rounded where the
// sources are not, and take the source's: the meridian of Paris, 2°20'14.025"
// as adopted by IGN in 1936 (the registry's grads are 0.4 mm short), and the
// semi-major axis of Bessel Namibia, published as 6377483.865 m (the registry's
// legal metres times its factor make 0.3 mm more).
var geodeticTables = sync.OnceValue(func() *geodeticCatalogue {
	// Room for a few more than there are: growing takes as long as reading.
	g := &geodeticCatalogue{
		units: make(map[int]unit, 96), ellipsoids: make(map[int]*ellipsoid, 64), datums: make(map[int]*datum, 700),
		systems: make(map[int][]Axis, 96), crs: make(map[int]geodeticRecord, 1100), codes: make([]int, 0, 1100),
	}
	type meridian struct {
		name    string
		degrees float64
	}
	meridians := map[int]meridian{}
	var f []string
	for line := range strings.Lines(openTable("geodetic")) {
		f = fieldsOfLine(f, strings.TrimSuffix(line, "\n"))
		switch f[0] {
		case "Y":
			g.version, g.date = f[1], f[2]
		case "U":
			u := unit{code: integer(f[1]), name: f[2], kind: f[3], factor: num(f[4])}
			if x, ok := exactFactor()[u.code]; ok {
				u.factor = x
			}
			g.units[u.code] = u
		case "E":
			metre := g.units[integer(f[4])].factor
			a, invF := num(f[3])*metre, 0.0
			if f[5] != "" {
				invF = num(f[5])
			} else if b := num(f[6]) * metre; b != a {
				invF = a / (a - b)
			}
			if integer(f[1]) == 7046 {
				a = 6377483.865
			}
			g.ellipsoids[integer(f[1])] = newEllipsoid(integer(f[1]), f[2], a, invF)
		case "M":
			m := meridian{f[2], g.degrees(f[3], integer(f[4]))}
			if integer(f[1]) == 8903 {
				m.degrees = 2 + 20./60 + 14.025/3600
			}
			meridians[integer(f[1])] = m
		case "D":
			m := meridians[integer(f[4])]
			d := &datum{code: integer(f[1]), name: f[2], el: g.ellipsoids[integer(f[3])], pm: m.degrees, pmName: m.name}
			if f[5] != "" {
				d.accuracy = num(f[5])
			}
			if f[6] != "" {
				d.epoch = num(f[6])
			}
			if f[7] != "" {
				d.year = integer(f[7])
			}
			g.datums[d.code] = d
		case "N":
			m := [2]int{integer(f[1]), integer(f[2])}
			if g.datums[m[0]] == nil || g.datums[m[1]] == nil {
				panic(fmt.Sprintf("crs: embedded table geodetic: an ensemble of unknown datums: %q", line))
			}
			g.members = append(g.members, m)
		case "C":
			var axes []Axis
			for a := range strings.SplitSeq(f[2], "|") {
				p := strings.Split(a, ":")
				u := g.units[integer(p[3])]
				if u.code == 9122 {
					u.name = "degree" // without the registry's "(supplier to define representation)"
				}
				axes = append(axes, Axis{Name: p[0], Abbreviation: p[1], Direction: p[2], Unit: u.name, unit: u})
			}
			g.systems[integer(f[1])] = axes
		case "G":
			code := integer(f[1])
			g.codes = append(g.codes, code)
			g.crs[code] = geodeticRecord{kind: f[2][0], system: integer(f[3]), datum: integer(f[4]), extents: f[5], name: f[6]}
		}
	}
	return g
})

// degrees turns a registry angle into degrees.
func (g *geodeticCatalogue) degrees(value string, unit int) float64 {
	switch unit {
	case 9102, 9122:
		return num(value)
	case 9105, 9106:
		return num(value) * 0.9
	case 9110:
		return sexagesimal(value)
	}
	return num(value) * g.units[unit].factor * degPerRad
}

// sexagesimal reads the registry's packed degrees, minutes and seconds (unit
// 9110): sign, degrees, point, two digits of minutes, two digits of seconds,
// further digits of seconds.
func sexagesimal(value string) float64 {
	s, neg := strings.CutPrefix(value, "-")
	whole, frac, _ := strings.Cut(s, ".")
	for len(frac) < 4 {
		frac += "0"
	}
	// Seconds first, then the whole angle in one division, for a last digit as
	// good as can be.
	sec := num(frac[2:4] + "." + frac[4:] + "0")
	v := (num(whole)*3600 + num(frac[:2])*60 + sec) / 3600
	if neg {
		return -v
	}
	return v
}

var (
	projectedTable  = sync.OnceValue(func() codeIndex { return indexTable(openTable("projected"), "") })
	conversionText  = sync.OnceValue(func() string { return openTable("conversions") })
	conversionTable = sync.OnceValue(func() codeIndex { return indexTable(conversionText(), "V\t") })
	methodTable     = sync.OnceValue(func() codeIndex { return indexTable(conversionText(), "M\t") })
	parameterTable  = sync.OnceValue(func() codeIndex { return indexTable(conversionText(), "P\t") })
	scopeTable      = sync.OnceValue(func() codeIndex { return indexTable(conversionText(), "S\t") })
	extentTable     = sync.OnceValue(func() codeIndex { return indexTable(openTable("extents"), "") })
	deprecatedTable = sync.OnceValue(func() codeIndex { return indexTable(openTable("deprecated"), "") })
	otherTable      = sync.OnceValue(func() codeIndex { return indexTable(openTable("others"), "") })
)

// projectionName is the registry's name of a conversion method.
func projectionName(code int) string {
	t := methodTable()
	if f := t.line(code); f != nil {
		return f[1]
	}
	return "unknown"
}

// parameterName is the registry's name of a conversion parameter.
func parameterName(code int) string {
	t := parameterTable()
	if f := t.line(code); f != nil {
		return f[1]
	}
	return "unknown"
}

// fromCatalogue holds the CRSs built so far, by code.
var fromCatalogue sync.Map

// epsgCRS returns the CRS of a registry code.
func epsgCRS(code int) (*CRS, error) {
	if c, ok := fromCatalogue.Load(code); ok {
		return c.(*CRS), nil
	}
	c, err := buildEPSG(code)
	if err != nil {
		return nil, err
	}
	kept, _ := fromCatalogue.LoadOrStore(code, c)
	return kept.(*CRS), nil
}

func buildEPSG(code int) (*CRS, error) {
	id := "EPSG:" + strconv.Itoa(code)
	g := geodeticTables()
	if r, ok := g.crs[code]; ok {
		c := &CRS{id: id, name: r.name, code: code, datum: g.datums[r.datum], axes: g.systems[r.system], extents: r.extents, dims: 2}
		c.kind = KindGeographic
		switch r.kind {
		case 'c':
			c.kind, c.unit, c.dims = KindGeocentric, 1, 3
			return c, nil
		case '3':
			c.dims = 3
		}
		c.setOrder()
		return c, nil
	}
	pt := projectedTable()
	if f := pt.line(code); f != nil {
		base, err := epsgCRS(integer(f[2]))
		if err != nil {
			return nil, fmt.Errorf("%s: base %w", id, err)
		}
		c := &CRS{id: id, name: f[6], code: code, kind: KindProjected, datum: base.datum, base: base,
			axes: g.systems[integer(f[1])], extents: f[4], scopes: f[5], dims: 2}
		c.dims = len(c.axes)
		c.setOrder()
		if c.conv, err = conversionOf(integer(f[3])); err != nil {
			return nil, fmt.Errorf("%s (%s): %w", id, c.name, err)
		}
		if c.plane, err = newPlane(c.conv, c.datum, c.unit); err != nil {
			return nil, fmt.Errorf("%s (%s): %w", id, c.name, err)
		}
		return c, nil
	}
	dt := deprecatedTable()
	if f := dt.line(code); f != nil {
		if f[1] == "" {
			return nil, fmt.Errorf("%s (%s) is withdrawn from the EPSG registry; it names no successor", id, f[2])
		}
		return nil, fmt.Errorf("%s (%s) is withdrawn from the EPSG registry; use EPSG:%s", id, f[2], strings.ReplaceAll(f[1], ",", " or EPSG:"))
	}
	ot := otherTable()
	if f := ot.line(code); f != nil {
		if c, err := compoundCode(code); c != nil || err != nil {
			return c, err
		}
		if f[1] == "compound" && f[3] != "" {
			return nil, fmt.Errorf("%s (%s) is a compound of a horizontal and a vertical CRS; name the horizontal part, EPSG:%s: heights pass through unchanged", id, f[2], f[3])
		}
		return nil, fmt.Errorf("%s (%s) is a %s CRS, which has no place for a plan", id, f[2], f[1])
	}
	return nil, fmt.Errorf("%s is not in the EPSG registry %s", id, g.version)
}

// A parameter is one value of a conversion: in metres, degrees or unity, and as
// the registry gives it.
type parameter struct {
	code  int
	value float64 // metres, degrees east of the prime meridian or north, unity
	given float64
	unit  unit
}

// conversion is a map projection with its parameter values.
type conversion struct {
	code   int // EPSG code, 0 when none
	name   string
	method int
	params []parameter
}

// get returns a parameter's value, 0 when it is not there.
func (c *conversion) get(code int) float64 {
	for _, p := range c.params {
		if p.code == code {
			return p.value
		}
	}
	return 0
}

// has reports whether the conversion gives the parameter.
func (c *conversion) has(code int) bool {
	for _, p := range c.params {
		if p.code == code {
			return true
		}
	}
	return false
}

func conversionOf(code int) (*conversion, error) {
	t := conversionTable()
	f := t.line(code)
	if f == nil {
		return nil, fmt.Errorf("conversion %d is not in the catalogue", code)
	}
	g := geodeticTables()
	c := &conversion{code: code, method: integer(f[1]), name: f[3]}
	for p := range strings.SplitSeq(f[2], "|") {
		v := strings.Split(p, ":")
		if len(v) != 3 {
			return nil, fmt.Errorf("conversion %d: parameter %q", code, p)
		}
		par := parameter{code: integer(v[0]), given: num(v[1]), unit: g.units[integer(v[2])]}
		if integer(v[2]) == 9110 {
			par.unit = g.units[9102]
			par.value = sexagesimal(v[1])
			par.given = par.value
		} else if par.unit.kind == "angle" {
			par.value = g.degrees(v[1], par.unit.code)
		} else {
			par.value = par.given * par.unit.factor
		}
		c.params = append(c.params, par)
	}
	return c, nil
}

// areaBox is a bounding box of an area of use in degrees; west > east crosses
// the antimeridian.
type areaBox struct {
	south, north, west, east float64
	name                     string
}

// areasKnown are the areas that were asked for, by their list of codes.
var areasKnown sync.Map

// areas are the areas of use.
func (c *CRS) areas() []areaBox {
	codes := c.areaCodes()
	if known, ok := areasKnown.Load(codes); ok {
		return known.([]areaBox)
	}
	out := extentsOf(codes)
	areasKnown.Store(codes, out)
	return out
}

// The extent of longitude and latitude that say WGS 84, which most plans are
// in: opening the table of extents for it would take longer than half a check.
const worldCode = "1262"

var world = areaBox{south: -90, north: 90, west: -180, east: 180, name: "World"}

// extentsOf reads a list of extent codes.
func extentsOf(codes string) []areaBox {
	switch codes {
	case "":
		return nil
	case worldCode:
		return []areaBox{world}
	}
	t := extentTable()
	var out []areaBox
	for s := range strings.SplitSeq(codes, ",") {
		if f := t.line(integer(s)); f != nil {
			out = append(out, areaBox{num(f[1]), num(f[2]), num(f[3]), num(f[4]), f[5]})
		}
	}
	return out
}

func (e *areaBox) covers(lon, lat float64) bool {
	if lat < e.south || lat > e.north {
		return false
	}
	lon = wrap180(lon)
	if e.west <= e.east {
		return lon >= e.west && lon <= e.east || lon == -180 && e.east == 180 || lon == 180 && e.west == -180
	}
	return lon >= e.west || lon <= e.east
}
