// What an importer of the package writes: a plan read, and written in another
// format, with what neither could hold.

package convert_test

import (
	"fmt"
	"strings"

	"swardline/convert"
	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

// The format is found by content; what was taken in stride is in the warnings.
func ExampleReadFile() {
	plan, warnings, err := convert.ReadFile("../examples/park/park.kml", convert.ReadOptions{})
	if err != nil {
		panic(err)
	}
	fmt.Println(plan.Name, len(plan.Features), "features", len(warnings), "warnings")
	// Output:
	// Example Park (invented) 27 features 0 warnings
}

// A plan is moved into the system that the reader of the file wants, then
// written.
func ExampleWrite() {
	plan, _, err := convert.ReadFile("../examples/park/park.geojson", convert.ReadOptions{})
	if err != nil {
		panic(err)
	}
	grid, _ := crs.Parse("EPSG:32632")
	moved, op, err := plan.Moved(schema.Move{To: grid})
	if err != nil {
		panic(err)
	}
	var out strings.Builder
	losses, err := convert.Write(&out, moved, "csv", wire.WriteOptions{Layout: "points"})
	if err != nil {
		panic(err)
	}
	fmt.Println(op.Name(), len(losses), "losses", strings.Count(out.String(), "\n"), "rows")
	// Output:
	// no datum step 0 losses 285 rows
}

// An error names the place and what to do about it.
func ExampleInputError() {
	_, _, err := convert.Read([]byte(`{"type": "FeatureCollection"}`), convert.ReadOptions{ReadOptions: wire.ReadOptions{Name: "plan.geojson"}})
	fmt.Println(err)
	// Output:
	// plan.geojson:1:1: the FeatureCollection has no list "features"; give it one, if only "features": []
}
