//go:build !android && !darwin && !js && !windows

package speaker

// #cgo pkg-config: alsa
//
// #include <stdlib.h>
// #include <string.h>
// #include <alsa/asoundlib.h>
//
// static void quiet(const char *file, int line, const char *function, int err, const char *fmt, ...) {}
//
// static int opens(const char *name) {
//	snd_pcm_t *pcm;
//	int err = snd_pcm_open(&pcm, name, SND_PCM_STREAM_PLAYBACK, 0);
//	if (err >= 0) snd_pcm_close(pcm);
//	return err;
// }
//
// static int probe(void) {
//	snd_lib_error_set_handler(quiet);
//	int err = opens("default");
//	if (err >= 0 || opens("plug:default") >= 0) return 0;
//	void **hints;
//	if (snd_device_name_hint(-1, "pcm", &hints) < 0) return err;
//	int found = 0;
//	for (void **h = hints; *h != NULL && !found; h++) {
//		char *name = snd_device_name_get_hint(*h, "NAME");
//		char *way = snd_device_name_get_hint(*h, "IOID");
//		int plays = name != NULL && (way == NULL || strcmp(way, "Input") != 0);
//		if (plays && strcmp(name, "null") != 0 && strcmp(name, "jack") != 0) found = opens(name) >= 0;
//		free(name);
//		free(way);
//	}
//	snd_device_name_free_hint(hints);
//	return found ? 0 : err;
// }
import "C"

import "errors"

// probe tells whether any device of those that oto tries can be opened. A failed context leaves a goroutine behind in
// oto, and one is tried every two seconds; a failed probe leaves nothing. It also silences ALSA, which otherwise
// writes a page to standard error each time, and leaves out the one plugin that would write all the same: who plays
// through JACK alone names it as ALSA's default.
func probe() error {
	if err := C.probe(); err < 0 {
		return deviceError{"no sound device can be opened", errors.New(C.GoString(C.snd_strerror(err)))}
	}
	return nil
}
