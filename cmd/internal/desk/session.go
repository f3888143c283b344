// Package desk is the page in a browser: its files, and the Session that does
// what the page asks for with the jobs of package job. The page sends frames and
// gets frames back, from a worker on the same device or from the program that
// serves it; both run this code.
//
// A frame is the length of a head as four bytes, big end first, the head as JSON,
// then the bytes of a file, if any. The page keeps what was asked for - files,
// roles, marks, limits, edits - and sends all of it whenever something changes;
// the Session keeps only what it worked out from that.
package desk

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"swardline/cmd/internal/job"
	"swardline/convert/wire"
	"swardline/schema"
	"swardline/validate"
)

// maxFrame bounds a frame in bytes; more is refused unread.
const maxFrame = 512 << 20

// Session is one page's engine. It is not safe for several goroutines.
type Session struct {
	files  job.Memory
	asked  planAsk
	based  *schema.Plan // after reading, roles and placing
	plan   *schema.Plan // after the edits
	site   *validate.Site
	fit    *fitReply
	notes  []note // of reading, as often as the plan is asked for
	anchor *anchor
	track  *track // of asked.Edits over based
}

// New returns a session with files in it, for the page to start from.
func New(files ...job.File) *Session { return &Session{files: job.Memory{In: files}} }

// request is the head of a frame that the page sends.
type request struct {
	Do   string          `json:"do"`
	With json.RawMessage `json:"with"`
}

// reply is the head of the answer.
type reply struct {
	Result any    `json:"result,omitempty"`
	Notes  []note `json:"notes,omitempty"`
	Error  string `json:"error,omitempty"`
	Mend   string `json:"mend,omitempty"`
}

// note is one thing to tell.
type note struct {
	Kind string `json:"kind"`
	Text string `json:"text"`
}

// doing is one request being done.
type doing struct {
	*Session
	with  json.RawMessage
	bytes []byte
	job   *job.Job
	out   []byte // bytes of the answer
}

// handlers has what the page may ask for.
var handlers = map[string]func(*doing) (any, error){
	"hello":   (*doing).hello,
	"put":     (*doing).put,
	"drop":    (*doing).drop,
	"look":    (*doing).look,
	"plan":    (*doing).makePlan,
	"propose": (*doing).propose,
	"marks":   (*doing).marks,
	"near":    (*doing).near,
	"where":   (*doing).where,
	"check":   (*doing).check,
	"drift":   (*doing).drift,
	"driven":  (*doing).driven,
	"correct": (*doing).correct,
	"save":    (*doing).save,
}

// Handle answers one frame with one frame. It never panics: a fault of the engine
// is an answer like any other.
func (s *Session) Handle(frame []byte) (answer []byte) {
	defer func() {
		if p := recover(); p != nil {
			answer = pack(reply{Error: fmt.Sprintf("the program made a mistake: %v", p), Mend: "take the last change back; the work is kept"}, nil)
		}
	}()
	var r request
	d, err := unpack(frame, &r)
	if err != nil {
		return pack(reply{Error: err.Error()}, nil)
	}
	do := handlers[r.Do]
	if do == nil {
		return pack(reply{Error: fmt.Sprintf("the page asked for %q, which is not known", r.Do), Mend: "load the page again"}, nil)
	}
	one := &doing{Session: s, with: r.With, bytes: d, job: s.newJob()}
	result, err := do(one)
	out := reply{Result: result, Notes: notesOf(one.job)}
	if err != nil {
		out.Result = nil
		out.Error, out.Mend = words(err)
		one.out = nil
	}
	return pack(out, one.out)
}

func (s *Session) newJob() *job.Job {
	plans := map[string]*schema.Plan{}
	if s.plan != nil {
		plans[current] = s.plan
	}
	return &job.Job{Store: &job.Memory{In: s.files.In}, Plans: plans,
		Option:  func(name string) string { return "the choice of " + strings.ReplaceAll(name, "-", " ") },
		Command: func(words string) string { return "the step for it" }}
}

// current is the name under which jobs find the plan that the page works on.
const current = "the plan"

// words are an error's sentence and what to do about it.
func words(err error) (text, mend string) {
	text = err.Error()
	var in *wire.InputError
	var own *job.Error
	switch {
	case errors.As(err, &own):
		mend = own.Mend
	case errors.As(err, &in):
		mend = in.Mend
		text = strings.TrimSuffix(strings.TrimSuffix(text, in.Mend), "; ")
	}
	return text, mend
}

func notesOf(j *job.Job) []note {
	var out []note
	for _, n := range j.Notes {
		text := n.Message
		if n.Line > 0 {
			text = fmt.Sprintf("line %d: %s", n.Line, text)
		}
		if n.Count > 1 {
			text = fmt.Sprintf("%s (%d times)", text, n.Count)
		}
		out = append(out, note{string(n.Kind), text})
	}
	return out
}

// take reads what the page sent with a request, strictly.
func (d *doing) take(v any) error {
	if len(d.with) == 0 {
		return nil
	}
	dec := json.NewDecoder(bytes.NewReader(d.with))
	dec.DisallowUnknownFields()
	if err := dec.Decode(v); err != nil {
		return fmt.Errorf("the page asked in a way that is not known: %w", err)
	}
	return nil
}

func pack(r reply, data []byte) []byte {
	head, err := json.Marshal(r)
	if err != nil {
		head, _ = json.Marshal(reply{Error: "the answer cannot be written: " + err.Error()})
		data = nil
	}
	out := make([]byte, 4, 4+len(head)+len(data))
	binary.BigEndian.PutUint32(out, uint32(len(head)))
	return append(append(out, head...), data...)
}

func unpack(frame []byte, r *request) (data []byte, err error) {
	if len(frame) < 4 || len(frame) > maxFrame {
		return nil, fmt.Errorf("a frame of %d bytes", len(frame))
	}
	n := uint64(binary.BigEndian.Uint32(frame))
	if n > uint64(len(frame)-4) {
		return nil, errors.New("a frame that is cut")
	}
	if err := json.Unmarshal(frame[4:4+n], r); err != nil {
		return nil, fmt.Errorf("a frame without a head: %w", err)
	}
	return frame[4+n:], nil
}
