// Rule on the radio between base and machine: radio-shadow.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

var radioRules = []Rule{{
	Name: RuleRadioShadow, Severity: Warning, Limits: []string{"radio_mhz", "radio_loss_db", "machine_antenna_m"},
	Over: all(schema.RoleBase, schema.RoleZone), run: checkRadioShadow,
	Page: Page{
		What: "The loss over free space of the radio from the best base's antenna to the machine's, at machine_antenna_m above the ground, on a raster over every zone and at its points: the loss by diffraction over the " +
			"highest obstacle on the line, a building, a crown, a wall or ground with heights, as a single knife edge at radio_mhz. More than radio_loss_db is told with the ground it holds for. Without radio_mhz nothing is checked: " +
			"no band is assumed. A machine half a metre high never clears the first Fresnel zone over hundreds of metres, so what is judged is what stands on the line and the loss behind it, not clearance. " +
			"Reflections, foliage that lets some through, the radio's own power and other users of the band are not in it.",
		Why:    "A machine that does not hear its base has no position to a centimetre, and stops, or drives on what it has, where nobody sees it.",
		Source: "ITU-R P.526, single knife-edge obstacle: v = h sqrt(2/lambda (1/d1 + 1/d2)), J(v) = 6.9 + 20 log10(sqrt((v - 0.1)^2 + 1) + v - 0.1) dB above v = -0.78",
		Fails:  "a lawn close behind a house 8 m high, seen from a base 4 m high, at 433 MHz: over 20 dB",
		Passes: "the same lawn with the base on that house's roof",
		Mend:   "raise the base antenna over what stands on the line, or move it to where it sees the whole ground",
	},
}}

// knifeEdgeLoss is the loss in dB of a single knife edge for the
// Fresnel-Kirchhoff parameter v; ITU-R P.526 section "Single knife-edge
// obstacle", approximation of J(v) above v = -0.78, 0 below.
func knifeEdgeLoss(v float64) float64 {
	if !(v > -0.78) {
		return 0
	}
	return 6.9 + 20*math.Log10(math.Sqrt((v-0.1)*(v-0.1)+1)+v-0.1)
}

// fresnelKirchhoff is the parameter v of an edge h metres above (negative:
// below) the line of sight, d1 and d2 metres from its ends, at a frequency in
// MHz; ITU-R P.526.
func fresnelKirchhoff(h, d1, d2, mhz float64) float64 {
	lambda := 299.792458 / mhz
	return h * math.Sqrt(2/lambda*(1/d1+1/d2))
}

// sender is a base's antenna.
type sender struct {
	f       *Feature
	at      orb.Point
	antenna float64 // above its ground
	ground  float64 // NaN when not known
}

// terrain are segments of ground with heights at both ends.
type groundSegment struct {
	f      *Feature
	a, b   orb.Point
	ha, hb float64
}

func checkRadioShadow(r *run) {
	if !r.onGround() {
		return
	}
	if !(r.limits.RadioMHz > 0) {
		r.cannot("radio_mhz is not set: take the frequency from the radio's plate, and its licence conditions from your authority")
		return
	}
	senders := r.senders()
	if len(senders) == 0 {
		return
	}
	for _, f := range r.shadeOf().unknown {
		r.cannot("%s has no height_m", f.describe())
	}
	ground := r.groundSegments()
	seen := r.seen()
	for i := range seen.zones {
		r.judgeRadio(&seen.zones[i], senders, ground)
	}
}

func (r *run) senders() []sender {
	var out []sender
	for _, f := range r.usableOf(schema.RoleBase) {
		antenna, ok := f.Float(schema.PropAntennaHeight)
		if !ok || antenna <= 0 {
			r.cannot("%s has no antenna_height_m", f.describe())
			continue
		}
		for i := range f.Points {
			s := sender{f, f.Points[i].Ground, antenna, math.NaN()}
			if h := f.Points[i].Height; h == h {
				s.ground = h - antenna
			}
			out = append(out, s)
		}
	}
	return out
}

// groundSegments are all stretches of outlines and lines on the ground that
// have heights: what is known of the terrain.
func (r *run) groundSegments() []groundSegment {
	var out []groundSegment
	add := func(f *Feature, pts []orb.Point, h []float64) {
		for k := 1; h != nil && k < len(pts); k++ {
			if h[k-1] == h[k-1] && h[k] == h[k] {
				out = append(out, groundSegment{f, pts[k-1], pts[k], h[k-1], h[k]})
			}
		}
	}
	for _, f := range r.Features {
		if !f.usable() || f.Role == schema.RoleBuilding || f.Role == schema.RoleBase {
			continue
		}
		for i := range f.Areas {
			for k, ring := range f.Areas[i].Ground {
				if f.Areas[i].Heights != nil {
					add(f, ring, f.Areas[i].Heights[k])
				}
			}
		}
		for i := range f.Lines {
			add(f, f.Lines[i].Ground, f.Lines[i].Heights)
		}
	}
	return out
}

func (r *run) judgeRadio(z *SkyZone, senders []sender, ground []groundSegment) {
	f := r.featureOf(z.Feature)
	l := r.of(f)
	worst, worstAt := math.Inf(-1), orb.Point{}
	var worstBy *Feature
	take := func(at orb.Point) float64 {
		least := math.Inf(1)
		var by *Feature
		for i := range senders {
			if loss, over := r.pathLoss(&senders[i], at, lowestHeight(f), l, ground); loss < least {
				least, by = loss, over
			}
		}
		if least > worst {
			worst, worstAt, worstBy = least, at, by
		}
		return least
	}
	for i := range z.Cells {
		c := &z.Cells[i]
		c.LossDB = take(c.At)
		if c.LossDB > l.RadioLossDB {
			z.DeafM2 += z.CellM * z.CellM
		}
	}
	for _, a := range f.Areas {
		for _, p := range a.Ground[0] {
			take(p)
		}
	}
	z.LossDB = worst
	if !(worst > l.RadioLossDB) {
		return
	}
	about, over := []*Feature{f}, ""
	if worstBy != nil && worstBy != f {
		about, over = append(about, worstBy), " behind "+worstBy.describe()
	}
	share := 0.0
	if z.AreaM2 > 0 {
		share = 100 * z.DeafM2 / z.AreaM2
	}
	x := r.finding(r.Place(worstAt), about...)
	x.Measured, x.Limit, x.Unit, x.AreaM2 = worst, l.RadioLossDB, "dB", z.DeafM2
	x.Message = fmt.Sprintf("the radio loses up to %.0f dB over free space there%s; over about %s of it, %.0f %%, more than %s dB",
		worst, over, squareMetres(z.DeafM2), share, trim(l.RadioLossDB, 1))
}

// pathLoss is the loss of the highest knife edge on the way from a base to a
// machine, in dB, and whose edge it is, nil for none. Heights count from a
// common ground where any is not known.
func (r *run) pathLoss(s *sender, at orb.Point, zoneGround float64, l *schema.Limits, ground []groundSegment) (most float64, by *Feature) {
	from, to := s.antenna, l.MachineAntennaM
	level := s.ground == s.ground && zoneGround == zoneGround
	if level {
		from, to = s.ground+s.antenna, zoneGround+l.MachineAntennaM
	}
	whole := math.Hypot(at[0]-s.at[0], at[1]-s.at[1])
	edge := func(f *Feature, t, height float64) {
		d1, d2 := t*whole, (1-t)*whole
		if d1 < 0.01 || d2 < 0.01 {
			return // at an antenna itself
		}
		if loss := knifeEdgeLoss(fresnelKirchhoff(height-(from+(to-from)*t), d1, d2, l.RadioMHz)); loss > most {
			most, by = loss, f
		}
	}
	box := orb.LineString{s.at, at}.Bound()
	for k := range r.shadeOf().sky.list {
		b := &r.shadeOf().sky.list[k]
		if !b.bound.Intersects(box) {
			continue
		}
		top := b.height
		if level && b.floor == b.floor {
			top += b.floor
		} else if level {
			top += math.Max(s.ground, zoneGround)
		}
		for _, t := range crossingsOf(b, s.at, at) {
			edge(b.f, t, top)
		}
	}
	if level {
		for i := range ground {
			g := &ground[i]
			if t, u, ok := crossAt(s.at, at, g.a, g.b); ok {
				edge(g.f, t, g.ha+(g.hb-g.ha)*u)
			}
		}
	}
	return most, by
}

// crossingsOf are the parts of the way from a to b, 0 to 1, at which a
// blocker's outline crosses it; both ends of a stretch through a building are
// edges.
func crossingsOf(b *blocker, from, to orb.Point) []float64 {
	var out []float64
	take := func(p, q orb.Point) {
		if t, _, ok := crossAt(from, to, p, q); ok {
			out = append(out, t)
		}
	}
	for _, p := range b.areas {
		for _, ring := range p {
			for k := 1; k < len(ring); k++ {
				take(ring[k-1], ring[k])
			}
		}
		if plane.Locate(to, orb.MultiPolygon{p}) == plane.Inside {
			out = append(out, 1-1e-6)
		}
	}
	for _, l := range b.lines {
		for k := 1; k < len(l); k++ {
			take(l[k-1], l[k])
		}
	}
	return out
}

// crossAt tells where the segments ab and cd meet: t along ab, u along cd.
func crossAt(a, b, c, d orb.Point) (t, u float64, ok bool) {
	rx, ry, sx, sy := b[0]-a[0], b[1]-a[1], d[0]-c[0], d[1]-c[1]
	den := rx*sy - ry*sx
	if den == 0 {
		return 0, 0, false
	}
	t = ((c[0]-a[0])*sy - (c[1]-a[1])*sx) / den
	u = ((c[0]-a[0])*ry - (c[1]-a[1])*rx) / den
	return t, u, t >= 0 && t <= 1 && u >= 0 && u <= 1
}
