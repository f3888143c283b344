// Maps of sites: all of them under some sign, signs apart, and the way closer.

package sheet_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"swardline/convert/sheet"
)

func siteSVG(t *testing.T, m *sheet.SiteMap) string {
	t.Helper()
	var b strings.Builder
	if err := m.SVG(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

var (
	siteSign   = regexp.MustCompile(`(?s)<a href="([^"]*)" class="site ([a-z]+)">.*?</a>`)
	siteNumber = regexp.MustCompile(`>(\d+)</text>`)
)

// shown counts the sites under the signs of a map, and gives where they lead.
func shown(t *testing.T, svg string) (n int, links []string) {
	t.Helper()
	for _, m := range siteSign.FindAllStringSubmatch(svg, -1) {
		links = append(links, m[1])
		if x := siteNumber.FindStringSubmatch(m[0]); x != nil {
			k, _ := strconv.Atoi(x[1])
			n += k
		} else {
			n++
		}
	}
	return n, links
}

func TestSiteMaps(t *testing.T) {
	outcomes := []string{"unreadable", "error", "warning", "note", "unchecked", "clean"}
	r := rand.New(rand.NewPCG(3, 4))
	cases := []struct {
		name  string
		sites int
		at    func(i int) (lon, lat float64)
	}{
		{"one", 1, func(int) (float64, float64) { return 11.2, 56.95 }},
		{"all at one place", 30, func(int) (float64, float64) { return 11.2, 56.95 }},
		{"a town", 200, func(int) (float64, float64) { return 11.2 + 0.1*r.Float64(), 56.95 + 0.05*r.Float64() }},
		{"over the antimeridian", 40, func(i int) (float64, float64) { return []float64{178.4, -178.6}[i%2], -18 + 0.1*float64(i) }},
		{"the poles", 12, func(i int) (float64, float64) { return 30 * float64(i), []float64{90, -90}[i%2] }},
		{"the world", 10000, func(int) (float64, float64) { return 360*r.Float64() - 180, 160*r.Float64() - 80 }},
	}
	for _, c := range cases {
		var sites []sheet.Site
		for i := range c.sites {
			lon, lat := c.at(i)
			sites = append(sites, sheet.Site{Name: fmt.Sprintf("Site %d", i), Lon: lon, Lat: lat, Worst: outcomes[i%len(outcomes)], Link: fmt.Sprintf("plans/%d.html", i)})
		}
		maps := sheet.SiteMaps(sites)
		ids, reached := map[string]bool{}, map[string]bool{}
		var leads []string
		for k := range maps {
			m := &maps[k]
			svg := siteSVG(t, m)
			ids["#"+m.ID] = true
			for _, g := range m.Groups {
				ids["#"+g.ID] = true
				for _, x := range g.Sites {
					reached[x.Link] = true
				}
			}
			n, links := shown(t, svg)
			if k == 0 && n != c.sites {
				t.Errorf("%s: the map shows %d sites, want %d", c.name, n, c.sites)
			}
			leads = append(leads, links...)
			if strings.Contains(svg, "NaN") || strings.Contains(svg, "Inf") || strings.Contains(m.Words, "NaN") {
				t.Errorf("%s: %s has no numbers: %s", c.name, m.ID, m.Words)
			}
		}
		for _, l := range leads {
			if strings.HasPrefix(l, "#") && !ids[l] {
				t.Errorf("%s: a sign leads to %s, which is nowhere", c.name, l)
			}
			reached[l] = true
		}
		for _, x := range sites {
			if !reached[x.Link] {
				t.Errorf("%s: no sign leads to %s", c.name, x.Name)
				break
			}
		}
	}
	if sheet.SiteMaps(nil) != nil {
		t.Error("no sites have a map")
	}
}

// Neighbours across the antimeridian are drawn as neighbours, and the scale bar
// is as long as it says: two sites a known way apart, against the bar.
func TestSiteMapScale(t *testing.T) {
	// A degree of latitude of a sphere of 6371008.8 m is 111.195 km. The
	// longitudes jump at 180 as files have them, and at 0 as they are counted
	// inside.
	for _, lon := range [][2]float64{{179.9, -179.9}, {-0.1, 0.1}, {11.1, 11.3}} {
		siteScale(t, lon[0], lon[1])
	}
}

func siteScale(t *testing.T, west, east float64) {
	t.Helper()
	maps := sheet.SiteMaps([]sheet.Site{{Name: "a", Lon: west, Lat: -17, Worst: "clean", Link: "a"}, {Name: "b", Lon: east, Lat: -17, Worst: "error", Link: "b"}})
	svg := siteSVG(t, &maps[0])
	var xs []float64
	for _, m := range siteSign.FindAllStringSubmatch(svg, -1) {
		low, high := math.Inf(1), math.Inf(-1)
		for _, p := range regexp.MustCompile(`[ML]([0-9.]+) `).FindAllStringSubmatch(m[0], -1) {
			x, _ := strconv.ParseFloat(p[1], 64)
			low, high = math.Min(low, x), math.Max(high, x)
		}
		xs = append(xs, (low+high)/2)
	}
	bar := regexp.MustCompile(`scale bar of (\d+) km</title>\n(?:<path[^>]*fill="#ffffff"[^>]*/>\n)?<path d="M([0-9.]+) [0-9.]+L[0-9.]+ [0-9.]+L([0-9.]+) `).FindStringSubmatch(svg)
	if len(xs) != 2 || bar == nil {
		t.Fatalf("%v %v in %s", xs, bar, svg)
	}
	km, _ := strconv.ParseFloat(bar[1], 64)
	x0, _ := strconv.ParseFloat(bar[2], 64)
	x1, _ := strconv.ParseFloat(bar[3], 64)
	got := math.Abs(xs[0]-xs[1]) * km / (x1 - x0)
	if want := 0.2 * 111.195 * math.Cos(17*math.Pi/180); math.Abs(got-want) > 0.05 {
		t.Errorf("%v and %v are %.2f km apart by the bar, want %.2f", west, east, got, want)
	}
}
