//go:build !android && !darwin && !js && !windows

package speaker

import (
	"reflect"
	"testing"

	"github.com/ebitengine/oto/v3"
)

// The fields that release looks for have to be oto's. What it does is seen on a card, in
// TestRigAReplugLeavesNothingBehind.
func TestRelease(t *testing.T) {
	driver, ok := reflect.TypeFor[oto.Context]().FieldByName("context")
	if !ok || driver.Type.Kind() != reflect.Pointer {
		t.Fatalf("a context holds its driver in %v no more", driver)
	}
	handle, ok := driver.Type.Elem().FieldByName("handle")
	if !ok || handle.Type.Kind() != reflect.Pointer || handle.Type.Elem().Name() != "_Ctype_struct__snd_pcm" {
		t.Fatalf("a driver holds its device in %v no more", handle)
	}
	release(&oto.Context{}) // one without a device is let be
}
