package stat

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// Reference values: the table of Student's t (e.g. Abramowitz & Stegun 26.10).
func TestStudent(t *testing.T) {
	for _, c := range []struct{ t, df, p float64 }{
		{12.706, 1, 0.05}, {2.776, 4, 0.05}, {2.228, 10, 0.05}, {3.169, 10, 0.01}, {2.042, 30, 0.05}, {0, 5, 1}, {-2.228, 10, 0.05},
		{3, 0, 1}, {math.NaN(), 5, 1}, {math.Inf(-1), 5, 0},
	} {
		if got := TwoSided(c.t, c.df); math.Abs(got-c.p) > 2e-4 {
			t.Errorf("t %.3f with %.0f degrees: %.5f, the table has %.2f", c.t, c.df, got, c.p)
		}
	}
}

// Reference values: the table of Fisher's F (e.g. Abramowitz & Stegun 26.9).
func TestFisher(t *testing.T) {
	for _, c := range []struct{ f, n, m, p float64 }{
		{3.71, 3, 10, 0.05}, {4.10, 5, 20, 0.01}, {161.4, 1, 1, 0.05}, {0, 3, 10, 1}, {-1, 3, 10, 1}, {3, 0, 10, 1}, {math.NaN(), 3, 10, 1}, {math.Inf(1), 3, 10, 0},
	} {
		if got := Over(c.f, c.n, c.m); math.Abs(got-c.p) > 2e-4 {
			t.Errorf("F %.2f with %.0f and %.0f degrees: %.5f, the table has %.2f", c.f, c.n, c.m, got, c.p)
		}
	}
}

// As many values lie at or under a median as at or over it, and asking for it
// moves none.
func TestMedian(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.SliceOfN(rapid.Float64Range(-100, 100), 1, 40).Draw(t, "x")
		before := slices.Clone(x)
		m := Median(x)
		under, over := 0, 0
		for _, v := range x {
			if v <= m {
				under++
			}
			if v >= m {
				over++
			}
		}
		if 2*under < len(x) || 2*over < len(x) {
			t.Fatalf("%v: %d at or under, %d at or over, of %d", m, under, over, len(x))
		}
		if !slices.Equal(x, before) {
			t.Fatal("the values were moved")
		}
	})
	if m := Median([]float64{4, 1, 3, 2}); m != 2.5 || Median(nil) != 0 {
		t.Errorf("%v of four, %v of none", m, Median(nil))
	}
}

// 2, 4, 4, 4, 5, 5, 7, 9 have the mean 5 and the sample variance 32/7.
func TestMeanSpread(t *testing.T) {
	x := []float64{2, 4, 4, 4, 5, 5, 7, 9}
	if m, s := MeanSpread(x); m != 5 || math.Abs(s-math.Sqrt(32.0/7)) > 1e-12 {
		t.Errorf("%v and %v", m, s)
	}
	if m, s := MeanSpread([]float64{3}); m != 3 || s != 0 {
		t.Errorf("%v and %v of one value", m, s)
	}
	if m, s := MeanSpread(nil); m != 0 || s != 0 {
		t.Errorf("%v and %v of none", m, s)
	}
}

// Of 0 to 100, the middle 68 % are 68 wide; no outlier changes that much.
func TestMiddle(t *testing.T) {
	var x []float64
	for i := range 101 {
		x = append(x, float64(i))
	}
	if got := Middle(x); math.Abs(got-34) > 1e-9 {
		t.Errorf("%v", got)
	}
	if x[100] = 1e9; math.Abs(Middle(x)-34) > 1e-9 || Middle(x[:1]) != 0 {
		t.Errorf("%v with one value far out, %v of one value", Middle(x), Middle(x[:1]))
	}
}
