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

// Meters go up to 64 beats, and to thirty-seconds.
func TestBoundsOfMeters(t *testing.T) {
	for text, good := range map[string]bool{
		"1/1": true, "4/32": true, "4/64": false, "4/33": false, "4/3": false, "4/0": false,
		"64/4": true, "65/4": false, "32+32/8": true, "32+33/8": false, "0/4": false, "3+0/8": false,
	} {
		if m, err := ParseMeter(text); (err == nil) != good {
			t.Errorf("%s is read as %v, %v", text, m, err)
		}
	}
}
