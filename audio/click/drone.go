package click

// Drone is a steady tone under the click, to tune to. It goes on from phrase to phrase
// as long as they have one, whatever becomes of tempo and chunk, and ends with the
// click. The volume of the click is the drone's as well.
type Drone struct {
	Wave  *Wave
	Hz    float64 // above 0, far below half the rate of the renderer
	Level float32 // of the wave, 0 to 8
}

// A drone comes and goes, and changes its level, within droneSeconds; it turns from one
// pitch to another within turnSeconds.
const (
	droneSeconds = 0.100
	turnSeconds  = 0.040
)

// drone is the oscillator of a drone. There is one, whose phase goes on through every
// change, so that no sample is far from the one before.
type drone struct {
	rate   int
	now    Drone // its wave is nil where none ever sounded
	wanted Drone
	phase  uint64 // in periods, of 2^-64
	step   uint64 // periods a frame, of 2^-64
	gain   float32
	ramp   float32 // the most that the gain moves in a frame

	// While it turns it comes from these.
	waveFrom     *Wave
	stepFrom     uint64
	turn, turnTo int // frames since that began; those of the whole
}

// want lets another drone sound from now on, or none.
func (d *drone) want(to *Drone) {
	before := d.wanted.Level
	if to == nil || to.Wave == nil || len(to.Wave.Samples) <= WaveLength {
		d.wanted.Level = 0
	} else {
		d.wanted = *to
	}
	if d.wanted.Level != before {
		by := d.wanted.Level - d.gain
		d.ramp = max(by, -by) / float32(droneSeconds*float64(d.rate))
	}
}

// pitch takes up the pitch that is wanted: at once in silence, else by a turn, after the
// one that is under way.
func (d *drone) pitch() {
	if d.wanted.Wave == d.now.Wave && d.wanted.Hz == d.now.Hz || d.waveFrom != nil {
		return
	}
	if d.gain == 0 {
		d.phase = 0
	} else {
		d.waveFrom, d.stepFrom = d.now.Wave, d.step
		d.turn, d.turnTo = 0, int(turnSeconds*float64(d.rate))
	}
	d.now = d.wanted
	d.step = uint64(d.now.Hz / float64(d.rate) * (1 << 32) * (1 << 32))
}

// add adds the drone to dst, and returns how many frames it was before it fell silent.
func (d *drone) add(dst []float32) (sounded int) {
	level := d.wanted.Level
	if d.gain == 0 && level == 0 {
		d.waveFrom = nil
		return 0
	}
	d.pitch()
	for i := range dst {
		if d.gain != level {
			if d.gain = towards(d.gain, level, d.ramp); d.gain == 0 {
				return i
			}
		}
		dst[i] += d.next() * d.gain
	}
	return len(dst)
}

// next is the next sample at full level. In a turn the pitch and the wave change one
// after the other, half of it each, so that the wave that sounds is never one with
// partials for a lower pitch.
func (d *drone) next() float32 {
	if d.waveFrom == nil {
		s := read(d.now.Wave.Samples, d.phase)
		d.phase += d.step
		return s
	}
	d.turn++
	x := 2 * float32(d.turn) / float32(d.turnTo)
	wave, pitch := smooth(x), smooth(max(x-1, 0))
	if d.step < d.stepFrom {
		wave, pitch = pitch, wave
	}
	s := read(d.waveFrom.Samples, d.phase)
	s += (read(d.now.Wave.Samples, d.phase) - s) * wave
	d.phase += d.stepFrom + uint64(int64(float64(int64(d.step-d.stepFrom))*float64(pitch)))
	if d.turn == d.turnTo {
		d.waveFrom = nil
	}
	return s
}
