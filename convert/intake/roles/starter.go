// A file of roles to start from: what is in a plan, and what its words speak
// for.

package roles

import (
	"fmt"
	"regexp"
	"slices"
	"sort"
	"strings"

	"github.com/twpayne/go-geom"

	"swardline/convert/intake/look"
	"swardline/schema"
)

// How much of a plan a starter lists.
const (
	mostRules  = 60 // of one kind
	mostValues = 12 // of a property, in its comment
	// mostKeyLength is the longest name of a property, as it is written, that a rule
	// asks for: YAML takes no more than 1,024 characters for a key (YAML 1.2.2, 7.4.2).
	mostKeyLength = 1000
	// mostKinds is the most values that a property has which sorts features
	// into kinds, rather than names each.
	mostKinds = 40
)

// Starter returns the text of a rules file that a person goes on from: a rule
// for every block, property that sorts, code, layer or folder, and name of the
// plan, each with the role that its words speak for and why, or "?" where they
// speak for none. Read takes it as it is, and its "?" rules leave things as
// they are.
func Starter(p *schema.Plan) string {
	s := start(p)
	fmt.Fprintf(&s.out, "# Roles for %s: %d features, %d of them without a role.\n", comment(p.Source.File), len(p.Features), len(s.features))
	s.out.WriteString("# Of several rules that fit, the first holds. A rule with role \"?\" leaves its\n" +
		"# features as they are: write zone, keepout, hazard, edge, ... or leave_out: true.\n" +
		"# Look at every guess. Use the file with --roles; convert --explain roles has all keys.\n")
	if len(s.features) == 0 {
		s.out.WriteString("# Every feature has its role already: this file is not needed.\n")
	}
	s.properties()
	s.out.WriteString("tolerance_m: 0.01\nrules:\n")
	begun := s.out.Len()
	s.rules()
	if s.out.Len() == begun {
		s.out.WriteString("  # nothing tells these features apart: a rule for all of them\n  - geometry: [area, line, point]\n    role: \"?\"\n")
	}
	return s.out.String()
}

// Offer is one thing that a role can be given to: what a Starter has a rule
// for.
type Offer struct {
	// Condition is block, where, code, layer, name or colour; Key is the
	// property of where.
	Condition, Key string
	Value          string
	Count          int
	Guess          look.Guess
	// First is set for a word that contradicts others: its rule goes before
	// theirs.
	First bool

	head   string // the rule up to its role
	points bool
	texts  bool
}

// Offers lists what a Starter has rules for, in their order.
func Offers(p *schema.Plan) []Offer {
	s := start(p)
	s.properties()
	s.rules()
	return s.offers
}

// Rule is the rule that gives the offer's features a role, for a file that Read
// takes.
func (o *Offer) Rule(role schema.Role) string {
	rule := o.head + "\n    role: " + string(role) + "\n"
	if role.IsArea() && o.points {
		rule += "    geometry: [line, area]\n"
	}
	if o.texts && o.Condition == "layer" && role.IsArea() {
		rule += "    name_from: text\n"
	}
	if role == o.Guess.Role {
		rule += setLine(o.Guess)
	}
	return rule
}

func start(p *schema.Plan) *starter {
	s := &starter{plan: p, done: map[said]bool{}, guesses: map[guessed]look.Guess{}}
	for _, f := range p.Features {
		s.texts = s.texts || isText(f)
		if f.Role == schema.RoleOther {
			s.features = append(s.features, f)
		}
	}
	return s
}

// rules writes a rule for everything that tells features apart.
func (s *starter) rules() {
	s.contradictions()
	s.group("block", "Blocks", func(f *schema.Feature) string { return f.Attributes.Get(schema.PropBlock).Text() })
	for _, key := range s.sorting {
		s.group("where", "Values of "+comment(key), func(f *schema.Feature) string { return plainText(f.Attributes.Get(key)) }, key)
	}
	s.group("code", "Codes", func(f *schema.Feature) string { return f.Attributes.Get(schema.PropCode).Text() })
	s.group("layer", "Layers and folders", layerOf)
	s.group("name", "Names", func(f *schema.Feature) string {
		if isText(f) {
			return "" // a drawing's texts name other things
		}
		return family(f.Name)
	})
	s.group("colour", "Colours", s.colourOf)
}

type starter struct {
	plan     *schema.Plan
	features []*schema.Feature
	out      strings.Builder
	sorting  []string // properties that sort features into kinds
	done     map[said]bool
	guesses  map[guessed]look.Guess
	texts    bool // the plan has texts, as a drawing has
	offers   []Offer
}

// found is one value of what rules can tell by.
type found struct {
	value                string
	points, lines, areas int
	states               []string
}

func (f *found) count() int { return f.points + f.lines + f.areas }

// tally counts the features of each value, the commonest first.
func tally(features []*schema.Feature, of func(*schema.Feature) string) []*found {
	at := map[string]*found{}
	var out []*found
	for _, f := range features {
		v := of(f)
		if v == "" {
			continue
		}
		x := at[v]
		if x == nil {
			x = &found{value: v}
			at[v] = x
			out = append(out, x)
		}
		switch f.Geometry.(type) {
		case *geom.Point, *geom.MultiPoint:
			x.points++
		case *geom.Polygon, *geom.MultiPolygon:
			x.areas++
		default:
			x.lines++
		}
		if state := f.Attributes.Get(schema.PropLayerState).Text(); state != "" && !slices.Contains(x.states, state) {
			x.states = append(x.states, state)
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].count() > out[j].count() })
	return out
}

// notSorting are attributes that say how a thing was drawn or measured, and are
// asked for in other ways or by none.
var notSorting = []string{schema.PropFolder, schema.PropCode, schema.PropLayer, schema.PropLayerState, schema.PropEntity, schema.PropColour, schema.PropLineType,
	schema.PropBlock, schema.PropHandle, schema.PropHidden, schema.PropCurve, schema.PropLineColor, schema.PropFillColor, schema.PropIconColor, schema.PropTimes,
	schema.PropAltitudeMode, schema.PropRole, "style_url", "line_width", "gpx_kind", "visibility", "point_ids"}

// properties writes the properties with their commonest values as comments, and
// chooses those that sort features into kinds.
func (s *starter) properties() {
	var keys []string
	values := map[string]map[string]bool{}
	for _, f := range s.features {
		for _, a := range f.Attributes {
			if slices.Contains(notSorting, a.Key) || plainText(a.Value) == "" {
				continue
			}
			if values[a.Key] == nil {
				values[a.Key] = map[string]bool{}
				keys = append(keys, a.Key)
			}
		}
	}
	for _, key := range keys {
		list := tally(s.features, func(f *schema.Feature) string { return plainText(f.Attributes.Get(key)) })
		total, texts := 0, 0
		for _, x := range list {
			total += x.count()
			if !schema.IsNumber(x.value) {
				texts += x.count()
			}
		}
		var shown []string
		for i, x := range list {
			if i == mostValues {
				shown = append(shown, fmt.Sprintf("and %d more values", len(list)-mostValues))
				break
			}
			shown = append(shown, fmt.Sprintf("%s %d", comment(x.value), x.count()))
		}
		fmt.Fprintf(&s.out, "# property %s: %s\n", comment(key), strings.Join(shown, ", "))
		guessed := slices.ContainsFunc(list, func(x *found) bool { return look.LikelyRole(x.value, x.points, x.lines, x.areas).Role != "" })
		if len(quoted(key)) <= mostKeyLength && texts*2 > total && len(list) <= mostKinds && (guessed || len(list) > 1 && len(list)*2 <= total && total*2 >= len(s.features)) {
			s.sorting = append(s.sorting, key)
		}
	}
}

// said is one word of a feature that a rule can tell it by.
type said struct {
	condition, key, value string
}

// says lists the words of a feature.
func (s *starter) says(f *schema.Feature) []said {
	list := []said{{"name", "", f.Name}, {"block", "", f.Attributes.Get(schema.PropBlock).Text()}, {"code", "", f.Attributes.Get(schema.PropCode).Text()}, {"layer", "", layerOf(f)}}
	for _, item := range f.Attributes.Get(schema.PropFolder).Items() {
		list = append(list, said{"folder", "", item.Text()})
	}
	for _, key := range s.sorting {
		list = append(list, said{"where", key, plainText(f.Attributes.Get(key))})
	}
	return list
}

// guessed is what a guess is made of.
type guessed struct {
	value              string
	point, line, areas bool
}

// likely is what a value speaks for, worked out once.
func (s *starter) likely(value string, x *found) look.Guess {
	key := guessed{value, x.points > 0, x.lines > 0, x.areas > 0}
	g, ok := s.guesses[key]
	if !ok {
		g = look.LikelyRole(value, x.points, x.lines, x.areas)
		s.guesses[key] = g
	}
	return g
}

// contradictions writes rules for things of which one word speaks for ground to
// mow and another against it, ahead of all others, so that none becomes a zone.
func (s *starter) contradictions() {
	for _, f := range s.features {
		if isText(f) {
			continue
		}
		x := tally([]*schema.Feature{f}, func(*schema.Feature) string { return "it" })[0]
		list := s.says(f)
		zone := slices.ContainsFunc(list, func(w said) bool {
			return w.value != "" && s.likely(w.value, x).Role == schema.RoleZone
		})
		for _, w := range list {
			if !zone || w.value == "" || s.done[w] {
				continue
			}
			g := s.likely(w.value, x)
			if (g.Role == "" || g.Role == schema.RoleZone) && !g.Against {
				continue
			}
			if len(s.done) == 0 {
				s.out.WriteString("  # Words that contradict each other, first, so that nothing becomes ground to mow by one of them\n")
			}
			s.done[w] = true
			role := g.Role
			if role == "" {
				role = schema.RoleOther
			}
			s.condition(w.condition, w.key, quoted(patternOf(w.value)), Offer{Value: w.value, Count: x.count(), Guess: look.Guess{Role: role, Why: g.Why}, First: true})
			fmt.Fprintf(&s.out, " # %s\n    role: %s\n", g.Why, role)
		}
	}
}

// condition starts a rule and notes what it offers.
func (s *starter) condition(condition, key, pattern string, o Offer) {
	o.Condition, o.Key, o.texts = condition, key, s.texts
	o.head = fmt.Sprintf("  - %s: %s", condition, pattern)
	if condition == "where" {
		o.head = fmt.Sprintf("  - where: {%s: %s}", quoted(key), pattern)
	}
	s.out.WriteString(o.head)
	s.offers = append(s.offers, o)
}

// group writes a rule for each value of one kind of condition.
func (s *starter) group(condition, title string, of func(*schema.Feature) string, key ...string) {
	list := tally(s.features, of)
	if len(list) == 0 {
		return
	}
	fmt.Fprintf(&s.out, "  # %s\n", title)
	for i, x := range list {
		if i == mostRules {
			fmt.Fprintf(&s.out, "  # and %d more, such as %s\n", len(list)-mostRules, comment(x.value))
			break
		}
		if s.done[said{condition, strings.Join(key, ""), x.value}] {
			continue
		}
		g := s.guess(condition, x)
		pattern := quoted(patternOf(x.value))
		if condition == "colour" {
			pattern = quoted(x.value)
		}
		s.condition(condition, strings.Join(key, ""), pattern, Offer{Value: x.value, Count: x.count(), Guess: g, points: x.points > 0})
		fmt.Fprintf(&s.out, " # %s; %s\n", x.kinds(), g.Why)
		role := string(g.Role)
		if role == "" {
			role = `"?"`
		}
		fmt.Fprintf(&s.out, "    role: %s\n", role)
		if g.Role != "" && takesLines(g.Role, x) {
			s.out.WriteString("    geometry: [line, area]\n")
		}
		if s.texts && condition == "layer" && g.Role.IsArea() {
			s.out.WriteString("    name_from: text\n")
		}
		s.out.WriteString(setLine(g))
	}
}

// setLine is the line of a rule that sets what a guess knows beside the role.
func setLine(g look.Guess) string {
	if len(g.Set) == 0 {
		return ""
	}
	var set []string
	for _, a := range g.Set {
		set = append(set, a.Key+": "+quoted(a.Value.Text()))
	}
	return fmt.Sprintf("    set: {%s}\n", strings.Join(set, ", "))
}

// takesLines reports whether a rule for an area should leave points and texts
// alone.
func takesLines(r schema.Role, x *found) bool { return r.IsArea() && x.points > 0 }

// guess is what a value speaks for. What is not shown in its drawing is never
// guessed at, and a colour says nothing.
func (s *starter) guess(condition string, x *found) look.Guess {
	g := s.likely(x.value, x)
	switch {
	case condition == "colour":
		return look.Guess{Why: "a colour alone says nothing"}
	case len(x.states) > 0 && g.Role != "":
		return look.Guess{Why: fmt.Sprintf("%s, but the layer is %s: what is not shown is seldom meant", g.Why, strings.Join(x.states, ", "))}
	}
	return g
}

// kinds says how many of what a value has.
func (f *found) kinds() string {
	var out []string
	for _, k := range []struct {
		n          int
		one, other string
	}{{f.areas, "area", "areas"}, {f.lines, "line", "lines"}, {f.points, "point", "points"}} {
		switch {
		case k.n == 1:
			out = append(out, "1 "+k.one)
		case k.n > 1:
			out = append(out, fmt.Sprintf("%d %s", k.n, k.other))
		}
	}
	return strings.Join(out, ", ")
}

func isText(f *schema.Feature) bool {
	kind := f.Attributes.Get(schema.PropEntity).Text()
	return kind == "TEXT" || kind == "MTEXT" || isLeader(kind)
}

// plainText is a value's text where a pattern can hold it, "" for lists,
// objects and none.
func plainText(v schema.Value) string {
	switch v.Kind() {
	case schema.KindString, schema.KindNumber, schema.KindBool:
		return v.Text()
	}
	return ""
}

// colourOf is the colour of a feature that nothing else tells apart.
func (s *starter) colourOf(f *schema.Feature) string {
	if layerOf(f) != "" && layerOf(f) != "0" || f.Name != "" || f.Attributes.Has(schema.PropCode) {
		return ""
	}
	for _, key := range s.sorting {
		if f.Attributes.Has(key) {
			return ""
		}
	}
	for _, key := range []string{schema.PropFillColor, schema.PropLineColor, schema.PropIconColor, schema.PropColour} {
		v := f.Attributes.Get(key).Text()
		if len(v) == len("#rrggbbaa") {
			v = v[:len("#rrggbb")]
		}
		if v != "" {
			return v
		}
	}
	return ""
}

// family is a name without the number at its end, which is what tells one of a
// kind from the next.
func family(name string) string {
	name = strings.TrimSpace(name)
	if short := strings.TrimRight(strings.TrimRight(name, "0123456789"), " -_.#"); short != "" && strings.TrimRight(name, "0123456789") != name {
		return short + numbered
	}
	return name
}

// numbered stands behind a family's name until its pattern is made.
const numbered = "\x00"

// patternOf writes a text as a pattern that fits it alone, or every name of its
// family and no other: a lawn's mower is not of the family of lawns.
func patternOf(text string) string {
	if plain, ok := strings.CutSuffix(text, numbered); ok {
		return "/^" + regexp.QuoteMeta(plain) + "[-_.# ]*[0-9]+$/"
	}
	glob := strings.NewReplacer("[", "[[]", "*", "[*]", "?", "[?]").Replace(text)
	if len(glob) > 1 && glob[0] == '/' && glob[len(glob)-1] == '/' {
		glob = "[/]" + glob[1:]
	}
	return glob
}

// quoted writes a text in YAML's double quotes.
func quoted(text string) string {
	var out strings.Builder
	for _, r := range string(schema.AppendJSONString(nil, text)) {
		if unprintable(r) {
			fmt.Fprintf(&out, "\\u%04x", r)
		} else {
			out.WriteRune(r)
		}
	}
	return out.String()
}

// unprintable reports the characters YAML 1.2.2, section 5.1, does not allow as
// they are, and those that end a line or mark a byte order.
func unprintable(r rune) bool {
	return r < ' ' || r >= 0x7f && r <= 0x9f || r == 0x2028 || r == 0x2029 || r == 0xfeff || r == 0xfffe || r == 0xffff
}

// comment makes a text of the file fit for a comment: one line, no controls.
func comment(text string) string {
	text = strings.Map(func(r rune) rune {
		if unprintable(r) {
			return ' '
		}
		return r
	}, strings.TrimSuffix(text, numbered))
	if r := []rune(text); len(r) > 60 {
		text = string(r[:60]) + "..."
	}
	return text
}
