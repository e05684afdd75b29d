package score

import (
	"bufio"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// The ten pairs and their figures are the mir_eval project's own test data: ±50
// ms, one-to-one maximum matching. They are read from the folder that
// FOOTING_DATA names, and nothing in this project holds them: elsewhere
// TestScoresOfAMaximumMatching alone judges the scorer.
func TestFiguresOfMirEval(t *testing.T) {
	data := os.Getenv("FOOTING_DATA")
	if data == "" {
		t.Log("0 pairs compared, since FOOTING_DATA names no folder; TestScoresOfAMaximumMatching judges the scorer")
		return
	}
	lists, err := filepath.Glob(filepath.Join(data, "onset-scoring", "ref*.txt"))
	if err != nil || len(lists) == 0 {
		t.Fatalf("no pairs in onset-scoring of FOOTING_DATA=%s (%v)", data, err)
	}
	for _, ref := range lists {
		dir, base := filepath.Split(ref)
		number := strings.TrimSuffix(strings.TrimPrefix(base, "ref"), ".txt")
		t.Run(number, func(t *testing.T) {
			var want struct {
				F float64 `json:"F-measure"`
				P float64 `json:"Precision"`
				R float64 `json:"Recall"`
			}
			b, err := os.ReadFile(filepath.Join(dir, "output"+number+".json"))
			if err != nil {
				t.Fatal(err)
			}
			if err := json.Unmarshal(b, &want); err != nil {
				t.Fatal(err)
			}
			got := Onsets(seconds(t, ref), seconds(t, filepath.Join(dir, "est"+number+".txt")), 0.05)
			if math.Abs(got.F-want.F) > 1e-15 || got.Precision != want.P || got.Recall != want.R {
				t.Errorf("F %v P %v R %v; listed F %v P %v R %v", got.F, got.Precision, got.Recall, want.F, want.P, want.R)
			}
		})
	}
	t.Logf("%d pairs compared", len(lists))
}

func seconds(t *testing.T, path string) []float64 {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var out []float64
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		line := strings.TrimSpace(lines.Text())
		if line == "" || line[0] == '#' {
			continue
		}
		v, err := strconv.ParseFloat(line, 64)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, v)
	}
	if err := lines.Err(); err != nil {
		t.Fatal(err)
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

// The figures are those of a maximum matching that is found by trying every one,
// whatever the order of the lists; and the pairs are one to one, within the
// window.
func TestScoresOfAMaximumMatching(t *testing.T) {
	compared := 0
	rapid.Check(t, func(t *rapid.T) {
		list := func(name string) []float64 {
			// On a coarse raster, so that the window's edge and equal times come up.
			n := rapid.SliceOfN(rapid.IntRange(0, 120), 0, 9).Draw(t, name)
			out := make([]float64, len(n))
			for i, v := range n {
				out[i] = float64(v) / 256
			}
			return out
		}
		ref, est := list("ref"), list("est")
		window := float64(rapid.IntRange(0, 60).Draw(t, "window")) / 256
		most := everyMatching(ref, est, window)
		want := Of(most, len(ref), len(est))
		if got := Onsets(ref, est, window); got != want {
			t.Fatalf("%+v, a maximum matching gives %+v", got, want)
		}
		ref, est = sorted(ref), sorted(est)
		used := map[int]bool{}
		for _, p := range Match(ref, est, window) {
			if used[p.Est] || math.Abs(ref[p.Ref]-est[p.Est]) > window {
				t.Fatalf("pair %v is used twice or lies outside the window", p)
			}
			used[p.Est] = true
		}
		compared++
	})
	t.Logf("%d pairs of lists compared", compared)
}

// everyMatching is the size of the largest one-to-one matching within a window,
// by brute force: each reference goes without, or with any estimate that is free.
func everyMatching(ref, est []float64, window float64) int {
	known := map[[2]int]int{}
	var most func(i, taken int) int
	most = func(i, taken int) int {
		if i == len(ref) {
			return 0
		}
		key := [2]int{i, taken}
		if n, ok := known[key]; ok {
			return n
		}
		n := most(i+1, taken)
		for j := range est {
			if taken&(1<<j) == 0 && math.Abs(ref[i]-est[j]) <= window {
				n = max(n, 1+most(i+1, taken|1<<j))
			}
		}
		known[key] = n
		return n
	}
	return most(0, 0)
}

// F, precision and recall of so many matches (van Rijsbergen 1979).
func TestFigures(t *testing.T) {
	if s := Of(3, 4, 6); s.Precision != 0.5 || s.Recall != 0.75 || math.Abs(s.F-0.6) > 1e-15 {
		t.Errorf("3 matches of 4 among 6: %+v", s)
	}
}
