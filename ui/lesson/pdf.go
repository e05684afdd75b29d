package lesson

import (
	"bytes"
	"fmt"
	"image/png"
	"io"
	"math"
	"strconv"
	"time"

	"github.com/go-pdf/fpdf"

	"footing/assets"
	"footing/ladder/counted"
	"footing/ladder/journal"
)

// Measures of the page, A4, in millimetres.
const (
	pageWidth, pageHeight = 210.0, 297.0
	margin                = 18.0
	column                = 76.0 // what is said of a passage
	graphHeight           = 27.0
	foot                  = 12.0
)

// sheet writes the page.
type sheet struct {
	*fpdf.Fpdf
	y float64
}

// Write writes the page as PDF, dated now. Passages for which there is no room on
// the sheet are counted at its foot.
func Write(w io.Writer, p Page, now time.Time) (err error) {
	defer func() {
		// The library panics where a font or a text is not as it expects.
		if r := recover(); r != nil {
			err = fmt.Errorf("making the lesson page: %v", r)
		}
	}()
	s := &sheet{Fpdf: fpdf.New("P", "mm", "A4", "")}
	s.SetCreationDate(now)
	s.SetModificationDate(now)
	s.SetCatalogSort(true)
	s.SetTitle("Lesson page", true)
	s.SetCreator("Footing", true)
	s.SetAutoPageBreak(false, 0)
	s.AddUTF8FontFromBytes("text", "", assets.TextRegular)
	s.AddUTF8FontFromBytes("text", "B", assets.TextBold)
	s.AddPage()
	s.head(p)
	for i, passage := range p.Passages {
		high := s.height(passage)
		if s.y+high > pageHeight-margin-foot && i > 0 {
			s.ink(0x60)
			s.put("", 9, margin, pageHeight-margin, fmt.Sprintf("and %d more, for which there is no room here", len(p.Passages)-i), pageWidth-2*margin)
			break
		}
		s.passage(i, passage)
	}
	return s.Output(w)
}

// plain is a text with nothing in it that the library's fonts have no place for.
func plain(text string) string {
	out := []rune(text)
	for i, r := range out {
		if r >= 0xFFFE {
			out[i] = '\uFFFD'
		}
	}
	return string(out)
}

func (s *sheet) ink(grey int) { s.SetTextColor(grey, grey, grey) }

// put writes a text on its baseline, cut to a width, and returns how wide it is.
func (s *sheet) put(style string, size, x, y float64, text string, room float64) float64 {
	s.SetFont("text", style, size)
	text = plain(text)
	if s.GetStringWidth(text) > room {
		runes := []rune(text)
		for len(runes) > 0 && s.GetStringWidth(string(runes)+"…") > room {
			runes = runes[:len(runes)-1]
		}
		text = string(runes) + "…"
	}
	s.Text(x, y, text)
	return s.GetStringWidth(text)
}

func (s *sheet) head(p Page) {
	s.ink(0)
	s.put("B", 20, margin, margin+6, "Lesson page", 100)
	s.ink(0x40)
	s.put("", 11, margin, margin+13, fmt.Sprintf("%s · %s of looping in %s", period(p.From, p.To), length(p.Looped), counted.Of(p.Sessions, "session")), pageWidth-2*margin)
	s.SetDrawColor(0x90, 0x90, 0x90)
	s.SetLineWidth(0.2)
	s.Line(margin, margin+17, pageWidth-margin, margin+17)
	s.y = margin + 22
	if len(p.Passages) == 0 {
		s.put("", 11, margin, s.y+6, "Nothing was played in these days.", pageWidth-2*margin)
	}
}

// period is the days of a page: "6–12 March 2026".
func period(from, to journal.Day) string {
	a, b := from.Time(), to.Time()
	switch {
	case from == to:
		return b.Format("2 January 2006")
	case a.Year() != b.Year():
		return a.Format("2 January 2006") + " – " + b.Format("2 January 2006")
	case a.Month() != b.Month():
		return a.Format("2 January") + " – " + b.Format("2 January 2006")
	}
	return a.Format("2") + "–" + b.Format("2 January 2006")
}

func length(d time.Duration) string {
	if m := int(d.Round(time.Minute).Minutes()); m > 0 {
		return fmt.Sprintf("%d min", m)
	}
	return fmt.Sprintf("%d s", int(d.Seconds()))
}

// mostMarks is how many pencil marks stand with a passage.
const mostMarks = 4

// height is how much of the sheet a passage takes.
func (s *sheet) height(p Passage) float64 {
	text := 22.0
	if p.Spot != "" {
		text += 5
	}
	text += 5 * float64(min(len(p.Marks), mostMarks))
	high := max(text, graphHeight+6)
	if p.Notes != nil {
		_, h := notesSize(p)
		high += h + 3
	}
	return high + 6
}

// notesSize is how large the notes are printed: a staff space of 1.6 mm, as in
// printed parts (common practice, no source), unless the sheet is too narrow.
func notesSize(p Passage) (w, h float64) {
	b := p.Notes.Bounds()
	mm := min(1.6/space, (pageWidth-2*margin)/float64(b.Dx()))
	return float64(b.Dx()) * mm, float64(b.Dy()) * mm
}

func (s *sheet) passage(i int, p Passage) {
	top := s.y
	y := top + 5
	s.ink(0)
	s.put("B", 13, margin, y, p.Name, column)
	s.ink(0x40)
	y += 5.5
	s.put("", 10, margin, y, p.Where, column)
	y += 5.5
	s.ink(0)
	stands := "no clean rep in these days"
	if p.Period.Best != 0 {
		stands = "best clean " + p.Period.Best.String()
		if p.Goal > 0 {
			stands += " of " + number(p.Goal)
		}
		if p.Period.Footing != 0 {
			stands += fmt.Sprintf(", footing %s", p.Period.Footing)
		}
	}
	s.put("B", 10, margin, y, stands, column)
	y += 5
	s.ink(0x40)
	s.put("", 10, margin, y, fmt.Sprintf("%s · %s, %d clean, %d rough", length(p.Period.Looped), counted.Of(p.Period.Reps, "rep"), p.Period.Clean, p.Period.Rough), column)
	if p.Spot != "" {
		y += 5
		s.put("", 10, margin, y, "hardest: "+p.Spot, column)
	}
	s.ink(0)
	for _, m := range p.Marks[max(0, len(p.Marks)-mostMarks):] {
		y += 5
		s.SetDrawColor(0, 0, 0)
		s.SetLineWidth(0.5)
		s.Line(margin+0.5, y+0.6, margin+2, y-2.6)
		s.put("", 10, margin+4, y, m, column-4)
	}
	s.graph(p, margin+column+8, top+1, pageWidth-2*margin-column-8)
	bottom := max(y+3, top+graphHeight+6)
	if p.Notes != nil {
		w, h := notesSize(p)
		var b bytes.Buffer
		if err := png.Encode(&b, p.Notes); err != nil {
			s.SetError(err)
			return
		}
		name := "notes" + strconv.Itoa(i)
		s.RegisterImageOptionsReader(name, fpdf.ImageOptions{ImageType: "PNG"}, &b)
		s.ImageOptions(name, margin, bottom+1, w, h, false, fpdf.ImageOptions{ImageType: "PNG"}, 0, "")
		bottom += h + 3
	}
	s.y = bottom + 3
	s.SetDrawColor(0xC0, 0xC0, 0xC0)
	s.SetLineWidth(0.15)
	s.Line(margin, s.y, pageWidth-margin, s.y)
	s.y += 3
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// graph is tempo against the days of the last weeks: a dot for the best clean rep, a
// bar for the footing, a broken line for the goal.
func (s *sheet) graph(p Passage, x, y, w float64) {
	if len(p.Days) == 0 {
		return
	}
	low, high := p.Goal, p.Goal
	if p.Goal == 0 { // it is not known
		low = math.Inf(1)
	}
	for _, d := range p.Days {
		for _, t := range []float64{d.Best.BPM(), d.Footing.BPM()} {
			if t > 0 {
				low, high = min(low, t), max(high, t)
			}
		}
	}
	if high <= low || math.IsInf(low, 1) {
		low = high - 1
	}
	first, last := p.Days[0].Day, p.Days[len(p.Days)-1].Day
	left, right := x+9, x+w-2
	top, bottom := y+3, y+graphHeight-3
	at := func(d journal.Day) float64 {
		if last == first {
			return (left + right) / 2
		}
		return left + 2 + (right-left-4)*float64(d-first)/float64(last-first)
	}
	level := func(t float64) float64 { return bottom - (bottom-top)*(t-low)/(high-low) }
	s.SetDrawColor(0xC0, 0xC0, 0xC0)
	s.SetLineWidth(0.15)
	s.Line(left, bottom+2, right, bottom+2)
	s.SetDrawColor(0x60, 0x60, 0x60)
	s.SetLineWidth(0.3)
	s.ink(0x40)
	top = level(high)
	if p.Goal > 0 {
		top = level(p.Goal)
		s.SetDashPattern([]float64{1.2, 0.8}, 0)
		s.Line(left, top, right, top)
		s.SetDashPattern(nil, 0)
		s.put("", 8, x, top+1, number(p.Goal), 9)
	}
	if level(low)-top > 4 {
		s.put("", 8, x, level(low)+1, number(low), 9)
	}
	s.put("", 8, left, bottom+5.5, first.Time().Format("2 Jan"), 20)
	if last > first {
		label := last.Time().Format("2 Jan")
		s.SetFont("text", "", 8)
		s.put("", 8, right-s.GetStringWidth(label), bottom+5.5, label, 20)
	}
	for _, d := range p.Days {
		x := at(d.Day)
		if f := d.Footing.BPM(); f > 0 {
			s.SetDrawColor(0, 0, 0)
			s.SetLineWidth(0.5)
			s.Line(x-0.9, level(f), x+0.9, level(f))
			if b := d.Best.BPM(); b > f {
				s.SetLineWidth(0.15)
				s.Line(x, level(f), x, level(b))
			}
		}
		if b := d.Best.BPM(); b > 0 {
			s.SetFillColor(0, 0, 0)
			s.Circle(x, level(b), 0.6, "F")
		}
	}
}
