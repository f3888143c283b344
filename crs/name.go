// Names: a CRS by what people call it, 25832, "utm 32n", "NZTM".

package crs

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode/utf16"
)

// plainText returns the text without a byte-order mark and white space around
// it; UTF-16, which some programs write .prj files in, becomes UTF-8.
func plainText(text string) string {
	if len(text) >= 4 && len(text)%2 == 0 {
		var order func(i int) uint16
		low := func(i int) uint16 { return uint16(text[i]) | uint16(text[i+1])<<8 }
		high := func(i int) uint16 { return uint16(text[i])<<8 | uint16(text[i+1]) }
		switch {
		case strings.HasPrefix(text, "\xff\xfe"), text[1] == 0 && text[3] == 0 && text[0] != 0:
			order = low
		case strings.HasPrefix(text, "\xfe\xff"), text[0] == 0 && text[2] == 0 && text[1] != 0:
			order = high
		}
		if order != nil && len(text) <= 2*maxWKTBytes {
			units := make([]uint16, 0, len(text)/2)
			for i := 0; i < len(text); i += 2 {
				units = append(units, order(i))
			}
			text = string(utf16.Decode(units))
		}
	}
	return strings.TrimSpace(strings.TrimPrefix(text, "\ufeff"))
}

// NameError says that a name fits several systems, or that one like it exists.
type NameError struct {
	Name  string
	Count int    // systems that the name fits; 0 when none does and Could are like it
	Could []*CRS // at most shortList of them, the likeliest first
}

// shortList is how many systems an error names.
const shortList = 6

// Error implements error.
func (e *NameError) Error() string {
	var b strings.Builder
	if e.Count > 0 {
		fmt.Fprintf(&b, "%q names %d systems; say which:", clip(e.Name), e.Count)
	} else {
		fmt.Fprintf(&b, "%q names no CRS known here; near it are:", clip(e.Name))
	}
	for i, c := range e.Could {
		if i > 0 {
			b.WriteByte(',')
		}
		fmt.Fprintf(&b, " %s (%s)", c.id, c.name)
	}
	if n := e.Count - len(e.Could); n > 0 {
		fmt.Fprintf(&b, " and %d more", n)
	}
	return b.String()
}

var (
	bareCode = pattern(`^(?i:epsg)?[\s:_#-]*(\d{4,6})$`)
	utmName  = pattern(`^(.*?)utm(?:zone)?0*(\d{1,2})(n|s|north|south|[c-x])?$`)
	esriName = pattern(`^(?i:esri)[\s:_-]*(\d{4,6})$`)
)

// byName resolves what people call a CRS: a bare code, a UTM zone with its
// datum, a name of the registry with or without its datum, or one of its other
// names. One that fits a single system is taken and the note says so; otherwise
// the error is a *NameError with a short list, or nil with nothing found.
func byName(text string) (*CRS, string, error) {
	if m := bareCode().FindStringSubmatch(text); m != nil {
		n, err := strconv.Atoi(m[1])
		if err != nil {
			return nil, "", err
		}
		return taken(text, n)
	}
	if m := esriName().FindStringSubmatch(text); m != nil {
		n, err := strconv.Atoi(m[1])
		if err != nil {
			return nil, "", err
		}
		if c, ok := esriCodes()[n]; ok {
			return taken(text, c)
		}
		if c, err := epsgCRS(n); err == nil && n < 32768 {
			return taken(text, c.code) // that authority takes over the registry's codes under 32768
		}
		return nil, "", fmt.Errorf("%s has no counterpart in the EPSG registry; give the system's .prj", clip(text))
	}
	key := squeeze(text)
	if key == "" || len(text) > 200 {
		return nil, "", nil
	}
	if key == "crs84" || key == "wgs84" || key == "wgs1984" || key == "gcswgs1984" {
		return wgs84CRS, fmt.Sprintf("%q is taken for %s, %s", text, wgs84CRS.id, wgs84CRS.name), nil
	}
	utm := utmName().FindStringSubmatch(key)
	if utm != nil && utm[1] == "" { // a zone alone tells no datum
		return utmByName(text, "", utm[2], utm[3])
	}
	found := systemNames()[key]
	if len(found) == 0 && utm != nil {
		return utmByName(text, utm[1], utm[2], utm[3])
	}
	if len(found) == 0 {
		found = withdrawnNames()[key]
	}
	switch codes := likeliest(found); {
	case len(codes) == 1:
		return taken(text, codes[0])
	case len(codes) > 1:
		return nil, "", nameError(text, codes, len(codes))
	}
	if like := namesLike(key); len(like) > 0 {
		return nil, "", nameError(text, like, 0)
	}
	return nil, "", nil
}

// taken returns the system of a code with a note that it was taken.
func taken(text string, code int) (*CRS, string, error) {
	c, err := epsgCRS(code)
	if err != nil {
		return nil, "", err
	}
	return c, fmt.Sprintf("%q is taken for %s, %s", text, c.id, c.name), nil
}

func nameError(text string, codes []int, count int) error {
	e := &NameError{Name: text, Count: count}
	for _, code := range codes {
		if c, err := epsgCRS(code); err == nil && len(e.Could) < shortList {
			e.Could = append(e.Could, c)
		}
	}
	if len(e.Could) == 0 {
		return nil
	}
	return e
}

// systemNames maps squeezed names to the codes of systems: whole names first;
// then, where no whole name is the same, the part after the datum ("MGA zone
// 56") and the other names of both kinds.
var systemNames = sync.OnceValue(func() map[string][]int {
	whole, part := map[string][]int{}, map[string][]int{}
	add := func(m map[string][]int, name string, code int) {
		if key := squeeze(name); key != "" && !slices.Contains(m[key], code) {
			m[key] = append(m[key], code)
		}
	}
	names := func(name string, code int) {
		add(whole, name, code)
		if _, grid, ok := strings.Cut(name, " / "); ok {
			add(part, grid, code)
		}
	}
	g, pt := geodeticTables(), projectedTable()
	for _, code := range g.codes {
		names(g.crs[code].name, code)
	}
	for i, code := range pt.codes {
		names(pt.at(i)[6], int(code))
	}
	for line := range strings.Lines(aliasText()) {
		f := strings.Split(strings.TrimSuffix(line, "\n"), "\t")
		code := integer(f[1])
		switch f[0] {
		case "P":
		case "G":
			if _, ok := g.crs[code]; !ok {
				continue
			}
		default:
			continue
		}
		add(part, f[2], code)
		if _, grid, ok := strings.Cut(f[2], " / "); ok {
			add(part, grid, code)
		}
	}
	for key, codes := range part {
		if whole[key] == nil {
			whole[key] = codes
		}
	}
	return whole
})

// withdrawnNames maps squeezed names of withdrawn systems to their codes.
var withdrawnNames = sync.OnceValue(func() map[string][]int {
	m := map[string][]int{}
	dt := deprecatedTable()
	for i, code := range dt.codes {
		key := squeeze(dt.at(i)[2])
		m[key] = append(m[key], int(code))
	}
	return m
})

// esriCodes maps the codes of that authority to the registry's, as its alias
// table has them.
var esriCodes = sync.OnceValue(func() map[int]int {
	m := map[int]int{}
	for line := range strings.Lines(aliasText()) {
		if f := strings.Split(strings.TrimSuffix(line, "\n"), "\t"); f[0] == "X" {
			if _, twice := m[integer(f[1])]; !twice {
				m[integer(f[1])] = integer(f[2])
			}
		}
	}
	return m
})

// likeliest orders the codes that one name fits and leaves out what nobody
// means by a plain name: a geographic CRS with height or a geocentric one where
// there is the plain one, a later version of a frame, the same grid with other
// axes.
func likeliest(codes []int) []int {
	if len(codes) < 2 {
		return codes
	}
	var all []*Suggestion
	var plain []int
	for _, code := range codes {
		c, err := epsgCRS(code)
		if err != nil {
			continue
		}
		switch {
		case c.kind == KindProjected:
			all = append(all, &Suggestion{CRS: c})
		case c.kind == KindGeographic && c.dims == 2 && !strings.Contains(c.name, "(lon-lat)"):
			plain = append(plain, code)
		}
	}
	if len(plain) > 0 {
		return plain
	}
	if len(all) == 0 {
		return codes[:1]
	}
	findTwins(all)
	var out []int
	for _, keepVersions := range []bool{false, true} {
		for _, s := range all {
			if s.twinOf == nil && (keepVersions || !s.laterVersion()) {
				out = append(out, s.CRS.code)
			}
		}
		if len(out) > 0 {
			break
		}
	}
	return out
}

// utmByName resolves a UTM zone: with a datum's name before it to the zone on
// that datum, else to a list of the zones of that number.
func utmByName(text, frame, zone, side string) (*CRS, string, error) {
	n, err := strconv.Atoi(zone)
	if err != nil || n < 1 || n > 60 {
		return nil, "", fmt.Errorf("%q: UTM has the zones 1 to 60", clip(text))
	}
	hemispheres := []string{"n", "s"}
	if side != "" {
		half := side[:1]
		switch {
		case half != "n" && half != "s" && half < "n": // a band's letter
			half = "s"
		case half != "s":
			half = "n"
		}
		hemispheres = []string{half}
	}
	var codes, onDatum []int
	for _, half := range hemispheres {
		for _, code := range systemNames()["utmzone"+strconv.Itoa(n)+half] {
			name, _, _ := strings.Cut(nameOf(code), " / ")
			if frame == "" || squeeze(name) == frame {
				codes = append(codes, code)
			} else if slices.Contains(datumNames()[frame], datumOfCode(code)) {
				onDatum = append(onDatum, code)
			}
		}
	}
	if len(codes) == 0 {
		codes = onDatum
	}
	codes = likeliest(codes)
	if len(codes) == 1 {
		return taken(text, codes[0])
	}
	slices.SortStableFunc(codes, func(a, b int) int { return cmp.Compare(utmRank(a), utmRank(b)) })
	if len(codes) == 0 {
		return nil, "", fmt.Errorf("%q: there is no UTM zone %d on %q in the registry", clip(text), n, frame)
	}
	return nil, "", nameError(text, codes, len(codes))
}

// utmRank puts the present-day datums first in a list of UTM zones.
func utmRank(code int) int {
	c, err := epsgCRS(code)
	if err != nil {
		return 9
	}
	switch d := c.datum; {
	case d.accuracy > 0:
		return 0
	case d.year >= satelliteEra:
		return 1
	}
	return 2
}

func nameOf(code int) string {
	pt := projectedTable()
	if f := pt.line(code); f != nil {
		return f[6]
	}
	return ""
}

func datumOfCode(code int) int {
	g, pt := geodeticTables(), projectedTable()
	if f := pt.line(code); f != nil {
		return g.crs[integer(f[2])].datum
	}
	return 0
}

// namesLike finds a few systems whose name begins with the text, or else holds
// it.
func namesLike(key string) []int {
	if len(key) < 4 {
		return nil
	}
	seen := map[int]bool{}
	var out []int
	names := systemNames()
	keys := make([]string, 0, 64)
	for k := range names {
		if strings.Contains(k, key) {
			keys = append(keys, k)
		}
	}
	slices.SortFunc(keys, func(a, b string) int {
		return cmp.Or(boolFirst(strings.HasPrefix(a, key), strings.HasPrefix(b, key)), cmp.Compare(len(a), len(b)), cmp.Compare(a, b))
	})
	for _, k := range keys {
		for _, code := range likeliest(names[k]) {
			if !seen[code] && len(out) < shortList {
				seen[code] = true
				out = append(out, code)
			}
		}
	}
	return out
}
