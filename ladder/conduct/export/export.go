// Package export writes what is played hands free into files: WAV with marks, FLAC with
// tags, or Standard MIDI Files, of a whole routine, of a step or of a rung, or a folder
// with a file for each. Every file is written whole or not at all.
package export

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"time"

	"footing/audio/track"
	"footing/files"
	"footing/ladder"
	"footing/ladder/conduct"
)

// Maker says how files are made.
type Maker struct {
	// Rendition is how it sounds; its routine, its sink and its mark are set for each
	// file. In MIDI only its model and its tones count.
	Rendition conduct.Rendition
	Kind      Kind
	// Encoding is how samples are kept in WAV and in FLAC, which has no floating point.
	Encoding track.Encoding
	// Percussion and Program are what MIDI sounds with; see [PercussionOf] and
	// [ProgramOf].
	Percussion conduct.Percussion
	Program    int
	// Progress is told how far a file has come, in frames, at every stroke; from the
	// goroutine that writes. It may be nil.
	Progress func(Progress)
}

// Progress is how far the writing has come.
type Progress struct {
	File        string // the name of the file, without its folder
	Number, Of  int    // which file of how many, from 1
	Done, Total int64  // frames
}

// Made is a file that was written.
type Made struct {
	Path        string
	Frames      int64 // 0 in MIDI
	Length      time.Duration
	Rungs, Reps int
}

// ErrTooLong is what does not fit into a file.
var ErrTooLong = errors.New("too long for one file")

// Write writes a piece to a file. The error is that of ctx, [ErrTooLong] with a
// sentence, or that of the disk, and names the file.
func (m Maker) Write(ctx context.Context, path string, p Piece) (Made, error) {
	return m.write(ctx, path, p, nil, Progress{Number: 1, Of: 1})
}

// MaxFiles is the most files that are written into a folder.
const MaxFiles = 999

// WriteAll writes a file for each piece into a folder, which is made where there is
// none, and returns those that were written: on an error, or when ctx ends, all but the
// one that was under way and those behind it. The album of their tags is given.
func (m Maker) WriteAll(ctx context.Context, folder string, pieces []Piece, album string) ([]Made, error) {
	if n := len(pieces); n > MaxFiles {
		return nil, fmt.Errorf("%w: %d files would be written and %d are the most; take fewer steps", ErrTooLong, n, MaxFiles)
	}
	if err := makeFolder(folder); err != nil {
		return nil, err
	}
	var out []Made
	for i, p := range pieces {
		n, of := i+1, len(pieces)
		tags := []track.Tag{{Name: "ALBUM", Value: album}, {Name: "TRACKNUMBER", Value: strconv.Itoa(n)}, {Name: "TRACKTOTAL", Value: strconv.Itoa(of)}}
		made, err := m.write(ctx, filepath.Join(folder, FileName(n, of, p.Title, m.Kind)), p, tags, Progress{Number: n, Of: of})
		if err != nil {
			return out, err
		}
		out = append(out, made)
	}
	return out, nil
}

func makeFolder(path string) error {
	info, err := os.Stat(path)
	switch {
	case err == nil && info.IsDir():
		return nil
	case err == nil:
		return fmt.Errorf("%s is no folder; give another name", files.Name(path))
	}
	if err := os.Mkdir(path, 0o777); errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("there is no folder %s; make it or give another name", files.Name(filepath.Dir(filepath.Clean(path))))
	} else if err != nil {
		return fmt.Errorf("making the folder %s: %w", files.Name(path), files.Cause(err))
	}
	return nil
}

func (m Maker) write(ctx context.Context, path string, p Piece, tags []track.Tag, now Progress) (Made, error) {
	made := Made{Path: path}
	t := m.rendition(p)
	t.Mark = made.count
	total, err := t.Length(ctx)
	if err != nil {
		return made, err
	}
	now.File, now.Total = filepath.Base(path), total
	if m.Kind == MIDI {
		made.Length = length(total, t.Rate)
		err := m.midi(ctx, path, p, t)
		return made, err
	}
	channels := 1
	if t.Stereo = t.Routine.Sided(); t.Stereo {
		channels = 2
	}
	format := track.Format{Rate: t.Rate, Channels: channels, Encoding: m.Encoding}
	fill := func(to track.Sink) error {
		marking := error(nil)
		done := func(write func([]float32) error) func([]float32) error {
			return func(samples []float32) error {
				now.Done += int64(len(samples) / channels)
				if m.Progress != nil {
					m.Progress(now)
				}
				return write(samples)
			}
		}
		t.Sink, t.Kept = done(to.Write), done(to.WriteKept)
		t.Mark = func(at conduct.Place) {
			made.count(at)
			marking = errors.Join(marking, to.Mark(at.Frame, at.Label()))
		}
		n, err := t.Render(ctx)
		made.Frames, made.Length = n, length(n, t.Rate)
		return errors.Join(err, marking)
	}
	if m.Kind == FLAC {
		tags = append([]track.Tag{{Name: "TITLE", Value: p.Title}}, tags...)
		err := track.CreateFLAC(ctx, path, format, tags, func(w *track.FLACWriter) error { return fill(w) })
		return made, err
	}
	if most := format.MaxFrames(); total > most {
		return made, fmt.Errorf("%w: %s lasts %s hands free, and a WAV file of this kind has room for %s",
			ErrTooLong, p.Title, length(total, t.Rate).Round(time.Second), length(most, t.Rate).Round(time.Second))
	}
	err = track.Create(ctx, path, format, func(w *track.Writer) error { return fill(w) })
	return made, err
}

// rendition is how the piece sounds.
func (m Maker) rendition(p Piece) conduct.Rendition {
	t := m.Rendition
	t.Routine = p.Routine
	if p.fades != nil && t.Model == ladder.ModelFades {
		t.Model, t.Tones = ladder.ModelEveryRep, softened(t.Tones, p.fades)
	}
	return t
}

func (m Maker) midi(ctx context.Context, path string, p Piece, t conduct.Rendition) error {
	t.Routine.Name = p.Title
	f, err := t.MIDI(ctx, m.Percussion, m.Program)
	if err != nil {
		return fmt.Errorf("writing %s: %w", files.Name(path), err)
	}
	return track.Replace(ctx, path, func(to io.WriteSeeker) error { return f.Write(to) })
}

func (m *Made) count(p conduct.Place) {
	if p.Rep == 0 {
		m.Rungs++
	} else {
		m.Reps++
	}
}

func length(frames int64, rate int) time.Duration {
	return time.Duration(float64(frames) / float64(rate) * float64(time.Second))
}
