// Marks found in a drawing by their names.

package marks

import (
	"fmt"
	"math"
	"sort"
	"strings"
	"unicode"

	"github.com/twpayne/go-geom"

	"swardline/schema"
)

// textHeights is how many heights of a text its point may stand from it, and
// textWithin how much of the drawing's extent at the most. Choices of this
// program.
const (
	textHeights = 6
	textWithin  = 0.05
)

// Found is what Find did.
type Found struct {
	// Rows are the marks with a place in the drawing, in their order.
	Rows []Row
	// Notes say where each was found when its name was not written the same.
	Notes []string
	// Missing are names of the list that the drawing does not have, or has in
	// more than one place, with the reason; Unused are names of points in the
	// drawing that the list does not have, the first 20.
	Missing, Unused []string
}

// candidate is a named place of the drawing.
type candidate struct {
	name string
	at   [3]float64 // in metres of the drawing; z NaN when there is none
	what string
	rank int // 0 for a point of that name, 1 for one beside a text
}

// Find looks up the marks without x and y in a drawing as its reader gave it: a
// point, a block or an attribute of one that has the name, or the point or
// block nearest to a text that is the name. Names are compared in any case,
// without spaces and marks between letters and digits, and without zeros before
// a number; one that is written the same goes first. unit is the metres in a
// unit of the drawing.
func Find(rows []Row, p *schema.Plan, unit float64) Found {
	var out Found
	list := candidates(p)
	used := map[int]bool{}
	for _, row := range rows {
		if row.X == row.X {
			out.Rows = append(out.Rows, row)
			continue
		}
		i, why := pick(row.Name, list)
		if i < 0 {
			out.Missing = append(out.Missing, fmt.Sprintf("%s (%s)", row.Name, why))
			continue
		}
		c := &list[i]
		if used[i] {
			out.Missing = append(out.Missing, fmt.Sprintf("%s (the same point as another mark of the list)", row.Name))
			continue
		}
		used[i] = true
		row.X, row.Y = c.at[0]/unit, c.at[1]/unit
		if !(row.Z == row.Z) && c.at[2] == c.at[2] {
			row.Z = c.at[2] / unit
		}
		if c.name != row.Name {
			out.Notes = append(out.Notes, fmt.Sprintf("mark %s of the list is %q in the drawing", row.Name, c.name))
		}
		out.Rows = append(out.Rows, row)
	}
	seen := map[string]bool{}
	for i, c := range list {
		if k := key(c.name); c.rank == 0 && !used[i] && !seen[k] && !listed(rows, k) && len(out.Unused) < 20 {
			seen[k] = true
			out.Unused = append(out.Unused, c.name)
		}
	}
	return out
}

func listed(rows []Row, k string) bool {
	for _, r := range rows {
		if key(r.Name) == k {
			return true
		}
	}
	return false
}

// pick chooses the one place of a name.
func pick(name string, list []candidate) (at int, why string) {
	for _, same := range []func(string) bool{
		func(s string) bool { return strings.TrimSpace(s) == name },
		func(s string) bool { return key(s) == key(name) },
	} {
		var found []int
		rank := math.MaxInt
		for i := range list {
			if c := &list[i]; same(c.name) && c.rank <= rank {
				if c.rank < rank {
					found, rank = nil, c.rank
				}
				apart := true
				for _, k := range found {
					apart = apart && list[k].at != c.at
				}
				if apart {
					found = append(found, i)
				}
			}
		}
		switch len(found) {
		case 0:
		case 1:
			return found[0], ""
		default:
			a, b := &list[found[0]], &list[found[1]]
			return -1, fmt.Sprintf("in %d places of the drawing, such as %q and %q", len(found), a.what, b.what)
		}
	}
	return -1, "not in the drawing"
}

// key is a name as it is compared: small letters and digits, numbers without
// zeros before them.
func key(s string) string {
	var b strings.Builder
	digits := false // within a number whose first digits have been written
	list := []rune(s)
	for i, r := range list {
		switch {
		case unicode.IsDigit(r):
			if r == '0' && !digits && i+1 < len(list) && unicode.IsDigit(list[i+1]) {
				continue
			}
			digits = true
			b.WriteRune(r)
		case unicode.IsLetter(r):
			digits = false
			b.WriteRune(unicode.ToLower(r))
		default:
			digits = false
		}
	}
	return b.String()
}

// candidates lists the named places of a drawing.
func candidates(p *schema.Plan) []candidate {
	var out []candidate
	var points [][3]float64
	low, high := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	place := func(f *schema.Feature) ([3]float64, bool) {
		g, ok := f.Geometry.(*geom.Point)
		if !ok || g.Empty() {
			return [3]float64{}, false
		}
		at := [3]float64{g.X(), g.Y(), math.NaN()}
		if g.Layout().ZIndex() == 2 {
			at[2] = g.FlatCoords()[2]
		}
		return at, true
	}
	isText := func(f *schema.Feature) bool {
		e := f.Attributes.Get(schema.PropEntity).Text()
		return e == "TEXT" || e == "MTEXT"
	}
	for _, f := range p.Features {
		at, ok := place(f)
		if !ok || isText(f) {
			continue
		}
		points = append(points, at)
		for k := range low {
			low[k], high[k] = math.Min(low[k], at[k]), math.Max(high[k], at[k])
		}
		add := func(name string) {
			if strings.TrimSpace(name) != "" {
				out = append(out, candidate{name: strings.TrimSpace(name), at: at, what: fmt.Sprintf("%s at %.3f, %.3f", name, at[0], at[1])})
			}
		}
		add(f.Name)
		if id := f.ID.Text(); id != f.Name {
			add(id)
		}
		for _, a := range f.Attributes.Get(schema.PropAttribs).Fields() {
			if a.Value.Text() != f.Name {
				add(a.Value.Text())
			}
		}
	}
	sort.SliceStable(points, func(i, j int) bool { return points[i][0] < points[j][0] })
	for _, f := range p.Features {
		at, ok := place(f)
		if !ok || !isText(f) || strings.TrimSpace(f.Name) == "" {
			continue
		}
		most := textWithin * math.Hypot(high[0]-low[0], high[1]-low[1])
		if h, ok := f.Float(schema.PropTextHeight); ok && h > 0 {
			most = math.Min(most, textHeights*h)
		}
		if q, ok := nearest(points, at, most); ok {
			out = append(out, candidate{name: strings.TrimSpace(f.Name), at: q, rank: 1, what: fmt.Sprintf("%s at %.3f, %.3f", f.Name, q[0], q[1])})
		}
	}
	return out
}

// nearest returns the point nearest to a position, within most.
func nearest(points [][3]float64, at [3]float64, most float64) (q [3]float64, ok bool) {
	i := sort.Search(len(points), func(i int) bool { return points[i][0] >= at[0]-most })
	for ; i < len(points) && points[i][0] <= at[0]+most; i++ {
		if d := math.Hypot(points[i][0]-at[0], points[i][1]-at[1]); d <= most {
			most, q, ok = d, points[i], true
		}
	}
	return q, ok
}
