package aloud

import (
	"context"
	"testing"

	"footing/assets"
	"footing/audio/click"
	"footing/audio/spoken"
	"footing/ladder"
	"footing/ladder/march"
	"footing/ladder/notes"
)

func voice(t *testing.T) *spoken.Voice {
	t.Helper()
	v, err := spoken.Load(context.Background(), 22_050, assets.Voice())
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// What is spoken of each phrase of a step: words by their number, and how long the
// first of them is, which tells an announcement from a number.
func TestWhatIsSpoken(t *testing.T) {
	v := voice(t)
	for _, tt := range []struct {
		speak        bool
		announce     ladder.Announce
		countIn, rep int
		announces    bool
	}{
		{true, ladder.AnnounceNothing, 4, 8, false},
		{true, ladder.AnnounceRungs, 4, 8, true},
		{false, ladder.AnnounceRungs, 1, 0, true},
		{false, ladder.AnnounceBars, 0, 2, false},
		{true, ladder.AnnounceBars, 4, 8, false},
		{true, ladder.AnnounceBoth, 4, 8, true},
		{false, ladder.AnnounceNothing, 0, 0, false},
	} {
		s := ladder.DefaultStep()
		s.Passage.From, s.Passage.To, s.Chunk = 17, 18, ladder.Chunk{Bar: 17, Length: click.Whole(8)}
		s.CountIn, s.Count, s.Speak, s.Announce = 4, click.CountNumber, tt.speak, tt.announce
		countIn, _ := s.Loop().CountInPhrase(click.BPM(60))
		in, rep := Phrase(s, countIn, nil, v), Phrase(s, s.Loop().RepPhrase(click.BPM(60)), nil, v)
		if len(in.Words) != tt.countIn || len(rep.Words) != tt.rep {
			t.Errorf("%v, %v: %d words in the count-in and %d in the rep, want %d and %d", tt.speak, tt.announce, len(in.Words), len(rep.Words), tt.countIn, tt.rep)
		}
		if Wanted(s) != (tt.countIn+tt.rep > 0) {
			t.Errorf("%v, %v: wanted %v", tt.speak, tt.announce, Wanted(s))
		}
		if tt.announces && len(in.Words[0].Sound) < 22_050/2 {
			t.Errorf("%v, %v: the rung is announced in %d frames", tt.speak, tt.announce, len(in.Words[0].Sound))
		}
		if p := Phrase(s, countIn, nil, nil); len(p.Words) > 0 {
			t.Error("words are spoken without a voice")
		}
	}
}

// Accents are those of the notes in reps of steps that ask for it and have notes.
func TestNotesAreAccentedWhereItIsAskedFor(t *testing.T) {
	s := march.Step(nil)
	s.Notes.Typed = ladder.TypedNotes{Unit: "1/4", Text: "C D E F | C LD E F | C D E F | C D E F |"}
	n, _, err := notes.Of(s, nil)
	if err != nil {
		t.Fatal(err)
	}
	accents := func(by ladder.Accented, n *notes.Notes, p click.Phrase) (out int) {
		s.Accented = by
		for _, stroke := range Phrase(s, p, n, nil).Strokes {
			if stroke.Voice == click.AccentVoice {
				out++
			}
		}
		return out
	}
	rep := s.Loop().RepPhrase(click.BPM(60))
	countIn, _ := s.Loop().CountInPhrase(click.BPM(60))
	off, lead := accents(ladder.AccentedOff, n, rep), accents(ladder.AccentedOff, n, countIn)
	for by, want := range map[ladder.Accented]int{ladder.AccentedSlurs: 0, ladder.AccentedWritten: 1, ladder.AccentedBoth: 1} {
		if got := accents(by, n, rep); got != want {
			t.Errorf("%v: %d accents, want %d", by, got, want)
		}
		if accents(by, nil, rep) != off || accents(by, n, countIn) != lead || !ByNotes(s) {
			t.Errorf("%v: there are accents elsewhere than in the reps of a step with notes", by)
		}
	}
}

// The rhythm is counted in reps of steps that ask for it and have notes.
func TestTheRhythmIsCountedWhereItIsAskedFor(t *testing.T) {
	s := march.Step(nil)
	s.Count, s.Notes.Typed = click.CountNumber, ladder.TypedNotes{Unit: "1/4", Text: "C D E F | G A B c | C D E F | G A B c |"}
	n, _, err := notes.Of(s, nil)
	if err != nil {
		t.Fatal(err)
	}
	held := func(say ladder.Say, n *notes.Notes, p click.Phrase) bool {
		s.Say = say
		for _, stroke := range Phrase(s, p, n, nil).Strokes {
			if stroke.Syllable == notes.Held {
				return true
			}
		}
		return false
	}
	rep := s.Loop().RepPhrase(click.BPM(60))
	countIn, _ := s.Loop().CountInPhrase(click.BPM(60))
	if !held(ladder.SayNotes, n, rep) || held(ladder.SaySlots, n, rep) || held(ladder.SayNotes, nil, rep) || held(ladder.SayNotes, n, countIn) {
		t.Error("the rhythm is counted elsewhere than in the reps of a step that asks for it and has notes")
	}
}
