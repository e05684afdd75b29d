package click

import "testing"

// A den below one counts as one.
func TestFracOfNothing(t *testing.T) {
	for _, den := range []int64{1, 0, -1, -7} {
		if got := Frac(3, den); got != Whole(3) {
			t.Errorf("3/%d is %v, want 3", den, got)
		}
	}
}

func TestSwingsThatAreNone(t *testing.T) {
	for _, text := range []string{"", "2", "2:", ":1", "x:1", "2:x", "0:1", "2:0", "13:1", "1:13", "-1:1", "2:-1", "99999999999999999999:1", "1:99999999999999999999", "2:1:1"} {
		if s, err := ParseSwing(text); err == nil {
			t.Errorf("%q is read as %v", text, s)
		}
	}
	for _, text := range []string{"1:1", "12:1", "1:12", " 3 : 2 "} {
		if _, err := ParseSwing(text); err != nil {
			t.Error(err)
		}
	}
}
