// Binary DXF: the same pairs of group code and value, numbers as bytes. It is
// turned into the text that the scanner walks, so that one reader serves both.

package dxf

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"strconv"

	"swardline/convert/wire"
)

// binaryMark is the 22 bytes that a binary drawing starts with: the DXF
// reference's own signature, of which the first word varies.
const binaryMark = " Binary DXF\r\n\x1a\x00"

// valueKind is how a binary value stands in the file.
type valueKind uint8

const (
	valueText  valueKind = iota // bytes up to a 0
	valueReal                   // 8 bytes, IEEE 754
	valueBool                   // 1 byte
	valueInt16                  // 2 bytes
	valueInt32                  // 4 bytes
	valueInt64                  // 8 bytes
	valueChunk                  // a length byte and as many bytes
)

// kindOf gives the kind of a group code's value (DXF reference, "Group code
// value types"); all numbers are little-endian.
func kindOf(code int) valueKind {
	in := func(low, high int) bool { return code >= low && code <= high }
	switch {
	case in(10, 59), in(110, 149), in(210, 239), in(460, 469), in(1010, 1059):
		return valueReal
	case in(60, 79), in(170, 179), in(270, 289), in(370, 389), in(400, 409), in(1060, 1070):
		return valueInt16
	case in(90, 99), in(420, 429), in(440, 459), code == 1071:
		return valueInt32
	case in(160, 169):
		return valueInt64
	case in(290, 299):
		return valueBool
	case in(310, 319), code == 1004:
		return valueChunk
	}
	return valueText
}

// fromBinary returns the pairs of a binary drawing as an ASCII one, two lines a
// pair. Up to R12 a group code is one byte, or 255 and two bytes; later two
// bytes: the first pair, 0 and SECTION, tells which. Errors are
// *wire.InputError with the number of the pair as their path.
func fromBinary(data []byte) ([]byte, error) {
	at := bytes.Index(data[:min(len(data), 40)], []byte(binaryMark)) + len(binaryMark)
	b := data[at:]
	// The text is about as long; hostile bytes make at most 13 of each one.
	out := make([]byte, 0, len(b)+len(b)/2)
	short := len(b) > 1 && b[0] == 0 && b[1] != 0
	for pair := 1; len(b) > 0; pair++ {
		cut := func() error {
			return &wire.InputError{Path: fmt.Sprintf("pair %d", pair), Problem: "the file ends inside a pair of group code and value", Mend: mendTruncated}
		}
		if len(bytes.Trim(b, "\x00\x1a")) == 0 && pair > 1 {
			break // padding
		}
		code, size := 0, 2
		switch {
		case short && b[0] != 255:
			code, size = int(b[0]), 1
		case short && len(b) >= 3:
			code, size = int(int16(binary.LittleEndian.Uint16(b[1:]))), 3
		case !short && len(b) >= 2:
			code = int(int16(binary.LittleEndian.Uint16(b)))
		default:
			return nil, cut()
		}
		b = b[size:]
		if code < -5 || code > 1071 {
			return nil, &wire.InputError{Path: fmt.Sprintf("pair %d", pair), Problem: fmt.Sprintf("there is no group code %d", code), Mend: "the file is damaged; export it again, or as an ASCII DXF"}
		}
		out = append(strconv.AppendInt(out, int64(code), 10), '\n')
		var ok bool
		if out, b, ok = appendBinaryValue(out, b, kindOf(code)); !ok {
			return nil, cut()
		}
		out = append(out, '\n')
		if code == 0 && bytes.HasSuffix(out, []byte("\nEOF\n")) {
			if len(bytes.Trim(b, "\x00\x1a")) > 0 {
				out = append(out, "999\nmore\n"...) // sections tells that it is there
			}
			break
		}
	}
	return out, nil
}

// appendBinaryValue appends the value that b starts with and returns the rest.
func appendBinaryValue(out, b []byte, kind valueKind) (text, rest []byte, ok bool) {
	size := map[valueKind]int{valueReal: 8, valueBool: 1, valueInt16: 2, valueInt32: 4, valueInt64: 8}[kind]
	if len(b) < size {
		return out, b, false
	}
	le := binary.LittleEndian
	switch kind {
	case valueReal:
		out = strconv.AppendFloat(out, math.Float64frombits(le.Uint64(b)), 'g', -1, 64)
	case valueBool:
		out = strconv.AppendInt(out, int64(b[0]), 10)
	case valueInt16:
		out = strconv.AppendInt(out, int64(int16(le.Uint16(b))), 10)
	case valueInt32:
		out = strconv.AppendInt(out, int64(int32(le.Uint32(b))), 10)
	case valueInt64:
		out = strconv.AppendInt(out, int64(le.Uint64(b)), 10)
	case valueChunk:
		if len(b) < 1 || len(b) < 1+int(b[0]) {
			return out, b, false
		}
		size = 1 + int(b[0])
		out = fmt.Appendf(out, "%X", b[1:size])
	case valueText:
		end := bytes.IndexByte(b, 0)
		if end < 0 {
			return out, b, false
		}
		for _, c := range b[:end] {
			if c == '\n' || c == '\r' {
				c = ' ' // a line's end would shift every pair after it
			}
			out = append(out, c)
		}
		size = end + 1
	}
	return out, b[size:], true
}
