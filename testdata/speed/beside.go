// What a check costs beside a script over shapely.

package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"sort"
	"strconv"
	"strings"

	"github.com/twpayne/go-geom"

	"swardline/crs"
	"swardline/schema"
)

// besideShapely prints what a check of one plan of 26 features and 550 points
// costs on one core beside a script over shapely, which knows validity,
// containment and overlaps alone: once without a finding and once with a page
// of them. Both read the plan; the start of a process is left out of both (of
// the program as the difference between two folders). They take turns, and each
// figure is a median.
func besideShapely(program, dir, python string, plans int) error {
	fmt.Printf("\nprocessor time of a plan of 26 features and 550 points, one core, beside shapely: median of 9 runs\n%-14s %9s %9s %9s %9s %13s %7s\n",
		"", "findings", "ms", "shapely", "ms", "plans/s core", "ratio")
	for _, faulty := range []bool{false, true} {
		name := "sound"
		if faulty {
			name = "faulty"
		}
		folder, single := filepath.Join(dir, name), filepath.Join(dir, name+"1")
		for _, d := range []string{folder, single} {
			if err := os.MkdirAll(d, 0o777); err != nil {
				return err
			}
		}
		for i := range plans + 1 {
			to := filepath.Join(folder, fmt.Sprintf("plan%05d.geojson", i))
			if i == plans {
				to = filepath.Join(single, "plan.geojson")
			}
			if err := writePlan(to, estate(faulty)); err != nil {
				return err
			}
		}
		found, err := findings(program, filepath.Join(single, "plan.geojson"))
		if err != nil {
			return err
		}
		var ours, theirs []float64
		var told string
		for range 9 {
			env := []string{"GOMAXPROCS=1"}
			many, err := measure(program, env, "check", "--quiet", "--jobs", "1", folder)
			if err != nil {
				return err
			}
			one, err := measure(program, env, "check", "--quiet", "--jobs", "1", single)
			if err != nil {
				return err
			}
			ours = append(ours, (many.cpu-one.cpu)/float64(plans-1))
			out, err := exec.Command(python, "testdata/speed/shapely_check.py", filepath.Join(single, "plan.geojson"), strconv.Itoa(plans)).Output()
			if err != nil {
				return fmt.Errorf("the script over shapely: %w", err)
			}
			fields := strings.Fields(string(out))
			s, err := strconv.ParseFloat(fields[0], 64)
			if err != nil {
				return err
			}
			theirs, told = append(theirs, s), fields[1]
		}
		sort.Float64s(ours)
		sort.Float64s(theirs)
		a, b := ours[4], theirs[4]
		fmt.Printf("%-14s %9d %9.2f %9s %9.2f %13.0f %7.2f\n", name, found, 1e3*a, told, 1e3*b, 1/a, b/a)
	}
	return nil
}

// findings counts what the program finds in a plan.
func findings(program, plan string) (int, error) {
	report := filepath.Join(filepath.Dir(plan), "..", "report.json")
	if _, err := measure(program, nil, "check", "--quiet", "--report", report, plan); err != nil {
		return 0, err
	}
	raw, err := os.ReadFile(report)
	if err != nil {
		return 0, err
	}
	var r struct {
		Plans []struct{ Findings []json.RawMessage }
	}
	if err := json.Unmarshal(raw, &r); err != nil {
		return 0, err
	}
	return len(r.Plans[0].Findings), nil
}

// estate makes a plan of 26 features and 550 points: two lawns, a house, eight
// trees in their keep-outs, walls, ways, dock and base. The faulty one has no
// names, and its keep-outs leave the trees they were drawn for.
func estate(faulty bool) *schema.Plan {
	p := &schema.Plan{Name: "Invented estate", CRS: crs.WGS84(), Source: schema.Source{Winding: schema.WindingStandard}}
	const lon0, lat0 = 4.5, 55.5
	perLon, perLat := 111320*math.Cos(lat0*math.Pi/180), 111250.0
	at := func(x, y float64) []float64 { return []float64{lon0 + x/perLon, lat0 + y/perLat, 12 + x/100 + y/60} }
	count := map[schema.Role]int{}
	add := func(role schema.Role, name string, g geom.T, attributes ...schema.Attribute) {
		count[role]++
		if faulty {
			name = ""
		}
		id := fmt.Sprintf("%s%d", role, count[role])
		p.Features = append(p.Features, &schema.Feature{ID: schema.String(id), Role: role, Name: name, Geometry: g, Attributes: attributes})
	}
	flat := func(xy ...float64) (out []float64) {
		for i := 0; i+1 < len(xy); i += 2 {
			out = append(out, at(xy[i], xy[i+1])...)
		}
		return out
	}
	polygon := func(flat []float64) geom.T { return geom.NewPolygonFlat(geom.XYZ, flat, []int{len(flat)}) }
	ring := func(x, y, radius float64, points int) geom.T {
		var out []float64
		for i := range points {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(points))
			out = append(out, at(x+radius*c, y+radius*s)...)
		}
		return polygon(append(out, out[:3]...))
	}
	line := func(xy ...float64) geom.T { return geom.NewLineStringFlat(geom.XYZ, flat(xy...)) }
	point := func(x, y float64) geom.T { return geom.NewPointFlat(geom.XYZ, at(x, y)) }
	attribute := func(key string, v schema.Value) schema.Attribute { return schema.Attribute{Key: key, Value: v} }

	add(schema.RoleBase, "Base", point(-12, 0))
	add(schema.RoleDock, "Dock", point(0, -20), attribute(schema.PropHeadingDeg, schema.Float(180)))
	add(schema.RoleZone, "North lawn", ring(0, 25, 20, 96))
	add(schema.RoleZone, "South lawn", ring(0, -65, 30, 96))
	add(schema.RoleCorridor, "Way north", line(0, 7, 0, 4, 0, -18))
	add(schema.RoleCorridor, "Way south", line(0, -37, 0, -34, 6, -28, 6, -10, 0, -10, 0, -18))
	for i := range 8 {
		s, c := math.Sincos(float64(i) * math.Pi / 4)
		x, y := 17*c, -65+17*s
		keep, trunk := 1.2, 0.3
		if faulty {
			keep, trunk = 0.6, 0.5
			x += 0.3
		}
		add(schema.RoleKeepout, fmt.Sprintf("Tree ring %d", i+1), ring(x, y, keep, 32))
		add(schema.RoleHazard, fmt.Sprintf("Tree %d", i+1), point(17*c, -65+17*s), attribute(schema.PropHazardKind, schema.String("tree")),
			attribute(schema.PropRadiusM, schema.Float(trunk)), attribute(schema.PropHeightM, schema.Float(1.5)))
	}
	wall := 47.0
	if faulty {
		wall = 45.02
	}
	for i := range 2 {
		x := -15 + 15*float64(i)
		add(schema.RoleEdge, fmt.Sprintf("Wall %d", i+1), line(x, wall, x+14, wall), attribute(schema.PropEdgeKind, schema.String("wall")))
	}
	add(schema.RoleBuilding, "House", polygon(flat(60, -30, 70, -30, 70, -18, 60, -18, 60, -30)), attribute(schema.PropHeightM, schema.Float(5)))
	add(schema.RoleBoundary, "Property", ring(0, -20, 90, 63))
	return p
}
