package draw

import (
	"image/color"
	"sort"

	"footing/ui/window/look"
)

// laneWord is a syllable and where it stands.
type laneWord struct {
	x    float32
	s    string
	beat bool
	kind SectionKind
}

// words writes the syllables: somewhat smaller where they would touch, and
// where that does not help only as many as stay clear of those on the beat.
// Those that the light's foot would cut into wait under it; but a foot that rests
// makes way for them. It returns where the foot is.
func (l *Lane) words(s *scene, p *look.Palette, words []laneWord, under [2]float32, rests bool, k float32) [2]float32 {
	sort.SliceStable(words, func(a, b int) bool { return words[a].beat && !words[b].beat })
	style := func(w laneWord, share float32) (look.Face, float32, color.NRGBA) {
		switch {
		case w.kind != SectionChunk && w.kind != SectionLanding:
			return look.Regular, max(24*k*share, 14), p.Soft
		case w.beat:
			return look.Bold, max(28*k*share, 15), p.Ink
		}
		return look.Regular, max(24*k*share, 14), p.Ink
	}
	place := func(share float32) (kept []laneWord) {
		var taken [][2]float32
		for _, w := range words {
			face, font, _ := style(w, share)
			half := textWidth(w.s, face, font)/2 + max(2*k, 2)
			if !touches(taken, w.x-half, w.x+half) {
				taken = append(taken, [2]float32{w.x - half, w.x + half})
				kept = append(kept, w)
			}
		}
		return kept
	}
	share := float32(1)
	kept := place(share)
	for _, smaller := range []float32{0.86, 0.74} {
		if len(kept) == len(words) {
			break
		}
		if all := place(smaller); len(all) == len(words) {
			share, kept = smaller, all
		}
	}
	edges := func(w laneWord) (from, to float32) {
		face, font, _ := style(w, share)
		half := textWidth(w.s, face, font) / 2
		return w.x - half, w.x + half
	}
	if rests {
		for _, w := range kept {
			if from, to := edges(w); from < under[0] && to > under[0] {
				under[0], under[1] = to+k, under[1]+to+k-under[0]
			}
		}
	}
	for _, w := range kept {
		face, font, c := style(w, share)
		from, to := edges(w)
		if cut := to > under[0] && from < under[1] && (from < under[0] || to > under[1]); cut {
			s.withhold()
			continue
		}
		s.text(w.s, w.x, l.written*k, mid, face, font, c)
	}
	return under
}

// worded reports whether any stroke has a syllable.
func (l *Lane) worded() bool {
	for _, sec := range l.model.Sections {
		for _, st := range sec.Strokes {
			if st.Syllable != "" {
				return true
			}
		}
	}
	return false
}

func touches(taken [][2]float32, from, to float32) bool {
	for _, t := range taken {
		if from < t[1] && to > t[0] {
			return true
		}
	}
	return false
}
