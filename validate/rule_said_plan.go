// What a plan says of its own place and size in its members, and what its features say of
// the site they belong to, held against one another: part of geometry-unfit.

package validate

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"swardline/crs"
	"swardline/schema"
)

// planSaid leaves open which place and size hold where the plan's members say others than
// what is drawn, and whether its features are of one site where they say two.
func (r *run) planSaid() {
	for i := range r.Plan.Attributes {
		a := &r.Plan.Attributes[i]
		if !slices.Contains(readOfPlan, a.Key) {
			r.memberSaid(a, mostMemberDepth)
		}
	}
	r.sitesDiffer()
}

// memberSaid looks at a member of the plan, or at one within it.
func (r *run) memberSaid(a *schema.Attribute, depth int) {
	folded := foldKey(a.Key)
	switch {
	case depth == 0 || saysNothing(a.Value):
	case slices.Contains(extentMembers, folded):
		r.extentSaid(a)
	case axisKeys.get(a.Key) != saysNowhere:
		r.axisSaid(a, axisKeys.get(a.Key))
	case sizeKeys.get(a.Key).what == sizeArea:
		r.areaSaid(a)
	case folded == "country" || folded == "land" || folded == "pays" || folded == "countrycode":
		r.countrySaid(a)
	default:
		for _, b := range a.Value.Fields() {
			r.memberSaid(&b, depth-1)
		}
	}
}

// farDegrees is how far in metres a longitude or latitude lies from the plan's middle,
// less half its last digit.
func (r *run) farDegrees(v schema.Value, w axisWord) (float64, bool) {
	n, ok := schema.NumberSaid(v)
	if !ok || n == 0 || r.Frame != FrameEarth {
		return 0, false
	}
	d := math.Abs(n - r.Lat)
	if w == saysLon {
		d = math.Abs(math.Remainder(n-r.Lon, 360)) * math.Cos(r.Lat*math.Pi/180)
	}
	return (d - lastDigit(v.Text())) * metresDegree, true
}

// axisSaid leaves open where a plan lies that says a longitude, a latitude or a height
// far from what is drawn; an easting or a northing of a plan in degrees is of a grid that
// nobody names.
func (r *run) axisSaid(a *schema.Attribute, w axisWord) {
	switch w {
	case saysLon, saysLat:
		if d, ok := r.farDegrees(a.Value, w); ok && d > r.limits.SiteSpanM {
			r.cannot("the plan says %s %s, and what is drawn lies %s off that: which of the two is the site? correct the wrong one, or take it out", quote(a.Key), clipped(shown(a.Value)), metres(d))
		}
	case saysHeight:
		low, high := math.Inf(1), math.Inf(-1)
		for _, f := range r.Features {
			if l, h := f.heightRange(); f.hasHeights && l <= h {
				low, high = min(low, l), max(high, h)
			}
		}
		n, ok := schema.NumberSaid(heightText(a.Value))
		if off := max(low-n, n-high); ok && n != 0 && low <= high && off > geoidM {
			r.cannot("the plan says %s %s, and its heights lie %s off that: which of the two is the site's? correct the wrong one, or take it out", quote(a.Key), clipped(shown(a.Value)), metres(off))
		}
	case saysEast, saysNorth:
		n, ok := schema.NumberSaid(a.Value)
		if !ok || math.Abs(n) <= 360 || r.Frame != FrameEarth || r.Plan.CRS == nil {
			return
		}
		if !r.nearGrids(n, w) {
			r.cannot("the plan says %s %s, which is not where it lies in any grid of this place: correct it, or take it out", quote(a.Key), clipped(shown(a.Value)))
		}
	}
}

// nearGrids reports whether a number is the easting or northing of the plan's middle,
// within sameGridM, in its own system or in one that is used there.
func (r *run) nearGrids(n float64, w axisWord) bool {
	near := func(c *crs.CRS) bool {
		at := []float64{r.Lon, r.Lat}
		if c.IsDegrees() || c.FromGeodetic(at, 2) != nil {
			return false
		}
		return math.Abs(at[w-saysEast]-n)*c.UnitMetres() <= sameGridM
	}
	if near(r.Plan.CRS) {
		return true
	}
	list, err := crs.Near(crs.Degrees(r.Lat), crs.Degrees(r.Lon))
	return err != nil || slices.ContainsFunc(list, func(s crs.Suggestion) bool { return near(s.CRS) })
}

// extentSaid leaves open where a plan lies whose extent or middle, as its members say
// them in degrees, is elsewhere.
func (r *run) extentSaid(a *schema.Attribute) {
	if r.Frame != FrameEarth {
		return
	}
	var lon, lat []float64
	if len(a.Value.Items()) > 0 {
		var flat []float64
		eachNumber(a.Value, func(n float64) { flat = append(flat, n) })
		switch len(flat) {
		case 2:
			lon, lat = flat[:1], flat[1:]
		case 4:
			lon, lat = []float64{flat[0], flat[2]}, []float64{flat[1], flat[3]}
		case 6: // with heights
			lon, lat = []float64{flat[0], flat[3]}, []float64{flat[1], flat[4]}
		}
	}
	for _, b := range a.Value.Fields() {
		n, ok := schema.NumberSaid(b.Value)
		k := foldKey(b.Key)
		switch {
		case !ok:
		case strings.HasSuffix(k, "lat") || strings.HasSuffix(k, "latitude") || strings.HasPrefix(k, "lat") || strings.HasPrefix(k, "y") || strings.HasSuffix(k, "y") || k == "south" || k == "north":
			lat = append(lat, n)
		case strings.Contains(k, "lon") || strings.Contains(k, "lng") || strings.HasPrefix(k, "x") || strings.HasSuffix(k, "x") || k == "west" || k == "east":
			lon = append(lon, n)
		}
	}
	if len(lon) == 0 || len(lat) == 0 || slices.ContainsFunc(lon, func(n float64) bool { return math.Abs(n) > 360 }) || slices.ContainsFunc(lat, func(n float64) bool { return math.Abs(n) > 360 }) {
		return // of a grid
	}
	off := func(lon, lat []float64) float64 {
		east := max(slices.Min(lon)-r.Lon, r.Lon-slices.Max(lon)) * math.Cos(r.Lat*math.Pi/180)
		north := max(slices.Min(lat)-r.Lat, r.Lat-slices.Max(lat))
		return max(east, north) * metresDegree
	}
	if d := min(off(lon, lat), off(lat, lon)); d > r.limits.SiteSpanM {
		r.cannot("the plan says a %s that lies %s off what is drawn: which of the two is the site? correct the wrong one, or take it out", quote(a.Key), metres(d))
	}
}

// An area that a plan says is of all that is drawn and as much again, or of half of the
// smallest lawn, and nothing beyond (common practice, no source).
const planAreaMost, planAreaLeast = 2.0, 0.5

// areaSaid leaves open what of a plan is drawn that says an area that none of it is near.
func (r *run) areaSaid(a *schema.Attribute) {
	said := sizesOf(a.Value, sizeKeys.get(a.Key))
	least, box := math.Inf(1), emptyBox()
	for _, f := range r.Features {
		if !f.usable() || f.Role == schema.RoleOther {
			continue
		}
		enlarge(&box, f.Bound().Min)
		enlarge(&box, f.Bound().Max)
		if drawn, _ := r.sizesDrawn(f, sizeArea); f.Role == schema.RoleZone && len(drawn) > 0 {
			least = min(least, slices.Min(drawn))
		}
	}
	most := (box.Max[0] - box.Min[0]) * (box.Max[1] - box.Min[1])
	if len(said.values) == 0 || math.IsInf(least, 1) {
		return
	}
	for _, v := range said.values {
		for _, u := range said.units {
			if v*u >= planAreaLeast*least && v*u <= planAreaMost*most {
				return
			}
		}
	}
	r.cannot("the plan says %s %s, and nothing near that is drawn: is it of another site, or is some of it missing? correct it, or take it out", quote(a.Key), clipped(shown(a.Value)))
}

// countryNames are names and codes of countries as the registry of systems names them
// (ISO 3166-1, from memory).
var countryNames = sync.OnceValue(func() map[string]string {
	out := map[string]string{}
	for line := range strings.SplitSeq(`Germany de deu deutschland allemagne alemania duitsland germania tyskland saksa
Austria at aut österreich autriche oostenrijk österrike østrig itävalta
Switzerland ch che schweiz suisse svizzera suiza zwitserland schweiz sveits sveitsi
France fr fra frankreich francia frankrijk frankrike frankrig ranska
Spain es esp españa spanien espagne spagna spanje espanja
Portugal pt prt portugali
Italy it ita italia italien italie italië
Netherlands nl nld nederland niederlande holland pays-bas paesibassi nederländerna
Belgium be bel belgien belgique belgië belgio bélgica
Luxembourg lu lux luxemburg
Denmark dk dnk danmark dänemark danemark dinamarca denemarken danimarca tanska
Norway no nor norge norwegen norvège noruega noorwegen norvegia norja
Sweden se swe sverige schweden suède suecia zweden svezia ruotsi
Finland fi fin suomi finnland finlande finlandia
Iceland is isl ísland island
Ireland ie irl éire irland irlande irlanda ierland irlanti
UK gb gbr uk unitedkingdom greatbritain england scotland wales vereinigteskönigreich grossbritannien royaume-uni
Poland pl pol polska polen pologne polonia puola
Czechia cz cze czechrepublic tschechien česko
Slovakia sk svk slowakei slovensko
Hungary hu hun ungarn magyarország
Slovenia si svn slowenien slovenija
Croatia hr hrv kroatien hrvatska
Romania ro rou rumänien românia
Bulgaria bg bgr bulgarien
Greece gr grc griechenland
Estonia ee est estland eesti
Latvia lv lva lettland latvija
Lithuania lt ltu litauen lietuva
USA us usa unitedstates unitedstatesofamerica
Canada ca can kanada
Mexico mx mex mexiko méxico
Australia au aus australien
New_Zealand nz nzl neuseeland newzealand
Japan jp jpn
China cn chn
India in ind
Brazil br bra brasilien brasil
South_Africa za zaf südafrika southafrica`, "\n") {
		words := strings.Fields(line)
		name := strings.ReplaceAll(words[0], "_", " ")
		for _, w := range append(words[1:], strings.ToLower(words[0])) {
			out[strings.ReplaceAll(w, "_", "")] = name
		}
	}
	return out
})

// countrySaid leaves open where a plan lies that says a country in no system of which it
// lies. One that the registry has no system of is not known.
func (r *run) countrySaid(a *schema.Attribute) {
	name := countryNames()[foldKey(a.Value.Text())]
	if name == "" || r.Frame != FrameEarth {
		return
	}
	known := false
	for _, c := range crs.List(name) {
		if area := c.AreaName(); strings.HasPrefix(area, name) {
			if known = true; r.inArea(c) {
				return
			}
		}
	}
	if known {
		r.cannot("the plan says %s %s, and what is drawn lies in none of that country's systems: which of the two is the site? correct the wrong one, or take it out", quote(a.Key), quote(a.Value.Text()))
	}
}

// besideCountryDeg is how far in degrees beside the box of a country's system a site of it
// may lie (common practice, no source).
const besideCountryDeg = 0.1

// inArea reports whether the plan lies in the area of use of a system, or hardly beside it.
func (r *run) inArea(c *crs.CRS) bool {
	for _, dx := range [...]float64{0, -besideCountryDeg, besideCountryDeg} {
		for _, dy := range [...]float64{0, -besideCountryDeg, besideCountryDeg} {
			if c.Covers(crs.Degrees(math.Remainder(r.Lon+dx, 360)), crs.Degrees(math.Max(-90, math.Min(90, r.Lat+dy)))) {
				return true
			}
		}
	}
	return false
}

// siteKeys are properties that say to which site a feature belongs, of which one plan has
// one; placeKeys those of which marks about a site may have others, and partKeys those of
// which a site may have several, though its base and dock stand on one of them; folded
// (common practice, no source).
var (
	siteKeys  = setOf("site sitename siteid project projectid projectno country estate city town village county region client customer job jobno jobnumber contract " + addressKeys)
	placeKeys = setOf(addressKeys)
	partKeys  = setOf("parcel plot cadastre lot flurstück parzelle")
)

const addressKeys = "address addr street postcode zip zipcode postal"

// siteKeyOf is a property's name as siteKeys and partKeys have it, "" for any other.
var siteKeyOf = remembered[string]{of: func(key string) string {
	k := foldKey(strings.TrimPrefix(key, "addr:"))
	if siteKeys[k] || partKeys[k] {
		return k
	}
	return ""
}}

// siteSaid is what a feature, or the plan for nil, says of its site under a name.
type siteSaid struct {
	key, value string
	f          *Feature
}

// sitesDiffer notes the first feature that says another site than others of its plan.
func (r *run) sitesDiffer() {
	var all []siteSaid
	take := func(f *Feature, a *schema.Attribute) {
		k := siteKeyOf.get(a.Key)
		if text := schema.FoldName(a.Value.Text()); k != "" && text != "" && !(f != nil && f.Role == schema.RoleMark && (placeKeys[k] || partKeys[k])) {
			all = append(all, siteSaid{k, text, f})
		}
	}
	for i := range r.Plan.Attributes {
		take(nil, &r.Plan.Attributes[i])
	}
	for _, f := range r.Features {
		for i := 0; i < len(f.Attributes) && f.Role != schema.RoleOther; i++ {
			take(f, &f.Attributes[i])
		}
	}
	for i, x := range all {
		j := slices.IndexFunc(all[:i], func(y siteSaid) bool { return y.key == x.key })
		if partKeys[x.key] {
			j = otherPart(all, x)
		}
		if j < 0 || all[j].value == x.value {
			continue
		}
		who := "the plan"
		if all[j].f != nil {
			who = all[j].f.describe()
		}
		t := r.finding(r.middle(x.f), x.f)
		t.Severity = Note
		t.Message = fmt.Sprintf("says %s of %s, and %s says %s: is all of this plan of one site, and the base that of it? take out what is of another, or correct the words", quote(clipped(x.value)), x.key, who, quote(clipped(all[j].value)))
		return
	}
}

// otherPart is a lawn that says another part of the site than a base or a dock does, where
// none says the same; -1 for none.
func otherPart(all []siteSaid, x siteSaid) int {
	if x.f == nil || x.f.Role != schema.RoleBase && x.f.Role != schema.RoleDock {
		return -1
	}
	lawn := func(y siteSaid) bool {
		return y.key == x.key && (y.f == nil || y.f.Role == schema.RoleZone || y.f.Role == schema.RoleBoundary)
	}
	if slices.ContainsFunc(all, func(y siteSaid) bool { return lawn(y) && y.value == x.value }) {
		return -1
	}
	return slices.IndexFunc(all, lawn)
}
