// Marks measured again, matched with the plan's own by name.

package validate

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"github.com/twpayne/go-geom"

	"swardline/crs"
	"swardline/crs/adjust"
	"swardline/schema"
)

// PairMarks matches the points of again with the marks of the plan by name (or
// by id where there is no name) and returns them as positions east, north and
// up of one origin, under the plan's names. A name that is the same to the
// letter is taken first; the others match as schema.FoldMark has them, which a
// note tells. Both plans must be in one CRS. Notes name what has no partner.
// The error is for no common mark, or a name that stands twice, or that two
// marks could be meant by.
func PairMarks(p, again *schema.Plan) (pairs []adjust.ShiftMark, notes []string, err error) {
	before, err := markPoints(p, func(f *schema.Feature) bool { return f.Role == schema.RoleMark })
	if err != nil {
		return nil, nil, fmt.Errorf("the plan: %w", err)
	}
	if len(before) == 0 {
		return nil, nil, fmt.Errorf("the plan has no marks (points with the role mark) to compare with")
	}
	after, err := markPoints(again, func(*schema.Feature) bool { return true })
	if err != nil {
		return nil, nil, err
	}
	partner, notes, err := markPartners(before, after)
	if err != nil {
		return nil, nil, err
	}
	names := slices.Sorted(maps.Keys(partner))
	if len(names) == 0 {
		return nil, nil, fmt.Errorf("no name is shared with the plan's marks (%s)", strings.Join(slices.Sorted(maps.Keys(before)), ", "))
	}
	origin, err := markGeodetic(p, before[names[0]])
	if err != nil {
		return nil, nil, err
	}
	local := func(from *schema.Plan, vertex []float64) (crs.Local, bool, error) {
		g, err := markGeodetic(from, vertex)
		if err != nil {
			return crs.Local{}, false, err
		}
		v, err := localTo(p, origin, g)
		return v, g.H == g.H, err
	}
	for _, name := range names {
		b, hb, err := local(p, before[name])
		if err != nil {
			return nil, nil, fmt.Errorf("mark %s: %w", name, err)
		}
		a, ha, err := local(again, after[partner[name]])
		if err != nil {
			return nil, nil, fmt.Errorf("mark %s: %w", name, err)
		}
		pairs = append(pairs, adjust.ShiftMark{Name: name, Before: offset(b), After: offset(a), NoHeight: !hb || !ha || origin.H != origin.H})
	}
	return pairs, notes, nil
}

// markPartners finds for marks of the plan the name that the list measured
// again has for them. Notes tell of names that are written otherwise, and of
// those that are no mark's.
func markPartners(before, after map[string][]float64) (partner map[string]string, notes []string, err error) {
	partner = map[string]string{}
	folded := map[string][]string{} // marks of the plan
	for _, name := range slices.Sorted(maps.Keys(before)) {
		key := schema.FoldMark(name)
		folded[key] = append(folded[key], name)
		if _, same := after[name]; same {
			partner[name] = name
		}
	}
	for _, name := range slices.Sorted(maps.Keys(after)) {
		if partner[name] == name {
			continue
		}
		meant := folded[schema.FoldMark(name)]
		switch {
		case len(meant) == 0:
			notes = append(notes, fmt.Sprintf("%q is no mark of the plan", name))
		case len(meant) > 1:
			return nil, nil, fmt.Errorf("%q could be any of the plan's marks %s: write it as the plan does", name, quoted(meant))
		case partner[meant[0]] != "":
			return nil, nil, fmt.Errorf("the mark %q stands twice, as %s", meant[0], quoted([]string{partner[meant[0]], name}))
		default:
			partner[meant[0]] = name
			notes = append(notes, fmt.Sprintf("%q is taken for the plan's mark %q", name, meant[0]))
		}
	}
	return partner, notes, nil
}

// quoted lists names in quotes.
func quoted(names []string) string {
	var out []string
	for _, n := range names {
		out = append(out, fmt.Sprintf("%q", n))
	}
	return strings.Join(out, " and ")
}

func offset(v crs.Local) adjust.Offset {
	return adjust.Offset{E: float64(v.E), N: float64(v.N), U: float64(v.U)}
}

// markGeodetic is a mark's position; without a CRS its plane coordinates serve
// as they are, carried in the fields of a Geodetic.
func markGeodetic(p *schema.Plan, vertex []float64) (crs.Geodetic, error) {
	h := crs.Metres(math.NaN())
	if len(vertex) > 2 {
		h = crs.Metres(vertex[2])
	}
	if p.CRS == nil {
		return crs.Geodetic{Lon: crs.Degrees(vertex[0]), Lat: crs.Degrees(vertex[1]), H: h}, nil
	}
	g, err := p.Geodetic(vertex)
	g.H = h
	return g, err
}

func localTo(p *schema.Plan, origin, g crs.Geodetic) (crs.Local, error) {
	if p.CRS != nil {
		return Between(p.CRS, origin, g)
	}
	v := crs.Local{E: crs.Metres(g.Lon - origin.Lon), N: crs.Metres(g.Lat - origin.Lat)}
	if g.H == g.H && origin.H == origin.H {
		v.U = g.H - origin.H
	}
	return v, nil
}

func markPoints(p *schema.Plan, want func(*schema.Feature) bool) (map[string][]float64, error) {
	out := map[string][]float64{}
	for _, f := range p.Features {
		point, ok := f.Geometry.(*geom.Point)
		if !ok || point.Empty() || !want(f) || !f.Active() {
			continue
		}
		name := f.Name
		if name == "" {
			name = f.ID.Text()
		}
		if name == "" {
			continue
		}
		if _, twice := out[name]; twice {
			return nil, fmt.Errorf("the mark %q stands twice", name)
		}
		out[name] = point.FlatCoords()
	}
	return out, nil
}
