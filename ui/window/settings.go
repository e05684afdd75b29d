package window

import (
	"context"
	"maps"
	"slices"
	"strings"
	"time"

	"fyne.io/fyne/v2"

	"footing/audio/click"
	"footing/audio/timbre"
	"footing/ladder"
	"footing/ui/window/care"
	"footing/ui/window/keys"
	"footing/ui/window/look"
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
	keyCare    = "cautions seen"
	keyRest    = "rest after minutes"
	keyFingers = "fingers"
	keyBest    = "best of " // and the routine's path and the step's name
	keyMark    = "left at " // the same
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

// best is the fastest clean rung of the last day on which the step was
// practised, unless that day is today.
func (s settings) best(path, step string, now time.Time) stand.Best {
	var out stand.Best
	var latest time.Time
	for _, line := range s.p.StringList(keyBest + path + "\x00" + step) {
		day, tempo, _ := strings.Cut(line, " ")
		at, err := time.ParseInLocation(time.DateOnly, day, now.Location())
		t, err2 := click.ParseTempo(tempo)
		if err != nil || err2 != nil || !at.After(latest) || sameDay(at, now) {
			continue
		}
		latest, out.Tempo = at, t
		switch days := int(now.Sub(at).Hours() / 24); {
		case days < 1:
			out.When = "yesterday"
		case days < 7:
			out.When = at.Format("Mon")
		default:
			out.When = at.Format("2 Jan")
		}
	}
	return out
}

// addBest notes a clean rep.
func (s settings) addBest(path, step string, t click.Tempo, now time.Time) {
	key := keyBest + path + "\x00" + step
	lines := s.p.StringList(key)
	today := now.Format(time.DateOnly)
	if n := len(lines); n > 0 {
		if day, tempo, _ := strings.Cut(lines[n-1], " "); day == today {
			if best, err := click.ParseTempo(tempo); err == nil && best >= t {
				return
			}
			lines = lines[:n-1]
		}
	}
	const days = 2 // today and the time before
	lines = append(slices.Clone(lines), today+" "+t.String())
	s.p.SetStringList(key, lines[max(0, len(lines)-days):])
}

// bookmarks are where the player stood on each step of the routine.
func (s settings) bookmarks(path string, r ladder.Routine) []ladder.Bookmark {
	out := make([]ladder.Bookmark, len(r.Steps))
	for i, step := range r.Steps {
		out[i] = parseBookmark(s.p.String(keyMark + path + "\x00" + step.Name))
	}
	return out
}

// setBookmarks keeps where the player stands on each step.
func (s settings) setBookmarks(path string, r ladder.Routine, bookmarks []ladder.Bookmark) {
	for i, b := range bookmarks {
		key, text := keyMark+path+"\x00"+r.Steps[i].Name, ""
		if b != (ladder.Bookmark{}) {
			text = formatBookmark(b)
		}
		if s.p.String(key) != text {
			s.p.SetString(key, text)
		}
	}
}

func sameDay(a, b time.Time) bool {
	return a.Format(time.DateOnly) == b.Format(time.DateOnly)
}
