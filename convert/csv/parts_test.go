// Lists read part by part are those that are read whole.

package csv

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/testdata/inparts"
	"swardline/testdata/randplan"
)

var inParts = func() *inparts.Format {
	w, h, p := windowBytes, headBytes, partPoints
	return &inparts.Format{Name: "f.csv", Read: Read, Parts: NewSource, Files: lists, CRS: crs.WGS84(), Rounds: 30, Long: 3000,
		Small: func(r *rand.Rand) {
			windowBytes, headBytes, partPoints = 1+r.IntN(200), 1<<(5+r.IntN(10)), 1+r.IntN(50)
		},
		Restore: func() { windowBytes, headBytes, partPoints = w, h, p },
	}
}()

// lists are lists of many kinds.
func lists(t testing.TB, r *rand.Rand) (out []inparts.File) {
	add := func(columns, text string) {
		out = append(out, inparts.File{Data: []byte(text), Options: wire.ReadOptions{Columns: columns}})
	}
	var b strings.Builder
	rows := func(head, row string, n int, cells func(i int) []any) string {
		b.Reset()
		b.WriteString(head)
		for i := range n {
			fmt.Fprintf(&b, row, cells(i)...)
		}
		return b.String()
	}
	lonLat := func(i int) []any { return []any{i, 9 + r.Float64(), 52 + r.Float64()} }
	add("", rows("id,lon,lat\n", "p%d,%.8f,%.8f\n", 40, lonLat))
	add("", rows("\n\nJob 7\nid;x;y\r\n;m;m\r\n", "\"p\"\"%d\";%.3f;%.3f\r\n", 30, lonLat))
	add("", strings.ReplaceAll(rows("nr\te\tn\tsigma_m\tfix\n", "p%d\t%.3f\t%.3f\t0.1\tfloat\n", 40, lonLat), ".", ","))
	add("", rows("id,westing,southing,crs\n", "p%d,%.3f,%.3f,EPSG:2053\n", 9, func(i int) []any { return []any{i, 1000 + r.Float64(), 3700000 + r.Float64()} }))
	add("", rows("id,x,y,crs\n", "p%d,%.3f,%.3f,EPSG:2053\n", 9, func(i int) []any { return []any{i, 3700000 + r.Float64(), 1000 + r.Float64()} }))
	add("PNEZD", rows("", "%d,%.3f,%.3f,4,TREE START 7\n", 30, lonLat))
	add("PNEZD", rows("", "%d,%.3f,%.3f,4,KERB%s\n", 30, func(i int) []any { return append(lonLat(i), []string{" START", "", " CLOSE"}[i%3]) }))
	add("", rows("id,role,lon,lat,note\n", "%d,zone,%.6f,%.6f,\"a\r\nb\"\n", 40, func(i int) []any { return []any{i / 5, 9 + r.Float64(), 52 + r.Float64()} }))
	add("", rows("wkt,crs,"+strings.Repeat("long header ", r.IntN(20))+"\n", "\"LINESTRING (%d %.3f, %.3f 1)\",,\n", 20, lonLat)+"\"POINT (1 2)\",EPSG:25832,\n")
	for n := range 6 {
		p := randplan.New(r.Uint64(), randplan.Options{})
		p.CRS = []*crs.CRS{crs.WGS84(), p.CRS, nil}[n%3]
		for _, layout := range []string{LayoutWKT, LayoutPoints} {
			var buf bytes.Buffer
			if _, err := Write(&buf, p, wire.WriteOptions{Layout: layout}); err == nil {
				out = append(out, inparts.File{Data: buf.Bytes()})
			}
		}
	}
	return out
}

func TestPartsAreTheWhole(t *testing.T) { inParts.Test(t, 11) }

func FuzzParts(f *testing.F) { inParts.Fuzz(f, 13) }
