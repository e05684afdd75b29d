package care

import (
	"testing"
	"time"
)

// A rest of 5 minutes after 25 of playing alone: G. Klickstein, The Musician's Way,
// p. 75 (musiciansway.com/blog/2011/07).
func TestARestIsDueAfterSoMuchPlaying(t *testing.T) {
	r := Rest{Every: DefaultEvery}
	if DefaultEvery != 25*time.Minute || Long != 5*time.Minute {
		t.Errorf("%v after %v", Long, DefaultEvery)
	}
	now := time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)
	pass := func(d time.Duration, running bool) bool {
		due := false
		for end := now.Add(d); now.Before(end); {
			now = now.Add(10 * time.Second)
			due = r.See(now, running)
		}
		return due
	}
	if pass(24*time.Minute, true) {
		t.Fatal("due after 24 minutes")
	}
	pass(4*time.Minute, false) // too short to be a rest
	if !pass(90*time.Second, true) {
		t.Fatal("not due after 25 minutes of playing with a short pause")
	}
	if !pass(time.Minute, true) {
		t.Error("the reminder goes by itself while the player plays on")
	}
	if pass(Long, false) {
		t.Error("still due after a rest")
	}
	if pass(24*time.Minute, true) {
		t.Error("due 24 minutes after a rest")
	}
}

func TestAMachineThatSleptDidNotPlay(t *testing.T) {
	r := Rest{Every: DefaultEvery}
	now := time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)
	r.See(now, true)
	if r.See(now.Add(time.Hour), true) {
		t.Error("an hour of sleep counted as playing")
	}
}

func TestOffIsOff(t *testing.T) {
	var r Rest
	now := time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)
	for range 400 {
		now = now.Add(10 * time.Second)
		if r.See(now, true) {
			t.Fatal("reminded though it is off")
		}
	}
}
