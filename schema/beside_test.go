// Tests of what goes along beside a plan.

package schema

import (
	"reflect"
	"testing"
)

// TestBesideGoesAlong: the member holds all that stands beside a plan, and what is no
// such member stays one.
func TestBesideGoesAlong(t *testing.T) {
	p := &Plan{Source: Source{File: "garden/park.kml"}, Left: []string{"line 3: a pond"}, Pictures: []string{"weir"}}
	p.AddBeside(BesideText{Where: "the style", Text: "quicksand"})
	p.AddBeside(BesideText{Where: "the author", Text: "A. Nonymous", Names: true})
	p.AddUnheard("a table was not read")
	out, fresh, ok := p.WithBeside()
	if !ok || len(fresh) != 5 || p.Attributes.Has(PlanBeside) {
		t.Fatalf("%v %v %v", fresh, ok, p.Attributes)
	}
	back := &Plan{Attributes: out.Attributes, Source: Source{File: "b.geojson"}}
	back.TakeBeside()
	want := []BesideText{{"the style of park.kml", "quicksand", false, false}, {"the author of park.kml", "A. Nonymous", true, false}}
	if !reflect.DeepEqual(back.Beside, want) || !reflect.DeepEqual(back.Unheard, []string{"park.kml: a table was not read"}) ||
		!reflect.DeepEqual(back.Left, []string{"park.kml: line 3: a pond"}) || !reflect.DeepEqual(back.Pictures, []string{"weir"}) || len(back.Attributes) != 0 {
		t.Errorf("%+v", back)
	}
	// Again, with something new of the second file.
	back.Left = append(back.Left, "line 9: a well")
	again, fresh, ok := back.WithBeside()
	if !ok || !reflect.DeepEqual(fresh, []string{"line 9: a well"}) {
		t.Errorf("fresh %q", fresh)
	}
	third := &Plan{Attributes: again.Attributes}
	third.TakeBeside()
	if !reflect.DeepEqual(third.Beside, want) || !reflect.DeepEqual(third.Left, []string{"park.kml: line 3: a pond", "b.geojson: line 9: a well"}) {
		t.Errorf("%+v", third)
	}
	// Into a plan that has things of its own, which the first does not share.
	host := &Plan{Source: Source{File: "host.gpx"}}
	host.AddBeside(BesideText{Where: "its note", Text: "bog"})
	both := *host
	both.AddBesideOf(p)
	if len(host.Beside) != 1 || len(both.Beside) != 3 || both.Beside[1].Where != "the style of park.kml" || len(both.Left) != 1 {
		t.Errorf("%+v", both)
	}
	if _, fresh, _ := both.WithBeside(); len(fresh) != 6 {
		t.Errorf("fresh %q", fresh)
	}
	if n := both.ForgetBeside(); n != 6 || both.HasBeside() {
		t.Errorf("forgot %d: %+v", n, both)
	}
	for _, v := range []Value{String("the mole"), List(), Object(nil), Object(Attributes{{"texts", String("x")}}), Object(Attributes{{"texts", List(String("x"))}}),
		Object(Attributes{{"texts", List(Object(Attributes{{"where", String("w")}}))}}), Object(Attributes{{"left", List(Int(1))}}), Object(Attributes{{"other", List(String("x"))}}),
		Object(Attributes{{"texts", List(Object(Attributes{{"where", String("w")}, {"text", String("t")}, {"more", String("m")}}))}})} {
		q := &Plan{Attributes: Attributes{{PlanBeside, v}}}
		q.TakeBeside()
		if q.HasBeside() || !q.Attributes.Get(PlanBeside).Equal(v) {
			t.Errorf("%s was taken for what a conversion wrote", v.AppendJSON(nil))
		}
		q.AddUnheard("something")
		if same, fresh, ok := q.WithBeside(); ok || len(fresh) != 1 || same != q {
			t.Errorf("%s was written over", v.AppendJSON(nil))
		}
	}
}
