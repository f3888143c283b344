// Tests of the XML reader: what it takes in stride, and each thing it refuses
// with its place.

package xml

import (
	"errors"
	"fmt"
	"strings"
	"testing"
)

// words is a vocabulary that takes everything and notes warnings.
type words struct{ warned []string }

func (w *words) SpaceOf(uri string, _ int) Space       { return Space(len(uri)) }
func (w *words) Unbound(prefix []byte, _ int) Space    { return Space(100 + len(prefix)) }
func (w *words) Fault(at int, problem, _ string) error { return fmt.Errorf("%d: %s", at, problem) }
func (w *words) Warn(kind string, _ int, _ string, _ ...any) {
	w.warned = append(w.warned, kind)
}

// tokens writes what a text holds: +start(attributes) "text" -end.
func tokens(text string, nesting int) (string, []string, error) {
	w := &words{}
	r := Reader{Data: []byte(text), Format: "X", Nesting: nesting, Vocabulary: w}
	var b strings.Builder
	for n := 0; ; n++ {
		t, err := r.Next()
		if err != nil {
			return b.String(), w.warned, err
		}
		if t.From < 0 || t.To < t.From || t.To > len(text) || n > 2*len(text)+2 {
			return "", nil, errors.New("a token out of place")
		}
		switch t.Kind {
		case EOF:
			return b.String(), w.warned, nil
		case Start:
			fmt.Fprintf(&b, "+%s(", t.Local)
			for _, a := range t.Attrs {
				v, err := r.AttrText(a)
				if err != nil {
					return "", nil, err
				}
				fmt.Fprintf(&b, "%s=%q", a.Local, v)
			}
			fmt.Fprintf(&b, ")%d", t.Space)
		case End:
			fmt.Fprintf(&b, "-%s", t.Local)
		case Text:
			s, err := r.AppendText(nil, t)
			if err != nil {
				return "", nil, err
			}
			if string(s) != text[t.From:t.To] && r.Plain(t) {
				return "", nil, errors.New("plain text is not itself")
			}
			fmt.Fprintf(&b, "%q", s)
		}
	}
}

func TestReader(t *testing.T) {
	for _, tt := range []struct{ name, in, want, warned string }{
		{"plain", `<a x="1" y='"'><b/>t</a>`, `+a(x="1"y="\"")100+b()100-b"t"-a`, ""},
		{"namespaces", `<p:a xmlns:p="uu" xmlns="vvv"><b xmlns=""/></p:a>`, `+a(p="uu"xmlns="vvv")2+b(xmlns="")0-b-a`, ""},
		{"comment and instruction", "<?xml version='1.0'?><!-- <x> --><a><!-- -- > --><?p ?></a> \n<!-- end -->", `+a()100-a`, ""},
		{"CDATA", "<a><![CDATA[<&amp;]]]]></a>", `+a()100"<&amp;]]"-a`, ""},
		{"a DOCTYPE that only names something", `<!DOCTYPE a SYSTEM "x>y"><a/>`, `+a()100-a`, "doctype"},
		{"references", "<a>&amp;&lt;&gt;&quot;&apos;&#65;&#x42;&#X43;&nbsp;</a>", "+a()100\"&<>\\\"'ABC\\u00a0\"-a", "html-entity"},
		{"bare ampersands", "<a>1 & 2 &c; &&#x;</a>", "", "0"},
		{"bare ampersands that read", "<a>1 & 2 &c; &notit; &</a>", `+a()100"1 & 2 &c; &notit; &"-a`, "bare-ampersand bare-ampersand bare-ampersand bare-ampersand"},
		{"line ends", "<a x='1\r\n2\t3'>4\r\n5\r6</a>", `+a(x="1 2 3")100"4\n5\n6"-a`, ""},
		{"blanks about =", "<a x = '1'\n\ty\t=\r\n\"2\" />", `+a(x="1"y="2")100-a`, ""},
		{"white space alone", "<a x='\t' y='\n' z='\r'/>", `+a(x=" "y=" "z=" ")100-a`, ""},
		{"line ends in CDATA and at its end", "<a><![CDATA[1\r\n&\r]]></a>", `+a()100"1\n&\n"-a`, ""},
		{"a line end last", "<a>x\r</a>", `+a()100"x\n"-a`, ""},
		{"pieces of U+FFFE", "<a>\xef</a><!-- -->", `+a()100"\xef"-a`, ""},
		{"larger pieces", "<a>\xef\xbf</a>", `+a()100"\xef\xbf"-a`, ""},
		{"a name without a prefix before a colon", "<a><b x:y='1'/></a>", `+a()100+b(y="1")100-b-a`, ""},
		{"the last character", "<a>&#x10FFFF;&#xE000;&#xD7FF;&#x10000;&#32;&#9;</a>", "+a()100\"\\U0010ffff\\ue000\\ud7ff\U00010000 \\t\"-a", ""},
		{"the last character but two", "<a>\uFFFD&#xFFFD;</a>", "+a()100\"\ufffd\ufffd\"-a", ""},
	} {
		got, warned, err := tokens(tt.in, 10)
		if tt.warned == "0" {
			if err == nil {
				t.Errorf("%s: no error", tt.name)
			}
			continue
		}
		if err != nil || got != tt.want || strings.Join(warned, " ") != tt.warned {
			t.Errorf("%s: got %s, %s, %v; want %s, %s", tt.name, got, warned, err, tt.want, tt.warned)
		}
	}
}

func TestReaderRefuses(t *testing.T) {
	many := func(format string, n int) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, format, i)
		}
		return b.String()
	}
	for _, tt := range []struct {
		name, in string
		at       int
		want     string
	}{
		{"U+FFFE", "<a>x\uFFFE</a>", 4, "the character U+FFFE stands in the text"},
		{"U+FFFF", "<a>x\uFFFF</a>", 4, "the character U+FFFF"},
		{"U+FFFE in an attribute", "<a x='\uFFFE'/>", 3, "U+FFFE"},
		{"a reference to U+FFFE", "<a>&#xFFFE;</a>", 3, "no character that XML allows"},
		{"a reference to a surrogate", "<a>&#xD800;</a>", 3, "no character"},
		{"a reference to a control character", "<a>&#31;</a>", 3, "no character"},
		{"a reference past Unicode", "<a>&#x110000;</a>", 3, "no character"},
		{"a control character", "<a>x\x1f</a>", 4, "0x1f"},
		{"an attribute twice", "<a x='1' y='2' x='1'/>", 15, "the attribute x stands twice in <a>"},
		{"a namespace twice", "<a xmlns:p='1' xmlns:p='1'/>", 15, "stands twice"},
		{"definitions", `<!DOCTYPE a [<!ENTITY b "c">]><a/>`, 0, "definitions of its own"},
		{"a DOCTYPE inside", `<a><!DOCTYPE a></a>`, 3, "inside the document"},
		{"a declaration", `<!ENTITY b "c"><a/>`, 0, "no declaration may"},
		{"crossed", "<a><b></a></b>", 6, "</a> stands where <b>"},
		{"cut off", "<a>\n<b>", 7, "ends inside <b>, which starts at line 2"},
		{"text before", " x<a/>", 1, "text stands before"},
		{"text after", "<a/>x", 4, "after the end"},
		{"a second root", "<a/><b/>", 4, "after the end"},
		{"an end tag first", "</a>", 0, "closes nothing"},
		{"a bare <", "<a>1 < 2</a>", 5, "no element starts"},
		{"a < at the end", "<a>1 <", 5, "no element starts"},
		{"a < alone", "<", 0, "no element starts"},
		{"a colon before no name", "<p:1/>", 2, "where an attribute"},
		{"a reference to nothing", "<a>xy&#;</a>", 5, "no character"},
		{"a reference to a control character further on", "<a>xy&#31;</a>", 5, "no character"},
		{"a reference to the last surrogate", "<a>&#xDFFF;</a>", 3, "no character"},
		{"a DOCTYPE without an end", "<!DOCTYPE a", 0, "the DOCTYPE does not end"},
		{"< in an attribute", "<a x='<'/>", 3, "a < stands in the value"},
		{"no quotes", "<a x=1/>", 3, "not in quotes"},
		{"no value", "<a x/>", 3, "has no value"},
		{"attributes without a space", "<a x='1'y='2'/>", 8, "where an attribute"},
		{"a comment without an end", "<a><!-->", 3, "a comment does not end"},
		{"257 attributes", "<a " + many("x%d='' ", 257) + "/>", -1, "more than 256 attributes"},
		{"11 deep", strings.Repeat("<a>", 11), 30, "more than 10 deep"},
	} {
		got, _, err := tokens(tt.in, 10)
		if err == nil || !strings.Contains(err.Error(), tt.want) || tt.at >= 0 && !strings.HasPrefix(err.Error(), fmt.Sprintf("%d: ", tt.at)) {
			t.Errorf("%s: got %s, %v; want %d: %s", tt.name, got, err, tt.at, tt.want)
		}
	}
	for _, in := range []string{"<a " + many("x%d='' ", 256) + "/>", strings.Repeat("<a>", 10) + strings.Repeat("</a>", 10)} {
		if _, _, err := tokens(in, 10); err != nil {
			t.Errorf("at the limit: %v", err)
		}
	}
}

// leaves reads a text as tokens does, with Leaf wherever it will, and without
// the white space that Leaf may pass over.
func leaves(text string, leaf bool) (string, error) {
	r := Reader{Data: []byte(text), Format: "X", Nesting: 4, Vocabulary: &words{}}
	var b strings.Builder
	for {
		if leaf {
			if name, text, ok := r.Leaf(); ok {
				fmt.Fprintf(&b, "+%s(", name)
				if len(text) > 0 {
					fmt.Fprintf(&b, "%q", text)
				}
				fmt.Fprintf(&b, "-%s", name)
				continue
			}
		}
		t, err := r.Next()
		switch {
		case err != nil || t.Kind == EOF:
			return b.String(), err
		case t.Kind == Start:
			name := string(t.Local)
			if t.Prefix != nil {
				name = string(t.Prefix) + ":" + name
			}
			fmt.Fprintf(&b, "+%s(", name)
			for _, a := range t.Attrs {
				fmt.Fprintf(&b, "%s=%q", a.Local, a.Value)
			}
		case t.Kind == End:
			fmt.Fprintf(&b, "-%s", t.Local)
		case t.Kind == Text && (len(r.Open) > 1 || !AllSpace(r.Data[t.From:t.To])):
			fmt.Fprintf(&b, "%q", r.Data[t.From:t.To])
		}
	}
}

// Leaf reads nothing that Next would not, and refuses nothing that it would
// take.
func TestLeafReadsAsNextDoes(t *testing.T) {
	taken := 0
	for _, text := range []string{
		"<a><b>1</b>\n<c> 2 </c></a>", "<a><b></b></a>", "<a><b/><c>1</c></a>", "<a><b >1</b ></a>", "<a><b x=''>1</b></a>", "<a><p:b>1</p:b></a>", "<a><b>1</c></a>", "<a><b>1</bb></a>", "<a><bb>1</b></a>",
		"<a><b>1<!-- --></b></a>", "<a><b><![CDATA[1]]></b></a>", "<a><b>1", "<a><b>1</b", "<a><b>1</", "<a><b", "<a><", "<b>1</b>", "<a><b><c><d>1</d></c></b></a>", "<a><b><c><d><e>1</e></d></c></b></a>", "<a><1>1</1></a>", "<a>t<b>1</b></a>",
	} {
		with, err := leaves(text, true)
		without, wantErr := leaves(text, false)
		if with != without || fmt.Sprint(err) != fmt.Sprint(wantErr) {
			t.Errorf("%s: %s, %v; want %s, %v", text, with, err, without, wantErr)
		}
		r := Reader{Data: []byte(text), Nesting: 4, Vocabulary: &words{}}
		if _, err := r.Next(); err == nil {
			if _, _, ok := r.Leaf(); ok {
				taken++
			}
		}
	}
	if taken != 2 {
		t.Errorf("%d texts begin with a leaf, want 2", taken)
	}
}

// TestCutOff: a document cut off anywhere is an error, and whole it is none.
func TestCutOff(t *testing.T) {
	for _, whole := range []string{`<p:a b = '1' c:d="2" />`, "<a xmlns:q = 'u'><q:b><!-- x --><![CDATA[y]]>&amp;\r</q:b\n></a>", "<!DOCTYPE a 'x'><a/>"} {
		if _, _, err := tokens(whole, 10); err != nil {
			t.Errorf("%s: %v", whole, err)
		}
		for i := 1; i < len(whole); i++ {
			if got, _, err := tokens(whole[:i], 10); err == nil && got != "" {
				t.Errorf("%s: read as %s", whole[:i], got)
			}
			Root([]byte(whole[:i]))
		}
	}
}

func TestIsChar(t *testing.T) {
	for c, want := range map[rune]bool{
		-1: false, 0: false, 8: false, 9: true, 0xa: true, 0xb: false, 0xc: false, 0xd: true, 0xe: false, 0x1f: false, 0x20: true,
		0xd7ff: true, 0xd800: false, 0xdfff: false, 0xe000: true, 0xfffd: true, 0xfffe: false, 0xffff: false, 0x10000: true, 0x10ffff: true, 0x110000: false,
	} {
		if IsChar(c) != want {
			t.Errorf("U+%04X: %v", c, !want)
		}
	}
	if Fits("a\ufffe") || !Fits("a\ufffd\t") {
		t.Error("what fits")
	}
}

// TestSlide: a document read in parts tells the lines of the whole.
func TestSlide(t *testing.T) {
	var at int
	w := &lines{at: &at}
	r := Reader{Data: []byte("<a>\n<b>\n"), Format: "X", Nesting: 9, Vocabulary: w}
	for range 4 {
		if _, err := r.Next(); err != nil {
			t.Fatal(err)
		}
	}
	r.Slide([]byte("x\n</b>\n"))
	if tok, err := r.Next(); err != nil || string(r.Data[tok.From:tok.To]) != "x\n" {
		t.Fatalf("%v %v", tok, err)
	}
	if tok, err := r.Next(); err != nil || tok.Kind != End || string(tok.Local) != "b" {
		t.Fatalf("%v %v", tok, err)
	}
	r.Slide([]byte("y\n</c>"))
	if _, err := r.Next(); err != nil {
		t.Fatal(err)
	}
	_, err := r.Next()
	if err == nil || !strings.Contains(err.Error(), "</c> stands where <a>, which starts at line 1,") || r.LineOf(at) != 6 {
		t.Errorf("%v at line %d", err, r.LineOf(at))
	}
}

// lines is a vocabulary that keeps where the fault is.
type lines struct {
	words
	at *int
}

func (l *lines) Fault(at int, problem, mend string) error {
	*l.at = at
	return l.words.Fault(at, problem, mend)
}

func TestSkipAndAttribute(t *testing.T) {
	r := Reader{Data: []byte("<a p:x='0' x='1&amp;'><b><c/>t</b></a>"), Format: "X", Nesting: 9, Vocabulary: &words{}}
	tok, err := r.Next()
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{"x": "1&", "y": "", "p:x": ""} {
		if got, ok, err := r.Attribute(tok, name); err != nil || ok != (want != "") || got != want {
			t.Errorf("%s: %q %v %v", name, got, ok, err)
		}
	}
	if _, err := r.Next(); err != nil { // <b>
		t.Fatal(err)
	}
	if err := r.Skip(); err != nil {
		t.Fatal(err)
	}
	if tok, err := r.Next(); err != nil || tok.Kind != End || string(tok.Local) != "a" {
		t.Errorf("after the element that was skipped: %v %v", tok, err)
	}
	for _, cut := range []string{"<a><b>", "<a></b>"} {
		r := Reader{Data: []byte(cut), Format: "X", Nesting: 9, Fragment: true, Vocabulary: &words{}}
		if _, err := r.Next(); err != nil {
			t.Fatal(err)
		}
		if err := r.Skip(); err == nil {
			t.Errorf("%s: skipped", cut)
		}
	}
}

func TestRoot(t *testing.T) {
	for in, want := range map[string]string{
		"<kml>": "kml", " <?xml ?><!-- <gpx> --><!DOCTYPE kml>\n<k:gpx a=''>": "gpx", "<kml/>": "kml",
		"<kml": "", "": "", "< >": "", "<": "", "<kml/": "kml", "<?x": "", "kml": "", "<!-- <gpx>": "", "{": "",
	} {
		if got, ok := Root([]byte(in)); ok != (want != "") || ok && string(got) != want {
			t.Errorf("%q: got %q, %v", in, got, ok)
		}
	}
}

func FuzzReader(f *testing.F) {
	for _, s := range []string{`<a x="1"><b/>t&amp;</a>`, "<a><![CDATA[x]]>", `<!DOCTYPE a><a xmlns:p="u" p:x=''>&#xFFFE;</a>`, "<a>\r\n&nbsp;</a>", "<?x", "<a/>x"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		tokens(string(data), 20)
		Root(data)
	})
}
