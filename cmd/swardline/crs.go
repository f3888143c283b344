// swardline crs: the reference systems that are known, what one of them is, and
// which a local would use.

package main

import (
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/spf13/cobra"

	"swardline/cmd/internal/job"
	"swardline/crs"
)

func newCRSCmd(s streams) *cobra.Command {
	cmd := command("crs", crsWords, exactly(0, "list, show or near"))
	cmd.RunE = func(cmd *cobra.Command, _ []string) error { return cmd.Help() }

	list := command("list [WORD...]", crsListWords, nil)
	list.RunE = func(_ *cobra.Command, args []string) error {
		return s.run(nil, func(j *job.Job) error {
			found, err := j.ListSystems(args)
			if err != nil {
				return err
			}
			return fillWhole(s.out, 1<<16, func(w io.Writer) error {
				for _, c := range found {
					fmt.Fprintf(w, "%-12s %-48s %s\n", c.ID(), c.Name(), c.AreaName())
				}
				return nil
			})
		})
	}

	at := ""
	show := command("show CRS", crsShowWords, exactly(1, "a CRS"))
	show.RunE = func(_ *cobra.Command, args []string) error {
		return s.run(nil, func(j *job.Job) error {
			c, there, err := j.ShowSystem(args[0], at)
			if c == nil {
				return err
			}
			return reported(err, fillWhole(s.out, 1<<12, func(w io.Writer) error {
				showSystem(w, c)
				if there != nil {
					showAt(w, there)
				}
				return nil
			}), false)
		})
	}
	show.Flags().StringVar(&at, "at", "", "place for scale factor and convergence, `LAT,LON[,H]`")

	most := 0
	near := command("near LAT,LON", crsNearWords, exactly(1, "LAT,LON"))
	near.RunE = func(_ *cobra.Command, args []string) error {
		return s.run(nil, func(j *job.Job) error {
			found, err := j.NearSystems(args[0], most)
			if err != nil {
				return err
			}
			return fillWhole(s.out, 1<<12, func(w io.Writer) error {
				printNear(w, found)
				return nil
			})
		})
	}
	near.Flags().IntVar(&most, "most", 12, "how many to show, 0 for all")

	cmd.AddCommand(list, show, near)
	return cmd
}

func showSystem(w io.Writer, c *crs.CRS) {
	a, invF := c.Ellipsoid()
	fmt.Fprintf(w, "%s  %s\n", c.ID(), c.Name())
	if method, code := c.Method(); method != "" {
		fmt.Fprintf(w, "  method      %s (EPSG method %d), as %s\n", method, code, c.Conversion())
		for _, p := range c.Parameters() {
			fmt.Fprintf(w, "              %-36s %.12g %s\n", p.Name, p.Value, p.Unit)
		}
	}
	fmt.Fprintf(w, "  datum       %s", c.Datum())
	if e := c.EnsembleAccuracy(); e > 0 {
		fmt.Fprintf(w, " (an ensemble, good to %g m)", float64(e))
	}
	fmt.Fprintf(w, "\n  ellipsoid   %s, a = %.12g m, 1/f = %.12g\n", c.EllipsoidName(), a, invF)
	if pm, name := c.PrimeMeridian(); pm != 0 {
		fmt.Fprintf(w, "  meridian    %s, %.9g degrees east of Greenwich\n", name, float64(pm))
	}
	var axes []string
	for _, x := range c.Axes() {
		axes = append(axes, fmt.Sprintf("%s (%s, %s)", x.Name, x.Direction, x.Unit))
	}
	fmt.Fprintf(w, "  axes        %s\n", strings.Join(axes, ", "))
	if h := c.Heights(); h.Told() {
		fmt.Fprintf(w, "  heights     %s (%s)\n", h.Name(), h.ID())
	}
	if c.NorthFirst() {
		fmt.Fprintf(w, "              the official order; swardline's own is always east or longitude first\n")
	}
	if west, south, east, north, ok := c.Area(); ok {
		fmt.Fprintf(w, "  area        %s\n              %g to %g north, %g to %g east\n", c.AreaName(), south, north, west, east)
	}
}

// showAt prints what a projection does at a place.
func showAt(w io.Writer, at *job.SystemAt) {
	fmt.Fprintf(w, "  at          %.7f N %.7f E, on the system's own datum", float64(at.Place.Lat), float64(at.Place.Lon))
	if !at.Covered {
		fmt.Fprintf(w, " (outside the area of use)")
	}
	fmt.Fprintln(w)
	if !at.Plane {
		return
	}
	fmt.Fprintf(w, "  e, n        %.5f %.5f\n", at.E, at.N)
	fmt.Fprintf(w, "  scale       %.9f\n  convergence %+.6f degrees: grid north, clockwise from true north\n", at.Scale, at.Turn)
	switch h := float64(at.Place.H); {
	case !math.IsNaN(h):
		fmt.Fprintf(w, "  combined    %.9f at %g m: 100 m on the ground are %.4f on the grid\n", at.Combined, h, 100*at.Combined)
	case !math.IsNaN(at.Scale):
		fmt.Fprintf(w, "  grid length 100 m on the ellipsoid are %.4f on the grid; add a height to --at for the ground\n", 100*at.Scale)
	}
	if at.Stretch.Notable() {
		fmt.Fprintf(w, "  caution     no grid to measure on: here %s\n", at.Stretch)
	}
}

func printNear(w io.Writer, found []crs.Suggestion) {
	fmt.Fprintf(w, "%-12s %-36s %10s %11s %9s  %s\n", "code", "name", "scale", "convergence", "datum", "why it stands here; area")
	for _, x := range found {
		accuracy := "unknown"
		if x.Known {
			accuracy = fmt.Sprintf("%g m", float64(x.Accuracy))
		}
		fmt.Fprintf(w, "%-12s %-36s %10.7f %+11.5f %9s  %s; %s\n", x.CRS.ID(), x.CRS.Name(), x.Scale, x.Angle, accuracy, x.Why, x.CRS.AreaName())
	}
}
