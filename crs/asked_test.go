// What the tests ask an operation for, where most of it is left open.

package crs

type asked struct {
	FromEpoch, ToEpoch   float64
	Near                 *Geodetic // nil: nowhere
	AcceptAccuracy       Metres    // 0: any
	AllowUnknownAccuracy bool
	Grids                []*GridShift
	Plate                string
}

func (a asked) parts() (Allowed, Places, Epochs, Aids) {
	allow, at := Allowed{Accuracy: AnyAccuracy, Unknown: a.AllowUnknownAccuracy}, Nowhere()
	if a.AcceptAccuracy != 0 {
		allow.Accuracy = a.AcceptAccuracy
	}
	if a.Near != nil {
		at = At(a.Near.Lon, a.Near.Lat)
	}
	return allow, at, Epochs{a.FromEpoch, a.ToEpoch}, Aids{Grids: a.Grids, Plate: a.Plate}
}

func (a asked) operation(from, to *CRS) (*Operation, error) {
	allow, at, when, with := a.parts()
	return NewOperation(from, to, allow, at, when, with)
}

func (a asked) frameShift(from, to Frame, at Geodetic) (FrameMove, error) {
	allow, _, when, with := a.parts()
	return FrameShift(from, to, allow, at, when, with)
}

func (a asked) plugin(c *CRS) (*Plugin, error) {
	allow, at, when, with := a.parts()
	return NewPlugin(c, allow, at, when, with)
}
