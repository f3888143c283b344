// Tests of things and marks that were surveyed at two visits.

package validate_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// TestSurveyedTwice: limits of 0.1 m (twice survey_sigma_m) and 1.5 m, and of 4 times as
// long as two lie apart for those that only a number tells from one another. They stand
// where nothing is driven.
func TestSurveyedTwice(t *testing.T) {
	two := func(role, first, second string, x, y thing, pairs ...any) func(p *plot) {
		return func(p *plot) {
			placedOn(p, role, first, x, pairs...)
			placedOn(p, role, second, y, pairs...)
		}
	}
	walls := func(first, second string, off float64) func(p *plot) {
		return two("edge", first, second, lineOf(45, 25, 65, 25), lineOf(45, 25+off, 65, 25+off), "edge_kind", "wall")
	}
	kerbs := func(first, second string, off float64) func(p *plot) {
		return two("edge", first, second, lineOf(45, 25, 65, 25), lineOf(65, 25+off, 45, 25+off), "edge_kind", "kerb")
	}
	hedges := func(first, second string, off float64) func(p *plot) {
		return two("hazard", first, second, boxAt(45, 25, 65, 25.8), boxAt(45, 25+off, 65, 25.8+off), "hazard_kind", "hedge", "height_m", 1.0)
	}
	trees := func(first, second string, off float64) func(p *plot) {
		return two("hazard", first, second, pointAt(50, 25), pointAt(50+off, 25), "hazard_kind", "tree", "radius_m", 0.2, "height_m", 4.0)
	}
	benches := func(first, second string, off float64) func(p *plot) {
		return two("hazard", first, second, boxAt(50, 25, 51.8, 25.6), boxAt(50, 25+off, 51.8, 25.6+off), "hazard_kind", "bench")
	}
	outlets := func(first, second string) func(p *plot) {
		return two("supply", first, second, pointAt(50, 25), pointAt(51.4, 25))
	}
	sigma := func(m float64, draw func(p *plot)) func(p *plot) {
		return func(p *plot) {
			draw(p)
			for _, x := range p.things[len(p.things)-2:] {
				x.set("limits", schema.Object([]schema.Attribute{{Key: "survey_sigma_m", Value: num(m)}}))
			}
		}
	}
	const note, again = validate.Note, "surveyed a second time"
	judgeOverlaps(t, []overlapCase{
		{"a wall of two years", walls("Lane wall 2021", "Lane wall 2026", 0.9), note, again},
		{"as far as two surveys", walls("Lane wall 2021", "Lane wall 2026", 0.1), "", ""},
		{"a hair farther", walls("Lane wall 2021", "Lane wall 2026", 0.102), note, "0.102 m"},
		{"as far as two surveys by their own limit", sigma(0.02, walls("Lane wall 2021", "Lane wall 2026", 0.04)), "", ""},
		{"a hair farther than that", sigma(0.02, walls("Lane wall 2021", "Lane wall 2026", 0.042)), note, again},
		{"as far as one may be off", walls("Lane wall 2021", "Lane wall 2026", 1.5), note, "1.50 m"},
		{"another wall", walls("Lane wall 2021", "Lane wall 2026", 1.502), "", ""},
		{"a wall of another name", walls("Lane wall", "Yard wall", 0.9), "", ""},
		{"two walls by number", walls("Lane wall 1", "Lane wall 2", 0.9), "", ""},
		{"two walls by number of one year", walls("Lane wall 1 2021", "Lane wall 2 2026", 0.9), "", ""},
		{"one that has a number", walls("Lane wall", "Lane wall (2)", 0.9), note, again},
		{"or a letter", walls("Lane wall", "Lane wall b", 0.9), note, again},
		{"measured again", walls("Lane wall", "Lane wall check", 0.9), note, again},
		{"a visit", walls("Lane wall", "Visit 2 lane wall", 0.9), note, again},
		{"a survey before its number", walls("Mauer Aufmaß 1", "Mauer Aufmaß 2", 0.9), note, again},
		{"a month", walls("Lane wall (May 2024)", "Lane wall (June 2026)", 0.9), note, again},
		{"the first and the second", walls("First lane wall", "Second lane wall", 0.9), "", ""},
		{"of the first and the second survey", walls("Lane wall, first survey", "Lane wall, second survey", 0.9), note, again},
		{"turned", two("edge", "Lane wall", "Lane wall 2026", lineOf(45, 25, 65, 25), lineOf(45, 24.5, 65, 26), "edge_kind", "wall"), note, again},
		{"half as long", two("edge", "Lane wall", "Lane wall 2026", lineOf(45, 25, 65, 25), lineOf(45, 25.5, 55, 25.5), "edge_kind", "wall"), "", ""},
		{"a gate and a wall", func(p *plot) {
			placedOn(p, "edge", "Lane 2021", lineOf(45, 25, 48, 25), "edge_kind", "wall")
			placedOn(p, "edge", "Lane 2026", lineOf(45, 25.5, 48, 25.5), "edge_kind", "gate")
		}, "", ""},
		{"a kerb, back and forth", kerbs("Kerb 2021", "Kerb 2026", 0.6), note, again},
		{"two kerbs", kerbs("Kerb left", "Kerb right", 0.6), "", ""},
		{"two kerbs without a name", kerbs("", "", 0.6), "", ""},
		{"a hedge", hedges("Hedge 2021", "Hedge 2026", 0.7), note, again},
		{"two rows of a hedge", hedges("Hedge 1", "Hedge 2", 0.7), "", ""},
		{"a tree", trees("Lime 2021", "Lime 2026", 1.2), note, again},
		{"two trees of a row", trees("Lime 1", "Lime 2", 1.2), "", ""},
		{"a tree and one with a number", trees("Lime", "Lime 2", 1.2), "", ""},
		{"a bench", benches("Bench 2021", "Bench 2026", 0.7), note, again},
		{"two benches", benches("Bench", "Bench 2", 0.7), "", ""},
		{"a bench 4 times as long as it lies off", benches("Bench", "Bench 2", 0.474), note, again},
		{"a hair less", benches("Bench", "Bench 2", 0.475), "", ""},
		{"an outlet", outlets("Socket 2021", "Socket 2026"), note, again},
		{"two outlets", outlets("Socket", "Socket 2"), "", ""},
		{"an outlet of another folder", func(p *plot) {
			outlets("Socket", "Socket B")(p)
			p.things[len(p.things)-1].set("folder", schema.List(schema.String("2026")))
		}, note, again},
		{"a path", two("other", "Path 2021", "Path 2026", boxAt(45, 25, 65, 26), boxAt(45, 25.7, 65, 26.7)), note, again},
		{"a corridor", func(p *plot) {
			placedOn(p, "corridor", "Dock way 2026", lineOf(28.5, 10.4, 31, 10.4, 34, 10))
		}, note, again},
	})
}

// TestOneVisitOff: three things of two visits that are all off by the same within 0.1 m.
func TestOneVisitOff(t *testing.T) {
	const says = "surveyed twice lie off by the same, 0.90 m east"
	draw := func(things int, last float64) func(p *plot) {
		return func(p *plot) {
			for i := range things {
				off := 0.9
				if i == things-1 {
					off = last
				}
				x := float64(45 + 5*i)
				placedOn(p, "hazard", fmt.Sprintf("Post P%d", i), pointAt(x, 25), "hazard_kind", "post", "radius_m", 0.1)
				placedOn(p, "hazard", fmt.Sprintf("Post P%d new", i), pointAt(x+off, 25), "hazard_kind", "post", "radius_m", 0.1)
			}
		}
	}
	for _, x := range []struct {
		name string
		draw func(p *plot)
		want bool
	}{
		{"three", draw(3, 0.9), true},
		{"two", draw(2, 0.9), false},
		{"one that is off by another", draw(3, 0.5), false},
	} {
		p := park()
		x.draw(p)
		told := false
		for _, f := range validate.Check(p.plan(t), schema.DefaultLimits()).Findings {
			told = told || f.Rule == validate.RuleThingsOverlap && f.Severity == validate.Warning && strings.Contains(f.Message, says)
		}
		if told != x.want {
			t.Errorf("%s: told %v, want %v", x.name, told, x.want)
		}
	}
}

// TestMarksOfTwoSeries: steps of 0.1 m (twice survey_sigma_m) are two measurements, and
// 1.5 m is as far as a second lies.
func TestMarksOfTwoSeries(t *testing.T) {
	series := func(pairs int, off, up, last float64) func(p *plot) {
		return func(p *plot) {
			for i := range pairs {
				step := off
				if i == pairs-1 {
					step += last
				}
				x := float64(55 + 8*i)
				p.add(&thing{id: fmt.Sprintf("m%d", 20+i), role: "mark", name: fmt.Sprintf("C%d", i), point: &orb.Point{x, 38}, z: flatGround})
				p.add(&thing{id: fmt.Sprintf("m%d", 30+i), role: "mark", name: fmt.Sprintf("N%d", i), point: &orb.Point{x + step, 38}, z: func(orb.Point) float64 { return plotH + up }})
			}
		}
	}
	row := func(p *plot) {
		for i := range 8 {
			p.add(&thing{id: fmt.Sprintf("m%d", 20+i), role: "mark", name: fmt.Sprintf("C%d", i), point: &orb.Point{55 + float64(i), 38}, z: flatGround})
		}
	}
	const says = "stand each beside another"
	judgeWords(t, validate.RuleSurveyQuality, []wordCase{
		{"a step in plan", series(3, 0.25, 0, 0), validate.Failed, says},
		{"a step in height", series(3, 0, 0.4, 0), validate.Failed, says},
		{"as near as two measurements", series(3, 0.1, 0, 0), validate.NotNeeded, ""},
		{"a hair farther", series(3, 0.102, 0, 0), validate.Failed, says},
		{"as high", series(3, 0, 0.1, 0), validate.NotNeeded, ""},
		{"a hair higher", series(3, 0, 0.102, 0), validate.Failed, says},
		{"as far as a second survey", series(3, 1.5, 0, 0), validate.Failed, says},
		{"farther", series(3, 1.51, 0, 0), validate.NotNeeded, ""},
		{"two pairs", series(2, 0.25, 0, 0), validate.NotNeeded, ""},
		{"one pair by another step", series(3, 0.3, 0, 0.3), validate.NotNeeded, ""},
		{"a row of marks", row, validate.NotNeeded, ""},
	})
}
