// The table of formats, and which format a file is in: by its content first,
// then by its ending.

package convert

import (
	"bytes"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"swardline/convert/wire"
	"swardline/schema"
)

// HeadBytes is how many bytes of a file's start Detect functions are given.
const HeadBytes = 64 << 10

// Format is one format that plans are read from and written to.
type Format struct {
	// Name is what options and reports call it, such as "geojson".
	Name string
	// Title is what people call it, such as "GeoJSON".
	Title string
	// Endings are its file endings in lower case with the dot, the usual one
	// first.
	Endings []string
	// Binary is true when the content is not text.
	Binary bool
	// WGS84Only is true when the format holds longitude and latitude on WGS 84
	// and nothing else, so that its writer refuses a plan in any other system.
	WGS84Only bool
	// WGS84Beside is true when the format gives WGS 84 beside other
	// coordinates, where an operation is fit for that.
	WGS84Beside bool
	// Drawing is true when the format holds plane coordinates and no degrees.
	Drawing bool
	// Layouts are the values WriteOptions.Layout may have, the default first;
	// nil when there is only one.
	Layouts []string
	// Read, Write and Detect are described in the package's comment. Write is
	// nil for a format that is only read, Read and Detect for one that is only
	// written.
	Read   func(data []byte, o wire.ReadOptions) (*schema.Plan, []wire.Warning, error)
	Write  func(w io.Writer, p *schema.Plan, o wire.WriteOptions) ([]wire.Loss, error)
	Detect func(head []byte) bool
	// ReadParts and WriteParts are Read and Write for a plan in parts, nil
	// where the format is read and written whole. The text that ReadParts gets
	// is UTF-8, as far as its beginning shows, without a byte-order mark.
	ReadParts  func(open wire.Opening, o wire.ReadOptions, features int) wire.PartSource
	WriteParts func(w io.Writer, o wire.WriteOptions) (wire.PartWriter, error)
	// weak is true when Detect is a guess and not a signature.
	weak bool
	// narrows names the format whose signature this one's is a special case of,
	// so that it is asked first and may stand under the other's ending.
	narrows string
	// Lossy is true when the format has no place for much of what a plan may
	// hold, so that its own package tests what comes back.
	Lossy bool
	// writeAs is the only ending that is written, "" for any of Endings.
	writeAs string
	// loose are endings that other formats share, so that content overrules
	// them without a word.
	loose []string
}

// FormatByName returns the format of that name, nil when there is none.
func FormatByName(name string) *Format {
	for _, f := range Formats {
		if f.Name == name {
			return f
		}
	}
	return nil
}

// FormatByEnding returns the format that a file name's ending stands for, nil
// when it stands for none.
func FormatByEnding(name string) *Format {
	ending := strings.ToLower(filepath.Ext(name))
	if ending == "" {
		return nil
	}
	for _, f := range Formats {
		for _, e := range f.Endings {
			if e == ending {
				return f
			}
		}
	}
	return nil
}

// FormatToWrite returns the format that the ending of an output stands for. The
// error says which endings there are, or what to call the file instead.
func FormatToWrite(name string) (*Format, error) {
	f := FormatByEnding(name)
	ending := strings.ToLower(filepath.Ext(name))
	switch {
	case f == nil:
		return nil, fmt.Errorf("the ending %q names no format", filepath.Ext(name))
	case f.Write == nil:
		return nil, fmt.Errorf("%s is read, but not written", f.Title)
	case f.writeAs != "" && f.writeAs != ending:
		return nil, fmt.Errorf("%s is written as one file that ends in %s", f.Title, f.writeAs)
	}
	return f, nil
}

// DetectFormat says which format a file is in, from its name and its first
// bytes (HeadBytes of them are enough). Content that carries a format's
// signature decides; where the ending says something else the answer is an
// error that names both, because one of the two is a mistake that only its
// owner can see through. Without a signature the ending decides. Errors are
// *InputError.
func DetectFormat(name string, head []byte) (*Format, error) {
	head = bytes.TrimPrefix(head[:min(len(head), HeadBytes)], []byte("\xef\xbb\xbf"))
	byEnding := FormatByEnding(name)
	var byContent *Format
	for _, narrow := range []bool{true, false} {
		for _, f := range Formats {
			if byContent == nil && !f.weak && f.Detect != nil && (f.narrows != "") == narrow && f.Detect(head) {
				byContent = f
			}
		}
	}
	if byContent == nil || bytes.HasPrefix(head, []byte("PK\x03\x04")) {
		if err := foreign(name, head); err != nil {
			return nil, err
		}
	}
	switch {
	case byContent == nil && byEnding != nil:
		return byEnding, nil // whose reader says what is wrong, if anything is
	case byContent != nil && (byEnding == nil || byEnding == byContent || byEnding.isLoose(name) ||
		byContent.narrows == byEnding.Name || byEnding.narrows == byContent.Name):
		return byContent, nil
	case byContent != nil:
		return nil, &InputError{File: name, Problem: fmt.Sprintf("the ending says %s, but the content is %s", byEnding.Title, byContent.Title),
			Mend: fmt.Sprintf("rename it to end in %s, or name its format (%s)", byContent.Endings[0], byContent.Name)}
	}
	if _, err := wire.CheckText(head, name, nil); err != nil {
		return nil, err
	}
	for _, f := range Formats {
		if f.weak && f.Detect != nil && f.Detect(head) {
			return f, nil
		}
	}
	return nil, &InputError{File: name, Problem: "neither content nor ending is one of a known format", Mend: "name its format; the formats are " + formatNames()}
}

func (f *Format) isLoose(name string) bool {
	ending := strings.ToLower(filepath.Ext(name))
	for _, e := range f.loose {
		if e == ending {
			return true
		}
	}
	return false
}

func formatNames() string {
	names := make([]string, len(Formats))
	for i, f := range Formats {
		names[i] = f.Name
	}
	return strings.Join(names, ", ")
}
