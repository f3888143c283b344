// Tests of the schema document: it says what the code says.

package schema

import (
	"bytes"
	"encoding/json"
	"os"
	"reflect"
	"sort"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// node follows names into the document.
func node(t *testing.T, names ...string) map[string]any {
	t.Helper()
	var v any
	if err := json.Unmarshal(Document(), &v); err != nil {
		t.Fatal(err)
	}
	for _, n := range names {
		m, ok := v.(map[string]any)
		if !ok || m[n] == nil {
			t.Fatalf("the document has no %s", strings.Join(names, "."))
		}
		v = m[n]
	}
	return v.(map[string]any)
}

func texts(v any) []string {
	var out []string
	for _, item := range v.([]any) {
		out = append(out, item.(string))
	}
	return out
}

func keys(m map[string]any) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}

func TestDocumentSaysWhatTheCodeSays(t *testing.T) {
	var roles []string
	for _, r := range Roles {
		roles = append(roles, string(r))
	}
	if got := texts(node(t, "$defs", "properties", "properties", "role")["enum"]); !reflect.DeepEqual(got, roles) {
		t.Errorf("roles %v, want %v", got, roles)
	}
	var limits []string
	for _, d := range LimitTable {
		limits = append(limits, d.Key)
	}
	sort.Strings(limits)
	if got := keys(node(t, "$defs", "limits", "properties")); !reflect.DeepEqual(got, limits) {
		t.Errorf("limits %v, want %v", got, limits)
	}
	if got := texts(node(t, "$defs", "properties", "properties", "edge_kind")["enum"]); !reflect.DeepEqual(got, EdgeKinds) {
		t.Errorf("edge kinds %v, want %v", got, EdgeKinds)
	}
	known := []string{PropRole, PropName, PropActive, PropNote, PropDrivenOver, PropHeadingDeg, PropCutMM, PropStandoffM, PropFrame, PropEpoch, PropAntennaHeight,
		PropEdgeKind, PropHazardKind, PropHeightM, PropRadiusM, PropLimits, PropTimes, PropCrownBaseM, PropFix, PropSigma, PropDrawnFrom}
	sort.Strings(known)
	if got := keys(node(t, "$defs", "properties", "properties")); !reflect.DeepEqual(got, known) {
		t.Errorf("properties %v, want %v", got, known)
	}
	plan := node(t, "properties")
	for _, k := range []string{PlanHeld, PlanLimits, PlanSiteGrid, PlanPlacement, PlanHistory, PlanBeside, PropName, PropEpoch} {
		if plan[k] == nil {
			t.Errorf("the plan's member %s is missing", k)
		}
	}
	for _, r := range Roles {
		area := false
		for _, a := range texts(node(t, "$defs", "hasRole", "area", "properties", "properties", "properties", "role")["enum"]) {
			area = area || a == string(r)
		}
		if area != r.IsArea() {
			t.Errorf("%s is an area: %v in the document, %v in the code", r, area, r.IsArea())
		}
	}
	if id := node(t)["$id"]; id != DocumentID {
		t.Errorf("$id %v, want %s", id, DocumentID)
	}
	file, err := os.ReadFile("plan.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(file, Document()) {
		t.Error("the published file is not the embedded one")
	}
}

func TestDocumentIsASchema(t *testing.T) {
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(Document()))
	if err != nil {
		t.Fatal(err)
	}
	meta, err := jsonschema.NewCompiler().Compile("https://json-schema.org/draft/2020-12/schema")
	if err != nil {
		t.Fatal(err)
	}
	if err := meta.Validate(doc); err != nil {
		t.Error(err)
	}
}
