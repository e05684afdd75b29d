package window

import (
	"fmt"
	"slices"
	"time"

	"fyne.io/fyne/v2"

	"footing/ui/window/care"
	"footing/ui/window/draw"
	"footing/ui/window/keys"
)

// help is the page of keys, settings and cautions.
type help struct {
	w       *Window
	page    *draw.Help
	waiting keys.Action
	note    string
	chosen  string        // a line or a setting, by the keys; empty for none
	pedals  []keys.Action // that are still to be learned, the one that is waited for first
}

// learned are the actions that pedals do, in the order in which they are learned.
var learned = []keys.Action{keys.Clean, keys.Rough, keys.StartStop}

func newHelp(w *Window) *help {
	h := &help{w: w}
	h.page = draw.NewHelp(h.pick, h.setting)
	return h
}

// Object, Title, Key, Enter, Refresh, Leave and Recolour make it a view.
func (h *help) Object() fyne.CanvasObject { return h.page }

func (h *help) Title() (name, sub, count string) { return h.w.stand.Title() }

// Key keeps to itself what would edit the routine unseen: a verdict may pass.
func (h *help) Key(key string, _ bool) bool {
	info, _, _ := h.w.keys.Lookup(key)
	return info.Action != keys.Clean && info.Action != keys.Rough && info.Action != keys.Skip
}

func (h *help) Enter() { h.refresh() }

func (h *help) Refresh() {}

func (h *help) Leave() error {
	h.waiting, h.note, h.chosen, h.pedals = "", "", "", nil
	return nil
}

func (h *help) Recolour() { h.refresh() }

// pick waits for the key that the action shall have from now on.
func (h *help) pick(id string) {
	h.pedals = nil
	if h.waiting == keys.Action(id) {
		h.waiting = ""
	} else {
		h.waiting = keys.Action(id)
	}
	h.note = ""
	h.refresh()
}

// take gives the key to the action that waits for one.
func (h *help) take(key string) bool {
	if len(h.pedals) > 0 {
		h.learn(key)
		return true
	}
	if h.waiting == "" {
		return h.choose(key)
	}
	action := h.waiting
	switch {
	case key == "Escape":
		h.waiting, h.note = "", ""
	case keys.Reserved(key):
		h.note = keys.Label(key) + " types a tempo or ends it, and cannot be given away"
	default:
		h.waiting = ""
		// The others that it has, a pedal's for one, stay with it.
		now := h.w.keys.Keys(action)
		others := slices.DeleteFunc(now[min(1, len(now)):], func(k string) bool { return k == key })
		robbed := h.w.keys.Set(action, append([]string{key}, others...))
		h.w.set.setKeys(h.w.keys)
		h.note = fmt.Sprintf("%s: %s", keys.Label(key), h.does(action))
		if len(robbed) > 0 {
			h.note += fmt.Sprintf(" — no longer: %s", h.does(robbed[0]))
		}
	}
	h.refresh()
	h.w.root.titles()
	return true
}

// choose moves among the lines and the settings, and Enter acts on one as a click
// does.
func (h *help) choose(key string) bool {
	var lines []string
	for _, i := range h.w.keys.Infos() {
		lines = append(lines, string(i.Action))
	}
	lines = append(lines, setPalette, setRest, setPedals, setReset)
	at := slices.Index(lines, h.chosen)
	switch {
	case key == "Down":
		h.chosen = lines[min(at+1, len(lines)-1)]
	case key == "Up" && at >= 0:
		h.chosen = lines[max(at-1, 0)]
	case (key == "Return" || key == "KP_Enter") && at >= len(lines)-4:
		h.setting(h.chosen)
	case (key == "Return" || key == "KP_Enter") && at >= 0:
		h.pick(h.chosen)
	default:
		return key == "Up"
	}
	h.refresh()
	return true
}

// learn gives the key that a pedal sends to the action that waits for one, beside
// the first that it has; Escape leaves the action as it is.
func (h *help) learn(key string) {
	action := h.pedals[0]
	switch {
	case keys.Reserved(key) && key != "Escape":
		h.note = keys.Label(key) + " types a tempo or ends it: let the pedal send another key"
	default:
		if h.pedals = h.pedals[1:]; key != "Escape" {
			now := h.w.keys.Keys(action)
			first := slices.DeleteFunc(now[:min(1, len(now))], func(k string) bool { return k == key })
			h.w.keys.Set(action, append(first, key))
			h.w.set.setKeys(h.w.keys)
		}
		h.note = ""
		if len(h.pedals) == 0 {
			h.note = "the pedals are learned"
		}
	}
	h.refresh()
	h.w.root.titles()
}

func (h *help) does(a keys.Action) string {
	for _, i := range h.w.keys.Infos() {
		if i.Action == a {
			return i.Does
		}
	}
	return string(a)
}

const (
	setReset   = "reset"
	setPalette = "set palette" // not the key that does the same
	setRest    = "rest"
	setStart   = "start"
	setPedals  = "pedals"
)

// setting turns a setting on.
func (h *help) setting(id string) {
	h.waiting, h.pedals = "", nil
	switch id {
	case setPalette:
		h.w.setPalette(h.w.set.palette().Next())
	case setRest:
		next := map[time.Duration]time.Duration{0: 20 * time.Minute, 20 * time.Minute: 25 * time.Minute, 25 * time.Minute: 30 * time.Minute}
		h.w.setRest(next[h.w.set.rest()])
	case setStart:
		rule := h.w.set.start()
		rule.Below = (rule.Below + 1) % 5
		h.w.set.setStart(rule)
	case setPedals:
		h.pedals, h.note = learned, ""
	case setReset:
		h.w.keys.Reset()
		h.w.set.setKeys(h.w.keys)
		h.note = "the keys are as they came"
	}
	h.refresh()
	h.w.root.titles()
}

func (h *help) refresh() {
	m := draw.HelpModel{Waiting: string(h.waiting), Chosen: h.chosen, Note: h.note, Cautions: care.Cautions()}
	pedals := "learn them"
	if len(h.pedals) > 0 {
		m.Waiting, pedals = string(h.pedals[0]), "press the pedal now"
		if m.Note == "" {
			m.Note = "Press the pedal now for: " + h.does(h.pedals[0]) + ". Esc leaves it as it is."
		}
	}
	if m.Note == "" {
		m.Note = "Up, Down and Enter, or a click, choose a line; then press its new key or pedal. Shift turns what has steps back."
	}
	for _, i := range h.w.keys.Infos() {
		if n := len(m.Groups); n == 0 || m.Groups[n-1].Title != i.Group {
			m.Groups = append(m.Groups, draw.HelpGroup{Title: i.Group})
		}
		row := draw.HelpRow{ID: string(i.Action), Does: i.Does}
		if now := h.w.modelStands(i.Action); now != "" {
			row.Does += ": " + now
		}
		for _, k := range i.Keys {
			row.Keys = append(row.Keys, keys.Label(k))
		}
		g := &m.Groups[len(m.Groups)-1]
		g.Rows = append(g.Rows, row)
		if i.Action == keys.Skip {
			g.Rows = append(g.Rows, draw.HelpRow{Does: "another takes the place of the first,"}, draw.HelpRow{Does: "the same again takes it back"})
		}
		if i.Action == keys.Whole {
			g.Rows = append(g.Rows, draw.HelpRow{Does: "open a routine or a score", Keys: []string{"Ctrl O"}}, draw.HelpRow{Does: "write it into files", Keys: []string{"Ctrl E"}})
		}
		if i.Action == keys.RungDown {
			g.Rows = append(g.Rows, draw.HelpRow{Does: "type a tempo, Enter sets it", Keys: []string{"0–9"}})
		}
	}
	rest := "off"
	if d := h.w.set.rest(); d > 0 {
		rest = fmt.Sprintf("after %d minutes", int(d.Minutes()))
	}
	m.Settings = []draw.Knob{
		{ID: setPalette, Label: "palette", Value: string(h.w.set.palette()), Key: h.w.keys.Label(keys.Palette)},
		{ID: setRest, Label: "rest reminder", Value: rest},
		{ID: setStart, Label: "another day starts", Value: h.w.set.start().String()},
		{ID: setPedals, Label: "pedals", Value: pedals, Warm: len(h.pedals) > 0},
		{ID: setReset, Label: "keys", Value: "as they came"},
	}
	h.page.Set(m)
}

// setRest changes after how much playing a rest is due; 0 turns the reminder
// off.
func (w *Window) setRest(d time.Duration) {
	w.set.setRest(d)
	w.rest.Every = d
	w.notify(noticeRest, draw.NoticeModel{})
}
