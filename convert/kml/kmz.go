// KMZ: a KML document in a zip archive. Only the document is unpacked, into
// memory, byte by counted byte; no entry's name is ever used as a path.

package kml

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"net/url"
	"path"
	"slices"
	"strings"
	"time"

	"swardline/convert/wire"
	"swardline/convert/wire/xml"
	"swardline/schema"
)

// rootEntry is the name of the document in a KMZ.
const rootEntry = "doc.kml"

// DetectKMZ reports whether the first bytes of a file are those of a zip
// archive, the only one among the formats that are read.
func DetectKMZ(head []byte) bool {
	return bytes.HasPrefix(head, []byte("PK\x03\x04")) || bytes.HasPrefix(head, []byte("PK\x05\x06"))
}

// ReadKMZ reads a plan from a KMZ: from its entry doc.kml, else from the first
// entry at the top that ends in .kml, and from the entries that it links to. No
// more than the limit input_max_inflated_bytes is unpacked. Errors are
// *wire.InputError.
func ReadKMZ(data []byte, o wire.ReadOptions) (*schema.Plan, []wire.Warning, error) {
	var t wire.Tally
	a := unpacker{o: o, left: o.Caps().InputMaxInflated}
	// The error for insecure names is none here: names are labels only.
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil && (z == nil || !errors.Is(err, zip.ErrInsecurePath)) {
		return nil, nil, a.fail("", xml.MendCut, "the file starts like a zip archive, but is none: %s", strings.TrimPrefix(err.Error(), "zip: "))
	}
	root, documents := rootOf(z.File, &t)
	if root == nil {
		return nil, nil, a.fail("", "put the KML document into it as doc.kml", "the KMZ holds no KML document; it holds %s", contents(z.File))
	}
	p, warnings, links, err := a.read(root)
	if err != nil {
		return nil, nil, err
	}
	for _, f := range z.File {
		p.AddPicture(wire.PictureName(entryName(f)))
	}
	read := map[*zip.File]bool{root: true}
	var left []link
	for len(links) > 0 {
		l := links[0]
		links = links[1:]
		f := entryNamed(z.File, inArchive(l.from, l.href))
		if f == nil {
			left = append(left, l)
			continue
		}
		if read[f] {
			continue
		}
		read[f] = true
		q, more, next, err := a.read(f)
		if err != nil {
			return nil, nil, err
		}
		p.Features = append(p.Features, q.Features...)
		if float64(len(p.Features)) > o.Caps().InputMaxFeatures {
			return nil, nil, a.fail(entryName(f), "split the plan, or raise the limit in a limits file", "there are more features than the limit input_max_features (%.0f)", o.Caps().InputMaxFeatures)
		}
		warnings = append(warnings, more...)
		links = append(links, next...)
	}
	unread(&t, root, documents, len(read))
	for _, f := range z.File {
		if name := entryName(f); !strings.HasSuffix(name, "/") && !strings.HasSuffix(strings.ToLower(name), ".kml") && !wire.MaybeDrawn(f, name) {
			wire.HearEntry(p, f, name, a.names(name))
		}
	}
	wire.HearComment(p, z.Comment)
	more, err := unfollowed(len(p.Features), left, o.Name)
	return p, append(append(t.Warnings(), warnings...), more...), err
}

// unread tells of documents that were not read.
func unread(t *wire.Tally, root *zip.File, documents, read int) {
	if n := documents - read; n > 0 {
		t.AddN("kmz-documents", n, 0, "", "the KMZ holds %d KML documents; only %s was read", documents, wire.Clip([]byte(entryName(root)), 60))
	}
}

// unpacker unpacks the entries of a KMZ up to what is left of the limit.
type unpacker struct {
	o     wire.ReadOptions
	left  float64
	texts [][]byte // of the documents that were read
}

// names reports whether one of the documents names a file of the archive, as it
// stands there or as an address has it.
func (a *unpacker) names(name string) bool {
	base := path.Base(name)
	return slices.ContainsFunc(a.texts, func(text []byte) bool {
		return bytes.Contains(text, []byte(base)) || bytes.Contains(text, []byte(url.PathEscape(base)))
	})
}

func (a *unpacker) fail(entry, mend, format string, args ...any) error {
	return &wire.InputError{File: a.o.Name, Path: wire.Clip([]byte(entry), 60), Problem: fmt.Sprintf(format, args...), Mend: mend}
}

// read reads the document in an entry.
func (a *unpacker) read(f *zip.File) (*schema.Plan, []wire.Warning, []link, error) {
	entry := wire.Clip([]byte(entryName(f)), 60)
	text, err := a.unpack(f, entry)
	if err != nil {
		return nil, nil, nil, err
	}
	a.left -= float64(len(text))
	a.texts = append(a.texts, text)
	p, warnings, links, err := readLinking(text, a.o, "kmz", entry)
	for i := range links {
		links[i].from = entryName(f)
	}
	return p, warnings, links, err
}

func (a *unpacker) unpack(f *zip.File, entry string) ([]byte, error) {
	switch {
	case f.Flags&1 != 0:
		return nil, a.fail(entry, "pack it again without a password", "the entry is encrypted")
	case f.Method != zip.Store && f.Method != zip.Deflate:
		return nil, a.fail(entry, "pack it again with the method deflate", "the entry is compressed by a method that is not read (number %d)", f.Method)
	}
	tooLarge := func() error {
		return a.fail(entry, "split the plan, or raise the limit in a limits file", "the entry unpacks to more than %.0f bytes (limit input_max_inflated_bytes)", a.left)
	}
	if float64(f.UncompressedSize64) > a.left {
		return nil, tooLarge()
	}
	in, err := f.Open()
	if err != nil {
		return nil, a.fail(entry, xml.MendCut, "the entry cannot be unpacked: %s", strings.TrimPrefix(err.Error(), "zip: "))
	}
	defer in.Close()
	// What the archive says of the size is not believed beyond what its packed
	// bytes could make of it (deflate gains a factor of 1032 at most).
	guess := min(f.UncompressedSize64, f.CompressedSize64*1032, 64<<20)
	text, over, err := readCapped(in, int64(guess), int64(a.left))
	if over {
		return nil, tooLarge()
	}
	if err != nil {
		return nil, a.fail(entry, xml.MendCut, "the entry cannot be unpacked: %s", strings.TrimPrefix(err.Error(), "zip: "))
	}
	return text, nil
}

// entryNamed returns the document of that name, nil when there is none.
func entryNamed(files []*zip.File, name string) *zip.File {
	for _, f := range files {
		if name != "" && entryName(f) == name && strings.HasSuffix(strings.ToLower(name), ".kml") {
			return f
		}
	}
	return nil
}

// readCapped reads up to most bytes; over reports that there were more. guess
// is how many are expected.
func readCapped(in io.Reader, guess, most int64) (data []byte, over bool, err error) {
	buf := bytes.NewBuffer(make([]byte, 0, guess+bytes.MinRead))
	n, err := buf.ReadFrom(io.LimitReader(in, most+1))
	return buf.Bytes(), n > most, err
}

// entryName returns an entry's name as a label: slashes forward, no "./" before
// it.
func entryName(f *zip.File) string {
	name := strings.ReplaceAll(f.Name, `\`, "/")
	for strings.HasPrefix(name, "./") {
		name = name[2:]
	}
	return name
}

// rootOf picks the document of a KMZ, nil when there is none, and counts how
// many there are and what else it holds.
func rootOf(files []*zip.File, t *wire.Tally) (root *zip.File, documents int) {
	var top, deep *zip.File
	others := 0
	for _, f := range files {
		name := entryName(f)
		switch {
		case strings.HasSuffix(name, "/"): // a folder
			continue
		case strings.HasPrefix(name, "/") || name == ".." || strings.HasPrefix(name, "../") || strings.Contains(name, "/../"):
			t.Add("kmz-path", 0, "", "the entry %q has a name that leads out of the archive; it was passed over", wire.Clip([]byte(f.Name), 60))
			continue
		case wire.OfFileSystem(f, name):
			others++
			continue
		case !strings.HasSuffix(strings.ToLower(name), ".kml"):
			if wire.MaybeDrawn(f, name) {
				t.Add("kmz-drawn", 0, wire.Clip([]byte(name), 60), "the KMZ holds the file %q, which is no KML and was not read: what it draws is not in the plan; read it by itself and join the two, or pack the archive without it", wire.Clip([]byte(name), 60))
				continue
			}
			others++
			continue
		}
		documents++
		if strings.EqualFold(name, rootEntry) && (root == nil || name == rootEntry && entryName(root) != rootEntry) {
			root = f
		}
		if top == nil && !strings.Contains(name, "/") {
			top = f
		}
		if deep == nil {
			deep = f
		}
	}
	if root == nil {
		root = top
	}
	if root == nil && deep != nil {
		root = deep
		t.Add("kmz-folder", 0, "", "no KML document stands at the top of the KMZ; %s was read", wire.Clip([]byte(entryName(deep)), 60))
	}
	if root != nil && others > 0 {
		t.AddN("kmz-entries", others, 0, "", "the KMZ holds %d other files (pictures, models); they were passed over", others)
	}
	return root, documents
}

// contents names what an archive holds, for an error.
func contents(files []*zip.File) string {
	const most = 5
	if len(files) == 0 {
		return "nothing at all"
	}
	var names []string
	for _, f := range files[:min(len(files), most)] {
		names = append(names, fmt.Sprintf("%q", wire.Clip([]byte(f.Name), 60)))
	}
	list := strings.Join(names, ", ")
	if len(files) > most {
		list += fmt.Sprintf(" and %d more", len(files)-most)
	}
	return list
}

// WriteKMZ writes a plan as KMZ: the document that Write makes, packed as
// doc.kml. The same plan always gives the same bytes. Losses and errors are
// those of Write.
func WriteKMZ(w io.Writer, p *schema.Plan, o wire.WriteOptions) ([]wire.Loss, error) {
	e, err := NewKMZWriter(w, o)
	if err != nil {
		return nil, err
	}
	return wire.WriteParts(e, p, o)
}

// NewKMZWriter is WriteKMZ for a plan in parts.
func NewKMZWriter(w io.Writer, o wire.WriteOptions) (wire.PartWriter, error) {
	return &kmzWriter{writer: newWriter(nil), to: w}, nil
}

// kmzWriter packs a document as it is written.
type kmzWriter struct {
	*writer
	to io.Writer
	z  *zip.Writer
}

// Begin implements wire.PartWriter.
func (e *kmzWriter) Begin(p *schema.Plan, o wire.WriteOptions) error {
	if err := checkCRS(p); err != nil {
		return err // before anything is written
	}
	e.z = zip.NewWriter(e.to)
	var err error
	e.w, err = e.z.CreateHeader(&zip.FileHeader{Name: rootEntry, Method: zip.Deflate, Modified: time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)})
	if err != nil {
		return err
	}
	return e.writer.Begin(p, o)
}

// End implements wire.PartWriter.
func (e *kmzWriter) End() ([]wire.Loss, error) {
	losses, err := e.writer.End()
	if err != nil {
		return nil, err
	}
	return losses, e.z.Close()
}
