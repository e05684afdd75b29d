package main

import (
	"slices"
	"strings"
	"testing"
)

const sample = `package p

const least = 3

func f(list []int, n int) int {
	if n < 5 && len(list) > least {
		return list[n-1]
	}
	switch {
	case n == 7:
		n = 2
	}
	for i := range list[1:] {
		n += min(i, 4)
	}
	return n
}
`

// Conditions are turned and whole numbers moved by one, within functions.
func TestMutants(t *testing.T) {
	found, err := mutants("p.go", []byte(sample))
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, m := range found {
		mutated := strings.Split(string(m.source([]byte(sample))), "\n")
		for i, line := range strings.Split(sample, "\n") {
			if mutated[i] != line {
				if m.line != i+1 {
					t.Errorf("%s is on line %d", m, i+1)
				}
				got = append(got, strings.TrimSpace(mutated[i]))
			}
		}
	}
	want := []string{
		"if !(n < 5 && len(list) > least) {",
		"if n < 5 || len(list) > least {",
		"if n <= 5 && len(list) > least {",
		"if n < (6) && len(list) > least {",
		"if n < (4) && len(list) > least {",
		"if n < 5 && len(list) >= least {",
		"return list[n-(2)]", "return list[n-(0)]",
		"case n != 7:", "case n == (8):", "case n == (6):",
		"n = (3)", "n = (1)",
		"for i := range list[(2):] {", "for i := range list[(0):] {",
		"n += min(i, (5))", "n += min(i, (3))",
	}
	slices.Sort(got)
	slices.Sort(want)
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("the mutants are\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

func TestWhereAMutantStands(t *testing.T) {
	m := mutant{file: "ladder/judge.go", line: 49}
	for place, want := range map[string]bool{"": true, "judge.go": true, "ladder/judge.go:49": true, "judge.go:4": false, "rules.go": false} {
		if got := m.stands(place); got != want {
			t.Errorf("%q: %v", place, got)
		}
	}
}
