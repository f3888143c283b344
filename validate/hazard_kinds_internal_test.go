// The words of hazard_kind and the kinds that they stand for.

package validate

import (
	"strings"
	"testing"

	"swardline/schema"
)

func kindOf(value schema.Value) hazardKinds {
	return kindsOf(&Feature{Feature: &schema.Feature{Attributes: schema.Attributes{{Key: schema.PropHazardKind, Value: value}}}})
}

// TestHazardKindsOpen: what may be graver than its word tells, and what not.
func TestHazardKindsOpen(t *testing.T) {
	for words, open := range map[string]bool{
		"": true, "harbr": true, "pnd": true, "dock edge": true, "zzz": true, "large": true, "3": true, "rock face": true, "tree harbr": true, "wall": true,
		"harbour": false, "car park": false, "Car-Park": false, "bike path": false, "ha-ha": false, "sinkhole": false, "trench": false, "retaining wall": false,
		"quarry": false, "pond xyz": false, "bench": false, "Large rock": false, "lamp post": false, "Lamp-post 3": false, "old stone bench": false,
		"play equipment": false, "oak tree": false, "Strauch": false, "banc": false, "roca": false, "lantaarnpaal": false, "panchina": false, "bænk": false, "kivi": false,
	} {
		if k := kindOf(schema.String(words)); k.open != open || k.grave() != (open || hazardRank[k.gravest] > 1) || (k.unclear() != "") != open {
			t.Errorf("%q: %+v", words, k)
		}
	}
	for words, grave := range map[string]bool{"bench": false, "tree": false, "quarry": true, "road": true, "pond": true, "zzz": true} {
		if k := kindOf(schema.String(words)); k.grave() != grave {
			t.Errorf("%q: %+v", words, k)
		}
	}
	if k := kindOf(schema.Int(7)); !k.open {
		t.Errorf("a number: %+v", k)
	}
	for words, says := range map[string]string{"pnd": `perhaps "pond"`, "raod": `perhaps "road"`, "Harbr": `"Harbr" is not known`, "": "is missing", "big": "names no kind", "quarri": `perhaps "quarry"`} {
		if got := kindOf(schema.String(words)).unclear(); !strings.Contains(got, says) || !strings.Contains(got, "set hazard_kind to") {
			t.Errorf("%q: %s", words, got)
		}
	}
}

// TestHazardWordsOnce: a word of two kinds would be one or the other by chance.
func TestHazardWordsOnce(t *testing.T) {
	seen := map[string]string{}
	for kind, words := range hazardWordLists {
		for _, w := range strings.Fields(words) {
			if was := seen[w]; was != "" && was != kind {
				t.Errorf("%q is %s and %s", w, was, kind)
			}
			if schema.FoldName(w) != w {
				if _, ok := hazardWordLists[kind]; ok && !strings.Contains(words, schema.FoldName(w)) {
					t.Errorf("%q is %q once folded, which is not listed", w, schema.FoldName(w))
				}
			}
			seen[w] = kind
		}
	}
	for _, end := range compoundEnds() {
		if hazardWords()[end] == "" {
			t.Errorf("%q ends no known word", end)
		}
	}
}
