// Tests of leaders.

package dxf

import (
	"fmt"
	"strings"
	"testing"

	"swardline/convert/wire"
	"swardline/schema"
)

// multi is a MULTILEADER with a text and arrows at the places given.
func multi(text string, tips ...float64) string {
	list := []any{0, "MULTILEADER", 8, "A", 270, 2, 300, "CONTEXT_DATA{", 40, 1.0, 10, 90.0, 20, 90.0, 30, 0.0, 41, 0.5, 290, 1, 304, text, 11, 0.0, 12, 91.0, 22, 91.0, 32, 0.0}
	for i := 0; i < len(tips); i += 2 {
		list = append(list, 302, "LEADER{", 290, 1, 10, 80.0, 20, 80.0, 30, 0.0, 304, "LEADER_LINE{", 10, tips[i], 20, tips[i+1], 30, 0.0, 10, 70.0, 20, 70.0, 30, 0.0, 91, 0, 305, "}", 90, 0, 303, "}")
	}
	return pairs(append(list, 301, "}", 340, "1E", 90, 6816768)...)
}

func TestLeaders(t *testing.T) {
	arrow := func(more ...any) string {
		return pairs(append([]any{0, "LEADER", 8, "A", 76, 2, 10, 5.0, 20, 6.0, 30, 0.0, 10, 20.0, 20, 20.0, 30, 0.0}, more...)...)
	}
	words := func(kind, handle, text string, x, y float64) string {
		return pairs(0, kind, 5, handle, 8, "A", 10, x, 20, y, 30, 0, 40, 0.5, 1, text)
	}
	tag := pairs(0, "INSERT", 5, "7A", 8, "A", 66, 1, 2, "NONE", 10, 20, 20, 20) + pairs(0, "ATTRIB", 2, "T", 1, "tagged") + pairs(0, "SEQEND")
	for _, c := range []struct{ name, entities, want, kinds string }{
		{"a named text, after it", arrow(340, "0ab") + words("MTEXT", "AB", `{\fArial;45} mm`, 50, 50), `LEADER Point(5 6) "45 mm"`, ""},
		{"a named text, before it", words("TEXT", "AB", "wet", 50, 50) + arrow(340, "AB"), `LEADER Point(5 6) "wet"`, ""},
		{"a named tag", tag + arrow(340, "7A"), `LEADER Point(5 6) "tagged"`, "block-missing:1"},
		{"a text beside its end", arrow() + words("TEXT", "AB", "near", 21.5, 20), `LEADER Point(5 6) "near"`, "leader-text-near:1"},
		{"a hair too far from it", arrow() + words("TEXT", "AB", "far", 21.501, 20), "", "leader-mute:1"},
		{"two beside its end", arrow() + words("TEXT", "AB", "one", 20.5, 20) + words("TEXT", "AC", "two", 20, 20.5), "", "leader-mute:1"},
		{"no text", arrow(340, "99"), "", "leader-mute:1"},
		{"no line", pairs(0, "LEADER", 8, "A", 10, 1.0, 20, 1.0, 30, 0.0), "", "entity-damaged:1"},
		{"one with its own text", multi(`45\Pmm`, 1, 2), `MULTILEADER Point(1 2) "45"`, ""},
		{"with two arrows", multi("roots", 1, 2, 3, 4), "MULTILEADER Point(1 2) \"roots\"\nMULTILEADER Point(3 4) \"roots\"", ""},
		{"without a text", multi("", 1, 2), "", "text-empty:1"},
		{"without an arrow", multi("x"), "", "entity-damaged:1"},
	} {
		p, w := read(t, drawing(c.entities), wire.ReadOptions{})
		var got []string
		for _, f := range p.Features {
			if kind := f.Attributes.Get(schema.PropEntity).Text(); strings.HasSuffix(kind, "LEADER") {
				got = append(got, fmt.Sprintf("%s %s %q", kind, wkt(f.Geometry), f.Name))
			}
		}
		if s := strings.Join(got, "\n"); s != c.want || kinds(w) != c.kinds {
			t.Errorf("%s: %s, want %s; %v", c.name, s, c.want, w)
		}
	}
	// In a block the arrow goes where the block goes.
	p, _ := read(t, withBlocks(blockOf("B", 0, 0, multi("in", 1, 2)), pairs(0, "INSERT", 8, "A", 2, "B", 10, 10, 20, 0, 50, 90)), wire.ReadOptions{})
	if f := p.Features[len(p.Features)-1]; wkt(f.Geometry) != "Point(8 1)" {
		t.Errorf("in a block: %s", wkt(f.Geometry))
	}
}
