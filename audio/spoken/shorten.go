package spoken

import "math"

// shorten is a sound in n frames at most, at the same pitch: pieces of 20 ms overlap
// each other by half, each taken from where it goes on best from the one before
// (waveform similarity overlap-add: Verhelst & Roelands, ICASSP 1993). The first
// piece stays where it is, so that a vowel begins as it did, and the last 8 ms fade.
func shorten(x []float32, n, rate int) []float32 {
	n = max(n, 0)
	out := make([]float32, min(n, len(x)))
	hop := rate / 100
	if len(out) == len(x) || len(out) <= 2*hop {
		copy(out, x)
		fade(out, rate)
		return out
	}
	speed := float64(len(x)-2*hop) / float64(len(out)-2*hop)
	copy(out[:2*hop], x)
	from := 0
	for at := hop; at < len(out); at += hop {
		from = alike(x, from+hop, int(float64(at)*speed), hop)
		for i := range min(2*hop, len(out)-at, len(x)-from) {
			if i >= hop {
				out[at+i] = x[from+i]
				continue
			}
			share := float32(0.5 - 0.5*math.Cos(math.Pi*float64(i)/float64(hop)))
			out[at+i] += (x[from+i] - out[at+i]) * share
		}
	}
	fade(out, rate)
	return out
}

// alike is the place within 6 ms of about from which a sound goes on most like it does
// from the place natural. Every other frame is enough to tell.
func alike(x []float32, natural, about, hop int) int {
	reach := hop * 6 / 10
	best, most := min(max(about, 0), len(x)), math.Inf(-1)
	for from := max(about-reach, 0); from <= about+reach && from+hop <= len(x); from += 2 {
		sum := 0.0
		for i := 0; i < hop && natural+i < len(x); i += 2 {
			sum += float64(x[natural+i]) * float64(x[from+i])
		}
		if sum > most {
			best, most = from, sum
		}
	}
	return best
}

// fade lets the last 8 ms of a sound fade.
func fade(x []float32, rate int) {
	n := min(rate*8/1000, len(x))
	for i := range n {
		x[len(x)-1-i] *= float32(i) / float32(n)
	}
}

// rise lets the first 3 ms of a sound rise.
func rise(x []float32, rate int) {
	n := min(rate*3/1000, len(x))
	for i := range n {
		x[i] *= float32(i) / float32(n)
	}
}
