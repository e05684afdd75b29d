package stand

import (
	"reflect"
	"testing"
	"time"

	"fyne.io/fyne/v2"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/conduct"
	"footing/ui/window/draw"
)

func TestAPlayerClimbsByKeysAndPedalsAlone(t *testing.T) {
	r := newRig(t)
	r.keys("Space")
	if !r.state().Running {
		t.Fatal("space does not start the click")
	}
	r.play(2 + 5 + 0.5) // count-in, a rep of two beats and landing, its breath, and into the next rep
	r.keys("Next")      // Page Down, in the first beat: the rep before
	r.play(5)
	r.keys("Right")
	r.play(5)
	r.keys("Right")
	if got := r.state().Standing.Tempo(); got != click.BPM(68) {
		t.Errorf("after three clean reps the tempo is %s, want 68", got)
	}
	r.play(5)
	r.keys("Prior")
	r.play(6)
	r.keys("Left")
	r.play(8)
	r.keys("Space")
	if r.state().Running {
		t.Error("space does not stop the click")
	}
	if got := r.verdicts()[:3]; got[0] != ladder.Clean || got[1] != ladder.Clean || got[2] != ladder.Clean {
		t.Errorf("recorded %v, want three cleans first", got)
	}
}

func TestAHeldPedalGivesOneVerdict(t *testing.T) {
	r := newRig(t)
	r.keys("Space")
	if !r.Key("Space", true) || !r.state().Running {
		t.Error("a held space stops the click that it started")
	}
	r.play(2.5)
	for range 3 {
		r.Key("Up", true)
	}
	if got := r.state().Standing.Rung; got != 3 {
		t.Errorf("a held arrow moved to rung %d, want 3", got)
	}
}

func TestKeysEditTheLoop(t *testing.T) {
	r := newRig(t)
	check := func(what string, ok bool) {
		t.Helper()
		if !ok {
			t.Errorf("%s: %+v", what, r.step())
		}
	}
	r.keys("]")
	check("] widens the chunk by a beat", r.step().Chunk.Length == click.Whole(3))
	r.keys("[", "[")
	check("[ shrinks it", r.step().Chunk.Length == click.Whole(1))
	r.keys("<")
	check("< moves it earlier", r.step().ChunkStart() == click.Whole(4))
	r.keys(">", ".")
	check("> moves it later", r.step().ChunkStart() == click.Whole(6))
	r.keys("g", "[")
	check("by slots it shrinks by a slot", r.step().Chunk.Length == click.Frac(3, 4))
	r.keys(">")
	check("by slots it moves by a slot", r.step().ChunkStart() == click.Frac(25, 4))
	r.keys("h")
	check("h halves it", r.step().Chunk.Length == click.Frac(1, 2))
	r.keys("p")
	check("p doubles the pulse", r.step().Pulse == click.Doubled)
	r.keys("P", "P")
	check("P turns it back, round", r.step().Pulse == click.Offbeat)
	r.keys("s")
	check("s takes the next subdivision", r.step().Slots == click.EvenSlots(5))
	r.keys("S", "S", "S")
	check("S goes back over the swing", r.step().Slots == click.Swing(2, 1))
	r.keys("c")
	check("c changes the counting", r.step().Count == click.CountTakadimi)
	r.keys("i", "b", "r", "l")
	check("i, b, r and l change count-in, breath, reps and landing",
		r.step().CountIn == 3 && r.step().Breath == 3 && r.step().Reps == 6 && !r.step().Chunk.Landing)
	r.keys("o")
	check("o takes another sound", r.sound.name == "bell")
	r.keys("=", "=", "-")
	check("= and - set the level", r.sound.level == 45)
	if r.session.View().Edits == 0 {
		t.Error("the edits are not worth saving")
	}
}

func TestKeysTakeAnglesAndWalkPlans(t *testing.T) {
	r := newRig(t)
	before := r.step()
	said := func(want string) {
		t.Helper()
		if r.said.Text != want {
			t.Errorf("it says %q, want %q", r.said.Text, want)
		}
	}
	r.keys("q")
	said("angle: long short")
	if loop := r.step().Loop(); len(loop.Path.Cells) != 8 {
		t.Errorf("the click goes along %d cells", len(loop.Path.Cells))
	}
	r.keys("Q", "Q")
	if r.step().Angle.Keeps() {
		t.Errorf("back from as written leads to %s", r.step().Angle)
	}
	r.keys("q")
	said("as written")

	r.keys("j")
	said("no plan yet: U makes one")
	r.keys("u")
	said("plan: forward chain, 1 of 4: bar 17")
	r.keys("j")
	said("2 of 4 of the plan: bars 17-18")
	if c := r.step().Chunk; c.Bar != 17 || c.Length != click.Whole(8) || c.Landing != before.Chunk.Landing {
		t.Errorf("the chunk is %+v", c)
	}
	r.keys("J", "J")
	said("1 of 4 of the plan: bar 17")
	r.keys("u", "j", "j", "j")
	said("4 of 4 of the plan: the passage")
	r.keys("[")
	r.keys("j")
	said("1 of 4 of the plan: bar 20")
	r.session.Change(func(s ladder.Step) ladder.Step { return s.CutMoved(2) })
	own := r.step().Plan
	r.keys("u")
	said("this plan is your own: U once more puts another in its place")
	r.keys("j", "u")
	if !reflect.DeepEqual(r.step().Plan, own) {
		t.Error("a plan of the player's own was replaced unasked")
	}
	r.keys("u")
	said("plan: forward chain, 1 of 4: bar 17")
	r.keys("U")
	said("no plan")
	if r.step().Plan != nil {
		t.Errorf("a plan of %d chunks is left", len(r.step().Plan))
	}
}

func TestWrittenDynamicsComeBackWithTheirSlots(t *testing.T) {
	step := practised()
	step.Accents = click.Accents{{click.Forte, click.Pianissimo, click.MezzoForte, click.Silent}}
	r := newRig(t, step)
	r.keys("s", "s", "S", "S")
	if got := r.step(); !reflect.DeepEqual(got, step) {
		t.Errorf("there and back the dynamics are %v, want %v", got.Accents, step.Accents)
	}
	r.keys("s")
	r.mark(1, 0, 1)
	five := r.step().Accents
	r.keys("S")
	if got := r.step(); !reflect.DeepEqual(got, step) {
		t.Errorf("a mark at another slot count left %v, want %v", got.Accents, step.Accents)
	}
	r.keys("s")
	if got := r.step().Accents; !reflect.DeepEqual(got, five) {
		t.Errorf("with five slots again there is %v, want %v", got, five)
	}
}

// What is rendered is a little ahead of what is heard: the last rep of a rung
// may sound when the next rung's count-in is on its way.
func TestNoRepIsNumberedNought(t *testing.T) {
	step := practised()
	step.Rule.Kind = ladder.Steady
	r := newRig(t, step)
	s := r.state()
	for _, ahead := range []click.Kind{click.CountIn, click.Rep, click.Breath} {
		s.Sounding = ladder.Part{Seq: 9, Kind: ahead}
		for _, sounding := range []bool{false, true} {
			if got := label(conduct.View{State: s}, draw.SectionChunk, sounding); got != "rep 1 of 5" {
				t.Errorf("with a %v on its way, sounding %v, it is %q", ahead, sounding, got)
			}
		}
	}
}

// "of 5" is said only where five reps end the turn of the rung.
func TestARepIsOneOfManyOnlyWhereTheyAreCounted(t *testing.T) {
	for _, tt := range []struct {
		rule     ladder.RuleKind
		verdicts string
		by       string // a key at the end
		want     string
	}{
		{ladder.Earned, "", "", "rep 1"},
		{ladder.Earned, "..l...", "", "rep 7"},
		{ladder.Earned, "rrr", "", "rep 1"}, // of the next rung
		{ladder.Settle, "..", "", "rep 3"},
		{ladder.TwoUpOneDown, ".", "", "rep 2"},
		{ladder.Steady, "..", "", "rep 3 of 5"},
		{ladder.Steady, ".k.", "", "rep 3 of 5"}, // a rep that is skipped does not count
		{ladder.Steady, "..", "7", "rep 1"},      // as long as the player likes
		{ladder.Arch, ".l", "", "rep 2 of 5"},    // a rough is played again
		{ladder.Leap, ".", "", "rep 2 of 5"},
	} {
		step := practised()
		step.Rule.Kind = tt.rule
		r := newRig(t, step)
		r.keys("Space")
		r.play(2)
		for _, v := range tt.verdicts {
			r.play(3.5)
			if k := map[rune]string{'l': "Left", 'r': "Right", 'k': "k"}[v]; k != "" {
				r.keys(k)
			}
			r.play(1.5)
		}
		r.play(0.2)
		if tt.by != "" {
			r.keys(tt.by, "7", string(fyne.KeyReturn))
		}
		m, _ := lane(r.session.View())
		got := ""
		for _, s := range m.Sections {
			if s.Kind == draw.SectionChunk {
				got = s.Label
				if s.Label != "rep "+s.Short {
					t.Errorf("the short label of %q is %q", s.Label, s.Short)
				}
			}
		}
		if got != tt.want {
			t.Errorf("%v after %q: %q, want %q", tt.rule, tt.verdicts+tt.by, got, tt.want)
		}
	}
}

func TestALevelStaysWithinItsBounds(t *testing.T) {
	r := newRig(t)
	for range 30 {
		r.keys("=")
	}
	if r.sound.level != 100 {
		t.Errorf("the level went to %d", r.sound.level)
	}
	for range 30 {
		r.keys("-")
	}
	if r.sound.level != 0 {
		t.Errorf("the level went to %d", r.sound.level)
	}
}

func TestTypeATempo(t *testing.T) {
	enter := string(fyne.KeyReturn)
	for _, tt := range []struct {
		name string
		keys []string
		want click.Tempo
		hint bool // a warm line says what would be right
	}{
		{"on the ladder", []string{"7", "6", enter}, click.BPM(76), false},
		{"off the ladder, with decimals", []string{"7", "7", ".", "5", enter}, 77500, false},
		{"corrected", []string{"9", "0", string(fyne.KeyBackspace), "2", enter}, click.BPM(92), false},
		{"left", []string{"9", "0", string(fyne.KeyEscape)}, click.BPM(64), false},
		{"out of range", []string{"9", enter}, click.BPM(64), true},
		{"another key ends it", []string{"9", "Up"}, click.BPM(68), false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			r := newRig(t)
			r.keys(tt.keys...)
			if got := r.state().Standing.Tempo(); got != tt.want {
				t.Errorf("the tempo is %s, want %s", got, tt.want)
			}
			if r.warm != tt.hint {
				t.Errorf("hint %q warm %v", r.hint, r.warm)
			}
		})
	}
}

func TestTapATempo(t *testing.T) {
	r := newRig(t)
	// 600 ms apart is 100 bpm; one tap goes astray, and the median forgives it.
	for _, ms := range []int{0, 600, 600, 750, 450, 600} {
		r.now = r.now.Add(time.Duration(ms) * time.Millisecond)
		r.keys("t")
	}
	if got := r.state().Standing.Tempo(); got != click.BPM(100) {
		t.Errorf("tapped %s, want 100", got)
	}
}

func TestTapNeedsFourAndBeginsAnewAfterAPause(t *testing.T) {
	var p tapper
	at := time.Time{}
	tap := func(ms int) (click.Tempo, int) {
		at = at.Add(time.Duration(ms) * time.Millisecond)
		return p.tap(at)
	}
	for _, ms := range []int{0, 500, 500} {
		if tempo, _ := tap(ms); tempo != 0 {
			t.Fatalf("fewer than four taps gave %s", tempo)
		}
	}
	if tempo, n := tap(500); tempo != click.BPM(120) || n != 4 {
		t.Errorf("four taps gave %s after %d, want 120", tempo, n)
	}
	if tempo, n := tap(5000); tempo != 0 || n != 1 {
		t.Errorf("after a pause %s and %d taps, want none and 1", tempo, n)
	}
	for range 3 {
		tap(1) // a bouncing key
	}
	if tempo, _ := tap(1); tempo != click.MaxTempo {
		t.Errorf("the fastest taps gave %s", tempo)
	}
}

func TestTheCountOfTapsGoesWhenAnotherTapWouldBeginAnew(t *testing.T) {
	for _, tt := range []struct {
		taps       int
		stays, end time.Duration // after the last tap
	}{{1, 6 * time.Second, 6100 * time.Millisecond}, {3, 1250 * time.Millisecond, 1300 * time.Millisecond}, {5, 1250 * time.Millisecond, 1300 * time.Millisecond}} {
		r := newRig(t)
		for range tt.taps {
			r.now = r.now.Add(500 * time.Millisecond)
			r.keys("t")
		}
		last := r.now
		for _, at := range []time.Duration{tt.stays, tt.end} {
			r.now = last.Add(at)
			r.Second()
			if stays := at == tt.stays; (r.hint != "") != stays {
				t.Errorf("%v after %d taps the hint is %q", at, tt.taps, r.hint)
			}
		}
		r.keys("8")
		r.now = r.now.Add(time.Hour)
		if r.Second(); r.hint != typeHint {
			t.Errorf("while a tempo is typed the hint is %q", r.hint)
		}
	}
}

func TestStepsOfTheRoutine(t *testing.T) {
	second := practised()
	second.Name = "Slow settling"
	r := newRig(t, practised(), second)
	r.keys("n")
	if got := r.state().StepAt; got != 1 {
		t.Fatalf("n went to step %d", got)
	}
	r.keys("n", "v")
	if got := r.state().StepAt; got != 0 {
		t.Errorf("v went to step %d", got)
	}
}

func TestUnknownKeysAreLeftToOthers(t *testing.T) {
	r := newRig(t)
	for _, key := range []string{"F1", "%", "Return"} {
		if r.Key(key, false) {
			t.Errorf("the Stand took %q", key)
		}
	}
}

func TestTheLightFollowsWhatIsHeard(t *testing.T) {
	r := newRig(t)
	light := func() (now, active int) {
		m, _ := lane(r.session.View())
		return m.Now, m.Active
	}
	if now, _ := light(); now != -1 {
		t.Errorf("in silence stroke %d is lit", now)
	}
	r.keys("Space")
	r.play(0.1)
	for beat, want := range []int{0, 4, 8, 12, 16, 20, 24} { // count-in, chunk, landing, breath
		if now, _ := light(); now != want {
			t.Errorf("at beat %d stroke %d is lit, want %d", beat, now, want)
		}
		r.play(0.3) // to the second slot
		second := want + 1
		if beat > 3 {
			second = want // nothing sounds between the beats of landing and breath
		}
		if now, _ := light(); now != second {
			t.Errorf("after beat %d stroke %d is lit, want %d", beat, now, second)
		}
		r.play(0.7)
	}
	if now, active := light(); now != 8 || active != 1 {
		t.Errorf("in the second rep stroke %d of section %d is lit, want 8 of 1", now, active)
	}
}

func TestWithoutAnimationsTheLightStandsStill(t *testing.T) {
	r := newRig(t)
	r.still = true
	r.keys("Space")
	r.play(3)
	before := r.window.Canvas().Capture()
	r.play(0.5)
	after := r.window.Canvas().Capture()
	if !reflect.DeepEqual(before, after) {
		t.Error("the picture moves within a rep")
	}
	r.play(3)
	if reflect.DeepEqual(after, r.window.Canvas().Capture()) {
		t.Error("the part that is heard is not named")
	}
}
