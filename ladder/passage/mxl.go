package passage

import (
	"archive/zip"
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"
)

// container is where an archive says which of its files is the score.
const container = "META-INF/container.xml"

// ReadArchive reads a compressed score (.mxl) of so many bytes: the first
// rootfile that its container names. Only these two files are opened, and the
// score is unpacked once to see that it is whole and no larger than the limits
// before it is read. See [Read].
func ReadArchive(ctx context.Context, from io.ReaderAt, size int64, limits Limits) (*Score, []Remark, error) {
	limits = limits.Or(DefaultLimits)
	if size > limits.Packed {
		return nil, nil, fmt.Errorf("the archive is too large: %d MiB, and at most %d are read", size>>20, limits.Packed>>20)
	}
	files, err := zip.NewReader(from, size)
	if err != nil && !errors.Is(err, zip.ErrInsecurePath) {
		return nil, nil, errors.New("the archive is cut off or damaged, or this is no archive")
	}
	if n := len(files.File); n > limits.Entries {
		return nil, nil, fmt.Errorf("the archive has too many entries: %d, and at most %d are read", n, limits.Entries)
	}
	name, err := rootfile(ctx, files, limits)
	if err != nil {
		return nil, nil, err
	}
	file := find(files, name)
	if file == nil {
		return nil, nil, fmt.Errorf("the score %s that the container names is not in the archive", quoted(name))
	}
	if err := whole(ctx, file, limits); err != nil {
		return nil, nil, err
	}
	in, err := file.Open()
	if err != nil {
		return nil, nil, damaged(file, err)
	}
	defer in.Close()
	score, remarks, err := Read(ctx, in, limits)
	if err != nil {
		return nil, remarks, fmt.Errorf("%s in the archive: %w", oneLine(name), err)
	}
	score.Source = name
	return score, remarks, nil
}

// find is the archive's file of that name, nil where there is none.
func find(files *zip.Reader, name string) *zip.File {
	for _, f := range files.File {
		if f.Name == name {
			return f
		}
	}
	return nil
}

// rootfile is the name of the score in an archive.
func rootfile(ctx context.Context, files *zip.Reader, limits Limits) (string, error) {
	file := find(files, container)
	if file == nil {
		return "", fmt.Errorf("the archive has no %s, which would say where its score is", container)
	}
	const most = 1 << 20 // a container is a few hundred bytes
	limits.Bytes = most
	if err := whole(ctx, file, limits); err != nil {
		return "", err
	}
	in, err := file.Open()
	if err != nil {
		return "", damaged(file, err)
	}
	defer in.Close()
	r := newReader(ctx, in, limits)
	if _, err := r.root(); err != nil {
		return "", fmt.Errorf("%s: %w", container, err)
	}
	name := ""
	err = r.children(func(e xml.StartElement) error {
		if e.Name.Local != "rootfiles" {
			return r.skip()
		}
		return r.children(func(e xml.StartElement) error {
			if e.Name.Local == "rootfile" && name == "" {
				name = strings.TrimSpace(attr(e, "full-path"))
			}
			return r.skip()
		})
	})
	clean := path.Clean(name)
	switch {
	case err != nil:
		return "", fmt.Errorf("%s: %w", container, err)
	case name == "":
		return "", fmt.Errorf("%s names no rootfile with a full-path", container)
	case path.IsAbs(clean) || strings.Contains(name, `\`) || clean == ".." || strings.HasPrefix(clean, "../"):
		return "", fmt.Errorf("the score %s that the container names lies outside the archive", quoted(name))
	}
	return clean, nil
}

// whole reports what keeps a file of the archive from being read whole: the size
// in its header is believed only where it is too large.
func whole(ctx context.Context, file *zip.File, limits Limits) error {
	tooLarge := fmt.Errorf("%s in the archive unpacks to too much; at most %d MiB are read", oneLine(file.Name), limits.Bytes>>20)
	if file.UncompressedSize64 > uint64(limits.Bytes) {
		return tooLarge
	}
	in, err := file.Open()
	if err != nil {
		return damaged(file, err)
	}
	defer in.Close()
	var sum int64
	for buf := make([]byte, 64<<10); ; {
		n, err := in.Read(buf)
		if sum += int64(n); sum > limits.Bytes {
			return tooLarge
		}
		switch {
		case err == io.EOF:
			return nil
		case err != nil:
			return damaged(file, err)
		case ctx.Err() != nil:
			return ctx.Err()
		}
	}
}

// damaged says why a file of the archive cannot be unpacked.
func damaged(file *zip.File, err error) error {
	if errors.Is(err, zip.ErrAlgorithm) || file.Flags&1 != 0 {
		return fmt.Errorf("%s in the archive is encrypted or packed in a way that is not read", oneLine(file.Name))
	}
	return fmt.Errorf("%s in the archive is cut off or damaged", oneLine(file.Name))
}

// IsArchive reports whether a file that begins with these bytes is an archive.
func IsArchive(head []byte) bool { return strings.HasPrefix(string(head), "PK\x03\x04") }
