// The base's history inside the plan, and the plan corrected for a movement.

package validate

import (
	"errors"
	"fmt"
	"math"

	"github.com/twpayne/go-geom"

	"swardline/crs"
	"swardline/schema"
)

// Kinds of an entry of the plan's member "history".
const (
	EntryRecord     = "record"     // the base as it stood on that day
	EntryCorrection = "correction" // the plan was corrected for a movement
)

// Entry is one line of the base's history. Positions are longitude and latitude
// in degrees on the plan's datum and ellipsoidal height in metres, NaN for
// none.
type Entry struct {
	Date string // year-month-day
	Kind string
	// Stored are the base's stored coordinates, Antenna its true position; they
	// differ once the antenna has moved and the coordinates have not.
	Stored, Antenna crs.Geodetic
	// Shift is what a correction took out of the plan, east, north and up in
	// metres; zero for a record.
	Shift      crs.Local
	Frame      string
	Epoch      float64
	MeasuredBy string // free text, left empty by the program
}

func (e Entry) value() schema.Value {
	var a schema.Attributes
	a.Set("date", schema.String(e.Date))
	a.Set("kind", schema.String(e.Kind))
	a.Set(schema.EntryStored, schema.PositionOfEntry(e.Stored))
	a.Set(schema.EntryAntenna, schema.PositionOfEntry(e.Antenna))
	if e.Kind == EntryCorrection {
		a.Set("shift_m", schema.List(millimetres(e.Shift.E), millimetres(e.Shift.N), millimetres(e.Shift.U)))
	}
	if e.Frame != "" {
		a.Set("frame", schema.String(e.Frame))
	}
	if e.Epoch != 0 {
		a.Set("epoch", schema.Float(e.Epoch))
	}
	a.Set("measured_by", schema.String(e.MeasuredBy))
	return schema.Object(a)
}

// millimetres keeps five decimals, as coordinates have.
func millimetres(m crs.Metres) schema.Value {
	return schema.Float(math.Round(float64(m)*1e5) / 1e5)
}

// positionOf reads the position of an entry, of a height that ground can have.
func positionOf(v schema.Value) (g crs.Geodetic, ok bool) {
	g, ok = schema.EntryPosition(v)
	return g, ok && !(math.Abs(float64(g.H)) > maxHeightM)
}

// History reads the plan's member "history", oldest first; nil when there is
// none. An entry that cannot be understood is an error that counts it.
func History(p *schema.Plan) ([]Entry, error) {
	v := p.Attributes.Get(schema.PlanHistory)
	if v.IsAbsent() || v.Kind() == schema.KindNull {
		return nil, nil
	}
	if v.Kind() != schema.KindList {
		return nil, fmt.Errorf("the plan's member history must be a list, got a %s", v.Kind())
	}
	var out []Entry
	for i, item := range v.Items() {
		f := item.Fields()
		e := Entry{Date: f.Get("date").Text(), Kind: f.Get("kind").Text(), Frame: f.Get("frame").Text(), MeasuredBy: f.Get("measured_by").Text()}
		var ok bool
		if e.Stored, ok = positionOf(f.Get(schema.EntryStored)); !ok {
			return nil, fmt.Errorf("entry %d of the plan's history has no stored position [lon, lat, h]", i+1)
		}
		if e.Antenna = e.Stored; f.Has(schema.EntryAntenna) {
			if e.Antenna, ok = positionOf(f.Get(schema.EntryAntenna)); !ok {
				return nil, fmt.Errorf("entry %d of the plan's history has an antenna that is no position [lon, lat, h]", i+1)
			}
		}
		if f.Has("epoch") {
			if e.Epoch, ok = f.Get("epoch").Float(); !ok || !(math.Abs(e.Epoch) < 1e5) {
				return nil, fmt.Errorf("entry %d of the plan's history has an epoch that is no year", i+1)
			}
		}
		if f.Has("shift_m") {
			s := f.Get("shift_m").Items()
			ok := len(s) == 3
			for k, to := range []*crs.Metres{&e.Shift.E, &e.Shift.N, &e.Shift.U} {
				if ok {
					var x float64
					x, ok = s[k].Float()
					*to = crs.Metres(x)
					ok = ok && math.Abs(x) <= 2*MaxMovementM
				}
			}
			if !ok {
				return nil, fmt.Errorf("entry %d of the plan's history has a shift_m that is no movement [east, north, up] in metres", i+1)
			}
		}
		out = append(out, e)
	}
	return out, nil
}

// BasePosition is where the plan says its base is: the stored coordinates,
// which are the base feature's point, and the true antenna position, which is
// the newest entry's of the history or, without one, the same point. The error
// says what the plan lacks.
func BasePosition(p *schema.Plan) (stored, antenna crs.Geodetic, err error) {
	b := p.Base()
	if b == nil {
		return stored, antenna, errors.New("the plan has no base: add a point with the role base")
	}
	vertex := b.Geometry.FlatCoords()
	if stored, err = p.Geodetic(vertex); err != nil {
		return stored, antenna, fmt.Errorf("the base: %w", err)
	}
	if len(vertex) < 3 || vertex[2] != vertex[2] {
		stored.H = crs.Metres(math.NaN())
	}
	antenna = stored
	history, err := History(p)
	if err != nil {
		return stored, antenna, err
	}
	off, _, err := HeldOffset(p)
	if err != nil {
		return stored, antenna, err
	}
	if ground, err := givenOf(p); err != nil {
		return stored, antenna, err
	} else if ground && off != (crs.Local{}) {
		stored, err = shiftPosition(p.CRS, antenna, off)
		return stored, antenna, err
	}
	if n := len(history); n > 0 {
		last := history[n-1]
		// The entry holds for the coordinates that it was written with; a base
		// feature edited since then is told of by the rule base-moved.
		antenna = last.Antenna
		if same, err := Between(p.CRS, last.Antenna, last.Stored); err == nil && math.Hypot(float64(same.E), float64(same.N)) < 1e-4 {
			antenna = stored
		}
	}
	return stored, antenna, nil
}

// Record returns the plan with the base, as it stands, added to its history. p
// is not changed.
func Record(p *schema.Plan, date string) (*schema.Plan, error) {
	stored, antenna, err := BasePosition(p)
	if err != nil {
		return nil, err
	}
	e := Entry{Date: date, Kind: EntryRecord, Stored: stored, Antenna: antenna}
	e.fromBase(p.Base())
	return withEntry(p, e), nil
}

func (e *Entry) fromBase(b *schema.Feature) {
	e.Frame = b.Attributes.Get(schema.PropFrame).Text()
	e.Epoch, _ = b.Float(schema.PropEpoch)
}

func withEntry(p *schema.Plan, e Entry) *schema.Plan {
	out := *p
	out.Attributes = p.Attributes.Clone()
	items := append([]schema.Value(nil), p.Attributes.Get(schema.PlanHistory).Items()...)
	out.Attributes.Set(schema.PlanHistory, schema.List(append(items, e.value())...))
	return &out
}

// Correct returns the plan as the machine must hold it after a movement: every
// feature at Q - d with d the antenna's movement less the stored coordinates'
// change, the base at what is now stored, and an entry in the history, so that
// a later correction starts from there and GroundOf finds the ground. p may be
// given either way and is not changed. The date is written as given.
func Correct(p *schema.Plan, m Movement, date string) (*schema.Plan, error) {
	if err := m.Check(); err != nil {
		return nil, err
	}
	p, err := MachineOf(p)
	if err != nil {
		return nil, err
	}
	stored, antenna, err := BasePosition(p)
	if err != nil {
		return nil, err
	}
	d := m.Displacement(HeldCoordinates)
	back := crs.Local{E: -d.E, N: -d.N, U: -d.U}
	out := *p
	out.Features = make([]*schema.Feature, len(p.Features))
	base := p.Base()
	for i, f := range p.Features {
		g := *f
		by := back
		if f == base {
			by = m.Stored
		}
		if f.Geometry != nil {
			if g.Geometry, err = shiftGeometry(p, f.Geometry, stored, by); err != nil {
				return nil, fmt.Errorf("%s: %w", describe(f), err)
			}
		}
		out.Features[i] = &g
	}
	e := Entry{Date: date, Kind: EntryCorrection, Shift: d}
	e.fromBase(base)
	if e.Stored, err = shiftPosition(p.CRS, stored, m.Stored); err != nil {
		return nil, err
	}
	if e.Antenna, err = shiftPosition(p.CRS, antenna, m.Antenna); err != nil {
		return nil, err
	}
	corrected := withEntry(&out, e)
	return corrected, markGiven(corrected)
}

// sameShiftM is how alike two movements of a base are the same one told twice:
// what is told has millimetres.
const sameShiftM = 0.0005

// Repeats finds the correction that a movement, told as so much from where the
// base was, would repeat: the newest one that moved anything, when it was by as
// much.
func Repeats(p *schema.Plan, m Movement) (Entry, bool, error) {
	entries, err := History(p)
	if err != nil {
		return Entry{}, false, err
	}
	d := m.Displacement(HeldCoordinates)
	size := func(v crs.Local) float64 { return math.Hypot(float64(v.E), float64(v.N)) }
	for i := len(entries) - 1; i >= 0; i-- {
		e := entries[i]
		if e.Kind != EntryCorrection || e.Shift == (crs.Local{}) {
			continue
		}
		off := crs.Local{E: e.Shift.E - d.E, N: e.Shift.N - d.N}
		sameUp := m.NoHeight || math.Abs(float64(e.Shift.U-d.U)) <= sameShiftM
		return e, size(off) <= sameShiftM && sameUp && (size(d) > sameShiftM || math.Abs(float64(d.U)) > sameShiftM), nil
	}
	return Entry{}, false, nil
}

// Words say what an entry did.
func (e Entry) Words() string {
	if e.Kind != EntryCorrection {
		return fmt.Sprintf("on %s its base was recorded", e.Date)
	}
	s := fmt.Sprintf("on %s it was corrected for a movement of E %+.3f N %+.3f m", e.Date, float64(e.Shift.E), float64(e.Shift.N))
	if e.Shift.U != 0 {
		s += fmt.Sprintf(" and %+.3f m in height", float64(e.Shift.U))
	}
	return s
}

// shiftPosition moves one position by east, north and up at itself.
func shiftPosition(c *crs.CRS, at crs.Geodetic, by crs.Local) (crs.Geodetic, error) {
	from := at
	if from.H != from.H {
		from.H = 0
	}
	grid, err := gridAt(c, from)
	if err != nil {
		return at, err
	}
	flat := []float64{float64(by.E), float64(by.N), float64(from.H)}
	if err := grid.ToGeodetic(flat, 3); err != nil {
		return at, err
	}
	return crs.Geodetic{Lon: crs.Degrees(flat[0]), Lat: crs.Degrees(flat[1]), H: at.H + by.U}, nil
}

// shiftGeometry moves a geometry by east, north and up at the base. Heights
// that are not there stay away.
func shiftGeometry(p *schema.Plan, g geom.T, base crs.Geodetic, by crs.Local) (geom.T, error) {
	if c, ok := g.(*geom.GeometryCollection); ok {
		out := geom.NewGeometryCollection()
		for _, part := range c.Geoms() {
			moved, err := shiftGeometry(p, part, base, by)
			if err != nil {
				return nil, err
			}
			if err := out.Push(moved); err != nil {
				return nil, err
			}
		}
		return out, nil
	}
	flat, stride := append([]float64(nil), g.FlatCoords()...), g.Stride()
	if base.H != base.H {
		base.H = 0
	}
	grid, err := gridAt(p.CRS, base)
	if err != nil {
		return nil, err
	}
	if err := p.CRS.ToGeodetic(flat, stride); err != nil {
		return nil, err
	}
	if err := grid.FromGeodetic(flat, stride); err != nil {
		return nil, err
	}
	for i := 0; i+1 < len(flat); i += stride {
		flat[i] += float64(by.E)
		flat[i+1] += float64(by.N)
		if g.Layout().ZIndex() == 2 {
			flat[i+2] += float64(by.U)
		}
	}
	if err := grid.ToGeodetic(flat, stride); err != nil {
		return nil, err
	}
	if err := p.CRS.FromGeodetic(flat, stride); err != nil {
		return nil, err
	}
	return schema.WithFlatCoords(g, flat)
}
