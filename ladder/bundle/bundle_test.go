package bundle

import (
	"archive/zip"
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"footing/ladder/routine"
)

const text = `footing: 1
name: Morning runs
steps:
  - name: Weir Street run # for Friday
    passage: {piece: Weir Street March, bars: 17-20}
    tempo: {from: 64, goal: 104, step: 4 bpm}
    chunk: {start: "18:2", beats: 2}
    score: {file: scores/weir-street.musicxml, part: Bassoon}
  - name: Trio
    passage: {piece: Weir Street March, bars: 17-20}
    chunk: {start: "18:2", beats: 2}
    score: {file: scores/weir-street.musicxml, part: Bassoon}
  - name: Waltz
    passage: {piece: Hill Road Waltz, bars: 1-4}
    score: {file: waltz.mxl}
`

// folder holds files by name.
func folder(t testing.TB, content map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	for name, text := range content {
		at := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(at), 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(at, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

func packed(t testing.TB) []byte {
	t.Helper()
	dir := folder(t, map[string]string{"runs.yaml": text, "scores/weir-street.musicxml": "<march/>", "waltz.mxl": "waltz", "other.musicxml": "not asked for"})
	var b bytes.Buffer
	if err := Pack(t.Context(), &b, filepath.Join(dir, "runs.yaml")); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// names are the files under a folder.
func names(t testing.TB, dir string) (out []string) {
	t.Helper()
	err := filepath.WalkDir(dir, func(at string, e os.DirEntry, err error) error {
		if err == nil && !e.IsDir() {
			rel, _ := filepath.Rel(dir, at)
			out = append(out, filepath.ToSlash(rel))
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	slices.Sort(out)
	return out
}

func TestARoutineGoesOutAndComesIn(t *testing.T) {
	for _, tt := range []struct {
		name  string
		there map[string]string
		at    string
		want  []string // files in the folder afterwards
		same  bool     // the routine's text is as it was
	}{
		{"into an empty folder", nil, "runs.yaml", []string{"runs.yaml", "scores/weir-street.musicxml", "waltz.mxl"}, true},
		{"where it is already", map[string]string{"runs.yaml": text, "scores/weir-street.musicxml": "<march/>", "waltz.mxl": "waltz"},
			"runs.yaml", []string{"runs.yaml", "scores/weir-street.musicxml", "waltz.mxl"}, true},
		{"beside others of these names", map[string]string{"runs.yaml": "mine", "scores/weir-street.musicxml": "<mine/>"},
			"runs 2.yaml", []string{"runs 2.yaml", "runs.yaml", "scores/weir-street 2.musicxml", "scores/weir-street.musicxml", "waltz.mxl"}, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			file := filepath.Join(folder(t, map[string]string{"runs.zip": string(packed(t))}), "runs.zip")
			into := folder(t, tt.there)
			at, err := Unpack(t.Context(), file, into)
			if err != nil || at != filepath.Join(into, tt.at) {
				t.Fatalf("unpacked to %s, %v", at, err)
			}
			if got := names(t, into); !slices.Equal(got, tt.want) {
				t.Errorf("the folder holds %q, want %q", got, tt.want)
			}
			for name, text := range tt.there {
				if data, err := os.ReadFile(filepath.Join(into, name)); err != nil || string(data) != text {
					t.Errorf("%s was written over", name)
				}
			}
			f, err := routine.Load(at)
			if err != nil {
				t.Fatal(err)
			}
			if got := string(f.Bytes()) == text; got != tt.same {
				t.Errorf("the text is as it was: %v\n%s", got, f.Bytes())
			}
			for _, s := range f.Routine().Steps {
				data, err := os.ReadFile(filepath.Join(into, s.Notes.Score.File))
				if want := map[string]string{"Waltz": "waltz"}[s.Name]; err != nil || string(data) != want && string(data) != "<march/>" {
					t.Errorf("the score of %s is %q, %v", s.Name, data, err)
				}
			}
		})
	}
}

func TestAScoreThatIsMissing(t *testing.T) {
	dir := folder(t, map[string]string{"runs.yaml": text, "waltz.mxl": "waltz"})
	err := Pack(t.Context(), &bytes.Buffer{}, filepath.Join(dir, "runs.yaml"))
	if err == nil || !strings.Contains(err.Error(), "the score scores/weir-street.musicxml: no such file") {
		t.Errorf("says %v", err)
	}
}

// archive is a ZIP archive of files by name.
func archive(t testing.TB, content ...string) string {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for i := 0; i < len(content); i += 2 {
		w, err := z.Create(content[i])
		if err == nil {
			_, err = w.Write([]byte(content[i+1]))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestABundleWithAFault(t *testing.T) {
	up := strings.ReplaceAll(text, "waltz.mxl", "../waltz.mxl")
	for _, tt := range []struct{ name, data, says string }{
		{"no archive", "march", "this is no bundle"},
		{"no routine", archive(t, "a.txt", "x"), "there are 0 routines in it"},
		{"two", archive(t, "a.yaml", text, "b.yaml", text), "there are 2 routines in it"},
		{"a score is missing", archive(t, "a.yaml", text, "waltz.mxl", "waltz"), "the score scores/weir-street.musicxml is not in it"},
		{"the routine has a fault", archive(t, "a.yaml", "footing: 1\nname: x\n"), "a.yaml:"},
		{"a score outside", archive(t, "a.yaml", up, "../waltz.mxl", "waltz", "scores/weir-street.musicxml", "x"), "folder"},
		{"a routine too large", archive(t, "a.yaml", strings.Repeat("# march\n", routine.MaxBytes/8+1)), "it is too large"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			file := filepath.Join(folder(t, map[string]string{"runs.zip": tt.data}), "runs.zip")
			into := filepath.Join(t.TempDir(), "into")
			if _, err := Unpack(t.Context(), file, into); err == nil || !strings.Contains(err.Error(), tt.says) {
				t.Errorf("says %v", err)
			}
			if _, err := os.Stat(into); !errors.Is(err, os.ErrNotExist) {
				t.Errorf("something was written: %q", names(t, into))
			}
		})
	}
}

// Whatever comes in, nothing is written outside the folder, and nothing panics.
func FuzzUnpack(f *testing.F) {
	f.Add(packed(f))
	f.Add([]byte(archive(f, "../a.yaml", text)))
	f.Add([]byte(archive(f, "a.yaml", text, "waltz.mxl", "", "scores/weir-street.musicxml", "")))
	f.Fuzz(func(t *testing.T, data []byte) {
		base := folder(t, map[string]string{"runs.zip": string(data)})
		into := filepath.Join(base, "into")
		_, _ = Unpack(t.Context(), filepath.Join(base, "runs.zip"), into)
		for _, name := range names(t, base) {
			if name != "runs.zip" && !strings.HasPrefix(name, "into/") {
				t.Errorf("%s was written", name)
			}
		}
	})
}
