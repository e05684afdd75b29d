package passage

import (
	"strconv"
	"strings"

	"footing/audio/click"
)

// MeterTerm is one fraction of a time signature: what stands above, in the
// groups that it is written in, and the note value below.
type MeterTerm struct {
	Above []int // each 1 to 64
	Below int   // a power of two, 1 to 64
}

// Meter is a time signature as printed: 4/4, 3+2/8, or several fractions, such
// as 2/4+3/8. Nobody writes to one once it is made.
type Meter struct {
	Terms []MeterTerm // none in senza misura
	// Symbol is how it is printed where not in figures: "common", "cut",
	// "single-number"; else empty.
	Symbol string
	// Free is senza misura: bars have no length of their own, and no beats.
	Free bool
}

// Known reports whether there is a meter at all, be it senza misura; the zero
// value is none.
func (m Meter) Known() bool { return m.Free || len(m.Terms) > 0 }

// Length is the length of a bar, 0 where the meter gives none.
func (m Meter) Length() Quarters {
	var sum Quarters
	for _, t := range m.Terms {
		for _, n := range t.Above {
			sum = sum.Add(click.Frac(int64(n)*4, int64(t.Below)))
		}
	}
	return sum
}

// Below is the note value that beats are counted in: the finest below a line, 4
// where there is no meter.
func (m Meter) Below() int {
	below := 0
	for _, t := range m.Terms {
		below = max(below, t.Below)
	}
	if below == 0 {
		return 4
	}
	return below
}

// Groups are the lengths that the meter is made of, as written: 3/2 and 1 for
// 3+2/8, one of 4 for 4/4. Beams go by them in additive meters.
func (m Meter) Groups() []Quarters {
	var out []Quarters
	for _, t := range m.Terms {
		for _, n := range t.Above {
			out = append(out, click.Frac(int64(n)*4, int64(t.Below)))
		}
	}
	return out
}

// Click is the meter as the click counts it, with several fractions brought to
// the finest note value: 2/4+3/8 is 4+3/8. It is false where the click has no
// such meter, as in senza misura.
func (m Meter) Click() (click.Meter, bool) {
	var above []string
	below := m.Below()
	for _, t := range m.Terms {
		for _, n := range t.Above {
			above = append(above, strconv.Itoa(n*below/t.Below))
		}
	}
	c, err := click.ParseMeter(strings.Join(above, "+") + "/" + strconv.Itoa(below))
	return c, err == nil
}

// String writes "4/4", "3+2/8", "2/4+3/8", "senza misura", or nothing where no
// meter is known.
func (m Meter) String() string {
	if m.Free {
		return "senza misura"
	}
	terms := make([]string, len(m.Terms))
	for i, t := range m.Terms {
		above := make([]string, len(t.Above))
		for j, n := range t.Above {
			above[j] = strconv.Itoa(n)
		}
		terms[i] = strings.Join(above, "+") + "/" + strconv.Itoa(t.Below)
	}
	return strings.Join(terms, "+")
}
