// A deformation model is given by its master file, and its grids stand beside
// it.

package job

import (
	"bytes"
	"encoding/binary"
	"strings"
	"testing"
)

// moves is an invented grid of two by two nodes about New Zealand that goes 10
// mm east, 40 mm north and 1 mm up a year, as a plain TIFF: samples east,
// north, up.
func moves() []byte {
	var b bytes.Buffer
	put := func(v any) { binary.Write(&b, binary.LittleEndian, v) }
	type field struct {
		tag, kind, count uint16
		value            []uint32
	}
	const data, scale, tie, keys = 8, 8 + 48, 8 + 48 + 24, 8 + 48 + 24 + 48
	fields := []field{
		{256, 4, 1, []uint32{2}}, {257, 4, 1, []uint32{2}}, {258, 4, 1, []uint32{32}}, {259, 4, 1, []uint32{1}}, {273, 4, 1, []uint32{data}},
		{277, 4, 1, []uint32{3}}, {278, 4, 1, []uint32{2}}, {279, 4, 1, []uint32{48}}, {284, 4, 1, []uint32{1}}, {339, 4, 1, []uint32{3}},
		{33550, 12, 3, []uint32{scale}}, {33922, 12, 6, []uint32{tie}}, {34735, 3, 8, []uint32{keys}},
	}
	b.WriteString("II*\x00")
	put(uint32(keys + 16))
	for range 4 {
		put([]float32{0.01, 0.04, 0.001})
	}
	put([]float64{36, 33, 0})
	put([]float64{0, 0, 0, 158, -25, 0})
	put([]uint16{1, 1, 0, 1, 1025, 0, 1, 2})
	put(uint16(len(fields)))
	for _, f := range fields {
		put([]uint16{f.tag, f.kind})
		put(uint32(f.count))
		put(f.value)
	}
	put(uint32(0))
	return b.Bytes()
}

const movesModel = `{"file_type": "deformation_model_master_file", "format_version": "1.0", "name": "Invented motion",
 "source_crs": "EPSG:4959", "target_crs": "EPSG:7907", "definition_crs": "EPSG:4959",
 "horizontal_offset_unit": "metre", "vertical_offset_unit": "metre", "horizontal_offset_method": "addition",
 "extent": {"type": "bbox", "parameters": {"bbox": [158, -58, 194, -25]}},
 "time_extent": {"first": "1900-01-01T00:00:00Z", "last": "2050-01-01T00:00:00Z"},
 "components": [{"description": "invented", "displacement_type": "3d",
  "extent": {"type": "bbox", "parameters": {"bbox": [158, -58, 194, -25]}},
  "spatial_model": {"type": "GeoTIFF", "interpolation_method": "bilinear", "filename": "moves.tif"},
  "time_function": {"type": "velocity", "parameters": {"reference_epoch": "2000-01-01T00:00:00Z"}}}]}`

func TestDeformationModelBesideItsGrids(t *testing.T) {
	const master = "grids/nz_linz_nzgd2000-20180701.json"
	model, grid := File{master, []byte(movesModel)}, File{"grids/moves.tif", moves()}
	plan := File{"a.csv", []byte("id,role,lon,lat,h\nb1,base,174.78,-41.29,100\n")}
	run := func(epoch float64, grids []string, in ...File) (string, string, error) {
		m := &Memory{In: append(in, plan)}
		j := &Job{Store: m}
		o := ConvertOptions{Source: "a.csv", Target: "b.csv", To: "EPSG:2193"}
		o.From, o.Epoch, o.Layout, o.GridShifts = "EPSG:7907", epoch, "points", grids
		_, err := j.Convert(&o)
		var notes strings.Builder
		for _, n := range j.Notes {
			notes.WriteString(n.Message + "\n")
		}
		if err != nil {
			return "", notes.String(), err
		}
		return string(m.Out[0].Bytes), notes.String(), nil
	}
	// The model alone, and with its grid named beside it: the same.
	for _, grids := range [][]string{{master}, {"grids/moves.tif", master}} {
		out, notes, err := run(2026, grids, model, grid)
		if err != nil {
			t.Fatal(err)
		}
		// 26 years lie between: 0.26 m east, 1.04 m north, 0.026 m up.
		if !strings.Contains(notes, "ITRF96 to NZGD2000 (7) (EPSG:9090, at 2026, 0.02 m)") || !strings.Contains(out, ",99.974,EPSG:2193,") {
			t.Errorf("%s\n%s", out, notes)
		}
		if strings.Contains(notes, "not used") {
			t.Errorf("%s", notes)
		}
	}
	for _, c := range []struct {
		name  string
		epoch float64
		grids []string
		files []File
		want  string
	}{
		{"the grid is not there", 2026, []string{master}, []File{model}, "the grid file moves.tif must stand beside the model's own file"},
		{"no model", 2026, nil, nil, "it needs the file nz_linz_nzgd2000-20180701.json"},
		{"beyond its time", 2050.5, []string{master}, []File{model, grid}, "holds from 1900 to 2050 and the coordinates are at 2050.5"},
		{"no epoch", 0, []string{master}, []File{model, grid}, "the epoch of the source coordinates is not known"},
		{"a grid without its model", 2026, []string{"grids/moves.tif"}, []File{grid}, "moves.tif"},
	} {
		if _, _, err := run(c.epoch, c.grids, c.files...); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}
