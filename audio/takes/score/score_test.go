package score

import (
	"bufio"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

const fixtures = "../../../testdata/onset-scoring"

// The ten pairs and their figures are mir_eval's own test data (MIT, see the
// LICENSE beside them): ±50 ms, one-to-one maximum matching.
func TestFiguresOfMirEval(t *testing.T) {
	for i := range 10 {
		t.Run(fmt.Sprintf("%02d", i), func(t *testing.T) {
			var want struct {
				F float64 `json:"F-measure"`
				P float64 `json:"Precision"`
				R float64 `json:"Recall"`
			}
			b, err := os.ReadFile(filepath.Join(fixtures, fmt.Sprintf("output%02d.json", i)))
			if err != nil {
				t.Fatal(err)
			}
			if err := json.Unmarshal(b, &want); err != nil {
				t.Fatal(err)
			}
			got := Onsets(seconds(t, fmt.Sprintf("ref%02d.txt", i)), seconds(t, fmt.Sprintf("est%02d.txt", i)), 0.05)
			if math.Abs(got.F-want.F) > 1e-15 || got.Precision != want.P || got.Recall != want.R {
				t.Errorf("F %v P %v R %v; listed F %v P %v R %v", got.F, got.Precision, got.Recall, want.F, want.P, want.R)
			}
		})
	}
}

func seconds(t *testing.T, name string) []float64 {
	t.Helper()
	f, err := os.Open(filepath.Join(fixtures, name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var out []float64
	for s := bufio.NewScanner(f); s.Scan(); {
		line := strings.TrimSpace(s.Text())
		if line == "" || line[0] == '#' {
			continue
		}
		v, err := strconv.ParseFloat(line, 64)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, v)
	}
	return out
}

func TestWindowIsInclusive(t *testing.T) {
	if s := Onsets([]float64{1}, []float64{1.25}, 0.25); s.F != 1 {
		t.Errorf("an estimate on the window's edge scores %v", s.F)
	}
	if s := Onsets(nil, nil, 0.05); s.F != 0 || s.Precision != 0 || s.Recall != 0 {
		t.Errorf("two empty lists score %+v, want zeros", s)
	}
}

// The greedy matching is as large as one found by augmenting paths, which is
// maximum by Berge's theorem.
func TestMatchingIsMaximum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := func(name string) []float64 {
			n := rapid.SliceOfN(rapid.IntRange(0, 400), 0, 12).Draw(t, name)
			out := make([]float64, len(n))
			for i, v := range n {
				out[i] = float64(v) / 256
			}
			return sorted(out)
		}
		ref, est := list("ref"), list("est")
		window := float64(rapid.IntRange(0, 60).Draw(t, "window")) / 256
		pairs := Match(ref, est, window)
		used := map[int]bool{}
		for _, p := range pairs {
			if used[p.Est] {
				t.Fatalf("estimate %d used twice", p.Est)
			}
			used[p.Est] = true
			if math.Abs(ref[p.Ref]-est[p.Est]) > window {
				t.Fatalf("pair %v lies outside the window", p)
			}
		}
		if want := augmented(ref, est, window); len(pairs) != want {
			t.Fatalf("%d pairs, a maximum matching has %d", len(pairs), want)
		}
	})
}

func augmented(ref, est []float64, window float64) int {
	owner := make([]int, len(est))
	for i := range owner {
		owner[i] = -1
	}
	var try func(i int, seen []bool) bool
	try = func(i int, seen []bool) bool {
		for j := range est {
			if seen[j] || math.Abs(ref[i]-est[j]) > window {
				continue
			}
			seen[j] = true
			if owner[j] < 0 || try(owner[j], seen) {
				owner[j] = i
				return true
			}
		}
		return false
	}
	n := 0
	for i := range ref {
		if try(i, make([]bool, len(est))) {
			n++
		}
	}
	return n
}
