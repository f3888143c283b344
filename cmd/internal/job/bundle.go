// The whole hand-over of a plan, in a folder or a .zip.

package job

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"time"

	"swardline/convert"
	"swardline/convert/kml"
	"swardline/convert/sheet"
	"swardline/crs"
	"swardline/schema"
	"swardline/validate"
	"swardline/validate/report"
)

// Names of the files of a hand-over.
const (
	bundleSheet      = "sheet.pdf"
	bundleMap        = "map.html"
	bundleKML        = "plan.kml"
	bundleGeoJSON    = "plan.geojson"
	bundleCSV        = "plan.csv"
	bundleDXF        = "plan.dxf"
	bundlePRJ        = "plan.prj"
	bundleGPKG       = "plan.gpkg"
	bundleQuantities = "quantities.csv"
	bundleCheck      = "check.txt"
	bundleCheckAll   = "check.json"
	bundleReadme     = "README.txt"
)

// part is one file of a hand-over.
type part struct {
	name string
	data []byte
	says string // for README.txt
}

// writeBundle makes every file first and writes them only then, so that a
// hand-over is whole or not there.
func (job *sheetJob) writeBundle() error {
	parts, err := job.bundleParts()
	if err != nil {
		return err
	}
	if strings.EqualFold(filepath.Ext(job.o.Bundle), ".zip") {
		return job.Store.Write(job.o.Bundle, func(w io.Writer) error { return zipParts(w, parts, job.date) })
	}
	for _, p := range parts {
		err := job.Store.Write(filepath.Join(job.o.Bundle, p.name), func(w io.Writer) error {
			_, err := w.Write(p.data)
			return err
		})
		if err != nil {
			return err
		}
	}
	return nil
}

func zipParts(w io.Writer, parts []part, date string) error {
	at, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return err
	}
	z := zip.NewWriter(w)
	for _, p := range parts {
		f, err := z.CreateHeader(&zip.FileHeader{Name: p.name, Method: zip.Deflate, Modified: at})
		if err != nil {
			return err
		}
		if _, err := f.Write(p.data); err != nil {
			return err
		}
	}
	return z.Close()
}

func (job *sheetJob) bundleParts() ([]part, error) {
	var parts []part
	add := func(name, says string, fill func(io.Writer) error) error {
		if !handedOver(job.layout.For, name) {
			return nil
		}
		var b bytes.Buffer
		if err := fill(&b); err != nil {
			return err
		}
		parts = append(parts, part{name, b.Bytes(), says})
		return nil
	}
	set, err := job.sheets()
	if err != nil {
		return nil, err
	}
	if validate.HeldWords(job.plan) != "" {
		job.note(NoteRemark, job.o.Source, "the plan was corrected for a base that moved: the hand-over gives the ground, and "+bundleReadme+" says how far off the machine holds it")
	}
	err = add(bundleSheet, fmt.Sprintf("The plan drawn at 1:%g on %s, %d sheet(s): print it at 100 %%. %s; ticks and positions in %s. Viewers that read coordinates off a PDF find them in it.", set.Scale, job.layout.Paper.Name, len(set.Pages), upWords(set.TurnDeg), job.gridWords()), job.writePDF)
	if err != nil {
		return nil, err
	}
	if handedOver(job.layout.For, bundleMap) {
		job.addDrift()
	}
	if err := add(bundleMap, "The same plan as a live page for a browser; it works without a network.", func(w io.Writer) error { return sheet.HTML(w, job.drawing) }); err != nil {
		return nil, err
	}
	switch {
	case !handedOver(job.layout.For, bundleKML):
	case job.plan.CRS == nil:
		// Without a CRS there is no longitude and latitude for KML.
		job.note(NoteRemark, job.o.Source, "the plan states no CRS, so the hand-over has no "+bundleKML)
	default:
		op, doubt, err := job.pictured(job.plan, crs.WGS84(), &job.o.Moving, job.limits)
		if err != nil {
			return nil, err
		}
		client, err := job.transform(job.plan, op)
		if err != nil {
			return nil, err
		}
		says := "The plan for any viewer that reads KML: longitude and latitude, everything laid on the ground." + epochWords(client)
		if words := viewerWords(client); words != "" {
			says += " " + words
		}
		if doubt != "" {
			says += " The plan " + doubt + " in it: for looking, not for staking out."
		}
		if err := add(bundleKML, says, func(w io.Writer) error {
			losses, err := kml.WriteClient(w, client, job.clientOptions(client, doubt))
			job.lose(bundleKML, losses)
			return err
		}); err != nil {
			return nil, err
		}
	}
	if err := job.dataParts(add); err != nil {
		return nil, err
	}
	if err := add(bundleQuantities, "Areas, lengths and positions, a row a feature. Areas and lengths on the ground, level; positions in "+job.gridWords()+".", func(w io.Writer) error {
		return sheet.WriteQuantities(w, job.drawing)
	}); err != nil {
		return nil, err
	}
	checked := report.Set{Tool: tool(), Full: true, Plans: []report.Plan{report.NewPlan(job.drawing.Source, job.report, nil)}}
	checked.Sort()
	if err := add(bundleCheck, "What was checked, against which limits, and what was found.", checked.Text); err != nil {
		return nil, err
	}
	if err := add(bundleCheckAll, "The same for programs.", checked.JSON); err != nil {
		return nil, err
	}
	parts = append(parts, part{name: bundleReadme, data: []byte(job.readme(parts))})
	m, err := job.manifest(parts)
	return append(parts, m), err
}

// adder adds a file to a hand-over, if it is for whom the hand-over is.
type adder func(name, says string, fill func(io.Writer) error) error

// dataParts adds the plan in the formats of programs, in the grid of the sheet.
func (job *sheetJob) dataParts(add adder) error {
	if job.layout.For == sheet.ForClient {
		return nil
	}
	grid := job.plan
	if job.op != nil {
		// Ticks may be in doubt; coordinates that are handed over may not.
		var err error
		if job.op, err = job.operation(job.plan, job.grid, 0, &job.o.Moving, job.limits); err != nil {
			return err
		}
		if grid, err = job.transform(job.plan, job.op); err != nil {
			return err
		}
	}
	plane := job.grid == nil || !job.grid.IsDegrees()
	for _, x := range []struct{ name, format, says string }{
		{bundleGeoJSON, "geojson", "The plan as GeoJSON"},
		{bundleCSV, "csv", "The plan as a table, a row a feature with its geometry as WKT"},
		{bundleDXF, "dxf", "The plan as a drawing for whoever lays out the ground: layers by role, names on layers of their own, what is off on layers that are off"},
		{bundleGPKG, "gpkg", "The plan as a GeoPackage"},
	} {
		if x.name == bundleDXF && !plane && handedOver(job.layout.For, bundleDXF) {
			job.note(NoteRemark, job.o.Source, "%s is in degrees, which no drawing holds, so the hand-over has no %s; %s with a grid in metres makes one", job.grid.ID(), bundleDXF, job.option("crs"))
			continue
		}
		err := add(x.name, x.says+", in "+job.gridWords()+"."+epochWords(grid), func(w io.Writer) error {
			losses, err := convert.Write(w, grid, x.format, convert.WriteOptions{Layout: "wkt", Date: job.date})
			job.lose(x.name, losses)
			return err
		})
		if err != nil && x.name == bundleDXF && job.grid == nil {
			// Numbers of an unknown system may be degrees.
			job.note(NoteRemark, job.o.Source, "the hand-over has no %s: %v", bundleDXF, err)
			continue
		}
		if err != nil {
			return err
		}
	}
	if text := prjText(job.grid); plane && text != "" {
		if err := add(bundlePRJ, "The coordinate system of "+bundleDXF+", for programs that look beside it.", func(w io.Writer) error {
			_, err := io.WriteString(w, text)
			return err
		}); err != nil {
			return err
		}
	}
	return nil
}

// upWords say where up is on a sheet.
func upWords(turn float64) string {
	if turn == 0 {
		return "Up is true north"
	}
	return fmt.Sprintf("The plan is turned %g degrees clockwise on it", turn)
}

// prjText is the text of a .prj of a system, "" where it has none.
func prjText(c *crs.CRS) string {
	if c == nil || c.Kind() == crs.KindSite {
		return ""
	}
	if text, ok := c.WKT1(); ok {
		return text
	}
	return c.WKT()
}

func (job *sheetJob) gridWords() string {
	if job.grid == nil {
		return "the drawing's own plane coordinates, whose CRS is not known"
	}
	return crsTitle(job.grid)
}

func epochWords(p *schema.Plan) string {
	if p.Epoch == 0 {
		return " The date of the coordinates is unknown."
	}
	return fmt.Sprintf(" Epoch of the coordinates %g.", p.Epoch)
}

func (job *sheetJob) readme(parts []part) string {
	var b strings.Builder
	d := job.drawing
	fmt.Fprintf(&b, "%s\n%s\n\n", OneLine(d.Title), strings.Repeat("=", min(len([]rune(OneLine(d.Title))), 72)))
	fmt.Fprintf(&b, "Made on %s by %s from %s.\n\n", d.Date, d.Program, OneLine(d.Source))
	for _, p := range parts {
		fmt.Fprintf(&b, "%s\n%s\n", p.name, indent(p.says, 2))
	}
	fmt.Fprintf(&b, "%s\n%s", bundleManifest, indent("The SHA-256 of every file, with the version, limits and registry that it was made with. '"+Program+" check --bundle' holds the files against it and checks the plan again. It tells that nothing was changed since, not who made it.", 2))
	if words := validate.HeldWords(job.plan); words != "" {
		b.WriteString("\nGround and machine\n" + indent(words+" Every file here gives the ground; '"+Program+" convert --held' gives what the machine holds.", 2))
	}
	b.WriteString("\nDatum and accuracy\n")
	for _, n := range d.Notes {
		b.WriteString(indent(OneLine(n), 2))
	}
	for _, base := range job.plan.Find(schema.RoleBase) {
		frame := base.Attributes.Get(schema.PropFrame).Text()
		if frame == "" {
			frame = "a frame that is unknown"
		}
		epoch := "of an unknown date"
		if e, ok := base.Float(schema.PropEpoch); ok {
			epoch = fmt.Sprintf("epoch %g", e)
		}
		b.WriteString(indent(fmt.Sprintf("The base %q stores its position in %s, %s.", OneLine(base.Label()), OneLine(frame), epoch), 2))
	}
	b.WriteString("\nFindings\n" + indent(OneLine(d.Tested), 2))
	for _, n := range d.NotChecked {
		b.WriteString(indent("not checked: "+OneLine(n), 2))
	}
	found := "No findings by the rules tested; check.txt names them and their limits."
	if len(d.Findings) > 0 {
		found = fmt.Sprintf("%d, numbered on the sheet and on the live page; check.txt has them with their limits.", len(d.Findings))
	}
	b.WriteString(indent(found, 2))
	fmt.Fprintf(&b, "\nCaution\n%s", indent(strings.Join(strings.Fields(Caution), " "), 2))
	return strings.ReplaceAll(b.String(), "\n", "\r\n") // for every editor
}

// indent wraps a text at 78 columns.
func indent(s string, by int) string {
	var b strings.Builder
	column := 0
	for _, word := range strings.Fields(s) {
		switch n := len([]rune(word)); {
		case column == 0:
			b.WriteString(strings.Repeat(" ", by) + word)
			column = by + n
		case column+1+n > 78:
			b.WriteString("\n" + strings.Repeat(" ", by) + word)
			column = by + n
		default:
			b.WriteString(" " + word)
			column += 1 + n
		}
	}
	b.WriteString("\n")
	return b.String()
}

// clientOptions are the words of the client's KML.
func (job *sheetJob) clientOptions(client *schema.Plan, doubt string) kml.ClientOptions {
	d := job.drawing
	byCode := map[string]*sheet.Feature{}
	for i := range d.Features {
		byCode[d.Features[i].Code] = &d.Features[i]
	}
	codes := codesOf(job.report.Site)
	texts := map[*schema.Feature]kml.ClientText{}
	for i, f := range job.plan.Features {
		x := byCode[codes[f]]
		if x == nil {
			continue
		}
		var lines, short []string
		for _, fact := range d.Facts(x) {
			lines = append(lines, fact[0]+": "+fact[1])
			switch fact[0] {
			case "net area", "area", "length", "kind":
				short = append(short, fact[0]+" "+fact[1])
			}
		}
		t := kml.ClientText{Description: strings.Join(lines, "\n"), Snippet: strings.Join(short, ", ")}
		if t.Snippet == "" {
			t.Snippet = string(x.Role)
		}
		texts[client.Features[i]] = t
	}
	description := fmt.Sprintf("Plan of %s, made by %s. ", d.Date, d.Program)
	if words := viewerWords(client); words != "" {
		description += words + " "
	}
	if words := givenWords(client); words != "" {
		description += words + " "
	}
	if doubt != "" {
		description += "The plan " + doubt + ": for looking, not for staking out. "
	}
	return kml.ClientOptions{
		Title:       d.Title,
		Description: description + strings.Join(strings.Fields(Caution), " "),
		FolderName:  sheet.RoleTitle,
		Text:        func(f *schema.Feature) kml.ClientText { return texts[f] },
	}
}
