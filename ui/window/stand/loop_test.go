package stand

import (
	"strconv"
	"strings"
	"testing"

	"footing/ui/window/draw"
)

// While the click runs the chunk is edited, and the lane shows one chunk with what
// leads into it and out: its beats are counted through, none twice.
func TestAnEditedChunkIsCountedThrough(t *testing.T) {
	for at, beats := range map[string]float64{"rest": 0, "count-in": 1.3, "rep": 3.3, "landing": 4.3, "breath": 5.3, "next rep": 7.3} {
		for _, keys := range []string{"[", "]", "<", ">", "]]", "<[", "l"} {
			r := newRig(t)
			if beats > 0 {
				r.keys("Space")
				r.play(beats)
			}
			for _, k := range keys {
				r.keys(string(k))
			}
			for range 4 {
				m, _ := lane(r.session.View())
				got, label := counts(m)
				for i := 1; i < len(got); i++ {
					if got[i] != got[i-1]%4+1 {
						t.Errorf("%s in the %s: counted %v", keys, at, got)
						break
					}
				}
				if old := strings.Contains(label, "then new"); old != earlier(r.session.View()) {
					t.Errorf("%s in the %s: the chunk is called %q", keys, at, label)
				}
				if beats > 0 {
					r.play(1)
				}
			}
			r.play(8)
			m, _ := lane(r.session.View())
			if _, label := counts(m); strings.Contains(label, "then new") {
				t.Errorf("%s in the %s: later it is called %q", keys, at, label)
			}
		}
	}
}

// counts are the numbers of the beats along the lane, and the chunk's label.
func counts(m draw.LaneModel) (out []int, label string) {
	for _, s := range m.Sections {
		if s.Kind == draw.SectionChunk {
			label = s.Label
		}
		for _, stroke := range s.Strokes {
			if n, err := strconv.Atoi(stroke.Syllable); err == nil {
				out = append(out, n)
			}
		}
	}
	return out, label
}
