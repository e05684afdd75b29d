package cli

import (
	"fmt"
	"io"
	"sync"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"

	"footing/files"
)

// Plain passes text on to w with nothing in it that a terminal would obey:
// what is no visible character but a line's end or a tab is written as JSON
// writes it ("\u001b"), so that JSON stays JSON and means the same; a byte that
// is no UTF-8 as "\xe4". Every Write is to hold whole characters. It is as safe
// for concurrent use as w.
func Plain(w io.Writer) io.Writer { return plain{w} }

type plain struct{ w io.Writer }

func (p plain) Write(b []byte) (int, error) {
	if _, err := p.w.Write(escaped(b)); err != nil {
		return 0, err
	}
	return len(b), nil
}

func escaped(b []byte) []byte {
	out := make([]byte, 0, len(b))
	for len(b) > 0 {
		r, n := utf8.DecodeRune(b)
		switch {
		case r == utf8.RuneError && n == 1:
			out = fmt.Appendf(out, `\x%02x`, b[0])
		case r == '\n' || r == '\t' || !unicode.In(r, unicode.C, unicode.Zl, unicode.Zp):
			out = append(out, b[:n]...)
		case r > 0xFFFF:
			high, low := utf16.EncodeRune(r)
			out = fmt.Appendf(out, `\u%04x\u%04x`, high, low)
		default:
			out = fmt.Appendf(out, `\u%04x`, r)
		}
		b = b[n:]
	}
	return out
}

// output is a stream that a command writes to. It remembers the first error,
// and lets nothing through once the command has been left behind.
type output struct {
	w    io.Writer
	mu   sync.Mutex
	err  error
	left bool
}

// Write does not wait for one that is stuck, once the stream is left.
func (o *output) Write(b []byte) (int, error) {
	o.mu.Lock()
	left, err := o.left, o.err
	o.mu.Unlock()
	switch {
	case left:
		return len(b), nil
	case err != nil:
		return 0, err
	}
	n, err := o.w.Write(b)
	if err != nil {
		err = files.Cause(err)
		o.mu.Lock()
		o.err = err
		o.mu.Unlock()
	}
	return n, err
}

// leave lets nothing more through.
func (o *output) leave() {
	o.mu.Lock()
	o.left = true
	o.mu.Unlock()
}

// failed is the first error.
func (o *output) failed() error {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.err
}
