// Tests of what a plan's name says of the plan.

package validate_test

import (
	"strings"
	"testing"

	"swardline/schema"
	"swardline/validate"
)

// planNamed checks the park under a name of its plan.
func planNamed(t *testing.T, name string, limits schema.Limits) (validate.Outcome, string) {
	t.Helper()
	plan := park().plan(t)
	plan.Name = name
	r := validate.Check(plan, limits)
	for _, rule := range []string{validate.RuleWordsUnread, validate.RuleNameContradicts} {
		if o := r.Outcome(rule); o.Outcome != validate.Passed {
			return o.Outcome, findingOf(r, rule).Message
		}
	}
	return validate.Passed, ""
}

// TestPlanNamesPass: names of places, people and plans in ten languages. Beside those
// of the patterns are such as begin or end like them and are none.
func TestPlanNamesPass(t *testing.T) {
	l := schema.DefaultLimits()
	for _, name := range strings.Split("Lindenhof|Reading|Freising|Gerhardt|Unna|Müller|Example Park (invented)|Bahnhofstraße 4|Rue de la Gare 12|"+
		"Alfred|Manfred und Winifred|Mohamed|Siegfried|Oberried|Reedbed Cottage|Watershed Farm|Ringsted|Halsted Park|Næstved|Landgoed Vermeulen|Natuurgebied|"+
		"Gelsenkirchen|Gebhardt|Gewerbegebiet Nord|Gestüt Weiherhof|Gehöft|Gesamtplan|Gemünden|Gerlingen|Ungerhausen|Verona|Verwaltung|Vereinsheim|Vermont|Zermatt|Überlingen|Unterwalden|Untermühle|"+
		"Jardin des Tilleuls|Parc de la Liberté|Prado Dorado|Huerto de Machado|Villa dei Tigli|Giardino Ripa|Tuin Verhoeven|Slottsparken|Kongens Have|Mäntyharju|Missenhof|Misburg|Mistelbach|"+
		"United Church|Walled Garden|Measured Plan 2026|Surveyed And Approved|Flurstück 1/3|Ringstraße 2/5|Season 2025/26|Half Moon Farm|Test Valley|Testaceous Lane|Old garden Lindenhof|Old Mill|Handyside|Phoneix|Scandia|Alt Planitz|Sacred Heart School|Hundred Acre Meadow|Verstraeten|Gesellschaft am See", "|") {
		if o, says := planNamed(t, name, l); o != validate.Passed {
			t.Errorf("%q: %s: %s", name, o, says)
		}
	}
}

// TestPlanNamesTold: names that say the plan is none to drive by, of each pattern.
func TestPlanNamesTold(t *testing.T) {
	l := schema.DefaultLimits()
	for _, name := range strings.Split("Garden Rejected|Garden Unsafe|Garden Outdated|Garden Mirrored|Garden Unchecked|Garden Condemned|Garden Flooded|Garden Misplaced|Garden Landslide|Garden Sinkhole|Garden 1/3|Garden 12/12|Old plan|Old survey|Test garden|Garden Storno|Garden DNU|Garden Udkast|Garden Ébauche|Garden Flip|Garden Phone|Garden Screenshot|Garden Scan|Garten Foto|Garden Ortho|Garten Drohne|Garten Flurkarte|Garden half|"+
		"Adjusted By Nobody Unadjusted|Garden Modified|Garden Denied|Garden Misfit|Garden Mismatch|Garden Unclear|Garden Unbroken|"+
		"Garten Gespiegelt|Garten Verdreht|Garten Geändert|Garten Verworfen|Garten Überflutet|Garten Ungenau|Garten Unbrauchbar|Garten Zerstört|Garten Gestrichen|Garten Entwertet|"+
		"Jardin Inondé|Jardín Rechazado|Tuin Afgekeurd|Giardino Allagato|Trädgård Spegelvänd|Have Afvist|Hage Ugyldig|Puutarha Hylätty", "|") {
		o, says := planNamed(t, name, l)
		if o == validate.Passed {
			t.Errorf("%q passes", name)
		}
		if !strings.Contains(says, "words that no rule knows") {
			t.Errorf("%q: %s", name, says)
		}
	}
	if o, _ := planNamed(t, "Garden 13/13", l); o != validate.Passed {
		t.Error("more sheets than a plan has are told")
	}
	if err := l.KnowWord("rejected"); err != nil {
		t.Fatal(err)
	}
	if o, says := planNamed(t, "Garden Rejected", l); o != validate.Passed {
		t.Errorf("the operator's own word is told: %s", says)
	}
}

// TestPlanNamesUnfinished: names that somebody has yet to give, or that a program gave;
// beside them clubs, people and places with names as short or as alike.
func TestPlanNamesUnfinished(t *testing.T) {
	l := schema.DefaultLimits()
	for _, name := range strings.Split("TBD|TBC|Tba|WIP|Garden WIP|wip garden|N/A|n/a|Garden (n / a)|N.A.|k.A.|k. A.|N. N.|NN|xxx|XXXX|XX|Asdf|Qwertz|untitled|Untitled 3|Unbenannt|Namenlos|Naamloos|Namnlös|Nimetön|neu|Neu|Neu 2|new|Nouveau|"+
		"New document|Neuer Plan|Neues Dokument (2)|Nieuwe map|Nytt projekt|Kopie von Garten|Kopie Garten - Kopie|copy of garden|Copy of Copy of Garden|Garden - copy|Garden (Copy 2)|Copie de jardin|Copia di Giardino|Kopia av Park|"+
		"In Arbeit|Garten in Bearbeitung|Garden, work in progress|Jardin en cours|Garden To Do|TO"+"DO|Fix-me|Garden to be surveyed|Garten Zu Prüfen|Jardin à définir", "|") {
		if o, says := planNamed(t, name, l); o == validate.Passed {
			t.Errorf("%q passes: %s", name, says)
		}
	}
	for _, name := range strings.Split("TSV|FCB|ASV Nord|TC Lindenhof|K.A. Müller|N. N. Berger|Neustadt|Neue Welt|Neuer Garten|New Forest|Nouveau Jardin|Newham|Nyborg|Plan 2|Document House|Copyhold Farm|Copenhagen|Kopisch|Naarden|Nanna|"+
		"Arbeiterheim|Progress Park|Cours Mirabeau|Toledo|Leer|Xanten|Kanal|Garden NW|Parc XX|Todoroki", "|") {
		if o, says := planNamed(t, name, l); o != validate.Passed {
			t.Errorf("%q: %s: %s", name, o, says)
		}
	}
	if err := l.KnowWord("wip"); err != nil {
		t.Fatal(err)
	}
	if o, says := planNamed(t, "WIP", l); o != validate.Passed {
		t.Errorf("the operator's own word is told: %s", says)
	}
	if o, _ := planNamed(t, "TBD", l); o == validate.Passed {
		t.Error("another passes with it")
	}
	for _, w := range []string{"namenlos", "kopia", "av"} {
		if err := l.KnowWord(w); err != nil {
			t.Fatal(err)
		}
	}
	for _, name := range []string{"Namenlos", "Kopia av Park"} {
		if o, says := planNamed(t, name, l); o != validate.Passed {
			t.Errorf("%q of the operator's own words is told: %s", name, says)
		}
	}
}
