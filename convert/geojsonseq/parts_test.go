// Sequences read part by part are those that are read whole.

package geojsonseq

import (
	"bytes"
	"math/rand/v2"
	"strings"
	"testing"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/testdata/inparts"
	"swardline/testdata/randplan"
)

var inParts = func() *inparts.Format {
	window := windowBytes
	return &inparts.Format{Name: "f.geojsonl", Read: Read, Parts: NewSource, Files: sequences, CRS: crs.WGS84(), Rounds: 40, Long: 2000,
		Small:   func(r *rand.Rand) { windowBytes = 1 + r.IntN(100) },
		Restore: func() { windowBytes = window },
	}
}()

// sequences are files of many kinds.
func sequences(t testing.TB, r *rand.Rand) []inparts.File {
	var out []string
	for n := range 4 {
		p := randplan.New(r.Uint64(), randplan.Options{Features: 1 + r.IntN(12)})
		p.CRS = []*crs.CRS{crs.WGS84(), p.CRS, nil, crs.WGS84()}[n]
		var b bytes.Buffer
		if _, err := Write(&b, p, wire.WriteOptions{Layout: []string{LayoutLines, LayoutSequence}[r.IntN(2)]}); err != nil {
			t.Fatal(err)
		}
		out = append(out, b.String())
	}
	feature := "{\"type\":\"Feature\",\n\"properties\":{\"a\":\"FeatureCollection\",\"b\":\"}\\\"\"},\"geometry\":{\"type\":\"Point\",\"coordinates\":[9,52]}}"
	deep := strings.Replace(feature, "}\\", strings.Repeat("[", 5), 1)
	return inparts.Texts(append(out, feature+" "+feature+"\r\n\n", "\x1e"+feature, feature+"\n{\"type\":\"Feature\\u0043ollection\",\"features\":[],\"x\":1}\n"+deep,
		feature+strings.Replace(feature, "9", strings.Repeat("[", 80)+strings.Repeat("]", 80), 1))...)
}

func TestPartsAreTheWhole(t *testing.T) { inParts.Test(t, 31) }

func FuzzParts(f *testing.F) { inParts.Fuzz(f, 33) }
