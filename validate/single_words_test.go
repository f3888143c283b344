// Single things whose danger is in a word or a number beside their drawing: round
// how much of a trunk it goes, lines of what has an outline, gates that are shut,
// things far more coarsely measured than the rest.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// withProps sets properties of a thing of a plot.
func withProps(id string, props ...any) func(p *plot) {
	return func(p *plot) {
		for i := 0; i < len(props); i += 2 {
			p.get(id).set(props[i].(string), valueFrom(props[i+1]))
		}
	}
}

func valueFrom(v any) schema.Value {
	switch v := v.(type) {
	case float64:
		return num(v)
	case bool:
		return schema.Bool(v)
	case schema.Value:
		return v
	}
	return schema.String(v.(string))
}

// both makes several changes to a plot.
func both(changes ...func(p *plot)) func(p *plot) {
	return func(p *plot) {
		for _, c := range changes {
			c(p)
		}
	}
}

// lawnThing draws a hazard of a kind on the south lawn under a keep-out.
func lawnThing(kind string, keepout []orb.Point, x thing, props ...any) func(p *plot) {
	return func(p *plot) {
		one := x
		one.id, one.role, one.name, one.z = "x1", "hazard", "Thing", flatGround
		p.add(&one).set("hazard_kind", schema.String(kind))
		withProps("x1", props...)(p)
		if keepout != nil {
			p.add(&thing{id: "k9", role: "keepout", name: "Round it", rings: [][]orb.Point{keepout}, z: flatGround})
		}
	}
}

func TestOpenOutlines(t *testing.T) {
	open := func(kind string, pts ...orb.Point) func(p *plot) {
		return lawnThing(kind, nil, thing{line: pts})
	}
	// A U and an L about ground 4 m wide, and a line that bends by so much; the
	// line itself stands under nothing, which fails, but may be unchecked as well.
	u := []orb.Point{{8, -22}, {12, -22}, {12, -18}, {8, -18}}
	l := u[:3]
	bent := func(off float64) []orb.Point { return []orb.Point{{8, -22}, {12, -22 + off}, {16, -22}} }
	covered := func(kind string, pts []orb.Point) func(p *plot) {
		return func(p *plot) {
			open(kind, pts...)(p)
			x0, y0, x1, y1 := 7.0, -23.0, 13.0, -17.0
			band := []orb.Point{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y1 - 2}, {x1 - 2, y1 - 2}, {x1 - 2, y0 + 2}, {x0, y0 + 2}, {x0, y0}}
			p.add(&thing{id: "k9", role: "keepout", name: "Band", rings: [][]orb.Point{band}, z: flatGround})
		}
	}
	const says = "what it runs round lies in"
	judgeWords(t, validate.RuleHazardUncovered, []wordCase{
		{"a shed's three sides", covered("shed", u), validate.Unchecked, says},
		{"a tent's", covered("tent", u), validate.Unchecked, says},
		{"a playground's", covered("playground", u), validate.Unchecked, says},
		{"a pergola's", covered("pergola", u), validate.Unchecked, says},
		{"a trampoline's", covered("trampoline", u), validate.Unchecked, says},
		{"a monument's", covered("Denkmal", u), validate.Unchecked, says},
		{"two sides", covered("shed", l), validate.Unchecked, says},
		{"a fence", covered("fence", u), validate.Passed, ""},
		{"a bench", covered("bench", u), validate.Passed, ""},
		{"a bend of 1.3 m in 8, a share of 0.951", open("shed", bent(1.3)...), validate.Failed, "no keep-out"},
		{"a bend of 1.35 m in 8, a share of 0.948", open("shed", bent(1.35)...), validate.Failed, says},
	})
}

func TestGirths(t *testing.T) {
	tree := func(props ...any) func(p *plot) {
		return lawnThing("tree", circle(15, -20, 2, 90), thing{point: &orb.Point{15, -20}}, append([]any{"height_m", 8.0}, props...)...)
	}
	outline := func(half float64, props ...any) func(p *plot) {
		return lawnThing("tree", circle(15, -20, 2, 90), thing{rings: [][]orb.Point{circle(15, -20, half, 48)}}, append([]any{"height_m", 8.0}, props...)...)
	}
	const more, named = "which is more", "the property is called radius_m"
	judgeWords(t, validate.RulePropertyMisnamed, []wordCase{
		// 2 pi 0.3 is 1.885 m; a twentieth and 0.01 m more is 2.042.
		{"a girth that fits", tree("radius_m", 0.3, "girth_m", 1.885), validate.Passed, ""},
		{"one a hair within rounding", tree("radius_m", 0.3, "girth_m", 2.04), validate.Passed, ""},
		{"one a hair past it", tree("radius_m", 0.3, "girth_m", 2.05), validate.Failed, more},
		{"in centimetres", tree("radius_m", 0.3, "girth_cm", 600.0), validate.Failed, more},
		{"in centimetres, by its size alone", tree("radius_m", 0.3, "Stammumfang", 190.0), validate.Passed, ""},
		{"in centimetres, by its size alone, too thick", tree("radius_m", 0.3, "Stammumfang", 600.0), validate.Failed, more},
		{"in a text with a comma", tree("radius_m", 0.3, "circonférence", "6,0 m"), validate.Failed, more},
		{"thickness of a list of trees", tree("radius_m", 0.3, "BHD", 62.0), validate.Passed, ""},
		{"a greater one", tree("radius_m", 0.3, "dbh_cm", 190.0), validate.Failed, more},
		// No radius: a tree is taken to reach 0.25 m, 1.571 m round.
		{"a girth alone, as any tree's", tree("girth_m", 1.57), validate.Passed, ""},
		{"a girth alone, a hair more", tree("girth_m", 1.575), validate.Failed, named},
		{"a drawn trunk of its girth", outline(0.3, "girth_m", 1.885), validate.Passed, ""},
		{"a drawn trunk of more", outline(0.3, "girth_m", 6.0), validate.Failed, named},
		{"an outline round which it goes farther", outline(1.2, "girth_m", 6.0), validate.Passed, ""},
	})
}

func TestGatesThatAreShut(t *testing.T) {
	gate := func(kind string, props ...any) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "e8", role: "edge", name: "Side fence", line: []orb.Point{{-8, -5}, {28, -5}}, z: flatGround}).set("edge_kind", schema.String("fence"))
			p.add(&thing{id: "e9", role: "edge", name: "Side", line: []orb.Point{{13.5, -5}, {16.5, -5}}, z: flatGround}).set("edge_kind", schema.String(kind))
			withProps("e9", props...)(p)
		}
	}
	const over = "and driven_over says"
	judgeWords(t, validate.RulePropertyMisnamed, []wordCase{
		{"a gate", gate("gate"), validate.Passed, ""},
		{"driven over", gate("gate", "driven_over", true), validate.Passed, ""},
		{"driven over, in a word", gate("gate", "driven_over", "yes"), validate.Passed, ""},
		{"not driven over", gate("gate", "driven_over", false), validate.Failed, over},
		{"not driven over, in a word", gate("ramp", "driven_over", "nein"), validate.Failed, over},
		{"driven over by a word that nobody knows", gate("flush", "driven_over", "by hand"), validate.Failed, over},
		{"a fence that is not", both(gate("gate"), withProps("e8", "driven_over", false)), validate.Passed, ""},
	})
	judgeWords(t, validate.RulePropertyUnread, []wordCase{
		{"an open gate", gate("gate", "open", true), validate.Passed, ""},
		{"a folder that is not unfolded", gate("gate", "open", 0.0), validate.Passed, ""},
		{"a gate that is not open", gate("gate", "open", false), validate.Failed, `"open"`},
		{"a gate that is not open, in a word", gate("gate", "open", "no"), validate.Failed, `"open"`},
		{"a lawn that is folded up", withProps("z1", "open", false), validate.Passed, ""},
	})
	judgeWords(t, validate.RuleNameContradicts, []wordCase{
		{"a gate of a note", gate("gate", "note", "oiled in spring"), validate.Passed, ""},
		{"a gate that a note says is locked", gate("gate", "note", "locked at night"), validate.Failed, "locked"},
		{"a fence of such a note", both(gate("gate"), withProps("e8", "note", "locked at night")), validate.Passed, ""},
	})
}

// TestTwoWordsForOneThing: of a thing called in two words neither alone counts.
func TestTwoWordsForOneThing(t *testing.T) {
	for _, x := range []struct {
		kind        string
		water, drop bool // which margins it keeps
	}{
		{"light well", false, true}, {"old light well", false, true}, {"lightwell", false, true}, {"window wells", false, true}, {"dry well", false, true},
		{"well", true, false}, {"stone well", true, false}, {"cellar stairs", false, true}, {"loading bay", false, true}, {"Lichtschacht", false, true}, {"saut-de-loup", false, true},
		{"sea wall", true, true}, {"peg", false, false}, {"Pflock", false, false},
	} {
		for _, limit := range []string{"hazard_margin_water_m", "hazard_margin_drop_m"} {
			p := park()
			lawnThing(x.kind, rect(19.5, -21.5, 21.5, -19.5), thing{rings: [][]orb.Point{rect(20, -21, 21, -20)}})(p)
			l := schema.DefaultLimits()
			if err := l.Set(limit, 1, schema.OriginFile, "crew.yaml line 1"); err != nil {
				t.Fatal(err)
			}
			held := false
			for _, f := range validate.Check(p.plan(t), l).Findings {
				held = held || f.Rule == validate.RuleHazardUncovered && f.Features[0].ID.Text() == "x1"
			}
			want := x.water
			if limit == "hazard_margin_drop_m" {
				want = x.drop
			}
			if held != want {
				t.Errorf("%s is held to %s: %v, want %v", x.kind, limit, held, want)
			}
		}
	}
}
