package fingers_test

import (
	"errors"
	"strings"
	"testing"
	"unicode/utf8"

	"footing/assets"
	"footing/ladder/fingers"
)

func TestOwnFile(t *testing.T) {
	l, err := library(t).With("fingerings.yaml", []byte(`# ours
instrument: clarinet
keys:
  - {id: lAb, finger: L4, opens: {G3: 1}, name: left A flat lever}
fingerings:
  - {note: Eb5, keys: "R T 1 2 3 4 5 6 lAb", use: left}
---
instrument: ophicleide
range: {low: B1, usual_top: C5}
keys:
  - {id: a, finger: L1}
  - {id: b, finger: R1}
fingerings:
  - {note: C2, keys: ""}
  - {note: D2, keys: a b, use: both}
`))
	if err != nil {
		t.Fatal(err)
	}
	if got, want := len(l.Names()), len(library(t).Names())+1; got != want {
		t.Errorf("%d names, want %d", got, want)
	}
	c, _ := l.For("clarinet in B flat")
	got := c.Choose(passageOf(t, "G#5", "Eb5"), false)
	if f := got.Notes[1].Fingering; f.Use != "right only" {
		t.Errorf("E flat after G sharp, left, with %s", f.Use)
	}
	notes := passageOf(t, "B4", "Eb5")
	notes[0].Pin = "R"
	got = c.Choose(notes, false)
	if f := got.Notes[1].Fingering; f.Use != "left" || f.Sure != fingers.Own || f.Name != "L" {
		t.Errorf("E flat after B, right, with %+v", f)
	}
	c, ok := l.For("Ophicleide")
	if got := c.Of(passageOf(t, "C2")[0].Pitch); len(got) != 1 || got[0].Use != "own" || got[0].Name != "own" {
		t.Errorf("a row without a use is %+v", got)
	}
	if !ok || len(c.Choose(passageOf(t, "C2", "D2"), false).Changes()) != 1 {
		t.Errorf("the new instrument is not there")
	}
	if c, _ := library(t).For("clarinet"); len(c.Of(passageOf(t, "Eb5")[0].Pitch)) != 1 {
		t.Error("the charts that are carried have been written to")
	}
}

func TestFaultsOfAFile(t *testing.T) {
	const row = "instrument: clarinet\nfingerings:\n  - "
	for text, want := range map[string]string{
		"":                                      `1:1: the file is empty; begin it with instrument: and the instrument's name`,
		"- a":                                   `1:1: keys and values should stand here; write instrument: clarinet, and under it fingerings:`,
		"instrment: clarinet":                   `1:1: "instrment" is not a key here; did you mean instrument?`,
		"fingerings: []":                        `1:1: the chart has no instrument; write instrument: and its name`,
		"instrument: clarinet\nrange: {}\n":     `2:8: the clarinet has its range already; leave it out, or give the instrument a name of its own`,
		row + `{note: C4}`:                      `3:5: the row has no note or no keys; write such as {note: Bb4, keys: "gA S3", use: side}`,
		row + `{note: H4, keys: T}`:             `3:12: "H4" is no note; write letter, accidental and octave such as C#5`,
		row + `{note: C4, keys: T lX}`:          `3:22: "lX" is not a key of the clarinet; did you mean lE?`,
		row + `{note: C4, keys: lE lF}`:         `3:22: the left little finger is on lE lF at once; give each finger one place`,
		row + `{note: C4, keys: T T}`:           `3:22: the key "T" is there twice; write each key once`,
		row + `{note: C4, keys: T 1 2 3}`:       `3:5: the chart has this row of C4 already, as "standard"; leave the row out`,
		row + `{note: C4, keys: T 5, pref: x}`:  `3:33: "x" is no cost; write a number from 0 to 100, such as 0.3`,
		row + `{note: C4, keys: T 5, use: [a]}`: `3:32: a text should stand here; write a text`,
		row + `{note: C4, keys: T 5, sure: Z}`:  `3:33: "Z" says nothing of how sure the row is; write A, B or M, or leave it out`,
		row + `{note: C4, keys: T 5`:            `2:1: near this line the file cannot be read as YAML; look for a missing bracket, quote or comma, or for keys that do not line up`,
		"instrument: clarinet\nkeys:\n  - {id: T, finger: L1}":    `3:10: there is a key "T" already; write another id`,
		"instrument: clarinet\nkeys:\n  - {id: zz, finger: L9}":   `3:22: the key "zz" has no finger; write finger: and one of LT, L1, L2, L3, L4, RT, R1, R2, R3, R4`,
		"instrument: ophicleide":                                  `1:1: the ophicleide has no range; write range: {low: E3, usual_top: G6}`,
		"instrument: ophicleide\nrange: {low: C4, usual_top: C5}": `1:1: the chart of the ophicleide has no fingerings; write fingerings: and under it such as - {note: Bb4, keys: "gA S3", use: side}`,
		"instrument: \xff":                                        `1:1: the file is not text in UTF-8; save it as UTF-8`,
		"instrument: clarinet\nfingerings: 5":                     `2:13: a list should stand here; write a line such as - {note: Bb4, keys: "gA S3", use: side}`,
	} {
		_, err := library(t).With("own.yaml", []byte(text))
		if err == nil || strings.Split(err.Error(), "\n")[0] != "own.yaml:"+want {
			t.Errorf("%q says\n%v, want\nown.yaml:%s", text, err, want)
		}
	}
}

func FuzzRead(f *testing.F) {
	for _, name := range []string{"clarinet", "bassoon", "flute"} {
		data, err := assets.Fingerings.ReadFile("fingerings/" + name + ".yaml")
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Add([]byte("instrument: clarinet\nfingerings:\n  - {note: C4, keys: T 5}\n"))
	l := library(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		out, err := l.With("own.yaml", data)
		if errs := (fingers.Errors)(nil); errors.As(err, &errs) {
			for _, e := range errs {
				if e.Line < 1 || e.Col < 1 || e.What == "" || e.Want == "" || !utf8.ValidString(e.Error()) || strings.ContainsAny(e.Error(), "\n\x1b") {
					t.Errorf("%q", e.Error())
				}
			}
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range out.Names() {
			if c, ok := out.For(name); ok {
				c.Choose(passageOf(t, "C4", "D4", "C#4"), true).Changes()
			}
		}
	})
}

// What a written note sounds: orchestrationresources.com/woodwinds/overview for
// clarinet, bassoon, flute, oboe and alto saxophone; the other saxophones and
// clarinets from teoria.com/en/articles/transposing/01.php or common practice.
func TestWhatIsWrittenSounds(t *testing.T) {
	l := library(t)
	for name, want := range map[string]int{
		"clarinet": -2, "clarinet in B flat": -2, "clarinet in A": -3, "Clarinet in Eb": 3, "bassoon": 0, "flute": 0, "oboe": 0, "alto sax": -9,
		"saxophone": -9, "soprano saxophone": -2, "tenor saxophone": -14, "baritone saxophone": -21,
	} {
		c, ok := l.For(name)
		if !ok || c.Semitones != want {
			t.Errorf("%s: %v %v, want %d", name, ok, c, want)
		}
	}
	for _, name := range []string{"", "tuba", "English horn"} {
		if _, ok := l.For(name); ok {
			t.Errorf("there is a chart of the %q", name)
		}
	}
	c := chart(t, "tenor saxophone")
	if got := c.Sounds(passageOf(t, "C4")[0].Pitch); got != 46 {
		t.Errorf("C4 on the tenor saxophone sounds %v", got)
	}
	clarinet := chart(t, "clarinet")
	for note, want := range map[string]string{
		"D3": "D3 lies below E3, the lowest note of the clarinet", "C7": "C7 lies above G6, the usual top of the clarinet", "C4": "",
		"C(+0.5)4": "the chart has no row for C(+0.5)4",
	} {
		if got := clarinet.Reach(passageOf(t, note)[0].Pitch); got != want {
			t.Errorf("%s: %q, want %q", note, got, want)
		}
	}
}
