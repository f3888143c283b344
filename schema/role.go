// Roles, and the names of the properties that every format uses.

package schema

// Role says what a feature is for.
type Role string

// The roles a feature can have.
const (
	RoleZone     Role = "zone"     // polygon to be mown
	RoleKeepout  Role = "keepout"  // polygon never to be entered
	RoleCorridor Role = "corridor" // line driven between the dock and a zone, or between zones
	RoleDock     Role = "dock"     // point where the machine parks
	RoleBase     Role = "base"     // point of the RTK base antenna
	RoleMark     Role = "mark"     // point with known coordinates
	RoleHazard   Role = "hazard"   // a thing on the ground, of any geometry
	RoleEdge     Role = "edge"     // line where the ground changes
	RoleBoundary Role = "boundary" // the property limit
	RoleSupply   Role = "supply"   // power outlet a low-voltage cable runs to
	RoleBuilding Role = "building" // polygon that blocks sky
	RoleOther    Role = "other"    // anything else
)

// Roles lists every role, in the order legends and schedules use.
var Roles = []Role{
	RoleZone, RoleKeepout, RoleCorridor, RoleDock, RoleBase, RoleMark,
	RoleHazard, RoleEdge, RoleBoundary, RoleSupply, RoleBuilding, RoleOther,
}

// ParseRole returns the role that a word names, exactly as written in the list
// above; ok is false for any other word.
func ParseRole(word string) (Role, bool) {
	for _, r := range Roles {
		if string(r) == word {
			return r, true
		}
	}
	return RoleOther, false
}

// RoleAlias returns the role that another usual spelling stands for, as people
// write it by hand: keep-out, no-go.
func RoleAlias(word string) (Role, bool) {
	switch word {
	case "keep-out", "keep_out", "keep out", "no-go", "no_go", "nogo", "no go":
		return RoleKeepout, true
	}
	return "", false
}

// Names of the properties a feature may carry. Every format uses these.
const (
	PropID            = "id"
	PropRole          = "role"
	PropName          = "name"
	PropActive        = "active"           // bool, default true
	PropNote          = "note"             // text
	PropDrivenOver    = "driven_over"      // other: bool, whether a machine may drive over it
	PropHeadingDeg    = "heading_deg"      // zone: mowing direction; dock: bearing faced when docked; degrees clockwise from true north
	PropCutMM         = "cut_mm"           // zone: cutting height, mm
	PropStandoffM     = "standoff_m"       // dock: distance from dock to line-up point, m
	PropFrame         = "frame"            // base: reference frame of its stored coordinates; plan: frame that the numbers are in
	PropEpoch         = "epoch"            // base: epoch of its stored coordinates, decimal year; plan: epoch of the coordinates
	PropAntennaHeight = "antenna_height_m" // base: height of the antenna above ground, m
	PropEdgeKind      = "edge_kind"        // edge: wall, kerb, flush, drop, fence, ramp or gate
	PropHazardKind    = "hazard_kind"      // hazard: pond, road, drop, tree, ... free text
	PropHeightM       = "height_m"         // building, tree: height above ground, m
	PropRadiusM       = "radius_m"         // hazard, mark: radius about a point, m
	PropCrownBaseM    = "crown_base_m"     // tree: height of the lowest branches above ground, m
	PropFix           = "fix"              // how a receiver knew its position: fixed, float, single, ...; a list for vertices
	PropSigma         = "sigma"            // standard error of the position, m; a list for vertices
	PropDrawnFrom     = "drawn_from"       // what an outline was got from: surveyed, placed or traced
	PropLimits        = "limits"           // feature or plan: limits that hold here instead of the general ones
	PropTimes         = "times"            // list of times a vertex, text or null, nested as the geometry is
	PropAltitudeMode  = "altitude_mode"    // KML altitudeMode as written
	PropExtrude       = "extrude"          // KML extrude
	PropTessellate    = "tessellate"       // KML tessellate
)

// Names of the properties that say how a feature stood in a foreign file: what
// roles are told by. A format that has such a thing uses these.
const (
	PropFolder     = "folder"        // list of texts: names of the folders around a feature, the outermost first
	PropCode       = "code"          // text: a survey code
	PropLayer      = "layer"         // text: a drawing's layer
	PropLayerState = "layer_state"   // text: frozen, off or noplot
	PropEntity     = "entity"        // text: a drawing's kind of entity, such as LWPOLYLINE
	PropColour     = "colour"        // a DXF colour number, or text #rrggbb
	PropLineType   = "linetype"      // text: a drawing's line type, unless continuous
	PropBlock      = "block"         // text: the blocks a thing stands in, joined by slashes
	PropHandle     = "handle"        // text: what a drawing calls its entity
	PropHidden     = "hidden"        // bool: not shown in its drawing
	PropTextHeight = "text_height_m" // height of a text, m
	PropRotation   = "rotation_deg"  // turn of a block or text, degrees anticlockwise
	PropScale      = "scale"         // number or list: scale of a block
	PropAttribs    = "attribs"       // object: the texts a block carries, by tag
	PropWidth      = "width_m"       // width of a line, m
	PropThickness  = "thickness_m"   // how far an entity is extruded, m
	PropCurve      = "curve"         // object: the curve a line or outline was flattened from
	PropJoined     = "joined"        // number: of how many pieces a line or outline was joined
	PropLineColor  = "line_color"    // text: #rrggbb or #rrggbbaa
	PropFillColor  = "fill_color"    // text: #rrggbb or #rrggbbaa
	PropIconColor  = "icon_color"    // text: #rrggbb or #rrggbbaa
)

// Names of the plan's own members.
const (
	PlanHeld        = "held"         // "offsets" from the base, or "coordinates"
	PlanLimits      = "limits"       // limits that hold for this plan
	PlanSiteGrid    = "site_grid"    // the site grid that "site" stands for
	PlanPlacement   = "placement"    // how a drawing was placed
	PlanHistory     = "history"      // where the base has been
	PlanGiven       = "given"        // of a corrected plan, "ground" or "held": which of the two its coordinates are
	PlanHeights     = "heights"      // what the heights are counted from: "ellipsoidal", "EPSG:7837"
	PlanFolderNotes = "folder_notes" // what the folders of a KML say of themselves, by their names from the outermost in
	PlanLayerNotes  = "layer_notes"  // what a GeoPackage or a topology says of its layers, by their names
	PlanBeside      = "beside"       // what the file that the plan came from says beside it, see Plan.WithBeside
	PlanDrawing     = "drawing"      // what a drawing said of itself: its unit by name and in metres, where that was said, and its version
)

// Values of PlanGiven.
const (
	GivenGround = "ground" // where the lines are
	GivenHeld   = "held"   // what the machine must be told so that it drives there
)

// Values of PropEdgeKind.
const (
	EdgeWall  = "wall"
	EdgeKerb  = "kerb"
	EdgeFlush = "flush"
	EdgeDrop  = "drop"
	EdgeFence = "fence"
	EdgeRamp  = "ramp" // a crossing made for driving
	EdgeGate  = "gate" // a gap in a wall or fence, driven through
)

// EdgeKinds are the values of PropEdgeKind.
var EdgeKinds = []string{EdgeWall, EdgeKerb, EdgeFlush, EdgeDrop, EdgeFence, EdgeRamp, EdgeGate}

// Values of PropDrawnFrom.
const (
	DrawnSurveyed = "surveyed"
	DrawnPlaced   = "placed"
	DrawnTraced   = "traced"
)

// IsArea reports whether features of the role are polygons by nature.
func (r Role) IsArea() bool {
	switch r {
	case RoleZone, RoleKeepout, RoleBoundary, RoleBuilding:
		return true
	}
	return false
}
