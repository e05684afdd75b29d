// Package bundle packs a routine and the scores that it names into one file, a ZIP
// archive, and takes them out of it again.
package bundle

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"footing/files"
	"footing/ladder"
	"footing/ladder/routine"
)

// Ext is how the name of a bundle ends.
const Ext = ".zip"

// Bounds of a bundle: of the file itself and of what is in it together, and how
// many scores it has at most.
const (
	MaxBytes  = 64 << 20
	MaxScores = ladder.MaxSteps
)

// Pack writes the routine in a file to w, with its scores. Errors of the routine are
// those of [routine.Load].
func Pack(ctx context.Context, w io.Writer, file string) error {
	f, err := routine.LoadContext(ctx, file)
	if err != nil {
		return err
	}
	z := zip.NewWriter(w)
	if err := add(z, filepath.Base(file), f.Bytes()); err != nil {
		return err
	}
	room := int64(MaxBytes)
	for _, score := range scores(f.Routine()) {
		data, _, err := files.Read(ctx, filepath.Join(filepath.Dir(file), filepath.FromSlash(score)), room+1)
		if err != nil {
			return fmt.Errorf("pack %s: the score %s: %w", files.Name(file), files.Name(score), files.Cause(err))
		}
		if room -= int64(len(data)); room < 0 {
			return fmt.Errorf("pack %s: its scores are larger than %d MB together; pack fewer", files.Name(file), MaxBytes>>20)
		}
		if err := add(z, score, data); err != nil {
			return err
		}
	}
	return z.Close()
}

func add(z *zip.Writer, name string, data []byte) error {
	w, err := z.Create(name)
	if err != nil {
		return err
	}
	_, err = w.Write(data)
	return err
}

// scores are the score files that the steps name, each once, in their order.
func scores(r ladder.Routine) (out []string) {
	for _, s := range r.Steps {
		if f := s.Notes.Score.File; f != "" && !slices.Contains(out, f) {
			out = append(out, f)
		}
	}
	return out
}

// Fault says what is wrong with a bundle, in one sentence.
type Fault struct {
	Path string // of the bundle
	What string
}

// Error is the sentence.
func (f *Fault) Error() string { return files.Name(f.Path) + ": " + f.What }

// Unpack takes the routine and its scores out of a bundle into a folder, and returns
// the routine's new file. It writes over nothing: where a name is taken, by another
// content, it takes a free one, and the routine's steps name their scores as they
// are called then. What is in the bundle besides is passed over. What is wrong with
// the bundle is a [*Fault], with the routine in it [routine.Errors].
func Unpack(ctx context.Context, file, folder string) (string, error) {
	in, err := read(ctx, file)
	if err != nil {
		return "", err
	}
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return "", fmt.Errorf("unpack %s: %w", files.Name(file), err)
	}
	r := in.routine.Routine()
	var made []string
	fail := func(err error) (string, error) {
		for _, name := range made {
			_ = os.Remove(name)
		}
		return "", fmt.Errorf("unpack %s: %w", files.Name(file), err)
	}
	for _, score := range scores(r) {
		name, fresh, err := put(ctx, folder, score, in.scores[score])
		if err != nil {
			return fail(err)
		}
		if fresh {
			made = append(made, filepath.Join(folder, filepath.FromSlash(name)))
		}
		for i := range r.Steps {
			if r.Steps[i].Notes.Score.File == score {
				r.Steps[i].Notes.Score.File = name
			}
		}
	}
	if err := in.routine.Set(r); err != nil {
		return fail(err)
	}
	name, _, err := put(ctx, folder, in.name, in.routine.Bytes())
	if err != nil {
		return fail(err)
	}
	return filepath.Join(folder, name), nil
}

// content is what a bundle holds.
type content struct {
	name    string // of the routine's file
	routine *routine.File
	scores  map[string][]byte
}

// read reads a bundle, and only what belongs in it.
func read(ctx context.Context, file string) (content, error) {
	fault := func(format string, args ...any) (content, error) {
		return content{}, &Fault{file, fmt.Sprintf(format, args...)}
	}
	data, _, err := files.Read(ctx, file, MaxBytes+1)
	switch {
	case err != nil:
		return content{}, fmt.Errorf("unpack %s: %w", files.Name(file), files.Cause(err))
	case len(data) > MaxBytes:
		return fault("the file is larger than %d MB; a bundle is smaller", MaxBytes>>20)
	}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return fault("this is no bundle; footing pack writes one")
	}
	entries := map[string]*zip.File{}
	var routines []string
	for _, e := range z.File {
		entries[e.Name] = e
		if path.Dir(e.Name) == "." && (path.Ext(e.Name) == ".yaml" || path.Ext(e.Name) == ".yml") {
			routines = append(routines, e.Name)
		}
	}
	if len(routines) != 1 || !filepath.IsLocal(routines[0]) || strings.ContainsAny(routines[0], `\:`) {
		return fault("there are %d routines in it; a bundle has one", len(routines))
	}
	out := content{name: routines[0], scores: map[string][]byte{}}
	text, err := entry(entries[out.name], routine.MaxBytes)
	if err != nil {
		return fault("%s in it: %v", files.Name(out.name), err)
	}
	if out.routine, err = routine.Parse(file+"/"+out.name, text); err != nil {
		return content{}, err
	}
	room := int64(MaxBytes)
	for _, score := range scores(out.routine.Routine()) {
		e := entries[score]
		if e == nil {
			return fault("the score %s is not in it; pack the routine again", files.Name(score))
		}
		data, err := entry(e, room)
		if err != nil {
			return fault("%s in it: %v", files.Name(score), err)
		}
		out.scores[score], room = data, room-int64(len(data))
	}
	return out, nil
}

// entry is what an entry holds, at most so many bytes.
func entry(e *zip.File, most int64) ([]byte, error) {
	r, err := e.Open()
	if err != nil {
		return nil, errors.New("it is damaged")
	}
	defer r.Close()
	data, err := io.ReadAll(io.LimitReader(r, most+1))
	switch {
	case err != nil:
		return nil, errors.New("it is damaged")
	case int64(len(data)) > most:
		return nil, errors.New("it is too large")
	}
	return data, nil
}

// put writes a file into a folder under a name, with slashes, that is free there;
// one with the same content is left as it is, and fresh is false then.
func put(ctx context.Context, folder, name string, data []byte) (as string, fresh bool, err error) {
	ext := path.Ext(name)
	stem := strings.TrimSuffix(name, ext)
	const most = 1000
	for n := 1; n <= most; n++ {
		if as = name; n > 1 {
			as = fmt.Sprintf("%s %d%s", stem, n, ext)
		}
		local := filepath.FromSlash(as)
		if !filepath.IsLocal(local) {
			return "", false, fmt.Errorf("%s does not lie in the folder", files.Name(as))
		}
		at := filepath.Join(folder, local)
		if old, _, err := files.Read(ctx, at, int64(len(data))+1); err == nil && bytes.Equal(old, data) {
			return as, false, nil
		}
		if err := os.MkdirAll(filepath.Dir(at), 0o700); err != nil {
			return "", false, err
		}
		err = files.Replace(ctx, at, files.Replacement{Fill: files.Bytes(data), Mode: 0o644, New: true})
		if !errors.Is(err, fs.ErrExist) {
			return as, err == nil, err
		}
	}
	return "", false, fmt.Errorf("%s: there are too many of that name", files.Name(name))
}
