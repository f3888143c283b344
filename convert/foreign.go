// Files that are often sent for a plan and are not read: known by their
// content, so that the refusal can name them and say what to ask the sender
// for.

package convert

import (
	"bytes"
	"strings"
)

// foreignFile is one such kind.
type foreignFile struct {
	what string // "this is ..."
	ask  string // what to do about it
	is   func(head []byte) bool
}

func starts(marks ...string) func([]byte) bool {
	return func(head []byte) bool {
		for _, m := range marks {
			if bytes.HasPrefix(head, []byte(m)) {
				return true
			}
		}
		return false
	}
}

// holdsEntry reports whether the head is of a zip archive with an entry whose
// name contains the text.
func holdsEntry(text string) func([]byte) bool {
	return func(head []byte) bool {
		return bytes.HasPrefix(head, []byte("PK\x03\x04")) && bytes.Contains(bytes.ToLower(head), []byte(text))
	}
}

const (
	askDrawing = "ask the sender for a DXF of it (2000 or later), with its unit, its grid and the layers to be used"
	askData    = "ask the sender for a GeoPackage, a zipped Shapefile or GeoJSON, with the name of its grid"
	askMap     = "ask the sender for the data behind it: a DXF, a GeoPackage, a zipped Shapefile or GeoJSON, with the name of its grid"
	askUnpack  = "unpack it and give the file inside"
)

// foreignFiles are tried in order. The marks are those of each kind's own
// description; those of DGN from memory.
var foreignFiles = []foreignFile{
	{"a DWG drawing", askDrawing, func(h []byte) bool {
		return len(h) >= 6 && h[0] == 'A' && h[1] == 'C' && strings.Trim(string(h[2:6]), "0123456789") == ""
	}},
	{"a DGN drawing", askDrawing, starts("\x08\x05\x17\x02", "\x08\x09\xfe\x02", "\xc8\x09\xfe\x02", "\x08\x05\xfe\x02")},
	{"an OLE container: a DGN drawing of version 8, or an old office file", "ask the sender for a DXF of a drawing, or a CSV of a table", starts("\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1")},
	{"a DWF print of a drawing", askDrawing, starts("(DWF V")},
	{"an IFC building model", "ask the sender for a DXF of the site plan, with its unit and its grid", starts("ISO-10303-21;")},
	{"a FlatGeobuf file", askData, starts("fgb\x03fgb")},
	{"a personal geodatabase (MDB)", askData, starts("\x00\x01\x00\x00Standard Jet DB", "\x00\x01\x00\x00Standard ACE DB")},
	{"a zipped file geodatabase", askData, holdsEntry(".gdbtable")},
	{"a spreadsheet (XLSX)", "save the sheet as CSV", holdsEntry("xl/workbook")},
	{"a text document (DOCX)", "ask the sender for the table in it as CSV, or the plan as DXF", holdsEntry("word/document")},
	{"a TAB table", askData, func(h []byte) bool {
		return strings.HasPrefix(strings.ToLower(string(h[:min(len(h), 8)])), "!table\n") || strings.HasPrefix(strings.ToLower(string(h[:min(len(h), 8)])), "!table\r")
	}},
	{"a MIF file", askData, func(h []byte) bool {
		text := strings.ToLower(string(h[:min(len(h), 200)]))
		return strings.HasPrefix(text, "version ") && strings.Contains(text, "charset")
	}},
	{"a GML file", askData, func(h []byte) bool {
		return bytes.HasPrefix(bytes.TrimLeft(h, " \t\r\n\ufeff"), []byte("<")) && bytes.Contains(h, []byte("http://www.opengis.net/gml"))
	}},
	{"a PDF", askMap, starts("%PDF-")},
	{"a picture", askMap, starts("\x89PNG\r\n\x1a\n", "\xff\xd8\xff", "II*\x00", "MM\x00*", "GIF8", "II+\x00")},
	{"an SVG picture", askMap, func(h []byte) bool {
		t := bytes.TrimLeft(h, " \t\r\n\ufeff")
		return bytes.HasPrefix(t, []byte("<svg")) || bytes.HasPrefix(t, []byte("<?xml")) && bytes.Contains(h[:min(len(h), 2000)], []byte("<svg"))
	}},
	{"a web page", "the download gave a page instead of the file: sign in, or ask the sender for the file itself", func(h []byte) bool {
		t := bytes.ToLower(bytes.TrimLeft(h[:min(len(h), 2000)], " \t\r\n\ufeff"))
		return bytes.HasPrefix(t, []byte("<!doctype html")) || bytes.HasPrefix(t, []byte("<html"))
	}},
	{"a point cloud (LAS)", "ask the sender for outlines drawn from it, as DXF or GeoPackage", starts("LASF")},
	{"raw satellite observations (RINEX)", "process them to a solution first, or ask for the coordinates as CSV", func(h []byte) bool {
		line, _, _ := bytes.Cut(h, []byte{'\n'})
		return bytes.Contains(line, []byte("RINEX VERSION / TYPE"))
	}},
	{"a receiver's binary log", "have the receiver write NMEA 0183, or process it to a solution first", starts("\xb5\x62", "\xd3\x00")},
	{"a packed archive", askUnpack, starts("\x1f\x8b", "7z\xbc\xaf\x27\x1c", "Rar!\x1a\x07", "BZh", "\xfd7zXZ\x00")},
}

// foreign returns the refusal of a file of a kind that is known and not read,
// nil for any other.
func foreign(name string, head []byte) error {
	for _, k := range foreignFiles {
		if k.is(head) {
			return &InputError{File: name, Problem: "this is " + k.what + ", which is not read", Mend: k.ask}
		}
	}
	return nil
}
