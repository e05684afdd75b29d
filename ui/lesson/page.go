// Package lesson makes the lesson page: on one sheet of paper, for the teacher, what
// was practised, how each passage stands, where it is hard, and what the player
// wrote.
package lesson

import (
	"context"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math"
	"slices"
	"strings"
	"time"

	"footing/ladder"
	"footing/ladder/counted"
	"footing/ladder/journal"
	"footing/ladder/journal/journalfile"
	"footing/ladder/notes"
	"footing/ui/engrave"
	"footing/ui/engrave/paint"
	"footing/ui/palette"
)

// Page is what stands on the page.
type Page struct {
	From, To journal.Day
	Sessions int
	Looped   time.Duration
	Passages []Passage // those of most minutes first
}

// Passage is a step and how it stands.
type Passage struct {
	Name, Where string
	Goal        float64 // tempos are in beats a minute, 0 for none
	Period      journal.Tally
	Days        []journal.DayTally // of the last weeks, for the graph
	Spot        string             // the chunk that was rough most often, in words; empty for none
	Notes       *image.Gray        // its bars; nil where there are no notes
	Marks       []string
}

// Weeks is how far the graphs of a page go back.
const Weeks = 10

// Source is where a page's matter comes from.
type Source struct {
	Reader *journalfile.Reader
	// Step finds a step as it is in its routine; ok is false where it is no more. It
	// may be nil.
	Step func(journal.Place) (step ladder.Step, ok bool)
	// Notes finds a step's notes, nil where it has none. It may be nil.
	Notes func(journal.Place, ladder.Step) *notes.Notes
	// Words names a step's chunk; nil for its place and length.
	Words func(ladder.Step) string
}

// Gather gathers a page on the days from one to another, both included. It waits
// for the disk.
func Gather(ctx context.Context, src Source, from, to journal.Day, zone *time.Location) (Page, error) {
	out := Page{From: from, To: to}
	y, m, d := from.Time().Date()
	sessions, err := src.Reader.Sessions(ctx, journalfile.Filter{Since: time.Date(y, m, d, 0, 0, 0, 0, zone)})
	if err != nil {
		return out, err
	}
	found, err := src.Reader.Known(ctx)
	if err != nil {
		return out, err
	}
	places := map[int64]journal.Found{}
	for _, f := range found {
		if _, ok := places[f.ID]; !ok || f.At == f.Place {
			places[f.ID] = f
		}
	}
	period := map[int64]journal.Tally{}
	var steps []int64
	for _, s := range sessions {
		if journal.DayOf(s.Start) > to {
			continue
		}
		out.Sessions++
		out.Looped += s.Total.Looped
		for _, p := range s.Steps {
			if _, ok := period[p.Step]; !ok {
				steps = append(steps, p.Step)
			}
			period[p.Step] = period[p.Step].Add(p.Tally)
		}
	}
	slices.SortStableFunc(steps, func(a, b int64) int { return int(period[b].Looped - period[a].Looped) })
	for _, id := range steps {
		p, err := passage(ctx, src, id, places[id], from, to)
		if err != nil {
			return out, err
		}
		p.Period = period[id]
		out.Passages = append(out.Passages, p)
	}
	return out, nil
}

func passage(ctx context.Context, src Source, id int64, f journal.Found, from, to journal.Day) (Passage, error) {
	p := Passage{Name: f.Place.Step, Where: f.Piece, Goal: f.Goal.BPM()}
	if f.From > 0 {
		bars := fmt.Sprintf("bars %d–%d", f.From, f.To)
		if f.From == f.To {
			bars = fmt.Sprintf("bar %d", f.From)
		}
		p.Where = strings.TrimPrefix(p.Where+", "+bars, ", ")
	}
	days, err := src.Reader.Days(ctx, id, to-7*Weeks+1)
	if err != nil {
		return p, err
	}
	p.Days = slices.DeleteFunc(days, func(d journal.DayTally) bool { return d.Day > to })
	latest, err := src.Reader.Latest(ctx, id, "", int(to-from)+2)
	if err != nil {
		return p, err
	}
	slices.Reverse(latest)
	for _, d := range latest {
		for _, m := range d.Marks {
			if d.Day < from || d.Day > to {
				continue
			}
			text := strings.ReplaceAll(m.Text, "\n", " / ")
			if m.On != "" {
				text = m.On + ": " + text
			}
			p.Marks = append(p.Marks, text)
		}
	}
	spots, err := src.Reader.Spots(ctx, id, from)
	if err != nil || len(spots) == 0 || spots[0].Rough == 0 || src.Step == nil {
		return p, err
	}
	step, ok := src.Step(f.Place)
	if !ok {
		return p, nil
	}
	step, ok = spots[0].On(step)
	if !ok {
		return p, nil
	}
	words := spots[0].Start + " for " + spots[0].Beats + " beats"
	if spots[0].Beats == "1" {
		words = strings.TrimSuffix(words, "s")
	}
	if src.Words != nil {
		words = src.Words(step)
	}
	p.Spot = fmt.Sprintf("%s: %d of %s rough", words, spots[0].Rough, counted.Of(spots[0].Reps, "rep"))
	if src.Notes != nil {
		p.Notes = engraved(src.Notes(f.Place, step), step)
	}
	return p, nil
}

// Of the notes' picture: pixels in a staff space, and how wide it may be in spaces.
const (
	space = 24
	wide  = 66.0
)

// engraved is a picture of the bars in which the chunk lies; nil where they can't
// be drawn.
func engraved(n *notes.Notes, step ladder.Step) *image.Gray {
	if n == nil {
		return nil
	}
	m, err := step.Measures()
	if err != nil {
		return nil
	}
	start := step.ChunkStart()
	first, _ := m.Where(start)
	last, at := m.Where(start.Add(step.Chunk.Length))
	if at.Sign() == 0 && last > first {
		last--
	}
	from, to := n.First+first-m.From(), n.First+last-m.From()
	if m.Pickup().Sign() > 0 {
		from, to = from+1, to+1
	}
	from, to = max(from, n.First), min(to, n.Last)
	if from > to {
		return nil
	}
	d, err := engrave.Layout(engrave.Bars(n.Line, from, to), engrave.Options{Width: wide, Numbers: true, Between: 2})
	if err != nil {
		return nil
	}
	painter, err := paint.New()
	if err != nil {
		return nil
	}
	size := image.Rect(0, 0, int(math.Ceil(d.Width*space)), int(math.Ceil(d.Height*space)))
	img := image.NewRGBA(size)
	draw.Draw(img, size, image.White, image.Point{}, draw.Src)
	black := palette.Day()
	black.Ink, black.Soft = color.NRGBA{A: 0xFF}, color.NRGBA{A: 0xFF}
	painter.Draw(img, d, paint.View{Space: space, Ink: paint.Colours(black)})
	out := image.NewGray(size)
	draw.Draw(out, size, img, image.Point{}, draw.Src)
	return out
}
