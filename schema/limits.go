// Limits: every number a rule compares with, its unit, its default, and where
// that default comes from.

package schema

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"unicode"

	"go.yaml.in/yaml/v3"
)

// Limits holds one value for each entry of LimitTable.
type Limits struct {
	BaseRangeM           float64
	SiteSpanM            float64
	BaseHeightM          float64
	HardEdgeStripM       float64
	CorridorInsideM      float64
	CorridorOutsideM     float64
	DockStandoffM        float64
	MaxZones             float64
	OffsetMaxM           float64
	CableRunM            float64
	CurveChordM          float64
	MachineWidthM        float64
	TurnRadiusM          float64
	PassageMinM          float64
	OpeningMaxM          float64
	SlopeMaxPercent      float64
	SlopeEdgeMaxPercent  float64
	DockSlopeMaxPercent  float64
	StepMaxM             float64
	HazardMarginM        float64
	HazardMarginWaterM   float64
	HazardMarginRoadM    float64
	HazardMarginDropM    float64
	HazardMarginTreeM    float64
	HazardMarginFastM    float64
	HazardMarginAirM     float64
	HazardMarginSwingM   float64
	PowerLineM           float64
	SkyMaskDeg           float64
	SkyHiddenStopPercent float64
	ThinSharePercent     float64
	SatsMin              float64
	PDOPMax              float64
	MachineAntennaM      float64
	RadioMHz             float64
	RadioLossDB          float64
	DockApproachDeg      float64
	DockReachM           float64
	AccuracyM            float64
	SurveySigmaM         float64
	DriftUnchangedM      float64
	DriftStopM           float64
	ResidualM            float64
	GapMinM2             float64
	DrivenDepthM         float64
	DrivenSeconds        float64
	DrivenCorridorM      float64
	DrivenDockSpreadM    float64
	DrivenFixedPercent   float64
	InputMaxBytes        float64
	InputMaxInflated     float64
	InputMaxNesting      float64
	InputMaxVertices     float64
	InputMaxFeatures     float64
	InputMaxRecursion    float64
	set                  map[string]setting // by key, nil until something is set
	mayLoosen            []string
	// knownWords are the operator's own, folded and sorted.
	knownWords []string
}

// Origin says who gave a limit its value.
type Origin string

// The origins.
const (
	OriginDefault Origin = "default"
	OriginFile    Origin = "file"    // the operator's limits file
	OriginPlan    Origin = "plan"    // the plan's own limits
	OriginFeature Origin = "feature" // a feature's own limits
)

// setting is where a value was set: by whom, and in words for messages.
type setting struct {
	by    Origin
	where string
}

// Where the defaults come from.
const (
	SourcePractice  = "common practice, no source"
	SourceMemory    = "starting value from memory; set it from the machine's manual"
	SourceUnset     = "no default: what needs it is not checked until it is set from the machine's manual"
	SourcePowerLine = "DIN VDE 0105-100, work near overhead lines whose voltage is not known"
	SourceOwn       = "swardline's own cap against hostile input"
)

// Sense says on which side of a limit what it judges has to stay.
type Sense uint8

// The senses. Of two values of one limit the stricter is the lower for AtMost,
// and the higher for AtLeast.
const (
	AtMost  Sense = iota // what is judged may be as much
	AtLeast              // what is judged must be as much
)

// Looser reports whether a is looser than b.
func (s Sense) Looser(a, b float64) bool {
	if s == AtLeast {
		return a < b
	}
	return a > b
}

// Limit describes one entry of Limits.
type Limit struct {
	Key     string
	Unit    string
	Default float64
	// Sense says which way is stricter.
	Sense  Sense
	Source string
	Doc    string
	field  func(*Limits) *float64
}

// LimitTable lists every limit in the order in which documents show them.
var LimitTable = []Limit{
	{"base_range_m", "m", 500, AtMost, SourcePractice, "how far from the base a machine may work", func(l *Limits) *float64 { return &l.BaseRangeM }},
	{"site_span_m", "m", 3000, AtMost, SourceMemory, "how far from the middle of the site anything of it may lie", func(l *Limits) *float64 { return &l.SiteSpanM }},
	{"base_height_m", "m", 100, AtMost, SourceMemory, "how far the base may stand above or below the ground of its site", func(l *Limits) *float64 { return &l.BaseHeightM }},
	{"hard_edge_strip_m", "m", 0.15, AtLeast, SourcePractice, "strip left uncut along a wall, kerb or fence", func(l *Limits) *float64 { return &l.HardEdgeStripM }},
	{"corridor_inside_m", "m", 1.0, AtLeast, SourcePractice, "how far inside its zone a corridor starts", func(l *Limits) *float64 { return &l.CorridorInsideM }},
	{"corridor_outside_m", "m", 1.0, AtLeast, SourcePractice, "how far outside its zone a corridor's next point stands", func(l *Limits) *float64 { return &l.CorridorOutsideM }},
	{"dock_standoff_m", "m", 2.0, AtLeast, SourcePractice, "how far in front of the dock the machine lines up", func(l *Limits) *float64 { return &l.DockStandoffM }},
	{"max_zones", "count", 20, AtMost, SourcePractice, "zones a plan may have", func(l *Limits) *float64 { return &l.MaxZones }},
	{"offset_max_m", "m", 5, AtMost, SourcePractice, "how far an outline is moved in or out at a time", func(l *Limits) *float64 { return &l.OffsetMaxM }},
	{"cable_run_m", "m", 20, AtMost, SourcePractice, "length of the low-voltage cable of base or dock", func(l *Limits) *float64 { return &l.CableRunM }},
	{"curve_chord_m", "m", 0.03, AtMost, SourceMemory, "how far a drawn chord may cut into the true curve", func(l *Limits) *float64 { return &l.CurveChordM }},
	{"machine_width_m", "m", 0.6, AtLeast, SourceMemory, "width of the machine", func(l *Limits) *float64 { return &l.MachineWidthM }},
	{"turn_radius_m", "m", 0.6, AtLeast, SourceMemory, "radius of the disc in which the machine turns round", func(l *Limits) *float64 { return &l.TurnRadiusM }},
	{"passage_min_m", "m", 1.5, AtLeast, SourceMemory, "narrowest passage the machine may be sent through", func(l *Limits) *float64 { return &l.PassageMinM }},
	{"opening_max_m", "m", 6, AtMost, SourcePractice, "length up to which a ramp or gate opens the edge that it lies on", func(l *Limits) *float64 { return &l.OpeningMaxM }},
	{"slope_max_percent", "%", 35, AtMost, SourceMemory, "steepest slope", func(l *Limits) *float64 { return &l.SlopeMaxPercent }},
	{"slope_edge_max_percent", "%", 15, AtMost, SourceMemory, "steepest slope at the outline of a zone and beside a drop", func(l *Limits) *float64 { return &l.SlopeEdgeMaxPercent }},
	{"dock_slope_max_percent", "%", 5, AtMost, SourceMemory, "steepest way between a dock and the point where the machine lines up", func(l *Limits) *float64 { return &l.DockSlopeMaxPercent }},
	{"step_max_m", "m", 0.15, AtMost, SourceMemory, "highest step between heights less than 2 m apart, beyond what the slope allows", func(l *Limits) *float64 { return &l.StepMaxM }},
	{"hazard_margin_m", "m", 0.3, AtLeast, SourceMemory, "clearance kept from a hazard of a kind that has no limit of its own", func(l *Limits) *float64 { return &l.HazardMarginM }},
	{"hazard_margin_water_m", "m", 0.3, AtLeast, SourceMemory, "clearance kept from water: ponds, pools, ditches", func(l *Limits) *float64 { return &l.HazardMarginWaterM }},
	{"hazard_margin_road_m", "m", 0.3, AtLeast, SourceMemory, "clearance kept from roads and ways that vehicles use", func(l *Limits) *float64 { return &l.HazardMarginRoadM }},
	{"hazard_margin_drop_m", "m", 0.3, AtLeast, SourceMemory, "clearance kept from drops: ledges, steps, banks, pits", func(l *Limits) *float64 { return &l.HazardMarginDropM }},
	{"hazard_margin_tree_m", "m", 0.3, AtLeast, SourceMemory, "clearance kept from trees", func(l *Limits) *float64 { return &l.HazardMarginTreeM }},
	{"hazard_margin_fast_m", "m", 3, AtLeast, SourcePractice, "clearance kept from railways, trams and motorways where no wall or fence stands between", func(l *Limits) *float64 { return &l.HazardMarginFastM }},
	{"hazard_margin_airfield_m", "m", 10, AtLeast, SourcePractice, "clearance kept from runways, taxiways and helipads where no wall or fence stands between", func(l *Limits) *float64 { return &l.HazardMarginAirM }},
	{"hazard_margin_swing_m", "m", 2, AtLeast, SourcePractice, "clearance kept from the frame of a swing, whose seat reaches out", func(l *Limits) *float64 { return &l.HazardMarginSwingM }},
	{"power_line_m", "m", 5, AtLeast, SourcePowerLine, "how far a base's mast stands from an overhead power line", func(l *Limits) *float64 { return &l.PowerLineM }},
	{"sky_mask_deg", "deg", 15, AtMost, SourceMemory, "elevation below which the sky is not needed", func(l *Limits) *float64 { return &l.SkyMaskDeg }},
	{"sky_hidden_stop_percent", "%", 60, AtMost, SourceMemory, "share of the sky above the mask that may be hidden from a base or a dock", func(l *Limits) *float64 { return &l.SkyHiddenStopPercent }},
	{"thin_share_percent", "%", 5, AtMost, SourceMemory, "share of a day in which satellites may be few or badly spread", func(l *Limits) *float64 { return &l.ThinSharePercent }},
	{"sats_min", "count", 6, AtLeast, SourceMemory, "satellites in sight that a fixed position needs", func(l *Limits) *float64 { return &l.SatsMin }},
	{"pdop_max", "ratio", 6, AtMost, SourceMemory, "position dilution of precision up to which a position is used", func(l *Limits) *float64 { return &l.PDOPMax }},
	{"machine_antenna_m", "m", 0.5, AtMost, SourceMemory, "height of the machine's antenna above the ground", func(l *Limits) *float64 { return &l.MachineAntennaM }},
	{"radio_mhz", "MHz", 0, AtLeast, SourceUnset, "frequency of the radio between base and machine", func(l *Limits) *float64 { return &l.RadioMHz }},
	{"radio_loss_db", "dB", 20, AtMost, SourceMemory, "loss over free space that the radio between base and machine bears", func(l *Limits) *float64 { return &l.RadioLossDB }},
	{"dock_approach_deg", "deg", 10, AtMost, SourceMemory, "how far off head-on a corridor may reach the line-up point", func(l *Limits) *float64 { return &l.DockApproachDeg }},
	{"dock_reach_m", "m", 0.3, AtMost, SourceMemory, "how far from the line-up point a corridor may end", func(l *Limits) *float64 { return &l.DockReachM }},
	{"accuracy_m", "m", 0.05, AtMost, SourceMemory, "worst accuracy of a datum step for machine guidance", func(l *Limits) *float64 { return &l.AccuracyM }},
	{"survey_sigma_m", "m", 0.05, AtMost, SourceMemory, "largest standard error of a surveyed position", func(l *Limits) *float64 { return &l.SurveySigmaM }},
	{"drift_unchanged_m", "m", 0.02, AtMost, SourceMemory, "movement of the base that changes nothing", func(l *Limits) *float64 { return &l.DriftUnchangedM }},
	{"drift_stop_m", "m", 0.10, AtMost, SourceMemory, "movement of the base from which the verdict is STOP: take the machine out of work", func(l *Limits) *float64 { return &l.DriftStopM }},
	{"residual_m", "m", 0.03, AtMost, SourceMemory, "largest residual of a mark in a placement", func(l *Limits) *float64 { return &l.ResidualM }},
	{"gap_min_m2", "m2", 0.5, AtMost, SourceMemory, "smallest piece of a zone left undriven that is worth a word", func(l *Limits) *float64 { return &l.GapMinM2 }},
	{"driven_depth_m", "m", 0.10, AtMost, SourceMemory, "how deep a track may lie where the machine should not be", func(l *Limits) *float64 { return &l.DrivenDepthM }},
	{"driven_seconds", "s", 2, AtMost, SourceMemory, "how long a track may be deeper than that at a time", func(l *Limits) *float64 { return &l.DrivenSeconds }},
	{"driven_corridor_m", "m", 0.15, AtMost, SourceMemory, "distance from a corridor's line that 95 of 100 positions stay within", func(l *Limits) *float64 { return &l.DrivenCorridorM }},
	{"driven_dock_spread_m", "m", 0.03, AtMost, SourceMemory, "spread of the places where the machine rests in a dock", func(l *Limits) *float64 { return &l.DrivenDockSpreadM }},
	{"driven_fixed_percent", "%", 95, AtLeast, SourceMemory, "share of the time with a fixed position", func(l *Limits) *float64 { return &l.DrivenFixedPercent }},
	{"input_max_bytes", "bytes", 1 << 30, AtMost, SourceOwn, "largest file read", func(l *Limits) *float64 { return &l.InputMaxBytes }},
	{"input_max_inflated_bytes", "bytes", 256 << 20, AtMost, SourceOwn, "largest content of a KMZ once unpacked", func(l *Limits) *float64 { return &l.InputMaxInflated }},
	{"input_max_nesting", "levels", MaxNesting, AtMost, SourceOwn, "deepest nesting of elements or values", func(l *Limits) *float64 { return &l.InputMaxNesting }},
	{"input_max_vertices", "count", 50e6, AtMost, SourceOwn, "most points in a plan", func(l *Limits) *float64 { return &l.InputMaxVertices }},
	{"input_max_features", "count", 5e6, AtMost, SourceOwn, "most features in a plan", func(l *Limits) *float64 { return &l.InputMaxFeatures }},
	{"input_max_recursion", "levels", 16, AtMost, SourceOwn, "deepest nesting of blocks in a drawing", func(l *Limits) *float64 { return &l.InputMaxRecursion }},
}

// DefaultLimits returns the defaults of LimitTable.
func DefaultLimits() Limits {
	var l Limits
	for _, d := range LimitTable {
		*d.field(&l) = d.Default
	}
	return l
}

// Get returns the value of a key; ok is false for an unknown one.
func (l *Limits) Get(key string) (v float64, ok bool) {
	if d := limitOf(key); d != nil {
		return *d.field(l), true
	}
	return 0, false
}

// SourceOf returns where the value of a key comes from: the place it was set,
// else the source of its default.
func (l *Limits) SourceOf(key string) string {
	if s, ok := l.set[key]; ok {
		return s.where
	}
	if d := limitOf(key); d != nil {
		return d.Source
	}
	return ""
}

// OriginOf returns who gave a key its value.
func (l *Limits) OriginOf(key string) Origin {
	if s, ok := l.set[key]; ok {
		return s.by
	}
	return OriginDefault
}

// Set sets one limit and records who did and where that stands. Unknown keys,
// negative and non-finite values are errors; an unknown key's error names the
// nearest known one.
func (l *Limits) Set(key string, v float64, by Origin, where string) error {
	for _, d := range LimitTable {
		if d.Key != key {
			continue
		}
		if math.IsNaN(v) || math.IsInf(v, 0) || v < 0 {
			return fmt.Errorf("limit %s must be a number from 0 up, got %v", key, v)
		}
		*d.field(l) = v
		set := make(map[string]setting, len(l.set)+1) // copies of a Limits share nothing
		for k, s := range l.set {
			set[k] = s
		}
		set[key] = setting{by, where}
		l.set = set
		return nil
	}
	return fmt.Errorf("there is no limit called %q; the nearest is %q", key, nearestLimit(key))
}

// HazardMargin is the clearance in metres kept from a hazard of a kind -
// "water", "road", "drop", "tree", or any other word for the general one - and
// the key of the limit that gives it. A general margin that somebody set stands
// in for a kind's default, and one that a plan or a feature has of its own for
// the kind's, where it is the stricter.
func (l *Limits) HazardMargin(kind string) (m float64, key string) {
	m, key = l.HazardMarginM, "hazard_margin_m"
	own := limitOf("hazard_margin_" + kind + "_m")
	if own == nil {
		return m, key
	}
	general := l.OriginOf(key)
	stands := l.OriginOf(own.Key) == OriginDefault && general != OriginDefault || general == OriginPlan || general == OriginFeature
	if v := *own.field(l); !stands || v >= m {
		return v, own.Key
	}
	return m, key
}

// Loosened is a limit that a plan or a feature has of its own and that was not
// applied, because it is looser than the one in force.
type Loosened struct {
	Key string
	// Own is the value that was not applied, Kept the one in force instead.
	Own, Kept float64
	Unit      string
}

// Override returns l with the limits that an attribute "limits" (an object of
// numbers) names, as on a feature or a plan; where says in words which. A value
// holds only where it is no looser than that of l - the default or what the limits
// file says, for a feature the plan's own - or where that file lets it be
// (may_loosen) and the value is none that such a file may not give itself; the others
// are returned, in the order given.
func (l Limits) Override(v Value, by Origin, where string) (Limits, []Loosened, error) {
	switch v.Kind() {
	case KindAbsent, KindNull:
		return l, nil, nil
	case KindObject:
	default:
		return l, nil, fmt.Errorf("limits of %s must be an object of numbers, got a %s", where, v.Kind())
	}
	out := l
	var loosened []Loosened
	for _, a := range v.Fields() {
		n, ok := a.Value.Float()
		if !ok {
			return l, nil, fmt.Errorf("limit %s of %s must be a number, got a %s", a.Key, where, a.Value.Kind())
		}
		before := out
		if err := out.Set(a.Key, n, by, where); err != nil {
			return l, nil, err
		}
		d := limitOf(a.Key)
		if !d.Sense.Looser(n, *d.field(&l)) || slices.Contains(l.mayLoosen, a.Key) && withinSense(a.Key, n) == nil {
			continue
		}
		out = before
		loosened = append(loosened, Loosened{a.Key, n, *d.field(&out), d.Unit})
	}
	return out, loosened, nil
}

// limitOf returns the row of a key, nil for an unknown one.
func limitOf(key string) *Limit {
	for i := range LimitTable {
		if LimitTable[i].Key == key {
			return &LimitTable[i]
		}
	}
	return nil
}

// MayLoosen are the keys of the limits that plans and features may loosen.
func (l *Limits) MayLoosen() []string { return slices.Clone(l.mayLoosen) }

// LetLoosen lets plans and features have looser values of a limit than the
// operator's. An unknown key is an error, which names the nearest known one.
func (l *Limits) LetLoosen(key string) error {
	if limitOf(key) == nil {
		return fmt.Errorf("there is no limit called %q; the nearest is %q", key, nearestLimit(key))
	}
	l.mayLoosen = append(slices.Clone(l.mayLoosen), key)
	return nil
}

// ReadLimits reads a YAML file of limits over the defaults. name is the file's
// name for messages. Errors give the line and the mend.
func ReadLimits(data []byte, name string) (Limits, error) {
	l := DefaultLimits()
	dec := yaml.NewDecoder(bytes.NewReader(data))
	var doc yaml.Node
	if err := dec.Decode(&doc); err != nil {
		if errors.Is(err, io.EOF) {
			return l, nil // an empty file changes nothing
		}
		return l, fmt.Errorf("%s: not YAML: %s", name, strings.TrimPrefix(err.Error(), "yaml: "))
	}
	var second yaml.Node
	if err := dec.Decode(&second); err == nil {
		return l, fmt.Errorf("%s:%d: a limits file holds one document; remove the second", name, second.Line)
	}
	if len(doc.Content) == 0 || doc.Content[0].Tag == "!!null" {
		return l, nil
	}
	root := doc.Content[0]
	if root.Kind != yaml.MappingNode {
		return l, fmt.Errorf("%s:%d: a limits file is a list of lines such as 'base_range_m: 500'", name, root.Line)
	}
	seen := map[string]bool{}
	for i := 0; i+1 < len(root.Content); i += 2 {
		k, v := root.Content[i], root.Content[i+1]
		if seen[k.Value] {
			return l, fmt.Errorf("%s:%d: limit %s stands twice", name, k.Line, k.Value)
		}
		seen[k.Value] = true
		if k.Value == mayLoosenKey || k.Value == knownWordsKey {
			if err := l.readList(k.Value, v, name); err != nil {
				return l, err
			}
			continue
		}
		var n float64
		if v.Kind != yaml.ScalarNode || (v.Tag != "!!int" && v.Tag != "!!float") || v.Decode(&n) != nil {
			return l, fmt.Errorf("%s:%d: limit %s must be a number, got %q", name, v.Line, k.Value, v.Value)
		}
		err := l.Set(k.Value, n, OriginFile, fmt.Sprintf("%s line %d", name, k.Line))
		if err == nil {
			err = withinSense(k.Value, n)
		}
		if err != nil {
			return l, fmt.Errorf("%s:%d: %w", name, k.Line, err)
		}
	}
	return l, nil
}

// loosest is the loosest value of a limit that a limits file may give: past it no
// machine is made, or the rule finds nothing any more (common practice, no source). It is
// there against a slip, such as millimetres for metres, which would let every plan pass.
var loosest = map[string]float64{
	"base_range_m": 20e3, "site_span_m": 100e3, "base_height_m": 3000,
	"dock_standoff_m": 0.1, "cable_run_m": 500, "curve_chord_m": 1, "offset_max_m": 100,
	"machine_width_m": 0.1, "turn_radius_m": 0.05, "passage_min_m": 0.1, "opening_max_m": 100,
	"slope_max_percent": 100, "slope_edge_max_percent": 100, "dock_slope_max_percent": 50, "step_max_m": 1,
	"hazard_margin_m": 0.05, "hazard_margin_water_m": 0.05, "hazard_margin_road_m": 0.05, "hazard_margin_drop_m": 0.05, "hazard_margin_tree_m": 0.05,
	"hazard_margin_fast_m": 0.5, "hazard_margin_airfield_m": 1, "hazard_margin_swing_m": 0.5, "power_line_m": 1,
	"sky_mask_deg": 60, "sky_hidden_stop_percent": 100, "thin_share_percent": 100, "machine_antenna_m": 3, "radio_loss_db": 60,
	"dock_approach_deg": 90, "dock_reach_m": 2, "survey_sigma_m": 1, "drift_unchanged_m": 0.5, "drift_stop_m": 2, "residual_m": 1,
	"driven_depth_m": 2, "driven_seconds": 60, "driven_corridor_m": 2, "driven_dock_spread_m": 1, "driven_fixed_percent": 50,
}

// Loosest returns the loosest value that a limits file may give, ok false where it may
// give any.
func (d *Limit) Loosest() (v float64, ok bool) {
	v, ok = loosest[d.Key]
	return v, ok
}

// withinSense is an error for a value past the loosest that a limits file may give.
func withinSense(key string, v float64) error {
	d := limitOf(key)
	least, ok := d.Loosest()
	if !ok || !d.Sense.Looser(v, least) {
		return nil
	}
	mend := "write it as in the machine's manual"
	if milli := v / 1000; d.Unit == "m" && d.Sense == AtMost && !d.Sense.Looser(milli, least) {
		mend = fmt.Sprintf("it is in metres: write %g if %g mm are meant", milli, v)
	}
	return fmt.Errorf("limit %s is %g %s, and nothing looser than %g %s is taken, for the check would pass every plan; %s", key, v, d.Unit, least, d.Unit, mend)
}

// mayLoosenKey names the list of limits that plans and features may loosen,
// knownWordsKey that of the words that an operator uses in names.
const (
	mayLoosenKey  = "may_loosen"
	knownWordsKey = "known_words"
)

func (l *Limits) readList(key string, v *yaml.Node, name string) error {
	what, let := "limits, such as [hazard_margin_m]", l.LetLoosen
	if key == knownWordsKey {
		what, let = "words, such as [Lindenhof, carousel]", l.KnowWord
	}
	if v.Kind != yaml.SequenceNode {
		return fmt.Errorf("%s:%d: %s is a list of %s", name, v.Line, key, what)
	}
	for _, item := range v.Content {
		if item.Kind != yaml.ScalarNode {
			return fmt.Errorf("%s:%d: %s is a list of %s", name, item.Line, key, what)
		}
		if err := let(item.Value); err != nil {
			return fmt.Errorf("%s:%d: %w", name, item.Line, err)
		}
	}
	return nil
}

// KnowWord adds a word that the operator uses in names and texts and has found to
// say nothing a machine could heed. It is an error for it to hold no letter, or more
// than one word.
func (l *Limits) KnowWord(word string) error {
	folded := FoldName(word)
	if strings.IndexFunc(folded, unicode.IsLetter) < 0 || strings.IndexFunc(folded, func(c rune) bool { return !unicode.IsLetter(c) && !unicode.IsDigit(c) }) >= 0 {
		return fmt.Errorf("%s takes words one by one, of letters and digits, and %q is none", knownWordsKey, word)
	}
	if i, ok := slices.BinarySearch(l.knownWords, folded); !ok {
		l.knownWords = slices.Insert(slices.Clone(l.knownWords), i, folded)
	}
	return nil
}

// KnownWords are the operator's own, folded, in order.
func (l *Limits) KnownWords() []string { return slices.Clone(l.knownWords) }

// WithoutKnownWords returns the limits without the operator's own words.
func (l *Limits) WithoutKnownWords() Limits {
	out := *l
	out.knownWords = nil
	return out
}

// KnowsWord reports whether a folded word is one of the operator's own.
func (l *Limits) KnowsWord(word string) bool {
	_, ok := slices.BinarySearch(l.knownWords, word)
	return ok
}

// nearestLimit returns the known key with the least edit distance.
func nearestLimit(key string) string {
	keys := make([]string, 0, len(LimitTable))
	for _, d := range LimitTable {
		keys = append(keys, d.Key)
	}
	return Nearest(key, keys)
}

// Nearest returns the known word with the fewest edits to the given one, in any
// case, the first of several; known must not be empty. It is for hints in
// errors.
func Nearest(word string, known []string) string {
	word = strings.ToLower(word)
	best, least := known[0], editDistance(word, known[0])
	for _, k := range known[1:] {
		if cost := editDistance(word, k); cost < least {
			best, least = k, cost
		}
	}
	return best
}

// editDistance is Levenshtein's distance, by rows, of words cut to 40 bytes, so
// that a hostile key costs no time.
func editDistance(a, b string) int {
	a, b = a[:min(len(a), 40)], b[:min(len(b), 40)]
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := 1; i <= len(a); i++ {
		diagonal := row[0]
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := diagonal
			if a[i-1] != b[j-1] {
				cost++
			}
			diagonal = row[j]
			row[j] = min(cost, row[j]+1, row[j-1]+1)
		}
	}
	return row[len(b)]
}
