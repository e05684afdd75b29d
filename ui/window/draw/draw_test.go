package draw

import (
	"fmt"
	"maps"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"

	"footing/ui/window/look"
)

// show lays a widget out at a size, scaled as a window of 900 by 600 is.
func show(t *testing.T, w interface {
	fyne.CanvasObject
	SetScale(float32)
}, width, height, scale float32) {
	t.Helper()
	w.SetScale(scale)
	win := test.NewTempWindow(t, w)
	win.SetPadded(false)
	win.Resize(fyne.NewSize(width, height))
}

func app(t *testing.T) {
	t.Helper()
	test.NewTempApp(t)
	test.ApplyTheme(t, look.New(look.ChooseDay))
}

func texts(s *scene) []*canvas.Text {
	var out []*canvas.Text
	for _, o := range s.objects {
		if t, ok := o.(*canvas.Text); ok {
			out = append(out, t)
		}
	}
	return out
}

func find(t *testing.T, s *scene, text string) *canvas.Text {
	t.Helper()
	var best *canvas.Text
	for _, o := range texts(s) {
		if o.Text == text && (best == nil || o.TextSize > best.TextSize) {
			best = o
		}
	}
	if best == nil {
		t.Fatalf("%q is not drawn", text)
	}
	return best
}

func overlap(a, b fyne.CanvasObject) bool {
	p, q := a.Position(), b.Position()
	return p.X < q.X+b.Size().Width && q.X < p.X+a.Size().Width && p.Y < q.Y+b.Size().Height && q.Y < p.Y+a.Size().Height
}

// At the smallest window: ISO 9241-3 asks for 16 minutes of arc at least, at
// 1.2 m a capital of 5.6 mm.
func TestWhatMattersIsReadableFromBehindTheStand(t *testing.T) {
	app(t)
	const scale = 0.75
	far := func(text *canvas.Text) {
		t.Helper()
		if got := float64(text.TextSize) * look.CapHeight; got < look.FarCap {
			t.Errorf("the capitals of %q are %.1f px high, want %.1f", text.Text, got, look.FarCap)
		}
	}
	v := NewVerdict(func(VerdictButton) {})
	v.Set(VerdictModel{Running: true, RoughKey: ArrowLeft, SkipKey: "K", StartKey: "space", CleanKey: ArrowRight})
	show(t, v, 900, 66, scale)
	for _, label := range []string{"Rough", "Skip", "Stop", "Clean"} {
		far(find(t, &v.sc, label))
	}

	tempo := NewTempo(func() {}, func(string, int) {})
	tempo.Set(TempoModel{Number: "66.667", Next: "70", Hint: "from the next count-in"})
	show(t, tempo, 607, 126, scale)
	far(find(t, &tempo.sc, "66.667"))
	far(find(t, &tempo.sc, "70"))
	inside(t, &tempo.sc, tempo.Size())

	lane := NewLane(func(int, int, int) {})
	m := loop(4, 4, "e")
	m.Now = 9
	lane.Set(m)
	show(t, lane, 600, 126, scale)
	far(find(t, &lane.sc, "e"))

	ladder := NewLadder(func(int) {})
	ladder.Set(LadderModel{Rungs: []string{"64", "68"}, Current: 0, Goal: 1, Footing: -1, Best: -1, Now: -1})
	show(t, ladder, 248, 470, scale)
	far(find(t, &ladder.sc, "64"))
}

// At the smallest window the line on the climb says what matters as large as that,
// or as large as there is room for, and nothing of it is cut.
func TestTheClimbIsReadFromBehindTheStand(t *testing.T) {
	app(t)
	for line, least := range map[string]float32{
		"1 clean in a row — 2 more climb to 68":                             look.FarSize,
		"2 clean in a row — 1 more climbs to 104":                           look.FarSize,
		"2 clean in a row — 1 more and this is the footing":                 0.75 * look.FarSize,
		"2 clean in a row — 1 more and the goal is reached":                 0.75 * look.FarSize,
		"1 rough — 1 more goes down to 64":                                  look.FarSize,
		"1 rough — 1 more proposes a smaller chunk":                         0.75 * look.FarSize,
		"3 clean in a row climb to 68":                                      0.75 * look.FarSize,
		"1 of 5 reps, then up to 68":                                        0.75 * look.FarSize,
		"the goal, 104, is reached":                                         0.75 * look.FarSize,
		"still rough at 64: cut the chunk?":                                 0.7 * look.FarSize,
		"77.5 by hand — 3 clean climb to 80":                                look.FarSize,
		"at the goal: 1 of 5 reps, then back to 68":                         20,
		"looking for the footing: 3 clean in a row, or one rough goes down": 20,
		"routine done": look.FarSize,
	} {
		w := NewStatus(func() {}, func() {})
		w.Set(line, Choice{Label: "next: Slow settling", Key: "N"}, Choice{Label: "back to Weir Street run", Key: "V"})
		show(t, w, 367, 79.5, 0.75)
		inside(t, &w.sc, w.Size())
		largest := float32(0)
		for i, o := range texts(&w.sc) {
			if strings.HasSuffix(o.Text, "…") {
				t.Errorf("%q is cut to %q", line, o.Text)
			}
			if o.Position().Y+baseline(o) > w.Size().Height {
				t.Errorf("of %q %q stands too low", line, o.Text)
			}
			for _, other := range texts(&w.sc)[:i] {
				if a, b := inked(o), inked(other); a[0] < b[1] && b[0] < a[1] && o.Position().X < other.Position().X+other.Size().Width && other.Position().X < o.Position().X+o.Size().Width {
					t.Errorf("of %q %q and %q touch", line, o.Text, other.Text)
				}
			}
			largest = max(largest, o.TextSize)
		}
		if largest < least {
			t.Errorf("%q is at most %.1f large, want %.1f", line, largest, least)
		}
	}
}

// A note that has no room is cut with a sign, also where it has lines of its own,
// and every line lies within the box.
func TestANoteIsWholeOrMarkedAsCut(t *testing.T) {
	app(t)
	for _, note := range []string{
		"short", "whisper key off before the high A", strings.Repeat("whisper key off before the high A, ", 3), strings.Repeat("no hurry ", 200),
		"one\ntwo", "one\ntwo\nthree\nfour", "one\ntwo\nthree\nfour\nfive\nsix", strings.Repeat("x", 2000),
	} {
		for _, k := range []float32{0.75, 1, 2} {
			w := NewPencil(func() {})
			w.Set(note, "W")
			size := fyne.NewSize(300*k, 92*k)
			show(t, w, size.Width, size.Height, k)
			inside(t, &w.sc, size)
			var shown []string
			for _, o := range texts(&w.sc) {
				if o.Text == "W" {
					continue
				}
				shown = append(shown, o.Text)
				if base := o.Position().Y + baseline(o); base > size.Height-2 || base-o.TextSize*look.CapHeight < 2 {
					t.Errorf("%.20q at %.2f: %q stands at %.0f of %.0f", note, k, o.Text, base, size.Height)
				}
			}
			whole := strings.Join(strings.Fields(note), " ") == strings.Join(strings.Fields(strings.Join(shown, " ")), " ")
			if cut := strings.HasSuffix(shown[len(shown)-1], "…"); cut == whole {
				t.Errorf("%.20q at %.2f: whole %v, marked as cut %v: %q", note, k, whole, cut, shown)
			}
		}
	}
}

// inked is from where to where a text has ink, from the top of its capitals down
// to its base line.
func inked(o *canvas.Text) [2]float32 {
	base := o.Position().Y + baseline(o)
	return [2]float32{base - o.TextSize*look.CapHeight, base}
}

// loop is a lane of a chunk of so many beats and slots.
func loop(beats, slots int, syllable string) LaneModel {
	s := Section{Kind: SectionChunk, Label: "rep 1 of 5", Beats: float64(beats)}
	for b := range beats {
		for i := range slots {
			word := syllable
			if i == 0 {
				word = fmt.Sprint(b%4 + 1)
			}
			s.Strokes = append(s.Strokes, Stroke{At: float64(b) + float64(i)/float64(slots), Level: 2, Syllable: word, Beat: i == 0, Editable: true})
		}
	}
	return LaneModel{Sections: []Section{s}, Now: -1, Active: 0}
}

func TestManyRungsStayLegible(t *testing.T) {
	app(t)
	for _, n := range []int{1, 2, 11, 18, 40, 120} {
		for _, current := range []int{0, n / 2, n - 1} {
			m := LadderModel{Current: current, Goal: n - 1, Footing: 0, Best: -1, Now: 1, Reps: make([]Mark, 5)}
			for i := range n {
				m.Rungs = append(m.Rungs, fmt.Sprint(40+i))
			}
			l := NewLadder(func(int) {})
			l.Set(m)
			show(t, l, 248, 470, 0.75)
			shown := map[int]bool{}
			y := float32(0)
			for _, r := range l.rows {
				if r.height < 26.9 {
					t.Errorf("%d rungs: a row is %.1f px high", n, r.height)
				}
				if r.top < y-0.1 || r.top+r.height > 470 {
					t.Errorf("%d rungs: a row at %.1f overlaps or leaves the ladder", n, r.top)
				}
				y = r.top + r.height
				shown[r.rung] = true
			}
			for what, rung := range map[string]int{"goal": n - 1, "footing": 0, "current rung": current} {
				if !shown[rung] {
					t.Errorf("%d rungs, at %d: the %s is not shown", n, current, what)
				}
			}
		}
	}
}

func TestADenseLaneStaysLegible(t *testing.T) {
	app(t)
	for _, tt := range []struct{ beats, slots int }{{1, 1}, {2, 12}, {16, 4}, {16, 12}, {64, 12}, {256, 3}} {
		for _, now := range []int{-1, 0, tt.beats * tt.slots / 2, tt.beats*tt.slots - 1} {
			m := loop(tt.beats, tt.slots, "ta")
			m.Now = now
			l := NewLane(func(int, int, int) {})
			l.Set(m)
			show(t, l, 600, 126, 0.75)
			for i := 1; i < len(l.hits); i++ {
				if d := l.hits[i].x - l.hits[i-1].x; d < leastGap-0.1 {
					t.Fatalf("%d×%d: strokes are %.1f px apart", tt.beats, tt.slots, d)
				}
			}
			var words []*canvas.Text
			for _, w := range texts(&l.sc) {
				if w.Text == "ta" || strings.Trim(w.Text, "0123456789") == "" {
					words = append(words, w)
				}
			}
			if now >= 0 {
				lit := words[len(words)-1] // it lies over its own, and cuts into no other
				words = words[:len(words)-1]
				for _, w := range words {
					same := w.Text == lit.Text && abs(w.Position().X+w.Size().Width/2-lit.Position().X-lit.Size().Width/2) < 1
					if overlap(w, lit) && !same {
						t.Fatalf("%d×%d: the lit %q covers a part of %q", tt.beats, tt.slots, lit.Text, w.Text)
					}
				}
				found := false
				for _, h := range l.hits {
					found = found || h.stroke == now
				}
				if !found {
					t.Errorf("%d×%d: the stroke %d that is heard is on another page", tt.beats, tt.slots, now)
				}
			}
			for i := range words {
				for j := range i {
					if overlap(words[i], words[j]) {
						t.Fatalf("%d×%d: %q and %q overlap", tt.beats, tt.slots, words[i].Text, words[j].Text)
					}
				}
			}
		}
	}
}

// The light moves at every slot: it may touch no more than the leaves that it
// is made of.
func TestMovingTheLightTouchesOnlyTheLight(t *testing.T) {
	app(t)
	l := NewLane(func(int, int, int) {})
	m := loop(4, 4, "e")
	m.Now = 5
	l.Set(m)
	show(t, l, 800, 170, 1)
	type leaf struct {
		o    fyne.CanvasObject
		pos  fyne.Position
		size fyne.Size
		text string
	}
	see := func() []leaf {
		var out []leaf
		for _, o := range l.sc.objects {
			one := leaf{o, o.Position(), o.Size(), ""}
			if text, ok := o.(*canvas.Text); ok {
				one.text = text.Text
			}
			out = append(out, one)
		}
		return out
	}
	before := see()
	m.Now = 6
	l.Set(m)
	after := see()
	if len(before) != len(after) {
		t.Fatalf("%d leaves became %d", len(before), len(after))
	}
	changed := 0
	for i := range before {
		if before[i] != after[i] {
			changed++
		}
	}
	if changed == 0 || changed > 4 {
		t.Errorf("%d leaves changed, want the light's column, foot, stroke and syllable", changed)
	}
	if l.sc.draw(func(s *scene) { l.paint(s, l.Size(), look.Current()) }) {
		t.Error("the same picture drawn again counts as changed")
	}
}

func TestNothingIsDrawnOverTheEdge(t *testing.T) {
	app(t)
	long := strings.Repeat("a very long name ", 12)
	for _, scale := range []float32{0.75, 1, 2} {
		size := fyne.NewSize(1200*scale, 64*scale)
		h := NewHeader(func(string) {})
		h.Set(long, long, "499 of 500", []Tab{{ID: "a", Label: "Stand", Key: "F2", Active: true}, {ID: "b", Label: "Routines", Key: "F3"}})
		show(t, h, size.Width, size.Height, scale)
		inside(t, &h.sc, size)
		find(t, &h.sc, "499 of 500")

		n := NewNotice(func(string) {})
		n.Set(NoticeModel{Text: long, Warm: true, Choices: []Choice{{"a", "keep both", "F6"}, {"b", "take theirs", "F7"}}})
		size = fyne.NewSize(800*scale, 28*scale)
		show(t, n, size.Width, size.Height, scale)
		inside(t, &n.sc, size)

		k := NewKnobs(func(string, int) {})
		k.Set([]Knob{{Label: "slots", Value: "12", Key: "S"}, {Label: "pulse", Value: "doubled", Key: "P"}, {Label: "count", Value: "takadimi", Key: "C"},
			{Label: "count-in", Value: "32", Key: "I"}, {Label: "landing", Value: "off", Key: "L"}, {Label: "breath", Value: "32", Key: "B"},
			{Label: "reps", Value: "99", Key: "R"}, {Label: "sound", Value: "porcelain", Key: "O"}, {Label: "level", Value: "100 %", Key: "- ="}})
		size = fyne.NewSize(808*scale, 54*scale)
		show(t, k, size.Width, size.Height, scale)
		inside(t, &k.sc, size)
		for _, w := range texts(&k.sc) {
			if strings.HasSuffix(w.Text, "…") {
				t.Errorf("at scale %.2f %q is cut", scale, w.Text)
			}
		}
	}
}

// Which step it is stays, and the rest is cut.
func TestTheHeaderKeepsItsCount(t *testing.T) {
	app(t)
	for _, title := range []string{"Run", "Weir Street run, bars 17 to 19", strings.Repeat("The run of the second strain, ", 4)} {
		for _, sub := range []string{"Weir Street March, bars 17–20", strings.Repeat("Weir Street March, ", 6), ""} {
			for _, size := range []fyne.Size{{Width: 900, Height: 48}, {Width: 1200, Height: 64}} {
				h := NewHeader(func(string) {})
				h.Set(title, sub, "2 of 3", []Tab{{Label: "Stand", Key: "F2", Active: true}, {Label: "Routines", Key: "F3"}, {Label: "Help", Key: "F1"}})
				show(t, h, size.Width, size.Height, size.Height/64)
				inside(t, &h.sc, size)
				all := texts(&h.sc)
				if count := all[len(all)-1]; !strings.HasSuffix(count.Text, "2 of 3") {
					t.Errorf("at %v %q, %q ends on %q", size, title, sub, count.Text)
				}
				for i, a := range all {
					for _, b := range all[:i] {
						if overlap(a, b) {
							t.Errorf("at %v %q lies over %q", size, a.Text, b.Text)
						}
					}
				}
			}
		}
	}
}

func inside(t *testing.T, s *scene, size fyne.Size) {
	t.Helper()
	for _, o := range texts(s) {
		if o.Position().X < -0.5 || o.Position().X+o.Size().Width > size.Width+0.5 {
			t.Errorf("%q reaches from %.0f to %.0f of %.0f", o.Text, o.Position().X, o.Position().X+o.Size().Width, size.Width)
		}
	}
}

func TestWrapAndFit(t *testing.T) {
	app(t)
	w := textWidth("one two", look.Regular, 20)
	if got := wrap("one two three", w+1, 2, look.Regular, 20); len(got) != 2 || got[0] != "one two" || got[1] != "three" {
		t.Errorf("wrapped to %q", got)
	}
	if got := wrap("one two three four five six", w+1, 2, look.Regular, 20); len(got) != 2 || !strings.HasSuffix(got[1], "…") {
		t.Errorf("what does not fit is cut to %q", got)
	}
	for text, want := range map[string]string{
		"one\ntwo\nthree": "one|two|three", "one\ntwo\nthree\nfour": "one|two|three …", "one two\nthree": "one two|three",
		"one two three\nfour": "one two|three|four", "": "", "one\n\ntwo": "one||two", "one two three\n": "one two|three",
	} {
		if got := strings.Join(wrap(text, w+1, 3, look.Regular, 20), "|"); got != want {
			t.Errorf("%q is wrapped to %q, want %q", text, got, want)
		}
	}
	if got := fit("abcdefgh", 1, look.Regular, 20); got != "…" {
		t.Errorf("no room leaves %q", got)
	}
}

func TestLabelsOfTheLaneStayApart(t *testing.T) {
	app(t)
	for _, around := range []float64{1, 8, 32} {
		l := NewLane(func(int, int, int) {})
		part := func(k SectionKind, label, short string, from, beats float64) Section {
			s := Section{Kind: k, Label: label, Short: short, Beats: beats}
			for i := range int(beats) {
				s.Strokes = append(s.Strokes, Stroke{At: from + float64(i), Level: 2, Beat: true})
			}
			return s
		}
		l.Set(LaneModel{Now: -1, Active: -1, Sections: []Section{
			part(SectionCountIn, "count-in", "", 0, around), part(SectionChunk, "rep 10 of 40", "10 of 40", around, 1),
			part(SectionLanding, "landing", "", around+1, 1), part(SectionBreath, "breath", "", around+2, around),
		}})
		show(t, l, 600, 126, 0.75)
		all := texts(&l.sc)
		for i := range all {
			for j := range i {
				if overlap(all[i], all[j]) {
					t.Errorf("%v beats around: %q and %q overlap", around, all[i].Text, all[j].Text)
				}
			}
		}
		if len(all) == 0 || !strings.HasSuffix(all[min(1, len(all)-1)].Text, "10 of 40") {
			t.Errorf("%v beats around: the rep is not told", around)
		}
	}
}

func TestNoteheadsStayClearOfWords(t *testing.T) {
	app(t)
	for _, n := range []int{2, 11, 40} {
		for _, reps := range []int{1, 6, 12, 24, 99} {
			m := LadderModel{Current: n / 2, ByHand: true, Goal: 0, Footing: -1, Best: -1, Now: reps - 1, Reps: make([]Mark, reps)}
			for i := range n {
				m.Rungs = append(m.Rungs, fmt.Sprint(40+i))
			}
			l := NewLadder(func(int) {})
			l.Set(m)
			show(t, l, 248, 470, 0.75)
			words := find(t, &l.sc, "by hand")
			top := words.Position().Y + words.Size().Height/2 - words.TextSize*look.CapHeight/2
			for _, o := range texts(&l.sc) {
				if o.FontSource != look.Notes.Resource() {
					continue
				}
				space := o.TextSize / 4
				base := o.Position().Y + baseline(o)
				if base+space/2 > top {
					t.Errorf("%d rungs, %d reps: a notehead reaches down to %.1f, the words begin at %.1f", n, reps, base+space/2, top)
				}
			}
		}
	}
}

// baseline is how far under its top a text stands.
func baseline(o *canvas.Text) float32 {
	_, base := fyne.CurrentApp().Driver().RenderedTextSize(o.Text, o.TextSize, o.TextStyle, o.FontSource)
	return base
}

func TestBeatsStayClearOfBarNumbers(t *testing.T) {
	app(t)
	for _, scale := range []float32{0.75, 1, 2} {
		w := NewPassage(func(int, int) {})
		var bars []Bar
		for n := 117; n < 125; n++ {
			bars = append(bars, Bar{fmt.Sprint(n), 4})
		}
		w.Set(PassageModel{Title: "Passage", Bars: bars, Grain: 1, Start: 5, End: 7,
			ByName: "beat", Label: func(int, int) string { return "chunk" }})
		show(t, w, 600*scale/0.75, 78*scale, scale)
		for _, bar := range bars {
			name := bar.Number
			number := find(t, &w.sc, name)
			top := number.Position().Y + baseline(number) - number.TextSize*look.CapHeight
			for _, o := range w.sc.objects {
				r, ok := o.(*canvas.Rectangle)
				x := o.Position().X
				if ok && r.Size().Width < 4 && x > number.Position().X && x < number.Position().X+number.Size().Width && r.Position().Y+r.Size().Height > top {
					t.Errorf("at scale %.2f a stroke runs through %s", scale, name)
				}
			}
		}
	}
}

// Bar lines and numbers stand where the bars begin, whatever their lengths, and a
// pickup stands before the first without a number.
func TestBarLinesFollowTheMeters(t *testing.T) {
	app(t)
	w := NewPassage(func(int, int) {})
	w.Set(PassageModel{Title: "Passage", Grain: 2, Pickup: 3, Start: 4, End: 8, ByName: "beat", Label: func(int, int) string { return "chunk" },
		Bars: []Bar{{"17", 4}, {"18", 3}, {"19", 5}}})
	show(t, w, 900, 78, 1)
	x := func(beat float32) float32 { return 2 + (900-4)*(beat+1.5)/13.5 }
	lines, beats := map[float32]bool{}, map[float32]bool{}
	for _, o := range w.sc.objects {
		r, ok := o.(*canvas.Rectangle)
		if !ok || r.Size().Width > 4 {
			continue
		}
		for beat := float32(-1.5); beat <= 12; beat += 0.5 {
			if middle := r.Position().X + r.Size().Width/2; middle > x(beat)-0.1 && middle < x(beat)+0.1 {
				if r.Size().Height > 20 {
					lines[beat] = true
				} else {
					beats[beat] = true
				}
			}
		}
	}
	if want := (map[float32]bool{0: true, 4: true, 7: true, 12: true}); !maps.Equal(lines, want) {
		t.Errorf("bar lines at %v, want %v", lines, want)
	}
	if want := (map[float32]bool{-1: true, 1: true, 2: true, 3: true, 5: true, 6: true, 8: true, 9: true, 10: true, 11: true}); !maps.Equal(beats, want) {
		t.Errorf("beats at %v, want %v", beats, want)
	}
	for number, beat := range map[string]float32{"17": 0, "18": 4, "19": 7} {
		if d := find(t, &w.sc, number).Position().X - x(beat); d < 0 || d > 10 {
			t.Errorf("%s stands %.0f px from its line", number, d)
		}
	}
}

// What answers to the pointer is what was drawn last, the first drawn on top.
func TestPartsOfAPictureAnswer(t *testing.T) {
	var s scene
	s.draw(func(s *scene) {
		s.hit("small", 10, 10, 10, 10)
		s.hit(7, 0, 0, 40, 40)
	})
	for pos, want := range map[fyne.Position]any{
		{X: 10, Y: 10}: "small", {X: 19.9, Y: 19.9}: "small", {X: 20, Y: 15}: 7, {X: 15, Y: 20}: 7, {X: 9.9, Y: 15}: 7,
		{X: 40, Y: 5}: nil, {X: 5, Y: 40}: nil, {X: -1, Y: 5}: nil, {X: 5, Y: -1}: nil,
	} {
		if got := s.at(pos); got != want {
			t.Errorf("%v answers at %v, want %v", got, pos, want)
		}
	}
	if got := s.middle("small"); got != (fyne.Position{X: 15, Y: 15}) {
		t.Errorf("the middle is %v", got)
	}
	s.draw(func(*scene) {})
	if got := s.at(fyne.Position{X: 15, Y: 15}); got != nil {
		t.Errorf("%v answers where nothing is drawn any more", got)
	}
}
