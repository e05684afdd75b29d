// Package keys says which key does what at the Stand. Page-turn pedals send
// arrow or Page keys, so a pedal is a key like any other.
package keys

import "slices"

// Action is something that one key does.
type Action string

// The actions.
const (
	StartStop Action = "start"
	Clean     Action = "clean"
	Rough     Action = "rough"
	Skip      Action = "skip"

	RungUp   Action = "rung up"
	RungDown Action = "rung down"
	Tap      Action = "tap"
	Why      Action = "why here"

	Earlier Action = "earlier"
	Later   Action = "later"
	Shrink  Action = "shrink"
	Widen   Action = "widen"
	Grain   Action = "grain"
	Group   Action = "group"
	Halve   Action = "halve"
	NextCut Action = "next of the plan"
	Plan    Action = "plan"

	Shape   Action = "shape"
	Only    Action = "only"
	Angle   Action = "angle"
	Slots   Action = "slots"
	Pulse   Action = "pulse"
	Count   Action = "count"
	CountIn Action = "count-in"
	Landing Action = "landing"
	Hush    Action = "hush"
	Speak   Action = "speak"
	Far     Action = "far"
	Breath  Action = "breath"
	Reps    Action = "reps"

	Model      Action = "model"
	ModelFades Action = "model fades"
	ModelLevel Action = "model level"
	ModelA     Action = "model A"
	ModelPitch Action = "model pitch"

	Sound  Action = "sound"
	Softer Action = "softer"
	Louder Action = "louder"

	Pencil   Action = "pencil"
	NextStep Action = "next step"
	LastStep Action = "previous step"

	Palette Action = "palette"
	Whole   Action = "whole screen"
	Help    Action = "help"
)

// Window is the group of what concerns the window as a whole.
const Window = "Window"

// Info describes an action.
type Info struct {
	Action Action
	Group  string
	Does   string // what the key does, in a few words
	Keys   []string
	// Turns is set where a capital letter, Shift and the key, turns back what
	// the key turns on.
	Turns bool
	// Repeats is set where a key that is held down acts again and again.
	Repeats bool
}

// All lists the actions in the order of the help, with their first keys. views
// are the keys that lead to the window's views.
func All(views ...Info) []Info {
	return slices.Concat([]Info{
		{Action: StartStop, Group: "Click", Does: "start or stop", Keys: []string{"Space"}},
		{Action: Clean, Group: "Click", Does: "that rep was clean", Keys: []string{"Right", "Next"}},
		{Action: Rough, Group: "Click", Does: "that rep was rough", Keys: []string{"Left", "Prior"}},
		{Action: Skip, Group: "Click", Does: "that rep does not count", Keys: []string{"k"}},

		{Action: RungUp, Group: "Tempo", Does: "a rung up", Keys: []string{"Up"}, Repeats: true},
		{Action: RungDown, Group: "Tempo", Does: "a rung down", Keys: []string{"Down"}, Repeats: true},
		{Action: Tap, Group: "Tempo", Does: "tap a tempo, 4 times", Keys: []string{"t"}},
		{Action: Why, Group: "Tempo", Does: "why on this rung?", Keys: []string{"y"}},

		{Action: Model, Group: "Notes", Does: "hear them: once, always", Keys: []string{"m"}},
		{Action: ModelFades, Group: "Notes", Does: "fade up the ladder", Keys: []string{"f"}},
		{Action: ModelLevel, Group: "Notes", Does: "their level", Keys: []string{"d"}, Turns: true},
		{Action: ModelA, Group: "Notes", Does: "their A", Keys: []string{"a"}, Turns: true},
		{Action: ModelPitch, Group: "Notes", Does: "their pitch", Keys: []string{"e"}},

		{Action: Earlier, Group: "Chunk", Does: "move it earlier", Keys: []string{"<", ","}, Repeats: true},
		{Action: Later, Group: "Chunk", Does: "move it later", Keys: []string{">", "."}, Repeats: true},
		{Action: Shrink, Group: "Chunk", Does: "make it shorter", Keys: []string{"["}, Repeats: true},
		{Action: Widen, Group: "Chunk", Does: "make it longer", Keys: []string{"]"}, Repeats: true},
		{Action: Grain, Group: "Chunk", Does: "by beats, slots or notes", Keys: []string{"g"}},
		{Action: Group, Group: "Chunk", Does: "up to the next group", Keys: []string{"x"}},
		{Action: Halve, Group: "Chunk", Does: "cut it in half", Keys: []string{"h"}},
		{Action: NextCut, Group: "Chunk", Does: "the next of the plan", Keys: []string{"j"}, Turns: true},
		{Action: Plan, Group: "Chunk", Does: "another plan", Keys: []string{"u"}, Turns: true},

		{Action: Angle, Group: "Loop", Does: "another angle: a rhythm …", Keys: []string{"q"}, Turns: true},
		{Action: Only, Group: "Loop", Does: "only the bar lines …", Keys: []string{"F6"}},
		{Action: Shape, Group: "Loop", Does: "shape it, stroke by stroke", Keys: []string{"z"}},
		{Action: Slots, Group: "Loop", Does: "slots in a beat", Keys: []string{"s"}, Turns: true},
		{Action: Pulse, Group: "Loop", Does: "pulse doubled, halved …", Keys: []string{"p"}, Turns: true},
		{Action: Count, Group: "Loop", Does: "counting syllables", Keys: []string{"c"}, Turns: true},
		{Action: CountIn, Group: "Loop", Does: "beats of count-in", Keys: []string{"i"}, Turns: true},
		{Action: Landing, Group: "Loop", Does: "landing on the next beat", Keys: []string{"l"}},
		{Action: Breath, Group: "Loop", Does: "beats of breath", Keys: []string{"b"}, Turns: true},
		{Action: Reps, Group: "Loop", Does: "reps on a rung", Keys: []string{"r"}, Turns: true},

		{Action: Sound, Group: "Sound", Does: "another sound", Keys: []string{"o"}, Turns: true},
		{Action: Softer, Group: "Sound", Does: "softer", Keys: []string{"-"}, Repeats: true},
		{Action: Louder, Group: "Sound", Does: "louder", Keys: []string{"=", "+"}, Repeats: true},
		{Action: Speak, Group: "Sound", Does: "speak the count", Keys: []string{";"}},
		{Action: Far, Group: "Sound", Does: "the count from far", Keys: []string{"/"}},
		{Action: Hush, Group: "Sound", Does: "hush beats, bars …", Keys: []string{"'"}},

		{Action: NextStep, Group: "Routine", Does: "next step", Keys: []string{"n"}},
		{Action: LastStep, Group: "Routine", Does: "previous step", Keys: []string{"v"}},
		{Action: Pencil, Group: "Routine", Does: "the pencil mark, whole", Keys: []string{"w"}},
	}, views, []Info{
		{Action: Palette, Group: Window, Does: "day, night, system", Keys: []string{"F4"}},
		{Action: Whole, Group: Window, Does: "the whole screen", Keys: []string{"F11"}},
		{Action: Help, Group: Window, Does: "this page", Keys: []string{"F1", "?"}},
	})
}
