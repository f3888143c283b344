// Near: the grids a local surveyor would use at a place.

package crs

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// Suggestion is a CRS that fits a place.
type Suggestion struct {
	CRS      *CRS
	Accuracy Metres  // of the best datum step from a present-day frame (ITRF2014), as stated
	Known    bool    // whether an accuracy is stated at all
	AreaKm2  float64 // of the box of the area of use
	Scale    float64 // point scale factor at the place
	Angle    float64 // convergence at the place in degrees
	Scope    string  // what the registry says it is for, at the place
	Why      string  // why it stands where it stands, a few words
	weight   float64 // the lighter the further up
	purpose  purpose
	national bool // its area is a country or a part of one
	whole    bool // a whole country
	country  string
	edge     float64 // what its place within the area weighs
	twinOf   *CRS    // the same grid with other axes or in another unit, that stands first
	within   *CRS    // the grid of a larger part of the country beside which it is one of a district
	edition  *CRS    // the later edition of the grid, by its name
}

// A purpose is a class of the registry's scopes with what it weighs.
type purpose struct {
	weight float64
	words  string
}

// purposes are tried in this order; the first whose pattern is found in the
// scope holds. They part what is drawn and set out in (engineering survey,
// cadastre, large scale) from what is only looked at. A rule of thumb without a
// source, as are all weights here.
var purposes = []struct {
	pattern func() *regexp.Regexp
	purpose purpose
}{
	{pattern(`(?i)^(very small scale|statistic|continental|polar|environment|web |arctic|oceano|pan-european conformal mapping at scales larger than 1:500,000\.$|conformal mapping at|graticule|remote|basin|data analysis|atlas|antarctic|user-defined|spatial referencing in zoned|crop|spatial analysis)`), purpose{8, "for small maps and statistics"}},
	{pattern(`(?i)railway|tunnel|project|LNG|highway|airport|mine |oil and gas|minerals|military|hydrograph|formerly|prior to|official usage|published between|emulation|geologic|forest|exploration|between 19|water|regional`), purpose{4, "for one industry or project, or no longer in use"}},
	{pattern(`(?i)large scale|large and medium`), purpose{-0.2, "for survey at large scale"}},
	{pattern(`(?i)engineering survey`), purpose{0, "for engineering survey"}},
	{pattern(`(?i)larger scales`), purpose{-0.2, "for survey at large scale"}},
	{pattern(`(?i)cadastre, topographic`), purpose{0.1, "for cadastre and maps at large scale"}},
	{pattern(`(?i)cadastre`), purpose{0.5, "for the cadastre"}},
	{pattern(`(?i)medium accuracy|spatial data|small scale`), purpose{1.6, "for medium accuracy and overviews"}},
	{pattern(`(?i)medium scale|GIS`), purpose{1.2, "for maps at medium scale"}},
}

// pattern is a pattern that is compiled when first asked for, not whenever a
// program starts.
func pattern(text string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(text) })
}

// purposeOf classes a scope.
func purposeOf(scope string) purpose {
	for _, p := range purposes {
		if p.pattern().MatchString(scope) {
			return p.purpose
		}
	}
	return purpose{0.8, "for topographic maps"}
}

// notForGround are the projection methods of world maps and statistics: a plan
// does not stand in them, so they come last.
var notForGround = sync.OnceValue(func() map[int]bool {
	return map[int]bool{1024: true, 1026: true, 1027: true, 1028: true, 1029: true, 1078: true, 1125: true, 9804: true, 9805: true, 9820: true, 9822: true, 9834: true, 9835: true, 9816: true, 9824: true}
})

var (
	manyCountries = pattern(`^World|by country|FSU|Equi7|LCC|ETRF|^(Europe|Asia|Africa|(North |South |Latin )?America|Arctic|Antarctica)( - .*\d+°.*)?$`)
	ofAYear       = pattern(`^(.*\D)((?:19|20)?\d\d(?:/\d\d)?)$`)
	versioned     = pattern(`(/\d\d| ?v\d+[a-z]?)( \([A-Z][a-z]+\))?$`)
	wholeCountry  = pattern(`^((mainland|onshore|offshore|nearshore| and | - | )*|onshore - mainland.*|Britain .*)$`)
)

// candidates are the projected CRSs whose area of use holds the place and whose
// projection reaches it, with what the registry knows of each.
func candidates(at Geodetic) []*Suggestion {
	var out []*Suggestion
	pt, st := projectedTable(), scopeTable()
	for i, code := range pt.codes {
		f := pt.at(i)
		var here []areaBox
		var scopes []string
		extents, lists := strings.Split(f[4], ","), strings.Split(f[5], ",")
		for k, e := range extents {
			for _, box := range extentsOf(e) {
				if !box.covers(float64(at.Lon), float64(at.Lat)) {
					continue
				}
				here = append(here, box)
				for s := range strings.SplitSeq(lists[k], "+") {
					if l := st.line(integer(s)); l != nil {
						scopes = append(scopes, l[1])
					}
				}
			}
		}
		if len(here) == 0 {
			continue
		}
		c, err := epsgCRS(int(code))
		if err != nil {
			continue // a method not supported
		}
		s := &Suggestion{CRS: c, purpose: purpose{weight: 99}}
		if s.Scale, s.Angle, err = c.ScaleAt(at); err != nil {
			continue // the box holds the place, the projection does not reach it
		}
		for _, scope := range scopes {
			if p := purposeOf(scope); p.weight < s.purpose.weight {
				s.purpose, s.Scope = p, scope
			}
		}
		s.AreaKm2 = math.Inf(1)
		for _, box := range here {
			if a := box.areaKm2(); a < s.AreaKm2 {
				s.AreaKm2 = a
			}
			if !manyCountries().MatchString(box.name) {
				country, rest := countryOf(box.name)
				s.national, s.country = true, country
				s.whole = s.whole || wholeCountry().MatchString(rest)
			}
		}
		s.edge = edgeWeight(at, here)
		out = append(out, s)
	}
	return out
}

// countryOf parts the name of an area into the country and what follows: "USA"
// and "Texas - SPCS83 - SC".
func countryOf(name string) (country, rest string) {
	country, rest, _ = strings.Cut(name, " - ")
	switch country {
	case "Europe", "Asia", "Africa", "North America", "South America", "Oceania":
		country, rest, _ = strings.Cut(strings.TrimPrefix(rest, "Middle East - "), " - ")
	}
	return country, rest
}

func (e *areaBox) areaKm2() float64 {
	east := e.east
	if e.west > east {
		east += 360
	}
	return 6371 * 6371 * (east - e.west) * radPerDeg * (math.Sin(e.north*radPerDeg) - math.Sin(e.south*radPerDeg))
}

// edgeWeight is what a place away from the middle of its area weighs: of two
// zones the nearer is used, and the box of a neighbour reaches over the border,
// so that a place at its very edge may lie outside the polygon.
func edgeWeight(at Geodetic, boxes []areaBox) float64 {
	least := math.Inf(1)
	for _, e := range boxes {
		east := e.east
		if e.west > east {
			east += 360
		}
		dx := math.Abs(wrap180(float64(at.Lon)-(e.west+east)/2)) / math.Max((east-e.west)/2, 1e-9)
		dy := math.Abs(float64(at.Lat)-(e.south+e.north)/2) / math.Max((e.north-e.south)/2, 1e-9)
		least = math.Min(least, math.Max(dx, dy))
	}
	switch {
	case least > 0.97:
		return 1.5
	case least > farOut:
		return 0.9
	}
	return 0.4 * least
}

// farOut is the share of the way from the middle of a box to its side from
// which a place counts as lying at the edge.
const farOut = 0.9

// Near ranks the projected CRSs whose area of use holds the place, the one a
// local surveyor would use first at the top. What counts, from the registry:
// the purpose (survey before maps before statistics); a national grid before a
// continental one before a world-wide one; of one grid on several datums the
// newest, of several versions of a frame the one that bears the plain name; a
// classical datum after a present-day one of the same country; of one grid with
// several axes or units the one that counts east first and without a zone's
// number, in the unit that somebody went out of his way to register; of two
// editions of a grid the one with the later year in its name; a small area
// before a large one, but a city's or a district's own grid after that of a
// part of the country several times as large, in which plans come more often;
// the accuracy of the way from a present-day frame; the scale factor; a place
// at the very edge of an area. Coordinates are degrees on any modern datum. The
// weights are a rule of thumb without a source; TestNearCities says how far
// they carry.
func Near(lat, lon Degrees) ([]Suggestion, error) {
	at := Geodetic{Lon: lon, Lat: lat}
	if err := checkGeodetic(at); err != nil {
		return nil, err
	}
	all := candidates(at)
	if err := rateDatums(all, at); err != nil {
		return nil, err
	}
	findTwins(all)
	older := findOlder(all)
	modern := modernCountries(all)
	findDistricts(all)
	findEditions(all)
	for _, s := range all {
		s.rate(older[s], modern)
	}
	slices.SortStableFunc(all, func(a, b *Suggestion) int {
		if d := math.Round(20*a.weight) - math.Round(20*b.weight); d != 0 {
			return cmp.Compare(d, 0)
		}
		if later := laterName(a.CRS.name, b.CRS.name); later != 0 {
			return later
		}
		if d := math.Round(math.Abs(a.Scale-1)*1e5) - math.Round(math.Abs(b.Scale-1)*1e5); d != 0 {
			return cmp.Compare(d, 0)
		}
		return cmp.Compare(a.CRS.code, b.CRS.code)
	})
	out := make([]Suggestion, len(all))
	for i, s := range all {
		out[i] = *s
	}
	return out, nil
}

// laterName orders two names that differ in the year at their end alone, the
// later one first.
func laterName(a, b string) int {
	x, y := ofAYear().FindStringSubmatch(a), ofAYear().FindStringSubmatch(b)
	if x == nil || y == nil || x[1] != y[1] {
		return 0
	}
	return cmp.Compare(y[2], x[2])
}

// rateDatums finds how well each datum is tied to a present-day frame.
func rateDatums(all []*Suggestion, at Geodetic) error {
	today, err := epsgCRS(9000) // ITRF2014
	if err != nil {
		return fmt.Errorf("near: %w", err)
	}
	type accuracy struct {
		v  Metres
		ok bool
	}
	byDatum := map[int]accuracy{}
	for _, s := range all {
		a, known := byDatum[s.CRS.datum.code]
		if !known {
			op, err := NewOperation(today, s.CRS.Base(), Allowed{Accuracy: AnyAccuracy}, At(at.Lon, at.Lat), Epochs{From: 2020, To: 2020}, Aids{})
			if err == nil {
				a.v, a.ok = op.Accuracy()
			}
			byDatum[s.CRS.datum.code] = a
		}
		s.Accuracy, s.Known = a.v, a.ok
	}
	return nil
}

// findTwins joins what is one grid on one figure of the earth but for axes,
// unit and the number of the zone before the easting; the best purpose and area
// of all go to the one that stands first.
func findTwins(all []*Suggestion) {
	groups := map[string][]*Suggestion{}
	var order []string
	for _, s := range all {
		key := s.gridKey()
		if groups[key] == nil {
			order = append(order, key)
		}
		groups[key] = append(groups[key], s)
	}
	for _, key := range order {
		g := groups[key]
		slices.SortStableFunc(g, func(a, b *Suggestion) int {
			return cmp.Or(
				boolFirst(!a.CRS.order.flipX, !b.CRS.order.flipX),
				cmp.Compare(a.purpose.weight, b.purpose.weight),
				boolFirst(a.CRS.unit != 1, b.CRS.unit != 1),
				plainer(a.CRS, b.CRS),
				boolFirst(a.CRS.conv.get(8806) < 1e6, b.CRS.conv.get(8806) < 1e6),
				boolFirst(!a.CRS.order.swap, !b.CRS.order.swap),
				boolFirst(a.CRS.datum.pm == 0, b.CRS.datum.pm == 0),
				cmp.Compare(a.CRS.code, b.CRS.code))
		})
		first := g[0]
		for _, s := range g[1:] {
			s.twinOf = first.CRS
			if s.purpose.weight < first.purpose.weight {
				first.purpose, first.Scope = s.purpose, s.Scope
			}
			if s.national && !first.national && s.edge < 0.8+first.edge {
				first.national, first.country, first.whole, first.edge = true, s.country, s.whole, s.edge
			}
		}
	}
}

// plainer orders two names of one grid with and without the number of a zone
// before the easting: the shorter one is the plain one, "GK25FIN" before
// "ETRS-GK25FIN" and "TM30" before "3-degree Gauss-Kruger zone 10".
func plainer(a, b *CRS) int {
	if (a.conv.get(8806) < 1e6) == (b.conv.get(8806) < 1e6) {
		return 0
	}
	return cmp.Compare(len(a.name), len(b.name))
}

// boolFirst orders true before false.
func boolFirst(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}

// gridKey is the same for one grid on one datum, whatever its axes and its
// prime meridian.
func (s *Suggestion) gridKey() string {
	datum := s.CRS.datum.name
	if s.CRS.datum.pm != 0 {
		datum, _, _ = strings.Cut(datum, " (") // "Madrid 1870 (Madrid)"
	}
	return datum + s.planeKey()
}

// planeKey is the part of gridKey that does not tell the datum.
func (s *Suggestion) planeKey() string {
	c := s.CRS
	method := c.conv.method
	switch method {
	case 1041:
		method = 9819
	case 1043:
		method = 1042
	case 9808:
		method = 9807
	}
	key := fmt.Sprintf("\n%d", method)
	for _, p := range c.conv.params {
		v := p.value
		switch p.code {
		case 8806, 8816, 8826:
			v = math.Round(math.Mod(v, 1e6)) // the number of a zone stands before
		case 8807, 8817, 8827:
			v = math.Round(v)
		case 8801:
			v = math.Round(1e5*v) / 1e5
		case 8802, 8812, 8822, 8833:
			v = math.Round(1e5*wrap180(v+c.datum.pm)) / 1e5
		}
		key += fmt.Sprintf(" %d=%.7g", p.code, v)
	}
	return key
}

// satelliteEra is the year from which national datums are built on satellite
// positions.
const satelliteEra = 1989

// presentDay reports whether the datum is one that satellite positioning gives:
// by its year, as an ensemble, or tied to a present-day frame within 0.15 m.
func (s *Suggestion) presentDay() bool {
	d := s.CRS.datum
	return d.accuracy > 0 || d.year >= satelliteEra || s.Known && s.Accuracy <= 0.15
}

// currency is the year of a datum for telling the newer of two; an ensemble is
// as new as can be.
func (s *Suggestion) currency() int {
	if s.CRS.datum.accuracy > 0 {
		return 9999
	}
	return s.CRS.datum.year
}

// fresh reports whether the datum is so new, within two years of the registry's
// own date, that hardly anything stands in it.
func (s *Suggestion) fresh() bool {
	_, date := RegistryVersion()
	year, err := strconv.Atoi(date[:min(4, len(date))])
	return err == nil && s.CRS.datum.year >= year-2
}

// laterVersion reports whether the CRS is on a version of a frame ("RGF93 v2b",
// "S-JTSK/05") and never bore the frame's plain name, so that the plain name
// means another.
func (s *Suggestion) laterVersion() bool {
	frame, grid, _ := strings.Cut(s.CRS.name, " / ")
	at := versioned().FindStringIndex(frame)
	if at == nil {
		return false
	}
	return !slices.Contains(projectedNames()[s.CRS.code], squeeze(frame[:at[0]]+" / "+grid))
}

// findOlder finds, for a grid that one country (or the world) has on several
// datums, the CRS on the newest of them.
func findOlder(all []*Suggestion) map[*Suggestion]*CRS {
	newest := map[string]*Suggestion{}
	key := func(s *Suggestion) string { return s.country + s.planeKey() }
	for _, s := range all {
		if s.twinOf != nil || s.laterVersion() || s.fresh() || s.purpose.weight >= 4 {
			continue
		}
		if best := newest[key(s)]; best == nil || s.currency() > best.currency() {
			newest[key(s)] = s
		}
	}
	out := map[*Suggestion]*CRS{}
	for _, s := range all {
		if best := newest[key(s)]; best != nil && best.CRS.datum != s.CRS.datum && s.currency() < best.currency() {
			out[s] = best.CRS
		}
	}
	return out
}

// modernCountries are the countries with a grid of their own on a present-day
// datum among the candidates.
func modernCountries(all []*Suggestion) map[string]bool {
	out := map[string]bool{}
	for _, s := range all {
		if s.national && s.presentDay() && s.purpose.weight <= 1.2 {
			for _, c := range s.countries() {
				out[c] = true
			}
		}
	}
	return out
}

// countries parts "Israel, Jordan and Palestine onshore".
func (s *Suggestion) countries() []string {
	name := strings.NewReplacer(" and ", ", ", " onshore", "", " offshore", "").Replace(s.country)
	return strings.Split(name, ", ")
}

// modernised reports whether one of the suggestion's countries has a grid on a
// present-day datum.
func (s *Suggestion) modernised(modern map[string]bool) bool {
	return s.national && slices.ContainsFunc(s.countries(), func(c string) bool { return modern[c] })
}

// districtShare is how many times larger the grid of a part of the country is
// beside which another is one of a city or a district.
const districtShare = 6

// findDistricts finds the grids of a city or a district: those in whose country
// surveys stand in a grid several times as large, too, which the place lies
// well within. Plans come in the larger one more often.
func findDistricts(all []*Suggestion) {
	for _, s := range all {
		if !s.national || s.whole || s.twinOf != nil {
			continue
		}
		var by *Suggestion
		for _, o := range all {
			if o.national && o.country == s.country && o.twinOf == nil && o.presentDay() && o.currency() >= s.currency() && o.purpose.weight <= 0.1 && o.edge <= 0.4*farOut &&
				o.AreaKm2 > districtShare*s.AreaKm2 && math.Abs(o.Scale-1) <= plainScale && !strings.Contains(o.CRS.name, "UTM zone") && !notForGround()[o.CRS.conv.method] && (by == nil || o.AreaKm2 < by.AreaKm2) {
				by = o
			}
		}
		if by != nil {
			s.within = by.CRS
		}
	}
}

// findEditions finds grids whose name another one of the same datum bears with
// a year behind it.
func findEditions(all []*Suggestion) {
	for _, s := range all {
		for _, o := range all {
			if rest, ok := strings.CutPrefix(o.CRS.name, s.CRS.name+" "); ok && o.CRS.datum == s.CRS.datum && len(rest) == 4 && ofAYear().MatchString("x"+rest) {
				s.edition = o.CRS
			}
		}
	}
}

// plainScale is how far the scale of a grid for survey is off at most.
const plainScale = 1. / 2000

// rate weighs the suggestion and says why.
func (s *Suggestion) rate(newer *CRS, modern map[string]bool) {
	why := []string{s.purpose.words}
	w := s.edge + s.purpose.weight + 0.1*math.Log2(math.Max(s.AreaKm2, 1))/2
	switch {
	case s.whole:
		w -= 0.3
		why = append(why, "national grid")
	case s.national:
		w += 0.15
		why = append(why, "grid of a part of the country")
	case strings.HasPrefix(s.CRS.AreaName(), "World"):
		w += 1.6
		why = append(why, "world-wide grid")
	default:
		w += 0.8
		why = append(why, "grid of many countries")
	}
	if s.edge > farOut*0.4 {
		why = append(why, "the place lies at the edge of its area")
	}
	switch {
	case s.presentDay():
		why = append(why, "present-day datum")
	case !s.Known || s.Accuracy > 15:
		w++
		why = append(why, "no good way there from satellite positions")
	case s.Accuracy > 1.5:
		w += 0.4
	default:
		w += 0.2
	}
	if newer != nil {
		w++
		why = append(why, fmt.Sprintf("older datum than %s", newer.id))
	}
	if s.modernised(modern) && !s.presentDay() {
		w++
		why = append(why, "the country has a grid on a present-day datum")
	}
	if s.within != nil {
		w += 0.5
		why = append(why, fmt.Sprintf("of a district beside %s", s.within.id))
	}
	if s.edition != nil {
		w += 0.5
		why = append(why, fmt.Sprintf("an earlier edition of %s", s.edition.id))
	}
	if s.laterVersion() {
		w++
		why = append(why, "a later version of its frame")
	}
	if strings.Contains(s.CRS.name, "UTM zone") {
		w += 0.1 // a country's own grid goes before the zone of the world's
	}
	if s.fresh() {
		w += 0.5
		why = append(why, fmt.Sprintf("a datum of %d, hardly in use yet", s.CRS.datum.year))
	}
	if y := s.CRS.datum.year; y > 0 && y < 1900 {
		w++
		why = append(why, fmt.Sprintf("datum of %d", y))
	}
	if strings.Contains(s.CRS.name, "reconstruction") {
		w += 4
		why = append(why, "for computing numbers of an old grid anew")
	}
	if strings.Contains(s.CRS.name, " Old") {
		w += 0.4
		why = append(why, "old by its own name")
	}
	if s.twinOf != nil {
		w += 1.2
		why = append(why, fmt.Sprintf("the same grid as %s with other axes, unit or meridian", s.twinOf.id))
	}
	switch off := math.Abs(s.Scale - 1); {
	case off > 1./1000:
		w += 1.6
		why = append(why, fmt.Sprintf("lengths are off by %.2f %%", 100*off))
	case off > plainScale:
		w += 0.3
	}
	if name := strings.ToLower(s.CRS.AreaName()); strings.Contains(name, "offshore") && !strings.Contains(name, "onshore") {
		w += 3
		why = append(why, "for work offshore")
	}
	if notForGround()[s.CRS.conv.method] {
		w += 100
	}
	s.weight, s.Why = w, strings.Join(why, ", ")
}
