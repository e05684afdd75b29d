package window

import (
	"errors"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"

	"footing/ladder/routine"
	"footing/ui/window/draw"
)

// The longest notices can be read to the end in the smallest window, in every view.
func TestNoNoticeIsCutOff(t *testing.T) {
	long := "a routine that has a rather long name, as they grow over the years.yaml"
	failed := "Not saved: " + short(&routine.SaveError{Path: "/home/player/" + long, Err: errors.New("the disk does not answer")})
	choices := []draw.Choice{{ID: chooseBoth, Label: "keep both", Key: "F6"}, {ID: chooseTheirs, Label: "take theirs", Key: "F7"}}
	tests := []struct {
		name   string
		notice draw.NoticeModel
	}{
		{"a save that failed", draw.NoticeModel{Text: failed, Warm: true}},
		{"a close that is held up", draw.NoticeModel{Text: failed, Warm: true, Choices: []draw.Choice{{ID: chooseLeave, Label: "close once more to leave without it"}}}},
		{"a change elsewhere", draw.NoticeModel{Text: "“" + elided(long) + "” was changed elsewhere", Warm: true, Choices: choices}},
		{"settings that make no sense", draw.NoticeModel{Text: "3 of the settings could not be read and are as they came; the old file is kept as /home/player/.local/share/footing/settings.bad.json"}},
		{"gaps", draw.NoticeModel{Text: "The sound has broken off for a moment, 12345 times so far: this computer is busy"}},
	}
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", runs))
	r.resize(900, 600)
	r.press("Return")
	for _, view := range []struct {
		key    string
		notice func() fyne.CanvasObject
	}{
		{"F2", func() fyne.CanvasObject { return r.stand.Object() }},
		{"F3", func() fyne.CanvasObject { return r.root.line }},
	} {
		r.press(view.key)
		for _, tt := range tests {
			r.notify(noticeClosing, tt.notice)
			want, _, _ := strings.Cut(tt.notice.Text, "; what is on the disk")
			said := ""
			driver := fyne.CurrentApp().Driver()
			for _, o := range test.LaidOutObjects(view.notice()) {
				l, ok := o.(*canvas.Text)
				if !ok || l.Text == "" || !strings.Contains(tt.notice.Text, l.Text) {
					continue
				}
				said += l.Text + " "
				at := driver.AbsolutePositionForObject(l)
				if end := at.X + fyne.MeasureText(l.Text, l.TextSize, l.TextStyle).Width; end > 900 {
					t.Errorf("%s %s: %q ends at %v", view.key, tt.name, l.Text, end)
				}
			}
			if !strings.Contains(said, want) {
				t.Errorf("%s %s: of %q can be read only %q", view.key, tt.name, tt.notice.Text, said)
			}
		}
	}
}
