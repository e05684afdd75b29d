//go:build android || darwin || js || windows

package speaker

import (
	"testing"

	"github.com/ebitengine/oto/v3"
)

// The linked variable has to be oto's: a context made there shows here, and taking the note back allows another.
func TestAnotherContext(t *testing.T) {
	opts := &oto.NewContextOptions{SampleRate: 48_000, ChannelCount: 2, Format: oto.FormatFloat32LE}
	allowAnotherContext()
	if _, ready, err := oto.NewContext(opts); err == nil {
		<-ready
	}
	if !contextCreated {
		t.Fatal("oto made a context and contextCreated is false: it is no longer oto's own variable")
	}
	const refused = "oto: context is already created"
	if _, _, err := oto.NewContext(opts); err == nil || err.Error() != refused {
		t.Fatalf("a second context without asking: got error %v, want %q: oto may allow several now", err, refused)
	}
	allowAnotherContext()
	if _, ready, err := oto.NewContext(opts); err == nil {
		<-ready
	} else if err.Error() == refused {
		t.Fatal("a second context is refused although it was allowed")
	}
}
