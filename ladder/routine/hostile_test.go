package routine_test

import (
	"fmt"
	"strings"
	"testing"

	"footing/ladder/routine"
)

// Long texts of forms that make a careless reader slow: each is answered in
// time that grows with its length alone.
func TestHostileTexts(t *testing.T) {
	repeat := strings.Repeat
	var steps, indents strings.Builder
	for i := range 500 {
		fmt.Fprintf(&steps, "- {name: a%d, tempo: {from: 399 rungs below, goal: 400, step: 0.9 bpm}, pencil: %s}\n", i, repeat("é", 300))
	}
	for i := range 1300 {
		indents.WriteString(repeat(" ", i) + "a:\n")
	}
	tests := map[string]string{
		"deep brackets":    repeat("[", 9000) + repeat("]", 9000),
		"deeper brackets":  repeat("[", 200_000),
		"open braces":      repeat("{a: ", 9000),
		"deep lists":       repeat("- ", 9000) + "a",
		"deep indents":     indents.String(),
		"comments":         repeat("# c\n", 40_000),
		"blank lines":      "footing: 1\n" + repeat("\n", 150_000) + "name: a\n",
		"one long line":    "name: " + repeat("a ", 80_000),
		"one long quote":   `name: "` + repeat(`a\n`, 50_000),
		"keys on a line":   "{" + repeat("a: b,", 30_000) + "}",
		"keys on lines":    repeat("a: b\n", 30_000),
		"aliases":          "a: &a 1\nb: [" + repeat("*a,", 40_000) + "]",
		"anchors":          repeat("- &a [*a,*a]\n", 10_000),
		"tabs":             "a:\n" + repeat("\t\n", 50_000) + "b: [",
		"colons":           repeat(":", 150_000),
		"steps on a line":  "footing: 1\nname: a\nsteps: [" + repeat("{},", 40_000) + "]",
		"marks on a line":  "footing: 1\nname: a\nsteps: [{name: a, dynamics: [" + repeat("a,", 50_000) + "]}]",
		"documents":        repeat("---\n", 40_000),
		"steps, all sound": "footing: 1\nname: a\nsteps:\n" + steps.String(),
	}
	for name, text := range tests {
		t.Run(name, func(t *testing.T) {
			_, err := routine.Parse("hostile.yaml", []byte(text))
			if name == "steps, all sound" {
				if err != nil {
					t.Error(err)
				}
				return
			}
			if err == nil {
				t.Fatal("accepted")
			}
			sound(t, []byte(text), err)
		})
	}
}
