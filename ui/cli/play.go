package cli

import (
	"context"
	"fmt"
	"time"

	"footing/audio/click"
	"footing/audio/speaker"
	"footing/files"
	"footing/ladder"
	"footing/ladder/conduct"
	"footing/ladder/counted"
	"footing/ladder/notes/notesfile"
)

// playCmd plays a routine on the sound device.
type playCmd struct {
	File string `arg:"" help:"A routine file."`
	Step string `help:"Only this step." placeholder:"NAME"`
	sound
	model `embed:""`
	voice `embed:""`
	JSON  bool `name:"json" help:"Write each rep as an object on a line of its own."`
}

// Help is the long help.
func (playCmd) Help() string {
	return `The routine is played hands free: every rep is taken for clean, so that it climbs to its goal. Ctrl-C stops it.
With --model the notes of the steps sound too. A step that says speak: true is counted aloud.

Keep the level low on headphones, and stop at pain or numbness.

Example:
  footing play runs.yaml --step "Weir Street run" --sound felt
  footing play runs.yaml --step "Weir Street run" --model fades`
}

// playedRep is a rep in JSON.
type playedRep struct {
	Rep     int     `json:"rep"`
	Step    string  `json:"step"`
	BPM     float64 `json:"bpm"`
	Verdict string  `json:"verdict"`
}

// How often the session follows the sound, many times in the shortest phrase (a
// beat at 400 bpm, 150 ms), and the line of progress the session.
const (
	tickEvery = 10 * time.Millisecond
	showEvery = 50 * time.Millisecond
)

// Run implements the command.
func (c playCmd) Run(ctx context.Context, w World) error {
	const rate = 48_000
	kit, err := c.kit(rate)
	if err != nil {
		return err
	}
	r, err := loadRoutine(c.File, c.Step)
	if err != nil {
		return err
	}
	played := conduct.Rendition{Routine: r, Rate: rate, Sounds: c.model.sounds(rate)}
	if err := c.model.join(ctx, &played, c.File, false); err != nil {
		return err
	}
	if played.Begins, err = notesfile.At(c.File).Begins(ctx, r); err != nil {
		return err
	}
	if err := c.voice.join(ctx, &played, c.File, c.model); err != nil {
		return err
	}
	renderer := click.NewRenderer(rate, kit)
	renderer.SetVolume(c.Volume)
	if played.Wind != nil {
		renderer.SetWind(played.Wind)
		renderer.SetModelLevel(played.ModelLevel)
	}
	device, err := speaker.Open(renderer, speaker.Options{Rate: rate, Open: w.Device})
	if err != nil {
		return machineFault(err)
	}
	defer device.Close()
	select {
	case <-device.Ready():
	case <-ctx.Done():
		return ctx.Err()
	}
	if state := device.State(); !state.Sounding {
		return machineFault(fmt.Errorf("playing %s: there is no sound device: %w", files.Name(c.File), state.Err))
	}
	return c.follow(ctx, w, played, renderer, device)
}

// follow plays the session until it is over or ctx is done.
func (c playCmd) follow(ctx context.Context, w World, played conduct.Rendition, renderer *click.Renderer, device *speaker.Speaker) error {
	total, err := played.Length(ctx)
	if err != nil {
		return err
	}
	session := conduct.New(ladder.New(played.Known(), true), renderer, device.Heard).WithTones(played.Tones).WithAloud(played.Aloud).WithSounds(played.Sounds)
	ticks := time.NewTicker(tickEvery)
	defer ticks.Stop()
	// The session outlives ctx: its last reps are written when it ends.
	playing, end := context.WithCancel(context.WithoutCancel(ctx))
	defer end()
	go session.Run(playing, ticks.C)
	stuck, written := make(chan struct{}), make(chan error, 1)
	go func() { written <- c.write(w, session.Records(), func() { close(stuck) }) }()

	bar := newProgress(w)
	defer bar.done()
	show := time.NewTicker(showEvery)
	defer show.Stop()
	began := device.Heard()
	session.Do(ladder.Model{Mode: played.Model})
	session.Start()
	for v, on := session.View(), true; on && v.State.Running && ctx.Err() == nil; v = session.View() {
		bar.show("%s  %s bpm  %s  %s of %s", v.State.Step().Name, v.State.Standing.Tempo(), rep(v.State),
			clockTime(device.Heard()-began, renderer.Rate()), clockTime(total, renderer.Rate()))
		select {
		case <-ctx.Done():
		case <-stuck:
			on = false
		case <-show.C:
		}
	}
	end()
	failed := <-written
	bar.done()
	if err := ctx.Err(); err != nil {
		return err
	}
	return c.finish(w, session.View().State, device, failed)
}

// write writes each rep as it is recorded, where that was asked for. It takes
// them all, whatever goes wrong, and says at once, by stuck, when one cannot be
// written.
func (c playCmd) write(w World, records <-chan ladder.Played, stuck func()) (failed error) {
	for p := range records {
		if c.JSON && failed == nil {
			failed = writeJSON(w.Out, playedRep{p.Number, p.Name, p.Tempo.BPM(), p.Verdict.String()})
			if failed != nil {
				stuck()
			}
		}
	}
	return failed
}

// rep is which rep is played, and of how many where the rung asks for a number.
func rep(s ladder.State) string {
	n, of := s.Counted()
	if of == 0 {
		return fmt.Sprintf("rep %d", n+1)
	}
	return fmt.Sprintf("rep %d of %d", n+1, of)
}

// finish waits for the last sound and sums up.
func (c playCmd) finish(w World, s ladder.State, device *speaker.Speaker, failed error) error {
	if failed != nil {
		return failed
	}
	if n := device.Underruns(); n > 0 {
		fmt.Fprintf(w.Err, "footing: the device ran dry %s\n", counted.Of(n, "time"))
	}
	if !c.JSON {
		fmt.Fprintf(w.Out, "%s: %s\n", s.Routine.Name, counted.Of(s.Reps, "rep"))
	}
	return nil
}
