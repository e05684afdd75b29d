package cli

import (
	"errors"
	"fmt"
	"time"

	"footing/audio/click"
	"footing/audio/timbre"
	"footing/files"
	"footing/ladder"
	"footing/ladder/routine"
)

// sound is how a command sounds.
type sound struct {
	Sound  string  `help:"The click's timbre: ${sounds}." default:"${sound}" placeholder:"NAME"`
	Volume float32 `help:"The level, 0 to 1. Keep it low on headphones." default:"0.5" placeholder:"LEVEL"`
}

// kit makes the sounds at a rate.
func (s sound) kit(rate int) (*click.Kit, error) {
	if !(s.Volume >= 0 && s.Volume <= 1) {
		return nil, usageFault(fmt.Errorf("--volume %v is out of range; write 0 to 1", s.Volume))
	}
	kit, err := timbre.Make(s.Sound, rate)
	if err != nil {
		return nil, usageFault(fmt.Errorf("--sound: %w", err))
	}
	return &kit, nil
}

// loadRoutine reads a routine, or one step of it when step is not empty.
func loadRoutine(path, step string) (ladder.Routine, error) {
	file, err := routine.Load(path)
	if err != nil {
		return ladder.Routine{}, loadFault(err)
	}
	r := file.Routine()
	if step == "" {
		return r, nil
	}
	for _, s := range r.Steps {
		if s.Name == step {
			r.Steps = []ladder.Step{s}
			return r, nil
		}
	}
	return r, inputFault(fmt.Errorf("%s: no step is named %q; the steps are %s", files.Name(path), step, stepNames(r)))
}

// loadFault is the input's fault when the file says the wrong thing, and also
// when there is no such file; the machine's when it failed in reading it.
func loadFault(err error) error {
	if errs := (routine.Errors)(nil); errors.As(err, &errs) {
		return inputFault(errs)
	}
	return takeFault(err)
}

func stepNames(r ladder.Routine) string {
	names := ""
	for i, s := range r.Steps {
		if i > 0 {
			names += ", "
		}
		names += fmt.Sprintf("%q", s.Name)
	}
	return names
}

// clockTime writes frames as minutes and seconds, "1:07".
func clockTime(frames int64, rate int) string {
	d := time.Duration(frames) * time.Second / time.Duration(rate)
	return fmt.Sprintf("%d:%02d", int(d.Minutes()), int(d.Seconds())%60)
}
