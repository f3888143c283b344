// The table of datum steps. Parameters are written in metres, arc-seconds and
// parts per million (rates: the same a year; epochs: decimal years) whatever
// unit the registry holds them in; steps that are deprecated are not taken.

package main

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Methods: the EPSG methods a step may have.
const (
	helmertMethods = `1031,1032,1033,1035,1037,1053,1054,1056,1057,1061,1063,1034,1065,1066,9603,9606,9607,9636`
	gridMethods    = `9613,9614,9615,1079`
	offsetMethods  = `9601,9619`
)

// datumOf is the SQL for the datum of a geodetic CRS of the step.
func datumOf(end string) string {
	return fmt.Sprintf(`(select g.datum_code from geodetic_crs g where g.auth_name='EPSG' and g.code=t.%s_crs_code)`, end)
}

func usage(tab string) string {
	return fmt.Sprintf(`(select group_concat(extent_code, ',') from (select distinct u.extent_code from usage u where u.object_table_name='%s' and u.object_auth_name='EPSG' and u.object_code=t.code order by u.extent_code))`, tab)
}

// superseded lists the codes that replace a step between the same two systems.
func superseded(tab string) string {
	return fmt.Sprintf(`coalesce((select group_concat(replacement_code, ',') from (select s.replacement_code from supersession s where s.superseded_table_name='%s' and s.superseded_auth_name='EPSG' and s.superseded_code=t.code and s.replacement_auth_name='EPSG' and s.same_source_target_crs=1 and s.replacement_table_name<>'concatenated_operation' order by s.replacement_code)),'')`, tab)
}

// stepFields starts the SQL of any kind of step: code, method, the two datums,
// accuracy, extents, what replaces it, name.
func stepFields(tab string) string {
	return `select code, method_code, ` + datumOf("source") + `, ` + datumOf("target") + `, coalesce(accuracy,''), ` + usage(tab) + `, ` + superseded(tab) + `, name`
}

// steps is the table of datum steps.
func steps(db registry) (string, error) {
	// The steps first, to learn which extents they need.
	body, head := &stepWriter{db: db, extents: map[string]bool{}}, &stepWriter{db: db}
	for _, write := range []func() error{
		body.helmerts,
		body.offsets,
		body.grids,
		body.copy("P", joined),
	} {
		if err := write(); err != nil {
			return "", err
		}
	}
	extents := strings.Join(slices.Sorted(maps.Keys(body.extents)), ",")
	err := head.copy("X", `select code, south_lat, north_lat, west_lon, east_lon, name from extent where auth_name='EPSG' and code in (`+extents+`) order by code`)()
	return head.text.String() + body.text.String(), err
}

type stepWriter struct {
	db      registry
	text    strings.Builder
	extents map[string]bool // that the steps name
}

func (w *stepWriter) rows(query string) ([][]string, error) {
	lines, err := w.db.lines(query)
	rows := make([][]string, len(lines))
	for i, l := range lines {
		rows[i] = strings.Split(l, "\t")
	}
	return rows, err
}

func (w *stepWriter) line(f ...string) { w.text.WriteString(strings.Join(f, "\t") + "\n") }

// copy is what writes the rows of a query as they are, behind a letter.
func (w *stepWriter) copy(letter, query string) func() error {
	return func() error {
		rows, err := w.rows(query)
		for _, r := range rows {
			w.line(append([]string{letter}, r...)...)
		}
		return err
	}
}

// step writes a step: the fields of stepFields with the values in front of the
// name.
func (w *stepWriter) step(letter string, r []string, values string) {
	for e := range strings.SplitSeq(r[5], ",") {
		w.extents[e] = true
	}
	w.line(append(append([]string{letter}, r[:7]...), values, r[7])...)
}

func (w *stepWriter) helmerts() error {
	cols := "tx,ty,tz,rx,ry,rz,scale_difference,rate_tx,rate_ty,rate_tz,rate_rx,rate_ry,rate_rz,rate_scale_difference,epoch,px,py,pz"
	uoms := "translation_uom_code,rotation_uom_code,scale_difference_uom_code,rate_translation_uom_code,rate_rotation_uom_code,rate_scale_difference_uom_code,epoch_uom_code,pivot_uom_code"
	rows, err := w.rows(stepFields("helmert_transformation") + `, ` + cols + `, ` + uoms + `
		from helmert_transformation_table t where auth_name='EPSG' and deprecated=0 and source_crs_auth_name='EPSG' and target_crs_auth_name='EPSG' and method_code in (` + helmertMethods + `) order by code`)
	if err != nil {
		return err
	}
	for _, r := range rows {
		if len(r) != 8+18+8 {
			return fmt.Errorf("step %s: %d fields", r[0], len(r))
		}
		p, u := r[8:26], r[26:]
		unitOf := [18]int{0, 0, 0, 1, 1, 1, 2, 3, 3, 3, 4, 4, 4, 5, 6, 7, 7, 7}
		var vals []string
		for i, v := range p {
			s, err := inUnit(v, u[unitOf[i]])
			if err != nil {
				return fmt.Errorf("step %s: %w", r[0], err)
			}
			vals = append(vals, s)
		}
		for len(vals) > 0 && vals[len(vals)-1] == "0" {
			vals = vals[:len(vals)-1]
		}
		w.step("S", r, strings.Join(vals, " "))
	}
	return nil
}

func (w *stepWriter) offsets() error {
	rows, err := w.rows(stepFields("other_transformation") + `,
		case when method_code=9601 then 0 else param1_value end, case when method_code=9601 then 9104 else param1_uom_code end,
		case when method_code=9601 then param1_value else param2_value end, case when method_code=9601 then param1_uom_code else param2_uom_code end
		from other_transformation t where auth_name='EPSG' and deprecated=0 and method_code in (` + offsetMethods + `) order by code`)
	if err != nil {
		return err
	}
	for _, r := range rows {
		lat, err := inUnit(r[8], r[9])
		if err != nil {
			return fmt.Errorf("offset %s: %w", r[0], err)
		}
		lon, err := inUnit(r[10], r[11])
		if err != nil {
			return fmt.Errorf("offset %s: %w", r[0], err)
		}
		w.step("S", r, lat+" "+lon)
	}
	return nil
}

func (w *stepWriter) grids() error {
	rows, err := w.rows(stepFields("grid_transformation") + `, grid_name,
		coalesce((select group_concat(n,'|') from (select case inverse_direction when 1 then '-' else '' end||proj_grid_name n from grid_alternatives a where a.original_grid_name=t.grid_name and proj_method='hgridshift'
			union select case inverse_direction when 0 then '-' else '' end||proj_grid_name from grid_alternatives a where a.original_grid_name=t.grid_name and proj_method='defmodel'
			union select case inverse_direction when 1 then '-' else '' end||old_proj_grid_name from grid_alternatives a where a.original_grid_name=t.grid_name and proj_method='hgridshift' and old_proj_grid_name like '%.gsb' order by 1)),'')
		from grid_transformation t where auth_name='EPSG' and deprecated=0 and method_code in (` + gridMethods + `) and ` + datumOf("source") + ` is not null order by code`)
	if err != nil {
		return err
	}
	for _, r := range rows {
		// NTv1 and NADCON files are not read, only their GeoTIFF editions, nor
		// zipped deformation models, only PROJ's editions, which lead the other
		// way.
		var names []string
		if r[1] == "9615" {
			names = append(names, r[8])
		}
		for _, n := range strings.Split(r[9], "|") {
			if n != "" && !strings.EqualFold(n, r[8]) {
				names = append(names, n)
			}
		}
		if len(names) == 0 {
			continue
		}
		w.step("N", r, strings.Join(names, "|"))
	}
	return nil
}

// joined is the SQL for what the registry joins to a step by a deformation
// model.
const joined = `select c.code, a.step_code, b.step_code from concatenated_operation c
	join concatenated_operation_step a on a.operation_auth_name=c.auth_name and a.operation_code=c.code and a.step_number=1
	join concatenated_operation_step b on b.operation_auth_name=c.auth_name and b.operation_code=c.code and b.step_number=2
	join grid_transformation g on g.auth_name=b.step_auth_name and g.code=b.step_code
	where c.auth_name='EPSG' and c.deprecated=0 and g.method_code=1079 order by c.code`

// units gives, for each EPSG unit a step uses, the factor to metres,
// arc-seconds, parts per million, or those a year.
var units = map[string]float64{
	"9001": 1, "1025": 1e-3, "1033": 1e-2, // m, mm, cm
	"1042": 1, "1027": 1e-3, "1034": 1e-2, // a year
	"9104": 1, "1031": 1e-3, "9102": 3600, "9105": 3240, "9101": 180 * 3600 / math.Pi, "9109": 180 * 3600 / math.Pi * 1e-6, "9113": 0.324,
	"1043": 1, "1032": 1e-3,
	"9202": 1, "1028": 1e-3, "1041": 1, "1030": 1e-3, // ppm, ppb
	"1029": 1, // year
}

// inUnit converts a value of the registry, without leaving the noise of a
// binary product in the last digits.
func inUnit(v, uom string) (string, error) {
	if v == "" {
		return "0", nil
	}
	x, err := strconv.ParseFloat(v, 64)
	if err != nil {
		return "", err
	}
	if x == 0 {
		return "0", nil
	}
	if uom == "9110" { // sexagesimal degrees, DDD.MMSSsss
		return dms(v)
	}
	f, ok := units[uom]
	if !ok {
		return "", fmt.Errorf("unit %q is unknown", uom)
	}
	if f == 1 {
		return strconv.FormatFloat(x, 'g', -1, 64), nil
	}
	y, err := strconv.ParseFloat(strconv.FormatFloat(x*f, 'g', 15, 64), 64)
	return strconv.FormatFloat(y, 'g', -1, 64), err
}

// dms reads DDD.MMSSsss, by digits since 0.1 is no binary number, and returns
// arc-seconds.
func dms(v string) (string, error) {
	neg := strings.HasPrefix(v, "-")
	d, frac, _ := strings.Cut(strings.TrimPrefix(v, "-"), ".")
	for len(frac) < 4 {
		frac += "0"
	}
	deg, err1 := strconv.Atoi(d)
	min, err2 := strconv.Atoi(frac[:2])
	sec, err3 := strconv.ParseFloat(frac[2:4]+"."+frac[4:]+"0", 64)
	if err1 != nil || err2 != nil || err3 != nil || min >= 60 || sec >= 60 {
		return "", fmt.Errorf("%q is no sexagesimal angle", v)
	}
	s := float64(deg*3600+min*60) + sec
	if neg {
		s = -s
	}
	return strconv.FormatFloat(s, 'g', -1, 64), nil
}
