package declick

import "math"

// transform is the discrete Fourier transform of real values, whose number is a
// power of two from 8 up: that of half as many complex ones, the even and the odd
// values (Sorensen, Jones, Heideman & Burrus 1987, "Real-valued fast Fourier
// transform algorithms", IEEE Trans. ASSP 35, 849-863), by fours and in order of
// frequency at each stage (Stockham; Van Loan 1992, "Computational Frameworks for
// the Fast Fourier Transform", 1.7).
type transform struct {
	n    int
	turn []complex128 // by k/n of a turn backwards
	a, b []complex128 // scratch
}

func newTransform(n int) *transform {
	t := &transform{n: n, turn: make([]complex128, n), a: make([]complex128, n/2), b: make([]complex128, n/2)}
	for k := range t.turn {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
		t.turn[k] = complex(cos, -sin)
	}
	return t
}

// coefficients are the n/2+1 of lowest frequency of n values, put into dst.
func (t *transform) coefficients(dst []complex128, seq []float64) []complex128 {
	h := t.n / 2
	seq = seq[:t.n]
	for k := range t.a {
		t.a[k] = complex(seq[2*k], seq[2*k+1])
	}
	z := t.run()
	dst = dst[:h+1]
	dst[0], dst[h] = complex(real(z[0])+imag(z[0]), 0), complex(real(z[0])-imag(z[0]), 0)
	for k := 1; k <= h/2; k++ {
		u, v, w := z[k], z[h-k], t.turn[k]
		// The transforms of the even values and of the odd ones.
		er, ei := (real(u)+real(v))/2, (imag(u)-imag(v))/2
		or, oi := (imag(u)+imag(v))/2, (real(v)-real(u))/2
		or, oi = or*real(w)-oi*imag(w), or*imag(w)+oi*real(w)
		dst[k], dst[h-k] = complex(er+or, ei+oi), complex(er-or, oi-ei)
	}
	return dst
}

// sequence is the n values, put into dst, whose coefficients are given, n times as
// large.
func (t *transform) sequence(dst []float64, coef []complex128) []float64 {
	h := t.n / 2
	coef = coef[:h+1]
	// Backwards is forwards with real and imaginary parts exchanged.
	t.a[0] = complex(real(coef[0])-real(coef[h]), real(coef[0])+real(coef[h]))
	for k := 1; k <= h/2; k++ {
		u, v, w := coef[k], coef[h-k], t.turn[k]
		er, ei := real(u)+real(v), imag(u)-imag(v)
		dr, di := real(u)-real(v), imag(u)+imag(v)
		or, oi := dr*real(w)+di*imag(w), di*real(w)-dr*imag(w)
		t.a[k], t.a[h-k] = complex(ei+or, er-oi), complex(or-ei, er+oi)
	}
	z := t.run()
	dst = dst[:t.n]
	for k, v := range z {
		dst[2*k], dst[2*k+1] = imag(v), real(v)
	}
	return dst
}

// around are the values some places before the first one, those before it being at the
// end, and after it, less what the lowest frequency adds and half as large; what lies
// above the coefficients given is 0.
func (t *transform) around(coef []complex128, places int) (before, after float64) {
	// Even coefficients and odd ones, so that neither waits for the other.
	var cos0, cos1, sin0, sin1 float64
	mask := t.n - 1
	turn := t.turn[:mask+1]
	k := 1
	for ; k+1 < len(coef); k += 2 {
		u, v := coef[k], coef[k+1]
		p, q := turn[k*places&mask], turn[(k+1)*places&mask]
		cos0 += real(u) * real(p)
		sin0 += imag(u) * imag(p)
		cos1 += real(v) * real(q)
		sin1 += imag(v) * imag(q)
	}
	if k < len(coef) {
		p := turn[k*places&mask]
		cos0 += real(coef[k]) * real(p)
		sin0 += imag(coef[k]) * imag(p)
	}
	cos, sin := cos0+cos1, sin0+sin1 // turns are backwards
	return cos - sin, cos + sin
}

// run transforms the complex values in a, and returns where they are then.
func (t *transform) run() []complex128 {
	x, y := t.a, t.b
	part := len(x) / 4
	// The first stage, of one transform of all values.
	a, b, c, d := x[:part], x[part:][:part], x[2*part:][:part], x[3*part:][:part]
	for p := range part {
		o := y[4*p:][:4]
		o[0], o[1], o[2], o[3] = fourth(a[p], b[p], c[p], d[p], t.turn[2*p], t.turn[4*p], t.turn[6*p])
	}
	x, y = y, x
	n, s := part, 4 // s transforms of n values each are left
	for ; n >= 4; n, s = n/4, 4*s {
		for p := range n / 4 {
			w1, w2, w3 := t.turn[2*s*p], t.turn[4*s*p], t.turn[6*s*p]
			a, b := x[s*p:][:s], x[s*p+part:][:s]
			c, d := x[s*p+2*part:][:s], x[s*p+3*part:][:s]
			out := y[4*s*p:][:4*s]
			o0, o1, o2, o3 := out[:s], out[s:][:s], out[2*s:][:s], out[3*s:][:s]
			for q := range s {
				o0[q], o1[q], o2[q], o3[q] = fourth(a[q], b[q], c[q], d[q], w1, w2, w3)
			}
		}
		x, y = y, x
	}
	if n == 2 {
		half := len(x) / 2
		a, b, c, d := x[:half], x[half:][:half], y[:half], y[half:][:half]
		for q := range half {
			c[q], d[q] = a[q]+b[q], a[q]-b[q]
		}
		x = y
	}
	return x
}

// fourth is a transform of four values, each but the first then turned.
func fourth(a, b, c, d, w1, w2, w3 complex128) (o0, o1, o2, o3 complex128) {
	sum, dif := a+c, a-c
	sum2, dif2 := b+d, b-d
	dif2 = complex(-imag(dif2), real(dif2))
	return sum + sum2, w1 * (dif - dif2), w2 * (sum - sum2), w3 * (dif + dif2)
}
