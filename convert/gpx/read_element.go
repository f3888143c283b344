// The three elements that features stand in: waypoints, routes and tracks.

package gpx

import (
	"math"
	"strings"

	"swardline/convert/wire"
	"swardline/schema"
)

func (r *reader) newFeature(at int) (*schema.Feature, error) {
	if float64(r.features) >= r.caps.InputMaxFeatures {
		return nil, r.fail(at, "split it, or raise the limit in a limits file", "there are more features than the limit input_max_features (%.0f)", r.caps.InputMaxFeatures)
	}
	r.features++
	if r.parts != nil {
		if err := r.closeAssembly(); err != nil {
			return nil, err
		}
	}
	if len(r.block) == 0 {
		const step = 64
		r.block = make([]schema.Feature, step)
	}
	f := &r.block[0]
	r.block = r.block[1:]
	f.Role = schema.RoleOther
	f.Source.Line = r.LineOf(at)
	r.plan.Features = append(r.plan.Features, f)
	r.places = append(r.places, 0)
	return f, nil
}

// start forgets the element read before.
func (r *reader) start() {
	r.found = nil
	r.name = ""
	r.own = nil
	r.foreign = r.foreign[:0]
	r.pieces = pieces{r.pieces.flat[:0], r.pieces.ends[:0], r.pieces.tags[:0]}
	r.columns = r.columns[:0]
	r.segment = nil
}

// ownElement reads an s:feature or s:more of the element being read.
func (r *reader) ownElement(t token) error {
	if local := string(t.Local); r.own != nil || local != "feature" && local != "more" {
		return r.unknownOwn(t)
	}
	var err error
	r.own, err = r.readOwn(t)
	return err
}

func (r *reader) waypoint(t token) error {
	r.start()
	at := t.From
	lon, lat, err := r.position(t)
	if err != nil {
		return err
	}
	h, err := r.pointChildren(pointFields, &r.found, &r.foreign, r.ownElement)
	if err != nil {
		return err
	}
	r.pieces.flat = append(r.pieces.flat, lon, lat, h)
	r.takeName()
	return r.finish(at, kindWpt)
}

// insideWaypoint reads a wpt that stands inside a track or route, where GPX has
// none and some receivers put them: it is a feature of its own.
func (r *reader) insideWaypoint(t token) error {
	r.warn("waypoint-inside", t.From, "a waypoint stands inside a track or route; it was read as one of its own")
	outer := r.element
	r.element = element{}
	err := r.waypoint(t)
	r.element = outer
	return err
}

func (r *reader) takeName() {
	r.name = r.found.Get("name").Text()
	r.found.Delete("name")
}

// position reads the attributes lat and lon of a point.
func (r *reader) position(t token) (lon, lat float64, err error) {
	var have [2]bool
	for _, a := range t.Attrs {
		var to *float64
		switch {
		case a.Prefix == nil && string(a.Local) == "lat":
			to, have[0] = &lat, true
		case a.Prefix == nil && string(a.Local) == "lon":
			to, have[1] = &lon, true
		default:
			switch {
			case string(a.Prefix) == "xmlns" || string(a.Local) == "xmlns":
			case string(t.Local) == "wpt":
				r.warn("attribute-unread", a.At, "the attribute %s=%q of <wpt> is not GPX's and was not read: say it in an element of the point", wire.Clip(a.Local, 40), wire.Clip(a.Value, 40))
			default:
				r.warn("attribute-unknown", a.At, "the attribute %s of <%s> is not GPX's; it is passed over", wire.Clip(a.Local, 40), wire.Clip(t.Local, 40))
			}
			continue
		}
		v, ok := parseNumber(a.Value)
		if !ok {
			return 0, 0, r.fail(a.At, "write decimal degrees", "%s=%q of <%s> is no number", a.Local, wire.Clip(a.Value, 40), wire.Clip(t.Local, 40))
		}
		*to = v
	}
	if !have[0] || !have[1] {
		return 0, 0, r.fail(t.From, "a point has lat and lon", "<%s> has no position", wire.Clip(t.Local, 40))
	}
	mend := "write decimal degrees"
	if math.Abs(lat) > 90 && math.Abs(lat) <= 180 && math.Abs(lon) <= 90 {
		mend = "lat and lon look swapped"
	}
	if !(math.Abs(lat) <= 90) {
		return 0, 0, r.fail(t.From, mend, "the latitude %v of <%s> lies outside -90 to 90", lat, wire.Clip(t.Local, 40))
	}
	if !(math.Abs(lon) <= 180) {
		return 0, 0, r.fail(t.From, mend, "the longitude %v of <%s> lies outside -180 to 180", lon, wire.Clip(t.Local, 40))
	}
	if float64(r.vertices) >= r.caps.InputMaxVertices {
		return 0, 0, r.fail(t.From, "split it, or raise the limit in a limits file", "there are more points than the limit input_max_vertices (%.0f)", r.caps.InputMaxVertices)
	}
	r.vertices++
	return lon, lat, nil
}

// pointChildren reads what stands inside a wpt, rtept or trkpt.
func (r *reader) pointChildren(fields []field, into *schema.Attributes, foreign *[]byte, own func(token) error) (h float64, err error) {
	h = math.NaN()
	depth := len(r.Open)
	for {
		t, ok, err := r.child(depth, r.strayText)
		if err != nil || !ok {
			if len(*foreign) > 0 {
				into.Set(fieldNamed(fields, []byte("extensions")).key, schema.String(string(*foreign)))
			}
			return h, err
		}
		switch {
		case t.Space == spaceGPX && string(t.Local) == "ele":
			if h, err = r.elevation(h); err != nil {
				return h, err
			}
		case t.Space == spaceGPX && string(t.Local) == "extensions":
			if *foreign, err = r.extensions(*foreign, own); err != nil {
				return h, err
			}
		default:
			if err := r.readField(t, fields, into, foreign); err != nil {
				return h, err
			}
		}
	}
}

func (r *reader) elevation(before float64) (float64, error) {
	at := r.Pos
	text, err := r.text()
	if err != nil {
		return before, err
	}
	if text = strings.TrimSpace(text); text == "" {
		r.warn("elevation-empty", at, "<ele> is empty; the height is read as absent")
		return before, nil
	}
	h, ok := wire.ParseFloat([]byte(text))
	if !ok {
		return before, r.fail(at, "write metres, or leave the element out", "the elevation %q is no number", wire.Clip([]byte(text), 40))
	}
	if !math.IsNaN(before) {
		if before == h {
			r.warn("element-repeated", at, "<ele> stands twice; the first one holds")
		} else {
			r.warn("element-second", at, "<ele> stands twice and says %v and %v, and the first was read: which of them is right?", before, h)
		}
		return before, nil
	}
	return h, nil
}

// line reads a rte or trk.
func (r *reader) line(t token, k kind) error {
	r.start()
	r.began = t.From
	depth := len(r.Open)
	for {
		if err := r.more(); err != nil {
			return err
		}
		t, ok, err := r.child(depth, r.strayText)
		if err != nil {
			return err
		}
		if !ok {
			break
		}
		local := string(t.Local)
		switch {
		case r.parts != nil && local == "trkseg" && (t.Space != spaceGPX || k != kindTrk):
			return wire.ErrWhole // it is not whole in the window
		case t.Space != spaceGPX:
			err = r.readField(t, lineFields, &r.found, &r.foreign)
		case local == "extensions":
			r.foreign, err = r.extensions(r.foreign, r.ownElement)
		case k == kindRte && local == "rtept":
			if err = r.vertex(t); err == nil {
				err = r.vertexRun("rtept")
			}
		case k == kindTrk && local == "trkseg":
			err = r.trackSegment()
		case local == "wpt":
			err = r.insideWaypoint(t)
		default:
			err = r.readField(t, lineFields, &r.found, &r.foreign)
		}
		if err != nil {
			return err
		}
	}
	if k == kindRte {
		r.pieces.ends = append(r.pieces.ends, r.pieces.vertices())
		r.pieces.tags = append(r.pieces.tags, tagPlain)
	}
	if len(r.foreign) > 0 {
		r.found = append(r.found, schema.Attribute{Key: extensionsKey, Value: schema.String(string(r.foreign))})
	}
	r.takeName()
	return r.finish(r.began, k)
}

func (r *reader) trackSegment() error {
	depth := len(r.Open)
	what := tagPlain
	var foreign []byte
	if !r.Ended {
		if err := r.vertexRun("trkpt"); err != nil {
			return err
		}
	}
	for {
		if err := r.more(); err != nil {
			return err
		}
		t, ok, err := r.child(depth, r.strayText)
		if err != nil {
			return err
		}
		if !ok {
			break
		}
		switch {
		case t.Space == spaceGPX && string(t.Local) == "trkpt":
			if err = r.vertex(t); err == nil {
				err = r.vertexRun("trkpt")
			}
		case t.Space == spaceGPX && string(t.Local) == "wpt":
			err = r.insideWaypoint(t)
		case t.Space == spaceGPX && string(t.Local) == "extensions":
			foreign, err = r.extensions(foreign, func(t token) error {
				switch string(t.Local) {
				case "shell":
					what = tagShell
				case "hole":
					what = tagHole
				case "none":
					what = tagNone
				default:
					return r.unknownOwn(t)
				}
				return r.Skip()
			})
		default:
			err = r.readField(t, nil, &r.point, &foreign)
		}
		if err != nil {
			return err
		}
	}
	if len(foreign) > 0 {
		for len(r.segment) < len(r.pieces.ends) {
			r.segment = append(r.segment, schema.Null())
		}
		r.segment = append(r.segment, schema.String(string(foreign)))
	}
	r.pieces.ends = append(r.pieces.ends, r.pieces.vertices())
	r.pieces.tags = append(r.pieces.tags, what)
	return nil
}

// vertex reads a rtept or trkpt whose start tag is t.
func (r *reader) vertex(t token) error {
	lon, lat, err := r.position(t)
	if err != nil {
		return err
	}
	r.point = r.point[:0]
	var foreign []byte
	h, err := r.pointChildren(vertexFields, &r.point, &foreign, r.unknownOwn)
	if err != nil {
		return err
	}
	if r.own == nil {
		r.trimTexts(r.point)
	}
	for _, a := range r.point {
		r.addValue(a.Key, a.Value)
	}
	r.pieces.flat = append(r.pieces.flat, lon, lat, h)
	return nil
}

// addValue puts a value at the vertex that is read next into its column.
func (r *reader) addValue(key string, v schema.Value) {
	n := r.pieces.vertices()
	for i := range r.columns {
		if c := &r.columns[i]; c.key == key {
			c.values = pad(c.values, n)
			c.values = append(c.values, v)
			return
		}
	}
	r.columns = append(r.columns, column{key, append(pad(nil, n), v)})
}

func pad(values []schema.Value, n int) []schema.Value {
	for len(values) < n {
		values = append(values, schema.Null())
	}
	return values
}
