// swardline convert: any format and grid to any other, with its losses told.

package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"

	"github.com/spf13/cobra"

	"swardline/convert"
	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

type convertOptions struct {
	readFlags
	streams  streams
	src, dst string
	to       string
	toEpoch  float64
	write    string
	layout   string
	outUnits string
	offset   string
	strict   bool
	lossFile string
	limits   string
	look     bool
	near     string
	placeFlags
	roleFlags
}

// placeFlags say what the user lives with when coordinates are moved.
type placeFlags struct {
	acceptAccuracy float64
	ballpark       bool
	grids          []string
	plate          string
}

func (p *placeFlags) add(cmd *cobra.Command) {
	cmd.Flags().Float64Var(&p.acceptAccuracy, "accept-accuracy", 0, "worst accuracy of a datum step to live with, in `metres`; without it, the limit accuracy_m holds")
	cmd.Flags().BoolVar(&p.ballpark, "allow-ballpark", false, "take a step whose accuracy nobody states, or none where none is known")
	cmd.Flags().StringVar(&p.plate, "plate", "", "tectonic `plate` under the site, such as EURA, where an epoch has to change")
	cmd.Flags().StringArrayVar(&p.grids, "grid-shift", nil, "grid shift `file` (NTv2 .gsb or GeoTIFF), or a folder of them, for the datum step; may be given more than once")
}

func newConvertCmd(s streams, run func(*convertOptions) error) *cobra.Command {
	o := &convertOptions{streams: s}
	cmd := &cobra.Command{
		Use:   "convert SRC DST",
		Short: "convert a plan to another format or grid, and say what was lost",
		Long: `convert reads SRC and writes DST. The format of SRC is found by its content, that
of DST by its ending; '-' is standard input or output. With --to the coordinates
move to another CRS; the operation and its accuracy are printed. KML and GPX hold
WGS 84 only, so --to is not needed for them.

What the target cannot hold is printed by kind and count. Under --strict any
loss ends with status 1 and nothing is written.

With --look nothing is converted: layers, entities, extents, units, likely roles and
the grids that the numbers fit are listed, so that one knows what to tell a convert or
a place.`,
		Args: func(cmd *cobra.Command, args []string) error {
			if o.look {
				return exactly(1, "one SRC with --look")(cmd, args)
			}
			return exactly(2, "SRC and DST")(cmd, args)
		},
		RunE: func(_ *cobra.Command, args []string) error {
			o.src = args[0]
			if len(args) > 1 {
				o.dst = args[1]
			}
			return run(o)
		},
	}
	o.readFlags.add(cmd)
	o.placeFlags.add(cmd)
	o.roleFlags.add(cmd)
	f := cmd.Flags()
	f.StringVar(&o.to, "to", "", "`CRS` of the output: EPSG:25832, an OGC URN, OGC:CRS84, a WKT file, or site")
	f.Float64Var(&o.toEpoch, "to-epoch", 0, "epoch of the output's coordinates as a decimal `year`")
	f.StringVar(&o.write, "write", "", "`format` of the output instead of its ending: "+formatList())
	f.StringVar(&o.layout, "layout", "", "`layout` of a CSV: wkt (a row a feature) or points (a row a vertex)")
	f.StringVar(&o.outUnits, "write-units", "", "length `unit` of a written drawing: m, mm, ft, ftUS or in")
	f.StringVar(&o.offset, "write-offset", "", "take `E,N` in metres off the coordinates of a written drawing, and declare it in it")
	f.BoolVar(&o.strict, "strict", false, "end with status 1 and write nothing when anything would be lost")
	f.StringVar(&o.lossFile, "loss", "", "write the loss report as JSON to `file`")
	f.StringVar(&o.limits, "limits", "", "limits `file` (YAML)")
	f.BoolVar(&o.look, "look", false, "list what is in SRC instead of converting it")
	f.StringVar(&o.near, "near", "", "with --look: a place by the site, `LAT,LON`, that narrows the grids down")
	return cmd
}

func runConvert(o *convertOptions) error {
	limits, err := loadLimits(o.limits)
	if err != nil {
		return err
	}
	if o.look {
		return runLook(o, limits)
	}
	switch o.layout {
	case "", "wkt", "points":
	default:
		return usageError("", "--layout is wkt or points, not %q", o.layout)
	}
	format, err := targetFormat(o.write, o.dst)
	if err != nil {
		return err
	}
	p, warnings, err := loadPlan(o.src, o.readFlags, limits, o.streams)
	if err != nil {
		return err
	}
	tellWarnings(o.streams.err, o.src, warnings)
	// The bytes of the file are done with, and so are coordinates that were moved.
	// The collector would let as much again pile up beside them while writing.
	runtime.GC()
	if p, err = o.roleFlags.apply(p, o.streams); err != nil {
		return err
	}
	read := p
	if p, err = moveTo(p, o.to, o.toEpoch, format, o.placeFlags, limits, o.streams); err != nil {
		return err
	}
	if p != read {
		runtime.GC()
	}
	opts := convert.WriteOptions{Layout: o.layout, Unit: o.outUnits}
	if o.offset != "" {
		v, err := numbers("--write-offset", o.offset, 2, 2)
		if err != nil {
			return err
		}
		opts.Offset = &[2]float64{v[0], v[1]}
	}
	return writePlan(p, o.dst, format, opts, o.lossFile, o.strict, o.streams)
}

// targetFormat finds the format of an output by flag, then by ending.
func targetFormat(flag, dst string) (string, error) {
	if flag != "" {
		return formatArg("--write", flag)
	}
	if dst == "-" {
		return "", usageError("the formats are "+formatList(), "writing to standard output needs --write FORMAT")
	}
	f := convert.FormatByEnding(dst)
	if f == nil {
		return "", usageError("name a format with --write: "+formatList(), "%s: the ending %q names no format", dst, filepath.Ext(dst))
	}
	return f.Name, nil
}

// moveTo gives the plan in the coordinates that the flag or the format asks for.
func moveTo(p *schema.Plan, to string, toEpoch float64, format string, pf placeFlags, l schema.Limits, s streams) (*schema.Plan, error) {
	target := p.CRS
	switch {
	case to != "":
		var err error
		if target, err = crsArg("--to", to, p); err != nil {
			return nil, err
		}
	case convert.FormatByName(format).WGS84Only:
		target = crs.WGS84()
	}
	if p.CRS == nil && target != nil {
		return nil, usageError("pass --from CRS, or place the drawing on marks with 'swardline place'",
			"%s: the file does not say which CRS its coordinates are in", p.Source.File)
	}
	if target == nil || target.Equal(p.CRS) && (toEpoch == 0 || toEpoch == p.Epoch) {
		return p, nil
	}
	if p.JudgeAxes() == crs.AxesSwapped {
		return nil, inputError("swap the columns or name them, or say with --from what they are in",
			"%s: the coordinates lie in the area of %s only with east and north swapped", p.Source.File, p.CRS.ID())
	}
	warnOutside(s.err, p)
	op, err := operation(p, target, toEpoch, pf, l)
	if err != nil {
		return nil, err
	}
	tellOperation(s.err, op)
	moved, err := p.Transform(op)
	if err != nil {
		return nil, inputError("look at that vertex, and at the CRS that the file is said to be in", "%s: %w", p.Source.File, err)
	}
	warnOutside(s.err, moved)
	return moved, nil
}

// warnOutside tells of vertices outside the area of use of the plan's CRS, where
// its accuracy is nobody's promise.
func warnOutside(w io.Writer, p *schema.Plan) {
	if n, f := p.OutsideArea(); n > 0 {
		fmt.Fprintf(w, "%s: warning: %d vertices lie outside the area of use of %s (%s), first in %s\n",
			program, n, p.CRS.ID(), oneLine(p.CRS.AreaName()), oneLine(f.Label()))
	}
}

// operation finds the coordinate operation for a plan, refusing one that is
// worse than the user or the limits live with.
func operation(p *schema.Plan, to *crs.CRS, toEpoch float64, pf placeFlags, l schema.Limits) (*crs.Operation, error) {
	accept := crs.Metres(pf.acceptAccuracy)
	if accept == 0 && !pf.ballpark {
		accept = crs.Metres(l.AccuracyM)
	}
	grids, err := loadGridShifts(pf.grids)
	if err != nil {
		return nil, err
	}
	op, err := crs.NewOperation(p.CRS, to, crs.OperationOptions{
		FromEpoch: p.Epoch, ToEpoch: toEpoch, Near: p.Somewhere(), AcceptAccuracy: accept,
		AllowBallpark: pf.ballpark, Grids: grids, Plate: pf.plate,
	})
	if err != nil {
		return nil, usageError("--accept-accuracy METRES takes a worse step, if the job bears it", "%s to %s: %w", p.CRS.ID(), to.ID(), err)
	}
	return op, nil
}

// loadGridShifts reads the grid-shift files that flags name.
func loadGridShifts(paths []string) ([]*crs.GridShift, error) {
	var out []*crs.GridShift
	files, err := gridFiles(paths)
	if err != nil {
		return nil, err
	}
	for _, path := range files {
		data, err := os.ReadFile(path)
		if err != nil {
			return nil, err
		}
		g, err := crs.ReadGridShift(data, path)
		if err != nil {
			return nil, inputError("", "%w", err)
		}
		out = append(out, g)
	}
	return out, nil
}

// gridFiles replaces folders by the grid-shift files in them.
func gridFiles(paths []string) ([]string, error) {
	var out []string
	for _, path := range paths {
		info, err := os.Stat(path)
		if err != nil {
			return nil, err
		}
		if !info.IsDir() {
			out = append(out, path)
			continue
		}
		for _, pattern := range []string{"*.gsb", "*.GSB", "*.tif"} {
			found, err := filepath.Glob(filepath.Join(path, pattern))
			if err != nil {
				return nil, err
			}
			out = append(out, found...)
		}
	}
	return out, nil
}

// tellOperation prints how coordinates are moved, and how well that is known.
func tellOperation(w io.Writer, op *crs.Operation) {
	steps := op.Steps()
	if len(steps) == 0 {
		fmt.Fprintf(w, "%s: %s to %s: one datum, exact\n", program, op.From().ID(), op.To().ID())
		return
	}
	fmt.Fprintf(w, "%s: %s to %s\n", program, op.From().ID(), op.To().ID())
	for _, s := range steps {
		fmt.Fprintf(w, "%s:   %s\n", program, oneLine(s.String()))
	}
	if a, known := op.Accuracy(); known {
		fmt.Fprintf(w, "%s:   accuracy in all %g m\n", program, float64(a))
	} else {
		fmt.Fprintf(w, "%s:   accuracy in all not known\n", program)
	}
	for _, n := range op.Notes() {
		fmt.Fprintf(w, "%s:   note: %s\n", program, oneLine(n))
	}
}

// writePlan writes the plan and tells what the format could not hold.
func writePlan(p *schema.Plan, dst string, format string, opts convert.WriteOptions, lossFile string, strict bool, s streams) error {
	var losses []wire.Loss
	err := writeWhole(dst, s, func(w io.Writer) error {
		var whole bytes.Buffer
		out := w
		if strict && dst == "-" {
			out = &whole // what has gone down a pipe cannot be taken back
		}
		var err error
		if losses, err = convert.Write(out, p, format, opts); err != nil {
			return err
		}
		if strict && len(losses) > 0 {
			return errFindings // the temporary file is dropped
		}
		_, err = whole.WriteTo(w)
		return err
	})
	for _, x := range losses {
		fmt.Fprintf(s.err, "%s: lost: %s (%d): %s\n", program, x.Kind, x.Count, oneLine(x.Message))
	}
	if lossFile != "" {
		lossErr := writeWhole(lossFile, s, func(w io.Writer) error {
			e := json.NewEncoder(w)
			e.SetIndent("", "  ")
			if losses == nil {
				losses = []wire.Loss{}
			}
			return e.Encode(struct {
				Format string      `json:"format"`
				Losses []wire.Loss `json:"losses"`
			}{format, losses})
		})
		if err == nil {
			err = lossErr
		}
	}
	return err
}
