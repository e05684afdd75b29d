package declick

import "math"

// whitener takes from a stream what its last past predicts of it. A note that is
// held is predicted well, whatever its harmonics; a click comes unforeseen, and
// stands out though it be weaker than the note and no brighter. The prediction
// is linear, by the autocorrelation method (Makhoul 1975, "Linear prediction: a
// tutorial review", Proc. IEEE 63, 561-580), made anew for every block from what
// lay before it.
type whitener struct {
	window []float64
	past   []float64 // the samples of the window, then room for a block
	faded  []float64 // scratch: those of the window, faded in and out
	lags   [whitenOrder + 1]float64
	ahead  [whitenOrder + 1]float64 // the prediction error filter; the first is 1
	rest   []float64
}

const (
	whitenOrder = 20
	whitenMs    = 30 // of past that a prediction is made from
)

func newWhitener(ms, block int) *whitener {
	n := whitenMs * ms
	w := &whitener{window: make([]float64, n), past: make([]float64, n+block), faded: make([]float64, n), rest: make([]float64, block)}
	for i := range w.window {
		w.window[i] = 0.5 - 0.5*math.Cos(2*math.Pi*(float64(i)+0.5)/float64(n))
	}
	return w
}

// run takes the next block, as long as all are, and returns what of it was not
// predicted. The next call overwrites that.
func (w *whitener) run(x []float32) []float64 {
	n := len(w.window)
	for i, v := range x {
		w.past[n+i] = float64(v)
	}
	w.predict()
	for i := range w.rest {
		sum := 0.0
		at := w.past[n+i-whitenOrder : n+i+1]
		for k, a := range w.ahead {
			sum += a * at[whitenOrder-k]
		}
		w.rest[i] = sum
	}
	copy(w.past, w.past[len(x):])
	return w.rest
}

// predict makes the filter from the window by Levinson's recursion.
func (w *whitener) predict() {
	for i, v := range w.window {
		w.faded[i] = v * w.past[i]
	}
	for k := range w.lags {
		late := w.faded[k:]
		early := w.faded[:len(late)]
		a, b, i := 0.0, 0.0, 0
		for ; i+1 < len(late) && i+1 < len(early); i += 2 {
			a += late[i] * early[i]
			b += late[i+1] * early[i+1]
		}
		for ; i < len(late); i++ {
			a += late[i] * early[i]
		}
		w.lags[k] = a + b
	}
	// A little white noise keeps the recursion sound.
	left := w.lags[0]*(1+1e-5) + 1e-9
	clear(w.ahead[:])
	w.ahead[0] = 1
	for k := 1; k <= whitenOrder; k++ {
		sum := 0.0
		for i := range k {
			sum += w.ahead[i] * w.lags[k-i]
		}
		turn := -sum / left
		for i := 0; i <= k/2; i++ {
			a, b := w.ahead[i], w.ahead[k-i]
			w.ahead[i], w.ahead[k-i] = a+turn*b, b+turn*a
		}
		left *= 1 - turn*turn
	}
}
