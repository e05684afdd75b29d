package click

// Trial is what is sounded once so that it is known, while the click does not run.
type Trial struct {
	Sounds   *Sounds
	Rank     Rank
	Voice    Voice
	Dynamics Dynamics // silent where only the drone is to be heard
	Drone    bool     // of Sounds, for two seconds
}

// trialSeconds is how long a drone is heard on trial.
const trialSeconds = 2

// Preview strikes a beat once, at mf, so that a timbre is heard; while the click runs
// it does nothing.
func (r *Renderer) Preview() { r.Try(Trial{Rank: BeatRank, Voice: BeatVoice, Dynamics: MezzoForte}) }

// Try sounds a trial once, in place of the one before; while the click runs it does
// nothing.
func (r *Renderer) Try(t Trial) { r.trial.Store(&t) }

// try sounds what is on trial in a block of so many frames.
func (r *Renderer) try(frames int) {
	if r.trying > 0 {
		if r.trying -= frames; r.trying <= 0 && !r.playing {
			r.mix.drone.want(nil)
		}
	}
	if r.trial.Load() == nil {
		return
	}
	t := r.trial.Swap(nil)
	if r.heard%2 == 1 {
		return
	}
	r.mix.cut(false)
	sounds := t.Sounds.or()
	sounds.strike(&r.mix, r.kit.Load(), t.Rank, t.Voice, t.Dynamics)
	r.mix.drone.want(nil)
	if r.trying = 0; t.Drone && sounds.Drone != nil {
		r.mix.drone.want(sounds.Drone)
		r.trying = trialSeconds * r.rate
	}
}
