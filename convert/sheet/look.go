// The graphic language: how each role is told by fill, hatch and line, so that
// a print in black and white says the same as one in colour.
//
// The colours are those of package wire. Hatches, lines and signs are this
// project's own choice; they are measured on paper and stay the same at every
// scale.

package sheet

import (
	"slices"
	"sync"

	"swardline/convert/sheet/ink"
	"swardline/convert/wire"
	"swardline/schema"
)

// The palette, that of every format.
var (
	black      = ink.Color(wire.Black.RGB)
	white      = ink.Color{0xff, 0xff, 0xff}
	orange     = ink.Color(wire.ColourOf(schema.RoleDock).RGB)
	green      = ink.Color(wire.ColourOf(schema.RoleZone).RGB)
	blue       = ink.Color(wire.ColourOf(schema.RoleCorridor).RGB)
	vermillion = ink.Color(wire.ColourOf(schema.RoleKeepout).RGB)
	purple     = ink.Color(wire.ColourOf(schema.RoleBase).RGB)
	skyBlue    = ink.Color(wire.ColourOf(schema.RoleSupply).RGB)
	yellow     = ink.Color(wire.ColourOf(schema.RoleHazard).RGB)
	grey       = ink.Color(wire.ColourOf(schema.RoleOther).RGB)
	lightGrey  = ink.Color(wire.ColourOf(schema.RoleBuilding).RGB)
)

// hatch is one family of lines across an area.
type hatch struct {
	angle float64 // degrees anticlockwise from the paper's right
	gap   float64 // mm
	line  ink.Line
	// byHeading turns the family along the zone's mowing direction.
	byHeading bool
}

// look is how one role is drawn.
type look struct {
	fill    *ink.Color
	opacity float64
	hatches []hatch
	line    ink.Line
	// order in which roles are laid over one another, lowest first.
	order int
	// says in the legend what the role is.
	says string
}

func tint(c ink.Color) *ink.Color { return &c }

var looks = sync.OnceValue(func() map[schema.Role]*look {
	return map[schema.Role]*look{
		schema.RoleBoundary: {fill: nil, line: ink.Line{Color: purple, Width: 0.6, Dash: []float64{6, 1.2, 1, 1.2, 1, 1.2}}, order: 1, says: "property limit"},
		schema.RoleOther:    {fill: nil, line: ink.Line{Color: grey, Width: 0.2, Dash: []float64{0.8, 0.8}}, order: 2, says: "other, as drawn"},
		schema.RoleZone: {fill: tint(green), opacity: 0.13, line: ink.Line{Color: green, Width: 0.5}, order: 3,
			hatches: []hatch{{angle: 45, gap: 2.4, line: ink.Line{Color: green, Width: 0.12}, byHeading: true}}, says: "zone, mown along its hatching"},
		schema.RoleBuilding: {fill: tint(lightGrey), opacity: 1, line: ink.Line{Color: black, Width: 0.35}, order: 4,
			hatches: []hatch{{angle: 45, gap: 1.0, line: ink.Line{Color: black, Width: 0.12}}}, says: "building"},
		schema.RoleKeepout: {fill: tint(white), opacity: 1, line: ink.Line{Color: vermillion, Width: 0.5, Dash: []float64{2.2, 0.8}}, order: 5,
			hatches: []hatch{{angle: 45, gap: 1.9, line: ink.Line{Color: vermillion, Width: 0.16}}, {angle: 135, gap: 1.9, line: ink.Line{Color: vermillion, Width: 0.16}}}, says: "keep-out, never entered"},
		schema.RoleHazard: {fill: tint(yellow), opacity: 0.55, line: ink.Line{Color: black, Width: 0.45, Dash: []float64{0.5, 0.7}}, order: 6,
			hatches: []hatch{{angle: 0, gap: 1.1, line: ink.Line{Color: black, Width: 0.14, Dash: []float64{1.4, 1.0}}}}, says: "hazard on the ground"},
		schema.RoleEdge:     {line: ink.Line{Color: black, Width: 0.5}, order: 7, says: "edge"},
		schema.RoleCorridor: {fill: tint(blue), opacity: 0.1, line: ink.Line{Color: blue, Width: 0.7, Dash: []float64{3.2, 1.2}}, order: 8, says: "corridor, driven"},
		schema.RoleSupply:   {fill: tint(skyBlue), opacity: 0.3, line: ink.Line{Color: black, Width: 0.3}, order: 9, says: "power outlet"},
		schema.RoleMark:     {fill: nil, line: ink.Line{Color: black, Width: 0.3}, order: 10, says: "mark with known coordinates"},
		schema.RoleDock:     {fill: tint(orange), opacity: 0.9, line: ink.Line{Color: black, Width: 0.4}, order: 11, says: "dock with its approach"},
		schema.RoleBase:     {fill: tint(purple), opacity: 0.9, line: ink.Line{Color: black, Width: 0.4}, order: 12, says: "RTK base antenna"},
	}
})

// offLine is the outline of what is inactive, of any role: thin, dashed and
// grey, with no fill and no hatch. Its name says "off" besides.
var offLine = ink.Line{Color: grey, Width: 0.3, Dash: []float64{1.4, 1.1}}

// OffWords say what becomes of the ground of a feature that is off, by its
// role. A keep-out that is off keeps nobody out, so its ground is mown; what
// stands on the ground stays there whatever the plan says.
func OffWords(r schema.Role) string {
	switch r {
	case schema.RoleKeepout:
		return "Off, so NOT kept out: the machine mows there"
	case schema.RoleZone, schema.RoleCorridor:
		return "Off, so not driven, unless another zone or corridor lies there"
	case schema.RoleHazard, schema.RoleEdge, schema.RoleBuilding, schema.RoleBoundary:
		return "Off in the plan, so not checked, but what stands on the ground stays"
	}
	return "Off, so neither used nor checked"
}

// offSays are OffWords for the legend.
func offSays(r schema.Role) string {
	switch r {
	case schema.RoleKeepout:
		return "keep-out off: mown"
	case schema.RoleZone, schema.RoleCorridor:
		return string(r) + " off: not driven"
	case schema.RoleHazard, schema.RoleEdge, schema.RoleBuilding, schema.RoleBoundary:
		return string(r) + " off: not checked, but still there"
	}
	return string(r) + " off: not used"
}

// offLegend is what the legend says of what is off, a line a role.
func (d *Drawing) offLegend() []string {
	var out []string
	for _, role := range schema.Roles {
		if slices.ContainsFunc(d.Off, func(f Feature) bool { return f.Role == role }) {
			out = append(out, offSays(role))
		}
	}
	return out
}

func lookOf(r schema.Role) *look {
	if l, ok := looks()[r]; ok {
		return l
	}
	return looks()[schema.RoleOther]
}

// edgeLook is how an edge of a kind is drawn: the line, and what stands across
// it.
type edgeLook struct {
	line ink.Line
	// tick is the length of the strokes across the line (negative: on both
	// sides), every so many millimetres; cross makes them crosses, tooth
	// triangles.
	tick, every float64
	cross       bool
	tooth       bool
	says        string
}

var edgeLooks = sync.OnceValue(func() map[string]edgeLook {
	return map[string]edgeLook{
		schema.EdgeWall:  {line: ink.Line{Color: black, Width: 0.9}, says: "wall"},
		schema.EdgeKerb:  {line: ink.Line{Color: black, Width: 0.45}, tick: 1.2, every: 1.6, says: "kerb"},
		schema.EdgeFence: {line: ink.Line{Color: black, Width: 0.3}, tick: 1.0, every: 3.2, cross: true, says: "fence"},
		schema.EdgeDrop:  {line: ink.Line{Color: black, Width: 0.45}, tick: 1.6, every: 2.2, tooth: true, says: "drop, teeth on the right of the line as drawn"},
		schema.EdgeRamp:  {line: ink.Line{Color: grey, Width: 0.6}, tick: 0.8, every: 2.4, says: "ramp, a crossing"},
		schema.EdgeGate:  {line: ink.Line{Color: grey, Width: 0.6, Dash: []float64{2, 0.6}}, says: "gate, a crossing"},
		schema.EdgeFlush: {line: ink.Line{Color: grey, Width: 0.35, Dash: []float64{0.9, 0.9}}, says: "flush edge, driven over"},
	}
})

func edgeLookOf(kind string) edgeLook {
	if l, ok := edgeLooks()[kind]; ok {
		return l
	}
	return edgeLook{line: ink.Line{Color: black, Width: 0.5, Dash: []float64{4, 0.8}}, says: "edge of unknown kind"}
}
