// GeoTIFF: geodetic grids of horizontal shifts in TIFF files, as the Geodetic
// TIFF Grids of PROJ-data have them.

package crs

import (
	"bytes"
	"cmp"
	"compress/zlib"
	"encoding/binary"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// TIFF tags that a grid needs; TIFF 6.0, GeoTIFF 1.1 (OGC 19-008r4) and the
// Geodetic TIFF Grid profile of PROJ.
const (
	tagWidth, tagLength       = 256, 257
	tagBits, tagCompression   = 258, 259
	tagStripOffsets           = 273
	tagSamples, tagRows       = 277, 278
	tagStripBytes, tagPlanar  = 279, 284
	tagPredictor              = 317
	tagTileWidth, tagTileLen  = 322, 323
	tagTileOffsets, tagTileNs = 324, 325
	tagSampleFormat           = 339
	tagPixelScale, tagTie     = 33550, 33922
	tagGeoKeys                = 34735
	tagMetadata, tagNoData    = 42112, 42113
)

// tiffReader reads fields of a TIFF file without ever leaving it.
type tiffReader struct {
	data  []byte
	order binary.ByteOrder
	big   bool // BigTIFF: 64-bit offsets
}

// tiffField is one entry of a directory.
type tiffField struct {
	kind  uint16
	count uint64
	value []byte // all its bytes
}

// bytesOf returns n bytes at the offset, nil when the file does not have them.
func (t *tiffReader) bytesOf(at, n uint64) []byte {
	if at > uint64(len(t.data)) || n > uint64(len(t.data))-at {
		return nil
	}
	return t.data[at : at+n]
}

// kindSize is the size in bytes of each TIFF field type.
var kindSize = sync.OnceValue(func() map[uint16]uint64 {
	return map[uint16]uint64{1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8, 16: 8, 17: 8, 18: 8}
})

// directory reads the directory at the offset and returns the offset of the
// next one.
func (t *tiffReader) directory(at uint64) (map[uint16]tiffField, uint64, error) {
	cut := fmt.Errorf("the file is cut off inside the directory at byte %d", at)
	countSize, entry, inline := uint64(2), uint64(12), uint64(4)
	if t.big {
		countSize, entry, inline = 8, 20, 8
	}
	head := t.bytesOf(at, countSize)
	if head == nil {
		return nil, 0, cut
	}
	n := uint64(t.order.Uint16(head))
	if t.big {
		n = t.order.Uint64(head)
	}
	if n > 4096 {
		return nil, 0, fmt.Errorf("a directory of %d fields at byte %d", n, at)
	}
	body := t.bytesOf(at+countSize, n*entry+inline)
	if body == nil {
		return nil, 0, cut
	}
	fields := map[uint16]tiffField{}
	for i := range n {
		e := body[i*entry : (i+1)*entry]
		f := tiffField{kind: t.order.Uint16(e[2:])}
		f.count = uint64(t.order.Uint32(e[4:]))
		if t.big {
			f.count = t.order.Uint64(e[4:])
		}
		size := kindSize()[f.kind]
		if size == 0 {
			continue
		}
		if f.count > uint64(len(t.data)) {
			return nil, 0, fmt.Errorf("field %d of %d values does not fit the file", t.order.Uint16(e), f.count)
		}
		raw := e[entry-inline:]
		if total := size * f.count; total <= inline {
			f.value = raw[:total]
		} else {
			where := uint64(t.order.Uint32(raw))
			if t.big {
				where = t.order.Uint64(raw)
			}
			if f.value = t.bytesOf(where, total); f.value == nil {
				return nil, 0, fmt.Errorf("the file is cut off: field %d reaches past its end", t.order.Uint16(e))
			}
		}
		fields[t.order.Uint16(e)] = f
	}
	last := body[n*entry:]
	if t.big {
		return fields, t.order.Uint64(last), nil
	}
	return fields, uint64(t.order.Uint32(last)), nil
}

// ints returns the whole numbers of a field, nil when it is not there.
func (t *tiffReader) ints(f tiffField) []uint64 {
	out := make([]uint64, 0, f.count)
	for i := range f.count {
		switch f.kind {
		case 1, 7:
			out = append(out, uint64(f.value[i]))
		case 3:
			out = append(out, uint64(t.order.Uint16(f.value[2*i:])))
		case 4:
			out = append(out, uint64(t.order.Uint32(f.value[4*i:])))
		case 16:
			out = append(out, t.order.Uint64(f.value[8*i:]))
		}
	}
	return out
}

// floats returns the doubles of a field.
func (t *tiffReader) floats(f tiffField) []float64 {
	var out []float64
	if f.kind == 12 {
		for i := range f.count {
			out = append(out, math.Float64frombits(t.order.Uint64(f.value[8*i:])))
		}
	}
	return out
}

// text returns a string field.
func text(f tiffField) string { return strings.TrimRight(string(f.value), "\x00") }

// gridMetadata is the XML of the metadata tag.
type gridMetadata struct {
	Items []struct {
		Name   string `xml:"name,attr"`
		Sample string `xml:"sample,attr"`
		Role   string `xml:"role,attr"`
		Value  string `xml:",chardata"`
	} `xml:"Item"`
}

// metadata reads the metadata of a directory, none where it has none.
func metadata(fields map[uint16]tiffField) (m gridMetadata, err error) {
	if raw := text(fields[tagMetadata]); raw != "" {
		if err := xml.Unmarshal([]byte(raw), &m); err != nil {
			return m, fmt.Errorf("its metadata is no XML: %v", err)
		}
	}
	return m, nil
}

// find is the value of an item, "" when there is none; an empty role or sample
// stands for any.
func (m *gridMetadata) find(name, role, sample string) string {
	for _, i := range m.Items {
		if i.Name == name && (role == "" || i.Role == role) && (sample == "" || i.Sample == sample) {
			return strings.TrimSpace(i.Value)
		}
	}
	return ""
}

// names are the name of the directory's grid and of its parent, "" for none.
func (m *gridMetadata) names() (own, parent string) {
	return m.find("grid_name", "", ""), m.find("parent_grid_name", "", "")
}

// noData is the value that stands for a node without one, NaN for none.
func noData(fields map[uint16]tiffField) (float64, error) {
	raw := strings.TrimSpace(text(fields[tagNoData]))
	if raw == "" {
		return math.NaN(), nil
	}
	v, err := strconv.ParseFloat(raw, 64)
	if err != nil {
		return 0, fmt.Errorf("the value for missing nodes, %q, is no number", raw)
	}
	return v, nil
}

// ReadGeoTIFFGrid reads a GeoTIFF file of horizontal shifts: a grid a
// directory, longitude and latitude on a regular raster, shifts of latitude and
// longitude as samples of 32 or 64-bit floating point, stored plain or with
// Deflate, in strips or tiles. The name is that of the file.
func ReadGeoTIFFGrid(data []byte, name string) (*GridShift, error) {
	g := &GridShift{name: baseName(name), format: "GeoTIFF"}
	var all []*shiftGrid
	total := 0
	inherited := gridMetadata{}
	err := eachDirectory(data, func(t *tiffReader, fields map[uint16]tiffField, dir int) error {
		s, err := t.grid(fields, dir, &inherited, &total)
		if s != nil {
			all = append(all, s)
		}
		return err
	})
	if err == nil {
		g.grids, err = nest(all)
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w", g.name, err)
	}
	return g, nil
}

// eachDirectory visits the directories of a TIFF file, counted from 0.
func eachDirectory(data []byte, visit func(t *tiffReader, fields map[uint16]tiffField, dir int) error) error {
	if len(data) < 16 {
		return fmt.Errorf("not a TIFF file: %d bytes", len(data))
	}
	t := &tiffReader{data: data, order: binary.LittleEndian}
	if string(data[:2]) == "MM" {
		t.order = binary.BigEndian
	} else if string(data[:2]) != "II" {
		return fmt.Errorf("not a TIFF file")
	}
	var next uint64
	switch t.order.Uint16(data[2:]) {
	case 42:
		next = uint64(t.order.Uint32(data[4:]))
	case 43:
		t.big = true
		next = t.order.Uint64(data[8:])
	default:
		return fmt.Errorf("not a TIFF file")
	}
	seen := map[uint64]bool{}
	for dir := 0; next != 0; dir++ {
		if seen[next] || dir >= 10_000 {
			return fmt.Errorf("the directories of the file run in a circle")
		}
		seen[next] = true
		fields, after, err := t.directory(next)
		if err != nil {
			return err
		}
		if err := visit(t, fields, dir); err != nil {
			return fmt.Errorf("directory %d: %w", dir+1, err)
		}
		next = after
	}
	return nil
}

// one returns the single whole number of a field, or its default.
func (t *tiffReader) one(fields map[uint16]tiffField, tag uint16, def uint64) uint64 {
	if v := t.ints(fields[tag]); len(v) > 0 {
		return v[0]
	}
	return def
}

// grid reads one directory; nil for a reduced image or a mask.
func (t *tiffReader) grid(fields map[uint16]tiffField, dir int, inherited *gridMetadata, total *int) (*shiftGrid, error) {
	if t.one(fields, 254, 0)&5 != 0 {
		return nil, nil
	}
	w, h, samples := t.one(fields, tagWidth, 0), t.one(fields, tagLength, 0), t.one(fields, tagSamples, 1)
	if w < 2 || h < 2 || w > 1<<20 || h > 1<<20 || samples < 2 || samples > 16 {
		return nil, fmt.Errorf("an image of %d by %d nodes with %d samples holds no horizontal shifts", w, h, samples)
	}
	if *total += int(w * h); *total > maxGridNodes {
		return nil, fmt.Errorf("more than %d nodes", maxGridNodes)
	}
	meta, err := metadata(fields)
	if err != nil {
		return nil, err
	}
	if dir == 0 {
		*inherited = meta
	}
	find := func(name, role, sample string) string {
		return cmp.Or(meta.find(name, role, sample), inherited.find(name, role, sample))
	}
	if kind := find("TYPE", "", ""); kind != "" && kind != "HORIZONTAL_OFFSET" {
		return nil, fmt.Errorf("it holds %s, not HORIZONTAL_OFFSET", kind)
	}
	s := &shiftGrid{nx: int(w), ny: int(h)}
	// The name and parent are a directory's own.
	s.name, s.parent = meta.names()
	s.name = cmp.Or(s.name, fmt.Sprintf("grid %d", dir+1))
	// Which sample is which: by default latitude first, in arc-seconds,
	// longitude positive east.
	latSample, lonSample := 0, 1
	for k := range int(samples) {
		switch find("DESCRIPTION", "description", strconv.Itoa(k)) {
		case "latitude_offset":
			latSample = k
		case "longitude_offset":
			lonSample = k
		}
	}
	latUnit, err := shiftUnit(find("UNITTYPE", "unittype", strconv.Itoa(latSample)))
	if err != nil {
		return nil, err
	}
	lonUnit, err := shiftUnit(find("UNITTYPE", "unittype", strconv.Itoa(lonSample)))
	if err != nil {
		return nil, err
	}
	switch v := find("positive_value", "", strconv.Itoa(lonSample)); v {
	case "", "east":
	case "west":
		lonUnit = -lonUnit
	default:
		return nil, fmt.Errorf("longitude shifts are positive %q", v)
	}
	if err := t.place(fields, s); err != nil {
		return nil, err
	}
	none, err := noData(fields)
	if err != nil {
		return nil, err
	}
	values, err := t.samples(fields, int(w), int(h), int(samples), []int{latSample, lonSample})
	if err != nil {
		return nil, err
	}
	s.shifts = make([]float32, 2*w*h)
	for row := range s.ny {
		for col := range s.nx {
			from, to := row*s.nx+col, 2*((s.ny-1-row)*s.nx+col)
			lat, lon := values[0][from], values[1][from]
			if lat == none || lon == none {
				lat, lon = math.NaN(), math.NaN()
			}
			s.shifts[to], s.shifts[to+1] = float32(lat*latUnit), float32(lon*lonUnit)
		}
	}
	return s, nil
}

// shiftUnit is the arc-seconds in a unit of the metadata.
func shiftUnit(u string) (float64, error) {
	switch u {
	case "", "arc-second", "arc-seconds per year":
		return 1, nil
	case "degree":
		return 3600, nil
	case "radian":
		return 180 * 3600 / math.Pi, nil
	}
	return 0, fmt.Errorf("shifts in %q; arc-second, degree and radian are known", u)
}

// place sets the limits of the grid from pixel scale and tie point.
func (t *tiffReader) place(fields map[uint16]tiffField, s *shiftGrid) error {
	scale, tie := t.floats(fields[tagPixelScale]), t.floats(fields[tagTie])
	if len(scale) < 2 || len(tie) < 6 {
		return fmt.Errorf("it has no pixel scale and tie point")
	}
	half := 0.5 // the raster's values are areas unless the keys say points
	keys := t.ints(fields[tagGeoKeys])
	for i := 4; i+3 < len(keys); i += 4 {
		if keys[i] == 1025 && keys[i+1] == 0 && keys[i+3] == 2 {
			half = 0
		}
	}
	s.dlon, s.dlat = scale[0], scale[1]
	s.west = tie[3] + (half-tie[0])*s.dlon
	for !s.plane && s.west >= 360 && s.west < 1e4 {
		s.west -= 360 // some count on past the antimeridian
	}
	s.north = tie[4] - (half-tie[1])*s.dlat
	s.east = s.west + float64(s.nx-1)*s.dlon
	s.south = s.north - float64(s.ny-1)*s.dlat
	return s.check()
}

// samples decodes the wanted samples, row by row from the north.
func (t *tiffReader) samples(fields map[uint16]tiffField, w, h, samples int, want []int) ([][]float64, error) {
	bits := t.one(fields, tagBits, 0)
	for _, b := range t.ints(fields[tagBits]) {
		if b != bits {
			return nil, fmt.Errorf("samples of different size")
		}
	}
	if f := t.one(fields, tagSampleFormat, 1); f != 3 || bits != 32 && bits != 64 {
		return nil, fmt.Errorf("samples of format %d with %d bits; floating point of 32 or 64 bits is known", f, bits)
	}
	size := int(bits / 8)
	compression, predictor := t.one(fields, tagCompression, 1), t.one(fields, tagPredictor, 1)
	if compression != 1 && compression != 8 && compression != 32946 {
		return nil, fmt.Errorf("compression %d; none (1) and Deflate (8) are known", compression)
	}
	if predictor != 1 && predictor != 3 {
		return nil, fmt.Errorf("predictor %d; none (1) and floating point (3) are known", predictor)
	}
	separate := t.one(fields, tagPlanar, 1) == 2
	bw, bh := w, int(min(t.one(fields, tagRows, uint64(h)), uint64(h)))
	offsets, counts := t.ints(fields[tagStripOffsets]), t.ints(fields[tagStripBytes])
	if _, tiled := fields[tagTileWidth]; tiled {
		tw, th := t.one(fields, tagTileWidth, 0), t.one(fields, tagTileLen, 0)
		if tw < 1 || th < 1 || tw > 1<<16 || th > 1<<16 {
			return nil, fmt.Errorf("tiles of %d by %d", tw, th)
		}
		bw, bh = int(tw), int(th)
		offsets, counts = t.ints(fields[tagTileOffsets]), t.ints(fields[tagTileNs])
	}
	if bh < 1 {
		return nil, fmt.Errorf("strips of no rows")
	}
	across, down := (w+bw-1)/bw, (h+bh-1)/bh
	planes, inBlock := 1, samples
	if separate {
		planes, inBlock = samples, 1
	}
	if len(offsets) != across*down*planes || len(counts) != len(offsets) {
		return nil, fmt.Errorf("%d blocks of data where %d are needed", len(offsets), across*down*planes)
	}
	out := make([][]float64, len(want))
	for i := range out {
		out[i] = make([]float64, w*h)
	}
	_, tiled := fields[tagTileWidth]
	for p := range planes {
		for block := range across * down {
			if separate && !slices.Contains(want, p) {
				continue
			}
			i := p*across*down + block
			x0, y0 := block%across*bw, block/across*bh
			rows := bh
			if !tiled {
				rows = min(bh, h-y0)
			}
			raw := t.bytesOf(offsets[i], counts[i])
			if raw == nil {
				return nil, fmt.Errorf("the file is cut off: block %d of data reaches past its end", i+1)
			}
			rowBytes := bw * inBlock * size
			block, err := inflate(raw, compression, rows*rowBytes)
			if err != nil {
				return nil, fmt.Errorf("block %d of data: %w", i+1, err)
			}
			for r := range rows {
				if y0+r >= h {
					break
				}
				line := block[r*rowBytes : (r+1)*rowBytes]
				order := t.order
				if predictor == 3 {
					line, order = unpredict(line, inBlock, size), binary.BigEndian
				}
				for c := 0; c < bw && x0+c < w; c++ {
					for k, sample := range want {
						at := c * inBlock
						if !separate {
							at += sample
						} else if sample != p {
							continue
						}
						v := 0.0
						if size == 4 {
							v = float64(math.Float32frombits(order.Uint32(line[at*4:])))
						} else {
							v = math.Float64frombits(order.Uint64(line[at*8:]))
						}
						out[k][(y0+r)*w+x0+c] = v
					}
				}
			}
		}
	}
	return out, nil
}

// inflate returns exactly n bytes of a block.
func inflate(raw []byte, compression uint64, n int) ([]byte, error) {
	if compression == 1 {
		if len(raw) < n {
			return nil, fmt.Errorf("%d bytes where %d are needed", len(raw), n)
		}
		return raw[:n], nil
	}
	// Deflate packs no more than some 1,032 to 1, so that a small file cannot
	// ask for a huge buffer.
	if n > 1100*(len(raw)+1) {
		return nil, fmt.Errorf("%d bytes cannot hold %d", len(raw), n)
	}
	z, err := zlib.NewReader(bytes.NewReader(raw))
	if err != nil {
		return nil, err
	}
	out := make([]byte, n)
	if _, err := io.ReadFull(z, out); err != nil {
		return nil, err
	}
	return out, nil
}

// unpredict undoes the floating point predictor of TIFF (Adobe technical note
// 3): bytes are differenced along the row and sorted by significance. The
// result is big-endian.
func unpredict(line []byte, samples, size int) []byte {
	sum := make([]byte, len(line))
	copy(sum, line)
	for i := samples; i < len(sum); i++ {
		sum[i] += sum[i-samples]
	}
	n := len(line) / size
	out := make([]byte, len(line))
	for i := range n {
		for b := range size {
			out[i*size+b] = sum[b*n+i]
		}
	}
	return out
}
