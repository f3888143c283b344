// Columns: which words in a header name which column, in the languages that
// drawings and instruments come in.

package csv

import (
	"fmt"
	"strings"
	"sync"

	"swardline/convert/wire"
	"swardline/schema"
)

// columnKind says what a column holds.
type columnKind uint8

const (
	colAttribute columnKind = iota // an attribute of the feature
	colID
	colRole
	colName
	colWKT
	colCRS
	colPart
	colRing
	colSeq
	colLon
	colLat
	colE
	colN
	colX
	colY
	colH
	colCode
	colOrder // keys of the feature's attributes in order
	colSkip  // told to pass over
	kinds    // how many there are
)

// names of the kinds in messages.
var kindNames = [kinds]string{"attribute", "id", "role", "name", "wkt", "crs", "part", "ring", "seq", "longitude", "latitude", "easting", "northing", "x", "y", "height", "code", "attribute order", "nothing"}

// attributePrefix marks a header that is an attribute's key even though it is a
// word that would name another column.
const attributePrefix = "attr:"

// orderColumn is the header of the column that holds a feature's attribute keys
// in order, there only when some feature's differ from the columns' order.
const orderColumn = "attribute_order"

// words are the spellings of each kind, folded: lower case, accents taken off.
// They are common practice, no source.
var words = sync.OnceValue(func() map[string]columnKind {
	words := map[string]columnKind{}
	for kind, list := range map[columnKind]string{
		colID: "id fid gid uid objectid pointid ptid point pt pnt pkt punkt punktnr punktnummer punkt_nr lfd_nr nr no num number nummer numero pointnumber pointno" +
			" no_point no_du_point no_de_point numero_de_point punkt_no point_id point_number point_no pt_id feature_id punto numpunto matricule",
		colRole: "role",
		colName: "name navn nom nombre nome naam namn nimi nazwa",
		colWKT:  "wkt geometry geom the_geom geometrie geometri wkt_geom geom_wkt geometry_wkt wkt_geometry",
		colCRS:  "crs srs srid epsg coordinate_system koordinatensystem koordinatsystem",
		colPart: "part",
		colRing: "ring",
		colSeq:  "seq",
		colLon: "lon long lng longitude longitud longitudine lange laenge langengrad laengengrad geogr_lange laengde langde laengdegrad langdegrad lengde lengdegrad" +
			" lengtegraad dlugosc pituusaste delka zemepisna_delka",
		colLat: "lat latitude latitud latitudine breite breitengrad geogr_breite bredde breddegrad breddegrad breedtegraad szerokosc leveysaste sirka zemepisna_sirka",
		colE: "e east easting eastings rechtswert ostwert ost rechts est este leste oost osting oest ita" +
			" utm_e utm_east utm_easting grid_e grid_easting e_coordinate " + countWest,
		colN: "n north northing northings hochwert nordwert nord hoch norte noord norting nording norr pohjoinen" +
			" utm_n utm_north utm_northing grid_n grid_northing n_coordinate " + countSouth,
		colX: "x xcoord x_coord xcoordinate x_coordinate xkoordinate x_koordinate coordx coord_x pos_x point_x",
		colY: "y ycoord y_coord ycoordinate y_coordinate ykoordinate y_koordinate coordy coord_y pos_y point_y",
		colH: "h z ele elev elevation elevations alt altitude altitud altitudine altezza height heights hgt level rl reduced_level hohe hoehe hojde hoejde hoyde hoeyde" +
			" kote cota quota altura hauteur elevacion elevacao hoogte korkeus wysokosc vyska zcoord z_coord z_coordinate point_z utm_h" +
			" ellipsoidal_height ell_height orthometric_height ellipsoid_height geoid_height_removed",
		colCode:  "code kode fcode feature_code point_code punktcode punktkode codigo codice",
		colOrder: orderColumn,
	} {
		for _, word := range strings.Fields(list) {
			words[word] = kind
		}
	}
	return words
})

// countWest and countSouth are the words for columns that count the other way:
// the easting is the westing with its sign changed.
const (
	countWest  = "westing westings west"
	countSouth = "southing southings south"
)

var countBack = sync.OnceValue(func() map[string]bool {
	return wordSet(countWest + " " + countSouth)
})

// countsBack reports whether a header's words say that the column counts west
// or south.
func countsBack(header string) bool {
	for token := range strings.SplitSeq(wire.Fold(header), "_") {
		if countBack()[token] {
			return true
		}
	}
	return false
}

// asides are words that stand beside a column's name and change nothing: units,
// reference systems, manners of writing.
var asides = sync.OnceValue(func() map[string]bool {
	return wordSet("m mm cm ft usft us feet foot metre metres meter meters deg degree degrees grad grader dd dms decimal dec wgs84 wgs 84 etrs89 etrs itrf gps gnss rtk" +
		" usft ftus sft ift survey intl international inch inches" +
		" coord coordinate coordinates koordinate koordinat local grid geo geog geographic dez")
})

// known are the properties of the plan's own vocabulary that a header's words
// would otherwise mistake: height_m is a building's height, not an elevation.
var known = sync.OnceValue(func() map[string]bool {
	known := map[string]bool{}
	for _, key := range []string{
		schema.PropActive, schema.PropNote, schema.PropDrivenOver, schema.PropHeadingDeg, schema.PropCutMM, schema.PropStandoffM, schema.PropFrame, schema.PropEpoch,
		schema.PropAntennaHeight, schema.PropEdgeKind, schema.PropHazardKind, schema.PropHeightM, schema.PropRadiusM, schema.PropLimits, schema.PropTimes,
		schema.PropCrownBaseM, schema.PropDrawnFrom, schema.PropAltitudeMode, schema.PropExtrude, schema.PropTessellate,
	} {
		known[key] = true
	}
	return known
})

// numberSigns are the ways to write No., which are no north.
var numberSigns = strings.NewReplacer("N°", "no ", "n°", "no ", "Nº", "no ", "nº", "no ", "№", "no ")

// classify returns what a header's text names, and the attribute's key when it
// names an attribute. Words match whole: Isolation is no latitude.
func classify(header string) (kind columnKind, key string) {
	if rest, ok := strings.CutPrefix(header, attributePrefix); ok {
		return colAttribute, textOf(rest)
	}
	if known()[header] {
		return colAttribute, header
	}
	folded := wire.Fold(numberSigns.Replace(header))
	if kind, ok := words()[folded]; ok {
		return kind, header
	}
	var rest []string
	for _, token := range strings.Split(folded, "_") {
		if token != "" && !asides()[token] {
			rest = append(rest, token)
		}
	}
	if kind, ok := words()[strings.Join(rest, "_")]; ok {
		return kind, header
	}
	return colAttribute, header
}

// column is one column of a file.
type column struct {
	header  string // as written
	kind    columnKind
	key     string  // the attribute's key
	negated bool    // it counts west or south
	quality quality // what the column says of positions
}

// quality is what an attribute's column says of its row's position.
type quality uint8

const (
	qualityUnknown quality = iota // not looked at yet
	qualityNone
	qualityFix
	qualitySigma
)

// layout is what the columns of a file make together.
type layout struct {
	columns []column
	at      [kinds]int // column of each kind but attributes, -1 for none
	x, y, h int        // columns of the coordinates, -1 for none
	degrees bool       // the coordinates are longitude and latitude
	plane   bool       // the coordinates are easting and northing
	points  bool       // a row is a vertex: part, ring or seq are there
	pairs   []pair     // pairs of coordinate columns that are there
	codeKey string     // the attribute that keeps the code
	own     bool       // the header is one that our writer writes
	crs     []int      // columns beside colCRS that may name a system too
	outline []int      // columns beside colWKT that may hold a geometry too
}

// described are headers of the free text that survey lists keep their codes in.
var described = sync.OnceValue(func() map[string]bool {
	return wordSet("d desc descr description descriptions beschreibung beskrivelse descripcion descrizione libelle omschrijving")
})

// pair is a pair of columns that could hold the coordinates.
type pair struct {
	kind columnKind // of the first
	x, y int
}

// ambiguity is two readings of the columns that both fit.
type ambiguity struct{ problem, mend string }

func (a *ambiguity) Error() string { return a.problem }

// newLayout makes a layout of headers. prefer says which pair of coordinates to
// take when there are several: colLon for degrees, colE for lengths, else 0.
// The error is a *ambiguity.
func newLayout(headers []string, prefer columnKind) (*layout, error) {
	l := &layout{x: -1, y: -1, h: -1}
	for i := range l.at {
		l.at[i] = -1
	}
	l.columns = make([]column, len(headers))
	found := [kinds][]int{}
	for i, header := range headers {
		c := column{header: header}
		if c.kind, c.key = classify(header); header == "" {
			c.key = fmt.Sprintf("column %d", i+1)
		}
		c.negated = (c.kind == colE || c.kind == colN) && countsBack(header)
		l.columns[i] = c
		found[c.kind] = append(found[c.kind], i)
	}
	l.choose(headers, found)
	l.findOutlines()
	l.points = l.at[colPart] >= 0 || l.at[colRing] >= 0 || l.at[colSeq] >= 0
	if i := l.at[colCode]; i >= 0 && (l.points || l.at[colWKT] >= 0) {
		l.columns[i].kind, l.at[colCode] = colAttribute, -1 // no survey list
	}
	if err := l.coordinates(found, prefer); err != nil {
		return nil, err
	}
	if l.at[colID] < 0 && l.x > 0 && !l.degrees && l.at[colWKT] < 0 && !l.points && wire.Fold(headers[0]) == "p" {
		l.columns[0].kind, l.at[colID] = colID, 0
	}
	l.codeKey, l.own = schema.PropCode, l.isOwn()
	if l.at[colCode] < 0 && l.x >= 0 && !l.degrees && l.at[colID] >= 0 && l.at[colRole] < 0 && !l.points && l.at[colWKT] < 0 {
		for i, c := range l.columns {
			if c.kind == colAttribute && l.at[colCode] < 0 && described()[wire.Fold(c.header)] {
				l.columns[i].kind, l.at[colCode], l.codeKey = colCode, i, c.key
			}
		}
	}
	seen := map[string]bool{}
	for _, c := range l.columns {
		if c.header == attributePrefix+schema.PropEpoch {
			continue // beside it epoch is the plan's own
		}
		if c.kind == colAttribute && seen[c.key] {
			return nil, &ambiguity{fmt.Sprintf("two columns are called %q", c.key), "rename one of them"}
		}
		seen[c.key] = seen[c.key] || c.kind == colAttribute
	}
	return l, nil
}

// choose picks one column of each kind but coordinates; the others of the kind
// become attributes.
func (l *layout) choose(headers []string, found [kinds][]int) {
	// Plain id, name and the like beat other words for the same.
	for _, kind := range []columnKind{colID, colRole, colName, colWKT, colCRS, colPart, colRing, colSeq, colCode, colOrder} {
		if len(found[kind]) == 0 {
			continue
		}
		best := found[kind][0]
		for _, i := range found[kind] {
			if headers[i] == kindNames[kind] && (kind != colCRS || headers[best] != headers[i]) {
				best = i
			}
		}
		l.at[kind] = best
		for _, i := range found[kind] {
			if i != best {
				l.columns[i].kind = colAttribute
				if kind == colCRS {
					l.crs = append(l.crs, i)
				}
			}
		}
	}
}

// coordinates chooses the columns that hold the coordinates; the others of
// their kinds become attributes.
func (l *layout) coordinates(found [kinds][]int, prefer columnKind) error {
	wktOnly := l.at[colWKT] >= 0 && !l.points
	if !wktOnly {
		for _, p := range [...][2]columnKind{{colLon, colLat}, {colE, colN}, {colX, colY}} {
			a, b := found[p[0]], found[p[1]]
			if len(a) == 0 || len(b) == 0 {
				continue
			}
			for _, kind := range p {
				if c := found[kind]; len(c) > 1 {
					return &ambiguity{fmt.Sprintf("the columns %q and %q could both be the %s", l.columns[c[0]].header, l.columns[c[1]].header, kindNames[kind]),
						"rename the one that is not, or name the columns of the file in order"}
				}
			}
			l.pairs = append(l.pairs, pair{p[0], a[0], b[0]})
		}
	}
	chosen := -1
	for i, p := range l.pairs {
		if len(l.pairs) == 1 || prefer != 0 && p.kind == prefer || prefer == colE && p.kind == colX && !l.has(colE) {
			chosen = i
		}
	}
	if chosen < 0 && len(l.pairs) > 1 {
		p, q := l.pairs[0], l.pairs[1]
		return &ambiguity{fmt.Sprintf("the coordinates could be in the columns %q and %q, or in %q and %q",
			l.columns[p.x].header, l.columns[p.y].header, l.columns[q.x].header, l.columns[q.y].header),
			"say which CRS the coordinates are in, or name the columns of the file in order"}
	}
	if chosen >= 0 {
		p := l.pairs[chosen]
		l.x, l.y = p.x, p.y
		l.degrees, l.plane = p.kind == colLon, p.kind == colE
		if h := found[colH]; len(h) > 1 {
			return &ambiguity{fmt.Sprintf("the columns %q and %q could both be the height", l.columns[h[0]].header, l.columns[h[1]].header),
				"rename the one that is not, or name the columns of the file in order"}
		} else if len(h) == 1 {
			l.h = h[0]
		}
	}
	for i := range l.columns {
		switch l.columns[i].kind {
		case colLon, colLat, colE, colN, colX, colY, colH:
			if i != l.x && i != l.y && i != l.h {
				l.columns[i].kind = colAttribute
			}
		}
	}
	return nil
}

func (l *layout) has(kind columnKind) bool {
	for _, p := range l.pairs {
		if p.kind == kind {
			return true
		}
	}
	return false
}

// escapes reports whether an attribute's key needs the prefix to be read as one
// in a file of ours.
func escapes(key string, points bool) bool {
	switch key {
	case "id", "role", "name", "wkt", "crs", "":
		return true
	}
	switch kind, plain := classify(key); kind {
	case colAttribute:
		return plain != key || !bareText(key)
	case colPart, colRing, colSeq, colOrder:
		return true
	case colWKT, colLon, colLat, colE, colN, colX, colY, colH:
		return points || !bareText(key)
	}
	return !bareText(key)
}

// findOutlines notes the columns beside colWKT that may hold a geometry too.
func (l *layout) findOutlines() {
	for i, c := range l.columns {
		if word := wire.Fold(c.header); l.at[colWKT] >= 0 && c.kind == colAttribute && (strings.Contains(word, "wkt") || strings.Contains(word, "geom")) {
			l.outline = append(l.outline, i)
		}
	}
}

// usable reports whether the columns say where anything is.
func (l *layout) usable() bool { return l.x >= 0 || l.at[colWKT] >= 0 }

// isOwn reports whether the header is one that our writer writes.
func (l *layout) isOwn() bool {
	first := func(names ...string) bool {
		if len(l.columns) < len(names) {
			return false
		}
		for i, name := range names {
			if l.columns[i].header != name {
				return false
			}
		}
		return true
	}
	return first("id", "role", "name", "wkt", "crs") ||
		first("id", "role", "name", "part", "ring", "seq", "lon", "lat") || first("id", "role", "name", "part", "ring", "seq", "e", "n") ||
		first("id", "role", "name", "part", "ring", "seq", "westing", "southing")
}

// describe says in words which column is what.
func (l *layout) describe() string {
	var parts []string
	add := func(what string, i int) {
		if i >= 0 {
			parts = append(parts, fmt.Sprintf("%s from %q", what, l.columns[i].header))
		}
	}
	switch {
	case l.degrees:
		add("longitude", l.x)
		add("latitude", l.y)
	case l.x >= 0:
		add("east", l.x)
		add("north", l.y)
	}
	add("height", l.h)
	for _, kind := range []columnKind{colWKT, colID, colRole, colName, colCRS, colPart, colRing, colSeq, colCode} {
		add(kindNames[kind], l.at[kind])
	}
	return strings.Join(parts, ", ")
}
