// The register's columns that logs fill, and that a check keeps.

package job

import (
	"errors"
	"io/fs"

	"swardline/convert/wire"
	"swardline/validate/report"
)

// drivenBefore gives what logs filled in the register that is about to be
// written anew; nil when there is none there. Rows whose plans are not among
// those checked go, as they ever did, and are told when logs were in them.
func (j *Job) drivenBefore(name string, set *report.Set) map[string]map[string]string {
	if name == "-" {
		return nil
	}
	data, err := j.Store.Read(name, settingsBytes)
	if err != nil {
		return nil
	}
	r, err := report.ReadRegister(data)
	if err != nil {
		return nil
	}
	driven := r.Driven()
	kept := 0
	for i := range set.Plans {
		if driven[set.Plans[i].RegisterPath()] != nil {
			kept++
		}
	}
	if n := len(driven) - kept; n > 0 {
		j.note(NoteWarning, name, "what logs showed of %d plans that were not checked now is not in the register any more", n)
	}
	return driven
}

// enterDriven puts what logs show of a plan into a register, a new one when it
// is not there.
func (j *Job) enterDriven(name string, d *report.Driven) error {
	r := report.NewRegister()
	data, err := j.settings(name)
	switch {
	case err == nil:
		if r, err = report.ReadRegister(data); err != nil {
			return &wire.InputError{File: name, Problem: err.Error(), Mend: "name the file that " + j.command("check") + " " + j.option("register") + " wrote, or one that is not there yet"}
		}
	case !errors.Is(err, fs.ErrNotExist):
		return err
	}
	if later := r.Enter(d); later != "" {
		j.note(NoteWarning, name, "%s was driven later, on %s; its row is left as it is", d.Path, later)
		return nil
	}
	return j.Store.Write(name, r.Write)
}
