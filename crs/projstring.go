// PROJ strings: "+proj=utm +zone=32 +ellps=GRS80 +units=m", read by way of the
// WKT that says the same, so that recognition and checks are one.

package crs

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// projText holds the parameters of a PROJ string and which of them were used.
type projText struct {
	values map[string]string
	used   map[string]bool
}

// take returns a parameter's text and marks it as used.
func (p *projText) take(keys ...string) (string, bool) {
	for _, k := range keys {
		if v, ok := p.values[k]; ok {
			p.used[k] = true
			return v, true
		}
	}
	return "", false
}

// number returns a parameter as a number or an angle in degrees, with a value
// for when it is not there.
func (p *projText) number(otherwise float64, keys ...string) (float64, error) {
	v, ok := p.take(keys...)
	if !ok {
		return otherwise, nil
	}
	x, err := projAngle(v)
	if err != nil {
		return 0, fmt.Errorf("PROJ string: +%s=%s is no number", keys[0], clip(v))
	}
	return x, nil
}

// projAngle reads a decimal number, or degrees, minutes and seconds: 9d30'15"E.
func projAngle(s string) (float64, error) {
	if d, rest, ok := strings.Cut(s, "d"); ok {
		sign := 1.0
		switch last := s[len(s)-1]; last {
		case 'W', 'w', 'S', 's':
			sign, rest = -1, strings.TrimRight(rest, "WwSs")
		case 'E', 'e', 'N', 'n':
			rest = strings.TrimRight(rest, "EeNn")
		}
		if strings.HasPrefix(d, "-") {
			sign, d = -sign, d[1:]
		}
		minutes, seconds, _ := strings.Cut(rest, "'")
		sum, scale := 0.0, 1.0
		for _, part := range []string{d, minutes, strings.TrimSuffix(seconds, `"`)} {
			if part != "" {
				v, err := plainNumber(part)
				if err != nil {
					return 0, err
				}
				sum += v / scale
			}
			scale *= 60
		}
		return sign * sum, nil
	}
	return plainNumber(s)
}

// projEllipsoids are the figures by PROJ's names: registry name, semi-major
// axis and inverse flattening, from memory and the registry.
var projEllipsoids = sync.OnceValue(func() map[string]struct {
	name    string
	a, invF float64
} {
	return map[string]struct {
		name    string
		a, invF float64
	}{
		"GRS80": {"GRS 1980", 6378137, 298.257222101}, "WGS84": {"WGS 84", 6378137, 298.257223563}, "WGS72": {"WGS 72", 6378135, 298.26},
		"bessel": {"Bessel 1841", 6377397.155, 299.1528128}, "intl": {"International 1924", 6378388, 297}, "krass": {"Krassowsky 1940", 6378245, 298.3},
		"clrk66": {"Clarke 1866", 6378206.4, 294.978698213898}, "clrk80ign": {"Clarke 1880 (IGN)", 6378249.2, 293.466021293627},
		"airy": {"Airy 1830", 6377563.396, 299.3249646}, "mod_airy": {"Airy Modified 1849", 6377340.189, 299.3249646},
		"aust_SA": {"Australian National Spheroid", 6378160, 298.25}, "GRS67": {"GRS 1967", 6378160, 298.247167427}, "helmert": {"Helmert 1906", 6378200, 298.3},
		"evrst30": {"Everest 1830", 6377276.345, 300.8017}, "PZ90": {"PZ-90", 6378136, 298.257839303},
	}
})

// projDatums are PROJ's datums: the registry's name and PROJ's ellipsoid, from
// memory.
var projDatums = sync.OnceValue(func() map[string][2]string {
	return map[string][2]string{
		"WGS84": {"World Geodetic System 1984", "WGS84"}, "NAD83": {"North American Datum 1983", "GRS80"}, "NAD27": {"North American Datum 1927", "clrk66"},
		"potsdam": {"Deutsches Hauptdreiecksnetz", "bessel"}, "OSGB36": {"Ordnance Survey of Great Britain 1936", "airy"},
		"GGRS87": {"Greek Geodetic Reference System 1987", "GRS80"}, "nzgd49": {"New Zealand Geodetic Datum 1949", "intl"},
		"ire65": {"TM65", "mod_airy"}, "hermannskogel": {"Militar-Geographische Institut", "bessel"}, "carthage": {"Carthage", "clrk80ign"},
	}
})

var projMeridians = sync.OnceValue(func() map[string]float64 {
	return map[string]float64{"greenwich": 0, "lisbon": -9.131906111111, "paris": 2 + 20./60 + 14.025/3600, "bogota": -74.080916666667, "madrid": -3.687938888889, "rome": 12.452333333333,
		"bern": 7.439583333333, "jakarta": 106.807719444444, "ferro": -17.666666666667, "brussels": 4.367975, "stockholm": 18.058277777778, "athens": 23.7163375, "oslo": 10.722916666667}
})

var projUnits = sync.OnceValue(func() map[string]float64 {
	return map[string]float64{"m": 1, "km": 1000, "ft": 0.3048, "us-ft": 1200. / 3937, "yd": 0.9144, "link": 0.201168, "ch": 20.1168, "cm": 0.01, "mm": 0.001, "dm": 0.1}
})

// fromPROJString reads a PROJ string that names a CRS.
func fromPROJString(text string) (*CRS, []string, error) {
	if len(text) > 4096 {
		return nil, nil, fmt.Errorf("PROJ string: %d bytes, more than a CRS can need", len(text))
	}
	if strings.Contains(text, "proj=pipeline") {
		return nil, nil, fmt.Errorf("PROJ string: a pipeline is an operation, not a system")
	}
	p := &projText{values: map[string]string{}, used: map[string]bool{}}
	for word := range strings.FieldsSeq(text) {
		key, value, _ := strings.Cut(strings.TrimPrefix(word, "+"), "=")
		if _, twice := p.values[key]; twice {
			return nil, nil, fmt.Errorf("PROJ string: +%s stands twice", clip(key))
		}
		p.values[key] = value
	}
	if id, ok := p.take("init"); ok {
		if len(p.values) > 1 {
			delete(p.values, "no_defs")
			delete(p.values, "type")
		}
		if len(p.values) > 1 {
			return nil, nil, fmt.Errorf("PROJ string: +init with parameters beside it; give the one or the other")
		}
		authority, code, _ := strings.Cut(id, ":")
		c, err := fromAuthority(authority, code, text)
		return c, nil, err
	}
	for _, silent := range []string{"no_defs", "type", "wktext", "over", "title", "vunits"} {
		p.take(silent)
	}
	var notes []string
	datum, sphere, err := p.datum(&notes)
	if err != nil {
		return nil, nil, err
	}
	wkt, err := p.system(datum, sphere)
	if err != nil {
		return nil, nil, err
	}
	var left []string
	for k := range p.values {
		if !p.used[k] {
			left = append(left, "+"+k)
		}
	}
	if slices.Sort(left); len(left) > 0 {
		return nil, nil, fmt.Errorf("PROJ string: %s is not known here; nothing of it is left aside in silence", clip(strings.Join(left, " ")))
	}
	c, more, err := fromWKT(wkt)
	if err != nil {
		return nil, nil, fmt.Errorf("PROJ string: %w", err)
	}
	return c, append(notes, more...), nil
}

// datum makes the GEOGCS of the string. sphere says that it is the sphere web
// Mercator is reckoned on.
func (p *projText) datum(notes *[]string) (wkt string, sphere bool, err error) {
	name, figure, a, invF := "", "", 0.0, 0.0
	if d, ok := p.take("datum"); ok {
		known, ok := projDatums()[d]
		if !ok {
			return "", false, fmt.Errorf("PROJ string: the datum %q is not known here", clip(d))
		}
		name = known[0]
		e := projEllipsoids()[known[1]]
		figure, a, invF = e.name, e.a, e.invF
	}
	if e, ok := p.take("ellps"); ok {
		known, ok := projEllipsoids()[e]
		if !ok {
			return "", false, fmt.Errorf("PROJ string: the ellipsoid %q is not known here; give +a and +rf", clip(e))
		}
		if name == "" {
			figure, a, invF = known.name, known.a, known.invF
		}
	}
	if err := p.axes(&figure, &a, &invF); err != nil {
		return "", false, err
	}
	if a == 0 {
		return "", false, fmt.Errorf("PROJ string: neither a datum nor an ellipsoid is named")
	}
	grids, hasGrids := p.take("nadgrids")
	sphere = grids == "@null" && a == 6378137 && invF == 0
	if hasGrids && !sphere {
		*notes = append(*notes, fmt.Sprintf("the grid-shift file %s that the PROJ string names is not used; give it with --grid-shift", clip(grids)))
	}
	if g, ok := p.take("geoidgrids"); ok {
		*notes = append(*notes, fmt.Sprintf("the geoid file %s that the PROJ string names is not used; heights pass through unchanged", clip(g)))
	}
	if sphere {
		name, figure, invF = "World Geodetic System 1984", "WGS 84", 298.257223563
	}
	if name == "" {
		name = "Unknown based on " + figure + " ellipsoid"
	}
	shift := ""
	if v, ok := p.take("towgs84"); ok {
		n := strings.Split(v, ",")
		if len(n) != 3 && len(n) != 7 {
			return "", false, fmt.Errorf("PROJ string: +towgs84 has %d numbers, not 3 or 7", len(n))
		}
		for _, x := range n {
			if _, err := plainNumber(x); err != nil {
				return "", false, fmt.Errorf("PROJ string: +towgs84: %w", err)
			}
		}
		if name == "Unknown based on "+figure+" ellipsoid" || strings.Trim(v, "0,.-") != "" {
			shift = ",TOWGS84[" + strings.Join(n, ",") + strings.Repeat(",0", 7-len(n)) + "]"
		}
	}
	meridian, at := "Greenwich", 0.0
	if v, ok := p.take("pm"); ok {
		meridian = v
		if at, ok = projMeridians()[strings.ToLower(v)]; !ok {
			if at, err = projAngle(v); err != nil {
				return "", false, fmt.Errorf("PROJ string: the prime meridian %q is not known here", clip(v))
			}
		}
	}
	return fmt.Sprintf(`["unknown",DATUM[%s,SPHEROID[%s,%s,%s]%s],PRIMEM[%s,%s],UNIT["degree",0.0174532925199433]]`, wktQuote(name), wktQuote(figure), wktNumber(a), wktNumber(invF), shift, wktQuote(meridian), wktNumber(at)), sphere, nil
}

// axes reads +a, +b, +rf, +f and +R, which go before a named figure.
func (p *projText) axes(figure *string, a, invF *float64) error {
	for _, k := range []string{"a", "R", "b", "rf", "f"} {
		if _, ok := p.values[k]; !ok {
			continue
		}
		v, err := p.number(0, k)
		if err != nil {
			return err
		}
		switch k {
		case "a":
			*a = v
		case "R":
			*a, *invF = v, 0
		case "b":
			*invF = 0
			if v != *a {
				*invF = *a / (*a - v)
			}
		case "rf":
			*invF = v
		case "f":
			*invF = 0
			if v != 0 {
				*invF = 1 / v
			}
		}
		*figure = "unnamed"
	}
	return nil
}

// projMethod is one of PROJ's projections as a method of the registry: for each
// parameter its code, PROJ's keys and the value when it is not given.
type projMethod struct {
	code   int
	params []projParam
}

type projParam struct {
	code      int
	otherwise float64
	keys      []string
}

var (
	projLat0 = []string{"lat_0"}
	projLon0 = []string{"lon_0"}
	projK    = []string{"k_0", "k"}
	projX    = []string{"x_0"}
	projY    = []string{"y_0"}
)

func projNatural(scale bool) []projParam {
	out := []projParam{{8801, 0, projLat0}, {8802, 0, projLon0}, {8806, 0, projX}, {8807, 0, projY}}
	if scale {
		out = append(out, projParam{8805, 1, projK})
	}
	return out
}

// method picks the registry's method of a projection of PROJ's.
func (p *projText) method(name string, sphere bool) (*projMethod, error) {
	has := func(k string) bool { _, ok := p.values[k]; return ok }
	same := func(a, b string) bool { return p.values[a] == p.values[b] }
	twoParallels := []projParam{{8821, 0, projLat0}, {8822, 0, projLon0}, {8823, 0, []string{"lat_1"}}, {8824, 0, []string{"lat_2"}}, {8826, 0, projX}, {8827, 0, projY}}
	switch name {
	case "tmerc", "etmerc":
		p.take("approx")
		return &projMethod{9807, projNatural(true)}, nil
	case "lcc":
		switch {
		case has("lat_2") && !same("lat_1", "lat_2") && (has("k_0") || has("k")):
			return &projMethod{1051, append(twoParallels, projParam{1038, 1, projK})}, nil
		case has("lat_2") && !same("lat_1", "lat_2"):
			return &projMethod{9802, twoParallels}, nil
		}
		p.take("lat_2")
		return &projMethod{1102, []projParam{{8801, 0, []string{"lat_1"}}, {8805, 1, projK}, {8821, 0, projLat0}, {8822, 0, projLon0}, {8826, 0, projX}, {8827, 0, projY}}}, nil
	case "aea":
		return &projMethod{9822, twoParallels}, nil
	case "webmerc":
		return &projMethod{1024, projNatural(false)}, nil
	case "merc":
		if sphere {
			p.take("lat_ts")
			p.take(projK...)
			return &projMethod{1024, projNatural(false)}, nil
		}
		if has("lat_ts") {
			return &projMethod{9805, []projParam{{8823, 0, []string{"lat_ts"}}, {8802, 0, projLon0}, {8806, 0, projX}, {8807, 0, projY}}}, nil
		}
		return &projMethod{9804, projNatural(true)}, nil
	case "laea":
		return &projMethod{9820, projNatural(false)}, nil
	case "sterea":
		return &projMethod{9809, projNatural(true)}, nil
	case "stere":
		if v, err := projAngle(p.values["lat_0"]); err != nil || math.Abs(v) != 90 {
			return nil, fmt.Errorf("PROJ string: +proj=stere is read at a pole only; +proj=sterea is the oblique one of national grids")
		}
		if has("lat_ts") {
			p.take("lat_0")
			return &projMethod{9829, []projParam{{8832, 0, []string{"lat_ts"}}, {8833, 0, projLon0}, {8806, 0, projX}, {8807, 0, projY}}}, nil
		}
		return &projMethod{9810, projNatural(true)}, nil
	case "somerc":
		return &projMethod{9815, []projParam{{8811, 0, projLat0}, {8812, 0, projLon0}, {8813, 90, nil}, {8814, 90, nil}, {8815, 1, projK}, {8816, 0, projX}, {8817, 0, projY}}}, nil
	case "krovak":
		return &projMethod{1041, []projParam{{8811, 49.5, projLat0}, {8833, 24.8333333333333, projLon0}, {1036, 30.2881397527778, []string{"alpha"}}, {8818, 78.5, nil}, {8819, 0.9999, projK}, {8806, 0, projX}, {8807, 0, projY}}}, nil
	case "cass":
		return &projMethod{9806, projNatural(false)}, nil
	case "nzmg":
		return &projMethod{9811, projNatural(false)}, nil
	case "poly":
		return &projMethod{9818, projNatural(false)}, nil
	case "aeqd":
		return &projMethod{1125, projNatural(false)}, nil
	case "ortho":
		return &projMethod{9840, projNatural(false)}, nil
	case "cea":
		return &projMethod{9835, []projParam{{8823, 0, []string{"lat_ts"}}, {8802, 0, projLon0}, {8806, 0, projX}, {8807, 0, projY}}}, nil
	case "omerc":
		gamma := projParam{8814, 0, []string{"gamma"}}
		if !has("gamma") {
			gamma.otherwise, _ = projAngle(p.values["alpha"])
		}
		m := &projMethod{9815, []projParam{{8811, 0, projLat0}, {8812, 0, []string{"lonc"}}, {8813, 0, []string{"alpha"}}, gamma, {8815, 1, projK}, {8816, 0, projX}, {8817, 0, projY}}}
		if _, ok := p.take("no_uoff", "no_off"); ok {
			m.code, m.params[5].code, m.params[6].code = 9812, 8806, 8807
		}
		if !has("alpha") || !has("lonc") {
			return nil, fmt.Errorf("PROJ string: +proj=omerc wants +lonc and +alpha")
		}
		return m, nil
	}
	return nil, fmt.Errorf("PROJ string: the projection %q is not known here; give the system as EPSG:n or WKT", clip(name))
}

// system makes the WKT of the whole string.
func (p *projText) system(datum string, sphere bool) (string, error) {
	name, ok := p.take("proj")
	if !ok {
		return "", fmt.Errorf("PROJ string: +proj is missing")
	}
	switch name {
	case "longlat", "latlong", "lonlat", "latlon":
		p.take("units")
		return "GEOGCS" + datum, nil
	case "geocent", "cart":
		p.take("units")
		return "GEOCCS" + strings.Replace(datum, `UNIT["degree",0.0174532925199433]`, `UNIT["metre",1]`, 1), nil
	case "utm":
		return p.utm(datum)
	}
	m, err := p.method(name, sphere)
	if err != nil {
		return "", err
	}
	values := make([]float64, len(m.params))
	for i, q := range m.params {
		if values[i], err = p.number(q.otherwise, q.keys...); err != nil {
			return "", err
		}
	}
	if m.code == 1102 && values[0] == values[2] { // the false origin is on the parallel
		m = &projMethod{9801, []projParam{{code: 8801}, {code: 8805}, {code: 8802}, {code: 8806}, {code: 8807}}}
		values = []float64{values[0], values[1], values[3], values[4], values[5]}
	}
	return p.projected(datum, m, values)
}

func (p *projText) utm(datum string) (string, error) {
	v, _ := p.take("zone")
	zone, err := strconv.Atoi(v)
	if err != nil || zone < 1 || zone > 60 {
		return "", fmt.Errorf("PROJ string: +zone=%s is no UTM zone (1 to 60)", clip(v))
	}
	p.take("approx")
	north := 0.0
	if _, ok := p.take("south"); ok {
		north = 1e7
	}
	m := &projMethod{9807, projNatural(true)}
	return p.projected(datum, m, []float64{0, float64(6*zone - 183), 500000, north, 0.9996})
}

// projected writes the PROJCS of a method with its values.
func (p *projText) projected(datum string, m *projMethod, values []float64) (string, error) {
	unit := 1.0
	if v, ok := p.take("to_meter"); ok {
		over, under, ratio := strings.Cut(v, "/")
		x, err := plainNumber(over)
		if err == nil && ratio {
			var y float64
			if y, err = plainNumber(under); err == nil {
				x /= y
			}
		}
		if err != nil || !(x > 0) {
			return "", fmt.Errorf("PROJ string: +to_meter=%s is no length", clip(v))
		}
		p.take("units")
		unit = x
	} else if v, ok := p.take("units"); ok {
		if unit, ok = projUnits()[v]; !ok {
			return "", fmt.Errorf("PROJ string: the unit %q is not known here; give +to_meter", clip(v))
		}
	}
	var b strings.Builder
	fmt.Fprintf(&b, `PROJCS["unknown",GEOGCS%s,PROJECTION[%s,AUTHORITY["EPSG","%d"]]`, datum, wktQuote(projectionName(m.code)), m.code)
	for i, q := range m.params {
		u := `LENGTHUNIT["metre",1]`
		if isAngle(q.code, 0) {
			u = wktDegree
		} else if q.code == 8805 || q.code == 8815 || q.code == 8819 || q.code == 1038 {
			u = `SCALEUNIT["unity",1]`
		}
		fmt.Fprintf(&b, `,PARAMETER[%s,%s,%s,ID["EPSG",%d]]`, wktQuote(parameterName(q.code)), wktNumber(values[i]), u, q.code)
	}
	name := map[float64]string{1: "metre", 0.3048: "foot", 1200. / 3937: "US survey foot"}[unit]
	if name == "" {
		name = "unit"
	}
	fmt.Fprintf(&b, `,UNIT[%s,%s]`, wktQuote(name), wktNumber(unit))
	if v, ok := p.take("axis"); ok {
		names := map[byte]string{'e': "EAST", 'w': "WEST", 'n': "NORTH", 's': "SOUTH"}
		if len(v) < 2 || names[v[0]] == "" || names[v[1]] == "" || len(v) > 3 || len(v) == 3 && v[2] != 'u' {
			return "", fmt.Errorf("PROJ string: +axis=%s is not known here", clip(v))
		}
		fmt.Fprintf(&b, `,AXIS["first",%s],AXIS["second",%s]`, names[v[0]], names[v[1]])
	}
	return b.String() + "]", nil
}
