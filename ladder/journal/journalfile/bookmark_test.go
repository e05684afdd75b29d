package journalfile

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/click"
	"footing/ladder"
)

// Bookmarks are read as they were written, also by older versions, which had one
// word for what is three now.
func TestBookmarksAreRead(t *testing.T) {
	ladderOf := ladder.Range{From: click.BPM(64), Goal: click.BPM(80), By: ladder.StepSize{Kind: ladder.ByBPM, Amount: 4000}}
	at := func(kind ladder.RuleKind, change func(*ladder.Bookmark)) ladder.Bookmark {
		b := ladder.Bookmark{Ladder: ladderOf, Rule: kind, Tempo: click.BPM(72)}
		change(&b)
		return b
	}
	const head = `{"Ladder":{"From":64000,"Below":0,"Goal":80000,"By":{"Kind":0,"Amount":4000}},"Tempo":72000,"ByHand":false,`
	for _, tt := range []struct {
		name, text string
		want       ladder.Bookmark
	}{
		{"none", "", ladder.Bookmark{}},
		{"no such thing", "{", ladder.Bookmark{}},
		{"two up", head + `"Rule":3,"Footing":0,"Settled":false,"Turned":true,"Slow":0}`,
			at(ladder.TwoUpOneDown, func(b *ladder.Bookmark) { b.OneDown = true })},
		{"a leap at the goal", head + `"Rule":4,"Footing":0,"Settled":false,"Turned":true,"Slow":64000}`,
			at(ladder.Leap, func(b *ladder.Bookmark) { b.Slow = click.BPM(64) })},
		{"an arch on the way down", head + `"Rule":5,"Footing":0,"Settled":false,"Turned":true,"Slow":0}`,
			at(ladder.Arch, func(b *ladder.Bookmark) { b.Down = true })},
		{"an arch on the way up", head + `"Rule":5,"Footing":0,"Settled":false,"Turned":false,"Slow":0}`,
			at(ladder.Arch, func(*ladder.Bookmark) {})},
		{"a footing", head + `"Rule":2,"Footing":68000,"Settled":true,"Turned":false,"Slow":0}`,
			at(ladder.Settle, func(b *ladder.Bookmark) { b.Footing, b.Settled = click.BPM(68), true })},
	} {
		if got := ParseBookmark(tt.text); got != tt.want {
			t.Errorf("%s: %+v, want %+v", tt.name, got, tt.want)
		}
		if text := FormatBookmark(tt.want); tt.want != (ladder.Bookmark{}) && ParseBookmark(text) != tt.want {
			t.Errorf("%s: written as %s it reads as %+v", tt.name, text, ParseBookmark(text))
		}
	}
}

// Any bookmark is read as it was written, in the words of a routine.
func TestBookmarksAreWords(t *testing.T) {
	const want = `{"from":"64","goal":"104","step":"4 bpm","rule":"two up, one down","tempo":"76.5","one down":true}`
	b := ladder.Bookmark{
		Ladder: ladder.Range{From: click.BPM(64), Goal: click.BPM(104), By: ladder.StepSize{Kind: ladder.ByBPM, Amount: 4000}},
		Rule:   ladder.TwoUpOneDown, Tempo: 76_500, OneDown: true,
	}
	if got := FormatBookmark(b); got != want {
		t.Errorf("written as %s, want %s", got, want)
	}
	for _, text := range []string{strings.Replace(want, "two up", "three up", 1), strings.Replace(want, "76.5", "7.65", 1), strings.Replace(want, "4 bpm", "4", 1)} {
		if got := ParseBookmark(text); got != (ladder.Bookmark{}) {
			t.Errorf("%s is read as %+v", text, got)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		tempo := func(label string) click.Tempo {
			n := rapid.Int64Range(int64(click.MinTempo)-1, int64(click.MaxTempo)).Draw(t, label)
			if n < int64(click.MinTempo) {
				return 0
			}
			return click.Tempo(n)
		}
		by := ladder.StepSize{Kind: ladder.StepKind(rapid.IntRange(0, 2).Draw(t, "kind"))}
		if by.Kind != ladder.ByMarks {
			by.Amount = rapid.Int64Range(0, 999_999).Draw(t, "step")
		}
		b := ladder.Bookmark{
			Ladder: ladder.Range{From: tempo("from"), Below: rapid.IntRange(0, 99).Draw(t, "below"), Goal: tempo("goal"), By: by},
			Rule:   ladder.RuleKind(rapid.IntRange(0, len(ladder.RuleNames())-1).Draw(t, "rule")),
			Tempo:  tempo("tempo"), ByHand: rapid.Bool().Draw(t, "by hand"), Footing: tempo("footing"),
			Settled: rapid.Bool().Draw(t, "settled"), OneDown: rapid.Bool().Draw(t, "one down"), Slow: tempo("slow"), Down: rapid.Bool().Draw(t, "down"),
		}
		if got := ParseBookmark(FormatBookmark(b)); got != b {
			t.Fatalf("%+v is written as %s, which reads as %+v", b, FormatBookmark(b), got)
		}
	})
}
