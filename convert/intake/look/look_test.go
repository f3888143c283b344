// Tests of the overview: what layers are likely for, units, and grids.

package look

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/dxf"
	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

func TestLikelyRole(t *testing.T) {
	for _, c := range []struct {
		name                 string
		points, lines, areas int
		want                 schema.Role
		why                  string
	}{
		{"LAWN-1", 0, 0, 3, schema.RoleZone, `likely zone: its name has "lawn"`},
		{"Rasenfläche", 0, 2, 0, schema.RoleZone, `likely zone: its name has "rasen"`},
		{"Rasenkante", 0, 2, 0, schema.RoleEdge, `likely edge: its name has "kante"`},
		{"A-Trees", 9, 0, 0, schema.RoleHazard, `likely hazard: its name has "tree"`},
		{"property line", 0, 1, 0, schema.RoleBoundary, `likely boundary: its name has "property"`},
		{"Staudenbeete", 0, 0, 1, schema.RoleKeepout, `likely keepout: its name has "staude"`},
		{"Bedrock", 0, 1, 0, "", "lines: edge, corridor, or an outline in pieces"}, // "bed" must stand alone
		{"bed 3", 0, 0, 1, schema.RoleKeepout, `likely keepout: its name has "bed"`},
		{"Control points", 4, 0, 0, schema.RoleMark, `likely mark: its name has "control"`},
		{"RTK", 0, 3, 0, "", "lines: edge, corridor, or an outline in pieces"}, // a base is a point
		{"Lawn", 0, 0, 0, schema.RoleZone, `likely zone: its name has "lawn"; nothing is drawn on it`},
		{"NO_MOWING", 0, 0, 4, schema.RoleKeepout, `likely keepout: its name says "no mowing"`},
		{"Lawn, not cut", 0, 1, 0, schema.RoleKeepout, `likely keepout: its name says "not cut"`},
		{"0", 0, 0, 5, "", "areas: zone, keepout, hazard or building"},
		{"0", 5, 0, 0, "", "points or texts: mark, hazard, dock, base, or names"},
		{"0", 0, 0, 0, "", "nothing is drawn on it"},
	} {
		if g := LikelyRole(c.name, c.points, c.lines, c.areas); g.Role != c.want || g.Why != c.why {
			t.Errorf("%q: %q %q, want %q %q", c.name, g.Role, g.Why, c.want, c.why)
		}
	}
	for _, m := range meanings {
		if takes()[m.role] == "" {
			t.Errorf("nothing says what %s is drawn with", m.role)
		}
		for _, w := range strings.Fields(m.words) {
			if plain := strings.TrimLeft(w, "=~"); wire.Fold(plain) != plain && !strings.Contains(plain, "_") {
				t.Errorf("the word %q is not folded, and never matches", w)
			}
		}
	}
}

// TestLikelyRoleLanguages has an area called by a word of each language, and
// names that must never be taken for ground to mow.
func TestLikelyRoleLanguages(t *testing.T) {
	for role, names := range map[schema.Role]string{
		schema.RoleZone:     "GRASS|Front lawn|Mow area|turf 3|Rasen|Rasenfläche Süd|Mähfläche|Wiese|Gazon|pelouse 2|zone de tonte|Césped|grasveld|Prato|Græsplæne|gressplen|Gräsmatta|nurmikko|Zone 1|zone_b|FrontLawn",
		schema.RoleKeepout:  "Keep-out|no go|BED|Flower bed|Staudenbeet|Sperrzone|Zone interdite|massif|macizo|Verboden zone|Aiuola|Staudebed|blomsterbed|kukkapenkki|planting|Strauch|shrubs|NO_MOWING|ikke klippe|nicht mähen|ne pas tondre|niet maaien|non tagliare|sin cortar|klipp ej gräs|unmown grass|Rasen nicht",
		schema.RoleHazard:   "Pond|Teich|étang|estanque|vijver|laghetto|dam|damm|lampi|Street|Fahrbahn|Böschung|Swimming pool|Bäume|arbres|träd",
		schema.RoleBuilding: "House|Gebäude|bâtiment|edificio|gebouw|bygning|byggnad|rakennus|Gartenhaus|Greenhouse",
		schema.RoleBoundary: "Property|Grundstücksgrenze|limite de propriété|lindero|erfgrens|confine|matrikelskel|eiendomsgrense|Tomtgräns|tontti",
		schema.RoleEdge:     "Rasenkante|lawn edging|Lawn wall|Mauer|grass fence|mur|muro|hekwerk|recinzione|kantsten|gjerde|staket|reunakivi",
		"":                  "Kunstrasen|artificial grass|kunstgras|Rasengitter|grass paver|lawn path|Rasenweg|Wildflower meadow|Blumenwiese|gazon fleuri|Lawn mower|Rasenmäher|lawn sprinkler|former lawn|Lawn boundary|Rasengrenze|parking on grass|gazon synthétique|zone humide|Zone technique|konstgräs|kunstgræs|Path|Terrasse|Kiesweg",
	} {
		for name := range strings.SplitSeq(names, "|") {
			if g := LikelyRole(name, 0, 0, 1); g.Role != role {
				t.Errorf("%q: %q (%s), want %q", name, g.Role, g.Why, role)
			}
		}
	}
	for name, want := range map[string]string{"Tree 4": `{"hazard_kind":"tree"}`, "Gartenmauer": `{"edge_kind":"wall"}`, "kerb": `{"edge_kind":"kerb"}`, "Edge": "{}", "Teich": `{"hazard_kind":"water"}`} {
		if g := LikelyRole(name, 1, 1, 0); string(g.Set.AppendJSON(nil)) != want {
			t.Errorf("%q sets %s, want %s", name, g.Set.AppendJSON(nil), want)
		}
	}
}

func look(t *testing.T, header, entities string) *dxf.Inventory {
	t.Helper()
	text := "0\nSECTION\n2\nHEADER\n" + header + "0\nENDSEC\n0\nSECTION\n2\nENTITIES\n" + entities + "0\nENDSEC\n0\nEOF\n"
	inv, err := dxf.Look([]byte(text), wire.ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return inv
}

func has(v *Overview, id string) *Grid {
	for i := range v.Grids {
		if v.Grids[i].CRS == id {
			return &v.Grids[i]
		}
	}
	return nil
}

func TestUnitsOfADrawing(t *testing.T) {
	v := Drawing(look(t, "", "0\nLINE\n8\nLawn\n10\n0\n20\n0\n11\n30000\n21\n40000\n"), Options{})
	var units []string
	for _, u := range v.Units {
		units = append(units, u.Unit)
	}
	if got := strings.Join(units, " "); got != "mm cm ft ftUS in" { // 40 m, 400 m, 12 km, 12 km, 1 km; as metres it would be 40 km
		t.Errorf("units %s", got)
	}
	if v.Unit != "" || !v.Local || v.Features != 1 || v.Groups[0].Likely != schema.RoleZone {
		t.Errorf("got %+v", v)
	}
	if s := v.String(); !strings.Contains(s, "unit: not stated") || !strings.Contains(s, "placed from marks") || !strings.Contains(s, "say it with --units") {
		t.Errorf("it reads\n%s", s)
	}
	v = Drawing(look(t, "9\n$INSUNITS\n70\n6\n", "0\nLINE\n8\nLawn\n10\n0\n20\n0\n11\n30000\n21\n40000\n"), Options{})
	if v.Unit != "m" || !strings.Contains(v.String(), "check its unit") {
		t.Errorf("a site of 40 km is taken without a word:\n%s", v)
	}
	v = Drawing(look(t, "", "0\nLINE\n8\nA\n10\n9.1234\n20\n56.1234\n11\n9.1239\n21\n56.1239\n"), Options{})
	if !v.Degrees || v.GridCount != 0 {
		t.Errorf("degrees are not seen: %+v", v)
	}
	if _, err := json.Marshal(v); err != nil {
		t.Error(err)
	}
}

// A place by 56 N 9.5 E; in UTM zone 32 it is some 531 km east, 6 207 km north
// (from the projection itself, below).
func place(t *testing.T) (e, n float64, near *crs.Geodetic) {
	t.Helper()
	utm, err := crs.Parse("EPSG:25832")
	if err != nil {
		t.Fatal(err)
	}
	at := []float64{9.5, 56}
	if err := utm.FromGeodetic(at, 2); err != nil {
		t.Fatal(err)
	}
	return at[0], at[1], &crs.Geodetic{Lon: 9.5, Lat: 56}
}

func TestGridsOfAPlan(t *testing.T) {
	e, n, near := place(t)
	at := func(x, y float64) *schema.Plan {
		return &schema.Plan{Features: []*schema.Feature{{Role: schema.RoleZone, Geometry: geom.NewPolygonFlat(geom.XY, []float64{x, y, x + 50, y, x + 50, y + 40, x, y}, []int{8})}}}
	}
	v := Plan(at(e, n), Options{Near: near})
	g := has(v, "EPSG:25832")
	if g == nil || g.How != "as they are" || !g.placed || kilometres(g.Lon, g.Lat, 9.5, 56) > 0.1 {
		t.Fatalf("the grid it was made in is not found: %+v", v.Grids)
	}
	for _, g := range v.Grids {
		if kilometres(g.Lon, g.Lat, 9.5, 56) > nearKm {
			t.Errorf("%s puts the site %g km off", g.CRS, kilometres(g.Lon, g.Lat, 9.5, 56))
		}
	}
	if g := has(Plan(at(n, e), Options{Near: near}), "EPSG:25832"); g == nil || g.How != "east and north swapped" {
		t.Errorf("swapped coordinates are not seen: %+v", g)
	}
	far := &crs.Geodetic{Lon: 151, Lat: -34}
	if v := Plan(at(e, n), Options{Near: far}); v.GridCount != 0 || len(v.Notes) == 0 {
		t.Errorf("on the other side of the world %d grids fit", v.GridCount)
	}
	v = Plan(at(e, n), Options{})
	if v.GridCount < 20 || len(v.Grids) != MostGrids || !strings.Contains(v.String(), "narrows them down") {
		t.Errorf("without a place %d grids fit", v.GridCount)
	}
	if v := Plan(at(20, 30), Options{}); !v.Local || v.GridCount != 0 {
		t.Errorf("numbers near 0 fit %d grids", v.GridCount)
	}
	p := at(n, e)
	p.CRS, _ = crs.Parse("EPSG:25832")
	if s := Plan(p, Options{Near: near}).String(); !strings.Contains(s, "the file says EPSG:25832, but its numbers are") {
		t.Errorf("a CRS that does not fit is taken without a word:\n%s", s)
	}
}

func TestGridsOfADrawingInMillimetres(t *testing.T) {
	e, n, near := place(t)
	line := func(k float64) string {
		f := func(x float64) string { return number(x * k) }
		return "0\nLINE\n8\nA\n10\n" + f(e) + "\n20\n" + f(n) + "\n11\n" + f(e+60) + "\n21\n" + f(n+70) + "\n"
	}
	if g := has(Drawing(look(t, "9\n$INSUNITS\n70\n4\n", line(1000)), Options{Near: near}), "EPSG:25832"); g == nil || g.Unit != "mm" {
		t.Errorf("a stated unit: %+v", g)
	}
	if g := has(Drawing(look(t, "", line(1000)), Options{Near: near}), "EPSG:25832"); g == nil || g.Unit != "mm" {
		t.Errorf("a unit to be found: %+v", g)
	}
}

func TestFoldersAndDegrees(t *testing.T) {
	f := &schema.Feature{Role: schema.RoleOther, Geometry: geom.NewPointFlat(geom.XYZ, []float64{9.5, 56, 40}),
		Attributes: schema.Attributes{{Key: "folder", Value: schema.List(schema.String("Site"), schema.String("Docking station"))}}}
	p := &schema.Plan{CRS: crs.WGS84(), Source: schema.Source{Format: "kml"}, Features: []*schema.Feature{f, {Role: schema.RoleZone}}}
	v := Plan(p, Options{})
	if v.CRS != "OGC:CRS84" || v.GridCount != 0 || !v.Heights || len(v.Groups) != 2 || v.Groups[0].Name != "Docking station" || v.Groups[0].Likely != schema.RoleDock || v.Groups[1].Name != "zone" {
		t.Errorf("got %+v", v)
	}
	p = &schema.Plan{Features: []*schema.Feature{{Role: schema.RoleOther, Geometry: geom.NewLineStringFlat(geom.XY, []float64{56.1, 9.5, 56.1001, 9.5001})}}}
	if v := Plan(p, Options{}); !v.Degrees {
		t.Error("degrees are not seen")
	}
}
