// Binary drawings: the same content as the text form, bytes by hand, any bytes.

package dxf

import (
	"bytes"
	"encoding/binary"
	"encoding/hex"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"swardline/convert/wire"
	"swardline/schema"
)

// toBinary is the inverse of fromBinary, written from the same table of group
// codes; short is the form up to R12.
func toBinary(t testing.TB, text []byte, short bool) []byte {
	t.Helper()
	out := []byte("AnyProg" + binaryMark)
	s := scanner{data: text}
	le := binary.LittleEndian
	for s.next() {
		if s.code == 999 && len(out) == len("AnyProg"+binaryMark) {
			continue // the first pair tells the width of a group code
		}
		switch {
		case !short:
			out = le.AppendUint16(out, uint16(int16(s.code)))
		case s.code >= 0 && s.code < 255:
			out = append(out, byte(s.code))
		default:
			out = le.AppendUint16(append(out, 255), uint16(int16(s.code)))
		}
		value := strings.TrimSpace(string(s.value))
		whole := func() int64 {
			n, err := strconv.ParseInt(value, 10, 64)
			if err != nil {
				t.Fatalf("group code %d: %v", s.code, err)
			}
			return n
		}
		switch kindOf(s.code) {
		case valueReal:
			f, err := strconv.ParseFloat(value, 64)
			if err != nil {
				t.Fatal(err)
			}
			out = le.AppendUint64(out, math.Float64bits(f))
		case valueBool:
			out = append(out, byte(whole()))
		case valueInt16:
			out = le.AppendUint16(out, uint16(whole()))
		case valueInt32:
			out = le.AppendUint32(out, uint32(whole()))
		case valueInt64:
			out = le.AppendUint64(out, uint64(whole()))
		case valueChunk:
			raw, err := hex.DecodeString(value)
			if err != nil {
				t.Fatal(err)
			}
			out = append(append(out, byte(len(raw))), raw...)
		default:
			out = append(append(out, s.value...), 0)
		}
	}
	if s.err != nil {
		t.Fatal(s.err)
	}
	return out
}

// The demo drawing says the same in both forms.
func TestBinaryIsTheSameDrawing(t *testing.T) {
	text, err := os.ReadFile("../../examples/drawing/park.dxf")
	if err != nil {
		t.Fatal(err)
	}
	for _, short := range []bool{false, true} {
		data := toBinary(t, text, short)
		if !Detect(data) {
			t.Fatal("not known for a drawing")
		}
		want, told, err := Read(text, wire.ReadOptions{})
		if err != nil {
			t.Fatal(err)
		}
		got, warnings, err := Read(data, wire.ReadOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if err := schema.Same(want, got, 0); err != nil {
			t.Error(err)
		}
		if len(want.Features) == 0 || len(told) != len(warnings) {
			t.Errorf("%d features, warnings %v against %v", len(want.Features), told, warnings)
		}
	}
}

// Bytes written down by hand from the DXF reference: the mark, a group code of
// two bytes, text up to a 0, a double.
func TestBinaryByHand(t *testing.T) {
	section := func(name, inside string) string {
		return "\x00\x00SECTION\x00\x02\x00" + name + "\x00" + inside + "\x00\x00ENDSEC\x00"
	}
	data := "AnyProg Binary DXF\r\n\x1a\x00" +
		section("HEADER", "\x09\x00$INSUNITS\x00\x46\x00\x06\x00") +
		section("ENTITIES", "\x00\x00POINT\x00\x08\x00Marks\x00\x0a\x00\x00\x00\x00\x00\x00\x00\xf8\x3f\x14\x00\x00\x00\x00\x00\x00\x00\x04\xc0\xa0\x00\x01\x00\x00\x00\x00\x00\x00\x00\x36\x01\x02\xab\xcd") +
		"\x00\x00EOF\x00"
	p, _, err := Read([]byte(data), wire.ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Features) != 1 || p.Features[0].Attributes.Get(schema.PropLayer).Text() != "Marks" {
		t.Fatalf("%+v", p.Features)
	}
	if flat := p.Features[0].Geometry.FlatCoords(); flat[0] != 1.5 || flat[1] != -2.5 {
		t.Errorf("at %v", flat)
	}
	for n := 22; n < len(data); n++ {
		got, _, err := Read([]byte(data[:n]), wire.ReadOptions{Name: "x"})
		if err == nil && len(got.Features) != 1 {
			t.Errorf("%d bytes are read as %d features", n, len(got.Features))
		}
		if err != nil && strings.HasPrefix(err.Error(), "x:1") {
			t.Errorf("%d bytes: %v names a line, of which there are none", n, err)
		}
	}
	_, _, err = Read([]byte(strings.Replace(data, "\x08\x00Marks", "\x08\x40Marks", 1)), wire.ReadOptions{Name: "x.dxf"})
	if err == nil || err.Error() != "x.dxf: pair 9: there is no group code 16392; the file is damaged; export it again, or as an ASCII DXF" {
		t.Error(err)
	}
}

func FuzzBinary(f *testing.F) {
	f.Add(toBinary(f, []byte(drawing(lineOf("A", 1, 2, 3, 4))), false))
	f.Add(toBinary(f, []byte(drawing(lineOf("A", 1, 2, 3, 4))), true))
	f.Fuzz(func(t *testing.T, data []byte) {
		if !isBinary(data) {
			data = append([]byte("AnyProg"+binaryMark), data...)
		}
		text, err := fromBinary(data)
		if err == nil && (bytes.IndexByte(text, 0) >= 0 || bytes.Count(text, []byte("\n"))%2 != 0) {
			t.Fatalf("%q", text)
		}
		_, _, _ = Read(data, wire.ReadOptions{Name: "x", Unit: "m"})
	})
}
