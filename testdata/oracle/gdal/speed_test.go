// Speed and memory of conversions beside the GDAL library's: the program as it
// is built against the library's translation, each in a process of its own, one
// after the other in one run. Times are of whole processes, start and reading
// included.
//
//	cd testdata/oracle && SWARDLINE_SPEED=60000 go test ./gdal -run TestSpeed -v -timeout 30m
//
// prints a table; without the variable a small file is converted both ways to
// hold the comparison itself.

package gdal

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"swardline/convert"
	"swardline/testdata/randplan"
)

// What a child process is asked to do, in its environment: translate with the
// library, write the test file, or run and measure another process. Each
// process is measured by a parent of its own that has had no other child,
// because some systems report the largest memory of all children there were.
const (
	envWho = "SWARDLINE_CHILD" // "gdal", "field" or "measure"
	envSrc = "SWARDLINE_CHILD_SRC"
	envDst = "SWARDLINE_CHILD_DST"
	// What the process that is measured is asked, in turn.
	envInner = "SWARDLINE_CHILD_INNER"
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
	case "measure":
		err = measure(os.Args[1:])
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// projected ends the name of a file that is to be written in UTM zone 32N: the
// datum stays, so that both sides do the projection alone.
const projected = "-utm.geojson"

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

// translate lets the library do the same work: all attributes, and a geometry
// in every feature. GPX has no polygons in its hands, so rings become tracks.
func translate(src, dst string) error {
	var options []string
	switch filepath.Ext(dst) {
	case ".geojson":
		options = []string{"-f", "GeoJSON", "-lco", "COORDINATE_PRECISION=10"}
		if strings.HasSuffix(dst, projected) {
			options = []string{"-f", "GeoJSON", "-lco", "COORDINATE_PRECISION=5", "-t_srs", "EPSG:32632"}
		}
	case ".kml":
		options = []string{"-f", "KML"}
	case ".gpx":
		options = []string{"-f", "GPX", "-nlt", "MULTILINESTRING", "-dsco", "GPX_USE_EXTENSIONS=YES", "-lco", "FORCE_GPX_TRACK=YES"}
	case ".csv":
		options = []string{"-f", "CSV", "-lco", "GEOMETRY=AS_WKT"}
	}
	if filepath.Ext(src) == ".gpx" {
		options = append(options, "tracks")
	}
	return Translate(src, dst, options, openOptions(src))
}

type measurement struct {
	seconds float64 // of the whole process
	cpu     float64 // processor time, which other work on the machine does not change
	peakMB  float64
}

// measure runs a command and prints its time, processor time and peak memory.
func measure(args []string) error {
	cmd := exec.Command(args[0], args[1:]...)
	cmd.Env = append(os.Environ(), envWho+"="+os.Getenv(envInner))
	cmd.Stderr = os.Stderr
	start := time.Now()
	if err := cmd.Run(); err != nil {
		return err
	}
	seconds := time.Since(start).Seconds()
	usage := cmd.ProcessState.SysUsage().(*syscall.Rusage)
	cpu := cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
	_, err := fmt.Println(seconds, cpu.Seconds(), float64(usage.Maxrss)*1024/1e6)
	return err
}

// run runs one process to its end.
func run(t *testing.T, cmd *exec.Cmd) measurement {
	t.Helper()
	outer := exec.Command(os.Args[0], cmd.Args...)
	outer.Dir = cmd.Dir
	inner := ""
	for _, e := range cmd.Env {
		if v, ok := strings.CutPrefix(e, envWho+"="); ok {
			inner = v
		}
	}
	outer.Env = append(append(os.Environ(), cmd.Env...), envWho+"=measure", envInner+"="+inner)
	outer.Stderr = os.Stderr
	out, err := outer.Output()
	if err != nil {
		t.Fatalf("%v: %v", cmd.Args, err)
	}
	var m measurement
	if _, err := fmt.Sscan(string(out), &m.seconds, &m.cpu, &m.peakMB); err != nil {
		t.Fatalf("%v printed %q", cmd.Args, out)
	}
	return m
}

func child(who, src, dst string) *exec.Cmd {
	cmd := exec.Command(os.Args[0])
	cmd.Env = []string{envWho + "=" + who, envSrc + "=" + src, envDst + "=" + dst}
	return cmd
}

func TestSpeed(t *testing.T) {
	features := 200
	if s := os.Getenv("SWARDLINE_SPEED"); s != "" {
		n, err := strconv.Atoi(s)
		if err != nil {
			t.Fatalf("SWARDLINE_SPEED: %v", err)
		}
		features = n
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
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	run(t, child("field", strconv.Itoa(features), src[".geojson"]))
	for _, e := range endings[1:] {
		run(t, exec.Command(program, "convert", src[".geojson"], src[e]))
	}
	t.Logf("GDAL library %s, %d polygons", Version(), features)
	t.Logf("%-8s %-8s %7s | %7s %7s %7s | %7s %7s %7s | %6s %6s %6s", "from", "to", "in MB", "gdal s", "cpu s", "MB", "ours s", "cpu s", "MB", "ratio", "cpu", "mem/in")
	for _, from := range endings {
		info, err := os.Stat(src[from])
		if err != nil {
			t.Fatal(err)
		}
		inMB := float64(info.Size()) / 1e6
		for _, to := range append([]string{projected}, endings...) {
			if from == to || to == projected && from != ".geojson" {
				continue
			}
			theirs := filepath.Join(dir, "theirs"+to)
			ours := filepath.Join(dir, "ours"+to)
			args := []string{"convert", "--strict", src[from], ours}
			if to == projected {
				args = append(args, "--to", "EPSG:32632")
			}
			g := run(t, child("gdal", src[from], theirs))
			s := run(t, exec.Command(program, args...))
			t.Logf("%-8s %-8s %7.1f | %7.2f %7.2f %7.0f | %7.2f %7.2f %7.0f | %6.1f %6.1f %6.2f", from[1:], to[1:], inMB, g.seconds, g.cpu, g.peakMB, s.seconds, s.cpu, s.peakMB,
				g.seconds/s.seconds, g.cpu/s.cpu, s.peakMB/inMB)
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
