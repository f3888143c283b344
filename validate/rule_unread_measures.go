// Measures under names that only describe: units that are no metre, a north that is
// none of the map's, speeds that no machine drives, heights that are not those of the
// points. Part of property-unread.

package validate

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"swardline/schema"
)

// fastestKMH is faster than any machine mows that drives alone, in km/h (common
// practice, no source).
const fastestKMH = 10.0

var (
	unitKeys = setOf("unit units einheit unité unidad eenheid unità enhed enhet yksikkö")
	// trueNorths are words for the north of the map itself.
	trueNorths = setOf("n north up true truenorth grid gridnorth geographic geographisch top oben nord norden map")
	speedKeys  = setOf("speed speedkmh speedmps speedms speedkph speedmph velocity geschwindigkeit vitesse velocidad snelheid velocità hastighed hastighet nopeus")
)

// oddMeasure reports whether a plain property of a feature says a measure that is read
// otherwise than it is meant.
func (f *Feature) oddMeasure(a *schema.Attribute) bool {
	folded := foldKey(a.Key)
	return unitKeys[folded] && !metric(a.Value) || oddNorth(folded, a.Value) || tooFast(*a) || f.otherHeight(a)
}

// metric reports whether every text of a value is a word for metres or degrees.
func metric(v schema.Value) bool {
	ok := true
	eachText(v, func(text string) { ok = ok && slices.Contains(metreWords, foldKey(text)) })
	return ok
}

// oddNorth reports whether a value says of north in words which one it is, and that is
// not the map's.
func oddNorth(folded string, v schema.Value) bool {
	if folded != "north" && folded != "northreference" && folded != "headingreference" {
		return false
	}
	odd := false
	eachText(v, func(text string) {
		_, number := schema.NumberSaid(schema.String(text))
		odd = odd || !number && !holdsNumber(schema.String(text)) && !trueNorths[foldKey(text)]
	})
	return odd
}

// tooFast reports whether a speed is one that no machine mows with.
func tooFast(a schema.Attribute) bool {
	folded := foldKey(a.Key)
	if !speedKeys[folded] {
		return false
	}
	text := strings.ToLower(strings.TrimSpace(a.Value.Text()))
	end := 0
	for end < len(text) && strings.IndexByte("0123456789.,-", text[end]) >= 0 {
		end++
	}
	n, err := strconv.ParseFloat(strings.ReplaceAll(text[:end], ",", "."), 64)
	if err != nil {
		return false
	}
	unit := strings.TrimSpace(text[end:])
	switch {
	case unit == "m/s" || unit == "ms" || unit == "mps" || unit == "" && (strings.HasSuffix(folded, "ms") || strings.HasSuffix(folded, "mps")):
		n *= 3.6
	case unit == "mph" || unit == "" && strings.HasSuffix(folded, "mph"):
		n *= 1.609344
	}
	return n > fastestKMH+1e-9 || n < 0
}

// relativeM: a height of less than that beside points that lie more than that off is one
// above the ground (common practice, no source).
const relativeM = 10.0

var heightKeys = setOf("elevation ele altitude asl heightasl z")

// otherHeight reports whether a property says how high something lies, and its points
// say another height, farther off than two references of height may lie apart.
func (f *Feature) otherHeight(a *schema.Attribute) bool {
	if !heightKeys[foldKey(a.Key)] {
		return false
	}
	n, ok := schema.NumberSaid(a.Value)
	low, high := f.heightRange()
	if !ok || low > high {
		return false
	}
	off := max(low-n, n-high)
	return off > geoidM || math.Abs(n) < relativeM && off > relativeM
}
