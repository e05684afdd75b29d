package spoken

import (
	"slices"
	"strconv"
	"time"

	"footing/audio/click"
)

// Options say what is spoken in a phrase.
type Options struct {
	Count bool // the syllables of its strokes
	Bars  bool // the number of each bar at its first beat, in place of the count
	// Rung is the tempo that is announced at the phrase's start, in place of the count
	// for as long as that takes; 0 for none.
	Rung click.Tempo
}

// Closest is how far apart syllables must lie that are spoken: where they lie closer
// only the beats are. Eight in a second are about what a practised tongue can say
// (common practice, no source).
const Closest = 115 * time.Millisecond

const (
	longestLead = 150 * time.Millisecond // before a vowel
	pause       = 5 * time.Millisecond   // between a word and the next, at least
	leadShare   = 0.4                    // of the time between two vowels: the most that leads to the second
)

// saying is what is spoken at a place.
type saying struct {
	at    click.Beats
	frame int64
	words []string
	beat  bool // on a beat
	rung  bool // announces a rung: it may go on over places that follow
}

// Words is what is spoken of a phrase, for [click.Phrase.Words]: each vowel on its
// stroke at the phrase's tempo, words shortened where they come close and none over
// another. Where syllables come closer than [Closest] only the beats are counted. What
// the voice has no word for is passed over. The sounds are kept and shared.
func (v *Voice) Words(p click.Phrase, o Options) []click.Word {
	all := v.sayings(p, o)
	var out []click.Word
	end := click.Span(p.Length, p.Tempo, v.rate).Round()
	for i, s := range all {
		until, next := end, v.frames(longestLead)
		if i+1 < len(all) {
			until, next = all[i+1].frame, v.lead(all[i+1].words)
		}
		gap := int(until - s.frame)
		before := gap
		if i > 0 {
			before = int(s.frame - all[i-1].frame)
		}
		lead := min(v.lead(s.words), share(before))
		room := gap - min(next, share(gap)) - v.frames(pause)
		out = append(out, click.Word{At: s.at, Sound: v.sound(s.words, lead, room), Lead: lead})
	}
	return out
}

func share(gap int) int { return int(leadShare * float64(gap)) }

func (v *Voice) frames(d time.Duration) int { return int(d.Seconds() * float64(v.rate)) }

// sayings are what is to be spoken, in order.
func (v *Voice) sayings(p click.Phrase, o Options) []saying {
	var all []saying
	for _, s := range p.Strokes {
		words := []string(nil)
		if s.Hushed {
			continue
		}
		if o.Count {
			words = spelled(s.Syllable)
		}
		if o.Bars && s.Beat == 0 && s.Slot == 0 && p.Kind == click.Rep {
			words = Number(s.Bar)
		}
		if len(words) > 0 && v.has(words) {
			all = append(all, saying{at: s.At, frame: click.Span(s.At, p.Tempo, v.rate).Round(), words: words, beat: s.At.Den() == 1})
		}
	}
	if v.close(all) {
		all = slices.DeleteFunc(all, func(s saying) bool { return !s.beat })
	}
	if words := rung(o.Rung); o.Rung > 0 && v.has(words) {
		said := saying{words: words, rung: true}
		over := int64(len(v.sound(words, 0, 1<<30)) + v.frames(longestLead))
		if over > 2*click.Span(p.Length, p.Tempo, v.rate).Round() {
			return all // nobody would understand it
		}
		all = slices.DeleteFunc(all, func(s saying) bool { return s.frame < over })
		all = slices.Insert(all, 0, said)
	}
	return all
}

// close reports whether some of what is spoken comes too close to be.
func (v *Voice) close(all []saying) bool {
	for i := 1; i < len(all); i++ {
		if all[i].frame-all[i-1].frame < int64(v.frames(Closest)) {
			return true
		}
	}
	return false
}

func (v *Voice) has(words []string) bool {
	return !slices.ContainsFunc(words, func(w string) bool { _, ok := v.words[w]; return !ok })
}

// lead is how many frames come before the first vowel of some words.
func (v *Voice) lead(words []string) int {
	return min(v.words[words[0]].vowel, v.frames(longestLead))
}

// shortened is a sound by what it was made of.
type shortened struct {
	words      string
	lead, room int
}

// sound is some words one after the other, from so many frames before the first vowel
// and no more than room after it begins.
func (v *Voice) sound(words []string, lead, room int) []float32 {
	var body []float32
	first, key := v.words[words[0]], shortened{lead: lead, room: room}
	for i, w := range words {
		key.words += w + " "
		from := 0
		if i == 0 {
			from = first.vowel
		}
		body = append(body, v.words[w].samples[from:]...)
	}
	key.room = min(room, len(body))
	if made, ok := v.short[key]; ok {
		return made
	}
	begin := slices.Clone(first.samples[first.vowel-lead : first.vowel])
	if lead < first.vowel {
		rise(begin, v.rate)
	}
	if len(v.short) >= 1000 { // a voice that is used for hours, at tempos without number
		clear(v.short)
	}
	v.short[key] = append(begin, shorten(body, key.room, v.rate)...)
	return v.short[key]
}

// spelled are the words of a syllable.
func spelled(syllable string) []string {
	switch n, err := strconv.Atoi(syllable); {
	case err == nil:
		return Number(n)
	case syllable == "&":
		return []string{"and"}
	case syllable == "":
		return nil
	}
	return []string{syllable}
}

// Number are the words of a whole number from 0 to 9999: 118 is "100 18", spoken one
// hundred eighteen. It is nil for others.
func Number(n int) []string {
	var words []string
	switch {
	case n < 0 || n > 9999:
		return nil
	case n >= 100:
		words = append(Number(n/100), "hundred")
		if n %= 100; n == 0 {
			return words
		}
	}
	if n < 20 {
		return append(words, strconv.Itoa(n))
	}
	words = append(words, strconv.Itoa(n/10*10))
	if n%10 > 0 {
		words = append(words, strconv.Itoa(n%10))
	}
	return words
}

// rung are the words that announce a tempo: "rung 76", "rung 76 point 5".
func rung(t click.Tempo) []string {
	words := append([]string{"rung"}, Number(int(t/1000))...)
	part := strconv.Itoa(int(t%1000) + 1000)[1:]
	for len(part) > 0 && part[len(part)-1] == '0' {
		part = part[:len(part)-1]
	}
	if part != "" {
		words = append(words, "point")
	}
	for _, digit := range part {
		words = append(words, string(digit))
	}
	return words
}
