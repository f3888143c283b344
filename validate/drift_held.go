// A corrected plan said both ways: where its lines are, and what the machine
// holds.

package validate

import (
	"fmt"
	"math"

	"github.com/twpayne/go-geom"

	"swardline/crs"
	"swardline/schema"
)

// # Ground and held
//
// After a correction the machine holds coordinates that are not where its lines
// are: with the antenna at A and S stored, coordinates Q are driven at
//
//	P = Q + A - S
//
// (see the model of drift). A plan is written in one of the two, which its
// member "given" says: "ground" for P, "held" for Q; a plan without the member
// is held, as corrected plans were before there was one. A and S are those of
// the newest entry of the history, so that nothing is needed beside the plan to
// go from one to the other, and a plan that was never corrected has one truth
// and no member.
//
// Coordinates that went from one to the other have the digits that files have,
// ten decimals of a degree and five of a length. So what was written with them
// comes back to the last digit, whichever way it went.
//
// The base is a feature like the others: on the ground it stands at A, held at
// S.

// SameGroundM is the distance in metres under which ground and held are one:
// less than the last digit that a history keeps.
const SameGroundM = 1e-6

// HeldOffset is how far what the machine holds lies from the ground, S - A:
// east, north and up in metres, zero for a plan that was never corrected or
// corrected back; and the date of the last correction, "" for none. The error
// is for a corrected plan whose CRS is not known, and a HistoryError for a
// history that cannot be read or contradicts itself, and for a plan given as
// held whose history has nothing to get the ground from.
func HeldOffset(p *schema.Plan) (off crs.Local, since string, err error) {
	off, since, err = heldOffset(p)
	if err == nil && off == (crs.Local{}) {
		err = historyError(p, heldWithoutOffset(p))
	}
	return off, since, err
}

// heldOffset is HeldOffset whatever the plan's member given says.
func heldOffset(p *schema.Plan) (off crs.Local, since string, err error) {
	entries, err := History(p)
	if err != nil || len(entries) == 0 {
		return off, "", historyError(p, err)
	}
	up := crs.Metres(0)
	for i := range entries {
		if e := &entries[i]; e.Kind == EntryCorrection {
			since = e.Date
			up += e.Shift.U
		}
	}
	last := entries[len(entries)-1]
	if last.Antenna == last.Stored || positionsAlike(last.Antenna, last.Stored) {
		if err := newestAgrees(entries, crs.Local{}); err != nil {
			return off, since, historyError(p, err)
		}
		return offsetWithUp(off, last, up), since, nil
	}
	if p.CRS == nil {
		return off, since, fmt.Errorf("the plan was corrected for a base that moved, and without its CRS nobody can say where its lines are")
	}
	d, err := Between(p.CRS, last.Stored, last.Antenna)
	if err != nil {
		return off, since, historyError(p, fmt.Errorf("the plan's history: %w", err))
	}
	if err := newestAgrees(entries, d); err != nil {
		return off, since, historyError(p, err)
	}
	off = offsetWithUp(crs.Local{E: -d.E, N: -d.N, U: -d.U}, last, up)
	if math.Hypot(float64(off.E), float64(off.N)) < SameGroundM && math.Abs(float64(off.U)) < SameGroundM {
		off = crs.Local{}
	}
	return off, since, nil
}

// positionsAlike compares positions with and without heights.
func positionsAlike(a, b crs.Geodetic) bool {
	return a.Lon == b.Lon && a.Lat == b.Lat && (a.H == b.H || a.H != a.H || b.H != b.H)
}

// offsetWithUp takes the height from the corrections themselves where the base
// has none.
func offsetWithUp(off crs.Local, last Entry, up crs.Metres) crs.Local {
	if last.Stored.H != last.Stored.H || last.Antenna.H != last.Antenna.H {
		off.U = -up
	}
	return off
}

// givenOf says which of the two a plan's coordinates are.
func givenOf(p *schema.Plan) (ground bool, err error) {
	v := p.Attributes.Get(schema.PlanGiven)
	if v.IsAbsent() || v.Kind() == schema.KindNull {
		return false, nil
	}
	switch v.Text() {
	case schema.GivenGround:
		return true, nil
	case schema.GivenHeld:
		return false, nil
	}
	return false, historyError(p, fmt.Errorf("the plan's member %s must be %q or %q, not %q", schema.PlanGiven, schema.GivenGround, schema.GivenHeld, v.Text()))
}

// GroundOf returns the plan with its lines where they are, which is what is
// handed over, drawn and checked. A plan that is on the ground already, or was
// never corrected, is returned as it is; p is not changed. The errors are
// HeldOffset's, and that for a member "given" of another word.
func GroundOf(p *schema.Plan) (*schema.Plan, error) { return givenAs(p, schema.GivenGround) }

// MachineOf returns the plan with the coordinates that the machine must hold. A
// plan that is held already, or was never corrected, is returned as it is; p is
// not changed. Errors as GroundOf's.
func MachineOf(p *schema.Plan) (*schema.Plan, error) { return givenAs(p, schema.GivenHeld) }

func givenAs(p *schema.Plan, as string) (*schema.Plan, error) {
	off, _, err := HeldOffset(p)
	if err != nil || off == (crs.Local{}) {
		return p, err
	}
	ground, err := givenOf(p)
	if err != nil || ground == (as == schema.GivenGround) {
		return p, err
	}
	by := off
	if as == schema.GivenGround {
		by = crs.Local{E: -off.E, N: -off.N, U: -off.U}
	}
	entries, err := History(p)
	if err != nil {
		return nil, err
	}
	at := entries[len(entries)-1].Stored
	out := *p
	out.Features = make([]*schema.Feature, len(p.Features))
	for i, f := range p.Features {
		g := *f
		if f.Geometry != nil {
			if g.Geometry, err = shiftGeometry(p, f.Geometry, at, by); err != nil {
				return nil, fmt.Errorf("%s: %w", describe(f), err)
			}
			if g.Geometry, err = inFileDigits(p.CRS, g.Geometry); err != nil {
				return nil, fmt.Errorf("%s: %w", describe(f), err)
			}
		}
		out.Features[i] = &g
	}
	out.Attributes = p.Attributes.Clone()
	out.Attributes.Set(schema.PlanGiven, schema.String(as))
	return &out, nil
}

// inFileDigits rounds a geometry's coordinates to the digits of a file.
func inFileDigits(c *crs.CRS, g geom.T) (geom.T, error) {
	if parts, ok := g.(*geom.GeometryCollection); ok {
		out := geom.NewGeometryCollection()
		for _, part := range parts.Geoms() {
			rounded, err := inFileDigits(c, part)
			if err != nil {
				return nil, err
			}
			if err := out.Push(rounded); err != nil {
				return nil, err
			}
		}
		return out, nil
	}
	const up = 1e5
	level := up
	if c.IsDegrees() {
		level = 1e10
	}
	flat, stride := append([]float64(nil), g.FlatCoords()...), g.Stride()
	for i := range flat {
		switch at := i % stride; {
		case at < 2:
			flat[i] = math.Round(flat[i]*level) / level
		case at == g.Layout().ZIndex():
			flat[i] = math.Round(flat[i]*up) / up
		}
	}
	return schema.WithFlatCoords(g, flat)
}

// markGiven writes the member "given" of a plan that was just corrected, and
// takes it away where ground and held have become one again.
func markGiven(p *schema.Plan) error {
	off, _, err := heldOffset(p)
	switch {
	case err != nil:
		return err
	case off != (crs.Local{}):
		p.Attributes.Set(schema.PlanGiven, schema.String(schema.GivenHeld))
	default:
		p.Attributes.Delete(schema.PlanGiven)
	}
	return nil
}

// HeldWords say how far off the machine holds a plan's lines and since when, ""
// for a plan with one truth.
func HeldWords(p *schema.Plan) string {
	off, since, err := HeldOffset(p)
	if err != nil || off == (crs.Local{}) {
		return ""
	}
	s := fmt.Sprintf("The machine holds these lines E %+.3f m, N %+.3f m", float64(off.E), float64(off.N))
	if math.Abs(float64(off.U)) >= 0.0005 {
		s += fmt.Sprintf(", up %+.3f m", float64(off.U))
	}
	s += " off"
	if since != "" {
		s += " since " + since
	}
	return s + ", because its base moved."
}
