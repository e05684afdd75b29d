package files

import "testing"

func TestName(t *testing.T) {
	for path, want := range map[string]string{
		"runs/Weir Street.yaml": "runs/Weir Street.yaml",
		"Übung – 1.yaml":        "Übung – 1.yaml",
		"":                      `""`,
		"a\x1b[2Jb":             `"a\x1b[2Jb"`,
		"a\u009b2Jb":            `"a\u009b2Jb"`,
		"a\nb":                  `"a\nb"`,
		"\u202elmay.yaml":       `"\u202elmay.yaml"`,
		"t\xe4ke.wav":           `"t\xe4ke.wav"`,
	} {
		if got := Name(path); got != want {
			t.Errorf("%q is shown as %s, want %s", path, got, want)
		}
	}
}
