// How the JSON of tracks is put together.

package report

import (
	"fmt"
	"strconv"

	"swardline/schema"
	"swardline/validate"
)

// jsonText builds JSON with one item a line; whole items are marshalled.
type jsonText struct{ b []byte }

func (t *jsonText) raw(s string)     { t.b = append(t.b, s...) }
func (t *jsonText) text(s string)    { t.b = schema.AppendJSONString(t.b, s) }
func (t *jsonText) number(v float64) { t.b = strconv.AppendFloat(t.b, v, 'f', -1, 64) }

func (t *jsonText) orNull(v *float64) {
	if v == nil {
		t.raw("null")
		return
	}
	t.number(*v)
}

// row starts the next item of a list on a line of its own.
func (t *jsonText) row(i int) {
	if i > 0 {
		t.raw(",")
	}
	t.raw("\n    ")
}

// item marshals a value that can always be: texts, numbers that are finite, truths.
func (t *jsonText) item(v any) {
	text, err := laidOut(v, 4)
	if err != nil {
		panic(fmt.Sprintf("report: %v", err))
	}
	t.b = append(t.b, text...)
}

func (t *jsonText) rules(list []Rule) {
	for i := range list {
		t.row(i)
		t.item(&list[i])
	}
}

func (t *jsonText) texts(list []string)     { t.item(listed(list)) }
func (t *jsonText) finding(f *Finding)      { t.item(f) }
func (t *jsonText) place(p *validate.Place) { t.item(p) }
