package routine

import "footing/ladder"

// Patched reports whether Set can change the text in places, without a rewrite
// of the whole.
func (f *File) Patched(r ladder.Routine) error {
	_, err := f.patched(canonical(r))
	return err
}

// Comments are the comments of the text in order.
func (f *File) Comments() []string {
	return f.src.comments(f.src.lines[0], len(f.src.data), f.root)
}

// Same compares routines with what has no meaning left out.
func Same(a, b ladder.Routine) bool { return equal(a, b) }
