package store

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"

	"footing/files"
)

func anything(string, any) bool { return true }

func file(t *testing.T) string {
	t.Helper()
	return filepath.Join(t.TempDir(), "data", "settings.json")
}

func opened(t *testing.T, path string) *Store {
	t.Helper()
	s, err := Open(t.Context(), path, anything)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func flush(t *testing.T, s *Store) {
	t.Helper()
	if err := s.Flush(t.Context()); err != nil {
		t.Fatal(err)
	}
}

func write(t *testing.T, path, text string) {
	t.Helper()
	if err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o700), os.WriteFile(path, []byte(text), 0o600)); err != nil {
		t.Fatal(err)
	}
}

func TestWhatIsSetIsThereAgain(t *testing.T) {
	path := file(t)
	s := opened(t, path)
	if !s.Fresh() || s.String("a") != "" || s.IntWithFallback("n", 7) != 7 || s.Bool("b") || s.StringList("l") != nil {
		t.Error("a new store is not empty")
	}
	list := []string{"2026-03-02 84", "", "t\xe4ke"}
	s.SetString("left at /tmp/t\xe4ke.yaml\x00Run", `"quoted"`)
	s.SetString("gone", "soon")
	s.SetString("gone", "")
	s.SetBool("b", true)
	s.SetInt("n", -3)
	s.SetFloat("w", 1200.5)
	s.SetFloat("w", math.Inf(1))
	s.SetStringList("l", list)
	list[0] = "changed behind its back"
	flush(t, s)
	if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the file is %v, %v", info, err)
	}
	again := opened(t, path)
	want := map[string]any{
		"left at /tmp/t\xe4ke.yaml\x00Run": `"quoted"`, "b": true, "n": -3.0, "w": 1200.5,
		"l": []string{"2026-03-02 84", "", "t\xe4ke"},
	}
	if !reflect.DeepEqual(again.values, want) || again.Fresh() {
		t.Errorf("it holds %#v", again.values)
	}
	if again.String("b") != "" || again.Int("l") != 0 || again.Bool("w") || again.FloatWithFallback("n", 0) != -3 {
		t.Error("a value of one kind is read as another")
	}
	if s.SetFloat("n", 1e300); s.Int("n") != 1<<31-1 {
		t.Errorf("cut to a whole number it is %d", s.Int("n"))
	}
}

// A name in two parts is an object within, and a text that is an object stands as
// one; the older form, names with a NUL and texts in quotes, reads as the same.
func TestNamesInTwoParts(t *testing.T) {
	const older = `{"left at runs.yaml\u0000Run": "{\"tempo\":\"76\",\"<\":[1,2]}", "left at runs.yaml\u0000Trio": "{ ", "best of runs.yaml\u0000Run": ["2026-03-02 84"], "left at runs.yaml": "itself", "typed": "{}"}`
	const newer = `{
	"best of runs.yaml": {
		"Run": [
			"2026-03-02 84"
		]
	},
	"left at other.yaml": {
		"Run": {
			"tempo": "80"
		}
	},
	"left at runs.yaml": {
		"Run": {
			"tempo": "76",
			"<": [
				1,
				2
			]
		},
		"Trio": "{ "
	},
	"typed": "{}"
}
`
	path := file(t)
	write(t, path, older)
	s := opened(t, path)
	s.SetString("left at runs.yaml", "")
	s.SetString("left at other.yaml\x00Run", `{"tempo":"80"}`)
	flush(t, s)
	if data, err := os.ReadFile(path); err != nil || string(data) != newer {
		t.Errorf("it is written %s, %v", data, err)
	}
	again := opened(t, path)
	if !reflect.DeepEqual(again.values, s.values) || len(again.values) != 5 || again.String("left at runs.yaml\x00Run") != `{"tempo":"76","<":[1,2]}` {
		t.Errorf("it reads as %v, want %v", again.values, s.values)
	}
}

// Nothing is written where nothing changes: a file of others is not touched
// either.
func TestNothingIsWrittenWithoutNeed(t *testing.T) {
	path := file(t)
	s := opened(t, path)
	s.SetString("none", "")
	flush(t, s)
	if _, err := os.Stat(path); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a file was made: %v", err)
	}
	write(t, path, `{"a": "text", "l": ["x"]}`)
	s = opened(t, path)
	s.SetString("a", "text")
	s.SetStringList("l", []string{"x"})
	flush(t, s)
	if data, _ := os.ReadFile(path); string(data) != `{"a": "text", "l": ["x"]}` {
		t.Errorf("it was written anew: %s", data)
	}
}

func TestHostileFiles(t *testing.T) {
	refuse := func(name string, v any) bool { return name != "width" || v == 1200.0 }
	for _, tt := range []struct {
		name, text string
		kept       map[string]any
		says       string // "" when nothing is wrong
	}{
		{"nothing wrong", `{"width": 1200, "a": "b"}`, map[string]any{"width": 1200.0, "a": "b"}, ""},
		{"refused", `{"width": 1e308, "a": "b"}`, map[string]any{"a": "b"}, "1 of the settings could not be read"},
		{"beyond all numbers", `{"width": 1e999, "a": "b"}`, map[string]any{"a": "b"}, "1 of the settings"},
		{"mixed lists", `{"l": ["x", 1], "m": [1, "x"], "n": [true], "o": [null], "p": [["x"]], "a": "b"}`, map[string]any{"a": "b"}, "5 of the settings"},
		{"other kinds", `{"x": null, "y": {}, "w": {"z": null, "v": [1]}, "a": "b"}`, map[string]any{"a": "b"}, "4 of the settings"},
		{"bad quotes", `{"\"x": "a", "y": "\"\\q\"", "a": "b"}`, map[string]any{"a": "b"}, "2 of the settings"},
		{"cut off", `{"a": "b", "width": 12`, map[string]any{}, "could not be read and are as they came"},
		{"empty", ``, map[string]any{}, "could not be read"},
		{"nothing", `null`, map[string]any{}, "it holds no settings"},
		{"a list", `["a"]`, map[string]any{}, "could not be read"},
		{"more behind", `{"a": "b"} {"a": "c"}`, map[string]any{}, "could not be read"},
		{"zeros", strings.Repeat("\x00", 512), map[string]any{}, "could not be read"},
		{"no text", "\xff\xfe\x00{", map[string]any{}, "could not be read"},
		{"deep", strings.Repeat(`{"a":`, 100_000), map[string]any{}, "could not be read"},
		{"huge", `{"a": "` + strings.Repeat("x", MaxBytes) + `"}`, map[string]any{}, "it is far too large"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			path := file(t)
			write(t, path, tt.text)
			s, err := Open(t.Context(), path, refuse)
			if !reflect.DeepEqual(s.values, tt.kept) {
				t.Errorf("kept %v", s.values)
			}
			aside := filepath.Join(filepath.Dir(path), "settings.bad.json")
			if tt.says == "" {
				if _, late := os.Stat(aside); err != nil || late == nil {
					t.Errorf("says %v, kept aside: %v", err, late)
				}
				return
			}
			if err == nil || !strings.Contains(err.Error(), tt.says) || !strings.Contains(err.Error(), "settings.bad.json") || strings.Contains(err.Error(), "\n") {
				t.Fatalf("says %v", err)
			}
			// A second start before anything could be written keeps it once only.
			if again, err := Open(t.Context(), path, refuse); err == nil || !reflect.DeepEqual(again.values, tt.kept) {
				t.Errorf("the second start: %v, %v", again.values, err)
			}
			if found, _ := os.ReadDir(filepath.Dir(path)); len(found) != 2 {
				t.Errorf("the folder holds %v", found)
			}
			flush(t, s) // what is left is written though nothing was set
			if again := opened(t, path); !reflect.DeepEqual(again.values, tt.kept) {
				t.Errorf("what is left is %v", again.values)
			}
			s.SetBool("new", true)
			flush(t, s)
			if old, err := os.ReadFile(aside); string(old) != tt.text {
				t.Errorf("the old file is not as it was: %v", err)
			}
			again := opened(t, path)
			tt.kept["new"] = true
			if !reflect.DeepEqual(again.values, tt.kept) {
				t.Errorf("written and read again: %v", again.values)
			}
			write(t, path, "{")
			if _, err := Open(t.Context(), path, refuse); err == nil || !strings.Contains(err.Error(), "settings.bad 2.json") {
				t.Errorf("the second bad file: %v", err)
			}
		})
	}
}

// Several stores on one file, as several windows have: each keeps what it set
// last, and none takes away what another set.
func TestSeveralAtOnce(t *testing.T) {
	path := file(t)
	const stores, each = 4, 12
	var all sync.WaitGroup
	for i := range stores {
		s := opened(t, path)
		all.Go(func() {
			for k := range each {
				s.SetInt(fmt.Sprintf("%d of %d", k, i), k)
				if err := s.Flush(t.Context()); err != nil && !errors.Is(err, errChanged) {
					t.Error(err)
				}
			}
			for try := 0; s.Flush(t.Context()) != nil; try++ {
				if try == 100 {
					t.Error("cannot be written")
					return
				}
			}
		})
	}
	all.Wait()
	last := opened(t, path)
	if len(last.values) != stores*each {
		t.Errorf("%d values of %d are left", len(last.values), stores*each)
	}
}

func TestWhatAnotherTookAway(t *testing.T) {
	path := file(t)
	write(t, path, `{"a": "b", "c": "d"}`)
	one, other := opened(t, path), opened(t, path)
	other.SetString("a", "")
	flush(t, other)
	one.SetString("c", "e")
	flush(t, one)
	want := map[string]any{"c": "e"}
	if again := opened(t, path); !reflect.DeepEqual(again.values, want) || !reflect.DeepEqual(one.values, want) {
		t.Errorf("it holds %v, and one %v", again.values, one.values)
	}
	write(t, path, "{")
	one.SetString("f", "g")
	flush(t, one)
	want["f"] = "g"
	if again := opened(t, path); !reflect.DeepEqual(again.values, want) {
		t.Errorf("over what another broke: %v", again.values)
	}
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	one.SetString("h", "i")
	flush(t, one)
	want["h"] = "i"
	if again := opened(t, path); !reflect.DeepEqual(again.values, want) {
		t.Errorf("where the file was taken away: %v", again.values)
	}
}

// While the disk is full the file stays as it was, and what was set is written
// when there is room again.
func TestAFileThatCannotBeWritten(t *testing.T) {
	path := file(t)
	write(t, path, `{"a": "b"}`)
	s := opened(t, path)
	s.SetString("a", "c")
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	if err := s.Flush(ended); !errors.Is(err, context.Canceled) || !strings.Contains(err.Error(), "settings.json") {
		t.Errorf("says %v", err)
	}
	if data, _ := os.ReadFile(path); string(data) != `{"a": "b"}` {
		t.Errorf("the file holds %s", data)
	}
	flush(t, s)
	if again := opened(t, path); again.String("a") != "c" {
		t.Errorf("it holds %v", again.values)
	}
}

// A file that can neither be read nor kept aside is never written over.
func TestAFileThatIsLeftAlone(t *testing.T) {
	path := file(t)
	write(t, path, `{"a": "b"}`)
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	s, err := Open(ended, path, anything)
	if err == nil || s.Fresh() || !strings.Contains(err.Error(), "left alone") {
		t.Fatalf("opened: %v", err)
	}
	flush(t, s) // there is nothing to write
	s.SetString("a", "c")
	if late := s.Flush(t.Context()); late == nil || late.Error() != err.Error() {
		t.Errorf("written: %v", late)
	}
	if data, _ := os.ReadFile(path); string(data) != `{"a": "b"}` || s.String("a") != "c" {
		t.Errorf("the file holds %s", data)
	}
}

// Run writes a while after a change, and tries again after a failure.
func TestRun(t *testing.T) {
	path := file(t)
	s := opened(t, path)
	waits, ticks := make(chan time.Duration), make(chan time.Time)
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() {
		defer close(done)
		s.Run(ctx, func(d time.Duration) <-chan time.Time { waits <- d; return ticks })
	}()
	blocker := filepath.Dir(path)
	if err := os.WriteFile(blocker, nil, 0o600); err != nil { // where the folder should be
		t.Fatal(err)
	}
	s.SetString("a", "b")
	if d := <-waits; d != Later {
		t.Errorf("waits %v", d)
	}
	ticks <- time.Time{}
	if d := <-waits; d != Again {
		t.Errorf("after a failure waits %v", d)
	}
	if err := os.Remove(blocker); err != nil {
		t.Fatal(err)
	}
	ticks <- time.Time{}
	s.SetString("a", "c")
	if d := <-waits; d != Later {
		t.Errorf("after another change waits %v", d)
	}
	cancel()
	<-done
	if again := opened(t, path); again.String("a") == "" {
		t.Error("nothing was written")
	}
}

// Whatever is set and however often it is written between, it is there again.
func TestLawOfStore(t *testing.T) {
	dir := t.TempDir()
	n := 0
	rapid.Check(t, func(rt *rapid.T) {
		n++
		path := filepath.Join(dir, fmt.Sprint(n), "settings.json")
		text := rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{"", `"`, `"a"`, "\xff", "a\x00b", "\u2028"}))
		s, err := Open(t.Context(), path, anything)
		want := map[string]any{}
		for range rapid.IntRange(0, 12).Draw(rt, "edits") {
			name := text.Draw(rt, "name")
			switch rapid.IntRange(0, 5).Draw(rt, "what") {
			case 0:
				v := text.Draw(rt, "text")
				if s.SetString(name, v); v == "" {
					delete(want, name)
				} else {
					want[name] = v
				}
			case 1:
				v := rapid.Float64().Draw(rt, "number")
				s.SetFloat(name, v)
				want[name] = v
			case 2:
				v := rapid.SliceOfN(text, 0, 3).Draw(rt, "list")
				if s.SetStringList(name, v); len(v) == 0 {
					delete(want, name)
				} else {
					want[name] = v
				}
			case 3:
				s.SetBool(name, true)
				want[name] = true
			case 4:
				err = errors.Join(err, s.Flush(t.Context()))
			default:
				err = errors.Join(err, s.Flush(t.Context()))
				var late error
				s, late = Open(t.Context(), path, anything)
				err = errors.Join(err, late)
			}
		}
		err = errors.Join(err, s.Flush(t.Context()))
		again, late := Open(t.Context(), path, anything)
		if err = errors.Join(err, late); err != nil {
			rt.Fatal(err)
		}
		if !reflect.DeepEqual(again.values, want) {
			rt.Fatalf("it holds %#v, want %#v", again.values, want)
		}
	})
}

// Whatever a file holds, the store opens, can be used, and what it then writes
// is sound.
func FuzzOpen(f *testing.F) {
	for _, text := range []string{"", "{}", `{"a": "b"}`, `{"w": 1e308}`, `{"l": ["a", 1]}`, `{"a": {`, "null", "[]", "\x00", `{"\"a": "\"\\x"}`, `{"a":1,"a":2}`,
		`{"a":{"b":"c","d":{"e": [1]}}}`, `{"a\u0000b":"{\"c\":1}"}`, `{"a":1,"a\u0000b":"c","a\u0000b\u0000c":["d"]}`, `{"a":{}}`, `{"a\u0000b":"{\"<\":1}"}`, `{"\u0000":1}`} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		values, bad, err := decode(data, anything)
		if err != nil && values != nil || bad < 0 {
			t.Fatalf("%v with %v", err, values)
		}
		out, err := encode(values)
		if err != nil {
			t.Fatal(err)
		}
		again, bad, err := decode(out, anything)
		if err != nil || bad > 0 || len(values) > 0 && !reflect.DeepEqual(again, values) {
			t.Fatalf("%q is written as %q, which reads as %v, %d, %v", data, out, again, bad, err)
		}
	})
}

func TestAFolderIsPutAside(t *testing.T) {
	path := file(t)
	write(t, filepath.Join(path, "in it"), "") // a folder of that name
	s, err := Open(t.Context(), path, anything)
	if err == nil || !errors.Is(err, files.ErrFolder) {
		t.Fatalf("says %v", err)
	}
	s.SetBool("a", true)
	flush(t, s)
	if again := opened(t, path); !again.Bool("a") {
		t.Error("nothing was written")
	}
}
