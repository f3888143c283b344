// Where the mast goes, in a sentence.

package validate

import (
	"fmt"
	"strings"

	"swardline/schema"
)

// Advice is what the look comes to for each base, a sentence each: where the
// mast goes and how high, with the figures of today's place and of that one. It
// takes the lowest mast that does it, today's place before another where its
// mast is no more than moveForM higher, and today's mast where none sees more.
func (r *SkyReport) Advice() []string {
	var out []string
	for i := range r.Points {
		if p := &r.Points[i]; p.Feature.Role == schema.RoleBase && p.View != nil {
			text, _ := r.adviceFor(p)
			out = append(out, text)
		}
	}
	return out
}

// Advised are the places on buildings that Advice sends masts to.
func (r *SkyReport) Advised() []*SkyPlace {
	var out []*SkyPlace
	for i := range r.Points {
		if p := &r.Points[i]; p.Feature.Role == schema.RoleBase && p.View != nil {
			if _, place := r.adviceFor(p); place != nil {
				out = append(out, place)
			}
		}
	}
	return out
}

const (
	// moveForM is how much less mast, in metres, is worth another place (common
	// practice, no source).
	moveForM = 1.0
	// gainPercent is the least gain in hidden sky that is worth the work
	// (common practice, no source).
	gainPercent = 1.0
)

func (r *SkyReport) adviceFor(p *SkyPoint) (string, *SkyPlace) {
	name := p.Feature.Label()
	if len(p.Unknown) > 0 {
		return fmt.Sprintf("Where the mast of base %s goes cannot be told before the height of %s is: %s.", name, strings.Join(p.Unknown, ", "), r.figures(p)), nil
	}
	if p.HiddenPercent < gainPercent {
		return fmt.Sprintf("The mast of base %s stays as it is, the antenna %.1f m above the ground: %s.", name, p.antenna, r.figures(p)), nil
	}
	var raise *MastAdvice
	for i := range r.Mast {
		if m := &r.Mast[i]; m.Base == p.Feature && m.HeightM == m.HeightM {
			raise = m
		}
	}
	var best *SkyPlace
	if len(r.Best) > 0 {
		best = &r.Best[0]
	}
	if best != nil && !(best.HiddenPercent < p.HiddenPercent-gainPercent) {
		best = nil
	}
	switch {
	case raise != nil && (best == nil || raise.HeightM-raise.NowM <= best.MastM+moveForM || best.HiddenPercent > leastHidden+gainPercent):
		return fmt.Sprintf("The mast of base %s stays where it stands, the antenna %.1f m above the ground instead of %.1f m: %s.",
			name, raise.HeightM, raise.NowM, p.against(raise.HiddenPercent, raise.Words)), nil
	case best != nil:
		return fmt.Sprintf("The mast of base %s goes on the %s side of %s, %.1f m above the roof (%.1f m above the ground): %s.",
			name, best.Side, best.Building.Label(), best.MastM, best.AntennaM, p.against(best.HiddenPercent, best.Words)), best
	case r.BestAsked && len(r.Best) > 0:
		return fmt.Sprintf("The mast of base %s stays where it stands, the antenna %.1f m above the ground: no place on a building sees more, and no mast of up to %g m more frees its sky; %s.",
			name, p.antenna, float64(MostMastM), r.figures(p)), nil
	case r.Measured:
		return fmt.Sprintf("The horizon was measured where base %s stands, so what a higher mast there would see cannot be computed: %s.", name, r.figures(p)), nil
	}
	return fmt.Sprintf("No mast of up to %g m more frees the sky of base %s where it stands; another place has to be looked for: %s.", float64(MostMastM), name, r.figures(p)), nil
}

func (r *SkyReport) figures(p *SkyPoint) string {
	return fmt.Sprintf("%.0f %% of its sky hidden, %s", p.HiddenPercent, p.Words)
}

// against tells the figures of another place, and those of this one.
func (p *SkyPoint) against(hidden float64, words string) string {
	if words == p.Words {
		return fmt.Sprintf("there %.0f %% of its sky is hidden and now %.0f %%; the satellites in sight are as good by the limits now, %s, so this is for the open sky alone", hidden, p.HiddenPercent, words)
	}
	return fmt.Sprintf("there %.0f %% of its sky is hidden, %s; now %.0f %% is hidden, %s", hidden, words, p.HiddenPercent, p.Words)
}
