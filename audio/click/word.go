package click

// Word is something that is spoken within a phrase: its sound begins before its
// place, so that its vowel lies on it.
type Word struct {
	// At is counted from the start of the phrase.
	At Beats
	// Sound is at the renderer's rate, and at most 1. It is shared and not written to.
	Sound []float32
	// Lead is how many frames of the sound come before the place, from 0 up. What of
	// them there is no more time for is left out; the rest stays in its place.
	Lead int
}

// left is what is left of a sound that should have begun some frames ago.
func left(sound []float32, late int64) []float32 {
	return sound[min(late, int64(len(sound))):]
}
