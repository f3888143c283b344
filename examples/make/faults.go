// The same park with faults planted, one of a kind, each with a figure that can
// be worked out by hand from the drawing.

package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"

	"swardline/schema"
)

func faultsPlan() (*schema.Plan, error) {
	features := parkFeatures()
	at := func(id string) *feature {
		for i := range features {
			if features[i].id == id {
				return &features[i]
			}
		}
		panic("no feature " + id)
	}
	// The flower bed sticks 0.80 m out of the strip, over its north side.
	at("k1").geometry = rectangle(78, 36, 100, 40.8)
	// The corridor to the north lawn ends 1.30 m short of the line-up point.
	at("c1").geometry = line(xy{40, 71.2}, xy{40, 68.8}, xy{42, 62}, xy{48, 58}, xy{62.7, 58})
	// The corridor to the long lawn starts only 0.40 m inside the strip.
	at("c3").geometry = line(xy{130, 39.6}, xy{130, 41.2}, xy{130, 48.8}, xy{130, 51.2})
	// The small tree's keep-out is drawn with 6 points: the chord cuts
	// 1.0 (1 - cos 30 degrees) = 0.134 m into the circle.
	at("k4").geometry = circle(xy{121, 106}, 1.0, 6)
	// Two keep-outs of one name.
	at("k3").name = "Pond"
	features = append(features,
		// A zone whose outline crosses itself at (70, 90).
		feature{"z4", "zone", "Small lawn", area(xy{64, 84}, xy{76, 96}, xy{76, 84}, xy{64, 96}), nil},
		// A zone past the range of the base: its far corner is 553.6 m away.
		feature{"z5", "zone", "Far lawn", rectangle(560, 20, 650, 100), nil},
		// A zone over the north lawn: they share 3 m by 20 m.
		feature{"z6", "zone", "Side lawn", rectangle(55, 75, 62, 95), nil},
	)
	return plan("Example Park with planted faults (invented)", features)
}

// turnRing turns the outline of one feature the wrong way round in the written
// file: a writer would put it right. The file has a feature a line.
func turnRing(data []byte, id string) ([]byte, error) {
	lines := bytes.Split(data, []byte("\n"))
	for i, line := range lines {
		if !bytes.Contains(line, []byte(`"id":"`+id+`"`)) {
			continue
		}
		before, rest, _ := bytes.Cut(line, []byte(`"coordinates":`))
		coordinates, after, _ := bytes.Cut(rest, []byte(`},"properties"`))
		var rings [][][]json.Number
		if err := json.Unmarshal(coordinates, &rings); err != nil {
			return nil, fmt.Errorf("feature %s: %w", id, err)
		}
		slices.Reverse(rings[0])
		turned, err := json.Marshal(rings)
		if err != nil {
			return nil, err
		}
		lines[i] = slices.Concat(before, []byte(`"coordinates":`), turned, []byte(`},"properties"`), after)
		return bytes.Join(lines, []byte("\n")), nil
	}
	return nil, fmt.Errorf("there is no feature %s", id)
}
