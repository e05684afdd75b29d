package hearing

import (
	"fmt"
	"slices"

	"footing/audio/click"
	"footing/audio/hear"
	"footing/audio/judge"
	"footing/ladder"
	"footing/ladder/counted"
	"footing/ladder/notes"
)

// Question is what a recording is set against: a routine's step, or what is
// known of a regular grid. The zero Question looks for the grid that fits best.
type Question struct {
	// Step is valid, or nil without a routine.
	Step *ladder.Step
	// Notes are the step's, nil where they are not known. With them a note is expected
	// where one begins, and told by its pitch as well.
	Notes *notes.Notes
	// Tempo is the step's rung; 0 is the one that it begins on.
	Tempo click.Tempo
	// Hint is what is known of the grid. With a step only its First counts, where
	// the first note of the first rep lies.
	Hint judge.Hint
}

// Source says where a report's grid comes from.
type Source string

// The sources; empty without a grid.
const (
	Given       Source = "given"   // by tempo and slots
	FromRoutine Source = "routine" // a step's reps
	Found       Source = "found"   // in the notes
)

// Report is what there is to say about a recording.
type Report struct {
	// Report has the notes against the grid. Notes before the first rep of a step
	// and after its last are among its Notes, without a kind.
	judge.Report
	Recording Recording
	Source    Source
	// Step is the name of the routine's step, or empty.
	Step string
	// Finding is how the grid was found; zero with a step.
	Finding judge.Finding
	// Search says how it was found, and Sentence what a teacher would say about
	// the take, in plain words. Search is empty with a step.
	Search, Sentence string
	// Assumed says what was taken for granted of a regular grid: which note is the beat,
	// and what is played over and over; empty where nothing was.
	Assumed string
	// FitsBadly is true where the notes do not keep to the grid, so that nothing is said
	// of their evenness.
	FitsBadly bool
	// Climbed is what was heard on each rung, in order of time, where the take was played
	// on several; else nil.
	Climbed []Climbed
	// Remarks say what makes the report less sure.
	Remarks []string
	// Reading is the take set against the step's notes; nil where they are not known.
	Reading *Reading

	rung   Rung
	placed bool   // the player said where the grid begins
	tempo  string // says at what tempo a step was played, where that is not the rung's
}

// Compare sets what was heard against what is asked.
func Compare(r Recording, q Question) Report {
	report := Report{Recording: r, Remarks: r.Remarks(), placed: q.Hint.FirstKnown}
	if q.Step != nil {
		report.againstStep(q)
	} else {
		report.againstGrid(q.Hint)
	}
	if fitsBadly(report.Report) {
		report.withhold()
	}
	report.level()
	if report.Climbed = report.climbed(); len(report.Climbed) > 0 {
		report.tempo = report.climbedWords()
	}
	if report.tempo != "" {
		report.Remarks = append(report.Remarks, report.tempo)
	}
	report.Clicks = report.Clicks && report.throughout()
	if report.Clicks {
		report.Remarks = append(report.Remarks, "Clicks are heard beside the notes, which are less sure for it: headphones keep them out.")
	}
	if r.Hearing.SoftMs > softMs {
		report.Remarks = append(report.Remarks, fmt.Sprintf("The attacks are soft: the tone takes about %s ms to come up, and which moment of that is the note's is open.", round(r.Hearing.SoftMs)))
	}
	if r.Hearing.Live > muchRoom && report.HasGrid {
		report.Remarks = append(report.Remarks, "There is much room in the take, so less is certain: the microphone within an arm's length hears more.")
	}
	return report
}

// throughout tells whether what is heard beside the notes is heard over half of the
// take or more, as a metronome is, and a voice before the first rep is not.
func (r Report) throughout() bool {
	var all, beside []float64
	for _, n := range r.Notes {
		all = append(all, n.Seconds)
		if n.Kind == judge.Extra {
			beside = append(beside, n.Seconds)
		}
	}
	return len(beside) > 0 && 2*(slices.Max(beside)-slices.Min(beside)) > slices.Max(all)-slices.Min(all)
}

// softMs is how long attacks take that are told to be soft, in milliseconds.
const softMs = 30

// muchRoom is the share of a room that is told, of [hear.Hearing].Live.
const muchRoom = 0.55

// withhold takes back what was judged of notes that fit their grid badly, and says why.
func (r *Report) withhold() {
	r.Weak, r.Cut, r.Also, r.Entry, r.Perhaps = nil, nil, nil, nil, nil
	r.Outcome, r.Clicks, r.FitsBadly, r.Assumed = judge.TooLittle, false, true, ""
	on, kept := gridAsked(r.Grid), "is the tempo right and the same all through"
	if r.Step != "" {
		on, kept = fmt.Sprintf("the reps of %q at %s bpm", r.Step, tenths(r.Grid.BPM)), "is the tempo right"
	}
	r.Sentence = fmt.Sprintf("The notes do not fit %s, so nothing is said about evenness: %s, and is it one instrument playing alone?", on, kept)
}

// level moves the grid to where the weak change, or what may be one, is said to lie
// off it: on the other slots. So a lateness is one number wherever it is told.
func (r *Report) level() {
	d := r.Perhaps
	if w := r.Weak; w != nil {
		d = &judge.Departure{ToSlot: w.ToSlot, LateMs: w.LateMs}
	}
	if d == nil {
		return
	}
	i := slices.IndexFunc(r.Slots, func(s judge.SlotStat) bool { return s.Slot == d.ToSlot })
	if i < 0 {
		return
	}
	by := d.LateMs - r.Slots[i].MeanMs
	for i := range r.Slots {
		if r.Slots[i].Notes > 0 {
			r.Slots[i].MeanMs += by
		}
	}
	for i := range r.Notes {
		if n := &r.Notes[i]; n.Slot > 0 {
			n.DeviationMs += by
			n.GridSeconds -= by / 1000
		}
	}
	for i := range r.Missed {
		r.Missed[i].Seconds -= by / 1000
	}
	r.OffsetMs -= by
}

// againstGrid sets the notes against a regular grid.
func (r *Report) againstGrid(hint judge.Hint) {
	onsets := r.Recording.Onsets
	r.Finding = judge.FindGrid(onsets, hint)
	r.Search = searchSentence(r.Finding, len(onsets), hint)
	switch r.Finding.Search {
	case judge.Given:
		r.Source = Given
	case judge.Found:
		r.Source = Found
	default:
		r.unset(hint)
		return
	}
	played, others := apartFrom(onsets, r.Finding)
	if len(others) > 0 {
		if f := judge.FindGrid(played, hint); len(f.Candidates) > 0 {
			r.Finding = f
			r.Search = searchSentence(f, len(played), hint)
		}
	}
	r.Report = judge.Evenness(played, r.Finding.Candidates[0].Grid)
	r.rest()
	if r.Finding.Search == judge.Given && fitsBadly(r.Report) {
		r.anew(played, hint)
	}
	if r.Finding.Search == judge.Found && fitsBadly(r.Report) {
		// What was found is no grid that anybody would know again.
		r.Finding = judge.Finding{Search: judge.NoPace}
		r.unset(hint)
		return
	}
	r.beside(others)
	r.Assumed = assumed(r.Grid, hint)
	r.Sentence = Sentence(r.Report)
}

// unset sets the notes against nothing, and says why.
func (r *Report) unset(hint judge.Hint) {
	onsets := r.Recording.Onsets
	r.Source = ""
	r.Report = judge.Evenness(onsets, judge.Grid{})
	r.Search = searchSentence(r.Finding, len(onsets), hint)
	r.Sentence = r.Search
	if r.Finding.Search == judge.NoPace {
		r.Sentence = Sentence(r.Report) + " " + r.Search
	}
}

// restSlots slots on end without a note are a rest, on a grid in which nobody said where
// the notes are.
const restSlots = 3

// rest takes rests for what they are: nothing is missing from them.
func (r *Report) rest() {
	if !r.Grid.Regular() {
		return
	}
	slot := 60 / r.Grid.BPM / float64(max(1, r.Grid.SlotsPerBeat))
	var kept []judge.Missed
	for from := 0; from < len(r.Missed); {
		to := from + 1
		for to < len(r.Missed) && r.Missed[to].Seconds-r.Missed[to-1].Seconds < 1.5*slot {
			to++
		}
		if to-from < restSlots {
			kept = append(kept, r.Missed[from:to]...)
		} else {
			for _, m := range r.Missed[from:to] {
				r.Slots[m.Slot-1].Missed--
			}
		}
		from = to
	}
	r.Missed = kept
}

// anew sets notes that do not fit the grid told against the one that is found in them,
// where they fit that.
func (r *Report) anew(onsets []hear.Onset, hint judge.Hint) {
	f := judge.FindGrid(onsets, judge.Hint{SlotsPerBeat: hint.SlotsPerBeat, First: hint.First, FirstKnown: hint.FirstKnown})
	if f.Search != judge.Found {
		return
	}
	told := r.Report
	r.Report = judge.Evenness(onsets, f.Candidates[0].Grid)
	r.rest()
	if fitsBadly(r.Report) {
		r.Report = told
		return
	}
	r.Finding.Candidates = f.Candidates[:1]
	r.Search = searchSentence(r.Finding, len(onsets), hint)
}

// againstStep sets the notes against a routine's step. What was played before
// the first rep and after the last stays out of the comparison.
func (r *Report) againstStep(q Question) {
	onsets := r.Recording.Onsets
	r.Step = q.Step.Name
	r.rung = OfNotes(*q.Step, q.Tempo, q.Notes)
	laid := Laid{}
	if q.Hint.FirstKnown {
		laid = r.rung.LayFrom(onsets, q.Hint.First)
	} else {
		laid = r.rung.layByNotes(onsets, r.rung.Lay(onsets))
	}
	if laid.Reps == 0 {
		r.Report = judge.Evenness(onsets, judge.Grid{})
		r.Sentence = Sentence(r.Report) + " " + r.rung.fitsNone(r.Step)
		return
	}
	r.Source = FromRoutine
	r.Report = judge.Evenness(onsets[laid.From:laid.To], laid.Grid)
	r.read(laid, onsets)
	r.Sentence = r.sentence()
	r.tempo = r.rung.played(laid)
	r.Notes = slices.Concat(outside(onsets[:laid.From]), r.Notes, outside(onsets[laid.To:]))
	if n := len(onsets) - (laid.To - laid.From); n > 0 {
		r.Remarks = append(r.Remarks, fmt.Sprintf("%s before or after the reps, and left out.", counted.As(n, "note was", "notes were")))
	}
}

// outside are notes that are set against nothing.
func outside(onsets []hear.Onset) (notes []judge.Note) {
	for _, o := range onsets {
		notes = append(notes, judge.Note{Onset: o})
	}
	return notes
}

// fitsBadly reports whether much of the take fits its grid badly.
func fitsBadly(r judge.Report) bool {
	if !r.HasGrid {
		return false
	}
	// What lies outside the reps may be a voice, and counts half.
	on, off := 0, r.Extra-r.Outside/2+r.Doubled+len(r.Missed)
	for _, s := range r.Slots {
		on += s.Notes
	}
	slot := 60_000 / r.Grid.BPM / float64(max(1, r.Grid.SlotsPerBeat))
	return 2*off > on || max(r.InstabilityMs, r.SystematicMs) > 0.2*slot
}

// Labels is what is counted on the slots, that of slot 1 first.
func (r Report) Labels() []string {
	if r.Source == FromRoutine {
		return r.rung.Labels()
	}
	var out []string
	n := r.Grid.SlotsPerBeat
	for i := range max(n, r.Grid.Cycle) {
		out = append(out, click.CountNumber.Syllable(n, i%n, i/n+1))
	}
	return out
}

// Chunk is what to cut out as a chunk of the routine's step; false without one.
func (r Report) Chunk() (ladder.Chunk, bool) {
	if r.Source != FromRoutine || r.Cut == nil {
		return ladder.Chunk{}, false
	}
	return r.rung.Chunk(*r.Cut)
}
