// Package inparts holds a file that is read part by part against the same file
// read whole. It is for tests alone.
package inparts

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
	"swardline/testdata/randplan"
)

// A Format is what reads its files, and files to try it with.
type Format struct {
	Name  string // of its files
	Read  func(data []byte, o wire.ReadOptions) (*schema.Plan, []wire.Warning, error)
	Parts func(open wire.Opening, o wire.ReadOptions, features int) wire.PartSource
	// Files are files of many kinds, in options only what each needs to be read.
	Files func(t testing.TB, r *rand.Rand) []File
	// Small makes windows and parts so small that features lie across their
	// edges; Restore undoes that.
	Small   func(r *rand.Rand)
	Restore func()
	// CRS is told instead of the file's own now and then.
	CRS *crs.CRS
	// Rounds is how often all files are tried, Long how often where tests may
	// be long.
	Rounds, Long int
}

// File is a file and what is told of it.
type File struct {
	Data    []byte
	Options wire.ReadOptions
}

// Texts are files of which nothing is told.
func Texts(texts ...string) (out []File) {
	for _, text := range texts {
		out = append(out, File{Data: []byte(text)})
	}
	return out
}

// Test holds files, whole ones and damaged ones, against the same read whole.
func (f *Format) Test(t *testing.T, seed uint64) {
	t.Cleanup(f.Restore)
	r := rand.New(rand.NewPCG(seed, seed+1))
	rounds := f.Rounds
	if randplan.Long() {
		rounds = f.Long
	}
	parted, all := 0, 0
	for range rounds {
		f.Small(r)
		for _, file := range f.Files(t, r) {
			o := file.Options
			o.Name = f.Name
			switch r.IntN(8) {
			case 0:
				o.CRS = f.CRS
			case 1:
				o.Limits = schema.DefaultLimits()
				o.Limits.InputMaxFeatures, o.Limits.InputMaxVertices = float64(r.IntN(60)), float64(r.IntN(200))
			case 2, 3, 4:
				file.Data = Damaged(r, file.Data)
			}
			if all++; f.Compare(t, file.Data, o, 1+r.IntN(12)) {
				parted++
			}
			if t.Failed() {
				t.FailNow()
			}
		}
	}
	t.Logf("%d of %d files were read in parts", parted, all)
	if parted < all/4 {
		t.Errorf("%d of %d files were read in parts", parted, all)
	}
}

// Fuzz is Test for whatever bytes come.
func (f *Format) Fuzz(t *testing.F, seed uint64) {
	t.Cleanup(f.Restore)
	r := rand.New(rand.NewPCG(seed, seed+1))
	for _, file := range f.Files(t, r) {
		t.Add(file.Data, file.Options.Columns, uint16(r.UintN(1<<16)))
	}
	t.Fuzz(func(t *testing.T, data []byte, columns string, seed uint16) {
		r := rand.New(rand.NewPCG(uint64(seed), 1))
		f.Small(r)
		f.Compare(t, bytes.Clone(data), wire.ReadOptions{Name: f.Name, Columns: columns}, 1+r.IntN(12))
	})
}

// Compare reads a file both ways and reports whether it could be read in parts;
// any difference fails the test: in what the plan is, in any feature down to
// the bits of its coordinates and its place in the file, in warnings and
// errors.
func (f *Format) Compare(t testing.TB, data []byte, o wire.ReadOptions, features int) bool {
	t.Helper()
	if bytes.HasPrefix(data, []byte("\xef\xbb\xbf")) || len(data) > 0 && data[0] >= 0xfe {
		return false // not what Parts is given
	}
	whole, warnings, err := f.Read(data, o)
	want := dump(whole, featuresOf(whole), warnings, err)
	source := f.Parts(Opening(data), o, features)
	var got string
	for range 5 {
		var list []*schema.Feature
		plan, warnings, err := source.Walk(func(_ *schema.Plan, part []*schema.Feature) error {
			if len(part) == 0 {
				t.Error("an empty part")
			}
			list = append(list, part...)
			return nil
		})
		if errors.Is(err, wire.ErrWhole) {
			return false
		}
		if errors.Is(err, wire.ErrAgain) {
			got = "again and again"
			continue
		}
		got = dump(plan, list, warnings, err)
		break
	}
	if got != want {
		t.Errorf("%d features a part, %+v\n%.3000q\nread whole\n%.6000s\nin parts\n%.6000s", features, o, data, want, got)
	}
	return true
}

// Opening opens bytes as a file.
func Opening(data []byte) wire.Opening {
	return func() (io.ReadCloser, error) { return file{bytes.NewReader(data)}, nil }
}

type file struct{ *bytes.Reader }

func (file) Close() error { return nil }

func featuresOf(p *schema.Plan) []*schema.Feature {
	if p == nil {
		return nil
	}
	return p.Features
}

// dump writes everything that a reader gives.
func dump(p *schema.Plan, features []*schema.Feature, warnings []wire.Warning, err error) string {
	if err != nil {
		return "error: " + err.Error()
	}
	var b strings.Builder
	fmt.Fprintf(&b, "%q %v %s %+v\n", p.Name, p.Epoch, p.Attributes.AppendJSON(nil), p.Source)
	if p.CRS != nil {
		fmt.Fprintln(&b, p.CRS.ID())
	}
	for _, f := range features {
		fmt.Fprintf(&b, "%s %s %q %s %+v ", f.ID.AppendJSON(nil), f.Role, f.Name, f.Attributes.AppendJSON(nil), f.Source)
		shape(&b, f.Geometry)
		b.WriteByte('\n')
	}
	fmt.Fprintf(&b, "%+v\n", warnings)
	return b.String()
}

func shape(b *strings.Builder, g geom.T) {
	if c, ok := g.(*geom.GeometryCollection); ok {
		for _, part := range c.Geoms() {
			shape(b, part)
		}
	} else if g != nil {
		fmt.Fprintf(b, "%T %v %v %v %v ", g, g.Layout(), g.FlatCoords(), g.Ends(), g.Endss())
	}
}

// Damaged gives a file with some of its bytes changed, left out or doubled.
func Damaged(r *rand.Rand, data []byte) []byte {
	out := bytes.Clone(data)
	for range 1 + r.IntN(3) {
		if len(out) < 2 {
			return out
		}
		at := r.IntN(len(out))
		to := min(len(out), at+1+r.IntN(40))
		switch r.IntN(6) {
		case 0:
			const odd = "\"{}[],;:<>/&=\n\r\t \x00\xff\x80-+.eE09aNnul"
			out[at] = odd[r.IntN(len(odd))]
		case 1:
			out = append(out[:at:at], out[to:]...)
		case 2:
			out = append(out[:to:to], out[at:]...)
		case 3:
			out = out[:at]
		case 4:
			out[at] ^= 1 << r.IntN(8)
		case 5:
			out = append(out[:at:at], append([]byte("\"\n,"[r.IntN(3):]), out[at:]...)...)
		}
	}
	return out
}
