package conduct

import (
	"context"
	"errors"
	"fmt"

	"footing/audio/click"
	"footing/audio/smf"
	"footing/ladder"
)

// division is the ticks of a quarter note: every slot of 1 to 10, 12, 14, 15, 16 and
// more lies on one, also in a dotted beat, and one of 11 within a nanosecond's
// fraction of what an ear could tell.
const division = 10_080

// maxEvents bounds a file that players of such files can still open.
const maxEvents = 4_000_000

// MIDI is what [Rendition.Render] plays, as a file: the click and, where there are
// any, the model's notes with an instrument of General MIDI, numbered from 0. Tempos,
// time signatures and the marks of rungs and reps are on the first track. No tempo is
// off by more than a microsecond a quarter note, and no place by more than a fifth of
// a millisecond, however long it is. Only the routine, the model, the tones and the
// accents of the rendition count, and Mark, whose frames are ticks; there are no
// sides and no drone. The error is that of ctx, or says what the
// format cannot hold.
func (t Rendition) MIDI(ctx context.Context, p Percussion, program int) (smf.File, error) {
	w := midiWriter{percussion: p, routine: t.Routine, line: click.NewTimeline(0, click.MinTempo, 1_000_000)}
	w.marks.mark = func(p Place) {
		w.mark(p)
		if t.Mark != nil {
			t.Mark(p)
		}
	}
	w.conductor = smf.Track{smf.Name(t.Routine.Name)}
	w.click = smf.Track{smf.Name("click")}
	w.model = smf.Track{smf.Name("model"), smf.Program(0, 0, program)}
	empty := len(w.model)
	for part, phrase := range counted(t.Known(), t.Model, t.Tones, t.Aloud, nil) {
		if err := ctx.Err(); err != nil {
			return smf.File{}, err
		}
		if err := w.phrase(part, phrase); err != nil {
			return smf.File{}, err
		}
	}
	out := smf.File{Division: division, Tracks: []smf.Track{w.conductor, w.click}}
	if len(w.model) > empty {
		out.Tracks = append(out.Tracks, w.model)
	}
	return out, nil
}

// ErrNoMIDI is what a MIDI file cannot hold, see [Rendition.MIDI].
var ErrNoMIDI = errors.New("this cannot be written to MIDI")

// midiWriter turns phrases into events.
type midiWriter struct {
	percussion              Percussion
	routine                 ladder.Routine
	conductor, click, model smf.Track
	marks                   marker

	clicks int       // messages of the click so far
	sounds int64     // the tick of the last of them
	rep    struckRep // the latest

	tick  int64 // where the phrase begins
	tempo int64 // microseconds of a quarter note, in force
	step  int   // of the last time signature, from 1

	line click.Timeline // where the phrase begins, in microseconds
	made int64          // what the file's tempos make of that, in microseconds times the division
}

// struckRep is a rep as it was written.
type struckRep struct {
	step    int // its number, from 1
	strokes []click.Stroke
	beat    int64     // ticks
	notes   smf.Track // from tick 0
	run     smf.Event // the same as one event, where runs is set
	runs    bool
}

func (w *midiWriter) phrase(part ladder.Part, p click.Phrase) error {
	step := w.routine.Steps[part.Step]
	beat := int64(division) * 4 * int64(step.Unit.Num) / int64(step.Unit.Den)
	at := func(b click.Beats) int64 { // rounded to the nearest
		return w.tick + nearest(b.Num()*beat, b.Den())
	}
	if w.step != part.Step+1 {
		w.step = part.Step + 1
		w.meter(step, part.Chunk.Bar)
	}
	if err := w.retempo(step.Unit, p, at(p.Length)); err != nil {
		return err
	}
	w.marks.began(w.tick, part)
	w.strike(p, beat, at(p.Length))
	for i, tone := range p.Tones {
		key := int(tone.Pitch+50) / 100
		if tone.Level <= 0 || key < 0 || key > 127 {
			continue
		}
		end := tone.At.Add(tone.Length)
		if i+1 == len(p.Tones) || !p.Tones[i+1].Slurred {
			end = tone.At.Add(click.Frac(tone.Length.Num()*9, tone.Length.Den()*10)) // as the model sounds it
		}
		n := smf.Note(at(tone.At), at(end), 0, key, int(tone.Level*modelVelocity+0.5))
		w.model = append(w.model, n[:]...)
	}
	if w.clicks+len(w.model) > maxEvents {
		return fmt.Errorf("%w: more than %d notes can hardly be opened; write a step or a rung at a time", ErrNoMIDI, maxEvents/2)
	}
	w.tick = at(p.Length)
	return nil
}

// strike writes the strokes of a phrase that ends at a tick. Most reps have those of the
// rep before, which are then written as one event, unless a note of the phrase before
// reaches into it or one of its own beyond it.
func (w *midiWriter) strike(p click.Phrase, beat, end int64) {
	if p.Kind != click.Rep || len(p.Strokes) == 0 {
		w.add(w.struck(p.Strokes, beat))
		return
	}
	rep := &w.rep
	if rep.step != w.step || len(rep.strokes) != len(p.Strokes) || &rep.strokes[0] != &p.Strokes[0] || rep.beat != beat {
		*rep = struckRep{step: w.step, strokes: p.Strokes, beat: beat, notes: w.struck(p.Strokes, beat)}
		rep.run, rep.runs = rep.notes.Run()
	}
	if !rep.runs || w.sounds > w.tick+rep.run.Tick || w.tick+rep.run.Last() > end {
		w.add(rep.notes)
		return
	}
	w.add(smf.Track{rep.run})
	w.clicks += len(rep.notes) - 1
}

// add writes notes of the click at the phrase's place.
func (w *midiWriter) add(notes smf.Track) {
	for _, e := range notes {
		e.Tick += w.tick
		w.sounds = max(w.sounds, e.Last())
		w.click = append(w.click, e)
	}
	w.clicks += len(notes)
}

// struck is the notes of strokes, from tick 0. Those that are struck alike share their
// messages.
func (w *midiWriter) struck(strokes []click.Stroke, beat int64) smf.Track {
	const length = division / 16
	step := &w.routine.Steps[w.step-1]
	out := make(smf.Track, 0, 2*len(strokes))
	type strength struct{ key, velocity int }
	made := map[strength][2]smf.Event{}
	for i := range strokes {
		s := &strokes[i]
		if s.Dynamics == click.Silent {
			continue
		}
		k := strength{w.percussion.keyOf(step, s), velocity(step, s.Dynamics)}
		n, ok := made[k]
		if !ok {
			n = smf.Note(0, length, smf.Drums, k.key, k.velocity)
			made[k] = n
		}
		from := nearest(s.At.Num()*beat, s.At.Den())
		n[0].Tick, n[1].Tick = from, from+length
		out = append(out, n[:]...)
	}
	return out
}

// meter writes the time signature of a step at its chunk's bar, with a metronome's
// click on each of its beats.
func (w *midiWriter) meter(step ladder.Step, bar int) {
	m := step.Meter
	for _, c := range step.Meters {
		if c.Bar <= bar {
			m = c.Meter
		}
	}
	above := 0
	for _, g := range m.Groups() {
		above += g
	}
	const clocks = 24 * 4 // in a whole note
	w.conductor = append(w.conductor, smf.Meter(w.tick, above, m.Below(), clocks*step.Unit.Num/step.Unit.Den))
}

// drift is how far, in microseconds, a place may come to lie off before a tempo that
// is a microsecond off sets it right again.
const drift = 150

// retempo sets the tempo of a phrase that ends at a tick. Quarter notes are written in
// whole microseconds, so what that leaves is taken up by the tempo of a later phrase.
func (w *midiWriter) retempo(u click.Unit, p click.Phrase, end int64) error {
	w.line.Change(click.Beats{}, p.Tempo)
	w.line.Advance(p.Length)
	due, ticks := w.line.At(click.Beats{}).Round()*division, end-w.tick
	// A beat lasts 60 000 000 000 / p.Tempo microseconds.
	t := nearest(60_000_000_000*int64(u.Den), int64(p.Tempo)*4*int64(u.Num))
	if off := due - w.made - t*ticks; off > drift*division || off < -drift*division {
		t = nearest(due-w.made, ticks)
	}
	if t > smf.MaxTempo {
		return fmt.Errorf("%w: a quarter note lasts longer than 16.7 seconds; take a faster tempo or a longer beat", ErrNoMIDI)
	}
	w.made += t * ticks
	if t != w.tempo {
		w.tempo = t
		w.conductor = append(w.conductor, smf.Tempo(w.tick, t))
	}
	return nil
}

// nearest is n/d, rounded; both are above 0.
func nearest(n, d int64) int64 { return (2*n + d) / (2 * d) }

// mark writes the mark of a rung or a rep.
func (w *midiWriter) mark(p Place) {
	w.conductor = append(w.conductor, smf.Marker(p.Frame, p.Label()))
}
