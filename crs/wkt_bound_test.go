// Systems that bring their own step: used, named and held to the gates, never
// left aside.

package crs

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// The British grid under another name with the parameters of EPSG:1314: what
// the registry has for EPSG:27700 is the truth.
const boundGrid = "+proj=tmerc +lat_0=49 +lon_0=-2 +k=0.9996012717 +x_0=400000 +y_0=-100000 +ellps=airy +towgs84=446.448,-125.157,542.06,0.15,0.247,0.842,-20.489 +units=m"

func TestBoundStepIsUsed(t *testing.T) {
	bound, wgs, grid := mustParse(t, boundGrid), WGS84(), mustParse(t, "EPSG:27700")
	at := asked{Near: place(-1.5, 52), AcceptAccuracy: 2}
	var no *NoStepError
	if _, err := at.operation(bound, wgs); !errors.As(err, &no) || no.Answer() != AnswerUnknown || !strings.Contains(err.Error(), "TOWGS84 as the text states it") {
		t.Fatalf("without leave: %v", err)
	}
	at.AllowUnknownAccuracy = true
	op, err := at.operation(bound, wgs)
	if err != nil {
		t.Fatal(err)
	}
	if _, known := op.Accuracy(); known || !strings.Contains(op.Name(), "TOWGS84") || strings.Contains(strings.Join(op.Notes(), " "), "nothing was moved") {
		t.Errorf("%s %v", op.Name(), op.Notes())
	}
	truth, err := at.operation(grid, wgs)
	if err != nil || !strings.Contains(truth.Name(), "EPSG:1314") {
		t.Fatal(truth.Name(), err)
	}
	p, q := []float64{430000, 260000}, []float64{430000, 260000}
	if op.Apply(p, 2) != nil || truth.Apply(q, 2) != nil {
		t.Fatal("not applied")
	}
	if d := math.Hypot(p[0]-q[0], p[1]-q[1]) * 111_000; d > 1e-5 {
		t.Errorf("%v against %v by the registry: %.3g m", p, q, d)
	}
	back, err := at.operation(wgs, bound)
	if err != nil {
		t.Fatal(err)
	}
	if err := back.Apply(p, 2); err != nil || math.Hypot(p[0]-430000, p[1]-260000) > 1e-5 {
		t.Errorf("back at %v, %v", p, err)
	}
	// To its own datum nothing is moved, whatever is allowed.
	if same, err := (asked{AcceptAccuracy: 1e-9}).operation(bound, mustParse(t, bound.ID())); err != nil || len(same.Steps()) != 0 {
		t.Errorf("to itself: %v", err)
	}
}

func TestBoundBesideADatumOfTheRegistry(t *testing.T) {
	text := func(shift string) string {
		return `GEOGCS["DHDN",DATUM["Deutsches_Hauptdreiecksnetz",SPHEROID["Bessel 1841",6377397.155,299.1528128],TOWGS84[` + shift + `]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]]`
	}
	// EPSG:1777 in the convention of the position vector.
	c, notes, err := ParseWithNotes(text("598.1,73.7,418.2,0.202,0.045,-2.455,6.7"))
	if err != nil || c.ID() != "EPSG:4314" || !strings.Contains(strings.Join(notes, " "), "is EPSG:1777") {
		t.Errorf("a step of the registry: %v %v %v", c, notes, err)
	}
	c, notes, err = ParseWithNotes(text("600,70,420,0.2,0,-2.4,6"))
	if err != nil || c.ID() == "EPSG:4314" || !strings.Contains(strings.Join(notes, " "), "brings its own step") {
		t.Fatalf("a step of its own: %v %v %v", c, notes, err)
	}
	if again := mustParse(t, c.ID()); !again.Equal(c) {
		t.Errorf("%s reads back as %s", c.ID(), again.ID())
	}
	// On its datum it is the registry's; off it only its own step leads.
	if op, err := (asked{AcceptAccuracy: 1e-9}).operation(c, mustParse(t, "EPSG:31467")); err != nil || len(op.Steps()) != 0 {
		t.Errorf("on one datum: %v", err)
	}
	at := asked{Near: place(9, 50), AcceptAccuracy: 5}
	if op, err := at.operation(c, WGS84()); err == nil {
		t.Errorf("the registry's %s took the place of the text's own step", op.Name())
	}
	at.AllowUnknownAccuracy = true
	op, err := at.operation(c, WGS84())
	if err != nil || !strings.Contains(op.Name(), "TOWGS84 as the text states it") {
		t.Errorf("%v %v", op, err)
	}
}

func TestBoundFormsAgree(t *testing.T) {
	grid := func(method, r string) string {
		return `BOUNDCRS[SOURCECRS[GEOGCRS["x",DATUM["x",ELLIPSOID["Airy 1830",6377563.396,299.3249646]],CS[ellipsoidal,2],AXIS["lat",north],AXIS["lon",east],ANGLEUNIT["degree",0.0174532925199433]]],TARGETCRS[GEOGCRS["WGS 84",DATUM["World Geodetic System 1984",ELLIPSOID["WGS 84",6378137,298.257223563]],CS[ellipsoidal,2],AXIS["lat",north],AXIS["lon",east],ANGLEUNIT["degree",0.0174532925199433]]],ABRIDGEDTRANSFORMATION["mine",METHOD["` + method + `"],PARAMETER["X-axis translation",446.448,LENGTHUNIT["metre",1]],PARAMETER["Y-axis translation",-125.157],PARAMETER["Z-axis translation",542.06]` + r + `]]`
	}
	turn := func(sign string) string {
		return `,PARAMETER["X-axis rotation",` + sign + `0.15,ANGLEUNIT["arc-second",4.84813681109536E-06]],PARAMETER["Y-axis rotation",` + sign + `0.247],PARAMETER["Z-axis rotation",` + sign + `0.842],PARAMETER["Scale difference",0.999979511,SCALEUNIT["unity",1]]`
	}
	var first []float64
	for _, text := range []string{
		`GEOGCS["x",DATUM["x",SPHEROID["Airy 1830",6377563.396,299.3249646],TOWGS84[446.448,-125.157,542.06,0.15,0.247,0.842,-20.489]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]]`,
		grid("Position Vector transformation (geog2D domain)", turn("")),
		grid("Coordinate Frame rotation (geog2D domain)", turn("-")),
	} {
		c := mustParse(t, text)
		op, err := asked{AllowUnknownAccuracy: true, Near: place(-1.5, 52)}.operation(c, WGS84())
		if err != nil {
			t.Fatal(err)
		}
		p := []float64{-1.5, 52}
		if err := op.Apply(p, 2); err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = p
		}
		if d := math.Hypot(p[0]-first[0], p[1]-first[1]) * 111_000; d > 1e-6 {
			t.Errorf("%s: %.3g m from the first form", text[:20], d)
		}
	}
	for text, want := range map[string]string{
		grid("Bicubic", ""): "of a method not known here",
		strings.Replace(grid("Geocentric translations", ""), "Z-axis translation", "twist", 1):                                                          "a parameter that is not known here",
		`GEOGCS["x",DATUM["x",SPHEROID["Airy 1830",6377563.396,299.3249646],TOWGS84[1,2]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]]`:     "not 3 or 7",
		`GEOGCS["x",DATUM["x",SPHEROID["Airy 1830",6377563.396,299.3249646],TOWGS84[1e9,2,3]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]]`: "no step between two datums",
	} {
		if _, err := Parse(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("got %v, want %q", err, want)
		}
	}
}
