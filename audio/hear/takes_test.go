package hear_test

import (
	"context"
	"fmt"
	"testing"

	"footing/audio/hear"
	"footing/audio/takes"
)

// made plays a passage with fluidsynth and hears it.
func made(t *testing.T, s takes.Spec) (takes.Take, []hear.Onset) {
	t.Helper()
	take, err := takes.Make(context.Background(), s)
	if err != nil {
		t.Fatalf("%v (the tests play takes with Debian's fluidsynth and timgm6mb-soundfont)", err)
	}
	onsets, err := takes.Hear(take)
	if err != nil {
		t.Fatal(err)
	}
	return take, onsets
}

// A small part of the takes of takes/table, whose onsets are known, holds the
// figures: F within 25 ms of the take's median offset, pitch, timing.
func TestTakes(t *testing.T) {
	type kind struct {
		articulation takes.Articulation
		pattern      takes.Pattern
		bpm          float64
		place        takes.Place
	}
	totals := map[string]*takes.Total{}
	for i, in := range takes.Instruments() {
		for j, k := range []kind{
			{takes.Tongued, takes.Scale, 100, takes.Dry}, {takes.Tongued, takes.Repeated, 72, takes.Dry},
			{takes.Tongued, takes.Arpeggio, 84, takes.Dry}, {takes.Tongued, takes.Thirds, 120, takes.Dry},
			{takes.Slurred, takes.Scale, 120, takes.Dry}, {takes.Slurred, takes.Thirds, 140, takes.Dry},
			{takes.Slurred, takes.Arpeggio, 90, takes.Dry},
			{takes.Tongued, takes.Scale, 90, takes.Noisy}, {takes.Slurred, takes.Thirds, 110, takes.Noisy},
			{takes.Tongued, takes.Scale, 80, takes.Echo}, {takes.Slurred, takes.Scale, 100, takes.Echo},
			{takes.Tongued, takes.Thirds, 96, takes.Clicks}, {takes.Slurred, takes.Arpeggio, 112, takes.Clicks},
		} {
			take, onsets := made(t, takes.Spec{
				Instrument: in, Pattern: k.pattern, Articulation: k.articulation, Place: k.place, BPM: k.bpm, Beats: 4,
				ScatterMs: float64(5 * (j % 3)), Seed: uint64(100*i + j), Gate: []float64{0.75, 0.6}[i%2],
			})
			r := takes.Judge(take, onsets)
			name := fmt.Sprint(k.articulation, " ", k.place)
			if totals[name] == nil {
				totals[name] = &takes.Total{}
			}
			totals[name].Add(r)
		}
	}
	for name, least := range map[string]struct{ f, spread, pitch float64 }{
		"tongued dry": {0.98, 2.5, 0.99}, "slurred dry": {0.98, 3, 0.99},
		"tongued noisy": {0.95, 4.5, 0.99}, "slurred noisy": {0.95, 3, 0.99},
		"tongued echo": {0.95, 4, 0.99}, "slurred echo": {0.95, 3, 0.99},
		"tongued clicks": {0.95, 5.5, 0.99}, "slurred clicks": {0.95, 3, 0.99},
	} {
		v := totals[name]
		if s := v.Score(); s.F < least.f || v.SpreadMs() > least.spread || v.Pitch() < least.pitch {
			t.Errorf("%s: F %.4f of %.2f, spread %.2f ms of %.1f, pitch %.4f of %.2f",
				name, s.F, least.f, v.SpreadMs(), least.spread, v.Pitch(), least.pitch)
		} else {
			t.Logf("%s: F %.4f, spread %.2f ms (middle %.2f), pitch %.4f", name, s.F, v.SpreadMs(), v.MiddleMs(), v.Pitch())
		}
	}
}

// Where a note is let go just before the next one is tongued, the beginning is
// heard and not the release: for the three whose releases stand out most.
func TestReleasesAreNoBeginnings(t *testing.T) {
	total := &takes.Total{}
	for i, in := range takes.Instruments() {
		if in.Name == "flute" || in.Name == "oboe" {
			continue
		}
		for j, p := range []takes.Pattern{takes.Scale, takes.Zigzag, takes.Arpeggio} {
			take, onsets := made(t, takes.Spec{
				Instrument: in, Pattern: p, Articulation: takes.Tongued, Place: takes.Dry, BPM: 72, Beats: 6,
				Gate: 0.9, ScatterMs: 4, Up: 2 * j, Seed: uint64(20*i + j),
			})
			total.Add(takes.Judge(take, onsets))
		}
	}
	if s := total.Score(); s.F < 0.98 || total.SpreadMs() > 5 {
		t.Errorf("F %.4f, spread %.2f ms", s.F, total.SpreadMs())
	} else {
		t.Logf("F %.4f, spread %.2f ms", s.F, total.SpreadMs())
	}
}

// A change of pitch is a note, whatever the energy does: by semitones up and
// down on a bassoon, where the old note still rings in the new one.
func TestSemitonesAreNotes(t *testing.T) {
	bassoon := takes.Instrument{Name: "bassoon", Program: 70, Low: 43}
	total := &takes.Total{}
	for i, p := range []takes.Pattern{takes.Zigzag, takes.Chromatic, takes.Scale} {
		for j, up := range []int{0, 3, 5} {
			take, onsets := made(t, takes.Spec{
				Instrument: bassoon, Pattern: p, Articulation: takes.Tongued, Place: takes.Dry, BPM: 72, Beats: 6,
				Gate: 0.75, Up: up, Seed: uint64(10*i + j),
			})
			total.Add(takes.Judge(take, onsets))
		}
	}
	if s := total.Score(); s.F < 0.99 || total.Pitch() < 0.99 {
		t.Errorf("F %.4f with recall %.4f, pitch %.4f", s.F, s.Recall, total.Pitch())
	}
}

// horn is an instrument that speaks slowly and rings on for half a second.
func horn(p takes.Pattern, bpm, gate float64, up int) takes.Spec {
	return takes.Spec{
		Instrument: takes.Instrument{Name: "horn", Program: 60, Low: 48}, Pattern: p, Articulation: takes.Tongued,
		Place: takes.Dry, BPM: bpm, Beats: 6, Gate: gate, Up: up, Seed: 1,
	}
}

// wellHeard fails unless five of six notes of a take were heard, so that a test
// of what is not heard means something.
func wellHeard(t *testing.T, name string, take takes.Take, onsets []hear.Onset) {
	t.Helper()
	if r := takes.Judge(take, onsets); r.Matched < r.Reference*5/6 {
		t.Errorf("%s: %d notes of %d are heard", name, r.Matched, r.Reference)
	}
}

// Nothing begins in what dies away.
func TestRingingIsNoNote(t *testing.T) {
	for i, p := range []takes.Pattern{takes.Scale, takes.Thirds, takes.Repeated, takes.Arpeggio} {
		for j, gate := range []float64{0.6, 0.75, 0.85} {
			take, onsets := made(t, horn(p, 70+20*float64(i), gate, 3*j))
			wellHeard(t, fmt.Sprintf("%s at gate %.2f", p, gate), take, onsets)
			last := take.Notes[len(take.Notes)-1].Seconds
			for _, o := range onsets {
				if o.Seconds > last+0.15 {
					t.Errorf("%s at gate %.2f: a note %.0f ms after the last", p, gate, 1000*(o.Seconds-last))
				}
			}
		}
	}
}

// One attack is one note, though another pitch may be heard in it at first.
func TestAnAttackIsOneNote(t *testing.T) {
	for _, up := range []int{0, 3} {
		take, onsets := made(t, horn(takes.Arpeggio, 63, 0.85, up))
		wellHeard(t, fmt.Sprintf("up %d", up), take, onsets)
		for k := 1; k < len(onsets); k++ {
			if d := onsets[k].Seconds - onsets[k-1].Seconds; d < 0.02 {
				t.Errorf("up %d: two notes within %.0f ms, at %.3f s", up, 1000*d, onsets[k-1].Seconds)
			}
		}
	}
}

// A passage that goes on at a sudden piano, 20 dB under what was, loses nothing.
func TestASuddenPianoIsHeard(t *testing.T) {
	for _, a := range []takes.Articulation{takes.Tongued, takes.Slurred} {
		for i, in := range takes.Instruments() {
			take, _ := made(t, takes.Spec{
				Instrument: in, Pattern: takes.Scale, Articulation: a, Place: takes.Dry, BPM: 80, Beats: 6, Seed: uint64(60 + i),
			})
			half := take.Notes[len(take.Notes)/2].Seconds - 0.005
			for k := int(half * takes.Rate); k < len(take.Samples); k++ {
				take.Samples[k] *= 0.1
			}
			onsets, err := takes.Hear(take)
			if err != nil {
				t.Fatal(err)
			}
			if r := takes.Judge(take, onsets); r.Matched < r.Reference-1 {
				t.Errorf("%s %s: %d notes of %d are heard", a, in.Name, r.Matched, r.Reference)
			}
		}
	}
}
