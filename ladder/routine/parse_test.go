package routine_test

import (
	"reflect"
	"testing"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/hush"
	"footing/ladder/march"
	"footing/ladder/passage"
	"footing/ladder/routine"
)

// Every key of the format, and what each says.
func TestParseEveryKey(t *testing.T) {
	f, err := routine.Parse("runs.yaml", []byte(`footing: 1
name: Morning runs
steps:
  - name: Weir Street run
    passage: {piece: Weir Street March, bars: 17-20}
    meter: 4/4
    beat: quarter                 # dotted quarter in 6/8
    tempo: {from: 64, goal: 104, step: 4 bpm}   # or step: 5%, step: marks; or from: 10 rungs below
    slots: 4                      # clicks a beat; or  swing: 2:1
    dynamics: f p p p             # one mark a slot of the beat; or one line a beat of the bar
    accents: slurs
    pulse: doubled                # beat (default), doubled, halved, offbeat
    count: number                 # syllables: none, number, takadimi, gordon, kodaly
    speak: true
    say: notes
    announce: rungs and bars
    hush: half notes, then downbeats, then every other bar, seen
    chunk: {start: "18:2", beats: 2, landing: true}
    count-in: 2                   # beats
    breath: 2                     # beats
    reps: 5
    rule: {name: earned, clean: 3, rough: 2}
    pencil: whisper key off before the high A
  - name: In six
    passage: {bars: 5}
    meter: 6/8
    tempo: {from: 10 rungs below, goal: 120, step: marks}
    swing: 3:2
    sounds: {bar: brass, slot: cork}
    levels: {mf: −3 dB, pp: -20}
    stereo: beats left
    drone: {note: Bb2, a: 442, level: -12 dB}
    dynamics: |
      f -
      p pp
    chunk: {start: "5:2.5"}
    rule: two up, one down
  - name: Over the double bar
    drone: F#3
    passage: {bars: 1-4}
    meters:
      - {bar: 3, meter: 6/8}
      - meter: 2/2
        bar: 4
    pickup: 1/2
    chunk: {start: "0:8+1/2", beats: 3}
  - name: Only a name
`))
	if err != nil {
		t.Fatal(err)
	}
	run := march.Step(nil)
	run.Accents = click.Accents{{click.Forte, click.Piano, click.Piano, click.Piano}}
	run.Accented, run.Pulse, run.Count = ladder.AccentedSlurs, click.Doubled, click.CountNumber
	run.Speak, run.Say, run.Announce = true, ladder.SayNotes, ladder.AnnounceBoth
	run.Hush = hush.Hush{Stages: [hush.MaxStages]hush.Stage{{Kind: hush.Halves}, {Kind: hush.Downbeats}, {Kind: hush.EveryBar, N: 2}}, Seen: true}
	run.Pencil = "whisper key off before the high A"
	six := ladder.DefaultStep()
	six.Name = "In six"
	six.Passage = ladder.Passage{From: 5, To: 5}
	six.Meter, six.Unit = click.MakeMeter(6, 8), click.Unit{Num: 3, Den: 8}
	six.Tempo = ladder.Range{Below: 10, Goal: click.BPM(120), By: ladder.StepSize{Kind: ladder.ByMarks}}
	six.Slots = click.Swing(3, 2)
	six.Sounds = ladder.Sounds{Bar: "brass", Slot: "cork", Stereo: ladder.BeatsLeft,
		Drone: ladder.Drone{Note: passage.Pitch{Letter: passage.B, Alter: passage.Flat, Octave: 2}, A: 442, Level: -12}}
	six.Sounds.Levels[click.MezzoForte], six.Sounds.Levels[click.Pianissimo] = ladder.Level{Given: true, DB: -3}, ladder.Level{Given: true, DB: -20}
	six.Accents = click.Accents{{click.Forte, click.Silent}, {click.Piano, click.Pianissimo}}
	// From the second half of the second beat to the end of the bar.
	six.Chunk = ladder.Chunk{Bar: 5, At: click.Frac(3, 2), Length: click.Frac(1, 2), Landing: true}
	six.Rule = ladder.Rule{Kind: ladder.TwoUpOneDown, Clean: 3, Rough: 2}
	over := ladder.DefaultStep()
	over.Name = "Over the double bar"
	over.Sounds.Drone.Note = passage.Pitch{Letter: passage.F, Alter: passage.Sharp, Octave: 3}
	over.Passage = ladder.Passage{From: 1, To: 4}
	over.Meters = []click.MeterChange{{Bar: 3, Meter: click.MakeMeter(6, 8)}, {Bar: 4, Meter: click.MakeMeter(2, 2)}}
	over.Unit, over.Pickup = click.Unit{Num: 1, Den: 8}, click.Frac(1, 2)
	over.Chunk = ladder.Chunk{Bar: 0, At: click.Frac(15, 2), Length: click.Whole(3), Landing: true}
	plain := ladder.DefaultStep()
	plain.Name = "Only a name"
	want := ladder.Routine{Name: "Morning runs", Steps: []ladder.Step{run, six, over, plain}}
	if got := f.Routine(); !reflect.DeepEqual(got, want) {
		t.Errorf("read as\n%+v\nwant\n%+v", got, want)
	}
	// M. Estrin, "How to Master Technical Passages for Woodwind Players": ten
	// marks below 120 is 80.
	if got := f.Routine().Steps[1].Tempo.Rungs()[0]; got != click.BPM(80) {
		t.Errorf("ten marks below 120 is %s", got)
	}
}
