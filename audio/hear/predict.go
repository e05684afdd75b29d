package hear

import "math"

// predictor predicts a sound from its own past: an autoregressive model of the
// stretch before an onset, so that what it does not predict is new (Takanami & Kitagawa 1988, "A new efficient procedure for the estimation of
// onset times of seismic waves", J. Phys. Earth 36, 267-290). Notes that ring
// on and a room's echo of them are sums of decaying tones, and such a sum is
// predicted without error by as many terms.
type predictor struct {
	order int         // terms
	cov   [][]float64 // Σ x(t-i)·x(t-j), upper triangle
	coef  []float64
	diag  []float64
	row   [2][]float64
	damp  []float64
	// The residuals from a place on of the sound that begins at of.
	ahead [4]float64
	from  int
	of    *float64
}

const (
	// ridge keeps the model from learning what lies more than 60 dB under the sound.
	ridge = 1e-6
	// The model also learns from a copy of the stretch that dies away within
	// about dampTerms samples, dampWeight times as heavily: so it predicts the
	// old note whether it is held or let go, and letting go is no onset.
	dampTerms  = 120.0
	dampWeight = 4.0
)

func newPredictor(order int) *predictor {
	p := &predictor{order: order, coef: make([]float64, order), diag: make([]float64, order)}
	p.cov = make([][]float64, order+1)
	for i := range p.cov {
		p.cov[i] = make([]float64, order+1)
	}
	for i := range p.row {
		p.row[i] = make([]float64, order+1)
	}
	return p
}

// fit learns from x by least squares (the covariance method), and from also,
// which may be nil. It reports false when x is too short or silent.
func (p *predictor) fit(x, also []float64) bool {
	p.of = nil
	if len(x) < 2*p.order {
		return false
	}
	for i := range p.cov {
		clear(p.cov[i])
	}
	p.learn(x, 1)
	p.damp = p.damp[:0]
	keep, gain := math.Exp(-1/dampTerms), 1.0
	for _, v := range x {
		p.damp = append(p.damp, v*gain)
		gain *= keep
	}
	p.learn(p.damp, dampWeight)
	if len(also) > 2*p.order {
		p.learn(also, 1)
	}
	return p.solve()
}

// learn adds the products of x; each row follows from the one above.
func (p *predictor) learn(x []float64, weight float64) {
	m := p.order
	n := len(x)
	prev, next := p.row[0], p.row[1]
	now := x[m:]
	for j := 0; j <= m; j += 4 {
		if j+4 > m+1 {
			for ; j <= m; j++ {
				s := 0.0
				late := x[m-j:][:len(now)]
				for t, v := range now {
					s += v * late[t]
				}
				prev[j] = s
			}
			break
		}
		// Four at a time share the loads and keep the adders busy.
		var s0, s1, s2, s3 float64
		l0, l1, l2, l3 := x[m-j:][:len(now)], x[m-j-1:][:len(now)], x[m-j-2:][:len(now)], x[m-j-3:][:len(now)]
		for t, v := range now {
			s0 += v * l0[t]
			s1 += v * l1[t]
			s2 += v * l2[t]
			s3 += v * l3[t]
		}
		prev[j], prev[j+1], prev[j+2], prev[j+3] = s0, s1, s2, s3
	}
	for j, s := range prev {
		p.cov[0][j] += weight * s
	}
	for i := 1; i <= m; i++ {
		row := p.cov[i][i:]
		above, below := prev[i-1:][:len(row)], next[i:][:len(row)]
		first, last := x[:m-i+1], x[n-m:][:m-i+1]
		a, b := x[m-i], x[n-i]
		for j := range row {
			k := len(first) - 1 - j
			below[j] = above[j] + a*first[k] - b*last[k]
			row[j] += weight * below[j]
		}
		prev, next = next, prev
	}
}

// solve finds the coefficients by an LDL' factorisation in place.
func (p *predictor) solve() bool {
	m := p.order
	c, a := p.cov, p.coef
	floor := c[0][0] * ridge
	if c[0][0] < 1e-12 {
		return false
	}
	for i := 1; i <= m; i++ {
		c[i][i] += floor
	}
	for i := 1; i <= m; i += 2 {
		// Two rows at a time, of which the first goes into the second.
		top := c[i]
		d := top[i]
		if d < floor*1e-6 {
			return false
		}
		p.diag[i-1] = d
		if i == m {
			break
		}
		f := top[i+1] / d
		next := c[i+1]
		for k := i + 1; k <= m; k++ {
			next[k] -= f * top[k]
		}
		e := next[i+1]
		if e < floor*1e-6 {
			return false
		}
		p.diag[i] = e
		for r := i + 2; r <= m; r++ {
			f, g := top[r]/d, next[r]/e
			row := c[r][r:]
			a, b := top[r:][:len(row)], next[r:][:len(row)]
			for k, v := range row {
				row[k] = v - f*a[k] - g*b[k]
			}
		}
	}
	// c now holds D·L' above the diagonal.
	for i := 1; i <= m; i++ {
		s := c[0][i]
		for k := 1; k < i; k++ {
			s -= c[k][i] / p.diag[k-1] * a[k-1]
		}
		a[i-1] = s
	}
	for i := m; i >= 1; i-- {
		s := a[i-1] / p.diag[i-1]
		for k := i + 1; k <= m; k++ {
			s -= c[i][k] / p.diag[i-1] * a[k-1]
		}
		a[i-1] = s
	}
	return true
}

// residual is the prediction residual at x[t]; t is at least p.order. Those that
// follow are worked out along with it, so x must not change before the next fit.
func (p *predictor) residual(x []float64, t int) float64 {
	if k := t - p.from; p.of == &x[0] && k >= 0 && k < len(p.ahead) {
		return p.ahead[k]
	}
	m := p.order
	if t+len(p.ahead) > len(x) {
		s := x[t]
		past := x[t-m : t]
		for i, a := range p.coef {
			s -= a * past[m-1-i]
		}
		return s
	}
	y := x[t-m:][:m+3]
	s0, s1, s2, s3 := x[t], x[t+1], x[t+2], x[t+3]
	for i, a := range p.coef {
		past := y[m-1-i:][:4]
		s0 -= a * past[0]
		s1 -= a * past[1]
		s2 -= a * past[2]
		s3 -= a * past[3]
	}
	p.of, p.from, p.ahead = &x[0], t, [4]float64{s0, s1, s2, s3}
	return s0
}
