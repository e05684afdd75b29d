package routines

import (
	"maps"
	"slices"

	"footing/ladder"
)

// take reads the texts of the fields as far as they can be read, in place of
// good values. left are the fields that can not be taken, and fault says what is
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
