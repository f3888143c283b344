// WKT methods: the names that WKT gives projections and their parameters, and
// the registry's codes for them.

package crs

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"sync"
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
var meaningNames = sync.OnceValue(func() map[string]meaning {
	return map[string]meaning{
		"latitudeoforigin": latOrigin, "latitudeofcenter": latOrigin, "latitudeofcentre": latOrigin,
		"longitudeoforigin": lonOrigin, "centralmeridian": lonOrigin, "longitudeofcenter": lonOrigin, "longitudeofcentre": lonOrigin,
		"straightverticallongitudefrompole": lonOrigin,
		"scalefactor":                       scaleFactor,
		"falseeasting":                      falseEasting, "falsenorthing": falseNorthing,
		"standardparallel1": parallel1, "standardparallel2": parallel2,
		"azimuth": azimuth, "rectifiedgridangle": gridAngle, "xyplanerotation": gridAngle,
		"pseudostandardparallel1": pseudoParallel, "height": planeHeight,
	}
})

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

// wktParameters are the parameters of a WKT text: those with a code of the
// registry or its name, those with a name of WKT 1 by what they stand for, and
// the rest.
type wktParameters struct {
	given map[int]parameter
	meant map[meaning]parameter
	extra map[string]float64

	meantAs map[meaning]string // as the text has them
	spelt   map[string]string
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
	p, err := readParameters(n, angleUnit, lengthUnit, angleName)
	if err != nil {
		return nil, err
	}
	if m, err = adjustMethod(m, squeeze(name), p); err != nil {
		return nil, err
	}
	if err := p.takeMeant(m, name); err != nil {
		return nil, err
	}
	if err := p.complete(m, name, lengthUnit); err != nil {
		return nil, err
	}
	c := &conversion{name: n.name(), method: m.code}
	for _, code := range slices.Sorted(maps.Keys(p.given)) {
		known := code == 8801 // Mercator may carry a latitude of origin of 0
		for _, k := range m.codes {
			known = known || k == code
		}
		if !known {
			return nil, fmt.Errorf("WKT: the parameter %s does not belong to the method %q", parameterName(code), name)
		}
		c.params = append(c.params, p.given[code])
	}
	return c, nil
}

// readParameters reads the parameters that are children of n.
func readParameters(n *wktNode, angleUnit, lengthUnit float64, angleName string) (*wktParameters, error) {
	all := &wktParameters{
		given: map[int]parameter{}, meant: map[meaning]parameter{}, extra: map[string]float64{},
		meantAs: map[meaning]string{}, spelt: map[string]string{},
	}
	for _, p := range n.children("PARAMETER") {
		v, err := p.number(1)
		if err != nil {
			return nil, err
		}
		key := squeeze(p.name())
		par := parameter{code: p.epsg(), given: v}
		mean := meaningNames()[key]
		if par.code == 0 {
			par.code = parameterByName(key)
		}
		switch {
		case isAngle(par.code, mean):
			par.unit = unit{kind: "angle", factor: angleUnit * radPerDeg, name: angleName}
			par.value = v * angleUnit
		case isScale(par.code, mean):
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
			if _, twice := all.given[par.code]; twice {
				return nil, fmt.Errorf("WKT: the parameter %q is given twice", p.name())
			}
			all.given[par.code] = par
		case mean != 0:
			if _, twice := all.meant[mean]; twice {
				return nil, fmt.Errorf("WKT: the parameter %q is given twice", p.name())
			}
			all.meant[mean], all.meantAs[mean] = par, p.name()
		default:
			all.extra[key], all.spelt[key] = v, p.name()
		}
	}
	return all, nil
}

// takeMeant gives the parameters named as in WKT 1 the codes they have in the
// method; one that has none there, or no meaning, is an error.
func (all *wktParameters) takeMeant(m *wktMethod, name string) error {
	for _, mean := range slices.Sorted(maps.Keys(all.meant)) {
		p, code := all.meant[mean], m.codes[mean]
		if code == 0 {
			return fmt.Errorf("WKT: the parameter %q does not belong to the method %q", all.meantAs[mean], name)
		}
		if _, twice := all.given[code]; twice {
			return fmt.Errorf("WKT: %s is given twice", parameterName(code))
		}
		p.code = code
		all.given[code] = p
	}
	for _, key := range slices.Sorted(maps.Keys(all.extra)) {
		return fmt.Errorf("WKT: the parameter %q is not known", all.spelt[key])
	}
	return nil
}

// complete adds the parameters that have a usual value and were left out.
func (all *wktParameters) complete(m *wktMethod, name string, lengthUnit float64) error {
	for _, mean := range slices.Sorted(maps.Keys(m.codes)) {
		code := m.codes[mean]
		p, ok := all.given[code]
		if !ok {
			p = parameter{code: code}
			switch mean {
			case scaleFactor:
				p.value, p.given, p.unit = 1, 1, unit{kind: "scale", factor: 1, name: "unity"}
			case falseEasting, falseNorthing:
				p.unit = unit{kind: "length", factor: lengthUnit}
			case latOrigin:
				if m.code != 9804 && m.code != 9805 && m.code != 1024 && m.code != 1028 && m.code != 1029 && m.code != 9829 {
					return fmt.Errorf("WKT: the method %q wants the parameter %s", name, wanted(mean, code))
				}
				continue
			default:
				return fmt.Errorf("WKT: the method %q wants the parameter %s", name, wanted(mean, code))
			}
			all.given[code] = p
		}
		if math.Abs(p.value) > 1e9 || p.value-p.value != 0 {
			return fmt.Errorf("WKT: %s = %v makes no sense", parameterName(code), p.value)
		}
	}
	return nil
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

func (all *wktParameters) has(m meaning) bool { _, ok := all.meant[m]; return ok }

// value is 0 for a parameter that is not given.
func (all *wktParameters) value(m meaning) float64 { return all.meant[m].value }

// dropUsual drops a parameter that says what holds without it.
func (all *wktParameters) dropUsual(m meaning, usual float64) {
	if all.value(m) == usual {
		delete(all.meant, m)
	}
}

func degrees(v float64) parameter {
	return parameter{value: v, given: v, unit: unit{kind: "angle", factor: radPerDeg, name: "degree"}}
}

// adjustMethod picks among the methods that one squeezed name of WKT 1 stands
// for, by the parameters that are there, and drops those that say nothing.
func adjustMethod(m *wktMethod, name string, all *wktParameters) (*wktMethod, error) {
	code, err := all.adjust(name)
	if code != 0 {
		m = findWKTMethod(code, "")
	}
	return m, err
}

// adjust returns the code of the method meant, 0 for the one that was found.
func (all *wktParameters) adjust(name string) (int, error) {
	switch name {
	case "lambertconformalconic":
		return all.lambert(), nil
	case "lambertconformalconic2sp", "lambertconformalconic2spbelgium", "albers", "albersconicequalarea",
		"polyconic", "lambertazimuthalequalarea", "cassini", "cassinisoldner", "bonne":
		all.dropUsual(scaleFactor, 1)
	case "lambertconformalconic1sp":
		if all.has(parallel1) && math.Abs(all.value(parallel1)-all.value(latOrigin)) < 1e-10 {
			delete(all.meant, parallel1)
		}
	case "polarstereographic":
		if all.has(latOrigin) && math.Abs(math.Abs(all.value(latOrigin))-90) > 1e-9 {
			if all.has(scaleFactor) && all.value(scaleFactor) != 1 {
				return 0, fmt.Errorf("WKT: polar stereographic with a standard parallel and a scale factor")
			}
			delete(all.meant, scaleFactor)
			return 9829, nil
		}
	case "stereographicnorthpole", "stereographicsouthpole":
		all.dropUsual(scaleFactor, 1)
		if all.has(parallel1) && all.has(latOrigin) {
			delete(all.meant, latOrigin)
		}
		if p := all.value(parallel1) + all.value(latOrigin); (name == "stereographicnorthpole") != (p > 0) {
			return 0, fmt.Errorf("WKT: the standard parallel %g is on the other side of the earth than the pole of the method", p)
		}
	case "mercator", "mercator2sp":
		return all.mercator(), nil
	case "mercatorauxiliarysphere":
		return 0, all.auxiliarySphere()
	case "hotineobliquemercatorazimuthcenter", "hotineobliquemercatorazimuthnaturalorigin", "hotineobliquemercator":
		if !all.has(gridAngle) && all.given[8814].code == 0 && all.has(azimuth) {
			all.meant[gridAngle] = all.meant[azimuth]
		}
	case "swissobliquecylindrical", "swissobliquemercator":
		all.meant[azimuth], all.meant[gridAngle] = degrees(90), degrees(90)
	case "krovak":
		return all.krovak()
	case "behrmann":
		if !all.has(parallel1) {
			all.meant[parallel1] = degrees(30)
		}
	case "cylindricalequalarea", "equidistantcylindrical", "equirectangular":
		all.dropUsual(latOrigin, 0)
	}
	return 0, nil
}

func (all *wktParameters) lambert() int {
	one := !all.has(parallel2)
	switch {
	case one && math.Abs(all.value(parallel1)-all.value(latOrigin)) < 1e-10:
		delete(all.meant, parallel1)
		return 9801
	case one:
		all.meant[parallel2] = all.meant[parallel1]
		return 1051
	case all.has(scaleFactor) && all.value(scaleFactor) != 1:
		return 1051
	}
	delete(all.meant, scaleFactor)
	return 0
}

func (all *wktParameters) mercator() int {
	all.dropUsual(latOrigin, 0)
	if !all.has(parallel1) || all.value(parallel1) == 0 && all.has(scaleFactor) {
		delete(all.meant, parallel1)
		if !all.has(latOrigin) {
			all.meant[latOrigin] = degrees(0)
		}
		return 9804
	}
	all.dropUsual(scaleFactor, 1)
	return 0
}

func (all *wktParameters) auxiliarySphere() error {
	if t := all.extra["auxiliaryspheretype"]; t != 0 {
		return fmt.Errorf("WKT: Mercator on the auxiliary sphere of type %g is not supported", t)
	}
	if all.value(parallel1) != 0 {
		return fmt.Errorf("WKT: Mercator on the auxiliary sphere with a standard parallel is not supported")
	}
	delete(all.meant, parallel1)
	delete(all.extra, "auxiliaryspheretype")
	return nil
}

// krovak: the scales and the rotation of .prj files say how the axes run, which
// ours do not follow.
func (all *wktParameters) krovak() (code int, err error) {
	if sx, sy := all.extra["xscale"], all.extra["yscale"]; sx == -1 && sy == 1 && all.value(gridAngle) == 90 {
		code = 1041
	} else if math.Abs(sx) > 1 || math.Abs(sy) > 1 {
		return 0, fmt.Errorf("WKT: Krovak with the scales %g and %g is not supported", sx, sy)
	}
	delete(all.extra, "xscale")
	delete(all.extra, "yscale")
	delete(all.meant, gridAngle)
	return code, nil
}

// isScale tells factors by parameter code or meaning.
func isScale(code int, m meaning) bool {
	return code == 8805 || code == 8815 || code == 8819 || code == 1038 || m == scaleFactor
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
	if meaningNames()[key] != 0 {
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
