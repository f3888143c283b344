// The header, the layer table and the list of blocks.

package dxf

import (
	"bytes"
	"fmt"
	"math"
	"strings"

	"swardline/convert/wire"
)

// header is what the HEADER section says of the drawing.
type header struct {
	version  string
	codePage string
	insUnits int
	hasUnits bool
	measure  int // $MEASUREMENT: 0 imperial, 1 metric
	hasMeas  bool
	min, max point
	hasMin   bool
	hasMax   bool
	// properties are texts that the drawing's owner gave it.
	properties [][]byte
}

// layer is one layer; the pointer is its identity.
type layer struct {
	name        string
	colour      int // ACI, always positive
	rgb         int // true colour 0xRRGGBB, -1 for none
	lineType    string
	frozen, off bool
	noPlot      bool
	locked      bool
	stated      bool // stands in the layer table
}

// state is the word for a layer that is not shown or not plotted, "" for one
// that is.
func (l *layer) state() string {
	switch {
	case l.frozen:
		return "frozen"
	case l.off:
		return "off"
	case l.noPlot:
		return "noplot"
	}
	return ""
}

// block is one block definition, parsed when it is first inserted.
type block struct {
	name     string
	base     point
	content  section // its entities
	entities int
	external bool // the content is in another file
	inserted int
	parsed   bool
	drawing  bool // being drawn: an insert of it now is a cycle
	shapes   []*shape
}

// float reads a group as a number; a fault is kept in r.bad.
func (r *reader) float(g group) float64 {
	v := bytes.TrimSpace(r.data[g.off : g.off+g.n])
	f, ok := wire.ParseFloat(v)
	if !ok && r.bad == nil {
		mend := "the file is damaged; export it again"
		if bytes.IndexByte(v, ',') >= 0 {
			mend = "numbers in a drawing have a point, not a comma; export it again"
		}
		r.bad = r.fault(int(g.line), fmt.Sprintf("group code %d should be a number, got %s", g.code, quote(v)), mend)
	}
	return f
}

// int reads a group as a whole number; a fault is kept in r.bad.
func (r *reader) int(g group) int {
	v := bytes.TrimSpace(r.data[g.off : g.off+g.n])
	n, neg, i := 0, false, 0
	if i < len(v) && (v[i] == '-' || v[i] == '+') {
		neg = v[i] == '-'
		i++
	}
	digits := len(v) - i
	for ; i < len(v) && v[i]-'0' <= 9 && n < min(1<<40, math.MaxInt/16); i++ {
		n = n*10 + int(v[i]-'0')
	}
	if i < len(v) || digits == 0 {
		if f, ok := wire.ParseFloat(v); ok && f == float64(int(f)) {
			return int(f) // some exporters write 1.0
		}
		if r.bad == nil {
			r.bad = r.fault(int(g.line), fmt.Sprintf("group code %d should be a whole number, got %s", g.code, quote(v)), "the file is damaged; export it again")
		}
		return 0
	}
	if neg {
		n = -n
	}
	return n
}

func (r *reader) value(g group) []byte { return r.data[g.off : g.off+g.n] }

func (r *reader) word(g group) string { return string(bytes.TrimSpace(r.value(g))) }

func (r *reader) fault(line int, problem, mend string) error {
	return &wire.InputError{File: r.o.Name, Line: line, Problem: problem, Mend: mend}
}

func (r *reader) readHeader(c section) error {
	s := c.scanner(r.data)
	variable := ""
	for s.next() {
		if s.code == 9 {
			variable = string(bytes.TrimSpace(s.value))
			continue
		}
		g := group{off: uint32(cap(s.data) - cap(s.value)), n: uint32(len(s.value)), line: uint32(s.at), code: int32(s.code)}
		h := &r.head
		if isHeadText(variable) {
			h.properties = append(h.properties, s.value)
		}
		switch variable {
		case "$ACADVER":
			h.version = strings.ToUpper(r.word(g))
		case "$DWGCODEPAGE":
			h.codePage = r.word(g)
		case "$INSUNITS":
			h.insUnits, h.hasUnits = r.int(g), true
		case "$MEASUREMENT":
			h.measure, h.hasMeas = r.int(g), true
		case "$EXTMIN":
			if s.code >= 10 && s.code <= 30 && s.code%10 == 0 {
				h.min[s.code/10-1], h.hasMin = r.float(g), true
			}
		case "$EXTMAX":
			if s.code >= 10 && s.code <= 30 && s.code%10 == 0 {
				h.max[s.code/10-1], h.hasMax = r.float(g), true
			}
		}
		if r.bad != nil {
			return r.bad
		}
	}
	return s.err
}

// readTables reads the layers, and whether this program wrote the drawing.
func (r *reader) readTables(c section) error {
	s := c.scanner(r.data)
	if !s.next() {
		return s.err
	}
	for {
		if s.code != 0 {
			if !s.next() {
				return s.err
			}
			continue
		}
		kind := string(bytes.TrimSpace(s.value))
		gs, _, more := s.groups(r.gs)
		r.gs = gs
		switch kind {
		case "LAYER":
			l := layer{colour: 7, rgb: -1, stated: true}
			var name []byte
			for _, g := range gs {
				switch g.code {
				case 2:
					name = r.value(g)
				case 6:
					l.lineType = r.text.name(r.value(g))
				case 62:
					l.colour = r.int(g)
				case 70:
					flags := r.int(g)
					l.frozen, l.locked = flags&1 != 0, flags&4 != 0
				case 290:
					l.noPlot = r.int(g) == 0
				case 420:
					l.rgb = r.int(g)
				}
			}
			if r.bad != nil {
				return r.bad
			}
			if l.colour < 0 {
				l.off, l.colour = true, -l.colour
			}
			if len(name) > 0 {
				to := r.layer(name)
				l.name = to.name
				r.hear("layer "+clip(l.name), 0, s.said)
				if !to.stated {
					*to = l
				}
			}
		case "LTYPE":
			r.describeLines(gs)
		case "APPID":
			for _, g := range gs {
				if g.code == 2 && r.word(g) == appID {
					r.ours = true
				}
			}
		}
		if !more {
			return s.err
		}
	}
}

// layer returns the layer of a name as it stands in the file. Names are the
// same in any case; the first spelling is kept.
func (r *reader) layer(raw []byte) *layer {
	if l, ok := r.layersRaw[string(raw)]; ok {
		return l
	}
	name := strings.TrimSpace(r.text.name(raw))
	if name == "" {
		name = "0"
	}
	key := strings.ToUpper(name)
	l, ok := r.layersByName[key]
	if !ok {
		l = &layer{name: name, colour: 7, rgb: -1}
		r.layersByName[key] = l
		r.layerOrder = append(r.layerOrder, l)
	}
	r.layersRaw[string(raw)] = l
	return l
}

// readBlocks lists the blocks and where their entities stand.
func (r *reader) readBlocks(c section) error {
	s := c.scanner(r.data)
	var b *block
	more := s.next()
	for more {
		if s.code != 0 {
			more = s.next()
			continue
		}
		switch string(bytes.TrimSpace(s.value)) {
		case "BLOCK":
			if b != nil {
				b.content.end = s.start
			}
			var gs []group
			gs, _, more = s.groups(r.gs)
			r.gs = gs
			b = &block{}
			for _, g := range gs {
				switch g.code {
				case 2:
					b.name = r.text.name(bytes.TrimSpace(r.value(g)))
				case 10:
					b.base[0] = r.float(g)
				case 20:
					b.base[1] = r.float(g)
				case 30:
					b.base[2] = r.float(g)
				case 70:
					b.external = r.int(g)&(4|8|16) != 0
				}
			}
			if r.bad != nil {
				return r.bad
			}
			b.content.start, b.content.line = s.start, s.at-1
			b.content.end = c.end
			key := strings.ToUpper(b.name)
			if _, twice := r.blocks[key]; twice {
				r.tally.Add("block-twice", s.at, "", "the block %q is defined twice; the first definition holds", b.name)
			} else {
				r.blocks[key] = b
				r.blockOrder = append(r.blockOrder, b)
			}
		case "ENDBLK":
			if b != nil {
				b.content.end = s.start
				b = nil
			}
			more = s.next()
		default:
			if b != nil {
				if b.entities++; b.entities == 1 && strings.EqualFold(b.name, "*Model_Space") {
					r.tally.Add("section-none", s.at, "", "from line %d on something stands in the block %s, where the model space is empty in a drawing that is whole, and was not read: export the drawing again", s.at, b.name)
				}
			}
			more = s.next()
		}
	}
	return s.err
}
