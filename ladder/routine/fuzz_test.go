package routine_test

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"footing/assets"
	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/march"
	"footing/ladder/passage/pattern"
	"footing/ladder/routine"
)

// Whatever the bytes: no panic; errors are complete and point into the file;
// what is accepted comes back byte for byte, and can be changed in places
// without the loss of a comment.
func FuzzParse(f *testing.F) {
	bad, err := filepath.Glob("testdata/bad/*.yaml")
	if err != nil {
		f.Fatal(err)
	}
	for _, path := range bad {
		data, err := os.ReadFile(path)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	starters, err := fs.Glob(assets.Routines, "routines/*.yaml")
	if err != nil {
		f.Fatal(err)
	}
	for _, path := range starters {
		data, err := assets.Routines.ReadFile(path)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Add([]byte(written))
	f.Add([]byte(dos(written)))
	f.Add([]byte(`{"footing": 1, "name": "as JSON", "steps": [{"name":"a","tempo":{"goal":64}}, {"name":"b", "slots":"2"}]}`))
	f.Add([]byte(noted))
	f.Add([]byte("%YAML 1.1\n---\nfooting: 1\nname: a\nsteps:\n- name:\n    b\n    c\n  pencil: 'x\n\n    y'\n...\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		file, err := routine.Parse("fuzz.yaml", data)
		if err != nil {
			sound(t, data, err)
			return
		}
		if !bytes.Equal(file.Bytes(), data) {
			t.Fatal("the text is not what was read")
		}
		r := file.Routine()
		if err := file.Set(r); err != nil || !bytes.Equal(file.Bytes(), data) {
			t.Fatalf("set to what it is, the text changes: %v", err)
		}
		for name, changed := range changes(r) {
			if len(changed.Check()) > 0 {
				continue
			}
			again, err := routine.Parse("fuzz.yaml", data)
			if err != nil {
				t.Fatal(err)
			}
			if len(data) < routine.MaxBytes/2 {
				if err := again.Patched(changed); err != nil {
					t.Fatalf("%s: not changed in places: %v", name, err)
				}
			}
			if err := again.Set(changed); err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			if !routine.Same(again.Routine(), changed) {
				t.Fatalf("%s: reads as something else", name)
			}
			before, after := file.Comments(), again.Comments()
			slices.Sort(before)
			slices.Sort(after)
			if name != "fewer" && !slices.Equal(before, after) {
				t.Fatalf("%s: comments %q became %q", name, before, after)
			}
		}
	})
}

// noted is a routine whose steps have notes from each kind of source.
const noted = `footing: 1
name: Notes
instrument: {name: bassoon, range: Bb1-C5} # mine
steps:
  - name: from a score
    passage: {bars: 17-20}
    score: {file: band/weir-street.musicxml, part: Bassoon} # the march
    instrument: bassoon
    marks: # on notes
      - {at: "18:3+1/4", text: flick, finger: fA} # one
      - text: R
        at: "19:1"
  - name: typed
    instrument: {name: clarinet in B flat, range: E3-C6}
    key: Bb
    unit: 1/16
    notes: | # as in the part
      F4 B2dc | % up
        (3GAB c2 |]
  - {name: made, pattern: {key: E flat major, figure: thirds up, range: E3-C6, octaves: 1, from: E4, group: 4, articulation: slurred}, marks: [{at: "1:1", finger: "1"}]}
`

// changes are some other routines that the file could be set to.
func changes(r ladder.Routine) map[string]ladder.Routine {
	steps := func(change func(i int, s *ladder.Step)) ladder.Routine {
		out := ladder.Routine{Name: r.Name, Instrument: r.Instrument, Steps: slices.Clone(r.Steps)}
		for i := range out.Steps {
			change(i, &out.Steps[i])
		}
		return out
	}
	fresh := march.Step(nil)
	fresh.Name = "a new step: last"
	reversed := steps(func(int, *ladder.Step) {})
	slices.Reverse(reversed.Steps)
	more := steps(func(int, *ladder.Step) {})
	more.Steps = append([]ladder.Step{fresh}, more.Steps...)
	fewer := ladder.Routine{Name: "fewer", Steps: append(slices.Clone(r.Steps[:len(r.Steps)/2]), fresh)}
	return map[string]ladder.Routine{
		"numbers": steps(func(_ int, s *ladder.Step) {
			s.Reps, s.Breath, s.Rule.Clean = s.Reps%ladder.MaxReps+1, s.Breath+1, s.Rule.Clean+1
			s.Tempo.Goal = click.MaxTempo - 1
		}),
		"texts": steps(func(i int, s *ladder.Step) {
			s.Name, s.Pencil, s.Passage.Piece = fmt.Sprintf("Run #%d: %q", i, "so"), "first: line\nsecond # line", "- Weir Street"
		}),
		"notes": steps(func(i int, s *ladder.Step) {
			s.Notes = ladder.Notes{Typed: ladder.TypedNotes{Text: "CDEF | % so\n GABc |]", Key: "Bb"}, Instrument: ladder.Instrument{Range: "Bb1-C5"}}
			if i%2 > 0 {
				s.Notes = ladder.Notes{Pattern: pattern.Words{Key: "F#", Range: "E3-C6", Group: 4}, Instrument: ladder.Instrument{Name: "bassoon"}}
			}
			if m, err := s.Measures(); err == nil && m.From() > 0 {
				s.Notes.Marks = []ladder.NoteMark{{Bar: m.From(), Text: "flick: 1", Finger: "fA"}, {Bar: m.From(), Text: "L"}}
			}
		}),
		"kinds": steps(func(_ int, s *ladder.Step) {
			s.Slots, s.Accents = click.Swing(3, 2), click.Accents{{click.Silent, click.Piano}}
			s.Rule, s.Tempo.By = ladder.Rule{Kind: ladder.TwoUpOneDown, Clean: 5, Rough: 6}, ladder.StepSize{Kind: ladder.ByMarks}
			s.Chunk.Landing, s.Pulse, s.Count = !s.Chunk.Landing, click.Offbeat, click.CountGordon
			if m, err := s.Measures(); err == nil && m.Longest().Beats > 1 && m.Longest().Beats < 9 {
				for len(s.Accents) < m.Longest().Beats {
					s.Accents = append(s.Accents, s.Accents[0])
				}
			}
		}),
		"defaults": steps(func(_ int, s *ladder.Step) {
			name := s.Name
			*s = ladder.DefaultStep()
			s.Name = name
		}),
		"mixed":  {Name: r.Name, Instrument: r.Instrument, Order: ladder.Order{Minutes: 5}, Steps: r.Steps},
		"played": {Name: r.Name, Instrument: ladder.Instrument{Name: "oboe"}, Steps: r.Steps}, "not played": {Name: r.Name, Steps: r.Steps},
		"reversed": reversed, "more": more, "fewer": fewer,
	}
}
