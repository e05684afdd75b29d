package routines

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"footing/ladder/bundle"
)

// duo is a score of two parts, the second of two voices.
const duo = `<score-partwise version="4.0"><work><work-title>Weir Street March</work-title></work><part-list>
<score-part id="P1"><part-name>Bassoon</part-name></score-part><score-part id="P2"><part-name>Horns</part-name></score-part></part-list>
<part id="P1"><measure number="1"><attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time><clef><sign>F</sign><line>4</line></clef></attributes>
<direction><direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>104</per-minute></metronome></direction-type></direction>
<note><pitch><step>C</step><octave>3</octave></pitch><duration>4</duration></note></measure></part>
<part id="P2"><measure number="1"><attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>
<note><pitch><step>C</step><octave>4</octave></pitch><duration>2</duration><voice>1</voice></note><note><pitch><step>D</step><octave>4</octave></pitch><duration>2</duration><voice>1</voice></note>
<backup><duration>4</duration></backup><note><pitch><step>E</step><octave>3</octave></pitch><duration>4</duration><voice>2</voice></note></measure></part></score-partwise>`

// alone is a score of one part.
var alone = duo[:strings.Index(duo, `<part id="P2">`)] + "</score-partwise>"

func elsewhere(t *testing.T, name, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestAScoreOfOnePartIsOpenedAtOnce(t *testing.T) {
	r := newRig(t)
	r.write("weir-street-march.yaml", "footing: 1\nname: Weir Street March\nsteps:\n  - name: Mine\n")
	r.write("march.musicxml", "mine")
	r.Take(elsewhere(t, "march.musicxml", strings.Replace(alone, `<score-part id="P2"><part-name>Horns</part-name></score-part>`, "", 1)))
	want := `footing: 1
name: Weir Street March
steps:
  - name: Bassoon
    passage: {piece: Weir Street March}
    tempo: {from: 62, goal: 104}
    score: march 2.musicxml
    instrument: bassoon
`
	if got := r.read("weir-street-march 2.yaml"); got != want {
		t.Errorf("the routine is\n%swant\n%s", got, want)
	}
	if r.begun == nil || filepath.Base(r.begun.Path()) != "weir-street-march 2.yaml" || r.opening != nil {
		t.Errorf("begun is %v", r.begun)
	}
	if r.read("march.musicxml") != "mine" || !strings.Contains(r.read("weir-street-march.yaml"), "Mine") {
		t.Error("a file of the player's was written over")
	}
	// The same again has the same copy.
	r.Take(filepath.Join(r.dir, "march 2.musicxml"))
	if got := r.read("weir-street-march 3.yaml"); got != want {
		t.Errorf("again the routine is\n%s", got)
	}
}

func TestThePartIsChosenByKeys(t *testing.T) {
	for name, tt := range map[string]struct {
		keys  []string
		score string // of the step, empty where nothing is opened
	}{
		"the first":        {[]string{"Return"}, "score: {file: duo.xml, part: Bassoon}"},
		"the second voice": {[]string{"Down", "Down", "Down", "Up", "Down", "KP_Enter"}, `score: {file: duo.xml, part: Horns, voice: 2}`},
		"none":             {[]string{"x", "Space"}, ""},
	} {
		t.Run(name, func(t *testing.T) {
			r := newRig(t)
			r.Take(elsewhere(t, "duo.xml", duo))
			if words := r.words(); !strings.Contains(words, "Which part do you play?") || !strings.Contains(words, "Horns, voice 2") || !strings.Contains(words, "2 notes from C4 to D4, bar 1") {
				t.Fatalf("the page says\n%s", words)
			}
			for _, key := range tt.keys {
				r.Key(key, false)
			}
			if tt.score == "" {
				if r.begun != nil || r.opening == nil {
					t.Error("something was opened")
				}
				if err := r.Leave(); err != nil || r.opening != nil {
					t.Errorf("leaving does not give it up: %v", err)
				}
				r.Enter()
				if found, _ := filepath.Glob(filepath.Join(r.dir, "*.xml")); len(found) > 0 || !strings.Contains(r.words(), "other.yaml") {
					t.Errorf("it leaves %v and shows\n%s", found, r.words())
				}
				return
			}
			if got := r.read("weir-street-march.yaml"); !strings.Contains(got, tt.score) {
				t.Errorf("the routine is\n%swant %s", got, tt.score)
			}
		})
	}
}

func TestWhatCanNotBeOpenedIsSaidInASentence(t *testing.T) {
	large := elsewhere(t, "large.xml", "<")
	if err := os.Truncate(large, 65<<20); err != nil {
		t.Fatal(err)
	}
	folder := filepath.Join(t.TempDir(), "march.musicxml")
	if err := os.Mkdir(folder, 0o700); err != nil {
		t.Fatal(err)
	}
	for name, tt := range map[string]struct {
		paths []string
		says  string
	}{
		"a folder":      {[]string{folder}, "march.musicxml: it is a folder."},
		"large":         {[]string{large}, "large.xml: the score is too large: 65 MiB, and at most 64 are read."},
		"another text":  {[]string{elsewhere(t, "notes.txt", "half hole on G")}, "A score is a file in MusicXML"},
		"a tune":        {[]string{elsewhere(t, "weir.abc", "X:1\nK:C\nCDEF|\n")}, "weir.abc: this is a tune in ABC, which is typed rather than opened; paste the notes below its K: line into the notes field"},
		"no such file":  {[]string{filepath.Join(t.TempDir(), "gone.mxl")}, "gone.mxl: there is no such file."},
		"two":           {[]string{large, folder}, "These are 2 files; open one score, or one routine, at a time."},
		"another score": {[]string{elsewhere(t, "list.xml", "<opus/>")}, "list.xml: this is an opus"},
		"rests":         {[]string{elsewhere(t, "rests.xml", strings.NewReplacer("<pitch><step>C</step><octave>3</octave></pitch>", "<rest/>", `<score-part id="P2"><part-name>Horns</part-name></score-part>`, "").Replace(alone))}, "rests.xml: the score has no notes to practise"},
		"no meter":      {[]string{elsewhere(t, "free.xml", strings.NewReplacer("<time><beats>4</beats><beat-type>4</beat-type></time>", "", `<score-part id="P2"><part-name>Horns</part-name></score-part>`, "").Replace(alone))}, "Bassoon: bar 1 has no meter."},
	} {
		r := newRig(t)
		r.Take(tt.paths...)
		if words := r.words(); !strings.Contains(words, tt.says) || strings.Contains(words, "Reading") {
			t.Errorf("%s: the page says\n%s\nwant %s", name, words, tt.says)
		}
		if r.begun != nil {
			t.Errorf("%s: opened", name)
		}
		if found, _ := filepath.Glob(filepath.Join(r.dir, "*")); len(found) != 2 {
			t.Errorf("%s: leaves %v", name, found)
		}
	}
}

// While the disk is slow the view goes on, and a score that was given up is never
// opened.
func TestAScoreThatIsGivenUp(t *testing.T) {
	r := newRig(t)
	var jobs []func()
	r.o.Read = func(read, show func()) { jobs = append(jobs, func() { read(); show() }) }
	goOn := func() {
		for len(jobs) > 0 {
			job := jobs[0]
			jobs = jobs[1:]
			job()
		}
	}
	r.Take(elsewhere(t, "duo.xml", duo))
	if words := r.words(); !strings.Contains(words, "Reading duo.xml") {
		t.Errorf("says\n%s", words)
	}
	if err := r.Leave(); err != nil {
		t.Fatal(err)
	}
	goOn()
	if r.opening != nil || r.begun != nil {
		t.Error("it is opened all the same")
	}
	r.Take(elsewhere(t, "duo.xml", duo))
	goOn()
	r.Key(string(fyne.KeyReturn), false)
	r.Key(string(fyne.KeyReturn), false)
	r.giveUp()
	goOn()
	if found, _ := filepath.Glob(filepath.Join(r.dir, "*.xml")); r.begun != nil || r.opening != nil || len(found) > 0 {
		t.Errorf("given up it leaves %v, and shows %v", found, r.opening)
	}
}

func TestARoutineThatIsGivenIsOpened(t *testing.T) {
	r := newRig(t)
	r.Take(elsewhere(t, "theirs.yaml", "footing: 1\nname: Theirs\nsteps:\n  - name: Only\n"))
	if r.stepNames() != "Only" || r.desk.now.Name != "Theirs" {
		t.Errorf("open is %q", r.desk.now.Name)
	}
}

// What is typed and cannot be read is not lost to a score.
func TestAFieldAtFaultComesBeforeAScore(t *testing.T) {
	r := newRig(t)
	r.pick("Other")
	r.form.inputs["meter"].set("four")
	r.Take(elsewhere(t, "duo.xml", duo))
	if r.opening != nil || !strings.Contains(r.words(), "not saved: meter") {
		t.Errorf("says\n%s", r.words())
	}
}

// A routine that came with its scores as one file is unpacked beside the player's own,
// and opened; what is no such file is told of in one sentence.
func TestABundleIsUnpacked(t *testing.T) {
	from := t.TempDir()
	for name, text := range map[string]string{"runs.yaml": "footing: 1\nname: Sent\nsteps:\n  - name: Run\n    score: duo.xml\n", "duo.xml": duo} {
		if err := os.WriteFile(filepath.Join(from, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	sent, err := os.Create(filepath.Join(t.TempDir(), "sent.zip"))
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(bundle.Pack(context.Background(), sent, filepath.Join(from, "runs.yaml")), sent.Close()); err != nil {
		t.Fatal(err)
	}
	r := newRig(t)
	r.Take(sent.Name())
	if r.desk == nil || r.desk.now.Name != "Sent" || r.opening != nil {
		t.Fatalf("it says\n%s", r.words())
	}
	if got := r.read("duo.xml"); got != duo {
		t.Errorf("the score is\n%s", got)
	}
	r = newRig(t)
	r.Take(elsewhere(t, "other.zip", "half hole on G"))
	if words := r.words(); !strings.Contains(words, "This routine cannot be unpacked") || !strings.Contains(words, "other.zip: ") || !strings.Contains(words, "It was left as it is.") {
		t.Errorf("it says\n%s", words)
	}
}
