// Reading: layers, their columns, the plan's own metadata.

package gpkg

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"html"
	"math"
	"os"
	"regexp"
	"slices"
	"sort"
	"strings"
	"sync"

	"github.com/twpayne/go-geom"

	"swardline/convert/gpkg/sqlite"
	"swardline/convert/wire"
	"swardline/convert/wire/jsontext"
	"swardline/crs"
	"swardline/schema"
)

// metadataURI is the standard that the plan's own metadata names.
const metadataURI = "urn:swardline:schema:plan:1"

// columnOrder is the column that keeps the order of a feature's attributes
// where it is not the columns'.
const columnOrder = "attribute_order"

// Detect reports whether the first bytes are those of an SQLite database, which
// is the only one among the formats that are read.
func Detect(head []byte) bool { return bytes.HasPrefix(head, []byte(sqlite.Magic)) }

type reader struct {
	o     wire.ReadOptions
	caps  schema.Limits
	t     wire.Tally
	db    *sqlite.DB
	plan  *schema.Plan
	own   bool // our own metadata is there
	fidID bool // row numbers are ids
	order map[*schema.Feature]int64
	room  float64
	srs   map[int64]*crs.CRS
	blobs int
	texts []string // what the file says of itself
	drawn struct { // geometries that stand in other columns than their layer's
		n            int
		column, path string
	}
}

// Read reads a plan from a GeoPackage. See the package's comment for what
// becomes of what. Errors are *wire.InputError; its path names the layer and
// the row.
func Read(data []byte, o wire.ReadOptions) (*schema.Plan, []wire.Warning, error) {
	r := &reader{o: o, caps: o.Caps(), order: map[*schema.Feature]int64{}, srs: map[int64]*crs.CRS{},
		plan: &schema.Plan{Source: schema.Source{File: o.Name, Format: "gpkg", Winding: schema.WindingStandard}}}
	r.room = r.caps.InputMaxVertices
	if err := r.read(data); err != nil {
		var in *wire.InputError
		if !errors.As(err, &in) {
			in = &wire.InputError{Problem: err.Error(), Mend: "the file is damaged or was cut off; export or send it again"}
		}
		if in.File == "" {
			in.File = o.Name
		}
		return nil, nil, in
	}
	return r.plan, r.t.Warnings(), nil
}

func fail(path, mend, format string, args ...any) error {
	return &wire.InputError{Path: path, Problem: fmt.Sprintf(format, args...), Mend: mend}
}

// contents is one row of gpkg_contents, with its geometry column.
type contents struct {
	table    string
	geometry string
	srs      int64
	box      schema.Extent
}

func (r *reader) read(data []byte) error {
	var err error
	if r.db, err = sqlite.Open(data); err != nil {
		return err
	}
	if r.db.WAL {
		if info, err := os.Stat(r.o.Name + "-wal"); err == nil && info.Size() > 0 {
			return fail("", "close the program that has the file open, or export it again", "changes stand in %s-wal, which is not read", r.o.Name)
		}
	}
	if r.db.Table("gpkg_contents") == nil {
		what := "an SQLite database, but no GeoPackage"
		if r.db.Table("geometry_columns") != nil && r.db.Table("spatial_ref_sys") != nil {
			what = "a spatial database of another kind, no GeoPackage"
		}
		return fail("", "ask the sender for a GeoPackage, a zipped Shapefile or GeoJSON, with the name of its grid", "this is %s", what)
	}
	if err := r.metadata(); err != nil {
		return err
	}
	layers, err := r.layers()
	if err != nil {
		return err
	}
	if err := r.systems(layers); err != nil {
		return err
	}
	count := map[string]int{}
	for _, l := range layers {
		before := len(r.plan.Features)
		if err := r.layer(l, len(layers) > 1); err != nil {
			return err
		}
		count[strings.ToLower(l.table)] = len(r.plan.Features) - before
	}
	if err := r.hearBoxes(layers, count); err != nil {
		return err
	}
	if err := r.hearStyles(); err != nil {
		return err
	}
	if r.own {
		sort.SliceStable(r.plan.Features, func(i, j int) bool { return r.order[r.plan.Features[i]] < r.order[r.plan.Features[j]] })
	}
	r.unlisted(layers)
	if key := "remarks"; len(r.texts) > 0 && !r.plan.Attributes.Has(key) {
		r.plan.Attributes.Set(key, schema.String(strings.Join(r.texts, "; ")))
	}
	if r.drawn.n > 0 {
		r.t.AddN("column-drawn", r.drawn.n, 0, r.drawn.path, "the column %q of %s holds a geometry beside the layer's own, which was not read: save it as a layer of its own, or take the column out", r.drawn.column, r.drawn.path)
	}
	if r.blobs > 0 {
		r.t.AddN("binary-value", r.blobs, 0, "", "binary values (pictures, signatures) were left out")
	}
	return nil
}

// rows calls f with the named columns of a table; a column that is not there is
// null.
func (r *reader) rows(table string, f func(v []sqlite.Value) error, columns ...string) error {
	t := r.db.Table(table)
	if t == nil {
		return nil
	}
	at := make([]int, len(columns))
	for i, c := range columns {
		at[i] = t.Column(c)
	}
	picked := make([]sqlite.Value, len(columns))
	return r.db.Rows(t, func(_ int64, row []sqlite.Value) error {
		for i, k := range at {
			picked[i] = sqlite.Value{}
			if k >= 0 {
				picked[i] = row[k]
			}
		}
		return f(picked)
	})
}

// says keeps a text that the file says of the whole of itself.
func (r *reader) says(text string) {
	if text != "" && len(r.texts) < mostTexts {
		r.texts = append(r.texts, wire.Clip([]byte(text), 400))
	}
}

// mostTexts is how many of them are kept.
const mostTexts = 20

// metadata takes what the plan says of itself.
func (r *reader) metadata() error {
	return r.rows("gpkg_metadata", func(v []sqlite.Value) error {
		if v[0].Text() != metadataURI {
			if text := strings.TrimSpace(v[1].Text()); strings.HasPrefix(text, "<") || strings.HasPrefix(text, "{") {
				r.t.Add("metadata", 0, "", "the file carries metadata, which were left out")
				r.beside("gpkg_metadata", wire.MetadataText(r.native(v[1].Bytes)))
			} else {
				r.says(text)
			}
			return nil
		}
		m, err := jsontext.Parse(v[1].Bytes)
		if err != nil {
			return fail("gpkg_metadata", "", "the plan's own metadata are no JSON: %v", err)
		}
		r.own = true
		r.plan.Name = m.Fields().Get("name").Text()
		if e, ok := m.Fields().Get("epoch").Float(); ok && e > 0 {
			r.plan.Epoch = e
		}
		r.fidID, _ = m.Fields().Get("fid_is_id").Truth()
		r.plan.Attributes = m.Fields().Get("attributes").Fields()
		if id := m.Fields().Get("crs").Text(); id != "" {
			if r.plan.CRS, err = crs.Parse(id); err != nil {
				return fail("gpkg_metadata", "name the system with --from EPSG:..., which holds instead", "%v", err)
			}
		}
		return nil
	}, "md_standard_uri", "metadata")
}

// carriedOver finds what the GDAL library keeps of the file that it wrote this one from:
// the members of a GeoJSON beside its features, and what kind of file it was.
var carriedOver = sync.OnceValue(func() [2]*regexp.Regexp {
	return [2]*regexp.Regexp{
		regexp.MustCompile(`(?s)<MDI key="NATIVE_MEDIA_TYPE">[^<]*</MDI>`),
		regexp.MustCompile(`(?s)<MDI key="NATIVE_DATA">(\s*\{[^<]*\}\s*)</MDI>`),
	}
})

// native takes the plan's name and what its heights are counted from, where the file has
// them from the one that it was written from, and returns the rest of the metadata.
func (r *reader) native(text []byte) []byte {
	kind, data := carriedOver()[0], carriedOver()[1]
	text = kind.ReplaceAll(text, nil)
	found := data.FindSubmatchIndex(text)
	if found == nil {
		return text
	}
	m, err := jsontext.Parse([]byte(html.UnescapeString(string(text[found[2]:found[3]]))))
	if err != nil {
		return text
	}
	rest := ""
	for _, a := range m.Fields() {
		switch {
		case a.Key == schema.PropName && a.Value.Kind() == schema.KindString && r.plan.Name == "":
			r.plan.Name = a.Value.Text()
		case a.Key == schema.PlanHeights && a.Value.Kind() == schema.KindString && !r.plan.Attributes.Has(a.Key):
			r.plan.Attributes.Set(a.Key, a.Value)
		default:
			rest += " " + a.Key + " " + string(a.Value.AppendJSON(nil))
		}
	}
	return slices.Concat(text[:found[2]], []byte(html.EscapeString(rest)), text[found[3]:])
}

func (r *reader) layers() ([]*contents, error) {
	geometry, systems := map[string]string{}, map[string]sqlite.Value{}
	err := r.rows("gpkg_geometry_columns", func(v []sqlite.Value) error {
		geometry[strings.ToLower(v[0].Text())], systems[strings.ToLower(v[0].Text())] = v[1].Text(), v[2]
		return nil
	}, "table_name", "column_name", "srs_id")
	if err != nil {
		return nil, err
	}
	var list []*contents
	var notes schema.Attributes
	tables := map[string]bool{}
	err = r.rows("gpkg_contents", func(v []sqlite.Value) error {
		name, kind := v[0].Text(), v[1].Text()
		if note := layerNote(name, v[3].Text(), v[4].Text()); note != "" {
			notes.Set(name, schema.String(note))
		}
		column, ok := geometry[strings.ToLower(name)]
		if kind != "features" || !ok {
			r.t.Add("layer-left-out", 0, name, "layers that hold no features were left out, first %q (%s)", name, kind)
			if kind != "features" && kind != "attributes" { // tiles, grids of heights
				r.plan.AddPicture(name)
				r.plan.AddPicture(v[3].Text())
			}
			return nil
		}
		if r.db.IsView(name) {
			r.t.Add("layer-view", 0, name, "the layer %q is a view, which is not read; export it as a layer of its own", name)
			return nil
		}
		if r.db.Table(name) == nil {
			return fail(name, "the file is damaged; export it again", "the layer has no table")
		}
		if tables[strings.ToLower(name)] {
			return fail(name, "the file is damaged; export it again", "the layer is listed twice")
		}
		tables[strings.ToLower(name)] = true
		if s := systems[strings.ToLower(name)]; s.Kind == sqlite.Integer && s.Int != v[2].Int && s.Int > 0 && v[2].Int > 0 {
			r.t.Add("crs-second", 0, name, "the layer %q is in the system %d by the list of geometries, and in %d by the contents, which was read: which of the two its numbers are in is not known; write the layer anew", name, s.Int, v[2].Int)
		}
		list = append(list, &contents{table: name, geometry: column, srs: v[2].Int, box: boxOf(v[5:])})
		return nil
	}, "table_name", "data_type", "srs_id", "identifier", "description", "min_x", "min_y", "max_x", "max_y")
	if len(notes) > 0 && !r.plan.Attributes.Has(schema.PlanLayerNotes) {
		r.plan.Attributes.Set(schema.PlanLayerNotes, schema.Object(notes))
	}
	return list, err
}

// layerNote is what the contents say of a layer beside the name of its table:
// its title where that is another, and its description.
func layerNote(table, title, description string) string {
	title, description = strings.TrimSpace(title), strings.TrimSpace(description)
	if wire.Fold(title) == wire.Fold(table) {
		title = ""
	}
	if description == title || wire.Fold(description) == wire.Fold(table) {
		description = ""
	}
	switch {
	case title == "":
		return description
	case description == "":
		return title
	}
	return title + ": " + description
}

// systems finds the plan's CRS, in which all layers must be.
func (r *reader) systems(layers []*contents) error {
	type definition struct{ id, wkt, name, says string }
	known := map[int64]definition{}
	err := r.rows("gpkg_spatial_ref_sys", func(v []sqlite.Value) error {
		d := definition{wkt: v[3].Text(), name: v[5].Text(), says: v[6].Text()}
		if strings.EqualFold(v[1].Text(), "EPSG") && v[2].Kind == sqlite.Integer {
			d.id = fmt.Sprintf("EPSG:%d", v[2].Int)
		}
		if t := v[4].Text(); t != "" && !strings.EqualFold(t, "undefined") {
			d.wkt = t
		}
		known[v[0].Int] = d
		return nil
	}, "srs_id", "organization", "organization_coordsys_id", "definition", "definition_12_063", "srs_name", "description")
	if err != nil {
		return err
	}
	own := r.plan.CRS
	told := map[int64]bool{}
	for _, l := range layers {
		if says := strings.TrimSpace(known[l.srs].says); !told[l.srs] && !saysSystem(says) {
			r.says(says)
		}
		if d := known[l.srs]; !told[l.srs] {
			if says := systemContradicts(d.id, d.name, d.wkt); says != "" {
				r.t.Add("srs-contradicts", 0, l.table, "the system %d of the file, %s, %s: which of the two its numbers are in is not known; write the file anew", l.srs, d.id, says)
			}
		}
		if !told[l.srs] && own != nil && l.srs <= 0 {
			r.t.Add("crs-of-part", 0, l.table, "the layer %s is in no known system, by the file's table, and was read in that of the plan, %s: was it added by another hand? write it in the plan's system", l.table, own.ID())
		}
		told[l.srs] = true
		if d := known[l.srs]; own != nil && d.id != "" && d.id != fmt.Sprintf("EPSG:%d", own.Code()) && d.id != fmt.Sprintf("EPSG:%d", own.BaseCode()) {
			r.t.Add("crs-changed", 0, l.table, "the plan's metadata name %s, but its layers are in %s, which holds: the file was changed since it was written", own.ID(), d.id)
			own = nil
		}
	}
	var stated *crs.CRS
	var from *contents
	for i, l := range layers {
		var c *crs.CRS
		d := known[l.srs]
		var err error
		switch {
		case l.srs == -1 || l.srs == 0, own != nil:
		case d.id != "":
			if c, err = crs.Parse(d.id); err != nil && d.wkt != "" {
				c, err = crs.Parse(d.wkt)
			}
		case d.wkt != "" && !strings.EqualFold(d.wkt, "undefined"):
			c, err = crs.Parse(d.wkt)
		default:
			err = fmt.Errorf("the file does not define its system %d (%s)", l.srs, d.name)
		}
		if err != nil && r.o.CRS == nil {
			return fail(l.table, "name the system with --from EPSG:..., which holds instead", "%v", err)
		}
		if c != nil && c.BaseCode() == 4326 && c.IsDegrees() {
			c = crs.WGS84() // a GeoPackage has longitude first
		}
		if i > 0 && r.o.CRS == nil && !sameSystem(c, stated) {
			return fail(l.table, "a plan stands in one system; read the layers one by one", "the layer is in %s, the layer %s in %s", systemName(c), from.table, systemName(stated))
		}
		stated, from = c, l
	}
	if own != nil {
		stated = own
	}
	if r.o.CRS != nil {
		if stated != nil && !stated.Equal(r.o.CRS) {
			r.t.Add("crs-overridden", 0, "", "the file says %s; %s was asked for and holds", stated.ID(), r.o.CRS.ID())
		}
		stated = r.o.CRS
	} else if stated == nil && !r.own {
		r.t.Add("crs-unknown", 0, "", "the file says that its coordinates' system is not known; name it with --from")
	}
	r.plan.CRS = stated
	return nil
}

// systemWords are those of descriptions of systems of coordinates.
var systemWords = strings.Fields("coordinate spheroid ellipsoid reference projection projected geodetic geographic datum utm grid wgs grs gauss mercator lambert zone epsg crs srs")

// saysSystem reports whether a description of a system is no more than that.
func saysSystem(text string) bool {
	folded := strings.ToLower(text)
	if text == "" || slices.ContainsFunc(systemWords, func(w string) bool { return strings.Contains(folded, w) }) {
		return true
	}
	_, err := crs.Parse(text)
	return err == nil
}

func sameSystem(a, b *crs.CRS) bool {
	if a == nil || b == nil {
		return a == b
	}
	return a.Equal(b)
}

func systemName(c *crs.CRS) string {
	if c == nil {
		return "no known system"
	}
	return c.ID()
}

// columnUse says what a column of a layer is for.
type columnUse struct {
	key     string
	boolean bool
	json    bool
}

// layer adds the features of one layer.
func (r *reader) layer(l *contents, several bool) error {
	t := r.db.Table(l.table)
	uses := make([]columnUse, len(t.Columns))
	for i, c := range t.Columns {
		uses[i] = columnUse{key: c.Name, boolean: strings.HasPrefix(c.Type, "BOOL")}
	}
	titled := map[int]bool{}
	err := r.rows("gpkg_data_columns", func(v []sqlite.Value) error {
		if k := t.Column(v[1].Text()); strings.EqualFold(v[0].Text(), l.table) && k >= 0 {
			r.hearColumn(v[1].Text(), v[4].Text())
			uses[k].json = strings.EqualFold(v[3].Text(), "application/json")
			if title := v[2].Text(); r.own && title != "" {
				uses[k].key = title
				titled[k] = true
			}
		}
		return nil
	}, "table_name", "column_name", "title", "mime_type", "description")
	if err != nil {
		return err
	}
	geometry := t.Column(l.geometry)
	if geometry < 0 {
		return fail(l.table, "the file is damaged; export it again", "the layer has no column %q for its geometry", l.geometry)
	}
	hasID := t.Column(schema.PropID) >= 0 && t.Column(schema.PropID) != t.RowID
	return r.db.Rows(t, func(rowid int64, row []sqlite.Value) error {
		path := fmt.Sprintf("%s row %d", l.table, rowid)
		if float64(len(r.plan.Features)) >= r.caps.InputMaxFeatures {
			return fail(l.table, "split it, or raise the limit in a limits file", "there are more features than the limit input_max_features (%.0f)", r.caps.InputMaxFeatures)
		}
		f := &schema.Feature{Role: schema.RoleOther, Source: schema.Source{Path: path}}
		if err := r.geometry(f, row[geometry], path); err != nil {
			return err
		}
		if srs, ok := srsOf(row[geometry]); ok && srs != l.srs && srs > 0 && l.srs > 0 {
			r.t.Add("crs-second", 0, path, "the geometry of %s says that it is in the system %d, and its layer that it is in %d, which was read: which of the two its numbers are in is not known; write the layer anew", path, srs, l.srs)
		}
		var order []schema.Value
		for i, v := range row {
			switch {
			case i == geometry || i == t.RowID:
			case r.own && t.Columns[i].Name == columnOrder:
				if o, err := jsontext.Parse(v.Bytes); err == nil {
					order = o.Items()
				}
			default:
				r.attribute(f, uses[i], v, titled[i])
			}
		}
		f.Attributes = inOrder(f.Attributes, order)
		switch {
		case r.fidID, !r.own && !hasID && !several && f.ID.IsAbsent():
			f.ID = schema.Int(rowid)
		case !r.own && !hasID && f.ID.IsAbsent():
			f.ID = schema.String(fmt.Sprintf("%s.%d", l.table, rowid))
		}
		if f.Role == schema.RoleOther && !r.own && !f.Attributes.Has(schema.PropLayer) {
			f.Attributes.Set(schema.PropLayer, schema.String(l.table))
		}
		r.order[f] = rowid
		r.plan.Features = append(r.plan.Features, f)
		return nil
	})
}

// srsOf is the number of the system that the header of a geometry says.
func srsOf(v sqlite.Value) (srs int64, ok bool) {
	if v.Kind != sqlite.Blob || len(v.Bytes) < 8 {
		return 0, false
	}
	var order binary.ByteOrder = binary.BigEndian
	if v.Bytes[3]&1 != 0 {
		order = binary.LittleEndian
	}
	return int64(int32(order.Uint32(v.Bytes[4:]))), true
}

func (r *reader) geometry(f *schema.Feature, v sqlite.Value, path string) error {
	switch v.Kind {
	case sqlite.Null:
		return nil
	case sqlite.Blob:
	default:
		return fail(path, "the file is damaged; export it again", "the geometry is no binary value")
	}
	d := decoder{b: v.Bytes, room: r.room, nesting: int(r.caps.InputMaxNesting)}
	g, err := d.blob()
	if err != nil {
		return fail(path, "correct it where the file comes from", "%v", err)
	}
	r.room = d.room
	if err := finite(g); err != nil {
		return fail(path, "correct it where the file comes from", "%v", err)
	}
	if d.measures {
		r.t.Add("measure", 0, path, "a plan has no place for measures (M); they were left out")
	}
	f.Geometry = g
	return nil
}

func finite(g geom.T) error {
	if c, ok := g.(*geom.GeometryCollection); ok {
		for _, part := range c.Geoms() {
			if err := finite(part); err != nil {
				return err
			}
		}
		return nil
	}
	stride, z := g.Stride(), g.Layout().ZIndex()
	for i, v := range g.FlatCoords() {
		if math.IsInf(v, 0) || math.IsNaN(v) && (z < 0 || i%stride != z) {
			return fmt.Errorf("a point has the number %v", v)
		}
	}
	return nil
}

// attribute takes one value of a row; titled is true when the column's whole
// name stands in its title.
func (r *reader) attribute(f *schema.Feature, use columnUse, v sqlite.Value, titled bool) {
	var value schema.Value
	switch v.Kind {
	case sqlite.Null:
		return
	case sqlite.Integer:
		value = schema.Int(v.Int)
		if use.boolean && (v.Int == 0 || v.Int == 1) {
			value = schema.Bool(v.Int == 1)
		}
	case sqlite.Real:
		value = schema.Float(v.Float)
	case sqlite.Blob:
		if isGeometry(v) {
			if r.drawn.n == 0 {
				r.drawn.column, r.drawn.path = use.key, f.Source.Path
			}
			r.drawn.n++
			return
		}
		r.blobs++
		return
	case sqlite.Text:
		text := strings.ToValidUTF8(string(v.Bytes), "\ufffd")
		if len(text) != len(v.Bytes) || text != string(v.Bytes) {
			r.t.Add("encoding-damaged", 0, f.Source.Path, "the text %q in the column %q is no UTF-8, as a GeoPackage's texts are; letters that could not be read are marked, and words that rules look for may be among them", wire.Clip([]byte(text), 60), use.key)
		}
		value = schema.String(text)
		if use.json {
			if parsed, err := jsontext.Parse(v.Bytes); err == nil {
				value = parsed
			}
		}
	}
	if !titled {
		switch {
		case strings.EqualFold(use.key, schema.PropRole) && value.Kind() == schema.KindString:
			if role, ok := schema.ParseRole(strings.ToLower(value.Text())); ok {
				f.Role = role
				if r.own || role != schema.RoleOther {
					return
				}
				use.key = schema.PropRole // said, which differs from not said
			}
		case strings.EqualFold(use.key, schema.PropName) && value.Kind() == schema.KindString && f.Name == "":
			f.Name = value.Text()
			return
		case strings.EqualFold(use.key, schema.PropID) && f.ID.IsAbsent():
			f.ID = value
			return
		}
	}
	key := use.key
	for n := 2; f.Attributes.Has(key); n++ {
		key = fmt.Sprintf("%s_%d", use.key, n)
	}
	f.Attributes.Set(key, value)
}

// inOrder puts attributes into the order of the keys; others come last.
func inOrder(a schema.Attributes, keys []schema.Value) schema.Attributes {
	if keys == nil {
		return a
	}
	var out schema.Attributes
	for _, k := range keys {
		if v := a.Get(k.Text()); !v.IsAbsent() {
			out.Set(k.Text(), v)
		}
	}
	for _, x := range a {
		out.Set(x.Key, x.Value)
	}
	return out
}
