package window

import (
	"bytes"
	"io"
	"strings"
	"sync"
)

// QuietLog passes on to w what a program logs, except one complaint of Fyne's:
// it watches its own preferences file and now and then reads it between
// emptying and filling it. It reads it again when it is full, so nothing is
// lost, and the player can do nothing about it. Each Write must be whole lines,
// as the log package writes them. It is as safe for concurrent use as w.
func QuietLog(w io.Writer) io.Writer { return &quietLog{w: w} }

type quietLog struct {
	w io.Writer

	mu   sync.Mutex
	held []byte // the first line of the complaint, until the second tells
	drop int    // lines of it still to come
}

// The complaint is three calls of the log package: what, cause, place.
const (
	complaint = "Fyne error:  Preferences load error:"
	cause     = "Cause: EOF"
	place     = "At: "
)

func (q *quietLog) Write(p []byte) (int, error) {
	q.mu.Lock()
	defer q.mu.Unlock()
	line := string(p)
	switch {
	case q.drop > 0 && strings.Contains(line, place):
		q.drop--
		return len(p), nil
	case q.held != nil && strings.Contains(line, cause):
		q.held, q.drop = nil, 1
		return len(p), nil
	case strings.Contains(line, complaint):
		held := q.held
		q.held = bytes.Clone(p)
		_, err := q.w.Write(held)
		return len(p), err
	}
	out := append(q.held, p...)
	q.held, q.drop = nil, 0
	if _, err := q.w.Write(out); err != nil {
		return 0, err
	}
	return len(p), nil
}
