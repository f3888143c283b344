// Package gridfile writes invented grid files for tests.
package gridfile

import (
	"encoding/binary"
	"math"
)

// GTX is a grid of heights in GTX form (NOAA VDatum), from its south-west
// corner north by rows; a NaN is a node without a value.
func GTX(west, south, step float64, nx, ny int, value func(i, j int) float64) []byte {
	const none = -88.8888
	var b []byte
	for _, v := range []float64{south, west, step, step} {
		b = binary.BigEndian.AppendUint64(b, math.Float64bits(v))
	}
	b = binary.BigEndian.AppendUint32(b, uint32(ny))
	b = binary.BigEndian.AppendUint32(b, uint32(nx))
	for j := range ny {
		for i := range nx {
			v := value(i, j)
			if v != v {
				v = none
			}
			b = binary.BigEndian.AppendUint32(b, math.Float32bits(float32(v)))
		}
	}
	return b
}
