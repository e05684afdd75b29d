package draw

import (
	"fyne.io/fyne/v2"

	"footing/ui/window/look"
)

// span is what the lane shows: beats from, to, and pixels a beat.
type span struct{ from, to, scale float64 }

// stretch is a run of beats on the lane: from lies at x.
type stretch struct {
	from, to float64
	x, beat  float64
}

func (t stretch) at(beat float64) float32 { return float32(t.x + (beat-t.from)*t.beat) }

// stretches are what the lane shows, from left to right, and of how many pages:
// without notes all of it, or the page on which the heard stroke lies.
func (l *Lane) stretches(size fyne.Size, notes *staff) ([]stretch, int) {
	edge := l.px(laneEdge)
	if notes != nil {
		l.gap = float32(l.closest() * float64(notes.beat))
		return l.turned(notes)
	}
	v, pages := l.view(float64(size.Width - 2*edge))
	if v.to <= v.from {
		return nil, 0
	}
	return []stretch{{v.from, v.to, float64(edge), v.scale}}, pages
}

// view is the part of the lane that is shown: all of it, or the page on which
// the heard stroke lies.
func (l *Lane) view(width float64) (v span, pages int) {
	total, gap := l.total(), l.closest()
	defer func() { l.gap = float32(gap * v.scale) }()
	now := l.strokeAt(l.model.Now)
	if total == 0 {
		return span{}, 0
	}
	if width*gap/total >= leastGap {
		return span{0, total, width / total}, 1
	}
	beats := max(float64(int(width*gap/leastGap)), 1)
	pages = int((total + beats - 1e-9) / beats)
	if float64(pages)*beats < total {
		pages++
	}
	if now >= 0 {
		l.page = int(now / beats)
	}
	l.page = min(max(l.page, 0), pages-1)
	from := float64(l.page) * beats
	return span{from, min(from+beats, total), width / beats}, pages
}

// total is how long the lane is, in beats.
func (l *Lane) total() (beats float64) {
	for _, sec := range l.model.Sections {
		beats += sec.Beats
	}
	return beats
}

// closest is the least time between two strokes, a beat where there are none.
func (l *Lane) closest() float64 {
	gap, last := 0.0, -1.0
	for _, sec := range l.model.Sections {
		for _, st := range sec.Strokes {
			if d := st.At - last; last >= 0 && d > 0 && (gap == 0 || d < gap) {
				gap = d
			}
			last = st.At
		}
	}
	if gap == 0 {
		return 1
	}
	return gap
}

// strokeAt is where a stroke lies that is counted over all sections, −1 for none.
func (l *Lane) strokeAt(index int) float64 {
	for _, sec := range l.model.Sections {
		if index >= 0 && index < len(sec.Strokes) {
			return sec.Strokes[index].At
		}
		index -= len(sec.Strokes)
	}
	return -1
}

// pages shows which page of a long lane this is.
func (l *Lane) pages(s *scene, p *look.Palette, size fyne.Size, pages int) {
	d := max(l.px(7), 5)
	x := size.Width - l.px(16) - float32(min(pages, 24))*d*1.7
	for i := range min(pages, 24) {
		c := p.Rung
		if i == l.page {
			c = p.Accent
		}
		s.box(box{x: x + float32(i)*d*1.7, y: l.px(16), w: d, h: d, fill: c, radius: d / 2})
	}
}
