// Operation: the steps from one CRS to another, named, with their accuracy.

package crs

// OperationOptions say what the user allows and knows.
type OperationOptions struct {
	// FromEpoch and ToEpoch are decimal years, 0 when not known.
	FromEpoch, ToEpoch float64
	// Near is a place in the plan, for choosing the best datum step; nil when
	// not known.
	Near *Geodetic
	// AcceptAccuracy is the worst accuracy in metres the user will live with;
	// 0 means no limit was named.
	AcceptAccuracy Metres
}

// Operation takes coordinates from one CRS to another. It is immutable and safe
// to share.
type Operation struct {
	from, to *CRS
	toEpoch  float64
}

// NewOperation returns the best operation between two CRSs at the place.
func NewOperation(from, to *CRS, o OperationOptions) (*Operation, error) {
	return &Operation{from: from, to: to, toEpoch: o.ToEpoch}, nil
}

// From is the source CRS.
func (op *Operation) From() *CRS { return op.from }

// To is the target CRS.
func (op *Operation) To() *CRS { return op.to }

// ToEpoch is the epoch of the results as a decimal year, 0 when the operation
// does not touch it.
func (op *Operation) ToEpoch() float64 { return op.toEpoch }

// Apply transforms the coordinates flat in place, stride numbers a point: x, y
// and, from stride 3 up, height. A height of NaN means absent and stays NaN;
// the rest of the point is then computed at height 0. The error names the first
// point that could not be transformed; flat is then unspecified.
func (op *Operation) Apply(flat []float64, stride int) error { return nil }
