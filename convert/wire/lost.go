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
		" skipped-Track skipped-MultiTrack skipped-coordinates skipped-Update drawn-elsewhere table-drawn column-drawn paper-drawn track-point" +
		" attribute-unknown element-unknown extension-unknown stray-text kmz-documents kmz-drawn zip-drawn" +
		" entity-left-out annotation-left-out entity-damaged block-external block-missing block-clipped block-depth block-cycle mesh-refused record-damaged" +
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
		" place-elsewhere drawn-elsewhere drawn-unseen bbox-wrong layer-view table-drawn column-drawn paper-drawn table-alone table-length seq-gap line-short line-not-started position-fourth curve-unclear geometry-second crs-second crs-of-part row-remark arc-unused record-beyond sentence-damaged line-damaged" +
		" update-delete style-role geometry-member-dropped segment-unknown element-second attribute-unread preamble-drawn data-second name-second folder-data sea-floor section-none section-unknown block-twice drawn-endless role-danger-moved spline-open deleted-shape prj-borrowed hole-without-shell shell-inside-shell") {
		ground[kind] = true
	}
	return ground
})

// Ground reports whether the warning says that something drawn is missing from
// the plan, or stands in it otherwise than in the file, so that a danger may
// have gone with it.
func (w Warning) Ground() bool { return ground()[w.Kind] }

// Step reports whether the warning is none: it says how the reader put the plan
// where it is, as a step between systems does.
func (w Warning) Step() bool { return w.Kind == "drawing-says-grid" }

// notes are the kinds of what a writer tells that is no loss: which way round
// an outline is written is the format's to say, and the outline is kept.
var notes = map[string]bool{"ring-reversed": true}
