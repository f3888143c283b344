// Reading WKT: from the tree to a CRS, recognised as the registry's where it is
// the same.

package crs

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// fromWKT returns the CRS that a WKT describes. What was left aside comes back
// as notes.
func fromWKT(text string) (*CRS, []string, error) {
	n, err := parseWKT(text)
	if err != nil {
		return nil, nil, err
	}
	var notes []string
	whole, target := n, (*wktNode)(nil)
	var heights Heights
	for {
		switch n.keyword {
		case "COMPD_CS", "COMPOUNDCRS":
			part := n.child("PROJCS", "PROJCRS", "PROJECTEDCRS", "GEOGCS", "GEOGCRS", "GEOGRAPHICCRS", "BOUNDCRS")
			if part == nil {
				return nil, nil, fmt.Errorf("WKT: the compound CRS %q has no horizontal part", n.name())
			}
			for _, a := range n.args {
				if a.kind == 'n' && strings.HasPrefix(a.node.keyword, "VERT") {
					if heights, err = heightsFromWKT(a.node); err != nil {
						return nil, nil, err
					}
				}
			}
			n = part
			continue
		case "BOUNDCRS":
			src := n.child("SOURCECRS")
			if src == nil || len(src.args) != 1 || src.args[0].kind != 'n' {
				return nil, nil, fmt.Errorf("WKT: BOUNDCRS has no source CRS")
			}
			whole = n
			if t := n.child("TARGETCRS"); t != nil && len(t.args) == 1 && t.args[0].kind == 'n' {
				target = t.args[0].node
			}
			n = src.args[0].node
			continue
		}
		break
	}
	step, err := boundStep(whole, target)
	if err != nil {
		return nil, nil, err
	}
	var c *CRS
	switch n.keyword {
	case "PROJCS", "PROJCRS", "PROJECTEDCRS":
		c, err = projectedFromWKT(n)
	case "GEOGCS", "GEOGCRS", "GEOGRAPHICCRS", "GEODCRS", "GEODETICCRS", "GEOCCS", "BASEGEOGCRS", "BASEGEODCRS":
		c, err = geodeticFromWKT(n)
	default:
		return nil, nil, fmt.Errorf("WKT: %s is no CRS a plan can stand in (geographic, geocentric or projected)", n.keyword)
	}
	if err != nil {
		return nil, nil, err
	}
	if step != nil {
		var note string
		c, note = c.bind(step)
		notes = append(notes, note)
	}
	if c, err = c.WithHeights(heights); err != nil {
		return nil, nil, fmt.Errorf("WKT: %w", err)
	}
	return c, notes, nil
}

// unitFactor is the factor of a UNIT node, to metres or radians.
func unitFactor(u *wktNode) (float64, error) {
	f, err := u.number(1)
	if err != nil {
		return 0, err
	}
	if !(f > 1e-12 && f < 1e7) {
		return 0, fmt.Errorf("WKT: the unit %q cannot be %v", u.name(), f)
	}
	if code := u.epsg(); code != 0 {
		if x, ok := exactFactor()[code]; ok && math.Abs(x-f) < 1e-9*f {
			return x, nil
		}
	}
	for _, x := range exactFactor() { // digits cut short
		if math.Abs(x-f) < 2e-14*f {
			return x, nil
		}
	}
	return f, nil
}

// degreesIn is the size in degrees of an angular unit of f radians.
func degreesIn(f float64) float64 {
	switch {
	case math.Abs(f-radPerDeg) < 1e-12:
		return 1
	case math.Abs(f-0.9*radPerDeg) < 1e-12:
		return 0.9
	}
	return f * degPerRad
}

// wktGeodetic is the geodetic part of a WKT CRS.
type wktGeodetic struct {
	name  string
	datum *datum
	angle float64 // degrees in one unit
	unit  unit
}

// ellipsoidal tolerances: of the semi-major axis in metres and of the inverse
// flattening. The datum is recognised by name; these only catch a name on the
// wrong figure.
const (
	sameAxis = 0.1
	sameInvF = 1e-3
)

// geodeticPart reads GEOGCS, BASEGEOGCRS and their kin.
func geodeticPart(n *wktNode) (*wktGeodetic, error) {
	g := &wktGeodetic{name: n.name(), angle: 1, unit: unit{code: 9122, name: "degree", kind: "angle", factor: radPerDeg}}
	d := n.child("DATUM", "GEODETICDATUM", "TRF", "GEODETICREFERENCEFRAME", "ENSEMBLE")
	if d == nil {
		return nil, fmt.Errorf("WKT: %s %q has no datum", n.keyword, n.name())
	}
	e := d.child("ELLIPSOID", "SPHEROID")
	if e == nil {
		return nil, fmt.Errorf("WKT: the datum %q has no ellipsoid", d.name())
	}
	a, err := e.number(1)
	if err != nil {
		return nil, err
	}
	invF, err := e.number(2)
	if err != nil {
		return nil, err
	}
	if u := e.child("LENGTHUNIT", "UNIT"); u != nil {
		f, err := unitFactor(u)
		if err != nil {
			return nil, err
		}
		a *= f
	}
	if !(a > 1e6 && a < 1e8) || !(invF == 0 || invF >= 150 && invF < 1e6) {
		return nil, fmt.Errorf("WKT: no ellipsoid of the earth has semi-major axis %v m and inverse flattening %v", a, invF)
	}
	u := n.child("UNIT", "ANGLEUNIT")
	if u == nil {
		if ax := n.child("AXIS"); ax != nil {
			u = ax.child("ANGLEUNIT", "UNIT")
		}
	}
	if u != nil && n.keyword != "GEOCCS" {
		f, err := unitFactor(u)
		if err != nil {
			return nil, err
		}
		if f < 1 { // a geodetic CRS with Cartesian axes has a length here
			g.angle = degreesIn(f)
			g.unit.factor, g.unit.name, g.unit.code = f, u.name(), 0
			if g.angle == 1 {
				g.unit.name, g.unit.code = "degree", 9122
			}
		}
	}
	pm, pmName := 0.0, "Greenwich"
	if p := n.child("PRIMEM", "PRIMEMERIDIAN"); p != nil {
		v, err := p.number(1)
		if err != nil {
			return nil, err
		}
		pmName = p.name()
		pm = v // WKT 1 gives it in degrees whatever the unit
		if u := p.child("ANGLEUNIT", "UNIT"); u != nil {
			f, err := unitFactor(u)
			if err != nil {
				return nil, err
			}
			pm = v * degreesIn(f)
		} else if strings.HasSuffix(n.keyword, "CRS") {
			pm = v * g.angle
		}
		if !(pm >= -180 && pm <= 180) {
			return nil, fmt.Errorf("WKT: the prime meridian %q cannot be at %v degrees", pmName, pm)
		}
	}
	known, err := registryDatumOf(n, d, a, invF, pm)
	if err != nil {
		return nil, err
	}
	if known != nil {
		g.datum = known
		return g, nil
	}
	name := strings.TrimPrefix(d.name(), "D_")
	g.datum = &datum{name: name, el: newEllipsoid(0, e.name(), a, invF), pm: pm, pmName: pmName}
	return g, nil
}

// datumNames maps squeezed names to codes of datums: the registry's names of
// datums first, then those of the geographic CRSs on them, then other names,
// for "ETRS89" is a name of the Irish realisation too.
var datumNames = sync.OnceValue(func() map[string][]int {
	g := geodeticTables()
	m := map[string][]int{}
	add := func(name string, code int) {
		key := squeeze(strings.TrimSuffix(strings.TrimPrefix(strings.TrimPrefix(name, "D_"), "GCS_"), " ensemble"))
		if d := g.datums[code]; d != nil && key != "" && !slices.Contains(m[key], code) {
			m[key] = append(m[key], code)
		}
	}
	for _, code := range slices.Sorted(maps.Keys(g.datums)) {
		add(g.datums[code].name, code)
	}
	for _, code := range g.codes {
		add(g.crs[code].name, g.crs[code].datum)
	}
	for line := range strings.Lines(aliasText()) {
		f := strings.Split(strings.TrimSuffix(line, "\n"), "\t")
		switch f[0] {
		case "D":
			add(f[2], integer(f[1]))
		case "G":
			if r, ok := g.crs[integer(f[1])]; ok {
				add(f[2], r.datum)
			}
		}
	}
	return m
})

var aliasText = sync.OnceValue(func() string { return openTable("aliases") })

// registryDatumOf finds the registry's datum of a WKT datum d of the geodetic
// CRS n: by its code, by the code of the CRS, by its name, by the name of the
// CRS. Nil when none is meant; an error when the figure contradicts the one
// named.
func registryDatumOf(n, d *wktNode, a, invF, pm float64) (*datum, error) {
	t := geodeticTables()
	fits := func(x *datum) bool {
		return math.Abs(x.el.a-a) <= sameAxis && (x.el.invF == invF || math.Abs(x.el.invF-invF) <= sameInvF)
	}
	named := []int{}
	if code := d.epsg(); t.datums[code] != nil {
		named = append(named, code)
	} else if r, ok := t.crs[n.epsg()]; ok {
		named = append(named, r.datum)
	} else {
		key := squeeze(strings.TrimSuffix(strings.TrimPrefix(d.name(), "D_"), " ensemble"))
		named = datumNames()[key]
		if len(named) == 0 && !vague(key) {
			named = datumNames()[squeeze(strings.TrimPrefix(n.name(), "GCS_"))]
		}
	}
	if len(named) == 0 {
		return nil, nil
	}
	if withdrawnDatum(named[0]) { // what the CRS's name stands for today goes before
		for _, code := range datumNames()[squeeze(strings.TrimPrefix(n.name(), "GCS_"))] {
			if !withdrawnDatum(code) {
				named = append([]int{code}, named...)
			}
		}
	}
	// The registry has a datum of its own for each prime meridian.
	var onFigure *datum
	for _, code := range named {
		x := t.datums[code]
		if !fits(x) {
			continue
		}
		if math.Abs(x.pm-pm) < 1e-7 {
			return x, nil
		}
		onFigure = x
	}
	if onFigure != nil {
		for _, code := range slices.Sorted(maps.Keys(t.datums)) {
			x := t.datums[code]
			if strings.HasPrefix(x.name, onFigure.name+" (") && fits(x) && math.Abs(x.pm-pm) < 1e-7 {
				return x, nil
			}
		}
		turned := *onFigure
		turned.pm, turned.pmName = pm, "other"
		if p := n.child("PRIMEM", "PRIMEMERIDIAN"); p != nil {
			turned.pmName = p.name()
		}
		return &turned, nil
	}
	x := t.datums[named[0]]
	return nil, fmt.Errorf("WKT: the datum %q is known on the ellipsoid %s (%s, 1/f %s), not on one with %s, %s; mend the one or the other",
		d.name(), x.el.name, exact(x.el.a), exact(x.el.invF), exact(a), exact(invF))
}

// vague tells names that name no datum.
func vague(key string) bool {
	for _, w := range []string{"unknown", "notspecified", "unspecified", "unnamed", "undefined", "basedon", "userdefined", "custom"} {
		if strings.Contains(key, w) {
			return true
		}
	}
	return key == ""
}

// geodeticFromWKT makes a geographic or geocentric CRS.
func geodeticFromWKT(n *wktNode) (*CRS, error) {
	g, err := geodeticPart(n)
	if err != nil {
		return nil, err
	}
	kind, dims := KindGeographic, 2
	cs := n.child("CS")
	if cs != nil && len(cs.args) > 0 && strings.EqualFold(cs.args[0].text, "Cartesian") || n.keyword == "GEOCCS" {
		kind, dims = KindGeocentric, 3
	} else if cs != nil && len(cs.args) > 1 && cs.args[1].number == 3 || len(n.children("AXIS")) == 3 {
		dims = 3
	}
	if claimed := n.epsg(); claimed != 0 {
		c, err := epsgCRS(claimed)
		if err != nil {
			return nil, fmt.Errorf("WKT: it claims a code: %w", err)
		}
		if why := differsGeodetic(c, g, kind); why != "" {
			return nil, claimError(claimed, c, why)
		}
		return c, nil
	}
	// The registry's CRS with this datum, unit and kind; the name settles ties.
	if g.datum.code != 0 {
		t := geodeticTables()
		var best *CRS
		for _, code := range t.codes {
			r := t.crs[code]
			if r.datum != g.datum.code {
				continue
			}
			c, err := epsgCRS(code)
			if err != nil || c.kind != kind || c.dims != dims || differsGeodetic(c, g, kind) != "" {
				continue
			}
			if best == nil || squeeze(c.name) == squeeze(g.name) || strings.HasSuffix(best.name, "(lon-lat)") {
				best = c
			}
		}
		if best != nil {
			return best, nil
		}
	}
	c := &CRS{name: g.name, kind: kind, datum: g.datum, dims: dims}
	if kind == KindGeocentric {
		c.unit = 1
		metre := unit{code: 9001, name: "metre", kind: "length", factor: 1}
		c.axes = []Axis{{"Geocentric X", "X", "geocentricX", "metre", metre}, {"Geocentric Y", "Y", "geocentricY", "metre", metre}, {"Geocentric Z", "Z", "geocentricZ", "metre", metre}}
	} else {
		c.axes = []Axis{{"Geodetic latitude", "Lat", "north", g.unit.name, g.unit}, {"Geodetic longitude", "Lon", "east", g.unit.name, g.unit}}
		if ax := n.children("AXIS"); len(ax) > 0 && wktDirection(ax[0]) == "east" {
			c.axes[0], c.axes[1] = c.axes[1], c.axes[0]
		}
		c.setOrder()
	}
	c.id = c.WKT()
	return c, nil
}

// differsGeodetic says how a registry CRS differs from what a WKT describes.
func differsGeodetic(c *CRS, g *wktGeodetic, kind Kind) string {
	el, want := g.datum.el, c.datum.el
	switch {
	case c.kind != kind:
		return "it is another kind of CRS"
	case math.Abs(el.a-want.a) > sameAxis:
		return fmt.Sprintf("the semi-major axis is %s m in the text and %s m in the registry", exact(el.a), exact(want.a))
	case math.Abs(el.invF-want.invF) > sameInvF:
		return fmt.Sprintf("the inverse flattening is %s in the text and %s in the registry", exact(el.invF), exact(want.invF))
	case g.datum.code != 0 && g.datum.code != c.datum.code && !withdrawnDatum(g.datum.code):
		return fmt.Sprintf("the datum is %q in the text and %q in the registry", g.datum.name, c.datum.name)
	case math.Abs(g.datum.pm-c.datum.pm) > 1e-7:
		return fmt.Sprintf("the prime meridian is at %s degrees in the text and at %s in the registry", exact(g.datum.pm), exact(c.datum.pm))
	case kind == KindGeographic && math.Abs(g.angle-c.angle) > 1e-9:
		return fmt.Sprintf("the unit is %s degrees in the text and %s in the registry", exact(g.angle), exact(c.angle))
	}
	return ""
}

// withdrawnDatum reports whether nothing in the registry stands on the datum
// any more: a text of the years before that claims a code is judged by the
// code.
func withdrawnDatum(code int) bool {
	g := geodeticTables()
	for _, r := range g.crs {
		if r.datum == code {
			return false
		}
	}
	return true
}

func claimError(code int, c *CRS, why string) error {
	return fmt.Errorf("WKT: it claims to be EPSG:%d (%s), but %s; mend the text, or take its authority code out to use its parameters as they stand", code, c.name, why)
}

// wktDirection is an axis direction in lower case.
func wktDirection(axis *wktNode) string {
	for _, a := range axis.args[1:] {
		if a.kind == 'w' {
			return strings.ToLower(a.text)
		}
	}
	return ""
}

// projectedFromWKT makes a projected CRS.
func projectedFromWKT(n *wktNode) (*CRS, error) {
	gn := n.child("GEOGCS", "BASEGEOGCRS", "BASEGEODCRS", "GEOGCRS", "GEODCRS")
	if gn == nil {
		return nil, fmt.Errorf("WKT: the projected CRS %q has no geographic base", n.name())
	}
	g, err := geodeticPart(gn)
	if err != nil {
		return nil, err
	}
	wkt1 := n.keyword == "PROJCS"
	un := n.child("UNIT", "LENGTHUNIT")
	if un == nil {
		if ax := n.child("AXIS"); ax != nil {
			un = ax.child("LENGTHUNIT", "UNIT")
		}
	}
	lu := unit{code: 9001, name: "metre", kind: "length", factor: 1}
	if un == nil {
		return nil, fmt.Errorf("WKT: the projected CRS %q has no unit of length", n.name())
	}
	if lu.factor, err = unitFactor(un); err != nil {
		return nil, err
	}
	lu.name, lu.code = un.name(), un.epsg()
	if lu.factor < 1e-4 || lu.factor > 1e5 {
		return nil, fmt.Errorf("WKT: the unit %q (%v m) is none of length", lu.name, lu.factor)
	}
	cn, mn := n, n.child("PROJECTION")
	if !wkt1 {
		if cn = n.child("CONVERSION"); cn == nil {
			return nil, fmt.Errorf("WKT: the projected CRS %q has no conversion", n.name())
		}
		mn = cn.child("METHOD", "PROJECTION")
	}
	if mn == nil {
		return nil, fmt.Errorf("WKT: the projected CRS %q has no projection method", n.name())
	}
	paramUnit := lu.factor
	conv, err := wktConversion(cn, mn, g.angle, paramUnit, g.unit.name)
	if err != nil {
		return nil, err
	}
	if x := n.child("EXTENSION"); x != nil && len(x.args) > 1 && strings.Contains(x.args[1].text, "+nadgrids=@null") &&
		strings.Contains(x.args[1].text, "+a=6378137") && strings.Contains(x.args[1].text, "+b=6378137") {
		conv.method = 1024 // how WKT 1 spells web Mercator
	}
	pl, err := newPlane(conv, g.datum, lu.factor)
	if err != nil {
		return nil, fmt.Errorf("WKT: %w", err)
	}
	c := &CRS{name: n.name(), kind: KindProjected, datum: g.datum, conv: conv, plane: pl, unit: lu.factor, dims: 2}
	if claimed := n.epsg(); claimed != 0 {
		r, err := epsgCRS(claimed)
		if err != nil {
			return nil, fmt.Errorf("WKT: it claims a code: %w", err)
		}
		if onceOn(r, g.datum.code) {
			c.datum = r.datum
		}
		if why := c.differs(r, g); why != "" {
			return nil, claimError(claimed, r, why)
		}
		return r, nil
	}
	if g.datum.code != 0 {
		if r := c.inRegistry(n.name(), firstAxis(n)); r != nil {
			return r, nil
		}
	}
	base, err := geodeticFromWKT(gn)
	if err != nil {
		return nil, err
	}
	c.base = base
	c.axes = []Axis{{"Easting", "E", "east", lu.name, lu}, {"Northing", "N", "north", lu.name, lu}}
	if axes := n.children("AXIS"); len(axes) >= 2 {
		d0, d1 := wktDirection(axes[0]), wktDirection(axes[1])
		if cardinal(d0) && cardinal(d1) && (d0 == "north" || d0 == "south") != (d1 == "north" || d1 == "south") {
			c.axes[0].Direction, c.axes[1].Direction = d0, d1
			if d0 == "north" || d0 == "south" {
				c.axes[0].Name, c.axes[0].Abbreviation, c.axes[1].Name, c.axes[1].Abbreviation = "Northing", "N", "Easting", "E"
			}
		}
	}
	c.setOrder()
	c.unit = lu.factor
	c.id = c.WKT()
	return c, nil
}

func cardinal(d string) bool { return d == "north" || d == "south" || d == "east" || d == "west" }

func firstAxis(n *wktNode) string {
	if a := n.child("AXIS"); a != nil && len(a.args) > 1 {
		return wktDirection(a)
	}
	return ""
}

// differs says how the projected CRS c, read from a text, differs from the
// registry's r, empty when it does not: first the geodetic part, then where
// points of r's area of use fall.
func (c *CRS) differs(r *CRS, g *wktGeodetic) string {
	if r.kind != KindProjected {
		return "that is no projected CRS"
	}
	onR := &wktGeodetic{datum: c.datum, angle: r.Base().angle}
	if why := differsGeodetic(r.Base(), onR, KindGeographic); why != "" {
		return why
	}
	if math.Abs(c.unit/r.unit-1) > 1e-7 {
		return fmt.Sprintf("the unit is %s m in the text and %s m in the registry", exact(c.unit), exact(r.unit))
	}
	d := c.samePlane(r)
	if d <= samePlane {
		return ""
	}
	if c.conv.method == r.conv.method {
		for _, p := range r.conv.params {
			v := c.conv.get(p.code)
			tol := 1e-9
			if p.unit.kind == "length" {
				tol = 1e-3
			}
			if math.Abs(v-p.value) > tol {
				if p.unit.kind == "length" {
					return fmt.Sprintf("%s is %s m in the text and %s m in the registry", parameterName(p.code), exact(v), exact(p.value))
				}
				return fmt.Sprintf("%s is %s in the text and %s in the registry", parameterName(p.code), exact(v), exact(p.value))
			}
		}
	}
	if math.IsInf(d, 1) {
		return fmt.Sprintf("its projection (%s) does not cover the area of the other (%s)", projectionName(c.conv.method), projectionName(r.conv.method))
	}
	return fmt.Sprintf("positions differ by %.3f m", d)
}

// samePlane is the distance in metres under which two projections are taken for
// the same: texts round their parameters.
const samePlane = 0.001

// samePlane returns the greatest distance in metres between where c and r put
// five points of r's area of use, +Inf when c cannot place one.
func (c *CRS) samePlane(r *CRS) float64 {
	w, s, e, n, ok := r.Area()
	if !ok {
		return math.Inf(1)
	}
	if w > e {
		e += 360
	}
	worst := 0.0
	for _, q := range [][2]float64{{0.5, 0.5}, {0.1, 0.1}, {0.9, 0.2}, {0.2, 0.8}, {0.8, 0.9}} {
		lon, lat := wrap180(w+q[0]*(e-w)), s+q[1]*(n-s)
		x0, y0 := r.plane.fromGeodetic(lon, lat)
		if x0-x0 != 0 || y0-y0 != 0 {
			continue
		}
		x1, y1 := c.plane.fromGeodetic(lon, lat)
		d := math.Hypot(x0*r.unit-x1*c.unit, y0*r.unit-y1*c.unit)
		if d-d != 0 {
			return math.Inf(1)
		}
		worst = math.Max(worst, d)
	}
	return worst
}

// projectedNames maps codes to the other names that .prj files use.
var projectedNames = sync.OnceValue(func() map[int][]string {
	m := map[int][]string{}
	for line := range strings.Lines(aliasText()) {
		if f := strings.Split(strings.TrimSuffix(line, "\n"), "\t"); f[0] == "P" {
			m[integer(f[1])] = append(m[integer(f[1])], squeeze(f[2]))
		}
	}
	return m
})

// formerDatums maps codes to the datums that the system stood on under one of
// its former names: "ETRS89 / TM35FIN(E,N)" is what EPSG:3067 was called before
// the registry gave Finland's realisation, EUREF-FIN, a datum of its own. Texts
// of those years name the former one.
var formerDatums = sync.OnceValue(func() map[int][]int {
	m := map[int][]int{}
	pt, names := projectedTable(), datumNames()
	t := geodeticTables()
	for line := range strings.Lines(aliasText()) {
		f := strings.Split(strings.TrimSuffix(line, "\n"), "\t")
		frame, _, ok := strings.Cut(f[2], " / ")
		if f[0] != "P" || !ok {
			continue
		}
		code := integer(f[1])
		now := t.crs[integer(pt.line(code)[2])].datum
		for _, d := range names[squeeze(frame)] {
			if d != now && !slices.Contains(m[code], d) {
				m[code] = append(m[code], d)
			}
		}
	}
	return m
})

// onceOn reports whether the registry's r stood on the datum before, so that a
// text that claims r's code may name it.
func onceOn(r *CRS, datum int) bool {
	return datum != 0 && slices.Contains(formerDatums()[r.code], datum)
}

// onceOnDatum maps ensembles to the systems that stood on them before the
// registry gave a realisation of theirs a datum of its own.
var onceOnDatum = sync.OnceValue(func() map[int][]int {
	m := map[int][]int{}
	for code, datums := range formerDatums() {
		for _, d := range datums {
			if geodeticTables().datums[d].accuracy > 0 {
				m[d] = append(m[d], code)
			}
		}
	}
	for _, codes := range m {
		slices.Sort(codes)
	}
	return m
})

// projectedOnDatum maps datum codes to the projected CRSs on them.
var projectedOnDatum = sync.OnceValue(func() map[int][]int {
	t := geodeticTables()
	pt := projectedTable()
	m := map[int][]int{}
	for i, code := range pt.codes {
		d := t.crs[integer(pt.at(i)[2])].datum
		m[d] = append(m[d], int(code))
	}
	return m
})

// inRegistry finds the registry's projected CRS that is the same as c: on the
// same datum, in the same unit, putting points in the same place. Among several
// the name decides, then the order of the axes (east first unless the text says
// otherwise), then the lowest code.
func (c *CRS) inRegistry(name, first string) *CRS {
	key := squeeze(name)
	var best *CRS
	bestScore := -1
	for _, code := range projectedOnDatum()[c.datum.code] {
		r, err := epsgCRS(code)
		if err != nil || math.Abs(c.unit/r.unit-1) > 1e-7 || math.Abs(c.datum.pm-r.datum.pm) > 1e-7 {
			continue
		}
		if c.samePlane(r) > samePlane {
			continue
		}
		score := 0
		if squeeze(r.name) == key || slices.Contains(projectedNames()[r.code], key) {
			score += 2
		}
		if (first == "north") == r.order.swap {
			score++
		}
		if score > bestScore {
			best, bestScore = r, score
		}
	}
	if bestScore >= 2 {
		return best
	}
	// By one of its former names, on the datum of that time.
	for _, code := range onceOnDatum()[c.datum.code] {
		r, err := epsgCRS(code)
		if err != nil || math.Abs(c.unit/r.unit-1) > 1e-7 {
			continue
		}
		_, grid, _ := strings.Cut(r.name, " / ")
		if !slices.Contains(projectedNames()[code], key) && !strings.HasSuffix(key, squeeze(grid)) || c.samePlane(r) > samePlane {
			continue
		}
		if best == nil || bestScore < 2 || (first == "north") == r.order.swap {
			best, bestScore = r, 2
		}
	}
	return best
}

// wktNumber writes a number for WKT.
func wktNumber(v float64) string {
	if v != 0 && (math.Abs(v) < 1e-6 || math.Abs(v) >= 1e15) {
		return strconv.FormatFloat(v, 'e', -1, 64)
	}
	return exact(v)
}
