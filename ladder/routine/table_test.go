package routine

import (
	"errors"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"gopkg.in/yaml.v3"
	"pgregory.net/rapid"

	"footing/ladder"
)

// Every entry of the table is whole: its example and its choices are read, and
// what is read is written.
func TestTheTableIsWhole(t *testing.T) {
	seen := map[string]bool{}
	for i := range table {
		k := &table[i]
		if seen[k.id()] {
			t.Errorf("%s is there twice", k.id())
		}
		seen[k.id()] = true
		if k.example == "" || k.set == nil {
			t.Errorf("%s has no example or cannot be read", k.id())
			continue
		}
		for _, text := range append([]string{k.example}, k.choices...) {
			s := usual
			if err := k.fill(&s, text); err != nil {
				t.Errorf("%s: %q is refused: %v", k.id(), text, err)
			}
			if k.get == nil {
				continue
			}
			if got := (Key{entry: k}).Text(s); got != text {
				t.Errorf("%s: %q became %q", k.id(), text, got)
			}
		}
		if other := entry("", k.instead); k.instead != "" && (other == nil || other.instead != k.name || k.why+other.why == "") {
			t.Errorf("%s stands instead of %q, which does not know it", k.id(), k.instead)
		}
		if k.group != "" && k.list != nil {
			t.Errorf("%s: a list in a group cannot be written in braces", k.id())
		}
	}
}

// A file in which every key has its example is a routine: what error messages
// propose can be written.
func TestExamplesAreRight(t *testing.T) {
	for _, w := range groups[""].words {
		text := "footing: 1\nname: Runs\nsteps:\n  - " + w.key + ": " + w.example + "\n"
		if w.key != "name" {
			text += "    name: Run\n"
		}
		switch w.key {
		case "chunk", "meters", "marks", "plan":
			text += "    passage: {bars: 17-20}\n"
		case "dynamics":
			text += "    slots: 4\n"
		}
		if _, err := Parse("example.yaml", []byte(text)); err != nil {
			t.Errorf("%v in\n%s", err, text)
		}
	}
}

// The page on the format has every key, and says of no key what is not so.
func TestFormat(t *testing.T) {
	page := Format()
	for i := range table {
		k := &table[i]
		name := k.name
		if k.group != "" {
			name = k.group + ": {" + k.name + "}"
		}
		if !strings.Contains(page, "\n  "+name+" ") {
			t.Errorf("%s is missing in\n%s", name, page)
		}
		if k.otherwise == "" && k.imply != nil {
			s := usual
			if k.imply(&s); k.get(s) != k.get(usual) {
				t.Errorf("%s: without it %q holds, and the page says %q", k.id(), k.get(s), k.get(usual))
			}
		}
	}
	for _, line := range strings.Split(page, "\n") {
		if len(line) > 120 {
			t.Errorf("a line of %d characters: %s", len(line), line)
		}
	}
}

// What the keys say of a step is the step.
func TestLawOfTexts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawStep(t, drawText(t, "name", false))
		got, err := FromTexts(Texts(s))
		if err != nil {
			t.Fatal(err)
		}
		if want := canonical(ladder.Routine{Steps: []ladder.Step{s}}).Steps[0]; !reflect.DeepEqual(got, want) {
			t.Fatalf("got %+v\nwant %+v", got, want)
		}
	})
}

// Without texts the defaults hold, as they do in a file.
func TestTextsLeftOut(t *testing.T) {
	for _, texts := range []map[string]string{
		{},
		{"passage bars": "17-20"},
		{"meter": "6/8", "slots": "3"},
		{"tempo from": "120"},
		{"tempo goal": "50"},
		{"passage bars": "17-20", "chunk start": "18:2"},
		{"swing": "2:1"},
	} {
		texts["name"] = "Run"
		got, err := FromTexts(texts)
		if err != nil {
			t.Errorf("%v: %v", texts, err)
			continue
		}
		file := "footing: 1\nname: Runs\nsteps:\n  - name: Run\n"
		for _, group := range []string{"", "passage", "tempo", "chunk"} {
			var pairs []string
			for _, k := range groups[group].entries {
				if v := texts[k.id()]; v != "" && k.name != "name" {
					pairs = append(pairs, fmt.Sprintf("%s: %q", k.name, v))
				}
			}
			switch {
			case len(pairs) > 0 && group != "":
				file += "    " + group + ": {" + strings.Join(pairs, ", ") + "}\n"
			case len(pairs) > 0:
				file += "    " + strings.Join(pairs, "\n    ") + "\n"
			}
		}
		f, err := Parse("same.yaml", []byte(file))
		if err != nil {
			t.Errorf("%v in\n%s", err, file)
			continue
		}
		if want := f.Routine().Steps[0]; !reflect.DeepEqual(got, want) {
			t.Errorf("%v gives\n%+v\na file gives\n%+v", texts, got, want)
		}
	}
}

func TestTextsAtFault(t *testing.T) {
	for _, tt := range []struct{ id, text, says string }{
		{"slots", "2", "slots and swing are both there; keep one of them (swing is two slots a beat)"},
		{"rule name", "earnd", `"earnd" is not a rule; did you mean earned?`},
		{"tempo goal", strings.Repeat("4", 300), "is not a goal; write such as goal: 104"},
		{"tempo goal", "30", ""},
		{"name", "", "the name is empty; write a name"},
		{"pattern key", "E flat mayor", `"mayor" is not a mode; did you mean "major"?`},
		{"pattern key", "", `the pattern has no key; write pattern: {key: E flat major}`},
		{"instrument name", "basoon", `"basoon" is not an instrument that is known; did you mean bassoon?`},
		{"marks", "1:1 flick; 9:1 flick", "there is no 9:1 in the passage"},
		{"marks", "1:1 [fA flick", "a mark holds a square bracket or a semicolon; write it without"},
		{"score file", "../x.musicxml", `"../x.musicxml" does not lie in the routine's folder`},
		{"pencil", "a\x00b", "the pencil holds a character that cannot be shown"},
	} {
		texts := map[string]string{"name": "Run", "swing": "2:1", "pattern range": "E3-C6", "pattern key": "C", tt.id: tt.text, "tempo from": "60"}
		_, err := FromTexts(texts)
		var bad *KeyError
		if !errors.As(err, &bad) || bad.ID != tt.id || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%s: %.20q gives %v", tt.id, tt.text, err)
		}
	}
}

// A list whose items are sets of keys is read with the place of each, and
// changed in place.
func TestListOfSets(t *testing.T) {
	k := &key{
		name: "stops", example: "2 low", list: &list{
			part: ", ", things: "stops", item: "line", each: "a line for each stop", want: "bar and note",
			inner: []word{{"bar", "2"}, {"note", "low"}},
		},
		get: func(s ladder.Step) string { return s.Pencil },
		set: func(s *ladder.Step, item string) error {
			if strings.HasPrefix(item, "0") {
				return errors.New("there is no bar 0; count from 1")
			}
			s.Pencil = strings.TrimPrefix(s.Pencil+"\n"+item, "\n")
			return nil
		},
	}
	read := func(text string) (*source, *yaml.Node, ladder.Step, Errors) {
		src := newSource("stops.yaml", []byte(text))
		root, fault := tree(src)
		if fault != nil {
			t.Fatal(fault)
		}
		r, s := &reader{src: src}, ladder.Step{}
		r.items(k, find(root)["stops"], &s)
		return src, root, s, r.sorted()
	}
	text := "stops:\n  - {bar: 2, note: low} # one\n  - note: high and long # two\n    bar: 3\n"
	src, root, s, errs := read(text)
	if len(errs) > 0 || s.Pencil != "2 low\n3 high and long" {
		t.Fatalf("read %q, %v", s.Pencil, errs)
	}
	for _, tt := range []struct{ now, want string }{
		{"2 low\n4 high and long", "stops:\n  - {bar: 2, note: low} # one\n  - note: high and long # two\n    bar: 4\n"},
		{"5 a, b\n3 low", "stops:\n  - {bar: 5, note: \"a, b\"} # one\n  - note: low # two\n    bar: 3\n"},
		{"2 low", "stops:\n  - {bar: 2, note: low}\n"},
	} {
		e := newEditor(src)
		e.items(k, find(root)["stops"], s, ladder.Step{Pencil: tt.now}, layout{newline: "\n"})
		got, err := e.apply()
		if err != nil || !strings.HasPrefix(string(got), strings.TrimSuffix(tt.want, "\n")) {
			t.Errorf("%q gives\n%s%v", tt.now, got, err)
		}
		if _, _, again, errs := read(string(got)); len(errs) > 0 || again.Pencil != tt.now {
			t.Errorf("%q reads as %q, %v", tt.now, again.Pencil, errs)
		}
	}
	if got := "stops:" + (layout{flow: true}).listText(k, k.items(s), 0); got != "stops: [{bar: 2, note: low}, {bar: 3, note: high and long}]" {
		t.Errorf("in braces it is %s", got)
	}
	for text, want := range map[string]string{
		"stops: 2 low\n":                            "1:8: stops is the text \"2 low\"; begin each line with a dash, such as - {bar: 2, note: low}",
		"stops:\n  - 2 low\n":                       "2:5: the line of stops is the text \"2 low\"; write keys and values such as bar: 2",
		"stops: [{bar: 2}]\n":                       "1:9: a line of stops has no note; write note: low",
		"stops: [{bar: 2, note: low}, {bars: 2}]\n": "1:31: \"bars\" is no key of the line of stops; did you mean bar?",
		"stops: [{bar: 0, note: low}]\n":            "1:9: there is no bar 0; count from 1",
		"stops: [{bar: [2], note: low}]\n":          "1:15: bar is a list; write bar: 2",
		"stops: []\n":                               "1:8: there are no stops in stops; write stops: [{bar: 2, note: low}], or leave the key out",
		"stops: [{bar: 1, note: " + strings.Repeat("x", 300) + "}]\n": "is not a stops; write such as stops: [{bar: 2, note: low}]",
	} {
		if _, _, _, errs := read(text); len(errs) != 1 || !strings.HasSuffix(errs[0].Error(), want) {
			t.Errorf("%ssays\n%v\nwant\n%s", text, errs, want)
		}
	}
}
