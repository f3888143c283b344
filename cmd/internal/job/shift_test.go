// Tests of movements as people write them.

package job

import (
	"slices"
	"strings"
	"testing"
)

func TestParseShift(t *testing.T) {
	for _, tc := range []struct {
		text string
		want []float64 // nil for refused
	}{
		{"0.06,-0.053", []float64{0.06, -0.053}},
		{"0.06,-0.053,0.01", []float64{0.06, -0.053, 0.01}},
		{"+0.06, -0.053", []float64{0.06, -0.053}},
		{"0.1,0.2, 0.3", []float64{0.1, 0.2, 0.3}},
		{" 0.06 -0.053 ", []float64{0.06, -0.053}},
		{"0.06;-0.053", []float64{0.06, -0.053}},
		{"0,06;-0,053", []float64{0.06, -0.053}},
		{"0,06; -0,053; 0,1", []float64{0.06, -0.053, 0.1}},
		{"0,06 -0,053", []float64{0.06, -0.053}},
		{"0,06, -0,053", []float64{0.06, -0.053}},
		{"60mm,-53mm", []float64{0.06, -0.053}},
		{"60 mm, -53 mm", []float64{0.06, -0.053}},
		{"60mm -53mm", []float64{0.06, -0.053}},
		{"60mm;-5,3cm", []float64{0.06, -0.053}},
		{"6cm,-53mm,0.01m", []float64{0.06, -0.053, 0.01}},
		{"60mm,0", []float64{0.06, 0}},
		{"0.06 m, - 0.053 m", []float64{0.06, -0.053}},
		{"0.06,\u22120.053", []float64{0.06, -0.053}},
		{"1,2", []float64{1, 2}},
		{"1, 2", []float64{1, 2}},
		{"1 2 3", []float64{1, 2, 3}},
		{"5e-3,0", []float64{0.005, 0}},
		{"0;0", []float64{0, 0}},
		{"", nil},
		{"0.06", nil},
		{"0,06", nil},             // 0 and 6, or 6 cm
		{"0,06,-0,053", nil},      // what divides is not told from decimals
		{"1,2 3", nil},            // 1.2 and 3, or three
		{"1,2, 3", nil},           // the same
		{"60mm,-53", nil},         // metres or millimetres
		{"0.1,0.2,0.3,0.4", nil},  // four
		{"2in,1in", nil},          // no unit of a survey
		{"0.06,north", nil},       //
		{"0.06,NaN", nil},         //
		{"0x10,0", nil},           //
		{"0.06,,0.053", nil},      //
		{"1.234,56;7", nil},       // thousands
		{"0.06,-0.053 0.01", nil}, // two things divide
	} {
		got, err := ParseShift(tc.text)
		if tc.want == nil {
			if err == nil {
				t.Errorf("%q is read as %v", tc.text, got)
			}
			continue
		}
		if err != nil || !slices.Equal(got, tc.want) {
			t.Errorf("%q: %v, %v; want %v", tc.text, got, err, tc.want)
		}
	}
	_, err := (&Job{}).shift("0,06,-0,053")
	e, ok := err.(*Error)
	if !ok || !e.Asked || !strings.Contains(e.Mend, "0,06;-0,053") || !strings.Contains(e.Mend, "0.06,-0.053") {
		t.Errorf("the error gives no exact form: %v", err)
	}
}

func TestJoinShift(t *testing.T) {
	for _, tc := range []struct{ in, want string }{
		{"drift p --shift 0.06 -0.053", "drift|p|--shift|0.06 -0.053"},
		{"drift p --shift 0.06 -0.053 0.01 --sigma 1", "drift|p|--shift|0.06 -0.053 0.01|--sigma|1"},
		{"drift p --shift=0.06 -0.053", "drift|p|--shift=0.06 -0.053"},
		{"drift p --shift 60mm, -53mm", "drift|p|--shift|60mm, -53mm"},
		{"drift --shift 0.06,-0.053 5", "drift|--shift|0.06,-0.053|5"},
		{"drift --shift 0.06,-0.053 p", "drift|--shift|0.06,-0.053|p"},
		{"drift --shift 0.06 p", "drift|--shift|0.06|p"},
		{"drift p --sigma 0.06 -0.053", "drift|p|--sigma|0.06|-0.053"},
		{"drift p --shift", "drift|p|--shift"},
		{"drift -- --shift 1 2", "drift|--|--shift|1|2"},
	} {
		if got := strings.Join(JoinShift(strings.Fields(tc.in), "--shift"), "|"); got != tc.want {
			t.Errorf("%s: %s, want %s", tc.in, got, tc.want)
		}
	}
}

func FuzzParseShift(f *testing.F) {
	for _, s := range []string{"0.06,-0.053", "0,06;-0,053", "60mm,-53mm", "60 mm; - 53 mm", "1,2 3", ",,", ";", "\u2212 1,1"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		v, err := ParseShift(s)
		if err == nil && len(v) != 2 && len(v) != 3 {
			t.Errorf("%q is %v", s, v)
		}
	})
}
