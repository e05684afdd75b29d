package abc

import (
	"fmt"
	"slices"
	"strings"

	"footing/ladder/nearest"
	"footing/ladder/passage"
)

// signs are the marks of one character.
var signs = map[rune]string{
	'.': passage.MarkStaccato, 'T': passage.MarkTrill, 'H': passage.MarkFermata, 'L': passage.MarkAccent,
}

// names are the marks between exclamation marks.
var names = map[string]string{
	"accent": passage.MarkAccent, ">": passage.MarkAccent, "emphasis": passage.MarkAccent,
	"breath": passage.MarkBreath, "fermata": passage.MarkFermata, "tenuto": passage.MarkTenuto, "trill": passage.MarkTrill,
}

// fullNames are the names to offer.
func fullNames() []string {
	var out []string
	for name := range names {
		if len(name) > 1 {
			out = append(out, name)
		}
	}
	slices.Sort(out)
	return out
}

// mark reads a mark that stands before its note.
func (r *reader) mark(at Place) {
	c := r.next()
	m := passage.Mark{Name: signs[c]}
	if c == '!' {
		name, closed := r.through('!')
		known := false
		m.Name, known = names[name]
		switch {
		case !closed:
			r.fail(at, "write one such as !accent!", "the mark does not end in an exclamation mark")
			return
		case len(name) == 1 && name >= "0" && name <= "5":
			m = passage.Mark{Name: passage.MarkFingering, Text: name}
		case !known:
			want := "write one of !" + strings.Join(fullNames(), "! !") + "! or a finger !0! to !5!"
			if near, ok := nearest.Word(name, fullNames()); ok {
				want = fmt.Sprintf("did you mean !%s!?", near)
			} else if name == "staccato" {
				want = "write a dot before the note"
			}
			r.fail(at, want, "the mark %.40q is not known", name)
			return
		}
	}
	if len(r.marks) == 0 {
		r.marked = at
	}
	r.marks = append(r.marks, m)
}
