package lesson

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/journal"
	"footing/ladder/journal/journalfile"
	"footing/ladder/journal/years"
	"footing/ladder/notes"
)

var now = time.Date(2026, 3, 12, 20, 0, 0, 0, time.UTC)

// practised is ten weeks of practice.
func practised(t *testing.T, more ...journal.Entry) *journalfile.Reader {
	t.Helper()
	path := filepath.Join(t.TempDir(), "journal.db")
	f := journalfile.New(path, func() time.Time { return now })
	for entries := range years.Practice(5, now.AddDate(0, 0, -70), 70, 240, "/music/runs.yaml") {
		f.Put(entries...)
	}
	f.Put(more...)
	f.Write(t.Context())
	if _, err := f.Trouble(); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	r, err := journalfile.Read(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { r.Close() })
	return r
}

// source is the practice with the run's notes.
func source(t *testing.T, r *journalfile.Reader) Source {
	return Source{
		Reader: r,
		Step: func(p journal.Place) (ladder.Step, bool) {
			for _, s := range years.Routine().Steps {
				if s.Name == p.Step {
					return s, true
				}
			}
			return ladder.Step{}, false
		},
		Notes: func(p journal.Place, s ladder.Step) *notes.Notes {
			if p.Step != "Weir Street run" {
				return nil
			}
			s.Notes = ladder.Notes{
				Typed: ladder.TypedNotes{Key: "Bb", Unit: "1/16", Text: "B,,D,F,B, DB,F,E, D,F,B,D ECA,F, | B,DFD B,CDF GAFD ECA,F, |\n" +
					"G,A,B,C DEFG FDB,D CA,F,E, | D,F,E,C, B,,D,C,A,, F,,A,,C,E, B,,4 |"},
				Instrument: ladder.Instrument{Name: "bassoon"},
			}
			n, _, err := notes.Of(s, nil)
			if err != nil {
				t.Fatal(err)
			}
			return n
		},
	}
}

func TestWhatIsGathered(t *testing.T) {
	today := journal.DayOf(now)
	p, err := Gather(t.Context(), source(t, practised(t)), today-6, today, time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Passages) < 2 || p.Sessions == 0 {
		t.Fatalf("gathered %+v", p)
	}
	var sum time.Duration
	marks, notes := 0, 0
	for i, one := range p.Passages {
		sum += one.Period.Looped
		marks += len(one.Marks)
		if one.Notes != nil {
			notes++
		}
		if i > 0 && one.Period.Looped > p.Passages[i-1].Period.Looped {
			t.Errorf("%s comes after what was practised for less", one.Name)
		}
		for _, d := range one.Days {
			if d.Day > today || d.Day <= today-7*Weeks {
				t.Errorf("a day of %s lies outside", one.Name)
			}
		}
		if one.Period.Rough > 0 && !strings.Contains(one.Spot, "reps rough") {
			t.Errorf("of %s the hardest is %q", one.Name, one.Spot)
		}
	}
	if sum != p.Looped || marks == 0 || notes != 1 {
		t.Errorf("looped for %v in all, %v in the passages; %d marks, %d with notes", p.Looped, sum, marks, notes)
	}
}

// The page as other programs read it: one sheet with the words that belong on it.
func TestThePageIsOneSheet(t *testing.T) {
	long := []journal.Entry{}
	for i := range 12 { // more than there is room for, with names that are hard to print
		name := strings.Repeat("Übung – 日本 \U0001F3B5 ", 4) + string(rune('a'+i))
		long = append(long, years.Rep(name, now.Add(-time.Duration(i+1)*time.Minute), click.BPM(80), ladder.Clean))
	}
	today := journal.DayOf(now)
	for name, more := range map[string][]journal.Entry{"a week": nil, "a full week": long} {
		t.Run(name, func(t *testing.T) {
			p, err := Gather(t.Context(), source(t, practised(t, more...)), today-6, today, time.UTC)
			if err != nil {
				t.Fatal(err)
			}
			var a, b bytes.Buffer
			if err := Write(&a, p, now); err != nil {
				t.Fatal(err)
			}
			if err := Write(&b, p, now); err != nil || !bytes.Equal(a.Bytes(), b.Bytes()) {
				t.Errorf("written again it is another file, %v", err)
			}
			file := filepath.Join(t.TempDir(), "page.pdf")
			if err := os.WriteFile(file, a.Bytes(), 0o600); err != nil {
				t.Fatal(err)
			}
			info, err := exec.Command("pdfinfo", file).CombinedOutput()
			if err != nil || !strings.Contains(string(info), "Pages:           1\n") || !strings.Contains(string(info), "(A4)") {
				t.Errorf("%v\n%s", err, info)
			}
			text, err := exec.Command("pdftotext", "-layout", file, "-").CombinedOutput()
			for _, want := range []string{"Lesson page", "6–12 March 2026", "of looping in", "Weir Street run", "Weir Street March, bars 17–20", "best clean", "hardest: 18:"} {
				if err != nil || !strings.Contains(string(text), want) {
					t.Errorf("%q is not on the page, %v:\n%s", want, err, text)
				}
			}
			for _, odd := range []string{" of 0", "· 1 reps", "for 1 beats"} {
				if strings.Contains(string(text), odd) {
					t.Errorf("%q is on the page:\n%s", odd, text)
				}
			}
			if more := strings.Contains(string(text), "more, for which there is no room here"); more != (name == "a full week") {
				t.Errorf("it says that there is more: %v\n%s", more, text)
			}
		})
	}
}

func TestAnEmptyPage(t *testing.T) {
	var b bytes.Buffer
	if err := Write(&b, Page{From: 20000, To: 20006}, now); err != nil || b.Len() == 0 {
		t.Error(b.Len(), err)
	}
}
