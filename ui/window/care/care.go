// Package care is what the window says about hearing and hands, and when it
// reminds the player to rest.
package care

import (
	"fmt"
	"time"
)

// Cautions are the usual ones for loud clicks and repeated motion (common
// practice, no source; short breaks after each 20 to 30 minutes are given on a
// bassoon studio's page that cites a 1990 article, dmpierce.wordpress.com).
func Cautions() []string {
	return []string{
		"Ears: keep the level low, most of all in headphones, and keep sessions bounded.",
		"Hands: stop at pain, numbness or tingling, and rest about 5 minutes in every 25 to 30.",
		"A teacher, a clinician and local guidance come before any tool, this one included.",
	}
}

// DefaultEvery is how long the player plays before a rest is due: 25 minutes, then
// 5 of rest (Klickstein, The Musician's Way, p. 75).
const DefaultEvery = 25 * time.Minute

// Long is how long the click has to be silent to count as a rest.
const Long = 5 * time.Minute

// Rest adds up playing time and says when a rest is due. It never stops
// anything. The zero value is off.
type Rest struct {
	Every time.Duration // 0 is off

	played time.Duration
	last   time.Time // the latest moment seen
	ended  time.Time // when the click last stopped
}

// See takes note of the moment and of whether the click runs. It reports
// whether a rest is due; once it is, it stays so until the player has rested.
func (r *Rest) See(now time.Time, running bool) bool {
	if !r.last.IsZero() && running {
		// A machine that slept did not play.
		if d := now.Sub(r.last); d > 0 && d < time.Minute {
			r.played += d
		}
	}
	r.last = now
	switch {
	case running:
		r.ended = now
	case !r.ended.IsZero() && now.Sub(r.ended) >= Long:
		r.played = 0
	}
	return r.Every > 0 && r.played >= r.Every
}

// Put begins the count anew, as when the player waves the reminder away.
func (r *Rest) Put() { r.played = 0 }

// Line is the reminder.
func (r *Rest) Line() string {
	return fmt.Sprintf("%d minutes of playing: a rest of about 5 would do hands and ears good", int(r.Every.Minutes()))
}
