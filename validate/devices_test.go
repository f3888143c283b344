// Tests of devices and programs that are named by name alone.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

func TestDevicesByNameAlone(t *testing.T) {
	const unknown, rough = "nothing says how well that measured", "that it was not measured holds"
	judgeWords(t, validate.RuleSurveyQuality, []wordCase{
		{"a name", withProps("z1", "instrument", "Wandra eTrek 10"), validate.Failed, unknown},
		{"a name with a capital in it", withProps("b1", "device", "aPod Pro"), validate.Failed, unknown},
		{"nothing that is", withProps("z1", "device", "mock-up"), validate.Failed, rough},
		{"a name of a make", withProps("h1", "device", "Pebble 7"), validate.Failed, unknown},
		{"of four letters", withProps("b1", "receiver", "Navi"), validate.Failed, unknown},
		{"of three", withProps("b1", "receiver", "Nav 7"), validate.NotNeeded, ""},
		{"a number", withProps("b1", "instrument", "GX-12"), validate.NotNeeded, ""},
		{"a receiver", withProps("b1", "device", "Wandra GNSS receiver"), validate.NotNeeded, ""},
		{"a total station", withProps("z1", "instrument", "Wandra total station"), validate.NotNeeded, ""},
		{"a name with its fix", withProps("z1", "instrument", "Wandra 10", "fix", "fixed"), validate.Unchecked, "does not say how it was measured"},
		{"a name with its error in another word", withProps("z1", "instrument", "Wandra 10", "hrms", 0.012), validate.NotNeeded, ""},
		{"a mast's make", withProps("b1", "make", "Wandra"), validate.Failed, unknown},
		{"a dock's make", withProps("d1", "make", "Wandra"), validate.NotNeeded, ""},

		{"pictures", withProps("z1", "software", "PhotoDraw"), validate.Failed, rough},
		{"sketches", withProps("z1", "software", "SketchIt"), validate.Failed, rough},
		{"the earth", withProps("z1", "software", "Whole Earth Viewer"), validate.Failed, rough},
		{"a street", withProps("z1", "software", "Street View"), validate.Failed, rough},
		{"a survey from pictures", withProps("z1", "software", "Photogrammetry 3"), validate.NotNeeded, ""},
		{"a program", withProps("z1", "software", "Feldbuch 4"), validate.NotNeeded, ""},
		{"people called so", withProps("z1", "surveyor", "Earth Surveys Ltd"), validate.NotNeeded, ""},
		{"float", withProps("b1", "receiver", "float"), validate.Failed, rough},
		{"no RTK", withProps("b1", "receiver", "no RTK"), validate.Failed, rough},
		{"SBAS", withProps("b1", "receiver", "SBAS"), validate.Failed, rough},
		{"paces", withProps("z1", "instrument", "paces"), validate.Failed, rough},
		{"RTK", withProps("b1", "receiver", "RTK"), validate.NotNeeded, ""},
	})
	// Words of the operator's own are known.
	for _, known := range []string{"Wandra", "Lindenhof"} {
		p := park()
		p.get("z1").set("instrument", schema.String("Wandra 10"))
		limits, err := schema.ReadLimits([]byte("known_words: ["+known+"]\n"), "l.yaml")
		if err != nil {
			t.Fatal(err)
		}
		if o := validate.Check(p.plan(t), limits).Outcome(validate.RuleSurveyQuality); (o.Outcome == validate.Failed) != (known != "Wandra") {
			t.Errorf("%s: %s", known, o.Outcome)
		}
	}
}

// TestGrownInWater: what grows on a lawn that grows in water alone, or nothing.
func TestGrownInWater(t *testing.T) {
	judgeWords(t, validate.RuleWordsUnread, []wordCase{
		{"grass", withProps("z1", "species", "red fescue"), validate.Passed, ""},
		{"reed", withProps("z1", "species", "Reed"), validate.Failed, "reed"},
		{"lilies", withProps("z1", "species", "waterlilies"), validate.Failed, "waterlilies"},
		{"in German", withProps("c1", "species", "Schilf"), validate.Failed, "schilf"},
		{"gravel", withProps("z1", "seed", "gravel"), validate.Failed, "gravel"},
		{"reed that is kept out", withProps("k1", "species", "Reed"), validate.Passed, ""},
	})
	judgeWords(t, validate.RulePropertyMisnamed, []wordCase{
		{"a trunk as thick", lawnThing("tree", circle(15, -20, 2, 90), thing{point: &orb.Point{15, -20}}, "height_m", 8.0, "radius_m", 0.3, "thickness", 0.6), validate.Passed, ""},
		{"a lid so thick", lawnThing("manhole", circle(15, -20, 2, 90), thing{point: &orb.Point{15, -20}}, "radius_m", 0.3, "thickness", 2.0), validate.Passed, ""},
		{"a trunk more thick", lawnThing("tree", circle(15, -20, 2, 90), thing{point: &orb.Point{15, -20}}, "height_m", 8.0, "radius_m", 0.3, "thickness", 2.0), validate.Failed, "which is more"},
	})
}
