package hearing

import (
	"strings"
	"testing"

	"footing/audio/click"
	"footing/audio/hear"
	"footing/audio/judge"
	"footing/audio/takes"
	"footing/ladder"
)

// What is said in the cases that a teacher meets.
func TestSentences(t *testing.T) {
	base := takes.Performance{BPM: 72, Slots: 4, Reps: 8, Scatter: 2, Seed: 3}
	with := func(change func(*takes.Performance)) takes.Performance {
		r := base
		change(&r)
		return r
	}
	late := func(m map[int]float64) takes.Performance { return with(func(r *takes.Performance) { r.Late = m }) }
	without := func(r takes.Performance, drop func(i int) bool) []hear.Onset {
		var kept []hear.Onset
		for i, o := range r.Onsets() {
			if !drop(i) {
				kept = append(kept, o)
			}
		}
		return kept
	}
	again := func(share float64) []hear.Onset {
		var all []hear.Onset
		for i, o := range base.Onsets() {
			all = append(all, o)
			if i%4 == 1 {
				o.Seconds += share * 60 / 72 / 4
				all = append(all, o)
			}
		}
		return all
	}
	reps := func(n int, late float64) takes.Performance {
		return with(func(r *takes.Performance) { r.Reps, r.Late = n, map[int]float64{3: late} })
	}
	third := func(i int) bool { return i%4 == 2 }
	for _, c := range []struct {
		name   string
		r      takes.Performance
		onsets []hear.Onset
		want   []string
		not    string
	}{
		{name: "even", r: base, want: []string{"Even: no change stands out by more than an ear can tell at this tempo (about 6 ms)."}},
		{name: "late", r: late(map[int]float64{4: 25}), want: []string{"The third change in each beat comes late by about 2", "and the one after hurries to catch up."}},
		{name: "early", r: late(map[int]float64{4: -25}), want: []string{"The third change in each beat comes early by about 2", "and the one after waits for the beat."}},
		{name: "the beat late", r: late(map[int]float64{1: 25}), want: []string{"The change across to the next beat comes late"}},
		{name: "two late", r: late(map[int]float64{2: 22, 4: 28}), want: []string{"The third change in each beat comes late", "The first change is late too, by about 2"}},
		{name: "one late, one early", r: late(map[int]float64{2: 28, 4: -24}), want: []string{"The first change in each beat comes late", "The third change is early, by about 2"}},
		{name: "two on end", r: late(map[int]float64{2: 25, 3: 27}), want: []string{"The first change in each beat comes late by about 2"}, not: "hurries"},
		{name: "perhaps", r: late(map[int]float64{3: 9}), want: []string{"Even, as far as eight beats can tell: no change stands out by more than chance would have it."}},
		{name: "one rep", r: reps(1, 40), want: []string{"I cannot tell yet from one beat: perhaps the second change comes late by about", "Play it a few more times."}, not: "group"},
		{name: "two reps", r: reps(2, 40), want: []string{"I cannot tell yet from only two beats: perhaps the second change in each beat comes late by about"}},
		{name: "two reps, perhaps", r: reps(2, 14), want: []string{"Nothing stands out by more than chance would have it, but I cannot tell from only two beats: play it a few more times."}},
		{name: "two even reps", r: reps(2, 0), want: []string{"It sounds even so far, but I cannot tell from only two beats: play it a few more times."}},
		{name: "three unsteady reps", r: with(func(r *takes.Performance) { r.Reps, r.Scatter = 3, 18 }), want: []string{"I cannot tell a habit from only three beats: the notes land about"}, not: "perhaps"},
		{name: "unsteady", r: with(func(r *takes.Performance) { r.Scatter = 20 }), want: []string{"No one change is to blame: the notes land about", "now early, now late."}},
		{name: "missed every rep", r: base, onsets: without(base, third), want: []string{"Eight of 32 notes were not heard, all on the third slot. In what was heard no change stands out by more than"}, not: "too seldom"},
		{name: "heard thrice", r: base, onsets: without(late(map[int]float64{3: 40}), func(i int) bool { return third(i) && i > 10 }), want: []string{"Five of 32 notes were not heard, all on the third slot. In what was heard no change stands out by more than", "The third slot was heard only three times, too seldom to judge."}, not: "eight"},
		{name: "missed twice", r: base, onsets: without(base, func(i int) bool { return i == 6 || i == 14 }), want: []string{"Two notes were not heard, both on the third slot."}},
		{name: "doubled", r: base, onsets: again(0.25), want: []string{"Even", "Eight notes sound double, all on the second slot."}},
		{name: "extra", r: base, onsets: again(0.5), want: []string{"Even", "Eight notes lie between the slots."}},
		{name: "triplets", r: with(func(r *takes.Performance) { r.Slots, r.Late = 3, map[int]float64{2: 25} }), want: []string{"The first change in each beat comes late"}},
		{name: "sextuplets", r: with(func(r *takes.Performance) { r.Slots, r.Late = 6, map[int]float64{6: 25} }), want: []string{"The fifth change in each beat comes late"}},
		{name: "one a beat", r: with(func(r *takes.Performance) { r.Slots = 1 }), want: []string{"Even: the notes land within what an ear can tell at this tempo (about 21 ms)."}},
		{name: "one a beat, unsteady", r: with(func(r *takes.Performance) { r.Slots, r.Scatter = 1, 60 }), want: []string{"to either side of the beat, now early, now late."}, not: "change"},
		{name: "two notes", r: base, onsets: base.Onsets()[:2], want: []string{"Too little was heard on the grid"}},
	} {
		if c.onsets == nil {
			c.onsets = c.r.Onsets()
		}
		said := Sentence(judge.Evenness(c.onsets, judge.Grid{BPM: c.r.BPM, SlotsPerBeat: c.r.Slots, First: 1}))
		for _, want := range c.want {
			if !strings.Contains(said, want) {
				t.Errorf("%s: said %q, want %q", c.name, said, want)
			}
		}
		if c.not != "" && strings.Contains(said, c.not) {
			t.Errorf("%s: said %q, which has no need of %q", c.name, said, c.not)
		}
	}
}

// On a routine's step it is reps that are counted, the landing is called so,
// and an entry off its place is told of though no change leads into it.
func TestSentencesOfPhrases(t *testing.T) {
	// Two beats of sixteenths at 100 bpm with their landing, and a breath.
	grid := Of(run(func(s *ladder.Step) { s.Breath = 1 }), click.BPM(100)).Grid(8, 4)
	places := grid.Places
	for _, c := range []struct {
		slot, reps int
		late       float64
		want       string
	}{
		{6, 8, 0.025, "The fifth change in each rep comes late by about 25 ms, and the one after hurries to catch up."},
		{9, 8, 0.025, "The last change, onto the landing, comes late by about 2"},
		{1, 8, 0.025, "No change stands out, but the first note of each rep comes in late by about 2"},
		{6, 2, 0.035, "I cannot tell yet from only two reps: perhaps the fifth change in each rep comes late by about 3"},
		{9, 1, 0.045, "I cannot tell yet from one rep: perhaps the last change, onto the landing, comes late by about"},
	} {
		var onsets []hear.Onset
		for i, p := range places[:9*c.reps] {
			o := hear.Onset{Seconds: p.Seconds + float64(i*7%5-2)*0.001}
			if p.Slot == c.slot {
				o.Seconds += c.late
			}
			onsets = append(onsets, o)
		}
		said := Sentence(judge.Evenness(onsets, grid))
		if !strings.HasPrefix(said, c.want) {
			t.Errorf("slot %d late in %d reps: said %q, want %q", c.slot, c.reps, said, c.want)
		}
	}
}

// An entry off its place is told of beside the weak change.
func TestSentenceOfAnEntryAsWell(t *testing.T) {
	grid := Of(run(nil), click.BPM(100)).Grid(8, 4)
	var onsets []hear.Onset
	for i, p := range grid.Places {
		o := hear.Onset{Seconds: p.Seconds + float64(i*7%5-2)*0.001}
		if p.Slot == 1 || p.Slot == 6 {
			o.Seconds += 0.001 * float64(20+2*p.Slot)
		}
		onsets = append(onsets, o)
	}
	const want = "The fifth change in each rep comes late by about 32 ms, and the one after hurries to catch up. " +
		"The first note of each rep comes in late by about 22 ms as well."
	if said := Sentence(judge.Evenness(onsets, grid)); said != want {
		t.Errorf("said %q, want %q", said, want)
	}
}

// A slot that scatters far more than its neighbours is not called even, nor is a
// take of which much is missing.
func TestSentencesNeverCallEvenWhatIsNot(t *testing.T) {
	p := takes.Performance{BPM: 72, Slots: 4, Reps: 12, Scatter: 3, Seed: 4}
	onsets := p.Onsets()
	for i := range onsets {
		if i%4 == 2 {
			onsets[i].Seconds += 0.03 * float64(1-i/4%2*2)
		}
	}
	grid := judge.Grid{BPM: 72, SlotsPerBeat: 4, First: 1}
	if said := Sentence(judge.Evenness(onsets, grid)); !strings.HasPrefix(said, "No change stands out, but the third note is never twice the same: it lands about 3") {
		t.Errorf("one slot scatters: said %q", said)
	}
	var some []hear.Onset
	for i, o := range p.Onsets() {
		if i%6 != 4 || i < 4 {
			some = append(some, o)
		}
	}
	if said := Sentence(judge.Evenness(some, grid)); !strings.Contains(said, "of 48 notes were not heard. In what was heard no change stands out") {
		t.Errorf("much is missing: said %q", said)
	}
}

func TestCutSentences(t *testing.T) {
	for _, c := range []struct {
		slots, slot int
		want        string
	}{
		{4, 3, "Cut out the beat around it and land on the next."},
		{4, 1, "Cut out the two beats that it joins and land on the next."},
	} {
		p := takes.Performance{BPM: 72, Slots: c.slots, Reps: 8, Late: map[int]float64{c.slot: 30}}
		r := judge.Evenness(p.Onsets(), judge.Grid{BPM: 72, SlotsPerBeat: c.slots, First: 1})
		if r.Cut == nil || cutSentence(r) != c.want {
			t.Errorf("slot %d: cut %+v, want %q", c.slot, r.Cut, c.want)
		}
	}
}
