// Mutants says how well the tests of a package would notice a fault in it: it
// makes small faults, one at a time, runs the package's own tests on each, and
// counts those that make them fail. It reads the sources and never writes to
// them. Call it through .ci/mutants.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	err := run(ctx, os.Stdout, os.Args[1:])
	if err != nil && !errors.Is(err, flag.ErrHelp) {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(ctx context.Context, out io.Writer, args []string) error {
	flags := flag.NewFlagSet("mutants", flag.ContinueOnError)
	n := flags.Int("n", 100, "how many mutants to seed")
	seed := flags.Uint64("seed", 1, "which ones")
	at := flags.String("at", "", "only those in a file, or on a line, such as judge.go:49")
	if err := flags.Parse(args); err != nil {
		return err
	}
	packages := flags.Args()
	if len(packages) == 0 {
		packages = []string{"./ladder", "./ladder/conduct", "./audio/click"}
	}
	dir, err := os.MkdirTemp("", "mutants")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	var all []mutant
	tests := map[string]*tests{}
	for _, pkg := range packages {
		found, err := seeded(pkg)
		if err != nil {
			return fmt.Errorf("read %s: %w", pkg, err)
		}
		all = append(all, found...)
		if tests[pkg], err = newTests(ctx, dir, pkg); err != nil {
			return err
		}
	}
	rand.New(rand.NewPCG(*seed, 0)).Shuffle(len(all), func(i, k int) { all[i], all[k] = all[k], all[i] })
	var total tally
	by := map[string]*tally{}
	for _, m := range all {
		if total.seeded == *n {
			break
		}
		if !m.stands(*at) {
			continue
		}
		died, err := tests[m.pkg].kill(ctx, m)
		if ctx.Err() != nil {
			break // with what there is
		}
		switch {
		case errors.Is(err, errNoProgram):
			continue // what the compiler refuses is no fault that a test could find
		case err != nil:
			return fmt.Errorf("%s: %w", m, err)
		}
		if by[m.pkg] == nil {
			by[m.pkg] = new(tally)
		}
		total.add(died)
		by[m.pkg].add(died)
		if !died {
			fmt.Fprintf(out, "lives  %s\n", m)
		}
	}
	for _, pkg := range packages {
		if t := by[pkg]; t != nil {
			fmt.Fprintf(out, "%s: %d of %d die\n", pkg, t.died, t.seeded)
		}
	}
	fmt.Fprintf(out, "%d of %d seeded mutants die\n", total.died, total.seeded)
	return ctx.Err()
}

type tally struct{ seeded, died int }

func (t *tally) add(died bool) {
	t.seeded++
	if died {
		t.died++
	}
}

// stands reports whether the mutant is at a place such as judge.go or
// judge.go:49; any is at "".
func (m mutant) stands(place string) bool {
	file, line, exact := strings.Cut(place, ":")
	return (file == "" || strings.HasSuffix(filepath.ToSlash(m.file), file)) && (!exact || line == fmt.Sprint(m.line))
}
