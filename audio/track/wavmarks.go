package track

import (
	"encoding/binary"
	"slices"
)

// cue is one point of a `cue ` chunk.
type cue struct {
	id    uint32
	frame int64
}

// Bounds on what a hostile file can make us hold; a day of reps at one every two
// seconds has 43 200 marks.
const (
	maxCues       = 1 << 16
	maxLabel      = 1 << 10 // bytes of one label
	maxLabelTotal = 1 << 22 // bytes of all
)

// readCues reads a `cue ` chunk: a count, and 24 bytes a point.
func (w *wavScan) readCues(body, size int64) error {
	const point = 24
	var head [4]byte
	if n, err := w.src.readAt(head[:min(4, size)], body); err != nil || n < 4 {
		return err
	}
	there := max(0, min(size, w.src.size-body)-4) / point
	count := min(int64(binary.LittleEndian.Uint32(head[:])), there)
	if room := int64(maxCues - len(w.cues)); count > room {
		w.note("there are more than %d cue points; the rest is left out", maxCues)
		count = room
	}
	b := make([]byte, count*point)
	n, err := w.src.readAt(b, body+4)
	if err != nil {
		return err
	}
	for b = b[:n]; len(b) >= point; b = b[point:] {
		le := binary.LittleEndian
		// The last field is the place in the data chunk, the second the place in
		// play order. Without a playlist both say the same, and some programs
		// leave one of them 0.
		frame := le.Uint32(b[20:])
		if frame == 0 {
			frame = le.Uint32(b[4:])
		}
		w.cues = append(w.cues, cue{le.Uint32(b), int64(frame)})
	}
	return nil
}

// readList reads the labels of a LIST chunk of type adtl, and notes of those
// that have no label. Lists of other types are passed over.
func (w *wavScan) readList(body, size int64) error {
	var kind [4]byte
	if n, err := w.src.readAt(kind[:min(4, size)], body); err != nil || n < 4 {
		return err
	}
	if string(kind[:]) == "wavl" && !w.hasData {
		return w.src.fail(body, "the sound is cut into a list of pieces (LIST wavl)", wantPCM)
	}
	if string(kind[:]) != "adtl" {
		return nil
	}
	end := min(body+size, w.src.size)
	at := body + 4
	for range maxCues {
		var head [12]byte
		if end-at < int64(len(head)) {
			return nil
		}
		n, err := w.src.readAt(head[:], at)
		if err != nil || n < len(head) {
			return err
		}
		length := int64(binary.LittleEndian.Uint32(head[4:]))
		id := binary.LittleEndian.Uint32(head[8:])
		kind := string(head[:4])
		if _, have := w.labels[id]; length >= 4 && (kind == "labl" || kind == "note" && !have) {
			text := make([]byte, max(0, min(length-4, maxLabel, end-at-12)))
			n, err := w.src.readAt(text, at+12)
			if err != nil {
				return err
			}
			if w.text += n; w.text > maxLabelTotal {
				w.note("the labels are longer than %d bytes together; the rest is left out", maxLabelTotal)
				return nil
			}
			w.labels[id] = labelText(text[:n])
		}
		at += 8 + length + length&1
	}
	return nil
}

// placedMarks joins cue points and their labels, in order of place.
func (w *wavScan) placedMarks() []Mark {
	marks := make([]Mark, len(w.cues))
	for i, c := range w.cues {
		marks[i] = Mark{c.frame, w.labels[c.id]}
	}
	slices.SortStableFunc(marks, byFrame)
	return marks
}
