package keys

import (
	"testing"

	"fyne.io/fyne/v2"
)

func TestEveryActionHasAKeyOfItsOwn(t *testing.T) {
	seen := map[string]Action{}
	for _, i := range All() {
		if len(i.Keys) == 0 || i.Does == "" || i.Group == "" {
			t.Errorf("%s has no key or no words", i.Action)
		}
		for _, k := range i.Keys {
			if other, taken := seen[k]; taken {
				t.Errorf("%q does both %s and %s", k, other, i.Action)
			}
			if Reserved(k) {
				t.Errorf("%q of %s is reserved", k, i.Action)
			}
			seen[k] = i.Action
		}
	}
}

func TestLookup(t *testing.T) {
	for _, tt := range []struct {
		key  string
		want Action
		back bool
	}{
		{"Space", StartStop, false},
		{"Right", Clean, false},
		{"Next", Clean, false}, // Page Down, as pedals send it
		{"Prior", Rough, false},
		{"s", Slots, false},
		{"S", Slots, true},
		{"K", Skip, false}, // a capital does the same where nothing turns
		{"?", Help, false},
	} {
		info, back, ok := NewMap().Lookup(tt.key)
		if !ok || info.Action != tt.want || back != tt.back {
			t.Errorf("%q does %q (back %v, found %v), want %q (back %v)", tt.key, info.Action, back, ok, tt.want, tt.back)
		}
	}
	if _, _, ok := NewMap().Lookup("%"); ok {
		t.Error("a key without an action was found")
	}
}

func TestSetTakesKeysFromOthersAndSurvivesAStore(t *testing.T) {
	m := NewMap()
	if robbed := m.Set(Clean, []string{"Up", "%"}); len(robbed) != 1 || robbed[0] != RungUp {
		t.Errorf("robbed %v, want the rung up", robbed)
	}
	if got := m.Label(RungUp); got != "" {
		t.Errorf("the rung up is still labelled %q", got)
	}
	again := NewMap()
	again.Apply(m.Changed())
	for _, key := range []string{"Up", "%"} {
		if info, _, _ := again.Lookup(key); info.Action != Clean {
			t.Errorf("after a store %q does %q", key, info.Action)
		}
	}
	if _, _, ok := again.Lookup("Right"); ok {
		t.Error("the old key of clean still does something")
	}
	again.Reset()
	if len(again.Changed()) != 0 {
		t.Error("a reset map still differs")
	}
}

func TestKeysOfEvents(t *testing.T) {
	if _, ok := Named(fyne.KeyA); ok {
		t.Error("a letter counts as a named key, and would act twice")
	}
	if k, ok := Named(fyne.KeyPageDown); !ok || Label(k) != "Page Down" {
		t.Errorf("Page Down is %q", k)
	}
	if _, ok := Typed(' '); ok {
		t.Error("a space counts as a character, and would act twice")
	}
	if k, ok := Typed('['); !ok || k != "[" {
		t.Errorf("a bracket is %q", k)
	}
}
