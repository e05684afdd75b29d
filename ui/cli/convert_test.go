package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// phone is a file that begins as what phones record.
func phone(t *testing.T, name string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, []byte("\x00\x00\x00\x20ftypM4A and so on"), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestHearSaysHowToConvert(t *testing.T) {
	t.Setenv("PATH", t.TempDir())
	for name, want := range map[string]string{"my take.m4a": "ffmpeg -i '%smy take.m4a' '%smy take.wav'\n", "take.m4a": "ffmpeg -i %stake.m4a %stake.wav\n"} {
		path := phone(t, name)
		dir := strings.TrimSuffix(path, name)
		code, _, err := run(t, "hear", path)
		if code != FaultInput || !strings.HasSuffix(err, fmt.Sprintf("convert it with: "+want, dir, dir)) {
			t.Errorf("status %d: %s", code, err)
		}
	}
}

// A stand-in for ffmpeg that writes a take to its last argument, or fails.
func TestHearConverts(t *testing.T) {
	take := plainTake(t, group(8, 25))
	bin := t.TempDir()
	script := fmt.Sprintf("#!/bin/sh\nfor last; do :; done\n/bin/cp %s \"$last\"\n", take)
	program := filepath.Join(bin, "ffmpeg")
	if err := os.WriteFile(program, []byte(script), 0o700); err != nil {
		t.Fatal(err)
	}
	t.Setenv("PATH", bin)
	temp := t.TempDir()
	t.Setenv("TMPDIR", temp)
	if h := hearJSON(t, phone(t, "take.m4a"), "--tempo", "72", "--slots", "4"); h.Weak == nil || h.Weak.To != 3 {
		t.Errorf("%+v: %s", h.Weak, h.Sentence)
	}
	if err := os.WriteFile(program, []byte("#!/bin/sh\necho broken stream >&2\nexit 1\n"), 0o700); err != nil {
		t.Fatal(err)
	}
	code, _, said := run(t, "hear", phone(t, "take.m4a"))
	if code != FaultInput || !strings.Contains(said, "ffmpeg cannot convert it") || !strings.Contains(said, "broken stream") {
		t.Errorf("status %d: %s", code, said)
	}
	if left, _ := os.ReadDir(temp); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}
