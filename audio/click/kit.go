package click

// Voice says which of a kit's three sounds a stroke is struck with. Which kit that is
// its [Rank] says, where a phrase has several.
type Voice uint8

// The three voices. An accent differs from a plain beat in pitch as well as in
// level; a slot between beats is the lightest.
const (
	SlotVoice Voice = iota
	BeatVoice
	AccentVoice
)

// Kit is one timbre: a mono sound for each voice at the renderer's rate. The
// peak is at most 1, sample 0 is not zero, and the sound is over (exact zero)
// within 80 ms. A kit in use is never written to.
type Kit struct {
	Accent, Beat, Slot []float32
}

// Sound returns the samples of the voice.
func (k *Kit) Sound(v Voice) []float32 {
	switch v {
	case AccentVoice:
		return k.Accent
	case BeatVoice:
		return k.Beat
	}
	return k.Slot
}
