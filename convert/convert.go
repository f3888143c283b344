// Package convert reads a plan from bytes and writes one to bytes, in any of
// the formats below, and says what it took in stride (Warning), what it refused
// (InputError) and what a target could not hold (Loss). It never judges a plan.
//
// # What a format brings
//
// Each format is a sub-package with three functions:
//
//	func Read(data []byte, o wire.ReadOptions) (*schema.Plan, []wire.Warning, error)
//	func Write(w io.Writer, p *schema.Plan, o wire.WriteOptions) ([]wire.Loss, error)
//	func Detect(head []byte) bool
//
// Read gets the whole file and keeps no part of it: strings and coordinates are
// copied out. It sets Plan.Source.Format and Winding and each Feature's
// Source.Line or Path, applies o.CRS, and gives every error as *wire.InputError
// with line or path and a mend. A byte-order mark, UTF-16, NUL bytes and an
// empty file are dealt with here by wire.CheckText; Read calls it again itself
// when it is a text format, because it is also called directly.
//
// Write streams through a buffer of fixed size, changes nothing in the plan,
// refuses coordinates that are not finite, and returns its losses by kind.
//
// Detect gets the first HeadBytes bytes of a file, without a byte-order mark,
// and reports whether they can only be its own format (a signature: the root
// element, the first brace, the first group). CSV has no signature, so its
// answer counts only when neither content nor ending says anything else.
//
// A package with two forms of one format (KML and KMZ) names the second one's
// functions ReadKMZ, WriteKMZ and DetectKMZ.
package convert

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"strings"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/convert/wire/charset"
	"swardline/crs"
	"swardline/schema"
)

// The words that formats and callers share.
type (
	// Loss is something the target could not hold, counted by kind.
	Loss = wire.Loss
	// Warning is something a reader took in stride, counted by kind.
	Warning = wire.Warning
	// InputError is the one error a reader gives.
	InputError = wire.InputError
	// WriteOptions say how an output is wanted.
	WriteOptions = wire.WriteOptions
)

// ReadOptions say what the user told about an input.
type ReadOptions struct {
	wire.ReadOptions
	// Format names the format; "" means that content and ending tell.
	Format string
}

// Read reads a plan from the whole content of a file. o.Name is the file's
// name, for messages and for its ending. Errors are *InputError.
func Read(data []byte, o ReadOptions) (*schema.Plan, []Warning, error) {
	caps := o.Caps()
	if float64(len(data)) > caps.InputMaxBytes {
		return nil, nil, tooLarge(o.Name, int64(len(data)), caps.InputMaxBytes)
	}
	var format *Format
	var t wire.Tally
	data, err := inUTF8(data, &o, &t)
	if err != nil {
		return nil, nil, err
	}
	if o.Format != "" {
		if format = FormatByName(o.Format); format == nil {
			return nil, nil, &InputError{File: o.Name, Problem: fmt.Sprintf("there is no format called %q", o.Format), Mend: "the formats are " + formatNames()}
		}
	} else if format, err = DetectFormat(o.Name, data); err != nil {
		return nil, nil, err
	}
	if format.Read == nil {
		return nil, nil, &InputError{File: o.Name, Problem: format.Title + " is written, but not read", Mend: "take the plan that it was written from"}
	}
	if !format.Binary {
		if data, err = wire.CheckText(data, o.Name, &t); err != nil {
			return nil, nil, err
		}
	}
	plan, warnings, err := format.Read(data, o.ReadOptions)
	if err != nil {
		return nil, nil, AsInputError(err, o.Name)
	}
	if err := told(plan, format, &o, &t); err != nil {
		return nil, nil, err
	}
	if len(plan.Features) == 0 {
		noFeatures(&t)
	}
	settle(plan, plan.Features, &t)
	warnings = append(t.Warnings(), warnings...)
	heed(plan, warnings)
	return plan, warnings, nil
}

// heed keeps with the plan what its file says that the plan lacks: what its reader
// warned of, and what a conversion carried along.
func heed(plan *schema.Plan, warnings []Warning) {
	plan.TakeBeside()
	for _, w := range warnings {
		switch {
		case w.Ground():
			plan.Left = append(plan.Left, leftOut(w))
		case w.Unheard():
			plan.AddUnheard(leftOut(w))
		}
	}
}

// leftOut says what a warning is about, with its line and how often.
func leftOut(w wire.Warning) string {
	s := w.Message
	if w.Line > 0 && !strings.Contains(s, fmt.Sprintf("line %d", w.Line)) {
		s = fmt.Sprintf("line %d: %s", w.Line, s)
	}
	if w.Count > 1 {
		s += fmt.Sprintf(" (%d times)", w.Count)
	}
	return s
}

// told gives a plan what the options say of it.
func told(plan *schema.Plan, format *Format, o *ReadOptions, t *wire.Tally) error {
	plan.Source.File = o.Name
	if plan.Source.Format == "" {
		plan.Source.Format = format.Name
	}
	plan.SplitHeights()
	if o.Epoch != 0 {
		if plan.Epoch != 0 && plan.Epoch != o.Epoch {
			t.Add("epoch-overridden", 0, "", "the file gives the epoch %g; %g was asked for and holds", plan.Epoch, o.Epoch)
		}
		plan.Epoch = o.Epoch
	}
	if o.Frame == "" {
		return nil
	}
	f, err := crs.ParseFrame(o.Frame)
	if err != nil {
		return &InputError{File: o.Name, Problem: err.Error(), Mend: "name the frame with --frame, such as ETRS89, GDA2020 or NAD83(2011)"}
	}
	before, err := plan.SetFrame(f)
	if err != nil {
		return &InputError{File: o.Name, Problem: err.Error(), Mend: "--frame is for coordinates that only say WGS 84; --from names the CRS of others"}
	}
	if before != "" && before != f.Name() {
		t.Add("frame-overridden", 0, "", "the file gives the frame %s; %s was asked for and holds", before, f.Name())
	}
	return nil
}

func noFeatures(t *wire.Tally) {
	t.Add("no-features", 0, "", "the file gave no feature: nothing in it is a point, a line or an area that is read")
}

// settle takes the usual spellings of words for what they mean, and tells of
// what every format may hold and a person should know.
func settle(p *schema.Plan, features []*schema.Feature, t *wire.Tally) {
	degrees := p.CRS != nil && p.CRS.IsDegrees()
	for _, f := range features {
		if word := f.Attributes.Get(schema.PropEdgeKind).Text(); word == "curb" {
			f.Attributes.Set(schema.PropEdgeKind, schema.String(schema.EdgeKerb))
			t.Add("word-known", f.Source.Line, f.Source.Path, "%s %q is read as %q", schema.PropEdgeKind, word, schema.EdgeKerb)
		}
		if word := f.Attributes.Get(schema.PropRole).Text(); f.Role == schema.RoleOther && word != "" {
			if role, ok := schema.RoleAlias(strings.ToLower(word)); ok {
				f.Role = role
				f.Attributes.Delete(schema.PropRole)
				t.Add("word-known", f.Source.Line, f.Source.Path, "the role %q is read as %q", word, role)
			}
		}
		if degrees && spans(f.Geometry) > 180 {
			t.Add("longitudes-apart", f.Source.Line, f.Source.Path, "the longitudes of %q lie more than 180 degrees apart: correct them, or split the feature at the 180th meridian", f.Label())
		}
	}
}

// spans is how far apart the x of a geometry's points lie.
func spans(g geom.T) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	var look func(g geom.T)
	look = func(g geom.T) {
		switch g := g.(type) {
		case nil:
		case *geom.GeometryCollection:
			for _, part := range g.Geoms() {
				look(part)
			}
		default:
			flat, stride := g.FlatCoords(), g.Stride()
			for i := 0; i+stride <= len(flat); i += stride {
				low, high = min(low, flat[i]), max(high, flat[i])
			}
		}
	}
	look(g)
	return high - low
}

// inUTF8 turns a text whose encoding is told or shows in its first bytes into
// UTF-8, and takes the encoding off the options. A drawing decodes its texts
// itself.
func inUTF8(data []byte, o *ReadOptions, t *wire.Tally) ([]byte, error) {
	f := FormatByName(o.Format)
	if f == nil {
		f, _ = DetectFormat(o.Name, data)
	}
	if f != nil && f.Binary {
		return data, nil
	}
	data, err := charset.Text(data, o.Name, o.Encoding, t)
	o.Encoding = ""
	return data, err
}

// ReadFile reads a plan from a file. Regular files are read whole, and only
// when they are no larger than the limit input_max_bytes; a file that changes
// while it is read is refused. o.Name is set to path when it is empty. Errors
// are *InputError.
func ReadFile(path string, o ReadOptions) (*schema.Plan, []Warning, error) {
	if o.Name == "" {
		o.Name = path
	}
	data, err := ReadWhole(path, o.Caps().InputMaxBytes)
	if err != nil {
		return nil, nil, AsInputError(err, o.Name)
	}
	return Read(data, o)
}

// ReadFrom reads a plan from a stream such as standard input, up to the limit
// input_max_bytes. Errors are *InputError.
func ReadFrom(r io.Reader, o ReadOptions) (*schema.Plan, []Warning, error) {
	data, err := ReadStream(r, o.Caps().InputMaxBytes)
	if err != nil {
		return nil, nil, AsInputError(err, o.Name)
	}
	return Read(data, o)
}

// Write writes the plan in the format of that name. It returns what the format
// could not hold; an error means that w holds no whole plan. What the plan's file
// said beside it goes along (schema.Plan.WithBeside), which is told.
func Write(w io.Writer, p *schema.Plan, format string, o WriteOptions) ([]Loss, error) {
	f := FormatByName(format)
	if f == nil {
		return nil, fmt.Errorf("there is no format called %q; the formats are %s", format, formatNames())
	}
	if f.Write == nil {
		return nil, fmt.Errorf("%s is read, but not written", f.Title)
	}
	p, told := withBeside(p)
	losses, err := f.Write(w, p, o)
	if err != nil {
		return losses, err
	}
	return append(told, losses...), nil
}

// withBeside gives the plan as it is to be written, with what its file said beside
// it, and what there is to tell of that.
func withBeside(p *schema.Plan) (*schema.Plan, []Loss) {
	out, fresh, ok := p.WithOpenOutlines().WithBeside()
	first := ""
	if len(fresh) > 0 {
		first = fresh[0]
	}
	switch {
	case !ok:
		return out, []Loss{{Kind: wire.KindBeside, Count: max(1, len(fresh)), Message: fmt.Sprintf("what the file says beside the plan, or draws and the plan lacks, is not carried over, for the plan has a member %s of its own (the first: %s): check the file itself, which reads that, or give that member another name", schema.PlanBeside, first)}}
	case len(fresh) == 0:
		return out, nil
	}
	return out, []Loss{{Kind: wire.KindBesideCarried, Count: len(fresh), Note: true, Message: fmt.Sprintf("what the file says beside the plan, or draws and the plan lacks, goes along as the plan's member %s, which a check of the new file reads (the first: %s)", schema.PlanBeside, first)}}
}

// ReadWhole returns the bytes of a file of at most most bytes. A file that
// changes while it is read is refused.
func ReadWhole(path string, most float64) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	before, err := f.Stat()
	if err != nil {
		return nil, err
	}
	if before.IsDir() {
		return nil, &InputError{Problem: "this is a folder, not a file"}
	}
	if !before.Mode().IsRegular() {
		return ReadStream(f, most)
	}
	if float64(before.Size()) > most {
		return nil, tooLarge("", before.Size(), most)
	}
	// What says that it is empty is asked for a byte: some file systems say so of
	// what has content.
	data := make([]byte, max(1, before.Size()))
	n, err := io.ReadFull(f, data)
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) && !errors.Is(err, io.EOF) {
		return nil, err
	}
	after, err := f.Stat()
	if err != nil {
		return nil, err
	}
	if int64(n) != before.Size() || after.Size() != before.Size() || !after.ModTime().Equal(before.ModTime()) {
		return nil, &InputError{Problem: "the file changed while it was read", Mend: "run again when it is written whole"}
	}
	return data[:n], nil
}

// ReadStream returns what a stream such as standard input holds, at most most
// bytes.
func ReadStream(r io.Reader, most float64) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, int64(most)+1))
	if err == nil && float64(len(data)) > most {
		return nil, tooLarge("", int64(len(data)), most)
	}
	return data, err
}

func tooLarge(name string, size int64, most float64) error {
	return &InputError{File: name, Problem: fmt.Sprintf("the file has %d bytes; the limit input_max_bytes is %.0f", size, most), Mend: "split it, or raise the limit in a limits file"}
}

// AsInputError gives an error of reading the file of that name the form of
// *InputError; nil stays nil.
func AsInputError(err error, name string) error {
	if err == nil {
		return nil
	}
	var in *InputError
	if errors.As(err, &in) {
		if in.File == "" {
			in.File = name
		}
		return in
	}
	problem, mend := err.Error(), ""
	var path *fs.PathError
	if errors.As(err, &path) {
		problem = path.Err.Error()
	}
	switch {
	case errors.Is(err, fs.ErrNotExist):
		problem, mend = "there is no such file", "check the name"
	case errors.Is(err, fs.ErrPermission):
		problem, mend = "the file may not be read", "give yourself permission to read it"
	}
	return &InputError{File: name, Problem: problem, Mend: mend}
}
