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

var both = inparts.Format{Read: Read, Parts: NewSource}

// sequences are files of many kinds.
func sequences(t testing.TB, r *rand.Rand) (out [][]byte) {
	for n := range 4 {
		p := randplan.New(r.Uint64(), randplan.Options{Features: 1 + r.IntN(12)})
		p.CRS = []*crs.CRS{crs.WGS84(), p.CRS, nil, crs.WGS84()}[n]
		var b bytes.Buffer
		if _, err := Write(&b, p, wire.WriteOptions{Layout: []string{LayoutLines, LayoutSequence}[r.IntN(2)]}); err != nil {
			t.Fatal(err)
		}
		out = append(out, b.Bytes())
	}
	feature := "{\"type\":\"Feature\",\n\"properties\":{\"a\":\"FeatureCollection\",\"b\":\"}\\\"\"},\"geometry\":{\"type\":\"Point\",\"coordinates\":[9,52]}}"
	deep := strings.Replace(feature, "}\\", strings.Repeat("[", 5), 1)
	return append(out, []byte(feature+" "+feature+"\r\n\n"), []byte("\x1e"+feature), []byte(feature+"\n{\"type\":\"Feature\\u0043ollection\",\"features\":[],\"x\":1}\n"+deep),
		[]byte(feature+strings.Replace(feature, "9", strings.Repeat("[", 80)+strings.Repeat("]", 80), 1)))
}

func TestPartsAreTheWhole(t *testing.T) {
	window := windowBytes
	t.Cleanup(func() { windowBytes = window })
	r := rand.New(rand.NewPCG(31, 32))
	rounds := 40
	if randplan.Long() {
		rounds = 2000
	}
	parted, all := 0, 0
	for range rounds {
		windowBytes = 1 + r.IntN(100)
		for _, data := range sequences(t, r) {
			if r.IntN(2) == 0 {
				data = inparts.Damaged(r, data)
			}
			if all++; inparts.Compare(t, both, data, wire.ReadOptions{Name: "f.geojsonl"}, 1+r.IntN(12)) {
				parted++
			}
			if t.Failed() {
				t.FailNow()
			}
		}
	}
	if parted < all/4 {
		t.Errorf("%d of %d files were read in parts", parted, all)
	}
	t.Logf("%d of %d files were read in parts", parted, all)
}

func FuzzParts(f *testing.F) {
	window := windowBytes
	f.Cleanup(func() { windowBytes = window })
	for _, data := range sequences(f, rand.New(rand.NewPCG(33, 34))) {
		f.Add(data, uint8(7))
	}
	f.Fuzz(func(t *testing.T, data []byte, size uint8) {
		windowBytes = 1 + int(size)
		inparts.Compare(t, both, bytes.Clone(data), wire.ReadOptions{Name: "f.geojsonl"}, 1+int(size%12))
	})
}
