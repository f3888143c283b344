// Package horizon reads what somebody measured of the horizon at an antenna,
// with a clinometer or a phone: a list of azimuths and elevations.
package horizon

import (
	"fmt"
	"math"
	"sort"
	"strings"
	"sync"

	"swardline/convert/csv"
	"swardline/convert/wire"
	"swardline/crs/orbit"
)

// mostGap is the widest gap between neighbouring azimuths, in degrees: over a
// wider one nobody knows what stands there.
const mostGap = 60

const want = "two columns, azimuth from true north and elevation, in degrees, a row every 10 degrees or so all round"

// spellings are the words of the two columns, lower case.
var spellings = sync.OnceValue(func() map[string]string {
	return map[string]string{
		"azimuth": "azimuth", "az": "azimuth", "azimuth_deg": "azimuth", "bearing": "azimuth", "azimut": "azimuth",
		"elevation": "elevation", "el": "elevation", "elevation_deg": "elevation", "altitude": "elevation",
	}
})

// Read reads the list: columns azimuth and elevation in degrees, azimuths from
// true north, clockwise. Between neighbours the higher elevation counts, so
// that the sky comes out rather too small. Errors are *wire.InputError with the
// line.
func Read(data []byte, file string) (*orbit.Horizon, error) {
	fail := func(line int, format string, args ...any) error {
		return &wire.InputError{File: file, Line: line, Problem: fmt.Sprintf(format, args...), Mend: want}
	}
	az, el := -1, -1
	table, _, err := csv.OpenTable(data, wire.ReadOptions{Name: file}, func(columns []csv.Column) ([]string, error) {
		at := map[string]int{}
		for i, c := range columns {
			if key := spellings()[strings.ToLower(strings.TrimSpace(c.Header))]; key != "" {
				if _, twice := at[key]; twice {
					return nil, fmt.Errorf("two columns say %s", key)
				}
				at[key] = i
			}
		}
		if len(at) != 2 {
			return nil, fmt.Errorf("the header has no columns azimuth and elevation")
		}
		az, el = at["azimuth"], at["elevation"]
		numbers := make([]string, len(columns))
		numbers[az], numbers[el] = "plane", "plane"
		return numbers, nil
	})
	if err != nil {
		return nil, err
	}
	type sight struct{ az, el float64 }
	var list []sight
	for {
		ok, err := table.Next()
		if err != nil {
			return nil, err
		}
		if !ok {
			break
		}
		a, errA := table.Number(az, "plane")
		e, errE := table.Number(el, "plane")
		switch {
		case errA != nil || !(a >= 0 && a <= 360):
			return nil, fail(table.Line(), "%q is no azimuth from 0 to 360", table.Text(az))
		case errE != nil || !(e >= -90 && e <= 90):
			return nil, fail(table.Line(), "%q is no elevation from -90 to 90", table.Text(el))
		}
		list = append(list, sight{math.Mod(a, 360), e})
	}
	if len(list) == 0 {
		return nil, fail(0, "it has no rows")
	}
	sort.SliceStable(list, func(i, k int) bool { return list[i].az < list[k].az })
	h := &orbit.Horizon{}
	for i := range list {
		a, b := list[i], list[(i+1)%len(list)]
		gap := math.Mod(b.az-a.az+360, 360)
		if len(list) == 1 {
			gap = 360
		}
		if gap > mostGap {
			return nil, fail(0, "nothing was measured from azimuth %g to %g", a.az, b.az)
		}
		h.Hide(a.az, b.az, 0, math.Max(a.el, b.el))
	}
	return h, nil
}
