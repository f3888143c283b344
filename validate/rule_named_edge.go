// Names of edges that say what their edge_kind does not, for name-contradicts.

package validate

import (
	"slices"
	"strconv"
	"strings"

	"swardline/schema"
)

// Words for a gate that lets nothing through beside those of claimClosed, for
// what stands up, and for what stands above a drop.
var (
	shutWords = strings.Fields("shut zu dicht kiinni walledup brickedup boardedup weldedshut welded zugemauert vermauert zugeschweisst zugenagelt muré condamné tapiada soldada dichtgemetseld murata saldata tilmuret igenmurad muurattu " +
		"catflap dogflap window katzenklappe hundeklappe fenster chatière ventana kattenluik finestra selfclosing selbstschliesser selbstschliessend")
	standingWords = strings.Fields("fence kerb curb muret hedge platform loadingdock zaun elektrozaun hecke bordstein hochbord hauswand klippe absatz abbruchkante bahnsteig bahnsteigkante clôture haie bordure valla bordillo quai seto hek heg stoeprand recinto siepe cordolo hegn gjerde häck hæk hekk kantsten kantstein aita reunakivi")
	standingEnds  = strings.Fields("zaun mauer hecke wand bord")
	aboveWords    = strings.Fields("drop railing parapet balustrade platform roof gardecorps absturz geländer brüstung bahnsteig dachkante oberkante vide balustrada parapeto baranda barandilla reling ringhiera parapetto rækværk rekkverk räcke kaide")
	softWords     = strings.Fields("rope chain tape virtual fallen snow flatterband absperrband seil kette umgefallen corde chaîne rubalise cuerda cadena cinta touw ketting lint corda catena nastro reb kæde tau kjetting rep kedja köysi ketju")
	// flushWords say of an edge that it is level, or what lies there so.
	flushWords = strings.Fields("flush slab slabs surround bündig platte platten mähkante dalle dalles pelouse gazon césped losas tegels")
	// streetWords are words of roads that others drive: a flush edge of a
	// driveway is as it should be.
	streetWords = strings.Fields("road street highway motorway strasse hauptstrasse landstrasse fahrbahn fahrbahnrand chaussée carretera calzada rijbaan vei vej väg")
)

// besideTerrace are words that leave a terrace the paved one at a house.
var besideTerrace = strings.Fields("terrace edge border side limit line paving north south east west front back house garden")

// besideBordure are words that leave the French word for a kerb that of the edging of
// a lawn (common practice, no source).
var besideBordure = setOf("bordure bordures nord sud est ouest de du des la le les l d jardin massif massifs allée terrasse maison")

// isBordure reports whether a name says bordure and nothing that makes a kerb of it.
func isBordure(words []string) bool {
	return !slices.ContainsFunc(words, func(w string) bool { return !besideBordure[w] && !isNumber(w) && !isTag(w) })
}

// standsByName reports whether a word of a name, alone or with the one before it, says
// that an edge stands up.
func standsByName(words []string, w, two string) bool {
	return !isBordure(words) && (slices.Contains(standingWords, w) || slices.Contains(standingWords, two)) ||
		slices.ContainsFunc(standingEnds, func(end string) bool { return len(w) > len(end)+1 && strings.HasSuffix(w, end) })
}

// namedLevel reports whether the words of a flush edge say that it is level; a
// terrace by itself is a paved one.
func namedLevel(words []string) bool {
	paved := slices.Contains(words, "terrace") && !slices.ContainsFunc(words, func(w string) bool { return len(w) > 1 && !slices.Contains(besideTerrace, w) })
	return paved || slices.ContainsFunc(words, func(w string) bool { return slices.Contains(flushWords, w) })
}

// edgeNamed tells edges whose name says otherwise than their kind.
func (r *run) edgeNamed(f *Feature) {
	words := letterWords(f.Name)
	if !isDrivenOver(edgeKind(f)) {
		r.standingNamed(f, words)
		return
	}
	says := namesSay.get(f.Name)
	for _, c := range [...]claim{claimPlanned, claimClosed, claimGone, claimVoid, claimWrong, claimRough, claimPassing} {
		if says.words[c] != "" {
			r.nameNote(f, "its name says %s, that %s, and its edge_kind is %s, which the machine drives over: switch it off while that is so, or put right which is wrong", quote(says.words[c]), claimSays[c], edgeKind(f))
			return
		}
	}
	flush := edgeKind(f) == schema.EdgeFlush
	if flush && namedLevel(words) {
		return
	}
	for i, w := range words {
		two := w
		if i > 0 {
			two = words[i-1] + w
		}
		k := kindOfWord(w)
		if flush {
			if k == "" {
				k = hazardWords()[two]
			}
			for _, end := range [...]string{"rand", "kante"} {
				if stem, ok := strings.CutSuffix(w, end); ok && k == "" {
					k = kindOfWord(stem)
				}
			}
			if standsByName(words, w, two) || says.others != "" {
				k = "drop"
			}
			if r.streetEdge(f, words, i) {
				k = "drop"
			}
		}
		if wall := slices.Contains(wallWords, w) && (i+1 == len(words) || kindOfWord(words[i+1]) != "road"); wall || // of Wall Street
			k == "drop" || (k == "water" || k == kindShore) && flush || slices.Contains(shutWords, w) || slices.Contains(shutWords, two) {
			r.nameNote(f, "its name says %s, and its edge_kind is %s, which the machine may drive over: put right which is wrong", quote(w), edgeKind(f))
			return
		}
	}
	if wide := r.of(f).MachineWidthM; edgeKind(f) == schema.EdgeGate || edgeKind(f) == schema.EdgeRamp {
		if m, ok := widthNamed(f.Name); ok && m < wide {
			x := r.finding(r.middle(f), f)
			x.Severity = Note
			x.Measured, x.Limit, x.Unit = m, wide, "m"
			x.Message = "its name says " + metres(m) + ", which is narrower than the machine, " + metres(wide) + ": measure it, and draw it as wide as it is"
		}
		if edgeKind(f) == schema.EdgeGate {
			if !r.leadsOnto(f) {
				r.leadsToOthers(f)
			}
		}
		return
	}
	if m, ok := widthNamed(f.Name); ok && flush && slices.ContainsFunc(words, func(w string) bool { return w == "down" || w == "up" || w == "tief" || w == "hoch" }) && m > flushM {
		r.nameNote(f, "its name says a height of %s, and its edge_kind is flush, which the machine may drive over: put right which is wrong", metres(m))
	}
}

// railFor before a rail make it one that people lean on (common practice, no source).
var railFor = setOf("spectator spectators hand guard post top fence grab crowd")

// leanRailM is how high a rail is that people lean on; a track's is lower (common
// practice, no source).
const leanRailM = 0.5

// isHandrail reports whether a name is of a rail that people lean on, and not of a track.
func isHandrail(f *Feature, words []string) bool {
	if h, ok := f.Float(schema.PropHeightM); len(words) == 1 && words[0] == "rail" && edgeKind(f) == schema.EdgeFence && ok && h >= leanRailM {
		return true
	}
	i := slices.IndexFunc(words, func(w string) bool { return w == "rail" || w == "rails" })
	return i > 0 && railFor[words[i-1]]
}

// standingNamed tells edges that stand up and whose name says that they do not,
// or that something graver lies behind.
func (r *run) standingNamed(f *Feature, words []string) {
	if word := onlyHazardous(f.Name); word != "" && !isHandrail(f, words) && (edgeKind(f) != schema.EdgeDrop || kindOfWord(word) != "drop") {
		r.nameNote(f, "its name says %s and nothing else, and its role is edge: a thing of that kind has the role hazard", quote(word))
		return
	}
	if edgeKind(f) == schema.EdgeDrop {
		return
	}
	if word := holeNamed(words); word != "" {
		r.nameNote(f, "its name says %s, and a %s is checked as if nothing went through it: draw it as far as it stands, or give it another name once it is mended", quote(word), edgeKind(f))
		return
	}
	if r.kerbOfRoad(f, words) {
		return
	}
	if word := behindNamed(words); word != "" && !isBeside(words) && !r.graveBeside(f, "", besideNameM) {
		r.nameNote(f, "its name says %s, and no drop or hazard is drawn within %s of it: what lies behind a %s is drawn as an edge of the kind drop, or as a hazard", quote(word), metres(besideNameM), edgeKind(f))
		return
	}
	wall := slices.ContainsFunc(words, func(w string) bool {
		return slices.ContainsFunc(wallWords, func(end string) bool { return strings.HasSuffix(w, end) })
	})
	for i, w := range words {
		two := w
		if i > 0 {
			two = words[i-1] + w
		}
		k := kindOfWord(w)
		switch above := slices.Contains(aboveWords, w) || slices.Contains(aboveWords, two) || isTopOfWall(words[:i+1]); {
		case above || wall && (k == kindShore || strings.HasPrefix(w, "hafen") || w == "harbour"):
			kind := ""
			if w == "drop" || w == "absturz" {
				kind = "drop" // a stream is none
			}
			if !r.graveBeside(f, kind, besideNameM) {
				r.nameNote(f, "its name says %s, and no drop or hazard is drawn within %s of it: what lies behind a %s is drawn as an edge of the kind drop, or as a hazard", quote(w), metres(besideNameM), edgeKind(f))
				return
			}
		case slices.Contains(softWords, w):
			r.nameNote(f, "its name says %s, and its edge_kind is %s, which stops a machine: what gives way is drawn as a keep-out", quote(w), edgeKind(f))
			return
		}
	}
}

// wallTops say the top of a wall, written as one word: from there one looks down.
var wallTops = setOf("walltop topofthewall topofwall mauerkrone mauerkronen hautdumur sommetdumur crêtedumur cimadelmuro coronamiento coronacióndelmuro bovenkantmuur bovenkantvandemuur murkrön murkrona murkrone")

// isTopOfWall reports whether words end in the top of a wall.
func isTopOfWall(words []string) bool {
	for n := 1; n <= min(4, len(words)); n++ {
		if wallTops[strings.Join(words[len(words)-n:], "")] {
			return true
		}
	}
	return false
}

// Words for what goes through a fence, before and behind which one says that it is in it
// (common practice, no source).
var (
	holeWords = setOf("hole holes gap gaps breach loch löcher lücke trou trous brèche hueco agujero gat gaten buco buchi hål hul huller hull reikä aukko")
	holeJoins = setOf("with has in mit im hat avec dans con en met heeft nel nella med har i ja the a der dem la le")
)

// holeNamed is the word of a name that says that a wall or fence has a hole in it, or is
// out; a hole of golf is none. "" for any other.
func holeNamed(words []string) string {
	for i, w := range words {
		if holeWords[w] && (i > 0 && holeJoins[words[i-1]] || i+1 < len(words) && holeJoins[words[i+1]]) {
			return w
		}
	}
	if n := len(words); n > 1 && words[n-1] == "out" {
		return "out"
	}
	return ""
}

// kerbRoadM is how far from its road a kerb may lie, with a verge between (common
// practice, no source).
const kerbRoadM = 3.0

// kerbOfRoad tells of a kerb that is called one of a road and runs beside the roads that
// are drawn near it.
func (r *run) kerbOfRoad(f *Feature, words []string) bool {
	for len(words) > 1 && len(words[len(words)-1]) == 1 {
		words = words[:len(words)-1]
	}
	n := len(words)
	if n < 2 || !hasWord(kerbWords, words[n-1]) {
		return false
	}
	road := strings.TrimSuffix(words[n-2], "side")
	if kindOfWord(road) != "road" || ownDrives[road] || r.graveBeside(f, "road", kerbRoadM) || !r.graveBeside(f, "road", calledAfterM) {
		return false
	}
	r.nameNote(f, "its name says %s, and no road is drawn within %s of it, and one farther off: one of the two lies elsewhere; measure both, or give it another name", quote(f.Name), metres(kerbRoadM))
	return true
}

// besideNameM is how near to an edge what its name says is drawn, where it is
// (starting value from memory).
const besideNameM = 2.0

var (
	// ofEnds end the name of an edge that is one of what stands before them.
	ofEnds = strings.Fields("wall kerb curb edge mauer kante rand")
	// ofStems are words for water and drops beside those of hazard_kind that begin
	// such a name written as one, and maybeNone those of hazard_kind that are other
	// things as often, or whose walls stand low in gardens (common practice, no source).
	ofStems   = strings.Fields("hang terrassen schleusen hochwasser")
	maybeNone = strings.Fields("pond ponds pool fountain basin teich brunnen becken weiher étang bassin piscine estanque piscina vijver stagno step steps stair stairs terrace well wells spring burn trap light cutting retaining stützmauer soutènement")
)

// behindNamed is the word for water or a drop in the name of an edge that is called
// one of it (River wall, Cliff edge, Bachmauer), "" for none.
func behindNamed(words []string) string {
	for len(words) > 1 && len(words[len(words)-1]) == 1 {
		words = words[:len(words)-1]
	}
	if len(words) == 0 {
		return ""
	}
	n := len(words) - 1
	last := words[n]
	if n > 0 && words[n-1]+last == "haha" {
		return "ha-ha"
	}
	if n > 0 && slices.Contains(ofEnds, last) {
		w := words[n-1]
		k := kindOfWord(w)
		if n > 1 && k == "" {
			k = kindOfWord(words[n-2] + w)
		}
		if (hazardRank[k] >= hazardRank["drop"] || w == "slope") && !slices.Contains(maybeNone, w) {
			return w
		}
		return ""
	}
	for _, end := range [...]string{"mauer", "kante", "rand"} {
		stem, ok := strings.CutSuffix(last, end)
		if ok && !slices.Contains(maybeNone, last) && !slices.Contains(maybeNone, stem) && (hazardRank[kindOfWord(stem)] >= hazardRank["drop"] || slices.Contains(ofStems, stem)) {
			return last
		}
	}
	return ""
}

// streetEdge reports whether the i-th word of a flush edge's name is a road, and all of
// it, or the next says that it is the edge of one, where no road is drawn that keeps
// its margin.
func (r *run) streetEdge(f *Feature, words []string, i int) bool {
	if len(words) == 1 {
		return slices.Contains(streetWords, words[0])
	}
	return i+1 < len(words) && slices.Contains(streetWords, words[i]) && slices.Contains(sideEnds, words[i+1]) && !isBeside(words) && !r.graveBeside(f, "road", besideNameM)
}

// widthNamed is the first length in metres or centimetres that a name says.
func widthNamed(name string) (float64, bool) {
	fields := strings.FieldsFunc(strings.ToLower(name), func(c rune) bool { return strings.ContainsRune(" ()[];:=", c) })
	for i, w := range fields {
		unit := ""
		digits := strings.TrimRightFunc(w, func(c rune) bool { return c != '.' && c != ',' && (c < '0' || c > '9') })
		if unit = w[len(digits):]; unit == "" && i+1 < len(fields) {
			unit = strings.Trim(fields[i+1], ".,")
		}
		d, err := strconv.ParseFloat(strings.ReplaceAll(strings.Trim(digits, ".,"), ",", "."), 64)
		if err != nil {
			continue
		}
		switch unit {
		case "m", "metres", "meter", "meters", "metre", "mètres", "metros":
			return d, true
		case "cm":
			return d / 100, true
		case "mm":
			return d / 1000, true
		}
	}
	return 0, false
}
