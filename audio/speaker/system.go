package speaker

import (
	"fmt"
	"io"
	"strings"
	"sync"
	"time"

	"github.com/ebitengine/oto/v3"
)

// System opens the system's default device. It serves one speaker at a time.
func System(src io.Reader, f Format) (Device, error) {
	if err := probe(); err != nil {
		return nil, err
	}
	allowAnotherContext()
	ctx, ready, err := oto.NewContext(&oto.NewContextOptions{
		SampleRate: f.Rate, ChannelCount: 2, Format: oto.FormatFloat32LE, BufferSize: f.Buffer,
	})
	if err != nil {
		return nil, fmt.Errorf("open the sound device: %w", err)
	}
	<-ready
	// Several drivers open the device behind NewContext's back, and tell only here.
	if err := ctx.Err(); err != nil {
		if strings.Contains(err.Error(), "snd_pcm_hw_params") { // opened, and does not take such sound
			release(ctx)
		}
		return nil, deviceError{"the sound device cannot be opened", err}
	}
	d := &system{ctx: ctx, player: ctx.NewPlayer(src), rate: f.Rate, holds: 2 * f.Buffer}
	d.SetQueue(f.Queue)
	d.player.Play()
	return d, nil
}

// system is a device of the system. The player has to be referred to for as long as it plays: it is closed when it is
// collected.
type system struct {
	ctx    *oto.Context
	player *oto.Player
	rate   int
	holds  time.Duration // the most that the device has still to play when it is closed
	close  sync.Once
}

func (d *system) Err() error {
	if err := d.ctx.Err(); err != nil {
		return deviceError{"the sound device went away", err}
	}
	if err := d.player.Err(); err != nil {
		return fmt.Errorf("play: %w", err)
	}
	return nil
}

func (d *system) SetQueue(t time.Duration) {
	d.player.SetBufferSize(int(int64(t)*int64(d.rate)/int64(time.Second)) * bytesPerFrame)
}

// Close lets the device play what it holds and gives it back. Suspend waits for the driver, which may be stuck in a
// device that hangs; the device is then given back when it no longer does. Once Suspend has returned, the driver's loop
// has ended with an error or stands still, and leaves the device alone.
func (d *system) Close() error {
	d.close.Do(func() {
		d.player.Pause()
		go func() {
			if d.ctx.Suspend() == nil {
				<-time.After(d.holds)
			}
			release(d.ctx)
		}()
	})
	return nil
}

// deviceError says in plain words what the device did; the driver's own words are the cause.
type deviceError struct {
	what  string
	cause error
}

// Error keeps the end of the driver's message: before it stand the library's and the functions' names.
func (e deviceError) Error() string {
	text := e.cause.Error()
	if i := strings.LastIndex(text, ": "); i >= 0 {
		text = text[i+2:]
	}
	return fmt.Sprintf("%s (%s)", e.what, text)
}

func (e deviceError) Unwrap() error { return e.cause }
