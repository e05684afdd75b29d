package click

// happening is what comes next in a phrase.
type happening uint8

const (
	stroke  happening = iota // or the phrase's end
	onset                    // of a tone
	release                  // of the tone that holds
	word                     // is spoken
	lead                     // into the first word of the phrase that waits
)

// begin takes the next phrase and lays it at the start of line. With vamping
// it plays a beat by itself when nothing waits.
func (r *Renderer) begin(line Timeline, vamping bool) {
	r.dropStale()
	p, ok := r.queue.Pop()
	if !ok {
		if !vamping {
			return
		}
		p = r.vamp
	}
	r.line, r.phrase, r.next, r.tone, r.word, r.playing = line, p, 0, 0, 0, true
	switch r.led {
	case nil:
	case p:
		r.word = 1
	default:
		r.mix.cut(true) // another phrase than the one that it led to
	}
	r.led = nil
	if p != r.vamp {
		r.line.Change(Beats{}, r.tempoOf(p))
		r.sounds = p.Sounds.or()
	}
	r.mix.drone.want(r.sounds.Drone)
	r.report(Mark{Kind: Began, Frame: r.line.At(Beats{}).Round(), Phrase: p, Tempo: r.line.Tempo()})
	r.skipTones(Beats{})
	r.schedule()
}

// tempoOf is the phrase's tempo, or the one set by hand since it was made.
func (r *Renderer) tempoOf(p *Phrase) Tempo {
	const tempoBits = 1<<20 - 1
	if by := r.retempo.Load(); p.Seq <= by>>20 && by != 0 {
		return Tempo(by & tempoBits)
	}
	return p.Tempo.Clamp()
}

// schedule finds what comes next. Of a stroke and a tone in one place the stroke
// is first, since the tempo may change there; a timeline must not be asked for
// places before such a change.
func (r *Renderer) schedule() {
	at := r.phrase.Length
	if r.next < len(r.phrase.Strokes) {
		at = r.phrase.Strokes[r.next].At
	}
	r.what, r.due = stroke, r.line.At(at).Round()
	if r.tone < len(r.phrase.Tones) && r.phrase.Tones[r.tone].At.Less(at) {
		r.what, r.due = onset, r.line.At(r.phrase.Tones[r.tone].At).Round()
	}
	if r.model.held && !r.model.joined {
		if from := r.model.releases(r.toneEnd()); from <= r.due {
			r.what, r.due = release, from
		}
	}
	r.scheduleWord()
}

// scheduleWord lets the next word come first, where it begins before what is due.
// After the last word of a phrase that is the one with which the next phrase begins.
func (r *Renderer) scheduleWord() {
	words, what, offset := r.phrase.Words, word, Beats{}
	i := r.word
	if i == len(words) {
		next, ok := r.queue.Peek()
		if !ok || r.led != nil || r.phrase.Final || len(next.Words) == 0 || next.Words[0].At != (Beats{}) {
			return
		}
		words, what, offset, i = next.Words, lead, r.phrase.Length, 0
	}
	if from := r.spokenFrom(&words[i], offset); from <= r.due {
		r.what, r.due = what, max(from, r.now)
	}
}

// spokenFrom is the frame at which a word of a phrase that begins at a place of this
// one begins.
func (r *Renderer) spokenFrom(w *Word, offset Beats) int64 {
	return r.line.At(offset.Add(w.At)).Round() - int64(w.Lead)
}

// toneEnd is the frame at which the tone that holds ends.
func (r *Renderer) toneEnd() int64 { return r.line.At(r.model.ends).Round() }
