package export

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"pgregory.net/rapid"

	"footing/audio/click"
	"footing/audio/timbre"
	"footing/audio/track"
	"footing/ladder"
	"footing/ladder/conduct"
)

// march is a routine of two short steps: rungs of 60, 64 and 66 bpm, and of 66 alone.
func march() ladder.Routine {
	run := ladder.DefaultStep()
	run.Name = "Weir Street run"
	run.Passage = ladder.Passage{Piece: "Weir Street March", From: 17, To: 20}
	run.Chunk = ladder.Chunk{Bar: 18, Length: click.Whole(1)}
	run.Tempo = ladder.Range{From: click.BPM(60), Goal: click.BPM(66), By: ladder.StepSize{Kind: ladder.ByBPM, Amount: 4000}}
	run.CountIn, run.Breath, run.Reps = 1, 1, 2
	run.Rule.Kind = ladder.Earned
	trio := run
	trio.Name = "Trio"
	trio.Tempo.From = click.BPM(66)
	return ladder.Routine{Name: "Morning runs", Steps: []ladder.Step{run, trio}}
}

func maker(t *testing.T, k Kind) Maker {
	t.Helper()
	kit, err := timbre.Make("wood", 48_000)
	if err != nil {
		t.Fatal(err)
	}
	return Maker{Kind: k, Percussion: conduct.WoodBlocks, Rendition: conduct.Rendition{Rate: 48_000, Kit: &kit, Volume: 0.5}}
}

func titles(pieces []Piece) string {
	var out []string
	for _, p := range pieces {
		out = append(out, p.Title)
	}
	return strings.Join(out, "; ")
}

func TestPieces(t *testing.T) {
	r := march()
	for _, tt := range []struct {
		got  []Piece
		want string
	}{
		{[]Piece{Whole(r)}, "Morning runs"},
		{Steps(r), "Weir Street run; Trio"},
		{Rungs(r), "Weir Street run, 60 bpm; Weir Street run, 64 bpm; Weir Street run, 66 bpm; Trio, 66 bpm"},
	} {
		if got := titles(tt.got); got != tt.want {
			t.Errorf("the pieces are %q, want %q", got, tt.want)
		}
		for _, p := range tt.got {
			if faults := p.Routine.Check(); faults != nil {
				t.Errorf("%s: %v", p.Title, faults)
			}
		}
	}
	for tempo, want := range map[int]string{64: "Weir Street run, 64 bpm", 66: "Weir Street run, 66 bpm; Trio, 66 bpm"} {
		got, err := Rung(r, click.BPM(tempo))
		if err != nil || titles(got) != want {
			t.Errorf("the rung %d is %q (%v), want %q", tempo, titles(got), err, want)
		}
	}
	if both, _ := Rung(r, click.BPM(66)); Joined(both).Title != "Morning runs, 66 bpm" || len(Joined(both).Routine.Steps) != 2 {
		t.Errorf("joined they are %q", Joined(both).Title)
	}
	if one, _ := Rung(r, click.BPM(64)); Joined(one).Title != "Weir Street run, 64 bpm" {
		t.Errorf("one alone is %q", Joined(one).Title)
	}
	_, err := Rung(r, click.BPM(62))
	if want := `no step has a rung of 62 bpm; the rungs are "Weir Street run": 60, 64, 66; "Trio": 66`; err == nil || err.Error() != want {
		t.Errorf("no such rung: %v, want %s", err, want)
	}
	many := march()
	many.Steps[0].Tempo.Goal = click.BPM(200)
	for _, name := range []string{"c", "d", "e", "f"} {
		s := many.Steps[1]
		s.Name = name
		many.Steps = append(many.Steps, s)
	}
	_, err = Rung(many, click.BPM(62))
	if want := `60, 64, 68, 72, 76, …, 192, 196, 200; "Trio": 66; "c": 66; and those of 3 more steps`; err == nil || !strings.HasSuffix(err.Error(), want) {
		t.Errorf("many rungs: %v, want %s", err, want)
	}
}

// A rung has the step's reps at its tempo and nothing else, whatever the rule.
func TestARungIsItsReps(t *testing.T) {
	for rule := ladder.Steady; rule <= ladder.Arch; rule++ {
		r := march()
		r.Steps[0].Rule.Kind, r.Steps[0].Reps = rule, 3
		reps := 0
		for part := range conduct.HandsFree(Rungs(r)[1].Routine) {
			if part.Kind == click.Rep {
				reps++
			}
			if part.Tempo != click.BPM(64) {
				t.Errorf("%v: a phrase at %s", rule, part.Tempo)
			}
		}
		if reps != 3 {
			t.Errorf("%v: %d reps", rule, reps)
		}
	}
}

// Names can stand on the file systems of phones, and sort as they are counted.
func TestFileName(t *testing.T) {
	for _, tt := range []struct {
		n, of int
		title string
		want  string
	}{
		{3, 9, "Weir Street run, 66.5 bpm", "03 Weir Street run, 66.5 bpm.flac"},
		{7, 120, `a/b\c:d*e?"f"<g>|h`, "007 a-b-c-d-e--f--g--h.flac"},
		{1, 1, "a\x00b\x1b\u202ec...  ", "01 abc.flac"},
		{1, 1, "...", "01 .flac"},
	} {
		if got := FileName(tt.n, tt.of, tt.title, FLAC); got != tt.want {
			t.Errorf("%q is called %q, want %q", tt.title, got, tt.want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		of := rapid.IntRange(1, MaxFiles).Draw(t, "of")
		title := rapid.String().Draw(t, "title")
		var names []string
		for n := 1; n <= of; n += max(1, of/20) {
			name := FileName(n, of, title, MIDI)
			if len(name) > 200 || !utf8.ValidString(name) || strings.ContainsAny(name, `<>:"/\|?*`) || strings.ContainsFunc(name, unicode.IsControl) || !strings.HasSuffix(name, ".mid") {
				t.Fatalf("%q is called %q", title, name)
			}
			names = append(names, name)
		}
		if !slices.IsSorted(names) {
			t.Fatalf("%q do not sort", names)
		}
	})
	long := FileName(1, 1, strings.Repeat("é", 200), WAV)
	if want := "01 " + strings.Repeat("é", longestName/2) + ".wav"; long != want {
		t.Errorf("a long title gives %q", long)
	}
}

// FLAC holds the samples of the WAV file, by Debian's flac, and its title; MIDI is read
// by midicsv.
func TestKindsOfFiles(t *testing.T) {
	dir, p := t.TempDir(), Rungs(march())[0]
	var made [3]Made
	for k := range made {
		m := maker(t, Kind(k))
		m.Encoding = track.Int24
		var err error
		if made[k], err = m.Write(t.Context(), filepath.Join(dir, "run."+Kind(k).String()), p); err != nil {
			t.Fatal(err)
		}
	}
	// A count-in, then twice a beat and the breath.
	if a := made[WAV]; a.Frames != 5*48_000 || a.Length.Seconds() != 5 || a.Rungs != 1 || a.Reps != 2 {
		t.Errorf("the WAV file is %+v", a)
	}
	if a, b := made[WAV], made[FLAC]; a.Frames != b.Frames || a.Reps != b.Reps {
		t.Errorf("the FLAC file is %+v", b)
	}
	if c := made[MIDI]; c.Frames != 0 || c.Length != made[WAV].Length || c.Rungs != 1 || c.Reps != 2 {
		t.Errorf("the MIDI file is %+v", c)
	}
	back := filepath.Join(dir, "back.wav")
	tool(t, "flac", "-s", "-t", made[FLAC].Path)
	tool(t, "flac", "-s", "-d", "-o", back, made[FLAC].Path)
	if !bytes.Equal(samples(t, back), samples(t, made[WAV].Path)) {
		t.Error("the FLAC file holds other samples than the WAV file")
	}
	if tags := tool(t, "metaflac", "--export-tags-to=-", made[FLAC].Path); tags != "TITLE=Weir Street run, 60 bpm\n" {
		t.Errorf("the tags are %q", tags)
	}
	if csv := tool(t, "midicsv", made[MIDI].Path); !strings.Contains(csv, `Title_t, "Weir Street run, 60 bpm"`) || strings.Count(csv, "Marker_t") != 3 {
		t.Errorf("the MIDI file is\n%s", csv)
	}
}

// samples is the sound of a WAV file as sox reads it.
func samples(t *testing.T, path string) []byte {
	t.Helper()
	return []byte(tool(t, "sox", path, "-t", "raw", "-e", "signed", "-b", "24", "-"))
}

func tool(t *testing.T, name string, args ...string) string {
	t.Helper()
	out, err := exec.CommandContext(t.Context(), name, args...).Output()
	if err != nil {
		t.Fatalf("%s %q: %v", name, args, err)
	}
	return string(out)
}

// A folder is made, numbered and tagged; other files in it stay.
func TestWriteAll(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "phone")
	m := maker(t, FLAC)
	var seen []Progress
	m.Progress = func(p Progress) {
		if n := len(seen); n == 0 || seen[n-1].File != p.File {
			seen = append(seen, p)
		}
	}
	for range 2 {
		all, err := m.WriteAll(t.Context(), dir, Rungs(march()), "Morning runs")
		if err != nil || len(all) != 4 || all[3].Path != filepath.Join(dir, "04 Trio, 66 bpm.flac") {
			t.Fatalf("%+v, %v", all, err)
		}
		if got := tool(t, "metaflac", "--export-tags-to=-", all[1].Path); got != "TITLE=Weir Street run, 64 bpm\nALBUM=Morning runs\nTRACKNUMBER=2\nTRACKTOTAL=4\n" {
			t.Errorf("the tags are %q", got)
		}
	}
	if len(seen) != 8 || seen[1].Number != 2 || seen[1].Of != 4 || seen[1].File != "02 Weir Street run, 64 bpm.flac" {
		t.Errorf("progress is %+v", seen)
	}
	ctx, cancel := context.WithCancel(t.Context())
	m.Progress = func(p Progress) {
		if p.Number == 3 {
			cancel()
		}
	}
	dir = t.TempDir()
	all, err := m.WriteAll(ctx, dir, Rungs(march()), "")
	if there, _ := os.ReadDir(dir); !errors.Is(err, context.Canceled) || len(all) != 2 || len(there) != 2 {
		t.Errorf("stopped in the third, %d files were written (%v), %d are there", len(all), err, len(there))
	}
}

func TestWhatCannotBeWritten(t *testing.T) {
	m := maker(t, WAV)
	dir := t.TempDir()
	file := filepath.Join(dir, "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		folder, want string
		pieces       []Piece
	}{
		{filepath.Join(dir, "none", "phone"), "there is no folder " + filepath.Join(dir, "none") + "; make it or give another name", nil},
		{filepath.Join(dir, "none", "phone") + "/", "there is no folder " + filepath.Join(dir, "none") + "; make it or give another name", nil},
		{file, file + " is no folder; give another name", nil},
		{filepath.Join(file, "phone"), "making the folder " + filepath.Join(file, "phone") + ": not a directory", nil},
		{dir, "too long for one file: 1000 files would be written and 999 are the most; take fewer steps", make([]Piece, MaxFiles+1)},
	} {
		if _, err := m.WriteAll(t.Context(), tt.folder, tt.pieces, ""); err == nil || err.Error() != tt.want {
			t.Errorf("%s: %v, want %s", tt.folder, err, tt.want)
		}
	}
	long := Whole(march())
	long.Routine.Steps[0].Tempo = ladder.Range{From: click.MinTempo, Goal: click.BPM(20), By: ladder.StepSize{Kind: ladder.ByBPM, Amount: 100}}
	long.Routine.Steps[0].Reps, long.Routine.Steps[0].Rule = 99, ladder.Rule{Kind: ladder.Steady}
	if _, err := m.Write(t.Context(), filepath.Join(dir, "long.wav"), long); !errors.Is(err, ErrTooLong) || !strings.Contains(err.Error(), "Morning runs lasts ") {
		t.Errorf("too long: %v", err)
	}
}

// A model that fades from rung to rung fades in the files of rungs too.
func TestAFadingModelFadesFromFileToFile(t *testing.T) {
	m := maker(t, MIDI)
	m.Rendition.Model = ladder.ModelFades
	m.Rendition.Tones = func(ladder.Step, click.Phrase) []click.Tone {
		return []click.Tone{{Length: click.Whole(1), Pitch: click.Key(60), Level: 1}}
	}
	all, err := m.WriteAll(t.Context(), t.TempDir(), Rungs(march()), "")
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, made := range all {
		loudest := "-"
		for line := range strings.Lines(tool(t, "midicsv", made.Path)) {
			if f := strings.Split(strings.TrimSpace(line), ", "); f[2] == "Note_on_c" && f[3] == "0" {
				loudest = f[5]
			}
		}
		got = append(got, loudest)
	}
	if want := "80 40 - 80"; strings.Join(got, " ") != want { // a single rung does not fade
		t.Errorf("velocities from rung to rung are %v, want %s", got, want)
	}
}

func TestVoices(t *testing.T) {
	// General MIDI Level 1 Sound Set, which counts from 1.
	for name, want := range map[string]int{
		"bassoon": 71, "contrabassoon": 71, "clarinet in B flat": 72, "bass clarinet": 72, "alto flute": 74, "piccolo": 73,
		"English horn": 70, "horn in F": 61, "baritone saxophone": 68, "saxophone": 66, "trumpet in C": 57, "oboe": 69, "": 80,
	} {
		if got := ProgramOf(name) + 1; got != want {
			t.Errorf("%q plays program %d, want %d", name, got, want)
		}
	}
	if PercussionOf("metal") != conduct.Cowbell || PercussionOf("wood") != conduct.WoodBlocks {
		t.Error("metal and wood are not told apart")
	}
}

func TestKinds(t *testing.T) {
	for path, want := range map[string]Kind{"a.wav": WAV, "b.FLAC": FLAC, "c.mid": MIDI, "d.midi": MIDI} {
		if k, err := KindOf(path); err != nil || k != want {
			t.Errorf("%s is %v (%v)", path, k, err)
		}
	}
	if _, err := KindOf("a.mp3"); err == nil || !strings.Contains(err.Error(), "a name that ends in .wav, .flac or .mid") {
		t.Errorf("a.mp3: %v", err)
	}
	for _, end := range Endings() {
		if k, err := ParseKind(end); err != nil || k.String() != end {
			t.Errorf("%s is %v (%v)", end, k, err)
		}
	}
	if _, err := ParseKind("mp3"); err == nil || err.Error() != `"mp3" is no kind of file; write wav, flac or mid` {
		t.Errorf("mp3: %v", err)
	}
}

// A step whose beats come from one side is written in two channels: the same marks, and
// what is left is not right. Its FLAC file holds the same samples, by Debian's flac; sox
// and our own reader find channels, samples and marks where they are.
func TestTwoSidesInFiles(t *testing.T) {
	dir := t.TempDir()
	p := Rungs(march())[0]
	p.Routine.Steps[0].Slots = click.EvenSlots(2)
	m := maker(t, WAV)
	m.Encoding = track.Int24
	m.Rendition.Sounds = conduct.NewSounds(48_000, func() float64 { return 440 })
	one, err := m.Write(t.Context(), filepath.Join(dir, "one.wav"), p)
	if err != nil {
		t.Fatal(err)
	}
	p.Routine.Steps[0].Sounds.Stereo = ladder.BeatsLeft
	two, err := m.Write(t.Context(), filepath.Join(dir, "two.wav"), p)
	if err != nil {
		t.Fatal(err)
	}
	if one.Frames != two.Frames || one.Length != two.Length {
		t.Errorf("in one channel %+v, in two %+v", one, two)
	}
	if got := tool(t, "sox", "--i", "-c", one.Path) + tool(t, "sox", "--i", "-c", two.Path) + tool(t, "sox", "--i", "-s", two.Path); got != fmt.Sprintf("1\n2\n%d\n", two.Frames) {
		t.Errorf("sox reads channels and frames as %q", got)
	}
	marks := func(path string) []track.Mark {
		f, err := track.Open(path)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		return f.Marks()
	}
	if a, b := marks(one.Path), marks(two.Path); len(a) != 3 || !slices.Equal(a, b) {
		t.Errorf("marks are %v in one channel, %v in two", a, b)
	}
	channel := func(n string) []byte {
		return []byte(tool(t, "sox", two.Path, "-t", "raw", "-e", "signed", "-b", "24", "-", "remix", n))
	}
	left, right := channel("1"), channel("2")
	sounds := func(x []byte, seconds float64) bool { // within 20 ms
		at := int(seconds * 48_000)
		return bytes.ContainsFunc(x[3*at:3*(at+960)], func(r rune) bool { return r != 0 })
	}
	for beat := range 4 { // of a second each: count-in, rep, breath, rep
		if !sounds(left, float64(beat)) || sounds(right, float64(beat)) {
			t.Errorf("beat %d is left %v, right %v", beat, sounds(left, float64(beat)), sounds(right, float64(beat)))
		}
		if half := float64(beat) + 0.5; beat != 2 && (sounds(left, half) || !sounds(right, half)) {
			t.Errorf("the slot at %v is left %v, right %v", half, sounds(left, half), sounds(right, half))
		}
	}
	m.Kind = FLAC
	packed, err := m.Write(t.Context(), filepath.Join(dir, "two.flac"), p)
	if err != nil {
		t.Fatal(err)
	}
	back := filepath.Join(dir, "back.wav")
	tool(t, "flac", "-s", "-d", "-o", back, packed.Path)
	if !bytes.Equal(samples(t, back), samples(t, two.Path)) {
		t.Error("the FLAC file holds other samples than the WAV file")
	}
}
