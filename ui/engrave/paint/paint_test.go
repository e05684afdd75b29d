package paint_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image"
	"image/color"
	"io"
	"strings"
	"testing"

	"footing/ui/engrave"
	"footing/ui/engrave/paint"
	"footing/ui/palette"
)

func marchDrawing(t testing.TB) *engrave.Drawing {
	t.Helper()
	l := line(t, marchClef, -2, "4/4", marchBars...)
	d, err := engrave.Layout(engrave.Bars(l, 0, len(l.Part.Bars)-1), engrave.Options{Width: 80})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestStillPaintsOnlyWhatChanged(t *testing.T) {
	p, err := paint.New()
	if err != nil {
		t.Fatal(err)
	}
	s, d := paint.NewStill(p), marchDrawing(t)
	day, night := palette.Day(), palette.Night()
	first := s.Image(d, day, true, 400, 100, 6)
	for range 100 { // as a cursor moves
		s.Image(d, palette.Day(), true, 400, 100, 6)
	}
	if s.Painted() != 1 {
		t.Errorf("painted %d times for one picture", s.Painted())
	}
	if allocs := testing.AllocsPerRun(20, func() { s.Image(d, day, true, 400, 100, 6) }); allocs > 0 {
		t.Errorf("asking again allocates %v times", allocs)
	}
	if got := first.RGBAAt(399, 99); got != (color.RGBA{day.Card.R, day.Card.G, day.Card.B, 255}) {
		t.Errorf("the ground is %v", got)
	}
	for i, change := range []func(){
		func() { s.Image(d, night, true, 400, 100, 6) },
		func() { s.Image(d, night, false, 400, 100, 6) },
		func() { s.Image(d, night, false, 401, 100, 6) },
		func() { s.Image(d, night, false, 401, 100, 7) },
		func() { s.Image(marchDrawing(t), night, false, 401, 100, 7) },
		func() { s.Image(nil, night, false, 401, 100, 7) },
	} {
		if change(); s.Painted() != i+2 {
			t.Errorf("change %d: painted %d times, want %d", i, s.Painted(), i+2)
		}
	}
}

// Staff lines are whole rows of one colour, and stems whole columns.
func TestLinesFallOnWholePixels(t *testing.T) {
	p, err := paint.New()
	if err != nil {
		t.Fatal(err)
	}
	d, ink := marchDrawing(t), color.NRGBA{A: 255}
	for _, space := range []float64{8, 10, 12, 16, 24} {
		for _, role := range []engrave.Role{engrave.StaffLine, engrave.Stem} {
			img := image.NewRGBA(image.Rect(0, 0, int(81*space), int(d.Height*space)+2))
			p.Draw(img, d, paint.View{Space: space, X: 0.3, Y: 0.7, Ink: func(s engrave.Shape) color.NRGBA {
				if s.Role == role && s.Kind == engrave.Bar {
					return ink
				}
				return color.NRGBA{}
			}})
			rows, columns := map[int]int{}, map[int]int{}
			for y := range img.Rect.Dy() {
				for x := range img.Rect.Dx() {
					switch a := img.RGBAAt(x, y).A; {
					case a == 255:
						rows[y]++
						columns[x]++
					case a > 0 && role == engrave.StaffLine && x > 0 && x < int(79*space) && x != int(d.Systems[len(d.Systems)-1].Right*space+0.3):
						t.Fatalf("at %v px a space a staff line has a grey pixel at %d, %d", space, x, y)
					case a > 0 && role == engrave.Stem && columns[x] > 0 && img.RGBAAt(x, y-1).A == 255 && img.RGBAAt(x, y+1).A == 255:
						t.Fatalf("at %v px a space a stem has a grey pixel at %d, %d", space, x, y)
					}
				}
			}
			if thick := int(paint.Lines(space)); role == engrave.StaffLine && len(rows) != 5*thick*len(d.Systems) {
				t.Errorf("at %v px a space %d rows are full, want %d", space, len(rows), 5*thick*len(d.Systems))
			}
		}
	}
}

// Lighting a note paints that note and nothing else.
func TestOnly(t *testing.T) {
	p, err := paint.New()
	if err != nil {
		t.Fatal(err)
	}
	d := marchDrawing(t)
	const space = 12
	place := d.Notes[3]
	img := image.NewRGBA(image.Rect(0, 0, 80*space, int(d.Height*space)))
	p.Draw(img, d, paint.View{Space: space, Ink: paint.Only(func(n int) bool { return n == place.Note }, palette.Day().Accent)})
	box := image.Rectangle{}
	for y := range img.Rect.Dy() {
		for x := range img.Rect.Dx() {
			if img.RGBAAt(x, y).A > 0 {
				box = box.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	head := image.Rect(int(place.Head.X0*space)-2, int(place.Head.Y0*space)-2, int(place.Head.X1*space)+3, int(place.Head.Y1*space)+3)
	if box.Empty() || box.Min.X < head.Min.X || box.Max.X > head.Max.X || box.Min.Y > head.Min.Y+3 {
		t.Errorf("the lit note covers %v, its head %v", box, head)
	}
}

func TestSVGHoldsEveryShape(t *testing.T) {
	p, err := paint.New()
	if err != nil {
		t.Fatal(err)
	}
	d := marchDrawing(t)
	var out bytes.Buffer
	day := palette.Day()
	if err := p.SVG(&out, d, paint.View{Space: 12, X: 10, Y: 10, Ink: paint.Colours(day)}, 1000, 400, day.Paper); err != nil {
		t.Fatal(err)
	}
	glyphs, shapes := 0, 0
	for _, s := range d.Shapes {
		switch s.Kind {
		case engrave.Sign:
			glyphs++
		case engrave.Text:
			glyphs += len(s.Text)
		default:
			shapes++
		}
	}
	uses, paths, defs := 0, 0, 0
	dec, inDefs := xml.NewDecoder(&out), false
	for {
		tok, err := dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		switch e := tok.(type) {
		case xml.StartElement:
			switch {
			case e.Name.Local == "defs":
				inDefs = true
			case e.Name.Local == "use":
				uses++
			case e.Name.Local == "path" && inDefs:
				defs++
				for _, a := range e.Attr {
					if a.Name.Local == "d" && !strings.HasPrefix(a.Value, "M") {
						t.Errorf("a glyph's path is %q", a.Value)
					}
				}
			case e.Name.Local == "path":
				paths++
			}
		case xml.EndElement:
			inDefs = inDefs && e.Name.Local != "defs"
		}
	}
	if uses != glyphs || paths != shapes || defs == 0 {
		t.Errorf("%d glyphs and %d shapes are written, want %d and %d", uses, paths, glyphs, shapes)
	}
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("disk full") }

func TestSVGSaysThatItWasNotWritten(t *testing.T) {
	p, err := paint.New()
	if err != nil {
		t.Fatal(err)
	}
	if err := p.SVG(full{}, marchDrawing(t), paint.View{Space: 12, Ink: paint.Colours(palette.Day())}, 10, 10, palette.Day().Paper); err == nil {
		t.Error("no error")
	}
}

// What lies beyond the image is left out, wherever the drawing is put.
func TestPaintingIsClipped(t *testing.T) {
	p, err := paint.New()
	if err != nil {
		t.Fatal(err)
	}
	d := marchDrawing(t)
	img := image.NewRGBA(image.Rect(20, 10, 140, 90))
	for _, at := range []image.Point{{0, 0}, {-300, -20}, {-700, 5}, {100, 60}, {5000, 0}, {0, -5000}} {
		p.Draw(img, d, paint.View{Space: 12, X: float64(at.X), Y: float64(at.Y), Ink: paint.Colours(palette.Day())})
	}
	sub := img.SubImage(image.Rect(40, 20, 60, 40)).(*image.RGBA)
	p.Draw(sub, d, paint.View{Space: 12, Ink: paint.Colours(palette.Day())})
}
