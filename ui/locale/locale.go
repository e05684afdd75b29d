// Package locale gives the process a well-formed locale where it has none.
//
// Fyne reads the locale while its packages are initialised, before main, and
// complains on standard error of "C" and "POSIX", which are what bare machines
// and services have. Every command would begin with that complaint. So this
// must happen earlier still: the package imports nothing but os, and packages
// that wait for no other are initialised in the order of their import paths
// (Go specification, "Program initialization"; sorting by path is Go 1.21's).
package locale

import "os"

// WellFormed reports that the locale has been seen to.
var WellFormed = mend()

// mend replaces locales that name no language by English.
func mend() bool {
	for _, name := range []string{"LC_ALL", "LC_MESSAGES", "LANG"} {
		switch os.Getenv(name) {
		case "C", "POSIX", "C.UTF-8", "C.utf8":
			if os.Setenv(name, "en_US.UTF-8") != nil {
				return false
			}
		}
	}
	return true
}
