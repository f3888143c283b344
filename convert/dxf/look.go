// Look: what is in a drawing, before anything is believed of it.

package dxf

import (
	"cmp"
	"math"
	"slices"
	"sort"
	"strings"
	"sync"

	"swardline/convert/wire"
	"swardline/schema"
)

// Count is how many there are of something.
type Count struct {
	Name string `json:"name"`
	N    int    `json:"count"`
}

// Layer is one layer of a drawing.
type Layer struct {
	Name string `json:"name"`
	// State is "frozen", "off", "noplot" or "".
	State string `json:"state,omitempty"`
	// Colour is the DXF colour number, or "#rrggbb".
	Colour string `json:"colour"`
	// Entities counts what is drawn on it, blocks expanded, by type.
	Entities []Count `json:"entities"`
	// Closed is how many lines and areas on it are closed.
	Closed int           `json:"closed"`
	Extent schema.Extent `json:"extent"`
}

// Block is one block definition.
type Block struct {
	Name     string `json:"name"`
	Entities int    `json:"entities"`
	Inserted int    `json:"inserted"`
	// External is true when its content is in another file.
	External bool `json:"external,omitempty"`
}

// TextHeight is a height of texts in drawing units.
type TextHeight struct {
	Height float64 `json:"height"`
	N      int     `json:"count"`
}

// Inventory is what Look finds. Lengths are in drawing units.
type Inventory struct {
	// Version is the header's, such as "AC1015"; Release the year's name for
	// it.
	Version string `json:"version"`
	Release string `json:"release"`
	// CodePage is the header's; texts of R2007 and later are UTF-8 whatever it
	// says.
	CodePage string `json:"code_page"`
	// Unit is the header's; UnitStated is false when it has none or says
	// unitless.
	Unit       string  `json:"unit,omitempty"`
	UnitMetres float64 `json:"unit_m,omitempty"`
	UnitStated bool    `json:"unit_stated"`
	// HeaderExtent is what the header says, Extent what is drawn.
	HeaderExtent *schema.Extent `json:"header_extent,omitempty"`
	Extent       schema.Extent  `json:"extent"`
	Entities     []Count        `json:"entities"`
	LeftOut      []Count        `json:"left_out,omitempty"`
	PaperSpace   int            `json:"paper_space"`
	Layers       []Layer        `json:"layers"`
	Blocks       []Block        `json:"blocks,omitempty"`
	TextHeights  []TextHeight   `json:"text_heights,omitempty"`
	// Heights is true when any entity has a height other than 0.
	Heights bool `json:"heights"`
	// Degrees is true when the numbers look like longitudes and latitudes.
	Degrees bool `json:"degrees"`
	// Own is true when this program wrote the drawing; CRS is then its plan's,
	// else the one that the drawing says by itself.
	Own bool   `json:"own"`
	CRS string `json:"crs,omitempty"`
	// Warnings are those that reading would give, but for the unit's.
	Warnings []wire.Warning `json:"warnings,omitempty"`
}

// releases name the versions (from memory of the format's reference).
var releases = sync.OnceValue(func() map[string]string {
	return map[string]string{
		"AC1006": "R10", "AC1009": "R11/R12", "AC1012": "R13", "AC1014": "R14", "AC1015": "R2000",
		"AC1018": "R2004", "AC1021": "R2007", "AC1024": "R2010", "AC1027": "R2013", "AC1032": "R2018",
	}
})

// Look lists what is in a drawing: layers, entities, extents, units, blocks. It
// needs no unit. It fails only where the file's form is broken or a cap is
// passed; the error is *wire.InputError.
func Look(data []byte, o wire.ReadOptions) (*Inventory, error) {
	r, err := open(data, o)
	if err != nil {
		return nil, err
	}
	// Curves are only measured: coarse chords do, and no unit is needed.
	r.chord = math.Inf(1)
	inv := r.stated()
	type tally struct {
		Layer
		types map[string]int
	}
	byLayer := map[*layer]*tally{}
	var order []*layer
	for _, l := range r.layerOrder {
		byLayer[l] = &tally{}
		order = append(order, l)
	}
	held := schema.Extent{Empty: true} // of points that blocks are held by
	types := map[string]int{}
	heights := map[float64]int{}
	r.out = func(d *drawn) error {
		if d.sh.hasOwn && d.sh.own.notice {
			return nil
		}
		t := byLayer[d.layer]
		if t == nil {
			t = &tally{}
			byLayer[d.layer] = t
			order = append(order, d.layer)
		}
		if t.types == nil {
			t.types = map[string]int{}
			t.Extent = schema.Extent{Empty: true}
		}
		t.types[d.sh.etype]++
		types[d.sh.etype]++
		whole := &inv.Extent
		if r.draws(d.sh) {
			whole = &held
		}
		grow := func(p point) {
			t.Extent.Add(p[0], p[1])
			whole.Add(p[0], p[1])
			inv.Heights = inv.Heights || p[2] != 0
		}
		if len(d.rings) == 0 {
			grow(d.at)
		}
		for _, q := range d.rings {
			if q.closed {
				t.Closed++
			}
			for _, p := range q.points {
				grow(p)
			}
		}
		if d.sh.kind == kindText && d.sh.height > 0 {
			heights[d.sh.height*d.scale]++
		}
		return nil
	}
	if err := r.draw(identity()); err != nil {
		return nil, err
	}
	r.closing()
	if inv.Extent.Empty {
		inv.Extent = held
	}
	for _, l := range order {
		t := byLayer[l]
		if t.types == nil {
			t.Extent = schema.Extent{Empty: true}
		}
		t.Name, t.State, t.Colour = l.name, l.state(), colourName(l)
		t.Entities = Counts(t.types)
		inv.Layers = append(inv.Layers, t.Layer)
	}
	inv.Entities = Counts(types)
	inv.settle(r, heights)
	return inv, nil
}

// stated is what a drawing says of itself.
func (r *reader) stated() *Inventory {
	inv := &Inventory{Version: r.head.version, Release: releases()[r.head.version], CodePage: r.head.codePage, Extent: schema.Extent{Empty: true}, Own: r.ours}
	if inv.Release == "" {
		inv.Release = "unknown"
	}
	r.unit = Unit{6, "m", 1}
	u, ok := UnitByCode(r.head.insUnits)
	if ok = ok && r.head.hasUnits; !ok && r.head.insUnits == 0 && r.geo != nil && r.geo.sound {
		u, ok = r.geo.unit(), true
	}
	if ok {
		r.unit = u
		inv.Unit, inv.UnitMetres, inv.UnitStated = u.Name, u.Metres, true
	}
	if r.head.hasMin && r.head.hasMax && r.head.min[0] <= r.head.max[0] && r.head.min[1] <= r.head.max[1] {
		inv.HeaderExtent = &schema.Extent{Min: [2]float64{r.head.min[0], r.head.min[1]}, Max: [2]float64{r.head.max[0], r.head.max[1]}}
	}
	if inv.CRS = r.planRecord.Fields().Get(planCRS).Text(); inv.CRS == "" {
		if said, _ := r.placeByGeo(nil, point{}); said != nil {
			inv.CRS = said.crs.ID()
		}
	}
	return inv
}

// settle adds what is known once everything is drawn.
func (inv *Inventory) settle(r *reader, heights map[float64]int) {
	inv.PaperSpace = r.paper
	left := map[string]int{}
	for name, t := range r.skipped {
		left[name] = t.count
	}
	inv.LeftOut = Counts(left)
	for _, b := range r.blockOrder {
		if len(b.name) > 0 && b.name[0] == '*' && b.inserted == 0 {
			continue // the spaces themselves, and drawings of dimensions
		}
		inv.Blocks = append(inv.Blocks, Block{b.name, b.entities, b.inserted, b.external})
	}
	for h, n := range heights {
		inv.TextHeights = append(inv.TextHeights, TextHeight{h, n})
	}
	sort.Slice(inv.TextHeights, func(i, j int) bool { return inv.TextHeights[i].Height < inv.TextHeights[j].Height })
	if !inv.Extent.Empty {
		inv.Degrees = LooksLikeDegrees(inv.Extent.Min[0], inv.Extent.Min[1], inv.Extent.Max[0], inv.Extent.Max[1])
	}
	inv.Warnings = r.tally.Warnings()
}

// Counts lists a tally, the most first, equal ones by name.
func Counts(m map[string]int) []Count {
	out := make([]Count, 0, len(m))
	for name, n := range m {
		out = append(out, Count{name, n})
	}
	slices.SortFunc(out, func(a, b Count) int { return cmp.Or(b.N-a.N, strings.Compare(a.Name, b.Name)) })
	return out
}

func colourName(l *layer) string {
	if l.rgb >= 0 {
		return hexColour(l.rgb)
	}
	return decimal(l.colour)
}
