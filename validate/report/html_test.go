// The pages for browsers: names that lead where they should and nowhere else.

package report_test

import (
	"io"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"swardline/validate/report"
)

// pages are the forms for browsers; "page" is that of the last plan.
var pages = []struct {
	name string
	to   func(*report.Set, io.Writer) error
}{
	{"report.html", (*report.Set).HTML}, {"index", index},
	{"page", func(s *report.Set, w io.Writer) error { return s.Page(w, len(s.Plans)-1, nil) }},
}

func index(s *report.Set, w io.Writer) error { return s.Index(w, nil) }

func TestPageName(t *testing.T) {
	form := regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*-[0-9a-f]{32}\.html$`)
	seen := map[string]string{}
	for _, path := range []string{
		"a.kml", "A.kml", "a/kml", "a-kml", "a kml", "a.kml ", "./a.kml", "../a.kml", "../../etc/passwd", "/etc/passwd", `..\..\a.kml`, "a/../a.kml",
		"", ".", "..", "/", "-", "con", "CON.kml", "nul", "\x00", "a\x00b", "\xff", "\xfe", "草", "芝", "é", "e\u0301", "<script>", "\"", "'", "%2e%2e%2f", "a\nb",
		"K", "\u212a", // the Kelvin sign lowers to k
		strings.Repeat("long/", 900) + "a.kml", strings.Repeat("long/", 900) + "b.kml",
	} {
		name := report.PageName(path)
		if !form.MatchString(name) || len(name) > 110 {
			t.Errorf("%q has the page %q", path, name)
		}
		if other, ok := seen[name]; ok {
			t.Errorf("%q and %q share the page %s", path, other, name)
		}
		seen[name] = path
		if name != report.PageName(path) {
			t.Errorf("%q has two pages", path)
		}
	}
	if got := report.PageName("sites/North Lawn.kml"); !strings.HasPrefix(got, "sites-north-lawn-kml-") {
		t.Errorf("the page is called %s", got)
	}
}

// TestIndexLinksEveryPage: each plan once in the table, by a relative link to
// its page, and each page back to the index.
func TestIndexLinksEveryPage(t *testing.T) {
	s := awkward()
	index := string(encode(t, s, index))
	table := index[strings.Index(index, "<h2>Plans</h2>"):]
	for i := range s.Plans {
		link := report.PagesFolder + "/" + report.PageName(s.Plans[i].Path)
		if strings.Count(table, `<td><a href="`+link+`">`) != 1 {
			t.Errorf("%s is not linked once", link)
		}
		page := string(encode(t, s, func(s *report.Set, w io.Writer) error { return s.Page(w, i, nil) }))
		if !strings.Contains(page, `<a href="../index.html">`) || !strings.HasSuffix(page, "</html>\n") {
			t.Errorf("page %d leads nowhere:\n%s", i, page)
		}
	}
	for _, link := range hrefs(index) {
		u, err := url.Parse(link)
		if err != nil || u.IsAbs() || u.Host != "" || strings.HasPrefix(link, "/") || strings.Contains(link, "..") {
			t.Errorf("the index links %q", link)
		}
	}
	one := string(encode(t, s, (*report.Set).HTML))
	for _, link := range hrefs(one) {
		if !strings.HasPrefix(link, "#") || !strings.Contains(one, `id="`+link[1:]+`"`) {
			t.Errorf("the page links %q, which is not on it", link)
		}
	}
	if len(hrefs(one)) < len(s.Plans) {
		t.Error("the page does not link its plans")
	}
}

func hrefs(page string) []string {
	var out []string
	for _, m := range regexp.MustCompile(`href="([^"]*)"`).FindAllStringSubmatch(page, -1) {
		out = append(out, m[1])
	}
	return out
}

func TestPagesSayEverything(t *testing.T) {
	s := awkward()
	s.Caution = "Blades can\nhurt."
	for _, x := range pages {
		page := string(encode(t, s, x.to))
		words := []string{"Blades can hurt.", "swardline 1.2.3", "Checked "}
		if x.name != "page" {
			words = append(words, "1 unreadable, 1 with errors, 1 with no findings", "Total area: zones 912.4 m2", "stopped after 3 of 10 files", report.WorstOrder, "<td>corridor-off-zone</td><td>error</td><td class=\"n\">1</td>")
		}
		if x.name != "index" {
			words = append(words, "ends 0.42 m inside &lt;zone&gt; &amp; more", "measured 0.42 m, limit 1 m; 2.5 m2", "file line 41", "fixable", "zone Bowl: 12.0 m along hard edges leave 1.8 m2 uncut",
				"off: old bed", "read with a warning: a ring was open (3 times)", "not checked: slope-limit, sky-blocked: no zone or corridor has heights")
		}
		for _, w := range words {
			if !strings.Contains(page, w) {
				t.Errorf("%s does not say %q", x.name, w)
			}
		}
		if regexp.MustCompile(`(?i)\bsafe`).MatchString(page) {
			t.Errorf("%s calls something safe", x.name)
		}
	}
	for _, x := range pages {
		if err := x.to(s, &full{left: 10}); err == nil {
			t.Errorf("%s: writing to a full disk went well", x.name)
		}
	}
}
