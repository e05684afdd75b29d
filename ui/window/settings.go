package window

import (
	"context"
	"maps"
	"slices"
	"strings"
	"time"

	"fyne.io/fyne/v2"

	"footing/audio/timbre"
	"footing/ladder/journal"
	"footing/ui/window/care"
	"footing/ui/window/keys"
	"footing/ui/window/look"
	"footing/ui/window/output"
	"footing/ui/window/passage"
	"footing/ui/window/stand"
)

// settings is what the window remembers from one time to the next. It may be
// used from any goroutine.
type settings struct{ p memory }

// flush waits until what is set is safely on the disk. It may take as long as the
// disk does; where ctx ends first, or there is an error, some of it is not.
func (s settings) flush(ctx context.Context) error {
	if f, ok := s.p.(interface{ Flush(context.Context) error }); ok {
		return f.Flush(ctx)
	}
	return nil
}

const (
	keyPalette = "palette"
	keyWidth   = "window.width"
	keyHeight  = "window.height"
	keyRoutine = "routine"
	keyStep    = "step"
	keySound   = "sound"
	keyLevel   = "level"
	keyFades   = "model fades"
	keyModel   = "model level"
	keyA       = "model A"
	keyWritten = "model as written"
	keyKeys    = "keys"
	keyDevice  = "sound device"
	keyOutput  = "on device " // and its name
	keyCare    = "cautions seen"
	keyRest    = "rest after minutes"
	keyFingers = "fingers"
	keyBelow   = "rungs below the best"
	keyMore    = "rungs more a week"
	// Until there was a journal, by the routine's path and the step's name.
	keyBest = "best of "
	keyMark = "left at "
)

// defaultLevel is modest: the click of a metronome box on a stand, not a drum
// in headphones.
const defaultLevel = 40

func (s settings) palette() look.Choice     { return look.ParseChoice(s.p.String(keyPalette)) }
func (s settings) setPalette(c look.Choice) { s.p.SetString(keyPalette, string(c)) }

func (s settings) size() fyne.Size {
	w, h := s.p.FloatWithFallback(keyWidth, 1200), s.p.FloatWithFallback(keyHeight, 780)
	return fyne.NewSize(max(float32(w), stand.Least.Width), max(float32(h), stand.Least.Height))
}

func (s settings) setSize(size fyne.Size) {
	s.p.SetFloat(keyWidth, float64(size.Width))
	s.p.SetFloat(keyHeight, float64(size.Height))
}

func (s settings) routine() (path string, step int) { return s.p.String(keyRoutine), s.p.Int(keyStep) }

func (s settings) setRoutine(path string, step int) {
	s.p.SetString(keyRoutine, path)
	s.p.SetInt(keyStep, step)
}

func (s settings) sound() string        { return s.p.String(keySound) }
func (s settings) setSound(name string) { s.p.SetString(keySound, name) }

func (s settings) device() string        { return s.p.String(keyDevice) }
func (s settings) setDevice(name string) { s.p.SetString(keyDevice, name) }

func (s settings) output(device string) output.Kept {
	return output.ParseKept(s.p.String(keyOutput + device))
}
func (s settings) setOutput(device string, k output.Kept) {
	s.p.SetString(keyOutput+device, k.String())
}

func (s settings) level() int { return min(max(s.p.IntWithFallback(keyLevel, defaultLevel), 0), 100) }

func (s settings) setLevel(percent int) { s.p.SetInt(keyLevel, percent) }

// The model: whether it fades up the ladder; its level in percent; its A in Hz;
// whether it sounds as written where the instrument transposes.

// defaultModel is about the level that a renderer has of its own.
const defaultModel = 70

func (s settings) modelFades() bool      { return s.p.Bool(keyFades) }
func (s settings) setModelFades(on bool) { s.p.SetBool(keyFades, on) }

func (s settings) modelLevel() int {
	return min(max(s.p.IntWithFallback(keyModel, defaultModel), 0), 100)
}
func (s settings) setModelLevel(percent int) { s.p.SetInt(keyModel, percent) }

func (s settings) modelA() int {
	return min(max(s.p.IntWithFallback(keyA, timbre.UsualA), timbre.LowestA), timbre.HighestA)
}
func (s settings) setModelA(hz int) { s.p.SetInt(keyA, hz) }

func (s settings) modelWritten() bool      { return s.p.Bool(keyWritten) }
func (s settings) setModelWritten(on bool) { s.p.SetBool(keyWritten, on) }

func (s settings) cautionsSeen() bool { return s.p.Bool(keyCare) }
func (s settings) setCautionsSeen()   { s.p.SetBool(keyCare, true) }

// fingers is how much of the fingers the Passage view shows.
func (s settings) fingers() passage.FingersShown {
	return passage.FingersShown(min(max(s.p.Int(keyFingers), 0), int(passage.FingersOff)))
}

func (s settings) setFingers(shown passage.FingersShown) { s.p.SetInt(keyFingers, int(shown)) }

func (s settings) rest() time.Duration {
	return time.Duration(max(s.p.IntWithFallback(keyRest, int(care.DefaultEvery.Minutes())), 0)) * time.Minute
}

func (s settings) setRest(d time.Duration) { s.p.SetInt(keyRest, int(d.Minutes())) }

// start is the rule by which a step starts on another day.
func (s settings) start() journal.StartRule {
	r := journal.DefaultStart
	r.Below = min(max(s.p.IntWithFallback(keyBelow, r.Below), 0), journal.MaxBelow)
	r.More = min(max(s.p.IntWithFallback(keyMore, r.More), 0), journal.MaxBelow)
	return r
}

func (s settings) setStart(r journal.StartRule) {
	s.p.SetInt(keyBelow, r.Below)
	s.p.SetInt(keyMore, r.More)
}

// keys are stored as one "action<tab>key<tab>key" a line of the list.
func (s settings) keys(views ...keys.Info) *keys.Map {
	m := keys.NewMap(views...)
	changed := map[string][]string{}
	for _, line := range s.p.StringList(keyKeys) {
		parts := strings.Split(line, "\t")
		changed[parts[0]] = parts[1:]
	}
	m.Apply(changed)
	return m
}

func (s settings) setKeys(m *keys.Map) {
	changed := m.Changed()
	var lines []string
	for _, action := range slices.Sorted(maps.Keys(changed)) {
		lines = append(lines, strings.Join(append([]string{action}, changed[action]...), "\t"))
	}
	s.p.SetStringList(keyKeys, lines)
}
