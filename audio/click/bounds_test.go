package click

import (
	"strings"
	"testing"
)

// A den below one counts as one.
func TestFracOfNothing(t *testing.T) {
	for _, den := range []int64{1, 0, -1, -7} {
		if got := Frac(3, den); got != Whole(3) {
			t.Errorf("3/%d is %v, want 3", den, got)
		}
	}
}

// Every unit is read by its name, and no other is.
func TestUnitsHaveNames(t *testing.T) {
	for _, name := range UnitNames() {
		if u, err := ParseUnit(name); err != nil || u.String() != name {
			t.Errorf("%q is read as %v, %v", name, u, err)
		}
	}
	if u, err := ParseUnit("dotted sixteenth"); err == nil || !strings.Contains(err.Error(), "write one of whole, dotted half, half,") {
		t.Errorf("a dotted sixteenth is read as %v, %v", u, err)
	}
	if got := (Unit{1, 64}).String(); got != "1/64" {
		t.Errorf("a unit without a name is %s", got)
	}
}

// Slots are evenly many or swung, and say which.
func TestSlotsSayWhetherTheyAreSwung(t *testing.T) {
	if first, then, ok := Swing(3, 2).Swung(); first != 3 || then != 2 || !ok {
		t.Errorf("3:2 is swung %d:%d, %v", first, then, ok)
	}
	for n := 1; n <= MaxSlots; n++ {
		if _, _, ok := EvenSlots(n).Swung(); ok {
			t.Errorf("%d even slots are swung", n)
		}
	}
}

// What is past the last of a list is told without a panic.
func TestWhatHasNoName(t *testing.T) {
	for _, name := range []string{Pulse(99).String(), Counting(99).String(), Kind(99).String(), Dynamics(99).String()} {
		if name == "" {
			t.Error("it is told as nothing")
		}
	}
	if got := Dynamics(99).Gain(); got != Forte.Gain() {
		t.Errorf("its gain is %v", got)
	}
	if got := EvenSlots(0).Count(); got != 1 {
		t.Errorf("no slots are %d", got)
	}
	if got := EvenSlots(MaxSlots + 1).Count(); got != MaxSlots {
		t.Errorf("one slot too many makes %d", got)
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
