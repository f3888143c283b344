// Numbers as text: strict on reading, fixed decimals on writing, never an
// exponent.

package wire

import (
	"encoding/binary"
	"math"
	"strconv"
)

// Decimals of written coordinates: 10 for degrees (0.01 mm), 5 for lengths;
// where nobody says which they are, the digits that were read.
const (
	DegreeDecimals = 10
	LengthDecimals = 5
	KeptDecimals   = -1
)

// sureDigits is how many digits a number has at most that was written by
// somebody, and not left over by a computation.
const sureDigits = 15

var powersOfTen = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12,
	1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// AppendFixed appends v rounded to the given number of decimals (0 to 15), with
// trailing zeros left off and no exponent; -0 is written 0. With KeptDecimals
// it appends the shortest digits that read as v, unless they are more than
// anybody writes: then as many decimals as what v could be has. v must be
// finite.
func AppendFixed(dst []byte, v float64, decimals int) []byte {
	if decimals == KeptDecimals {
		return appendKept(dst, v)
	}
	scaled := v * powersOfTen[decimals]
	if !(scaled > -9e15 && scaled < 9e15) {
		// Past 2^53 the digits behind the point are not in the number anyway.
		dst = strconv.AppendFloat(dst, v, 'f', decimals, 64)
		if decimals == 0 {
			return dst
		}
		return trimZeros(dst)
	}
	r := math.RoundToEven(scaled)
	if r < 0 {
		dst = append(dst, '-')
		r = -r
	}
	// All 16 digits, two at a time, then the point and as many as are needed.
	var digits [16]byte
	n := uint64(r)
	putEight(digits[:8], uint32(n/1e8))
	putEight(digits[8:], uint32(n%1e8))
	point := len(digits) - decimals
	first := 0
	for first < point-1 && digits[first] == '0' {
		first++
	}
	last := len(digits)
	for last > point && digits[last-1] == '0' {
		last--
	}
	dst = append(dst, digits[first:point]...)
	if last > point {
		dst = append(append(dst, '.'), digits[point:last]...)
	}
	return dst
}

func appendKept(dst []byte, v float64) []byte {
	start := len(dst)
	dst = strconv.AppendFloat(dst, v+0, 'f', -1, 64)
	digits, leading := 0, true
	for _, c := range dst[start:] {
		if leading = leading && (c < '1' || c > '9'); !leading && IsDigit(c) {
			digits++
		}
	}
	switch {
	case digits <= sureDigits:
		return dst
	case v >= -180 && v <= 180:
		return AppendFixed(dst[:start], v, DegreeDecimals)
	}
	return AppendFixed(dst[:start], v, LengthDecimals)
}

const digitPairs = "00010203040506070809101112131415161718192021222324" +
	"25262728293031323334353637383940414243444546474849" +
	"50515253545556575859606162636465666768697071727374" +
	"75767778798081828384858687888990919293949596979899"

// putEight writes v, below 10^8, as eight digits.
func putEight(dst []byte, v uint32) {
	_ = dst[7]
	a, b := v/10000, v%10000
	p, q, r, s := 2*(a/100), 2*(a%100), 2*(b/100), 2*(b%100)
	dst[0], dst[1] = digitPairs[p], digitPairs[p+1]
	dst[2], dst[3] = digitPairs[q], digitPairs[q+1]
	dst[4], dst[5] = digitPairs[r], digitPairs[r+1]
	dst[6], dst[7] = digitPairs[s], digitPairs[s+1]
}

// Round returns the float64 nearest to what AppendFixed writes for v: reading
// the written number back gives the same. A NaN stays one.
func Round(v float64, decimals int) float64 {
	if decimals == KeptDecimals {
		kept, _ := ParseFloat(appendKept(nil, v))
		return kept
	}
	scaled := v * powersOfTen[decimals]
	if !(scaled > -9e15 && scaled < 9e15) {
		return v
	}
	// A whole number below 2^53 by a power of ten below 10^23: both are exact,
	// so the quotient is the nearest float64 to the decimal number.
	return math.RoundToEven(scaled)/powersOfTen[decimals] + 0 // never -0
}

func trimZeros(b []byte) []byte {
	point := -1
	for i := len(b) - 1; i >= 0 && b[i] != '-' && b[i] != ' ' && b[i] != ','; i-- {
		if b[i] == '.' {
			point = i
			break
		}
	}
	if point < 0 {
		return b
	}
	end := len(b)
	for end > point+1 && b[end-1] == '0' {
		end--
	}
	if end == point+1 {
		end = point
	}
	return b[:end]
}

// ParseFloat reads a decimal number in strict form: digits with an optional
// sign, point and exponent. It returns ok false for anything else that Go's
// own parser would take (inf, NaN, hexadecimal, underscores) and for numbers
// past the range of a float64. The result is correctly rounded.
func ParseFloat(b []byte) (v float64, ok bool) {
	v, next, ok := ScanFloat(b, 0, false)
	return v, ok && next == len(b)
}

// eightDigits reads the first eight bytes of b as digits, all at a time; ok is
// false when one of them is none.
func eightDigits(b []byte) (v uint64, ok bool) {
	x := binary.LittleEndian.Uint64(b)
	// A digit has 3 in its upper half, and still has with 6 added.
	if x&(x+0x0606060606060606)&0xf0f0f0f0f0f0f0f0 != 0x3030303030303030 || (x|(x+0x0606060606060606))&0xf0f0f0f0f0f0f0f0 != 0x3030303030303030 {
		return 0, false
	}
	x -= 0x3030303030303030
	x = x*10 + x>>8 // pairs, in every second byte
	return (x&0xff000000ff*(100+1000000<<32) + x>>16&0xff000000ff*(1+10000<<32)) >> 32, true
}

// ScanFloat reads the number that starts at b[at] as ParseFloat does and
// returns the index behind it. With json it takes the form of JSON only: no
// plus sign, no leading zeros, digits on both sides of a point.
func ScanFloat(b []byte, at int, json bool) (v float64, next int, ok bool) {
	i, n := at, len(b)
	neg := i < n && b[i] == '-'
	if neg || i < n && b[i] == '+' && !json {
		i++
	}
	start := i
	var mantissa uint64
	for i < n && b[i]-'0' <= 9 {
		mantissa = mantissa*10 + uint64(b[i]-'0')
		i++
	}
	digits, scale := i-start, 0 // digits in mantissa; power of ten to divide by
	if json && (digits == 0 || digits > 1 && b[start] == '0') {
		return 0, at, false
	}
	if i < n && b[i] == '.' {
		i++
		point := i
		if i+8 <= n { // as most coordinates have
			if eight, ok := eightDigits(b[i:]); ok {
				mantissa = mantissa*1e8 + eight
				i += 8
			}
		}
		for i < n && b[i]-'0' <= 9 {
			mantissa = mantissa*10 + uint64(b[i]-'0')
			i++
		}
		scale = i - point
		if digits += scale; json && scale == 0 {
			return 0, at, false
		}
	}
	if digits == 0 {
		return 0, at, false
	}
	exponent := i < n && (b[i] == 'e' || b[i] == 'E')
	if !exponent && digits <= 19 && mantissa < 1<<53 && scale <= 22 {
		// Both are exact in a float64, so one division rounds correctly
		// (Clinger 1990, the fast path).
		if v = float64(mantissa) / powersOfTen[scale]; neg {
			v = -v
		}
		return v, i, true
	}
	if exponent {
		i++
		if i < n && (b[i] == '-' || b[i] == '+') {
			i++
		}
		first := i
		for i < n && b[i]-'0' <= 9 {
			i++
		}
		if i == first {
			return 0, at, false
		}
	}
	v, err := strconv.ParseFloat(string(b[at:i]), 64)
	return v, i, err == nil
}
