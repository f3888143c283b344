// Leaders: arrows that say something of what they point at.

package dxf

import (
	"bytes"
	"math"
	"strings"

	"swardline/schema"
)

// leader reads a LEADER: its first vertex is the arrow's tip; its text is
// another entity, which it names by its handle.
func (r *reader) leader(sh *shape) bool {
	sh.kind, sh.hasNormal = kindText, false
	n := 0
	var p point
	for _, g := range r.gs {
		switch g.code {
		case 10:
			if n++; n == 2 {
				sh.tips = append(sh.tips, p)
			}
			p = point{r.float(g)}
		case 20, 30:
			p[g.code/10-1] = r.float(g)
		case 340:
			sh.says = handleOf(r.value(g))
		}
	}
	if r.bad != nil {
		return false
	}
	if n < 2 {
		return r.damaged(sh, "it has no arrow")
	}
	sh.ends = p
	return true
}

// multileader reads a MULTILEADER, which has its text and its arrows in itself:
// a structure of braces inside the groups, in which the same code opens a line
// and gives the text.
func (r *reader) multileader(sh *shape) bool {
	sh.kind, sh.hasNormal = kindText, false
	var text []byte
	inContext, inLine := false, false
	tip := 0 // of the current line: 0 none yet, 1 its x was read
	for _, g := range r.gs {
		v := bytes.TrimSpace(r.value(g))
		switch {
		case g.code == 300 && string(v) == "CONTEXT_DATA{":
			inContext = true
		case g.code == 301 && string(v) == "}":
			inContext = false
		case !inContext:
		case g.code == 304 && string(v) == "LEADER_LINE{":
			inLine, tip = true, 0
		case g.code == 305:
			inLine = false
		case g.code == 304:
			text = append(text, r.value(g)...)
		case g.code == 41 && sh.height == 0:
			sh.height = r.float(g)
		case inLine && g.code == 10 && tip == 0:
			sh.tips, tip = append(sh.tips, point{r.float(g)}), 1
		case inLine && (g.code == 20 || g.code == 30) && tip == 1:
			sh.tips[len(sh.tips)-1][g.code/10-1] = r.float(g)
			if g.code == 30 {
				tip = 2
			}
		case inLine && g.code == 10:
			tip = 2
		}
	}
	if r.bad != nil {
		return false
	}
	if len(sh.tips) == 0 {
		return r.damaged(sh, "it has no arrow")
	}
	sh.text = r.text.mtext(text)
	return true
}

// nearText is how many heights of a text it may stand from the end of a leader
// that names none, and still be its own: a choice of this program.
const nearText = 3

// pendingLeader is a leader whose text is another entity.
type pendingLeader struct {
	feature *schema.Feature
	says    string // its handle, "" when it is not named
	end     point  // in metres, where the leader ends
}

// finishLeaders gives leaders the texts that they name, or that stand where
// they end, and takes those out that have none.
func (c *collector) finishLeaders() {
	if len(c.leaders) == 0 {
		return
	}
	byHandle := map[string]*schema.Feature{}
	var texts []*schema.Feature
	for _, f := range c.features {
		kind := f.Attributes.Get(schema.PropEntity).Text()
		switch kind {
		case "TEXT", "MTEXT":
			texts = append(texts, f)
		case "INSERT":
		default:
			continue
		}
		if h := f.Attributes.Get(schema.PropHandle).Text(); h != "" {
			byHandle[handleOf([]byte(h))] = f
		}
	}
	mute := map[*schema.Feature]bool{}
	near := 0
	for _, l := range c.leaders {
		f := byHandle[l.says]
		if f == nil {
			if f = c.textAt(l.end, texts); f != nil {
				near++
			}
		}
		switch {
		case f == nil:
			mute[l.feature] = true
		case f.Attributes.Get(schema.PropEntity).Text() == "INSERT":
			for _, a := range f.Attributes.Get(schema.PropAttribs).Fields() {
				if l.feature.Name == "" {
					l.feature.Name = strings.TrimSpace(a.Value.Text())
				}
			}
			if l.feature.Name == "" {
				mute[l.feature] = true
			}
		default:
			l.feature.Name = f.Name
		}
	}
	if near > 0 {
		c.r.tally.AddN("leader-text-near", near, 0, "", "leaders name no text of their own, and were given the one that stands where they end: look at what rules set from them")
	}
	if len(mute) == 0 {
		return
	}
	kept, line, n := c.features[:0], 0, 0
	for _, f := range c.features {
		if !mute[f] {
			kept = append(kept, f)
			continue
		}
		if n++; n == 1 {
			line = f.Source.Line
		}
		c.r.endless("LEADER", f.Attributes.Get(schema.PropLayer).Text(), f.Source.Line)
	}
	c.features = kept
	c.r.tally.AddN("leader-mute", n, line, "", "leaders without a text were left out")
}

// textAt is the one text that stands within a few of its heights of a place,
// nil when there is none or more than one.
func (c *collector) textAt(p point, texts []*schema.Feature) *schema.Feature {
	var found *schema.Feature
	for _, f := range texts {
		at := f.Geometry.FlatCoords()
		height, _ := f.Float(schema.PropTextHeight)
		if math.Hypot(at[0]*c.r.crsUnit-p[0], at[1]*c.r.crsUnit-p[1]) <= nearText*height {
			if found != nil {
				return nil
			}
			found = f
		}
	}
	return found
}
