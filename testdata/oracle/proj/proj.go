// Package proj calls libproj through cgo, for comparing the coordinate engine
// with it. It is an oracle for tests and no part of the product.
package proj

/*
#cgo LDFLAGS: -lproj
#include <proj.h>
#include <stdlib.h>
#include <math.h>

// transform works on n points of stride doubles, in place: x and y, and z from
// stride 3 up. Points that fail come back as HUGE_VAL.
static void transform(PJ *p, int inverse, double *xy, size_t n, int stride) {
	size_t step = stride * sizeof(double);
	proj_errno_reset(p);
	proj_trans_generic(p, inverse ? PJ_INV : PJ_FWD, xy, step, n, xy + 1, step, n,
		stride > 2 ? xy + 2 : NULL, stride > 2 ? step : 0, stride > 2 ? n : 0, NULL, 0, 0);
}

static void quiet(void *data, int level, const char *text) {}
static void silence(PJ_CONTEXT *c) { proj_log_func(c, NULL, quiet); }
*/
import "C"

import (
	"fmt"
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

// Version is the version of the library.
func Version() string {
	info := C.proj_info()
	return C.GoString(info.version)
}

// The forms of WKT that libproj writes.
const (
	WKT2v2015 = int(C.PJ_WKT2_2015)
	WKT2v2019 = int(C.PJ_WKT2_2019)
	WKT1GDAL  = int(C.PJ_WKT1_GDAL)
	WKT1PRJ   = int(C.PJ_WKT1_ESRI)
)

// WKT is the text that libproj writes for a CRS, empty when it cannot.
func (c *Context) WKT(id string, form int) string {
	s := C.CString(id)
	defer C.free(unsafe.Pointer(s))
	p := C.proj_create(c.c, s)
	if p == nil {
		return ""
	}
	defer C.proj_destroy(p)
	return C.GoString(C.proj_as_wkt(c.c, p, C.PJ_WKT_TYPE(form), nil))
}

// Transformation is a libproj operation.
type Transformation struct{ p *C.PJ }

// Pipeline makes an operation from a PROJ string; angles are radians unless it
// converts them.
func (c *Context) Pipeline(text string) (*Transformation, error) {
	s := C.CString(text)
	defer C.free(unsafe.Pointer(s))
	p := C.proj_create(c.c, s)
	if p == nil {
		return nil, fmt.Errorf("libproj cannot make %q", text)
	}
	return &Transformation{p}, nil
}

// Between makes the operation between two CRSs, in the official axis order and
// units of both.
func (c *Context) Between(from, to string) (*Transformation, error) {
	f, t := C.CString(from), C.CString(to)
	defer C.free(unsafe.Pointer(f))
	defer C.free(unsafe.Pointer(t))
	p := C.proj_create_crs_to_crs(c.c, f, t, nil)
	if p == nil {
		return nil, fmt.Errorf("libproj has no operation from %s to %s", from, to)
	}
	return &Transformation{p}, nil
}

// Close frees the operation.
func (t *Transformation) Close() { C.proj_destroy(t.p) }

// Apply transforms points of stride numbers in place, at most three of which
// take part. Points that fail become +Inf.
func (t *Transformation) Apply(flat []float64, stride int, inverse bool) {
	if len(flat) == 0 {
		return
	}
	dir := C.int(0)
	if inverse {
		dir = 1
	}
	C.transform(t.p, dir, (*C.double)(&flat[0]), C.size_t(len(flat)/stride), C.int(stride))
}

// Factors are the scale factors and the convergence of a map projection at a
// point: along the meridian and the parallel, areal, and the bearing of grid
// north in radians. The operation must be a projection given by Pipeline, the
// point in radians.
func (t *Transformation) Factors(lon, lat float64) (meridian, parallel, areal, convergence float64) {
	f := C.proj_factors(t.p, C.proj_coord(C.double(lon), C.double(lat), 0, 0))
	return float64(f.meridional_scale), float64(f.parallel_scale), float64(f.areal_scale), float64(f.meridian_convergence)
}
