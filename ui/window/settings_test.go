package window

import (
	"testing"

	"fyne.io/fyne/v2/test"

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
		if got := parseBookmark(tt.text); got != tt.want {
			t.Errorf("%s: %+v, want %+v", tt.name, got, tt.want)
		}
		s := settings{test.NewTempApp(t).Preferences()}
		r := ladder.Routine{Name: "Morning runs", Steps: []ladder.Step{{Name: "Weir Street run"}}}
		s.setBookmarks("runs.yaml", r, []ladder.Bookmark{tt.want})
		if got := s.bookmarks("runs.yaml", r); len(got) != 1 || got[0] != tt.want {
			t.Errorf("%s: written and read %+v, want %+v", tt.name, got, tt.want)
		}
	}
}
