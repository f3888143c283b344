// Measures under names that only describe: units that are no metre, a north that is
// none of the map's, speeds that no machine drives, heights that are not those of the
// points. Part of property-unread.

package validate

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

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
	return unitKeys[folded] && !metric(a.Value) || oddNorth(folded, a.Value) || tooFast(*a) || f.otherHeight(a) || f.noSize(a, folded)
}

// noSize reports whether a property says of how large something is what nothing is: less
// than nothing, or nothing of what has an outline or a line.
func (f *Feature) noSize(a *schema.Attribute, folded string) bool {
	area := areaNames[folded] || areaNames[withoutUnit(a.Key)]
	long := slices.Contains(sizeNames, folded) || slices.Contains(sizeNames, withoutUnit(a.Key)) || folded == "shapearea" || folded == "shapelength" || folded == "shapeleng"
	if !area && !long && !slices.Contains(storeyWords, strings.ToLower(a.Key)) {
		return false
	}
	n, ok := schema.NumberSaid(a.Value)
	if text := strings.TrimSpace(a.Value.Text()); !ok && len(text) > 1 && text[0] == '-' && text[1] >= '0' && text[1] <= '9' {
		return true // -600 m2
	}
	drawn := len(f.Areas) > 0 || long && !area && len(f.Lines) > 0
	return ok && (n < 0 || n == 0 && drawn && (area || long))
}

var areaNames = setOf("area aream2 areasqm sqm m2 fläche flaeche oppervlakte areal surface superficie shapearea starea hectares ha acres sqft")

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

// styleMeans is what a property says of how its feature is drawn.
type styleMeans uint8

const (
	styleNone styleMeans = iota
	styleWhole
	styleClear // how transparent it is
	styleColour
	styleFill
	styleFillColour
	styleStroke
	styleStrokeColour
	styleStrokeWidth
	styleText
)

var styleKeys = remembered[styleMeans]{of: func(key string) styleMeans {
	switch strings.TrimPrefix(foldKey(key), "marker") {
	case "opacity":
		return styleWhole
	case "transparency":
		return styleClear
	case "color", "colour", "iconcolor":
		return styleColour
	case "fillopacity":
		return styleFill
	case "fill", "fillcolor", "fillcolour":
		return styleFillColour
	case "strokeopacity":
		return styleStroke
	case "stroke", "strokecolor", "strokecolour", "linecolor", "linecolour":
		return styleStrokeColour
	case "strokewidth", "linewidth":
		return styleStrokeWidth
	case "style", "styles", "css":
		return styleText
	}
	return styleNone
}}

// leastOpacity is below what share of full colour nobody sees a thing on a map (common
// practice, no source).
const leastOpacity = 0.1

// unseenStyle are what a feature's style leaves of it that nobody sees.
type unseenStyle struct {
	whole, fill, stroke bool
	says                string // the first property that does
}

func (u *unseenStyle) take(a *schema.Attribute, nested int) {
	means := styleKeys.get(a.Key)
	if means == styleNone {
		return
	}
	n, number := schema.NumberSaid(a.Value)
	if p, ok := strings.CutSuffix(strings.TrimSpace(a.Value.Text()), "%"); ok && !number {
		if n, number = schema.NumberSaid(schema.String(strings.TrimSpace(p))); number {
			n /= 100
		}
	}
	var to *bool
	switch means {
	case styleWhole, styleFill, styleStroke:
		if number && n < leastOpacity {
			to = map[styleMeans]*bool{styleWhole: &u.whole, styleFill: &u.fill, styleStroke: &u.stroke}[means]
		}
	case styleClear:
		if number && (n > 1-leastOpacity && n <= 1 || n > 100*(1-leastOpacity)) {
			to = &u.whole
		}
	case styleColour, styleFillColour, styleStrokeColour:
		if clearColour(a.Key, a.Value.Text()) {
			to = map[styleMeans]*bool{styleColour: &u.whole, styleFillColour: &u.fill, styleStrokeColour: &u.stroke}[means]
		}
	case styleStrokeWidth:
		if number && n <= 0 {
			to = &u.stroke
		}
	case styleText:
		for i, fields := 0, a.Value.Fields(); i < len(fields) && nested == 0; i++ {
			u.take(&fields[i], 1)
		}
		if hiddenStyle().MatchString(a.Value.Text()) {
			to = &u.whole
		}
	}
	if to != nil {
		*to = true
		if u.says == "" {
			u.says = quote(a.Key) + " " + clipped(shown(a.Value))
		}
	}
}

var hiddenStyle = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`(?i)(?:^|[;{\s])(?:opacity\s*:\s*0?(?:\.0\d*)?(?:%|\s|;|}|$)|display\s*:\s*none|visibility\s*:\s*hidden)`)
})

// clearColour reports whether a colour is none that anybody sees.
func clearColour(key, text string) bool {
	text = strings.ToLower(strings.TrimSpace(text))
	if text == "none" || text == "transparent" || text == "invisible" {
		return true
	}
	if hex, ok := strings.CutPrefix(text, "#"); ok && len(hex) == 8 {
		n, err := strconv.ParseUint(hex[6:], 16, 8)
		// With ff before it the first two may be how opaque it is, but where our readers wrote it.
		ours := key == schema.PropLineColor || key == schema.PropFillColor || key == schema.PropIconColor
		return err == nil && float64(n) < leastOpacity*255 && (ours || hex[:2] != "ff")
	}
	if args, ok := strings.CutPrefix(text, "rgba("); ok {
		parts := strings.FieldsFunc(args, func(c rune) bool { return strings.ContainsRune(", /)", c) })
		n, err := strconv.ParseFloat(parts[max(0, len(parts)-1)], 64)
		return len(parts) == 4 && err == nil && n < leastOpacity
	}
	return false
}

// of reports whether nothing of the feature is seen.
func (u *unseenStyle) of(f *Feature) bool {
	switch {
	case u.whole:
		return true
	case len(f.Areas) > 0 || len(f.Points) > 0:
		return u.fill && u.stroke
	}
	return u.stroke
}

// unseen notes features that are drawn so that nobody sees them on a map.
func (r *run) unseen() {
	var says []string
	var list []*Feature
	more := 0
	for _, f := range r.Features {
		if f.Role == schema.RoleOther || f.Role == "" {
			continue
		}
		var u unseenStyle
		for i := range f.Attributes {
			u.take(&f.Attributes[i], 0)
		}
		switch {
		case !u.of(f):
		case len(list) < mostUnread:
			says, list = append(says, fmt.Sprintf("%s (%s)", f.describe(), u.says)), append(list, f)
		default:
			more++
		}
	}
	if len(list) == 0 {
		return
	}
	if more > 0 {
		says = append(says, fmt.Sprintf("%d more", more))
	}
	x := r.finding(r.middle(list[0]), list...)
	x.Message = fmt.Sprintf("drawn so that nobody sees it on a map: %s. It is checked as if it stood there: show it, or, where it is gone, switch it off (active false)", strings.Join(says, "; "))
}
