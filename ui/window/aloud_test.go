package window

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/conduct"
	"footing/ui/window/routines"
)

// The voice is read when something is to be spoken, the player's own words beside the
// routine first; the rhythm of a step's notes is counted once they are found.
func TestTheCountIsSpoken(t *testing.T) {
	dir := t.TempDir()
	path := write(t, dir, "a-runs.yaml", runs)
	r := newRig(t, dir, path)
	step := func() ladder.Step { return r.session.View().State.Step() }
	rep := func() click.Phrase { return r.count.phrase(step(), step().Loop().RepPhrase(click.BPM(60))) }
	if len(rep().Words) > 0 || r.count.voice.Load() != nil {
		t.Fatal("something is spoken from the start")
	}
	r.press(";")
	r.refresh()
	if !step().Speak || len(rep().Words) == 0 {
		t.Fatal("nothing is spoken")
	}
	read := r.count.voice.Load()
	r.press("Space")
	if r.refresh(); r.count.voice.Load() != read {
		t.Error("the voice is read again")
	}

	r.session.Change(func(s ladder.Step) ladder.Step {
		s.Say, s.Count = ladder.SayNotes, click.CountNumber
		s.Notes.Typed = ladder.TypedNotes{Unit: "1/4", Text: "C D E F | G A B c | C D E F | G A B c |"}
		return s
	})
	r.refresh()
	held := 0
	for _, s := range rep().Strokes {
		if s.Syllable == "–" {
			held++
		}
	}
	if held == 0 {
		t.Error("the rhythm of the notes is not counted")
	}

	r.session.Change(func(s ladder.Step) ladder.Step {
		s.Say, s.Accented = ladder.SaySlots, ladder.AccentedWritten
		s.Notes.Typed = ladder.TypedNotes{Unit: "1/4", Text: "C D E F | G LA LB c | C D E F | G A B c |"}
		return s
	})
	r.refresh()
	accents := 0
	for _, s := range rep().Strokes {
		if s.Voice == click.AccentVoice {
			accents++
		}
	}
	if accents != 2 {
		t.Errorf("%d notes are accented, want 2", accents)
	}
}

// What is written from the window is counted as it is at the Stand.
func TestFilesAreCounted(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "a-runs.yaml", runs))
	e := routines.Export{Routine: r.session.View().State.Routine, Source: filepath.Join(dir, "a-runs.yaml")}
	step := e.Routine.Steps[0]
	for _, speak := range []bool{false, true} {
		e.Routine.Steps = []ladder.Step{step}
		e.Routine.Steps[0].Speak = speak
		var made conduct.Rendition
		if err := countAloud(t.Context(), &made, e); err != nil {
			t.Fatal(err)
		}
		s := e.Routine.Steps[0]
		if words := made.Aloud(s, s.Loop().RepPhrase(click.BPM(60))).Words; (len(words) > 0) != speak {
			t.Errorf("speak: %v, and %d words", speak, len(words))
		}
	}
}

// A word of the player's that cannot be read is named, and the program's are spoken.
func TestAnOwnWordThatCannotBeRead(t *testing.T) {
	dir := t.TempDir()
	path := write(t, dir, "a-runs.yaml", runs)
	if err := os.Mkdir(filepath.Join(dir, voiceFolder), 0o755); err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(dir, voiceFolder), "1.wav", "none")
	voice, err := readVoice(filepath.Join(dir, voiceFolder), 8_000)
	if err == nil || !strings.Contains(err.Error(), "1.wav") || voice == nil {
		t.Errorf("%v, %v", voice, err)
	}
	r := newRig(t, dir, path)
	r.press(";")
	r.refresh()
	if r.count.voice.Load() == nil {
		t.Error("nothing is spoken")
	}
	if voice, err = readVoice(filepath.Join(dir, "none"), 8_000); err != nil || voice == nil {
		t.Errorf("without a folder: %v", err)
	}
}
