// Changes to a plan by a list of edits.

package job

import (
	"github.com/twpayne/go-geom"

	"swardline/convert/intake/edit"
	"swardline/schema"
	"swardline/validate"
)

// EditOptions are what edits of a plan need from validate: offsets and areas on the
// plan's ground, and the farthest that an outline is moved.
func EditOptions(p *schema.Plan, l schema.Limits) edit.Options {
	return edit.Options{
		OffsetMaxM: l.OffsetMaxM,
		Offset: func(f *schema.Feature, by float64) (geom.T, error) {
			return validate.OffsetOutline(p, f, by)
		},
		AreaM2: func(f *schema.Feature) (float64, bool) {
			return validate.AreaOf(p, f)
		},
	}
}

// LimitWords are the unit of a limit and what it is.
func LimitWords(name string) (unit, doc string) {
	for _, l := range schema.LimitTable {
		if l.Key == name {
			return l.Unit, l.Doc
		}
	}
	return "", ""
}
