// What a feature says of its own size in its properties (area, perimeter,
// length), held against what is drawn: part of geometry-unfit.

package validate

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// sizeMeans is what a property's name says that it measures.
type sizeMeans struct {
	what sizeWhat
	unit float64 // in m or m2, 0 where the name has none
}

type sizeWhat uint8

const (
	sizeNone sizeWhat = iota
	sizeArea
	sizeRound
	sizeLong
	sizeAcross
)

// sizeWords are such names, folded and without a unit, and areaUnits and
// alongUnits what units they and their values are in (common practice, no source;
// the international foot is 0.3048 m, the acre 43,560 square feet).
var (
	sizeWords = map[sizeWhat][]string{
		sizeArea:  strings.Fields("area surface fläche flaeche flächeninhalt superficie oppervlakte oppervlak areal yta pintaala acres hectares starea shapearea netarea grossarea mownarea"),
		sizeRound: strings.Fields("perimeter circumference umfang périmètre perimetro perímetro omtrek omkrets omkreds"),
		sizeLong:  strings.Fields("length len leng länge laenge longueur longitud lunghezza lengte længde lengde längd pituus stlength shapelength shapeleng"),
		// None of these can be larger than what is drawn is across; smaller it may
		// be, across what is long.
		sizeAcross: strings.Fields("extent extents across diameter width breadth size durchmesser breite ausdehnung grösse größe diamètre largeur étendue taille diámetro ancho anchura tamaño breedte doorsnede afmeting diametro larghezza ampiezza dimensione bredd storlek bredde størrelse leveys koko halkaisija"),
	}
	areaUnits = map[string]float64{"m2": 1, "m²": 1, "sqm": 1, "qm": 1, "squaremetres": 1, "squaremeters": 1, "ha": 1e4, "hectare": 1e4, "hectares": 1e4, "km2": 1e6, "km²": 1e6,
		"sqft": 0.09290304, "ft2": 0.09290304, "ft²": 0.09290304, "acre": 4046.8564224, "acres": 4046.8564224, "sqyd": 0.83612736}
	areaUnitList = []float64{1, 1e4, 1e6, 0.09290304, 4046.8564224}
	alongList    = []float64{1, 0.3048, 0.01, 0.001, 1000}
	roughlyWords = strings.Fields("about approx approximately ca circa c around rund etwa zirka env environ unos aprox circa ongeveer omtrent ungefär noin")
)

// sizeKeys reads the name of a property.
var sizeKeys = remembered[sizeMeans]{of: func(key string) sizeMeans {
	folded := strings.NewReplacer("(", "", ")", "", "[", "", "]", "").Replace(foldKey(key))
	if u, ok := areaUnits[folded]; ok && len(folded) > 1 {
		return sizeMeans{sizeArea, u}
	}
	for what, words := range sizeWords {
		for _, w := range words {
			rest, ok := strings.CutPrefix(folded, w)
			if !ok {
				continue
			}
			units := lengthUnits
			if what == sizeArea {
				units = areaUnits
			}
			if u, known := units[rest]; known || rest == "" {
				return sizeMeans{what, u}
			}
		}
	}
	return sizeMeans{}
}}

// A size that is said has to be that of what is drawn within sizeShare of it,
// half of its last digit, and sizeOffM2 or sizeOffM: what slopes, rounding and
// points between those that were surveyed make of it (starting values from memory).
const (
	sizeShare = 0.05
	sizeOffM2 = 0.5
	sizeOffM  = 0.3
)

// sizesSaid tells of features that say another area, perimeter or length than
// what is drawn of them has.
func (r *run) sizesSaid() {
	told, more := 0, 0
	for _, f := range r.Features {
		if !f.usable() || len(f.Points) > 0 || len(f.Areas)+len(f.Lines) == 0 {
			continue
		}
		for _, a := range f.Attributes {
			if k := a.Value.Kind(); k != schema.KindNumber && k != schema.KindString {
				continue
			}
			means := sizeKeys.get(a.Key)
			if means.what == sizeNone || saysRun(f, a.Key) {
				continue
			}
			said := sizesOf(a.Value, means)
			if len(said.values) == 0 {
				continue
			}
			if means.what == sizeAcross {
				if drawn := acrossDrawn(f); said.exceeds(drawn, feetWords[withoutUnit(a.Key)]) && (said.named || !slices.Contains(looseSizes, foldKey(a.Key))) {
					told++
					r.tellAcross(f, a, &said, drawn)
				}
				continue
			}
			drawn, unit := r.sizesDrawn(f, means.what)
			if means.what == sizeLong && len(f.Areas) > 0 && said.between(f, drawn) {
				continue
			}
			if len(drawn) == 0 || said.fits(drawn, means.what, math.Cos(r.Lat*math.Pi/180)) {
				continue
			}
			if told++; told > mostFindings {
				more++
				continue
			}
			x := r.finding(r.middle(f), f)
			x.Severity = Warning
			x.Measured, x.Unit = said.values[0]*said.units[0], unit
			words := metres(drawn[0])
			if means.what == sizeArea {
				words = squareMetres(drawn[0])
			}
			x.Message = fmt.Sprintf("says %s %s, and what is drawn has %s: is it drawn at a wrong scale or in a wrong place, or was one of the two changed? measure it, and correct the wrong one", a.Key, quote(a.Value.Text()), words)
		}
	}
	if more > 0 {
		r.findings[len(r.findings)-1].Message += fmt.Sprintf(" (and %d more sizes)", more)
	}
}

// widthsSaid tells of gates and ramps whose width_m is not that of their line, where
// it lies along what they open, or across the way with nothing beside it.
func (r *run) widthsSaid() {
	told := 0
	for _, f := range r.usableOf(schema.RoleEdge) {
		kind := edgeKind(f)
		wide, ok := f.Float(schema.PropWidth)
		lines := f.lines()
		if !isCrossing(kind) || !ok || !(wide > 0) || len(lines) != 1 {
			continue
		}
		l := lines[0]
		from, to := l[0], l[len(l)-1]
		middle := orb.Point{(from[0] + to[0]) / 2, (from[1] + to[1]) / 2}
		if from == to || !r.openAlong(kind, from, to) && (kind == schema.EdgeRamp || r.openAlong(kind, middle)) {
			continue // as far as it leads, and not how wide it is
		}
		drawn := groundLength(l)
		off := math.Abs(wide - drawn)
		if may := sizeShare*drawn + sizeOffM; off <= may+slackM {
			continue
		}
		if told++; told > mostFindings {
			continue
		}
		x := r.finding(r.Place(middle), f)
		x.Severity = Note
		x.Measured, x.Unit = wide, "m"
		x.Message = fmt.Sprintf("says width_m %s, and is drawn %s wide: which of the two is the clear way through, and where in the line does it lie? measure it from post to post, and correct the wrong one", trim(wide, 3), metres(drawn))
	}
}

// saysRun reports whether a property is the length of a ramp along the way, which
// slope-limit reads, and not that of its line across it.
func saysRun(f *Feature, key string) bool {
	return key == "length_m" && f.Role == schema.RoleEdge && edgeKind(f) == schema.EdgeRamp
}

// saidSize is what a property says: numbers that its text may mean, the units
// that they may be in, and half of the last digit.
type saidSize struct {
	values, units []float64
	half          float64
	named         bool // the unit is known
}

// sizesOf reads the value of a property that says a size; a text that is none, 0
// and what is below say nothing.
func sizesOf(v schema.Value, means sizeMeans) (out saidSize) {
	unit := means.unit
	text := strings.TrimSpace(v.Text())
	number := text
	if v.Kind() == schema.KindString {
		at := strings.IndexAny(text, "0123456789")
		if at < 0 {
			return out
		}
		for _, w := range letterWords(text[:at]) {
			if !slices.Contains(roughlyWords, w) {
				return out
			}
		}
		if strings.Contains(text[:at], "-") {
			return out
		}
		end := at
		for end < len(text) && strings.IndexByte("0123456789.,' ", text[end]) >= 0 {
			end++
		}
		number = strings.TrimRight(text[at:end], " .,'")
		if rest := strings.TrimRight(foldKey(text[end:]), "."); rest != "" {
			units := lengthUnits
			if means.what == sizeArea {
				units = areaUnits
			}
			u, known := units[rest]
			if !known {
				return out
			}
			unit = u
		}
	}
	for _, n := range [...]string{strings.NewReplacer(" ", "", "'", "", ",", "").Replace(number), strings.NewReplacer(" ", "", "'", "", ".", "", ",", ".").Replace(number)} {
		if d, err := strconv.ParseFloat(n, 64); err == nil && d > 0 && !math.IsInf(d, 0) && !slices.Contains(out.values, d) {
			if v.Kind() == schema.KindNumber && len(out.values) > 0 {
				break
			}
			out.values = append(out.values, d)
			out.half = math.Max(out.half, lastDigit(n))
		}
	}
	if i := strings.LastIndexAny(number, ".,"); i >= 0 { // 1,200 may be three decimals, and 1.200 a thousand
		out.half = 0.5 * math.Pow10(-(len(number) - i - 1))
	}
	out.units, out.named = []float64{unit}, unit > 0
	if unit == 0 {
		out.units = alongList
		if means.what == sizeArea {
			out.units = areaUnitList
		}
	}
	return out
}

// fits reports whether a size that is said is one of those drawn: in any unit it
// may be in, and, where it names none, as programs reckon it in degrees or on a
// chart of Mercator's, cosLat being the cosine of the latitude.
func (s *saidSize) fits(drawn []float64, what sizeWhat, cosLat float64) bool {
	off, degree, chart := sizeOffM, 1/(metresDegree*cosLat), 1/cosLat
	if what == sizeArea {
		off, degree, chart = sizeOffM2, 1/(metresDegree*metresDegree*cosLat), 1/(cosLat*cosLat)
	}
	for _, own := range drawn {
		for _, v := range s.values {
			for _, u := range s.units {
				if math.Abs(v*u-own) <= sizeShare*own+off+s.half*u {
					return true
				}
			}
			if s.named {
				continue
			}
			if what == sizeArea && math.Abs(v-own*degree) <= sizeShare*own*degree || math.Abs(v-own*chart) <= sizeShare/2*own*chart {
				return true
			}
			// A length in degrees is anything between that along a parallel and
			// that along a meridian.
			if what != sizeArea && v >= own/metresDegree*(1-sizeShare) && v <= own*degree*(1+sizeShare) {
				return true
			}
		}
	}
	return false
}

// between reports whether a length that an area says is that of a way along it: no
// more than what is drawn is across, and no less than half of that.
func (s *saidSize) between(f *Feature, drawn []float64) bool {
	if len(drawn) == 0 {
		return true
	}
	for _, v := range s.values {
		for _, u := range s.units {
			if v*u <= drawn[0]*(1+sizeShare)+sizeOffM+s.half*u && v*u >= drawn[0]/2-sizeOffM-s.half*u {
				return true
			}
		}
	}
	return false
}

// exceeds reports whether a size across is larger than what is drawn, in every unit
// that it may be in; a number without a unit is in metres up to mostAcross, or in feet
// where its name is English.
func (s *saidSize) exceeds(drawn float64, feet bool) bool {
	if !(drawn > 0) {
		return false
	}
	units := s.units
	if !s.named {
		units = metreOrFoot[:1]
		if feet {
			units = metreOrFoot[:]
		}
	}
	for _, v := range s.values {
		for _, u := range units {
			if v*u <= drawn*(1+sizeShare)+sizeOffM+s.half*u || !s.named && v > mostAcross {
				return false
			}
		}
	}
	return true
}

var (
	metreOrFoot = [...]float64{lengthUnits["m"], lengthUnits["ft"]}
	feetWords   = setOf("extent extents across diameter width breadth size")
)

// looseSizes are names of sizes that may be anything without a unit: of a group, of shoes.
var looseSizes = strings.Fields("size extent extents grösse größe taille tamaño afmeting dimensione storlek størrelse koko")

// mostAcross is the largest size without a unit that is taken for metres or feet, and
// for none in millimetres (common practice, no source).
const mostAcross = 100

// acrossDrawn is how far a feature that is drawn with areas alone reaches at the most,
// 0 for others: the farthest that two corners of its outlines lie apart, and no more
// than the diagonal of its box where they have many.
func acrossDrawn(f *Feature) float64 {
	if len(f.Areas) == 0 || len(f.Lines)+len(f.Points) > 0 {
		return 0
	}
	const most = 200
	var pts []orb.Point
	for i := range f.Areas {
		if len(f.Areas[i].Ground) > 0 {
			pts = append(pts, f.Areas[i].Ground[0]...)
		}
	}
	if len(pts) > most {
		return acrossBox(f.bound)
	}
	across := 0.0
	for i, p := range pts {
		for _, q := range pts[:i] {
			across = math.Max(across, distance(p, q))
		}
	}
	return across
}

func (r *run) tellAcross(f *Feature, a schema.Attribute, said *saidSize, drawn float64) {
	unit := said.units[0]
	if !said.named {
		unit = 1
	}
	x := r.finding(r.middle(f), f)
	x.Severity = Warning
	x.Measured, x.Limit, x.Unit = said.values[0]*unit, drawn, "m"
	x.Message = fmt.Sprintf("says %s %s, and what is drawn reaches %s at the most: is it drawn at a wrong scale, or only a part of it? measure it, and correct the wrong one", a.Key, quote(a.Value.Text()), metres(drawn))
}

// acrossBox is the diagonal of a box.
func acrossBox(b orb.Bound) float64 { return distance(b.Min, b.Max) }

// sizesDrawn are the sizes of what is drawn of a feature that a property may
// mean, in metres or square metres, the plainest first; nil where there is none.
func (r *run) sizesDrawn(f *Feature, what sizeWhat) (drawn []float64, unit string) {
	if what == sizeArea {
		s := r.solidOf(f)
		if len(f.Areas) == 0 || s.why != "" {
			return nil, "" // of a line with an area a width may be meant
		}
		whole := 0.0
		for _, p := range s.areas {
			whole += plane.Area(orb.MultiPolygon{p[:1]})
		}
		drawn = append(drawn, plane.Area(s.areas), whole)
		if zones := r.zones(); f.Role == schema.RoleZone {
			if i := slices.Index(zones.features, f); i >= 0 {
				drawn = append(drawn, plane.Area(r.netOf(i).areas))
			}
		}
		return drawn, "m2"
	}
	outer, all := 0.0, 0.0
	for i := range f.Areas {
		for k, ring := range f.Areas[i].Ground {
			length := groundLength(ring)
			if n := len(ring); n > 1 {
				length += distance(ring[0], ring[n-1])
			}
			if all += length; k == 0 {
				outer += length
			}
		}
	}
	if len(f.Lines) == 0 {
		if what == sizeLong { // how long an area is, or how far round
			return []float64{acrossBox(f.bound), outer, all}, "m"
		}
		return []float64{outer, all}, "m"
	}
	if len(f.Areas) > 0 || what == sizeRound {
		return nil, ""
	}
	for i := range f.Lines {
		all += groundLength(f.Lines[i].Ground)
	}
	return []float64{all}, "m"
}
