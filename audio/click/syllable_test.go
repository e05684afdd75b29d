package click

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Where the words of a cell are from. Cells that no source has hold the first word
// alone: the program invents none.
const (
	wikipedia   = "Wikipedia, Counting (music)"
	hoffman     = "Hoffman, Pelto & White, J. Music Theory Pedagogy 10 (1996) 7-30"
	gordon      = "Gordon, Learning Sequences in Music, pp. 74-89, 181-185"
	wicks       = "D. Wicks, Kodály rhythm syllables"
	handbooks   = "common practice, no source"
	nobodyNames = ""
)

// The syllables of the published systems, cell by cell, for the third beat of a bar
// (of 3/4, 9/8 and 2+3+2/8), in 1 to 8 slots.
func TestSyllables(t *testing.T) {
	type cell struct{ words, source string }
	none := func(first string) cell { return cell{first, nobodyNames} }
	for _, table := range []struct {
		meter  string
		system Counting
		cells  [8]cell
	}{
		{"3/4", CountNone, [8]cell{}},
		{"3/4", CountNumber, [8]cell{{"3", wikipedia}, {"3 &", wikipedia}, {"3 la li", wikipedia}, {"3 e & a", wikipedia},
			none("3"), {"3 la li & la li", wikipedia}, none("3"), none("3")}},
		{"9/8", CountNumber, [8]cell{{"3", wikipedia}, {"3 &", handbooks}, {"3 la li", wikipedia}, {"3 e & a", handbooks},
			none("3"), {"3 ta la ta li ta", handbooks}, none("3"), none("3")}},
		{"3/4", CountTakadimi, [8]cell{{"ta", hoffman}, {"ta di", hoffman}, {"ta ki da", hoffman}, {"ta ka di mi", hoffman},
			{"ta ka di mi ti", hoffman}, {"ta va ki di da ma", hoffman}, none("ta"), none("ta")}},
		{"9/8", CountTakadimi, [8]cell{{"ta", hoffman}, {"ta di", hoffman}, {"ta ki da", hoffman}, {"ta ka di mi", hoffman},
			{"ta ka di mi ti", hoffman}, {"ta va ki di da ma", hoffman}, none("ta"), none("ta")}},
		{"3/4", CountGordon, [8]cell{{"du", gordon}, {"du de", gordon}, {"du da di", gordon}, {"du ta de ta", gordon},
			none("du"), {"du ta da ta di ta", gordon}, none("du"), none("du")}},
		{"9/8", CountGordon, [8]cell{{"du", gordon}, {"du de", gordon}, {"du da di", gordon}, {"du ta de ta", gordon},
			none("du"), {"du ta da ta di ta", gordon}, none("du"), none("du")}},
		{"3/4", CountKodaly, [8]cell{{"ta", wicks}, {"ti ti", wicks}, {"tri o la", handbooks}, {"ti ka ti ka", wicks},
			none("ta"), none("ta"), none("ta"), none("ta")}},
		{"9/8", CountKodaly, [8]cell{{"tam", handbooks}, none("tam"), {"ti ti ti", wicks}, none("tam"),
			none("tam"), {"ti ka ti ka ti ka", wicks}, none("tam"), none("tam")}},
	} {
		m := meter(t, table.meter)
		bar, err := m.Bar(m.Unit())
		if err != nil {
			t.Fatal(err)
		}
		for i, want := range table.cells {
			if got := spoken(table.system, bar, i+1, 2); got != want.words {
				t.Errorf("%v, a beat of %s in %d: %q, want %q (%s)", table.system, table.meter, i+1, got, want.words, want.source)
			}
		}
	}
}

// spoken are the words of a beat in some slots.
func spoken(c Counting, bar Bar, slots, beat int) string {
	var words []string
	for i := range slots {
		if w := c.In(bar, slots, i, beat); w != "" {
			words = append(words, w)
		}
	}
	return strings.Join(words, " ")
}

// The eighths of additive meters: by their place in the group in the systems that
// name places (Gordon's be, ba and bi of unusual meters: pp. 181-185; takadimi: the
// beats of irregular meters are named like others), by their number where beats are
// numbered (common practice, no source).
func TestSyllablesOfAdditiveMeters(t *testing.T) {
	for _, tt := range []struct {
		meter  string
		system Counting
		slots  int
		want   string // beats parted by |
	}{
		{"3+2/8", CountNumber, 1, "1|2|3|4|5"},
		{"3+2/8", CountNumber, 2, "1 &|2 &|3 &|4 &|5 &"},
		{"3+2/8", CountTakadimi, 1, "ta|ki|da|ta|di"},
		{"3+2/8", CountTakadimi, 2, "ta va|ki di|da ma|ta ka|di mi"},
		{"3+2/8", CountTakadimi, 3, "ta|||ta va ki|di da ma"},
		{"5+2/8", CountTakadimi, 1, "ta|ka|di|mi|ti|ta|di"},
		{"1+4/8", CountTakadimi, 1, "ta|ta|ka|di|mi"},
		{"2+2+3/8", CountGordon, 1, "du|be|du|be|du|ba|bi"},
		{"2+3/8", CountGordon, 2, "du ta|be ta|du ta|ba ta|bi ta"},
		{"2+3/8", CountGordon, 3, "du|be|du|ba|bi"},
		{"1+4/8", CountGordon, 1, "du|du|||"},
		{"3+2/8", CountKodaly, 1, "ti|ti|ti|ti|ti"},
		{"3+2/8", CountKodaly, 2, "ti ka|ti ka|ti ka|ti ka|ti ka"},
		{"3+2/8", CountKodaly, 3, "ti|ti|ti|ti|ti"},
		{"3+2/8", CountNone, 1, "||||"},
		// Groups of quarters have beats of their own, and a meter that is not written
		// in groups has none.
		{"3+2/4", CountTakadimi, 1, "ta|ta|ta|ta|ta"},
		{"5/8", CountTakadimi, 1, "ta|ta|ta|ta|ta"},
	} {
		m := meter(t, tt.meter)
		bar, err := m.Bar(m.Unit())
		if err != nil {
			t.Fatal(err)
		}
		var beats []string
		for i := range bar.Beats {
			beats = append(beats, spoken(tt.system, bar, tt.slots, i))
		}
		if got := strings.Join(beats, "|"); got != tt.want {
			t.Errorf("%v, %s in %d: %s, want %s", tt.system, tt.meter, tt.slots, got, tt.want)
		}
	}
}

// The systems of places name a place alike however the beat is cut (Hoffman, Pelto
// & White 1996; Gordon), but where a finer cut adds to the level below.
func TestTakadimiNamesPlaces(t *testing.T) {
	at := map[string]string{}
	for n := 1; n <= 6; n++ {
		for i := range n {
			place := Frac(int64(i), int64(n)).String()
			if n == 5 && i > 0 {
				continue // of fifths only the first is a place of the others
			}
			word := CountTakadimi.Syllable(n, i, 1)
			if before, ok := at[place]; ok && before != word {
				t.Errorf("%s of a beat is %q and %q", place, before, word)
			}
			at[place] = word
		}
	}
}

// In every system but none what begins a beat has a word, whatever the slots; what
// is no slot has none.
func TestEveryBeatHasAWord(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		system := Counting(rapid.IntRange(1, 4).Draw(t, "system"))
		slots, beat := rapid.IntRange(1, 12).Draw(t, "slots"), rapid.IntRange(1, 64).Draw(t, "beat")
		if w := system.Syllable(slots, 0, beat); w == "" || system == CountNumber && w != fmt.Sprint(beat) {
			t.Fatalf("%v: beat %d is %q", system, beat, w)
		}
		if w := system.Syllable(slots, slots, beat); w != "" {
			t.Fatalf("%v: slot %d of %d is %q", system, slots, slots, w)
		}
	})
}

// On an angle each note is counted where it comes to lie, also between the slots: a
// dotted eighth and a sixteenth are "2 – – a" (common practice, no source).
func TestAnglesAreCountedWhereTheyLie(t *testing.T) {
	lengths := func(of ...int64) (cells []Cell) {
		for i, n := range of {
			cells = append(cells, Cell{Slot: i, Length: Frac(n, 12)})
		}
		return cells
	}
	for _, tt := range []struct {
		system Counting
		slots  int
		cells  []Cell
		want   string
	}{
		{CountNumber, 2, lengths(9, 3, 9, 3), "2@0 a@3/4 3@1 a@7/4"},
		{CountNumber, 4, lengths(9, 3, 3, 9), "2@0 a@3/4 3@1 e@5/4"},
		{CountTakadimi, 2, lengths(8, 4, 4, 8), "ta@0 da@2/3 ta@1 ki@4/3"},
		{CountGordon, 2, lengths(3, 9, 10, 2), "du@0 ta@1/4 du@1 ta@11/6"},
		{CountKodaly, 2, lengths(9, 3, 12), "ta@0 ta@1"},
		{CountNone, 2, lengths(9, 3, 12), ""},
		{CountNumber, 2, lengths(5, 7, 12), "2@0 3@1"},
	} {
		l := loop(tt.slots, "", func(l *Loop) {
			l.Count, l.Path, l.Chunk.Landing = tt.system, Path{Cells: tt.cells}, false
			if tt.system == CountKodaly {
				l.Slots = EvenSlots(1)
			}
		})
		var got []string
		for _, s := range l.RepPhrase(BPM(60)).Strokes {
			if s.Syllable != "" {
				got = append(got, s.Syllable+"@"+s.At.String())
			}
		}
		if words := strings.Join(got, " "); words != tt.want {
			t.Errorf("%v on %v: %s, want %s", tt.system, tt.cells, words, tt.want)
		}
	}
}

// The systems by their words in a routine file.
func TestCountingNames(t *testing.T) {
	for c, name := range []string{"none", "number", "takadimi", "gordon", "kodaly"} {
		if got, err := ParseCounting(name); err != nil || got != Counting(c) || got.String() != name {
			t.Errorf("%q is read as %v, %v", name, got, err)
		}
	}
	if c, err := ParseCounting("numbers"); err == nil {
		t.Errorf("numbers is %v", c)
	}
}
