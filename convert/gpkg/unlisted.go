// Tables that the file lists as no layer, and that hold what is drawn.

package gpkg

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"

	"swardline/convert/gpkg/sqlite"
	"swardline/convert/wire"
	"swardline/schema"
)

// systemTables are beginnings of tables that say nothing of the ground: the
// standard's, those of SQLite and of its spatial index, and styles.
var systemTables = [...]string{"gpkg_", "sqlite_", "rtree_", "layer_styles"}

// placeColumns are pairs of columns that give a place, folded (common practice,
// no source).
var placeColumns = strings.Fields("x/y lon/lat lng/lat long/lat longitude/latitude east/north easting/northing e/n xcoord/ycoord coordx/coordy pointx/pointy posx/posy utme/utmn" +
	" rechtswert/hochwert rechts/hoch ostwert/nordwert ost/nord rw/hw länge/breite laenge/breite este/norte est/nord lambda/phi lam/phi")

// placeAsides are endings of such names that say only in what they count.
var placeAsides = strings.Fields("wgs84 etrs89 deg dd dec m utm gps")

// placeColumn is a column's name without what stands beside its word.
func placeColumn(name string) string {
	name = strings.NewReplacer("_", "", " ", "", "-", "", "(", "", ")", "").Replace(strings.ToLower(name))
	for _, aside := range placeAsides {
		if rest := strings.TrimSuffix(name, aside); rest != "" {
			name = rest
		}
	}
	return name
}

// isGeometry reports whether a value is a geometry: with the header of a
// GeoPackage, as well-known binary alone, or in a text.
func isGeometry(v sqlite.Value) bool {
	switch v.Kind {
	case sqlite.Blob:
		d := decoder{b: v.Bytes, room: 1e9, nesting: 8}
		if len(v.Bytes) >= 8 && v.Bytes[0] == 'G' && v.Bytes[1] == 'P' {
			g, err := d.blob()
			return err != nil || !g.Empty() // curves are drawn too
		}
		g, err := d.geometry(0)
		return err == nil && len(d.b) == 0 && !g.Empty()
	case sqlite.Text:
		return schema.DrawnInText(v.Text()) || wire.PlaceInText(v.Bytes)
	}
	return false
}

// placeNamed reports whether a column's name says that it holds a place, and
// twoNumbers whether a text is two or three numbers with decimals.
func placeNamed(name string) bool {
	name = strings.ToLower(name)
	return slices.ContainsFunc([]string{"pos", "coord", "koord", "latlon", "lonlat", "location", "lage"}, func(word string) bool { return strings.Contains(name, word) })
}

func twoNumbers(text string) bool {
	fields := strings.FieldsFunc(text, func(c rune) bool { return strings.ContainsRune(" ,;/()[]", c) })
	for _, f := range fields {
		if _, ok := wire.ParseFloat([]byte(f)); !ok || !strings.Contains(f, ".") {
			return false
		}
	}
	return len(fields) == 2 || len(fields) == 3
}

// errFound ends the walk through a table.
var errFound = errors.New("found")

// drawnIn finds the first thing that a table draws, in words; "" for none.
func (r *reader) drawnIn(t *sqlite.Table) string {
	x, y := -1, -1
	columns := map[string]int{}
	for i, c := range t.Columns {
		columns[placeColumn(c.Name)] = i
	}
	for _, pair := range placeColumns {
		east, north, _ := strings.Cut(pair, "/")
		i, ok := columns[east]
		if k, too := columns[north]; ok && too && x < 0 {
			x, y = i, k
		}
	}
	found := ""
	err := r.db.Rows(t, func(rowid int64, row []sqlite.Value) error {
		for i, v := range row {
			if isGeometry(v) || v.Kind == sqlite.Text && placeNamed(t.Columns[i].Name) && twoNumbers(v.Text()) {
				found = fmt.Sprintf("a geometry in the column %q of row %d", t.Columns[i].Name, rowid)
				return errFound
			}
		}
		if x >= 0 && y >= 0 && isNumber(row[x]) && isNumber(row[y]) {
			found = fmt.Sprintf("a place in the columns %q and %q of row %d", t.Columns[x].Name, t.Columns[y].Name, rowid)
			return errFound
		}
		return nil
	})
	if err != nil && found == "" && (x >= 0 || slices.ContainsFunc(t.Columns, mayBeDrawn)) {
		found = fmt.Sprintf("columns for a place or a geometry, which could not be looked at (%v)", err)
	}
	return found
}

// mayBeDrawn reports whether a column's name is one of a geometry's.
func mayBeDrawn(c sqlite.Column) bool {
	name := strings.ToLower(c.Name)
	return slices.ContainsFunc([]string{"geom", "shape", "wkt", "coord", "outline"}, func(word string) bool { return strings.Contains(name, word) })
}

func isNumber(v sqlite.Value) bool {
	if v.Kind == sqlite.Text {
		_, ok := wire.ParseFloat(bytes.TrimSpace(v.Bytes))
		return ok
	}
	return v.Kind == sqlite.Integer || v.Kind == sqlite.Real
}

// unlisted tells of tables that are no layer and draw something all the same.
func (r *reader) unlisted(layers []*contents) {
	read := map[string]bool{}
	for _, l := range layers {
		read[strings.ToLower(l.table)] = true
	}
	for _, t := range r.db.Tables() {
		name := strings.ToLower(t.Name)
		system := false
		for _, start := range systemTables {
			system = system || strings.HasPrefix(name, start)
		}
		if system || read[name] {
			continue
		}
		if what := r.drawnIn(t); what != "" {
			r.t.Add("table-drawn", 0, t.Name, "the table %q was not read, because the file lists it as no layer of features, and it holds %s: save it as a layer of features, or take it out of the file",
				wire.Clip([]byte(t.Name), 60), what)
			continue
		}
		r.hearTable(t)
	}
}
