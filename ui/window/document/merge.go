package document

import (
	"reflect"
	"slices"

	"footing/ladder"
)

// Merge brings together two versions of a routine that both came from base:
// what mine changed is as in mine, all else as in theirs, value by value. Where
// that makes a step that cannot be practised, the step is as in mine. A list
// of steps that mine changed is mine's, with what theirs added at the end.
func Merge(base, mine, theirs ladder.Routine) ladder.Routine {
	out := theirs
	if mine.Name != base.Name {
		out.Name = mine.Name
	}
	if mine.Order != base.Order {
		out.Order = mine.Order
	}
	if mine.Instrument != base.Instrument {
		out.Instrument = mine.Instrument
	}
	was, other := pairs(base.Steps, mine.Steps), pairs(base.Steps, theirs.Steps)
	listed := len(mine.Steps) != len(base.Steps)
	for i, from := range was {
		listed = listed || from != i
	}
	steps := slices.Clone(theirs.Steps)
	if listed {
		steps = slices.Clone(mine.Steps)
		for k, from := range other {
			if from < 0 {
				steps = append(steps, theirs.Steps[k])
			}
		}
	}
	for i, from := range was {
		k := slices.Index(other, from)
		if from < 0 || k < 0 {
			continue
		}
		at := k
		if listed {
			at = i
		}
		steps[at] = mergeStep(base.Steps[from], mine.Steps[i], theirs.Steps[k])
	}
	out.Steps = steps
	return out
}

// pairs says which old step each new one comes from, −1 for none: by name, and
// by place where the lists are equally long.
func pairs(olds, news []ladder.Step) []int {
	out := make([]int, len(news))
	taken := make([]bool, len(olds))
	for i := range news {
		out[i] = slices.IndexFunc(olds, func(s ladder.Step) bool { return s.Name == news[i].Name })
		if out[i] >= 0 {
			taken[out[i]] = true
		}
	}
	for i := range news {
		if out[i] < 0 && len(olds) == len(news) && !taken[i] {
			out[i], taken[i] = i, true
		}
	}
	return out
}

func mergeStep(base, mine, theirs ladder.Step) ladder.Step {
	out := theirs
	merge(reflect.ValueOf(&out).Elem(), reflect.ValueOf(base), reflect.ValueOf(mine))
	if len(out.Check()) > 0 {
		return mine
	}
	return out
}

// merge takes over into out what differs between base and mine. Parts of a step
// are taken one by one, the values of the click's own types whole.
func merge(out, base, mine reflect.Value) {
	if t := out.Type(); t.Kind() == reflect.Struct && t.PkgPath() == reflect.TypeFor[ladder.Step]().PkgPath() {
		for i := range t.NumField() {
			merge(out.Field(i), base.Field(i), mine.Field(i))
		}
		return
	}
	if !reflect.DeepEqual(base.Interface(), mine.Interface()) {
		out.Set(mine)
	}
}
