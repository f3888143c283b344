// When the long runs are asked for.

package randplan

import (
	"os"
	"testing"
)

// Long reports whether tests are to try all they can: SWARDLINE_LONG=1 was set,
// and not -short. Without it a property is tried on as many plans as a minute
// and a half for all tests together allows.
func Long() bool { return os.Getenv("SWARDLINE_LONG") != "" && !testing.Short() }
