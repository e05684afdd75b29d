package click

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func meter(t interface{ Fatal(...any) }, s string) Meter {
	m, err := ParseMeter(s)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// march is bars 17 to 22 with a pickup of a beat and a half: two of 4/4, one of
// 3/4, three of 3+2/8, all in eighths or, up to bar 19, in quarters.
func march(t interface{ Fatal(...any) }, unit Unit, to int) Measures {
	changes := []MeterChange{{19, meter(t, "3/4")}, {20, meter(t, "3+2/8")}}
	pickup := Frac(3, 2)
	if to < 20 {
		changes = changes[:1]
	}
	m, err := NewMeasures(17, to, pickup, unit, meter(t, "4/4"), changes...)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// waltz is bars 1 to 8 of 3/4 with a pickup of a beat.
func waltz(t interface{ Fatal(...any) }) Measures {
	m, err := NewMeasures(1, 8, Whole(1), Unit{1, 4}, meter(t, "3/4"))
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func TestWhereABeatLies(t *testing.T) {
	eighths, quarters := march(t, Unit{1, 8}, 22), march(t, Unit{1, 4}, 19)
	for _, tt := range []struct {
		name  string
		m     Measures
		place Beats
		bar   int
		at    Beats
	}{
		{"the pickup is the end of the bar before", quarters, Frac(-3, 2), 16, Frac(5, 2)},
		{"its last beat", quarters, Whole(-1), 16, Whole(3)},
		{"the first full bar is the first of the passage", quarters, Beats{}, 17, Beats{}},
		{"the second", quarters, Whole(4), 18, Beats{}},
		{"just before a change", quarters, Frac(31, 4), 18, Frac(15, 4)},
		{"the change", quarters, Whole(8), 19, Beats{}},
		{"behind the passage the last meter goes on", quarters, Whole(11), 20, Beats{}},
		{"and on", quarters, Whole(15), 21, Whole(1)},
		{"before it the first does", quarters, Whole(-6), 15, Whole(2)},
		{"a bar of 4/4 is eight eighths", eighths, Whole(15), 18, Whole(7)},
		{"one of 3/4 six", eighths, Whole(22), 20, Beats{}},
		{"one of 3+2/8 five", eighths, Whole(28), 21, Whole(1)},
	} {
		if bar, at := tt.m.Where(tt.place); bar != tt.bar || at != tt.at {
			t.Errorf("%s: %s is %d:%s, want %d:%s", tt.name, tt.place, bar, at, tt.bar, tt.at)
		}
		if got := tt.m.Place(tt.bar, tt.at); got != tt.place {
			t.Errorf("%s: %d:%s is at %s, want %s", tt.name, tt.bar, tt.at, got, tt.place)
		}
	}
	if got := eighths.Length(); got != Frac(3, 2).Add(Whole(8+8+6+3*5)) {
		t.Errorf("the passage is %s eighths long", got)
	}
	if got := eighths.Longest(); got.Beats != 8 {
		t.Errorf("the longest bar has %d beats, want 8", got.Beats)
	}
	twoWays, err := NewMeasures(1, 9, Beats{}, Unit{1, 8}, meter(t, "3+2/8"), MeterChange{4, meter(t, "2+3/8")})
	if got := twoWays.Longest(); err != nil || !got.GroupStart(3) || got.GroupStart(2) {
		t.Errorf("the longest of bars of five is not the first, %v", err)
	}
	for beat, want := range []bool{true, false, false, true, false} {
		if got := eighths.Bar(21).GroupStart(beat); got != want {
			t.Errorf("beat %d of a bar of 3+2/8 begins a group: %v", beat, got)
		}
	}
}

func TestMeasuresThatCannotBe(t *testing.T) {
	four, three := meter(t, "4/4"), meter(t, "3/4")
	quarter := Unit{1, 4}
	for _, tt := range []struct {
		name    string
		from    int
		pickup  Beats
		unit    Unit
		changes []MeterChange
		key     string
		change  int
		says    string
	}{
		{"backwards", 21, Beats{}, quarter, nil, "bars", -1, "bars 21-20 run backwards; write the first bar first"},
		{"change at the first bar", 17, Beats{}, quarter, []MeterChange{{17, three}}, "meters", 0, "write a bar from 18 to 20 (bar 17 has meter:)"},
		{"change behind the passage", 17, Beats{}, quarter, []MeterChange{{18, three}, {21, four}}, "meters", 1, "the meter changes in bar 21 of bars 17-20"},
		{"changes out of order", 17, Beats{}, quarter, []MeterChange{{19, three}, {18, four}}, "meters", 1, "bar 18 stands after bar 19"},
		{"a change twice", 17, Beats{}, quarter, []MeterChange{{19, three}, {19, four}}, "meters", 1, "write each bar once, in order"},
		{"a bar of no whole beats", 17, Beats{}, quarter, []MeterChange{{19, meter(t, "5/8")}}, "beat", 0, "a bar of 5/8 is not a whole number of quarter beats; write beat: eighth"},
		{"a first bar of none", 17, Beats{}, Unit{3, 8}, []MeterChange{{19, meter(t, "6/8")}}, "beat", -1, "a bar of 4/4 is not a whole number of dotted quarter beats; write beat: eighth"},
		{"a pickup of a bar", 17, Whole(4), quarter, []MeterChange{{19, three}}, "pickup", -1, "a pickup of 4 beats to bars of 4; write beats from 0 to less than 4"},
		{"a pickup of less than nothing", 17, Whole(-1), quarter, nil, "pickup", -1, "a pickup of -1 beats"},
		{"too fine a pickup", 17, Frac(1, 961), quarter, nil, "pickup", -1, "a pickup of 1/961 beats"},
	} {
		_, err := NewMeasures(tt.from, 20, tt.pickup, tt.unit, four, tt.changes...)
		var e *MeasuresError
		if !errors.As(err, &e) || e.Key != tt.key || e.Change != tt.change || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%s: %+v, want %q of %s, change %d", tt.name, err, tt.says, tt.key, tt.change)
		}
	}
}

func TestTheCommonBeat(t *testing.T) {
	for meters, want := range map[string]string{
		"4/4": "quarter", "6/8": "dotted quarter", "4/4 3/4": "quarter", "6/8 9/8": "dotted quarter",
		"4/4 6/8": "eighth", "2/2 3/4": "quarter", "3/4 5/8 2/4": "eighth", "12/16 6/8": "dotted eighth", "4/4 3/16": "sixteenth",
	} {
		var all []MeterChange
		for i, s := range strings.Fields(meters) {
			all = append(all, MeterChange{1 + i, meter(t, s)})
		}
		u := CommonUnit(all[0].Meter, all[1:]...)
		if u.String() != want {
			t.Errorf("%s are counted in a %s, want %s", meters, u, want)
		}
	}
}

func anyMeasures(t *rapid.T) Measures {
	meters := []string{"4/4", "3/4", "2/4", "6/8", "9/8", "3+2/8", "2+2+3/8", "5/8", "2/2", "7/16", "12/8"}
	from := rapid.IntRange(1, 200).Draw(t, "from")
	to := from + rapid.IntRange(0, 20).Draw(t, "bars")
	first := meter(t, rapid.SampledFrom(meters).Draw(t, "meter"))
	var changes []MeterChange
	for bar := from + 1; bar <= to; bar++ {
		if rapid.IntRange(0, 2).Draw(t, "change") == 0 {
			changes = append(changes, MeterChange{bar, meter(t, rapid.SampledFrom(meters).Draw(t, "meter"))})
		}
	}
	unit := CommonUnit(first, changes...)
	bar, err := first.Bar(unit)
	if err != nil {
		t.Fatal(err)
	}
	pickup := Frac(rapid.Int64Range(0, int64(4*bar.Beats-1)).Draw(t, "pickup"), 4)
	m, err := NewMeasures(from, to, pickup, unit, first, changes...)
	if err != nil {
		t.Fatalf("the beat of all meters is refused: %v", err)
	}
	return m
}

// What any measures keep to.
func TestLawsOfMeasures(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyMeasures(t)
		place := func(name string) Beats {
			return Frac(rapid.Int64Range(-200, 3000).Draw(t, name), rapid.SampledFrom([]int64{1, 2, 3, 4, 5, 7, 12}).Draw(t, name+" of"))
		}
		p := place("place")
		bar, at := m.Where(p)
		if got := m.Place(bar, at); got != p {
			t.Fatalf("%s is %d:%s, which is %s", p, bar, at, got)
		}
		if at.Sign() < 0 || !at.Less(Whole(m.Bar(bar).Beats)) {
			t.Fatalf("%s lies at %s of a bar of %d", p, at, m.Bar(bar).Beats)
		}
		q := place("another")
		other, otherAt := m.Where(q)
		if p.Less(q) != (bar < other || bar == other && at.Less(otherAt)) {
			t.Fatalf("%s is %d:%s and %s is %d:%s", p, bar, at, q, other, otherAt)
		}
		sum := m.Pickup()
		for n := m.From(); n <= m.To(); n++ {
			if got, at := m.Where(Whole(m.Line(n))); got != n || at.Sign() != 0 {
				t.Fatalf("the line of bar %d lies in %d:%s", n, got, at)
			}
			if m.Line(n+1)-m.Line(n) != m.Bar(n).Beats {
				t.Fatalf("bar %d of %d beats goes from %d to %d", n, m.Bar(n).Beats, m.Line(n), m.Line(n+1))
			}
			if m.Longest().Beats < m.Bar(n).Beats {
				t.Fatalf("bar %d is longer than the longest", n)
			}
			sum = sum.Add(Whole(m.Bar(n).Beats))
		}
		if m.Length() != sum || m.Line(m.From()) != 0 {
			t.Fatalf("%s beats from line %d, want %s from 0", m.Length(), m.Line(m.From()), sum)
		}
		if a := m.Alike(bar); a.Line(bar) != m.Line(bar) || a.Bar(bar-3) != m.Bar(bar) || a.Bar(bar+3) != m.Bar(bar) {
			t.Fatalf("alike to bar %d: line %d, want %d", bar, a.Line(bar), m.Line(bar))
		}
	})
}

func TestTheZeroMeasuresAreBarsOfABeat(t *testing.T) {
	var m Measures
	if bar, at := m.Where(Frac(-1, 2)); bar != -1 || at != Frac(1, 2) {
		t.Errorf("half a beat before is %d:%s", bar, at)
	}
}

// counted writes the strokes on beats as bar.beat:mark.
func counted(p Phrase) string {
	var out []string
	for _, s := range p.Strokes {
		if s.Slot == 0 {
			out = append(out, fmt.Sprintf("%d.%s:%s", s.Bar, s.Syllable, s.Dynamics))
		}
	}
	return strings.Join(out, " ")
}

// Count-in, rep and breath through a change of meter and from a pickup.
func TestBarLinesAreHeardWhereTheyAre(t *testing.T) {
	for _, tt := range []struct {
		name                   string
		m                      Measures
		change                 func(*Loop)
		countIn, rep, breathes string
	}{
		{
			name: "over a change, the breath in the new meter", m: march(t, Unit{1, 4}, 19),
			change:  func(l *Loop) { l.Chunk = Chunk{Bar: 18, At: Whole(2), Length: Whole(4)} },
			countIn: "18.1:f 18.2:mf", rep: "18.3:mf 18.4:mf 19.1:f 19.2:mf", breathes: "19.3:p 20.1:p",
		},
		{
			name: "the count-in is in the meter that comes", m: march(t, Unit{1, 4}, 19),
			change: func(l *Loop) {
				l.Chunk = Chunk{Bar: 19, Length: Whole(3)}
				l.CountIn, l.Breath = 4, 1
			},
			countIn: "17.3:mf 18.1:f 18.2:mf 18.3:mf", rep: "19.1:f 19.2:mf 19.3:mf", breathes: "20.1:p",
		},
		{
			name: "from a pickup", m: march(t, Unit{1, 4}, 19),
			change: func(l *Loop) {
				l.Chunk = Chunk{Bar: 16, At: Whole(3), Length: Whole(3)}
				l.CountIn, l.Breath = 3, 1
			},
			countIn: "16.1:f 16.2:mf 16.3:mf", rep: "16.4:mf 17.1:f 17.2:mf", breathes: "17.3:p",
		},
		{
			name: "from within the pickup's beat, with the landing on the bar line", m: march(t, Unit{1, 4}, 19),
			change: func(l *Loop) {
				l.Chunk = Chunk{Bar: 16, At: Frac(7, 2), Length: Frac(1, 2), Landing: true}
				l.CountIn, l.Breath = 1, 1
			},
			countIn: "16.3:mf", rep: "16.4:p 17.1:f", breathes: "17.2:p",
		},
		{
			name: "halved from a pickup sounds on the first full bar's line", m: waltz(t),
			change: func(l *Loop) {
				l.Pulse, l.CountIn, l.Breath = Halved, 1, 1
				l.Chunk = Chunk{Bar: 0, At: Whole(2), Length: Whole(4)}
			},
			countIn: "0.2:mf", rep: "0.3:- 1.1:f 1.2:- 1.3:mf", breathes: "2.1:p",
		},
		{
			name: "groups of an additive meter", m: march(t, Unit{1, 8}, 22),
			change: func(l *Loop) {
				l.Chunk = Chunk{Bar: 19, At: Whole(5), Length: Whole(6)}
				l.CountIn, l.Breath = 1, 1
			},
			countIn: "19.5:mf", rep: "19.6:mf 20.1:f 20.2:mf 20.3:mf 20.4:f 20.5:mf", breathes: "21.1:p",
		},
		{
			name: "a shorter bar takes the first lines of dynamics", m: march(t, Unit{1, 4}, 19),
			change: func(l *Loop) {
				l.Accents = Accents{{Forte}, {Pianissimo}, {MezzoForte}, {Piano}}
				l.Chunk = Chunk{Bar: 18, At: Whole(3), Length: Whole(4)}
				l.CountIn, l.Breath = 1, 1
			},
			countIn: "18.3:mf", rep: "18.4:p 19.1:f 19.2:pp 19.3:mf", breathes: "20.1:p",
		},
	} {
		t.Run(tt.name, func(t *testing.T) {
			l := Loop{Measures: tt.m, Slots: EvenSlots(1), Count: CountNumber, CountIn: 2, Breath: 2}
			tt.change(&l)
			countIn, _ := l.CountInPhrase(BPM(60))
			breath, _ := l.BreathPhrase(BPM(60))
			for _, c := range []struct{ got, want string }{
				{counted(countIn), tt.countIn}, {counted(l.RepPhrase(BPM(60))), tt.rep}, {counted(breath), tt.breathes},
			} {
				if c.got != c.want {
					t.Errorf("counts\n  %s\nwant\n  %s", c.got, c.want)
				}
			}
		})
	}
}

func TestPlacesAreWrittenAsBarAndBeat(t *testing.T) {
	for want, at := range map[string]Beats{"18:1": {}, "18:2": Whole(1), "18:2+1/2": Frac(3, 2), "18:1+1/3": Frac(1, 3)} {
		if got := FormatPlace(18, at); got != want {
			t.Errorf("%s beats into bar 18 is written %s, want %s", at, got, want)
		}
	}
}

func TestSlotsFromAPlace(t *testing.T) {
	swing, four := Swing(2, 1), EvenSlots(4)
	for _, tt := range []struct {
		slots    Slots
		from     Beats
		n        int
		want     Beats
		shortest Beats
	}{
		{four, Frac(1, 4), 3, Whole(1), Frac(1, 4)},
		{four, Frac(1, 8), -1, Frac(-1, 8), Frac(1, 4)},
		{swing, Beats{}, 1, Frac(2, 3), Frac(1, 3)},
		{swing, Frac(2, 3), 2, Frac(5, 3), Frac(1, 3)},
		{swing, Frac(1, 2), 1, Frac(2, 3), Frac(1, 3)},
		{swing, Whole(1), -1, Frac(2, 3), Frac(1, 3)},
		{swing, Beats{}, -2, Whole(-1), Frac(1, 3)},
		{Swing(1, 3), Frac(1, 4), -1, Beats{}, Frac(1, 4)},
	} {
		if got := tt.slots.From(tt.from, tt.n); got != tt.want {
			t.Errorf("%s: %d slots from %s is %s, want %s", tt.slots, tt.n, tt.from, got, tt.want)
		}
		if got := tt.slots.Shortest(); got != tt.shortest {
			t.Errorf("%s: the shortest slot is %s, want %s", tt.slots, got, tt.shortest)
		}
	}
}
