package routines

import (
	"image/color"
	"reflect"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2/test"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/routine"
	"footing/ui/window/look"
)

func TestFieldsHoldEverythingAStepHolds(t *testing.T) {
	full := ladder.DefaultStep()
	full.Name = "Run: the \"hard\" one #2"
	full.Passage = ladder.Passage{Piece: "Weir Street March", From: 17, To: 20}
	full.Tempo = ladder.Range{Below: 10, Goal: 76500, By: ladder.StepSize{Kind: ladder.ByMarks}}
	full.Slots = click.EvenSlots(2)
	full.Accents = click.Accents{{click.Forte, click.Piano}, {click.Silent, click.Pianissimo}, {click.Piano, click.Piano}, {click.MezzoForte, click.Silent}}
	full.Pulse, full.Count = click.Doubled, click.CountTakadimi
	full.Chunk = ladder.Chunk{Bar: 18, At: click.Frac(3, 2), Length: click.Frac(5, 2)}
	full.CountIn, full.Breath, full.Reps = 0, 4, 7
	full.Rule = ladder.Rule{Kind: ladder.TwoUpOneDown, Clean: 4, Rough: 1}
	full.Pencil = "whisper key off - before the high A"

	compound := ladder.DefaultStep()
	compound.Name = "Six eight"
	meter, err := click.ParseMeter("6/8")
	if err != nil {
		t.Fatal(err)
	}
	compound.Meter, compound.Unit = meter, meter.Unit()
	compound.Slots = click.Swing(3, 2)
	compound.Chunk.Length = click.Whole(2)

	plain := ladder.DefaultStep()
	plain.Name = "Plain"

	for _, s := range []ladder.Step{full, compound, plain} {
		got, bad := parse(routine.Texts(s))
		if bad != nil {
			t.Errorf("%s: %s: %s", s.Name, bad.field, bad.text)
			continue
		}
		if !reflect.DeepEqual(got, s) {
			t.Errorf("%s came back as\n%+v\nwant\n%+v", s.Name, got, s)
		}
	}
}

func TestAFaultNamesItsField(t *testing.T) {
	for _, tt := range []struct{ field, value, says string }{
		{"tempo step", "4 bmp", "4 bpm"},
		{"tempo goal", "40", "start"},
		{"passage bars", "20-17", "17-20"},
		{"chunk start", "30:1", ""},
		{"dynamics", "f p / f", ""},
		{"slots", "13", "12"},
		{"meter", "4", ""},
		{"name", "", ""},
		{"reps", "many", ""},
		{"count-in", "-1", ""},
	} {
		s := ladder.DefaultStep()
		s.Name, s.Slots = "Run", click.EvenSlots(2)
		s.Passage = ladder.Passage{From: 17, To: 20}
		s.Chunk.Bar = 18
		v := routine.Texts(s)
		v[tt.field] = tt.value
		_, bad := parse(v)
		if bad == nil {
			t.Errorf("%s: %q was taken", tt.field, tt.value)
			continue
		}
		if bad.field != tt.field {
			t.Errorf("%s: %q is said to be wrong with %s: %s", tt.field, tt.value, bad.field, bad.text)
		}
		if !strings.Contains(bad.text, tt.says) || !strings.Contains(bad.text, "; ") {
			t.Errorf("%s: %q is answered with %q", tt.field, tt.value, bad.text)
		}
	}
}

// What a file cannot hold does not come into a field.
func TestAFieldIsMadeFitWhileItIsTyped(t *testing.T) {
	test.NewTempApp(t)
	var got ladder.Step
	f := newForm(outward{}, func(s ladder.Step) { got = s })
	s := ladder.DefaultStep()
	s.Name = "Run"
	f.show(s, false)
	full := strings.Repeat("x", ladder.MaxName)
	for id, texts := range map[string][2]string{
		"name":          {"Weir\tStreet\x00", "Weir Street"},
		"passage piece": {"March\u2028in B♭" + full, ("March in B♭" + full)[:len("March in B♭")+ladder.MaxName-len([]rune("March in B♭"))]},
		"pencil":        {"half\thole\r\non G", "half hole\non G"},
	} {
		f.inputs[id].set(texts[0])
		if f.fault != nil {
			t.Errorf("%s: %s", id, f.fault.text)
		}
		if now := routine.Texts(got)[id]; now != texts[1] {
			t.Errorf("%s is %q, want %q", id, now, texts[1])
		}
	}
}

// Every key's name has room in front of its field.
func TestLabelsFit(t *testing.T) {
	test.NewTempApp(t)
	f := newForm(outward{}, func(ladder.Step) {})
	for _, label := range append(f.labels, f.groups...) {
		if w := label.MinSize().Width; w > labelWidth-8 {
			t.Errorf("%q is %v wide, and there are %d", label.Text, w, labelWidth-8)
		}
	}
}

// The field at fault is marked also while it is typed in, and only as long.
func TestTheFieldAtFaultIsMarked(t *testing.T) {
	test.NewTempApp(t)
	test.ApplyTheme(t, look.New(look.ChooseDay))
	f := newForm(outward{}, func(ladder.Step) {})
	s := ladder.DefaultStep()
	s.Name = "Run"
	f.show(s, false)
	f.recolour()
	marked := func() (out []string) {
		for id, t := range f.label {
			if t.Color == color.Color(look.Current().Warm) {
				out = append(out, id)
			}
		}
		return out
	}
	for _, tt := range []struct {
		field, text string
		want        []string
	}{
		{"reps", "many", []string{"reps"}},
		{"reps", "5", nil},
		{"tempo step", "4 bmp", []string{"tempo step"}},
		{"reps", "9", []string{"tempo step"}},
		{"tempo step", "4 bpm", nil},
	} {
		f.inputs[tt.field].set(tt.text)
		if got := marked(); !slices.Equal(got, tt.want) {
			t.Errorf("with %q in %s marked are %v, want %v", tt.text, tt.field, got, tt.want)
		}
	}
	f.inputs["reps"].set("many")
	framed := func() bool { return f.inputs["reps"].object.(*entry).AlwaysShowValidationError }
	f.recolour()
	if got := marked(); len(got) != 1 || !framed() {
		t.Errorf("after a change of palette marked are %v, with a frame %v", got, framed())
	}
	f.show(s, false)
	if got := marked(); len(got) != 0 || framed() {
		t.Errorf("for another step marked are %v, with a frame %v", got, framed())
	}
}
