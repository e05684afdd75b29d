package abc_test

import (
	"fmt"
	"strings"
	"testing"

	"footing/audio/click"
	"footing/ladder/passage"
	"footing/ladder/passage/abc"
)

// The forms of a tempo that the standard has (ABC 2.1, section 3.1.8), with its own
// examples among them.
func TestTempos(t *testing.T) {
	for _, tt := range []struct{ text, want string }{
		{"Q:1/2=120\nc8 |]", "0 0 half=120"},
		{"Q: 1/4 = 104 % of the band\nc8 |]", "0 0 quarter=104"},
		{"Q:3/8=50 \"Slowly\"\nc8 |]", "0 0 Slowly, 0 0 quarter.=50"},
		{"Q:\"Allegro\" 1/4=120\nc8 |]", "0 0 Allegro, 0 0 quarter=120"},
		{"Q:\"Andante mosso\"\nc8 |]", "0 0 Andante mosso"},
		{"Q:1/4 3/8 1/4 3/8=40\nc8 |]", "0 0 200000"},
		{"c8 | Z2 |\nQ:1/8=92\nZ2 | c4 [Q:1/4=60]d4 |]", "3 0 eighth=92, 5 2 quarter=60"},
		{"c4\nQ:1/4=80\n(3ddd d2 |]", "0 2 quarter=80"},
		{"Q:1/4=80\n{g}c8 |]", "0 0 quarter=80"},
	} {
		score, remarks, err := abc.Read(tt.text, abc.Setting{Meter: passage.FromClick(click.MakeMeter(4, 4))})
		if err != nil || len(remarks) > 0 {
			t.Errorf("%q: %v, %v", tt.text, remarks, err)
			continue
		}
		var got []string
		for _, d := range score.Parts[0].Directions {
			value, number, _ := strings.Cut(d.Text, "=")
			if d.Kind == passage.Metronome {
				value += strings.Repeat(".", d.Dots) + "=" + number
			}
			got = append(got, fmt.Sprintf("%d %v %s", d.Bar, d.At, value))
		}
		for _, p := range score.Parts[0].Tempos {
			got = append(got, fmt.Sprintf("%d %v %d", p.Bar, p.At, p.MilliQuarters))
		}
		if s := strings.Join(got, ", "); s != tt.want {
			t.Errorf("%q says %s, want %s", tt.text, s, tt.want)
		}
	}
	const want = `; write one such as Q:1/4=104 or Q:"Andante"`
	for text, wrong := range map[string]string{
		"Q:\nc8 |]":                        "1:1: the tempo says nothing" + want,
		"Q:\"\"\nc8 |]":                    "1:1: the tempo says nothing" + want,
		"Q:\"Andante\nc8 |]":               "1:1: the tempo's text does not end in a quote" + want,
		"Q:120\nc8 |]":                     `1:1: "120" is not a tempo` + want, // of an older standard
		"Q:C=120\nc8 |]":                   `1:1: "C=120" is not a tempo` + want,
		"Q:1/3=120\nc8 |]":                 `1:1: "1/3=120" is not a tempo` + want,
		"Q:1/4 1/4 1/4 1/4 1/4=120\nc8 |]": `1:1: "1/4 1/4 1/4 1/4 1/4=120" is not a tempo` + want,
		"c8 |\nQ:1/4=0\nc8 |]":             `2:1: "0" is no number of notes a minute from 1 to 1000` + want,
		"c8 | [Q:1/4=1001] c8 |]":          `1:6: "1001" is no number of notes a minute from 1 to 1000` + want,
		"Q:1/4=" + strings.Repeat("9", 40): `1:1: "` + strings.Repeat("9", 40) + `" is no number of notes a minute from 1 to 1000` + want,
		"c8 |]\nQ:1/4=104":                 "2:1: no note follows the tempo; write it before one",
		"c8 | [Q:1/4=104":                  "1:6: the field Q: is not read; write key, unit and meter in the step, and leave the line out",
	} {
		_, _, err := abc.Read(text, abc.Setting{Meter: passage.FromClick(click.MakeMeter(4, 4))})
		if err == nil || !strings.HasPrefix(err.Error(), wrong) {
			t.Errorf("%q: %v, want %s", text, err, wrong)
		}
	}
}
