package routine

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"reflect"
	"slices"

	"gopkg.in/yaml.v3"

	"footing/files"
	"footing/ladder"
)

// File is a routine with the text it was read from. Its methods must not be
// called at the same time.
type File struct {
	path    string
	src     *source
	root    *yaml.Node // the mapping at the top
	routine ladder.Routine
	onDisk  bool              // whether it was ever read from or written to path
	hash    [sha256.Size]byte // of what is on the disk, as far as is known
}

// Parse reads a routine from the bytes of a file; name is what errors call it.
// The error is an [Errors].
func Parse(name string, data []byte) (*File, error) {
	src := newSource(name, data)
	if err := src.checkText(); err != nil {
		return nil, Errors{err}
	}
	root, err := tree(src)
	if err != nil {
		return nil, Errors{err}
	}
	r := &reader{src: src}
	routine := r.routine(root)
	if len(r.errs) > 0 {
		return nil, r.sorted()
	}
	return &File{path: name, src: src, root: root, routine: routine}, nil
}

// Load reads a routine file; what is no plain file it refuses without opening it.
// The error is an [Errors] when the file is at fault; otherwise it wraps what the
// system said, such as fs.ErrNotExist, or [files.ErrFolder] and
// [files.ErrDevice].
func Load(path string) (*File, error) { return LoadContext(context.Background(), path) }

// LoadContext is Load, given up with the error of ctx when that ends first.
func LoadContext(ctx context.Context, path string) (*File, error) {
	data, size, err := files.Read(ctx, path, MaxBytes+1)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%s: %w", files.Name(path), files.ErrNone)
	}
	if err != nil {
		return nil, fmt.Errorf("cannot open the routine %s: %w", files.Name(path), files.Cause(err))
	}
	if len(data) > MaxBytes {
		what := fmt.Sprintf("%s bytes", grouped(int(size)))
		if size <= MaxBytes {
			what = "more than 1 MiB"
		}
		return nil, Errors{(&source{name: path}).tooLarge(what)}
	}
	f, err := Parse(path, data)
	if err != nil {
		return nil, err
	}
	f.onDisk, f.hash = true, sha256.Sum256(data)
	return f, nil
}

// New is a routine that is not in any file yet, in this package's own layout.
// Give it a place with SaveAs. Texts are made fit, and it fails, as Set does.
func New(r ladder.Routine) (*File, error) {
	r = fitted(r)
	if err := check(r); err != nil {
		return nil, err
	}
	f, err := Parse("new routine", []byte(render(r)))
	if err != nil {
		return nil, fmt.Errorf("write the routine %s: %w", quote(r.Name), err)
	}
	return f, nil
}

// Path is where the file was read from or last saved; of a new routine it is
// no path.
func (f *File) Path() string { return f.path }

// Bytes is the text of the file, byte for byte as read when nothing was
// changed.
func (f *File) Bytes() []byte { return bytes.Clone(f.src.data) }

// Routine is what the file holds. The caller may change it.
func (f *File) Routine() ladder.Routine { return canonical(f.routine) }

// Changed reports whether the text differs from what is on the disk, as far as
// is known without looking.
func (f *File) Changed() bool { return !f.onDisk || f.hash != sha256.Sum256(f.src.data) }

// canonical is a deep copy in which what has no meaning is zero, so that equal
// routines compare equal.
func canonical(r ladder.Routine) ladder.Routine {
	r.Steps = slices.Clone(r.Steps)
	for i := range r.Steps {
		s := &r.Steps[i]
		if s.Tempo.From != 0 {
			s.Tempo.Below = 0
		}
		if s.Tempo.By.Kind == ladder.ByMarks {
			s.Tempo.By.Amount = 0
		}
		if s.Meters = slices.Clone(s.Meters); len(s.Meters) == 0 {
			s.Meters = nil
		}
		if len(s.Notes.Marks) == 0 {
			s.Notes.Marks = nil
		}
		s.Notes.Marks = slices.Clone(s.Notes.Marks)
		if len(s.Accents) == 0 {
			s.Accents = nil
		}
		s.Accents = slices.Clone(s.Accents)
		for k := range s.Accents {
			s.Accents[k] = slices.Clone(s.Accents[k])
		}
	}
	return r
}

// fitted is canonical with texts that can be kept.
func fitted(r ladder.Routine) ladder.Routine {
	r = canonical(r)
	r.Name, r.Instrument = ladder.Name(r.Name), r.Instrument.Fitted()
	for i := range r.Steps {
		s := &r.Steps[i]
		s.Name, s.Passage.Piece, s.Pencil = ladder.Name(s.Name), ladder.Name(s.Passage.Piece), ladder.Note(s.Pencil)
		s.Notes = s.Notes.Fitted()
	}
	return r
}

func equal(a, b ladder.Routine) bool { return reflect.DeepEqual(canonical(a), canonical(b)) }

// check is the first fault of a routine as an error, nil when there is none.
func check(r ladder.Routine) error {
	faults := r.Check()
	if len(faults) == 0 {
		return nil
	}
	first := faults[0]
	if first.Step < 0 {
		return fmt.Errorf("the routine cannot be written: %w", first.Fault)
	}
	return fmt.Errorf("step %d, %s, cannot be written: %w", first.Step+1, quote(r.Steps[first.Step].Name), first.Fault)
}
