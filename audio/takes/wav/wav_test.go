package wav

import (
	"bytes"
	"testing"
)

// The bytes of a file of two frames, as the format has them (Multimedia
// Programming Interface and Data Specifications 1.0, 1991).
func TestFloat32(t *testing.T) {
	want := []byte("RIFF\x34\x00\x00\x00WAVE" +
		"fmt \x10\x00\x00\x00\x03\x00\x02\x00\x40\x1f\x00\x00\x00\xfa\x00\x00\x08\x00\x20\x00" +
		"data\x10\x00\x00\x00\x00\x00\x80\x3f\x00\x00\x00\xbf\x00\x00\x00\x00\x00\x00\x80\x3f")
	if got := Float32(2, 8000, []float32{1, -0.5, 0, 1}); !bytes.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestChunkIsPadded(t *testing.T) {
	if got := Chunk("LIST", "abc"); string(got) != "LIST\x03\x00\x00\x00abc\x00" {
		t.Errorf("%q", got)
	}
}
