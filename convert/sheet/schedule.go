// The schedule: what there is, how large and how long, and where.

package sheet

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"

	"github.com/paulmach/orb"

	"swardline/schema"
)

// Section is one table of the schedule.
type Section struct {
	Title   string
	Columns []Column
	Rows    []Row
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

// Schedule returns the tables of the features that keep reports true, those with
// nothing in them left out.
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
	zones := add("Zones", schema.RoleZone, []Column{text("Zone", 3.2), num("gross m²", 1.5), num("net m²", 1.4), num("hard edge m", 1.9), num("uncut m²", 1.5)},
		func(f *Feature) []string {
			return []string{f.Label(), area(f.AreaM2), area(f.NetM2), metres(f.HardEdgeM), metres(f.UncutM2)}
		})
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
	add("Dock", schema.RoleDock, []Column{text("Dock", 2.6), text("position", 5), num("heading°", 1.7), num("line-up m", 1.8)}, func(f *Feature) []string {
		return []string{f.Label(), d.position(f), figure(f.HeadingDeg, 1), figure(f.StandoffM, 1)}
	})
	add("Base", schema.RoleBase, []Column{text("Base", 2.6), text("position", 5), num("h m", 1.5), text("\u00a0frame, epoch", 3.2)}, func(f *Feature) []string {
		frame := f.Frame
		if frame == "" {
			frame = "frame not told"
		}
		if f.Epoch != "" {
			frame += ", " + f.Epoch
		} else {
			frame += ", epoch not told"
		}
		return []string{f.Label(), d.position(f), figure(f.ElevationM, 2), "\u00a0" + frame}
	})
	add("Keep-outs", schema.RoleKeepout, []Column{text("Keep-out", 6), num("m²", 2)}, func(f *Feature) []string {
		return []string{f.Label(), area(f.AreaM2)}
	})
	add("Corridors", schema.RoleCorridor, []Column{text("Corridor", 6), num("length m", 2)}, func(f *Feature) []string {
		return []string{f.Label(), metres(f.LengthM)}
	})
	add("Marks", schema.RoleMark, []Column{text("Mark", 2.6), text("position", 6), num("h m", 1.6)}, func(f *Feature) []string {
		return []string{f.Label(), d.position(f), figure(f.ElevationM, 2)}
	})
	add("Hazards", schema.RoleHazard, []Column{text("Hazard", 5), text("kind", 3)}, func(f *Feature) []string {
		kind := f.Kind
		if kind == "" {
			kind = "not told"
		}
		return []string{f.Label(), kind}
	})
	add("Edges", schema.RoleEdge, []Column{text("Edge", 4), text("kind", 2), num("length m", 2)}, func(f *Feature) []string {
		kind := f.Kind
		if kind == "" {
			kind = "not told"
		}
		return []string{f.Label(), kind, metres(f.LengthM)}
	})
	return out
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

// Position writes a ground point in the grid's coordinates: metres with two decimals,
// degrees with eight.
func (g *Grid) Position(p orb.Point) string {
	if g.Forward == nil {
		return "–"
	}
	xy, ok := g.Forward(p)
	switch {
	case !ok:
		return "outside " + g.ID
	case g.Degrees:
		return fmt.Sprintf("%.8f N %.8f E", xy[1], xy[0])
	}
	return fmt.Sprintf("E %.2f N %.2f", xy[0], xy[1])
}

// WriteSchedule writes the schedule as CSV (RFC 4180): a row a feature, figures plain,
// unknown ones empty; what is inactive comes last, with false in the column active. Texts that a spreadsheet would take for a formula get an
// apostrophe in front.
func WriteSchedule(w io.Writer, d *Drawing) error {
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
