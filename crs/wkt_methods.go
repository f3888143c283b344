// WKT methods: the names that WKT gives projections and their parameters, and
// the registry's codes for them.

package crs

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
)

// A meaning is what a parameter stands for, whatever a text calls it.
type meaning uint8

const (
	latOrigin meaning = iota + 1
	lonOrigin
	scaleFactor
	falseEasting
	falseNorthing
	parallel1
	parallel2
	azimuth
	gridAngle
	pseudoParallel
	planeHeight
	zoneInitial
	zoneWidth
)

// meaningNames are the names of WKT 1 for the meanings, squeezed (letters and
// digits, lower case).
var meaningNames = map[string]meaning{
	"latitudeoforigin": latOrigin, "latitudeofcenter": latOrigin, "latitudeofcentre": latOrigin,
	"longitudeoforigin": lonOrigin, "centralmeridian": lonOrigin, "longitudeofcenter": lonOrigin, "longitudeofcentre": lonOrigin,
	"straightverticallongitudefrompole": lonOrigin,
	"scalefactor":                       scaleFactor,
	"falseeasting":                      falseEasting, "falsenorthing": falseNorthing,
	"standardparallel1": parallel1, "standardparallel2": parallel2,
	"azimuth": azimuth, "rectifiedgridangle": gridAngle, "xyplanerotation": gridAngle,
	"pseudostandardparallel1": pseudoParallel, "height": planeHeight,
}

// natural, falseOrigin and centre are the usual sets of parameter codes.
var (
	natural     = map[meaning]int{latOrigin: 8801, lonOrigin: 8802, scaleFactor: 8805, falseEasting: 8806, falseNorthing: 8807}
	noScale     = map[meaning]int{latOrigin: 8801, lonOrigin: 8802, falseEasting: 8806, falseNorthing: 8807}
	falseOrigin = map[meaning]int{latOrigin: 8821, lonOrigin: 8822, parallel1: 8823, parallel2: 8824, falseEasting: 8826, falseNorthing: 8827}
	michigan    = map[meaning]int{latOrigin: 8821, lonOrigin: 8822, parallel1: 8823, parallel2: 8824, falseEasting: 8826, falseNorthing: 8827, scaleFactor: 1038}
	centreA     = map[meaning]int{latOrigin: 8811, lonOrigin: 8812, azimuth: 8813, gridAngle: 8814, scaleFactor: 8815, falseEasting: 8806, falseNorthing: 8807}
	centreB     = map[meaning]int{latOrigin: 8811, lonOrigin: 8812, azimuth: 8813, gridAngle: 8814, scaleFactor: 8815, falseEasting: 8816, falseNorthing: 8817}
	cylinder    = map[meaning]int{parallel1: 8823, lonOrigin: 8802, falseEasting: 8806, falseNorthing: 8807}
	polarB      = map[meaning]int{parallel1: 8832, latOrigin: 8832, lonOrigin: 8833, falseEasting: 8806, falseNorthing: 8807}
	krovakSet   = map[meaning]int{latOrigin: 8811, lonOrigin: 8833, azimuth: 1036, pseudoParallel: 8818, scaleFactor: 8819, falseEasting: 8806, falseNorthing: 8807}
)

// wktMethod is a projection method as WKT knows it.
type wktMethod struct {
	code  int
	names string // squeezed names of WKT 1, parted by spaces; the registry's own name is known anyway
	codes map[meaning]int
}

var wktMethods = []wktMethod{
	{9807, "transversemercator gausskruger transversemercatorcomplex", natural},
	{9808, "transversemercatorsouthorientated transversemercatorsouthoriented", natural},
	{1111, "", natural},
	{9824, "transversemercatorzonedgridsystem", map[meaning]int{latOrigin: 8801, scaleFactor: 8805, falseEasting: 8806, falseNorthing: 8807, zoneInitial: 8830, zoneWidth: 8831}},
	{9801, "lambertconformalconic1sp", natural},
	{1102, "", map[meaning]int{parallel1: 8801, latOrigin: 8821, lonOrigin: 8822, scaleFactor: 8805, falseEasting: 8826, falseNorthing: 8827}},
	{9802, "lambertconformalconic2sp lambertconformalconic", falseOrigin},
	{9803, "lambertconformalconic2spbelgium", falseOrigin},
	{9826, "lambertconformalconicwestoriented lambertconformalconicwestorientated", natural},
	{1051, "lambertconformalconic2spmichigan", michigan},
	{9822, "albersconicequalarea albers", falseOrigin},
	{9806, "cassinisoldner cassini", noScale},
	{9833, "hyperboliccassinisoldner", noScale},
	{9810, "polarstereographic", natural},
	{9829, "stereographicnorthpole stereographicsouthpole", polarB},
	{9830, "", map[meaning]int{parallel1: 8832, latOrigin: 8832, lonOrigin: 8833, falseEasting: 8826, falseNorthing: 8827}},
	{9809, "obliquestereographic doublestereographic", natural},
	{9812, "hotineobliquemercator hotineobliquemercatorazimuthnaturalorigin rectifiedskeworthomorphicnaturalorigin", centreA},
	{9815, "hotineobliquemercatorazimuthcenter obliquemercator rectifiedskeworthomorphiccenter swissobliquecylindrical swissobliquemercator", centreB},
	{9813, "labordeobliquemercator", map[meaning]int{latOrigin: 8811, lonOrigin: 8812, azimuth: 8813, scaleFactor: 8815, falseEasting: 8806, falseNorthing: 8807}},
	{9820, "lambertazimuthalequalarea", noScale},
	{1027, "", noScale},
	{9804, "mercator1sp", natural},
	{9805, "mercator2sp mercator", cylinder},
	{1044, "", falseOrigin},
	{1024, "popularvisualisationpseudomercator mercatorauxiliarysphere", noScale},
	{1026, "", noScale},
	{9818, "polyconic", noScale},
	{9819, "krovak", krovakSet},
	{1041, "", krovakSet},
	{1042, "", krovakSet},
	{1043, "", krovakSet},
	{9811, "newzealandmapgrid", noScale},
	{9835, "cylindricalequalarea behrmann", cylinder},
	{9834, "", cylinder},
	{1028, "equidistantcylindrical equirectangular", map[meaning]int{parallel1: 8823, lonOrigin: 8802, latOrigin: 8801, falseEasting: 8806, falseNorthing: 8807}},
	{1029, "", map[meaning]int{parallel1: 8823, lonOrigin: 8802, latOrigin: 8801, falseEasting: 8806, falseNorthing: 8807}},
	{1078, "equalearth", map[meaning]int{lonOrigin: 8802, falseEasting: 8806, falseNorthing: 8807}},
	{9827, "bonne", noScale},
	{9828, "bonnesouthorientated", noScale},
	{9816, "tunisiamininggrid tunisiamappinggrid", map[meaning]int{latOrigin: 8821, lonOrigin: 8822, falseEasting: 8826, falseNorthing: 8827}},
	{9817, "lambertconicnearconformal", natural},
	{9831, "guamprojection", noScale},
	{9832, "modifiedazimuthalequidistant", noScale},
	{9840, "orthographic", noScale},
	{1125, "azimuthalequidistant", noScale},
	{1130, "", map[meaning]int{latOrigin: 8811, lonOrigin: 8812, azimuth: 8813, scaleFactor: 8815, falseEasting: 8816, falseNorthing: 8817}},
	{1052, "colombiaurban igacplanocartesiano", map[meaning]int{latOrigin: 8801, lonOrigin: 8802, falseEasting: 8806, falseNorthing: 8807, planeHeight: 1039}},
}

// squeeze reduces a name to its letters and digits in lower case, so that
// "Lambert_Conformal_Conic" and "Lambert Conformal Conic" meet.
func squeeze(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch {
		case r >= 'A' && r <= 'Z':
			b.WriteRune(r + 'a' - 'A')
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case r == '+':
			b.WriteString("plus") // CH1903 and CH1903+ are two datums
		case r > 127:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// findWKTMethod finds a method by the registry's code or by name.
func findWKTMethod(code int, name string) *wktMethod {
	s := squeeze(name)
	var byName *wktMethod
	for i := range wktMethods {
		m := &wktMethods[i]
		if code != 0 && m.code == code {
			return m
		}
		for n := range strings.FieldsSeq(m.names) {
			if n == s {
				byName = m
			}
		}
		if byName == nil && s == squeeze(projectionName(m.code)) {
			byName = m
		}
	}
	if code != 0 {
		return nil
	}
	return byName
}

// wktConversion reads PROJECTION or CONVERSION with its parameters. angleUnit
// and lengthUnit are degrees and metres in one unit where a parameter does not
// say; n is the node that has the parameters as children.
func wktConversion(n, method *wktNode, angleUnit, lengthUnit float64, angleName string) (*conversion, error) {
	name := method.name()
	m := findWKTMethod(method.epsg(), name)
	if m == nil {
		if code := method.epsg(); code != 0 {
			return nil, fmt.Errorf("WKT: the projection method %q (EPSG:%d) is not supported", name, code)
		}
		return nil, fmt.Errorf("WKT: the projection method %q is not supported", name)
	}
	c := &conversion{name: n.name(), method: m.code}
	given := map[int]parameter{}
	meant := map[meaning]parameter{}
	extra := map[string]float64{}
	meantAs, spelt := map[meaning]string{}, map[string]string{} // as the text has them
	for _, p := range n.children("PARAMETER") {
		v, err := p.number(1)
		if err != nil {
			return nil, err
		}
		key := squeeze(p.name())
		par := parameter{code: p.epsg(), given: v}
		mean := meaningNames[key]
		if par.code == 0 {
			par.code = parameterByName(key)
		}
		switch {
		case isAngle(par.code, mean):
			par.unit = unit{kind: "angle", factor: angleUnit * radPerDeg, name: angleName}
			par.value = v * angleUnit
		case par.code == 8805 || par.code == 8815 || par.code == 8819 || par.code == 1038 || mean == scaleFactor:
			par.unit = unit{kind: "scale", factor: 1, name: "unity"}
			par.value = v
		default:
			par.unit = unit{kind: "length", factor: lengthUnit}
			par.value = v * lengthUnit
		}
		if u := p.child("ANGLEUNIT", "LENGTHUNIT", "SCALEUNIT", "UNIT"); u != nil {
			f, err := unitFactor(u)
			if err != nil {
				return nil, err
			}
			par.value = v * f
			if par.unit.kind == "angle" {
				par.value = v * degreesIn(f)
			}
			par.unit.factor, par.unit.name = f, u.name()
		}
		switch {
		case par.code != 0:
			if _, twice := given[par.code]; twice {
				return nil, fmt.Errorf("WKT: the parameter %q is given twice", p.name())
			}
			given[par.code] = par
		case mean != 0:
			if _, twice := meant[mean]; twice {
				return nil, fmt.Errorf("WKT: the parameter %q is given twice", p.name())
			}
			meant[mean], meantAs[mean] = par, p.name()
		default:
			extra[key], spelt[key] = v, p.name()
		}
	}
	if err := adjustMethod(&m, squeeze(name), given, meant, extra); err != nil {
		return nil, err
	}
	c.method = m.code
	for _, mean := range slices.Sorted(maps.Keys(meant)) {
		p, code := meant[mean], m.codes[mean]
		if code == 0 {
			return nil, fmt.Errorf("WKT: the parameter %q does not belong to the method %q", meantAs[mean], name)
		}
		if _, twice := given[code]; twice {
			return nil, fmt.Errorf("WKT: %s is given twice", parameterName(code))
		}
		p.code = code
		given[code] = p
	}
	for _, key := range slices.Sorted(maps.Keys(extra)) {
		return nil, fmt.Errorf("WKT: the parameter %q is not known", spelt[key])
	}
	for _, mean := range slices.Sorted(maps.Keys(m.codes)) {
		code := m.codes[mean]
		p, ok := given[code]
		if !ok {
			p = parameter{code: code}
			switch mean {
			case scaleFactor:
				p.value, p.given, p.unit = 1, 1, unit{kind: "scale", factor: 1, name: "unity"}
			case falseEasting, falseNorthing:
				p.unit = unit{kind: "length", factor: lengthUnit}
			case latOrigin:
				if m.code != 9804 && m.code != 9805 && m.code != 1024 && m.code != 1028 && m.code != 1029 && m.code != 9829 {
					return nil, fmt.Errorf("WKT: the method %q wants the parameter %s", name, wanted(mean, code))
				}
				continue
			default:
				return nil, fmt.Errorf("WKT: the method %q wants the parameter %s", name, wanted(mean, code))
			}
			given[code] = p
		}
		if math.Abs(p.value) > 1e9 || p.value-p.value != 0 {
			return nil, fmt.Errorf("WKT: %s = %v makes no sense", parameterName(code), p.value)
		}
	}
	for _, code := range slices.Sorted(maps.Keys(given)) {
		p := given[code]
		known := code == 8801 // Mercator may carry a latitude of origin of 0
		for _, k := range m.codes {
			known = known || k == code
		}
		if !known {
			return nil, fmt.Errorf("WKT: the parameter %s does not belong to the method %q", parameterName(code), name)
		}
		c.params = append(c.params, p)
	}
	sortParameters(c.params)
	return c, nil
}

// wanted names a parameter that is missing as WKT 1 and as the registry do.
func wanted(m meaning, code int) string {
	names := map[meaning]string{latOrigin: "latitude_of_origin", lonOrigin: "central_meridian", parallel1: "standard_parallel_1", parallel2: "standard_parallel_2",
		azimuth: "azimuth", gridAngle: "rectified_grid_angle", pseudoParallel: "pseudo_standard_parallel_1"}
	if name := names[m]; name != "" {
		return fmt.Sprintf("%q (%s)", name, parameterName(code))
	}
	return parameterName(code)
}

func sortParameters(p []parameter) {
	for i := 1; i < len(p); i++ {
		for j := i; j > 0 && p[j].code < p[j-1].code; j-- {
			p[j], p[j-1] = p[j-1], p[j]
		}
	}
}

// adjustMethod picks among the methods that one WKT 1 name stands for, by the
// parameters that are there.
func adjustMethod(m **wktMethod, name string, given map[int]parameter, meant map[meaning]parameter, extra map[string]float64) error {
	use := func(code int) { *m = findWKTMethod(code, "") }
	value := func(k meaning) float64 { return meant[k].value }
	has := func(k meaning) bool { _, ok := meant[k]; return ok }
	switch name {
	case "lambertconformalconic":
		one := !has(parallel2)
		switch {
		case one && math.Abs(value(parallel1)-value(latOrigin)) < 1e-10:
			delete(meant, parallel1)
			use(9801)
		case one:
			meant[parallel2] = meant[parallel1]
			use(1051)
		case has(scaleFactor) && value(scaleFactor) != 1:
			use(1051)
		default:
			delete(meant, scaleFactor)
		}
	case "lambertconformalconic2sp", "lambertconformalconic2spbelgium", "albers", "albersconicequalarea":
		if value(scaleFactor) == 1 {
			delete(meant, scaleFactor)
		}
	case "lambertconformalconic1sp":
		if has(parallel1) && math.Abs(value(parallel1)-value(latOrigin)) < 1e-10 {
			delete(meant, parallel1)
		}
	case "polarstereographic":
		if has(latOrigin) && math.Abs(math.Abs(value(latOrigin))-90) > 1e-9 {
			if has(scaleFactor) && value(scaleFactor) != 1 {
				return fmt.Errorf("WKT: polar stereographic with a standard parallel and a scale factor")
			}
			delete(meant, scaleFactor)
			use(9829)
		}
	case "stereographicnorthpole", "stereographicsouthpole":
		if value(scaleFactor) == 1 {
			delete(meant, scaleFactor)
		}
		if has(parallel1) && has(latOrigin) {
			delete(meant, latOrigin)
		}
		if p := value(parallel1) + value(latOrigin); (name == "stereographicnorthpole") != (p > 0) {
			return fmt.Errorf("WKT: the standard parallel %g is on the other side of the earth than the pole of the method", p)
		}
	case "mercator", "mercator2sp":
		if has(latOrigin) && value(latOrigin) == 0 {
			delete(meant, latOrigin)
		}
		if !has(parallel1) || value(parallel1) == 0 && has(scaleFactor) {
			delete(meant, parallel1)
			use(9804)
			if !has(latOrigin) {
				meant[latOrigin] = parameter{unit: unit{kind: "angle", factor: radPerDeg, name: "degree"}}
			}
		} else if value(scaleFactor) == 1 {
			delete(meant, scaleFactor)
		}
	case "mercatorauxiliarysphere":
		if t := extra["auxiliaryspheretype"]; t != 0 {
			return fmt.Errorf("WKT: Mercator on the auxiliary sphere of type %g is not supported", t)
		}
		if value(parallel1) != 0 {
			return fmt.Errorf("WKT: Mercator on the auxiliary sphere with a standard parallel is not supported")
		}
		delete(meant, parallel1)
		delete(extra, "auxiliaryspheretype")
	case "hotineobliquemercatorazimuthcenter", "hotineobliquemercatorazimuthnaturalorigin", "hotineobliquemercator":
		if !has(gridAngle) && given[8814].code == 0 && has(azimuth) {
			meant[gridAngle] = meant[azimuth]
		}
	case "swissobliquecylindrical", "swissobliquemercator":
		right := parameter{value: 90, given: 90, unit: unit{kind: "angle", factor: radPerDeg, name: "degree"}}
		meant[azimuth], meant[gridAngle] = right, right
	case "krovak":
		// The scales and the rotation of .prj files say how the axes run, which
		// ours do not follow.
		if sx, sy := extra["xscale"], extra["yscale"]; sx == -1 && sy == 1 && value(gridAngle) == 90 {
			use(1041)
		} else if math.Abs(sx) > 1 || math.Abs(sy) > 1 {
			return fmt.Errorf("WKT: Krovak with the scales %g and %g is not supported", sx, sy)
		}
		delete(extra, "xscale")
		delete(extra, "yscale")
		delete(meant, gridAngle)
	case "polyconic", "lambertazimuthalequalarea", "cassini", "cassinisoldner", "bonne":
		if value(scaleFactor) == 1 {
			delete(meant, scaleFactor)
		}
	case "behrmann":
		if !has(parallel1) {
			meant[parallel1] = parameter{value: 30, given: 30, unit: unit{kind: "angle", factor: radPerDeg, name: "degree"}}
		}
	case "cylindricalequalarea", "equidistantcylindrical", "equirectangular":
		if value(latOrigin) == 0 {
			delete(meant, latOrigin)
		}
	}
	return nil
}

// isAngle tells angles by parameter code or meaning.
func isAngle(code int, m meaning) bool {
	switch code {
	case 8801, 8802, 8811, 8812, 8813, 8814, 8818, 8821, 8822, 8823, 8824, 8830, 8831, 8832, 8833, 1036:
		return true
	}
	switch m {
	case latOrigin, lonOrigin, parallel1, parallel2, azimuth, gridAngle, pseudoParallel:
		return code == 0
	}
	return false
}

// parameterByName finds a registry parameter by its squeezed name; names that
// WKT 1 uses too are left to their meaning.
func parameterByName(key string) int {
	if meaningNames[key] != 0 {
		return 0
	}
	t := parameterTable()
	for i := range t.codes {
		if f := t.at(i); squeeze(f[1]) == key {
			return int(t.codes[i])
		}
	}
	return 0
}
