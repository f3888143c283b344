// A movement as people write it.

package job

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"sync"

	"swardline/schema"
)

// A number of a movement, in what may be one argument of several.
const lengthForm = `[-+\x{2212}\x{2013}]?(\d+([.,]\d*)?|[.,]\d+)\s*(mm|cm|m)?`

var (
	lengthArgument = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`^` + lengthForm + `[,;]?$`)
	})
	lengthUnit = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`(\d)\s+(mm|cm|m)\b`)
	})
	lengthSign = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`([-+])\s+(\d)`)
	})
	spacedComma = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`,\s+|\s+,\s*`)
	})
)

// unitMetres are the units of a movement; two movements in a shell's words have
// no other.
var unitMetres = []struct {
	name   string
	metres float64
}{{"mm", 1e-3}, {"cm", 1e-2}, {"m", 1}}

// ParseShift reads a movement of two or three lengths, east, north and up, in
// metres. It takes metres with points, 0.06,-0.053, the same with spaces,
// lengths with units, 60mm,-53mm, and decimal commas where something else
// divides them, 0,06;-0,053. What can be read in two ways is an error.
func ParseShift(text string) ([]float64, error) {
	s := strings.NewReplacer("\u2212", "-", "\u2013", "-", "\u00a0", " ", "\u202f", " ").Replace(text)
	s = lengthSign().ReplaceAllString(lengthUnit().ReplaceAllString(strings.TrimSpace(s), "$1$2"), "$1$2")
	parts, decimalComma, err := divide(s)
	if err != nil {
		return nil, err
	}
	if len(parts) < 2 || len(parts) > 3 {
		return nil, fmt.Errorf("2 or 3 lengths are wanted, and these are %d", len(parts))
	}
	var out []float64
	units := 0
	plain := 0
	for _, part := range parts {
		v, unit, err := parseLength(strings.TrimSpace(part), decimalComma)
		if err != nil {
			return nil, err
		}
		switch {
		case unit:
			units++
		case v != 0: // nothing is nothing in every unit
			plain++
		}
		out = append(out, v)
	}
	if units > 0 && plain > 0 {
		return nil, errors.New("some lengths have a unit and some have none")
	}
	return out, nil
}

// divide finds what stands between the numbers.
func divide(s string) (parts []string, decimalComma bool, err error) {
	switch {
	case strings.Contains(s, ";"):
		return strings.Split(s, ";"), !strings.Contains(s, "."), nil
	case strings.Contains(s, "."), !strings.ContainsAny(s, " \t"):
		// With a point for decimals, or nothing else between them, commas
		// divide.
		parts = strings.Split(s, ",")
		if len(parts) == 1 {
			parts = strings.Fields(s)
		}
		return parts, false, nil
	}
	parts = spacedComma().Split(s, -1)
	if len(parts) == 1 {
		parts = strings.Fields(s)
	}
	commas := 0
	for _, p := range parts {
		commas += min(1, strings.Count(p, ","))
	}
	if commas > 0 && commas < len(parts) {
		return nil, false, errors.New("some commas divide and some may be decimal")
	}
	return parts, true, nil
}

func parseLength(s string, decimalComma bool) (metres float64, unit bool, err error) {
	number, factor := s, 1.0
	for _, u := range unitMetres {
		if n, ok := strings.CutSuffix(s, u.name); ok {
			number, factor, unit = strings.TrimSpace(n), u.metres, true
			break
		}
	}
	number = strings.TrimPrefix(number, "+")
	if decimalComma {
		number = strings.Replace(number, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(number, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) || !schema.IsNumber(number) {
		return 0, false, fmt.Errorf("%q is no length", s)
	}
	if factor != 1 {
		// 60mm is 0.06 to the last bit.
		v /= math.Round(1 / factor)
	}
	return v, unit, nil
}

// shift reads the option of that name; its error gives the exact form.
func (j *Job) shift(text string) ([]float64, error) {
	v, err := ParseShift(text)
	if err != nil {
		name := j.option("shift")
		return nil, Refuse("write east, north and perhaps up in metres with commas between and points for decimals: "+name+" 0.06,-0.053; with units "+name+" 60mm,-53mm; with decimal commas "+name+" '0,06;-0,053'",
			"%s %q: %w", name, text, err)
	}
	return v, nil
}

// JoinShift puts a movement that a shell took apart, as in --shift 0.06 -0.053,
// into one argument again. flag is the option as it is written.
func JoinShift(args []string, flag string) []string {
	var out []string
	for i := 0; i < len(args); i++ {
		value := ""
		switch {
		case args[i] == "--":
			return append(out, args[i:]...)
		case args[i] == flag && i+1 < len(args):
			out = append(out, args[i])
			i++
			value = args[i]
		case strings.HasPrefix(args[i], flag+"="):
			value = args[i]
		default:
			out = append(out, args[i])
			continue
		}
		for n := 1; n < 3 && lengthArgument().MatchString(strings.TrimPrefix(args[i], flag+"=")) && i+1 < len(args) && lengthArgument().MatchString(args[i+1]); n++ {
			i++
			value += " " + args[i]
		}
		out = append(out, value)
	}
	return out
}
