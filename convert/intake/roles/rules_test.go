// Tests of reading rules files.

package roles

import (
	"errors"
	"testing"

	"swardline/convert/wire"
	"swardline/schema"
)

func TestReadRules(t *testing.T) {
	rules, err := Read([]byte(`
tolerance_m: 0.02
rules:
  - layer: "LAWN*"
    geometry: [line, area]
    role: zone
    holes: true
    name_from: text
    set: {cut_mm: 40, active: true, note: "01", nested: [1, null, {a: 2.50}]}
  - layer: [TREES, "/^bush(es)?$/"]
    role: hazard
    colour: green
    rings: true
    tolerance_m: 0
    text_within_m: 3.5
  - leave_out: true
    entity: DIM*
`), "r.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if rules.ToleranceM != 0.02 || len(rules.List) != 3 {
		t.Fatalf("got %+v", rules)
	}
	zone, hazard, out := rules.List[0], rules.List[1], rules.List[2]
	if zone.Line != 4 || zone.Role != schema.RoleZone || !zone.Rings || !zone.Holes || zone.NameFrom != "text" || zone.ToleranceM != 0.02 || zone.TextWithinM != DefaultTextWithinM {
		t.Errorf("got %+v", zone)
	}
	if got := string(zone.Set.AppendJSON(nil)); got != `{"cut_mm":40,"active":true,"note":"01","nested":[1,null,{"a":2.50}]}` {
		t.Errorf("set is %s", got)
	}
	if hazard.Line != 10 || !hazard.Rings || hazard.ToleranceM != 0 || hazard.TextWithinM != 3.5 || !hazard.Colour.Match("3") || hazard.Colour.Match("30") {
		t.Errorf("got %+v", hazard)
	}
	if !out.LeaveOut || out.Role != "" || out.Rings {
		t.Errorf("got %+v", out)
	}
}

func TestPatterns(t *testing.T) {
	for _, c := range []struct {
		pattern, text string
		want          bool
	}{
		{"LAWN*", "lawn 1", true},
		{"LAWN*", "my lawn", false},
		{"*lawn*", "My Lawn 2", true},
		{"L?wn", "lawn", true},
		{"L?wn", "laawn", false},
		{"bed[12]", "BED2", true},
		{"bed[12]", "bed3", false},
		{"bed[!12]", "bed3", true},
		{"bed[0-9]", "bed7", true},
		{"a.b", "axb", false},
		{"a.b", "a.b", true},
		{"a|b", "a", false},
		{"grün*", "GRÜN", true},
		{`back\slash`, `back\slash`, true},
		{"/^zone/", "ZONE-3", true},
		{"/zone$/", "zone 3", false},
		{"/a|b/", "xbx", true},
		{"", "", true},
		{"", "x", false},
		{"*", "", true},
		{"*", "two\nlines", true},
	} {
		re, err := compile(c.pattern)
		if err != nil {
			t.Errorf("%q: %v", c.pattern, err)
			continue
		}
		if got := re.MatchString(c.text); got != c.want {
			t.Errorf("%q on %q: %v", c.pattern, c.text, got)
		}
	}
}

func TestRulesFilesThatAreRefused(t *testing.T) {
	for _, c := range []struct {
		text, want string
	}{
		{"", "r.yaml: the file is empty; check that it was saved or sent whole"},
		{"# only a comment\n", "r.yaml:1: the file has no rules; write a list under 'rules:'"},
		{"rules: []\n", "r.yaml:1: the file has no rules; write a list under 'rules:'"},
		{"- a\n", `r.yaml:1: a rules file should stand here, got a list; write lines such as 'role: zone'`},
		{"ruels:\n  - role: zone\n", `r.yaml:1: there is no key called "ruels" here; the nearest is "rules"`},
		{"rules:\n  - role: zoone\n", `r.yaml:2: there is no role called "zoone"; the nearest is "zone"; the roles are zone, keepout, corridor, dock, base, mark, hazard, edge, boundary, supply, building, other`},
		{"rules:\n  - layer: A\n    roll: zone\n", `r.yaml:3: there is no key called "roll" here; the nearest is "role"`},
		{"rules:\n  - colr: red\n    role: zone\n", `r.yaml:2: there is no key called "colr" here; the nearest is "color"`},
		{"rules:\n  - layer: A\n", `r.yaml:2: the rule gives no role; add 'role: ...', or 'leave_out: true'`},
		{"rules:\n  - role: zone\n    leave_out: true\n", `r.yaml:2: the rule both gives a role and leaves out; remove one`},
		{"rules:\n  - leave_out: true\n    holes: true\n", `r.yaml:2: a rule that leaves out says what its features become; remove everything but the conditions`},
		{"rules:\n  - role: zone\n    role: dock\n", `r.yaml:3: the key "role" stands twice; remove one`},
		{"rules:\n  - role: zone\n    geometry: polygn\n", `r.yaml:3: there is no geometry called "polygn"; the nearest is "point"`},
		{"rules:\n  - role: zone\n    colour: gren\n", `r.yaml:3: there is no colour called "gren"; the nearest is "green"; a number from 0 to 256 or "#rrggbb" does too`},
		{"rules:\n  - role: zone\n    colour: 300\n", `r.yaml:3: there is no colour 300; the numbers are 0 to 256`},
		{"rules:\n  - role: zone\n    colour: #00ff00\n", `r.yaml:3: colour should be a pattern, got nothing; write a text; put quotes round one that starts with #`},
		{"rules:\n  - role: zone\n    layer: [A, {b: c}]\n", `r.yaml:3: layer should be a pattern, got a mapping; write a text, or a list of texts`},
		{"rules:\n  - role: zone\n    layer: \"/(/\"\n", "r.yaml:3: the pattern \"/(/\" is not well formed: missing closing ): `(?i)(`; globs have * ? [abc]; regular expressions stand between slashes"},
		{"rules:\n  - role: zone\n    layer: \"a[b\"\n", `r.yaml:3: the pattern "a[b" is not well formed: a [ has no ]; globs have * ? [abc]; regular expressions stand between slashes`},
		{"rules:\n  - role: zone\n    holes: maybe\n", `r.yaml:3: holes should be true or false, got "maybe"`},
		{"rules:\n  - role: zone\n    tolerance_m: 1 cm\n", `r.yaml:3: tolerance_m should be a number of metres, got "1 cm"`},
		{"rules:\n  - role: zone\n    tolerance_m: -1\n", `r.yaml:3: tolerance_m should be 0 m or more, got -1`},
		{"rules:\n  - role: zone\n    tolerance_m: .nan\n", `r.yaml:3: tolerance_m should be a number of metres, got ".nan"`},
		{"rules:\n  - role: zone\n    name_from: txet\n", `r.yaml:3: a name comes from nothing called "txet"; the nearest is "text"; "attrib:TAG" takes an attribute of a block, "inside:TAG" that of a block inside, "property:KEY" a property`},
		{"rules:\n  - role: edge\n    set: {edge_kind: wal}\n", `r.yaml:3: there is no edge_kind called "wal"; the nearest is "wall"`},
		{"rules:\n  - role: edge\n    set: {role: zone}\n", `r.yaml:3: set cannot give the role; the role has its own key; ids stay as they are`},
		{"rules:\n  - role: edge\n    set: {name: 7}\n", `r.yaml:3: a name is a text, got a number; put quotes round it`},
		{"rules:\n  - role: edge\n    set: {x: 0x10}\n", `r.yaml:3: "0x10" is not a plain number; write digits with a point, or put quotes round a text`},
		{"rules:\n  - role: &r zone\n  - role: *r\n", `r.yaml:3: role is an alias (*); write it out`},
		{"rules:\n  - role: zone\n---\nrules: []\n", `r.yaml:3: a rules file holds one document; remove the second`},
		{"rules:\n  - role: [zone\n", `r.yaml:1: not YAML: did not find expected ',' or ']'; check the indentation and the quotes near there`},
	} {
		_, err := Read([]byte(c.text), "r.yaml")
		var in *wire.InputError
		if !errors.As(err, &in) {
			t.Errorf("%q: got %v", c.text, err)
			continue
		}
		if in.Error() != c.want {
			t.Errorf("%q:\n got %s\nwant %s", c.text, in.Error(), c.want)
		}
	}
}

func FuzzRead(f *testing.F) {
	for _, seed := range []string{
		"rules:\n  - layer: \"LAWN*\"\n    geometry: [line, area]\n    role: zone\n    holes: true\n    name_from: text\n    set: {cut_mm: 40, nested: [1, {a: null}]}\n",
		"tolerance_m: 0.5\nrules:\n  - {block: \"/^a[bc]+/\", colour: [red, 3, \"#00ff00\"], role: hazard, text_within_m: 2}\n  - {leave_out: true, entity: DIM?}\n",
		"rules: &a\n  - *a\n",
		"rules:\n  - role: zone\n    layer: \"[!a-\"\n",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		rules, err := Read(data, "r.yaml")
		var in *wire.InputError
		switch {
		case err != nil && (!errors.As(err, &in) || in.Problem == "" || in.File == ""):
			t.Fatalf("not a clear error: %v", err)
		case err == nil && len(rules.List) == 0:
			t.Fatal("no rules and no error")
		}
	})
}
