//go:build !unix

package main

import (
	"errors"
	"time"
)

func processorTime() (time.Duration, error) {
	return 0, errors.New("the processor's time is read on Unix alone")
}
