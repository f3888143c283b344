// Command genheights writes the embedded table of heights (../epsg/heights.tsv.gz)
// from the EPSG tables of a proj.db, by way of the sqlite3 command line shell.
//
//	go run ./crs/genheights -db /usr/share/proj/proj.db -out crs/epsg
//
// Only facts are taken: codes, names, units, the parts of compound systems, and
// which grid file leads from which reference to which, how well. The reader beside
// the table is crs/heights.go, which also documents the fields.
package main

import (
	"bytes"
	"compress/gzip"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
)

func main() {
	db := flag.String("db", "/usr/share/proj/proj.db", "the `file` to read")
	out := flag.String("out", "epsg", "the `folder` to write")
	flag.Parse()
	if err := run(*db, *out); err != nil {
		fmt.Fprintln(os.Stderr, "genheights:", err)
		os.Exit(1)
	}
}

// vertical is the SQL for the vertical part of what a step leads to.
const vertical = `coalesce((select c.vertical_crs_code from compound_crs c where c.auth_name='EPSG' and c.code=t.target_crs_code), t.target_crs_code)`

var queries = []string{
	`select 'V', v.code, v.datum_code, u.conv_factor, a.orientation='down', v.name from vertical_crs v
		join axis a on a.coordinate_system_auth_name=v.coordinate_system_auth_name and a.coordinate_system_code=v.coordinate_system_code
		join unit_of_measure u on u.auth_name=a.uom_auth_name and u.code=a.uom_code
		where v.auth_name='EPSG' and v.deprecated=0 order by v.code`,
	`select 'C', code, horiz_crs_code, vertical_crs_code, name from compound_crs where auth_name='EPSG' and horiz_crs_auth_name='EPSG' and vertical_crs_auth_name='EPSG' and deprecated=0 order by code`,
	`select 'G', t.code, t.source_crs_code, ` + vertical + `, coalesce(t.accuracy,''),
		(select group_concat(n,'|') from (select t.grid_name n union select proj_grid_name from grid_alternatives a where a.original_grid_name=t.grid_name
			union select old_proj_grid_name from grid_alternatives a where a.original_grid_name=t.grid_name and coalesce(old_proj_grid_name,'')<>'' order by 1)), t.name
		from grid_transformation t where t.auth_name='EPSG' and t.deprecated=0 and t.target_crs_auth_name='EPSG' and t.source_crs_auth_name='EPSG'
		and (t.method_name like 'Geographic3D to GravityRelatedHeight%' or t.method_name like 'Geog3D to Geog2D+GravityRelatedHeight%' or t.method_name like 'Vertical Offset by Grid Interpolation%')
		and ` + vertical + ` in (select code from vertical_crs where auth_name='EPSG') order by t.code`,
}

func run(db, out string) error {
	var w bytes.Buffer
	for _, query := range queries {
		cmd := exec.Command("sqlite3", "-readonly", "-batch", "-noheader", "-separator", "\t", db, query)
		var stderr bytes.Buffer
		cmd.Stderr = &stderr
		b, err := cmd.Output()
		if err != nil {
			return fmt.Errorf("%w: %s", err, stderr.String())
		}
		w.Write(b)
	}
	var z bytes.Buffer
	g, err := gzip.NewWriterLevel(&z, gzip.BestCompression)
	if err != nil {
		return err
	}
	if _, err := g.Write(w.Bytes()); err != nil {
		return err
	}
	if err := g.Close(); err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(out, "heights.tsv.gz"), z.Bytes(), 0o644)
}
