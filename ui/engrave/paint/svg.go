package paint

import (
	"bufio"
	"fmt"
	"image/color"
	"io"

	"golang.org/x/image/font/sfnt"

	"footing/ui/engrave"
)

// SVG writes a drawing as SVG 1.1 with a space of so many units, on a ground.
// Glyphs and letters are written as paths, so that no font is needed to show it. The
// error is the writer's.
func (p *Painter) SVG(w io.Writer, d *engrave.Drawing, v View, width, height int, ground color.NRGBA) error {
	b := bufio.NewWriter(w)
	fmt.Fprintf(b, `<svg xmlns="http://www.w3.org/2000/svg" width="%d" height="%d" viewBox="0 0 %[1]d %d">`+"\n", width, height, height)
	fmt.Fprintf(b, `<rect width="%d" height="%d" fill="%s"/>`+"\n", width, height, hex(ground))
	ids := map[outlineKey]int{}
	b.WriteString("<defs>\n")
	for _, s := range d.Shapes {
		if s.Kind != engrave.Sign && s.Kind != engrave.Text {
			continue
		}
		p.fonts.glyphs(s, func(k outlineKey, _, _, _ float64) {
			if _, ok := ids[k]; !ok {
				ids[k] = len(ids)
				fmt.Fprintf(b, `<path id="g%d" d="%s"/>`+"\n", ids[k], p.fonts.outline(k).path())
			}
		})
	}
	b.WriteString("</defs>\n")
	x := func(x float64) float64 { return v.X + x*v.Space }
	y := func(y float64) float64 { return v.Y + y*v.Space }
	for _, s := range d.Shapes {
		c := v.Ink(s)
		if c.A == 0 {
			continue
		}
		switch s.Kind {
		case engrave.Sign, engrave.Text:
			p.fonts.glyphs(s, func(k outlineKey, gx, gy, size float64) {
				fmt.Fprintf(b, `<use href="#g%d" transform="translate(%.2f %.2f) scale(%.3f)" fill="%s"/>`+"\n", ids[k], x(gx), y(gy), size*v.Space, hex(c))
			})
		case engrave.Bar:
			i := s.Ink()
			fmt.Fprintf(b, `<path d="M%.2f %.2fH%.2fV%.2fH%.2fZ" fill="%s"/>`+"\n", x(i.X0), y(i.Y0), x(i.X1), y(i.Y1), x(i.X0), hex(c))
		case engrave.Slant:
			h := s.Thick / 2
			fmt.Fprintf(b, `<path d="M%.2f %.2fL%.2f %.2fV%.2fL%.2f %.2fZ" fill="%s"/>`+"\n", x(s.X), y(s.Y-h), x(s.X2), y(s.Y2-h), y(s.Y2+h), x(s.X), y(s.Y+h), hex(c))
		case engrave.Curve:
			there, back := lens(s)
			fmt.Fprintf(b, `<path d="M%.2f %.2f`, x(there[0].x), y(there[0].y))
			for i, q := range [][4]point{there, back} {
				if i == 1 {
					fmt.Fprintf(b, "L%.2f %.2f", x(q[0].x), y(q[0].y))
				}
				fmt.Fprintf(b, "C%.2f %.2f %.2f %.2f %.2f %.2f", x(q[1].x), y(q[1].y), x(q[2].x), y(q[2].y), x(q[3].x), y(q[3].y))
			}
			fmt.Fprintf(b, `Z" fill="%s"/>`+"\n", hex(c))
		}
	}
	b.WriteString("</svg>\n")
	return b.Flush()
}

func hex(c color.NRGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

// path is the outline as path data.
func (o *outline) path() []byte {
	var out []byte
	for i, s := range o.segments {
		letter := "MLQC"[s.op : s.op+1]
		if s.op == sfnt.SegmentOpMoveTo && i > 0 {
			out = append(out, 'Z')
		}
		for k, q := range s.arg[:args(s.op)] {
			if k == 0 {
				out = append(out, letter...)
			} else {
				out = append(out, ' ')
			}
			out = fmt.Appendf(out, "%.4g %.4g", q.x, q.y)
		}
	}
	if len(out) > 0 {
		out = append(out, 'Z')
	}
	return out
}
