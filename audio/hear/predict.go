package hear

import "math"

// predictor foretells a sound from its own past: an autoregressive model of
// the stretch before an onset, so that what it fails to foretell is new
// (Takanami & Kitagawa 1988, "A new efficient procedure for the estimation of
// onset times of seismic waves", J. Phys. Earth 36, 267-290). Notes that still
// ring and a room's echo of them are sums of decaying tones, and such a sum is
// foretold without error by as many terms.
type predictor struct {
	order int
	cov   [][]float64
	coef  []float64
	diag  []float64
}

func newPredictor(order int) *predictor {
	p := &predictor{order: order, coef: make([]float64, order), diag: make([]float64, order)}
	p.cov = make([][]float64, order+1)
	for i := range p.cov {
		p.cov[i] = make([]float64, order+1)
	}
	return p
}

// fit learns from x (covariance method). It reports false when x is too short
// or silent. The ridge keeps the model from learning what lies more than
// ridgeDB under the sound.
func (p *predictor) fit(x []float64) bool {
	m := p.order
	n := len(x)
	if n < 2*m {
		return false
	}
	c := p.cov
	for i := range c {
		clear(c[i])
	}
	p.learn(x, 1)
	if XDamp > 0 {
		y := make([]float64, n)
		for t := range y {
			y[t] = x[t] * math.Exp(-float64(t)/XDamp)
		}
		p.learn(y, XWeight)
	}
	if c[0][0] < 1e-12 {
		return false
	}
	ridge := c[0][0] * ridgePower
	// Solve for the coefficients by LDL' in place (upper triangle of 1..m).
	for i := 1; i <= m; i++ {
		c[i][i] += ridge
	}
	for i := 1; i <= m; i++ {
		d := c[i][i]
		if d <= ridge*1e-6 {
			return false
		}
		p.diag[i-1] = d
		for r := i + 1; r <= m; r++ {
			f := c[i][r] / d
			if f == 0 {
				continue
			}
			row, top := c[r], c[i]
			for k := r; k <= m; k++ {
				row[k] -= f * top[k]
			}
		}
	}
	// c[i][r] now holds D·L' above the diagonal.
	a := p.coef
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

const ridgePower = 1e-6

// miss is what the model fails to foretell of x[t].
func (p *predictor) miss(x []float64, t int) float64 {
	s := x[t]
	for i, a := range p.coef {
		s -= a * x[t-1-i]
	}
	return s
}

var _ = math.Abs

var XDamp, XWeight = 120.0, 4.0

// c[i][j] = Σ x(t-i)·x(t-j); each row follows from the one above.
func (p *predictor) learn(x []float64, weight float64) {
	m, n := p.order, len(x)
	c := p.cov
	d := make([]float64, m+1)
	for j := 0; j <= m; j++ {
		s := 0.0
		for t := m; t < n; t++ {
			s += x[t] * x[t-j]
		}
		d[j] = s
	}
	row := make([]float64, m+1)
	copy(row, d)
	for j := range row {
		c[0][j] += weight * row[j]
	}
	prev := row
	for i := 1; i <= m; i++ {
		next := make([]float64, m+1)
		for j := i; j <= m; j++ {
			next[j] = prev[j-1] + x[m-i]*x[m-j] - x[n-i]*x[n-j]
			c[i][j] += weight * next[j]
		}
		prev = next
	}
}
