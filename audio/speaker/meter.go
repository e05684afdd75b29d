package speaker

import "time"

// meter finds, from the times at which a device pulls, how far rendering leads the clock, and when it lost ground.
//
// A device consumes at a constant rate, so rendering leads the clock by a constant: what the queue and the device
// hold, reached each time they have just been filled. A late callback leads by less, once; a device that ran dry has
// lost that time for good. So the largest lead within a second is steady, drifts with the two clocks, and falls for
// good at an underrun, wherever in the chain it happened: neither the mixer nor the drivers report one.
type meter struct {
	window time.Duration
	slack  int64 // a fall of more is an underrun if it lasts
	sheer  int64 // a fall of more needs no second window to believe it
	drift  int64 // the most that two clocks may part within a window

	windows int
	end     time.Duration
	high    int64 // largest lead in this window
	doubt   bool  // the window before ended with a fall of more than slack
	lead    int64 // accepted lead
}

// newMeter takes a rate in frames per second. A gap of less than 3 ms is found once several add up to that. System
// clocks are slewed by up to 500 ppm, sound cards stray by some 100 (common practice, no source).
func newMeter(rate int) meter {
	r := int64(rate)
	return meter{window: time.Second, slack: r * 3 / 1000, sheer: r * 20 / 1000, drift: max(1, r*6/10_000)}
}

// note takes the lead in frames at a moment when the device pulled, and returns the accepted lead and whether an
// underrun was found just now. Times must not go back.
func (m *meter) note(now time.Duration, lead int64) (int64, bool) {
	if m.windows == 0 && m.end == 0 {
		m.end, m.high, m.lead = now+m.window, lead, lead
		return lead, false
	}
	dry := false
	if now >= m.end {
		dry = m.close()
		m.windows++
		m.end, m.high = now+m.window, lead
	}
	m.high = max(m.high, lead)
	// While the device starts, and when a queue grew or a doubt was unfounded, the lead is believed at once.
	if m.windows == 0 || lead > m.lead+m.slack {
		m.lead = max(m.lead, lead)
	}
	return m.lead, dry
}

// close judges the window that ended.
func (m *meter) close() (dry bool) {
	fall := m.lead - m.high
	switch {
	case m.windows < 2: // many devices stall once while they start
		m.lead = m.high
	case fall <= m.slack:
		m.lead += max(-m.drift, min(m.drift, -fall))
		m.doubt = false
	case fall > m.sheer || m.doubt:
		m.lead = m.high
		m.doubt = false
		return true
	default:
		m.doubt = true
	}
	return false
}
