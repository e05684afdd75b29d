package window

import (
	"bytes"
	"log"
	"testing"
)

func TestQuietLogDropsOneComplaintOnly(t *testing.T) {
	var out bytes.Buffer
	l := log.New(QuietLog(&out), "", 0)
	l.Println("before")
	l.Println("Fyne error: ", "Preferences load error:")
	l.Println("  Cause:", "EOF")
	l.Println("  At:", "preferences.go:103")
	l.Println("Fyne error: ", "Preferences load error:")
	l.Println("  Cause:", "permission denied")
	l.Println("  At:", "preferences.go:103")
	l.Println("after")
	want := "before\nFyne error:  Preferences load error:\n  Cause: permission denied\n  At: preferences.go:103\nafter\n"
	if out.String() != want {
		t.Errorf("logged\n%s\nwant\n%s", out.String(), want)
	}
}
