package hearing

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/click"
	"footing/audio/hear"
	"footing/ladder"
	"footing/ladder/notes"
)

// bass is a step of two beats of sixteenths with a landing for a clarinet in B flat,
// in F major as it is read.
func bass(t testing.TB, edit func(*ladder.Step)) (ladder.Step, *notes.Notes) {
	t.Helper()
	step := run(func(s *ladder.Step) {
		s.Passage.To = 17
		s.Chunk = ladder.Chunk{Bar: 17, Length: click.Whole(2), Landing: true}
		s.Notes.Typed = ladder.TypedNotes{Text: "FGAB cAGd c4 z4 |", Key: "F", Unit: "1/16"}
		s.Notes.Instrument = ladder.Instrument{Name: "clarinet in B flat"}
		if edit != nil {
			edit(s)
		}
	})
	n, _, err := notes.Of(step, nil)
	if err != nil {
		t.Fatal(err)
	}
	return step, n
}

// sounding is a note of a take that is played.
type sounding struct {
	from, to float64
	key      float64
	late     float64 // seconds
}

// performed are the notes of a rep.
func performed(step ladder.Step, n *notes.Notes) []sounding {
	beat := 60 / step.Tempo.From.BPM()
	var out []sounding
	for _, w := range n.Wants(step) {
		from := beat * float64(w.At.Num()) / float64(w.At.Den())
		out = append(out, sounding{from, from + beat/4, float64(w.Sounds[0]) / 100, 0})
	}
	return out
}

// recorded is a recording of reps as they sound, each as its notes say.
func recorded(step ladder.Step, reps [][]sounding) Recording {
	beat := 60 / step.Tempo.From.BPM()
	period := beat * float64(step.Loop().RepBeats()+step.Breath)
	const every = 0.005
	r := Recording{Name: "take.wav", Rate: 48_000, Channels: 1}
	r.Hearing.Seconds = 1 + period*float64(len(reps))
	moments := make([]hear.Moment, int(r.Hearing.Seconds/every)+1)
	for i := range moments {
		moments[i].Level = -70
	}
	for rep, list := range reps {
		for i, s := range list {
			from := 1 + float64(rep)*period + s.from + s.late + float64((rep*5+i*3)%7-3)/1500
			k := math.Round(s.key)
			r.Onsets = append(r.Onsets, hear.Onset{Seconds: from, Midi: int(k), Cents: 100 * (s.key - k), Certainty: 1, PlacedMs: 1})
			for j := int(from / every); j < int((from+s.to-s.from-0.02)/every); j++ {
				moments[j] = hear.Moment{Note: s.key, Level: -20}
			}
		}
	}
	r.Pitches = hear.PitchesOf(every, moments)
	return r
}

// planted are eight reps with a wrong note in the second and the fourth, one left out
// in the third and one put in in the sixth; the fourth note is always late.
func planted(step ladder.Step, n *notes.Notes) [][]sounding {
	reps := make([][]sounding, 8)
	for i := range reps {
		reps[i] = performed(step, n)
		reps[i][3].late = 0.025
	}
	reps[1][3].key++
	reps[3][3].key++
	reps[2] = slices.Delete(reps[2], 5, 6)
	half := (reps[5][6].to - reps[5][6].from) / 2
	reps[5][6].to -= half
	reps[5] = slices.Insert(reps[5], 7, sounding{reps[5][6].to, reps[5][6].to + half, reps[5][6].key + 3, 0})
	return reps
}

func faultsOf(r Report) (out []string) {
	for _, f := range r.Reading.Faults {
		out = append(out, fmt.Sprintf("%s %d %d %s %s", f.Kind, f.Slot, f.Rep, f.Written, f.Heard))
	}
	return out
}

// Faults are told by what the player reads, in the list, the sentence, the text and
// JSON, and the change by its notes.
func TestATakeIsToldByItsNotes(t *testing.T) {
	step, n := bass(t, nil)
	r := Compare(recorded(step, planted(step, n)), Question{Step: &step, Notes: n})
	want := []string{"wrong 4 2 Bb4 B4", "missed 6 3 A4 C0", "wrong 4 4 Bb4 B4", "extra 7 6 G4 Bb4"}
	if got := faultsOf(r); !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	if r.Reading.Reps != 8 || r.Reading.Right != 69 || r.Reading.Unsure != 0 {
		t.Errorf("%+v", r.Reading)
	}
	const said = "B is played instead of B flat in two of eight reps; A is left out at 17:2+1/4 in one of eight reps; " +
		"B flat is put in after G at 17:2+1/2 in one of eight reps. The change from A to B flat comes late by about 25 ms"
	if !strings.HasPrefix(r.Sentence, said) {
		t.Errorf("%q, want %q", r.Sentence, said)
	}
	for _, words := range []string{
		"69 of 72 notes as written. The A lies at 440 Hz.", "A4 to Bb4", "<- the weak change", "Bb4         a", "landing",
		"Cut out the beat around it, F to B flat, and land on C.", `In the routine: chunk: {start: "17:1", beats: 1, landing: true}`,
	} {
		if !strings.Contains(r.Text(), words) {
			t.Errorf("the text does not say %q:\n%s", words, r.Text())
		}
	}
	raw, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	var o struct {
		Notes struct {
			A      float64 `json:"a_hz"`
			Right  int
			Change string `json:"weak_change"`
			Wanted []struct {
				Slot              int
				At, Written, Name string
				Midi              []int
				Landing           bool
			}
			Faults []struct {
				Kind, At, Written, Heard string
				Slot, Rep                int
				Midi                     *float64
			}
		}
	}
	if err := json.Unmarshal(raw, &o); err != nil {
		t.Fatal(err)
	}
	p := o.Notes
	if math.Abs(p.A-440) > 1 || p.Right != 69 || p.Change != "from A to B flat" || len(p.Wanted) != 9 || len(p.Faults) != 4 {
		t.Fatalf("%s", raw)
	}
	if w := p.Wanted[3]; w.Slot != 4 || w.At != "17:1+3/4" || w.Written != "Bb4" || w.Name != "B flat" || w.Midi[0] != 68 || w.Landing || !p.Wanted[8].Landing {
		t.Errorf("%+v", p.Wanted)
	}
	if f := p.Faults[0]; f.Kind != "wrong" || f.At != "17:1+3/4" || f.Heard != "B4" || f.Midi == nil || math.Abs(*f.Midi-69) > 0.2 || p.Faults[1].Midi != nil || p.Faults[1].Heard != "" {
		t.Errorf("%+v", p.Faults)
	}
}

// Without notes the report is as it was, and says null for them.
func TestWithoutNotesNothingIsToldOfThem(t *testing.T) {
	step, n := bass(t, nil)
	r := Compare(recorded(step, planted(step, n)), Question{Step: &step})
	raw, err := json.Marshal(r)
	if r.Reading != nil || err != nil || !strings.Contains(string(raw), `"notes":null`) || strings.Contains(r.Text(), "as written") || len(r.Pitches()) > 0 {
		t.Errorf("%+v, %v", r.Reading, err)
	}
	if _, ok := r.Staff(); ok || !strings.HasPrefix(r.Sentence, "The third change in each rep comes late") {
		t.Errorf("%q", r.Sentence)
	}
}

// A note is expected where one begins, not where it clicks, and what to cut out holds
// the notes of the change.
func TestTheRhythmOfTheNotesIsHeard(t *testing.T) {
	step, n := bass(t, func(s *ladder.Step) {
		s.Notes.Typed.Text = "F4 G2AB c3d e z3 |"
		s.Chunk.Length = click.Whole(3)
	})
	reps := make([][]sounding, 8)
	for i := range reps {
		reps[i] = performed(step, n)
		reps[i][5].late = 0.03
	}
	r := Compare(recorded(step, reps), Question{Step: &step, Notes: n})
	if len(r.Reading.Faults) > 0 || len(r.Missed) > 0 || r.Extra > 0 || r.Weak == nil || r.Weak.ToSlot != 6 {
		t.Fatalf("%+v, %+v: %s", r.Reading, r.Weak, r.Sentence)
	}
	chunk, ok := r.Chunk()
	if want := (ladder.Chunk{Bar: 17, At: click.Whole(2), Length: click.Whole(1), Landing: true}); !ok || chunk != want {
		t.Errorf("cut %+v, want %+v", chunk, want)
	}
	if !strings.Contains(r.Sentence, "from C to D") || !strings.Contains(r.Text(), "from C to D, and land on E") {
		t.Errorf("%s", r.Text())
	}
}

// The order of the reps changes no fault but its rep.
func TestRepsAreReadEachByItself(t *testing.T) {
	step, n := bass(t, nil)
	reps := planted(step, n)
	rapid.Check(t, func(t *rapid.T) {
		order := rapid.Permutation([]int{0, 1, 2, 3, 4, 5, 6, 7}).Draw(t, "order")
		mixed := make([][]sounding, len(order))
		where := map[int]int{}
		for at, rep := range order {
			mixed[at], where[rep+1] = reps[rep], at+1
		}
		r := Compare(recorded(step, mixed), Question{Step: &step, Notes: n})
		var want []string
		for _, f := range []struct {
			what, how string
			rep       int
		}{{"wrong 4", "Bb4 B4", 2}, {"missed 6", "A4 C0", 3}, {"wrong 4", "Bb4 B4", 4}, {"extra 7", "G4 Bb4", 6}} {
			want = append(want, fmt.Sprintf("%s %d %s", f.what, where[f.rep], f.how))
		}
		got := faultsOf(r)
		slices.Sort(want)
		slices.Sort(got)
		if !slices.Equal(got, want) {
			t.Fatalf("%v: %q, want %q", order, got, want)
		}
	})
}

// A take that is tuned otherwise, or of another instrument, is set against the notes as
// tuned and as moved, and the latter is said.
func TestATakeIsTuned(t *testing.T) {
	step, n := bass(t, nil)
	for _, tt := range []struct {
		by, a  float64
		remark string
	}{
		{0.25, 446.4, ""},
		{2, 440, "the whole take sounds two semitones higher than the notes, and is set against them as moved: is the instrument right?"},
		{-12.1, 437.5, "the whole take sounds twelve semitones lower than the notes, and is set against them as moved: is the instrument right?"},
	} {
		reps := planted(step, n)
		for _, rep := range reps {
			for i := range rep {
				rep[i].key += tt.by
			}
		}
		r := Compare(recorded(step, reps), Question{Step: &step, Notes: n})
		if got := faultsOf(r); len(got) != 4 || got[0] != "wrong 4 2 Bb4 B4" || math.Abs(r.Reading.A()-tt.a) > 0.5 {
			t.Errorf("%+v: %q, A %.1f", tt, got, r.Reading.A())
		}
		if tt.remark != "" != slices.Contains(r.Remarks, tt.remark) {
			t.Errorf("%+v: %q", tt, r.Remarks)
		}
	}
}

// A note that is never heard moves none of the others to its place, whichever it is.
func TestANoteNeverHeardMovesNoOther(t *testing.T) {
	step, n := bass(t, nil)
	for gone := range 9 {
		reps := make([][]sounding, 8)
		for i := range reps {
			reps[i] = slices.Delete(performed(step, n), gone, gone+1)
		}
		r := Compare(recorded(step, reps), Question{Step: &step, Notes: n})
		for _, f := range r.Reading.Faults {
			if f.Kind != MissedNote || f.Slot != gone+1 {
				t.Fatalf("slot %d is never played: %q", gone+1, faultsOf(r))
			}
		}
		if len(r.Reading.Faults) != 8 {
			t.Errorf("slot %d is never played: %q", gone+1, faultsOf(r))
		}
	}
}

// A chunk in which no note begins is said to hold none.
func TestAChunkWithoutANote(t *testing.T) {
	step, n := bass(t, func(s *ladder.Step) { s.Chunk = ladder.Chunk{Bar: 17, At: click.Whole(3), Length: click.Whole(1)} })
	r := Compare(Recording{Onsets: []hear.Onset{{Seconds: 1}, {Seconds: 2}}}, Question{Step: &step, Notes: n})
	if !strings.HasSuffix(r.Sentence, `No note begins in the chunk of "Weir Street run".`) || r.Reading != nil {
		t.Errorf("%q", r.Sentence)
	}
}

// The proposal on a rep is what it is without notes, unless a note is surely wrong.
func TestAProposalSaysWhichNoteIsWrong(t *testing.T) {
	step, n := bass(t, nil)
	wants := n.Wants(step)
	phrase := step.Loop().RepPhrase(step.Tempo.From)
	const rate = 48_000
	places := PlacesOfNotes(wants, phrase, rate, rate)
	if !slices.Equal(places, Places(phrase, rate, rate)) {
		t.Fatalf("%v, want %v", places, Places(phrase, rate, rate))
	}
	for name, tt := range map[string]struct {
		edit func([]sounding)
		why  string
	}{
		"right":          {func([]sounding) {}, ""},
		"late":           {func(s []sounding) { s[4].late = 0.06 }, ""},
		"an octave":      {func(s []sounding) { s[4].key += 12 }, ""},
		"wrong":          {func(s []sounding) { s[3].key++ }, "B is played instead of B flat"},
		"wrong and late": {func(s []sounding) { s[3].key++; s[4].late = 0.06 }, "B is played instead of B flat"},
		"something other": {func(s []sounding) {
			for i := range s {
				s[i].key += []float64{1, -1, 3, 1, 0, 4, 1, 3, 1}[i]
			}
		}, ""},
	} {
		rep := performed(step, n)
		tt.edit(rep)
		r := recorded(step, [][]sounding{rep})
		v, certainty := Propose(r.Onsets, places, rate, 0)
		p := ProposeNotes(n, wants, r.Onsets, r.Pitches, places, rate, 0, 0)
		if p.Why != tt.why {
			t.Errorf("%s: %+v", name, p)
		}
		if tt.why == "" && (p.Verdict != v || p.Certainty != certainty) || tt.why != "" && (p.Verdict != ladder.Rough || p.Certainty < 0.98) {
			t.Errorf("%s: %+v, without notes %v, %.3f", name, p, v, certainty)
		}
	}
}
