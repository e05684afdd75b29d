// Command table hears takes whose onsets are known and writes, by instrument,
// articulation and tempo, how well: F within 25 ms of the take's median
// offset, the spread of the timing error, the pitch. Beside it stand Debian's
// aubioonset, with each of its methods, and aubiopitch, on the same takes with
// the same scorer.
//
//	go run ./audio/takes/table -o table.md
//
// With -figures it has figures played over and over instead: in rooms, with clicks,
// at another tempo than is told, with vibrato, as faded slurs, tongued and slurred in
// turn. It says in how many even takes a change is named, and in how many with a habit
// that one is.
//
//	go run ./audio/takes/table -figures 100 -row "0.6 m"
package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/signal"
	"time"

	"footing/audio/takes"
)

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run() error {
	out := flag.String("o", "", "the file to write; standard output when empty")
	beats := flag.Int("beats", 6, "beats of sixteenths in each take")
	others := flag.Bool("others", false, "further instruments in place of the five")
	font := flag.String("soundfont", takes.SoundFont, "the samples to play with")
	alone := flag.Bool("alone", false, "leave the other programs out")
	figures := flag.Int("figures", 0, "even figures of each row, and as many with a habit, in place of the takes")
	row := flag.String("row", "", "only rows of figures whose names hold this")
	from := flag.Int("from", 0, "the first figure of each row")
	flag.Parse()
	if flag.NArg() > 0 {
		return errors.New("table takes no arguments; see -h")
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()

	if *figures > 0 {
		var b bytes.Buffer
		if err := tryAll(ctx, &b, chosen(*row), *from, *figures); err != nil {
			return err
		}
		return write(*out, b.Bytes())
	}
	instruments := takes.Instruments()
	if *others {
		instruments = takes.Others()
	}
	t := newTable(!*alone)
	for i, s := range specs(instruments, *beats, *font) {
		s.Seed = uint64(i)
		take, err := takes.Make(ctx, s)
		if err != nil {
			return err
		}
		if err := t.add(ctx, take); err != nil {
			return err
		}
		if (i+1)%20 == 0 {
			fmt.Fprintf(os.Stderr, "%d takes\n", i+1)
		}
	}
	if err := t.race(ctx); err != nil {
		return err
	}
	var b bytes.Buffer
	t.write(&b, time.Now())
	return write(*out, b.Bytes())
}

// write writes to a file, or to standard output without one.
func write(path string, text []byte) error {
	if path == "" {
		_, err := os.Stdout.Write(text)
		return err
	}
	return os.WriteFile(path, text, 0o644)
}

// specs lists the takes: every instrument, articulation, pattern and tempo
// dry, and one tempo of each in the other places.
func specs(instruments []takes.Instrument, beats int, font string) []takes.Spec {
	var list []takes.Spec
	tempos := []float64{60, 100, 130, 160}
	scatter := []float64{0, 5, 10}
	gates := []float64{0.75, 0.6, 0.85}
	for _, in := range instruments {
		for _, a := range []takes.Articulation{takes.Tongued, takes.Slurred} {
			for p, pattern := range takes.Patterns() {
				if a == takes.Slurred && pattern == takes.Repeated {
					continue // a slurred repeated note is one note
				}
				for i, place := range []takes.Place{takes.Dry, takes.Noisy, takes.Echo, takes.Clicks} {
					for j, bpm := range tempos {
						if place != takes.Dry && j != (i+p)%len(tempos) {
							continue
						}
						list = append(list, takes.Spec{
							Instrument: in, Pattern: pattern, Articulation: a, Place: place, BPM: bpm, Beats: beats,
							ScatterMs: scatter[(j+p)%3], Gate: gates[(i+j+p)%3], SoundFont: font,
						})
					}
				}
			}
		}
	}
	return list
}
