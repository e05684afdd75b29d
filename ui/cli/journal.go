package cli

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"github.com/adrg/xdg"

	"footing/files"
	"footing/ladder"
	"footing/ladder/journal"
	"footing/ladder/journal/journalfile"
	"footing/ladder/notes"
	"footing/ui/lesson"
)

// journalCmd tells what was practised.
type journalCmd struct {
	Since   string `help:"From this day on, such as 2026-03-01, or the last so many days, such as 7d." placeholder:"DAY"`
	Passage string `help:"Only this piece, or the step of this name." placeholder:"NAME"`
	CSV     bool   `name:"csv" help:"Write every rep as a line of comma-separated values."`
	JSON    bool   `name:"json" help:"Write every rep, session and pencil mark as one object."`
	Page    string `help:"Write a page for the teacher to this file, ending in .pdf; of the last seven days unless --since says otherwise." placeholder:"OUT.pdf"`
	File    string `help:"Another journal than the player's own." placeholder:"FILE.db"`
}

// Help is the long help.
func (journalCmd) Help() string {
	return `The journal holds every rep that was played in the window, each day's pencil marks, and how long the click was looped. A
footing is the fastest tempo that was clean so often in a row as the step's rule asks for.

Of each rep, --csv and --json give when it ended (at), the session (its beginning), step, routine, piece, bars, the chunk (start,
beats, landing), angle, slots, pulse, rule, the rung from 1 (0 off the ladder), tempo and goal in beats a minute, the verdict
(clean, rough, skip, unjudged), by whom it was given, how sure the ears were, whether the rep was whole, and its seconds with the
breath after it.

Example:
  footing journal --since 7d
  footing journal --since 14d --page lesson.pdf
  footing journal --passage "Weir Street March" --csv > reps.csv`
}

// Run implements the command.
func (c journalCmd) Run(ctx context.Context, w World) error {
	which, err := c.which(w.now())
	if err != nil {
		return err
	}
	path := c.File
	if path == "" {
		path = journalfile.Path(filepath.Join(xdg.DataHome, "footing"))
	}
	r, err := journalfile.Read(ctx, path)
	if err != nil {
		return journalFault(path, err)
	}
	defer r.Close()
	switch {
	case c.Page != "":
		err = c.page(ctx, r, which, w.now())
	case c.CSV:
		err = c.csv(ctx, w, r, which)
	case c.JSON:
		err = c.json(ctx, w, r, which)
	default:
		err = c.text(ctx, w, r, which)
	}
	return journalFault(path, err)
}

// journalFault says whose fault it is that a journal can't be read.
func journalFault(path string, err error) error {
	var f *journalfile.Fault
	switch {
	case err == nil:
		return nil
	case errors.Is(err, fs.ErrNotExist):
		return inputFault(fmt.Errorf("%s: there is no journal yet; practise in the window first", files.Name(path)))
	case errors.As(err, &f) && (f.Kind == journalfile.Damaged || f.Kind == journalfile.Newer || errors.Is(err, files.ErrFolder) || errors.Is(err, files.ErrDevice)):
		return inputFault(err)
	}
	return machineFault(err)
}

// which reads the options.
func (c journalCmd) which(now time.Time) (journalfile.Filter, error) {
	if c.CSV && c.JSON {
		return journalfile.Filter{}, usageFault(errors.New("--csv and --json are two ways to write the same; leave one out"))
	}
	switch {
	case c.Page == "":
	case c.CSV || c.JSON || c.Passage != "":
		return journalfile.Filter{}, usageFault(errors.New("--page is of all that was played, and no text; leave --csv, --json and --passage out"))
	case !strings.EqualFold(filepath.Ext(c.Page), ".pdf"):
		return journalfile.Filter{}, usageFault(fmt.Errorf("%s: the page is written as PDF; write a name that ends in .pdf", files.Name(c.Page)))
	case c.Since == "":
		c.Since = "7d"
	}
	out := journalfile.Filter{Passage: c.Passage}
	if c.Since == "" {
		return out, nil
	}
	y, m, d := now.Date()
	if n, err := strconv.Atoi(strings.TrimSuffix(c.Since, "d")); err == nil && strings.HasSuffix(c.Since, "d") && n >= 1 && n <= 100_000 {
		out.Since = time.Date(y, m, d-n+1, 0, 0, 0, 0, now.Location())
		return out, nil
	}
	day, err := time.ParseInLocation(time.DateOnly, c.Since, now.Location())
	if err != nil {
		return out, usageFault(fmt.Errorf("--since %q is no day; write one such as 2026-03-01, or 7d for the last seven days", c.Since))
	}
	out.Since = day
	return out, nil
}

// page writes the lesson page.
func (c journalCmd) page(ctx context.Context, r *journalfile.Reader, which journalfile.Filter, now time.Time) error {
	page, err := lesson.Gather(ctx, lesson.Source{
		Reader: r,
		Step:   func(p journal.Place) (ladder.Step, bool) { return lesson.StepIn(ctx, p) },
		Notes:  func(p journal.Place, s ladder.Step) *notes.Notes { return lesson.NotesIn(ctx, p.Routine, s) },
	}, journal.DayOf(which.Since), journal.DayOf(now), now.Location())
	if err != nil {
		return err
	}
	return lesson.Save(ctx, c.Page, page, now)
}

// csv writes every rep as a line.
func (c journalCmd) csv(ctx context.Context, w World, r *journalfile.Reader, which journalfile.Filter) error {
	out := csv.NewWriter(w.Out)
	if err := out.Write(strings.Split("at,session,step,routine,piece,bars,start,beats,landing,angle,slots,pulse,rule,rung,tempo,goal,verdict,by,sure,whole,seconds", ",")); err != nil {
		return writeFault(err)
	}
	err := r.Reps(ctx, which, func(p journalfile.Played) error {
		f := p.Form
		return writeFault(out.Write([]string{
			p.At.Format(time.RFC3339), p.Session.Start.Format(time.RFC3339), p.Place.Step, p.Place.Routine, f.Piece, bars(f.From, f.To),
			f.Start, f.Beats, yes(f.Landing), f.Angle, f.Slots, f.Pulse, f.Rule, strconv.Itoa(p.Rung + 1), p.Tempo.String(), f.Goal.String(),
			p.Verdict.String(), p.Source.String(), strconv.FormatFloat(p.Sure, 'g', 4, 64), yes(p.Whole), fmt.Sprintf("%.2f", p.Looped.Seconds()),
		}))
	})
	if err != nil {
		return err
	}
	out.Flush()
	return writeFault(out.Error())
}

func yes(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

func bars(from, to int) string {
	if from == to {
		return strconv.Itoa(from)
	}
	return fmt.Sprintf("%d-%d", from, to)
}

func writeFault(err error) error {
	if err == nil {
		return nil
	}
	return machineFault(fmt.Errorf("writing the result: %w", err))
}

// repJSON is a rep as --json writes it.
type repJSON struct {
	At      string  `json:"at"`
	Session string  `json:"session"`
	Step    string  `json:"step"`
	Routine string  `json:"routine"`
	Piece   string  `json:"piece"`
	Bars    string  `json:"bars"`
	Start   string  `json:"start"`
	Beats   string  `json:"beats"`
	Landing bool    `json:"landing"`
	Angle   string  `json:"angle"`
	Slots   string  `json:"slots"`
	Pulse   string  `json:"pulse"`
	Rule    string  `json:"rule"`
	Rung    int     `json:"rung"`
	Tempo   float64 `json:"tempo"`
	Goal    float64 `json:"goal"`
	Verdict string  `json:"verdict"`
	By      string  `json:"by"`
	Sure    float64 `json:"sure"`
	Whole   bool    `json:"whole"`
	Seconds float64 `json:"seconds"`
}

// json writes one object, rep by rep: there may be a million.
func (c journalCmd) json(ctx context.Context, w World, r *journalfile.Reader, which journalfile.Filter) error {
	list := jsonList{w: w.Out}
	list.open(`{"reps":[`)
	err := r.Reps(ctx, which, func(p journalfile.Played) error {
		f := p.Form
		return list.add(repJSON{
			At: p.At.Format(time.RFC3339), Session: p.Session.Start.Format(time.RFC3339), Step: p.Place.Step, Routine: p.Place.Routine,
			Piece: f.Piece, Bars: bars(f.From, f.To), Start: f.Start, Beats: f.Beats, Landing: f.Landing, Angle: f.Angle,
			Slots: f.Slots, Pulse: f.Pulse, Rule: f.Rule, Rung: p.Rung + 1, Tempo: p.Tempo.BPM(), Goal: f.Goal.BPM(),
			Verdict: p.Verdict.String(), By: p.Source.String(), Sure: p.Sure, Whole: p.Whole, Seconds: p.Looped.Seconds(),
		})
	})
	if err != nil {
		return err
	}
	sessions, err := r.Sessions(ctx, which)
	if err != nil {
		return err
	}
	list.open(`],"sessions":[`)
	for _, s := range sessions {
		if err := list.add(map[string]any{
			"start": s.Start.Format(time.RFC3339), "end": s.End.Format(time.RFC3339), "minutes": s.Total.Looped.Minutes(),
			"reps": s.Total.Reps, "clean": s.Total.Clean,
		}); err != nil {
			return err
		}
	}
	marks, err := r.Marks(ctx, which)
	if err != nil {
		return err
	}
	list.open(`],"marks":[`)
	for _, m := range marks {
		if err := list.add(map[string]any{"at": m.At.Format(time.RFC3339), "step": m.Place.Step, "note": m.On, "text": m.Text}); err != nil {
			return err
		}
	}
	list.open("]}\n")
	return writeFault(list.err)
}

// jsonList writes lists of objects, and keeps the first error.
type jsonList struct {
	w   io.Writer
	n   int
	err error
}

func (l *jsonList) put(text string) {
	if l.err == nil {
		_, l.err = io.WriteString(l.w, text)
	}
}

func (l *jsonList) open(text string) {
	l.n = 0
	l.put(text)
}

func (l *jsonList) add(v any) error {
	data, err := json.Marshal(v)
	if err != nil {
		return err
	}
	if l.n++; l.n > 1 {
		l.put(",")
	}
	l.put(string(data))
	return writeFault(l.err)
}

// text writes day by day what was practised, the latest last.
func (c journalCmd) text(ctx context.Context, w World, r *journalfile.Reader, which journalfile.Filter) error {
	sessions, err := r.Sessions(ctx, which)
	if err != nil {
		return err
	}
	marks, err := r.Marks(ctx, which)
	if err != nil {
		return err
	}
	var b strings.Builder
	day := journal.Day(0)
	began := func(d journal.Day) {
		if d == day {
			return
		}
		if day != 0 {
			b.WriteByte('\n')
		}
		day = d
		b.WriteString(d.Time().Format("Monday, 2 January 2006\n"))
	}
	written := func(until time.Time) {
		for len(marks) > 0 && (until.IsZero() || marks[0].At.Before(until)) {
			m := marks[0]
			marks = marks[1:]
			if m.Text == "" {
				continue
			}
			began(journal.DayOf(m.At))
			at := ""
			if m.On != "" {
				at = " at " + m.On
			}
			fmt.Fprintf(&b, "        pencil%s, %s: %s\n", at, m.Place.Step, strings.ReplaceAll(m.Text, "\n", " / "))
		}
	}
	for _, s := range sessions {
		written(s.Start)
		began(journal.DayOf(s.Start))
		fmt.Fprintf(&b, "  %s  %s of looping, %s\n", s.Start.Format("15:04"), minutes(s.Total.Looped), tallied(s.Total))
		for _, p := range s.Steps {
			fmt.Fprintf(&b, "        %s: %s", p.Name, tallied(p.Tally))
			if p.Best != 0 {
				fmt.Fprintf(&b, ", best %s of %s", p.Best, p.Goal)
			}
			if p.Footing != 0 {
				fmt.Fprintf(&b, ", footing %s", p.Footing)
			}
			b.WriteByte('\n')
		}
	}
	written(time.Time{})
	if b.Len() == 0 {
		b.WriteString("nothing was played\n")
	}
	_, err = io.WriteString(w.Out, b.String())
	return writeFault(err)
}

func minutes(d time.Duration) string {
	if d < time.Minute {
		return fmt.Sprintf("%d s", int(d.Seconds()))
	}
	return fmt.Sprintf("%d min", int(d.Round(time.Minute).Minutes()))
}

func tallied(t journal.Tally) string {
	reps := "reps"
	if t.Reps == 1 {
		reps = "rep"
	}
	return fmt.Sprintf("%d %s, %d clean", t.Reps, reps, t.Clean)
}
