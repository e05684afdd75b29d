package routines

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/widget"

	"footing/audio/click"
	"footing/files"
	"footing/ladder"
	"footing/ladder/bundle"
	"footing/ladder/counted"
	"footing/ladder/notes/begin"
	"footing/ladder/notes/notesfile"
	"footing/ladder/passage"
	"footing/ladder/passage/scorefile"
	"footing/ladder/routine"
	"footing/ui/window/document"
)

var (
	routineEndings = []string{".yaml", ".yml"}
	scoreEndings   = []string{".musicxml", ".xml", ".mxl"}
	bundleEndings  = []string{".zip"}
)

// IsScore reports whether a file's name is that of a score.
func IsScore(path string) bool {
	return slices.Contains(scoreEndings, strings.ToLower(filepath.Ext(path)))
}

// opening is a score on its way to a routine: while it is read, while the player
// chooses a part, or once it is known why it cannot be opened.
type opening struct {
	v       *View
	path    string // empty where nothing is read
	giveUp  context.CancelFunc
	choices []begin.Choice
	remarks []passage.Remark // of the reader
	page    fyne.CanvasObject

	parts *list // while the player chooses, else nil
	said  *widget.Label
	goals *goals // that the chosen part offers
	open  *button
}

// Take opens a file that the player has given: a routine, or a score, of which a
// part becomes a new routine. Several are too many, and none is nothing.
func (v *View) Take(paths ...string) {
	switch {
	case len(paths) == 0:
	case len(paths) > 1:
		v.refuse("", fmt.Sprintf("These are %d files; open one score, or one routine, at a time.", len(paths)))
	case slices.Contains(routineEndings, strings.ToLower(filepath.Ext(paths[0]))):
		v.open(paths[0])
	case slices.Contains(bundleEndings, strings.ToLower(filepath.Ext(paths[0]))):
		v.unpack(paths[0])
	default:
		v.readScore(paths[0])
	}
}

// startOpening shows that a file is being opened, until the context ends; nil where what
// is typed cannot be read, and would be lost.
func (v *View) startOpening(path, doing string) (*opening, context.Context) {
	v.giveUp()
	if fault := v.hand(); fault != nil {
		v.say(fault.Error(), true)
		return nil, nil
	}
	ctx, cancel := context.WithCancel(context.Background())
	o := &opening{v: v, path: path, giveUp: cancel}
	o.page = v.message(doing+" "+files.Name(filepath.Base(path))+" …", "Escape gives it up.", false)
	v.opening = o
	v.show()
	return o, ctx
}

// unpack takes a routine with its scores out of a bundle into the player's folder, and
// opens it.
func (v *View) unpack(path string) {
	o, ctx := v.startOpening(path, "Unpacking")
	if o == nil {
		return
	}
	var made string
	var err error
	v.o.Read(func() {
		made, err = bundle.Unpack(ctx, path, v.o.Dir)
	}, func() {
		o.giveUp()
		switch fault := (*bundle.Fault)(nil); {
		case v.opening != o:
		case errors.As(err, &fault):
			v.refuse(path, files.Name(filepath.Base(path))+": "+fault.What+".")
		case err != nil:
			v.refuse(path, capital(err.Error())+".")
		default:
			v.open(made)
		}
	})
}

// readScore reads a score, and asks for the part where there is a choice or
// something to be said.
func (v *View) readScore(path string) {
	o, ctx := v.startOpening(path, "Reading")
	if o == nil {
		return
	}
	var title string
	var err error
	v.o.Read(func() {
		title, err = o.read(ctx)
	}, func() {
		o.giveUp()
		switch {
		case v.opening != o:
		case err != nil:
			v.refuse(path, capital(err.Error())+".")
		case len(o.choices) == 1 && o.choices[0].Err != nil:
			v.refuse(path, capital(o.choices[0].Err.Error())+".")
		case len(o.choices) == 1 && len(o.remarks)+len(o.choices[0].Remarks)+len(o.choices[0].Goals) == 0:
			o.begin(0)
		default:
			o.ask(title)
			v.show()
		}
	})
}

// read reads the score, where files may be waited for.
func (o *opening) read(ctx context.Context) (title string, err error) {
	score, remarks, err := scorefile.Read(ctx, o.path, passage.Limits{})
	base := filepath.Base(o.path)
	if cause := errors.Unwrap(err); cause != nil && ctx.Err() == nil { // without the folder, which says nothing here
		return "", fmt.Errorf("%s: %w", files.Name(base), cause)
	}
	if err != nil {
		return "", err
	}
	stem := ladder.Name(strings.TrimSuffix(base, filepath.Ext(base)))
	if title = ladder.Name(score.Title); title == "" {
		title = stem
	}
	o.remarks = remarks
	if o.choices, err = begin.Choices(ctx, score, "score"+scoreEndings[0], title); err != nil {
		return "", fmt.Errorf("%s: %w", files.Name(base), err)
	}
	return title, nil
}

// refuse says why something cannot be opened.
func (v *View) refuse(path, why string) {
	v.giveUp()
	v.opening = &opening{v: v, path: path, giveUp: func() {}}
	head := "This score cannot be opened"
	if path == "" {
		head = "Which one?"
	} else if slices.Contains(bundleEndings, strings.ToLower(filepath.Ext(path))) {
		head = "This routine cannot be unpacked"
		why += " It was left as it is."
	} else if why += " It was left as it is."; !IsScore(path) && !scorefile.IsTune(path) {
		why += " A score is a file in MusicXML, whose name ends in .musicxml, .xml or .mxl."
	}
	v.opening.page = v.message(head, why, true)
	v.show()
}

// message is a page that says something.
func (v *View) message(head, text string, warm bool) fyne.CanvasObject {
	what := widget.NewLabel(text)
	what.Wrapping = fyne.TextWrapWord
	buttons := container.NewHBox(newButton(v.out(), "Not now", v.dismiss), layout.NewSpacer())
	if warm {
		what.Importance = widget.WarningImportance
		buttons.Objects = slices.Insert(buttons.Objects, 0, fyne.CanvasObject(newButton(v.out(), "Open another …", v.elsewhere)))
	}
	return container.NewBorder(nil, buttons, nil, nil, container.NewVScroll(container.NewVBox(heading(head), what)))
}

// giveUp ends what is under way of opening a score. It touches no widget.
func (v *View) giveUp() {
	if v.opening != nil {
		v.opening.giveUp()
		v.opening = nil
	}
}

// dismiss goes back to what was open before.
func (v *View) dismiss() {
	v.giveUp()
	v.show()
	v.list()
}

// ask makes the page on which the part is chosen.
func (o *opening) ask(title string) {
	v := o.v
	o.parts = newList(v.out(), func() int { return len(o.choices) }, func(i int, line fyne.CanvasObject) {
		c := o.choices[i]
		sub := c.Detail
		if c.Err != nil {
			sub = "cannot be practised: " + c.Err.Error()
		}
		setRow(line, c.Name, sub, i == o.parts.at, c.Err != nil)
	})
	o.parts.enter = o.take
	o.parts.selects(func(i int) {
		o.parts.Refresh()
		o.tell(o.choices[i])
	})
	o.said = widget.NewLabel("")
	o.said.Wrapping = fyne.TextWrapWord
	o.goals = newGoals(v.out(), " → takes one for the goal.", o.aim)
	o.parts.beyond = o.goals.next
	o.open = newButton(v.out(), "Open", o.take)
	o.open.Importance = widget.HighImportance
	head := "Which part do you play?"
	if len(o.choices) == 1 {
		head = "This was found in the score"
	}
	under := widget.NewLabel(title + ": a new routine, with a copy of the score beside it. ↑ and ↓ choose, Enter opens it in the Passage view, Escape does not.")
	under.Wrapping, under.Importance = fyne.TextWrapWord, widget.LowImportance
	buttons := container.NewHBox(o.open, newButton(v.out(), "Not now", v.dismiss), layout.NewSpacer())
	o.page = container.NewBorder(container.NewVBox(heading(head), under), container.NewVBox(o.said, o.goals.box, buttons), nil, nil, o.parts)
	o.parts.Select(max(0, slices.IndexFunc(o.choices, func(c begin.Choice) bool { return c.Err == nil })))
}

// shown is how many remarks are told; the others are a command away.
const shownRemarks = 3

// tell says what is odd about the score, and about the choice.
func (o *opening) tell(c begin.Choice) {
	var lines []string
	if c.Err != nil {
		o.open.Disable()
		lines = append(lines, capital(c.Err.Error())+".")
	} else {
		o.open.Enable()
	}
	for _, r := range c.Remarks {
		lines = append(lines, capital(r)+".")
	}
	for i, r := range o.remarks {
		if i == shownRemarks {
			lines = append(lines, fmt.Sprintf("And %s; footing notes %s lists them.", counted.As(len(o.remarks)-i, "remark more", "remarks more"), files.Name(filepath.Base(o.path))))
			break
		}
		lines = append(lines, capital(r.String())+".")
	}
	o.said.SetText(strings.Join(lines, "\n"))
	o.goals.set(c.Goals)
	o.goals.mark(c.Step.Tempo.Goal)
}

// aim gives the part in hand another goal.
func (o *opening) aim(goal click.Tempo) {
	if o.parts == nil || o.parts.at < 0 {
		return
	}
	o.choices[o.parts.at].Step.Tempo = begin.Ladder(goal)
	o.goals.mark(goal)
}

// key is a key that no widget has taken.
func (o *opening) key(key string, repeat bool) {
	if o.parts == nil {
		return
	}
	switch name := fyne.KeyName(key); name {
	case fyne.KeyUp, fyne.KeyDown:
		o.parts.arrow(&fyne.KeyEvent{Name: name})
	case fyne.KeyRight:
		o.goals.next()
	case fyne.KeyReturn, fyne.KeyEnter:
		if !repeat {
			o.take()
		}
	}
}

// take opens the choice in hand.
func (o *opening) take() {
	if o.parts != nil && o.v.opening == o && o.parts.at >= 0 && o.choices[o.parts.at].Err == nil {
		o.begin(o.parts.at)
	}
}

// begin makes a routine of a choice: copies the score beside it, saves it, and goes
// to its notes.
func (o *opening) begin(choice int) {
	v, c := o.v, o.choices[choice]
	if o.parts != nil {
		o.open.Disable()
	}
	o.parts = nil // chosen once
	ctx, cancel := context.WithCancel(context.Background())
	o.giveUp = cancel
	var err error
	v.o.Read(func() {
		c.Step.Notes.Score.File, err = notesfile.Keep(ctx, o.path, v.o.Dir)
	}, func() {
		o.giveUp()
		if v.opening != o {
			return // given up
		}
		var f *routine.File
		if err == nil {
			f, err = routine.New(ladder.Routine{Name: c.Step.Passage.Piece, Steps: []ladder.Step{c.Step}})
		}
		if err != nil {
			v.refuse(o.path, capital(err.Error())+".")
			return
		}
		doc := document.Begin(f, filepath.Join(v.o.Dir, document.FileName(c.Step.Passage.Piece)))
		doc.Want()
		v.use(newDesk(doc), 0)
		v.show()
		v.o.Save(doc, func(err error) {
			v.show()
			v.list()
			if err == nil && v.desk != nil && v.desk.doc == doc {
				v.o.Begun(doc)
			} // else the window says why
		})
	})
}

// capital is a sentence with its first letter large, unless that is a file's name.
func capital(s string) string {
	word, _, _ := strings.Cut(s, " ")
	if s == "" || strings.ContainsAny(word, ".:\"") {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
