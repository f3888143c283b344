// What lies in an archive beside the files that a plan is read from.

package wire

import (
	"archive/zip"
	"bytes"
	"io"
	"path"
	"regexp"
	"slices"
	"strings"
	"sync"
)

// drawnEndings are endings of files that hold points, lines or outlines, or in
// which they may be packed (common practice, no source).
var drawnEndings = strings.Fields(".geojson .geojsonl .geojsons .ndjson .fgjson .topojson .jsonl .kml .kmz .gpx .nmea .nma .pos .ubx .csv .tsv .xlsx .xls .ods .dxf .dwg .dgn .dwf .shp .gpkg .sqlite .mdb .accdb .gdbtable .fgb .parquet .gml .wkt .wkb .tab .mif" +
	" .landxml .ifc .las .laz .xyz .pts .zip .rar .7z .gz .tgz .tar .bz2 .xz")

// pictureEndings are endings of pictures that know their place, of the files that
// say it, and of plans on paper.
var pictureEndings = strings.Fields(".tif .tiff .ecw .sid .jp2 .pdf .tfw .tifw .jgw .jpgw .pgw .pngw .bpw .wld .j2w")

// quietEndings are endings of files that say nothing of the ground: pictures,
// styles, indexes, the names of systems (common practice, no source).
var quietEndings = strings.Fields(".png .jpg .jpeg .gif .bmp .webp .svg .ico .dae .prj .qpj .cpg .sbn .sbx .fbn .fbx .qix .fix .atx .ain .aih .ixs .mxs .idm .ind .qmd .qml .sld .lyr .lyrx .css .js .html .htm .doc .docx .rtf .md")

// MaybeDrawn reports whether an entry of an archive may hold what is drawn: by
// its ending, and by its start where the ending does not tell. One that does not
// tell and cannot be unpacked may.
func MaybeDrawn(f *zip.File, name string) bool {
	switch ending := strings.ToLower(path.Ext(name)); {
	case OfFileSystem(f, name):
		return false
	case slices.Contains(drawnEndings, ending):
		return true
	case slices.Contains(quietEndings, ending), slices.Contains(pictureEndings, ending), f.UncompressedSize64 == 0:
		return false
	}
	if f.Flags&1 != 0 {
		return true
	}
	in, err := f.Open()
	if err != nil {
		return true
	}
	defer in.Close()
	head, err := io.ReadAll(io.LimitReader(in, 1<<16))
	return err != nil || drawnText(head)
}

// OfFileSystem reports whether an entry of an archive is what a file system keeps
// for itself: the list of a folder's icons, and the fork of a file, which has the
// file's own name and ending with "._" before it. What only stands in such a
// folder or under a hidden name is a file like any other.
func OfFileSystem(f *zip.File, name string) bool {
	base := path.Base(name)
	switch {
	case base == ".DS_Store", base == "Icon\r", strings.EqualFold(base, "thumbs.db"), strings.EqualFold(base, "desktop.ini"):
		return true
	case !strings.HasPrefix(base, "._"):
		return false
	case f.Flags&1 != 0 || f.UncompressedSize64 == 0:
		return f.UncompressedSize64 == 0
	}
	in, err := f.Open()
	if err != nil {
		return false
	}
	defer in.Close()
	var head [4]byte
	_, err = io.ReadFull(in, head[:])
	return err == nil && head == [4]byte{0, 5, 0x16, 7} // AppleDouble, RFC 1740
}

// PictureName returns the name of a picture that knows its place, or of a plan on
// paper; "" for any other entry.
func PictureName(name string) string {
	ending := path.Ext(name)
	if !slices.Contains(pictureEndings, strings.ToLower(ending)) || strings.HasPrefix(path.Base(name), "._") {
		return ""
	}
	return Clip([]byte(strings.TrimSuffix(path.Base(name), ending)), 60)
}

// drawnMarks are what stands near the start of files that draw something.
var drawnMarks = [...]string{`"coordinates"`, `"arcs"`, "<kml", "<gpx", "<LandXML", "<osm", "FeatureCollection", "GGA,", "POINT(", "POINT (", "POINT Z", "LINESTRING", "POLYGON"}

// drawnStarts are the first bytes of such files and of packed ones.
var drawnStarts = [...]string{"PK\x03\x04", "SQLite format 3\x00", "\x00\x00\x27\x0a", "fgb\x03", "AutoCAD Binary DXF", "AC10", "\x1f\x8b", "7z\xbc\xaf", "Rar!"}

// decimals finds numbers with decimals. Two of six digits and more on one line
// are a place; numbers of fewer digits are sizes, versions and dates.
var decimals = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`[0-9]+\.[0-9]+`) })

// drawnText reports whether the start of a file is one of those that draw
// something.
func drawnText(head []byte) bool {
	if wideText(head) != "" {
		head = bytes.TrimLeft(bytes.ReplaceAll(head, []byte{0}, nil), "\xff\xfe") // the marks and numbers sought are ASCII
	}
	for _, s := range drawnStarts {
		if bytes.HasPrefix(head, []byte(s)) {
			return true
		}
	}
	for _, s := range drawnMarks {
		if bytes.Contains(head, []byte(s)) {
			return true
		}
	}
	if packedText(head) {
		return true
	}
	if fields := bytes.Fields(head[:min(len(head), 200)]); len(fields) > 1 && string(fields[0]) == "0" && string(fields[1]) == "SECTION" {
		return true
	}
	if bytes.IndexByte(head, 0) >= 0 || bytes.HasPrefix(bytes.TrimSpace(head), []byte("<")) {
		return false // no text, or metadata with the corners of their data
	}
	for line := range bytes.Lines(head) {
		if longNumbers(line) > 1 {
			return true
		}
	}
	return false
}

// packedText reports whether a text starts as bytes written in letters do, in
// base64 or hexadecimal: what they hold is not seen.
func packedText(head []byte) bool {
	const run = 60 // of the 64 to 76 letters that a line of base64 has (RFC 2045, RFC 7468)
	for i, c := range bytes.TrimSpace(head) {
		switch {
		case i == run:
			return true
		case !IsLetter(c) && !IsDigit(c) && c != '+' && c != '/':
			return false
		}
	}
	return false
}

// longNumbers counts the numbers with decimals that have six digits and more.
func longNumbers(text []byte) (n int) {
	for _, d := range decimals().FindAll(text, -1) {
		if len(d) > 6 {
			n++
		}
	}
	return n
}

// HoldsPlace reports whether a line of a text gives two numbers that may be those
// of a place.
func HoldsPlace(line []byte) bool { return longNumbers(line) > 1 }

// PlaceInText reports whether a text is a place and nothing else: two or three
// numbers, such as 56.90012, 11.20034.
func PlaceInText(text []byte) bool {
	const longest = 80
	if len(text) > longest || longNumbers(text) < 2 && !bytes.ContainsAny(text, "NS") {
		return false
	}
	fields := bytes.FieldsFunc(text, func(c rune) bool { return strings.ContainsRune(" ,;/\t()[]°NESW", c) })
	for _, f := range fields {
		if _, ok := ParseFloat(f); !ok {
			return false
		}
	}
	return len(fields) == 2 || len(fields) == 3
}
