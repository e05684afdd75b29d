package window

import (
	"context"
	"slices"
	"strings"
	"sync"
	"time"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/journal"
	"footing/ladder/journal/journalfile"
	"footing/ui/window/draw"
)

// diary is the window's way to the journal: what is played goes in, and where the
// player stood is known at once. It may be used from any goroutine, and waits for
// no disk but in open.
type diary struct {
	file *journalfile.File
	key  func() int64 // makes the key of a session

	mu      sync.Mutex
	book    *journal.Book
	known   bool            // the book knows what the journal does
	since   []journal.Entry // put before that
	session journal.Session
	last    time.Time                         // when something was played last
	put     map[int]journal.Rep               // open reps, as they were put last
	met     string                            // the routine whose steps the book has met last,
	names   []ladder.Step                     // and its steps then
	given   map[journal.Place]ladder.Bookmark // where steps were said to go on
	why     map[journal.Place]string          // and why there
	marked  map[journal.Place]ladder.Step     // steps with the pencil marks that were kept
	seen    map[journal.Place]ladder.Step     // and as they were looked at last
	old     []string                          // settings that the journal has taken over
}

func newDiary(file *journalfile.File, key func() int64) *diary {
	return &diary{
		file: file, key: key, book: journal.NewBook(nil), put: map[int]journal.Rep{},
		marked: map[journal.Place]ladder.Step{}, seen: map[journal.Place]ladder.Step{},
		given: map[journal.Place]ladder.Bookmark{}, why: map[journal.Place]string{},
	}
}

// open reads the journal. Where that takes longer than late allows, it goes on
// without, and known is called later, on some goroutine, once the book knows what
// there is.
func (d *diary) open(late <-chan time.Time, known func()) {
	done, gone := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(done)
		found, err := d.file.Known(context.Background())
		if err == nil {
			d.learn(found)
		}
		select {
		case <-gone:
			known()
		default:
		}
	}()
	select {
	case <-done:
	case <-late:
		close(gone)
	}
}

// learn takes in what the journal knew before anything was put.
func (d *diary) learn(found []journal.Found) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.book = journal.NewBook(found)
	for _, e := range d.since {
		d.book.Apply(e)
	}
	d.known, d.since, d.names = true, nil, nil
}

// keep puts an entry into the book and the journal; mu is held.
func (d *diary) keep(e journal.Entry) {
	d.book.Apply(e)
	d.putIn(e)
}

// putIn puts entries that the book has into the journal; mu is held.
func (d *diary) putIn(entries ...journal.Entry) {
	if !d.known {
		d.since = append(d.since, entries...)
	}
	d.file.Put(entries...)
}

// meet makes the steps of the routine that lies open known; what older settings
// knew of them is taken over.
func (d *diary) meet(path string, r ladder.Routine, set settings, now time.Time) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if path == d.met && slices.EqualFunc(r.Steps, d.names, sameThing) {
		return
	}
	d.met, d.names = path, r.Steps
	entries := d.book.Meet(path, r.Steps)
	d.putIn(entries...)
	for _, s := range r.Steps {
		d.takeOver(journal.Place{Routine: path, Step: s.Name}, set, now)
	}
}

// sameThing reports whether two steps are the same as far as their history goes.
func sameThing(a, b ladder.Step) bool {
	return a.Name == b.Name && a.Passage == b.Passage && a.Tempo.Goal == b.Tempo.Goal
}

// takeOver has the journal keep what settings kept of a step; mu is held.
func (d *diary) takeOver(p journal.Place, set settings, now time.Time) {
	name := p.Routine + "\x00" + p.Step
	lines, mark := set.p.StringList(keyBest+name), set.p.String(keyMark+name)
	if slices.Contains(d.old, name) || len(lines) == 0 && mark == "" {
		return
	}
	var last time.Time
	for _, line := range lines {
		day, tempo, _ := strings.Cut(line, " ")
		at, err := time.ParseInLocation(time.DateOnly, day, now.Location())
		t, err2 := click.ParseTempo(tempo)
		if err == nil && err2 == nil {
			d.keep(journal.Entry{Kept: &journal.Kept{Place: p, Day: journal.DayOf(at), Best: t}})
			last = at
		}
	}
	if h := d.book.Of(p); h.Stood == (ladder.Bookmark{}) && mark != "" {
		d.keep(journal.Entry{Left: &journal.Left{Place: p, At: last, Stood: journalfile.ParseBookmark(mark)}})
	}
	d.old = append(d.old, name)
}

// forget takes what the journal has taken over, and holds, out of the settings.
func (d *diary) forget(set settings) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if len(d.old) == 0 || d.file.Waiting() > 0 {
		return
	}
	for _, name := range d.old {
		set.p.SetStringList(keyBest+name, nil)
		set.p.SetString(keyMark+name, "")
	}
	d.old = nil
}

// bookmarks are where the routine's steps go on today.
func (d *diary) bookmarks(path string, r ladder.Routine, rule journal.StartRule, now time.Time) []ladder.Bookmark {
	d.mu.Lock()
	defer d.mu.Unlock()
	out := make([]ladder.Bookmark, len(r.Steps))
	for i, s := range r.Steps {
		p := journal.Place{Routine: path, Step: s.Name}
		out[i], d.why[p] = rule.Start(s, d.book.Of(p), journal.DayOf(now))
		d.given[p] = out[i]
	}
	return out
}

// whyHere says why a step went on where it did.
func (d *diary) whyHere(p journal.Place) string {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.why[p]
}

// left keeps where the player stands on each step, where that is news.
func (d *diary) left(path string, r ladder.Routine, stand []ladder.Bookmark, now time.Time) {
	d.mu.Lock()
	defer d.mu.Unlock()
	for i, b := range stand {
		p := journal.Place{Routine: path, Step: r.Steps[i].Name}
		if given, ok := d.given[p]; b == d.book.Of(p).Stood || ok && b == given {
			continue
		}
		delete(d.given, p) // from here on every change counts
		d.keep(journal.Entry{Left: &journal.Left{Place: p, At: now, Stood: b}})
	}
}

// ended keeps reps that a verdict can still reach, all that there are.
func (d *diary) ended(reps []ladder.Played, path string, r ladder.Routine, now time.Time) {
	d.mu.Lock()
	defer d.mu.Unlock()
	there := map[int]bool{}
	for _, p := range reps {
		there[p.Number] = true
		if rep, ok := d.rep(p, path, r, now); ok {
			d.put[p.Number] = rep
		}
	}
	for n, rep := range d.put {
		if !there[n] {
			// Broken off, and its verdict was taken back.
			delete(d.put, n)
			d.keep(journal.Entry{Gone: &rep})
		}
	}
}

// recorded keeps a rep for good.
func (d *diary) recorded(p ladder.Played, path string, r ladder.Routine, now time.Time) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.rep(p, path, r, now)
	delete(d.put, p.Number)
}

// rep keeps a rep, unless that is what was kept of it last; mu is held.
func (d *diary) rep(p ladder.Played, path string, r ladder.Routine, now time.Time) (journal.Rep, bool) {
	i := slices.IndexFunc(r.Steps, func(s ladder.Step) bool { return s.Name == p.Name })
	if i < 0 {
		i = p.Step // renamed while it was played
	}
	if i >= len(r.Steps) {
		return journal.Rep{}, false
	}
	p.Name = r.Steps[i].Name
	before, again := d.put[p.Number]
	in, at := before.Session, before.At
	if !again {
		if d.session.Key == 0 || now.Sub(d.last) > journal.Pause || now.Before(d.last.Add(-journal.Pause)) {
			d.session = journal.Session{Key: d.key(), Start: now}
		}
		in, at, d.last = d.session, now, now
	}
	rep := journal.Played(p, r.Steps[i], path, in, at)
	if again {
		rep.Form = before.Form // as it was when it was played
	}
	if !again || rep != before {
		d.keep(journal.Entry{Rep: &rep})
	}
	return rep, true
}

// marks keeps the pencil marks that the steps have got since they were looked at
// last; where settled is set, only what has stayed the same since then, and may so
// be taken for done.
func (d *diary) marks(path string, r ladder.Routine, settled bool, now time.Time) {
	d.mu.Lock()
	defer d.mu.Unlock()
	for _, s := range r.Steps {
		p := journal.Place{Routine: path, Step: s.Name}
		kept, known := d.marked[p]
		if !known {
			d.marked[p], d.seen[p] = s, s
			continue
		}
		if settled && len(journal.Marks(p, d.seen[p], s, now)) > 0 {
			d.seen[p] = s
			continue
		}
		for _, m := range journal.Marks(p, kept, s, now) {
			d.keep(journal.Entry{Mark: &m})
		}
		d.marked[p], d.seen[p] = s, s
	}
}

// all is every history.
func (d *diary) all() []journal.History {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.book.All()
}

// of is what is known of a step.
func (d *diary) of(p journal.Place) journal.History {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.book.Of(p)
}

// journalPatience is how long the window waits, before it is shown, to know where
// the player stood.
const journalPatience = 2 * time.Second

// journalled says whether the journal can be written, and puts away what it has
// taken over.
func (w *Window) journalled() {
	nowhere, err := w.journal.Trouble()
	m := draw.NoticeModel{}
	switch {
	case nowhere > 0:
		m = draw.NoticeModel{Text: capital(err.Error()) + ", nor any file beside it: what you play is kept only while the window is open", Warm: true}
	case err != nil:
		m = draw.NoticeModel{Text: capital(err.Error()) + ": what you play goes beside it, and in when that can be", Warm: true}
	}
	w.notify(noticeJournal, m)
	w.diary.forget(w.set)
}

// whyHere says why the step at the Stand went on where it did.
func (w *Window) whyHere() {
	step := w.session.View().State.Step().Name
	w.stand.Say(w.diary.whyHere(journal.Place{Routine: w.doc.Load().Path(), Step: step}), false)
}
