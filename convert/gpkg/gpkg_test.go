// GeoPackages: whole plans there and back, SQLite's own check of the files,
// files of other writers made with the sqlite3 program, geometry by hand, any
// bytes.

package gpkg

import (
	"bytes"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"swardline/convert/gpkg/sqlite"
	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
	"swardline/testdata/randplan"
)

func written(t testing.TB, p *schema.Plan) []byte {
	t.Helper()
	var b bytes.Buffer
	losses, err := Write(&b, p, wire.WriteOptions{})
	if err != nil || len(losses) > 0 {
		t.Fatal(err, losses)
	}
	return b.Bytes()
}

// TestSQLiteFindsNoFault has SQLite's own program check the files of random
// plans.
func TestSQLiteFindsNoFault(t *testing.T) {
	program, err := exec.LookPath("sqlite3")
	if err != nil {
		t.Skip("there is no sqlite3 program here")
	}
	for _, p := range []*schema.Plan{randplan.New(1, randplan.Options{}), randplan.New(2, randplan.Options{Features: 200}), {}, randplan.New(3, randplan.Options{Features: 2000, Plain: true})} {
		path := filepath.Join(t.TempDir(), "a.gpkg")
		data := written(t, p)
		if err := os.WriteFile(path, data, 0o644); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command(program, path, "PRAGMA integrity_check; PRAGMA foreign_key_check; PRAGMA application_id; SELECT count(*) FROM gpkg_contents WHERE data_type <> 'features';").CombinedOutput()
		if err != nil || string(out) != "ok\n1196444487\n0\n" {
			t.Errorf("%v\n%s", err, out)
		}
		if again := written(t, p); !bytes.Equal(data, again) {
			t.Error("two runs give different bytes")
		}
	}
}

// TestNumbersAreKept: rising whole ids are the rows' numbers, and come back.
func TestNumbersAreKept(t *testing.T) {
	for _, ids := range [][]schema.Value{{schema.Int(3), schema.Int(7)}, {schema.Int(7), schema.Int(3)}, {schema.String("3"), schema.Int(7)}, {schema.Int(3), {}}, {schema.Value{}, schema.Value{}}, {schema.Int(0), schema.Int(1)}} {
		p := &schema.Plan{CRS: crs.WGS84(), Features: randplan.New(9, randplan.Options{Features: 2}).Features, Source: schema.Source{Winding: schema.WindingStandard}}
		for i := range ids {
			p.Features[i].ID = ids[i]
		}
		back, _, err := Read(written(t, p), wire.ReadOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if err := schema.Same(p, back, 0); err != nil {
			t.Errorf("%v: %v", ids, err)
		}
	}
}

// foreign makes a GeoPackage with SQL, as other programs do.
func foreign(t *testing.T, sql string) []byte {
	t.Helper()
	program, err := exec.LookPath("sqlite3")
	if err != nil {
		t.Skip("there is no sqlite3 program here")
	}
	path := filepath.Join(t.TempDir(), "a.gpkg")
	const tables = `CREATE TABLE gpkg_spatial_ref_sys (srs_name TEXT NOT NULL, srs_id INTEGER PRIMARY KEY, organization TEXT NOT NULL, organization_coordsys_id INTEGER NOT NULL, definition TEXT NOT NULL, description TEXT);
		INSERT INTO gpkg_spatial_ref_sys VALUES ('u', -1, 'NONE', -1, 'undefined', ''), ('WGS 84', 4326, 'EPSG', 4326, 'x', ''), ('ETRS89 / UTM zone 32N', 25832, 'EPSG', 25832, 'x', ''),
		('own', 7, 'NONE', 7, 'PROJCS["own",GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["latitude_of_origin",0],PARAMETER["central_meridian",10.5],PARAMETER["scale_factor",1],PARAMETER["false_easting",0],PARAMETER["false_northing",0],UNIT["metre",1]]', '');
		CREATE TABLE gpkg_contents (table_name TEXT PRIMARY KEY, data_type TEXT, identifier TEXT, description TEXT, last_change DATETIME, min_x DOUBLE, min_y DOUBLE, max_x DOUBLE, max_y DOUBLE, srs_id INTEGER);
		CREATE TABLE gpkg_geometry_columns (table_name TEXT, column_name TEXT, geometry_type_name TEXT, srs_id INTEGER, z TINYINT, m TINYINT, PRIMARY KEY (table_name, column_name));`
	if out, err := exec.Command(program, path, tables+sql).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

const pointBlob = "X'4750000100000000" + "0101000000" + "0000000000000840" + "0000000000001040'" // 3, 4

func layerSQL(name string, srs int) string {
	return fmt.Sprintf(`CREATE TABLE %[1]s (fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL, geom POINT, "Art" TEXT(20), open BOOLEAN, area DOUBLE, photo BLOB, role TEXT);
		INSERT INTO gpkg_contents VALUES ('%[1]s', 'features', '%[1]s', '', '', 0, 0, 0, 0, %[2]d);
		INSERT INTO gpkg_geometry_columns VALUES ('%[1]s', 'geom', 'POINT', %[2]d, 0, 0);`, name, srs)
}

func TestForeignFiles(t *testing.T) {
	sql := layerSQL("lawns", 25832) + `INSERT INTO lawns VALUES (5, ` + pointBlob + `, 'Gräs', 1, 12.5, X'00', 'mark'), (9, NULL, NULL, NULL, 3, NULL, 'bed');
		INSERT INTO gpkg_contents (table_name, data_type) VALUES ('map', 'tiles');`
	p, warnings, err := Read(foreign(t, sql), wire.ReadOptions{Name: "a.gpkg"})
	if err != nil {
		t.Fatal(err)
	}
	var kinds []string
	for _, w := range warnings {
		kinds = append(kinds, w.Kind)
	}
	if got := strings.Join(kinds, " "); got != "layer-left-out binary-value" {
		t.Errorf("%s", got)
	}
	a, b := p.Features[0], p.Features[1]
	if p.CRS.ID() != "EPSG:25832" || a.Role != schema.RoleMark || a.ID.Text() != "5" || a.Geometry.FlatCoords()[1] != 4 || string(a.Attributes.AppendJSON(nil)) != `{"Art":"Gräs","open":true,"area":12.5}` {
		t.Errorf("%v %+v %s", p.CRS, a, a.Attributes.AppendJSON(nil))
	}
	if b.Geometry != nil || b.ID.Text() != "9" || string(b.Attributes.AppendJSON(nil)) != `{"area":3,"role":"bed","layer":"lawns"}` {
		t.Errorf("%+v %s", b, b.Attributes.AppendJSON(nil))
	}
	p, _, err = Read(foreign(t, layerSQL("lawns", 7)+layerSQL("beds", 7)+`INSERT INTO beds (fid) VALUES (2);`), wire.ReadOptions{Name: "a.gpkg"})
	if err != nil || len(p.Features) != 1 || p.Features[0].ID.Text() != "beds.2" || !strings.Contains(p.CRS.WKT(), "10.5") {
		t.Error(p, err)
	}
	for _, tt := range []struct{ sql, want string }{
		{layerSQL("a", 25832) + layerSQL("b", 4326), "x: b: the layer is in OGC:CRS84, the layer a in EPSG:25832; a plan stands in one system"},
		{layerSQL("a", 77), "x: a: the file does not define its system 77"},
		{layerSQL("a", 4326) + "INSERT INTO a (geom) VALUES (X'4750000100000000" + "0108000000" + "00000000');", "x: a row 1: the geometry is a CIRCULARSTRING, which is not read"},
		{layerSQL("a", 4326) + "INSERT INTO a (geom) VALUES (X'47500001');", "x: a row 1: the geometry is no GeoPackage geometry"},
		{layerSQL("a", 4326) + "INSERT INTO a (geom) VALUES (X'4750000100000000" + "0101000000" + "000000000000F07F" + "0000000000001040');", "x: a row 1: a point has the number +Inf"},
		{"DROP TABLE gpkg_contents", "x: this is an SQLite database, but no GeoPackage; ask the sender for"},
	} {
		_, _, err := Read(foreign(t, tt.sql), wire.ReadOptions{Name: "x"})
		var in *wire.InputError
		if !errors.As(err, &in) || !strings.HasPrefix(err.Error(), tt.want) {
			t.Errorf("%v, want %s", err, tt.want)
		}
	}
}

// TestDrawnInNoLayer: what is drawn in a table that is no layer, or beside a
// layer's own geometry, is told and leaves the plan unchecked; tables and columns
// that draw nothing are not told.
func TestDrawnInNoLayer(t *testing.T) {
	const empty = "X'4750001100000000010200000000000000'"
	bare := "X'" + strings.TrimPrefix(strings.TrimSuffix(pointBlob, "'"), "X'")[16:] + "'"
	for _, tt := range []struct{ sql, want, says string }{
		{"CREATE TABLE ponds (fid INTEGER PRIMARY KEY, geom BLOB, kind TEXT); INSERT INTO ponds VALUES (1, NULL, 'a'), (4, " + pointBlob + ", 'b');", "table-drawn", `a geometry in the column "geom" of row 4`},
		{"CREATE TABLE ponds (fid INTEGER PRIMARY KEY, position TEXT); INSERT INTO ponds VALUES (1, '51.3002 N 9.4514 E'); INSERT INTO gpkg_contents (table_name, data_type) VALUES ('ponds', 'attributes');", "layer-left-out table-drawn", `save it as a layer of features`},
		{"CREATE TABLE ponds (fid INTEGER PRIMARY KEY, position TEXT); INSERT INTO ponds VALUES (1, '3 North'); INSERT INTO gpkg_contents (table_name, data_type) VALUES ('ponds', 'attributes');", "layer-left-out", ""},
		{"CREATE TABLE ponds (fid INTEGER PRIMARY KEY, geom BLOB); INSERT INTO ponds VALUES (1, " + bare + ");", "table-drawn", `the table "ponds"`},
		{"CREATE TABLE ponds (fid INTEGER PRIMARY KEY, geom TEXT); INSERT INTO ponds VALUES (1, 'POLYGON((0 0, 1 0, 1 1, 0 0))');", "table-drawn", `"geom" of row 1`},
		{"CREATE TABLE ponds (fid INTEGER PRIMARY KEY, geom BLOB); INSERT INTO ponds VALUES (1, " + pointBlob + "); INSERT INTO gpkg_contents (table_name, data_type) VALUES ('ponds', 'attributes');", "layer-left-out table-drawn", `save it as a layer of features`},
		{"CREATE TABLE ponds (fid INTEGER PRIMARY KEY, geom BLOB); INSERT INTO ponds VALUES (1, " + pointBlob + "); INSERT INTO gpkg_contents (table_name, data_type) VALUES ('ponds', 'features');", "layer-left-out table-drawn", ""},
		{"CREATE TABLE ponds (id INTEGER PRIMARY KEY, X DOUBLE, Y DOUBLE, r DOUBLE); INSERT INTO ponds VALUES (1, 3, 4.5, 2);", "table-drawn", `a place in the columns "X" and "Y" of row 1`},
		{"CREATE TABLE ponds (id INTEGER PRIMARY KEY, longitude DOUBLE, latitude DOUBLE); INSERT INTO ponds VALUES (1, 3, 4.5);", "table-drawn", ""},
		{"CREATE TABLE ponds (x REAL, y REAL, PRIMARY KEY (x, y)) WITHOUT ROWID; INSERT INTO ponds VALUES (3, 4.5);", "table-drawn", "could not be looked at"},
		{"CREATE TABLE words (a TEXT PRIMARY KEY) WITHOUT ROWID; INSERT INTO words VALUES ('pond');", "", ""},
		{"CREATE TABLE teiche (id INTEGER PRIMARY KEY, rechts REAL, hoch REAL, r REAL); INSERT INTO teiche VALUES (1, 3, 4.5, 2);", "table-drawn", `a place in the columns "rechts" and "hoch" of row 1`},
		{"CREATE TABLE ponds (id INTEGER PRIMARY KEY, lat_deg TEXT, long_deg TEXT); INSERT INTO ponds VALUES (1, '56.9001', '11.2001');", "table-drawn", `a place in the columns "long_deg" and "lat_deg" of row 1`},
		{"CREATE TABLE ponds (id INTEGER PRIMARY KEY, UTM_E REAL, UTM_N REAL); INSERT INTO ponds VALUES (1, 3, 4.5);", "table-drawn", ""},
		{"CREATE TABLE ponds (id INTEGER PRIMARY KEY, coords TEXT); INSERT INTO ponds VALUES (1, '56.90010, 11.20010');", "table-drawn", `a geometry in the column "coords"`},
		{"CREATE TABLE ponds (id INTEGER PRIMARY KEY, lat TEXT, lon TEXT); INSERT INTO ponds VALUES (1, 'north', 'west');", "", ""},
		{"CREATE TABLE notes (id INTEGER PRIMARY KEY, text TEXT); INSERT INTO notes VALUES (1, '" + strings.Trim(bare, "X'") + "');", "table-drawn", `a geometry in the column "text" of row 1`},
		{"CREATE TABLE notes (id INTEGER PRIMARY KEY, text TEXT); INSERT INTO notes VALUES (1, '" + strings.Trim(pointBlob, "X'") + "');", "table-drawn", ""},
		{"CREATE TABLE notes (id INTEGER PRIMARY KEY, text TEXT); INSERT INTO notes VALUES (1, '" + strings.Trim(bare, "X'")[2:] + "');", "", ""},
		{"CREATE TABLE sizes (id INTEGER PRIMARY KEY, text TEXT); INSERT INTO sizes VALUES (1, '12.5, 3.25');", "", ""},
		{"CREATE TABLE counts (id INTEGER PRIMARY KEY, n INTEGER, e TEXT); INSERT INTO counts VALUES (1, 3, NULL);", "", ""},
		{"UPDATE lawns SET Art = CAST(X'4772E473' AS TEXT);", "encoding-damaged", "no UTF-8"},
		{"ALTER TABLE lawns ADD geom2 BLOB; UPDATE lawns SET geom2 = " + pointBlob + ";", "column-drawn", `the column "geom2" of lawns row 5`},
		{"ALTER TABLE lawns ADD geom2 BLOB; UPDATE lawns SET geom2 = " + empty + ";", "binary-value", ""},
		{"UPDATE lawns SET photo = X'FFD8FFE000104A46';", "binary-value", ""},
		{"CREATE TABLE ponds (fid INTEGER PRIMARY KEY, geom BLOB); INSERT INTO ponds VALUES (1, NULL), (2, " + empty + "), (3, X'89504E470D0A1A0A');", "binary-value", ""},
		{"CREATE TABLE ponds (fid INTEGER PRIMARY KEY, geom BLOB, x DOUBLE, y DOUBLE);", "", ""},
		{"CREATE TABLE visits (fid INTEGER PRIMARY KEY, x DOUBLE, day TEXT); INSERT INTO visits VALUES (1, 3, 'Point (north)');", "", ""},
		{"CREATE TABLE rtree_lawns_geom_node (nodeno INTEGER PRIMARY KEY, data BLOB); INSERT INTO rtree_lawns_geom_node VALUES (1, " + pointBlob + ");", "", ""},
	} {
		sql := layerSQL("lawns", 25832) + "INSERT INTO lawns VALUES (5, " + pointBlob + ", 'a', 1, 12.5, NULL, 'mark');"
		p, warnings, err := Read(foreign(t, sql+tt.sql), wire.ReadOptions{Name: "a.gpkg"})
		if err != nil {
			t.Fatal(err)
		}
		var kinds []string
		said, ground := "", false
		for _, w := range warnings {
			kinds = append(kinds, w.Kind)
			said += w.Message
			ground = ground || w.Ground() && w.Lost()
		}
		if got := strings.Join(kinds, " "); got != tt.want || !strings.Contains(said, tt.says) || ground != strings.Contains(got, "-drawn") || len(p.Features) != 1 {
			t.Errorf("%s: %s: %s", tt.sql, got, said)
		}
	}
}

// TestSystemSaidTwice: a geometry or a list that says another system than the
// layer's contents leaves it open which of them the numbers are in; what says
// none says nothing else.
func TestSystemSaidTwice(t *testing.T) {
	blob := func(srs string) string {
		return "X'47500001" + srs + "0101000000" + "0000000000000840" + "0000000000001040'"
	}
	for _, x := range []struct {
		blob string
		list int
		want bool
	}{
		{blob("E8640000"), 25832, false}, // 25832, least byte first
		{"X'47500000" + "000064E8" + "0101000000" + "0000000000000840" + "0000000000001040'", 25832, false},
		{blob("00000000"), 25832, false},
		{blob("FFFFFFFF"), 25832, false},
		{"NULL", 25832, false},
		{blob("E6100000"), 25832, true}, // 4326
		{blob("E9640000"), 25832, true}, // 25833
		{blob("E8640000"), 4326, true},
		{blob("E8640000"), 0, false},
	} {
		sql := layerSQL("lawns", 25832) + "INSERT INTO lawns (geom) VALUES (" + x.blob + fmt.Sprintf("); UPDATE gpkg_geometry_columns SET srs_id = %d;", x.list)
		_, warnings, err := Read(foreign(t, sql), wire.ReadOptions{Name: "a.gpkg"})
		if err != nil {
			t.Fatal(err)
		}
		if got := len(warnings) == 1 && warnings[0].Kind == "crs-second" && warnings[0].Ground(); got != x.want || !x.want && len(warnings) > 0 {
			t.Errorf("%s in a layer listed in %d: %+v", x.blob, x.list, warnings)
		}
	}
}

// TestLayerNotes: what the contents say of a layer is the plan's; a name that
// only repeats the table's says nothing.
func TestLayerNotes(t *testing.T) {
	for _, x := range []struct{ title, description, want string }{
		{"", "", "{}"},
		{"Lawns", "", "{}"},
		{"lawns", "Lawns", "{}"},
		{"lawns", "DRAFT - traced", `{"layer_notes":{"lawns":"DRAFT - traced"}}`},
		{"lawns OLD", "", `{"layer_notes":{"lawns":"lawns OLD"}}`},
		{"Mown", "by hand", `{"layer_notes":{"lawns":"Mown: by hand"}}`},
	} {
		sql := layerSQL("lawns", 25832) + "INSERT INTO lawns VALUES (5, " + pointBlob + ", 'a', 1, 12.5, NULL, 'mark'); UPDATE gpkg_contents SET identifier = '" + x.title + "', description = '" + x.description + "';"
		p, _, err := Read(foreign(t, sql), wire.ReadOptions{Name: "a.gpkg"})
		if err != nil {
			t.Fatal(err)
		}
		if got := string(p.Attributes.AppendJSON(nil)); got != x.want {
			t.Errorf("%q %q: %s, want %s", x.title, x.description, got, x.want)
		}
	}
}

// TestFileSays: texts among the metadata, and of the system that the layers are in,
// are the plan's; what only describes the system is none.
func TestFileSays(t *testing.T) {
	metadata := func(text string) string {
		return "CREATE TABLE gpkg_metadata (id INTEGER PRIMARY KEY, md_scope TEXT, md_standard_uri TEXT, mime_type TEXT, metadata TEXT); INSERT INTO gpkg_metadata VALUES (1, 'dataset', 'x', 'text/plain', '" + text + "');"
	}
	system := func(text string) string {
		return "UPDATE gpkg_spatial_ref_sys SET description = '" + text + "' WHERE srs_id = 25832;"
	}
	for _, x := range []struct{ sql, want, warned string }{
		{"", "{}", ""},
		{metadata("Draft, do not use"), `{"remarks":"Draft, do not use"}`, ""},
		{metadata("<MD_Metadata/>"), "{}", "metadata"},
		{metadata(`<Metadata><MDI key="NATIVE_DATA">{ "name": "Garden", "heights": "ellipsoidal" }</MDI><MDI key="NATIVE_MEDIA_TYPE">application/vnd.geo+json</MDI></Metadata>`), `{"heights":"ellipsoidal"}`, "metadata"},
		{system("shifted by 2 m"), `{"remarks":"shifted by 2 m"}`, ""},
		{system("easting/northing coordinates in metres"), "{}", ""},
		{system("EPSG:25832"), "{}", ""},
		{metadata("Draft") + system("shifted"), `{"remarks":"Draft; shifted"}`, ""},
	} {
		sql := layerSQL("lawns", 25832) + "INSERT INTO lawns VALUES (5, " + pointBlob + ", 'a', 1, 12.5, NULL, 'mark');" + x.sql
		p, warnings, err := Read(foreign(t, sql), wire.ReadOptions{Name: "a.gpkg"})
		if err != nil {
			t.Fatal(err)
		}
		told := ""
		for _, w := range warnings {
			if w.Kind == "metadata" {
				told = w.Kind
			}
		}
		if got := string(p.Attributes.AppendJSON(nil)); got != x.want || told != x.warned {
			t.Errorf("%s: %s, %s, want %s, %s", x.sql, got, told, x.want, x.warned)
		}
	}
}

// TestHeardOfColumns: what a column is described as is heard but for its own name and
// unit.
func TestHeardOfColumns(t *testing.T) {
	for _, x := range []struct{ column, description, want string }{
		{"n", "", ""}, {"n", "n", ""}, {"name", "name", ""}, {"name", "do not use", "do not use"}, {"width_m", "Width in metres", "in"}, {"width_m", "width in feet", "in feet"}, {"cut_mm", "cut (mm)", ""}, {"cut_mm", "values in inches", "values in inches"},
	} {
		r := &reader{plan: &schema.Plan{}}
		r.hearColumn(x.column, x.description)
		got := ""
		for _, b := range r.plan.Beside {
			got += b.Text
		}
		if got != x.want {
			t.Errorf("%s %q: %q, want %q", x.column, x.description, got, x.want)
		}
	}
}

// Blobs by hand: the header of OGC 12-128 clause 2.1.3, both byte orders, an
// envelope, heights and measures, the older marks of heights.
func TestGeometryByHand(t *testing.T) {
	for _, tt := range []struct{ blob, want string }{
		{"4750000100000000 0101000000 0000000000000840 0000000000001040", "[3 4]"},
		{"4750000000000000 0000000001 4008000000000000 4010000000000000", "[3 4]"},
		{"4750000300000000" + strings.Repeat("00", 32) + "0101000000 0000000000000840 0000000000001040", "[3 4]"},
		{"4750000100000000 01E9030000 0000000000000840 0000000000001040 0000000000001440", "[3 4 5]"},
		{"4750000100000000 0101000080 0000000000000840 0000000000001040 0000000000001440", "[3 4 5]"},
		{"4750000100000000 01B90B0000 0000000000000840 0000000000001040 0000000000001440 0000000000001440", "[3 4 5]"},
		{"4750000100000000 01D1070000 0000000000000840 0000000000001040 0000000000001440", "[3 4]"},
		{"4750001100000000 0102000000 00000000", "[]"},
		{"4750001100000000 0101000000 000000000000F87F 000000000000F87F", "[]"},
		{"4750000100000000 0102000000 FFFFFFFF", "the geometry is cut off"},
		{"4750000100000000 0101000000 0000000000000840 0000000000001040 00", "1 bytes stand behind the geometry"},
		{"4750002100000000 00", "the geometry is of an extended type, which is not read"},
		{"4750000100000000 0104000000 01000000 0102000000 00000000", "a line stands in a geometry of type 4"},
		{"4750000100000000 0163000000", "there is no geometry type 99"},
	} {
		b, err := hex.DecodeString(strings.ReplaceAll(tt.blob, " ", ""))
		if err != nil {
			t.Fatal(err)
		}
		d := decoder{b: b, room: 100, nesting: 4}
		g, err := d.blob()
		got := fmt.Sprint(err)
		if err == nil {
			got = fmt.Sprint(g.FlatCoords())
		}
		if got != tt.want {
			t.Errorf("%s: %s, want %s", tt.blob, got, tt.want)
		}
	}
}

func TestCaps(t *testing.T) {
	l := schema.DefaultLimits()
	l.InputMaxFeatures, l.InputMaxVertices = 2, 5
	for n, want := range map[int]string{3: "input_max_", 1: ""} {
		p := &schema.Plan{Features: randplan.New(11, randplan.Options{Features: 12}).Features[:n]}
		for _, f := range p.Features {
			f.Geometry = nil
		}
		_, _, err := Read(written(t, p), wire.ReadOptions{Limits: l})
		if (err == nil) != (want == "") || err != nil && !strings.Contains(err.Error(), want) {
			t.Errorf("%d features: %v", n, err)
		}
	}
	_, _, err := Read(written(t, randplan.Field(1, 8)), wire.ReadOptions{Limits: l})
	if err == nil || !strings.Contains(err.Error(), "input_max_vertices") {
		t.Error(err)
	}
}

// beside is a GeoPackage of one layer with all that the reader looks at beside it:
// remarks, styles, metadata, a count and a box that are not those of the layer, a
// table that draws, and one that is listed as tiles.
func beside(t testing.TB) []byte {
	t.Helper()
	text, number := sqlite.String, sqlite.Int
	row := func(id int64, v ...sqlite.Value) sqlite.Row { return sqlite.Row{ID: id, Values: v} }
	db := sqlite.NewWriter()
	db.Application, db.User = applicationID, userVersion
	writeSystems(db, srsRow{id: 25832, name: "DHDN", org: "EPSG", code: 25832, definition: "x"})
	db.Table("gpkg_contents", "CREATE TABLE gpkg_contents (table_name TEXT, data_type TEXT, identifier TEXT, description TEXT, last_change DATETIME, min_x DOUBLE, min_y DOUBLE, max_x DOUBLE, max_y DOUBLE, srs_id INTEGER)", []sqlite.Row{
		row(1, text("lawns"), text("features"), text("lawns"), text("never mow"), text(""), number(0), number(0), number(5000), number(4), number(25832)),
		row(2, text("map"), text("tiles"), text("map"), text("of the pond"), text(""), number(0), number(0), number(1), number(1), number(25832))})
	db.Table("gpkg_geometry_columns", "CREATE TABLE gpkg_geometry_columns (table_name TEXT, column_name TEXT, geometry_type_name TEXT, srs_id INTEGER, z TINYINT, m TINYINT)", []sqlite.Row{
		row(1, text("lawns"), text("geom"), text("POINT"), number(25832), number(0), number(0))})
	point := sqlite.Bytes([]byte("GP\x00\x01\x00\x00\x00\x00\x01\x01\x00\x00\x00\x00\x00\x00\x00\x00\x00\x08\x40\x00\x00\x00\x00\x00\x00\x10\x40"))
	db.Table("lawns", "CREATE TABLE lawns (fid INTEGER PRIMARY KEY, geom POINT, role TEXT)", []sqlite.Row{row(5, sqlite.Value{}, point, text("mark"))})
	db.Table("remarks", "CREATE TABLE remarks (id INTEGER PRIMARY KEY, text TEXT)", []sqlite.Row{row(1, sqlite.Value{}, text("sinkhole here"))})
	db.Table("holes", "CREATE TABLE holes (x DOUBLE, y DOUBLE)", []sqlite.Row{row(1, number(3), number(4))})
	db.Table("layer_styles", "CREATE TABLE layer_styles (f_table_name TEXT, styleName TEXT, styleQML TEXT, styleSLD TEXT, description TEXT)", []sqlite.Row{
		row(1, text("lawns"), text("superseded"), text(`<style><rule label="closed lawn"/></style>`), text("<sld><Title>old lawns</Title></sld>"), text("by hand"))})
	db.Table("gpkg_ogr_contents", "CREATE TABLE gpkg_ogr_contents (table_name TEXT, feature_count INTEGER)", []sqlite.Row{row(1, text("lawns"), number(2))})
	writeMetadata(db, schema.Attributes{{Key: "note", Value: schema.String("provisional")}})
	var b bytes.Buffer
	if _, err := db.WriteTo(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// TestSeedBeside: the seed of the fuzz target says what its reader looks at.
func TestSeedBeside(t *testing.T) {
	p, warnings, err := Read(beside(t), wire.ReadOptions{Name: "a.gpkg"})
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, b := range p.Beside {
		got = append(got, b.Text)
	}
	for _, w := range warnings {
		got = append(got, w.Kind)
	}
	for _, want := range strings.Split("sinkhole here|closed lawn|old lawns|superseded|by hand|table-drawn|layer-left-out|box-wide|count-differs|srs-contradicts", "|") {
		if !slices.Contains(got, want) {
			t.Errorf("%s is not among %q", want, got)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add(beside(f))
	for seed := uint64(0); seed < 4; seed++ {
		f.Add(written(f, randplan.New(seed, randplan.Options{Features: 3})))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		randplan.Trial(t, data, Read, Write)
	})
}

func FuzzGeometry(f *testing.F) {
	f.Add([]byte("GP\x00\x01\x00\x00\x00\x00\x01\x01\x00\x00\x00\x00\x00\x00\x00\x00\x00\x08\x40\x00\x00\x00\x00\x00\x00\x10\x40"))
	f.Fuzz(func(t *testing.T, data []byte) {
		d := decoder{b: data, room: 1e6, nesting: 8}
		g, err := d.blob()
		if err != nil || finite(g) != nil {
			return
		}
		e := noExtent()
		if _, err := encode(g, 0, &e); err != nil {
			t.Fatal(err)
		}
	})
}

// TestHeardBesideTheLayers: texts of tables that are no layers, of styles and of
// metadata are kept for the rules; empty tables and plain styles say nothing.
func TestHeardBesideTheLayers(t *testing.T) {
	styles := "CREATE TABLE layer_styles (f_table_name TEXT, styleName TEXT, styleQML TEXT, styleSLD TEXT, description TEXT); INSERT INTO layer_styles VALUES "
	for _, x := range []struct{ sql, want string }{
		{"CREATE TABLE remarks (id INTEGER PRIMARY KEY, text TEXT); INSERT INTO remarks VALUES (1, 'sinkhole here');", "sinkhole here|remarks"},
		{"CREATE TABLE remarks (id INTEGER PRIMARY KEY, text TEXT);", ""},
		{styles + "('lawns', 'lawns', '<style><rule label=\"closed lawn\"/></style>', NULL, 'Tue Mar 3 10:11:12 2026');", "closed lawn"},
		{styles + "('lawns', 'lawns', '<style><symbol name=\"0\"/></style>', NULL, '');", ""},
		{styles + "('lawns', 'superseded', NULL, '<sld><Title>old lawns</Title></sld>', 'never mow');", "superseded|old lawns|never mow"},
	} {
		sql := layerSQL("lawns", 25832) + "INSERT INTO lawns VALUES (5, " + pointBlob + ", 'a', 1, 12.5, NULL, 'mark');"
		p, _, err := Read(foreign(t, sql+x.sql), wire.ReadOptions{Name: "a.gpkg"})
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, b := range p.Beside {
			got = append(got, b.Text)
		}
		if strings.Join(got, "|") != x.want {
			t.Errorf("%s: %q", x.sql, got)
		}
	}
}

// TestBeyondTheLayers: boxes, counts of rows and systems that say another thing
// than what is read are told, and those that agree are not.
func TestBeyondTheLayers(t *testing.T) {
	count := "CREATE TABLE gpkg_ogr_contents (table_name TEXT PRIMARY KEY, feature_count INTEGER); INSERT INTO gpkg_ogr_contents VALUES ('lawns', "
	for _, x := range []struct{ sql, want string }{
		{count + "1);", ""},
		{count + "2);", "count-differs"},
		{count + "NULL);", ""},
		{"UPDATE gpkg_contents SET min_x = 2.5, min_y = 3.5, max_x = 102.9, max_y = 4.5;", ""},
		{"UPDATE gpkg_contents SET min_x = 2.5, min_y = 3.5, max_x = 103.1, max_y = 4.5;", "box-wide"},
		{"UPDATE gpkg_contents SET min_x = 0, min_y = 0, max_x = 0, max_y = 0;", ""},
		{"UPDATE gpkg_spatial_ref_sys SET srs_name = 'ETRS89 / UTM zone 32N';", ""},
		{"UPDATE gpkg_spatial_ref_sys SET srs_name = 'DHDN';", "srs-contradicts"},
	} {
		sql := layerSQL("lawns", 25832) + "INSERT INTO lawns VALUES (5, " + pointBlob + ", 'a', 1, 12.5, NULL, 'mark');"
		_, warnings, err := Read(foreign(t, sql+x.sql), wire.ReadOptions{Name: "a.gpkg"})
		if err != nil {
			t.Fatal(err)
		}
		var kinds []string
		for _, w := range warnings {
			if kinds = append(kinds, w.Kind); !w.Unheard() && !w.Ground() {
				t.Errorf("%s is passed over", w.Kind)
			}
		}
		if got := strings.Join(kinds, " "); got != x.want {
			t.Errorf("%s: %s", x.sql, got)
		}
	}
}

// TestSystemContradicts: a step to WGS 84 is told of systems on WGS 84 and ETRS89
// alone, and a step of nothing of none.
func TestSystemContradicts(t *testing.T) {
	const wgs = `GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563]%s],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433],AUTHORITY["EPSG","4326"]]`
	for _, x := range []struct{ name, wkt, want string }{
		{"WGS 84 geodetic", strings.Replace(wgs, "%s", "", 1), ""},
		{"WGS 84 geodetic", strings.Replace(wgs, "%s", ",TOWGS84[0,0,0,0,0,0,0]", 1), ""},
		{"WGS 84 geodetic", strings.Replace(wgs, "%s", ",TOWGS84[100,50,20,0,0,0,0]", 1), "TOWGS84[100"},
		{"WGS 84 geodetic", strings.Replace(strings.Replace(wgs, "%s", "", 1), `"Greenwich",0`, `"Local",0.00003`, 1), "does not fit"},
		{"DHDN", strings.Replace(wgs, "%s", "", 1), `called "DHDN"`},
		{"", "undefined", ""},
		{"our grid", "", ""},
	} {
		if got := systemContradicts("EPSG:4326", x.name, x.wkt); (x.want == "") != (got == "") || !strings.Contains(got, x.want) {
			t.Errorf("%q %s: %q", x.name, x.wkt, got)
		}
	}
}

// TestLayerTakenOutOfItsSystem: a layer of ours that another hand says to be in no known
// system is told, and one in the system that it was written in is not.
func TestLayerTakenOutOfItsSystem(t *testing.T) {
	program, err := exec.LookPath("sqlite3")
	if err != nil {
		t.Skip("there is no sqlite3 program here")
	}
	p := randplan.New(9, randplan.Options{Features: 3, Plain: true})
	p.CRS = crs.WGS84()
	for _, srs := range []string{"srs_id", "-1", "0"} {
		path := filepath.Join(t.TempDir(), "a.gpkg")
		if err := os.WriteFile(path, written(t, p), 0o644); err != nil {
			t.Fatal(err)
		}
		sql := "UPDATE gpkg_contents SET srs_id = " + srs + "; UPDATE gpkg_geometry_columns SET srs_id = " + srs + ";"
		if out, err := exec.Command(program, path, sql).CombinedOutput(); err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		_, warnings, err := Read(data, wire.ReadOptions{Name: "a.gpkg"})
		if err != nil {
			t.Fatal(err)
		}
		told := slices.ContainsFunc(warnings, func(w wire.Warning) bool { return w.Kind == "crs-of-part" && w.Ground() })
		if told != (srs != "srs_id") {
			t.Errorf("srs_id %s: %v", srs, warnings)
		}
	}
}
