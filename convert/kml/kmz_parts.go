// A KMZ in parts: its document is unpacked as it is read.

package kml

import (
	"archive/zip"
	"errors"
	"io"
	"slices"

	"swardline/convert/wire"
	"swardline/schema"
)

// NewKMZSource makes a KMZ one that is read in parts. It must be read whole
// where its document holds a link, which may lead to another of its entries,
// where anything is wrong with it, and where what is opened is no io.ReaderAt
// and io.Seeker: the directory of an archive stands at its end.
func NewKMZSource(open wire.Opening, o wire.ReadOptions, features int) wire.PartSource {
	s := &kmzSource{archive: open, o: o}
	s.document = &source{open: s.open, o: o, size: features, format: "kmz"}
	return s
}

// kmzSource is a KMZ and its document.
type kmzSource struct {
	archive  wire.Opening
	o        wire.ReadOptions
	document *source
	told     wire.Tally // of the archive, on the last walk
}

// Walk implements wire.PartSource.
func (s *kmzSource) Walk(take func(*schema.Plan, []*schema.Feature) error) (*schema.Plan, []wire.Warning, error) {
	p, warnings, err := s.document.Walk(take)
	var in *wire.InputError
	switch {
	case errors.As(err, &in):
		return nil, nil, wire.ErrWhole // that the document can be unpacked comes first
	case err != nil:
		return nil, nil, err
	}
	return p, slices.Concat(s.told.Warnings(), warnings), nil
}

// open opens the document.
func (s *kmzSource) open() (io.ReadCloser, error) {
	f, err := s.archive()
	if err != nil {
		return nil, err
	}
	in, err := s.unpack(f)
	if err != nil {
		f.Close()
		return nil, wire.ErrWhole
	}
	return &entryReader{in, f}, nil
}

func (s *kmzSource) unpack(f io.Reader) (io.ReadCloser, error) {
	at, ok := f.(interface {
		io.ReaderAt
		io.Seeker
	})
	if !ok {
		return nil, wire.ErrWhole
	}
	size, err := at.Seek(0, io.SeekEnd)
	if err != nil {
		return nil, err
	}
	z, err := zip.NewReader(at, size)
	if err != nil && (z == nil || !errors.Is(err, zip.ErrInsecurePath)) {
		return nil, err
	}
	s.told = wire.Tally{}
	root, documents := rootOf(z.File, &s.told)
	if root == nil || root.Flags&1 != 0 || root.Method != zip.Store && root.Method != zip.Deflate || float64(root.UncompressedSize64) > s.o.Caps().InputMaxInflated {
		return nil, wire.ErrWhole
	}
	s.document.entry = wire.Clip([]byte(entryName(root)), 60)
	unread(&s.told, root, documents, 1)
	return root.Open()
}

// entryReader reads an entry of an archive. An error of unpacking is for who
// unpacks all of it first.
type entryReader struct {
	io.ReadCloser
	archive io.Closer
}

// Read implements io.Reader.
func (r *entryReader) Read(b []byte) (int, error) {
	n, err := r.ReadCloser.Read(b)
	if err != nil && err != io.EOF {
		err = wire.ErrWhole
	}
	return n, err
}

// Close implements io.Closer.
func (r *entryReader) Close() error { return errors.Join(r.ReadCloser.Close(), r.archive.Close()) }
