// What another file of an archive says: its words, or that nobody read it.

package wire

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"path"
	"regexp"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"

	"swardline/schema"
)

// Endings of files (common practice, no source): those that hold no word of the
// ground, flat pictures, documents that are read by programs of their own, and
// styles, of which the labels alone are words of somebody's.
var (
	muteEndings     = strings.Fields(".prj .qpj .cpg .cst .sbn .sbx .fbn .fbx .qix .fix .atx .ain .aih .ixs .mxs .idm .ind .css .js .ico .dae .mtl .lyr .lyrx .avl .ttf .woff .woff2")
	flatPictures    = strings.Fields(".png .jpg .jpeg .gif .bmp .webp .svg")
	documentEndings = strings.Fields(".pdf .doc .docx .odt .rtf .ppt .pptx .odp .ods .msg .eml .mp3 .m4a .wav .mp4 .mov")
	styleEndings    = strings.Fields(".qml .sld .se")
)

// plainPictures are names of pictures that say nothing, without their digits.
var plainPictures = strings.Fields("thumbnail thumb preview icon image img dsc photo picture pic pin marker screenshot vorschau symbol bild foto")

// styleSays finds the texts that people write into styles, systemSays what
// metadata say of systems and of themselves.
var (
	styleSays = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`(?is)\slabel=(?:"([^"]*)"|'([^']*)')|<(?:\w+:)?(?:title|abstract|description|comment)\b[^>]*>(.*?)</`)
	})
	systemSays = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`(?is)<(crs|spatialrefsys|identifier|parentidentifier|language|type|creadate|creatime|moddate|modtime)\b[^>]*>.*?</(crs|spatialrefsys|identifier|parentidentifier|language|type|creadate|creatime|moddate|modtime)>`)
	})
)

// HearEntry gives a plan what an entry of an archive says that is no part of it:
// the words of a text, or that it was not read. named says that the plan's own
// files name it, as they do the pictures of their icons. It reports whether there
// is anything.
func HearEntry(p *schema.Plan, f *zip.File, name string, named bool) bool {
	label := fmt.Sprintf("the file %s of the archive", Clip([]byte(name), 60))
	if OfFileSystem(f, name) || f.UncompressedSize64 == 0 {
		return false
	}
	return hear(p, label, name, named, func() ([]byte, bool) { return entryText(f) })
}

// HearFile is HearEntry for a file of some content beside the one that is read.
func HearFile(p *schema.Plan, name string, content []byte) bool {
	return hear(p, fmt.Sprintf("the file %s beside it", Clip([]byte(name), 60)), name, false, func() ([]byte, bool) { return plainText(content) })
}

func hear(p *schema.Plan, label, name string, named bool, content func() ([]byte, bool)) bool {
	ending := strings.ToLower(path.Ext(name))
	before := len(p.Beside) + len(p.Unheard)
	switch {
	case slices.Contains(muteEndings, ending):
		return false
	case slices.Contains(flatPictures, ending):
		stem := strings.TrimSuffix(path.Base(name), path.Ext(name))
		words := strings.Join(strings.FieldsFunc(stem, func(c rune) bool { return strings.ContainsRune("_-.()[] 0123456789", c) }), " ")
		if !named && !slices.Contains(plainPictures, strings.ToLower(words)) {
			p.AddBeside(schema.BesideText{Where: label, Text: words})
		}
	case slices.Contains(documentEndings, ending):
		p.AddUnheard(label + " was not read")
	default:
		text, ok := content()
		if !ok {
			p.AddUnheard(label + " was not read, for it is no text, or too long a one")
			break
		}
		p.AddBeside(schema.BesideText{Where: label, Text: saidIn(text, ending)})
	}
	return len(p.Beside)+len(p.Unheard) > before
}

// HearComment gives a plan what the comment of an archive says.
func HearComment(p *schema.Plan, comment string) {
	if text := PlainText(comment); utf8.ValidString(text) && SaysWords(text) {
		p.AddBeside(schema.BesideText{Where: "the comment of the archive", Text: text})
	}
}

// drawnMarkup finds elements of the formats by which something is drawn.
var drawnMarkup = regexp.MustCompile(`<(?:[a-z]+:)?(?:Placemark|Polygon|LineString|LinearRing|Point|coordinates|wpt|rte|rtept|trk|trkseg|trkpt|CgPoint|Parcel)[\s/>]`)

// HearMarkup gives a plan what a comment in a file's own text says, in the line given, or
// that it holds something that was drawn once.
func HearMarkup(p *schema.Plan, text []byte, line int) {
	if drawnMarkup.Match(text) {
		p.AddUnheard(fmt.Sprintf("a comment in line %d that holds something drawn was not read", line))
		return
	}
	if figure := string(bytes.TrimSpace(text)); len(figure) < 40 && (strings.Contains(figure, "±") || strings.Contains(figure, "+/-") || strings.Contains(figure, "+-")) && !SaysWords(figure) {
		p.AddBeside(schema.BesideText{Where: fmt.Sprintf("a comment in line %d", line), Text: figure, Comment: true})
		return
	}
	if words := PlainText(string(text)); len(words) <= mostPlain && utf8.ValidString(words) && SaysWords(words) {
		p.AddBeside(schema.BesideText{Where: fmt.Sprintf("a comment in line %d", line), Text: words, Comment: true})
	}
}

// entryText unpacks a text of no more than mostPlain bytes.
func entryText(f *zip.File) (text []byte, ok bool) {
	if f.Flags&1 != 0 {
		return nil, false
	}
	in, err := f.Open()
	if err != nil {
		return nil, false
	}
	defer in.Close()
	if text, err = io.ReadAll(io.LimitReader(in, mostPlain+1)); err != nil {
		return nil, false
	}
	return plainText(text)
}

// plainText is a text of no more than mostPlain bytes in UTF-8, without its mark.
func plainText(text []byte) ([]byte, bool) {
	if len(text) > mostPlain {
		return nil, false
	}
	if wide := wideText(text); wide != "" {
		return nil, false
	}
	text = bytes.TrimPrefix(text, []byte("\xef\xbb\xbf"))
	return text, bytes.IndexByte(text, 0) < 0 && utf8.Valid(text)
}

// saidIn are the words that a text of a kind of file says.
func saidIn(text []byte, ending string) string {
	switch {
	case slices.Contains(styleEndings, ending):
		return StyleText(text)
	case ending == ".json":
		return jsonWords(text)
	}
	return MetadataText(text)
}

// MetadataText is a text without what metadata say of systems and of themselves.
func MetadataText(text []byte) string {
	if trimmed := bytes.TrimSpace(text); len(trimmed) > 0 && trimmed[0] == '{' {
		return jsonWords(text)
	}
	return PlainText(string(systemSays().ReplaceAll(text, []byte(" "))))
}

// StyleText are the labels and descriptions that a style has, in one line.
func StyleText(text []byte) string {
	var out []string
	for _, m := range styleSays().FindAllSubmatch(text, -1) {
		for _, part := range m[1:] {
			out = append(out, strings.Fields(PlainText(string(part)))...)
		}
	}
	return strings.Join(out, " ")
}

// jsonWords are the names and texts in a JSON text, as far as it is one.
func jsonWords(text []byte) string {
	var out []string
	for d := json.NewDecoder(bytes.NewReader(text)); ; {
		t, err := d.Token()
		if err != nil {
			return strings.Join(out, " ")
		}
		if s, ok := t.(string); ok {
			out = append(out, PlainText(s))
		}
	}
}
