// swardline mend: repair what needs no judgement, and list each change.

package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"swardline/convert"
	"swardline/validate"
)

type mendOptions struct {
	readFlags
	streams  streams
	src, dst string
	write    string
	layout   string
	limits   string
}

func newMendCmd(s streams, run func(*mendOptions) error) *cobra.Command {
	o := &mendOptions{streams: s}
	cmd := &cobra.Command{
		Use:   "mend SRC DST",
		Short: "repair what needs no judgement: open rings, repeated points, spikes, ring order",
		Long: `mend closes rings, drops repeated points and spikes, and turns rings the right way
round, and lists each change with its feature, place and area before and after.
Nothing else is touched; a second run changes nothing.`,
		Args: exactly(2, "SRC and DST"),
		RunE: func(_ *cobra.Command, args []string) error {
			o.src, o.dst = args[0], args[1]
			return run(o)
		},
	}
	o.readFlags.add(cmd)
	f := cmd.Flags()
	f.StringVar(&o.write, "write", "", "`format` of the output instead of its ending: "+formatList())
	f.StringVar(&o.layout, "layout", "", "`layout` of a CSV: wkt or points")
	f.StringVar(&o.limits, "limits", "", "limits `file` (YAML)")
	return cmd
}

func runMend(o *mendOptions) error {
	limits, err := loadLimits(o.limits)
	if err != nil {
		return err
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
	mended, changes := validate.Mend(p)
	if err := validate.Verify(p, mended); err != nil {
		return inputError("nothing was written", "%s: mending would change what it must not: %w", o.src, err)
	}
	tell := o.streams.out
	if o.dst == "-" {
		tell = o.streams.err
	}
	for _, c := range changes {
		fmt.Fprintln(tell, oneLine(changeLine(c)))
	}
	if len(changes) == 0 {
		fmt.Fprintln(tell, "nothing to mend")
	}
	// The format that KML and GPX need is theirs already, or the user says --to
	// in a convert of its own: mending moves nothing.
	if convert.FormatByName(format).WGS84Only && format != p.Source.Format {
		if mended, err = moveTo(mended, "", 0, format, placeFlags{}, limits, o.streams); err != nil {
			return err
		}
	}
	return writePlan(mended, o.dst, format, convert.WriteOptions{Layout: o.layout}, "", false, o.streams)
}

// changeLine says what was done to which feature, where, and what that did to its
// area.
func changeLine(c validate.Change) string {
	line := fmt.Sprintf("%s: %s %s: %s", c.Rule, c.Feature.Role, c.Feature.Label(), c.Message)
	if c.At != nil && c.At.Lon != nil && c.At.Lat != nil {
		line += fmt.Sprintf(" at %.7f N %.7f E", *c.At.Lat, *c.At.Lon)
	} else if c.At != nil && c.At.E != nil && c.At.N != nil {
		line += fmt.Sprintf(" at e %.3f n %.3f", *c.At.E, *c.At.N)
	}
	if c.BeforeM2 == c.BeforeM2 && c.AfterM2 == c.AfterM2 {
		line += fmt.Sprintf("; area %.3f m2 before, %.3f m2 after", c.BeforeM2, c.AfterM2)
	}
	return line
}
