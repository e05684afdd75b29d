package routines

import (
	"path/filepath"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/storage"
)

// OpenShortcut is Control and O, or the platform's own.
func OpenShortcut() fyne.Shortcut {
	return &desktop.CustomShortcut{KeyName: fyne.KeyO, Modifier: fyne.KeyModifierShortcutDefault}
}

// Open asks for a file: a routine, or a score.
func (v *View) Open() { v.elsewhere() }

// elsewhere opens a file outside the player's folder, or a score.
func (v *View) elsewhere() {
	if v.picking != nil {
		return
	}
	pick := dialog.NewFileOpen(func(r fyne.URIReadCloser, err error) {
		v.picking = nil
		if err != nil || r == nil {
			return
		}
		path := r.URI().Path()
		_ = r.Close()
		v.folder = filepath.Dir(path)
		v.Take(path)
	}, v.o.Window)
	pick.SetFilter(storage.NewExtensionFileFilter(slices.Concat(routineEndings, scoreEndings, bundleEndings)))
	folder := v.o.Dir
	if v.folder != "" {
		folder = v.folder
	}
	if uri, err := storage.ListerForURI(storage.NewFileURI(folder)); err == nil {
		pick.SetLocation(uri)
	}
	pick.SetOnClosed(func() { v.picking = nil })
	v.picking = pick
	size := v.o.Window.Canvas().Size()
	pick.Resize(fyne.NewSize(size.Width*0.8, size.Height*0.8))
	pick.Show()
}

// Picks reports whether a file is being chosen.
func (v *View) Picks() bool { return v.picking != nil }

// StopPicking ends that.
func (v *View) StopPicking() {
	if v.picking != nil {
		v.picking.Hide()
		v.picking = nil
	}
}
