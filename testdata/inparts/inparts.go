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
	"swardline/schema"
)

// A Format is what reads its files.
type Format struct {
	Read  func(data []byte, o wire.ReadOptions) (*schema.Plan, []wire.Warning, error)
	Parts func(open wire.Opening, o wire.ReadOptions, features int) wire.PartSource
}

// Compare reads a file both ways and reports whether it could be read in parts;
// any difference fails the test: in what the plan is, in any feature down to
// the bits of its coordinates and its place in the file, in warnings and
// errors.
func Compare(t testing.TB, f Format, data []byte, o wire.ReadOptions, features int) bool {
	t.Helper()
	if bytes.HasPrefix(data, []byte("\xef\xbb\xbf")) || len(data) > 0 && data[0] >= 0xfe {
		return false // not what Parts is given
	}
	whole, warnings, err := f.Read(data, o)
	want := dump(whole, featuresOf(whole), warnings, err)
	source := f.Parts(func() (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(data)), nil }, o, features)
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
			const odd = "\"{}[],;:\n\r\t \x00\xff\x80-+.eE09aNnul"
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
