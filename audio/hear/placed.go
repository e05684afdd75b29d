package hear

import "math"

// A vibrato changes a sound as much as a new note does. What a note sways by over
// swayFrames, beyond steadySway in semitones, makes its place and its neighbours'
// less sure, by swayMs a semitone and no more than mostSwayMs.
const (
	swayFrames = 9
	steadySway = 0.08
	swayMs     = 24.0
	mostSwayMs = 7.5
)

// sway of the pitch up to a frame, in semitones.
func (t *tracker) sway(end int) float64 {
	lo, hi := math.MaxFloat64, 0.0
	for j := max(0, end-swayFrames); j < end; j++ { // a note may be the first sound there is
		if v := t.l.frames.at(j).pitch; v > 0 {
			lo, hi = min(lo, v), max(hi, v)
		}
	}
	if hi < lo || hi-lo > 2*runPitch {
		return 0
	}
	return hi - lo
}

// placedMs is how well an onset is placed, all told, in a room that is so live.
func (t *tracker) placedMs(o Onset, live float64) float64 {
	sway, _ := t.sways.median()
	vibrato := max(0, min(mostSwayMs, swayMs*(sway-steadySway)))
	apart := 0.0
	if usual, known := t.l.placer.heads[o.anchor].median(); known && o.anchor != byNothing {
		apart = apartPerMs * max(0, 1000*math.Abs(o.ahead-usual)-apartFree)
		apart = o.hidden * math.Hypot(apart, (1+live)*softPerMs*max(0, 1000*max(o.ahead, usual)-softFree))
	}
	attack := o.alone*o.alone + roomMs*roomMs*live*live + apart*apart
	slur := slurredMs*slurredMs + slurredRoomMs*slurredRoomMs*live*live
	struck := 0.0
	if o.turn.struck {
		struck = struckMs * live
	}
	ms := math.Sqrt(o.slurred*slur + (1-o.slurred)*attack + o.torn*o.torn + vibrato*vibrato + struck*struck)
	room := min(1, live/worstLive)
	if worst := worstDryMs + (worstRoomMs-worstDryMs)*room; ms > worst {
		ms = worst + (worstDry+(worstRoom-worstDry)*room)*(ms-worst)
	}
	return ms
}

// What the walls make of a click is never taken out whole: a place beside one is less
// sure by struckMs in a live room.
const struckMs = 6.0

// A place that looks worse than worstDryMs, or than worstRoomMs in a room as live as
// worstLive, is hardly worse: by these shares. What is heard of a note later keeps it
// from lying farther off. From the slots of 2 600 sampled takes.
const (
	worstDryMs, worstRoomMs = 6.0, 10.0
	worstDry, worstRoom     = 0.25, 0.5
	worstLive               = 0.6
)

// A soft attack begins well before its harmonics come up, and in a room only the
// latter may be seen. Where little is seen of a beginning, the farther the two lie
// apart than in the other notes, beyond apartFree in milliseconds, the less sure is
// a place: by apartPerMs.
const (
	apartFree  = 7.0
	apartPerMs = 0.3
	// And what a soft attack takes beyond softFree makes its place less sure by
	// softPerMs, in a live room by up to twice that.
	softFree  = 15.0
	softPerMs = 0.35
)
