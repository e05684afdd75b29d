package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"os"
	"strings"

	"footing/audio/hear"
	"footing/audio/judge"
	"footing/audio/stat"
	"footing/audio/takes"
)

// trial is what became of a row's takes.
type trial struct {
	row                    string
	even, falsely          int // even takes, and those in which a change was named
	late, rightly, wrongly int // takes with a habit, and those in which it, or another, was named
	total                  takes.Total
	squares, told          []float64 // of the errors, and of what was told of them, in ms²
}

// tryAll makes, hears and judges so many even takes of each row, and as many with
// a habit, and writes a line for each row as it is done.
func tryAll(ctx context.Context, w io.Writer, rows []string, from, n int) error {
	fmt.Fprintf(w, "\n## Figures played over and over\n\nOf each row %d even takes and %d in which one slot comes %d ms late in every rep, "+
		"on %s. Rooms die by 60 dB in 0.3 to 0.5 s; clicks are a quarter of the notes' peak.\n\n"+
		"| row | a change named in an even take | the late one named | another named | F | error ms | error over told |\n"+
		"| --- | --- | --- | --- | --- | --- | --- |\n", n, n, takes.PlantedMs, strings.Join(names(takes.Banks()), ", "))
	for _, row := range rows {
		r := trial{row: row}
		for i := 2 * from; i < 2*(from+n); i++ {
			if err := r.try(ctx, takes.NewTrial(row, i, takes.Banks())); err != nil {
				return err
			}
		}
		fmt.Fprintln(w, r.line())
		fmt.Fprintln(os.Stderr, row)
	}
	return nil
}

func names(paths []string) (out []string) {
	for _, p := range paths {
		out = append(out, takes.BankName(p))
	}
	return out
}

func (r *trial) try(ctx context.Context, t takes.Trial) error {
	take, err := takes.PlayFigure(ctx, t.Figure)
	if err != nil {
		return err
	}
	onsets, err := takes.Hear(take)
	if err != nil {
		return err
	}
	heard := takes.Judge(take, onsets)
	r.total.Add(heard)
	for i, p := range heard.Pairs {
		told := onsets[p.Est].PlacedMs
		r.squares = append(r.squares, heard.ErrorsMs[i]*heard.ErrorsMs[i])
		r.told = append(r.told, told*told)
	}
	weak := judged(t.Figure, onsets).Weak
	switch {
	case t.Late == 0:
		r.even++
		if weak != nil {
			r.falsely++
		}
	case weak != nil && weak.ToSlot == t.Late && weak.LateMs > 0:
		r.rightly++
	case weak != nil:
		r.wrongly++
	}
	if t.Late > 0 {
		r.late++
	}
	return nil
}

// judged sets a take against what is told of it: a tempo and its slots where it is
// looped without a breath, else the notes of a rep.
func judged(f takes.Figure, onsets []hear.Onset) judge.Report {
	if f.Breath == 0 {
		found := judge.FindGrid(onsets, judge.Hint{BPM: f.BPM, SlotsPerBeat: f.Slots, First: f.First(), FirstKnown: true})
		if len(found.Candidates) == 0 {
			return judge.Report{}
		}
		return judge.Evenness(onsets, found.Candidates[0].Grid)
	}
	g := judge.Grid{BPM: f.BPM, SlotsPerBeat: f.Slots}
	var rep []float64
	for slot := range f.Keys {
		rep = append(rep, float64(slot)*60/f.BPM/float64(f.Slots))
	}
	for n, s := range judge.Starts(onsets, rep) {
		for slot, at := range rep {
			g.Places = append(g.Places, judge.Place{Seconds: s.Seconds + s.Stretch*at, Slot: slot + 1, Rep: n + 1})
		}
	}
	if len(g.Places) == 0 {
		return judge.Report{}
	}
	return judge.Evenness(onsets, g)
}

func (r *trial) line() string {
	error2, _ := stat.MeanSpread(r.squares)
	told2, _ := stat.MeanSpread(r.told)
	share := func(n, of int) string { return fmt.Sprintf("%d of %d", n, of) }
	return fmt.Sprintf("| %s | %s | %s | %s | %.4f | %.2f | %.2f |", r.row, share(r.falsely, r.even), share(r.rightly, r.late),
		share(r.wrongly, r.late), r.total.Score().F, math.Sqrt(error2), math.Sqrt(error2/max(told2, 1e-9)))
}

// chosen are the rows whose names hold a text.
func chosen(text string) (rows []string) {
	for _, row := range takes.Rows() {
		if strings.Contains(row, text) {
			rows = append(rows, row)
		}
	}
	return rows
}
