// Files and streams: what a job reads and writes, whole or not at all.

package main

import (
	"bufio"
	"io"
	"os"
	"path/filepath"

	"swardline/convert"
	"swardline/crs"
)

// streams are the process's own three, or a test's.
type streams struct {
	in       io.Reader
	out, err io.Writer
}

// disk is the job.Store of the command line: paths, and "-" for the streams.
type disk struct {
	streams
	folders []string // made when something is written into them
}

// Read implements job.Store.
func (d *disk) Read(path string, most float64) ([]byte, error) {
	if path == "-" {
		return convert.ReadStream(d.in, most)
	}
	return convert.ReadWhole(path, most)
}

// Open implements job.Opener.
func (d *disk) Open(path string) (io.ReadCloser, error) { return os.Open(path) }

// Write implements job.Store: a temporary file beside path is renamed when all of
// it is on the disk. On any error an old file at path stays as it was.
// Same reports whether two names lead to one file.
func (d *disk) Same(a, b string) bool {
	x, err := os.Stat(a)
	if err != nil {
		return false
	}
	y, err := os.Stat(b)
	return err == nil && os.SameFile(x, y)
}

func (d *disk) Write(path string, fill func(io.Writer) error) (err error) {
	if path == "-" {
		return fillWhole(d.out, 1<<16, fill)
	}
	for _, folder := range d.folders {
		if filepath.Dir(path) == filepath.Clean(folder) {
			if err := os.MkdirAll(folder, 0o755); err != nil {
				return err
			}
		}
	}
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
		// A device or a pipe cannot be renamed over.
		f, err := os.OpenFile(path, os.O_WRONLY, 0)
		if err != nil {
			return err
		}
		if err := fillWhole(f, 1<<16, fill); err != nil {
			f.Close()
			return err
		}
		return f.Close()
	}
	if target, err := filepath.EvalSymlinks(path); err == nil {
		path = target // write through a link, do not replace it
	}
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			f.Close()
			os.Remove(f.Name())
		}
	}()
	if err := fillWhole(f, 1<<20, fill); err != nil {
		return err
	}
	mode := os.FileMode(0o644)
	if info, err := os.Stat(path); err == nil {
		mode = info.Mode().Perm()
	}
	if err := f.Chmod(mode); err != nil {
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}

func fillWhole(to io.Writer, size int, fill func(io.Writer) error) error {
	w := bufio.NewWriterSize(to, size)
	if err := fill(w); err != nil {
		return err
	}
	return w.Flush()
}

func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

// gridFiles replaces folders by the grid files and deformation models in them.
func gridFiles(paths []string) ([]string, error) {
	var out []string
	for _, path := range paths {
		if !isFolder(path) {
			out = append(out, path)
			continue
		}
		for _, pattern := range []string{"*.gsb", "*.GSB", "*.gtx", "*.tif"} {
			found, err := filepath.Glob(filepath.Join(path, pattern))
			if err != nil {
				return nil, err
			}
			out = append(out, found...)
		}
		found, err := filepath.Glob(filepath.Join(path, "*.json"))
		if err != nil {
			return nil, err
		}
		for _, name := range found {
			// Other JSON files may stand there, too.
			if data, err := os.ReadFile(name); err == nil && crs.IsDeformationModel(data) {
				out = append(out, name)
			}
		}
	}
	return out, nil
}
