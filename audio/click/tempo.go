package click

import (
	"fmt"
	"strconv"
	"strings"
)

// Tempo is in thousandths of a beat per minute: 76 500 is 76.5 bpm. The beat
// is whatever unit the meter is counted in.
type Tempo int64

// The slowest and the fastest tempo that can be played: 10 and 400 bpm.
const (
	MinTempo Tempo = 10_000
	MaxTempo Tempo = 400_000
)

// BPM returns a tempo of n whole beats per minute.
func BPM(n int) Tempo { return Tempo(n) * 1000 }

// Valid reports whether t lies within 10 to 400 bpm.
func (t Tempo) Valid() bool { return t >= MinTempo && t <= MaxTempo }

// Clamp returns the tempo nearest to t within 10 to 400 bpm.
func (t Tempo) Clamp() Tempo { return min(max(t, MinTempo), MaxTempo) }

// BPM returns the tempo in beats per minute, for drawing and for statistics.
func (t Tempo) BPM() float64 { return float64(t) / 1000 }

// String writes bpm with no more decimals than needed: "76", "76.5", "66.667".
func (t Tempo) String() string {
	s := fmt.Sprintf("%d.%03d", t/1000, t%1000)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}

// ParseTempo reads bpm from 10 to 400 with up to three decimals: "76", "76.5".
func ParseTempo(s string) (Tempo, error) {
	bad := fmt.Errorf("%q is not a tempo; write beats a minute from 10 to 400, such as 76 or 76.5", s)
	whole, part, _ := strings.Cut(strings.TrimSpace(s), ".")
	if len(part) > 3 || whole == "" || strings.Trim(whole+part, "0123456789") != "" {
		return 0, bad
	}
	n, err := strconv.ParseInt(whole+part+strings.Repeat("0", 3-len(part)), 10, 64)
	if err != nil || !Tempo(n).Valid() {
		return 0, bad
	}
	return Tempo(n), nil
}
