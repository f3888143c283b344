// Tests of starter files: they read, say what is there, and never make ground
// to mow of what a word speaks against.

package roles

import (
	"strings"
	"testing"

	"swardline/schema"
)

func TestStarter(t *testing.T) {
	prop := func(key, value string) schema.Attribute {
		return schema.Attribute{Key: key, Value: schema.String(value)}
	}
	square := ring(0, 0, 10, 0, 10, 10, 0, 10, 0, 0)
	p := planOf(on("LAWN", square), on("LAWN", path(0, 0, 5, 5)), on("0", at(1, 1), prop(schema.PropBlock, "TREE_OAK")), on("OLD", square, prop(schema.PropLayerState, "frozen")),
		&schema.Feature{Role: schema.RoleOther, Name: "Lawn 1", Geometry: square, Attributes: schema.Attributes{prop("ASSET_TYPE", "GRASS"), prop("STATUS", "live")}},
		&schema.Feature{Role: schema.RoleOther, Name: "Lawn 2", Geometry: square, Attributes: schema.Attributes{prop("ASSET_TYPE", "GRASS"), prop("STATUS", "live")}},
		&schema.Feature{Role: schema.RoleOther, Name: "Lawn mower", Geometry: square, Attributes: schema.Attributes{prop("ASSET_TYPE", "KUNSTRASEN"), prop("STATUS", "live")}},
		&schema.Feature{Role: schema.RoleOther, Name: "x [1]*?", Geometry: at(5, 5), Attributes: schema.Attributes{prop("ASSET_TYPE", "TREE")}},
		&schema.Feature{Role: schema.RoleZone, Name: "known", Geometry: square})
	p.Source.File = "council.geojson"
	text := Starter(p)
	for _, want := range []string{
		"# Roles for council.geojson: 9 features, 8 of them without a role.\n",
		"# property ASSET_TYPE: GRASS 2, KUNSTRASEN 1, TREE 1\n", "# property STATUS: live 3\n",
		"  - where: {\"ASSET_TYPE\": \"GRASS\"} # 2 areas; likely zone: its name has \"grass\"\n    role: zone\n",
		"  - where: {\"ASSET_TYPE\": \"KUNSTRASEN\"} # 1 area; its name has \"rasen\", but \"kunst\" speaks against zone: say what it is\n    role: \"?\"\n",
		"  - where: {\"ASSET_TYPE\": \"TREE\"} # 1 point; likely hazard: its name has \"tree\"\n    role: hazard\n    set: {hazard_kind: \"tree\"}\n",
		"  - block: \"TREE_OAK\" # 1 point; likely hazard", "  - layer: \"LAWN\" # 1 area, 1 line; likely zone", "  - layer: \"OLD\" # 1 area; areas:",
		"  - name: \"/^Lawn[-_.# ]*[0-9]+$/\" # 2 areas; likely zone", "  - name: \"x [[]1][*][?]\" # 1 point;",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the starter lacks\n%s\nin\n%s", want, text)
		}
	}
	out, rep := Apply(p, rulesOf(t, text))
	for _, f := range out.Features {
		if f.Role == schema.RoleZone && (f.Name == "Lawn mower" || f.Attributes.Has(schema.PropLayerState)) {
			t.Errorf("%q became ground to mow", f.Name)
		}
	}
	if out.Features[0].Role != schema.RoleZone || out.Features[3].Role != schema.RoleOther || out.Features[4].Role != schema.RoleZone || out.Features[6].Role != schema.RoleOther {
		t.Errorf("the starter did not give its guesses: %s", rep.String())
	}
}

// TestStarterNeverContradicts: in a folder of lawns, what its own name speaks
// against does not become one.
func TestStarterNeverContradicts(t *testing.T) {
	square := ring(0, 0, 10, 0, 10, 10, 0, 10, 0, 0)
	p := planOf()
	for _, name := range []string{"Front lawn", "Rose bed", "No mowing", "Kunstrasen", "Lawn mower", "Terrasse", "Pond", "Green 3"} {
		p.Features = append(p.Features, &schema.Feature{Role: schema.RoleOther, Name: name, Geometry: square,
			Attributes: schema.Attributes{{Key: schema.PropFolder, Value: schema.List(schema.String("Lawns"))}}})
	}
	out, _ := Apply(p, rulesOf(t, Starter(p)))
	var got []string
	for _, f := range out.Features {
		got = append(got, string(f.Role))
	}
	if want := "zone keepout keepout other other other hazard zone"; strings.Join(got, " ") != want {
		t.Errorf("got %s, want %s\n%s", got, want, Starter(p))
	}
}

func TestStarterOfNothing(t *testing.T) {
	for _, p := range []*schema.Plan{planOf(), planOf(&schema.Feature{Role: schema.RoleOther}), planOf(&schema.Feature{Role: schema.RoleDock})} {
		rules := rulesOf(t, Starter(p))
		if out, _ := Apply(p, rules); len(out.Features) != len(p.Features) {
			t.Error("a starter took features out")
		}
	}
}

func TestExplainNamesEveryKey(t *testing.T) {
	page := Explain()
	for _, k := range Keys {
		if k.Means == "" || !strings.Contains(page, "  "+k.Name+" ") || !strings.Contains(page, k.Example) {
			t.Errorf("the page does not explain %s", k.Name)
		}
		// Each example is one that reads.
		text := "rules:\n  - " + k.Example + "\n"
		if k.Name != "role" && k.Name != "leave_out" {
			text += "    role: hazard\n"
		}
		if _, err := Read([]byte(text), "r.yaml"); err != nil {
			t.Errorf("the example of %s: %v", k.Name, err)
		}
	}
}

// FuzzStarter: whatever a file calls its things, the starter reads.
func FuzzStarter(f *testing.F) {
	f.Add("Lawn 1", "ASSET", "GRASS")
	f.Add("# a: b\n- c", "\"", "/x/")
	f.Add("\u2028\u0085", "[", "*?[]\\")
	f.Add("'\x00\t", "?", "!!binary")
	f.Add("Lawn 1", strings.Repeat("d", 1200), "GRASS")
	f.Fuzz(func(t *testing.T, name, key, value string) {
		p := planOf(&schema.Feature{Role: schema.RoleOther, Name: name, Geometry: at(1, 1), Attributes: schema.Attributes{{Key: key, Value: schema.String(value)}, {Key: schema.PropCode, Value: schema.String(name)}}},
			&schema.Feature{Role: schema.RoleOther, Geometry: path(0, 0, 1, 1), Attributes: schema.Attributes{{Key: key, Value: schema.String(value)}, {Key: schema.PropLayer, Value: schema.String(value)}}})
		p.Source.File = name
		text := Starter(p)
		rules, err := Read([]byte(text), "r.yaml")
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		Apply(p, rules)
	})
}
