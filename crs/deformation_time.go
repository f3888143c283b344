// Time functions: by what the grid of a deformation model is multiplied at an
// epoch.

package crs

import (
	"fmt"
	"math"
	"time"
)

// timeFunction is the factor at an epoch, a decimal year.
type timeFunction func(epoch float64) float64

// decimalYear reads a date and time as deformation models write them,
// YYYY-MM-DDThh:mm:ssZ, as a decimal year: of every year its own length counts.
func decimalYear(text string) (float64, error) {
	t, err := time.Parse("2006-01-02T15:04:05Z", text)
	if err != nil || len(text) != len("2006-01-02T15:04:05Z") || t.Year() < 1582 {
		return 0, fmt.Errorf("%q is no date and time such as 2018-07-01T00:00:00Z", clip(text))
	}
	start := time.Date(t.Year(), 1, 1, 0, 0, 0, 0, time.UTC)
	next := time.Date(t.Year()+1, 1, 1, 0, 0, 0, 0, time.UTC)
	return float64(t.Year()) + t.Sub(start).Seconds()/next.Sub(start).Seconds(), nil
}

// modelFunction is the time_function of a component in the file.
type modelFunction struct {
	Type       string           `json:"type"`
	Parameters *modelParameters `json:"parameters"`
}

type modelParameters struct {
	ReferenceEpoch     *string      `json:"reference_epoch"`
	StepEpoch          *string      `json:"step_epoch"`
	EndEpoch           *string      `json:"end_epoch"`
	BeforeFirst        string       `json:"before_first"`
	AfterLast          string       `json:"after_last"`
	Model              []modelPoint `json:"model"`
	RelaxationConstant *float64     `json:"relaxation_constant"`
	BeforeScaleFactor  *float64     `json:"before_scale_factor"`
	InitialScaleFactor *float64     `json:"initial_scale_factor"`
	FinalScaleFactor   *float64     `json:"final_scale_factor"`
}

type modelPoint struct {
	Epoch       *string  `json:"epoch"`
	ScaleFactor *float64 `json:"scale_factor"`
}

// epochIn reads an epoch that must be there.
func epochIn(key string, text *string) (float64, error) {
	if text == nil {
		return 0, fmt.Errorf("%s is missing", key)
	}
	v, err := decimalYear(*text)
	if err != nil {
		return 0, fmt.Errorf("%s: %w", key, err)
	}
	return v, nil
}

// compile makes the function. A step is 0 before its epoch and 1 from it on; a
// reverse step is -1 before and 0 from it on, for a model whose coordinates
// were moved with the ground after the event (as PROJ's defmodel has it; the
// schema's words, 1 before, leave out the sign).
func (f *modelFunction) compile() (timeFunction, error) {
	p := f.Parameters
	if p == nil {
		if f.Type != "constant" {
			return nil, fmt.Errorf("parameters are missing")
		}
		p = &modelParameters{}
	}
	switch f.Type {
	case "constant":
		return func(float64) float64 { return 1 }, nil
	case "velocity":
		t0, err := epochIn("reference_epoch", p.ReferenceEpoch)
		return func(t float64) float64 { return t - t0 }, err
	case "step", "reverse_step":
		t0, err := epochIn("step_epoch", p.StepEpoch)
		before, after := 0.0, 1.0
		if f.Type == "reverse_step" {
			before, after = -1, 0
		}
		return func(t float64) float64 {
			if t < t0 {
				return before
			}
			return after
		}, err
	case "piecewise":
		return p.piecewise()
	case "exponential":
		return p.exponential()
	case "":
		return nil, fmt.Errorf("its type is missing")
	}
	return nil, fmt.Errorf("type %q; constant, velocity, step, reverse_step, piecewise and exponential are known", clip(f.Type))
}

// piecewise runs straight from point to point; two points of one epoch are a
// step, the second of which holds from that epoch on.
func (p *modelParameters) piecewise() (timeFunction, error) {
	for _, v := range [2][2]string{{"before_first", p.BeforeFirst}, {"after_last", p.AfterLast}} {
		if v[1] != "zero" && v[1] != "constant" && v[1] != "linear" {
			return nil, fmt.Errorf("%s is %q; zero, constant and linear are known", v[0], clip(v[1]))
		}
	}
	n := len(p.Model)
	if n == 0 {
		return nil, fmt.Errorf("its model has no points")
	}
	ts, fs := make([]float64, n), make([]float64, n)
	for i, m := range p.Model {
		t, err := epochIn("epoch", m.Epoch)
		switch {
		case err != nil:
			return nil, fmt.Errorf("model[%d]: %w", i, err)
		case m.ScaleFactor == nil:
			return nil, fmt.Errorf("model[%d]: scale_factor is missing", i)
		case i > 0 && t < ts[i-1]:
			return nil, fmt.Errorf("model[%d]: its epoch is before that of the point before it", i)
		}
		ts[i], fs[i] = t, *m.ScaleFactor
	}
	// beyond is the value outside the points, along the line over a and b.
	beyond := func(how string, at, a, b int, t float64) float64 {
		switch {
		case how == "zero":
			return 0
		case how == "constant" || n == 1 || ts[a] == ts[b]:
			return fs[at]
		}
		return fs[a] + (fs[b]-fs[a])*(t-ts[a])/(ts[b]-ts[a])
	}
	before, after := p.BeforeFirst, p.AfterLast
	return func(t float64) float64 {
		if t < ts[0] {
			return beyond(before, 0, 0, min(1, n-1), t)
		}
		for i := 1; i < n; i++ {
			if t < ts[i] {
				return fs[i-1] + (fs[i]-fs[i-1])*(t-ts[i-1])/(ts[i]-ts[i-1])
			}
		}
		return beyond(after, n-1, max(0, n-2), n-1, t)
	}, nil
}

// exponential runs from the initial towards the final factor, and stays where
// it is at the end epoch, if there is one.
func (p *modelParameters) exponential() (timeFunction, error) {
	t0, err := epochIn("reference_epoch", p.ReferenceEpoch)
	if err != nil {
		return nil, err
	}
	end := math.Inf(1)
	if p.EndEpoch != nil {
		if end, err = epochIn("end_epoch", p.EndEpoch); err != nil {
			return nil, err
		}
		if end < t0 {
			return nil, fmt.Errorf("end_epoch is before reference_epoch")
		}
	}
	for _, v := range []struct {
		key   string
		value *float64
	}{
		{"relaxation_constant", p.RelaxationConstant}, {"before_scale_factor", p.BeforeScaleFactor},
		{"initial_scale_factor", p.InitialScaleFactor}, {"final_scale_factor", p.FinalScaleFactor},
	} {
		if v.value == nil {
			return nil, fmt.Errorf("%s is missing", v.key)
		}
	}
	tau, before, first, last := *p.RelaxationConstant, *p.BeforeScaleFactor, *p.InitialScaleFactor, *p.FinalScaleFactor
	if !(tau > 0) {
		return nil, fmt.Errorf("relaxation_constant %v is no time in years", tau)
	}
	return func(t float64) float64 {
		if t < t0 {
			return before
		}
		return last + (first-last)*math.Exp(-(math.Min(t, end)-t0)/tau)
	}, nil
}
