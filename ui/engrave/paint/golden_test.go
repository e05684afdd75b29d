package paint_test

import (
	"flag"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"footing/audio/click"
	"footing/ladder/passage"
	"footing/ui/engrave"
	"footing/ui/engrave/paint"
	"footing/ui/engrave/sample"
	"footing/ui/palette"
)

var update = flag.Bool("update", false, "write the golden pictures anew")

var marchClef = sample.Tenor

// marchBars are sixteenths for a bassoon, as a march has them.
var marchBars = []string{
	"D3:16( F3:16 Bb3:16 D4:16) C4:16' Bb3:16' A3:16' F3:16' G3:16( A3:16 Bb3:16 G3:16) A3:16' C4:16' Eb4:16' D4:16'",
	"C4:16( D4:16 Eb4:16 F4:16 G4:16 F#4:16 G4:16 A4:16) Bb4:16 A4:16 G4:16 F4:16 Eb4:16( D4:16) C4:8>",
	"D4:8. Bb3:16 F3:8 D3:8 gsEb4:8 D4:4~ D4:16 C4:16 Bb3:16 A3:16",
	"Bb3:8t3:2( C4:8t3:2 D4:8t3:2) Eb4:8t3:2 D4:8t3:2 C4:8t3:2 Bb3:2f, |]",
}

func line(t testing.TB, clef passage.Clef, fifths int, meter string, bars ...string) passage.Line {
	t.Helper()
	l, err := sample.Line(clef, fifths, meter, bars...)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// sevenSharps is a bar of sixteenths in C sharp major, tenor clef.
func sevenSharps(t testing.TB) passage.Line {
	return line(t, sample.Tenor, 7, "4/4",
		"C#4:16 D#4:16 E#4:16 F#4:16 G#4:16 A#4:16 B#4:16 C#5:16 B4:16 A##4:16 G#4:16 F##4:16 E#4:16 D#4:16 C#4:16 B#3:16")
}

func picture(t testing.TB, l passage.Line, o engrave.Options, p *palette.Palette, w, h int, space float64) image.Image {
	t.Helper()
	o.Width = (float64(w) - 20) / space
	d, err := engrave.Layout(engrave.Bars(l, 0, len(l.Part.Bars)-1), o)
	if err != nil {
		t.Fatal(err)
	}
	return painted(t, d, p, w, h, space)
}

func painted(t testing.TB, d *engrave.Drawing, p *palette.Palette, w, h int, space float64) image.Image {
	t.Helper()
	painter, err := paint.New()
	if err != nil {
		t.Fatal(err)
	}
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	draw.Draw(img, img.Rect, image.NewUniform(p.Card), image.Point{}, draw.Src)
	painter.Draw(img, d, paint.View{Space: space, X: 10, Y: 10, Ink: paint.Colours(p)})
	return img
}

// lane is the chunk of the march's second bar as the Stand draws it.
func lane(t testing.TB) *engrave.Drawing {
	l := line(t, sample.Tenor, -2, "4/4", marchBars...)
	from := click.Whole(5)
	first := len(l.Between(0, 0))
	d, err := engrave.Bound(engrave.Excerpt{Line: l, From: from, To: from.Add(click.Frac(9, 4))}, engrave.Lane{
		Width:  70,
		At:     func(q passage.Quarters) float64 { return 21 + 108.0/11*q.Sub(from).Float() },
		Breath: 21 + 108.0/11*4,
		Pencil: []engrave.PencilMark{{Note: first + 5, Text: "flick"}, {Note: first + 8, Text: "w.k. off"}},
	})
	if err != nil {
		t.Fatal(err)
	}
	if d.Crowded {
		t.Error("the lane is crowded at 27 px a sixteenth")
	}
	return d
}

func TestGoldenPictures(t *testing.T) {
	day, night := palette.Day(), palette.Night()
	march := line(t, sample.Tenor, -2, "4/4", marchBars...)
	for name, img := range map[string]image.Image{
		"march-day":   picture(t, march, engrave.Options{Numbers: true}, day, 1000, 460, 12),
		"march-night": picture(t, march, engrave.Options{Numbers: true}, night, 1000, 460, 12),
		"sharps-1200": picture(t, sevenSharps(t), engrave.Options{}, day, 840, 150, 12),
		"sharps-900":  picture(t, sevenSharps(t), engrave.Options{}, day, 620, 130, 10),
		"lane-night":  painted(t, lane(t), night, 800, 150, 12),
		"lane-day":    painted(t, lane(t), day, 800, 150, 12),
		"signs-day":   picture(t, line(t, sample.Treble, 3, "6/8", signBars...), engrave.Options{}, day, 1100, 560, 12),
	} {
		t.Run(name, func(t *testing.T) { golden(t, name, img) })
	}
}

// signBars hold what the march does not: chords, rests, grace notes, marks.
var signBars = []string{
	"|: A4:8' B4:8' C#5:8' D5:4_ E5:8>, :|",
	"gE5:16 gF#5:16 G5:4.T F#5:8. E5:16 D#5:8",
	"A4:4.{1} +C#5:4. +D5:4. r:8 r:16 C5:16~ C5:8",
	"R", "C6:16 A5:16 F5:16 E3:16 G3:16 C4:16 B4:4^ r:8",
	"A4:8t2:3 B4:8t2:3 C#5:16 D5:32 E5:32 F#5:16 E5:32 D5:32 C#5:8 |]",
}

func golden(t *testing.T, name string, got image.Image) {
	t.Helper()
	file := filepath.Join("testdata", name+".png")
	if *update {
		f, err := os.Create(file)
		if err != nil {
			t.Fatal(err)
		}
		if err := png.Encode(f, got); err != nil {
			t.Fatal(err)
		}
		if err := f.Close(); err != nil {
			t.Fatal(err)
		}
		return
	}
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	want, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	if got.Bounds() != want.Bounds() {
		t.Fatalf("the picture is %v, want %v", got.Bounds(), want.Bounds())
	}
	b, off := got.Bounds(), 0
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			a, c := color.RGBAModel.Convert(got.At(x, y)).(color.RGBA), color.RGBAModel.Convert(want.At(x, y)).(color.RGBA)
			// Processors that fuse a product and a sum round edges differently.
			if math.Abs(float64(a.R)-float64(c.R)) > 2 || math.Abs(float64(a.G)-float64(c.G)) > 2 || math.Abs(float64(a.B)-float64(c.B)) > 2 {
				off++
			}
		}
	}
	if off > 0 {
		t.Errorf("%d pixels differ from %s; look, then write it anew with -update", off, file)
	}
}

// march64 are 64 bars of sixteenths.
func march64(t testing.TB) passage.Line {
	var bars []string
	for range 32 {
		bars = append(bars, strings.ReplaceAll(marchBars[0], "'", ""), "C4:16( D4:16 Eb4:16 F4:16 G4:16 F#4:16 G4:16 A4:16) Bb4:16 A4:16 G4:16 F4:16 Eb4:16( D4:16 C4:16 Bb3:16)")
	}
	return line(t, sample.Tenor, -2, "4/4", bars...)
}

// 64 bars of sixteenths, laid out and painted into the part of a window that
// shows them all.
func BenchmarkLayoutAndPaint64Bars(b *testing.B) {
	l := march64(b)
	painter, err := paint.New()
	if err != nil {
		b.Fatal(err)
	}
	img := image.NewRGBA(image.Rect(0, 0, 1200, 3200))
	ink := paint.Colours(palette.Day())
	for b.Loop() {
		d, err := engrave.Layout(engrave.Bars(l, 0, 63), engrave.Options{Width: 100, Numbers: true})
		if err != nil {
			b.Fatal(err)
		}
		painter.Draw(img, d, paint.View{Space: 12, Ink: ink})
	}
}

func BenchmarkLayout64Bars(b *testing.B) {
	l := march64(b)
	for b.Loop() {
		if _, err := engrave.Layout(engrave.Bars(l, 0, 63), engrave.Options{Width: 100}); err != nil {
			b.Fatal(err)
		}
	}
}
