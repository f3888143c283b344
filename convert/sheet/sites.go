// Sites on a map: where the plans of a folder lie, by the gravest finding of
// each.

package sheet

import (
	"fmt"
	"io"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"swardline/convert/sheet/ink"
	"swardline/convert/sheet/typeface"
	"swardline/convert/wire"
)

// Site is the place of one plan.
type Site struct {
	Name     string
	Lon, Lat float64 // degrees
	// Worst is the gravest of its check: unreadable, error, warning, note,
	// unchecked or clean. Link is where its sign leads.
	Worst, Link string
}

// SiteMap is one map of sites.
type SiteMap struct {
	// ID is "sites" for all of them and close-N for closer views; Words
	// describe it.
	ID, Words string
	// Groups are the signs on it that stand for several sites and have no
	// closer view.
	Groups []SiteGroup
	page   *ink.Page
}

// SiteGroup are the sites of one sign, to which its number leads by the ID.
type SiteGroup struct {
	ID    string
	Sites []Site
}

// SVG writes the map as an SVG element for a page in a browser.
func (m *SiteMap) SVG(w io.Writer) error { return ink.Inline(w, m.page, m.ID+"-") }

// Sizes of maps of sites, millimetres, and how many closer views there are at
// most.
const (
	siteMapWidth = 120.0
	siteMapLow   = 50.0
	siteMapHigh  = 110.0
	siteMapRim   = 8.0
	siteStrip    = 10.0 // below the map, for scale bar and north
	siteRadius   = 2.2
	siteApart    = 5.4 // signs that are nearer are one with a number
	siteNamed    = 60  // up to how many signs have names
	siteViews    = 24
	siteCloser   = 9   // from how many sites on a group has a closer view
	sameSiteM    = 5.0 // sites that are nearer have no closer view
	leastSiteM   = 400.0
)

// meanRadiusM is the mean radius of the earth (IUGG, 1980), good for a picture.
const meanRadiusM = 6371008.8

// siteOutcomes are the outcomes, the gravest first.
var siteOutcomes = []string{"unreadable", "error", "warning", "note", "unchecked", "clean"}

// SiteMaps draws the sites: a map of all, then a closer one of each group of
// signs that is large and too near together for it, the largest first, at most
// siteViews in all. In each, a degree of longitude is as long as it is in the
// middle of the map (equidistant cylindrical projection). It returns nothing
// for no sites.
func SiteMaps(sites []Site) []SiteMap {
	if len(sites) == 0 {
		return nil
	}
	s := siteMapper{sites: sites, lon: unwrapped(sites)}
	all := make([]int, len(sites))
	for i := range all {
		all[i] = i
	}
	rank := func(i int) int { return slices.Index(siteOutcomes, sites[i].Worst) }
	sort.SliceStable(all, func(i, j int) bool { return rank(all[i]) < rank(all[j]) })
	s.queue = [][]int{all}
	for n := 0; n < len(s.queue); n++ {
		s.draw(n)
	}
	return s.maps
}

type siteMapper struct {
	sites []Site
	lon   []float64 // without a jump
	// queue are the sites of each map, the gravest first, by their index.
	queue [][]int
	maps  []SiteMap
}

// unwrapped gives longitudes that are cut where the widest gap between sites
// is, so that a meridian at which they jump does not tear neighbours apart.
func unwrapped(sites []Site) []float64 {
	out := make([]float64, len(sites))
	for i, s := range sites {
		out[i] = math.Mod(math.Mod(s.Lon, 360)+360, 360)
	}
	sorted := slices.Sorted(slices.Values(out))
	first, widest := sorted[0], sorted[0]+360-sorted[len(sorted)-1]
	for i := 1; i < len(sorted); i++ {
		if gap := sorted[i] - sorted[i-1]; gap > widest {
			first, widest = sorted[i], gap
		}
	}
	shift := 0.0
	if first > 180 {
		shift = 360
	}
	for i := range out {
		if out[i] < first {
			out[i] += 360
		}
		out[i] -= shift
	}
	return out
}

// spot is one sign: a site, or several.
type spot struct {
	at    ink.Point
	sites []int // the gravest first
}

func (s *siteMapper) draw(n int) {
	list := s.queue[n]
	box := orb.Bound{Min: orb.Point{s.lon[list[0]], s.sites[list[0]].Lat}, Max: orb.Point{s.lon[list[0]], s.sites[list[0]].Lat}}
	for _, i := range list {
		box = box.Extend(orb.Point{s.lon[i], s.sites[i].Lat})
	}
	mid := box.Center()
	perLat := meanRadiusM * math.Pi / 180
	perLon := perLat * math.Max(math.Cos(mid[1]*math.Pi/180), 0.01)
	place := func(i int) orb.Point {
		return orb.Point{(s.lon[i] - mid[0]) * perLon, (s.sites[i].Lat - mid[1]) * perLat}
	}
	wide, high := (box.Max[0]-box.Min[0])*perLon, (box.Max[1]-box.Min[1])*perLat
	mmPerM := math.Min((siteMapWidth-2*siteMapRim)/math.Max(wide, leastSiteM), (siteMapHigh-2*siteMapRim)/math.Max(high, leastSiteM/4))
	h := math.Max(siteMapLow, high*mmPerM+2*siteMapRim)
	p := &ink.Page{W: siteMapWidth, H: h + siteStrip}
	dx, dy := siteMapWidth/2/mmPerM, h/2/mmPerM
	v := newView(p, 0, 0, siteMapWidth, h, orb.Bound{Min: orb.Point{-dx, -dy}, Max: orb.Point{dx, dy}})
	r := newRoom(v)
	strip := view{page: p, y: h, w: siteMapWidth, h: siteStrip, mmPerM: mmPerM}
	strip.bar(r)
	strip.upright(&Grid{NorthKnown: true}, r)
	spots := gathered(list, func(i int) ink.Point { return v.at(place(i)) })
	m := &SiteMap{ID: "sites", page: p}
	if n > 0 {
		m.ID = fmt.Sprintf("close-%d", n)
	}
	var names, signs []ink.Mark
	for _, x := range spots {
		k := siteRadius
		if len(x.sites) > 1 {
			k = spotRadius(len(x.sites))
		}
		r.take(box4(x.at, k))
	}
	for _, x := range spots {
		signs = append(signs, s.sign(x, m)...)
		if len(spots) <= siteNamed && len(x.sites) == 1 {
			names = append(names, s.name(x, r)...)
		}
	}
	p.Add(names...)
	p.Add(signs...)
	words := siteCount(len(list)) + " about " + LatLon(mid[1], math.Remainder(mid[0], 360), 3)
	if math.Max(wide, high) >= 1 {
		words += fmt.Sprintf(", %s by %s", roughly(wide), roughly(high))
	}
	p.Title = "Map: " + words
	words += "."
	if len(spots) < len(list) {
		words += " A number stands for so many plans that lie too near together, under the sign of the gravest."
	}
	m.Words = words
	s.maps = append(s.maps, *m)
}

func siteCount(n int) string {
	if n == 1 {
		return "1 plan"
	}
	return strconv.Itoa(n) + " plans"
}

// roughly is a distance with two figures that count.
func roughly(m float64) string {
	if m < 1 {
		return "1 m"
	}
	p := math.Pow(10, math.Floor(math.Log10(m))-1)
	return distance(math.Round(m/p) * p)
}

func box4(at ink.Point, r float64) box { return box{at[0] - r, at[1] - r, at[0] + r, at[1] + r} }

// gathered makes the signs of a map: a site that is nearer than siteApart to
// one that has a sign goes with it, the gravest having the first choice.
func gathered(list []int, at func(i int) ink.Point) []spot {
	var out []spot
	cells := map[[2]int][]int{}
	for _, i := range list {
		q := at(i)
		x, y := int(math.Floor(q[0]/siteApart)), int(math.Floor(q[1]/siteApart))
		found, least := -1, siteApart
		for a := x - 1; a <= x+1; a++ {
			for b := y - 1; b <= y+1; b++ {
				for _, k := range cells[[2]int{a, b}] {
					if d := math.Hypot(out[k].at[0]-q[0], out[k].at[1]-q[1]); d < least {
						found, least = k, d
					}
				}
			}
		}
		if found >= 0 {
			out[found].sites = append(out[found].sites, i)
			continue
		}
		cells[[2]int{x, y}] = append(cells[[2]int{x, y}], len(out))
		out = append(out, spot{q, []int{i}})
	}
	sort.SliceStable(out, func(i, j int) bool { return len(out[i].sites) > len(out[j].sites) })
	return out
}

func spotRadius(n int) float64 {
	return math.Max(2.6, typeface.Width(strconv.Itoa(n), labelSize, true)/2+0.6)
}

// sign draws a spot of a map. A number leads to a closer map where there is
// one, else to the list of its group.
func (s *siteMapper) sign(x spot, m *SiteMap) []ink.Mark {
	first := &s.sites[x.sites[0]]
	n := len(x.sites)
	link, title := first.Link, first.Name+": "+siteWords(first.Worst)
	radius := siteRadius
	if n > 1 {
		radius = spotRadius(n)
		const most = 8
		names := make([]string, 0, most+1)
		for k, i := range x.sites {
			if k == most {
				names = append(names, fmt.Sprintf("and %d more", n-most))
				break
			}
			names = append(names, s.sites[i].Name)
		}
		title = fmt.Sprintf("%s, the gravest: %s. %s", siteCount(n), siteWords(first.Worst), strings.Join(names, ", "))
		if n >= siteCloser && len(s.queue) < siteViews && s.apart(x.sites) {
			link = fmt.Sprintf("#close-%d", len(s.queue))
			s.queue = append(s.queue, x.sites)
		} else {
			g := SiteGroup{ID: fmt.Sprintf("in-%s-%d", m.ID, len(m.Groups)+1)}
			for _, i := range x.sites {
				g.Sites = append(g.Sites, s.sites[i])
			}
			m.Groups = append(m.Groups, g)
			link = "#" + g.ID
		}
	}
	marks := append([]ink.Mark{&ink.Group{Class: "site " + first.Worst, Title: title, Link: link}}, outcomeSign(x.at, radius, first.Worst)...)
	if n > 1 {
		text := black
		if first.Worst == "unreadable" {
			text = white
		}
		marks = append(marks, &ink.Text{At: ink.Point{x.at[0], x.at[1] + labelSize*typeface.CapHeight/2}, Size: labelSize, Bold: true, Anchor: 0.5, Color: text, S: strconv.Itoa(n)})
	}
	return append(marks, ink.End{})
}

// apart reports whether a closer map could tell sites apart.
func (s *siteMapper) apart(list []int) bool {
	a := list[0]
	for _, i := range list[1:] {
		d := math.Hypot((s.lon[i]-s.lon[a])*math.Cos(s.sites[a].Lat*math.Pi/180), s.sites[i].Lat-s.sites[a].Lat)
		if d*meanRadiusM*math.Pi/180 > sameSiteM {
			return true
		}
	}
	return false
}

func siteWords(worst string) string {
	switch worst {
	case "unreadable":
		return "could not be read"
	case "unchecked":
		return "not checked in full"
	case "clean":
		return "no findings"
	}
	return worst
}

// name writes a site's name beside its sign, nothing where there is no room.
func (s *siteMapper) name(x spot, r *room) []ink.Mark {
	text := clip(s.sites[x.sites[0]].Name, 24)
	w := typeface.Width(text, labelSize, false)
	for _, c := range []ink.Point{{siteRadius + 0.8 + w/2, 0}, {-siteRadius - 0.8 - w/2, 0}, {0, -siteRadius - 2.4}, {0, siteRadius + 2.4}} {
		at := ink.Point{x.at[0] + c[0], x.at[1] + c[1]}
		b := box{at[0] - w/2 - 0.3, at[1] - 1.8, at[0] + w/2 + 0.3, at[1] + 1.8}
		if r.free(b) {
			r.take(b)
			return []ink.Mark{&ink.Text{At: ink.Point{at[0], at[1] + labelSize*typeface.CapHeight/2}, Size: labelSize, Anchor: 0.5, S: text}}
		}
	}
	return nil
}

// outcomeSign is a plan's sign by the gravest of its check, in form and colour.
func outcomeSign(at ink.Point, r float64, worst string) []ink.Mark {
	fill := ink.Color(wire.ColourOfOutcome(worst).RGB)
	n, turn := 32, 0.0
	switch worst {
	case "unreadable":
		n, turn, r = 4, math.Pi/4, r*1.2 // a square
	case "error":
		n, turn = 8, math.Pi/8
	case "warning":
		n, r = 4, r*1.2
	case "note":
		n, turn, r = 3, math.Pi/2, r*1.25 // a triangle, its tip down
	case "unchecked":
		n, turn, r = 3, -math.Pi/2, r*1.25
	}
	var pts []ink.Point
	for i := range n {
		sin, cos := math.Sincos(turn + 2*math.Pi*float64(i)/float64(n))
		pts = append(pts, ink.Point{at[0] + r*cos, at[1] + r*sin})
	}
	return []ink.Mark{&ink.Path{Subs: []ink.Sub{{Points: pts, Closed: true}}, Fill: &fill, Line: &ink.Line{Color: black, Width: 0.3}}}
}

// OutcomeSymbol is the sign of an outcome alone, as a small SVG element.
func OutcomeSymbol(worst string) string {
	var b strings.Builder
	b.WriteString(`<svg class="symbol" viewBox="0 0 6 6" aria-hidden="true" focusable="false">`)
	for _, m := range outcomeSign(ink.Point{3, 3}, 2.1, worst) {
		if p, ok := m.(*ink.Path); ok {
			b.WriteString(signPath(p))
		}
	}
	b.WriteString("</svg>")
	return b.String()
}
