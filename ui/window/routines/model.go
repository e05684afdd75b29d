// Package routines is the Routines view: the files of the player's folder, the
// steps of one, and a step in the same words as the file.
package routines

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"footing/ladder"
	"footing/ladder/routine"
)

// Fresh is a new routine with one step, in no file yet.
func Fresh() *routine.File {
	step := ladder.DefaultStep()
	step.Name = "First step"
	f, err := routine.New(ladder.Routine{Name: "New routine", Steps: []ladder.Step{step}})
	if err != nil {
		panic(fmt.Sprintf("the default step cannot be written: %v", err)) // a test holds that it can
	}
	return f
}

// wrong is one thing wrong with a file, and the text around it.
type wrong struct{ line, excerpt string }

// explain is what is wrong with a file that cannot be read.
func explain(path string, err error, data []byte) []wrong {
	var bad routine.Errors
	if !errors.As(err, &bad) {
		return []wrong{{line: err.Error()}}
	}
	const most = 6
	var out []wrong
	for i, e := range bad {
		if i == most {
			return append(out, wrong{line: fmt.Sprintf("and %d more", len(bad)-most)})
		}
		short := *e
		short.File = filepath.Base(path)
		out = append(out, wrong{short.Error(), strings.TrimRight(routine.Excerpt(data, e.Line, e.Col), "\n")})
	}
	return out
}
