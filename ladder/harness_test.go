package ladder

import (
	"footing/audio/click"
)

// player drives a session the way a renderer and a device would: it plays the
// planned phrases one after the other and hears each beat as it sounds.
type player struct {
	state    State
	events   []Event // everything that was fed to the reducer
	waiting  *click.Phrase
	now      *click.Phrase
	tempos   []click.Tempo // of each rep that began
	recorded []Played
	beats    click.Beats // played since the first start
	revised  int
	over     bool // the final phrase has ended
}

func newPlayer(r Routine, handsFree bool) *player { return &player{state: New(r, handsFree)} }

func (p *player) do(e Event) {
	p.events = append(p.events, e)
	var effects []Effect
	p.state, effects = Reduce(p.state, e)
	for _, effect := range effects {
		switch effect := effect.(type) {
		case Play:
			phrase := effect.Phrase
			p.waiting = &phrase
		case Halt:
			p.now, p.waiting = nil, nil
		case Record:
			p.recorded = append(p.recorded, effect.Rep)
		case Revised:
			p.revised++
		}
	}
}

// next plays on into the waiting phrase and reports false when there is none.
func (p *player) next() bool {
	if p.now != nil && p.now.Final {
		p.now, p.over = nil, true
		p.do(RanOut{})
		return false
	}
	if p.waiting == nil {
		return false
	}
	p.now, p.waiting = p.waiting, nil
	p.beats = p.beats.Add(p.now.Length)
	if p.now.Kind == click.Rep {
		p.tempos = append(p.tempos, p.now.Tempo)
	}
	p.do(Sounding{p.now.Seq})
	p.hear(0)
	return true
}

func (p *player) hear(beat int) { p.do(Audible{p.at(beat)}) }

func (p *player) at(beat int) Heard {
	if p.now == nil {
		return Heard{}
	}
	return Heard{Seq: p.now.Seq, Beat: beat}
}

// rep plays up to the end of the next rep, judges it in the breath or the
// count-in after it, and returns its tempo; 0 when the session is over.
func (p *player) rep(v Verdict) click.Tempo {
	for p.next() {
		if p.now.Kind != click.Rep {
			continue
		}
		tempo := p.now.Tempo
		for beat := 1; beat < p.now.Length.Floor(); beat++ {
			p.hear(beat)
		}
		p.next()
		if v != Unjudged {
			p.do(Judge{v, p.at(0)})
		}
		return tempo
	}
	return 0
}

// practice is a step of two beats with landing and two beats of breath.
func practice(change func(*Step)) Routine {
	s := DefaultStep()
	s.Name = "Weir Street run"
	s.Passage = Passage{Piece: "Weir Street March", From: 17, To: 20}
	s.Chunk = Chunk{Bar: 18, At: click.Whole(1), Length: click.Whole(2), Landing: true}
	s.Tempo = Range{From: click.BPM(64), Goal: click.BPM(104), By: StepSize{ByBPM, 4000}}
	if change != nil {
		change(&s)
	}
	if faults := s.Check(); len(faults) > 0 {
		panic(faults[0])
	}
	return Routine{Name: "Morning runs", Steps: []Step{s}}
}
