// Many points, and cs2cs of PROJ beside the program.

package main

import (
	"bufio"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// points prints what a conversion of many points costs: a tenth of n, n and
// five times n of one site and scattered over a country, beside cs2cs for n;
// then pairs of formats.
func points(program, dir string, n int) error {
	load, err := os.ReadFile("/proc/loadavg")
	if err == nil {
		fmt.Printf("load of the machine: %s", load)
	}
	limits := filepath.Join(dir, "limits.yaml")
	if err := os.WriteFile(limits, []byte("input_max_bytes: 8589934592\ninput_max_features: 100000000\n"), 0o666); err != nil {
		return err
	}
	convert := func(args ...string) (cost, error) {
		return measure(program, nil, append([]string{"convert", "--limits", limits}, args...)...)
	}
	fmt.Printf("\npoints in longitude and latitude of ETRS89 to EPSG:25832, CSV to CSV\n%-10s %10s %8s %8s %8s %9s\n", "", "points", "wall s", "cpu s", "ns/point", "peak MB")
	list, out := filepath.Join(dir, "points.csv"), filepath.Join(dir, "out.csv")
	for _, spread := range []struct {
		name    string
		degrees float64
	}{{"one site", 0.01}, {"a country", 5}} {
		for _, size := range []int{n / 10, n, 5 * n} {
			if err := writePoints(list, size, spread.degrees, "id,lon,lat,h\n", "p%d,%.9[3]f,%.9[2]f,%.3[4]f\n"); err != nil {
				return err
			}
			c, err := convert("--from", "EPSG:4258", "--to", "EPSG:25832", "--layout", "points", list, out)
			if err != nil {
				return err
			}
			fmt.Printf("%-10s %10d %8.2f %8.2f %8.0f %9.0f\n", spread.name, size, c.wall, c.cpu, 1e9*c.cpu/float64(size), c.peakMB)
			if size != n {
				continue
			}
			text := filepath.Join(dir, "points.txt")
			if err := writePoints(text, size, spread.degrees, "", "%.9[2]f %.9[3]f %.3[4]f p%[1]d\n"); err != nil {
				return err
			}
			beside, err := cs2cs(text, out)
			if err != nil {
				fmt.Printf("%-10s %10s no cs2cs beside it: %v\n", "", "", err)
				continue
			}
			fmt.Printf("%-10s %10d %8.2f %8.2f %8.0f %9.0f   ratio by processor time %.2f\n", "  cs2cs", size, beside.wall, beside.cpu, 1e9*beside.cpu/float64(size), beside.peakMB, beside.cpu/c.cpu)
		}
	}
	return pairs(dir, n, convert)
}

// pairs prints what n points over a country cost from format to format.
func pairs(dir string, n int, convert func(...string) (cost, error)) error {
	fmt.Printf("\n%d points over a country, from format to format\n%-32s %8s %8s %9s\n", n, "", "wall s", "cpu s", "peak MB")
	at := func(name string) string { return filepath.Join(dir, name) }
	if err := writePoints(at("points.csv"), n, 5, "id,lon,lat,h\n", "p%d,%.9[3]f,%.9[2]f,%.3[4]f\n"); err != nil {
		return err
	}
	for _, pair := range [][]string{
		{"points.csv", "points.geojson"}, {"points.csv", "points.geojsonl"},
		{"points.geojson", "out.csv"}, {"points.geojson", "out.geojson"}, {"points.geojsonl", "out.geojsonl"},
		{"points.geojson", "out.geojson", "--frame", "ETRS89", "--to", "EPSG:25832"},
		{"points.csv", "out.csv", "--to", "EPSG:4230", "--accept-accuracy", "20"}, {"points.csv", "out.kml"},
	} {
		c, err := convert(append([]string{at(pair[0]), at(pair[1])}, pair[2:]...)...)
		if err != nil {
			return err
		}
		words := filepath.Ext(pair[0])[1:] + " to " + filepath.Ext(pair[1])[1:]
		if i := slices.Index(pair, "--to"); i > 0 {
			words += " in " + pair[i+1]
		}
		fmt.Printf("%-32s %8.2f %8.2f %9.0f\n", words, c.wall, c.cpu, c.peakMB)
	}
	return nil
}

// writePoints writes n points about the middle of Germany, by a form of their
// number, latitude, longitude and height.
func writePoints(path string, n int, degrees float64, head, form string) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	r := rand.New(rand.NewPCG(1, uint64(n)))
	w := bufio.NewWriterSize(f, 1<<20)
	w.WriteString(head)
	for i := range n {
		fmt.Fprintf(w, form, i, 48+degrees*r.Float64(), 7+degrees*r.Float64(), 50+10*r.Float64())
	}
	if err := w.Flush(); err != nil {
		return err
	}
	return f.Close()
}

// cs2cs moves the points of a text with PROJ's program, and holds what the
// program under test wrote against it.
func cs2cs(text, ours string) (cost, error) {
	theirs := text + ".out"
	f, err := os.Create(theirs)
	if err != nil {
		return cost{}, err
	}
	defer f.Close()
	cmd := exec.Command("cs2cs", "-f", "%.5f", "EPSG:4258", "EPSG:25832", text)
	cmd.Stdout = f
	c, err := costOf(cmd)
	if err != nil {
		return c, err
	}
	return c, agree(theirs, ours)
}

// agree compares eastings and northings line by line.
func agree(theirs, ours string) error {
	a, err := os.Open(theirs)
	if err != nil {
		return err
	}
	defer a.Close()
	b, err := os.Open(ours)
	if err != nil {
		return err
	}
	defer b.Close()
	x, y := bufio.NewScanner(a), bufio.NewScanner(b)
	y.Scan() // the header
	for line := 1; x.Scan(); line++ {
		if !y.Scan() {
			return fmt.Errorf("%s ends at line %d", ours, line)
		}
		p, q := strings.Fields(x.Text()), strings.Split(y.Text(), ",")
		for i := range 2 {
			u, err1 := strconv.ParseFloat(p[i], 64)
			v, err2 := strconv.ParseFloat(q[6+i], 64)
			// Both round to 0.01 mm, and the two differ by no more before that.
			if err1 != nil || err2 != nil || math.Abs(u-v) > 2.1e-5 {
				return fmt.Errorf("point %d: cs2cs has %s, we have %s", line, p[i], q[6+i])
			}
		}
	}
	return x.Err()
}
