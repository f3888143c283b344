// Vectors computed by libproj: two CRSs of each method it follows the registry
// in, so that the product's own tests hold every method to 0.01 mm without cgo.
//
//	go test ./proj -run VectorsOfPROJ -update
//
// writes ../../vectors/proj.vec; without the flag the file must be what libproj
// gives.

package proj

import (
	"flag"
	"fmt"
	"os"
	"sort"
	"strings"
	"testing"

	"swardline/crs"
)

var update = flag.Bool("update", false, "write the file anew")

const vectorsOfPROJ = "../../vectors/proj.vec"

func TestVectorsOfPROJ(t *testing.T) {
	ctx := NewContext()
	defer ctx.Close()
	byMethod := map[int][]*crs.CRS{}
	for _, c := range crs.List() {
		west, _, east, _, _ := c.Area()
		if _, m := c.Method(); m == 0 || known[m] != "" || !(west < east) {
			continue
		} else if ctx.WKT(c.ID(), WKT2v2019) != "" && ctx.WKT(c.Base().ID(), WKT2v2019) != "" { // libproj's tables have it
			byMethod[m] = append(byMethod[m], c)
		}
	}
	methods := make([]int, 0, len(byMethod))
	for m := range byMethod {
		methods = append(methods, m)
	}
	sort.Ints(methods)
	var b strings.Builder
	count := 0
	fmt.Fprintf(&b, "# One or two CRSs of each projection method, as PROJ %s computes them; written by\n# testdata/oracle/proj/vectors_test.go. Coordinates run east, north here.\n", Version())
	for _, m := range methods {
		all := byMethod[m]
		chosen := []*crs.CRS{all[0]}
		if len(all) > 1 {
			chosen = append(chosen, all[2*len(all)/3])
		}
		name, _ := chosen[0].Method()
		fmt.Fprintf(&b, "\n# %d %s\n", m, name)
		for _, c := range chosen {
			op, err := ctx.Between(c.Base().ID(), c.ID())
			if err != nil {
				t.Fatal(err)
			}
			west, south, east, north, ok := c.Area()
			if !ok || west > east {
				t.Fatalf("%s: no plain area of use", c.ID())
			}
			fmt.Fprintf(&b, "source PROJ %s: cs2cs -d 8 %s %s, axes set to east, north\noperation crs %s\n", Version(), c.Base().ID(), c.ID(), c.ID())
			var inverse strings.Builder
			fmt.Fprintf(&b, "direction forward\ntolerance 0.01 mm\nroundtrip 0.01 mm\n")
			for _, at := range [][2]float64{{0.13, 0.21}, {0.86, 0.78}, {0.45, 0.52}} {
				lon := round6(west + at[0]*(east-west))
				lat := round6(south + at[1]*(north-south))
				p := []float64{lon, lat}
				if err := c.Base().FromGeodetic(p, 2); err != nil {
					t.Fatal(err)
				}
				if err := c.Base().ToOfficial(p, 2); err != nil {
					t.Fatal(err)
				}
				op.Apply(p, 2, false)
				if err := c.FromOfficial(p, 2); err != nil {
					t.Fatal(err)
				}
				fmt.Fprintf(&b, "accept %.6f %.6f\nexpect %.8f %.8f\n", lon, lat, p[0], p[1])
				fmt.Fprintf(&inverse, "accept %.8f %.8f\nexpect %.6f %.6f\n", p[0], p[1], lon, lat)
				count += 2
			}
			fmt.Fprintf(&b, "direction inverse\n%s", inverse.String())
			op.Close()
		}
	}
	fmt.Fprintf(&b, "\ncount %d\n", count)
	if *update {
		if err := os.WriteFile(vectorsOfPROJ, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
		t.Logf("%d vectors of %d methods", count, len(methods))
		return
	}
	have, err := os.ReadFile(vectorsOfPROJ)
	if err != nil {
		t.Fatal(err)
	}
	if string(have) != b.String() {
		t.Errorf("%s is not what libproj gives; -update writes it anew (another version of libproj gives other last digits)", vectorsOfPROJ)
	}
}

func round6(x float64) float64 {
	if x < 0 {
		return -round6(-x)
	}
	return float64(int64(x*1e6+0.5)) / 1e6
}
