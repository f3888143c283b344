// The base's history goes along when a plan is moved to another datum.

package schema

import (
	"math"

	"swardline/crs"
)

// Members of an entry of the history that hold a position, [longitude,
// latitude] in degrees on the plan's datum, or those and a height in metres.
const (
	EntryStored  = "stored"
	EntryAntenna = "antenna"
)

// movedHistory is the plan's history with its positions on the datum that the
// operation leads to; ok is false when there is nothing to move. An entry that
// named the plan's frame says that it is in the new one. One in a frame or at an
// epoch of its own stays, as does one that cannot be moved: it then says which
// frame it is in.
func (p *Plan) movedHistory(op *crs.Operation) (moved Value, ok bool) {
	old := p.Attributes.Get(PlanHistory)
	if old.Kind() != KindList || !op.MovesDatum() {
		return old, false
	}
	from, err := p.Reference()
	if err != nil {
		return old, false
	}
	target, _ := crs.FrameOf(op.To().Horizontal())
	// Where the steps differ from place to place, those of the base.
	for f := range p.each() {
		if f.Role == RoleBase && f.Active() {
			op = p.StepsFor(op, f)
			break
		}
	}
	entries := make([]Value, len(old.Items()))
	for i, v := range old.Items() {
		entries[i] = v
		if v.Kind() == KindObject {
			entries[i] = Object(movedEntry(v.Fields().Clone(), from, target, op))
		}
	}
	return List(entries...), true
}

// movedEntry moves one entry, which is its own to change.
func movedEntry(e Attributes, from Reference, target crs.Frame, op *crs.Operation) Attributes {
	own := e.Get(PropFrame).Text()
	if f, err := crs.ParseFrame(own); own != "" && (err != nil || f != from.Frame) {
		return e
	}
	epoch, told := e.Get(PropEpoch).Float()
	stays := told && from.Epoch != 0 && epoch != from.Epoch && from.Frame.Dynamic()
	moved := map[string]Value{}
	for _, key := range []string{EntryStored, EntryAntenna} {
		if v := e.Get(key); !v.IsAbsent() {
			to, ok := movedPosition(v, op)
			moved[key] = to
			stays = stays || !ok
		}
	}
	switch {
	case stays:
		if from.Frame.Known() {
			e.Set(PropFrame, String(from.Frame.Name()))
		}
		return e
	case own != "" && target.Known():
		e.Set(PropFrame, String(target.Name()))
	default:
		e.Delete(PropFrame)
	}
	for key, v := range moved {
		e.Set(key, v)
	}
	if told && op.ToEpoch() != 0 {
		e.Set(PropEpoch, Float(op.ToEpoch()))
	}
	return e
}

// movedPosition moves a position of an entry; ok is false for what is none, or
// none that the operation can move.
func movedPosition(v Value, op *crs.Operation) (moved Value, ok bool) {
	g, ok := EntryPosition(v)
	if !ok {
		return v, false
	}
	at := []float64{float64(g.Lon), float64(g.Lat), float64(g.H)}
	if op.ApplyDatum(at, 3) != nil {
		return v, false
	}
	return PositionOfEntry(crs.Geodetic{Lon: crs.Degrees(at[0]), Lat: crs.Degrees(at[1]), H: crs.Metres(at[2])}), true
}

// EntryPosition reads the position of an entry, its height NaN where it has none;
// ok is false for what is no place on earth.
func EntryPosition(v Value) (g crs.Geodetic, ok bool) {
	items := v.Items()
	if len(items) != 2 && len(items) != 3 {
		return g, false
	}
	at := [3]float64{2: math.NaN()}
	for i, item := range items {
		if at[i], ok = item.Float(); !ok {
			return g, false
		}
	}
	ok = math.Abs(at[0]) <= 180 && math.Abs(at[1]) <= 90
	return crs.Geodetic{Lon: crs.Degrees(at[0]), Lat: crs.Degrees(at[1]), H: crs.Metres(at[2])}, ok
}

// PositionOfEntry writes one. Twelve decimals of a degree are a tenth of a
// micrometre: the ground is worked out from the difference of two.
func PositionOfEntry(g crs.Geodetic) Value {
	items := []Value{rounded(float64(g.Lon), 12), rounded(float64(g.Lat), 12)}
	if g.H == g.H {
		items = append(items, rounded(float64(g.H), 5))
	}
	return List(items...)
}

// rounded keeps so many decimals.
func rounded(v float64, decimals int) Value {
	scale := math.Pow10(decimals)
	return Float(math.Round(v*scale) / scale)
}
