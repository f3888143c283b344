// Areas and lengths: what there is, how large and how long, and where.

package sheet

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"

	"github.com/paulmach/orb"

	"swardline/schema"
)

// Titles of the tables.
const (
	titleFindings  = "Findings"
	titleZones     = "Zones"
	titleBoundary  = "Boundary"
	titleKeepouts  = "Keep-outs"
	titleHazards   = "Hazards"
	titleMarks     = "Marks"
	titleBase      = "Base"
	titleDock      = "Dock"
	titleEdges     = "Edges"
	titleCable     = "Outlet and cable"
	titleCorridors = "Corridors"
)

// Section is one table.
type Section struct {
	Title   string
	Columns []Column
	Rows    []Row
	// Note explains its columns, "" for nothing to explain.
	Note string
}

// Column has a heading and its share of the width. Figures stand right.
type Column struct {
	Head  string
	Share float64
	Right bool
}

// Row is one line; Feature is its index in the drawing, -1 for a sum.
type Row struct {
	Feature int
	Cells   []string
}

// Schedule returns the tables of the features that keep reports true, those
// with nothing in them left out.
func (d *Drawing) Schedule(keep func(i int) bool) []Section {
	var out []Section
	add := func(title string, role schema.Role, columns []Column, cells func(f *Feature) []string) *Section {
		s := Section{Title: title, Columns: columns}
		for i := range d.Features {
			f := &d.Features[i]
			if f.Role == role && (keep == nil || keep(i)) {
				s.Rows = append(s.Rows, Row{i, cells(f)})
			}
		}
		if len(s.Rows) == 0 {
			return nil
		}
		out = append(out, s)
		return &out[len(out)-1]
	}
	num := func(head string, share float64) Column { return Column{head, share, true} }
	text := func(head string, share float64) Column { return Column{head, share, false} }
	zones := add(titleZones, schema.RoleZone, []Column{text("Zone", 2.8), num("gross m²", 1.5), num("net m²", 1.3), num("hard edge m", 2.1), num("uncut m²", 1.6)},
		func(f *Feature) []string {
			return []string{f.Label(), area(f.AreaM2), area(f.NetM2), metres(f.HardEdgeM), metres(f.UncutM2)}
		})
	if zones != nil {
		zones.Note = "Net: without keep-outs. Uncut: strip left along walls, kerbs, fences."
	}
	if zones != nil && len(zones.Rows) > 1 {
		var sums [4]float64
		for _, r := range zones.Rows {
			f := &d.Features[r.Feature]
			for i, v := range []float64{f.AreaM2, f.NetM2, f.HardEdgeM, f.UncutM2} {
				sums[i] += v
			}
		}
		zones.Rows = append(zones.Rows, Row{-1, []string{"Sum", area(sums[0]), area(sums[1]), metres(sums[2]), metres(sums[3])}})
	}
	dock := add(titleDock, schema.RoleDock, []Column{text("Dock", 2.1), text("position", 5.2), num("heading°", 1.8), num("line-up m", 1.8)}, func(f *Feature) []string {
		return []string{f.Label(), d.position(f), figure(f.HeadingDeg, 1), figure(f.StandoffM, 1)}
	})
	if dock != nil {
		from := "true north"
		if !d.Grid.NorthKnown {
			from = "the y axis"
		}
		dock.Note = "Heading: degrees clockwise from " + from + ", the way the machine faces in the dock. Line-up: how far before the dock, on that line, it straightens to drive in."
	}
	add(titleBase, schema.RoleBase, []Column{text("Base", 2.1), text("position", 5.6), num("h m", 1.4), text("\u00a0frame, epoch", 2.9)}, func(f *Feature) []string {
		frame := f.Frame
		if frame == "" {
			frame = "frame unknown"
		}
		if f.Epoch != "" {
			frame += ", " + f.Epoch
		} else {
			frame += ", date of the coordinates unknown"
		}
		if !math.IsNaN(f.AntennaM) {
			frame += ", antenna " + figure(f.AntennaM, 2) + " m above ground"
		}
		return []string{f.Label(), d.position(f), figure(f.ElevationM, 2), "\u00a0" + frame}
	})
	add(titleKeepouts, schema.RoleKeepout, []Column{text("Keep-out", 3), num("m²", 1.1), text("\u00a0place", 4.9)}, func(f *Feature) []string {
		return []string{f.Label(), area(f.AreaM2), "\u00a0" + d.circleOr(f)}
	})
	add(titleCorridors, schema.RoleCorridor, []Column{text("Corridor", 6), num("length m", 2)}, func(f *Feature) []string {
		return []string{f.Label(), metres(f.LengthM)}
	})
	marks := []Column{text("Mark", 2.6), text("position", 6), num("h m", 1.6)}
	told := slices.ContainsFunc(d.Features, func(f Feature) bool { return f.Role == schema.RoleMark && f.Note != "" })
	if told {
		marks = append(marks, text("\u00a0what it is", 4))
	}
	add(titleMarks, schema.RoleMark, marks, func(f *Feature) []string {
		cells := []string{f.Label(), d.position(f), figure(f.ElevationM, 2)}
		if told {
			cells = append(cells, "\u00a0"+f.Note)
		}
		return cells
	})
	add(titleHazards, schema.RoleHazard, []Column{text("Hazard", 3), text("kind", 1.6), text("position", 4.4)}, func(f *Feature) []string {
		kind := f.Kind
		if kind == "" {
			kind = "unknown"
		}
		return []string{f.Label(), kind, d.whereabouts(f)}
	})
	add(titleEdges, schema.RoleEdge, []Column{text("Edge", 4), text("kind", 2), num("length m", 2)}, func(f *Feature) []string {
		kind := f.Kind
		if kind == "" {
			kind = "unknown"
		}
		return []string{f.Label(), kind, metres(f.LengthM)}
	})
	add(titleCable, schema.RoleSupply, []Column{text("Outlet", 3), text("position", 5), num("to the dock m", 2.2)}, func(f *Feature) []string {
		return []string{f.Label(), d.position(f), metres(d.toDock(f))}
	})
	if s := d.boundaryPoints(keep); len(s.Rows) > 0 {
		out = append(out, s)
	}
	return out
}

// toDock is how far in a straight line the nearest dock lies; NaN without one.
// A cable is longer by its way round.
func (d *Drawing) toDock(f *Feature) float64 {
	least := math.NaN()
	for i := range d.Features {
		g := &d.Features[i]
		if g.Role == schema.RoleDock && len(g.Points) > 0 && len(f.Points) > 0 {
			if r := math.Hypot(g.Points[0][0]-f.Points[0][0], g.Points[0][1]-f.Points[0][1]); !(r >= least) {
				least = r
			}
		}
	}
	return least
}

// boundaryMost is how many points of a boundary are listed.
const boundaryMost = 100

// boundaryPoints lists where the points of the property boundary lie.
func (d *Drawing) boundaryPoints(keep func(i int) bool) Section {
	s := Section{Title: titleBoundary, Columns: []Column{{"Boundary, point", 3, false}, {"position", 5, false}}}
	for i := range d.Features {
		f := &d.Features[i]
		if f.Role != schema.RoleBoundary || keep != nil && !keep(i) {
			continue
		}
		var pts []orb.Point
		for _, a := range f.Areas {
			for _, r := range a {
				if n := len(r); n > 1 && r[0] == r[n-1] {
					r = r[:n-1]
				}
				pts = append(pts, r...)
			}
		}
		for _, l := range f.Lines {
			pts = append(pts, l...)
		}
		for k, p := range pts {
			if k == boundaryMost {
				s.Rows = append(s.Rows, Row{i, []string{f.Label(), fmt.Sprintf("and %d points more: see the data files", len(pts)-k)}})
				break
			}
			s.Rows = append(s.Rows, Row{i, []string{fmt.Sprintf("%s, %d", f.Label(), k+1), d.Grid.Position(p)}})
		}
	}
	return s
}

func figure(v float64, decimals int) string {
	if math.IsNaN(v) {
		return "–"
	}
	return strconv.FormatFloat(v, 'f', decimals, 64)
}

func (d *Drawing) position(f *Feature) string {
	if len(f.Points) == 0 {
		return "–"
	}
	return d.Grid.Position(f.Points[0])
}

// whereabouts is where to find what may be no point: the middle of an area, the
// ends of a line.
func (d *Drawing) whereabouts(f *Feature) string {
	switch {
	case len(f.Points) > 0:
		return d.position(f)
	case len(f.Areas) > 0 && f.RoomM > 0:
		return "about " + d.Grid.Position(f.LabelAt)
	case len(f.Lines) > 0 && len(f.Lines[0]) > 1:
		last := f.Lines[len(f.Lines)-1]
		return "from " + d.Grid.Position(f.Lines[0][0]) + " to " + d.Grid.Position(last[len(last)-1])
	}
	return "–"
}

// circleOr is the centre and the radius of what is a circle, else whereabouts
// it is.
func (d *Drawing) circleOr(f *Feature) string {
	switch c, r, ok := f.circle(); {
	case ok:
		return "centre " + d.Grid.Position(c) + ", radius " + figure(r, 2) + " m"
	case len(f.Points) > 0 || f.RoomM > 0:
		return d.whereabouts(f)
	}
	return "see the map"
}

// circle is what a feature is a circle of: a point with a radius, or one ring
// whose points lie evenly on a circle, to a centimetre.
func (f *Feature) circle() (centre orb.Point, radius float64, ok bool) {
	if len(f.Points) == 1 && f.RadiusM > 0 {
		return f.Points[0], f.RadiusM, true
	}
	const least, round = 12, 0.01 // points of a ring; metres off the circle
	if len(f.Areas) != 1 || len(f.Areas[0]) != 1 || len(f.Areas[0][0]) <= least {
		return centre, 0, false
	}
	ring := f.Areas[0][0]
	if ring[0] == ring[len(ring)-1] {
		ring = ring[:len(ring)-1]
	}
	n := float64(len(ring))
	for _, p := range ring { // the mean of points that lie evenly
		centre = orb.Point{centre[0] + p[0]/n, centre[1] + p[1]/n}
	}
	for _, p := range ring {
		radius += math.Hypot(p[0]-centre[0], p[1]-centre[1]) / n
	}
	for i, p := range ring {
		q := ring[(i+1)%len(ring)]
		if math.Abs(math.Hypot(p[0]-centre[0], p[1]-centre[1])-radius) > round || math.Hypot(p[0]-q[0], p[1]-q[1]) > radius*0.6 {
			return centre, 0, false
		}
	}
	return centre, radius, true
}

// Position writes a ground point in the grid's coordinates: metres with two
// decimals, degrees with eight.
func (g *Grid) Position(p orb.Point) string {
	if g.Forward == nil {
		return "–"
	}
	xy, ok := g.Forward(p)
	switch {
	case !ok:
		return "outside " + g.ID
	case g.Degrees:
		return LatLon(xy[1], xy[0], 8)
	}
	return fmt.Sprintf("E %.2f N %.2f", xy[0], xy[1])
}

// LatLon writes a latitude and a longitude with their hemispheres.
func LatLon(lat, lon float64, decimals int) string {
	ns, ew := "N", "E"
	if lat < 0 {
		ns = "S"
	}
	if lon < 0 {
		ew = "W"
	}
	return fmt.Sprintf("%.*f %s %.*f %s", decimals, math.Abs(lat), ns, decimals, math.Abs(lon), ew)
}

// WriteQuantities writes areas and lengths as CSV (RFC 4180): a row a feature,
// figures plain, unknown ones empty; what is inactive comes last, with false in
// the column active. Texts that a spreadsheet would take for a formula get an
// apostrophe in front.
func WriteQuantities(w io.Writer, d *Drawing) error {
	c := csv.NewWriter(w)
	c.UseCRLF = true
	head := []string{"code", "role", "name", "kind", "area_m2", "net_m2", "hard_edge_m", "uncut_m2", "length_m", "heading_deg", "standoff_m", "cut_mm", "x", "y", "h", "crs", "frame", "epoch", "note", "active"}
	if err := c.Write(head); err != nil {
		return err
	}
	num := func(v float64, decimals int) string {
		if math.IsNaN(v) {
			return ""
		}
		return strconv.FormatFloat(v, 'f', decimals, 64)
	}
	for i := range len(d.Features) + len(d.Off) {
		active := "true"
		var f *Feature
		if i < len(d.Features) {
			f = &d.Features[i]
		} else {
			f, active = &d.Off[i-len(d.Features)], "false"
		}
		x, y, grid := "", "", ""
		if len(f.Points) == 1 && d.Grid.Forward != nil {
			if xy, ok := d.Grid.Forward(f.Points[0]); ok {
				decimals := 3
				if d.Grid.Degrees {
					decimals = 9
				}
				x, y, grid = num(xy[0], decimals), num(xy[1], decimals), d.Grid.Ref
			}
		}
		if err := c.Write([]string{f.Code, string(f.Role), plainCell(f.Name), plainCell(f.Kind), num(f.AreaM2, 2), num(f.NetM2, 2), num(f.HardEdgeM, 2), num(f.UncutM2, 2),
			num(f.LengthM, 2), num(f.HeadingDeg, 2), num(f.StandoffM, 2), num(f.CutMM, 1), x, y, num(f.ElevationM, 3), grid, plainCell(f.Frame), f.Epoch, plainCell(f.Note), active}); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

func plainCell(s string) string {
	if s != "" {
		switch s[0] {
		case '=', '+', '-', '@', '\t', '\r':
			return "'" + s
		}
	}
	return s
}
