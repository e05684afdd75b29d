package click

// reach does what is due: it strikes a stroke, begins or ends a tone, or goes on to
// the next phrase.
func (r *Renderer) reach() {
	switch r.what {
	case onset:
		reached := r.phrase.Tones[r.tone].At
		r.sound()
		r.skipTones(reached)
		r.schedule()
		return
	case release:
		r.model.release(r.toneEnd())
		r.schedule()
		return
	case word:
		w := &r.phrase.Words[r.word]
		r.speak(w, Beats{})
		r.word++
		r.skipWords(w.At)
		r.schedule()
		return
	case lead:
		r.led, _ = r.queue.Peek()
		r.speak(&r.led.Words[0], r.phrase.Length)
		r.schedule()
		return
	}
	if r.next == len(r.phrase.Strokes) {
		r.report(Mark{Kind: Ended, Frame: r.due, Phrase: r.phrase, Tempo: r.line.Tempo()})
		if r.phrase.Final && r.transport.CompareAndSwap(r.heard, r.heard+1) {
			r.heard++
			r.mix.drone.want(nil)
			r.playing, r.phrase = false, nil
			r.report(Mark{Kind: RanOut, Frame: r.due, Tempo: r.line.Tempo()})
			return
		}
		r.line.Advance(r.phrase.Length)
		r.begin(r.line, true)
		return
	}
	s := &r.phrase.Strokes[r.next]
	r.sounds.strike(&r.mix, r.kit.Load(), s.Rank, s.Voice, s.Dynamics)
	if r.phrase != r.vamp {
		r.line.Change(s.At, r.tempoOf(r.phrase))
	}
	r.skipTones(s.At)
	r.skipWords(s.At)
	r.report(Mark{Kind: Struck, Frame: r.due, Phrase: r.phrase, Stroke: r.next, Tempo: r.line.Tempo()})
	r.next++
	r.schedule()
}

// speak begins a word.
func (r *Renderer) speak(w *Word, offset Beats) {
	late := r.now - r.spokenFrom(w, offset)
	r.mix.speak(left(w.Sound, late), late > 0)
}

// skipWords passes over words that should have been spoken before what has been
// reached.
func (r *Renderer) skipWords(reached Beats) {
	for r.word < len(r.phrase.Words) && r.phrase.Words[r.word].At.Less(reached) {
		r.word++
	}
}

// sound begins the tone that is due.
func (r *Renderer) sound() {
	tones := r.phrase.Tones
	t := tones[r.tone]
	r.tone++
	var next *Tone
	if r.tone < len(tones) {
		next = &tones[r.tone]
	}
	ends, joined := t.until(r.line.Tempo(), next)
	if r.phrase.Length.Cmp(ends) <= 0 {
		ends, joined = r.phrase.Length, false
	}
	r.model.sound(r.wind.Load(), t, r.now, ends, joined)
}

// skipTones passes over tones that cannot sound: of no length, or that should have
// begun before what has been reached.
func (r *Renderer) skipTones(reached Beats) {
	for ; r.tone < len(r.phrase.Tones); r.tone++ {
		if t := &r.phrase.Tones[r.tone]; t.Length.Sign() > 0 && !t.At.Less(reached) {
			return
		}
	}
}
