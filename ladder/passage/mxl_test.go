package passage_test

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"hash/crc32"
	"strings"
	"testing"

	"footing/ladder/passage"
)

const onePart = `<score-partwise version="4.0"><part-list/><part id="P1"><measure number="1"><note><rest/><duration>4</duration></note></measure></part></score-partwise>`

func containerOf(paths ...string) string {
	out := `<container><rootfiles>`
	for _, p := range paths {
		out += `<rootfile full-path="` + p + `" media-type="application/anything"/>`
	}
	return out + `</rootfiles></container>`
}

// archive packs names and contents, in pairs.
func archive(t *testing.T, pairs ...string) []byte {
	t.Helper()
	var buf bytes.Buffer
	w := zip.NewWriter(&buf)
	for i := 0; i < len(pairs); i += 2 {
		f, err := w.Create(pairs[i])
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.Write([]byte(pairs[i+1])); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

func TestArchives(t *testing.T) {
	const at = "META-INF/container.xml"
	for _, c := range []struct{ name, path string }{
		{"a.xml", "a.xml"}, {"scores/a b.musicxml", "scores/a b.musicxml"}, {"scores/a.xml", "./scores/a.xml"}, {"a.xml", "scores/../a.xml"},
	} {
		data := archive(t, "decoy.xml", "<no", c.name, onePart, at, containerOf(c.path, "decoy.xml"), "part.pdf", "%PDF")
		s, _, err := read(data, passage.Limits{})
		if err != nil || s.Source != c.name {
			t.Errorf("%s: %v", c.path, err)
		}
	}
	for _, c := range []struct {
		data []byte
		want string
	}{
		{archive(t, "a.xml", onePart, at, containerOf()), "names no rootfile"},
		{archive(t, "a.xml", onePart, at, containerOf("/a.xml")), "outside the archive"},
		{archive(t, "a.xml", onePart, at, containerOf(`..\a.xml`)), "outside the archive"},
		{archive(t, "a.xml", onePart, at, containerOf("b/../../a.xml")), "outside the archive"},
		{archive(t, "a.xml", onePart, at, "<container>"), "META-INF/container.xml: line 1: the file ends too early"},
		{archive(t, "a.xml", onePart, at, containerOf("a.xml")+strings.Repeat(" ", 1<<20)), "META-INF/container.xml in the archive unpacks to too much"},
		{archive(t, "a.xml", strings.Replace(onePart, "4</dur", "x</dur", 1), at, containerOf("a.xml")), `a.xml in the archive: bar 1 of part P1: duration "x"`},
	} {
		if _, _, err := read(c.data, passage.Limits{}); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v, want %q", err, c.want)
		}
	}
}

// A header's word for how much a file unpacks to is not taken.
func TestArchiveThatLies(t *testing.T) {
	var packed bytes.Buffer
	f, err := flate.NewWriter(&packed, 9)
	if err != nil {
		t.Fatal(err)
	}
	sum := crc32.NewIEEE()
	block := bytes.Repeat([]byte(" "), 1<<20)
	for range 80 {
		sum.Write(block)
		if _, err := f.Write(block); err != nil {
			t.Fatal(err)
		}
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	var buf bytes.Buffer
	w := zip.NewWriter(&buf)
	raw, err := w.CreateRaw(&zip.FileHeader{Name: "a.xml", Method: zip.Deflate, CRC32: sum.Sum32(), CompressedSize64: uint64(packed.Len()), UncompressedSize64: 100})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := raw.Write(packed.Bytes()); err != nil {
		t.Fatal(err)
	}
	c, err := w.Create("META-INF/container.xml")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := c.Write([]byte(containerOf("a.xml"))); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	if _, _, err := read(buf.Bytes(), passage.Limits{}); err == nil || !strings.Contains(err.Error(), "in the archive") {
		t.Error(err)
	}
}

// Whatever byte of an archive is spoilt, reading ends; where it does not matter
// the score is the same.
func TestSpoiltArchives(t *testing.T) {
	data := archive(t, "a.xml", onePart, "META-INF/container.xml", containerOf("a.xml"))
	for i := range data {
		spoilt := bytes.Clone(data)
		spoilt[i] ^= 0x5a
		if !passage.IsArchive(spoilt) {
			continue
		}
		if s, _, err := read(spoilt, passage.Limits{}); err == nil && len(s.Parts) != 1 {
			t.Errorf("byte %d: %v", i, s)
		}
	}
}
