// The program as a process of its own: signals, pipes, full disks and memory.

//go:build unix

package main

import (
	"archive/zip"
	"bufio"
	"bytes"
	"compress/flate"
	"fmt"
	"hash/crc32"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"

	"swardline/schema"
	"swardline/testdata/randplan"
	"swardline/validate/report"
)

// child is the program in a process of its own: the test binary under the
// program's name, which TestMain takes for it.
func child(t *testing.T, args ...string) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	return &exec.Cmd{Path: self, Args: append([]string{program}, args...), Env: os.Environ()}
}

// statusAfter runs the child and returns its status and what it said on
// standard error.
func statusAfter(t *testing.T, c *exec.Cmd) (int, string) {
	t.Helper()
	var stderr bytes.Buffer
	if c.Stderr == nil {
		c.Stderr = &stderr
	}
	err := c.Run()
	if c.ProcessState == nil {
		t.Fatal(err)
	}
	if strings.Contains(stderr.String(), "panic") || strings.Contains(stderr.String(), "goroutine ") {
		t.Fatalf("%v: %s", c.Args, stderr.String())
	}
	return c.ProcessState.ExitCode(), stderr.String()
}

// TestInterruptedCheckLeavesAWholeReport stops a check for certain in its
// midst: its one job waits for a pipe, with 1500 plans behind it, when the
// signal comes.
func TestInterruptedCheckLeavesAWholeReport(t *testing.T) {
	dir := t.TempDir()
	plan, err := os.ReadFile("../../examples/park/park.geojson")
	if err != nil {
		t.Fatal(err)
	}
	const behind = 1500
	folder := filepath.Join(dir, "f")
	if err := os.Mkdir(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	for i := range behind {
		if err := os.WriteFile(filepath.Join(folder, fmt.Sprintf("p%04d.geojson", i)), plan, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	first, pipe := filepath.Join(dir, "first.geojson"), filepath.Join(dir, "pipe.geojson")
	if err := os.WriteFile(first, plan, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := syscall.Mkfifo(pipe, 0o644); err != nil {
		t.Fatal(err)
	}
	out := func(name string) string { return filepath.Join(dir, name) }
	c := child(t, "check", "--jobs", "1", "--fail-on", "never", "--report", out("r.json"), "--report", out("r.xml"), "--report", out("r.sarif"), "--report", out("r.csv"),
		"--register", out("g.csv"), "--pages", out("pages"), first, pipe, folder)
	var stdout, stderr bytes.Buffer
	c.Stdout, c.Stderr = &stdout, &stderr
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	w, err := os.OpenFile(pipe, os.O_WRONLY, 0) // comes back once the child reads
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	if _, err := w.Write(plan); err != nil {
		t.Fatal(err)
	}
	w.Close()
	c.Wait()
	if status := c.ProcessState.ExitCode(); status != exitUnreadable {
		t.Errorf("status %d: %s", status, stderr.String())
	}
	data, err := os.ReadFile(out("r.json"))
	if err != nil {
		t.Fatal(err)
	}
	set, err := report.ReadJSON(data)
	if err != nil {
		t.Fatal(err)
	}
	i := set.Interrupted
	if i == nil || i.Checked != len(set.Plans) || i.Checked < 2 || i.NotReached < 1 || i.Checked+i.NotReached != behind+2 {
		t.Fatalf("%d plans, interrupted %+v", len(set.Plans), i)
	}
	for k := range set.Plans {
		if p := &set.Plans[k]; p.Status != report.Clean || p.Areas == nil || len(p.Rules) == 0 {
			t.Fatalf("plan %d is not whole: %+v", k, p)
		}
	}
	words := fmt.Sprintf("interrupted: %d of %d plans checked, %d not reached", i.Checked, behind+2, i.NotReached)
	for _, name := range []string{"r.xml", "r.sarif", "r.csv", "g.csv", "pages/index.html"} {
		if text, err := os.ReadFile(out(name)); err != nil || !bytes.Contains(text, []byte(words)) {
			t.Errorf("%s does not say %q (%v)", name, words, err)
		}
	}
	if !strings.Contains(stdout.String(), words) || !strings.Contains(stderr.String(), fmt.Sprintf("interrupted: %d of %d plans were not reached", i.NotReached, behind+2)) {
		t.Errorf("printed %s\n%s", stdout.String(), stderr.String())
	}
	if list, err := os.ReadDir(out("pages/plans")); err != nil || len(list) != i.Checked {
		t.Errorf("%d pages for %d plans (%v)", len(list), i.Checked, err)
	}
}

// TestClosedPipe: the reading end is gone before the first byte, so that every
// write fails; the program says so and ends with its status, not by a signal.
func TestClosedPipe(t *testing.T) {
	r, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	r.Close()
	defer w.Close()
	c := child(t, "check", "--fail-on", "never", "../../examples/park/park.kml")
	c.Stdout = w
	if status, said := statusAfter(t, c); status != exitUnreadable || !strings.Contains(said, "broken pipe") {
		t.Errorf("status %d, said %q", status, said)
	}
}

// TestFullDisk: on a full disk a report is an error with its hint, the old file
// stands, and no half one lies about.
func TestFullDisk(t *testing.T) {
	if _, err := os.Stat("/dev/full"); err != nil {
		t.Skip("there is no /dev/full")
	}
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer full.Close()
	toFull := child(t, "check", "--fail-on", "never", "../../examples/park/park.kml")
	toFull.Stdout = full
	if status, said := statusAfter(t, toFull); status != exitUnreadable || !strings.Contains(said, hintDiskFull) {
		t.Errorf("standard output: status %d, said %q", status, said)
	}
	dir := t.TempDir()
	link := filepath.Join(dir, "full.json")
	if err := os.Symlink("/dev/full", link); err != nil {
		t.Fatal(err)
	}
	status, said := statusAfter(t, child(t, "check", "--quiet", "--report", link, "../../examples/park/park.kml"))
	if status != exitUnreadable || !strings.Contains(said, hintDiskFull) {
		t.Errorf("status %d, said %q", status, said)
	}
	old := filepath.Join(dir, "old.json")
	if err := os.WriteFile(old, []byte("old"), 0o644); err != nil {
		t.Fatal(err)
	}
	sh, err := exec.LookPath("sh")
	if err != nil {
		t.Skip("there is no sh to set a limit on the size of files")
	}
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	// One block of 512 or 1024 bytes: the report has more.
	if err := os.Symlink(self, filepath.Join(dir, program)); err != nil {
		t.Fatal(err)
	}
	c := exec.Command(sh, "-c", `ulimit -f 1; exec "$0" "$@"`, filepath.Join(dir, program), "check", "--quiet", "--report", old, "../../examples/park/park.kml")
	status, said = statusAfter(t, c)
	if status != exitUnreadable || !strings.Contains(said, "file too large") {
		t.Errorf("status %d, said %q", status, said)
	}
	if text, err := os.ReadFile(old); err != nil || string(text) != "old" {
		t.Errorf("the old file is now %.40q, %v", text, err)
	}
	list, err := os.ReadDir(dir)
	if err != nil || len(list) != 3 {
		t.Errorf("left in the folder: %v, %v", list, err)
	}
}

// TestChangedWhileRead: a file that grows between its size and its bytes is
// refused. Those of /proc say that they are empty and are not.
func TestChangedWhileRead(t *testing.T) {
	if info, err := os.Stat("/proc/version"); err != nil || info.Size() != 0 {
		t.Skip("there is no /proc/version")
	}
	c := child(t, "check", "--read", "geojson", "/proc/version")
	var stdout bytes.Buffer
	c.Stdout = &stdout
	status, _ := statusAfter(t, c)
	if status != exitUnreadable || !strings.Contains(stdout.String(), "the file changed while it was read") {
		t.Errorf("status %d, printed %s", status, stdout.String())
	}
}

// TestNoPermission: a file that may not be read and a folder that may not be
// entered are named, each with one error; the plans beside them are checked.
// Root may read everything, so that under root the program runs as a user who
// owns nothing.
func TestNoPermission(t *testing.T) {
	dir := t.TempDir()
	c := func(args ...string) *exec.Cmd {
		c := child(t, append([]string{"check", "--fail-on", "never"}, args...)...)
		c.Dir = dir
		if os.Geteuid() == 0 {
			c.Path = filepath.Join(dir, program)
			c.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
		}
		return c
	}
	plan, err := os.ReadFile("../../examples/park/park.kml")
	if err != nil {
		t.Fatal(err)
	}
	if os.Geteuid() == 0 {
		// The folders of tests and of test binaries are closed to other users.
		self, err := os.Executable()
		if err != nil {
			t.Fatal(err)
		}
		binary, err := os.ReadFile(self)
		if err == nil {
			err = os.WriteFile(filepath.Join(dir, program), binary, 0o755)
		}
		for _, folder := range []string{dir, filepath.Dir(dir)} {
			if err == nil {
				err = os.Chmod(folder, 0o755)
			}
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	out := filepath.Join(dir, "out")
	for _, folder := range []string{"out", "f", "f/locked"} {
		if err := os.Mkdir(filepath.Join(dir, folder), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	for _, name := range []string{"f/a.kml", "f/b.kml", "f/c.kml", "f/locked/d.kml"} {
		if err := os.WriteFile(filepath.Join(dir, name), plan, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for name, mode := range map[string]os.FileMode{"out": 0o777, "f/b.kml": 0, "f/locked": 0} {
		if err := os.Chmod(filepath.Join(dir, name), mode); err != nil {
			t.Fatal(err)
		}
	}
	t.Cleanup(func() { os.Chmod(filepath.Join(dir, "f/locked"), 0o755) })

	run := c("--report", filepath.Join(out, "r.json"), "f")
	var stdout bytes.Buffer
	run.Stdout = &stdout
	status, said := statusAfter(t, run)
	if status != exitUnreadable || !strings.Contains(said, "2 of 4 inputs could not be read") {
		t.Errorf("status %d, said %q", status, said)
	}
	data, err := os.ReadFile(filepath.Join(out, "r.json"))
	if err != nil {
		t.Fatal(err)
	}
	set, err := report.ReadJSON(data)
	if err != nil {
		t.Fatal(err)
	}
	const refused = "may not be read; give yourself permission to read it"
	want := map[string]report.Status{"f/a.kml": report.Unchecked, "f/b.kml": report.Unreadable, "f/c.kml": report.Unchecked, "f/locked": report.Unreadable}
	if len(set.Plans) != len(want) {
		t.Errorf("%d plans, want %d", len(set.Plans), len(want))
	}
	for i := range set.Plans {
		p := &set.Plans[i]
		if p.Status != want[p.Path] {
			t.Errorf("%s is %s, want %s: %s", p.Path, p.Status, want[p.Path], p.Error)
		}
		if p.Status != report.Unreadable {
			continue
		}
		if strings.Count(p.Error, refused) != 1 || !strings.Contains(p.Error, p.Path) || strings.Contains(p.Error, "\n") {
			t.Errorf("%s: the error is %q", p.Path, p.Error)
		}
		if strings.Count(stdout.String(), refused) != 2 || strings.Count(stdout.String(), p.Error) != 1 {
			t.Errorf("%s: printed %s", p.Path, stdout.String())
		}
	}
	// Named by itself, each ends in the same status.
	for _, name := range []string{"f/b.kml", "f/locked", "f/locked/d.kml"} {
		run := c(name)
		var stdout bytes.Buffer
		run.Stdout = &stdout
		if status, said := statusAfter(t, run); status != exitUnreadable || !strings.Contains(stdout.String()+said, refused) && !strings.Contains(said, hintNoPermission) {
			t.Errorf("%s: status %d, printed %q, said %q", name, status, stdout.String(), said)
		}
	}
}

// TestKMZWritesNowhere: entries that name places outside make no file anywhere.
func TestKMZWritesNowhere(t *testing.T) {
	dir := t.TempDir()
	if err := os.MkdirAll(filepath.Join(dir, "in"), 0o755); err != nil {
		t.Fatal(err)
	}
	plan, err := os.ReadFile("../../examples/park/park.kml")
	if err != nil {
		t.Fatal(err)
	}
	evil := filepath.Join(dir, "absolute.kml")
	kmz := filepath.Join(dir, "in", "a.kmz")
	f, err := os.Create(kmz)
	if err != nil {
		t.Fatal(err)
	}
	z := zip.NewWriter(f)
	for _, name := range []string{"doc.kml", "../up.kml", "../../upper.kml", evil, `..\back.kml`, "C:/x.kml", "files/../../up2.png"} {
		e, err := z.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := e.Write(plan); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	f.Close()
	before := listing(t, dir)
	c := child(t, "check", "--fail-on", "never", "in")
	c.Dir = dir
	status, said := statusAfter(t, c)
	if status != exitDone && status != exitUnreadable {
		t.Errorf("status %d: %s", status, said)
	}
	if after := listing(t, dir); after != before {
		t.Errorf("the folder was\n%s\nand is\n%s", before, after)
	}
}

func listing(t *testing.T, dir string) string {
	t.Helper()
	var b strings.Builder
	err := filepath.Walk(dir, func(path string, info os.FileInfo, err error) error {
		fmt.Fprintln(&b, path)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// memoryBase and memoryFactor are the bound of a check of one hostile file: so
// much and so many times its bytes, those of a KMZ unpacked and no more than
// input_max_inflated_bytes.
const (
	memoryBase   = 64 << 20
	memoryFactor = 16
	// bombFactor is for a KMZ that is refused: times input_max_inflated_bytes.
	bombFactor = 3
)

// TestHostileMemory measures the most memory that the program held (ru_maxrss)
// with files made to need much.
func TestHostileMemory(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("ru_maxrss is in kilobytes on Linux alone")
	}
	if !randplan.Long() {
		t.Skip("it writes files of many megabytes")
	}
	dir := t.TempDir()
	for _, x := range []struct {
		name, before, each, after string
		times                     int
		want                      string // part of what is said; "" for a plan that is checked
	}{
		{"deep.geojson", "", "[", "", 20 << 20, "input_max_nesting"},
		{"deep.kml", `<kml xmlns="http://www.opengis.net/kml/2.2">`, "<Folder>", "", 1 << 20, "input_max_nesting"},
		{"cell.csv", "name,lat,lon\n\"", "aaaaaaaaaaaaaaaa", "", 1 << 20, "cell.csv"},
		{"text.gpx", `<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="x"><wpt lat="1" lon="1"><name>`, "aaaaaaaaaaaaaaaa", "", 1 << 20, "text.gpx"},
		{"lines.dxf", "  0\nSECTION\n  2\nENTITIES\n", "  0\nPOINT\n 10\n1\n 20\n1\n", "", 1 << 18, "lines.dxf"},
	} {
		t.Run(x.name, func(t *testing.T) {
			path := filepath.Join(dir, x.name)
			size := generate(t, path, x.before, x.each, x.after, x.times)
			defer os.Remove(path)
			c := child(t, "check", "--fail-on", "never", path)
			var stdout bytes.Buffer
			c.Stdout = &stdout
			status, said := statusAfter(t, c)
			if x.want != "" && (status != exitUnreadable || !strings.Contains(stdout.String()+said, x.want)) {
				t.Errorf("status %d, printed %.300s, said %.300s", status, stdout.String(), said)
			}
			if x.want == "" && status != exitDone {
				t.Errorf("status %d, said %.300s", status, said)
			}
			held := int64(c.ProcessState.SysUsage().(*syscall.Rusage).Maxrss) << 10
			t.Logf("%d MiB held for %d MiB", held>>20, size>>20)
			if most := memoryBase + memoryFactor*size; held > most {
				t.Errorf("%d MiB held, the bound is %d MiB", held>>20, most>>20)
			}
		})
	}
}

// TestBombMemory measures the same of KMZ files that unpack to more than a
// reader takes: one that says so, one whose entry says that it is small, and
// one that says just what a reader takes.
func TestBombMemory(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("ru_maxrss is in kilobytes on Linux alone")
	}
	if !randplan.Long() {
		t.Skip("it unpacks files of many megabytes")
	}
	limit := int64(schema.DefaultLimits().InputMaxInflated)
	var packed bytes.Buffer
	z, err := flate.NewWriter(&packed, flate.BestSpeed)
	if err != nil {
		t.Fatal(err)
	}
	sum := crc32.NewIEEE()
	both := io.MultiWriter(z, sum)
	io.WriteString(both, `<kml xmlns="http://www.opengis.net/kml/2.2"><Document><name>`)
	block := bytes.Repeat([]byte("a"), 1<<20)
	for range limit>>20 + 16 {
		both.Write(block)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	want := map[string]string{"bomb.kmz": "input_max_inflated_bytes", "small.kmz": "cannot be unpacked", "limit.kmz": "cannot be unpacked"}
	for name, says := range map[string]uint64{"bomb.kmz": uint64(limit) + 16<<20, "small.kmz": 1000, "limit.kmz": uint64(limit)} {
		t.Run(name, func(t *testing.T) {
			var file bytes.Buffer
			w := zip.NewWriter(&file)
			e, err := w.CreateRaw(&zip.FileHeader{Name: "doc.kml", Method: zip.Deflate, CRC32: sum.Sum32(), CompressedSize64: uint64(packed.Len()), UncompressedSize64: says})
			if err != nil {
				t.Fatal(err)
			}
			if _, err := e.Write(packed.Bytes()); err != nil {
				t.Fatal(err)
			}
			if err := w.Close(); err != nil {
				t.Fatal(err)
			}
			path := filepath.Join(t.TempDir(), name)
			if err := os.WriteFile(path, file.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
			c := child(t, "check", path)
			var stdout bytes.Buffer
			c.Stdout = &stdout
			status, said := statusAfter(t, c)
			if status != exitUnreadable || !strings.Contains(stdout.String(), name) || !strings.Contains(stdout.String(), want[name]) {
				t.Errorf("status %d, printed %.300s, said %.300s", status, stdout.String(), said)
			}
			held := int64(c.ProcessState.SysUsage().(*syscall.Rusage).Maxrss) << 10
			t.Logf("%d MiB held for %d KiB that unpack to more than %d MiB", held>>20, file.Len()>>10, limit>>20)
			if most := memoryBase + bombFactor*limit; held > most {
				t.Errorf("%d MiB held, the bound is %d MiB", held>>20, most>>20)
			}
		})
	}
}

// TestMillionHoles: a polygon with a million holes is checked whole, in time
// and in memory.
func TestMillionHoles(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("ru_maxrss is in kilobytes on Linux alone")
	}
	if !randplan.Long() {
		t.Skip("it writes a file of a hundred megabytes")
	}
	path := filepath.Join(t.TempDir(), "holes.geojson")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	w := bufio.NewWriterSize(f, 1<<16)
	const side = 1000
	fmt.Fprint(w, `{"type":"Feature","properties":{"role":"zone","name":"Z"},"geometry":{"type":"Polygon","coordinates":[[[9,50],[9.01,50],[9.01,50.01],[9,50.01],[9,50]]`)
	for i := range side * side {
		x, y := float64(i%side)*1e-5+9, float64(i/side)*1e-5+50
		fmt.Fprintf(w, ",[[%.7f,%.7f],[%.7f,%.7f],[%.7f,%.7f],[%.7f,%.7f]]", x+2e-6, y+2e-6, x+2e-6, y+8e-6, x+8e-6, y+2e-6, x+2e-6, y+2e-6)
	}
	fmt.Fprint(w, `]}}`)
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	info, err := f.Stat()
	if err != nil {
		t.Fatal(err)
	}
	f.Close()
	out := filepath.Join(filepath.Dir(path), "r.json")
	c := child(t, "check", "--quiet", "--fail-on", "never", "--report", out, path)
	if status, said := statusAfter(t, c); status != exitDone {
		t.Fatalf("status %d: %.300s", status, said)
	}
	held := int64(c.ProcessState.SysUsage().(*syscall.Rusage).Maxrss) << 10
	t.Logf("%d MiB held for %d MiB", held>>20, info.Size()>>20)
	if most := memoryBase + memoryFactor*info.Size(); held > most {
		t.Errorf("%d MiB held, the bound is %d MiB", held>>20, most>>20)
	}
	data, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	set, err := report.ReadJSON(data)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range set.Plans[0].Findings {
		if strings.HasPrefix(f.Rule, "hole") || strings.HasPrefix(f.Rule, "ring-crosses") || f.Rule == "interior-split" {
			t.Errorf("a fault where there is none: %+v", f)
		}
	}
}

func generate(t *testing.T, path, before, each, after string, times int) int64 {
	t.Helper()
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	w := bufio.NewWriterSize(f, 1<<16)
	io.WriteString(w, before)
	for range times {
		io.WriteString(w, each)
	}
	io.WriteString(w, after)
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	size, err := f.Seek(0, io.SeekCurrent)
	if err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	return size
}
