// swardline crs: the reference systems that are known, what one of them is, and
// which a local would use.

package main

import (
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/spf13/cobra"

	"swardline/crs"
)

func newCRSCmd(s streams) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "crs",
		Short: "list, show and find coordinate reference systems",
		Args:  exactly(0, "list, show or near"),
		RunE: func(cmd *cobra.Command, _ []string) error {
			return cmd.Help()
		},
	}
	cmd.AddCommand(
		&cobra.Command{
			Use:   "list [WORD...]",
			Short: "list the systems that have every word in code, name, area, datum or method",
			RunE: func(_ *cobra.Command, words []string) error {
				return runCRSList(s, words)
			},
		},
		newCRSShowCmd(s),
		newCRSNearCmd(s),
	)
	return cmd
}

func runCRSList(s streams, words []string) error {
	found := crs.List(words...)
	if len(found) == 0 {
		return usageError("fewer or other words; the names are the registry's", "no system has all of the words %q", strings.Join(words, " "))
	}
	return writeWhole("-", s, func(w io.Writer) error {
		for _, c := range found {
			if _, err := fmt.Fprintf(w, "%-12s %-48s %s\n", c.ID(), c.Name(), c.AreaName()); err != nil {
				return err
			}
		}
		return nil
	})
}

type crsShowOptions struct {
	streams streams
	name    string
	at      string
}

func newCRSShowCmd(s streams) *cobra.Command {
	o := &crsShowOptions{streams: s}
	cmd := &cobra.Command{
		Use:   "show CRS",
		Short: "show a system: parameters, area of use, axes, and scale and convergence at a place",
		Args:  exactly(1, "a CRS"),
		RunE: func(_ *cobra.Command, args []string) error {
			o.name = args[0]
			return runCRSShow(o)
		},
	}
	cmd.Flags().StringVar(&o.at, "at", "", "place for scale factor and convergence, `LAT,LON[,H]`")
	return cmd
}

func runCRSShow(o *crsShowOptions) error {
	c, err := crsArg("crs show", o.name, nil)
	if err != nil {
		return err
	}
	var at *crs.Geodetic
	if o.at != "" {
		g, err := latLonH("--at", o.at)
		if err != nil {
			return err
		}
		at = &g
	}
	return writeWhole("-", o.streams, func(w io.Writer) error {
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
		if c.NorthFirst() {
			fmt.Fprintf(w, "              the official order; swardline's own is always east or longitude first\n")
		}
		if west, south, east, north, ok := c.Area(); ok {
			fmt.Fprintf(w, "  area        %s\n              %g to %g north, %g to %g east\n", c.AreaName(), south, north, west, east)
		}
		if at == nil {
			return nil
		}
		return showAt(w, c, *at)
	})
}

// showAt prints what the projection does at a place.
func showAt(w io.Writer, c *crs.CRS, at crs.Geodetic) error {
	fmt.Fprintf(w, "  at          %.7f N %.7f E", float64(at.Lat), float64(at.Lon))
	if !c.Covers(at.Lon, at.Lat) {
		fmt.Fprintf(w, " (outside the area of use)")
	}
	fmt.Fprintln(w)
	if c.Kind() != crs.KindProjected && c.Kind() != crs.KindSite {
		return nil
	}
	flat := []float64{float64(at.Lon), float64(at.Lat)}
	if err := c.FromGeodetic(flat, 2); err != nil {
		return usageError("look at the area of use", "%w", err)
	}
	fmt.Fprintf(w, "  e, n        %.5f %.5f\n", flat[0], flat[1])
	k, convergence, err := c.ScaleAt(at)
	if err != nil {
		return usageError("", "%w", err)
	}
	fmt.Fprintf(w, "  scale       %.9f\n  convergence %+.6f degrees: grid north, clockwise from true north\n", k, convergence)
	if at.H == at.H {
		combined, err := c.CombinedFactorAt(at)
		if err != nil {
			return usageError("", "%w", err)
		}
		fmt.Fprintf(w, "  combined    %.9f at %g m: 100 m on the ground are %.4f on the grid\n", combined, float64(at.H), 100*combined)
	} else if !math.IsNaN(k) {
		fmt.Fprintf(w, "  grid length 100 m on the ellipsoid are %.4f on the grid; add a height to --at for the ground\n", 100*k)
	}
	return nil
}

func newCRSNearCmd(s streams) *cobra.Command {
	most := 0
	cmd := &cobra.Command{
		Use:   "near LAT,LON",
		Short: "rank the grids that a local would use at a place",
		Long: `near ranks the grids whose area of use holds the place, the most local first. For each
it gives the point scale factor, the convergence in degrees, and how well its datum
is tied to a present-day frame.`,
		Args: exactly(1, "LAT,LON"),
		RunE: func(_ *cobra.Command, args []string) error {
			g, err := latLonH("crs near", args[0])
			if err != nil {
				return err
			}
			found, err := crs.Near(g.Lat, g.Lon)
			if err != nil {
				return usageError("the order is latitude, longitude", "%w", err)
			}
			if len(found) == 0 {
				return usageError("the order is latitude, longitude", "no grid covers %s", args[0])
			}
			if most > 0 && len(found) > most {
				found = found[:most]
			}
			return writeWhole("-", s, func(w io.Writer) error {
				fmt.Fprintf(w, "%-12s %-36s %10s %11s %9s  %s\n", "code", "name", "scale", "convergence", "datum", "area")
				for _, x := range found {
					accuracy := "unknown"
					if x.Known {
						accuracy = fmt.Sprintf("%g m", float64(x.Accuracy))
					}
					if _, err := fmt.Fprintf(w, "%-12s %-36s %10.7f %+11.5f %9s  %s\n", x.CRS.ID(), x.CRS.Name(), x.Scale, x.Angle, accuracy, x.CRS.AreaName()); err != nil {
						return err
					}
				}
				return nil
			})
		},
	}
	cmd.Flags().IntVar(&most, "most", 12, "how many to show, 0 for all")
	return cmd
}
