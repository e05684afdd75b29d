package passage

import "footing/audio/click"

// Quarters is a length or a place in a score, as an exact fraction of quarter
// notes: 1/2 is an eighth, 4 a bar of 4/4. It is the click's fraction with the
// quarter for its beat.
//
// What a reader gives has denominators up to [MaxParts] and lies below
// [MaxQuarters], so that adding and comparing two of them never overflows.
type Quarters = click.Beats

const (
	// MaxParts is the finest part of a quarter in a score, 1/1000000.
	MaxParts = 1_000_000
	// MaxQuarters is how long a score may be, in quarters.
	MaxQuarters = 2_000_000
)

// InBeats is the same length in beats of the unit u.
func InBeats(q Quarters, u click.Unit) click.Beats {
	return click.Frac(q.Num()*int64(u.Den), q.Den()*4*int64(max(u.Num, 1)))
}

// FromBeats is the same length in quarters, where b counts beats of the unit u.
func FromBeats(b click.Beats, u click.Unit) Quarters {
	return click.Frac(b.Num()*4*int64(u.Num), b.Den()*int64(max(u.Den, 1)))
}
