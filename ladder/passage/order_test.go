package passage

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// written makes bars from one word group a bar, with commas between:
//
//	x       nothing
//	(       a forward repeat        )    a backward one; )3 of three times, )! after jumps too
//	[1      an ending begins, [1+2  ]    it stops, ]. it stays open
//	DC DS TC fine segno coda        jumps; DC@2+3 at those times only, TC:x to the sign x
func written(text string) []Bar {
	var bars []Bar
	for i, group := range strings.Split(text, ",") {
		b := Bar{Index: i}
		for _, word := range strings.Fields(group) {
			word, only, _ := strings.Cut(word, "@")
			word, name, _ := strings.Cut(word, ":")
			j := Jump{Name: name, Only: passes(strings.ReplaceAll(only, "+", " "))}
			switch {
			case word == "x": // nothing
			case word == "(":
				b.Left.Repeat = Start
			case word == ")!":
				b.Right = Barline{Repeat: Stop, Times: 2, AfterJump: true, Ending: b.Right.Ending}
			case word[0] == ')':
				times, err := strconv.Atoi(word[1:])
				if err != nil {
					times = 2
				}
				b.Right.Repeat, b.Right.Times = Stop, times
			case word[0] == '[':
				b.Left.Ending, b.Left.Endings = Start, passes(strings.ReplaceAll(word[1:], "+", " "))
			case word == "]":
				b.Right.Ending, b.Right.Endings = Stop, []int{1}
			case word == "].":
				b.Right.Ending, b.Right.Endings = Continue, []int{1}
			default:
				j.Kind = map[string]JumpKind{"DC": DaCapo, "DS": DalSegno, "TC": ToCoda, "fine": Fine, "segno": Segno, "coda": Coda, "from": ForwardRepeat}[word]
				b.Jumps = append(b.Jumps, j)
			}
		}
		bars = append(bars, b)
	}
	return bars
}

// The orders follow from MusicXML 4.0's elements repeat, ending and sound, read
// as [Score.findOrder] says.
func TestOrder(t *testing.T) {
	for _, c := range []struct {
		text, want string
		certain    bool
	}{
		{"x,x,x", "0 1 2", true},
		{"x,),x", "0 1 0 1 2", true},
		{"x,( x,)3,x", "0 1 2 1 2 1 2 3", true},
		{"),),x", "0 0 1 1 2", true},                                // behind the last that is done
		{"(,),x,),x", "0 1 0 1 2 3 2 3 4", false},                   // …which not all readers do
		{"(,(,),)", "0 1 2 1 2 3 3", false},                         // repeats do not nest
		{"x,(,x", "0 1 2", true},                                    // not ended
		{"x,)1,x", "0 1 2", true},                                   // once in all
		{"(,[1 ] ),[2 ]., x", "0 1 0 2 3", true},                    // first and second ending
		{"(,[1 ] ),x", "0 1 0 2", true},                             // a lone first ending
		{"(,[1+2 ] ),x", "0 1 0 1 0 2", true},                       // a lone one for two passes
		{"(,[1+2 ] ),[3 ],x", "0 1 0 1 0 2 3", true},                //
		{"(,[1 ] ),[2 ] ),x", "0 1 0 2 3", true},                    // the last one's repeat is no third pass
		{"(,[1 x,] ),[2 x,]., x", "0 1 2 0 3 4 5", true},            // longer endings
		{"(,[1 ] ),[2 ].,x,),x", "0 1 0 2 3 4 3 4 5", true},         // behind the last ending the section is over
		{"(,[1 ] ),[1 ].,x", "0 1 2 3", false},                      // twice the same pass
		{"(,] ),x", "0 1 0 1 2", false},                             // an ending not begun
		{"x,fine,x,DC,x", "0 1 2 3 0 1", true},                      // da capo al fine
		{"x,x,DC", "0 1 2 0 1 2", true},                             // made once only
		{"x,segno:s,TC:c,DS:s,coda:c,x", "0 1 2 3 1 2 4 5", true},   // dal segno al coda
		{"segno,DS", "0 1 0 1", true},                               //
		{"x,DS:s,segno:s,x", "0 1 2 3", true},                       // a sign further on is led to all the same
		{"(,),fine,DC", "0 1 0 1 2 3 0 1 2", true},                  // repeats are left out after a jump
		{"(,)!,fine,DC", "0 1 0 1 2 3 0 1 0 1 2", true},             // but for those that say so
		{"(,[1 ] ),[2 ],fine,DC", "0 1 0 2 3 4 0 2 3", true},        // the last ending after a jump
		{"(,[1 ] ),x,fine,DC", "0 1 0 2 3 4 0 2 3", true},           // a lone first one then is left out
		{"(,segno,)!,DS,x", "0 1 2 0 1 2 3 1 2 0 1 2 3 4", true},    // back to where the repeat begins, before the sign
		{"(,[1 ] ),x,),x", "0 1 0 2 3 2 3 4", true},                 // behind a lone first ending the section is over
		{"(,TC@2,)3,x,coda", "0 1 2 0 1 4", true},                   // time-only
		{"x,DC@1+2,x", "0 1 0 1 0 1 2", true},                       //
		{"x,fine@1,x", "0 1", true},                                 //
		{"fine ),x,DC", "0 0 1 2 0", true},                          // after the bar's repeats
		{"x,),from,),fine DC", "0 1 0 1 2 3 2 3 4 0 1 2 3 4", true}, // a repeat that is not printed
		{"x,DS:a,x", "0 1 2", false},                                // no sign
		{"segno:b,DS:a,x", "0 1 0 1 2", false},                      // of another name
	} {
		s := Score{Parts: []Part{{Bars: written(c.text)}}}
		if err := s.Settle(); err != nil {
			t.Errorf("%s: %v", c.text, err)
			continue
		}
		if got := strings.Trim(fmt.Sprint(s.Order), "[]"); got != c.want || (s.Unsure == "") != c.certain {
			t.Errorf("%s: played %s (%s), want %s (certain %v)", c.text, got, s.Unsure, c.want, c.certain)
		}
	}
}

// Whatever stands in the bars, playing ends, and plays nothing but these bars.
func TestOrderEnds(t *testing.T) {
	words := []string{"x", "(", ")", ")3", ")!", "[1", "[2", "[1+3", "]", "].", "DC", "DS", "TC", "fine", "segno", "coda", "DC@1+2", "TC@2", "DS@1+3:a", "segno:a", "from", ")1000000"}
	rapid.Check(t, func(t *rapid.T) {
		groups := rapid.SliceOfN(rapid.Map(rapid.SliceOfN(rapid.SampledFrom(words), 1, 4), func(w []string) string { return strings.Join(w, " ") }), 1, 12).Draw(t, "bars")
		bars := written(strings.Join(groups, ","))
		s := Score{Parts: []Part{{Bars: bars}}}
		if err := s.settle(500); err != nil {
			if len(s.Order) != 500 {
				t.Fatalf("%v after %d bars", err, len(s.Order))
			}
			return
		}
		for _, i := range s.Order {
			if i < 0 || i >= len(bars) {
				t.Fatalf("bar %d of %d is played", i, len(bars))
			}
		}
		if len(bars) > 0 && len(s.Order) > 0 && s.Order[0] != 0 && bars[0].Left.Ending != Start {
			t.Fatalf("the first bar is left out: %v", s.Order)
		}
	})
}

// What parts say of the way is taken together, whichever says it.
func TestOrderOfParts(t *testing.T) {
	s := Score{Parts: []Part{{Bars: written("x,x,x,x,DC")}, {Bars: written("(,[1 ] ),[2 ],fine,x")}}}
	if err := s.Settle(); err != nil {
		t.Fatal(err)
	}
	if want := []int{0, 1, 0, 2, 3, 4, 0, 2, 3}; !slices.Equal(s.Order, want) {
		t.Errorf("played %v, want %v", s.Order, want)
	}
}
