// The flag --roles: names become roles, and what matched what is told.

package main

import (
	"io"
	"os"

	"github.com/spf13/cobra"

	"swardline/convert/intake/roles"
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
	rules, err := roles.Read(data, r.roles)
	if err != nil {
		return nil, err
	}
	out, told := roles.Apply(p, rules)
	_, err = io.WriteString(s.err, printable(told.String()))
	return out, err
}
