// Links to other documents: followed inside the same archive, told elsewhere.

package kml

import (
	"fmt"
	"net/url"
	"path"
	"strings"

	"swardline/convert/wire"
	"swardline/convert/wire/xml"
)

// link is a NetworkLink.
type link struct {
	href string
	from string // the entry of the KMZ that it stands in
	line int
	path string // where it stands
}

// networkLink takes down where a NetworkLink leads.
func (r *reader) networkLink() error {
	l := link{line: r.line(r.at), path: r.path()}
	depth := len(r.Open)
	for {
		t, err := r.next()
		switch {
		case err != nil:
			return err
		case t == xml.End && len(r.Open) < depth:
			if l.href != "" {
				r.links = append(r.links, l)
			} else {
				r.warn("skipped-NetworkLink", r.at, 1, "a NetworkLink leads nowhere; it was passed over")
			}
			return nil
		case t == xml.Start && string(r.local) == "href" && l.href == "":
			text, err := r.content()
			if err != nil {
				return err
			}
			l.href = string(trimSpace(text))
		}
	}
}

// unfollowed tells of links that were not followed. A document that holds
// no feature beside is no plan: the error names the address.
func unfollowed(features int, links []link, file string) ([]wire.Warning, error) {
	if len(links) == 0 {
		return nil, nil
	}
	address := wire.Clip([]byte(links[0].href), 200)
	if features == 0 {
		return nil, &wire.InputError{File: file, Line: links[0].line, Path: links[0].path, Problem: fmt.Sprintf("the file holds no plan, only a link to %s", address),
			Mend: "open that address in a browser, save what it gives as a KML or KMZ file, and read that"}
	}
	var t wire.Tally
	for _, l := range links {
		t.Add("skipped-NetworkLink", l.line, l.path, "a NetworkLink to %s is not followed: save what it gives as a file of its own", address)
	}
	return t.Warnings(), nil
}

// inArchive returns the name of the entry that a link from another entry leads
// to, "" when it leads out of the archive.
func inArchive(from, href string) string {
	u, err := url.Parse(href)
	if err != nil || u.Scheme != "" || u.Host != "" || u.Path == "" || strings.HasPrefix(u.Path, "/") {
		return ""
	}
	name := path.Join(path.Dir(from), strings.ReplaceAll(u.Path, `\`, "/"))
	if name == ".." || strings.HasPrefix(name, "../") {
		return ""
	}
	return name
}
