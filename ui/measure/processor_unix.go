//go:build unix

package main

import (
	"fmt"
	"syscall"
	"time"
)

// processorTime is what this process has used so far, user and system.
func processorTime() (time.Duration, error) {
	var used syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &used); err != nil {
		return 0, fmt.Errorf("reading the processor's time: %w", err)
	}
	return time.Duration(used.Utime.Nano() + used.Stime.Nano()), nil
}
