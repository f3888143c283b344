// Files and streams: what a job reads and writes, whole or not at all.

package main

import (
	"bufio"
	"bytes"
	"io"
	"os"
	"path/filepath"

	"swardline/convert"
	"swardline/convert/wire"
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
	folders []string          // made when something is written into them
	spools  map[string]*spool // streams that were read already, by name
}

// Read implements job.Store.
func (d *disk) Read(path string, most float64) ([]byte, error) {
	if s := d.spools[path]; s != nil {
		return convert.ReadStream(s.reader(), most)
	}
	if path == "-" {
		return convert.ReadStream(d.in, most)
	}
	return convert.ReadWhole(path, most)
}

// Open implements job.Opener.
func (d *disk) Open(path string) (io.ReadCloser, error) { return os.Open(path) }

// Write implements job.Store: a temporary file beside path is renamed when all
// of it is on the disk. On any error an old file at path stays as it was. Same
// reports whether two names lead to one file.
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

// Reread implements job.Rereader. A stream is copied to a temporary file first.
func (d *disk) Reread(path string, least, most float64) (wire.Opening, int64, error) {
	if path != "-" {
		before, err := os.Stat(path)
		if err != nil {
			return nil, 0, err
		}
		if before.Mode().IsRegular() {
			if size := float64(before.Size()); size < least || size > most {
				return nil, 0, wire.ErrWhole
			}
			return func() (io.ReadCloser, error) {
				f, err := os.Open(path)
				return &steady{f, before}, err
			}, before.Size(), nil
		}
	}
	s, err := d.spool(path, least, most)
	if err != nil {
		return nil, 0, err
	}
	if s.size < int64(least) || float64(s.size) > most {
		return nil, 0, wire.ErrWhole
	}
	return func() (io.ReadCloser, error) { return unclosed{s.reader()}, nil }, s.size, nil
}

// steady is a file that is refused when it changes while it is read.
type steady struct {
	*os.File
	before os.FileInfo
}

func (f *steady) Read(b []byte) (int, error) {
	n, err := f.File.Read(b)
	if err == io.EOF {
		after, other := f.Stat()
		if other != nil || after.Size() != f.before.Size() || !after.ModTime().Equal(f.before.ModTime()) {
			return n, &wire.InputError{Problem: "the file changed while it was read", Mend: "run again when it is written whole"}
		}
	}
	return n, err
}

// spool keeps a stream: a short one in memory, a long one in a temporary file.
type spool struct {
	start []byte
	rest  *scratch // nil for a short one
	size  int64
}

// anywhere is what can be read from its start and anywhere.
type anywhere interface {
	io.ReadSeeker
	io.ReaderAt
}

// unclosed stays open when it is closed.
type unclosed struct{ anywhere }

func (unclosed) Close() error { return nil }

func (s *spool) reader() anywhere {
	if s.rest == nil {
		return bytes.NewReader(s.start)
	}
	return io.NewSectionReader(s.rest.file, 0, s.size)
}

// spool reads a stream to its end, or to one byte more than most.
func (d *disk) spool(path string, least, most float64) (*spool, error) {
	if s := d.spools[path]; s != nil {
		return s, nil
	}
	from := d.in
	if path != "-" {
		f, err := os.Open(path)
		if err != nil {
			return nil, err
		}
		defer f.Close()
		from = f
	}
	from = io.LimitReader(from, int64(most)+1)
	s := &spool{}
	var err error
	if s.start, err = io.ReadAll(io.LimitReader(from, int64(least))); err != nil {
		return nil, err
	}
	s.size = int64(len(s.start))
	if s.size == int64(least) {
		if s.rest, err = newScratch(); err != nil {
			return nil, err
		}
		n, err := io.Copy(s.rest.file, io.MultiReader(bytes.NewReader(s.start), from))
		if err != nil {
			s.rest.Close()
			return nil, err
		}
		s.start, s.size = nil, n
	}
	if d.spools == nil {
		d.spools = map[string]*spool{}
	}
	d.spools[path] = s
	return s, nil
}

// close removes what streams were copied to.
func (d *disk) close() {
	for _, s := range d.spools {
		if s.rest != nil {
			s.rest.Close()
		}
	}
}

// Scratch implements job.Rereader.
func (d *disk) Scratch() (wire.Scratch, error) { return newScratch() }

// scratch is a temporary file that is gone when it is closed.
type scratch struct{ file *os.File }

func newScratch() (*scratch, error) {
	f, err := os.CreateTemp("", program+".*")
	if err != nil {
		return nil, err
	}
	return &scratch{f}, nil
}

func (s *scratch) Write(b []byte) (int, error) { return s.file.Write(b) }

// WriteTo gives all that was written.
func (s *scratch) WriteTo(w io.Writer) (int64, error) {
	if _, err := s.file.Seek(0, io.SeekStart); err != nil {
		return 0, err
	}
	return io.Copy(w, s.file)
}

func (s *scratch) Close() error {
	err := s.file.Close()
	if other := os.Remove(s.file.Name()); err == nil {
		err = other
	}
	return err
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
