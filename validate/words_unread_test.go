// Tests of words in names and texts.

package validate_test

import (
	"fmt"
	"strings"
	"testing"

	"swardline/schema"
	"swardline/validate"
)

// Names and texts on either side: what says no more than the role, where and how
// large, and what says anything else.
func TestWordsUnread(t *testing.T) {
	name := func(id, name string) func(p *plot) { return func(p *plot) { p.get(id).name = name } }
	text := func(id, key, words string) func(p *plot) {
		return func(p *plot) { p.get(id).set(key, schema.String(words)) }
	}
	var cases []wordCase
	pass := func(what string, spoil func(p *plot)) {
		cases = append(cases, wordCase{"known: " + what, spoil, validate.Passed, ""})
	}
	tell := func(what, says string, spoil func(p *plot)) {
		cases = append(cases, wordCase{"told: " + what, spoil, validate.Failed, says})
	}
	for _, n := range []string{"Lawn", "North lawn 2", "Back garden", "Pond lawn", "North pond lawn 2", "Lawn by the pond", "Rasen am Teich", "Nordwiese", "Hauswiese 3", "Vorgarten", "Pelouse de la piscine",
		"Césped junto a la casa", "Prato del giardino", "Gräsmatta vid sjön A", "Fairway 7", "Z12", "3a", "Lawn (west of pool)", "Orchard", "Lawn by the old pond", "Playing field", ""} {
		pass(n, name("z1", n))
	}
	for n, says := range map[string]string{"Trespass strip": "trespass", "Pond": "pond", "Lawn with open well": "with", "Pond in the lawn": "pond", "No robot": "robot", "Lawn?": "?", "Slope 60%": "%", "Lawn 2 m": "2 m", "Lawn 2m": "2m",
		"Asphalt": "asphalt", "Kinderspielplatz": "kinderspielplatz", "nie kosić": "kosić", "不要割草": "不要割草", "Lawn road": "road", "Lawn by pond in pond": "pond", "Middle of pond lawn": "pond", "Lawn behind boundary": "boundary", "Under water": "under"} {
		tell(n, `"`+says+`"`, name("z1", n))
	}
	for _, n := range []string{"Große Wiese", "Hinterer Garten", "Picnic lawn", "Spielwiese"} {
		pass(n, name("z1", n))
	}
	pass("a way to a lawn", name("c2", "Weg zum hinteren Rasen"))
	pass("a table", name("k1", "Picnic table"))
	pass("a mark", name("m1", "Grenzstein 3"))
	pass("a keep-out with berries", name("k1", "Lavender and strawberries"))
	pass("a way", name("c2", "Way 2 behind the garage"))
	tell("a way", `"stairs"`, name("c2", "Way down the stairs"))
	pass("a base", name("b1", "Mast on garage roof"))
	tell("a base", `"trailer"`, name("b1", "Mast on trailer"))
	pass("a dock", name("d1", "Ladestation Garage"))
	tell("a dock", `"flooded"`, name("d1", "Dock flooded"))
	pass("a keep-out by what it is", name("k1", "Old rose bed island"))
	tell("a keep-out by another word", `"orrery"`, name("k1", "Orrery"))
	tell("a keep-out in a state", `"broken"`, name("k1", "Bed broken"))
	for n, says := range map[string]string{"Part of the pond": "part", "Pond part": "part", "Pond almost": "almost", "Pond, lowest line": "lowest line", "Pond inner side": "inner side", "Pond or pool": "or"} {
		tell("a pond: "+n, `"`+says+`"`, name("h1", n))
	}
	for _, n := range []string{"Pond", "Inner pond", "North pond", "Middle pond"} {
		pass("a pond: "+n, name("h1", n))
	}
	tell("a keep-out in doubt", `"too"`, name("k1", "Bed too small"))
	pass("texts of known words", text("z1", "note", "mown weekly, sown in spring 2025"))
	pass("flowers in a text", text("z1", "note", "wild flowers in the north part"))
	tell("a thing in a text", `"tree"`, text("z1", "note", "wild flowers around the tree"))
	tell("a text", `"rubble"`, text("z1", "note", "rubble"))
	tell("a state", `"quicksand"`, text("z1", "soil", "quicksand"))
	tell("a place in a text", `"well"`, text("z1", "note", "well in the middle"))
	off := func(name string) func(p *plot) {
		return func(p *plot) {
			x := p.get("k1")
			x.name = name
			x.set("active", schema.Bool(false))
		}
	}
	pass("what is off and passes", off("Event tent"))
	tell("what is off and stays", `"foundation"`, off("Foundation"))
	pass("a point's number", name("m1", "P 10023"))
	tell("a height that it has not", `"183.2"`, name("m1", "H 183.2"))
	tell("a place", `"5683300"`, name("m1", "P1 N5683300"))
	tell("a year", `"from 2028"`, name("z1", "Lawn from 2028"))
	tell("a paved yard", `"school"`, name("z1", "School yard"))
	pass("a lawn by a school", name("z1", "School lawn"))
	tell("water in a text", `"water"`, text("z1", "note", "open water in the middle"))
	pass("an address", text("z1", "address", "Rubble Lane 3"))
	tell("a member", `"dispute"`, func(p *plot) { member(p, "note", schema.String("dispute")) })
	judgeWords(t, validate.RuleWordsUnread, cases)
}

// A size in the name of a hazard is known where it is one of its numbers; an edge
// is read word by word where it is driven over.
func TestWordsUnreadOfThings(t *testing.T) {
	at := func(role, kind string) func(name string, spoil ...func(*thing)) func(p *plot) {
		return func(name string, spoil ...func(*thing)) func(p *plot) {
			return func(p *plot) {
				key := map[string]string{"hazard": "hazard_kind", "edge": "edge_kind"}[role]
				x := p.add(&thing{id: "x9", role: role, name: name, line: rect(70, 30, 75, 35), z: flatGround})
				x.set(key, schema.String(kind))
				for _, f := range spoil {
					f(x)
				}
			}
		}
	}
	drop, flush, wall := at("hazard", "drop"), at("edge", "flush"), at("edge", "wall")
	high := func(x *thing) { x.set("height_m", schema.Float(1.5)) }
	judgeWords(t, validate.RuleWordsUnread, []wordCase{
		{"a size", drop("Quarry 2 m"), validate.Failed, `"2 m"`},
		{"a size that it has", drop("Quarry 1.5 m", high), validate.Passed, ""},
		{"another", drop("Quarry 1.6 m", high), validate.Failed, `"6 m"`},
		{"a thing", drop("Quarry"), validate.Passed, ""},
		{"another word", drop("Quarry of late"), validate.Failed, `"late"`},
		{"a wall", wall("Old garden walls"), validate.Passed, ""},
		{"a wall that leans", wall("Wall leaning"), validate.Failed, `"leaning"`},
		{"a wall in doubt", wall("Mauer ca."), validate.Failed, `"ca"`},
		{"an edge", flush("Terrace edge"), validate.Passed, ""},
		{"a lawn called paddock", func(p *plot) { p.get("z1").name = "Paddock" }, validate.Failed, `"paddock"`},
		{"the lawn of one", func(p *plot) { p.get("z1").name = "Paddock lawn" }, validate.Passed, ""},
		{"the lawn by one", func(p *plot) { p.get("z1").name = "Lawn by the paddock" }, validate.Passed, ""},
		{"the lawn of a dam", func(p *plot) { p.get("z1").name = "Dam lawn" }, validate.Failed, `"dam"`},
		{"a bed called so", func(p *plot) { p.get("k1").name = "Dam" }, validate.Passed, ""},
		{"a paddock that is driven over", func(p *plot) {
			croquet(p).set("driven_over", schema.Bool(true))
			p.get("o1").name = "Paddock"
		}, validate.Failed, `"paddock"`},
		{"a court that is", func(p *plot) { croquet(p).set("driven_over", schema.Bool(true)) }, validate.Passed, ""},
		{"an edge that may be a road's", flush("Edge of carriageway"), validate.Failed, `"carriageway"`},
	})
}

// Signs say something too.
func TestWordsUnreadSigns(t *testing.T) {
	named := func(id, name string) func(p *plot) { return func(p *plot) { p.get(id).name = name } }
	judgeWords(t, validate.RuleWordsUnread, []wordCase{
		{"a plain sign", named("z1", "North lawn 🌳 • №2"), validate.Passed, ""},
		{"a danger", named("z1", "North lawn ☠"), validate.Failed, "☠"},
		{"a hole", named("c1", "Way 🕳"), validate.Failed, "🕳"},
		{"struck through", named("b1", "M\u0336a\u0336st"), validate.Failed, "words that no rule knows"},
		{"roughly", named("z1", "Lawn ±2"), validate.Failed, "±"},
		{"a warning at what is kept out", named("h1", "Pond ⚠"), validate.Passed, ""},
		{"crossed out", named("h1", "Pond ✗"), validate.Failed, "✗"},
		{"a text", func(p *plot) { p.get("z1").set("note", schema.String("🌊")) }, validate.Failed, "🌊"},
		{"what is off", func(p *plot) {
			p.get("k1").name = "Tent 🌊"
			p.get("k1").set("active", schema.Bool(false))
		}, validate.Failed, "🌊"},
	})
	plan := park().plan(t)
	plan.Name = "Lindenhof 🕳"
	if o := validate.Check(plan, schema.DefaultLimits()).Outcome(validate.RuleWordsUnread); o.Outcome != validate.Failed {
		t.Errorf("a plan's name with a hole: %s", o.Outcome)
	}
}

// The operator's own words are known, in any case; a plan's name may hold proper
// names, and no other words of its own.
func TestWordsUnreadKnown(t *testing.T) {
	l := schema.DefaultLimits()
	for _, w := range []string{"Lindenhof", "TRESPASS"} {
		if err := l.KnowWord(w); err != nil {
			t.Fatal(err)
		}
	}
	for _, w := range []string{"", "12", "two words", "a-b"} {
		if err := l.KnowWord(w); err == nil {
			t.Errorf("%q is taken for a word", w)
		}
	}
	for _, x := range []struct {
		zone, plan string
		want       validate.Outcome
	}{
		{"Lindenhof", "", validate.Passed},
		{"Trespass strip", "", validate.Passed},
		{"Trespass quarry", "", validate.Failed},
		{"Lawn", "Müller, Gartenweg 3", validate.Passed},
		{"Lawn", "Plan 2026 Lindenhof", validate.Passed},
		{"Lawn", "Müller: coordinates shifted", validate.Failed},
		{"Lawn", "VOID", validate.Failed},
		{"Lawn", "Falsche Basis", validate.Failed},
		{"Lawn", "Entwurfsplanung Lindenhof", validate.Failed},
		{"Lawn", "Lindenhof From Earth", validate.Failed},
		{"Lawn", "Müller?", validate.Failed},
	} {
		p := park()
		p.get("z1").name = x.zone
		plan := p.plan(t)
		plan.Name = x.plan
		r := validate.Check(plan, l)
		if o := r.Outcome(validate.RuleWordsUnread); o.Outcome != x.want {
			t.Errorf("%q, %q: %s, want %s: %s", x.zone, x.plan, o.Outcome, x.want, findingOf(r, validate.RuleWordsUnread).Message)
		}
	}
	p := park()
	p.get("z1").name = "Trespass strip by the quarry"
	for _, x := range []struct {
		l    schema.Limits
		want string
	}{
		{schema.DefaultLimits(), "[]"},
		{l, `["trespass" (name of zone "Trespass strip by the quarry")]`},
	} {
		r := validate.Check(p.plan(t), x.l)
		if got := fmt.Sprint(r.HeldHarmless); got != x.want {
			t.Errorf("held harmless: %s, want %s", got, x.want)
		}
		if !strings.Contains(findingOf(r, validate.RuleWordsUnread).Message, `"quarry"`) {
			t.Error("quarry is not told")
		}
	}
	file, err := schema.ReadLimits([]byte("known_words: [Lindenhof, lindenhof, Tarn]\n"), "l.yaml")
	if got := strings.Join(file.KnownWords(), " "); err != nil || got != "lindenhof tarn" {
		t.Errorf("the file's words are %q, %v", got, err)
	}
	for text, says := range map[string]string{"known_words: Lindenhof": "list of words", "known_words: [[a]]": "list of words", "known_words: [two words]": "l.yaml:1: known_words takes words one by one"} {
		if _, err := schema.ReadLimits([]byte(text), "l.yaml"); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v, want %q", text, err, says)
		}
	}
}

// Sentences of harmless words: what the lawn is, how and when it is mown and what
// things are is known; what speaks of another time, place or plan is told, whatever the
// member is called.
func TestWordsUnreadSentences(t *testing.T) {
	note := func(id, words string) func(p *plot) {
		return func(p *plot) {
			if id == "" {
				member(p, "note", schema.String(words))
				return
			}
			p.get(id).set("note", schema.String(words))
		}
	}
	var cases []wordCase
	for _, x := range [][2]string{
		{"z1", "mown only in the morning"}, {"z1", "the new lawn, sown in spring 2024"}, {"z1", "between house and hedge"}, {"z1", "zweimal pro Woche mähen"}, {"z1", "first mown in 2023"}, {"z1", "tonte une fois par semaine en été"},
		{"c2", "along the house"}, {"b1", "on the wall of the house"}, {"b1", "measured in 2024"}, {"d1", "beside the hedge"}, {"m1", "nail in the kerb"}, {"k1", "old roses"}, {"k1", "replanted in October and April"}, {"k1", "replanted in spring"}, {"e1", "old wall"},
		{"", "front and back lawn"}, {"", "Invented for demonstration. No such park exists; the place lies in open water."}, {"", "measured with RTK, mown weekly"},
	} {
		cases = append(cases, wordCase{"known: " + x[1], note(x[0], x[1]), validate.Passed, ""})
	}
	for _, x := range [][3]string{
		{"b1", "this is the old one, the new one is on the garage", "old"}, {"b1", "the mast lies on the ground", "lies"}, {"b1", "in winter at the garage", "in"}, {"b1", "was on the shed", "was"}, {"b1", "in the hedge", "in"}, {"b1", "on the roof of the car", "car"},
		{"z1", "measured from the old base", "old"}, {"z1", "this is the old plan, see the new plan", "old"}, {"z1", "the new wall is in the middle of this lawn", "new"}, {"z1", "the lamp is in the lawn", "lamp"}, {"z1", "only the left part is mown by the robot", "only"}, {"z1", "bad survey", "bad"}, {"z1", "this lawn is on the roof", "roof"}, {"z1", "east is left", "left"}, {"z1", "the east side is the west side", "east"},
		{"d1", "dock is in the garage", "in"}, {"d1", "the new dock is at the shed", "new"}, {"k1", "only in summer", "only"}, {"e1", "lies on the ground", "lies"}, {"e1", "next year", "next"}, {"h1", "twice as wide in winter", "wide"}, {"c2", "a wall is in the way", "wall"}, {"e1", "pond wall", "pond"},
		{"", "all measured in yards", "yards"}, {"", "plan 1 of 3", "plan"}, {"", "north is at the bottom", "bottom"}, {"", "measured on the plan", "plan"},
	} {
		cases = append(cases, wordCase{"told: " + x[0] + " " + x[1], note(x[0], x[1]), validate.Failed, x[2]})
	}
	for _, key := range []string{"cmt", "code", "title", "description", "comment", "type"} {
		cases = append(cases, wordCase{"told under " + key, func(p *plot) { p.get("z1").set(key, schema.String("measured from the old base")) }, validate.Failed, "base"})
	}
	cases = append(cases, wordCase{"told under author", func(p *plot) { member(p, "author", schema.String("measured from the old base")) }, validate.Failed, "base"})
	judgeWords(t, validate.RuleWordsUnread, cases)
}
