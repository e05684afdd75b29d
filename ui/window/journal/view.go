// Package journal is the Journal view: what is due, how each step has come along
// day by day and beat by beat, and what was done and written.
package journal

import (
	"context"
	"time"

	"fyne.io/fyne/v2"

	"footing/ladder"
	past "footing/ladder/journal"
	"footing/ladder/journal/journalfile"
	"footing/ui/window/draw"
	"footing/ui/window/field"
)

// Options are what the view works with.
type Options struct {
	Clock func() time.Time
	// Rule is how a step starts on another day.
	Rule func() past.StartRule
	// All is every history.
	All func() []past.History
	// AtStand is the step at the Stand.
	AtStand func() past.Place
	// Step finds a step as it is in its routine, from a goroutine that may wait for
	// files; ok is false where it is no more.
	Step func(past.Place) (step ladder.Step, ok bool)
	// Open opens the journal to be read, from such a goroutine too.
	Open func(context.Context) (*journalfile.Reader, error)
	// Read has read done on such a goroutine, and then show on the main one.
	Read func(read, show func())
	// Practise goes on at the Stand with a step.
	Practise func(past.Place)
	// Page writes the lesson page; said is called on the main goroutine.
	Page func(said func(text string, warm bool))
}

// View is the view. All of it belongs to the main goroutine.
type View struct {
	o Options
	p *panel

	due      []past.Due
	selected past.Place
	asked    uint64 // counts what was asked of the journal
	loaded   loaded
	cursor   int    // a point of the graph, −1 for none
	first    int    // the row at the top of what was done
	text     string // that is looked for
	said     string // in place of the figures of a point
	warm     bool
	entry    *field.Entry
}

// loaded is what the journal answered on a step.
type loaded struct {
	place  past.Place
	text   string
	today  past.Day
	step   ladder.Step
	there  bool // the routine still has the step
	days   []past.DayTally
	span   int // days in a point
	chunks []past.ChunkBest
	latest []journalfile.DayOfStep
	each   []past.DayTally // minutes of all steps
	err    error
}

// New makes the view.
func New(o Options) *View {
	v := &View{o: o, cursor: -1}
	v.p = &panel{
		due: draw.NewDue(v.row), minutes: draw.NewMinutes(), days: draw.NewDays(v.point), shares: draw.NewShares(),
		log: draw.NewLog(v.scroll), below: draw.NewCaption(), actions: draw.NewActions(v.press),
	}
	v.p.build()
	return v
}

// Object is what the window shows.
func (v *View) Object() fyne.CanvasObject { return v.p.root }

// Title is what the header says.
func (v *View) Title() (name, sub, count string) { return title(v.selected, v.at()) }

// at is the step that is shown, among those that are due.
func (v *View) at() *past.Due {
	for i := range v.due {
		if v.due[i].Place == v.selected {
			return &v.due[i]
		}
	}
	return nil
}

// Enter shows the step at the Stand, or what is most urgent where nothing was
// played of that.
func (v *View) Enter() {
	v.said, v.warm, v.cursor, v.first = "", false, -1, 0
	v.list()
	v.selected = v.o.AtStand()
	if v.at() == nil && len(v.due) > 0 {
		v.selected = v.due[0].Place
	}
	v.load()
	v.show()
}

func (v *View) list() { v.due = past.DueOn(v.o.All(), v.o.Rule(), past.DayOf(v.o.Clock())) }

// load asks the journal for the step that is shown.
func (v *View) load() {
	v.asked++
	asked, l := v.asked, loaded{place: v.selected, text: v.text, today: past.DayOf(v.o.Clock())}
	v.o.Read(func() { v.o.ask(&l) }, func() {
		if asked != v.asked {
			return // another was asked for meanwhile
		}
		v.loaded = l
		v.cursor = min(v.cursor, len(l.days)-1)
		v.show()
	})
}

// Bounds of what is asked for.
const (
	mostPoints = 80 // of the graph
	mostRows   = 60 // days of what was done
	weeks      = 4  // of minutes
)

// ask asks the journal. It may run on any goroutine.
func (o Options) ask(l *loaded) {
	ctx := context.Background()
	l.step, l.there = o.Step(l.place)
	r, err := o.Open(ctx)
	if err != nil {
		l.err = err
		return
	}
	defer r.Close()
	fail := func(err error) bool {
		if err != nil && l.err == nil {
			l.err = err
		}
		return err != nil
	}
	if l.each, err = r.Minutes(ctx, l.today-7*weeks+1); fail(err) {
		return
	}
	id, ok, err := r.Step(ctx, l.place)
	if fail(err) || !ok && l.text == "" {
		return
	}
	var days []past.DayTally
	if days, err = r.Days(ctx, id, 0); fail(err) {
		return
	}
	l.days, l.span = past.Points(days, mostPoints)
	if l.chunks, err = r.Chunks(ctx, id); fail(err) {
		return
	}
	l.latest, err = r.Latest(ctx, id, l.text, mostRows)
	fail(err)
}

// Refresh has nothing to do: what is shown is of days, not of beats.
func (v *View) Refresh() {}

// Leave closes the field of the search. It touches no widget.
func (v *View) Leave() error { return nil }

// Recolour follows the palette.
func (v *View) Recolour() { v.show() }
