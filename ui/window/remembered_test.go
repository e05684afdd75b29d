package window

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"

	"footing/audio/click"
	"footing/ladder/journal/journalfile"
	"footing/ui/window/routines"
	"footing/ui/window/store"
)

// before is what the toolkit kept for a player: as Fyne 2.7 writes it.
const before = `{"best of /home/anna/runs.yaml\u0000Weir Street run":["2026-03-02 84","2026-03-03 88"],` +
	`"cautions seen":true,"fyne:fileDialogLastFolder":"file:///home/anna","keys":["clean\tx\ty"],` +
	`"left at /home/anna/runs.yaml\u0000Weir Street run":"{\"Ladder\":{\"From\":64000,\"Below\":0,\"Goal\":104000,\"By\":{\"Kind\":0,\"Amount\":4000}},\"Tempo\":76000}",` +
	`"level":55,"palette":"night","rest after minutes":30,"routine":"/home/anna/runs.yaml","sound":"bell","step":1,` +
	`"window.height":700,"window.width":1000}` + "\n"

// places are where settings and the toolkit's preferences are kept in a test.
func places(t *testing.T, toolkit string) (path, old string) {
	t.Helper()
	dir := t.TempDir()
	path, old = filepath.Join(dir, "data", "settings.json"), filepath.Join(dir, "config", "preferences.json")
	if err := os.MkdirAll(filepath.Dir(old), 0o700); err != nil {
		t.Fatal(err)
	}
	if toolkit != "" {
		write(t, filepath.Dir(old), filepath.Base(old), toolkit)
	}
	return path, old
}

// What the toolkit kept for a player is all there in the settings' own file, and
// is taken over once.
func TestSettingsAreTakenOver(t *testing.T) {
	path, old := places(t, before)
	kept, err := recall(t.Context(), path, old)
	if err != nil {
		t.Fatal(err)
	}
	check := func(s settings) {
		t.Helper()
		const run = "/home/anna/runs.yaml\x00Weir Street run"
		left, best := journalfile.ParseBookmark(s.p.String(keyMark+run)), s.p.StringList(keyBest+run)
		file, at := s.routine()
		if left.Tempo != click.BPM(76) || len(best) == 0 || best[len(best)-1] != "2026-03-03 88" || file != "/home/anna/runs.yaml" || at != 1 {
			t.Errorf("left %+v, best %q, routine %s %d", left, best, file, at)
		}
		if s.palette() != "night" || s.sound() != "bell" || s.level() != 55 || !s.cautionsSeen() || s.rest() != 30*time.Minute || s.size() != fyne.NewSize(1000, 700) {
			t.Errorf("palette %s, sound %s at %d, cautions %v, rest %v, size %v", s.palette(), s.sound(), s.level(), s.cautionsSeen(), s.rest(), s.size())
		}
		if got := s.keys().Changed()["clean"]; strings.Join(got, " ") != "x y" {
			t.Errorf("own keys are %v", got)
		}
	}
	check(settings{kept})
	if _, err := os.Stat(old); err == nil {
		t.Error("the toolkit's file is still in use")
	}
	if data, err := os.ReadFile(strings.TrimSuffix(old, ".json") + ".old.json"); string(data) != before {
		t.Errorf("the toolkit's file is not kept: %v", err)
	}

	// Whatever the toolkit writes later is none of ours.
	write(t, filepath.Dir(old), filepath.Base(old), `{"palette":"day","level":1}`)
	again, err := recall(t.Context(), path, old)
	if err != nil {
		t.Fatal(err)
	}
	check(settings{again})
	if data, _ := os.ReadFile(old); string(data) != `{"palette":"day","level":1}` {
		t.Error("the toolkit's file was touched")
	}
}

// While the new file cannot be written, the old one stays and is read again.
func TestSettingsAreTakenOverWhole(t *testing.T) {
	path, old := places(t, before)
	// A link into a folder that is not there: the file can be looked for, and not
	// written.
	if err := errors.Join(os.Mkdir(filepath.Dir(path), 0o700), os.Symlink(filepath.Join("none", "settings.json"), path)); err != nil {
		t.Fatal(err)
	}
	kept, err := recall(t.Context(), path, old)
	if err == nil || (settings{kept}).level() != 55 {
		t.Errorf("level %d, says %v", settings{kept}.level(), err)
	}
	if data, _ := os.ReadFile(old); string(data) != before {
		t.Error("the toolkit's file is gone before there is another")
	}
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	if err := (settings{kept}).flush(t.Context()); err != nil {
		t.Fatal(err)
	}
	if again, err := recall(t.Context(), path, old); err != nil || (settings{again}).level() != 55 {
		t.Errorf("level %d, says %v", settings{again}.level(), err)
	}
}

// Whatever stands in either file, the window has settings to go on with, says
// what could not be read, keeps the file, and Fyne can live with its own.
func TestHostileSettings(t *testing.T) {
	for name, tt := range map[string]struct {
		text  string
		level int  // that is left
		quiet bool // nothing is said
	}{
		"sound":                 {`{"level": 55}`, 55, true},
		"endless width":         {`{"window.width": 1e308, "level": 55}`, 55, false},
		"negative width":        {`{"window.width": -5, "level": 55}`, 55, false},
		"endless step":          {`{"step": 1e300, "level": 55}`, 55, false},
		"mixed lists":           {`{"keys": ["clean\tx", 5], "level": 55}`, 55, false},
		"mixed lists of others": {`{"other": [true, "x"], "level": 55}`, 55, false},
		"keys of no kind":       {`{"keys": 5, "palette": ["x"], "sound": true, "cautions seen": 1, "level": 55}`, 55, false},
		"level of no kind":      {`{"level": "loud"}`, defaultLevel, false},
		"level beyond bounds":   {`{"level": 400}`, defaultLevel, false},
		"best of no kind":       {`{"best of x\u0000y": "z", "left at x\u0000y": ["z"], "level": 55}`, 55, false},
		"typed of no kind":      {`{"typed in x": ["z"], "level": 55}`, 55, false},
		"unsaved of no kind":    {`{"not saved of x": ["z"], "level": 55}`, 55, false},
		"cut off":               {`{"level": 55, "pal`, defaultLevel, false},
		"empty":                 {" ", defaultLevel, false},
		"no object":             {`[1, "x"]`, defaultLevel, false},
		"zeros":                 {strings.Repeat("\x00", 4096), defaultLevel, false},
		"huge":                  {`{"level": 55, "x": "` + strings.Repeat("x", store.MaxBytes) + `"}`, defaultLevel, false},
	} {
		for _, where := range []string{"own", "toolkit"} {
			t.Run(name+", "+where, func(t *testing.T) {
				path, old := places(t, "")
				at := path
				if where == "toolkit" {
					at = old
				}
				if err := os.MkdirAll(filepath.Dir(at), 0o700); err != nil {
					t.Fatal(err)
				}
				write(t, filepath.Dir(at), filepath.Base(at), tt.text)
				kept, err := recall(t.Context(), path, old)
				if (err == nil) != tt.quiet || err != nil && strings.Contains(err.Error(), "\n") {
					t.Errorf("says %v", err)
				}
				s := settings{kept}
				if s.level() != tt.level || s.size() != fyne.NewSize(1200, 780) {
					t.Errorf("level %d, size %v", s.level(), s.size())
				}
				s.keys()
				if data, err := os.ReadFile(old); err == nil && !digestible(data) {
					t.Error("Fyne would read what it falls over")
				}
				found, _ := os.ReadDir(filepath.Dir(at))
				held := 0
				for _, e := range found {
					if data, _ := os.ReadFile(filepath.Join(filepath.Dir(at), e.Name())); string(data) == tt.text {
						held++
					}
				}
				if held == 0 {
					t.Errorf("the file as it was is nowhere: %v", found)
				}
				s.setLevel(35)
				if err := s.flush(t.Context()); err != nil {
					t.Fatal(err)
				}
				again, err := recall(t.Context(), path, old)
				if err != nil || (settings{again}).level() != 35 {
					t.Errorf("the next start: level %d, says %v", settings{again}.level(), err)
				}
			})
		}
	}
}

// The toolkit's file is a list of mixed kinds even where it is no longer read.
func TestDigestible(t *testing.T) {
	for text, want := range map[string]bool{
		`{}`: true, `{"a": ["x", "y"], "b": [1, 2.5], "c": [true], "d": [], "e": {"f": [1, "x"]}, "g": null}`: true,
		`{"a": ["x", 1]}`: false, `{"a": [1, "x"]}`: false, `{"a": [true, null]}`: false, `{"a": [null]}`: false, `{"a": [[1]]}`: false,
		`{`: false, `5`: false, ``: false,
	} {
		if got := digestible([]byte(text)); got != want {
			t.Errorf("%s: %v", text, got)
		}
	}
	if !json.Valid([]byte(before)) || !digestible([]byte(before)) {
		t.Error("what a player has is not")
	}
}

// A routine whose file's name is no UTF-8 is there again at the next start.
func TestANameThatIsNotUTF8IsRemembered(t *testing.T) {
	path, old := places(t, "")
	kept, err := recall(t.Context(), path, old)
	if err != nil {
		t.Fatal(err)
	}
	s := settings{kept}
	name := "/home/anna/t\xe4glich.yaml"
	s.setRoutine(name, 2)
	s.setDraft(name, routines.Draft{Step: "Run"})
	if err := s.flush(t.Context()); err != nil {
		t.Fatal(err)
	}
	again, err := recall(t.Context(), path, old)
	if err != nil {
		t.Fatal(err)
	}
	s = settings{again}
	if got, step := s.routine(); got != name || step != 2 {
		t.Errorf("the routine is %q, step %d", got, step)
	}
	if got := s.draft(name); got.Step != "Run" {
		t.Errorf("the draft is %+v", got)
	}
}
