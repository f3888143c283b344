// Reference systems: which are known, what one of them is, and which a local
// would use.

package job

import (
	"strings"

	"swardline/crs"
)

// ListSystems gives the systems that have every word in code, name, area, datum
// or method.
func (j *Job) ListSystems(words []string) ([]*crs.CRS, error) {
	found := crs.List(words...)
	if len(found) == 0 {
		return nil, Refuse("fewer or other words; the names are the registry's", "no system has all of the words %q", strings.Join(words, " "))
	}
	return found, nil
}

// SystemAt is what a system does at a place.
type SystemAt struct {
	Place    crs.Geodetic // H is NaN when it was not told
	Covered  bool         // inside the area of use
	Plane    bool         // false for degrees and geocentric systems, which have no more
	E, N     float64      // in the system's unit
	Scale    float64      // length on the grid of a metre on the ellipsoid
	Turn     float64      // convergence: grid north, degrees clockwise from true north
	Stretch  crs.Stretch  // what lengths and areas become
	Combined float64      // length on the grid of a metre on the ground at H; with H only
}

// ShowSystem resolves a system and, where at is not "", what it does at a
// place, LAT,LON or LAT,LON,H.
func (j *Job) ShowSystem(name, at string) (*crs.CRS, *SystemAt, error) {
	c, err := j.system("crs show", name, nil)
	if err != nil || at == "" {
		return c, nil, err
	}
	g, err := j.position("at", at)
	if err != nil {
		return nil, nil, err
	}
	out := &SystemAt{Place: g, Covered: c.Covers(g.Lon, g.Lat), Plane: c.Kind() == crs.KindProjected || c.Kind() == crs.KindSite}
	if !out.Plane {
		return c, out, nil
	}
	flat := []float64{float64(g.Lon), float64(g.Lat)}
	if err := c.FromGeodetic(flat, 2); err != nil {
		return c, nil, Refuse("look at the area of use", "%w", err)
	}
	out.E, out.N = flat[0], flat[1]
	if out.Scale, out.Turn, err = c.ScaleAt(g); err != nil {
		return c, nil, Refuse("", "%w", err)
	}
	if out.Stretch, err = c.StretchAt(g); err != nil {
		return c, nil, Refuse("", "%w", err)
	}
	if g.H == g.H {
		if out.Combined, err = c.CombinedFactorAt(g); err != nil {
			return c, nil, Refuse("", "%w", err)
		}
	}
	return c, out, nil
}

// NearSystems ranks the grids that a local would use at LAT,LON, most at most,
// 0 for all.
func (j *Job) NearSystems(place string, most int) ([]crs.Suggestion, error) {
	const mend = "the order is latitude, longitude"
	g, err := j.position("crs near", place)
	if err != nil {
		return nil, err
	}
	found, err := crs.Near(g.Lat, g.Lon)
	if err != nil {
		return nil, Refuse(mend, "%w", err)
	}
	if len(found) == 0 {
		return nil, Refuse(mend, "no grid covers %s", place)
	}
	if most > 0 && len(found) > most {
		found = found[:most]
	}
	return found, nil
}
