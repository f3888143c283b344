// Tests of what the formats share: numbers as text, rings on their way out,
// text checks, tallies, and writing in order.

package wire

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/crs"
	"swardline/schema"
)

func TestAppendFixed(t *testing.T) {
	tests := []struct {
		v        float64
		decimals int
		want     string
	}{
		{0, 10, "0"}, {math.Copysign(0, -1), 10, "0"}, {-1e-11, 10, "0"}, {9, 10, "9"}, {9.5, 10, "9.5"}, {-9.1234567891, 10, "-9.1234567891"},
		{1e-7, 10, "0.0000001"}, {0.1 + 0.2, 10, "0.3"}, {179.99999999996, 10, "180"}, {500012.345678, 5, "500012.34568"}, {-0.00001, 5, "-0.00001"},
		{100, 5, "100"}, {120, 0, "120"}, {1.26, 1, "1.3"}, {2.5, 0, "2"}, {1e22, 5, "10000000000000000000000"}, {1234567890123.5, 10, "1234567890123.5"}, {-1e300, 0, "-" + strconv.FormatFloat(1e300, 'f', 0, 64)},
	}
	for _, tt := range tests {
		if got := string(AppendFixed([]byte("x"), tt.v, tt.decimals)); got != "x"+tt.want {
			t.Errorf("%v with %d decimals: %s, want x%s", tt.v, tt.decimals, got, tt.want)
		}
	}
}

// TestFixedReadsBack holds writing, rounding and reading against each other and
// against the standard library.
func TestFixedReadsBack(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	for i := 0; i < 200_000; i++ {
		decimals := r.IntN(12)
		v := (r.Float64() - 0.5) * math.Pow(10, float64(r.IntN(14)-3))
		text := AppendFixed(nil, v, decimals)
		read, ok := ParseFloat(text)
		if !ok || read != Round(v, decimals) {
			t.Fatalf("%v with %d decimals is written %s, read %v, rounded %v", v, decimals, text, read, Round(v, decimals))
		}
		if again := AppendFixed(nil, read, decimals); !bytes.Equal(again, text) {
			t.Fatalf("%s is written again as %s", text, again)
		}
		// Within half a unit of the last decimal, and a little for the product.
		if d := math.Abs(read - v); d > 0.5000001*math.Pow(10, -float64(decimals))+math.Abs(v)*1e-15 {
			t.Fatalf("%v with %d decimals is written %s, %g off", v, decimals, text, d)
		}
	}
}

// TestKeptDigits: what somebody wrote is written as it was; what a computation
// left over is written as a degree within 180 and as a length past it.
func TestKeptDigits(t *testing.T) {
	for _, tt := range []struct {
		v    float64
		want string
	}{
		{0, "0"}, {math.Copysign(0, -1), "0"}, {0.1, "0.1"}, {-12.25, "-12.25"}, {123456789.012345, "123456789.012345"}, {9007199254740991, "9007199254740991"},
		{0.000123456789012345, "0.000123456789012345"}, {0.1 + 0.2, "0.3"}, {1. / 3, "0.3333333333"}, {11.123456789012345, "11.123456789"},
		{179.12345678901234, "179.123456789"}, {-179.12345678901234, "-179.123456789"}, {180.12345678901234, "180.12346"}, {-180.12345678901234, "-180.12346"},
	} {
		if got := string(AppendFixed(nil, tt.v, KeptDecimals)); got != tt.want {
			t.Errorf("%v: %s, want %s", tt.v, got, tt.want)
		}
		if read, _ := ParseFloat([]byte(tt.want)); Round(tt.v, KeptDecimals) != read {
			t.Errorf("%v: rounded to %v, written %s", tt.v, Round(tt.v, KeptDecimals), tt.want)
		}
	}
	for _, decimals := range []int{KeptDecimals, 0, 10} {
		if v := Round(math.Copysign(0, -1), decimals); math.Signbit(v) {
			t.Errorf("%d decimals: -0 stays", decimals)
		}
	}
}

// TestScanFloat: JSON is stricter than a list of coordinates (RFC 8259 section
// 6).
func TestScanFloat(t *testing.T) {
	for _, tt := range []struct {
		text       string
		json, list int // index behind the number, -1 for none
	}{
		{"0", 1, 1}, {"-0,", 2, 2}, {"10 ", 2, 2}, {"01", -1, 2}, {"-01", -1, 3}, {"00", -1, 2}, {"0.5", 3, 3}, {"1.", -1, 2}, {"1.e5", -1, 4}, {".5", -1, 2}, {"-.5", -1, 3},
		{"+1", -1, 2}, {"1e5", 3, 3}, {"1e+5]", 4, 4}, {"1e", -1, -1}, {"-", -1, -1}, {"", -1, -1}, {"x", -1, -1}, {"1/", 1, 1}, {"1:", 1, 1}, {"1.2.3", 3, 3},
	} {
		for json, want := range map[bool]int{true: tt.json, false: tt.list} {
			_, next, ok := ScanFloat([]byte(tt.text), 0, json)
			if !ok {
				next = -1
			}
			if next != want {
				t.Errorf("%q, as JSON %v: up to %d, want %d", tt.text, json, next, want)
			}
		}
	}
}

// TestScanFloatManyDigits: digits that are read eight at a time give what Go's
// own parser gives, whatever stands among them.
func TestScanFloatManyDigits(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	for range 200000 {
		b := make([]byte, 0, 40)
		for range 1 + r.IntN(3) {
			b = append(b, byte('0'+r.IntN(10)))
		}
		b = append(b, '.')
		for range 1 + r.IntN(24) {
			b = append(b, byte('0'+r.IntN(10)))
		}
		end := len(b)
		switch r.IntN(4) {
		case 0:
			b = append(b, ",1234567890"...)
		case 1: // any byte in the middle ends the number there
			at := 2 + bytes.IndexByte(b, '.') + r.IntN(8)
			if c := byte(r.IntN(256)); at < len(b) && !IsDigit(c) && c != 'e' && c != 'E' {
				b[at], end = c, at
			}
		}
		v, next, ok := ScanFloat(b, 0, false)
		if want, err := strconv.ParseFloat(string(b[:end]), 64); err != nil || !ok || next != end || v != want {
			t.Fatalf("%q: %v up to %d, %v; want %v up to %d", b, v, next, ok, want, end)
		}
	}
}

func TestKindsOfBytes(t *testing.T) {
	for c := range 256 {
		for name, x := range map[string]struct {
			got bool
			of  string
		}{
			"digit": {IsDigit(byte(c)), "0123456789"}, "number": {IsNumberByte(byte(c)), "0123456789+-.eE"},
			"letter": {IsLetter(byte(c)), "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"},
		} {
			if x.got != strings.Contains(x.of, string([]byte{byte(c)})) {
				t.Errorf("0x%02x is a %s: %v", c, name, x.got)
			}
		}
	}
	for _, tt := range []struct{ in, want string }{{"abcd", "abcd"}, {"abcde", "abcd..."}, {"abc\u00e9", "abc..."}, {"\u00e9\u00e9", "\u00e9\u00e9"}, {"\u7dd1\u7dd1", "\u7dd1..."}, {"\x80\x80\x80\x80\x80", "..."}} {
		if got := Clip([]byte(tt.in), 4); got != tt.want {
			t.Errorf("%q is clipped to %q, want %q", tt.in, got, tt.want)
		}
	}
	for in, want := range map[string]string{"": "", " Gr\u00fcn  Fl\u00e4che (2)": "grun_flache_2", "--A--": "a", "a": "a", "\u00d8-b": "o_b"} {
		if got := Fold(in); got != want {
			t.Errorf("%q is folded to %q, want %q", in, got, want)
		}
	}
}

func TestCaps(t *testing.T) {
	if got := new(ReadOptions).Caps(); !reflect.DeepEqual(got, schema.DefaultLimits()) {
		t.Errorf("without limits: %+v", got)
	}
	own := schema.DefaultLimits()
	own.InputMaxBytes = 7
	if got := (&ReadOptions{Limits: own}).Caps(); got.InputMaxBytes != 7 {
		t.Errorf("with limits: %+v", got)
	}
}

func TestParseFloat(t *testing.T) {
	for _, bad := range []string{"", "-", "+", ".", "-.", "e5", "1e", "1e+", "inf", "-Inf", "NaN", "0x1p-2", "1_000", " 1", "1 ", "1,5", "1e400", "--1", "1.2.3"} {
		if v, ok := ParseFloat([]byte(bad)); ok {
			t.Errorf("%q is read as %v", bad, v)
		}
	}
	r := rand.New(rand.NewPCG(8, 8))
	texts := []string{"0", "-0", "+5", ".5", "5.", "007", "1e5", "1E-5", "9007199254740993", "0.1234567890123456789012345", "179.99999999999999999", "1e-400", "123456789012345678901234567890"}
	for i := 0; i < 50_000; i++ {
		texts = append(texts, strconv.FormatFloat((r.Float64()-0.5)*math.Pow(10, float64(r.IntN(30)-10)), "efg"[r.IntN(3)], r.IntN(20), 64))
	}
	for _, s := range texts {
		want, err := strconv.ParseFloat(s, 64)
		got, ok := ParseFloat([]byte(s))
		if err != nil || !ok || math.Float64bits(got) != math.Float64bits(want) {
			t.Fatalf("%s is read as %v, %v; want %v, %v", s, got, ok, want, err)
		}
	}
}

func TestForRings(t *testing.T) {
	square := []float64{0, 0, 2, 0, 2, 2, 0, 2, 0, 0} // anticlockwise
	turned := []float64{0, 0, 0, 2, 2, 2, 2, 0, 0, 0} // the same, reversed, first point first
	open := square[:8]
	hole := []float64{0.5, 0.5, 1, 0.5, 1, 1, 0.5, 0.5}
	holeTurned := []float64{0.5, 0.5, 1, 1, 1, 0.5, 0.5, 0.5}
	none := []string(nil)
	tests := []struct {
		name     string
		role     schema.Role
		from, to schema.Winding
		shell    []float64
		hole     []float64
		want     []float64
		wantHole []float64
		kinds    []string
	}{
		{"as it stands", schema.RoleZone, schema.WindingStandard, schema.WindingStandard, square, holeTurned, square, holeTurned, none},
		{"standard to driven, zone", schema.RoleZone, schema.WindingStandard, schema.WindingDriven, square, holeTurned, turned, hole, none},
		{"standard to driven, keepout", schema.RoleKeepout, schema.WindingStandard, schema.WindingDriven, square, holeTurned, square, holeTurned, none},
		{"driven to standard, zone", schema.RoleZone, schema.WindingDriven, schema.WindingStandard, turned, hole, square, holeTurned, none},
		{"against its own promise", schema.RoleZone, schema.WindingStandard, schema.WindingStandard, turned, hole, square, holeTurned, []string{"ring-reversed 2"}},
		{"against its own promise, right for the target", schema.RoleZone, schema.WindingStandard, schema.WindingDriven, turned, hole, turned, hole, []string{"ring-reversed 2"}},
		{"no promise", schema.RoleZone, schema.WindingUnstated, schema.WindingStandard, turned, hole, square, holeTurned, none},
		{"no wish", schema.RoleZone, schema.WindingStandard, schema.WindingUnstated, square, holeTurned, square, holeTurned, none},
		{"open", schema.RoleZone, schema.WindingStandard, schema.WindingStandard, open, holeTurned, square, holeTurned, []string{"ring-closed 1"}},
		{"without area", schema.RoleZone, schema.WindingStandard, schema.WindingDriven, []float64{0, 0, 1, 1, 2, 2, 0, 0}, holeTurned, []float64{0, 0, 1, 1, 2, 2, 0, 0}, hole, none},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			flat := append(append([]float64(nil), tt.shell...), tt.hole...)
			before := append([]float64(nil), flat...)
			want := append(append([]float64(nil), tt.want...), tt.wantHole...)
			polygon := geom.NewPolygonFlat(geom.XY, flat, []int{len(tt.shell), len(flat)})
			multi := geom.NewMultiPolygonFlat(geom.XY, append(append([]float64(nil), flat...), flat...), [][]int{{len(tt.shell), len(flat)}, {len(flat) + len(tt.shell), 2 * len(flat)}})
			for i, g := range []geom.T{polygon, multi, geom.NewGeometryCollection().MustPush(polygon, geom.NewPointFlat(geom.XY, []float64{1, 2}))} {
				var tally Tally
				f := &schema.Feature{Role: tt.role, Geometry: g}
				out := ForRings(f, nil, tt.from, tt.to, &tally)
				if c, ok := out.(*geom.GeometryCollection); ok {
					out = c.Geom(0)
				}
				w := want
				if i == 1 {
					w = append(append([]float64(nil), want...), want...)
				}
				if !reflect.DeepEqual(out.FlatCoords(), w) {
					t.Errorf("geometry %d: %v, want %v", i, out.FlatCoords(), w)
				}
				if i == 1 {
					ends := out.Endss()
					if n := len(want); len(ends) != 2 || ends[0][1] != n || ends[1][1] != 2*n || ends[1][0] != n+len(tt.want) {
						t.Errorf("ends %v", ends)
					}
					continue // counts double
				}
				var kinds []string
				for _, x := range tally.Warnings() {
					kinds = append(kinds, fmt.Sprintf("%s %d", x.Kind, x.Count))
				}
				if !reflect.DeepEqual(kinds, tt.kinds) {
					t.Errorf("geometry %d: %v, want %v", i, kinds, tt.kinds)
				}
			}
			if !reflect.DeepEqual(polygon.FlatCoords(), before) {
				t.Error("the feature was changed")
			}
		})
	}
}

// TestRingsThatAreEmpty: parts and rings without a point stand as they are, and
// the messages count outlines from 1.
func TestRingsThatAreEmpty(t *testing.T) {
	square := []float64{0, 0, 2, 0, 2, 2, 0, 2, 0, 0}
	open := append(append([]float64(nil), square...), 0.5, 0.5, 1, 0.5, 1, 1)
	f := &schema.Feature{ID: schema.String("z1"), Role: schema.RoleZone}
	for _, tt := range []struct {
		name string
		g    geom.T
		want string
	}{
		{"no polygon", geom.NewMultiPolygon(geom.XY), "[] "},
		{"an empty part", geom.NewMultiPolygonFlat(geom.XY, square, [][]int{{}, {len(square)}}), "[0 0 2 0 2 2 0 2 0 0] "},
		{"an empty part last", geom.NewMultiPolygonFlat(geom.XY, square, [][]int{{len(square)}, {}}), "[0 0 2 0 2 2 0 2 0 0] "},
		{"an empty ring", geom.NewPolygonFlat(geom.XY, nil, []int{0}), "[] "},
		{"no ring", geom.NewPolygon(geom.XY), "[] "},
		{"an open hole that runs the wrong way", geom.NewPolygonFlat(geom.XY, open, []int{len(square), len(open)}), "[0 0 2 0 2 2 0 2 0 0 0.5 0.5 1 1 1 0.5 0.5 0.5] " +
			`outline 2 of "z1" was open; it is written closed. outline 2 of "z1" ran the wrong way round; it is written the right way. `},
	} {
		var tally Tally
		f.Geometry = tt.g
		got := fmt.Sprint(ForRings(f, nil, schema.WindingStandard, schema.WindingStandard, &tally).FlatCoords()) + " "
		for _, w := range tally.Warnings() {
			got += w.Message + ". "
		}
		if got != tt.want {
			t.Errorf("%s: %s, want %s", tt.name, got, tt.want)
		}
	}
}

func TestTally(t *testing.T) {
	var a, b Tally
	a.Add("x", 3, "p", "first %d", 1)
	a.AddN("x", 4, 9, "q", "second")
	b.Add("y", 5, "r", "100%% of %s", "y")
	b.AddN("x", 2, 0, "", "third")
	a.Merge(&b)
	want := []Warning{{"x", 7, "first 1", 3, "p"}, {"y", 1, "100% of y", 5, "r"}}
	if !reflect.DeepEqual(a.Warnings(), want) {
		t.Errorf("%+v", a.Warnings())
	}
	if l := a.Losses(); !reflect.DeepEqual(l, []Loss{{Kind: "x", Count: 7, Message: "first 1"}, {Kind: "y", Count: 1, Message: "100% of y"}}) {
		t.Errorf("%+v", l)
	}
	if l := new(Tally).Losses(); l != nil {
		t.Errorf("%+v", l)
	}
}

func TestInputErrorText(t *testing.T) {
	for want, e := range map[string]InputError{
		"f:3:7: a.b: bad; mend it": {File: "f", Line: 3, Column: 7, Path: "a.b", Problem: "bad", Mend: "mend it"},
		"f:3: bad":                 {File: "f", Line: 3, Problem: "bad"},
		"f: bad":                   {File: "f", Column: 7, Problem: "bad"},
		"bad":                      {Problem: "bad"},
	} {
		if got := e.Error(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func TestLineColumn(t *testing.T) {
	text := []byte("ab\ncd\n\ne")
	for at, want := range map[int][2]int{0: {1, 1}, 2: {1, 3}, 3: {2, 1}, 6: {3, 1}, 7: {4, 1}, 8: {4, 2}, 99: {4, 2}} {
		if line, column := LineColumn(text, at); line != want[0] || column != want[1] {
			t.Errorf("byte %d: %d:%d, want %v", at, line, column, want)
		}
	}
}

func TestCheckText(t *testing.T) {
	var tally Tally
	got, err := CheckText([]byte("\ufeffabc"), "f", &tally)
	if err != nil || string(got) != "abc" || len(tally.Warnings()) != 1 {
		t.Errorf("%q %v %v", got, err, tally.Warnings())
	}
	if got, err := CheckText([]byte("gr\xe4s"), "f", nil); err != nil || len(got) != 4 {
		t.Errorf("text that is not UTF-8 is for CheckUTF8: %v", err)
	}
	for text, want := range map[string]string{
		"": "f: the file is empty", "\ufeff": "f: the file is empty", " \r\n": "f: the file is empty",
		"\xff\xfea\x00": "f:1: the text is UTF-16", "\xfe\xff\x00a": "f:1: the text is UTF-16", "a\x00b\x00c\x00": "f:1: the text is UTF-16", "\x00a\x00b": "f:1: the text is UTF-16",
		"\xff\xfe\x00\x00a\x00\x00\x00": "f:1: the text is UTF-32", "\x00\x00\xfe\xff": "f:1: the text is UTF-32", "ab\nc\x00d": "f:2:2: a NUL byte", "\x00bcd": "f:1:1: a NUL byte",
	} {
		var in *InputError
		if _, err := CheckText([]byte(text), "f", nil); !errors.As(err, &in) || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
	if err := CheckUTF8([]byte("gräs"), "f"); err != nil {
		t.Error(err)
	}
	if err := CheckUTF8([]byte("a\ngr\xe4s"), "f"); err == nil || err.Error() != "f:2:3: the byte 0xe4 is not UTF-8; save the file again with the encoding UTF-8" {
		t.Error(err)
	}
}

type limitedWriter struct{ room int }

var errFull = errors.New("full")

func (w *limitedWriter) Write(b []byte) (int, error) {
	if len(b) > w.room {
		return 0, errFull
	}
	w.room -= len(b)
	return len(b), nil
}

func TestWriteInOrder(t *testing.T) {
	for _, n := range []int{0, 1, 63, 64, 65, parallelFrom - 1, parallelFrom, parallelFrom + 1, 5000} {
		var want bytes.Buffer
		for i := 0; i < n; i++ {
			fmt.Fprintf(&want, "%d,", i)
		}
		each := func(dst []byte, i int, t *Tally) ([]byte, error) {
			if i%10 == 3 {
				t.Add("three", i, "", "item %d", i)
			}
			return fmt.Appendf(dst, "%d,", i), nil
		}
		var got bytes.Buffer
		var tally Tally
		if err := WriteInOrder(&got, n, &tally, each); err != nil || !bytes.Equal(got.Bytes(), want.Bytes()) {
			t.Errorf("%d items: %v, %d bytes against %d", n, err, got.Len(), want.Len())
		}
		if n > 3 {
			if w := tally.Warnings(); len(w) != 1 || w[0].Count != (n+6)/10 || w[0].Message != "item 3" {
				t.Errorf("%d items: %+v", n, w)
			}
		}
	}
}

func TestWriteInOrderStopsAtTheFirstError(t *testing.T) {
	for _, n := range []int{100, 5000} {
		var got bytes.Buffer
		var tally Tally
		err := WriteInOrder(&got, n, &tally, func(dst []byte, i int, _ *Tally) ([]byte, error) {
			if i == 70 || i == 90 {
				return dst, fmt.Errorf("item %d", i)
			}
			return append(dst, 'x'), nil
		})
		if err == nil || err.Error() != "item 70" {
			t.Errorf("%d items: %v", n, err)
		}
		err = WriteInOrder(&limitedWriter{30}, n, &tally, func(dst []byte, i int, _ *Tally) ([]byte, error) { return append(dst, 'x'), nil })
		if !errors.Is(err, errFull) {
			t.Errorf("%d items to a full disk: %v", n, err)
		}
	}
}

// TestSerialWritingStops: a full disk ends the writing at the first block.
func TestSerialWritingStops(t *testing.T) {
	calls := 0
	item := bytes.Repeat([]byte{'x'}, 1<<10)
	err := WriteInOrder(&limitedWriter{1000}, 200, new(Tally), func(dst []byte, i int, _ *Tally) ([]byte, error) {
		calls++
		return append(dst, item...), nil
	})
	if !errors.Is(err, errFull) || calls != flushAt>>10 {
		t.Errorf("%v after %d items", err, calls)
	}
	var got bytes.Buffer
	if err := WriteInOrder(&got, 200, new(Tally), func(dst []byte, i int, _ *Tally) ([]byte, error) { return append(dst, item...), nil }); err != nil || got.Len() != 200<<10 {
		t.Errorf("%v, %d bytes", err, got.Len())
	}
}

func FuzzParseFloat(f *testing.F) {
	for _, s := range []string{"", "0", "-1.5e-7", "+.5", "5.", "1e400", "NaN", "0x1", "9007199254740993", "0.30000000000000004", "1_0"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got, ok := ParseFloat([]byte(s))
		want, err := strconv.ParseFloat(s, 64)
		lexical := strings.Trim(s, "0123456789+-.eE") == ""
		if ok != (err == nil && lexical) {
			t.Fatalf("%q: %v %v; the standard library says %v, %v", s, got, ok, want, err)
		}
		if ok && math.Float64bits(got) != math.Float64bits(want) {
			t.Fatalf("%q: %v, want %v", s, got, want)
		}
	})
}

func BenchmarkAppendFixed(b *testing.B) {
	buf := make([]byte, 0, 64)
	v := 11.2034567891
	for b.Loop() {
		buf = AppendFixed(buf[:0], v, 10)
		v += 1e-7
	}
}

// TestForRingsAcross180: which way round an outline across the 180th meridian
// runs is told on the round earth, and not of lengths.
func TestForRingsAcross180(t *testing.T) {
	across := []float64{179.9, 0, -179.9, 0, -179.9, 1, 179.9, 1, 179.9, 0} // anticlockwise
	f := &schema.Feature{Role: schema.RoleZone, Geometry: geom.NewPolygonFlat(geom.XY, across, []int{10})}
	for _, x := range []struct {
		c      *crs.CRS
		to     schema.Winding
		second float64 // x of the second point
	}{
		{crs.WGS84(), schema.WindingStandard, -179.9}, {crs.WGS84(), schema.WindingDriven, 179.9},
		{nil, schema.WindingStandard, 179.9}, {nil, schema.WindingDriven, -179.9},
	} {
		if got := ForRings(f, x.c, schema.WindingUnstated, x.to, &Tally{}).FlatCoords(); got[2] != x.second {
			t.Errorf("%v to %v: %v", x.c, x.to, got)
		}
	}
}
