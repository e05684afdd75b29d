// Package timbre makes the struck sounds of the click, each named after the material that is struck, and the winds that
// a model sounds with, each named after an instrument.
//
// Every struck sound is a sum of damped modes, as a struck body's is: no sample files, and the same sound at any rate. It
// begins with a non-zero sample at index 0 and is over within 80 ms. The package is pure.
package timbre

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"footing/audio/click"
)

// The rates that sounds are made for, in frames per second.
const (
	minRate = 22_050
	maxRate = 384_000
)

// Names lists the timbres in the order in which to offer them.
func Names() []string {
	names := make([]string, len(materials))
	for i, m := range materials {
		names[i] = m.name
	}
	return names
}

// Describe says in one short line what a timbre is good for. It is empty for a name that Names does not list.
func Describe(name string) string {
	if m, ok := find(name); ok {
		return m.use
	}
	return ""
}

// Make makes the three sounds of a timbre at a rate of 22 050 to 384 000 frames per second. The accent is a fifth above
// the beat and the slot a fourth below it, and each is softer than the one above. All timbres are equally loud to within
// 2 dB (ITU-R BS.1770, a bar of sixteenths). It fails on an unknown name or a rate
// out of range.
func Make(name string, rate int) (click.Kit, error) {
	m, ok := find(name)
	if !ok {
		return click.Kit{}, fmt.Errorf("timbre %q is not known; the timbres are %s", name, strings.Join(Names(), ", "))
	}
	if rate < minRate || rate > maxRate {
		return click.Kit{}, fmt.Errorf("timbre %s: rate is %d frames per second; %d to %d can be made", name, rate, minRate, maxRate)
	}
	return click.Kit{
		Accent: m.strike(accentPitch, accentLevel*m.level, rate),
		Beat:   m.strike(1, beatLevel*m.level, rate),
		Slot:   m.strike(slotPitch, slotLevel*m.level, rate),
	}, nil
}

func find(name string) (material, bool) {
	i := slices.IndexFunc(materials, func(m material) bool { return m.name == name })
	if i < 0 {
		return material{}, false
	}
	return materials[i], true
}

// Pitches are ratios to the beat, levels are peaks. A fifth is heard as another pitch by anyone, in either ear; 3 dB are
// heard as louder. The player's own dynamics come on top.
const (
	accentPitch = 3.0 / 2
	slotPitch   = 3.0 / 4
	accentLevel = 1.0
	beatLevel   = 0.7
	slotLevel   = 0.5
)

const (
	longest = 0.080 // seconds; any program can tell two clicks apart by the silence between them
	fadeOut = 0.006 // seconds at the end in which what still rings is brought to zero
	onset   = 0.05  // share of the full level that sample 0 has: heard as silence, measured as the place
)

// mode is one way in which a body rings.
type mode struct {
	ratio float64 // frequency as a multiple of the body's lowest
	level float64 // amplitude at the strike, relative to the other modes
	ring  float64 // seconds until it has fallen to 1/e
}

// strike renders the body at a multiple of its pitch with the given peak. Modes near or above half the rate are left out,
// since they would come back as wrong ones.
func (m material) strike(pitch, peak float64, rate int) []float32 {
	n := int(min(longest, m.length) * float64(rate))
	sum := make([]float64, n)
	for _, d := range m.modes {
		hz := m.hz * pitch * d.ratio
		if hz > 0.45*float64(rate) {
			continue
		}
		// A mode 70 dB down is over.
		for i := range min(n, int(8*d.ring*float64(rate))) {
			t := float64(i) / float64(rate)
			sum[i] += d.level * math.Exp(-t/d.ring) * math.Cos(2*math.Pi*hz*t)
		}
	}
	top := 0.0
	for i := range sum {
		sum[i] *= rise(float64(i)/float64(rate)/m.attack) * fall(float64(n-i)/float64(rate)/fadeOut)
		top = max(top, math.Abs(sum[i]))
	}
	out := make([]float32, n)
	for i, v := range sum {
		out[i] = float32(v / top * peak)
	}
	return out
}

// rise goes from onset at 0 to 1 at 1, with no step in its slope.
func rise(x float64) float64 {
	if x >= 1 {
		return 1
	}
	return onset + (1-onset)*fall(x)
}

// fall goes from 0 at 0 to 1 at 1, with no step in its slope.
func fall(x float64) float64 {
	if x >= 1 {
		return 1
	}
	s := math.Sin(math.Pi / 2 * x)
	return s * s
}
