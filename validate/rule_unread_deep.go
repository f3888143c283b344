// What stands deep in properties that only describe: lists, objects, tags of public map
// data. A part of property-unread.

package validate

import (
	"slices"
	"strings"
	"unicode"

	"swardline/schema"
)

// mapTags report, by their key, whether the value of a tag says of a feature what its
// role and kind say (common practice, no source).
var mapTags = map[string]func(f *Feature, value string) bool{
	"landuse": func(f *Feature, value string) bool {
		return f.Role == schema.RoleZone && slices.Contains(lawnTags, value) || ofWater(f) && slices.Contains(waterTags, value)
	},
	"leisure": func(f *Feature, value string) bool {
		return f.Role == schema.RoleZone && (value == "pitch" || value == "garden") || ofWater(f) && value == "swimming_pool"
	},
	"natural": func(f *Feature, value string) bool {
		return ofWater(f) && value == "water" || f.Role == schema.RoleZone && value == "grassland" || f.Role == schema.RoleHazard && isTree(f) && value == "tree"
	},
	"water": func(f *Feature, value string) bool { return ofWater(f) && slices.Contains(waterTags, value) },
	"barrier": func(f *Feature, value string) bool {
		kind := edgeKind(f)
		return f.Role == schema.RoleEdge && kind != "" && (value == kind || kind == schema.EdgeWall && value == "retaining_wall")
	},
	"fence_type": func(f *Feature, value string) bool {
		return f.Role == schema.RoleEdge && edgeKind(f) == schema.EdgeFence && slices.Contains(fenceTags, value)
	},
}

// lawnTags, waterTags and fenceTags are values of such tags.
var (
	lawnTags  = strings.Fields("grass meadow recreation_ground village_green")
	waterTags = strings.Fields("pond pool lake basin reservoir river stream canal ditch fountain moat")
	fenceTags = strings.Fields("wood metal chain_link railing wire panel pole picket")
)

// ofWater reports whether a feature is a hazard whose kind is water.
func ofWater(f *Feature) bool {
	return f.Role == schema.RoleHazard && kindsOf(f).gravest == "water"
}

// withinKeys are keys that say nothing a machine could heed within a value of a sort,
// beside those that say nothing of a feature, folded (common practice, no source).
var withinKeys = func() (out [sortCount]map[string]bool) {
	out[sortLink] = setOf("rel type title name hreflang mime mimetype contenttype size width height bytes alt thumbnail preview media length spdx")
	out[sortStyle] = setOf("linecap linejoin classname visible visibility clickable interactive outline iconsize iconurl iconanchor labelsize width height fontfamily fontweight textcolor background border radius strokedasharray strokelinecap strokelinejoin")
	out[sortPerson] = setOf("firstname lastname givenname familyname surname first last given family position role office organisation organization org department mobile fax affiliation")
	out[sortPlace] = setOf("suburb hamlet countrycode municipality floor")
	out[sortMake] = setOf("vendor firmware build platform os")
	return out
}()

// freeTexts are names of texts in which a number says of something how much it is, and
// not of what, folded.
var freeTexts = setOf("note notes remark remarks comment comments cmt desc description info details memo text bemerkung beschreibung hinweis notiz nota notas remarque remarques commentaire opmerking opmerkingen osservazioni beskrivelse beskrivning huomautus " +
	"why reason story scenario keywords tags topic subject abstract summary snippet message meta metadata")

// careBools are names under which true and false say how a lawn is cared for, or a
// program shows it; heededWords among them are told where they say something.
var careBools = setOf("irrigated irrigation sprinkler protected planted roof roofing building fertilizer fertiliser mulch stripes pattern overlap open clover seed inventory")

// addWithin takes what stands in the value of a property, or a member, that only
// describes: true, false, a number, and whatever has a name of its own that is not one
// that only describes.
func (l *unreadList) addWithin(f *Feature, a *schema.Attribute) {
	if a.Value.Kind() == schema.KindString {
		if text := a.Value.Text(); len(text) <= 200 && strings.ContainsAny(text, "0123456789") && freeTexts[foldKey(a.Key)] && figuresAlone(text) {
			l.add(f, *a)
		}
		return
	}
	if sort := describes(a.Key); sort != sortRuled && !slices.Contains(ownKeys, a.Key) {
		l.within(f, a.Key, a.Key, sort, a.Value)
	}
}

// figuresAlone reports whether a text is of numbers alone, which are none of an order and
// no date: 0.9; 1.2.
func figuresAlone(text string) bool {
	if strings.IndexFunc(text, unicode.IsLetter) >= 0 || dateOf(text).read || isNumber(strings.TrimSpace(text)) {
		return false
	}
	return slices.ContainsFunc(strings.Fields(text), func(w string) bool { return !dateOf(w).read && len(figuresOf.get(w)) > 0 })
}

// describes is how a property is read that only describes, sortRuled for any other.
func describes(key string) valueSort {
	if key == schema.PropID || key == schema.PropName {
		return sortCode
	}
	return valueSorts.get(key)
}

func (l *unreadList) within(f *Feature, path, key string, sort valueSort, v schema.Value) {
	told := false
	switch v.Kind() {
	case schema.KindList:
		for _, item := range v.Items() {
			l.within(f, path, key, sort, item)
		}
	case schema.KindObject:
		for _, b := range v.Fields() {
			l.withinField(f, path, sort, &b)
		}
	case schema.KindNumber:
		told = freeTexts[foldKey(key)]
	case schema.KindBool:
		yes, _ := v.Truth()
		told = sort != sortStyle && !careBools[foldKey(key)] && !(yes && sort == sortDate)
	}
	if told {
		l.add(f, schema.Attribute{Key: path, Value: v})
	}
}

// withinField takes a field of an object, or what is in it.
func (l *unreadList) withinField(f *Feature, path string, sort valueSort, b *schema.Attribute) {
	if saysNothing(b.Value) {
		return
	}
	path += "." + b.Key
	_, number := b.Value.Float()
	known := isPlain(b.Key) && !(number && slices.Contains(receiverNames, foldKey(b.Key)))
	if f != nil {
		known = known && readings.get(b.Key).of(f, b.Value) && !f.oddMeasure(b) || f.tagged(b)
	}
	beside := withinKeys[sort][foldKey(b.Key)]
	if !known && !beside {
		l.add(f, schema.Attribute{Key: path, Value: b.Value})
		return
	}
	if own := describes(b.Key); own != sortRuled && !beside {
		sort = own
	}
	l.within(f, path, b.Key, sort, b.Value)
}

// tagged reports whether a tag says of a feature what its role and kind say, or of its
// ground what is grown or paved.
func (f *Feature) tagged(b *schema.Attribute) bool {
	if b.Value.Kind() != schema.KindString {
		return false
	}
	how := readings.get(b.Key)
	return how.tag != nil && how.tag(f, schema.FoldName(b.Value.Text())) || how.ground && plainKinds[f.Role] != nil && how.of(f, b.Value)
}
