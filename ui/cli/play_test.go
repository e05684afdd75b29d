package cli

import (
	"testing"

	"footing/ladder"
)

func TestARepIsOneOfManyOnlyWhereTheyAreCounted(t *testing.T) {
	step := ladder.DefaultStep()
	for kind, want := range map[ladder.RuleKind]string{ladder.Earned: "rep 1", ladder.Settle: "rep 1", ladder.Steady: "rep 1 of 5"} {
		step.Rule.Kind = kind
		if got := rep(ladder.New(ladder.Routine{Steps: []ladder.Step{step}}, true)); got != want {
			t.Errorf("%v: %q, want %q", kind, got, want)
		}
	}
}
