package notes_test

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/angle"
	"footing/ladder/march"
	"footing/ladder/notes"
	"footing/ladder/passage"
)

func told(tones []click.Tone) string {
	var out []string
	for _, t := range tones {
		word := fmt.Sprintf("%s+%s:%d", t.At, t.Length, t.Pitch)
		if t.Slurred {
			word = "~" + word
		}
		out = append(out, word+[]string{"", "-", "."}[t.Touch])
	}
	return strings.Join(out, " ")
}

func angled(words string) angle.Angle {
	a, err := angle.Parse(words)
	if err != nil {
		panic(err)
	}
	return a
}

// At 100 a grace note lasts a tenth of a beat.
func TestTones(t *testing.T) {
	for _, tt := range []struct {
		what, notes string
		change      func(*ladder.Step)
		written     bool
		want        string
	}{
		{"plain notes, from the beat that the chunk starts in", "CDEF GABc |", nil, false, "0+1/2:6000 1/2+1/2:6200 1+1/2:6400 3/2+1/2:6500"},
		{"off the beat, with a landing", "CDEF GABc |", func(s *ladder.Step) {
			s.Chunk = ladder.Chunk{Bar: 1, At: click.Frac(3, 2), Length: click.Frac(1, 2), Landing: true}
		}, false, "1/2+1/2:6500 1+1/2:6700"},
		{"a slur, a tie, dots and a rest", "(CD)E.F- F4 |", func(s *ladder.Step) { s.Chunk.Length = click.Whole(4) }, false,
			"0+1/2:6000 ~1/2+1/2:6200 1+1/2:6400 3/2+5/2:6500"},
		{"slur upon slur, staccato", "(CD(E)F) z.GAB |", func(s *ladder.Step) { s.Chunk.Length = click.Whole(3) }, false,
			"0+1/2:6000 ~1/2+1/2:6200 ~1+1/2:6400 ~3/2+1/2:6500 5/2+1/2:6700."},
		{"long and short, under the player's slurs", "(CDEF) GABc |", func(s *ladder.Step) {
			s.Slots, s.Angle = click.EvenSlots(2), angled("long short")
			s.Chunk.Landing = true
		}, false, "0+3/4:6000 ~3/4+1/4:6200 ~1+3/4:6400 ~7/4+1/4:6500 2+1/2:6700"},
		{"an articulation in place of the slurs", "(CDEF) GABc |", func(s *ladder.Step) {
			s.Slots, s.Angle = click.EvenSlots(2), angled("slur two and two")
		}, false, "0+1/2:6000 ~1/2+1/2:6200 1+1/2:6400 ~3/2+1/2:6500"},
		{"to and fro", "CDEF GABc |", func(s *ladder.Step) {
			s.Slots, s.Angle = click.EvenSlots(2), angled("notes 2 and 3 to and fro")
		}, false, "0+1/2:6200 1/2+1/2:6400 1+1/2:6200 3/2+1/2:6400"},
		{"a note over two slots goes with both", "C2EF GABc |", func(s *ladder.Step) {
			s.Slots, s.Angle = click.EvenSlots(2), angled("short long")
		}, false, "0+1:6000 1+1/4:6400 5/4+3/4:6500"},
		{"notes within a slot share its time", "C/D/EF z |", func(s *ladder.Step) {
			s.Passage.To, s.Slots, s.Angle = 1, click.EvenSlots(2), angled("long short")
			s.Notes.Typed.Text = "C/D/E F2 z4 |"
			s.Chunk.Length = click.Whole(1)
		}, false, "0+3/8:6000 3/8+3/8:6200 3/4+1/4:6400"},
		{"a pause holds its note, and the landing waits", "CDEF GABc |", func(s *ladder.Step) {
			s.Slots, s.Angle = click.EvenSlots(2), angled("stop every 2 beats")
			s.Chunk.Landing = true
		}, false, "0+3/2:6000 3/2+1/2:6200 2+1/2:6400 5/2+1/2:6500 3+1/2:6700"},
		{"moved within the beat, it lands right behind its end", "CDEF GABc |", func(s *ladder.Step) {
			s.Slots, s.Angle = click.EvenSlots(2), angled("begin on slot 2")
			s.Chunk.Landing = true
		}, false, "1/2+1/2:6000 1+1/2:6200 3/2+1/2:6400 2+1/2:6500 5/2+1/2:6700"},
		{"grace notes", "C2 {DE}F2 {G}A2 z2 |", func(s *ladder.Step) { s.Chunk.Length = click.Whole(3) }, false,
			"0+4/5:6000 4/5+1/10:6200- 9/10+1/10:6400- 1+9/10:6500 19/10+1/10:6700- 2+1:6900"},
		{"even notes over a swung pair, and triplets as they are", "(CD)EF (3GAB c |", func(s *ladder.Step) {
			s.Slots = click.Swing(2, 1)
			s.Notes.Typed.Text, s.Chunk.Length = "(CD)EF (3GAB z2 |", click.Whole(3)
		}, false, "0+2/3:6000 ~2/3+1/3:6200 1+2/3:6400 5/3+1/3:6500 2+1/3:6700 7/3+1/3:6900 8/3+1/3:7100"},
		{"a chunk off the beat of a swung pair", "CDEF GABc |", func(s *ladder.Step) {
			s.Slots = click.Swing(2, 1)
			s.Chunk = ladder.Chunk{Bar: 1, At: click.Frac(2, 3), Length: click.Frac(4, 3), Landing: true}
		}, false, "2/3+1/3:6200 1+2/3:6400 5/3+1/3:6500 2+2/3:6700"},
		{"a clarinet sounds a tone lower", "CDEF GABc |", func(s *ladder.Step) { s.Notes.Instrument.Name = "clarinet in B flat"; s.Chunk.Length = click.Whole(1) }, false,
			"0+1/2:5800 1/2+1/2:6000"},
		{"or as it reads", "CDEF GABc |", func(s *ladder.Step) { s.Notes.Instrument.Name = "clarinet in B flat"; s.Chunk.Length = click.Whole(1) }, true,
			"0+1/2:6000 1/2+1/2:6200"},
	} {
		s := march.Step(func(s *ladder.Step) {
			s.Passage = ladder.Passage{From: 1, To: 1}
			s.Chunk = ladder.Chunk{Bar: 1, Length: click.Whole(2)}
			s.Notes.Typed = ladder.TypedNotes{Text: tt.notes, Unit: "1/8"}
		})
		if tt.change != nil {
			tt.change(&s)
		}
		n, _, err := notes.Of(s, nil)
		if err != nil {
			t.Errorf("%s: %v", tt.what, err)
			continue
		}
		if got := told(n.Tones(s, s.Loop().RepPhrase(click.BPM(100)), tt.written)); got != tt.want {
			t.Errorf("%s:\n  %s\nwant\n  %s", tt.what, got, tt.want)
		}
	}
}

func TestPerBeat(t *testing.T) {
	for text, want := range map[string]int{"C2D2 E4 |": 1, "CDE2 FG A2 |": 2, "CD E2 (3FGA B2 |": 2, "C/D/E/F/ GA Bc z2 |": 4, "(3CDE FG A2 B2 |": 6} {
		s := march.Step(func(s *ladder.Step) {
			s.Passage = ladder.Passage{From: 1, To: 1}
			s.Chunk = ladder.Chunk{Bar: 1, Length: click.Whole(2)}
			s.Notes.Typed = ladder.TypedNotes{Text: text, Unit: "1/8"}
		})
		n, _, err := notes.Of(s, nil)
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		if got := n.PerBeat(s); got != want {
			t.Errorf("%s has %d a beat, want %d", text, got, want)
		}
	}
}

// Of any notes the tones are in order, begin in the rep and at notes, and none
// reaches into the next.
func TestTonesAreInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, n := found(t)
		rep := s.Loop().RepPhrase(click.BPM(72))
		tones := n.Tones(s, rep, false)
		for i, tone := range tones {
			if tone.At.Sign() < 0 || !tone.At.Less(rep.Length) || tone.Length.Sign() <= 0 {
				t.Fatalf("a tone at %s for %s in a rep of %s", tone.At, tone.Length, rep.Length)
			}
			if i+1 < len(tones) && tones[i+1].At.Less(tone.At.Add(tone.Length)) {
				t.Fatalf("a tone at %s for %s before one at %s", tone.At, tone.Length, tones[i+1].At)
			}
		}
	})
}

// The line of a chord is its highest note, wherever it is written in it.
func TestTonesOfChords(t *testing.T) {
	note := func(step string, octave int, chord string) string {
		return fmt.Sprintf("<note>%s<pitch><step>%s</step><octave>%d</octave></pitch><duration>2</duration><voice>1</voice></note>", chord, step, octave)
	}
	xml := `<score-partwise version="4.0"><part-list><score-part id="P"><part-name>Horn</part-name></score-part></part-list><part id="P">` +
		`<measure number="1"><attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>` +
		note("C", 4, "") + note("G", 4, "<chord/>") + note("E", 4, "<chord/>") + note("A", 3, "") + `</measure></part></score-partwise>`
	score, _, err := passage.Read(t.Context(), strings.NewReader(xml), passage.DefaultLimits)
	if err != nil {
		t.Fatal(err)
	}
	s := march.Step(func(s *ladder.Step) {
		s.Passage = ladder.Passage{From: 1, To: 1}
		s.Chunk = ladder.Chunk{Bar: 1, Length: click.Whole(4)}
		s.Notes.Score = ladder.ScoreFile{File: "horn.musicxml"}
	})
	n, _, err := notes.Of(s, score)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := told(n.Tones(s, s.Loop().RepPhrase(click.BPM(100)), false)), "0+2:6700 2+2:5700"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}
