// Inputs: a path, the flags that say what a file does not, and the plan in it.

package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"swardline/convert"
	"swardline/convert/geojson/conform"
	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

// readFlags say what the user told about the inputs.
type readFlags struct {
	from    string
	epoch   float64
	format  string
	columns string
	units   string
	chord   float64
}

func (r *readFlags) add(cmd *cobra.Command) {
	cmd.Flags().Float64Var(&r.epoch, "epoch", 0, "epoch of the coordinates as a decimal `year`, such as 2024.5")
	r.addWithoutEpoch(cmd)
}

// addWithoutEpoch is for commands where --epoch says something else.
func (r *readFlags) addWithoutEpoch(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringVar(&r.from, "from", "", "`CRS` of the input where the file does not say, or says it wrong")
	f.StringVar(&r.format, "read", "", "`format` of the input instead of finding it out: "+formatList())
	f.StringVar(&r.columns, "columns", "", "`columns` of a list without a header, such as PNEZD or id,n,e,h,code")
	f.Float64Var(&r.chord, "chord", 0, "how far in `metres` a chord may leave a drawing's curve; 0.005 when not given")
	f.StringVar(&r.units, "units", "", "length `unit` of a drawing or list: m, mm, ft, ftUS or in")
}

func formatList() string {
	var names []string
	for _, f := range convert.Formats {
		names = append(names, f.Name)
	}
	return strings.Join(names, ", ")
}

// loadLimits reads a limits file, or gives the defaults when path is "".
func loadLimits(path string) (schema.Limits, error) {
	if path == "" {
		return schema.DefaultLimits(), nil
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return schema.Limits{}, err
	}
	l, err := schema.ReadLimits(data, path)
	if err != nil {
		return l, inputError("'swardline check --explain limits' lists every limit with its default", "%w", err)
	}
	return l, nil
}

// loadPlan reads one plan.
func loadPlan(path string, r readFlags, l schema.Limits, s streams) (*schema.Plan, []wire.Warning, error) {
	opts, err := readOptions(path, r, l, s)
	if err != nil {
		return nil, nil, err
	}
	if path == "-" {
		return convert.ReadFrom(s.in, opts)
	}
	return convert.ReadFile(path, opts)
}

// readForCheck reads one plan and holds a GeoJSON file against the schema of a
// plan: what it finds there are warnings, since a plan can be read all the same.
func readForCheck(data []byte, path string, opts convert.ReadOptions) (*schema.Plan, []wire.Warning, error) {
	p, warnings, err := convert.Read(data, opts)
	if err != nil || p.Source.Format != "geojson" {
		return p, warnings, err
	}
	faults, err := conform.Check(data)
	if err != nil {
		return nil, nil, &wire.InputError{File: path, Problem: err.Error()}
	}
	if len(faults) > 0 {
		f := faults[0]
		warnings = append(warnings, wire.Warning{Kind: "schema", Count: len(faults), Line: f.Line, Path: f.Path,
			Message: fmt.Sprintf("not as the schema of a plan has it: %s: %s", f.Path, f.Message)})
	}
	return p, warnings, nil
}

// readOptions puts together what the user told of an input, and what lies beside it.
func readOptions(path string, r readFlags, l schema.Limits, s streams) (convert.ReadOptions, error) {
	opts, _, err := readOptionsPRJ(path, r, l, s)
	return opts, err
}

// readOptionsPRJ is readOptions with the text of the .prj that was taken, "" for none.
func readOptionsPRJ(path string, r readFlags, l schema.Limits, s streams) (opts convert.ReadOptions, prj string, err error) {
	opts = convert.ReadOptions{ReadOptions: wire.ReadOptions{Name: path, Epoch: r.epoch, Columns: r.columns, Unit: r.units, ChordM: r.chord, Limits: l}}
	if r.format != "" {
		if opts.Format, err = formatArg("--read", r.format); err != nil {
			return opts, "", err
		}
	}
	if r.from != "" {
		if opts.CRS, err = crsArg("--from", r.from, nil); err != nil {
			return opts, "", err
		}
	} else if file, text, ok := besidePRJ(path); ok {
		var notes []string
		if opts.CRS, notes, err = crs.ParseWithNotes(text); err != nil {
			return opts, "", inputError("mend the .prj, or pass --from", "%s: %w", file, err)
		}
		tellNotes(s.err, file, notes)
		prj = text
	}
	return opts, prj, nil
}

// prjEndings are the endings of lists and drawings, which do not say their CRS.
var prjEndings = []string{".csv", ".tsv", ".txt", ".dxf"}

// besidePRJ returns the .prj that lies beside a list or a drawing, and its text.
func besidePRJ(path string) (prj, text string, ok bool) {
	if !slices.Contains(prjEndings, strings.ToLower(filepath.Ext(path))) {
		return "", "", false
	}
	prj = strings.TrimSuffix(path, filepath.Ext(path)) + ".prj"
	data, err := os.ReadFile(prj)
	return prj, string(data), err == nil
}

func tellNotes(w io.Writer, path string, notes []string) {
	for _, n := range notes {
		fmt.Fprintf(w, "%s: %s: note: %s\n", program, oneLine(path), oneLine(n))
	}
}

func formatArg(flag, name string) (string, error) {
	if convert.FormatByName(name) != nil {
		return name, nil
	}
	return "", usageError("the formats are "+formatList(), "%s: there is no format %q", flag, name)
}

// crsArg resolves what a flag names as a CRS: a code, a URN, a WKT file, or
// "site", the site grid of the plan.
func crsArg(flag, text string, p *schema.Plan) (*crs.CRS, error) {
	if text == "site" {
		return siteGridOf(flag, p)
	}
	if c, err := crs.Parse(text); err == nil {
		return c, nil
	} else if data, fileErr := os.ReadFile(text); fileErr == nil {
		c, err := crs.Parse(string(data))
		if err != nil {
			return nil, inputError("", "%s: %w", text, err)
		}
		return c, nil
	} else if !errors.Is(fileErr, fs.ErrNotExist) {
		return nil, fileErr
	} else {
		return nil, usageError("'swardline crs list WORD' finds codes; 'swardline crs near LAT,LON' ranks the grids of a place", "%s: %w", flag, err)
	}
}

// siteGridOf returns the plan's own site grid; a plan without one gets a plain
// one at its base: no rotation, scale 1, the base at 0, 0.
func siteGridOf(flag string, p *schema.Plan) (*crs.CRS, error) {
	if p == nil {
		return nil, usageError("name a code, such as EPSG:25832", "%s: 'site' has no meaning here", flag)
	}
	c, err := p.SiteGrid()
	if err != nil {
		return nil, usageError("give the plan a base, a member site_grid, or name a code", "%s site: %w", flag, err)
	}
	return c, nil
}

// tellWarnings prints what a reader took in stride.
func tellWarnings(w io.Writer, path string, warnings []wire.Warning) {
	for _, x := range warnings {
		at := path
		if x.Line > 0 {
			at = fmt.Sprintf("%s:%d", path, x.Line)
		}
		times := ""
		if x.Count > 1 {
			times = fmt.Sprintf(" (%d in all)", x.Count)
		}
		fmt.Fprintf(w, "%s: warning: %s: %s%s\n", program, oneLine(at), oneLine(x.Message), times)
	}
}
