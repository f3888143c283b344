// Heights of contours, rims and other lines in lawns between their points.

package validate_test

import (
	"fmt"
	"testing"

	"github.com/paulmach/orb"
)

// contourOf draws a contour.
func contourOf(up float64, at ...orb.Point) func(p *plot) {
	return func(p *plot) {
		p.add(&thing{id: fmt.Sprintf("o%d", len(p.things)), role: "other", name: "Contour " + string(rune('A'+len(p.things)%26)), line: at, z: raisedTo(up)})
	}
}

// The south lawn is level and ends at 30 east and 30 south; contours have their
// points far from one another.
func TestHeightsOfLinesInLawns(t *testing.T) {
	across := func(x0, x1, y, up float64) func(p *plot) {
		return contourOf(up, orb.Point{x0, y}, orb.Point{x1, y})
	}
	rim := func(up, x0, y0, x1, y1 float64) func(p *plot) {
		return func(p *plot) {
			areaOf(p, fmt.Sprintf("k%d", len(p.things)), "keepout", raisedTo(up), rect(x0, y0, x1, y1))
		}
	}
	longer := func(p *plot) {
		p.get("c2").line = []orb.Point{{15, 1.5}, {15, -1}, {15, -9}, {15, -24}}
	}
	edge := func(kind string, y float64) func(p *plot) {
		return func(p *plot) { edgeOf(p, "d9", kind, nil, orb.Point{-1, y}, orb.Point{31, y}) }
	}
	site := func(slope float64) func(p *plot) { // contours on the plane of the site
		return func(p *plot) {
			on := func(q orb.Point) float64 { return plotH + slope*(q[1]+20) }
			for _, x := range p.things {
				x.z = on
			}
			p.get("b1").z = func(q orb.Point) float64 { return on(q) + 2.5 }
			p.get("d1").z, p.get("c1").z = raisedTo(slope*30), raisedTo(slope*30)
			for y := -38.0; y < 20; y += 4 {
				across(-9, 79, y, slope*(y+20))(p)
			}
		}
	}
	const says = "it shows mown ground of"
	judgeHeights(t, []heightPlan{
		{"two contours 1 m apart, 0.652 m", allOf(across(2, 12, -20, 0), across(7, 24, -21, 0.652)), heightsFail, "warning", says},
		{"0.648 m", allOf(across(2, 12, -20, 0), across(7, 24, -21, 0.648)), heightsPass, "", ""},
		{"4 m apart, 1.702 m", allOf(across(8, 12, -18, -0.851), across(10, 20, -22, 0.851)), heightsFail, "warning", says},
		{"1.698 m, 4 m apart", allOf(across(8, 12, -18, -0.849), across(10, 20, -22, 0.849)), heightsPass, "", ""},
		{"three contours", allOf(across(2, 12, -20, 0), across(7, 24, -21, 0.9), across(2, 12, -22, -0.2)), heightsFail, "warning", "the worst of 2 such pairs"},
		{"a drop between", allOf(across(2, 28, -20, -0.2), edge("drop", -20.5), across(7, 24, -21, 0.6)), heightsPass, "", ""},
		{"a limit of its own", allOf(across(2, 12, -20, 0), across(7, 24, -21, 0.502), func(p *plot) { own(p, "z2", "slope_max_percent", 20) }), heightsFail, "warning", says},
		{"a hair less, of that", allOf(across(2, 12, -20, 0), across(7, 24, -21, 0.498), func(p *plot) { own(p, "z2", "slope_max_percent", 20) }), heightsPass, "", ""},
		{"0.651 m along the outline 0.5 m off", across(5, 25, -29.5, 0.651), heightsFail, "warning", "with the outline"},
		{"0.649 m", across(5, 25, -29.5, 0.649), heightsPass, "", ""},
		{"as much lower", across(5, 25, -29.5, -0.651), heightsFail, "warning", "with the outline"},
		{"outside it, higher", across(5, 25, -30.5, 3), heightsPass, "", ""},
		{"across the lawn, its points outside", across(-5, 36, -20, 0.651), heightsFail, "warning", "with the outline"},
		{"a hair less, across", across(-5, 36, -20, 0.649), heightsPass, "", ""},
		{"contours of a site of 10 %", site(0.1), heightsPass, "", ""},
		{"a mark 0.5 m from a contour, 0.477 m", allOf(across(2, 28, -20, 0), marksAt(-0.477, orb.Point{15, -20.5})), heightsFail, "warning", says},
		{"0.473 m", allOf(across(2, 28, -20, 0), marksAt(-0.473, orb.Point{15, -20.5})), heightsPass, "", ""},
		{"a mark on a bank outside", allOf(across(-2, 36, -20, 0), marksAt(3, orb.Point{31, -20.5})), heightsPass, "", ""},
		{"a mark by the middle of a rim, 0.651 m", allOf(rim(0, 8, -22, 22, -18), marksAt(-0.651, orb.Point{15, -22.5})), heightsFail, "warning", says},
		{"0.649 m by the middle of a rim", allOf(rim(0, 8, -22, 22, -18), marksAt(-0.649, orb.Point{15, -22.5})), heightsPass, "", ""},
		{"a short contour by the middle of a long one", allOf(across(2, 28, -20, 0), across(14, 16, -21, 0.652)), heightsFail, "warning", says},
		{"a long one by a short one", allOf(across(14, 16, -20, 0), across(2, 28, -21, 0.652)), heightsFail, "warning", says},
		{"a terrace 0.4 m up, level with the mark", allOf(rim(0.4, 8, -22, 22, -18), marksAt(0, orb.Point{15, -22.5})), heightsPass, "", ""},
		{"two rims 2 m apart, 1.01 m", allOf(rim(0, 3, -22, 14, -20), rim(1.01, 9, -18, 22, -14)), heightsFail, "warning", says},
		{"0.99 m apart in height", allOf(rim(0, 3, -22, 14, -20), rim(0.99, 9, -18, 22, -14)), heightsPass, "", ""},
		{"a contour 0.6 m beside a way", allOf(longer, contourOf(-0.511, orb.Point{15.6, -25}, orb.Point{15.6, -12})), heightsFail, "warning", says},
		{"a hair less, beside a way", allOf(longer, contourOf(-0.509, orb.Point{15.6, -23}, orb.Point{15.6, -12})), heightsPass, "", ""},
		{"a contour over a rim", allOf(rim(0, 8, -22, 22, -18), contourOf(-0.66, orb.Point{12, -25}, orb.Point{12, -20})), heightsFail, "warning", says},
		{"a contour under a keep-out alone", allOf(rim(0, 8, -24, 22, -16), contourOf(0.9, orb.Point{10, -20}, orb.Point{20, -20})), heightsPass, "", ""},
	})
}
