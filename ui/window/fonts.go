package window

import (
	"io"
	"log"

	"github.com/go-text/typesetting/fontscan"
)

// scanFonts looks the system's fonts over, for signs that our own have not. Fyne
// does so when it first measures the text of a field, on the main goroutine, and
// writes what it found to the disk: on a slow one the window would stand still
// under the player's hands. What is found is kept for the whole program (see
// initSystemFonts in fontscan), so whoever is first does it for all. It may take
// seconds, and be called from any goroutine.
func scanFonts() {
	// Without them Fyne does as well as it can, and says what it must.
	_ = fontscan.NewFontMap(log.New(io.Discard, "", 0)).UseSystemFonts("")
}
