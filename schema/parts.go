// Plans whose features are not held: some of them stand for all.

package schema

import (
	"errors"
	"iter"
	"slices"

	"swardline/crs"
)

// standing is what a plan knows of features that it does not hold.
type standing struct {
	all iter.Seq[*Feature]
}

// each are all features, held or not.
func (p *Plan) each() iter.Seq[*Feature] {
	if p.stands != nil {
		return p.stands.all
	}
	return slices.Values(p.Features)
}

// moved are the features once they are moved. One that cannot be is left out:
// who moves them all finds it.
func (s *standing) moved(p, to *Plan, op *crs.Operation) *standing {
	if s == nil {
		return nil
	}
	return &standing{func(yield func(*Feature) bool) {
		for f := range s.all {
			if g, err := p.TransformFeature(op, f); err == nil && !yield(g) {
				return
			}
		}
	}}
}

// A Selection picks the features that stand for all of a plan that is read part
// by part: those that Base, Somewhere, Reference and JudgeAxes look at, and one
// with a height. The zero Selection is ready for use.
type Selection struct {
	picked   []*Feature
	vertices int
	bases    int
	height   bool
	placed   bool
}

// mostBases is how many bases are held.
const mostBases = 1000

// ErrTooManyBases says that the bases of a plan are too many to stand for it.
var ErrTooManyBases = errors.New("the plan has too many bases")

// Add looks at the next features of a plan; of p only the CRS counts.
func (s *Selection) Add(p *Plan, features []*Feature) error {
	for _, f := range features {
		pick := s.vertices < axesVertices
		if f.Role == RoleBase {
			if s.bases++; s.bases > mostBases {
				return ErrTooManyBases
			}
			pick = true
		}
		eachFlat(f, f.Geometry, func(_ *Feature, flat []float64, stride int) bool {
			s.vertices += len(flat) / stride
			if !s.height && anyHeight(flat, stride) {
				s.height, pick = true, true
			}
			return true
		})
		if !s.placed && p.CRS != nil {
			if v := firstVertex(f.Geometry); v != nil {
				if _, err := p.Geodetic(v); err == nil {
					s.placed, pick = true, true
				}
			}
		}
		if pick {
			s.picked = append(s.picked, f)
		}
	}
	return nil
}

// Stand gives the plan the features picked, for all of them.
func (s *Selection) Stand(p *Plan, all iter.Seq[*Feature]) {
	p.Features, p.stands = s.picked, &standing{all}
}
