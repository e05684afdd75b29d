package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"

	"footing/audio/track"
)

// openTake opens a recording. What phones make, which is neither WAV nor FLAC, is
// converted by ffmpeg where that is installed; where it is not, the fault says
// with what command. Call done in the end.
func openTake(ctx context.Context, path string) (r track.Reader, done func(), err error) {
	r, err = track.Open(path)
	if err == nil {
		return r, func() { r.Close() }, nil
	}
	if foreign := (track.Foreign{}); !errors.As(err, &foreign) {
		return nil, nil, takeFault(err)
	}
	program, missing := exec.LookPath("ffmpeg")
	if missing != nil {
		wav := strings.TrimSuffix(path, filepath.Ext(path)) + ".wav"
		if wav == path {
			wav = strings.TrimSuffix(path, ".wav") + "-pcm.wav"
		}
		return nil, nil, inputFault(fmt.Errorf("%w; convert it with: ffmpeg -i %s %s", err, shellWord(path), shellWord(wav)))
	}
	dir, err := os.MkdirTemp("", "footing-take")
	if err != nil {
		return nil, nil, machineFault(fmt.Errorf("converting %s: %w", path, err))
	}
	remove := func() { os.RemoveAll(dir) }
	wav := filepath.Join(dir, "take.wav")
	var said bytes.Buffer
	// A name is a file's, whatever it looks like, and nothing is fetched.
	cmd := exec.CommandContext(ctx, program, "-nostdin", "-v", "error", "-protocol_whitelist", "file", "-i", "file:"+path, "-vn", "-c:a", "pcm_s16le", wav)
	cmd.Stderr = &said
	if err := cmd.Run(); err != nil {
		remove()
		if ctx.Err() != nil {
			return nil, nil, ctx.Err()
		}
		return nil, nil, inputFault(fmt.Errorf("%s: ffmpeg cannot convert it: is the file whole? It says: %s", path, firstWords(said.String(), err)))
	}
	if r, err = track.Open(wav); err != nil {
		remove()
		return nil, nil, takeFault(fmt.Errorf("%s, converted by ffmpeg: %w", path, err))
	}
	return r, func() { r.Close(); remove() }, nil
}

// firstWords is the first line that ffmpeg said, without the part of it that said so
// ("[mov @ 0x55aa] "), or how it ended where it said nothing.
func firstWords(said string, end error) string {
	line, _, _ := strings.Cut(strings.TrimSpace(said), "\n")
	if part, rest, ok := strings.Cut(line, "] "); ok && strings.HasPrefix(part, "[") {
		line = rest
	}
	if line == "" {
		return end.Error()
	}
	return line
}

// shellWord is a word as a POSIX shell reads it: quoted where it has to be.
func shellWord(s string) string {
	plain := func(r rune) bool {
		return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || strings.ContainsRune("/._-+", r)
	}
	if s != "" && s[0] != '-' && strings.IndexFunc(s, func(r rune) bool { return !plain(r) }) < 0 {
		return s
	}
	if strings.HasPrefix(s, "-") {
		s = "./" + s
	}
	return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
}
