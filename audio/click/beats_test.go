package click

import (
	"math/big"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func drawBeats(t *rapid.T, label string) Beats {
	return Frac(rapid.Int64Range(-100_000, 100_000).Draw(t, label), rapid.Int64Range(1, MaxDenominator).Draw(t, label+" den"))
}

func rat(b Beats) *big.Rat { return big.NewRat(b.Num(), b.Den()) }

// The arithmetic of beats is judged by math/big's rationals.
func TestBeatsAreRationals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawBeats(t, "a"), drawBeats(t, "b")
		n := rapid.Int64Range(-1000, 1000).Draw(t, "n")
		for name, got := range map[string]struct {
			got  Beats
			want *big.Rat
		}{
			"sum":        {a.Add(b), new(big.Rat).Add(rat(a), rat(b))},
			"difference": {a.Sub(b), new(big.Rat).Sub(rat(a), rat(b))},
			"multiple":   {a.Times(n), new(big.Rat).Mul(rat(a), big.NewRat(n, 1))},
		} {
			if rat(got.got).Cmp(got.want) != 0 {
				t.Fatalf("%s of %v and %v (n %d) is %v, want %v", name, a, b, n, got.got, got.want)
			}
			if g := gcd(abs(got.got.Num()), got.got.Den()); got.got.Num() != 0 && g != 1 {
				t.Fatalf("%v is not in lowest terms", got.got)
			}
		}
		if got, want := a.Cmp(b), rat(a).Cmp(rat(b)); got != want {
			t.Fatalf("Cmp(%v, %v) = %d, want %d", a, b, got, want)
		}
		if f := Whole(a.Floor()); a.Less(f) || !a.Less(f.Add(Whole(1))) {
			t.Fatalf("Floor(%v) = %v", a, f)
		}
		if c := Whole(a.Ceil()); c.Less(a) || !c.Sub(Whole(1)).Less(a) {
			t.Fatalf("Ceil(%v) = %v", a, c)
		}
		if a.Sign() >= 0 {
			back, err := ParseBeats(a.String())
			if err != nil || back != a {
				t.Fatalf("ParseBeats(%q) = %v, %v", a.String(), back, err)
			}
		}
	})
}

func TestParseBeats(t *testing.T) {
	for in, want := range map[string]Beats{
		"2": Whole(2), "1/2": Frac(1, 2), "2+1/2": Frac(5, 2), "2.5": Frac(5, 2), " 0.25 ": Frac(1, 4), "0": {}, "6/4": Frac(3, 2),
		"3/1": Whole(3), "100000": Whole(100_000), "1/960": Frac(1, 960), "0.0625": Frac(1, 16), "1/3+2/3": Whole(1),
	} {
		if got, err := ParseBeats(in); err != nil || got != want {
			t.Errorf("ParseBeats(%q) = %v, %v; want %v", in, got, err, want)
		}
	}
	for _, in := range []string{"", "-1", "1/0", "1/", "/2", "a", "1/1921", "99999999999999999999", "1.", "1.23456", "1++2", "1e3", "100001", "½",
		"100000+1/2", "1/961", "0.50000", "+1", "1+", "4294967296", "1_0", "1/-2", "1/2/3",
		"1/959+1/953+1/947+1/941+1/937+1/929+1/919+1/911"} {
		if got, err := ParseBeats(in); err == nil {
			t.Errorf("ParseBeats(%q) = %v, want an error", in, got)
		} else if !strings.Contains(err.Error(), "such as 2, 1/2") {
			t.Errorf("ParseBeats(%q): %v does not say what would be right", in, err)
		}
	}
}

func TestTempoIsReadAndWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tempo := Tempo(rapid.Int64Range(int64(MinTempo), int64(MaxTempo)).Draw(t, "tempo"))
		if back, err := ParseTempo(tempo.String()); err != nil || back != tempo {
			t.Fatalf("ParseTempo(%q) = %v, %v", tempo.String(), back, err)
		}
	})
	for in, want := range map[string]string{"76": "76", "76.50": "76.5", "10": "10", "400": "400", "66.667": "66.667"} {
		if got, err := ParseTempo(in); err != nil || got.String() != want {
			t.Errorf("ParseTempo(%q) = %v, %v", in, got, err)
		}
	}
	for _, in := range []string{"", "9.999", "400.001", "-60", "6e1", "60bpm", "60.0001", ".5", "99999999999999999999"} {
		if got, err := ParseTempo(in); err == nil {
			t.Errorf("ParseTempo(%q) = %v, want an error", in, got)
		}
	}
}
