package draw

import (
	"fmt"
	"slices"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
)

// whole is a lane of count-in, chunk, landing and breath, counted in so many
// slots a beat by the words; the landing is its own section.
func whole(beats, breath int, words ...string) LaneModel {
	m := LaneModel{Now: -1, Active: -1}
	at := 0
	add := func(kind SectionKind, label, short string, n int, voiced func(beat, slot int) bool) {
		s := Section{Kind: kind, Label: label, Short: short, Beats: float64(n)}
		for b := range n {
			for i := range words {
				st := Stroke{At: float64(at+b) + float64(i)/float64(len(words)), Level: 2, Beat: i == 0}
				if voiced(b, i) {
					if st.Syllable = words[i]; i == 0 {
						st.Syllable = fmt.Sprint((at+b)%4 + 1)
					}
				}
				s.Strokes = append(s.Strokes, st)
			}
		}
		at += n
		m.Sections = append(m.Sections, s)
	}
	all := func(int, int) bool { return true }
	first := func(_, slot int) bool { return slot == 0 }
	add(SectionCountIn, "count-in", "", 2, all)
	add(SectionChunk, "rep 1 of 5", "1 of 5", beats, all)
	add(SectionLanding, "landing", "", 1, first)
	add(SectionBreath, "breath", "", breath, first)
	return m
}

// The light rests on the landing for a whole beat, and all that is counted can
// be read meanwhile.
func TestTheLightOnTheLandingHidesNoSyllable(t *testing.T) {
	app(t)
	for _, words := range [][]string{{"1", "&"}, {"1", "e", "&", "a"}, {"1", "la", "li"}, {"ta", "ka", "di", "mi"}, {"Du", "ta", "de", "ta"}} {
		for _, size := range []fyne.Size{{Width: 607, Height: 129}, {Width: 810, Height: 190}, {Width: 1200, Height: 300}} {
			for beats := 1; beats <= 12; beats++ {
				l := NewLane(func(int, int, int) {})
				m := whole(beats, 2, words...)
				l.Set(m)
				show(t, l, size.Width, size.Height, size.Width/810)
				before := syllables(l)
				m.Now, m.Active = (2+beats)*len(words), 2
				l.Set(m)
				after := syllables(l)
				lit := after[len(after)-1]
				if len(after) != len(before)+1 {
					t.Errorf("%v, %d beats of %v: %d syllables of %d", size, beats, words, len(after)-1, len(before))
				}
				for _, o := range after[:len(after)-1] {
					if o.Text != lit.Text && overlap(o, lit) {
						t.Errorf("%v, %d beats of %v: %q lies over %q", size, beats, words, lit.Text, o.Text)
					}
				}
			}
		}
	}
}

// However long the chunk, the landing is named, beside the other labels.
func TestTheLandingIsNamed(t *testing.T) {
	app(t)
	for _, size := range []fyne.Size{{Width: 607, Height: 129}, {Width: 810, Height: 190}, {Width: 1200, Height: 300}} {
		for _, breath := range []int{0, 1, 2, 4} {
			for beats := 1; beats <= 16; beats++ {
				l := NewLane(func(int, int, int) {})
				m := whole(beats, breath, "1", "&")
				if breath == 0 {
					m.Sections = m.Sections[:3]
				}
				l.Set(m)
				show(t, l, size.Width, size.Height, size.Width/810)
				inside(t, &l.sc, size)
				find(t, &l.sc, "landing")
				if breath > 2 {
					find(t, &l.sc, "breath")
				}
				all := texts(&l.sc)
				for i, a := range all {
					for _, b := range all[:i] {
						if overlap(a, b) {
							t.Errorf("%v, %d beats, breath %d: %q lies over %q", size, beats, breath, a.Text, b.Text)
						}
					}
				}
			}
		}
	}
}

// syllables are the words under the strokes.
func syllables(l *Lane) []*canvas.Text {
	return slices.DeleteFunc(texts(&l.sc), func(o *canvas.Text) bool { return o.Position().Y < l.Size().Height/2 })
}
