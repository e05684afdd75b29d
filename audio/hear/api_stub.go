package hear

// Listener hears notes in a stream of mono samples. It is not safe for
// concurrent use.
type Listener struct{}

// NewListener starts listening at a sample rate in Hz, 8 000 to 384 000; other
// rates are an error.
func NewListener(rate int) (*Listener, error) { return &Listener{}, nil }

// Write takes the next samples, full scale ±1. It keeps nothing of the slice,
// and never allocates more than a bounded amount.
func (l *Listener) Write(samples []float32) {}

// Close tells that the stream has ended; the last onsets can be read after it.
func (l *Listener) Close() {}

// Onsets returns the onsets decided since the last call, in order of time.
func (l *Listener) Onsets() []Onset { return nil }

// Delay is the time in seconds by which an onset is told after it sounds, at most.
func (l *Listener) Delay() float64 { return 0 }

// Hearing sums up the stream so far.
func (l *Listener) Hearing() Hearing { return Hearing{} }

// Sentence says in plain words why a take holds nothing to judge; it is empty
// when it does.
func (h Hearing) Sentence() string { return "" }

// FindGrid lays a grid under the onsets, using what the hint knows. It never
// fails: without enough notes the finding has no candidates and its sentence
// says why.
func FindGrid(onsets []Onset, hint Hint) Finding { return Finding{} }

// Evenness sets the onsets against the grid and judges every slot and change.
// The zero grid gives a report of the notes alone.
func Evenness(onsets []Onset, grid Grid) Report { return Report{} }
