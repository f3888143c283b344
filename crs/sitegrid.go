// Site grid: plane coordinates of one site, topocentric at its origin, with
// rotation, scale and a false origin.

package crs

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// SiteGrid defines the plane coordinates of one site: east and north of the
// topocentric system at Origin, turned so that grid north points RotationDeg
// clockwise of true north, times Scale (grid lengths to lengths on the ground),
// plus the false origin.
//
//	e = FalseE + Scale (E cos r - N sin r)
//	n = FalseN + Scale (E sin r + N cos r)
//
// The height beside e and n is the ellipsoidal height itself, not the distance
// above the tangent plane: heights pass through a site grid unchanged. A point
// without a height is placed at the height of the origin, in both directions,
// and stays without one.
type SiteGrid struct {
	Origin         Geodetic // on the datum of Base; longitude from Greenwich
	RotationDeg    Degrees  // of grid north, clockwise from true north
	Scale          float64  // grid length to ground length, 1 as a rule
	FalseE, FalseN Metres   // coordinates of the origin
	Base           *CRS     // geographic; EPSG:4979 when nil
}

// siteGrid is a SiteGrid ready to use.
type siteGrid struct {
	def  SiteGrid
	topo *Topocentric
	s, c float64 // Scale times sine and cosine of the rotation
	// Half the curvature at the origin, eastward and northward, per metre.
	curveE, curveN float64
}

// maxSiteDistance bounds the distance in metres from the origin of a point of a
// site grid. Beyond it a tangent plane is no map.
const maxSiteDistance = 100_000

// NewSite returns the CRS of a site grid. Its ID is the definition as text.
func NewSite(g SiteGrid) (*CRS, error) {
	if g.Base == nil {
		base, err := epsgCRS(4979)
		if err != nil {
			return nil, err
		}
		g.Base = base
	}
	if g.Base.kind != KindGeographic {
		return nil, fmt.Errorf("site grid: the base %s is not geographic", g.Base.id)
	}
	if err := checkGeodetic(g.Origin); err != nil {
		return nil, fmt.Errorf("site grid: origin: %w", err)
	}
	if !(math.Abs(float64(g.Origin.H)) <= 20_000) {
		return nil, fmt.Errorf("site grid: origin: height %v m is not on the ground", float64(g.Origin.H))
	}
	if !(g.RotationDeg >= -360 && g.RotationDeg <= 360) {
		return nil, fmt.Errorf("site grid: rotation %v is not within -360 and 360 degrees", float64(g.RotationDeg))
	}
	if !(g.Scale >= 0.5 && g.Scale <= 2) {
		return nil, fmt.Errorf("site grid: scale %v is not within 0.5 and 2", g.Scale)
	}
	if !(math.Abs(float64(g.FalseE)) <= 1e8 && math.Abs(float64(g.FalseN)) <= 1e8) {
		return nil, fmt.Errorf("site grid: the false origin %v, %v is not within 100,000 km", float64(g.FalseE), float64(g.FalseN))
	}
	s, c := math.Sincos(g.RotationDeg.Radians())
	site := &siteGrid{def: g, topo: newTopocentric(g.Origin, g.Base.datum.el), s: s * g.Scale, c: c * g.Scale}
	el := g.Base.datum.el
	sinLat := math.Sin(g.Origin.Lat.Radians())
	site.curveE = 0.5 / (el.primeVertical(sinLat) + float64(g.Origin.H))
	site.curveN = 0.5 / (el.meridian(sinLat) + float64(g.Origin.H))
	metre := unit{code: 9001, name: "metre", kind: "length", factor: 1}
	return &CRS{
		id: g.text(), name: fmt.Sprintf("site grid at %s, %s", exact(float64(g.Origin.Lat)), exact(float64(g.Origin.Lon))),
		kind: KindSite, unit: 1, datum: g.Base.datum, base: g.Base, dims: 3, site: site,
		axes: []Axis{{"Easting", "e", "east", "metre", metre}, {"Northing", "n", "north", "metre", metre}, {"Ellipsoidal height", "h", "up", "metre", metre}},
	}, nil
}

// Site returns the definition of a site grid; ok is false for any other CRS.
func (c *CRS) Site() (g SiteGrid, ok bool) {
	if c.site == nil {
		return SiteGrid{}, false
	}
	return c.site.def, true
}

// exact writes a number with the fewest digits that read back the same.
func exact(v float64) string {
	if v == 0 {
		return "0"
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// text is the canonical text of the definition.
func (g *SiteGrid) text() string {
	base := g.Base.id
	if strings.ContainsAny(base, ";") {
		base = strconv.Quote(base)
	}
	return "site:lat=" + exact(float64(g.Origin.Lat)) + ";lon=" + exact(float64(g.Origin.Lon)) + ";h=" + exact(float64(g.Origin.H)) +
		";rotation=" + exact(float64(g.RotationDeg)) + ";scale=" + exact(g.Scale) +
		";fe=" + exact(float64(g.FalseE)) + ";fn=" + exact(float64(g.FalseN)) + ";base=" + base
}

// parseSite reads the text of a site grid after "site:". lat and lon must be
// there; h, rotation, fe and fn are 0, scale is 1 and crs (or base), which
// comes last, is EPSG:4979 when they are not.
func parseSite(text string) (*CRS, error) { return parseSiteOn(text, nil) }

// ParseSite reads the text of a site grid as Parse does; one that names no base
// gets the one given, which must be geographic, or EPSG:4979 when it is nil.
func ParseSite(text string, base *CRS) (*CRS, error) {
	t := strings.TrimSpace(text)
	if len(t) < len("site:") || !strings.EqualFold(t[:len("site:")], "site:") {
		return nil, fmt.Errorf("%q is no site grid (site:lat=..;lon=..)", clip(text))
	}
	return parseSiteOn(t[len("site:"):], base)
}

func parseSiteOn(text string, given *CRS) (*CRS, error) {
	g := SiteGrid{Scale: 1, Base: given}
	seen := map[string]bool{}
	base, hasBase := "", false
	for rest, more := text, true; more && !hasBase; {
		var item string
		sep := "" // what parts this item from the next
		item, rest = rest, ""
		if i := strings.IndexAny(item, ";,"); i >= 0 {
			item, sep, rest = item[:i], item[i:i+1], item[i+1:]
		}
		more = sep != ""
		key, value, ok := strings.Cut(item, "=")
		key, value = strings.ToLower(strings.TrimSpace(key)), strings.TrimSpace(value)
		if !ok {
			return nil, fmt.Errorf("site grid: %q is not name=value", clip(item))
		}
		if key == "base" || key == "crs" {
			// The base comes last and may hold anything.
			base, hasBase = value, true
			base += sep + rest
			break
		}
		if seen[key] {
			return nil, fmt.Errorf("site grid: %s is given twice", key)
		}
		seen[key] = true
		v, err := plainNumber(value)
		if err != nil {
			return nil, fmt.Errorf("site grid: %s: %w", key, err)
		}
		switch key {
		case "lat":
			g.Origin.Lat = Degrees(v)
		case "lon":
			g.Origin.Lon = Degrees(v)
		case "h":
			g.Origin.H = Metres(v)
		case "rotation":
			g.RotationDeg = Degrees(v)
		case "scale":
			g.Scale = v
		case "fe":
			g.FalseE = Metres(v)
		case "fn":
			g.FalseN = Metres(v)
		default:
			return nil, fmt.Errorf("site grid: unknown name %q (lat, lon, h, rotation, scale, fe, fn, and last crs)", key)
		}
	}
	if !seen["lat"] || !seen["lon"] {
		return nil, fmt.Errorf("site grid: lat and lon of the origin are needed")
	}
	if hasBase {
		if strings.HasPrefix(base, `"`) {
			unquoted, err := strconv.Unquote(base)
			if err != nil {
				return nil, fmt.Errorf("site grid: base: %w", err)
			}
			base = unquoted
		}
		if len(base) >= 5 && strings.EqualFold(base[:5], "site:") {
			return nil, fmt.Errorf("site grid: the base is a site grid itself")
		}
		c, err := Parse(base)
		if err != nil {
			return nil, fmt.Errorf("site grid: base: %w", err)
		}
		g.Base = c
	}
	return NewSite(g)
}

// plainNumber reads a decimal number in its usual form; no hexadecimal, no
// underscore, no word.
func plainNumber(s string) (float64, error) {
	if s == "" || strings.Trim(s, "+-.0123456789eE") != "" {
		return 0, fmt.Errorf("%q is no number", s)
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return 0, fmt.Errorf("%q is no number", s)
	}
	return v, nil
}

func (s *siteGrid) fromGeodetic(c *CRS, part []float64, stride, first int) error {
	h0 := float64(s.def.Origin.H)
	fe, fn := float64(s.def.FalseE), float64(s.def.FalseN)
	reach2 := maxSiteDistance * maxSiteDistance * s.def.Scale * s.def.Scale
	for i := 0; i+1 < len(part); i += stride {
		lon, lat := part[i], part[i+1]
		if !(lat >= -90 && lat <= 90 && lon >= -540 && lon <= 540) {
			return c.pointError(first+i/stride, lon, lat, domainProblem(lon, lat))
		}
		h := h0
		if stride > 2 && part[i+2] == part[i+2] {
			h = part[i+2]
		}
		te, tn, tu := s.topo.fromXYZ(s.topo.el.toGeocentric(lon*radPerDeg, lat*radPerDeg, h))
		e, n := s.c*te-s.s*tn, s.s*te+s.c*tn
		// tu tells the far side of the earth from this one.
		if !(e*e+n*n <= reach2 && tu > -maxSiteDistance) {
			return c.pointError(first+i/stride, lon, lat, "more than 100 km from the origin of the site grid")
		}
		part[i], part[i+1] = e+fe, n+fn
	}
	return nil
}

func (s *siteGrid) toGeodetic(c *CRS, part []float64, stride, first int) error {
	h0 := float64(s.def.Origin.H)
	fe, fn := float64(s.def.FalseE), float64(s.def.FalseN)
	k2 := s.def.Scale * s.def.Scale
	reach2 := maxSiteDistance * maxSiteDistance * k2
	for i := 0; i+1 < len(part); i += stride {
		e, n := part[i]-fe, part[i+1]-fn
		d2 := e*e + n*n
		if !(d2 <= reach2) {
			return c.pointError(first+i/stride, part[i], part[i+1], "more than 100 km from the origin of the site grid")
		}
		te, tn := (s.c*e+s.s*n)/k2, (s.c*n-s.s*e)/k2
		h := h0
		if stride > 2 && part[i+2] == part[i+2] {
			h = part[i+2]
		}
		// Find the up coordinate whose height is h: first from the curvature of
		// the ellipsoid at the origin, then by Newton's step, which divides the
		// error by d²/R². A height off by dh moves the point by dh d/R, so the
		// first guess does within 10 km.
		u := h - h0 - te*te*s.curveE - tn*tn*s.curveN
		var lam, phi, got float64
		for range 4 {
			lam, phi, got = s.topo.el.fromGeocentric(s.topo.toXYZ(te, tn, u))
			if d := h - got; d*d*d2 < 0.0025 {
				break
			}
			u += h - got
		}
		if !(math.Abs(h-got) < 0.01) {
			return c.pointError(first+i/stride, part[i], part[i+1], "not on earth at its height")
		}
		part[i], part[i+1] = lam*degPerRad, phi*degPerRad
	}
	return nil
}

// SiteAmong returns a site grid in the middle of positions in c (stride 3,
// heights NaN where absent): true north up, scale 1, on the geographic system
// base, nil for c's own. Its origin is rounded to 1e-6 degree and 1 m, so that
// a record of it stays readable.
func SiteAmong(c, base *CRS, flat []float64) (*CRS, error) {
	middle := middleOf(flat)
	if math.IsNaN(middle[2]) {
		middle[2] = 0
	}
	middle[2] = math.Round(middle[2])
	if err := c.ToGeodetic(middle, 3); err != nil {
		return nil, err
	}
	if base == nil {
		base = c.Base()
	}
	round := func(deg float64) Degrees { return Degrees(math.Round(deg*1e6) / 1e6) }
	return NewSite(SiteGrid{Scale: 1, Base: base, Origin: Geodetic{Lon: round(middle[0]), Lat: round(middle[1]), H: Metres(math.Round(middle[2]))}})
}

// CombinedFactorAmong returns CombinedFactorAt of the middle of positions in c
// (stride 3, heights NaN where absent; without any, that of height 0).
func (c *CRS) CombinedFactorAmong(flat []float64) (float64, error) {
	middle := middleOf(flat)
	h := middle[2]
	if math.IsNaN(h) {
		h = 0
	}
	if err := c.ToGeodetic(middle[:2], 2); err != nil {
		return 0, err
	}
	return c.CombinedFactorAt(Geodetic{Lon: Degrees(middle[0]), Lat: Degrees(middle[1]), H: Metres(h)})
}

// middleOf is the mean of positions, that of the heights over those that there
// are.
func middleOf(flat []float64) []float64 {
	middle, heights := make([]float64, 3), 0.0
	for i := 0; i+2 < len(flat); i += 3 {
		middle[0] += flat[i] / float64(len(flat)/3)
		middle[1] += flat[i+1] / float64(len(flat)/3)
		if h := flat[i+2]; !math.IsNaN(h) {
			middle[2] += h
			heights++
		}
	}
	middle[2] /= heights // NaN for none
	return middle
}
