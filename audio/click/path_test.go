package click

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// cells makes a path of cells with lengths in parts of a beat.
func cells(den int64, nums ...int64) []Cell {
	var out []Cell
	for i, n := range nums {
		out = append(out, Cell{Slot: i, Length: Frac(n, den)})
	}
	return out
}

// course writes the strokes of a phrase as place:mark, with the cell that begins
// on them, silent ones too.
func course(p Phrase) string {
	var out []string
	for _, s := range p.Strokes {
		text := fmt.Sprintf("%s:%s", s.At, s.Dynamics)
		if s.Cell > 0 {
			text += fmt.Sprintf("=%d", s.Cell)
		}
		out = append(out, text)
	}
	return strings.Join(out, " ")
}

func TestAPathMovesTheSlotsOfItsChunk(t *testing.T) {
	tests := []struct {
		name string
		path Path
		loop func(*Loop)
		want string
	}{
		{
			name: "long and short within the beat",
			path: Path{Cells: cells(8, 3, 1, 3, 1)},
			want: "0:f=1 3/8:p=2 1/2:p=3 7/8:p=4 1:f 5/4:- 3/2:- 7/4:-",
		},
		{
			name: "a cell across the beat leaves the beat to the pulse",
			path: Path{Cells: []Cell{{Slot: 0, Length: Frac(1, 4)}, {Slot: 1, Length: Whole(1)}, {Slot: 2, Length: Frac(3, 4)}}},
			loop: func(l *Loop) { l.Chunk.Length = Whole(2) },
			want: "0:f=1 1/4:p=2 1:f 5/4:p=3 2:f 9/4:- 5/2:- 11/4:-",
		},
		{
			name: "accents stand alone",
			path: Path{Cells: []Cell{{0, Frac(1, 4), false, false, false}, {1, Frac(1, 4), true, false, false}, {2, Frac(1, 2), false, false, false}}},
			want: "0:mf=1 1/4:f=2 1/2:p=3 1:f 5/4:- 3/2:- 7/4:-",
		},
		{
			name: "led in, it lands right behind its end",
			path: Path{Lead: Frac(1, 4), Cells: cells(4, 1, 1, 1, 1)},
			want: "0:p 1/4:p=1 1/2:p=2 3/4:p=3 1:f=4 5/4:p 3/2:- 7/4:-",
		},
		{
			name: "a rest has no stroke but the pulse's",
			path: Path{Cells: []Cell{{0, Frac(1, 2), false, false, false}, {-1, Frac(1, 2), false, false, false}}},
			want: "0:f=1 1:f 5/4:- 3/2:- 7/4:-",
		},
		{
			name: "a longer one takes more beats",
			path: Path{Cells: []Cell{{0, Frac(1, 4), false, false, false}, {-1, Frac(7, 4), false, false, false}}},
			want: "0:f=1 1:f 2:f 9/4:- 5/2:- 11/4:-",
		},
		{
			name: "the doubled pulse stays",
			path: Path{Cells: cells(4, 1, 3)},
			loop: func(l *Loop) { l.Pulse = Doubled; l.Chunk.Landing = false },
			want: "0:f=1 1/4:p=2 1/2:f",
		},
		{
			name: "where the pulse alone sounds, cells are silent",
			path: Path{Cells: cells(8, 3, 5)},
			loop: func(l *Loop) { l.Pulse = Offbeat; l.Chunk.Landing = false },
			want: "0:-=1 3/8:-=2 1/2:f",
		},
		{
			name: "a chunk that begins and ends within a beat lands on the next",
			path: Path{Cells: cells(8, 3, 1)},
			loop: func(l *Loop) { l.Chunk.At, l.Chunk.Length = Frac(5, 4), Frac(1, 2) },
			want: "0:p 1/4:p=1 5/8:p=2 3/4:- 1:f 5/4:- 3/2:- 7/4:-",
		},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			l := loop(4, "f p p p", func(l *Loop) { l.Chunk.Length = Whole(1) })
			if tt.loop != nil {
				tt.loop(&l)
			}
			l.Path = tt.path
			if got := course(l.RepPhrase(BPM(60))); got != tt.want {
				t.Errorf("the rep is\n%s, want\n%s", got, tt.want)
			}
		})
	}
}

// What holds of a rep on any path: strokes in order and within the rep, a stroke
// for each cell at its place, one on every beat, and the landing behind them all.
func TestLawsOfAPath(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := loop(rapid.IntRange(1, 6).Draw(t, "slots"), "", nil)
		l.Pulse = Pulse(rapid.IntRange(0, 3).Draw(t, "pulse"))
		l.Chunk.At = Frac(rapid.Int64Range(0, 15).Draw(t, "at"), 4)
		l.Chunk.Length = Frac(rapid.Int64Range(1, 16).Draw(t, "length"), 4)
		l.Chunk.Landing = rapid.Bool().Draw(t, "landing")
		l.Path.Lead = Frac(rapid.Int64Range(0, 11).Draw(t, "lead"), 12)
		for range rapid.IntRange(1, 9).Draw(t, "cells") {
			l.Path.Cells = append(l.Path.Cells, Cell{
				Slot: rapid.IntRange(-1, 8).Draw(t, "slot"), Length: Frac(rapid.Int64Range(1, 12).Draw(t, "num"), rapid.Int64Range(1, 12).Draw(t, "den")),
				Accent: rapid.Bool().Draw(t, "accent"),
			})
		}
		p := l.RepPhrase(BPM(60))
		places := map[Beats]Stroke{}
		for i, s := range p.Strokes {
			if i > 0 && !p.Strokes[i-1].At.Less(s.At) || s.At.Sign() < 0 || !s.At.Less(p.Length) {
				t.Fatalf("stroke %d at %s of %s", i, s.At, p.Length)
			}
			places[s.At] = s
		}
		for beat := range p.Length.Floor() {
			if _, ok := places[Whole(beat)]; !ok {
				t.Fatalf("no stroke on beat %d", beat)
			}
		}
		at := l.Chunk.At.Sub(Whole(l.Chunk.At.Floor())).Add(l.Path.Lead)
		for i, c := range l.Path.Cells {
			if s := places[at]; c.Slot >= 0 && (s.Cell != i+1 || s.Part != InChunk) {
				t.Fatalf("cell %d at %s is %+v", i+1, at, s)
			}
			at = at.Add(c.Length)
		}
		landed := false
		for _, s := range p.Strokes {
			if s.Part == InLanding && !landed {
				landed = true
				if s.At.Less(at) || s.At.Sub(at).Cmp(Whole(1)) >= 0 {
					t.Fatalf("it lands at %s, behind an end at %s", s.At, at)
				}
			}
		}
		if landed != l.Chunk.Landing {
			t.Fatalf("landed %v, want %v", landed, l.Chunk.Landing)
		}
	})
}

// A chunk's shares follow each other without a gap and fill it.
func TestSharesFillTheirChunk(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := EvenSlots(rapid.IntRange(1, 12).Draw(t, "slots"))
		if rapid.Bool().Draw(t, "swung") {
			s = Swing(rapid.IntRange(1, 5).Draw(t, "first"), rapid.IntRange(1, 5).Draw(t, "then"))
		}
		c := Chunk{At: Frac(rapid.Int64Range(0, 40).Draw(t, "at"), 12), Length: Frac(rapid.Int64Range(1, 60).Draw(t, "length"), 12)}
		var at Beats
		for _, share := range c.Shares(s) {
			if share.At != at || share.Length.Sign() <= 0 || share.Slot < 0 || share.Slot >= s.Count() {
				t.Fatalf("share %+v at %s", share, at)
			}
			at = at.Add(share.Length)
		}
		if at != c.Length {
			t.Fatalf("they end at %s of %s", at, c.Length)
		}
	})
}
