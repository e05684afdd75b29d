package cli

import (
	"bytes"
	"context"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"unicode"
	"unicode/utf8"
)

func TestPlain(t *testing.T) {
	for text, want := range map[string]string{
		"Übung – 1\tx\n":      "Übung – 1\tx\n",
		"a\x1b[2J":            `a\u001b[2J`,
		"\r\x7f\x00":          `\u000d\u007f\u0000`,
		"\u009b2J":            `\u009b2J`, // the same as ESC [
		"\u202elmay\u2066":    `\u202elmay\u2066`,
		"a\u2028b\ufeff":      `a\u2028b\ufeff`,
		"\U000e0041":          `\udb40\udc41`,
		"t\xe4ke \xe2\x80":    `t\xe4ke \xe2\x80`,
		"\ufffd, as it is":    "\ufffd, as it is",
		`a backslash, \u001b`: `a backslash, \u001b`,
	} {
		var b bytes.Buffer
		n, err := Plain(&b).Write([]byte(text))
		if b.String() != want || n != len(text) || err != nil {
			t.Errorf("%q is written as %q (%d of %d bytes, %v), want %q", text, b.String(), n, len(text), err, want)
		}
	}
}

// fullDisk is a stream to a full disk.
type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) {
	return 0, &fs.PathError{Op: "write", Path: "/dev/stdout", Err: syscall.ENOSPC}
}

func TestAResultThatIsNotWrittenIsSaid(t *testing.T) {
	good := write(t, runs)
	bad := write(t, strings.Replace(runs, "step: 4 bpm", "step: 4 bmp", 1))
	wav, take := filepath.Join(t.TempDir(), "x.wav"), plainTake(t, group(4, 0))
	for _, args := range [][]string{
		{"-h"}, {"check", "-h"}, {"check", good}, {"check", good, bad}, {"check", "--json", good},
		{"render", good, "--step", "Trio", "-o", wav}, {"render", good, "--step", "Trio", "-o", wav, "--json"},
		{"hear", take}, {"hear", take, "--json"},
	} {
		var e bytes.Buffer
		code := Run(context.Background(), World{Out: fullDisk{}, Err: &e}, args)
		said := e.String()
		if strings.Count(said, "footing: writing the result: ") != 1 || !strings.HasSuffix(said, "footing: writing the result: no space left on device\n") || code != FaultMachine {
			t.Errorf("footing %q to a full disk: status %d, %q", args, code, said)
		}
	}
}

// hostile are file names that would clear a screen, turn the direction of
// writing, ring a bell, begin a line of their own, or are no UTF-8.
var hostile = []string{"a\x1b[2Jb", "a\u202egnp.b", "a\u2066b\u2069", "a\u009b2Jb", "a\ab", "a\rb", "a\nb", "a\xe4b"}

// No name shows its codes, and it stands on one line: it comes as it is or quoted.
func TestNoFileNameIsObeyed(t *testing.T) {
	folder := t.TempDir()
	for _, name := range hostile {
		file := filepath.Join(folder, name+".yaml")
		if err := os.WriteFile(file, []byte(runs), 0o600); err != nil {
			t.Fatal(err)
		}
		wav := filepath.Join(folder, name+".wav")
		none := filepath.Join(folder, "none", name+".wav")
		for _, args := range [][]string{
			{"check", file}, {"check", "--json", file}, {"check", none}, {"check", "--json", none},
			{"play", file}, {"play", none},
			{"render", file, "--step", "Trio", "-o", wav}, {"render", file, "--step", "Trio", "-o", wav, "--json"},
			{"render", file, "-o", none}, {"render", file, "-o", file}, {"render", file, "--step", name, "-o", wav},
			{"hear", wav}, {"hear", wav, "--json"}, {"hear", file}, {"hear", none}, {name, name}, {"check", "--" + name},
		} {
			code, out, err := run(t, args...)
			for stream, text := range map[string]string{"out": out, "err": err} {
				if !utf8.ValidString(text) || strings.ContainsFunc(text, func(r rune) bool { return r != '\n' && unicode.In(r, unicode.C) }) {
					t.Errorf("footing %q (status %d): raw on %s: %q", args, code, stream, text)
				}
			}
			if (args[0] == "check" || args[0] == "render" || args[0] == "play") && len(args) > 1 && strings.Count(out+err, "\n") != 1 && args[1] != "--"+name {
				t.Errorf("footing %q (status %d): not one line: %q %q", args, code, out, err)
			}
		}
	}
}

func TestANameThatIsNotUTF8IsFound(t *testing.T) {
	file := filepath.Join(t.TempDir(), "t\xe4ke.yaml")
	if err := os.WriteFile(file, []byte(runs), 0o600); err != nil {
		return // a system that has no such names
	}
	code, out, err := run(t, "check", file)
	if code != Done || err != "" || !strings.Contains(out, `t\xe4ke.yaml": "Morning runs", 2 steps`) {
		t.Errorf("status %d, %q, %q", code, out, err)
	}
}

func TestALineThatWouldWrapIsCut(t *testing.T) {
	var e bytes.Buffer
	newProgress(World{Err: &e, Live: true}).show("%s: 0:01\x1b", strings.Repeat("ä", 200))
	if got, want := e.String(), "\r"+strings.Repeat("ä", 78)+"…\r"; got[:len(want)] != want {
		t.Errorf("progress writes %q", got)
	}
}
