package routine_test

import (
	"strings"
	"testing"

	"footing/ladder/routine"
)

func TestExcerpt(t *testing.T) {
	text := "footing: 1\nname: Läufe 第一\nsteps:\n\t- name: a\n    reps: 5\n"
	tests := []struct {
		name      string
		line, col int
		want      string
	}{
		{"in the middle", 4, 2, "2 | name: Läufe 第一\n3 | steps:\n4 | →- name: a\n  |  ^\n5 |     reps: 5\n"},
		{"the first line", 1, 1, "1 | footing: 1\n  | ^\n2 | name: Läufe 第一\n"},
		{"behind wide letters", 2, 15, "1 | footing: 1\n2 | name: Läufe 第一\n  |             \u3000\u3000^\n3 | steps:\n"},
		{"outside the text", 99, 99, "4 | →- name: a\n5 |     reps: 5\n6 | \n  | ^\n"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := routine.Excerpt([]byte(text), tt.line, tt.col); got != tt.want {
				t.Errorf("got\n%swant\n%s", got, tt.want)
			}
		})
	}
	long := routine.Excerpt([]byte(strings.Repeat("x", 5000)+"!"+strings.Repeat("y", 5000)), 1, 5001)
	lines := strings.Split(long, "\n")
	at := strings.IndexRune(lines[0], '!')
	if len([]rune(lines[0])) > 110 || len([]rune(lines[0][:at])) != strings.IndexByte(lines[1], '^') {
		t.Errorf("a long line:\n%s", long)
	}
	if got := routine.Excerpt([]byte("a\x1b[31mb\xff"), 1, 1); strings.Contains(got, "\x1b") || strings.Contains(got, "\xff") {
		t.Errorf("what disturbs a terminal is shown: %q", got)
	}
}
