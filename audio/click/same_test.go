package click

import (
	"reflect"
	"testing"
)

// A loop is the same as its copy, and another once any field differs.
func TestSame(t *testing.T) {
	full := func() Loop {
		m, err := NewMeasures(1, 9, Whole(1), Unit{1, 4}, MakeMeter(4, 4), MeterChange{5, MakeMeter(3, 4)})
		if err != nil {
			t.Fatal(err)
		}
		return Loop{
			Measures: m, Slots: Swing(2, 1), Accents: Accents{{Forte, Piano}, {Silent, Piano}}, Pulse: Doubled, Count: CountNumber,
			Chunk: Chunk{Bar: 2, At: Whole(1), Length: Whole(2), Landing: true},
			Path:  Path{Lead: Frac(1, 2), Cells: []Cell{{Slot: 1, Length: Whole(1)}}}, CountIn: 2, Breath: 3,
		}
	}
	if a := full(); !a.Same(full()) || !(Loop{}).Same(Loop{}) {
		t.Error("a copy differs")
	}
	loop := full()
	fields := reflect.ValueOf(&loop).Elem()
	for i := range fields.NumField() {
		loop = full()
		fields.Field(i).SetZero()
		if a := full(); a.Same(loop) || loop.Same(a) {
			t.Errorf("without %s it is the same", fields.Type().Field(i).Name)
		}
	}
	for name, change := range map[string]func(*Loop){
		"a mark":      func(l *Loop) { l.Accents[1][0] = Forte },
		"a cell":      func(l *Loop) { l.Path.Cells[0].Accent = true },
		"the lead":    func(l *Loop) { l.Path.Lead = Beats{} },
		"a meter":     func(l *Loop) { l.Measures.runs[1].bar.Beats = 2 },
		"the last":    func(l *Loop) { l.Measures.to = 8 },
		"the first":   func(l *Loop) { l.Measures.from = 2 },
		"the pickup":  func(l *Loop) { l.Measures.pickup = Beats{} },
		"the landing": func(l *Loop) { l.Chunk.Landing = false },
	} {
		loop = full()
		if change(&loop); loop.Same(full()) {
			t.Errorf("with %s changed it is the same", name)
		}
	}
}

// Bars of one shape have the same beats, each with the number of its own bar, and a bar
// of another shape has others.
func TestBeatsOfAllBars(t *testing.T) {
	m, err := NewMeasures(1, 9, Beats{}, Unit{1, 4}, MakeMeter(3, 4), MeterChange{3, MakeMeter(2, 4)})
	if err != nil {
		t.Fatal(err)
	}
	l := Loop{Measures: m, Slots: EvenSlots(2), Count: CountNumber, Chunk: Chunk{Bar: 1, Length: Whole(10)}}
	want := "f p mf p mf p f p mf p mf p f p mf p f p mf p"
	counted := "1 & 2 & 3 & 1 & 2 & 3 & 1 & 2 & 1 & 2 &"
	var marks []Dynamics
	words := ""
	for i, s := range l.RepPhrase(BPM(60)).Strokes {
		marks = append(marks, s.Dynamics)
		words += " " + s.Syllable
		bar, at := m.Where(Whole(i / 2))
		if s.Bar != bar || s.Beat != at.Floor() || s.At != Frac(int64(i), 2) || s.Slot != i%2 {
			t.Errorf("stroke %d is %+v, want it in bar %d on beat %v", i, s, bar, at)
		}
	}
	if got := FormatMarks(marks); got != want || words != " "+counted {
		t.Errorf("%s, counted%s", got, words)
	}
}
