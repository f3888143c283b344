// The objects of a drawing that say something of its entities: the frames that
// blocks are clipped to, the place on the earth, and this program's own
// records.

package dxf

import (
	"bytes"
	"math"
	"strconv"
	"strings"

	"swardline/convert/wire"
)

// Names of the entries and records that lead from a block to its frame.
const (
	filterEntry    = "ACAD_FILTER"
	spatialEntry   = "SPATIAL"
	roundTripEntry = "ACAD_XREC_ROUNDTRIP"
	invertedRecord = "ACAD_INVERTEDCLIP_ROUNDTRIP"
)

// objects is what the section OBJECTS holds of use, by handle.
type objects struct {
	dictionaries map[string]map[string]string // name of an entry to its handle
	frames       map[string]*frame
	inverted     map[string]bool // records that say that a clip is inverted
	geo          []geoData
	groups       []groupObject
	entries      map[string]string // handle of an entry of any dictionary to its name
}

// handleOf is a handle as they are compared: upper case, without leading zeros.
func handleOf(b []byte) string {
	return strings.ToUpper(string(bytes.TrimLeft(bytes.TrimSpace(b), "0")))
}

// readObjects walks the objects. What is damaged is counted, and never a reason
// not to read the entities.
func (r *reader) readObjects(c section) error {
	s := c.scanner(r.data)
	more := s.next()
	for more {
		line := s.at
		switch {
		case s.is("XRECORD"):
			more = r.record(&s, line)
		case s.is("DICTIONARY"):
			r.gs, _, more = s.groups(r.gs)
			r.dictionary()
		case s.is("SPATIAL_FILTER"):
			r.gs, _, more = s.groups(r.gs)
			r.frame(line, s.extension)
		case s.is("GROUP"):
			r.gs, _, more = s.groups(r.gs)
			r.hear("group", line, s.said)
			r.objects.groups = append(r.objects.groups, r.groupOf(line))
		case s.is("GEODATA"):
			r.gs, _, more = s.groups(r.gs)
			r.objects.geo = append(r.objects.geo, r.geoData(line))
		default:
			more = s.next()
		}
	}
	return s.err
}

// dictionary keeps the entries that lead to a frame.
func (r *reader) dictionary() {
	handle, name := "", ""
	for _, g := range r.gs {
		switch g.code {
		case 5:
			handle = handleOf(r.value(g))
		case 3:
			name = r.word(g)
		case 350, 360:
			const most = 10000 // of all dictionaries
			if len(r.objects.entries) < most && name != "" {
				r.objects.entries[handleOf(r.value(g))] = r.text.name([]byte(name))
			}
			switch name {
			case filterEntry, spatialEntry, roundTripEntry:
				if r.objects.dictionaries[handle] == nil {
					r.objects.dictionaries[handle] = map[string]string{}
				}
				r.objects.dictionaries[handle][name] = handleOf(r.value(g))
			}
			name = ""
		}
	}
}

// record reads one record: the texts of this program, or the mark of an
// inverted clip.
func (r *reader) record(s *scanner, line int) (more bool) {
	head, handle := "", ""
	var text []byte
	for more = s.next(); more && s.code != 0; more = s.next() {
		switch {
		case s.code == 5 && handle == "":
			handle = handleOf(s.value)
		case string(bytes.TrimSpace(s.value)) == invertedRecord:
			r.objects.inverted[handle] = true
		case s.code != 1 || !r.ours:
		case head == "":
			head = string(s.value)
			if !strings.HasPrefix(head, recordHead) {
				head = "-"
			}
		case head != "-":
			text = append(text, s.value...)
		}
	}
	if text == nil {
		return more
	}
	v, err := parseOwn(text)
	if err != nil {
		r.tally.Add("record-damaged", line, "", "what swardline stored in this drawing is damaged and left out: %v", err)
		return more
	}
	name := strings.TrimPrefix(head, recordHead)
	if name == "plan" {
		r.planRecord = v
	} else if n, err := strconv.Atoi(strings.TrimPrefix(name, "feature ")); err == nil && n >= 0 {
		r.records[n] = v
	}
	return more
}

// numbersOf reads the groups of an object whose faults are no reason to refuse
// the drawing; sound turns false at the first that is no number.
type numbersOf struct {
	*reader
	sound bool
}

func (n *numbersOf) float(g group) float64 {
	v, ok := wire.ParseFloat(bytes.TrimSpace(n.value(g)))
	n.sound = n.sound && ok
	return v
}

func (n *numbersOf) int(g group) int {
	v := n.float(g)
	if math.Abs(v) > 1e6 {
		n.sound = false
		return 0
	}
	return int(v)
}
