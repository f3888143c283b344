// Speed of the program as its users run it, each figure from a process of its
// own: its start beside that of a program that does nothing, one small plan
// from start to finish, a folder of small plans on one core and on all, and the
// cost a feature from one feature to a million. What stands beside the GDAL
// library, PROJ and GEOS is measured in testdata/oracle.
//
//	go run ./testdata/speed              prints all tables
//	go run ./testdata/speed -plans 0     the start and one plan alone
//	go run ./testdata/speed -plans 1000 -features 10000
//	go run ./testdata/speed -points 2000000
//	go run ./testdata/speed -pairs 2000000 -program old/swardline
//	go run ./testdata/speed -plans 500 -shapely /usr/bin/python3
//
// The plans are invented and lie in open water.
package main

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"sort"
	"strings"
	"syscall"
	"time"

	"github.com/twpayne/go-geom"

	"swardline/convert"
	"swardline/crs"
	"swardline/schema"
	"swardline/testdata/randplan"
)

func main() {
	plans := flag.Int("plans", 10000, "how many small plans the folder holds")
	features := flag.Int("features", 1_000_000, "the largest count of features")
	python := flag.String("shapely", "", "a Python that has shapely: beside it alone, with -plans plans")
	many := flag.Int("points", 0, "how many points: they alone, beside cs2cs where it is installed")
	pairs := flag.Int("pairs", 0, "how many points: they alone, from format to format")
	only := flag.String("only", "", "those pairs alone whose names hold this")
	program := flag.String("program", "", "a build to measure, instead of one of this source")
	flag.Parse()
	if err := run(*plans, *features, *python, *many, *pairs, *program, *only); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(plans, features int, python string, many, between int, program, only string) error {
	dir, err := os.MkdirTemp("", "speed")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	if program == "" {
		program = filepath.Join(dir, "swardline")
		if err := build(program, "./cmd/swardline"); err != nil {
			return err
		}
	}
	fmt.Printf("%s, %d cores, %s/%s\n", runtime.Version(), runtime.NumCPU(), runtime.GOOS, runtime.GOARCH)
	parts := []func() error{
		func() error { return start(program, dir) },
		func() error { return onePlan(program, dir) },
		func() error { return folder(program, dir, plans) },
		func() error { return linear(program, dir, features) },
	}
	switch {
	case many > 0:
		parts = []func() error{func() error { return points(program, dir, many) }}
	case between > 0:
		parts = []func() error{func() error { return pairs(program, dir, between, only) }}
	case python != "":
		parts = []func() error{func() error { return besideShapely(program, dir, python, plans) }}
	case plans == 0:
		parts = parts[:2]
	}
	for _, part := range parts {
		if err := part(); err != nil {
			return err
		}
	}
	return nil
}

// build builds without cgo: the flags' package asks for the network's, which
// would link the C library and take a third of the start.
func build(program, from string) error {
	cmd := exec.Command("go", "build", "-trimpath", "-o", program, from)
	cmd.Env = append(os.Environ(), "CGO_ENABLED=0")
	if out, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("building: %w\n%s", err, out)
	}
	return nil
}

type cost struct {
	wall, cpu float64 // seconds
	peakMB    float64
}

// measure runs the program; a status of 1 (findings) is no failure here.
func measure(program string, env []string, args ...string) (cost, error) {
	cmd := exec.Command(program, args...)
	cmd.Env = append(os.Environ(), env...)
	var out bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &out
	c, err := costOf(cmd)
	if cmd.ProcessState == nil || cmd.ProcessState.ExitCode() > 1 {
		return cost{}, fmt.Errorf("%s: %w\n%.2000s", strings.Join(args, " "), err, out.Bytes())
	}
	return c, nil
}

// costOf runs a command.
func costOf(cmd *exec.Cmd) (cost, error) {
	start := time.Now()
	err := cmd.Run()
	wall := time.Since(start).Seconds()
	if cmd.ProcessState == nil {
		return cost{}, err
	}
	use := cmd.ProcessState.SysUsage().(*syscall.Rusage)
	return cost{wall, (cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()).Seconds(), float64(use.Maxrss) * 1024 / 1e6}, err
}

func writePlan(path string, p *schema.Plan) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	format := strings.TrimPrefix(filepath.Ext(path), ".")
	if _, err := convert.Write(f, p, format, convert.WriteOptions{}); err != nil {
		return err
	}
	return f.Close()
}

// start prints the processor time of a start, and of a check of the demo park,
// beside that of a program that does nothing. The runs take turns, so that what
// else the machine does falls on all.
func start(program, dir string) error {
	nothing := filepath.Join(dir, "nothing.go")
	if err := os.WriteFile(nothing, []byte("package main\n\nfunc main() {}\n"), 0o666); err != nil {
		return err
	}
	empty := filepath.Join(dir, "nothing")
	if err := build(empty, nothing); err != nil {
		return err
	}
	runs := []struct {
		name, program string
		args          []string
		ms            []float64
	}{
		{"a program that does nothing", empty, nil, nil},
		{"--version", program, []string{"--version"}, nil},
		{"check park.geojson", program, []string{"check", "examples/park/park.geojson"}, nil},
		{"check park.kml", program, []string{"check", "examples/park/park.kml"}, nil},
	}
	for range 41 {
		for i := range runs {
			c, err := measure(runs[i].program, nil, runs[i].args...)
			if err != nil {
				return err
			}
			runs[i].ms = append(runs[i].ms, 1e3*c.cpu)
		}
	}
	fmt.Printf("\nprocessor time of a start: 41 runs\n%-34s %9s %9s %14s\n", "command", "median ms", "least ms", "times nothing")
	for _, r := range runs {
		sort.Float64s(r.ms)
		fmt.Printf("%-34s %9.1f %9.1f %14.1f\n", r.name, r.ms[20], r.ms[0], r.ms[20]/runs[0].ms[20])
	}
	return nil
}

// onePlan prints what a command costs on one small plan, process start
// included.
func onePlan(program, dir string) error {
	plan := filepath.Join(dir, "one.geojson")
	if err := writePlan(plan, small(1)); err != nil {
		return err
	}
	fmt.Printf("\none plan of 30 features, start to finish: median and worst of 21 runs\n%-34s %9s %9s\n", "command", "median ms", "worst ms")
	for _, args := range [][]string{
		{"check", plan},
		{"convert", plan, filepath.Join(dir, "one.kml")},
		{"convert", "--to", "EPSG:32632", "--accept-accuracy", "2", plan, filepath.Join(dir, "one.csv")},
		{"drift", plan, "--shift", "0.2,0.1"},
	} {
		var all []float64
		for range 21 {
			c, err := measure(program, nil, args...)
			if err != nil {
				return err
			}
			all = append(all, 1e3*c.wall)
		}
		sort.Float64s(all)
		words := make([]string, len(args))
		for i, a := range args {
			words[i] = filepath.Base(a)
		}
		fmt.Printf("%-34.34s %9.1f %9.1f\n", strings.Join(words, " "), all[len(all)/2], all[len(all)-1])
	}
	return nil
}

// folder prints how many small plans are checked in a second.
func folder(program, dir string, plans int) error {
	where := filepath.Join(dir, "plans")
	endings := []string{".geojson", ".kml", ".gpx", ".csv"}
	for i := range plans {
		sub := filepath.Join(where, fmt.Sprintf("%03d", i/500))
		if err := os.MkdirAll(sub, 0o777); err != nil {
			return err
		}
		if err := writePlan(filepath.Join(sub, fmt.Sprintf("plan%05d%s", i, endings[0])), small(uint64(i))); err != nil {
			return err
		}
	}
	fmt.Printf("\na folder of %d plans of 30 features\n%-22s %8s %8s %9s %13s %8s\n", plans, "", "wall s", "cpu s", "plans/s", "plans/s core", "peak MB")
	report, pages := filepath.Join(dir, "report.json"), filepath.Join(dir, "pages")
	for _, x := range []struct {
		name string
		env  []string
		args []string
	}{
		{"one core", []string{"GOMAXPROCS=1"}, []string{"--jobs", "1"}},
		{"all cores", nil, nil},
		{"all cores, JSON report", nil, []string{"--report", report}},
		{"--since, nothing new", nil, []string{"--since", report}},
		{"pages with maps", nil, []string{"--pages", pages}},
	} {
		c, err := measure(program, x.env, append([]string{"check", where, "--quiet"}, x.args...)...)
		if err != nil {
			return err
		}
		fmt.Printf("%-22s %8.2f %8.2f %9.0f %13.0f %8.0f\n", x.name, c.wall, c.cpu, float64(plans)/c.wall, float64(plans)/c.cpu, c.peakMB)
	}
	return errors.Join(os.RemoveAll(where), os.RemoveAll(pages))
}

// linear prints the cost a feature over growing files.
func linear(program, dir string, most int) error {
	fmt.Printf("\ncost by size: polygons of 38 vertices, GeoJSON\n%9s %9s | %9s %9s %9s | %9s %9s %9s | %9s %9s %9s\n", "features", "file MB",
		"to KML s", "us/feat", "peak/file", "to CSV s", "us/feat", "peak/file", "check s", "us/feat", "peak/file")
	for n := 1; n <= most; n *= 10 {
		src := filepath.Join(dir, "field.geojson")
		if err := writePlan(src, randplan.Field(n, 38)); err != nil {
			return err
		}
		info, err := os.Stat(src)
		if err != nil {
			return err
		}
		mb := float64(info.Size()) / 1e6
		limits := filepath.Join(dir, "limits.yaml")
		if err := os.WriteFile(limits, []byte("input_max_bytes: 8589934592\nmax_zones: 10000000\n"), 0o666); err != nil {
			return err
		}
		fmt.Printf("%9d %9.2f", n, mb)
		for _, args := range [][]string{
			{"convert", "--limits", limits, src, filepath.Join(dir, "field.kml")},
			{"convert", "--limits", limits, src, filepath.Join(dir, "field.csv")},
			{"check", "--quiet", "--limits", limits, src},
		} {
			c, err := measure(program, nil, args...)
			if err != nil {
				return err
			}
			fmt.Printf(" | %9.3f %9.2f %9.2f", c.wall, 1e6*c.wall/float64(n), c.peakMB/mb)
		}
		fmt.Println()
	}
	return nil
}

// small makes a plan of 30 features that is sound but for what chance brings:
// two lawns with beds and trees, the corridors between them, dock, base, edges.
func small(seed uint64) *schema.Plan {
	r := rand.New(rand.NewPCG(seed, 30))
	p := &schema.Plan{Name: fmt.Sprintf("Invented grounds %d", seed), CRS: crs.WGS84(), Source: schema.Source{Winding: schema.WindingStandard}}
	lon0, lat0 := 4+r.Float64(), 55+r.Float64()
	perLon, perLat := 111320*math.Cos(lat0*math.Pi/180), 111250.0
	at := func(x, y float64) []float64 { return []float64{lon0 + x/perLon, lat0 + y/perLat, 12} }
	n := 0
	add := func(role schema.Role, name string, g geom.T, attributes ...schema.Attribute) {
		n++
		p.Features = append(p.Features, &schema.Feature{ID: schema.String(fmt.Sprintf("f%d", n)), Role: role, Name: name, Geometry: g, Attributes: attributes})
	}
	ring := func(x, y, radius float64, vertices int) geom.T {
		var flat []float64
		for i := range vertices {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(vertices))
			flat = append(flat, at(x+radius*c, y+radius*s)...)
		}
		flat = append(flat, flat[:3]...)
		return geom.NewPolygonFlat(geom.XYZ, flat, []int{len(flat)})
	}
	line := func(xy ...float64) geom.T {
		var flat []float64
		for i := 0; i+1 < len(xy); i += 2 {
			flat = append(flat, at(xy[i], xy[i+1])...)
		}
		return geom.NewLineStringFlat(geom.XYZ, flat)
	}
	point := func(x, y float64) geom.T { return geom.NewPointFlat(geom.XYZ, at(x, y)) }
	attribute := func(key string, v schema.Value) schema.Attribute { return schema.Attribute{Key: key, Value: v} }
	add(schema.RoleBase, "Base", point(0, 0))
	add(schema.RoleDock, "Dock", point(0, -20), attribute(schema.PropHeadingDeg, schema.Float(180)))
	add(schema.RoleZone, "North lawn", ring(0, 25, 20, 60))
	add(schema.RoleZone, "South lawn", ring(0, -65, 30, 60))
	add(schema.RoleCorridor, "Way north", line(0, 7, 0, 4, 0, -18))
	add(schema.RoleCorridor, "Way south", line(0, -37, 0, -34, 0, -18))
	for i := range 10 {
		a := float64(i) * math.Pi / 5
		x, y := 17*math.Cos(a)+r.Float64(), -65+17*math.Sin(a)+r.Float64()
		add(schema.RoleKeepout, fmt.Sprintf("Tree ring %d", i+1), ring(x, y, 1.2, 24))
		add(schema.RoleHazard, fmt.Sprintf("Tree %d", i+1), point(x, y), attribute(schema.PropRadiusM, schema.Float(0.3)))
	}
	for i := range 3 {
		x := -20 + 20*float64(i)
		add(schema.RoleEdge, fmt.Sprintf("Wall %d", i+1), line(x, 47, x+15, 47), attribute(schema.PropEdgeKind, schema.String("wall")))
	}
	add(schema.RoleBoundary, "Property", ring(0, -20, 90, 40))
	return p
}
