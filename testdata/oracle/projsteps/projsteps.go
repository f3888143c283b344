// Package projsteps runs datum steps, frames and grid shifts through libproj,
// with time as a fourth coordinate, for comparing the coordinate engine's own
// with them. It is an oracle for tests and no part of the product.
package projsteps

/*
#cgo LDFLAGS: -lproj
#include <proj.h>
#include <stdlib.h>
#include <math.h>

static void run(PJ *p, int inverse, double *c) {
	PJ_COORD in = proj_coord(c[0], c[1], c[2], c[3]);
	proj_errno_reset(p);
	PJ_COORD out = proj_trans(p, inverse ? PJ_INV : PJ_FWD, in);
	for (int i = 0; i < 4; i++) c[i] = out.v[i];
}
static void quiet(void *data, int level, const char *text) {}
static void silence(PJ_CONTEXT *c) { proj_log_func(c, NULL, quiet); }
*/
import "C"

import (
	"fmt"
	"math"
	"unsafe"
)

// Context is a libproj context; not for use by two goroutines at a time.
type Context struct{ c *C.PJ_CONTEXT }

// NewContext returns a context that logs nothing.
func NewContext() *Context {
	c := C.proj_context_create()
	C.silence(c)
	return &Context{c}
}

// Close frees the context.
func (c *Context) Close() { C.proj_context_destroy(c.c) }

// Folders makes the library look for its files in the folders, in this order.
func (c *Context) Folders(paths ...string) {
	list := make([]*C.char, len(paths))
	for i, p := range paths {
		list[i] = C.CString(p)
		defer C.free(unsafe.Pointer(list[i]))
	}
	C.proj_context_set_search_paths(c.c, C.int(len(list)), &list[0])
}

// Version is the version of the library.
func Version() string {
	info := C.proj_info()
	return C.GoString(info.version)
}

// Operation is a libproj operation.
type Operation struct{ p *C.PJ }

// New makes an operation from a PROJ string or the URN of one of the registry.
func (c *Context) New(text string) (*Operation, error) {
	s := C.CString(text)
	defer C.free(unsafe.Pointer(s))
	p := C.proj_create(c.c, s)
	if p == nil {
		return nil, fmt.Errorf("libproj cannot make %q", text)
	}
	return &Operation{p}, nil
}

// Between makes the best operation between two CRSs for a place, longitudes and
// eastings first.
func (c *Context) Between(from, to string, lon, lat float64) (*Operation, error) {
	f, t := C.CString(from), C.CString(to)
	defer C.free(unsafe.Pointer(f))
	defer C.free(unsafe.Pointer(t))
	area := C.proj_area_create()
	defer C.proj_area_destroy(area)
	C.proj_area_set_bbox(area, C.double(lon), C.double(lat), C.double(lon), C.double(lat))
	p := C.proj_create_crs_to_crs(c.c, f, t, area)
	if p == nil {
		return nil, fmt.Errorf("libproj has no operation from %s to %s", from, to)
	}
	n := C.proj_normalize_for_visualization(c.c, p)
	C.proj_destroy(p)
	return &Operation{n}, nil
}

// Close frees the operation.
func (o *Operation) Close() { C.proj_destroy(o.p) }

// Run transforms one point of four numbers; numbers that fail are +Inf.
func (o *Operation) Run(p [4]float64, inverse bool) [4]float64 {
	dir := C.int(0)
	if inverse {
		dir = 1
	}
	C.run(o.p, dir, (*C.double)(&p[0]))
	return p
}

// OnGround is the distance in metres between two positions in degrees, for
// small ones.
func OnGround(lon1, lat1, lon2, lat2 float64) float64 {
	dl := math.Remainder(lon1-lon2, 360) * math.Cos(lat1*math.Pi/180)
	return 111319.49 * math.Hypot(dl, lat1-lat2)
}
