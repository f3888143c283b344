// A part of the typeface as a font file of its own, for a drawing that takes
// its lettering along.

package typeface

import (
	"encoding/binary"
	"errors"
	"fmt"
	"maps"
	"slices"
)

// Subset returns a TrueType font of one weight that holds the glyphs of those
// characters, and of what stands for a missing one; characters without a glyph
// are left out. The same characters give the same bytes. Hinting, kerning and
// substitutions are not carried: letters stand where their advances put them,
// as the layout measured.
//
// Layout of the tables: ISO/IEC 14496-22 (Open Font Format), clause 5.
func Subset(bold bool, characters []rune) ([]byte, error) {
	p, err := PartOf(bold, characters)
	if err != nil {
		return nil, err
	}
	return p.Data, nil
}

// Part is a font file of some characters, and what stands where in it.
type Part struct {
	Data []byte
	// Runes are its characters in order, Glyph the number of the glyph of each.
	Runes []rune
	Glyph map[rune]uint16
	// Metrics are in thousandths of the size.
	Metrics struct {
		Box             [4]int
		Ascent, Descent int
	}
}

// PartOf is Subset with the numbers of the glyphs.
func PartOf(bold bool, characters []rune) (*Part, error) {
	src, err := tablesOf(Data(bold))
	if err != nil {
		return nil, err
	}
	f := weight(bold)
	runes := slices.Clone(characters)
	slices.Sort(runes)
	runes = slices.Compact(runes)
	old := map[rune]uint16{}
	var used []uint16
	f.mu.Lock()
	for _, r := range runes {
		if i, err := f.font.GlyphIndex(&f.buf, r); err == nil && i != 0 && r <= 0xFFFF {
			old[r] = uint16(i)
			used = append(used, uint16(i))
		}
	}
	f.mu.Unlock()
	glyphs, err := src.withComponents(used)
	if err != nil {
		return nil, err
	}
	renumber := map[uint16]uint16{}
	for i, g := range glyphs {
		renumber[g] = uint16(i)
	}
	glyf, loca, hmtx, err := src.outlines(glyphs, renumber)
	if err != nil {
		return nil, err
	}
	head, hhea, maxp, os2 := slices.Clone(src["head"]), slices.Clone(src["hhea"]), slices.Clone(src["maxp"]), slices.Clone(src["OS/2"])
	binary.BigEndian.PutUint32(head[8:], 0)  // the checksum, filled in below
	binary.BigEndian.PutUint16(head[50:], 1) // loca of four bytes
	binary.BigEndian.PutUint16(hhea[34:], uint16(len(glyphs)))
	binary.BigEndian.PutUint16(maxp[4:], uint16(len(glyphs)))
	post := make([]byte, 32)
	binary.BigEndian.PutUint32(post, 0x00030000)
	copy(post[4:16], src["post"][4:16])
	out := tables{"OS/2": os2, "cmap": cmapOf(runes, old, renumber), "glyf": glyf, "head": head, "hhea": hhea, "hmtx": hmtx, "loca": loca, "maxp": maxp, "name": nameOf(), "post": post}
	p := &Part{Data: out.file(), Glyph: map[rune]uint16{}}
	for _, r := range runes {
		if g, ok := old[r]; ok {
			p.Runes = append(p.Runes, r)
			p.Glyph[r] = renumber[g]
		}
	}
	thousandths := func(b []byte) int {
		return int(int16(binary.BigEndian.Uint16(b))) * 1000 / unitsPerEm
	}
	for i := range p.Metrics.Box {
		p.Metrics.Box[i] = thousandths(head[36+2*i:])
	}
	p.Metrics.Ascent, p.Metrics.Descent = thousandths(hhea[4:]), thousandths(hhea[6:])
	return p, nil
}

// withComponents are the numbers of the glyphs used and of those they are made
// of, sorted, with glyph 0, the missing one's.
func (t tables) withComponents(used []uint16) ([]uint16, error) {
	glyphs := []uint16{0}
	seen := map[uint16]bool{0: true}
	used = append([]uint16{0}, used...)
	for len(used) > 0 {
		g := used[0]
		used = used[1:]
		if !seen[g] {
			seen[g] = true
			glyphs = append(glyphs, g)
		}
		data, err := t.glyph(g)
		if err != nil {
			return nil, err
		}
		err = components(data, func(at int) {
			if c := binary.BigEndian.Uint16(data[at:]); !seen[c] {
				used = append(used, c)
			}
		})
		if err != nil {
			return nil, err
		}
	}
	slices.Sort(glyphs)
	return glyphs, nil
}

// outlines are the tables of the glyphs kept: their outlines, where each
// starts, and their widths.
func (t tables) outlines(glyphs []uint16, renumber map[uint16]uint16) (glyf, loca, hmtx []byte, err error) {
	metrics := int(binary.BigEndian.Uint16(t["hhea"][34:]))
	for _, g := range glyphs {
		loca = binary.BigEndian.AppendUint32(loca, uint32(len(glyf)))
		data, err := t.glyph(g)
		if err != nil {
			return nil, nil, nil, err
		}
		plain, err := unhinted(data, renumber)
		if err != nil {
			return nil, nil, nil, err
		}
		glyf = append(glyf, plain...)
		for len(glyf)%4 != 0 {
			glyf = append(glyf, 0)
		}
		h := t["hmtx"]
		advance := 4 * min(int(g), metrics-1)
		bearing := advance + 2
		if int(g) >= metrics {
			bearing = 4*metrics + 2*(int(g)-metrics)
		}
		if bearing+2 > len(h) {
			return nil, nil, nil, errFont
		}
		hmtx = append(append(hmtx, h[advance:advance+2]...), h[bearing:bearing+2]...)
	}
	loca = binary.BigEndian.AppendUint32(loca, uint32(len(glyf)))
	return glyf, loca, hmtx, nil
}

var errFont = errors.New("typeface: the font file is cut short")

// tables are a font's tables by their tags.
type tables map[string][]byte

func tablesOf(data []byte) (tables, error) {
	if len(data) < 12 {
		return nil, errFont
	}
	out := tables{}
	for i := range int(binary.BigEndian.Uint16(data[4:])) {
		at := 12 + 16*i
		if at+16 > len(data) {
			return nil, errFont
		}
		from, size := uint64(binary.BigEndian.Uint32(data[at+8:])), uint64(binary.BigEndian.Uint32(data[at+12:]))
		if from+size > uint64(len(data)) {
			return nil, errFont
		}
		out[string(data[at:at+4])] = data[from : from+size]
	}
	least := map[string]int{"head": 54, "hhea": 36, "maxp": 6, "OS/2": 78, "post": 32, "loca": 4, "glyf": 1, "hmtx": 4}
	for _, tag := range slices.Sorted(maps.Keys(least)) {
		if len(out[tag]) < least[tag] {
			return nil, fmt.Errorf("typeface: the font file has no table %s", tag)
		}
	}
	return out, nil
}

// glyph is the description of a glyph, empty for one without outline.
func (t tables) glyph(g uint16) ([]byte, error) {
	loca := t["loca"]
	var from, to uint64
	if binary.BigEndian.Uint16(t["head"][50:]) == 0 {
		if 2*int(g)+4 > len(loca) {
			return nil, errFont
		}
		from, to = 2*uint64(binary.BigEndian.Uint16(loca[2*int(g):])), 2*uint64(binary.BigEndian.Uint16(loca[2*int(g)+2:]))
	} else {
		if 4*int(g)+8 > len(loca) {
			return nil, errFont
		}
		from, to = uint64(binary.BigEndian.Uint32(loca[4*int(g):])), uint64(binary.BigEndian.Uint32(loca[4*int(g)+4:]))
	}
	if from > to || to > uint64(len(t["glyf"])) {
		return nil, errFont
	}
	return t["glyf"][from:to], nil
}

// Flags of a component of a glyph.
const (
	argsAreWords = 1 << 0
	haveScale    = 1 << 3
	moreFollow   = 1 << 5
	haveTwoScale = 1 << 6
	haveMatrix   = 1 << 7
	haveProgram  = 1 << 8
)

// components calls do with where in a glyph made of others each of their
// numbers stands.
func components(data []byte, do func(at int)) error {
	_, err := eachComponent(data, do)
	return err
}

// eachComponent also returns where the last component ends, 0 for a glyph with
// an outline of its own.
func eachComponent(data []byte, do func(at int)) (end int, err error) {
	if len(data) < 10 || int16(binary.BigEndian.Uint16(data)) >= 0 {
		return 0, nil
	}
	for at := 10; ; {
		if at+4 > len(data) {
			return 0, errFont
		}
		flags := binary.BigEndian.Uint16(data[at:])
		do(at + 2)
		at += 6
		if flags&argsAreWords != 0 {
			at += 2
		}
		switch {
		case flags&haveScale != 0:
			at += 2
		case flags&haveTwoScale != 0:
			at += 4
		case flags&haveMatrix != 0:
			at += 8
		}
		if at > len(data) {
			return 0, errFont
		}
		if flags&moreFollow == 0 {
			return at, nil
		}
	}
}

// unhinted is a glyph without its instructions and with its components
// renumbered.
func unhinted(data []byte, renumber map[uint16]uint16) ([]byte, error) {
	if len(data) == 0 {
		return nil, nil
	}
	out := slices.Clone(data)
	end, err := eachComponent(data, func(at int) {
		binary.BigEndian.PutUint16(out[at:], renumber[binary.BigEndian.Uint16(data[at:])])
		flags := binary.BigEndian.Uint16(data[at-2:])
		binary.BigEndian.PutUint16(out[at-2:], flags&^uint16(haveProgram))
	})
	if err != nil || end > 0 {
		return out[:end], err
	}
	if len(data) < 12 {
		return nil, errFont
	}
	at := 10 + 2*int(binary.BigEndian.Uint16(data))
	if at+2 > len(data) {
		return nil, errFont
	}
	n := int(binary.BigEndian.Uint16(data[at:]))
	if at+2+n > len(data) {
		return nil, errFont
	}
	binary.BigEndian.PutUint16(out[at:], 0)
	return append(out[:at+2], data[at+2+n:]...), nil
}

// cmapOf maps characters of the Basic Multilingual Plane to glyphs (format 4).
func cmapOf(runes []rune, old map[rune]uint16, renumber map[uint16]uint16) []byte {
	type segment struct{ from, to, delta uint16 }
	var list []segment
	for _, r := range runes {
		g, ok := old[r]
		if !ok {
			continue
		}
		c, delta := uint16(r), renumber[g]-uint16(r)
		if n := len(list); n > 0 && list[n-1].to+1 == c && list[n-1].delta == delta {
			list[n-1].to = c
			continue
		}
		list = append(list, segment{c, c, delta})
	}
	if n := len(list); n == 0 || list[n-1].to != 0xFFFF {
		list = append(list, segment{0xFFFF, 0xFFFF, 1})
	}
	n := len(list)
	power, log := 1, 0
	for power*2 <= n {
		power, log = power*2, log+1
	}
	put := binary.BigEndian.AppendUint16
	var sub []byte
	for _, v := range []int{4, 16 + 8*n, 0, 2 * n, 2 * power, log, 2 * (n - power)} {
		sub = put(sub, uint16(v))
	}
	for _, s := range list {
		sub = put(sub, s.to)
	}
	sub = put(sub, 0)
	for _, s := range list {
		sub = put(sub, s.from)
	}
	for _, s := range list {
		sub = put(sub, s.delta)
	}
	for range list {
		sub = put(sub, 0)
	}
	// Version 0, one table: Windows, Unicode.
	return append([]byte{0, 0, 0, 1, 0, 3, 0, 1, 0, 0, 0, 12}, sub...)
}

// nameOf names the font: family, style, full name and PostScript name.
func nameOf() []byte {
	texts := []struct {
		id   uint16
		text string
	}{{1, Name}, {2, "Part"}, {4, Name + " Part"}, {6, "DejaVuSans-Part"}}
	put := binary.BigEndian.AppendUint16
	out := put(put(put(nil, 0), uint16(len(texts))), uint16(6+12*len(texts)))
	var store []byte
	for _, t := range texts {
		from := len(store)
		for _, c := range []byte(t.text) {
			store = append(store, 0, c)
		}
		for _, v := range []uint16{3, 1, 0x409, t.id, uint16(len(store) - from), uint16(from)} {
			out = put(out, v)
		}
	}
	return append(out, store...)
}

// file joins tables to a font file with their checksums.
func (t tables) file() []byte {
	tags := slices.Sorted(maps.Keys(t))
	n := len(tags)
	power, log := 1, 0
	for power*2 <= n {
		power, log = power*2, log+1
	}
	out := []byte{0, 1, 0, 0}
	for _, v := range []int{n, 16 * power, log, 16 * (n - power)} {
		out = binary.BigEndian.AppendUint16(out, uint16(v))
	}
	at := 12 + 16*n
	var body []byte
	head := 0
	for _, tag := range tags {
		data := t[tag]
		if tag == "head" {
			head = at + len(body)
		}
		out = append(out, tag...)
		out = binary.BigEndian.AppendUint32(out, checksum(data))
		out = binary.BigEndian.AppendUint32(out, uint32(at+len(body)))
		out = binary.BigEndian.AppendUint32(out, uint32(len(data)))
		body = append(body, data...)
		for len(body)%4 != 0 {
			body = append(body, 0)
		}
	}
	out = append(out, body...)
	binary.BigEndian.PutUint32(out[head+8:], 0xB1B0AFBA-checksum(out))
	return out
}

func checksum(data []byte) uint32 {
	var sum uint32
	for i := 0; i < len(data); i += 4 {
		var word [4]byte
		copy(word[:], data[i:])
		sum += binary.BigEndian.Uint32(word[:])
	}
	return sum
}
