// How far things reach.

package schema

import "math"

// Extent is an upright box about positions, in their own unit: x or longitude
// first. Empty when nothing is in it, as Extent{Empty: true} starts.
type Extent struct {
	Empty bool       `json:"empty,omitempty"`
	Min   [2]float64 `json:"min"`
	Max   [2]float64 `json:"max"`
}

// Add makes the extent reach a position.
func (b *Extent) Add(x, y float64) {
	if b.Empty {
		*b = Extent{Min: [2]float64{x, y}, Max: [2]float64{x, y}}
		return
	}
	b.Min = [2]float64{math.Min(b.Min[0], x), math.Min(b.Min[1], y)}
	b.Max = [2]float64{math.Max(b.Max[0], x), math.Max(b.Max[1], y)}
}

// Size is the larger side.
func (b Extent) Size() float64 { return math.Max(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]) }
