// NTv2: the binary grid-shift file (.gsb), in either byte order, with
// sub-grids.

package crs

import (
	"encoding/binary"
	"fmt"
	"math"
	"strings"
)

// ntv2Record is the size of a record in bytes: an eight-letter name and eight
// bytes of value, or four 32-bit numbers.
const ntv2Record = 16

// ReadNTv2 reads an NTv2 file (.gsb; layout: National Transformation Version 2,
// Geodetic Survey of Canada, from memory): a header of 11 records, then for
// each grid 11 records and a record a node, south-east corner first, westward
// and then north, longitudes and their shifts positive west. The name is that
// of the file. Errors name the record, counted from 1, and say when the file is
// cut off.
func ReadNTv2(data []byte, name string) (*GridShift, error) {
	g := &GridShift{name: baseName(name), format: "NTv2"}
	fail := func(record int, format string, a ...any) (*GridShift, error) {
		return nil, fmt.Errorf("%s: record %d (byte %d): %s", g.name, record+1, record*ntv2Record, fmt.Sprintf(format, a...))
	}
	if len(data) < 11*ntv2Record || string(data[:8]) != "NUM_OREC" {
		if len(data) >= 8 && string(data[:8]) == "NUM_OREC" {
			return fail(len(data)/ntv2Record, "the file is cut off inside its header")
		}
		return fail(0, "not an NTv2 file: it does not start with NUM_OREC")
	}
	var order binary.ByteOrder = binary.LittleEndian
	if order.Uint32(data[8:]) != 11 {
		order = binary.BigEndian
	}
	if n := order.Uint32(data[8:]); n != 11 {
		return fail(0, "a header of %d records, not 11", n)
	}
	value := func(r int) []byte { return data[r*ntv2Record+8 : r*ntv2Record+16] }
	key := func(r int) string { return strings.TrimRight(string(data[r*ntv2Record:r*ntv2Record+8]), " \x00") }
	text := func(r int) string { return strings.TrimSpace(strings.TrimRight(string(value(r)), "\x00")) }
	number := func(r int) float64 { return math.Float64frombits(order.Uint64(value(r))) }
	if n := order.Uint32(value(1)); n != 11 {
		return fail(1, "grid headers of %d records, not 11", n)
	}
	count := int(order.Uint32(value(2)))
	if count < 1 || count > 10_000 {
		return fail(2, "%d grids", count)
	}
	var perUnit float64 // arc-seconds in a unit of the file
	switch u := strings.ToUpper(text(3)); u {
	case "SECONDS":
		perUnit = 1
	case "MINUTES":
		perUnit = 60
	case "DEGREES":
		perUnit = 3600
	default:
		return fail(3, "shifts in %q; SECONDS, MINUTES and DEGREES are known", u)
	}
	g.from, g.to = text(5), text(6)
	at, total := 11, 0
	var all []*shiftGrid
	for k := range count {
		if len(data) < (at+11)*ntv2Record {
			return fail(at, "the file is cut off: %d of %d grids are there", k, count)
		}
		if key(at) != "SUB_NAME" || key(at+10) != "GS_COUNT" {
			return fail(at, "a grid should start here with SUB_NAME, not %q", key(at))
		}
		s := &shiftGrid{name: text(at), parent: text(at + 1)}
		deg := perUnit / 3600
		south, north, east, west := number(at+4), number(at+5), number(at+6), number(at+7)
		dlat, dlon := number(at+8), number(at+9)
		s.south, s.north, s.west, s.east = south*deg, north*deg, -west*deg, -east*deg
		s.dlat, s.dlon = dlat*deg, dlon*deg
		nodes := int(order.Uint32(value(at + 10)))
		nx, ny := math.Round((west-east)/dlon)+1, math.Round((north-south)/dlat)+1
		if !(nx >= 2 && ny >= 2 && nx < 1<<24 && ny < 1<<24) || nx*ny != float64(nodes) {
			return fail(at, "grid %q: limits and cell size make %v by %v nodes, GS_COUNT says %d", s.name, nx, ny, nodes)
		}
		s.nx, s.ny = int(nx), int(ny)
		if err := s.check(); err != nil {
			return fail(at, "%v", err)
		}
		at += 11
		if total += nodes; total > maxGridNodes {
			return fail(at, "more than %d nodes", maxGridNodes)
		}
		if have := len(data)/ntv2Record - at; have < nodes {
			return fail(at+max(have, 0), "the file is cut off: grid %q has %d of %d nodes", s.name, max(have, 0), nodes)
		}
		s.shifts = make([]float32, 2*nodes)
		for i := range nodes {
			p := data[(at+i)*ntv2Record:]
			dphi := math.Float32frombits(order.Uint32(p)) * float32(perUnit)
			dlam := math.Float32frombits(order.Uint32(p[4:])) * float32(perUnit)
			if !(math.Abs(float64(dphi)) < 36000 && math.Abs(float64(dlam)) < 36000) {
				return fail(at+i, "grid %q: a shift of %v, %v arc-seconds", s.name, dphi, dlam)
			}
			// Rows run from east to west in the file and from west to east
			// here.
			row, col := i/s.nx, s.nx-1-i%s.nx
			s.shifts[2*(row*s.nx+col)] = dphi
			s.shifts[2*(row*s.nx+col)+1] = -dlam
		}
		at += nodes
		all = append(all, s)
	}
	var err error
	if g.grids, err = nest(all); err != nil {
		return nil, fmt.Errorf("%s: %w", g.name, err)
	}
	return g, nil
}
