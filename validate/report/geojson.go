// The findings as GeoJSON, to lay over the plan.

package report

import (
	"io"

	"swardline/validate"
)

// GeoJSON writes the findings as an RFC 7946 FeatureCollection: a Point for
// every finding that has a place in degrees, a LineString for what it traces,
// and a feature without geometry when it has no such place. Degrees are on the
// datum of the plan's CRS, which the property "crs" names.
func (s *Set) GeoJSON(w io.Writer) error { return writeJSON(w, s.collection()) }

func (s *Set) collection() *findingCollection {
	out := &findingCollection{Type: "FeatureCollection", Features: []findingFeature{}, Interrupted: s.Interrupted}
	for i := range s.Plans {
		p := &s.Plans[i]
		for k := range p.Findings {
			f := p.Findings[k]
			trace := f.Trace
			f.Trace = nil
			one := findingFeature{Type: "Feature", Properties: findingProperties{p.Path, p.CRS, "place", &f}}
			if f.At != nil && f.At.Lon != nil && f.At.Lat != nil {
				one.Geometry = &findingGeometry{"Point", [2]float64{*f.At.Lon, *f.At.Lat}}
			}
			out.Features = append(out.Features, one)
			if !traceable(trace) {
				continue
			}
			line := make([][2]float64, len(trace))
			for n := range trace {
				line[n] = [2]float64{*trace[n].Lon, *trace[n].Lat}
			}
			one.Geometry, one.Properties = &findingGeometry{"LineString", line}, findingProperties{p.Path, p.CRS, "trace", &f}
			out.Features = append(out.Features, one)
		}
	}
	return out
}

// The members of the collection, by their names in RFC 7946.
type (
	findingCollection struct {
		Type     string           `json:"type"`
		Features []findingFeature `json:"features"`
		// Interrupted is a foreign member, RFC 7946, 6.1.
		Interrupted *Interruption `json:"interrupted,omitempty"`
	}
	findingFeature struct {
		Type       string           `json:"type"`
		Geometry   *findingGeometry `json:"geometry"`
		Properties any              `json:"properties"`
	}
	findingGeometry struct {
		Type        string `json:"type"`
		Coordinates any    `json:"coordinates"`
	}
	findingProperties struct {
		Path    string   `json:"path"`
		CRS     string   `json:"crs,omitempty"`
		Shows   string   `json:"shows"`
		Finding *Finding `json:"finding"`
	}
)

func traceable(trace []validate.Place) bool {
	for i := range trace {
		if trace[i].Lon == nil || trace[i].Lat == nil {
			return false
		}
	}
	return len(trace) >= 2
}
