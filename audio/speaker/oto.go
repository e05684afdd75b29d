//go:build android || darwin || js || windows

package speaker

import (
	"fmt"
	"io"
	"sync"
	"time"

	"github.com/ebitengine/oto/v3"
)

// Devices is empty here: the library behind this one plays on the system's own device and knows no other.
func Devices() []Name { return nil }

// System opens the system's default device, whatever device the format names. It serves one speaker at a time.
func System(src io.Reader, f Format) (Device, error) {
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
		return nil, deviceError{"the sound device cannot be opened", err}
	}
	d := &system{ctx: ctx, player: ctx.NewPlayer(src), rate: f.Rate}
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

// Close lets the device play what it holds. Suspend waits for the driver, which may be stuck in a device that hangs.
func (d *system) Close() error {
	d.close.Do(func() {
		d.player.Pause()
		go func() { _ = d.ctx.Suspend() }()
	})
	return nil
}
