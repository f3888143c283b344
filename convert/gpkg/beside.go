// What a file says beside its layers: tables without a place, styles, metadata, how
// far layers reach and how many rows they have, and systems that contradict
// themselves.

package gpkg

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"sync"

	"swardline/convert/gpkg/sqlite"
	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

// beside keeps a text of a table.
func (r *reader) beside(table, text string) {
	if text = wire.PlainText(text); wire.SaysWords(text) {
		r.plan.AddBeside(schema.BesideText{Where: fmt.Sprintf("the table %q", wire.Clip([]byte(table), 60)), Text: text})
	}
}

// hearTable keeps the name of a table that is no layer, and the texts in it. One
// without rows says nothing.
func (r *reader) hearTable(t *sqlite.Table) {
	rows := 0
	err := r.db.Rows(t, func(_ int64, row []sqlite.Value) error {
		rows++
		for _, v := range row {
			if v.Kind == sqlite.Text {
				r.beside(t.Name, v.Text())
			}
			if v.Kind == sqlite.Blob && len(v.Bytes) > 0 {
				r.blobs++
			}
		}
		if len(r.plan.Unheard) > 0 && rows > mostRows {
			return errFound
		}
		return nil
	})
	if rows > 0 {
		r.beside(t.Name, strings.ReplaceAll(t.Name, "_", " "))
	}
	if err != nil && err != errFound {
		r.plan.AddUnheard(fmt.Sprintf("the table %q could not be looked at (%v)", wire.Clip([]byte(t.Name), 60), err))
	}
}

// mostRows is how many rows of a table are looked at once there is more text than
// is kept.
const mostRows = 10000

// hearColumn keeps what the description of a column says but for the words of its own
// name and the unit that its name ends in: another unit is left of it.
func (r *reader) hearColumn(column, description string) {
	if description == "" {
		return
	}
	own := strings.FieldsFunc(strings.ToLower(column), func(c rune) bool { return c == '_' || c == '-' || c == ' ' })
	words := slices.DeleteFunc(strings.Fields(description), func(w string) bool {
		w = strings.ToLower(strings.Trim(w, ".,;:()[]"))
		return slices.Contains(own, w) || slices.Contains(own, unitSigns[w])
	})
	if text := wire.PlainText(strings.Join(words, " ")); wire.SaysWords(text) {
		r.plan.AddBeside(schema.BesideText{Where: fmt.Sprintf("the description of the column %q", wire.Clip([]byte(column), 60)), Text: text})
	}
}

// unitSigns are the signs of units by their words, as names of columns end in them.
var unitSigns = map[string]string{
	"metre": "m", "metres": "m", "meter": "m", "meters": "m", "mètres": "m", "metros": "m", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm",
	"centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm", "degree": "deg", "degrees": "deg", "grad": "deg", "°": "deg", "percent": "percent", "%": "percent",
}

// hearStyles keeps what people wrote into the styles that are stored in the file.
func (r *reader) hearStyles() error {
	return r.rows("layer_styles", func(v []sqlite.Value) error {
		if name := v[1].Text(); !strings.EqualFold(name, v[0].Text()) {
			r.beside("layer_styles", name)
		}
		r.beside("layer_styles", wire.StyleText(v[2].Bytes))
		r.beside("layer_styles", wire.StyleText(v[3].Bytes))
		if says := v[4].Text(); !clockTime().MatchString(says) {
			r.beside("layer_styles", says)
		}
		return nil
	}, "f_table_name", "styleName", "styleQML", "styleSLD", "description")
}

// clockTime finds a time of day: a style that is saved without a description has
// when that was.
var clockTime = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`\d\d:\d\d`) })

// hearBoxes holds what the contents say of how far the layers reach against what
// they draw, all together, and the number of rows that is stored of each against
// those that were read.
func (r *reader) hearBoxes(layers []*contents, count map[string]int) error {
	drawn, unit := wire.BoxOf(r.plan.Features), wire.UnitOf(r.plan)
	for _, l := range layers {
		if says := wire.BoxSays(l.box, drawn, unit); says != "" {
			r.t.Add("box-wide", 0, l.table, "the file says that the layer %q reaches %s: were features taken out of it, or left behind? Write the layer anew", l.table, says)
		}
	}
	return r.rows("gpkg_ogr_contents", func(v []sqlite.Value) error {
		n, ok := count[strings.ToLower(v[0].Text())]
		if ok && v[1].Kind == sqlite.Integer && v[1].Int >= 0 && v[1].Int != int64(n) {
			r.t.Add("count-differs", 0, v[0].Text(), "the file says that the layer %q has %d features, and it has %d: are some missing? Write the layer anew", wire.Clip([]byte(v[0].Text()), 60), v[1].Int, n)
		}
		return nil
	}, "table_name", "feature_count")
}

// boxOf is the box of a row of the contents, empty where it has none.
func boxOf(v []sqlite.Value) schema.Extent {
	var n [4]float64
	for i := range n {
		switch v[i].Kind {
		case sqlite.Integer:
			n[i] = float64(v[i].Int)
		case sqlite.Real:
			n[i] = v[i].Float
		default:
			return schema.Extent{Empty: true}
		}
		if math.IsNaN(n[i]) || math.IsInf(n[i], 0) {
			return schema.Extent{Empty: true}
		}
	}
	return schema.Extent{Min: [2]float64{n[0], n[1]}, Max: [2]float64{n[2], n[3]}}
}

// steppedFrom finds the step to WGS 84 in a definition.
var steppedFrom = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`(?i)TOWGS84\s*\[([^\]]*)\]`) })

// worldDatums are the EPSG codes of datums from which no such step is taken: WGS 84
// and ETRS89.
var worldDatums = []int{6326, 6258}

// systemContradicts says how the name or the definition of a system of the file
// says another than its code does; "" where they do not.
func systemContradicts(code, name, definition string) string {
	by, err := crs.Parse(code)
	if err != nil {
		return ""
	}
	if c, err := crs.Parse(strings.TrimSpace(name)); err == nil && c.DatumCode() != by.DatumCode() {
		return fmt.Sprintf("is called %q, which is %s", wire.Clip([]byte(name), 60), c.ID())
	}
	if !strings.Contains(definition, "[") { // no definition at all
		return ""
	}
	c, err := crs.Parse(definition)
	switch {
	case err != nil:
		return fmt.Sprintf("has a definition that does not fit (%v)", err)
	case c.DatumCode() != 0 && c.DatumCode() != by.DatumCode():
		return fmt.Sprintf("is defined on the datum %s", c.Datum())
	}
	if m := steppedFrom().FindStringSubmatch(definition); m != nil && slices.Contains(worldDatums, by.DatumCode()) && strings.Trim(m[1], "0., +-") != "" {
		return fmt.Sprintf("is defined with a step to WGS 84 of its own, TOWGS84[%s]", wire.Clip([]byte(m[1]), 60))
	}
	return ""
}
