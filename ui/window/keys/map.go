package keys

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"fyne.io/fyne/v2"
)

// Map is which keys do what. A key is the name that Fyne gives it when it types
// nothing ("Space", "Left", "F1"), or the character that it types.
type Map struct {
	infos []Info
	keys  map[Action][]string
}

// NewMap is the keys as they come, with those that lead to the window's views.
func NewMap(views ...Info) *Map {
	m := &Map{infos: All(views...)}
	m.Reset()
	return m
}

// Named is the key of an event that types nothing; ok is false for keys that
// type a character, which come again as a rune.
func Named(name fyne.KeyName) (key string, ok bool) {
	if utf8.RuneCountInString(string(name)) <= 1 {
		return "", false
	}
	return string(name), true
}

// Typed is the key of a character; ok is false for a space, which comes as a
// named key too.
func Typed(r rune) (key string, ok bool) {
	if r == ' ' || unicode.IsControl(r) {
		return "", false
	}
	return string(r), true
}

// Lookup finds what a key does. back is set for a capital letter where that
// turns back what the small letter turns on.
func (m *Map) Lookup(key string) (info Info, back, ok bool) {
	for _, i := range m.infos {
		if slices.Contains(m.keys[i.Action], key) {
			return i, false, true
		}
	}
	small := strings.ToLower(key)
	if small == key {
		return Info{}, false, false
	}
	for _, i := range m.infos {
		if slices.Contains(m.keys[i.Action], small) {
			return i, i.Turns, true
		}
	}
	return Info{}, false, false
}

// Keys are the keys of the action.
func (m *Map) Keys(a Action) []string { return slices.Clone(m.keys[a]) }

// Label is the first key of the action as it is written beside what it does,
// empty where the action has no key.
func (m *Map) Label(a Action) string {
	if k := m.keys[a]; len(k) > 0 {
		return Label(k[0])
	}
	return ""
}

// Set gives the action its keys; they are taken from any action that had them.
// It returns the actions that lost one.
func (m *Map) Set(a Action, keys []string) (robbed []Action) {
	for _, i := range m.infos {
		if i.Action == a {
			continue
		}
		kept := slices.DeleteFunc(slices.Clone(m.keys[i.Action]), func(k string) bool { return slices.Contains(keys, k) })
		if len(kept) != len(m.keys[i.Action]) {
			robbed = append(robbed, i.Action)
			m.keys[i.Action] = kept
		}
	}
	m.keys[a] = slices.Clone(keys)
	return robbed
}

// Reserved reports whether the key cannot be given to an action, because it
// types a tempo or ends what is being typed.
func Reserved(key string) bool {
	switch fyne.KeyName(key) {
	case fyne.KeyEscape, fyne.KeyReturn, fyne.KeyEnter, fyne.KeyTab:
		return true
	}
	return len(key) == 1 && key[0] >= '0' && key[0] <= '9'
}

// Changed lists what differs from the keys as they come, for [Map.Apply].
func (m *Map) Changed() map[string][]string {
	out := map[string][]string{}
	for _, i := range m.infos {
		if !slices.Equal(m.keys[i.Action], i.Keys) {
			out[string(i.Action)] = slices.Clone(m.keys[i.Action])
		}
	}
	return out
}

// Apply takes over what [Map.Changed] listed; actions it does not know are
// left out.
func (m *Map) Apply(changed map[string][]string) {
	for _, i := range m.infos {
		if keys, ok := changed[string(i.Action)]; ok {
			m.keys[i.Action] = slices.Clone(keys)
		}
	}
}

// Reset goes back to the keys as they come.
func (m *Map) Reset() {
	m.keys = map[Action][]string{}
	for _, i := range m.infos {
		m.keys[i.Action] = slices.Clone(i.Keys)
	}
}

// Infos lists the actions in the order of the help, with the keys in force.
func (m *Map) Infos() []Info {
	out := slices.Clone(m.infos)
	for i := range out {
		out[i].Keys = m.Keys(out[i].Action)
	}
	return out
}

// Label is how a key is written: arrows as arrows, letters as capitals.
func Label(key string) string {
	switch fyne.KeyName(key) {
	case fyne.KeyLeft:
		return "←"
	case fyne.KeyRight:
		return "→"
	case fyne.KeyUp:
		return "↑"
	case fyne.KeyDown:
		return "↓"
	case fyne.KeySpace:
		return "space"
	case fyne.KeyPageUp:
		return "Page Up"
	case fyne.KeyPageDown:
		return "Page Down"
	case fyne.KeyEscape:
		return "Esc"
	}
	if utf8.RuneCountInString(key) == 1 {
		return strings.ToUpper(key)
	}
	return key
}
