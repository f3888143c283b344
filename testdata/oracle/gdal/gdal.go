// Package gdal runs the GDAL library's vector translation through its C API, so
// that conversions can be measured and compared beside it in one run.
package gdal

/*
#cgo pkg-config: gdal
#include <stdlib.h>
#include <gdal.h>
#include <gdal_utils.h>
#include <cpl_error.h>
#include <cpl_string.h>
#include <ogr_api.h>
#include <ogr_srs_api.h>
*/
import "C"

import (
	"fmt"
	"sync"
	"unsafe"
)

var register = sync.OnceFunc(func() {
	C.GDALAllRegister()
	C.CPLPushErrorHandler((C.CPLErrorHandler)(C.CPLQuietErrorHandler)) // messages come back as errors
})

// Version is the library's release, such as "3.6.2".
func Version() string {
	name := C.CString("RELEASE_NAME")
	defer C.free(unsafe.Pointer(name))
	return C.GoString(C.GDALVersionInfo(name))
}

// Translate writes the vector data of src to dst. options are those of the
// library's GDALVectorTranslate, such as "-f", "KML"; open are open options of
// src, such as "GEOM_POSSIBLE_NAMES=wkt".
func Translate(src, dst string, options, open []string) error {
	register()
	C.CPLErrorReset()
	from := C.CString(src)
	defer C.free(unsafe.Pointer(from))
	to := C.CString(dst)
	defer C.free(unsafe.Pointer(to))
	openList := list(open)
	defer C.CSLDestroy(openList)
	in := C.GDALOpenEx(from, C.GDAL_OF_VECTOR|C.GDAL_OF_READONLY, nil, openList, nil)
	if in == nil {
		return fmt.Errorf("%s: %s", src, C.GoString(C.CPLGetLastErrorMsg()))
	}
	defer C.GDALClose(in)
	argv := list(options)
	defer C.CSLDestroy(argv)
	o := C.GDALVectorTranslateOptionsNew(argv, nil)
	if o == nil {
		return fmt.Errorf("options %v: %s", options, C.GoString(C.CPLGetLastErrorMsg()))
	}
	defer C.GDALVectorTranslateOptionsFree(o)
	var usage C.int
	out := C.GDALVectorTranslate(to, nil, 1, &in, o, &usage)
	if out == nil {
		return fmt.Errorf("%s to %s: %s", src, dst, C.GoString(C.CPLGetLastErrorMsg()))
	}
	C.GDALClose(out) // writes what is buffered
	return nil
}

// Count returns how many features the library sees in a file.
func Count(path string, open []string) (int, error) {
	register()
	name := C.CString(path)
	defer C.free(unsafe.Pointer(name))
	openList := list(open)
	defer C.CSLDestroy(openList)
	in := C.GDALOpenEx(name, C.GDAL_OF_VECTOR|C.GDAL_OF_READONLY, nil, openList, nil)
	if in == nil {
		return 0, fmt.Errorf("%s: %s", path, C.GoString(C.CPLGetLastErrorMsg()))
	}
	defer C.GDALClose(in)
	total := 0
	for i := C.int(0); i < C.GDALDatasetGetLayerCount(in); i++ {
		total += int(C.OGR_L_GetFeatureCount(C.GDALDatasetGetLayer(in, i), 1))
	}
	return total, nil
}

// Layer is one layer of a file.
type Layer struct {
	Name string
	// CRS is the authority's code of the layer's coordinates, such as
	// "EPSG:32632", "" for none.
	CRS      string
	Features []Feature
}

// Feature is one feature: its fields as text, those that are not set left out,
// and its geometry as GeoJSON with x before y, "" for none.
type Feature struct {
	Fields   map[string]string
	Geometry string
}

// Read reads all layers of a file with the driver of that name, "" for any.
func Read(path, driver string, open []string) ([]Layer, error) {
	register()
	C.CPLErrorReset()
	name := C.CString(path)
	defer C.free(unsafe.Pointer(name))
	openList := list(open)
	defer C.CSLDestroy(openList)
	var allowed **C.char
	if driver != "" {
		allowed = list([]string{driver})
		defer C.CSLDestroy(allowed)
	}
	in := C.GDALOpenEx(name, C.GDAL_OF_VECTOR|C.GDAL_OF_READONLY, allowed, openList, nil)
	if in == nil {
		return nil, fmt.Errorf("%s: %s", path, C.GoString(C.CPLGetLastErrorMsg()))
	}
	defer C.GDALClose(in)
	var out []Layer
	for i := C.int(0); i < C.GDALDatasetGetLayerCount(in); i++ {
		l := C.GDALDatasetGetLayer(in, i)
		layer := Layer{Name: C.GoString(C.OGR_L_GetName(l))}
		if ref := C.OGR_L_GetSpatialRef(l); ref != nil {
			authority, code := C.OSRGetAuthorityName(ref, nil), C.OSRGetAuthorityCode(ref, nil)
			if authority != nil && code != nil {
				layer.CRS = C.GoString(authority) + ":" + C.GoString(code)
			}
		}
		fields := C.OGR_L_GetLayerDefn(l)
		C.OGR_L_ResetReading(l)
		for f := C.OGR_L_GetNextFeature(l); f != nil; f = C.OGR_L_GetNextFeature(l) {
			x := Feature{Fields: map[string]string{}}
			for k := C.int(0); k < C.OGR_FD_GetFieldCount(fields); k++ {
				if C.OGR_F_IsFieldSetAndNotNull(f, k) != 0 {
					x.Fields[C.GoString(C.OGR_Fld_GetNameRef(C.OGR_FD_GetFieldDefn(fields, k)))] = C.GoString(C.OGR_F_GetFieldAsString(f, k))
				}
			}
			if g := C.OGR_F_GetGeometryRef(f); g != nil {
				digits := list([]string{"COORDINATE_PRECISION=15"})
				text := C.OGR_G_ExportToJsonEx(g, digits)
				C.CSLDestroy(digits)
				x.Geometry = C.GoString(text)
				C.VSIFree(unsafe.Pointer(text))
			}
			layer.Features = append(layer.Features, x)
			C.OGR_F_Destroy(f)
		}
		out = append(out, layer)
	}
	if msg := C.GoString(C.CPLGetLastErrorMsg()); msg != "" && C.CPLGetLastErrorType() >= C.CE_Failure {
		return nil, fmt.Errorf("%s: %s", path, msg)
	}
	return out, nil
}

func list(items []string) **C.char {
	var out **C.char
	for _, s := range items {
		c := C.CString(s)
		out = C.CSLAddString(out, c)
		C.free(unsafe.Pointer(c))
	}
	return out
}
