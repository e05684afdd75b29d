package click

import "testing"

// A dotted note is three of the next shorter ones (common practice, no source).
func TestDottedUnits(t *testing.T) {
	for u, want := range map[Unit]bool{{1, 4}: false, {3, 8}: true, {1, 2}: false, {3, 4}: true, {1, 8}: false, {3, 16}: true} {
		if u.Dotted() != want {
			t.Errorf("%v is dotted: %v", u, u.Dotted())
		}
	}
}
