package main

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"math"
	"os/exec"
	"strconv"
	"strings"

	"footing/audio/stat"
	"footing/audio/takes"
)

// methods are those of aubioonset 0.4.9; its default is hfc.
func methods() []string {
	return []string{"energy", "hfc", "complex", "phase", "specdiff", "kl", "mkl", "specflux"}
}

func aubioOnsets(ctx context.Context, path, method string) ([]float64, error) {
	lines, err := program(ctx, "aubioonset", "-O", method, "-i", path)
	if err != nil {
		return nil, err
	}
	var out []float64
	for _, f := range lines {
		out = append(out, f[0])
	}
	return out, nil
}

// aubioPitches counts the notes whose pitch aubiopitch has right: the median
// of what it says from 30 ms after the onset to 10 ms before the next.
func aubioPitches(ctx context.Context, path string, t takes.Take) (int, error) {
	lines, err := program(ctx, "aubiopitch", "-u", "midi", "-i", path)
	if err != nil {
		return 0, err
	}
	right := 0
	for i, n := range t.Notes {
		end := n.Seconds + 0.25
		if i+1 < len(t.Notes) {
			end = min(end, t.Notes[i+1].Seconds-0.010)
		}
		var heard []float64
		for _, f := range lines {
			if len(f) > 1 && f[0] >= n.Seconds+0.030 && f[0] < end && f[1] > 0 {
				heard = append(heard, f[1])
			}
		}
		if len(heard) > 0 && int(math.Round(stat.Median(heard))) == n.Midi {
			right++
		}
	}
	return right, nil
}

// program runs another program and reads the numbers of each line it prints.
func program(ctx context.Context, name string, args ...string) ([][]float64, error) {
	out, err := exec.CommandContext(ctx, name, args...).Output()
	if err != nil {
		return nil, fmt.Errorf("running %s: %w", name, err)
	}
	var lines [][]float64
	for s := bufio.NewScanner(bytes.NewReader(out)); s.Scan(); {
		var row []float64
		for _, f := range strings.Fields(s.Text()) {
			v, err := strconv.ParseFloat(f, 64)
			if err != nil {
				break
			}
			row = append(row, v)
		}
		if len(row) > 0 {
			lines = append(lines, row)
		}
	}
	return lines, nil
}
