// Reading deformation models: the JSON master file and the GeoTIFF grids that
// it names.

package crs

import (
	"cmp"
	"crypto/md5"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"math"
	"path"
	"slices"
	"strconv"
	"strings"
)

// modelFile is the master file, format version 1.0: "Proposal for encoding of a
// Deformation Model" (Land Information New Zealand, 2020) and PROJ's
// deformation_model.schema.json.
type modelFile struct {
	FileType              string           `json:"file_type"`
	FormatVersion         string           `json:"format_version"`
	Name                  string           `json:"name"`
	Version               string           `json:"version"`
	SourceCRS             string           `json:"source_crs"`
	TargetCRS             string           `json:"target_crs"`
	DefinitionCRS         string           `json:"definition_crs"`
	ReferenceEpoch        *string          `json:"reference_epoch"`
	UncertaintyEpoch      *string          `json:"uncertainty_reference_epoch"`
	HorizontalUnit        string           `json:"horizontal_offset_unit"`
	VerticalUnit          string           `json:"vertical_offset_unit"`
	HorizontalUncertainty string           `json:"horizontal_uncertainty_type"`
	UncertaintyUnit       string           `json:"horizontal_uncertainty_unit"`
	HorizontalMethod      string           `json:"horizontal_offset_method"`
	Extent                *modelExtent     `json:"extent"`
	TimeExtent            *modelTimes      `json:"time_extent"`
	Components            []modelComponent `json:"components"`
}

type modelExtent struct {
	Type       string `json:"type"`
	Parameters struct {
		Box []float64 `json:"bbox"`
	} `json:"parameters"`
}

type modelTimes struct {
	First *string `json:"first"`
	Last  *string `json:"last"`
}

type modelComponent struct {
	Displacement     string       `json:"displacement_type"`
	Uncertainty      string       `json:"uncertainty_type"`
	HorizontalFigure *float64     `json:"horizontal_uncertainty"`
	VerticalFigure   *float64     `json:"vertical_uncertainty"`
	Extent           *modelExtent `json:"extent"`
	Spatial          *struct {
		Type          string `json:"type"`
		Interpolation string `json:"interpolation_method"`
		File          string `json:"filename"`
		MD5           string `json:"md5_checksum"`
	} `json:"spatial_model"`
	Time *modelFunction `json:"time_function"`
}

// modelFileType is the file_type of a master file.
const modelFileType = "deformation_model_master_file"

// IsDeformationModel reports whether a file says of itself that it is the
// master file of a deformation model.
func IsDeformationModel(data []byte) bool {
	var f struct {
		Type string `json:"file_type"`
	}
	return json.Unmarshal(data, &f) == nil && f.Type == modelFileType
}

// maxModelComponents bounds the components of a model, against files that lie;
// the largest published one has some 40.
const maxModelComponents = 10_000

// ReadDeformationModel reads the master file of a deformation model, and the
// grids that it names through beside, which is given their names as the file
// writes them, relative to its own folder. The name is that of the file:
// registry steps ask for it.
func ReadDeformationModel(data []byte, name string, beside func(file string) ([]byte, error)) (*DeformationModel, error) {
	m := &DeformationModel{name: baseName(name)}
	var f modelFile
	if err := json.Unmarshal(data, &f); err != nil {
		return nil, fmt.Errorf("%s: no JSON of a deformation model: %w", m.name, err)
	}
	if err := m.read(&f, beside); err != nil {
		return nil, fmt.Errorf("%s: %w", m.name, err)
	}
	return m, nil
}

func (m *DeformationModel) read(f *modelFile, beside func(string) ([]byte, error)) error {
	switch {
	case f.FileType != modelFileType:
		return fmt.Errorf("file_type is %q, not %q", clip(f.FileType), modelFileType)
	case f.FormatVersion != "1.0":
		return fmt.Errorf("format_version %q; 1.0 is known", clip(f.FormatVersion))
	case len(f.Components) > maxModelComponents:
		return fmt.Errorf("%d components", len(f.Components))
	case f.Components == nil:
		return fmt.Errorf("components are missing")
	}
	m.title, m.version = f.Name, f.Version
	if err := m.systems(f); err != nil {
		return err
	}
	if err := m.units(f); err != nil {
		return err
	}
	var err error
	if m.box, err = f.Extent.box(m.plane); err != nil {
		return err
	}
	if f.TimeExtent == nil {
		return fmt.Errorf("time_extent is missing")
	}
	if m.first, err = epochIn("time_extent: first", f.TimeExtent.First); err != nil {
		return err
	}
	if m.last, err = epochIn("time_extent: last", f.TimeExtent.Last); err != nil {
		return err
	}
	if m.first > m.last {
		return fmt.Errorf("time_extent: first is after last")
	}
	for _, e := range []struct {
		key  string
		text *string
	}{{"reference_epoch", f.ReferenceEpoch}, {"uncertainty_reference_epoch", f.UncertaintyEpoch}} {
		if e.text != nil {
			if _, err := epochIn(e.key, e.text); err != nil {
				return err
			}
		}
	}
	read := map[string][]byte{}
	for i := range f.Components {
		c, err := m.component(f, &f.Components[i], beside, read)
		if err != nil {
			return fmt.Errorf("components[%d]: %w", i, err)
		}
		m.components = append(m.components, c)
	}
	return nil
}

// systems reads the three CRSs.
func (m *DeformationModel) systems(f *modelFile) error {
	var ends [2]*CRS
	for i, s := range []struct{ key, id string }{{"source_crs", f.SourceCRS}, {"target_crs", f.TargetCRS}} {
		if s.id == "" {
			return fmt.Errorf("%s is missing", s.key)
		}
		c, err := Parse(s.id)
		if err != nil {
			return fmt.Errorf("%s: %w", s.key, err)
		}
		if datumOf(c) == nil || c.kind == KindGeocentric {
			return fmt.Errorf("%s: %s is no geographic or projected system of the registry", s.key, c.id)
		}
		ends[i] = c.Horizontal()
	}
	switch {
	case f.DefinitionCRS == "":
		return fmt.Errorf("definition_crs is missing")
	case f.DefinitionCRS != f.SourceCRS:
		return fmt.Errorf("definition_crs %s is not the source_crs %s; models in their source CRS are known", clip(f.DefinitionCRS), clip(f.SourceCRS))
	}
	m.definition, m.plane = ends[0], ends[0].kind == KindProjected
	m.src, m.dst = datumOf(ends[0]), datumOf(ends[1])
	if m.src == m.dst {
		return fmt.Errorf("source_crs %s and target_crs %s are on one datum; models between two are known", f.SourceCRS, f.TargetCRS)
	}
	m.inRegistry = m.named()
	if s := m.inRegistry; s != nil {
		from, to := s.src, s.dst
		if _, reversed := m.matches(s); reversed {
			from, to = to, from
		}
		if m.src != from || m.dst != to {
			return fmt.Errorf("it leads from %s to %s, and the registry's file of this name (EPSG:%d) from %s to %s", m.src.name, m.dst.name, s.code, from.name, to.name)
		}
	}
	return nil
}

// units reads units and methods, and what of them goes together.
func (m *DeformationModel) units(f *modelFile) error {
	for _, v := range []struct {
		key, value string
		known      []string
	}{
		{"horizontal_offset_unit", f.HorizontalUnit, []string{"metre", "degree"}},
		{"vertical_offset_unit", f.VerticalUnit, []string{"metre"}},
		{"horizontal_offset_method", f.HorizontalMethod, []string{"addition", "geocentric"}},
		{"horizontal_uncertainty_unit", f.UncertaintyUnit, []string{"metre"}},
	} {
		if v.value != "" && !slices.Contains(v.known, v.value) {
			return fmt.Errorf("%s is %q; %s is known", v.key, clip(v.value), strings.Join(v.known, " or "))
		}
	}
	m.degrees, m.geocentric = f.HorizontalUnit == "degree", f.HorizontalMethod == "geocentric"
	switch {
	case m.degrees && m.geocentric:
		return fmt.Errorf("horizontal_offset_unit degree does not go with horizontal_offset_method geocentric")
	case m.degrees && m.plane:
		return fmt.Errorf("horizontal_offset_unit degree does not go with the projected definition_crs %s", f.DefinitionCRS)
	case m.geocentric && m.plane:
		return fmt.Errorf("horizontal_offset_method geocentric does not go with the projected definition_crs %s", f.DefinitionCRS)
	}
	return nil
}

// box reads an extent.
func (e *modelExtent) box(plane bool) (b modelBox, err error) {
	if e == nil {
		return b, fmt.Errorf("extent is missing")
	}
	if e.Type != "bbox" || len(e.Parameters.Box) != 4 {
		return b, fmt.Errorf("extent is no bbox of four numbers")
	}
	v := e.Parameters.Box
	b = modelBox{v[0], v[1], v[2], v[3]}
	switch {
	case !(b.west < b.east && b.south < b.north):
		return b, fmt.Errorf("extent %v encloses nothing", v)
	case !plane && (b.south < -90 || b.north > 90 || b.west < -720 || b.east > 720 || b.east-b.west > 360):
		return b, fmt.Errorf("extent %v is not on earth", v)
	}
	return b, nil
}

// component reads one component and its grid.
func (m *DeformationModel) component(f *modelFile, c *modelComponent, beside func(string) ([]byte, error), read map[string][]byte) (d deformation, err error) {
	d.uncertainty = math.NaN()
	switch c.Displacement {
	case "none":
	case "horizontal":
		d.horizontal = true
	case "vertical":
		d.vertical = true
	case "3d":
		d.horizontal, d.vertical = true, true
	default:
		return d, fmt.Errorf("displacement_type is %q; none, horizontal, vertical and 3d are known", clip(c.Displacement))
	}
	if !slices.Contains([]string{"", "none", "horizontal", "vertical", "3d"}, c.Uncertainty) {
		return d, fmt.Errorf("uncertainty_type is %q; none, horizontal, vertical and 3d are known", clip(c.Uncertainty))
	}
	for _, u := range []*float64{c.HorizontalFigure, c.VerticalFigure} {
		if u != nil && *u < 0 {
			return d, fmt.Errorf("an uncertainty of %v m is no length", *u)
		}
	}
	if c.HorizontalFigure != nil && (c.Uncertainty == "" || c.Uncertainty == "none" || c.Uncertainty == "vertical") {
		d.uncertainty, d.uncertaintyOf = *c.HorizontalFigure, cmp.Or(f.HorizontalUncertainty, "no confidence stated")
	}
	switch {
	case d.horizontal && f.HorizontalUnit == "":
		return d, fmt.Errorf("it moves horizontally, and horizontal_offset_unit is missing")
	case d.horizontal && f.HorizontalMethod == "":
		return d, fmt.Errorf("it moves horizontally, and horizontal_offset_method is missing")
	case d.vertical && f.VerticalUnit == "":
		return d, fmt.Errorf("it moves vertically, and vertical_offset_unit is missing")
	}
	if d.box, err = c.Extent.box(m.plane); err != nil {
		return d, err
	}
	if c.Time == nil {
		return d, fmt.Errorf("time_function is missing")
	}
	if d.factor, err = c.Time.compile(); err != nil {
		return d, fmt.Errorf("time_function: %w", err)
	}
	s := c.Spatial
	switch {
	case s == nil:
		return d, fmt.Errorf("spatial_model is missing")
	case s.Type != "GeoTIFF":
		return d, fmt.Errorf("spatial_model: type %q; GeoTIFF is known", clip(s.Type))
	case s.Interpolation != "bilinear" && s.Interpolation != "geocentric_bilinear":
		return d, fmt.Errorf("spatial_model: interpolation_method is %q; bilinear and geocentric_bilinear are known", clip(s.Interpolation))
	case s.File == "":
		return d, fmt.Errorf("spatial_model: filename is missing")
	}
	d.turned = s.Interpolation == "geocentric_bilinear"
	switch {
	case d.turned && m.degrees:
		return d, fmt.Errorf("interpolation_method geocentric_bilinear does not go with displacements in degrees")
	case d.turned && m.plane:
		return d, fmt.Errorf("interpolation_method geocentric_bilinear does not go with a projected definition_crs")
	case !d.horizontal && !d.vertical:
		return d, nil // it only tells uncertainties
	}
	data, ok := read[s.File]
	if !ok {
		if data, err = gridBeside(s.File, beside); err != nil {
			return d, err
		}
		read[s.File] = data
	}
	if sum := md5.Sum(data); s.MD5 != "" && !strings.EqualFold(s.MD5, hex.EncodeToString(sum[:])) {
		return d, fmt.Errorf("the grid file %s is not the one that the model was made with (its MD5 is %x, not %s): fetch model and grids again", s.File, sum, clip(s.MD5))
	}
	if d.grids, err = m.displacements(data, &d); err != nil {
		return d, fmt.Errorf("the grid file %s: %w", s.File, err)
	}
	return d, nil
}

// gridBeside reads a grid file beside the master file.
func gridBeside(file string, beside func(string) ([]byte, error)) ([]byte, error) {
	clean := path.Clean(strings.ReplaceAll(file, `\`, "/"))
	if path.IsAbs(clean) || clean == ".." || strings.HasPrefix(clean, "../") || strings.Contains(clean, ":") {
		return nil, fmt.Errorf("the grid file %s is not beside the model's own file", clip(file))
	}
	data, err := beside(clean)
	if err != nil {
		return nil, fmt.Errorf("the grid file %s must stand beside the model's own file: %w", clip(file), err)
	}
	return data, nil
}

// displacements reads the grids of a component.
func (m *DeformationModel) displacements(data []byte, d *deformation) ([]*shiftGrid, error) {
	var all []*shiftGrid
	var first gridMetadata
	total := 0
	err := eachDirectory(data, func(t *tiffReader, fields map[uint16]tiffField, dir int) error {
		if t.one(fields, 254, 0)&5 != 0 {
			return nil // a reduced image or a mask
		}
		meta, err := metadata(fields)
		if err != nil {
			return err
		}
		if dir == 0 {
			first = meta
		}
		s := &shiftGrid{plane: m.plane}
		s.name, s.parent = meta.names()
		s.name = cmp.Or(s.name, fmt.Sprintf("grid %d", dir+1))
		if err := m.displacementGrid(t, fields, d, []*gridMetadata{&meta, &first}, s, &total); err != nil {
			return err
		}
		all = append(all, s)
		return nil
	})
	if err != nil {
		return nil, err
	}
	return nest(all)
}

// displacementGrid reads one directory: samples of displacements east, north
// and upwards, by their descriptions, or in this order where none has one.
func (m *DeformationModel) displacementGrid(t *tiffReader, fields map[uint16]tiffField, d *deformation, metas []*gridMetadata, s *shiftGrid, total *int) error {
	w, h, samples := t.one(fields, tagWidth, 0), t.one(fields, tagLength, 0), t.one(fields, tagSamples, 1)
	if w < 2 || h < 2 || w > 1<<20 || h > 1<<20 || samples < 1 || samples > 16 {
		return fmt.Errorf("an image of %d by %d nodes with %d samples holds no displacements", w, h, samples)
	}
	if *total += int(w * h); *total > maxGridNodes {
		return fmt.Errorf("more than %d nodes", maxGridNodes)
	}
	item := func(name, role string, sample int) string {
		return cmp.Or(metas[0].find(name, role, strconv.Itoa(sample)), metas[1].find(name, role, strconv.Itoa(sample)))
	}
	unit := "metre"
	if m.degrees {
		unit = "degree"
	}
	wanted := []struct{ name, unit string }{{"north_offset", unit}, {"east_offset", unit}, {"vertical_offset", "metre"}}
	plain := []int{1, 0, 2}
	switch {
	case !d.horizontal:
		wanted, plain = wanted[2:], []int{2}
		if samples == 1 {
			plain = []int{0}
		}
	case !d.vertical:
		wanted, plain = wanted[:2], plain[:2]
	}
	described := false
	for k := range int(samples) {
		described = described || item("DESCRIPTION", "description", k) != ""
	}
	var take []int
	for i, want := range wanted {
		at := plain[i]
		if described {
			at = -1
			for k := range int(samples) {
				if item("DESCRIPTION", "description", k) == want.name {
					at = k
				}
			}
		}
		if at < 0 || at >= int(samples) {
			return fmt.Errorf("it has no sample %s", want.name)
		}
		if u := item("UNITTYPE", "unittype", at); u != "" && u != want.unit {
			return fmt.Errorf("%s in %q, where the model has %s", want.name, u, want.unit)
		}
		take = append(take, at)
	}
	s.nx, s.ny = int(w), int(h)
	if err := t.place(fields, s); err != nil {
		return err
	}
	none, err := noData(fields)
	if err != nil {
		return err
	}
	values, err := t.samples(fields, s.nx, s.ny, int(samples), take)
	if err != nil {
		return err
	}
	s.fill(values, d, none)
	return nil
}

// fill stores the values, by rows from the north, as the nodes are kept, by
// rows from the south.
func (s *shiftGrid) fill(values [][]float64, d *deformation, none float64) {
	for k, sample := range values {
		to, stride, at := &s.shifts, 2, k
		if k == 2 || !d.horizontal {
			to, stride, at = &s.up, 1, 0
		}
		if *to == nil {
			*to = make([]float32, stride*s.nx*s.ny)
		}
		for row := range s.ny {
			for col := range s.nx {
				v := sample[row*s.nx+col]
				if v == none {
					v = math.NaN()
				}
				(*to)[stride*((s.ny-1-row)*s.nx+col)+at] = float32(v)
			}
		}
	}
}
