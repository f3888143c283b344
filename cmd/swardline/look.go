// convert --look: what is in a file, before anything is believed of it.

package main

import (
	"fmt"
	"os"

	"swardline/convert"
	"swardline/convert/dxf"
	"swardline/convert/intake/look"
	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

// runLook prints the overview of a file. A drawing is looked at without its unit,
// which is one of the things to find out.
func runLook(o *convertOptions, limits schema.Limits) error {
	var near *crs.Geodetic
	if o.near != "" {
		g, err := latLonH("--near", o.near)
		if err != nil {
			return err
		}
		near = &g
	}
	opts := look.Options{Near: near}
	view, err := lookDrawing(o, limits, opts)
	if err != nil {
		return err
	}
	if view == nil {
		p, warnings, err := loadPlan(o.src, o.readFlags, limits, o.streams)
		if err != nil {
			return err
		}
		tellWarnings(o.streams.err, o.src, warnings)
		view = look.Plan(p, opts)
	}
	view.File = o.src
	_, err = fmt.Fprint(o.streams.out, view)
	return err
}

// lookDrawing returns the overview of a drawing, nil when the file is none.
func lookDrawing(o *convertOptions, limits schema.Limits, opts look.Options) (*look.Overview, error) {
	if o.src == "-" {
		return nil, nil
	}
	info, err := os.Stat(o.src)
	if err != nil {
		return nil, err
	}
	if info.IsDir() || float64(info.Size()) > limits.InputMaxBytes {
		return nil, nil // the reader says what is wrong
	}
	data, err := os.ReadFile(o.src)
	if err != nil {
		return nil, err
	}
	name := o.format
	if name == "" {
		f, err := convert.DetectFormat(o.src, data)
		if err != nil {
			return nil, err
		}
		name = f.Name
	}
	if name != "dxf" {
		return nil, nil
	}
	inv, err := dxf.Look(data, wire.ReadOptions{Name: o.src, Limits: limits})
	if err != nil {
		return nil, err
	}
	return look.Drawing(inv, opts), nil
}
