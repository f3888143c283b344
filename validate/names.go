// The names of the rules, as reports and --explain write them.

package validate

// The rules of Check, in the order of the table.
const (
	RuleCoordinateInvalid      = "coordinate-invalid"
	RuleAxesSwapped            = "axes-swapped"
	RuleFeatureFarAway         = "feature-far-away"
	RuleRingOpen               = "ring-open"
	RuleRingTooFewPoints       = "ring-too-few-points"
	RuleRingRepeatedPoint      = "ring-repeated-point"
	RuleRingSpike              = "ring-spike"
	RuleRingCrossesItself      = "ring-crosses-itself"
	RuleRingDirection          = "ring-direction"
	RuleHoleOutsideShell       = "hole-outside-shell"
	RuleHolesOverlap           = "holes-overlap"
	RuleInteriorSplit          = "interior-split"
	RuleCurveCoarse            = "curve-coarse"
	RuleKeepoutOutsideZone     = "keepout-outside-zone"
	RuleKeepoutsOverlap        = "keepouts-overlap"
	RuleZonesOverlap           = "zones-overlap"
	RuleZoneCount              = "zone-count"
	RuleZoneMissing            = "zone-missing"
	RuleZoneOverBuilding       = "zone-over-building"
	RuleZoneSplit              = "zone-split"
	RulePassageNarrow          = "passage-narrow"
	RuleHazardUncovered        = "hazard-uncovered"
	RuleEdgeSetback            = "edge-setback"
	RuleBoundaryCrossed        = "boundary-crossed"
	RuleCorridorOffZone        = "corridor-off-zone"
	RuleCorridorOffDock        = "corridor-off-dock"
	RuleCorridorThroughKeepout = "corridor-through-keepout"
	RuleCorridorNarrow         = "corridor-narrow"
	RuleCorridorHairpin        = "corridor-hairpin"
	RuleZoneUnreachable        = "zone-unreachable"
	RuleDockMissing            = "dock-missing"
	RuleDockInKeepout          = "dock-in-keepout"
	RuleDockApproach           = "dock-approach"
	RuleDockPathBlocked        = "dock-path-blocked"
	RuleDockUnreachable        = "dock-unreachable"
	RuleBaseMissing            = "base-missing"
	RuleBaseRange              = "base-range"
	RuleBaseHeight             = "base-height"
	RuleBaseFrame              = "base-frame"
	RuleBaseInZone             = "base-in-zone"
	RuleThingsOverlap          = "things-overlap"
	RuleLayerShifted           = "layer-shifted"
	RuleSurveyQuality          = "survey-quality"
	RuleBaseMoved              = "base-moved"
	RuleSlopeLimit             = "slope-limit"
	RuleCableRun               = "cable-run"
	RuleSkyBlocked             = "sky-blocked"
	RuleSatellitesFew          = "satellites-few"
	RuleRadioShadow            = "radio-shadow"
	RuleNameMissing            = "name-missing"
	RuleNameRepeated           = "name-repeated"
	RuleRoleUnknown            = "role-unknown"
	RuleRoleMissing            = "role-missing"
	RuleGeometryUnfit          = "geometry-unfit"
	RuleSwitchUnfit            = "switch-unfit"
	RulePropertyMisnamed       = "property-misnamed"
	RulePropertyUnread         = "property-unread"
	RuleWordsUnread            = "words-unread"
	RuleNameContradicts        = "name-contradicts"
	RuleOtherInZone            = "other-in-zone"
	RuleLimitsInvalid          = "limits-invalid"
	RuleLimitLoosened          = "limit-loosened"
)

// The rules on coordinate operations.
const (
	RuleAccuracyUnfit = "accuracy-unfit"
	RuleEpochUnknown  = "epoch-unknown"
)

// The rules on the marks of a placement.
const (
	RuleResidual = "residual-over-limit"
	RuleSuspect  = "mark-suspect"
)

// The rules on a displacement.
const (
	RuleDriftEntersHazard   = "drift-enters-hazard"
	RuleDriftEntersBuilding = "drift-enters-building"
	RuleDriftCrossesEdge    = "drift-crosses-edge"
	RuleDriftLeavesBoundary = "drift-leaves-boundary"
	RuleDriftEntersKeepout  = "drift-enters-keepout"
	RuleDriftLeavesZone     = "drift-leaves-zone"
	RuleDriftOffDock        = "drift-off-dock"
	RuleDriftBaseRange      = "drift-base-range"
	RuleDriftHeight         = "drift-height"
)

// The rules on tracks.
const (
	RuleDrivenMissed         = "driven-missed"
	RuleDrivenEntersKeepout  = "driven-enters-keepout"
	RuleDrivenEntersHazard   = "driven-enters-hazard"
	RuleDrivenEntersBuilding = "driven-enters-building"
	RuleDrivenLeavesBoundary = "driven-leaves-boundary"
	RuleDrivenLeavesZone     = "driven-leaves-zone"
	RuleDrivenOffCorridor    = "driven-off-corridor"
	RuleDrivenOffDock        = "driven-off-dock"
	RuleDrivenFixLost        = "driven-fix-lost"
	RuleDrivenBaseMoved      = "driven-base-moved"
)
