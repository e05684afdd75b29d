package fingers

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"footing/ladder/nearest"
	"footing/ladder/passage"
)

// Examples of what a line may say, for messages.
const (
	rowExample = `{note: Bb4, keys: "gA S3", use: side}`
	keyExample = `{id: S3, finger: R1, name: third side key}`
)

// ReadChart reads the chart of one instrument. The file's name is for messages. The
// error is [Errors].
func ReadChart(file string, data []byte) (*Chart, error) {
	r := &reader{file: file}
	var out *Chart
	switch docs := r.documents(data); {
	case len(docs) > 1:
		r.wrong(docs[1], "keep one instrument in a file", "a second document begins here")
	case len(docs) == 1:
		out = r.chart(docs[0], nil)
	}
	return out, r.failed()
}

// failed is what is wrong, in the order of the file; nil for nothing.
func (r *reader) failed() error {
	if len(r.errs) == 0 {
		return nil
	}
	slices.SortStableFunc(r.errs, func(a, b *Error) int { return cmp.Or(a.Line-b.Line, a.Col-b.Col) })
	return r.errs
}

// chart reads an instrument: a new one, or what a player adds to one that is known.
// It is nil where it cannot be read.
func (r *reader) chart(n *yaml.Node, known func(name string) *Chart) *Chart {
	f := r.fields(n, "instrument: clarinet, and under it fingerings:", "instrument", "names", "title", "transposition", "range", "ladder",
		"keys", "optional_keys", "pairs", "rules", "fingerings")
	name := r.text(f["instrument"])
	if name == "" {
		if n.Kind == yaml.MappingNode {
			r.wrong(n, "write instrument: and its name", "the chart has no instrument")
		}
		return nil
	}
	own := known != nil
	var c *Chart
	if own {
		c = known(name)
	}
	added := c != nil
	if added {
		c = c.clone()
		for _, field := range []string{"names", "title", "transposition", "range", "ladder", "pairs"} {
			if f[field] != nil {
				r.wrong(f[field], "leave it out, or give the instrument a name of its own", "the %s has its %s already", c.Instrument, field)
			}
		}
	} else {
		c = &Chart{Instrument: name, Names: r.words(f["names"]), Title: r.text(f["title"]), rows: map[int][]Fingering{}}
		r.span(f["range"], n, c)
		r.transposition(f["transposition"], c)
		r.ladder(f["ladder"], c)
		for _, item := range r.items(f["pairs"], `{keys: "S1 S2", opens: {F4: 1}}`) {
			p := r.fields(item, `{keys: "S1 S2", opens: {F4: 1}}`, "keys", "opens")
			c.pairs = append(c.pairs, pair{r.words(p["keys"]), r.lifts(p["opens"])})
		}
	}
	for _, item := range r.items(f["optional_keys"], keyExample) {
		r.key(item, &Chart{}, own) // read for its faults: off unless a player writes it under keys
	}
	for _, item := range r.items(f["keys"], keyExample) {
		r.key(item, c, own)
	}
	c.count()
	for _, item := range r.items(f["rules"], "{id: rolls, pairs: \"F pF#\"}") {
		r.rule(item, c)
	}
	rows := r.items(f["fingerings"], rowExample)
	for _, item := range rows {
		r.row(item, c, own)
	}
	if !added && len(r.errs) == 0 && len(c.rows) == 0 {
		r.wrong(n, "write fingerings: and under it such as - "+rowExample, "the chart of the %s has no fingerings", name)
	}
	if len(r.errs) == 0 {
		c.finish()
	}
	return c
}

func (r *reader) span(n, of *yaml.Node, c *Chart) {
	const example = "range: {low: E3, usual_top: G6}"
	if n == nil {
		if of.Kind == yaml.MappingNode {
			r.wrong(of, "write "+example, "the %s has no range", c.Instrument)
		}
		return
	}
	f := r.fields(n, example, "low", "usual_top", "top", "charted_top", "remark")
	for key, to := range map[string]*passage.Pitch{"low": &c.Low, "usual_top": &c.UsualTop} {
		if f[key] == nil {
			r.wrong(n, "write "+example, "the range has no %s", key)
		} else {
			*to, _ = r.pitch(f[key], "pitch")
		}
	}
	c.Top = c.UsualTop
	if f["charted_top"] != nil {
		c.Top, _ = r.pitch(f["charted_top"], "pitch")
	}
	if f["top"] != nil {
		r.pitch(f["top"], "pitch")
	}
	if c.UsualTop.Cents() < c.Low.Cents() {
		r.wrong(n, "write the lower one as low", "the range begins above its top")
	}
}

func (r *reader) transposition(n *yaml.Node, c *Chart) {
	if n == nil {
		return
	}
	f := r.fields(n, "transposition: {semitones: -2}", "semitones", "words")
	c.Semitones = r.whole(f["semitones"], -36, 36)
	r.text(f["words"])
}

func (r *reader) ladder(n *yaml.Node, c *Chart) {
	if n == nil {
		return
	}
	f := r.fields(n, "ladder: {holes: [h1, h2], first_open: {h1: C#5, h2: B4, none: A4}}", "holes", "first_open")
	c.holes = r.words(f["holes"])
	c.firstOpen = map[string]int{}
	if open := f["first_open"]; open != nil && open.Kind == yaml.MappingNode {
		for i := 0; i+1 < len(open.Content); i += 2 {
			if hole := open.Content[i].Value; hole != "none" && !slices.Contains(c.holes, hole) {
				r.wrong(open.Content[i], "write one of "+strings.Join(c.holes, ", "), "%s is not among the holes", quoted(hole))
			}
			if m, ok := r.midi(open.Content[i+1], "note"); ok {
				c.firstOpen[open.Content[i].Value] = m
			}
		}
	}
	for _, hole := range append(slices.Clone(c.holes), "none") {
		if _, ok := c.firstOpen[hole]; !ok {
			r.wrong(n, "write the note of each hole, and of none, under first_open", "the ladder has no note for %s", quoted(hole))
		}
	}
}

func (r *reader) key(n *yaml.Node, c *Chart, own bool) {
	f := r.fields(n, keyExample, "id", "finger", "with", "closes", "opens", "register", "side", "flick", "name", "sure", "src", "remark", "lilypond")
	k := Key{
		ID: r.text(f["id"]), With: r.text(f["with"]), Closes: r.words(f["closes"]), Opens: r.lifts(f["opens"]),
		Register: r.whole(f["register"], 0, 36), Side: r.yes(f["side"]), Flick: r.yes(f["flick"]), Name: r.text(f["name"]),
		Sure: r.sure(f["sure"], own), Sources: r.words(f["src"]), Remark: r.text(f["remark"]),
	}
	finger := slices.Index(fingerNames[:], r.text(f["finger"]))
	switch {
	case n.Kind != yaml.MappingNode:
		return
	case k.ID == "" || strings.ContainsAny(k.ID, " +>"):
		r.wrong(n, "write id: and a short name without blanks, + or >", "the key has no id")
		return
	case finger < 0:
		at := n
		if f["finger"] != nil {
			at = f["finger"]
		}
		r.wrong(at, "write finger: and one of "+strings.Join(fingerNames[:], ", "), "the key %s has no finger", quoted(k.ID))
		return
	case slices.ContainsFunc(c.Keys, func(other Key) bool { return other.ID == k.ID }):
		r.wrong(f["id"], "write another id", "there is a key %s already", quoted(k.ID))
		return
	case len(c.Keys) == MaxKeys:
		r.wrong(n, "leave some out", "there are more than %d keys", MaxKeys)
		return
	}
	if len(c.holes) > 0 {
		for _, hole := range k.Closes {
			if !slices.Contains(c.holes, hole) {
				r.wrong(f["closes"], "write some of "+strings.Join(c.holes, ", "), "%s is not among the holes of the ladder", quoted(hole))
			}
		}
	}
	k.Finger = Finger(finger)
	c.Keys = append(c.Keys, k)
}

func (r *reader) sure(n *yaml.Node, own bool) Sure {
	if n == nil {
		if own {
			return Own
		}
		return FromMemory
	}
	i := slices.Index(sureLetters[:], r.text(n))
	if i < 0 {
		r.wrong(n, "write A, B or M, or leave it out", "%s says nothing of how sure the row is", quoted(n.Value))
		return Own
	}
	return Sure(i)
}

func (r *reader) rule(n *yaml.Node, c *Chart) {
	f := r.fields(n, `{id: rolls, pairs: "F pF#"}`, "id", "text", "sure", "src", "remark", "pairs", "key", "for", "with", "except", "called")
	u := rule{id: r.text(f["id"]), key: r.text(f["key"]), in: r.text(f["for"]), with: r.words(f["with"]), called: r.text(f["called"])}
	for _, field := range []string{"key", "for", "with", "pairs"} {
		for _, id := range r.words(f[field]) {
			r.known(f[field], id, c)
		}
	}
	pairs := r.words(f["pairs"])
	for i := 0; i+1 < len(pairs); i += 2 {
		u.pairs = append(u.pairs, [2]string{pairs[i], pairs[i+1]})
	}
	if f["except"] != nil {
		u.except = map[int]bool{}
		for _, name := range r.words(f["except"]) {
			if m, ok := r.midi(&yaml.Node{Kind: yaml.ScalarNode, Value: name, Line: f["except"].Line, Column: f["except"].Column}, "note"); ok {
				u.except[m] = true
			}
		}
	}
	if u.key != "" && u.called == "" {
		u.called = u.key + " held"
	}
	c.rules = append(c.rules, u)
}

// known tells of a key that is not there.
func (r *reader) known(n *yaml.Node, id string, c *Chart) bool {
	if _, ok := c.index[id]; ok {
		return true
	}
	ids := make([]string, len(c.Keys))
	for i, k := range c.Keys {
		ids[i] = k.ID
	}
	want := "its keys are " + strings.Join(ids, " ")
	if near, ok := nearest.Word(id, ids); ok && len(id) > 1 {
		want = "did you mean " + near + "?"
	} else if len(ids) == 0 {
		want = "write the keys above the fingerings"
	}
	r.wrong(n, want, "%s is not a key of the %s", quoted(id), c.Instrument)
	return false
}

func (r *reader) row(n *yaml.Node, c *Chart, own bool) {
	f := r.fields(n, rowExample, "note", "keys", "use", "sure", "src", "remark", "hold", "fork", "pref", "shift", "free", "mute", "vent", "lift",
		"flick", "pair")
	if n.Kind != yaml.MappingNode {
		return
	}
	if f["note"] == nil || f["keys"] == nil {
		r.wrong(n, "write such as "+rowExample, "the row has no note or no keys")
		return
	}
	p, ok := r.pitch(f["note"], "note")
	row := Fingering{
		Pitch: p, Keys: r.words(f["keys"]), Use: r.text(f["use"]), Flick: r.text(f["flick"]), Pref: r.cost(f["pref"]),
		Sure: r.sure(f["sure"], own), Sources: r.words(f["src"]), Remark: r.text(f["remark"]),
		hold: r.yes(f["hold"]), fork: r.yes(f["fork"]), free: r.yes(f["free"]), shift: r.whole(f["shift"], 0, 48), lift: r.whole(f["lift"], -2, 2),
		vent: r.words(f["vent"]), mute: r.words(f["mute"]),
	}
	if row.Use == "" {
		row.Use = "standard"
		if own {
			row.Use = "own"
		}
	}
	for _, of := range []struct {
		field string
		ids   []string
	}{{"keys", row.Keys}, {"vent", row.vent}, {"mute", row.mute}} {
		for i, id := range of.ids {
			ok = r.known(f[of.field], id, c) && ok
			if slices.Contains(of.ids[:i], id) {
				r.wrong(f[of.field], "write each key once", "the key %s is there twice", quoted(id))
				ok = false
			}
		}
	}
	if row.Flick != "" {
		ok = r.known(f["flick"], row.Flick, c) && ok
	}
	if !ok {
		return
	}
	for _, id := range row.Keys {
		row.set |= 1 << c.index[id]
	}
	for by := Finger(0); by < fingers; by++ {
		if held := row.set & c.masks[by]; held.len() > 1 && own && by.Digit() != digits[0] && !c.together(held) {
			r.wrong(f["keys"], "give each finger one place", "the %s is on %s at once", by.Words(), c.Down(&row, by))
			return
		}
	}
	for _, other := range c.rows[p.Cents()/100] {
		if other.set == row.set && other.shift == row.shift {
			r.wrong(n, "leave the row out", "the chart has this row of %s already, as %s", other.Pitch, quoted(other.Use))
			return
		}
	}
	at := p.Cents() / 100
	if len(c.rows[at]) == maxOf {
		r.wrong(n, "leave some out", "there are more than %d fingerings of %s", maxOf, p)
		return
	}
	c.rows[at] = append(c.rows[at], row)
}

// together reports whether one finger can hold these keys at once.
func (c *Chart) together(held keySet) bool {
	side, paired := 0, false
	for i, k := range c.Keys {
		if held&(1<<i) == 0 {
			continue
		}
		if k.Side {
			side++
		}
		if with, ok := c.index[k.With]; ok && held&(1<<with) != 0 {
			paired = true
		}
	}
	return paired || side > 0 && held.len()-side <= 1
}

// count gives keys their bits.
func (c *Chart) count() {
	c.index, c.masks, c.registers = map[string]int{}, [fingers]keySet{}, 0
	for i, k := range c.Keys {
		c.index[k.ID] = i
		c.masks[k.Finger] |= 1 << i
		if k.Register > 0 {
			c.registers |= 1 << i
		}
	}
}

func (c *Chart) clone() *Chart {
	out := *c
	out.Keys, out.rules = slices.Clone(c.Keys), slices.Clone(c.rules)
	out.rows = map[int][]Fingering{}
	for m, rows := range c.rows {
		for _, row := range rows {
			if row.made == "" {
				out.rows[m] = append(out.rows[m], row)
			}
		}
	}
	return &out
}

// String is the instrument and its number of rows, for messages.
func (c *Chart) String() string { return fmt.Sprintf("%s, %d notes", c.Instrument, len(c.rows)) }
