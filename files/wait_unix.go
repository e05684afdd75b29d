//go:build unix

package files

import "syscall"

// withoutWaiting opens a pipe without a writer at once, and a terminal without
// making it the program's own.
const withoutWaiting = syscall.O_NONBLOCK | syscall.O_NOCTTY
