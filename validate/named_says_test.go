// Tests of what names, layers and texts claim of the state of a thing, and of the
// names that people give every day.

package validate

import (
	"strings"
	"testing"

	geom "github.com/twpayne/go-geom"

	"swardline/schema"
)

func nameLine(role schema.Role, name string, pairs ...any) *schema.Feature {
	return thing(role, name, geom.NewLineStringFlat(geom.XY, []float64{50, -5, 50, 30}), pairs...)
}

// TestClaimListsHoldNoWordTwice: a phrase of two lists would say what the last says.
func TestClaimListsHoldNoWordTwice(t *testing.T) {
	seen := map[string]bool{}
	add := func(p string) {
		w := schema.FoldName(strings.ReplaceAll(p, " ", ""))
		if seen[w] {
			t.Errorf("%q stands in two lists, or twice in one", p)
		}
		seen[w] = true
	}
	for _, l := range claimLists {
		for _, p := range strings.Split(l.phrases, ", ") {
			if n := len(nameWords(p)); n > mostClaimWords {
				t.Errorf("%q has %d words", p, n)
			}
			if p != schema.FoldName(p) {
				t.Errorf("%q is not folded", p)
			}
			add(p)
		}
	}
	for _, w := range tracedWords[len(pictureWords):] {
		add(w)
	}
	for _, list := range [][]string{unmownWords, keptWords, passingWords, shutWords, standingWords, aboveWords, softWords, streetWords, flushWords, bridgeWords, crossWords, crossAlone, closedStarts, datumWords} {
		in := map[string]bool{}
		for _, w := range list {
			if in[w] {
				t.Errorf("%q twice in %v", w, list[:3])
			}
			if in[w] = true; w != schema.FoldName(w) {
				t.Errorf("%q is not folded", w)
			}
		}
	}
}

// about are what names of things near 50 to 60 by 5 are after: a pond and a stream, a
// road, a drop, a gate and a garage.
func about() []*schema.Feature {
	line := func(role schema.Role, x0, y0, x1, y1 float64, pairs ...any) *schema.Feature {
		return thing(role, "", geom.NewLineStringFlat(geom.XY, []float64{x0, y0, x1, y1}), pairs...)
	}
	return []*schema.Feature{
		thing(schema.RoleHazard, "", box(54, 20, 56, 22), "hazard_kind", "pond"),
		line(schema.RoleHazard, 55, 12, 55, 15, "hazard_kind", "stream"),
		line(schema.RoleHazard, 53, 12, 53, 15, "hazard_kind", "road", "width_m", 1.0),
		line(schema.RoleEdge, 71, 5, 71, 9, "edge_kind", "drop"),
		line(schema.RoleEdge, 60, 2.5, 61, 2.5, "edge_kind", "gate"),
		thing(schema.RoleBuilding, "Garage", box(57, 6, 59, 9)),
	}
}

// TestDailyNames: what lawns, ways, edges, bases and the rest are called every
// day, after what lies beside them and otherwise.
func TestDailyNames(t *testing.T) {
	names := map[schema.Role][]string{
		schema.RoleZone: {
			"Pond lawn", "Teichwiese", "Church lawn", "Hausgarten", "Road verge", "Long wall border", "Old orchard", "Old garden", "Alter Garten", "Alte Wiese", "New lawn", "Roof terrace lawn", "Hillside", "Hedge side",
			"Playground", "Spielplatz", "Cemetery", "Friedhof", "Kirchwiese", "Wiese am Bach", "Uferwiese", "Obstwiese", "Vorgarten Nord", "Rasen 3", "Wiese hinter dem Haus", "Streifen an der Hecke", "Nachbarseite", "Grenze zum Nachbarn", "Neighbour side strip", "Neighbour's hedge strip",
			"Pelouse du lac", "Jardin privé de l hôtel", "Pré de la rivière", "Verger ancien", "Devant la maison", "Côté voisin",
			"Jardín de la casa", "Césped junto a la piscina", "Prado del río", "Huerto viejo", "Zona norte",
			"Gazon achter het huis", "Tuin bij de vijver", "Oude boomgaard", "Weide langs de sloot",
			"Prato vicino al lago", "Giardino della casa", "Prato davanti al muro", "Area sud",
			"Gräsmatta vid sjön", "Bakom huset", "Gamla trädgården", "Plænen ved åen", "Gammel have", "Bag huset", "Plen ved veien", "Gamle hagen", "Bak huset", "Rannan nurmikko", "Talon takana", "Vanha puutarha",
			"Lawn approx. 300 m2", "Wiese, ca. 40 m", "Lawn 1 (mow twice)", "Nicht zu oft mähen", "Closeside", "Test track lawn", "Private garden", "Gate lawn", "Keep lawn", "Danger Mouse garden", "Steep Street green", "Phone box lawn", "Map room lawn",
		},
		schema.RoleCorridor: {"Link", "Path along the pond", "Path crossing", "Teichweg", "Road path", "Way to gate", "Verbindung Nord", "Durchgang", "Passage nord", "Camino al estanque", "Doorgang", "Passaggio", "Gång", "Sti", "Polku", "Dock way", "Weg hinter dem Haus"},
		schema.RoleBoundary: {"Property", "Parcel 12/4", "Grundstück", "Parcelle", "Parcela", "Perceel", "Particella", "Tomt", "Grund", "Tontti", "Garden plot", "Lot 7"},
		schema.RoleBase:     {"Mast", "House mast", "Base 2026", "Barn roof base", "Basis Nord", "Station de base", "Gate base", "Base by the oak", "Estación", "Basisstation", "Tukiasema"},
		schema.RoleDock:     {"Dock", "Station am Haus", "Dock by the pond", "Ladestation", "Garage dock"},
		schema.RoleSupply:   {"Outlet", "House socket", "Steckdose"},
		schema.RoleBuilding: {"House", "Terrace", "Bank", "Carport", "Scheune", "Maison", "Casa", "Talo", "Boat house", "Old mill", "Altes Haus"},
		schema.RoleHazard:   {"Old oak", "Alte Eiche", "Old well", "Temporary heap", "Planned bench"},
		schema.RoleKeepout:  {"Temporary keep-out", "Old tree", "Planned bed", "Do not mow", "Closed"},
	}
	for role, list := range names {
		for _, name := range list {
			f := thing(role, name, box(60, 5, 70, 9), "hazard_kind", "bench", "note", "mown on Tuesdays, the old oak was removed in 2019", "folder", "Garden")
			if role != schema.RoleHazard {
				f.Attributes.Delete(schema.PropHazardKind)
			}
			switch role {
			case schema.RoleCorridor:
				f.Geometry = nameLine(role, name).Geometry
			case schema.RoleBase, schema.RoleDock, schema.RoleSupply:
				f.Geometry = spot(60, 5)
			}
			if name == "Old well" {
				f.Attributes.Set(schema.PropHazardKind, schema.String("well"))
			}
			if got := only(Check(driftPlan(t, append(about(), thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25)), f)...), schema.DefaultLimits()), RuleNameContradicts); len(got) > 0 {
				t.Errorf("%s %q: %s", role, name, got[0].Message)
			}
		}
	}
	for kind, list := range map[string][]string{
		"wall":  {"North wall", "Long wall", "Retaining wall", "Mauer", "Garden wall by the road", "Pond wall"},
		"fence": {"Pond fence", "Teichzaun", "Pool fence", "Old fence line", "Staket"},
		"kerb":  {"Road kerb", "Bordstein", "Path edge"},
		"flush": {"Lawn surround", "Path edge", "Mähkante", "Bordure de pelouse", "Pool terrace slabs", "Driveway", "Terrace", "Terrace 2", "Terrace edge", "House terrace"},
		"gate":  {"Gate", "Gate (never locked)", "Tor nicht abgeschlossen", "Gate, always open", "Wall Street gate", "Gate 1.2 m wide", "Gate to road", "Gartentor"},
		"ramp":  {"Ramp", "Kerb ramp", "Rampe 8 %"},
		"drop":  {"Drop 2 m", "Retaining wall top", "Terrace edge"},
	} {
		for _, name := range list {
			if got := only(Check(driftPlan(t, append(about(), thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25)), nameLine(schema.RoleEdge, name, "edge_kind", kind))...), schema.DefaultLimits()), RuleNameContradicts); len(got) > 0 {
				t.Errorf("%s %q: %s", kind, name, got[0].Message)
			}
		}
	}
}

// TestNamesThatClaim: a name that says in what state a thing is.
func TestNamesThatClaim(t *testing.T) {
	for _, x := range []struct {
		role schema.Role
		name string
		want Severity
	}{
		{schema.RoleZone, "Keine Mahd", Warning}, {schema.RoleZone, "Mähverbot", Warning}, {schema.RoleZone, "Sperrfläche 2", Warning}, {schema.RoleZone, "Tabuzone", Warning}, {schema.RoleZone, "Zone interdite", Warning},
		{schema.RoleZone, "Vietato", Warning}, {schema.RoleZone, "Ej klippas", Warning}, {schema.RoleZone, "Ei leikata", Warning}, {schema.RoleZone, "Out-of-bounds", Warning}, {schema.RoleZone, "NoGo Teich", Warning},
		{schema.RoleZone, "keep out", Warning}, {schema.RoleZone, "keep out of rain lawn", ""}, {schema.RoleZone, "Never closed", ""}, {schema.RoleZone, "East lawn, closed", Warning},
		{schema.RoleZone, "Private", Note}, {schema.RoleZone, "Private lawn", Note}, {schema.RoleZone, "Private orchard", ""}, {schema.RoleZone, "Danger area", Note},
		{schema.RoleZone, "Lawn (old)", Note}, {schema.RoleZone, "Old lawn", ""}, {schema.RoleZone, "Draft", Note}, {schema.RoleZone, "geschätzt", Note}, {schema.RoleZone, "Lawn approx", Note}, {schema.RoleZone, "Lawn approx 30", ""},
		{schema.RoleZone, "Luftbild", Note}, {schema.RoleZone, "Bildhauergarten", ""}, {schema.RoleZone, "Neighbour's lawn", Note}, {schema.RoleZone, "Neighbour's hedge", ""}, {schema.RoleZone, "Tuin van de buren", Note},
		{schema.RoleZone, "Steilhang", Note}, {schema.RoleZone, "Steilhang Nordwiese", ""}, {schema.RoleZone, "Rose bed", Note}, {schema.RoleZone, "Rose bed lawn", ""}, {schema.RoleZone, "Forest", Note}, {schema.RoleZone, "Flussufer", Note},
		{schema.RoleCorridor, "Crossing the road", Note}, {schema.RoleCorridor, "Straßenquerung", Note}, {schema.RoleCorridor, "Footbridge", Note}, {schema.RoleCorridor, "Along the road", Note}, {schema.RoleCorridor, "Oversteek", Note},
		{schema.RoleCorridor, "Do not use", Note}, {schema.RoleCorridor, "Old corridor", Note}, {schema.RoleCorridor, "Neighbour's path", Note}, {schema.RoleCorridor, "steil", Note}, {schema.RoleCorridor, "Not built yet", Note},
		{schema.RoleBase, "Base approx.", Warning}, {schema.RoleBase, "Basis ungefähr", Warning}, {schema.RoleBase, "Old base", Note}, {schema.RoleBase, "Base (phone)", Warning}, {schema.RoleBase, "Phone mast hill", ""},
		{schema.RoleBase, "Base +0.5 m E", Note}, {schema.RoleBase, "Base 1 m off", Note}, {schema.RoleBase, "Base 4 m high", ""}, {schema.RoleBase, "Base ED50", Note}, {schema.RoleBase, "Base (ITRF2014)", Note}, {schema.RoleBase, "Base WGS84", ""},
		{schema.RoleDock, "Dock on stairs", Note}, {schema.RoleDock, "Dock by the stairs", Note}, {schema.RoleDock, "Dock (removed)", Note}, {schema.RoleSupply, "Outlet, planned", Note},
		{schema.RoleBoundary, "Road reserve", Note}, {schema.RoleBoundary, "Easement", Note}, {schema.RoleBoundary, "Boundary approx", Note},
		{schema.RoleBuilding, "Planned house", Note}, {schema.RoleBuilding, "Slurry pit", Note}, {schema.RoleBuilding, "Güllegrube", Note}, {schema.RoleBuilding, "Road", Note}, {schema.RoleBuilding, "Pit house", ""},
		{schema.RoleHazard, "Bench approx", Note}, {schema.RoleKeepout, "Bed, geschätzt", Note},
	} {
		f := thing(x.role, x.name, box(60, 5, 70, 9))
		switch x.role {
		case schema.RoleHazard:
			f.Attributes.Set(schema.PropHazardKind, schema.String("bench"))
		case schema.RoleCorridor:
			f.Geometry = nameLine(x.role, "").Geometry
		case schema.RoleBase, schema.RoleDock, schema.RoleSupply:
			f.Geometry = spot(60, 5)
		}
		got := only(Check(driftPlan(t, thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25)), f), schema.DefaultLimits()), RuleNameContradicts)
		if (len(got) == 1) != (x.want != "") || len(got) > 1 || x.want != "" && got[0].Severity != x.want {
			t.Errorf("%s %q: %v", x.role, x.name, got)
		}
	}
}

// TestNamesOfEdgesThatClaim: walls that hide a drop, what stands up under the kind
// flush, gates that are shut or narrow.
func TestNamesOfEdgesThatClaim(t *testing.T) {
	drop := nameLine(schema.RoleEdge, "Drop", "edge_kind", "drop")
	for _, x := range []struct {
		kind, name string
		also       *schema.Feature
		told       bool
	}{
		{"wall", "Retaining wall, 2 m drop", nil, true}, {"wall", "Retaining wall, 2 m drop", drop, false}, {"wall", "Hafenmauer", nil, true}, {"wall", "Quay wall", nil, true}, {"fence", "Garde-corps", nil, true}, {"fence", "Flatterband", nil, true},
		{"fence", "Temporary fence", nil, true}, {"fence", "Zaun fehlt", nil, true}, {"kerb", "Roof edge", nil, true},
		{"flush", "Poolrand", nil, true}, {"flush", "Uferkante", nil, true}, {"flush", "Hochbord 15 cm", nil, true}, {"flush", "Street", nil, true}, {"flush", "Hauswand", nil, true}, {"flush", "2 m down", nil, true}, {"flush", "2 cm down", nil, false},
		{"gate", "Gate 0.59 m wide", nil, true}, {"gate", "Gate 0.60 m wide", nil, false}, {"gate", "Tor 50 cm", nil, true}, {"gate", "bricked up", nil, true}, {"gate", "portti kiinni", nil, true}, {"gate", "puerta cerrada", nil, true}, {"gate", "Cat flap", nil, true},
		{"gate", "Gate removed", nil, true},
	} {
		features := []*schema.Feature{thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25)), nameLine(schema.RoleEdge, x.name, "edge_kind", x.kind)}
		if x.also != nil {
			features = append(features, x.also)
		}
		got := only(Check(driftPlan(t, features...), schema.DefaultLimits()), RuleNameContradicts)
		if (len(got) == 1) != x.told || len(got) > 1 {
			t.Errorf("%s %q: %v", x.kind, x.name, got)
		}
	}
}

// TestCorridorsThatCrossWhatIsDrawn: what a name says it crosses is judged where
// it is drawn, and told where another thing is.
func TestCorridorsThatCrossWhatIsDrawn(t *testing.T) {
	for _, x := range []struct {
		name, kind string
		at         float64 // of the middle of the road, the way at 50
		told       int
	}{
		{"Road crossing", "road", 50, 0}, {"Road crossing", "road", 50 + 1.3 - 0.002, 0}, {"Road crossing", "road", 50 + 1.3 + 0.002, 1}, {"Road crossing", "bench", 50, 1},
		{"Bridge", "stream", 50, 0}, {"Through the pond", "road", 50, 1}, {"Through the pond", "pond", 50, 0},
	} {
		h := thing(schema.RoleHazard, "Thing", geom.NewLineStringFlat(geom.XY, []float64{x.at, -20, x.at, -5}), "hazard_kind", x.kind)
		got := only(Check(driftPlan(t, thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25)), h, nameLine(schema.RoleCorridor, x.name)), schema.DefaultLimits()), RuleNameContradicts)
		if len(got) != x.told {
			t.Errorf("%s, %s at %g: %v", x.name, x.kind, x.at, got)
		}
	}
}

func TestTextsAndLayersThatClaim(t *testing.T) {
	for _, x := range []struct {
		role       schema.Role
		key, value string
		want       Severity
	}{
		{schema.RoleZone, "note", "do not mow", Note}, {schema.RoleZone, "Bemerkung", "nicht mähen", Note}, {schema.RoleZone, "comment", "measured with the phone, 5 m", Note}, {schema.RoleZone, "description", "pond in the middle, not drawn", Note},
		{schema.RoleZone, "note", "by the pond", ""}, {schema.RoleZone, "note", "removed the old fence, closed the gate", Note}, {schema.RoleZone, "note", "old fence removed", ""}, {schema.RoleZone, "note", "removed", Note},
		{schema.RoleZone, "note", "approx. 300 m2", ""}, {schema.RoleZone, "note", "the crew that comes on Mondays says that it was wrong before", ""},
		{schema.RoleZone, "folder", "OLD - do not use", Note}, {schema.RoleHazard, "folder", "Traced from aerial +-3 m", Note}, {schema.RoleKeepout, "style_url", "#deleted", Note}, {schema.RoleZone, "folder", "Pond", ""}, {schema.RoleZone, "layer", "POND", Note},
		{schema.RoleZone, "layer", "LAWN", ""}, {schema.RoleZone, "type", "pond", Note}, {schema.RoleZone, "type", "lawn", ""}, {schema.RoleDock, "state", "draft", Note}, {schema.RoleDock, "state", "ok", ""}, {schema.RoleZone, "revision", "superseded by rev C", Note}, {schema.RoleZone, "revision", "C", ""},
		{schema.RoleZone, "owner", "Neighbour", Note}, {schema.RoleZone, "owner", "Town", ""}, {schema.RoleZone, "Eigentümer", "Nachbar", Note},
	} {
		f := thing(x.role, "East", box(60, 5, 70, 9), x.key, x.value, "hazard_kind", "bench")
		if x.role != schema.RoleHazard {
			f.Attributes.Delete(schema.PropHazardKind)
		}
		if x.role == schema.RoleDock {
			f.Geometry = spot(60, 5)
		}
		got := only(Check(driftPlan(t, thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25)), f), schema.DefaultLimits()), RuleNameContradicts)
		if (len(got) == 1) != (x.want != "") || len(got) > 1 || x.want != "" && got[0].Severity != x.want {
			t.Errorf("%s %s %q: %v", x.role, x.key, x.value, got)
		}
	}
	var many []*schema.Feature
	for i := range 12 {
		many = append(many, thing(schema.RoleZone, string(rune('A'+i)), box(float64(20*i), 0, float64(20*i+10), 9), "folder", "old"))
	}
	got := only(Check(driftPlan(t, many...), schema.DefaultLimits()), RuleNameContradicts)
	if len(got) != 1 || !strings.Contains(got[0].Message, "12 features") || len(got[0].Features) != mostUnread {
		t.Errorf("a folder of twelve: %v", got)
	}
}

func TestPlansWhoseNameClaims(t *testing.T) {
	for _, x := range []struct {
		key, value string
		told       int
	}{
		{"", "Park", 0}, {"", "Demo park", 0}, {"", "Entwurf", 1}, {"", "DRAFT - not surveyed", 1}, {"", "Park (ED50)", 1}, {"", "Plan shifted 0.5 m E", 1}, {"", "Site in NAD27", 1}, {"", "Garten Neubau 2024", 0}, {"", "Gauss Krüger Park", 1},
		{"title", "superseded by rev C", 1}, {"description", "Traced from satellite image", 1}, {"description", "Old park with a removed fence and a planned pond", 0}, {"keywords", "draft", 1}, {"keywords", "park, lawn", 0},
	} {
		p := driftPlan(t, thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25)))
		if x.key == "" {
			p.Name = x.value
		} else {
			p.Attributes.Set(x.key, schema.String(x.value))
		}
		if got := only(Check(p, schema.DefaultLimits()), RuleNameContradicts); len(got) != x.told {
			t.Errorf("%s %q: %v", x.key, x.value, got)
		}
	}
}

// TestNamesOfTheRightFrame: a name that says the frame that the numbers are in
// says nothing else.
func TestNamesOfTheRightFrame(t *testing.T) {
	for _, x := range []struct {
		named, frame string
		told         int
	}{{"Base (ITRF2014)", "ITRF2014", 0}, {"Base (ITRF2014)", "ITRF2020", 1}, {"Base", "ITRF2020", 0}} {
		f := thing(schema.RoleBase, x.named, spot(60, 5), "frame", x.frame, "epoch", 2024.5)
		if got := only(Check(driftPlan(t, thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25)), f), schema.DefaultLimits()), RuleNameContradicts); len(got) != x.told {
			t.Errorf("%s in %s: %v", x.named, x.frame, got)
		}
	}
}

// TestKeepoutsOffForWhatStays: what a keep-out that is off was drawn round.
func TestKeepoutsOffForWhatStays(t *testing.T) {
	for name, want := range map[string]Severity{
		"Trampoline": Note, "Spielplatz": Note, "Stromkabel": Note, "Igel": Note, "Hot tub": Warning, "Gas valve": Note, "Gefahr": Note, "Steep part": Note, "Trees": Note, "Pond": Warning,
		"Event tent": "", "Teichfest": "", "Pond party": "", "Wall of fame": "", "Winter 2025": "", "Markt": "", "Baustelle": "",
	} {
		f := thing(schema.RoleKeepout, name, box(5, 5, 8, 8), "active", false)
		got := only(Check(driftPlan(t, thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25)), f), schema.DefaultLimits()), RuleNameContradicts)
		if (len(got) == 1) != (want != "") || want != "" && got[0].Severity != want {
			t.Errorf("%s: %v", name, got)
		}
	}
}

// TestQualityUnderOtherWords: the worst that a feature says of how it was
// measured holds, whatever the word.
func TestQualityUnderOtherWords(t *testing.T) {
	for _, x := range []struct {
		key   string
		value any
		told  bool
	}{
		{"hacc", 3.2, true}, {"hacc", 0.012, false}, {"hacc", 0.0501, true}, {"hacc", 0.05, false}, {"accuracy", 15.0, false}, {"accuracy", 1.5, false}, {"accuracy", 14.0, true}, {"accuracy_mm", 14.0, false},
		{"precision", "2 m", true}, {"precision", "±3 m", true}, {"precision", "30 cm", true}, {"precision", "3 cm", false}, {"precision", "<5m", true}, {"precision", "ca. 3 m", true}, {"précision", "2,5 m", true}, {"Genauigkeit", "+/- 3 m", true}, {"precision", "good", false}, {"precision", "class 3", false},
		{"cep95", 0.099, false}, {"cep95", 0.101, true}, {"sd_n", 0.9, true}, {"tolerance", 0.1, false}, {"vrms", 0.9, false},
		{"method", "Luftbild", true}, {"method", "RTK", false}, {"method", "phone", true}, {"method", "RTK, notes on the phone", false}, {"source", "satellite image", true}, {"source", "own survey", false},
		{"estimated", "yes", true}, {"estimated", "no", false}, {"geschätzt", true, true}, {"approximate", false, false},
	} {
		for _, role := range []schema.Role{schema.RoleZone, schema.RoleBase} {
			f := thing(role, "East", box(60, 5, 70, 9), "sigma", 0.015, "fix", "fixed", "drawn_from", "surveyed", x.key, x.value)
			want := Warning
			if role == schema.RoleBase {
				f.Geometry, want = spot(60, 5), Error
			}
			got := only(Check(driftPlan(t, thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25)), f), schema.DefaultLimits()), RuleSurveyQuality)
			if (len(got) == 1) != x.told || len(got) > 1 || x.told && got[0].Severity != want {
				t.Errorf("%s %s %v: %v", role, x.key, x.value, got)
			}
		}
	}
	for limit, told := range map[float64]int{0.0899: 1, 0.0901: 0} {
		f := thing(schema.RoleZone, "East", box(60, 5, 70, 9), "sigma", 0.015, "hacc", 0.09)
		l := schema.DefaultLimits()
		if err := l.Set("survey_sigma_m", limit, schema.OriginFile, "crew.yaml line 1"); err != nil {
			t.Fatal(err)
		}
		if got := only(Check(driftPlan(t, f), l), RuleSurveyQuality); len(got) != told {
			t.Errorf("limit %g: %v", limit, got)
		}
	}
}
