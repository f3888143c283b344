// The coordinate system of a file: the old member "crs", and OGC JSON-FG
// (OGC 21-045r1): coordRefSys, place, and the axis order that goes with them.

package geojson

import (
	"fmt"
	"math"
	"net/url"
	"strings"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

// statement is a member that names a coordinate system.
type statement struct {
	value   schema.Value
	legacy  bool // "crs", not "coordRefSys"
	at      int
	path    string
	feature string // path of the feature it stands in, "" for the file's own
}

// state takes a statement; all of a file must say the same, because a plan
// stands in one system.
func (p *parser) state(s statement) *fault {
	if p.states == nil {
		p.states = &s
		return nil
	}
	if p.states.legacy != s.legacy || !p.states.value.Equal(s.value) {
		return faultf(s.at, "the file names two coordinate systems: %s and %s", p.states.value.AppendJSON(nil), s.value.AppendJSON(nil)).
			within(s.path).mendBy("a plan stands in one system; split the file")
	}
	return nil
}

// onlyCore reports whether conformsTo names nothing but JSON-FG's core, in any
// of its versions; the writer puts that back by itself.
func onlyCore(v schema.Value) bool {
	for _, item := range v.Items() {
		t := item.Text()
		if !strings.Contains(t, "json-fg-1") || !strings.Contains(t, "core") {
			return false
		}
	}
	return len(v.Items()) > 0
}

// settle finds the plan's CRS and epoch, puts coordinates into the order x, y,
// and refuses what cannot be longitude and latitude but ought to be.
func (p *parser) settle(doc *document, o *wire.ReadOptions) *fault {
	plan := doc.plan
	stated := crs.WGS84()
	named := stated
	official := false // numbers in "place" follow the system's own axis order
	switch {
	case doc.unknown:
		stated = nil
		if p.seen.geometries > 0 {
			return faultf(0, `the file is marked %q, but has coordinates in "geometry"`, memberUnknown).mendBy(`coordinates of an unknown system stand in "place"`)
		}
	case p.states == nil:
	case p.states.legacy:
		var f *fault
		if stated, f = legacySystem(p.states); f != nil {
			return f
		}
		named = stated
		what := "no system"
		if stated != nil {
			what = stated.ID()
		}
		p.t.Add("crs-member", 0, "", `the file has the old member "crs", which RFC 7946 dropped; its coordinates were read as %s`, what)
	default:
		var epoch float64
		var f *fault
		if stated, epoch, f = p.referenceSystem(p.states); f != nil {
			return f
		}
		if epoch != 0 {
			plan.Epoch = epoch
		}
		official, named = true, stated
		if p.seen.places == 0 && p.seen.geometries > 0 && !stated.Equal(crs.WGS84()) && o.CRS == nil {
			p.t.Add("place-missing", 0, "", `the file names %s, but all coordinates stand in "geometry", which is WGS 84; they were read as that`, stated.ID())
			stated, official = crs.WGS84(), false
		}
	}
	if n := p.seen.geometries + p.seen.places; p.states != nil && !p.seen.whole && p.seen.says < n && o.CRS == nil && !named.Equal(crs.WGS84()) {
		p.t.Add("crs-of-part", 0, p.states.feature, "%d of %d features name a system of coordinates (%s), and neither the file nor the others do: whether it holds for all is not known; say it once for the file, or move those features into its system", p.seen.says, n, p.states.value.AppendJSON(nil))
	}
	plan.CRS = stated
	if o.CRS != nil {
		if (p.states != nil || doc.unknown) && !o.CRS.Equal(stated) && stated != nil {
			p.t.Add("crs-overridden", 0, "", "the file says %s; %s was asked for and holds", stated.ID(), o.CRS.ID())
		}
		plan.CRS = o.CRS
	}
	degrees := plan.CRS != nil && plan.CRS.IsDegrees() && plan.CRS.UnitDegrees() == 1
	p.manner = manner{plan.CRS, official, degrees}

	// Coordinates in "geometry" of a file whose others stand in "place".
	if official && p.seen.places > 0 && p.seen.geometries > 0 && !plan.CRS.Equal(crs.WGS84()) {
		if p.seen.outsideGeometry {
			return p.findOutside(o, true)
		}
		if f := p.bringTogether(doc, o); f != nil {
			return f
		}
	} else if p.seen.geometries > 0 && degrees {
		if p.seen.outsideGeometry {
			return p.findOutside(o, true)
		}
	}
	if p.seen.places > 0 {
		if f := p.settlePlaces(doc, official, degrees); f != nil {
			return f
		}
		p.compareBeside(doc, o)
	} else if !doc.bbox.IsAbsent() {
		line := p.lineOf(doc.bboxAt)
		p.checkBBox(doc.bbox, nil, p.seen.extent, line, "bbox")
	}
	return nil
}

// bringTogether moves coordinates in "geometry" to the system that others have
// in "place".
func (p *parser) bringTogether(doc *document, o *wire.ReadOptions) *fault {
	plan := doc.plan
	if p.hollow != nil {
		return errElsewhere // the features are not here to be moved
	}
	loose := &schema.Plan{CRS: crs.WGS84(), Attributes: plan.Attributes}
	if o.Frame != "" {
		loose.Attributes = schema.Attributes{{Key: schema.PropFrame, Value: schema.String(o.Frame)}}
	} else if doc.geometryFrame != "" {
		loose.Attributes = schema.Attributes{{Key: schema.PropFrame, Value: schema.String(doc.geometryFrame)}}
	}
	for _, it := range doc.items {
		if !it.place && it.feature.Geometry != nil {
			loose.Features = append(loose.Features, it.feature)
		}
	}
	op, err := loose.Operation(schema.Move{To: plan.CRS, Allow: o.Allow, ToEpoch: plan.Epoch, With: o.With})
	if err != nil {
		return faultf(0, `some features have only "geometry", in WGS 84, others have "place", in %s, and the two cannot be brought together: %s`, plan.CRS.ID(), err)
	}
	for _, it := range doc.items {
		if it.place || it.feature.Geometry == nil {
			continue
		}
		if err := eachFlat(it.feature.Geometry, loose.StepsFor(op, it.feature).Apply); err != nil {
			return faultf(it.at, "%s", err).within(it.feature.Source.Path)
		}
		p.t.Add("geometry-transformed", it.feature.Source.Line, it.feature.Source.Path, `a feature has only "geometry", in WGS 84; it was transformed to %s by %s`, plan.CRS.ID(), op.Name())
	}
	return nil
}

// settlePlaces brings the numbers of "place" into the order x, y.
func (p *parser) settlePlaces(doc *document, official, degrees bool) *fault {
	for _, it := range doc.items {
		if !it.place {
			continue
		}
		e := noExtent()
		err := eachFlat(it.feature.Geometry, func(flat []float64, stride int) error {
			if official {
				if err := doc.plan.CRS.FromOfficial(flat, stride); err != nil {
					return err
				}
			}
			c := coordinates{flat: flat, extent: noExtent()}
			c.measure(stride)
			e.merge(c.extent)
			return nil
		})
		if err != nil {
			return faultf(it.at, "%s", err).within(it.feature.Source.Path)
		}
		if !degrees {
			continue
		}
		path := strings.TrimPrefix(it.feature.Source.Path+"."+memberPlace, ".")
		if e.outsideDegrees() {
			f := faultf(it.at, "a position is past 180 degrees of longitude or 90 of latitude").mendBy("numbers in \"place\" follow the axis order of " + doc.plan.CRS.ID())
			f.path = path
			return f
		}
	}
	return nil
}

// Of a feature both of whose members hold it, "geometry" may lie besideM metres
// from "place" once moved: the digits of both. Where only a step that does not
// say of which year WGS 84 is leads from one to the other, it is taken up to
// besideAllowM, and a plate may have drifted besideDriftM since (some 7 cm a year
// at most, from memory): less than that cannot be told from a slip, unless three
// features and more lie shifted by the same.
const besideM, besideAllowM, besideDriftM = 0.05, 10.0, 2.5

// compareBeside tells features whose "geometry", in WGS 84, lies elsewhere than
// their "place", which is what was read. Where no step leads from the one to the
// other, and outside the system's area, nothing can be told.
func (p *parser) compareBeside(doc *document, o *wire.ReadOptions) {
	plan := doc.plan
	loose := &schema.Plan{CRS: crs.WGS84()}
	if o.Frame != "" {
		loose.Attributes = schema.Attributes{{Key: schema.PropFrame, Value: schema.String(o.Frame)}}
	} else if doc.geometryFrame != "" {
		loose.Attributes = schema.Attributes{{Key: schema.PropFrame, Value: schema.String(doc.geometryFrame)}}
	}
	var beside []*schema.Feature
	var placed []*schema.Feature
	for _, it := range doc.items {
		if it.place && it.beside != nil && plan.CRS != nil && plan.CRS.Kind() != crs.KindGeocentric {
			g := *it.feature
			g.Geometry = it.beside
			beside, placed = append(beside, &g), append(placed, it.feature)
		}
	}
	if len(beside) == 0 {
		return
	}
	loose.Features = beside
	frames := false // whether the two may differ by their frames
	op, err := loose.Operation(schema.Move{To: plan.CRS, ToEpoch: plan.Epoch, With: o.With})
	if err != nil {
		frames = true
		if op, err = loose.Operation(schema.Move{To: plan.CRS, Allow: crs.Allowed{Accuracy: besideAllowM}, ToEpoch: plan.Epoch, With: o.With}); err != nil {
			return
		}
	}
	offs, shifts := make([]float64, len(beside)), make([][2]float64, len(beside))
	faults := make([]error, len(beside))
	for i, f := range beside {
		if faults[i] = eachFlat(f.Geometry, loose.StepsFor(op, f).Apply); faults[i] == nil {
			offs[i], shifts[i], faults[i] = apart(plan.CRS, f.Geometry, placed[i].Geometry)
		}
	}
	common := frames && oneShift(shifts)
	for i, f := range beside {
		outside := 0 // formulas of a grid are good in its area
		_ = eachFlat(placed[i].Geometry, func(flat []float64, stride int) error {
			n, _ := plan.CRS.OutsideArea(flat, stride)
			outside += n
			return nil
		})
		if outside > 0 || faults[i] == nil && (offs[i] <= besideM || common) {
			continue
		}
		words := besideWords(offs[i], faults[i])
		if frames && faults[i] == nil && offs[i] <= besideDriftM {
			words += ", which may come of their frames, because \"geometry\" does not say of which year it is, or of a slip: name its frame with --frame, or correct the one that is wrong"
		}
		p.t.Add("place-elsewhere", f.Source.Line, f.Source.Path, `a feature's "geometry" and its "place" are not the same: %s; its "place" was read`, words)
	}
}

// oneShift reports whether three features and more lie shifted by the same, and
// by no more than frames may: then it is their frames.
func oneShift(shifts [][2]float64) bool {
	if len(shifts) < 3 {
		return false
	}
	first := shifts[0]
	for _, s := range shifts {
		if !(math.Hypot(s[0]-first[0], s[1]-first[1]) <= besideM && math.Hypot(s[0], s[1]) <= besideDriftM) {
			return false
		}
	}
	return true
}

func besideWords(off float64, err error) string {
	if err != nil {
		return err.Error()
	}
	return fmt.Sprintf("a point of one lies %.3g m from the other's", off)
}

// mostBeside is how many pairs of points are compared one by one; of more only
// the boxes about them are.
const mostBeside = 1 << 20

// apart is how far at most a point of one geometry lies from the nearest of the
// other, in metres on a sphere, which is near enough. Which points come first,
// which way rings turn and which points are there twice does not matter: writers
// change that.
// The shift is that of the boxes about them.
func apart(c *crs.CRS, a, b geom.T) (off float64, shift [2]float64, err error) {
	one, err := groundOf(c, a)
	if err != nil {
		return 0, shift, err
	}
	other, err := groundOf(c, b)
	if err != nil || len(one) == 0 || len(other) == 0 {
		return 0, shift, err
	}
	from, to := corners(one), corners(other)
	shift = [2]float64{
		metresInDegree * math.Cos(from[0][1]*math.Pi/180) * (math.Remainder(from[0][0]-to[0][0], 360) + math.Remainder(from[1][0]-to[1][0], 360)) / 2,
		metresInDegree * (from[0][1] - to[0][1] + from[1][1] - to[1][1]) / 2,
	}
	if len(one)*len(other) > mostBeside {
		one, other = corners(one), corners(other)
	}
	most := 0.0
	for _, pair := range [...][2][][2]float64{{one, other}, {other, one}} {
		for _, p := range pair[0] {
			least, across := math.Inf(1), math.Cos(p[1]*math.Pi/180)
			for _, q := range pair[1] {
				least = math.Min(least, math.Hypot(across*math.Remainder(p[0]-q[0], 360), p[1]-q[1]))
			}
			most = math.Max(most, least)
		}
	}
	return most * metresInDegree, shift, nil
}

// metresInDegree is the length of a degree of latitude, to 1 %.
const metresInDegree = 111e3

// groundOf are the points of a geometry as longitude and latitude: metres of a
// grid far outside its area are none on the ground.
func groundOf(c *crs.CRS, g geom.T) (points [][2]float64, err error) {
	err = eachFlat(g, func(flat []float64, stride int) error {
		flat = append([]float64(nil), flat...)
		if err := c.ToGeodetic(flat, stride); err != nil {
			return err
		}
		for i := 0; i+1 < len(flat); i += stride {
			points = append(points, [2]float64{flat[i], flat[i+1]})
		}
		return nil
	})
	return points, err
}

// corners are the least and the greatest coordinates of points.
func corners(points [][2]float64) [][2]float64 {
	low, high := points[0], points[0]
	for _, p := range points {
		for i := range p {
			low[i], high[i] = math.Min(low[i], p[i]), math.Max(high[i], p[i])
		}
	}
	return [][2]float64{low, high}
}

// findOutside walks again over the text, to the first position that is no
// longitude and latitude.
func (p *parser) findOutside(o *wire.ReadOptions, geometry bool) *fault {
	if p.hollow != nil {
		return errElsewhere
	}
	q := newParser(p.data, o)
	q.strictGeometry, q.strictPlace = geometry, !geometry
	if _, f := q.document(); f != nil {
		return f
	}
	return faultf(0, "a position is no longitude and latitude") // cannot happen: the first walk saw one
}

// eachFlat calls f with the coordinates of g and of all its parts.
func eachFlat(g geom.T, f func(flat []float64, stride int) error) error {
	if c, ok := g.(*geom.GeometryCollection); ok {
		for _, part := range c.Geoms() {
			if err := eachFlat(part, f); err != nil {
				return err
			}
		}
		return nil
	}
	return f(g.FlatCoords(), g.Stride())
}

// legacySystem reads the "crs" of GeoJSON 2008: a named system, a code, or null
// for none. Its coordinates always run x, y.
func legacySystem(s *statement) (*crs.CRS, *fault) {
	const mend = "name the system with --from EPSG:..., which holds instead"
	if s.value.Kind() == schema.KindNull {
		return nil, nil
	}
	props := s.value.Fields().Get("properties").Fields()
	var text string
	switch typ := s.value.Fields().Get("type").Text(); {
	case typ == "name":
		text = props.Get("name").Text()
	case strings.EqualFold(typ, "EPSG"):
		text = "EPSG:" + props.Get("code").Text()
	default:
		return nil, faultf(s.at, "the member \"crs\" names its system in a way that is not known here: %s", clipJSON(s.value)).within(s.path).mendBy(mend)
	}
	switch strings.ToUpper(strings.ReplaceAll(text, " ", "")) {
	case "WGS84", "CRS84", "CRS:84":
		return crs.WGS84(), nil // often written, and clear
	}
	c, err := system(text)
	if err != nil {
		return nil, faultf(s.at, "%s", err).within(s.path).mendBy(mend)
	}
	if c.BaseCode() == 4326 && c.IsDegrees() {
		c = crs.WGS84() // 2008's files give EPSG:4326 in the order longitude, latitude
	}
	return c, nil
}

// referenceSystem reads coordRefSys: a URI, a reference object, or a list of a
// horizontal and a vertical system.
func (p *parser) referenceSystem(s *statement) (*crs.CRS, float64, *fault) {
	v := s.value
	var heights crs.Heights
	if v.Kind() == schema.KindList && len(v.Items()) > 0 {
		if len(v.Items()) > 1 {
			var err error
			uri := v.Items()[1].Text()
			if heights, err = crs.ParseHeights("EPSG:" + uri[strings.LastIndexAny(uri, "/:")+1:]); err != nil {
				p.t.Add("vertical-system", 0, s.path, "coordRefSys names a system for heights that is not known here; what the heights are counted from is not told")
			}
		}
		v = v.Items()[0]
	}
	text, epoch := v.Text(), 0.0
	switch v.Kind() {
	case schema.KindString:
	case schema.KindObject:
		text = v.Fields().Get("href").Text()
		if typ := v.Fields().Get("type").Text(); typ != "Reference" {
			return nil, 0, faultf(s.at, "coordRefSys is of type %q, which is not known here", typ).within(s.path).mendBy("give the URI of the system, such as http://www.opengis.net/def/crs/EPSG/0/25832")
		}
		if e := v.Fields().Get("epoch"); !e.IsAbsent() {
			year, ok := e.Float()
			if !ok || !(year > 0) {
				return nil, 0, faultf(s.at, "the epoch is %s, not a year", e.AppendJSON(nil)).within(s.path + ".epoch")
			}
			epoch = year
		}
	default:
		return nil, 0, faultf(s.at, "coordRefSys is %s, not the URI of a system", a(v.Kind())).within(s.path)
	}
	c, err := system(text)
	if err != nil {
		return nil, 0, faultf(s.at, "%s", err).within(s.path).mendBy("name the system with --from EPSG:..., which holds instead")
	}
	if c, err = c.WithHeights(heights); err != nil {
		return nil, 0, faultf(s.at, "%s", err).within(s.path)
	}
	return c, epoch, nil
}

// system returns the system that a URI names.
func system(text string) (*crs.CRS, error) {
	if rest, ok := strings.CutPrefix(text, URNPrefix); ok {
		id, err := url.PathUnescape(rest)
		if err != nil {
			return nil, fmt.Errorf("the URN %q is not percent-encoded", text)
		}
		return crs.Parse(id)
	}
	// JSON-FG's own name for WGS 84 with heights, which a plan may always have.
	if strings.HasSuffix(text, "/CRS84h") || strings.HasSuffix(text, ":CRS84h") {
		return crs.WGS84(), nil
	}
	return crs.Parse(text)
}

// systemURI is what system reads back as the same CRS.
func systemURI(c *crs.CRS) string {
	if c.Equal(crs.WGS84()) {
		return "http://www.opengis.net/def/crs/OGC/0/CRS84"
	}
	if code, ok := strings.CutPrefix(c.ID(), "EPSG:"); ok {
		return "http://www.opengis.net/def/crs/EPSG/0/" + code
	}
	return URNPrefix + url.PathEscape(c.ID())
}

func clipJSON(v schema.Value) string {
	b := v.AppendJSON(nil)
	if len(b) > 80 {
		return strings.ToValidUTF8(string(b[:80]), "") + "..."
	}
	return string(b)
}
