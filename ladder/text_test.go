package ladder

import (
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

func TestTextsAreMadeFit(t *testing.T) {
	for _, tt := range []struct{ text, name, note string }{
		{"half hole on G", "half hole on G", "half hole on G"},
		{"\thalf\thole ", "half hole", "half hole"},
		{"one\ntwo\r\nthree\rfour", "one two three four", "one\ntwo\nthree\nfour"},
		{"one\u2028two\u2029three\u0085four", "one two three four", "one\ntwo\nthree\nfour"},
		{"a\x00b\x1bc\u009bd\ufeffe\ufffef", "abcdef", "abcdef"},
		{"t\xe4ke", "t\ufffdke", "t\ufffdke"},
		{"F♯ then B♭ 第一小節", "F♯ then B♭ 第一小節", "F♯ then B♭ 第一小節"},
		{" \t\n", "", ""},
		{strings.Repeat("é", 3000), strings.Repeat("é", MaxName), strings.Repeat("é", MaxNote)},
		{strings.Repeat(" ", MaxNote) + "late", "", ""},
	} {
		if got := Name(tt.text); got != tt.name {
			t.Errorf("%.40q is the name %.40q, want %.40q", tt.text, got, tt.name)
		}
		if got := Note(tt.text); got != tt.note {
			t.Errorf("%.40q is the note %.40q, want %.40q", tt.text, got, tt.note)
		}
	}
}

// Whatever is typed, what is made of it passes the check; and what passes it is
// left alone.
func TestLawOfTexts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(
			rapid.StringOf(rapid.RuneFrom([]rune("a b\t\n\r\v\f\x00\x1b\u0085\u009f\u00a0\u2028\u2029\ufeff\ufffe\uffff\U0001f3b5"))),
			rapid.String(),
			rapid.Custom(func(t *rapid.T) string { return string(rapid.SliceOf(rapid.Byte()).Draw(t, "bytes")) }),
		).Draw(t, "text")
		s := DefaultStep()
		s.Name, s.Passage.Piece, s.Pencil = Name(text), Name(text), Note(text)
		if faults := s.Check(); len(faults) > 0 {
			t.Fatalf("%q became the name %q and the note %q: %v", text, s.Name, s.Pencil, faults)
		}
		if Name(s.Name) != s.Name || Note(s.Pencil) != s.Pencil || Line(Line(text)) != Line(text) || Lines(Lines(text)) != Lines(text) {
			t.Fatalf("%q changes again", text)
		}
		if s.Name = text; len(s.Check()) == 0 && Name(text) != text {
			t.Fatalf("%q is right and became %q", text, Name(text))
		}
		if !utf8.ValidString(Line(text)) {
			t.Fatalf("%q is no UTF-8", Line(text))
		}
	})
}

// The step's own check looks at its texts, so that no edit can bring one in
// that a file cannot hold.
func TestAStepsTextsAreChecked(t *testing.T) {
	for _, text := range []string{"a\tb", "a\u2028b", "a\x00b", "\xff", " a", strings.Repeat("x", MaxNote+1)} {
		for key, put := range map[string]func(*Step){
			"name":   func(s *Step) { s.Name = text },
			"piece":  func(s *Step) { s.Passage.Piece = text },
			"pencil": func(s *Step) { s.Pencil = text },
		} {
			s := DefaultStep()
			put(&s)
			if faults := s.Check(); len(faults) != 1 || faults[0].Key != key {
				t.Errorf("%s %.20q: %v", key, text, faults)
			}
		}
	}
}

func TestWhatIsTypedIsMadeFit(t *testing.T) {
	full := strings.Repeat("x", MaxName)
	for _, tt := range []struct{ before, after, want string }{
		{"run", "runs", "runs"},
		{"run", "", ""},
		{"run", "ru\tn", "ru n"},
		{"run", "ru\u2028\x00n", "ru n"},
		{full, full[:9] + "y" + full[9:], full}, // no room
		{full[1:], full[:9] + "yz" + full[10:], full[:9] + "y" + full[10:]}, // for one
		{"ab", "a" + full + "b", "a" + full[2:] + "b"},
		{full, "new", "new"},
		{full + "long", full + "longer", full}, // it was not fit before
	} {
		if got := Typed(tt.before, tt.after, Line); got != tt.want {
			t.Errorf("%.20q edited to %.20q is %q, want %q", tt.before, tt.after, got, tt.want)
		}
	}
}

func TestLawOfTyping(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOf(rapid.RuneFrom([]rune("ab\t\n\u2028\x00é")))
		before, after := Lines(text.Draw(t, "before")), text.Draw(t, "after")
		if got := Typed(before, after, Lines); Lines(got) != got {
			t.Fatalf("%q edited to %q is %q, which is not fit", before, after, got)
		}
	})
}
