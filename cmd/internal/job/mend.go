// What needs no judgement, repaired and listed.

package job

import (
	"swardline/convert"
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
	limits, err := j.limits(o.Limits)
	if err != nil {
		return nil, err
	}
	format, err := j.target(&o.Writing, o.Target)
	if err != nil {
		return nil, err
	}
	if err := j.apart(o.Source, o.Target); err != nil {
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
	// The system that KML and GPX need is theirs already, or is asked for in a
	// convert of its own: mending moves nothing.
	if format != p.Source.Format {
		if mended, err = j.moved(mended, "", 0, format, &Moving{}, limits); err != nil {
			return out, err
		}
	}
	c, err := j.write(mended, o.Target, format, convert.WriteOptions{Layout: o.Layout}, "", false)
	out.Converted = *c
	return out, err
}
