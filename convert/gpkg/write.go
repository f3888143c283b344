// Writing: layers, the tables that describe them, the plan's own metadata.

package gpkg

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/twpayne/go-geom"

	"swardline/convert/gpkg/sqlite"
	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

const (
	applicationID = 0x47504B47 // "GPKG"
	userVersion   = 10300
	// firstOwnSRS is the number of a system that no authority numbers.
	firstOwnSRS = 100001
	// lastChange is fixed, so that two runs give the same bytes.
	lastChange = "1980-01-01T00:00:00.000Z"
)

// layerKey is what the features of a layer share.
type layerKey struct {
	role  schema.Role
	class string // point, line, area or collection
}

// row is one feature with its number and blob.
type row struct {
	f    *schema.Feature
	fid  int64
	blob []byte // nil for no geometry
}

// layer is one table of features.
type layer struct {
	key      layerKey
	name     string
	rows     []row
	types    map[string]bool
	heights  int // rows that have heights
	plane    int // rows with a geometry that have none
	box      extent
	columns  []*column
	geometry string // name of the geometry column
	fid      string
}

// Write writes the plan as a GeoPackage, as the package's comment describes it.
// It returns what that could not hold. The same plan gives the same bytes.
func Write(w io.Writer, p *schema.Plan, _ wire.WriteOptions) ([]wire.Loss, error) {
	var t wire.Tally
	srs := systemOf(p.CRS)
	fidID := numbersAreIDs(p)
	layers, err := sorted(p, srs.id, fidID, &t)
	if err != nil {
		return nil, err
	}
	db := sqlite.NewWriter()
	db.Application, db.User = applicationID, userVersion
	writeSystems(db, srs)
	var contentsRows, geometryRows, columnRows, sequence []sqlite.Row
	next := func(list []sqlite.Row) int64 { return int64(len(list) + 1) }
	for _, l := range layers {
		l.chooseColumns(fidID)
		l.write(db)
		box := make([]sqlite.Value, 4)
		if !l.box.empty() {
			for i, v := range []float64{l.box.minX, l.box.minY, l.box.maxX, l.box.maxY} {
				box[i] = sqlite.Float(v)
			}
		}
		contentsRows = append(contentsRows, sqlite.Row{ID: next(contentsRows), Values: append(append([]sqlite.Value{sqlite.String(l.name), sqlite.String("features"), sqlite.String(l.name), sqlite.String(""), sqlite.String(lastChange)}, box...), sqlite.Int(int64(srs.id)))})
		z := int64(0)
		if l.heights > 0 {
			z = 2
			if l.plane == 0 {
				z = 1
			}
		}
		geometryRows = append(geometryRows, sqlite.Row{ID: next(geometryRows), Values: []sqlite.Value{sqlite.String(l.name), sqlite.String(l.geometry), sqlite.String(l.typeName()), sqlite.Int(int64(srs.id)), sqlite.Int(z), sqlite.Int(0)}})
		for _, c := range l.columns {
			var title, mime sqlite.Value
			if c.name != c.key || c.attribute && own(c.key) {
				title = sqlite.String(c.key)
			}
			if c.kind == columnJSON {
				mime = sqlite.String("application/json")
			}
			if title.Kind != sqlite.Null || mime.Kind != sqlite.Null {
				columnRows = append(columnRows, sqlite.Row{ID: next(columnRows), Values: []sqlite.Value{sqlite.String(l.name), sqlite.String(c.name), {}, title, {}, mime, {}}})
			}
		}
		if n := len(l.rows); n > 0 {
			sequence = append(sequence, sqlite.Row{ID: next(sequence), Values: []sqlite.Value{sqlite.String(l.name), sqlite.Int(l.rows[n-1].fid)}})
		}
	}
	writeDescription(db, contentsRows, geometryRows, columnRows, sequence)
	record := schema.Attributes{{Key: "name", Value: schema.String(p.Name)}}
	if p.CRS != nil {
		record.Set("crs", schema.String(p.CRS.ID()))
	}
	if p.Epoch != 0 {
		record.Set("epoch", schema.Float(p.Epoch))
	}
	record.Set("fid_is_id", schema.Bool(fidID))
	record.Set("attributes", schema.Object(p.Attributes))
	writeMetadata(db, record)
	if _, err := db.WriteTo(w); err != nil {
		return nil, err
	}
	return t.Losses(), nil
}

// own reports whether a key is one that a feature says itself.
func own(key string) bool {
	return strings.EqualFold(key, schema.PropID) || strings.EqualFold(key, schema.PropRole) || strings.EqualFold(key, schema.PropName)
}

// numbersAreIDs reports whether all ids are rising whole numbers above 0, so
// that they can be the rows' numbers.
func numbersAreIDs(p *schema.Plan) bool {
	last := int64(0)
	for _, f := range p.Features {
		i, err := strconv.ParseInt(f.ID.Text(), 10, 64)
		if f.ID.Kind() != schema.KindNumber || err != nil || i <= last || strconv.FormatInt(i, 10) != f.ID.Text() {
			return false
		}
		last = i
	}
	return len(p.Features) > 0
}

func classOf(g geom.T) string {
	switch g.(type) {
	case *geom.Point, *geom.MultiPoint:
		return "point"
	case *geom.Polygon, *geom.MultiPolygon:
		return "area"
	case *geom.GeometryCollection:
		return "collection"
	}
	return "line"
}

func typeOf(g geom.T) string {
	switch g.(type) {
	case nil, *geom.LinearRing:
		return "LINESTRING"
	}
	return strings.ToUpper(schema.TypeName(g))
}

// typeName is the type of all geometry in the layer.
func (l *layer) typeName() string {
	if len(l.types) == 1 {
		for name := range l.types {
			return name
		}
	}
	return "GEOMETRY"
}

// sorted puts the features into layers, by role and class of geometry.
func sorted(p *schema.Plan, srs int32, fidID bool, t *wire.Tally) ([]*layer, error) {
	var list []*layer
	byKey := map[layerKey]*layer{}
	at := func(k layerKey) *layer {
		l := byKey[k]
		if l == nil {
			l = &layer{key: k, types: map[string]bool{}, box: noExtent()}
			byKey[k] = l
			list = append(list, l)
		}
		return l
	}
	var without []row
	for i, f := range p.Features {
		r := row{f: f, fid: int64(i + 1)}
		if fidID {
			r.fid, _ = strconv.ParseInt(f.ID.Text(), 10, 64)
		}
		if f.Geometry == nil {
			without = append(without, r)
			continue
		}
		g := wire.ForRings(f, p.CRS, p.Source.Winding, schema.WindingStandard, t)
		if g.Layout().MIndex() >= 0 {
			t.Add("measure", 0, "", "a plan's GeoPackage has no place for the measures (M) of %q", f.Label())
		}
		l := at(layerKey{roleOf(f), classOf(g)})
		var err error
		if r.blob, err = encode(g, srs, &l.box); err != nil {
			return nil, fmt.Errorf("feature %q: %w", f.Label(), err)
		}
		l.types[typeOf(g)] = true
		if g.Layout().ZIndex() >= 0 || l.key.class == "collection" {
			l.heights++
		} else {
			l.plane++
		}
		l.rows = append(l.rows, r)
	}
	for _, r := range without {
		k := layerKey{roleOf(r.f), "point"}
		for _, l := range list {
			if l.key.role == k.role {
				k = l.key
				break
			}
		}
		l := at(k)
		i := len(l.rows)
		for i > 0 && l.rows[i-1].fid > r.fid {
			i--
		}
		l.rows = append(l.rows[:i:i], append([]row{r}, l.rows[i:]...)...)
	}
	if len(list) == 0 {
		at(layerKey{schema.RoleOther, "point"})
	}
	roles := map[schema.Role]int{}
	for _, l := range list {
		roles[l.key.role]++
	}
	for _, l := range list {
		l.name = string(l.key.role)
		if roles[l.key.role] > 1 {
			l.name += "_" + l.key.class
		}
	}
	return list, nil
}

func roleOf(f *schema.Feature) schema.Role {
	if _, ok := schema.ParseRole(string(f.Role)); ok {
		return f.Role
	}
	return schema.RoleOther
}

// columnKind is how a column's values are written.
type columnKind uint8

const (
	columnBool columnKind = iota
	columnInt
	columnReal
	columnText
	columnJSON
)

var columnTypes = [...]string{"BOOLEAN", "INTEGER", "REAL", "TEXT", "TEXT"}

type column struct {
	key       string
	name      string
	attribute bool
	kind      columnKind
	value     func(*schema.Feature) schema.Value
}

// kindOf is the narrowest kind that gives a value back as it was.
func kindOf(v schema.Value) columnKind {
	switch v.Kind() {
	case schema.KindBool:
		return columnBool
	case schema.KindNumber:
		if i, err := strconv.ParseInt(v.Text(), 10, 64); err == nil && schema.Int(i).Text() == v.Text() {
			return columnInt
		}
		if f, ok := v.Float(); ok && schema.Float(f).Text() == v.Text() {
			return columnReal
		}
	case schema.KindString:
		return columnText
	}
	return columnJSON
}

// chooseColumns gives every attribute of the layer a column.
func (l *layer) chooseColumns(fidID bool) {
	taken := map[string]bool{schema.PropID: true, schema.PropRole: true, schema.PropName: true, columnOrder: true}
	free := func(name string) string {
		name = strings.ToValidUTF8(strings.ReplaceAll(name, "\x00", ""), "_")
		base := name
		for n := 2; taken[strings.ToLower(name)] || name == ""; n++ {
			name = base + "_" + strconv.Itoa(n)
		}
		taken[strings.ToLower(name)] = true
		return name
	}
	l.fid, l.geometry = free("fid"), free("geom")
	add := func(key, name string, attribute bool, value func(*schema.Feature) schema.Value) {
		c := &column{key: key, name: name, attribute: attribute, value: value}
		first := true
		for _, r := range l.rows {
			v := value(r.f)
			if v.IsAbsent() {
				continue
			}
			k := kindOf(v)
			switch {
			case first:
				c.kind, first = k, false
			case c.kind == k:
			case (c.kind == columnInt || c.kind == columnReal) && (k == columnInt || k == columnReal) && l.small(c):
				c.kind = columnReal
			default:
				c.kind = columnJSON
			}
		}
		if first {
			c.kind = columnText
		}
		l.columns = append(l.columns, c)
	}
	names, ids, order := false, false, false
	for _, r := range l.rows {
		names = names || r.f.Name != ""
		ids = ids || !r.f.ID.IsAbsent()
	}
	if ids && !fidID {
		add(schema.PropID, schema.PropID, false, func(f *schema.Feature) schema.Value { return f.ID })
	}
	add(schema.PropRole, schema.PropRole, false, func(f *schema.Feature) schema.Value { return schema.String(string(roleOf(f))) })
	if names {
		add(schema.PropName, schema.PropName, false, func(f *schema.Feature) schema.Value {
			if f.Name == "" {
				return schema.Value{}
			}
			return schema.String(f.Name)
		})
	}
	place := map[string]int{}
	for _, r := range l.rows {
		last := -1
		for _, a := range r.f.Attributes {
			if _, ok := place[a.Key]; !ok {
				place[a.Key] = len(place)
				key := a.Key
				add(key, free(key), true, func(f *schema.Feature) schema.Value { return f.Attributes.Get(key) })
			}
			order = order || place[a.Key] < last
			last = place[a.Key]
		}
	}
	if order {
		add(columnOrder, columnOrder, false, func(f *schema.Feature) schema.Value {
			var keys []schema.Value
			for _, a := range f.Attributes {
				keys = append(keys, schema.String(a.Key))
			}
			if keys == nil {
				return schema.Value{}
			}
			return schema.List(keys...)
		})
	}
}

// small reports whether every whole number of a column is one that a float64
// gives back.
func (l *layer) small(c *column) bool {
	for _, r := range l.rows {
		v := c.value(r.f)
		if v.Kind() != schema.KindNumber {
			continue
		}
		if f, ok := v.Float(); !ok || schema.Float(f).Text() != v.Text() {
			return false
		}
	}
	return true
}

func quoted(name string) string { return `"` + strings.ReplaceAll(name, `"`, `""`) + `"` }

// write adds the layer's table.
func (l *layer) write(db *sqlite.Writer) {
	var sql strings.Builder
	fmt.Fprintf(&sql, "CREATE TABLE %s (%s INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL, %s %s", quoted(l.name), quoted(l.fid), quoted(l.geometry), l.typeName())
	for _, c := range l.columns {
		fmt.Fprintf(&sql, ", %s %s", quoted(c.name), columnTypes[c.kind])
	}
	sql.WriteString(")")
	rows := make([]sqlite.Row, len(l.rows))
	for i, r := range l.rows {
		values := make([]sqlite.Value, 2, 2+len(l.columns))
		if r.blob != nil {
			values[1] = sqlite.Bytes(r.blob)
		}
		for _, c := range l.columns {
			values = append(values, c.cell(c.value(r.f)))
		}
		rows[i] = sqlite.Row{ID: r.fid, Values: values}
	}
	db.Table(l.name, sql.String(), rows)
}

func (c *column) cell(v schema.Value) sqlite.Value {
	if v.IsAbsent() {
		return sqlite.Value{}
	}
	switch c.kind {
	case columnBool:
		if b, _ := v.Truth(); b {
			return sqlite.Int(1)
		}
		return sqlite.Int(0)
	case columnInt:
		i, _ := strconv.ParseInt(v.Text(), 10, 64)
		return sqlite.Int(i)
	case columnReal:
		f, _ := v.Float()
		return sqlite.Float(f)
	case columnText:
		return sqlite.String(v.Text())
	}
	return sqlite.String(string(v.AppendJSON(nil)))
}

// srsRow is the plan's system as a row of gpkg_spatial_ref_sys.
type srsRow struct {
	id           int32
	name, org    string
	code         int64
	definition   string
	description  string
	alreadyThere bool
}

func systemOf(c *crs.CRS) srsRow {
	if c == nil {
		return srsRow{id: -1, alreadyThere: true}
	}
	if c.BaseCode() == 4326 && c.IsDegrees() {
		return srsRow{id: 4326, alreadyThere: true}
	}
	s := srsRow{id: firstOwnSRS, name: c.Name(), org: "NONE", code: firstOwnSRS, description: c.ID(), definition: "undefined"}
	if code := c.Code(); code > 0 && strings.HasPrefix(c.ID(), "EPSG:") {
		s.id, s.org, s.code = int32(code), "EPSG", int64(code)
	}
	if text, ok := c.WKT1(); ok {
		s.definition = text
	} else if c.Kind() != crs.KindSite {
		s.definition = c.WKT()
	}
	return s
}

func writeSystems(db *sqlite.Writer, s srsRow) {
	wgs84, _ := crs.WGS84().WKT1()
	rows := []srsRow{
		{id: -1, name: "Undefined Cartesian SRS", org: "NONE", code: -1, definition: "undefined", description: "undefined Cartesian coordinate reference system"},
		{id: 0, name: "Undefined geographic SRS", org: "NONE", code: 0, definition: "undefined", description: "undefined geographic coordinate reference system"},
		{id: 4326, name: "WGS 84 geodetic", org: "EPSG", code: 4326, definition: wgs84, description: "longitude/latitude coordinates in decimal degrees on the WGS 84 spheroid"},
	}
	if !s.alreadyThere {
		if s.id > 4326 {
			rows = append(rows, s)
		} else {
			rows = append(rows[:2:2], s, rows[2])
		}
	}
	var list []sqlite.Row
	for _, r := range rows {
		list = append(list, sqlite.Row{ID: int64(r.id), Values: []sqlite.Value{sqlite.String(r.name), {}, sqlite.String(r.org), sqlite.Int(r.code), sqlite.String(r.definition), sqlite.String(r.description)}})
	}
	db.Table("gpkg_spatial_ref_sys", "CREATE TABLE gpkg_spatial_ref_sys (srs_name TEXT NOT NULL, srs_id INTEGER NOT NULL PRIMARY KEY, organization TEXT NOT NULL, organization_coordsys_id INTEGER NOT NULL, definition TEXT NOT NULL, description TEXT)", list)
}

// The definitions of the tables are those of OGC 12-128r15 annex C.
func writeDescription(db *sqlite.Writer, contents, geometry, columns, sequence []sqlite.Row) {
	db.Table("gpkg_contents", "CREATE TABLE gpkg_contents (table_name TEXT NOT NULL PRIMARY KEY, data_type TEXT NOT NULL, identifier TEXT UNIQUE, description TEXT DEFAULT '', last_change DATETIME NOT NULL DEFAULT (strftime('%Y-%m-%dT%H:%M:%fZ','now')), min_x DOUBLE, min_y DOUBLE, max_x DOUBLE, max_y DOUBLE, srs_id INTEGER, CONSTRAINT fk_gc_r_srs_id FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys(srs_id))",
		contents, sqlite.Unique{0}, sqlite.Unique{2})
	db.Table("gpkg_geometry_columns", "CREATE TABLE gpkg_geometry_columns (table_name TEXT NOT NULL, column_name TEXT NOT NULL, geometry_type_name TEXT NOT NULL, srs_id INTEGER NOT NULL, z TINYINT NOT NULL, m TINYINT NOT NULL, CONSTRAINT pk_geom_cols PRIMARY KEY (table_name, column_name), CONSTRAINT uk_gc_table_name UNIQUE (table_name), CONSTRAINT fk_gc_tn FOREIGN KEY (table_name) REFERENCES gpkg_contents(table_name), CONSTRAINT fk_gc_srs FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys (srs_id))",
		geometry, sqlite.Unique{0, 1}, sqlite.Unique{0})
	if columns != nil {
		db.Table("gpkg_data_columns", "CREATE TABLE gpkg_data_columns (table_name TEXT NOT NULL, column_name TEXT NOT NULL, name TEXT, title TEXT, description TEXT, mime_type TEXT, constraint_name TEXT, CONSTRAINT pk_gdc PRIMARY KEY (table_name, column_name), CONSTRAINT gdc_tn UNIQUE (table_name, name))",
			columns, sqlite.Unique{0, 1}, sqlite.Unique{0, 2})
	}
	extension := func(id int64, table, name, definition string) sqlite.Row {
		return sqlite.Row{ID: id, Values: []sqlite.Value{sqlite.String(table), {}, sqlite.String(name), sqlite.String(definition), sqlite.String("read-write")}}
	}
	extensions := []sqlite.Row{
		extension(1, "gpkg_metadata", "gpkg_metadata", "http://www.geopackage.org/spec121/#extension_metadata"),
		extension(2, "gpkg_metadata_reference", "gpkg_metadata", "http://www.geopackage.org/spec121/#extension_metadata"),
	}
	if columns != nil {
		extensions = append(extensions, extension(3, "gpkg_data_columns", "gpkg_schema", "http://www.geopackage.org/spec121/#extension_schema"))
	}
	db.Table("gpkg_extensions", "CREATE TABLE gpkg_extensions (table_name TEXT, column_name TEXT, extension_name TEXT NOT NULL, definition TEXT NOT NULL, scope TEXT NOT NULL, CONSTRAINT ge_tce UNIQUE (table_name, column_name, extension_name))",
		extensions, sqlite.Unique{0, 1, 2})
	db.Table("sqlite_sequence", "CREATE TABLE sqlite_sequence(name,seq)", sequence)
}

func writeMetadata(db *sqlite.Writer, record schema.Attributes) {
	db.Table("gpkg_metadata", "CREATE TABLE gpkg_metadata (id INTEGER CONSTRAINT m_pk PRIMARY KEY ASC NOT NULL, md_scope TEXT NOT NULL DEFAULT 'dataset', md_standard_uri TEXT NOT NULL, mime_type TEXT NOT NULL DEFAULT 'text/xml', metadata TEXT NOT NULL DEFAULT '')",
		[]sqlite.Row{{ID: 1, Values: []sqlite.Value{{}, sqlite.String("dataset"), sqlite.String(metadataURI), sqlite.String("application/json"), sqlite.String(string(record.AppendJSON(nil)))}}})
	db.Table("gpkg_metadata_reference", "CREATE TABLE gpkg_metadata_reference (reference_scope TEXT NOT NULL, table_name TEXT, column_name TEXT, row_id_value INTEGER, timestamp DATETIME NOT NULL DEFAULT (strftime('%Y-%m-%dT%H:%M:%fZ','now')), md_file_id INTEGER NOT NULL, md_parent_id INTEGER, CONSTRAINT crmr_mfi_fk FOREIGN KEY (md_file_id) REFERENCES gpkg_metadata(id), CONSTRAINT crmr_mpi_fk FOREIGN KEY (md_parent_id) REFERENCES gpkg_metadata(id))",
		[]sqlite.Row{{ID: 1, Values: []sqlite.Value{sqlite.String("geopackage"), {}, {}, {}, sqlite.String(lastChange), sqlite.Int(1), {}}}})
}
