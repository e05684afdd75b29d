package routines

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/widget"

	"footing/audio/track"
	"footing/files"
	"footing/ladder"
	"footing/ladder/conduct/export"
	"footing/ladder/counted"
)

// Export is what is to be written into files.
type Export struct {
	Routine  ladder.Routine
	Source   string // the routine's file, in whose folder its scores lie; empty where it is in none
	Pieces   []export.Piece
	Kind     export.Kind
	Encoding track.Encoding
	Notes    bool   // the notes sound too
	Path     string // of the file, or of the folder
	Folder   bool   // a file for each piece
	Replace  bool   // a file that is there may be replaced
}

// ErrThere is what [Options.Export] says of a file that is there already.
var ErrThere = errors.New("it is there already")

// exporting is the page on which a routine is written into files.
type exporting struct {
	v         *View
	whats     []what
	what      *choice
	as        *choice
	notes     *choice
	where     *entry
	own       bool // the player has typed where
	write     *button
	back      *button
	line      *widget.Label
	page      fyne.CanvasObject
	replace   string             // the file that the player has been asked about
	stop      context.CancelFunc // while it is being written
	suggested string
}

// what is one thing that can be written.
type what struct {
	words, name string
	folder      bool
	pieces      func() []export.Piece
}

// kinds are the files that can be written, in the order in which they are offered.
var kinds = []struct {
	words    string
	kind     export.Kind
	encoding track.Encoding
}{
	{"WAV, 16 bits", export.WAV, track.Int16}, {"FLAC, 16 bits", export.FLAC, track.Int16},
	{"WAV, 24 bits", export.WAV, track.Int24}, {"FLAC, 24 bits", export.FLAC, track.Int24}, {"MIDI", export.MIDI, track.Int16},
}

// ExportShortcut is Control and E, or the platform's own.
func ExportShortcut() fyne.Shortcut {
	return &desktop.CustomShortcut{KeyName: fyne.KeyE, Modifier: fyne.KeyModifierShortcutDefault}
}

// Export asks what of the routine is to be written into files, and writes it.
func (v *View) Export() {
	switch {
	case v.desk == nil || v.opening != nil || v.exporting != nil:
		return
	case v.form.fault != nil:
		v.say(v.form.fault.text, true)
		return
	}
	v.recipe, v.ordering = nil, nil
	v.exporting = newExporting(v)
	v.show()
	v.o.Window.Canvas().Focus(v.exporting.what)
}

func newExporting(v *View) *exporting {
	p, out, r := &exporting{v: v}, v.out(), v.desk.now
	step := r
	step.Steps = []ladder.Step{r.Steps[v.desk.step]}
	p.whats = []what{
		{"the whole routine", r.Name, false, func() []export.Piece { return []export.Piece{export.Whole(r)} }},
		{"this step: " + step.Steps[0].Name, step.Steps[0].Name, false, func() []export.Piece { return export.Steps(step) }},
		{"a file for each rung of this step", step.Steps[0].Name, true, func() []export.Piece { return export.Rungs(step) }},
		{"a file for each step", r.Name, true, func() []export.Piece { return export.Steps(r) }},
		{"a file for each rung of all steps", r.Name, true, func() []export.Piece { return export.Rungs(r) }},
	}
	for _, rung := range export.Rungs(step) {
		one := []export.Piece{rung}
		p.whats = append(p.whats, what{"one rung of this step: " + rung.Routine.Steps[0].Tempo.Goal.String(), rung.Title, false, func() []export.Piece { return one }})
	}
	var words, as []string
	for _, w := range p.whats {
		words = append(words, w.words)
	}
	for _, k := range kinds {
		as = append(as, k.words)
	}
	p.line = widget.NewLabel("")
	p.line.Wrapping = fyne.TextWrapWord
	p.write = newButton(out, "Write", p.begin)
	p.write.Importance = widget.HighImportance
	p.back = newButton(out, notNow, p.dismiss)
	p.where = newEntry(out, "the file, or the folder", func(text string) {
		p.own = text != p.suggested
		p.say("", false)
	})
	p.where.OnSubmitted = func(string) { p.begin() }
	p.what = newChoice(out, words, func(string) { p.suggest() })
	p.as = newChoice(out, as, func(string) { p.suggest() })
	p.notes = newChoice(out, []string{"the click alone", "with the notes of the steps"}, func(string) {})
	p.what.SetSelectedIndex(0)
	p.as.SetSelectedIndex(0)
	p.notes.SetSelectedIndex(0)
	p.page = container.NewBorder(heading("Into files, hands free"),
		container.NewHBox(p.write, p.back, layout.NewSpacer()), nil, nil,
		container.NewVScroll(container.NewVBox(
			container.New(layout.NewFormLayout(),
				widget.NewLabel("What"), p.what, widget.NewLabel("As"), p.as, widget.NewLabel("Sounds"), p.notes, widget.NewLabel("Where"), p.where),
			p.line)))
	return p
}

// notNow leads back while nothing has been written.
const notNow = "Not now"

// suggest says where it might be written, unless the player has.
func (p *exporting) suggest() {
	if p.own || p.what.SelectedIndex() < 0 || p.as.SelectedIndex() < 0 {
		return
	}
	w := p.whats[p.what.SelectedIndex()]
	name := export.Safe(w.name)
	if !w.folder {
		name += "." + kinds[p.as.SelectedIndex()].kind.String()
	}
	p.suggested = filepath.Join(p.v.o.Out, name)
	p.where.SetText(p.suggested)
}

// begin writes, or says why not.
func (p *exporting) begin() {
	if p.stop != nil {
		return
	}
	w, as := p.whats[p.what.SelectedIndex()], kinds[p.as.SelectedIndex()]
	path := p.where.Text
	if kind, err := export.KindOf(path); !w.folder && (err != nil || kind != as.kind) {
		p.say(fmt.Sprintf("The name of such a file ends in .%s.", as.kind), true)
		return
	}
	if !filepath.IsAbs(path) {
		path = filepath.Join(p.v.o.Out, path)
	}
	ctx, stop := context.WithCancel(context.Background())
	p.stop = stop
	p.write.SetText("Stop")
	p.write.OnTapped = stop
	p.back.SetText(notNow)
	p.say("Writing …", false)
	d := p.v.desk
	p.v.o.Export(ctx, Export{
		Routine: d.now, Source: d.doc.Path(), Pieces: w.pieces(), Kind: as.kind, Encoding: as.encoding,
		Notes: p.notes.SelectedIndex() == 1, Path: path, Folder: w.folder, Replace: p.replace == path,
	}, p.tell, func(made []export.Made, err error) { p.done(path, w.folder, made, err) })
}

// tell shows how far it has come.
func (p *exporting) tell(now export.Progress) {
	if p.stop == nil {
		return
	}
	text := fmt.Sprintf("%s: %d %%", now.File, 100*min(now.Done, now.Total)/max(now.Total, 1))
	if now.Of > 1 {
		text = fmt.Sprintf("%d of %d, %s", now.Number, now.Of, text)
	}
	p.say(text, false)
}

// done says what has become of it.
func (p *exporting) done(path string, folder bool, made []export.Made, err error) {
	p.stop()
	p.stop = nil
	p.write.OnTapped = p.begin
	p.write.SetText("Write")
	p.replace = ""
	if err == nil {
		p.back.SetText("Done")
	}
	var length time.Duration
	for _, m := range made {
		length += m.Length
	}
	stay, are := "stay", "are"
	if len(made) == 1 {
		stay, are = "stays", "is"
	}
	clock := fmt.Sprintf("%d:%02d long", int(length.Minutes()), int(length.Seconds())%60)
	switch {
	case errors.Is(err, context.Canceled) && len(made) > 0:
		p.say(fmt.Sprintf("Stopped; %s, and %s in %s.", counted.As(len(made), "file is whole", "files are whole"), stay, files.Name(path)), false)
	case errors.Is(err, context.Canceled):
		p.say("Stopped; nothing was written.", false)
	case errors.Is(err, ErrThere):
		p.replace = path
		p.write.SetText("Replace it")
		p.say("There is a file of that name. Write once more to replace it.", true)
	case err != nil:
		p.say(capital(err.Error())+".", true)
	case folder:
		p.say(fmt.Sprintf("%s, %s, %s in %s.", counted.Of(len(made), "file"), clock, are, files.Name(path)), false)
	default:
		p.say(fmt.Sprintf("%s is written, %s.", files.Name(path), clock), false)
	}
}

func (p *exporting) say(text string, warm bool) {
	p.line.Importance = widget.MediumImportance
	if warm {
		p.line.Importance = widget.WarningImportance
	}
	p.line.SetText(text)
}

// dismiss goes back to the routine; what is being written is stopped.
func (p *exporting) dismiss() {
	p.v.endExport()
	p.v.show()
}

// endExport leaves the page, and stops what is being written. It touches no widget.
func (v *View) endExport() {
	if p := v.exporting; p != nil && p.stop != nil {
		p.stop()
	}
	v.exporting = nil
}
