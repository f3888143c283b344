// Command make writes the demo files of the examples folder: one invented park
// drawn in metres of its own site grid, then put out in every format, a plan
// with planted faults, and a landscaper's drawing of the same ground.
//
// Run it from the top of the project: go run ./examples/make
//
// A test holds that the committed files are what it writes.
package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"

	"swardline/convert"
	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

func main() {
	files, err := makeAll()
	if err == nil {
		err = writeAll("examples", files)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "make:", err)
		os.Exit(1)
	}
}

// file is one demo file, in the order in which they are made.
type file struct {
	name string
	data []byte
}

func writeAll(dir string, files []file) error {
	for _, f := range files {
		path := filepath.Join(dir, filepath.FromSlash(f.name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(path, f.data, 0o644); err != nil {
			return err
		}
	}
	return nil
}

func makeAll() ([]file, error) {
	park, err := parkPlan()
	if err != nil {
		return nil, err
	}
	faults, err := faultsPlan()
	if err != nil {
		return nil, err
	}
	utm, err := crs.Parse("EPSG:32632")
	if err != nil {
		return nil, err
	}
	var files []file
	for _, out := range []struct {
		name, format, layout string
		plan                 *schema.Plan
		to                   *crs.CRS
	}{
		{"park/park.geojson", "geojson", "", park, crs.WGS84()},
		{"park/park.kml", "kml", "", park, crs.WGS84()},
		{"park/park.gpx", "gpx", "", park, crs.WGS84()},
		{"park/park-utm.csv", "csv", "wkt", park, utm},
		{"park/park-site.csv", "csv", "points", park, park.CRS},
		{"faults/park-faults.geojson", "geojson", "", faults, crs.WGS84()},
	} {
		moved, _, err := out.plan.Moved(schema.Move{To: out.to})
		if err != nil {
			return nil, fmt.Errorf("%s: %w", out.name, err)
		}
		var b bytes.Buffer
		losses, err := convert.Write(&b, moved, out.format, wire.WriteOptions{Layout: out.layout})
		if err != nil {
			return nil, fmt.Errorf("%s: %w", out.name, err)
		}
		for _, l := range losses {
			return nil, fmt.Errorf("%s: loses %s: %s", out.name, l.Kind, l.Message)
		}
		files = append(files, file{out.name, b.Bytes()})
	}
	last := &files[len(files)-1]
	if last.data, err = turnRing(last.data, "k2"); err != nil {
		return nil, err
	}
	files = append(files, weekLogs(park.CRS)...)
	return append(files,
		file{"drawing/park.dxf", drawing()},
		file{"drawing/marks.csv", marksList(func(p xy) (lon, lat float64) {
			flat := []float64{falseE + p.x, falseN + p.y}
			if err := park.CRS.ToGeodetic(flat, 2); err != nil {
				panic(err) // a point of the park itself
			}
			return flat[0], flat[1]
		})},
	), nil
}
