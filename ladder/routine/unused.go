package routine

import "fmt"

// Unused are the keys that say something which the rule of their step does not
// use, in the order of the file. They keep nobody from practising.
func (f *File) Unused() Errors {
	r := &reader{src: f.src}
	for i, step := range f.routine.Steps {
		_, at := f.nodes(i)
		clean, rough := step.Rule.Kind.Uses()
		for _, k := range []struct {
			name string
			used bool
		}{{"clean", clean}, {"rough", rough}} {
			if p, there := at.byKey["rule "+k.name]; there && !k.used {
				r.fail(p.key, fmt.Sprintf("the rule %s does not use %s", step.Rule.Kind, k.name), "leave the key out")
			}
		}
	}
	return r.sorted()
}
