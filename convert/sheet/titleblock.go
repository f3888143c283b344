// The title block: the data fields of ISO 7200:2004, with client and address.

package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"go.yaml.in/yaml/v3"

	"swardline/convert/sheet/ink"
	"swardline/schema"
)

// field is one of a title block's, by the name that files have it by.
type field struct {
	key string
	at  func(*TitleBlock) *string
}

var fields = []field{
	{"legal_owner", func(b *TitleBlock) *string { return &b.LegalOwner }},
	{"client", func(b *TitleBlock) *string { return &b.Client }},
	{"address", func(b *TitleBlock) *string { return &b.Address }},
	{"title", func(b *TitleBlock) *string { return &b.Title }},
	{"document_type", func(b *TitleBlock) *string { return &b.DocumentType }},
	{"number", func(b *TitleBlock) *string { return &b.Number }},
	{"created_by", func(b *TitleBlock) *string { return &b.CreatedBy }},
	{"approved_by", func(b *TitleBlock) *string { return &b.ApprovedBy }},
	{"date_of_issue", func(b *TitleBlock) *string { return &b.DateOfIssue }},
	{"revision", func(b *TitleBlock) *string { return &b.Revision }},
}

// titleBlockMost is the largest file of a title block, bytes.
const titleBlockMost = 64 << 10

// ParseTitleBlock reads a title block of one line a field (YAML):
//
//	legal_owner: Example Grounds Ltd
//	number: EX-12
//
// An unknown field, a value that is no text or number, and a date of issue that
// is not YYYY-MM-DD are errors that name the line and the mend.
func ParseTitleBlock(data []byte) (TitleBlock, error) {
	var b TitleBlock
	if len(data) > titleBlockMost {
		return b, fmt.Errorf("the title block is larger than %d bytes; it holds a line a field", titleBlockMost)
	}
	var doc yaml.Node
	dec := yaml.NewDecoder(bytes.NewReader(data))
	if err := dec.Decode(&doc); err != nil {
		if errors.Is(err, io.EOF) {
			return b, nil
		}
		return b, fmt.Errorf("the title block cannot be read (%w); write a line a field, such as 'client: Example Council'", err)
	}
	top := doc.Content[0]
	if top.Kind != yaml.MappingNode {
		return b, fmt.Errorf("line %d: a title block holds a line a field, such as 'client: Example Council'", top.Line)
	}
	seen := map[string]bool{}
	for i := 0; i+1 < len(top.Content); i += 2 {
		k, v := top.Content[i], top.Content[i+1]
		f := fieldOf(k.Value)
		switch {
		case f == nil:
			return b, fmt.Errorf("line %d: a title block has no field %q; there is %s", k.Line, k.Value, strings.Join(fieldNames(), ", "))
		case seen[k.Value]:
			return b, fmt.Errorf("line %d: the field %s stands here a second time; keep one", k.Line, k.Value)
		case v.Kind != yaml.ScalarNode:
			return b, fmt.Errorf("line %d: the field %s is one line of text", v.Line, k.Value)
		}
		seen[k.Value] = true
		if v.Tag == "!!null" {
			continue
		}
		*f.at(&b) = strings.Join(strings.Fields(v.Value), " ")
	}
	if b.DateOfIssue != "" {
		if _, err := time.Parse(time.DateOnly, b.DateOfIssue); err != nil {
			return b, fmt.Errorf("date_of_issue: %q is no date; write it as 2026-05-31", b.DateOfIssue)
		}
	}
	return b, nil
}

func fieldOf(key string) *field {
	for i := range fields {
		if fields[i].key == key {
			return &fields[i]
		}
	}
	return nil
}

func fieldNames() []string {
	var out []string
	for _, f := range fields {
		out = append(out, f.key)
	}
	return out
}

// FillFrom takes what is still empty from a plan's attributes of the same
// names.
func (b *TitleBlock) FillFrom(a schema.Attributes) {
	for _, f := range fields {
		if p := f.at(b); *p == "" && a.Has(f.key) {
			*p = strings.Join(strings.Fields(a.Get(f.key).Text()), " ")
		}
	}
}

// titleBlock is the block at the foot of a map's panel.
func (c *composer) titleBlock(w float64, what string) block {
	b, n := c.d.Block, len(c.set.Pages)
	if b.Title == "" {
		b.Title = c.d.Title
	}
	type cell struct {
		label, value string
		share        float64
		size         float64
		lines        []string
	}
	rows := [][]cell{
		{{label: "Legal owner", value: b.LegalOwner, share: 1}, {label: "Client", value: b.Client, share: 1}},
		{{label: "Address", value: b.Address, share: 1}},
		{{label: "Title", value: b.Title, share: 1, size: titleSize}},
		{{label: "Document type", value: b.DocumentType, share: 1}, {label: "Number", value: b.Number, share: 1}},
		{{label: "Created by", value: b.CreatedBy, share: 1}, {label: "Approved by", value: b.ApprovedBy, share: 1}},
		{{label: "Date of issue", value: b.DateOfIssue, share: 1.25}, {label: "Revision", value: b.Revision, share: 1}, {label: "Sheet", value: fmt.Sprintf("%d of %d", n, c.count), share: 1}},
	}
	const pad = 0.9
	var heights []float64
	total := 0.0
	for _, row := range rows {
		sum := 0.0
		for _, x := range row {
			sum += x.share
		}
		high := 0.0
		for k := range row {
			x := &row[k]
			if x.size == 0 {
				x.size = tableSize
			}
			x.lines = wrap(x.value, x.size, w*x.share/sum-2*pad, x.size > tableSize)
			if len(x.lines) > 2 {
				x.lines = []string{x.lines[0], clip(x.lines[1], len([]rune(x.lines[1]))-1) + "…"}
			}
			high = max(high, tableSize*1.1+float64(len(x.lines))*x.size*1.15+0.9)
		}
		heights = append(heights, high)
		total += high
	}
	drawn := wrap(fmt.Sprintf("%s; drawn %s by %s from %s", what, c.d.Date, clip(c.d.Program, 30), clip(c.d.Source, 40)), tableSize, w-2*pad, false)
	foot := float64(len(drawn))*tableSize*1.2 + 1
	return block{h: total + foot, draw: func(p *ink.Page, x, y, _ float64) {
		p.Add(&ink.Group{Class: "title-block", Title: "title block"})
		line := &ink.Line{Color: black, Width: 0.18}
		p.Rect(x, y, w, total+foot, nil, &ink.Line{Color: black, Width: 0.5})
		top := y
		for i, row := range rows {
			sum := 0.0
			for _, k := range row {
				sum += k.share
			}
			left := x
			for k, f := range row {
				wide := w * f.share / sum
				if k > 0 {
					p.Polyline(*line, ink.Point{left, top}, ink.Point{left, top + heights[i]})
				}
				kind := "P"
				if f.label == "Title" {
					kind = "H1"
				}
				p.Add(&ink.Text{At: ink.Point{left + pad, top + tableSize}, Size: tableSize, Color: grey, S: f.label})
				p.Add(&ink.Group{Tag: kind})
				for n, s := range f.lines {
					if s != "" {
						p.Add(&ink.Text{At: ink.Point{left + pad, top + tableSize*1.2 + f.size*0.95 + float64(n)*f.size*1.15}, Size: f.size, Bold: f.size > tableSize, S: s})
					}
				}
				p.Add(ink.End{})
				left += wide
			}
			top += heights[i]
			p.Polyline(*line, ink.Point{x, top}, ink.Point{x + w, top})
		}
		for n, s := range drawn {
			p.Add(&ink.Text{At: ink.Point{x + pad, top + tableSize*0.98 + float64(n)*tableSize*1.2}, Size: tableSize, S: s})
		}
		p.Add(ink.End{})
	}}
}

// Audience is whom a sheet is for.
type Audience string

// Audiences.
const (
	ForClient    Audience = "client"
	ForAuthority Audience = "authority"
	ForCrew      Audience = "crew"
)

// ParseAudience reads a name of one.
func ParseAudience(name string) (Audience, error) {
	switch a := Audience(name); a {
	case ForClient, ForAuthority, ForCrew:
		return a, nil
	}
	return "", fmt.Errorf("there is no sheet for %q; there is client, authority and crew", name)
}

// lists reports whether a sheet for them has a table.
func (a Audience) lists(table string) bool {
	tables := map[Audience][]string{
		ForClient:    {titleZones, titleKeepouts},
		ForAuthority: {titleZones, titleBoundary, titleKeepouts, titleHazards, titleMarks, titleBase, titleDock},
		ForCrew:      {titleFindings, titleMarks, titleBase, titleDock, titleEdges, titleCable, titleCorridors},
	}
	list, known := tables[a]
	for _, t := range list {
		if t == table {
			return true
		}
	}
	return !known
}
