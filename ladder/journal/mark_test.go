package journal

import (
	"reflect"
	"testing"
	"time"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/march"
)

func TestMarks(t *testing.T) {
	p, at := Place{"a.yaml", "Run"}, time.Unix(1, 0)
	flick := ladder.NoteMark{Bar: 18, At: click.Frac(9, 4), Text: "flick"}
	low := ladder.NoteMark{Bar: 20, At: click.Whole(2), Text: "late", Finger: "low-A"}
	with := func(pencil string, marks ...ladder.NoteMark) ladder.Step {
		return march.Step(func(s *ladder.Step) { s.Pencil, s.Notes.Marks = pencil, marks })
	}
	for _, tt := range []struct {
		name          string
		before, after ladder.Step
		want          []Mark
	}{
		{"as it was", with("thumb", flick), with("thumb", flick), nil},
		{"written", with(""), with("thumb", low), []Mark{{p, at, "", "thumb"}, {p, at, "20:3", "late low-A"}}},
		{"rubbed out", with("thumb", flick), with(""), []Mark{{p, at, "", ""}, {p, at, "18:3+1/4", ""}}},
		{"another text on the note", with("", flick), with("", ladder.NoteMark{Bar: 18, At: click.Frac(9, 4), Text: "thumb"}), []Mark{{p, at, "18:3+1/4", "thumb"}}},
	} {
		if got := Marks(p, tt.before, tt.after, at); !reflect.DeepEqual(got, tt.want) {
			t.Errorf("%s: %+v, want %+v", tt.name, got, tt.want)
		}
	}
}
