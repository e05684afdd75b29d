package pace

import (
	"fmt"
	"strings"
	"testing"

	"footing/audio/click"
	"footing/ladder/passage"
)

// The three tables that are named beside the words, as they stand there; 0 where a table
// has no such word.
var tables = map[string][3]span{
	"grave":       {{}, {40, 44}, {40, 45}},
	"largo":       {{40, 60}, {46, 50}, {45, 55}},
	"larghetto":   {{60, 66}, {}, {50, 60}},
	"lento":       {{}, {56, 58}, {52, 65}},
	"adagio":      {{66, 76}, {52, 54}, {55, 70}},
	"andante":     {{76, 108}, {72, 76}, {60, 90}},
	"andantino":   {{}, {80, 84}, {70, 100}},
	"maestoso":    {{}, {88, 92}, {}},
	"moderato":    {{108, 120}, {96, 104}, {80, 105}},
	"allegretto":  {{}, {108, 116}, {100, 120}},
	"allegro":     {{120, 168}, {132, 138}, {116, 150}},
	"vivace":      {{}, {160, 176}, {126, 170}},
	"presto":      {{168, 200}, {184, 200}, {144, 200}},
	"prestissimo": {{200, 208}, {}, {184, 208}}, // the third has "184 and up"; 208 ends the metronome
}

func TestWordsHaveTheWholeRangeOfTheTables(t *testing.T) {
	for w, all := range tables {
		want := span{1000, 0}
		for _, s := range all {
			if s.low > 0 {
				want = span{min(want.low, s.low), max(want.high, s.high)}
			}
		}
		if words[w] != want {
			t.Errorf("%s is %v, want %v", w, words[w], want)
		}
	}
	if len(words) != len(tables) {
		t.Errorf("there are %d words, %d in the tables", len(words), len(tables))
	}
	for text, want := range map[string]span{
		"Andante":                 {60, 108},
		"ALLEGRO, ma non troppo":  {116, 168},
		"Molto Allegro":           {116, 168},
		"Allegro moderato":        {116, 168},
		"Tempo di marcia":         {},
		"Più allegro":             {},
		"meno presto":             {},
		"poco a poco rallentando": {},
		"Andantes":                {},
		"":                        {},
	} {
		if got, ok := word(text); got != want || ok != (want != span{}) {
			t.Errorf("%q is %v, %v", text, got, ok)
		}
	}
}

// score has bars of 4/4, then, from index 4 on, of 6/8.
func score(parts ...passage.Part) *passage.Score {
	s := &passage.Score{Parts: parts}
	for i := range s.Parts {
		for bar := range 8 {
			m := passage.FromClick(click.MakeMeter(4, 4))
			if bar >= 4 {
				m = passage.FromClick(click.MakeMeter(6, 8))
			}
			s.Parts[i].Bars = append(s.Parts[i].Bars, passage.Bar{Index: bar, Meter: m})
		}
	}
	return s
}

func TestWhatAScoreSays(t *testing.T) {
	beat := func(n int64) passage.Quarters { return click.Whole(int(n)) }
	words := func(bar int, at int64, text string) passage.Direction {
		return passage.Direction{Bar: bar, At: beat(at), Kind: passage.Words, Text: text}
	}
	metronome := func(bar int, at int64, text string, dots int) passage.Direction {
		return passage.Direction{Bar: bar, At: beat(at), Kind: passage.Metronome, Text: text, Dots: dots}
	}
	own := passage.Part{
		Directions: []passage.Direction{
			words(0, 0, "Andante"), metronome(2, 0, "quarter=c. 72", 0), words(2, 0, "Adagio"), words(2, 2, "dolce"),
			words(3, 2, "Presto"), metronome(3, 0, "quarter=eighth", 0), words(5, 0, "Allegro"), metronome(6, 0, "quarter=60-66", 1),
		},
		Tempos: []passage.Tempo{{Bar: 2, At: beat(0), MilliQuarters: 71_500}, {Bar: 4, At: beat(0), MilliQuarters: 0}},
	}
	other := passage.Part{Tempos: []passage.Tempo{{Bar: 1, At: beat(0), MilliQuarters: 92_500}}}
	all := Of(score(own, other))
	var got []string
	for _, p := range all {
		got = append(got, fmt.Sprintf("%d+%v %s %d-%d", p.Bar, p.At, p, p.Low, p.High))
	}
	want := []string{
		"0+0 Andante 60000-108000", "1+0 92.5 quarters a minute 92500-92500", "2+0 quarter = c. 72 72000-72000",
		"3+2 Presto 144000-200000", "5+0 Allegro 174000-252000", "6+0 dotted quarter = 60-66 90000-90000",
	}
	if g, w := strings.Join(got, "\n"), strings.Join(want, "\n"); g != w {
		t.Errorf("the score says\n%s\nwant\n%s", g, w)
	}
	for bar, want := range []string{"Andante", "92.5 quarters a minute", "quarter = c. 72", "quarter = c. 72", "Presto", "Allegro", "dotted quarter = 60-66", "dotted quarter = 60-66"} {
		if p, ok := InForce(all, bar); !ok || p.String() != want {
			t.Errorf("in bar %d %q is in force, want %q", bar, p, want)
		}
	}
	if later := Later(all, 0, 5); len(later) != 3 || later[0].String() != "quarter = c. 72" || later[2].String() != "Allegro" {
		t.Errorf("then comes %v", later)
	}
	if p, ok := InForce(Of(score(passage.Part{})), 7); ok {
		t.Errorf("a score that says nothing says %v", p)
	}
	dotted := Pace{Low: 90_000, High: 252_000}
	if low, high := dotted.Beats(click.Unit{Num: 3, Den: 8}); low != 60 || high != 168 {
		t.Errorf("in dotted quarters that is %d to %d", low, high)
	}
}
