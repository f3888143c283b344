// The flags that several commands share, bound to the options of the jobs.

package main

import (
	"strings"

	"github.com/spf13/pflag"

	"swardline/cmd/internal/job"
)

var formatList = strings.Join(job.Formats(), ", ")

func readingFlags(f *pflag.FlagSet, r *job.Reading) {
	f.Float64Var(&r.Epoch, "epoch", 0, "epoch of the coordinates as a decimal `year`, such as 2024.5")
	f.StringVar(&r.InFrame, "frame", "", "`frame` that the coordinates are in where they only say WGS 84, such as ETRS89, GDA2020 or NAD83(2011)")
	readingFlagsButEpoch(f, r)
}

// readingFlagsButEpoch is for commands where --epoch says something else.
func readingFlagsButEpoch(f *pflag.FlagSet, r *job.Reading) {
	f.StringVar(&r.From, "from", "", "`CRS` of the input where the file does not say, or says it wrong")
	f.StringVar(&r.Format, "read", "", "`format` of the input instead of finding it out: "+formatList)
	f.StringVar(&r.Encoding, "encoding", "", "`encoding` of a text that does not say its own, such as windows-1252, utf-16, gb18030 or shift_jis")
	f.StringVar(&r.Columns, "columns", "", "`columns` of a list without a header, such as PNEZD or id,n,e,h,code")
	f.StringVar(&r.LineCodes, "line-codes", "", "a crew's own `words` for line-work in a survey list, such as ST=START,EN=END,CL=CLOSE")
	f.Float64Var(&r.ChordM, "chord", 0, "how far in `metres` a chord may leave a drawing's curve; 0.005 when not given")
	f.StringVar(&r.Units, "units", "", "length `unit` of a drawing or list: m, mm, ft, ftUS or in")
	f.StringVar(&r.Roles, "roles", "", "`file` (YAML) of patterns that turn layers, names and codes into roles")
	f.StringVar(&r.Limits, "limits", "", "limits `file` (YAML)")
}

func movingFlags(f *pflag.FlagSet, m *job.Moving) {
	f.Float64Var(&m.AcceptAccuracyM, "accept-accuracy", 0, "worst accuracy of a datum step to live with, in `metres`; without it, the limit accuracy_m holds")
	f.BoolVar(&m.AllowUnknownAccuracy, "allow-unknown-accuracy", false, "take a step whose accuracy nobody states, or none where none is known")
	f.StringVar(&m.Plate, "plate", "", "tectonic `plate` under the site, such as EURA, where an epoch has to change")
	f.StringArrayVar(&m.GridShifts, "grid-shift", nil, "`file` of grid shifts (NTv2 .gsb or GeoTIFF), of a geoid (.gtx or GeoTIFF), or a deformation model's .json, or a folder of them, for the datum step; may be given more than once")
}

func writingFlags(f *pflag.FlagSet, w *job.Writing) {
	f.StringVar(&w.Format, "write", "", "`format` of the output instead of its ending: "+formatList)
	f.StringVar(&w.Layout, "layout", "", "`layout` of a CSV: wkt (a row a feature) or points (a row a point); of a GeoJSON sequence: lines or sequence (RFC 8142)")
}

func reportFlag(f *pflag.FlagSet, reports *[]string, what string) {
	f.StringArrayVar(reports, "report", nil, "also write "+what+" to `file`; its ending decides the form: .json, .txt, .sarif, .xml (JUnit), .geojson, .csv or .html; may be given more than once")
}
