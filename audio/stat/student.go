package stat

import "math"

// TwoSided is the chance that Student's t with df degrees of freedom lies at
// least |t| from 0 (Abramowitz & Stegun 26.5.27: the regularised incomplete
// beta function).
func TwoSided(t, df float64) float64 {
	if df <= 0 || math.IsNaN(t) {
		return 1
	}
	if math.IsInf(t, 0) {
		return 0
	}
	return incompleteBeta(df/(df+t*t), df/2, 0.5)
}

// incompleteBeta is the regularised I_x(a, b), by Lentz's evaluation of its
// continued fraction (Abramowitz & Stegun 26.5.8).
func incompleteBeta(x, a, b float64) float64 {
	switch {
	case x <= 0:
		return 0
	case x >= 1:
		return 1
	case x > (a+1)/(a+b+2):
		return 1 - incompleteBeta(1-x, b, a)
	}
	la, _ := math.Lgamma(a)
	lb, _ := math.Lgamma(b)
	lab, _ := math.Lgamma(a + b)
	front := math.Exp(lab-la-lb+a*math.Log(x)+b*math.Log(1-x)) / a
	const tiny = 1e-300
	c, d := 1.0, 1-(a+b)*x/(a+1)
	if math.Abs(d) < tiny {
		d = tiny
	}
	d = 1 / d
	f := d
	for m := 1; m < 300; m++ {
		k := float64(m)
		for _, num := range []float64{
			k * (b - k) * x / ((a + 2*k - 1) * (a + 2*k)),
			-(a + k) * (a + b + k) * x / ((a + 2*k) * (a + 2*k + 1)),
		} {
			d = 1 + num*d
			if math.Abs(d) < tiny {
				d = tiny
			}
			c = 1 + num/c
			if math.Abs(c) < tiny {
				c = tiny
			}
			d = 1 / d
			f *= c * d
			if num != 0 && math.Abs(c*d-1) < 1e-14 {
				return front * f
			}
		}
	}
	return front * f
}

// Over is the chance that Fisher's F with n and m degrees of freedom lies above f
// (Abramowitz & Stegun 26.6.2).
func Over(f, n, m float64) float64 {
	if n <= 0 || m <= 0 || math.IsNaN(f) || f <= 0 {
		return 1
	}
	if math.IsInf(f, 1) {
		return 0
	}
	return incompleteBeta(m/(m+n*f), m/2, n/2)
}
