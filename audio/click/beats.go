package click

import (
	"fmt"
	"strconv"
	"strings"
)

// Beats is an exact length or place in musical time, a fraction of beats in
// lowest terms. The zero value is no beats. Values compare with ==.
//
// Numerator and denominator are int64. A day at 400 bpm is 576 000 beats, and
// denominators in use divide a few hundred, so sums stay far from overflow;
// [ParseBeats] refuses denominators above [MaxDenominator].
type Beats struct {
	num int64
	off int64 // denominator less one, so that the zero value is 0/1
}

// MaxDenominator is the finest fraction of a beat that can be written.
const MaxDenominator = 960

// Frac returns num/den beats in lowest terms. A den below one counts as one.
func Frac(num, den int64) Beats {
	den = max(den, 1)
	if g := gcd(abs(num), den); g > 1 {
		num, den = num/g, den/g
	}
	return Beats{num: num, off: den - 1}
}

// Whole returns n whole beats.
func Whole(n int) Beats { return Beats{num: int64(n)} }

// Num is the numerator in lowest terms; it carries the sign.
func (b Beats) Num() int64 { return b.num }

// Den is the denominator in lowest terms, at least 1.
func (b Beats) Den() int64 { return b.off + 1 }

// Add returns b + c.
func (b Beats) Add(c Beats) Beats {
	switch { // a whole number more leaves a fraction in lowest terms
	case b.off == 0:
		return Beats{b.num*c.Den() + c.num, c.off}
	case c.off == 0:
		return Beats{b.num + c.num*b.Den(), b.off}
	}
	return Frac(b.num*c.Den()+c.num*b.Den(), b.Den()*c.Den())
}

// Sub returns b − c.
func (b Beats) Sub(c Beats) Beats { return b.Add(Beats{num: -c.num, off: c.off}) }

// Times returns n·b.
func (b Beats) Times(n int64) Beats { return Frac(b.num*n, b.Den()) }

// Cmp is negative, zero or positive as b is less than, equal to or more than c.
func (b Beats) Cmp(c Beats) int {
	l, r := b.num*c.Den(), c.num*b.Den()
	switch {
	case l < r:
		return -1
	case l > r:
		return 1
	}
	return 0
}

// Less reports whether b < c.
func (b Beats) Less(c Beats) bool { return b.Cmp(c) < 0 }

// Sign is −1, 0 or 1.
func (b Beats) Sign() int {
	switch {
	case b.num < 0:
		return -1
	case b.num > 0:
		return 1
	}
	return 0
}

// Floor is the largest whole number of beats that is not above b.
func (b Beats) Floor() int {
	q := b.num / b.Den()
	if b.num%b.Den() < 0 {
		q--
	}
	return int(q)
}

// Ceil is the smallest whole number of beats that is not below b.
func (b Beats) Ceil() int { return -(Beats{num: -b.num, off: b.off}).Floor() }

// Float returns the nearest float64, for drawing only.
func (b Beats) Float() float64 { return float64(b.num) / float64(b.Den()) }

// String writes "2", "1/2" or "3/2".
func (b Beats) String() string {
	if b.off == 0 {
		return strconv.FormatInt(b.num, 10)
	}
	return fmt.Sprintf("%d/%d", b.num, b.Den())
}

// ParseBeats reads "2", "1/2", "2+1/2" or "2.5": a number of beats from 0 up
// to 100 000 with a denominator up to [MaxDenominator], and with four decimals
// at most.
func ParseBeats(s string) (Beats, error) {
	var sum Beats
	for _, term := range strings.Split(strings.TrimSpace(s), "+") {
		b, ok := parseTerm(strings.TrimSpace(term))
		sum = sum.Add(b)
		// Looked at after every term, so that none can overflow.
		if !ok || sum.Den() > MaxDenominator || Whole(100_000).Less(sum) {
			return Beats{}, fmt.Errorf("%q is not a number of beats; write a whole number or a fraction such as 2, 1/2 or 2+1/2", s)
		}
	}
	return sum, nil
}

// parseTerm reads one unsigned "7", "1/2" or "2.5".
func parseTerm(s string) (Beats, bool) {
	digits := func(s string) (int64, bool) {
		n, err := strconv.ParseUint(s, 10, 32)
		return int64(n), err == nil
	}
	if num, den, ok := strings.Cut(s, "/"); ok {
		n, ok1 := digits(num)
		d, ok2 := digits(den)
		return Frac(n, d), ok1 && ok2 && d > 0
	}
	whole, part, dotted := strings.Cut(s, ".")
	n, ok := digits(whole)
	if !ok || !dotted {
		return Frac(n, 1), ok
	}
	p, ok := digits(part)
	den := int64(1)
	for range part {
		den *= 10
	}
	return Frac(n, 1).Add(Frac(p, den)), ok && len(part) <= 4
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

func abs(n int64) int64 {
	if n < 0 {
		return -n
	}
	return n
}
