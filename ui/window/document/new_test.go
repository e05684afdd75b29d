package document

import "testing"

func TestFileName(t *testing.T) {
	for name, want := range map[string]string{
		"Morning runs": "morning-runs.yaml", "../../etc": "etc.yaml", "": "routine.yaml", "???": "routine.yaml",
		"Fagott: Übung 3": "fagott-übung-3.yaml",
	} {
		if got := FileName(name); got != want {
			t.Errorf("%q is kept as %q, want %q", name, got, want)
		}
	}
}
