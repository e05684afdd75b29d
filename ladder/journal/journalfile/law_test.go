package journalfile

import (
	"fmt"
	"path/filepath"
	"reflect"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/journal"
	"footing/ladder/march"
)

// What the book knows is what it would know after reading the journal again,
// whatever was put; also when some of it was put twice, as by a program that was
// killed between writing and forgetting it.
func TestTheBookIsWhatTheJournalSays(t *testing.T) {
	dir, n := t.TempDir(), 0
	rapid.Check(t, func(t *rapid.T) {
		n++
		path := filepath.Join(dir, fmt.Sprint(n, ".db"))
		f := New(path, clock)
		defer f.Close()
		book, opened := journal.NewBook(nil), 0
		put := func(e journal.Entry) {
			book.Apply(e)
			for range rapid.IntRange(1, 2).Draw(t, "times") {
				f.Put(e)
			}
		}
		for range rapid.IntRange(1, 12).Draw(t, "entries") {
			switch rapid.IntRange(0, 6).Draw(t, "kind") {
			default:
				put(drawRep(t, opened))
			case 2:
				e := drawRep(t, opened)
				put(e)
				put(journal.Entry{Gone: e.Rep})
			case 0:
				var steps []ladder.Step
				for i := range rapid.IntRange(1, 3).Draw(t, "steps") {
					steps = append(steps, march.Step(func(s *ladder.Step) {
						s.Name = fmt.Sprint("run ", rapid.IntRange(0, 4).Draw(t, "name"), "/", i)
						s.Passage.To = 20 + rapid.IntRange(0, 1).Draw(t, "to")
					}))
				}
				f.Put(book.Meet("/b.yaml", steps)...)
			case 1:
				put(journal.Entry{Left: &journal.Left{Place: drawPlace(t), At: morning, Stood: ladder.Bookmark{Tempo: click.BPM(rapid.IntRange(60, 70).Draw(t, "left"))}}})
			}
			if rapid.Bool().Draw(t, "write") {
				f.Write(noTest)
				if rapid.Bool().Draw(t, "reopen") {
					if err := f.Close(); err != nil {
						t.Fatal(err)
					}
					found, err := f.Known(noTest)
					if err != nil {
						t.Fatal(err)
					}
					book = journal.NewBook(found)
					opened++
				}
			}
		}
		f.Write(noTest)
		found, err := f.Known(noTest)
		if err != nil {
			t.Fatal(err)
		}
		got, want := journal.NewBook(found).All(), book.All()
		if !slices.EqualFunc(got, want, same) {
			t.Fatalf("the journal says\n%+v\nthe book\n%+v", got, want)
		}
	})
}

func same(a, b journal.History) bool {
	if !a.LeftAt.Equal(b.LeftAt) || len(a.Days) != len(b.Days) {
		return false
	}
	for i := range a.Days {
		a.Days[i].Looped, b.Days[i].Looped = a.Days[i].Looped.Round(time.Second/10), b.Days[i].Looped.Round(time.Second/10)
		if a.Days[i] != b.Days[i] {
			return false
		}
	}
	a.LeftAt, b.LeftAt, a.Days, b.Days = time.Time{}, time.Time{}, nil, nil
	return reflect.DeepEqual(a, b)
}

func drawPlace(t *rapid.T) journal.Place {
	return journal.Place{
		Routine: rapid.SampledFrom([]string{"/a.yaml", "/b.yaml"}).Draw(t, "routine"),
		Step:    fmt.Sprint("run ", rapid.IntRange(0, 4).Draw(t, "name"), "/0"),
	}
}

// drawRep draws a rep of one of the sessions that there are while the journal is
// open for the nth time: no session goes on in another program.
func drawRep(t *rapid.T, nth int) journal.Entry {
	session := rapid.IntRange(1, 3).Draw(t, "session") + 10*nth
	start := morning.AddDate(0, 0, session)
	return rep(rapid.IntRange(1, 8).Draw(t, "number"), ladder.Verdict(rapid.IntRange(0, 3).Draw(t, "verdict")), func(r *journal.Rep) {
		r.Session = journal.Session{Key: int64(session), Start: start}
		// A rep is of one place, whatever is said of it later.
		r.Place = journal.Place{Routine: "/a.yaml", Step: fmt.Sprint("run ", (r.Number+session)%5, "/0")}
		r.At = start.Add(time.Duration(r.Number) * time.Minute)
		r.Tempo = click.BPM(64 + 4*rapid.IntRange(0, 3).Draw(t, "rung"))
		r.Form.Clean = 1 + r.Number%2
		r.Whole = rapid.Bool().Draw(t, "whole")
	})
}
