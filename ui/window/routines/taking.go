package routines

import (
	"maps"
	"slices"

	"footing/ladder"
)

// take reads the texts of the fields as far as they can be read, in place of
// good values. left are the fields that cannot be taken, and fault says what is
// wrong: one field at fault keeps none of the others back.
func take(good, texts map[string]string) (step ladder.Step, left []string, bad *fault) {
	step, bad = parse(texts)
	if bad == nil {
		return step, nil, nil
	}
	accepted := maps.Clone(good)
	for id, text := range texts {
		if text != good[id] {
			left = append(left, id)
		}
	}
	slices.Sort(left)
	// What one field says may ask for another's, so who was left is asked again.
	for before := -1; len(left) != before; {
		before = len(left)
		left = slices.DeleteFunc(left, func(id string) bool {
			trial := maps.Clone(accepted)
			trial[id] = texts[id]
			_, wrong := parse(trial)
			if wrong == nil {
				accepted = trial
			}
			return wrong == nil
		})
	}
	step, _ = parse(accepted)
	return step, left, bad
}

// Draft is what is typed in the fields of a step and cannot be taken, by the IDs
// of their keys. Step is the name that the step has in the file.
type Draft struct {
	Step  string
	Texts map[string]string
}

// Draft is what no document can hold, and of which file it is; it is empty where
// nothing is left. It touches no widget.
func (v *View) Draft() (path string, left Draft) {
	if v.desk == nil {
		return "", Draft{}
	}
	left = Draft{Step: v.desk.now.Steps[v.desk.step].Name, Texts: map[string]string{}}
	for _, id := range v.form.left {
		left.Texts[id] = v.form.inputs[id].text()
	}
	if i, as := v.desk.refused(); i == v.desk.step || i >= 0 && len(left.Texts) == 0 {
		left.Step = as
		left.Texts["name"] = v.desk.now.Steps[i].Name
	}
	if len(left.Texts) == 0 {
		return "", Draft{}
	}
	return v.desk.doc.Path(), left
}

// restore puts the draft back into the fields of its step, which is shown.
func (v *View) restore() {
	draft := v.draft
	if draft.Step == "" || draft.Step != v.desk.now.Steps[v.desk.step].Name {
		return
	}
	v.draft = Draft{}
	for id, text := range draft.Texts {
		if in, ok := v.form.inputs[id]; ok {
			in.set(text)
		}
	}
}
