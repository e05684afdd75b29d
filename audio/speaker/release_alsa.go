//go:build !android && !darwin && !js && !windows

package speaker

// #cgo pkg-config: alsa
//
// #include <alsa/asoundlib.h>
import "C"

import (
	"reflect"

	"github.com/ebitengine/oto/v3"
)

// release gives back the system's device that ctx holds: oto opens it and has no way to close it, and each one is a
// thread and five descriptors with a sound server. It is to be called once, when the driver's loop is over, or
// suspended for good, and will not touch the device again. It may block for as long as the sound server does.
//
// The device stands in a private field, found by its name. Were it renamed, devices would be kept as oto keeps them;
// TestRelease is there to fail then.
func release(ctx *oto.Context) {
	driver := reflect.ValueOf(ctx).Elem().FieldByName("context")
	if driver.Kind() != reflect.Pointer || driver.IsNil() {
		return
	}
	handle := driver.Elem().FieldByName("handle")
	if handle.Kind() != reflect.Pointer || handle.IsNil() {
		return
	}
	C.snd_pcm_close((*C.snd_pcm_t)(handle.UnsafePointer()))
}
