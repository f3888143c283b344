// Tests of texts of a drawing that draw nothing.

package dxf

import (
	"slices"
	"strings"
	"testing"

	geom "github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

// heard is a drawing that says much and draws one line.
func heard() string {
	head := sectionOf("HEADER", pairs(9, "$ACADVER", 1, "AC1024", 9, "$INSUNITS", 70, 6, 9, "$CUSTOMPROPERTYTAG", 1, "Status", 9, "$CUSTOMPROPERTY", 1, "superseded", 9, "$PROJECTNAME", 1, "trial"))
	tables := sectionOf("TABLES", pairs(0, "TABLE", 2, "LAYER", 0, "LAYER", 2, "A", 70, 0, 62, 7, 1001, layerNotes, 1000, "", 1000, "demolished", 0, "ENDTAB"))
	entities := sectionOf("ENTITIES", lineOf("A", 0, 0, 10, 10)+pairs(1001, "PE_URL", 1000, "https://example.org/a", 1002, "{", 1000, "deep water", 1002, "}", 1001, "ACAD", 1000, "DSTYLE", 1001, "SURVEY", 1000, "float solution", 1040, 2.0)+
		pairs(0, "TEXT", 8, "A", 67, 1, 10, 1, 20, 1, 40, 1, 1, "void")+pairs(0, "DIMENSION", 8, "A", 1, "<> not surveyed", 70, 1))
	objects := sectionOf("OBJECTS", pairs(0, "DICTIONARY", 5, "D", 3, "ponds_gone", 350, "1F", 3, "*A1", 350, "20")+pairs(0, "GROUP", 5, "1F", 300, "", 70, 0)+pairs(0, "GROUP", 5, "20", 300, "holes", 70, 1))
	return head + tables + entities + objects + pairs(0, "EOF")
}

func besideOf(p *schema.Plan) string {
	var out []string
	for _, b := range p.Beside {
		out = append(out, b.Text)
	}
	return strings.Join(out, "|")
}

// TestHeardComments: comments are heard wherever they stand, and 999 that is a value
// is none.
func TestHeardComments(t *testing.T) {
	drawing := pairs(999, "base moved, do not use") + heard()
	drawing = strings.Replace(drawing, pairs(0, "TEXT"), pairs(999, "12")+pairs(999, "Teich fehlt")+pairs(0, "TEXT"), 1)
	drawing = strings.Replace(drawing, "superseded", "999", 1)
	p, _ := read(t, drawing, wire.ReadOptions{})
	got := ""
	for _, b := range p.Beside {
		if b.Comment {
			got += b.Where + ": " + b.Text + "|"
		}
	}
	if !strings.HasPrefix(got, "a comment in line 1: base moved, do not use|a comment in line ") || !strings.HasSuffix(got, ": Teich fehlt|") || strings.Count(got, "|") != 2 {
		t.Error(got)
	}
}

// TestHeard: layers, groups, properties, hyperlinks, data of other programs,
// dimensions and sheets are heard, what the format keeps for itself is not.
func TestHeard(t *testing.T) {
	p, w := read(t, heard(), wire.ReadOptions{})
	if got := besideOf(p); got != "demolished|ponds gone|holes|Status|superseded|trial|deep water|float solution|not surveyed|void" && got != "demolished|ponds gone|holes|Status|superseded|trial|deep water|float solution|void|not surveyed" {
		t.Errorf("%s; %v", got, w)
	}
	for _, x := range w {
		if x.Unheard() {
			t.Errorf("%s is unheard beside its text", x.Kind)
		}
	}
	p, w = read(t, drawing(lineOf("A", 0, 0, 10, 10)+pairs(1001, "ACAD", 1000, "MTEXTBEGIN", 1001, "AcadAnnotative", 1000, "AnnotativeData")), wire.ReadOptions{})
	if len(p.Beside) != 0 || len(w) != 0 {
		t.Errorf("the format's own: %q; %v", besideOf(p), w)
	}
}

// TestDimensionSaid: a length in place of the measured one is told, the measured
// one is not.
func TestDimensionSaid(t *testing.T) {
	for said, want := range map[string]string{"": "dimension-left-out:1", "<>": "dimension-left-out:1", "2.00": "dimension-said:1 dimension-left-out:1"} {
		_, w := read(t, drawing(lineOf("A", 0, 0, 10, 10)+pairs(0, "DIMENSION", 8, "A", 1, said, 70, 1)), wire.ReadOptions{})
		unheard := false
		for _, x := range w {
			unheard = unheard || x.Unheard()
		}
		if kinds(w) != want || unheard != (said == "2.00") {
			t.Errorf("%q: %v", said, w)
		}
	}
}

// TestThicknessDrawn: a body that someone made of an outline is told.
func TestThicknessDrawn(t *testing.T) {
	text, _ := write(t, furnished(t), wire.WriteOptions{})
	if _, w := read(t, text, wire.ReadOptions{}); strings.Contains(kinds(w), "thickness-drawn") {
		t.Fatal(w)
	}
	for _, name := range []string{"ZONE", "KEEPOUT-OFF"} {
		at := pairs(8, name)
		_, w := read(t, strings.Replace(text, at, at+pairs(39, -4), 1), wire.ReadOptions{})
		if !strings.Contains(kinds(w), "thickness-drawn:1") {
			t.Errorf("%s: %v", name, w)
		}
	}
}

// TestPaperOnLayers: what lies on a sheet on a layer of ours that a border is not
// drawn on is told as not read.
func TestPaperOnLayers(t *testing.T) {
	text, _ := write(t, furnished(t), wire.WriteOptions{})
	for name, want := range map[string]bool{"ZONE": true, "CORRIDOR": true, "EDGE": true, "KEEPOUT": true, "BOUNDARY": false, "0": false, "TITLE": false} {
		_, w := read(t, added(text, pairs(0, "CIRCLE", 8, name, 67, 1, 10, 10, 20, 10, 40, 2)), wire.ReadOptions{})
		told := false
		for _, x := range w {
			told = told || x.Kind == "paper-drawn" && x.Ground()
		}
		if told != want {
			t.Errorf("%s: %v", name, w)
		}
	}
}

// TestHeardLines: a line type that a thing of ours was given is heard once with what it
// is described as, and one that only says how it looks is not.
func TestHeardLines(t *testing.T) {
	grid, err := crs.Parse("EPSG:25832")
	if err != nil {
		t.Fatal(err)
	}
	plan := &schema.Plan{Name: "a", CRS: grid, Attributes: schema.Attributes{{Key: schema.PlanHeights, Value: schema.String("ellipsoidal")}}, Features: []*schema.Feature{
		{Role: schema.RoleEdge, Name: "e", Geometry: geom.NewLineStringFlat(geom.XYZ, []float64{500000, 5800000, 40, 500010, 5800000, 40})}}}
	text, _ := write(t, plan, wire.WriteOptions{})
	at := pairs(8, "EDGE")
	if !strings.Contains(text, at) {
		t.Fatal(text)
	}
	for _, x := range []struct{ name, says, want string }{
		{"", "", ""}, {"DASHED2", "", ""}, {"Continuous", "", ""}, {"TEMPORARY", "", "temporary"}, {"HIDDEN", "", "hidden"}, {"L_7", "to be demolished", "l 7 to be demolished"},
	} {
		drawing := text
		if x.name != "" {
			drawing = strings.Replace(drawing, at, at+pairs(6, x.name), 1)
			drawing = strings.Replace(drawing, pairs(0, "TABLE", 2, "LAYER"), pairs(0, "TABLE", 2, "LTYPE", 70, 1, 0, "LTYPE", 2, x.name, 70, 0, 3, x.says, 0, "ENDTAB", 0, "TABLE", 2, "LAYER"), 1)
		}
		p, _ := read(t, drawing, wire.ReadOptions{})
		p.Beside = slices.DeleteFunc(p.Beside, func(b schema.BesideText) bool { return b.Comment })
		if got := besideOf(p); got != x.want {
			t.Errorf("%s: %q, want %q", x.name, got, x.want)
		}
	}
}
