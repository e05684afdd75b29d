package track

import (
	"fmt"
	"io"
	"math"
)

// Resampler changes the rate of one channel of sound, for analysis: a polyphase
// filter, the sinc function under a Kaiser window (Kaiser 1974; formulas as in
// Oppenheim & Schafer, "Discrete-Time Signal Processing", from memory).
//
// Frequencies are relative to half of the lower of the two rates. Up to 0.9 of it
// sound passes with its level within 0.001 dB; from 1.1 of it on, sound and images
// are down by 90 dB or more. Between, the filter falls, and what folds there stays
// above 0.9. From 44.1 to 48 kHz, 19.8 kHz still passes.
//
// The filter is symmetric and its delay is taken out: output sample n is the
// input at the time n/to seconds, exactly, at the start, at the end, and after any
// number of samples, since the place is counted in integers. A sample is put out
// once [Resampler.Ahead] input samples after its place are known.
//
// Before the start and after the end the sound is taken as silence.
type Resampler struct {
	taps  int
	table []float32 // phases+1 rows of taps; the last is the first, one sample later
	// The place of the next output between two input samples is frac/up, with
	// frac in [0, up); each output moves on by down/up input samples.
	up, down, frac int64
	phases         int64 // == up where each place has its own row

	hist   []float32 // input, of which the first filled samples are valid
	filled int
	at     int // the first sample of hist that the next output takes

	read, wrote int64
}

// Bounds that keep the filter's table within 1 MiB and one output sample cheap.
const (
	maxRatio      = 256
	maxTable      = 1 << 18
	interpolated  = 512 // phases per sample of the lower rate, between which is interpolated
	halfTaps      = 32  // of the filter, in samples of the lower rate
	transition    = 0.1 // half-width of the falling part, relative to half the lower rate
	resampleBlock = 4096
)

// NewResampler returns a resampler between two rates in frames per second. It
// returns an error where a rate is not positive or one is more than 256 times the
// other.
func NewResampler(from, to int) (*Resampler, error) {
	if from < 1 || to < 1 || from > maxRate || to > maxRate || from/to >= maxRatio || to/from >= maxRatio {
		return nil, fmt.Errorf("cannot resample from %d to %d frames a second; rates of 1 to %d can be, one less than %d times the other",
			from, to, maxRate, maxRatio)
	}
	g := gcd(from, to)
	r := &Resampler{up: int64(to / g), down: int64(from / g)}
	// Cut off at half the lower rate, in the middle of the fall.
	ratio := max(1, float64(from)/float64(to))
	half := int(math.Ceil(halfTaps*ratio/4)) * 4
	r.taps = 2 * half
	r.phases = r.up
	if r.up*int64(r.taps) > maxTable {
		r.phases = int64(math.Ceil(interpolated / ratio))
	}
	r.table = makeTable(half, int(r.phases), ratio)
	r.hist = make([]float32, r.taps+resampleBlock)
	r.filled = half - 1 // silence before the first sample
	return r, nil
}

// makeTable computes the rows of filter weights. Weight k of row p belongs to
// the input sample at the distance k-half+1-p/phases from the output's place.
// Each row adds up to 1, so that a constant stays what it is.
func makeTable(half, phases int, ratio float64) []float32 {
	taps := 2 * half
	// Kaiser's formulas: the attenuation that this width allows, and the window's shape.
	attenuation := 7.95 + 14.36*transition*float64(taps)/ratio
	beta := 0.1102 * (attenuation - 8.7)
	norm := 1 / bessel0(beta)
	table := make([]float32, (phases+1)*taps)
	row := make([]float64, taps)
	for p := range phases + 1 {
		sum := 0.0
		for k := range row {
			x := float64(k-half+1) - float64(p)/float64(phases)
			edge := 1 - x*x/float64(half*half)
			row[k] = sinc(x/ratio) * bessel0(beta*math.Sqrt(max(0, edge))) * norm
			if edge < 0 {
				row[k] = 0
			}
			sum += row[k]
		}
		for k, v := range row {
			table[p*taps+k] = float32(v / sum)
		}
	}
	return table
}

// Process takes samples from src and puts out into dst what can be known. It
// returns how many it put out and took; it stops when dst is full or src is
// empty. It allocates nothing.
func (r *Resampler) Process(dst, src []float32) (wrote, read int) {
	for {
		n := copy(r.hist[r.filled:], src[read:])
		r.filled += n
		r.read += int64(n)
		read += n
		n = r.put(dst[wrote:])
		wrote += n
		if wrote == len(dst) || read == len(src) && n == 0 {
			return wrote, read
		}
	}
}

// Drain puts out into dst what is left after the last input sample, and returns
// how many samples; 0 means that all is out. In all there are
// ceil(input · to/from) samples. Process must not be called after it.
func (r *Resampler) Drain(dst []float32) (wrote int) {
	total := (r.read*r.up + r.down - 1) / r.down
	for wrote < len(dst) && r.wrote < total {
		clear(r.hist[r.filled:])
		r.filled = len(r.hist)
		wrote += r.put(dst[wrote:min(int64(len(dst)), int64(wrote)+total-r.wrote)])
	}
	return wrote
}

// put puts out what hist allows and makes room in it.
func (r *Resampler) put(dst []float32) (n int) {
	stepWhole, stepFrac := int(r.down/r.up), r.down%r.up
	for n < len(dst) && r.at+r.taps <= r.filled {
		x := r.hist[r.at : r.at+r.taps]
		if r.phases == r.up {
			row := int(r.frac) * r.taps
			dst[n] = dot(x, r.table[row:row+r.taps])
		} else {
			place := r.frac * r.phases
			row := int(place/r.up) * r.taps
			weight := float32(place%r.up) / float32(r.up)
			a := dot(x, r.table[row:row+r.taps])
			b := dot(x, r.table[row+r.taps:row+2*r.taps])
			dst[n] = a + weight*(b-a)
		}
		n++
		r.at += stepWhole
		if r.frac += stepFrac; r.frac >= r.up {
			r.frac -= r.up
			r.at++
		}
	}
	r.wrote += int64(n)
	if used := min(r.at, r.filled); used > 0 && (r.filled == len(r.hist) || used == r.filled) {
		r.filled = copy(r.hist, r.hist[used:r.filled])
		r.at -= used
	}
	return n
}

// dot multiplies and adds eight at a time into four sums, which don't wait for
// each other. The length is a multiple of 8.
func dot(a, b []float32) float32 {
	var s0, s1, s2, s3 float32
	for len(a) >= 8 && len(b) >= 8 {
		s0 += a[0]*b[0] + a[4]*b[4]
		s1 += a[1]*b[1] + a[5]*b[5]
		s2 += a[2]*b[2] + a[6]*b[6]
		s3 += a[3]*b[3] + a[7]*b[7]
		a, b = a[8:], b[8:]
	}
	return s0 + s1 + s2 + s3
}

// Resample returns r at another rate, in frames per second; see [Resampler] for
// what it keeps. r must have one channel. At the rate that r has already, it
// returns r. Marks keep their time to the nearest frame. Closing the result closes r.
func Resample(r Reader, rate int) (Reader, error) {
	info := r.Info()
	if info.Channels != 1 {
		return nil, fmt.Errorf("cannot resample %d channels together; mix them to one first", info.Channels)
	}
	if info.Rate == rate {
		return r, nil
	}
	rs, err := NewResampler(info.Rate, rate)
	if err != nil {
		return nil, err
	}
	return &resampledReader{Reader: r, rs: rs, rate: rate, buf: make([]float32, resampleBlock)}, nil
}

type resampledReader struct {
	Reader
	rs      *Resampler
	rate    int
	buf     []float32
	pending []float32 // read and not yet taken
	err     error     // what ended the source
}

func (r *resampledReader) Info() Info {
	info := r.Reader.Info()
	if info.Frames >= 0 {
		info.Frames = (info.Frames*r.rs.up + r.rs.down - 1) / r.rs.down
	}
	info.Rate = r.rate
	return info
}

func (r *resampledReader) Marks() []Mark {
	marks := r.Reader.Marks()
	for i := range marks {
		marks[i].Frame = (2*marks[i].Frame*r.rs.up + r.rs.down) / (2 * r.rs.down)
	}
	return marks
}

func (r *resampledReader) Read(dst []float32) (int, error) {
	if len(dst) == 0 {
		return 0, io.ErrShortBuffer
	}
	for {
		if r.err == io.EOF && len(r.pending) == 0 {
			if n := r.rs.Drain(dst); n > 0 {
				return n, nil
			}
			return 0, io.EOF
		}
		wrote, read := r.rs.Process(dst, r.pending)
		r.pending = r.pending[read:]
		switch {
		case wrote > 0:
			return wrote, nil
		case r.err == io.EOF:
			continue
		case r.err != nil:
			return 0, r.err
		}
		var n int
		n, r.err = r.Reader.Read(r.buf)
		r.pending = r.buf[:n]
	}
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

func sinc(x float64) float64 {
	if x == 0 {
		return 1
	}
	return math.Sin(math.Pi*x) / (math.Pi * x)
}

// bessel0 is the modified Bessel function of order 0, by its power series.
func bessel0(x float64) float64 {
	sum, term := 1.0, 1.0
	for k := 1.0; term > sum*1e-17; k++ {
		term *= (x / (2 * k)) * (x / (2 * k))
		sum += term
	}
	return sum
}
