// The hand-over read by the GDAL library: the client's KML with its folders,
// geometry and heights, the GeoJSON and the table in a council's grid, and the
// quantities's figures.

package gdal

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert"
	"swardline/crs"
	"swardline/schema"
)

const parkFile = "../../../examples/park/park.geojson"

// handOver makes the bundle of the demo in UTM zone 32N and returns its folder.
func handOver(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	bin := filepath.Join(dir, "swardline")
	build := exec.Command("go", "build", "-o", bin, "./cmd/swardline")
	build.Dir = filepath.Join("..", "..", "..")
	if msg, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, msg)
	}
	out := filepath.Join(dir, "out")
	if msg, err := exec.Command(bin, "sheet", parkFile, "--bundle", out, "--date", "2026-05-31", "--crs", "EPSG:32632", "--no-drift").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, msg)
	}
	return out
}

func park(t *testing.T) *schema.Plan {
	t.Helper()
	p, _, err := convert.ReadFile(parkFile, convert.ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// vertices are all vertices of a GeoJSON geometry in order.
func vertices(t *testing.T, text string) [][]float64 {
	t.Helper()
	var g struct {
		Coordinates json.RawMessage `json:"coordinates"`
	}
	if err := json.Unmarshal([]byte(text), &g); err != nil {
		t.Fatalf("%q: %v", text, err)
	}
	var out [][]float64
	var walk func(raw json.RawMessage)
	walk = func(raw json.RawMessage) {
		var p []float64
		if json.Unmarshal(raw, &p) == nil && len(p) > 0 {
			out = append(out, p)
			return
		}
		var list []json.RawMessage
		if err := json.Unmarshal(raw, &list); err != nil {
			t.Fatal(err)
		}
		for _, x := range list {
			walk(x)
		}
	}
	walk(g.Coordinates)
	return out
}

// same compares vertices with those of a geometry: rings may start where they
// do but run either way, since each format has its own rule for that.
func same(got [][]float64, g geom.T, horizontal, vertical float64) error {
	flat, stride := g.FlatCoords(), g.Stride()
	if len(got)*stride != len(flat) {
		return fmt.Errorf("%d vertices, want %d", len(got), len(flat)/stride)
	}
	for i, p := range got {
		ok := false
		for k := 0; k < len(flat); k += stride {
			if math.Abs(p[0]-flat[k]) > horizontal || math.Abs(p[1]-flat[k+1]) > horizontal {
				continue
			}
			z := math.NaN()
			if stride > 2 {
				z = flat[k+2]
			}
			if math.IsNaN(z) == (len(p) < 3) && (len(p) < 3 || math.Abs(p[2]-z) <= vertical) {
				ok = true
			}
		}
		if !ok {
			return fmt.Errorf("vertex %d is %v, not one of the plan's", i, p)
		}
	}
	return nil
}

func TestClientKML(t *testing.T) {
	path := filepath.Join(handOver(t), "plan.kml")
	p := park(t)
	byName := map[string]*schema.Feature{}
	perRole := map[schema.Role]int{}
	active := 0
	for _, f := range p.Features {
		if f.Active() {
			active++
			perRole[f.Role]++
			byName[string(f.Role)+" "+f.Label()] = f
		}
	}
	titles := map[string]schema.Role{"Zones": schema.RoleZone, "Keep-outs": schema.RoleKeepout, "Corridors": schema.RoleCorridor, "Docks": schema.RoleDock, "Bases": schema.RoleBase, "Marks": schema.RoleMark,
		"Hazards": schema.RoleHazard, "Edges": schema.RoleEdge, "Boundaries": schema.RoleBoundary, "Power outlets": schema.RoleSupply, "Buildings": schema.RoleBuilding}
	readers := 0
	for _, driver := range []string{"LIBKML", "KML"} {
		layers, err := Read(path, driver, nil)
		if err != nil {
			t.Logf("%s: %v", driver, err) // a build of the library may lack one of the two
			continue
		}
		readers++
		total := 0
		for _, l := range layers {
			role, ok := titles[l.Name]
			if !ok {
				t.Errorf("%s: a folder %q", driver, l.Name)
				continue
			}
			if len(l.Features) != perRole[role] {
				t.Errorf("%s: folder %q has %d placemarks, the plan %d", driver, l.Name, len(l.Features), perRole[role])
			}
			total += len(l.Features)
			for _, x := range l.Features {
				name := x.Fields["Name"]
				f := byName[string(role)+" "+name]
				if f == nil {
					t.Errorf("%s: %s %q is not in the plan", driver, role, name)
					continue
				}
				// Ten decimals of a degree are 0.01 mm.
				if err := same(vertices(t, x.Geometry), f.Geometry, 0.6e-10, 1e-6); err != nil {
					t.Errorf("%s: %s %q: %v", driver, role, name, err)
				}
				description := x.Fields["Description"] + x.Fields["description"]
				if !strings.Contains(description, "role: "+string(role)) {
					t.Errorf("%s: %s %q is described as %q", driver, role, name, description)
				}
				if mode, ok := x.Fields["altitudeMode"]; driver == "LIBKML" && (!ok || mode != "clampToGround") {
					t.Errorf("%s: %s %q has the altitude mode %q", driver, role, name, mode)
				}
			}
		}
		if total != active || len(layers) != len(perRole) {
			t.Errorf("%s: %d placemarks in %d folders, the plan has %d in %d roles", driver, total, len(layers), active, len(perRole))
		}
	}
	if readers == 0 {
		t.Fatal("the library reads no KML")
	}
}

// The council's files: coordinates in the grid asked for are those that the
// program's own operation gives, to 0.1 mm, and for GeoJSON the library knows
// which grid it is.
func TestCouncilFiles(t *testing.T) {
	dir := handOver(t)
	p := park(t)
	to, err := crs.Parse("EPSG:32632")
	if err != nil {
		t.Fatal(err)
	}
	op, err := p.Operation(schema.Move{To: to, Allow: crs.Allowed{Accuracy: crs.AnyAccuracy}})
	if err != nil {
		t.Fatal(err)
	}
	grid, err := p.Transform(op)
	if err != nil {
		t.Fatal(err)
	}
	byID := map[string]*schema.Feature{}
	for _, f := range grid.Features {
		byID[f.ID.Text()] = f
	}
	for _, tc := range []struct {
		file string
		open []string
		crs  bool
	}{
		{"plan.csv", []string{"GEOM_POSSIBLE_NAMES=wkt", "KEEP_GEOM_COLUMNS=NO"}, false},
		{"plan.geojson", nil, true},
	} {
		layers, err := Read(filepath.Join(dir, tc.file), "", tc.open)
		if err != nil {
			t.Fatal(err)
		}
		seen := 0
		for _, l := range layers {
			if tc.crs && l.CRS != "EPSG:32632" && !degreesOnly() {
				t.Errorf("%s: the library takes its coordinates for %q", tc.file, l.CRS)
			}
			for _, x := range l.Features {
				id := x.Fields["id"]
				if x.Fields["role"] == "plan" {
					continue
				}
				f := byID[id]
				if f == nil {
					t.Errorf("%s: a feature %q", tc.file, id)
					continue
				}
				want, horizontal := f.Geometry, 1e-4
				if tc.crs && degreesOnly() {
					// A library before 3.8 reads the member geometry, which is
					// WGS 84.
					for _, o := range p.Features {
						if o.ID.Text() == id {
							want, horizontal = o.Geometry, 1e-9
						}
					}
				}
				if err := same(vertices(t, x.Geometry), want, horizontal, 1e-4); err != nil {
					t.Errorf("%s: %s: %v", tc.file, id, err)
				}
				seen++
			}
		}
		if seen != len(p.Features) {
			t.Errorf("%s: %d features, the plan has %d", tc.file, seen, len(p.Features))
		}
	}
	// The member place of JSON-FG holds the grid's coordinates, whatever
	// release reads it.
	text, err := os.ReadFile(filepath.Join(dir, "plan.geojson"))
	if err != nil {
		t.Fatal(err)
	}
	var fg struct {
		CoordRefSys string `json:"coordRefSys"`
		Features    []struct {
			ID    string          `json:"id"`
			Place json.RawMessage `json:"place"`
		} `json:"features"`
	}
	if err := json.Unmarshal(text, &fg); err != nil {
		t.Fatal(err)
	}
	if !strings.HasSuffix(fg.CoordRefSys, "/EPSG/0/32632") || len(fg.Features) != len(p.Features) {
		t.Errorf("plan.geojson is in %q with %d features", fg.CoordRefSys, len(fg.Features))
	}
	for _, x := range fg.Features {
		if f := byID[x.ID]; f == nil || same(vertices(t, string(x.Place)), f.Geometry, 1e-4, 1e-4) != nil {
			t.Errorf("plan.geojson: the place of %q is not the plan's in the grid", x.ID)
		}
	}
	// The program's grid coordinates beside the library's own transformation of
	// the plan.
	mine := map[string]*schema.Feature{}
	for _, f := range p.Features {
		mine[f.ID.Text()] = f
	}
	out := filepath.Join(t.TempDir(), "utm.csv")
	if err := Translate(parkFile, out, []string{"-f", "CSV", "-t_srs", "EPSG:32632", "-lco", "GEOMETRY=AS_WKT", "-lco", "SEPARATOR=COMMA"}, nil); err != nil {
		t.Fatal(err)
	}
	layers, err := Read(out, "", []string{"GEOM_POSSIBLE_NAMES=WKT", "KEEP_GEOM_COLUMNS=NO"})
	if err != nil {
		t.Fatal(err)
	}
	compared := 0
	for _, l := range layers {
		for _, x := range l.Features {
			f := byID[x.Fields["id"]]
			if f == nil || x.Geometry == "" {
				continue
			}
			if err := same(vertices(t, x.Geometry), f.Geometry, 2e-4, 1e-3); err != nil {
				t.Errorf("the library's own grid coordinates: %s: %v", x.Fields["id"], err)
			}
			compared++
		}
	}
	if compared != len(p.Features) {
		t.Errorf("only %d features were compared with the library's own grid coordinates", compared)
	}
}

// degreesOnly reports whether the library's release is one before 3.8, which
// knows no JSON-FG.
func degreesOnly() bool {
	var major, minor int
	if _, err := fmt.Sscanf(Version(), "%d.%d", &major, &minor); err != nil {
		return false
	}
	return major < 3 || major == 3 && minor < 8
}

// The schedule's areas are the check's, and those of the rings in the grid once
// its scale is taken off.
func TestScheduleFigures(t *testing.T) {
	dir := handOver(t)
	f, err := os.Open(filepath.Join(dir, "quantities.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := map[string]int{}
	for i, h := range rows[0] {
		column[h] = i
	}
	gross, net := 0.0, 0.0
	areas := map[string]float64{}
	for _, r := range rows[1:] {
		if r[column["active"]] != "true" {
			continue
		}
		if a, err := strconv.ParseFloat(r[column["area_m2"]], 64); err == nil {
			areas[r[column["role"]]+" "+r[column["name"]]] = a
			if r[column["role"]] == "zone" {
				gross += a
			}
		}
		if a, err := strconv.ParseFloat(r[column["net_m2"]], 64); err == nil {
			net += a
		}
	}
	text, err := os.ReadFile(filepath.Join(dir, "check.json"))
	if err != nil {
		t.Fatal(err)
	}
	var report struct {
		Plans []struct {
			Areas struct {
				Zones float64 `json:"zones_m2"`
				Net   float64 `json:"net_m2"`
			} `json:"areas"`
		} `json:"plans"`
	}
	if err := json.Unmarshal(text, &report); err != nil {
		t.Fatal(err)
	}
	if len(report.Plans) != 1 || math.Abs(report.Plans[0].Areas.Zones-gross) > 0.03 || math.Abs(report.Plans[0].Areas.Net-net) > 0.03 {
		t.Errorf("the quantities sums to %.2f gross and %.2f net, the check says %+v", gross, net, report.Plans)
	}
	// Grid length over length on the ground, as the sheet says of the demo.
	const scale = 0.999812
	layers, err := Read(filepath.Join(dir, "plan.csv"), "", []string{"GEOM_POSSIBLE_NAMES=wkt", "KEEP_GEOM_COLUMNS=NO"})
	if err != nil {
		t.Fatal(err)
	}
	compared := 0
	for _, l := range layers {
		for _, x := range l.Features {
			want, ok := areas[x.Fields["role"]+" "+x.Fields["name"]]
			if !ok || !regexp.MustCompile(`^\{ *"type": *"Polygon"`).MatchString(x.Geometry) || x.Fields["radius_m"] != "" {
				continue
			}
			var g struct {
				Coordinates [][][]float64 `json:"coordinates"`
			}
			if err := json.Unmarshal([]byte(x.Geometry), &g); err != nil {
				t.Fatal(err)
			}
			got := 0.0
			for k, ring := range g.Coordinates {
				a := 0.0
				for i := range ring[:len(ring)-1] {
					a += (ring[i][0]-ring[0][0])*(ring[i+1][1]-ring[0][1]) - (ring[i+1][0]-ring[0][0])*(ring[i][1]-ring[0][1])
				}
				if a = math.Abs(a) / 2; k > 0 {
					a = -a
				}
				got += a
			}
			if got /= scale * scale; math.Abs(got-want) > 0.01+2e-5*want {
				t.Errorf("%s %q: %.2f m2 in the quantities, %.2f from its ring", x.Fields["role"], x.Fields["name"], want, got)
			}
			compared++
		}
	}
	if compared < 8 {
		t.Errorf("only %d areas were compared", compared)
	}
}
