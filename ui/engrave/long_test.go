package engrave_test

import (
	"testing"
	"time"

	"footing/ui/engrave"
	"footing/ui/engrave/sample"
)

// A long piece takes in proportion to its length: a search that starts over for
// every note would take minutes here.
func TestALongPieceIsLaidOut(t *testing.T) {
	bars := make([]string, 2000)
	for i := range bars {
		bars[i] = "C4:16( D4:16 Eb4:16 F4:16 G4:16 F#4:16 G4:16 A4:16) Bb4:16 A4:16 G4:16 F4:16 Eb4:16 D4:16 C4:8"
	}
	l, err := sample.Line(sample.Tenor, -2, "4/4", bars...)
	if err != nil {
		t.Fatal(err)
	}
	start := time.Now()
	d := layout(t, l, engrave.Options{Width: 98})
	if len(d.Notes) != 15*len(bars) {
		t.Errorf("%d notes are drawn of %d", len(d.Notes), 15*len(bars))
	}
	if took := time.Since(start); took > time.Minute {
		t.Errorf("laying out %d bars takes %v", len(bars), took)
	} else {
		t.Logf("%d bars in %v", len(bars), took)
	}
}
