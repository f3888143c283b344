// KML for people who only look: folders by role, styles, texts to read, and a
// view to begin with. The exchange form is that of Write.

package kml

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"github.com/twpayne/go-geom"
	gokml "github.com/twpayne/go-kml/v3"

	"swardline/convert/wire"
	"swardline/schema"
)

// ClientText is what a person reads about one feature: Snippet in the list, on
// one line, Description when they open it. Both are plain text.
type ClientText struct{ Snippet, Description string }

// ClientOptions are the words of a client's KML. FolderName gives a role's
// folder a title; Text the words of a feature.
type ClientOptions struct {
	Title, Description string
	FolderName         func(schema.Role) string
	Text               func(*schema.Feature) ClientText
}

// WriteClient writes the active features of a plan for a client to look at. The
// plan must be in WGS 84 longitude and latitude.
//
// Everything lies on the ground: heights of a plan stand above an ellipsoid,
// which KML's absolute altitude does not, so they are kept in the coordinates
// and the altitude mode is clampToGround, lines following the ground. A feature
// that brings an altitude mode of its own keeps it. Of the attributes only role
// and name are carried as data; names read back as the features' own. Inactive
// features are left out, which is told as a loss, as is whatever geometry KML
// cannot hold.
func WriteClient(w io.Writer, p *schema.Plan, o ClientOptions) ([]wire.Loss, error) {
	if err := checkCRS(p); err != nil {
		return nil, err
	}
	var t wire.Tally
	title := o.Title
	if title == "" {
		title = p.Name
	}
	doc := gokml.Document(gokml.Name(cleanText(title)), gokml.Open(true))
	if o.Description != "" {
		doc.Append(gokml.Description(cleanText(o.Description)))
	}
	if look := lookAt(p); look != nil {
		doc.Append(look)
	}
	for _, l := range looks {
		doc.Append(line{}, l.element())
	}
	pw := newPlacemarkWriter(p.Source.Winding, newFieldList(), newFieldList())
	for _, role := range schema.Roles {
		var list []*schema.Feature
		for _, f := range p.Features {
			if roleOf(f) == role {
				list = append(list, f)
			}
		}
		folder := gokml.Folder()
		name := string(role)
		if o.FolderName != nil {
			name = o.FolderName(role)
		}
		folder.Append(gokml.Name(cleanText(name)))
		n := 0
		for _, f := range list {
			if !f.Active() {
				t.Add("inactive", f.Source.Line, f.Source.Path, "%q is off and left out of the client's file", f.Label())
				continue
			}
			mark, err := clientMark(pw, f, role, o, &t)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", f.Label(), err)
			}
			folder.Append(line{}, mark)
			n++
		}
		if n > 0 {
			doc.Append(line{}, folder)
		}
	}
	if err := gokml.KML(doc).Write(w); err != nil {
		return nil, err
	}
	if _, err := io.WriteString(w, "\n"); err != nil {
		return nil, err
	}
	return t.Losses(), nil
}

func roleOf(f *schema.Feature) schema.Role {
	if slices.Contains(schema.Roles, f.Role) {
		return f.Role
	}
	return schema.RoleOther
}

func clientMark(pw *placemarkWriter, f *schema.Feature, role schema.Role, o ClientOptions, t *wire.Tally) (gokml.Element, error) {
	m := gokml.Placemark(gokml.Name(cleanText(f.Label())))
	if o.Text != nil {
		text := o.Text(f)
		if text.Snippet != "" {
			m.Append(gokml.Snippet(cleanText(text.Snippet)))
		}
		if text.Description != "" {
			m.Append(gokml.Description(plainAsHTML(text.Description)))
		}
	}
	m.Append(gokml.StyleURL(styleURL(role)), gokml.ExtendedData(gokml.Data("role", gokml.Value(string(role)))))
	shown := *f
	if f.Attributes.Get(schema.PropAltitudeMode).IsAbsent() {
		shown.Attributes = f.Attributes.Clone()
		shown.Attributes.Set(schema.PropAltitudeMode, schema.String("clampToGround"))
		if len(f.Attributes.Get(schema.PropTessellate).Text()) == 0 {
			shown.Attributes.Set(schema.PropTessellate, schema.Bool(true))
		}
	}
	geometry, err := newGeometryWriter(pw, &shown, t).element()
	if err != nil {
		return nil, err
	}
	if geometry != nil {
		m.Append(geometry)
	}
	return m, nil
}

// plainAsHTML makes plain text fit for a description, which viewers take for
// HTML: markup in names stays text, lines stay lines.
func plainAsHTML(s string) string {
	s = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;").Replace(cleanText(s))
	return strings.ReplaceAll(s, "\n", "<br>\n")
}

// cleanText replaces characters that XML 1.0 cannot hold.
func cleanText(s string) string {
	return strings.Map(func(r rune) rune {
		if r == '\t' || r == '\n' || r >= 0x20 && r != 0xFFFE && r != 0xFFFF {
			return r
		}
		return 0xFFFD
	}, s)
}

// lookAt is a view of the whole plan from straight above, nil for a plan
// without coordinates. The range is one and a half times the plan's larger
// side.
func lookAt(p *schema.Plan) gokml.Element {
	lo, hi := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	var take func(g geom.T)
	take = func(g geom.T) {
		switch g := g.(type) {
		case nil:
		case *geom.GeometryCollection:
			for _, part := range g.Geoms() {
				take(part)
			}
		default:
			flat, stride := g.FlatCoords(), g.Stride()
			for i := 0; stride > 0 && i+1 < len(flat); i += stride {
				for axis := range 2 {
					lo[axis], hi[axis] = math.Min(lo[axis], flat[i+axis]), math.Max(hi[axis], flat[i+axis])
				}
			}
		}
	}
	for _, f := range p.Features {
		if f.Active() {
			take(f.Geometry)
		}
	}
	if !(hi[0] >= lo[0] && hi[1] >= lo[1]) || math.Abs(lo[1]) > 90 || math.Abs(hi[1]) > 90 || math.Abs(lo[0]) > 180 || math.Abs(hi[0]) > 180 {
		return nil
	}
	lon, lat := (lo[0]+hi[0])/2, (lo[1]+hi[1])/2
	const metresPerDegree = 111320 // along the equator of WGS 84, from memory; ample for a view
	side := math.Max((hi[1]-lo[1])*metresPerDegree, (hi[0]-lo[0])*metresPerDegree*math.Cos(lat*math.Pi/180))
	return gokml.LookAt(gokml.Longitude(roundDegrees(lon)), gokml.Latitude(roundDegrees(lat)), gokml.Altitude(0), gokml.Heading(0), gokml.Tilt(0),
		gokml.Range(math.Ceil(math.Max(1.5*side, 60))), gokml.AltitudeMode(gokml.AltitudeModeClampToGround))
}

func roundDegrees(v float64) float64 { return math.Round(v*1e7) / 1e7 }
