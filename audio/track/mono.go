package track

import (
	"fmt"
	"io"
	"slices"
)

// Mono mixes all channels of r into one, each with equal weight, as a listener
// between the loudspeakers would hear it. It is decided on each frame alone, so
// it streams, and a take sounds the same wherever it is cut; the price is that a
// voice on one of n channels comes out n times softer, and that two channels with
// opposite signs cancel. The latter is said in Notes, and [Channel] is the remedy.
// One channel is passed through. Closing the result closes r.
func Mono(r Reader) Reader {
	if r.Info().Channels == 1 {
		return r
	}
	return &mixer{Reader: r, channel: -1}
}

// Channel picks one channel of r, counted from 0. Closing the result closes r.
func Channel(r Reader, channel int) (Reader, error) {
	n := r.Info().Channels
	if channel < 0 || channel >= n {
		return nil, fmt.Errorf("there is no channel %d; 0 to %d can be picked", channel, n-1)
	}
	if n == 1 {
		return r, nil
	}
	return &mixer{Reader: r, channel: channel}, nil
}

type mixer struct {
	Reader
	channel int // or -1 for all
	buf     []float32

	// Energies, to notice channels that cancel.
	mixed, separate float64
}

func (m *mixer) Info() Info {
	info := m.Reader.Info()
	info.Channels = 1
	return info
}

func (m *mixer) Read(dst []float32) (int, error) {
	if len(dst) == 0 {
		return 0, io.ErrShortBuffer
	}
	channels := m.Reader.Info().Channels
	// As much as one read, so that memory doesn't depend on dst.
	want := min(len(dst), max(1, 16384/channels)) * channels
	if cap(m.buf) < want {
		m.buf = make([]float32, want)
	}
	n, err := m.Reader.Read(m.buf[:want])
	frames := n / channels
	if m.channel >= 0 {
		for i := range dst[:frames] {
			dst[i] = m.buf[i*channels+m.channel]
		}
		return frames, err
	}
	scale := 1 / float32(channels)
	for i := range dst[:frames] {
		var sum float32
		for _, v := range m.buf[i*channels : (i+1)*channels] {
			v *= scale // before adding, so that no sum overflows
			sum += v
			m.separate += float64(v) * float64(v)
		}
		dst[i] = sum
		m.mixed += float64(sum) * float64(sum)
	}
	return frames, err
}

// Notes adds a warning where the mix holds less than a hundredth of what its
// channels would hold if they had nothing to do with each other.
func (m *mixer) Notes() []string {
	notes := slices.Clone(m.Reader.Notes())
	if m.channel < 0 && m.mixed < m.separate/100 {
		notes = append(notes, "the channels all but cancel each other when mixed to one, as with a wire reversed; pick one of them")
	}
	return notes
}
