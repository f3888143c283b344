// The flag --roles: names become roles, and what matched what is told.

package main

import (
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"swardline/convert/rolemap"
	"swardline/schema"
)

// roleFlags say how names become roles.
type roleFlags struct{ roles string }

func (r *roleFlags) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&r.roles, "roles", "", "`file` (YAML) of patterns that turn layers, names and codes into roles")
}

// apply gives the plan with the roles that the file says, and tells on standard
// error what matched and what did not; without a file it gives p.
func (r *roleFlags) apply(p *schema.Plan, s streams) (*schema.Plan, error) {
	if r.roles == "" {
		return p, nil
	}
	data, err := os.ReadFile(r.roles)
	if err != nil {
		return nil, err
	}
	rules, err := rolemap.Read(data, r.roles)
	if err != nil {
		return nil, err
	}
	out, told := rolemap.Apply(p, rules)
	tellRoles(s.err, r.roles, &told)
	return out, nil
}

func tellRoles(w io.Writer, file string, r *rolemap.Report) {
	for _, x := range r.Rules {
		what := string(x.Rule.Role)
		if x.Rule.LeaveOut {
			what = "left out"
		}
		line := fmt.Sprintf("%s:%d: %s: %d", file, x.Rule.Line, what, x.Matched)
		var parts []string
		for _, part := range []struct {
			n    int
			word string
		}{{x.Closed, "lines closed"}, {x.Pieces, "pieces joined"}, {x.Rings, "rings made of them"}, {x.Lines, "longer lines"},
			{x.Repeated, "drawn twice"}, {x.Holes, "holes"}, {x.Named, "named"}} {
			if part.n > 0 {
				parts = append(parts, fmt.Sprintf("%d %s", part.n, part.word))
			}
		}
		if len(parts) > 0 {
			line += " (" + strings.Join(parts, ", ") + ")"
		}
		fmt.Fprintf(w, "%s: %s\n", program, oneLine(line))
	}
	for _, g := range r.Unmatched {
		fmt.Fprintf(w, "%s: matched by no rule, kept as other: %s\n", program, oneLine(fmt.Sprintf("%d %s on layer %q (%s), such as %s", g.Count, g.Geometry, g.Layer, g.Entity, g.Example)))
	}
	for _, g := range r.Gaps {
		fmt.Fprintf(w, "%s: warning: %s\n", program, oneLine(fmt.Sprintf("the outline %s on layer %q stays open: a gap of %.3f m from %.3f %.3f to %.3f %.3f",
			g.Label, g.Layer, g.SizeM, g.From[0], g.From[1], g.To[0], g.To[1])))
	}
	for _, j := range r.Junctions {
		fmt.Fprintf(w, "%s: warning: %s\n", program, oneLine(fmt.Sprintf("%d pieces on layer %q meet at %.3f %.3f; which to join is not for a program to say", j.Count, j.Layer, j.E, j.N)))
	}
	for _, c := range r.Crossings {
		fmt.Fprintf(w, "%s: warning: %s\n", program, oneLine(c))
	}
	for _, n := range r.Notes {
		fmt.Fprintf(w, "%s: %s\n", program, oneLine(n))
	}
}
