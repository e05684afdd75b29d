package hear

import (
	"math"

	"footing/audio/stat"
)

// manners are how the notes of a take follow each other. A room hides whether one
// turn is a slur, and where it begins; what all turns of a pair of notes tell
// together it hides less.
type manners struct {
	of      map[pair]manner
	slurred float64 // the mean of all log odds
	seen    float64 // seconds, usually, from where a turn is full to where the other period is seen
	live    float64 // of the room
}

// manner is how one note is played after another.
type manner struct {
	turns int
	odds  float64 // log odds that it is slurred
	head  float64 // seconds from where its attack begins to where it is strong
	seen  float64 // seconds from where it is full to where the other period is seen
}

// mannersOf looks through the onsets of a take, in a room that is so live.
func mannersOf(onsets []Onset, live float64) manners {
	m := manners{of: map[pair]manner{}, live: live}
	turns := map[pair][]turn{}
	var all []turn
	for _, o := range onsets {
		if o.turn != (turn{}) {
			turns[o.turn.pair] = append(turns[o.turn.pair], o.turn)
			all = append(all, o.turn)
		}
	}
	seen := func(t turn) float64 { return t.where - t.full }
	m.seen = median(all, seen)
	n := 0
	for _, o := range onsets { // in their order, so that the sum is the same each time
		if o.turn == (turn{}) {
			continue
		}
		of, known := m.of[o.turn.pair]
		if !known {
			of = mannerOf(turns[o.turn.pair], live)
			if of.seen = m.seen; of.turns > fewTurns {
				of.seen = median(turns[o.turn.pair], seen)
			}
			m.of[o.turn.pair] = of
		}
		m.slurred += of.odds
		n++
	}
	m.slurred /= float64(max(1, n))
	return m
}

// signs tell a slur from an attack: a slur is strong at once where it begins, and
// loud at once; there the period changes; the sound does not come up, and is the
// one note's until there and the other's after. They are about 1 where they tell
// most, and 0 where they tell least.
type signs struct{ head, apart, climb, rise, mixed float64 }

// signsOf some turns are those of their medians.
func signsOf(turns []turn) signs {
	return signs{
		head:  max(-0.3, min(1.2, 100*median(turns, func(t turn) float64 { return t.strong - t.begin }))),
		apart: max(-0.5, min(3, 100*median(turns, func(t turn) float64 { return t.where - t.strong }))),
		climb: max(0, min(2, 100*median(turns, func(t turn) float64 { return t.loud - t.strong }))),
		rise:  min(1.5, median(turns, func(t turn) float64 { return t.rise })/10),
		mixed: min(1.6, median(turns, func(t turn) float64 { return math.Sqrt(t.mixed) })),
	}
}

func (s signs) times(w signs) float64 {
	return s.head*w.head + s.apart*w.apart + s.climb*w.climb + s.rise*w.rise + s.mixed*w.mixed
}

// The log odds of a slur are slurOddsDry and the signs times signsDry, and more of
// both in a live room. They come from a logistic regression over some 3 000 pairs
// of notes of sampled and made-up instruments, dry and in rooms, and say no more
// than mostOdds, and less where only a few turns tell. The mean of a take's counts
// as well, takeOdds times and up to mostTakeOdds: a player rarely does both, but may.
var (
	signsDry  = signs{head: 1.6, apart: -2.8, climb: -3.0, rise: -5.5, mixed: -7.3}
	signsRoom = signs{head: -1.0, apart: 3.2, climb: 0.2, rise: 5.0, mixed: 10.2}
)

const (
	slurOddsDry  = 11.4
	slurOddsRoom = -10.2
	mostOdds     = 6.0
	takeOdds     = 2.0
	mostTakeOdds = 4.0
)

// mannerOf is what some turns from one note to another tell together.
func mannerOf(turns []turn, live float64) manner {
	s := signsOf(turns)
	odds := slurOddsDry + s.times(signsDry) + live*(slurOddsRoom+s.times(signsRoom))
	return manner{
		turns: len(turns),
		odds:  max(-mostOdds, min(mostOdds, odds)),
		head:  median(turns, func(t turn) float64 { return t.strong - t.begin }),
	}
}

func median(turns []turn, of func(t turn) float64) float64 {
	list := make([]float64, len(turns))
	for i, t := range turns {
		list[i] = of(t)
	}
	return stat.Median(list)
}

const (
	// A slur lies fullEarly before it seems full: a little after that, since smoothing
	// shows it early. What seems full is something else when it lies more than seenApart
	// farther than usual before the place where the other period is seen. Both are in
	// seconds.
	fullEarly = -0.001
	seenApart = 0.008
	// More than fewTurns of a pair tell how long its attacks take until they are strong.
	// In a room that counts the more of them there are, at twice as many as much as what
	// is seen of each by itself.
	fewTurns = 3
)

// place says anew where an onset lies, and how well that is known.
func (m manners) place(o *Onset) {
	if o.turn == (turn{}) {
		return
	}
	of, t := m.of[o.turn.pair], o.turn
	room := min(1, m.live/changeLive)
	// A room leaves so much of the old period that the new one is seen late.
	late := min(of.seen+seenApart, t.where-t.full)
	if t.struck {
		late = min(late, m.seen)
	}
	slur := t.where - room*(late+fullEarly)
	attack := t.strong - of.head
	if !o.Slurred {
		known := max(0, min(1, float64(of.turns-fewTurns)/fewTurns))
		attack = o.Seconds + room*known/2*(attack-o.Seconds)
	}
	take := max(-mostTakeOdds, min(mostTakeOdds, takeOdds*m.slurred))
	own := of.odds * min(1, float64(of.turns)/(fewTurns+1))
	p := 1 / (1 + math.Exp(-own-take))
	o.Seconds = p*slur + (1-p)*attack
	o.slurred, o.torn = p, 1000*(1-p)*math.Sqrt(p)*math.Abs(slur-attack)
	o.Slurred = p > 0.5
}
