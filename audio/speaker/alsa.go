//go:build !android && !darwin && !js && !windows

package speaker

// #cgo pkg-config: alsa
//
// #include <errno.h>
// #include <stdlib.h>
// #include <time.h>
// #include <alsa/asoundlib.h>
//
// static void quiet(const char *file, int line, const char *function, int err, const char *fmt, ...) {}
//
// static void hush(void) { snd_lib_error_set_handler(quiet); }
//
// // prepare asks for interleaved stereo floats, and for a buffer and a period near those given, which it sets to what
// // the device agreed to. The device starts as soon as a period is written.
// static int prepare(snd_pcm_t *pcm, unsigned rate, snd_pcm_uframes_t *buffer, snd_pcm_uframes_t *period) {
//	snd_pcm_hw_params_t *hw;
//	snd_pcm_sw_params_t *sw;
//	snd_pcm_hw_params_alloca(&hw);
//	snd_pcm_sw_params_alloca(&sw);
//	int err;
//	if ((err = snd_pcm_hw_params_any(pcm, hw)) < 0) return err;
//	if ((err = snd_pcm_hw_params_set_access(pcm, hw, SND_PCM_ACCESS_RW_INTERLEAVED)) < 0) return err;
//	if ((err = snd_pcm_hw_params_set_format(pcm, hw, SND_PCM_FORMAT_FLOAT_LE)) < 0) return err;
//	if ((err = snd_pcm_hw_params_set_channels(pcm, hw, 2)) < 0) return err;
//	if ((err = snd_pcm_hw_params_set_rate_resample(pcm, hw, 1)) < 0) return err;
//	if ((err = snd_pcm_hw_params_set_rate(pcm, hw, rate, 0)) < 0) return err;
//	if ((err = snd_pcm_hw_params_set_period_size_near(pcm, hw, period, NULL)) < 0) return err;
//	if ((err = snd_pcm_hw_params_set_buffer_size_near(pcm, hw, buffer)) < 0) return err;
//	if ((err = snd_pcm_hw_params(pcm, hw)) < 0) return err;
//	if ((err = snd_pcm_get_params(pcm, buffer, period)) < 0) return err;
//	if ((err = snd_pcm_sw_params_current(pcm, sw)) < 0) return err;
//	if ((err = snd_pcm_sw_params_set_start_threshold(pcm, sw, *period)) < 0) return err;
//	if ((err = snd_pcm_sw_params_set_avail_min(pcm, sw, *period)) < 0) return err;
//	return snd_pcm_sw_params(pcm, sw);
// }
//
// static void nap(long nanoseconds) {
//	struct timespec t = {0, nanoseconds};
//	clock_nanosleep(CLOCK_MONOTONIC, 0, &t, NULL);
// }
import "C"

import (
	"errors"
	"io"
	"runtime"
	"strings"
	"sync/atomic"
	"time"
	"unsafe"
)

// The device's own buffer is far larger than what it is kept filled to: so what is held can grow while it plays.
const (
	alsaRoom   = 800 * time.Millisecond
	alsaPeriod = 10 * time.Millisecond
)

// Devices are those that ALSA names for playing, with the words that it has for them: the sound server where there is
// one, and each card through the conversions that let it take any sound. It may ask a sound server, and take as long.
func Devices() (out []Name) {
	C.hush()
	kind := C.CString("pcm")
	defer C.free(unsafe.Pointer(kind))
	var hints *unsafe.Pointer
	if C.snd_device_name_hint(-1, kind, &hints) < 0 {
		return nil
	}
	defer C.snd_device_name_free_hint(hints)
	for _, hint := range unsafe.Slice(hints, 1<<12) {
		if hint == nil {
			break
		}
		name, says, way := hinted(hint, "NAME"), hinted(hint, "DESC"), hinted(hint, "IOID")
		if way == "Input" || !offered(name) {
			continue
		}
		first, second, _ := strings.Cut(says, "\n")
		if second != "" {
			first += ", " + second
		}
		out = append(out, Name{ID: name, Says: first})
	}
	return out
}

// offered leaves out what is no device to a player, or plays nothing, and the raw cards and their several channels,
// which refuse most sound.
func offered(name string) bool {
	kind, _, _ := strings.Cut(name, ":")
	switch kind {
	case "", "null", "default", "hw", "dmix", "dsnoop", "jack", "oss", "lavrate", "samplerate", "speexrate", "speex", "upmix", "vdownmix", "usbstream":
		return false
	}
	return !strings.HasPrefix(kind, "surround")
}

func hinted(hint unsafe.Pointer, what string) string {
	id := C.CString(what)
	defer C.free(unsafe.Pointer(id))
	text := C.snd_device_name_get_hint(hint, id)
	defer C.free(unsafe.Pointer(text))
	return C.GoString(text)
}

// System opens the device that the format names, or the system's own, and if that cannot be had the first that can. Of
// the format's buffer and queue it holds the sum, as far as the device has room.
func System(src io.Reader, f Format) (Device, error) {
	C.hush() // ALSA writes a page to standard error otherwise, each time
	names := []string{f.Device}
	if f.Device == "" {
		names = []string{"default", "plug:default"}
	}
	d, err := openAny(names, f)
	if err != nil && f.Device == "" {
		for _, n := range Devices() {
			names = append(names, n.ID)
		}
		if other, second := openAny(names[2:], f); second == nil {
			d, err = other, nil
		}
	}
	if err != nil {
		return nil, err
	}
	d.SetQueue(f.Queue)
	go d.play(src)
	return d, nil
}

func openAny(names []string, f Format) (*alsa, error) {
	var first error
	for _, name := range names {
		d, err := openALSA(name, f)
		if err == nil {
			return d, nil
		}
		if first == nil {
			first = err
		}
	}
	if first == nil {
		first = errors.New("there is no sound device")
	}
	return nil, first
}

func openALSA(name string, f Format) (*alsa, error) {
	id := C.CString(name)
	defer C.free(unsafe.Pointer(id))
	d := &alsa{rate: f.Rate, buffer: f.Buffer, done: make(chan struct{})}
	if err := C.snd_pcm_open(&d.pcm, id, C.SND_PCM_STREAM_PLAYBACK, 0); err < 0 {
		return nil, deviceError{"the sound device cannot be opened", alsaError(err)}
	}
	room, period := C.snd_pcm_uframes_t(d.frames(alsaRoom)), C.snd_pcm_uframes_t(d.frames(alsaPeriod))
	if err := C.prepare(d.pcm, C.uint(f.Rate), &room, &period); err < 0 {
		C.snd_pcm_close(d.pcm)
		return nil, deviceError{"the sound device takes no such sound", alsaError(err)}
	}
	d.room, d.period = int64(room), int64(period)
	return d, nil
}

func alsaError(err C.int) error { return errors.New(C.GoString(C.snd_strerror(err))) }

// alsa is a device that ALSA plays on. One thread of its own looks at how much the device still has to play, and keeps
// it filled up to what is to be held.
type alsa struct {
	pcm          *C.snd_pcm_t
	rate         int
	buffer       time.Duration
	room, period int64         // frames that the device can hold, and that it takes at once
	target       atomic.Int64  // frames to be held
	err          atomic.Value  // an error, for good
	closing      atomic.Bool   // the device is to be let go
	done         chan struct{} // closed when it has been
}

func (d *alsa) frames(t time.Duration) int64 { return int64(t) * int64(d.rate) / int64(time.Second) }

// Err implements [Device].
func (d *alsa) Err() error {
	err, _ := d.err.Load().(error)
	return err
}

// SetQueue implements [Device].
func (d *alsa) SetQueue(t time.Duration) {
	d.target.Store(min(d.frames(d.buffer+t), d.room-d.period-chunk))
}

// Holds implements [holder]: what is kept filled, half an answer that is written beyond it on average, and the period
// that a device plays from.
func (d *alsa) Holds() int64 { return d.target.Load() + chunk/2 + d.period }

// Close has the device let go once it has played what it holds. It does not wait for one that hangs.
func (d *alsa) Close() error {
	d.closing.Store(true)
	return nil
}

// play keeps the device filled until the source ends, the device fails for good, or it is closed. The thread asks for
// priority and ends with play.
func (d *alsa) play(src io.Reader) {
	runtime.LockOSThread() // and never unlocked: the thread ends with its priority
	hurry()
	defer close(d.done)
	defer C.snd_pcm_close(d.pcm)
	samples := make([]byte, chunk*bytesPerFrame)
	for !d.closing.Load() {
		held, err := d.held()
		for err == nil && held < d.target.Load() {
			n, end := src.Read(samples)
			if end != nil {
				d.drain(held)
				return
			}
			err = d.write(samples[:n])
			held += int64(n / bytesPerFrame)
		}
		if err != nil {
			d.err.Store(deviceError{"the sound device went away", err})
			return
		}
		C.nap(C.long(d.pause()))
	}
	d.drain(d.target.Load())
}

// pause is how long what is held may be left alone.
func (d *alsa) pause() time.Duration {
	const shortest, longest = 4 * time.Millisecond, 20 * time.Millisecond
	held := time.Duration(d.target.Load()) * time.Second / time.Duration(d.rate)
	return min(max(held/10, shortest), longest)
}

// drain waits until the device has played what it holds: closing it would cut that off.
func (d *alsa) drain(held int64) {
	C.nap(C.long(min(time.Duration(held)*time.Second/time.Duration(d.rate), 999*time.Millisecond)))
}

// held is how many frames the device has still to play.
func (d *alsa) held() (int64, error) {
	free := C.snd_pcm_avail(d.pcm)
	if free < 0 {
		// It ran dry, or the machine slept: it is made ready again, and holds nothing.
		if err := C.snd_pcm_recover(d.pcm, C.int(free), 1); err < 0 {
			return 0, alsaError(err)
		}
		return 0, nil
	}
	return max(d.room-int64(free), 0), nil
}

// write hands whole frames to the device; there is room for them.
func (d *alsa) write(p []byte) error {
	for len(p) > 0 {
		n := C.snd_pcm_writei(d.pcm, unsafe.Pointer(&p[0]), C.snd_pcm_uframes_t(len(p)/bytesPerFrame))
		if n < 0 {
			if err := C.snd_pcm_recover(d.pcm, C.int(n), 1); err < 0 {
				return alsaError(err)
			}
			continue
		}
		p = p[int(n)*bytesPerFrame:]
	}
	return nil
}
