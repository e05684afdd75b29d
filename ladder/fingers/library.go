package fingers

import (
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"footing/ladder/nearest"
	"footing/ladder/passage/instrument"
)

// OwnFile is the name of a player's own file of fingerings, which lies beside the
// routine.
const OwnFile = "fingerings.yaml"

// Library is the charts that are known.
type Library struct {
	charts []*Chart
	costs  Costs
}

// The files of a library in its folder.
var chartFiles = []string{"clarinet.yaml", "bassoon.yaml", "flute.yaml", "oboe.yaml", "saxophone.yaml"}

// Load reads the charts and the costs from a folder.
func Load(in fs.FS, folder string) (*Library, error) {
	read := func(name string) ([]byte, error) {
		data, err := fs.ReadFile(in, folder+"/"+name)
		if err != nil {
			return nil, fmt.Errorf("reading the fingerings %s: %w", name, err)
		}
		return data, nil
	}
	out := &Library{}
	data, err := read("cost.yaml")
	if err != nil {
		return nil, err
	}
	if out.costs, err = ReadCosts("cost.yaml", data); err != nil {
		return nil, err
	}
	for _, name := range chartFiles {
		if data, err = read(name); err != nil {
			return nil, err
		}
		c, err := ReadChart(name, data)
		if err != nil {
			return nil, err
		}
		out.charts = append(out.charts, c.WithCosts(out.costs))
	}
	return out, nil
}

// With is the library with a player's own file read into it: a document adds rows
// and keys to an instrument that is known, or has a new one. The file's name is for
// messages. The error is [Errors].
func (l *Library) With(file string, data []byte) (*Library, error) {
	out := &Library{slices.Clone(l.charts), l.costs}
	r := &reader{file: file}
	for _, n := range r.documents(data) {
		c := r.chart(n, func(name string) *Chart { c, _ := out.For(name); return c })
		if c == nil {
			continue
		}
		c = c.WithCosts(l.costs)
		if i := slices.IndexFunc(out.charts, func(o *Chart) bool { return o.Instrument == c.Instrument }); i >= 0 {
			out.charts[i] = c
		} else {
			out.charts = append(out.charts, c)
		}
	}
	if err := r.failed(); err != nil {
		return nil, err
	}
	return out, nil
}

// For is the chart of an instrument by its name, and what that instrument sounds.
func (l *Library) For(name string) (*Chart, bool) {
	full := strings.Join(strings.Fields(strings.ToLower(name)), " ")
	known, named := instrument.Named(name)
	for _, c := range slices.Backward(l.charts) {
		switch {
		case full == "":
		case strings.ToLower(c.Instrument) == full:
			return c, true
		case slices.ContainsFunc(c.Names, func(n string) bool { return strings.ToLower(n) == full || named && n == known.Name }):
			out := *c
			if named {
				out.Semitones = known.Transpose.Chromatic + 12*known.Transpose.Octave
			}
			return &out, true
		}
	}
	return nil, false
}

// Names are the names of the charts' instruments.
func (l *Library) Names() []string {
	var out []string
	for _, c := range l.charts {
		if len(c.Names) == 0 {
			out = append(out, c.Instrument)
		}
		out = append(out, c.Names...)
	}
	return out
}

// Near is the name that was probably meant.
func (l *Library) Near(name string) (string, bool) { return nearest.Word(name, l.Names()) }
