package window

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"strings"

	"github.com/adrg/xdg"

	"footing/audio/timbre"
	"footing/files"
	"footing/ladder"
	"footing/ladder/journal"
	"footing/ui/window/passage"
	"footing/ui/window/store"
)

// memory holds what settings keeps by name: a [store.Store], or in tests the
// toolkit's own preferences.
type memory interface {
	String(name string) string
	SetString(name, v string)
	Bool(name string) bool
	SetBool(name string, v bool)
	Int(name string) int
	IntWithFallback(name string, fallback int) int
	SetInt(name string, v int)
	FloatWithFallback(name string, fallback float64) float64
	SetFloat(name string, v float64)
	StringList(name string) []string
	SetStringList(name string, v []string)
}

// settingsFile is where settings are kept, beside the player's routines.
func settingsFile() string { return filepath.Join(xdg.DataHome, "footing", "settings.json") }

// toolkitFile is where Fyne keeps the preferences of a program, and where
// settings were kept before they had a file of their own; empty where the system
// has no such place. (Its app.RootConfigDir and preferences.storagePath.)
func toolkitFile() string {
	dir, err := os.UserConfigDir()
	if err != nil {
		return ""
	}
	return filepath.Join(dir, "fyne", AppID, "preferences.json")
}

// recall opens the settings at path, whatever their state; the error says in one
// sentence what could not be read. Where there are none yet, those that the
// toolkit kept are taken over, once. It must be called before Fyne starts: what
// of the toolkit's file would bring Fyne down is moved aside.
func recall(ctx context.Context, path, toolkit string) (*store.Store, error) {
	kept, said := store.Open(ctx, path, makesSense)
	if kept.Fresh() {
		if err := takeOver(ctx, kept, toolkit); err != nil {
			said = errors.Join(said, err)
		}
	}
	if err := tame(ctx, toolkit); err != nil {
		said = errors.Join(said, err)
	}
	return kept, said
}

// takeOver brings the settings that the toolkit kept into their own file, and
// once they are safely there gives the toolkit's another name.
func takeOver(ctx context.Context, kept *store.Store, toolkit string) error {
	values, bad, err := store.Read(ctx, toolkit, func(name string, v any) bool { return !known(name) || makesSense(name, v) })
	if errors.Is(err, fs.ErrNotExist) || toolkit == "" {
		return nil
	}
	for name := range values {
		if !known(name) {
			delete(values, name)
		}
	}
	kept.Adopt(values)
	if late := kept.Flush(ctx); late != nil {
		return late // the toolkit's file is read again next time
	}
	if err != nil {
		return fmt.Errorf("the settings could not be read and are as they came (%w)", files.Cause(err))
	}
	if len(values)+bad == 0 {
		return nil
	}
	old := strings.TrimSuffix(toolkit, ".json") + ".old.json"
	if err := os.Rename(toolkit, old); err != nil {
		return fmt.Errorf("the old settings cannot be put away: %w", err)
	}
	if bad > 0 {
		return fmt.Errorf("%d of the settings could not be read and are as they came; the old file is kept as %s", bad, files.Name(old))
	}
	return nil
}

// known reports whether a name is one of ours; the toolkit has some of its own.
func known(name string) bool {
	_, ok := sample(name)
	return ok
}

// sample is a value of the kind that a setting has; of numbers the largest that
// makes sense. It reports whether the name is known.
func sample(name string) (any, bool) {
	switch name {
	case keyPalette, keyRoutine, keySound, keyDevice:
		return "", true
	case keyCare, keyFades, keyWritten:
		return false, true
	case keyWidth, keyHeight:
		return 16384.0, true // more than any screen has
	case keyStep:
		return float64(ladder.MaxSteps), true
	case keyA:
		return timbre.HighestA, true
	case keyLevel, keyModel:
		return 100.0, true
	case keyBelow, keyMore:
		return float64(journal.MaxBelow), true
	case keyRest:
		return 24 * 60.0, true
	case keyFingers:
		return float64(passage.FingersOff), true
	case keyKeys:
		return []string(nil), true
	}
	switch {
	case strings.HasPrefix(name, keyBest):
		return []string(nil), true
	case strings.HasPrefix(name, keyMark), strings.HasPrefix(name, keyOutput), strings.HasPrefix(name, keyTyped), strings.HasPrefix(name, keyUnsaved):
		return "", true
	}
	return nil, false
}

// makesSense says whether a setting is of the right kind and within reason. What
// is not known may be a later version's, and is kept for it.
func makesSense(name string, v any) bool {
	like, ok := sample(name)
	if !ok {
		return true
	}
	if most, ok := like.(float64); ok {
		n, ok := v.(float64)
		return ok && n >= 0 && n <= most
	}
	return reflect.TypeOf(v) == reflect.TypeOf(like)
}

// tame moves a file of preferences aside that Fyne cannot live with: it falls
// over a list of mixed kinds (convertLists in its app/preferences.go), waits for
// good on a pipe, and reads a file of any size.
func tame(ctx context.Context, toolkit string) error {
	if toolkit == "" {
		return nil
	}
	data, _, err := files.Read(ctx, toolkit, store.MaxBytes+1)
	if errors.Is(err, fs.ErrNotExist) || err == nil && len(data) <= store.MaxBytes && digestible(data) {
		return nil
	}
	if _, err = store.Aside(ctx, toolkit); err == nil {
		if err = os.Remove(toolkit); errors.Is(err, fs.ErrNotExist) {
			err = nil
		}
	}
	if err != nil {
		return fmt.Errorf("the toolkit's preferences in %s cannot be read, nor put away: %w", files.Name(toolkit), files.Cause(err))
	}
	return nil
}

// digestible reports whether Fyne can read preferences.
func digestible(data []byte) bool {
	var values map[string]any
	if json.Unmarshal(data, &values) != nil {
		return false
	}
	for _, v := range values {
		list, _ := v.([]any)
		for _, item := range list {
			same := false
			switch list[0].(type) {
			case bool:
				_, same = item.(bool)
			case float64:
				_, same = item.(float64)
			case string:
				_, same = item.(string)
			}
			if !same {
				return false
			}
		}
	}
	return true
}
