// What a file says beside its plan, and how that goes along into other files.

package schema

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// BesideText is a text that stands in the file beside the plan.
type BesideText struct {
	Where string // in words, such as "the file README.txt of the archive"
	Text  string
	// Names is set where the text may hold names of people and places.
	Names bool
	// Comment is set where it is a comment in the file's own text, as programs leave
	// them too.
	Comment bool
}

// Caps of what is kept beside a plan: mostBeside texts of together mostBesideSize
// bytes.
const (
	mostBeside     = 2000
	mostBesideSize = 1 << 20
)

// AddBeside keeps a text that stands in the file beside the plan, each once. What
// there is no room for is told of.
func (p *Plan) AddBeside(x BesideText) {
	if x.Text = strings.TrimSpace(x.Text); x.Text == "" || p.besideSeen[x.Text] {
		return
	}
	if p.besideBytes += len(x.Text); len(p.Beside) >= mostBeside || p.besideBytes > mostBesideSize {
		p.besideBytes = mostBesideSize
		p.AddUnheard("it holds more texts beside the plan than are read")
		return
	}
	if p.besideSeen == nil {
		p.besideSeen = map[string]bool{}
	}
	p.besideSeen[x.Text] = true
	p.Beside = append(p.Beside, x)
}

// AddUnheard keeps, in words, what the file holds and nobody reads.
func (p *Plan) AddUnheard(what string) {
	if len(p.Unheard) < mostBeside && !slices.Contains(p.Unheard, what) {
		p.Unheard = append(p.Unheard, what)
	}
}

// Members of PlanBeside, and of each of its texts.
const (
	besideTexts    = "texts"
	besideUnread   = "unread"
	besideLeft     = "left"
	besidePictures = "pictures"
	besideWhere    = "where"
	besideText     = "text"
	besideNames    = "names"
	besideComment  = "comment"
)

// HasBeside reports whether the file said anything beside the plan, or drew what the
// plan lacks.
func (p *Plan) HasBeside() bool {
	return len(p.Beside)+len(p.Unheard)+len(p.Left)+len(p.Pictures) > 0
}

// WithBeside gives the plan with all that as its member PlanBeside, for a file that
// has no other place for it, so that a check of that file reads it too; p stays as
// it is. fresh are words for what was not in such a member when p was read. ok is
// false, and the plan without it, where a member of another kind has that name.
func (p *Plan) WithBeside() (out *Plan, fresh []string, ok bool) {
	if !p.HasBeside() {
		return p, nil, true
	}
	of, before := "", ""
	if name := p.Source.File[strings.LastIndexAny(p.Source.File, `/\`)+1:]; name != "" && name != "-" {
		of, before = " of "+name, name+": "
	}
	// A line number is of the file that has it: its name goes along.
	named := func(words, prefix, suffix string) string {
		told, has := p.carried[words]
		if !told {
			fresh = append(fresh, words)
		}
		if has {
			return words
		}
		return prefix + words + suffix
	}
	var m Attributes
	var texts []Value
	for _, x := range p.Beside {
		t := Attributes{{Key: besideWhere, Value: String(named(x.Where, "", of))}, {Key: besideText, Value: String(x.Text)}}
		if x.Names {
			t.Set(besideNames, Bool(true))
		}
		if x.Comment {
			t.Set(besideComment, Bool(true))
		}
		texts = append(texts, Object(t))
	}
	list := func(key string, words []string, prefix string) {
		var items []Value
		for _, w := range words {
			items = append(items, String(named(w, prefix, "")))
		}
		if len(items) > 0 {
			m.Set(key, List(items...))
		}
	}
	if len(texts) > 0 {
		m.Set(besideTexts, List(texts...))
	}
	list(besideUnread, p.Unheard, before)
	list(besideLeft, p.Left, before)
	list(besidePictures, p.Pictures, "")
	if p.Attributes.Has(PlanBeside) {
		return p, fresh, false
	}
	copied := *p
	copied.Attributes = p.Attributes.Clone()
	copied.Attributes.Set(PlanBeside, Object(m))
	return &copied, fresh, true
}

// TakeBeside makes of the member PlanBeside what it stands for. A member of that
// name that WithBeside did not write stays.
func (p *Plan) TakeBeside() {
	v := p.Attributes.Get(PlanBeside)
	from, ok := besideOf(v)
	if !ok {
		return
	}
	p.Attributes = p.Attributes.Clone()
	p.Attributes.Delete(PlanBeside)
	p.carry(from, true)
}

// AddBesideOf takes what another plan's file says beside it, for a plan that has its
// features.
func (p *Plan) AddBesideOf(other *Plan) {
	with, _, _ := (&Plan{Beside: other.Beside, Unheard: other.Unheard, Left: other.Left, Pictures: other.Pictures, Source: other.Source, carried: other.carried}).WithBeside()
	if from, ok := besideOf(with.Attributes.Get(PlanBeside)); ok {
		p.carry(from, false)
	}
}

// ForgetBeside takes out all that the plan's file says beside it and all that it
// draws and the plan lacks, and returns how much it was.
func (p *Plan) ForgetBeside() int {
	n := len(p.Beside) + len(p.Unheard) + len(p.Left) + len(p.Pictures)
	p.Beside, p.Unheard, p.Left, p.Pictures, p.carried, p.besideSeen, p.besideBytes = nil, nil, nil, nil, nil, nil, 0
	return n
}

// carry adds what another file said; told is set where who reads the plan's file has
// been told so. What the plan shares with others is copied.
func (p *Plan) carry(from *Plan, told bool) {
	p.besideSeen, p.carried = maps.Clone(p.besideSeen), maps.Clone(p.carried)
	p.Beside, p.Unheard, p.Left, p.Pictures = slices.Clip(p.Beside), slices.Clip(p.Unheard), slices.Clip(p.Left), slices.Clip(p.Pictures)
	if p.carried == nil {
		p.carried = map[string]bool{}
	}
	for _, x := range from.Beside {
		p.AddBeside(x)
		p.carried[x.Where] = told
	}
	for _, what := range from.Unheard {
		p.AddUnheard(what)
		p.carried[what] = told
	}
	for _, what := range from.Left {
		if len(p.Left) >= mostBeside {
			p.AddUnheard(fmt.Sprintf("it lists more than %d things that its plan lacks", mostBeside))
			break
		}
		if !slices.Contains(p.Left, what) {
			p.Left = append(p.Left, what)
		}
		p.carried[what] = told
	}
	for _, name := range from.Pictures {
		p.AddPicture(name)
		p.carried[name] = told
	}
}

// besideOf reads the member PlanBeside; ok is false for any other value.
func besideOf(v Value) (p *Plan, ok bool) {
	p = &Plan{}
	if v.Kind() != KindObject || len(v.Fields()) == 0 {
		return nil, false
	}
	for _, a := range v.Fields() {
		if a.Value.Kind() != KindList {
			return nil, false
		}
		var words []string
		for _, item := range a.Value.Items() {
			if a.Key == besideTexts {
				x, ok := besideTextOf(item)
				if !ok {
					return nil, false
				}
				p.Beside = append(p.Beside, x)
				continue
			}
			if item.Kind() != KindString {
				return nil, false
			}
			words = append(words, item.Text())
		}
		switch a.Key {
		case besideTexts:
		case besideUnread:
			p.Unheard = words
		case besideLeft:
			p.Left = words
		case besidePictures:
			p.Pictures = words
		default:
			return nil, false
		}
	}
	return p, true
}

func besideTextOf(v Value) (x BesideText, ok bool) {
	if v.Kind() != KindObject {
		return x, false
	}
	for _, a := range v.Fields() {
		is, truth := a.Value.Truth()
		switch {
		case a.Key == besideWhere && a.Value.Kind() == KindString:
			x.Where = a.Value.Text()
		case a.Key == besideText && a.Value.Kind() == KindString:
			x.Text = a.Value.Text()
		case a.Key == besideNames && truth:
			x.Names = is
		case a.Key == besideComment && truth:
			x.Comment = is
		default:
			return x, false
		}
	}
	return x, x.Where != "" && x.Text != ""
}
