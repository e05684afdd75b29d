package declick

import (
	"math"
	"math/cmplx"
	"testing"

	"gonum.org/v1/gonum/dsp/fourier"
	"pgregory.net/rapid"
)

// The transform and its inverse are those of gonum's dsp/fourier, whatever the
// values.
func TestTransform(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := 1 << rapid.IntRange(3, 12).Draw(t, "bits")
		few := rapid.SliceOfN(rapid.Float64Range(-1, 1), 1, 20).Draw(t, "values")
		seq := make([]float64, n)
		for i := range seq {
			seq[i] = few[i*i%len(few)] * math.Cos(float64(i))
		}
		tr, other := newTransform(n), fourier.NewFFT(n)
		got, want := tr.coefficients(make([]complex128, n/2+1), seq), other.Coefficients(nil, seq)
		for k, v := range got {
			if cmplx.Abs(v-want[k]) > 1e-12*float64(n) {
				t.Fatalf("of %d values coefficient %d is %v, want %v", n, k, v, want[k])
			}
		}
		places := rapid.IntRange(0, n/2).Draw(t, "places")
		before, after := tr.around(got[:n/2], places)
		all := append([]complex128(nil), got...)
		all[0], all[n/2] = 0, 0
		back := tr.sequence(make([]float64, n), all)
		if b, a := back[(n-places)%n], back[places]; math.Abs(2*before-b) > 1e-12*float64(n) || math.Abs(2*after-a) > 1e-12*float64(n) {
			t.Fatalf("%d places before and after are %v and %v, want %v and %v", places, 2*before, 2*after, b, a)
		}
		for i, v := range tr.sequence(make([]float64, n), got) {
			if math.Abs(v/float64(n)-seq[i]) > 1e-13*float64(n) {
				t.Fatalf("of %d values number %d comes back as %v, want %v", n, i, v/float64(n), seq[i])
			}
		}
	})
}

func BenchmarkTransform(b *testing.B) {
	for _, n := range []int{2048, 4096} {
		tr, other := newTransform(n), fourier.NewFFT(n)
		seq, coef := make([]float64, n), make([]complex128, n/2+1)
		b.Run("own", func(b *testing.B) {
			for b.Loop() {
				clear(seq)
				seq[3] = 1
				tr.coefficients(coef, seq)
				tr.sequence(seq, coef)
			}
		})
		b.Run("other", func(b *testing.B) {
			for b.Loop() {
				clear(seq)
				seq[3] = 1
				other.Coefficients(coef, seq)
				other.Sequence(seq, coef)
			}
		})
	}
}
