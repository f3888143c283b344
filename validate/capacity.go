// How long mowing takes.

package validate

import (
	"fmt"
	"math"
)

// Capacity is what decides how long mowing takes, all of it told by the user:
// an efficiency is the machine's and the site's own, and has no default.
type Capacity struct {
	SpeedKMH, WidthM float64
	// Efficiency is the share of the ground that speed and width promise which
	// is really mown, from overlap, turns and ways: above 0, at most 1.
	Efficiency float64
	// WeekHours is how many hours a week the machine may work, 0 for not told,
	// and Mowings how often a week each zone is mown, 1 when 0.
	WeekHours, Mowings float64
}

// Check gives an error for what is no capacity.
func (c Capacity) Check() error {
	switch {
	case !(c.SpeedKMH > 0 && c.SpeedKMH <= 50):
		return fmt.Errorf("a speed is above 0 and at most 50 km/h, not %g", c.SpeedKMH)
	case !(c.WidthM > 0 && c.WidthM <= 20):
		return fmt.Errorf("a width is above 0 and at most 20 m, not %g", c.WidthM)
	case !(c.Efficiency > 0 && c.Efficiency <= 1):
		return fmt.Errorf("an efficiency is above 0 and at most 1, not %g", c.Efficiency)
	case !(c.WeekHours >= 0 && c.WeekHours <= 168):
		return fmt.Errorf("a week has from 0 to 168 hours, not %g", c.WeekHours)
	case !(c.Mowings >= 0 && c.Mowings <= 100):
		return fmt.Errorf("a zone is mown from 0 to 100 times a week, not %g", c.Mowings)
	}
	return nil
}

// HectaresPerHour is the field capacity: speed in km/h times width in m times
// efficiency over 10 (ASABE EP496, from memory).
func (c Capacity) HectaresPerHour() float64 { return c.SpeedKMH * c.WidthM * c.Efficiency / 10 }

// Hours is how long an area in square metres takes once.
func (c Capacity) Hours(areaM2 float64) float64 { return areaM2 / 10000 / c.HectaresPerHour() }

// Needed is how many hours a week an area takes, and Suffices whether the week
// has them: exactly enough is enough.
func (c Capacity) Needed(areaM2 float64) float64 {
	if c.Mowings == 0 {
		c.Mowings = 1
	}
	return c.Hours(areaM2) * c.Mowings
}

// Suffices reports whether the week's hours are enough; told is false when the
// week was not told.
func (c Capacity) Suffices(areaM2 float64) (enough, told bool) {
	return c.Needed(areaM2) <= c.WeekHours+1e-9, c.WeekHours > 0 && !math.IsNaN(areaM2)
}
