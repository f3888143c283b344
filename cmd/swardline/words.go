// Every fixed word the user sees, in one place.
//
// Rules: sentences start small after the program's name and end without a full
// stop; a figure has its unit; a hint says what to type; nothing is ever called
// safe.

package main

const (
	program = "swardline"
	version = "0.1.0"

	rootShort = "read, place, prove, hand over and keep true the site plans of machine-mown ground"
	rootLong  = `swardline reads site plans of machine-mown ground from any of its formats, puts
them on the ground, proves them against rules and limits, hands them over in the
format and grid that is asked for, and says what happens when the base moves.

` + caution + `

Exit status: 0 done, nothing at or above the threshold; 1 findings at or above
it, or loss under --strict; 2 wrong usage; 3 an input could not be read or an
output not be written.`

	caution = `Blades, children and animals, water, roads, slopes, mains electricity and work at
height can hurt people. What swardline prints is a check of drawings against
stated limits. Local codes, the machine's own manual and licensed trades decide;
walk the ground before a machine drives it.`

	hintNoFile       = "look at the spelling of the path; nothing was written"
	hintNoPermission = "the file's permissions do not allow it; nothing was written"
	hintDiskFull     = "the disk is full; the old file, if any, stands as it was"
)
