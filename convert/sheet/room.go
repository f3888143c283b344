// Where names find room: the widest place of an area that nothing else takes.

package sheet

import (
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
)

// roomToleranceM is how near the most room is looked for, in metres on the
// ground.
const roomToleranceM = 0.05

// Plane is the planar geometry that placing names needs. It is handed in,
// because the exact kernel belongs to a room that a sheet does not know.
type Plane struct {
	// Difference is a without b.
	Difference func(a, b orb.MultiPolygon) (orb.MultiPolygon, error)
	// Deepest is the centre of the largest circle inside and its radius, to a
	// tolerance; radius 0 where there is no inside.
	Deepest func(area orb.Geometry, tolerance float64) (orb.Point, float64)
}

// PlaceNames sets LabelAt and RoomM of the features that have areas: where the
// most room is and, for zones, where neither keep-outs, hazards and buildings
// lie nor what is off. A feature with areas and no AreaM2 is taken for one that
// crosses itself, whose name goes to its middle.
func (d *Drawing) PlaceNames(p Plane) {
	for i := range d.Features {
		d.Features[i].placeName(p)
	}
	for i := range d.Off {
		d.Off[i].placeName(p)
	}
	type obstacle struct {
		areas orb.MultiPolygon
		box   orb.Bound
	}
	var obstacles []obstacle
	keep := func(f *Feature) {
		if len(f.Areas) > 0 && !math.IsNaN(f.AreaM2) {
			areas := closed(f.Areas)
			obstacles = append(obstacles, obstacle{areas, areas.Bound()})
		}
	}
	for i := range d.Features {
		switch f := &d.Features[i]; f.Role {
		case schema.RoleKeepout, schema.RoleHazard, schema.RoleBuilding:
			keep(f)
		}
	}
	for i := range d.Off {
		if d.Off[i].Role != schema.RoleZone {
			keep(&d.Off[i])
		}
	}
	for i := range d.Features {
		z := &d.Features[i]
		if z.Role != schema.RoleZone || math.IsNaN(z.AreaM2) || len(z.Areas) == 0 {
			continue
		}
		zone := closed(z.Areas)
		var taken orb.MultiPolygon
		box := zone.Bound()
		for k := range obstacles {
			if box.Intersects(obstacles[k].box) {
				taken = append(taken, obstacles[k].areas...)
			}
		}
		if len(taken) == 0 {
			continue
		}
		free, err := p.Difference(zone, taken)
		if err != nil || len(free) == 0 {
			continue
		}
		if at, room := p.Deepest(free, roomToleranceM); room > 0 {
			z.LabelAt, z.RoomM = at, room
		}
	}
}

func (f *Feature) placeName(p Plane) {
	if len(f.Areas) == 0 {
		return
	}
	areas := closed(f.Areas)
	if !math.IsNaN(f.AreaM2) {
		f.LabelAt, f.RoomM = p.Deepest(areas, roomToleranceM)
	} else if len(areas[0]) > 0 && len(areas[0][0]) > 0 {
		b := areas[0].Bound()
		f.LabelAt, f.RoomM = b.Center(), math.Min(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1])/4
	}
	if math.IsNaN(f.RoomM) || math.IsNaN(f.LabelAt[0]) || math.IsNaN(f.LabelAt[1]) {
		f.RoomM = 0
	}
}

// closed gives the areas with every ring closed.
func closed(areas []orb.Polygon) orb.MultiPolygon {
	out := make(orb.MultiPolygon, len(areas))
	for i, a := range areas {
		out[i] = make(orb.Polygon, len(a))
		for k, r := range a {
			if n := len(r); n > 0 && r[0] != r[n-1] {
				r = append(append(orb.Ring(nil), r...), r[0])
			}
			out[i][k] = r
		}
	}
	return out
}
