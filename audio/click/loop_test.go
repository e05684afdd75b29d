package click

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// sketch writes the sounding strokes of a phrase as place:mark.
func sketch(p Phrase) string {
	var out []string
	for _, s := range p.Strokes {
		if s.Dynamics != Silent {
			out = append(out, fmt.Sprintf("%s:%s", s.At, s.Dynamics))
		}
	}
	return strings.Join(out, " ")
}

// sounds lists when and how everything sounds, in beats at the given tempo
// turned to a common unit: minutes/1000 do not matter, only equality does.
func sounds(p Phrase, bpm int) string {
	var out []string
	for _, s := range p.Strokes {
		if s.Dynamics != Silent {
			out = append(out, fmt.Sprintf("%s:%s/%d", Frac(s.At.Num(), s.At.Den()*int64(bpm)), s.Dynamics, s.Voice))
		}
	}
	return strings.Join(out, " ")
}

// bars are the bars 1 to 99 of so many quarters each.
func bars(beats int) Measures {
	m, err := NewMeasures(1, 99, Beats{}, Unit{1, 4}, MakeMeter(beats, 4))
	if err != nil {
		panic(err)
	}
	return m
}

func loop(slots int, marks string, change func(*Loop)) Loop {
	l := Loop{
		Measures: bars(4), Slots: EvenSlots(slots),
		Chunk: Chunk{Bar: 18, At: Whole(1), Length: Whole(2), Landing: true}, CountIn: 2, Breath: 2,
	}
	if marks != "" {
		d, err := ParseMarks(marks)
		if err != nil {
			panic(err)
		}
		l.Accents = Accents{d}
	}
	if change != nil {
		change(&l)
	}
	return l
}

func TestWhatSoundsWhen(t *testing.T) {
	tests := []struct {
		name                  string
		loop                  Loop
		countIn, rep, breathe string
	}{
		{
			name:    "a beat of four with landing and breath",
			loop:    loop(4, "f p p p", nil),
			countIn: "0:f 1/4:p 1/2:p 3/4:p 1:f 5/4:p 3/2:p 7/4:p",
			rep:     "0:f 1/4:p 1/2:p 3/4:p 1:f 5/4:p 3/2:p 7/4:p 2:f",
			breathe: "0:p 1:p",
		},
		{
			name:    "doubled: each half beat takes the first slot's mark",
			loop:    loop(4, "f p p p", func(l *Loop) { l.Pulse = Doubled; l.Chunk.Length = Whole(1) }),
			countIn: "0:f 1/4:p 1/2:f 3/4:p 1:f 5/4:p 3/2:f 7/4:p",
			rep:     "0:f 1/4:p 1/2:f 3/4:p 1:f",
			breathe: "0:p 1:p",
		},
		{
			name:    "doubled: one slot sounds twice a beat",
			loop:    loop(1, "f", func(l *Loop) { l.Pulse = Doubled; l.Chunk.Landing = false }),
			countIn: "0:f 1/2:f 1:f 3/2:f",
			rep:     "0:f 1/2:f 1:f 3/2:f",
			breathe: "0:p 1:p",
		},
		{
			name:    "doubled over three slots adds a click between them",
			loop:    loop(3, "f p p", func(l *Loop) { l.Pulse = Doubled; l.Chunk.Length = Whole(1); l.CountIn = 1 }),
			countIn: "0:f 1/3:p 1/2:f 2/3:p",
			rep:     "0:f 1/3:p 1/2:f 2/3:p 1:f",
			breathe: "0:p 1:p",
		},
		{
			name:    "halved: every second beat, counted from the chunk's bar",
			loop:    loop(4, "f p p p", func(l *Loop) { l.Pulse = Halved; l.Chunk.Length = Whole(3) }),
			countIn: "1:f", // beats 4 and 1 of the bars
			rep:     "1:f 3:f",
			breathe: "0:p 1:p",
		},
		{
			name:    "offbeat: only halfway through each beat, the count-in sounds the beats too",
			loop:    loop(2, "f p", func(l *Loop) { l.Pulse = Offbeat; l.Chunk.Landing = false }),
			countIn: "0:f 1/2:f 1:f 3/2:f",
			rep:     "1/2:f 3/2:f",
			breathe: "0:p 1:p",
		},
		{
			name:    "half a beat is filled up with silence; the landing takes a beat",
			loop:    loop(4, "f p p p", func(l *Loop) { l.Chunk.Length = Frac(1, 2) }),
			countIn: "0:f 1/4:p 1/2:p 3/4:p 1:f 5/4:p 3/2:p 7/4:p",
			rep:     "0:f 1/4:p 1:f",
			breathe: "0:p 1:p",
		},
		{
			name:    "a chunk from within a beat is led in by that beat",
			loop:    loop(4, "f p mf p", func(l *Loop) { l.Chunk.At = Frac(3, 2); l.Chunk.Length = Whole(1) }),
			countIn: "0:f 1/4:p 1/2:mf 3/4:p 1:f 5/4:p 3/2:mf 7/4:p",
			rep:     "0:p 1/2:mf 3/4:p 1:f 5/4:p 2:f",
			breathe: "0:p 1:p",
		},
		{
			name:    "without dynamics the bar's first beat is f, others mf, slots p",
			loop:    loop(2, "", func(l *Loop) { l.Chunk.At = Whole(3) }),
			countIn: "0:mf 1/2:p 1:mf 3/2:p",
			rep:     "0:mf 1/2:p 1:f 3/2:p 2:mf",
			breathe: "0:p 1:p",
		},
		{
			name:    "swing 2:1",
			loop:    loop(2, "f p", func(l *Loop) { l.Slots = Swing(2, 1); l.Chunk.Landing = false; l.CountIn = 1 }),
			countIn: "0:f 2/3:p",
			rep:     "0:f 2/3:p 1:f 5/3:p",
			breathe: "0:p 1:p",
		},
		{
			name: "a line of dynamics for each beat of the bar",
			loop: loop(1, "f", func(l *Loop) {
				l.Accents = Accents{{Forte}, {Piano}, {MezzoForte}, {Silent}}
				l.Chunk.At, l.Chunk.Length = Whole(0), Whole(4)
			}),
			countIn: "0:mf", // beats 3 and 4 of the bar before
			rep:     "0:f 1:p 2:mf 4:f",
			breathe: "0:p 1:p",
		},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			countIn, _ := tt.loop.CountInPhrase(BPM(60))
			breath, _ := tt.loop.BreathPhrase(BPM(60))
			for _, c := range []struct {
				what, want string
				got        Phrase
			}{{"count-in", tt.countIn, countIn}, {"rep", tt.rep, tt.loop.RepPhrase(BPM(60))}, {"breath", tt.breathe, breath}} {
				if got := sketch(c.got); got != c.want {
					t.Errorf("%s sounds\n  %s\nwant\n  %s", c.what, got, c.want)
				}
			}
		})
	}
}

// Sixteenths at 50 with the pulse doubled click like eighths of a plain 100
// (common practice, no source).
func TestDoubledAt50IsPlain100(t *testing.T) {
	slow := loop(4, "f p p p", func(l *Loop) { l.Pulse = Doubled; l.Chunk.Landing = false })
	fast := loop(2, "f p", func(l *Loop) { l.Chunk.Length = Whole(4); l.Chunk.Landing = false })
	if got, want := sounds(slow.RepPhrase(BPM(50)), 50), sounds(fast.RepPhrase(BPM(100)), 100); got != want {
		t.Errorf("doubled at 50:\n  %s\nplain 100:\n  %s", got, want)
	}
}

func TestNumbersAreCountedThroughBarsAndBreath(t *testing.T) {
	l := loop(4, "f p p p", func(l *Loop) { l.Count = CountNumber })
	countIn, _ := l.CountInPhrase(BPM(76))
	breath, _ := l.BreathPhrase(BPM(76))
	var words []string
	for _, p := range []Phrase{countIn, l.RepPhrase(BPM(76)), breath} {
		for _, s := range p.Strokes {
			if s.Syllable != "" {
				words = append(words, s.Syllable)
			}
		}
	}
	if got, want := strings.Join(words, " "), "4 e & a 1 e & a 2 e & a 3 e & a 4 1 2"; got != want {
		t.Errorf("counted %q, want %q", got, want)
	}
}

// What every phrase keeps to, whatever the loop.
func TestLawsOfPhrases(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		slots := EvenSlots(rapid.IntRange(1, MaxSlots).Draw(t, "slots"))
		if rapid.Bool().Draw(t, "swung") {
			slots = Swing(rapid.IntRange(1, 5).Draw(t, "long"), rapid.IntRange(1, 5).Draw(t, "short"))
		}
		beats := rapid.IntRange(1, 7).Draw(t, "bar")
		l := Loop{
			Measures: bars(beats), Slots: slots, Pulse: Pulse(rapid.IntRange(0, 3).Draw(t, "pulse")),
			Count: Counting(rapid.IntRange(0, 4).Draw(t, "count")),
			Chunk: Chunk{Bar: 1, At: Frac(rapid.Int64Range(0, int64(beats*4-1)).Draw(t, "at"), 4),
				Length:  Frac(rapid.Int64Range(1, 40).Draw(t, "length"), 4),
				Landing: rapid.Bool().Draw(t, "landing")},
			CountIn: rapid.IntRange(0, 5).Draw(t, "count-in"), Breath: rapid.IntRange(0, 5).Draw(t, "breath"),
		}
		countIn, has := l.CountInPhrase(BPM(60))
		if has != (l.CountIn > 0) {
			t.Fatalf("a count-in of %d beats: %v", l.CountIn, has)
		}
		breath, has := l.BreathPhrase(BPM(60))
		if has != (l.Breath > 0) {
			t.Fatalf("a breath of %d beats: %v", l.Breath, has)
		}
		for _, p := range []Phrase{countIn, l.RepPhrase(BPM(60)), breath} {
			if p.Length.Den() != 1 {
				t.Fatalf("%v lasts %v beats, not a whole number", p.Kind, p.Length)
			}
			next, onBeats := Whole(-1), 0
			for _, s := range p.Strokes {
				if !next.Less(s.At) || s.At.Sign() < 0 || !s.At.Less(p.Length) {
					t.Fatalf("%v: a stroke at %v after %v in %v beats", p.Kind, s.At, next, p.Length)
				}
				next = s.At
				if s.Slot == 0 && s.At.Den() == 1 {
					onBeats++
				}
				if s.Beat < 0 || s.Beat >= beats {
					t.Fatalf("beat %d of a bar of %d", s.Beat, beats)
				}
			}
			if onBeats != p.Length.Floor() {
				t.Fatalf("%v: %d beats have a stroke, of %v", p.Kind, onBeats, p.Length)
			}
		}
	})
}

func TestMeters(t *testing.T) {
	for _, tt := range []struct {
		meter, unit string
		beats       int
		starts      []int
	}{
		{"4/4", "quarter", 4, []int{0}},
		{"2/2", "half", 2, []int{0}},
		{"6/8", "dotted quarter", 2, []int{0}},
		{"9/8", "dotted quarter", 3, []int{0}},
		{"12/16", "dotted eighth", 4, []int{0}},
		{"3/8", "eighth", 3, []int{0}},
		{"3/4", "quarter", 3, []int{0}},
		// 11c of the MusicXML test suite: (3+2)/8 is 2.5 quarters, groups 3+2.
		{"3+2/8", "eighth", 5, []int{0, 3}},
		{"8/8", "eighth", 8, []int{0}},
		{"6/4", "quarter", 6, []int{0}},
		{"6/16", "dotted eighth", 2, []int{0}},
		{"2+2+3/8", "eighth", 7, []int{0, 2, 4}},
	} {
		m, err := ParseMeter(tt.meter)
		if err != nil {
			t.Errorf("%s: %v", tt.meter, err)
			continue
		}
		bar, err := m.Bar(m.Unit())
		if err != nil || bar.Beats != tt.beats || m.Unit().String() != tt.unit || m.String() != tt.meter {
			t.Errorf("%s is %s with %d beats of a %s (%v), want %d of a %s", tt.meter, m, bar.Beats, m.Unit(), err, tt.beats, tt.unit)
		}
		var starts []int
		for i := range bar.Beats {
			if bar.GroupStart(i) {
				starts = append(starts, i)
			}
		}
		if fmt.Sprint(starts) != fmt.Sprint(tt.starts) {
			t.Errorf("%s has groups at %v, want %v", tt.meter, starts, tt.starts)
		}
	}
	if bar, err := MakeMeter(6, 8).Bar(Unit{1, 4}); err != nil || bar.Beats != 3 {
		t.Errorf("6/8 in quarters has %d beats, %v; want 3", bar.Beats, err)
	}
	// Of the groups at 0, 3 and 6 eighths, the second begins within a quarter.
	if bar, err := meter(t, "3+3+2/8").Bar(Unit{1, 4}); err != nil || !bar.GroupStart(0) || bar.GroupStart(1) || bar.GroupStart(2) || !bar.GroupStart(3) {
		t.Errorf("3+3+2/8 in quarters begins groups elsewhere than on 0 and 3, %v", err)
	}
	if !(Bar{Beats: 3}).GroupStart(0) {
		t.Error("beat 0 of a bar without groups begins none")
	}
	if _, err := MakeMeter(5, 8).Bar(Unit{1, 4}); err == nil {
		t.Error("a bar of 5/8 has two and a half quarters and should be refused")
	}
	for _, in := range []string{"", "4", "4/3", "0/4", "65/4", "4/64", "a/4", "4/", "+/8", "3+/8", "40+40/4", "4/+4"} {
		if m, err := ParseMeter(in); err == nil {
			t.Errorf("ParseMeter(%q) = %v, want an error", in, m)
		}
	}
}
