package fingers

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"gopkg.in/yaml.v3"

	"footing/assets"
	"footing/ladder/passage"
)

// held are the charts that the program carries.
func held(t testing.TB) *Library {
	t.Helper()
	l, err := Load(assets.Fingerings, "fingerings")
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func TestNothingIsOdd(t *testing.T) {
	rows := 0
	for _, c := range held(t).charts {
		for _, a := range c.Anomalies() {
			t.Errorf("%s: %s", c.Instrument, a)
		}
		for _, row := range c.Rows() {
			if row.made == "" {
				rows++
			}
		}
	}
	if rows != 243 {
		t.Errorf("%d rows, not 243", rows)
	}
}

// Every key of every row is left out in turn. testdata/drops-missed.txt has those
// that another program with the same rules does not notice: instrument, row from 0
// and key. None but those may go unnoticed here.
func TestAKeyLeftOutIsNoticed(t *testing.T) {
	data, err := os.ReadFile("testdata/drops-missed.txt")
	if err != nil {
		t.Fatal(err)
	}
	missed := strings.Split(strings.TrimSpace(string(data)), "\n")
	all, caught := 0, 0
	for _, c := range held(t).charts {
		text, err := assets.Fingerings.ReadFile("fingerings/" + c.Instrument + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		var file struct {
			Fingerings []struct{ Note, Keys, Use string }
		}
		if err := yaml.Unmarshal(text, &file); err != nil {
			t.Fatal(err)
		}
		for i, want := range file.Fingerings {
			row := c.find(want.Note, want.Use, want.Keys)
			if row == nil {
				t.Fatalf("%s: no row %+v", c.Instrument, want)
			}
			if row.free {
				continue
			}
			whole, keys := row.set, row.Keys
			for _, id := range keys {
				row.set = whole &^ (1 << c.index[id])
				all++
				if len(c.Anomalies()) > 0 {
					caught++
				} else if drop := fmt.Sprintf("%s %d %s", c.Instrument, i, id); !slices.Contains(missed, drop) {
					t.Errorf("%s: %s %s without %s goes unnoticed", drop, want.Note, want.Use, id)
				}
			}
			row.set = whole
		}
	}
	t.Logf("%d of %d noticed", caught, all)
	if all != 1261 || caught < 1196 {
		t.Errorf("%d of %d noticed, want at least 1196 of 1261", caught, all)
	}
}

// find is the row of a chart that a line of its file stands for.
func (c *Chart) find(note, use, keys string) *Fingering {
	for m := range c.rows {
		for i := range c.rows[m] {
			row := &c.rows[m][i]
			if row.made == "" && row.Pitch.String() == note && row.Use == use && strings.Join(row.Keys, " ") == strings.Join(strings.Fields(keys), " ") {
				return row
			}
		}
	}
	return nil
}

// Every source that a key or a row names is told of.
func TestSourcesAreKnown(t *testing.T) {
	data, err := assets.Fingerings.ReadFile("fingerings/sources.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		Sources map[string]struct{ At string }
	}
	if err := yaml.Unmarshal(data, &file); err != nil {
		t.Fatal(err)
	}
	known := func(of string, sources []string) {
		if len(sources) == 0 {
			t.Errorf("%s has no source", of)
		}
		for _, s := range sources {
			if file.Sources[s].At == "" {
				t.Errorf("%s: the source %s is not told of", of, s)
			}
		}
	}
	for _, c := range held(t).charts {
		for _, k := range c.Keys {
			known(c.Instrument+" key "+k.ID, k.Sources)
		}
		for _, row := range c.Rows() {
			known(c.Instrument+" "+row.Pitch.String(), row.Sources)
		}
	}
}

// The rows that rules make have the keys that they name, each finger in one place,
// and sound like the row they come from.
func TestMadeRows(t *testing.T) {
	made := map[string]int{}
	for _, c := range held(t).charts {
		for m, rows := range c.rows {
			for _, row := range rows {
				var set keySet
				for _, id := range row.Keys {
					set |= 1 << c.index[id]
				}
				if set != row.set {
					t.Errorf("%s %s, %s: the keys %v are not its keys", c.Instrument, row.Pitch, row.Use, row.Keys)
				}
				if row.made == "" {
					continue
				}
				made[row.made]++
				for f := Finger(0); f < fingers; f++ {
					if on := row.set & c.masks[f]; on.len() > 1 && !c.oneFinger(on) {
						t.Errorf("%s %s, %s: the %s is on %s", c.Instrument, row.Pitch, row.Use, f.Words(), c.Down(&row, f))
					}
				}
				if !slices.ContainsFunc(rows, func(r Fingering) bool { return r.made == "" && r.Alike(&row) }) {
					t.Errorf("%s: no row of %d sounds like %s", c.Instrument, m, row.Use)
				}
			}
		}
	}
	if made["thumb-flat-stays"] < 20 || made["bis-stays"] < 15 || len(made) != 2 {
		t.Errorf("rules have made %v", made)
	}
	flute, _ := held(t).For("flute")
	for note, want := range map[string]int{"A4": 2, "B4": 1, "F#6": 2} { // bandermeer.com: not on B, nor on F sharp 6
		p, err := passage.ParsePitch(note)
		if err != nil {
			t.Fatal(err)
		}
		if got := flute.Of(p); len(got) != want {
			t.Errorf("%s has %d rows, want %d", note, len(got), want)
		}
	}
}
