// Which warnings of a reader are losses: content of the file that the plan
// lacks.

package wire

import (
	"strings"
	"sync"
)

// lost are the kinds of warnings that say that content was not read.
var lost = sync.OnceValue(func() map[string]bool {
	lost := map[string]bool{}
	for _, kind := range strings.Fields("skipped-foreign skipped-unknown skipped-name" +
		" skipped-name skipped-description skipped-Snippet skipped-snippet skipped-address skipped-phoneNumber skipped-AddressDetails skipped-Metadata skipped-ExtendedData" +
		" skipped-NetworkLink skipped-NetworkLinkControl skipped-GroundOverlay skipped-ScreenOverlay skipped-PhotoOverlay skipped-Tour skipped-Model skipped-Placemark skipped-Folder skipped-Document" +
		" skipped-TimeStamp skipped-TimeSpan skipped-SimpleArrayField skipped-SimpleArrayData skipped-angles skipped-Point skipped-LineString skipped-LinearRing skipped-Polygon skipped-MultiGeometry" +
		" skipped-Track skipped-MultiTrack skipped-coordinates skipped-Update drawn-elsewhere table-drawn column-drawn paper-drawn paper-ground track-point" +
		" attribute-unknown element-unknown extension-unknown stray-text kmz-documents kmz-drawn zip-drawn" +
		" entity-left-out annotation-left-out dimension-left-out entity-damaged block-external block-missing block-clipped block-depth block-cycle mesh-refused record-damaged" +
		" update-delete style-role geometry-member-dropped position-extra-numbers position-fourth measure members-merged") {
		lost[kind] = true
	}
	return lost
})

// Lost reports whether the warning says that content of the file was not read.
func (w Warning) Lost() bool { return lost()[w.Kind] }

// ground are the kinds of warnings that say that something drawn, a feature, a
// part of one or a point of a line, is not in the plan as the file has it.
var ground = sync.OnceValue(func() map[string]bool {
	ground := map[string]bool{}
	for _, kind := range strings.Fields("skipped-unknown skipped-NetworkLink skipped-Model skipped-Placemark skipped-Folder skipped-Document skipped-Update" +
		" skipped-Point skipped-LineString skipped-LinearRing skipped-Polygon skipped-MultiGeometry skipped-Track skipped-MultiTrack skipped-coordinates" +
		" kmz-documents kmz-drawn zip-drawn kmz-path ring-empty track-gap geometry-empty geometry-missing line-empty" +
		" element-left-out altitude-offset spiral entity-left-out entity-damaged record-damaged record-missing part-missing part-alone" +
		" block-external block-missing block-clipped block-depth block-cycle block-scale mesh-refused ring-without-area layer-line-open" +
		" place-elsewhere drawn-elsewhere drawn-unseen bbox-wrong bbox-far layer-view table-drawn column-drawn paper-drawn paper-ground table-alone table-length seq-gap line-short line-not-started position-fourth curve-unclear geometry-second crs-second crs-of-part row-remark arc-unused record-beyond sentence-damaged line-damaged" +
		" update-delete style-role geometry-member-dropped segment-unknown element-second attribute-unread preamble-drawn data-second name-second folder-data sea-floor section-none section-unknown block-twice drawn-endless role-danger-moved spline-open deleted-shape prj-borrowed prj-second srs-contradicts hole-without-shell shell-inside-shell") {
		ground[kind] = true
	}
	return ground
})

// Ground reports whether the warning says that something drawn is missing from
// the plan, or stands in it otherwise than in the file, so that a danger may
// have gone with it.
func (w Warning) Ground() bool { return ground()[w.Kind] }

// beside are the kinds of warnings whose texts the plan has in Beside, where its
// rules read their words.
var beside = sync.OnceValue(func() map[string]bool {
	return kindsOf("skipped-foreign skipped-name skipped-description skipped-Snippet skipped-snippet skipped-address skipped-phoneNumber skipped-AddressDetails skipped-Metadata skipped-ExtendedData" +
		" skipped-author skipped-link skipped-GroundOverlay skipped-ScreenOverlay skipped-PhotoOverlay skipped-BalloonStyle skipped-ListStyle style-reduced kmz-entries zip-entries paper-space dimension-left-out preamble comment layer-left-out metadata")
})

// stride are the kinds of warnings that a reader took in stride: the plan has all
// that the file says there, or what it lacks says nothing of the ground, how it is
// shown and of which version the file is.
var stride = sync.OnceValue(func() map[string]bool {
	return kindsOf("attribute-per-vertex attribute-repeated axes-west-south bare-geometry block-clip-off block-clip-refused block-clip-undecided boundary-rings" +
		" byte-order-mark cells-empty checksum-missing clock-back clock-forward code-page-unknown colour-invalid columns command-inside coordinates-comma" +
		" coordinates-spaced creator-missing crs-assumed crs-changed crs-member crs-named crs-unknown curve-radius data-repeated date-late" +
		" date-old date-unknown decimal-mark degrees deleted-record drawing-says-grid edited element-empty element-misplaced element-repeated" +
		" elevation-empty encoding encoding-damaged encoding-guessed encoding-unknown entity-copied eof-missing epoch-overridden extrusion-empty field-cut" +
		" field-limit field-name field-type fix-none fix-poor frame-overridden geodata-unused geometry-nonstandard geometry-siblings geometry-transformed" +
		" hatch-gap hatch-textbox header-skipped height-geoid height-none heights-zero id-null inactive index-damaged insert-point-far json-broken kml-nested" +
		" kmz-folder layer-changed leader-text-near line-closed line-feed-missing line-left-out line-work linear-ring longitudes-apart markup-in-text measure" +
		" members-merged moment-repeated namespace-missing namespace-old namespace-unknown no-features outside-area parcel-open part-empty part-short" +
		" place-missing point-left-out prefix-unbound prefix-undeclared prj-missing prj-note prj-unread properties-missing quality-unknown quality-unstated" +
		" receivers-mixed ring-closed ring-direction ring-reversed ring-snapped role-case role-from-layer role-from-new-layer role-unknown row-empty rows-joined" +
		" schema-unknown sigma-large site-large site-small skipped-CascadingStyle skipped-Icon skipped-IconStyle skipped-LabelStyle skipped-LineStyle" +
		" skipped-NetworkLinkControl skipped-PolyStyle skipped-Schema skipped-SimpleField skipped-Style skipped-StyleMap skipped-altitudeMode" +
		" skipped-altitudeOffset skipped-angles skipped-displayName skipped-drawOrder skipped-extrude skipped-interpolate skipped-open skipped-rank" +
		" skipped-styleUrl skipped-tessellate spaces-trimmed spline-through-points spline-without-knots steps-coarse style-unknown text-cut text-empty" +
		" text-like-list text-trimmed track-point track-times unit unit-from-geodata unit-overridden value-as-text value-blank value-form value-too-long" +
		" value-type version-missing version-unknown view-skipped waypoint-inside week-rollover width-drawn word-known")
})

func kindsOf(list string) map[string]bool {
	out := map[string]bool{}
	for _, kind := range strings.Fields(list) {
		out[kind] = true
	}
	return out
}

// Unheard reports whether the warning is of something that may say something of
// the plan and that no rule is given: neither drawn, nor a text of Plan.Beside, nor
// of a kind that is known to lack nothing. A kind that is in no list is one.
func (w Warning) Unheard() bool { return !w.Ground() && !beside()[w.Kind] && !stride()[w.Kind] }

// Step reports whether the warning is none: it says how the reader put the plan
// where it is, as a step between systems does.
func (w Warning) Step() bool { return w.Kind == "drawing-says-grid" }

// notes are the kinds of what a writer tells that is no loss: which way round
// an outline is written is the format's to say, and the outline is kept.
var notes = map[string]bool{"ring-reversed": true}
