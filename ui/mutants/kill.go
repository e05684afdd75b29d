package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"
)

// errNoProgram says that a mutant does not compile.
var errNoProgram = errors.New("not a program")

// tests are the own tests of a package.
type tests struct {
	dir   string // for what is made
	pkg   string
	args  []string      // that they are given
	limit time.Duration // on one run
}

// newTests runs the package's tests once, which have to pass. A mutant is given
// five times as long as that.
func newTests(ctx context.Context, dir, pkg string) (*tests, error) {
	t := &tests{dir: dir, pkg: pkg, limit: 10 * time.Minute}
	imports, err := exec.CommandContext(ctx, "go", "list", "-f", "{{.TestImports}} {{.XTestImports}}", pkg).Output()
	if err != nil {
		return nil, fmt.Errorf("list the tests of %s: %w", pkg, err)
	}
	if strings.Contains(string(imports), "pgregory.net/rapid") {
		// What fails here is no finding, and the same seed gives the same answer.
		t.args = []string{"-rapid.nofailfile", "-rapid.seed=1"}
	}
	bin, err := t.build(ctx, mutant{})
	if err != nil {
		return nil, fmt.Errorf("build the tests of %s: %w", pkg, err)
	}
	start := time.Now()
	died, err := t.fails(ctx, bin)
	if err == nil && died {
		err = errors.New("they fail without a mutant")
	}
	if err != nil {
		return nil, fmt.Errorf("run the tests of %s: %w", pkg, err)
	}
	t.limit = max(10*time.Second, 5*time.Since(start))
	return t, nil
}

// kill reports whether the tests fail on the mutant, or do not end.
func (t *tests) kill(ctx context.Context, m mutant) (died bool, err error) {
	bin, err := t.build(ctx, m)
	if err != nil {
		return false, err
	}
	return t.fails(ctx, bin)
}

// build makes the test binary. The go command is told to read the mutant in place
// of its file, which stays as it is.
func (t *tests) build(ctx context.Context, m mutant) (bin string, err error) {
	bin = filepath.Join(t.dir, "tests")
	args := []string{"test", "-c", "-vet=off", "-o", bin}
	if m.file != "" {
		src, err := os.ReadFile(m.file)
		if err != nil {
			return "", err
		}
		file, err := filepath.Abs(m.file)
		if err != nil {
			return "", err
		}
		copied, overlay := filepath.Join(t.dir, "mutant.go"), filepath.Join(t.dir, "overlay.json")
		list, err := json.Marshal(map[string]any{"Replace": map[string]string{file: copied}})
		if err != nil {
			return "", err
		}
		if err := errors.Join(os.WriteFile(copied, m.source(src), 0o666), os.WriteFile(overlay, list, 0o666)); err != nil {
			return "", err
		}
		args = append(args, "-overlay", overlay)
	}
	out, err := exec.CommandContext(ctx, "go", append(args, t.pkg)...).CombinedOutput()
	if err := ctx.Err(); err != nil {
		return "", err
	}
	if err != nil && m.file != "" {
		return "", errNoProgram
	}
	if err != nil {
		return "", fmt.Errorf("%w\n%s", err, out)
	}
	return bin, nil
}

// fails reports whether the tests fail, or take longer than they may.
func (t *tests) fails(ctx context.Context, bin string) (bool, error) {
	in, cancel := context.WithTimeout(ctx, t.limit)
	defer cancel()
	cmd := exec.CommandContext(in, bin, append([]string{"-test.failfast"}, t.args...)...)
	cmd.Dir = t.pkg
	err := cmd.Run()
	var exit *exec.ExitError
	switch {
	case ctx.Err() != nil:
		return false, ctx.Err()
	case err == nil:
		return false, nil
	case errors.As(err, &exit):
		return true, nil
	}
	return false, err
}
