package passage_test

import (
	"fmt"
	"strings"
	"testing"

	"footing/ladder/passage"
)

// says writes a part's bars and notes briefly: each bar's start, length and
// meter, each note's place, length, pitch as written and as it sounds.
func says(p *passage.Part) string {
	var out []string
	bar := -1
	for _, n := range p.Notes {
		for ; bar < n.Bar; bar++ {
			b := p.Bars[bar+1]
			out = append(out, fmt.Sprintf("|%v+%v(%v)", b.Start, b.Length, b.Meter))
		}
		text := "r"
		if n.Kind == passage.Pitched {
			text = n.Pitch.String()
			if n.Sounds != n.Pitch {
				text += ">" + n.Sounds.String()
			}
		}
		if n.Chord {
			text = "&" + text
		}
		if n.TieTo {
			text += "~"
		}
		if n.Grace != passage.NoGrace {
			text += "'"
		}
		out = append(out, fmt.Sprintf("%s@%v+%v", text, n.At, n.Duration))
	}
	for bar++; bar < len(p.Bars); bar++ {
		out = append(out, fmt.Sprintf("|%v+%v(%v)", p.Bars[bar].Start, p.Bars[bar].Length, p.Bars[bar].Meter))
	}
	return strings.Join(out, " ")
}

// What small pieces of MusicXML 4.0 mean, one thing in each.
func TestSnippets(t *testing.T) {
	note := func(pitch, duration, more string) string {
		if duration != "" {
			duration = "<duration>" + duration + "</duration>"
		}
		return fmt.Sprintf(`<note>%s<pitch><step>%s</step><octave>%s</octave></pitch>%s</note>`, more, pitch[:1], pitch[1:], duration)
	}
	const (
		head  = `<score-partwise>`
		start = `<part-list/><part id="P"><measure number="1"><attributes><divisions>2</divisions><time><beats>2</beats><beat-type>4</beat-type></time>`
		next  = `</measure><measure number="2">`
		end   = `</measure></part></score-partwise>`
	)
	clarinet := `<transpose><chromatic>-2</chromatic></transpose>`
	for _, c := range []struct{ name, body, want string }{
		{"a chord behind a direction", `</attributes>` + note("C4", "2", "") + `<direction><direction-type><words>x</words></direction-type></direction>` + note("E4", "2", "<chord/>") + note("D4", "2", ""),
			"|0+2(2/4) C4@0+1 &E4@0+1 D4@1+1"},
		{"a chord of grace notes", `</attributes>` + note("C4", "2", "") + note("E4", "", "<grace/>") + note("G4", "", "<grace/><chord/>") + note("D4", "2", ""),
			"|0+2(2/4) C4@0+1 E4'@1+0 &G4'@1+0 D4@1+1"},
		{"backup and forward", `</attributes>` + note("C4", "4", "") + `<backup><duration>3</duration></backup>` + note("E4", "1", "") + `<forward><duration>1</duration></forward>` + note("F4", "1", ""),
			"|0+2(2/4) C4@0+2 E4@1/2+1/2 F4@3/2+1/2"},
		{"a forward beyond the notes", `</attributes>` + note("C4", "2", "") + `<forward><duration>1</duration></forward>`, "|0+3/2(2/4) C4@0+1"},
		{"an empty bar", `</attributes>` + next + note("C4", "4", ""), "|0+2(2/4) |2+2(2/4) C4@0+2"},
		{"an empty bar in senza misura", `</attributes>` + note("C4", "4", "") + next + `<attributes><time><senza-misura/></time></attributes>`, "|0+2(2/4) C4@0+2 |2+0(senza misura)"},
		{"a meter behind the first note", `</attributes>` + note("C4", "4", "") + `<attributes><time><beats>3</beats><beat-type>8</beat-type></time></attributes>` + next + note("D4", "3", ""),
			"|0+2(2/4) C4@0+2 |2+3/2(3/8) D4@0+3/2"},
		{"a meter of another staff", `<time number="2"><beats>3</beats><beat-type>4</beat-type></time></attributes>` + note("C4", "4", ""), "|0+2(2/4) C4@0+2"},
		{"divisions that change", `</attributes>` + note("C4", "2", "") + `<attributes><divisions>10.5</divisions></attributes>` + note("D4", "3.5", "") + note("E4", "7", ""),
			"|0+2(2/4) C4@0+1 D4@1+1/3 E4@4/3+2/3"},
		{"an interval that is not spelled", clarinet + `</attributes>` + note("C4", "4", ""), "|0+2(2/4) C4>Bb3@0+2"},
		{"spelled another way", `<transpose><diatonic>-2</diatonic><chromatic>-2</chromatic></transpose></attributes>` + note("C4", "4", ""), "|0+2(2/4) C4>A#3@0+2"},
		{"tied only", `</attributes>` + note("C4", "2", `<notations><tied type="start"/></notations>`) + note("C4", "2", `<tie type="stop"/><notations><tied type="start"/></notations>`),
			"|0+2(2/4) C4~@0+1 C4@1+1"},
		{"a pickup's rest", `</attributes><note><rest measure="yes"/><duration>2</duration></note>` + next + `<note><rest measure="yes"/><duration>99</duration></note>`,
			"|0+1(2/4) r@0+1 |1+2(2/4) r@0+2"},
		{"a note without duration", `</attributes><note><rest/><type>eighth</type><dot/></note>`, "|0+3/4(2/4) r@0+3/4"},
		{"a microtone", `</attributes><note><pitch><step>E</step><alter> -0.5 </alter><octave>4</octave></pitch><duration>4</duration></note>`, "|0+2(2/4) E(-0.5)4@0+2"},
	} {
		s, _, err := read([]byte(head+start+c.body+end), passage.Limits{})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		checkLaws(t, s)
		if got := says(&s.Parts[0]); got != c.want {
			t.Errorf("%s: read as\n%s, want\n%s", c.name, got, c.want)
		}
	}
	concert, _, err := read([]byte(head+`<defaults><concert-score/></defaults>`+start+`<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic><octave-change>-1</octave-change></transpose></attributes>`+note("C4", "4", "")+end), passage.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := says(&concert.Parts[0]), "|0+2(2/4) C4>C3@0+2"; got != want {
		t.Errorf("in concert pitch: %s, want %s", got, want)
	}
}

// The longest part makes a bar's length, and the place of the next.
func TestPartsShareBars(t *testing.T) {
	part := func(id string, durations ...string) string {
		out := `<part id="` + id + `">`
		for _, d := range durations {
			out += `<measure number="1"><attributes><time><beats>4</beats><beat-type>4</beat-type></time></attributes>`
			if d != "" {
				out += `<note><rest/><duration>` + d + `</duration></note>`
			}
			out += `</measure>`
		}
		return out + `</part>`
	}
	s, _, err := read([]byte(`<score-partwise><part-list><score-part id="A"><part-name>One</part-name></score-part><score-part id="B"><part-name>Two</part-name></score-part></part-list>`+
		part("", "3", "1", "")+part("B", "1", "2", "", "4")+`</score-partwise>`), passage.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	checkLaws(t, s)
	want := []string{"|0+3(4/4) r@0+3 |3+2(4/4) r@0+1 |5+4(4/4)", "|0+3(4/4) r@0+1 |3+2(4/4) r@0+2 |5+4(4/4) |9+4(4/4) r@0+4"}
	for i, p := range s.Parts {
		if got := says(&p); got != want[i] || p.Name != []string{"One", "Two"}[i] {
			t.Errorf("%s: %s, want %s", p.Name, got, want[i])
		}
	}
	if len(s.Order) != 4 {
		t.Errorf("played %v", s.Order)
	}
}
