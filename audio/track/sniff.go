package track

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"
)

// Beginnings of files that people take for WAV, or name .wav. Signatures are
// from memory.
var beginnings = []struct {
	offset int
	bytes  string
	what   string
}{
	{0, "RIFX", "is a big-endian WAV file (RIFX)"},
	{0, "riff\x2E\x91\xCF\x11", "is a Wave64 file"},
	{0, "OggS", "is an Ogg file"},
	{0, "FORM", "is an AIFF file"},
	{0, "ID3", "is an MP3 file"},
	{0, "MThd", "is a MIDI file, which holds notes and no sound"},
	{0, ".snd", "is an AU file"},
	{0, "caff", "is a CAF file"},
	{0, "wvpk", "is a WavPack file"},
	{0, "MAC ", "is a Monkey's Audio file"},
	{0, "#!AMR", "is an AMR file"},
	{0, "0&\xB2\x75\x8E\x66\xCF\x11", "is a Windows Media file"},
	{0, "\x1A\x45\xDF\xA3", "is a Matroska or WebM file"},
	{4, "ftyp", "is an MP4 file (AAC or ALAC)"},
	{0, "PK\x03\x04", "is a ZIP archive"},
	{0, "\x1F\x8B", "is a gzip archive"},
	{0, "%PDF", "is a PDF file"},
	{0, "\x89PNG", "is a picture"},
	{0, "\xFF\xD8\xFF", "is a picture"},
}

// isSound tells whether what a file is instead of WAV or FLAC holds sound, so that
// other programs may read it.
func isSound(kind string) bool {
	for _, format := range []string{"RIFX", "Wave64", "Ogg", "AIFF", "MP3", "AU", "CAF", "WavPack", "Monkey's", "AMR", "Windows Media", "Matroska", "MP4", "AAC"} {
		if strings.Contains(kind, format+" ") || strings.Contains(kind, "("+format+")") {
			return true
		}
	}
	return false
}

// sniff returns "WAV", "FLAC", or what the file is instead.
func sniff(head []byte) string {
	has := func(offset int, s string) bool {
		return len(head) >= offset+len(s) && string(head[offset:offset+len(s)]) == s
	}
	switch {
	case len(head) == 0:
		return "is empty"
	case has(0, "RIFF") || has(0, "RF64") || has(0, "BW64"):
		switch {
		case len(head) < 12:
			return fmt.Sprintf("ends after %d bytes, within the WAV header", len(head))
		case !has(8, "WAVE"):
			return fmt.Sprintf("is a RIFF file of type %q and no WAV file", head[8:12])
		}
		return "WAV"
	case has(0, "fLaC"):
		return "FLAC"
	}
	for _, b := range beginnings {
		if has(b.offset, b.bytes) {
			return b.what
		}
	}
	if len(head) >= 2 && head[0] == 0xFF && head[1]&0xE0 == 0xE0 {
		if head[1]&0xF6 == 0xF0 {
			return "is an AAC file"
		}
		if head[1]&0x06 != 0 {
			return "is an MP3 file"
		}
	}
	if isText(head) {
		return "is a text file"
	}
	if len(bytes.Trim(head, "\x00")) == 0 {
		return "begins with nothing but zeros, as a recording does that was never finished"
	}
	return fmt.Sprintf("is neither WAV nor FLAC: it begins with % x", head[:min(4, len(head))])
}

// isText reports whether the bytes, maybe cut within a letter, read as UTF-8 text.
func isText(b []byte) bool {
	for len(b) > 0 {
		r, n := utf8.DecodeRune(b)
		if r == utf8.RuneError && n == 1 {
			return len(b) < utf8.UTFMax && !utf8.FullRune(b)
		}
		if r < ' ' && r != '\t' && r != '\n' && r != '\r' && r != '\f' || r == 0x7F {
			return false
		}
		b = b[n:]
	}
	return true
}
