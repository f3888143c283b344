// Things called after another that is drawn, and lie far from it (House lawn, Pond
// keep-out), and plans that count what they hold in words, for name-contradicts.

package validate

import (
	"fmt"
	"slices"
	"strings"

	"swardline/schema"
)

// leadsM is within how far of a lawn the way that is called after it runs (common
// practice, no source).
const leadsM = saidNearM

// Words by which a name says a thing that has a role of its own; words that say that
// something lies far from what is named; what keep-outs are called beside what they are
// for; and ends of words that are written as one with it (common practice, no source).
var (
	dockSays   = setOf("dock docks ladestation dockingstation laadstation laddstation ladestasjon")
	baseSays   = setOf("base basis mast basestation basisstation")
	farSays    = setOf("far away opposite without outside beyond weit entfernt gegenüber außerhalb loin opposé lejos lontano ver tegenover långt langt kaukana")
	keepSays   = setOf("keep out keepout keepouts exclusion area zone buffer safety margin guard round around sperrfläche sperrzone sperrkreis schutzzone schutz um rund interdit exclusion autour esclusione intorno exclusión alrededor verboden rond förbjuden runt forbudt")
	legSays    = setOf("leg part section stage first second third last one two three teil abschnitt erste zweite étape partie tramo parte deel tratto del")
	calledEnds = strings.Fields("rasen wiese baum beet gazon gräsmatta gräsmattan plæne plen weg dock")
)

// nameRefs is what a name says of another thing: its words, and where they stand in
// the name, joined by single spaces.
type nameRefs struct {
	words []string
	far   bool
	tails []string // stems of words that are written as one with what they are
}

var namesCalled = remembered[nameRefs]{of: func(name string) (out nameRefs) {
	for _, w := range letterWords(name) {
		out.far = out.far || farSays[w]
		if len(w) > 1 {
			out.words = append(out.words, w)
		}
		for _, end := range calledEnds {
			if stem, ok := strings.CutSuffix(w, end); ok && len(stem) > 2 {
				out.tails = append(out.tails, stem, strings.TrimSuffix(strings.TrimSuffix(stem, "s"), "n"))
			}
		}
	}
	return out
}}

// elsewhere finds what a name is called after.
type elsewhere struct {
	run   *run
	named map[string][]*Feature // by the words of their names
}

// mostNameWords is of how many words a name is at most that another is called after.
const mostNameWords = 4

// calledElsewhere tells of what is called after a thing that is drawn, and lies farther
// than calledAfterM from all of that name.
func (r *run) calledElsewhere(told map[int]bool) {
	e := elsewhere{r, map[string][]*Feature{}}
	for _, role := range [...]schema.Role{schema.RoleBuilding, schema.RoleHazard, schema.RoleZone} {
		for _, o := range r.usableOf(role) {
			words := namesCalled.get(o.Name).words
			if n := len(words); n == 0 || n > mostNameWords || role == schema.RoleZone && !tellsLawn(words) {
				continue
			}
			key := strings.Join(words, " ")
			e.named[key] = append(e.named[key], o)
		}
	}
	for _, f := range r.Features {
		switch f.Role {
		case schema.RoleZone, schema.RoleDock, schema.RoleSupply, schema.RoleBase, schema.RoleKeepout, schema.RoleHazard, schema.RoleCorridor:
		default:
			continue
		}
		if f.Name == "" || !f.usable() || told[f.Index] {
			continue
		}
		if said := namesCalled.get(f.Name); !said.far && len(said.words) > 0 {
			e.look(f, &said)
		}
	}
}

// tellsLawn reports whether the name of a lawn tells it from others.
func tellsLawn(words []string) bool {
	lawns := wordSets()[schema.RoleZone].lawns
	own := slices.ContainsFunc(words, func(w string) bool { return !lawns[w] && !articleWords[w] })
	return own && (len(words) > 1 || isCompound(words[0], wordSets()[schema.RoleZone]))
}

// look tells of the first thing in a name that is drawn, and drawn only far off.
func (e *elsewhere) look(f *Feature, said *nameRefs) {
	n := len(said.words)
	for i := 0; i < n; i++ {
		for k := min(mostNameWords, n-i); k > 0; k-- {
			if k == n {
				continue // its own name
			}
			words := said.words[i : i+k]
			of, within := e.meant(f, said.words, i, k)
			if len(of) == 0 || len(of) > mostAlike {
				continue
			}
			if e.tell(f, strings.Join(words, " "), of, within) {
				return
			}
		}
	}
	for _, stem := range said.tails {
		of := e.ofRole(f, stem)
		if len(of) == 0 {
			of = e.named[stem]
			if !e.mayBe(f, of, nil) {
				of = nil
			}
		}
		if len(of) > 0 && len(of) <= mostAlike && e.tell(f, stem, of, calledAfterM) {
			return
		}
	}
}

// meant are the things that k words of a name from i on are of, and within how far of one
// it should lie.
func (e *elsewhere) meant(f *Feature, all []string, i, k int) (of []*Feature, within float64) {
	within = calledAfterM
	rest := append(slices.Clone(all[:i]), all[i+k:]...)
	if of = e.named[strings.Join(all[i:i+k], " ")]; len(of) > 0 && e.mayBe(f, of, rest) {
		if f.Role == schema.RoleCorridor && of[0].Role == schema.RoleZone {
			within = leadsM
		}
		return of, within
	}
	if k > 1 {
		return nil, 0
	}
	// Of the house, by the house, house lawn; a bird house, and a garden house, are things.
	joins := func(w string) bool { return nearOnlyWords[w] || articleWords[w] || joinWords[w] }
	own := func(w string) bool {
		set := wordSets()[f.Role]
		return set != nil && !f.isKeptOut() && set.plain[w] && !set.order[w]
	}
	if i > 0 && !joins(all[i-1]) && !own(all[i-1]) || i+1 == len(all) && i == 0 {
		return nil, 0
	}
	return e.ofRole(f, all[i]), within
}

// mayBe reports whether a feature may be called after things of that name: a keep-out
// after what it is for, what stands still after a lawn or a building, and none after one
// of many trees.
func (e *elsewhere) mayBe(f *Feature, of []*Feature, rest []string) bool {
	if len(of) == 0 || of[0] == f {
		return false
	}
	switch of[0].Role {
	case schema.RoleHazard:
		return f.Role == schema.RoleKeepout && len(rest) > 0 && !slices.ContainsFunc(rest, func(w string) bool { return !keepSays[w] })
	case schema.RoleZone:
		return f.Role != schema.RoleZone && !(f.Role == schema.RoleCorridor && slices.ContainsFunc(rest, func(w string) bool { return legSays[w] }))
	}
	return f.Role != schema.RoleBuilding
}

// ofRole are the things that a word says by their role: the house, the dock, the gate.
func (e *elsewhere) ofRole(f *Feature, w string) []*Feature {
	role := schema.Role("")
	switch {
	case houseOnly[w]:
		role = schema.RoleBuilding
	case dockSays[w]:
		role = schema.RoleDock
	case baseSays[w]:
		role = schema.RoleBase
	case slices.Contains(gateWords, w) && len(w) > 3:
		return slices.DeleteFunc(slices.Clone(e.run.usableOf(schema.RoleEdge)), func(o *Feature) bool { return edgeKind(o) != schema.EdgeGate })
	case fenceNames[w] && slices.Contains(fenceWords[:9], w):
		return slices.DeleteFunc(slices.Clone(e.run.usableOf(schema.RoleEdge)), func(o *Feature) bool { return edgeKind(o) != schema.EdgeFence })
	case w == "outlet" || w == "socket" || w == "steckdose":
		role = schema.RoleSupply
	}
	if role == "" || role == f.Role {
		return nil
	}
	return e.run.usableOf(role)
}

// tell tells of a feature that none of what it is called after lies near.
func (e *elsewhere) tell(f *Feature, word string, of []*Feature, within float64) bool {
	if slices.ContainsFunc(of, e.run.nearTo(f, within)) {
		return false
	}
	x := e.run.finding(e.run.middle(f), f, of[0])
	x.Severity = Note
	x.Limit, x.Unit = within, "m"
	x.Message = fmt.Sprintf("its name says %s, and it lies more than %s from %s: one of the two lies elsewhere, or is another; measure both, or give it another name", quote(word), metres(within), of[0].describe())
	return true
}

// Words for things of a role, several and one of them (common practice, no source).
var countedNames = map[schema.Role][2]map[string]bool{
	schema.RoleZone:     {setOf("lawns zones rasenflächen mähflächen zonen wiesen pelouses gazons prati zone céspedes zonas gräsmattor zoner plæner"), setOf("lawn zone")},
	schema.RoleDock:     {setOf("docks stations stationen ladestationen bornes stazioni estaciones laadstations laddstationer"), setOf("dock station")},
	schema.RoleBase:     {setOf("bases basen basi"), setOf("base")},
	schema.RoleMark:     {setOf("marks marken festpunkte passpunkte"), setOf("mark")},
	schema.RoleCorridor: {setOf("corridors ways korridore wege corridoi pasillos chemins"), setOf("corridor way")},
	schema.RoleKeepout:  {setOf("keepouts sperrflächen"), setOf("keepout")},
	schema.RoleBuilding: {setOf("buildings houses häuser maisons bâtiments edifici casas edificios huizen gebouwen"), setOf("building house")},
	schema.RoleHazard:   {setOf("ponds trees teiche bäume étangs arbres stagni alberi estanques árboles vijvers bomen dammar träd"), setOf("pond tree")},
}

// countSaid is how many things of a role a text says, and the words.
type countSaid struct {
	n    int
	role schema.Role
	noun string
	text string
}

// roleCounts are the numbers of things that a text says: four lawns, 3 Bäume.
var roleCounts = remembered[[]countSaid]{of: func(text string) (out []countSaid) {
	words := nameWords(strings.NewReplacer("keep-out", "keepout", "Keep-out", "keepout").Replace(text))
	for i := 0; i+1 < len(words); i++ {
		n, noun := numberWords[words[i]], words[i+1]
		switch {
		case words[i] == "one" || words[i] == "single":
			n = 1
		case isNumber(words[i]) && len(words[i]) < 3:
			n = atoi(words[i])
		}
		if n == 0 {
			continue
		}
		for role, names := range countedNames {
			if n > 1 && names[0][noun] || n == 1 && names[1][noun] {
				out = append(out, countSaid{n, role, noun, words[i] + " " + noun})
			}
		}
	}
	return out
}}

// holdsCount is how many things of a role the plan holds, in all: of hazards those of
// the noun's kind, as such or as keep-outs of their own.
func (r *run) holdsCount(s *countSaid) (on, all int) {
	if s.role != schema.RoleHazard {
		for _, f := range r.Inactive {
			if f.Role == s.role {
				all++
			}
		}
		on = len(r.usableOf(s.role))
		return on, on + all
	}
	kind := thingOf(s.noun)
	count := func(role schema.Role) (n int) {
		for _, f := range r.usableOf(role) {
			if k := kindsOf(f); role == schema.RoleHazard && slices.Contains(k.all, kind) || slices.ContainsFunc(letterWords(f.Name), func(w string) bool { return thingOf(w) == kind }) {
				n += max(1, len(f.Areas)+len(f.Points))
			}
		}
		return n
	}
	return count(schema.RoleHazard), max(count(schema.RoleHazard), count(schema.RoleKeepout), count(schema.RoleOther))
}

// agrees reports whether a plan holds as many things as a text says.
func (r *run) agrees(s *countSaid) bool {
	on, all := r.holdsCount(s)
	return s.n == on || s.n == all
}

// countsNamed tells of a text of the plan that says another number of lawns, docks, ponds
// and so on than the plan holds.
func (r *run) countsNamed(what, text string) bool {
	if len(text) > mostTextLength {
		return false
	}
	for _, s := range roleCounts.get(text) {
		if r.agrees(&s) {
			continue
		}
		_, all := r.holdsCount(&s)
		x := r.finding(nil)
		x.Severity = Note
		x.Measured, x.Limit, x.Unit = float64(all), float64(s.n), "count"
		x.Message = fmt.Sprintf("the plan's %s says %s, and it holds %d: is one missing, or one too many? draw what is missing, or put the number right", what, quote(s.text), all)
		return true
	}
	return false
}
