// Speed and memory of conversions beside the GDAL library's: the program as it is
// built against the library's translation, each in a process of its own, one after
// the other in one run. Times are of whole processes, start and reading included.
//
//	cd testdata/oracle && SWARDLINE_SPEED=60000 go test ./gdal -run TestSpeed -v -timeout 30m
//
// prints a table; without the variable a small file is converted both ways to hold
// the comparison itself.

package gdal

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"syscall"
	"testing"
	"time"

	"swardline/convert"
	"swardline/convert/randplan"
)

// What a child process is asked to do, in its environment. Both the library's
// translation and the writing of the test file happen in children, so that this
// process stays small: a child's peak memory counts from what its parent had.
const (
	envWho = "SWARDLINE_CHILD" // "gdal" or "field"
	envSrc = "SWARDLINE_CHILD_SRC"
	envDst = "SWARDLINE_CHILD_DST"
)

func TestMain(m *testing.M) {
	src, dst := os.Getenv(envSrc), os.Getenv(envDst)
	var err error
	switch os.Getenv(envWho) {
	case "":
		os.Exit(m.Run())
	case "gdal":
		err = translate(src, dst)
	case "field":
		err = writeField(dst, src)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func writeField(path, features string) error {
	n, err := strconv.Atoi(features)
	if err != nil {
		return err
	}
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	if _, err := convert.Write(f, randplan.Field(n, 38), "geojson", convert.WriteOptions{}); err != nil {
		return err
	}
	return f.Close()
}

// openOptions make the library find the geometry of a CSV.
func openOptions(path string) []string {
	if filepath.Ext(path) == ".csv" {
		return []string{"GEOM_POSSIBLE_NAMES=wkt", "KEEP_GEOM_COLUMNS=NO"}
	}
	return nil
}

// translate lets the library do the same work: all attributes, and a geometry in
// every feature. GPX has no polygons in its hands, so rings become tracks.
func translate(src, dst string) error {
	var options []string
	switch filepath.Ext(dst) {
	case ".geojson":
		options = []string{"-f", "GeoJSON", "-lco", "COORDINATE_PRECISION=10"}
	case ".kml":
		options = []string{"-f", "KML"}
	case ".gpx":
		options = []string{"-f", "GPX", "-nlt", "MULTILINESTRING", "-dsco", "GPX_USE_EXTENSIONS=YES", "-lco", "FORCE_GPX_TRACK=YES"}
	case ".csv":
		options = []string{"-f", "CSV", "-lco", "GEOMETRY=AS_WKT", "-lco", "COORDINATE_PRECISION=10"}
	}
	if filepath.Ext(src) == ".gpx" {
		options = append(options, "tracks")
	}
	return Translate(src, dst, options, openOptions(src))
}

type measurement struct {
	seconds float64 // of the whole process
	peakMB  float64
}

// run runs one process to its end.
func run(t *testing.T, cmd *exec.Cmd) measurement {
	t.Helper()
	cmd.Stderr = os.Stderr
	start := time.Now()
	if err := cmd.Run(); err != nil {
		t.Fatalf("%v: %v", cmd.Args, err)
	}
	usage := cmd.ProcessState.SysUsage().(*syscall.Rusage)
	return measurement{time.Since(start).Seconds(), float64(usage.Maxrss) * 1024 / 1e6}
}

func child(who, src, dst string) *exec.Cmd {
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), envWho+"="+who, envSrc+"="+src, envDst+"="+dst)
	return cmd
}

// best is the fastest of several runs, with the largest memory of them.
func best(t *testing.T, runs int, cmd func() *exec.Cmd) measurement {
	t.Helper()
	m := run(t, cmd())
	for i := 1; i < runs; i++ {
		n := run(t, cmd())
		m.seconds, m.peakMB = min(m.seconds, n.seconds), max(m.peakMB, n.peakMB)
	}
	return m
}

func TestSpeed(t *testing.T) {
	features, runs := 200, 1
	if s := os.Getenv("SWARDLINE_SPEED"); s != "" {
		n, err := strconv.Atoi(s)
		if err != nil {
			t.Fatalf("SWARDLINE_SPEED: %v", err)
		}
		features, runs = n, 2
	}
	endings := []string{".geojson", ".kml", ".gpx", ".csv"}
	dir := t.TempDir()
	src := map[string]string{}
	for _, e := range endings {
		src[e] = filepath.Join(dir, "field"+e)
	}
	program := filepath.Join(dir, "swardline")
	build := exec.Command("go", "build", "-o", program, "./cmd/swardline")
	build.Dir = filepath.Join("..", "..", "..")
	run(t, build)
	run(t, child("field", strconv.Itoa(features), src[".geojson"]))
	for _, e := range endings[1:] {
		run(t, exec.Command(program, "convert", src[".geojson"], src[e]))
	}
	t.Logf("GDAL library %s, %d polygons", Version(), features)
	t.Logf("%-8s %-8s %8s | %8s %8s | %8s %8s | %6s %6s", "from", "to", "in MB", "gdal s", "gdal MB", "ours s", "ours MB", "ratio", "mem/in")
	for _, from := range endings {
		info, err := os.Stat(src[from])
		if err != nil {
			t.Fatal(err)
		}
		inMB := float64(info.Size()) / 1e6
		for _, to := range endings {
			if from == to {
				continue
			}
			theirs := filepath.Join(dir, "theirs"+to)
			ours := filepath.Join(dir, "ours"+to)
			g := best(t, runs, func() *exec.Cmd { return child("gdal", src[from], theirs) })
			s := best(t, runs, func() *exec.Cmd { return exec.Command(program, "convert", "--strict", src[from], ours) })
			t.Logf("%-8s %-8s %8.1f | %8.2f %8.0f | %8.2f %8.0f | %6.1f %6.2f", from[1:], to[1:], inMB, g.seconds, g.peakMB, s.seconds, s.peakMB,
				g.seconds/s.seconds, s.peakMB/inMB)
			for who, path := range map[string]string{"the library's": theirs, "our": ours} {
				n, err := Count(path, openOptions(path))
				if err != nil {
					t.Errorf("%s %s from %s: %v", who, to, from, err)
				} else if n < features {
					t.Errorf("%s %s from %s holds %d features, want %d", who, to, from, n, features)
				}
				if err := os.Remove(path); err != nil {
					t.Error(err)
				}
			}
		}
	}
}
