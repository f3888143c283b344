// Package ink is a drawing as a list of marks on paper, and the two ways of
// writing one: SVG and PDF. Both draw the same list, so that what is measured
// on one holds for the other.
//
// Coordinates are millimetres on paper from the upper left corner, y downwards.
package ink

// Point is a place on paper: millimetres right and down.
type Point [2]float64

// Color is a colour of red, green and blue.
type Color [3]uint8

// Line is how a stroke looks. Dash holds lengths of strokes and gaps in
// millimetres, nil for a whole line.
type Line struct {
	Color Color
	Width float64 // mm
	Dash  []float64
}

// Mark is one thing drawn: a Path, a Text, or the begin or end of a Group.
type Mark interface{ mark() }

// Sub is one run of a path.
type Sub struct {
	Points []Point
	Closed bool
}

// Path is filled by the even-odd rule, then stroked. A nil Fill or Line leaves
// that out.
type Path struct {
	Subs []Sub
	Fill *Color
	// Opacity of the fill, 0 (taken as 1) to 1.
	Opacity float64
	Line    *Line
}

// Text is one line of text. At is the left end of its baseline for Anchor 0,
// its middle for 0.5, its right end for 1; Angle turns it anticlockwise, in
// degrees.
type Text struct {
	At     Point
	Size   float64 // mm, the em
	Bold   bool
	Anchor float64
	Angle  float64
	Color  Color
	// Halo is the width of a white rim that keeps it readable on hatching, 0
	// for none.
	Halo float64
	S    string
}

// Group begins a part with a class and a title for people who listen to the
// drawing. Clip, when not nil, is a rectangle (corner, size) outside of which
// nothing of the group is seen.
type Group struct {
	Class, ID, Title string
	// Link makes the part lead to a place, such as #id of the same page; an SVG
	// alone has it.
	Link string
	Clip *[4]float64
	// Tag is what the part is to a reader of the PDF, a standard structure type
	// such as Figure, H2 or Table; "" for no part of its own. Alt tells in
	// words what a figure shows, Title when empty; Box is where it stands
	// (corner, size), and Top the height at which a heading does.
	Tag, Alt string
	Box      *[4]float64
	Top      float64
}

// Geo is the place of a map on the earth.
type Geo struct {
	Name string
	// Box is the map on paper: corner and size.
	Box [4]float64
	// Corners are longitude and latitude in degrees, in the geographic system
	// on which the named one stands, of the corners lower left, upper left,
	// upper right, lower right.
	Corners [4][2]float64
	// EPSG is the system's code, 0 for none, WKT its text; Projected is set
	// when it is plane.
	EPSG      int
	WKT       string
	Projected bool
}

// End ends the group begun last.
type End struct{}

func (*Path) mark()  {}
func (*Text) mark()  {}
func (*Group) mark() {}
func (End) mark()    {}

// Page is one sheet of paper.
type Page struct {
	W, H  float64 // mm
	Title string
	// Name is its bookmark, Title when empty.
	Name  string
	Desc  string
	Marks []Mark
	// Geo are the maps on it that have a place on the earth.
	Geo []Geo
}

// Add appends marks.
func (p *Page) Add(m ...Mark) { p.Marks = append(p.Marks, m...) }

// Polyline adds an open stroke.
func (p *Page) Polyline(l Line, pts ...Point) {
	p.Add(&Path{Subs: []Sub{{Points: pts}}, Line: &l})
}

// Rect adds a rectangle; either fill or line may be nil.
func (p *Page) Rect(x, y, w, h float64, fill *Color, l *Line) {
	p.Add(&Path{Subs: []Sub{{Points: []Point{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}, Closed: true}}, Fill: fill, Line: l})
}
