// What a file says of itself as a whole, against what is in it.

package gpx

import (
	"fmt"

	"swardline/convert/wire"
	"swardline/schema"
)

// hearWhole holds the bounds that the metadata give against what is drawn, and
// keeps what the extensions of the whole file say.
func (r *reader) hearWhole() {
	for _, key := range []string{extensionsKey, metadataExtensionsKey} {
		if text := wire.PlainText(r.plan.Attributes.Get(key).Text()); wire.SaysWords(text) {
			r.plan.AddBeside(schema.BesideText{Where: "the extensions of the file", Text: text})
		}
	}
	r.hearBounds()
}

// mostOutside is how far, in sizes of the box, what is drawn may lie outside it.
const mostOutside = 0.05

// hearBounds tells where the bounds reach far beyond what is drawn, or do not hold
// it.
func (r *reader) hearBounds() {
	m := r.metadata.Get("bounds").Fields() // what a plan keeps of them says nothing of this file
	var n [4]float64
	for i, key := range []string{"minlon", "minlat", "maxlon", "maxlat"} {
		v, ok := m.Get(key).Float()
		if !ok {
			return
		}
		n[i] = v
	}
	said, drawn := schema.Extent{Min: [2]float64{n[0], n[1]}, Max: [2]float64{n[2], n[3]}}, wire.BoxOf(r.plan.Features)
	if says := wire.BoxSays(said, drawn, 0); says != "" {
		r.tally.Add("box-wide", 0, "", "the bounds in the metadata reach %s: were features taken out of the file, or left behind? Take the bounds out, or write the file anew", says)
		return
	}
	if drawn.Empty {
		return
	}
	for k := range drawn.Min {
		slack := 1e-5 + mostOutside*said.Size() // 1e-5 degrees: how such bounds are rounded
		if out := max(said.Min[k]-drawn.Min[k], drawn.Max[k]-said.Max[k]); out > slack {
			r.tally.Add("box-short", 0, "", "what is drawn reaches about %s beyond the bounds in the metadata: was something added or moved by another hand? Take the bounds out, or write the file anew", fmt.Sprintf("%.0f m", out*111e3))
			return
		}
	}
}
