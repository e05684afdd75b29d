package passage_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"footing/ladder/passage"
	"footing/ladder/passage/listing"
)

// read reads a score or an archive from memory.
func read(data []byte, limits passage.Limits) (*passage.Score, []passage.Remark, error) {
	if passage.IsArchive(data) {
		return passage.ReadArchive(context.Background(), bytes.NewReader(data), int64(len(data)), limits)
	}
	return passage.Read(context.Background(), bytes.NewReader(data), limits)
}

// plain is a value as JSON has it.
func plain(t *testing.T, v any) map[string]any {
	t.Helper()
	data, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	var out map[string]any
	if err := json.Unmarshal(data, &out); err != nil {
		t.Fatal(err)
	}
	return out
}

// answers are the cases of a folder: each file's answer lies in expected.
func answers(t *testing.T, folder string) map[string]map[string]any {
	t.Helper()
	names, err := filepath.Glob(filepath.Join(folder, "expected", "*.json"))
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]map[string]any{}
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		var want map[string]any
		if err := json.Unmarshal(data, &want); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		out[filepath.Join(folder, want["file"].(string))] = want
	}
	return out
}

// checkAnswer compares all that a listing says but the wording of anomalies.
func checkAnswer(t *testing.T, file string, want map[string]any) {
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	score, remarks, err := read(data, passage.Limits{})
	if (err != nil) != (want["error"] != nil) {
		t.Fatalf("error %v, want %v", err, want["error"])
	}
	if err != nil {
		return
	}
	checkLaws(t, score)
	got := plain(t, listing.Of(filepath.Base(file), score, remarks))
	if certain := want["playback"].(map[string]any)["certain"]; certain == false {
		if got["playback"].(map[string]any)["certain"] != false {
			t.Error("the playing order is taken for certain")
		}
		delete(want, "playback")
		delete(got, "playback")
	}
	if a, b := len(want["anomalies"].([]any)), len(got["anomalies"].([]any)); a > 0 && b == 0 {
		t.Errorf("nothing is said of %v", want["anomalies"])
	}
	delete(want, "anomalies")
	delete(got, "anomalies")
	differ(t, "", got, want)
}

// differ says where two values differ. Attributes may stand in any order, as
// elements of one place have none.
func differ(t *testing.T, path string, got, want any) {
	if strings.HasSuffix(path, ".attributes") {
		got, want = sorted(got), sorted(want)
	}
	switch want := want.(type) {
	case map[string]any:
		got, ok := got.(map[string]any)
		if !ok {
			t.Errorf("%s: %v, want %v", path, got, want)
			return
		}
		for k := range want {
			differ(t, path+"."+k, got[k], want[k])
		}
		for k := range got {
			if _, ok := want[k]; !ok {
				t.Errorf("%s.%s: %v, want nothing", path, k, got[k])
			}
		}
	case []any:
		got, _ := got.([]any)
		if len(got) != len(want) {
			t.Errorf("%s: %d, want %d:\n%v\n%v", path, len(got), len(want), got, want)
			return
		}
		for i := range want {
			differ(t, fmt.Sprintf("%s[%d]", path, i), got[i], want[i])
		}
	default:
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s: %v, want %v", path, got, want)
		}
	}
}

func sorted(v any) any {
	list, ok := v.([]any)
	if !ok {
		return v
	}
	list = slices.Clone(list)
	slices.SortFunc(list, func(a, b any) int { return strings.Compare(fmt.Sprint(a), fmt.Sprint(b)) })
	return list
}

// dataFolders are the folders with cases: our own, and the unofficial MusicXML
// test suite where it lies beside the checkout.
func dataFolders() []string {
	folders := []string{filepath.Join("testdata", "made")}
	if data := os.Getenv("FOOTING_DATA"); data != "" {
		folders = append(folders, filepath.Join(data, "musicxml"), filepath.Join(data, "musicxml", "made"))
	}
	return folders
}

func TestAnswers(t *testing.T) {
	for _, folder := range dataFolders() {
		cases := answers(t, folder)
		t.Logf("%s: %d cases", folder, len(cases))
		if len(cases) == 0 {
			t.Errorf("%s has no cases", folder)
		}
		for file, want := range cases {
			t.Run(filepath.Base(file), func(t *testing.T) { checkAnswer(t, file, want) })
		}
	}
}

func TestRefused(t *testing.T) {
	folders := []string{filepath.Join("testdata", "bad")}
	if data := os.Getenv("FOOTING_DATA"); data != "" {
		folders = append(folders, filepath.Join(data, "musicxml", "bad"))
	}
	for _, folder := range folders {
		files, _ := filepath.Glob(filepath.Join(folder, "bad-*"))
		t.Logf("%s: %d files to refuse", folder, len(files))
		if len(files) == 0 {
			t.Errorf("%s has no files", folder)
		}
		about := reasons(t, folder)
		for _, file := range files {
			t.Run(filepath.Base(file), func(t *testing.T) {
				data, err := os.ReadFile(file)
				if err != nil {
					t.Fatal(err)
				}
				var before, after runtime.MemStats
				runtime.ReadMemStats(&before)
				start := time.Now()
				_, _, err = read(data, passage.Limits{})
				took := time.Since(start)
				runtime.ReadMemStats(&after)
				if err == nil || strings.Contains(err.Error(), "\n") || len(err.Error()) > 300 {
					t.Errorf("%v", err)
				}
				if why := about[filepath.Base(file)]; err != nil && !strings.Contains(why, " ") && !strings.Contains(err.Error(), why) {
					t.Errorf("%v does not speak of %s", err, why)
				}
				if taken := (after.TotalAlloc - before.TotalAlloc) >> 20; took > time.Second || taken > 256 {
					t.Errorf("refused in %v and %d MB", took, taken)
				}
				t.Log(err)
			})
		}
	}
}

// reasons are what the sentence about each file of a folder is about.
func reasons(t *testing.T, folder string) map[string]string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(folder, "expected.json"))
	if err != nil {
		t.Fatal(err)
	}
	var list []struct{ File, Refuse string }
	if err := json.Unmarshal(data, &list); err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, r := range list {
		out[r.File] = r.Refuse
	}
	return out
}
