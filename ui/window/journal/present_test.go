package journal

import (
	"testing"
	"time"
)

func TestMinutes(t *testing.T) {
	for d, want := range map[time.Duration]string{
		0: "0", 14 * time.Second: "<1", 29 * time.Second: "<1", 31 * time.Second: "1", 95 * time.Minute: "95",
	} {
		if got := minutes(d); got != want {
			t.Errorf("%v are %q minutes, want %q", d, got, want)
		}
	}
}
