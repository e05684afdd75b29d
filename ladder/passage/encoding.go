package passage

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"strings"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// decoded is a document's bytes as UTF-8 where they begin with a byte order mark
// or are plainly UTF-16; else as they are.
func decoded(r io.Reader) io.Reader {
	b := bufio.NewReader(r)
	head, _ := b.Peek(3)
	switch {
	case bytes.HasPrefix(head, []byte{0xEF, 0xBB, 0xBF}):
		b.Discard(3)
	case bytes.HasPrefix(head, []byte{0xFE, 0xFF}), bytes.HasPrefix(head, []byte{0xFF, 0xFE}):
		return unicode.UTF16(unicode.BigEndian, unicode.ExpectBOM).NewDecoder().Reader(b)
	case bytes.HasPrefix(head, []byte{0, '<'}):
		return unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM).NewDecoder().Reader(b)
	case bytes.HasPrefix(head, []byte{'<', 0}):
		return unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM).NewDecoder().Reader(b)
	}
	return b
}

// charset reads the encoding that a document declares. A declared UTF-16 has been
// turned into UTF-8 by [decoded], or its declaration could not have been read.
func charset(name string, r io.Reader) (io.Reader, error) {
	switch strings.ToLower(strings.TrimSpace(name)) {
	case "utf-8", "utf8", "utf-16", "utf-16le", "utf-16be", "us-ascii", "ascii":
		return r, nil
	case "iso-8859-1", "iso8859-1", "iso_8859-1", "latin1", "latin-1":
		return charmap.ISO8859_1.NewDecoder().Reader(r), nil
	case "windows-1252", "cp1252", "cp-1252":
		return charmap.Windows1252.NewDecoder().Reader(r), nil
	}
	return nil, fmt.Errorf("the encoding %.40q is not read; save the score as UTF-8", name)
}
