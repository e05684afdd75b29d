package hush

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/click"
)

func TestWords(t *testing.T) {
	for in, want := range map[string]string{
		"nothing":                           "nothing",
		"beats":                             "beats",
		"half notes":                        "half notes",
		" downbeats ":                       "downbeats",
		"thinning, seen":                    "thinning, seen",
		"every other bar":                   "every other bar",
		"every 2nd bar":                     "every other bar",
		"every 3rd bar":                     "every 3rd bar",
		"every 16th bar":                    "every 16th bar",
		"30% of bars":                       "30% of bars",
		"30 % of bars from 1":               "30% of bars",
		"99% of bars from 9999":             "99% of bars from 9999",
		"half notes, downbeats":             "half notes, then downbeats",
		"half notes, then  downbeats, seen": "half notes, then downbeats, seen",
		"beats, then half notes, then beats, then every 3rd bar": "beats, then half notes, then beats, then every 3rd bar",
	} {
		h, err := Parse(in)
		if err != nil || h.String() != want || h.None() != (want == "nothing") {
			t.Errorf("%q is %q, %v; want %q", in, h, err, want)
		}
		if again, err := Parse(want); err != nil || again != h {
			t.Errorf("%q is not read as it was written: %+v, %v", want, again, err)
		}
	}
	for _, in := range []string{"", "seen", "then beats", "all", "every 1st bar", "every 17th bar", "every 0th bar", "0% of bars", "100% of bars",
		"5% of bars from 0", "5% of bars from 10000", "beats, thinning", "thinning, beats", "beats, beats, beats, beats, beats", "beats,seen"} {
		if h, err := Parse(in); err == nil {
			t.Errorf("%q is %q, want an error", in, h)
		}
	}
}

// reps are the marks of a hush in reps of some bars of 4/4 (or another meter): a dot
// for a silent stroke, o for one that only the picture has, x for one that sounds, a
// bar line before each bar and l for a landing.
func sketch(t testing.TB, text string, meter string, bars, reps int, at Place) string {
	t.Helper()
	h, err := Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	m, _ := click.ParseMeter(meter)
	measures, err := click.NewMeasures(17, 40, click.Beats{}, m.Unit(), m)
	if err != nil {
		t.Fatal(err)
	}
	at.Unit = m.Unit()
	if at.Slots.Count() == 0 {
		at.Slots = click.EvenSlots(1)
	}
	loop := click.Loop{Measures: measures, Slots: at.Slots, Count: click.CountNumber, Chunk: click.Chunk{Bar: 17, Length: click.Whole(bars * measures.Bar(17).Beats), Landing: true}}
	var out strings.Builder
	for rep := range reps {
		at.Rep = rep
		p := loop.RepPhrase(click.BPM(60))
		before := fmt.Sprint(p.Strokes)
		q := h.Rep(p, at)
		if fmt.Sprint(p.Strokes) != before {
			t.Fatalf("%s writes to the strokes that it was given", text)
		}
		for i, s := range q.Strokes {
			if s.Beat == 0 && s.Slot == 0 && s.Part == click.InChunk {
				out.WriteByte('|')
			}
			switch {
			case s.Part == click.InLanding && s.Hushed:
				t.Fatalf("%s hushes a landing", text)
			case s.Part == click.InLanding && s.Slot == 0:
				out.WriteByte('l')
			case s.Part == click.InLanding:
			case s.Meant != click.Silent:
				if s.Meant != p.Strokes[i].Dynamics || s.Syllable != p.Strokes[i].Syllable || !s.Hushed {
					t.Fatalf("%s: %+v is not what was meant", text, s)
				}
				out.WriteByte('o')
			case s.Hushed:
				if s.Dynamics != click.Silent || s.Syllable != "" {
					t.Fatalf("%s: %+v is hushed", text, s)
				}
				out.WriteByte('.')
			default:
				out.WriteByte('x')
			}
		}
	}
	return out.String()
}

// "Click on half notes, then only the downbeat, then every other bar, to build the
// inner pulse" (low brass studio, University of Wisconsin-Stevens Point), and what
// else is hushed.
func TestWhatIsLeft(t *testing.T) {
	for _, tt := range []struct {
		hush, meter string
		bars, reps  int
		at          Place
		want        string
	}{
		{"nothing", "4/4", 1, 1, Place{}, "|xxxxl"},
		{"half notes", "4/4", 1, 1, Place{}, "|x.x.l"},
		{"half notes", "3/4", 1, 1, Place{}, "|x.xl"},
		{"half notes", "2/2", 1, 1, Place{}, "|xxl"},
		{"half notes", "1/1", 2, 1, Place{}, "|x|xl"},
		{"half notes", "6/8", 1, 1, Place{}, "|x.l"},
		{"half notes", "7/8", 1, 1, Place{}, "|x...x..l"},
		{"beats", "2/4", 1, 1, Place{Slots: click.EvenSlots(2)}, "|x.x.l"},
		{"downbeats", "4/4", 2, 1, Place{}, "|x...|x...l"},
		{"downbeats", "2/4", 1, 1, Place{Slots: click.EvenSlots(2)}, "|x...l"},
		{"downbeats, seen", "4/4", 1, 1, Place{}, "|xoool"},
		{"every other bar", "4/4", 2, 2, Place{}, "|xxxx|....l|xxxx|....l"},
		{"every other bar", "4/4", 1, 4, Place{}, "|xxxxl|....l|xxxxl|....l"},
		{"every other bar", "2/4", 3, 2, Place{}, "|xx|..|xxl|..|xx|..l"},
		{"every 3rd bar", "2/4", 2, 3, Place{}, "|xx|xxl|..|xxl|xx|..l"},
		{"every other bar, seen", "2/4", 2, 1, Place{}, "|xx|ool"},
		// The stages share the ladder among them.
		{"half notes, then downbeats, then every other bar", "4/4", 1, 2, Place{Rung: 0, Rungs: 7}, "|x.x.l|x.x.l"},
		{"half notes, then downbeats, then every other bar", "4/4", 1, 2, Place{Rung: 2, Rungs: 7}, "|x.x.l|x.x.l"},
		{"half notes, then downbeats, then every other bar", "4/4", 1, 2, Place{Rung: 3, Rungs: 7}, "|x...l|x...l"},
		{"half notes, then downbeats, then every other bar", "4/4", 1, 2, Place{Rung: 6, Rungs: 7}, "|xxxxl|....l"},
		{"half notes, then downbeats", "4/4", 1, 1, Place{Rung: 0, Rungs: 1}, "|x.x.l"},
		{"half notes, then downbeats", "4/4", 1, 1, Place{}, "|x.x.l"},
		{"half notes, then downbeats", "4/4", 1, 1, Place{Rung: 9, Rungs: 2}, "|x...l"},
		// Slots thin out rung by rung.
		{"thinning", "2/4", 1, 1, Place{Rung: 0, Rungs: 4, Slots: click.EvenSlots(2)}, "|xxxxl"},
		{"thinning", "2/4", 1, 1, Place{Rung: 1, Rungs: 4, Slots: click.EvenSlots(2)}, "|x.x.l"},
		{"thinning", "4/4", 1, 1, Place{Rung: 2, Rungs: 4, Slots: click.EvenSlots(2)}, "|x...x...l"},
		{"thinning", "4/4", 1, 1, Place{Rung: 3, Rungs: 4, Slots: click.EvenSlots(2)}, "|x.......l"},
		{"thinning", "4/4", 1, 1, Place{Rung: 0, Rungs: 3}, "|xxxxl"},
		{"thinning", "4/4", 1, 1, Place{Rung: 1, Rungs: 3}, "|x.x.l"},
		{"thinning", "4/4", 1, 1, Place{Rung: 2, Rungs: 3}, "|x...l"},
		{"thinning", "4/4", 1, 1, Place{Rung: 0, Rungs: 1}, "|xxxxl"},
	} {
		if got := sketch(t, tt.hush, tt.meter, tt.bars, tt.reps, tt.at); got != tt.want {
			t.Errorf("%s in %s, rung %d of %d: %s, want %s", tt.hush, tt.meter, tt.at.Rung, tt.at.Rungs, got, tt.want)
		}
	}
}

// A share of bars is about that share, always the same for a seed and another for
// another; a bar is silent as a whole.
func TestAShareOfBars(t *testing.T) {
	draw := func(text string) string { return sketch(t, text, "2/4", 4, 250, Place{}) }
	some := draw("30% of bars from 7")
	if silent := strings.Count(some, "|.."); silent < 260 || silent > 340 || silent+strings.Count(some, "|xx") != 1000 {
		t.Errorf("%d of 1000 bars are silent, want about 300", silent)
	}
	if draw("30% of bars from 7") != some || draw("30% of bars from 8") == some {
		t.Error("the bars are not those of their seed")
	}
}

// What comes before a chunk that begins within a bar belongs to its bar; a count-in, a
// fill and a landing are not hushed.
func TestTheLeadIsHushed(t *testing.T) {
	m, _ := click.NewMeasures(1, 8, click.Beats{}, click.Unit{Num: 1, Den: 4}, click.MakeMeter(4, 4))
	p := click.Loop{Measures: m, Slots: click.EvenSlots(4), Chunk: click.Chunk{Bar: 1, At: click.Frac(5, 2), Length: click.Frac(3, 4), Landing: true}}.RepPhrase(click.BPM(60))
	h, _ := Parse("downbeats")
	for _, s := range h.Rep(p, Place{Unit: click.Unit{Num: 1, Den: 4}, Slots: click.EvenSlots(4)}).Strokes {
		if want := s.Part == click.InLead || s.Part == click.InChunk; s.Hushed != want {
			t.Errorf("part %d at %v is hushed: %v", s.Part, s.At, s.Hushed)
		}
	}
	if q := h.Rep(click.Phrase{}, Place{}); len(q.Strokes) != 0 {
		t.Error("strokes out of nothing")
	}
}

// Whatever is drawn, a hush only ever takes away.
func TestAHushTakesAway(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stage := Stage{Kind: Kind(rapid.IntRange(1, 6).Draw(t, "kind")), N: rapid.IntRange(2, 16).Draw(t, "n"), Seed: 1}
		h := Hush{Stages: [MaxStages]Stage{stage}, Seen: rapid.Bool().Draw(t, "seen")}
		m, _ := click.NewMeasures(1, 9, click.Beats{}, click.Unit{Num: 1, Den: 4}, click.MakeMeter(4, 4))
		slots := click.EvenSlots(rapid.IntRange(1, 6).Draw(t, "slots"))
		p := click.Loop{Measures: m, Slots: slots, Chunk: click.Chunk{Bar: 1, Length: click.Whole(rapid.IntRange(1, 30).Draw(t, "beats")), Landing: true}}.RepPhrase(click.BPM(60))
		q := h.Rep(p, Place{Rung: rapid.IntRange(0, 5).Draw(t, "rung"), Rungs: 6, Rep: rapid.IntRange(0, 50).Draw(t, "rep"), Unit: click.Unit{Num: 1, Den: 4}, Slots: slots})
		for i, s := range q.Strokes {
			was := p.Strokes[i]
			if !s.Hushed && s != was || s.Hushed && s.Dynamics != click.Silent || s.At != was.At {
				t.Fatalf("%+v became %+v", was, s)
			}
		}
	})
}
