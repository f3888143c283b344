// Files read part by part are those that are read whole.

package geojson

import (
	"math/rand/v2"
	"strings"
	"testing"

	"swardline/crs"
	"swardline/testdata/inparts"
	"swardline/testdata/randplan"
)

var inParts = func() *inparts.Format {
	w, b, from := windowBytes, batchBytes, parallelFrom
	return &inparts.Format{Name: "f.geojson", Read: Read, Parts: NewSource, Files: texts, CRS: must(crs.Parse("EPSG:25832")), Rounds: 40, Long: 3000,
		Small: func(r *rand.Rand) {
			windowBytes, batchBytes, parallelFrom = 1+r.IntN(100), 1+r.IntN(600), 1<<(r.IntN(2)*20)
		},
		Restore: func() { windowBytes, batchBytes, parallelFrom = w, b, from },
	}
}()

// texts are files of many kinds.
func texts(t testing.TB, r *rand.Rand) []inparts.File {
	var out []string
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
	return inparts.Texts(append(out, `{"type":"FeatureCollection","features":[]}`, `{"type":"FeatureCollection","features":[ ], "features":[]}`,
		`{"type":"FeatureCollection"`+system+`,"features":[`+feature+`]}`, `{"type":"FeatureCollection","features":[`+place+","+place+`]`+system+`}`,
		`{"type":"FeatureCollection"`+system+`,"features":[`+place+","+feature+`]}`, `{"type":"FeatureCollection","crs":null,"features":[`+feature+","+feature+`]}`,
		`{"type":"Feature","features":[`+feature+`],"geometry":null,"properties":{"features":[1]}}`, feature, `{"features":[1,2]}`,
		`{"type":"FeatureCollection","a":{"features":[1]},"b":["features",[1]],"\u0066eatures":[`+feature+`]}`,
		`{"type":"FeatureCollection","features":[`+strings.Repeat(strings.Replace(feature, `"type"`, system[1:]+`,"type"`, 1)+",", 5)+place+`]}`)...)
}

func must(c *crs.CRS, err error) *crs.CRS {
	if err != nil {
		panic(err)
	}
	return c
}

func TestPartsAreTheWhole(t *testing.T) { inParts.Test(t, 21) }

func FuzzParts(f *testing.F) { inParts.Fuzz(f, 23) }
