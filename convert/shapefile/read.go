// Reading: the files that belong together, and the plan they make.

package shapefile

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"

	"swardline/convert/wire"
	"swardline/convert/wire/charset"
	"swardline/convert/wire/jsontext"
	"swardline/crs"
	"swardline/schema"
)

// planEntry holds what the plan says of itself.
const planEntry = "plan.json"

// parts of a layer, by ending.
var partEndings = []string{".shp", ".dbf", ".shx", ".prj", ".cpg"}

// layer is one Shapefile: the content of its files by ending, nil for none.
type layer struct {
	name  string // without folder and ending
	path  string // of the .shp, for messages
	files map[string][]byte
}

// Detect reports whether the first bytes are those of a .shp, or of a zip
// archive that holds one.
func Detect(head []byte) bool {
	if isHeader(head) {
		return true
	}
	if !bytes.HasPrefix(head, []byte("PK\x03\x04")) {
		return false
	}
	for rest := head; ; {
		at := bytes.Index(rest, []byte("PK\x03\x04"))
		if at < 0 || at+30 > len(rest) {
			return false
		}
		rest = rest[at:]
		n := int(rest[26]) | int(rest[27])<<8
		name := strings.ToLower(string(rest[30:min(len(rest), 30+n)]))
		switch {
		case strings.HasSuffix(name, ".kml"):
			return false
		case strings.HasSuffix(name, ".shp"), strings.HasSuffix(name, ".shx"), strings.HasSuffix(name, ".dbf"), strings.HasSuffix(name, ".cpg"):
			return true
		}
		rest = rest[4:]
	}
}

// Read reads a plan from a zip archive with Shapefiles, or from a .shp, whose
// other files are looked for beside o.Name. See the package's comment for what
// becomes of what. Errors are *wire.InputError; its path names the file and the
// record.
func Read(data []byte, o wire.ReadOptions) (*schema.Plan, []wire.Warning, error) {
	r := &reader{o: o, caps: o.Caps(), plan: &schema.Plan{Source: schema.Source{File: o.Name, Format: "shapefile", Winding: schema.WindingStandard}}}
	layers, err := r.layers(data)
	if err != nil {
		return nil, nil, r.named(err)
	}
	if err := r.record(); err != nil {
		return nil, nil, r.named(err)
	}
	if err := r.systems(layers); err != nil {
		return nil, nil, r.named(err)
	}
	for _, l := range layers {
		if err := r.layer(l); err != nil {
			return nil, nil, r.named(err)
		}
	}
	r.hearBoxes()
	return r.plan, r.t.Warnings(), nil
}

type reader struct {
	o        wire.ReadOptions
	caps     schema.Limits
	t        wire.Tally
	plan     *schema.Plan
	planJSON []byte
	own      bool                         // the archive has our own entry
	system   string                       // the system by that entry
	keys     map[string]map[string]string // layer, then field, to the whole name
	vertices float64
	others   []otherSystem
	boxes    []saidBox
}

// otherSystem is a second file that says the system of a layer, saidBox the box
// that a layer's file says of itself.
type (
	otherSystem struct{ name, text string }
	saidBox     struct {
		path string
		box  schema.Extent
	}
)

func (r *reader) named(err error) error {
	var in *wire.InputError
	if errors.As(err, &in) && in.File == "" {
		in.File = r.o.Name
	}
	return err
}

func (r *reader) layers(data []byte) ([]*layer, error) {
	switch {
	case bytes.HasPrefix(data, []byte("PK\x03\x04")), bytes.HasPrefix(data, []byte("PK\x05\x06")):
		return r.unzip(data)
	case !isHeader(data):
		return nil, fault("", 0, "this is neither a .shp nor a zip archive with one", "give the .shp, with its .dbf, .shx and .prj beside it, or all of them zipped")
	case strings.EqualFold(filepath.Ext(r.o.Name), ".shx"):
		return nil, fault("", 0, "this is the index of a Shapefile", "give the .shp beside it")
	}
	stem := strings.TrimSuffix(r.o.Name, filepath.Ext(r.o.Name))
	l := &layer{name: filepath.Base(stem), path: filepath.Base(r.o.Name), files: map[string][]byte{".shp": data}}
	for _, ending := range partEndings[1:] {
		for _, e := range []string{ending, strings.ToUpper(ending)} {
			b, err := r.beside(stem + e)
			if err != nil {
				return nil, err
			}
			if b != nil {
				l.files[ending] = b
				break
			}
		}
	}
	return []*layer{l}, r.companions(stem)
}

// companionEndings are those of files beside a .shp that say something of it: what
// describes it, how it is drawn, its system once more and its long texts.
var companionEndings = []string{".shp.xml", ".xml", ".qmd", ".qml", ".sld", ".qpj", ".dbt", ".fpt", ".txt"}

// companions hears what other files beside a .shp say of it, as those of an archive.
func (r *reader) companions(stem string) error {
	for _, ending := range companionEndings {
		b, err := r.beside(stem + ending)
		switch name := filepath.Base(stem) + ending; {
		case err != nil:
			return err
		case b == nil:
		case ending == ".qpj":
			r.others = append(r.others, otherSystem{name, string(b)})
		default:
			wire.HearFile(r.plan, name, b)
		}
	}
	return nil
}

// beside reads a file next to the .shp; nil when there is none.
func (r *reader) beside(path string) ([]byte, error) {
	if r.o.Name == "" || r.o.Name == "-" {
		return nil, nil
	}
	info, err := os.Stat(path)
	if err != nil || !info.Mode().IsRegular() {
		return nil, nil
	}
	if float64(info.Size()) > r.caps.InputMaxBytes {
		return nil, fault(filepath.Base(path), 0, fmt.Sprintf("the file has %d bytes; the limit input_max_bytes is %.0f", info.Size(), r.caps.InputMaxBytes), "split it, or raise the limit in a limits file")
	}
	b, err := os.ReadFile(path)
	if err != nil {
		return nil, fault(filepath.Base(path), 0, err.Error(), "")
	}
	return b, nil
}

// unzip unpacks what belongs to layers, byte by counted byte.
func (r *reader) unzip(data []byte) ([]*layer, error) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil && (z == nil || !errors.Is(err, zip.ErrInsecurePath)) {
		return nil, fault("", 0, "the file starts like a zip archive, but is none: "+strings.TrimPrefix(err.Error(), "zip: "), mendWhole)
	}
	room := int64(r.caps.InputMaxInflated)
	byStem := map[string]*layer{}
	var list []*layer
	others := 0
	for _, f := range z.File {
		name := strings.ReplaceAll(f.Name, `\`, "/")
		if strings.HasSuffix(name, "/") {
			continue
		}
		ending := strings.ToLower(filepath.Ext(name))
		wanted := name == planEntry
		for _, e := range partEndings {
			wanted = wanted || e == ending
		}
		if !wanted || wire.OfFileSystem(f, name) {
			r.plan.AddPicture(wire.PictureName(name))
			if wire.MaybeDrawn(f, name) {
				label := wire.Clip([]byte(name), 60)
				r.t.Add("zip-drawn", 0, label, "the archive holds the file %q, which is no part of a Shapefile and was not read: what it draws is not in the plan; read it by itself and join the two, or pack the archive without it", label)
				continue
			}
			if ending == ".qpj" && f.Flags&1 == 0 {
				b, err := unpack(f, &room, r.caps)
				if err != nil {
					return nil, err
				}
				r.others = append(r.others, otherSystem{name, string(b)})
			}
			wire.HearEntry(r.plan, f, name, false)
			others++
			continue
		}
		b, err := unpack(f, &room, r.caps)
		if err != nil {
			return nil, err
		}
		if name == planEntry {
			r.planJSON = b
			continue
		}
		stem := strings.ToLower(strings.TrimSuffix(name, filepath.Ext(name)))
		l := byStem[stem]
		if l == nil {
			base := name[strings.LastIndexByte(name, '/')+1:]
			l = &layer{name: strings.TrimSuffix(base, filepath.Ext(base)), path: name, files: map[string][]byte{}}
			byStem[stem] = l
			list = append(list, l)
		}
		if l.files[ending] != nil {
			return nil, fault(name, 0, "the archive holds two files of this name", "remove one of them")
		}
		if ending == ".shp" {
			l.path = name
		}
		l.files[ending] = b
	}
	wire.HearComment(r.plan, z.Comment)
	var out []*layer
	for _, l := range list {
		if l.files[".shp"] == nil {
			r.t.Add("table-alone", 0, l.path, "%s stands without a .shp; it was passed over", l.path)
			continue
		}
		out = append(out, l)
	}
	if len(out) == 0 {
		return nil, fault("", 0, "the archive holds no .shp", "zip the .shp with its .dbf, .shx and .prj")
	}
	if others > 0 {
		r.t.AddN("zip-entries", others, 0, "", "the archive holds %d files that are no part of a Shapefile's data; they were passed over", others)
	}
	return out, nil
}

func unpack(f *zip.File, room *int64, caps schema.Limits) ([]byte, error) {
	switch {
	case f.Flags&1 != 0:
		return nil, fault(f.Name, 0, "the entry is encrypted", "pack it again without a password")
	case f.Method != zip.Store && f.Method != zip.Deflate:
		return nil, fault(f.Name, 0, fmt.Sprintf("the entry is compressed by a method that is not read (number %d)", f.Method), "pack it again with the method deflate")
	}
	in, err := f.Open()
	if err != nil {
		return nil, fault(f.Name, 0, "the entry cannot be unpacked: "+strings.TrimPrefix(err.Error(), "zip: "), mendWhole)
	}
	defer in.Close()
	b, err := io.ReadAll(io.LimitReader(in, *room+1))
	if int64(len(b)) > *room {
		return nil, fault(f.Name, 0, fmt.Sprintf("the archive unpacks to more than %.0f bytes (limit input_max_inflated_bytes)", caps.InputMaxInflated), "split the plan, or raise the limit in a limits file")
	}
	if err != nil {
		return nil, fault(f.Name, 0, "the entry cannot be unpacked: "+strings.TrimPrefix(err.Error(), "zip: "), mendWhole)
	}
	*room -= int64(len(b))
	if b == nil {
		b = []byte{}
	}
	return b, nil
}

// record takes the plan's own entry.
func (r *reader) record() error {
	if r.planJSON == nil {
		return nil
	}
	v, err := jsontext.Parse(r.planJSON)
	if err != nil || v.Kind() != schema.KindObject {
		return fault(planEntry, 0, "the entry is no JSON object", "remove it from the archive; the layers are read without it")
	}
	r.own = true
	m := v.Fields()
	r.plan.Name = m.Get("name").Text()
	if e, ok := m.Get("epoch").Float(); ok && e > 0 {
		r.plan.Epoch = e
	}
	r.plan.Attributes = m.Get("attributes").Fields()
	r.system = m.Get("crs").Text()
	r.keys = map[string]map[string]string{}
	for _, l := range m.Get("fields").Fields() {
		names := map[string]string{}
		for _, f := range l.Value.Fields() {
			names[f.Key] = f.Value.Text()
		}
		r.keys[l.Key] = names
	}
	return nil
}

// systems finds the plan's CRS from the .prj files, which must agree.
func (r *reader) systems(layers []*layer) error {
	var stated *crs.CRS
	var from *layer
	var missing []string
	for _, l := range layers {
		text := strings.TrimSpace(strings.TrimPrefix(string(l.files[".prj"]), "\ufeff"))
		if text == "" {
			missing = append(missing, l.name)
			continue
		}
		c, notes, err := crs.ParseWithNotes(text)
		if err != nil {
			if r.o.CRS != nil {
				r.t.Add("prj-unread", 0, l.path, "the .prj of %s is not read (%v); %s was asked for and holds", l.name, err, r.o.CRS.ID())
				continue
			}
			return fault(l.name+".prj", 0, err.Error(), "name the system with --from EPSG:..., which holds instead")
		}
		for _, n := range notes {
			r.t.Add("prj-note", 0, l.name+".prj", "%s", n)
		}
		if c.BaseCode() == 4326 && c.IsDegrees() {
			c = crs.WGS84() // a .prj has longitude first
		}
		if stated != nil && !stated.Equal(c) {
			if r.o.CRS != nil {
				r.t.Add("crs-second", 0, l.path, "the layer %s says %s, the layer %s %s, and both were read as %s, as asked: one of them lies elsewhere; read the layers one by one", l.name, c.ID(), from.name, stated.ID(), r.o.CRS.ID())
				continue
			}
			return fault(l.name+".prj", 0, fmt.Sprintf("the layer is in %s, the layer %s in %s", c.ID(), from.name, stated.ID()), "a plan stands in one system; read the layers one by one")
		}
		if stated == nil {
			stated, from = c, l
		}
	}
	if r.system != "" {
		// Our own entry says it exactly; the .prj is for others.
		if c, err := crs.Parse(r.system); err == nil && (stated == nil || stated.BaseCode() == c.BaseCode()) {
			if stated == nil {
				missing = nil // a system that no .prj can say
			}
			stated = c
		}
	}
	switch {
	case r.o.CRS != nil:
		if stated != nil && !stated.Equal(r.o.CRS) {
			r.t.Add("crs-overridden", 0, "", "the file says %s; %s was asked for and holds", stated.ID(), r.o.CRS.ID())
		}
		stated = r.o.CRS
	case stated != nil && len(missing) > 0:
		r.t.AddN("prj-borrowed", len(missing), 0, "", "the layer %s has no .prj and was read as %s, like the others: if it is in another system, all of it lies elsewhere; give it the .prj of the system that it was saved in", missing[0], stated.ID())
	case stated == nil && !r.own:
		r.t.Add("prj-missing", 0, "", "there is no .prj, so the coordinates' system is not known; name it with --from")
	}
	r.plan.CRS = stated
	r.otherSystems(stated)
	return nil
}

// otherSystems tells of second files that say another system than the one read.
func (r *reader) otherSystems(stated *crs.CRS) {
	for _, o := range r.others {
		name := wire.Clip([]byte(o.name), 60)
		c, err := crs.Parse(strings.TrimSpace(o.text))
		switch {
		case err != nil:
			r.t.Add("prj-second", 0, name, "%s says a system that is not read (%v): take it out, or name the system with --from", name, err)
		case stated == nil || differ(c, stated):
			r.t.Add("prj-second", 0, name, "%s says %s, and the layer was read in another system by its .prj: which of the two holds? Take the other out", name, c.Label())
		}
	}
}

// differ reports whether two systems are known to be two: of several codes, which
// for longitude and latitude may be those of their base, of several data or units.
func differ(a, b *crs.CRS) bool {
	if a.DatumCode() != b.DatumCode() || a.IsDegrees() != b.IsDegrees() || a.UnitMetres() != b.UnitMetres() {
		return true
	}
	if a.IsDegrees() {
		return a.Code() != 0 && b.Code() != 0 && a.BaseCode() != b.BaseCode()
	}
	return a.Code() != 0 && b.Code() != 0 && a.Code() != b.Code()
}

// hearBoxes holds what the files say of how far they reach against what all of them
// draw.
func (r *reader) hearBoxes() {
	drawn, unit := wire.BoxOf(r.plan.Features), wire.UnitOf(r.plan)
	for _, b := range r.boxes {
		if says := wire.BoxSays(b.box, drawn, unit); says != "" {
			r.t.Add("box-wide", 0, b.path, "%s says of itself that it reaches %s: were shapes taken out of it, or left behind? Write the layer anew", b.path, says)
		}
	}
}

// headerBox is the box in the header of a .shp.
func headerBox(shp []byte) schema.Extent {
	const at = 36 // of four doubles, by the technical description
	if len(shp) < at+32 {
		return schema.Extent{Empty: true}
	}
	var n [4]float64
	for i := range n {
		n[i] = math.Float64frombits(binary.LittleEndian.Uint64(shp[at+8*i:]))
		if math.IsNaN(n[i]) || math.IsInf(n[i], 0) {
			return schema.Extent{Empty: true}
		}
	}
	return schema.Extent{Min: [2]float64{n[0], n[1]}, Max: [2]float64{n[2], n[3]}}
}

// layer adds the features of one layer.
func (r *reader) layer(l *layer) error {
	s := &shapes{data: l.files[".shp"], caps: r.caps, t: &r.t, path: l.path, vertices: r.vertices, round: schema.RoundOf(r.plan.CRS)}
	records, err := s.records(l.files[".shx"])
	if err != nil {
		return err
	}
	if float64(len(r.plan.Features)+len(records)) > r.caps.InputMaxFeatures {
		return tooManyFeatures(l.path, r.caps)
	}
	var tb *table
	if l.files[".dbf"] == nil {
		r.t.Add("table-missing", 0, l.path, "%s has no .dbf; its features have no attributes", l.path)
	} else {
		dbf := strings.TrimSuffix(l.path, filepath.Ext(l.path)) + ".dbf"
		cpg := string(l.files[".cpg"])
		if name := r.o.Encoding; name != "" {
			if _, ok := pageByName(name); !ok {
				problem := fmt.Sprintf("a table is not in the encoding %q", name)
				if _, err := charset.Lookup(name); err != nil {
					problem = err.Error()
				}
				return fault("", 0, problem, "name the code page of the table, such as windows-1252 or 850")
			}
			cpg = name
		}
		if tb, err = readTable(l.files[".dbf"], cpg, dbf, &r.t); err != nil {
			return err
		}
		if tb.count != len(records) {
			r.t.Add("table-length", 0, dbf, "%s has %d shapes, its table %d records; what has no partner was read without it", l.path, len(records), tb.count)
		}
	}
	first := len(r.plan.Features)
	for i, content := range records {
		if tb != nil && i < tb.count && tb.deleted(i) {
			if len(content) >= 4 && binary.LittleEndian.Uint32(content) != shapeNull {
				r.t.Add("deleted-shape", 0, l.path, "records of %s are marked as deleted, first record %d, and were passed over, but their shapes are still there, and not every program heeds the mark: write the layer anew without them, or take the marks off", l.path, i+1)
				continue
			}
			r.t.Add("deleted-record", 0, l.path, "records are marked as deleted, first record %d; they were passed over", i+1)
			continue
		}
		g, err := s.geometry(content, i+1)
		if err != nil {
			return err
		}
		f := &schema.Feature{Role: schema.RoleOther, Geometry: g, Source: schema.Source{Path: fmt.Sprintf("%s record %d", l.path, i+1)}}
		if tb != nil && i < tb.count {
			r.attributes(f, tb, i, r.keys[l.name])
		}
		if f.Role == schema.RoleOther && !r.own && !f.Attributes.Has(schema.PropLayer) {
			f.Attributes.Set(schema.PropLayer, schema.String(l.name))
		}
		r.plan.Features = append(r.plan.Features, f)
	}
	r.vertices = s.vertices
	r.boxes = append(r.boxes, saidBox{l.path, headerBox(l.files[".shp"])})
	if s.zeros > 0 && !s.heights && !r.own {
		r.t.AddN("heights-zero", s.zeros, 0, l.path, "all heights of %s are 0, which is what is written where none is known; they were left out", l.path)
		for _, f := range r.plan.Features[first:] {
			f.Geometry = flattened(f.Geometry)
		}
	} else {
		for _, f := range r.plan.Features[first:] {
			if f.Geometry != nil && !hasHeight(f.Geometry) {
				f.Geometry = flattened(f.Geometry)
			}
		}
	}
	if s.measures > 0 {
		r.t.AddN("measure", s.measures, 0, l.path, "a plan has no place for the measures (M) of %s", l.path)
	}
	if tb != nil && tb.lost > 0 {
		r.t.AddN("memo", tb.lost, 0, tb.path, "long texts of %s stand in a memo file, which is not read", tb.path)
	}
	if tb != nil && tb.full > 0 && !r.own {
		r.t.AddN("text-full", tb.full, 0, tb.path, "texts of %s are as long as their fields have room for: were they cut there? Read the rest where the table comes from", tb.path)
	}
	if tb != nil && tb.guessed > 0 {
		r.t.AddN("encoding", tb.guessed, 0, tb.path, "texts of %s are not UTF-8; they were read as Windows-1252", tb.path)
	}
	return nil
}

// attributes fills a feature from a record.
func (r *reader) attributes(f *schema.Feature, tb *table, i int, keys map[string]string) {
	for _, c := range tb.fields {
		v := tb.value(i, c)
		if v.IsAbsent() {
			continue
		}
		key := c.name
		whole, mapped := keys[key]
		switch {
		case mapped:
			key = whole
		case !r.own && cutNames[strings.ToLower(key)] != "":
			key = cutNames[strings.ToLower(key)]
			r.t.Add("field-cut", 0, "", "the field %q is read as %q: a table's names end at %d letters", c.name, key, maxName)
		case strings.EqualFold(key, schema.PropRole):
			if role, ok := schema.ParseRole(strings.ToLower(v.Text())); ok && v.Kind() == schema.KindString {
				f.Role = role
				if role != schema.RoleOther {
					continue
				}
				key = schema.PropRole // said, which differs from not said
			}
		case strings.EqualFold(key, schema.PropName) && v.Kind() == schema.KindString && f.Name == "":
			f.Name = v.Text()
			continue
		case strings.EqualFold(key, schema.PropID) && f.ID.IsAbsent() && (v.Kind() == schema.KindString || v.Kind() == schema.KindNumber):
			f.ID = v
			continue
		}
		if r.own && v.Kind() == schema.KindString {
			if t := v.Text(); strings.HasPrefix(t, "{") || strings.HasPrefix(t, "[") {
				if parsed, err := jsontext.Parse([]byte(t)); err == nil {
					v = parsed
				}
			}
		}
		for n, first := 2, key; f.Attributes.Has(key); n++ {
			key = fmt.Sprintf("%s_%d", first, n)
		}
		f.Attributes.Set(key, v)
	}
}

// cutNames are the properties that rules read by the ten letters that a table's
// field names have room for; no other property begins with them.
var cutNames = map[string]string{
	schema.PropHeadingDeg[:maxName]:    schema.PropHeadingDeg,
	schema.PropAntennaHeight[:maxName]: schema.PropAntennaHeight,
	schema.PropHazardKind[:maxName]:    schema.PropHazardKind,
	schema.PropCrownBaseM[:maxName]:    schema.PropCrownBaseM,
}
