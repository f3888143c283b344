// Vectors of deformation models: the kinds of operation that
// testdata/vectors/deformation.vec is written in.

package crs

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
)

func init() {
	vectorKinds["deformation"] = func(args []string) (*vectorOperation, error) { return deformationVector(args, false) }
	vectorKinds["displacement"] = func(args []string) (*vectorOperation, error) { return deformationVector(args, true) }
	vectorKinds["timefunction"] = timeFunctionVector
}

// testModel is a deformation model of one component, written by hand; words
// that are empty have the values of files.
type testModel struct {
	source, target, unit, method, interpolation, kind string
	box, grid                                         []float64 // extent of all, and of the grid; the same where that is nil
	nx, ny                                            int
	nodes                                             [][]float64 // by rows from the south-west: east, north, up, as the kind has them
	function                                          string      // JSON; constant when empty
	change                                            func(file map[string]any)
}

const testModelGrid = "moves.tif"

// samples are the names of what a node holds.
func (m *testModel) samples() (names []string) {
	if m.kind != "vertical" {
		names = append(names, "east_offset", "north_offset")
	}
	if m.kind == "vertical" || m.kind == "3d" {
		names = append(names, "vertical_offset")
	}
	return names
}

// files writes the master file and its grid.
func (m *testModel) files() (master, grid []byte) {
	extent := map[string]any{"type": "bbox", "parameters": map[string]any{"bbox": m.box}}
	file := map[string]any{
		"file_type": modelFileType, "format_version": "1.0", "name": "Invented motion", "version": "1",
		"source_crs": cmp.Or(m.source, "EPSG:4959"), "target_crs": cmp.Or(m.target, "EPSG:7907"), "definition_crs": cmp.Or(m.source, "EPSG:4959"),
		"horizontal_offset_unit": cmp.Or(m.unit, "metre"), "vertical_offset_unit": "metre", "horizontal_offset_method": cmp.Or(m.method, "addition"),
		"extent": extent, "time_extent": map[string]any{"first": "1900-01-01T00:00:00Z", "last": "2050-01-01T00:00:00Z"},
		"components": []any{map[string]any{
			"description": "invented", "displacement_type": m.kind, "uncertainty_type": "none", "extent": extent,
			"spatial_model": map[string]any{"type": "GeoTIFF", "interpolation_method": cmp.Or(m.interpolation, "bilinear"), "filename": testModelGrid},
			"time_function": json.RawMessage(cmp.Or(m.function, `{"type":"constant"}`)),
		}},
	}
	if m.change != nil {
		m.change(file)
	}
	master, err := json.Marshal(file)
	if err != nil {
		panic(err)
	}
	return master, m.tiff()
}

// tiff writes the grid.
func (m *testModel) tiff() []byte {
	names := m.samples()
	var data bytes.Buffer
	for j := m.ny - 1; j >= 0; j-- {
		for _, node := range m.nodes[j*m.nx : (j+1)*m.nx] {
			for _, v := range node {
				binary.Write(&data, binary.LittleEndian, float32(v))
			}
		}
	}
	meta := `<GDALMetadata><Item name="TYPE">DEFORMATION_MODEL</Item>`
	var bits, format []uint16
	for k, n := range names {
		unit := cmp.Or(m.unit, "metre")
		if n == "vertical_offset" {
			unit = "metre"
		}
		meta += fmt.Sprintf(`<Item name="DESCRIPTION" sample="%d" role="description">%s</Item><Item name="UNITTYPE" sample="%[1]d" role="unittype">%[3]s</Item>`, k, n, unit)
		bits, format = append(bits, 32), append(format, 3)
	}
	b := m.grid
	if b == nil {
		b = m.box
	}
	dx, dy := (b[2]-b[0])/float64(m.nx-1), (b[3]-b[1])/float64(m.ny-1)
	return makeTIFF(data.Bytes(), map[uint16]any{
		tagWidth: []uint16{uint16(m.nx)}, tagLength: []uint16{uint16(m.ny)}, tagBits: bits, tagCompression: []uint16{1}, tagStripOffsets: []uint32{8},
		tagSamples: []uint16{uint16(len(names))}, tagRows: []uint16{uint16(m.ny)}, tagStripBytes: []uint32{uint32(data.Len())}, tagPlanar: []uint16{1},
		tagSampleFormat: format, tagPixelScale: []float64{dx, dy, 0}, tagTie: []float64{0, 0, 0, b[0], b[3], 0}, tagGeoKeys: []uint16{1, 1, 0, 1, 1025, 0, 1, 2},
		tagMetadata: []byte(meta + "</GDALMetadata>\x00"),
	})
}

// read reads the model back.
func (m *testModel) read() (*DeformationModel, error) {
	master, grid := m.files()
	return ReadDeformationModel(master, "invented.json", func(file string) ([]byte, error) {
		if file != testModelGrid {
			return nil, fmt.Errorf("no file %s", file)
		}
		return grid, nil
	})
}

func floatsOf(text string) (out []float64, err error) {
	for w := range strings.SplitSeq(text, ",") {
		v, err := strconv.ParseFloat(w, 64)
		if err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	return out, nil
}

// deformationVector makes a model of words: source=CRS unit= method=
// interpolation= type= box=W,S,E,N grid=W,S,E,N size=NX,NY nodes=E,N,U;... (one
// node for all when there is only one) function=JSON t=YEAR, and mercator, for
// numbers in metres of World Mercator.
func deformationVector(args []string, displacement bool) (*vectorOperation, error) {
	m := &testModel{}
	t, mercator := 0.0, false
	for _, a := range args {
		key, v, _ := strings.Cut(a, "=")
		var err error
		switch key {
		case "source":
			m.source = v
		case "unit":
			m.unit = v
		case "method":
			m.method = v
		case "interpolation":
			m.interpolation = v
		case "type":
			m.kind = v
		case "function":
			m.function = v
		case "mercator":
			mercator = true
		case "box":
			m.box, err = floatsOf(v)
		case "grid":
			m.grid, err = floatsOf(v)
		case "t":
			t, err = strconv.ParseFloat(v, 64)
		case "size":
			_, err = fmt.Sscanf(v, "%d,%d", &m.nx, &m.ny)
		case "nodes":
			for n := range strings.SplitSeq(v, ";") {
				node, e := floatsOf(n)
				if e != nil {
					return nil, e
				}
				m.nodes = append(m.nodes, node)
			}
		default:
			err = fmt.Errorf("unknown word %q", a)
		}
		if err != nil {
			return nil, err
		}
	}
	for len(m.nodes) < m.nx*m.ny {
		m.nodes = append(m.nodes, m.nodes[0])
	}
	model, err := m.read()
	if err != nil {
		return nil, err
	}
	if displacement {
		return &vectorOperation{angularIn: true, forward: func(p []float64) error {
			e, n, u, err := model.at(p[0], p[1], t, 0)
			copy(p, []float64{e, n, u})
			return err
		}}, nil
	}
	through := model.definition
	if mercator {
		if through, err = Parse("EPSG:3395"); err != nil {
			return nil, err
		}
	}
	run := func(inverse bool) func([]float64) error {
		return func(p []float64) error {
			if err := through.ToGeodetic(p, len(p)); err != nil {
				return err
			}
			if err := model.Shift(p, len(p), t, inverse); err != nil {
				return err
			}
			return through.FromGeodetic(p, len(p))
		}
	}
	return &vectorOperation{forward: run(false), inverse: run(true), angularIn: through.IsDegrees(), angularOu: through.IsDegrees()}, nil
}

// timeFunctionVector reads a time_function in JSON; its numbers are epochs.
func timeFunctionVector(args []string) (*vectorOperation, error) {
	var f modelFunction
	if err := json.Unmarshal([]byte(strings.Join(args, " ")), &f); err != nil {
		return nil, err
	}
	factor, err := f.compile()
	if err != nil {
		return nil, err
	}
	return &vectorOperation{forward: func(p []float64) error {
		for i := range p {
			p[i] = factor(p[i])
		}
		return nil
	}}, nil
}
