package hearing

import (
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"footing/audio/hear"
	"footing/audio/judge"
	"footing/audio/stat"
	"footing/audio/takes"
	"footing/ladder"

	"pgregory.net/rapid"
)

// What a report has beside its figures is told as JSON as well.
func TestJSONHasAllThatIsSaid(t *testing.T) {
	step := run(nil)
	r := Report{
		Recording: Recording{Clipped: true, Hum: 50, Hearing: hear.Hearing{Seconds: 9, Live: 0.5, SoftMs: 40}},
		Source:    FromRoutine, Step: step.Name, Sentence: "Even.", Assumed: "What was assumed.", FitsBadly: true,
		Finding: judge.Finding{
			Search: judge.Given, Told: judge.Grid{BPM: 60, SlotsPerBeat: 4},
			Candidates: []judge.Candidate{{Grid: judge.Grid{BPM: 64, SlotsPerBeat: 4}, Score: 1}},
		},
		Climbed: []Climbed{{BPM: 60, FirstRep: 1, Reps: 3, LateMs: 22, SpreadMs: 4}, {BPM: 64, FirstRep: 4, Reps: 2, LateMs: 20, SpreadMs: 5}},
	}
	r.Report = judge.Report{
		HasGrid: true, Grid: judge.Grid{BPM: 64, SlotsPerBeat: 4, Cycle: 8}, Reps: 5, Outcome: judge.EvenByChance, JNDMs: 6,
		DriftMsPerMinute: 3, Outside: 2, EntryMs: 7, Clicks: true,
		Slots: []judge.SlotStat{
			{Slot: 1, Notes: 5, MeanMs: -1, SpreadMs: 4}, {Slot: 2, Notes: 5, MeanMs: 19, SpreadMs: 5, Missed: 1}, {Slot: 3, Notes: 5, MeanMs: 1, SpreadMs: 3},
		},
		Entry: &judge.Departure{ToSlot: 1, LateMs: 20}, Also: &judge.Departure{FromSlot: 3, ToSlot: 4, LateMs: -12},
		Perhaps: &judge.Departure{FromSlot: 4, ToSlot: 5, LateMs: 14},
	}
	for i := range 15 {
		r.Notes = append(r.Notes, judge.Note{Kind: judge.Played, Slot: i%3 + 1, Rep: i/3 + 1, DeviationMs: []float64{-1, 19, 1}[i%3]})
	}
	text, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	var got map[string]any
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatal(err)
	}
	departure := func(from, to, late float64) map[string]any {
		return map[string]any{"from_slot": from, "to_slot": to, "late_ms": late}
	}
	for name, want := range map[string]any{
		"outcome": "even but for chance", "assumed": "What was assumed.", "fits_badly": true, "room": 0.5, "hum_hz": 50.0, "soft_attack_ms": 40.0,
		"overloaded": true, "clicks": true, "outside": 2.0, "entry_ms": 7.0, "drift_ms_per_minute": 3.0, "unsteady_slot": 0.0, "doubtful_slot": 2.0,
		"told":  map[string]any{"bpm": 60.0, "slots_per_beat": 4.0, "first_seconds": 0.0, "cycle_slots": 0.0},
		"grid":  map[string]any{"bpm": 64.0, "slots_per_beat": 4.0, "first_seconds": 0.0, "cycle_slots": 8.0},
		"entry": departure(0, 1, 20), "also": departure(3, 4, -12), "perhaps": departure(4, 5, 14),
		"rungs": []any{
			map[string]any{"bpm": 60.0, "first_rep": 1.0, "reps": 3.0, "late_ms": 22.0, "spread_ms": 4.0},
			map[string]any{"bpm": 64.0, "first_rep": 4.0, "reps": 2.0, "late_ms": 20.0, "spread_ms": 5.0},
		},
	} {
		if !reflect.DeepEqual(got[name], want) {
			t.Errorf("%s is %v, want %v", name, got[name], want)
		}
	}
	// Nothing is told twice, and lists are lists.
	text, _ = json.Marshal(Report{})
	if !strings.Contains(string(text), `"rungs":[]`) || !strings.Contains(string(text), `"told":null`) {
		t.Errorf("of an empty report: %s", text)
	}
}

// drawTake is a take of some performance, with a slot that is late or scatters, notes
// that were not heard and others that strayed.
func drawTake(t *rapid.T) ([]hear.Onset, judge.Hint) {
	p := takes.Performance{
		BPM: float64(rapid.IntRange(56, 132).Draw(t, "bpm")), Slots: rapid.IntRange(2, 6).Draw(t, "slots"), Reps: rapid.IntRange(1, 14).Draw(t, "beats"),
		Scatter: rapid.Float64Range(0, 12).Draw(t, "scatter"), Seed: rapid.Uint64().Draw(t, "seed"),
	}
	odd := rapid.IntRange(1, p.Slots).Draw(t, "odd slot")
	p.Late = map[int]float64{odd: rapid.Float64Range(-40, 40).Draw(t, "late")}
	wide := rapid.Float64Range(0, 40).Draw(t, "wide")
	unheard := rapid.Float64Range(0, 0.4).Draw(t, "unheard")
	astray := rapid.Float64Range(0, 0.1).Draw(t, "astray")
	var out []hear.Onset
	for i, o := range p.Onsets() {
		chance := func(label string) float64 { return rapid.Float64Range(0, 1).Draw(t, label) }
		if i > 0 && chance("heard") < unheard {
			continue
		}
		if i%p.Slots+1 == odd {
			o.Seconds += wide / 1000 * (2*chance("off") - 1)
		}
		if chance("strays") < astray {
			o.Seconds += 0.04
		}
		o.PlacedMs = 3
		out = append(out, o)
	}
	return out, judge.Hint{BPM: p.BPM, SlotsPerBeat: p.Slots, First: 1, FirstKnown: true}
}

// A take is never called even over what is not: a slot far off or far less steady than
// the others, or much that was not heard. And a lateness is one number wherever it is
// told: in the sentence, in the slots' table, as JSON.
func TestReportsAgreeWithThemselves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		onsets, hint := drawTake(t)
		r := Compare(Recording{Onsets: onsets}, Question{Hint: hint})
		missed, heard := len(r.Missed), 0
		for _, s := range r.Slots {
			heard += s.Notes
		}
		if strings.Contains(r.Sentence, "Even") {
			if float64(missed) > 0.1*float64(missed+heard) || r.FitsBadly || r.Weak != nil {
				t.Fatalf("%q with %d notes not heard of %d", r.Sentence, missed, missed+heard)
			}
			for i, s := range r.Slots {
				var others []float64
				for j, o := range r.Slots {
					if j != i && o.Notes > judge.FewReps {
						others = append(others, o.SpreadMs)
					}
				}
				if s.Notes > judge.FewReps && len(others) > 1 && s.SpreadMs > 2*r.JNDMs && s.SpreadMs > 2.5*stat.Median(others) {
					t.Fatalf("%q over %+v", r.Sentence, r.Slots)
				}
			}
		}
		d := r.Perhaps
		if w := r.Weak; w != nil {
			d = &judge.Departure{FromSlot: w.FromSlot, ToSlot: w.ToSlot, LateMs: w.LateMs}
		}
		if d == nil {
			return
		}
		told := fmt.Sprintf("%s by about %s ms", lateOrEarly(d.LateMs), round(math.Abs(d.LateMs)))
		row := fmt.Sprintf(" %s ", signedMs(d.LateMs))
		mean := r.Slots[d.ToSlot-1].MeanMs
		if !strings.Contains(r.Sentence, told) || !strings.Contains(r.slotTable(), row) || math.Abs(mean-d.LateMs) > 1e-9 {
			t.Fatalf("%q of %v ms, the slot's mean %v:\n%s", r.Sentence, d.LateMs, mean, r.slotTable())
		}
		for _, n := range r.Notes {
			if n.Slot > 0 && math.Abs(1000*(n.Seconds-n.GridSeconds)-n.DeviationMs) > 1e-6 {
				t.Fatalf("%+v lies off its own place", n)
			}
		}
	})
}

// A take that climbs is told rung by rung.
func TestEachRungHasItsLine(t *testing.T) {
	step := run(func(s *ladder.Step) { s.Breath = 1 })
	rungs := step.Tempo.Rungs()[:4]
	var onsets []hear.Onset
	begin := 1.0
	for k, tempo := range rungs {
		places := Of(step, tempo).Grid(4, 0).Places
		for i, p := range places {
			o := hear.Onset{Seconds: begin + p.Seconds + float64(i*7%5-2)*0.001, Midi: 60 + p.Slot, PlacedMs: 2}
			if p.Slot == 6 {
				o.Seconds += 0.001 * float64(20+4*k)
			}
			onsets = append(onsets, o)
		}
		begin += places[len(places)-1].Seconds + 2.5
	}
	r := Compare(Recording{Onsets: onsets}, Question{Step: &step})
	if r.Weak == nil || len(r.Climbed) != len(rungs) {
		t.Fatalf("%+v: %s", r.Climbed, r.Sentence)
	}
	for k, c := range r.Climbed {
		if c.BPM != rungs[k].BPM() || c.FirstRep != 4*k+1 || c.Reps != 4 || c.LateMs < float64(17+4*k) || c.LateMs > float64(23+4*k) {
			t.Errorf("rung %d at %v: %+v", k+1, rungs[k], c)
		}
	}
	said := fmt.Sprintf("several rungs, %s to %s bpm", tenths(rungs[0].BPM()), tenths(rungs[3].BPM()))
	if !strings.Contains(strings.Join(r.Remarks, " "), said) || !strings.Contains(r.Text(), tenths(rungs[1].BPM())+" bpm      4") {
		t.Errorf("%q is not said: %q\n%s", said, r.Remarks, r.Text())
	}
	kept := Of(step, 0).Grid(6, 1).Places
	onsets = nil
	for _, p := range kept {
		onsets = append(onsets, hear.Onset{Seconds: p.Seconds, Midi: 60 + p.Slot})
	}
	if r := Compare(Recording{Onsets: onsets}, Question{Step: &step}); r.Climbed != nil {
		t.Errorf("one rung is told as %+v", r.Climbed)
	}
}
