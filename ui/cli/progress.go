package cli

import (
	"fmt"
	"io"
	"time"
	"unicode/utf8"
)

// progress is one live line of how far long work has come. Without a terminal
// it says nothing.
type progress struct {
	out   io.Writer
	live  bool
	shown string
	last  time.Time
}

// every is how often the line may change.
const every = 100 * time.Millisecond

// widest is the most characters of a line: one that wraps cannot be taken away.
const widest = 79

func newProgress(w World) *progress {
	p := &progress{out: w.Err, live: w.Live}
	if w.line != nil {
		p.out = w.line
	}
	return p
}

// due reports whether a line would be put up now.
func (p *progress) due() bool { return p.live && time.Since(p.last) >= every }

// show puts the line up, unless the one before has just been shown.
func (p *progress) show(format string, args ...any) {
	if !p.due() {
		return
	}
	line := escaped(fmt.Appendf(nil, format, args...))
	if utf8.RuneCount(line) > widest {
		line = append([]byte(string([]rune(string(line))[:widest-1])), "…"...)
	}
	p.put(string(line))
	p.last = time.Now()
}

// done takes the line away.
func (p *progress) done() {
	if p.live && p.shown != "" {
		p.put("")
	}
}

func (p *progress) put(line string) {
	if line == p.shown {
		return
	}
	blank := max(0, utf8.RuneCountInString(p.shown)-utf8.RuneCountInString(line))
	fmt.Fprintf(p.out, "\r%s%*s\r%s", line, blank, "", line)
	p.shown = line
}
