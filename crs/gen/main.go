// Command gen writes the embedded catalogue of coordinate reference systems
// (../epsg/*.tsv.gz) from the EPSG tables of a proj.db, by way of the sqlite3
// command line shell.
//
//	go run ./crs/gen -db proj.db -out crs/epsg
//
// Only facts are taken: codes, names, parameter values, scopes, years and bounding
// boxes. The
// files are gzip-compressed tables, a record a line, fields parted by tabs; the
// reader beside them is crs/catalogue.go, which also documents the fields.
package main

import (
	"bytes"
	"compress/gzip"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

func main() {
	db := flag.String("db", "/usr/share/proj/proj.db", "the `file` to read")
	out := flag.String("out", "epsg", "the `folder` to write")
	flag.Parse()
	if err := run(*db, *out); err != nil {
		fmt.Fprintln(os.Stderr, "gen:", err)
		os.Exit(1)
	}
}

// A table is one embedded file: the queries whose rows make its lines, each
// with the letter that starts them (none for a file with one kind of line).
type table struct {
	file  string
	parts []part
}

type part struct{ letter, query string }

// extents is the SQL for the extent codes of a CRS, comma-separated.
const extents = `(select group_concat(extent_code, ',') from (select distinct u.extent_code from usage u
	where u.object_table_name='%s' and u.object_auth_name='EPSG' and u.object_code=t.code and u.extent_auth_name='EPSG' order by u.extent_code))`

// usages is the SQL for two fields of a projected CRS: its extent codes, parted
// by commas, and for each the codes of its scopes, parted by plus signs.
const usages = `(select group_concat(e, ',') || char(9) || group_concat(s, ',') from (select e, group_concat(s, '+') s from
	(select distinct u.extent_code e, u.scope_code s from usage u where u.object_table_name='projected_crs' and u.object_auth_name='EPSG'
	and u.object_code=t.code and u.extent_auth_name='EPSG' and u.scope_auth_name='EPSG' order by u.extent_code, u.scope_code) group by e order by e))`

// dropped are names that the registry changed without keeping the old one as
// an alias: table letter, code, name. Texts of the years before hold them.
const dropped = `(select 'D' l, 6737 code, 'Geocentric datum of Korea' name union select 'P', 3885, 'ETRS89 / GK31FIN' union
	select 'P', 6622, 'NAD83(CSRS) / Quebec Lambert' union select 'P', 6624, 'NAD83(CSRS) / Quebec Albers' union
	select 'P', 9377, 'MAGNA-SIRGAS / Origen-Nacional')`

var tables = []table{
	{"geodetic", []part{
		{"Y", `select (select value from metadata where key='EPSG.VERSION'), (select value from metadata where key='EPSG.DATE')`},
		{"U", `select code, name, type, conv_factor from unit_of_measure t where auth_name='EPSG' and conv_factor is not null order by code`},
		{"E", `select code, name, semi_major_axis, uom_code, coalesce(inv_flattening,''), coalesce(semi_minor_axis,'') from ellipsoid t where auth_name='EPSG' order by code`},
		{"M", `select code, name, longitude, uom_code from prime_meridian t where auth_name='EPSG' order by code`},
		{"D", `select code, name, ellipsoid_code, prime_meridian_code, coalesce(ensemble_accuracy,''), coalesce(frame_reference_epoch,''), case when publication_date glob '[0-9][0-9][0-9][0-9]*' then substr(publication_date,1,4) when publication_date glob '*[0-9][0-9][0-9][0-9]' then substr(publication_date,-4) else '' end from geodetic_datum t where auth_name='EPSG' order by code`},
		{"C", `select t.code, (select group_concat(name||':'||abbrev||':'||orientation||':'||coalesce(uom_code,''),'|') from
			(select * from axis a where a.coordinate_system_code=t.code and a.coordinate_system_auth_name='EPSG' order by coordinate_system_order))
			from coordinate_system t where auth_name='EPSG' and type in ('Cartesian','ellipsoidal') and
			(code in (select coordinate_system_code from projected_crs where auth_name='EPSG' and deprecated=0) or code in (select coordinate_system_code from geodetic_crs where auth_name='EPSG' and deprecated=0)) order by t.code`},
		{"G", `select code, case type when 'geographic 2D' then '2' when 'geographic 3D' then '3' else 'c' end, coordinate_system_code, datum_code, ` + fmt.Sprintf(extents, "geodetic_crs") + `, name
			from geodetic_crs t where auth_name='EPSG' and deprecated=0 and type in ('geographic 2D','geographic 3D','geocentric') and text_definition is null order by code`},
	}},
	{"projected", []part{
		{"", `select code, coordinate_system_code, geodetic_crs_code, conversion_code, ` + usages + `, name
			from projected_crs t where auth_name='EPSG' and deprecated=0 and text_definition is null order by code`},
	}},
	{"conversions", []part{
		{"M", `select distinct m.code, m.name from conversion_method m join conversion_table c on c.method_code=m.code and c.method_auth_name=m.auth_name where m.auth_name='EPSG' and c.auth_name='EPSG' order by m.code`},
		{"P", `select code, name from conversion_param where auth_name='EPSG' order by code`},
		{"S", `select code, scope from scope t where auth_name='EPSG' and code in (select scope_code from usage where scope_auth_name='EPSG' and object_table_name='projected_crs' and object_auth_name='EPSG') order by code`},
		{"V", `select t.code, t.method_code, ` + params() + `, t.name from conversion_table t where t.auth_name='EPSG' and t.method_auth_name='EPSG'
			and t.code in (select conversion_code from projected_crs where auth_name='EPSG' and deprecated=0 and conversion_auth_name='EPSG') order by t.code`},
	}},
	{"extents", []part{
		{"", `select code, south_lat, north_lat, west_lon, east_lon, name from extent t where auth_name='EPSG' and code in
			(select extent_code from usage u where extent_auth_name='EPSG' and object_auth_name='EPSG' and
			(object_table_name='projected_crs' and object_code in (select code from projected_crs where auth_name='EPSG' and deprecated=0)
			or object_table_name='geodetic_crs' and object_code in (select code from geodetic_crs where auth_name='EPSG' and deprecated=0))) order by code`},
	}},
	{"deprecated", []part{
		{"", `select code, group_concat(coalesce(d.replacement_code,''), ','), name from
			(select code, name, 'projected_crs' tn from projected_crs where auth_name='EPSG' and deprecated=1 union select code, name, 'geodetic_crs' from geodetic_crs where auth_name='EPSG' and deprecated=1) t
			left join deprecation d on d.table_name=t.tn and d.deprecated_auth_name='EPSG' and d.deprecated_code=t.code and d.replacement_auth_name='EPSG' group by code order by code`},
	}},
	{"others", []part{
		{"", `select code, 'vertical', name, '' from vertical_crs where auth_name='EPSG' union
			select code, 'compound', name, case horiz_crs_auth_name when 'EPSG' then horiz_crs_code else '' end from compound_crs where auth_name='EPSG' order by 1`},
	}},
	{"aliases", []part{
		{"D", alias("geodetic_datum")},
		{"E", alias("ellipsoid")},
		{"G", alias("geodetic_crs")},
		{"P", `select distinct code, alt_name from (select code, alt_name from alias_name where auth_name='EPSG' and table_name='projected_crs' union select code, name from ` + dropped + ` where l='P') t
			where code in (select code from projected_crs where auth_name='EPSG' and deprecated=0) order by code, alt_name`},
		{"X", `select d.deprecated_code, d.replacement_code, coalesce(p.name, g.name) from deprecation d
			left join projected_crs p on d.table_name='projected_crs' and p.auth_name='ESRI' and p.code=d.deprecated_code
			left join geodetic_crs g on d.table_name='geodetic_crs' and g.auth_name='ESRI' and g.code=d.deprecated_code
			where d.deprecated_auth_name='ESRI' and d.replacement_auth_name='EPSG' and d.table_name in ('projected_crs','geodetic_crs') order by d.deprecated_code, d.replacement_code`},
	}},
}

// alias is the SQL for the other names of the objects of a table.
func alias(table string) string {
	return `select distinct t.code, t.alt_name from (select auth_name, table_name, code, alt_name from alias_name union select 'EPSG', 'geodetic_datum', code, name from ` + dropped + ` where l='D') t join ` + table + ` o on o.auth_name='EPSG' and o.code=t.code and o.deprecated=0
		where t.auth_name='EPSG' and t.table_name='` + table + `' and t.alt_name<>o.name order by t.code, t.alt_name`
}

// params is the SQL for the parameters of a conversion as code:value:unit,
// parted by bars.
func params() string {
	var b strings.Builder
	for i := 1; i <= 7; i++ {
		if i > 1 {
			b.WriteString(" || ")
		}
		fmt.Fprintf(&b, "case when param%d_code is null then '' else '|'||param%d_code||':'||param%d_value||':'||param%d_uom_code end", i, i, i, i)
	}
	return "substr(" + b.String() + ", 2)"
}

func run(db, out string) error {
	if _, err := os.Stat(db); err != nil {
		return err
	}
	if err := os.MkdirAll(out, 0o755); err != nil {
		return err
	}
	for _, t := range tables {
		var text bytes.Buffer
		rows := 0
		for _, p := range t.parts {
			cmd := exec.Command("sqlite3", "-readonly", "-batch", "-noheader", "-separator", "\t", db, p.query)
			cmd.Stderr = os.Stderr
			got, err := cmd.Output()
			if err != nil {
				return fmt.Errorf("%s: %w", t.file, err)
			}
			for line := range strings.Lines(string(got)) {
				if p.letter != "" {
					text.WriteString(p.letter + "\t")
				}
				text.WriteString(line)
				rows++
			}
		}
		if rows == 0 {
			return fmt.Errorf("%s: no rows", t.file)
		}
		var packed bytes.Buffer
		w, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
		if err != nil {
			return err
		}
		if _, err := w.Write(text.Bytes()); err != nil {
			return err
		}
		if err := w.Close(); err != nil {
			return err
		}
		name := filepath.Join(out, t.file+".tsv.gz")
		if err := os.WriteFile(name, packed.Bytes(), 0o644); err != nil {
			return err
		}
		fmt.Printf("%s: %d rows, %d bytes, %d packed\n", name, rows, text.Len(), packed.Len())
	}
	return nil
}
