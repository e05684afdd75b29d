package passage_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"footing/ladder/passage"
	"footing/ladder/passage/listing"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// checkLaws holds for every score that is read, whatever its file says.
func checkLaws(t *testing.T, s *passage.Score) {
	t.Helper()
	bars := 0
	for i := range s.Parts {
		p := &s.Parts[i]
		bars = max(bars, len(p.Bars))
		var start passage.Quarters
		for j, b := range p.Bars {
			if b.Index != j || b.Start != start || b.Length.Sign() < 0 || b.Offset.Sign() < 0 {
				t.Fatalf("bar %d of %s: index %d, from %v, %v long, begins %v behind its start; the bars before end at %v", j, p.Name, b.Index, b.Start, b.Length, b.Offset, start)
			}
			if other := s.Parts[0].Bars; j < len(other) && (b.Start != other[j].Start || b.Length != other[j].Length) {
				t.Fatalf("bar %d differs between parts", j)
			}
			start = start.Add(b.Length)
		}
		bar := 0
		voices := map[string][]passage.Note{}
		var written, heard passage.Quarters
		for _, n := range p.Notes {
			if n.Bar < bar || n.Bar >= len(p.Bars) {
				t.Fatalf("a note of bar %d stands behind bar %d of %d", n.Bar, bar, len(p.Bars))
			}
			bar = n.Bar
			if n.At.Sign() < 0 || n.Duration.Sign() < 0 || p.Bars[n.Bar].Length.Less(n.End()) {
				t.Fatalf("a note from %v to %v does not lie in its bar of %v", n.At, n.End(), p.Bars[n.Bar].Length)
			}
			voices[n.Voice] = append(voices[n.Voice], n)
			if n.Kind == passage.Pitched && n.Grace == passage.NoGrace && !n.Cue {
				written = written.Add(n.Duration)
			}
		}
		for _, notes := range voices {
			for _, sound := range p.Sounding(notes) {
				heard = heard.Add(sound.Duration)
			}
		}
		if len(p.Notes) < 1000 && heard != written {
			t.Fatalf("%v are heard of %v written", heard, written)
		}
	}
	for _, i := range s.Order {
		if i < 0 || i >= bars {
			t.Fatalf("bar %d of %d is played", i, bars)
		}
	}
	if _, err := json.Marshal(listing.Of("", s, nil)); err != nil {
		t.Fatal(err)
	}
}

// made are our own cases, by name.
func made(t testing.TB) map[string][]byte {
	t.Helper()
	names, err := filepath.Glob(filepath.Join("testdata", "made", "*.m*"))
	if err != nil || len(names) == 0 {
		t.Fatalf("no cases: %v", err)
	}
	out := map[string][]byte{}
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		out[filepath.Base(name)] = data
	}
	return out
}

// same reports whether two documents are read as the same score.
func same(t *testing.T, a, b []byte) {
	t.Helper()
	first, remarks, err := read(a, passage.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	second, others, err := read(b, passage.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	if x, y := plain(t, listing.Of("", first, remarks)), plain(t, listing.Of("", second, others)); !reflect.DeepEqual(x, y) {
		t.Errorf("read as\n%v\nand as\n%v", x, y)
	}
}

var (
	partElement    = regexp.MustCompile(`(?s)<part (id="[^"]*")>(.*?)</part>`)
	measureElement = regexp.MustCompile(`(?s)<measure ([^>]*)>(.*?)</measure>`)
)

// timewise turns a partwise document around.
func timewise(doc string) string {
	var attrs []string
	bodies := map[int]string{}
	for _, part := range partElement.FindAllStringSubmatch(doc, -1) {
		for i, m := range measureElement.FindAllStringSubmatch(part[2], -1) {
			if i >= len(attrs) {
				attrs = append(attrs, m[1])
			}
			bodies[i] += "<part " + part[1] + ">" + m[2] + "</part>"
		}
	}
	var body strings.Builder
	for i, a := range attrs {
		fmt.Fprintf(&body, "<measure %s>%s</measure>\n", a, bodies[i])
	}
	head, _, _ := strings.Cut(doc, "<part id")
	return strings.ReplaceAll(head, "score-partwise", "score-timewise") + body.String() + "</score-timewise>"
}

func TestTimewiseIsTheSame(t *testing.T) {
	for name, data := range made(t) {
		if !passage.IsArchive(data) {
			t.Run(name, func(t *testing.T) { same(t, data, []byte(timewise(string(data)))) })
		}
	}
}

// A part that comes in late, or leaves out measures, has empty bars there.
func TestTimewisePartsComeAndGo(t *testing.T) {
	const note = `<note><rest/><duration>1</duration></note>`
	doc := `<score-timewise><part-list/>
		<measure number="1"><part id="A"><attributes><divisions>1</divisions><time><beats>2</beats><beat-type>4</beat-type></time></attributes>` + note + note + `</part></measure>
		<measure number="2"><part id="A">` + note + note + `</part></measure>
		<measure number="3"><part id="B"><attributes><divisions>1</divisions></attributes>` + note + note + note + `</part></measure>
		<measure number="4"><part id="A">` + note + note + `</part><part id="B">` + note + `</part></measure></score-timewise>`
	s, _, err := read([]byte(doc), passage.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	checkLaws(t, s)
	a, b := s.Parts[0], s.Parts[1]
	if len(a.Bars) != 4 || len(b.Bars) != 4 || a.Bars[3].Start.String() != "7" || b.Notes[0].Bar != 2 || a.Notes[4].Bar != 3 || b.Bars[0].Number != "1" {
		t.Errorf("%+v\n%+v", a, b)
	}
	if _, _, err := read([]byte(`<score-timewise><measure number="1"><part id="A"/><part id="A"/></measure></score-timewise>`), passage.Limits{}); err == nil {
		t.Error("a part stands twice in a measure")
	}
}

func TestEncodings(t *testing.T) {
	const doc = `<?xml version="1.0" encoding="UTF-8"?><score-partwise><part-list><score-part id="P1"><part-name>Flöte – für Ü</part-name></score-part></part-list>` +
		`<part id="P1"><measure number="1"><direction><direction-type><words>ruhig, ßüß</words></direction-type></direction><note><rest/><duration>4</duration></note></measure></part></score-partwise>`
	for _, c := range []struct {
		declared string
		as       encoding.Encoding
		text     string
	}{
		{"UTF-8", unicode.UTF8, doc},
		{"utf-8", unicode.UTF8BOM, doc},
		{"UTF-16", unicode.UTF16(unicode.LittleEndian, unicode.UseBOM), doc},
		{"UTF-16", unicode.UTF16(unicode.BigEndian, unicode.UseBOM), doc},
		{"UTF-16", unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM), doc},
		{"UTF-16BE", unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM), doc},
		{"ISO-8859-1", charmap.ISO8859_1, strings.ReplaceAll(doc, "–", "-")},
		{"windows-1252", charmap.Windows1252, doc},
	} {
		data, err := c.as.NewEncoder().String(strings.Replace(c.text, "UTF-8", c.declared, 1))
		if err != nil {
			t.Fatalf("%s: %v", c.declared, err)
		}
		same(t, []byte(c.text), []byte(data))
	}
	for _, bad := range []string{strings.Replace(doc, "UTF-8", "EBCDIC-CP-US", 1), strings.Replace(doc, "ö", "\xf6", 1)} {
		if _, _, err := read([]byte(bad), passage.Limits{}); err == nil {
			t.Errorf("%.60q was read", bad)
		}
	}
}

// A score that is cut off anywhere is refused, and an archive as well.
func TestCutOff(t *testing.T) {
	for name, data := range made(t) {
		data = bytes.TrimRight(data, " \r\n")
		for n := 0; n < len(data); n += max(len(data)/97, 1) {
			if _, _, err := read(data[:n], passage.Limits{}); err == nil {
				t.Errorf("%s cut off at %d of %d was read", name, n, len(data))
			}
		}
	}
}

func TestCancel(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	for name, data := range made(t) {
		var err error
		if passage.IsArchive(data) {
			_, _, err = passage.ReadArchive(ctx, bytes.NewReader(data), int64(len(data)), passage.Limits{})
		} else {
			_, _, err = passage.Read(ctx, bytes.NewReader(data), passage.Limits{})
		}
		if !errors.Is(err, context.Canceled) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Every limit ends reading in a sentence that says what is too much.
func TestLimits(t *testing.T) {
	const (
		head = `<score-partwise><part-list/><part id="P1">`
		tail = `</part></score-partwise>`
		note = `<note><rest/><duration>1</duration></note>`
	)
	many := strings.Repeat
	wide := passage.Limits{}
	for _, c := range []struct {
		name, doc string
		limits    passage.Limits
		want      string
	}{
		{"bytes", head + `<measure>` + many(note, 100) + `</measure>` + tail, passage.Limits{Bytes: 2000}, "too large"},
		{"depth", many("<a>", 40), wide, "outermost"},
		{"depth within", `<score-partwise>` + many("<a>", 40), wide, "nested too deep"},
		{"bars", head + many(`<measure/>`, 101) + tail, passage.Limits{Bars: 100}, "too many bars"},
		{"bars of all parts", `<score-partwise>` + many(`<part>`+many(`<measure/>`, 99)+`</part>`, 11) + `</score-partwise>`, passage.Limits{Bars: 100}, "too many bars"},
		{"parts", `<score-partwise>` + many(`<part><measure/></part>`, 501), wide, "too many parts"},
		{"listed parts", `<score-partwise><part-list>` + many(`<score-part/>`, 501), wide, "too many parts"},
		{"notes", head + `<measure>` + many(note, 11), passage.Limits{Notes: 10}, "too many notes"},
		{"marks", head + `<measure><note><notations>` + many(`<a/>`, 21), passage.Limits{Notes: 10}, "too many marks"},
		{"directions", head + `<measure><direction><direction-type>` + many(`<words>a</words>`, 21), passage.Limits{Notes: 10}, "too many marks"},
		{"played", head + many(`<measure><barline><repeat direction="backward" times="1000000"/></barline></measure>`, 2000) + tail, wide, "too long once its repeats are played out"},
		{"a long text", `<score-partwise><movement-title>` + many("x", 3<<20), wide, "longer than"},
		{"a long comment", `<score-partwise><!--` + many("x", 3<<20), wide, "longer than"},
		{"a long text in bits", `<score-partwise><movement-title>` + many(many("x", 1000)+"<!-- -->", 1100), wide, "longer than"},
		{"divisions", head + `<measure><attributes><divisions>1000003</divisions></attributes>` + note + `</measure>` + tail, wide, "too finely divided"},
		{"divisions together", head + `<measure><attributes><divisions>999983</divisions></attributes>` + note + `<attributes><divisions>2</divisions></attributes>` + note + `</measure>` + tail, wide, "too finely divided"},
		{"duration", head + `<measure><note><rest/><duration>2000000</duration></note></measure>` + tail, wide, "too long"},
		{"the piece", head + many(`<measure><note><rest/><duration>1999999</duration></note></measure>`, 2) + tail, wide, "too long"},
	} {
		s, _, err := read([]byte(c.doc), c.limits)
		if err == nil || !strings.Contains(err.Error(), c.want) || len(err.Error()) > 200 || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: %v, want %q; %v", c.name, err, c.want, s)
		}
	}
}

// What is odd is said, with its place; what is read is what stands.
func TestRemarks(t *testing.T) {
	measure := func(body string) string {
		return `<score-partwise><part-list><score-part id="P1"><part-name>Oboe</part-name></score-part></part-list><part id="P1"><measure number="7"><attributes><divisions>2</divisions>` +
			`<time><beats>2</beats><beat-type>4</beat-type></time></attributes>` + body + `</measure></part></score-partwise>`
	}
	note := func(body string) string {
		return `<note><pitch><step>A</step><octave>4</octave></pitch><duration>2</duration>` + body + `</note>`
	}
	two := note("") + note("")
	for _, c := range []struct{ doc, want string }{
		{measure(two), ""},
		{measure(note("")), "bar 7 of Oboe: holds 1 quarters, fewer than the 2 of 2/4, and is not marked implicit"},
		{measure(two + note("")), "bar 7 of Oboe: holds 3 quarters, more than the 2 of 2/4"},
		{measure(two + `<backup><duration>9</duration></backup>`), "bar 7 of Oboe: a backup goes 9/2 quarters back from 2; the bar's start is taken"},
		{measure(note("<type>half</type>") + note("")), "bar 7 of Oboe: the duration of 1 quarters is not that of the written note, 2"},
		{measure(note("<accidental>sharp</accidental>") + note("")), "bar 7 of Oboe: the accidental of A4 says sharp; what is altered in the pitch sounds"},
		{measure(note(`<tie type="start"/>`) + note("")), "bar 7 of Oboe: a tie from A4 is not ended by the next A4"},
		{measure(note("") + note(`<tie type="start"/>`)), "bar 7 of Oboe: a tie from A4 is not ended"},
		{measure(note("") + strings.Replace(note(""), "<note>", "<note><chord/>", 1) + note("")), ""},
		{measure(strings.Replace(note(""), "<note>", "<note><chord/>", 1) + note("")), "bar 7 of Oboe: a chord's note has no note before it in its bar; it is taken as a note of its own"},
		{measure(`<direction><direction-type><words>D.C. al Fine</words></direction-type></direction>` + two), `bar 7 of Oboe: "D.C. al Fine" is not followed in the playing order: the file has no sound element for it`},
		{measure(`<direction><direction-type><words>D.C.</words></direction-type><sound dacapo="yes"/></direction>` + two), ""},
		{measure(`<sound tempo="fast"/>` + two), `bar 7 of Oboe: the tempo "fast" is not a plain number of quarters a minute; it is left out`},
		{measure(strings.Repeat(`<note><rest/><duration>2</duration><type>odd</type></note>`, 2)), `bar 7 of Oboe: the note value "odd" is not known`},
		{measure(`<note><rest measure="yes"/><duration>8</duration></note>`), "bar 7 of Oboe: a whole-bar rest lasts 4 quarters where the bar has 2; the bar's length is taken"},
		{strings.Replace(measure(two), `<score-part id="P1">`, `<score-part id="P2">`, 1), "part P1: the part is not in the part-list; it is read all the same"},
		{`<score-partwise><part-list><score-part id="P1"/></part-list><part id="P1"><measure number="1"><note><rest/><duration>4</duration></note></measure></part></score-partwise>`, "bar 1 of part P1: notes stand before any divisions; 1 a quarter is taken"},
	} {
		s, remarks, err := read([]byte(c.doc), passage.Limits{})
		if err != nil {
			t.Errorf("%s: %v", c.doc, err)
			continue
		}
		checkLaws(t, s)
		var said []string
		for _, r := range remarks {
			said = append(said, r.String())
		}
		if c.want == "" && len(said) > 0 || c.want != "" && !slices.Contains(said, c.want) {
			t.Errorf("said %q, want %q", said, c.want)
		}
	}
}
