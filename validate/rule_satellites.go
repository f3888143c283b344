// Rule on the satellites in sight: satellites-few.

package validate

import (
	"fmt"
	"math"
	"strings"

	"swardline/crs/orbit"
	"swardline/schema"
)

var satelliteRules = []Rule{{
	Name: RuleSatellitesFew, Severity: Error, Limits: []string{"sats_min", "pdop_max", "thin_share_percent", "sky_mask_deg", "machine_antenna_m"},
	Over: one(schema.RoleBase, schema.RoleDock, schema.RoleZone), run: checkSatellitesFew,
	Page: Page{
		What: "The share of a day in which fewer than sats_min satellites stand above the mask and clear of buildings, trees, walls and fences with a height, or in which the dilution of precision " +
			"(PDOP, with a clock for each satellite system) is over pdop_max; at the base antenna, every dock and its line-up point, and on a raster over every zone. More than thin_share_percent is an error at a base or a dock, " +
			"and a warning in a zone, with the ground it holds for. A tree with crown_base_m lets the sky through below its crown. A check looks at 24 moments of the nominal day, with all four satellite systems; " +
			"'swardline sky' looks every five minutes, with the systems that are named, or at a date with an almanac. Shares of the nominal day are no times.",
		Why:    "With few satellites, or all of them on one side, a fixed position is lost or wrong by decimetres, and every machine hangs from the base's.",
		Source: "number of satellites and dilution of precision: " + orbit.NominalSky + "; the limits name their own",
		Fails:  "a dock in a yard 4 m wide between walls 8 m high",
		Passes: "the same dock 12 m in front of one of the walls",
		Mend:   "raise the antenna, move the base or the dock, or keep the machine out of the shade: 'swardline sky --best-place' looks for places that see more",
	},
}}

func checkSatellitesFew(r *run) {
	if !r.onGround() {
		return
	}
	if r.Frame != FrameEarth {
		r.cannot("the plan does not say where on the earth it is, so nobody knows its sky")
		return
	}
	if r.day == nil && len(r.shadeOf().sky.list) == 0 && len(r.shadeOf().unknown) == 0 {
		r.notNeeded("the plan draws no building or tree that could hide satellites")
		if r.openSkyServes() {
			return
		}
	}
	seen := r.seen()
	for i := range seen.points {
		p := &seen.points[i]
		if p.Feature.Role == schema.RoleCorridor {
			continue
		}
		if (p.served || p.View != nil && !r.judgeView(p)) && len(p.Unknown) > 0 {
			r.cannot("%s may stand in the shade of %s", describe(p.Feature), strings.Join(p.Unknown, ", "))
		}
	}
	for i := range seen.zones {
		r.judgeThin(&seen.zones[i])
	}
}

// openSkyServes reports whether the limits are met under the open sky by so
// much that nothing has to be computed: 12 satellites and PDOP 4 hold
// everywhere on the earth with the four nominal systems above 15 degrees
// (TestOpenSkyEverywhere).
func (r *run) openSkyServes() bool {
	l := &r.limits
	return len(r.own) == 0 && l.SatsMin <= 12 && l.PDOPMax >= 4 && l.SkyMaskDeg <= 15
}

// servedArc is how wide a part of the sky may be hidden, in degrees of azimuth,
// up to the zenith, where narrowSkyServes says so; or two parts half as wide.
const servedArc = 40

// narrowSkyServes reports whether the limits are met wherever no more is hidden
// than that: behind one part that is 15 degrees wider, or two that are 10 degrees
// wider, fewer than 8 satellites are in sight, or PDOP is over 6, at no more than
// one hour of the nominal day anywhere (TestNarrowSkyEverywhere).
func (r *run) narrowSkyServes() bool {
	l := &r.limits
	return r.openSkyServes() && l.SatsMin <= 8 && l.PDOPMax >= 6 && l.ThinSharePercent >= 100.0/checkSteps+0.01
}

// judgeView reports a place that sees too little, and whether it did.
func (r *run) judgeView(p *SkyPoint) bool {
	f := r.featureOf(p.Feature)
	l := r.of(f)
	share := 100 * p.View.ShareBad(int(math.Ceil(l.SatsMin)), l.PDOPMax)
	if share <= l.ThinSharePercent {
		return false
	}
	x := r.finding(p.At, f)
	x.Measured, x.Limit, x.Unit = share, l.ThinSharePercent, "%"
	where := ""
	if p.What != "" {
		where = "at its " + p.What + " "
	}
	x.Message = where + skyWords(p.View, l)
	if len(p.BlockedBy) > 0 {
		x.Message += "; hidden by " + strings.Join(p.BlockedBy, ", ")
	}
	return true
}

// skyWords says what a view is, against limits.
func skyWords(v *orbit.View, l *schema.Limits) string {
	return fmt.Sprintf("%g or more satellites for %.0f %% of the day, PDOP over %s for %.0f %%",
		math.Ceil(l.SatsMin), 100*v.ShareFrom(int(math.Ceil(l.SatsMin))), trim(l.PDOPMax, 1), 100*v.ShareOver(l.PDOPMax))
}

func (r *run) judgeThin(z *SkyZone) {
	f := r.featureOf(z.Feature)
	if z.UnknownM2 > 0 {
		r.cannot("about %s of %s may lie in the shade of things whose height is not told", squareMetres(z.UnknownM2), f.describe())
	}
	if z.ThinM2 <= 0 {
		return
	}
	l := r.of(f)
	worst := -1
	for i := range z.Cells {
		if c := &z.Cells[i]; c.Thin >= 0 && (worst < 0 || c.Thin > z.Cells[worst].Thin) {
			worst = i
		}
	}
	c := &z.Cells[worst]
	about, by := []*Feature{f}, ""
	if c.by != nil {
		about, by = append(about, c.by), "; there "+c.by.describe()+" hides most"
	}
	x := r.finding(r.Place(c.At), about...)
	x.Severity = Warning
	x.Measured, x.Limit, x.Unit, x.AreaM2 = 100*c.Thin, l.ThinSharePercent, "%", z.ThinM2
	for _, p := range z.Thin {
		if len(x.Trace) == 0 {
			x.Trace = r.trace(p[0]...)
		}
	}
	x.Message = fmt.Sprintf("over about %s of it fewer than %g satellites are in sight, or PDOP is over %s, for more than %s %% of the day; at worst for %.0f %%%s",
		squareMetres(z.ThinM2), math.Ceil(l.SatsMin), trim(l.PDOPMax, 1), trim(l.ThinSharePercent, 1), 100*c.Thin, by)
}
