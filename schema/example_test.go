// What an importer of the package writes: a plan in memory, and limits of one's
// own.

package schema_test

import (
	"fmt"

	"github.com/twpayne/go-geom"

	"swardline/crs"
	"swardline/schema"
)

// A plan of one zone with a cutting height, moved onto a grid.
func ExamplePlan_Moved() {
	lawn := geom.NewPolygonFlat(geom.XY, []float64{11.2, 56.95, 11.2006, 56.95, 11.2006, 56.9503, 11.2, 56.95}, []int{8})
	plan := &schema.Plan{Name: "Lawn (invented)", CRS: crs.WGS84(), Features: []*schema.Feature{{
		ID: schema.String("z1"), Role: schema.RoleZone, Name: "Lawn", Geometry: lawn,
		Attributes: schema.Attributes{{Key: "cut_mm", Value: schema.Int(35)}},
	}}}
	grid, _ := crs.Parse("EPSG:32632")
	moved, _, err := plan.Moved(schema.Move{To: grid})
	if err != nil {
		panic(err)
	}
	at := moved.Features[0].Geometry.FlatCoords()
	fmt.Printf("%s starts at %.3f E %.3f N\n", moved.Features[0].Name, at[0], at[1])
	// Output:
	// Lawn starts at 633811.199 E 6313973.915 N
}

// A limits file; what it does not name keeps its default.
func ExampleReadLimits() {
	limits, err := schema.ReadLimits([]byte("passage_min_m: 2.0\n"), "crew.yaml")
	if err != nil {
		panic(err)
	}
	fmt.Println(limits.PassageMinM, "from", limits.SourceOf("passage_min_m"))
	_, err = schema.ReadLimits([]byte("pasage_min_m: 2.0\n"), "crew.yaml")
	fmt.Println(err)
	// Output:
	// 2 from crew.yaml line 1
	// crew.yaml:1: there is no limit called "pasage_min_m"; the nearest is "passage_min_m"
}
