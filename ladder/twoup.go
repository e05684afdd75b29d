package ladder

// twoUp climbs two rungs and then goes one down, each on cleans in a row, and
// falls one rung on roughs in a row (common practice, no source).
type twoUp struct {
	anyRule
	oneDown bool // two up is done, and one down is next
}

func (c twoUp) rep(s Standing, step Step, v Verdict) Standing {
	switch {
	case v == Rough && s.RoughRun >= step.Rule.Rough:
		return s.on(twoUp{}).down()
	case v != Clean || s.CleanRun < step.Rule.Clean:
		return s
	case s.Tempo() >= s.Goal():
		return s.up()
	case s.ByHand != 0:
		return s.on(twoUp{}).up()
	}
	i, _ := c.next(s)
	return s.on(twoUp{oneDown: !c.oneDown}).to(i)
}

func (c twoUp) fresh() course { return c }
func (twoUp) moved() course   { return twoUp{} }

func (c twoUp) next(s Standing) (int, bool) {
	i, ok := s.above()
	switch {
	case !ok:
		return i, false
	case c.oneDown:
		return s.below()
	}
	return min(i+1, s.top()), true
}

func (twoUp) line(s State, step Step) string { return s.earnedLine(step) }

func (c twoUp) keep(_ Standing, b *Bookmark)       { b.OneDown = c.oneDown }
func (twoUp) resume(_ Standing, b Bookmark) course { return twoUp{oneDown: b.OneDown} }
