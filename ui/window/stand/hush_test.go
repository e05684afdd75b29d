package stand

import (
	"slices"
	"strings"
	"testing"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/hush"
	"footing/ui/window/draw"
)

func TestAKeyHushes(t *testing.T) {
	r := newRig(t)
	for _, want := range []string{"half notes", "downbeats", "every other bar", "every 4th bar", "30% of bars", "thinning", "nothing", "half notes"} {
		r.keys("'")
		if got := r.state().Step().Hush.String(); got != want {
			t.Errorf("the key hushes %s, want %s", got, want)
		}
	}
	// The picture stays seen where it was, while anything is hushed.
	r.session.Change(func(s ladder.Step) ladder.Step { s.Hush, _ = hush.Parse("beats, seen"); return s })
	r.keys("'")
	if got := r.state().Step().Hush.String(); got != "half notes, seen" {
		t.Errorf("it hushes %s", got)
	}
}

// What is hushed is dark in the lane and moves no light, unless it is seen.
func TestAHushedLane(t *testing.T) {
	for _, tt := range []struct {
		hush   string
		levels string
		lit    bool
	}{{"downbeats", "........", false}, {"downbeats, seen", "x..x....", true}} {
		r := newRig(t)
		r.session.Change(func(s ladder.Step) ladder.Step {
			s.Pulse = click.OnBeat
			s.Accents = click.Accents{{click.Forte, click.Silent, click.Silent, click.Forte}, {click.Silent, click.Silent, click.Silent, click.Silent}}[:1]
			s.Hush, _ = hush.Parse(tt.hush)
			return s
		})
		r.keys("Space")
		r.play(2 + 0.3)
		m, _ := lane(r.session.View())
		var levels strings.Builder
		for _, sec := range m.Sections {
			if sec.Kind != draw.SectionChunk {
				continue
			}
			for _, s := range sec.Strokes {
				if s.Level > 0 {
					levels.WriteByte('x')
				} else {
					levels.WriteByte('.')
				}
				if (s.Syllable != "") != tt.lit {
					t.Errorf("%s: a stroke is counted %q", tt.hush, s.Syllable)
				}
			}
		}
		want := tt.levels
		if tt.lit {
			want = "x..xx..x"
		}
		if levels.String() != want || (m.Now >= 0) != tt.lit {
			t.Errorf("%s: the lane shows %s, and stroke %d is lit", tt.hush, levels.String(), m.Now)
		}
	}
}

func TestAKeySpeaks(t *testing.T) {
	r := newRig(t)
	r.session.Change(func(s ladder.Step) ladder.Step { s.Count = click.CountNone; return s })
	r.keys(";")
	if s := r.state().Step(); !s.Speak || s.Count != click.CountNumber {
		t.Errorf("it speaks: %v, and counts %v", s.Speak, s.Count)
	}
	r.session.Change(func(s ladder.Step) ladder.Step { s.Count = click.CountGordon; return s })
	r.keys(";", ";")
	if s := r.state().Step(); !s.Speak || s.Count != click.CountGordon {
		t.Errorf("it speaks: %v, and counts %v", s.Speak, s.Count)
	}
}

// The count alone is that of the stroke that is heard, in its beat; it comes and goes
// by its key, by Escape and by a tap.
func TestTheCountFromFar(t *testing.T) {
	r := newRig(t)
	if r.p.far.Visible() || r.Key("Escape", false) {
		t.Fatal("it is there from the start")
	}
	r.keys("/")
	if !r.p.far.Visible() {
		t.Fatal("the key does not show it")
	}
	if m := farModel(r.session.View(), "/", false); m.Word != "" || m.Tempo != "64" || m.Key == "" {
		t.Errorf("in silence it is %+v", m)
	}
	r.keys("Space")
	r.play(0.8)
	if m := farModel(r.session.View(), "/", false); m.Word != "a" || strings.Join(m.Beat, " ") != "4 e & a" || m.Now != 3 || m.Kind != draw.SectionCountIn {
		t.Errorf("in the count-in it is %+v", m)
	}
	r.play(2)
	if m := farModel(r.session.View(), "/", false); m.Word != "a" || strings.Join(m.Beat, " ") != "2 e & a" || m.Kind != draw.SectionChunk || m.Where != "rep 1 · bar 18" {
		t.Errorf("in the rep it is %+v", m)
	}
	if m := farModel(r.session.View(), "/", true); m.Word != "2" || m.Now != 0 {
		t.Errorf("without animations it is %+v", m)
	}
	r.play(1.4)
	if m := farModel(r.session.View(), "/", false); m.Word != "4" || m.Kind != draw.SectionLanding || m.Key != "" {
		t.Errorf("in the landing it is %+v", m)
	}
	r.session.Change(func(s ladder.Step) ladder.Step { s.Count = click.CountNone; return s })
	if m := farModel(r.session.View(), "/", false); m.Word != "4" {
		t.Errorf("without syllables it is %+v", m)
	}
	v := r.session.View()
	hushed := *v.Now.Phrase
	hushed.Strokes = slices.Clone(hushed.Strokes)
	for i := range hushed.Strokes {
		hushed.Strokes[i].Hushed, hushed.Strokes[i].Meant, hushed.Strokes[i].Syllable = true, click.Silent, ""
	}
	v.Now.Phrase = &hushed
	if m := farModel(v, "/", false); m.Word != "" || m.Key != "" {
		t.Errorf("while the click runs, hushed, it is %+v", m)
	}
	r.keys("Escape")
	if r.p.far.Visible() {
		t.Error("Escape leaves it there")
	}
	r.keys("/")
	r.p.far.Tapped(nil)
	if r.p.far.Visible() {
		t.Error("a tap leaves it there")
	}
}
