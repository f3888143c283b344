package plane

import (
	"fmt"
	"github.com/paulmach/orb"
	"syscall"
	"testing"
)

func cpu() float64 {
	var r syscall.Rusage
	syscall.Getrusage(syscall.RUSAGE_SELF, &r)
	return float64(r.Utime.Sec)*1e6 + float64(r.Utime.Usec) + float64(r.Stime.Sec)*1e6 + float64(r.Stime.Usec)
}
func measure(name string, f func()) {
	f()
	n := 1
	for {
		c := cpu()
		for i := 0; i < n; i++ {
			f()
		}
		d := cpu() - c
		if d > 3e5 {
			fmt.Printf("%-24s %10.1f us\n", name, d/float64(n))
			return
		}
		n *= 4
	}
}
func TestZZ(t *testing.T) {
	for _, n := range []int{20, 50, 1000} {
		p := orb.Polygon{smoothRing(n)}
		measure(fmt.Sprint("offset+ ", n), func() { Offset(p, 2, Round(1e-3)) })
		measure(fmt.Sprint("offset- ", n), func() { Offset(p, -2, Round(1e-3)) })
		measure(fmt.Sprint("mitre- ", n), func() { Offset(p, -2, Mitre(3)) })
		measure(fmt.Sprint("union ", n), func() { Union(orb.MultiPolygon{{combRing(n)}}, orb.MultiPolygon{{combRing(n + 1)}}) })
		measure(fmt.Sprint("validate ", n), func() { Validate([]orb.Polygon{p}) })
		measure(fmt.Sprint("depth ", n), func() { GreatestDepth(p, 0) })
		measure(fmt.Sprint("throats ", n), func() { Throats(p, 1.5) })
		measure(fmt.Sprint("arcs ", n), func() { FitArcs(p[0], ArcRule{Tolerance: 0.001}) })
		measure(fmt.Sprint("locator ", n), func() { NewLocator(p) })
		measure(fmt.Sprint("clearance ", n), func() { Clearance(p, orb.Point{200, 200}) })
	}
}
