package routine_test

import (
	"testing"

	"footing/ladder/routine"
)

// Keys that the rule does not use are told in the order of the file, each at its
// place; defaults that are not written are none of them.
func TestUnused(t *testing.T) {
	const head = "footing: 1\nname: Morning runs\nsteps:\n"
	step := func(name, rule string) string {
		return "  - name: " + name + "\n    passage: {piece: Weir Street March, bars: 17-20}\n    tempo: {from: 60, goal: 90}\n    rule: " + rule + "\n"
	}
	for rule, want := range map[string]string{
		"steady":                             "",
		"{name: earned, clean: 3, rough: 2}": "",
		"{clean: 3, rough: 2}":               "",
		"{name: leap, rough: 2}":             "",
		"{name: \"two up, one down\", clean: 1, rough: 1}": "",
		"{rough: 2, name: steady, clean: 3}":               "x.yaml:7:12: the rule steady does not use rough; leave the key out\nx.yaml:7:36: the rule steady does not use clean; leave the key out",
		"{name: leap, clean: 3, rough: 2}":                 "x.yaml:7:24: the rule leap does not use clean; leave the key out",
		"{name: arch, clean: 3}":                           "x.yaml:7:24: the rule arch does not use clean; leave the key out",
	} {
		f, err := routine.Parse("x.yaml", []byte(head+step("Run", rule)+step("Again", "earned")))
		if err != nil {
			t.Fatal(rule, err)
		}
		if got := f.Unused().Error(); got != want {
			t.Errorf("%s: says\n%s\nwant\n%s", rule, got, want)
		}
	}
}
