package click

import "slices"

// Chunk is the part of a passage that is looped. It begins and ends on any slot.
type Chunk struct {
	Bar    int   // the number of the bar that it starts in
	At     Beats // where in that bar, from 0
	Length Beats // above 0
	// Landing adds the first note of the beat after it.
	Landing bool
}

// Loop is everything that decides how a chunk sounds but its tempo.
type Loop struct {
	Measures Measures
	Slots    Slots
	Accents  Accents
	Pulse    Pulse
	Count    Counting
	Chunk    Chunk
	Path     Path
	CountIn  int // beats before the first rep at a tempo, 0 for none
	Breath   int // beats between reps, 0 for none
}

// Same reports whether the loops sound the same.
func (l Loop) Same(m Loop) bool {
	return l.Measures.same(m.Measures) && l.Slots == m.Slots && l.Pulse == m.Pulse && l.Count == m.Count &&
		slices.EqualFunc(l.Accents, m.Accents, slices.Equal) && l.Chunk == m.Chunk && l.Path.Lead == m.Path.Lead &&
		slices.Equal(l.Path.Cells, m.Path.Cells) && l.CountIn == m.CountIn && l.Breath == m.Breath
}

// RepBeats is the length of a rep in time: the chunk filled up to whole beats,
// and one beat more for the landing.
func (l Loop) RepBeats() int {
	if l.Chunk.Landing {
		return l.LandingAt().Floor() + 1
	}
	return l.chunkBeats()
}

// Extent is where the chunk lies within a rep, as its path takes it.
func (l Loop) Extent() (from, to Beats) {
	from, length := l.Chunk.At.Sub(Whole(l.Chunk.At.Floor())), l.Chunk.Length
	if !l.Path.None() {
		from, length = from.Add(l.Path.Lead), l.Path.Length()
	}
	return from, from.Add(length)
}

// chunkBeats is how many whole beats of a rep the chunk reaches into.
func (l Loop) chunkBeats() int {
	_, to := l.Extent()
	return to.Ceil()
}

// LandingAt is the place of a landing within a rep: on the next beat, or, where a
// path moved a chunk that ends on a beat, right behind its end.
func (l Loop) LandingAt() Beats {
	_, to := l.Extent()
	if l.Chunk.At.Add(l.Chunk.Length).Den() == 1 {
		return to
	}
	return Whole(to.Ceil())
}

// first is the place of the beat that the chunk starts in.
func (l Loop) first() int { return l.Measures.Line(l.Chunk.Bar) + l.Chunk.At.Floor() }

// CountInPhrase is the count-in before the chunk: every slot sounds as it will
// in the chunk, so that the subdivision is in the ear before the fingers move.
// It is counted in bars like the one that the chunk starts in, whatever meter
// comes before (common practice, no source): it leads into what is to be played.
// With the pulse on the offbeat the beats sound too. It reports false when the
// loop has no count-in.
func (l Loop) CountInPhrase(t Tempo) (Phrase, bool) {
	if l.CountIn < 1 {
		return Phrase{}, false
	}
	l.Measures = l.Measures.Alike(l.Chunk.Bar)
	first := l.first() - l.CountIn
	p := Phrase{Kind: CountIn, Tempo: t, Length: Whole(l.CountIn)}
	beats := l.beats(l.CountIn)
	for i := range l.CountIn {
		beats.lay(first+i, i, InCountIn)
	}
	p.Strokes = beats.strokes
	return p, true
}

// RepPhrase is one pass through the chunk, with its landing.
func (l Loop) RepPhrase(t Tempo) Phrase {
	first := l.first()
	start, end := l.Extent()
	p := Phrase{Kind: Rep, Tempo: t, Length: Whole(l.RepBeats())}
	beats := l.beats(l.RepBeats())
	for i := range l.chunkBeats() {
		strokes := beats.lay(first+i, i, InChunk)
		for k := range strokes {
			switch s := &strokes[k]; {
			case s.At.Less(start):
				s.Part = InLead
				l.onlyBeat(s)
			case !s.At.Less(end):
				s.Part, s.Dynamics, s.Syllable = InFill, Silent, ""
			}
		}
	}
	if l.Chunk.Landing {
		l.land(&beats, first)
	}
	p.Strokes = beats.strokes
	if !l.Path.None() {
		p.Strokes = l.along(p.Strokes, start)
	}
	return p
}

// BreathPhrase is the rest between reps, in which only the beats sound, at p.
// It reports false when the loop has no breath.
func (l Loop) BreathPhrase(t Tempo) (Phrase, bool) {
	if l.Breath < 1 {
		return Phrase{}, false
	}
	first := l.first() + l.RepBeats()
	p := Phrase{Kind: Breath, Tempo: t, Length: Whole(l.Breath)}
	beats := l.beats(l.Breath)
	for i := range l.Breath {
		strokes := beats.lay(first+i, i, InBreath)
		for k := range strokes {
			l.onlyBeat(&strokes[k])
		}
	}
	p.Strokes = beats.strokes
	return p, true
}

// onlyBeat leaves a stroke sounding only when it is a beat, and then at p.
func (l Loop) onlyBeat(s *Stroke) {
	s.Dynamics, s.Voice = Silent, SlotVoice
	if s.Slot == 0 {
		s.Dynamics, s.Voice = Piano, BeatVoice
	} else {
		s.Syllable = ""
	}
}

// land gives a rep, whose chunk has been laid from the beat first, its landing.
func (l Loop) land(beats *beats, first int) {
	at := l.LandingAt()
	beat := at.Floor()
	if at.Den() == 1 {
		onlyFirst(beats.lay(first+beat, beat, InLanding))
		return
	}
	// Off the beat only a path lands: in the beat that the chunk ends in.
	strokes, i := l.cellAt(beats.strokes, at)
	for k := range strokes[i:] {
		strokes[i+k].Part = InLanding
	}
	strokes[i].Dynamics = Piano
	beats.strokes = strokes
}

// onlyFirst leaves of the beat after the chunk the first click that sounds.
func onlyFirst(strokes []Stroke) {
	sounded := false
	for k := range strokes {
		if sounded {
			strokes[k].Dynamics = Silent
		}
		sounded = sounded || strokes[k].Dynamics != Silent
		if strokes[k].Slot != 0 {
			strokes[k].Syllable = ""
		}
	}
}

// pulse turns the strokes of a beat into those of the loop's pulse. Halved, it
// is counted from the line of the chunk's bar; from a pickup, which leads to the
// first full bar, from that one's.
func (l Loop) pulse(strokes []Stroke, n, at int) []Stroke {
	if l.Pulse == OnBeat {
		return strokes
	}
	first := strokes[0]
	half := Whole(at).Add(Frac(1, 2))
	halvedFrom := l.Measures.Line(max(l.Chunk.Bar, l.Measures.From()))
	switch l.Pulse {
	case Doubled:
		strokes = withHalf(strokes, half, first)
	case Halved:
		for i := range strokes {
			if i > 0 || floorMod(n-halvedFrom, 2) != 0 {
				strokes[i].Dynamics = Silent
			}
		}
	case Offbeat:
		strokes = withHalf(strokes, half, first)
		for i := range strokes {
			beat := i == 0 && first.Part == InCountIn
			if strokes[i].At != half && !beat {
				strokes[i].Dynamics = Silent
			}
		}
	}
	return strokes
}

// withHalf gives the stroke halfway through the beat the strength of the
// first, and adds one where no slot lies there.
func withHalf(strokes []Stroke, half Beats, first Stroke) []Stroke {
	i, found := slices.BinarySearchFunc(strokes, half, func(s Stroke, at Beats) int { return s.At.Cmp(at) })
	if !found {
		s := first
		s.At, s.Slot, s.Syllable, s.Rank = half, -1, "", BeatRank
		return slices.Insert(strokes, i, s)
	}
	strokes[i].Dynamics, strokes[i].Voice, strokes[i].Rank = first.Dynamics, first.Voice, BeatRank
	return strokes
}

// voice picks the sound of a stroke: f is the accent, a beat has its own.
func voice(d Dynamics, onBeat bool) Voice {
	switch {
	case d == Forte:
		return AccentVoice
	case onBeat:
		return BeatVoice
	}
	return SlotVoice
}

func floorMod(a, b int) int { return ((a % b) + b) % b }
