// Output: files that are whole or not there at all.

package main

import (
	"bufio"
	"io"
	"os"
	"path/filepath"
)

// streams are the process's own three, or a test's.
type streams struct {
	in       io.Reader
	out, err io.Writer
}

// writeWhole lets fill write path and puts the file in place only when all of
// it is on the disk: a temporary file beside it, then a rename. "-" means
// standard output. On any error an old file at path stays as it was.
func writeWhole(path string, s streams, fill func(io.Writer) error) (err error) {
	if path == "-" {
		w := bufio.NewWriterSize(s.out, 1<<16)
		if err := fill(w); err != nil {
			return err
		}
		return w.Flush()
	}
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
		// A device or a pipe cannot be renamed over.
		f, err := os.OpenFile(path, os.O_WRONLY, 0)
		if err != nil {
			return err
		}
		w := bufio.NewWriterSize(f, 1<<16)
		if err := fill(w); err != nil {
			f.Close()
			return err
		}
		if err := w.Flush(); err != nil {
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
	w := bufio.NewWriterSize(f, 1<<20)
	if err := fill(w); err != nil {
		return err
	}
	if err := w.Flush(); err != nil {
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
