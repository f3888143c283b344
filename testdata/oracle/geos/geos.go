// Package geos holds swardline's planar kernel against GEOS, through its C API:
// validity, boolean areas, offsets, and speed. It is a module of its own
// because it needs cgo and the library's headers; nothing of the product
// imports it.
package geos

/*
#cgo LDFLAGS: -lgeos_c
#include <stdlib.h>
#include <geos_c.h>

static void quiet(const char *message, void *data) { (void)message; (void)data; }

static GEOSContextHandle_t open_context(void) {
	GEOSContextHandle_t h = GEOS_init_r();
	GEOSContext_setNoticeMessageHandler_r(h, quiet, NULL);
	GEOSContext_setErrorMessageHandler_r(h, quiet, NULL);
	return h;
}
*/
import "C"

import (
	"errors"
	"fmt"
	"runtime"
	"unsafe"

	"github.com/paulmach/orb"
)

// Context is a GEOS handle with its quiet message handlers; one goroutine at a
// time.
type Context struct{ h C.GEOSContextHandle_t }

// Geometry is a GEOS geometry, freed with the garbage.
type Geometry struct {
	c *Context
	g *C.GEOSGeometry
}

// NewContext returns a handle.
func NewContext() *Context {
	c := &Context{C.open_context()}
	runtime.SetFinalizer(c, func(c *Context) { C.GEOS_finish_r(c.h) })
	return c
}

// Version returns the version of the library.
func Version() string { return C.GoString(C.GEOSversion()) }

func (c *Context) wrap(g *C.GEOSGeometry, what string) (*Geometry, error) {
	if g == nil {
		return nil, fmt.Errorf("geos: %s failed", what)
	}
	out := &Geometry{c, g}
	runtime.SetFinalizer(out, func(g *Geometry) { C.GEOSGeom_destroy_r(g.c.h, g.g) })
	return out, nil
}

// WKT reads a geometry in well-known text.
func (c *Context) WKT(text string) (*Geometry, error) {
	r := C.GEOSWKTReader_create_r(c.h)
	defer C.GEOSWKTReader_destroy_r(c.h, r)
	s := C.CString(text)
	defer C.free(unsafe.Pointer(s))
	return c.wrap(C.GEOSWKTReader_read_r(c.h, r, s), "reading text")
}

func (c *Context) sequence(pts []orb.Point) *C.GEOSCoordSequence {
	if len(pts) == 0 {
		return C.GEOSCoordSeq_create_r(c.h, 0, 2)
	}
	return C.GEOSCoordSeq_copyFromBuffer_r(c.h, (*C.double)(unsafe.Pointer(&pts[0])), C.uint(len(pts)), 0, 0)
}

func (c *Context) polygon(p orb.Polygon) *C.GEOSGeometry {
	if len(p) == 0 {
		return C.GEOSGeom_createEmptyPolygon_r(c.h)
	}
	rings := make([]*C.GEOSGeometry, 0, len(p))
	for _, r := range p {
		g := C.GEOSGeom_createLinearRing_r(c.h, c.sequence(r))
		if g == nil {
			for _, g := range rings {
				C.GEOSGeom_destroy_r(c.h, g)
			}
			return nil
		}
		rings = append(rings, g)
	}
	var holes **C.GEOSGeometry
	if len(rings) > 1 {
		n := len(rings) - 1
		holes = (**C.GEOSGeometry)(C.malloc(C.size_t(n) * C.size_t(unsafe.Sizeof(rings[0]))))
		defer C.free(unsafe.Pointer(holes))
		copy(unsafe.Slice(holes, n), rings[1:])
	}
	return C.GEOSGeom_createPolygon_r(c.h, rings[0], holes, C.uint(len(rings)-1))
}

// Polygon builds a polygon. GEOS refuses rings that are open or have one or two
// points.
func (c *Context) Polygon(p orb.Polygon) (*Geometry, error) {
	return c.wrap(c.polygon(p), "building a polygon")
}

// MultiPolygon builds a multipolygon.
func (c *Context) MultiPolygon(mp orb.MultiPolygon) (*Geometry, error) {
	if len(mp) == 0 {
		return c.wrap(C.GEOSGeom_createEmptyCollection_r(c.h, C.GEOS_MULTIPOLYGON), "building a multipolygon")
	}
	parts := (**C.GEOSGeometry)(C.malloc(C.size_t(len(mp)) * C.size_t(unsafe.Sizeof(uintptr(0)))))
	defer C.free(unsafe.Pointer(parts))
	list := unsafe.Slice(parts, len(mp))
	for i, p := range mp {
		if list[i] = c.polygon(p); list[i] == nil {
			for _, g := range list[:i] {
				C.GEOSGeom_destroy_r(c.h, g)
			}
			return nil, errors.New("geos: building a part failed")
		}
	}
	return c.wrap(C.GEOSGeom_createCollection_r(c.h, C.GEOS_MULTIPOLYGON, parts, C.uint(len(mp))), "building a multipolygon")
}

// Line builds a line string.
func (c *Context) Line(line orb.LineString) (*Geometry, error) {
	return c.wrap(C.GEOSGeom_createLineString_r(c.h, c.sequence(line)), "building a line")
}

// IsValid is GEOSisValid.
func (g *Geometry) IsValid() (bool, error) {
	defer runtime.KeepAlive(g)
	switch C.GEOSisValid_r(g.c.h, g.g) {
	case 0:
		return false, nil
	case 1:
		return true, nil
	}
	return false, errors.New("geos: isValid failed")
}

// Reason is GEOSisValidReason.
func (g *Geometry) Reason() string {
	defer runtime.KeepAlive(g)
	s := C.GEOSisValidReason_r(g.c.h, g.g)
	defer C.GEOSFree_r(g.c.h, unsafe.Pointer(s))
	return C.GoString(s)
}

// Area is GEOSArea.
func (g *Geometry) Area() float64 {
	defer runtime.KeepAlive(g)
	var a C.double
	C.GEOSArea_r(g.c.h, g.g, &a)
	return float64(a)
}

// Distance is GEOSDistance.
func (g *Geometry) Distance(h *Geometry) float64 {
	defer runtime.KeepAlive(g)
	defer runtime.KeepAlive(h)
	var d C.double
	C.GEOSDistance_r(g.c.h, g.g, h.g, &d)
	return float64(d)
}

// Overlay names a boolean operation.
type Overlay int

// The operations.
const (
	Union Overlay = iota
	Intersection
	Difference
)

// Overlay applies a boolean operation.
func (g *Geometry) Overlay(op Overlay, h *Geometry) (*Geometry, error) {
	defer runtime.KeepAlive(g)
	defer runtime.KeepAlive(h)
	switch op {
	case Union:
		return g.c.wrap(C.GEOSUnion_r(g.c.h, g.g, h.g), "union")
	case Intersection:
		return g.c.wrap(C.GEOSIntersection_r(g.c.h, g.g, h.g), "intersection")
	case Difference:
		return g.c.wrap(C.GEOSDifference_r(g.c.h, g.g, h.g), "difference")
	}
	return nil, errors.New("geos: unknown operation")
}

// Buffer is GEOSBufferWithStyle with round caps; segments to a quarter circle
// for round joins, or mitred joins up to the limit when mitre is set.
func (g *Geometry) Buffer(width float64, segments int, mitre bool, limit float64) (*Geometry, error) {
	defer runtime.KeepAlive(g)
	join := C.GEOSBUF_JOIN_ROUND
	if mitre {
		join = C.GEOSBUF_JOIN_MITRE
	}
	return g.c.wrap(C.GEOSBufferWithStyle_r(g.c.h, g.g, C.double(width), C.int(segments), C.GEOSBUF_CAP_ROUND, C.int(join), C.double(limit)), "buffer")
}

// Hausdorff is GEOSHausdorffDistanceDensify: the discrete distance with every
// segment cut into pieces of that share of its length.
func (g *Geometry) Hausdorff(h *Geometry, share float64) (float64, error) {
	defer runtime.KeepAlive(g)
	defer runtime.KeepAlive(h)
	var d C.double
	if C.GEOSHausdorffDistanceDensify_r(g.c.h, g.g, h.g, C.double(share), &d) != 1 {
		return 0, errors.New("geos: Hausdorff distance failed")
	}
	return float64(d), nil
}

// InscribedRadius is the length of GEOSMaximumInscribedCircle's line.
func (g *Geometry) InscribedRadius(tolerance float64) (float64, error) {
	defer runtime.KeepAlive(g)
	line, err := g.c.wrap(C.GEOSMaximumInscribedCircle_r(g.c.h, g.g, C.double(tolerance)), "inscribed circle")
	if err != nil {
		return 0, err
	}
	var d C.double
	C.GEOSLength_r(g.c.h, line.g, &d)
	return float64(d), nil
}

// Orb returns the geometry in orb's types; a linear ring becomes an orb.Ring.
func (g *Geometry) Orb() orb.Geometry {
	defer runtime.KeepAlive(g)
	return g.c.orb(g.g)
}

func (c *Context) orb(g *C.GEOSGeometry) orb.Geometry {
	part := func(i int) *C.GEOSGeometry { return C.GEOSGetGeometryN_r(c.h, g, C.int(i)) }
	n := int(C.GEOSGetNumGeometries_r(c.h, g))
	switch C.GEOSGeomTypeId_r(c.h, g) {
	case C.GEOS_POINT:
		if pts := c.points(g); len(pts) > 0 {
			return pts[0]
		}
		return orb.MultiPoint{} // orb has no empty point
	case C.GEOS_LINESTRING:
		return orb.LineString(c.points(g))
	case C.GEOS_LINEARRING:
		return c.points(g)
	case C.GEOS_POLYGON:
		return c.rings(g)
	case C.GEOS_MULTIPOINT:
		mp := orb.MultiPoint{}
		for i := range n {
			mp = append(mp, c.points(part(i))...)
		}
		return mp
	case C.GEOS_MULTILINESTRING:
		ml := orb.MultiLineString{}
		for i := range n {
			ml = append(ml, orb.LineString(c.points(part(i))))
		}
		return ml
	case C.GEOS_MULTIPOLYGON:
		mp := orb.MultiPolygon{}
		for i := range n {
			mp = append(mp, c.rings(part(i)))
		}
		return mp
	}
	all := orb.Collection{}
	for i := range n {
		all = append(all, c.orb(part(i)))
	}
	return all
}

func (c *Context) rings(g *C.GEOSGeometry) orb.Polygon {
	p := orb.Polygon{c.points(C.GEOSGetExteriorRing_r(c.h, g))}
	for i := range int(C.GEOSGetNumInteriorRings_r(c.h, g)) {
		p = append(p, c.points(C.GEOSGetInteriorRingN_r(c.h, g, C.int(i))))
	}
	return p
}

func (c *Context) points(g *C.GEOSGeometry) orb.Ring {
	s := C.GEOSGeom_getCoordSeq_r(c.h, g)
	var n C.uint
	C.GEOSCoordSeq_getSize_r(c.h, s, &n)
	r := make(orb.Ring, n)
	for i := range r {
		var x, y C.double
		C.GEOSCoordSeq_getXY_r(c.h, s, C.uint(i), &x, &y)
		r[i] = orb.Point{float64(x), float64(y)}
	}
	return r
}
