// Shapefiles: random plans there and back, shapes written down by hand from the
// description, tables of other writers, damage, caps, any bytes.

package shapefile

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
	"swardline/testdata/randplan"
)

func written(t testing.TB, p *schema.Plan) ([]byte, []wire.Loss) {
	t.Helper()
	var b bytes.Buffer
	losses, err := Write(&b, p, wire.WriteOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return b.Bytes(), losses
}

// single gives what a multi geometry of one part reads back as.
func single(g geom.T) geom.T {
	switch g := g.(type) {
	case *geom.MultiLineString:
		if g.NumLineStrings() == 1 {
			return geom.NewLineStringFlat(g.Layout(), g.FlatCoords())
		}
	case *geom.MultiPolygon:
		if g.NumPolygons() == 1 {
			return geom.NewPolygonFlat(g.Layout(), g.FlatCoords(), g.Endss()[0])
		}
	case *geom.LinearRing:
		return geom.NewLineStringFlat(g.Layout(), g.FlatCoords())
	}
	return g
}

// TestRandomPlans: every record comes back with its geometry, role, name and
// id, bit for bit; what differs is in the losses.
func TestRandomPlans(t *testing.T) {
	seeds := uint64(400)
	if !randplan.Long() {
		seeds = 60
	}
	records := 0
	for seed := uint64(0); seed < seeds; seed++ {
		p := randplan.New(seed, randplan.Options{})
		data, losses := written(t, p)
		back, warnings, err := Read(data, wire.ReadOptions{Name: "a.zip"})
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		if len(warnings) > 0 {
			t.Fatalf("seed %d: %+v", seed, warnings)
		}
		if back.Name != p.Name || back.Epoch != p.Epoch || !back.CRS.Equal(p.CRS) || !back.Attributes.Equal(p.Attributes) {
			t.Fatalf("seed %d: the plan's own: %q %v %v %s", seed, back.Name, back.Epoch, back.CRS, back.Attributes.AppendJSON(nil))
		}
		var tally wire.Tally
		order, items, err := sorted(p, &tally)
		if err != nil {
			t.Fatal(err)
		}
		i := 0
		lossless := len(losses) == 0
		for _, k := range order {
			for _, it := range items[k] {
				records++
				got := back.Features[i]
				i++
				want := *it.f
				want.Geometry = it.g
				if it.g != nil {
					want.Geometry = single(it.g)
					if !hasHeight(it.g) {
						want.Geometry = flattened(want.Geometry)
					}
				}
				if !lossless {
					want.Attributes, got.Attributes = nil, nil
					want.Name = strings.TrimRight(cutText(strings.ReplaceAll(want.Name, "\x00", ""), maxText), " ")
					want.ID, got.ID = schema.String(want.ID.Text()), schema.String(got.ID.Text())
					if strings.ContainsAny(want.ID.Text(), "eE.") || strings.HasSuffix(want.ID.Text(), " ") {
						want.ID, got.ID = schema.Value{}, schema.Value{} // other digits, or a space at the end
					}
				}
				a := &schema.Plan{CRS: p.CRS, Source: schema.Source{Winding: schema.WindingStandard}, Features: []*schema.Feature{&want}}
				b := &schema.Plan{CRS: p.CRS, Source: schema.Source{Winding: schema.WindingStandard}, Features: []*schema.Feature{got}}
				if err := schema.Same(a, b, 0); err != nil {
					t.Fatalf("seed %d, record %d of %s: %v\n%+v", seed, i, got.Source.Path, err, losses)
				}
			}
		}
		if i != len(back.Features) {
			t.Fatalf("seed %d: %d records, %d features", seed, i, len(back.Features))
		}
		again, _ := written(t, p)
		if !bytes.Equal(data, again) {
			t.Fatalf("seed %d: two runs give different bytes", seed)
		}
	}
	if records < 100 {
		t.Fatalf("only %d records were tried", records)
	}
}

// TestOwnPropertiesSurvive: what a technician sets comes back under its whole
// name, although the field's is cut.
func TestOwnPropertiesSurvive(t *testing.T) {
	zone := &schema.Feature{ID: schema.String("z1"), Role: schema.RoleZone, Name: "Wiese für Bälle", Geometry: geom.NewPolygonFlat(geom.XYZ,
		[]float64{0, 0, 1, 10, 0, 2, 10, 10, 3, 0, 0, 1, 6, 1, 1, 6, 3, 1, 8, 3, 1, 6, 1, 1}, []int{12, 24}),
		Attributes: schema.Attributes{{Key: "heading_deg", Value: schema.Float(12.5)}, {Key: "cut_mm", Value: schema.Int(30)}, {Key: "active", Value: schema.Bool(false)},
			{Key: "antenna_height_m", Value: schema.Float(1.25)}, {Key: "heading_degrees", Value: schema.Int(7)}, {Key: "limits", Value: schema.Object(schema.Attributes{{Key: "slope_max_percent", Value: schema.Int(20)}})}}}
	utm, err := crs.Parse("EPSG:25832")
	if err != nil {
		t.Fatal(err)
	}
	p := &schema.Plan{Name: "Park", CRS: utm, Epoch: 2024.5, Source: schema.Source{Winding: schema.WindingStandard}, Features: []*schema.Feature{zone}}
	data, losses := written(t, p)
	if len(losses) != 1 || losses[0].Kind != "field-name" || losses[0].Count != 3 {
		t.Errorf("%+v", losses)
	}
	back, warnings, err := Read(data, wire.ReadOptions{Name: "a.zip"})
	if err != nil || len(warnings) > 0 {
		t.Fatal(err, warnings)
	}
	if err := schema.Same(p, back, 0); err != nil {
		t.Error(err)
	}
}

// TestShellsAreWrittenClockwise looks at the bytes: the description has shells
// run clockwise and holes against them, whatever the plan's winding.
func TestShellsAreWrittenClockwise(t *testing.T) {
	shell, hole := []float64{0, 0, 10, 0, 10, 10, 0, 10, 0, 0}, []float64{2, 2, 2, 4, 4, 4, 4, 2, 2, 2}
	for _, turned := range []bool{false, true} {
		flat := append(append([]float64(nil), shell...), hole...)
		if turned {
			schema.ReverseRing(flat[:10], 2)
			schema.ReverseRing(flat[10:], 2)
		}
		f := &schema.Feature{Role: schema.RoleZone, Geometry: geom.NewPolygonFlat(geom.XY, flat, []int{10, 20})}
		var tally wire.Tally
		order, items, err := sorted(&schema.Plan{Features: []*schema.Feature{f}}, &tally)
		if err != nil {
			t.Fatal(err)
		}
		b, _, err := geometryFiles(order[0], items[order[0]])
		if err != nil {
			t.Fatal(err)
		}
		// Behind the headers of file and record: type, box, two counts, two
		// starts.
		points := make([]float64, 20)
		for i := range points {
			points[i] = math.Float64frombits(binary.LittleEndian.Uint64(b[headerSize+8+4+32+8+8+8*i:]))
		}
		if a, h := schema.TwiceArea(points[:10], 2), schema.TwiceArea(points[10:], 2); a != -200 || h != 8 {
			t.Errorf("turned %v: shell %v, hole %v: %v", turned, a, h, points)
		}
	}
}

// record makes a record of a .shp by hand; the description's tables give the
// order of its numbers.
func record(n int, parts ...any) []byte {
	var c []byte
	le := binary.LittleEndian
	for _, p := range parts {
		switch p := p.(type) {
		case int:
			c = le.AppendUint32(c, uint32(p))
		case float64:
			c = le.AppendUint64(c, math.Float64bits(p))
		}
	}
	return append(binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, uint32(n)), uint32(len(c)/2)), c...)
}

func shp(shape int, records ...[]byte) []byte {
	b := make([]byte, headerSize)
	for _, r := range records {
		b = append(b, r...)
	}
	binary.BigEndian.PutUint32(b, fileCode)
	binary.BigEndian.PutUint32(b[24:], uint32(len(b)/2))
	binary.LittleEndian.PutUint32(b[28:], version)
	binary.LittleEndian.PutUint32(b[32:], uint32(shape))
	return b
}

func floats(parts ...any) []any {
	var out []any
	for _, p := range parts {
		switch p := p.(type) {
		case []float64:
			for _, v := range p {
				out = append(out, v)
			}
		default:
			out = append(out, p)
		}
	}
	return out
}

func TestShapesByHand(t *testing.T) {
	outer := []float64{0, 0, 0, 10, 10, 10, 10, 0, 0, 0}          // clockwise
	hole := []float64{2, 2, 4, 2, 4, 4, 2, 4, 2, 2}               // anticlockwise
	island := []float64{20, 0, 20, 5, 25, 5, 25, 0, 20, 0}        // clockwise
	inHole := []float64{2.5, 2.5, 2.5, 3, 3, 3, 3, 2.5, 2.5, 2.5} // clockwise
	bb := []float64{0, 0, 25, 10}
	none := -1e39
	for _, tt := range []struct {
		name string
		rec  []byte
		want string
		kind string // of the only warning
	}{
		{"null", record(1, 0), "<nil>", ""},
		{"point", record(1, 1, 3.0, 4.0), "POINT [3 4] []", ""},
		{"point with M", record(1, 21, 3.0, 4.0, 7.0), "POINT [3 4] []", "measure"},
		{"point with no M", record(1, 21, 3.0, 4.0, none), "POINT [3 4] []", ""},
		{"point with Z", record(1, 11, 3.0, 4.0, 5.0, none), "POINT [3 4 5] []", ""},
		{"point with Z 0", record(1, 11, 3.0, 4.0, 0.0, none), "POINT [3 4] []", "heights-zero"},
		{"points", record(1, floats(8, bb, 2, []float64{1, 2, 3, 4})...), "MULTIPOINT [1 2 3 4] [2 4]", ""},
		{"points with Z", record(1, floats(18, bb, 2, []float64{1, 2, 3, 4, 5, 6, 5, 6})...), "MULTIPOINT [1 2 5 3 4 6] [3 6]", ""},
		{"line", record(1, floats(3, bb, 1, 2, 0, []float64{1, 2, 3, 4})...), "LINESTRING [1 2 3 4] []", ""},
		{"lines", record(1, floats(3, bb, 2, 4, 0, 2, []float64{1, 2, 3, 4, 5, 6, 7, 8})...), "MULTILINESTRING [1 2 3 4 5 6 7 8] [4 8]", ""},
		{"line with Z and M", record(1, floats(13, bb, 1, 2, 0, []float64{1, 2, 3, 4, 5, 6, 5, none, 0, 1, 0, 1})...), "LINESTRING [1 2 5 3 4 NaN] []", "measure"},
		{"line with M", record(1, floats(23, bb, 1, 2, 0, []float64{1, 2, 3, 4, 0, 1, 0, 1})...), "LINESTRING [1 2 3 4] []", "measure"},
		{"polygon", record(1, floats(5, bb, 1, 5, 0, outer)...), "POLYGON [0 0 10 0 10 10 0 10 0 0] [10]", ""},
		{"polygon, hole first", record(1, floats(5, bb, 2, 10, 0, 5, hole, outer)...), "POLYGON [0 0 10 0 10 10 0 10 0 0 2 2 2 4 4 4 4 2 2 2] [10 20]", ""},
		{"two shells, a hole between them", record(1, floats(5, bb, 3, 15, 0, 5, 10, outer, island, hole)...),
			"MULTIPOLYGON [0 0 10 0 10 10 0 10 0 0 2 2 2 4 4 4 4 2 2 2 20 0 25 0 25 5 20 5 20 0] [[10 20] [30]]", ""},
		{"an island in a hole", record(1, floats(5, bb, 3, 15, 0, 5, 10, outer, hole, inHole)...),
			"MULTIPOLYGON [0 0 10 0 10 10 0 10 0 0 2 2 2 4 4 4 4 2 2 2 2.5 2.5 3 2.5 3 3 2.5 3 2.5 2.5] [[10 20] [30]]", ""},
		{"all the wrong way", record(1, floats(5, bb, 1, 5, 0, hole)...), "POLYGON [2 2 2 4 4 4 4 2 2 2] [10]", "ring-direction"},
		{"a hole outside", record(1, floats(5, bb, 2, 10, 0, 5, island, hole)...), "MULTIPOLYGON [20 0 25 0 25 5 20 5 20 0 2 2 2 4 4 4 4 2 2 2] [[10] [20]]", "hole-without-shell"},
		{"a hole that runs like a shell", record(1, floats(5, bb, 2, 10, 0, 5, outer, inHole)...), "MULTIPOLYGON [0 0 10 0 10 10 0 10 0 0 2.5 2.5 3 2.5 3 3 2.5 3 2.5 2.5] [[10] [20]]", "shell-inside-shell"},
		{"a fan", record(1, floats(31, bb, 1, 4, 0, 1, []float64{0, 0, 0, 1, 1, 1, 1, 0, 5, 5, 5, 5, 5, 5})...), "MULTIPOLYGON [0 0 5 1 1 5 0 1 5 0 0 5 0 0 5 1 0 5 1 1 5 0 0 5] [[12] [24]]", ""},
	} {
		p, warnings, err := Read(shp(1, tt.rec), wire.ReadOptions{Name: "-"})
		if err != nil || len(p.Features) != 1 {
			t.Errorf("%s: %v", tt.name, err)
			continue
		}
		got := "<nil>"
		switch g := p.Features[0].Geometry.(type) {
		case nil:
		case *geom.MultiPolygon:
			got = fmt.Sprintf("MULTIPOLYGON %v %v", g.FlatCoords(), g.Endss())
		default:
			word := strings.ToUpper(strings.TrimPrefix(fmt.Sprintf("%T", g), "*geom."))
			got = fmt.Sprintf("%s %v %v", word, g.FlatCoords(), g.Ends())
		}
		if got != tt.want {
			t.Errorf("%s:\n%s, want\n%s", tt.name, got, tt.want)
		}
		var kinds []string
		for _, w := range warnings {
			if w.Kind != "table-missing" && w.Kind != "prj-missing" {
				kinds = append(kinds, w.Kind)
			}
			if w.Ground() != (w.Kind == "hole-without-shell" || w.Kind == "shell-inside-shell") {
				t.Errorf("%s: %s: ground %v", tt.name, w.Kind, w.Ground())
			}
		}
		if strings.Join(kinds, " ") != tt.kind {
			t.Errorf("%s: %v, want %q", tt.name, kinds, tt.kind)
		}
	}
}

// dbf makes a table by hand: fields as "NAME:C:5:0", rows as their bytes.
func dbf(language byte, fields []string, rows ...string) []byte {
	b := make([]byte, 32)
	size := 1
	for _, f := range fields {
		var name string
		var kind byte
		var n, d int
		parts := strings.Split(f, ":")
		name, kind = parts[0], parts[1][0]
		fmt.Sscan(parts[2], &n)
		fmt.Sscan(parts[3], &d)
		var x [32]byte
		copy(x[:11], name)
		x[11], x[16], x[17] = kind, byte(n), byte(d)
		b = append(b, x[:]...)
		size += n
	}
	b = append(b, 0x0d)
	b[0], b[29] = 3, language
	binary.LittleEndian.PutUint32(b[4:], uint32(len(rows)))
	binary.LittleEndian.PutUint16(b[8:], uint16(len(b)))
	binary.LittleEndian.PutUint16(b[10:], uint16(size))
	for _, r := range rows {
		b = append(b, r...)
	}
	return append(b, 0x1a)
}

func zipped(files ...any) []byte {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for i := 0; i < len(files); i += 2 {
		w, _ := z.Create(files[i].(string))
		switch c := files[i+1].(type) {
		case string:
			_, _ = w.Write([]byte(c))
		case []byte:
			_, _ = w.Write(c)
		}
	}
	_ = z.Close()
	return b.Bytes()
}

func point(n int) []byte { return record(n, 1, float64(n), 50.0) }

func TestTables(t *testing.T) {
	fields := []string{"NAME:C:6:0", "AREA:N:8:2", "OPEN:L:1:0", "SINCE:D:8:0", "NOTE:M:10:0"}
	points := shp(1, point(1), point(2), point(3))
	data := zipped("Lawns.SHP", points, "lawns.dbf", dbf(0x57, fields, " Gr\xe4s     12.50T20240531          ", "*gone      1.00F                  ", " B     ********?00000000        12"),
		"lawns.prj", `GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]]`, "lawns.sbn", "x")
	p, warnings, err := Read(data, wire.ReadOptions{Name: "a.zip"})
	if err != nil {
		t.Fatal(err)
	}
	var kinds []string
	for _, w := range warnings {
		kinds = append(kinds, fmt.Sprintf("%s %d", w.Kind, w.Count))
	}
	if got := strings.Join(kinds, ", "); got != "zip-entries 1, deleted-shape 1, memo 1" {
		t.Errorf("%s: %+v", got, warnings)
	}
	if len(p.Features) != 2 || p.CRS == nil || !p.CRS.Equal(crs.WGS84()) {
		t.Fatalf("%d features in %v", len(p.Features), p.CRS)
	}
	a, b := p.Features[0], p.Features[1]
	if got := string(a.Attributes.AppendJSON(nil)); a.Name != "Gräs" || got != `{"AREA":12.5,"OPEN":true,"SINCE":"2024-05-31","layer":"Lawns"}` {
		t.Errorf("%q %s", a.Name, got)
	}
	if got := string(b.Attributes.AppendJSON(nil)); b.Name != "B" || got != `{"layer":"Lawns"}` || b.Geometry.FlatCoords()[0] != 3 {
		t.Errorf("%q %s", b.Name, got)
	}
}

// TestAsterisks: a cell of asterisks is a number that was too long where the column's
// numbers come near its room, and none where they do not.
func TestAsterisks(t *testing.T) {
	for _, x := range []struct {
		field      string
		rows       []string
		want       string // what the last row has
		overflowed bool
	}{
		{"height_m:N:5:1", []string{"  9.9", "*****"}, "", false}, // up to 999.9 fit: 100 times as much
		{"height_m:N:5:1", []string{" 10.1", "*****"}, "*****", true},
		{"depth:N:4:2", []string{"1.20", "****"}, "****", true},
		{"depth:F:19:11", []string{"     1.20000000000", "*******************"}, "", false}, // as those without a value are written
		{"depth:N:3:0", []string{"***", "***"}, "", false},
		{"height_m:N:3:1", []string{"***", "***"}, "***", true},
		{"HEIGHT_M:N:3:1", []string{"***"}, "***", true},
		{"height_m:N:9:2", []string{"*********", "*********"}, "", false},
		{"height_m:N:3:1", []string{"2.5", "   "}, "", false},
		{"note:C:4:0", []string{"what", "****"}, "****", true},
	} {
		var records [][]byte
		var rows []string
		for i, row := range x.rows {
			records, rows = append(records, point(i+1)), append(rows, " "+fmt.Sprintf("%*s", width(x.field), row))
		}
		p, _, err := Read(zipped("a.shp", shp(1, records...), "a.dbf", dbf(0x57, []string{x.field}, rows...)), wire.ReadOptions{Name: "a.zip", CRS: crs.WGS84()})
		if err != nil {
			t.Fatal(err)
		}
		key, _, _ := strings.Cut(x.field, ":")
		v := p.Features[len(rows)-1].Attributes.Get(key)
		if v.Text() != x.want || (v.Kind() == schema.KindString) != x.overflowed {
			t.Errorf("%s %q: %q (%s), want %q", x.field, x.rows, v.Text(), v.Kind(), x.want)
		}
	}
}

// width is that of a field as dbf has it.
func width(field string) (n int) {
	fmt.Sscan(strings.Split(field, ":")[2], &n)
	return n
}

// TestTextsThatFill: a text as long as a field of a usual width may have been cut
// there; fields of other widths are as long as their texts.
func TestTextsThatFill(t *testing.T) {
	for _, x := range []struct{ width, text, told int }{{80, 80, 1}, {80, 79, 0}, {79, 79, 0}, {254, 254, 1}, {10, 10, 0}} {
		row := " " + strings.Repeat("a", x.text) + strings.Repeat(" ", x.width-x.text)
		files := []any{"a.shp", shp(1, point(1)), "a.dbf", dbf(0x57, []string{fmt.Sprintf("NOTE:C:%d:0", x.width)}, row)}
		for _, own := range []bool{false, true} {
			if own {
				files = append(files, planEntry, "{}")
			}
			_, warnings, err := Read(zipped(files...), wire.ReadOptions{Name: "a.zip", CRS: crs.WGS84()})
			if err != nil {
				t.Fatal(err)
			}
			told := 0
			for _, w := range warnings {
				if w.Kind == "text-full" && w.Unheard() {
					told += w.Count
				}
			}
			if want := x.told; told != want && !own || own && told != 0 {
				t.Errorf("%d of %d, own %v: told %d times", x.text, x.width, own, told)
			}
		}
	}
}

// TestUnnamedField: a field whose name is blank has its values all the same.
func TestUnnamedField(t *testing.T) {
	p, _, err := Read(zipped("a.shp", shp(1, point(1)), "a.dbf", dbf(0x57, []string{"ROLE:C:4:0", " :C:4:0"}, " zonebog ")), wire.ReadOptions{Name: "a.zip", CRS: crs.WGS84()})
	if err != nil || p.Features[0].Attributes.Get("column 2").Text() != "bog" {
		t.Errorf("%v %+v", err, p.Features[0].Attributes)
	}
}

// TestDeleted: a record that is marked as deleted is told as missing where its
// shape is still there, and not where it is gone too.
func TestDeleted(t *testing.T) {
	table := dbf(0x57, []string{"NAME:C:1:0"}, " A", "*B")
	for _, x := range []struct {
		second []byte
		kind   string
	}{
		{point(2), "deleted-shape"},
		{record(2, 0), "deleted-record"},
	} {
		p, warnings, err := Read(zipped("a.shp", shp(1, point(1), x.second), "a.dbf", table), wire.ReadOptions{Name: "a.zip", CRS: crs.WGS84()})
		if err != nil {
			t.Fatal(err)
		}
		if len(p.Features) != 1 || len(warnings) != 1 || warnings[0].Kind != x.kind || warnings[0].Ground() != (x.kind == "deleted-shape") {
			t.Errorf("%s: %d features, %+v", x.kind, len(p.Features), warnings)
		}
	}
}

// TestSystemsOfLayers: a layer whose system is only taken to be that of the
// others, or that was read in another than it says, may lie elsewhere.
func TestSystemsOfLayers(t *testing.T) {
	table := dbf(0x57, []string{"NAME:C:1:0"}, " A")
	one := shp(1, point(1))
	for _, x := range []struct {
		a, b, plan string
		told       *crs.CRS
		kind       string
		ground     bool
	}{
		{"EPSG:25832", "EPSG:25832", "", nil, "", false},
		{"EPSG:25832", "", "", nil, "prj-borrowed", true},
		{"", "EPSG:25832", "", nil, "prj-borrowed", true},
		{"", "", "", nil, "prj-missing", false},                               // the plan has no system then
		{"", "EPSG:25832", `{"crs":"EPSG:25832"}`, nil, "prj-borrowed", true}, // it had one when it was written
		{"EPSG:25832", "EPSG:25832", `{"crs":"EPSG:25832"}`, nil, "", false},
		{"", "", `{"crs":"EPSG:25832"}`, nil, "", false},
		{"", "", "", crs.WGS84(), "", false},
		{"EPSG:25832", "EPSG:25832", "", crs.WGS84(), "crs-overridden", false},
		{"EPSG:25832", "EPSG:23032", "", crs.WGS84(), "crs-second crs-overridden", true},
	} {
		_, warnings, err := Read(zipped("a.shp", one, "a.dbf", table, "a.prj", x.a, "b.shp", one, "b.dbf", table, "b.prj", x.b, planEntry, x.plan), wire.ReadOptions{Name: "a.zip", CRS: x.told})
		if x.plan == "" {
			_, warnings, err = Read(zipped("a.shp", one, "a.dbf", table, "a.prj", x.a, "b.shp", one, "b.dbf", table, "b.prj", x.b), wire.ReadOptions{Name: "a.zip", CRS: x.told})
		}
		if err != nil {
			t.Fatal(err)
		}
		var kinds []string
		ground := false
		for _, w := range warnings {
			if w.Kind != "heights-zero" {
				kinds = append(kinds, w.Kind)
			}
			ground = ground || w.Ground()
		}
		if got := strings.Join(kinds, " "); got != x.kind || ground != x.ground {
			t.Errorf("%q %q: %q, ground %v", x.a, x.b, got, ground)
		}
	}
}

// TestBesideTheLayers: what else an archive holds is told where it may draw
// something, and let be where it says nothing of the ground.
func TestBesideTheLayers(t *testing.T) {
	for _, x := range []struct{ name, content, kinds, picture string }{
		{"ponds.kml", "x", "zip-drawn", ""},
		{"survey/ponds.geojson", "x", "zip-drawn", ""},
		{"ponds.tab", "x", "zip-drawn", ""},
		{"2026-05-11.nmea", "x", "zip-drawn", ""},
		{"ponds.txt", "P1 3512345.12 5412345.34\n", "zip-drawn", ""},
		{"old/site.zip", "x", "zip-drawn", ""},
		{"ponds.dbf", "x", "table-alone", ""},
		{"README.txt", "exported on 2026-05-11", "zip-entries", ""},
		{"lawns.shp.xml", "<metadata><westbc>11.200123</westbc></metadata>", "zip-entries", ""},
		{"lawns.qmd", "x", "zip-entries", ""},
		{"__MACOSX/._lawns.shp", "\x00\x05\x16\x07", "zip-entries", ""},
		{"__MACOSX/._lawns.dbf", "x", "table-alone", ""}, // no fork, only called like one
		{"photo.png", "x", "zip-entries", ""},
		{"Pond.pdf", "x", "zip-entries", "Pond"},
		{"ortho.tfw", "0.1", "zip-entries", "ortho"},
	} {
		p, warnings, err := Read(zipped("lawns.shp", shp(1, point(1)), "lawns.dbf", dbf(0x57, []string{"NAME:C:1:0"}, " A"), x.name, x.content), wire.ReadOptions{Name: "a.zip", CRS: crs.WGS84()})
		if err != nil {
			t.Fatal(err)
		}
		drawn := x.kinds != "zip-entries"
		if len(warnings) != 1 || warnings[0].Kind != x.kinds || warnings[0].Ground() != drawn || drawn && !strings.Contains(warnings[0].Message, x.name) || strings.Join(p.Pictures, ",") != x.picture {
			t.Errorf("%s: %+v, pictures %q", x.name, warnings, p.Pictures)
		}
	}
}

// TestCutNames: the first ten letters of the plan's own properties are those
// properties, other letters are not.
func TestCutNames(t *testing.T) {
	for field, want := range map[string]string{
		"heading_de": "heading_deg", "HAZARD_KIN": "hazard_kind", "antenna_he": "antenna_height_m", "crown_base": "crown_base_m",
		"hazard_ki": "hazard_ki", "standoff_m": "standoff_m", "altitude_m": "altitude_m", "heading_da": "heading_da",
	} {
		data := zipped("a.shp", shp(1, point(1)), "a.dbf", dbf(0x57, []string{field + ":C:4:0", "ROLE:C:4:0"}, " 2.5 dock"))
		p, warnings, err := Read(data, wire.ReadOptions{Name: "a.zip"})
		if err != nil {
			t.Fatal(err)
		}
		told := false
		for _, w := range warnings {
			told = told || w.Kind == "field-cut"
		}
		if a := p.Features[0].Attributes; a[0].Key != want || a[0].Value.Text() != "2.5" || told != (want != field) {
			t.Errorf("%s: %s %v", field, a.AppendJSON(nil), warnings)
		}
	}
	data := zipped("a.shp", shp(1, point(1)), "a.dbf", dbf(0x57, []string{"hazard_kin:C:4:0", "HAZARD_KIN:C:4:0"}, " treepond"))
	p, _, err := Read(data, wire.ReadOptions{Name: "a.zip"})
	if err != nil {
		t.Fatal(err)
	}
	if got := string(p.Features[0].Attributes.AppendJSON(nil)); got != `{"hazard_kind":"tree","hazard_kind_2":"pond","layer":"a"}` {
		t.Error(got)
	}
}

func TestEncodings(t *testing.T) {
	for _, tt := range []struct {
		cpg      string
		language byte
		raw      string
		want     string
		kind     string
	}{
		{"UTF-8", 0x57, "Gräs", "Gräs", ""}, {"65001", 0, "Gräs", "Gräs", ""}, {"ISO-8859-1", 0, "Gr\xe4s", "Gräs", ""}, {"ISO 88591", 0, "Gr\xe4s", "Gräs", ""}, {"88592", 0, "\xb1", "ą", ""}, {"1252", 0, "Gr\xe4s", "Gräs", ""},
		{"ANSI 1251", 0, "\xc4", "Д", ""}, {"LDID/87", 0, "Gr\xe4s", "Gräs", ""}, {"OEM 437", 0, "Gr\x84s", "Gräs", ""}, {"CP932", 0, "\x83\x5c", "ソ", ""}, {"GBK", 0, "\xb2\xdd", "草", ""}, {"Big5", 0, "\xaf\xf3", "草", ""},
		{"", 0x02, "Gr\x84s", "Gräs", ""}, {"", 0xc9, "\xc4", "Д", ""}, {"", 0, "Gräs", "Gräs", ""}, {"", 0, "Gr\xe4s", "Gräs", "encoding"}, {"nonsense", 0, "Gr\xe4s", "Gräs", "encoding-unknown encoding"}, {"UTF-8", 0, "Gr\xe4s", "Gräs", "encoding"},
	} {
		files := []any{"a.shp", shp(1, point(1)), "a.dbf", dbf(tt.language, []string{"NAME:C:8:0"}, " "+tt.raw+strings.Repeat(" ", 8-len(tt.raw)))}
		if tt.cpg != "" {
			files = append(files, "a.cpg", tt.cpg+"\r\n")
		}
		p, warnings, err := Read(zipped(files...), wire.ReadOptions{Name: "a.zip", CRS: crs.WGS84()})
		if err != nil {
			t.Errorf("%+v: %v", tt, err)
			continue
		}
		var kinds []string
		for _, w := range warnings {
			kinds = append(kinds, w.Kind)
		}
		if p.Features[0].Name != tt.want || strings.Join(kinds, " ") != tt.kind {
			t.Errorf("%q %#x: %q, %v", tt.cpg, tt.language, p.Features[0].Name, kinds)
		}
	}
}

// TestToldEncoding: what the user says holds against the .cpg.
func TestToldEncoding(t *testing.T) {
	data := zipped("a.shp", shp(1, point(1)), "a.dbf", dbf(0x57, []string{"NAME:C:8:0"}, " Gr\x84s    "), "a.cpg", "1252")
	for name, want := range map[string]string{"": "Gr\u201es", "ibm850": "Gräs", "nonsense": "", "utf-16": ""} {
		p, _, err := Read(data, wire.ReadOptions{Name: "a.zip", CRS: crs.WGS84(), Encoding: name})
		if (err != nil) != (want == "") || err == nil && p.Features[0].Name != want {
			t.Errorf("%q: %v, %v", name, p, err)
		}
	}
}

// TestRecordsBeyond: records that neither header nor index counts are told.
func TestRecordsBeyond(t *testing.T) {
	both, one := shp(1, point(1), point(2)), shp(1, point(1))
	shorter := slices.Clone(both)
	copy(shorter[24:28], one[24:28])
	index := slices.Clone(one[:headerSize])
	index = binary.BigEndian.AppendUint32(index, headerSize/2)
	index = binary.BigEndian.AppendUint32(index, uint32(len(one)-headerSize-8)/2)
	for _, x := range []struct {
		name     string
		shp, shx []byte
		told     bool
	}{
		{"all of them", both, nil, false},
		{"one by the header", shorter, nil, true},
		{"one by the index", both, index, true},
		{"one", one, index, false},
		{"padding", append(slices.Clone(one), make([]byte, 40)...), nil, false},
	} {
		p, warnings, err := Read(zipped("a.shp", x.shp, "a.shx", x.shx, "a.dbf", dbf(0, []string{"ROLE:C:6:0"}, " mark  ")), wire.ReadOptions{Name: "a.zip", CRS: crs.WGS84()})
		if err != nil {
			t.Fatal(x.name, err)
		}
		told := false
		for _, w := range warnings {
			told = told || w.Kind == "record-beyond" && w.Ground()
		}
		if told != x.told {
			t.Errorf("%s: %d features, %+v", x.name, len(p.Features), warnings)
		}
	}
}

// TestLooseFiles: a .shp alone finds its companions, in either case of their
// endings.
func TestLooseFiles(t *testing.T) {
	dir := t.TempDir()
	put := func(name string, b []byte) {
		if err := os.WriteFile(filepath.Join(dir, name), b, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	points := shp(1, point(1), point(2))
	put("a.shp", points)
	put("a.DBF", dbf(0, []string{"ROLE:C:6:0"}, " mark  ", " zone  "))
	put("a.prj", []byte("EPSG:25832"))
	put("a.shx", []byte("no index"))
	p, warnings, err := Read(points, wire.ReadOptions{Name: filepath.Join(dir, "a.shp")})
	if err != nil || p.Features[0].Role != schema.RoleMark || p.CRS == nil || p.CRS.ID() != "EPSG:25832" {
		t.Fatal(p, err)
	}
	if len(warnings) != 1 || warnings[0].Kind != "index-damaged" {
		t.Errorf("%+v", warnings)
	}
	// What other files beside it say is heard as in an archive.
	put("a.shp.xml", []byte("<metadata><abstract>quicksand in the west</abstract></metadata>"))
	put("a.dbt", []byte{0, 1, 2})
	put("b.shp.xml", []byte("<metadata><abstract>of another</abstract></metadata>"))
	put("a.qpj", []byte("EPSG:25833"))
	p, warnings, err = Read(points, wire.ReadOptions{Name: filepath.Join(dir, "a.shp")})
	if err != nil || len(p.Beside) != 1 || p.Beside[0].Text != "quicksand in the west" || p.Beside[0].Where != "the file a.shp.xml beside it" || len(p.Unheard) != 1 {
		t.Errorf("%v %+v %v", err, p.Beside, p.Unheard)
	}
	if !slices.ContainsFunc(warnings, func(w wire.Warning) bool { return w.Kind == "prj-second" }) {
		t.Errorf("%+v", warnings)
	}
	if _, _, err := Read(points, wire.ReadOptions{Name: "a.shx"}); err == nil || !strings.Contains(err.Error(), "give the .shp beside it") {
		t.Error(err)
	}
}

// TestIndexLeadsPastHoles: the index says where records stand, and what lies
// between them is not read.
func TestIndexLeadsPastHoles(t *testing.T) {
	b := shp(1, point(1), []byte("left over from an edit "), point(2))
	index := shp(1)
	for _, at := range []int{headerSize, headerSize + 28 + 23 + 1} {
		index = binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(index, uint32(at/2)), 10)
	}
	b = append(b[:headerSize+28+23:headerSize+28+23], append([]byte{0}, b[headerSize+28+23:]...)...)
	binary.BigEndian.PutUint32(b[24:], uint32(len(b)/2))
	p, warnings, err := Read(zipped("a.shp", b, "a.shx", index), wire.ReadOptions{Name: "a.zip", CRS: crs.WGS84()})
	if err != nil || len(p.Features) != 2 || len(warnings) != 1 || warnings[0].Kind != "table-missing" {
		t.Fatal(p, warnings, err)
	}
}

func TestRefusals(t *testing.T) {
	good := shp(1, point(1))
	small := schema.DefaultLimits()
	small.InputMaxFeatures, small.InputMaxVertices, small.InputMaxInflated = 1, 3, 3000
	line := record(1, floats(3, []float64{0, 0, 1, 1}, 1, 4, 0, []float64{1, 2, 3, 4, 5, 6, 7, 8})...)
	for _, tt := range []struct {
		name   string
		data   []byte
		limits schema.Limits
		want   string
	}{
		{"empty", nil, schema.Limits{}, "x: this is neither a .shp nor a zip archive"},
		{"no layer", zipped("a.txt", "x"), schema.Limits{}, "x: the archive holds no .shp"},
		{"a table alone", zipped("a.dbf", "x"), schema.Limits{}, "x: the archive holds no .shp"},
		{"cut off", good[:len(good)-2], schema.Limits{}, "x: x: the header promises 128 bytes, the file has 126"},
		{"a record too long", shp(1, append(point(1)[:4], append([]byte{0, 0, 1, 0}, point(1)[8:]...)...)), schema.Limits{}, "x: x record 1: the file ends inside the record"},
		{"points missing", shp(3, record(1, floats(3, []float64{0, 0, 1, 1}, 1, 1000, 0)...)), schema.Limits{}, "x: x record 1: the record is shorter than its shape"},
		{"a part past the points", shp(3, record(1, floats(3, []float64{0, 0, 1, 1}, 1, 2, 5, []float64{1, 2, 3, 4})...)), schema.Limits{}, "part 1 starts at point 5 of 2"},
		{"a type that is none", shp(3, record(1, 77)), schema.Limits{}, "there is no shape type 77"},
		{"not a number", shp(1, record(1, 1, math.NaN(), 2.0)), schema.Limits{}, "point 1 is at NaN, 2"},
		{"features", shp(1, point(1), point(2)), small, "input_max_features (1)"},
		{"vertices", shp(3, line), small, "input_max_vertices (3)"},
		{"a bomb", zipped("a.shp", make([]byte, 5000)), small, "x: a.shp: the archive unpacks to more than 3000 bytes (limit input_max_inflated_bytes)"},
		{"a table cut off", zipped("a.shp", good, "a.dbf", dbf(0, []string{"A:C:5:0"}, " abcde")[:60]), schema.Limits{}, "a.dbf: the header of the table makes no sense"},
		{"a system that is none", zipped("a.shp", good, "a.prj", "PROJCS[nonsense"), schema.Limits{}, "a.prj: "},
		{"two systems", zipped("a.shp", good, "a.prj", "EPSG:25832", "b.shp", good, "b.prj", "EPSG:25833"), schema.Limits{}, "x: b.prj: the layer is in EPSG:25833, the layer a in EPSG:25832"},
	} {
		_, _, err := Read(tt.data, wire.ReadOptions{Name: "x", Limits: tt.limits})
		var in *wire.InputError
		if !errors.As(err, &in) || !strings.Contains(err.Error(), tt.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: %v, want %s", tt.name, err, tt.want)
		}
	}
}

// TestLossesOfTables: at the limit, a hair past it.
func TestLossesOfTables(t *testing.T) {
	for _, tt := range []struct {
		name  string
		value schema.Value
		key   string
		want  string
	}{
		{"254 bytes", schema.String(strings.Repeat("a", 254)), "k", ""},
		{"255 bytes", schema.String(strings.Repeat("a", 255)), "k", "text-cut 1"},
		{"254 bytes and a half letter", schema.String(strings.Repeat("a", 253) + "ä"), "k", "text-cut 1"},
		{"a list that fits", schema.List(schema.Int(1), schema.Null()), "k", ""},
		{"a list that does not", schema.List(schema.String(strings.Repeat("a", 260))), "k", "value-too-long 1"},
		{"20 digits", number("12345678901234567890"), "k", ""},
		{"21 digits", number("123456789012345678901"), "k", "value-as-text 1"},
		{"15 decimals", number("0.123456789012345"), "k", ""},
		{"16 decimals", number("0.1234567890123456"), "k", "value-as-text 1"},
		{"null", schema.Null(), "k", "value-blank 1"},
		{"empty", schema.String(""), "k", "value-blank 1"},
		{"spaces", schema.String("a "), "k", "text-trimmed 1"},
		{"10 letters", schema.Int(1), "abcdefghij", ""},
		{"11 letters", schema.Int(1), "abcdefghijk", "field-name 1"},
		{"a space", schema.Int(1), "a b", "field-name 1"},
		{"looks like a list", schema.String("[1]"), "k", "text-like-list 1"},
	} {
		f := &schema.Feature{Role: schema.RoleMark, Geometry: geom.NewPointFlat(geom.XY, []float64{1, 2}), Attributes: schema.Attributes{{Key: tt.key, Value: tt.value}}}
		data, losses := written(t, &schema.Plan{CRS: crs.WGS84(), Features: []*schema.Feature{f}})
		var kinds []string
		for _, l := range losses {
			kinds = append(kinds, fmt.Sprintf("%s %d", l.Kind, l.Count))
		}
		if got := strings.Join(kinds, ", "); got != tt.want {
			t.Errorf("%s: %q, want %q", tt.name, got, tt.want)
		}
		back, _, err := Read(data, wire.ReadOptions{Name: "x"})
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
			continue
		}
		if tt.want == "" && !back.Features[0].Attributes.Equal(f.Attributes) {
			t.Errorf("%s: comes back as %s", tt.name, back.Features[0].Attributes.AppendJSON(nil))
		}
	}
}

func number(text string) schema.Value {
	v, _ := schema.Number(text)
	return v
}

func FuzzRead(f *testing.F) {
	for seed := uint64(0); seed < 5; seed++ {
		data, _ := written(f, randplan.New(seed, randplan.Options{Features: 4}))
		f.Add(data)
	}
	f.Add(shp(1, point(1), point(2)))
	f.Add(shp(5, record(1, floats(5, []float64{0, 0, 1, 1}, 1, 4, 0, []float64{0, 0, 0, 1, 1, 1, 0, 0})...)))
	f.Add(zipped("a.shp", shp(1, point(1)), "a.prj", "EPSG:25832", "a.qpj", "EPSG:31467", "README.txt", "never mow", "a.qml", `<rule label="closed"/>`, "b.json", `{"a":"b"}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		randplan.Trial(t, data, Read, Write)
	})
}

// FuzzParts takes the files apart, past the checksums of a zip archive.
func FuzzParts(f *testing.F) {
	f.Add(shp(1, point(1)), shp(1), dbf(0, []string{"A:C:5:0", "B:N:4:1", "C:L:1:0"}, " abcde 1.5T"), "1252")
	f.Fuzz(func(t *testing.T, s, x, d []byte, cpg string) {
		_, _, err := Read(zipped("a.shp", s, "a.shx", x, "a.dbf", d, "a.cpg", cpg), wire.ReadOptions{Name: "-"})
		var in *wire.InputError
		if err != nil && !errors.As(err, &in) {
			t.Fatal(err)
		}
	})
}

// TestHoleAcross180: a hole of an outline across the 180th meridian stays one.
func TestHoleAcross180(t *testing.T) {
	outline := []float64{179.9, 0, -179.9, 0, -179.9, 1, 179.9, 1, 179.9, 0}
	for _, hole := range [][]float64{
		{179.98, 0.4, 179.98, 0.6, -179.98, 0.6, -179.98, 0.4, 179.98, 0.4},
		{-179.98, 0.4, -179.98, 0.6, -179.96, 0.6, -179.96, 0.4, -179.98, 0.4},
		{179.96, 0.4, 179.96, 0.6, 179.98, 0.6, 179.98, 0.4, 179.96, 0.4},
	} {
		flat := append(append([]float64(nil), outline...), hole...)
		p := &schema.Plan{CRS: crs.WGS84(), Features: []*schema.Feature{{Role: schema.RoleZone, Name: "Lawn", Geometry: geom.NewPolygonFlat(geom.XY, flat, []int{10, 20})}}}
		var b bytes.Buffer
		if _, err := Write(&b, p, wire.WriteOptions{}); err != nil {
			t.Fatal(err)
		}
		back, warnings, err := Read(b.Bytes(), wire.ReadOptions{Name: "a.zip"})
		if err != nil {
			t.Fatal(err)
		}
		g, ok := back.Features[0].Geometry.(*geom.Polygon)
		if !ok || !slices.Equal(g.FlatCoords(), flat) {
			t.Errorf("%v: %T %v, %v", hole, back.Features[0].Geometry, back.Features[0].Geometry.FlatCoords(), warnings)
		}
	}
}

// TestHeardBesideTheLayers: what other files of the archive say is kept for the
// rules, or that nobody read it; indexes, plain styles and system files say nothing.
func TestHeardBesideTheLayers(t *testing.T) {
	one, table := shp(1, point(1)), dbf(0x57, []string{"NAME:C:1:0"}, " A")
	const utm, other = "EPSG:25832", "EPSG:31467"
	for _, x := range []struct {
		name, text, beside string
		unheard            int
		kind               string
	}{
		{"README.txt", "Do not mow: the pond is larger", "Do not mow: the pond is larger", 0, ""},
		{"a.shp.xml", "<metadata><crs>Gauss</crs><posacc>5 m, traced</posacc></metadata>", "5 m, traced", 0, ""},
		{"a.qml", `<style><symbol name="x1"><rule filter="a" label="removed"/></symbol></style>`, "removed", 0, ""},
		{"a.qml", `<style><symbol name="x1" type="fill"><layer class="SimpleFill"/></symbol></style>`, "", 0, ""},
		{"meta.json", `{"status": ["superseded", 3]}`, "status superseded", 0, ""},
		{"remarks.docx", "PKx", "", 1, ""},
		{"a.bin", "a\x00b", "", 1, ""},
		{"a.cpg", "UTF-8", "", 0, ""},
		{"a.sbn", "\x00\x01", "", 0, ""},
		{"thumbnail.png", "\x89PNG", "", 0, ""},
		{"collapsed bank.png", "\x89PNG", "collapsed bank", 0, ""},
		{"a.qpj", utm, "", 0, ""},
		{"a.qpj", other, "", 0, "prj-second"},
		{"a.qpj", "EPSG:25833", "", 0, "prj-second"}, // of the same datum, 6 degrees on
		{"a.qpj", "EPSG:4258", "", 0, "prj-second"},
		{"a.qpj", "PROJCS[", "", 0, "prj-second"},
	} {
		p, warnings, err := Read(zipped("a.shp", one, "a.dbf", table, "a.prj", utm, x.name, x.text), wire.ReadOptions{Name: "a.zip"})
		if err != nil {
			t.Fatal(x.name, err)
		}
		got, kind := "", ""
		for _, b := range p.Beside {
			got += b.Text
		}
		for _, w := range warnings {
			if w.Kind == "prj-second" && w.Ground() {
				kind = w.Kind
			}
		}
		if got != x.beside || len(p.Unheard) != x.unheard || kind != x.kind {
			t.Errorf("%s %q: %q, %v, %s", x.name, x.text, got, p.Unheard, kind)
		}
	}
}

// TestBoxBeyond: a header whose box reaches farther than 100 m and the size of what
// is drawn tells of shapes that are missing; a hair less does not.
func TestBoxBeyond(t *testing.T) {
	for _, x := range []struct {
		beyond float64
		told   bool
	}{{0, false}, {99.9, false}, {100.1, true}, {1e7, false}} { // the last is a system's
		one := append([]byte(nil), shp(1, point(1))...)
		g := headerBox(one)
		p, _, err := Read(zipped("a.shp", string(one), "a.prj", "EPSG:25832"), wire.ReadOptions{Name: "a.zip"})
		if err != nil {
			t.Fatal(err)
		}
		at := p.Features[0].Geometry.FlatCoords()
		g.Min, g.Max = [2]float64{at[0] - 1, at[1] - 1}, [2]float64{at[0] + x.beyond, at[1] + 1}
		for i, v := range []float64{g.Min[0], g.Min[1], g.Max[0], g.Max[1]} {
			binary.LittleEndian.PutUint64(one[36+8*i:], math.Float64bits(v))
		}
		_, warnings, err := Read(zipped("a.shp", string(one), "a.prj", "EPSG:25832"), wire.ReadOptions{Name: "a.zip"})
		told := slices.ContainsFunc(warnings, func(w wire.Warning) bool { return w.Kind == "box-wide" && w.Unheard() })
		if err != nil || told != x.told {
			t.Errorf("%v beyond: %v %v", x.beyond, told, err)
		}
	}
}
