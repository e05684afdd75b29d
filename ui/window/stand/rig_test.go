package stand

import (
	"context"
	"slices"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"footing/assets"
	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/conduct"
	"footing/ladder/fingers"
	"footing/ladder/march"
	"footing/ui/window/keys"
	"footing/ui/window/look"
)

// rig is a Stand in a test window on a real session and a real renderer; time
// passes only when it is told to.
type rig struct {
	*Stand
	t        *testing.T
	session  *conduct.Session
	renderer *click.Renderer
	window   fyne.Window
	sound    *testSound
	now      time.Time
	played   []ladder.Verdict
	still    bool // the desktop wants no animations
}

const rate = 48000

type testSound struct {
	name  string
	level int
}

func (s *testSound) Names() []string        { return []string{"wood", "bell", "spark"} }
func (s *testSound) Name() string           { return s.name }
func (s *testSound) Use(name string)        { s.name = name }
func (s *testSound) Describe(string) string { return "" }
func (s *testSound) Level() int             { return s.level }
func (s *testSound) SetLevel(level int)     { s.level = level }

// practised is the step that the tests practise.
func practised() ladder.Step {
	return march.Step(func(s *ladder.Step) { s.Count = click.CountNumber })
}

func newRig(t *testing.T, steps ...ladder.Step) *rig {
	t.Helper()
	if len(steps) == 0 {
		steps = []ladder.Step{practised()}
	}
	test.NewTempApp(t)
	test.ApplyTheme(t, look.New(look.ChooseDay))
	sound := []float32{1, 0.5}
	r := &rig{t: t, renderer: click.NewRenderer(rate, &click.Kit{Accent: sound, Beat: sound, Slot: sound}), sound: &testSound{"wood", 40}}
	r.session = conduct.New(ladder.New(ladder.Routine{Name: "Morning runs", Steps: steps}, false), r.renderer, r.renderer.Frames)
	ctx, end := context.WithCancel(context.Background())
	t.Cleanup(end)
	go r.session.Run(ctx, nil)
	r.now = time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)
	r.Stand = New(Options{
		Desk: r.session, Sound: r.sound, Keys: keys.NewMap(),
		Model:  func() {},
		Path:   func() string { return "runs.yaml" },
		Read:   func(read, show func()) { read(); show() },
		Charts: func() (*fingers.Library, error) { return fingers.Load(assets.Fingerings, "fingerings") },
		Clock:  func() time.Time { return r.now },
		Best:   func(string) Best { return Best{} }, Chosen: func(string) {},
		Animated: func() bool { return !r.still },
	})
	r.window = test.NewTempWindow(t, r.Object())
	r.window.SetPadded(false)
	r.window.Resize(fyne.NewSize(1200, 716))
	return r
}

// play lets beats at the tempo in force pass, as the window would see it.
func (r *rig) play(beats float64) {
	r.t.Helper()
	frames := int(beats * 60_000 / float64(r.session.View().State.Standing.Tempo()) * rate)
	dst := make([]float32, 2*480)
	for range frames / 480 {
		r.renderer.Render(dst)
		r.now = r.now.Add(10 * time.Millisecond)
		if r.session.Tick() {
			r.Refresh()
		}
	}
}

func (r *rig) keys(names ...string) {
	r.t.Helper()
	for _, k := range names {
		if !r.Key(k, false) {
			r.t.Errorf("the Stand has no use for the key %q", k)
		}
	}
}

func (r *rig) step() ladder.Step   { return r.session.View().State.Step() }
func (r *rig) state() ladder.State { return r.session.View().State }

// verdicts are those of the reps recorded so far: the session hands them over
// before it answers.
func (r *rig) verdicts() []ladder.Verdict {
	for {
		select {
		case p := <-r.session.Records():
			r.played = append(r.played, p.Verdict)
		default:
			return r.played
		}
	}
}

func (r *rig) wantVerdicts(want ...ladder.Verdict) {
	r.t.Helper()
	if got := r.verdicts(); !slices.Equal(got, want) {
		r.t.Errorf("recorded %v, want %v", got, want)
	}
}
