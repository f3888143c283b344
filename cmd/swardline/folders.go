// The plans in folders.

package main

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sort"
	"strings"

	"swardline/cmd/internal/job"
	"swardline/convert"
)

// findPlans resolves paths to files: a file as it is, a folder to every plan in
// it, below too. skipped are the files of folders that are no plans, by path.
func findPlans(paths, include, exclude []string) (files, skipped []string, err error) {
	for _, pattern := range append(append([]string(nil), include...), exclude...) {
		if _, err := filepath.Match(pattern, ""); err != nil {
			return nil, nil, job.Refuse("patterns are such as *.kml or site-??.geojson", "%q is no pattern", pattern)
		}
	}
	seen := map[string]bool{}
	add := func(to *[]string) func(string) {
		return func(path string) {
			if !seen[path] {
				seen[path] = true
				*to = append(*to, path)
			}
		}
	}
	for _, path := range paths {
		if path == "-" {
			add(&files)(path)
			continue
		}
		info, err := os.Stat(path)
		if err != nil {
			return nil, nil, err
		}
		if !info.IsDir() {
			add(&files)(path)
			continue
		}
		w := walker{include: include, exclude: exclude, add: add(&files), skip: add(&skipped), folders: map[string]bool{}}
		if err := w.folder(filepath.Clean(path), ""); err != nil {
			return nil, nil, err
		}
	}
	sort.Strings(skipped)
	return files, skipped, nil
}

// walker goes through a folder, through links too, each real folder once.
type walker struct {
	include, exclude []string
	add, skip        func(path string)
	folders          map[string]bool
}

// folder goes through the folder at path; below is its path from the folder
// that was named, "" for that one.
func (w *walker) folder(path, below string) error {
	real, err := filepath.EvalSymlinks(path)
	if err != nil {
		return err
	}
	if w.folders[real] {
		return nil // a link back to where we have been
	}
	w.folders[real] = true
	entries, err := os.ReadDir(path)
	if err != nil {
		return err
	}
	names := make(map[string]bool, len(entries))
	for _, e := range entries {
		names[e.Name()] = true
	}
	for _, e := range entries {
		name := e.Name()
		if strings.HasPrefix(name, ".") {
			continue
		}
		full, under := filepath.Join(path, name), filepath.ToSlash(filepath.Join(below, name))
		if matches(w.exclude, name, under) {
			continue
		}
		mode, err := e.Type(), error(nil)
		if mode&(fs.ModeSymlink|fs.ModeIrregular) != 0 {
			var info fs.FileInfo
			if info, err = os.Stat(full); err == nil {
				mode = info.Mode()
			}
		}
		switch {
		case err == nil && mode.IsDir():
			// One that cannot be entered may hold plans: reading it as a plan
			// tells so, and the status too.
			if err := w.folder(full, filepath.Join(below, name)); err != nil {
				w.add(full)
			}
		case len(w.include) > 0 && !matches(w.include, name, under):
		case err != nil && convert.FormatByEnding(name) != nil:
			w.add(full) // a link that leads nowhere or in a ring: told when read
		case err == nil && mode.IsRegular() && job.IsPlan(full, func() ([]byte, error) { return readHead(full) }):
			w.add(full)
		case job.ServesPlan(name, func(name string) bool { return names[name] }):
		default:
			w.skip(full)
		}
	}
	return nil
}

// matches reports whether one of the patterns fits: those with a slash the
// path, the others the name.
func matches(patterns []string, name, path string) bool {
	for _, p := range patterns {
		against := name
		if strings.Contains(p, "/") {
			against = path
		}
		if ok, _ := filepath.Match(p, against); ok {
			return true
		}
	}
	return false
}

func readHead(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	head := make([]byte, convert.HeadBytes)
	n, err := io.ReadFull(f, head)
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) && !errors.Is(err, io.EOF) {
		return nil, err
	}
	return head[:n], nil
}
