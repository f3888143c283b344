// Quality columns: what a receiver or an adjustment says of each position, and
// which positions are poor by it.

package csv

import (
	"fmt"
	"strings"
	"sync"

	"swardline/convert/wire"
	"swardline/schema"
)

// Words in headers of quality columns, folded, and what receivers call a
// position that is not fixed (common practice, no source; the numbers are those
// of NMEA 0183, sentence GGA: 4 is fixed).
var (
	fixHeaders = sync.OnceValue(func() map[string]bool {
		return wordSet("fix fix_type fixtype fix_quality fix_status solution solution_type solution_status sol_type sol_status gnss_fix gnss_fix_type gnss_quality rtk_status rtk_fix" +
			" position_type pos_type position_quality quality quality_indicator status_fix")
	})
	// In words; the other words of such a cell (RTK, L1, narrow, solution) say
	// nothing about it.
	poorWords = sync.OnceValue(func() map[string]bool {
		return wordSet("float floating single autonomous auto navigated spp standalone stand dgps dgnss dgnsss diff differential code sbas waas egnos msas gagan none nofix notfixed unfixed invalid" +
			" estimated dead ppp 2d 3d spt dgpsfix gpsfix")
	})
	poorNumbers = sync.OnceValue(func() map[string]bool {
		return wordSet("0 1 2 3 5 6 7 8")
	})

	// sigmaWords are what is left of a header when axes and units are off it.
	sigmaWords = sync.OnceValue(func() map[string]bool {
		return wordSet("sigma sig std stdev std_dev stddev standard_deviation standardabweichung genauigkeit lagegenauigkeit hohengenauigkeit noyaktighet nojagtighed nauwkeurigheid precisione sd se std_err std_error stderr standard_error rms rmse rmsd cq acc accuracy prec precision" +
			" hrms vrms hacc vacc sde sdn sdu sdh sdx sdy sdz sdlat sdlon cq1d cq2d cq3d stde stdn stdu stdh std_err_e ecart_type")
	})
	axisWords = sync.OnceValue(func() map[string]bool {
		return wordSet("e n u h z x y lat lon latitude longitude east north up height easting northing elevation en ne xy 1d 2d 3d hz horizontal vertical horz vert hor ver horiz v plan pos position" +
			" point coord coordinate gnss rtk gps ellipsoidal orthometric lage")
	})
)

func wordSet(list string) map[string]bool {
	out := map[string]bool{}
	for _, word := range strings.Fields(list) {
		out[word] = true
	}
	return out
}

// stripAsides folds a header and takes the words for units off it.
func stripAsides(header string) string {
	var rest []string
	for _, token := range strings.Split(wire.Fold(header), "_") {
		if !asides()[token] || token == "rtk" || token == "gnss" {
			rest = append(rest, token)
		}
	}
	return strings.Join(rest, "_")
}

// isSigma reports whether a header names a standard error or an accuracy that
// is a length.
func isSigma(header string) bool {
	// The Greek letter by which instruments abbreviate it.
	header = strings.NewReplacer("σ", "sigma ", "Σ", "sigma ").Replace(header)
	var rest []string
	for _, token := range strings.Split(stripAsides(header), "_") {
		if !axisWords()[token] {
			rest = append(rest, token)
		}
	}
	word := strings.TrimSuffix(strings.Join(rest, "_"), "s")
	return sigmaWords()[word] || sigmaWords()[strings.Join(rest, "_")]
}

// poorFix reports whether a receiver's word or number for a solution is
// anything less than fixed ambiguities.
func poorFix(text string) bool {
	folded := wire.Fold(text)
	if number := strings.TrimSuffix(folded, "_0"); strings.Trim(number, "0123456789") == "" {
		return poorNumbers()[number]
	}
	negated := false
	for _, word := range strings.Split(folded, "_") {
		switch {
		case poorWords()[word], negated && strings.HasPrefix(word, "fix"):
			return true
		}
		negated = word == "no" || word == "not"
	}
	return folded == "no"
}

// doubt is a position that its own file calls poor.
type doubt struct {
	label string
	line  int
	why   string
}

// doubts are positions that their own file calls poor: the first by name, the
// others by number.
type doubts struct {
	first []doubt
	n     int
}

// mostDoubts is how many are named.
const mostDoubts = 10

func (d *doubts) add(f *schema.Feature, line int, format string, args ...any) {
	if d.n++; d.n <= mostDoubts {
		d.first = append(d.first, doubt{f.Label(), line, fmt.Sprintf(format, args...)})
	}
}

func (d *doubts) String() string {
	var parts []string
	for _, one := range d.first {
		parts = append(parts, fmt.Sprintf("%s (%s)", one.label, one.why))
	}
	if d.n > mostDoubts {
		parts = append(parts, fmt.Sprintf("and %d more", d.n-mostDoubts))
	}
	return strings.Join(parts, ", ")
}

// checkQuality notes what the row says of its position, when that is poor.
func (r *reader) checkQuality(f *schema.Feature) {
	for i := range r.lay.columns {
		c := &r.lay.columns[i]
		if c.kind != colAttribute || len(r.cells[i].text) == 0 {
			continue
		}
		if c.quality == qualityUnknown {
			switch {
			case fixHeaders()[stripAsides(c.header)]:
				c.quality = qualityFix
			case isSigma(c.header):
				c.quality = qualitySigma
			default:
				c.quality = qualityNone
			}
		}
		text := r.cells[i].text
		switch c.quality {
		case qualityFix:
			if poorFix(string(text)) {
				r.poorFixes.add(f, r.line, "%q in column %q", wire.Clip(text, 40), c.header)
			}
		case qualitySigma:
			v, ok := r.manner.number(text)
			if unit := headerUnit(c.header); unit != "" {
				v *= metresOf(unit)
			} else {
				v *= r.heightScale
			}
			if ok && v > r.caps.AccuracyM {
				r.largeSigmas.add(f, r.line, "%.3g m, column %q", v, c.header)
			}
		}
	}
}

// sayQuality warns of the poor positions by name.
func (r *reader) sayQuality() {
	if d := &r.poorFixes; d.n > 0 {
		r.tally.AddN("fix-poor", d.n, d.first[0].line, "", "positions without a fixed solution: %s", d)
	}
	if d := &r.largeSigmas; d.n > 0 {
		r.tally.AddN("sigma-large", d.n, d.first[0].line, "", "positions worse than the limit accuracy_m of %g m: %s", r.caps.AccuracyM, d)
	}
}
