// A drawing placed on marks, as an importer of the package writes it.

package adjust_test

import (
	"fmt"

	"swardline/crs/adjust"
)

// Four marks of a drawing in metres, measured on the grid. The fit gives the
// placement, how well it fits, and the marks that do not fit the others.
func ExampleFit() {
	p, err := adjust.Fit(adjust.ModelSimilarity, []adjust.Mark{
		{Name: "A", X: 0, Y: 0, E: 500000.004, N: 6000000.001},
		{Name: "B", X: 40, Y: 0, E: 500039.999, N: 5999999.996},
		{Name: "C", X: 40, Y: 30, E: 500040.002, N: 6000030.003},
		{Name: "D", X: 0, Y: 30, E: 499999.997, N: 6000030.002},
	})
	if err != nil {
		panic(err)
	}
	fmt.Printf("scale %.6f, rms %.3f m, redundancy %d, suspects %v\n", p.Scale(), p.RMS, p.Redundancy, p.Suspects)
	gate := []float64{20, 15}
	if err := p.Apply(gate, 2); err != nil {
		panic(err)
	}
	fmt.Printf("the gate is at %.3f E %.3f N\n", gate[0], gate[1])
	// Output:
	// scale 1.000048, rms 0.004 m, redundancy 4, suspects []
	// the gate is at 500020.000 E 6000015.001 N
}

// Three marks measured again after the base was touched.
func ExampleFitShift() {
	moved := func(name string, e, n, de, dn float64) adjust.ShiftMark {
		return adjust.ShiftMark{Name: name, NoHeight: true, Before: adjust.Offset{E: e, N: n}, After: adjust.Offset{E: e + de, N: n + dn}}
	}
	f, err := adjust.FitShift([]adjust.ShiftMark{
		moved("A", 0, 0, 0.302, 0.099), moved("B", 40, 0, 0.297, 0.104), moved("C", 0, 30, 0.301, 0.097),
	}, adjust.ShiftOptions{Sigma: 0.01})
	if err != nil {
		panic(err)
	}
	fmt.Printf("moved %.3f m east and %.3f m north, significant: %v\n", f.Shift.E, f.Shift.N, f.Significant)
	fmt.Printf("a movement of %.3f m would have shown\n", f.Detectable)
	// Output:
	// moved 0.300 m east and 0.100 m north, significant: true
	// a movement of 0.023 m would have shown
}
