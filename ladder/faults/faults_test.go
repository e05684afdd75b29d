package faults_test

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"testing"

	"footing/ladder/faults"
)

// A list says all that it holds, a line each, and is all of it to errors.Is.
func TestList(t *testing.T) {
	list := faults.List[*fs.PathError]{
		{Op: "open", Path: "a.yaml", Err: fs.ErrNotExist},
		{Op: "read", Path: "b.yaml", Err: fs.ErrPermission},
	}
	err := fmt.Errorf("check: %w", list)
	if got, want := list.Error(), list[0].Error()+"\n"+list[1].Error(); got != want || strings.Count(got, "\n") != 1 {
		t.Errorf("it says %q, want %q", got, want)
	}
	if !errors.Is(err, fs.ErrNotExist) || !errors.Is(err, fs.ErrPermission) || errors.Is(err, fs.ErrExist) {
		t.Error("it is not what it holds")
	}
	var again faults.List[*fs.PathError]
	if !errors.As(err, &again) || len(again) != 2 {
		t.Errorf("taken back it is %v", again)
	}
}
