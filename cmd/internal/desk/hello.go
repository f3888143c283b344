// What the page is told at the start: words, signs and what can be saved.

package desk

import (
	"path/filepath"
	"strings"

	"swardline/cmd/internal/job"
	"swardline/convert"
	"swardline/schema"
)

// roleLook is how the page draws a role: the sheet's signs, in pixels.
type roleLook struct {
	Role    string    `json:"role"`
	Title   string    `json:"title"`
	Line    string    `json:"line"`
	Fill    string    `json:"fill,omitempty"`
	Opacity float64   `json:"opacity,omitempty"`
	Width   float64   `json:"width"`
	Dash    []float64 `json:"dash,omitempty"`
	// Hatch is slant, cross or level.
	Hatch string `json:"hatch,omitempty"`
}

var roleLooks = []roleLook{
	{Role: "zone", Title: "zone", Line: "#009e73", Fill: "#009e73", Opacity: .13, Width: 2, Hatch: "slant"},
	{Role: "keepout", Title: "keep-out", Line: "#d55e00", Fill: "#ffffff", Opacity: 1, Width: 2, Dash: []float64{8, 3}, Hatch: "cross"},
	{Role: "corridor", Title: "corridor", Line: "#0072b2", Width: 3, Dash: []float64{12, 4}},
	{Role: "dock", Title: "dock", Line: "#000000", Fill: "#e69f00", Opacity: .9, Width: 2},
	{Role: "base", Title: "base", Line: "#000000", Fill: "#cc79a7", Opacity: .9, Width: 2},
	{Role: "mark", Title: "mark", Line: "#000000", Width: 1.5},
	{Role: "hazard", Title: "hazard", Line: "#000000", Fill: "#f0e442", Opacity: .55, Width: 2, Dash: []float64{3, 3}, Hatch: "level"},
	{Role: "edge", Title: "edge", Line: "#000000", Width: 2},
	{Role: "boundary", Title: "boundary", Line: "#cc79a7", Width: 2.5, Dash: []float64{18, 4, 3, 4, 3, 4}},
	{Role: "supply", Title: "outlet", Line: "#000000", Fill: "#56b4e9", Opacity: .5, Width: 1.5},
	{Role: "building", Title: "building", Line: "#000000", Fill: "#c4c4c4", Opacity: 1, Width: 1.5, Hatch: "slant"},
	{Role: "other", Title: "other", Line: "#606060", Width: 1, Dash: []float64{4, 4}},
}

func roleTitle(r schema.Role) string {
	for _, l := range roleLooks {
		if l.Role == string(r) {
			return l.Title
		}
	}
	return string(r)
}

// edgeKinds are the kinds of edge in the order of the list.
var edgeKinds = []string{schema.EdgeWall, schema.EdgeKerb, schema.EdgeFlush, schema.EdgeDrop, schema.EdgeFence, "ramp", "gate"}

// output is one thing that the page can make.
type output struct {
	What  string `json:"what"`
	Title string `json:"title"`
	Words string `json:"words,omitempty"`
	// Holds says what is in the file, where nothing is told as lost; Whole is true
	// when that is all that the plan has.
	Holds string `json:"holds"`
	Whole bool   `json:"whole,omitempty"`
}

// For a reader, a sheet leaves out what does not help him.
const (
	holdsSheet = "This is for reading: the plan drawn, and what its lists have room for. It is not the plan itself: to go on working keep the GeoJSON."
	holdsLive  = "This is for looking at: the plan drawn, with names, measures and findings. It is not the plan itself: to go on working keep the GeoJSON."
	holdsAll   = "The file holds everything that is in the plan."
)

// sheets are the drawn outputs, by the name of their file.
var sheets = []output{
	{"sheet.pdf", "Map sheet (PDF)", "to print and to file", holdsSheet, false},
	{"sheet.svg", "Map sheet (SVG)", "to put into a document", holdsSheet, false},
	{"map.html", "Live page", "one file, opens in any browser with no network", holdsLive, false},
	{"bundle.zip", "The whole hand-over (zip)", "sheet, live page, data in every form, areas and the check", "The plan itself is in it as GeoJSON; the sheet and the other forms beside it hold what each can.", false},
}

type helloReply struct {
	Version   string     `json:"version"`
	Caution   string     `json:"caution"`
	Roles     []roleLook `json:"roles"`
	EdgeKinds []string   `json:"edge_kinds"`
	Sheets    []output   `json:"sheets"`
	Formats   []output   `json:"formats"`
	Files     []fileInfo `json:"files"`
}

func (d *doing) hello() (any, error) {
	out := helloReply{Version: job.Version, Caution: strings.Join(strings.Fields(job.Caution), " "), Roles: roleLooks, EdgeKinds: edgeKinds, Sheets: sheets, Files: d.list()}
	for _, f := range convert.Formats {
		if f.Write == nil {
			continue
		}
		words := ""
		if f.Name == "geojson" {
			words = "the plan itself, to go on working"
		}
		out.Formats = append(out.Formats, output{"plan" + f.Endings[0], strings.TrimPrefix(f.Title, "a ") + " (" + f.Endings[0] + ")", words, holdsAll, true})
	}
	return out, nil
}

// fileInfo is a file that the session holds.
type fileInfo struct {
	Name   string `json:"name"`
	Size   int    `json:"size"`
	Format string `json:"format,omitempty"`
	// Plan is true for what can be worked on; a list of marks or limits is not.
	Plan bool `json:"plan"`
	// Marks is true for a list of marks.
	Marks bool `json:"marks,omitempty"`
}

// list says what each file is. A list with coordinates may be a plan and marks
// alike: it counts as a plan only where nothing else could be one.
func (s *Session) list() []fileInfo {
	out := []fileInfo{}
	for _, f := range s.files.In {
		info := fileInfo{Name: f.Name, Size: len(f.Bytes)}
		if format, err := convert.DetectFormat(f.Name, f.Bytes); err == nil {
			info.Format = format.Name
			info.Plan = format.Name != "csv" || !isMarks(f)
		}
		info.Marks = !info.Plan && isMarks(f)
		out = append(out, info)
	}
	return out
}

type fileAsk struct {
	Name string `json:"name"`
}

type fileReply struct {
	Files []fileInfo `json:"files"`
}

func (d *doing) put() (any, error) {
	var a fileAsk
	if err := d.take(&a); err != nil {
		return nil, err
	}
	name := filepath.Base(filepath.ToSlash(a.Name))
	data := append([]byte(nil), d.bytes...)
	for i := range d.files.In {
		if d.files.In[i].Name == name {
			d.files.In[i].Bytes = data
			d.forget()
			return fileReply{d.list()}, nil
		}
	}
	d.files.In = append(d.files.In, job.File{Name: name, Bytes: data})
	return fileReply{d.list()}, nil
}

func (d *doing) drop() (any, error) {
	var a fileAsk
	if err := d.take(&a); err != nil {
		return nil, err
	}
	for i := range d.files.In {
		if d.files.In[i].Name == a.Name {
			d.files.In = append(d.files.In[:i], d.files.In[i+1:]...)
			break
		}
	}
	d.forget()
	return fileReply{d.list()}, nil
}

// forget drops what was worked out from the files.
func (s *Session) forget() {
	s.asked, s.based, s.plan, s.site, s.fit, s.notes, s.anchor, s.track = planAsk{}, nil, nil, nil, nil, nil, nil, nil
}
