// Deformation models: how the ground of a country moves, steadily and in
// earthquakes, as grids of displacements times functions of time.

package crs

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// DeformationModel is a deformation model in memory: a master file as PROJ's
// defmodel has it, with its grids. It leads from its source CRS, whose
// coordinates stay with the ground, to its target CRS, in which the ground
// moves. It is immutable and safe to share.
type DeformationModel struct {
	name           string // of the file
	title, version string
	definition     *CRS // what places are looked up in; the source, too
	plane          bool // the definition is a projected CRS
	src, dst       *registryDatum
	inRegistry     *registryStep // that names the file, nil when none does
	box            modelBox
	first, last    float64 // decimal years
	degrees        bool    // horizontal displacements are in degrees
	geocentric     bool    // they are added along earth-centred axes
	components     []deformation
}

// deformation is one component of a model.
type deformation struct {
	box           modelBox
	horizontal    bool
	vertical      bool
	turned        bool // interpolated along earth-centred axes (geocentric_bilinear)
	factor        timeFunction
	grids         []*shiftGrid
	uncertainty   float64 // horizontal, metres; NaN when not stated as one figure
	uncertaintyOf string  // the file's word for it
}

// modelBox is an extent, in degrees or on the plane in metres.
type modelBox struct{ west, south, east, north float64 }

// hold brings the place into the box: its longitude into the range, and what is
// no more than margin outside onto the edge; false when it is outside.
func (b *modelBox) hold(x, y, margin float64, plane bool) (float64, float64, bool) {
	tol := edgeSlack(plane)
	in, ok := into(x, b.west, b.east, plane)
	if !ok {
		if !plane { // the nearer side
			in = b.west + math.Remainder(x-b.west, 360)
			if east := b.east + math.Remainder(x-b.east, 360); math.Abs(east-b.east) < math.Abs(in-b.west) {
				in = east
			}
		}
		ok = in > b.west-margin-tol && in < b.east+margin+tol
	}
	ok = ok && y > b.south-margin-tol && y < b.north+margin+tol
	return min(max(in, b.west), b.east), min(max(y, b.south), b.north), ok
}

// Name is the name of the file without its folder.
func (m *DeformationModel) Name() string { return m.name }

// Area is the box that the model holds in, in degrees.
func (m *DeformationModel) Area() (west, south, east, north float64) {
	if !m.plane {
		return m.box.west, m.box.south, m.box.east, m.box.north
	}
	b := m.box
	west, south, east, north = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, p := range [][2]float64{{b.west, b.south}, {b.east, b.south}, {b.west, b.north}, {b.east, b.north}} {
		at := []float64{p[0], p[1]}
		if m.definition.ToGeodetic(at, 2) == nil {
			west, south = math.Min(west, at[0]), math.Min(south, at[1])
			east, north = math.Max(east, at[0]), math.Max(north, at[1])
		}
	}
	return west, south, east, north
}

// holds reports whether the model holds at a longitude and latitude.
func (m *DeformationModel) holds(lon, lat float64) bool {
	at := []float64{lon, lat}
	if lon-lon != 0 || lat-lat != 0 || math.Abs(lon) > 720 || m.plane && m.definition.FromGeodetic(at, 2) != nil {
		return false
	}
	_, _, ok := m.box.hold(at[0], at[1], 0, m.plane)
	return ok
}

// holdsBox reports whether the model holds at all corners of the box.
func (m *DeformationModel) holdsBox(p Place) bool {
	return m.holds(p.West, p.South) && (!p.wide() || m.holds(p.East, p.North) && m.holds(p.West, p.North) && m.holds(p.East, p.South))
}

// holdsEpoch reports whether the model holds at an epoch, a decimal year.
func (m *DeformationModel) holdsEpoch(t float64) bool { return t >= m.first && t <= m.last }

// matches reports whether a registry step names the file, and whether the file
// leads the other way.
func (m *DeformationModel) matches(s *registryStep) (ok, reversed bool) {
	for _, f := range s.files {
		f, reversed := strings.CutPrefix(f, "-")
		if strings.EqualFold(f, m.name) {
			return true, reversed
		}
	}
	return false, false
}

// named is the registry step that names the file, nil when none does.
func (m *DeformationModel) named() *registryStep {
	i := slices.IndexFunc(steps0().steps, func(s *registryStep) bool {
		ok, _ := m.matches(s)
		return ok && s.kind == stepModel
	})
	if i < 0 {
		return nil
	}
	return steps0().steps[i]
}

// step is the step that the model makes by itself, between the systems that it
// names, when the registry has none by it.
func (m *DeformationModel) step() *registryStep {
	w, s, e, n := m.Area()
	box := &extent{name: "deformation model " + m.name, south: s, north: n, west: -180, east: 180}
	if e-w < 360 {
		box.west, box.east = wrap180(w), wrap180(e)
	}
	return &registryStep{
		name: "deformation model " + m.label(), kind: stepModel, src: m.src, dst: m.dst, accuracy: math.NaN(),
		files: []string{m.name}, source: "the file's own word", extents: []*extent{box},
	}
}

// label is the model's name and version for people.
func (m *DeformationModel) label() string {
	return strings.TrimSpace(strings.Join([]string{cmp.Or(m.title, m.name), m.version}, " "))
}

// at is the displacement from source to target at a place of the definition CRS
// and an epoch: east and north in metres, or degrees where the model has those,
// and upwards in metres. Up to margin outside the model's extent its edge is
// taken.
func (m *DeformationModel) at(x, y, t, margin float64) (east, north, up float64, err error) {
	x, y, ok := m.box.hold(x, y, margin, m.plane)
	if !ok {
		return 0, 0, 0, m.outside()
	}
	for i := range m.components {
		c := &m.components[i]
		cx, cy, ok := c.box.hold(x, y, 0, m.plane)
		if !ok {
			continue
		}
		f := c.factor(t)
		if f == 0 {
			continue
		}
		g, gx := find(c.grids, cx, cy)
		if g == nil {
			continue // outside its grids a component is nothing
		}
		e, n, u := c.interpolate(g, gx, cy)
		east, north, up = east+f*e, north+f*n, up+f*u
	}
	if s := east + north + up; s-s != 0 {
		return 0, 0, 0, fmt.Errorf("where a grid of the deformation model %s has no values", m.name)
	}
	return east, north, up, nil
}

// interpolate is the component's displacement between the four nodes about the
// place. Along earth-centred axes east and north are turned with the meridians,
// as they must be near a pole.
func (c *deformation) interpolate(g *shiftGrid, x, y float64) (east, north, up float64) {
	i, j, fx, fy := g.cell(x, y)
	var vx, vy, vz float64
	for _, k := range [4]struct {
		di, dj int
		w      float64
	}{{0, 0, (1 - fx) * (1 - fy)}, {1, 0, fx * (1 - fy)}, {0, 1, (1 - fx) * fy}, {1, 1, fx * fy}} {
		at := (j+k.dj)*g.nx + i + k.di
		if c.vertical {
			up += k.w * float64(g.up[at])
		}
		if !c.horizontal {
			continue
		}
		n, e := k.w*float64(g.shifts[2*at]), k.w*float64(g.shifts[2*at+1])
		if !c.turned {
			east, north = east+e, north+n
			continue
		}
		// Axes at the equator under the place, east and pole.
		sl, cl := math.Sincos((g.west + float64(i+k.di)*g.dlon - x) * radPerDeg)
		sp, cp := math.Sincos((g.south + float64(j+k.dj)*g.dlat) * radPerDeg)
		vx += -e*sl - n*sp*cl
		vy += e*cl - n*sp*sl
		vz += n * cp
	}
	if c.horizontal && c.turned {
		sp, cp := math.Sincos(y * radPerDeg)
		east, north = vy, -vx*sp+vz*cp
	}
	return east, north, up
}

// moved is a place of the definition CRS displaced, and what its height changes
// by.
func (m *DeformationModel) moved(x, y, t, margin float64) (nx, ny, up float64, err error) {
	east, north, up, err := m.at(x, y, t, margin)
	switch {
	case err != nil:
		return 0, 0, 0, err
	case m.degrees || m.plane:
		return x + east, y + north, up, nil
	}
	el := m.definition.datum.el
	sp, cp := math.Sincos(y * radPerDeg)
	if !m.geocentric {
		if cp < 1e-9 {
			return 0, 0, 0, fmt.Errorf("at the pole, where the deformation model %s has no east", m.name)
		}
		return x + east/(el.primeVertical(sp)*cp)*degPerRad, y + north/el.meridian(sp)*degPerRad, up, nil
	}
	sl, cl := math.Sincos(x * radPerDeg)
	px, py, pz := el.toGeocentric(x*radPerDeg, y*radPerDeg, 0)
	lam, phi, _ := el.fromGeocentric(px-east*sl-north*sp*cl, py+east*cl-north*sp*sl, pz+north*cp)
	return x + math.Remainder(lam*degPerRad-x, 360), phi * degPerRad, up, nil
}

// modelMargin is how far outside the model's extent the iteration of the
// inverse may look: 0.1 degrees, 10 km on the plane.
func (m *DeformationModel) modelMargin() float64 {
	if m.plane {
		return 10_000
	}
	return 0.1
}

// moveBack is the place whose displaced place is the one given.
func (m *DeformationModel) moveBack(x, y, t float64) (nx, ny, up float64, err error) {
	enough := 1e-12 // degrees: a tenth of a micrometre
	if m.plane {
		enough = 1e-7
	}
	nx, ny = x, y
	for range maxGridIterations {
		fx, fy, u, err := m.moved(nx, ny, t, m.modelMargin())
		if err != nil {
			return 0, 0, 0, err
		}
		dx, dy := fx-x, fy-y
		nx, ny = nx-dx, ny-dy
		if math.Abs(dx) < enough && math.Abs(dy) < enough {
			if _, _, ok := m.box.hold(nx, ny, 0, m.plane); !ok {
				return 0, 0, 0, m.outside()
			}
			return nx, ny, u, nil
		}
	}
	return 0, 0, 0, fmt.Errorf("where the deformation model %s cannot be reversed: its displacements change too fast", m.name)
}

func (m *DeformationModel) outside() error {
	w, s, e, n := m.Area()
	return fmt.Errorf("outside the deformation model %s, which reaches from %.6g to %.6g degrees north and %.6g to %.6g degrees east", m.name, s, n, w, e)
}

// Shift moves longitude and latitude in degrees from Greenwich (from stride 3
// up, ellipsoidal height in metres too; NaN is absent) in place from the
// model's source CRS to its target CRS, or back when inverse is set, at an
// epoch, a decimal year. The error names the first point outside the model.
func (m *DeformationModel) Shift(flat []float64, stride int, epoch float64, inverse bool) error {
	if err := checkStride(flat, stride, 2); err != nil {
		return err
	}
	if !m.holdsEpoch(epoch) {
		return m.epochError(m.name, "source", epoch)
	}
	s := stage{model: m, epoch: epoch, inverse: inverse}
	return s.apply(flat, stride, true)
}

// epochError says that the model does not hold at an epoch.
func (m *DeformationModel) epochError(step, side string, have float64) *EpochError {
	return &EpochError{Step: step, Side: side, Have: have, First: m.first, Last: m.last}
}

// applyModel runs a deformation model.
func (s *stage) applyModel(part []float64, stride, first int, heights bool) error {
	m := s.model
	at := make([]float64, 2)
	for i := 0; i+1 < len(part); i += stride {
		lon, lat := part[i], part[i+1]
		at[0], at[1] = lon, lat
		err := error(nil)
		if lon-lon != 0 || lat-lat != 0 || math.Abs(lon) > 720 {
			err = fmt.Errorf("not a number")
		} else if m.plane {
			err = m.definition.FromGeodetic(at, 2)
		}
		up := 0.0
		if err == nil {
			if s.inverse {
				at[0], at[1], up, err = m.moveBack(at[0], at[1], s.epoch)
				up = -up
			} else {
				at[0], at[1], up, err = m.moved(at[0], at[1], s.epoch, 0)
			}
		}
		if err == nil && m.plane {
			err = m.definition.ToGeodetic(at, 2)
		}
		if err != nil {
			return &PointError{Index: first + i/stride, X: lon, Y: lat, Problem: err.Error()}
		}
		part[i], part[i+1] = at[0], at[1]
		if heights && stride > 2 && part[i+2] == part[i+2] {
			part[i+2] += up
		}
	}
	return nil
}

// modelAtHand is the model with which a step can be done at the place of the
// search, nil for none.
func (q *search) modelAtHand(s *registryStep) *DeformationModel {
	for _, m := range q.o.with.Models {
		if ok, _ := m.matches(s); ok && (!q.placed || m.holdsBox(q.box)) {
			return m
		}
	}
	return nil
}

// strays reports whether a step leads to the moving frame of a model at hand
// and is not the one that the registry joins to the model. Those who made the
// model fitted it to their own way from ITRF2014 to ITRF96, EPSG:9083, from
// which that of the IERS, EPSG:8076, stated just as good, lies a decimetre off
// there.
func (q *search) strays(s *registryStep) bool {
	for _, m := range q.o.with.Models {
		frame := m.dst
		if s.kind == stepModel || s.src != frame && s.dst != frame || frame == q.src || frame == q.dst || m.inRegistry == nil {
			continue
		}
		if q.placed && m.holdsBox(q.box) && len(s.joins) == 0 {
			return true
		}
	}
	return false
}

// ownUncertainty is what the model's components say of themselves at a place
// and epoch: the root of the sum of the squares of those that take part, in
// metres; false where one of them says nothing, or says it in its grid.
func (m *DeformationModel) ownUncertainty(lon, lat, t float64) (float64, string, bool) {
	at := []float64{lon, lat}
	if m.plane && m.definition.FromGeodetic(at, 2) != nil {
		return 0, "", false
	}
	sum, of := 0.0, ""
	for i := range m.components {
		c := &m.components[i]
		if _, _, ok := c.box.hold(at[0], at[1], 0, m.plane); !ok || c.factor(t) == 0 {
			continue
		}
		sum += c.uncertainty * c.uncertainty
		of = c.uncertaintyOf
	}
	return math.Sqrt(sum), of, sum > 0
}

// successors are the steps that have taken the place of this one, one after
// another.
func (r *stepRegistry) successors(s *registryStep) (out []*registryStep) {
	for len(out) < len(r.steps) && len(s.superseded) > 0 {
		if s = r.byCode[s.superseded[0]]; s == nil {
			break
		}
		out = append(out, s)
	}
	return out
}

// remarkModels notes what a user should know of deformation models: what the
// one in use says of itself, and which were not used and why.
func (op *Operation) remarkModels(q *search, chain []link) {
	for _, l := range chain {
		if l.model == nil {
			continue
		}
		if later := q.r.successors(l.registryStep); len(later) > 0 {
			by := later[len(later)-1]
			op.notes = append(op.notes, fmt.Sprintf("the registry has superseded %s: coordinates given out since follow %s, file %s, where the ground has moved", q.r.label(l.registryStep), q.r.label(by), strings.TrimPrefix(by.files[0], "-")))
		}
		for _, first := range chain {
			for _, j := range first.joins {
				if j.next == l.registryStep {
					op.notes = append(op.notes, fmt.Sprintf("%s is the way that the registry joins to the model, in EPSG:%d", q.r.label(first.registryStep), j.code))
				}
			}
		}
		if !q.placed {
			continue
		}
		if u, of, ok := l.model.ownUncertainty(q.lon, q.lat, q.epoch()); ok {
			op.local = append(op.local, fmt.Sprintf("the deformation model's components state %s horizontally here together (%s)", metresText(math.Round(u*1e4)/1e4), of))
		}
	}
	for _, m := range q.o.with.Models {
		if slices.ContainsFunc(chain, func(l link) bool { return l.model == m }) {
			continue
		}
		why := "no operation between these systems here names it, or a better one exists"
		switch {
		case q.placed && !m.holdsBox(q.box):
			why = "the place is " + m.outside().Error()
		case m.inRegistry == nil && !q.o.allow.Unknown:
			why = "it is not one of the registry, and nobody states its accuracy"
		}
		op.notes = append(op.notes, "the deformation model "+m.name+" was not used: "+why)
	}
}
