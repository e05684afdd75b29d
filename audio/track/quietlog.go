package track

import (
	"bytes"
	"io"
)

// QuietLog passes on to w what a program logs, except the plea of the FLAC
// library: at 24 kHz and 176.4 kHz it logs a line for each block of sound, asking
// for test files, through the program's standard logger. Only the program can
// keep that off its user's screen: log.SetOutput(track.QuietLog(os.Stderr)).
// It is as safe for concurrent use as w.
func QuietLog(w io.Writer) io.Writer { return quietLog{w} }

type quietLog struct{ w io.Writer }

func (q quietLog) Write(p []byte) (int, error) {
	if bytes.Contains(p, []byte("The flac library test cases do not yet include")) {
		return len(p), nil
	}
	return q.w.Write(p)
}
