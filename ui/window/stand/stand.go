package stand

import (
	"time"

	"fyne.io/fyne/v2"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/conduct"
	"footing/ladder/fingers"
	"footing/ui/window/draw"
	"footing/ui/window/finder"
	"footing/ui/window/keys"
	"footing/ui/window/look"
)

// Desk is the session at which the player sits. Its methods may be called from
// the main goroutine at any time and do not block for long.
type Desk interface {
	View() conduct.View
	Start()
	Stop()
	Judge(ladder.Verdict) ladder.Reach
	Do(ladder.Event)
	// GoTo moves to another step (index from 0).
	GoTo(step int)
	Change(edit func(ladder.Step) ladder.Step) []ladder.Fault
}

// Sound is what the click sounds like.
type Sound interface {
	// Names lists the timbres, at least one.
	Names() []string
	Name() string
	Use(name string)
	// Describe says in a few words what the timbre is good for.
	Describe(name string) string
	// Level is in percent, 0 to 100.
	Level() int
	SetLevel(percent int)
}

// Options are what a Stand works with.
type Options struct {
	Desk  Desk
	Sound Sound
	Keys  *keys.Map
	Clock func() time.Time
	// Best is the best of last time for a step by its name; the zero value where
	// there is none.
	Best func(step string) Best
	// Path is the file of the routine that is practised, beside which its scores
	// lie.
	Path func() string
	// Read has read done where files may be waited for, one after the other, and
	// then show on the main goroutine.
	Read func(read, show func())
	// Model lets the notes of the step be heard, or no longer.
	Model func()
	// Charts reads the fingering charts; nil for none. It is called where files may be
	// waited for.
	Charts func() (*fingers.Library, error)
	// Animated reports whether the light may move from slot to slot.
	Animated func() bool
	// Changed is called when the title may have changed.
	Changed func()
	// Chosen is told which choice of a notice was taken, or "" for a tap on the
	// notice itself.
	Chosen func(id string)
}

// Stand is the view. All of it belongs to the main goroutine.
type Stand struct {
	o     Options
	p     *panel
	pages [][]place
	tap   tapper

	typing  bool
	typed   string
	hint    string // under the tempo
	counts  string // what the hint says of taps
	warm    bool
	grain   grain            // the chunk moves by
	far     bool             // the count is shown alone
	replace bool             // the player was asked whether to replace their own plan
	said    draw.NoticeModel // for the player's last action
	judged  judged
	standby draw.NoticeModel // that holds until it is changed
	entry   *pencilEntry
	name    string
	shaping bool
	shaped  place // the stroke that the keys shape
	onlyOf  only
	accents map[written]click.Accents
	notes   noted
}

// New makes the Stand.
func New(o Options) *Stand {
	s := &Stand{o: o, accents: map[written]click.Accents{}}
	s.notes.finder = finder.Finder{Path: o.Path, Read: o.Read}
	s.notes.charts = finder.Charts{Load: o.Charts, Read: o.Read}
	s.p = &panel{
		ladder:  draw.NewLadder(s.toRung),
		tempo:   draw.NewTempo(s.beginTyping, func(id string, by int) { s.act(keys.Action(id), by < 0) }),
		passage: draw.NewPassage(s.bracket),
		lane:    draw.NewLane(s.mark),
		knobs:   draw.NewKnobs(func(id string, by int) { s.act(keys.Action(id), by < 0) }),
		status:  draw.NewStatus(s.goOn, func() { s.act(keys.LastStep, false) }),
		pencil:  draw.NewPencil(s.write),
		notice:  draw.NewNotice(s.chosen),
		verdict: draw.NewVerdict(s.press),
		far:     draw.NewFar(func() { s.act(keys.Far, false) }),
	}
	s.p.build()
	s.Refresh()
	return s
}

// Object is what the window shows.
func (s *Stand) Object() fyne.CanvasObject { return s.p.root }

// Title names the step for the header, and counts it where there are others.
func (s *Stand) Title() (name, sub, count string) { return title(s.o.Desk.View().State) }

// Enter, Leave and Recolour make the Stand a view of the window.
func (s *Stand) Enter() {
	if s.o.Desk.View().State.Step().Notes.Score.File != "" {
		s.notes.finder.Forget() // the score may have been changed
	}
	s.Refresh()
}

// Recolour follows the palette.
func (s *Stand) Recolour() { s.Refresh() }

// Leave keeps what is written in the pencil mark so far, whether it is done or
// not. It touches no widget.
func (s *Stand) Leave() error {
	s.shaping = false
	s.notes.finder.GiveUp()
	if s.entry != nil {
		s.keepNote(s.entry.Text)
	}
	return nil
}

// Notify shows one line until it is changed, and what can be done about it. An
// empty text takes it away.
func (s *Stand) Notify(m draw.NoticeModel) {
	s.standby = m
	s.showNotice()
}

// Second is to be called about once a second: it takes away what holds only for a
// while.
func (s *Stand) Second() {
	if before := s.hint; before != "" {
		if s.expire(); s.hint != before {
			s.Refresh()
		}
	}
}

// Say shows one line until the player's next action.
func (s *Stand) Say(text string, warm bool) { s.say(text, warm) }

// Said is the line that is shown until the player's next action; empty for none.
func (s *Stand) Said() string { return s.said.Text }

// say shows one line until the player's next action.
func (s *Stand) say(text string, warm bool) {
	s.said = draw.NoticeModel{Text: text, Warm: warm}
	s.showNotice()
}

func (s *Stand) showNotice() {
	m := s.said
	if m.Text == "" {
		m = s.standby
	}
	s.p.notice.Set(m)
}

// chosen is a tap on a choice of the notice, or on the notice itself.
func (s *Stand) chosen(id string) {
	if s.said.Text != "" {
		s.said = draw.NoticeModel{}
		s.showNotice()
		return
	}
	s.o.Chosen(id)
}

// Refresh shows the session as it is now. Only what differs is repainted.
func (s *Stand) Refresh() {
	s.expire()
	v := s.o.Desk.View()
	step := v.State.Step()
	m := s.o.Keys
	s.p.ladder.Set(ladderModel(v.State, s.o.Best(step.Name), m))

	tempo := tempoModel(v.State, v.Now, m)
	tempo.Turns = turns(step, s.shaping, m)
	if s.typing {
		tempo.Number, tempo.Typing = s.typed, true
	}
	if s.hint != "" {
		tempo.Hint, tempo.HintWarm, tempo.Next = s.hint, s.warm, ""
	}
	s.p.tempo.Set(tempo)

	s.findNotes(v)
	v = s.o.Desk.View() // with the notes that were found
	step = v.State.Step()
	s.p.passage.Set(passageModel(step, s.grainOf(), m))
	lane, places := laneOfNotes(v, s.notes.found)
	if s.far {
		s.p.far.Set(farModel(v, m.Label(keys.Far), !s.o.Animated()))
	}
	if s.shaping {
		lane, places = bar(v)
	}
	if s.pages = places; s.shaping {
		s.showShaping(&lane)
	} else {
		lane.Staff = s.notes.staff
		lane.Notes = s.laneNotes(v, lane)
	}
	if !s.o.Animated() {
		lane.Now = -1 // the part that sounds is still named
	}
	s.p.lane.Set(lane)
	s.p.knobs.Set(knobs(step, s.o.Sound.Name(), s.o.Sound.Level(), m))

	advice := s.notes.found.Advice(v.State)
	if s.findChart(v); v.State.Standing.TooHard {
		if words := s.hardestWords(step); words != "" {
			advice.Next = words
		}
	}
	key := ""
	switch {
	case advice.Next == "":
	case v.State.Standing.TooHard:
		key = m.Label(keys.Halve)
	case v.State.NextStep() == v.State.StepAt+1: // in turns the first comes after the last, where no key leads
		key = m.Label(keys.NextStep)
	}
	back := draw.Choice{}
	if at := v.State.StepAt; at > 0 {
		back = draw.Choice{Label: "back to " + v.State.Routine.Steps[at-1].Name, Key: m.Label(keys.LastStep)}
	}
	s.p.status.Set(advice.Line, draw.Choice{Label: advice.Next, Key: key}, back)
	s.p.pencil.Set(step.Pencil, m.Label(keys.Pencil))
	s.p.verdict.Set(draw.VerdictModel{
		Running:  v.State.Running,
		RoughKey: m.Label(keys.Rough), SkipKey: m.Label(keys.Skip),
		StartKey: m.Label(keys.StartStop), CleanKey: m.Label(keys.Clean),
	})
	s.showNotice()
	if c := look.Current().Hair; s.p.divider.FillColor != c {
		s.p.divider.FillColor = c
		s.p.divider.Refresh()
	}
	if name, sub, count := title(v.State); name+sub+count != s.name {
		first := s.name == ""
		s.name = name + sub + count
		if !first && s.o.Changed != nil {
			s.o.Changed()
		}
	}
}
