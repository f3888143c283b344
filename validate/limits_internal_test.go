// Which limits of features are read, against the table of limits.

package validate

import (
	"slices"
	"testing"

	"swardline/schema"
)

// TestLimitReaders: every limit of a feature is read of some role or held to be
// of none, and nothing else is named.
func TestLimitReaders(t *testing.T) {
	none := append(slices.Clone(notOfPlans), "max_zones", "driven_fixed_percent", "residual_m")
	for _, d := range schema.LimitTable {
		if (len(limitReaders()[d.Key]) > 0) == slices.Contains(none, d.Key) {
			t.Errorf("%s is read of %v", d.Key, limitReaders()[d.Key])
		}
	}
	for key := range limitReaders() {
		if !slices.ContainsFunc(schema.LimitTable, func(d schema.Limit) bool { return d.Key == key }) {
			t.Errorf("there is no limit %s", key)
		}
	}
}
