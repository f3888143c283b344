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
	"time"
)

// points prints what a conversion of many points costs: a tenth of n, n and
// five times n of one site and scattered over a country, beside cs2cs for n;
// then pairs of formats.
func points(program, dir string, n int) error {
	convert, err := converter(program, dir)
	if err != nil {
		return err
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
	return pairs(program, dir, n, "")
}

// converter makes ready for files of any size.
func converter(program, dir string) (func(args ...string) (cost, error), error) {
	if load, err := os.ReadFile("/proc/loadavg"); err == nil {
		fmt.Printf("load of the machine: %s", load)
	}
	limits := filepath.Join(dir, "limits.yaml")
	if err := os.WriteFile(limits, []byte("input_max_bytes: 8589934592\ninput_max_features: 100000000\ninput_max_vertices: 100000000\n"), 0o666); err != nil {
		return nil, err
	}
	return func(args ...string) (cost, error) {
		return measure(program, nil, append([]string{"convert", "--limits", limits}, args...)...)
	}, nil
}

// pairs prints what n points over a country cost from format to format, each
// a feature, and then what a log of so many costs, which is one; only names
// the pairs that are printed.
func pairs(program, dir string, n int, only string) error {
	convert, err := converter(program, dir)
	if err != nil {
		return err
	}
	fmt.Printf("\n%d points over a country, from format to format\n%-32s %9s %8s %8s %9s\n", n, "", "input MB", "wall s", "cpu s", "peak MB")
	at := func(name string) string { return filepath.Join(dir, name) }
	if err := writePoints(at("points.csv"), n, 5, "id,lon,lat,h\n", "p%d,%.9[3]f,%.9[2]f,%.3[4]f\n"); err != nil {
		return err
	}
	if err := writeLogs(at("log.nmea"), at("log.pos"), at("track.gpx"), at("track.kml"), n); err != nil {
		return err
	}
	for _, pair := range [][]string{
		{"points.csv", "points.geojson"}, {"points.csv", "points.geojsonl"}, {"points.csv", "points.kml"}, {"points.csv", "points.gpx"}, {"points.csv", "out.kmz"},
		{"points.geojson", "out.csv"}, {"points.geojson", "out.geojson"}, {"points.geojsonl", "out.geojsonl"},
		{"points.kml", "out.csv"}, {"points.kml", "out.kml"}, {"points.gpx", "out.csv"}, {"points.gpx", "out.gpx"}, {"points.kml", "out.gpx"},
		{"points.geojson", "out.geojson", "--frame", "ETRS89", "--to", "EPSG:25832"},
		{"points.csv", "out.csv", "--to", "EPSG:4230", "--accept-accuracy", "20"},
		{"log.nmea", "out.csv"}, {"log.pos", "out.csv"}, {"log.pos", "out.gpx"}, {"track.gpx", "out.csv"}, {"track.kml", "out.csv"},
	} {
		words := pair[0] + " to " + filepath.Ext(pair[1])[1:]
		if i := slices.Index(pair, "--to"); i > 0 {
			words += " in " + pair[i+1]
		}
		made := strings.HasPrefix(pair[1], "points") // and read by others
		if !made && !strings.Contains(words, only) {
			continue
		}
		c, err := convert(append([]string{at(pair[0]), at(pair[1])}, pair[2:]...)...)
		if err != nil {
			return err
		}
		info, err := os.Stat(at(pair[0]))
		if err != nil {
			return err
		}
		fmt.Printf("%-32s %9.0f %8.2f %8.2f %9.0f\n", words, float64(info.Size())/1e6, c.wall, c.cpu, c.peakMB)
	}
	return nil
}

// writeLogs writes what a receiver logs in n seconds, and the track that it makes.
func writeLogs(nmea, solution, gpx, kml string, n int) error {
	var files [4]*os.File
	var w [4]*bufio.Writer
	for i, name := range []string{nmea, solution, gpx, kml} {
		f, err := os.Create(name)
		if err != nil {
			return err
		}
		files[i], w[i] = f, bufio.NewWriterSize(f, 1<<20)
	}
	fmt.Fprintln(w[1], "%  UTC latitude(deg) longitude(deg) height(m) Q ns sdn(m) sde(m) sdu(m) sdne(m) sdeu(m) sdun(m) age(s) ratio")
	fmt.Fprintln(w[2], `<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="invented"><trk><trkseg>`)
	fmt.Fprint(w[3], `<kml xmlns="http://www.opengis.net/kml/2.2"><Placemark><LineString><coordinates>`)
	start := time.Date(2026, 5, 4, 0, 0, 0, 0, time.UTC)
	for i := range n {
		t := start.Add(time.Duration(i) * time.Second)
		lat, lon := 56+0.01*math.Sin(float64(i)/1000), 9+0.01*math.Cos(float64(i)/1000)
		minutes := func(v float64) float64 { return 100*math.Floor(v) + 60*(v-math.Floor(v)) }
		for _, body := range []string{
			fmt.Sprintf("GNGGA,%s,%012.7f,N,%013.7f,E,4,14,0.7,12.345,M,40.100,M,1.0,0001", t.Format("150405.00"), minutes(lat), minutes(lon)),
			fmt.Sprintf("GNRMC,%s,A,%012.7f,N,%013.7f,E,0.12,10.5,%s,,,R", t.Format("150405.00"), minutes(lat), minutes(lon), t.Format("020106")),
			fmt.Sprintf("GNGST,%s,0.02,,,,0.01%d,0.012,0.021", t.Format("150405.00"), i%10),
		} {
			var sum byte
			for k := range len(body) {
				sum ^= body[k]
			}
			fmt.Fprintf(w[0], "$%s*%02X\r\n", body, sum)
		}
		fmt.Fprintf(w[1], "%s %14.9f %14.9f %10.4f   1  14   0.01%d0   0.0120   0.0210   0.0010   0.0010   0.0010   1.00   12.5\n", t.Format("2006/01/02 15:04:05.000"), lat, lon, 52.445, i%10)
		fmt.Fprintf(w[2], "<trkpt lat=\"%.9f\" lon=\"%.9f\"><ele>%.3f</ele><time>%s</time></trkpt>\n", lat, lon, 52.445, t.Format(time.RFC3339))
		fmt.Fprintf(w[3], "%.9f,%.9f,%.3f\n", lon, lat, 52.445)
	}
	fmt.Fprintln(w[2], "</trkseg></trk></gpx>")
	fmt.Fprintln(w[3], "</coordinates></LineString></Placemark></kml>")
	for i := range files {
		if err := w[i].Flush(); err != nil {
			return err
		}
		if err := files[i].Close(); err != nil {
			return err
		}
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
