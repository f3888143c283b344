// The tables of the catalogue and of heights: a query a kind of line.

package main

import (
	"fmt"
	"strings"
)

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

// vertical is the SQL for the vertical part of what a step leads to.
const vertical = `coalesce((select c.vertical_crs_code from compound_crs c where c.auth_name='EPSG' and c.code=t.target_crs_code), t.target_crs_code)`

var tables = []table{
	{"geodetic", []part{
		{"Y", `select (select value from metadata where key='EPSG.VERSION'), (select value from metadata where key='EPSG.DATE')`},
		{"U", `select code, name, type, conv_factor from unit_of_measure t where auth_name='EPSG' and conv_factor is not null order by code`},
		{"E", `select code, name, semi_major_axis, uom_code, coalesce(inv_flattening,''), coalesce(semi_minor_axis,'') from ellipsoid t where auth_name='EPSG' order by code`},
		{"M", `select code, name, longitude, uom_code from prime_meridian t where auth_name='EPSG' order by code`},
		{"D", `select code, name, ellipsoid_code, prime_meridian_code, coalesce(ensemble_accuracy,''), coalesce(frame_reference_epoch,''), case when publication_date glob '[0-9][0-9][0-9][0-9]*' then substr(publication_date,1,4) when publication_date glob '*[0-9][0-9][0-9][0-9]' then substr(publication_date,-4) else '' end from geodetic_datum t where auth_name='EPSG' order by code`},
		{"N", `select ensemble_code, member_code from geodetic_datum_ensemble_member where ensemble_auth_name='EPSG' order by ensemble_code, sequence`},
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
			or object_table_name='geodetic_crs' and object_code in (select code from geodetic_crs where auth_name='EPSG' and deprecated=0)
			or object_table_name='vertical_crs' and object_code in (select code from vertical_crs where auth_name='EPSG' and deprecated=0))) order by code`},
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
	{"heights", []part{
		{"V", `select t.code, t.datum_code, u.conv_factor, a.orientation='down', ` + fmt.Sprintf(extents, "vertical_crs") + `, t.name from vertical_crs t
			join axis a on a.coordinate_system_auth_name=t.coordinate_system_auth_name and a.coordinate_system_code=t.coordinate_system_code
			join unit_of_measure u on u.auth_name=a.uom_auth_name and u.code=a.uom_code
			where t.auth_name='EPSG' and t.deprecated=0 order by t.code`},
		{"C", `select code, horiz_crs_code, vertical_crs_code, name from compound_crs where auth_name='EPSG' and horiz_crs_auth_name='EPSG' and vertical_crs_auth_name='EPSG' and deprecated=0 order by code`},
		{"G", `select t.code, t.source_crs_code, ` + vertical + `, coalesce(t.accuracy,''),
			(select group_concat(n,'|') from (select t.grid_name n union select proj_grid_name from grid_alternatives a where a.original_grid_name=t.grid_name
				union select old_proj_grid_name from grid_alternatives a where a.original_grid_name=t.grid_name and coalesce(old_proj_grid_name,'')<>'' order by 1)), t.name
			from grid_transformation t where t.auth_name='EPSG' and t.deprecated=0 and t.target_crs_auth_name='EPSG' and t.source_crs_auth_name='EPSG'
			and (t.method_name like 'Geographic3D to GravityRelatedHeight%' or t.method_name like 'Geog3D to Geog2D+GravityRelatedHeight%' or t.method_name like 'Vertical Offset by Grid Interpolation%')
			and ` + vertical + ` in (select code from vertical_crs where auth_name='EPSG') order by t.code`},
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

// text is the table's lines.
func (t table) text(db registry) (string, error) {
	var text strings.Builder
	for _, p := range t.parts {
		lines, err := db.lines(p.query)
		if err != nil {
			return "", fmt.Errorf("%s: %w", t.file, err)
		}
		for _, line := range lines {
			if p.letter != "" {
				text.WriteString(p.letter + "\t")
			}
			text.WriteString(line + "\n")
		}
	}
	return text.String(), nil
}
