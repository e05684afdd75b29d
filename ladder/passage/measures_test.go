package passage

import (
	"strings"
	"testing"

	"footing/audio/click"
)

// barred makes a part of bars, each "number:length:meter", with + before an
// implicit one; lengths in quarters.
func barred(t *testing.T, texts ...string) *Part {
	t.Helper()
	p := Part{}
	for i, text := range texts {
		words := strings.Split(text, ":")
		number, implicit := strings.CutPrefix(words[0], "+")
		length, ok := parseDecimal(words[1])
		if !ok {
			t.Fatal(text)
		}
		b := Bar{Index: i, Number: number, Implicit: implicit, Length: length}
		above, below, _ := strings.Cut(words[2], "/")
		if b.Meter.Free = words[2] == "free"; !b.Meter.Free {
			b.Meter.Terms = []MeterTerm{{beats(above), beats(below)[0]}}
		}
		p.Bars = append(p.Bars, b)
	}
	s := Score{Parts: []Part{p}}
	if err := s.Settle(); err != nil {
		t.Fatal(err)
	}
	return &s.Parts[0]
}

func TestMeasures(t *testing.T) {
	quarter, eighth := click.Unit{Num: 1, Den: 4}, click.Unit{Num: 1, Den: 8}
	for _, c := range []struct {
		bars     []string
		unit     click.Unit // asked for
		from, to int
		pickup   string
		length   string
		of       click.Unit
	}{
		{[]string{"1:4:4/4", "2:4:4/4"}, click.Unit{}, 1, 2, "0", "8", quarter},
		{[]string{"+0:1:4/4", "1:4:4/4", "2:3:4/4"}, click.Unit{}, 1, 2, "1", "9", quarter},
		{[]string{"+0:1.5:6/8", "1:3:6/8"}, click.Unit{}, 1, 1, "1", "3", click.Unit{Num: 3, Den: 8}},
		{[]string{"+0:1.5:6/8", "1:3:6/8"}, eighth, 1, 1, "3", "9", eighth},
		{[]string{"17:4:4/4", "18:3:3/4", "19:3:6/8", "20:3:6/8"}, click.Unit{}, 17, 20, "0", "26", eighth},
		{[]string{"1:4:4/4", "2:3:4/4", "+X1:1:4/4", "3:4:4/4"}, click.Unit{}, 1, 3, "0", "12", quarter},
	} {
		p := barred(t, c.bars...)
		m, u, err := p.Measures(0, len(p.Bars)-1, c.unit)
		if err != nil || m.From() != c.from || m.To() != c.to || m.Pickup().String() != c.pickup || m.Length().String() != c.length || u != c.of {
			t.Errorf("%v: %v; bars %d-%d, pickup %v, %v beats of %v; want %+v", c.bars, err, m.From(), m.To(), m.Pickup(), m.Length(), u, c)
		}
	}
	for _, c := range []struct {
		bars []string
		want string
	}{
		{[]string{"1:4:4/4", "2:3:4/4", "3:4:4/4"}, "bar 2 holds 3 quarters where 4/4 has 4"},
		{[]string{"1:4:4/4", "1:4:4/4"}, "bar 1 comes after bar 1"},
		{[]string{"1:4:4/4", "X1:4:4/4"}, "bar X1 has no number"},
		{[]string{"1:4:free"}, "bar 1 stands in senza misura"},
		{[]string{"1:5:4/4"}, "bar 1 holds 5 quarters"},
	} {
		p := barred(t, c.bars...)
		if _, _, err := p.Measures(0, len(p.Bars)-1, click.Unit{}); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v: %v, want %q", c.bars, err, c.want)
		}
	}
	if _, _, err := barred(t, "1:4:4/4").Measures(0, 1, click.Unit{}); err == nil {
		t.Error("bars that are not there are counted")
	}
}

func TestMetersAsTheClickCounts(t *testing.T) {
	for _, c := range []struct {
		m    Meter
		want string
	}{
		{Meter{Terms: []MeterTerm{{[]int{4}, 4}}}, "4/4"},
		{Meter{Terms: []MeterTerm{{[]int{3, 2}, 8}}}, "3+2/8"},
		{Meter{Terms: []MeterTerm{{[]int{2}, 4}, {[]int{3}, 8}}}, "4+3/8"},
		{Meter{Free: true}, ""}, {Meter{}, ""}, {Meter{Terms: []MeterTerm{{[]int{2}, 64}}}, ""},
	} {
		got, ok := c.m.Click()
		if ok != (c.want != "") || ok && got.String() != c.want {
			t.Errorf("%v is %v to the click, %v; want %s", c.m, got, ok, c.want)
		}
	}
}
