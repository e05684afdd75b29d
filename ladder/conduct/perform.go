package conduct

import (
	"footing/audio/click"
	"footing/ladder"
)

// performer does what the reducer asks for.
type performer interface {
	play(click.Phrase)
	run()
	halt(from uint64)
	retempo(t click.Tempo, through uint64)
	record(ladder.Played)
	revise()
}

// perform is the one place where effects are told apart.
func perform(effects []ladder.Effect, by performer) {
	for _, effect := range effects {
		switch effect := effect.(type) {
		case ladder.Play:
			by.play(effect.Phrase)
		case ladder.Run:
			by.run()
		case ladder.Halt:
			by.halt(effect.From)
		case ladder.Retempo:
			by.retempo(effect.Tempo, effect.Through)
		case ladder.Record:
			by.record(effect.Rep)
		case ladder.Revised:
			by.revise()
		}
	}
}
