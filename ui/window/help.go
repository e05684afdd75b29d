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
}

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
	h.waiting, h.note = "", ""
	return nil
}

func (h *help) Recolour() { h.refresh() }

// pick waits for the key that the action shall have from now on.
func (h *help) pick(id string) {
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
	if h.waiting == "" {
		return false
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
	setPalette = "palette"
	setRest    = "rest"
	setStart   = "start"
)

// setting turns a setting on.
func (h *help) setting(id string) {
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
	case setReset:
		h.w.keys.Reset()
		h.w.set.setKeys(h.w.keys)
		h.note = "the keys are as they came"
	}
	h.refresh()
	h.w.root.titles()
}

func (h *help) refresh() {
	m := draw.HelpModel{Waiting: string(h.waiting), Note: h.note, Cautions: care.Cautions()}
	if m.Note == "" {
		m.Note = "To change a key click its line, then press the key or the pedal. Shift turns what has steps back."
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
		if i.Action == keys.RungDown {
			g.Rows = append(g.Rows, draw.HelpRow{Does: "type a tempo, Enter sets it", Keys: []string{"0–9"}})
		}
	}
	rest := "off"
	if d := h.w.set.rest(); d > 0 {
		rest = fmt.Sprintf("after %d minutes of playing", int(d.Minutes()))
	}
	m.Settings = []draw.Knob{
		{ID: setPalette, Label: "palette", Value: string(h.w.set.palette()), Key: h.w.keys.Label(keys.Palette)},
		{ID: setRest, Label: "rest reminder", Value: rest},
		{ID: setStart, Label: "another day starts", Value: h.w.set.start().String()},
		{ID: setReset, Label: "keys", Value: "back to how they came"},
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
