// What needs no judgement, repaired and listed.

package job

import (
	"swardline/validate"
)

// MendOptions are the options of Mend.
type MendOptions struct {
	Reading
	Writing
	Source, Target string
}

// Mended is what Mend did.
type Mended struct {
	Converted
	Changes []validate.Change
}

// Mend reads Source and writes Target with what needs no judgement repaired.
func (j *Job) Mend(o *MendOptions) (*Mended, error) {
	limits, format, err := j.opening(&o.Reading, &o.Writing, o.Source, o.Target)
	if err != nil {
		return nil, err
	}
	p, err := j.plan(o.Source, &o.Reading, limits)
	if err != nil {
		return nil, err
	}
	mended, changes := validate.Mend(p)
	if err := validate.Verify(p, mended); err != nil {
		return nil, Fault("nothing was written", "%s: mending would change what it must not: %w", o.Source, err)
	}
	out := &Mended{Changes: changes}
	out.Converted, err = j.rewrite(mended, o.Target, format, o.Layout, limits)
	return out, err
}
