// Files read part by part are those that are read whole.

package geojson

import (
	"bytes"
	"math/rand/v2"
	"strings"
	"testing"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
	"swardline/testdata/inparts"
	"swardline/testdata/randplan"
)

var both = inparts.Format{Read: Read, Parts: NewSource}

// smallParts makes windows and batches so small that features lie across their
// edges.
func smallParts(t testing.TB, r *rand.Rand) {
	w, b, from := windowBytes, batchBytes, parallelFrom
	t.Cleanup(func() { windowBytes, batchBytes, parallelFrom = w, b, from })
	windowBytes, batchBytes, parallelFrom = 1+r.IntN(100), 1+r.IntN(600), 1<<(r.IntN(2)*20)
}

// texts are files of many kinds.
func texts(t testing.TB, r *rand.Rand) (out []string) {
	for n := range 4 {
		p := randplan.New(r.Uint64(), randplan.Options{Features: 1 + r.IntN(12)})
		p.CRS = []*crs.CRS{crs.WGS84(), p.CRS, nil, must(crs.Parse("EPSG:2193"))}[n]
		text, _ := writeText(t, p)
		out = append(out, text)
		// Members behind the list, and white space everywhere.
		if head, tail, ok := strings.Cut(text, `,
"features":[`); ok && n%2 == 0 {
			members := strings.TrimPrefix(head, `{"type":"FeatureCollection"`)
			tail = strings.TrimSuffix(strings.TrimSpace(tail), "]}")
			out = append(out, "{\n\"features\" : [ \n"+tail+"]\n,\"bbox\":[1,2,3]\n"+members+", \"type\":\"FeatureCollection\"}")
		}
	}
	feature := `{"type":"Feature","properties":null,"geometry":{"type":"Point","coordinates":[9,52]}}`
	place := `{"type":"Feature","properties":{"a":"\"]},{"},"geometry":null,"place":{"type":"Point","coordinates":[5800000,500000]}}`
	system := `,"coordRefSys":"http://www.opengis.net/def/crs/EPSG/0/2193"`
	return append(out, `{"type":"FeatureCollection","features":[]}`, `{"type":"FeatureCollection","features":[ ], "features":[]}`,
		`{"type":"FeatureCollection"`+system+`,"features":[`+feature+`]}`, `{"type":"FeatureCollection","features":[`+place+","+place+`]`+system+`}`,
		`{"type":"FeatureCollection"`+system+`,"features":[`+place+","+feature+`]}`, `{"type":"FeatureCollection","crs":null,"features":[`+feature+","+feature+`]}`,
		`{"type":"Feature","features":[`+feature+`],"geometry":null,"properties":{"features":[1]}}`, feature, `{"features":[1,2]}`,
		`{"type":"FeatureCollection","a":{"features":[1]},"b":["features",[1]],"\u0066eatures":[`+feature+`]}`,
		`{"type":"FeatureCollection","features":[`+strings.Repeat(strings.Replace(feature, `"type"`, system[1:]+`,"type"`, 1)+",", 5)+place+`]}`)
}

func must(c *crs.CRS, err error) *crs.CRS {
	if err != nil {
		panic(err)
	}
	return c
}

func TestPartsAreTheWhole(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 22))
	rounds := 40
	if randplan.Long() {
		rounds = 3000
	}
	parted, all := 0, 0
	for range rounds {
		smallParts(t, r)
		for _, text := range texts(t, r) {
			o, data := wire.ReadOptions{Name: "f.geojson"}, []byte(text)
			switch r.IntN(8) {
			case 0:
				o.CRS = must(crs.Parse("EPSG:25832"))
			case 1:
				o.Limits = schema.DefaultLimits()
				o.Limits.InputMaxFeatures, o.Limits.InputMaxVertices = float64(r.IntN(12)), float64(r.IntN(200))
			case 2, 3, 4:
				data = inparts.Damaged(r, data)
			}
			if all++; inparts.Compare(t, both, data, o, 1+r.IntN(12)) {
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
	r := rand.New(rand.NewPCG(23, 24))
	for _, text := range texts(f, r) {
		f.Add([]byte(text), uint16(r.UintN(1<<16)))
	}
	f.Fuzz(func(t *testing.T, data []byte, seed uint16) {
		r := rand.New(rand.NewPCG(uint64(seed), 1))
		smallParts(t, r)
		inparts.Compare(t, both, bytes.Clone(data), wire.ReadOptions{Name: "f.geojson"}, 1+r.IntN(12))
	})
}
