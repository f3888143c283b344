// The track of a report, in the runs in which it is drawn.

package report

import "swardline/validate"

// TrailRuns are the pieces of a track that are drawn with one stroke. The last
// point of one is the first of the next where only the quality changes.
func TrailRuns(trail []validate.TrailPoint) [][]validate.TrailPoint {
	var out [][]validate.TrailPoint
	for i := 0; i+1 < len(trail); {
		k, changed := i+1, false
		for k < len(trail) && !trail[k-1].Ends && !changed {
			changed = trail[k].Class != trail[i].Class
			k++
		}
		if k-i > 1 {
			out = append(out, trail[i:k])
		}
		if changed {
			k--
		}
		i = k
	}
	return out
}

// RunClass is the quality of a run: that of its first point.
func RunClass(run []validate.TrailPoint) validate.TrackClass { return run[0].Class }
