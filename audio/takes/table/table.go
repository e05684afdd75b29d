package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"sort"
	"time"

	"footing/audio/takes"
	"footing/audio/takes/score"
	"footing/audio/takes/wav"
)

// table gathers the results.
type table struct {
	aubio bool
	rows  map[row]*takes.Total
	ours  map[key]*takes.Total
	every map[takes.Articulation]*takes.Total // in all places; "both" of both
	// theirs by method; aubioPitch counts right pitches and notes.
	theirs     map[string]map[key]*takes.Total
	pitchRight map[takes.Articulation]int
	pitchNotes map[takes.Articulation]int
	all        []float32
	heardIn    time.Duration
	theirsIn   time.Duration
}

// both articulations together.
const both takes.Articulation = "both"

type row struct {
	instrument   string
	articulation takes.Articulation
	bpm          float64
}

type key struct {
	articulation takes.Articulation
	place        takes.Place
}

func newTable(aubio bool) *table {
	t := &table{
		aubio: aubio, rows: map[row]*takes.Total{}, ours: map[key]*takes.Total{}, every: map[takes.Articulation]*takes.Total{},
		theirs:     map[string]map[key]*takes.Total{},
		pitchRight: map[takes.Articulation]int{}, pitchNotes: map[takes.Articulation]int{},
	}
	for _, m := range methods() {
		t.theirs[m] = map[key]*takes.Total{}
	}
	return t
}

func total[K comparable](m map[K]*takes.Total, k K) *takes.Total {
	if m[k] == nil {
		m[k] = &takes.Total{}
	}
	return m[k]
}

func (t *table) add(ctx context.Context, take takes.Take) error {
	s := take.Spec
	onsets, err := takes.Hear(take)
	if err != nil {
		return err
	}
	r := takes.Judge(take, onsets)
	k := key{s.Articulation, s.Place}
	total(t.ours, k).Add(r)
	total(t.every, s.Articulation).Add(r)
	total(t.every, both).Add(r)
	if s.Place == takes.Dry {
		total(t.rows, row{s.Instrument.Name, s.Articulation, s.BPM}).Add(r)
	}
	if len(t.all) < 120*takes.Rate {
		t.all = append(t.all, take.Samples...)
	}
	if !t.aubio {
		return nil
	}
	return withFile(take.Samples, func(path string) error {
		for _, m := range methods() {
			est, err := aubioOnsets(ctx, path, m)
			if err != nil {
				return err
			}
			total(t.theirs[m], k).Add(takes.Result{Timing: score.Take(take.Seconds(), est, takes.Window)})
		}
		if s.Place == takes.Dry {
			right, err := aubioPitches(ctx, path, take)
			if err != nil {
				return err
			}
			t.pitchRight[s.Articulation] += right
			t.pitchNotes[s.Articulation] += len(take.Notes)
		}
		return nil
	})
}

func withFile(samples []float32, do func(path string) error) error {
	dir, err := os.MkdirTemp("", "table")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	path := filepath.Join(dir, "take.wav")
	if err := os.WriteFile(path, wav.Float32(1, takes.Rate, samples), 0o600); err != nil {
		return err
	}
	return do(path)
}

// race times both programs on the same two minutes of sound, the better of
// three runs each.
func (t *table) race(ctx context.Context) error {
	best := func(f func() error) (time.Duration, error) {
		least := time.Duration(1<<63 - 1)
		for range 3 {
			begin := time.Now()
			if err := f(); err != nil {
				return 0, err
			}
			least = min(least, time.Since(begin))
		}
		return least, nil
	}
	var err error
	t.heardIn, err = best(func() error {
		_, err := takes.Hear(takes.Take{Samples: t.all})
		return err
	})
	if err != nil || !t.aubio {
		return err
	}
	return withFile(t.all, func(path string) error {
		t.theirsIn, err = best(func() error {
			_, err := aubioOnsets(ctx, path, "hfc")
			return err
		})
		return err
	})
}

func (t *table) write(w io.Writer, now time.Time) {
	fmt.Fprintf(w, "# How well takes are heard\n\nMade on %s. F is scored within 25 ms of the take's median offset. "+
		"Spread is the standard deviation of the timing error in ms, middle its half width over the middle 68 %%.\n", now.Format("2 January 2006"))
	fmt.Fprintf(w, "\n## By place\n\n| articulation | place | notes | F | spread | middle | pitch right |\n| --- | --- | --- | --- | --- | --- | --- |\n")
	placed := func(articulation takes.Articulation, place string, v *takes.Total) {
		fmt.Fprintf(w, "| %s | %s | %d | %.4f | %.2f | %.2f | %.2f %% |\n", articulation, place, v.Reference, v.Score().F, v.SpreadMs(), v.MiddleMs(), 100*v.Pitch())
	}
	for _, k := range t.keys() {
		placed(k.articulation, string(k.place), t.ours[k])
	}
	for _, a := range []takes.Articulation{takes.Slurred, takes.Tongued, both} {
		placed(a, "all", total(t.every, a))
	}
	if t.aubio {
		t.writeTheirs(w)
	}
	seconds := float64(len(t.all)) / takes.Rate
	fmt.Fprintf(w, "\n## Speed\n\nOn one core: %.0f times real time", seconds/t.heardIn.Seconds())
	if t.aubio {
		fmt.Fprintf(w, "; aubioonset %.0f times, so the ratio is %.2f", seconds/t.theirsIn.Seconds(), t.theirsIn.Seconds()/t.heardIn.Seconds())
	}
	fmt.Fprintf(w, ".\n\n## By instrument, articulation and tempo, dry\n\n| instrument | articulation | bpm | notes | F | offset | spread | middle | pitch right |\n| --- | --- | --- | --- | --- | --- | --- | --- | --- |\n")
	rows := make([]row, 0, len(t.rows))
	for r := range t.rows {
		rows = append(rows, r)
	}
	sort.Slice(rows, func(i, j int) bool {
		a, b := rows[i], rows[j]
		if a.instrument != b.instrument {
			return a.instrument < b.instrument
		}
		if a.articulation != b.articulation {
			return a.articulation < b.articulation
		}
		return a.bpm < b.bpm
	})
	for _, r := range rows {
		v := t.rows[r]
		fmt.Fprintf(w, "| %s | %s | %.0f | %d | %.4f | %.1f | %.2f | %.2f | %.2f %% |\n", r.instrument, r.articulation, r.bpm,
			v.Reference, v.Score().F, v.OffsetMs(), v.SpreadMs(), v.MiddleMs(), 100*v.Pitch())
	}
}

// writeTheirs sets the other program beside ours, method by method.
func (t *table) writeTheirs(w io.Writer) {
	fmt.Fprintf(w, "\n## Beside aubio 0.4.9\n\nF, and spread in ms, over the same takes.\n\n| |")
	keys := t.keys()
	for _, k := range keys {
		fmt.Fprintf(w, " %s, %s |", k.articulation, k.place)
	}
	fmt.Fprint(w, "\n| --- |")
	for range keys {
		fmt.Fprint(w, " --- |")
	}
	line := func(name string, m map[key]*takes.Total) {
		fmt.Fprintf(w, "\n| %s |", name)
		for _, k := range keys {
			v := total(m, k)
			fmt.Fprintf(w, " %.4f, %.2f |", v.Score().F, v.SpreadMs())
		}
	}
	line("**ours**", t.ours)
	for _, m := range methods() {
		line(m, t.theirs[m])
	}
	fmt.Fprint(w, "\n\n| pitch right, dry | ours, of matched notes | aubiopitch, of all notes |\n| --- | --- | --- |\n")
	for _, a := range []takes.Articulation{takes.Slurred, takes.Tongued} {
		v := total(t.ours, key{a, takes.Dry})
		fmt.Fprintf(w, "| %s | %.2f %% | %.2f %% |\n", a, 100*v.Pitch(), 100*float64(t.pitchRight[a])/float64(max(1, t.pitchNotes[a])))
	}
}

func (t *table) keys() []key {
	keys := make([]key, 0, len(t.ours))
	for k := range t.ours {
		keys = append(keys, k)
	}
	order := map[takes.Place]int{takes.Dry: 0, takes.Noisy: 1, takes.Echo: 2, takes.Clicks: 3}
	sort.Slice(keys, func(i, j int) bool {
		if keys[i].articulation != keys[j].articulation {
			return keys[i].articulation < keys[j].articulation
		}
		return order[keys[i].place] < order[keys[j].place]
	})
	return keys
}
