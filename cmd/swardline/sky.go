// swardline sky: what the sky and the radio give a plan over a day.

package main

import (
	"github.com/spf13/cobra"

	"swardline/cmd/internal/job"
)

func newSkyCmd(s streams) *cobra.Command {
	o := &job.SkyOptions{}
	cmd := command("sky PLAN", skyWords, exactly(1, "a PLAN"))
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		o.Path = args[0]
		return s.run(nil, func(j *job.Job) error {
			done, err := j.Sky(o)
			if done == nil || done.Report.Report == nil {
				return err
			}
			return reported(err, fillWhole(s.out, 1<<16, done.Report.Text), done.Failed)
		})
	}
	f := cmd.Flags()
	readingFlags(f, &o.Reading)
	f.StringArrayVar(&o.Reports, "report", nil, "also write the report to `file`; its ending decides the form: .json, .txt, .svg (polar plots), .sarif, .xml (JUnit), .geojson or .csv")
	f.StringVar(&o.Almanac, "almanac", "", "`file` of orbits: YUMA, SEM or RINEX navigation")
	f.StringVar(&o.Date, "date", "", "day to look at with an almanac, `YYYY-MM-DD`; today when not given")
	f.StringVar(&o.Horizon, "horizon", "", "`file` with the horizon measured at the base: azimuth, elevation in degrees")
	f.StringVar(&o.Constellations, "constellations", "", "`list` of those that the receivers use: gps,galileo,glonass,beidou,qzss")
	f.Float64Var(&o.StepS, "step", 0, "`seconds` between the moments looked at; 300 when not given")
	f.BoolVar(&o.Best, "best-place", false, "look for places on buildings from which a base sees more")
	return cmd
}
