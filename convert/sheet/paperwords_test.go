// The words on paper: what is off, circles, arrows, tables that stay together.

package sheet

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"swardline/convert/sheet/ink"
	"swardline/schema"
)

// A keep-out that is off keeps nobody out; whoever reads that nothing is driven
// there leaves things on ground that is mown.
func TestOffWords(t *testing.T) {
	for _, x := range []struct {
		role          schema.Role
		words, legend string
	}{
		{schema.RoleKeepout, "NOT kept out: the machine mows there", "keep-out off: mown"},
		{schema.RoleZone, "not driven", "zone off: not driven"},
		{schema.RoleCorridor, "not driven", "corridor off: not driven"},
		{schema.RoleHazard, "what stands on the ground stays", "hazard off: not checked, but still there"},
		{schema.RoleEdge, "what stands on the ground stays", "edge off: not checked, but still there"},
		{schema.RoleDock, "neither used nor checked", "dock off: not used"},
	} {
		if got := OffWords(x.role); !strings.Contains(got, x.words) || x.role == schema.RoleKeepout && strings.Contains(got, "driven") {
			t.Errorf("%s that is off: %q", x.role, got)
		}
		d := &Drawing{Off: []Feature{feature(x.role, "A", "")}}
		if got := d.offLegend(); len(got) != 1 || got[0] != x.legend {
			t.Errorf("the legend says of %s that is off: %q", x.role, got)
		}
	}
}

func TestCircle(t *testing.T) {
	ring := func(n int, r, bulge float64) Feature {
		f := feature(schema.RoleKeepout, "K", "")
		var out orb.Ring
		for i := range n {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			out = append(out, orb.Point{30 + r*c, -20 + r*s})
		}
		out[0][0] += bulge
		f.Areas = []orb.Polygon{{append(out, out[0])}}
		return f
	}
	for _, x := range []struct {
		name string
		f    Feature
		ok   bool
	}{
		{"a pond of 64 points", ring(64, 10, 0), true},
		{"a square, whose corners lie on a circle too", ring(4, 10, 0), false},
		{"a point 9 mm out", ring(64, 10, 0.009), true},
		{"a point 11 mm out", ring(64, 10, 0.0112), false},
		{"eleven points", ring(11, 10, 0), false},
		{"twelve points", ring(12, 10, 0), true},
	} {
		c, r, ok := x.f.circle()
		if ok != x.ok || ok && (math.Abs(r-10) > 0.001 || math.Hypot(c[0]-30, c[1]+20) > 0.001) {
			t.Errorf("%s: centre %v, radius %g, %v", x.name, c, r, ok)
		}
	}
}

// The arrow at a dock points the way the machine drives in and then faces.
func TestDockArrow(t *testing.T) {
	for _, heading := range []float64{0, 90, 102.5, 270} {
		f := feature(schema.RoleDock, "D", "")
		f.HeadingDeg, f.StandoffM = heading, 10
		p := &ink.Page{W: 100, H: 100}
		newView(p, 0, 0, 100, 100, orb.Bound{Max: orb.Point{100, 100}}).sign(ink.Point{50, 50}, &f)
		head := p.Marks[1].(*ink.Path).Subs[0].Points
		s, c := math.Sincos(heading * math.Pi / 180)
		foot := ink.Point{(head[1][0] + head[2][0]) / 2, (head[1][1] + head[2][1]) / 2}
		if along := (head[0][0]-foot[0])*s - (head[0][1]-foot[1])*c; along < 1.7 {
			t.Errorf("heading %g: the arrow's tip lies %.2f mm along it", heading, along)
		}
		if before := (50-head[0][0])*s - (50-head[0][1])*c; before < 1.5 || before > 3 {
			t.Errorf("heading %g: the arrow ends %.2f mm before the dock", heading, before)
		}
	}
}

// A short table stands whole, and no row of a longer one alone.
func TestTableTogether(t *testing.T) {
	for _, x := range []struct {
		rows int
		room float64 // for so many rows in the first column, below its heads
		want int     // blocks left for the second
	}{
		{4, 1.5, 6}, {4, 4.2, 0}, {20, 2.5, 22}, {20, 3.2, 17}, {20, 19.2, 2},
	} {
		s := Section{Title: titleZones, Columns: []Column{{"Zone", 1, false}}}
		for range x.rows {
			s.Rows = append(s.Rows, Row{0, []string{"z"}})
		}
		blocks := table(s, 80)
		h := blocks[0].h + blocks[1].h + x.room*blocks[2].h
		if left := flow(&ink.Page{}, []column{{0, 0, 80, h}}, blocks); len(left) != x.want {
			t.Errorf("%d rows, room for %g: %d blocks are left, want %d", x.rows, x.room, len(left), x.want)
		}
	}
}

// A name of what stands outside a zone stays out of it where there is room.
func TestNamesStayOutOfZones(t *testing.T) {
	v := newView(&ink.Page{}, 0, 0, 100, 100, orb.Bound{Max: orb.Point{100, 100}})
	z := feature(schema.RoleZone, "Z", "")
	z.Areas = []orb.Polygon{square(50, 20, 40, 60)}
	r := newRoom(v)
	r.keepZones([]*Feature{&z})
	for _, x := range []struct {
		at     ink.Point
		middle ink.Point
		want   bool
	}{
		{ink.Point{45, 50}, ink.Point{56, 50}, true}, {ink.Point{45, 50}, ink.Point{34, 50}, false}, {ink.Point{60, 50}, ink.Point{70, 50}, false},
	} {
		if got := r.strays(x.at, textBox([]string{"mast"}, labelSize, x.middle)); got != x.want {
			t.Errorf("a name at %v for %v strays: %v", x.middle, x.at, got)
		}
	}
}

// wordsOf are all texts of pages, in the order in which they are drawn.
func wordsOf(pages ...*ink.Page) string {
	var out []string
	for _, p := range pages {
		for _, m := range p.Marks {
			if t, ok := m.(*ink.Text); ok {
				out = append(out, t.S)
			}
		}
	}
	return strings.Join(out, " ")
}

// What a sheet says of the check: how far it went where nothing was found, what
// was not checked, and which finding has no place on the map.
func TestWordsOfTheCheck(t *testing.T) {
	say := func(list []Finding) string {
		p := &ink.Page{}
		flow(p, []column{{0, 0, 200, 1000}}, findingBlocks(list, "Not checked: a. 2 of 3 rules checked.", []string{"a: no heights"}, 200))
		return wordsOf(p)
	}
	for _, x := range []struct {
		list []Finding
		want string
	}{
		{nil, "Findings No findings by the rules tested; the check report names them and their limits. Not checked: a. 2 of 3 rules checked. not checked: a: no heights"},
		{[]Finding{{Number: 1, Severity: "error", Rule: "r", Features: "z1", Message: "too near", Figures: "measured 0.1 m", HasAt: true}},
			"Findings 1 error, r: z1: too near (measured 0.1 m) Not checked: a. 2 of 3 rules checked. not checked: a: no heights"},
		{[]Finding{{Number: 1, Severity: "error", Rule: "r", Message: "no base"}},
			"Findings 1 error, r: no base; it has no place on the map Not checked: a. 2 of 3 rules checked. not checked: a: no heights"},
	} {
		if got := say(x.list); got != x.want {
			t.Errorf("the sheet says\n%s\nwant\n%s", got, x.want)
		}
	}
}

// A client, who gets no findings, is told how far the check went and what the
// lines are drawn from; and where a list goes on when a sheet is full.
func TestWordsForAClient(t *testing.T) {
	d := &Drawing{Title: "Yard", Plain: "Drawn from yard.geojson.", Notes: []string{"Ticks in the plan's coordinates."}, Result: "Checked: no findings.", Tested: "Not checked: a.", Caution: "Blades hurt."}
	for i := range 60 {
		f := feature(schema.RoleZone, "Z", "")
		f.Name = strings.Repeat("Lawn ", 1+i%3)
		d.Features = append(d.Features, f)
	}
	for whom, want := range map[Audience][]string{
		ForClient: {"Drawn from yard.geojson.", "Checked: no findings. Not checked: a.", "Continued on sheet 2.", "Caution Blades hurt."},
		ForCrew:   {"Ticks in the plan's coordinates.", "No findings by the rules tested"},
	} {
		set, err := Compose(d, Options{Paper: Papers[0], For: whom})
		if err != nil {
			t.Fatal(err)
		}
		said := wordsOf(set.Pages...)
		for _, w := range want {
			if !strings.Contains(said, w) {
				t.Errorf("for a %s the sheet lacks %q:\n%s", whom, w, said)
			}
		}
		if whom == ForClient && strings.Contains(said, d.Notes[0]) {
			t.Error("a client is told of ticks")
		}
	}
}
