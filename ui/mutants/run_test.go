package main

import (
	"os"
	"strings"
	"testing"
)

// A fault that the tests look at dies, one that they do not look at lives, and the
// sources stay as they are.
func TestCount(t *testing.T) {
	t.Chdir(t.TempDir())
	files := map[string]string{
		"go.mod": "module p\n\ngo 1.24\n",
		"p.go": `package p

func below(n int) bool { return n < 5 }

func above(n int) bool { return n > 5 }
`,
		"p_test.go": `package p

import "testing"

func TestBelow(t *testing.T) {
	if !below(4) || below(5) {
		t.Error("below")
	}
	above(1)
}
`,
	}
	for name, text := range files {
		if err := os.WriteFile(name, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	for at, want := range map[string]string{
		"p.go:3": ".: 3 of 3 die\n3 of 3 seeded mutants die\n",
		"p.go:5": ".: 0 of 3 die\n0 of 3 seeded mutants die\n",
	} {
		var out strings.Builder
		if err := run(t.Context(), &out, []string{"-at", at, "."}); err != nil {
			t.Fatal(err)
		}
		lives, counts := "", ""
		for line := range strings.Lines(out.String()) {
			if strings.HasPrefix(line, "lives") {
				lives += line
			} else {
				counts += line
			}
		}
		if counts != want || strings.Count(lives, "p.go:5: ") != strings.Count(lives, "\n") {
			t.Errorf("at %s it says\n%s", at, out.String())
		}
	}
	if got, err := os.ReadFile("p.go"); err != nil || string(got) != files["p.go"] {
		t.Errorf("the source is now\n%s", got)
	}
}
